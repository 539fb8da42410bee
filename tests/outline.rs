//! From measurements to rings: what a deck's edge and the things on it must be, checked against
//! closed forms and published examples.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on has failed"
)]

use std::f64::consts::PI;

use proptest::prelude::*;
use spile::layout::{
    Corner, Curve, Deck, EdgeMargin, End, Fault, Feature, Fitting, HalfBreadth, HalfBreadths,
    LeastField, Margins, Measured, Opening, Outline, Place, Placed, PointRing, Position, Radii,
    Shape, Sides, Strip,
};
use spile::outline::{DeckPlan, EdgeRing, Fixed, NamedRing, Warning};
use spile::shape::{Point, Region, Ring, Segment};
use spile::units::{Length, LengthUnit};

// A small builder: places are made up, so that a test can tell which entry a fault points at.

fn at(index: usize) -> Place {
    Place {
        start: 100 * index,
        end: 100 * index + 10,
    }
}

fn mm(value: f64) -> Length {
    Length::mm(value)
}

fn deck(outline: Outline) -> Deck {
    Deck {
        id: Placed::new("foredeck".to_owned(), at(900)),
        title: None,
        units: LengthUnit::Millimetre,
        outline,
        camber: None,
        sheer: None,
        margin: Margins {
            edge: mm(60.0),
            opening: mm(50.0),
            fitting: mm(40.0),
            edges: Vec::new(),
            blend: None,
            measured: Measured::Plan,
        },
        radius: Radii::default(),
        field: LeastField::default(),
        openings: Vec::new(),
        fittings: Vec::new(),
        smooth: Vec::new(),
        pads: Vec::new(),
        strips: Vec::new(),
        walks: Vec::new(),
        footholds: Vec::new(),
        ways_off: Vec::new(),
    }
}

fn table(list: &[[f64; 2]]) -> HalfBreadths {
    HalfBreadths {
        points: list
            .iter()
            .enumerate()
            .map(|(i, [station, breadth])| {
                let value = HalfBreadth {
                    station: mm(*station),
                    breadth: mm(*breadth),
                };
                Placed::new(value, at(i))
            })
            .collect(),
        port: Vec::new(),
        sides: Sides::Both,
        precision: mm(0.5),
        curve: Curve::Fair,
        knuckles: Vec::new(),
        forward: End::Sharp,
        aft: End::Sharp,
        place: at(500),
    }
}

fn half_breadths(list: &[[f64; 2]]) -> Deck {
    deck(Outline::HalfBreadths(table(list)))
}

fn corner(x: f64, y: f64) -> Corner {
    Corner {
        at: Placed::new(Position::At(Point::new(x, y)), Place::default()),
        radius: None,
        edge: None,
        through: None,
        breaks: false,
    }
}

fn rounded(x: f64, y: f64, radius: f64) -> Corner {
    Corner {
        radius: Some(Placed::new(mm(radius), Place::default())),
        ..corner(x, y)
    }
}

fn arc_from(x: f64, y: f64, through: [f64; 2]) -> Corner {
    Corner {
        through: Some(Placed::new(
            Position::At(Point::new(through[0], through[1])),
            Place::default(),
        )),
        ..corner(x, y)
    }
}

fn named(mut corner: Corner, name: &str) -> Corner {
    corner.edge = Some(Placed::new(name.to_owned(), Place::default()));
    corner
}

fn ring_of(mut corners: Vec<Corner>, curve: Curve) -> PointRing {
    for (i, corner) in corners.iter_mut().enumerate() {
        corner.at.place = at(i);
        if let Some(radius) = &mut corner.radius {
            radius.place = at(100 + i);
        }
        if let Some(through) = &mut corner.through {
            through.place = at(200 + i);
        }
    }
    PointRing {
        corners,
        curve,
        place: at(500),
    }
}

fn points(corners: Vec<Corner>) -> Deck {
    deck(Outline::Points(ring_of(corners, Curve::Straight)))
}

fn fair_points(corners: Vec<Corner>) -> Deck {
    deck(Outline::Points(ring_of(corners, Curve::Fair)))
}

fn plain(list: &[[f64; 2]]) -> Vec<Corner> {
    list.iter().map(|[x, y]| corner(*x, *y)).collect()
}

/// A deck 3000 by 2000 on the centreline.
fn rectangle_deck() -> Deck {
    points(plain(&[
        [0.0, -1000.0],
        [3000.0, -1000.0],
        [3000.0, 1000.0],
        [0.0, 1000.0],
    ]))
}

fn feature<K>(shape: Shape, kind: K) -> Feature<K> {
    Feature {
        name: Some("hatch".to_owned()),
        shape,
        both_sides: false,
        place: at(600),
        kind,
    }
}

fn circle(x: f64, y: f64, radius: f64) -> Shape {
    Shape::Circle {
        at: Position::At(Point::new(x, y)),
        radius: mm(radius),
    }
}

fn rectangle(x: f64, y: f64, size: [f64; 2], radius: f64, turned_degrees: f64) -> Shape {
    Shape::Rectangle {
        at: Position::At(Point::new(x, y)),
        along: mm(size[0]),
        across: mm(size[1]),
        radius: Placed::new(mm(radius), at(610)),
        turned_degrees,
    }
}

fn strip() -> Strip {
    Strip {
        width: mm(60.0),
        across_at: Vec::new(),
        along_at: Vec::new(),
        path: Vec::new(),
        both_sides: false,
        place: at(700),
    }
}

/// The deck by itself, with nothing surveyed.
fn trace(deck: &Deck) -> spile::outline::Traced {
    spile::outline::trace(deck, &Fixed::default())
}

fn traced(deck: &Deck) -> (DeckPlan, Vec<Warning>) {
    let (plan, warnings) = trace(deck).unwrap_or_else(|faults| panic!("{faults:#?}"));
    assert_sound(&plan.outline);
    (plan, warnings)
}

fn plan(deck: &Deck) -> DeckPlan {
    let (plan, warnings) = traced(deck);
    assert_eq!(warnings, []);
    plan
}

fn faults(deck: &Deck) -> Vec<Fault> {
    trace(deck).expect_err("this deck is at fault")
}

fn only_fault(deck: &Deck) -> Fault {
    let mut all = faults(deck);
    assert_eq!(all.len(), 1, "{all:#?}");
    all.remove(0)
}

/// Closed bit for bit, counter-clockwise, arcs that agree with themselves, every segment in an edge.
fn assert_sound(edge: &EdgeRing) {
    let segments = edge.ring.segments();
    assert_eq!(segments.len(), edge.edge_of_segment.len());
    assert!(edge.ring.signed_area() > 0.0);
    for (i, segment) in segments.iter().enumerate() {
        assert_eq!(segment.end(), segments[(i + 1) % segments.len()].start());
        assert!(edge.edge_of_segment[i] < edge.edges.len());
        assert!(segment.length() > 0.0 && segment.length().is_finite());
        if let Segment::Arc(arc) = segment {
            let sizes = 1.0 + arc.radius + arc.centre.length();
            for (point, angle) in [(arc.start, 0.0), (arc.end, arc.sweep)] {
                let gap = (point.distance(arc.centre) - arc.radius).abs();
                assert!(
                    gap <= 1e-9 * sizes.min(1e3) + 1e-15 * sizes,
                    "{gap} {arc:?}"
                );
                let swept = arc.centre + (arc.start - arc.centre).turned(angle);
                assert!(swept.distance(point) <= 1e-9 * sizes.min(1e3) + 1e-15 * sizes);
            }
        }
    }
}

