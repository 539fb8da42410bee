//! Labels and the places they may take: inside a zone, turned along it, full text first, then shorter; else
//! on a leader; or on the line of a distance.

use super::marks::{TextBox, Weight};
use super::paper::Style;
use super::text;
use crate::shape::{BoundingBox, Point};

/// A millimetre of leader.
const LEADER_LENGTH: f64 = 0.12;
/// White left round a text, millimetres.
pub(super) const CLEAR: f64 = 0.7;

/// One way of writing a label: its lines.
#[derive(Debug, Clone)]
pub(super) struct Wording {
    pub(super) lines: Vec<(String, Weight)>,
    /// Height of capitals.
    pub(super) height: f64,
    /// Width of the widest line.
    pub(super) width: f64,
    /// Height of all lines.
    pub(super) depth: f64,
}

impl Wording {
    pub(super) fn new(height: f64, lines: &[(&str, Weight)]) -> Self {
        let lines: Vec<(String, Weight)> = lines
            .iter()
            .map(|(line, weight)| (text::drawable(line), *weight))
            .collect();
        let width = lines
            .iter()
            .map(|(line, weight)| text::width(line, height, *weight))
            .fold(0.0, f64::max);
        let mut depth = height * text::BOX_HEIGHT;
        for _ in lines.iter().skip(1) {
            depth += height * text::LINE;
        }
        Self {
            lines,
            height,
            width,
            depth,
        }
    }

    /// The block of text with its middle at `centre`.
    fn block(&self, centre: Point, turn: f64) -> TextBox {
        let (along, up) = (
            Point::at_angle(turn) * self.width,
            Point::at_angle(turn).left() * self.depth,
        );
        TextBox::new(centre - along * 0.5 - up * 0.5, along, up)
    }
}

/// What a leader ends with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tip {
    /// An arrowhead on a line.
    Arrow,
    /// An arrowhead on an arc, square to it.
    Radius,
    /// A dot in an area.
    Dot,
    /// Nothing: the end of a dimension's tail.
    Bare,
}

/// One place for a label.
#[derive(Debug, Clone)]
pub(super) struct Candidate {
    pub(super) wording: usize,
    pub(super) block: TextBox,
    pub(super) turn: f64,
    /// From the tip to the text.
    pub(super) leader: Option<[Point; 3]>,
    pub(super) tip: Tip,
    /// A distance that the label names, drawn between two arrows: its ends.
    pub(super) gap: Option<[Point; 2]>,
    /// How far the line of the distance reaches beyond its ends.
    pub(super) tail: f64,
    /// May not have an edge of a zone under it.
    pub(super) inside: bool,
    /// The box round text and strokes; known once the candidate is kept.
    pub(super) reach: BoundingBox,
    pub(super) cost: f64,
}

impl Candidate {
    /// Its leader and the line of its distance.
    pub(super) fn strokes(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
        let leader = self
            .leader
            .iter()
            .flat_map(|points| points.windows(2).map(|pair| (pair[0], pair[1])));
        let gap = self.gap.map(|[from, to]| {
            let out = (to - from).unit() * self.tail;
            (from - out, to + out)
        });
        leader.chain(gap)
    }
}

/// A label and all its candidates.
#[derive(Debug, Clone)]
pub(super) struct Label {
    /// What the sheet says where it finds no room.
    pub(super) name: String,
    /// A figure that need not stand on every deck once it stands on one.
    pub(super) figure: Option<String>,
    pub(super) wordings: Vec<Wording>,
    pub(super) candidates: Vec<Candidate>,
}

impl Label {
    pub(super) fn new(name: &str, wordings: Vec<Wording>) -> Self {
        Self {
            name: name.to_owned(),
            figure: None,
            wordings,
            candidates: Vec::new(),
        }
    }

    /// With its middle at `centre`, where no edge of a zone may run under it.
    pub(super) fn inside(&mut self, wording: usize, centre: Point, turn: f64, cost: f64) {
        self.at(wording, centre, turn, cost);
        if let Some(last) = self.candidates.last_mut() {
            last.inside = true;
        }
    }

    /// With its middle at `centre`.
    pub(super) fn at(&mut self, wording: usize, centre: Point, turn: f64, cost: f64) {
        if let Some(block) = self
            .wordings
            .get(wording)
            .map(|one| one.block(centre, turn))
        {
            self.candidates.push(Candidate {
                wording,
                block,
                turn,
                leader: None,
                tip: Tip::Bare,
                gap: None,
                tail: 0.0,
                inside: false,
                reach: BoundingBox::EMPTY,
                cost,
            });
        }
    }

