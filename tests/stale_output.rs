//! `output/` holds what `plan` gives for every demo layout now.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

const REFRESH: &str = "cargo run --release -- plan layouts/*.toml";

#[test]
fn the_plans_kept_are_the_plans_given() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let layouts: Vec<PathBuf> = names_in(&root.join("layouts"))
        .into_iter()
        .filter(|name| {
            name.extension()
                .is_some_and(|extension| extension == "toml")
        })
        .map(|name| Path::new("layouts").join(name))
        .collect();
    assert!(
        layouts.len() >= 5,
        "there are {} demo layouts",
        layouts.len()
    );
    let fresh = tempfile::tempdir().expect("a folder to work in");
    let made = Command::new(env!("CARGO_BIN_EXE_spile"))
        .current_dir(root)
        .arg("plan")
        .args(&layouts)
        .arg("--out")
        .arg(fresh.path())
        .output()
        .expect("spile starts");
    assert!(
        made.status.success(),
        "{}",
        String::from_utf8_lossy(&made.stderr)
    );

    let kept = root.join("output");
    let mut stale = Vec::new();
    let folders: BTreeSet<PathBuf> = [names_in(&kept), names_in(fresh.path())]
        .concat()
        .into_iter()
        .collect();
    for folder in folders {
        let (kept, fresh) = (kept.join(&folder), fresh.path().join(&folder));
        let files: BTreeSet<PathBuf> = [names_in(&kept), names_in(&fresh)]
            .concat()
            .into_iter()
            .collect();
        for file in files {
            let (kept, fresh) = (fs::read(kept.join(&file)), fs::read(fresh.join(&file)));
            let why = match (kept, fresh) {
                (Ok(kept), Ok(fresh)) if kept == fresh => continue,
                (Ok(_), Ok(_)) => "is not what plan gives now",
                (Ok(_), Err(_)) => "is not given any more",
                (Err(_), _) => "is missing",
            };
            stale.push(format!("output/{} {why}", folder.join(file).display()));
        }
    }
    assert!(
        stale.is_empty(),
        "{}\nrefresh with: {REFRESH}",
        stale.join("\n")
    );
}

/// What is in a folder, by name; nothing where there is no such folder.
fn names_in(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(folder) else {
        return Vec::new();
    };
    let mut names: Vec<PathBuf> = entries
        .map(|entry| entry.expect("it can be listed").file_name().into())
        .collect();
    names.sort();
    names
}
