//! Dense and traced outlines: the few lines and arcs that stand for them, judged by dense samples of
//! both boundaries against each other, by closed forms, and by what must not change.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on has failed"
)]
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "counts of samples and numbers of cells are small"
)]

use std::collections::BTreeMap;
use std::f64::consts::{PI, TAU};
use std::time::{Duration, Instant};

use proptest::prelude::*;
use spile::outline::{DeckPlan, trace};
use spile::shape::{FittedRun, Point, Ring, Segment, fit_chain, fit_ring, turn_between};
use spile::units::Length;

/// Tolerance of every fit here, millimetres: what the outline stage asks for.
const WITHIN: f64 = 0.01;

fn fitted(points: &[Point]) -> Vec<FittedRun> {
    fit_ring(points, &[], Length::mm(WITHIN))
}

fn ring_of(runs: &[FittedRun]) -> Ring {
    Ring::new(runs.iter().map(|run| run.segment).collect())
}

fn rounded(points: &[Point], to: f64) -> Vec<Point> {
    let round = |value: f64| (value / to).round() * to;
    let mut points: Vec<Point> = points
        .iter()
        .map(|point| Point::new(round(point.x), round(point.y)))
        .collect();
    points.dedup();
    points
}

// Boundaries.

fn circle(count: usize, radius: f64) -> Vec<Point> {
    (0..count)
        .map(|i| {
            Point::new(700.0, -300.0) + Point::at_angle(TAU * i as f64 / count as f64) * radius
        })
        .collect()
}

fn ellipse(count: usize, a: f64, b: f64) -> Vec<Point> {
    (0..count)
        .map(|i| {
            let (sin, cos) = (TAU * i as f64 / count as f64).sin_cos();
            Point::new(a * cos, b * sin)
        })
        .collect()
}

/// A boat with a sharp bow at the origin, superelliptic sides and a straight transom with two corners.
fn boat(count: usize) -> Vec<Point> {
    let (length, breadth) = (9000.0, 1500.0);
    let side = count * 9 / 20;
    let half = |u: f64| {
        // More points where it bends more.
        let x = length * u * (0.5 + 0.5 * u);
        let fore = 1.0 - (1.0 - x / length).powf(2.2);
        Point::new(x, breadth * fore * (1.0 - 0.15 * (x / length).powi(3)))
    };
    let port: Vec<Point> = (0..=side)
        .map(|i| half(i as f64 / side as f64).mirrored())
        .collect();
    let quarter = port[side];
    let across = count - 2 * side;
    let transom = (1..across).map(|i| {
        let share = i as f64 / across as f64;
        Point::new(quarter.x, quarter.y * (1.0 - 2.0 * share))
    });
    let starboard = port[1..].iter().rev().map(|point| point.mirrored());
    port.iter()
        .copied()
        .chain(transom)
        .chain(starboard)
        .collect()
}

// An independent judge: every sample of one boundary to the nearest piece of the other.

/// Pieces by the cells of a grid that they pass, for nearest distances up to half a cell.
struct Cells {
    size: f64,
    cells: BTreeMap<(i64, i64), Vec<Segment>>,
}

impl Cells {
    fn of(segments: &[Segment], size: f64) -> Self {
        let mut cells: BTreeMap<(i64, i64), Vec<Segment>> = BTreeMap::new();
        for segment in segments {
            let parts = (segment.length() / (size / 8.0)).ceil().max(1.0);
            let mut last = None;
            for i in 0..=parts as usize {
                let cell = Self::cell(segment.point_at(i as f64 / parts), size);
                if last == Some(cell) {
                    continue;
                }
                last = Some(cell);
                let list = cells.entry(cell).or_default();
                if list.last() != Some(segment) {
                    list.push(*segment);
                }
            }
        }
        Self { size, cells }
    }

    fn cell(point: Point, size: f64) -> (i64, i64) {
        (
            (point.x / size).floor() as i64,
            (point.y / size).floor() as i64,
        )
    }

    fn distance(&self, point: Point) -> f64 {
        let (x, y) = Self::cell(point, self.size);
        let mut least = f64::INFINITY;
        for cell in (x - 1..=x + 1).flat_map(|x| (y - 1..=y + 1).map(move |y| (x, y))) {
            for segment in self.cells.get(&cell).into_iter().flatten() {
                least = least.min(distance(segment, point));
            }
        }
        least
    }
}

