// The page put together: one layout, its history, what is chosen, what is looked at. Everything that is done comes by here.

/** @import { Edit, Grip, LayoutFile, Place, Said, Shown, View, Worked } from './types.js' */
import { whole } from './anew.js';
import { Latest, Trouble, ask, changed, file as readFile, save as saveOver } from './asking.js';
import { begin } from './beginning.js';
import { BoardView } from './board.js';
import { announce, byId, html, refill, svg } from './dom.js';
import * as form from './form.js';
import { attach, fallen } from './hands.js';
import { shown as spoken, whereabouts } from './lengths.js';
import * as outputs from './outputs.js';
import * as panels from './panels.js';
import { History, differences } from './state.js';

/** What can be added to a deck. */
const PARTS = [
  ['fitting', 'fitting'],
  ['opening', 'opening'],
  ['strip-across', 'strip athwartships'],
  ['strip-along', 'strip fore and aft'],
  ['smooth', 'area kept smooth'],
  ['pad', 'pad'],
];
/** Left alone for so long, what was moved is looked at closely, milliseconds. */
const REST = 160;

/**
 * @typedef {{ text: string, edits: Edit[], view: View, at?: Place, moving: boolean, time: number, asked: number }} Question asked when something
 *   is at a place that it is being dragged to, or is to be looked at as it stands
 */

class Page {
  board = new BoardView(byId('board', SVGSVGElement));
  history = new History('');
  /** @type {LayoutFile} the file as it is on the disk, as far as the page has taken it up */
  saved = { name: '', version: 0, text: null };
  /** @type {LayoutFile | null} what another program has made of it meanwhile */
  theirs = null;
  /** @type {Shown | null} */
  shown = null;
  /** @type {View} */
  view = 'pattern';
  /** @type {string | null} */
  thing = null;
  /** @type {string | null} */
  grip = null;
  /** @type {{ follow: (at: [number, number]) => void } | null} */
  place = null;
  /** @type {Place | null} */
  measureFrom = null;
  measuring = false;
  /** The warnings that are shown, written as JSON. */
  warned = '';
  /** Answers to what was asked before this are of no use any more. */
  time = 0;
  /** @type {Promise<unknown>} what is done comes one after the other */
  chain = Promise.resolve();
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  rest;
  /** Times from a move to its picture, for whoever measures them. @type {number[]} */
  times = [];

  /** @type {Latest<Question>} */
  latest = new Latest(
    (question) => this.work(question.text, question.edits, question.view, question.moving),
    (answer, question) => {
      if (question.time !== this.time) return;
      if (question.at && answer.shown) {
        this.place?.follow(question.at);
        this.over(question.at);
      }
      this.hear(answer, question.asked);
    },
    (trouble) => this.fail(trouble),
  );

  get isDirty() {
    return this.history.text !== (this.saved.text ?? '');
  }

  async open() {
    const file = await readFile();
    if (file.unreadable) this.notice(file.unreadable);
    this.saved = file;
    byId('file', HTMLElement).textContent = file.name;
    if (file.text === null) {
      begin((text) => {
        this.history = new History('');
        this.start();
        void this.take(text, 'begun');
      });
    } else {
      this.history = new History(file.text);
      this.start();
      this.look();
    }
    void this.watch();
  }

  start() {
    byId('desk', HTMLElement).hidden = false;
    this.bar();
  }

  /**
   * @param {string} text
   * @param {Edit[]} edits
   * @param {View} view
   * @param {boolean} moving
   * @returns {Promise<Worked>}
   */
  work(text, edits, view, moving) {
    return ask('work', { text, edits, view, moving, known: this.shown?.number });
  }

  /** Works out the text as it stands, in the view that is chosen. */
  look() {
    this.time += 1;
    void this.latest.ask({ text: this.history.text, edits: [], view: this.view, moving: false, time: this.time, asked: performance.now() });
  }

