//! A layout is saved whole or not at all: whenever the power goes, whatever fails, and whoever else writes to it.

#![allow(clippy::print_stdout, reason = "what was measured, for the record")]

#[path = "saving/killed.rs"]
mod killed;
#[path = "saving/power.rs"]
mod power;
#[path = "serving/program.rs"]
mod program;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use power::{Event, LAYOUT, Model, Rest, Saver};
use spile::show::{Disk, SaveFault, save_over};

const FOLDER: &str = "yard";
const OLD: &[u8] = b"title = \"Old\" # a longer one than the new one is\n";
const NEW: &[u8] = b"title = \"New\"\n";
const LATER: &[u8] = b"title = \"Later\"\n";
const THEIRS: &[u8] = b"title = \"Theirs\"\n";
/// What lies beside it and has nothing to do with it, however its name looks.
const NEIGHBOURS: [&str; 5] = [
    "yard/gig.toml",
    "yard/.spile-gig.toml-0123456789abcdef.new",
    "yard/.spile-dinghy.toml-notes.new",
    "yard/.spile-dinghy.toml-0123456789abcdef.toml",
    "yard/dinghy.toml.new",
];
/// Left by a power cut long ago.
const LEFT: &str = "yard/.spile-dinghy.toml-00112233445566ff.new";

fn yard(layout: Option<&[u8]>, more: &[&str]) -> Rest {
    let others = NEIGHBOURS.iter().chain(more);
    let others = others.map(|name| (PathBuf::from(name), b"another's".to_vec()));
    let layout = layout.map(|text| (PathBuf::from(LAYOUT), text.to_vec()));
    Rest {
        names: others.chain(layout).collect::<BTreeMap<_, _>>(),
    }
}

fn text_of(rest: &Rest) -> Option<&[u8]> {
    rest.names.get(Path::new(LAYOUT)).map(Vec::as_slice)
}

