// Shapes of what the server says and of what the page keeps. Nothing here runs: other modules name these types in comments.

/**
 * @typedef {{ d: string, kind: string, name?: string, thing?: string, label?: Place, grey?: number }} Mark
 * @typedef {[number, number]} Place station and distance off the centreline in millimetres, y down
 * @typedef {{ name: string, at: Place, centre: boolean, measured: string, radius?: string }} SetOutPoint
 * @typedef {{ id: string, title: string, bounds: [number, number, number, number], points: SetOutPoint[] }} DeckGround
 * @typedef {DeckGround & { marks: Mark[] }} BoardDeck
 * @typedef {{ covered?: 'fields' | 'border', shades: { grey: number, name: string }[] }} BoardGround
 * @typedef {BoardGround & { decks: BoardDeck[] }} Board
 * @typedef {{ head: string[], rows: string[][] }} Table
 * @typedef {{ id: string, title: string, areas: Table, fields: Table, passes: Table, edges: string[] }} DeckTables
 * @typedef {{ key: string, title: string, value: string, difference?: string, waiting?: boolean }} Figure
 * @typedef {{ title: string, rows: Figure[] }} Section
 * @typedef {{ message: string, label?: string, help?: string, line?: number, at?: Place, thing?: string }} Said
 * @typedef {'anywhere' | 'fore-and-aft' | 'athwartships' | 'starboard' | 'port'} Freedom
 * @typedef {{ what: string, thing: string, deck: number, called: string, at: Place, freedom: Freedom, both: boolean, list: boolean }} Grip
 * @typedef {{ way: string, kind: string, deck: number | null, name: string }} Thing
 * @typedef {{ id: string, shelf: string, title: string, need: string, buy: string }} Item
 * @typedef {{ word: string, mm: number, steps: { name: string, mm: number }[] }} Units
 * @typedef {{ number: number, title: string, units: Units, decks: DeckTables[], sections: Section[], warnings: Said[],
 *   shopping: Item[] }} Always
 * @typedef {Always & { board: Board, grips: Grip[], things: Thing[] }} Shown
 * @typedef {Always & { known?: number, board: BoardGround & { decks: (DeckGround & { marks: Listed<Mark> })[] }, grips: Listed<Grip>,
 *   things: Listed<Thing> }} Told as it is sent: long lists only as far as they have changed
 * @typedef {{ text: string, refused?: string, faults?: Said[], shown?: Told }} Worked
 * @typedef {{ name: string, version: number, text: string | null, unreadable?: string, refused?: boolean }} LayoutFile
 * @typedef {{ key: string, name: string, about: string, kind: string, words?: string[], written?: string, otherwise?: string,
 *   required: boolean }} FormRow
 * @typedef {{ way: string, rows: FormRow[] }} FormGroup
 * @typedef {{ name: string, label: string, kind: 'choice' | 'length' | 'flag', choices?: [string, string][] }} OfferOption
 * @typedef {{ id: string, title: string, about: string, options: OfferOption[] }} Offer
 * @typedef {{ files: { name: string, bytes: number, at: string }[], notes: string[] }} Made
 * @typedef {'pattern' | 'first' | 'reversed' | 'setting-out' | 'grip'} View
 */

/**
 * @template T
 * @typedef {{ all: T[] } | { changed: [number, number, T[]][] }} Listed whole; or at a place so many go and these come
 */

/**
 * One thing done to the layout, as the server takes it; places in millimetres, y to starboard.
 * @typedef {{ do: 'set', key: string, value: string }
 *   | { do: 'take-out', key: string }
 *   | { do: 'move', what: string, to: [number, number] }
 *   | { do: 'put', what: string, station?: string, off?: string }
 *   | { do: 'add', deck: number, kind: string, at: [number, number] }
 *   | { do: 'split', after: string }
 *   | { do: 'drop', what: string }} Edit
 */

export {};
