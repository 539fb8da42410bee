//! Every figure of both passes, and of every field, for each kind of deck. The tape is 19 mm wide, w;
//! its middle runs h = w/2 beside the paint line.
//!
//! Two formulas carry most of it. A ring without corners that turns round once, grown by d as a set, has
//! the length P + 2πd and takes in Pd + πd² more (Steiner); sharp outward corners grow as arcs, so it
//! holds for them too. Shrunk by d, each sharp square corner loses 2d of length and gives d² back.

use crate::{
    Hand, PI, areas, codes, count, deck, field, figures, is, pass, rounded_area, rounded_around,
    slot,
};

const W: f64 = 19.0;
const H: f64 = W / 2.0;

/// Area of the tape's body outside a ring of perimeter `p`.
fn body_outside(p: f64) -> f64 {
    p * W + PI * W * W
}

#[test]
fn a_stadium() {
    let deck = deck(
        "[deck.outline]\npoints = [{ at = [0, -300], radius = 300 }, { at = [2000, -300], radius = 300 },\
         { at = [2000, 300], radius = 300 }, { at = [0, 300], radius = 300 }]\n[deck.margin]\nedge = 50\n",
    );
    // Every point within 250 of a line 1400 long.
    let ((whole, edge), (a, p)) = (slot(1400.0, 300.0), slot(1400.0, 250.0));
    areas(&deck, whole, a, 0.0, 0.0);
    is(&deck["perimeter_m"], edge / 1e3);
    field(
        &deck,
        0,
        Hand {
            area: a,
            perimeter: p,
            rings: 1,
            centroid: (1000.0, 0.0),
            clearance: 50.0,
            round: Some(250.0),
            hollow: None,
        },
    );
    pass(&deck, 0, p, p - PI * W, edge, slot(1400.0, 231.0).0);
    pass(&deck, 1, p, p + PI * W, 0.0, whole - slot(1400.0, 269.0).0);
}

#[test]
fn a_round_deck() {
    for outline in [
        "points = [{ at = [0, -800], radius = 800 }, { at = [1600, -800], radius = 800 },\
         { at = [1600, 800], radius = 800 }, { at = [0, 800], radius = 800 }]",
        "points = [{ at = [0, 0], through = [800, -800] }, { at = [1600, 0], through = [800, 800] }]",
    ] {
        let deck = deck(&format!(
            "[deck.outline]\n{outline}\n[deck.margin]\nedge = 60\n"
        ));
        assert_eq!(count(&deck), 1);
        field(
            &deck,
            0,
            Hand {
                area: PI * 740.0 * 740.0,
                perimeter: 2.0 * PI * 740.0,
                rings: 1,
                centroid: (800.0, 0.0),
                clearance: 60.0,
                round: Some(740.0),
                hollow: None,
            },
        );
        assert!(codes(&deck).is_empty());
    }
}

#[test]
fn an_l_with_a_hollow_corner() {
    let outline = "[deck.outline]\npoints = [[0, 0], [3000, 0], [3000, 1500], [1500, 1500], [1500, 3000], \
                   [0, 3000]]\n[deck.margin]\nedge = 100\n";
    // The inward arc: of the margin about the deck's corner, or the hollow's own.
    for (radius, clearance) in [
        (100.0, 100.0),
        // At a square corner a fillet of R leaves m√2 - (√2 - 1)R.
        (200.0, 100.0 * 2f64.sqrt() - (2f64.sqrt() - 1.0) * 200.0),
    ] {
        let deck = deck(&format!("{outline}[deck.radius]\nhollow = {radius}\n"));
        // A square of side s less one of 1500 at its far corner, that corner filled by (1 - π/4)r².
        let l = |s: f64, r: f64| s * s - 1500.0 * 1500.0 + (1.0 - PI / 4.0) * r * r;
        let around = |s: f64, r: f64| 4.0 * s - 2.0 * r + PI / 2.0 * r;
        let (a, p) = (l(2800.0, radius), around(2800.0, radius));
        // Moments about x = 0, the same about y = 0: the square's, less the notch's (1400 to 2900), and
        // the filling's: a square of side R less a quarter disc, both seen from the arc's centre at
        // 1400 + R, is (1 - π/4)R² there less R³/2 - R³/3.
        let filling =
            (1.0 - PI / 4.0) * radius * radius * (1400.0 + radius) - radius * radius * radius / 6.0;
        let centre = (2800.0 * 2800.0 * 1500.0 - 1500.0 * 1500.0 * 2150.0 + filling) / a;
        areas(&deck, 6.75e6, a, 0.0, 0.0);
        is(&deck["perimeter_m"], 12.0);
        field(
            &deck,
            0,
            Hand {
                area: a,
                perimeter: p,
                rings: 1,
                centroid: (centre, centre),
                clearance,
                round: None,
                hollow: Some(radius),
            },
        );
        // Into the field the inward arc grows; the notch keeps its place, the square shrinks.
        let into = around(2800.0 - W, radius + H);
        pass(&deck, 0, p, into, 12_000.0, l(2800.0 - 2.0 * W, radius + W));
        pass(&deck, 1, p, p + PI * W, 0.0, 6.75e6 - a - body_outside(p));
    }
}

