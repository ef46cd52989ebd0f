import { strict as assert } from 'node:assert';
import { test } from '../page_test';
import { desk, phone, withPage } from './visit';

test('an engineer words the checkpoints; a mistake is told with its place and changes nothing', () =>
  withPage(desk, async (page, shop) => {
    const before = await shop.checkpoints();
    await page.goto('/#/checkpoints');
    const text = page.getByLabel('The checkpoints', { exact: true });
    await text.waitFor();
    const toml = await text.inputValue();
    await text.fill(toml.replace('consequence = "hold"', 'consequence = "halt"'));
    await page.getByLabel('Why they change').fill('clearer words');
    await page.getByRole('button', { name: 'Put into force' }).click();
    await page.getByText("'halt' is not known").waitFor();
    assert.deepEqual(await shop.checkpoints(), before);
    const words = 'The number on both halves';
    await text.fill(toml.replace(/version = \d+/, `version = ${before.version + 1}`).replace(/^title = .*$/m, `title = "${words}"`));
    await page.getByRole('button', { name: 'Put into force' }).click();
    await page.getByText('In force from now on.').waitFor();
    await page.getByText(`Version ${before.version + 1}`).waitFor();
    assert.equal((await shop.checkpoints()).checkpoints[0]!.title, words);
  }));

test('a photo of what an inspection saw goes into the logbook, and a value beyond its bound cannot pass', () =>
  withPage(phone, async (page, shop) => {
    const box = await shop.freshBox();
    const { checkpoints } = await shop.checkpoints();
    await page.goto(`/#/box/${box}/inspect`);
    const steps = page.locator('nav[aria-label=Checks] button');
    await steps.nth(checkpoints.findIndex((one) => one.id === 'dowels')).click();
    await page.getByText('Allowed: up to 0.20 mm').waitFor();
    await page.locator('#value').fill('0,3');
    await page.getByRole('button', { name: 'Passes', exact: true }).click();
    await page.getByText('beyond what is allowed').waitFor();

    await steps.nth(checkpoints.findIndex((one) => one.evidence === 'photo')).click();
    // The smallest whole picture: one grey pixel.
    const png = Buffer.from('iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNoAAAAggCBd81ytgAAAABJRU5ErkJggg==', 'base64');
    await page.locator('input[type=file]').setInputFiles({ name: 'face.png', mimeType: 'image/png', buffer: png });
    await page.getByRole('img', { name: 'Photo:' }).waitFor();
    await page.getByRole('button', { name: 'Passes', exact: true }).click();
    for (const one of checkpoints) {
      await steps.nth(checkpoints.indexOf(one)).click();
      if (one.evidence === 'measure' || one.evidence === 'count') await page.locator('#value').fill('0');
      await page.getByRole('button', { name: 'Passes', exact: true }).click();
    }
    await page.getByRole('button', { name: 'Write to the logbook' }).click();
    await page.getByRole('heading', { name: 'Written to the logbook.' }).waitFor();
    await page.goto(`/#/box/${box}`);
    await page.getByRole('img', { name: 'Photo of entry' }).waitFor();
  }));
