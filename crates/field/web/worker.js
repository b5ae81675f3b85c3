// The life of the worker, and the browser's database. Every rule and every page is Rust's: `makeGlue` and the
// constants VERSION and WASM are put before this by `cargo xtask`. Read the recipe in docs/offline.md before a change.

const PATIENCE_MS = 1500; // How long the network is waited for before the answer is given here.
const AT_ONCE = 2000; // Entries that are sent together.
const SHELL = ['/register.js', '/manifest.webmanifest', '/icon.svg', WASM];
const CACHE = `saltmark-${VERSION}`;
const ORIGIN = self.location.origin;
const NOT_OURS = /^\/(sync|attachment|worker\.js)/;
// What needs the whole ledger: waited for however long it takes, and never tried here.
const SERVER_ONLY = /^\/(backup$|restore$|export\/|print\/)/;

const later = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

// --- The pages -------------------------------------------------------------------------------------------------
// `pages.read` is the number of the last stored entry that its state has.
let pages;
const instantiate = async () => {
  const file = await caches.match(WASM);
  if (!file) throw new Error('not installed yet');
  const glue = makeGlue();
  await glue({ module_or_path: file });
  return { glue, field: new glue.Field(), read: 0, generation: null };
};
const ready = () => {
  pages ??= instantiate().catch((error) => {
    pages = undefined;
    throw error;
  });
  return pages;
};
// A worker that was stopped has to be quick again: it starts before anything asks.
ready().catch(() => {});

// --- The database: schema changes only add -------------------------------------------------------------------
let opened;
const database = () => {
  opened ??= new Promise((resolve, reject) => {
    const request = indexedDB.open('saltmark', 1);
    request.onupgradeneeded = () => {
      const db = request.result;
      db.createObjectStore('events', { autoIncrement: true }).createIndex('id', 'id', { unique: true });
      db.createObjectStore('outbox', { keyPath: 'id' });
      db.createObjectStore('contents', { keyPath: 'hash' });
      db.createObjectStore('meta');
    };
    request.onsuccess = () => {
      const forget = () => (opened = undefined);
      request.result.onversionchange = () => (request.result.close(), forget());
      request.result.onclose = forget;
      resolve(request.result);
    };
    request.onerror = request.onblocked = () => ((opened = undefined), reject(request.error));
  });
  return opened;
};
const STORES = ['events', 'outbox', 'contents', 'meta'];
// One strict transaction: `work` issues requests and must not await; what it hands to `done` is the result.
const transact = async (mode, work) => {
  const db = await database();
  return new Promise((resolve, reject) => {
    const tx = db.transaction(STORES, mode, { durability: 'strict' });
    const store = Object.fromEntries(STORES.map((name) => [name, tx.objectStore(name)]));
    let result, failure;
    const fail = (error) => ((failure ??= error), tx.abort());
    // Callbacks run outside of any await: what they throw would be lost, and the transaction would go through.
    const then = (request, next) => (request.onsuccess = () => {
      try { next(request.result); } catch (error) { fail(error); }
    });
    tx.oncomplete = () => resolve(result);
    tx.onabort = () => reject(failure ?? tx.error ?? new Error('the transaction was aborted'));
    try { work(store, then, (value) => (result = value)); } catch (error) { fail(error); }
  });
};
// Adds entries that are not there; what stands there in another form is put anew, so that every state reads it again.
const addEntries = (store, then, pairs, added = () => {}) => {
  for (let i = 0; i < pairs.length; i += 2) {
    const [id, line] = [pairs[i], pairs[i + 1]];
    then(store.events.index('id').openCursor(id), (cursor) => {
      if (cursor?.value.line === line) return;
      if (cursor) cursor.delete();
      store.events.add({ id, line });
      if (!cursor) added(id);
    });
  }
};

