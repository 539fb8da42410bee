//! Layout files damaged and put together anew: worked out to figures that close, or faulted with a place.

use std::fs;
use std::path::Path;
use std::sync::OnceLock;

use spile::figures::Figures;
use spile::layout::{self, Sources};

use super::{Dice, Verdict};

/// Read, worked out and counted; or refused with faults that lie in the text.
pub(crate) fn judge(bytes: &[u8]) -> Verdict {
    let text = String::from_utf8_lossy(bytes);
    let job =
        match layout::read(&text).and_then(|layout| spile::work_out(layout, &Sources::default())) {
            Ok(job) => job,
            Err(faults) => {
                if faults.is_empty() {
                    return Err("refused without a fault".to_owned());
                }
                for fault in &faults {
                    let place = fault.place;
                    if place.start > place.end || place.end > text.len() + 1 {
                        return Err(format!("{place:?} is no place in the text"));
                    }
                    if fault.message.is_empty() {
                        return Err("a fault without a message".to_owned());
                    }
                }
                let shown = layout::render_faults("fuzz.toml", &text, &faults);
                return if shown.contains("fuzz.toml:") {
                    Ok(())
                } else {
                    Err(format!("no place in {shown}"))
                };
            }
        };
    let figures = Figures::of(&job);
    for deck in &figures.decks {
        if !deck.areas.closes() {
            let left = deck.areas.closure().to_mm2();
            return Err(format!("the areas of {} leave {left} mm²", deck.id));
        }
        for field in &deck.fields {
            let whole = [field.perimeter.to_mm(), field.clearance.to_mm()];
            if !(field.area.to_mm2() > 0.0 && whole.iter().all(|figure| *figure >= 0.0)) {
                return Err(format!("{} of {} is {field:?}", field.id, deck.id));
            }
        }
        for pass in [&deck.first, &deck.reversed] {
            let figures = [
                pass.working_edge.to_mm(),
                pass.line_tape.length.to_mm(),
                pass.edge_tape.length.to_mm(),
                pass.cover.to_mm2(),
            ];
            if !figures
                .iter()
                .all(|figure| figure.is_finite() && *figure >= -1e-3)
            {
                return Err(format!("a pass of {} is {figures:?}", deck.id));
            }
        }
    }
    Ok(())
}

fn demos() -> &'static [String] {
    static DEMOS: OnceLock<Vec<String>> = OnceLock::new();
    DEMOS.get_or_init(|| {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("layouts");
        let mut paths: Vec<_> = fs::read_dir(folder)
            .expect("the demo layouts")
            .map(|entry| entry.expect("it can be listed").path())
            .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
            .collect();
        paths.sort();
        paths
            .iter()
            .map(|path| fs::read_to_string(path).expect("a demo layout"))
            .collect()
    })
}

/// Now and then mere bytes, else a demo layout changed a few times.
pub(crate) fn generate(dice: &mut Dice) -> Vec<u8> {
    if dice.below(12) == 0 {
        return (0..dice.below(200)).map(|_| dice.byte()).collect();
    }
    let mut text = dice.of(demos()).clone();
    for _ in 0..=dice.below(5) {
        text = changed(&text, dice);
    }
    let mut bytes = text.into_bytes();
    if dice.below(8) == 0 && !bytes.is_empty() {
        let at = dice.below(bytes.len());
        bytes[at] = dice.byte();
    }
    bytes
}

