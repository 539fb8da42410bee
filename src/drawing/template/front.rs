//! What goes before the pages of a template: what to do with them, and a key of each deck with every page in its place.

use super::super::canvas::{Canvas, Projection};
use super::super::full_size::{FullSizeDeck, LineKind};
use super::super::marks::{Anchor, Drawing, Fill, Layer, Mark, Pen, Run, Weight};
use super::super::paper::Scale;
use super::super::text;
use super::ground::Ground;
use super::tile::{KINDS, LIGHT, NOTE, SMALL, pen_of, square};
use super::tiling::{Cell, Tiling};
use super::{Book, panels};
use crate::shape::{BoundingBox, Point, Segment};
use crate::units::Length;

const TITLE: f64 = 5.0;
/// White inside what the printer reaches.
const PAD: f64 = 6.0;
/// Heights that a page's text is tried at.
const BODIES: [f64; 6] = [2.6, 2.3, 2.0, 1.8, 1.6, 1.4];
/// A page that carries lines, in the key.
const GREY: u8 = 230;

/// A column of text.
struct Column {
    left: f64,
    top: f64,
    width: f64,
}

/// A paragraph: the sign before it, and its words.
type Paragraph = (String, String);

impl Column {
    fn line(&mut self, canvas: &mut Canvas, height: f64, weight: Weight, words: &str) {
        let words = text::shortened(&text::drawable(words), height, weight, self.width);
        let above = text::BOX_HEIGHT - text::DESCENT;
        self.top -= height * above;
        let at = Point::new(self.left, self.top);
        canvas.text(Layer::Sheet, at, Anchor::Start, height, weight, &words);
        self.top -= height * (text::LINE - above);
    }

    /// Paragraphs at the largest height at which all fit into `most`; how much they took.
    fn paragraphs(&mut self, canvas: &mut Canvas, paragraphs: &[Paragraph], most: f64) {
        let wrapped = |height: f64| -> Vec<(&str, Vec<String>)> {
            let indent = height * 2.6;
            let wrap = |(sign, words): &'_ Paragraph| {
                let most = self.width - if sign.is_empty() { 0.0 } else { indent };
                text::wrapped(&text::drawable(words), height, Weight::Regular, most)
            };
            paragraphs
                .iter()
                .map(|one| (one.0.as_str(), wrap(one)))
                .collect()
        };
        let depth = |height: f64| -> f64 {
            let lines: usize = wrapped(height).iter().map(|(_, lines)| lines.len()).sum();
            height * (text::LINE * lines as f64 + 0.7 * paragraphs.len() as f64)
        };
        let smallest = BODIES[BODIES.len() - 1];
        let height = BODIES
            .into_iter()
            .find(|height| depth(*height) <= most)
            .unwrap_or(smallest);
        let lowest = self.top - most;
        let (left, indent) = (self.left, height * 2.6);
        let fits = depth(height) <= most;
        for (sign, lines) in wrapped(height) {
            for (number, words) in lines.iter().enumerate() {
                // What finds no room at all is said to be missing.
                let is_cut = !fits && self.top - height * 3.0 * text::LINE < lowest;
                self.top -= height * text::LINE;
                let mut x = left;
                if !sign.is_empty() {
                    if number == 0 {
                        let at = Point::new(left, self.top);
                        canvas.text(Layer::Sheet, at, Anchor::Start, height, Weight::Bold, sign);
                    }
                    x += indent;
                }
                let at = Point::new(x, self.top);
                canvas.text(
                    Layer::Sheet,
                    at,
                    Anchor::Start,
                    height,
                    Weight::Regular,
                    if is_cut { "…" } else { words },
                );
                if is_cut {
                    return;
                }
            }
            self.top -= height * 0.7;
        }
    }
}

/// The square to measure, in the lower right corner; returns its box.
fn corner_square(canvas: &mut Canvas, book: &Book<'_>, room: BoundingBox) -> BoundingBox {
    let size = book.square();
    let corner = Point::new(room.greatest.x - size.x, room.least.y);
    let bounds = BoundingBox {
        least: corner,
        greatest: corner + size,
    };
    square(canvas, &mut Ground::new(room), bounds);
    let at = Point::new(bounds.centre().x, corner.y + 4.0);
    let words = format!("{} both ways", book.square_name());
    canvas.text(
        Layer::Sheet,
        at,
        Anchor::Middle,
        NOTE,
        Weight::Regular,
        &words,
    );
    bounds
}