fn assert_close(found: f64, expected: f64, relative: f64) {
    assert!(
        (found - expected).abs() <= relative * expected.abs(),
        "{found} is not within {relative} of {expected}: off by {}",
        found / expected - 1.0
    );
}

fn area(deck: &Deck) -> f64 {
    plan(deck).outline.ring.signed_area()
}

fn turns(ring: &Ring) -> Vec<f64> {
    let segments = ring.segments();
    (0..segments.len())
        .map(|i| {
            let (from, to) = (
                segments[i].direction_at(1.0),
                segments[(i + 1) % segments.len()].direction_at(0.0),
            );
            from.cross(to).atan2(from.dot(to))
        })
        .collect()
}

fn distance_to(segments: &[Segment], point: Point) -> f64 {
    segments
        .iter()
        .map(|segment| match segment {
            Segment::Line(a, b) => {
                let chord = *b - *a;
                let share = ((point - *a).dot(chord) / chord.dot(chord)).clamp(0.0, 1.0);
                point.distance(a.towards(*b, share))
            }
            Segment::Arc(arc) => {
                if arc.covers_angle((point - arc.centre).angle()) {
                    (point.distance(arc.centre) - arc.radius).abs()
                } else {
                    point.distance(arc.start).min(point.distance(arc.end))
                }
            }
        })
        .fold(f64::INFINITY, f64::min)
}

// Half-breadths against closed forms.

/// A launch of 11 m with twelve stations.
const LAUNCH: [[f64; 2]; 12] = [
    [0.0, 0.0],
    [400.0, 610.0],
    [1000.0, 1080.0],
    [2000.0, 1490.0],
    [3000.0, 1680.0],
    [4000.0, 1750.0],
    [5000.0, 1770.0],
    [6500.0, 1745.0],
    [8000.0, 1660.0],
    [9500.0, 1500.0],
    [10500.0, 1340.0],
    [11000.0, 1240.0],
];

#[test]
fn sampled_half_breadths_of_an_ellipse_give_its_area() {
    // πab, the area of an ellipse (closed form).
    let (a, b) = (3000.0, 1200.0);
    let list: Vec<[f64; 2]> = (0..13)
        .map(|i| {
            let angle = PI * f64::from(i) / 12.0;
            let breadth = if i % 12 == 0 { 0.0 } else { b * angle.sin() };
            [a * (1.0 - angle.cos()), breadth]
        })
        .collect();
    let mut outline = table(&list);
    (outline.forward, outline.aft) = (End::Round, End::Round);
    let plan = plan(&deck(Outline::HalfBreadths(outline)));
    assert_close(plan.outline.ring.signed_area(), PI * a * b, 1e-3);
    // No corner anywhere, not even on the centreline.
    assert!(
        turns(&plan.outline.ring)
            .iter()
            .all(|turn| turn.abs() < 1e-7)
    );
    let names: Vec<_> = plan
        .outline
        .edges
        .iter()
        .map(|edge| edge.name.as_deref())
        .collect();
    assert_eq!(names, [Some("port"), Some("starboard")]);
}

#[test]
fn sampled_half_breadths_of_a_parabola_give_two_thirds_of_the_rectangle() {
    // Archimedes: a segment of a parabola is two thirds of the rectangle round it.
    let (length, beam) = (9000.0, 2600.0);
    let list: Vec<[f64; 2]> = (0..11)
        .map(|i| {
            let x = length * f64::from(i) / 10.0;
            let share = 2.0 * x / length - 1.0;
            [x, beam / 2.0 * (1.0 - share * share)]
        })
        .collect();
    assert_close(area(&half_breadths(&list)), 2.0 / 3.0 * length * beam, 1e-3);
}

// Half-breadths against published worked examples. Simpson's rule lays a parabola through each three
// ordinates, the batten one curve through all: on the same ordinates the two differ by what happens
// between them, so a fair curve can be held to about a per cent, not closer. The rule itself is
// computed beside each, to show that the ordinates are the published ones.

fn simpson(spacing: f64, ordinates: &[f64]) -> f64 {
    let last = ordinates.len() - 1;
    let sum: f64 = ordinates
        .iter()
        .enumerate()
        .map(|(i, y)| match i {
            0 => *y,
            _ if i == last => *y,
            _ if i % 2 == 1 => 4.0 * y,
            _ => 2.0 * y,
        })
        .sum();
    spacing / 3.0 * sum
}

fn equally_spaced(spacing: f64, ordinates: &[f64]) -> Deck {
    let stations = (0..).map(|i| spacing * f64::from(i));
    let list: Vec<[f64; 2]> = stations.zip(ordinates).map(|(x, y)| [x, *y]).collect();
    half_breadths(&list)
}

#[test]
fn a_published_waterplane_comes_within_a_per_cent_of_simpsons_rule() {
    // Barrass & Derrett, Ship Stability for Masters and Mates, ch. 10: a ship of 120 m, half-ordinates
    // in metres; 1207 m² printed.
    let metres = [0.0, 3.7, 5.9, 7.6, 7.5, 4.6, 0.1];
    let rule = 2.0 * simpson(20.0, &metres);
    assert!((rule - 1206.67).abs() < 0.01);
    let list: Vec<f64> = metres.iter().map(|y| y * 1000.0).collect();
    assert_close(area(&equally_spaced(20_000.0, &list)) / 1e6, rule, 0.01);
}

#[test]
fn a_published_midship_section_comes_within_a_per_cent_of_simpsons_rule() {
    // A section of the clipper Cutty Sark, University of Southampton teaching material (EdShare 4624): depth
    // 20.4 ft, half-widths in feet; 603.5 square feet for both sides.
    let feet = [17.15, 17.40, 17.45, 17.30, 16.10, 10.65, 0.60];
    let rule = 2.0 * simpson(3.4, &feet);
    assert!((rule - 603.5).abs() < 0.01);
    let list: Vec<f64> = feet.iter().map(|y| y * 304.8).collect();
    // The bilge turns within one step, which no batten would: that is said, and changes nothing.
    let (plan, warnings) = traced(&equally_spaced(3.4 * 304.8, &list));
    assert!(
        warnings
            .iter()
            .all(|said| said.code == "unfair-half-breadth")
    );
    let found = plan.outline.ring.signed_area() / (304.8 * 304.8);
    assert_close(found, rule, 0.01);
}

#[test]
fn a_wigley_waterplane_comes_within_a_per_cent_of_its_closed_form() {
    // y = B/2 (1 - (2x/L)²), L 10, B 3: 2/3·L·B = 20 exactly, which Simpson's rule gives too (derived).
    let metres = [
        0.0, 0.54, 0.96, 1.26, 1.44, 1.5, 1.44, 1.26, 0.96, 0.54, 0.0,
    ];
    let rule = 2.0 * simpson(1.0, &metres);
    assert!((rule - 20.0).abs() < 1e-9);
    let list: Vec<f64> = metres.iter().map(|y| y * 1000.0).collect();
    assert_close(area(&equally_spaced(1000.0, &list)) / 1e6, rule, 0.01);
}