/// Distance of a point from a line or arc, worked out here and not by the crate.
fn distance(segment: &Segment, point: Point) -> f64 {
    let ends = (point - segment.start())
        .length()
        .min((point - segment.end()).length());
    match segment {
        Segment::Line(a, b) => {
            let along = *b - *a;
            let share = (point - *a).dot(along) / along.dot(along);
            if (0.0..=1.0).contains(&share) {
                ((point - *a).cross(along) / along.length()).abs()
            } else {
                ends
            }
        }
        Segment::Arc(arc) => {
            let (from, to) = (arc.start - arc.centre, point - arc.centre);
            let mut turn = from.cross(to).atan2(from.dot(to)) * arc.sweep.signum();
            if turn < 0.0 {
                turn += TAU;
            }
            if turn <= arc.sweep.abs() {
                (to.length() - arc.radius).abs()
            } else {
                ends
            }
        }
    }
}

/// The greatest distance of either boundary from the other, at `samples` places of every piece and no
/// further apart than `step`.
fn apart(given: &[Segment], fit: &[Segment], samples: usize, step: f64) -> f64 {
    let sampled = |list: &[Segment]| -> Vec<Point> {
        list.iter()
            .flat_map(|segment| {
                let parts = samples.max((segment.length() / step) as usize);
                (0..=parts).map(move |i| segment.point_at(i as f64 / parts as f64))
            })
            .collect()
    };
    let size = 20.0;
    let (near_given, near_fit) = (Cells::of(given, size), Cells::of(fit, size));
    let one = sampled(given)
        .into_iter()
        .map(|point| near_fit.distance(point))
        .fold(0.0, f64::max);
    sampled(fit)
        .into_iter()
        .map(|point| near_given.distance(point))
        .fold(one, f64::max)
}

fn segments(runs: &[FittedRun]) -> Vec<Segment> {
    runs.iter().map(|run| run.segment).collect()
}

/// What holds for every ring: closed bit for bit, near the given points both ways, area accordingly, and
/// not crossing itself.
fn judge(points: &[Point], runs: &[FittedRun]) {
    let given = Ring::polygon(points);
    let ring = ring_of(runs);
    for (i, run) in runs.iter().enumerate() {
        let next = &runs[(i + 1) % runs.len()];
        assert_eq!(run.segment.end(), next.segment.start(), "run {i}");
    }
    let off = apart(given.segments(), &segments(runs), 4, 2.0);
    assert!(off <= WITHIN, "{off} mm apart");
    let area = (ring.signed_area() - given.signed_area()).abs();
    assert!(area <= WITHIN * given.length(), "{area} mm²");
    assert!(given.self_crossing().is_some() || ring.self_crossing().is_none());
}

/// The greatest break where runs join that is no corner of the points.
fn greatest_break(runs: &[FittedRun], corners: &[Point]) -> f64 {
    (0..runs.len())
        .map(|i| (&runs[i].segment, &runs[(i + 1) % runs.len()].segment))
        .filter(|(_, next)| !corners.contains(&next.start()))
        .map(|(one, next)| turn_between(one, next).abs())
        .fold(0.0, f64::max)
}

#[test]
fn a_circle_of_points_is_a_circle() {
    for count in [400, 1000, 10_000, 100_000] {
        let points = circle(count, 900.0 * (count as f64 / 1000.0).min(1.0).powi(2));
        let radius = 900.0 * (count as f64 / 1000.0).min(1.0).powi(2);
        let runs = fitted(&points);
        assert_eq!(runs.len(), 2);
        for run in &runs {
            let Segment::Arc(arc) = run.segment else {
                panic!("{run:?}");
            };
            assert!((arc.radius - radius).abs() < 1e-9);
            assert!(arc.centre.distance(Point::new(700.0, -300.0)) < 1e-9);
        }
        let area = ring_of(&runs).signed_area();
        assert!((area / (PI * radius * radius) - 1.0).abs() < 1e-12);
        if count <= 10_000 {
            judge(&points, &runs);
        }
    }
}

