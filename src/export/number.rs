//! The one way that drawings and cutters' files write numbers: comes in a number and how many decimals it may have; goes
//! out text that every reader takes.

/// The same as a number, for formats that write numbers themselves.
pub(super) fn rounded(value: f64, decimals: usize) -> f64 {
    number(value, decimals).parse().unwrap_or(value)
}

/// A number with so many decimals at most, no trailing zeros, no minus zero, no exponent.
pub(super) fn number(value: f64, decimals: usize) -> String {
    let mut text = format!("{value:.decimals$}");
    text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    if text == "-0" { "0".to_owned() } else { text }
}
