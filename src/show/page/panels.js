// What stands beside the board: figures with their difference to the saved file, fields, warnings, things, what to buy.

/** @import { Shown, Said, Thing, Item, Figure } from './types.js' */
import { html, table } from './dom.js';

/** What each row of figures says, to leave alone those that go on saying it. @type {WeakMap<Element, string>} */
const SAID = new WeakMap();

/** @param {Figure} row */
function figure(row) {
  const made = html(
    'div',
    { 'data-key': row.key, class: row.waiting ? 'waiting' : row.difference ? 'other' : '' },
    html('dt', {}, row.title),
    html('dd', {}, html('span', { class: 'value' }, row.value), row.difference ? html('span', { class: 'difference', title: 'beside the saved file' }, row.difference) : ''),
  );
  SAID.set(made, JSON.stringify(row));
  return made;
}

/**
 * The figures, section by section; while the same are shown, only those that change are made anew.
 * @param {HTMLElement} into
 * @param {Shown} shown
 */
export function figures(into, shown) {
  const rows = shown.sections.flatMap((section) => section.rows);
  const made = [...into.querySelectorAll('dl > div')];
  const titles = [...into.querySelectorAll('h3')].map((one) => one.textContent);
  const isSame =
    made.length === rows.length &&
    titles.length === shown.sections.length &&
    shown.sections.every((section, index) => section.title === titles[index]) &&
    rows.every((row, index) => row.key === made[index]?.getAttribute('data-key'));
  if (isSame) {
    rows.forEach((row, index) => {
      const old = made[index];
      if (old && SAID.get(old) !== JSON.stringify(row)) old.replaceWith(figure(row));
    });
    return;
  }
  into.replaceChildren(
    ...shown.sections.map((section) => html('section', { class: 'figures' }, html('h3', {}, section.title), html('dl', {}, ...section.rows.map(figure)))),
  );
}

/**
 * The tables that `spile figures` prints, deck by deck.
 * @param {Shown} shown
 * @param {{ light: (field: string | null) => void, find: (field: string) => void }} on
 */
export function decks(shown, on) {
  return shown.decks.map((deck) => {
    const fields = table(`Fields of ${deck.title}`, deck.fields.head, deck.fields.rows, ([id]) => ({
      tabindex: 0,
      'data-field': `${deck.id} ${id}`,
      onmouseenter: () => on.light(`${deck.id} ${id}`),
      onmouseleave: () => on.light(null),
      onfocus: () => on.light(`${deck.id} ${id}`),
      onblur: () => on.light(null),
      onclick: () => on.find(`${deck.id} ${id}`),
      onkeydown: (/** @type {KeyboardEvent} */ event) => {
        if (event.key === 'Enter') on.find(`${deck.id} ${id}`);
      },
    }));
    return html(
      'section',
      { 'data-deck': deck.id },
      html('h3', {}, deck.title),
      table(`Areas of ${deck.title}`, deck.areas.head, deck.areas.rows),
      deck.fields.rows.length ? fields : html('p', {}, 'No field: all of this deck stays smooth.'),
      table(`Tape and film of ${deck.title}`, deck.passes.head, deck.passes.rows),
    );
  });
}

/**
 * Warnings, those with a place as buttons that lead there.
 * @param {Said[]} warnings
 * @param {(warning: Said) => void} go
 */
export function warnings(warnings, go) {
  if (warnings.length === 0) return [html('p', {}, 'Nothing to warn of.')];
  const items = warnings.map((warning, index) => {
    const where = warning.line ? html('span', { class: 'line' }, ` (line ${warning.line})`) : '';
    const words = html('span', {}, `${index + 1}. ${warning.message}`);
    return html('li', {}, warning.at ? html('button', { type: 'button', class: 'plain', onclick: () => go(warning) }, words, where) : html('span', {}, words, where));
  });
  return [html('ul', { class: 'warnings-list' }, ...items)];
}

/** Headings of the list of things, in its order. */
const KINDS = /** @type {const} */ ([
  ['fitting', 'Fittings'],
  ['opening', 'Openings'],
  ['strip', 'Strips'],
  ['smooth', 'Areas kept smooth'],
  ['pad', 'Pads'],
]);

/**
 * Everything that can be chosen, deck by deck.
 * @param {Shown} shown
 * @param {string | null} chosen
 * @param {(thing: string) => void} choose
 */
export function things(shown, chosen, choose) {
  /** @param {string} way @param {string} name */
  const button = (way, name) => html('li', {}, html('button', { type: 'button', 'data-thing': way, 'aria-pressed': String(way === chosen), onclick: () => choose(way) }, name));
  return shown.decks.map((deck, number) => {
    const kinds = KINDS.flatMap(([kind, title]) => {
      const own = shown.things.filter((thing) => thing.deck === number && thing.kind === kind);
      return own.length ? [html('h4', {}, title), html('ul', { class: 'things' }, ...own.map((thing) => button(thing.way, thing.name)))] : [];
    });
    return html('section', {}, html('h3', {}, deck.title), html('ul', { class: 'things' }, button(`deck.#${number + 1}.outline`, 'deck edge'), button(`deck.#${number + 1}.margin`, 'margins, radii, least sizes')), ...kinds);
  });
}

/**
 * @param {Thing[]} things
 * @param {string} way
 */
export function nameOf(things, way) {
  const thing = things.find((one) => one.way === way);
  if (thing) return thing.name;
  if (way.endsWith('.outline')) return 'deck edge';
  if (way.endsWith('.margin')) return 'margins, radii, least sizes';
  return way;
}

/**
 * What to buy, to be ticked off; ticks are kept in this browser.
 * @param {Item[]} items
 * @param {string} layout
 */
export function shopping(items, layout) {
  if (items.length === 0) return [html('p', {}, 'The layout names no steps and no tape.')];
  /** @param {Item} item */
  const key = (item) => `spile ${layout} bought ${item.id}`;
  const shelves = [...new Set(items.map((item) => item.shelf))];
  return shelves.map((shelf) =>
    html(
      'section',
      {},
      html('h3', {}, shelf),
      html(
        'ul',
        { class: 'ticks' },
        ...items
          .filter((item) => item.shelf === shelf)
          .map((item) => {
            const box = html('input', {
              type: 'checkbox',
              onchange: () => {
                try {
                  if (box.checked) localStorage.setItem(key(item), item.buy || item.need);
                  else localStorage.removeItem(key(item));
                } catch {
                  // A browser that keeps nothing: the tick lasts as long as the page.
                }
              },
            });
            // Ticked for another amount it is not ticked any more.
            try {
              box.checked = localStorage.getItem(key(item)) === (item.buy || item.need);
            } catch {
              box.checked = false;
            }
            return html('li', {}, html('label', {}, box, html('span', {}, `${item.title}: `), html('span', { class: 'value' }, item.buy || item.need), item.buy ? html('span', { class: 'need' }, ` needs ${item.need}`) : ''));
          }),
      ),
    ),
  );
}
