//! Inputs that nobody thought of: bytes are made into layouts, regions and distances, and what must hold for
//! all of them is checked. Finds of earlier runs stand in `fuzz_finds/` and are tried first.
//!
//! `cargo test` tries a fixed number with fixed seeds. `FUZZ_SECONDS=600 cargo test --release --test fuzz
//! -- --nocapture --test-threads 1` goes on for so many seconds a target with a new seed, and prints what it
//! finds, made small, as a find to be kept.

mod fuzzing;

use std::time::Duration;

use fuzzing::{Target, layouts, offsets, regions, run};

#[test]
fn layouts_are_worked_out_or_faulted_with_a_place() {
    run(&Target {
        name: "layouts",
        inputs: 150,
        generate: layouts::generate,
        judge: layouts::judge,
        describe: |_| String::new(),
        longest: Duration::from_secs(20),
    });
}

#[test]
fn regions_combine_as_sets_do() {
    run(&Target {
        name: "regions",
        inputs: 1500,
        generate: fuzzing::some_bytes,
        judge: regions::judge,
        describe: regions::describe,
        longest: Duration::from_secs(10),
    });
}

#[test]
fn regions_shrink_and_grow_by_distances() {
    run(&Target {
        name: "offsets",
        inputs: 1000,
        generate: fuzzing::some_bytes,
        judge: offsets::judge,
        describe: offsets::describe,
        longest: Duration::from_secs(10),
    });
}
