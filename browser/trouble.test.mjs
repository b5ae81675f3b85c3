// "What is wrong" in a cellar: an interview without a network, back and forward, on another device, to the real fault.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { Network, Server, axe, browser, controlled, demoLedger, entries, stored, until } from './support.mjs';

/** The unit of the invented valley whose core seal leaks (`crates/demo`; simulated), and what is the matter with it. */
const ILL = 'hatchery';
const FAULT = /O-ring on the membrane's core tube leaks/;

/** Its last reading's values, as the command line exports them. */
const lastReading = (ledger) =>
  entries(ledger)
    .filter(({ payload }) => payload.kind === 'reading' && payload.unit === ILL)
    .sort((a, b) => (a.happened_at < b.happened_at ? -1 : 1))
    .at(-1).payload.reading;

const seriously = async (page) => {
  await page.evaluate(axe.source);
  const { violations } = await page.evaluate(() =>
    axe.run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] }));
  const serious = violations.filter(({ impact }) => impact === 'serious' || impact === 'critical');
  return serious.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html).join(' ')}`);
};

/** The key of the question on the page, or null at the end. */
const question = async (page) => {
  const skip = page.locator('section.asked button[value="skip"]');
  return (await skip.count()) ? skip.getAttribute('name') : null;
};

/** What a technician at this unit answers: the value of the reading in its base unit, or nothing. */
const valueOf = (reading, key) => {
  const units = [[/pressure/, 'kPa'], [/flow/, 'L/h'], [/temperature/, 'C'], [/conductivity/, 'uS/cm'], [/chlorine/, 'mg/L']];
  const [list, part] = key.split('.');
  const value = part ? reading[list]?.[part] : reading[key];
  return typeof value === 'number' ? `${value} ${units.find(([name]) => name.test(key))[1]}` : undefined;
};

test('val_an_interview_without_a_network_comes_to_the_real_fault_and_keeps_what_was_read', async (t) => {
  const server = await new Server(demoLedger()).start();
  const network = await new Network(server).open();
  const context = await browser();
  t.after(async () => {
    await context.close();
    await network.close();
    await server.kill();
  });
  const reading = lastReading(server.ledger);
  const page = await controlled(context, network.origin);
  await network.close();

  await page.goto(`${network.origin}/units/${ILL}`);
  await page.getByRole('link', { name: 'What is wrong' }).click();
  assert.equal(await page.locator('fieldset.choice').count() >= 4, true);
  assert.deepEqual(await seriously(page), []);
  // Nothing was read yet, and nothing was said.
  const none = page.locator('input[name="from"][value=""]');
  if (await none.count()) await none.check();
  await page.locator('main form button').click();
  await page.waitForURL((url) => url.searchParams.has('at'));
  assert.deepEqual(await seriously(page), []);

  const times = [];
  let asked = 0;
  for (let key = await question(page); key; key = await question(page)) {
    assert.ok(asked++ < 60, 'it comes to an end');
    const value = valueOf(reading, key);
    const before = page.url();
    const field = page.locator(`section.asked input[type="text"][name="${key}"]`);
    if (value && (await field.count())) {
      await field.fill(value);
      await page.locator('section.asked button.first').click();
    } else {
      await page.locator('section.asked button[value="skip"]').click();
    }
    await page.waitForURL((url) => url.href !== before && url.searchParams.has(key));
    times.push(await page.evaluate(() => performance.getEntriesByType('navigation')[0].responseEnd));
  }
  times.sort((a, b) => a - b);
  t.diagnostic(`${asked} questions; the worker's answer takes ${times[times.length >> 1].toFixed(0)} ms, at most ${times.at(-1).toFixed(0)} ms`);
  assert.match(await page.locator('p.verdict').last().innerText(), FAULT);
  assert.match(await page.locator('main').innerText(), /What to do/);
  assert.deepEqual(await seriously(page), []);

  // Back is the question before, forward and a reload are where it stood, and the address is all that another device needs.
  const end = page.url();
  await page.goBack();
  assert.ok(await question(page));
  await page.goForward();
  await page.reload();
  assert.equal(page.url(), end);
  assert.match(await page.locator('p.verdict').last().innerText(), FAULT);
  await page.getByRole('button', { name: 'Keep what was read' }).click();
  await page.waitForURL(/\/readings\//);
  assert.equal(await stored(page, 'outbox'), 1);
  await page.goto(end);
  assert.match(await page.locator('main').innerText(), /Kept\./);

  await network.open();
  const other = await browser({ serviceWorkers: 'block' });
  t.after(() => other.close());
  await page.evaluate(() => navigator.serviceWorker.controller.postMessage('send'));
  await until(async () => (await stored(page, 'outbox')) === 0, 'the outbox is sent');
  const desk = await other.newPage();
  await desk.goto(end);
  assert.match(await desk.locator('p.verdict').last().innerText(), FAULT);
  const kept = entries(server.ledger).filter(({ payload }) => payload.kind === 'reading' && payload.unit === ILL && /What is wrong\?/.test(payload.reading.note ?? ''));
  assert.equal(kept.length, 1);
});
