//! Cases made to break the geometry, kept as data: every `[[case]]` of `regions_*.toml` in this folder is
//! a region and steps done to it, every `[[deck]]` of `decks_*.toml` a layout file; each with what must
//! come out, as a formula that is its own derivation, and how long it may take.
//!
//! A case that fails today says so under `awaiting`; that it still fails is checked, so that the day it is
//! put right is noticed.

mod decks;
mod formula;
mod regions;
mod shapes;

use std::collections::BTreeMap;
use std::fmt::Write;
use std::fs;
use std::num::NonZero;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, mpsc};
use std::thread;
use std::time::{Duration, Instant};

/// What a case may take, in seconds, where it says nothing itself: far more than any does, so that a busy
/// machine is no failure.
pub(crate) const SECONDS: f64 = 30.0;

/// What areas and lengths may always be off, mm² and mm.
pub(crate) const NOTHING: f64 = 1e-9;

/// One case, ready to be run.
pub(crate) struct Task {
    pub(crate) name: String,
    /// What is wrong today.
    pub(crate) awaiting: Option<String>,
    pub(crate) seconds: f64,
    pub(crate) run: Box<dyn Fn() -> Result<(), String> + Send + Sync>,
}

impl Task {
    /// A data file that cannot be read is a case that fails.
    pub(crate) fn unreadable(path: &Path, why: &toml::de::Error) -> Self {
        let why = why.to_string();
        Self {
            name: path.display().to_string(),
            awaiting: None,
            seconds: SECONDS,
            run: Box::new(move || Err(why.clone())),
        }
    }
}

/// Whether a figure is as wanted; no number is near nothing.
pub(crate) fn is_near(found: f64, wanted: f64, within: f64) -> bool {
    (found - wanted).abs() <= within
}

#[test]
fn regions_made_to_break_the_geometry() {
    let mut tasks = Vec::new();
    for file in data("regions_") {
        tasks.extend(regions::tasks(&file));
    }
    judge(tasks);
}

#[test]
fn decks_made_to_break_the_geometry() {
    let mut tasks = Vec::new();
    for file in data("decks_") {
        tasks.extend(decks::tasks(&file));
    }
    judge(tasks);
}

/// The data files whose names begin so.
fn data(prefix: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/torture");
    let mut files: Vec<PathBuf> = fs::read_dir(folder)
        .expect("the folder of this test")
        .map(|entry| entry.expect("it can be listed").path())
        .filter(|path| {
            let name = path.file_name().and_then(|name| name.to_str());
            name.is_some_and(|name| {
                name.starts_with(prefix)
                    && path
                        .extension()
                        .is_some_and(|extension| extension == "toml")
            })
        })
        .collect();
    files.sort();
    assert!(!files.is_empty(), "no data file {prefix}*.toml");
    files
}

/// Runs all tasks, as many at once as there are cores, and stops waiting for one whose time is up. With
/// `TORTURE` set to a part of some names only those run, and say what came out and how long they took.
#[allow(clippy::print_stderr, reason = "asked for by the variable")]
fn judge(mut tasks: Vec<Task>) {
    let only = std::env::var("TORTURE").ok();
    tasks.retain(|task| only.as_ref().is_none_or(|part| task.name.contains(part)));
    // Last those that may never end.
    tasks.sort_by_key(|task| task.awaiting.is_some());
    let tasks = Arc::new(tasks);
    let next = Arc::new(AtomicUsize::new(0));
    let begun: Arc<Mutex<BTreeMap<usize, Instant>>> = Arc::default();
    let (sender, receiver) = mpsc::channel();
    let worker = || {
        let (tasks, next) = (Arc::clone(&tasks), Arc::clone(&next));
        let (begun, sender) = (Arc::clone(&begun), sender.clone());
        thread::spawn(move || {
            loop {
                let index = next.fetch_add(1, Ordering::Relaxed);
                let Some(task) = tasks.get(index) else { return };
                let start = Instant::now();
                begun
                    .lock()
                    .expect("no panic holds it")
                    .insert(index, start);
                let verdict = catch_unwind(AssertUnwindSafe(|| (task.run)()))
                    .unwrap_or_else(|_| Err("it panicked".to_owned()));
                if sender.send((index, verdict, start.elapsed())).is_err() {
                    return;
                }
            }
        });
    };
    for _ in 0..thread::available_parallelism().map_or(1, NonZero::get) {
        worker();
    }
    let mut verdicts: BTreeMap<usize, (Result<(), String>, Duration)> = BTreeMap::new();
    while verdicts.len() < tasks.len() {
        if let Ok((index, verdict, taken)) = receiver.recv_timeout(Duration::from_millis(100)) {
            begun.lock().expect("no panic holds it").remove(&index);
            // One that was given up already stays given up.
            let late = taken.as_secs_f64() > tasks[index].seconds;
            let verdict = if late {
                verdict.and(Err(format!("it took {taken:.1?}")))
            } else {
                verdict
            };
            verdicts.entry(index).or_insert((verdict, taken));
        }
        let overdue: Vec<usize> = begun
            .lock()
            .expect("no panic holds it")
            .iter()
            .filter(|(index, start)| start.elapsed().as_secs_f64() > tasks[**index].seconds)
            .map(|(index, _)| *index)
            .collect();
        for index in overdue {
            begun.lock().expect("no panic holds it").remove(&index);
            let seconds = tasks[index].seconds;
            let why = format!("no answer after {seconds} s");
            verdicts.insert(index, (Err(why), Duration::from_secs_f64(seconds)));
            // Its thread is lost; another takes its place.
            worker();
        }
    }
    let mut wrong = String::new();
    for (index, (verdict, taken)) in &verdicts {
        let task = &tasks[*index];
        if only.is_some() {
            eprintln!("{:>9.3?}  {}  {verdict:?}", taken, task.name);
        }
        match (verdict, &task.awaiting) {
            (Ok(()), None) => {}
            (Err(_), Some(_)) => {}
            (Err(why), None) => writeln!(wrong, "{}: {why}", task.name).expect("text"),
            (Ok(()), Some(what)) => writeln!(
                wrong,
                "{}: right today; take `awaiting = \"{what}\"` out",
                task.name
            )
            .expect("text"),
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}
