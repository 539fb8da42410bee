//! A camber from heights measured here and there: the parabola that fits them best, by least squares.
//!
//! The form is stated: height = level + slope (x - m) + bend (x - m)² / 2 + list y - fall y², x the station, m the
//! middle of the stations measured, y the distance from the centreline. Of a deck whose sheer is given the sheer's
//! heights are taken off first, and slope and bend left out. The list is the boat's while she was measured and no
//! part of the deck's shape. A term that the places measured cannot tell is left out.

use nalgebra::{DMatrix, DVector};

use super::camber::Camber;
use super::sheer::{Parabola, Sheer};
use crate::layout::{Place, Placed, SpotHeight, SpotHeights};
use crate::shape::Point;
use crate::units::Length;

/// Stations and distances nearer than this are one, millimetres.
const SAME: f64 = 1e-6;
/// Singular values smaller than this share of the largest say nothing.
const TELLING: f64 = 1e-7;
/// A height is a slip where chance would put the worst of so many this far off once in so many times.
const CHANCE: f64 = 0.05;
/// Nobody measures heights to better than this, millimetres: half a division of the rule.
const FINEST: f64 = 0.5;
/// A height nearer to the curve through the others than this, millimetres, is no slip.
const NO_SLIP: f64 = 3.0;

/// How a camber was found from heights.
#[derive(Debug, Clone, PartialEq)]
pub struct HeightFit {
    /// The heights in the file's order, with what each is off the curve.
    pub heights: Vec<FittedHeight>,
    /// Standard deviation of one height, from how far they lie off; none where there is no height to spare.
    pub deviation: Option<Length>,
    /// How much starboard lay higher than port while the deck was measured, a metre off the centreline to
    /// another; none where it could not be told.
    pub list_per_metre: Option<Length>,
    /// Whether slope and curve fore and aft were found along with the camber.
    pub with_sheer: bool,
    /// The height that looks like a slip.
    pub suspect: Option<Suspect>,
}

/// A height and what it is off the curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FittedHeight {
    /// Where.
    pub at: Point,
    /// As measured.
    pub height: Length,
    /// How far it lies above the curve.
    pub above: Length,
    /// Its entry.
    pub place: Place,
}

/// A height that looks like a slip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Suspect {
    /// Its number in [`HeightFit::heights`].
    pub index: usize,
    /// How far it stands above the curve through all others.
    pub above_the_others: Length,
    /// How far the others lie off that curve at most.
    pub others_within: Length,
}

impl HeightFit {
    /// The greatest distance of a height from the curve.
    #[must_use]
    pub fn furthest(&self) -> Length {
        let off = |height: &FittedHeight| Length::mm(height.above.to_mm().abs());
        self.heights.iter().map(off).fold(Length::ZERO, Length::max)
    }
}

/// What a term of the form stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Term {
    Level,
    Fall,
    Slope,
    List,
    Bend,
}

/// The scale and the middle of the places measured, so that all terms are of a size.
#[derive(Debug, Clone, Copy)]
struct Frame {
    middle: f64,
    along: f64,
    across: f64,
}

impl Frame {
    /// The terms' value at a place, in millimetres of height for a coefficient of 1.
    fn value(&self, term: Term, at: Point) -> f64 {
        let (x, y) = ((at.x - self.middle) / self.along, at.y / self.across);
        match term {
            Term::Level => 1.0,
            Term::Fall => -y * y,
            Term::Slope => x,
            Term::List => y,
            Term::Bend => x * x / 2.0,
        }
    }
}