/// The first page.
pub(super) fn instructions(book: &Book<'_>, tiles: usize) -> Drawing {
    let room = book.sheet.printable().grown(-PAD);
    let mut canvas = Canvas::default();
    let size = book.square();
    let is_wide = room.width() > room.height();
    // The square in the lower right corner, the legend beside or above it.
    let bounds = corner_square(&mut canvas, book, room);

    let mut column = Column {
        left: room.least.x,
        top: room.greatest.y,
        width: room.width(),
    };
    column.line(&mut canvas, TITLE, Weight::Bold, &book.title);
    column.line(
        &mut canvas,
        NOTE * 1.3,
        Weight::Regular,
        "Template at full size: what to do",
    );
    column.top -= NOTE;
    let text_bottom = if is_wide {
        room.least.y
    } else {
        bounds.greatest.y + 4.0
    };
    if is_wide {
        column.width = room.width() - size.x - 8.0;
    }
    let most = column.top - text_bottom;
    column.paragraphs(&mut canvas, &steps(book, tiles), most);

    let mut legend = if is_wide {
        Column {
            left: bounds.least.x,
            top: room.greatest.y - TITLE * 4.0,
            width: size.x,
        }
    } else {
        Column {
            left: room.least.x,
            top: bounds.greatest.y,
            width: room.width() - size.x - 6.0,
        }
    };
    legend_of(book, &mut canvas, &mut legend);
    page(book, "Instructions", canvas)
}

fn legend_of(book: &Book<'_>, canvas: &mut Canvas, column: &mut Column) {
    let lines = || book.full.decks.iter().flat_map(|deck| &deck.lines);
    for kind in KINDS.into_iter().rev() {
        if !lines().any(|line| line.kind == kind) {
            continue;
        }
        let meaning = match kind {
            LineKind::PaintLine => "paint line: the tape's edge",
            LineKind::DeckEdge => "deck edge",
            LineKind::Opening => "opening",
            LineKind::Fitting => "fitting",
            LineKind::Centreline => "centreline",
            LineKind::TapeFirst | LineKind::TapeReversed => "middle of the tape",
        };
        column.top -= NOTE * 2.0;
        let (pen, _) = pen_of(kind);
        let y = column.top + NOTE / 2.0;
        let sample = [
            Point::new(column.left, y),
            Point::new(column.left + 16.0, y),
        ];
        canvas.line(Layer::Sheet, pen, &sample);
        let at = Point::new(column.left + 19.0, column.top);
        let words = text::shortened(meaning, NOTE, Weight::Regular, column.width - 19.0);
        canvas.text(
            Layer::Sheet,
            at,
            Anchor::Start,
            NOTE,
            Weight::Regular,
            &words,
        );
    }
}

/// What to print after the first page.
fn rest(book: &Book<'_>, keys: &str, tiles: usize) -> String {
    let pages = |count: usize, one: &str| {
        if count == 1 {
            format!("1 {one}")
        } else {
            format!("{count} {one}s")
        }
    };
    let what = match &book.panels {
        None => format!("{} that carry lines", pages(tiles, "page")),
        Some(panels) => format!(
            "{} {} of the roll: {} altogether, with {} to cut apart",
            pages(panels.len(), "length"),
            Length::show(book.roll_width(), book.full.units),
            panels::metres(panels, book.full.units),
            pages(tiles, "piece"),
        ),
    };
    format!(
        "Print the rest: {keys}, then {what}. Measure the square on some of them, the last among them; paper grows when it \
         is damp, so keep it flat and dry."
    )
}

