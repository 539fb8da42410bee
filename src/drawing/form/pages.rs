//! Pages that fill from the top: headings, paragraphs, steps, boxes to tick, tables to write in, sketches. Comes in: one
//! block after the other. Goes out: as many upright pages as they take, each with its number, none with a block cut in two
//! but tables, which go on with their head repeated.

use super::super::canvas::Canvas;
use super::super::marks::{Anchor, Drawing, Fill, Layer, Pen, Weight};
use super::super::paper::{Paper, Scale};
use super::super::text;
use crate::shape::{BoundingBox, Point};

/// White at the edges, millimetres: wide on the left, where a clipboard or a file holds the page.
const BINDING: f64 = 20.0;
const EDGE: f64 = 12.0;
/// What no printer reaches.
const PRINTABLE: f64 = 6.0;
/// Heights of capitals, millimetres: to be read at arm's length out of doors.
pub(in crate::drawing) const BODY: f64 = 2.3;
pub(in crate::drawing) const SMALL: f64 = 1.8;
const HEADING: f64 = 3.4;
const TITLE: f64 = 5.0;
/// Height of a line to write on.
pub(in crate::drawing) const WRITING: f64 = 8.0;
/// A row asks for no more of a page than this.
const MOST_ROW: f64 = 100.0;
/// Room at the foot for the page's number.
const FOOT: f64 = 7.0;
pub(in crate::drawing) const THIN: f64 = 0.18;
const THICK: f64 = 0.35;

/// A table to write in.
pub(in crate::drawing) struct Blank {
    /// Heads of its columns and their shares of the width.
    pub(in crate::drawing) columns: Vec<(String, f64)>,
    /// What stands in a row already, column by column; the rest is to be written.
    pub(in crate::drawing) rows: Vec<Vec<String>>,
    /// Height of a row, more where a cell takes several lines.
    pub(in crate::drawing) height: f64,
}

impl Blank {
    pub(in crate::drawing) fn new(columns: &[(&str, f64)], rows: Vec<Vec<String>>) -> Self {
        Self {
            columns: columns
                .iter()
                .map(|(name, share)| ((*name).to_owned(), *share))
                .collect(),
            rows,
            height: WRITING,
        }
    }
}

/// Pages being filled.
pub(in crate::drawing) struct Pages {
    paper: Paper,
    foot: String,
    done: Vec<(Canvas, bool)>,
    canvas: Canvas,
    y: f64,
    /// The last heading, said again where a table goes on.
    section: String,
}

impl Pages {
    pub(in crate::drawing) fn new(paper: Paper, foot: &str) -> Self {
        Self {
            paper,
            foot: text::drawable(foot),
            done: Vec::new(),
            canvas: Canvas::default(),
            y: paper.long_side() - EDGE,
            section: String::new(),
        }
    }

    pub(in crate::drawing) fn width(&self) -> f64 {
        self.paper.short_side() - BINDING - EDGE
    }

    fn top(&self) -> f64 {
        self.paper.long_side() - EDGE
    }

    /// What is left of the page.
    pub(in crate::drawing) fn room(&self) -> f64 {
        self.y - EDGE - FOOT
    }

    /// Starts a page unless this one is still empty.
    pub(in crate::drawing) fn turn(&mut self) {
        if !self.canvas.marks.is_empty() {
            self.done.push((std::mem::take(&mut self.canvas), false));
        }
        self.y = self.top();
    }

    fn need(&mut self, height: f64) {
        if self.room() < height {
            self.turn();
        }
    }

    fn words(&mut self, x: f64, y: f64, height: f64, weight: Weight, words: &str) {
        self.canvas.text(
            Layer::Sheet,
            Point::new(x, y),
            Anchor::Start,
            height,
            weight,
            words,
        );
    }