#[test]
fn an_ellipse_has_its_closed_forms() {
    let (a, b) = (5000.0, 1800.0);
    // Perimeter by the arithmetic-geometric mean: 2π (a² - Σ 2ⁿ⁻¹ cₙ²) / M(a, b), c₀² = a² - b²
    // (Gauss-Legendre; NIST Digital Library of Mathematical Functions, 19.8(i)).
    let (mut x, mut y, mut sum, mut power) = (a, b, (a * a - b * b) / 2.0, 1.0);
    for _ in 0..8 {
        let c: f64 = (x - y) / 2.0;
        sum += power * c * c;
        power *= 2.0;
        (x, y) = ((x + y) / 2.0, f64::sqrt(x * y));
    }
    let perimeter = TAU * (a * a - sum) / x;
    for count in [10_000, 100_000] {
        let points = ellipse(count, a, b);
        let runs = fitted(&points);
        assert!(runs.len() < 200, "{} runs", runs.len());
        let ring = ring_of(&runs);
        let area = (ring.signed_area() - PI * a * b).abs();
        assert!(area < WITHIN * perimeter, "{area}");
        let length = ring.length();
        // Arcs as near as that run along the ellipse, not across it.
        assert!(
            (length / perimeter - 1.0).abs() < 1e-6,
            "{length} {perimeter}"
        );
        assert!(greatest_break(&runs, &[]) < 1e-9);
        judge(&points, &runs);
    }
}

#[test]
fn rounded_coordinates_cost_a_few_arcs_and_no_breaks() {
    for count in [10_000, 100_000] {
        let exact = ellipse(count, 5000.0, 1800.0);
        for (to, most) in [(0.001, 200), (0.01, 300)] {
            let points = rounded(&exact, to);
            let runs = fitted(&points);
            assert!(runs.len() < most, "{count} to {to}: {} runs", runs.len());
            assert!(greatest_break(&runs, &[]) < 1e-9, "{count} to {to}");
            judge(&points, &runs);
        }
    }
}

#[test]
fn points_rounded_too_coarsely_stay_as_they_are() {
    // To 0.1 mm: nothing smooth lies within 0.01 mm of these for more than a few steps.
    let points = rounded(&ellipse(10_000, 5000.0, 1800.0), 0.1);
    let runs = fitted(&points);
    assert!(runs.len() <= points.len());
    judge(&points, &runs);
    // A tolerance that asks no more than the rounding has it smooth again.
    let runs = fit_ring(&points, &[], Length::mm(0.1));
    assert!(runs.len() < 150, "{} runs", runs.len());
    assert!(greatest_break(&runs, &[]) < 1e-9);
}

#[test]
fn a_boat_keeps_its_corners_and_is_smooth_between() {
    for (count, to) in [
        (1000, 0.0),
        (10_000, 0.0),
        (100_000, 0.0),
        (1000, 0.001),
        (10_000, 0.001),
        (100_000, 0.001),
        (10_000, 0.01),
        (100_000, 0.01),
    ] {
        let exact = boat(count);
        let side = count * 9 / 20;
        let points = if to > 0.0 {
            rounded(&exact, to)
        } else {
            exact.clone()
        };
        let round = |point: Point| {
            if to > 0.0 {
                rounded(&[point], to)[0]
            } else {
                point
            }
        };
        let corners = [exact[0], exact[side], exact[side].mirrored()].map(round);
        let runs = fitted(&points);
        // Rounding to the tolerance itself leaves arcs little of it.
        let most = if to < WITHIN { 60 } else { 120 };
        assert!(runs.len() <= most, "{count} to {to}: {} runs", runs.len());
        for corner in corners {
            assert!(
                runs.iter().any(|run| run.segment.start() == corner),
                "{count} to {to}: {corner:?}"
            );
        }
        // The transom is one line.
        let transom = Segment::Line(corners[1], corners[2]);
        assert!(
            runs.iter().any(|run| run.segment == transom),
            "{count} to {to}"
        );
        let greatest = greatest_break(&runs, &corners);
        assert!(greatest < 1e-9, "{count} to {to}: {greatest}");
        judge(&points, &runs);
        // What stands for the port side is the mirror image of what stands for starboard.
        for run in &runs {
            let image = run.segment.mirrored().reversed();
            let twin = runs.iter().any(|other| {
                [0.0, 0.5, 1.0].iter().all(|share| {
                    let (one, two) = (image.point_at(*share), other.segment.point_at(*share));
                    one.distance(two) < 1e-6
                })
            });
            assert!(twin, "{count} to {to}: {run:?}");
        }
    }
}