fn steps(book: &Book<'_>, tiles: usize) -> Vec<Paragraph> {
    let name = book.square_name();
    let decks = book.full.decks.len();
    let keys = if decks == 1 {
        "a key"
    } else {
        "a key for each deck"
    };
    let mut steps = vec![
        format!(
            "Print this page alone first, at 100 % (\"actual size\"; no fitting to the page, no shrinking). With a steel \
             rule measure the square on it across and up: each must be {name}."
        ),
        format!(
            "If it is not, make the template again with what you measured: --scale-x for across the page, --scale-y for up \
             the page. Print its first page and measure again: now it must be {name}."
        ),
        rest(book, keys, tiles),
        "Find the first page of the top row on the key and lay it down. Take the next page of its row; arrows name each page's \
         neighbours. Cut it along the dotted lines, which run through the crosses: on its left, and from the second row \
         on also at its top. Do not cut the other sides."
            .to_owned(),
        "Lay the cut side on the neighbour so that both halves of every cross meet and the lines run on. Tape it. Do row \
         after row; then turn the whole over and tape the back."
            .to_owned(),
        "Measure the check distance that the key gives. A sheet that lies askew shows here.".to_owned(),
    ];
    if book.full.decks.iter().any(|deck| {
        let kinds = |kind| deck.lines.iter().any(|line| line.kind == kind);
        kinds(LineKind::Centreline) && kinds(LineKind::DeckEdge)
    }) {
        steps.push(
            "Lay the template on the deck, forward end forward: its centreline on the deck's, its thin lines on the deck \
             edge, openings and fittings. Cut out what stands up. Weigh it down."
                .to_owned(),
        );
    } else {
        steps.push(
            "Lay the template on the deck, forward end (left on the key) forward, and weigh it down. It carries no deck \
             edge: place it by the margins, measured on both sides."
                .to_owned(),
        );
    }
    steps.push(
        "Prick through the thick line, at corners and where arcs begin closely, elsewhere every 100 mm or 4 in. Lay the \
         tape's edge along the pricks."
            .to_owned(),
    );
    if book.request.half {
        steps.push(
            "This is the starboard half. Mark starboard, then turn the template over on the centreline and mark port \
             through the same pricks."
                .to_owned(),
        );
    }
    if book.full.decks.iter().any(|deck| deck.is_developed) {
        steps.push(
            "A deck with camber or sheer is drawn laid flat: begin at its centreline, press the paper down towards the \
             sides, and let it follow the surface."
                .to_owned(),
        );
    }
    steps
        .into_iter()
        .zip(1..)
        .map(|(step, number)| (format!("{number}."), step))
        .collect()
}

/// The key of a deck.
pub(super) fn key(book: &Book<'_>, deck: &FullSizeDeck, tiling: &Tiling) -> Drawing {
    let room = book.sheet.printable().grown(-PAD);
    let mut canvas = Canvas::default();
    let mut column = Column {
        left: room.least.x,
        top: room.greatest.y,
        width: room.width(),
    };
    let title = text::drawable(&deck.title);
    column.line(&mut canvas, TITLE, Weight::Bold, &title);
    let under = format!(
        "Key to the pages, forward end on the left. Template of {}",
        book.title
    );
    column.line(&mut canvas, NOTE, Weight::Regular, &under);
    column.top -= NOTE;

    let said = said_of(book, deck, tiling);
    let size = book.square();
    let is_wide = room.width() > room.height();
    let bounds = corner_square(&mut canvas, book, room);
    let (map, mut words, deep) = if is_wide {
        let map = BoundingBox {
            least: room.least,
            greatest: Point::new(bounds.least.x - 8.0, column.top),
        };
        let words = Column {
            left: bounds.least.x,
            top: column.top,
            width: size.x,
        };
        (map, words, column.top - bounds.greatest.y - 4.0)
    } else {
        let map = BoundingBox {
            least: Point::new(room.least.x, bounds.greatest.y + 6.0),
            greatest: Point::new(room.greatest.x, column.top),
        };
        let words = Column {
            left: room.least.x,
            top: bounds.greatest.y,
            width: room.width() - size.x - 6.0,
        };
        (map, words, size.y)
    };
    draw_map(deck, tiling, &mut canvas, map);
    words.paragraphs(&mut canvas, &said, deep);
    page(book, &format!("Key to {title}"), canvas)
}