    pub(in crate::drawing) fn title(&mut self, title: &str, under: &str) {
        let width = self.width();
        self.y -= TITLE;
        let title = text::shortened(&text::drawable(title), TITLE, Weight::Bold, width);
        self.words(BINDING, self.y, TITLE, Weight::Bold, &title);
        let under = text::shortened(&text::drawable(under), HEADING, Weight::Regular, width);
        self.y -= HEADING * 2.0;
        self.words(BINDING, self.y, HEADING, Weight::Regular, &under);
        self.y -= HEADING;
    }

    /// A heading with so much room below it for what it heads.
    pub(in crate::drawing) fn heading(&mut self, heading: &str, below: f64) {
        self.need(HEADING * 3.0 + below);
        self.y -= HEADING * 1.9;
        let width = self.width();
        let heading = text::shortened(&text::drawable(heading), HEADING, Weight::Bold, width);
        self.words(BINDING, self.y, HEADING, Weight::Bold, &heading);
        self.y -= HEADING * 0.6;
        self.section = heading;
    }

    pub(in crate::drawing) fn paragraph(&mut self, words: &str) {
        self.hung("", words, 0.0, self.width(), 0.0);
    }

    /// Words in small letters, all on one page.
    pub(in crate::drawing) fn aside(&mut self, words: &str) {
        let lines = text::wrapped(&text::drawable(words), SMALL, Weight::Regular, self.width());
        let line = SMALL * text::LINE;
        self.need(line * lines.len() as f64);
        for words in lines {
            self.y -= line;
            self.words(BINDING, self.y, SMALL, Weight::Regular, &words);
        }
        self.y -= SMALL;
    }

    /// Steps in their order.
    pub(in crate::drawing) fn steps(&mut self, steps: &[&str]) {
        for (number, step) in steps.iter().enumerate() {
            self.hung(
                &format!("{}.", number + 1),
                step,
                BODY * 2.4,
                self.width(),
                0.0,
            );
        }
    }

    /// `words` with `sign` before their first line.
    fn hung(&mut self, sign: &str, words: &str, indent: f64, width: f64, from: f64) {
        let lines = text::wrapped(
            &text::drawable(words),
            BODY,
            Weight::Regular,
            width - indent,
        );
        let line = BODY * text::LINE;
        self.need(line * lines.len() as f64);
        for (number, words) in lines.iter().enumerate() {
            self.y -= line;
            if number == 0 {
                self.words(BINDING + from, self.y, BODY, Weight::Regular, sign);
            }
            self.words(
                BINDING + from + indent,
                self.y,
                BODY,
                Weight::Regular,
                words,
            );
        }
        self.y -= BODY * 0.7;
    }

    /// Things to tick off, in two columns.
    pub(in crate::drawing) fn ticks(&mut self, things: &[&str]) {
        let (column, indent) = (self.width() / 2.0, BODY * 2.4);
        for pair in things.chunks(2) {
            let top = self.y;
            let mut lowest = top;
            for (number, thing) in pair.iter().enumerate() {
                self.y = top;
                let from = column * number as f64;
                let corner = Point::new(BINDING + from, top - BODY * text::LINE);
                self.hung("", thing, indent, column - BODY * 2.0, from);
                let square = BoundingBox {
                    least: corner,
                    greatest: corner + Point::new(BODY * 1.2, BODY * 1.2),
                };
                self.canvas
                    .rectangle(Layer::Sheet, Some(Pen::solid(THIN)), Fill::None, square);
                lowest = lowest.min(self.y);
            }
            self.y = lowest;
        }
    }

