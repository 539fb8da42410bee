//! A layout's text may name files, and whoever writes into the page writes the text: what it names is read from the layout's own
//! folder and those below, and of what lies elsewhere not even its being there is told.

use std::fs;
use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use serde_json::json;
use tempfile::TempDir;

use crate::program::{LAYOUT, Served};

const SECRET: &str = "where the harbour's keys hang";
/// As long as an answer may take.
const SOON: Duration = Duration::from_secs(2);
const OUTSIDE: &str = "it lies outside the layout's folder, which the page does not leave";

/// What is said of any name that is no drawing's, whatever there is.
const NO_DRAWING: &str = "is no drawing that can be read";

/// A yard with a layout, secrets above and beside it, and links, a pipe and a folder in it.
fn yard() -> (TempDir, Served) {
    let place = tempfile::tempdir().expect("a folder");
    let yard = place.path().join("yard");
    fs::create_dir_all(yard.join("folder")).expect("folders");
    fs::write(place.path().join("above.svg"), SECRET).expect("a secret");
    fs::create_dir(place.path().join("other")).expect("a folder");
    fs::write(place.path().join("other/kept.svg"), SECRET).expect("a secret");
    let links = [
        ("../above.svg", "link.svg"),
        ("../nothing.svg", "leads-nowhere.svg"),
        ("..", "out"),
        ("../nothing", "gone"),
        ("out", "over"),
        ("folder/../../above.svg", "round.svg"),
        ("/dev/zero", "zeros.svg"),
        ("/proc/self/environ", "environment.svg"),
        ("/proc/self/nothing", "no-environment.svg"),
        ("turning.svg", "turning.svg"),
        ("pipe.svg", "to-pipe.svg"),
    ];
    for (to, link) in links {
        symlink(to, yard.join(link)).expect("a link");
    }
    let made = Command::new("mkfifo").arg(yard.join("pipe.svg")).status();
    assert!(made.expect("mkfifo is there").success());
    let layout = yard.join("dinghy.toml");
    fs::write(&layout, LAYOUT).expect("a layout");
    let served = Served::begin(&layout);
    (place, served)
}

/// The layout with a file named in each of the ways in which it can be.
fn naming(name: &str) -> [String; 3] {
    let name = json!(name).to_string();
    let first_deck = LAYOUT.find("\n[[deck]]").expect("a deck");
    let (before, after) = LAYOUT.split_at(first_deck);
    [
        format!("{before}\nproducts = {name}\n{after}"),
        format!("{LAYOUT}\n[[drawing]]\nfile = {name}\n"),
        format!("{LAYOUT}\n[job]\ncurrency = \"EUR\"\n[weather]\nhours = {name}\n"),
    ]
}

/// What the page says of a layout that names this file, its name taken out; the same of every one of the ways.
fn said(served: &Served, name: &str) -> Vec<String> {
    let texts = naming(name);
    let answers = texts.iter().map(|text| {
        let begun = Instant::now();
        let answer = served.post("work", &json!({ "text": text }));
        let made = served.post("make", &json!({ "text": text, "output": "takeoff" }));
        let taken = begun.elapsed();
        assert!(taken < 2 * SOON, "{name:?}: {taken:?}");
        assert_eq!(answer.status, 200, "{name:?}: {}", answer.text());
        assert!(made.is_trouble(), "{name:?}: {}", made.text());
        for told in [answer.text(), made.text()] {
            assert!(!told.contains(SECRET), "{name:?}: {told}");
            assert!(!told.contains("CARGO"), "{name:?}: {told}");
        }
        let answer = answer.json();
        let faults = answer["faults"].as_array().expect("it is at fault");
        let told: Vec<&str> = faults
            .iter()
            .filter_map(|fault| fault["message"].as_str())
            .filter(|message| {
                message.starts_with("cannot read the ") || message.ends_with(NO_DRAWING)
            })
            .collect();
        assert_eq!(told.len(), 1, "{name:?}: {faults:?}");
        told[0].replacen(name, "NAME", 1)
    });
    answers.collect()
}

