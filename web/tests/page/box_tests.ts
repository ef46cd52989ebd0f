import { strict as assert } from 'node:assert';
import { test, until } from '../page_test';
import { desk, openBox, withPage } from './visit';

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

test('a box page says for how many more shots the box is expected to stay fit, or why that cannot be told', () =>
  withPage(desk, async (page, shop) => {
    const boxes = await Promise.all((await shop.floor()).boxes.map(({ id }) => shop.box(id)));
    for (const box of [boxes.find((one) => one.shots_ahead.shots !== undefined), boxes.find((one) => one.shots_ahead.shots === undefined)]) {
      assert.ok(box, 'the shop has a box of either kind');
      await openBox(page, box.id);
      assert.ok((await page.locator('section[aria-labelledby=verdict]').innerText()).includes(box.shots_ahead.sentence));
    }
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