#[test]
fn the_warning_at_a_hollow_corner_names_the_place_and_what_is_left() {
    let deck = deck(
        "[deck.outline]\npoints = [[0, 0], [3000, 0], [3000, 1500], [1500, 1500], [1500, 3000], \
         [0, 3000]]\n[deck.margin]\nedge = 100\n[deck.radius]\nhollow = 200\n",
    );
    let warning = &deck["warnings"][0];
    let message = warning["message"].as_str().expect("a sentence");
    // 58.57864376 mm; the arc's middle at 1600 - 200/√2 = 1458.58 both ways.
    assert!(message.contains("58.6 mm"), "{message}");
    assert!(message.contains("100 mm"), "{message}");
    for axis in 0..2 {
        is(&warning["at_mm"][axis], 1600.0 - 200.0 / 2f64.sqrt());
    }
}

#[test]
fn a_round_deck_with_a_round_hatch() {
    let deck = deck(
        "[deck.outline]\npoints = [{ at = [0, 0], through = [1000, -1000] }, { at = [2000, 0], through = \
         [1000, 1000] }]\n[deck.margin]\nedge = 50\n[[deck.opening]]\nname = \"hatch\"\n\
         circle = { at = [1000, 0], radius = 400 }\n",
    );
    is(&deck["perimeter_m"], 2.0 * PI);
    field(
        &deck,
        0,
        Hand {
            // 2199114.857513
            area: PI * (950.0 * 950.0 - 450.0 * 450.0),
            perimeter: 2.0 * PI * 1400.0,
            rings: 2,
            centroid: (1000.0, 0.0),
            clearance: 50.0,
            round: Some(950.0),
            hollow: Some(450.0),
        },
    );
}

#[test]
fn a_rectangle_with_a_round_hatch() {
    let deck = deck(
        "[deck.outline]\npoints = [[0, -500], [2000, -500], [2000, 500], [0, 500]]\n[deck.margin]\nedge = 60\n\
         [deck.radius]\nround = 30\n[[deck.opening]]\nname = \"hatch\"\n\
         circle = { at = [800, 0], diameter = 500 }\nmargin = 55\n",
    );
    let disc = |r: f64| PI * r * r;
    let outer = rounded_area(1880.0, 880.0, 30.0);
    let (a, p_outer, p_inner) = (
        outer - disc(305.0),
        rounded_around(1880.0, 880.0, 30.0),
        2.0 * PI * 305.0,
    );
    let p = p_outer + p_inner;
    areas(&deck, 2e6, a, disc(250.0), 0.0);
    field(
        &deck,
        0,
        Hand {
            area: a,
            perimeter: p,
            rings: 2,
            // The hatch stands 200 forward of the middle.
            centroid: ((outer * 1000.0 - disc(305.0) * 800.0) / a, 0.0),
            clearance: 55.0,
            round: Some(30.0),
            hollow: Some(305.0),
        },
    );
    // One ring gives what the other takes.
    let cover = rounded_area(1880.0 - 2.0 * W, 880.0 - 2.0 * W, 30.0 - W) - disc(305.0 + W);
    pass(&deck, 0, p, p, 6000.0 + 2.0 * PI * 250.0, cover);
    let border = 2e6 - disc(250.0) - a;
    let bodies = body_outside(p_outer) + disc(305.0) - disc(305.0 - W);
    pass(&deck, 1, p, p, 0.0, border - bodies);
}

