//! The page is served to the person at this machine alone, and to nobody else; it hands out its layout and no other file, writes
//! nothing but that, and goes on whatever is sent to it.

#![allow(clippy::print_stdout, reason = "what was measured, for the record")]

#[path = "serving/admission.rs"]
mod admission;
#[path = "serving/answers.rs"]
mod answers;
#[path = "serving/load.rs"]
mod load;
#[path = "serving/makes.rs"]
mod makes;
#[cfg(unix)]
#[path = "serving/named_files.rs"]
mod named_files;
#[cfg(unix)]
#[path = "serving/odd_files.rs"]
mod odd_files;
#[path = "serving/paths.rs"]
mod paths;
#[path = "serving/program.rs"]
mod program;
#[path = "serving/random.rs"]
mod random;
