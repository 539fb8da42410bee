// Lengths as people read them, and round numbers to fall into.

/** @import { Units } from './types.js' */

const SIXTEENTHS = 12 * 16;

/**
 * A length in the layout's unit: `60 mm`, `1.234 m`, `2′ 3 1/2″`.
 * @param {number} mm
 * @param {Units} units
 */
export function shown(mm, units) {
  if (units.word === 'in' || units.word === 'ft') return feetAndInches(mm);
  const decimals = units.word === 'm' ? 3 : 1;
  let text = (mm / units.mm).toFixed(decimals);
  if (units.word !== 'm' && text.endsWith('.0')) text = text.slice(0, -2);
  if (/^-0(\.0*)?$/.test(text)) text = text.slice(1);
  return `${text} ${units.word}`;
}

/** @param {number} mm */
function feetAndInches(mm) {
  const all = Math.round((Math.abs(mm) / 25.4) * 16);
  const feet = Math.floor(all / SIXTEENTHS);
  const inches = Math.floor((all % SIXTEENTHS) / 16);
  let [part, whole] = [all % 16, 16];
  while (part && part % 2 === 0) [part, whole] = [part / 2, whole / 2];
  const fraction = part ? `${part}/${whole}` : '';
  const minus = mm < 0 && all ? '−' : '';
  const small = [inches || (!feet && !fraction) ? String(inches) : '', fraction].filter(Boolean).join(' ');
  return `${minus}${feet ? `${feet}′` : ''}${feet && small && small !== '0' ? ' ' : ''}${feet && small === '0' ? '' : `${small}″`}`;
}

/**
 * Where a place is, in words; y down.
 * @param {[number, number]} at
 * @param {Units} units
 */
export function whereabouts([x, y], units) {
  const station = `station ${shown(x, units)}`;
  if (Math.abs(y) < 0.05) return `${station}, on the centreline`;
  return `${station}, ${shown(Math.abs(y), units)} to ${y < 0 ? 'starboard' : 'port'}`;
}

/**
 * The nearest multiple of a step, without what binary fractions leave behind.
 * @param {number} value
 * @param {number} step
 */
export function toStep(value, step) {
  return Number((Math.round(value / step) * step).toFixed(4));
}
