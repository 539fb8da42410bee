//! What the page has made by the commands stays in memory until it is fetched: whatever is asked for, and however, nothing is
//! written to the disk.

use std::fs;

use serde_json::{Value, json};

use crate::program::{LAYOUT, Served, tree};

/// A name that would break a header and a path.
const NAME: &str = "pilot's \"launch\"; filename=é\n\r%2f.toml";

fn make(output: &str, options: &[[&str; 2]]) -> Value {
    json!({ "text": LAYOUT, "output": output, "options": options })
}

#[test]
fn everything_on_offer_is_made_without_touching_the_disk() {
    let place = tempfile::tempdir().expect("a folder");
    let layout = place.path().join(NAME);
    fs::write(&layout, LAYOUT).expect("a layout");
    let served = Served::begin(&layout);
    let before = tree(place.path());
    let offers = served.post("offers", &json!({ "text": LAYOUT })).json();
    let offers = offers["offers"].as_array().expect("a list").clone();
    assert!(offers.len() >= 6, "{offers:?}");
    for offer in offers {
        let output = offer["id"].as_str().expect("a word");
        let made = served.post("make", &make(output, &[]));
        assert_eq!(made.status, 200, "{output}: {}", made.text());
        let made = made.json();
        for file in made["files"].as_array().expect("a list") {
            let name = file["name"].as_str().expect("a name");
            assert!(!name.contains(['/', '\\', '\n', '\r', '"']), "{name:?}");
            let fetched = served.get(file["at"].as_str().expect("an address"));
            assert_eq!(fetched.status, 200, "{output}: {name}");
            assert_eq!(fetched.body.len() as u64, file["bytes"], "{output}: {name}");
            assert_eq!(
                fetched.header("content-type"),
                Some("application/octet-stream")
            );
            let kept_as = fetched.header("content-disposition").unwrap_or_default();
            let kept_as = kept_as
                .strip_prefix("attachment; filename=\"")
                .and_then(|rest| rest.strip_suffix('"'));
            let is_plain = |sign: char| sign.is_ascii_alphanumeric() || "-_.".contains(sign);
            assert!(
                kept_as.is_some_and(|name| name.chars().all(is_plain)),
                "{kept_as:?}"
            );
        }
    }
    assert_eq!(tree(place.path()), before);
}

