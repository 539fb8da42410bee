//! A thousand damaged layouts: never a panic, never a hang, always a place in the file, never half a file.

#[path = "common/beside.rs"]
mod beside;

use std::collections::BTreeSet;
use std::fmt::Write;
use std::fs;
use std::num::NonZero;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, mpsc};
use std::thread;
use std::time::Duration;

use spile::DeckJob;
use spile::drawing::weather_strip;
use spile::figures::Figures;
use spile::layout::Surface;
use spile::layout::{self, Fault};
use spile::order::orders;
use spile::programme::Programme;
use spile::takeoff::Takeoff;

const MUTANTS: u64 = 1000;
/// Every so many of them also goes through the program itself.
const THROUGH_THE_PROGRAM: usize = 25;
/// Far beyond what any of them takes, so that a busy machine is no failure.
const LONGEST: Duration = Duration::from_secs(60);

/// A generator of our own, so that the same mutants come on every machine: the 64-bit linear congruential
/// one with Knuth's multiplier (MMIX; constants from memory), its high bits used.
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
}

#[test]
fn a_damaged_layout_is_worked_out_or_faulted_with_a_place() {
    let (sender, receiver) = mpsc::channel();
    let demos = Arc::new(demos());
    let next = Arc::new(AtomicU64::new(0));
    for _ in 0..thread::available_parallelism().map_or(1, NonZero::get) {
        let (sender, demos, next) = (sender.clone(), Arc::clone(&demos), Arc::clone(&next));
        thread::spawn(move || {
            loop {
                let number = next.fetch_add(1, Ordering::Relaxed);
                if number >= MUTANTS {
                    return;
                }
                let text = String::from_utf8_lossy(&mutant(&demos, number)).into_owned();
                let verdict = catch_unwind(AssertUnwindSafe(|| judge(&text)));
                let verdict = verdict.unwrap_or_else(|_| Err("it panicked".to_owned()));
                if sender.send((number, verdict)).is_err() {
                    return;
                }
            }
        });
    }
    let mut wrong = String::new();
    let mut sound = 0;
    let mut waiting: BTreeSet<u64> = (0..MUTANTS).collect();
    while !waiting.is_empty() {
        match receiver.recv_timeout(LONGEST) {
            Ok((number, verdict)) => {
                waiting.remove(&number);
                match verdict {
                    Ok(worked_out) => sound += u64::from(worked_out),
                    Err(why) => writeln!(wrong, "mutant {number}: {why}").expect("text"),
                }
            }
            Err(_) => {
                let first: Vec<&u64> = waiting.iter().take(4).collect();
                writeln!(wrong, "no answer in {LONGEST:?}; waiting for {first:?} ...")
                    .expect("text");
                break;
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
    // Were all of them refused, or none, this would test little.
    assert!(sound > MUTANTS / 20, "only {sound} were worked out");
    assert!(
        sound < MUTANTS * 19 / 20,
        "only {} were faulted",
        MUTANTS - sound
    );
}

#[test]
fn the_program_ends_with_0_or_1_and_leaves_no_part_of_a_plan() {
    let demos = demos();
    let mut seen = [0, 0];
    for number in (0..MUTANTS).step_by(THROUGH_THE_PROGRAM) {
        let folder = tempfile::tempdir().expect("a folder to work in");
        let file = folder.path().join("mutant.toml");
        fs::write(&file, mutant(&demos, number)).expect("a file to work on");
        fs::create_dir(folder.path().join("chandler")).expect("a folder beside it");
        fs::write(folder.path().join("chandler/paint.toml"), PRODUCTS).expect("products");
        let output = Command::new(env!("CARGO_BIN_EXE_spile"))
            .current_dir(folder.path())
            .args(["plan", "mutant.toml", "--out", "plan", "--dpi", "30"])
            .output()
            .expect("spile starts");
        let said = String::from_utf8_lossy(&output.stderr);
        let plan = files_in(&folder.path().join("plan"));
        match output.status.code() {
            Some(0) => {
                let files = files_of_a_plan(&mutant(&demos, number));
                assert_eq!(plan.len(), files, "mutant {number}: {plan:?}");
                seen[0] += 1;
            }
            // 3: the drawing that a demo names does not lie beside its mutant.
            Some(1 | 3) => {
                assert!(plan.is_empty(), "mutant {number}: {plan:?}");
                assert!(has_a_line(&said), "mutant {number}: no line in\n{said}");
                seen[1] += 1;
            }
            other => assert_eq!(other, Some(0), "mutant {number}: {said}"),
        }
        let left = files_in(folder.path());
        assert!(left.len() <= 3, "mutant {number} left {left:?}");
    }
    assert!(seen.iter().all(|count| *count > 0), "{seen:?}");
}

/// Three sheets; where there are several decks a sheet of each, and one of each that is laid flat; every sheet twice.
/// Summary, report, figures twice, cutting list, takeoff, shopping list, the cost where money is known; and five for each deck
/// that has a field.
fn files_of_a_plan(bytes: &[u8]) -> usize {
    let text = String::from_utf8_lossy(bytes);
    let layout = layout::read(&text).expect("it was worked out");
    let sources = beside::beside(&layout);
    let job = spile::work_out(layout, &sources).expect("it was worked out");
    let count = |is: fn(&DeckJob) -> bool| job.decks.iter().filter(|deck| is(deck)).count();
    let decks = count(|_| true);
    let sheets = if decks > 1 { 4 + decks } else { 4 } + count(|deck| deck.surface.is_some());
    // One for each surface that coats are laid on, where people get off is marked.
    let takeoff = Takeoff::of(&job, &Figures::of(&job));
    let orders = orders(&job, &takeoff);
    let surfaces = [Surface::All, Surface::Border, Surface::Field];
    let is_ordered = |on: &&Surface| orders.iter().any(|order| order.on == **on);
    let sheets = sheets + surfaces.iter().filter(is_ordered).count();
    let priced = usize::from(job.materials.currency.is_some());
    // The programme, its calendar and its bars, where it says from when; the strip of hours, where weather is known and coats are laid.
    let from = job.layout.work.programme.from;
    let programme = from.and_then(|from| Programme::of(&job, &takeoff, from, None).ok());
    let strip = programme.as_ref().and_then(weather_strip);
    let dated = 3 * usize::from(programme.is_some()) + usize::from(strip.is_some());
    2 * sheets + 8 + priced + dated + 5 * count(|deck| !deck.pattern.fields.is_empty())
}

/// Whether it was worked out; or what is wrong with how it was refused.
fn judge(text: &str) -> Result<bool, String> {
    match layout::read(text).and_then(|layout| {
        let sources = beside::beside(&layout);
        spile::work_out(layout, &sources)
    }) {
        Ok(job) => {
            let odd = job.decks.iter().find(|deck| {
                let pattern = &deck.pattern;
                !(pattern.deck.area().is_finite() && pattern.border.area().is_finite())
            });
            match odd {
                Some(deck) => Err(format!("deck {} has no finite area", deck.plan.id)),
                None => Ok(true),
            }
        }
        Err(faults) => located(text, &faults).map(|()| false),
    }
}

fn located(text: &str, faults: &[Fault]) -> Result<(), String> {
    if faults.is_empty() {
        return Err("refused without a fault".to_owned());
    }
    for fault in faults {
        if fault.place.start > fault.place.end || fault.place.end > text.len() + 1 {
            return Err(format!("{:?} is no place in the file", fault.place));
        }
        if fault.message.is_empty() {
            return Err("a fault without a message".to_owned());
        }
    }
    let shown = layout::render_faults("mutant.toml", text, faults);
    if has_a_line(&shown) {
        Ok(())
    } else {
        Err(format!("no line in\n{shown}"))
    }
}

/// Whether `mutant.toml:<line>:<column>` stands somewhere in it.
fn has_a_line(shown: &str) -> bool {
    shown.split("mutant.toml:").skip(1).any(|rest| {
        let mut numbers = rest.splitn(3, |c: char| !c.is_ascii_digit());
        let is_number = |part: Option<&str>| part.is_some_and(|part| !part.is_empty());
        is_number(numbers.next()) && is_number(numbers.next())
    })
}

/// The file of products that demos share.
const PRODUCTS: &str = include_str!("../layouts/chandler/paint.toml");

fn demos() -> Vec<Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("layouts");
    let demos: Vec<Vec<u8>> = files_in(&folder)
        .into_iter()
        .filter(|path| {
            path.extension()
                .is_some_and(|extension| extension == "toml")
        })
        .map(|path| fs::read(path).expect("a demo layout"))
        .collect();
    assert!(demos.len() >= 5, "there are {} demo layouts", demos.len());
    demos
}

fn files_in(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(folder) else {
        return Vec::new();
    };
    let mut files: Vec<PathBuf> = entries
        .map(|entry| entry.expect("it can be listed").path())
        .collect();
    files.sort();
    files
}

/// One to three kinds of damage to one of the demo layouts.
fn mutant(demos: &[Vec<u8>], number: u64) -> Vec<u8> {
    let mut dice = Dice(number.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x5eed);
    dice.below(1);
    let mut bytes = demos[dice.below(demos.len())].clone();
    for _ in 0..=dice.below(3) {
        damage(&mut bytes, &mut dice);
    }
    bytes
}

fn damage(bytes: &mut Vec<u8>, dice: &mut Dice) {
    if bytes.is_empty() {
        return;
    }
    match dice.below(8) {
        0 => {
            let at = dice.below(bytes.len());
            bytes[at] ^= 1 << dice.below(8);
        }
        1 => {
            let at = dice.below(bytes.len());
            bytes.remove(at);
        }
        2 => bytes.truncate(dice.below(bytes.len())),
        3 => without_a_line(bytes, dice),
        4 => with_two_lines_exchanged(bytes, dice),
        _ => with_another_number(bytes, dice),
    }
}

fn without_a_line(bytes: &mut Vec<u8>, dice: &mut Dice) {
    let mut lines: Vec<&[u8]> = bytes.split(|byte| *byte == b'\n').collect();
    lines.remove(dice.below(lines.len()));
    *bytes = lines.join(&b'\n');
}

fn with_two_lines_exchanged(bytes: &mut Vec<u8>, dice: &mut Dice) {
    let mut lines: Vec<&[u8]> = bytes.split(|byte| *byte == b'\n').collect();
    let (one, other) = (dice.below(lines.len()), dice.below(lines.len()));
    lines.swap(one, other);
    *bytes = lines.join(&b'\n');
}

/// One of the numbers made huge, tiny, negative, nothing, or none at all.
fn with_another_number(bytes: &mut Vec<u8>, dice: &mut Dice) {
    const OTHERS: [&str; 16] = [
        "0",
        "-1",
        "1e-9",
        "1e9",
        "1e300",
        "nan",
        "-nan",
        "inf",
        "-inf",
        "99999999999999999999",
        "0.1",
        "1000000",
        "-0.0",
        "1e-300",
        "'1/0 in'",
        "[]",
    ];
    let is_start = |at: usize| {
        let before = at.checked_sub(1).map_or(b' ', |before| bytes[before]);
        bytes[at].is_ascii_digit() && !before.is_ascii_alphanumeric() && before != b'.'
    };
    let starts: Vec<usize> = (0..bytes.len()).filter(|at| is_start(*at)).collect();
    if starts.is_empty() {
        return;
    }
    let start = starts[dice.below(starts.len())];
    let rest = bytes[start..].iter();
    let length = rest
        .take_while(|byte| byte.is_ascii_digit() || **byte == b'.')
        .count();
    let other = OTHERS[dice.below(OTHERS.len())].bytes();
    bytes.splice(start..start + length, other);
}
