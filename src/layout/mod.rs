//! The layout file: from its text to a checked value, or to every fault in it, each with its place.

mod fault;
mod model;

pub use fault::{Fault, Place, Placed};
pub use model::*;
