import { strict as assert } from 'node:assert';
import { test, until } from '../page_test';
import { desk, openBox, openClosing, phone, withPage } from './visit';

test('a box page leads to how the box closes, with the figures that the service gives', () =>
  withPage(desk, async (page, shop) => {
    const box = await shop.closingBox();
    await openBox(page, box.id);
    await page.getByRole('link', { name: 'How it closes' }).click();
    await page.getByRole('heading', { name: 'In numbers' }).waitFor();
    const { answer, dowels, clamps } = await shop.closing(box.id);
    const figures = await page.locator('section[aria-labelledby=figures]').innerText();
    assert.ok(figures.includes(answer.dowels!.worst_mismatch_mm!.toFixed(3)), figures);
    assert.ok(figures.includes(answer.gap.growth_mm!.max.toFixed(2)), figures);
    assert.ok(figures.includes(answer.gap.clamp_margin!.toFixed(2)), figures);
    assert.equal(await page.locator('section[aria-labelledby=face] .dowel').count(), dowels.length);
    await page.getByRole('radio', { name: 'Clamps' }).check();
    assert.equal(await page.locator('section[aria-labelledby=face] .clamp').count(), clamps.length);
    for (const caution of answer.cautions) assert.ok((await page.locator('section[aria-labelledby=care]').innerText()).includes(caution));
  }));

test('the page of a box without a box file offers neither how it closes nor its air, and says what is missing when asked', () =>
  withPage(desk, async (page, shop) => {
    const { id } = await shop.boxWithoutFile();
    for (const [link, part] of [['How it closes', 'closing'], ['Air and gas', 'air']] as const) {
      await openBox(page, id);
      assert.equal(await page.getByRole('link', { name: link }).count(), 0);
      await page.goto(`/#/box/${encodeURIComponent(id)}/${part}`);
      await page.getByRole('alert').waitFor();
    }
  }));

test('sliding a bush wider by keyboard makes the worst mismatch larger, and the record’s values come back', () =>
  withPage(phone, async (page, shop) => {
    const box = await shop.closingBox();
    await openClosing(page, box.id);
    const worst = page.locator('section[aria-labelledby=figures] .value').first();
    const before = await worst.innerText();
    await page.getByRole('slider', { name: 'Bush' }).first().focus();
    for (let step = 0; step < 30; step++) await page.keyboard.press('ArrowRight');
    await until('the worst mismatch has grown', async () => Number(await worst.innerText()) > Number(before));
    assert.ok((await page.locator('section[aria-labelledby=what-if]').innerText()).includes('on record'));
    await page.getByRole('button', { name: 'Back to the values on record' }).click();
    await until('the record’s figure is back', async () => (await worst.innerText()) === before);
  }));

// The limit a person's hand does not notice; the middle of thirty steps, so that one hiccup of the machine does not count.
test('a step of a slider is answered within 50 ms', () =>
  withPage(desk, async (page, shop) => {
    await openClosing(page, (await shop.closingBox()).id);
    const steps = await page.evaluate(async () => {
      const slider = document.querySelector<HTMLInputElement>('fieldset input[type=range]')!;
      const figure = document.querySelector('section[aria-labelledby=figures]')!;
      const took: number[] = [];
      for (let step = 0; step < 30; step++) {
        const answered = new Promise<void>((told) => {
          const watch = new MutationObserver(() => (watch.disconnect(), told()));
          watch.observe(figure, { subtree: true, characterData: true, childList: true });
        });
        const start = performance.now();
        slider.value = String(slider.valueAsNumber - 0.02);
        slider.dispatchEvent(new Event('input', { bubbles: true }));
        await answered;
        took.push(performance.now() - start);
      }
      return took.sort((a, b) => a - b);
    });
    assert.ok(steps[15]! < 50, `half of the steps took longer than ${steps[15]!.toFixed(0)} ms`);
  }));
