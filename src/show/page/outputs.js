// What can be made of the layout as it stands on the page: the outputs of the commands, each with what may be said of it.

/** @import { Made, Offer, OfferOption } from './types.js' */
import { ask } from './asking.js';
import { announce, html } from './dom.js';

/**
 * @param {HTMLElement} into
 * @param {() => string} text
 */
export async function show(into, text) {
  /** @type {{ offers: Offer[] }} */
  const { offers } = await ask('offers', { text: text() });
  into.replaceChildren(...offers.map((offer) => card(offer, text)));
}

/**
 * @param {Offer} offer
 * @param {() => string} text
 */
function card(offer, text) {
  const controls = offer.options.map((option) => ({ option, ...control(offer, option) }));
  const result = html('div', { class: 'made', 'aria-live': 'polite' });
  const make = html(
    'button',
    {
      type: 'button',
      onclick: async () => {
        make.disabled = true;
        result.replaceChildren(html('p', {}, 'Being made …'));
        const options = controls.map(({ option, value }) => [option.name, value()]).filter(([, value]) => value !== '');
        try {
          /** @type {Made} */
          const made = await ask('make', { text: text(), output: offer.id, options });
          result.replaceChildren(links(made));
          announce(`${offer.title}: ${made.files.length} files`);
        } catch (trouble) {
          result.replaceChildren(html('p', { class: 'wrong' }, trouble instanceof Error ? trouble.message : String(trouble)));
        }
        make.disabled = false;
      },
    },
    `Make: ${offer.title.toLowerCase()}`,
  );
  return html(
    'details',
    { 'data-offer': offer.id },
    html('summary', {}, html('span', {}, offer.title), html('span', { class: 'about' }, ` ${offer.about}`)),
    ...controls.map(({ row }) => row),
    make,
    result,
  );
}

/**
 * @param {Offer} offer
 * @param {OfferOption} option
 */
function control(offer, option) {
  const id = `${offer.id}-${option.name}`;
  if (option.kind === 'choice') {
    const choice = html('select', { id }, ...(option.choices ?? []).map(([word, said]) => html('option', { value: word }, said)));
    return { row: html('div', { class: 'row' }, html('label', { for: id }, option.label), choice), value: () => choice.value };
  }
  if (option.kind === 'flag') {
    const box = html('input', { id, type: 'checkbox' });
    return { row: html('div', { class: 'row flag' }, html('label', { for: id }, option.label), box), value: () => (box.checked ? 'true' : '') };
  }
  const box = html('input', { id, type: 'text', autocomplete: 'off' });
  return { row: html('div', { class: 'row' }, html('label', { for: id }, option.label), box), value: () => box.value.trim() };
}

/** @param {Made} made */
function links(made) {
  return html(
    'div',
    {},
    html('ul', { class: 'files' }, ...made.files.map((file) => html('li', {}, html('a', { href: file.at, download: file.name }, file.name), ` ${size(file.bytes)}`))),
    ...made.notes.map((note) => html('p', { class: 'hint' }, note)),
  );
}

/** @param {number} bytes */
function size(bytes) {
  return bytes < 1000 ? `${bytes} bytes` : `${Math.round(bytes / 1000)} kB`;
}
