//! From a layout's half-breadths to warnings, sides and curvature.

use std::fmt::Write as _;

use spile::export;
use spile::figures::Figures;
use spile::figures::survey::SurveyFigures;
use spile::layout::{Fault, Sides, Sources, read, render_faults};
use spile::outline::fairness::{Cause, SideFairness};
use spile::shape::Ring;
use spile::{Job, layout, outline, work_out};

use super::simulated::{BOWS, Bow, Random, deck, rounded};

fn listed(table: &[[f64; 2]]) -> String {
    table.iter().fold(String::new(), |mut text, [x, y]| {
        let _ = write!(text, "[{x}, {y}], ");
        text
    })
}

fn layout(outline: &str) -> String {
    format!(
        "title = \"Guillemot, foredeck\"\n[[deck]]\nid = \"foredeck\"\n[deck.outline]\n{outline}\n[deck.margin]\nedge = 60\n"
    )
}

fn worked(outline: &str) -> Job {
    let text = layout(outline);
    let show = |faults: &[Fault]| render_faults("deck.toml", &text, faults);
    let layout = read(&text).unwrap_or_else(|faults| panic!("{}", show(&faults)));
    work_out(layout, &Sources::default()).unwrap_or_else(|faults| panic!("{}", show(&faults)))
}

fn mirrored(bow: Bow, table: &[[f64; 2]]) -> Job {
    let forward = if bow == Bow::Round { "round" } else { "sharp" };
    worked(&format!(
        "half_breadths = [{}]\nforward = \"{forward}\"",
        listed(table)
    ))
}

fn side(job: &Job) -> &SideFairness {
    &job.decks[0]
        .plan
        .fairness
        .as_ref()
        .expect("half-breadths")
        .sides[0]
}

/// A fair side, rounded to 2 mm.
const FAIR: [[f64; 2]; 12] = [
    [0.0, 0.0],
    [300.0, 398.0],
    [600.0, 706.0],
    [1000.0, 994.0],
    [1500.0, 1218.0],
    [2000.0, 1356.0],
    [2500.0, 1440.0],
    [3000.0, 1494.0],
    [3500.0, 1526.0],
    [4000.0, 1544.0],
    [4500.0, 1548.0],
    [5000.0, 1540.0],
];

fn codes(job: &Job) -> Vec<&'static str> {
    job.warnings.iter().map(|warning| warning.code).collect()
}

#[test]
fn a_slipped_digit_is_found_and_named() {
    let mut random = Random(21);
    let (mut named, mut runs) = (0, 0);
    for _ in 0..30 {
        for bow in BOWS {
            let mut table = rounded(&deck(bow, &mut random), 2.0);
            let at = 2 + random.below(9);
            let step = [1000.0, 100.0][random.below(2)];
            let step = if random.below(2) == 0 && table[at][1] > step + 50.0 {
                -step
            } else {
                step
            };
            table[at][1] += step;
            let forward = if bow == Bow::Round { "round" } else { "sharp" };
            let text = layout(&format!(
                "half_breadths = [{}]\nforward = \"{forward}\"",
                listed(&table)
            ));
            runs += 1;
            // So great a slip may throw the curve across the centreline, which is a fault by itself.
            let Ok(job) = work_out(read(&text).expect("it reads"), &Sources::default()) else {
                named += 1;
                continue;
            };
            named += i32::from(side(&job).bumps.iter().any(|bump| {
                let is_it = |found: f64| (found - step).abs() < 1e-6;
                bump.index == at
                    && matches!(bump.cause, Some(Cause::OffBy { step, .. }) if is_it(step.to_mm()))
            }));
        }
    }
    println!("slipped digits named: {named} of {runs}");
    assert!(
        f64::from(named) >= 0.95 * f64::from(runs),
        "{named} of {runs}"
    );
}

