//! The kernel against closed forms: areas and lengths that can be written down by hand.

use spile::shape::{Arc, Point, Region, Ring, Segment};
use spile::units::Length;

fn mm(length: f64) -> Length {
    Length::mm(length)
}

fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Region {
    Region::inside(Ring::polygon(&[
        Point::new(x0, y0),
        Point::new(x1, y0),
        Point::new(x1, y1),
        Point::new(x0, y1),
    ]))
}

fn disc(x: f64, y: f64, radius: f64) -> Region {
    Region::inside(Ring::circle(Point::new(x, y), radius))
}

/// A rectangle with rounded corners, exact arcs.
fn rounded(x0: f64, y0: f64, x1: f64, y1: f64, r: f64) -> Region {
    use std::f64::consts::FRAC_PI_2 as Q;
    let corners = [
        (x1 - r, y0 + r, -Q),
        (x1 - r, y1 - r, 0.0),
        (x0 + r, y1 - r, Q),
        (x0 + r, y0 + r, 2.0 * Q),
    ];
    let arcs: Vec<Arc> = corners
        .iter()
        .map(|(x, y, from)| Arc::about(Point::new(*x, *y), r, *from, Q))
        .collect();
    let mut segments = Vec::new();
    for (index, arc) in arcs.iter().enumerate() {
        segments.push(Segment::Arc(*arc));
        segments.push(Segment::Line(arc.end, arcs[(index + 1) % 4].start));
    }
    Region::inside(Ring::new(segments))
}

#[track_caller]
fn close(found: f64, expected: f64) {
    let error = (found - expected).abs() / expected.abs().max(1.0);
    assert!(
        error < 1e-9,
        "found {found}, expected {expected}, relative error {error:e}"
    );
}

const PI: f64 = std::f64::consts::PI;

#[test]
fn a_margin_round_a_rectangle_with_round_corners_leaves_a_rectangle_with_smaller_ones() {
    let field = rounded(0.0, 0.0, 3000.0, 2000.0, 300.0).eroded(mm(100.0));
    close(field.area(), 2800.0 * 1800.0 - (4.0 - PI) * 200.0 * 200.0);
    close(field.perimeter(), 2.0 * 4600.0 - (8.0 - 2.0 * PI) * 200.0);
    assert_eq!(field.rings()[0].segments().len(), 8);
    let perimeter = field.perimeter();
    close(field.eroded(mm(12.5)).perimeter(), perimeter - PI * 25.0);
    close(field.dilated(mm(12.5)).perimeter(), perimeter + PI * 25.0);
}

#[test]
fn the_inward_corner_of_an_l_is_kept_off_by_an_arc() {
    let l = rectangle(0.0, 0.0, 3000.0, 3000.0)
        .difference(&[&rectangle(1500.0, 1500.0, 3000.0, 3000.0)]);
    close(
        l.eroded(mm(100.0)).opened(mm(50.0)).area(),
        5_589_463.495_408_069,
    );
}

#[test]
fn an_annulus_stays_an_annulus() {
    let ring = disc(0.0, 0.0, 1000.0).difference(&[&disc(0.0, 0.0, 400.0)]);
    close(ring.area(), PI * (1000.0f64.powi(2) - 400.0f64.powi(2)));
    close(
        ring.eroded(mm(50.0)).area(),
        PI * (950.0f64.powi(2) - 450.0f64.powi(2)),
    );
}

#[test]
fn a_neck_narrower_than_two_margins_parts_the_field() {
    let decks = rectangle(0.0, 0.0, 1000.0, 1000.0).union(&[
        &rectangle(1500.0, 0.0, 2500.0, 1000.0),
        &rectangle(1000.0, 425.0, 1500.0, 575.0),
    ]);
    let field = decks.eroded(mm(100.0));
    assert_eq!(field.components().len(), 2);
    assert!(
        (field.area() - 1_283_117.191_004).abs() < 1e-5,
        "{}",
        field.area()
    );
}

