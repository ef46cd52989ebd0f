import { strict as assert } from 'node:assert';
import { test, until } from '../page_test';
import { desk, openBox, openMeasure, phone, withPage } from './visit';

const chartOf = 'section[aria-labelledby=chart]';
const saysOf = 'section[aria-labelledby=signals]';

test('a gauge types a weight and Enter, the field waits for the next, and another open page’s chart moves by itself', () =>
  withPage(phone, async (page, shop) => {
    const box = await shop.movedBox();
    const { values } = await shop.chart(box.id, 'core weight');
    const { upper } = (await shop.chart(box.id, 'core weight')).limits;
    await openMeasure(page, box.id);
    const other = await page.context().newPage();
    await openMeasure(other, box.id);
    await until('the other page is live', () => other.getByText('Live', { exact: true }).isVisible());

    await until('the field has the keyboard', () => page.locator('#value').evaluate((field) => field === document.activeElement));
    const heavy = (upper + 8).toFixed(1);
    await page.keyboard.type(heavy);
    await page.keyboard.press('Enter');
    await page.keyboard.type(heavy);
    await page.keyboard.press('Enter');
    await page.getByText(`No. ${values + 2} kept`).waitFor();
    await until('the signal is told in words', async () =>
      (await page.locator('.says').innerText()).includes('A value outside the limits'));
    assert.equal(await page.locator('#value').inputValue(), '');
    await until('the other page shows it', async () =>
      (await other.locator('section[aria-labelledby=values]').innerText()).includes(`no. ${values + 2}`));
    assert.equal((await shop.chart(box.id, 'core weight')).values, values + 2, 'each value is kept once');
  }));

test('the screen says between which cores the weight moved, by which rule, and leads to what it may mean', () =>
  withPage(desk, async (page, shop) => {
    const box = await shop.movedBox();
    const chart = await shop.chart(box.id, 'core weight');
    await openBox(page, box.id);
    await page.getByRole('link', { name: 'Weigh and measure' }).click();
    await page.getByRole('heading', { name: 'What the chart says' }).waitFor();
    const says = await page.locator(saysOf).innerText();
    for (const { low_label, high_label } of chart.changes) {
      assert.ok(says.includes(`no. ${low_label}`) && says.includes(`no. ${high_label}`), says);
    }
    assert.ok(says.includes('A value outside the limits'), says);
    assert.ok((await page.locator(`${chartOf} path.signal`).count()) > 0, 'signals have a shape of their own');
    for (const link of await page.locator(`${saysOf} a`).all()) {
      await page.goto((await link.getAttribute('href'))!.replace(/^#/, '/#'));
      await until('the link leads to a screen', async () => (await page.locator('h1').count()) > 0 && (await page.getByRole('alert').count()) === 0);
      await page.goBack();
      await page.locator(saysOf).waitFor();
    }
  }));

test('a slip of a digit is doubted before it is kept', () =>
  withPage(desk, async (page, shop) => {
    const box = await shop.movedBox();
    const before = (await shop.chart(box.id, 'core weight')).values;
    await openMeasure(page, box.id);
    await page.locator('#value').fill('2');
    await page.keyboard.press('Enter');
    await page.getByText('press Enter again').waitFor();
    assert.equal((await shop.chart(box.id, 'core weight')).values, before);
  }));

test('weights typed while the network is away arrive once it is back, each once', () =>
  withPage(desk, async (page, shop) => {
    const box = await shop.movedBox();
    const { values, limits } = await shop.chart(box.id, 'core weight');
    await openMeasure(page, box.id);
    await page.route('**/measurements', (route) => (route.request().method() === 'POST' ? route.abort() : route.continue()));
    for (let i = 0; i < 2; i++) {
      await page.locator('#value').fill(limits.centre.toFixed(1));
      await page.keyboard.press('Enter');
    }
    await page.getByText('2 values wait').waitFor();
    await page.unroute('**/measurements');
    await page.getByRole('button', { name: 'Try again' }).click();
    await page.getByText(`No. ${values + 2} kept`).waitFor();
    assert.equal((await shop.chart(box.id, 'core weight')).values, values + 2);
  }));
