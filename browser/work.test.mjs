// "Do the work": a whole change in a cellar, left and taken up in the middle, proved, and found on the server afterwards.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import {
  SCREENS, SIZES, UNIT, browser, controlled, entries, set, soundAsItStands, stopWorkers, stored, until, worker,
} from './support.mjs';

/** A picture of one point. */
const PICTURE = Buffer.from('iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==', 'base64');

/** The work's own entries of a ledger, oldest first. */
const marks = (ledger) =>
  entries(ledger)
    .filter(({ payload }) => payload.kind === 'work' && payload.unit === UNIT)
    .map(({ payload }) => payload.mark);

/** The step that the page has a button for; nothing at the proof. */
const step = async (page) => {
  const now = page.locator('input[name="step"]');
  return (await now.count()) ? Number(await now.first().inputValue()) : undefined;
};

/** Chooses one part, reads the cautions, begins. */
const begin = async (page, part) => {
  for (const box of await page.locator('main form input[name="w"]:checked').all()) await box.uncheck();
  await page.locator(`input[name="w"][value="change:${part}"]`).check();
  await page.getByRole('button', { name: 'To the card' }).first().click();
  await page.waitForURL(/\/work\/card/);
  await page.locator('input[name="read"]').check();
  await page.getByRole('button', { name: 'Begin' }).click();
  await page.waitForURL(/\/work\/[0-9a-f-]{36}$/);
};

/** Presses a button of the step, with its caution read. */
const press = async (page, name, note) => {
  const seen = page.locator('input[name="seen"]');
  if (await seen.count()) await seen.check();
  const field = page.locator('textarea[name="note"]');
  if (note && (await field.count())) await field.fill(note);
  const button = page.locator(`main form button[name="do"][value="${name}"]`);
  await Promise.all([page.waitForNavigation(), button.click()]);
};

/** What the page says a reading should be. */
const should = async (page, name) => {
  const hint = await page.locator(`#f-${name}-hint`).innerText();
  return /Should be ([\d.]+)/.exec(hint)[1];
};

/** The worker's clock, so many hours ahead: a test does not sit through the waiting times of a card. */
const ahead = async (context, hours) => {
  await (await worker(context)).evaluate((ms) => {
    self.realNow ??= Date.now.bind(Date);
    Date.now = () => self.realNow() + ms;
  }, hours * 3_600_000);
};

/** Makes sure that the page is whole at both sizes; those with `keep` have their picture in the repository. */
const look = async (page, keep) => {
  mkdirSync(SCREENS, { recursive: true });
  for (const [size, viewport] of Object.entries(SIZES)) {
    await page.setViewportSize(viewport);
    await soundAsItStands(page);
    if (keep) await page.screenshot({ path: join(SCREENS, `${keep}-${size}.png`) });
  }
  await page.setViewportSize(SIZES.phone);
};

