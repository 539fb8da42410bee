//! The decks one by one: outlines, hatches, strips, fittings.

use spile::layout::{self, Sources};
use spile::work_out;

use crate::{PI, areas, codes, deck, figures, is, pass};

#[test]
fn a_rounded_rectangle() {
    let deck = deck(
        "[deck.outline]\npoints = [{ at = [0, 0], radius = 300 }, { at = [3000, 0], radius = 300 },\
         { at = [3000, 2000], radius = 300 }, { at = [0, 2000], radius = 300 }]\n\
         [deck.margin]\nedge = 100\n",
    );
    // A = LW - (4 - π)r², P = 2(L + W) - (8 - 2π)r; a margin m makes it L - 2m, W - 2m, r - m.
    let area = |l: f64, w: f64, r: f64| l * w - (4.0 - PI) * r * r;
    let around = |l: f64, w: f64, r: f64| 2.0 * (l + w) - (8.0 - 2.0 * PI) * r;
    let (a, p) = (area(2800.0, 1800.0, 200.0), around(2800.0, 1800.0, 200.0));
    areas(&deck, area(3000.0, 2000.0, 300.0), a, 0.0, 0.0);
    is(&deck["perimeter_m"], around(3000.0, 2000.0, 300.0) / 1e3);
    let field = &deck["fields"][0];
    assert_eq!(field["id"], "F1");
    assert_eq!(field["rings"], 1);
    is(&field["area_m2"], a / 1e6);
    is(&field["perimeter_m"], p / 1e3);
    is(&field["centroid_mm"][0], 1500.0);
    is(&field["centroid_mm"][1], 1000.0);
    is(&field["clearance_mm"], 100.0);
    is(&field["tightest_round_mm"], 200.0);
    assert!(field["tightest_hollow_mm"].is_null());
    // Tape 19 wide: its middle P ∓ πw; its body Pw ∓ πw².
    let w = 19.0;
    pass(
        &deck,
        0,
        p,
        p - PI * w,
        around(3000.0, 2000.0, 300.0),
        a - (p * w - PI * w * w),
    );
    let border = area(3000.0, 2000.0, 300.0) - a;
    pass(&deck, 1, p, p + PI * w, 0.0, border - (p * w + PI * w * w));
    assert_eq!(codes(&deck), Vec::<&str>::new());
}

#[test]
fn a_round_deck_by_four_corners_and_by_two_arcs() {
    for outline in [
        "points = [{ at = [0, -800], radius = 800 }, { at = [1600, -800], radius = 800 },\
         { at = [1600, 800], radius = 800 }, { at = [0, 800], radius = 800 }]",
        "points = [{ at = [0, 0], through = [800, -800] }, { at = [1600, 0], through = [800, 800] }]",
    ] {
        let deck = deck(&format!(
            "[deck.outline]\n{outline}\n[deck.margin]\nedge = 60\n"
        ));
        areas(&deck, PI * 800.0 * 800.0, PI * 740.0 * 740.0, 0.0, 0.0);
        is(&deck["perimeter_m"], 2.0 * PI * 0.8);
        let field = &deck["fields"][0];
        is(&field["perimeter_m"], 2.0 * PI * 0.74);
        is(&field["tightest_round_mm"], 740.0);
        is(&field["clearance_mm"], 60.0);
        is(&field["centroid_mm"][0], 800.0);
        assert!(field["centroid_mm"][1].as_f64().expect("a number").abs() < 1e-6);
        let (p, a) = (2.0 * PI * 740.0, PI * 740.0 * 740.0);
        pass(
            &deck,
            0,
            p,
            2.0 * PI * 730.5,
            2.0 * PI * 800.0,
            PI * 721.0 * 721.0,
        );
        let border = PI * 800.0 * 800.0 - a;
        pass(
            &deck,
            1,
            p,
            2.0 * PI * 749.5,
            0.0,
            border - PI * (759.0 * 759.0 - 740.0 * 740.0),
        );
    }
}

