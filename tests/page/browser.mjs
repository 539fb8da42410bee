// A browser of Debian's for the tests: headless, and so that whatever it says on its console is kept.

import { chromium } from 'playwright-core';

/** @import { Browser, Page } from 'playwright-core' */

/** Where the browser is, where the environment does not say. */
const BROWSER = process.env.SPILE_BROWSER ?? '/usr/bin/chromium';

/**
 * Starts a browser.
 * @returns {Promise<Browser>}
 */
export function launch() {
  return chromium.launch({
    executablePath: BROWSER,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
}

/**
 * Everything a page says that it should not: errors and warnings on its console, exceptions, requests refused by its policy.
 * @param {Page} page
 * @returns {string[]} filled as they come
 */
export function complaints(page) {
  /** @type {string[]} */
  const said = [];
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') said.push(message.text());
  });
  page.on('pageerror', (error) => said.push(String(error)));
  return said;
}
