import { strict as assert } from 'node:assert';
import { test, until } from '../page_test';
import { signIn } from '../browser';
import { desk, openNotices, openToolRoom, phone, where, withPage } from './visit';

test('the tool room shows each late run with a shape, a word and why, as the service tells it', () =>
  withPage(desk, async (page, shop) => {
    await page.goto('/#/');
    await page.getByRole('link', { name: 'Tool room', exact: true }).click();
    await page.getByRole('heading', { name: 'Planned runs' }).waitFor();
    const { runs } = await shop.toolRoomPlan();
    const shown = page.locator('section[aria-labelledby=runs] > ol > li');
    assert.equal(await shown.count(), runs.length);
    assert.ok(runs.some((run) => run.late), 'a late run to look at');
    for (const [i, run] of runs.entries()) {
      const words = await shown.nth(i).innerText();
      assert.ok(words.includes(run.box), words);
      assert.equal(/Late by|Will not be ready/.test(words), run.late, words);
      assert.ok((await shown.nth(i).locator('svg').count()) > 0, 'a shape beside the word');
      if (run.held_up) assert.ok(words.includes(run.held_up.job), words);
      if (run.never) assert.ok(words.includes(run.never.lacks), words);
    }
  }));

test('a finding is made a job with one’s own hours and leaves the proposals', () =>
  withPage(phone, async (page, shop) => {
    await openToolRoom(page);
    const before = (await shop.toolRoomPlan()).proposals;
    const first = page.locator('section[aria-labelledby=proposals] > ul > li').first();
    const [box, what] = [before[0]!.box, before[0]!.what];
    await first.getByLabel('Hours', { exact: true }).fill('nine');
    await first.getByRole('button').click();
    await first.getByText('Type the hours first').waitFor();
    await first.getByLabel('Hours', { exact: true }).fill('2.5');
    await first.getByRole('button').click();
    await page.getByText(`${box} has its job.`).waitFor();
    const after = await shop.toolRoomPlan();
    assert.equal(after.proposals.length, before.length - 1);
    const jobs = [...after.fitters.flatMap((fitter) => fitter.jobs), ...after.not_planned];
    assert.ok(jobs.some((job) => job.box === box && job.what === what && job.hours === 2.5));
  }));

test('a supervisor sees the jobs but has no hands for them; a fitter begins and finishes them', () =>
  withPage(desk, async (page, shop) => {
    await openToolRoom(page);
    const me = await shop.me();
    if (me.role !== 'fitter' && me.role !== 'tooling') assert.equal(await page.getByRole('button', { name: /^Begin/ }).count(), 0);
    await page.route('**/api/me', (route) => route.fulfill({ json: { ...me, role: 'fitter' } }));
    await page.reload();
    await page.getByRole('button', { name: /^Begin/ }).first().waitFor();
    await page.getByRole('button', { name: /^Begin/ }).first().click();
    await page.getByRole('button', { name: /^Done/ }).first().click();
    await page.getByLabel('Hours it took').fill('3');
    const jobs = (await shop.toolRoomPlan()).fitters.flatMap((fitter) => fitter.jobs).length;
    await page.getByRole('button', { name: 'Write it down' }).click();
    await until('the job is gone', async () => (await shop.toolRoomPlan()).fitters.flatMap((fitter) => fitter.jobs).length === jobs - 1);
  }));

test('what is pressed while another word is on its way waits for it and is not lost', () =>
  withPage(desk, async (page, shop) => {
    await openToolRoom(page);
    const { proposals } = await shop.toolRoomPlan();
    let letGo = (): void => undefined;
    const held = new Promise<void>((go) => (letGo = go));
    await page.route('**/told/job-raised', async (route) => (await held, route.continue()), { times: 1 });
    const go = page.locator('section[aria-labelledby=proposals] button');
    await go.nth(0).click();
    assert.equal(await go.nth(1).isDisabled(), true);
    const second = go.nth(0).click({ timeout: 15_000 }); // the next proposal, once the first is a job
    letGo();
    await second;
    await until('both are jobs', async () => (await shop.toolRoomPlan()).proposals.length === proposals.length - 2);
  }));

test('a refusal stands on the screen with what to do next', () =>
  withPage(desk, async (page) => {
    await openToolRoom(page);
    await page.route('**/told/job-raised', (route) =>
      route.fulfill({ status: 409, json: { what: 'The box is scrapped.', mend: 'Leave it.' } }));
    await page.locator('section[aria-labelledby=proposals] button').first().click();
    await page.getByRole('alert').getByText('The box is scrapped.').waitFor();
  }));

test('notices tell what is overdue, due and changed, and what was seen is not told again', () =>
  withPage(phone, async (page, shop) => {
    // Yusuf, a fitter: what the others told is news to him.
    await signIn(page, { ...where, name: 'Yusuf' });
    await openNotices(page);
    const { overdue } = await shop.notices();
    assert.ok((await page.locator('section[aria-labelledby=overdue] li').count()) >= Math.min(1, overdue.length));
    const changed = page.locator('section[aria-labelledby=changed] li');
    await until('changes are listed', async () => (await changed.count()) > 0);
    await page.getByRole('button', { name: 'I have seen these' }).click();
    await page.getByText('Nothing has changed.').waitFor();
    await page.reload();
    await page.getByText('Nothing has changed.').waitFor();
    assert.ok((await page.locator('.address').innerText()).includes('/calendar.ics?token='));
  }, false));
