import { strict as assert } from 'node:assert';
import { test, until } from '../page_test';
import { desk, openReading, withPage } from './visit';

test('a finding chosen in the list is marked on the core, and a marker chosen on the core is marked in the list', () =>
  withPage(desk, async (page, shop) => {
    const { reading } = await openReading(page, shop);
    const { findings } = await shop.reading(reading);
    const n = findings.findIndex((one) => (one.area_mm2 ?? 0) > 0);
    const before = await page.locator('.view').screenshot();
    await page.locator('section[aria-labelledby=findings] li button').nth(n).click();
    assert.equal(await page.locator('.marks button').nth(n).getAttribute('aria-pressed'), 'true');
    await until('the core is turned to it', async () => !(await page.locator('.view').screenshot()).equals(before));
    await page.locator('.marks button').nth(n).click();
    assert.equal(await page.locator('section[aria-labelledby=findings] li button').nth(n).getAttribute('aria-pressed'), 'false');
    await page.locator('.marks button').nth(n).click();
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
    // To the digit its uncertainty is worth: thousandths below a hundredth, else hundredths.
    const digits = (told.halves?.u95?.mismatch_mm ?? 1) < 0.01 ? 3 : 2;
    if (told.halves?.told) assert.ok(halves.includes(told.halves.mismatch_worst_mm!.toFixed(digits)));
    else assert.match(halves, /Cannot tell|Nothing is known/);
    for (const note of told.notes) assert.ok(await page.locator('.notes').getByText(note).isVisible());
  }));

test('a reading of a half tells its parting face and every dowel, and has no section', () =>
  withPage(desk, async (page, shop) => {
    const { box, reading } = await shop.readHalf();
    const told = await shop.reading(reading);
    await page.goto(`/#/box/${encodeURIComponent(box.id)}/reading/${encodeURIComponent(reading)}`);
    await page.getByRole('heading', { name: /^Scan of the (upper|lower) half/ }).waitFor();
    const face = await page.locator('section[aria-labelledby=face]').innerText();
    if (told.parting_face?.told) assert.ok(face.includes(told.parting_face.flatness_min_zone_mm!.toFixed(told.parting_face.u95_mm! < 0.01 ? 3 : 2)));
    else assert.match(face, /Cannot tell|Nothing is known/);
    const dowels = await page.locator('section[aria-labelledby=dowels]').innerText();
    for (const dowel of told.dowels ?? []) assert.ok(dowels.includes(dowel.told ? dowel.diameter_mm!.toFixed(3) : dowel.why_not!));
    assert.equal(await page.getByRole('heading', { name: 'Section along the parting face' }).count(), 0);
    assert.equal(await page.getByRole('alert').count(), 0);
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
    await page.getByText('cannot draw the surface in three dimensions').waitFor();
    assert.ok((await page.locator('tbody tr').count()) > 0);
    assert.ok((await page.locator('section[aria-labelledby=findings] li').count()) > 0);
  }));
