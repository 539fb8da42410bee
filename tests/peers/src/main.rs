//! The commands: `agree`, `settle`, `time`, `growth`.
#![allow(
    clippy::print_stdout,
    reason = "tables and findings are what the program is for"
)]

use clap::{Args, Parser, Subcommand};
use peers::geos::{Library, PATH};
use peers::growth::{self, Series};
use peers::kept;
use peers::machine;
use peers::random::Kind;
use peers::run::{Plan, TABLE_HEAD, compare};
use peers::timing;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// spile's kernel against general-purpose geometry libraries.
#[derive(Debug, Parser)]
struct Peers {
    /// GEOS's C library.
    #[arg(long, env = PATH)]
    geos: Option<PathBuf>,
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Areas, perimeters and parts on random decks, every disagreement settled.
    Agree(Agree),
    /// The same, and the decks on which a peer is wrong written to decks_where_a_peer_fails.toml.
    Settle(Agree),
    /// The whole pattern on decks of the grid set, and the inset of dense outlines.
    Time {
        /// Decks.
        #[arg(long, default_value_t = 500)]
        decks: u64,
        /// Only the dense outlines.
        #[arg(long)]
        insets: bool,
    },
    /// spile's time and memory for growing jobs.
    Growth,
    /// One job of `growth`, in this process.
    #[command(hide = true)]
    GrowthOf {
        /// What grows.
        series: Series,
        /// To what.
        size: u32,
    },
}

#[derive(Debug, Args)]
struct Agree {
    /// Decks of each kind.
    #[arg(long, default_value_t = 1000)]
    decks: u64,
    /// Number of the first deck.
    #[arg(long, default_value_t = 0)]
    first: u64,
    /// The slow engines are given one deck in so many: clipper2-rust as many, geo half of that, both of
    /// them far fewer at 0.01 mm. 1 for as many as a full run can bear.
    #[arg(long, default_value_t = 10)]
    slow: u64,
    /// Say every disagreement, not only those in which spile is wrong or nobody could say.
    #[arg(long)]
    all: bool,
}

fn main() -> ExitCode {
    // Engines may panic; what they say comes in the table.
    std::panic::set_hook(Box::new(|_| {}));
    let peers = Peers::parse();
    let geos = || {
        let missing = format!("where is GEOS's C library? run.sh sets {PATH}, or give --geos");
        peers.geos.as_deref().ok_or(missing)
    };
    let done = match &peers.command {
        Command::Agree(agree) => geos().and_then(|geos| run_agree(geos, agree, None)),
        Command::Settle(agree) => {
            geos().and_then(|geos| run_agree(geos, agree, Some(Path::new(kept::FILE))))
        }
        Command::Time { decks, insets } => geos().and_then(|geos| run_time(geos, *decks, *insets)),
        Command::Growth => {
            println!("{}\n", heading(None));
            growth::table(|line| println!("{line}")).map(|()| true)
        }
        Command::GrowthOf { series, size } => growth::one(*series, *size).map(|line| {
            println!("{line}");
            true
        }),
    };
    match done {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(fault) => {
            println!("peers: {fault}");
            ExitCode::FAILURE
        }
    }
}

/// Where and when, for the head of a table.
fn heading(library: Option<&Library>) -> String {
    let geos = library.map_or_else(String::new, |library| {
        format!("; GEOS {}", library.version())
    });
    format!(
        "{}, {}{geos}; clipper2-rust 1.2.0, cavalier_contours 0.9.0, geo 0.33.1",
        machine::day(),
        machine::processor(),
    )
}

fn run_time(geos: &Path, decks: u64, insets_only: bool) -> Result<bool, String> {
    let library = Library::open(geos)?;
    println!("{}\n", heading(Some(&library)));
    if !insets_only {
        println!("{}", timing::whole_pattern(&library, Kind::Grid, decks));
    }
    println!("{}", timing::insets(&library)?);
    Ok(true)
}

fn run_agree(geos: &Path, agree: &Agree, file: Option<&Path>) -> Result<bool, String> {
    let plan = Plan {
        library: geos,
        first: agree.first,
        decks: agree.decks,
        slow: agree.slow.max(1),
    };
    println!("GEOS {}", Library::open(geos)?.version());
    let mut table = TABLE_HEAD.to_owned();
    let mut asked = String::new();
    let mut right = true;
    let mut findings = Vec::new();
    for kind in Kind::ALL {
        let found = compare(&plan, kind)?;
        for finding in &found.findings {
            let is_open = finding.peer.is_none()
                || matches!(
                    finding.verdict,
                    peers::agreement::Verdict::OursWrong(_)
                        | peers::agreement::Verdict::Unsettled(_)
                );
            if agree.all || is_open {
                println!("{}", finding.line());
            }
        }
        table.push_str(&found.rows(kind));
        asked.push_str(&found.asked(kind));
        asked.push('\n');
        right &= found.ours_is_right();
        findings.extend(found.findings);
    }
    if let Some(file) = file {
        let text = kept::write(&kept::select(&findings)?)?;
        std::fs::write(file, text).map_err(|fault| format!("{}: {fault}", file.display()))?;
        println!("{} written", file.display());
    }
    println!("\n{table}\n{asked}");
    println!(
        "{}",
        if right {
            "None of the wrong ones is spile's."
        } else {
            "spile is wrong, or nobody could say: see above."
        }
    );
    Ok(right)
}
