//! The command as people run it: many at once, on files that others left in disorder or shut.

use std::collections::BTreeSet;
use std::fs::{self, OpenOptions};
use std::io::{Read, Seek};
use std::path::Path;
use std::process::{Command, Output};
use std::thread;
use std::time::Duration;

use spile::tally::read;

const WRITERS: usize = 8;
const APPENDS: usize = 200;

const LAYOUT: &str = r#"title = "Skerry dinghy"
units = "mm"
[[deck]]
id = "main"
outline.points = [[0, -500], [2000, -500], [2000, 500], [0, 500]]
margin.edge = 50
"#;

fn yard() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("deck.toml"), LAYOUT).expect("a layout");
    folder
}

fn tally(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_spile"))
        .current_dir(folder)
        .arg("tally")
        .args(arguments)
        .output()
        .expect("spile starts")
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

#[test]
fn eight_writers_at_once_lose_nothing_and_tear_nothing() {
    let yard = yard();
    thread::scope(|scope| {
        for writer in 0..WRITERS {
            let folder = yard.path();
            scope.spawn(move || {
                for number in 0..APPENDS {
                    let step = format!("writer-{writer}");
                    let note = format!("{number}; {}", "long ".repeat(number % 40));
                    let output = tally(
                        folder,
                        &[
                            "add",
                            "deck.toml",
                            "--step",
                            &step,
                            "--hours",
                            "1",
                            "--note",
                            &note,
                        ],
                    );
                    assert!(output.status.success(), "{}", said(&output));
                }
            });
        }
    });
    let bytes = fs::read(yard.path().join("deck-tally.csv")).expect("the ledger");
    let ledger = read(&bytes);
    assert_eq!(ledger.header, None);
    assert_eq!(ledger.damaged, []);
    assert_eq!(ledger.entries.len(), WRITERS * APPENDS);
    let lines = String::from_utf8(bytes).expect("text");
    assert_eq!(lines.matches("\r\n").count(), WRITERS * APPENDS + 1);
    assert_eq!(lines.matches("humidity_pct").count(), 1);
    let each: BTreeSet<(&str, &str)> = ledger
        .entries
        .iter()
        .filter_map(|one| Some((one.entry.step.as_str(), one.entry.note.split_once(';')?.0)))
        .collect();
    assert_eq!(each.len(), WRITERS * APPENDS);
    // What one writer writes stands in the order in which it was written.
    for writer in 0..WRITERS {
        let step = format!("writer-{writer}");
        let of_writer = ledger.entries.iter().filter(|one| one.entry.step == step);
        let numbers: Vec<&str> = of_writer
            .filter_map(|one| Some(one.entry.note.split_once(';')?.0))
            .collect();
        let in_order: Vec<String> = (0..APPENDS).map(|number| number.to_string()).collect();
        assert_eq!(numbers, in_order);
    }
}

/// Whoever has the ledger locked is waited for; where it was saved anew meanwhile, as editors do by renaming, the line goes
/// into the new file.
#[cfg(unix)]
#[test]
fn a_writer_waits_for_another_and_then_writes_to_the_file_that_is_there() {
    let yard = yard();
    let path = yard.path().join("deck-tally.csv");
    let header = "date,step,hours,people\n";
    fs::write(&path, header).expect("a ledger");
    let other = OpenOptions::new()
        .append(true)
        .open(&path)
        .expect("it can be written");
    other.lock().expect("it can be locked");
    let mut waiting = Command::new(env!("CARGO_BIN_EXE_spile"))
        .current_dir(yard.path())
        .args(["tally", "add", "deck.toml", "--step", "sand"])
        .args(["--hours", "2", "--date", "2026-05-04"])
        .spawn()
        .expect("spile starts");
    // Many times what it takes when nobody is in its way.
    thread::sleep(Duration::from_secs(2));
    assert!(waiting.try_wait().expect("it can be asked").is_none());
    assert_eq!(fs::read_to_string(&path).expect("the ledger"), header);
    let saved = format!("{header}2026-05-03,tape,1,1\n");
    let beside = yard.path().join("beside.csv");
    fs::write(&beside, &saved).expect("another file");
    fs::rename(&beside, &path).expect("it takes the place");
    other.unlock().expect("it can be unlocked");
    assert!(waiting.wait().expect("it ends").success());
    let after = fs::read_to_string(&path).expect("the ledger");
    assert_eq!(after, format!("{saved}2026-05-04,sand,2,1\r\n"));
}

#[test]
fn a_last_line_without_its_end_swallows_nothing() {
    let yard = yard();
    let path = yard.path().join("mine.csv");
    let before = "date,step,hours,people,done\n2026-05-03,sand,2,1,\n2026-05-04,sand,\"2";
    fs::write(&path, before).expect("a ledger");
    let output = tally(
        yard.path(),
        &[
            "add",
            "deck.toml",
            "--step",
            "primer",
            "--hours",
            "90 min",
            "--date",
            "2026-05-05",
            "--done",
            "--ledger",
            "mine.csv",
        ],
    );
    assert_eq!(output.status.code(), Some(0), "{}", said(&output));
    assert_eq!(
        String::from_utf8_lossy(&output.stdout),
        "mine.csv: 2026-05-05, primer, 1.5 h, done\n"
    );
    let after = fs::read_to_string(&path).expect("the ledger");
    assert_eq!(
        after,
        format!("{before}\r\n2026-05-05,primer,1.5,1,yes\r\n")
    );
    let ledger = read(after.as_bytes());
    assert_eq!(ledger.entries.len(), 2);
    assert_eq!(ledger.damaged[0].number, 3);
    let report = tally(
        yard.path(),
        &["report", "deck.toml", "--ledger", "mine.csv"],
    );
    assert_eq!(report.status.code(), Some(0), "{}", said(&report));
    let text = String::from_utf8_lossy(&report.stdout).into_owned();
    assert!(text.contains("Line 3: a quote is opened"), "{text}");
}

#[test]
fn whoever_reads_the_ledger_meanwhile_sees_whole_lines() {
    let yard = yard();
    let add = ["add", "deck.toml", "--step", "sand", "--hours", "1"];
    assert!(tally(yard.path(), &add).status.success());
    let mut reader = OpenOptions::new()
        .read(true)
        .open(yard.path().join("deck-tally.csv"))
        .expect("it can be read");
    assert!(tally(yard.path(), &add).status.success());
    let mut text = String::new();
    reader.rewind().expect("it can be read again");
    reader.read_to_string(&mut text).expect("text");
    assert_eq!(text.lines().count(), 3);
    assert!(text.ends_with("\r\n"));
}

#[test]
fn a_ledger_that_may_not_be_written_stays_as_it_is() {
    let yard = yard();
    let path = yard.path().join("deck-tally.csv");
    let add = ["add", "deck.toml", "--step", "sand", "--hours", "1"];
    assert!(tally(yard.path(), &add).status.success());
    let before = fs::read(&path).expect("the ledger");
    let mut permissions = fs::metadata(&path).expect("it is there").permissions();
    permissions.set_readonly(true);
    fs::set_permissions(&path, permissions).expect("it can be shut");
    // The superuser may write to it none the less.
    let is_shut = OpenOptions::new().append(true).open(&path).is_err();
    let output = tally(yard.path(), &add);
    let after = fs::read(&path).expect("the ledger");
    if is_shut {
        assert_eq!(output.status.code(), Some(3));
        assert!(
            said(&output).contains("cannot write deck-tally.csv"),
            "{}",
            said(&output)
        );
        assert_eq!(after, before);
    } else {
        assert_eq!(output.status.code(), Some(0), "{}", said(&output));
        assert!(after.starts_with(&before));
    }
    for (ledger, problem) in [(".", "cannot write ."), ("no/where.csv", "cannot write no")] {
        let output = tally(yard.path(), &[&add[..], &["--ledger", ledger]].concat());
        assert_eq!(output.status.code(), Some(3));
        assert!(said(&output).contains(problem), "{}", said(&output));
    }
    assert!(!yard.path().join("no").exists());
    let output = tally(
        yard.path(),
        &[&add[..], &["--ledger", "deck.toml"]].concat(),
    );
    assert_eq!(output.status.code(), Some(3));
    assert!(
        said(&output).contains("this is no ledger"),
        "{}",
        said(&output)
    );
    let layout = fs::read_to_string(yard.path().join("deck.toml")).expect("the layout");
    assert_eq!(layout, LAYOUT);
    let none = tally(
        yard.path(),
        &["report", "deck.toml", "--ledger", "none.csv"],
    );
    assert_eq!(none.status.code(), Some(3));
    assert!(said(&none).contains("tally add"), "{}", said(&none));
}

#[test]
fn what_cannot_be_is_refused_before_anything_is_written() {
    let yard = yard();
    for (options, problem) in [
        (vec![], "there is nothing to enter"),
        (vec!["--hours", "-1"], "cannot be negative"),
        (vec!["--hours", "25"], "more than a day has"),
        (vec!["--hours", "long"], "no number"),
        (vec!["--hours", "1", "--people", "0"], "--people 0"),
        (vec!["--hours", "1", "--date", "2026-02-30"], "is not a day"),
        (
            vec!["--hours", "1", "--date", "3/5/2026"],
            "two different days",
        ),
        (vec!["--amount", "5"], "--currency EUR"),
        (
            vec!["--amount", "5", "--currency", "euro"],
            "`euro` is no currency",
        ),
        (vec!["--amount", "5,20", "--currency", "EUR"], "has a comma"),
        (vec!["--amount", "5.001", "--currency", "EUR"], "finer than"),
        (vec!["--hours", "1", "--air", "18"], "not a temperature"),
        (vec!["--hours", "1", "--humidity", "101"], "from 0 to 100"),
        (vec!["--hours", "1", "--step", " "], "no step"),
    ] {
        let mut arguments = vec!["add", "deck.toml"];
        if !options.contains(&"--step") {
            arguments.extend(["--step", "sand"]);
        }
        arguments.extend(&options);
        let output = tally(yard.path(), &arguments);
        assert_eq!(
            output.status.code(),
            Some(2),
            "{options:?}: {}",
            said(&output)
        );
        assert!(
            said(&output).contains(problem),
            "{options:?}: {}",
            said(&output)
        );
    }
    let refund = [
        "add",
        "deck.toml",
        "--step",
        "sand",
        "--amount",
        "-5",
        "--currency",
        "EUR",
    ];
    assert!(!yard.path().join("deck-tally.csv").exists());
    assert!(tally(yard.path(), &refund).status.success());
}
