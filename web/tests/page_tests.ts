// The page, used as people use it, in a browser: against the real program when BOXFETTLE_URL, BOXFETTLE_NAME and
// BOXFETTLE_PASSPHRASE are given, else against the mock.
import { strict as assert } from 'node:assert';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';
import { openBrowser, openPage, place, signIn, type Look } from './browser';
import { runAll, test, until } from './page_test';
import { ShopCalls } from './shop_calls';

const where = await place();
const browser = await openBrowser();
const phone: Look = { width: 360, height: 740, touch: true };
const desk: Look = { width: 1280, height: 800 };
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

// What no screen may do, gathered over all tests: break its own policy or throw.
const complaints: string[] = [];
async function withPage(look: Look, body: (page: Page, shop: ShopCalls) => Promise<void>, signedIn = true): Promise<void> {
  const { context, page } = await openPage(browser, where, look);
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    if (/Content Security Policy|Content-Security-Policy/.test(message.text())) complaints.push(message.text());
  });
  try {
    if (signedIn) await signIn(page, where);
    await body(page, new ShopCalls(page));
  } finally {
    await context.close();
  }
}

const passes = (page: Page) => page.getByRole('button', { name: 'Passes', exact: true });
const fails = (page: Page) => page.getByRole('button', { name: 'Fails', exact: true });
async function openBox(page: Page, id: string): Promise<void> {
  await page.goto(`/#/box/${encodeURIComponent(id)}`);
  await page.getByRole('heading', { name: 'Logbook' }).waitFor();
}
async function openReading(page: Page, shop: ShopCalls): Promise<{ box: string; reading: string }> {
  const { box, reading } = await shop.readBox();
  await page.goto(`/#/box/${encodeURIComponent(box.id)}/reading/${encodeURIComponent(reading)}`);
  await page.locator('canvas').waitFor();
  await until('a marker stands on the core', () => page.locator('.markers button').first().isVisible());
  return { box: box.id, reading };
}

test('a wrong passphrase is refused in words and the page stays at sign-in', () =>
  withPage(desk, async (page) => {
    await page.goto('/');
    await page.getByLabel('Name').fill(where.name);
    await page.getByLabel('Passphrase', { exact: true }).fill('not the passphrase');
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByRole('alert').waitFor();
    assert.ok((await page.getByRole('alert').innerText()).length > 10);
    assert.ok(await page.getByRole('heading', { name: 'Sign in' }).isVisible());
  }, false));

test('an empty name is asked for before anything is sent', () =>
  withPage(desk, async (page) => {
    await page.goto('/');
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByText('Type your name.').waitFor();
    assert.equal(await page.evaluate(() => document.activeElement?.id), 'name');
  }, false));

test('a link to a box survives the sign-in', () =>
  withPage(desk, async (page) => {
    await signIn(page, where);
    const { boxes } = await new ShopCalls(page).floor();
    await page.context().clearCookies();
    await page.goto(`/#/box/${encodeURIComponent(boxes[0]!.id)}`);
    await page.reload();
    await page.getByLabel('Name').fill(where.name);
    await page.getByLabel('Passphrase', { exact: true }).fill(where.passphrase);
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByRole('heading', { level: 1 }).filter({ hasText: boxes[0]!.id }).waitFor();
  }, false));

test('the floor shows every box on the rail of its verdict, hold first, and counts them', () =>
  withPage(desk, async (page, shop) => {
    const { boxes } = await shop.floor();
    const order = ['hold', 'watch', 'fit'] as const;
    const expected = order.flatMap((state) => boxes.filter((box) => box.verdict.state === state).map((box) => box.id));
    assert.deepEqual(await page.locator('.rails .number').allInnerTexts(), expected);
    for (const [i, state] of order.entries()) {
      const count = await page.locator('.counts .number').nth(i).innerText();
      assert.equal(Number(count), boxes.filter((box) => box.verdict.state === state).length);
    }
  }));

test('a held box on the floor says in words why it is held and where it stands', () =>
  withPage(desk, async (page, shop) => {
    const held = (await shop.floor()).boxes.find((box) => box.verdict.reasons.length > 0 && box.verdict.state !== 'fit')!;
    const plate = await page.locator('.rails a').filter({ hasText: held.id }).innerText();
    assert.ok(plate.includes(held.verdict.reasons[0]!.text));
    assert.ok(plate.includes(held.place.text));
  }));

