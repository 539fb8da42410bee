//! How spile's time and memory grow with the size of the job. Each size runs in a process of its own, so that
//! the memory is its own too.

use crate::deck::{Deck, Obstacle, Shape};
use crate::engine::{Engine, pattern};
use crate::machine::peak_memory;
use crate::ours::Ours;
use crate::outlines::{Outline, taken_in, vertices};
use std::process::Command;
use std::time::Instant;

/// What grows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Series {
    /// Round fittings, apart from each other.
    Spread,
    /// The same in rows, each keep-off overlapping its neighbours'.
    Chains,
    /// Vertices of a convex outline.
    Convex,
    /// Vertices of one with hollow stretches.
    Hollowed,
}

impl Series {
    const ALL: [Self; 4] = [Self::Spread, Self::Chains, Self::Convex, Self::Hollowed];

    const fn name(self) -> &'static str {
        match self {
            Self::Spread => "fittings, spread",
            Self::Chains => "fittings, in overlapping chains",
            Self::Convex => "vertices, convex outline",
            Self::Hollowed => "vertices, hollowed outline",
        }
    }

    const fn argument(self) -> &'static str {
        match self {
            Self::Spread => "spread",
            Self::Chains => "chains",
            Self::Convex => "convex",
            Self::Hollowed => "hollowed",
        }
    }

    const fn sizes(self) -> &'static [u32] {
        match self {
            Self::Spread | Self::Chains => &[10, 100, 1_000, 10_000],
            Self::Convex | Self::Hollowed => &[1_000, 10_000, 100_000],
        }
    }
}

/// Radii and margin of the growing jobs, millimetres.
const MARGIN: f64 = 60.0;
const ROUND: f64 = 40.0;
const HOLLOW: f64 = 40.0;

/// Runs one size here: seconds for the whole pattern (the least of a few runs), peak memory in MiB, area.
///
/// # Errors
/// What the kernel says.
pub fn one(series: Series, size: u32) -> Result<String, String> {
    let begun = Instant::now();
    let mut least = f64::INFINITY;
    let mut area = 0.0;
    let mut runs = 0;
    while runs == 0 || (runs < 7 && begun.elapsed().as_secs_f64() < 2.0) {
        let (seconds, found) = once(series, size)?;
        least = least.min(seconds);
        area = found;
        runs += 1;
    }
    Ok(format!("{least} {} {area}", peak_memory()))
}

fn once(series: Series, size: u32) -> Result<(f64, f64), String> {
    let outline = match series {
        Series::Spread => return timed_deck(&fittings(size, 200.0)),
        Series::Chains => return timed_deck(&fittings(size, 90.0)),
        Series::Convex => Outline::Convex,
        Series::Hollowed => Outline::Hollowed,
    };
    let points = vertices(outline, size);
    let start = Instant::now();
    let bare = Ours.shrunk(&taken_in(&points), MARGIN)?;
    let opened = Ours.grown(&Ours.shrunk(&bare, ROUND)?, ROUND)?;
    let closed = Ours.shrunk(&Ours.grown(&opened, HOLLOW)?, HOLLOW)?;
    Ok((start.elapsed().as_secs_f64(), closed.area()))
}

fn timed_deck(deck: &Deck) -> Result<(f64, f64), String> {
    let start = Instant::now();
    let stages = pattern(&Ours, deck)?;
    Ok((start.elapsed().as_secs_f64(), stages.closed.area()))
}

/// A square deck with `count` discs of 30 mm, keep-offs of 50 mm, `apart` from each other along a row.
fn fittings(count: u32, apart: f64) -> Deck {
    /// Between rows, millimetres.
    const ROWS: f64 = 250.0;
    let in_row = (1..=count)
        .find(|side| side * side >= count)
        .unwrap_or(count);
    let rows = count.div_ceil(in_row);
    let obstacles = (0..count)
        .map(|index| Obstacle {
            margin: 20.0,
            shape: Shape::Disc {
                x: 200.0 + apart * f64::from(index % in_row),
                y: 200.0 + ROWS * f64::from(index / in_row),
                radius: 30.0,
            },
        })
        .collect();
    Deck {
        margin: MARGIN,
        round: ROUND,
        hollow: HOLLOW,
        outline: Shape::Rectangle {
            x: 0.0,
            y: 0.0,
            width: 400.0 + apart * f64::from(in_row - 1),
            height: 400.0 + ROWS * f64::from(rows - 1),
            radius: 100.0,
        },
        obstacles,
        strips: Vec::new(),
    }
}

/// Every size of every series, as a table in Markdown, line by line as it comes.
///
/// # Errors
/// Where a process cannot be run, or fails.
pub fn table(say: impl Fn(&str)) -> Result<(), String> {
    let program = std::env::current_exe().map_err(|fault| fault.to_string())?;
    say("| what grows | size | time, ms | grows as size to the power of | peak memory, MiB |");
    say("| --- | --- | --- | --- | --- |");
    for series in Series::ALL {
        let mut before: Option<(f64, f64)> = None;
        for size in series.sizes() {
            let output = Command::new(&program)
                .args(["growth-of", series.argument(), &size.to_string()])
                .output()
                .map_err(|fault| fault.to_string())?;
            let text = String::from_utf8_lossy(&output.stdout);
            let numbers: Vec<f64> = text
                .split_whitespace()
                .filter_map(|word| word.parse().ok())
                .collect();
            let [seconds, memory, _] = numbers[..] else {
                return Err(format!("{} {size}: {text}", series.name()));
            };
            let size = f64::from(*size);
            let power = before.map_or_else(String::new, |(last_size, last)| {
                format!("{:.2}", (seconds / last).ln() / (size / last_size).ln())
            });
            before = Some((size, seconds));
            say(&format!(
                "| {} | {size} | {:.1} | {power} | {memory:.0} |",
                series.name(),
                1e3 * seconds,
            ));
        }
    }
    Ok(())
}
