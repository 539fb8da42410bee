//! Days as people write them. Comes in: text. Goes out: a day of the calendar, or what is mistaken and what to write
//! instead; what could mean two days is mistaken.

use jiff::civil::Date;

use super::LengthFault;

const DATE_FORM: &str = "write year, month and day, for example 2026-05-03";

/// A day: `2026-05-03`; also `3.5.2026`, and with strokes where only one day can be meant.
///
/// ```
/// use spile::units::parse_date;
/// assert_eq!(parse_date("3.5.2026"), parse_date("2026-05-03"));
/// // The third of May, or the fifth of March?
/// assert!(parse_date("3/5/2026").is_err());
/// ```
///
/// # Errors
/// Where there is no such day, or two could be meant.
pub fn parse_date(text: &str) -> Result<Date, LengthFault> {
    let text = text.trim();
    let wrong = |problem: String| LengthFault {
        problem,
        advice: DATE_FORM.to_owned(),
    };
    let unknown = || wrong(format!("`{}` is not a day", text.escape_debug()));
    if text.is_empty() {
        return Err(wrong("no date".into()));
    }
    let separator = text
        .find(['-', '.', '/'])
        .and_then(|at| text[at..].chars().next())
        .ok_or_else(unknown)?;
    let parts: Vec<&str> = text.split(separator).collect();
    let [first, second, third] = parts[..] else {
        return Err(unknown());
    };
    let whole = |part: &str| -> Result<i16, LengthFault> {
        let is_plain = !part.is_empty() && part.chars().all(|c| c.is_ascii_digit());
        let number = part.parse().map_err(|_| unknown())?;
        if is_plain { Ok(number) } else { Err(unknown()) }
    };
    let (a, b, c) = (whole(first)?, whole(second)?, whole(third)?);
    let (year, month, day) = match (separator, first.len(), third.len()) {
        ('-' | '/' | '.', 4, 1..=2) => (a, b, c),
        ('.', 1..=2, 4) => (c, b, a),
        ('/' | '-', 1..=2, 4) if a == b || a > 12 => (c, b, a),
        ('/' | '-', 1..=2, 4) if b > 12 => (c, a, b),
        ('/' | '-', 1..=2, 4) => {
            return Err(wrong(format!(
                "`{}` could be two different days",
                text.escape_debug()
            )));
        }
        _ => return Err(unknown()),
    };
    let small = |part: i16| i8::try_from(part).map_err(|_| unknown());
    let date = Date::new(year, small(month)?, small(day)?).map_err(|_| unknown())?;
    if (1970..2200).contains(&date.year()) {
        Ok(date)
    } else {
        Err(wrong(format!("the year {} is a slip", date.year())))
    }
}
