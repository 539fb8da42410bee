//! `spile check`: reads layouts and judges them, says what a foot meets on their decks, writes nothing.

use std::path::PathBuf;

use clap::Args;

use super::console::Console;
use super::read::{self, Worked};
use super::{Status, Stop};

/// Reads layouts and says what is wrong with them, or that nothing is, and what a foot meets on their decks
#[derive(Args)]
#[command(after_help = "Example: spile check layouts/guillemot.toml")]
pub(super) struct Check {
    /// Layout files
    #[arg(required = true, value_name = "LAYOUT")]
    layouts: Vec<PathBuf>,
}

impl Check {
    pub(super) fn run(&self, console: &Console) -> Result<(), Stop> {
        let mut worst = Status::Done;
        for path in &self.layouts {
            match read::one(path, console) {
                Ok(worked) => {
                    worked.say_warnings(console);
                    let warnings = match worked.job.warnings.len() {
                        0 => String::new(),
                        1 => ", 1 warning".to_owned(),
                        many => format!(", {many} warnings"),
                    };
                    underfoot(&worked, console);
                    console.output(format!("{}: no fault found{warnings}\n", path.display()))?;
                }
                Err(stop) => {
                    worst = worst.max(stop.status);
                    if let Some(message) = stop.message {
                        console.error(&message);
                    }
                }
            }
        }
        if worst == Status::Done {
            Ok(())
        } else {
            Err(worst.said())
        }
    }
}

/// What a foot meets on its decks; what the settings behind it rest on, once.
fn underfoot(worked: &Worked, console: &Console) {
    let path = worked.path.display();
    let mut reasons: Vec<String> = Vec::new();
    for deck in &worked.job.decks {
        let footing = deck.footing(&worked.job.layout);
        for note in footing.notes() {
            console.note(&format!("{path}: {note}"));
        }
        for reason in footing.reasons() {
            if !reasons.contains(&reason) {
                reasons.push(reason);
            }
        }
    }
    if !reasons.is_empty() {
        console.note(&format!(
            "{path}: settings of [underfoot]: {}",
            reasons.join(" ")
        ));
    }
}
