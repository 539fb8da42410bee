// The page that `spile show` serves, worked in as a person would.

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { after, before, describe, test } from 'node:test';

import { complaints, launch } from './browser.mjs';
import { SPILE, serve } from './server.mjs';

/** @import { Browser, Page } from 'playwright-core' */

/** @type {Browser} */
let browser;
before(async () => {
  browser = await launch();
});
after(() => browser.close());

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/**
 * A page open at a layout; what it complains of is kept in `said`.
 * @param {{ text?: string, from?: string }} [layout]
 * @param {{ width?: number, height?: number, colorScheme?: 'light' | 'dark' }} [how]
 */
async function opened(layout = { from: 'guillemot.toml' }, { width = 1400, height = 900, colorScheme = 'light' } = {}) {
  const server = await serve(layout);
  const page = await browser.newPage({ viewport: { width, height }, colorScheme, acceptDownloads: true });
  const said = complaints(page);
  if (process.env.SPILE_PAGE) await fromFolder(page, process.env.SPILE_PAGE);
  await page.goto(server.address);
  if (layout.text !== undefined || layout.from) await page.waitForFunction(() => /** @type {any} */ (globalThis).spile?.shown);
  return {
    page,
    said,
    server,
    async close() {
      await page.close();
      server.end();
      assert.deepEqual(said, []);
    },
  };
}

/**
 * The page's files taken from a folder instead of from the program, while they are being written.
 * @param {Page} page
 * @param {string} folder
 */
async function fromFolder(page, folder) {
  await page.route(/\.(js|css)$/, (route) => {
    const name = new URL(route.request().url()).pathname.split('/').at(-1) ?? '';
    const contentType = name.endsWith('.js') ? 'text/javascript' : 'text/css';
    return route.fulfill({ contentType, body: readFileSync(`${folder}/${name}`) });
  });
}

/**
 * The figure of this key as it stands on the page.
 * @param {Page} page
 * @param {string} key
 */
function figure(page, key) {
  return page.locator(`#figures [data-key="${key}"] .value`).innerText();
}

/**
 * Where on the screen the middle of a thing is, the first of its two where it stands on both sides.
 * @param {Page} page
 * @param {string} thing
 */
async function middle(page, thing) {
  const box = await page.locator(`#board [data-thing="${thing}"]`).first().boundingBox();
  assert.ok(box, `${thing} is on the board`);
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

/**
 * Takes hold of a thing and moves it by pixels.
 * @param {Page} page
 * @param {string} thing
 * @param {[number, number]} by
 */
async function drag(page, thing, [dx, dy]) {
  const { x, y } = await middle(page, thing);
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let step = 1; step <= 5; step += 1) await page.mouse.move(x + (dx * step) / 5, y + (dy * step) / 5);
  await page.mouse.up();
  await settled(page);
}

/**
 * Waits until everything that was asked has been answered.
 * @param {Page} page
 */
async function settled(page) {
  await page.evaluate(async () => {
    const spile = /** @type {any} */ (globalThis).spile;
    await spile.chain;
    await new Promise((resolve) => setTimeout(resolve, 250));
    await spile.chain;
  });
}

/**
 * What `spile figures` prints for a file.
 * @param {string} path
 */
function printed(path) {
  return execFileSync(SPILE, ['figures', path], { encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] });
}

/** The cleat forward on the launch's foredeck. */
const CLEAT = 'deck.#1.fitting.#2';

