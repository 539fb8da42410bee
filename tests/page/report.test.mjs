// The report of the demo launch in a real browser, as a yard opens it: from a folder, with no one else to ask.

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { after, before, describe, test } from 'node:test';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { complaints, launch } from './browser.mjs';

/** @import { Browser, BrowserContextOptions, Page } from 'playwright-core' */

const ROOT = join(dirname(fileURLToPath(import.meta.url)), '../..');
const SPILE = process.env.SPILE_BIN ?? join(ROOT, 'target/debug/spile');
const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const SHEETS = 8;

const folder = mkdtempSync(join(tmpdir(), 'spile-report-'));
const report = join(folder, 'guillemot', 'report.html');
const hostile = join(folder, 'hostile', 'report.html');
/** @type {Browser} */
let browser;

/** A deck whose names would do something, were they not text. */
const HOSTILE = `
title = "</title><script>alert(1)</script>"
[[deck]]
id = "fore"
title = '<img src=x onerror=alert(1)> "&amp;'
outline = { half_breadths = [[0, 900], [1600, 1240], [3400, 1400]] }
[deck.margin]
edge = 60
`;

before(async () => {
  const layout = join(folder, 'hostile.toml');
  writeFileSync(layout, HOSTILE);
  for (const [file, name] of [[join(ROOT, 'layouts/guillemot.toml'), 'guillemot'], [layout, 'hostile']]) {
    execFileSync(SPILE, ['plan', `${file}`, '--out', join(folder, `${name}`)], { stdio: ['ignore', 'ignore', 'inherit'] });
  }
  browser = await launch();
});

after(async () => {
  await browser?.close();
  rmSync(folder, { recursive: true, force: true });
});

/**
 * Opens a report; at the end it must have asked for nothing else and complained of nothing.
 * @param {(page: Page) => Promise<void>} look
 * @param {BrowserContextOptions} [options]
 * @param {string} [file]
 */
async function opened(look, options = {}, file = report) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, ...options });
  const page = await context.newPage();
  const said = complaints(page);
  /** @type {string[]} */
  const asked = [];
  page.on('request', (request) => asked.push(request.url()));
  await page.goto(pathToFileURL(file).href);
  await look(page);
  await context.close();
  assert.deepEqual(said, []);
  assert.deepEqual([...new Set(asked.map((one) => one.split('#')[0]))], [pathToFileURL(file).href]);
}

/** @param {Page} page @returns {Promise<string[]>} what is lit: in the drawing, then among the rows */
const lit = (page) =>
  page.$$eval('.lit', (parts) => parts.map((part) => `${part.localName} ${part.getAttribute('data-of')}`));

/** @param {Page} page @param {number} [index] @returns {Promise<number[]>} what of a sheet is seen */
const seen = async (page, index = 0) => {
  const box = await page.locator('.viewer svg').nth(index).getAttribute('viewBox');
  return `${box}`.split(' ').map(Number);
};

const BOTH = ['path foredeck F2', 'tr foredeck F2'];

describe('what is in it', () => {
  test('it is one file of less than 500 kB', () => {
    assert.ok(statSync(report).size < 500_000, `${statSync(report).size} bytes`);
  });

  test('sheets are numbered, headings in order, every table is called something', () =>
    opened(async (page) => {
      const numbers = await page.locator('.sheet .number').allTextContents();
      assert.deepEqual(numbers, Array.from({ length: SHEETS }, (_, index) => `Sheet ${index + 1} of ${SHEETS}`));
      const levels = await page.$$eval('h1, h2, h3, h4', (all) => all.map((one) => Number(one.localName[1])));
      levels.forEach((level, index) => assert.ok(level <= (levels[index - 1] ?? 0) + 1, `${levels}`));
      assert.equal(await page.locator('table').count(), await page.locator('table > caption').count());
    }));

  test('a name that looks like markup is text', () =>
    opened(
      async (page) => {
        assert.equal(await page.locator('h1').innerText(), '</title><script>alert(1)</script>');
        assert.equal(await page.title(), '</title><script>alert(1)</script>: report');
        assert.equal(await page.locator('img').count(), 0);
        assert.equal(await page.locator('script').count(), 1);
        const heading = page.locator('h3', { hasText: 'onerror' }).first();
        assert.equal(await heading.textContent(), '<img src=x onerror=alert(1)> "&amp;');
      },
      {},
      hostile,
    ));

  test('nothing that is added to it may run', () =>
    opened(async (page) => {
      const ran = await page.evaluate(async () => {
        const script = document.createElement('script');
        script.textContent = 'window.ran = true';
        /** @type {string[]} */
        const refused = [];
        document.addEventListener('securitypolicyviolation', (event) => refused.push(event.effectiveDirective));
        console.error = () => {};
        document.body.append(script);
        await new Promise((done) => setTimeout(done, 100));
        return { ran: 'ran' in window, refused };
      });
      assert.deepEqual(ran, { ran: false, refused: ['script-src-elem'] });
    }).then(
      () => assert.fail('the browser says that it refused'),
      (/** @type {Error} */ error) => assert.match(error.message, /Content Security Policy/),
    ));
});