test('the find field finds a box by its number without the hyphen, and says when none matches', () =>
  withPage(desk, async (page, shop) => {
    const id = (await shop.floor()).boxes.at(-1)!.id;
    const field = page.getByRole('searchbox', { name: 'Find a box' });
    await field.fill(id.replaceAll('-', '').toLowerCase());
    assert.deepEqual(await page.locator('.rails .number').allInnerTexts(), [id]);
    await field.fill('no box is called this');
    await page.getByText('No box matches').waitFor();
    await page.getByRole('button', { name: 'Clear the find field' }).click();
    assert.ok((await page.locator('.rails .number').count()) > 1);
  }));

test('the counts show one verdict alone and all again', () =>
  withPage(desk, async (page) => {
    const all = await page.locator('.rails .number').count();
    const hold = page.locator('.counts button').first();
    await hold.click();
    assert.equal(await page.locator('.rails .number').count(), Number(await hold.locator('.number').innerText()));
    await hold.click();
    assert.equal(await page.locator('.rails .number').count(), all);
  }));

test('a handle found loose elsewhere moves the box to hold on this floor without reload', () =>
  withPage(desk, async (page, shop) => {
    const { checkpoints } = await shop.checkpoints();
    const holding = checkpoints.find((one) => one.consequence === 'safety-hold') ?? checkpoints.find((one) => one.consequence === 'hold')!;
    const free = [...(await shop.floor()).boxes].reverse().find((box) => box.verdict.state !== 'hold' && box.place.kind !== 'outside-shop')!;
    await page.getByText('Live', { exact: true }).waitFor();
    await page.evaluate(() => ((window as { unbroken?: boolean }).unbroken = true));
    await shop.inspect(free.id, [holding.id]);
    await until('the plate hangs on the hold rail', async () => (await page.locator('section.hold .number').allInnerTexts()).includes(free.id));
    assert.ok(await page.evaluate(() => (window as { unbroken?: boolean }).unbroken));
  }));

test('a box page says its verdict, and each reason leads to the entry it rests on', () =>
  withPage(desk, async (page, shop) => {
    const box = (await shop.floor()).boxes.find((one) => one.verdict.reasons.length > 0)!;
    await openBox(page, box.id);
    const reason = box.verdict.reasons[0]!;
    assert.ok((await page.locator('section[aria-labelledby=verdict]').innerText()).includes(reason.text));
    await page.getByRole('link', { name: `Entry ${reason.entry}`, exact: true }).first().click();
    await page.locator(`#entry-${reason.entry}.pointed`).waitFor();
    await until('the entry has the keyboard', () => page.evaluate((id) => document.activeElement?.id === id, `entry-${reason.entry}`));
  }));

test('the chain of the logbook can be checked from a box page', () =>
  withPage(desk, async (page, shop) => {
    await openBox(page, (await shop.floor()).boxes[0]!.id);
    await page.getByRole('button', { name: 'Check the chain' }).click();
    await page.getByText('The chain is whole').waitFor();
  }));

test('a box that is not there is told with what to do', () =>
  withPage(desk, async (page) => {
    await page.goto('/#/box/NO-SUCH-BOX');
    await page.getByRole('alert').waitFor();
    assert.ok((await page.getByRole('alert').locator('p').count()) >= 2);
  }));

// The keyboard alone: Enter on Passes, a value and Enter where one is measured.
async function walkByKeyboard(page: Page, shop: ShopCalls): Promise<void> {
  const { checkpoints } = await shop.checkpoints();
  for (const one of checkpoints) {
    await page.getByRole('heading', { level: 2, name: one.title, exact: true }).waitFor();
    if (one.evidence === 'measure' || one.evidence === 'count') {
      await until('the value field has the keyboard', () => page.evaluate(() => document.activeElement?.id === 'value'));
      await page.keyboard.type('0');
      await page.keyboard.press('Enter');
      await until('Passes has the keyboard', () => page.evaluate(() => document.activeElement?.classList.contains('pass') ?? false));
    } else {
      await passes(page).focus();
    }
    await page.keyboard.press('Enter');
  }
  await page.getByRole('heading', { name: 'Before you send' }).waitFor();
}

test('an inspection whose answer is lost on the way is written once when it is sent again', () =>
  withPage(desk, async (page, shop) => {
    const box = (await shop.floor()).boxes.find((one) => one.place.kind !== 'outside-shop')!;
    const before = (await shop.box(box.id)).logbook.filter((one) => one.kind === 'inspected').length;
    await page.goto(`/#/box/${encodeURIComponent(box.id)}/inspect`);
    await walkByKeyboard(page, shop);
    let lost = 0;
    await page.route('**/inspections', async (route) => {
      if (lost++ > 0) return route.continue();
      await route.fetch(); // it arrives
      await route.abort(); // its answer does not
    });
    await page.getByRole('button', { name: 'Write to the logbook' }).click();
    await page.getByText('Nothing is lost').waitFor();
    await page.getByRole('button', { name: 'Send again' }).click();
    await page.getByRole('heading', { name: 'Written to the logbook.' }).waitFor();
    const after = (await shop.box(box.id)).logbook.filter((one) => one.kind === 'inspected').length;
    assert.equal(after - before, 1);
  }));

