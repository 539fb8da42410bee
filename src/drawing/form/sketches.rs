//! Sketches of how a deck is measured, not to scale: the line along the centreline, a station squared off it, ties from
//! marks, the round of the beam. Each is drawn once, for the measuring sheet and for the guide. The bow points left, as on
//! every drawing of a deck.

use super::super::canvas::Canvas;
use super::super::marks::{Anchor, Dash, Fill, Layer, Mark, Pen, Run, Weight};
use super::super::text;
use super::pages::{SMALL, THIN};
use crate::shape::{Arc, BoundingBox, Point, Ring, Segment};

/// A sketch, in millimetres from its lower left corner.
pub(super) struct Sketch {
    pub(super) name: &'static str,
    pub(super) title: &'static str,
    pub(super) width: f64,
    pub(super) height: f64,
    canvas: Canvas,
}

impl Sketch {
    fn new(name: &'static str, title: &'static str, height: f64) -> Self {
        Self {
            name,
            title,
            width: WIDTH,
            height,
            canvas: Canvas::default(),
        }
    }

    /// Its marks with its corner at `corner`.
    pub(super) fn moved(&self, corner: Point) -> impl Iterator<Item = Mark> {
        self.canvas
            .marks
            .iter()
            .map(move |mark| mark.shifted(corner))
    }

    pub(super) fn into_canvas(self) -> Canvas {
        self.canvas
    }

    fn line(&mut self, width: f64, dash: Dash, points: &[Point]) {
        let pen = Pen { width, dash };
        self.canvas.line(Layer::Sheet, pen, points);
    }

    fn words(&mut self, at: Point, anchor: Anchor, words: &str) {
        self.canvas
            .text(Layer::Labels, at, anchor, SMALL, Weight::Regular, words);
    }

    fn name(&mut self, at: Point, name: &str) {
        self.canvas.text(
            Layer::Labels,
            at,
            Anchor::Middle,
            SMALL * 1.2,
            Weight::Bold,
            name,
        );
    }

    /// Words beside a level stroke, and a leader from its end to what they are about.
    fn note(&mut self, at: Point, anchor: Anchor, words: &str, tip: Point) {
        self.words(at, anchor, words);
        let wide = text::width(words, SMALL, Weight::Regular);
        let (from, to) = match anchor {
            Anchor::Start => (at.x, at.x + wide),
            Anchor::Middle => (at.x - wide / 2.0, at.x + wide / 2.0),
            Anchor::End => (at.x - wide, at.x),
        };
        let low = at.y - SMALL * (text::DESCENT + 0.25);
        let high = at.y + SMALL * 1.35;
        let y = if tip.y < at.y { low } else { high };
        let start = Point::new(tip.x.clamp(from, to), y);
        self.line(THIN, Dash::Solid, &[start, tip]);
        self.canvas.arrowhead(Layer::Labels, tip, tip - start, 1.6);
    }

    fn deck(&mut self) {
        let ring = deck();
        self.canvas.ring(Layer::Outline, Pen::solid(0.4), &ring);
        let at = Point::new(1.0, MIDDLE - SMALL / 2.0);
        self.words(at, Anchor::Start, "bow");
    }

    /// The string, taped down at both ends.
    fn string(&mut self) {
        let (fore, aft) = (
            Point::new(STEM - 6.0, MIDDLE),
            Point::new(AFT + 8.0, MIDDLE),
        );
        self.line(0.5, Dash::Solid, &[fore, aft]);
        for at in [fore, aft] {
            let half = Point::new(1.2, 2.4);
            let bounds = BoundingBox {
                least: at - half,
                greatest: at + half,
            };
            self.canvas
                .rectangle(Layer::Sheet, None, Fill::Grey(0x99), bounds);
        }
    }

