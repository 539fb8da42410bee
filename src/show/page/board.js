// The board: the decks drawn, larger or smaller, with what is chosen marked. Comes in: what the server shows. It knows where
// things are on the screen and on the deck, and nothing of what is done with them.

/** @import { Board, Grip, Mark, Place, Said, Shown, Units } from './types.js' */
import { svg } from './dom.js';

/** @typedef {{ at: Place, isSharp: boolean }} Corner */
/** @typedef {{ at: Place, element: SVGElement }} Placed */

/** Kinds that can be taken hold of. */
const HANDLED = new Set(['fitting', 'lifted', 'opening', 'strip', 'smooth', 'pad', 'deck']);
/** Kinds that hatching tells apart without colour. */
const HATCHED = new Set(['field', 'line-tape', 'edge-tape']);
/** Pixels that a letter of a small name is wide, at most. */
const LETTER = 6.6;
/** Pixels of a grip's half. */
const GRIP = 7;
/** As much smaller or larger as one press makes it. */
const PRESS = 1.35;

export class BoardView {
  /** Millimetres of deck to a pixel. */
  #scale = 10;
  /** @type {Place} what lies in the middle */
  #middle = [0, 0];
  /** @type {[number, number, number, number]} */
  #bounds = [0, 0, 1, 1];
  /** @type {Units | null} */
  units = null;
  /** @type {SVGPathElement[][]} */
  #paths = [];
  /** @type {Mark[][]} what is drawn in them */
  #drawn = [];
  /** @type {Record<'names' | 'points' | 'warnings', Placed[]>} what keeps its size however large the drawing is */
  #placed = { names: [], points: [], warnings: [] };
  /** What of these was last shown, written as JSON. @type {Record<string, string>} */
  #said = {};
  /** @type {[number, number]} width and height on the screen, pixels */
  #size = [0, 0];
  /** @type {string | null} */
  #chosen = null;
  /** @type {string | null} */
  #held = null;
  /** @type {string | null} */
  #lit = null;
  /** @type {Corner[]} */
  corners = [];
  /** @type {Grip[]} */
  grips = [];

  /** @param {SVGSVGElement} element */
  constructor(element) {
    this.element = element;
    this.hatch = svg('pattern', { id: 'fill-hatch', width: 8, height: 8, patternUnits: 'userSpaceOnUse' }, svg('rect', { width: 8, height: 8, class: 'field-ground' }), svg('path', { d: 'M0 4H8', class: 'hatch-line' }));
    this.tape = svg('pattern', { id: 'fill-tape', width: 5, height: 5, patternUnits: 'userSpaceOnUse' }, svg('rect', { width: 5, height: 5, class: 'tape-ground' }), svg('path', { d: 'M0 0H5', class: 'tape-line' }));
    this.edge = svg('pattern', { id: 'fill-edge', width: 7, height: 7, patternUnits: 'userSpaceOnUse' }, svg('rect', { width: 7, height: 7, class: 'tape-ground' }), svg('circle', { cx: 2, cy: 2, r: 1.1, class: 'edge-dot' }));
    this.centreline = svg('path', { class: 'centreline' });
    this.layers = {
      marks: svg('g'),
      labels: svg('g', { class: 'labels' }),
      warnings: svg('g', { class: 'warnings' }),
      points: svg('g', { class: 'points' }),
      grips: svg('g', { class: 'grips' }),
      measure: svg('g', { class: 'measure' }),
    };
    element.append(svg('defs', {}, this.hatch, this.tape, this.edge), this.layers.marks, this.centreline, ...Object.values(this.layers).slice(1));
    new ResizeObserver(() => {
      this.#size = [element.clientWidth, element.clientHeight];
      this.#look();
    }).observe(element);
  }

  get scale() {
    return this.#scale;
  }