/// Entries that belong somewhere in a layout, and some that do not.
const ENTRIES: [&str; 26] = [
    "radius = { round = 0, hollow = 200 }",
    "margin = { edge = 0 }",
    "margin = { edge = 500 }",
    "round = 150",
    "hollow = 1000",
    "least_width = 5000",
    "least_area = 3",
    "blend = 0",
    "edges = { aft = 200, forward = 10 }",
    "both_sides = true",
    "in_place = false",
    "margin = 0",
    "curve = \"straight\"",
    "curve = \"fair\"",
    "forward = \"round\"",
    "aft = \"round\"",
    "half_breadths = [[0, 0], [1000, 900], [1001, 2], [3000, 0]]",
    "points = [[0, 0], [1000, 0], [0, 1000]]",
    "units = \"in\"",
    "[[deck.fitting]]\nname = \"x\"\ncircle = { at = [1000, 0], radius = 400 }",
    "[[deck.opening]]\nname = \"y\"\nrectangle = { at = [800, 0], size = [900, 200], radius = 100, turned = 33 }",
    "[[deck.strip]]\nwidth = 1\nacross_at = [700, 701, 702]",
    "[[deck.strip]]\nwidth = 60\npath = [[0, 0], [900, 300], [200, -300]]",
    "[[deck.pad]]\nname = \"z\"\ncircle = { at = [900, 0], diameter = 1200 }",
    "[[deck.smooth]]\nname = \"w\"\nslot = { from = [0, 0], to = [5000, 0], width = 3 }",
    "[tape]\nline = { width = 500 }",
];

const NUMBERS: [&str; 24] = [
    "0",
    "1",
    "-1",
    "0.001",
    "1e-6",
    "1e-9",
    "0.05",
    "7",
    "10",
    "50",
    "99.999",
    "100",
    "250",
    "499",
    "500",
    "1000",
    "1e4",
    "1e6",
    "1e9",
    "nan",
    "inf",
    "'1/3 in'",
    "\"3 ft 2 in\"",
    "[]",
];

fn changed(text: &str, dice: &mut Dice) -> String {
    let mut lines: Vec<&str> = text.lines().collect();
    if lines.is_empty() {
        return (*dice.of(&ENTRIES)).to_owned();
    }
    let at = dice.below(lines.len());
    match dice.below(10) {
        0 => {
            lines.remove(at);
        }
        1 => lines.insert(at, lines[dice.below(lines.len())]),
        2 => {
            let other = dice.below(lines.len());
            lines.swap(at, other);
        }
        3 | 4 => lines.insert(at, ENTRIES[dice.below(ENTRIES.len())]),
        5 => {
            // A table of another demo.
            let other = dice.of(demos());
            let tables: Vec<usize> = other.match_indices("\n[").map(|(at, _)| at).collect();
            let begin = *dice.of(&tables);
            let end = tables.iter().find(|next| **next > begin);
            let table = &other[begin..end.copied().unwrap_or(other.len())];
            lines.insert(at, table.trim());
            return lines.join("\n");
        }
        _ => return with_another_number(text, dice),
    }
    lines.join("\n")
}

/// One of the numbers replaced, doubled, halved, negated or made that of another.
fn with_another_number(text: &str, dice: &mut Dice) -> String {
    let bytes = text.as_bytes();
    let is_start = |at: usize| {
        let before = at.checked_sub(1).map_or(b' ', |before| bytes[before]);
        bytes[at].is_ascii_digit() && !before.is_ascii_alphanumeric() && before != b'.'
    };
    let starts: Vec<usize> = (0..bytes.len()).filter(|at| is_start(*at)).collect();
    if starts.is_empty() {
        return text.to_owned();
    }
    let end_of = |start: usize| {
        let length = text[start..]
            .find(|c: char| !c.is_ascii_digit() && c != '.')
            .unwrap_or(text.len() - start);
        start + length
    };
    let start = *dice.of(&starts);
    let end = end_of(start);
    let value: f64 = text[start..end].parse().unwrap_or(1.0);
    let other = match dice.below(8) {
        0 => format!("{}", value * 2.0),
        1 => format!("{}", value / 2.0),
        2 => format!("-{value}"),
        3 | 4 => {
            let from = *dice.of(&starts);
            text[from..end_of(from)].to_owned()
        }
        5 => format!("{}", value + 0.001),
        _ => (*dice.of(&NUMBERS)).to_owned(),
    };
    [&text[..start], &other, &text[end..]].concat()
}
