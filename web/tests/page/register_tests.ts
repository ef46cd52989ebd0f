import { strict as assert } from 'node:assert';
import { test } from '../page_test';
import { phone, withPage } from './visit';

// A closed block of 40 x 30 x 20 mm as text, so that a design is at hand without a file.
const corners = [0, 1, 2, 3, 4, 5, 6, 7].map((k) => `v ${k & 1 ? 40 : 0} ${k & 2 ? 30 : 0} ${k & 4 ? 10 : -10}`);
const faces = ['1 3 4', '1 4 2', '5 6 8', '5 8 7', '1 2 6', '1 6 5', '3 7 8', '3 8 4', '1 5 7', '1 7 3', '2 4 8', '2 8 6'];
const block = Buffer.from([...corners, ...faces.map((face) => `f ${face}`)].join('\n') + '\n');
const boxFile = (id: string): Buffer =>
  Buffer.from(`[box]\nid = "${id}"\nname = "Block core"\nprocess = "cold-box"\nmaterial = "aluminium"\ndesign = "block.obj"\n[parting]\npoint_mm = [0, 0, 0]\nnormal = [0, 0, 1]\n[limits]\nmismatch_mm = 0.25\n`);

test('a new box is registered with its box file, design, loose pieces and a drawing', () =>
  withPage(phone, async (page, shop) => {
    const id = `TM-9${Math.floor(Math.random() * 1e6)}`;
    await page.goto('/#/');
    await page.getByRole('link', { name: 'Register' }).click();
    const picks = page.locator('input[type=file]');
    await picks.nth(0).setInputFiles({ name: 'block.toml', mimeType: 'application/toml', buffer: boxFile(id) });
    await page.getByText('block.toml').waitFor();
    assert.equal(await page.getByLabel('Number on the box').inputValue(), id);
    assert.equal(await page.getByLabel('Mismatch limit, mm').inputValue(), '0.25');
    await picks.nth(1).setInputFiles({ name: 'block.obj', mimeType: 'model/obj', buffer: block });
    await page.getByText('block.obj').waitFor();
    await page.getByLabel('What it makes').fill('a block');
    await page.getByLabel('Its place when nobody uses it').fill('Rack Z, bay 2');
    await page.getByRole('button', { name: 'Register the box' }).click();
    await page.getByText(`${id} is on record.`).waitFor();
    await page.getByLabel('Label of the piece').fill(`${id}-A`);
    await page.getByLabel('Name', { exact: true }).last().fill('Former');
    await page.getByRole('button', { name: 'Register this piece' }).click();
    await page.getByText(`${id}-A Former`).waitFor();
    await page.locator('input[type=file]').last().setInputFiles({ name: 'sheet.pdf', mimeType: 'application/pdf', buffer: Buffer.from('%PDF-1.4\n') });
    await page.getByRole('link', { name: 'sheet.pdf' }).waitFor();
    const box = await shop.box(id);
    assert.equal(box.limits.mismatch_mm, 0.25);
    assert.ok(box.has_design && box.has_box_file);
    assert.equal(box.pieces[0]?.name, 'Former');
  }));

test('a box file of another box is refused with what to do', () =>
  withPage(phone, async (page) => {
    await page.goto('/#/register');
    await page.locator('input[type=file]').first().setInputFiles({ name: 'other.toml', mimeType: 'application/toml', buffer: boxFile('TM-OTHER') });
    await page.getByText('other.toml').waitFor();
    for (const [field, text] of [['Number on the box', 'TM-98X'], ['What it makes', 'a block'], ['Its place when nobody uses it', 'Rack Z']] as const)
      await page.getByLabel(field).fill(text);
    await page.getByRole('button', { name: 'Register the box' }).click();
    await page.getByText('is of box TM-OTHER').waitFor();
  }));