#[test]
fn a_stadium() {
    let deck = deck(
        "[deck.outline]\npoints = [{ at = [0, -300], radius = 300 }, { at = [2000, -300], radius = 300 },\
         { at = [2000, 300], radius = 300 }, { at = [0, 300], radius = 300 }]\n[deck.margin]\nedge = 50\n",
    );
    // Straight sides of 1400 between half discs.
    areas(
        &deck,
        1400.0 * 600.0 + PI * 9e4,
        1400.0 * 500.0 + PI * 62_500.0,
        0.0,
        0.0,
    );
    is(&deck["perimeter_m"], (2800.0 + 2.0 * PI * 300.0) / 1e3);
    is(
        &deck["fields"][0]["perimeter_m"],
        (2800.0 + 2.0 * PI * 250.0) / 1e3,
    );
}

#[test]
fn an_l_with_a_hollow_corner() {
    let outline = "[deck.outline]\npoints = [[0, 0], [3000, 0], [3000, 1500], [1500, 1500], [1500, 3000], \
                   [0, 3000]]\n[deck.margin]\nedge = 100\n";
    let plain = deck(outline);
    // The field is an L itself. The margin goes round the inward corner as an arc about it, so the field
    // has (1 - π/4)m² more there than an L with a square corner would have.
    let m = 100.0;
    let l = 2800.0 * 2800.0 - 1500.0 * 1500.0;
    let field = l + (1.0 - PI / 4.0) * m * m;
    areas(&plain, 9e6 - 2.25e6, field, 0.0, 0.0);
    is(&plain["fields"][0]["tightest_hollow_mm"], 100.0);
    let p = 4.0 * 2800.0 - 2.0 * m + PI / 2.0 * m;
    is(&plain["fields"][0]["perimeter_m"], p / 1e3);
    // A hollow of 200 fills that corner: the fillet is tangent to the same two sides.
    let hollow = deck(&format!("{outline}[deck.radius]\nhollow = 200\n"));
    areas(&hollow, 9e6 - 2.25e6, l + (1.0 - PI / 4.0) * 4e4, 0.0, 0.0);
    let field = &hollow["fields"][0];
    is(&field["tightest_hollow_mm"], 200.0);
    // It comes nearer than the margin: m√2 - (√2 - 1)R.
    is(
        &field["clearance_mm"],
        100.0 * 2f64.sqrt() - (2f64.sqrt() - 1.0) * 200.0,
    );
    assert_eq!(codes(&hollow), ["hollow-in-margin"]);
}

#[test]
fn an_annulus() {
    let deck = deck(
        "[deck.outline]\npoints = [{ at = [0, 0], through = [1000, -1000] }, { at = [2000, 0], through = \
         [1000, 1000] }]\n[deck.margin]\nedge = 50\n[[deck.opening]]\nname = \"hatch\"\n\
         circle = { at = [1000, 0], radius = 400 }\n",
    );
    let ring = |outer: f64, inner: f64| PI * (outer * outer - inner * inner);
    areas(&deck, PI * 1e6, ring(950.0, 450.0), PI * 16e4, 0.0);
    let field = &deck["fields"][0];
    assert_eq!(field["rings"], 2);
    is(&field["tightest_round_mm"], 950.0);
    is(&field["tightest_hollow_mm"], 450.0);
    is(&field["clearance_mm"], 50.0);
    let p = 2.0 * PI * 1400.0;
    // Into the field the outer ring's tape shrinks and the inner one's grows: together no change.
    pass(&deck, 0, p, p, p, ring(950.0 - 19.0, 450.0 + 19.0));
    let border = ring(1000.0, 950.0) + ring(450.0, 400.0);
    pass(
        &deck,
        1,
        p,
        p,
        0.0,
        border - ring(969.0, 950.0) - ring(450.0, 431.0),
    );
}

