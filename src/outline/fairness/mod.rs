//! Whether half-breadths are fair. Comes in: a side's entries and the curves laid through them. Goes out:
//! [`Fairness`]: what the table supports, the stations that disagree with the others and the slip that would explain
//! each, the curvature along the side, and how the two sides differ; with warnings at the entries.

mod curvature;
mod slip;

pub use curvature::{Curvature, CurvaturePoint};
pub use slip::Cause;

use super::Scrutiny;
use super::findings::Findings;
use super::half_breadths::{Entry, Side};
use crate::adjust::bump::{self, Judged, Reading, Suspect};
use crate::layout::{End, HalfBreadth, HalfBreadths, Place, Sides};
use crate::shape::Point;
use crate::units::{Length, LengthUnit};

/// A difference between the sides below this is not spoken of: no eye sees it in a border (from memory, no source).
const SEEN: f64 = 10.0;

/// In a stretch of fewer stations than this a quick turn of the side looks like an error, so that only what a slip explains is
/// named.
const SURE: usize = 8;

/// Curvature below which a side is straight, 1/mm: over ten metres that bends it by less than a hundredth of a millimetre.
const STRAIGHT: f64 = 1e-10;

/// What a deck's half-breadths are worth.
#[derive(Debug, Clone)]
pub struct Fairness {
    /// One side where the table is mirrored; starboard, then port where both were measured.
    pub sides: Vec<SideFairness>,
    /// What is made of two sides measured apart; none where one table is mirrored.
    pub made: Option<Sides>,
    /// How the two sides differ at every station of either, forward to aft.
    pub differences: Vec<SideDifference>,
}

/// One side, judged.
#[derive(Debug, Clone)]
pub struct SideFairness {
    /// `"starboard"` or `"port"`; none where one table stands for both.
    pub side: Option<&'static str>,
    /// Every half-breadth, forward to aft.
    pub stations: Vec<JudgedStation>,
    /// Those that disagree with the others, the worst first in each stretch between knuckles.
    pub bumps: Vec<Bump>,
    /// Neighbours that were exchanged.
    pub exchanged: Vec<ExchangedPair>,
    /// How the side bends, stretch by stretch; nothing where it is straight.
    pub curvature: Vec<Curvature>,
    /// What every half-breadth is a multiple of.
    pub rounding: Length,
    /// Standard deviation of one half-breadth: rounding, and the precision of measuring.
    pub deviation: Length,
}

/// A half-breadth and what can be said of it.
#[derive(Debug, Clone, Copy)]
pub struct JudgedStation {
    /// Its station.
    pub station: Length,
    /// The half-breadth as measured.
    pub breadth: Length,
    /// The entry.
    pub place: Place,
    /// How far off it would have to be to be found; none where there are too few others to tell.
    pub limit: Option<Length>,
}

/// A half-breadth that disagrees with the others.
#[derive(Debug, Clone)]
pub struct Bump {
    /// Its number among the side's stations.
    pub index: usize,
    /// Its station.
    pub station: Length,
    /// The half-breadth as measured.
    pub breadth: Length,
    /// How much further out a batten through the others passes it; negative: further in.
    pub passes: Length,
    /// Standard deviation of that.
    pub deviation: Length,
    /// How far off it had to be to be found.
    pub limit: Length,
    /// The slip that would explain it.
    pub cause: Option<Cause>,
    /// Other stations whose half-breadth may be the wrong one instead, most likely first.
    pub rivals: Vec<Length>,
}

/// Two neighbouring half-breadths in each other's place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExchangedPair {
    /// The number of the first among the side's stations.
    pub index: usize,
    /// Their stations.
    pub stations: [Length; 2],
    /// Their half-breadths as written.
    pub breadths: [Length; 2],
}

/// How the sides differ at one station.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideDifference {
    /// The station.
    pub station: Length,
    /// Half-breadth to starboard; from the fair curve where none was measured here.
    pub starboard: Length,
    /// Half-breadth to port likewise.
    pub port: Length,
    /// The entry, of the side that has one.
    pub place: Place,
}

