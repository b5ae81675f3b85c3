// Every page at the size of a phone and of a desk, with and without script, for the eye, for axe-core and by keyboard.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { NEW_READING, SCREENS, Server, UNIT, axe, browser, demoLedger, readings, fillReading, submit } from './support.mjs';

const SIZES = { phone: { width: 360, height: 780 }, desk: { width: 1280, height: 900 } };

/** The pages, by the name of their picture; those with `keep` are in the repository. */
const PAGES = {
  due: { path: '/', keep: true },
  unit: { path: `/units/${UNIT}`, keep: true },
  log: { path: `/units/${UNIT}/log` },
  water: { path: `/units/${UNIT}/water` },
  'new-reading': { path: NEW_READING, keep: true },
  'new-event': { path: `/units/${UNIT}/events/new` },
  'new-note': { path: `/units/${UNIT}/notes/new` },
  trouble: { path: `/units/${UNIT}/trouble` },
  'trouble-question': { path: `/units/${UNIT}/trouble?at=2026-01-01T10%3A00%3A00Z&observed.tank_never_full=no` },
  sites: { path: '/sites' },
  'new-site': { path: '/sites/new' },
  customers: { path: '/customers' },
  who: { path: '/who' },
};

const shared = {};
test.before(async () => {
  shared.server = await new Server(demoLedger()).start();
  shared.origin = `http://127.0.0.1:${shared.server.port}`;
});
test.after(() => shared.server?.kill());

const open = async (t, options) => {
  const context = await browser({ serviceWorkers: 'block', ...options });
  t.after(() => context.close());
  return context.newPage();
};

for (const [name, { path, keep }] of Object.entries(PAGES)) {
  for (const [size, viewport] of Object.entries(SIZES)) {
    test(`val_${name}_at_${size}_size_is_whole_and_axe_finds_nothing_serious`, async (t) => {
      const page = await open(t, { viewport });
      const faults = [];
      page.on('console', (message) => message.type() === 'error' && faults.push(message.text()));
      page.on('pageerror', (error) => faults.push(error.message));
      const response = await page.goto(shared.origin + path);
      assert.equal(response.status(), 200);
      assert.deepEqual(faults, []);
      assert.equal(await page.locator('h1').count(), 1);
      // WCAG 2.2, 1.4.10: no scrolling in two dimensions. A pixel is the browser's rounding.
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      assert.ok(wide <= 1, `${wide} px too wide`);
      // WCAG 2.0 to 2.2, levels A and AA, as axe-core tells them.
      await page.evaluate(axe.source);
      const { violations } = await page.evaluate(() =>
        axe.run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] }));
      const serious = violations.filter(({ impact }) => impact === 'serious' || impact === 'critical');
      assert.deepEqual(serious.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html).join(' ')}`), []);
      if (keep) {
        mkdirSync(SCREENS, { recursive: true });
        await page.screenshot({ path: join(SCREENS, `${name}-${size}.png`) });
      }
    });
  }
}

test('val_the_dark_pages_have_enough_contrast', async (t) => {
  const page = await open(t, { colorScheme: 'dark' });
  for (const path of ['/', `/units/${UNIT}`, NEW_READING]) {
    await page.goto(shared.origin + path);
    await page.evaluate(axe.source);
    // WCAG 2.2, 1.4.3.
    const { violations } = await page.evaluate(() => axe.run({ runOnly: { type: 'rule', values: ['color-contrast'] } }));
    assert.deepEqual(violations.flatMap(({ nodes }) => nodes.map((node) => node.html)), [], path);
  }
});

test('val_a_reading_is_written_without_script', async (t) => {
  const page = await open(t, { javaScriptEnabled: false });
  await page.goto(shared.origin + NEW_READING);
  await fillReading(page, 'without script');
  await submit(page);
  assert.equal(readings(shared.server.ledger, 'without script').length, 1);
  assert.ok((await page.locator('main').innerText()).length > 50);
});

test('val_the_first_page_is_walked_by_keyboard', async (t) => {
  const page = await open(t, { viewport: SIZES.desk });
  await page.goto(shared.origin);
  await page.keyboard.press('Tab');
  // WCAG 2.2, 2.4.1: the first stop leads past what is on every page.
  assert.equal(await page.evaluate(() => document.activeElement.getAttribute('href')), '#main');
  await page.keyboard.press('Enter');
  assert.equal(await page.evaluate(() => location.hash), '#main');
  const seen = new Set();
  for (let presses = 0; presses < 60; presses++) {
    await page.keyboard.press('Tab');
    const at = await page.evaluate(() => {
      const element = document.activeElement;
      const { outlineStyle, boxShadow } = getComputedStyle(element);
      return { href: element.getAttribute('href'), shown: outlineStyle !== 'none' || boxShadow !== 'none', body: element === document.body };
    });
    if (at.body) break;
    // WCAG 2.2, 2.4.7: the focus is seen.
    assert.ok(at.shown, `the focus on ${at.href} is not seen`);
    seen.add(at.href);
  }
  assert.ok([...seen].some((href) => href?.startsWith('/units/')), 'a unit is reached');
});

test('val_a_wrong_value_is_said_beside_its_field_and_kept', async (t) => {
  const page = await open(t);
  await page.goto(shared.origin + NEW_READING);
  await fillReading(page, 'kept as typed', 'a bucketful');
  await submit(page);
  assert.equal(await page.locator('[name="note"]').inputValue(), 'kept as typed');
  assert.equal(await page.locator('[name="permeate_flow"]').inputValue(), 'a bucketful');
  assert.equal(await page.locator('[name="permeate_flow"]').getAttribute('aria-invalid'), 'true');
  assert.equal(readings(shared.server.ledger, 'kept as typed').length, 0);
});
