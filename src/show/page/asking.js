// Questions to the server, and the one question that is asked again and again while something is moved.

/** @import { Worked, LayoutFile } from './types.js' */

/** Something that could not be done, in the server's words. */
export class Trouble extends Error {}

/**
 * @param {Response} response
 * @returns {Promise<any>}
 */
async function answered(response) {
  const answer = await response.json().catch(() => ({ trouble: `the server answered ${response.status}` }));
  if (answer.trouble) throw new Trouble(answer.trouble);
  return answer;
}

/**
 * @param {string} what
 * @param {unknown} body
 */
export async function ask(what, body) {
  const response = await fetch(what, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify(body),
  });
  return answered(response);
}

/**
 * Saves a text over a version of the file.
 * @param {string} text
 * @param {number} over
 * @returns {Promise<{ saved: boolean, file: LayoutFile }>} not saved where another program has changed the file
 */
export async function save(text, over) {
  const file = await ask('save', { text, over });
  return { saved: !file.refused, file };
}

/** @returns {Promise<LayoutFile>} */
export async function file() {
  return answered(await fetch('file'));
}

/**
 * The file once it is another than this version; or the same again after a while.
 * @param {number} version
 * @returns {Promise<LayoutFile>}
 */
export async function changed(version) {
  return answered(await fetch(`changes?after=${version}`));
}

/**
 * Asks one question at a time; of those that come meanwhile only the last is asked.
 * @template Q
 */
export class Latest {
  /** @type {Q | null} */
  #waiting = null;
  #asking = false;

  /**
   * @param {(question: Q) => Promise<Worked>} put
   * @param {(answer: Worked, question: Q) => void} heard
   * @param {(trouble: unknown) => void} failed
   */
  constructor(put, heard, failed) {
    this.put = put;
    this.heard = heard;
    this.failed = failed;
  }

  /** @param {Q} question */
  async ask(question) {
    this.#waiting = question;
    if (this.#asking) return;
    this.#asking = true;
    while (this.#waiting) {
      const now = this.#waiting;
      this.#waiting = null;
      try {
        this.heard(await this.put(now), now);
      } catch (trouble) {
        this.failed(trouble);
      }
    }
    this.#asking = false;
  }

  /** Forgets the question that waits. */
  drop() {
    this.#waiting = null;
  }
}
