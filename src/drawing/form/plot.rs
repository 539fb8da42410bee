//! The squared page: the deck's centreline and squares to a standard scale, to plot every figure on as it is read. A figure
//! read wrong stands off the edge that the others make, while the boat is still there to measure again.

use super::super::canvas::{Canvas, Projection};
use super::super::figure;
use super::super::marks::{Anchor, Dash, Layer, Pen, Weight};
use super::super::paper::Scale;
use super::super::text;
use super::of_deck;
use super::pages::{BODY, Pages, SMALL, THIN};
use crate::outline::measuring::ToMeasure;
use crate::shape::{BoundingBox, Point};
use crate::units::{Length, LengthUnit};

/// White round the squares, for the figures along them.
const ROUND: f64 = 9.0;
/// How much more than the deck is expected to take the squares cover.
const SPARE: f64 = 1.06;

pub(super) fn page(pages: &mut Pages, deck: &ToMeasure, units: LengthUnit) {
    pages.lying(|canvas, room| draw(canvas, room, deck, units));
}

/// Distances between fine and heavy lines, millimetres on the deck.
struct Squares {
    fine: f64,
    heavy: f64,
}

impl Squares {
    /// The closest squares that stay 2 mm apart on the sheet, and heavy lines 12 mm or more.
    fn at(scale: Scale, units: LengthUnit) -> Self {
        let steps: &[f64] = if units.is_imperial() {
            &[25.4, 76.2, 152.4, 304.8, 914.4, 1524.0, 3048.0, 15_240.0]
        } else {
            &[10.0, 50.0, 100.0, 500.0, 1000.0, 5000.0, 10_000.0, 50_000.0]
        };
        let least = |apart: f64| {
            let wanted = steps.iter().find(|step| **step / scale.divisor() >= apart);
            wanted.copied().unwrap_or(1e6)
        };
        Self {
            fine: least(2.0),
            heavy: least(12.0),
        }
    }
}

fn draw(canvas: &mut Canvas, room: BoundingBox, deck: &ToMeasure, units: LengthUnit) {
    let head = room.greatest.y - BODY * 1.5;
    let squares_room = BoundingBox {
        least: room.least + Point::new(ROUND, ROUND),
        greatest: Point::new(room.greatest.x - 2.0, head - ROUND),
    };
    let scale = scale(squares_room, deck, units);
    let heading = of_deck("Plot", deck);
    let words = format!(
        "{heading}, {scale}. Plot every figure as you read it: the bow to the left, starboard above. One that stands off \
         the line of the others is read again."
    );
    let words = text::shortened(&text::drawable(&words), BODY, Weight::Regular, room.width());
    let at = Point::new(room.least.x, head);
    canvas.text(
        Layer::Sheet,
        at,
        Anchor::Start,
        BODY,
        Weight::Regular,
        &words,
    );

    let share = 1.0 / scale.divisor();
    let middle = squares_room.centre();
    let origin = middle - deck.extent.centre() * share;
    let squares = Squares::at(scale, units);
    lines(canvas, squares_room, origin, share, &squares, units);

    if squares_room.least.y < origin.y && origin.y < squares_room.greatest.y {
        let ends = [squares_room.least.x - 3.0, squares_room.greatest.x + 2.0];
        let chain = Pen {
            width: 0.3,
            dash: Dash::Chain,
        };
        canvas.line(
            Layer::Centreline,
            chain,
            &ends.map(|x| Point::new(x, origin.y)),
        );
    }
    // Stations stand on the centreline, or on the deck's own middle where that is off it.
    let along = if deck.is_to_one_side() {
        middle.y
    } else {
        origin.y
    };
    for station in &deck.stations {
        let x = origin.x + station.to_mm() * share;
        let ends = [-1.2, 1.2].map(|up| Point::new(x, along + up));
        canvas.line(Layer::Sheet, Pen::solid(0.3), &ends);
    }
    known(canvas, deck, Projection { share, origin });
}

