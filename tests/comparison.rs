//! Layouts side by side: what stands in a column is what the layout says by itself, and how wide a deck is smooth is
//! what a person with a disc of cardboard would find.

#[path = "common/beside.rs"]
mod beside;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use spile::comparison::{Candidate, Comparison, Difference, Value};
use spile::layout::{self, Change, Trial, changed};
use spile::pattern::widest_smooth;
use spile::shape::{Point, Region};
use spile::takeoff::Stock;
use spile::{Job, work_out};

fn demo(name: &str) -> (PathBuf, String) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("layouts")
        .join(name);
    let text = std::fs::read_to_string(&path).expect("a demo");
    (path, text)
}

fn job(text: &str) -> Job {
    let layout = layout::read(text).expect("a layout");
    let sources = beside::beside(&layout);
    work_out(layout, &sources).expect("a job")
}

fn changes(trials: &[&str]) -> Vec<Change> {
    let trials = trials
        .iter()
        .map(|trial| trial.parse::<Trial>().expect("a trial"));
    trials
        .flat_map(|trial| trial.changes().collect::<Vec<_>>())
        .collect()
}

fn compared(text: &str, trials: &[&str]) -> Comparison {
    let mut candidates = vec![Candidate::of("first".into(), job(text))];
    for change in changes(trials) {
        let new = changed(text, &[change]).expect("it can be changed");
        candidates.push(Candidate::of("other".into(), job(&new)));
    }
    Comparison::of(candidates)
}

fn value<'a>(comparison: &'a Comparison, key: &str, column: usize) -> &'a Value {
    let row = comparison.row(key).expect("there is such a row");
    row.values[column].as_ref().expect("there is such a value")
}

#[test]
fn a_column_holds_what_its_layout_says_by_itself() {
    let (_, text) = demo("guillemot.toml");
    let comparison = compared(&text, &["margin.edge=80"]);
    // The same change made by hand: the edge margin of all four decks is 60 mm.
    assert_eq!(text.matches("\nedge = 60").count(), 4);
    let by_hand = Candidate::of(
        "by hand".into(),
        job(&text.replace("\nedge = 60", "\nedge = 80")),
    );
    let other = &comparison.candidates[1];
    assert_eq!(other.figures.areas(), by_hand.figures.areas());
    assert_eq!(other.takeoff.shopping, by_hand.takeoff.shopping);
    assert_eq!(other.takeoff.cost, by_hand.takeoff.cost);
    assert_eq!(
        *value(&comparison, "field_area", 1),
        Value::Amount(Stock::Area(by_hand.figures.areas().field))
    );
    assert_eq!(
        *value(&comparison, "hours", 1),
        Value::Hours(by_hand.takeoff.hours)
    );
}

#[test]
fn what_is_tried_changes_nothing_else() {
    let (_, text) = demo("guillemot.toml");
    let comparison = compared(&text, &["job.people=3", "margin.edge=60", "strip=none"]);
    let changed = |column: usize| -> Vec<&str> {
        let rows = comparison.rows.iter();
        let differ = rows.filter(|row| row.difference(column) != Difference::Same);
        differ.map(|row| row.key.as_str()).collect()
    };
    // A third pair of hands: fewer days in the yard, so less rent; more gloves and masks. Not an hour more or less.
    assert!(changed(1).contains(&"days") && changed(1).contains(&"paid"));
    for key in ["hours", "field_area", "line-tape.need", "primer.need"] {
        assert!(!changed(1).contains(&key), "{key}");
    }
    // What the file says already.
    assert_eq!(changed(2), [""; 0]);
    // No strips: fewer and larger fields.
    let fields = comparison.row("fields").expect("fields");
    assert!(matches!(fields.difference(3), Difference::Less(_)));
}

#[test]
fn a_thing_of_one_deck_is_taken_out_where_it_is() {
    let (_, text) = demo("guillemot.toml");
    let comparison = compared(&text, &["opening.fore hatch=none"]);
    let areas = |column: usize| comparison.candidates[column].figures.areas().openings;
    // The hatch is 600 by 600 mm, its corners rounded to 60: 0.36 m² less (4 - π) r².
    let hatch = 360_000.0 - (4.0 - std::f64::consts::PI) * 3600.0;
    assert!(((areas(0) - areas(1)).to_mm2() - hatch).abs() < 1e-3);
}

