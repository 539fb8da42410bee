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
//! Both crossings of the circles, with the base line from the first mark to the second along x and c its length:
//! x = (r₁² - r₂² + c²) / 2c, y = ±√(r₁² - x²).

use crate::shape::Point;
use crate::units::{Length, LengthUnit};

use super::Mark;
use super::tape;

/// Above this the best pair of marks is worth a word: a tape read 1 mm wrong moves the point 3 mm.
pub const POOR: f64 = 3.0;
/// Above this no pair fixes the point: the circles all but touch, and do not cross at all when a tape is misread.
const HOPELESS: f64 = 20.0;
/// A tie shorter than this has no direction to speak of, millimetres.
const SHORTEST: f64 = 20.0;

/// Two ties to a point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ties {
    /// The marks they are measured from, by their number.
    pub marks: [usize; 2],
    /// The distances in plan, as the tape shows them.
    pub lengths: [Length; 2],
    /// The distances with the tape on the deck, where it has camber or sheer.
    pub on_deck: Option<[Length; 2]>,
    /// Whether the point lies on the left of the line from the first mark to the second, seen from above.
    pub is_left: bool,
    /// The most that the point moves for each millimetre that both ties are off.
    pub sensitivity: f64,
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
    let (sine, cosine) = (u.cross(v).abs(), u.dot(v).abs());
    // sin(γ/2), from both so that neither end of the scale loses figures.
    let half = (sine.atan2(cosine) / 2.0).sin();
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

/// The two ties that fix a point best, in plan; none where no pair of marks does.
pub(super) fn best(point: Point, marks: &[Mark], units: LengthUnit) -> Option<Ties> {
    let mut best: Option<Ties> = None;
    for (first, one) in marks.iter().enumerate() {
        for (second, other) in marks.iter().enumerate().skip(first + 1) {
            let value = sensitivity(point, [one.at, other.at]);
            let better = best.is_none_or(|best| value < best.sensitivity - 1e-9);
            if value > HOPELESS || !better {
                continue;
            }
            best = Some(Ties {
                marks: [first, second],
                lengths: [one, other]
                    .map(|mark| tape::rounded(Length::mm(point.distance(mark.at)), units)),
                on_deck: None,
                is_left: (other.at - one.at).cross(point - one.at) > 0.0,
                sensitivity: value,
            });
        }
    }
    best
}