#[test]
fn an_arc_through_a_point_has_the_radius_of_its_sagitta() {
    // R = s/2 + c²/8s (closed form): chord 1000, sagitta 50 give R 2525 and an arc of 1006.653.
    let plan = plan(&points(vec![
        corner(0.0, 0.0),
        arc_from(1000.0, 0.0, [1050.0, 500.0]),
        corner(1000.0, 1000.0),
        corner(0.0, 1000.0),
    ]));
    let arc = plan.outline.ring.segments()[1];
    let Segment::Arc(inner) = arc else {
        panic!("{arc:?}")
    };
    assert_close(inner.radius, 2525.0, 1e-12);
    assert!((arc.length() - 1006.653).abs() < 0.001);
}

// Half-breadths: what the edge is like.

#[test]
fn port_is_the_mirror_image_of_starboard_to_the_last_bit() {
    let mut outline = table(&LAUNCH);
    outline.forward = End::Round;
    outline.knuckles = vec![Placed::new(mm(6500.0), at(300))];
    // This launch's bow is not round: that is said, and is no matter here.
    let (plan, warnings) = traced(&deck(Outline::HalfBreadths(outline)));
    assert!(
        warnings
            .iter()
            .all(|said| said.code == "unfair-half-breadth")
    );
    let segments = plan.outline.ring.segments();
    let of = |name: &str| -> Vec<Segment> {
        segments
            .iter()
            .zip(&plan.outline.edge_of_segment)
            .filter(|(_, edge)| plan.outline.edges[**edge].name.as_deref() == Some(name))
            .map(|(segment, _)| *segment)
            .collect()
    };
    let mut port: Vec<Segment> = of("port").iter().map(Segment::mirrored).collect();
    port.reverse();
    let port: Vec<Segment> = port.iter().map(Segment::reversed).collect();
    assert!(port.len() > 10);
    assert_eq!(port, of("starboard"));
}

#[test]
fn edges_are_named_and_the_open_end_closes_straight() {
    let mut deck = half_breadths(&LAUNCH);
    deck.margin.edges = vec![EdgeMargin {
        edge: Placed::new("aft".to_owned(), at(800)),
        margin: mm(90.0),
    }];
    let plan = plan(&deck);
    let names: Vec<_> = plan
        .outline
        .edges
        .iter()
        .map(|edge| edge.name.as_deref())
        .collect();
    assert_eq!(names, [Some("port"), Some("aft"), Some("starboard")]);
    assert_eq!(plan.outline.edges[1].margin, mm(90.0));
    assert_eq!(plan.outline.edges[0].margin, mm(60.0));
    let aft = plan
        .outline
        .edge_of_segment
        .iter()
        .position(|edge| *edge == 1)
        .unwrap();
    assert_eq!(
        plan.outline.ring.segments()[aft],
        Segment::Line(Point::new(11000.0, -1240.0), Point::new(11000.0, 1240.0))
    );
}

/// The natural cubic through points, by Gaussian elimination on the full matrix: nothing in common with
/// the curve under test but the definition.
fn natural_cubic(knots: &[f64], values: &[f64], ask: f64) -> f64 {
    let n = knots.len();
    let mut rows = vec![vec![0.0; n + 1]; n];
    rows[0][0] = 1.0;
    rows[n - 1][n - 1] = 1.0;
    for i in 1..n - 1 {
        let (h, g) = (knots[i] - knots[i - 1], knots[i + 1] - knots[i]);
        rows[i][i - 1] = h;
        rows[i][i] = 2.0 * (h + g);
        rows[i][i + 1] = g;
        rows[i][n] = 6.0 * ((values[i + 1] - values[i]) / g - (values[i] - values[i - 1]) / h);
    }
    for i in 0..n {
        for j in 0..n {
            if j != i {
                let factor = rows[j][i] / rows[i][i];
                let pivot = rows[i].clone();
                for (value, other) in rows[j].iter_mut().zip(&pivot) {
                    *value -= factor * other;
                }
            }
        }
    }
    let bend: Vec<f64> = (0..n).map(|i| rows[i][n] / rows[i][i]).collect();
    let i = (1..n - 1).filter(|i| knots[*i] <= ask).max().unwrap_or(0);
    let (h, t) = (knots[i + 1] - knots[i], ask - knots[i]);
    let slope = (values[i + 1] - values[i]) / h - h / 6.0 * (2.0 * bend[i] + bend[i + 1]);
    values[i] + t * (slope + t * (bend[i] / 2.0 + t * (bend[i + 1] - bend[i]) / (6.0 * h)))
}

#[test]
fn twelve_stations_are_tens_of_tangent_arcs_within_a_hundredth_of_the_batten() {
    let plan = plan(&half_breadths(&LAUNCH));
    let starboard: Vec<Segment> = plan
        .outline
        .ring
        .segments()
        .iter()
        .zip(&plan.outline.edge_of_segment)
        .filter(|(_, edge)| plan.outline.edges[**edge].name.as_deref() == Some("starboard"))
        .map(|(segment, _)| *segment)
        .collect();
    assert!((10..100).contains(&starboard.len()), "{}", starboard.len());
    for pair in starboard.windows(2) {
        let turn = pair[0].direction_at(1.0).cross(pair[1].direction_at(0.0));
        assert!(turn.abs() <= 1e-9, "{turn}");
    }
    let mut knots = vec![0.0];
    for pair in LAUNCH.windows(2) {
        let step = (pair[1][0] - pair[0][0]).hypot(pair[1][1] - pair[0][1]);
        knots.push(knots[knots.len() - 1] + step);
    }
    let x: Vec<f64> = LAUNCH.iter().map(|point| point[0]).collect();
    let y: Vec<f64> = LAUNCH.iter().map(|point| point[1]).collect();
    let mut worst = 0.0_f64;
    for span in knots.windows(2) {
        for i in 0..=1000 {
            let ask = span[0] + (span[1] - span[0]) * f64::from(i) / 1000.0;
            let point = Point::new(
                natural_cubic(&knots, &x, ask),
                natural_cubic(&knots, &y, ask),
            );
            worst = worst.max(distance_to(&starboard, point));
        }
    }
    assert!(worst <= 0.01, "{worst}");
}

#[test]
fn a_knuckle_breaks_the_curve_and_nothing_else_does() {
    let mut outline = table(&[
        [0.0, 500.0],
        [1000.0, 900.0],
        [2000.0, 1100.0],
        [2600.0, 700.0],
        [3600.0, 600.0],
    ]);
    outline.knuckles = vec![Placed::new(mm(2000.0), at(300))];
    let broken = plan(&deck(Outline::HalfBreadths(outline)));
    let corners = turns(&broken.outline.ring)
        .iter()
        .filter(|turn| turn.abs() > 1e-7)
        .count();
    // Four at the square ends, one knuckle on each side.
    assert_eq!(corners, 6);
}

