//! From the lines of both passes to runs of tape: where each begins and ends, which end lies over which,
//! the order of laying, and the corners that the tape cannot bend round. Comes in: the lines of each pass.
//! Goes out: [`TapeRun`]s, numbered in the order in which they are laid.
//!
//! The rules, all common practice without a source:
//!
//! - A run is broken only where a roll is too short for it. Its ends stand on a straight, the lap at least
//!   [`JOIN_CLEAR`] from every arc and corner; where none is long enough, on a curve so flat that over the lap and what
//!   it keeps clear it departs from a straight by no more than [`FLAT`]; else on the straightest place, and that is said.
//! - Laps lie as shingles do: water runs aft and outboard, so the forward piece lies over the aft one, and
//!   on tape that runs athwartships the inboard piece over the outboard one. What lies under is laid first.

mod bends;
mod joins;
mod track;

use std::collections::BTreeSet;
use std::fmt;

pub use bends::{Remedy, TightBend};
pub use track::Footing;

use super::Chain;
use crate::layout::TapeRoll;
use crate::shape::{Point, Segment};
use crate::surface::Surface;
use crate::units::Length;
use joins::{Joined, joined};
use track::{Track, Wanted};

/// Least distance from a lap to an arc or a corner, millimetres.
pub const JOIN_CLEAR: f64 = 100.0;

/// A curve that departs from a straight by no more than this over a lap and [`JOIN_CLEAR`] to either side is as
/// good as straight, millimetres.
pub const FLAT: f64 = 1.0;

/// The least radius of a curve that is as good as straight for a lap of some length.
#[must_use]
pub fn flat_radius(lap: Length) -> Length {
    // The sagitta of an arc is the square of its chord by eight radii.
    let chord = lap.to_mm() + 2.0 * JOIN_CLEAR;
    Length::mm(chord * chord / (8.0 * FLAT))
}

/// Which tape.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum TapeKind {
    /// Along the deck edge, openings and fittings; laid first.
    Edge,
    /// Along the paint line.
    Line,
}

/// A run's name: the tape and its number, one series for both passes of all decks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct RunName {
    /// Which tape.
    pub kind: TapeKind,
    /// From 1, in the order of laying.
    pub number: usize,
}

impl fmt::Display for RunName {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let letter = match self.kind {
            TapeKind::Line => 'L',
            TapeKind::Edge => 'E',
        };
        write!(formatter, "{letter}{}", self.number)
    }
}

/// One unbroken length of tape.
#[derive(Debug, Clone, PartialEq)]
pub struct TapeRun {
    /// Its name.
    pub name: RunName,
    /// The field whose paint line it makes; none for edge tape.
    pub field: Option<String>,
    /// Whether it goes all round by itself and closes on its own beginning.
    pub is_ring: bool,
    /// Where laying begins.
    pub begin: RunEnd,
    /// Where it ends.
    pub end: RunEnd,
    /// Length along its middle in plan, without laps; of edge tape along the edge.
    pub length: Length,
    /// The same on the deck's surface.
    pub true_length: Length,
    /// What to cut from the roll: the true length and half a lap at either end.
    pub to_cut: Length,
    /// Where it lies, in the direction of laying.
    pub path: Vec<Segment>,
    /// Corners that the tape cannot bend round.
    pub tight: Vec<TightBend>,
}

/// One end of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunEnd {
    /// The middle of the lap.
    pub at: Point,
    /// The direction of laying there.
    pub direction: Point,
    /// What it meets.
    pub lap: Lap,
    /// What the lap lies on.
    pub footing: Footing,
    /// How far the lap keeps from the nearest arc or corner; none where it lies on an arc. Less than [`JOIN_CLEAR`]
    /// or none at a join: there was no better place.
    pub clear: Option<Length>,
}

impl RunEnd {
    /// Whether it is a join nearer to an arc or a corner than [`JOIN_CLEAR`], since no straight had room.
    #[must_use]
    pub fn is_exception(&self) -> bool {
        let clear = self.clear.map_or(f64::NEG_INFINITY, Length::to_mm);
        self.lap != Lap::Stop && clear < JOIN_CLEAR - 1e-3
    }
}

