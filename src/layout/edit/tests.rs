use super::*;
use crate::layout::read;

const LAUNCH: &str = r#"title = "Guillemot"
units = "mm"

[[deck]]
id = "foredeck"
[deck.outline]
half_breadths = [
  [0, 0],       # stem
  [400, 470],
  [1500, 1210], # widest of the flare
  [3700, 1675],
]
[[deck.fitting]]
name = "bow cleat"  # port and starboard
slot = { to = [1340, 850], from = [1160, 760], width = 60 }
both_sides = true
[[deck.fitting]]
name = "windlass"
rectangle = { at = ["0.70 m", "0 mm"], size = [320, 220] }
[[deck.fitting]]
name = "pad eye"
points = [[500, 100], { at = [600, 100], through = [650, 150] }, [600, 200]]
[[deck.strip]]
width = 60
across_at = [1200.50, 2600]   # two of them
"#;

fn moved(what: &str, x: f64, y: f64) -> String {
    let edit = Edit::Move {
        what: what.to_owned(),
        to: Point::new(x, y),
    };
    edited(LAUNCH, &[edit]).expect("it can be moved")
}

/// The lines that an edit changes, as they stand afterwards.
fn changed_lines(text: &str) -> Vec<&str> {
    let old: Vec<&str> = LAUNCH.lines().collect();
    text.lines().filter(|line| !old.contains(line)).collect()
}

#[test]
fn a_half_breadth_is_moved_and_its_comment_stays() {
    assert_eq!(
        changed_lines(&moved("deck.#1.outline.half_breadths.#3", 1510.0, 1205.5)),
        ["  [1510, 1205.5], # widest of the flare"]
    );
}

#[test]
fn both_ends_of_a_slot_go_along_whichever_is_written_first() {
    assert_eq!(
        changed_lines(&moved("deck.#1.fitting.#1", 1170.0, 770.0)),
        ["slot = { to = [1350, 860], from = [1170, 770], width = 60 }"]
    );
    assert_eq!(
        changed_lines(&moved("deck.#1.fitting.#1.slot.to", 1400.0, 900.0)),
        ["slot = { to = [1400, 900], from = [1160, 760], width = 60 }"]
    );
}

#[test]
fn a_length_in_its_own_unit_keeps_it_and_its_decimals() {
    assert_eq!(
        changed_lines(&moved("deck.#1.fitting.#2", 705.0, -20.0)),
        ["rectangle = { at = [\"0.705 m\", \"-20 mm\"], size = [320, 220] }"]
    );
    // Two decimals before, two after.
    assert_eq!(
        changed_lines(&moved("deck.#1.strip.#1.across_at.#1", 1300.0, 55.0)),
        ["across_at = [1300.00, 2600]   # two of them"]
    );
}

#[test]
fn a_ring_goes_along_with_what_its_arcs_go_through() {
    assert_eq!(
        changed_lines(&moved("deck.#1.fitting.#3", 510.0, 90.0)),
        ["points = [[510, 90], { at = [610, 90], through = [660, 140] }, [610, 190]]"]
    );
    assert_eq!(
        changed_lines(&moved("deck.#1.fitting.#3.points.#2", 605.0, 95.0)),
        ["points = [[500, 100], { at = [605, 95], through = [650, 150] }, [600, 200]]"]
    );
}

#[test]
fn feet_and_inches_stay_feet_and_inches() {
    let text = "title = \"Dunlin\"\nunits = \"ft\"\n[[deck]]\nid = \"a\"\n[deck.outline]\npoints = [[0, 0], [\"2 ft 3 1/2 in\", 0], [3, 4]]\n";
    let to = |x: f64| {
        let edit = Edit::Move {
            what: "deck.#1.outline.points.#2".to_owned(),
            to: Point::new(x * 25.4, 0.0),
        };
        edited(text, &[edit]).expect("it can be moved")
    };
    assert!(
        to(29.25).contains("[\"2 ft 5 1/4 in\", 0]"),
        "{}",
        to(29.25)
    );
    assert!(to(29.3).contains("[\"29.3 in\", 0]"), "{}", to(29.3));
}

