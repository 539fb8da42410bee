//! DXF: what is read in files written by another program, against what that program makes of them; what is said of
//! broken ones; and how long it takes.

#![allow(
    clippy::panic,
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a test ends where it fails, and says what it measured"
)]

mod against_ezdxf;
mod broken;
mod large;
