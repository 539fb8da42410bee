//! What already stands on the sheet, lines and texts, in a grid for quick asking; and what a candidate
//! for a label costs among it.

use super::canvas::Canvas;
use super::label::{CLEAR, Candidate, Tip};
use super::marks::{Layer, Mark, TextBox};
use crate::shape::{BoundingBox, Point, Region, Segment};

/// What counts against a candidate: a line under its text that is cut round texts (the centreline).
const CUT_LINE_UNDER_TEXT: f64 = 12.0;
/// Any other line of the drawing under its text, which then strikes it out.
pub(super) const LINE_UNDER_TEXT: f64 = 90.0;
/// The name of an area on a leader, its text in another area.
const IN_ANOTHER_ZONE: f64 = 12.0;
/// A line that its leader crosses.
const LINE_CROSSED: f64 = 1.2;
/// An edge that the leader of a radius crosses: its arrowhead seems to point at that edge.
const EDGE_BEFORE_RADIUS: f64 = 9.0;

/// Lines and texts that already stand on the sheet, in a grid for quick asking.
pub(super) struct Obstacles {
    area: BoundingBox,
    columns: usize,
    rows: usize,
    chords: Vec<Chord>,
    cells: Vec<Vec<usize>>,
    /// Texts and the boxes along the axes round them.
    texts: Vec<(TextBox, BoundingBox)>,
    /// Room in line with the figures of dimensions, where another text would read as part of them.
    figures: Vec<TextBox>,
    /// Areas with labels of their own.
    zones: Vec<(Region, BoundingBox)>,
    /// The number of the question that a chord was last asked in, and of the present one.
    asked: Vec<u32>,
    asking: u32,
}

struct Chord {
    start: Point,
    end: Point,
    /// The edge of a zone, rather than a line that may be crossed.
    edge: bool,
    /// Cut round texts.
    is_cut: bool,
}

/// How far a dimension's figure keeps its line to itself, millimetres.
const OWN_LINE: f64 = 30.0;
/// What it costs to stand there.
const BESIDE_A_FIGURE: f64 = 70.0;

/// Side of a cell of the grid, millimetres.
const CELL: f64 = 6.0;

impl Obstacles {
    pub(super) fn new(area: BoundingBox) -> Self {
        let (columns, rows) = (
            whole(area.width() / CELL) + 1,
            whole(area.height() / CELL) + 1,
        );
        Self {
            area,
            columns,
            rows,
            chords: Vec::new(),
            cells: vec![Vec::new(); columns * rows],
            texts: Vec::new(),
            figures: Vec::new(),
            zones: Vec::new(),
            asked: Vec::new(),
            asking: 0,
        }
    }

    /// Takes up areas in which a label on a leader from elsewhere would mislead.
    pub(super) fn add_zones(&mut self, zones: &[Region]) {
        self.zones
            .extend(zones.iter().map(|zone| (zone.clone(), zone.bounding_box())));
    }

    /// Takes up the lines and texts of a canvas.
    pub(super) fn add(&mut self, canvas: &Canvas) {
        for mark in &canvas.marks {
            match mark {
                Mark::Path(path) => {
                    let edge = matches!(
                        path.layer,
                        Layer::Fields | Layer::Outline | Layer::Openings | Layer::Fittings
                    );
                    for segment in path.runs.iter().flat_map(|run| &run.segments) {
                        self.add_segment(segment, edge, path.layer == Layer::Centreline);
                    }
                }
                Mark::Text(text) => {
                    let layer = text.layer;
                    let text = text.text_box();
                    if layer == Layer::Dimensions {
                        self.figures.push(in_line(&text));
                    }
                    self.texts.push((text, text.bounding_box()));
                }
            }
        }
    }

    fn add_segment(&mut self, segment: &Segment, edge: bool, is_cut: bool) {
        // Chords of at most 3 mm: an arc of any use on a sheet stays within a tenth of a millimetre.
        let pieces = match segment {
            Segment::Line(..) => 1,
            Segment::Arc(_) => whole(segment.length() / 3.0).clamp(2, 400),
        };
        let share = |number: usize| number as f64 / pieces as f64;
        for number in 0..pieces {
            let (start, end) = (
                segment.point_at(share(number)),
                segment.point_at(share(number + 1)),
            );
            let index = self.chords.len();
            self.chords.push(Chord {
                start,
                end,
                edge,
                is_cut,
            });
            self.asked.push(0);
            let [columns, rows] = self.cells_of(BoundingBox::of_points([start, end]));
            for row in rows {
                for column in columns.clone() {
                    self.cells[row * self.columns + column].push(index);
                }
            }
        }
    }