#[test]
fn what_is_not_on_offer_is_refused_and_writes_nothing() {
    let place = tempfile::tempdir().expect("a folder");
    let yard = place.path().join("yard");
    fs::create_dir(&yard).expect("a folder");
    let layout = yard.join("dinghy.toml");
    fs::write(&layout, LAYOUT).expect("a layout");
    let served = Served::begin(&layout);
    let before = tree(place.path());
    let long = "x".repeat(1 << 20);
    let elsewhere = place.path().join("made.pdf");
    let elsewhere = elsewhere.to_str().expect("a plain name");
    let refused = [
        make("", &[]),
        make("show", &[]),
        make("new", &[]),
        make("tally", &[]),
        make("measure", &[]),
        make("survey", &[]),
        make("--help", &[]),
        make("--version", &[]),
        make("-o", &[]),
        make("sheet --out=x", &[]),
        make("sheet\n", &[]),
        make("sheet\0", &[]),
        make("../sheet", &[]),
        make("SHEET", &[]),
        make(&long, &[]),
        make("sheet", &[["out", elsewhere]]),
        make("sheet", &[["--out", elsewhere]]),
        make("sheet", &[["o", elsewhere]]),
        make("sheet", &[["", elsewhere]]),
        make("sheet", &[["format=pdf --out", elsewhere]]),
        make("sheet", &[["dpi", "1000000"]]),
        make("sheet", &[["force", "true"]]),
        make("sheet", &[["format", "../../pdf"]]),
        make("sheet", &[["format", "pdf/../../x.pdf"]]),
        make("sheet", &[["format", "/etc/x.pdf"]]),
        make("sheet", &[["format", "pdf\n"]]),
        make("sheet", &[["format", "PDF"]]),
        make("sheet", &[["format", "dxf"]]),
        make("sheet", &[["view", "--out=x"]]),
        make("sheet", &[["view", "pattern --out=x"]]),
        make("sheet", &[["deck", "--out=x"]]),
        make("sheet", &[["deck", "../foredeck"]]),
        make("sheet", &[["paper", "--help"]]),
        make("sheet", &[["paper", "A4\0"]]),
        make("sheet", &[["scale", "1:0"]]),
        make("sheet", &[["scale", &long]]),
        make("sheet", &[[&long, "x"]]),
        make("sheet", &[["paper", "A4"], ["paper", "A3"]]),
        make("template", &[["roll", "--out=x"]]),
        make("template", &[["roll", "600 --out=x"]]),
        make("template", &[["roll", "600\n--out=x"]]),
        make("template", &[["roll", "-1"]]),
        make("template", &[["roll", "nan"]]),
        make("template", &[["roll", "1e300"]]),
        make("template", &[["roll", "0"]]),
        make("template", &[["ring", "--out=x"]]),
        make("template", &[["ring", "yes"]]),
        make("template", &[["scale-x", "@/etc/hostname"]]),
        make("template", &[["scale-x", "0"]]),
        make("cut", &[["bridge", "../x"]]),
        make("cut", &[["weed-box", "1e308"]]),
        make("cut", &[["least-radius", "inf"]]),
        make("cut", &[["least-radius", &long]]),
        make("takeoff", &[["format", "html"]]),
        make("takeoff", &[["rates", "/etc/hostname"]]),
        make("programme", &[]),
        make("plan", &[["out", elsewhere]]),
        make("plan", &[["paper", "../A4"]]),
    ];
    for asked in refused {
        let answer = served.post("make", &asked);
        let shown: String = asked.to_string().chars().rev().take(120).collect();
        let shown: String = shown.chars().rev().collect();
        assert!(answer.is_trouble(), "{shown}: {}", answer.text());
    }
    let odd = [
        json!({ "text": LAYOUT, "output": "sheet", "out": elsewhere }),
        json!({ "text": LAYOUT, "output": ["sheet"] }),
        json!({ "text": LAYOUT, "output": "sheet", "options": [["format"]] }),
        json!({ "text": LAYOUT, "output": "sheet", "options": [["format", "pdf", "x"]] }),
        json!({ "text": LAYOUT, "output": "sheet", "options": { "format": "pdf" } }),
        json!({ "text": 1, "output": "sheet" }),
        json!([LAYOUT, "sheet", [], "x"]),
    ];
    for asked in odd {
        assert_eq!(served.post("make", &asked).status, 400, "{asked}");
    }
    assert_eq!(tree(place.path()), before);
}

#[test]
fn a_layout_s_own_words_never_become_a_place_on_the_disk() {
    let place = tempfile::tempdir().expect("a folder");
    let yard = place.path().join("yard");
    fs::create_dir(&yard).expect("a folder");
    let layout = yard.join("dinghy.toml");
    fs::write(&layout, LAYOUT).expect("a layout");
    let served = Served::begin(&layout);
    let before = tree(place.path());
    for word in [
        "../../x",
        "/etc/x",
        "a/b",
        "..",
        "a\\\\b",
        "a\\nb",
        "a\\u0000b",
        "-x",
        "",
    ] {
        let text = LAYOUT
            .replace("id = \"foredeck\"", &format!("id = \"{word}\""))
            .replace("title = \"Foredeck\"", &format!("title = \"{word}\""))
            .replace("name = \"cleat\"", &format!("name = \"{word}\""));
        for (output, ending) in [("cut", "dxf"), ("setout", "csv"), ("takeoff", "md")] {
            let options = [["format", ending]];
            let asked = json!({ "text": text, "output": output, "options": options });
            let made = served.post("make", &asked);
            assert!(
                made.status == 200 || made.is_trouble(),
                "{word:?}: {}",
                made.text()
            );
            let files = made.json()["files"].clone();
            for file in files.as_array().into_iter().flatten() {
                let name = file["name"].as_str().expect("a name");
                assert!(!name.contains(['/', '\\', '\n', '\0']), "{name:?}");
            }
        }
    }
    assert_eq!(tree(place.path()), before);
}
