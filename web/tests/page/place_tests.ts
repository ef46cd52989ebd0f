import { strict as assert } from 'node:assert';
import { test, until } from '../page_test';
import { desk, phone, withPage } from './visit';

test('a loose piece moves by two labels', () =>
  withPage(phone, async (page, shop) => {
    const box = await shop.freshBox(['A']);
    await shop.tellShop('place-registered', { label: 'P-77', rack: 'Rack Z', place: { kind: 'bay', text: 'Rack Z, bay 7' } });
    await page.goto('/#/move');
    await page.getByLabel('Label of the box or loose piece').fill(`${box}-A`);
    await page.keyboard.press('Enter');
    await page.getByText(`Loose piece ${box}-A, Former A, of ${box}`).waitFor();
    await until('the place field has the keyboard', () => page.evaluate(() => document.activeElement?.id === 'place-label'));
    await page.keyboard.type('p-77');
    await page.keyboard.press('Enter');
    await page.getByText('now stands at Rack Z, bay 7.').waitFor();
    assert.equal((await shop.box(box)).pieces[0]!.place.text, 'Rack Z, bay 7');
  }));

test('a label nobody knows is told, and a box moves by touch', () =>
  withPage(phone, async (page, shop) => {
    const box = await shop.freshBox();
    await page.goto('/#/move');
    await page.getByLabel('Label of the box or loose piece').fill('NO-SUCH');
    await page.keyboard.press('Enter');
    await page.getByText('No box and no loose piece has the label NO-SUCH.').waitFor();
    await page.goto(`/#/move/${box}`);
    await page.getByRole('button', { name: 'Tool room' }).click();
    await page.getByText('now stands at Tool room.').waitFor();
    assert.equal((await shop.box(box)).place.kind, 'tool-room');
  }));

test('a stock-take tells what was found, what strayed and what is missing', () =>
  withPage(desk, async (page, shop) => {
    const rack = `Rack Q${Math.floor(Math.random() * 1e6)}`;
    const [here, gone, stray] = [await shop.freshBox(), await shop.freshBox(), await shop.freshBox()];
    for (const id of [here, gone]) await shop.tell(id, 'moved', { to: 'bay', text: `${rack}, bay 1` });
    await page.goto('/#/stock-take');
    await page.getByLabel('Rack', { exact: true }).fill(rack);
    await page.getByLabel('Bay (may stay empty)').fill(`${rack}, bay 1`);
    for (const code of [here, stray, 'NOBODYS']) {
      await page.getByLabel('Label', { exact: true }).fill(code);
      await page.keyboard.press('Enter');
    }
    await page.getByText('3 labels read').waitFor();
    await page.getByRole('button', { name: 'Compare with the record' }).click();
    await page.getByRole('link', { name: gone }).waitFor();
    assert.ok((await page.locator('section[aria-labelledby=stock-missing]').innerText()).includes(gone));
    assert.ok((await page.locator('section[aria-labelledby=stock-strayed]').innerText()).includes(stray));
    assert.ok((await page.locator('section[aria-labelledby=stock-found]').innerText()).includes(here));
    assert.ok((await page.locator('section[aria-labelledby=stock-unknown]').innerText()).includes('NOBODYS'));
    assert.equal((await shop.box(gone)).place.kind, 'missing');
  }));

test('the floor finds a box by the label of its loose piece', () =>
  withPage(phone, async (page, shop) => {
    const box = await shop.freshBox(['Q']);
    await page.goto('/#/');
    await page.locator('.rails a').first().waitFor();
    await page.getByLabel('Find a box').fill(`${box}-Q`);
    await page.locator('.rails a', { hasText: box }).waitFor();
    await until('only that box is shown', async () => (await page.locator('.rails a').count()) === 1);
  }));