#[test]
fn a_round_stern_on_the_centreline_is_symmetric_too() {
    for (a, b) in [(5000.0, 1800.0), (2000.0, 900.0)] {
        let points = ellipse(20_000, a, b);
        let runs = fitted(&points);
        for run in &runs {
            let image = run.segment.mirrored().reversed();
            let twin = runs.iter().any(|other| {
                image.start().distance(other.segment.start()) < 1e-6
                    && image.end().distance(other.segment.end()) < 1e-6
            });
            assert!(twin, "{run:?}");
        }
    }
}

#[test]
fn lines_and_the_arcs_between_them_come_back() {
    // 3000 by 2000, corners of radius 300, a point every half degree and every 10 mm of the sides.
    let (r, x, y) = (300.0, 1200.0, 700.0);
    let mut points = Vec::new();
    for (k, (cx, cy)) in [(x, y), (-x, y), (-x, -y), (x, -y)].into_iter().enumerate() {
        let centre = Point::new(cx, cy);
        for i in 0..=180 {
            let angle = (90.0 * k as f64 + 0.5 * f64::from(i)).to_radians();
            points.push(centre + Point::at_angle(angle) * r);
        }
        let (from, to) = (
            centre + Point::at_angle((k + 1) as f64 * PI / 2.0) * r,
            Point::new([-x, -x, x, x][k], [y, -y, -y, y][k])
                + Point::at_angle((k + 1) as f64 * PI / 2.0) * r,
        );
        let steps = (from.distance(to) / 10.0).round();
        points.extend((1..steps as usize).map(|i| from.towards(to, i as f64 / steps)));
    }
    let runs = fitted(&points);
    judge(&points, &runs);
    let lines = runs
        .iter()
        .filter(|run| matches!(run.segment, Segment::Line(..)))
        .count();
    assert_eq!(lines, 4);
    for run in &runs {
        if let Segment::Arc(arc) = run.segment {
            assert!((arc.radius - r).abs() < 1e-3, "{arc:?}");
        }
    }
    assert!(greatest_break(&runs, &[]) < 1e-9);
    let area = 4.0 * 1500.0 * 1000.0 - (4.0 - PI) * r * r;
    assert!((ring_of(&runs).signed_area() - area).abs() < 1.0);
    // The same with the sides as one step each.
    let sparse: Vec<Point> = points
        .iter()
        .copied()
        .filter(|point| point.x.abs() >= x - 1e-9 && point.y.abs() >= y - 1e-9)
        .collect();
    let runs = fitted(&sparse);
    judge(&sparse, &runs);
    assert!(greatest_break(&runs, &[]) < 1e-9);
    assert!(runs.len() <= 20, "{} runs", runs.len());
}

#[test]
fn a_slight_knuckle_in_a_smooth_side_stays_where_it_is() {
    // Two arcs of 4 m radius that meet with a break of 2° and of 0.5°.
    for degrees in [2.0, 0.5_f64] {
        let arc = |centre: Point, from: f64| {
            (0..=2000)
                .map(move |i| centre + Point::at_angle(from - 0.5 * f64::from(i) / 2000.0) * 4000.0)
        };
        let knuckle = Point::new(5000.0, 1000.0);
        let turn = degrees.to_radians();
        let first = knuckle - Point::at_angle(1.6) * 4000.0;
        let second = knuckle - Point::at_angle(1.6 - turn) * 4000.0;
        let points: Vec<Point> = arc(first, 2.1)
            .take(2000)
            .chain(std::iter::once(knuckle))
            .chain(arc(second, 1.6 - turn).skip(1))
            .collect();
        let runs = fit_chain(&points, &[], Length::mm(WITHIN));
        let starts: Vec<Point> = runs.iter().map(|run| run.segment.start()).collect();
        assert!(starts.contains(&knuckle), "{degrees}: {starts:?}");
        assert!(runs.len() <= 8, "{}", runs.len());
    }
}

#[test]
fn a_fit_ends_at_a_point_to_be_kept_without_a_break() {
    let points = ellipse(5000, 3000.0, 1200.0);
    let kept = [700, 2600];
    let runs = fit_ring(&points, &kept, Length::mm(WITHIN));
    judge(&points, &runs);
    for i in kept {
        let run = runs
            .iter()
            .find(|run| run.segment.start() == points[i])
            .unwrap();
        assert_eq!(run.from, i);
        assert!(
            runs.iter().all(|run| !(run.from < i && i < run.to)),
            "a run spans point {i}"
        );
    }
    assert!(greatest_break(&runs, &[]) < 1e-9);
}

