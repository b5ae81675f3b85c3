// Without a network: every page answers, what is entered waits, and on return everything is there once.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import {
  NEW_READING, UNIT, Network, browser, controlled, entries, fillReading, readings, set, stopWorkers, stored, submit,
  until, worker, writeReading,
} from './support.mjs';

const sent = (page) => until(async () => (await stored(page, 'outbox')) === 0, 'the outbox is sent');
const askToSend = (page) => page.evaluate(() => navigator.serviceWorker.controller.postMessage('send'));

test('val_a_reading_written_without_a_network_is_kept_shown_sent_and_merged', async (t) => {
  const { network, context, ledger, origin } = await set(t);
  const page = await controlled(context, origin);
  const other = await browser();
  t.after(() => other.close());
  const desk = await controlled(other, origin);

  await network.close();
  for (const path of ['/', `/units/${UNIT}`, `/units/${UNIT}/log`, NEW_READING]) {
    const response = await page.goto(origin + path);
    assert.equal(response.status(), 200, path);
    assert.ok(response.fromServiceWorker(), path);
  }
  await writeReading(page, origin, 'cellar, no signal');
  assert.equal(await stored(page, 'outbox'), 1);
  await page.reload();
  assert.match(await page.locator('body').innerText(), /wait/i);
  await stopWorkers(page);
  await page.goto(`${origin}/units/${UNIT}/log`);
  assert.match(await page.locator('main').innerText(), /cellar, no signal/);

  await network.open();
  await writeReading(desk, origin, 'from the desk');
  await askToSend(page);
  await sent(page);
  await page.goto(`${origin}/units/${UNIT}/log`);
  await desk.goto(`${origin}/units/${UNIT}/log`);
  for (const [name, at] of [['phone', page], ['desk', desk]]) {
    const text = await at.locator('main').innerText();
    assert.match(text, /cellar, no signal/, name);
    assert.match(text, /from the desk/, name);
  }
  assert.equal(readings(ledger, 'cellar, no signal').length, 1);
  assert.equal(readings(ledger, 'from the desk').length, 1);
});

test('val_a_network_that_swallows_everything_is_given_up_on', async (t) => {
  const { network, context, ledger, origin } = await set(t);
  const page = await controlled(context, origin);
  network.set('hole');
  await writeReading(page, origin, 'into the hole');
  assert.equal(await stored(page, 'outbox'), 1);
  network.set('pass');
  await askToSend(page);
  await sent(page);
  assert.equal(readings(ledger, 'into the hole').length, 1);
});

test('val_a_lost_reply_makes_no_second_entry', async (t) => {
  const { network, context, ledger, origin } = await set(t);
  const page = await controlled(context, origin);
  await page.goto(origin + NEW_READING);
  await fillReading(page, 'the reply was lost');
  network.set('deaf');
  await submit(page);
  await page.waitForURL((url) => !url.pathname.endsWith('/new'));
  await askToSend(page);
  // The server has it by now, and the browser does not know.
  await until(() => readings(ledger, 'the reply was lost').length === 1, 'the request came through');
  assert.equal(await stored(page, 'outbox'), 1);
  network.set('pass');
  await askToSend(page);
  await sent(page);
  assert.equal(readings(ledger, 'the reply was lost').length, 1);
});

test('val_a_form_sent_twice_is_one_entry', async (t) => {
  const { network, context, ledger, origin } = await set(t);
  const page = await controlled(context, origin);
  await network.close();
  await page.goto(origin + NEW_READING);
  await fillReading(page, 'twice');
  await page.evaluate(async () => {
    const form = document.querySelector('main form[method="post"]');
    const twin = window.open('about:blank', 'twin');
    form.target = 'twin';
    form.requestSubmit();
    form.target = '';
    await new Promise((resolve) => setTimeout(resolve, 0));
    form.requestSubmit();
    twin?.blur();
  });
  await page.waitForURL((url) => !url.pathname.endsWith('/new'));
  await until(async () => (await stored(page, 'outbox')) > 0, 'it is kept');
  assert.equal(await stored(page, 'outbox'), 1);
  await network.open();
  await askToSend(page);
  await sent(page);
  assert.equal(readings(ledger, 'twice').length, 1);
});

test('val_going_back_and_saving_an_edit_keeps_the_edit', async (t) => {
  // Playwright turns the cache off that restores a form with what was typed in it: here it is on.
  const { network, context, ledger, origin } = await set(t, { ignoreDefaultArgs: ['--disable-back-forward-cache'] });
  const page = await controlled(context, origin);
  await network.close();
  await page.goto(origin + NEW_READING);
  await fillReading(page, 'first words');
  await submit(page);
  await page.waitForURL((url) => !url.pathname.endsWith('/new'));
  // From that cache no page is loaded anew.
  await page.goBack({ waitUntil: 'commit' });
  await until(async () => (await page.locator('[name="note"]').inputValue()) === 'first words', 'the form as it was left');
  await page.locator('[name="note"]').fill('second words');
  await submit(page);
  await page.waitForURL((url) => !url.pathname.endsWith('/new'));
  await network.open();
  await askToSend(page);
  await sent(page);
  assert.equal(readings(ledger, 'second words').length, 1);
});

