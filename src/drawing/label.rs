//! Where labels go. Each label has candidates: inside its zone, turned along it, full text first, then
//! shorter; else on a leader. What a candidate costs by itself (lines under its text, length of leader) is
//! counted once; what it costs beside others (text over text, leaders through text) as they are placed:
//! the most constrained first, then each is taken out and put back at its best until nothing improves.
//! A label that would still lie over another is left out and reported.

use super::canvas::Canvas;
use super::hatch::outside_boxes;
use super::marks::{Anchor, Layer, Mark, Pen, Run, TextBox, Weight};
use super::paper::Style;
use super::text;
use crate::shape::{BoundingBox, Point, Segment};

/// What counts against a candidate: a line of the drawing under its text.
const LINE_UNDER_TEXT: f64 = 6.0;
/// An edge of a zone under its text.
const EDGE_UNDER_TEXT: f64 = 14.0;
/// A line that its leader crosses.
const LINE_CROSSED: f64 = 1.2;
/// A millimetre of leader.
const LEADER_LENGTH: f64 = 0.12;
/// Text over text, or a leader through a text.
const OVERLAP: f64 = 300.0;
/// Two leaders that cross.
const LEADERS_CROSS: f64 = 60.0;
/// Candidates kept of each label once their own cost is known.
const KEPT: usize = 60;
/// Rounds of taking out and putting back.
const ROUNDS: usize = 6;
/// White left round a text, millimetres.
pub(super) const CLEAR: f64 = 0.7;

/// One way of writing a label: its lines.
#[derive(Debug, Clone)]
pub(super) struct Wording {
    lines: Vec<(String, Weight)>,
    height: f64,
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
    /// A dot in an area.
    Dot,
    /// Nothing: the end of a dimension's tail.
    Bare,
}

/// One place for a label.
#[derive(Debug, Clone)]
pub(super) struct Candidate {
    wording: usize,
    block: TextBox,
    turn: f64,
    /// From the tip to the text.
    leader: Option<[Point; 3]>,
    tip: Tip,
    /// A distance that the label names, drawn between two arrows: its ends.
    gap: Option<[Point; 2]>,
    /// How far the line of the distance reaches beyond its ends.
    tail: f64,
    /// May not have an edge of a zone under it.
    inside: bool,
    /// The box round text and strokes; known once the candidate is kept.
    reach: BoundingBox,
    cost: f64,
}

impl Candidate {
    fn strokes(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
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
    pub(super) wordings: Vec<Wording>,
    pub(super) candidates: Vec<Candidate>,
}

impl Label {
    pub(super) fn new(name: &str, wordings: Vec<Wording>) -> Self {
        Self {
            name: name.to_owned(),
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
            let readable = if along.x > 1e-6 || (along.x.abs() <= 1e-6 && along.y > 0.0) {
                along
            } else {
                -along
            };
            let centre = from.towards(to, 0.5) + readable.left() * (depth / 2.0 + 0.2);
            self.at(0, centre, readable.angle(), cost - 1.0);
        }
        for (near, far) in [(from, to), (to, from)] {
            let out = (near - far).unit();
            let start = near + out * (tail + 0.5);
            let end = start + out * (width + 0.5);
            let readable = if out.x > 1e-6 || (out.x.abs() <= 1e-6 && out.y > 0.0) {
                out
            } else {
                -out
            };
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
                if tip == Tip::Arrow && away > 1.3 {
                    continue;
                }
                for length in [4.0, 7.0, 11.0, 16.0, 22.0, 30.0] {
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

/// Lines and texts that already stand on the sheet, in a grid for quick asking.
pub(super) struct Obstacles {
    area: BoundingBox,
    columns: usize,
    rows: usize,
    chords: Vec<Chord>,
    cells: Vec<Vec<usize>>,
    texts: Vec<TextBox>,
}

struct Chord {
    start: Point,
    end: Point,
    /// The edge of a zone, rather than a line that may be crossed.
    edge: bool,
}

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
        }
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
                        self.add_segment(segment, edge);
                    }
                }
                Mark::Text(text) => self.texts.push(text.text_box()),
            }
        }
    }

    fn add_segment(&mut self, segment: &Segment, edge: bool) {
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
            self.chords.push(Chord { start, end, edge });
            for cell in self.cells_of(BoundingBox::of_points([start, end])) {
                self.cells[cell].push(index);
            }
        }
    }

    fn cells_of(&self, bounds: BoundingBox) -> Vec<usize> {
        let column = |x: f64| whole((x - self.area.least.x) / CELL).min(self.columns - 1);
        let row = |y: f64| whole((y - self.area.least.y) / CELL).min(self.rows - 1);
        let columns = column(bounds.least.x)..=column(bounds.greatest.x);
        (row(bounds.least.y)..=row(bounds.greatest.y))
            .flat_map(|row| columns.clone().map(move |column| (row, column)))
            .map(|(row, column)| row * self.columns + column)
            .collect()
    }

    fn chords_near(&self, bounds: BoundingBox) -> Vec<&Chord> {
        let mut found: Vec<usize> = self
            .cells_of(bounds)
            .into_iter()
            .flat_map(|cell| self.cells[cell].iter().copied())
            .collect();
        found.sort_unstable();
        found.dedup();
        found.into_iter().map(|index| &self.chords[index]).collect()
    }

    /// What a candidate costs by itself; none where it cannot stand at all.
    fn cost(&self, candidate: &Candidate) -> Option<f64> {
        let bounds = candidate.block.bounding_box();
        let room = self.area;
        let fits = bounds.least.x >= room.least.x
            && bounds.least.y >= room.least.y
            && bounds.greatest.x <= room.greatest.x
            && bounds.greatest.y <= room.greatest.y;
        let grown = candidate.block.grown(CLEAR);
        if !fits || self.texts.iter().any(|text| text.overlaps(&grown)) {
            return None;
        }
        let mut cost = candidate.cost;
        let clear = candidate.block.grown(0.4);
        for chord in self.chords_near(bounds.grown(0.5)) {
            if clear.part_of_line(chord.start, chord.end).is_some() {
                if chord.edge && candidate.inside {
                    return None;
                }
                cost += if chord.edge {
                    EDGE_UNDER_TEXT
                } else {
                    LINE_UNDER_TEXT
                };
            }
        }
        let over_text = candidate.strokes().any(|(start, end)| {
            self.texts
                .iter()
                .any(|text| text.part_of_line(start, end).is_some())
        });
        if over_text {
            return None;
        }
        if let Some([tip, elbow, landing]) = candidate.leader {
            // The tip stands on a line of its own.
            let off = tip.towards(elbow, (0.5 / tip.distance(elbow).max(0.5)).min(1.0));
            for (start, end) in [(off, elbow), (elbow, landing)] {
                let crossed = self
                    .chords_near(BoundingBox::of_points([start, end]))
                    .iter()
                    .filter(|chord| cross(start, end, chord.start, chord.end))
                    .count();
                cost += LINE_CROSSED * crossed as f64;
            }
        }
        Some(cost)
    }
}

