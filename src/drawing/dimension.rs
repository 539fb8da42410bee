//! Overall dimensions: extension lines, dimension line with arrowheads, the figure above the line, readable
//! from below or from the right. The first line stands well clear of the outline, the next 7 mm apart
//! (ISO 129, from memory).

use super::canvas::Canvas;
use super::marks::{Anchor, Layer, Pen, Weight};
use super::paper::Style;
use super::text;
use crate::shape::Point;

/// Gap between the deck and an extension line, millimetres.
const OFF: f64 = 1.0;
/// How far an extension line passes the dimension line, millimetres.
const PASS: f64 = 2.0;

/// A distance along one axis, in deck millimetres, with the point at either end that it is measured from.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Span {
    pub(super) from: Point,
    pub(super) to: Point,
    pub(super) figure: String,
}

/// Distance between dimension lines.
pub(super) fn apart(style: &Style) -> f64 {
    (style.figure * 1.9).max(7.0)
}

/// Puts spans into as few rows as they need, the shorter nearer to the deck. `at` gives the coordinate
/// that counts.
pub(super) fn rows(mut spans: Vec<Span>, at: impl Fn(Point) -> f64) -> Vec<Vec<Span>> {
    let ends = |span: &Span| {
        let (a, b) = (at(span.from), at(span.to));
        (a.min(b), a.max(b))
    };
    spans.sort_by(|a, b| {
        let (a, b) = (ends(a), ends(b));
        (a.1 - a.0)
            .total_cmp(&(b.1 - b.0))
            .then(a.0.total_cmp(&b.0))
    });
    let mut rows: Vec<Vec<Span>> = Vec::new();
    for span in spans {
        let (least, most) = ends(&span);
        // Lengths that are already there are not said twice.
        let known = rows.iter().flatten().any(|other| {
            let other = ends(other);
            (other.0 - least).abs() < 0.5 && (other.1 - most).abs() < 0.5
        });
        if known {
            continue;
        }
        // A longer span never lies nearer to the deck than a shorter one that it covers.
        let taken = rows
            .iter()
            .rposition(|row| {
                row.iter().any(|other| {
                    let other = ends(other);
                    other.0 < most - 0.5 && least < other.1 - 0.5
                })
            })
            .map_or(0, |row| row + 1);
        match rows.get_mut(taken) {
            Some(row) => row.push(span),
            None => rows.push(vec![span]),
        }
    }
    rows
}

/// Draws a level dimension between two points of the sheet at height `y`, below them.
pub(super) fn level(
    canvas: &mut Canvas,
    style: &Style,
    from: Point,
    to: Point,
    y: f64,
    figure: &str,
) {
    for end in [from, to] {
        let tip = Point::new(end.x, y - PASS);
        canvas.line(
            Layer::Dimensions,
            Pen::solid(style.thin),
            &[Point::new(end.x, end.y - OFF), tip],
        );
    }
    between(
        canvas,
        style,
        Point::new(from.x.min(to.x), y),
        Point::new(from.x.max(to.x), y),
        figure,
    );
}

/// Draws an upright dimension between two points of the sheet at `x`, beside them.
pub(super) fn upright(
    canvas: &mut Canvas,
    style: &Style,
    from: Point,
    to: Point,
    x: f64,
    figure: &str,
) {
    for end in [from, to] {
        let side = (x - end.x).signum();
        canvas.line(
            Layer::Dimensions,
            Pen::solid(style.thin),
            &[
                Point::new(end.x + side * OFF, end.y),
                Point::new(x + side * PASS, end.y),
            ],
        );
    }
    between(
        canvas,
        style,
        Point::new(x, from.y.min(to.y)),
        Point::new(x, from.y.max(to.y)),
        figure,
    );
}

fn between(canvas: &mut Canvas, style: &Style, from: Point, to: Point, figure: &str) {
    let along = (to - from).unit();
    let width = text::width(figure, style.figure, Weight::Regular);
    let room = from.distance(to);
    let inside = room > 2.5 * style.arrow;
    let fits = room > width + 1.0;
    let tail = if inside { 0.0 } else { 2.0 * style.arrow };
    let pen = Pen::solid(style.thin);
    canvas.line(
        Layer::Dimensions,
        pen,
        &[from - along * tail, to + along * tail],
    );
    let sign = if inside { -1.0 } else { 1.0 };
    canvas.arrowhead(Layer::Dimensions, from, along * sign, style.arrow);
    canvas.arrowhead(Layer::Dimensions, to, along * -sign, style.arrow);
    let middle = if fits {
        from.towards(to, 0.5)
    } else {
        to + along * (tail + 1.0 + width / 2.0)
    };
    if !fits {
        canvas.line(
            Layer::Dimensions,
            pen,
            &[to, to + along * (tail + 1.0 + width)],
        );
    }
    let up = along.left() * (style.figure * text::DESCENT + 0.3);
    canvas.turned_text(
        Layer::Dimensions,
        middle + up,
        Anchor::Middle,
        style.figure,
        Weight::Regular,
        figure,
        along.angle(),
    );
}