    /// Captions with a line to write on, so many side by side.
    pub(in crate::drawing) fn entries(&mut self, entries: &[(&str, &str)], abreast: usize) {
        let column = self.width() / abreast as f64;
        for row in entries.chunks(abreast) {
            self.need(WRITING);
            self.y -= WRITING;
            for (number, (caption, filled)) in row.iter().enumerate() {
                let x = BINDING + column * number as f64;
                self.words(x, self.y, SMALL, Weight::Regular, caption);
                let start = x + text::width(caption, SMALL, Weight::Regular) + 1.5;
                let end = x + column - 4.0;
                let line = [
                    Point::new(start, self.y - 0.8),
                    Point::new(end, self.y - 0.8),
                ];
                self.canvas.line(Layer::Sheet, Pen::solid(THIN), &line);
                let filled =
                    text::shortened(&text::drawable(filled), BODY, Weight::Bold, end - start);
                self.words(start + 1.0, self.y, BODY, Weight::Bold, &filled);
            }
        }
        self.y -= 2.0;
    }

    /// A sketch across the page, drawn from its lower left corner.
    pub(super) fn sketch(&mut self, sketch: &super::sketches::Sketch) {
        self.need(sketch.height);
        self.y -= sketch.height;
        let indent = (self.width() - sketch.width) / 2.0;
        let corner = Point::new(BINDING + indent, self.y);
        self.canvas.marks.extend(sketch.moved(corner));
        self.y -= 2.0;
    }

    /// A picture across the page, drawn into the room that it has.
    pub(in crate::drawing) fn picture(
        &mut self,
        height: f64,
        draw: impl FnOnce(&mut Canvas, BoundingBox),
    ) {
        self.need(height);
        self.y -= height;
        let room = BoundingBox {
            least: Point::new(BINDING, self.y),
            greatest: Point::new(BINDING + self.width(), self.y + height),
        };
        draw(&mut self.canvas, room);
        self.y -= 2.0;
    }

    /// A table, on as many pages as it takes; its head stands on each.
    pub(in crate::drawing) fn table(&mut self, table: &Blank) {
        let total: f64 = table.columns.iter().map(|(_, share)| share).sum();
        let mut edges = vec![BINDING];
        for (_, share) in &table.columns {
            let last = edges.last().copied().unwrap_or_default();
            edges.push(last + self.width() * share / total);
        }
        let heads: Vec<Vec<String>> = table
            .columns
            .iter()
            .zip(edges.windows(2))
            .map(|((head, _), edge)| {
                let most = edge[1] - edge[0] - 2.0;
                text::wrapped(&text::drawable(head), SMALL, Weight::Bold, most)
            })
            .collect();
        let deepest = heads.iter().map(Vec::len).max().unwrap_or(1);
        let head_height = SMALL * text::LINE * deepest as f64 + 1.6;
        let mut rows = table.rows.as_slice();
        self.y -= 1.2;
        while !rows.is_empty() {
            self.need(head_height + 2.0 * WRITING);
            let top = self.y;
            for (lines, x) in heads.iter().zip(&edges) {
                for (number, line) in lines.iter().enumerate() {
                    let y = top - SMALL * (1.45 + text::LINE * number as f64);
                    self.words(x + 1.0, y, SMALL, Weight::Bold, line);
                }
            }
            self.y -= head_height;
            self.rule(&edges, THICK);
            while let Some((row, rest)) = rows.split_first() {
                let cells = cells(row, &edges);
                let height = cells
                    .iter()
                    .map(|(size, lines)| 2.4 + size * text::LINE * lines.len() as f64)
                    .fold(table.height, f64::max);
                if self.room() < height.min(MOST_ROW) {
                    break;
                }
                for ((size, lines), edge) in cells.iter().zip(&edges) {
                    // One line stands low in its row, to be written beside; several fill it from the top.
                    let mut y = if lines.len() < 2 {
                        self.y - height + 2.4
                    } else {
                        self.y - 0.6 - size * 1.2
                    };
                    for line in lines {
                        self.words(edge + 1.0, y, *size, Weight::Regular, line);
                        y -= size * text::LINE;
                    }
                }
                self.y -= height;
                self.rule(&edges, THIN);
                rows = rest;
            }
            let pen = Pen::solid(THIN);
            for x in &edges {
                let line = [Point::new(*x, top), Point::new(*x, self.y)];
                self.canvas.line(Layer::Sheet, pen, &line);
            }
            let line = [edges[0], edges[edges.len() - 1]].map(|x| Point::new(x, top));
            self.canvas.line(Layer::Sheet, pen, &line);
            if !rows.is_empty() {
                self.turn();
                self.y -= BODY;
                let section = format!("{}, continued", self.section);
                self.words(BINDING, self.y, BODY, Weight::Bold, &section);
                self.y -= BODY;
            }
        }
        self.y -= 2.0;
    }

