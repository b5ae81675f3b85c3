// New units, records brought in, settings, backup, photographs: by hand, without script, without a network.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import {
  NEW_READING, Network, SCREENS, SIZES, Server, UNIT, browser, controlled, demoLedger, entries, fillReading, folder,
  sound, soundAsItStands, stored, submit, until,
} from './support.mjs';

const PAGES = {
  'new-unit': '/units/new',
  plan: `/units/${UNIT}/plan`,
  limits: `/units/${UNIT}/limits`,
  import: `/units/${UNIT}/import`,
  settings: '/settings',
};
const IMPORT = `/units/${UNIT}/import`;

// An invented log: semicolons, a decimal comma, the day first, one row that cannot be read.
const LOG = [
  'Datum;Zulauf Temp (C);Eingangsdruck bar;Permeat L/h;Permeat uS/cm;Notiz', '03.11.2024;9,5;3,6;31,5;22;',
  '10.11.2024;9,0;3,6;31,0;23;Sedimentfilter gewechselt', 'irgendwann;8,8;3,6;30,8;23;', '17.11.2024;8,5;3,5;30,1;24;',
].join('\r\n');

// The smallest picture: a PNG of one pixel (ISO/IEC 15948).
const PIXEL = Buffer.from(
  'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNkYPhfDwAChwGA60e6kgAAAABJRU5ErkJggg==', 'base64');
const HASH = createHash('sha256').update(PIXEL).digest('hex');

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
const picture = async (page, name, keep = false) => {
  mkdirSync(SCREENS, { recursive: true });
  if (keep || process.env.SALTMARK_ALL_SCREENS) await page.screenshot({ path: join(SCREENS, `${name}.png`), fullPage: !keep });
};
const of = (ledger, kind) => entries(ledger).filter(({ payload }) => payload.kind === kind);
const withText = (ledger, kind, text) => of(ledger, kind).filter((entry) => JSON.stringify(entry).includes(text));

/** Fills a unit in from its label, as one sees it. */
const fillUnit = async (page, name) => {
  const label = 'membranes.elements.rated.';
  const typed = {
    name, [`${label}flow`]: '100 gpd', [`${label}rejection`]: '97 %', [`${label}pressure`]: '65 psi', [`${label}tds`]: '500',
    'permeate.tank.volume': '200 L', 'need.permeate_per_day': '300 L', 'need.coldest_feed': '5 C', 'need.warmest_feed': '18 C',
    'water.conductivity': '480', 'water.hardness': '190', 'water.alkalinity': '165', 'water.ph': '7.5',
  };
  for (const [field, value] of Object.entries(typed)) await page.locator(`[name="${field}"]`).fill(value);
  const chosen = {
    'membranes.elements.size': '2012', count: '2', 'stages.0': 'spun', 'stages.1': 'catalytic', 'stages.2': 'pump',
    'permeate.tank.kind': 'open', site: 'water-lane',
  };
  for (const [field, value] of Object.entries(chosen)) await page.locator(`[name="${field}"]`).selectOption(value);
  await page.locator('[name="inlet.valve"]').check();
};

for (const [name, path] of Object.entries(PAGES)) {
  for (const [size, viewport] of Object.entries(SIZES)) {
    test(`val_${name}_at_${size}_size_is_whole_and_axe_finds_nothing_serious`, async (t) => {
      const page = await open(t, { viewport });
      await sound(page, shared.origin + path);
      await picture(page, `${name}-${size}`);
    });
  }
}

for (const javaScriptEnabled of [true, false]) {
  const how = javaScriptEnabled ? 'with' : 'without';
  test(`val_a_unit_is_put_in_${how}_script_and_what_was_filled_in_is_shown_first`, async (t) => {
    const page = await open(t, { javaScriptEnabled, viewport: javaScriptEnabled ? SIZES.phone : SIZES.desk });
    const name = `Kiln ${how} script`;
    await page.goto(`${shared.origin}/units/new?site=water-lane`);
    await fillUnit(page, name);
    await page.locator('button[value="look"]').click();
    assert.match(await page.locator('main').innerText(), /common practice, no source/);
    assert.equal(withText(shared.server.ledger, 'unit', name).length, 0, 'nothing is written yet');
    if (javaScriptEnabled) {
      await soundAsItStands(page);
      await picture(page, 'new-unit-looked-over-phone', true);
    }
    await page.locator('button[value="keep"]').click();
    await page.waitForURL(/\/units\/kiln-/);
    assert.match(await page.locator('h1').innerText(), /Kiln/);
    assert.equal(withText(shared.server.ledger, 'unit', name).length, 1);
  });
}

