// What hands do on the board: take hold, move, let go; push the board about; press keys. Comes in: pointers and keys. Goes out:
// what is meant by them, in places of the deck. Nothing is changed here.

/** @import { Grip, Place } from './types.js' */
/** @import { BoardView } from './board.js' */
import { toStep } from './lengths.js';

/** A press that moves less than this is a press, pixels. */
const STILL = 4;
/** This near to the centreline a thing falls onto it, pixels. */
const NEAR = 9;

/**
 * @typedef {object} Meant
 * @property {(thing: string | null, grip: string | null) => void} choose
 * @property {(grip: Grip, to: Place) => void} drag while it is moved
 * @property {(grip: Grip, to: Place | null) => void} drop let go; nowhere where it was given up
 * @property {(grip: Grip, by: Place) => void} nudge moved by keys
 * @property {(at: Place | null) => void} over where the pointer is
 * @property {(at: Place) => void} measure
 * @property {() => number} step the round number that things fall into
 * @property {() => boolean} isMeasuring
 * @property {() => { thing: string | null, grip: string | null }} chosen
 * @property {(direction: 1 | -1) => void} next choose the next grip
 * @property {() => void} remove
 */

/**
 * Where a grip comes to, as far as it is free, in round numbers.
 * @param {Grip} grip
 * @param {Place} to
 * @param {{ step: number, near: number, exact: boolean }} how
 * @returns {Place}
 */
export function fallen(grip, [x, y], { step, near, exact }) {
  let [sx, sy] = exact ? [Number(x.toFixed(2)), Number(y.toFixed(2))] : [toStep(x, step), toStep(y, step)];
  if (!exact && Math.abs(y) < near) sy = 0;
  if (grip.freedom === 'fore-and-aft') sy = grip.at[1];
  if (grip.freedom === 'athwartships') sx = grip.at[0];
  if (grip.freedom === 'starboard') sy = Math.min(sy, 0);
  if (grip.freedom === 'port') sy = Math.max(sy, 0);
  return [sx, sy === 0 ? 0 : sy];
}

/**
 * Of a thing's grips the one that is meant by taking hold of it somewhere: the one that moves all of it, else the nearest.
 * @param {Grip[]} grips
 * @param {string} thing
 * @param {Place} at
 */
export function gripAt(grips, thing, at) {
  const own = grips.filter((grip) => grip.thing === thing);
  const whole = own.find((grip) => grip.what === thing);
  if (whole) return whole;
  /** @param {Grip} grip */
  const away = (grip) => {
    const dx = Math.abs(at[0] - grip.at[0]);
    const dy = Math.min(Math.abs(at[1] - grip.at[1]), grip.both ? Math.abs(at[1] + grip.at[1]) : Infinity);
    if (grip.freedom === 'fore-and-aft') return dx;
    if (grip.freedom === 'athwartships') return dy;
    return Math.hypot(dx, dy);
  };
  return own.reduce((best, grip) => (best === null || away(grip) < away(best) ? grip : best), /** @type {Grip | null} */ (null));
}

/**
 * @param {BoardView} board
 * @param {Meant} meant
 */