    /// A tape measure lying from one point to another.
    fn tape(&mut self, from: Point, to: Point, step: f64) {
        let along = (to - from).unit();
        let side = along.left() * -1.8;
        let ring = Ring::polygon(&[from, to, to + side, from + side]);
        self.canvas.ring(Layer::Sheet, Pen::solid(THIN), &ring);
        let mut at = 0.0;
        while at < from.distance(to) {
            let tick = from + along * at;
            self.line(THIN, Dash::Solid, &[tick, tick + side * 0.55]);
            at += step;
        }
    }

    /// A distance between two points with a head at either end.
    fn distance(&mut self, from: Point, to: Point) {
        self.line(THIN, Dash::Solid, &[from, to]);
        self.canvas.arrowhead(Layer::Sheet, from, from - to, 1.6);
        self.canvas.arrowhead(Layer::Sheet, to, to - from, 1.6);
    }
}

const WIDTH: f64 = 170.0;
/// The sketched deck: height of its centreline, stem, transom, half its greatest beam.
const MIDDLE: f64 = 33.0;
const STEM: f64 = 24.0;
const AFT: f64 = 148.0;
const HALF: f64 = 23.0;

fn deck() -> Ring {
    let stem = Point::new(STEM, MIDDLE);
    let side = |up: f64| {
        let shoulder = Point::new(STEM + 50.0, MIDDLE + up * 18.0);
        Arc::through(stem, shoulder, Point::new(AFT, MIDDLE + up * HALF))
    };
    let (Some(port), Some(starboard)) = (side(-1.0), side(1.0)) else {
        return Ring::polygon(&[stem]);
    };
    let transom = Segment::Line(port.end, starboard.end);
    Ring::new(vec![
        Segment::Arc(port),
        transom,
        Segment::Arc(starboard).reversed(),
    ])
}

/// How far the sketched deck's edge stands off its centreline at a place along it.
fn half_breadth(x: f64) -> f64 {
    let edge = deck();
    let Some(Segment::Arc(side)) = edge.segments().first() else {
        return 0.0;
    };
    let across = side.radius.powi(2) - (x - side.centre.x).powi(2);
    MIDDLE - (side.centre.y - across.max(0.0).sqrt())
}

/// All of them.
pub(super) fn all() -> Vec<Sketch> {
    vec![line(), station(), ties(), camber()]
}

/// The string along the centreline, with the long tape beside it.
pub(super) fn line() -> Sketch {
    let mut sketch = Sketch::new("line", "The string along the centreline", 66.0);
    sketch.deck();
    sketch.string();
    sketch.tape(
        Point::new(STEM, MIDDLE - 1.6),
        Point::new(AFT, MIDDLE - 1.6),
        3.0,
    );
    // Two beams, halved: the string lies over their middles.
    for x in [62.0, 128.0] {
        let reach = half_breadth(x);
        let edges = [reach, -reach].map(|up| Point::new(x, MIDDLE + up));
        sketch.line(THIN, Dash::Dashed, &edges);
        for up in [-0.5, 0.5] {
            for off in [-0.5, 0.5] {
                let at = Point::new(x, MIDDLE + up * reach + off);
                let half = Point::new(1.6, 0.0);
                sketch.line(0.3, Dash::Solid, &[at - half, at + half]);
            }
        }
        sketch.canvas.dot(Layer::Points, Point::new(x, MIDDLE), 0.9);
    }
    sketch
        .canvas
        .dot(Layer::Points, Point::new(STEM, MIDDLE), 0.9);
    let (above, below) = (MIDDLE + HALF + 5.0, MIDDLE - HALF - 6.0);
    sketch.note(
        Point::new(4.0, above - 6.0),
        Anchor::Start,
        "datum: the tape's nought",
        Point::new(STEM, MIDDLE + 1.2),
    );
    sketch.note(
        Point::new(62.0, above),
        Anchor::Middle,
        "middle of the beam, measured",
        Point::new(62.0, MIDDLE + 1.2),
    );
    sketch.note(
        Point::new(128.0, above),
        Anchor::Middle,
        "another, well aft",
        Point::new(128.0, MIDDLE + 1.2),
    );
    sketch.note(
        Point::new(94.0, below),
        Anchor::Middle,
        "the long tape, left lying along the string",
        Point::new(94.0, MIDDLE - 3.6),
    );
    sketch.note(
        Point::new(WIDTH, above - 6.0),
        Anchor::End,
        "taped down",
        Point::new(AFT + 8.0, MIDDLE + 2.8),
    );
    sketch
}