test('val_a_label_that_no_membrane_can_meet_is_refused_beside_its_field', async (t) => {
  const page = await open(t);
  await page.goto(`${shared.origin}/units/new`);
  await fillUnit(page, 'Sea water at tap pressure');
  await page.locator('[name="membranes.elements.rated.tds"]').fill('35000');
  await page.locator('button[value="look"]').click();
  const field = page.locator('[name="membranes.elements.rated.flow"]');
  assert.equal(await field.getAttribute('aria-invalid'), 'true');
  assert.equal(await field.inputValue(), '100 gpd');
  assert.match(await page.locator('#f-membranes_elements_rated_flow-error').innerText(), /No membrane can do that/);
  await soundAsItStands(page);
});

test('val_a_log_is_brought_in_without_script_and_once', async (t) => {
  const page = await open(t, { javaScriptEnabled: false, viewport: SIZES.desk });
  const before = of(shared.server.ledger, 'reading').length;
  const look = async () => {
    await page.goto(shared.origin + IMPORT);
    await page.locator('[name="log"]').setInputFiles({ name: 'november.csv', mimeType: 'text/csv', buffer: Buffer.from(LOG) });
    await page.locator('button[value="look"]').click();
  };
  await look();
  const shown = await page.locator('main').innerText();
  assert.match(shown, /3 readings and one event would be added; one row would be kept/);
  assert.match(shown, /Line 4/);
  assert.equal(of(shared.server.ledger, 'reading').length, before);
  await page.locator('button[value="keep"]').click();
  await page.waitForURL(/\/log$/);
  assert.equal(of(shared.server.ledger, 'reading').length, before + 3);
  await look();
  assert.match(await page.locator('main').innerText(), /nothing new/);
  assert.equal(await page.locator('button[value="keep"]').count(), 0);
});

test('val_the_columns_of_a_log_are_chosen_by_hand', async (t) => {
  const page = await open(t);
  await page.goto(shared.origin + IMPORT);
  await page.locator('[name="pasted"]').fill('When,A,B\n2024-05-03,33,20\n2024-05-10,32,21\n2024-05-17,31,22\n');
  await page.locator('button[value="look"]').click();
  const choose = async (heading, field, unit) => {
    const row = page.locator('tr', { has: page.locator('th', { hasText: new RegExp(`^${heading}`) }) });
    await row.locator('select').selectOption(field);
    if (unit) await row.locator('input[type="text"]').fill(unit);
  };
  await choose('When', 'date');
  await choose('A', 'permeate_flow', 'L/h');
  await choose('B', 'permeate_conductivity');
  await page.locator('button[value="look"]').click();
  assert.match(await page.locator('main').innerText(), /3 readings/);
  await soundAsItStands(page);
  await picture(page, 'import-looked-over-phone', true);
  await page.locator('button[value="keep"]').click();
  await page.waitForURL(/\/log$/);
});

test('val_a_photograph_is_shown_with_its_reading', async (t) => {
  const page = await open(t, { javaScriptEnabled: false });
  await page.goto(shared.origin + NEW_READING);
  await fillReading(page, 'with a picture');
  await page.locator('[name="photo"]').setInputFiles({ name: 'gauge.png', mimeType: 'image/png', buffer: PIXEL });
  await submit(page);
  await page.goto(`${shared.origin}/units/${UNIT}/log`);
  const shown = page.locator(`img[src="/attachment/${HASH}"]`).first();
  await shown.scrollIntoViewIfNeeded();
  const answer = await page.request.get(`${shared.origin}/attachment/${HASH}`);
  assert.deepEqual(await answer.body(), PIXEL);
  assert.equal(answer.headers()['content-type'], 'image/png');
  assert.equal(withText(shared.server.ledger, 'attachment', HASH).length, 1);
});

