//! The stages stand in one order, and none reaches back to a later one.

use std::fs;
use std::path::{Path, PathBuf};

/// Earliest first: each may use those before it.
const ORDER: [&str; 22] = [
    "units",
    "shape",
    "adjust",
    "import",
    "weather",
    "layout",
    "outline",
    "surface",
    "pattern",
    "masking",
    "setting_out",
    "figures",
    "takeoff",
    "order",
    "programme",
    "tally",
    "comparison",
    "drawing",
    "export",
    "on_disk",
    "show",
    "cli",
];

/// What general geometry and weather have no business with.
const DECK_WORDS: [&str; 14] = [
    "deck",
    "hatch",
    "tape",
    "paint",
    "mask",
    "masking",
    "boat",
    "hull",
    "skid",
    "mast",
    "cleat",
    "coat",
    "centreline",
    "station",
];

#[test]
fn no_stage_uses_a_later_one() {
    let mut wrong = Vec::new();
    for (rank, stage) in ORDER.iter().enumerate() {
        let files = sources_of(stage);
        assert!(!files.is_empty(), "the stage {stage} has no source");
        for file in files {
            let text = code_of(&fs::read_to_string(&file).expect("source is text"));
            for used in crate_names(&text) {
                if ORDER.iter().position(|one| *one == used) > Some(rank) {
                    wrong.push(format!("{} uses {used}", file.display()));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_module_has_its_place_in_the_order() {
    let library = fs::read_to_string(src().join("lib.rs")).expect("source is text");
    let mut modules: Vec<&str> = library
        .lines()
        .filter_map(|line| line.strip_prefix("pub mod ")?.strip_suffix(';'))
        .collect();
    modules.sort_unstable();
    let mut order = ORDER;
    order.sort_unstable();
    assert_eq!(modules, order);
}

#[test]
fn geometry_weather_and_what_reads_drawings_know_no_deck_word() {
    let mut wrong = Vec::new();
    let files = ["shape", "adjust", "import", "weather"].map(|stage| sources(&src().join(stage)));
    for file in files.into_iter().flatten() {
        let text = fs::read_to_string(&file).expect("source is text");
        for (number, line) in text.lines().enumerate() {
            // Its own documentation says that it knows none.
            let line = line.replace("no deck word", "");
            if let Some(word) = words(&line).find(|word| DECK_WORDS.contains(&word.as_str())) {
                wrong.push(format!("{}:{}: {word}", file.display(), number + 1));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_check_itself_sees_names_however_they_are_written() {
    let text = code_of(
        "use crate::{Job, layout::Tape, figures};\nlet x = crate::export::svg(a); // crate::cli\n",
    );
    let names: Vec<&str> = crate_names(&text);
    assert_eq!(names, ["Job", "layout", "figures", "export"]);
    let found: Vec<String> = words("fn side_decks(anchorPad: Hatch)").collect();
    assert_eq!(found, ["fn", "side", "deck", "anchor", "pad", "hatch"]);
}

fn src() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

/// Every source file under `folder`, in the order of their names.
/// A stage is a file of its name, or a folder.
fn sources_of(stage: &str) -> Vec<PathBuf> {
    let file = src().join(stage).with_extension("rs");
    if file.exists() {
        vec![file]
    } else {
        sources(&src().join(stage))
    }
}

fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut entries: Vec<PathBuf> = fs::read_dir(folder)
        .expect("the stage is a folder")
        .map(|entry| entry.expect("it can be listed").path())
        .collect();
    entries.sort();
    for path in entries {
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            found.push(path);
        }
    }
    found
}

/// The text without its comments, which may point anywhere.
fn code_of(text: &str) -> String {
    text.lines()
        .map(|line| line.split("//").next().unwrap_or_default())
        .collect::<Vec<_>>()
        .join("\n")
}

/// The first names behind every `crate::`, those of a list in braces too.
fn crate_names(text: &str) -> Vec<&str> {
    let mut names = Vec::new();
    for (at, prefix) in text.match_indices("crate::") {
        let rest = &text[at + prefix.len()..];
        match rest.strip_prefix('{') {
            None => names.push(first_name(rest)),
            Some(list) => names.extend(list_names(list)),
        }
    }
    names
}

/// The first name of each entry of a list, up to the brace that ends it.
fn list_names(list: &str) -> Vec<&str> {
    let mut names = Vec::new();
    let mut depth = 0;
    let mut entry = 0;
    for (at, c) in list.char_indices() {
        match c {
            '{' => depth += 1,
            '}' if depth > 0 => depth -= 1,
            ',' | '}' if depth == 0 => {
                names.push(first_name(list[entry..at].trim_start()));
                entry = at + 1;
                if c == '}' {
                    break;
                }
            }
            _ => {}
        }
    }
    names.retain(|name| !name.is_empty());
    names
}

fn first_name(text: &str) -> &str {
    let end = text.find(|c: char| !c.is_alphanumeric() && c != '_');
    &text[..end.unwrap_or(text.len())]
}

/// The words of a line, lower case and singular; names are taken apart at underscores and capitals.
fn words(line: &str) -> impl Iterator<Item = String> {
    let mut spaced = String::new();
    for c in line.chars() {
        if c.is_uppercase() {
            spaced.push(' ');
        }
        spaced.extend(c.to_lowercase());
    }
    spaced
        .split(|c: char| !c.is_alphabetic())
        .filter(|word| !word.is_empty())
        .map(|word| word.strip_suffix('s').unwrap_or(word).to_owned())
        .collect::<Vec<_>>()
        .into_iter()
}