// --- A request, answered here ----------------------------------------------------------------------------------
const shown = (reply) => {
  const headers = new Headers();
  const flat = reply.headers;
  for (let i = 0; i < flat.length; i += 2) headers.append(flat[i], flat[i + 1]);
  const { status } = reply;
  const body = reply.take_body();
  return new Response([101, 204, 205, 304].includes(status) ? null : body, { status, headers });
};
const asked = (instance, request, body, meta, waiting) => {
  const url = new URL(request.url);
  const language = request.headers.get('accept-language') ?? self.navigator.languages.join(', ');
  const what = new instance.glue.Asked(url.pathname, url.search.slice(1), ORIGIN, language);
  if (body) what.post(request.headers.get('content-type') ?? '', body, request.headers.get('origin') ?? undefined);
  const random = crypto.getRandomValues(new Uint8Array(16));
  what.circumstances(meta.person ?? '', meta.device ?? 'browser', Date.now(), random, waiting);
  return what;
};
const answerHere = async (request, body) => {
  for (let attempt = 0; ; attempt++) {
    const instance = await ready();
    try {
      return await transact(body ? 'readwrite' : 'readonly', (store, then, done) => {
        let keys, waiting, meta = {};
        const news = IDBKeyRange.lowerBound(instance.read, true);
        then(store.events.getAllKeys(news), (all) => (keys = all));
        then(store.outbox.count(), (count) => (waiting = count));
        for (const name of ['person', 'device', 'generation']) then(store.meta.get(name), (value) => (meta[name] = value));
        then(store.events.getAll(news), (events) => {
          // Another ledger has taken the place of the one that this state was read from.
          if (instance.read && instance.generation !== meta.generation) throw new WebAssembly.RuntimeError('stale');
          instance.field.apply(events.map((event) => event.line));
          instance.read = keys.at(-1) ?? instance.read;
          instance.generation = meta.generation;
          const what = asked(instance, request, body, meta, waiting);
          const reply = instance.field.respond(what);
          addEntries(store, then, reply.entries, (id) => store.outbox.put({ id }));
          for (let n = 0; n < reply.contents; n++) {
            const [hash, bytes] = [reply.content_hash(n), reply.take_content(n)];
            if (!instance.glue.is_kept(bytes)) continue;
            store.contents.put({ hash, bytes, waiting: 1 });
          }
          if (reply.person !== undefined) {
            store.meta.put(reply.person, 'person');
            store.meta.put(true, 'person_said');
          }
          done(shown(reply));
        });
      });
    } catch (error) {
      // A state that trapped is dead: the next one reads everything anew.
      if (error instanceof WebAssembly.RuntimeError && attempt === 0) {
        pages = undefined;
        continue;
      }
      if (!body) throw error;
      const what = asked(instance, request, body, {}, 0);
      return shown(instance.glue.not_kept(what, error?.name === 'QuotaExceededError'));
    }
  }
};

// Evaluates units beforehand, one at a time, so that a request in between is not kept waiting.
const warm = async () => {
  try {
    const { field } = await ready();
    while (field.warm(Date.now()) > 0) await later(5);
  } catch { pages = undefined; }
};

// --- What waits is sent, what is new is read --------------------------------------------------------------------
const outbox = () => transact('readonly', (store, then, done) => {
  const found = { meta: {}, entries: [], contents: [], here: [], waiting: 0 };
  for (const name of ['log', 'cursor', 'person', 'person_said']) then(store.meta.get(name), (value) => (found.meta[name] = value));
  then(store.outbox.count(), (count) => (found.waiting = count));
  then(store.outbox.getAllKeys(null, AT_ONCE), (ids) => {
    for (const id of ids) then(store.events.index('id').get(id), (entry) => entry && found.entries.push(entry));
  });
  then(store.contents.getAll(), (all) => (found.contents = all.filter((content) => content.waiting)));
  done(found);
});
const post = async (path, body, headers = {}) => {
  const response = await fetch(path, { method: 'POST', body, headers, cache: 'no-store' });
  if (!response.ok) throw new Error(`${path}: ${response.status}`);
  return response;
};
const round = async () => {
  const { glue } = await ready();
  const { meta, entries, contents, waiting } = await outbox();
  for (const { hash, bytes } of contents) {
    await post('/attachment', bytes);
    await transact('readwrite', (store) => store.contents.put({ hash, bytes, waiting: 0 }));
  }
  const log = meta.log ?? '';
  const cursor = meta.cursor ?? 0;
  const said = meta.person_said ? { 'saltmark-person': encodeURIComponent(meta.person) } : {};
  const response = await post('/sync', glue.offer(log, cursor, entries.map((entry) => entry.line)), said);
  const answer = await response.text();
  const name = (header) => decodeURIComponent((response.headers.get(header) ?? '').replaceAll('+', ' '));
  const [person, device] = [name('saltmark-person'), name('saltmark-device')];
  return transact('readwrite', (store, then, done) => {
    const settle = (here) => {
      const settled = glue.settle(log, cursor, entries.map((entry) => entry.id), here, answer);
      if (settled.stranger && waiting) return done({ more: false, waiting, stranger: true });
      if (settled.stranger) {
        // Everything here is in the other ledger: this one begins anew.
        for (const each of [store.events, store.contents]) each.clear();
        store.meta.put(crypto.randomUUID(), 'generation');
      } else if (settled.offer_all) {
        for (const id of here) store.outbox.put({ id });
      }
      addEntries(store, then, settled.add);
      for (const id of settled.forget) store.outbox.delete(id);
      store.meta.put(settled.log, 'log');
      store.meta.put(settled.cursor, 'cursor');
      if (person) store.meta.put(person, 'person');
      if (device) store.meta.put(device, 'device');
      if (meta.person_said) store.meta.delete('person_said');
      const more = settled.add.length > 0 || settled.forget.length > 0 || (settled.offer_all && here.length > 0);
      then(store.outbox.count(), (count) => done({ more, waiting: count }));
    };
    // The ids of all entries matter only where the log is another. An answer begins with its log.
    const here = [];
    if (!log || answer.startsWith(`{"log":"${log}"`)) return settle(here);
    then(store.events.index('id').openKeyCursor(), (at) => (at ? (here.push(at.key), at.continue()) : settle(here)));
  });
};
let sending;
const send = () => {
  sending ??= navigator.locks
    .request('saltmark-send', async () => {
      for (;;) {
        const { more, waiting, stranger } = await round();
        if (!more || stranger) return waiting;
      }
    })
    .finally(() => (sending = undefined));
  return sending;
};
const tell = async (waiting) => {
  for (const client of await self.clients.matchAll()) client.postMessage({ waiting });
};
const sendAndTell = () => send().then(tell, () => {});