#[test]
fn two_half_breadths_exchanged_are_found_and_named() {
    let mut random = Random(22);
    let (mut named, mut runs) = (0, 0);
    for _ in 0..50 {
        for bow in BOWS {
            let mut table = rounded(&deck(bow, &mut random), 2.0);
            let at = 1 + random.below(9);
            // An exchange that moves nothing by more than a bump is no matter.
            if (table[at][1] - table[at + 1][1]).abs() < 20.0 {
                continue;
            }
            (table[at][1], table[at + 1][1]) = (table[at + 1][1], table[at][1]);
            let job = mirrored(bow, &table);
            runs += 1;
            named += i32::from(side(&job).exchanged.iter().any(|pair| pair.index == at));
        }
    }
    println!("exchanged half-breadths named: {named} of {runs}");
    assert!(
        f64::from(named) >= 0.95 * f64::from(runs),
        "{named} of {runs}"
    );
}

#[test]
fn swapped_digits_and_a_wrong_station_are_told_from_a_bump() {
    let mut swapped = FAIR;
    swapped[5][1] = 1536.0;
    let job = mirrored(Bow::Sharp, &swapped);
    let cause = side(&job).bumps[0].cause.expect("a cause");
    assert!(matches!(cause, Cause::DigitsSwapped { right } if right.to_mm() == 1356.0));
    let mut moved = FAIR;
    moved[2][0] = 700.0;
    let job = mirrored(Bow::Sharp, &moved);
    let cause = side(&job).bumps[0].cause.expect("a cause");
    assert!(matches!(cause, Cause::Station { right } if right.to_mm() == 600.0));
    assert_eq!(codes(&job), ["unfair-half-breadth"]);
}

#[test]
fn a_fair_table_has_no_warning_and_says_what_it_could_have_found() {
    let job = mirrored(Bow::Sharp, &FAIR);
    assert_eq!(codes(&job), [] as [&str; 0]);
    let side = side(&job);
    assert_eq!(side.rounding.to_mm(), 2.0);
    // The middle of the table would show a bump of a few millimetres; the zero at the stem is exact.
    let limit = side.stations[5].limit.expect("it is judged").to_mm();
    assert!((1.0..8.0).contains(&limit), "{limit}");
    assert!(side.stations[0].limit.is_none());
}

#[test]
fn a_knuckle_parts_the_table_and_short_parts_are_not_judged() {
    let job = worked(&format!(
        "half_breadths = [{}]\nknuckles = [2500]",
        listed(&FAIR)
    ));
    assert!(side(&job).is_too_short());
    assert_eq!(codes(&job), [] as [&str; 0]);
}

#[test]
fn the_comb_of_a_circle_is_one_over_its_radius() {
    // A round end of radius 2 m (closed form 1/R), its stations where the circle turns evenly.
    let radius = 2000.0;
    let table: Vec<[f64; 2]> = (0..=12)
        .map(|number| {
            let angle = f64::from(number) * std::f64::consts::FRAC_PI_2 / 12.0;
            [radius * (1.0 - angle.cos()), radius * angle.sin()]
        })
        .collect();
    let job = mirrored(Bow::Round, &table);
    let curvature = &side(&job).curvature[0];
    // The free end at 90° bends the curve straight, less and less over the last few stations.
    let inner = curvature.points.iter().filter(|point| point.at.x < 900.0);
    for point in inner {
        assert!((point.curvature * radius - 1.0).abs() < 0.01, "{point:?}");
    }
    assert!(curvature.inflections.is_empty());
}

#[test]
fn two_equal_sides_make_the_deck_that_one_mirrored_table_makes() {
    let one = mirrored(Bow::Sharp, &FAIR);
    for sides in ["both", "average", "port", "starboard"] {
        let two = worked(&format!(
            "starboard = [{0}]\nport = [{0}]\nsides = \"{sides}\"",
            listed(&FAIR)
        ));
        assert_eq!(
            one.decks[0].plan.outline.ring, two.decks[0].plan.outline.ring,
            "{sides}"
        );
        assert!(two.warnings.is_empty());
    }
}