  /**
   * Shows an answer.
   * @param {Worked} answer
   * @param {number} [asked]
   */
  hear(answer, asked) {
    const trouble = byId('trouble', HTMLElement);
    const faults = answer.faults ?? [];
    trouble.hidden = faults.length === 0;
    document.body.classList.toggle('stale', faults.length > 0);
    if (faults.length > 0) {
      trouble.replaceChildren(html('h2', {}, 'The layout is at fault'), html('ul', {}, ...faults.map((fault) => html('li', {}, faultWords(fault)))));
    }
    if (!answer.shown) return;
    const shown = whole(answer.shown, this.shown);
    if (!shown) {
      this.look();
      return;
    }
    if (this.shown) waiting(this.shown, shown);
    this.shown = shown;
    this.board.show(shown);
    this.key();
    this.figures();
    if (asked !== undefined) {
      // Behind the frame that paints it.
      requestAnimationFrame(() => setTimeout(() => this.times.push(performance.now() - asked)));
    }
  }

  /** @param {unknown} trouble */
  fail(trouble) {
    this.notice(trouble instanceof Trouble ? trouble.message : 'spile does not answer; is it still running? What is on this page can still be copied.');
  }

  /**
   * @param {string | null} text
   * @param {...HTMLElement} choices
   */
  notice(text, ...choices) {
    const notice = byId('notice', HTMLElement);
    notice.hidden = text === null;
    if (text !== null) {
      const away = html('button', { type: 'button', onclick: () => this.notice(null) }, 'Put away');
      notice.replaceChildren(html('span', {}, text), ...choices, away);
    }
  }

  figures() {
    const { shown } = this;
    if (!shown) return;
    this.titles();
    panels.figures(byId('figures', HTMLElement), shown);
    const said = JSON.stringify(shown.warnings);
    if (said !== this.warned) {
      this.warned = said;
      byId('warning-count', HTMLElement).textContent = `(${shown.warnings.length})`;
      byId('warnings', HTMLElement).replaceChildren(...panels.warnings(shown.warnings, (warning) => this.go(warning)));
    }
    this.lists();
  }

  titles() {
    const { shown } = this;
    if (!shown) return;
    const title = `${this.isDirty ? '• ' : ''}${shown.title} – spile`;
    if (document.title === title) return;
    document.title = title;
    byId('title', HTMLElement).textContent = shown.title;
  }

  /** What is folded away is not made anew with every move. */
  lists() {
    const { shown } = this;
    if (!shown) return;
    /** @type {[string, string, () => Node[]][]} */
    const lists = [
      ['panel-fields', 'fields', () => panels.decks(shown, { light: (field) => this.light(field), find: (field) => this.find(field) })],
      ['panel-things', 'things', () => panels.things(shown, this.thing, (thing) => this.choose(thing, null, true))],
      ['panel-shopping', 'shopping', () => panels.shopping(shown.shopping, this.saved.name)],
    ];
    for (const [panel, id, make] of lists) {
      const into = byId(id, HTMLElement);
      if (!byId(panel, HTMLDetailsElement).open) {
        into.replaceChildren();
        continue;
      }
      refill(into, make());
    }
    const steps = byId('step', HTMLSelectElement);
    if (steps.options.length === 0) steps.append(...shown.units.steps.map((step) => html('option', { value: step.mm }, step.name)));
  }

  key() {
    const key = byId('key', HTMLElement);
    const shades = this.shown?.board.shades ?? [];
    key.hidden = shades.length === 0;
    key.replaceChildren(
      ...shades.map((shade) => {
        const patch = svg('rect', { width: '100%', height: '100%', fill: `rgb(${shade.grey},${shade.grey},${shade.grey})` });
        return html('span', {}, svg('svg', { 'aria-hidden': 'true' }, patch), shade.name);
      }),
    );
  }

  /** @param {string | null} field */
  light(field) {
    this.board.light(field);
  }

  /** @param {string} field */
  find(field) {
    this.board.light(field);
    for (const deck of this.shown?.board.decks ?? []) {
      const mark = deck.marks.find((one) => one.kind === 'field' && `${deck.id} ${one.name}` === field);
      if (mark?.label) this.board.centre(mark.label);
    }
  }

  /** @param {Said} warning */
  go(warning) {
    if (warning.at) this.board.centre(warning.at);
    if (warning.thing) this.choose(warning.thing, null);
  }

  // ---------------------------------------------------------------- choosing

