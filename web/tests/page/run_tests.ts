import { strict as assert } from 'node:assert';
import { test, until } from '../page_test';
import { phone, withPage } from './visit';

test('a run goes from labels and first pieces over care to its count, and the pieces come back', () =>
  withPage(phone, async (page, shop) => {
    const box = await shop.freshBox(['A', 'B']);
    await shop.inspect(box, []);
    await page.goto(`/#/box/${box}/run`);
    await page.getByLabel('Station', { exact: true }).fill('Station 9');
    await page.getByLabel('Cores planned').fill('40');
    await page.getByRole('button', { name: 'Start the run' }).click();
    await page.getByText(`Loose piece ${box}-A (Former A) is not confirmed in the box.`).waitFor();

    const label = page.getByLabel('Label of the piece');
    await label.fill('SOMETHING-ELSE');
    await label.press('Enter');
    await page.getByText('SOMETHING-ELSE does not belong to this box.').waitFor();
    for (const piece of ['A', 'B']) {
      await label.fill(`${box}-${piece}`.toLowerCase());
      await label.press('Enter');
    }
    await page.getByRole('button', { name: 'Start the run' }).click();
    await page.getByRole('heading', { name: 'First pieces', level: 2 }).first().waitFor();

    const { first_pieces } = (await shop.box(box)).run!;
    await page.getByRole('button', { name: 'This piece is good' }).click();
    await page.getByText(`1 of ${first_pieces} good ones in a row.`).waitFor();
    await page.getByRole('button', { name: 'This piece is bad' }).click();
    await page.getByText('Say in a word or two what is wrong.').waitFor();
    await page.getByLabel('What is wrong with it').fill('soft corner');
    await page.getByRole('button', { name: 'This piece is bad' }).click();
    await page.getByText(`0 of ${first_pieces} good ones in a row.`).waitFor();
    for (let good = 1; good <= first_pieces; good++) {
      await page.getByRole('button', { name: 'This piece is good' }).click();
      await page.getByText(good < first_pieces ? `${good} of ${first_pieces} good ones` : 'Passed:').waitFor();
    }
    await page.getByRole('heading', { name: 'Running', exact: true }).waitFor();

    await page.getByRole('button', { name: 'Done now: Clean the vents' }).click();
    await page.getByText('Clean the vents: written down.').waitFor();
    assert.ok((await shop.box(box)).run!.care.find((one) => one.id === 'vents')!.last);

    await page.getByRole('button', { name: 'Break' }).click();
    await page.getByRole('heading', { name: 'Paused', exact: true }).waitFor();
    await page.getByRole('button', { name: 'Go on' }).click();
    await page.getByRole('heading', { name: 'Running', exact: true }).waitFor();
    await page.getByLabel('To whom').fill('Asha');
    await page.getByLabel('Shots so far').fill('12');
    await page.getByRole('button', { name: 'Hand over' }).click();
    await until('Asha is in charge', async () => (await shop.box(box)).run?.in_charge === 'Asha');

    await page.getByLabel('Cores made').fill('40');
    await page.getByLabel('Of these bad').fill('41');
    for (const piece of ['A', 'B']) {
      await page.getByLabel('Label of the piece').fill(`${box}-${piece}`);
      await page.getByLabel('Label of the piece').press('Enter');
    }
    await page.getByRole('button', { name: 'Close the run' }).click();
    await page.getByText('Say how many of them are bad').waitFor();
    await page.getByLabel('Of these bad').fill('2');
    await page.getByRole('button', { name: 'Close the run' }).click();
    await page.getByText('The run is closed.').waitFor();
    const after = await shop.box(box);
    assert.equal(after.run, undefined);
    assert.equal(after.made, 40);
    assert.deepEqual(after.pieces.map((one) => one.place.kind), ['bay', 'bay']);
  }));

test('a box that was not inspected cannot be run, and the page leads to the inspection', () =>
  withPage(phone, async (page, shop) => {
    const box = await shop.freshBox();
    await page.goto(`/#/box/${box}/run`);
    await page.getByLabel('Station', { exact: true }).fill('Station 9');
    await page.getByLabel('Cores planned').fill('40');
    await page.getByRole('button', { name: 'Start the run' }).click();
    await page.getByText('The opening inspection is not done').waitFor();
    await page.getByRole('link', { name: 'Go to the inspection' }).click();
    await page.getByRole('heading', { name: `Inspect ${box}` }).waitFor();
  }));

test('a run closed without a loose piece holds the box until it is found', () =>
  withPage(phone, async (page, shop) => {
    const box = await shop.freshBox(['A']);
    await shop.inspect(box, []);
    await shop.tell(box, 'run-opened', { station: 'Station 9', planned: 10, pieces: [`${box}-A`] });
    await page.goto(`/#/box/${box}/run`);
    await page.getByLabel('Cores made').fill('10');
    await page.getByRole('button', { name: 'Close without them' }).click();
    await page.getByText('The run is closed.').waitFor();
    const after = await shop.box(box);
    assert.equal(after.verdict.state, 'hold');
    assert.ok(after.verdict.reasons.some((one) => one.text.includes(`${box}-A`)), JSON.stringify(after.verdict));
  }));