#[test]
fn what_is_typed_is_read_as_a_file_would_and_the_rest_stays() {
    let put = |station: Option<&str>, off: Option<&str>| {
        let edit = Edit::Put {
            what: "deck.#1.fitting.#2".to_owned(),
            station: station.map(str::to_owned),
            off: off.map(str::to_owned),
        };
        edited(LAUNCH, &[edit]).map_err(|fault| fault.to_string())
    };
    let text = put(Some("71 cm"), None).expect("a length");
    assert!(text.contains("at = [\"0.71 m\", \"0 mm\"]"), "{text}");
    let text = put(None, Some("-15")).expect("a length");
    assert!(text.contains("at = [\"0.70 m\", \"-15 mm\"]"), "{text}");
    assert!(
        put(Some("wide"), None)
            .expect_err("no length")
            .contains("wide")
    );
    assert!(put(Some("inf"), None).is_err());
}

#[test]
fn every_grip_moves_what_it_says_and_nothing_else() {
    let layout = read(LAUNCH).expect("it reads");
    let all = grips(&layout);
    assert!(all.len() > 10);
    for grip in &all {
        let by = match grip.freedom {
            Freedom::ForeAndAft => Point::new(7.0, 0.0),
            Freedom::Athwartships => Point::new(0.0, 7.0),
            _ => Point::new(7.0, 3.0),
        };
        let text = moved(&grip.what, grip.at.x + by.x, grip.at.y + by.y);
        let after = grips(&read(&text).expect("it still reads"));
        let same = after
            .iter()
            .find(|one| one.what == grip.what)
            .expect("it is still there");
        assert!(same.at.distance(grip.at + by) < 1e-9, "{}", grip.what);
        let outside = |one: &&Grip| one.thing != grip.thing;
        assert!(
            all.iter().filter(outside).eq(after.iter().filter(outside)),
            "{} moved something else",
            grip.what
        );
        // And back again it is the very file.
        let back = Edit::Move {
            what: grip.what.clone(),
            to: grip.at,
        };
        let back = edited(&text, &[back]).expect("back");
        let back = grips(&read(&back).expect("it reads"));
        assert!(back == all, "{}", grip.what);
    }
}

#[test]
fn a_new_thing_reads_back_where_it_was_put() {
    for kind in PartKind::ALL {
        for units in ["mm", "in", "cm"] {
            let text = LAUNCH.replace("units = \"mm\"", &format!("units = \"{units}\""));
            let edit = Edit::Add {
                deck: 0,
                kind,
                at: Point::new(2000.0, 300.0),
            };
            let text = edited(&text, &[edit]).expect("it can be added");
            let layout = read(&text).expect("it reads back");
            let found = grips(&layout).into_iter().any(|grip| {
                (grip.at.x - 2000.0).abs() < 0.01 && grip.freedom != Freedom::Athwartships
                    || (grip.at.y - 300.0).abs() < 0.01 && grip.freedom == Freedom::Athwartships
            });
            assert!(found, "{kind:?} in {units}:\n{text}");
        }
    }
}

#[test]
fn a_second_thing_of_a_kind_has_a_name_of_its_own() {
    let edit = Edit::Add {
        deck: 0,
        kind: PartKind::Fitting,
        at: Point::new(2000.0, 0.0),
    };
    let text = edited(LAUNCH, &[edit.clone(), edit]).expect("they can be added");
    assert!(
        text.contains("name = \"fitting\"") && text.contains("name = \"fitting 2\""),
        "{text}"
    );
}