/// The largest standard scale at which the deck, and some more, fits.
fn scale(room: BoundingBox, deck: &ToMeasure, units: LengthUnit) -> Scale {
    let (long, wide) = (deck.extent.width() * SPARE, deck.extent.height() * SPARE);
    let standard = Scale::standard(units.is_imperial());
    let fits = |scale: &&Scale| {
        long / scale.divisor() <= room.width() && wide / scale.divisor() <= room.height()
    };
    let fitting = standard.iter().find(fits);
    fitting.or(standard.last()).copied().unwrap_or(Scale::FULL)
}

/// The squares with the stations along their foot and the distances off the centreline beside them.
fn lines(
    canvas: &mut Canvas,
    room: BoundingBox,
    origin: Point,
    share: f64,
    squares: &Squares,
    units: LengthUnit,
) {
    for (step, width) in [(squares.fine, 0.09), (squares.heavy, THIN)] {
        let pen = Pen::solid(width);
        for x in multiples(
            step,
            (room.least.x - origin.x) / share,
            (room.greatest.x - origin.x) / share,
        ) {
            let x = origin.x + x * share;
            let ends = [room.least.y, room.greatest.y].map(|y| Point::new(x, y));
            canvas.line(Layer::Sheet, pen, &ends);
        }
        for y in multiples(
            step,
            (room.least.y - origin.y) / share,
            (room.greatest.y - origin.y) / share,
        ) {
            let y = origin.y + y * share;
            let ends = [room.least.x, room.greatest.x].map(|x| Point::new(x, y));
            canvas.line(Layer::Sheet, pen, &ends);
        }
    }
    let mut free_from = f64::NEG_INFINITY;
    for x in multiples(
        squares.heavy,
        (room.least.x - origin.x) / share,
        (room.greatest.x - origin.x) / share,
    ) {
        let words = figure::mark(Length::mm(x), units);
        let half = text::width(&words, SMALL, Weight::Regular) / 2.0;
        let at = Point::new(origin.x + x * share, room.least.y - SMALL * 1.8);
        if at.x - half < free_from {
            continue;
        }
        free_from = at.x + half + 2.0;
        canvas.text(
            Layer::Sheet,
            at,
            Anchor::Middle,
            SMALL,
            Weight::Regular,
            &words,
        );
    }
    let corner = Point::new(room.least.x, room.least.y - SMALL * 4.2);
    canvas.text(
        Layer::Sheet,
        corner,
        Anchor::Start,
        SMALL,
        Weight::Regular,
        &format!(
            "stations and distances off the centreline, {}",
            figure::units_name(units)
        ),
    );
    for y in multiples(
        squares.heavy,
        (room.least.y - origin.y) / share,
        (room.greatest.y - origin.y) / share,
    ) {
        let words = figure::mark(Length::mm(y.abs()), units);
        let at = Point::new(room.least.x - 1.2, origin.y + y * share - SMALL / 2.0);
        // The centreline's own line stands where nought would.
        if y != 0.0 {
            canvas.text(
                Layer::Sheet,
                at,
                Anchor::End,
                SMALL,
                Weight::Regular,
                &words,
            );
        }
    }
}

/// Whole multiples of `step` from `least` to `most`.
fn multiples(step: f64, least: f64, most: f64) -> Vec<f64> {
    let mut at = (least / step).ceil() * step;
    let mut found = Vec::new();
    while at <= most + 1e-9 {
        found.push(if at.abs() < step / 2.0 { 0.0 } else { at });
        at += step;
    }
    found
}

/// What a layout knows already, dashed: to see which is which, not to be measured from.
fn known(canvas: &mut Canvas, deck: &ToMeasure, projection: Projection) {
    for ring in &deck.known {
        let pen = Pen {
            width: THIN * 1.5,
            dash: Dash::Dashed,
        };
        canvas.ring(Layer::Outline, pen, &projection.ring(ring));
    }
}