#[test]
fn two_tangent_discs_leave_their_cusps_until_the_field_is_rounded() {
    let field = rectangle(0.0, 0.0, 3000.0, 2000.0)
        .difference(&[&disc(1300.0, 1000.0, 200.0), &disc(1700.0, 1000.0, 200.0)]);
    close(field.area(), 6_000_000.0 - 2.0 * PI * 200.0 * 200.0);
    let opened = field.opened(mm(20.0));
    assert!(
        (opened.area() - 5_746_957.469_835).abs() < 1e-5,
        "{}",
        opened.area()
    );
}

#[test]
fn a_disc_that_touches_the_edge_of_a_field_takes_its_half() {
    let field = rectangle(0.0, 0.0, 2000.0, 1000.0).eroded(mm(100.0));
    for (x, y) in [(100.0, 500.0), (1000.0, 100.0), (1000.0, 200.0)] {
        let left = field.difference(&[&disc(x, y, 100.0)]);
        let whole = if y == 200.0 { 1.0 } else { 0.5 };
        close(left.area(), 1_440_000.0 - whole * PI * 100.0 * 100.0);
    }
}

#[test]
fn strips_make_fields_and_every_corner_is_rounded() {
    let field = rectangle(0.0, 0.0, 2000.0, 1000.0)
        .eroded(mm(100.0))
        .difference(&[
            &rectangle(600.0, -10.0, 620.0, 1010.0),
            &rectangle(-10.0, 490.0, 2010.0, 510.0),
        ])
        .opened(mm(50.0));
    assert_eq!(field.components().len(), 4);
    assert!(
        (field.area() - 1_379_815.926_536).abs() < 1e-5,
        "{}",
        field.area()
    );
}

#[test]
fn a_quadrilateral_grows_by_steiners_formula() {
    // Steiner: A + P r + πr², P + 2πr for a convex body.
    let quad = Region::inside(Ring::polygon(&[
        Point::new(0.0, 0.0),
        Point::new(700.0, -100.0),
        Point::new(900.0, 400.0),
        Point::new(300.0, 650.0),
    ]));
    let grown = quad.dilated(mm(37.5));
    close(
        grown.area(),
        quad.area() + quad.perimeter() * 37.5 + PI * 37.5 * 37.5,
    );
    close(grown.perimeter(), quad.perimeter() + 2.0 * PI * 37.5);
    assert!((grown.area() - 519_849.651_484).abs() < 1e-5);
    assert!((grown.perimeter() - 2_847.133_764).abs() < 1e-5);
}

#[test]
fn a_concave_ring_grows_and_shrinks_back_by_bands() {
    let l = rectangle(0.0, 0.0, 3000.0, 3000.0)
        .difference(&[&rectangle(1500.0, 1500.0, 3000.0, 3000.0)]);
    let grown = l.dilated(mm(40.0));
    // Five outward corners of a quarter disc each; at the inward one the bands overlap by a square.
    close(
        grown.area(),
        6_750_000.0 + 12_000.0 * 40.0 + 5.0 * PI * 1600.0 / 4.0 - 1600.0,
    );
    close(
        grown.eroded(mm(40.0)).area(),
        l.area() + (1.0 - PI / 4.0) * 1600.0,
    );
}

#[test]
fn an_inward_corner_takes_its_fillet_and_a_gap_is_not_bridged() {
    let l = rectangle(0.0, 0.0, 3000.0, 3000.0)
        .difference(&[&rectangle(1500.0, 1500.0, 3000.0, 3000.0)]);
    let filled = l.hollows_filled(mm(200.0), |_| true);
    assert_eq!(filled.fillets.len(), 1);
    close(
        filled.region.area(),
        l.area() + (1.0 - PI / 4.0) * 200.0 * 200.0,
    );
    let apart = rectangle(0.0, 0.0, 500.0, 500.0).union(&[&rectangle(530.0, 0.0, 1000.0, 500.0)]);
    let filled = apart.hollows_filled(mm(40.0), |_| true);
    assert_eq!(filled.fillets.len(), 0);
    close(filled.region.area(), apart.area());
    // A hole smaller than the disc is not an inward corner: it stays.
    let holed = rectangle(0.0, 0.0, 500.0, 500.0).difference(&[&disc(250.0, 250.0, 20.0)]);
    close(
        holed.hollows_filled(mm(40.0), |_| true).region.area(),
        holed.area(),
    );
}

