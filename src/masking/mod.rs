//! From the pattern to both masking passes: where the tape lies, on which side of the paint line, how
//! much of it, and what film must cover. Comes in: a [`Pattern`](crate::pattern::Pattern) and the tape.
//! Goes out: a [`Masking`].

use crate::shape::{Point, Region};
use crate::units::Length;

/// Both passes of one deck.
#[derive(Debug, Clone)]
pub struct Masking {
    /// First: fields covered, border painted.
    pub first: Pass,
    /// Reversed: border covered, fields painted.
    pub reversed: Pass,
}

/// One masking pass.
#[derive(Debug, Clone)]
pub struct Pass {
    /// The paint line's length.
    pub working_edge: Length,
    /// Line tape along its middle, without laps.
    pub line_tape: Length,
    /// Edge tape, without laps.
    pub edge_tape: Length,
    /// Number of closed or open runs of line tape.
    pub line_runs: usize,
    /// Number of runs of edge tape.
    pub edge_runs: usize,
    /// Area of film or paper, mm².
    pub cover_mm2: f64,
    /// What is protected in this pass.
    pub protected: Region,
    /// What is painted in this pass.
    pub painted: Region,
    /// The bodies of the line tape.
    pub line_bodies: Region,
    /// The bodies of the edge tape, laid outward from the painted area.
    pub edge_bodies: Region,
    /// Where bodies of line tape lie over each other.
    pub clashes: Vec<Clash>,
}

/// Paint lines nearer to each other than the tape is wide.
#[derive(Debug, Clone, PartialEq)]
pub struct Clash {
    /// Length of tape (along its middle) that lies over other tape's ground.
    pub length: Length,
    /// Where.
    pub at: Point,
    /// The widest tape that would not clash.
    pub width_that_would_do: Length,
}
