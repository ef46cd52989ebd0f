import { strict as assert } from 'node:assert';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Job } from '../../src/api/types';
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

test('a half of the box is sent as what it is', () =>
  withPage(desk, async (page, shop) => {
    const { box, reading } = await shop.readBox();
    await page.goto(`/#/box/${encodeURIComponent(box.id)}/scan`);
    await page.getByLabel('Scan file').setInputFiles({ name: 'half.xyz', mimeType: 'text/plain', buffer: await shop.scanText(reading) });
    await page.getByRole('radio', { name: 'Lower half', exact: true }).check();
    await page.getByText('The lower half, cleaned').waitFor();
    const sent = page.waitForRequest((one) => one.method() === 'POST' && one.url().includes('/scans?'));
    await page.getByRole('button', { name: 'Read this scan' }).click();
    assert.equal(new URL((await sent).url()).searchParams.get('of'), 'half-lower');
  }));

test('a design of several bodies asks which one is the core, and reads on with the answer', () =>
  withPage(desk, async (page, shop) => {
    const { box, reading } = await shop.readBox();
    // No box of this shop has such a design: the service's answers are given here, as its own tests hold them.
    const job: Job = {
      id: 'asks', kind: 'scan-reading', box: box.id, file: 'asm.xyz', state: 'failed', share: 0, step: '', queued_at: new Date().toISOString(),
      problem: { what: 'holds 2 bodies', mend: 'choose' },
      bodies: [{ number: 1, name: 'print', size_mm: [40, 20, 10] }, { number: 2, name: '', size_mm: [120, 80, 60] }],
    };
    await page.route('**/api/boxes/*/scans?*', (route) => route.fulfill({ status: 202, json: job }));
    const chosen: unknown[] = [];
    await page.route('**/api/jobs/asks/body', (route) => {
      chosen.push(route.request().postDataJSON());
      const { problem: _, bodies: __, ...again } = job;
      return route.fulfill({ status: 202, json: { ...again, id: 'again', state: 'queued' } });
    });
    await page.goto(`/#/box/${encodeURIComponent(box.id)}/scan`);
    await page.getByLabel('Scan file').setInputFiles({ name: 'asm.xyz', mimeType: 'text/plain', buffer: await shop.scanText(reading) });
    await page.getByRole('button', { name: 'Read this scan' }).click();
    await page.getByRole('radio', { name: '2: 120 × 80 × 60 mm' }).check();
    await page.getByRole('button', { name: 'Read with this body' }).click();
    await page.getByText('Waiting its turn').waitFor();
    assert.deepEqual(chosen, [{ design_body: 2 }]);
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
    // Long enough to be under way for some seconds: a button that goes while it is reached for cannot be pressed. So much
    // is taken from a file; handed to the browser as bytes it may take half a minute.
    const folder = mkdtempSync(join(tmpdir(), 'boxfettle-page-'));
    const file = join(folder, 'long_scan.xyz');
    try {
      writeFileSync(file, await shop.scanText(reading, 18));
      await page.getByLabel('Scan file').setInputFiles(file);
      await page.getByRole('button', { name: 'Read this scan' }).click();
      await page.getByRole('button', { name: 'Cancel', exact: true }).click({ timeout: 60_000 });
      await until('the job says so', () => page.getByText('Cancelled', { exact: true }).isVisible(), 60_000);
    } finally {
      rmSync(folder, { recursive: true });
    }
  }));