test('val_a_whole_change_without_a_network_is_left_taken_up_proved_and_found_on_the_server', async (t) => {
  const { network, context, ledger, origin } = await set(t);
  const page = await controlled(context, origin);
  const before = entries(ledger);
  await network.close();

  await page.goto(`${origin}/units/${UNIT}`);
  await look(page);
  await page.getByRole('link', { name: 'Do the work' }).click();
  await look(page);
  await page.locator('input[name="w"][value="change:carbon"]').check();
  await page.goto(`${origin}/units/${UNIT}/work/card?w=change%3Acarbon`);
  await look(page);
  // The writer of PDF is with the server: without a network that is said plainly, and nothing is lost.
  await page.locator('summary', { hasText: 'Print' }).click();
  await page.getByRole('link', { name: 'Job card as PDF (A4)' }).click();
  await page.waitForURL(/\/print\/card/);
  assert.match(await page.locator('main').innerText(), /whatever is printed .* Without a signal they have to wait/);
  await page.goto(`${origin}/units/${UNIT}/labels`);
  await look(page, 'labels');
  await page.goto(`${origin}/units/${UNIT}/work`);
  await begin(page, 'carbon');
  const address = page.url();

  let [steps, waits, hours, pictured] = [0, 0, 0, false];
  for (let n = await step(page); n; n = await step(page)) {
    assert.equal(n, ++steps, 'one after the other');
    if (!pictured && (await page.locator('section.danger').count())) {
      pictured = true;
      await look(page, 'work-step');
    }
    if (n === 6) {
      // The telephone went dark, the browser put the worker away, and the page is asked for anew.
      await stopWorkers(page);
      await page.reload();
      assert.equal(await step(page), 6);
      await ahead(context, hours);
      // Left altogether, and found again on the first page.
      await page.goto(`${origin}/`);
      await page.getByRole('link', { name: 'Go on with it' }).click();
      assert.equal(page.url(), address);
      assert.equal(await step(page), 6);
      // Back to look, and forward again.
      await page.getByRole('link', { name: 'Back' }).click();
      assert.match(await page.locator('main').innerText(), /Done\./);
      await page.goBack();
      assert.equal(await step(page), 6);
    }
    if (await page.locator('button[value="wait"]').count()) {
      await press(page, 'wait');
      const shown = page.locator('.timer output');
      assert.match(await shown.innerText(), /^\d+:\d\d$/);
      if (waits++ === 0) {
        await look(page);
        // Asleep for three hours: what counts is the clock, not how often the page was awake.
        await page.evaluate(() => {
          const now = Date.now;
          Date.now = () => now() + 3 * 3_600_000;
          document.dispatchEvent(new Event('visibilitychange'));
        });
        await until(async () => /The time is over/.test(await page.locator('.timer').innerText()), 'the timer wakes');
      }
      hours += 3;
      await ahead(context, hours);
    }
    await press(page, 'done', 'grey slime');
    assert.ok(steps < 100, 'it comes to an end');
  }
  t.diagnostic(`${steps} steps of the hand, ${waits} with a time`);
  assert.ok(steps > 10 && waits >= 2);

  // The proof: today's conditions first.
  await page.locator('[name="feed_temperature"]').fill('9 C');
  await page.locator('[name="inlet_pressure"]').fill('400 kPa');
  await page.locator('[name="note"]').fill('all dry, by the torch');
  // What was typed outlives the page: a call came in, the browser loads it anew.
  await page.reload();
  for (const [name, typed] of [['feed_temperature', '9 C'], ['inlet_pressure', '400 kPa'], ['note', 'all dry, by the torch']]) {
    assert.equal(await page.locator(`[name="${name}"]`).inputValue(), typed);
  }
  await Promise.all([page.waitForNavigation(), page.getByRole('button', { name: 'Hold it against today' }).click()]);
  assert.match(await page.locator('section.asked').innerText(), /Not proved/);
  const flow = await should(page, 'permeate_flow');
  const salt = await should(page, 'permeate_conductivity');
  await page.locator('[name="permeate_flow"]').fill(`${Number(flow) / 4} L/h`);
  await page.locator('[name="permeate_conductivity"]').fill(`${salt} uS/cm`);
  await Promise.all([page.waitForNavigation(), page.getByRole('button', { name: 'Finish and write it all down' }).click()]);
  assert.match(await page.locator('main').innerText(), /does not pass/);
  await look(page, 'work-proof');
  const waiting = await stored(page, 'outbox');
  await page.locator('[name="permeate_flow"]').fill(`${flow} L/h`);
  assert.equal(await page.locator('[name="note"]').inputValue(), 'all dry, by the torch');
  assert.match(await page.locator('[name="seen.carbon"]').inputValue(), /grey slime/);
  await page.locator('input[type="file"]').setInputFiles({ name: 'bowl.png', mimeType: 'image/png', buffer: PICTURE });
  await Promise.all([page.waitForNavigation(), page.getByRole('button', { name: 'Finish and write it all down' }).click()]);
  assert.match(await page.locator('main').innerText(), /Finished/);
  assert.equal(await page.evaluate(() => sessionStorage.length), 0, 'nothing typed is left behind');
  await look(page);
  // Part, reading, photograph and end, and the unit of measure that was typed: all of them or none.
  assert.ok((await stored(page, 'outbox')) >= waiting + 4);
  assert.equal(entries(ledger).length, before.length, 'the server knows nothing yet');

  await network.open();
  await page.evaluate(() => navigator.serviceWorker.controller.postMessage('send'));
  await until(async () => (await stored(page, 'outbox')) === 0, 'the outbox is sent');
  const known = new Set(before.map(({ id }) => id));
  const written = entries(ledger).filter(({ id }) => !known.has(id)).map(({ payload }) => payload);
  const of = (kind) => written.filter((payload) => payload.kind === kind);
  assert.deepEqual(of('event').map(({ document }) => [document.kind, document.part]), [['changed', 'carbon']]);
  assert.match(of('event')[0].document.note, /grey slime/);
  assert.equal(of('reading').length, 1);
  assert.match(of('reading')[0].reading.note, /all dry, by the torch/);
  assert.equal(of('attachment').length, 1);
  const ends = of('work').filter(({ mark }) => mark === 'ended');
  assert.deepEqual(ends.map(({ finished }) => finished), [true]);
  assert.equal(of('work').filter(({ mark }) => mark === 'done').length, steps);

  const other = await browser({ serviceWorkers: 'block' });
  t.after(() => other.close());
  const desk = await other.newPage();
  await desk.goto(`${origin}/units/${UNIT}/log`);
  const log = await desk.locator('main').innerText();
  assert.match(log, /Work begun: Change: Carbon filter/);
  assert.match(log, /Work finished: Change: Carbon filter/);
  assert.doesNotMatch(log, /A step of a work/);
});