#[test]
fn a_knuckle_between_stations_is_a_fault_that_names_the_nearest() {
    let mut outline = table(&LAUNCH);
    outline.knuckles = vec![Placed::new(mm(6400.0), at(300))];
    let fault = only_fault(&deck(Outline::HalfBreadths(outline)));
    assert_eq!(fault.place, at(300));
    assert!(fault.help.unwrap().contains("6500 mm"));
}

#[test]
fn straight_half_breadths_are_a_polygon() {
    let mut outline = table(&[[0.0, 0.0], [1000.0, 800.0], [3000.0, 900.0]]);
    outline.curve = Curve::Straight;
    let plan = plan(&deck(Outline::HalfBreadths(outline)));
    assert_eq!(plan.outline.ring.segments().len(), 5);
    // Twice the trapezia (closed form).
    assert_eq!(
        plan.outline.ring.signed_area(),
        2.0 * (400_000.0 + 1_700_000.0)
    );
}

#[test]
fn two_half_breadths_at_one_station_are_a_square_step() {
    let plan = plan(&half_breadths(&[
        [0.0, 500.0],
        [1000.0, 500.0],
        [1000.0, 800.0],
        [2000.0, 800.0],
    ]));
    assert_close(plan.outline.ring.signed_area(), 1e6 + 1.6e6, 1e-12);
    let square = |turn: &&f64| (turn.abs() - PI / 2.0).abs() < 1e-9;
    assert_eq!(turns(&plan.outline.ring).iter().filter(square).count(), 8);
}

#[test]
fn a_step_from_nothing_is_a_square_end() {
    let stepped = plan(&half_breadths(&[
        [0.0, 0.0],
        [0.0, 500.0],
        [1000.0, 600.0],
        [2000.0, 500.0],
    ]));
    let plain = plan(&half_breadths(&[
        [0.0, 500.0],
        [1000.0, 600.0],
        [2000.0, 500.0],
    ]));
    assert_eq!(stepped.outline.ring, plain.outline.ring);
}

#[test]
fn faults_of_a_table_stand_at_their_entries() {
    let middle = only_fault(&half_breadths(&[
        [0.0, 100.0],
        [500.0, 0.0],
        [900.0, 300.0],
    ]));
    assert_eq!(middle.place, at(1));
    let order = only_fault(&half_breadths(&[
        [0.0, 100.0],
        [900.0, 300.0],
        [500.0, 200.0],
    ]));
    assert_eq!(order.place, at(2));
    let dips = only_fault(&half_breadths(&[
        [0.0, 900.0],
        [100.0, 900.0],
        [200.0, 5.0],
        [900.0, 5.0],
        [1000.0, 900.0],
        [1100.0, 900.0],
    ]));
    assert!(dips.message.contains("below the centreline"), "{dips:?}");
    assert!([at(2), at(3)].contains(&dips.place), "{dips:?}");
    let flat = only_fault(&half_breadths(&[[0.0, 0.0], [900.0, 0.0]]));
    assert_eq!(flat.place, at(500));
    let unreal = only_fault(&half_breadths(&[
        [0.0, 0.0],
        [f64::NAN, 10.0],
        [900.0, 0.0],
    ]));
    assert_eq!(unreal.place, at(1));
    assert_eq!(faults(&half_breadths(&[])).len(), 1);
}

#[test]
fn a_repeated_half_breadth_counts_once_and_is_said() {
    let (once, _) = traced(&half_breadths(&LAUNCH));
    let mut list = LAUNCH.to_vec();
    list.insert(4, LAUNCH[4]);
    let (twice, warnings) = traced(&half_breadths(&list));
    assert_eq!(once.outline.ring, twice.outline.ring);
    assert_eq!(warnings.len(), 1);
    assert_eq!(warnings[0].code, "repeated-point");
    assert_eq!(warnings[0].place, Some(at(5)));
}

#[test]
fn a_round_end_with_breadth_is_said_to_be_ignored() {
    let mut outline = table(&LAUNCH);
    outline.aft = End::Round;
    let (_, warnings) = traced(&deck(Outline::HalfBreadths(outline)));
    assert_eq!(warnings[0].code, "round-end-ignored");
}

// Rings of points.

#[test]
fn a_rounded_rectangle_has_its_closed_form_either_way_round() {
    // A = LW - (4 - π)r², P = 2(L + W) - (8 - 2π)r.
    let (l, w, r) = (3000.0, 2000.0, 300.0);
    let mut corners = vec![
        rounded(0.0, 0.0, r),
        rounded(l, 0.0, r),
        rounded(l, w, r),
        rounded(0.0, w, r),
    ];
    for _ in 0..2 {
        let plan = plan(&points(corners.clone()));
        assert_close(
            plan.outline.ring.signed_area(),
            l * w - (4.0 - PI) * r * r,
            1e-15,
        );
        assert_close(
            plan.outline.ring.length(),
            2.0 * (l + w) - (8.0 - 2.0 * PI) * r,
            1e-15,
        );
        assert_eq!(plan.outline.ring.segments().len(), 8);
        corners.reverse();
    }
}

#[test]
fn a_stadium_and_a_round_deck_are_made_of_corners_that_fill_their_edges() {
    let stadium = plan(&points(vec![
        rounded(0.0, 0.0, 300.0),
        rounded(2000.0, 0.0, 300.0),
        rounded(2000.0, 600.0, 300.0),
        rounded(0.0, 600.0, 300.0),
    ]));
    assert_close(
        stadium.outline.ring.signed_area(),
        1400.0 * 600.0 + PI * 300.0 * 300.0,
        1e-15,
    );
    assert_eq!(stadium.outline.ring.segments().len(), 6);
    let round = plan(&points(vec![
        rounded(0.0, 0.0, 50.0 / 3.0),
        rounded(100.0 / 3.0, 0.0, 50.0 / 3.0),
        rounded(100.0 / 3.0, 100.0 / 3.0, 50.0 / 3.0),
        rounded(0.0, 100.0 / 3.0, 50.0 / 3.0),
    ]));
    assert_eq!(round.outline.ring.segments().len(), 4);
    assert_close(round.outline.ring.signed_area(), PI * 2500.0 / 9.0, 1e-12);
}

#[test]
fn a_rounding_belongs_to_the_edge_with_the_larger_margin() {
    let mut deck = points(vec![
        corner(0.0, 0.0),
        named(rounded(3000.0, 0.0, 100.0), "aft"),
        rounded(3000.0, 1000.0, 100.0),
        corner(0.0, 1000.0),
    ]);
    deck.margin.edges = vec![EdgeMargin {
        edge: Placed::new("aft".to_owned(), at(800)),
        margin: mm(90.0),
    }];
    let outline = plan(&deck).outline;
    let aft: Vec<bool> = outline
        .edge_of_segment
        .iter()
        .map(|edge| outline.edges[*edge].name.as_deref() == Some("aft"))
        .collect();
    assert_eq!(aft, [false, true, true, true, false, false]);
}

