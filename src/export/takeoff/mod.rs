//! The takeoff for people and programs: a document, rows for a spreadsheet, JSON. Comes in: a
//! [`Takeoff`](crate::takeoff::Takeoff). Goes out: text; nothing is worked out here.

mod json;
mod markdown;
mod rows;
mod words;

pub use json::json;
pub use markdown::{markdown, shopping_list};
pub(super) use markdown::{sections, settings};
pub(super) use rows::number;
pub use rows::shopping_csv;