#[test]
fn margins_by_edge() {
    let deck = deck(
        "[deck.outline]\npoints = [{ at = [0, 0], edge = \"port\" }, { at = [3000, 0], edge = \"aft\" }, \
         { at = [3000, 2000], edge = \"starboard\" }, { at = [0, 2000], edge = \"forward\" }]\n\
         [deck.margin]\nedge = 60\nedges = { aft = 90, forward = 120 }\n",
    );
    // 120 to 2910 by 60 to 1940.
    let (l, b) = (2790.0, 1880.0);
    let p = 2.0 * (l + b);
    areas(&deck, 6e6, l * b, 0.0, 0.0);
    field(
        &deck,
        0,
        Hand {
            area: l * b,
            perimeter: p,
            rings: 1,
            centroid: (1515.0, 1000.0),
            clearance: 60.0,
            round: None,
            hollow: None,
        },
    );
    pass(
        &deck,
        0,
        p,
        p - 4.0 * W,
        10_000.0,
        (l - 2.0 * W) * (b - 2.0 * W),
    );
    pass(&deck, 1, p, p + PI * W, 0.0, 6e6 - l * b - body_outside(p));
}

#[test]
fn crossing_strips_with_round_corners() {
    let deck = deck(
        "[deck.outline]\npoints = [[0, -500], [2000, -500], [2000, 500], [0, 500]]\n[deck.margin]\nedge = 100\n\
         [deck.radius]\nround = 50\n[[deck.strip]]\nwidth = 40\nacross_at = [620]\nalong_at = [0]\n",
    );
    // From 100 to 600 and from 640 to 1900, 20 to 400 on each side of the centreline.
    let (short, long, breadth) = (500.0, 1260.0, 380.0);
    let mut sums = (0.0, 0.0, 0.0);
    for (index, (l, x, y)) in [
        (short, 350.0, -210.0),
        (short, 350.0, 210.0),
        (long, 1270.0, -210.0),
        (long, 1270.0, 210.0),
    ]
    .into_iter()
    .enumerate()
    {
        let (a, p) = (
            rounded_area(l, breadth, 50.0),
            rounded_around(l, breadth, 50.0),
        );
        field(
            &deck,
            index,
            Hand {
                area: a,
                perimeter: p,
                rings: 1,
                centroid: (x, y),
                clearance: 100.0,
                round: Some(50.0),
                hollow: None,
            },
        );
        sums.0 += a;
        sums.1 += p;
        sums.2 += rounded_area(l - 2.0 * W, breadth - 2.0 * W, 50.0 - W);
    }
    let (a, p, inside) = sums;
    assert_eq!(count(&deck), 4);
    areas(&deck, 2e6, a, 0.0, 0.0);
    // Each of the four rings by itself; the strips are wider than two tapes.
    pass(&deck, 0, p, p - 4.0 * PI * W, 6000.0, inside);
    let bodies = p * W + 4.0 * PI * W * W;
    pass(&deck, 1, p, p + 4.0 * PI * W, 0.0, 2e6 - a - bodies);
    assert!(codes(&deck).is_empty());
}

