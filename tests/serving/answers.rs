//! What an answer leaves out because the page knows it, put in again, is the whole answer.

use std::fs;

use serde_json::{Value, json};

use crate::program::{LAYOUT, Served};

fn asked(x: f64, view: &str, known: Option<u64>) -> Value {
    json!({
        "text": LAYOUT,
        "edits": [{ "do": "move", "what": "deck.#1.fitting.#1", "to": [x, 0.0] }],
        "view": view,
        "moving": true,
        "known": known,
    })
}

/// Puts a list that may be told in part in place of what was known of it; tells how many entries were sent.
fn filled(list: &mut Value, known: &Value) -> usize {
    if list.get("all").is_some() {
        return list["all"].as_array().expect("a list").len();
    }
    let known = known["all"].as_array().expect("it was whole");
    let changed = list["changed"].as_array().expect("one or the other");
    let number =
        |value: &Value| usize::try_from(value.as_u64().expect("a number")).expect("it fits");
    let (mut whole, mut from, mut sent) = (Vec::new(), 0, 0);
    for entry in changed {
        let come = entry[2].as_array().expect("a list");
        whole.extend_from_slice(&known[from..number(&entry[0])]);
        whole.extend_from_slice(come);
        from = number(&entry[0]) + number(&entry[1]);
        sent += come.len();
    }
    whole.extend_from_slice(&known[from..]);
    *list = json!({ "all": whole });
    sent
}

#[test]
fn an_answer_beside_a_known_one_is_the_whole_answer_in_fewer_words() {
    let place = tempfile::tempdir().expect("a folder");
    let layout = place.path().join("dinghy.toml");
    fs::write(&layout, LAYOUT).expect("a layout");
    let served = Served::begin(&layout);
    let work = |body: &Value| served.post("work", body).json()["shown"].clone();
    for view in ["pattern", "first", "reversed", "setting-out", "grip"] {
        let mut before = work(&asked(600.0, view, None));
        // To and fro in the field, then out of it over its edge: there are other lines then.
        for x in [605.0, 600.0, 640.0, 880.0, 600.0] {
            let number = before["number"].as_u64();
            let mut beside = work(&asked(x, view, number));
            assert_eq!(beside["known"].as_u64(), number, "{view}");
            let mut sent = filled(&mut beside["grips"], &before["grips"]);
            sent += filled(&mut beside["things"], &before["things"]);
            let marks = "/board/decks/0/marks";
            let known = before.pointer(marks).expect("marks").clone();
            sent += filled(beside.pointer_mut(marks).expect("marks"), &known);
            let whole = work(&asked(x, view, None));
            let count = |list: &Value| list["all"].as_array().expect("it is whole").len();
            let marks_in_all = count(whole.pointer(marks).expect("marks"));
            let in_all = count(&whole["grips"]) + count(&whole["things"]) + marks_in_all;
            assert!(sent < in_all, "{view} at {x}: {sent} of {in_all}");
            let mut bare = whole.clone();
            for answer in [&mut beside, &mut bare] {
                let keys = answer.as_object_mut().expect("keys");
                keys.remove("number");
                keys.remove("known");
            }
            assert_eq!(beside, bare, "{view} at {x}");
            before = whole;
        }
    }
}

#[test]
fn whoever_knows_another_answer_than_the_last_is_told_everything() {
    let place = tempfile::tempdir().expect("a folder");
    let layout = place.path().join("dinghy.toml");
    fs::write(&layout, LAYOUT).expect("a layout");
    let served = Served::begin(&layout);
    let number = |x: f64, known: Option<u64>| {
        let shown = served.post("work", &asked(x, "pattern", known)).json()["shown"].clone();
        assert_eq!(shown["known"].is_null(), shown["grips"]["all"].is_array());
        (shown["number"].as_u64(), shown["known"].as_u64())
    };
    let (first, _) = number(600.0, None);
    let (second, beside) = number(610.0, first);
    assert_eq!(beside, first);
    assert_ne!(second, first);
    for known in [first, Some(0), Some(u64::MAX), None] {
        assert_eq!(number(620.0, known).1, None, "{known:?}");
    }
}