describe('a layout worked on', { concurrency: false }, () => {
  test('a cleat dragged changes the figures to what the commands say, comes back by undoing, and is saved with its comments', async () => {
    const { page, server, close } = await opened();
    const before = await figure(page, 'field_area');
    const original = server.read();
    await drag(page, CLEAT, [25, -15]);
    const moved = await figure(page, 'field_area');
    assert.notEqual(moved, before);
    assert.match(await page.locator('#figures [data-key="field_area"] .difference').innerText(), /m²/);
    assert.match(await page.locator('#file').innerText(), /changed, not saved/);

    await page.click('#undo');
    await settled(page);
    assert.equal(await figure(page, 'field_area'), before);
    assert.match(await page.locator('#file').innerText(), /as saved/);
    await page.click('#redo');
    await settled(page);
    assert.equal(await figure(page, 'field_area'), moved);

    await page.click('#save');
    await page.waitForFunction(() => document.getElementById('file')?.textContent?.includes('as saved'));
    const saved = server.read();
    const lines = saved.split('\n');
    const changed = original.split('\n').filter((line, index) => line !== lines[index]);
    assert.equal(changed.length, 1, 'one line is another');
    assert.match(changed[0] ?? '', /slot = \{ from = \[1160, 760\]/);
    for (const comment of ['# the lid of the varnish tin', '# Datum: the inside of the stem', '# waterway along the toe-rail']) {
      assert.ok(saved.includes(comment), comment);
    }
    assert.ok(lines.some((line) => /slot = \{ from = \[\d+0, \d+0\], to = \[\d+, \d+\], width = 60 \}/.test(line)), 'in round numbers');

    // What the page shows is what the commands print of the saved file.
    await page.locator('#panel-fields > summary').click();
    const table = await page.locator('#fields section[data-deck="foredeck"] tr[data-field="foredeck F1"]').innerText();
    const row = printed(server.path).split('\n').find((line) => /^ *F1 /.test(line)) ?? '';
    assert.deepEqual(table.split(/\s+/), row.trim().split(/\s+/));
    const all = JSON.parse(execFileSync(SPILE, ['figures', server.path, '--json'], { encoding: 'utf8' }));
    const area = all.decks.reduce((/** @type {number} */ sum, /** @type {{ field_m2: number }} */ deck) => sum + deck.field_m2, 0);
    assert.equal(moved, `${area.toFixed(3)} m²`);
    await close();
  });

  test('while it is dragged the figures follow, and given up it is where it was', async () => {
    const { page, server, close } = await opened();
    const before = await figure(page, 'field_area');
    const { x, y } = await middle(page, CLEAT);
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 10, y - 8);
    await page.mouse.move(x + 30, y - 18);
    await page.waitForFunction((was) => document.querySelector('#figures [data-key="field_area"] .value')?.textContent !== was, before);
    await page.keyboard.press('Escape');
    await settled(page);
    assert.equal(await figure(page, 'field_area'), before);
    await page.mouse.up();
    await settled(page);
    assert.match(await page.locator('#file').innerText(), /as saved/);
    assert.ok(server.read().includes('[1160, 760]'));
    await close();
  });

  test('the mirror image is a handle too, and near the centreline a thing falls onto it', async () => {
    const { page, close } = await opened();
    const images = page.locator(`#board [data-thing="${CLEAT}"]`);
    assert.equal(await images.count(), 2);
    const box = await images.nth(1).boundingBox();
    assert.ok(box);
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2 + 6);
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2 + 12);
    await page.mouse.up();
    await settled(page);
    // The image to port moved outboard, so the one to starboard did.
    const text = await page.evaluate(() => /** @type {any} */ (globalThis).spile.history.text);
    const from = Number(/from = \[\d+, (\d+)\]/.exec(text)?.[1]);
    assert.ok(from > 760, `off the centreline ${from}`);

    await drag(page, 'deck.#1.opening.#2', [0, 40]);
    const { y } = await middle(page, 'deck.#1.opening.#2');
    await drag(page, 'deck.#1.opening.#2', [0, -38]);
    assert.ok(y > 0);
    const hole = await page.evaluate(() => /** @type {any} */ (globalThis).spile.history.text);
    assert.match(hole, /circle = \{ at = \[3050, 0\], diameter = 180 \}/);
    await close();
  });

  test('values are typed, margins and radii, tape and finishes, and nonsense is refused where it stands', async () => {
    const { page, server, close } = await opened();
    const before = await figure(page, 'border_area');
    await page.locator('#panel-things > summary').click();
    await page.locator('#things [data-thing="deck.#1.margin"]').click();
    const edge = page.locator('#chosen [data-key="deck.#1.margin.edge"]');
    await edge.fill('80');
    await edge.press('Enter');
    await page.waitForFunction((was) => document.querySelector('#figures [data-key="border_area"] .value')?.textContent !== was, before);
    await settled(page);
    const round = page.locator('#chosen [data-key="deck.#1.radius.round"]');
    await round.fill('a hand');
    await round.press('Enter');
    await page.waitForFunction(() => [...document.querySelectorAll('#chosen .wrong')].some((one) => one.textContent));
    assert.equal(await round.getAttribute('aria-invalid'), 'true');
    await round.fill('2 in');
    await round.press('Enter');
    await settled(page);
    await page.selectOption('#edge-name', 'starboard');
    await page.fill('#edge-margin', '95');
    await page.getByRole('button', { name: 'Give this edge its own margin' }).click();
    await settled(page);
    await page.locator('#panel-tape > summary').click();
    const width = page.locator('#tape [data-key="tape.line.width"]');
    await width.fill('25');
    await width.press('Enter');
    await settled(page);
    assert.equal(await page.locator('#figures [data-key="line-tape.need"] dt').innerText(), 'Line tape');
    await page.locator('#panel-finish > summary').click();
    const coat = page.locator('#finish [data-key="step.#6.coat"]');
    await coat.waitFor();
    await coat.fill('primer');
    await coat.press('Enter');
    await settled(page);
    await page.keyboard.press('Control+s');
    await page.waitForFunction(() => document.getElementById('file')?.textContent?.includes('as saved'));
    const text = server.read();
    assert.match(text, /edge = 80 +# waterway along the toe-rail/);
    assert.match(text, /round = "2 in" +# the lid of the varnish tin/);
    assert.match(text, /edges = \{ aft = 75 ?, starboard = 95 \}/);
    assert.match(text, /line = \{ width = 25, roll = "33 m"/);
    assert.match(text, /id = "gloss"\non = "border"\ncoat = "primer"/);
    await close();
  });

  test('things are added and taken off, points put in and taken out, and all of it undone', async () => {
    const { page, server, close } = await opened();
    await page.locator('#panel-things > summary').click();
    for (const kind of ['fitting', 'opening', 'strip-across', 'smooth']) {
      await page.locator(`[data-add="${kind}"]`).click();
      await settled(page);
    }
    await page.getByRole('button', { name: 'Take it off the deck' }).click();
    await settled(page);
    await page.locator('#things [data-thing="deck.#1.outline"]').click();
    await page.locator('#board .grips [data-what="deck.#1.outline.half_breadths.#3"]').click();
    await page.getByRole('button', { name: 'Put a point in after it' }).click();
    await settled(page);
    const text = await page.evaluate(() => /** @type {any} */ (globalThis).spile.history.text);
    assert.match(text, /\[900, 880\],\n {2}\[1200, 1045\],\n {2}\[1500, 1210\]/);
    while (await page.locator('#undo').isEnabled()) {
      await page.click('#undo');
      await settled(page);
    }
    assert.equal(await page.evaluate(() => /** @type {any} */ (globalThis).spile.history.text), server.read());
    await close();
  });

  test('every view shows what it is of', async () => {
    const { page, close } = await opened();
    for (const [view, mark] of [
      ['first', '.line-tape'],
      ['reversed', '.edge-tape, .line-tape'],
      ['setting-out', '.points .point'],
      ['grip', '.mark.grip'],
      ['pattern', '.field'],
    ]) {
      await page.check(`input[name="view"][value="${view}"]`);
      await page.waitForSelector(`#board ${mark}`, { state: 'attached' });
    }
    await page.check('input[name="view"][value="setting-out"]');
    await page.waitForSelector('#board .points .point', { state: 'attached' });
    // Where many points lie together, from so near that their names are shown.
    for (let press = 0; press < 7; press += 1) {
      await page.click('#larger');
      await page.evaluate(() => /** @type {any} */ (globalThis).spile.board.centre([1900, 0]));
      const over = await page.evaluate(() => {
        const shown = [...document.querySelectorAll('#board .labels text, #board .points text')].filter((one) => getComputedStyle(one).display !== 'none' && !one.closest('.far'));
        const boxes = shown.map((one) => ({ name: one.textContent, box: one.getBoundingClientRect() }));
        return boxes.flatMap((one, index) =>
          boxes
            .slice(index + 1)
            .filter(({ box }) => one.box.left < box.right - 1 && box.left < one.box.right - 1 && one.box.top < box.bottom - 3 && box.top < one.box.bottom - 3)
            .filter(({ box }) => box.right > 0 && one.box.right > 0 && box.left < 930 && one.box.left < 930 && box.top > 130 && one.box.top > 130 && box.bottom < 800 && one.box.bottom < 800)
            .map((other) => `${one.name} over ${other.name}`),
        );
      });
      assert.deepEqual(over, [], `larger ${press + 1} times`);
    }
    await page.check('input[name="view"][value="grip"]');
    await page.waitForSelector('#key span');
    await close();
  });

  test('a distance is measured between two corners', async () => {
    const { page, close } = await opened();
    await page.click('#measure');
    const [bow, hatch] = [await onScreen(page, 0, 0), await onScreen(page, 3700, 1675)];
    await page.mouse.click(bow.x + 2, bow.y + 2);
    await page.mouse.click(hatch.x - 2, hatch.y + 1);
    const words = await page.locator('#measured').innerText();
    // √(3700² + 1675²) = 4061.5
    assert.match(words, /^4061\.5 mm \(3700 mm fore and aft, 1675 mm athwartships\)/);
    await close();
  });
});

/**
 * Where a place of the deck is on the screen.
 * @param {Page} page
 * @param {number} x
 * @param {number} y to starboard
 */
function onScreen(page, x, y) {
  return page.evaluate(
    ([x, y]) => {
      const svg = /** @type {SVGSVGElement} */ (/** @type {unknown} */ (document.getElementById('board')));
      const at = new DOMPoint(x, -(y ?? 0)).matrixTransform(/** @type {DOMMatrix} */ (svg.getScreenCTM()));
      return { x: at.x, y: at.y };
    },
    [x, y],
  );
}

describe('the file and other programs', { concurrency: false }, () => {
  test('a change in an editor is on the page within half a second', async () => {
    const { page, server, close } = await opened();
    const before = await figure(page, 'border_area');
    const began = Date.now();
    server.write(server.read().replace('edge = 60        # waterway', 'edge = 85        # waterway'));
    await page.waitForFunction((was) => document.querySelector('#figures [data-key="border_area"] .value')?.textContent !== was, before, { polling: 10 });
    const took = Date.now() - began;
    // An unoptimised build on a busy machine; DEVELOPERS.md has the figure of a release.
    assert.ok(took < 2000, `${took} ms`);
    assert.match(await page.locator('#file').innerText(), /as saved/);
    await close();
  });

  test('where both have changed nothing is lost: both are shown and the person is asked', async () => {
    const { page, server, close } = await opened();
    await drag(page, CLEAT, [25, -15]);
    const theirs = server.read().replace('edge = 60        # waterway', 'edge = 85        # waterway');
    server.write(theirs);
    await page.waitForSelector('dialog[open]');
    const shown = await page.locator('#compare-body').innerText();
    assert.match(shown, /− edge = 60 +# waterway/);
    assert.match(shown, /\+ edge = 85 +# waterway/);
    assert.match(shown, /− slot = \{ from = \[1160, 760\]/);
    await page.getByRole('button', { name: 'Decide later' }).click();
    // Saving does not go over it either.
    await page.click('#save');
    await page.waitForSelector('dialog[open]');
    assert.equal(server.read(), theirs);
    await page.getByRole('button', { name: 'Take what is in the file' }).click();
    await settled(page);
    assert.equal(await page.evaluate(() => /** @type {any} */ (globalThis).spile.history.text), theirs);
    // What was here before is one step back.
    await page.click('#undo');
    await settled(page);
    const mine = await page.evaluate(() => /** @type {any} */ (globalThis).spile.history.text);
    assert.match(mine, /edge = 60 +# waterway/);
    await page.click('#save');
    await page.waitForFunction(() => document.getElementById('file')?.textContent?.includes('as saved'));
    assert.equal(server.read(), mine);
    await close();
  });

  test('a file that an editor breaks is said to be at fault, line by line, and the last picture stays', async () => {
    const { page, server, close } = await opened();
    const good = server.read();
    server.write(good.replace('round = 40 ', 'rond = 40 '));
    await page.waitForSelector('#trouble:not([hidden])');
    assert.match(await page.locator('#trouble').innerText(), /Line \d+: .*rond/);
    assert.ok((await page.locator('#board .field').count()) > 10);
    server.write(good);
    await page.waitForSelector('#trouble', { state: 'hidden' });
    await close();
  });

  test('outputs are made of what is on the page and fetched', async () => {
    const { page, close } = await opened();
    await page.locator('#panel-outputs > summary').click();
    await page.locator('[data-offer="template"] > summary').click();
    await page.selectOption('#template-deck', 'foredeck');
    await page.getByRole('button', { name: 'Make: template' }).click();
    const link = page.locator('[data-offer="template"] .files a');
    await link.waitFor();
    const [download] = await Promise.all([page.waitForEvent('download'), link.click()]);
    assert.equal(download.suggestedFilename(), 'launch-template.pdf');
    const bytes = readFileSync(await download.path());
    assert.equal(bytes.subarray(0, 5).toString(), '%PDF-');
    assert.ok(bytes.length > 50_000);
    await close();
  });
});

describe('a first layout', { concurrency: false }, () => {
  test('is begun from length, beam and shape, and saved where the file was to be', async () => {
    const { page, server, close } = await opened({});
    await page.fill('#begin-title', 'Guillemot');
    await page.fill('#begin-length', '11.6 m');
    await page.fill('#begin-beam', '3400');
    await page.selectOption('#begin-stern', 'round');
    await page.getByRole('button', { name: 'Begin the layout' }).click();
    await page.waitForSelector('#board .field', { state: 'attached' });
    await page.click('#save');
    await page.waitForFunction(() => document.getElementById('file')?.textContent?.includes('as saved'));
    assert.match(printed(server.path), /Guillemot/);
    await close();
  });

  test('is begun from half-breadths as a spreadsheet has them, and what cannot be read is said', async () => {
    const { page, server, close } = await opened({});
    await page.fill('#begin-table', 'station\thalf\n0\t0\n400\twide\n');
    await page.getByRole('button', { name: 'Begin the layout' }).click();
    await page.waitForFunction(() => document.getElementById('begin-wrong')?.textContent?.includes('line 3'));
    await page.fill('#begin-table', 'station\thalf\n0\t0\n400\t470\n900\t880\n1500\t1210\n2200\t1460\n3000\t1615\n3700\t1675\n');
    await page.getByRole('button', { name: 'Begin the layout' }).click();
    await page.waitForSelector('#board .field', { state: 'attached' });
    await page.click('#save');
    await page.waitForFunction(() => document.getElementById('file')?.textContent?.includes('as saved'));
    assert.match(server.read(), /\[1500, 1210\]/);
    await close();
  });
});

describe('whoever works in it', { concurrency: false }, () => {
  test('can do everything by keyboard', async () => {
    const { page, server, close } = await opened();
    await page.keyboard.press('Tab');
    assert.equal(await page.evaluate(() => document.activeElement?.className), 'skip');
    await page.keyboard.press('Enter');
    // The board itself: choose with ], move with arrows, zoom, back.
    await page.locator('#board').focus();
    for (let press = 0; press < 60; press += 1) {
      await page.keyboard.press(']');
      if ((await page.evaluate(() => /** @type {any} */ (globalThis).spile.grip)) === CLEAT) break;
    }
    assert.equal(await page.evaluate(() => /** @type {any} */ (globalThis).spile.grip), CLEAT);
    assert.match(await page.locator('#said').innerText(), /bow cleat chosen/);
    for (let press = 0; press < 3; press += 1) await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Shift+ArrowUp');
    await settled(page);
    const text = () => page.evaluate(() => /** @type {any} */ (globalThis).spile.history.text);
    assert.match(await text(), /slot = \{ from = \[1190, 860\], to = \[1370, 950\]/);
    await page.keyboard.press('Control+z');
    await settled(page);
    assert.equal(await text(), server.read(), 'pressed again and again it is one step');
    await page.keyboard.press('Control+Shift+z');
    await settled(page);
    await page.keyboard.press('Control+s');
    await page.waitForFunction(() => document.getElementById('file')?.textContent?.includes('as saved'));
    // Views by arrows among the radio buttons, panels by Enter.
    await page.locator('input[name="view"]:checked').focus();
    await page.keyboard.press('ArrowRight');
    await page.waitForSelector('#board .line-tape', { state: 'attached' });
    await page.locator('#panel-things > summary').focus();
    await page.keyboard.press('Enter');
    await page.locator('#things [data-thing="deck.#4.fitting.#1"]').focus();
    await page.keyboard.press('Enter');
    await page.waitForFunction(() => document.querySelector('#chosen legend')?.textContent === 'towing bollard');
    await page.locator('#place-station').focus();
    await page.keyboard.press('Control+a');
    await page.keyboard.type('10.3 m');
    await page.keyboard.press('Enter');
    await settled(page);
    assert.match(await text(), /name = "towing bollard"\ncircle = \{ at = \[10300, 0\]/);
    await page.locator('#board').focus();
    await page.keyboard.press('Delete');
    await settled(page);
    assert.doesNotMatch(await text(), /towing bollard/);
    await close();
  });

  for (const [name, width, height, colorScheme] of /** @type {const} */ ([
    ['desk', 1400, 900, 'light'],
    ['desk-dark', 1400, 900, 'dark'],
    ['phone', 390, 844, 'light'],
  ])) {
    test(`finds nothing in the way at a ${name}`, async () => {
      const { page, close } = await opened({ from: 'guillemot.toml' }, { width, height, colorScheme });
      for (const panel of ['panel-things', 'panel-fields', 'panel-tape', 'panel-finish', 'panel-shopping', 'panel-outputs']) await page.locator(`#${panel} > summary`).click();
      await page.locator('#things [data-thing="deck.#1.fitting.#2"]').click();
      await page.waitForSelector('#place-station');
      await settled(page);
      // axe is put into the page past its policy, which keeps out scripts from elsewhere.
      const cdp = await page.context().newCDPSession(page);
      await cdp.send('Runtime.evaluate', { expression: axe });
      const { violations } = await page.evaluate(() => /** @type {any} */ (globalThis).axe.run(document, { resultTypes: ['violations'] }));
      const serious = violations.filter((/** @type {any} */ one) => ['serious', 'critical'].includes(one.impact));
      assert.deepEqual(
        serious.map((/** @type {any} */ one) => `${one.id}: ${one.nodes.map((/** @type {any} */ node) => node.target.join(' ')).join(', ')}`),
        [],
      );
      // Nothing wider than the screen.
      const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
      assert.ok(over <= 0, `${over} px too wide`);
      if (process.env.SPILE_PICTURES) await page.screenshot({ path: `${process.env.SPILE_PICTURES}/show-${name}.png` });
      await close();
    });
  }

  test('ticks off what is bought on a phone, and it stays ticked', async () => {
    const { page, close } = await opened({ from: 'guillemot.toml' }, { width: 390, height: 844 });
    await page.locator('#panel-shopping > summary').click();
    await page.locator('#shopping input').first().check();
    await page.reload();
    await page.waitForFunction(() => /** @type {any} */ (globalThis).spile?.shown);
    await page.locator('#panel-shopping > summary').click();
    assert.equal(await page.locator('#shopping input').first().isChecked(), true);
    assert.equal(await page.locator('#shopping input').nth(1).isChecked(), false);
    await close();
  });

  test('sees names from the file as text, whatever they are', async () => {
    const hostile = '<img src=x onerror="globalThis.struck=1">';
    const quoted = JSON.stringify(hostile);
    const text = `title = ${quoted}\n[[deck]]\nid = "deck"\ntitle = ${quoted}\n[deck.outline]\npoints = [[0, 0], { at = [3000, 0], edge = ${quoted} }, [3000, 1200], [0, 1200]]\n[[deck.fitting]]\nname = ${quoted}\ncircle = { at = [900, 600], diameter = 120 }\n`;
    const { page, close } = await opened({ text });
    await page.locator('#panel-things > summary').click();
    await page.locator('#panel-fields > summary').click();
    await page.locator('#things [data-thing="deck.#1.fitting.#1"]').click();
    await settled(page);
    assert.equal(await page.locator('img').count(), 0);
    assert.equal(await page.evaluate(() => /** @type {any} */ (globalThis).struck), undefined);
    assert.equal(await page.locator('#title').innerText(), hostile);
    await close();
  });
});