impl SideDifference {
    /// Port less starboard.
    #[must_use]
    pub fn port_over_starboard(&self) -> Length {
        self.port - self.starboard
    }

    /// Half way between the sides.
    #[must_use]
    pub fn average(&self) -> HalfBreadth {
        let breadth = f64::midpoint(self.starboard.to_mm(), self.port.to_mm());
        HalfBreadth {
            station: self.station,
            breadth: Length::mm(breadth),
        }
    }
}

impl Fairness {
    /// The one table that two sides measured apart became; none where both stay as they are, or were one all along.
    #[must_use]
    pub fn made_one(&self) -> Option<Vec<HalfBreadth>> {
        let name = match self.made? {
            Sides::Both => return None,
            Sides::Average => {
                return Some(
                    self.differences
                        .iter()
                        .map(SideDifference::average)
                        .collect(),
                );
            }
            Sides::Port => "port",
            Sides::Starboard => "starboard",
        };
        let side = self.sides.iter().find(|side| side.side == Some(name))?;
        let stations = side.stations.iter();
        Some(
            stations
                .map(|one| HalfBreadth {
                    station: one.station,
                    breadth: one.breadth,
                })
                .collect(),
        )
    }
}

/// Judges one side, and says what it finds.
pub(super) fn of_side(
    table: &HalfBreadths,
    name: Option<&'static str>,
    entries: &[Entry],
    side: &Side,
    findings: &mut Findings<'_>,
) -> SideFairness {
    let unit = findings.units();
    let rounding = rounding(entries, unit);
    let noise = (rounding * rounding / 12.0 + table.precision.to_mm().powi(2))
        .sqrt()
        .max(0.01);
    let mut judged = SideFairness {
        side: name,
        stations: entries
            .iter()
            .map(|entry| JudgedStation {
                station: Length::mm(entry.at.x),
                breadth: Length::mm(entry.at.y),
                place: entry.place,
                limit: None,
            })
            .collect(),
        bumps: Vec::new(),
        exchanged: Vec::new(),
        curvature: Vec::new(),
        rounding: Length::mm(rounding),
        deviation: Length::mm(noise),
    };
    for stretch in &side.stretches {
        let points: Vec<Point> = entries[stretch.from..=stretch.to]
            .iter()
            .map(|entry| entry.at)
            .collect();
        if let Some(curve) = &stretch.curve {
            judged.curvature.push(Curvature::of(curve, &points, noise));
        }
        let is_round = |end, entry: usize| end == End::Round && entries[entry].at.y == 0.0;
        let stands_on_end = (stretch.from == 0 && is_round(table.forward, 0))
            || (stretch.to == entries.len() - 1 && is_round(table.aft, stretch.to));
        if findings.scrutiny == Scrutiny::Full {
            judged.judge_stretch(stretch.from, &points, stands_on_end, noise, unit);
        }
    }
    judged.say(findings);
    judged
}

impl SideFairness {
    /// Whether no station could be judged: too few of them between ends and knuckles.
    #[must_use]
    pub fn is_too_short(&self) -> bool {
        self.stations.iter().all(|station| station.limit.is_none())
    }

    /// Where it bends most, either way; none where it is straight.
    #[must_use]
    pub fn sharpest(&self) -> Option<CurvaturePoint> {
        self.curvature
            .iter()
            .flat_map(|stretch| [stretch.most, stretch.least])
            .filter(|point| point.curvature.abs() > STRAIGHT)
            .max_by(|one, other| one.curvature.abs().total_cmp(&other.curvature.abs()))
    }

