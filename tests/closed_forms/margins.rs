//! Margins that differ from edge to edge, and places that a hair decides.

use serde_json::Value;
use spile::shape::Point;

use crate::{Hand, PI, areas, codes, count, deck, field, job, pass};

const W: f64 = 19.0;
const H: f64 = W / 2.0;

/// A deck 2000 by 1000 whose margin passes from 100 to 50 half way along one side.
const STEPPED: &str = "[deck.outline]\npoints = [{ at = [0, 0], edge = \"wide\" }, { at = [1000, 0], edge = \
                       \"narrow\" }, [2000, 0], [2000, 1000], [0, 1000]]\n[deck.margin]\nedge = 50\n\
                       edges = { wide = 100 }\n";

/// Whether some field of a deck has a corner or a tangent point there, to a millionth of a millimetre.
#[track_caller]
fn has_vertices(body: &str, points: &[(f64, f64)]) {
    let job = job(&format!("title = \"t\"\n[[deck]]\nid = \"d\"\n{body}"));
    let region = job.decks[0].pattern.field_region();
    for (x, y) in points {
        let nearest = region
            .segments()
            .map(|segment| segment.start().distance(Point::new(*x, *y)))
            .fold(f64::INFINITY, f64::min);
        assert!(
            nearest < 1e-6,
            "no vertex at ({x}, {y}); the nearest is {nearest} off"
        );
    }
}

#[test]
fn a_square_step() {
    let body = format!("{STEPPED}blend = 0\n");
    let deck = deck(&body);
    // 1900 by 900 less 950 by 50 beside the wide half.
    let (a, p) = (1_662_500.0, 5600.0);
    let moment = |x: f64, y: f64| (1_710_000.0 * x - 47_500.0 * y) / a;
    areas(&deck, 2e6, a, 0.0, 0.0);
    field(
        &deck,
        0,
        Hand {
            area: a,
            perimeter: p,
            rings: 1,
            centroid: (moment(1000.0, 525.0), moment(500.0, 75.0)),
            clearance: 50.0,
            round: None,
            hollow: None,
        },
    );
    // Into the field five square corners lose 2h each and give w² back; the inward one gains a quarter
    // turn of h and takes a quarter disc of w.
    pass(
        &deck,
        0,
        p,
        p - 10.0 * H + PI / 2.0 * H,
        6000.0,
        a - p * W + 5.0 * W * W - PI / 4.0 * W * W,
    );
    // Outward the other way about.
    pass(
        &deck,
        1,
        p,
        p + 5.0 * PI / 2.0 * H - 2.0 * H,
        0.0,
        2e6 - a - (p * W + 5.0 * PI / 4.0 * W * W - W * W),
    );
    has_vertices(
        &body,
        &[
            (50.0, 100.0),
            (1000.0, 100.0),
            (1000.0, 50.0),
            (1950.0, 50.0),
            (1950.0, 950.0),
            (50.0, 950.0),
        ],
    );
}

#[test]
fn a_taper_of_two_reversed_arcs() {
    let deck = deck(STEPPED);
    // Δ = 50 over L = 5Δ = 250: R = (L² + Δ²)/4Δ = 325, each arc through asin(125/325).
    let r = 325.0f64;
    let turn = (125.0 / r).asin();
    let taper = 2.0 * r * turn;
    assert!((taper - 256.614_227_8).abs() < 1e-6);
    // The step, less the ground under the taper: half of 250 by 50, for it is its own image turned about
    // its middle (1125, 75).
    let under = 6250.0;
    let (a, p) = (1_662_500.0 - under, 5600.0 - 50.0 - 250.0 + taper);
    // At u from the joint the taper is at 75 + f(u), f = 25 - R + √(R² - u²), odd about its middle.
    // S = ∫√, with √(R² - 125²) = 300; K = ∫(125 - u) f; Q = ∫f²; all from 0 to 125.
    let s = (125.0 * 300.0 + r * r * turn) / 2.0;
    let k = (25.0 - r) * 125.0 * 125.0 / 2.0 + 125.0 * s - (r.powi(3) - 300f64.powi(3)) / 3.0;
    let q = 125.0 * ((25.0 - r).powi(2) + r * r) - 125f64.powi(3) / 3.0 + 2.0 * (25.0 - r) * s;
    // Moments of the ground between y = 50 and the taper.
    let (under_x, under_y) = (
        1125.0 * under - 2.0 * k,
        (250.0 * (75.0 * 75.0 - 50.0 * 50.0) + 2.0 * q) / 2.0,
    );
    areas(&deck, 2e6, a, 0.0, 0.0);
    field(
        &deck,
        0,
        Hand {
            area: a,
            perimeter: p,
            rings: 1,
            centroid: (
                (1_710_000.0 * 1000.0 - 47_500.0 * 525.0 - under_x) / a,
                (1_710_000.0 * 500.0 - 47_500.0 * 75.0 - under_y) / a,
            ),
            clearance: 50.0,
            round: Some(325.0),
            hollow: Some(325.0),
        },
    );
    // The two arcs turn equally and oppositely, so that the tape beside them is as long as they are; the
    // four square corners are left.
    pass(&deck, 0, p, p - 4.0 * W, 6000.0, a - p * W + 4.0 * W * W);
    pass(&deck, 1, p, p + PI * W, 0.0, 2e6 - a - (p * W + PI * W * W));
    has_vertices(STEPPED, &[(1000.0, 100.0), (1125.0, 75.0), (1250.0, 50.0)]);
}

