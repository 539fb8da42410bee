//! A programme for people, spreadsheets, programs and calendars. Comes in: a [`Programme`](crate::programme::Programme). Goes
//! out: text; nothing is worked out here.

mod icalendar;
mod json;
mod markdown;
mod rows;
mod words;

pub use icalendar::icalendar;
pub use json::json;
pub use markdown::markdown;
pub(super) use markdown::sections;
pub use rows::csv;
