import { strict as assert } from 'node:assert';
import { test, until } from '../page_test';
import { desk, phone, withPage } from './visit';

test('an engineer sets the care of a process; the next run of such a box follows it', () =>
  withPage(desk, async (page, shop) => {
    await page.goto('/#/care');
    await page.getByLabel('For boxes of').selectOption('Shell');
    const vents = page.getByRole('group', { name: 'Clean the vents' });
    await vents.getByLabel('Every … minutes').fill('hourly');
    await page.getByLabel('Why it changes').fill('Shell sand clogs sooner.');
    await page.getByRole('button', { name: 'Put into force' }).click();
    await page.getByText('its counts are whole numbers').waitFor();
    await vents.getByLabel('Every … minutes').fill('45');
    await page.getByRole('button', { name: 'Put into force' }).click();
    await page.getByText('It counts from the next run on.').waitFor();
    await page.getByText('Shell sand clogs sooner.').waitFor();

    const box = await shop.freshBox();
    await shop.tell(box, 'registered', { name: 'Shell box', process: 'shell', material: 'aluminium', makes: 'a shell core', home_place: 'Rack Z, bay 1' });
    const { care } = await shop.careOfBox(box);
    assert.equal(care.find((one) => one.id === 'vents')?.every_minutes, 45);
  }));

test('a box gets its own care and first pieces, and goes back to the shop’s', () =>
  withPage(phone, async (page, shop) => {
    const box = await shop.freshBox();
    await page.goto(`/#/box/${box}/care`);
    await page.getByText('As the program comes: common practice.').waitFor();
    await page.getByRole('button', { name: 'Add a care' }).click();
    const added = page.getByRole('group', { name: 'New care' });
    await added.getByLabel('What is done').fill('Wipe the dowels');
    await page.getByRole('group', { name: 'Wipe the dowels' }).getByLabel('Every … shots').fill('500');
    await page.getByLabel('Why it changes').fill('Fines gather in the slot.');
    await page.getByRole('button', { name: 'Put into force' }).first().click();
    await page.getByText('Chosen for this box.').waitFor();
    assert.equal((await shop.careOfBox(box)).care.at(-1)?.every_shots, 500);

    await page.getByLabel('Good ones in a row').fill('3');
    await page.getByLabel('Measured on each').fill('Core weight\nLength over prints');
    await page.getByRole('button', { name: 'Put into force' }).last().click();
    // Both forms say so, the first since its own change.
    const said = page.getByText('It counts from the next run on.');
    await until('the first pieces are told to be in force', async () => (await said.count()) === 2);
    assert.deepEqual((await shop.careOfBox(box)).first_pieces, { count: 3, to_measure: ['Core weight', 'Length over prints'], chosen: true });

    await page.getByLabel('Why it changes').fill('The slot is closed now.');
    await page.getByRole('button', { name: 'Follow the shop’s again' }).click();
    await page.getByText('As the program comes: common practice.').waitFor();
    assert.equal((await shop.careOfBox(box)).from, 'shipped');
  }));