test('a measured check cannot be judged without its value, and letters are no value', () =>
  withPage(phone, async (page, shop) => {
    const { checkpoints } = await shop.checkpoints();
    const at = checkpoints.findIndex((one) => one.evidence === 'measure' || one.evidence === 'count');
    assert.ok(at >= 0, 'the catalogue holds a check with a value');
    await page.goto(`/#/box/${encodeURIComponent((await shop.floor()).boxes[0]!.id)}/inspect`);
    await page.locator('nav[aria-label=Checks] button').nth(at).click();
    await passes(page).click();
    await page.getByText('Type the value first.').waitFor();
    await page.locator('#value').fill('tight');
    await fails(page).click();
    await page.getByText('This is not a number.').waitFor();
    await page.locator('#value').fill('0,05');
    await passes(page).click();
    await until('the next check is open', async () => !(await page.getByRole('heading', { level: 2, name: checkpoints[at]!.title, exact: true }).isVisible()));
  }));

test('an inspection left half-way is still there after the page was closed', () =>
  withPage(phone, async (page, shop) => {
    const { checkpoints } = await shop.checkpoints();
    await page.goto(`/#/box/${encodeURIComponent((await shop.floor()).boxes[0]!.id)}/inspect`);
    await fails(page).click();
    await page.getByLabel('Remark').fill('A number plate is missing.');
    await page.locator('.move').getByRole('button', { name: 'Next' }).click();
    await page.getByRole('heading', { level: 2, name: checkpoints[1]!.title, exact: true }).waitFor();
    await page.reload();
    await page.getByRole('heading', { level: 2, name: checkpoints[1]!.title, exact: true }).waitFor();
    await page.locator('nav[aria-label=Checks] button').first().click();
    assert.equal(await page.getByLabel('Remark').inputValue(), 'A number plate is missing.');
  }));

test('a scan is sent, its reading is followed to the end, and the reading opens', () =>
  withPage(desk, async (page, shop) => {
    const { box, reading } = await shop.readBox();
    await openBox(page, box.id);
    await page.getByRole('link', { name: 'Read a scan' }).click();
    await page.getByLabel('Scan file').setInputFiles({ name: 'page_test.xyz', mimeType: 'text/plain', buffer: await shop.scanText(reading) });
    await page.getByRole('radio', { name: 'mm', exact: true }).check();
    await page.getByRole('button', { name: 'Read this scan' }).click();
    await until('the reading is done', () => page.getByRole('link', { name: 'Open the reading' }).isVisible(), 120_000);
    await page.getByRole('link', { name: 'Open the reading' }).click();
    await page.getByRole('heading', { name: 'How the halves stood' }).waitFor();
  }));

test('a file that is no scan is refused in words, at once or when it is read', () =>
  withPage(desk, async (page, shop) => {
    const { box } = await shop.readBox();
    await page.goto(`/#/box/${encodeURIComponent(box.id)}/scan`);
    await page.getByLabel('Scan file').setInputFiles({ name: 'letter.txt', mimeType: 'text/plain', buffer: Buffer.from('Dear tool room,\n') });
    await page.getByRole('button', { name: 'Read this scan' }).click();
    await page.getByRole('alert').waitFor({ timeout: 60_000 });
    assert.ok((await page.getByRole('alert').locator('p').count()) >= 2);
  }));

test('a reading under way can be cancelled', () =>
  withPage(desk, async (page, shop) => {
    const { box, reading } = await shop.readBox();
    await page.goto(`/#/box/${encodeURIComponent(box.id)}/scan`);
    await page.getByLabel('Scan file').setInputFiles({ name: 'long_scan.xyz', mimeType: 'text/plain', buffer: await shop.scanText(reading, 6) });
    await page.getByRole('button', { name: 'Read this scan' }).click();
    await page.getByRole('button', { name: 'Cancel', exact: true }).click({ timeout: 60_000 });
    await until('the job says so', () => page.getByText('Cancelled', { exact: true }).isVisible(), 60_000);
  }));

