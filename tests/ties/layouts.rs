//! From a layout's `[survey]` to the message: what a boat owner reads about the ties, and what keeps a deck from being traced.

use spile::adjust::Fix;
use spile::layout::{Fault, Layout, Sources, read, render_faults};
use spile::outline::Warning;

const SANDERLING: &str = include_str!("../../layouts/sanderling.toml");

fn layout(text: &str) -> Layout {
    read(text).unwrap_or_else(|faults| panic!("{}", render_faults("survey.toml", text, &faults)))
}

/// A deck whose outline runs through the points named, and a survey.
fn survey(ties: &str, points: &str, outline: &str) -> String {
    format!(
        "title = \"Sanderling\"\n\n[survey]\nties = [\n{ties}\n]\n\n[survey.points]\n{points}\n\n[[deck]]\nid = \"foredeck\"\n\n\
         [deck.outline]\npoints = [{outline}]\n"
    )
}

fn warnings(text: &str) -> Vec<Warning> {
    let fixed = spile::outline::fix(&layout(text), &Sources::default())
        .expect("nothing keeps it from being found");
    fixed.warnings
}

fn faults(text: &str) -> Vec<Fault> {
    spile::work_out(layout(text), &Sources::default()).expect_err("it is at fault")
}

fn said(text: &str) -> String {
    let lines: Vec<String> = warnings(text)
        .iter()
        .map(|warning| {
            let place = warning.place.map_or("", |place| place.of(text));
            format!("{} at {place}\n{}", warning.code, warning.message)
        })
        .collect();
    lines.join("\n\n")
}

const MARKS: &str =
    "A = [0, 0]\nB = [4000, 0]\nC = [2000, 1800]\nD = [3000, -1500]\nE = [500, -1400]";

#[test]
fn the_demo_boat_is_surveyed_without_a_warning() {
    assert_eq!(said(SANDERLING), "");
    let fixed = spile::outline::fix(&layout(SANDERLING), &Sources::default()).expect("found");
    let network = fixed.network.expect("a survey");
    for (point, fix) in network.points.iter().zip(&network.adjustment.fixes) {
        if let Fix::Found(found) = fix {
            let ellipse = found.covariance.ellipse();
            assert!(
                ellipse.major < 5.0 && !found.unchecked,
                "{}: {ellipse:?}",
                point.name
            );
        }
    }
    // Measured with a noise of 2.4 mm and stated as 3.
    let factor = network.adjustment.variance_factor().expect("ties to spare");
    assert!((0.3..1.1).contains(&factor), "{factor}");
}

/// Each tie to a point with five of them, read 100 mm too long.
#[test]
fn a_hundred_misread_on_the_demo_boat_is_named() {
    let (mut tried, mut named) = (0, 0);
    for line in SANDERLING
        .lines()
        .filter(|line| line.matches("[\"").count() == 5)
    {
        let Some(tie) = line.trim().strip_suffix("],") else {
            continue;
        };
        let Some((before, length)) = tie.rsplit_once(' ') else {
            continue;
        };
        let Ok(length) = length.parse::<i32>() else {
            continue;
        };
        let wrong = line.replace(
            &format!("{before} {length}]"),
            &format!("{before} {}]", length + 100),
        );
        let text = SANDERLING.replace(line, &wrong);
        tried += 1;
        let found = warnings(&text);
        named += usize::from(
            found.len() == 1
                && found[0].code == "tie-wrong"
                && found[0]
                    .place
                    .expect("a place")
                    .of(&text)
                    .ends_with(&format!("{}]", length + 100)),
        );
    }
    println!("{named} of {tried}");
    assert!(tried >= 10 && named == tried, "{named} of {tried}");
}

#[test]
fn a_wrong_tie_among_five_is_named_with_its_size_and_cause() {
    let ties = r#"["A", "7", 1838], ["B", "7", 2505], ["C", "7", 1141], ["D", "7", 2556], ["E", "7", 2418]"#;
    insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false, snapshot_path => "../snapshots" }, {
        insta::assert_snapshot!("survey_wrong_tie", said(&survey(ties, MARKS, "\"A\", \"B\", \"7\"")));
    });
}

#[test]
fn a_wrong_tie_among_three_is_said_to_need_one_more() {
    let ties = r#"["A", "7", 1838], ["B", "7", 2505], ["C", "7", 1141]"#;
    insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false, snapshot_path => "../snapshots" }, {
        insta::assert_snapshot!("survey_one_of_three_wrong", said(&survey(ties, MARKS, "\"A\", \"B\", \"7\"")));
    });
}

