// One browser, and where the page is served: the real program when BOXFETTLE_URL says so, else the mock.
import { existsSync } from 'node:fs';
import { chromium, type Browser, type BrowserContext, type Page } from 'playwright-core';
import { startMock } from './mock_server';

export interface Place {
  url: string;
  name: string;
  passphrase: string;
  mocked: boolean;
  close(): Promise<void>;
}

export async function place(): Promise<Place> {
  const url = process.env.BOXFETTLE_URL;
  if (url) {
    const { BOXFETTLE_NAME: name, BOXFETTLE_PASSPHRASE: passphrase } = process.env;
    if (!name || !passphrase) throw new Error('BOXFETTLE_URL needs BOXFETTLE_NAME and BOXFETTLE_PASSPHRASE beside it');
    return { url: url.replace(/\/$/, ''), name, passphrase, mocked: false, close: async () => {} };
  }
  if (!existsSync('dist/index.html')) throw new Error('dist/ is missing: npm run build first');
  return { ...(await startMock({ pages: 'dist' })), mocked: true };
}

export const openBrowser = (): Promise<Browser> =>
  chromium.launch({
    executablePath: process.env.BOXFETTLE_CHROMIUM ?? '/usr/bin/chromium',
    args: [
      '--no-sandbox', '--disable-gpu', '--enable-unsafe-swiftshader', '--disable-quic', '--no-first-run',
      '--disable-background-networking', '--disable-component-update', '--disable-sync',
    ],
  });

export interface Look {
  width: number;
  height: number;
  dark?: boolean;
  touch?: boolean;
}

export async function openPage(browser: Browser, { url }: Place, look: Look): Promise<{ context: BrowserContext; page: Page }> {
  const context = await browser.newContext({
    baseURL: url,
    locale: 'en-GB',
    viewport: { width: look.width, height: look.height },
    colorScheme: look.dark ? 'dark' : 'light',
    hasTouch: look.touch ?? false,
    reducedMotion: 'reduce',
  });
  return { context, page: await context.newPage() };
}

export async function signIn(page: Page, { name, passphrase }: Place): Promise<void> {
  await page.goto('/');
  await page.getByLabel('Name').fill(name);
  await page.getByLabel('Passphrase', { exact: true }).fill(passphrase);
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.getByRole('heading', { name: 'The floor' }).waitFor();
  await page.locator('.rails a').first().waitFor();
}