#[test]
fn lists_that_are_hardly_outlines_come_back_as_steps() {
    let p = |x: f64, y: f64| Point::new(x, y);
    let within = Length::mm(WITHIN);
    assert!(fit_chain(&[], &[], within).is_empty());
    assert!(fit_chain(&[p(1.0, 2.0)], &[], within).is_empty());
    assert!(fit_ring(&[p(1.0, 2.0)], &[], within).is_empty());
    assert!(fit_ring(&[p(1.0, 2.0); 5], &[], within).is_empty());
    let two = fit_chain(&[p(0.0, 0.0), p(5.0, 0.0)], &[], within);
    assert_eq!(two.len(), 1);
    assert_eq!(two[0].segment, Segment::Line(p(0.0, 0.0), p(5.0, 0.0)));
    assert_eq!(fit_ring(&[p(0.0, 0.0), p(5.0, 0.0)], &[], within).len(), 2);
    // Points on one line.
    let line: Vec<Point> = (0..50).map(|i| p(f64::from(i * i), 3.0)).collect();
    let runs = fit_chain(&line, &[], within);
    assert_eq!(runs.len(), 1);
    assert_eq!(runs[0].segment, Segment::Line(line[0], line[49]));
    assert_eq!((runs[0].from, runs[0].to), (0, 49));
    // A spike stays a spike.
    let mut spiked = ellipse(2000, 1000.0, 600.0);
    spiked.insert(300, p(5000.0, 5000.0));
    let runs = fitted(&spiked);
    let ends: Vec<Point> = runs.iter().map(|run| run.segment.start()).collect();
    for corner in &spiked[299..=301] {
        assert!(ends.contains(corner));
    }
    judge(&spiked, &runs);
}

#[test]
fn repeated_points_change_nothing() {
    let points = ellipse(3000, 2000.0, 700.0);
    let plain = fitted(&points);
    let mut repeated = points.clone();
    repeated.insert(1000, points[1000]);
    repeated.insert(1000, points[1000]);
    repeated.push(points[0]);
    let runs = fitted(&repeated);
    assert_eq!(segments(&runs), segments(&plain));
    assert!(runs.iter().all(|run| run.from < repeated.len()));
}

#[test]
fn a_sliver_thinner_than_the_tolerance_is_not_made_to_cross_itself() {
    // Two wavy sides 4 µm apart, each within the tolerance of many smooth curves.
    let wave = |i: u32, off: f64| {
        let angle = f64::from(i) / 3000.0;
        let shake = 0.0015 * (f64::from(i) * 0.7 + off * 900.0).sin();
        Point::at_angle(angle) * (1000.0 + off + shake)
    };
    let points: Vec<Point> = (0..3000)
        .map(|i| wave(i, 0.0))
        .chain((0..3000).rev().map(|i| wave(i, -0.004)))
        .collect();
    assert!(Ring::polygon(&points).self_crossing().is_none());
    let runs = fitted(&points);
    assert!(ring_of(&runs).self_crossing().is_none());
    judge(&points, &runs);
}

#[test]
fn time_grows_with_the_number_of_points_and_no_faster() {
    let points = |count| rounded(&ellipse(count, 5000.0, 1800.0), 0.001);
    let (small, large) = (points(10_000), points(100_000));
    let time = |points: &[Point], times: usize| -> Duration {
        let start = Instant::now();
        for _ in 0..times {
            assert!(fitted(points).len() < 250);
        }
        start.elapsed()
    };
    // As many points on either side and one right after the other, so that what else the machine does
    // hits both alike; the best of many rounds, for the rest of it.
    let ratio = (0..25)
        .map(|_| {
            let tens = time(&small, 10);
            10.0 * time(&large, 1).as_secs_f64() / tens.as_secs_f64()
        })
        .fold(f64::INFINITY, f64::min);
    assert!(
        ratio < 15.0,
        "{ratio} times the time for 10 times the points"
    );
}

// From the layout's text.

fn traced(points: &str, rest: &str) -> DeckPlan {
    let text = format!(
        "title = \"Shearwater\"\n[[deck]]\nid = \"deck\"\n[deck.outline]\npoints = [{points}]\n{rest}"
    );
    let layout = spile::layout::read(&text).unwrap_or_else(|faults| panic!("{faults:?}"));
    let (plan, _) = trace(&layout.decks[0], &spile::outline::Fixed::default())
        .unwrap_or_else(|faults| panic!("{faults:?}"));
    plan
}

