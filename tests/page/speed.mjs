// How fast the page is: the time from a pointer's move to the picture that shows it, in a real browser with a release of
// spile. `SPILE_BIN=target/release/spile node tests/page/speed.mjs` prints medians and 95th percentiles.

import { readFileSync } from 'node:fs';
import { join } from 'node:path';

import { launch } from './browser.mjs';
import { LAYOUTS, serve } from './server.mjs';

/** Moves of a drag. */
const MOVES = 150;
/** Milliseconds between two moves, as a hand's are. */
const PACE = 25;

/** A deck of 30 by 10 m with a thousand pad eyes. */
function thousand() {
  const lines = [
    'title = "A thousand fittings"',
    '[[deck]]',
    'id = "deck"',
    '[deck.outline]',
    'half_breadths = [[0, 0], [1200, 1400], [2700, 2640], [4500, 3630], [6600, 4380], [9000, 4845], [12000, 5025], [20000, 4900], [26000, 4600], [30000, 4300]]',
    '[deck.margin]',
    'edge = 60',
    'fitting = 40',
    '[deck.radius]',
    'round = 40',
    'hollow = 25',
  ];
  let count = 0;
  for (let x = 3200; count < 1000; x += 460) {
    const half = x < 5000 ? 2400 : x < 7000 ? 3400 : 4100;
    for (let y = -Math.floor(half / 440) * 440; y <= half && count < 1000; y += 440) {
      count += 1;
      lines.push('[[deck.fitting]]', `name = "pad eye ${count}"`, `circle = { at = [${x}, ${y}], diameter = 50 }`);
    }
  }
  return lines.join('\n') + '\n';
}

/**
 * @param {string} name
 * @param {string} text
 * @param {string} thing what is dragged
 * @param {string} view
 */
async function measure(name, text, thing, view) {
  const server = await serve({ text });
  const browser = await launch();
  const page = await browser.newPage({ viewport: { width: 1400, height: 900 } });
  await page.goto(server.address);
  await page.waitForFunction(() => /** @type {any} */ (globalThis).spile?.shown);
  await page.check(`input[name="view"][value="${view}"]`);
  await page.waitForTimeout(1500);
  const box = await page.locator(`#board [data-thing="${thing}"]`).first().boundingBox();
  if (!box) throw new Error(`${thing} is not on the board`);
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.evaluate(() => (/** @type {any} */ (globalThis).spile.times.length = 0));
  for (let move = 1; move <= MOVES; move += 1) {
    const turn = (move / 30) * Math.PI;
    await page.mouse.move(x + 12 * Math.cos(turn), y + 9 * Math.sin(turn));
    await page.waitForTimeout(PACE);
  }
  await page.waitForTimeout(500);
  /** @type {number[]} */
  const times = await page.evaluate(() => /** @type {any} */ (globalThis).spile.times);
  await page.keyboard.press('Escape');
  await page.mouse.up();
  await browser.close();
  server.end();
  times.sort((one, other) => one - other);
  const at = (/** @type {number} */ share) => (times[Math.min(times.length - 1, Math.floor(share * times.length))] ?? NaN).toFixed(0);
  console.log(`${name}, ${view}: ${times.length} pictures of ${MOVES} moves, median ${at(0.5)} ms, 95th percentile ${at(0.95)} ms, most ${at(1)} ms`);
}

const launchText = readFileSync(join(LAYOUTS, 'guillemot.toml'), 'utf8');
await measure('demo launch, a cleat', launchText, 'deck.#1.fitting.#2', 'pattern');
await measure('demo launch, a cleat', launchText, 'deck.#1.fitting.#2', 'first');
await measure('demo launch, a hatch', launchText, 'deck.#1.opening.#1', 'pattern');
await measure('demo launch, a strip', launchText, 'deck.#1.strip.#1', 'pattern');
await measure('a thousand fittings', thousand(), 'deck.#1.fitting.#500', 'pattern');
await measure('a thousand fittings', thousand(), 'deck.#1.fitting.#500', 'first');