#[test]
fn sides_that_differ_are_said_and_treated_as_asked() {
    let mut port = FAIR;
    for (number, entry) in port.iter_mut().enumerate() {
        entry[1] += 3.0 * number as f64;
    }
    // Port was not measured at 3000.
    let port: Vec<[f64; 2]> = port.into_iter().filter(|[x, _]| *x != 3000.0).collect();
    let made = |sides: &str| {
        worked(&format!(
            "starboard = [{}]\nport = [{}]\nsides = \"{sides}\"",
            listed(&FAIR),
            listed(&port)
        ))
    };
    let area = |job: &Job| job.decks[0].plan.outline.ring.signed_area();
    let [both, average, to_port, to_starboard] = ["both", "average", "port", "starboard"].map(made);
    for job in [&both, &average, &to_port, &to_starboard] {
        assert_eq!(codes(job), ["sides-differ"]);
        assert!(
            job.warnings[0]
                .message
                .contains("33 mm wider at station 5000 mm")
        );
    }
    let fairness = both.decks[0].plan.fairness.as_ref().expect("judged");
    assert_eq!(fairness.made, Some(Sides::Both));
    assert_eq!(fairness.differences.len(), 12);
    // Where port has no station its fair curve is taken: between 18 and 24 more than starboard.
    let between = fairness.differences[7].port_over_starboard().to_mm();
    assert!((20.0..22.0).contains(&between), "{between}");
    // Half of each side makes both; the average is as large.
    let half = f64::midpoint(area(&to_port), area(&to_starboard));
    assert!((area(&both) - half).abs() < 1e-3 * half);
    assert!((area(&average) - half).abs() < 1e-3 * half);
    let names: Vec<_> = both.decks[0]
        .plan
        .outline
        .edges
        .iter()
        .filter_map(|edge| edge.name.as_deref())
        .collect();
    assert_eq!(names, ["port", "aft", "starboard"]);
}

#[test]
fn an_average_needs_both_sides_from_end_to_end() {
    let text = layout(&format!(
        "starboard = [{}]\nport = [{}]\nsides = \"average\"",
        listed(&FAIR),
        listed(&FAIR[..11])
    ));
    let faults = work_out(read(&text).expect("it reads"), &Sources::default())
        .expect_err("port ends at 4500");
    assert!(faults[0].message.contains("aft end"), "{faults:?}");
}

/// Starboard in every station, port without 3000 and with one of its own: each line with what was said beside it.
const APART: &str = "\
# From the string, two of us.
starboard = [
  [0, 0], [300, 398], [600, 706], [1000, 994], [1500, 1218],
  [2000, 1356], # by the chain plate
  [2500, 1440], [3000, 1494], [3500, 1526], [4000, 1544], [4500, 1548], [5000, 1540],
] # read twice
port = [
  [0, 0], [300, \"40.1 cm\"], [600, 710], [1000, 999], [1500, 1226], [1750, 1303],
  [2000, 1367], [2500, 1453], [3500, 1541], [4000, 1560], [4500, 1565], [5000, 1558],
]
precision = 2
SIDES
knuckles = [4000]";

/// What a survey writes back for `text`.
fn adjusted(text: &str) -> (Job, String) {
    let layout =
        read(text).unwrap_or_else(|faults| panic!("{}", render_faults("a", text, &faults)));
    let job = work_out(layout, &Sources::default()).expect("it is a deck");
    let plans = job.decks.iter().map(|deck| &deck.plan);
    let settled = outline::settled(&job.layout, &job.fixed, plans);
    let written = layout::settled(text, &settled).expect("it is TOML");
    (job, written)
}

fn same_ring(one: &Ring, other: &Ring, within: f64) {
    assert_eq!(one.segments().len(), other.segments().len());
    for (one, other) in one.segments().iter().zip(other.segments()) {
        for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
            let apart = one.point_at(share).distance(other.point_at(share));
            assert!(
                apart <= within,
                "{apart} mm apart at {:?}",
                one.point_at(share)
            );
        }
    }
}

