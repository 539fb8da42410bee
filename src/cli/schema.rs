//! `spile schema`: what a layout file may hold, for editors that complete and check it.

use clap::Args;

use super::Stop;
use super::console::Console;
use crate::layout;

/// Prints the JSON Schema of the layout file, for editors that complete and check it
#[derive(Args)]
#[command(after_help = "Example: spile schema > spile.schema.json")]
pub(super) struct Schema {}

impl Schema {
    pub(super) fn run(&self, console: &Console) -> Result<(), Stop> {
        console.output(format!("{:#}\n", layout::schema()))
    }
}
