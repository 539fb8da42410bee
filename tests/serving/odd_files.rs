//! What may happen to a layout while it is shown: it grows beyond reason, vanishes with its folder, is something else than a
//! file, or is worked on by two programs at once. The page says so, goes on, and nobody's text is lost.

use std::fs::{self, File};
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use crate::program::{LAYOUT, Served, unreadable};

/// As long as it may take until the page hears of what another program did, a busy machine allowed for.
const HEARD: Duration = Duration::from_secs(5);

/// What the page is told of the file, once that is `expected`, or at last.
fn told(served: &Served, expected: impl Fn(&serde_json::Value) -> bool) -> serde_json::Value {
    let begun = Instant::now();
    loop {
        let file = served.get("file").json();
        if expected(&file) || begun.elapsed() > HEARD {
            return file;
        }
        thread::sleep(Duration::from_millis(20));
    }
}

fn is_in_trouble(file: &serde_json::Value) -> bool {
    unreadable(file).is_some()
}

/// How a program ends that is told to show this; none where it goes on.
fn refused(layout: &Path, more: &[&str]) -> Option<(Option<i32>, String)> {
    let mut program = Command::new(env!("CARGO_BIN_EXE_spile"))
        .arg("show")
        .arg(layout)
        .arg("--no-open")
        .args(more)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .expect("spile starts");
    let begun = Instant::now();
    while begun.elapsed() < HEARD {
        if program.try_wait().expect("it can be asked for").is_some() {
            let output = program.wait_with_output().expect("it has ended");
            let said = String::from_utf8_lossy(&output.stderr).into_owned();
            return Some((output.status.code(), said));
        }
        thread::sleep(Duration::from_millis(20));
    }
    program.kill().expect("it can be ended");
    program.wait().expect("it has ended");
    None
}

#[test]
fn a_layout_that_grew_beyond_reason_is_neither_read_nor_written_over() {
    let folder = tempfile::tempdir().expect("a folder");
    let layout = folder.path().join("dinghy.toml");
    fs::write(&layout, LAYOUT).expect("a layout");
    let served = Served::begin(&layout);
    let over = served.version();
    // All of it but the text is a hole.
    let file = File::options().write(true).open(&layout).expect("ours");
    file.set_len(65 << 20).expect("it grows");
    let file = told(&served, is_in_trouble);
    assert_eq!(
        unreadable(&file),
        Some("cannot read dinghy.toml: it is larger than 64 MiB")
    );
    assert!(file["text"].is_null());
    let now = file["version"].as_u64().expect("a version");
    assert!(served.save("over it", over).is_refused_for_a_change());
    assert_eq!(served.save("over it", now).status, 500);
    let length = fs::metadata(&layout).expect("it stands").len();
    assert_eq!(length, 65 << 20);
    #[cfg(target_os = "linux")]
    assert!(served.memory() < 200 << 20, "{}", served.memory());
}

#[test]
fn a_folder_that_vanishes_and_comes_back_takes_the_page_with_it() {
    let place = tempfile::tempdir().expect("a folder");
    let (yard, away) = (place.path().join("yard"), place.path().join("away"));
    fs::create_dir(&yard).expect("a folder");
    fs::write(yard.join("dinghy.toml"), LAYOUT).expect("a layout");
    let served = Served::begin(&yard.join("dinghy.toml"));
    fs::rename(&yard, &away).expect("it goes");
    let gone = told(&served, |file| file["text"].is_null());
    assert!(
        gone["text"].is_null() && unreadable(&gone).is_none(),
        "{gone}"
    );
    let answer = served.save("more", gone["version"].as_u64().expect("a version"));
    assert_eq!(answer.status, 500, "{}", answer.text());
    assert!(
        answer.text().contains("cannot write dinghy.toml"),
        "{}",
        answer.text()
    );
    fs::rename(&away, &yard).expect("it comes back");
    let back = told(&served, |file| file["text"].is_string());
    assert_eq!(back["text"], LAYOUT);
    let answer = served.save("more = 1\n", back["version"].as_u64().expect("a version"));
    assert!(answer.is_saved(), "{}", answer.text());
}