#[test]
fn every_difference_is_the_value_less_the_first() {
    let (_, text) = demo("guillemot.toml");
    let comparison = compared(&text, &["margin=+15", "radius=80"]);
    let mut seen = 0;
    for row in &comparison.rows {
        for column in 1..comparison.candidates.len() {
            let numbers = [0, column].map(|at| row.values[at].as_ref().and_then(likely));
            let [Some(first), Some(other)] = numbers else {
                continue;
            };
            let by = match row.difference(column) {
                Difference::Same => 0.0,
                Difference::More(by) => likely(&by).expect("a number"),
                Difference::Less(by) => -likely(&by).expect("a number"),
                Difference::Unlike => continue,
            };
            assert!(
                (other - first - by).abs() <= 1e-9 * first.abs().max(1.0),
                "{}",
                row.key
            );
            seen += 1;
        }
    }
    assert!(seen > 50);
}

/// The number that a value is, of a range the likely one.
fn likely(value: &Value) -> Option<f64> {
    Some(match value {
        Value::Amount(Stock::Volume(volume)) => volume.to_millilitres(),
        Value::Amount(Stock::Mass(mass)) => mass.to_grams(),
        Value::Amount(Stock::Pieces(many)) => *many as f64,
        Value::Amount(Stock::Length(length)) | Value::Length(length) => length.to_mm(),
        Value::Amount(Stock::Area(area)) => area.to_mm2(),
        Value::Share(share) => share.to_per_cent(),
        Value::Hours(hours) => hours.likely.to_hours(),
        Value::Days(days) => days.likely as f64,
        Value::Money(range, currency) => range.likely.to_number(*currency),
        Value::Words(_) => return None,
    })
}

/// The largest distance to the boundary of any point of a raster inside.
fn widest_on_raster(region: &Region, step: f64) -> f64 {
    let (bounds, boundary) = (region.bounding_box(), region.boundary());
    let mut widest: f64 = 0.0;
    let mut y = bounds.least.y;
    while y <= bounds.greatest.y {
        let mut x = bounds.least.x;
        while x <= bounds.greatest.x {
            let at = Point::new(x, y);
            if !boundary.comes_within(spile::units::Length::mm(widest), at) && boundary.contains(at)
            {
                widest = widest.max(boundary.distance(at).to_mm());
            }
            x += step;
        }
        y += step;
    }
    widest
}

#[test]
fn the_widest_smooth_place_is_the_one_a_raster_finds() {
    // Brute force: every point of a 4 mm raster. A point of it lies within 4 / √2 mm of the true middle, and no point is
    // nearer to the boundary by more than that.
    let step = 4.0;
    let mut decks = 0;
    for name in [
        "guillemot.toml",
        "dunlin.toml",
        "garganey.toml",
        "whimbrel.toml",
    ] {
        for deck in job(&demo(name).1).decks {
            let found = widest_smooth(&deck.pattern)
                .expect("a border")
                .width
                .to_mm()
                / 2.0;
            let raster = widest_on_raster(&deck.pattern.border, step);
            assert!(
                raster <= found + 0.05,
                "{name} {}: {raster} over {found}",
                deck.plan.id
            );
            let most = raster + step / std::f64::consts::SQRT_2;
            assert!(
                found <= most,
                "{name} {}: {found} over {raster}",
                deck.plan.id
            );
            decks += 1;
        }
    }
    assert!(decks >= 6);
}