describe('fields and their rows', () => {
  test('a row that is pointed at lights its field, and a field its row', () =>
    opened(async (page) => {
      await page.locator('tr[data-of="foredeck F2"]').hover();
      assert.deepEqual(await lit(page), BOTH);
      await page.locator('h2').first().hover();
      assert.deepEqual(await lit(page), []);
      // A place inside the field, under its hatch and its labels.
      await page.locator('path[data-of="foredeck F2"]').hover();
      assert.deepEqual(await lit(page), BOTH);
    }));

  test('a click keeps it, on either side, and another takes it back', () =>
    opened(async (page) => {
      await page.locator('path[data-of="foredeck F2"]').click();
      await page.locator('path[data-of="foredeck F2"]').blur();
      await page.locator('h2').first().hover();
      assert.deepEqual(await lit(page), BOTH);
      const pressed = await page.$$eval('[aria-pressed=true]', (all) => all.map((one) => one.localName));
      assert.deepEqual(pressed, ['path', 'button']);
      await page.locator('tr[data-of="foredeck F2"] button').click();
      await page.locator('tr[data-of="foredeck F2"] button').blur();
      await page.locator('h2').first().hover();
      assert.deepEqual(await lit(page), []);
    }));

  test('it is told without colour', () =>
    opened(async (page) => {
      const row = page.locator('tr[data-of="foredeck F2"]');
      const field = page.locator('path[data-of="foredeck F2"]');
      const look = async () => ({
        weight: await row.evaluate((one) => getComputedStyle(one).fontWeight),
        mark: await row.locator('th').evaluate((one) => getComputedStyle(one, '::before').visibility),
        line: await field.evaluate((one) => Number.parseFloat(getComputedStyle(one).strokeWidth)),
      });
      const before = await look();
      await row.hover();
      const now = await look();
      assert.deepEqual([before.weight, now.weight], ['400', '700']);
      assert.deepEqual([before.mark, now.mark], ['hidden', 'visible']);
      assert.ok(now.line > 3 * before.line, `${before.line} ${now.line}`);
    }));

  test('the keyboard does all of it', () =>
    opened(async (page) => {
      // From the links to the sheets on to the drawing's buttons, the drawing, its fields, their rows.
      const focus = () =>
        page.evaluate(() => {
          const at = document.activeElement;
          return at?.getAttribute('data-of') ?? at?.closest('tr')?.getAttribute('data-of') ?? at?.textContent ?? '';
        });
      /** @param {(now: string) => boolean} is */
      const tabTo = async (is) => {
        for (let step = 0; step < 60; step += 1) {
          await page.keyboard.press('Tab');
          if (is(await focus())) return;
        }
        assert.fail('it cannot be reached');
      };
      await tabTo((now) => now === 'Larger');
      await page.keyboard.press('Enter');
      const [, , width = 0] = await seen(page);
      assert.ok(width < 420 * 0.7, `${width}`);
      await tabTo((now) => now === 'foredeck F2');
      assert.deepEqual(await lit(page), BOTH);
      await page.keyboard.press('0');
      assert.deepEqual(await seen(page), [0, 0, 420, 297]);
      await page.keyboard.press('Enter');
      await tabTo((now) => now === 'aft-deck F3');
      await tabTo((now) => now === 'foredeck F1');
      assert.deepEqual(await lit(page), ['path foredeck F1', 'path foredeck F2', 'tr foredeck F1', 'tr foredeck F2']);
      await page.keyboard.press('Tab');
      await page.keyboard.press('Space');
      await page.keyboard.press('Tab');
      assert.deepEqual(await lit(page), ['path foredeck F3', 'tr foredeck F3']);
    }));

  test('a row that has the focus is not behind the drawing', () =>
    opened(async (page) => {
      for (const of of ['aft-deck F3', 'foredeck F1', 'side-deck-port F2']) {
        const row = page.locator(`tr[data-of="${of}"]`);
        await row.locator('button').focus();
        await page.waitForTimeout(100);
        const below = await page.locator('.held').evaluate((one) => one.getBoundingClientRect().bottom);
        const box = await row.boundingBox();
        assert.ok(box && box.y >= below - 1 && box.y + box.height <= 900, `${of}: ${box?.y} under ${below}`);
      }
    }));
});

