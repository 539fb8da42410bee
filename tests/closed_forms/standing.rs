//! What stands on a deck or is cut out of it: every shape on both sides, openings across the edge,
//! openings that touch, rounds beside them.

use serde_json::Value;

use crate::{Hand, PI, areas, codes, count, deck, field, is, job, pass, rounded_area, slot};

const W: f64 = 19.0;

/// A deck 4000 by 2000 about the centreline, margins of 50.
fn wide(rest: &str) -> String {
    format!(
        "[deck.outline]\npoints = [[0, -1000], [4000, -1000], [4000, 1000], [0, 1000]]\n[deck.margin]\nedge = 50\n{rest}"
    )
}

/// Every shape with its area, its perimeter and how often it turns round: its margin of m takes in
/// A + Pm + πm².
fn shapes() -> [(&'static str, f64, f64); 5] {
    // A half disc of 150.
    let half = (PI * 22_500.0 / 2.0, 300.0 + PI * 150.0);
    [
        (
            "rectangle = { at = [2000, 500], size = [300, 200], radius = 20 }",
            rounded_area(300.0, 200.0, 20.0),
            1000.0 - (8.0 - 2.0 * PI) * 20.0,
        ),
        (
            "rectangle = { at = [2000, 500], size = [300, 200], turned = 30 }",
            60_000.0,
            1000.0,
        ),
        (
            "circle = { at = [2000, 500], diameter = 240 }",
            PI * 14_400.0,
            PI * 240.0,
        ),
        (
            "slot = { from = [1900, 400], to = [2200, 800], width = 120 }",
            slot(500.0, 60.0).0,
            slot(500.0, 60.0).1,
        ),
        (
            "points = [{ at = [1850, 500], through = [2000, 350] }, [2150, 500]]",
            half.0,
            half.1,
        ),
    ]
}

/// The fields of a deck are their own mirror images.
#[track_caller]
fn is_mirrored(body: &str) {
    let job = job(&format!("title = \"t\"\n[[deck]]\nid = \"d\"\n{body}"));
    let region = job.decks[0].pattern.field_region();
    let image = region.mirrored();
    for segment in image.segments() {
        for share in [0.0, 0.25, 0.5] {
            let off = region.boundary_distance(segment.point_at(share)).to_mm();
            assert!(off < 1e-6, "{off} off");
        }
    }
}

#[test]
fn openings_and_fittings_of_every_shape_on_both_sides() {
    for (shape, a, p) in shapes() {
        // Grown by its margin of 50, convex as they all are.
        let grown = a + p * 50.0 + PI * 2500.0;
        let around = p + 2.0 * PI * 50.0;
        for (kind, is_opening) in [("opening", true), ("fitting", false)] {
            let body = wide(&format!(
                "[[deck.{kind}]]\nname = \"thing\"\n{shape}\nboth_sides = true\n"
            ));
            let deck = deck(&body);
            let (openings, fittings) = if is_opening {
                (2.0 * a, 0.0)
            } else {
                (0.0, 2.0 * a)
            };
            let left = 3900.0 * 1900.0 - 2.0 * grown;
            areas(&deck, 8e6, left, openings, fittings);
            assert_eq!(deck["fields"][0]["rings"], 3, "{shape}");
            is(&deck["fields"][0]["clearance_mm"], 50.0);
            is(
                &deck["fields"][0]["perimeter_m"],
                (11_600.0 + 2.0 * around) / 1e3,
            );
            is(
                &deck["passes"][0]["edge_tape_m"],
                (12_000.0 + 2.0 * p) / 1e3,
            );
            assert!(codes(&deck).is_empty(), "{shape}: {:?}", codes(&deck));
            is_mirrored(&body);
        }
    }
}

#[test]
fn smooth_areas_and_pads_of_every_shape_on_both_sides() {
    for (shape, a, p) in shapes() {
        let smooth = wide(&format!(
            "[[deck.smooth]]\nname = \"thing\"\n{shape}\nboth_sides = true\n"
        ));
        let kept = deck(&smooth);
        areas(&kept, 8e6, 3900.0 * 1900.0 - 2.0 * a, 0.0, 0.0);
        assert_eq!(kept["fields"][0]["rings"], 3, "{shape}");
        is_mirrored(&smooth);
        let pads = wide(&format!(
            "[[deck.pad]]\nname = \"thing\"\n{shape}\nboth_sides = true\n"
        ));
        let laid = deck(&pads);
        areas(&laid, 8e6, 2.0 * a, 0.0, 0.0);
        assert_eq!(count(&laid), 2, "{shape}");
        // Port first.
        assert!(laid["fields"][0]["centroid_mm"][1].as_f64() < Some(0.0));
        for index in 0..2 {
            is(&laid["fields"][index]["area_m2"], a / 1e6);
            is(&laid["fields"][index]["perimeter_m"], p / 1e3);
        }
        is_mirrored(&pads);
    }
}

#[test]
fn strips_on_both_sides_and_what_is_its_own_image_once() {
    let along = wide("[[deck.strip]]\nwidth = 60\nalong_at = [400, 0]\nboth_sides = true\n");
    // Three strips fore and aft.
    areas(&deck(&along), 8e6, 3900.0 * (1900.0 - 180.0), 0.0, 0.0);
    assert_eq!(count(&deck(&along)), 4);
    is_mirrored(&along);
    // One along a line of 500, square ends, and its image.
    let path =
        wide("[[deck.strip]]\nwidth = 60\npath = [[1500, 200], [1800, 600]]\nboth_sides = true\n");
    areas(
        &deck(&path),
        8e6,
        3900.0 * 1900.0 - 2.0 * 500.0 * 60.0,
        0.0,
        0.0,
    );
    is_mirrored(&path);
    // On the centreline the image lies on the original.
    let hatch = wide(
        "[[deck.opening]]\nname = \"hatch\"\ncircle = { at = [2000, 0], radius = 200 }\nboth_sides = true\n",
    );
    let once = deck(&hatch);
    areas(
        &once,
        8e6,
        3900.0 * 1900.0 - PI * 62_500.0,
        PI * 40_000.0,
        0.0,
    );
    assert!(!codes(&once).contains(&"overlap"));
}

#[test]
fn an_opening_across_the_edge() {
    let deck = deck(
        "[deck.outline]\npoints = [[0, 0], [1000, 0], [1000, 1000], [0, 1000]]\n[deck.margin]\nedge = 50\n\
         [[deck.opening]]\nname = \"scupper\"\ncircle = { at = [500, 0], radius = 80 }\n",
    );
    // The field is 900 square less the part of a disc of r = 130 beyond a chord at d = 50, whose half is
    // c = 120: r² acos(d/r) - dc.
    let segment = |r: f64, d: f64| r * r * (d / r).acos() - d * (r * r - d * d).sqrt();
    let around = |side: f64, r: f64, d: f64| {
        4.0 * side - 2.0 * (r * r - d * d).sqrt() + 2.0 * r * (d / r).acos()
    };
    let opening = PI * 6400.0 / 2.0;
    let (a, p) = (810_000.0 - segment(130.0, 50.0), around(900.0, 130.0, 50.0));
    areas(&deck, 1e6, a, opening, 0.0);
    is(&deck["perimeter_m"], 4.0);
    field(
        &deck,
        0,
        Hand {
            area: a,
            perimeter: p,
            rings: 1,
            // The segment's moment about the disc's centre is 2c³/3.
            centroid: (500.0, (810_000.0 * 500.0 - 2.0 / 3.0 * 120f64.powi(3)) / a),
            clearance: 50.0,
            round: None,
            hollow: Some(130.0),
        },
    );
    // Shrinking both parts moves the chord and the disc's rim alike.
    let edge = 4000.0 - 160.0 + PI * 80.0;
    pass(
        &deck,
        0,
        p,
        around(900.0 - W, 130.0 + W / 2.0, 50.0 + W / 2.0),
        edge,
        (900.0 - 2.0 * W).powi(2) - segment(130.0 + W, 50.0 + W),
    );
    pass(
        &deck,
        1,
        p,
        p + PI * W,
        0.0,
        1e6 - opening - a - (p * W + PI * W * W),
    );
    assert_eq!(codes(&deck), ["crosses-outline"]);
    assert_eq!(
        deck["warnings"][0]["message"]
            .as_str()
            .map(|said| said.contains("scupper")),
        Some(true)
    );
}

/// A deck 3000 by 2000 without margins, two hatches of 200 that touch on it.
fn touching(round: &str) -> Value {
    deck(&format!(
        "[deck.outline]\npoints = [[0, 0], [3000, 0], [3000, 2000], [0, 2000]]\n[deck.margin]\nedge = 0\n{round}\
         [[deck.opening]]\nname = \"port tank\"\ncircle = {{ at = [1300, 1000], radius = 200 }}\n\
         [[deck.opening]]\nname = \"starboard tank\"\ncircle = {{ at = [1700, 1000], radius = 200 }}\n"
    ))
}

#[test]
fn two_hatches_that_touch_leave_their_cusps_until_the_field_is_rounded() {
    let discs = 2.0 * PI * 40_000.0;
    let sharp = touching("");
    areas(&sharp, 6e6, 6e6 - discs, discs, 0.0);
    // A disc of 20 in a cusp touches both hatches at 220 from their centres: its centre is √(220² - 200²)
    // from the point of touch. Smooth stays the triangle of the centres, less both sectors of 200 and less
    // the sector of 20; on each side of the line of centres. And each corner of the deck loses (1 - π/4)r².
    let reach = (220.0f64 * 220.0 - 200.0 * 200.0).sqrt();
    let (at_hatch, at_disc) = ((200.0f64 / 220.0).acos(), 2.0 * (200.0f64 / 220.0).asin());
    let cusp = 200.0 * reach - 40_000.0 * at_hatch - 400.0 * at_disc / 2.0;
    let rounded = touching("[deck.radius]\nround = 20\n");
    let field = 6e6 - discs - 2.0 * cusp - (4.0 - PI) * 400.0;
    areas(&rounded, 6e6, field, discs, 0.0);
    assert!((field - 5_746_957.469_835).abs() < 1e-5);
    is(&rounded["fields"][0]["tightest_round_mm"], 20.0);
}

#[test]
fn a_post_that_touches_the_fields_edge_from_within() {
    // From 100 to 900; the post's rim touches y = 100 from within, so all of its disc is cut out.
    let deck = deck(
        "[deck.outline]\npoints = [[0, 0], [2000, 0], [2000, 1000], [0, 1000]]\n[deck.margin]\nedge = 100\n\
         fitting = 0\n[[deck.fitting]]\nname = \"post\"\ncircle = { at = [1000, 200], radius = 100 }\n",
    );
    let field = 1_440_000.0 - PI * 1e4;
    areas(&deck, 2e6, field, 0.0, PI * 1e4);
    assert!((field - 1_408_584.073_464).abs() < 1e-5);
}

#[test]
fn a_deck_without_margins_is_rounded_at_its_corners() {
    let deck = deck(
        "[deck.outline]\npoints = [[0, 0], [2000, 0], [2000, 1000], [0, 1000]]\n[deck.margin]\nedge = 0\n\
         [deck.radius]\nround = 50\n",
    );
    let (a, arcs, sides) = (
        rounded_area(2000.0, 1000.0, 50.0),
        2.0 * PI * 50.0,
        6000.0 - 8.0 * 50.0,
    );
    areas(&deck, 2e6, a, 0.0, 0.0);
    assert!((a - 1_997_853.981_634).abs() < 1e-5);
    // Only the four arcs are paint line; along the sides edge tape in both passes.
    for (index, edge) in [(0, 6000.0), (1, sides)] {
        is(&deck["passes"][index]["working_edge_m"], arcs / 1e3);
        is(&deck["passes"][index]["edge_tape_m"], edge / 1e3);
    }
    // Into the field each arc shrinks to 40.5, out of it it grows to 59.5, a quarter turn each.
    is(&deck["passes"][0]["line_tape_m"], 2.0 * PI * 40.5 / 1e3);
    is(&deck["passes"][1]["line_tape_m"], 2.0 * PI * 59.5 / 1e3);
    // The first pass protects the field less four quarter rings of 50 to 31; the second the four corners,
    // of which the tape covers what is within 19 of the arcs: 69 about their centres, and a corner is
    // 50√2 = 70.7 from there. What is left of one: the square of 50 beyond the disc of 69.
    is(
        &deck["passes"][0]["cover_m2"],
        (a - PI * (2500.0 - 31.0 * 31.0)) / 1e6,
    );
    let (r, s) = (69.0f64, 50.0f64);
    // Disc of r within a square of side s at its centre, s < r < s√2: two triangles and a sector.
    let within = s * (r * r - s * s).sqrt() + r * r / 2.0 * (PI / 2.0 - 2.0 * (s / r).acos());
    is(&deck["passes"][1]["cover_m2"], 4.0 * (s * s - within) / 1e6);
}

#[test]
fn two_strips_and_an_l_as_the_kernel_has_them() {
    let strips = deck(
        "[deck.outline]\npoints = [[0, 0], [2000, 0], [2000, 1000], [0, 1000]]\n[deck.margin]\nedge = 100\n\
         [deck.radius]\nround = 50\n[[deck.strip]]\nwidth = 20\nacross_at = [610]\nalong_at = [500]\n",
    );
    // 1800 by 800 less 20 by 800, 20 by 1800, their crossing once, and sixteen corners of (1 - π/4)r².
    let field = 1_440_000.0 - 16_000.0 - 36_000.0 + 400.0 - 4.0 * (4.0 - PI) * 2500.0;
    areas(&strips, 2e6, field, 0.0, 0.0);
    assert!((field - 1_379_815.926_536).abs() < 1e-5);
    let l = deck(
        "[deck.outline]\npoints = [[0, 0], [3000, 0], [3000, 1500], [1500, 1500], [1500, 3000], [0, 3000]]\n\
         [deck.margin]\nedge = 100\n[deck.radius]\nround = 50\n",
    );
    // Five outward corners of (1 - π/4)50², an inward arc of the margin.
    let field = 2800.0f64.powi(2) - 1500.0f64.powi(2)
        + (1.0 - PI / 4.0) * (100.0 * 100.0 - 5.0 * 50.0 * 50.0);
    areas(&l, 6.75e6, field, 0.0, 0.0);
    assert!((field - 5_589_463.495_408).abs() < 1e-5);
}

#[test]
fn what_is_dropped_is_said_with_its_size_and_place() {
    let body = |width: &str, area: &str| {
        deck(&format!(
            "[deck.outline]\npoints = [[0, -500], [1000, -500], [1000, 500], [0, 500]]\n[deck.margin]\nedge = 100\n\
             [deck.field]\nleast_width = {width}\nleast_area = {area}\n[[deck.strip]]\nwidth = 100\nacross_at = [250]\n"
        ))
    };
    for (deck, reason, limit) in [
        (body("120", "0"), "too-narrow", "is narrower than 120 mm"),
        (body("0", "0.1"), "too-small", "is smaller than 0.100 m²"),
        (
            body("0", "0.0801"),
            "too-small",
            "a little smaller than 0.080 m²",
        ),
    ] {
        // 100 to 200 by -400 to 400.
        let dropped = &deck["dropped"][0];
        is(&dropped["area_m2"], 0.08);
        is(&dropped["centroid_mm"][0], 150.0);
        assert_eq!(dropped["reason"], reason);
        let message = deck["warnings"][0]["message"].as_str().expect("a sentence");
        for part in [
            limit,
            "station 150 mm",
            "on the centreline, is",
            "of 0.080 m²",
        ] {
            assert!(message.contains(part), "{message:?} lacks {part:?}");
        }
        // The rest is one field, and the piece went to the border.
        areas(&deck, 1e6, 600.0 * 800.0, 0.0, 0.0);
        assert_eq!(count(&deck), 1);
    }
}

#[test]
fn a_strip_is_never_bridged_however_large_the_hollow() {
    for (width, hollow) in [(30.0, 100.0), (60.0, 30.0), (60.0, 60.0), (10.0, 300.0)] {
        let deck = deck(&format!(
            "[deck.outline]\npoints = [[0, -500], [2000, -500], [2000, 500], [0, 500]]\n[deck.margin]\nedge = 100\n\
             [deck.radius]\nround = 40\nhollow = {hollow}\n[[deck.strip]]\nwidth = {width}\nacross_at = [1000]\n\
             along_at = [0]\n"
        ));
        assert_eq!(count(&deck), 4, "{width} wide, hollow {hollow}");
        let (l, b) = ((1800.0 - width) / 2.0, (800.0 - width) / 2.0);
        areas(&deck, 2e6, 4.0 * rounded_area(l, b, 40.0), 0.0, 0.0);
    }
}