  /**
   * Shows the decks; lines that are as they were are left alone.
   * @param {Shown} shown
   */
  show(shown) {
    const { board } = shown;
    this.units = shown.units;
    this.grips = shown.grips;
    const isFirst = this.#paths.length === 0;
    set(this.element, 'data-covered', board.covered ?? 'nothing');
    this.#marks(board);
    this.#bounds = around(board);
    set(this.centreline, 'd', `M${this.#bounds[0] - 400} 0H${this.#bounds[2] + 400}`);
    this.#names(board);
    this.#points(board);
    this.#warnings(shown.warnings);
    this.choose(this.#chosen, this.#held);
    if (isFirst) this.whole();
    else this.#look();
  }

  /** @param {Board} board */
  #marks(board) {
    const groups = this.layers.marks;
    while (groups.childElementCount > board.decks.length) groups.lastElementChild?.remove();
    while (groups.childElementCount < board.decks.length) groups.append(svg('g'));
    this.#paths.length = board.decks.length;
    this.corners = [];
    board.decks.forEach((deck, number) => {
      const group = /** @type {SVGGElement} */ (groups.children[number]);
      const paths = this.#paths[number] ?? [];
      const drawn = this.#drawn[number] ?? [];
      if (drawn === deck.marks) return;
      // Marks that stay keep their lines, however many come or go before them; they stay in their order.
      const known = new Set(drawn);
      const stays = new Set(deck.marks);
      let old = 0;
      this.#paths[number] = deck.marks.map((mark) => {
        const isKnown = known.has(mark);
        // Lines of marks that are gone: one that comes takes the first over, before one that stays they go.
        while (isKnown && old < paths.length && drawn[old] !== mark) paths[old++]?.remove();
        const at = paths[old];
        if (isKnown && at) {
          old += 1;
          return at;
        }
        const one = drawn[old];
        const path = at && one && !stays.has(one) ? at : svg('path');
        if (path === at) old += 1;
        else group.insertBefore(path, at ?? null);
        this.#mark(path, mark, number, deck.id);
        return path;
      });
      for (; old < paths.length; old += 1) paths[old]?.remove();
      this.#drawn[number] = deck.marks;
    });
  }

  /**
   * @param {SVGPathElement} path
   * @param {Mark} mark
   * @param {number} number
   * @param {string} deck
   */
  #mark(path, mark, number, deck) {
    const thing = mark.thing ?? (mark.kind === 'deck' ? `deck.#${number + 1}.outline` : '');
    const field = mark.kind === 'field' || mark.kind === 'hole' ? `${deck} ${mark.name}` : '';
    const kind = `mark ${mark.kind}${HANDLED.has(mark.kind) ? ' handled' : ''}${HATCHED.has(mark.kind) ? ' hatched' : ''}`;
    set(path, 'd', mark.d);
    set(path, 'class', kind);
    path.dataset['thing'] = thing;
    path.dataset['field'] = field;
    path.dataset['deck'] = String(number);
    path.classList.toggle('lit', field !== '' && field === this.#lit);
    path.classList.toggle('chosen', thing !== '' && thing === this.#chosen);
    if (mark.grey === undefined) path.removeAttribute('fill');
    else path.setAttribute('fill', `rgb(${mark.grey},${mark.grey},${mark.grey})`);
  }

  /** @param {Board} board */
  #names(board) {
    /** @type {{ at: Place, name: string }[]} */
    const names = [];
    for (const deck of board.decks) {
      for (const mark of deck.marks) {
        if (mark.label && mark.name) names.push({ at: mark.label, name: mark.name });
      }
    }
    const before = this.#placed.names;
    this.#placed.names = names.map(({ at, name }, index) => {
      const old = before[index]?.element;
      if (old && old.textContent === name) return { at, element: old };
      return { at, element: svg('g', {}, svg('text', { class: 'name', 'text-anchor': 'middle', 'dominant-baseline': 'central' }, name)) };
    });
    if (before.length !== names.length || before.some((one, index) => one.element !== this.#placed.names[index]?.element)) {
      this.layers.labels.replaceChildren(...this.#placed.names.map((one) => one.element));
    }
  }

  /**
   * Whether something is to be shown that is not shown yet.
   * @param {string} what
   * @param {unknown} now
   */
  #isNew(what, now) {
    const said = JSON.stringify(now);
    if (this.#said[what] === said) return false;
    this.#said[what] = said;
    return true;
  }

  /** @param {Board} board */
  #points(board) {
    const all = board.decks.flatMap((deck) => deck.points);
    if (!this.#isNew('points', all)) return;
    this.#placed.points = all.map((point) => {
      const size = point.centre ? { d: 'M-4 0H4M0 -4V4', class: 'centre' } : { d: 'M-3 0A3 3 0 1 0 3 0A3 3 0 1 0 -3 0Z', class: 'tangent' };
      const words = `${point.name}: ${point.measured}${point.radius ? `, radius ${point.radius}` : ''}`;
      const element = svg('g', { class: 'point' }, svg('title', {}, words), svg('path', size), svg('text', { x: 5, y: -4 }, point.name));
      return { at: point.at, element };
    });
    this.layers.points.replaceChildren(...this.#placed.points.map((one) => one.element));
  }

  /** @param {Said[]} warnings */
  #warnings(warnings) {
    if (!this.#isNew('warnings', warnings)) return;
    this.#placed.warnings = warnings.flatMap((warning, index) => {
      if (!warning.at) return [];
      const element = svg(
        'g',
        { class: 'warning' },
        svg('title', {}, warning.message),
        svg('path', { d: 'M0 -11L10 7H-10Z' }),
        svg('text', { 'text-anchor': 'middle', y: 5 }, String(index + 1)),
      );
      return [{ at: warning.at, element }];
    });
    this.layers.warnings.replaceChildren(...this.#placed.warnings.map((one) => one.element));
  }

  /**
   * Marks a thing as chosen, with the grips it has.
   * @param {string | null} thing
   * @param {string | null} [grip] the one that arrow keys move
   */
  choose(thing, grip = null) {
    if (thing !== this.#chosen) {
      for (const path of this.#paths.flat()) path.classList.toggle('chosen', thing !== null && path.dataset['thing'] === thing);
    }
    [this.#chosen, this.#held] = [thing, grip];
    const own = thing === null ? [] : this.grips.filter((one) => one.thing === thing);
    const shown = own.map((one) => {
      const element = svg(
        'g',
        { class: `grip${one.what === grip ? ' held' : ''}`, 'data-what': one.what },
        svg('title', {}, one.called),
        svg('circle', { r: GRIP + 7, class: 'reach' }),
        one.what === one.thing ? svg('rect', { x: -GRIP, y: -GRIP, width: 2 * GRIP, height: 2 * GRIP }) : svg('circle', { r: GRIP }),
      );
      element.dataset['thing'] = one.thing;
      this.#place(element, one.at);
      return element;
    });
    this.layers.grips.replaceChildren(...shown);
  }

  /**
   * Lights up a field, or none.
   * @param {string | null} field deck and name
   */
  light(field) {
    this.#lit = field;
    for (const path of this.#paths.flat()) path.classList.toggle('lit', field !== null && path.dataset['field'] === field);
  }

  /**
   * Shows a distance between two points.
   * @param {{ from: Place, to: Place, words: string } | null} measured
   */
  measure(measured) {
    if (!measured) {
      this.layers.measure.replaceChildren();
      return;
    }
    const [[x0, y0], [x1, y1]] = [measured.from, measured.to];
    const line = svg('path', { d: `M${x0} ${y0}L${x1} ${y1}` });
    const label = svg('g', {}, svg('text', { 'text-anchor': 'middle', y: -8 }, measured.words));
    this.#place(label, [(x0 + x1) / 2, (y0 + y1) / 2]);
    this.layers.measure.replaceChildren(line, label);
  }

  /**
   * @param {SVGElement} element
   * @param {Place} at
   */
  #place(element, [x, y]) {
    set(element, 'transform', `translate(${x} ${y}) scale(${this.#scale})`);
    element.dataset['x'] = String(x);
    element.dataset['y'] = String(y);
  }

  /** All decks, as large as they fit. */
  whole() {
    const [x0, y0, x1, y1] = this.#bounds;
    const { clientWidth: width, clientHeight: height } = this.element;
    this.#size = [width, height];
    this.#scale = Math.max((x1 - x0) / Math.max(width - 48, 1), (y1 - y0) / Math.max(height - 48, 1), 0.01);
    this.#middle = [(x0 + x1) / 2, (y0 + y1) / 2];
    this.#look();
  }

  /**
   * Larger or smaller, a place of the deck staying where it is on the screen.
   * @param {number} factor
   * @param {Place} [about]
   */
  zoom(factor, about = this.#middle) {
    const before = this.#scale;
    this.#scale = Math.min(Math.max(before / factor, 0.02), 200);
    const share = this.#scale / before;
    this.#middle = [about[0] + (this.#middle[0] - about[0]) * share, about[1] + (this.#middle[1] - about[1]) * share];
    this.#look();
  }

  larger() {
    this.zoom(PRESS);
  }

  smaller() {
    this.zoom(1 / PRESS);
  }

  /**
   * Moves what is seen by pixels.
   * @param {number} right
   * @param {number} down
   */
  pan(right, down) {
    this.#middle = [this.#middle[0] - right * this.#scale, this.#middle[1] - down * this.#scale];
    this.#look();
  }

  /**
   * Brings a place into the middle.
   * @param {Place} at
   */
  centre(at) {
    this.#middle = at;
    this.#look();
  }

  /**
   * Whether a place is seen, and not just at the edge.
   * @param {Place} at
   */
  sees([x, y]) {
    const [width, height] = this.#size;
    const inside = 0.45 * this.#scale;
    return Math.abs(x - this.#middle[0]) < width * inside && Math.abs(y - this.#middle[1]) < height * inside;
  }

  /**
   * Where on the deck a place of the screen is.
   * @param {{ clientX: number, clientY: number }} event
   * @returns {Place}
   */
  onDeck(event) {
    const box = this.element.getBoundingClientRect();
    return [
      this.#middle[0] + (event.clientX - box.left - box.width / 2) * this.#scale,
      this.#middle[1] + (event.clientY - box.top - box.height / 2) * this.#scale,
    ];
  }

  #look() {
    const [width, height] = this.#size.map((pixels) => pixels * this.#scale);
    if (!width || !height) return;
    set(this.element, 'viewBox', `${this.#middle[0] - width / 2} ${this.#middle[1] - height / 2} ${width} ${height}`);
    const pixel = `${this.#scale}px`;
    if (this.element.style.getPropertyValue('--pixel') !== pixel) this.element.style.setProperty('--pixel', pixel);
    for (const pattern of [this.hatch, this.tape, this.edge]) {
      const turned = pattern === this.hatch ? 45 : -45;
      set(pattern, 'patternTransform', `scale(${this.#scale}) rotate(${turned})`);
    }
    for (const { at, element } of this.#all()) this.#place(element, at);
    for (const layer of [this.layers.grips, this.layers.measure]) {
      for (const element of layer.querySelectorAll('g')) {
        if (element.dataset['x'] !== undefined) this.#place(element, [Number(element.dataset['x']), Number(element.dataset['y'])]);
      }
    }
    this.layers.points.classList.toggle('far', this.#scale > 3);
    this.#thin();
  }

  #all() {
    return [...this.#placed.names, ...this.#placed.points, ...this.#placed.warnings];
  }

  /** Of names that would lie over each other the first stays; larger, the others have room too. */
  #thin() {
    const [halfWidth, halfHeight] = [this.#size[0] / 2, this.#size[1] / 2];
    /** @type {[number, number, number, number][]} */
    const taken = [];
    for (const { at, element } of this.#all()) {
      const text = element.querySelector('text');
      if (!text) continue;
      const [x, y] = [(at[0] - this.#middle[0]) / this.#scale, (at[1] - this.#middle[1]) / this.#scale];
      if (Math.abs(x) > halfWidth || Math.abs(y) > halfHeight) continue;
      const wide = LETTER * (text.textContent?.length ?? 0);
      const isPoint = element.classList.contains('point');
      /** @type {[number, number, number, number]} */
      const box = isPoint ? [x + 4, y - 14, x + 6 + wide, y] : [x - 0.7 * wide, y - 9, x + 0.7 * wide, y + 9];
      const isOver = taken.some((one) => one[0] < box[2] && box[0] < one[2] && one[1] < box[3] && box[1] < one[3]);
      text.classList.toggle('thinned', isOver);
      if (!isOver) taken.push(box);
    }
  }

  /**
   * Corners of lines near a place, for measuring from.
   * @param {Place} at
   * @param {number} reach millimetres
   * @returns {Place | null}
   */
  cornerNear(at, reach) {
    if (this.corners.length === 0) {
      for (const path of this.#paths.flat()) this.corners.push(...ends(path.getAttribute('d') ?? ''));
      for (const grip of this.grips) this.corners.push({ at: grip.at, isSharp: true });
    }
    let [best, least] = [/** @type {Place | null} */ (null), reach];
    for (const corner of this.corners) {
      // Where a line runs on into an arc is meant less often than a corner near by.
      const distance = Math.hypot(corner.at[0] - at[0], corner.at[1] - at[1]) * (corner.isSharp ? 1 : 3);
      if (distance < least) [best, least] = [corner.at, distance];
    }
    return best;
  }
}

/**
 * Sets an attribute that is not so yet: one set again is drawn again.
 * @param {Element} element
 * @param {string} name
 * @param {string} value
 */
function set(element, name, value) {
  if (element.getAttribute(name) !== value) element.setAttribute(name, value);
}

/**
 * The box around all decks.
 * @param {Board} board
 * @returns {[number, number, number, number]}
 */
function around(board) {
  const all = board.decks.map((deck) => deck.bounds);
  if (all.length === 0) return [0, 0, 1000, 1000];
  return [
    Math.min(...all.map((one) => one[0])),
    Math.min(...all.map((one) => one[1])),
    Math.max(...all.map((one) => one[2])),
    Math.max(...all.map((one) => one[3])),
  ];
}

/**
 * The ends of all lines in path data of M, L, A and Z. Where an arc runs on into another there is nothing to measure from: a
 * fair curve is made of many.
 * @param {string} d
 * @returns {Corner[]}
 */
function ends(d) {
  /** @type {Corner[]} */
  const places = [];
  for (const ring of d.match(/M[^M]*/g) ?? []) {
    const parts = (ring.match(/[MLA][^MLAZ]*/g) ?? []).map((part) => {
      const numbers = part.slice(1).trim().split(/[\s,]+/).map(Number);
      return { letter: part[0], at: /** @type {Place} */ ([numbers.at(-2) ?? 0, numbers.at(-1) ?? 0]) };
    });
    const [first, last] = [parts[0], parts.at(-1)];
    // A closed ring whose last end is not its first has a line between them.
    const closes = first && last && ring.includes('Z') && Math.hypot(first.at[0] - last.at[0], first.at[1] - last.at[1]) > 0.05;
    parts.forEach((part, index) => {
      const before = index === 0 ? (closes ? 'L' : (last?.letter ?? 'L')) : part.letter;
      const after = parts[index + 1]?.letter ?? (closes ? 'L' : (parts[1]?.letter ?? 'L'));
      if (before !== 'A' && after !== 'A') places.push({ at: part.at, isSharp: true });
      else if (before !== 'A' || after !== 'A') places.push({ at: part.at, isSharp: false });
    });
  }
  return places;
}
