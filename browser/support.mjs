// What the browser tests share: a server on a ledger of its own, a network that can be cut, a browser with a fresh
// profile, and what stands in the ledger as the command line exports it.
import { spawn, execFileSync } from 'node:child_process';
import assert from 'node:assert/strict';
import { createRequire } from 'node:module';
import { mkdtempSync, copyFileSync, rmSync } from 'node:fs';
import { createServer, connect } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { once } from 'node:events';
import { createInterface } from 'node:readline';

const need = (name) => {
  const value = process.env[name];
  if (!value) throw new Error(`${name} is not set; run the tests by \`cargo xtask test --only browser\``);
  return value;
};
const BINARY = need('SALTMARK_BINARY');
const require = createRequire(join(need('SALTMARK_MODULES'), 'package.json'));
export const SCREENS = need('SALTMARK_SCREENS');
export const { chromium } = require('playwright-core');
export const axe = require('axe-core');

/** The unit that the tests write to, and a page on it. */
export const UNIT = 'fern-house';
export const NEW_READING = `/units/${UNIT}/readings/new`;

const FLAGS = [
  '--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking',
  '--disable-component-update', '--disable-sync',
];

const scratch = [];
/** A folder of the test's own, removed in the end. */
export const folder = () => {
  const made = mkdtempSync(join(tmpdir(), 'saltmark-browser-'));
  scratch.push(made);
  return made;
};
process.on('exit', () => scratch.forEach((path) => rmSync(path, { recursive: true, force: true })));

