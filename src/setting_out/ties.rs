//! Two ties that fix a point, and how well they do.
//!
//! Let the ties be r₁ and r₂, and u₁, u₂ the unit vectors from the marks to the point P. To first order a small change of
//! the ties moves P by the vector v with u₁·v = δ₁ and u₂·v = δ₂, so
//!
//! ```text
//! |v|² = (δ₁² + δ₂² - 2 δ₁ δ₂ cos γ) / sin² γ,     γ the angle at which the two circles cross.
//! ```
//!
//! With both ties off by no more than δ that is greatest where |δ₁| = |δ₂| = δ with the signs that add up:
//! |v| = δ √(2 + 2|cos γ|) / sin γ = δ / sin(γ/2), γ the acute angle of the crossing. That is the sensitivity here:
//! √2 where the circles cross square, 3 at 39°. (Independent errors of standard deviation σ give √2 σ / sin γ, which is
//! never more.) The same two lines, solved for v, are the derivation; there is no source beyond them.
//!
//! A printed tie is rounded, so δ₁ and δ₂ of rounding are known for every pair of marks, and so is how far they move the
//! point. Of all sound pairs the one is taken that leaves it nearest when, on top of that, the tape is laid off to within
//! half of its step: rounding's own |v| and half a step times the sensitivity, together.
//!
//! Both crossings of the circles, with the base line from the first mark to the second along x and c its length:
//! x = (r₁² - r₂² + c²) / 2c, y = ±√(r₁² - x²).

use crate::shape::Point;
use crate::units::Length;

use super::Mark;
use super::ground::{Ground, SLACK};
use super::tape;

/// Ties that cross flatter than this, degrees, are not given. (Common practice, no source.)
pub const LEAST_CROSSING: f64 = 30.0;
/// Nor are ties that rounding to the tape alone makes miss by more than this, millimetres.
const MOST_ROUNDED: f64 = 1.5;
/// A tie shorter than this has no direction to speak of, millimetres.
const SHORTEST: f64 = 20.0;

/// A distance from a mark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tie {
    /// The mark, by its number.
    pub mark: usize,
    /// As the tape shows it: on the deck where it has camber or sheer.
    pub length: Length,
}

/// Two ties to a point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ties {
    /// The ties that fix it.
    pub pair: [Tie; 2],
    /// Whether the point lies on the left of the line from the first mark to the second, seen from above.
    pub is_left: bool,
    /// The most that the point moves for each millimetre that both ties are off.
    pub sensitivity: f64,
    /// How far the rounding of the two moves the point.
    pub rounding: Length,
    /// A tie from another mark, to check the point by, where there is one.
    pub third: Option<Tie>,
}

/// How much a point may move for each millimetre that both ties from `marks` are off; infinite where they do not fix it.
///
/// ```
/// use spile::setting_out::sensitivity;
/// use spile::shape::Point;
/// let marks = [Point::new(-1000.0, 0.0), Point::new(1000.0, 0.0)];
/// // Square: the diagonal of a millimetre's square.
/// let square = sensitivity(Point::new(0.0, 1000.0), marks);
/// assert!((square - 2.0_f64.sqrt()).abs() < 1e-12);
/// // On the line between the marks the circles only touch.
/// assert!(sensitivity(Point::new(300.0, 0.0), marks).is_infinite());
/// ```
#[must_use]
pub fn sensitivity(point: Point, marks: [Point; 2]) -> f64 {
    let [u, v] = marks.map(|mark| point - mark);
    if u.length() < SHORTEST || v.length() < SHORTEST {
        return f64::INFINITY;
    }
    let (u, v) = (u.unit(), v.unit());
    of_crossing([u.cross(v).abs(), u.dot(v)])
}

fn of_crossing([sine, cosine]: [f64; 2]) -> f64 {
    // sin(γ/2), from both so that neither end of the scale loses figures.
    let half = (sine.atan2(cosine.abs()) / 2.0).sin();
    if half < 1e-9 {
        f64::INFINITY
    } else {
        1.0 / half
    }
}

