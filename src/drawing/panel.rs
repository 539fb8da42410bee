//! Panels of a sheet: legend, notes, tables, the scale bar. A panel is a list of rows; drawing it on a
//! scratch canvas measures it.

use std::f64::consts::FRAC_PI_4;

use super::canvas::{Canvas, rectangle};
use super::hatch::hatch;
use super::marks::{Anchor, Dash, Fill, Layer, Pen, Run, Weight};
use super::paper::Style;
use super::text;
use crate::shape::{Arc, BoundingBox, Point, Region, Ring, Segment};

/// Tint of line tape.
pub(super) const LINE_TAPE_GREY: u8 = 0x78;
/// Tint of edge tape.
pub(super) const EDGE_TAPE_GREY: u8 = 0xcc;

/// One row of a panel.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Row {
    Heading(String),
    Paragraph(String),
    Swatch(Swatch, String),
    Table(Vec<Vec<String>>),
    /// A bar of known length: numbers at its marks, and how long a step is on the sheet.
    ScaleBar {
        marks: Vec<String>,
        step: f64,
    },
    /// Where the tape lies, not to scale.
    TapeSketch {
        fields_are_painted: bool,
    },
}

/// What a legend explains.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Swatch {
    NonSkid,
    Smooth,
    Opening,
    InPlace,
    Lifted,
    Centreline,
    Distance,
    Area,
    LineTape,
    RunBegin,
    TightBend,
    EdgeTape,
    Cover,
    Painted,
    Comb,
    Ringed,
    Difference,
    Mark,
    Point,
    Doubt,
    Ellipse,
    Residual,
    Tie,
    WrongTie,
    /// A flat grey.
    Tint(u8),
    Walk,
}

/// Draws `rows` from `top` down; returns where they end.
pub(super) fn draw(
    canvas: &mut Canvas,
    style: &Style,
    rows: &[Row],
    left: f64,
    top: f64,
    width: f64,
) -> f64 {
    let mut y = top;
    let line = style.small * text::LINE;
    for row in rows {
        match row {
            Row::Heading(heading) => {
                y -= style.note * 1.75;
                text_at(canvas, style.note, Weight::Bold, left, y, heading, width);
                y -= style.note * 0.45;
            }
            Row::Paragraph(paragraph) => {
                for words in wrapped(paragraph, style.small, width) {
                    y -= line;
                    text_at(canvas, style.small, Weight::Regular, left, y, &words, width);
                }
                y -= style.small * 0.5;
            }
            Row::Swatch(swatch, meaning) => {
                let (wide, high) = (style.small * 5.5, style.small * 2.0);
                let bounds = BoundingBox {
                    least: Point::new(left, y - high - style.small * 0.3),
                    greatest: Point::new(left + wide, y - style.small * 0.3),
                };
                draw_swatch(canvas, style, *swatch, bounds);
                let indent = wide + style.small * 1.2;
                let lines = wrapped(meaning, style.small, width - indent);
                let mut base = bounds.centre().y - style.small * 0.5;
                if lines.len() > 1 {
                    base += line / 2.0;
                }
                for words in &lines {
                    let x = left + indent;
                    text_at(
                        canvas,
                        style.small,
                        Weight::Regular,
                        x,
                        base,
                        words,
                        width - indent,
                    );
                    base -= line;
                }
                y = bounds.least.y.min(base + line - style.small * 0.4) - style.small * 0.3;
            }
            Row::Table(cells) => y = table(canvas, style, cells, left, y, width),
            Row::ScaleBar { marks, step } => y = scale_bar(canvas, style, marks, *step, left, y),
            Row::TapeSketch { fields_are_painted } => {
                y = tape_sketch(canvas, style, *fields_are_painted, left, y, width);
            }
        }
    }
    y
}

/// Height of `rows` at a width.
pub(super) fn height(style: &Style, rows: &[Row], width: f64) -> f64 {
    -draw(&mut Canvas::default(), style, rows, 0.0, 0.0, width)
}

fn wrapped(words: &str, height: f64, width: f64) -> Vec<String> {
    text::wrapped(&text::drawable(words), height, Weight::Regular, width)
}

