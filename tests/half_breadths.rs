//! Half-breadths, judged: what is found in tables of random fair decks with and without a mistake, and what a deck given
//! by its two sides becomes.
#![allow(clippy::panic, reason = "a test that cannot go on has failed")]
#![allow(clippy::print_stdout, reason = "the shares found, for the record")]
#![allow(clippy::cast_possible_truncation, reason = "small numbers")]
#[path = "half_breadths/from_the_file.rs"]
mod from_the_file;
#[path = "half_breadths/simulated.rs"]
mod simulated;
