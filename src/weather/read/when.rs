//! When an hour begins. Comes in: the cells of a date and a time, or of both in one; goes out: the full hour, by the clock
//! on the wall, or what is wrong and what to write. What could mean two days is wrong.

use jiff::ToSpan;
use jiff::civil::{Date, DateTime};

use super::super::mistake::Mistake;

const FORM: &str = "write year, month, day and the full hour, for example 2026-05-12 10:00";

fn wrong(problem: String) -> Mistake {
    Mistake::new(problem, FORM)
}

fn unknown(text: &str, what: &str) -> Mistake {
    wrong(format!("`{}` is not {what}", text.escape_debug()))
}

/// `2026-05-12 10:00`, `2026-05-12T10:00:00`, `12.5.2026 10:00`, `12.5.2026 10 am`; a date may stand in a cell of its own.
pub(super) fn start_of(date: Option<&str>, time: Option<&str>) -> Result<DateTime, Mistake> {
    let (date, time) = match (date, time) {
        (_, None) => return Err(wrong("no time".into())),
        (Some(date), Some(time)) => (date, time),
        (None, Some(both)) => both
            .split_once(['T', ' '])
            .ok_or_else(|| unknown(both, "a day with its hour"))?,
    };
    let day = date_of(date)?;
    let hour = hour_of(time.trim())?;
    // The end of a day is the beginning of the next.
    Ok(day.at(0, 0, 0, 0).saturating_add(i64::from(hour).hours()))
}

/// `2026-05-12`; also `12.5.2026`, and with strokes where only one day can be meant.
fn date_of(text: &str) -> Result<Date, Mistake> {
    let text = text.trim();
    let unknown = || unknown(text, "a day");
    let separator = text
        .chars()
        .find(|sign| matches!(sign, '-' | '.' | '/'))
        .ok_or_else(unknown)?;
    let mut parts = text.split(separator);
    let (Some(first), Some(second), Some(third), None) =
        (parts.next(), parts.next(), parts.next(), parts.next())
    else {
        return Err(unknown());
    };
    let whole = |part: &str| {
        let number: Option<i16> = part.parse().ok();
        number.filter(|_| is_digits(part)).ok_or_else(unknown)
    };
    let (a, b, c) = (whole(first)?, whole(second)?, whole(third)?);
    let (year, month, day) = match (separator, first.len(), third.len()) {
        (_, 4, 1..=2) => (a, b, c),
        ('.', 1..=2, 4) => (c, b, a),
        (_, 1..=2, 4) if a == b || a > 12 => (c, b, a),
        (_, 1..=2, 4) if b > 12 => (c, a, b),
        (_, 1..=2, 4) => {
            return Err(wrong(format!(
                "`{}` could be two different days",
                text.escape_debug()
            )));
        }
        _ => return Err(unknown()),
    };
    let small = |part: i16| i8::try_from(part).map_err(|_| unknown());
    let date = Date::new(year, small(month)?, small(day)?).map_err(|_| unknown())?;
    if (1900..2200).contains(&date.year()) {
        Ok(date)
    } else {
        Err(wrong(format!("the year {} is a slip", date.year())))
    }
}

/// `10:00`, `10:00:00`, `10`, `10 am`; from 0 to 24. What says how far the clock is from universal time may follow, but
/// universal time itself is not what the clock on the wall says.
fn hour_of(text: &str) -> Result<i8, Mistake> {
    let lower = text.to_lowercase();
    let unknown = || unknown(text, "a time of day");
    if lower.ends_with('z') || lower.ends_with("utc") || lower.ends_with("gmt") {
        return Err(Mistake::new(
            format!("`{}` is in universal time", text.escape_debug()),
            "write the hour as the clock on the wall shows it, for example 2026-05-12 10:00",
        ));
    }
    let clock = lower
        .split_once(['+', '-'])
        .filter(|(_, offset)| is_offset(offset))
        .map_or(lower.as_str(), |(clock, _)| clock);
    let (clock, half) = match (clock.strip_suffix("am"), clock.strip_suffix("pm")) {
        (Some(clock), _) => (clock.trim(), Some(0)),
        (_, Some(clock)) => (clock.trim(), Some(12)),
        _ => (clock, None),
    };
    let mut parts = clock.split([':', '.']);
    let hour: i8 = parts
        .next()
        .filter(|part| is_digits(part))
        .and_then(|part| part.parse().ok())
        .ok_or_else(unknown)?;
    // Minutes, seconds and their fractions.
    let rest: Vec<&str> = parts.collect();
    if rest.len() > 3 || !rest.iter().all(|part| is_digits(part)) {
        return Err(unknown());
    }
    if rest
        .iter()
        .any(|part| part.bytes().any(|digit| digit != b'0'))
    {
        return Err(wrong(format!(
            "`{}` is not a full hour",
            text.escape_debug()
        )));
    }
    match (hour, half) {
        (0..=24, None) => Ok(hour),
        (1..=12, Some(half)) => Ok(hour % 12 + half),
        _ => Err(unknown()),
    }
}

/// `02:00`, `0200` or `02`, the sign taken off.
fn is_offset(text: &str) -> bool {
    text.len() >= 2
        && text
            .split(':')
            .all(|part| part.len() <= 4 && is_digits(part))
}

fn is_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|digit| digit.is_ascii_digit())
}
