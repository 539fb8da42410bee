//! Days and hours as people read them, the same on every list, sheet and page.

use jiff::civil::{Date, DateTime, Weekday};

/// The months of the year.
pub const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// The days of the week, from Monday on.
pub const WEEKDAYS: [&str; 7] = [
    "Monday",
    "Tuesday",
    "Wednesday",
    "Thursday",
    "Friday",
    "Saturday",
    "Sunday",
];

/// The name of a day of the week.
#[must_use]
pub fn weekday(day: Weekday) -> &'static str {
    let from_monday = usize::try_from(day.to_monday_zero_offset()).unwrap_or_default();
    WEEKDAYS[from_monday]
}

/// The name of a day's month.
fn month(date: Date) -> &'static str {
    MONTHS[usize::try_from(date.month() - 1).unwrap_or_default()]
}

/// `Mon 3 May`.
#[must_use]
pub fn short_day(date: Date) -> String {
    let name = &weekday(date.weekday())[..3];
    format!("{name} {} {}", date.day(), month(date))
}

/// `Monday 3 May 2027`.
#[must_use]
pub fn long_day(date: Date) -> String {
    let name = weekday(date.weekday());
    format!("{name} {} {} {}", date.day(), month(date), date.year())
}

/// `Monday 3 May 2027, 14:30`.
#[must_use]
pub fn moment(at: DateTime) -> String {
    format!("{}, {}", long_day(at.date()), clock(at))
}

/// `14:30`.
#[must_use]
pub fn clock(at: DateTime) -> String {
    format!("{:02}:{:02}", at.hour(), at.minute())
}