fn draw_map(deck: &FullSizeDeck, tiling: &Tiling, canvas: &mut Canvas, map: BoundingBox) {
    let whole = Point::new(
        tiling.step.x * tiling.columns as f64,
        tiling.step.y * tiling.rows as f64,
    );
    let share = (map.width() / whole.x).min(map.height() / whole.y);
    // At the top of its room.
    let corner = Point::new(
        map.centre().x - whole.x * share / 2.0,
        map.greatest.y - whole.y * share,
    );
    let projection = Projection {
        share,
        origin: corner - tiling.origin * share,
    };
    for cell in &tiling.used {
        let bounds = projection.bounds(tiling.own(*cell));
        canvas.rectangle(Layer::Cover, None, Fill::Grey(GREY), bounds);
    }
    let grid = |at: Point, along: Point| Run::open(&[corner + at, corner + at + along]);
    let step = tiling.step * share;
    let mut lines = Vec::new();
    for column in 0..=tiling.columns {
        let x = step.x * column as f64;
        lines.push(grid(Point::new(x, 0.0), Point::new(0.0, whole.y * share)));
    }
    for row in 0..=tiling.rows {
        let y = step.y * row as f64;
        lines.push(grid(Point::new(0.0, y), Point::new(whole.x * share, 0.0)));
    }
    canvas.runs(Layer::Sheet, Some(Pen::solid(LIGHT)), Fill::None, lines);
    for kind in KINDS {
        let runs: Vec<Run> = deck
            .lines
            .iter()
            .filter(|line| line.kind == kind)
            .map(|line| Run {
                segments: line
                    .run
                    .segments
                    .iter()
                    .map(|one| projection.segment(one))
                    .collect(),
                closed: line.run.closed,
            })
            .collect();
        let (pen, layer) = pen_of(kind);
        let pen = Pen {
            width: pen.width * 0.6,
            ..pen
        };
        canvas.runs(layer, Some(pen), Fill::None, runs);
    }
    name_pages(tiling, &projection, canvas);
}

/// The pages' names, each where the fewest lines run through it.
fn name_pages(tiling: &Tiling, projection: &Projection, canvas: &mut Canvas) {
    let mut ground = Ground::new(BoundingBox::EMPTY);
    for mark in &canvas.marks {
        if let Mark::Path(path) = mark
            && path.layer != Layer::Sheet
        {
            for segment in path.runs.iter().flat_map(|run| &run.segments) {
                ground.add_segment(segment);
            }
        }
    }
    let step = tiling.step * projection.share;
    let width = |name: &str| text::width(name, 1.0, Weight::Bold);
    let names = tiling.used.iter().map(|cell| cell.name());
    let widest = names.map(|name| width(&name)).fold(0.0, f64::max);
    let height = SMALL
        .min((step.x - 0.6) / widest.max(1e-9))
        .min((step.y - 0.6) / text::BOX_HEIGHT)
        .max(0.3);
    for cell in &tiling.used {
        let name = cell.name();
        let size = Point::new(width(&name) * height, height * text::BOX_HEIGHT);
        ground.room = projection.bounds(tiling.own(*cell)).grown(-0.2);
        let places = ground.lattice(size, 6, 4);
        let middle = ground.room.centre() - size * 0.5;
        let least = places
            .into_iter()
            .map(|least| {
                let greatest = least + size;
                (
                    ground.lines_through(&BoundingBox { least, greatest }),
                    least,
                )
            })
            .min_by_key(|(lines, _)| *lines)
            .map_or(middle, |(_, least)| least);
        let at = least + Point::new(0.0, height * text::DESCENT);
        canvas.text(
            Layer::Labels,
            at,
            Anchor::Start,
            height,
            Weight::Bold,
            &name,
        );
    }
}