#[test]
fn a_rectangle_with_a_round_hatch_and_margins_of_its_own() {
    let deck = deck(
        "[deck.outline]\npoints = [[0, -500], [2000, -500], [2000, 500], [0, 500]]\n[deck.margin]\nedge = 60\n\
         opening = 40\n[deck.radius]\nround = 30\n[[deck.opening]]\nname = \"hatch\"\n\
         circle = { at = [1000, 0], diameter = 500 }\nmargin = 55\n",
    );
    // A hatch's own margin wins over the deck's for openings.
    let field = 1880.0 * 880.0 - (4.0 - PI) * 900.0 - PI * 305.0 * 305.0;
    areas(&deck, 2e6, field, PI * 62_500.0, 0.0);
    is(&deck["fields"][0]["clearance_mm"], 55.0);
    is(&deck["fields"][0]["tightest_round_mm"], 30.0);
    is(&deck["fields"][0]["tightest_hollow_mm"], 305.0);
}

#[test]
fn margins_by_edge_simply_meet_at_corners() {
    let deck = deck(
        "[deck.outline]\npoints = [{ at = [0, 0], edge = \"port\" }, { at = [3000, 0], edge = \"aft\" }, \
         { at = [3000, 2000], edge = \"starboard\" }, { at = [0, 2000], edge = \"forward\" }]\n\
         [deck.margin]\nedge = 60\nedges = { aft = 90, forward = 120 }\n",
    );
    areas(&deck, 6e6, (3000.0 - 210.0) * (2000.0 - 120.0), 0.0, 0.0);
    is(&deck["fields"][0]["clearance_mm"], 60.0);
    is(&deck["fields"][0]["centroid_mm"][0], (120.0 + 2910.0) / 2.0);
    assert!(deck["fields"][0]["tightest_round_mm"].is_null());
}

#[test]
fn a_square_step_and_a_taper_where_edges_run_on() {
    let outline = "[deck.outline]\npoints = [{ at = [0, 0], edge = \"wide\" }, { at = [1000, 0], edge = \
                   \"narrow\" }, [2000, 0], [2000, 1000], [0, 1000]]\n[deck.margin]\nedge = 50\n\
                   edges = { wide = 100 }\n";
    // 1900 x 900 less 50 x 950 beside the wide half.
    let step = deck(&format!("{outline}blend = 0\n"));
    areas(&step, 2e6, 1_662_500.0, 0.0, 0.0);
    let p = 2.0 * (1900.0 + 900.0);
    is(&step["fields"][0]["perimeter_m"], p / 1e3);
    // The default blend is five times the difference: two arcs of R = (L² + Δ²)/4Δ = 325 over 250, that
    // halve the ground under the step on average.
    let taper = deck(outline);
    areas(&taper, 2e6, 1_662_500.0 - 250.0 * 50.0 / 2.0, 0.0, 0.0);
    let arcs = 2.0 * 325.0 * 2.0 * (125.0f64 / 325.0).asin() / 2.0;
    assert!((arcs - 256.614_227_8).abs() < 1e-6);
    is(
        &taper["fields"][0]["perimeter_m"],
        (p - 50.0 - 250.0 + arcs) / 1e3,
    );
    is(&taper["fields"][0]["tightest_round_mm"], 325.0);
    is(&taper["fields"][0]["tightest_hollow_mm"], 325.0);
}

#[test]
fn strips_make_fields() {
    let deck = deck(
        "[deck.outline]\npoints = [[0, -500], [2000, -500], [2000, 500], [0, 500]]\n[deck.margin]\nedge = 100\n\
         [deck.radius]\nround = 50\n[[deck.strip]]\nwidth = 20\nacross_at = [610]\nalong_at = [0]\n",
    );
    // 1800 x 800 less both strips, each of four fields with four corners of (4 - π)r².
    let field = 1800.0 * 800.0 - 20.0 * 800.0 - 20.0 * 1800.0 + 400.0 - 4.0 * (4.0 - PI) * 2500.0;
    areas(&deck, 2e6, field, 0.0, 0.0);
    let fields = deck["fields"].as_array().expect("a list");
    assert_eq!(fields.len(), 4);
    // Forward to aft, port to starboard: F1 forward to port, F2 forward to starboard, ...
    for (index, (x, y)) in [
        (350.0, -205.0),
        (350.0, 205.0),
        (1260.0, -205.0),
        (1260.0, 205.0),
    ]
    .iter()
    .enumerate()
    {
        is(&fields[index]["centroid_mm"][0], *x);
        is(&fields[index]["centroid_mm"][1], *y);
        assert_eq!(fields[index]["id"], format!("F{}", index + 1));
    }
}