    /// Where it changes from bulging to hollow or back, forward to aft.
    pub fn inflections(&self) -> impl Iterator<Item = Point> + '_ {
        let stretches = self.curvature.iter();
        stretches.flat_map(|stretch| stretch.inflections.iter().copied())
    }

    /// The fewest stations between ends and knuckles that can be judged; of fewer, plain slips are named and nothing else.
    pub const FEWEST: usize = SURE;

    fn judge_stretch(
        &mut self,
        from: usize,
        points: &[Point],
        stands_on_end: bool,
        noise: f64,
        unit: LengthUnit,
    ) {
        let line = bump::Line {
            noise,
            stands_on_end,
        };
        let Some(mut judged) = bump::judge(&readings(points), line) else {
            return;
        };
        let is_sure = points.len() >= SURE;
        if is_sure {
            for (station, limit) in self.stations[from..].iter_mut().zip(&judged.limits) {
                station.limit = limit.map(Length::mm);
            }
        }
        let elsewhere = at_another_station(points, &mut judged, line, unit);
        for suspect in judged.suspects {
            match suspect {
                Suspect::Off(off) => {
                    let limit = judged.limits[off.index].unwrap_or(noise);
                    let cause = slip::behind(points, &off, unit).or_else(|| {
                        elsewhere
                            .filter(|(index, _)| *index == off.index)
                            .map(|(_, cause)| cause)
                    });
                    if cause.is_none() && !is_sure {
                        continue;
                    }
                    self.bumps.push(Bump {
                        index: from + off.index,
                        station: Length::mm(points[off.index].x),
                        breadth: Length::mm(points[off.index].y),
                        passes: Length::mm(-off.error),
                        deviation: Length::mm(off.deviation),
                        limit: Length::mm(limit),
                        cause,
                        rivals: off
                            .rivals
                            .iter()
                            .map(|rival| Length::mm(points[*rival].x))
                            .collect(),
                    });
                }
                Suspect::Exchanged(pair) => {
                    let [one, other] = [points[pair.index], points[pair.index + 1]];
                    self.exchanged.push(ExchangedPair {
                        index: from + pair.index,
                        stations: [Length::mm(one.x), Length::mm(other.x)],
                        breadths: [Length::mm(one.y), Length::mm(other.y)],
                    });
                }
            }
        }
    }

    /// Where this side's entries lie on the deck.
    fn on_deck(&self, station: Length, breadth: Length) -> Point {
        let outward = if self.side == Some("port") { -1.0 } else { 1.0 };
        Point::new(station.to_mm(), outward * breadth.to_mm())
    }

    fn say(&self, findings: &mut Findings<'_>) {
        let to_side = self
            .side
            .map_or_else(String::new, |side| format!(" to {side}"));
        for bump in &self.bumps {
            let spoken = |length: Length| findings.spoken(length.to_mm());
            // What is estimated is no better than a millimetre.
            let about = |length: Length| findings.spoken(length.to_mm().round());
            let further = if bump.passes > Length::ZERO {
                "out"
            } else {
                "in"
            };
            let mut message = format!(
                "the half-breadth{to_side} at station {} is not fair with the others: a batten through them would pass {} \
                 further {further}, at {}",
                spoken(bump.station),
                about(bump.passes.max(-bump.passes)),
                about(bump.breadth + bump.passes),
            );
            message.push_str(&match &bump.cause {
                Some(cause) => format!("; {}", cause.in_words(findings.units())),
                None => format!(
                    "; up to {} would be rounding and reading. Measure it again, or add a knuckle where the side has a corner",
                    about(bump.limit)
                ),
            });
            if bump.cause.is_none()
                && let Some(rival) = bump.rivals.first()
            {
                message.push_str(&format!(
                    "; the one at station {} may be the wrong one instead",
                    spoken(*rival)
                ));
            }
            findings.warn(
                "unfair-half-breadth",
                message,
                self.stations[bump.index].place,
                self.on_deck(bump.station, bump.breadth),
            );
        }
        for pair in &self.exchanged {
            let [one, other] = pair
                .stations
                .map(|station| findings.spoken(station.to_mm()));
            let [first, second] = pair
                .breadths
                .map(|breadth| findings.spoken(breadth.to_mm()));
            findings.warn(
                "exchanged-half-breadths",
                format!(
                    "the half-breadths{to_side} at stations {one} and {other} look exchanged: with {second} at the first and \
                     {first} at the second the side is fair"
                ),
                self.stations[pair.index].place,
                self.on_deck(pair.stations[0], pair.breadths[0]),
            );
        }
    }
}

fn readings(points: &[Point]) -> Vec<Reading> {
    points
        .iter()
        .map(|point| Reading {
            at: point.x,
            value: point.y,
            is_exact: point.y == 0.0,
        })
        .collect()
}