export function attach(board, meant) {
  const { element } = board;
  /** @type {Map<number, { x: number, y: number }>} */
  const fingers = new Map();
  /** @type {{ id: number, from: Place, startX: number, startY: number, grip: Grip | null, thing: string | null, mirrored: boolean, moving: boolean } | null} */
  let held = null;

  /**
   * @param {PointerEvent} event
   * @returns {Place}
   */
  const target = (event) => {
    if (!held?.grip) return board.onDeck(event);
    const now = board.onDeck(event);
    const flip = held.mirrored ? -1 : 1;
    const to = /** @type {Place} */ ([held.grip.at[0] + now[0] - held.from[0], held.grip.at[1] + flip * (now[1] - held.from[1])]);
    return fallen(held.grip, to, { step: meant.step(), near: NEAR * board.scale, exact: event.altKey });
  };

  const letGo = () => {
    held = null;
    element.classList.remove('moving');
  };

  element.addEventListener('pointerdown', (event) => {
    if (event.button !== 0) return;
    element.focus({ preventScroll: true });
    fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    element.setPointerCapture(event.pointerId);
    if (fingers.size > 1) {
      // A second finger: now it is the board that is held.
      if (held?.grip && held.moving) meant.drop(held.grip, null);
      letGo();
      return;
    }
    const at = board.onDeck(event);
    if (meant.isMeasuring()) {
      meant.measure(at);
      return;
    }
    const on = event.target instanceof Element ? event.target.closest('[data-what], [data-thing]') : null;
    const data = on instanceof SVGElement ? on.dataset : {};
    const handled = on?.matches('.handled, .grip') ?? false;
    const thing = handled ? data['thing'] || null : null;
    let grip = data['what'] ? (board.grips.find((one) => one.what === data['what']) ?? null) : null;
    if (!grip && thing && !thing.endsWith('.outline')) grip = gripAt(board.grips, thing, at);
    const mirrored =
      grip !== null && grip.both && Math.hypot(at[0] - grip.at[0], at[1] + grip.at[1]) < Math.hypot(at[0] - grip.at[0], at[1] - grip.at[1]);
    held = { id: event.pointerId, from: at, startX: event.clientX, startY: event.clientY, grip, thing, mirrored, moving: false };
  });

  element.addEventListener('pointermove', (event) => {
    const before = fingers.get(event.pointerId);
    // What is being dragged says where it is together with its picture.
    if (!held?.moving) meant.over(board.onDeck(event));
    if (!before) return;
    const [dx, dy] = [event.clientX - before.x, event.clientY - before.y];
    if (fingers.size === 2) {
      pinch(event, before);
    } else if (held && held.id === event.pointerId) {
      const away = Math.hypot(event.clientX - held.startX, event.clientY - held.startY);
      if (!held.moving && away >= STILL) {
        held.moving = true;
        // Nobody asks what lies under the pointer now.
        element.classList.add('moving');
        if (held.grip) meant.choose(held.grip.thing, held.grip.what);
      }
      if (held.moving) {
        if (held.grip) meant.drag(held.grip, target(event));
        else board.pan(dx, dy);
      }
    }
    fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
  });

  /**
   * @param {PointerEvent} event
   * @param {{ x: number, y: number }} before
   */
  const pinch = (event, before) => {
    const other = [...fingers].find(([id]) => id !== event.pointerId)?.[1];
    if (!other) return;
    const [was, is] = [Math.hypot(before.x - other.x, before.y - other.y), Math.hypot(event.clientX - other.x, event.clientY - other.y)];
    board.pan((event.clientX - before.x) / 2, (event.clientY - before.y) / 2);
    if (was > 0 && is > 0) board.zoom(is / was, board.onDeck({ clientX: (event.clientX + other.x) / 2, clientY: (event.clientY + other.y) / 2 }));
  };

  /**
   * @param {PointerEvent} event
   * @param {boolean} isGivenUp
   */
  const up = (event, isGivenUp) => {
    fingers.delete(event.pointerId);
    if (!held || held.id !== event.pointerId) return;
    const was = held;
    const to = target(event);
    letGo();
    if (was.moving) {
      if (was.grip) meant.drop(was.grip, isGivenUp ? null : to);
    } else if (!isGivenUp) {
      meant.choose(was.thing, was.grip?.what ?? null);
    }
  };
  element.addEventListener('pointerup', (event) => up(event, false));
  element.addEventListener('pointercancel', (event) => up(event, true));
  element.addEventListener('pointerleave', () => meant.over(null));

  element.addEventListener(
    'wheel',
    (event) => {
      event.preventDefault();
      board.zoom(Math.exp(-event.deltaY * (event.deltaMode === 1 ? 0.05 : 0.0015)), board.onDeck(event));
    },
    { passive: false },
  );

  element.addEventListener('keydown', (event) => {
    if (event.ctrlKey || event.metaKey) return;
    const { thing, grip } = meant.chosen();
    const one = board.grips.find((each) => each.what === grip);
    const far = event.shiftKey ? 10 : 1;
    const step = (event.altKey ? 1 : meant.step()) * far;
    /** @type {Record<string, Place>} */
    const arrows = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    const arrow = arrows[event.key];
    if (held?.moving && event.key === 'Escape') {
      const was = held;
      letGo();
      if (was.grip) meant.drop(was.grip, null);
    } else if (arrow && one) meant.nudge(one, [arrow[0] * step, arrow[1] * step]);
    else if (arrow) board.pan(-arrow[0] * 60, -arrow[1] * 60);
    else if (event.key === '+' || event.key === '=') board.larger();
    else if (event.key === '-') board.smaller();
    else if (event.key === '0') board.whole();
    else if (event.key === ']' || event.key === '[') meant.next(event.key === ']' ? 1 : -1);
    else if ((event.key === 'Delete' || event.key === 'Backspace') && thing) meant.remove();
    else if (event.key === 'Escape') meant.choose(null, null);
    else return;
    event.preventDefault();
  });
}
