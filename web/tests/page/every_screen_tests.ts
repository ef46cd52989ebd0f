import { strict as assert } from 'node:assert';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';
import { test } from '../page_test';
import type { ShopCalls } from '../shop_calls';
import { complaints, desk, openAir, openBox, openClosing, openMeasure, openNotices, openReading, openToolRoom, phone, withPage } from './visit';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

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
  await openClosing(page, (await shop.closingBox()).id);
  for (const layer of ['Opening', 'Clamps', 'Mismatch']) {
    await page.getByRole('radio', { name: layer }).check();
    await look(`closing, ${layer}`);
  }
  await openAir(page, (await shop.closingBox()).id);
  for (const map of ['What fills last', 'Where one more vent helps', 'How late gas comes']) {
    await page.getByRole('radio', { name: map }).check();
    await look(`air, ${map}`);
  }
  await openMeasure(page, (await shop.movedBox()).id);
  await page.getByText('Where the limits come from').click();
  await page.getByRole('button', { name: 'Wrong value' }).first().click();
  await page.getByRole('button', { name: 'Which cores are in doubt?' }).first().click();
  await page.locator('.doubt p').first().waitFor();
  await look('measure');
  const running = await shop.runningBox();
  const fresh = await shop.freshBox(['A', 'B']);
  await shop.tell(running, 'defect-seen', { defect: 'not-filled', count: 2 });
  await shop.tell(fresh, 'cause-confirmed', { fault: 'handling', seen: ['scratch'] });
  for (const [screen, path, heading] of [
    ['run', `box/${running}/run`, 'Care'], ['start of a run', `box/${fresh}/run`, 'Start a run'], ['defect', `box/${running}/defect`, 'What is wrong'],
    ['hold', `box/${running}/hold`, 'Why it stands as it does'], ['trace', `box/${running}/trace`, 'In doubt, and not listed yet'],
    ['move', `move/${fresh}`, 'Or touch the place'], ['stock-take', 'stock-take', 'Stock-take of a rack'], ['checkpoints', 'checkpoints', 'In force'],
    ['register', `box/${fresh}/register`, 'Loose pieces'],
    ['care of the shop', 'care', 'What the shop has chosen'], ['care of a box', `box/${fresh}/care`, 'What is followed'],
    ['diagnosis', `box/${running}/diagnosis`, 'What is known'], ['no doubt', `box/${fresh}/diagnosis`, 'Nothing is wrong'],
  ] as const) {
    await page.goto(`/#/${path}`);
    await page.getByRole('heading', { name: heading }).waitFor();
    await page.evaluate(() => document.querySelectorAll('details').forEach((folded) => (folded.open = true)));
    await look(screen);
  }
  await openToolRoom(page);
  await look('tool room');
  await openNotices(page);
  await look('notices');
  await openReading(page, shop);
  await page.locator('section[aria-labelledby=findings] li button').first().click();
  await look('reading');
  const half = await shop.readHalf();
  await page.goto(`/#/box/${encodeURIComponent(half.box.id)}/reading/${encodeURIComponent(half.reading)}`);
  await page.locator('canvas').waitFor();
  await look('reading of a half');
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
          // A hidden file or radio field, or a small box to tick, is touched through its label.
          const target = element.matches('input[type=file], input[type=radio], input[type=checkbox]') ? element.closest('label')! : element;
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

// Last of all: it looks back on every visit before it.
test('no screen broke the page’s policy or threw', async () => {
  assert.deepEqual(complaints, []);
});
