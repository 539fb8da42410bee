//! Which slip would explain a half-breadth that disagrees with the others: one of the tape's great steps, two digits
//! swapped as it was written down, or the right half-breadth at the wrong station.

use crate::adjust::bump::Off;
use crate::shape::Point;
use crate::units::{Length, LengthUnit};

/// A slip explains an error where what it leaves is within so many standard deviations ...
const NEAR: f64 = 2.6;
/// ... and is so many times smaller than the error.
const PLAIN: f64 = 4.0;

/// The slip that would explain an unfair half-breadth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cause {
    /// It was read or written so much too great; negative: too small.
    OffBy {
        /// The step of the tape.
        step: Length,
        /// The half-breadth without it.
        right: Length,
    },
    /// Two digits were swapped.
    DigitsSwapped {
        /// The half-breadth with them swapped back.
        right: Length,
    },
    /// It was measured at another station.
    Station {
        /// That station.
        right: Length,
    },
}

impl Cause {
    pub(super) fn in_words(&self, unit: LengthUnit) -> String {
        match self {
            Self::OffBy { step, right } => {
                let (amount, way) = if *step > Length::ZERO {
                    (*step, "much")
                } else {
                    (-*step, "little")
                };
                format!(
                    "it looks {} too {way}, a slip in reading the tape: {} would lie fair",
                    amount.show(unit),
                    right.show(unit)
                )
            }
            Self::DigitsSwapped { right } => format!(
                "it looks as if two digits were swapped: {} would lie fair",
                right.show(unit)
            ),
            Self::Station { right } => format!(
                "it looks as if the station is wrong: at station {} it would lie fair",
                right.show(unit)
            ),
        }
    }
}

/// The slip in reading or writing the half-breadth of one of `points`.
pub(super) fn behind(points: &[Point], off: &Off, unit: LengthUnit) -> Option<Cause> {
    let point = points[off.index];
    let fits = |left: f64, deviation: f64| {
        left.abs() <= NEAR * deviation && left.abs() * PLAIN <= off.error.abs()
    };
    let steps = steps(unit).iter().map(|step| {
        let step = step.copysign(off.error);
        let right = point.y - step;
        let cause = Cause::OffBy {
            step: Length::mm(step),
            right: Length::mm(right),
        };
        (right, cause)
    });
    let swaps = swapped(point.y, unit).into_iter().map(|right| {
        let cause = Cause::DigitsSwapped {
            right: Length::mm(right),
        };
        (right, cause)
    });
    let of_breadth = steps
        .chain(swaps)
        .map(|(right, cause)| ((right - off.expected).abs(), cause))
        .filter(|(left, _)| fits(*left, off.deviation))
        .min_by(|one, other| one.0.total_cmp(&other.0));
    of_breadth.map(|(_, cause)| cause)
}

/// Stations that one of `points` may have been measured at instead, between its neighbours: by a slip of the tape or of the pen.
pub(super) fn other_stations(points: &[Point], index: usize, unit: LengthUnit) -> Vec<f64> {
    let before = index.checked_sub(1).map(|before| points[before].x);
    let after = points.get(index + 1).map(|after| after.x);
    let at = points[index].x;
    [1.0, -1.0]
        .into_iter()
        .flat_map(|way| steps(unit).iter().map(move |step| at + way * step))
        .chain(swapped(at, unit))
        .filter(|station| before.is_some_and(|before| before < *station))
        .filter(|station| after.is_some_and(|after| *station < after))
        .collect()
}

/// The great steps of a tape, mm.
const fn steps(unit: LengthUnit) -> &'static [f64] {
    if unit.is_imperial() {
        &[304.8, 25.4]
    } else {
        &[1000.0, 100.0, 10.0]
    }
}

/// What a length may have been before two neighbouring digits were swapped as it was written in `unit`, mm; where that is feet or
/// inches, its feet and its inches too.
fn swapped(mm: f64, unit: LengthUnit) -> Vec<f64> {
    let written = format!("{}", (Length::mm(mm).to(unit) * 1e6).round() / 1e6);
    let mut found = Vec::new();
    let signs: Vec<char> = written.chars().collect();
    let digits: Vec<usize> = (0..signs.len())
        .filter(|place| signs[*place].is_ascii_digit())
        .collect();
    for pair in digits.windows(2) {
        let mut other = signs.clone();
        other.swap(pair[0], pair[1]);
        let other: String = other.into_iter().collect();
        if let Ok(number) = other.parse::<f64>()
            && other != written
        {
            found.push(Length::of(number, unit).to_mm());
        }
    }
    if unit.is_imperial() {
        let inches = Length::mm(mm).to(LengthUnit::Inch);
        let (feet, rest) = ((inches / 12.0).floor(), inches.rem_euclid(12.0));
        let other = rest.floor() * 12.0 + feet + rest.fract();
        found.push(Length::of(other, LengthUnit::Inch).to_mm());
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_are_swapped_as_they_were_written() {
        assert_eq!(
            swapped(1240.0, LengthUnit::Millimetre),
            [2140.0, 1420.0, 1204.0]
        );
        let metres = swapped(1240.0, LengthUnit::Metre);
        assert!(metres.iter().any(|mm| (mm - 2140.0).abs() < 1e-9));
        // 1′ 2″ taken for 2′ 1″.
        let feet = swapped(14.0 * 25.4, LengthUnit::Inch);
        assert!(feet.iter().any(|mm| (mm - 25.0 * 25.4).abs() < 1e-9));
    }
}