fn text_at(
    canvas: &mut Canvas,
    height: f64,
    weight: Weight,
    x: f64,
    y: f64,
    words: &str,
    width: f64,
) {
    let words = text::shortened(&text::drawable(words), height, weight, width);
    canvas.text(
        Layer::Sheet,
        Point::new(x, y),
        Anchor::Start,
        height,
        weight,
        &words,
    );
}

fn draw_swatch(canvas: &mut Canvas, style: &Style, swatch: Swatch, bounds: BoundingBox) {
    let thin = Some(Pen::solid(style.thin));
    let hatch_pen = Some(Pen::solid(style.hatch));
    let region = Region::inside(rectangle(bounds));
    let (left, right) = (bounds.least.x, bounds.greatest.x);
    let middle = bounds.centre();
    let layer = Layer::Sheet;
    match swatch {
        Swatch::NonSkid => {
            let lines = hatch(&region, FRAC_PI_4, style.hatch_step * 0.6, &[]);
            canvas.runs(layer, hatch_pen, Fill::None, lines);
            canvas.rectangle(layer, thin, Fill::None, bounds);
        }
        Swatch::Smooth | Swatch::Painted => canvas.rectangle(layer, thin, Fill::None, bounds),
        Swatch::Opening => {
            canvas.rectangle(layer, thin, Fill::None, bounds);
            for diagonal in diagonals(bounds) {
                canvas.line(layer, Pen::solid(style.hatch), &diagonal);
            }
        }
        Swatch::InPlace | Swatch::Lifted => {
            let radius = bounds.height() / 2.0;
            let dash = if swatch == Swatch::Lifted {
                Dash::Dashed
            } else {
                Dash::Solid
            };
            let pen = Pen {
                width: style.thin,
                dash,
            };
            canvas.ring(layer, pen, &Ring::circle(middle, radius));
            centre_mark(canvas, layer, style, middle, radius * 0.5);
        }
        Swatch::Centreline => {
            // Shorter than the dashes of a real one, so drawn piece by piece.
            let width = right - left;
            for (from, to) in [(0.0, 0.38), (0.48, 0.52), (0.62, 1.0)] {
                let ends = [from, to].map(|share| Point::new(left + width * share, middle.y));
                canvas.line(layer, Pen::solid(style.thin), &ends);
            }
        }
        Swatch::Distance => {
            let (a, b) = (
                middle - Point::new(style.small * 0.7, 0.0),
                middle + Point::new(style.small * 0.7, 0.0),
            );
            let up = Point::new(0.0, bounds.height() / 2.0);
            for end in [a, b] {
                canvas.line(layer, Pen::solid(style.thin), &[end - up, end + up]);
            }
            let pen = Pen::solid(style.thin * 0.72);
            canvas.line(
                layer,
                pen,
                &[Point::new(left, middle.y), Point::new(right, middle.y)],
            );
            let east = Point::new(1.0, 0.0);
            canvas.arrowhead(layer, a, east, style.small * 0.9);
            canvas.arrowhead(layer, b, -east, style.small * 0.9);
        }
        Swatch::Area => {
            let pen = Pen {
                width: style.thin,
                dash: Dash::Dotted,
            };
            canvas.rectangle(layer, Some(pen), Fill::None, bounds);
        }
        Swatch::LineTape => {
            canvas.rectangle(layer, None, Fill::Grey(LINE_TAPE_GREY), bounds);
            let top = [Point::new(left, bounds.greatest.y), bounds.greatest];
            canvas.line(layer, Pen::solid(style.thick), &top);
        }
        Swatch::RunBegin => {
            let at = Point::new(left + bounds.width() * 0.3, middle.y);
            run_begin(
                canvas,
                layer,
                style,
                at,
                Point::new(1.0, 0.0),
                bounds.height() * 0.35,
            );
        }
        Swatch::TightBend => tight_bend(canvas, layer, style, middle, bounds.height() * 0.22),
        Swatch::Mark => triangle(canvas, layer, middle, bounds.height() * 0.4),
        Swatch::Point => canvas.dot(layer, middle, bounds.height() * 0.15),
        Swatch::Doubt => doubt(canvas, layer, style, middle, bounds.height() * 0.3),
        Swatch::Ellipse => {
            // As a stadium: the difference does not show at this size.
            let (half, radius) = (bounds.height() * 0.3, bounds.height() * 0.32);
            let ends = [
                middle - Point::new(half, 0.0),
                middle + Point::new(half, 0.0),
            ];
            canvas.ring(layer, Pen::solid(style.thin), &stadium(ends, radius));
            canvas.dot(layer, middle, bounds.height() * 0.15);
        }
        Swatch::Residual => {
            canvas.dot(layer, middle, bounds.height() * 0.15);
            let end = middle + Point::new(bounds.width() * 0.3, bounds.height() * 0.3);
            canvas.line(layer, Pen::solid(style.thick), &[middle, end]);
        }
        Swatch::Tie | Swatch::WrongTie => {
            let ends = [Point::new(left, middle.y), Point::new(right, middle.y)];
            let pen = if swatch == Swatch::Tie {
                Pen::solid(style.hatch * 0.5)
            } else {
                Pen {
                    width: style.thick,
                    dash: Dash::Dashed,
                }
            };
            canvas.line(layer, pen, &ends);
        }
        Swatch::Tint(grey) => canvas.rectangle(layer, thin, Fill::Grey(grey), bounds),
        Swatch::Walk => {
            let pen = Pen {
                width: style.thick,
                dash: Dash::Dashed,
            };
            let ends = [Point::new(left, middle.y), Point::new(right, middle.y)];
            canvas.line(layer, pen, &ends);
        }
        Swatch::EdgeTape => canvas.rectangle(layer, thin, Fill::Grey(EDGE_TAPE_GREY), bounds),
        Swatch::Comb => {
            let base = [Point::new(left, bounds.greatest.y), bounds.greatest];
            canvas.line(layer, Pen::solid(style.thick), &base);
            for step in 0..=6_u32 {
                let share = f64::from(step) / 6.0;
                let root = base[0].towards(base[1], share);
                let tip = root - Point::new(0.0, bounds.height() * (0.4 + 0.6 * share));
                canvas.line(layer, Pen::solid(style.hatch), &[root, tip]);
            }
        }
        Swatch::Ringed => {
            let ring = Ring::circle(middle, bounds.height() / 2.0);
            canvas.ring(layer, Pen::solid(style.thick), &ring);
            canvas.dot(layer, middle, style.thick * 0.9);
        }
        Swatch::Difference => {
            for (share, size) in [(0.3, 0.5), (0.6, 0.8), (0.9, 1.0)] {
                let x = left + (right - left) * share;
                let foot = Point::new(x, bounds.least.y);
                let head = foot + Point::new(0.0, bounds.height() * size);
                canvas.line(layer, Pen::solid(style.thick), &[foot, head]);
            }
        }
        Swatch::Cover => {
            cover(canvas, layer, style, &region, 0.6, &[]);
            canvas.rectangle(layer, thin, Fill::None, bounds);
        }
    }
}

