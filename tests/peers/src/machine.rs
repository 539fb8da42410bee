//! What a table of timings must say of where it was measured.

use std::fs;

/// Processor and number of cores.
#[must_use]
pub fn processor() -> String {
    let text = fs::read_to_string("/proc/cpuinfo").unwrap_or_default();
    let value = |key: &str| {
        text.lines()
            .find(|line| line.starts_with(key))
            .and_then(|line| line.split(':').nth(1))
            .map_or_else(|| "unknown".to_owned(), |value| value.trim().to_owned())
    };
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    format!(
        "{}, family {} model {}, {cores} cores",
        value("model name"),
        value("cpu family"),
        value("model\t"),
    )
}

/// The day, by the system's clock in UTC, as YYYY-MM-DD.
#[must_use]
pub fn day() -> String {
    let seconds = std::time::SystemTime::now()
        .duration_since(std::time::UNIX_EPOCH)
        .map_or(0, |since| since.as_secs());
    date(seconds / 86_400)
}

/// Days since 1970-01-01 as a date of the Gregorian calendar (Meeus, "Astronomical Algorithms", ch. 7,
/// counted from the first of March so that the leap day comes last).
fn date(days: u64) -> String {
    let shifted = days + 719_468;
    let era = shifted / 146_097;
    let of_era = shifted % 146_097;
    let year_of_era = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let month = (5 * of_year + 2) / 153;
    let day = of_year - (153 * month + 2) / 5 + 1;
    let month = if month < 10 { month + 3 } else { month - 9 };
    let year = year_of_era + 400 * era + u64::from(month <= 2);
    format!("{year:04}-{month:02}-{day:02}")
}

/// The most memory that this process has held, MiB.
#[must_use]
pub fn peak_memory() -> f64 {
    let text = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let kibibytes = text
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))
        .and_then(|value| value.trim().strip_suffix("kB"))
        .and_then(|value| value.trim().parse::<f64>().ok());
    kibibytes.map_or(f64::NAN, |kibibytes| kibibytes / 1024.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_become_dates() {
        assert_eq!(date(0), "1970-01-01");
        assert_eq!(date(11_016), "2000-02-29");
        assert_eq!(date(20_786), "2026-11-29");
    }
}