test('val_a_backup_is_made_and_restored_by_a_button', async (t) => {
  const server = await new Server(demoLedger()).start();
  t.after(() => server.kill());
  const origin = `http://127.0.0.1:${server.port}`;
  const page = await open(t, { acceptDownloads: true });
  await page.goto(`${origin}/settings`);
  const coming = page.waitForEvent('download');
  await page.locator('a[href="/backup"]').click();
  const download = await coming;
  assert.match(download.suggestedFilename(), /^saltmark-\d{4}-\d{2}-\d{2}\.db$/);
  const file = join(folder(), 'backup.db');
  await download.saveAs(file);
  // SQLite's own check, from Python's library.
  const check = 'import sqlite3,sys; print(sqlite3.connect(sys.argv[1]).execute("PRAGMA integrity_check").fetchone()[0])';
  assert.equal(execFileSync(process.env.SALTMARK_PYTHON ?? 'python3', ['-c', check, file], { encoding: 'utf8' }).trim(), 'ok');

  await page.goto(`${origin}/units/${UNIT}/notes/new`);
  await page.locator('[name="note"]').fill('after the backup');
  await submit(page);
  await page.goto(`${origin}/settings`);
  const cut = join(folder(), 'cut.db');
  writeFileSync(cut, readFileSync(file).subarray(0, 8192));
  await page.locator('[name="backup"]').setInputFiles(cut);
  await page.locator('form[action="/restore"] button').click();
  assert.match(await page.locator('#f-backup-error').innerText(), /cut off/);
  assert.equal(withText(server.ledger, 'note', 'after the backup').length, 1, 'the ledger is as it was');
  await page.locator('[name="backup"]').setInputFiles(file);
  await page.locator('form[action="/restore"] button').click();
  await page.waitForURL(/restored=/);
  assert.match(await page.locator('[role="status"]').first().innerText(), /Restored/);
  assert.equal(withText(server.ledger, 'note', 'after the backup').length, 0);
});

test('val_without_a_network_units_logs_and_photographs_wait_and_arrive', async (t) => {
  const server = await new Server(demoLedger()).start();
  const network = await new Network(server).open();
  const context = await browser();
  t.after(async () => {
    await context.close();
    await network.close();
    await server.kill();
  });
  const page = await controlled(context, network.origin);
  await network.close();
  for (const path of Object.values(PAGES)) {
    const response = await page.goto(network.origin + path);
    assert.equal(response.status(), 200, path);
    assert.ok(response.fromServiceWorker(), path);
  }
  await page.goto(`${network.origin}/units/new`);
  await fillUnit(page, 'Cellar unit');
  await page.locator('button[value="look"]').click();
  await page.locator('button[value="keep"]').click();
  await page.waitForURL(/\/units\/cellar-unit$/);

  // A workbook, read by the same reader in the worker.
  const book = join(folder(), 'log.xlsx');
  const make = `import sys, openpyxl
book = openpyxl.Workbook()
for row in [["Date", "Permeate flow L/h", "Permeate uS/cm"], ["2024-06-03", 33.0, 20], ["2024-06-10", 32.0, 21]]:
    book.active.append(row)
book.save(sys.argv[1])`;
  execFileSync(process.env.SALTMARK_PYTHON ?? 'python3', ['-c', make, book]);
  await page.goto(network.origin + IMPORT);
  await page.locator('[name="log"]').setInputFiles(book);
  await page.locator('button[value="look"]').click();
  assert.match(await page.locator('main').innerText(), /2 readings/);
  await page.locator('button[value="keep"]').click();
  await page.waitForURL(/\/log$/);

  await page.goto(`${network.origin}/units/${UNIT}/notes/new`);
  await page.locator('[name="note"]').fill('seen in the cellar');
  await page.locator('[name="photo"]').setInputFiles({ name: 'leak.png', mimeType: 'image/png', buffer: PIXEL });
  await submit(page);
  await page.waitForURL(/\/log$/);
  const shown = page.locator(`img[src="/attachment/${HASH}"]`).first();
  await shown.scrollIntoViewIfNeeded();
  await until(() => shown.evaluate((image) => image.naturalWidth === 1), 'the picture is shown without a network');

  const answer = await page.goto(`${network.origin}/backup`);
  assert.equal(answer.status(), 503);
  assert.match(await page.locator('h1').innerText(), /needs the network/);

  await network.open();
  await page.goto(network.origin);
  await until(async () => (await stored(page, 'outbox')) === 0, 'the outbox is sent');
  assert.equal(withText(server.ledger, 'unit', 'Cellar unit').length, 1);
  assert.equal(withText(server.ledger, 'import', 'log.xlsx').length, 1);
  assert.equal(withText(server.ledger, 'attachment', HASH).length, 1);
  const kept = await page.request.get(`http://127.0.0.1:${server.port}/attachment/${HASH}`);
  assert.deepEqual(await kept.body(), PIXEL);
});
