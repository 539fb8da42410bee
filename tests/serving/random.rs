//! Ten thousand requests that nobody would send: the program answers or hangs up, lives, and holds no more at the end than
//! near the beginning; the layout stands as it was.

use std::fs;
use std::path::Path;
use std::time::Instant;

use serde_json::{Value, json};

use crate::program::{LAYOUT, Served, tree};

const REQUESTS: usize = 10_000;
/// By then everything that is made once has been made.
const WARM: usize = 1_000;
/// What may be held more at the end than by then: allocators do not give back every page; a leak of 2 kB a request is beyond it.
const MOST_GROWTH: u64 = 16 << 20;
/// Connections that are being closed.
const MOST_OPEN: usize = 8;

/// The 64-bit linear congruential generator with Knuth's multiplier (MMIX; constants from memory), its high bits used: the same
/// requests come on every machine.
struct Dice(u64);

impl Dice {
    fn below(&mut self, bound: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let high = usize::try_from(self.0 >> 33).expect("31 bits fit");
        high % bound.max(1)
    }

    fn of<'a, T: ?Sized>(&mut self, all: &[&'a T]) -> &'a T {
        all[self.below(all.len())]
    }
}

const NUMBERS: [&str; 18] = [
    "0",
    "-0.0",
    "-1",
    "2",
    "0.5",
    "600",
    "1e-300",
    "1e308",
    "-1e308",
    "1e999",
    "NaN",
    "Infinity",
    "null",
    "true",
    "99999999999999999999",
    "-9223372036854775809",
    "[]",
    "\"x\"",
];
const WAYS: [&str; 20] = [
    "title",
    "units",
    "deck.#1",
    "deck.foredeck.margin.edge",
    "deck.#1.margin.edge",
    "deck.#1.outline.points.#2",
    "deck.#1.outline.points.#99",
    "deck.#1.fitting.#1",
    "deck.#1.fitting.cleat.circle.at",
    "deck.#1.fitting.#1.circle",
    "deck.#0",
    "deck.#18446744073709551616",
    "deck",
    "",
    ".",
    "..",
    "deck..#1",
    "#",
    "product.x.covers",
    "a.b.c.d.e.f.g",
];
const VALUES: [&str; 14] = [
    "50",
    "1/2 in",
    "nan",
    "inf",
    "1e308",
    "-1e308",
    "\"\"\"",
    "[1, 2",
    "{}",
    "[[deck]]",
    "true",
    "#",
    "\n\n[deck]\n",
    "'x'",
];
const TARGETS: [&str; 12] = [
    "",
    "file",
    "main.js",
    "changes?after=77",
    "changes?after=x",
    "made/0/0",
    "made/77/77",
    "made/x",
    "work",
    "save",
    "\u{e9}",
    "%00",
];

fn texts() -> Vec<String> {
    let demos = Path::new(env!("CARGO_MANIFEST_DIR")).join("layouts");
    let mut all = vec![LAYOUT.to_owned()];
    // Those that stand by themselves and are soon worked out.
    for name in ["dabchick.toml", "garganey.toml"] {
        all.push(fs::read_to_string(demos.join(name)).expect("a demo"));
    }
    all
}