/// The two diagonals of a box, as holes are drawn.
pub(super) fn diagonals(bounds: BoundingBox) -> [[Point; 2]; 2] {
    let (least, greatest) = (bounds.least, bounds.greatest);
    [
        [least, greatest],
        [
            Point::new(least.x, greatest.y),
            Point::new(greatest.x, least.y),
        ],
    ]
}

/// Where a run of tape begins: a tick across it and an arrow the way it is laid.
pub(super) fn run_begin(
    canvas: &mut Canvas,
    layer: Layer,
    style: &Style,
    at: Point,
    way: Point,
    half: f64,
) {
    let across = way.left() * half;
    canvas.line(layer, Pen::solid(style.thick), &[at - across, at + across]);
    canvas.arrowhead(layer, at + way * (style.arrow * 1.1), way, style.arrow);
}

/// A corner that the tape cannot bend round.
pub(super) fn tight_bend(canvas: &mut Canvas, layer: Layer, style: &Style, at: Point, radius: f64) {
    let ring = vec![Run::closed(&Ring::circle(at, radius))];
    canvas.runs(layer, Some(Pen::solid(style.thin)), Fill::Grey(255), ring);
}

/// A filled triangle about `at`: a mark.
pub(super) fn triangle(canvas: &mut Canvas, layer: Layer, at: Point, size: f64) {
    let corner = |degrees: f64| at + Point::at_angle(degrees.to_radians()) * size;
    let ring = Ring::polygon(&[corner(90.0), corner(210.0), corner(330.0)]);
    canvas.runs(layer, None, Fill::Grey(0), vec![Run::closed(&ring)]);
}

