// What the report does beyond being read: its drawings are zoomed and moved, and a field lights up with its row. Without
// this script everything is still there to read and to print.

(() => {
  'use strict';

  /** What of a sheet is seen, in millimetres of paper. @typedef {{x: number, y: number, width: number, height: number}} Seen */
  /** A place on the screen. @typedef {{clientX: number, clientY: number}} Place */

  /** How much larger one step makes a drawing, how much larger than the whole sheet it may become, and by which share of what
   * is seen an arrow key moves it. */
  const STEP = 1.5;
  const LARGEST = 20;
  const MOVE = 0.15;
  /** A pointer that moved further than this, in pixels, has dragged and not clicked. */
  const DRAGGED = 5;

  /** A drawing that can be looked at closely. */
  class Viewer {
    /** @param {HTMLElement} box @param {SVGSVGElement} drawing */
    constructor(box, drawing) {
      this.box = box;
      this.drawing = drawing;
      const { x, y, width, height } = drawing.viewBox.baseVal;
      /** @type {Seen} */
      this.sheet = { x, y, width, height };
      /** @type {Seen} */
      this.seen = this.sheet;
      /** @type {Map<number, Place>} */
      this.fingers = new Map();
      this.way = 0;
      this.listen();
    }

    /** @param {Seen} wanted */
    show(wanted) {
      const { sheet } = this;
      const width = Math.min(sheet.width, Math.max(sheet.width / LARGEST, wanted.width));
      const height = (width * sheet.height) / sheet.width;
      const x = Math.min(sheet.x + sheet.width - width, Math.max(sheet.x, wanted.x));
      const y = Math.min(sheet.y + sheet.height - height, Math.max(sheet.y, wanted.y));
      this.seen = { x, y, width, height };
      this.drawing.setAttribute('viewBox', [x, y, width, height].map((one) => one.toFixed(3)).join(' '));
      this.box.classList.toggle('closer', this.isCloser());
    }

    isCloser() {
      return this.seen.width < this.sheet.width * 0.999;
    }

    whole() {
      this.show(this.sheet);
    }

    /** Makes it larger about a place that stays where it is; without one, about the middle.
     * @param {number} times @param {Place} [about] */
    enlarge(times, about) {
      const { x, y, width, height } = this.seen;
      const fixed = about ? this.onSheet(about) : { x: x + width / 2, y: y + height / 2 };
      const [least, most] = [this.sheet.width / LARGEST, this.sheet.width];
      const share = Math.min(most, Math.max(least, width / times)) / width;
      this.show({
        x: fixed.x - (fixed.x - x) * share,
        y: fixed.y - (fixed.y - y) * share,
        width: width * share,
        height: height * share,
      });
    }

    /** @param {number} right shares of what is seen @param {number} down */
    move(right, down) {
      const { x, y, width, height } = this.seen;
      this.show({ x: x + right * width, y: y + down * height, width, height });
    }

    /** @param {Place} place */
    onSheet(place) {
      const matrix = this.drawing.getScreenCTM();
      const { x, y } = new DOMPoint(place.clientX, place.clientY).matrixTransform(matrix?.inverse());
      return { x, y };
    }

    listen() {
      const { box } = this;
      /** @type {Record<string, () => void>} */
      const keys = {
        '+': () => this.enlarge(STEP),
        '=': () => this.enlarge(STEP),
        '-': () => this.enlarge(1 / STEP),
        0: () => this.whole(),
        ArrowLeft: () => this.move(-MOVE, 0),
        ArrowRight: () => this.move(MOVE, 0),
        ArrowUp: () => this.move(0, -MOVE),
        ArrowDown: () => this.move(0, MOVE),
      };
      box.addEventListener('keydown', (event) => {
        const act = keys[event.key];
        // Where the whole sheet is seen the arrows move the page, as they do elsewhere.
        const isIdle = event.key.startsWith('Arrow') && !this.isCloser();
        if (!act || isIdle || event.ctrlKey || event.metaKey || event.altKey) return;
        event.preventDefault();
        act();
      });
      box.addEventListener(
        'wheel',
        (event) => {
          // A page that is being scrolled must not stick in a drawing: the wheel is the drawing's once it was clicked.
          if (!event.ctrlKey && !box.contains(document.activeElement)) return;
          if (event.deltaY > 0 && !this.isCloser()) return;
          event.preventDefault();
          this.enlarge(STEP ** (-Math.sign(event.deltaY) / 2), event);
        },
        { passive: false },
      );
      box.addEventListener('pointerdown', (event) => {
        if (this.fingers.size === 0) this.way = 0;
        this.fingers.set(event.pointerId, event);
        if (event.pointerType === 'mouse' && this.isCloser()) event.preventDefault();
        if (!box.contains(document.activeElement)) box.focus({ preventScroll: true });
      });
      addEventListener('pointermove', (event) => this.follow(event));
      for (const end of /** @type {const} */ (['pointerup', 'pointercancel'])) {
        addEventListener(end, (event) => this.fingers.delete(event.pointerId));
      }
      // What ends a drag is no choice of a field.
      box.addEventListener('click', (event) => this.way > DRAGGED && event.stopImmediatePropagation(), true);
    }

    /** One finger moves the drawing, two make it larger or smaller. @param {PointerEvent} event */
    follow(event) {
      const before = this.fingers.get(event.pointerId);
      if (!before) return;
      const [first, second] = [...this.fingers.values()];
      const other = first === before ? second : first;
      this.way += Math.hypot(event.clientX - before.clientX, event.clientY - before.clientY);
      if (other) {
        const apart = (/** @type {Place} */ one) =>
          Math.hypot(one.clientX - other.clientX, one.clientY - other.clientY);
        const middle = { clientX: (event.clientX + other.clientX) / 2, clientY: (event.clientY + other.clientY) / 2 };
        if (apart(before) > 0) this.enlarge(apart(event) / apart(before), middle);
      } else if (this.isCloser()) {
        const [from, to] = [this.onSheet(before), this.onSheet(event)];
        const { x, y, width, height } = this.seen;
        this.show({ x: x + from.x - to.x, y: y + from.y - to.y, width, height });
      }
      this.fingers.set(event.pointerId, event);
    }
  }

  /** @type {Viewer[]} */
  const viewers = [];
  for (const box of document.querySelectorAll('.viewer')) {
    const drawing = box.querySelector('svg');
    if (!(box instanceof HTMLElement) || !drawing) continue;
    const viewer = new Viewer(box, drawing);
    viewers.push(viewer);
    const buttons = box.parentElement?.querySelectorAll('button[data-zoom]') ?? [];
    for (const button of buttons) {
      button.addEventListener('click', () => {
        const way = button.getAttribute('data-zoom');
        if (way === 'larger') viewer.enlarge(STEP);
        else if (way === 'smaller') viewer.enlarge(1 / STEP);
        else viewer.whole();
      });
    }
  }

  // Paper shows whole sheets, whatever is looked at on the screen.
  /** @type {Seen[]} */
  let looked = [];
  addEventListener('beforeprint', () => {
    looked = viewers.map((viewer) => viewer.seen);
    for (const viewer of viewers) viewer.whole();
  });
  addEventListener('afterprint', () => {
    looked.forEach((seen, index) => viewers[index]?.show(seen));
  });

  // A field is lit in the drawing and in its row while it is pointed at or has the focus, and after a click until the next.
  /** @type {Map<string, Element[]>} */
  const fields = new Map();
  for (const part of document.querySelectorAll('[data-of]')) {
    const name = part.getAttribute('data-of') ?? '';
    fields.set(name, [...(fields.get(name) ?? []), part]);
  }
  /** @type {string | undefined} */
  let kept;
  const choices = { pointed: '', focused: '' };

  function light() {
    for (const [name, parts] of fields) {
      const isLit = [kept, choices.pointed, choices.focused].includes(name);
      for (const part of parts) {
        part.classList.toggle('lit', isLit);
        const button = part.matches('[aria-pressed]') ? part : part.querySelector('[aria-pressed]');
        button?.setAttribute('aria-pressed', String(name === kept));
      }
    }
  }

  for (const [name, parts] of fields) {
    for (const part of parts) {
      const on = (/** @type {string} */ type, /** @type {(event: Event) => void} */ act) =>
        part.addEventListener(type, (event) => {
          act(event);
          light();
        });
      on('pointerenter', () => (choices.pointed = name));
      on('pointerleave', () => (choices.pointed = ''));
      on('focusin', () => (choices.focused = name));
      on('focusout', () => (choices.focused = ''));
      const keep = () => {
        kept = kept === name ? undefined : name;
        // Whoever chose it in the drawing wants its row, and the other way about.
        for (const other of kept ? parts : []) if (other !== part) other.scrollIntoView({ block: 'nearest' });
      };
      on('click', keep);
      if (part instanceof SVGElement) {
        on('keydown', (event) => {
          if (!(event instanceof KeyboardEvent) || (event.key !== 'Enter' && event.key !== ' ')) return;
          event.preventDefault();
          keep();
        });
      }
    }
  }

  // What is wider than the screen is scrolled in its own box, by the keyboard too.
  // An observer tells when there is a width to look at: asking for it now would lay everything out before it is shown.
  const observer = new ResizeObserver((entries) => {
    for (const { target } of entries) {
      if (target.scrollWidth > target.clientWidth + 1) target.setAttribute('tabindex', '0');
      else target.removeAttribute('tabindex');
    }
  });
  for (const box of document.querySelectorAll('.scroll')) observer.observe(box);

  document.documentElement.classList.add('live');
})();