/// How a run's end lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lap {
    /// Over the end that it meets.
    Over,
    /// Under the end that it meets.
    Under,
    /// Under an end that was laid before it: that one is left loose until then.
    TuckedUnder,
    /// It meets no tape of its kind: it runs out half a lap past the end of the line.
    Stop,
}

/// What runs of one kind are made of.
#[derive(Debug, Clone)]
pub(super) struct Lines {
    pub(super) field: Option<String>,
    pub(super) chain: Chain,
    /// Whether the line that the tape's edge follows lies to the left of the chain.
    pub(super) line_is_left: bool,
}

/// The runs along some lines, in the order of laying, with numbers from 1.
pub(super) fn runs(
    kind: TapeKind,
    lines: &[Lines],
    tape: &TapeRoll,
    surface: Option<&Surface>,
) -> Vec<TapeRun> {
    let mut all = Vec::new();
    let mut meets = Vec::new();
    for line in lines {
        let first = all.len();
        let own = runs_along(kind, line, tape, surface);
        let count = own.len();
        meets.extend((0..count).map(|index| {
            let next = if index + 1 < count { index + 1 } else { 0 };
            first + next
        }));
        all.extend(own);
    }
    in_order(all, &meets)
}

fn runs_along(
    kind: TapeKind,
    line: &Lines,
    tape: &TapeRoll,
    surface: Option<&Surface>,
) -> Vec<TapeRun> {
    let flat = flat_radius(tape.lap).to_mm();
    let track = Track::of(&line.chain, line.line_is_left, flat);
    let half_lap = tape.lap.to_mm() / 2.0;
    let room = (tape.roll - tape.lap).to_mm();
    let mut wanted = Wanted {
        longest: room,
        clear: JOIN_CLEAR + half_lap,
        half_lap,
    };
    loop {
        let runs = broken(kind, line, &joined(&track, wanted, runs_off), tape, surface);
        let longest = runs
            .iter()
            .map(|run| run.true_length.to_mm())
            .fold(0.0, f64::max);
        // On a surface a run is longer than in plan.
        if longest <= room + 1e-6 {
            return runs;
        }
        wanted.longest *= (room / longest).min(0.999);
    }
}

/// Whether a track at a place goes the way water runs: aft, or where it lies athwartships outboard.
fn runs_off(track: &Track, along: f64) -> bool {
    let (at, way) = (track.point(along), track.direction(along));
    if way.x.abs() >= way.y.abs() - 1e-6 {
        way.x > 0.0
    } else if at.y >= -1e-6 {
        way.y > 0.0
    } else {
        way.y < 0.0
    }
}

fn broken(
    kind: TapeKind,
    line: &Lines,
    joined: &Joined,
    tape: &TapeRoll,
    surface: Option<&Surface>,
) -> Vec<TapeRun> {
    let track = &joined.track;
    let half_lap = tape.lap.to_mm() / 2.0;
    let mut bounds = joined.joins.clone();
    if track.is_closed {
        bounds.extend(joined.joins.first().map(|first| first + track.length));
    } else {
        bounds.insert(0, 0.0);
        bounds.push(track.length);
    }
    let last = bounds.len().saturating_sub(1);
    let end_at = |index: usize, is_begin: bool| {
        let along = bounds[index];
        let within = track.within(along);
        let is_stop = !track.is_closed && (index == 0 || index == last);
        // Where tape runs aft, what begins there is the aft piece.
        let lap = if is_stop {
            Lap::Stop
        } else if runs_off(track, within) == is_begin {
            Lap::Under
        } else {
            Lap::Over
        };
        let footing = track.footing(within, half_lap);
        let clear = track.clear_of_arcs(within);
        let clear = clear.map(|clear| Length::mm((clear - half_lap).max(0.0)));
        RunEnd {
            at: track.point(within),
            direction: track.direction(within),
            lap,
            footing,
            clear: clear.filter(|_| footing != Footing::Bend),
        }
    };
    (0..last)
        .map(|index| {
            let path = track.part(bounds[index], bounds[index + 1]);
            let length = Length::mm(path.iter().map(Segment::length).sum());
            let true_length = surface.map_or(length, |surface| surface.length_of(&path));
            TapeRun {
                name: RunName { kind, number: 0 },
                field: line.field.clone(),
                is_ring: track.is_closed && last == 1,
                begin: end_at(index, true),
                end: end_at(index + 1, false),
                length,
                true_length,
                to_cut: true_length + tape.lap,
                tight: bends::tight(&path, track, kind, tape),
                path,
            }
        })
        .collect()
}