#[test]
fn cleats_in_place_and_lifted() {
    for in_place in [true, false] {
        let deck = deck(&format!(
            "[deck.outline]\npoints = [[0, -500], [2000, -500], [2000, 500], [0, 500]]\n[deck.margin]\nedge = 50\n\
             fitting = 30\n[[deck.fitting]]\nname = \"cleat\"\nslot = {{ from = [800, 250], to = [1000, 250], \
             width = 80 }}\nboth_sides = true\nin_place = {in_place}\n"
        ));
        let cleat = |half: f64| 2.0 * slot(200.0, half).0;
        let around = |half: f64| 2.0 * slot(200.0, half).1;
        let outer = 1900.0 * 900.0;
        let (a, p) = (outer - cleat(70.0), 5600.0 + around(70.0));
        let standing = if in_place { cleat(40.0) } else { 0.0 };
        areas(&deck, 2e6, a, 0.0, standing);
        field(
            &deck,
            0,
            Hand {
                area: a,
                perimeter: p,
                rings: 3,
                centroid: ((outer * 1000.0 - cleat(70.0) * 900.0) / a, 0.0),
                clearance: 30.0,
                round: None,
                hollow: Some(70.0),
            },
        );
        let edge = 6000.0 + if in_place { around(40.0) } else { 0.0 };
        pass(
            &deck,
            0,
            p,
            5600.0 - 4.0 * W + around(70.0 + H),
            edge,
            (1900.0 - 2.0 * W) * (900.0 - 2.0 * W) - cleat(70.0 + W),
        );
        let bodies = body_outside(5600.0) + cleat(70.0) - cleat(70.0 - W);
        pass(
            &deck,
            1,
            p,
            5600.0 + PI * W + around(70.0 - H),
            0.0,
            2e6 - a - standing - bodies,
        );
    }
}

#[test]
fn tape_in_feet_and_inches() {
    let all = figures(
        "title = \"t\"\nunits = \"in\"\n[tape]\nline = { width = \"3/4 in\" }\n[[deck]]\nid = \"d\"\n\
         [deck.outline]\npoints = [[0, 0], [\"6 ft\", 0], [\"6 ft\", \"3 ft 4 1/2 in\"], [0, \"3' 4-1/2\\\"\"]]\n\
         [deck.margin]\nedge = \"2 1/4 in\"\n[deck.radius]\nround = 1.5\n",
    );
    let deck = &all["decks"][0];
    let (inch, inch2) = (25.4, 25.4 * 25.4);
    let (a, p) = (
        rounded_area(67.5, 36.0, 1.5),
        rounded_around(67.5, 36.0, 1.5),
    );
    is(&deck["perimeter_m"], 225.0 * inch / 1e3);
    field(
        deck,
        0,
        Hand {
            area: a * inch2,
            perimeter: p * inch,
            rings: 1,
            centroid: (36.0 * inch, 20.25 * inch),
            clearance: 2.25 * inch,
            round: Some(1.5 * inch),
            hollow: None,
        },
    );
    let w = 0.75;
    let inside = rounded_area(67.5 - 2.0 * w, 36.0 - 2.0 * w, 1.5 - w);
    pass(
        deck,
        0,
        p * inch,
        (p - PI * w) * inch,
        225.0 * inch,
        inside * inch2,
    );
    let border = 72.0 * 40.5 - a;
    pass(
        deck,
        1,
        p * inch,
        (p + PI * w) * inch,
        0.0,
        (border - p * w - PI * w * w) * inch2,
    );
}

#[test]
fn a_field_that_reaches_the_deck_edge() {
    let deck = deck(
        "[deck.outline]\npoints = [{ at = [0, 0], edge = \"open\" }, [2000, 0], [2000, 1000], [0, 1000]]\n\
         [deck.margin]\nedge = 100\nedges = { open = 0 }\n",
    );
    // 100 to 1900 by 0 to 900; the paint line leaves out what lies on the deck edge.
    let (a, line) = (1800.0 * 900.0, 1800.0 + 2.0 * 900.0);
    areas(&deck, 2e6, a, 0.0, 0.0);
    field(
        &deck,
        0,
        Hand {
            area: a,
            perimeter: 5400.0,
            rings: 1,
            centroid: (1000.0, 450.0),
            clearance: 0.0,
            round: None,
            hollow: None,
        },
    );
    // First pass: the ring shrunk by h, 1800 - w by 900 - w, less its side along the open edge. No tape
    // lies along the open edge, so its body leaves 1800 - 2w by 900 - w.
    let shrunk = (1800.0 - W) + 2.0 * (900.0 - W);
    pass(
        &deck,
        0,
        line,
        shrunk,
        6000.0,
        (1800.0 - 2.0 * W) * (900.0 - W),
    );
    // Reversed pass: grown by h, two sides of 900, one of 1800, two quarter turns of h away from the
    // open edge; edge tape along the 1800 where the field reaches it. Its body is the same with w.
    let grown = line + 2.0 * (PI / 2.0 * H);
    let bodies = line * W + 2.0 * (PI / 4.0 * W * W);
    pass(&deck, 1, line, grown, 1800.0, 2e6 - a - bodies);
}