    fn rule(&mut self, edges: &[f64], width: f64) {
        let line = [edges[0], edges[edges.len() - 1]].map(|x| Point::new(x, self.y));
        self.canvas.line(Layer::Sheet, Pen::solid(width), &line);
    }

    /// The room of a page that lies on its side.
    pub(in crate::drawing) fn lying_room(&self) -> BoundingBox {
        BoundingBox {
            least: Point::new(EDGE, EDGE + FOOT),
            greatest: Point::new(
                self.paper.long_side() - EDGE,
                self.paper.short_side() - BINDING,
            ),
        }
    }

    /// A page of its own lying on its side, drawn into the room it has.
    pub(in crate::drawing) fn lying(&mut self, draw: impl FnOnce(&mut Canvas, BoundingBox)) {
        self.turn();
        let mut canvas = Canvas::default();
        let room = self.lying_room();
        draw(&mut canvas, room);
        self.done.push((canvas, true));
    }

    /// The pages, numbered.
    pub(in crate::drawing) fn finish(mut self, title: &str) -> Vec<Drawing> {
        self.turn();
        let count = self.done.len();
        let (short, long) = (self.paper.short_side(), self.paper.long_side());
        let mut drawings = Vec::new();
        for (number, (mut canvas, lies)) in self.done.into_iter().enumerate() {
            let (width, height) = if lies { (long, short) } else { (short, long) };
            let left = if lies { EDGE } else { BINDING };
            let page = format!("Page {} of {count}", number + 1);
            let room = width - left - EDGE - text::width(&page, SMALL, Weight::Regular) - 4.0;
            let foot = text::shortened(&self.foot, SMALL, Weight::Regular, room);
            for (x, anchor, words) in [
                (left, Anchor::Start, &foot),
                (width - EDGE, Anchor::End, &page),
            ] {
                let at = Point::new(x, EDGE);
                canvas.text(Layer::Sheet, at, anchor, SMALL, Weight::Regular, words);
            }
            drawings.push(sheet(title, &page, canvas, (width, height), PRINTABLE));
        }
        drawings
    }
}

/// What stands in the cells of a row: the size of its letters and its lines, as large and as few as the columns allow.
fn cells(row: &[String], edges: &[f64]) -> Vec<(f64, Vec<String>)> {
    row.iter()
        .zip(edges.windows(2))
        .map(|(cell, edge)| {
            let most = edge[1] - edge[0] - 2.0;
            let cell = text::drawable(cell);
            let fits = |size: &f64| text::width(&cell, *size, Weight::Regular) <= most;
            match [BODY, SMALL].into_iter().find(fits) {
                Some(size) => (size, vec![cell]),
                None => (SMALL, text::wrapped(&cell, SMALL, Weight::Regular, most)),
            }
        })
        .collect()
}

/// A page or a sketch as a drawing of its own, all of it `frame` inside its edges.
pub(in crate::drawing) fn sheet(
    title: &str,
    description: &str,
    canvas: Canvas,
    (width, height): (f64, f64),
    frame: f64,
) -> Drawing {
    Drawing {
        width,
        height,
        title: text::drawable(title),
        description: text::drawable(description),
        scale: Scale::FULL,
        frame: BoundingBox {
            least: Point::new(frame, frame),
            greatest: Point::new(width - frame, height - frame),
        },
        marks: canvas.marks,
        unplaced: Vec::new(),
    }
}
