//! What there is to measure on a deck: at which stations its half-breadths, between which marks and points the ties, which
//! openings and fittings. Comes in: the size of a deck nobody has measured, or a layout and its decks to be measured again.
//! Goes out: a [`Measuring`], a list of blanks to fill in on deck. It holds no figure that is to be measured, so that the
//! second reading is not the first one's echo.

use std::f64::consts::PI;

use super::DeckPlan;
use crate::layout::{Known, Layout, Outline};
use crate::shape::{BoundingBox, Point, Ring};
use crate::units::{Length, LengthUnit};

/// Least and most stations that are proposed; eight at least let a bump be told from a fair edge.
const FEWEST_STATIONS: usize = 12;
const MOST_PROPOSED: usize = 40;
/// About how far apart stations are proposed.
const APART: f64 = 300.0;
/// The most stations, marks or points on one sheet.
pub const MOST_ROWS: i64 = 400;

/// Everything to be measured for one layout.
#[derive(Debug, Clone, PartialEq)]
pub struct Measuring {
    /// What the job is called.
    pub title: String,
    /// The unit that every figure is written in.
    pub units: LengthUnit,
    /// Names of marks, from which ties are measured.
    pub marks: Vec<String>,
    /// Names of points that ties fix.
    pub points: Vec<String>,
    /// The decks.
    pub decks: Vec<ToMeasure>,
}

/// What is to be measured on one deck.
#[derive(Debug, Clone, PartialEq)]
pub struct ToMeasure {
    /// What it is called; empty where it is the only one and has no name yet.
    pub title: String,
    /// The box round it, roughly.
    pub extent: BoundingBox,
    /// Where half-breadths are measured, forward to aft.
    pub stations: Vec<Length>,
    /// Names of openings.
    pub openings: Vec<String>,
    /// Names of fittings.
    pub fittings: Vec<String>,
    /// Its edge and what stands on it, as far as a layout knows them: to see which is which.
    pub known: Vec<Ring>,
}

/// How much a blank sheet has room for; nothing said: as much as the size of the deck asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Counts {
    /// Stations on each deck.
    pub stations: Option<usize>,
    /// Marks.
    pub marks: Option<usize>,
    /// Points.
    pub points: Option<usize>,
}

impl Measuring {
    /// For a deck of about this length and beam, of which nothing is known yet.
    #[must_use]
    pub fn of_size(
        title: &str,
        length: Length,
        beam: Length,
        units: LengthUnit,
        counts: Counts,
    ) -> Self {
        let stations = counts.stations.unwrap_or_else(|| proposed(length));
        Self {
            title: title.to_owned(),
            units,
            marks: letters(counts.marks.unwrap_or(5)),
            points: numbers(counts.points.unwrap_or(stations)),
            decks: vec![ToMeasure {
                title: String::new(),
                extent: BoundingBox {
                    least: Point::new(0.0, -beam.to_mm() / 2.0),
                    greatest: Point::new(length.to_mm(), beam.to_mm() / 2.0),
                },
                stations: stations_along(Length::ZERO, length, stations, units),
                openings: Vec::new(),
                fittings: Vec::new(),
                known: Vec::new(),
            }],
        }
    }

    /// For decks of a layout, to be measured again: at the stations, marks and points that it names.
    #[must_use]
    pub fn again(layout: &Layout, plans: &[&DeckPlan], counts: Counts) -> Self {
        let (mut marks, mut points) = (Vec::new(), Vec::new());
        for point in layout.survey.iter().flat_map(|survey| &survey.points) {
            match point.known {
                Known::At(_) | Known::Centreline => marks.push(point.name.value.clone()),
                Known::Nothing | Known::Side(_) | Known::Near(_) => {
                    points.push(point.name.value.clone());
                }
            }
        }
        let decks: Vec<ToMeasure> = plans
            .iter()
            .map(|plan| deck_again(layout, plan, counts))
            .collect();
        if marks.is_empty() {
            marks = letters(5);
        }
        if points.is_empty() {
            let most = decks.iter().map(|deck| deck.stations.len()).max();
            points = numbers(most.unwrap_or(FEWEST_STATIONS));
        }
        lengthen(&mut marks, counts.marks, letter);
        lengthen(&mut points, counts.points, |number| {
            (number + 1).to_string()
        });
        Self {
            title: layout.title.clone(),
            units: layout.units,
            marks,
            points,
            decks,
        }
    }
}

impl ToMeasure {
    /// Whether the whole of it lies to one side of the centreline.
    #[must_use]
    pub fn is_to_one_side(&self) -> bool {
        self.extent.least.y >= 0.0 || self.extent.greatest.y <= 0.0
    }
}