#[test]
fn a_radius_too_large_is_told_the_largest_that_fits() {
    let one = only_fault(&points(vec![
        rounded(0.0, 0.0, 700.0),
        corner(1000.0, 0.0),
        corner(1000.0, 600.0),
        corner(0.0, 600.0),
    ]));
    assert_eq!(one.place, at(100));
    assert_eq!(one.label, "the largest that fits is 600 mm");
    // Two of one radius share the edge between them ...
    let shared = faults(&points(vec![
        rounded(0.0, 0.0, 350.0),
        corner(1000.0, 0.0),
        corner(1000.0, 600.0),
        rounded(0.0, 600.0, 350.0),
    ]));
    assert_eq!(shared.len(), 2);
    for fault in &shared {
        assert_eq!(fault.label, "the largest that fits is 300 mm");
    }
    // ... of two different ones each leaves the other what it does not take.
    let unequal = faults(&points(vec![
        rounded(0.0, 0.0, 400.0),
        corner(1000.0, 0.0),
        corner(1000.0, 600.0),
        rounded(0.0, 600.0, 250.0),
    ]));
    assert_eq!(unequal[0].label, "the largest that fits is 350 mm");
    assert_eq!(unequal[1].label, "the largest that fits is 200 mm");
}

#[test]
fn the_corner_between_a_line_and_an_arc_is_rounded_exactly() {
    // A half disc of radius 500; its corners rounded with 100: the centre lies 100 above the flat
    // and 400 from the middle.
    let mut corners = vec![rounded(-500.0, 0.0, 100.0), rounded(500.0, 0.0, 100.0)];
    corners[1].through = Some(Placed::new(
        Position::At(Point::new(0.0, 500.0)),
        Place::default(),
    ));
    let outline = plan(&points(corners)).outline;
    let reach = (400.0_f64 * 400.0 - 100.0 * 100.0).sqrt();
    let centres: Vec<Point> = outline
        .ring
        .segments()
        .iter()
        .filter_map(|segment| match segment {
            Segment::Arc(arc) if arc.radius == 100.0 => Some(arc.centre),
            _ => None,
        })
        .collect();
    assert_eq!(centres.len(), 2);
    for (centre, x) in centres.iter().zip([-reach, reach]) {
        assert!(centre.distance(Point::new(x, 100.0)) < 1e-9, "{centre:?}");
    }
    assert!(turns(&outline.ring).iter().all(|turn| turn.abs() < 1e-9));
}

#[test]
fn an_arc_through_collinear_points_is_a_fault_at_it() {
    let fault = only_fault(&points(vec![
        corner(0.0, 0.0),
        arc_from(1000.0, 0.0, [1000.0, 300.0]),
        corner(1000.0, 1000.0),
    ]));
    assert_eq!(fault.place, at(201));
    assert!(fault.help.unwrap().contains("leave `through` out"));
}

#[test]
fn fewer_than_three_points_are_a_fault_but_two_with_an_arc_are_a_deck() {
    assert_eq!(
        only_fault(&points(plain(&[[0.0, 0.0], [10.0, 0.0]]))).place,
        at(500)
    );
    assert_eq!(only_fault(&points(plain(&[]))).place, at(500));
    let flat = only_fault(&points(plain(&[[0.0, 0.0], [500.0, 0.0], [900.0, 0.0]])));
    assert!(flat.message.contains("no area"), "{flat:?}");
    let half_disc = area(&points(vec![
        corner(-500.0, 0.0),
        arc_from(500.0, 0.0, [0.0, 500.0]),
    ]));
    assert_close(half_disc, PI * 500.0 * 500.0 / 2.0, 1e-14);
}

#[test]
fn repeated_points_count_once_and_are_said() {
    let (plan, warnings) = traced(&points(plain(&[
        [0.0, 0.0],
        [1000.0, 0.0],
        [1000.0, 0.0],
        [1000.0, 500.0],
        [0.0, 0.0],
    ])));
    assert_eq!(plan.outline.ring.segments().len(), 3);
    let places: Vec<_> = warnings.iter().map(|warning| warning.place).collect();
    assert_eq!(places, [Some(at(2)), Some(at(4))]);
}

#[test]
fn an_outline_that_crosses_itself_is_a_fault_that_says_where() {
    let fault = only_fault(&points(plain(&[
        [0.0, 0.0],
        [1000.0, 0.0],
        [1000.0, 500.0],
        [400.0, -100.0],
        [0.0, 500.0],
    ])));
    assert_eq!(fault.place, at(2));
    assert_eq!(
        fault.message,
        "edges 1 and 3 cross or touch near station 500 mm, on the centreline"
    );
}

#[test]
fn an_outline_of_ten_thousand_points_is_traced_in_no_time() {
    let corners: Vec<Corner> = (0..10_000)
        .map(|i| {
            let angle = 2.0 * PI * f64::from(i) / 10_000.0;
            let reach = 3000.0 + 20.0 * (40.0 * angle).sin();
            corner(2.0 * reach * angle.cos(), reach * angle.sin())
        })
        .collect();
    let start = std::time::Instant::now();
    let _ = plan(&points(corners.clone()));
    let _ = plan(&fair_points(corners));
    assert!(start.elapsed().as_secs_f64() < 5.0);
}

// Fair rings.

#[test]
fn a_fair_ring_through_points_of_a_circle_is_nearly_one() {
    // πr² (closed form).
    let corners: Vec<Corner> = (0..16)
        .map(|i| {
            let point = Point::at_angle(f64::from(i) * PI / 8.0) * 800.0;
            corner(point.x, point.y)
        })
        .collect();
    let outline = plan(&fair_points(corners)).outline;
    assert_close(outline.ring.signed_area(), PI * 800.0 * 800.0, 2e-4);
    assert!(turns(&outline.ring).iter().all(|turn| turn.abs() < 1e-9));
    assert_eq!(outline.edges.len(), 1);
}

#[test]
fn named_edges_of_a_fair_ring_end_exactly_at_their_points() {
    let list = [
        [0.0, 0.0],
        [1000.0, -700.0],
        [2500.0, -800.0],
        [3200.0, 100.0],
        [2400.0, 900.0],
        [900.0, 650.0],
    ];
    for reverse in [false, true] {
        let mut corners = plain(&list);
        corners[2] = named(corners[2].clone(), "quarter");
        if reverse {
            corners = plain(&list);
            corners.reverse();
            corners[2] = named(corners[2].clone(), "quarter");
        }
        let (from, to) = (corners[2].at.value.clone(), corners[3].at.value.clone());
        let outline = plan(&fair_points(corners)).outline;
        let own: Vec<&Segment> = outline
            .ring
            .segments()
            .iter()
            .zip(&outline.edge_of_segment)
            .filter(|(_, edge)| outline.edges[**edge].name.is_some())
            .map(|(segment, _)| segment)
            .collect();
        let ends: Vec<Point> = own.iter().flat_map(|s| [s.start(), s.end()]).collect();
        for end in [&from, &to] {
            assert_eq!(
                ends.iter()
                    .filter(|point| Position::At(**point) == *end)
                    .count(),
                1
            );
        }
        assert!(turns(&outline.ring).iter().all(|turn| turn.abs() < 1e-9));
    }
}