test('a finding chosen in the list is marked on the core, and a marker chosen on the core is marked in the list', () =>
  withPage(desk, async (page, shop) => {
    const { reading } = await openReading(page, shop);
    const { findings } = await shop.reading(reading);
    const n = findings.findIndex((one) => one.area_mm2 > 0);
    const before = await page.locator('.view').screenshot();
    await page.locator('section[aria-labelledby=findings] li button').nth(n).click();
    assert.equal(await page.locator('.markers button').nth(n).getAttribute('aria-pressed'), 'true');
    await until('the core is turned to it', async () => !(await page.locator('.view').screenshot()).equals(before));
    await page.locator('.markers button').nth(n).click();
    assert.equal(await page.locator('section[aria-labelledby=findings] li button').nth(n).getAttribute('aria-pressed'), 'false');
    await page.locator('.markers button').nth(n).click();
    assert.equal(await page.locator('section[aria-labelledby=findings] li button').nth(n).getAttribute('aria-pressed'), 'true');
  }));

test('the core turns and zooms by keys and by buttons, and Home shows it whole again', () =>
  withPage(desk, async (page, shop) => {
    await openReading(page, shop);
    const picture = () => page.locator('.view').screenshot();
    await page.getByRole('application').focus();
    await page.keyboard.press('Home');
    await page.waitForTimeout(300);
    const whole = await picture();
    for (const key of ['ArrowLeft', 'ArrowUp', '+', '-', 'Shift+ArrowRight']) {
      const before = await picture();
      await page.keyboard.press(key);
      await until(`${key} moves the core`, async () => !(await picture()).equals(before));
    }
    const before = await picture();
    await page.getByRole('button', { name: 'Nearer' }).click();
    await until('Nearer brings the core nearer', async () => !(await picture()).equals(before));
    await page.getByRole('application').focus();
    await page.keyboard.press('Home');
    await until('the whole core is back', async () => (await picture()).equals(whole));
  }));

test('the reading gives every finding as a row of numbers, and the halves in millimetres or why not', () =>
  withPage(desk, async (page, shop) => {
    const { reading } = await openReading(page, shop);
    const told = await shop.reading(reading);
    assert.equal(await page.locator('tbody tr').count(), told.findings.length);
    for (const [i, finding] of told.findings.entries()) {
      assert.ok((await page.locator('tbody tr').nth(i).innerText()).includes(finding.text));
    }
    const halves = await page.locator('section[aria-labelledby=halves]').innerText();
    if (told.halves?.told) assert.ok(halves.includes(told.halves.mismatch_worst_mm!.toFixed(2)));
    else assert.match(halves, /Cannot tell|Nothing is known/);
    for (const note of told.notes) assert.ok(await page.locator('.notes').getByText(note).isVisible());
  }));

test('the section prints by how much its deviation is drawn larger, and draws it so', () =>
  withPage(desk, async (page, shop) => {
    await openReading(page, shop);
    const lines = () => page.locator('.drawing path.line').evaluateAll((paths) => paths.map((path) => path.getAttribute('d')).join(''));
    await page.getByRole('radio', { name: '1 ×', exact: true }).check();
    await page.getByText('true to size (1 ×)').waitFor();
    const plain = await lines();
    await page.getByRole('radio', { name: '50 ×', exact: true }).check();
    await page.getByText('Deviation drawn 50 times its size').waitFor();
    assert.notEqual(await lines(), plain);
  }));

test('without WebGL the reading says so and keeps its words and numbers', () =>
  withPage(desk, async (page, shop) => {
    await page.addInitScript(() => {
      const ask = HTMLCanvasElement.prototype.getContext;
      HTMLCanvasElement.prototype.getContext = function (this: HTMLCanvasElement, kind: string, ...rest: unknown[]) {
        return kind.startsWith('webgl') ? null : (ask as (...all: unknown[]) => unknown).call(this, kind, ...rest);
      } as typeof ask;
    });
    const { box, reading } = await shop.readBox();
    await page.goto(`/#/box/${encodeURIComponent(box.id)}/reading/${encodeURIComponent(reading)}`);
    await page.reload();
    await page.getByText('cannot draw the core in three dimensions').waitFor();
    assert.ok((await page.locator('tbody tr').count()) > 0);
    assert.ok((await page.locator('section[aria-labelledby=findings] li').count()) > 0);
  }));

test('a floor that cannot be fetched anew stays on the screen and says that it is old', () =>
  withPage(desk, async (page, shop) => {
    const shown = await page.locator('.rails .number').allInnerTexts();
    const box = (await shop.floor()).boxes.find((one) => one.verdict.state === 'hold' && one.place.kind !== 'outside-shop')!;
    const { checkpoints } = await shop.checkpoints();
    await page.getByText('Live', { exact: true }).waitFor();
    await page.route('**/api/floor', (route) => route.abort());
    await shop.inspect(box.id, [checkpoints.find((one) => one.consequence === 'hold')!.id]);
    await page.getByText('Shown as last known.').waitFor();
    assert.deepEqual(await page.locator('.rails .number').allInnerTexts(), shown);
  }));