/// What was there before: a layout or none, something left by a power cut or nothing.
fn beginnings() -> [(Option<&'static [u8]>, Rest); 4] {
    [
        (Some(OLD), false),
        (Some(OLD), true),
        (None, false),
        (None, true),
    ]
    .map(|(old, is_left)| {
        let left: &[&str] = if is_left { &[LEFT] } else { &[] };
        (old, yard(old, left))
    })
}

/// How many steps a saver takes where nothing goes wrong.
fn steps(save: Saver, old: Option<&[u8]>, yard: &Rest) -> usize {
    let disk = Model::holding(yard);
    // Whatever comes of it.
    let _ = save(&disk, Path::new(LAYOUT), old, NEW);
    disk.steps().len()
}

/// What is wrong with how a saver stands a power cut, and how many disks were looked at; the first wrong alone.
fn wrong_after_power_cuts(save: Saver) -> Result<usize, String> {
    let layout = Path::new(LAYOUT);
    let mut looked_at = 0;
    for (old, before) in beginnings() {
        let all = steps(save, old, &before);
        for cut in 0..=all {
            let disk = Model::holding(&before).with(cut, Event::Cut);
            let is_saved = save(&disk, layout, old, NEW).is_ok();
            for found in disk.after_power_cut() {
                looked_at += 1;
                let text = text_of(&found);
                let shown = text.map(String::from_utf8_lossy);
                let at = format!(
                    "cut after {cut} of {all} steps {:?}: {shown:?}",
                    disk.steps()
                );
                if text != Some(NEW) && (text != old || is_saved && cut == all) {
                    return Err(at);
                }
                let again = Model::holding(&found);
                save(&again, layout, text, LATER).map_err(|fault| format!("{at}: {fault:?}"))?;
                if again.after_power_cut() != [yard(Some(LATER), &[])].into() {
                    return Err(format!("{at}, then saved again: {:?}", again.seen()));
                }
            }
        }
    }
    Ok(looked_at)
}

/// What is wrong with how a saver takes a step that fails.
fn wrong_after_failures(save: Saver) -> Result<(), String> {
    for (old, before) in beginnings() {
        for failing in 0..steps(save, old, &before) {
            let disk = Model::holding(&before).with(failing, Event::Fails);
            let saved = save(&disk, Path::new(LAYOUT), old, NEW);
            let what = disk.steps()[failing];
            let at = format!("{what} failed, of {:?}: {saved:?}", disk.steps());
            let expected = if saved.is_ok() { Some(NEW) } else { old };
            // What was left before stays where it cannot be listed or taken away.
            let may_stay =
                matches!(what, "names" | "remove") && before.names.contains_key(Path::new(LEFT));
            let left: &[&str] = if may_stay { &[LEFT] } else { &[] };
            let is_known = matches!(saved, Ok(()) | Err(SaveFault::Unwritable(_)));
            if !is_known || disk.seen() != yard(expected, left) {
                return Err(format!("{at}: {:?}", disk.seen()));
            }
            let is_needed = ["create", "write", "flush", "read", "rename"].contains(&what);
            if is_needed == saved.is_ok() {
                return Err(at);
            }
        }
    }
    Ok(())
}

/// What is wrong with how a saver takes it that another program writes to the file meanwhile.
fn wrong_beside_others(save: Saver) -> Result<(), String> {
    let layout = Path::new(LAYOUT);
    for (old, before) in beginnings() {
        let all = steps(save, old, &before);
        for theirs in [Some(THEIRS), None] {
            if theirs == old {
                continue;
            }
            let mut unnoticed = 0;
            for step in 0..all {
                let event = Event::Between(layout.to_owned(), theirs.map(<[u8]>::to_vec));
                let disk = Model::holding(&before).with(step, event);
                let saved = save(&disk, layout, old, NEW);
                let at = format!(
                    "{theirs:?} before step {step} of {:?}: {saved:?}",
                    disk.steps()
                );
                match saved {
                    Err(SaveFault::Changed(now)) => {
                        if now.as_deref() != theirs || disk.seen() != yard(theirs, &[]) {
                            return Err(format!("{at}: {:?}", disk.seen()));
                        }
                    }
                    // The name is given in the step after the last look; what comes then is the newer.
                    Ok(()) if text_of(&disk.seen()) == theirs => {}
                    Ok(()) => unnoticed += 1,
                    Err(_) => return Err(at),
                }
            }
            if unnoticed > 1 {
                return Err(format!(
                    "{unnoticed} of {all} steps do not notice {theirs:?}"
                ));
            }
        }
    }
    Ok(())
}

/// What is wrong with how a saver takes it that another of its kind saves at the same time, and is cut off or not.
fn wrong_beside_its_like(save: Saver) -> Result<usize, String> {
    let mut tried = 0;
    for (old, before) in beginnings() {
        let all = steps(save, old, &before);
        for (step, others) in (0..all).flat_map(|step| (0..=all).map(move |others| (step, others)))
        {
            let event = Event::Other {
                steps: others,
                save,
                old: old.map(<[u8]>::to_vec),
                new: THEIRS.to_vec(),
            };
            let disk = Model::holding(&before).with(step, event);
            let saved = save(&disk, Path::new(LAYOUT), old, NEW);
            let seen = disk.seen();
            let text = text_of(&seen);
            if text != old && text != Some(NEW) && text != Some(THEIRS) {
                let shown = text.map(String::from_utf8_lossy);
                return Err(format!("{shown:?} by {:?}: {saved:?}", disk.steps()));
            }
            tried += 1;
        }
    }
    Ok(tried)
}

#[test]
fn whenever_the_power_goes_the_layout_is_the_old_or_the_new_one() {
    let looked_at = wrong_after_power_cuts(save_over).expect("nothing is wrong");
    println!("{looked_at} disks after power cuts");
    assert!(looked_at > 300, "only {looked_at} disks were looked at");
}

#[test]
fn where_a_step_fails_the_old_layout_stands_and_nothing_is_left_beside_it() {
    wrong_after_failures(save_over).expect("nothing is wrong");
}

#[test]
fn what_another_program_wrote_meanwhile_is_told_and_not_written_over() {
    wrong_beside_others(save_over).expect("nothing is wrong");
}

#[test]
fn of_two_that_save_at_once_neither_gives_the_other_s_half_text_the_layout_s_name() {
    let tried = wrong_beside_its_like(save_over).expect("nothing is wrong");
    assert!(tried > 200, "only {tried} were tried");
}

#[test]
fn over_another_text_than_was_thought_nothing_is_saved() {
    for (there, thought) in [
        (Some(THEIRS), Some(OLD)),
        (Some(THEIRS), None),
        (None, Some(OLD)),
    ] {
        let disk = Model::holding(&yard(there, &[]));
        let saved = save_over(&disk, Path::new(LAYOUT), thought, NEW);
        assert!(matches!(saved, Err(SaveFault::Changed(now)) if now.as_deref() == there));
        assert_eq!(disk.seen(), yard(there, &[]));
    }
}

/// A name beside, as mistaken savers use it.
const BESIDE: &str = LEFT;

/// Writes a text beside, by these steps in their order, and leaves nothing there where one fails.
fn by(disk: &Model, old: Option<&[u8]>, new: &[u8], order: &[&str]) -> Result<(), SaveFault> {
    let (layout, mut beside) = (Path::new(LAYOUT), Path::new(BESIDE));
    let mut done = Ok(());
    for step in order {
        done = done.and_then(|()| match *step {
            "create" => Ok(disk.create(beside, layout)?),
            "write" => Ok(disk.write(beside, new)?),
            "flush" => Ok(disk.flush(beside)?),
            "look" => match disk.read(layout)? {
                now if now.as_deref() == old => Ok(()),
                now => Err(SaveFault::Changed(now)),
            },
            "remove old" if old.is_some() => Ok(disk.remove(layout)?),
            "rename" => {
                disk.rename(beside, layout)?;
                beside = layout;
                Ok(())
            }
            "flush folder" => Ok(disk.flush_folder(Path::new(FOLDER))?),
            _ => Ok(()),
        });
    }
    if done.is_err() && !order.contains(&"leave") {
        let _ = disk.remove(Path::new(BESIDE));
    }
    done
}

/// A saver by these steps, once whatever was left beside is gone.
macro_rules! saver {
    ($($step:literal),*) => {
        (|disk, _, old, new| {
            let left = disk.read(Path::new(BESIDE));
            if left.is_ok_and(|left| left.is_some()) {
                let _ = disk.remove(Path::new(BESIDE));
            }
            by(disk, old, new, &[$($step),*])
        }) as Saver
    };
}

#[test]
fn the_disk_in_memory_shows_what_mistaken_savers_lose() {
    let sound = saver!("create", "write", "flush", "look", "rename", "flush folder");
    wrong_after_power_cuts(sound).expect("it is as spile does it");
    wrong_beside_others(sound).expect("it is as spile does it");
    let lose = [
        (
            "what is never flushed",
            saver!("create", "write", "look", "rename", "flush folder"),
        ),
        (
            "flushed too early",
            saver!("create", "flush", "write", "look", "rename", "flush folder"),
        ),
        (
            "flushed too late",
            saver!("create", "write", "look", "rename", "flush", "flush folder"),
        ),
        (
            "renamed before it is written",
            saver!("create", "look", "rename", "write", "flush", "flush folder"),
        ),
        (
            "the old one taken away first",
            saver!(
                "create",
                "write",
                "flush",
                "look",
                "remove old",
                "rename",
                "flush folder"
            ),
        ),
        (
            "its name never flushed",
            saver!("create", "write", "flush", "look", "rename"),
        ),
        (
            "its name flushed too early",
            saver!("create", "write", "flush", "flush folder", "look", "rename"),
        ),
        ("written in place", |disk, layout, _, new| {
            if disk.read(layout)?.is_none() {
                disk.create(layout, layout)?;
            }
            disk.write(layout, new)?;
            disk.flush(layout)?;
            Ok(disk.flush_folder(Path::new(FOLDER))?)
        }),
        ("what was left stays", |disk, layout, old, new| {
            let beside = Path::new("yard/.spile-dinghy.toml-ffffffffffffffff.new");
            if disk.read(beside)?.is_some() {
                return save_over(disk, layout, old, new);
            }
            by(
                disk,
                old,
                new,
                &["create", "write", "flush", "look", "rename", "flush folder"],
            )
        }),
    ];
    for (mistake, save) in lose {
        assert!(wrong_after_power_cuts(save).is_err(), "{mistake}");
    }
    let overwrite = [
        (
            "no look",
            saver!("create", "write", "flush", "rename", "flush folder"),
        ),
        (
            "a look too early",
            saver!("look", "create", "write", "flush", "rename", "flush folder"),
        ),
    ];
    for (mistake, save) in overwrite {
        assert!(wrong_beside_others(save).is_err(), "{mistake}");
    }
    // Each name beside is another's too.
    assert!(wrong_beside_its_like(sound).is_err());
    let litter = saver!(
        "create",
        "write",
        "flush",
        "look",
        "rename",
        "flush folder",
        "leave"
    );
    assert!(wrong_after_failures(litter).is_err());
}