#[test]
fn a_folder_or_a_pipe_in_the_layout_s_place_is_said_and_not_written_over() {
    let folder = tempfile::tempdir().expect("a folder");
    let layout = folder.path().join("dinghy.toml");
    fs::write(&layout, LAYOUT).expect("a layout");
    let served = Served::begin(&layout);
    fs::remove_file(&layout).expect("it goes");
    fs::create_dir(&layout).expect("a folder in its place");
    let file = told(&served, is_in_trouble);
    assert_eq!(
        unreadable(&file),
        Some("cannot read dinghy.toml: it is a folder")
    );
    let answer = served.save("x = 1\n", file["version"].as_u64().expect("a version"));
    assert_eq!(answer.status, 500, "{}", answer.text());
    fs::remove_dir(&layout).expect("it is empty still");
    let made = Command::new("mkfifo").arg(&layout).status();
    assert!(made.expect("mkfifo is there").success());
    let is_pipe =
        |file: &serde_json::Value| unreadable(file).is_some_and(|why| why.contains("pipe"));
    let file = told(&served, is_pipe);
    assert!(is_pipe(&file), "{file}");
    let answer = served.save("x = 1\n", file["version"].as_u64().expect("a version"));
    assert_eq!(answer.status, 500, "{}", answer.text());
    let left: Vec<_> = fs::read_dir(folder.path()).expect("ours").collect();
    assert_eq!(left.len(), 1, "{left:?}");
}

#[test]
fn what_is_no_file_cannot_be_shown() {
    let folder = tempfile::tempdir().expect("a folder");
    let pipe = folder.path().join("pipe");
    let made = Command::new("mkfifo").arg(&pipe).status();
    assert!(made.expect("mkfifo is there").success());
    for layout in [pipe.as_path(), Path::new("/dev/zero"), folder.path()] {
        let (code, said) = refused(layout, &[]).expect("it does not begin");
        assert_eq!(code, Some(3), "{said}");
        assert!(said.contains("cannot show"), "{said}");
    }
}

#[test]
fn a_port_that_is_taken_is_said() {
    let folder = tempfile::tempdir().expect("a folder");
    let layout = folder.path().join("dinghy.toml");
    fs::write(&layout, LAYOUT).expect("a layout");
    let served = Served::begin(&layout);
    let port = served.port.to_string();
    let (code, said) = refused(&layout, &["--port", &port]).expect("it does not begin");
    assert_eq!(code, Some(3), "{said}");
    assert!(said.contains("cannot serve the page"), "{said}");
    assert_eq!(served.get("file").status, 200);
}

#[test]
fn of_two_programs_that_save_at_once_neither_leaves_half_a_text() {
    /// Each of its own length, so that a mixture of two shows.
    fn text(who: usize, time: usize) -> String {
        let line = format!("# by {who}, {time}\n");
        line.repeat(1 + (who * 7919 + time * 104_729) % 4_000)
    }
    const TIMES: usize = 60;
    let folder = tempfile::tempdir().expect("a folder");
    let layout = folder.path().join("dinghy.toml");
    fs::write(&layout, text(0, 0)).expect("a layout");
    let all = [Served::begin(&layout), Served::begin(&layout)];
    let stale = all[1].version();
    assert!(all[0].save(&text(1, 0), all[0].version()).is_saved());
    let answer = all[1].save(&text(2, 0), stale);
    assert!(answer.is_refused_for_a_change(), "{}", answer.text());
    assert_eq!(answer.json()["text"], text(1, 0));
    let saved: usize = thread::scope(|scope| {
        let savers: Vec<_> = all
            .iter()
            .enumerate()
            .map(|(who, served)| {
                scope.spawn(move || {
                    let saved = (1..TIMES).filter(|time| {
                        let version = served.version();
                        served.save(&text(who + 1, *time), version).is_saved()
                    });
                    saved.count()
                })
            })
            .collect();
        while savers.iter().any(|saver| !saver.is_finished()) {
            let now = fs::read_to_string(&layout).expect("it stands at every moment");
            let is_whole = (1..3).any(|who| (0..TIMES).any(|time| now == text(who, time)));
            assert!(is_whole, "{} bytes of nobody's", now.len());
        }
        savers
            .into_iter()
            .map(|saver| saver.join().expect("it saves"))
            .sum()
    });
    assert!(saved >= TIMES / 2, "only {saved} were saved");
    let names: Vec<_> = fs::read_dir(folder.path()).expect("ours").collect();
    assert_eq!(names.len(), 1, "{names:?}");
}
