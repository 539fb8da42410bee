//! How long the engines take: the whole pattern on random decks, and the inset of dense smooth outlines.
//! Engines take turns deck by deck, so that whatever else the machine does falls on all of them.

use crate::cavalier::Cavalier;
use crate::clipper::Clipper;
use crate::engine::{Engine, pattern};
use crate::geo_buffer::Geo;
use crate::geos::{Geos, Library};
use crate::ours::Ours;
use crate::outlines::{Outline, inset_of_dense, vertices};
use crate::random::{self, Kind};
use spile::shape::{Point, Region, Ring};
use std::fmt::Write as _;
use std::time::Instant;

/// The accuracy at which all are timed, millimetres.
const CHORD_ERROR: f64 = 0.01;

/// geo takes most of a second for a deck: it is given one in so many.
const GEO_ONE_IN: u64 = 20;

/// Runs for each deck, of which the quickest counts: what the machine does besides only ever adds.
const RUNS: u32 = 3;

/// What takes longer than this the first time is not run again, milliseconds.
const LONG: f64 = 100.0;

/// How far the dense outlines are inset, millimetres.
pub const INSET: f64 = 60.0;

/// Times of one engine, milliseconds, for each deck that it was given.
#[derive(Debug, Default)]
struct Times {
    name: String,
    decks: Vec<u64>,
    times: Vec<f64>,
}

impl Times {
    fn take<E: Engine>(&mut self, engine: &E, kind: Kind, number: u64)
    where
        E::Region: Clone,
    {
        let deck = random::deck(kind, number);
        let mut least = f64::INFINITY;
        for run in 0..RUNS {
            let start = Instant::now();
            let work = || pattern(engine, &deck).map(std::hint::black_box);
            // An engine that fails or panics has taken its time all the same.
            let _ = std::panic::catch_unwind(std::panic::AssertUnwindSafe(work));
            least = least.min(milliseconds(start));
            if run == 0 && least > LONG {
                break;
            }
        }
        self.times.push(least);
        self.decks.push(number);
        self.name = engine.name();
    }

    fn total(&self) -> f64 {
        self.times.iter().sum()
    }

    fn median(&self) -> f64 {
        let mut sorted = self.times.clone();
        sorted.sort_by(f64::total_cmp);
        sorted.get(sorted.len() / 2).copied().unwrap_or(f64::NAN)
    }
}

fn milliseconds(since: Instant) -> f64 {
    since.elapsed().as_secs_f64() * 1e3
}

/// The whole pattern on the first decks of a kind, as a table in Markdown.
#[must_use]
pub fn whole_pattern(library: &Library, kind: Kind, decks: u64) -> String {
    let chord_error = CHORD_ERROR;
    let geos = Geos {
        library,
        chord_error,
    };
    let mut times: [Times; 5] = Default::default();
    for number in 0..decks {
        times[0].take(&Ours, kind, number);
        times[1].take(&geos, kind, number);
        times[2].take(&Cavalier, kind, number);
        times[3].take(&Clipper { chord_error }, kind, number);
        if number.is_multiple_of(GEO_ONE_IN) {
            times[4].take(&Geo { chord_error }, kind, number);
        }
    }
    let mut table = "\
| engine | decks | median, ms | mean, ms | time over spile's, mean |
| --- | --- | --- | --- | --- |
"
    .to_owned();
    for engine in &times {
        let ours: f64 = times[0]
            .decks
            .iter()
            .zip(&times[0].times)
            .filter(|(number, _)| engine.decks.contains(number))
            .map(|(_, time)| time)
            .sum();
        let count = f64::from(u32::try_from(engine.times.len()).unwrap_or(u32::MAX));
        let _ = writeln!(
            table,
            "| {} | {count} | {:.2} | {:.2} | {:.1} |",
            engine.name,
            engine.median(),
            engine.total() / count,
            engine.total() / ours,
        );
    }
    table
}

/// The inset of dense outlines, as a table in Markdown.
///
/// # Errors
/// What GEOS says.
pub fn insets(library: &Library) -> Result<String, String> {
    let mut table = "\
| outline | vertices | engine | time, ms | off the exact inset, mm | area, mm² |
| --- | --- | --- | --- | --- | --- |
"
    .to_owned();
    for outline in [Outline::Convex, Outline::Hollowed] {
        for count in [1_000, 10_000, 100_000] {
            let points = vertices(outline, count);
            let mut row = |engine: &str, time: f64, region: &Region| {
                let _ = writeln!(
                    table,
                    "| {} | {count} | {engine} | {time:.1} | {:.1e} | {:.3} |",
                    outline.name(),
                    off_exact(region.rings(), &points),
                    region.area(),
                );
            };
            let (time, ours) = best(|| Ok(inset_of_dense(&points, INSET)))?;
            row("spile", time, &ours);
            for (name, quadrant) in [
                ("GEOS, 8 chords a quadrant (its default)", 8),
                (
                    "GEOS, chords 0.01 mm",
                    crate::chords::in_a_quarter(INSET, CHORD_ERROR),
                ),
            ] {
                let (time, region) = best(|| library.polygon(&points)?.buffer(-INSET, quadrant))?;
                let geos = Geos {
                    library,
                    chord_error: CHORD_ERROR,
                };
                row(name, time, &Region::new(geos.rings(&region)));
            }
        }
    }
    Ok(table)
}

/// The least time of a few runs, in milliseconds, with the result.
fn best<T>(work: impl Fn() -> Result<T, String>) -> Result<(f64, T), String> {
    let begun = Instant::now();
    let start = Instant::now();
    let mut result = work()?;
    let mut least = milliseconds(start);
    let mut runs = 1;
    while runs < 9 && milliseconds(begun) < 2000.0 {
        let start = Instant::now();
        result = work()?;
        least = least.min(milliseconds(start));
        runs += 1;
    }
    Ok((least, result))
}

/// The greatest difference between the inset and the distance of a point of the result from the polygon.
fn off_exact(rings: &[Ring], polygon: &[Point]) -> f64 {
    /// Points looked at.
    const SAMPLES: usize = 2_000;
    let samples: Vec<Point> = rings
        .iter()
        .flat_map(|ring| ring.segments())
        .flat_map(|segment| [0.0, 0.25, 0.5, 0.75].map(|share| segment.point_at(share)))
        .collect();
    // An odd step, so that ends and middles take turns.
    let step = (samples.len() / SAMPLES) | 1;
    let sides: Vec<(Point, Point)> = polygon
        .iter()
        .copied()
        .zip(polygon.iter().copied().cycle().skip(1))
        .collect();
    samples
        .iter()
        .step_by(step)
        .map(|at| {
            let square = sides
                .iter()
                .map(|(a, b)| {
                    let along = *b - *a;
                    let share = ((*at - *a).dot(along) / along.dot(along)).clamp(0.0, 1.0);
                    let off = *at - (*a + along * share);
                    off.dot(off)
                })
                .fold(f64::INFINITY, f64::min);
            (square.sqrt() - INSET).abs()
        })
        .fold(0.0, f64::max)
}