#[test]
fn a_taper_is_as_long_as_asked_and_lies_along_the_narrower_edge_either_way_round() {
    // The same deck listed the other way round; the blend is 200: R = (200² + 50²)/200 = 212.5.
    let body = "[deck.outline]\npoints = [[0, 1000], [2000, 1000], { at = [2000, 0], edge = \"narrow\" }, \
                { at = [1000, 0], edge = \"wide\" }, [0, 0]]\n[deck.margin]\nedge = 50\n\
                edges = { wide = 100 }\nblend = 200\n";
    let deck = deck(body);
    let r = 212.5f64;
    let taper = 2.0 * r * (100.0 / r).asin();
    areas(&deck, 2e6, 1_662_500.0 - 200.0 * 50.0 / 2.0, 0.0, 0.0);
    crate::is(
        &deck["fields"][0]["perimeter_m"],
        (5600.0 - 50.0 - 200.0 + taper) / 1e3,
    );
    crate::is(&deck["fields"][0]["tightest_round_mm"], r);
    crate::is(&deck["fields"][0]["tightest_hollow_mm"], r);
    has_vertices(body, &[(1000.0, 100.0), (1100.0, 75.0), (1200.0, 50.0)]);
}

#[test]
fn a_wider_margin_round_the_corners_of_its_edge() {
    let body = "[deck.outline]\npoints = [{ at = [0, -1000], radius = 300, edge = \"port\" }, { at = [3000, -1000], \
                radius = 300, edge = \"aft\" }, { at = [3000, 1000], radius = 300 }, { at = [0, 1000], radius = 300 }]\n\
                [deck.margin]\nedge = 50\nedges = { aft = 100 }\n";
    let deck = deck(body);
    // The arcs of the after corners go with the larger margin; the tapers lie along the sides. From the
    // field that a margin of 50 leaves, 50 more goes along 1400 aft and round two quarters from 250 to
    // 200, and half of 250 by 50 at each taper.
    let (whole, even) = (
        crate::rounded_area(3000.0, 2000.0, 300.0),
        crate::rounded_area(2900.0, 1900.0, 250.0),
    );
    let a = even - 1400.0 * 50.0 - PI / 2.0 * (250.0 * 250.0 - 200.0 * 200.0) - 250.0 * 50.0;
    let taper = 2.0 * 325.0 * (125.0f64 / 325.0).asin();
    let p = 2.0 * 1400.0 + PI * 250.0 + PI * 200.0 + 2.0 * (2400.0 - 250.0 + taper);
    areas(&deck, whole, a, 0.0, 0.0);
    crate::is(&deck["fields"][0]["perimeter_m"], p / 1e3);
    crate::is(&deck["fields"][0]["clearance_mm"], 50.0);
    crate::is(&deck["fields"][0]["tightest_round_mm"], 200.0);
    crate::is(&deck["fields"][0]["tightest_hollow_mm"], 325.0);
    // Smooth all round, so both passes follow P and A alone.
    let edge = crate::rounded_around(3000.0, 2000.0, 300.0);
    pass(&deck, 0, p, p - PI * W, edge, a - (p * W - PI * W * W));
    pass(
        &deck,
        1,
        p,
        p + PI * W,
        0.0,
        whole - a - (p * W + PI * W * W),
    );
    has_vertices(
        body,
        &[
            (2700.0, -900.0),
            (2575.0, -925.0),
            (2450.0, -950.0),
            (2900.0, -700.0),
            (2900.0, 700.0),
        ],
    );
}