#[test]
fn a_field_that_reaches_a_hatch() {
    let deck = deck(
        "[deck.outline]\npoints = [[0, -500], [2000, -500], [2000, 500], [0, 500]]\n[deck.margin]\nedge = 100\n\
         opening = 0\n[[deck.opening]]\nname = \"hatch\"\ncircle = { at = [1000, 0], radius = 200 }\n",
    );
    let hatch = PI * 200.0 * 200.0;
    let (a, line, rim) = (1800.0 * 800.0 - hatch, 5200.0, 2.0 * PI * 200.0);
    areas(&deck, 2e6, a, hatch, 0.0);
    field(
        &deck,
        0,
        Hand {
            area: a,
            perimeter: line + rim,
            rings: 2,
            centroid: (1000.0, 0.0),
            clearance: 0.0,
            round: None,
            hollow: Some(200.0),
        },
    );
    // The hatch's rim is no paint line: no line tape there, edge tape in both passes.
    pass(
        &deck,
        0,
        line,
        line - 4.0 * W,
        6000.0 + rim,
        (1800.0 - 2.0 * W) * (800.0 - 2.0 * W) - hatch,
    );
    pass(
        &deck,
        1,
        line,
        line + PI * W,
        rim,
        2e6 - hatch - a - body_outside(line),
    );
}

#[test]
fn a_peg_too_small_for_the_tape() {
    let deck = deck(
        "[deck.outline]\npoints = [[0, 0], [1000, 0], [1000, 1000], [0, 1000]]\n[deck.margin]\nedge = 100\n\
         fitting = 2\n[[deck.fitting]]\nname = \"peg\"\ncircle = { at = [500, 500], diameter = 10 }\n",
    );
    let disc = |r: f64| PI * r * r;
    let (a, p) = (640_000.0 - disc(7.0), 3200.0 + 2.0 * PI * 7.0);
    areas(&deck, 1e6, a, 0.0, disc(5.0));
    let edge = 4000.0 + 2.0 * PI * 5.0;
    let into = 3200.0 - 4.0 * W + 2.0 * PI * (7.0 + H);
    let cover = (800.0 - 2.0 * W) * (800.0 - 2.0 * W) - disc(7.0 + W);
    pass(&deck, 0, p, into, edge, cover);
    // A circle of 7 shrunk by 9.5 is nothing: it counts its own length, and its body covers all of the
    // 2 mm round the peg.
    let out = 3200.0 + PI * W + 2.0 * PI * 7.0;
    let bodies = body_outside(3200.0) + disc(7.0) - disc(5.0);
    pass(&deck, 1, p, out, 0.0, 1e6 - a - disc(5.0) - bodies);
}

#[test]
fn two_fields_nearer_than_the_tape_is_wide() {
    let all = figures(
        "title = \"t\"\n[tape]\nline = { width = 25 }\n[[deck]]\nid = \"d\"\n[deck.outline]\npoints = [[0, 0], \
         [2215, 0], [2215, 700], [0, 700]]\n[deck.margin]\nedge = 100\n[deck.radius]\nround = 50\n\
         [[deck.strip]]\nwidth = 15\nacross_at = [1107.5]\n",
    );
    let deck = &all["decks"][0];
    let (w, a, p) = (
        25.0,
        rounded_area(1000.0, 500.0, 50.0),
        rounded_around(1000.0, 500.0, 50.0),
    );
    for (index, x) in [600.0, 1615.0].into_iter().enumerate() {
        field(
            deck,
            index,
            Hand {
                area: a,
                perimeter: p,
                rings: 1,
                centroid: (x, 350.0),
                clearance: 100.0,
                round: Some(50.0),
                hollow: None,
            },
        );
    }
    let inside = rounded_area(950.0, 450.0, 25.0);
    pass(
        deck,
        0,
        2.0 * p,
        2.0 * (p - PI * w),
        2.0 * (2215.0 + 700.0),
        2.0 * inside,
    );
    // Both bodies, less where they lie over each other or over the other field. Grown by 25, each field
    // is a rectangle with corners of 75 that reaches 17.5 beyond the middle of the strip. Beyond it lie
    // 17.5 by 400 and, at each end, half a circular segment of radius 75 at 57.5 from its centre; so the
    // two together take in twice (one less what is beyond the middle).
    let grown = a + p * w + PI * w * w;
    let (r, d) = (75.0f64, 57.5f64);
    let beyond = 17.5 * 400.0 + r * r * (d / r).acos() - d * (r * r - d * d).sqrt();
    let bodies = 2.0 * (grown - beyond) - 2.0 * a;
    let border = 2215.0 * 700.0 - 2.0 * a;
    pass(deck, 1, 2.0 * p, 2.0 * (p + PI * w), 0.0, border - bodies);
    assert_eq!(all["warnings"].as_array().map(Vec::len), Some(1));
    assert_eq!(all["warnings"][0]["code"], "tape-clash");
    // Between the two, anywhere along the 400.
    is(&deck["passes"][1]["clashes"][0]["at_mm"][0], 1107.5);
}

