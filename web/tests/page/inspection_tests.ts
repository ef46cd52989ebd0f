import { strict as assert } from 'node:assert';
import type { Page } from 'playwright-core';
import { test, until } from '../page_test';
import type { ShopCalls } from '../shop_calls';
import { desk, phone, withPage } from './visit';

const passes = (page: Page) => page.getByRole('button', { name: 'Passes', exact: true });
const fails = (page: Page) => page.getByRole('button', { name: 'Fails', exact: true });

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