describe('looking closely', () => {
  test('buttons, keys, the wheel and the mouse', () =>
    opened(async (page) => {
      const box = page.locator('.viewer').nth(1);
      const tools = page.locator('.sheet').nth(2).locator('.tools');
      const whole = [0, 0, 420, 297];
      assert.deepEqual(await seen(page, 1), whole);
      await tools.locator('[data-zoom=larger]').click();
      assert.deepEqual(await seen(page, 1), [70, 49.5, 280, 198]);
      await tools.locator('[data-zoom=smaller]').click();
      assert.deepEqual(await seen(page, 1), whole);
      await box.focus();
      await page.keyboard.press('+');
      await page.keyboard.press('ArrowRight');
      assert.deepEqual(await seen(page, 1), [112, 49.5, 280, 198]);
      await page.keyboard.press('-');
      assert.deepEqual(await seen(page, 1), whole);
      const around = await box.boundingBox();
      assert.ok(around);
      await page.mouse.move(around.x + 20, around.y + 20);
      await page.mouse.wheel(0, -300);
      const [x = 0, , width = 0] = await seen(page, 1);
      assert.ok(x < 10 && width < 350, 'what lies under the pointer stays there');
      await page.mouse.down();
      await page.mouse.move(around.x - 180, around.y + 20, { steps: 4 });
      await page.mouse.up();
      assert.ok(((await seen(page, 1))[0] ?? 0) > x + 20, 'it goes with the hand');
      await tools.locator('[data-zoom=whole]').click();
      assert.deepEqual(await seen(page, 1), whole);
      assert.deepEqual(await seen(page, 0), whole, 'the others stay as they are');
    }));

  test('a page that is scrolled does not stick in a drawing', () =>
    opened(async (page) => {
      await page.locator('.viewer').first().hover();
      const before = await page.evaluate(() => scrollY);
      await page.mouse.wheel(0, 200);
      await page.waitForFunction((from) => scrollY > from, before);
      assert.deepEqual(await seen(page), [0, 0, 420, 297]);
    }));

  test('dragging chooses no field', () =>
    opened(async (page) => {
      await page.locator('.tools button').first().click();
      const box = await page.locator('path[data-of="foredeck F2"]').boundingBox();
      assert.ok(box);
      await page.mouse.move(box.x + box.width * 0.7, box.y + box.height * 0.5);
      await page.mouse.down();
      await page.mouse.move(box.x + box.width * 0.7 + 40, box.y + box.height * 0.5, { steps: 4 });
      await page.mouse.up();
      assert.equal(await page.locator('[aria-pressed=true]').count(), 0);
    }));

  test('two fingers', () =>
    opened(
      async (page) => {
        await page.locator('.viewer').first().scrollIntoViewIfNeeded();
        const box = await page.locator('.viewer').first().boundingBox();
        assert.ok(box);
        const touch = await page.context().newCDPSession(page);
        const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
        /** @param {number} apart */
        const points = (apart) => [-1, 1].map((side, id) => ({ x: x + side * apart, y, id }));
        await touch.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: points(20) });
        for (const apart of [30, 45, 60]) {
          await touch.send('Input.dispatchTouchEvent', { type: 'touchMove', touchPoints: points(apart) });
        }
        await touch.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
        const [, , width = 0] = await seen(page);
        assert.ok(width < 420 / 2 && width > 420 / 4, `${width}`);
      },
      { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true },
    ));
});