test('val_a_work_begun_at_one_device_is_gone_on_with_at_another_without_script', async (t) => {
  const { ledger, origin, context } = await set(t, { serviceWorkers: 'block', javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${origin}/units/${UNIT}/work`);
  await begin(page, 'carbon');
  await press(page, 'done');
  await press(page, 'done');

  const other = await browser({ serviceWorkers: 'block', javaScriptEnabled: false });
  t.after(() => other.close());
  const phone = await other.newPage();
  await phone.goto(`${origin}/units/${UNIT}`);
  await phone.getByRole('link', { name: 'Go on with it' }).click();
  assert.equal(await step(phone), 3);
  // The last step was not done after all; and what the first device still shows is overtaken, and marks nothing.
  await phone.getByRole('link', { name: 'Back' }).click();
  await press(phone, 'undo');
  assert.equal(await step(phone), 2);
  await press(phone, 'done');
  const stale = await page.locator('input[name="step"]').first().inputValue();
  assert.equal(stale, '3');
  await press(phone, (await phone.locator('button[value="wait"]').count()) ? 'wait' : 'done');
  const count = marks(ledger).length;
  await press(page, (await page.locator('button[value="wait"]').count()) ? 'wait' : 'done');
  assert.equal(marks(ledger).length, count);
  assert.deepEqual(marks(ledger).slice(0, 5), ['begun', 'done', 'done', 'undone', 'done']);

  // Given up knowingly, on either.
  await phone.locator('details summary').last().click();
  await phone.locator('input[name="sure"]').check();
  await Promise.all([phone.waitForNavigation(), phone.getByRole('button', { name: 'Give it up' }).click()]);
  await page.goto(`${origin}/units/${UNIT}`);
  assert.doesNotMatch(await page.locator('main').innerText(), /Work under way/);
});

test('val_the_dark_card_has_enough_contrast', async (t) => {
  const { origin, context } = await set(t, { serviceWorkers: 'block', colorScheme: 'dark' });
  const page = await context.newPage();
  await page.goto(`${origin}/units/${UNIT}/work`);
  await soundAsItStands(page);
  await begin(page, 'carbon');
  assert.equal(await page.locator('section.danger').count(), 1);
  await soundAsItStands(page);
});