#[test]
fn wider_margins_leave_less_to_grip_and_more_to_slip_on() {
    let (_, text) = demo("guillemot.toml");
    let comparison = compared(&text, &["margin=+10,+20,+40,+80"]);
    let row = |key: &str| -> Vec<f64> {
        let row = comparison.row(key).expect("a row");
        row.values.iter().flatten().filter_map(likely).collect()
    };
    assert!(row("field_area").is_sorted_by(|a, b| a > b));
    assert!(row("widest_smooth").is_sorted());
    let clearance = row("least_clearance");
    // The narrowest border is a stanchion base's 30 mm.
    for (clearance, by) in clearance.iter().zip([0.0, 10.0, 20.0, 40.0, 80.0]) {
        assert!(*clearance >= 30.0 + by - 1e-6, "{clearance} of {by}");
    }
}

fn spile(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_spile"))
        .args(arguments)
        .output()
        .expect("spile runs")
}

fn refused(arguments: &[&str], status: i32, said: &str) {
    let output = spile(arguments);
    let error = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(status), "{error}");
    assert!(output.stdout.is_empty());
    assert!(error.contains(said), "{error}");
}

#[test]
fn what_cannot_be_compared_is_said_with_what_to_write() {
    let launch = demo("guillemot.toml").0;
    let launch = launch.to_str().expect("a path");
    refused(&["compare", launch], 2, "such as --try margin=50,75");
    refused(
        &["compare", launch, "--try", "margn=50"],
        2,
        "did you mean `margin`?",
    );
    refused(
        &["compare", launch, "--try", "deck.foredek.margin=50"],
        2,
        "did you mean \"foredeck\"?",
    );
    refused(
        &["compare", launch, "--try", "margin"],
        2,
        "there is no value",
    );
    refused(
        &[
            "compare",
            launch,
            "--try",
            "margin=1,2,3,4,5,6,7",
            "--try",
            "radius=1,2,3,4,5,6,7",
        ],
        2,
        "try fewer values at once",
    );
    // A value that the reader refuses is shown where it would stand.
    refused(
        &["compare", launch, "--try", "margin.edge=60 mn"],
        1,
        "margin.edge 60 mn",
    );
    refused(&["compare", launch, "nowhere.toml"], 3, "nowhere.toml");
    refused(
        &[
            "compare",
            launch,
            "--try",
            "margin=50",
            "--try",
            "margin=60",
        ],
        2,
        "stands twice",
    );
    refused(
        &["compare", launch, "--try", "margin=50", "--out", "x.doc"],
        2,
        "end the name in .md",
    );
}

#[test]
fn the_first_column_is_the_layout_as_it_stands_and_every_figure_has_its_unit() {
    let launch = demo("guillemot.toml").0;
    let launch = launch.to_str().expect("a path");
    let output = spile(&[
        "compare",
        launch,
        "--try",
        "margin=50,75",
        "--try",
        "radius=25,40",
        "--json",
    ]);
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let names: Vec<&str> = json["candidates"]
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(|one| one["name"].as_str())
        .collect();
    assert_eq!(
        names,
        [
            "as it stands",
            "margin 50, radius 25",
            "margin 50, radius 40",
            "margin 75, radius 25",
            "margin 75, radius 40"
        ]
    );
    for figure in json["figures"].as_array().expect("a list") {
        for value in figure["values"].as_array().expect("a list") {
            assert!(value.is_null() || value["words"].is_string() || value["likely"].is_number());
            assert!(value.is_null() || value["unit"].is_string());
        }
    }
    // The spreadsheet has the same columns.
    let output = spile(&["compare", launch, "--try", "margin=50,75", "--csv"]);
    let text = String::from_utf8(output.stdout).expect("text");
    let head = text.lines().next();
    assert_eq!(
        head,
        Some("section,figure,title,unit,as it stands,margin 50,margin 75")
    );
}

#[test]
fn amounts_in_two_currencies_stand_side_by_side_without_a_difference() {
    let (_, text) = demo("guillemot.toml");
    let krone = text.replace("currency = \"EUR\"", "currency = \"NOK\"");
    let both = [text, krone].map(|text| Candidate::of("one".into(), job(&text)));
    let comparison = Comparison::of(both.into());
    let paid = comparison.row("paid").expect("a row");
    assert_eq!(paid.difference(1), Difference::Unlike);
    assert!(paid.values.iter().all(Option::is_some));
}