/// The camber and, where the deck's sheer is not known, the sheer that fit the heights best; followed as far as
/// `reach` from the centreline. None where the heights tell no camber.
pub(super) fn fit(
    measured: &SpotHeights,
    sheer: &Sheer,
    reach: f64,
) -> Option<(Camber, Option<Sheer>, HeightFit)> {
    let list = &measured.heights;
    let ends = list
        .iter()
        .map(|height| height.value.at.x)
        .fold([f64::INFINITY, f64::NEG_INFINITY], |[least, most], x| {
            [least.min(x), most.max(x)]
        });
    let across = list
        .iter()
        .map(|height| height.value.at.y.abs())
        .fold(1.0, f64::max);
    let frame = Frame {
        middle: f64::midpoint(ends[0], ends[1]),
        along: ((ends[1] - ends[0]) / 2.0).max(1.0),
        across,
    };
    let heights: Vec<f64> = list
        .iter()
        .map(|height| height.value.height.to_mm() - sheer.height(height.value.at.x))
        .collect();
    let terms = terms(list, *sheer == Sheer::Level);
    let solved = Solved::of(list, &heights, &terms, frame)?;
    let coefficient = |term: Term| {
        let index = terms.iter().position(|one| *one == term);
        index.map(|index| solved.coefficients[index])
    };
    let fall = coefficient(Term::Fall)? / (across * across);
    let slope = coefficient(Term::Slope).map(|slope| slope / frame.along);
    let fore_and_aft = slope.map(|slope| {
        Sheer::Fitted(Parabola {
            middle: frame.middle,
            slope,
            bend: coefficient(Term::Bend).unwrap_or(0.0) / (frame.along * frame.along),
            ends,
        })
    });
    let fit = HeightFit {
        heights: list
            .iter()
            .zip(&solved.above)
            .map(|(height, above)| FittedHeight {
                at: height.value.at,
                height: height.value.height,
                above: Length::mm(*above),
                place: height.place,
            })
            .collect(),
        deviation: solved.deviation().map(Length::mm),
        list_per_metre: coefficient(Term::List).map(|list| Length::mm(list / across * 1000.0)),
        with_sheer: fore_and_aft.is_some(),
        suspect: solved.suspect(list, &heights, &terms, frame),
    };
    Some((Camber::parabola(fall, reach), fore_and_aft, fit))
}

/// The terms that the places measured can tell.
fn terms(list: &[Placed<SpotHeight>], with_sheer: bool) -> Vec<Term> {
    let mut terms = vec![Term::Level, Term::Fall];
    let mut stations: Vec<f64> = list.iter().map(|height| height.value.at.x).collect();
    stations.sort_by(f64::total_cmp);
    stations.dedup_by(|b, a| *b - *a <= SAME);
    let reaches = |side: f64| list.iter().any(|height| height.value.at.y * side > SAME);
    let wanted = [
        (Term::Slope, with_sheer && stations.len() >= 2),
        (Term::List, reaches(1.0) && reaches(-1.0)),
        (Term::Bend, with_sheer && stations.len() >= 3),
    ];
    for (term, is_told) in wanted {
        if is_told && terms.len() < list.len() {
            terms.push(term);
        }
    }
    terms
}

/// A least-squares solution.
struct Solved {
    coefficients: Vec<f64>,
    /// What each height lies above the curve, millimetres.
    above: Vec<f64>,
    /// How much each height pulls the curve its own way, 0 to 1.
    pull: Vec<f64>,
}

impl Solved {
    fn of(
        list: &[Placed<SpotHeight>],
        heights: &[f64],
        terms: &[Term],
        frame: Frame,
    ) -> Option<Self> {
        let rows = DMatrix::from_fn(list.len(), terms.len(), |row, column| {
            frame.value(terms[column], list[row].value.at)
        });
        let wanted = DVector::from_column_slice(heights);
        let parts = rows.clone().svd(true, true);
        let largest = parts.singular_values.max();
        if parts
            .singular_values
            .min()
            .partial_cmp(&(TELLING * largest))
            != Some(std::cmp::Ordering::Greater)
        {
            return None;
        }
        let found = parts.solve(&wanted, 0.0).ok()?;
        let above = &wanted - &rows * &found;
        let directions = parts.u?;
        let pull = directions
            .row_iter()
            .map(|row| row.iter().map(|one| one * one).sum())
            .collect();
        Some(Self {
            coefficients: found.iter().copied().collect(),
            above: above.iter().copied().collect(),
            pull,
        })
    }