// --- The worker's life ---------------------------------------------------------------------------------------
self.addEventListener('install', (event) => event.waitUntil((async () => {
  const cache = await caches.open(CACHE);
  await cache.addAll(SHELL.map((path) => new Request(path, { cache: 'reload' })));
  // A version that cannot start must not take the place of one that can.
  pages = undefined;
  await ready();
  await self.skipWaiting();
})()));
self.addEventListener('activate', (event) => event.waitUntil((async () => {
  for (const name of await caches.keys()) if (name !== CACHE) await caches.delete(name);
  await self.clients.claim();
  sendAndTell();
})()));
self.addEventListener('message', (event) => event.data === 'send' && event.waitUntil(sendAndTell()));
self.addEventListener('sync', (event) => event.waitUntil(sendAndTell()));

// The page that a form which was kept here goes on to: it is answered here too, at once, without asking the network that
// did not answer a moment ago. Once, and only for as long as a browser takes to follow.
const FOLLOWED_MS = 1000;
let follows = { address: undefined, until: 0 };
const isFollowed = (request) => {
  const is = request.method === 'GET' && request.url === follows.address && performance.now() < follows.until;
  follows = { address: undefined, until: 0 };
  return is;
};
const navigate = async (event) => {
  const { request } = event;
  const isPost = request.method === 'POST';
  if (isFollowed(request)) {
    const reply = await answerHere(request, null);
    event.waitUntil(sendAndTell().then(warm));
    return reply;
  }
  // The body first: once the request is given away it cannot be read any more.
  const body = isPost ? new Uint8Array(await request.clone().arrayBuffer()) : null;
  const isForeign = isPost && request.headers.get('origin') !== ORIGIN;
  // Exactly `fetch(request)`: any second argument would make a foreign form ours. Never aborted, only overtaken.
  const online = (async () => {
    if (!isPost && (await transact('readonly', (store, then, done) => then(store.outbox.count(), done)))) await send();
    return fetch(request);
  })().catch(() => undefined);
  const response = await (isForeign ? online : Promise.race([online, later(PATIENCE_MS)]));
  if (response && (response.status < 500 || isForeign)) {
    event.waitUntil(sendAndTell());
    return response;
  }
  if (isForeign) {
    const headers = { 'content-type': 'text/plain; charset=utf-8', 'cache-control': 'no-store' };
    return new Response('This was not sent by a page of Saltmark, and nothing was changed.', { status: 403, headers });
  }
  const reply = await answerHere(request, body);
  // What a form has changed is not read yet, and the page that follows must not wait for an evaluation of another unit.
  if (!isPost) event.waitUntil(warm());
  else if (reply.status === 303) {
    follows = { address: new URL(reply.headers.get('location'), ORIGIN).href, until: performance.now() + FOLLOWED_MS };
  }
  return reply;
};
const serverOnly = (request) => fetch(request).catch(() => answerHere(new Request('/backup'), null));
const other = async (request, url) => {
  const kept = await caches.match(request, { ignoreSearch: true });
  if (kept) return kept;
  const response = await Promise.race([fetch(request).catch(() => undefined), later(PATIENCE_MS)]);
  return response && response.status < 500 ? response : answerHere(request, null);
};
const content = async (request, hash) => {
  const kept = await transact('readonly', (store, then, done) => then(store.contents.get(hash), done));
  if (!kept) return fetch(request);
  const { glue } = await ready();
  const headers = {
    'content-type': glue.media_type(kept.bytes),
    'content-security-policy': "default-src 'none'; sandbox",
    'x-content-type-options': 'nosniff',
  };
  return new Response(kept.bytes, { headers });
};
self.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== ORIGIN) return;
  const hash = /^\/attachment\/([0-9a-f]{64})$/.exec(url.pathname)?.[1];
  if (hash && request.method === 'GET') event.respondWith(content(request, hash));
  else if (NOT_OURS.test(url.pathname)) return;
  else if (SERVER_ONLY.test(url.pathname)) event.respondWith(serverOnly(request));
  else if (request.mode === 'navigate') event.respondWith(navigate(event));
  else if (request.method === 'GET') event.respondWith(other(request, url));
});
