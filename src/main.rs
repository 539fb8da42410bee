//! Starts the command line, nothing else.

use std::process::ExitCode;

fn main() -> ExitCode {
    spile::cli::run()
}
