//! Points from ties: the adjustment against closed forms, a general-purpose library and simulation, and what it
//! says of a tape misread.

#![allow(
    clippy::panic,
    clippy::print_stdout,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "tests say what they found; their numbers are small"
)]

mod layouts;
mod library;
mod network;
mod places;
mod simulation;
