// What may be typed of a thing: a row for each key of the layout that it may have. Comes in: what the server says of them. Goes
// out: edits.

/** @import { Edit, FormGroup, FormRow, Grip, Thing, Units } from './types.js' */
import { html } from './dom.js';
import { shown } from './lengths.js';

/** Words for keys that say little by themselves. */
const WORDS = /** @type {Record<string, string>} */ ({
  at: 'centre',
  both_sides: 'on both sides',
  in_place: 'stays in place',
  across_at: 'stations, athwartships',
  along_at: 'off the centreline, fore and aft',
  least_width: 'least width of a field',
  least_area: 'least area of a field, m²',
  half_breadths: 'half-breadths',
});

/**
 * A key's name for people.
 * @param {string} name
 */
export function label(name) {
  const last = name.split('.').at(-1) ?? name;
  const before = name.includes('edges.') ? 'margin of edge ' : '';
  return before + (WORDS[last] ?? last.replaceAll('_', ' '));
}

/**
 * Listeners of a box: what is typed is said once, by Enter or by leaving it, also where the box was made anew meanwhile.
 * @param {(value: string) => void} say
 */
function saying(say) {
  /** @param {Event} event */
  const now = (event) => {
    const box = event.target;
    if (!(box instanceof HTMLInputElement || box instanceof HTMLTextAreaElement) || box.value === box.dataset['said']) return;
    box.dataset['said'] = box.value;
    say(box.value);
  };
  return {
    onchange: now,
    onblur: now,
    onkeydown: (/** @type {KeyboardEvent} */ event) => {
      if (event.key === 'Enter' && event.target instanceof HTMLInputElement) now(event);
    },
  };
}

let numbered = 0;

/**
 * @param {FormRow} row
 * @param {(edits: Edit[], done: string) => Promise<string | null>} apply says what is wrong, if anything
 */
function field(row, apply) {
  numbered += 1;
  const id = `row-${numbered}`;
  const name = label(row.name);
  const wrong = html('p', { class: 'wrong', id: `${id}-wrong`, role: 'alert' });
  const hint = html('p', { class: 'hint', id: `${id}-hint` }, row.about + (row.otherwise ? ` Else ${row.otherwise}.` : ''));
  /** @param {string} value */
  const set = async (value) => {
    const isOut = value.trim() === '';
    /** @type {Edit[]} */
    const edits = isOut ? [{ do: 'take-out', key: row.key }] : [{ do: 'set', key: row.key, value }];
    if (isOut && row.written === undefined) return;
    const message = await apply(edits, isOut ? `${name} left out` : `${name} ${value}`);
    wrong.textContent = message ?? '';
    control.setAttribute('aria-invalid', String(message !== null));
  };
  /** @type {HTMLElement} */
  let control;
  const common = { id, 'aria-describedby': `${id}-hint ${id}-wrong`, 'data-key': row.key };
  if (row.kind === 'flag') {
    const box = html('input', { ...common, type: 'checkbox', onchange: () => void set(String(box.checked)) });
    box.checked = (row.written ?? row.otherwise) === 'true';
    control = box;
  } else if (row.kind === 'word') {
    const words = row.words ?? [];
    const choice = html(
      'select',
      { ...common, onchange: () => void set(choice.value) },
      row.required ? null : html('option', { value: '' }, row.otherwise ? `${row.otherwise} (unless said)` : 'not said'),
      ...words.map((word) => html('option', { value: word }, word)),
    );
    choice.value = row.written ?? '';
    control = choice;
  } else if (row.kind === 'written' && (row.written ?? '').includes('\n')) {
    const box = html('textarea', { ...common, rows: Math.min(8, (row.written ?? '').split('\n').length), spellcheck: 'false', ...saying((value) => void set(value)) });
    box.value = row.written ?? '';
    control = box;
  } else {
    const list = row.name === 'coat' || row.name === 'clean' || row.name === 'caulk' ? 'products' : null;
    const box = html('input', { ...common, type: 'text', list, placeholder: row.otherwise ?? '', autocomplete: 'off', spellcheck: 'false', ...saying((value) => void set(value)) });
    box.value = row.written ?? '';
    control = box;
  }
  return html('div', { class: `row ${row.kind}` }, html('label', { for: id }, name), control, hint, wrong);
}

