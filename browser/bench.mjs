// One JSON object per figure: how long the worker takes to keep a reading and to show the verdict on it, without a
// network, from the form being sent to the last byte of the page.
import { NEW_READING, Network, Server, UNIT, browser, controlled, demoLedger, fillReading, stopWorkers, submit } from './support.mjs';

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
  const asking = [];
  for (let round = 0; round < ROUNDS; round++) {
    // A reading with all that most people have, and the next question.
    const read = 'feed_temperature=9%20C&inlet_pressure=4%20bar&permeate_flow=30%20L%2Fh&concentrate_flow=60%20L%2Fh';
    const at = `2026-11-20T10%3A00%3A${String(10 + round)}Z`;
    await page.goto(`${network.origin}/units/${UNIT}/trouble?at=${at}&${read}&feed_conductivity=700%20uS%2Fcm&permeate_conductivity=30%20uS%2Fcm`);
    asking.push(await page.evaluate(() => performance.getEntriesByType('navigation')[0].responseEnd));
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
  say('the causes and the next question shown by the worker, without a network', median(asking), 200);
  say('worker stopped: navigation to first byte, without a network', median(starting));
} finally {
  await context.close();
  await network.close();
  await server.kill();
}
