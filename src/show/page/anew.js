// What an answer leaves out because the page knows it from the one before, put in again. Comes in: an answer as it was sent, and
// the answer before. Goes out: everything that is shown; what has not changed is the very same object, and can be left alone.

/** @import { Shown, Told } from './types.js' */

/**
 * @template T
 * @param {import('./types.js').Listed<T>} listed
 * @param {T[]} known
 * @returns {T[]}
 */
function list(listed, known) {
  if ('all' in listed) return listed.all;
  if (listed.changed.length === 0) return known;
  /** @type {T[]} */
  const now = [];
  let from = 0;
  for (const [place, gone, come] of listed.changed) {
    for (; from < place; from += 1) now.push(/** @type {T} */ (known[from]));
    now.push(...come);
    from += gone;
  }
  for (; from < known.length; from += 1) now.push(/** @type {T} */ (known[from]));
  return now;
}

/**
 * @param {Told} told
 * @param {Shown | null} before
 * @returns {Shown | null} nothing where it was said beside another answer than this one
 */
export function whole(told, before) {
  if (told.known !== undefined && told.known !== before?.number) return null;
  return {
    ...told,
    board: {
      ...told.board,
      decks: told.board.decks.map((deck, number) => ({ ...deck, marks: list(deck.marks, before?.board.decks[number]?.marks ?? []) })),
    },
    grips: list(told.grips, before?.grips ?? []),
    things: list(told.things, before?.things ?? []),
  };
}
