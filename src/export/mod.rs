//! The leaves: each turns a drawing's marks or a layout's figures into the bytes of one format, and knows
//! nothing of the others.

pub mod csv;
pub mod files;
mod font;
mod grid;
pub mod json;
pub mod markdown;
mod png;
mod svg;
pub mod table;

pub use png::{PngFault, png};
pub use svg::svg;