test('val_the_worker_refuses_a_foreign_form', async (t) => {
  const { server, network, context, ledger, origin } = await set(t);
  const page = await controlled(context, origin);
  const foreign = await new Network(server).open();
  t.after(() => foreign.close());
  const before = entries(ledger).length;
  for (const cut of [false, true]) {
    const attacker = await context.newPage();
    // A page of another origin: the other port of the same server, answered without a worker of its own.
    await attacker.route('**/evil', (route) => route.fulfill({ contentType: 'text/html', body: '<form method="post"></form>' }));
    await attacker.goto(`${foreign.origin}/evil`);
    if (cut) await network.close();
    const answered = attacker.waitForResponse((response) => response.url().startsWith(origin) && response.request().method() === 'POST');
    await attacker.evaluate((action) => {
      const form = document.querySelector('form');
      form.action = action;
      form.innerHTML = '<input name="permeate_flow" value="1 L/h"><input name="note" value="forged">';
      form.submit();
    }, origin + NEW_READING);
    assert.equal((await answered).status(), 403, cut ? 'without a network' : 'with one');
  }
  assert.equal(await stored(page, 'outbox'), 0);
  assert.equal(entries(ledger).length, before);
});

test('val_a_full_storage_is_said_and_nothing_is_lost', async (t) => {
  const { network, context, ledger, origin } = await set(t);
  const page = await controlled(context, origin);
  await network.close();
  await writeReading(page, origin, 'before it was full');
  await page.goto(origin + NEW_READING);
  await fillReading(page, 'when it was full');
  // Real exhaustion could not be provoked: the write throws what it would throw then.
  await (await worker(context)).evaluate(() => {
    self.kept = IDBObjectStore.prototype.add;
    IDBObjectStore.prototype.add = () => { throw new DOMException('full', 'QuotaExceededError'); };
  });
  const answered = page.waitForResponse((response) => response.request().method() === 'POST');
  await submit(page);
  assert.equal((await answered).status(), 507);
  const value = await page.locator('[name="note"]').inputValue();
  assert.equal(value, 'when it was full');
  assert.equal(await stored(page, 'outbox'), 1);
  await (await worker(context)).evaluate(() => (IDBObjectStore.prototype.add = self.kept));
  await submit(page);
  await until(async () => (await stored(page, 'outbox')) === 2, 'it is kept once there is room');
  await network.open();
  await askToSend(page);
  await sent(page);
  for (const note of ['before it was full', 'when it was full']) assert.equal(readings(ledger, note).length, 1, note);
});

test('val_a_state_that_trapped_is_read_anew', async (t) => {
  const { network, context, origin } = await set(t);
  const page = await controlled(context, origin);
  await network.close();
  await page.goto(origin);
  await (await worker(context)).evaluate(async () => {
    const instance = await pages;
    instance.field.respond = () => { throw new WebAssembly.RuntimeError('unreachable'); };
  });
  const response = await page.goto(origin);
  assert.equal(response.status(), 200);
  assert.ok((await page.locator('main').innerText()).length > 100);
});

test('val_a_new_version_takes_over_and_keeps_the_outbox', async (t) => {
  const { network, context, ledger, origin } = await set(t);
  const page = await controlled(context, origin);
  await network.close();
  await writeReading(page, origin, 'under the old version');
  await page.goto(origin);
  // The next version: the same script under another name of the same length. Nothing can be sent meanwhile.
  const versions = () => page.evaluate(() => caches.keys());
  const [before] = await versions();
  const version = before.replace('saltmark-', '');
  network.rewrite = {
    browser: [['Accept-Encoding', 'X-ccept-Encodin'], ['POST /sync', 'POST /nync']],
    server: [[version, 'the-next-version']],
  };
  await network.open();
  await page.evaluate(async () => (await navigator.serviceWorker.getRegistration()).update());
  await until(async () => (await versions()).join() === 'saltmark-the-next-version', `a version after ${before}`, 30_000);
  assert.equal(await stored(page, 'outbox'), 1);
  network.rewrite = { browser: [], server: [] };
  await askToSend(page);
  await sent(page);
  assert.equal(readings(ledger, 'under the old version').length, 1);
});

test('val_a_server_killed_while_the_outbox_is_sent_loses_and_doubles_nothing', async (t) => {
  const { server, network, context, ledger, origin } = await set(t);
  const page = await controlled(context, origin);
  const notes = [];
  for (let round = 0; round < 8; round++) {
    await network.close();
    const note = `round ${round} of the kills`;
    notes.push(note);
    await writeReading(page, origin, note, `${30 + round} L/h`);
    await network.open();
    const asked = askToSend(page);
    await new Promise((resolve) => setTimeout(resolve, round * 4));
    await server.kill();
    await asked;
    await server.start();
  }
  await askToSend(page);
  await sent(page);
  for (const note of notes) assert.equal(readings(ledger, note).length, 1, note);
});