/// Puts runs in the order of laying: what lies under another before that, and of those that may be laid
/// the aftmost, then the outermost. `meets` names for each run the one that begins where it ends.
fn in_order(mut runs: Vec<TapeRun>, meets: &[usize]) -> Vec<TapeRun> {
    let count = runs.len();
    // Those that must wait for a run, and for how many each waits.
    let mut waiting: Vec<Vec<usize>> = vec![Vec::new(); count];
    let mut waits_for = vec![0_usize; count];
    for (index, next) in meets.iter().enumerate() {
        let (under, over) = match runs[index].end.lap {
            Lap::Over => (*next, index),
            Lap::Under => (index, *next),
            Lap::TuckedUnder | Lap::Stop => continue,
        };
        if under != over {
            waiting[under].push(over);
            waits_for[over] += 1;
        }
    }
    let keys: Vec<_> = runs.iter().map(place_key).collect();
    let mut ready: BTreeSet<_> = (0..count)
        .filter(|index| waits_for[*index] == 0)
        .map(|index| (keys[index], index))
        .collect();
    let mut left: BTreeSet<_> = (0..count).map(|index| (keys[index], index)).collect();
    let mut place_of = vec![usize::MAX; count];
    let mut order = Vec::with_capacity(count);
    // Round a ring of several runs each may wait for the next: then the aftmost goes first.
    while let Some(next) = ready.pop_first().or_else(|| left.first().copied()) {
        let (_, index) = next;
        if !left.remove(&next) {
            continue;
        }
        place_of[index] = order.len();
        order.push(index);
        for other in &waiting[index] {
            waits_for[*other] = waits_for[*other].saturating_sub(1);
            let key = (keys[*other], *other);
            if waits_for[*other] == 0 && left.contains(&key) {
                ready.insert(key);
            }
        }
    }
    for (index, next) in meets.iter().enumerate() {
        let (own, other) = (place_of[index], place_of[*next]);
        if runs[index].end.lap == Lap::Under && own > other {
            runs[index].end.lap = Lap::TuckedUnder;
        }
        if runs[*next].begin.lap == Lap::Under && other > own {
            runs[*next].begin.lap = Lap::TuckedUnder;
        }
    }
    let mut slots: Vec<Option<TapeRun>> = runs.into_iter().map(Some).collect();
    order
        .into_iter()
        .filter_map(|index| slots.get_mut(index).and_then(Option::take))
        .zip(1..)
        .map(|(mut run, number)| {
            run.name.number = number;
            run
        })
        .collect()
}

/// Aftmost first, then outermost, then to starboard, by whole millimetres.
fn place_key(run: &TapeRun) -> [i64; 3] {
    let bounds = run
        .path
        .iter()
        .map(Segment::bounding_box)
        .reduce(|mut all, one| {
            all.include(one.least);
            all.include(one.greatest);
            all
        });
    let Some(bounds) = bounds else {
        return [0; 3];
    };
    let outermost = bounds.greatest.y.abs().max(bounds.least.y.abs());
    #[expect(
        clippy::cast_possible_truncation,
        reason = "no deck is a hundred million kilometres long; the cast saturates"
    )]
    let whole = |mm: f64| mm.round() as i64;
    let middle = bounds.centre();
    [
        -whole(bounds.greatest.x),
        -whole(outermost),
        -whole(middle.y),
    ]
}