  /**
   * @param {string | null} thing
   * @param {string | null} grip
   * @param {boolean} [isCentred]
   */
  choose(thing, grip, isCentred = false) {
    const grips = this.board.grips.filter((one) => one.thing === thing);
    const is = grips.find((one) => one.what === grip) ?? grips[0] ?? null;
    const isOther = thing !== this.thing || is?.what !== this.grip;
    this.thing = thing;
    this.grip = is?.what ?? null;
    this.board.choose(thing, this.grip);
    if (isCentred && is && !this.board.sees(is.at)) this.board.centre(is.at);
    if (!isOther) return;
    this.history.settle();
    if (thing && this.shown) announce(`${panels.nameOf(this.shown.things, thing)} chosen${is ? `, ${is.called}` : ''}`);
    this.lists();
    void this.forms();
  }

  /** @param {1 | -1} direction */
  next(direction) {
    const { grips } = this.board;
    if (grips.length === 0) return;
    const at = grips.findIndex((one) => one.what === this.grip);
    const one = grips[(at + direction + grips.length) % grips.length];
    if (one) this.choose(one.thing, one.what);
  }

  /** What may be typed of what is chosen. */
  async forms() {
    const into = byId('chosen', HTMLElement);
    const { thing, shown } = this;
    this.place = null;
    if (!thing || !shown) {
      into.replaceChildren(html('p', {}, 'Nothing is chosen.'));
      return;
    }
    const deck = Number(/^deck\.#(\d+)/.exec(thing)?.[1] ?? 0);
    const ways = thing.endsWith('.margin') ? ['margin', 'radius', 'field'].map((one) => `deck.#${deck}.${one}`) : [thing];
    const groups = await this.groups(ways);
    if (groups === null || this.thing !== thing) return;
    const grip = this.board.grips.find((one) => one.what === this.grip);
    /** @type {Node[]} */
    const parts = [html('h3', {}, panels.nameOf(shown.things, thing))];
    if (grip) {
      const place = form.place(grip, shown.units, (edits, done) => this.apply(edits, done));
      this.place = place;
      parts.push(place.element);
    }
    parts.push(html('div', { class: 'bar' }, ...this.actions(thing, grip ?? null)));
    parts.push(...form.rows(groups, shown.things, (edits, done) => this.apply(edits, done)));
    if (thing.endsWith('.margin')) parts.push(this.edgeMargin(deck));
    refill(into, parts);
  }

  /**
   * @param {string[]} ways
   * @returns {Promise<import('./types.js').FormGroup[] | null>}
   */
  async groups(ways) {
    try {
      return (await ask('form', { text: this.history.text, ways })).groups;
    } catch (trouble) {
      if (trouble instanceof Trouble) this.choose(null, null);
      else this.fail(trouble);
      return null;
    }
  }

  /**
   * @param {string} thing
   * @param {Grip | null} grip
   */
  actions(thing, grip) {
    const actions = [];
    if (grip?.list) {
      actions.push(html('button', { type: 'button', 'data-act': 'split', onclick: () => void this.apply([{ do: 'split', after: grip.what }], 'a point put in') }, 'Put a point in after it'));
      actions.push(html('button', { type: 'button', 'data-act': 'drop', onclick: () => void this.apply([{ do: 'drop', what: grip.what }], 'a point taken out') }, 'Take this one out'));
    }
    if (!/\.(outline|margin)$/.test(thing)) actions.push(html('button', { type: 'button', 'data-act': 'remove', onclick: () => this.remove() }, 'Take it off the deck'));
    return actions;
  }

  /**
   * A margin for one edge that has none of its own yet.
   * @param {number} deck
   */
  edgeMargin(deck) {
    const names = this.shown?.decks[deck - 1]?.edges ?? [];
    if (names.length === 0) return html('p', { class: 'hint' }, 'Its edges have no names; a point of the outline names the edge that leaves it.');
    const edge = html('select', { id: 'edge-name' }, ...names.map((name) => html('option', { value: name }, name)));
    const margin = html('input', { id: 'edge-margin', type: 'text', autocomplete: 'off' });
    const wrong = html('p', { class: 'wrong', role: 'alert' });
    const set = html(
      'button',
      {
        type: 'button',
        onclick: async () => {
          wrong.textContent = (await this.apply([{ do: 'set', key: `deck.#${deck}.margin.edges.${edge.value}`, value: margin.value }], `margin of ${edge.value}`)) ?? '';
        },
      },
      'Give this edge its own margin',
    );
    return html(
      'fieldset',
      {},
      html('legend', {}, 'One edge'),
      html('div', { class: 'row' }, html('label', { for: 'edge-name' }, 'edge'), edge),
      html('div', { class: 'row' }, html('label', { for: 'edge-margin' }, 'margin'), margin),
      set,
      wrong,
    );
  }

  /** Tape, steps and products, where they are looked at. */
  async folded() {
    const { shown } = this;
    if (!shown) return;
    /** @type {[string, string, string[]][]} */
    const panelsOf = [
      ['panel-tape', 'tape', ['tape.line', 'tape.edge', 'tape.film']],
      ['panel-finish', 'finish', [...shown.things.filter((one) => one.kind === 'step').map((one) => one.way), ...shown.things.filter((one) => one.kind === 'product').map((one) => one.way), 'job']],
    ];
    for (const [panel, id, ways] of panelsOf) {
      if (!byId(panel, HTMLDetailsElement).open) continue;
      const groups = await this.groups(ways);
      if (!groups) continue;
      const into = byId(id, HTMLElement);
      const named = groups.map((group) => ({ ...group, way: shown.things.find((one) => one.way === group.way)?.name ?? group.way }));
      refill(into, form.rows(named, shown.things, (edits, done) => this.apply(edits, done)));
    }
  }

  // ---------------------------------------------------------------- doing

  /**
   * Does something to the layout, after whatever is being done.
   * @param {Edit[] | (() => Edit[])} edits
   * @param {string} done what it is called when it is undone
   * @param {string} [of] done to the same thing again and again it is one step
   * @returns {Promise<string | null>} why it could not be done
   */
  apply(edits, done, of) {
    const next = this.chain.then(async () => {
      const asked = performance.now();
      this.time += 1;
      this.latest.drop();
      const wanted = typeof edits === 'function' ? edits() : edits;
      if (wanted.length === 0) return null;
      try {
        /** @type {Worked} */
        const answer = await this.work(this.history.text, wanted, this.view, of !== undefined);
        const wrong = answer.refused ?? firstFault(answer);
        if (wrong) {
          announce(wrong);
          this.look();
          return wrong;
        }
        this.history.add({ text: answer.text, done, ...(of === undefined ? {} : { of }) });
        this.hear(answer, asked);
        this.after(of !== undefined);
        return null;
      } catch (trouble) {
        this.fail(trouble);
        return trouble instanceof Error ? trouble.message : String(trouble);
      }
    });
    this.chain = next;
    return next;
  }

  /**
   * Another text altogether.
   * @param {string} text
   * @param {string} done
   */
  async take(text, done) {
    this.history.add({ text, done });
    this.look();
    this.after(false);
  }

  /** @param {boolean} isMoving what was moved by keys is looked at closely once it rests */
  after(isMoving) {
    this.bar();
    clearTimeout(this.rest);
    if (isMoving) {
      const grip = this.board.grips.find((one) => one.what === this.grip);
      if (grip) this.place?.follow(grip.at);
      this.rest = setTimeout(() => this.look(), REST);
    } else {
      void this.forms();
      void this.folded();
    }
  }

  bar() {
    const { history } = this;
    const undo = byId('undo', HTMLButtonElement);
    const redo = byId('redo', HTMLButtonElement);
    undo.disabled = history.last === null;
    undo.title = history.last ?? '';
    redo.disabled = history.next === null;
    redo.title = history.next ?? '';
    byId('save', HTMLButtonElement).disabled = !this.isDirty;
    byId('changes', HTMLButtonElement).disabled = !this.isDirty;
    const state = this.saved.text === null ? 'not saved yet' : this.isDirty ? 'changed, not saved' : 'as saved';
    byId('file', HTMLElement).textContent = `${this.saved.name}: ${state}`;
    this.titles();
  }

  /** @param {'undo' | 'redo'} way */
  back(way) {
    void (this.chain = this.chain.then(() => {
      const said = way === 'undo' ? this.history.last : this.history.next;
      this.history[way]();
      if (said) announce(`${way === 'undo' ? 'Undone' : 'Done again'}: ${said}`);
      this.look();
      this.after(false);
    }));
  }

  remove() {
    const { thing } = this;
    if (!thing || /\.(outline|margin)$/.test(thing)) return;
    const name = this.shown ? panels.nameOf(this.shown.things, thing) : thing;
    void this.apply([{ do: 'take-out', key: thing }], `${name} taken off`).then((wrong) => {
      if (!wrong) this.choose(null, null);
    });
  }

  /** @param {string} kind @param {string} called */
  add(kind, called) {
    const deck = this.deckInView();
    const bounds = this.shown?.board.decks[deck]?.bounds;
    if (!bounds) return;
    const step = this.step();
    const middle = this.board.onDeck(centreOf(this.board.element));
    const inside = middle[0] > bounds[0] && middle[0] < bounds[2] && middle[1] > bounds[1] && middle[1] < bounds[3];
    const at = inside ? middle : /** @type {Place} */ ([(bounds[0] + bounds[2]) / 2, (bounds[1] + bounds[3]) / 2]);
    const [x, y] = at.map((one) => Math.round(one / step) * step);
    const before = new Set(this.shown?.things.map((one) => one.way));
    void this.apply([{ do: 'add', deck, kind, at: [x ?? 0, -(y ?? 0) || 0] }], `${called} added`).then((wrong) => {
      if (wrong) this.notice(wrong);
      const added = this.shown?.things.find((one) => !before.has(one.way));
      if (added) this.choose(added.way, null);
    });
  }

  /** The deck of what is chosen, or the one in the middle of what is seen. */
  deckInView() {
    const own = /^deck\.#(\d+)/.exec(this.thing ?? '');
    if (own) return Number(own[1]) - 1;
    const [x, y] = this.board.onDeck(centreOf(this.board.element));
    const decks = this.shown?.board.decks ?? [];
    /** @param {[number, number, number, number]} bounds */
    const away = ([x0, y0, x1, y1]) => Math.hypot(Math.max(x0 - x, 0, x - x1), Math.max(y0 - y, 0, y - y1));
    let best = 0;
    decks.forEach((deck, index) => {
      const now = decks[best];
      if (now && away(deck.bounds) < away(now.bounds)) best = index;
    });
    return best;
  }

  step() {
    return Number(byId('step', HTMLSelectElement).value) || 10;
  }

  // ---------------------------------------------------------------- saving, and the file on the disk

  async save() {
    await this.chain;
    const text = this.history.text;
    try {
      const { saved, file } = await saveOver(text, this.saved.version);
      if (saved) {
        this.saved = file;
        this.theirs = null;
        this.notice(null);
        announce(`saved as ${file.name}`);
        this.bar();
        this.look();
      } else {
        this.theirs = file;
        this.disagree();
      }
    } catch (trouble) {
      this.fail(trouble);
    }
  }

  /** Waits for what other programs do to the file, for ever. */
  async watch() {
    let isLost = false;
    for (;;) {
      try {
        const file = await changed(Math.max(this.saved.version, this.theirs?.version ?? 0));
        if (file.version > Math.max(this.saved.version, this.theirs?.version ?? 0)) this.changedOutside(file);
        if (isLost) this.notice(null);
        isLost = false;
      } catch {
        isLost = true;
        this.fail(null);
        await new Promise((again) => setTimeout(again, 2000));
      }
    }
  }

  /** @param {LayoutFile} file */
  changedOutside(file) {
    if (file.text === (this.saved.text ?? null)) {
      this.saved = file;
      return;
    }
    if (file.text === this.history.text) {
      // What is on the page has been saved, by whomever.
      this.saved = file;
      this.bar();
      this.look();
    } else if (this.isDirty || file.text === null) {
      this.theirs = file;
      this.disagree();
    } else {
      this.saved = file;
      announce('the file was changed by another program');
      void this.take(file.text, 'changed in the file');
    }
  }

  /** Both have changed: both are shown, and the person is asked. */
  disagree() {
    const { theirs } = this;
    if (!theirs) return;
    const words = theirs.text === null ? `${theirs.name} is gone from the disk.` : `${theirs.name} was changed by another program, and here too.`;
    this.notice(words, html('button', { type: 'button', onclick: () => this.compare() }, 'See both'));
    this.compare();
  }

  compare() {
    const dialog = byId('compare', HTMLDialogElement);
    const body = byId('compare-body', HTMLElement);
    const choices = byId('compare-choices', HTMLElement);
    const close = () => dialog.close();
    const { theirs } = this;
    const base = this.saved.text ?? '';
    /** @param {string} title @param {string} now */
    const changes = (title, now) => [html('h3', {}, title), lines(base, now)];
    if (theirs) {
      body.replaceChildren(...changes('Changed here', this.history.text), ...changes(theirs.text === null ? 'The file is gone' : 'Changed in the file', theirs.text ?? ''));
      choices.replaceChildren(
        html(
          'button',
          {
            type: 'button',
            onclick: () => {
              this.saved = theirs;
              this.theirs = null;
              close();
              this.notice(null);
              void this.save();
            },
          },
          'Save what is here over it',
        ),
        ...(theirs.text === null
          ? []
          : [
              html(
                'button',
                {
                  type: 'button',
                  onclick: () => {
                    this.saved = theirs;
                    this.theirs = null;
                    close();
                    this.notice(null);
                    void this.take(theirs.text ?? '', 'taken from the file');
                  },
                },
                'Take what is in the file',
              ),
            ]),
        html('button', { type: 'button', onclick: close }, 'Decide later'),
      );
    } else {
      body.replaceChildren(...changes('Beside the saved file', this.history.text));
      choices.replaceChildren(html('button', { type: 'button', onclick: close }, 'Close'));
    }
    if (!dialog.open) dialog.showModal();
  }

  // ---------------------------------------------------------------- measuring

  /** @param {Place} at */
  measure(at) {
    const { shown } = this;
    if (!shown) return;
    const to = this.board.cornerNear(at, 12 * this.board.scale) ?? at;
    if (!this.measureFrom) {
      this.measureFrom = to;
      this.board.measure({ from: to, to, words: 'from here' });
      announce(`measuring from ${whereabouts(to, shown.units)}`);
      return;
    }
    const from = this.measureFrom;
    this.measureFrom = null;
    const distance = Math.hypot(to[0] - from[0], to[1] - from[1]);
    const words = spoken(distance, shown.units);
    const parts = `${words} (${spoken(Math.abs(to[0] - from[0]), shown.units)} fore and aft, ${spoken(Math.abs(to[1] - from[1]), shown.units)} athwartships)`;
    this.board.measure({ from, to, words });
    byId('measured', HTMLElement).textContent = parts;
    announce(`${parts}, from ${whereabouts(from, shown.units)} to ${whereabouts(to, shown.units)}`);
  }

  /** @param {boolean} on */
  setMeasuring(on) {
    this.measuring = on;
    this.measureFrom = null;
    this.board.measure(null);
    byId('measured', HTMLElement).textContent = '';
    byId('measure', HTMLButtonElement).setAttribute('aria-pressed', String(on));
    this.board.element.classList.toggle('measuring', on);
  }

  // ---------------------------------------------------------------- hands

  /** @param {Place | null} at where the pointer is, or what it drags */
  over(at) {
    byId('where', HTMLElement).textContent = at && this.shown ? whereabouts(at, this.shown.units) : '\u00a0';
  }

  hands() {
    /** @param {Grip} grip @param {Place} to @returns {Edit} */
    const move = (grip, [x, y]) => ({ do: 'move', what: grip.what, to: [x, -y || 0] });
    attach(this.board, {
      choose: (thing, grip) => this.choose(thing, grip),
      drag: (grip, to) => {
        void this.latest.ask({ text: this.history.text, edits: [move(grip, to)], view: this.view, at: to, moving: true, time: this.time, asked: performance.now() });
      },
      drop: (grip, to) => {
        if (to) void this.apply([move(grip, to)], `${grip.called} moved`).then((wrong) => wrong && this.notice(wrong));
        else {
          this.place?.follow(grip.at);
          this.look();
        }
      },
      nudge: (grip, by) => {
        void this.apply(
          () => {
            const now = this.board.grips.find((one) => one.what === grip.what);
            if (!now) return [];
            const to = fallen(now, [now.at[0] + by[0], now.at[1] + by[1]], { step: 1, near: 0, exact: true });
            return [move(now, to)];
          },
          `${grip.called} moved`,
          grip.what,
        ).then((wrong) => wrong && this.notice(wrong));
      },
      over: (at) => this.over(at),
      measure: (at) => this.measure(at),
      step: () => this.step(),
      isMeasuring: () => this.measuring,
      chosen: () => ({ thing: this.thing, grip: this.grip }),
      next: (direction) => this.next(direction),
      remove: () => this.remove(),
    });
  }

  buttons() {
    /** @param {string} id @param {() => void} act */
    const on = (id, act) => byId(id, HTMLButtonElement).addEventListener('click', act);
    on('undo', () => this.back('undo'));
    on('redo', () => this.back('redo'));
    on('save', () => void this.save());
    on('changes', () => this.compare());
    on('larger', () => this.board.larger());
    on('smaller', () => this.board.smaller());
    on('whole', () => this.board.whole());
    on('measure', () => this.setMeasuring(!this.measuring));
    for (const radio of document.querySelectorAll('input[name="view"]')) {
      radio.addEventListener('change', () => {
        if (radio instanceof HTMLInputElement && radio.checked) {
          this.view = /** @type {View} */ (radio.value);
          this.look();
        }
      });
    }
    byId('add', HTMLElement).replaceChildren(...PARTS.map(([kind = '', called = '']) => html('button', { type: 'button', 'data-add': kind, onclick: () => this.add(kind, called) }, `Add ${called}`)));
    for (const panel of ['panel-fields', 'panel-things', 'panel-shopping']) byId(panel, HTMLDetailsElement).addEventListener('toggle', () => this.lists());
    for (const panel of ['panel-tape', 'panel-finish']) byId(panel, HTMLDetailsElement).addEventListener('toggle', () => void this.folded());
    const made = byId('panel-outputs', HTMLDetailsElement);
    made.addEventListener('toggle', () => {
      if (made.open) outputs.show(byId('outputs', HTMLElement), () => this.history.text).catch((trouble) => this.fail(trouble));
    });
    document.addEventListener('keydown', (event) => {
      if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
      const typing = event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement;
      const key = event.key.toLowerCase();
      if (key === 's') {
        // What is being typed is said first.
        if (typing && event.target instanceof HTMLElement) event.target.blur();
        void this.save();
      } else if (key === 'z' && !typing) this.back(event.shiftKey ? 'redo' : 'undo');
      else if (key === 'y' && !typing) this.back('redo');
      else return;
      event.preventDefault();
    });
    window.addEventListener('beforeunload', (event) => {
      if (this.isDirty) event.preventDefault();
    });
    this.board.element.addEventListener('pointerover', (event) => {
      const on = event.target instanceof SVGElement && !event.target.classList.contains('hole') ? event.target : null;
      const field = on?.dataset['field'] ?? '';
      for (const row of document.querySelectorAll('tr[data-field]')) row.classList.toggle('lit', field !== '' && row.getAttribute('data-field') === field);
    });
  }
}

/**
 * Figures that take longer than a move stand as they were until it rests.
 * @param {Shown} before
 * @param {Shown} now
 */
function waiting(before, now) {
  const known = new Set(now.sections.flatMap((section) => section.rows.map((row) => row.key)));
  for (const section of before.sections) {
    const late = section.rows.filter((row) => row.key.startsWith('widest_smooth') && !known.has(row.key));
    if (late.length === 0) continue;
    const rows = late.map((row) => ({ ...row, waiting: true }));
    const same = now.sections.find((one) => one.title === section.title);
    if (same) same.rows.unshift(...rows);
    else now.sections.splice(1, 0, { title: section.title, rows });
  }
}

/**
 * What a fault says, in one line.
 * @param {Said} fault
 */
function faultWords(fault) {
  return `${fault.line ? `Line ${fault.line}: ` : ''}${fault.message}${fault.label ? ` (${fault.label})` : ''}${fault.help ? `. ${fault.help}` : ''}`;
}

/** @param {Worked} answer */
function firstFault(answer) {
  const first = answer.faults?.[0];
  return first ? `${first.message}${first.label ? ` (${first.label})` : ''}${first.help ? `. ${first.help}` : ''}` : null;
}

/**
 * Lines that differ.
 * @param {string} old
 * @param {string} now
 */
function lines(old, now) {
  const all = differences(old, now);
  if (all.length === 0) return html('p', {}, 'Nothing.');
  return html('div', { class: 'lines', tabindex: 0, role: 'region', 'aria-label': 'Lines that differ' }, ...all.map(({ sign, line }) => html('div', { 'data-sign': sign }, `${sign} ${line}`)));
}

/** @param {Element} element */
function centreOf(element) {
  const box = element.getBoundingClientRect();
  return { clientX: box.left + box.width / 2, clientY: box.top + box.height / 2 };
}

const page = new Page();
page.hands();
page.buttons();
page.open().catch((trouble) => page.fail(trouble));
// For whoever measures how fast it is.
Object.assign(globalThis, { spile: page });