/// What became of the labels.
#[derive(Debug, Default)]
pub(super) struct Placed {
    /// Leaders and texts.
    pub(super) canvas: Canvas,
    /// Boxes that hatches and crosses leave white.
    pub(super) boxes: Vec<TextBox>,
    /// Labels that found no room.
    pub(super) unplaced: Vec<String>,
}

/// Places all labels and draws them.
pub(super) fn place(labels: Vec<Label>, obstacles: &Obstacles, style: &Style) -> Placed {
    let mut ready: Vec<Label> = Vec::new();
    let mut placed = Placed::default();
    for mut label in labels {
        label.candidates = cheapest(label.candidates, obstacles);
        if label.candidates.is_empty() {
            placed.unplaced.push(label.name);
        } else {
            ready.push(label);
        }
    }
    let mut chosen = choose(&ready);
    drop_overlapping(&ready, &mut chosen);
    for (label, choice) in ready.iter().zip(&chosen) {
        match choice.and_then(|index| label.candidates.get(index)) {
            Some(candidate) => draw(label, candidate, style, &mut placed),
            None => placed.unplaced.push(label.name.clone()),
        }
    }
    placed
}

/// The [`KEPT`] candidates that cost least beside what already stands, the cheapest first. Obstacles only
/// add to a cost, so candidates are asked in the order of what they cost without, and no longer than needed.
fn cheapest(mut candidates: Vec<Candidate>, obstacles: &Obstacles) -> Vec<Candidate> {
    candidates.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    let mut kept: Vec<Candidate> = Vec::new();
    for candidate in candidates {
        let full = kept.get(KEPT - 1);
        if full.is_some_and(|dearest| dearest.cost <= candidate.cost) {
            break;
        }
        if let Some(cost) = obstacles.cost(&candidate) {
            let place = kept.partition_point(|other| other.cost <= cost);
            let mut reach = candidate.block.bounding_box().grown(CLEAR);
            for (start, end) in candidate.strokes() {
                reach.include(start);
                reach.include(end);
            }
            let kept_one = Candidate {
                cost,
                reach,
                ..candidate
            };
            kept.insert(place, kept_one);
            kept.truncate(KEPT);
        }
    }
    kept
}

/// The index of the best candidate of each label.
fn choose(labels: &[Label]) -> Vec<Option<usize>> {
    let mut order: Vec<usize> = (0..labels.len()).collect();
    // The most constrained have the fewest candidates near their best.
    let freedom = |label: &Label| {
        let best = label.candidates.first().map_or(0.0, |first| first.cost);
        label
            .candidates
            .iter()
            .filter(|one| one.cost < best + 6.0)
            .count()
    };
    order.sort_by_key(|index| freedom(&labels[*index]));
    let mut chosen: Vec<Option<usize>> = vec![None; labels.len()];
    for _ in 0..ROUNDS {
        let mut moved = false;
        for &index in &order {
            let best = labels[index]
                .candidates
                .iter()
                .enumerate()
                .map(|(number, candidate)| {
                    (
                        candidate.cost + beside(labels, &chosen, index, candidate),
                        number,
                    )
                })
                .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)))
                .map(|(_, number)| number);
            moved |= chosen[index] != best;
            chosen[index] = best;
        }
        if !moved {
            break;
        }
    }
    chosen
}

