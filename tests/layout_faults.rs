//! Layouts that are at fault get a message that says where, what and what to write instead; the demo
//! layouts get none. Each file in `bad_layouts` holds one kind of mistake; its message is a snapshot.

#![expect(
    clippy::panic,
    reason = "a test shows the rendered faults when it fails"
)]

use std::fs;
use std::path::{Path, PathBuf};

use spile::layout::{Layout, Position, Shape, Sources, read, render_faults, schema, starter};
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
    let Shape::Circle {
        at: Position::At(at),
        radius,
    } = hole.shape
    else {
        panic!("the mast hole is round, its middle given");
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

/// What is only shown as possible becomes real where its `#` is taken away.
#[test]
fn what_a_starter_shows_in_comments_reads_too() {
    let is_entry = |code: &str| {
        let word = code.split([' ', '=']).next().unwrap_or_default();
        code.starts_with('[') || (code.contains(" = ") && !word.contains(char::is_uppercase))
    };
    for unit in [
        LengthUnit::Millimetre,
        LengthUnit::Metre,
        LengthUnit::Inch,
        LengthUnit::Foot,
    ] {
        let text = starter(Length::mm(3400.0), Length::mm(2800.0), unit, "Foredeck");
        let start = text.find("# points = [").expect("the start of a ring");
        let end = start + text[start..].find("# ]").expect("its end") + "# ]".len();
        let ring = text[start..end].replace("# ", "");
        let half_breadths = text.find("half_breadths").expect("half-breadths");
        let others = format!("{}{}", &text[..half_breadths], &text[end..]);
        let entries = |text: &str| -> String {
            let bare = |line: &str| match line.strip_prefix("# ") {
                Some(code) if is_entry(code) => format!("{code}\n"),
                _ => format!("{line}\n"),
            };
            text.lines().map(bare).collect()
        };
        let with_ring = others.replace("[deck.outline]\n", &format!("[deck.outline]\n{ring}\n"));
        let with_all = entries(&text[..start]) + &entries(&text[end..]);
        for text in [with_ring, with_all] {
            let layout = read(&text)
                .unwrap_or_else(|faults| panic!("{}", render_faults("new", &text, &faults)));
            let deck = &layout.decks[0];
            match deck.outline {
                spile::layout::Outline::HalfBreadths(_) => {
                    assert_eq!((deck.smooth.len(), deck.pads.len()), (1, 1));
                    spile::work_out(layout, &Sources::default()).expect("it can be laid out");
                }
                spile::layout::Outline::Drawn(_) => panic!("no drawing here"),
                spile::layout::Outline::Points(_) => {
                    // The rest stands on the deck with half-breadths; the ring by itself is sound.
                    let bare = spile::layout::Deck {
                        openings: Vec::new(),
                        fittings: Vec::new(),
                        strips: Vec::new(),
                        ..deck.clone()
                    };
                    spile::outline::trace(&bare, &spile::outline::Fixed::default())
                        .expect("a sound ring");
                }
            }
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
    plain(toml::Value::Table(table))
}

/// A value as JSON has it, which knows no dates: editors give them to the schema as text.
fn plain(value: toml::Value) -> Option<serde_json::Value> {
    Some(match value {
        toml::Value::Datetime(at) => at.to_string().into(),
        toml::Value::Array(items) => {
            let items: Option<Vec<_>> = items.into_iter().map(plain).collect();
            items?.into()
        }
        toml::Value::Table(table) => {
            let entries: Option<serde_json::Map<_, _>> = table
                .into_iter()
                .map(|(key, value)| Some((key, plain(value)?)))
                .collect();
            entries?.into()
        }
        other => serde_json::to_value(other).ok()?,
    })
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
const BEYOND_A_SCHEMA: [&str; 30] = [
    "ways_off_onto_no_deck",
    "absurd_length",
    "price_without_currency",
    "camber_form_with_heights",
    "camber_heights_contradict",
    "camber_more_than_half_a_circle",
    "camber_without_beam",
    "sheer_heights_contradict",
    "sheer_out_of_order",
    "surface_without_camber",
    "knuckle_without_station",
    "knuckles_with_points",
    "no_named_edge",
    "pinched_outline",
    "port_out_of_order",
    "radius_on_a_fair_curve",
    "radius_too_large",
    "round_end_with_breadth",
    "sides_of_one_table",
    "slot_without_length",
    "stations_out_of_order",
    "survey_unknown_point",
    "survey_without_a_direction",
    "tie_to_itself",
    "tie_with_two_distances",
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
    let mut passed = Vec::new();
    for (path, text) in layouts_in("tests/bad_layouts") {
        let Some(json) = as_json(&text) else { continue };
        let name = name(&path);
        if BEYOND_A_SCHEMA.contains(&name.as_str()) || name == "unknown_edge_of_points" {
            continue;
        }
        if validator.is_valid(&json) {
            passed.push(name);
        }
        refused += 1;
    }
    assert_eq!(passed, [""; 0], "these pass the schema");
    assert!(refused >= 20, "only {refused} were tried");
}

#[test]
fn every_key_of_the_format_arrives() {
    let text = r#"
title = "All of it"
units = "cm"
[[deck]]
id = "a-1"
title = "Deck"
outline = { half_breadths = [[-10, 0], [40, "520 mm"], [90, 93], [90, 93]], curve = "straight", knuckles = [40], forward = "sharp", aft = "sharp" }
camber = { rise = 4, beam = "1.9 m", form = "circular" }
sheer = { heights = [[0, 12], ["1.5 m", 6], [300, 4]] }
margin = { edge = 6, opening = 5, fitting = "4 cm", edges = { aft = 9, port = 0 }, blend = 0, measured = "surface" }
radius = { round = 4, hollow = 2.5 }
field = { least_width = 12, least_area = 0.02 }
[[deck.opening]]
name = "hatch"
rectangle = { at = [1, -2], size = [6, 4], radius = 2, turned = -30 }
margin = 5.5
glazed = true
[[deck.fitting]]
name = "cleat"
circle = { at = [9, 7], diameter = 12 }
both_sides = true
in_place = false
margin = 1
[[deck.smooth]]
slot = { from = [3, 0], to = [7, 0], width = 2 }
[[deck.pad]]
name = "pad"
points = [[0, 0], { at = [30, 0], corner = true, radius = 1, edge = "e" }, { at = [30, 12], through = [31, 6], corner = true }, { at = [0, 12], radius = 0 }]
curve = "fair"
[[deck.strip]]
width = 6
across_at = [12, "240 mm"]
along_at = [0, -3]
path = [[1, 0], [9, 5]]
both_sides = true
[[deck.walk]]
name = "to the hatch"
path = [[0, 3], ["20 mm", 0]]
both_sides = true
[[deck.foothold]]
name = "ladder head"
at = [90, "30 cm"]
both_sides = true
[[deck.way_off]]
name = "plank"
at = [9, "32 cm"]
onto = "b"
[order]
path = 30
reach = "65 cm"
[underfoot]
widest_smooth = 6
least_field = 0.05
stops_short = "120 mm"
glazed = 45
waterway = 0
[tape]
line = { width = 1.9, roll = "33 m", lap = 0, least_radius = 3 }
edge = { lap = 4 }
film = { width = 80 }
[weather]
hours = "hours.csv"
columns = { time = "T", date = "D", air = "A", humidity = "H", dew_point = "P", surface = "S", rain = "R", wind = "W" }
[[product]]
id = "paint"
weather = { spread = "4 C", humidity = 80, coldest = "50 F", warmest = 30, coldest_surface = 8, warmest_surface = 40, wind = "8 m/s", dry_after = "8 h" }
[[deck]]
id = "b"
outline = { points = [[90, -93], [200, -93], [200, 93], [90, 93]] }
"#;
    let layout =
        read(text).unwrap_or_else(|faults| panic!("{}", render_faults("all", text, &faults)));
    insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, {
        insta::assert_snapshot!("a_layout_with_every_key", without_places(&format!("{layout:#?}")));
    });
}

/// A debug text without the byte offsets, which say nothing about values.
fn without_places(text: &str) -> String {
    let mut kept = String::new();
    let mut inside = 0;
    for line in text.lines() {
        if line.trim_start().starts_with("place: Place {") {
            inside = 1;
        } else if inside > 0 {
            inside += usize::from(line.trim_end().ends_with('{'));
            inside -= usize::from(line.trim_start().starts_with('}'));
        } else {
            kept.push_str(line);
            kept.push('\n');
        }
    }
    kept
}

/// The least a layout can say.
const LEAST: &str = r#"
title = "Least"
[[deck]]
id = "deck"
[deck.outline]
half_breadths = [[0, 0], [900, 930]]
[[deck.fitting]]
name = "cleat"
circle = { at = [9, 7], radius = 12 }
[[deck.smooth]]
rectangle = { at = [1, 2], size = [6, 4] }
"#;

#[test]
fn what_is_not_said_is_as_the_format_promises() {
    let layout = read(LEAST).expect("it is enough");
    let deck = &layout.decks[0];
    assert_eq!(layout.units, LengthUnit::Millimetre);
    assert_eq!(layout.tape, spile::layout::Tape::default());
    assert_eq!(deck.margin.edge, Length::mm(50.0));
    assert_eq!(deck.margin.opening, Length::mm(50.0));
    assert_eq!(deck.margin.fitting, Length::mm(50.0));
    assert_eq!(deck.margin.blend, None);
    assert_eq!(deck.radius, spile::layout::Radii::default());
    assert_eq!(deck.field, spile::layout::LeastField::default());
    assert!(deck.fittings[0].kind.in_place && !deck.fittings[0].both_sides);
    let Shape::Rectangle {
        radius,
        turned_degrees,
        ..
    } = &deck.smooth[0].shape
    else {
        panic!("it is a rectangle");
    };
    assert_eq!((radius.value, *turned_degrees), (Length::ZERO, 0.0));
}

#[test]
fn a_table_that_is_there_but_empty_changes_nothing() {
    let empty_tables = format!(
        "{LEAST}[deck.margin]\n[deck.radius]\n[deck.field]\n[tape]\nline = {{}}\nedge = {{}}\nfilm = {{}}\n"
    );
    let (bare, empty) = (
        read(LEAST).expect("reads"),
        read(&empty_tables).expect("reads"),
    );
    assert_eq!(bare.decks[0].margin, empty.decks[0].margin);
    assert_eq!(bare.tape, empty.tape);
    assert_eq!(bare.decks[0].field, empty.decks[0].field);
}

#[test]
fn margins_of_openings_and_fittings_follow_the_edge_margin() {
    let text = format!("{LEAST}[deck.margin]\nedge = 75\nfitting = 20\n");
    let margin = read(&text).expect("reads").decks[0].margin.clone();
    assert_eq!(margin.opening, Length::mm(75.0));
    assert_eq!(margin.fitting, Length::mm(20.0));
}

#[test]
fn brackets_without_end_are_refused_without_harm() {
    let deep = |open: &str, close: &str| {
        format!(
            "{LEAST}[tape]\nline = {}1{}\n",
            open.repeat(10_000),
            close.repeat(10_000)
        )
    };
    let dotted = vec!["a"; 79].join(".");
    let layers = format!("{{ {dotted} = ");
    let long_keys = format!(
        "[{dotted}]\n{dotted} = {}1{}",
        layers.repeat(79),
        "}".repeat(79)
    );
    for text in [
        deep("[", "]"),
        deep("{ a = ", " }"),
        deep("[", ""),
        "[".repeat(100_000),
        long_keys,
    ] {
        let faults = read(&text).expect_err("it is no layout");
        assert!(render_faults("deep.toml", &text, &faults).contains("deep.toml"));
    }
}

#[test]
fn a_flood_of_points_is_refused_and_not_worked_through() {
    let mut list = String::new();
    for station in 0..200_001 {
        list.push_str(&format!("[{station}, 900],"));
    }
    let text = LEAST.replace("[[0, 0], [900, 930]]", &format!("[{list}]"));
    let faults = read(&text).expect_err("too many");
    assert_eq!(faults.len(), 1);
    assert!(
        faults[0].message.contains("more than 200000"),
        "{}",
        faults[0].message
    );
}

#[test]
fn many_faults_are_shown_up_to_a_number_that_can_be_read() {
    let text = LEAST.replace("[900, 930]", &"[900],".repeat(3000));
    let faults = read(&text).expect_err("many");
    assert!(faults.len() >= 1000);
    let shown = render_faults("many.toml", &text, &faults);
    assert_eq!(shown.matches("error: ").count(), 50);
    assert!(shown.contains(&format!("and {} more errors", faults.len() - 50)));
}

#[test]
fn one_endless_line_of_mistakes_is_shown_in_short() {
    let text = LEAST.replace("[900, 930]", &"[900],".repeat(150_000));
    let faults = read(&text).expect_err("many");
    let shown = render_faults("endless.toml", &text, &faults);
    assert!(shown.contains("endless.toml:6:"));
    assert!(shown.len() < 100_000, "{}", shown.len());
}

#[test]
fn warnings_and_colour_are_there_when_asked_for() {
    let fault = spile::layout::Fault::new(
        spile::layout::Place::within(LEAST, 1..6),
        "the title says little",
        "this",
    );
    let mut report = spile::layout::Report {
        path: "least.toml",
        text: LEAST,
        colour: false,
    };
    let plain = report.warnings(std::slice::from_ref(&fault));
    assert!(
        plain.starts_with("warning: the title says little\n --> least.toml:2:1\n"),
        "{plain}"
    );
    assert!(plain.is_ascii());
    report.colour = true;
    assert!(report.errors(&[fault]).contains('\u{1b}'));
}

#[test]
fn escape_codes_in_a_file_never_reach_the_terminal() {
    let text = LEAST.replace("0, 0", "\"\u{1b}[31m\", 0");
    let faults = read(&text).expect_err("no length");
    assert!(!render_faults("least.toml", &text, &faults).contains('\u{1b}'));
}

#[test]
fn reader_and_schema_agree_on_how_lengths_are_written() {
    let validator = jsonschema::validator_for(&schema()).expect("the schema is one");
    let forms = [
        ("60 mm", true),
        ("1.2 m", true),
        ("3/4 in", true),
        ("2 ft 3 1/2 in", true),
        ("2' 3-1/2\\\"", true),
        ("2′ 3½″", true),
        ("5'", true),
        ("½ in", true),
        ("12cm", true),
        ("60", false),
        ("mm", false),
        ("", false),
        ("1,2 m", false),
        ("six", false),
    ];
    for (form, is_length) in forms {
        let text = format!("{LEAST}[deck.margin]\nedge = \"{form}\"\n");
        let json = as_json(&text).expect("it is TOML");
        assert_eq!(validator.is_valid(&json), is_length, "schema: {form}");
        assert_eq!(read(&text).is_ok(), is_length, "reader: {form}");
    }
}

#[test]
fn a_thousand_damaged_files_are_read_or_refused_with_a_place() {
    // A small generator, so that the damage is the same on every run.
    let mut state = 0x2545_f491_4f6c_dd1d_u64;
    let mut random = move |below: usize| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        usize::try_from(state % below.max(1) as u64).expect("it is small")
    };
    let texts = layouts_in("layouts");
    let (mut refused, mut numbers) = (0, 0);
    for round in 0..1000 {
        let (path, text) = &texts[round % texts.len()];
        let mut bytes = text.clone().into_bytes();
        match round % 4 {
            0 => {
                for _ in 0..1 + random(8) {
                    let at = random(bytes.len());
                    bytes[at] ^= 1 << random(8);
                }
            }
            1 => {
                let lines: Vec<_> = text.lines().collect();
                let dropped = random(lines.len());
                let kept = lines
                    .iter()
                    .enumerate()
                    .filter(|(line, _)| *line != dropped);
                bytes = kept
                    .flat_map(|(_, line)| [line, "\n"])
                    .collect::<String>()
                    .into_bytes();
            }
            2 => bytes.truncate(random(bytes.len())),
            _ => {
                let wild = [
                    "-1e9",
                    "nan",
                    "1e400",
                    "-0",
                    "99999999999999999999",
                    "\"\"",
                    "[]",
                    "½",
                ];
                let digits: Vec<_> = (0..bytes.len())
                    .filter(|at| bytes[*at].is_ascii_digit())
                    .collect();
                let at = digits[random(digits.len())];
                bytes.splice(at..=at, wild[random(wild.len())].bytes());
                numbers += 1;
            }
        }
        let text = String::from_utf8_lossy(&bytes);
        if let Err(faults) = read(&text) {
            refused += 1;
            let path = path.to_string_lossy();
            assert!(!faults.is_empty());
            assert!(render_faults(&path, &text, &faults).contains(&format!("--> {path}:")));
        }
    }
    assert!(refused > 500 && numbers == 250, "{refused} of 1000 refused");
}

proptest::proptest! {
    #[test]
    fn a_fault_can_be_shown_wherever_it_points(
        text in "(\\PC|\n|\t|\r){0,40}",
        start in 0_usize..60,
        end in 0_usize..60,
        other in 0_usize..60,
    ) {
        let place = spile::layout::Place { start, end };
        let fault = spile::layout::Fault::new(place, "something", "here")
            .with_help("do something else")
            .with_mention(spile::layout::Place { start: other, end: other + 3 }, "there");
        let shown = render_faults("any.toml", &text, &[fault]);
        proptest::prop_assert!(shown.contains("any.toml:"), "{shown}");
    }

    #[test]
    fn any_text_is_read_or_refused(text in "([a-z\\[\\]{}=\",.0-9 \n'#½\\-]|deck|outline|points|margin){0,80}") {
        if let Err(faults) = read(&text) {
            proptest::prop_assert!(render_faults("any.toml", &text, &faults).contains("any.toml:"));
        }
    }
}
