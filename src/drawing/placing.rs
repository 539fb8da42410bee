//! Where labels go. What a candidate costs by itself (lines under its text, length of leader) is counted
//! once; what it costs beside others (text over text, leaders through text) as they are placed: the most
//! constrained first, then each is taken out and put back at its best until nothing improves. A label that
//! would still lie over another is left out and reported.

use super::canvas::Canvas;
use super::label::{CLEAR, Candidate, Label, Tip, gap_tail};
use super::marks::{Anchor, Layer, Pen, TextBox};
use super::obstacles::{LINE_UNDER_TEXT, Obstacles, cross};
use super::paper::Style;
use super::text;
use crate::shape::Point;

/// Text over text, or a leader through a text.
const OVERLAP: f64 = 300.0;
/// Two leaders that cross.
const LEADERS_CROSS: f64 = 60.0;
/// Leaders nearer to each other than this, millimetres, are taken for one.
const STROKES_APART: f64 = 0.8;
/// Candidates kept of each label once their own cost is known.
const KEPT: usize = 160;
/// Rounds of taking out and putting back.
const ROUNDS: usize = 10;

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
pub(super) fn place(labels: Vec<Label>, obstacles: &mut Obstacles, style: &Style) -> Placed {
    let mut ready: Vec<Label> = labels
        .iter()
        .map(|label| Label {
            name: label.name.clone(),
            figure: label.figure.clone(),
            wordings: label.wordings.clone(),
            candidates: cheapest(&label.candidates, obstacles),
        })
        .map(unstruck)
        .collect();
    let mut chosen = choose(&ready);
    drop_overlapping(&ready, &mut chosen);
    for (index, label) in labels.iter().enumerate() {
        if chosen[index].is_none()
            && !label.name.is_empty()
            && let Some(candidate) = rescue(&label.candidates, obstacles, &ready, &chosen, index)
        {
            ready[index].candidates.push(candidate);
            chosen[index] = Some(ready[index].candidates.len() - 1);
        }
    }
    let mut placed = Placed::default();
    for (label, choice) in ready.iter().zip(&chosen) {
        if let Some(candidate) = choice.and_then(|index| label.candidates.get(index)) {
            draw(label, candidate, style, &mut placed);
            continue;
        }
        let stands_elsewhere = label.figure.is_some()
            && ready
                .iter()
                .zip(&chosen)
                .any(|(other, choice)| choice.is_some() && other.figure == label.figure);
        if !stands_elsewhere && !label.name.is_empty() {
            placed.unplaced.push(label.name.clone());
        }
    }
    placed
}

/// A label that may go without a word goes before a line strikes it out.
fn unstruck(mut label: Label) -> Label {
    if label.name.is_empty() {
        label
            .candidates
            .retain(|candidate| candidate.cost < LINE_UNDER_TEXT);
    }
    label
}

/// The [`KEPT`] candidates that cost least beside what already stands, the cheapest first. Obstacles only
/// add to a cost, so candidates are asked in the order of what they cost without, and no longer than needed.
fn cheapest(candidates: &[Candidate], obstacles: &mut Obstacles) -> Vec<Candidate> {
    let mut candidates: Vec<&Candidate> = candidates.iter().collect();
    candidates.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    let mut kept: Vec<Candidate> = Vec::new();
    for candidate in candidates {
        let most = kept
            .get(KEPT - 1)
            .map_or(f64::INFINITY, |dearest| dearest.cost);
        if most <= candidate.cost {
            break;
        }
        if let Some(costed) = costed(candidate, obstacles, most) {
            let place = kept.partition_point(|other| other.cost <= costed.cost);
            kept.insert(place, costed);
            kept.truncate(KEPT);
        }
    }
    kept
}

/// A candidate with what it costs beside what already stands; none where that is more than `most`.
fn costed(candidate: &Candidate, obstacles: &mut Obstacles, most: f64) -> Option<Candidate> {
    let cost = obstacles.cost(candidate, most)?;
    let mut reach = candidate.block.bounding_box().grown(CLEAR);
    for (start, end) in candidate.strokes() {
        reach.include(start);
        reach.include(end);
    }
    Some(Candidate {
        cost,
        reach,
        ..candidate.clone()
    })
}

/// The cheapest of all candidates of a label that lies over no other label; the one kept for last, when
/// the others stand.
fn rescue(
    candidates: &[Candidate],
    obstacles: &mut Obstacles,
    labels: &[Label],
    chosen: &[Option<usize>],
    index: usize,
) -> Option<Candidate> {
    let mut best: Option<Candidate> = None;
    for candidate in candidates {
        let most = best.as_ref().map_or(f64::INFINITY, |one| one.cost);
        let Some(mut costed) = costed(candidate, obstacles, most) else {
            continue;
        };
        let conflicts = beside(labels, chosen, index, &costed);
        costed.cost += conflicts;
        if conflicts < OVERLAP && costed.cost < most {
            best = Some(costed);
        }
    }
    best
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
            let (mut best, mut least) = (None, f64::INFINITY);
            for (number, candidate) in labels[index].candidates.iter().enumerate() {
                // They stand in the order of what they cost alone, so none after this can be better.
                if candidate.cost >= least {
                    break;
                }
                let cost = candidate.cost + beside(labels, &chosen, index, candidate);
                if cost < least {
                    (best, least) = (Some(number), cost);
                }
            }
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
    if through(a, &b.block.grown(CLEAR)) || through(b, &a.block.grown(CLEAR)) {
        cost += OVERLAP;
    }
    let crossing = a
        .strokes()
        .any(|one| b.strokes().any(|other| nearly_meet(one, other)));
    if crossing {
        cost += LEADERS_CROSS;
    }
    cost
}

/// Whether two strokes cross, or come so near that one is taken for a part of the other.
fn nearly_meet(one: (Point, Point), other: (Point, Point)) -> bool {
    let near = |point: Point, (start, end): (Point, Point)| {
        let along = end - start;
        let share = (point - start).dot(along) / along.dot(along).max(1e-9);
        point.distance(start.towards(end, share.clamp(0.0, 1.0))) < STROKES_APART
    };
    cross(one.0, one.1, other.0, other.1)
        || near(one.0, other)
        || near(one.1, other)
        || near(other.0, one)
        || near(other.1, one)
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
            Tip::Arrow | Tip::Radius => {
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