#[test]
fn a_point_is_put_between_two_and_taken_out_again() {
    let after = "deck.#1.outline.half_breadths.#3";
    let split = Edit::Split {
        after: after.to_owned(),
    };
    let text = edited(LAUNCH, &[split]).expect("there is a next");
    let table = "half_breadths = [\n  [0, 0],       # stem\n  [400, 470],\n  [1500, 1210], # widest of the flare\n  [2600, 1445],\n  [3700, 1675],\n]";
    assert!(text.contains(table), "{text}");
    let drop = Edit::Drop {
        what: "deck.#1.outline.half_breadths.#4".to_owned(),
    };
    assert_eq!(edited(&text, &[drop]).expect("it is there"), LAUNCH);
}

#[test]
fn what_the_survey_places_is_moved_there() {
    let text = LAUNCH.replace("at = [\"0.70 m\", \"0 mm\"]", "at = \"W\"");
    let edit = Edit::Move {
        what: "deck.#1.fitting.#2".to_owned(),
        to: Point::new(0.0, 0.0),
    };
    let fault = edited(&text, &[edit]).expect_err("it is refused");
    assert!(fault.to_string().contains("survey"), "{fault}");
}

#[test]
fn ways_that_lead_nowhere_are_refused() {
    for what in [
        "",
        "deck",
        "deck.#0.fitting.#1",
        "deck.#9",
        "deck.#1.fitting.#99999999999999999999",
        "deck.#1.outline.half_breadths.#9",
        "deck.#1.outline.half_breadths",
        "title",
        "deck.#1.strip.#1",
        "..",
        "deck.#1.fitting.#1.slot.from.#1.#1",
    ] {
        let edits = [
            Edit::Move {
                what: what.to_owned(),
                to: Point::new(f64::NAN, 0.0),
            },
            Edit::Drop {
                what: what.to_owned(),
            },
            Edit::Split {
                after: what.to_owned(),
            },
        ];
        for edit in edits {
            let edit = std::slice::from_ref(&edit);
            assert!(edited(LAUNCH, edit).is_err(), "{edit:?}");
        }
    }
}

/// The rows of one table.
fn form(text: &str, way: &str) -> Result<Vec<FormRow>, ChangeFault> {
    let mut all = forms(text, &[way.to_owned()])?;
    Ok(all.remove(0))
}

#[test]
fn a_form_shows_what_is_written_and_what_holds_otherwise() {
    let rows = form(LAUNCH, "deck.#1.fitting.#1").expect("it is there");
    let row = |name: &str| rows.iter().find(|row| row.name == name).expect("the row");
    assert_eq!(
        row("name").standing,
        Standing::Written("bow cleat".to_owned())
    );
    assert_eq!(
        row("slot.width").standing,
        Standing::Written("60".to_owned())
    );
    assert_eq!(row("slot.width").key, "deck.#1.fitting.#1.slot.width");
    assert_eq!(
        row("in_place").standing,
        Standing::Absent(Some("true".to_owned()))
    );
    assert!(rows.iter().all(|row| !row.name.starts_with("circle")));
    let rows = form(LAUNCH, "deck.#1.margin").expect("it may be written");
    assert_eq!(rows[0].standing, Standing::Absent(Some("50 mm".to_owned())));
    assert!(form(LAUNCH, "deck.#2.margin").is_err());
}

#[test]
fn every_row_of_a_form_can_be_set_to_what_it_says() {
    for way in [
        "",
        "deck.#1",
        "deck.#1.outline",
        "deck.#1.fitting.#1",
        "deck.#1.strip.#1",
    ] {
        for row in form(LAUNCH, way).expect("it is there") {
            if let Standing::Written(text) = &row.standing {
                let change = Edit::Change(Change::new(row.key.clone(), text.clone()));
                let again = edited(LAUNCH, &[change]).expect("it can be set");
                assert_eq!(
                    read(&again).expect("it reads"),
                    read(LAUNCH).expect("it reads"),
                    "{}",
                    row.key
                );
            }
        }
    }
}
