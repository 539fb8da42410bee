//! The geometry that everything stands on: regions bounded by exact lines and arcs, and what can be
//! asked of them. Coordinates and lengths in millimetres, areas in mm², angles in radians
//! counter-clockwise. It knows no deck word.

mod alike;
mod arcs_along;
mod biarc;
mod boundary;
mod bounds;
mod clusters;
mod corner;
mod crossing;
mod curve;
mod distance;
mod engine;
mod fit;
mod inside;
mod offset;
mod osculating;
mod overlay;
mod parts;
mod plane;
mod point;
mod recover;
mod region;
mod ring;
mod rounding;
mod rows;
mod segment;
mod shared;
mod spline;
mod straights;
mod trimmed;
mod varied;

pub use biarc::{Fitted, tangent_arcs};
pub use boundary::{Boundary, Owner};
pub use bounds::BoundingBox;
pub use corner::{LEAST_TURN, Rounding, round_corner, turn_between};
pub use crossing::{Crossing, Meeting, TOUCH, lies_on, meetings};
pub use distance::Nearest;
pub use fit::{FittedRun, fit_chain, fit_ring};
pub use offset::{bands_along, dilated_cover};
pub use point::Point;
pub use region::Region;
pub use ring::Ring;
pub use rounding::{Filled, Fillet};
pub use rows::Rows;
pub use segment::{Arc, Segment};
pub use shared::{CutRing, Stretch};
pub use spline::{Spline, SplineEnd};
pub use varied::{Blend, bands_of_varied_width, clear_of_varied_band};
