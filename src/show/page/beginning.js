// Where there is no layout yet: a first one from length, beam and shape, or from half-breadths of a spreadsheet.

import { ask } from './asking.js';
import { byId } from './dom.js';

/**
 * @param {(text: string) => void} begun
 */
export function begin(begun) {
  const form = byId('begin', HTMLFormElement);
  const wrong = byId('begin-wrong', HTMLElement);
  form.hidden = false;
  form.addEventListener('submit', async (event) => {
    event.preventDefault();
    /** @param {string} name */
    const value = (name) => {
      const control = form.elements.namedItem(name);
      if (control instanceof HTMLInputElement || control instanceof HTMLSelectElement || control instanceof HTMLTextAreaElement) return control.value;
      return '';
    };
    try {
      /** @type {{ text: string }} */
      const { text } = await ask('begin', {
        title: value('title'),
        units: value('units'),
        length: value('length'),
        beam: value('beam'),
        bow: value('bow'),
        stern: value('stern'),
        half_breadths: value('half_breadths'),
      });
      form.hidden = true;
      begun(text);
    } catch (trouble) {
      wrong.textContent = trouble instanceof Error ? trouble.message : String(trouble);
    }
  });
  form.querySelector('input')?.focus();
}
