// Elements made in one line. Text from the layout goes in as text and never as markup.

const SVG = 'http://www.w3.org/2000/svg';

/**
 * @typedef {Node | string | null | undefined | false} Child
 * @typedef {Record<string, string | number | boolean | null | undefined | ((event: any) => void)>} Properties
 */

/**
 * @param {Element} element
 * @param {Properties} properties attributes; those that begin with `on` are listeners
 * @param {Child[]} children
 */
function fill(element, properties, children) {
  for (const [name, value] of Object.entries(properties)) {
    if (value === null || value === undefined || value === false) continue;
    if (typeof value === 'function') element.addEventListener(name.slice(2), value);
    else element.setAttribute(name, value === true ? '' : String(value));
  }
  for (const child of children) {
    if (child) element.append(child);
  }
}

/**
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} tag
 * @param {Properties} [properties]
 * @param {...Child} children
 * @returns {HTMLElementTagNameMap[K]}
 */
export function html(tag, properties = {}, ...children) {
  const element = document.createElement(tag);
  fill(element, properties, children);
  return element;
}

/**
 * @template {keyof SVGElementTagNameMap} K
 * @param {K} tag
 * @param {Properties} [properties]
 * @param {...Child} children
 * @returns {SVGElementTagNameMap[K]}
 */
export function svg(tag, properties = {}, ...children) {
  const element = document.createElementNS(SVG, tag);
  fill(element, properties, children);
  return element;
}

/**
 * The element of the page with this id, which is there.
 * @template {Element} T
 * @param {string} id
 * @param {new () => T} type
 * @returns {T}
 */
export function byId(id, type) {
  const element = document.getElementById(id);
  if (!(element instanceof type)) throw new Error(`the page has no ${id}`);
  return element;
}

/**
 * Says something to people who hear the page.
 * @param {string} text
 */
export function announce(text) {
  byId('said', HTMLElement).textContent = text;
}

/**
 * New contents in place of the old; who was typing in them goes on typing in the new.
 * @param {HTMLElement} into
 * @param {Node[]} contents
 */
export function refill(into, contents) {
  const held = document.activeElement;
  const selector = held && into.contains(held) ? selectorOf(held) : null;
  const typed = held instanceof HTMLInputElement || held instanceof HTMLTextAreaElement ? held : null;
  // What was typed and not yet said is typed in the new one too.
  const unsaid = typed && typed.type !== 'checkbox' && typed.value !== typed.dataset['said'] ? typed.value : null;
  into.replaceChildren(...contents);
  for (const box of into.querySelectorAll('input, textarea')) {
    if (box instanceof HTMLInputElement || box instanceof HTMLTextAreaElement) box.dataset['said'] = box.value;
  }
  const again = selector ? into.querySelector(selector) : null;
  if (!(again instanceof HTMLElement)) return;
  again.focus({ preventScroll: true });
  if (unsaid !== null && (again instanceof HTMLInputElement || again instanceof HTMLTextAreaElement)) {
    again.value = unsaid;
    again.setSelectionRange(unsaid.length, unsaid.length);
  }
}

/** @param {Element} element */
function selectorOf(element) {
  for (const name of ['data-field', 'data-thing', 'data-key', 'data-act', 'id']) {
    const value = element.getAttribute(name);
    if (value) return `[${name}="${CSS.escape(value)}"]`;
  }
  return null;
}

/**
 * A table with a caption, the first column naming its rows.
 * @param {string} caption
 * @param {string[]} head
 * @param {string[][]} rows
 * @param {(row: string[]) => Properties} [ofRow] attributes of a row
 */
export function table(caption, head, rows, ofRow = () => ({})) {
  return html(
    'div',
    { class: 'scroll', tabindex: 0, role: 'region', 'aria-label': caption },
    html(
      'table',
      {},
      html('caption', {}, caption),
      html('thead', {}, html('tr', {}, ...head.map((name) => (name ? html('th', { scope: 'col' }, name) : html('td'))))),
      html(
        'tbody',
        {},
        ...rows.map((row) =>
          html('tr', ofRow(row), ...row.map((cell, index) => (index === 0 ? html('th', { scope: 'row' }, cell) : html('td', {}, cell)))),
        ),
      ),
    ),
  );
}