    fn to_spare(&self) -> usize {
        self.above.len().saturating_sub(self.coefficients.len())
    }

    fn squares(&self) -> f64 {
        self.above.iter().map(|above| above * above).sum()
    }

    fn deviation(&self) -> Option<f64> {
        let spare = self.to_spare();
        (spare > 0).then(|| (self.squares() / count(spare)).sqrt())
    }

    /// The height that stands further from the curve through the others than chance would have it: the externally
    /// studentised residual (R. D. Cook and S. Weisberg, "Residuals and Influence in Regression", 1982, ch. 2; from
    /// memory) against Student's t, shared out over all heights.
    fn suspect(
        &self,
        list: &[Placed<SpotHeight>],
        heights: &[f64],
        terms: &[Term],
        frame: Frame,
    ) -> Option<Suspect> {
        let spare = self.to_spare();
        if spare < 2 {
            return None;
        }
        let judged = |index: usize| {
            let free = 1.0 - self.pull[index];
            if free < 1e-6 {
                return 0.0;
            }
            let square = self.above[index] * self.above[index] / free;
            let others = ((self.squares() - square).max(0.0) / count(spare - 1)).sqrt();
            square.sqrt() / others.max(FINEST)
        };
        let worst = (0..list.len()).max_by(|a, b| judged(*a).total_cmp(&judged(*b)))?;
        let above = self.above[worst] / (1.0 - self.pull[worst]);
        let by_chance = chance(judged(worst), spare - 1) * count(list.len());
        if by_chance > CHANCE || above.abs() < NO_SLIP {
            return None;
        }
        let without = |index: &usize| *index != worst;
        let others: Vec<usize> = (0..list.len()).filter(without).collect();
        let places: Vec<_> = others.iter().map(|index| list[*index].clone()).collect();
        let rest: Vec<f64> = others.iter().map(|index| heights[*index]).collect();
        let solved = Self::of(&places, &rest, terms, frame)?;
        let within = solved.above.iter().map(|above| above.abs());
        Some(Suspect {
            index: worst,
            above_the_others: Length::mm(above),
            others_within: Length::mm(within.fold(0.0, f64::max)),
        })
    }
}

/// How often chance puts Student's t with so many degrees of freedom this far from 0 or further: Abramowitz and
/// Stegun, "Handbook of Mathematical Functions", 26.7.3 and 26.7.4; from memory.
fn chance(t: f64, freedom: usize) -> f64 {
    let (sin, cos) = (t / count(freedom).sqrt()).atan().sin_cos();
    let is_odd = freedom % 2 == 1;
    let mut term = if is_odd { cos } else { 1.0 };
    let mut sum = 0.0;
    // The numbers below the fraction's line: 3, 5, ... where the freedom is odd, else 2, 4, ...
    let mut below = if is_odd { 3 } else { 2 };
    while below <= freedom {
        sum += term;
        term *= cos * cos * count(below - 1) / count(below);
        below += 2;
    }
    let within = if is_odd {
        let angle = (t / count(freedom).sqrt()).atan();
        (angle + sin * sum) * std::f64::consts::FRAC_2_PI
    } else {
        sin * sum
    };
    1.0 - within
}

#[expect(
    clippy::cast_precision_loss,
    reason = "counts of measurements are small"
)]
const fn count(number: usize) -> f64 {
    number as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Student's t at 5 %, two-sided: 12.706, 4.303, 3.182, 2.228, 2.042 for 1, 2, 3, 10, 30 degrees of freedom, as in
    /// any printed table; from memory.
    #[test]
    fn chance_agrees_with_the_printed_table_of_students_t() {
        for (freedom, t) in [
            (1, 12.706),
            (2, 4.303),
            (3, 3.182),
            (10, 2.228),
            (30, 2.042),
        ] {
            assert!((chance(t, freedom) - 0.05).abs() < 1e-4, "{freedom}");
        }
    }
}