/**
 * The rows of some tables.
 * @param {FormGroup[]} groups
 * @param {Thing[]} things
 * @param {(edits: Edit[], done: string) => Promise<string | null>} apply
 */
export function rows(groups, things, apply) {
  const products = things.filter((thing) => thing.kind === 'product');
  return [
    html('datalist', { id: 'products' }, ...products.map((product) => html('option', { value: product.name }))),
    ...groups.map((group) => html('fieldset', {}, html('legend', {}, title(group.way)), ...group.rows.map((row) => field(row, apply)))),
  ];
}

/** @param {string} way */
function title(way) {
  const last = way.split('.').filter((part) => !part.startsWith('#')).at(-1) ?? 'layout';
  const names = /** @type {Record<string, string>} */ ({
    margin: 'Margins',
    radius: 'Radii of fields',
    field: 'Least field',
    line: 'Line tape',
    edge: 'Edge tape',
    film: 'Film',
    outline: 'Deck edge',
    smooth: 'Area kept smooth',
    job: 'People and money',
  });
  return names[last] ?? last.charAt(0).toUpperCase() + last.slice(1);
}

/**
 * The place of what is held, to be typed exactly.
 * @param {Grip} grip
 * @param {Units} units
 * @param {(edits: Edit[], done: string) => Promise<string | null>} apply
 * @returns {{ element: HTMLElement, follow: (at: [number, number]) => void }} `follow` shows where it is while it is dragged
 */
export function place(grip, units, apply) {
  const wrong = html('p', { class: 'wrong', role: 'alert' });
  /**
   * @param {string} id
   * @param {string} words
   * @param {boolean} isFree
   * @param {(value: string) => Edit} edit
   */
  const box = (id, words, isFree, edit) => {
    const input = html('input', {
      id,
      type: 'text',
      inputmode: 'text',
      autocomplete: 'off',
      disabled: !isFree,
      ...saying((value) => {
        void apply([edit(value)], `${grip.called} put`).then((message) => {
          wrong.textContent = message ?? '';
        });
      }),
    });
    return { input, row: html('div', { class: 'row' }, html('label', { for: id }, words), input) };
  };
  const isHalfBreadth = grip.freedom === 'starboard' || grip.freedom === 'port';
  const station = box('place-station', 'station', grip.freedom !== 'athwartships', (value) => ({ do: 'put', what: grip.what, station: value }));
  const off = box('place-off', isHalfBreadth ? 'half-breadth' : 'off the centreline (starboard +)', grip.freedom !== 'fore-and-aft', (value) => ({
    do: 'put',
    what: grip.what,
    off: grip.freedom === 'port' && !value.trim().startsWith('-') ? `-${value.trim()}` : value,
  }));
  /** @param {[number, number]} at */
  const follow = ([x, y]) => {
    station.input.value = typed(x, units);
    off.input.value = typed(isHalfBreadth ? Math.abs(y) : -y, units);
    for (const box of [station.input, off.input]) box.dataset['said'] = box.value;
  };
  follow(grip.at);
  const element = html('fieldset', { class: 'place' }, html('legend', {}, grip.called), station.row, off.row, wrong);
  return { element, follow };
}

/**
 * A length as it may be typed again.
 * @param {number} mm
 * @param {Units} units
 */
function typed(mm, units) {
  if (units.word === 'ft') return shown(mm, units).replace('′', " ft").replace('″', ' in').replace('−', '-');
  const amount = mm / units.mm;
  return String(Number(amount.toFixed(units.word === 'm' || units.word === 'in' ? 4 : 2)) || 0);
}