/// Whether one of the suspects is a right half-breadth at the wrong station: with it moved to where a slip would have it,
/// less is wrong than before, and nothing with it. What else is still wrong then is left in `judged`.
fn at_another_station(
    points: &[Point],
    judged: &mut Judged,
    line: bump::Line,
    unit: LengthUnit,
) -> Option<(usize, Cause)> {
    let off = judged.suspects.iter().find_map(|suspect| match suspect {
        Suspect::Off(off) if slip::behind(points, off, unit).is_none() => Some(off.clone()),
        _ => None,
    })?;
    let (station, better) = slip::other_stations(points, off.index, unit)
        .into_iter()
        .find_map(|station| {
            let mut moved = points.to_vec();
            moved[off.index].x = station;
            let better = bump::judge(&readings(&moved), line)?;
            let is_cleared = better.suspects.len() < judged.suspects.len()
                && better
                    .suspects
                    .iter()
                    .all(|suspect| suspect.index() != off.index);
            is_cleared.then_some((station, better))
        })?;
    judged.suspects = better.suspects;
    let right = Length::mm(station);
    let cause = Cause::Station { right };
    let index = off.index;
    judged.suspects.insert(0, Suspect::Off(off));
    Some((index, cause))
}

/// How the sides differ; says where most, if that is much.
pub(super) fn differences(
    sides: [(&[Entry], &Side); 2],
    made: Sides,
    deviation: f64,
    findings: &mut Findings<'_>,
) -> Vec<SideDifference> {
    let all = super::half_breadths::at_all_stations(sides);
    let worst = all.iter().max_by(|one, other| {
        let size = |one: &SideDifference| one.port_over_starboard().to_mm().abs();
        size(one).total_cmp(&size(other))
    });
    if let Some(worst) = worst {
        let apart = worst.port_over_starboard().to_mm();
        // Three standard deviations of a difference of two.
        if apart.abs() > SEEN.max(3.0 * deviation * std::f64::consts::SQRT_2) {
            let (wider, half) = if apart > 0.0 {
                ("port", apart / 2.0)
            } else {
                ("starboard", -apart / 2.0)
            };
            let becomes = match made {
                Sides::Both => "the deck is laid out as it is, one side wider".to_owned(),
                Sides::Average => format!(
                    "their average is taken, so that the pattern stands {} off the edge's own place on either side",
                    findings.spoken(half)
                ),
                Sides::Port => format!(
                    "the port side is taken for both, so that to starboard the edge lies {} off",
                    findings.spoken(half * 2.0)
                ),
                Sides::Starboard => format!(
                    "the starboard side is taken for both, so that to port the edge lies {} off",
                    findings.spoken(half * 2.0)
                ),
            };
            findings.warn(
                "sides-differ",
                format!(
                    "the {wider} side is {} wider at station {}, the most anywhere; {becomes}. Check the string along the \
                     centreline, then choose with `sides`",
                    findings.spoken(apart.abs()),
                    findings.spoken(worst.station.to_mm())
                ),
                worst.place,
                Point::new(worst.station.to_mm(), 0.0),
            );
        }
    }
    all
}

/// The largest usual step of a tape that every half-breadth is a multiple of; 0 where there is none.
fn rounding(entries: &[Entry], unit: LengthUnit) -> f64 {
    const METRIC: [f64; 6] = [20.0, 10.0, 5.0, 2.0, 1.0, 0.5];
    // Halves to thirty-seconds, and the decimals that some write.
    const INCHES: [f64; 9] = [1.0, 0.5, 0.25, 0.125, 0.1, 0.0625, 0.05, 0.03125, 0.01];
    let steps = if unit.is_imperial() {
        INCHES.map(|step| LengthUnit::Inch.in_mm() * step).to_vec()
    } else {
        METRIC.to_vec()
    };
    let is_whole = |step: f64| {
        entries.iter().all(|entry| {
            let share = entry.at.y / step;
            (share - share.round()).abs() < 1e-6
        })
    };
    steps
        .into_iter()
        .find(|step| is_whole(*step))
        .unwrap_or(0.0)
}
