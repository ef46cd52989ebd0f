import { strict as assert } from 'node:assert';
import { test } from '../page_test';
import { desk, phone, withPage } from './visit';

test('a box is held, the page says why, a concession lets it run and a release frees it', () =>
  withPage(phone, async (page, shop) => {
    const box = await shop.freshBox();
    await page.goto(`/#/box/${box}/hold`);
    await page.locator('summary', { hasText: 'Hold this box' }).click();
    await page.getByLabel('Why', { exact: true }).first().fill('cracked corner');
    await page.getByRole('button', { name: 'Hold this box' }).click();
    await page.getByText('cracked corner').first().waitFor();
    await page.getByText('Release it when what held it is mended').waitFor();

    await page.locator('summary', { hasText: 'Concession' }).click();
    await page.getByLabel('Why it may run').fill('crack lies outside the cavity');
    await page.getByRole('button', { name: 'Concession' }).click();
    await page.getByText('Say how many cores at most.').waitFor();
    await page.getByLabel('At most so many cores').fill('50');
    await page.getByRole('button', { name: 'Concession' }).click();
    await page.getByText('50 cores left').waitFor();

    await page.getByLabel('What was done').fill('welded and dressed');
    await page.getByRole('button', { name: 'Release' }).click();
    await page.getByRole('heading', { name: 'Why it stands as it does' }).waitFor();
    await page.waitForFunction(() => !document.body.innerText.includes('Release it when'));
    assert.notEqual((await shop.box(box)).verdict.state, 'hold');
  }));

test('a safety hold offers no concession and says what ends it', () =>
  withPage(desk, async (page, shop) => {
    const box = await shop.freshBox();
    await shop.inspect(box, ['handles']);
    await page.goto(`/#/box/${box}/hold`);
    await page.getByText('Nobody can waive this.').waitFor();
    assert.equal(await page.locator('summary', { hasText: 'Concession' }).count(), 0);
    await page.getByLabel('What was done').fill('tightened');
    await page.getByRole('button', { name: 'Release' }).click();
    await page.getByRole('alert').waitFor();
    assert.equal((await shop.box(box)).verdict.state, 'hold');
  }));
