//! Layouts that are at fault get a message that says where, what and what to write instead; the demo
//! layouts get none. Each file in `bad_layouts` holds one kind of mistake; its message is a snapshot.

use std::fs;
use std::path::{Path, PathBuf};

use spile::layout::{Layout, Shape, read, render_faults, schema, starter};
use spile::units::{Length, LengthUnit};

fn layouts_in(folder: &str) -> Vec<(PathBuf, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut paths: Vec<_> = fs::read_dir(&root)
        .expect("the folder is there")
        .map(|entry| entry.expect("it can be listed").path())
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .collect();
    paths.sort();
    paths
        .into_iter()
        .map(|path| {
            let text = fs::read_to_string(&path).expect("the file can be read");
            (path, text)
        })
        .collect()
}

fn name(path: &Path) -> String {
    path.file_stem()
        .expect("it has a name")
        .to_string_lossy()
        .into_owned()
}

fn demo(wanted: &str) -> Layout {
    let (_, text) = layouts_in("layouts")
        .into_iter()
        .find(|(path, _)| name(path) == wanted)
        .expect("the demo layout is there");
    read(&text).unwrap_or_else(|faults| panic!("{}", render_faults(wanted, &text, &faults)))
}

#[test]
fn every_bad_layout_gets_a_message_a_boat_owner_can_act_on() {
    let bad = layouts_in("tests/bad_layouts");
    assert!(bad.len() >= 25, "only {} kinds of mistake", bad.len());
    for (path, text) in bad {
        let name = name(&path);
        let faults = read(&text).expect_err(&name);
        insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, {
            insta::assert_snapshot!(
                name.clone(),
                render_faults(&format!("{name}.toml"), &text, &faults)
            );
        });
    }
}

#[test]
fn every_demo_layout_reads_without_a_fault() {
    let demos = layouts_in("layouts");
    assert!(demos.len() >= 5);
    for (path, text) in demos {
        if let Err(faults) = read(&text) {
            panic!("{}", render_faults(&name(&path), &text, &faults));
        }
    }
}

#[test]
fn the_workboat_has_sixty_fittings() {
    let layout = demo("cormorant");
    let count: usize = layout.decks[0]
        .fittings
        .iter()
        .map(|fitting| if fitting.both_sides { 2 } else { 1 })
        .sum();
    assert_eq!(count, 60);
}

#[test]
fn feet_and_inches_read_as_they_are_written() {
    let layout = demo("dunlin");
    assert_eq!(layout.units, LengthUnit::Inch);
    let hole = &layout.decks[0].openings[0];
    let Shape::Circle { at, radius } = hole.shape else {
        panic!("the mast hole is round");
    };
    assert!((at.x - 38.0 * 25.4).abs() < 1e-9);
    assert!((radius.to_mm() - 1.75 * 25.4).abs() < 1e-9);
}

#[test]
fn a_starter_reads_back_whatever_the_boat() {
    let boats = [
        (3500.0, 2800.0),
        (300.0, 300.0),
        (1100.0, 1300.0),
        (11_600.0, 3400.0),
        (60_000.0, 12_000.0),
        (0.0, f64::NAN),
        (f64::INFINITY, -5.0),
    ];
    let units = [
        LengthUnit::Millimetre,
        LengthUnit::Centimetre,
        LengthUnit::Metre,
        LengthUnit::Inch,
        LengthUnit::Foot,
    ];
    for (length, beam) in boats {
        for unit in units {
            let title = "The \"Dunlin\" \\ foredeck\n½″";
            let text = starter(Length::mm(length), Length::mm(beam), unit, title);
            let layout = read(&text).unwrap_or_else(|faults| {
                panic!("{}\n{text}", render_faults("new", &text, &faults))
            });
            assert_eq!(layout.units, unit);
            assert_eq!(layout.title, "The \"Dunlin\" \\ foredeck ½″");
            let deck = &layout.decks[0];
            assert_eq!(
                (deck.openings.len(), deck.fittings.len(), deck.strips.len()),
                (1, 1, 1)
            );
            assert!(deck.margin.edge > Length::ZERO && deck.radius.hollow > Length::ZERO);
        }
    }
}

#[test]
fn a_starter_has_the_length_and_beam_that_were_asked_for() {
    let text = starter(
        Length::mm(3500.0),
        Length::mm(2800.0),
        LengthUnit::Foot,
        "Foredeck",
    );
    let layout = read(&text).expect("a starter reads");
    let spile::layout::Outline::HalfBreadths(outline) = &layout.decks[0].outline else {
        panic!("a starter has half-breadths");
    };
    let last = outline.points.last().expect("it has points").value;
    assert!((last.station.to_mm() - 3500.0).abs() <= 25.4 / 8.0 + 1e-9);
    assert!((last.breadth.to_mm() - 1400.0).abs() <= 25.4 / 8.0 + 1e-9);
}

/// A layout as the JSON that editors check against the schema.
fn as_json(text: &str) -> Option<serde_json::Value> {
    let table: toml::Table = toml::from_str(text).ok()?;
    serde_json::to_value(table).ok()
}

#[test]
fn the_schema_accepts_every_demo_layout_and_starter() {
    let validator = jsonschema::validator_for(&schema()).expect("the schema is one");
    let mut texts = layouts_in("layouts");
    for unit in [LengthUnit::Millimetre, LengthUnit::Foot] {
        let text = starter(Length::mm(3500.0), Length::mm(2800.0), unit, "Foredeck");
        texts.push((PathBuf::from("starter"), text));
    }
    for (path, text) in texts {
        let json = as_json(&text).expect("it is TOML");
        let faults: Vec<_> = validator
            .iter_errors(&json)
            .map(|fault| format!("{}: {fault}", fault.instance_path()))
            .collect();
        assert!(faults.is_empty(), "{}: {faults:#?}", path.display());
    }
}

/// Mistakes that a schema cannot see: they are between values, or of the text itself.
const BEYOND_A_SCHEMA: [&str; 15] = [
    "absurd_length",
    "knuckle_without_station",
    "knuckles_with_points",
    "no_named_edge",
    "pinched_outline",
    "radius_on_a_fair_curve",
    "radius_too_large",
    "round_end_with_breadth",
    "slot_without_length",
    "stations_out_of_order",
    "tape_lap_as_long_as_the_roll",
    "two_decks_with_one_id",
    "two_half_breadths_at_one_station",
    "two_points",
    "unknown_edge",
];

#[test]
fn the_schema_refuses_what_the_reader_refuses_where_it_can_see_it() {
    let validator = jsonschema::validator_for(&schema()).expect("the schema is one");
    let mut refused = 0;
    for (path, text) in layouts_in("tests/bad_layouts") {
        let Some(json) = as_json(&text) else { continue };
        let name = name(&path);
        if BEYOND_A_SCHEMA.contains(&name.as_str()) || name == "unknown_edge_of_points" {
            continue;
        }
        assert!(!validator.is_valid(&json), "{name} passes the schema");
        refused += 1;
    }
    assert!(refused >= 20, "only {refused} were tried");
}