/// Half a disc of radius 1 m, its round side traced to 1 µm; `at` says what stands with a traced point.
fn half_disc(count: usize, at: impl Fn(usize) -> &'static str) -> String {
    let points: Vec<String> = (0..=count)
        .map(|i| {
            let point = Point::at_angle(PI * i as f64 / count as f64) * 1000.0;
            format!("{{ at = [{:.3}, {:.3}]{} }}", point.x, point.y, at(i))
        })
        .collect();
    points.join(", ")
}

#[test]
fn a_traced_deck_has_few_edges_and_its_own_area() {
    let plan = traced(&half_disc(900, |_| ""), "");
    let ring = &plan.outline.ring;
    assert!(ring.segments().len() <= 8, "{}", ring.segments().len());
    // π r²/2, from points rounded to a micrometre.
    assert!((ring.signed_area() - PI * 5e5).abs() < WITHIN * ring.length());
    assert_eq!(plan.outline.edge_of_segment.len(), ring.segments().len());
    // The round side is one edge, the straight one another.
    assert_eq!(plan.outline.edges.len(), 2);
    for (segment, edge) in ring.segments().iter().zip(&plan.outline.edge_of_segment) {
        assert_eq!(*edge, usize::from(matches!(segment, Segment::Line(..))));
    }
}

#[test]
fn a_traced_edge_ends_where_its_name_does() {
    // A third of the round side is called by a name and has a margin of its own.
    let plan = traced(
        &half_disc(900, |i| {
            if (300..600).contains(&i) {
                ", edge = \"crown\""
            } else {
                ""
            }
        }),
        "[deck.margin]\nedge = 50\nedges = { crown = 90 }",
    );
    let outline = &plan.outline;
    let mut crown = 0.0;
    for (segment, edge) in outline.ring.segments().iter().zip(&outline.edge_of_segment) {
        let edge = &outline.edges[*edge];
        if edge.name.as_deref() == Some("crown") {
            assert_eq!(edge.margin, Length::mm(90.0));
            crown += segment.length();
            assert!(segment.point_at(0.5).y > 860.0);
        } else {
            assert_eq!(edge.margin, Length::mm(50.0));
        }
    }
    assert!((crown - 1000.0 * PI / 3.0).abs() < 0.01, "{crown}");
    assert!(outline.ring.segments().len() <= 16);
    // It runs on without a break where only the name changes.
    let segments = outline.ring.segments();
    let breaks = (0..segments.len())
        .filter(|i| turn_between(&segments[*i], &segments[(i + 1) % segments.len()]).abs() > 1e-6);
    assert_eq!(breaks.count(), 2);
}

#[test]
fn a_corner_asked_for_in_a_traced_side_stays() {
    let plan = traced(
        &half_disc(900, |i| if i == 450 { ", corner = true" } else { "" }),
        "",
    );
    let top = Point::new(0.0, 1000.0);
    assert!(
        plan.outline
            .ring
            .segments()
            .iter()
            .any(|segment| segment.start() == top)
    );
}

#[test]
fn what_a_person_measured_is_traced_bit_for_bit() {
    // Rounded corners, an arc through a point and plain corners: as they were before anything was fitted.
    let plan = traced(
        "[0, 0], { at = [3000, 0], radius = 150 }, { at = [3000, 1200], through = [1500, 1500] }, [0, 1200], [0, 600]",
        "",
    );
    let segments = plan.outline.ring.segments();
    assert_eq!(segments.len(), 6);
    assert_eq!(
        segments[0],
        Segment::Line(Point::ORIGIN, Point::new(2850.0, 0.0))
    );
    let Segment::Arc(round) = segments[1] else {
        panic!("{segments:?}");
    };
    assert_eq!(
        (round.radius, round.centre),
        (150.0, Point::new(2850.0, 150.0))
    );
    assert_eq!(
        segments[4],
        Segment::Line(Point::new(0.0, 1200.0), Point::new(0.0, 600.0))
    );
    assert_eq!(
        segments[5],
        Segment::Line(Point::new(0.0, 600.0), Point::ORIGIN)
    );
    assert_eq!(plan.outline.edges.len(), 5);
}