    /// Columns and rows of the cells that a box touches.
    fn cells_of(&self, bounds: BoundingBox) -> [std::ops::RangeInclusive<usize>; 2] {
        let column = |x: f64| whole((x - self.area.least.x) / CELL).min(self.columns - 1);
        let row = |y: f64| whole((y - self.area.least.y) / CELL).min(self.rows - 1);
        [
            column(bounds.least.x)..=column(bounds.greatest.x),
            row(bounds.least.y)..=row(bounds.greatest.y),
        ]
    }

    /// Asks every line in the cells of a box once, until `ask` says that it is enough.
    fn ask_near(&mut self, bounds: BoundingBox, mut ask: impl FnMut(&Chord) -> bool) {
        self.asking += 1;
        let [columns, rows] = self.cells_of(bounds);
        for row in rows {
            for column in columns.clone() {
                for &index in &self.cells[row * self.columns + column] {
                    if self.asked[index] == self.asking {
                        continue;
                    }
                    self.asked[index] = self.asking;
                    if ask(&self.chords[index]) {
                        return;
                    }
                }
            }
        }
    }

    /// What a candidate costs by itself; none where it cannot stand at all, or costs more than `most`.
    pub(super) fn cost(&mut self, candidate: &Candidate, most: f64) -> Option<f64> {
        let bounds = candidate.block.bounding_box();
        let room = self.area;
        let fits = bounds.least.x >= room.least.x
            && bounds.least.y >= room.least.y
            && bounds.greatest.x <= room.greatest.x
            && bounds.greatest.y <= room.greatest.y;
        if !fits {
            return None;
        }
        let mut cost = candidate.cost;
        let mut stands = true;
        let clear = candidate.block.grown(0.4);
        self.ask_near(bounds.grown(0.5), |chord| {
            if clear.part_of_line(chord.start, chord.end).is_some() {
                cost += if chord.is_cut {
                    CUT_LINE_UNDER_TEXT
                } else {
                    LINE_UNDER_TEXT
                };
                stands &= !(chord.edge && candidate.inside) && cost <= most;
            }
            !stands
        });
        if let Some([tip, elbow, landing]) = candidate.leader.filter(|_| stands) {
            // The tip stands on a line of its own.
            let off = tip.towards(elbow, (0.5 / tip.distance(elbow).max(0.5)).min(1.0));
            for (start, end) in [(off, elbow), (elbow, landing)] {
                self.ask_near(BoundingBox::of_points([start, end]), |chord| {
                    if cross(start, end, chord.start, chord.end) {
                        cost += if chord.edge && candidate.tip == Tip::Radius {
                            EDGE_BEFORE_RADIUS
                        } else {
                            LINE_CROSSED
                        };
                    }
                    cost > most
                });
            }
        }
        if stands && candidate.tip == Tip::Dot && self.misleads(candidate.block.centre()) {
            cost += IN_ANOTHER_ZONE;
        }
        if stands
            && self
                .figures
                .iter()
                .any(|room| room.overlaps(&candidate.block))
        {
            cost += BESIDE_A_FIGURE;
        }
        stands &= cost <= most && !self.meets_text(candidate, bounds.grown(CLEAR));
        stands.then_some(cost)
    }

    fn misleads(&self, point: Point) -> bool {
        let at = BoundingBox::of_points([point]);
        self.zones
            .iter()
            .any(|(zone, around)| around.distance(&at) <= 0.0 && zone.contains(point))
    }

    /// Whether the text or the strokes of a candidate meet a text that already stands.
    fn meets_text(&self, candidate: &Candidate, bounds: BoundingBox) -> bool {
        let grown = candidate.block.grown(CLEAR);
        let over = self
            .texts
            .iter()
            .any(|(text, around)| around.distance(&bounds) <= 0.0 && text.overlaps(&grown));
        over || candidate.strokes().any(|(start, end)| {
            let stroke = BoundingBox::of_points([start, end]);
            self.texts.iter().any(|(text, around)| {
                around.distance(&stroke) <= 0.0 && text.part_of_line(start, end).is_some()
            })
        })
    }
}

/// The line of a figure, some way to both sides of it.
fn in_line(figure: &TextBox) -> TextBox {
    let [a, b, _, d] = figure.corners;
    let beyond = (b - a).unit() * OWN_LINE;
    TextBox::new(a - beyond, b - a + beyond * 2.0, d - a)
}

/// Whether two lines cross, ends not counted.
pub(super) fn cross(a: Point, b: Point, c: Point, d: Point) -> bool {
    let side = |from: Point, to: Point, point: Point| (to - from).cross(point - from);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a count of cells on a sheet of a metre; `as` saturates, negative to 0"
)]
fn whole(value: f64) -> usize {
    value as usize
}
