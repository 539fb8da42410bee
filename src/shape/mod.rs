//! The geometry that everything stands on: regions bounded by exact lines and arcs, and what can be
//! asked of them. Coordinates and lengths in millimetres, areas in mm², angles in radians
//! counter-clockwise. It knows no deck word.

mod bounds;
mod inside;
mod point;
mod region;
mod ring;
mod segment;

pub use bounds::BoundingBox;
pub use point::Point;
pub use region::Region;
pub use ring::Ring;
pub use segment::{Arc, Segment};
