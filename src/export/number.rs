//! The one way that drawings and cutters' files write numbers: comes in a number and how many decimals it may have; goes
//! out text that every reader takes.

use std::fmt::Write;

/// The same as a number, for formats that write numbers themselves.
pub(super) fn rounded(value: f64, decimals: usize) -> f64 {
    number(value, decimals).parse().unwrap_or(value)
}

/// A number with so many decimals at most, no trailing zeros, no minus zero, no exponent.
pub(super) fn number(value: f64, decimals: usize) -> String {
    let mut text = String::new();
    write_number(value, decimals, &mut text);
    text
}

/// The same, at the end of a text.
pub(super) fn write_number(value: f64, decimals: usize, out: &mut String) {
    let begin = out.len();
    // Writing to a String cannot fail.
    let _ = match whole_parts(value, decimals) {
        Some(scaled) => write_scaled(scaled, decimals, out),
        None => write!(out, "{value:.decimals$}"),
    };
    if decimals > 0 {
        let digits = out[begin..].trim_end_matches('0').trim_end_matches('.');
        out.truncate(begin + digits.len());
    }
    if &out[begin..] == "-0" {
        out.replace_range(begin.., "0");
    }
}

/// The number counted in units of its last decimal, where that is plain: a number of usual size, not as good as half way
/// between two. Then it is many times as quick to write.
fn whole_parts(value: f64, decimals: usize) -> Option<i64> {
    const POWERS: [f64; 7] = [1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6];
    const LARGEST: f64 = 1e11;
    // Of the product's rounding, with a lot to spare.
    const DOUBT: f64 = 1e-3;
    let scaled = value * POWERS.get(decimals)?;
    let nearest = scaled.round();
    let is_plain = scaled.abs() < LARGEST && (scaled - nearest).abs() < 0.5 - DOUBT;
    #[allow(clippy::cast_possible_truncation, reason = "below 10^11")]
    is_plain.then_some(nearest as i64)
}

fn write_scaled(scaled: i64, decimals: usize, out: &mut String) -> std::fmt::Result {
    if decimals == 0 {
        return write!(out, "{scaled}");
    }
    let unit = 10_u64.pow(u32::try_from(decimals).unwrap_or(0));
    let sign = if scaled < 0 { "-" } else { "" };
    let (whole, parts) = (scaled.unsigned_abs() / unit, scaled.unsigned_abs() % unit);
    write!(out, "{sign}{whole}.{parts:0decimals$}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// As the standard library writes it, exactly rounded.
    fn slowly(value: f64, decimals: usize) -> String {
        let text = format!("{value:.decimals$}");
        let text = match text.contains('.') {
            true => text.trim_end_matches('0').trim_end_matches('.'),
            false => &text,
        };
        if text == "-0" { "0" } else { text }.to_owned()
    }

    #[test]
    fn halves_and_what_is_nearly_one_are_rounded_as_exactly_as_ever() {
        for value in [
            0.5, 1.5, 0.125, 2.675, 1.005, -0.004, -0.005, 0.0, -0.0, 1e15, 1e300, -100.0,
        ] {
            for decimals in 0..9 {
                assert_eq!(number(value, decimals), slowly(value, decimals), "{value}");
            }
        }
        assert_eq!(number(100.0, 0), "100");
        assert_eq!(number(f64::NAN, 2), "NaN");
    }

    proptest! {
        #[test]
        fn numbers_are_written_as_the_standard_library_writes_them(
            value in prop_oneof![-1e5..1e5_f64, -1.0..1.0_f64, any::<f64>(), (-1_000_000..1_000_000_i32).prop_map(|n| f64::from(n) / 2000.0)],
            decimals in 0..8_usize,
        ) {
            prop_assert_eq!(number(value, decimals), slowly(value, decimals));
        }
    }
}
