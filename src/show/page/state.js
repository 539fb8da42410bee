// The text that is worked on, everything it was before, and what of it is saved.

/**
 * @typedef {{ text: string, done: string, of?: string }} Step a text, what led to it, and on what, where several of a kind are one
 */

/** Texts one after the other; going back loses nothing until something new is done. */
export class History {
  /** @type {Step[]} */
  #steps;
  #now = 0;

  /** @param {string} text */
  constructor(text) {
    this.#steps = [{ text, done: 'as opened' }];
  }

  get text() {
    return this.#at(this.#now).text;
  }

  /** What undoing would take back; nothing at the beginning. */
  get last() {
    return this.#now > 0 ? this.#at(this.#now).done : null;
  }

  /** What redoing would bring back. */
  get next() {
    return this.#steps[this.#now + 1]?.done ?? null;
  }

  /** @param {number} index */
  #at(index) {
    const step = this.#steps[index];
    if (!step) throw new Error('there is no such step');
    return step;
  }

  /**
   * Something was done. What is done to one thing over and over, as by an arrow key held down, is one step.
   * @param {Step} step
   */
  add(step) {
    if (step.text === this.text) return;
    const before = this.#at(this.#now);
    const goesOn = step.of !== undefined && step.of === before.of && this.#now === this.#steps.length - 1 && this.#now > 0;
    this.#steps.length = goesOn ? this.#now : this.#now + 1;
    this.#steps.push(step);
    this.#now = this.#steps.length - 1;
  }

  /** The next thing done is a step of its own, whatever it is done to. */
  settle() {
    delete this.#at(this.#now).of;
  }

  undo() {
    if (this.#now > 0) this.#now -= 1;
  }

  redo() {
    if (this.#now + 1 < this.#steps.length) this.#now += 1;
  }
}

/**
 * Lines that differ between two texts: a line taken out, a line put in, in the order of the texts.
 * @param {string} old
 * @param {string} now
 * @returns {{ sign: '−' | '+', line: string, number: number }[]}
 */
export function differences(old, now) {
  const [a, b] = [old.split('\n'), now.split('\n')];
  let head = 0;
  while (head < a.length && head < b.length && a[head] === b[head]) head += 1;
  let tail = 0;
  while (tail < a.length - head && tail < b.length - head && a[a.length - 1 - tail] === b[b.length - 1 - tail]) tail += 1;
  const [as, bs] = [a.slice(head, a.length - tail), b.slice(head, b.length - tail)];
  // Longest common lines; of very different texts all is old, all is new.
  /** @type {{ sign: '−' | '+', line: string, number: number }[]} */
  const said = [];
  /** @param {'−' | '+'} sign @param {string} line @param {number} number */
  const say = (sign, line, number) => said.push({ sign, line, number: head + number + 1 });
  if (as.length * bs.length > 4_000_000) {
    as.forEach((line, index) => say('−', line, index));
    bs.forEach((line, index) => say('+', line, index));
    return said;
  }
  const width = bs.length + 1;
  const longest = new Uint32Array((as.length + 1) * width);
  /** @param {number} i @param {number} j */
  const at = (i, j) => longest[i * width + j] ?? 0;
  for (let i = as.length - 1; i >= 0; i -= 1) {
    for (let j = bs.length - 1; j >= 0; j -= 1) {
      longest[i * width + j] = as[i] === bs[j] ? at(i + 1, j + 1) + 1 : Math.max(at(i + 1, j), at(i, j + 1));
    }
  }
  let [i, j] = [0, 0];
  while (i < as.length || j < bs.length) {
    const [one, other] = [as[i], bs[j]];
    if (one !== undefined && one === other) {
      i += 1;
      j += 1;
    } else if (one !== undefined && (other === undefined || at(i + 1, j) >= at(i, j + 1))) {
      say('−', one, i);
      i += 1;
    } else if (other !== undefined) {
      say('+', other, j);
      j += 1;
    }
  }
  return said;
}