#[test]
fn fittings_in_place_and_lifted_on_both_sides() {
    let body = |in_place: bool| {
        format!(
            "[deck.outline]\npoints = [[0, -500], [2000, -500], [2000, 500], [0, 500]]\n[deck.margin]\nedge = 50\n\
             fitting = 30\n[[deck.fitting]]\nname = \"cleat\"\nslot = {{ from = [800, 250], to = [1000, 250], \
             width = 80 }}\nboth_sides = true\nin_place = {in_place}\n"
        )
    };
    let stadium = |half: f64| 200.0 * 2.0 * half + PI * half * half;
    let field = 1900.0 * 900.0 - 2.0 * stadium(70.0);
    let (standing, lifted) = (deck(&body(true)), deck(&body(false)));
    areas(&standing, 2e6, field, 0.0, 2.0 * stadium(40.0));
    // Lifted, it keeps its margin and its footprint is painted with the border.
    areas(&lifted, 2e6, field, 0.0, 0.0);
    let around = 400.0 + 2.0 * PI * 40.0;
    is(
        &standing["passes"][0]["edge_tape_m"],
        (6000.0 + 2.0 * around) / 1e3,
    );
    is(&lifted["passes"][0]["edge_tape_m"], 6.0);
    for deck in [&standing, &lifted] {
        is(&deck["fields"][0]["clearance_mm"], 30.0);
        assert_eq!(deck["fields"][0]["rings"], 3);
        is(&deck["fields"][0]["tightest_hollow_mm"], 70.0);
    }
}

#[test]
fn feet_and_inches() {
    let all = figures(
        "title = \"t\"\nunits = \"in\"\n[[deck]]\nid = \"d\"\n[deck.outline]\npoints = [[0, 0], [\"6 ft\", 0], \
         [\"6 ft\", \"3 ft 4 1/2 in\"], [0, 40.5]]\n[deck.margin]\nedge = \"2 1/4 in\"\n[deck.radius]\nround = 1.5\n",
    );
    // 72 x 40.5 in, margin 2.25, corners of 1.5; an inch is 25.4 mm.
    let inch2 = 25.4 * 25.4 / 1e6;
    let deck = &all["decks"][0];
    is(&deck["area_m2"], 72.0 * 40.5 * inch2);
    is(&deck["field_m2"], (67.5 * 36.0 - (4.0 - PI) * 2.25) * inch2);
    is(&deck["fields"][0]["clearance_mm"], 2.25 * 25.4);
    is(&deck["fields"][0]["tightest_round_mm"], 1.5 * 25.4);
    is(
        &deck["fields"][0]["perimeter_m"],
        (2.0 * 103.5 - (8.0 - 2.0 * PI) * 1.5) * 0.0254,
    );
}