test('a box that cannot be fetched is told with a way to try again', () =>
  withPage(desk, async (page, shop) => {
    const { id } = (await shop.floor()).boxes[0]!;
    await page.route('**/api/boxes/**', (route) => route.abort());
    await page.goto(`/#/box/${encodeURIComponent(id)}`);
    await page.getByText('The service does not answer.').waitFor();
    await page.unroute('**/api/boxes/**');
    await page.getByRole('button', { name: 'Try again' }).click();
    await page.getByRole('heading', { name: 'Logbook' }).waitFor();
  }));

test('light and dark follow the device until the switch is used, which is kept', () =>
  withPage({ ...desk, dark: true }, async (page) => {
    const theme = () => page.evaluate(() => document.documentElement.dataset.theme);
    assert.equal(await theme(), 'dark');
    await page.getByRole('button', { name: 'Use light colours' }).click();
    assert.equal(await theme(), 'light');
    await page.reload();
    assert.equal(await theme(), 'light');
  }));

// Every screen, for the tests that hold for all of them.
async function eachScreen(page: Page, shop: ShopCalls, look: (screen: string) => Promise<void>): Promise<void> {
  const { box } = await shop.readBox();
  const at = `/#/box/${encodeURIComponent(box.id)}`;
  await page.goto('/#/');
  await page.locator('.rails a').first().waitFor();
  await look('floor');
  await openBox(page, box.id);
  await look('box');
  await page.goto(`${at}/scan`);
  await page.getByRole('button', { name: 'Read this scan' }).waitFor();
  await look('scan');
  await page.goto(`${at}/inspect`);
  const steps = page.locator('nav[aria-label=Checks] button');
  await steps.first().waitFor();
  for (let i = 0; i < (await steps.count()); i++) {
    await steps.nth(i).click();
    await look(`inspection, step ${i + 1}`);
  }
  await openReading(page, shop);
  await page.locator('section[aria-labelledby=findings] li button').first().click();
  await look('reading');
  await page.getByRole('button', { name: 'Sign out' }).click();
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.getByText('Type your name.').waitFor();
  await look('sign-in');
}

interface Broken {
  id: string;
  help: string;
  nodes: { target: unknown[]; failureSummary?: string }[];
}
for (const look of [phone, { ...phone, dark: true }, desk, { ...desk, dark: true }]) {
  const name = `${look.width} px, ${look.dark ? 'dark' : 'light'}`;
  test(`every screen is free of accessibility faults that axe can find: ${name}`, () =>
    withPage(look, async (page, shop) => {
      await eachScreen(page, shop, async (screen) => {
        if (!(await page.evaluate(() => 'axe' in window))) await page.evaluate(axe);
        const broken = await page.evaluate(async () => {
          const run = (window as unknown as { axe: { run(c: Document, o: object): Promise<{ violations: Broken[] }> } }).axe;
          return (await run.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] })).violations;
        });
        const told = broken.map((one) => `${one.id}: ${one.help}\n${one.nodes.map((node) => `  ${node.target.join(' ')} ${node.failureSummary}`).join('\n')}`);
        assert.deepEqual(told, [], `${screen}:\n${told.join('\n')}`);
      });
    }));
}

test('no screen is wider than a phone of 360 px, and everything to touch is at least 48 px high and wide', () =>
  withPage(phone, async (page, shop) => {
    await eachScreen(page, shop, async (screen) => {
      assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), 360, screen);
      const small = await page.evaluate(() => {
        const found: string[] = [];
        for (const element of document.querySelectorAll<HTMLElement>('button, a, input, textarea, select')) {
          // A hidden file or radio field is touched through its label.
          const target = element.matches('input[type=file], input[type=radio]') ? element.closest('label')! : element;
          const { width, height } = target.getBoundingClientRect();
          const hidden = getComputedStyle(element).visibility === 'hidden' || element.classList.contains('skip') || width === 0;
          // Links inside text are bound to its lines; they reach 48 px by height alone.
          const narrow = width < 47.5 && element.tagName !== 'A';
          if (!hidden && (height < 47.5 || narrow)) found.push(`${element.outerHTML.slice(0, 90)} ${width} x ${height}`);
        }
        return found;
      });
      assert.deepEqual(small, [], screen);
    });
  }));

test('no screen broke the page’s policy or threw', async () => {
  assert.deepEqual(complaints, []);
});

const whole = await runAll();
await browser.close();
await where.close();
process.exit(whole ? 0 : 1);
