//! Lengths and areas as people write and read them, metric and in feet and inches.
//! Inside, every length is millimetres; a unit appears only where text comes in or goes out.

mod area;
mod length;
mod parse;
mod show;

pub use area::Area;
pub use length::{Length, LengthUnit};
pub use parse::{LengthFault, parse_length};
