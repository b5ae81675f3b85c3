// One JSON object per figure: how long the worker takes to keep a reading and to show the verdict on it, without a
// network, from the form being sent to the last byte of the page.
import { NEW_READING, Network, Server, browser, controlled, demoLedger, fillReading, stopWorkers, submit } from './support.mjs';

const ROUNDS = 15;
const median = (values) => values.sort((a, b) => a - b)[Math.floor(values.length / 2)];
const say = (name, value, target) => console.log(JSON.stringify({ name, value: Number(value.toFixed(1)), unit: 'ms', target }));

const server = await new Server(demoLedger()).start();
const network = await new Network(server).open();
const context = await browser();
try {
  const page = await controlled(context, network.origin);
  await network.close();
  await page.goto(network.origin + NEW_READING);
  const [saving, starting] = [[], []];
  for (let round = 0; round < ROUNDS; round++) {
    await page.goto(network.origin + NEW_READING);
    await fillReading(page, `bench ${round}`, `${36 + round / 10} L/h`);
    await submit(page);
    await page.waitForURL((url) => !url.pathname.endsWith('/new'));
    // The browser's own clock: from the form being sent, over the redirect, to the last byte of the page.
    saving.push(await page.evaluate(() => performance.getEntriesByType('navigation')[0].responseEnd));
  }
  for (let round = 0; round < 5; round++) {
    await stopWorkers(page);
    await page.goto(network.origin);
    starting.push(await page.evaluate(() => {
      const [entry] = performance.getEntriesByType('navigation');
      return entry.responseStart - entry.startTime;
    }));
  }
  say('reading saved and its verdict shown by the worker, without a network', median(saving), 75);
  say('worker stopped: navigation to first byte, without a network', median(starting));
} finally {
  await context.close();
  await network.close();
  await server.kill();
}
