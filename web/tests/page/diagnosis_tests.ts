import { strict as assert } from 'node:assert';
import { test, until } from '../page_test';
import { desk, openDiagnosis, phone, withPage } from './visit';

test('a bad core leads to the next check, the check to the cause, and the cause is confirmed', () =>
  withPage(phone, async (page, shop) => {
    const box = await shop.freshBox();
    await page.goto(`/#/box/${box}`);
    await page.getByRole('link', { name: 'Find the cause' }).click();
    await page.getByRole('heading', { name: 'Nothing is wrong' }).waitFor();
    await shop.tell(box, 'defect-seen', { defect: 'not-filled', count: 3, remark: 'at the tongue' });
    await page.getByText('not filled on 3: at the tongue').waitFor();

    const { checks, faults } = await shop.diagnosis(box);
    const look = page.getByRole('link', { name: `Look at ${checks[0]!.called} now` });
    assert.match(await page.locator('section[aria-labelledby=next]').innerText(), new RegExp(`“${checks[0]!.fault}” goes from \\d+\\s% to \\d+\\s%`));
    const first = page.locator('section[aria-labelledby=faults] > ol > li').first();
    assert.match(await first.innerText(), new RegExp(faults[0]!.title));
    assert.match(await first.innerText(), new RegExp(`${Math.round(100 * faults[0]!.probability)}\\s%`));

    await look.click();
    assert.equal(await page.locator('nav[aria-label=Checks]').count(), 0, 'one checkpoint alone');
    await page.goto(`/#/box/${box}/inspect/vents`);
    await page.getByLabel('Counted').fill('4');
    await page.getByRole('button', { name: 'Fails', exact: true }).click();
    await page.getByRole('button', { name: 'To the summary' }).click();
    await page.getByRole('button', { name: 'Write to the logbook' }).click();
    await page.getByRole('link', { name: 'What it tells of the cause' }).click();
    await until('the failed vents stand among the evidence', async () =>
      (await page.locator('section[aria-labelledby=evidence]').innerText()).includes('vents failed (4)'));
    const after = await shop.diagnosis(box);
    assert.equal(after.faults[0]!.id, 'vents-plugged');
    assert.ok(after.faults[0]!.probability > faults.find((one) => one.id === 'vents-plugged')!.probability);

    await page.getByRole('button', { name: 'This was the cause: Vents plugged' }).click();
    await page.getByLabel('What was done').fill('vents blown free');
    await page.getByRole('button', { name: 'Write to the logbook' }).click();
    await page.getByText('the cause was “Vents plugged”').waitFor();
    await page.getByRole('heading', { name: 'Nothing is wrong' }).waitFor();
    const [confirmed] = (await shop.diagnosis(box)).confirmed;
    assert.deepEqual(confirmed?.seen, ['not-filled', 'vents']);
    assert.equal(confirmed?.remark, 'vents blown free');
    assert.ok((await shop.box(box)).logbook[0]!.text.includes('Cause found: Vents plugged'));
  }));

test('each piece of evidence leads to its entry in the logbook', () =>
  withPage(desk, async (page, shop) => {
    const box = await shop.freshBox();
    await shop.tell(box, 'defect-seen', { defect: 'fin', count: 1 });
    const { evidence } = await shop.diagnosis(box);
    await openDiagnosis(page, box);
    await page.getByRole('link', { name: `Entry ${evidence[0]!.entry}` }).click();
    await page.locator(`#entry-${evidence[0]!.entry}.pointed`).waitFor();
    assert.match(await page.locator(`#entry-${evidence[0]!.entry}`).innerText(), /fin/);
  }));

test('what was looked for and is not there lowers the faults that would have brought it', () =>
  withPage(phone, async (page, shop) => {
    const box = await shop.freshBox();
    await shop.tell(box, 'defect-seen', { defect: 'not-filled', count: 1 });
    const wet = async () => (await shop.diagnosis(box)).faults.find((one) => one.id === 'sand-wet')!.probability;
    const before = await wet();
    await openDiagnosis(page, box);
    await page.getByRole('button', { name: 'Sticking: looked for and not there' }).tap();
    await until('it stands among the evidence', async () =>
      (await page.locator('section[aria-labelledby=evidence]').innerText()).includes('Sticking: not there'));
    assert.ok((await wet()) < before);
    assert.equal(await page.getByRole('button', { name: 'Sticking: looked for and not there' }).count(), 0);
  }));

test('what the shop has learnt is shown with its counts and is set back with a reason', () =>
  withPage(desk, async (page, shop) => {
    const box = await shop.freshBox();
    await shop.tell(box, 'defect-seen', { defect: 'erosion', count: 1 });
    await shop.tell(box, 'cause-confirmed', { fault: 'pressure-high' });
    await page.goto(`/#/box/${box}/diagnosis`);
    await page.getByText('What the shop has learnt').click();
    const row = page.getByRole('row', { name: /Blow pressure high/ });
    const learnt = async () => (await shop.learning()).faults.find((one) => one.id === 'pressure-high')!.prior;
    const taught = await learnt();
    assert.ok((await row.innerText()).includes(`${taught.yes} of ${taught.yes + taught.no}`), await row.innerText());
    await page.getByLabel('Which fault').selectOption('pressure-high');
    await page.getByRole('button', { name: 'Set back to as shipped' }).click();
    await page.getByText('Say why.').waitFor();
    await page.getByLabel('Why', { exact: true }).fill('the pressure gauge was wrong');
    await page.getByRole('button', { name: 'Set back to as shipped' }).click();
    await page.getByText('Set back.').waitFor();
    assert.equal((await learnt()).yes, 0);
    await until('its row is gone', async () => (await row.count()) === 0);
  }));