#[test]
fn a_fair_ring_breaks_at_corners_and_at_arcs() {
    let mut corners = plain(&[
        [0.0, 0.0],
        [1000.0, -700.0],
        [2500.0, -800.0],
        [3000.0, -600.0],
        [3000.0, 600.0],
        [2500.0, 800.0],
        [1000.0, 700.0],
    ]);
    corners[0].breaks = true;
    corners[3].through = Some(Placed::new(
        Position::At(Point::new(3100.0, 0.0)),
        Place::default(),
    ));
    let outline = plan(&fair_points(corners.clone())).outline;
    let breaks = turns(&outline.ring)
        .iter()
        .filter(|turn| turn.abs() > 1e-7)
        .count();
    assert_eq!(breaks, 3);
    // A corner of a fair ring can be rounded, a smooth point cannot.
    corners[0].radius = Some(Placed::new(mm(80.0), Place::default()));
    let outline = plan(&fair_points(corners.clone())).outline;
    let breaks = turns(&outline.ring)
        .iter()
        .filter(|turn| turn.abs() > 1e-7)
        .count();
    assert_eq!(breaks, 2);
    corners[1].radius = Some(Placed::new(mm(80.0), Place::default()));
    let fault = only_fault(&fair_points(corners));
    assert_eq!(fault.place, at(101));
    assert!(fault.help.unwrap().contains("corner = true"));
}

#[test]
fn a_margin_for_an_edge_that_is_not_there_is_a_fault_that_knows_better() {
    let mut deck = half_breadths(&LAUNCH);
    deck.margin.edges = vec![EdgeMargin {
        edge: Placed::new("starbord".to_owned(), at(800)),
        margin: mm(90.0),
    }];
    let fault = only_fault(&deck);
    assert_eq!(fault.place, at(800));
    assert_eq!(fault.help.as_deref(), Some("did you mean `starboard`?"));
}

// Features.

#[test]
fn shapes_have_their_closed_forms() {
    let mut deck = rectangle_deck();
    let cases = [
        (circle(500.0, 0.0, 150.0), PI * 150.0 * 150.0),
        (
            rectangle(500.0, 0.0, [600.0, 400.0], 60.0, 30.0),
            600.0 * 400.0 - (4.0 - PI) * 3600.0,
        ),
        (rectangle(500.0, 0.0, [600.0, 400.0], 0.0, 90.0), 240_000.0),
        (
            rectangle(500.0, 0.0, [600.0, 400.0], 200.0, -17.0),
            200.0 * 400.0 + PI * 40_000.0,
        ),
        (
            rectangle(500.0, 0.0, [400.0, 400.0], 200.0, 0.0),
            PI * 40_000.0,
        ),
        (
            Shape::Slot {
                from: Position::At(Point::new(300.0, 0.0)),
                to: Position::At(Point::new(700.0, 300.0)),
                width: mm(200.0),
            },
            500.0 * 200.0 + PI * 10_000.0,
        ),
        (
            Shape::Slot {
                from: Position::At(Point::new(300.0, 0.0)),
                to: Position::At(Point::new(300.0, 0.0)),
                width: mm(200.0),
            },
            PI * 10_000.0,
        ),
        (
            Shape::Points(ring_of(
                plain(&[[300.0, 0.0], [300.0, 200.0], [600.0, 0.0]]),
                Curve::Straight,
            )),
            30_000.0,
        ),
    ];
    for (shape, expected) in cases {
        deck.openings = vec![feature(shape, Opening::default())];
        let ring = &plan(&deck).openings[0].ring.clone();
        assert_close(ring.signed_area(), expected, 1e-13);
        let segments = ring.segments();
        for (i, segment) in segments.iter().enumerate() {
            assert_eq!(segment.end(), segments[(i + 1) % segments.len()].start());
        }
    }
}

#[test]
fn a_rectangle_is_turned_counter_clockwise_about_its_centre() {
    let mut deck = rectangle_deck();
    deck.openings = vec![feature(
        rectangle(1500.0, 0.0, [600.0, 200.0], 0.0, 90.0),
        Opening::default(),
    )];
    let bounds = plan(&deck).openings[0].ring.bounding_box();
    assert_eq!(bounds.least, Point::new(1400.0, -300.0));
    assert_eq!(bounds.greatest, Point::new(1600.0, 300.0));
    deck.openings[0].shape = rectangle(1500.0, 0.0, [600.0, 200.0], 0.0, 30.0);
    let ring = plan(&deck).openings[0].ring.clone();
    let end = Point::new(1500.0, 0.0) + Point::at_angle(30.0_f64.to_radians()) * 299.0;
    assert_eq!(ring.winding(end), 1);
}

#[test]
fn a_rectangles_radius_is_at_most_half_its_shorter_side() {
    let mut deck = rectangle_deck();
    let shape = rectangle(1500.0, 0.0, [600.0, 200.0], 101.0, 0.0);
    deck.openings = vec![feature(shape, Opening::default())];
    let fault = only_fault(&deck);
    assert_eq!(fault.place, at(610));
    assert_eq!(fault.label, "the largest that fits is 100 mm");
}

#[test]
fn both_sides_adds_a_mirror_image_unless_it_is_the_same() {
    let mut deck = rectangle_deck();
    let cleat = Fitting {
        margin: Some(mm(35.0)),
        in_place: false,
    };
    let mut apart = feature(circle(900.0, 700.0, 60.0), cleat);
    apart.both_sides = true;
    let mut amidships = feature(rectangle(1500.0, 0.0, [300.0, 200.0], 20.0, 0.0), cleat);
    amidships.both_sides = true;
    deck.fittings = vec![apart, amidships];
    let fittings = plan(&deck).fittings;
    let images: Vec<bool> = fittings
        .iter()
        .map(|fitting| fitting.is_mirror_image)
        .collect();
    assert_eq!(images, [false, true, false]);
    assert_eq!(
        fittings[1].ring.bounding_box().centre(),
        Point::new(900.0, -700.0)
    );
    assert!(fittings[1].ring.signed_area() > 0.0);
    assert!(fittings.iter().all(|fitting| !fitting.in_place));
    assert!(fittings.iter().all(|fitting| fitting.margin == mm(35.0)));
}

#[test]
fn what_lies_outside_is_a_fault_and_what_crosses_the_edge_a_warning() {
    let mut deck = rectangle_deck();
    deck.openings = vec![feature(circle(5000.0, 0.0, 100.0), Opening::default())];
    deck.smooth = vec![feature(circle(-400.0, 0.0, 100.0), ())];
    // Touching from outside is outside.
    deck.pads = vec![feature(circle(1000.0, 1100.0, 100.0), ())];
    deck.strips = vec![Strip {
        across_at: vec![mm(3100.0)],
        ..strip()
    }];
    let all = faults(&deck);
    let places: Vec<Place> = all.iter().map(|fault| fault.place).collect();
    assert_eq!(places, [at(600), at(600), at(600), at(700)], "{all:#?}");

    let mut deck = rectangle_deck();
    deck.openings = vec![feature(circle(3000.0, 0.0, 100.0), Opening::default())];
    let (plan, warnings) = traced(&deck);
    assert_eq!(plan.openings.len(), 1);
    assert_eq!(warnings.len(), 1);
    assert_eq!(warnings[0].code, "crosses-outline");
    assert_eq!(warnings[0].place, Some(at(600)));
    assert!((warnings[0].at.unwrap().x - 3000.0).abs() < 1e-9);
    // Touching from inside, or filling a corner, crosses nothing.
    for shape in [
        circle(2900.0, 0.0, 100.0),
        rectangle(2900.0, 900.0, [200.0, 200.0], 0.0, 0.0),
    ] {
        deck.openings = vec![feature(shape, Opening::default())];
        let (_, warnings) = traced(&deck);
        assert_eq!(warnings, []);
    }
}

