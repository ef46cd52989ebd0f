import { strict as assert } from 'node:assert';
import { test } from '../page_test';
import { phone, withPage } from './visit';

test('a bad core is reported in two touches, with its place', () =>
  withPage(phone, async (page, shop) => {
    const box = await shop.runningBox();
    await page.goto(`/#/box/${box}/defect`);
    const picture = page.getByRole('button', { name: 'The core seen from above' });
    const { width, height } = (await picture.boundingBox())!;
    await picture.tap({ position: { x: width * 0.25, y: height * 0.75 } });
    await page.getByRole('button', { name: 'Fin', exact: true }).tap();
    await page.getByText('Written: Fin, 1 core.').waitFor();
    const [seen] = (await shop.box(box)).defects;
    assert.equal(seen?.defect, 'fin');
    assert.ok(Math.abs(seen.x! - 0.25) < 0.02 && Math.abs(seen.y! - 0.75) < 0.02, JSON.stringify(seen));
    assert.equal(seen.run, (await shop.box(box)).run!.run);
  }));

test('a defect without a place, of several cores, is reported by keyboard alone', () =>
  withPage(phone, async (page, shop) => {
    const box = await shop.runningBox();
    await page.goto(`/#/box/${box}/defect`);
    await page.getByRole('button', { name: 'One more' }).press('Enter');
    await page.getByRole('button', { name: 'Overweight' }).press('Enter');
    await page.getByRole('button', { name: 'Nowhere to point at' }).press('Enter');
    await page.getByText('Written: Overweight, 2 cores.').waitFor();
    const [seen] = (await shop.box(box)).defects;
    assert.equal(seen?.count, 2);
    assert.equal(seen.x, undefined);
  }));