/// A half-breadth at a station, squared off the string.
pub(super) fn station() -> Sketch {
    let mut sketch = Sketch::new("station", "A half-breadth, squared off the string", 66.0);
    sketch.deck();
    sketch.string();
    for x in [
        27.0, 33.0, 42.0, 53.0, 66.0, 96.0, 109.0, 121.0, 131.0, 140.0, AFT,
    ] {
        let half = Point::new(0.0, 1.5);
        let at = Point::new(x, MIDDLE);
        sketch.line(0.3, Dash::Solid, &[at - half, at + half]);
    }
    let foot = Point::new(81.0, MIDDLE);
    let edge = Point::new(foot.x, MIDDLE + half_breadth(foot.x));
    sketch.line(0.3, Dash::Solid, &[foot, edge]);
    sketch.line(
        0.3,
        Dash::Solid,
        &[foot, foot - Point::new(0.0, half_breadth(foot.x))],
    );
    // Three along, four across, five between: six fives fit under the deck's edge.
    let unit = 4.0;
    let (along, across) = (
        foot + Point::new(3.0 * unit, 0.0),
        foot + Point::new(0.0, 4.0 * unit),
    );
    sketch.line(0.4, Dash::Solid, &[along, across]);
    for at in [foot, along, across] {
        sketch.canvas.dot(Layer::Points, at, 0.8);
    }
    sketch.name(foot + Point::new(1.5 * unit, -3.8), "3");
    sketch.name(foot + Point::new(-2.0, 2.0 * unit - 1.0), "4");
    sketch.name(along.towards(across, 0.5) + Point::new(2.6, 0.4), "5");
    let measure = foot.x - 7.0;
    let reach = half_breadth(foot.x);
    sketch.line(
        THIN,
        Dash::Solid,
        &[Point::new(measure - 1.5, MIDDLE + reach), edge],
    );
    sketch.distance(
        Point::new(measure, MIDDLE),
        Point::new(measure, MIDDLE + reach),
    );
    let (above, below) = (MIDDLE + HALF + 5.0, MIDDLE - HALF - 6.0);
    sketch.note(
        Point::new(44.0, above - 4.0),
        Anchor::Middle,
        "half-breadth to starboard",
        Point::new(measure, MIDDLE + 0.62 * reach),
    );
    sketch.note(
        Point::new(118.0, above),
        Anchor::Middle,
        "measured to the edge of what is painted",
        edge + Point::new(0.6, 0.3),
    );
    sketch.note(
        Point::new(104.0, below),
        Anchor::Middle,
        "and to port, from the same station",
        foot - Point::new(0.0, 0.6 * reach),
    );
    sketch.note(
        Point::new(22.0, below + 4.0),
        Anchor::Middle,
        "stations closer where the edge turns",
        Point::new(33.0, MIDDLE - 2.0),
    );
    sketch
}

