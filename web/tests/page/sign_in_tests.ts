import { strict as assert } from 'node:assert';
import { signIn } from '../browser';
import { test } from '../page_test';
import { ShopCalls } from '../shop_calls';
import { desk, where, withPage } from './visit';

test('a wrong passphrase is refused in words and the page stays at sign-in', () =>
  withPage(desk, async (page) => {
    await page.goto('/');
    await page.getByLabel('Name').fill(where.name);
    await page.getByLabel('Passphrase', { exact: true }).fill('not the passphrase');
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByRole('alert').waitFor();
    assert.ok((await page.getByRole('alert').innerText()).length > 10);
    assert.ok(await page.getByRole('heading', { name: 'Sign in' }).isVisible());
  }, false));

test('an empty name is asked for before anything is sent', () =>
  withPage(desk, async (page) => {
    await page.goto('/');
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByText('Type your name.').waitFor();
    assert.equal(await page.evaluate(() => document.activeElement?.id), 'name');
  }, false));

test('a link to a box survives the sign-in', () =>
  withPage(desk, async (page) => {
    await signIn(page, where);
    const { boxes } = await new ShopCalls(page).floor();
    await page.context().clearCookies();
    await page.goto(`/#/box/${encodeURIComponent(boxes[0]!.id)}`);
    await page.reload();
    await page.getByLabel('Name').fill(where.name);
    await page.getByLabel('Passphrase', { exact: true }).fill(where.passphrase);
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByRole('heading', { level: 1 }).filter({ hasText: boxes[0]!.id }).waitFor();
  }, false));

test('light and dark follow the device until the switch is used, which is kept', () =>
  withPage({ ...desk, dark: true }, async (page) => {
    const theme = () => page.evaluate(() => document.documentElement.dataset.theme);
    assert.equal(await theme(), 'dark');
    await page.getByRole('button', { name: 'Use light colours' }).click();
    assert.equal(await theme(), 'light');
    await page.reload();
    assert.equal(await theme(), 'light');
  }));