    /// On a leader from `tip` towards `direction`, `length` long, with a short level landing.
    pub(super) fn on_leader(
        &mut self,
        wording: usize,
        from: Point,
        tip: Tip,
        direction: Point,
        length: f64,
        cost: f64,
    ) {
        let Some(words) = self.wordings.get(wording) else {
            return;
        };
        let side = if direction.x >= -1e-9 { 1.0 } else { -1.0 };
        let elbow = from + direction * length;
        let landing = elbow + Point::new(side * 2.0, 0.0);
        let centre = landing + Point::new(side * (words.width / 2.0 + CLEAR + 0.1), 0.0);
        self.candidates.push(Candidate {
            wording,
            block: words.block(centre, 0.0),
            turn: 0.0,
            leader: Some([from, elbow, landing]),
            tip,
            gap: None,
            tail: 0.0,
            inside: false,
            reach: BoundingBox::EMPTY,
            cost: cost + (length + 2.0) * LEADER_LENGTH,
        });
    }

    /// On the line of a dimension across a gap: between its arrows where there is room, else beyond them.
    pub(super) fn on_gap(&mut self, [from, to]: [Point; 2], style: &Style, cost: f64) {
        let Some(words) = self.wordings.first() else {
            return;
        };
        let (width, depth) = (words.width, words.depth);
        let first = self.candidates.len();
        let tail = gap_tail(from, to, style);
        if tail == 0.0 && from.distance(to) > width + 2.0 * style.arrow {
            let along = (to - from).unit();
            let readable = readable(along);
            let centre = from.towards(to, 0.5) + readable.left() * (depth / 2.0 + 0.2);
            self.at(0, centre, readable.angle(), cost - 1.0);
        }
        for (near, far) in [(from, to), (to, from)] {
            let out = (near - far).unit();
            let start = near + out * (tail + 0.5);
            let end = start + out * (width + 0.5);
            let readable = readable(out);
            let centre = start.towards(end, 0.5) + readable.left() * (depth / 2.0 + 0.2);
            self.at(0, centre, readable.angle(), cost);
            if let Some(last) = self.candidates.last_mut() {
                last.leader = Some([near, start, end]);
            }
        }
        self.with_gap(first, [from, to], style);
    }

    /// On leaders in all directions and several lengths; `favoured` (a unit vector) costs least.
    pub(super) fn around(
        &mut self,
        wording: usize,
        tips: &[(Point, Point)],
        tip: Tip,
        style: &Style,
        cost: f64,
    ) {
        for (from, favoured) in tips {
            for number in 0..16 {
                let direction =
                    Point::at_angle(f64::from(number) * std::f64::consts::TAU / 16.0 + 0.2);
                let away = 1.0 - direction.dot(*favoured);
                let most = match tip {
                    Tip::Arrow => 1.3,
                    Tip::Radius => 0.35,
                    Tip::Dot | Tip::Bare => 2.0,
                };
                if away > most {
                    continue;
                }
                for length in [4.0, 7.0, 11.0, 16.0, 22.0, 30.0, 40.0, 55.0] {
                    let length = length * style.note / 2.5;
                    self.on_leader(wording, *from, tip, direction, length, cost + 1.5 * away);
                }
            }
        }
    }

    /// Gives every candidate so far that has no gap of its own the arrows of this one.
    pub(super) fn with_gap(&mut self, from: usize, gap: [Point; 2], style: &Style) {
        for candidate in self.candidates.iter_mut().skip(from) {
            candidate.gap = Some(gap);
            candidate.tail = gap_tail(gap[0], gap[1], style);
        }
    }
}

/// A direction or its opposite, whichever a text along it is read in from below or from the right.
pub(super) fn readable(direction: Point) -> Point {
    // 15° past upright still reads from the right.
    let angle = direction.angle().to_degrees();
    if (-75.0..105.0).contains(&angle) {
        direction
    } else {
        -direction
    }
}

/// How far the line of a distance reaches beyond its ends: not at all where its arrows fit between them.
pub(super) fn gap_tail(from: Point, to: Point, style: &Style) -> f64 {
    if from.distance(to) > 3.0 * style.arrow {
        0.0
    } else {
        1.6 * style.arrow
    }
}