fn deck_again(layout: &Layout, plan: &DeckPlan, counts: Counts) -> ToMeasure {
    let ring = &plan.outline.ring;
    let extent = ring.bounding_box();
    let (foremost, length) = (Length::mm(extent.least.x), Length::mm(extent.width()));
    let measured = layout
        .decks
        .iter()
        .find(|deck| deck.id.value == plan.id)
        .map_or_else(Vec::new, |deck| match &deck.outline {
            Outline::HalfBreadths(table) => {
                let both = table.points.iter().chain(&table.port);
                let mut stations: Vec<f64> =
                    both.map(|point| point.value.station.to_mm()).collect();
                stations.sort_by(f64::total_cmp);
                stations.dedup();
                stations.into_iter().map(Length::mm).collect()
            }
            Outline::Points(_) | Outline::Drawn(_) => Vec::new(),
        });
    let stations = match counts.stations {
        None if !measured.is_empty() => measured,
        asked => {
            let count = asked.unwrap_or_else(|| proposed(length));
            stations_along(foremost, length, count, plan.units)
        }
    };
    let names = |placements: &[super::Placement]| {
        let originals = placements.iter().filter(|one| !one.is_mirror_image);
        let mut names: Vec<String> = originals.map(|one| one.name.clone()).collect();
        names.dedup();
        names
    };
    let standing = plan.openings.iter().chain(&plan.fittings);
    let mut known = vec![ring.clone()];
    known.extend(standing.map(|one| one.ring.clone()));
    ToMeasure {
        title: plan.title.clone(),
        extent,
        stations,
        openings: names(&plan.openings),
        fittings: names(&plan.fittings),
        known,
    }
}

/// How many stations a deck of this length asks for.
fn proposed(length: Length) -> usize {
    (FEWEST_STATIONS..MOST_PROPOSED)
        .find(|count| *count as f64 * APART >= length.to_mm())
        .unwrap_or(MOST_PROPOSED)
}

/// `count` stations over a length, closer together towards both ends where an edge turns fast: half way between equal
/// steps and the abscissae of a half circle's equal arcs. Each but the last on a round figure, none twice.
fn stations_along(
    foremost: Length,
    length: Length,
    count: usize,
    units: LengthUnit,
) -> Vec<Length> {
    let steps = count.max(2) - 1;
    let round = rounding(length, steps, units);
    let mut stations = vec![foremost.to_mm()];
    for step in 1..steps {
        let share = step as f64 / steps as f64;
        let share = 0.5 * share + 0.25 * (1.0 - (PI * share).cos());
        let at = foremost.to_mm() + length.to_mm() * share;
        stations.push((at / round).round() * round);
    }
    stations.push(foremost.to_mm() + length.to_mm());
    stations.dedup_by(|next, last| *next <= *last);
    stations.into_iter().map(Length::mm).collect()
}

/// The coarsest round figure that leaves the stations apart: no more than half of the least step.
fn rounding(length: Length, steps: usize, units: LengthUnit) -> f64 {
    let least = length.to_mm() / steps as f64 / 4.0;
    let round: &[f64] = if units.is_imperial() {
        &[76.2, 25.4, 12.7, 6.35]
    } else {
        &[50.0, 20.0, 10.0, 5.0]
    };
    let fits = round.iter().copied().find(|round| *round <= least);
    fits.unwrap_or(if units.is_imperial() {
        25.4 / 16.0
    } else {
        1.0
    })
}

fn letters(count: usize) -> Vec<String> {
    (0..count).map(letter).collect()
}

fn numbers(count: usize) -> Vec<String> {
    (1..=count).map(|number| number.to_string()).collect()
}

/// A, B, ... Z, A2, B2, ...
fn letter(number: usize) -> String {
    let letter = char::from(b'A' + u8::try_from(number % 26).unwrap_or(0));
    match number / 26 {
        0 => letter.to_string(),
        round => format!("{letter}{}", round + 1),
    }
}

/// Adds new names until there are as many as asked for.
fn lengthen(names: &mut Vec<String>, most: Option<usize>, name: impl Fn(usize) -> String) {
    let Some(most) = most else { return };
    let mut number = 0;
    while names.len() < most {
        let new = name(number);
        if !names.contains(&new) {
            names.push(new);
        }
        number += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn in_mm(stations: &[Length]) -> Vec<f64> {
        stations.iter().map(|station| station.to_mm()).collect()
    }

    #[test]
    fn stations_stand_closer_at_the_ends_and_on_round_figures() {
        let stations = in_mm(&stations_along(
            Length::ZERO,
            Length::mm(3117.0),
            12,
            LengthUnit::Millimetre,
        ));
        assert_eq!(stations.len(), 12);
        assert_eq!((stations[0], stations[11]), (0.0, 3117.0));
        assert!(stations[1..11].iter().all(|station| station % 50.0 == 0.0));
        let steps: Vec<f64> = stations.windows(2).map(|pair| pair[1] - pair[0]).collect();
        assert!(
            steps[0] < 0.8 * steps[5] && steps[10] < 0.8 * steps[5],
            "{steps:?}"
        );
        assert!(steps.iter().all(|step| *step > 0.0));
    }

    #[test]
    fn however_many_stations_on_however_short_a_deck_none_stands_twice() {
        for (length, count) in [(80.0, 400), (1000.0, 2), (1e6, 400), (5.0, 7)] {
            for units in [LengthUnit::Millimetre, LengthUnit::Inch] {
                let stations = stations_along(Length::ZERO, Length::mm(length), count, units);
                let stations = in_mm(&stations);
                assert!(stations.windows(2).all(|pair| pair[0] < pair[1]));
                assert_eq!(stations.last(), Some(&length));
            }
        }
    }

    #[test]
    fn marks_have_letters_and_more_than_an_alphabet_of_them() {
        assert_eq!(letters(28)[24..], ["Y", "Z", "A2", "B2"]);
        let mut names = vec!["B".to_owned()];
        lengthen(&mut names, Some(3), letter);
        assert_eq!(names, ["B", "A", "C"]);
    }
}