#[test]
fn a_hatch_without_margin_under_a_strip() {
    let deck = deck(
        "[deck.outline]\npoints = [[0, -500], [2000, -500], [2000, 500], [0, 500]]\n[deck.margin]\nedge = 100\n\
         opening = 0\n[[deck.opening]]\nname = \"hatch\"\nrectangle = { at = [1000, 0], size = [400, 400] }\n\
         [[deck.strip]]\nwidth = 100\nacross_at = [1000]\n",
    );
    // Each field is 850 by 800 with a notch 150 deep and 400 wide round its half of the hatch; the
    // notch's 700 are no paint line.
    let (a, line, rim) = (850.0 * 800.0 - 150.0 * 400.0, 2900.0, 700.0);
    areas(&deck, 2e6, 2.0 * a, 160_000.0, 0.0);
    for (index, x) in [525.0, 1475.0].into_iter().enumerate() {
        // The notch's middle lies 350 from the field's, towards the strip.
        let towards = if index == 0 { 350.0 } else { -350.0 };
        let shift = towards * (150.0 * 400.0) / a;
        field(
            &deck,
            index,
            Hand {
                area: a,
                perimeter: line + rim,
                rings: 1,
                centroid: (x - shift, 0.0),
                clearance: 0.0,
                round: None,
                hollow: None,
            },
        );
    }
    // First pass, each: shrunk by h, 850 - w twice, 800 - w once, and beside the strip 200 - w twice: the
    // notch's own parallels and the arcs at its corners are beside the hatch.
    let shrunk = 2.0 * (850.0 - W) + (800.0 - W) + 2.0 * (200.0 - W);
    let bodies = line * W - 4.0 * W * W;
    pass(
        &deck,
        0,
        2.0 * line,
        2.0 * shrunk,
        6000.0 + 1600.0,
        2.0 * (a - bodies),
    );
    // Reversed, each: four quarter turns at the field's own corners, none where the line ends at the hatch.
    pass(
        &deck,
        1,
        2.0 * line,
        2.0 * (line + PI * W),
        2.0 * rim,
        2e6 - 160_000.0 - 2.0 * a - 2.0 * body_outside(line),
    );
    for index in 0..2 {
        assert_eq!(deck["passes"][index]["line_runs"], 2);
    }
}

#[test]
fn a_lifted_plate_without_margin_is_painted_with_the_border() {
    let deck = deck(
        "[deck.outline]\npoints = [[0, -500], [2000, -500], [2000, 500], [0, 500]]\n[deck.margin]\nedge = 100\n\
         fitting = 0\n[[deck.fitting]]\nname = \"plate\"\ncircle = { at = [1000, 0], radius = 100 }\n\
         in_place = false\n",
    );
    let plate = PI * 1e4;
    areas(&deck, 2e6, 1_440_000.0 - plate, 0.0, 0.0);
    is(&deck["fields"][0]["clearance_mm"], 0.0);
    // The plate is off when the deck is masked: its edge is a paint line like any other.
    let p = 5200.0 + 2.0 * PI * 100.0;
    is(&deck["passes"][0]["working_edge_m"], p / 1e3);
    is(&deck["passes"][1]["edge_tape_m"], 0.0);
}