#[test]
fn unchecked_open_and_lost_points_are_named() {
    let ties = r#"["A", "1", 1838], ["B", "1", 2405],
["A", "2", 1800], ["B", "2", 2500], ["1", "3", 900], ["4", "5", 900],
["A", "6", 1498], ["B", "6", 2499]"#;
    insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false, snapshot_path => "../snapshots" }, {
        insta::assert_snapshot!(
            "survey_unchecked_open_and_lost",
            said(&survey(ties, "A = [0, 0]\nB = \"centreline\"\n1 = \"starboard\"", "[0, 0], [10, 0], [10, 10]")
                .replace("ties = [", "ties = [\n[\"A\", \"B\", 4000], [\"A\", \"B\", 4001],"))
        );
    });
}

#[test]
fn an_outline_through_a_point_not_found_is_at_fault() {
    let ties = r#"["A", "7", 1838], ["A", "8", 2505], ["B", "8", 2505], ["A", "9", 2000], ["B", "9", 2900], ["8", "9", 700]"#;
    let text = survey(
        ties,
        "A = [0, 0]\nB = [4000, 0]",
        "\"A\", \"7\", \"8\", \"9\"",
    );
    let found = faults(&text);
    insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false, snapshot_path => "../snapshots" }, {
        insta::assert_snapshot!("survey_outline_not_found", render_faults("survey.toml", &text, &found));
    });
}

#[test]
fn ties_coarser_than_stated_are_said_as_a_whole() {
    // Every tie of the demo boat tilted by up to 25 mm, one way or the other.
    let mut number = 0;
    let text: String = SANDERLING
        .split_inclusive(']')
        .map(|part| {
            let Some((before, length)) = part
                .strip_suffix(']')
                .and_then(|part| part.rsplit_once(' '))
            else {
                return part.to_owned();
            };
            match length.parse::<i32>() {
                Ok(length) if before.contains("[\"") => {
                    number += 1;
                    format!("{before} {}]", length + (number * 7919) % 51 - 25)
                }
                _ => part.to_owned(),
            }
        })
        .collect();
    let codes: Vec<&str> = warnings(&text).iter().map(|warning| warning.code).collect();
    assert!(codes.contains(&"survey-misfit"), "{codes:?}");
}

#[test]
fn imperial_ties_are_spoken_of_in_feet_and_inches() {
    let ties = r#"["A", "7", "6 ft 0 3/8 in"], ["B", "7", "8 ft 10 11/16 in"], ["C", "7", "3 ft 8 15/16 in"], ["D", "7", "8 ft 4 5/8 in"], ["E", "7", "7 ft 11 3/16 in"]"#;
    let points = "A = [0, 0]\nB = [\"4000 mm\", 0]\nC = [\"2000 mm\", \"1800 mm\"]\nD = [\"3000 mm\", \"-1500 mm\"]\nE = [\"500 mm\", \"-1400 mm\"]";
    let text =
        survey(ties, points, "\"A\", \"B\", \"7\"").replace("title", "units = \"in\"\ntitle");
    let found = warnings(&text);
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].message.contains("1′"), "{}", found[0].message);
}

#[test]
fn five_thousand_ties_are_enough() {
    let many: String = (0..5001)
        .map(|tie| format!("[\"A\", \"{tie}\", 1000],"))
        .collect();
    let text = survey(&many, MARKS, "\"A\", \"B\", \"C\"");
    let found = read(&text).expect_err("too many");
    assert_eq!(found[0].message, "no more than 5000 ties can be adjusted");
}

/// A file a boat owner would never write, but a fuzzer would.
#[test]
fn absurd_surveys_are_refused_or_adjusted_in_bounded_time() {
    for (ties, points) in [
        (
            r#"["A", "B", 999999], ["A", "7", 0.001], ["B", "7", 0.001]"#,
            "A = [0, 0]\nB = \"centreline\"",
        ),
        (
            r#"["A", "B", 1], ["A", "7", 1], ["B", "7", 1]"#,
            "A = [0, 0]\nB = [0, 0]",
        ),
        (
            r#"["A", "B", 1e-300], ["A", "7", 3], ["B", "7", 3]"#,
            "A = [0, 0]\nB = \"centreline\"\n7 = { near = [0, 0] }",
        ),
        ("", "A = [0, 0]\nB = \"centreline\""),
    ] {
        let text = survey(ties, points, "\"A\", \"7\", \"B\"");
        if let Ok(layout) = read(&text) {
            let _ = spile::work_out(layout, &Sources::default());
        }
    }
    // Everybody tied to everybody, at lengths that fit nothing.
    let all: String = (0..70)
        .flat_map(|b| (0..b).map(move |a| (a, b)))
        .map(|(a, b)| {
            format!(
                "[\"p{a}\", \"p{b}\", {}],",
                500 + (a * 7919 + b * 104_729) % 3000
            )
        })
        .collect();
    let text = survey(
        &all,
        "p0 = [0, 0]\np1 = \"centreline\"",
        "\"p0\", \"p1\", \"p2\"",
    );
    let began = std::time::Instant::now();
    let found = warnings(&text);
    println!(
        "{} ties of nonsense: {:?}",
        all.matches('[').count(),
        began.elapsed()
    );
    assert!(found.iter().any(|warning| warning.code == "survey-misfit"));
}
