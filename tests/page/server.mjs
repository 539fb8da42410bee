// spile as a person starts it, for the tests: in a folder of its own, the address read from what it prints.

import { spawn } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';

const ROOT = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
/** The program that is tested. */
export const SPILE = process.env.SPILE_BIN ?? join(ROOT, 'target/debug/spile');
/** The demo layouts. */
export const LAYOUTS = join(ROOT, 'layouts');

/**
 * A folder with a layout in it, and the page of that layout.
 * @param {{ text?: string, from?: string }} [layout] its text, or the demo of this name; none: there is no file yet
 */
export async function serve({ text, from } = {}) {
  const folder = mkdtempSync(join(tmpdir(), 'spile-page-'));
  const path = join(folder, 'launch.toml');
  if (from) cpSync(join(LAYOUTS, from), path);
  if (text !== undefined) writeFileSync(path, text);
  const child = spawn(SPILE, ['show', path, '--no-open'], { stdio: ['ignore', 'pipe', 'ignore'] });
  const address = await new Promise((resolve, reject) => {
    createInterface({ input: child.stdout }).once('line', resolve);
    child.once('exit', (status) => reject(new Error(`spile ended with ${status}`)));
  });
  return {
    path,
    address: /** @type {string} */ (address),
    read: () => readFileSync(path, 'utf8'),
    /** @param {string} now */
    write: (now) => writeFileSync(path, now),
    end() {
      child.removeAllListeners('exit');
      child.kill();
      rmSync(folder, { recursive: true });
    },
  };
}