#[test]
fn nobody_learns_what_lies_outside_the_folder() {
    let (place, served) = yard();
    let whole = |name: &str| {
        let path = place.path().join(name);
        path.to_str().expect("a plain name").to_owned()
    };
    // The first is there, the second is not.
    let pairs = [
        ["../above.svg".to_owned(), "../nothing.svg".to_owned()],
        ["./../above.svg".to_owned(), "./../nothing.svg".to_owned()],
        [
            "folder/../../above.svg".to_owned(),
            "folder/../../nothing.svg".to_owned(),
        ],
        [
            "../yard/dinghy.toml".to_owned(),
            "../yard/nothing.toml".to_owned(),
        ],
        ["..\\above.svg".to_owned(), "..\\nothing.svg".to_owned()],
        [whole("above.svg"), whole("nothing.svg")],
        [whole("yard/dinghy.toml"), whole("yard/nothing.toml")],
        ["//etc/hostname".to_owned(), "//etc/nothing".to_owned()],
        [
            "/proc/self/environ".to_owned(),
            "/proc/self/nothing".to_owned(),
        ],
        ["/dev/zero".to_owned(), "/dev/nothing".to_owned()],
        ["/dev/stdin".to_owned(), "/dev/fd/99".to_owned()],
        ["link.svg".to_owned(), "leads-nowhere.svg".to_owned()],
        ["round.svg".to_owned(), "leads-nowhere.svg".to_owned()],
        ["out/above.svg".to_owned(), "out/nothing.svg".to_owned()],
        ["over/above.svg".to_owned(), "over/nothing.svg".to_owned()],
        [
            "out/other/kept.svg".to_owned(),
            "out/nothing/kept.svg".to_owned(),
        ],
        [
            "out/yard/dinghy.toml".to_owned(),
            "out/yard/nothing.toml".to_owned(),
        ],
        ["out".to_owned(), "gone".to_owned()],
        [
            "environment.svg".to_owned(),
            "no-environment.svg".to_owned(),
        ],
        ["zeros.svg".to_owned(), "leads-nowhere.svg".to_owned()],
        [
            "link.svg/x.svg".to_owned(),
            "leads-nowhere.svg/x.svg".to_owned(),
        ],
    ];
    for [there, not_there] in pairs {
        let of_one = said(&served, &there);
        for told in &of_one {
            let by_name = told.ends_with(NO_DRAWING) && !there.ends_with(".svg");
            assert!(told.ends_with(OUTSIDE) || by_name, "{there}: {told}");
        }
        assert_eq!(of_one, said(&served, &not_there), "{there}");
    }
}

#[test]
fn what_is_no_file_is_neither_read_nor_waited_for() {
    let (_place, served) = yard();
    let cases = [
        ("pipe.svg", "it is a pipe or a device, no file"),
        ("to-pipe.svg", "it is a pipe or a device, no file"),
        ("folder", "it is a folder"),
        (".", "it is a folder"),
        ("turning.svg", OUTSIDE),
        ("nothing.svg", "No such file or directory (os error 2)"),
        (
            "folder/nothing.svg",
            "No such file or directory (os error 2)",
        ),
        ("dinghy.toml/x.svg", "Not a directory (os error 20)"),
    ];
    for (name, why) in cases {
        for told in said(&served, name) {
            let by_name = told.ends_with(NO_DRAWING) && !name.ends_with(".svg");
            assert!(told.ends_with(why) || by_name, "{name}: {told}");
        }
    }
}

#[test]
fn a_name_that_no_file_can_have_is_answered_too() {
    let (_place, served) = yard();
    for name in [
        "a\0b.svg",
        "",
        "\n",
        &"a".repeat(1 << 20),
        &"a/".repeat(1 << 16),
    ] {
        for text in naming(name) {
            let begun = Instant::now();
            let answer = served.post("work", &json!({ "text": text }));
            assert!(begun.elapsed() < SOON, "{:?}", begun.elapsed());
            assert_eq!(answer.status, 200);
            assert!(answer.json()["faults"].is_array(), "{}", answer.text());
        }
    }
}

#[test]
fn what_lies_in_the_folder_is_read_by_links_too() {
    let (place, served) = yard();
    let yard = place.path().join("yard");
    let demos = Path::new(env!("CARGO_MANIFEST_DIR")).join("layouts");
    fs::copy(
        demos.join("chandler/paint.toml"),
        yard.join("folder/paint.toml"),
    )
    .expect("products");
    symlink("folder/paint.toml", yard.join("paint")).expect("a link");
    symlink("folder", yard.join("chandler")).expect("a link");
    for name in [
        "folder/paint.toml",
        "paint",
        "chandler/paint.toml",
        "./paint",
    ] {
        let [text, ..] = naming(name);
        let answer = served.post("work", &json!({ "text": text })).json();
        assert!(answer["shown"].is_object(), "{name}: {}", answer["faults"]);
    }
}