#[test]
fn strips_reach_over_the_deck_and_mirror_once() {
    let mut deck = rectangle_deck();
    deck.strips = vec![Strip {
        across_at: vec![mm(1000.0)],
        along_at: vec![mm(0.0), mm(400.0)],
        both_sides: true,
        ..strip()
    }];
    let strips = plan(&deck).strips;
    let boxes: Vec<[f64; 4]> = strips
        .iter()
        .map(|strip| {
            let bounds = strip.region.bounding_box();
            [
                bounds.least.x,
                bounds.greatest.x,
                bounds.least.y,
                bounds.greatest.y,
            ]
        })
        .collect();
    assert_eq!(
        boxes,
        [
            [970.0, 1030.0, -2000.0, 2000.0],
            [-1000.0, 4000.0, -30.0, 30.0],
            [-1000.0, 4000.0, 370.0, 430.0],
            [-1000.0, 4000.0, -430.0, -370.0],
        ]
    );
}

fn path_region(path: &[[f64; 2]]) -> Region {
    let mut deck = rectangle_deck();
    deck.strips = vec![Strip {
        path: path
            .iter()
            .map(|[x, y]| Position::At(Point::new(*x, *y)))
            .collect(),
        ..strip()
    }];
    plan(&deck).strips[0].region.clone()
}

#[test]
fn a_strip_along_a_line_has_square_ends_and_mitred_joins() {
    assert_close(
        path_region(&[[0.0, 0.0], [300.0, 400.0]]).area(),
        500.0 * 60.0,
        1e-12,
    );
    // At a mitre what one side gains the other loses: length times width.
    let bent = path_region(&[[100.0, 0.0], [900.0, 0.0], [900.0, 500.0], [1500.0, 700.0]]);
    let length = 800.0 + 500.0 + 600.0_f64.hypot(200.0);
    assert_close(bent.area(), length * 60.0, 1e-12);
}

#[test]
fn nothing_within_half_the_width_of_a_strips_line_is_left_out_at_a_sharp_bend() {
    let region = path_region(&[[100.0, 0.0], [900.0, 0.0], [200.0, 300.0]]);
    for i in 0..360 {
        let point = Point::new(900.0, 0.0) + Point::at_angle(f64::from(i).to_radians()) * 29.999;
        assert!(region.contains(point), "{i}");
    }
    let reach = region.bounding_box().greatest.x;
    assert!(reach < 900.0 + 35.0, "cut off, not a long mitre: {reach}");
}

#[test]
fn a_strip_that_folds_over_itself_is_a_fault() {
    for path in [
        vec![[100.0, 0.0], [900.0, 0.0], [100.0, 0.0]],
        vec![[100.0, 0.0], [900.0, 0.0], [900.0, 20.0], [100.0, 300.0]],
        vec![
            [100.0, 0.0],
            [900.0, 0.0],
            [900.0, 500.0],
            [300.0, 500.0],
            [300.0, -300.0],
        ],
    ] {
        let mut deck = rectangle_deck();
        deck.strips = vec![Strip {
            path: path
                .iter()
                .map(|[x, y]| Position::At(Point::new(*x, *y)))
                .collect(),
            ..strip()
        }];
        assert_eq!(only_fault(&deck).place, at(700));
    }
}

#[test]
fn faults_of_the_edge_and_of_what_lies_on_it_come_together() {
    let mut deck = points(plain(&[[0.0, 0.0], [10.0, 0.0]]));
    deck.openings = vec![feature(
        rectangle(0.0, 0.0, [10.0, 10.0], 50.0, 0.0),
        Opening::default(),
    )];
    assert_eq!(faults(&deck).len(), 2);
}

// Properties.

fn plausible_table() -> impl Strategy<Value = HalfBreadths> {
    let steps = prop::collection::vec((1.0..1500.0_f64, 1.0..2500.0_f64), 2..14);
    (steps, any::<[bool; 5]>()).prop_map(
        |(steps, [sharp, sharp_aft, round, round_aft, knuckle])| {
            let mut x = 0.0;
            let mut list = vec![[0.0, if sharp { 0.0 } else { 300.0 }]];
            for (step, breadth) in &steps {
                x += step;
                list.push([x, *breadth]);
            }
            if sharp_aft {
                list.push([x + 200.0, 0.0]);
            }
            let mut made = table(&list);
            made.forward = if round { End::Round } else { End::Sharp };
            made.aft = if round_aft { End::Round } else { End::Sharp };
            if knuckle {
                made.knuckles = vec![Placed::new(mm(list[list.len() / 2][0]), at(300))];
            }
            made
        },
    )
}

/// Whether a lattice polygon touches or crosses itself, decided in whole numbers.
fn crosses_exactly(list: &[[i64; 2]]) -> bool {
    let side = |a: [i64; 2], b: [i64; 2], c: [i64; 2]| {
        ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])).signum()
    };
    let within = |a: [i64; 2], b: [i64; 2], c: [i64; 2]| {
        side(a, b, c) == 0
            && (a[0].min(b[0])..=a[0].max(b[0])).contains(&c[0])
            && (a[1].min(b[1])..=a[1].max(b[1])).contains(&c[1])
    };
    let n = list.len();
    (0..n).any(|i| {
        let (a, b) = (list[i], list[(i + 1) % n]);
        // The neighbour running back over this edge.
        let next = list[(i + 2) % n];
        let back = within(a, b, next) || within(b, next, a);
        back || (i + 2..n).filter(|j| (j + 1) % n != i).any(|j| {
            let (c, d) = (list[j], list[(j + 1) % n]);
            let proper = side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
            proper || within(a, b, c) || within(a, b, d) || within(c, d, a) || within(c, d, b)
        })
    })
}

fn any_length() -> impl Strategy<Value = f64> {
    prop_oneof![
        20 => (-8..9_i32).prop_map(|step| f64::from(step) * 100.0),
        1 => Just(f64::NAN),
        1 => Just(f64::INFINITY),
        1 => Just(1e9),
        1 => Just(1e-7),
        1 => Just(-0.0),
    ]
}

fn any_corner() -> impl Strategy<Value = Corner> {
    let maybe = |share| prop::option::weighted(share, (any_length(), any_length()));
    (
        (any_length(), any_length()),
        maybe(0.2),
        maybe(0.2),
        prop::bool::weighted(0.2),
    )
        .prop_map(|((x, y), radius, through, breaks)| Corner {
            radius: radius.map(|(radius, _)| Placed::new(mm(radius.abs() / 4.0), at(1))),
            through: through.map(|(x, y)| Placed::new(Position::At(Point::new(x, y)), at(2))),
            breaks,
            ..corner(x, y)
        })
}