/// A ring about a point that nothing checks.
pub(super) fn doubt(canvas: &mut Canvas, layer: Layer, style: &Style, at: Point, radius: f64) {
    canvas.ring(layer, Pen::solid(style.thick), &Ring::circle(at, radius));
}

/// Every point within `radius` of the line between two points.
fn stadium([from, to]: [Point; 2], radius: f64) -> Ring {
    let side = (to - from).unit().left() * radius;
    let cap = |start, end, centre| {
        Segment::Arc(Arc {
            start,
            end,
            centre,
            radius,
            sweep: std::f64::consts::PI,
        })
    };
    Ring::new(vec![
        Segment::Line(from - side, to - side),
        cap(to - side, to + side, to),
        Segment::Line(to + side, from + side),
        cap(from + side, from - side, from),
    ])
}

/// A cross at the middle of a fitting.
pub(super) fn centre_mark(canvas: &mut Canvas, layer: Layer, style: &Style, at: Point, arm: f64) {
    let pen = Pen::solid(style.hatch);
    for step in [Point::new(arm, 0.0), Point::new(0.0, arm)] {
        canvas.line(layer, pen, &[at - step, at + step]);
    }
}

/// The crossed hatch of what is covered.
pub(super) fn cover(
    canvas: &mut Canvas,
    layer: Layer,
    style: &Style,
    region: &Region,
    close: f64,
    cut: &[super::marks::TextBox],
) {
    let pen = Some(Pen::solid(style.hatch * 0.8));
    let step = style.hatch_step * close;
    let mut lines: Vec<Run> = hatch(region, FRAC_PI_4, step, cut);
    lines.extend(hatch(region, -FRAC_PI_4, step, cut));
    canvas.runs(layer, pen, Fill::None, lines);
}

fn table(
    canvas: &mut Canvas,
    style: &Style,
    cells: &[Vec<String>],
    left: f64,
    top: f64,
    width: f64,
) -> f64 {
    let gap = style.small * 1.5;
    let columns = cells.iter().map(Vec::len).max().unwrap_or(0);
    let measure = |words: &str, weight| text::width(&text::drawable(words), style.small, weight);
    let widths: Vec<f64> = (0..columns)
        .map(|column| {
            cells
                .iter()
                .filter_map(|row| row.get(column))
                .map(|cell| measure(cell, Weight::Bold))
                .fold(0.0, f64::max)
        })
        .collect();
    let figures: f64 = widths.iter().skip(1).map(|one| one + gap).sum();
    let first = widths.first().copied().unwrap_or(0.0).min(width - figures);
    let mut y = top;
    for (number, row) in cells.iter().enumerate() {
        let weight = if number == 0 {
            Weight::Bold
        } else {
            Weight::Regular
        };
        y -= style.small * text::LINE;
        let mut right = left + first;
        for (column, cell) in row.iter().enumerate() {
            if column == 0 {
                text_at(canvas, style.small, weight, left, y, cell, first);
            } else {
                right += widths[column] + gap;
                canvas.text(
                    Layer::Sheet,
                    Point::new(right, y),
                    Anchor::End,
                    style.small,
                    weight,
                    cell,
                );
            }
        }
        if number == 0 {
            let rule = y - style.small * 0.42;
            let pen = Pen::solid(style.hatch);
            canvas.line(
                Layer::Sheet,
                pen,
                &[Point::new(left, rule), Point::new(right, rule)],
            );
            y -= style.small * 0.3;
        }
    }
    y - style.small
}

