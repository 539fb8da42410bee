//! The leaves: each turns a drawing's marks or a layout's figures into the bytes of one format, and knows
//! nothing of the others.

pub mod csv;
pub mod files;
mod grid;
pub mod json;
pub mod markdown;
pub mod table;
