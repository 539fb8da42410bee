//! The geometry that everything stands on: regions bounded by exact lines and arcs, and what can be
//! asked of them. Coordinates and lengths in millimetres, areas in mm², angles in radians
//! counter-clockwise. It knows no deck word.

mod alike;
mod bounds;
mod clusters;
mod curve;
mod distance;
mod engine;
mod inside;
mod offset;
mod overlay;
mod point;
mod region;
mod ring;
mod rounding;
mod segment;
mod shared;
mod varied;

pub use bounds::BoundingBox;
pub use distance::Nearest;
pub use offset::{bands_along, dilated_cover};
pub use point::Point;
pub use region::Region;
pub use ring::Ring;
pub use rounding::{Filled, Fillet};
pub use segment::{Arc, Segment};
pub use shared::{CutRing, Stretch};
pub use varied::{Blend, bands_of_varied_width};