#[test]
fn an_inward_corner_of_two_margins() {
    let body = "[deck.outline]\npoints = [[0, 0], [2000, 0], { at = [2000, 1000], edge = \"a\" }, \
                { at = [1000, 1000], edge = \"b\" }, [1000, 2000], [0, 2000]]\n[deck.margin]\nedge = 50\n\
                edges = { a = 100, b = 50 }\n";
    // The parallel 100 below edge a and the one 50 from edge b meet in the mitre at (950, 900), 111.8 from
    // the corner, less than twice the larger margin; but the larger margin's arc about the corner reaches
    // x = 900 at y = 1000. The band is the quarter disc of 100 with the mitre's rectangle 50 by 100.
    // The arc and the rectangle's side x = 950 meet at y = 1000 - √(100² - 50²).
    let up = (100.0f64 * 100.0 - 50.0 * 50.0).sqrt();
    has_vertices(
        body,
        &[
            (950.0, 900.0),
            (950.0, 1000.0 - up),
            // The arc ends square to edge b, a step up from its band.
            (900.0, 1000.0),
            (950.0, 1000.0),
        ],
    );
    let deck = deck(body);
    // Without the corner: below y = 900 50 to 1950, above it 50 to 950 up to 1950. The arc's part beyond
    // x = 950: a circular sector from 30° to 90° less a triangle.
    let beyond = 100.0 * 100.0 * (50.0f64 / 100.0).acos() / 2.0 - 50.0 * up / 2.0;
    areas(
        &deck,
        3e6,
        1900.0 * 850.0 + 900.0 * 1050.0 - beyond,
        0.0,
        0.0,
    );
}

#[test]
fn a_wide_margin_stops_at_a_slot() {
    // A tongue 20 wide lies between the wide edge and a slot 10 wide; the margin of 100 takes the tongue
    // and what is forward of the slot, and does not reach across. Beyond the slot its own edges keep 5.
    let deck = deck(
        "[deck.outline]\npoints = [{ at = [0, 0], edge = \"wide\" }, [1000, 0], [1000, 20], [200, 20], [200, 30], \
         [1000, 30], [1000, 1000], [0, 1000]]\n[deck.margin]\nedge = 5\nedges = { wide = 100 }\n",
    );
    // From 5 to 995, above 100 as far as the slot's end at 200, above 35 beyond it.
    let area = 990.0 * (995.0 - 100.0) + (995.0 - 200.0) * (100.0 - 35.0);
    let whole = 1e6 - 800.0 * 10.0;
    areas(&deck, whole, area, 0.0, 0.0);
    assert_eq!(count(&deck), 1);
}

/// A deck of two lobes 1000 square with a neck `neck` wide between them, margin 50, rounds of 40.
fn lobes(neck: f64) -> Value {
    let (low, high) = (500.0 - neck / 2.0, 500.0 + neck / 2.0);
    deck(&format!(
        "[deck.outline]\npoints = [[0, 0], [1000, 0], [1000, {low}], [1500, {low}], [1500, 0], [2500, 0], \
         [2500, 1000], [1500, 1000], [1500, {high}], [1000, {high}], [1000, 1000], [0, 1000]]\n\
         [deck.margin]\nedge = 50\n[deck.radius]\nround = 40\n"
    ))
}

#[test]
fn a_passage_exactly_as_wide_as_the_disc_is_one_knife_edge_and_says_where() {
    // 180 less two margins is 80, twice the round.
    let exact = lobes(180.0);
    assert_eq!(codes(&exact), ["knife-edge"]);
    let warning = &exact["warnings"][0];
    let (x, y) = (
        warning["at_mm"][0].as_f64().expect("a number"),
        warning["at_mm"][1].as_f64().expect("a number"),
    );
    assert!(
        (950.0..1550.0).contains(&x) && (460.0..540.0).contains(&y),
        "{x}, {y} is not in the passage"
    );
    let message = warning["message"].as_str().expect("a sentence");
    let station = format!("station {} mm", x.round());
    assert!(
        message.contains(&station) && message.contains("500 mm to starboard"),
        "{message}"
    );
    assert!(
        message.contains("laid as non-skid") && message.contains("left smooth"),
        "{message}"
    );
    // 0.3 mm either side is plain: the passage is laid, or it is not and parts the field.
    let (wider, narrower) = (lobes(180.3), lobes(179.7));
    assert!(codes(&wider).is_empty(), "{:?}", codes(&wider));
    assert!(codes(&narrower).is_empty(), "{:?}", codes(&narrower));
    assert_eq!((count(&wider), count(&narrower)), (1, 2));
}

#[test]
fn a_passage_between_two_cleats_is_judged_alike() {
    // Round cleats of 100, margins of 30, `gap` between their margins, as wide as a disc of 40 at 80. The
    // passage has no length, so all that hangs on it is what lies between the tangent points.
    let passage = |gap: f64| {
        deck(&format!(
            "[deck.outline]\npoints = [[0, -500], [2000, -500], [2000, 500], [0, 500]]\n[deck.margin]\nedge = 100\n\
             fitting = 30\n[deck.radius]\nround = 40\n[[deck.fitting]]\nname = \"cleat\"\n\
             rectangle = {{ at = [1000, {}], size = [300, 100] }}\nboth_sides = true\n",
            gap / 2.0 + 30.0 + 50.0
        ))
    };
    assert_eq!(codes(&passage(80.0)), ["knife-edge"]);
    for gap in [79.7, 80.3] {
        let deck = passage(gap);
        assert!(codes(&deck).is_empty(), "{gap}: {:?}", codes(&deck));
    }
}