#[test]
fn the_closing_that_defeats_floating_point_is_right() {
    // A rectangle 1000 x 600 with corners of 120, margin 20, an obstacle with corners of 20 whose sides
    // are in line with the field's tangent points; closed by 40.
    let field = rounded(0.0, 0.0, 1000.0, 600.0, 120.0)
        .eroded(mm(20.0))
        .difference(&[&rounded(40.0, 460.0, 120.0, 580.0, 20.0)]);
    let closed = field.dilated(mm(40.0)).eroded(mm(40.0));
    assert!(
        (closed.area() - 524_403.606).abs() < 1e-3,
        "{}",
        closed.area()
    );
}

#[test]
fn opening_a_rectangle_twice_is_opening_it_once() {
    let field = rectangle(0.0, 0.0, 2000.0, 1000.0);
    let once = field.opened(mm(50.0));
    close(once.area(), 1_997_853.981_633_974_5);
    assert!((once.opened(mm(50.0)).area() - once.area()).abs() < 1e-6);
    assert_eq!(once.opened(mm(50.0)).rings()[0].segments().len(), 8);
}

/// A ring from a list of corners, in hundredths of the published unit.
fn published(corners: &[(f64, f64)]) -> Region {
    let points: Vec<Point> = corners
        .iter()
        .map(|(x, y)| Point::new(x * 100.0, y * 100.0))
        .collect();
    Region::inside(Ring::polygon(&points))
}

#[test]
fn published_buffers_of_polygons() {
    // Boost.Geometry, test/algorithms/buffer/buffer_polygon.cpp (BSL-1.0): "indentation", round, -0.4, is
    // 7.255 there and 7.253 by GEOS; "bowl", round, +1, is 60.025 and 60.026. Both are polygons there.
    let indentation = published(&[
        (0.0, 0.0),
        (0.0, 5.0),
        (4.0, 5.0),
        (4.0, 4.0),
        (3.0, 3.0),
        (2.0, 4.0),
        (2.0, 1.0),
        (3.0, 2.0),
        (4.0, 1.0),
        (4.0, 0.0),
    ]);
    assert!((indentation.eroded(mm(40.0)).area() / 1e4 - 7.253).abs() < 0.005);
    let bowl = published(&[
        (1.0, 2.0),
        (1.0, 7.0),
        (2.0, 7.0),
        (3.0, 5.0),
        (5.0, 4.0),
        (7.0, 5.0),
        (8.0, 7.0),
        (9.0, 7.0),
        (9.0, 2.0),
    ]);
    assert!((bowl.dilated(mm(100.0)).area() / 1e4 - 60.026).abs() < 0.005);
    // A square of 100, +10: 14312.145 with eight chords a quadrant (JTS), exactly 14000 + 100π; -10: 6400.
    let square = published(&[(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]);
    close(square.dilated(mm(10.0)).area(), 14_000.0 + 100.0 * PI);
    close(square.eroded(mm(10.0)).area(), 6400.0);
}

#[test]
fn a_board_with_round_corners_and_the_middle_of_its_tape() {
    // 2 m x 0.6 m, corners of 50 mm: 1.197854 m², 5.114159 m; the middle of 19 mm tape is 5.054469 m inside
    // and 5.173850 m outside (derived: P ∓ πw).
    let board = rounded(0.0, 0.0, 2000.0, 600.0, 50.0);
    assert!((board.area() / 1e6 - 1.197_854).abs() < 1e-6);
    assert!((board.perimeter() / 1e3 - 5.114_159).abs() < 1e-6);
    assert!((board.eroded(mm(9.5)).perimeter() / 1e3 - 5.054_469).abs() < 1e-6);
    assert!((board.dilated(mm(9.5)).perimeter() / 1e3 - 5.173_850).abs() < 1e-6);
}