#[test]
fn a_margin_of_nothing_lets_the_field_reach_the_edge() {
    let deck = deck(
        "[deck.outline]\npoints = [{ at = [0, 0], edge = \"open\" }, [2000, 0], [2000, 1000], [0, 1000]]\n\
         [deck.margin]\nedge = 100\nedges = { open = 0 }\n",
    );
    areas(&deck, 2e6, 1800.0 * 900.0, 0.0, 0.0);
    is(&deck["fields"][0]["clearance_mm"], 0.0);
    // The paint line is the field's boundary less what runs along the deck edge.
    let line = 1800.0 + 2.0 * 900.0;
    // Into the field its middle is 9.5 inside; it ends at the deck edge. Outward it turns two corners.
    let w = 19.0;
    let inner = 1800.0 - w + 2.0 * (900.0 - w / 2.0 - w / 2.0);
    let outer = line + PI * w / 2.0;
    is(&deck["passes"][0]["working_edge_m"], line / 1e3);
    is(&deck["passes"][1]["working_edge_m"], line / 1e3);
    is(&deck["passes"][0]["line_tape_m"], inner / 1e3);
    is(&deck["passes"][1]["line_tape_m"], outer / 1e3);
    // Edge tape all round in the first pass, only where the field reaches the edge in the reversed one.
    is(&deck["passes"][0]["edge_tape_m"], 6.0);
    is(&deck["passes"][1]["edge_tape_m"], 1.8);
}

#[test]
fn tape_wider_than_the_gap_clashes() {
    // Two fields 1000 x 500 with corners of 50, side by side by their short sides, 15 apart, tape 25: of
    // each middle line 400 straight and two ends of 62.5·acos(115/125) lie over the other's ground.
    let all = figures(
        "title = \"t\"\n[tape]\nline = { width = 25 }\n[[deck]]\nid = \"d\"\n[deck.outline]\npoints = [[0, 0], \
         [2215, 0], [2215, 700], [0, 700]]\n[deck.margin]\nedge = 100\n[deck.radius]\nround = 50\n\
         [[deck.strip]]\nwidth = 15\nacross_at = [1107.5]\n",
    );
    let deck = &all["decks"][0];
    let clash = &deck["passes"][1]["clashes"][0];
    let length = 2.0 * (400.0 + 2.0 * 62.5 * (115.0f64 / 125.0).acos());
    assert!((length - 900.678_960_4).abs() < 1e-6);
    is(&clash["length_m"], length / 1e3);
    is(&clash["width_that_would_do_mm"], 15.0);
    assert!(
        deck["passes"][0]["clashes"]
            .as_array()
            .expect("a list")
            .is_empty()
    );
}

#[test]
fn a_ring_that_the_tape_closes_up_counts_with_its_own_length() {
    // Into the border round a 10 mm peg with a margin of 2: a circle of 7 mm has no room for 19 mm tape.
    let deck = deck(
        "[deck.outline]\npoints = [[0, 0], [1000, 0], [1000, 1000], [0, 1000]]\n[deck.margin]\nedge = 100\n\
         fitting = 2\n[[deck.fitting]]\nname = \"peg\"\ncircle = { at = [500, 500], diameter = 10 }\n",
    );
    let (square, peg) = (3200.0, 2.0 * PI * 7.0);
    is(
        &deck["passes"][1]["line_tape_m"],
        (square + PI * 19.0 + peg) / 1e3,
    );
    is(
        &deck["passes"][0]["line_tape_m"],
        (square - 4.0 * 19.0 + 2.0 * PI * 16.5) / 1e3,
    );
    assert_eq!(codes(&deck), ["tape-too-wide"]);
}

#[test]
fn least_width_and_area_drop_what_is_less_and_keep_what_is_equal() {
    let body = |width: &str, area: &str| {
        deck(&format!(
            "[deck.outline]\npoints = [[0, -500], [1000, -500], [1000, 500], [0, 500]]\n[deck.margin]\nedge = 100\n\
             [deck.field]\nleast_width = {width}\nleast_area = {area}\n[[deck.strip]]\nwidth = 100\nacross_at = [250]\n"
        ))
    };
    // Fields of 100 x 800 and 600 x 800.
    assert_eq!(
        body("100", "0.08")["fields"].as_array().map(Vec::len),
        Some(2)
    );
    let narrow = body("100.1", "0");
    assert_eq!(narrow["fields"].as_array().map(Vec::len), Some(1));
    assert_eq!(codes(&narrow), ["dropped-narrow"]);
    let small = body("0", "0.0801");
    assert_eq!(small["fields"].as_array().map(Vec::len), Some(1));
    assert_eq!(codes(&small), ["dropped-small"]);
    areas(&small, 1e6, 600.0 * 800.0, 0.0, 0.0);
}

