//! A comparison as a document, for a spreadsheet and for another program.

mod json;
mod markdown;
mod rows;

pub use json::json;
pub use markdown::markdown;
pub use rows::csv;