#[test]
fn a_traced_opening_is_fitted_like_a_deck() {
    let points = half_disc(720, |_| "");
    let plan = traced(
        "[-3000, -2000], [3000, -2000], [3000, 2000], [-3000, 2000]",
        &format!("[[deck.opening]]\nname = \"hatch\"\npoints = [{points}]"),
    );
    assert!(plan.openings[0].ring.segments().len() <= 8);
}

#[test]
fn a_traced_deck_that_crosses_itself_is_told_by_its_points() {
    // A figure of eight.
    let points: Vec<String> = (0..2000)
        .map(|i| {
            let angle = TAU * f64::from(i) / 2000.0 + 0.3;
            format!(
                "[{:.3}, {:.3}]",
                1000.0 * angle.sin(),
                400.0 * (2.0 * angle).sin()
            )
        })
        .collect();
    let text = format!(
        "title = \"Shearwater\"\n[[deck]]\nid = \"deck\"\n[deck.outline]\npoints = [{}]",
        points.join(", ")
    );
    let layout = spile::layout::read(&text).unwrap();
    let faults = trace(&layout.decks[0], &spile::outline::Fixed::default()).unwrap_err();
    assert_eq!(faults.len(), 1);
    assert!(
        faults[0].message.contains("near station 0"),
        "{:?}",
        faults[0]
    );
}

/// A smooth closed curve about the origin: a circle with a few waves.
fn wavy() -> impl Strategy<Value = Vec<Point>> {
    let waves = prop::collection::vec((-1.0..1.0_f64, 0.0..TAU), 1..5);
    (waves, 500.0..4000.0_f64, 300..4000_usize, 0..3_u8).prop_map(
        |(waves, radius, count, digits)| {
            let points: Vec<Point> = (0..count)
                .map(|i| {
                    let angle = TAU * i as f64 / count as f64;
                    let swing: f64 = (2..)
                        .zip(&waves)
                        .map(|(k, (size, phase))| {
                            let k = f64::from(k);
                            size / (k * k) * (k * angle + phase).sin()
                        })
                        .sum();
                    Point::at_angle(angle) * (radius * (1.0 + 0.6 * swing))
                })
                .collect();
            match digits {
                0 => points,
                1 => rounded(&points, 0.001),
                _ => rounded(&points, 0.01),
            }
        },
    )
}

/// A polygon as a person measures one: a few points round the origin in whole millimetres.
fn measured() -> impl Strategy<Value = Vec<Point>> {
    prop::collection::vec(200.0..3000.0_f64, 3..24).prop_map(|radii| {
        let count = radii.len() as f64;
        (0..)
            .zip(radii)
            .map(|(i, radius)| {
                let point = Point::at_angle(TAU * f64::from(i) / count) * radius;
                Point::new(point.x.round(), point.y.round())
            })
            .collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn a_smooth_curve_is_kept_to_both_ways(points in wavy()) {
        let runs = fitted(&points);
        prop_assert!(runs.len() <= points.len());
        judge(&points, &runs);
    }

    #[test]
    fn wherever_a_ring_starts_it_is_kept_to(points in wavy(), start in 0..300_usize, back: bool) {
        let mut points = points;
        points.rotate_left(start);
        if back {
            points.reverse();
        }
        judge(&points, &fitted(&points));
    }

    #[test]
    fn a_measured_polygon_comes_back_bit_for_bit(points in measured()) {
        let runs = fitted(&points);
        let mut lines = segments(&runs);
        let first = lines.iter().position(|line| line.start() == points[0]).unwrap();
        lines.rotate_left(first);
        let given = Ring::polygon(&points);
        prop_assert_eq!(lines.as_slice(), given.segments());
    }

    #[test]
    fn a_curve_with_corners_keeps_each(points in wavy(), at in prop::collection::vec(0..300_usize, 1..4)) {
        // Cut a bay into the curve: two corners each.
        let mut points = points;
        for i in at {
            let i = i % points.len();
            let point = points[i];
            points[i] = point * 0.9;
        }
        let runs = fitted(&points);
        judge(&points, &runs);
        for run in &runs {
            if let Segment::Line(start, _) = run.segment
                && run.to == run.from + 1
            {
                let given = points[run.from % points.len()];
                prop_assert!(start.distance(given) <= WITHIN);
            }
        }
    }
}
