// The pictures of the README: `npm run pictures`, from the real program when BOXFETTLE_URL names one.
import { mkdir, writeFile } from 'node:fs/promises';
import { openBrowser, openPage, place, signIn } from './browser';
import { ShopCalls } from './shop_calls';

const folder = '../docs/pictures';
const where = place();
const browser = await openBrowser();
const { page } = await openPage(browser, where, { width: 1280, height: 860 });
await mkdir(folder, { recursive: true });
await signIn(page, where);
await page.waitForTimeout(300);
await writeFile(`${folder}/floor.png`, await page.screenshot());

const { box, reading } = await new ShopCalls(page).readBox();
await page.goto(`/#/box/${encodeURIComponent(box.id)}/reading/${encodeURIComponent(reading)}`);
await page.locator('canvas').waitFor();
const { findings } = await new ShopCalls(page).reading(reading);
const shown = findings.findIndex((one) => (one.area_mm2 ?? 0) > 0 && one.kind !== 'unseen');
await page.locator('section[aria-labelledby=findings] li button').nth(Math.max(0, shown)).click();
await page.mouse.move(0, 0);
await page.waitForTimeout(1500);
await writeFile(`${folder}/reading.png`, await page.screenshot());
await page.goto(`/#/box/${encodeURIComponent((await new ShopCalls(page).closingBox()).id)}/closing`);
await page.getByRole('heading', { name: 'In numbers' }).waitFor();
await page.mouse.move(0, 0);
await page.waitForTimeout(300);
await writeFile(`${folder}/closing.png`, await page.screenshot());
console.log(`${folder}/floor.png, reading.png and closing.png, from ${where.url}`);
await browser.close();
process.exit(0);