#[test]
fn a_neck_narrower_than_two_margins_parts_the_field() {
    // Two lobes 1000 square, a neck 150 by 500, margin 100. Each lobe leaves 800 square, and of the 150
    // mouth of the neck what is further than 100 from both corners of it: at s inside the lobe's side
    // there is a bulge between two arcs of 100 about corners 150 apart, 100 - √(100² - 75²) deep.
    let deck = deck(
        "[deck.outline]\npoints = [[0, 0], [1000, 0], [1000, 425], [1500, 425], [1500, 0], [2500, 0], \
         [2500, 1000], [1500, 1000], [1500, 575], [1000, 575], [1000, 1000], [0, 1000]]\n\
         [deck.margin]\nedge = 100\n",
    );
    // The bulge: 150 wide, 100 high, less what both quarter discs cover of it: each from its corner out to
    // the middle, ∫√(100² - t²) from 0 to 75.
    let covered = (75.0 * (1e4f64 - 5625.0).sqrt() + 1e4 * (0.75f64).asin()) / 2.0;
    let bulge = 150.0 * 100.0 - 2.0 * covered;
    areas(
        &deck,
        2e6 + 75_000.0,
        2.0 * (800.0 * 800.0 + bulge),
        0.0,
        0.0,
    );
    assert!((2.0 * (640_000.0 + bulge) - 1_283_117.191_004).abs() < 1e-5);
    assert_eq!(count(&deck), 2);
}

#[test]
fn a_deck_exactly_as_wide_as_the_disc_and_a_ring_likewise() {
    // 80 mm between the margins, straight and round a hatch; either answer is right, and one warning says so.
    let board = |wide: f64| {
        deck(&format!(
            "[deck.outline]\npoints = [[0, 0], [2000, 0], [2000, {wide}], [0, {wide}]]\n[deck.margin]\nedge = 50\n\
             [deck.radius]\nround = 40\n"
        ))
    };
    let ring = |wide: f64| {
        deck(&format!(
            "[deck.outline]\npoints = [{{ at = [0, 0], through = [500, -500] }}, {{ at = [1000, 0], through = [500, \
             500] }}]\n[deck.margin]\nedge = 50\nopening = 100\n[deck.radius]\nround = 40\n[[deck.opening]]\n\
             name = \"hatch\"\ncircle = {{ at = [500, 0], radius = {} }}\n",
            500.0 - wide
        ))
    };
    for (exact, wider, narrower) in [
        (board(180.0), board(180.3), board(179.7)),
        (ring(230.0), ring(230.3), ring(229.7)),
    ] {
        let said = codes(&exact);
        let hairs = said.iter().filter(|code| **code == "knife-edge").count();
        assert_eq!(hairs, 1, "{said:?}");
        assert!(codes(&wider).is_empty(), "{:?}", codes(&wider));
        assert_eq!(count(&wider), 1);
        assert_eq!(codes(&narrower), ["no-field"]);
    }
}

#[test]
fn every_knife_edge_has_a_warning_at_its_own_place() {
    // A hatch on the centreline with a passage of 80 on either side, fillets of 25.
    let passages = |gap: f64| {
        deck(&format!(
            "[deck.outline]\npoints = [[0, -500], [2000, -500], [2000, 500], [0, 500]]\n[deck.margin]\nedge = 50\n\
             [deck.radius]\nround = 40\nhollow = 25\n[[deck.opening]]\nname = \"hatch\"\n\
             rectangle = {{ at = [1000, 0], size = [600, {}], radius = 60 }}\n",
            2.0 * (500.0 - 50.0 - gap - 50.0)
        ))
    };
    let exact = passages(80.0);
    assert_eq!(codes(&exact), ["knife-edge", "knife-edge"]);
    let mut sides: Vec<f64> = (0..2)
        .map(|index| {
            let at = &exact["warnings"][index]["at_mm"];
            assert!((at[0].as_f64().expect("a number") - 1000.0).abs() < 300.0);
            at[1].as_f64().expect("a number")
        })
        .collect();
    sides.sort_by(f64::total_cmp);
    // From 370 to 450 off the centreline.
    assert!((-450.0..-370.0).contains(&sides[0]) && (370.0..450.0).contains(&sides[1]));
    for (gap, fields) in [(80.3, 1), (79.7, 2)] {
        let deck = passages(gap);
        assert!(codes(&deck).is_empty(), "{gap}: {:?}", codes(&deck));
        assert_eq!(count(&deck), fields);
    }
}
