'use strict';
// Registers the worker, and lets it send what waits whenever there may be a signal again. The pages work without.
(() => {
  const workers = navigator.serviceWorker;
  if (!workers) return;
  workers.register('/worker.js', { updateViaCache: 'none' }).catch(() => {});
  // Only asked for: a browser may still clear its storage, which is why the page shows what was not sent yet.
  navigator.storage?.persist?.().catch(() => {});

  const marks = () => document.querySelectorAll('[data-waiting]');
  const waits = () => [...marks()].some((mark) => Number(mark.dataset.waiting) > 0);
  const send = () => workers.controller?.postMessage('send');
  // Until it is heard that the worker and the server have spoken, they are asked to.
  let heard = false;
  workers.addEventListener('message', ({ data }) => {
    if (typeof data?.waiting !== 'number') return;
    heard = true;
    for (const mark of marks()) {
      mark.dataset.waiting = String(data.waiting);
      mark.hidden = data.waiting === 0;
    }
  });
  workers.addEventListener('controllerchange', send);
  addEventListener('online', send);
  document.addEventListener('visibilitychange', () => document.hidden || send());
  setInterval(() => (!heard || waits()) && send(), 10_000);
})();