const run = (...words) => execFileSync(BINARY, words, { encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'], maxBuffer: 1 << 28 });

let demo;
/** A ledger of its own with the invented valley in it. */
export const demoLedger = () => {
  if (!demo) {
    demo = join(folder(), 'demo.db');
    run('demo', '--ledger', demo);
  }
  const ledger = join(folder(), 'ledger.db');
  copyFileSync(demo, ledger);
  return ledger;
};

/** All entries of a ledger, as the command line exports them. */
export const entries = (ledger) =>
  run('export', '--ledger', ledger, '--format', 'jsonl').split('\n').filter(Boolean).map((line) => JSON.parse(line));

/** The readings of the unit with this remark. */
export const readings = (ledger, note) =>
  entries(ledger).filter(({ payload }) => payload.kind === 'reading' && JSON.stringify(payload).includes(JSON.stringify(note)));

/** A server that can be killed and started again. */
export class Server {
  constructor(ledger) {
    this.ledger = ledger;
  }

  async start() {
    this.child = spawn(BINARY, ['serve', '--ledger', this.ledger, '--listen', '127.0.0.1:0'], { stdio: ['ignore', 'pipe', 'ignore'] });
    const [said] = await once(createInterface(this.child.stdout), 'line');
    this.port = Number(/:(\d+)\/$/.exec(said.trim())?.[1]);
    if (!this.port) throw new Error(`the server said ${JSON.stringify(said)}`);
    return this;
  }

  async kill(signal = 'SIGKILL') {
    if (!this.child || this.child.exitCode !== null || this.child.signalCode !== null) return;
    const ended = once(this.child, 'exit');
    this.child.kill(signal);
    await ended;
  }
}

/** The network between browser and server: a port that passes everything on, or does not. */
export class Network {
  // pass | hole: bytes go nowhere, connections stay | deaf: requests go through, replies do not
  mode = 'pass';
  sockets = new Set();
  // Pairs of texts of one length: what the browser, or the server, says is put in other words.
  rewrite = { browser: [], server: [] };

  constructor(server) {
    this.server = server;
  }

  async open(port = this.port ?? 0) {
    this.listener = createServer((browser) => this.#join(browser));
    this.listener.listen(port, '127.0.0.1');
    await once(this.listener, 'listening');
    this.port = this.listener.address().port;
    this.origin = `http://127.0.0.1:${this.port}`;
    return this;
  }

  #join(browser) {
    this.sockets.add(browser);
    browser.on('close', () => this.sockets.delete(browser)).on('error', () => {});
    if (this.mode === 'hole') return;
    const server = connect(this.server.port, '127.0.0.1');
    this.sockets.add(server);
    server.on('close', () => (this.sockets.delete(server), this.mode === 'pass' && browser.destroy()));
    server.on('error', () => browser.destroy());
    browser.on('data', (bytes) => this.mode !== 'hole' && server.write(this.#put(bytes, 'browser')));
    browser.on('close', () => server.destroy());
    server.on('data', (bytes) => this.mode === 'pass' && browser.write(this.#put(bytes, 'server')));
  }

  #put(bytes, side) {
    const pairs = this.rewrite[side];
    if (pairs.length === 0) return bytes;
    const put = pairs.reduce((text, [from, to]) => text.replaceAll(from, to), bytes.toString('latin1'));
    return Buffer.from(put, 'latin1');
  }

  /** What is open is cut, and what comes is handled in this way. */
  set(mode) {
    this.mode = mode;
    for (const socket of this.sockets) socket.destroy();
  }

  /** The port is closed. */
  async close() {
    if (!this.listener?.listening) return;
    const closed = once(this.listener, 'close');
    this.listener.close();
    this.set(this.mode);
    await closed;
  }
}

/** A browser with a profile of its own. */
export const browser = async (options = {}) => {
  const { profile = folder(), args = [], ...rest } = options;
  return chromium.launchPersistentContext(profile, {
    executablePath: process.env.SALTMARK_CHROMIUM ?? '/usr/bin/chromium',
    args: [...FLAGS, ...args],
    viewport: { width: 360, height: 780 },
    locale: 'en-GB',
    ...rest,
  });
};

/** A server on a demonstration ledger of its own behind a network that can be cut, and a browser; all closed after the test. */
export const set = async (t, options) => {
  const server = await new Server(demoLedger()).start();
  const network = await new Network(server).open();
  const context = await browser(options);
  t.after(async () => {
    await context.close();
    await network.close();
    await server.kill();
  });
  return { server, network, context, ledger: server.ledger, origin: network.origin };
};

/** Opens a page and waits until the worker answers for it and has read the ledger. */
export const controlled = async (context, origin) => {
  const page = await context.newPage();
  await page.goto(origin);
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null, null, { timeout: 20_000 });
  await until(async () => (await stored(page, 'events')) > 0, 'the worker has read the ledger');
  return page;
};

/** How many rows one of the worker's tables has. */
export const stored = (page, table) =>
  page.evaluate((table) => new Promise((resolve, reject) => {
    const request = indexedDB.open('saltmark');
    let made = false;
    // Asking must not make the database: an empty one of this version is one that the worker would never fill.
    request.onupgradeneeded = () => { made = true; request.transaction.abort(); };
    request.onerror = () => (made ? resolve(0) : reject(request.error));
    request.onsuccess = () => {
      const db = request.result;
      if (!db.objectStoreNames.contains(table)) return db.close(), resolve(0);
      const count = db.transaction(table).objectStore(table).count();
      count.onsuccess = () => (db.close(), resolve(count.result));
    };
  }), table);

/** Waits until something holds; fails naming it. */
export const until = async (holds, what, ms = 20_000) => {
  const end = Date.now() + ms;
  while (!(await holds())) {
    if (Date.now() > end) throw new Error(`not within ${ms} ms: ${what}`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
};

/** Stops the workers, as a browser does on its own when it likes. */
export const stopWorkers = async (page) => {
  const devtools = await page.context().newCDPSession(page);
  await devtools.send('ServiceWorker.enable');
  await devtools.send('ServiceWorker.stopAllWorkers');
  await devtools.detach();
};

/** Fills the form of a reading in, with a remark to know it by. */
export const fillReading = async (page, note, flow = '36 L/h') => {
  await page.locator('[name="permeate_flow"]').fill(flow);
  await page.locator('[name="feed_temperature"]').fill('12 C');
  await page.locator('[name="note"]').fill(note);
};
export const submit = (page) => page.locator('main form button[type="submit"], main form button:not([type])').last().click();
/** Writes a reading down, as a person does. */
export const writeReading = async (page, origin, note, flow) => {
  await page.goto(origin + NEW_READING);
  await fillReading(page, note, flow);
  await submit(page);
  await page.waitForURL((url) => !url.pathname.endsWith('/new'));
};

/** The worker's own script context, to break something in it. */
export const worker = async (context) => {
  const [running] = context.serviceWorkers();
  return running ?? context.waitForEvent('serviceworker');
};

/** The sizes that every page is looked at in. */
export const SIZES = { phone: { width: 360, height: 780 }, desk: { width: 1280, height: 900 } };

/** Opens a page of the server and makes sure that it is whole at this size, and that axe-core finds nothing serious. */
export const sound = async (page, address, status = 200) => {
  const faults = [];
  page.on('console', (message) => message.type() === 'error' && faults.push(message.text()));
  page.on('pageerror', (error) => faults.push(error.message));
  const response = await page.goto(address);
  assert.equal(response.status(), status);
  assert.deepEqual(faults, []);
  await soundAsItStands(page);
};
/** The same of a page that is open already. */
export const soundAsItStands = async (page) => {
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
};