#[test]
fn what_has_no_room_for_its_corners_is_said() {
    let slices = |round: f64| {
        deck(&format!(
            "[deck.outline]\npoints = [[0, -500], [1000, -500], [1000, 500], [0, 500]]\n[deck.margin]\nedge = 100\n\
             [deck.radius]\nround = {round}\n[[deck.strip]]\nwidth = 20\nacross_at = [150, 210, 270]\n"
        ))
    };
    // Slices of 40, 40, 40 and 620 wide between the strips.
    assert_eq!(slices(19.0)["fields"].as_array().map(Vec::len), Some(4));
    assert_eq!(codes(&slices(19.0)), Vec::<&str>::new());
    let lost = slices(30.0);
    assert_eq!(lost["fields"].as_array().map(Vec::len), Some(1));
    assert_eq!(codes(&lost), ["lost-to-rounding"]);
    areas(&lost, 1e6, 620.0 * 800.0 - (4.0 - PI) * 900.0, 0.0, 0.0);
}

#[test]
fn non_skid_is_laid_only_inside_pads() {
    let deck = deck(
        "[deck.outline]\npoints = [[0, -500], [1000, -500], [1000, 500], [0, 500]]\n[deck.margin]\nedge = 100\n\
         [[deck.pad]]\nname = \"step\"\nrectangle = { at = [500, 300], size = [300, 100], radius = 20 }\n\
         both_sides = true\n[[deck.smooth]]\nname = \"worn\"\ncircle = { at = [500, 300], radius = 30 }\n",
    );
    let pad = 300.0 * 100.0 - (4.0 - PI) * 400.0;
    areas(&deck, 1e6, 2.0 * pad - PI * 900.0, 0.0, 0.0);
}

#[test]
fn an_opening_across_the_edge_is_cut_by_it_and_overlaps_count_once() {
    let deck = deck(
        "[deck.outline]\npoints = [[0, 0], [1000, 0], [1000, 1000], [0, 1000]]\n[deck.margin]\nedge = 50\n\
         [[deck.opening]]\nname = \"scupper\"\ncircle = { at = [500, 0], radius = 80 }\n\
         [[deck.opening]]\nname = \"hatch\"\nrectangle = { at = [500, 500], size = [200, 200] }\n\
         [[deck.fitting]]\nname = \"hinge\"\nrectangle = { at = [600, 500], size = [40, 40] }\n",
    );
    // The hinge stands half on the hatch; the opening counts.
    let openings = PI * 6400.0 / 2.0 + 40_000.0;
    let fittings = 20.0 * 40.0;
    is(&deck["openings_m2"], openings / 1e6);
    is(&deck["fittings_m2"], fittings / 1e6);
    assert!(deck["closure_m2"].as_f64().expect("a number").abs() < 1e-15);
    assert_eq!(codes(&deck), ["crosses-outline", "overlap"]);
}

#[test]
fn a_wide_margin_does_not_reach_the_deck_beyond_a_slot() {
    // A tongue 20 wide between the wide edge and a slot 10 wide, open at one end.
    let deck = deck(
        "[deck.outline]\npoints = [{ at = [0, 0], edge = \"wide\" }, [1000, 0], [1000, 20], [200, 20], [200, 30], \
         [1000, 30], [1000, 1000], [0, 1000]]\n[deck.margin]\nedge = 5\nedges = { wide = 100 }\n",
    );
    // Forward of the slot the wide margin takes 100; beyond the slot only its own edges' 5.
    let fields = deck["fields"].as_array().expect("a list");
    assert_eq!(fields.len(), 1);
    let beyond = 995.0 - 35.0;
    let clearance = fields[0]["clearance_mm"].as_f64().expect("a number");
    assert!((clearance - 5.0).abs() < 1e-9);
    // The field reaches down to y = 35 over the slot: 995 - 200 wide there at least.
    let area = fields[0]["area_m2"].as_f64().expect("a number") * 1e6;
    let without = 990.0 * (995.0 - 100.0);
    let gained = (995.0 - 200.0) * (100.0 - 35.0);
    assert!(
        area > without + gained - 1.0 && area < 990.0 * beyond,
        "{area}"
    );
}

