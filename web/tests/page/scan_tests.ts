import { strict as assert } from 'node:assert';
import { test, until } from '../page_test';
import { desk, openBox, withPage } from './visit';

test('a scan is sent, its reading is followed to the end, and the reading opens', () =>
  withPage(desk, async (page, shop) => {
    const { box, reading } = await shop.readBox();
    await openBox(page, box.id);
    await page.getByRole('link', { name: 'Read a scan' }).click();
    await page.getByLabel('Scan file').setInputFiles({ name: 'page_test.xyz', mimeType: 'text/plain', buffer: await shop.scanText(reading) });
    await page.getByRole('radio', { name: 'mm', exact: true }).check();
    await page.getByRole('button', { name: 'Read this scan' }).click();
    await until('the reading is done', () => page.getByRole('link', { name: 'Open the reading' }).isVisible(), 120_000);
    await page.getByRole('link', { name: 'Open the reading' }).click();
    await page.getByRole('heading', { name: 'How the halves stood' }).waitFor();
  }));

test('a file that is no scan is refused in words, at once or when it is read', () =>
  withPage(desk, async (page, shop) => {
    const { box } = await shop.readBox();
    await page.goto(`/#/box/${encodeURIComponent(box.id)}/scan`);
    await page.getByLabel('Scan file').setInputFiles({ name: 'letter.txt', mimeType: 'text/plain', buffer: Buffer.from('Dear tool room,\n') });
    await page.getByRole('button', { name: 'Read this scan' }).click();
    await page.getByRole('alert').waitFor({ timeout: 60_000 });
    assert.ok((await page.getByRole('alert').locator('p').count()) >= 2);
  }));

test('a reading under way can be cancelled', () =>
  withPage(desk, async (page, shop) => {
    const { box, reading } = await shop.readBox();
    await page.goto(`/#/box/${encodeURIComponent(box.id)}/scan`);
    await page.getByLabel('Scan file').setInputFiles({ name: 'long_scan.xyz', mimeType: 'text/plain', buffer: await shop.scanText(reading, 6) });
    await page.getByRole('button', { name: 'Read this scan' }).click();
    await page.getByRole('button', { name: 'Cancel', exact: true }).click({ timeout: 60_000 });
    await until('the job says so', () => page.getByText('Cancelled', { exact: true }).isVisible(), 60_000);
  }));
