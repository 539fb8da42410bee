//! Starts the command line, nothing else.

fn main() {}