#[test]
fn at_an_inward_corner_of_two_margins_the_bands_reach_the_mitre() {
    let text = "title = \"t\"\n[[deck]]\nid = \"d\"\n[deck.outline]\npoints = [[0, 0], [2000, 0], { at = [2000, 1000], \
                edge = \"a\" }, { at = [1000, 1000], edge = \"b\" }, [1000, 2000], [0, 2000]]\n[deck.margin]\n\
                edge = 50\nedges = { a = 100, b = 50 }\n";
    let job = work_out(layout::read(text).expect("a layout"), &Sources::default()).expect("a job");
    let corner = spile::shape::Point::new(1000.0, 1000.0);
    // Where the parallels at 100 and 50 meet: √(100² + 50²) from the deck's corner.
    let found = job.decks[0]
        .pattern
        .field_region()
        .segments()
        .any(|segment| (segment.start().distance(corner) - 111.803_398_9).abs() < 1e-6);
    assert!(found);
}

#[test]
fn a_passage_as_wide_as_the_disc_is_a_knife_edge_and_a_little_off_it_is_plain() {
    let passage = |gap: f64| {
        deck(&format!(
            "[deck.outline]\npoints = [[0, 0], [2000, 0], [2000, 1000], [0, 1000]]\n[deck.margin]\nedge = 50\n\
             fitting = 0\n[deck.radius]\nround = 40\n[[deck.fitting]]\nname = \"box\"\n\
             rectangle = {{ at = [1000, {}], size = [600, 100] }}\n",
            50.0 + gap + 50.0
        ))
    };
    assert_eq!(codes(&passage(80.0)), ["knife-edge"]);
    assert_eq!(codes(&passage(80.5)), Vec::<&str>::new());
    assert_eq!(codes(&passage(79.5)), Vec::<&str>::new());
}

#[test]
fn a_strip_is_never_bridged() {
    let deck = deck(
        "[deck.outline]\npoints = [[0, -500], [2000, -500], [2000, 500], [0, 500]]\n[deck.margin]\nedge = 100\n\
         [deck.radius]\nhollow = 100\n[[deck.strip]]\nwidth = 30\nacross_at = [1000]\n",
    );
    areas(&deck, 2e6, (1800.0 - 30.0) * 800.0, 0.0, 0.0);
    assert_eq!(deck["fields"].as_array().map(Vec::len), Some(2));
}

/// Less than twice the hollow: the closing has no room for its disc in the strip, all of which is one unbroken run.
#[test]
fn a_strip_that_ends_in_a_field_and_is_filled_by_the_hollow_is_said() {
    let with_strip = |width: f64| {
        deck(&format!(
            "outline = {{ points = [[0, 0], [2000, 0], [2000, 1000], [0, 1000]] }}\n\
             margin = {{ edge = 100 }}\nradius = {{ round = 20, hollow = 25 }}\n\
             [[deck.strip]]\nwidth = {width}\npath = [[1000, 500], [1000, 0]]\n"
        ))
    };
    let filled = with_strip(40.0);
    assert_eq!(codes(&filled), ["hollow-fills"]);
    let message = filled["warnings"][0]["message"]
        .as_str()
        .unwrap_or_default();
    // 40 mm by some 400 mm less what the mouth keeps.
    assert!(
        message.contains("station 1000 mm") && message.contains("0.015 m² of it"),
        "{message}"
    );
    assert!(codes(&with_strip(60.0)).is_empty());
    let [narrow, wide] =
        [&filled, &with_strip(60.0)].map(|deck| deck["field_m2"].as_f64().unwrap_or_default());
    assert!(narrow > wide, "the strip of 60 mm stays smooth");
}
