//! What slip would explain a gross error: a round number of units missed, or two digits swapped. Comes in: a length as
//! measured, its estimated error and that estimate's deviation. Goes out: the slip that fits, if one plainly does.

/// A slip in reading or writing a length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Slip {
    /// A whole step of the scale, mm: 10, 100 or 1,000, an inch or a foot.
    Step(f64),
    /// Two neighbouring digits swapped; so much is right, mm.
    Swapped(f64),
}

/// Steps that are missed on a scale, mm.
const STEPS: [f64; 5] = [10.0, 25.4, 100.0, 304.8, 1000.0];
/// How many deviations an estimate may be off a slip that explains it.
const NEAR: f64 = 2.5;
/// A slip explains something only where it is so many times larger than how well the error is known.
const PLAIN: f64 = 4.0;

/// The slip by which a `length` came to be wrong by `error` (positive: too long), known to `deviation`.
pub(super) fn behind(length: f64, error: f64, deviation: f64) -> Option<Slip> {
    let steps = STEPS
        .iter()
        .map(|step| (Slip::Step(*step), error.abs() - step, *step));
    let swaps = swapped(length).into_iter().map(|right| {
        (
            Slip::Swapped(right),
            length - right - error,
            (length - right).abs(),
        )
    });
    let mut fitting: Vec<(Slip, f64, f64)> = steps
        .chain(swaps)
        .map(|(slip, off, size)| (slip, off.abs(), size))
        .filter(|(_, off, size)| *off <= NEAR * deviation && *size >= PLAIN * deviation)
        .collect();
    fitting.sort_by(|a, b| a.1.total_cmp(&b.1));
    fitting.first().map(|(slip, ..)| *slip)
}

/// What a length in whole millimetres may have been before two of its neighbouring digits were swapped.
fn swapped(length: f64) -> Vec<f64> {
    let whole = length.round();
    if (length - whole).abs() > 1e-6 || !(10.0..1e7).contains(&whole) {
        return Vec::new();
    }
    let mut found = Vec::new();
    let mut unit = 1.0;
    while unit * 10.0 <= whole {
        let low = (whole / unit) % 10.0;
        let high = (whole / (unit * 10.0)) % 10.0;
        let (low, high) = (low.floor(), high.floor());
        if low != high {
            found.push(whole + (low - high) * unit * 9.0);
        }
        unit *= 10.0;
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_missed_hundred_is_a_step() {
        assert_eq!(behind(2345.5, 98.0, 4.0), Some(Slip::Step(100.0)));
        assert_eq!(behind(2345.5, -309.0, 4.0), Some(Slip::Step(304.8)));
    }

    #[test]
    fn swapped_digits_are_named_with_what_is_right() {
        // 2,435 for 2,345.
        assert_eq!(behind(2435.0, 89.0, 3.0), Some(Slip::Swapped(2345.0)));
        assert_eq!(swapped(1207.0), [1270.0, 1027.0, 2107.0]);
    }

    #[test]
    fn an_error_that_is_no_slip_has_none() {
        assert_eq!(behind(2345.5, 57.0, 3.0), None);
        // Ten is nothing where the error is only known to five.
        assert_eq!(behind(2345.5, 10.0, 5.0), None);
    }
}