/// A point tied to four marks, and the check distances among the marks.
pub(super) fn ties() -> Sketch {
    let mut sketch = Sketch::new("ties", "A point tied down, the marks checked", 66.0);
    sketch.deck();
    let marks = [
        ("A", Point::new(STEM + 10.0, MIDDLE), Point::new(0.0, 2.2)),
        ("B", Point::new(AFT - 6.0, MIDDLE), Point::new(3.0, -1.0)),
        ("C", Point::new(72.0, MIDDLE + 12.0), Point::new(-2.0, 1.6)),
        ("D", Point::new(72.0, MIDDLE - 12.0), Point::new(0.0, -4.2)),
        ("E", Point::new(112.0, MIDDLE - 14.0), Point::new(0.0, -4.2)),
    ];
    for (number, (_, from, _)) in marks.iter().enumerate() {
        for (_, to, _) in &marks[number + 1..] {
            sketch.line(THIN, Dash::Dashed, &[*from, *to]);
        }
    }
    let point = Point::new(118.0, MIDDLE + half_breadth(118.0));
    for (name, from, _) in &marks {
        if *name != "A" {
            sketch.line(0.4, Dash::Solid, &[*from, point]);
        }
    }
    for (name, at, off) in marks {
        let half = Point::new(1.3, 0.0);
        let up = Point::new(0.0, 1.3);
        let arms = vec![
            Run::open(&[at - half, at + half]),
            Run::open(&[at - up, at + up]),
        ];
        sketch
            .canvas
            .runs(Layer::Points, Some(Pen::solid(0.4)), Fill::None, arms);
        sketch.name(at + off, name);
    }
    sketch.canvas.dot(Layer::Points, point, 0.9);
    let (above, below) = (MIDDLE + HALF + 5.0, MIDDLE - HALF - 6.0);
    sketch.note(
        Point::new(134.0, above),
        Anchor::Middle,
        "point 7, tied to four marks",
        point + Point::new(0.6, 0.6),
    );
    sketch.note(
        Point::new(40.0, above - 3.0),
        Anchor::Middle,
        "dashed: check distances, every mark to every other",
        Point::new(53.0, MIDDLE + 6.3),
    );
    sketch.note(
        Point::new(20.0, below + 3.0),
        Anchor::Middle,
        "a mark: a cross on a piece of tape",
        Point::new(STEM + 9.4, MIDDLE - 1.8),
    );
    sketch
}

/// The round of the beam under a level batten.
pub(super) fn camber() -> Sketch {
    let mut sketch = Sketch::new("camber", "The round of the beam", 40.0);
    let (left, right, low, crown) = (30.0, 140.0, 15.0, 27.0);
    let middle = (left + right) / 2.0;
    let (port, starboard) = (Point::new(left, low), Point::new(right, low));
    if let Some(arc) = Arc::through(port, Point::new(middle, crown), starboard) {
        let deck = vec![Run {
            segments: vec![Segment::Arc(arc)],
            closed: false,
        }];
        sketch
            .canvas
            .runs(Layer::Outline, Some(Pen::solid(0.5)), Fill::None, deck);
    }
    let batten = Ring::polygon(&[
        Point::new(left - 6.0, crown),
        Point::new(right + 6.0, crown),
        Point::new(right + 6.0, crown + 2.2),
        Point::new(left - 6.0, crown + 2.2),
    ]);
    sketch.canvas.runs(
        Layer::Sheet,
        Some(Pen::solid(THIN)),
        Fill::Grey(0xdd),
        vec![Run::closed(&batten)],
    );
    for x in [left, right] {
        sketch.distance(Point::new(x, low), Point::new(x, crown));
        let foot = [Point::new(x, low - 1.5), Point::new(x, low - 9.0)];
        sketch.line(THIN, Dash::Solid, &foot);
    }
    sketch.distance(Point::new(left, low - 7.5), Point::new(right, low - 7.5));
    let at = Point::new(middle, low - 6.2);
    sketch.words(at, Anchor::Middle, "beam: the distance between the two");
    sketch.note(
        Point::new(middle, crown + 8.0),
        Anchor::Middle,
        "straight batten, touching the middle of the deck, level",
        Point::new(middle, crown + 2.3),
    );
    let half = low + (crown - low) * 0.5 - SMALL / 2.0;
    sketch.words(Point::new(left - 2.0, half), Anchor::End, "rise to port");
    sketch.words(
        Point::new(right + 2.0, half),
        Anchor::Start,
        "rise to starboard",
    );
    sketch
}
