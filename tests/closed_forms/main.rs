//! Every figure of decks simple enough to be worked out by hand, from the layout's text to the JSON that
//! programs read, to 1e-9 of its size. The formula stands beside each.

#[path = "../common/beside.rs"]
mod beside;
mod demo_boats;
mod margins;
mod masking;
mod shapes;
mod standing;

use serde_json::Value;
use spile::figures::Figures;
use spile::layout;
use spile::{Job, export, work_out};

const PI: f64 = std::f64::consts::PI;

/// A layout worked out.
fn job(text: &str) -> Job {
    let layout = layout::read(text)
        .map_err(|faults| layout::render_faults("test", text, &faults))
        .expect("a layout without faults");
    let sources = beside::beside(&layout);
    work_out(layout, &sources)
        .map_err(|faults| layout::render_faults("test", text, &faults))
        .expect("a layout without faults")
}

/// A layout worked out and its figures read back from their JSON.
fn figures(text: &str) -> Value {
    let json = export::json::json(&Figures::of(&job(text))).expect("JSON");
    serde_json::from_str(&json).expect("JSON")
}

/// One deck in millimetres, given all below its `[[deck]]`.
fn deck(body: &str) -> Value {
    let all = figures(&format!("title = \"t\"\n[[deck]]\nid = \"d\"\n{body}"));
    let mut deck = all["decks"][0].clone();
    deck["warnings"] = all["warnings"].clone();
    deck
}

#[track_caller]
fn is(found: &Value, expected: f64) {
    assert!(found.is_number(), "{found} where {expected} was expected");
    let found = found.as_f64().unwrap_or(f64::NAN);
    let error = (found - expected).abs() / expected.abs().max(1e-3);
    assert!(
        error < 1e-9,
        "found {found}, expected {expected}, relative error {error:e}"
    );
}

/// Areas in mm² here, m² in the figures.
#[track_caller]
fn areas(deck: &Value, whole: f64, field: f64, openings: f64, fittings: f64) {
    is(&deck["area_m2"], whole / 1e6);
    is(&deck["field_m2"], field / 1e6);
    is(&deck["openings_m2"], openings / 1e6);
    is(&deck["fittings_m2"], fittings / 1e6);
    is(
        &deck["border_m2"],
        (whole - field - openings - fittings) / 1e6,
    );
    assert!(deck["closure_m2"].as_f64().expect("a number").abs() < 1e-9 * whole / 1e6);
}

/// Lengths in mm and area in mm² here, m and m² in the figures.
#[track_caller]
fn pass(deck: &Value, index: usize, line: f64, tape: f64, edge: f64, cover: f64) {
    let pass = &deck["passes"][index];
    is(&pass["working_edge_m"], line / 1e3);
    is(&pass["line_tape_m"], tape / 1e3);
    is(&pass["edge_tape_m"], edge / 1e3);
    is(&pass["cover_m2"], cover / 1e6);
}

fn codes(deck: &Value) -> Vec<&str> {
    let warnings = deck["warnings"].as_array().expect("a list");
    warnings
        .iter()
        .map(|warning| warning["code"].as_str().expect("a word"))
        .collect()
}

/// A field worked out by hand: millimetres and mm².
#[derive(Debug, Clone, Copy)]
struct Hand {
    area: f64,
    perimeter: f64,
    rings: usize,
    centroid: (f64, f64),
    clearance: f64,
    round: Option<f64>,
    hollow: Option<f64>,
}

/// Every figure of one field.
#[track_caller]
fn field(deck: &Value, index: usize, hand: Hand) {
    let field = &deck["fields"][index];
    assert_eq!(field["id"], format!("F{}", index + 1));
    is(&field["area_m2"], hand.area / 1e6);
    is(&field["perimeter_m"], hand.perimeter / 1e3);
    assert_eq!(field["rings"], hand.rings);
    for (found, expected) in [
        (&field["centroid_mm"][0], hand.centroid.0),
        (&field["centroid_mm"][1], hand.centroid.1),
    ] {
        // A part in 1e9 of a deck of 2 m, for a centre may be at 0.
        let found = found.as_f64().expect("a number");
        assert!(
            (found - expected).abs() < 2e-6,
            "centroid {found}, expected {expected}"
        );
    }
    is(&field["clearance_mm"], hand.clearance);
    for (found, expected) in [
        (&field["tightest_round_mm"], hand.round),
        (&field["tightest_hollow_mm"], hand.hollow),
    ] {
        match expected {
            Some(radius) => is(found, radius),
            None => assert!(found.is_null(), "{found} where no arc was expected"),
        }
    }
}

/// How many fields there are.
fn count(deck: &Value) -> usize {
    deck["fields"].as_array().map_or(0, Vec::len)
}

/// Area of a rectangle with round corners.
fn rounded_area(l: f64, w: f64, r: f64) -> f64 {
    l * w - (4.0 - PI) * r * r
}

/// Perimeter of a rectangle with round corners.
fn rounded_around(l: f64, w: f64, r: f64) -> f64 {
    2.0 * (l + w) - (8.0 - 2.0 * PI) * r
}

/// Area and perimeter of every point within `half` of a line of length `l`.
fn slot(l: f64, half: f64) -> (f64, f64) {
    (2.0 * l * half + PI * half * half, 2.0 * l + 2.0 * PI * half)
}