/// Where two ties put a point: on that side of the line from the first mark to the second. None where the circles do not
/// meet.
///
/// ```
/// use spile::setting_out::crossing;
/// use spile::shape::Point;
/// use spile::units::Length;
/// // The 3-4-5 triangle.
/// let marks = [Point::new(0.0, 0.0), Point::new(400.0, 0.0)];
/// let at = crossing(marks, [300.0, 500.0].map(Length::mm), true).expect("they meet");
/// assert!(at.distance(Point::new(0.0, 300.0)) < 1e-9);
/// ```
#[must_use]
pub fn crossing(marks: [Point; 2], lengths: [Length; 2], is_left: bool) -> Option<Point> {
    let base = marks[1] - marks[0];
    let (c, [r, s]) = (base.length(), lengths.map(Length::to_mm));
    let along = (r * r - s * s + c * c) / (2.0 * c);
    let square = r * r - along * along;
    (c > 0.0 && square >= 0.0).then(|| {
        let unit = base.unit();
        let out = if is_left { unit.left() } else { -unit.left() };
        marks[0] + unit * along + out * square.sqrt()
    })
}

/// The two ties that fix a point best; none where no pair of marks is sound.
pub(super) fn best(point: Point, marks: &[Mark], ground: &Ground<'_>) -> Option<Ties> {
    let exact: Vec<f64> = marks
        .iter()
        .map(|mark| ground.distance(mark.at, point))
        .collect();
    let tie = |mark: usize| Tie {
        mark,
        length: tape::rounded(Length::mm(exact[mark]), ground.units),
    };
    let holds: Vec<bool> = marks
        .iter()
        .zip(&exact)
        .map(|(mark, exact)| *exact >= SHORTEST && ground.slack(mark.at, point) < SLACK)
        .collect();
    let half_a_step = tape::step(ground.units).to_mm() / 2.0;
    let least_sine = LEAST_CROSSING.to_radians().sin();
    let mut best: Option<(f64, Ties)> = None;
    for first in 0..marks.len() {
        for second in first + 1..marks.len() {
            let from = [marks[first].at, marks[second].at];
            let [sine, cosine] = ground.crossing(point, from);
            if !(holds[first] && holds[second]) || sine < least_sine {
                continue;
            }
            let pair = [tie(first), tie(second)];
            let [one, other] = pair.map(|tie| tie.length.to_mm() - exact[tie.mark]);
            let square = one * one + other * other - 2.0 * one * other * cosine;
            let rounding = square.max(0.0).sqrt() / sine;
            if rounding > MOST_ROUNDED {
                continue;
            }
            let sensitivity = of_crossing([sine, cosine]);
            let left = rounding + sensitivity * half_a_step;
            if best.is_none_or(|(least, _)| left < least - 1e-9) {
                let ties = Ties {
                    pair,
                    is_left: (from[1] - from[0]).cross(point - from[0]) > 0.0,
                    sensitivity,
                    rounding: Length::mm(rounding),
                    third: None,
                };
                best = Some((left, ties));
            }
        }
    }
    let (_, ties) = best?;
    // The third crosses both as squarely as can be.
    let mut third: Option<(f64, usize)> = None;
    for (number, mark) in marks.iter().enumerate() {
        if ties.pair.iter().any(|tie| tie.mark == number) || !holds[number] {
            continue;
        }
        let sines = ties
            .pair
            .map(|tie| ground.crossing(point, [marks[tie.mark].at, mark.at])[0]);
        let sine = sines[0].min(sines[1]);
        if third.is_none_or(|(most, _)| sine > most + 1e-9) {
            third = Some((sine, number));
        }
    }
    Some(Ties {
        third: third.map(|(_, number)| tie(number)),
        ..ties
    })
}
