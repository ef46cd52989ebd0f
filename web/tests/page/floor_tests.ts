import { strict as assert } from 'node:assert';
import { test, until } from '../page_test';
import { desk, withPage } from './visit';

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
