//! Fine parallel lines that fill a region exactly to its lines and arcs, cut round the texts on it.

use super::marks::{Run, TextBox};
use crate::shape::{Point, Region, Segment};

/// Pieces of hatch shorter than this are left out, millimetres.
const SHORTEST: f64 = 0.25;
/// The family of lines stands a little off round coordinates, so that none runs along an edge.
const PHASE: f64 = 0.013_7;

/// Lines at `angle` (radians), `step` apart, over the inside of `region` less the boxes `cut`.
pub(super) fn hatch(region: &Region, angle: f64, step: f64, cut: &[TextBox]) -> Vec<Run> {
    let along = Point::at_angle(angle);
    let across = along.left();
    let pieces: Vec<Monotone> = region
        .segments()
        .flat_map(|segment| monotone(segment, across))
        .collect();
    let (least, most) = pieces.iter().fold(
        (f64::INFINITY, f64::NEG_INFINITY),
        |(least, most), piece| (least.min(piece.low), most.max(piece.high)),
    );
    let mut runs = Vec::new();
    let mut level = ((least - PHASE) / step).ceil() * step + PHASE;
    while level < most {
        let mut crossings: Vec<f64> = pieces
            .iter()
            .filter(|piece| piece.low <= level && level < piece.high)
            .map(|piece| piece.crossing(level, along, across))
            .collect();
        crossings.sort_by(f64::total_cmp);
        for pair in crossings.chunks_exact(2) {
            let (start, end) = (
                along * pair[0] + across * level,
                along * pair[1] + across * level,
            );
            runs.extend(outside_boxes(start, end, cut));
        }
        level += step;
    }
    runs
}

/// What of the line from `start` to `end` lies in a region.
pub(super) fn inside_region(region: &Region, start: Point, end: Point) -> Vec<[Point; 2]> {
    let along = (end - start).unit();
    let across = along.left();
    // A hair off, so that the line meets no corner exactly.
    let level = start.dot(across) + 1e-7;
    let mut crossings: Vec<f64> = region
        .segments()
        .flat_map(|segment| monotone(segment, across))
        .filter(|piece| piece.low <= level && level < piece.high)
        .map(|piece| piece.crossing(level, along, across))
        .collect();
    crossings.sort_by(f64::total_cmp);
    let (first, last) = (start.dot(along), end.dot(along));
    crossings
        .chunks_exact(2)
        .map(|pair| (pair[0].max(first), pair[1].min(last)))
        .filter(|(from, to)| to - from > SHORTEST)
        .map(|(from, to)| [from, to].map(|at| start + along * (at - first)))
        .collect()
}

/// What of a line is left outside some boxes.
pub(super) fn outside_boxes(start: Point, end: Point, cut: &[TextBox]) -> Vec<Run> {
    let mut taken: Vec<(f64, f64)> = cut
        .iter()
        .filter_map(|text| text.part_of_line(start, end))
        .collect();
    taken.sort_by(|a, b| a.0.total_cmp(&b.0));
    let length = start.distance(end);
    let mut left = Vec::new();
    let mut from = 0.0_f64;
    for (begin, finish) in taken.into_iter().chain([(1.0, 1.0)]) {
        if (begin - from) * length >= SHORTEST {
            left.push(Run::open(&[
                start.towards(end, from),
                start.towards(end, begin),
            ]));
        }
        from = from.max(finish);
    }
    left
}

/// A piece of boundary that crosses every line of the family at most once.
struct Monotone {
    segment: Segment,
    low: f64,
    high: f64,
}

impl Monotone {
    /// Where along the line at `level` the piece crosses it.
    fn crossing(&self, level: f64, along: Point, across: Point) -> f64 {
        let (start, end) = (self.segment.start(), self.segment.end());
        match &self.segment {
            Segment::Line(..) => {
                let (from, to) = (start.dot(across), end.dot(across));
                start.towards(end, (level - from) / (to - from)).dot(along)
            }
            Segment::Arc(arc) => {
                let height = level - arc.centre.dot(across);
                let half = (arc.radius * arc.radius - height * height).max(0.0).sqrt();
                let middle = self.segment.point_at(0.5).dot(along) - arc.centre.dot(along);
                arc.centre.dot(along) + half.copysign(middle)
            }
        }
    }
}

fn monotone(segment: &Segment, across: Point) -> Vec<Monotone> {
    let mut cuts = vec![0.0, 1.0];
    if let Segment::Arc(arc) = segment {
        let top = across.angle();
        for angle in [top, top + std::f64::consts::PI] {
            cuts.extend(
                arc.share_at_angle(angle)
                    .filter(|share| *share > 0.0 && *share < 1.0),
            );
        }
        cuts.sort_by(f64::total_cmp);
    }
    cuts.windows(2)
        .map(|pair| {
            let segment = if pair[0] == 0.0 && pair[1] == 1.0 {
                *segment
            } else {
                segment.part(pair[0], pair[1])
            };
            let (from, to) = (segment.start().dot(across), segment.end().dot(across));
            Monotone {
                segment,
                low: from.min(to),
                high: from.max(to),
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::Ring;

    fn total(runs: &[Run]) -> f64 {
        runs.iter()
            .flat_map(|run| &run.segments)
            .map(Segment::length)
            .sum()
    }

    #[test]
    fn hatch_of_a_disc_with_a_hole_covers_its_area() {
        // Lines a step apart stand for a step's width of area each (Cavalieri).
        let region = Region::new(vec![
            Ring::circle(Point::new(3.0, 4.0), 40.0),
            Ring::circle(Point::new(8.0, 1.0), 15.0).reversed(),
        ]);
        let step = 0.05;
        let covered = total(&hatch(&region, 0.7, step, &[])) * step;
        assert!((covered / region.area() - 1.0).abs() < 1e-3, "{covered}");
    }

    #[test]
    fn every_hatch_line_stays_inside() {
        let region = Region::new(vec![
            Ring::circle(Point::ORIGIN, 40.0),
            Ring::polygon(&[
                Point::new(-10.0, -10.0),
                Point::new(-10.0, 10.0),
                Point::new(10.0, 10.0),
                Point::new(10.0, -10.0),
            ]),
        ]);
        for run in hatch(&region, std::f64::consts::FRAC_PI_4, 1.0, &[]) {
            for share in [0.001, 0.5, 0.999] {
                assert!(region.contains(run.segments[0].point_at(share)));
            }
        }
    }

    #[test]
    fn hatch_is_cut_round_a_text() {
        let region = Region::inside(Ring::circle(Point::ORIGIN, 40.0));
        let text = TextBox::new(
            Point::new(-10.0, -2.0),
            Point::new(20.0, 0.0),
            Point::new(0.0, 4.0),
        );
        let inner = text.grown(-0.01);
        for run in hatch(&region, 0.8, 1.0, &[text]) {
            let (start, end) = (run.segments[0].start(), run.segments[0].end());
            assert!(inner.part_of_line(start, end).is_none());
        }
    }
}
