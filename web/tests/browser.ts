// One browser, and where the program serves its page: BOXFETTLE_URL, with BOXFETTLE_NAME and BOXFETTLE_PASSPHRASE.
import { chromium, type Browser, type BrowserContext, type Page } from 'playwright-core';

export interface Place {
  url: string;
  name: string;
  passphrase: string;
}

export function place(): Place {
  const { BOXFETTLE_URL: url, BOXFETTLE_NAME: name, BOXFETTLE_PASSPHRASE: passphrase } = process.env;
  if (!url || !name || !passphrase) throw new Error('say where the program is: tests/page/against_the_program.sh does, or set BOXFETTLE_URL, _NAME and _PASSPHRASE');
  return { url: url.replace(/\/$/, ''), name, passphrase };
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