fn damaged(text: &str, dice: &mut Dice) -> String {
    let mut bytes = text.as_bytes().to_vec();
    for _ in 0..=dice.below(3) {
        let at = dice.below(bytes.len());
        match dice.below(5) {
            0 => bytes[at] ^= 1 << dice.below(7),
            1 => drop(bytes.remove(at)),
            2 => bytes.truncate(at.max(1)),
            3 => bytes.insert(at, b"[]{}\"'=.,#\n\\0-"[dice.below(14)]),
            _ => {
                let digit = |at: &usize| bytes[*at].is_ascii_digit();
                if let Some(at) = (at..bytes.len()).find(digit) {
                    bytes.splice(at..=at, dice.of(&VALUES).bytes());
                }
            }
        }
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

/// An edit as text: numbers may be none.
fn edit(dice: &mut Dice) -> String {
    let quoted = |word: &str| Value::from(word).to_string();
    let way = quoted(dice.of(&WAYS));
    let value = quoted(dice.of(&VALUES));
    let [x, y] = [dice.of(&NUMBERS), dice.of(&NUMBERS)];
    let kinds = [
        "opening",
        "fitting",
        "smooth",
        "pad",
        "strip-across",
        "strip-along",
        "mast",
    ];
    match dice.below(7) {
        0 => format!(r#"{{"do":"set","key":{way},"value":{value}}}"#),
        1 => format!(r#"{{"do":"take-out","key":{way}}}"#),
        2 => format!(r#"{{"do":"move","what":{way},"to":[{x},{y}]}}"#),
        3 => format!(r#"{{"do":"put","what":{way},"station":{value},"off":{value}}}"#),
        4 => format!(
            r#"{{"do":"add","deck":{x},"kind":"{}","at":[{x},{y}]}}"#,
            dice.of(&kinds)
        ),
        5 => format!(r#"{{"do":"split","after":{way}}}"#),
        _ => format!(r#"{{"do":"drop","what":{way}}}"#),
    }
}

/// The bytes of a request.
fn request(served: &Served, texts: &[String], dice: &mut Dice) -> Vec<u8> {
    let plain = Value::from(LAYOUT).to_string();
    let is_demo = dice.below(12) == 0;
    let text = &texts[if is_demo {
        1 + dice.below(texts.len() - 1)
    } else {
        0
    }];
    let (what, body) = match dice.below(20) {
        0..=6 => {
            let count = dice.below(4);
            let edits: Vec<String> = (0..count).map(|_| edit(dice)).collect();
            let view = dice.of(&["pattern", "first", "reversed", "setting-out", "grip", "x"]);
            let edits = edits.join(",");
            let moving = dice.below(2) == 0;
            // Mostly a number that an answer may have had.
            let known = match dice.below(6) {
                0 => dice.of(&NUMBERS).to_owned(),
                _ => dice.below(REQUESTS).to_string(),
            };
            (
                "work",
                format!(
                    r#"{{"text":{plain},"edits":[{edits}],"view":"{view}","moving":{moving},"known":{known}}}"#
                ),
            )
        }
        7..=10 => ("work", json!({ "text": damaged(text, dice) }).to_string()),
        11 => {
            let ways: Vec<&str> = (0..dice.below(4)).map(|_| dice.of(&WAYS)).collect();
            (
                "form",
                json!({ "text": damaged(text, dice), "ways": ways }).to_string(),
            )
        }
        12 => {
            let mut word = || {
                dice.of(&[
                    "mm", "ft", "", "9.5", "1e308", "nan", "pointed", "full", "-1", "0 0\n1 1",
                    "\u{0}",
                ])
            };
            let body = json!({
                "title": word(), "units": word(), "length": word(), "beam": word(), "bow": word(), "stern": word(),
                "half_breadths": word(),
            });
            ("begin", body.to_string())
        }
        // Over a version that never was.
        13 => (
            "save",
            json!({ "text": damaged(text, dice), "over": 999_999 }).to_string(),
        ),
        14 => ("offers", json!({ "text": damaged(text, dice) }).to_string()),
        15 => {
            let options = [
                ["format", dice.of(&["md", "csv", "x"])],
                ["deck", dice.of(&WAYS)],
            ];
            let options = &options[..dice.below(3)];
            let output = dice.of(&["takeoff", "setout", "cut", "x"]);
            (
                "make",
                json!({ "text": damaged(LAYOUT, dice), "output": output, "options": options })
                    .to_string(),
            )
        }
        16 => ("work", "[".repeat(dice.below(100_000))),
        17 => (
            dice.of(&["work", "form", "make"]),
            json!({ "text": "[".repeat(dice.below(10_000)) }).to_string(),
        ),
        _ => {
            let method = dice.of(&["GET", "POST", "HEAD", "PUT", "BREW"]);
            let target = served.at(dice.of(&TARGETS));
            return format!("{}\r\n", served.head(method, &target)).into_bytes();
        }
    };
    served.posted(what, &body)
}

fn spoil(bytes: &mut Vec<u8>, dice: &mut Dice) {
    for _ in 0..=dice.below(4) {
        let at = dice.below(bytes.len());
        match dice.below(4) {
            0 | 1 => bytes[at] ^= 1 << dice.below(8),
            2 => bytes.truncate(at.max(1)),
            _ => drop(bytes.remove(at)),
        }
        if bytes.is_empty() {
            return;
        }
    }
}

#[test]
#[cfg(target_os = "linux")]
fn ten_thousand_random_requests_leave_it_as_it_was() {
    let place = tempfile::tempdir().expect("a folder");
    let layout = place.path().join("dinghy.toml");
    fs::write(&layout, LAYOUT).expect("a layout");
    let mut served = Served::begin(&layout);
    let before = tree(place.path());
    let texts = texts();
    let begun = Instant::now();
    let mut warm = (0, 0);
    let (mut shown, mut at_fault) = (0, 0);
    let mut answered = std::collections::BTreeMap::<u16, usize>::new();
    for number in 0..REQUESTS {
        if number == WARM {
            warm = (served.memory(), served.open_files());
        }
        let mut dice = Dice((number as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x5eed);
        dice.below(1);
        let mut bytes = request(&served, &texts, &mut dice);
        let answer = if dice.below(4) == 0 {
            spoil(&mut bytes, &mut dice);
            // There is no more to come, where a length says otherwise.
            served.send_all(&bytes)
        } else {
            let answer = served.send(&bytes);
            assert!(answer.is_some(), "no answer to {number}");
            answer
        };
        if let Some(answer) = &answer {
            let says = |what: &str| answer.text().contains(what);
            shown += usize::from(says("\"shown\":{"));
            at_fault += usize::from(says("\"faults\":[{"));
        }
        let status = answer.map_or(0, |answer| answer.status);
        assert!(status < 500, "{number}: {status}");
        *answered.entry(status).or_default() += 1;
        assert!(served.is_alive(), "{number} ended it");
    }
    let took = begun.elapsed();
    let plain = served.post("work", &json!({ "text": LAYOUT }));
    assert_eq!(plain.status, 200);
    assert!(plain.json()["shown"].is_object());
    let (memory, open) = (served.memory(), served.open_files());
    println!(
        "{REQUESTS} requests in {took:?}; {warm:?} bytes and files after {WARM}, then {:?}; {shown} shown, {at_fault} at fault, {answered:?}",
        (memory, open)
    );
    assert!(
        memory < warm.0 + MOST_GROWTH,
        "{} bytes, then {memory}",
        warm.0
    );
    assert!(
        open <= warm.1 + MOST_OPEN,
        "{} files open, then {open}",
        warm.1
    );
    assert_eq!(tree(place.path()), before);
    // Were most of them refused at the door, this would test little.
    assert!(shown > REQUESTS / 10, "{shown} were worked out");
    assert!(at_fault > REQUESTS / 10, "{at_fault} were at fault");
    for status in [400, 403, 404, 415] {
        assert!(answered.contains_key(&status), "no {status}: {answered:?}");
    }
}