proptest! {
    // A third of a second each.
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn any_plausible_table_gives_a_sound_edge_or_a_fault(table in plausible_table()) {
        match trace(&deck(Outline::HalfBreadths(table.clone()))) {
            Ok((plan, _)) => {
                assert_sound(&plan.outline);
                // Through every point that was measured.
                let segments = plan.outline.ring.segments();
                for entry in &table.points {
                    let point = Point::new(entry.value.station.to_mm(), entry.value.breadth.to_mm());
                    prop_assert!(distance_to(segments, point) <= 0.01);
                }
                // Its own mirror image.
                prop_assert!((plan.outline.ring.first_moment().y).abs() <= 1e-9 * plan.outline.ring.signed_area() * 1e3);
            }
            Err(faults) => {
                prop_assert!(!faults.is_empty());
            }
        }
    }

}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn fitted_arcs_follow_any_batten_within_a_hundredth(
        list in prop::collection::vec((5.0..1200.0_f64, -600.0..600.0_f64), 3..12),
    ) {
        let mut x = 0.0;
        let points: Vec<Point> = list.iter().map(|(step, y)| { x += step; Point::new(x, *y) }).collect();
        let curve = spile::shape::Spline::through(
            &points, spile::shape::SplineEnd::Free, spile::shape::SplineEnd::Free,
        ).unwrap();
        let fitted = spile::shape::tangent_arcs(&curve, 0.0, curve.last(), 0.01);
        let mut seen = 0.0;
        for pair in fitted.windows(2) {
            prop_assert_eq!(pair[0].segment.end(), pair[1].segment.start());
            let (a, b) = (pair[0].segment.direction_at(1.0), pair[1].segment.direction_at(0.0));
            prop_assert!(a.cross(b).abs() <= 1e-7 && a.dot(b) > 0.0);
        }
        for piece in &fitted {
            prop_assert_eq!(piece.from, seen);
            seen = piece.to;
            for i in 0..=400 {
                let ask = piece.from + (piece.to - piece.from) * f64::from(i) / 400.0;
                let off = distance_to(&[piece.segment], curve.point_at(ask));
                prop_assert!(off <= 0.01, "{}", off);
            }
        }
        prop_assert_eq!(seen, curve.last());
    }

    #[test]
    fn a_lattice_outline_crosses_itself_exactly_where_whole_numbers_say_so(
        list in prop::collection::vec((0..7_i64, 0..7_i64), 3..9),
    ) {
        let mut list: Vec<[i64; 2]> = list.into_iter().map(|(x, y)| [x, y]).collect();
        list.dedup();
        if list.first() == list.last() {
            list.pop();
        }
        prop_assume!(list.len() >= 3);
        let corners = list.iter().map(|[x, y]| {
            #[allow(clippy::cast_precision_loss, reason = "single digits")]
            corner(100.0 * *x as f64, 100.0 * *y as f64)
        }).collect();
        prop_assert_eq!(trace(&points(corners)).is_err(), crosses_exactly(&list));
    }

    #[test]
    fn no_ring_however_wild_gives_anything_but_sound_rings_or_faults(
        corners in prop::collection::vec(any_corner(), 0..9),
        hatch in prop::collection::vec(any_corner(), 0..6),
        numbers in prop::collection::vec(any_length(), 8),
        curves in any::<[bool; 2]>(),
        both_sides in any::<bool>(),
    ) {
        let curve = |fair| if fair { Curve::Fair } else { Curve::Straight };
        let mut deck = deck(Outline::Points(ring_of(corners, curve(curves[0]))));
        let [a, b, c, d, e, f, g, h] = numbers[..] else { unreachable!() };
        for shape in [
            Shape::Points(ring_of(hatch, curve(curves[1]))),
            rectangle(a, b, [c, d], e, f),
            circle(a, c, g),
            Shape::Slot { from: Position::At(Point::new(a, b)), to: Position::At(Point::new(c, d)), width: mm(h) },
        ] {
            deck.smooth.push(Feature { both_sides, ..feature(shape, ()) });
        }
        deck.strips.push(Strip {
            width: mm(e),
            across_at: vec![mm(a)],
            along_at: vec![mm(b)],
            path: vec![Point::new(a, b).into(), Point::new(c, d).into(), Point::new(f, g).into()],
            both_sides,
            ..strip()
        });
        // Each by itself too, or the faults of one would hide the others.
        let mut bare = deck.clone();
        (bare.smooth, bare.strips) = (Vec::new(), Vec::new());
        let mut ground = rectangle_deck();
        (ground.smooth, ground.strips) = (deck.smooth.clone(), deck.strips.clone());
        let mut decks = vec![deck, bare, ground.clone()];
        for i in 0..ground.smooth.len() {
            let mut one = rectangle_deck();
            one.smooth = vec![ground.smooth[i].clone()];
            decks.push(one);
        }
        for deck in decks {
            match trace(&deck) {
                Ok((plan, _)) => {
                    assert_sound(&plan.outline);
                    for NamedRing { ring, .. } in &plan.smooth {
                        prop_assert!(ring.signed_area() > 0.0 && ring.length().is_finite());
                        prop_assert_eq!(ring.self_crossing(), None);
                    }
                    for strip in &plan.strips {
                        prop_assert!(strip.region.area() > 0.0);
                    }
                }
                Err(faults) => {
                    prop_assert!(!faults.is_empty());
                    for fault in faults {
                        prop_assert!(!fault.message.contains("-0 "), "{:?}", fault);
                    }
                }
            }
        }
    }

    #[test]
    fn a_ring_that_is_moved_gives_the_moved_ring(
        reach in prop::collection::vec(400.0..2000.0_f64, 3..12),
        radius in 0.0..60.0_f64,
        angle in -3.0..3.0_f64,
        shift in (-5000.0..5000.0_f64, -5000.0..5000.0_f64),
        fair in any::<bool>(),
    ) {
        let motion = |point: Point| point.turned(angle) + Point::new(shift.0, shift.1);
        let corners = |motion: &dyn Fn(Point) -> Point| -> Vec<Corner> {
            let turn = 2.0 * PI / f64::from(u32::try_from(reach.len()).unwrap());
            (0_u32..).zip(&reach).map(|(i, reach)| {
                let point = motion(Point::at_angle(turn * f64::from(i)) * *reach);
                if fair { corner(point.x, point.y) } else { rounded(point.x, point.y, radius) }
            }).collect()
        };
        let made = |corners| if fair { fair_points(corners) } else { points(corners) };
        let (still, moved) = (trace(&made(corners(&|point| point))), trace(&made(corners(&motion))));
        match (still, moved) {
            (Ok((still, _)), Ok((moved, _))) => {
                let (a, b) = (still.outline.ring.moved(&motion), moved.outline.ring);
                assert_close(b.signed_area(), a.signed_area(), if fair { 1e-5 } else { 1e-11 });
                if !fair {
                    prop_assert_eq!(a.segments().len(), b.segments().len());
                }
                // A fair curve may be divided elsewhere; both lie within 0.01 of one batten.
                for segment in a.segments() {
                    for share in [0.0, 0.3, 0.7] {
                        let off = distance_to(b.segments(), segment.point_at(share));
                        prop_assert!(off <= if fair { 0.02 } else { 1e-8 }, "{}", off);
                    }
                }
            }
            (Err(still), Err(moved)) => prop_assert_eq!(still.len(), moved.len()),
            (still, moved) => prop_assert!(false, "{:?} {:?}", still.is_ok(), moved.is_ok()),
        }
    }
}