/// What the key says beside its drawing.
fn said_of(book: &Book<'_>, deck: &FullSizeDeck, tiling: &Tiling) -> Vec<Paragraph> {
    let plain = |words: String| (String::new(), words);
    let (pages, cells) = (tiling.used.len(), tiling.cells());
    let blank: Vec<Cell> = (0..tiling.rows)
        .flat_map(|row| (0..tiling.columns).map(move |column| Cell { row, column }))
        .filter(|cell| !tiling.used.contains(cell))
        .collect();
    let mut said = vec![plain(if pages == 1 {
        "1 page carries lines; it is grey and named.".to_owned()
    } else {
        format!("{pages} of {cells} pages carry lines; they are grey and named.")
    })];
    let groups = tiling.groups();
    if groups.len() > 1 {
        let listed: Vec<String> = groups.into_iter().map(Tiling::listed).collect();
        said.push(plain(format!(
            "They join up to {} pieces that do not touch: {}. Lay each by the lines that it shows and by measuring.",
            listed.len(),
            listed.join("; ")
        )));
    }
    said.extend(check_distance(book, tiling).map(plain));
    for name in &deck.names {
        let of_field: Vec<&Segment> = deck
            .lines
            .iter()
            .filter(|line| line.kind == LineKind::PaintLine)
            .filter(|line| line.field.as_ref() == Some(&name.name))
            .flat_map(|line| &line.run.segments)
            .collect();
        let on: Vec<Cell> = tiling
            .used
            .iter()
            .copied()
            .filter(|cell| {
                let own = tiling.own(*cell);
                of_field.iter().any(|segment| {
                    segment.bounding_box().touches(&own) && !segment.parts_in(&own).is_empty()
                })
            })
            .collect();
        said.push((
            text::drawable(&name.name),
            format!("on {}", Tiling::listed(on)),
        ));
    }
    // The longest comes last, where it is missed least.
    match blank.len() {
        0 => {}
        1 => said.push(plain(format!(
            "1 page without a line is left out: {}.",
            Tiling::listed(blank)
        ))),
        count => said.push(plain(format!(
            "{count} pages without a line are left out: {}.",
            Tiling::listed(blank)
        ))),
    }
    said
}

/// The longest distance between two crosses of the joined pages.
fn check_distance(book: &Book<'_>, tiling: &Tiling) -> Option<String> {
    let mut crosses: Vec<(Cell, &str, Point)> = Vec::new();
    for cell in &tiling.used {
        let Cell { row, column } = *cell;
        let own = tiling.own(*cell);
        for (name, row, column, at) in [
            (
                "upper left",
                row,
                column,
                Point::new(own.least.x, own.greatest.y),
            ),
            ("upper right", row, column + 1, own.greatest),
            ("lower left", row + 1, column, own.least),
            (
                "lower right",
                row + 1,
                column + 1,
                Point::new(own.greatest.x, own.least.y),
            ),
        ] {
            if tiling.at_corner(row, column) > 1 {
                crosses.push((*cell, name, at));
            }
        }
    }
    // The furthest two lie furthest out in opposite directions.
    let extreme = |toward: Point| {
        let far = |one: &&(Cell, &str, Point)| one.2.dot(toward);
        let most = crosses
            .iter()
            .map(|one| far(&one))
            .fold(f64::NEG_INFINITY, f64::max);
        crosses.iter().find(|one| far(one) >= most - 1e-6)
    };
    let diagonals = [
        Point::new(1.0, 0.0),
        Point::new(1.0, 1.0),
        Point::new(1.0, -1.0),
        Point::new(0.0, 1.0),
    ];
    let (from, to) = diagonals
        .into_iter()
        .filter_map(|along| Some((extreme(-along)?, extreme(along)?)))
        .max_by(|a, b| a.0.2.distance(a.1.2).total_cmp(&b.0.2.distance(b.1.2)))?;
    let length = Length::mm(from.2.distance(to.2));
    (length > Length::ZERO).then(|| {
        format!(
            "Check distance, joined: from the {} cross of {} to the {} cross of {}, {}.",
            from.1,
            from.0.name(),
            to.1,
            to.0.name(),
            length.show(book.full.units)
        )
    })
}

fn page(book: &Book<'_>, description: &str, mut canvas: Canvas) -> Drawing {
    let printable = book.sheet.printable();
    let at = Point::new(printable.least.x + PAD, printable.least.y + 1.0);
    let square = book.square_name();
    let words = format!("Print at 100 %. Measure the square: {square} both ways.");
    canvas.text(
        Layer::Sheet,
        at,
        Anchor::Start,
        SMALL,
        Weight::Regular,
        &words,
    );
    Drawing {
        width: book.sheet.width,
        height: book.sheet.height,
        title: book.title.clone(),
        description: description.to_owned(),
        scale: Scale::FULL,
        frame: printable,
        marks: canvas.marks,
        unplaced: Vec::new(),
    }
}
