//! The leaves: each turns a drawing's marks or a layout's tables into the bytes of one format, and knows
//! nothing of the others.

mod font;
mod png;
mod svg;

pub use png::{PngFault, png};
pub use svg::svg;