describe('for everybody', () => {
  for (const [name, options] of /** @type {[string, BrowserContextOptions][]} */ ([
    ['light', {}],
    ['dark', { colorScheme: 'dark' }],
    ['on a phone', { viewport: { width: 390, height: 844 }, isMobile: true, hasTouch: true }],
  ])) {
    test(`nothing serious is found: ${name}`, async () => {
      const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, bypassCSP: true, ...options });
      const page = await context.newPage();
      await page.goto(pathToFileURL(report).href);
      // All of it, not only what has been scrolled to.
      await page.addStyleTag({ content: '.sheet { content-visibility: visible !important }' });
      await page.locator('path[data-of="foredeck F2"]').click();
      await page.evaluate(AXE);
      const found = await page.evaluate('axe.run(document, { resultTypes: ["violations"] })');
      /** @type {{violations: {id: string, impact: string, nodes: {html: string}[]}[]}} */
      const { violations } = /** @type {any} */ (found);
      const grave = violations.filter(({ impact }) => impact === 'serious' || impact === 'critical');
      assert.deepEqual(grave.map(({ id, nodes }) => [id, nodes[0]?.html]), []);
      assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), 'no wider than the screen');
      await context.close();
    });
  }

  test('without a script all of it is there to read', async () => {
    const context = await browser.newContext({ javaScriptEnabled: false });
    const page = await context.newPage();
    await page.goto(pathToFileURL(report).href);
    assert.equal(await page.locator('.viewer svg').first().isVisible(), true);
    assert.equal(await page.locator('.tools').first().isVisible(), false);
    await context.close();
  });
});

test('it is open within 200 ms', async () => {
  const page = await browser.newPage();
  /** @returns {Promise<number>} the median of five */
  const median = async () => {
    /** @type {number[]} */
    const took = [];
    for (let run = 0; run < 5; run += 1) {
      await page.goto(pathToFileURL(report).href);
      took.push(
        await page.evaluate(() => {
          const [opening] = performance.getEntriesByType('navigation');
          return opening instanceof PerformanceNavigationTiming ? opening.domContentLoadedEventEnd : Number.NaN;
        }),
      );
    }
    console.log(`open after ${took.map(Math.round).join(', ')} ms`);
    return took.toSorted((one, other) => one - other)[2] ?? Number.NaN;
  };
  // What else a machine has to do can only make it longer, so a busy one may try again.
  let least = await median();
  for (let again = 0; again < 3 && least >= 200; again += 1) least = Math.min(least, await median());
  await page.close();
  assert.ok(least < 200, `${least} ms`);
});

describe('printed', () => {
  test('every sheet begins a page, drawings lie across, whatever is looked at', () =>
    opened(async (page) => {
      await page.locator('.tools button').first().click();
      const pdf = (await page.pdf({ format: 'A4', preferCSSPageSize: true })).toString('latin1');
      const pages = [...pdf.matchAll(/\/MediaBox\s*\[([^\]]+)\]/g)].map(([, box]) => `${box}`.trim().split(/\s+/).map(Number));
      assert.ok(pages.length >= SHEETS, `${pages.length} pages`);
      const across = pages.filter(([, , width = 0, height = 0]) => width > height);
      assert.equal(across.length, 3);
      await page.emulateMedia({ media: 'print' });
      const breaks = await page.$$eval('.sheet:not(.first)', (all) => all.map((one) => getComputedStyle(one).breakBefore));
      assert.deepEqual(breaks, Array.from({ length: SHEETS - 1 }, () => 'page'));
      assert.equal(await page.locator('.tools').first().isVisible(), false);
      const repeated = await page.$$eval('thead', (all) => all.every((one) => getComputedStyle(one).display === 'table-header-group'));
      assert.ok(repeated, 'heads are repeated');
    }));
});