/// What a candidate costs beside the labels placed so far.
fn beside(labels: &[Label], chosen: &[Option<usize>], index: usize, candidate: &Candidate) -> f64 {
    labels
        .iter()
        .zip(chosen)
        .enumerate()
        .filter(|(other, _)| *other != index)
        .filter_map(|(_, (label, choice))| label.candidates.get((*choice)?))
        .map(|other| conflict(candidate, other))
        .sum()
}

fn conflict(a: &Candidate, b: &Candidate) -> f64 {
    // Most stand nowhere near each other.
    if a.reach.distance(&b.reach) > 0.0 {
        return 0.0;
    }
    let mut cost = 0.0;
    let (box_a, box_b) = (a.block.grown(CLEAR), b.block);
    if box_a.overlaps(&box_b) {
        cost += OVERLAP;
    }
    let through = |strokes: &Candidate, text: &TextBox| {
        strokes
            .strokes()
            .any(|(start, end)| text.part_of_line(start, end).is_some())
    };
    if through(a, &b.block.grown(0.3)) || through(b, &a.block.grown(0.3)) {
        cost += OVERLAP;
    }
    let crossing = a
        .strokes()
        .any(|(start, end)| b.strokes().any(|(from, to)| cross(start, end, from, to)));
    if crossing {
        cost += LEADERS_CROSS;
    }
    cost
}

/// Leaves out labels, the last given first, until none lies over another.
fn drop_overlapping(labels: &[Label], chosen: &mut [Option<usize>]) {
    for index in (0..labels.len()).rev() {
        let over = chosen[index]
            .and_then(|number| labels[index].candidates.get(number))
            .is_some_and(|candidate| beside(labels, chosen, index, candidate) >= OVERLAP);
        if over {
            chosen[index] = None;
        }
    }
}

fn draw(label: &Label, candidate: &Candidate, style: &Style, placed: &mut Placed) {
    let pen = Pen::solid(style.thin * 0.72);
    let canvas = &mut placed.canvas;
    if let Some([from, to]) = candidate.gap {
        draw_gap(canvas, from, to, style);
    }
    if let Some(points) = candidate.leader {
        canvas.line(Layer::Labels, pen, &points);
        match candidate.tip {
            Tip::Arrow => {
                canvas.arrowhead(Layer::Labels, points[0], points[0] - points[1], style.arrow);
            }
            Tip::Dot => canvas.dot(Layer::Labels, points[0], style.arrow * 0.2),
            Tip::Bare => {}
        }
    }
    let Some(wording) = label.wordings.get(candidate.wording) else {
        return;
    };
    let up = Point::at_angle(candidate.turn).left();
    let [a, b, c, d] = candidate.block.corners;
    let mut at = a.towards(b, 0.5).towards(c.towards(d, 0.5), 1.0)
        - up * (wording.height * (text::BOX_HEIGHT - text::DESCENT));
    for (line, weight) in &wording.lines {
        canvas.turned_text(
            Layer::Labels,
            at,
            Anchor::Middle,
            wording.height,
            *weight,
            line,
            candidate.turn,
        );
        at = at - up * (wording.height * text::LINE);
    }
    placed.boxes.push(candidate.block.grown(CLEAR));
}

/// How far the line of a distance reaches beyond its ends: not at all where its arrows fit between them.
fn gap_tail(from: Point, to: Point, style: &Style) -> f64 {
    if from.distance(to) > 3.0 * style.arrow {
        0.0
    } else {
        1.6 * style.arrow
    }
}

/// The arrows of a distance: between its ends where there is room, else pointing at them from outside.
fn draw_gap(canvas: &mut Canvas, from: Point, to: Point, style: &Style) {
    let pen = Pen::solid(style.thin * 0.72);
    let along = (to - from).unit();
    let tail = gap_tail(from, to, style);
    canvas.line(
        Layer::Labels,
        pen,
        &[from - along * tail, to + along * tail],
    );
    let sign = if tail == 0.0 { -1.0 } else { 1.0 };
    let head = style.arrow * 0.8;
    canvas.arrowhead(Layer::Labels, from, along * sign, head);
    canvas.arrowhead(Layer::Labels, to, along * -sign, head);
}

/// A line cut round the boxes of placed texts.
pub(super) fn cut_line(start: Point, end: Point, boxes: &[TextBox]) -> Vec<Run> {
    outside_boxes(start, end, boxes)
}

/// Whether two lines cross, ends not counted.
fn cross(a: Point, b: Point, c: Point, d: Point) -> bool {
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