/// A deck in feet and inches, each side with a station that the other has not.
const APART_IN_FEET: &str = "\
# From the string, two of us.
starboard = [
  [0, 0], [\"1 ft\", \"1' 3 5/8\\\"\"], [2.5, 2.75], # by the chain plate
  [5, \"4' 0 1/2\\\"\"], [8, \"4' 11\\\"\"],
]
port = [
  [0, 0], [\"1 ft\", \"1' 4\\\"\"], [\"3' 1/8\\\"\", 3], [5, \"4' 1 1/4\\\"\"], [8, 5],
]
precision = \"1/8 in\"
SIDES
knuckles = [5]";

#[test]
fn two_sides_made_one_are_written_back_as_one_table_with_the_measurements_beside_it() {
    for (outline, units, average, alone) in [(APART, "mm", 13, 12), (APART_IN_FEET, "ft", 6, 5)] {
        for sides in ["average", "port", "starboard"] {
            let outline = outline.replace("SIDES", &format!("sides = \"{sides}\" # we agreed"));
            let text = layout(&outline)
                .replace("[[deck]]", &format!("units = \"{units}\"\n[[deck]]"))
                .replace("edge = 60", "edge = \"60 mm\"");
            let (job, written) = adjusted(&text);
            let again = read(&written).unwrap_or_else(|faults| {
                panic!("{}", render_faults("adjusted", &written, &faults))
            });
            let layout::Outline::HalfBreadths(table) = &again.decks[0].outline else {
                panic!("half-breadths");
            };
            let stations = if sides == "average" { average } else { alone };
            assert_eq!(
                (table.points.len(), table.port.len()),
                (stations, 0),
                "{written}"
            );
            let planned = work_out(again, &Sources::default()).expect("it is a deck");
            same_ring(
                &job.decks[0].plan.outline.ring,
                &planned.decks[0].plan.outline.ring,
                1e-9,
            );
            // Every line about the sides stands in it as it did, as a comment; all others as they did.
            for line in text.lines() {
                let about_sides = outline.contains(line) && !line.is_empty();
                let stays = ["precision", "knuckles"]
                    .iter()
                    .any(|key| line.starts_with(key));
                let wanted = if about_sides && !stays {
                    format!("\n  # {line}\n")
                } else {
                    format!("{line}\n")
                };
                assert!(written.contains(&wanted), "{wanted} is not in\n{written}");
            }
        }
    }
}

#[test]
fn two_sides_that_both_stand_are_written_back_untouched() {
    for sides in ["sides = \"both\"", ""] {
        let text = layout(&APART.replace("SIDES", sides));
        assert_eq!(adjusted(&text).1, text);
    }
}

#[test]
fn sides_in_an_inline_table_are_made_one_in_it() {
    let text = "title = \"Puffin\"\n[[deck]]\nid = \"deck\"\noutline = { starboard = [[0, 0], [900, 700.5]], curve = \"straight\", port = [[0, 0], [900, 702]], sides = \"average\" }\n";
    let (_, written) = adjusted(text);
    assert_eq!(
        written,
        "title = \"Puffin\"\n[[deck]]\nid = \"deck\"\noutline = { curve = \"straight\", half_breadths = [\n  # Made one of the two sides as they were measured:\n  # starboard = [[0, 0], [900, 700.5]]\n  # port = [[0, 0], [900, 702]]\n  # sides = \"average\"\n  [0, 0],\n  [900, 701.25],\n] }\n"
    );
    read(&written).expect("it reads back");
}

fn survey_of(job: &Job) -> (serde_json::Value, String) {
    let figures = SurveyFigures::of(job);
    let json = export::survey_json(&figures).expect("it prints");
    let json = serde_json::from_str(&json).expect("it is JSON");
    (json, export::survey_report(&figures, "adjusted.toml", &[]))
}

#[test]
fn the_survey_says_where_each_side_bends_most_and_where_it_turns() {
    // To starboard a parabola, y'' = -1/625 mm: its radius is least at the crown, 625 mm. To port a wave of
    // y = 900 + 100 sin(x π / 1000), over two lengths: its curvature is greatest at the crests, 100 (π/1000)², and
    // zero where the sine is.
    let arch: Vec<[f64; 2]> = (0..=20)
        .map(|number| {
            let x = 100.0 * f64::from(number);
            [x, 1200.0 - (x - 1000.0).powi(2) / 1250.0]
        })
        .collect();
    let k = std::f64::consts::PI / 1000.0;
    let wave: Vec<[f64; 2]> = (0..=40)
        .map(|number| {
            let x = 50.0 * f64::from(number);
            [x, 900.0 + 100.0 * (k * x).sin()]
        })
        .collect();
    let (json, report) = survey_of(&worked(&format!(
        "starboard = [{}]\nport = [{}]\nprecision = 0.01",
        listed(&arch),
        listed(&wave)
    )));
    let number = |value: &serde_json::Value| value.as_f64().expect("a number");
    let [starboard, port] = [0, 1].map(|side| &json["half_breadths"][side]);
    let radius = number(&starboard["sharpest"]["least_radius_mm"]);
    assert!((radius - 625.0).abs() < 6.0, "{radius}");
    assert!((number(&starboard["sharpest"]["station_mm"]) - 1000.0).abs() < 10.0);
    assert_eq!(starboard["sharpest"]["is_hollow"], false);
    assert_eq!(starboard["inflections"], serde_json::json!([]));
    let radius = number(&port["sharpest"]["least_radius_mm"]);
    let closed = 1.0 / (100.0 * k * k);
    assert!((radius / closed - 1.0).abs() < 0.02, "{radius}, {closed}");
    let station = number(&port["sharpest"]["station_mm"]);
    assert!(
        (station - 500.0).abs() < 10.0 || (station - 1500.0).abs() < 10.0,
        "{station}"
    );
    assert_eq!(port["sharpest"]["is_hollow"], station > 1000.0);
    let turning = port["inflections"].as_array().expect("a list");
    assert_eq!(turning.len(), 1, "{turning:?}");
    assert!((number(&turning[0]["station_mm"]) - 1000.0).abs() < 10.0);
    assert!((number(&turning[0]["half_breadth_mm"]) - 900.0).abs() < 5.0);
    assert!(report.contains("with a radius of 10"), "{report}");
    assert!(
        report.contains("It turns from bulging to hollow or back at station 1"),
        "{report}"
    );
    assert_eq!(json["surfaces"], serde_json::json!([]));
}

#[test]
fn a_straight_side_has_no_least_radius() {
    let (json, report) = survey_of(&worked(
        "half_breadths = [[0, 400], [900, 700], [2000, 800]]\ncurve = \"straight\"",
    ));
    assert_eq!(
        json["half_breadths"][0]["sharpest"],
        serde_json::Value::Null
    );
    assert!(
        report.contains("straight from station to station"),
        "{report}"
    );
}

#[test]
fn the_survey_of_a_cambered_deck_has_its_heights_and_distortion_as_the_figures_have() {
    let text = std::fs::read_to_string("layouts/garganey.toml").expect("a demo boat");
    let job = work_out(read(&text).expect("it reads"), &Sources::default()).expect("it is a deck");
    let (json, report) = survey_of(&job);
    let figures = Figures::of(&job);
    let own = figures.decks[0].surface.as_ref().expect("camber");
    let fit = own.heights.as_ref().expect("from heights");
    let surface = &json["surfaces"][0];
    assert_eq!(surface["deck"], figures.decks[0].id.as_str());
    let measured = surface["heights"]["measured"].as_array().expect("a list");
    assert_eq!(measured.len(), fit.heights.len());
    for (key, height) in measured.iter().zip(&fit.heights) {
        assert_eq!(key["above_mm"], height.above.to_mm());
    }
    let distortion = &own.developed.distortion;
    assert_eq!(
        surface["developed"]["greatest_stretch"],
        distortion.stretch.amount
    );
    assert_eq!(surface["developed"]["exact"], false);
    assert!(report.contains(": camber and sheer\n"), "{report}");
    assert!(
        report.contains("| Off the curve |") && report.contains("Laid flat, lengths"),
        "{report}"
    );
}