fn scale_bar(
    canvas: &mut Canvas,
    style: &Style,
    marks: &[String],
    step: f64,
    left: f64,
    top: f64,
) -> f64 {
    let thick = style.small * 0.8;
    let first = marks.first().map_or(0.0, |mark| {
        text::width(&text::drawable(mark), style.small, Weight::Regular) / 2.0
    });
    let (mut x, low) = (left + first, top - style.small * 3.6);
    for (number, mark) in marks.iter().enumerate() {
        let at = Point::new(x, low + thick + style.small * 0.6);
        canvas.text(
            Layer::Sheet,
            at,
            Anchor::Middle,
            style.small,
            Weight::Regular,
            mark,
        );
        if number + 1 < marks.len() {
            let bounds = BoundingBox {
                least: Point::new(x, low),
                greatest: Point::new(x + step, low + thick),
            };
            let fill = if number % 2 == 0 {
                Fill::Grey(0)
            } else {
                Fill::None
            };
            canvas.rectangle(Layer::Sheet, Some(Pen::solid(style.thin)), fill, bounds);
        }
        x += step;
    }
    low - style.small
}

/// A strip from outside the deck's edge to the middle of a field, with what lies where in this pass.
fn tape_sketch(
    canvas: &mut Canvas,
    style: &Style,
    fields_are_painted: bool,
    left: f64,
    top: f64,
    width: f64,
) -> f64 {
    let layer = Layer::Sheet;
    let unit = style.small;
    let width = width.min(unit * 46.0);
    let (edge, line) = (left + width * 0.22, left + width * 0.58);
    let right = left + width;
    let (high, low) = (top - unit * 3.0, top - unit * 9.0);
    let column = |from: f64, to: f64| BoundingBox {
        least: Point::new(from, low),
        greatest: Point::new(to, high),
    };
    let tape = width * 0.1;
    let small = |canvas: &mut Canvas, x: f64, y: f64, words: &str, weight| {
        canvas.text(layer, Point::new(x, y), Anchor::Middle, unit, weight, words);
    };
    let (word_at, above, below) = (
        (high + low) / 2.0 - unit / 2.0,
        high + unit * 0.7,
        low - unit * 1.7,
    );
    let (covered, tape_from) = if fields_are_painted {
        (column(edge, line - tape), line - tape)
    } else {
        (column(line + tape, right), line)
    };
    let word_of = |bounds: BoundingBox, words: &str| {
        let wide = text::width(words, unit, Weight::Bold);
        super::marks::TextBox::new(
            Point::new(bounds.centre().x - wide / 2.0, word_at - unit * 0.3),
            Point::new(wide, 0.0),
            Point::new(0.0, unit * text::BOX_HEIGHT),
        )
        .grown(super::label::CLEAR)
    };
    let cut = [word_of(covered, "COVER")];
    cover(
        canvas,
        layer,
        style,
        &Region::inside(rectangle(covered)),
        0.6,
        &cut,
    );
    small(canvas, covered.centre().x, word_at, "COVER", Weight::Bold);
    let painted = if fields_are_painted {
        column(line, right)
    } else {
        column(edge, line)
    };
    small(canvas, painted.centre().x, word_at, "PAINT", Weight::Bold);
    if !fields_are_painted {
        let bounds = column(edge - tape * 1.4, edge);
        canvas.rectangle(layer, None, Fill::Grey(EDGE_TAPE_GREY), bounds);
        small(canvas, bounds.least.x, above, "edge tape", Weight::Regular);
    }
    let bounds = column(tape_from, tape_from + tape);
    canvas.rectangle(layer, None, Fill::Grey(LINE_TAPE_GREY), bounds);
    small(
        canvas,
        bounds.centre().x,
        above,
        "line tape",
        Weight::Regular,
    );
    for (x, words, pen) in [
        (edge, "deck edge", style.thick),
        (line, "paint line", style.thick * 1.4),
    ] {
        let ends = [Point::new(x, low - unit * 0.5), Point::new(x, high)];
        canvas.line(layer, Pen::solid(pen), &ends);
        small(canvas, x, below, words, Weight::Regular);
    }
    for y in [high, low] {
        let ends = [Point::new(edge, y), Point::new(right, y)];
        canvas.line(layer, Pen::solid(style.hatch), &ends);
    }
    let field = (line + right) / 2.0 + width * 0.04;
    small(canvas, field, below, "field", Weight::Regular);
    let border = (edge + line) / 2.0;
    small(canvas, border, below, "border", Weight::Regular);
    below - unit
}
