import { strict as assert } from 'node:assert';
import type { Page } from 'playwright-core';
import { test, until } from '../page_test';
import { desk, openAir, openBox, phone, withPage } from './visit';

const cell = (page: Page, row: string, column: number) =>
  page.locator('section[aria-labelledby=figures] tr', { hasText: row }).locator('td').nth(column);
const slide = async (page: Page, vent: string, steps: number): Promise<void> => {
  await page.getByRole('slider', { name: `${vent} plugged` }).focus();
  for (let step = 0; step < Math.abs(steps); step++) await page.keyboard.press(steps > 0 ? 'ArrowRight' : 'ArrowLeft');
};

test('a box page leads to its air and gas, with the figures and cautions that the service gives', () =>
  withPage(desk, async (page, shop) => {
    const { id } = await shop.closingBox();
    await openBox(page, id);
    await page.getByRole('link', { name: 'Air and gas' }).click();
    await page.getByRole('heading', { name: 'Before and after' }).waitFor({ timeout: 120_000 });
    const { gas, blow } = await shop.airStudy(id);
    assert.equal(await cell(page, 'Gas that passes', 0).innerText(), (1000 * gas.mass_flow_kg_s).toFixed(3));
    // The cavity and its drawing come after the figures.
    await until('every vent stands on the cavity', async () => (await page.locator('.vent .ring').count()) === gas.vents.length, 30_000);
    const care = await page.locator('section[aria-labelledby=care]').innerText();
    for (const caution of [...gas.cautions, ...blow.cautions]) assert.ok(care.includes(caution), caution);
    const is = await page.locator('section[aria-labelledby=is]').innerText();
    assert.ok(is.includes(gas.what_it_is) && is.includes(blow.what_it_is));
    const lines = await page.locator('section[aria-labelledby=lines]').innerText();
    for (const line of [...Object.values(gas.lines), ...Object.values(blow.lines)]) assert.ok(lines.includes(line.origin), line.origin);
    assert.equal(await page.locator('section[aria-labelledby=lines] dt').count(), 7);
    const matters = gas.vents.reduce((most, one) => (one.sensitivity > most.sensitivity ? one : most));
    assert.ok((await page.locator('section[aria-labelledby=vents] .vent').first().innerText()).startsWith(`${matters.id} plugged`));
    const places = gas.one_more_vent.filter((one) => (one.saves_share ?? 0) > 0);
    assert.equal(await page.locator('section[aria-labelledby=places] li').count(), places.length);
  }));

test('plugging a vent by keyboard answers at once, and the full solve bears the estimate out', () =>
  withPage(phone, async (page, shop) => {
    const { id } = await shop.closingBox();
    await openAir(page, id);
    const { gas } = await shop.airStudy(id);
    // The vent that matters most and may be plugged, not yet far.
    const vent = [...gas.vents].sort((a, b) => b.sensitivity - a.sensitivity).find((one) => one.plugged < 0.7)!;
    const last = (column: number) => cell(page, 'reached last', column).innerText();
    const before = Number(await last(0));
    await slide(page, vent.id, 25);
    await until('the estimate stands beside what was found', async () => (await cell(page, 'reached last', 1).count()) === 1);
    const estimated = Number(await last(1));
    assert.ok(estimated > before, `${estimated} is no later than ${before}`);
    await page.getByRole('button', { name: 'Solve it in full' }).click();
    await until('the full solve is there', async () => (await page.locator('section[aria-labelledby=figures] thead').innerText()).includes('solved'), 120_000);
    const solved = Number(await last(1));
    console.log(`        ${vent.id} 25 points further plugged: found ${before} s, estimated ${estimated} s, solved ${solved} s`);
    assert.ok(Math.abs(estimated / solved - 1) < 0.1, `estimated ${estimated} s, solved ${solved} s`);
    await page.getByRole('radio', { name: 'As tried' }).waitFor();
    await page.getByRole('button', { name: 'Back to as found' }).click();
    assert.equal(await cell(page, 'reached last', 1).count(), 0);
  }));

test('a study under way shows how far it is and can be cancelled', () =>
  withPage(desk, async (page, shop) => {
    const { id } = await shop.closingBox();
    await openAir(page, id);
    const { gas } = await shop.airStudy(id);
    await slide(page, gas.vents[0]!.id, 3 + Math.floor(20 * Math.random()));
    await page.getByRole('button', { name: 'Solve it in full' }).click();
    await page.getByRole('progressbar').waitFor();
    await page.getByRole('button', { name: 'Cancel' }).click();
    await until('the job has gone', async () => (await page.getByRole('progressbar').count()) === 0, 60_000);
    assert.ok((await page.locator('section[aria-labelledby=figures] thead').innerText()).includes('estimated'));
    assert.equal(await page.getByRole('button', { name: 'Solve it in full' }).isEnabled(), true);
  }));

// The limit a person's hand does not notice; the middle of thirty steps, so that one hiccup of the machine does not count.
test('a step of a vent’s slider is answered within 50 ms', () =>
  withPage(desk, async (page, shop) => {
    await openAir(page, (await shop.closingBox()).id);
    const steps = await page.evaluate(async () => {
      const slider = document.querySelector<HTMLInputElement>('section[aria-labelledby=vents] input[type=range]')!;
      const figure = document.querySelector('section[aria-labelledby=figures]')!;
      const took: number[] = [];
      for (let step = 0; step < 30; step++) {
        const answered = new Promise<void>((told) => {
          const watch = new MutationObserver(() => (watch.disconnect(), told()));
          watch.observe(figure, { subtree: true, characterData: true, childList: true });
        });
        const start = performance.now();
        slider.value = String(20 + 2 * step);
        slider.dispatchEvent(new Event('input', { bubbles: true }));
        await answered;
        took.push(performance.now() - start);
      }
      return took.sort((a, b) => a - b);
    });
    console.log(`        half of the steps took up to ${steps[15]!.toFixed(1)} ms, the slowest ${steps[29]!.toFixed(1)} ms`);
    assert.ok(steps[15]! < 50, `half of the steps took longer than ${steps[15]!.toFixed(0)} ms`);
  }));

// Cut in the middle, the face of the cut is drawn in the map's colours: the picture changes with the map and with the cut.
test('the cavity is cut open by a slider, and every map is drawn', () =>
  withPage(desk, async (page, shop) => {
    await openAir(page, (await shop.closingBox()).id);
    const view = page.locator('.view');
    const pictures = new Set<string>();
    // Two pictures alike in a row are no longer being drawn.
    const look = async (what: string): Promise<void> => {
      let last = '';
      await until(`${what} is drawn like nothing before`, async () => {
        const before = last;
        last = (await view.screenshot()).toString('base64');
        return last === before && !pictures.has(last);
      });
      pictures.add(last);
    };
    await look('the first map');
    for (const map of ['What fills last', 'Where one more vent helps']) {
      await page.getByRole('radio', { name: map }).check();
      await look(map);
    }
    await page.getByRole('slider', { name: 'How deep it is cut open' }).fill('10');
    await look('a shallower cut');
    await page.getByRole('radio', { name: 'From the front' }).check();
    await look('the front');
  }));
