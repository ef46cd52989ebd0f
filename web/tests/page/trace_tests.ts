import { strict as assert } from 'node:assert';
import { test } from '../page_test';
import { phone, withPage } from './visit';

test('a failed check puts cores in doubt; they are listed and closed lot by lot', () =>
  withPage(phone, async (page, shop) => {
    const box = await shop.runningBox();
    const { run } = (await shop.box(box)).run!;
    await shop.tell(box, 'run-closed', { run, made: 40, bad: 0, condition: 'good', went_to: 'Line 2' });
    await shop.inspect(box, ['vents']);
    await page.goto(`/#/box/${box}/trace`);
    await page.getByRole('button', { name: 'List these cores' }).first().click();
    await page.getByText('1 of 1 lot still open').first().waitFor();
    await page.getByLabel('Good', { exact: true }).fill('39');
    await page.getByLabel('Bad', { exact: true }).fill('2');
    await page.getByLabel('What was done with them').fill('sorted on the bench');
    await page.getByRole('button', { name: 'Close this lot' }).click();
    await page.getByText('The lot has').waitFor();
    await page.getByLabel('Good', { exact: true }).fill('38');
    await page.getByRole('button', { name: 'Close this lot' }).click();
    await page.getByText('38 good, 2 bad: sorted on the bench').waitFor();
    assert.ok((await shop.box(box)).traces.every((one) => one.closed));
  }));

test('a false alarm closes a list with its reason', () =>
  withPage(phone, async (page, shop) => {
    const box = await shop.runningBox();
    const { run } = (await shop.box(box)).run!;
    await shop.tell(box, 'run-closed', { run, made: 40, bad: 0, condition: 'good' });
    await shop.inspect(box, ['vents']);
    await shop.tell(box, 'suspects-listed', { property: 'vents', why: 'vents failed' });
    await page.goto(`/#/box/${box}/trace`);
    await page.locator('summary', { hasText: 'False alarm' }).click();
    await page.getByLabel('Why it is a false alarm').fill('the brush was lying in the vent');
    await page.getByRole('button', { name: 'False alarm' }).click();
    await page.getByText('It was a false alarm: the brush was lying in the vent').waitFor();
    assert.equal((await shop.box(box)).traces[0]!.false_alarm, 'the brush was lying in the vent');
  }));
