// A visit to the page: one browser for all tests, a fresh context for each, and what no screen may do, gathered.
import type { Page } from 'playwright-core';
import { openBrowser, openPage, place, signIn, type Look } from '../browser';
import { until } from '../page_test';
import { ShopCalls } from '../shop_calls';

export const where = place();
export const browser = await openBrowser();
export const phone: Look = { width: 360, height: 740, touch: true };
export const desk: Look = { width: 1280, height: 800 };

// Broken policy and thrown errors of every visit.
export const complaints: string[] = [];

export async function withPage(
  look: Look, body: (page: Page, shop: ShopCalls) => Promise<void>, signedIn = true,
): Promise<void> {
  const { context, page } = await openPage(browser, where, look);
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    if (/Content Security Policy|Content-Security-Policy/.test(message.text())) complaints.push(message.text());
  });
  try {
    if (signedIn) await signIn(page, where);
    await body(page, new ShopCalls(page));
  } finally {
    await context.close();
  }
}

export async function openBox(page: Page, id: string): Promise<void> {
  await page.goto(`/#/box/${encodeURIComponent(id)}`);
  await page.getByRole('heading', { name: 'Logbook' }).waitFor();
}
export async function openClosing(page: Page, id: string): Promise<void> {
  await page.goto(`/#/box/${encodeURIComponent(id)}/closing`);
  await page.getByRole('heading', { name: 'In numbers' }).waitFor();
}
export async function openAir(page: Page, id: string): Promise<void> {
  await page.goto(`/#/box/${encodeURIComponent(id)}/air`);
  // The first visit works the box out.
  await page.getByRole('heading', { name: 'Before and after' }).waitFor({ timeout: 120_000 });
  await page.locator('canvas').waitFor();
  await until('a vent stands on the cavity', () => page.locator('button.vent').first().isVisible());
}
export async function openDiagnosis(page: Page, id: string): Promise<void> {
  await page.goto(`/#/box/${encodeURIComponent(id)}/diagnosis`);
  await page.getByRole('heading', { name: 'What is known' }).waitFor();
}
export async function openMeasure(page: Page, id: string): Promise<void> {
  await page.goto(`/#/box/${encodeURIComponent(id)}/measure`);
  await page.getByRole('heading', { name: 'What the chart says' }).waitFor();
}
export async function openToolRoom(page: Page): Promise<void> {
  await page.goto('/#/tool-room');
  await page.getByRole('heading', { name: 'Planned runs' }).waitFor();
}
export async function openNotices(page: Page): Promise<void> {
  await page.goto('/#/notices');
  await page.getByRole('heading', { name: 'Due within a day' }).waitFor();
}
export async function openReading(page: Page, shop: ShopCalls): Promise<{ box: string; reading: string }> {
  const { box, reading } = await shop.readBox();
  await page.goto(`/#/box/${encodeURIComponent(box.id)}/reading/${encodeURIComponent(reading)}`);
  await page.locator('canvas').waitFor();
  await until('a marker stands on the core', () => page.locator('.marks button').first().isVisible());
  return { box: box.id, reading };
}
