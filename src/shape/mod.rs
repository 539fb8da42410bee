//! The geometry that everything stands on: regions bounded by exact lines and arcs, and what can be
//! asked of them. It knows no deck word.
//!
//! # Conventions
//!
//! Coordinates and lengths are in millimetres, areas in mm², angles in radians counter-clockwise from the
//! x axis. A [`Region`] lies on the left of its boundary: outer rings run counter-clockwise, the rings of
//! holes clockwise. What lies in a region is what its rings wind round more than not at all. Shares of the
//! way along a segment go from 0 to 1.
//!
//! Every value is plain data, and no operation changes its operands. Nothing here reads the clock, the
//! machine or a table of hashes in its order: the same input gives the same bits.
//!
//! # What is exact, and to what
//!
//! Lines stay lines and arcs stay arcs, through every operation and any number of them: no answer is a
//! polygon of an arc. A vertex of an answer is computed from the two curves that meet there, so what has a
//! closed form agrees with it to 1e-9 of its size, and an arc that is cut keeps its centre and radius to
//! 1e-9 mm. Points nearer to each other than 5e-7 mm are one; so are circles whose centres and radii, and lines
//! whose distance along a segment, differ by less than 2e-7 mm: the one given first stands for both. Input that
//! is itself off by more than that (an arc whose end misses its circle, a ring whose segments do not meet) is
//! taken as it is and not repaired.
//!
//! # How topology is decided
//!
//! Which pieces of boundary stay is decided on an integer grid of 1e-6 mm, on chords of the arcs; whole
//! numbers cannot contradict each other. The chords never reach the answer: each names its curve, and the
//! answer is read back as pieces of those curves. Where the curves do not bear out what their chords said,
//! the step hung on less than the chords' distance from their arcs (0.05 mm) and is computed again with chords
//! ten and a hundred times as near. [`Region::recomputed`] counts these.
//!
//! # What to call
//!
//! | to ... | call |
//! |---|---|
//! | make a ring | [`Ring::polygon`], [`Ring::circle`], [`Ring::new`] of [`Segment`]s |
//! | make a region | [`Region::inside`] one ring, [`Region::new`] with holes, [`Region::of_overlapping`] rings |
//! | add, take away, keep what is common | [`Region::union`], [`Region::difference`], [`Region::intersection`] |
//! | take away very many rings | [`Region::less_rings`] |
//! | shrink or grow by a distance | [`Region::eroded`], [`Region::dilated`] |
//! | round outward corners, drop what is too narrow | [`Region::opened`] |
//! | round inward corners | [`Region::hollows_filled`] |
//! | round one corner between two segments | [`round_corner`] |
//! | split into what hangs together | [`Region::components`] |
//! | measure | [`Region::area`], [`Region::perimeter`], [`Region::centroid`], [`Region::bounding_box`] |
//! | ask about one point | [`Region::contains`], [`Region::boundary_distance`] |
//! | ask many questions of one boundary | [`Region::boundary`], which gives a [`Boundary`] |
//! | find the narrowest place between two shapes | [`Region::nearest_boundary`], [`Segment::nearest`] |
//! | find the largest disc that fits | [`Region::widest_disc`] |
//! | find the place furthest from another shape | [`Region::furthest_from`], [`furthest_along`] a line |
//! | cut a path where it leaves a region | [`path_parts`] |
//! | find where two segments meet | [`Segment::crossings`]; with touches and common stretches, [`meetings`] |
//! | check that a ring does not cross itself | [`Ring::self_crossing`] |
//! | take what of a line lies in a box; find the cells of a grid it passes | [`Segment::parts_in`], [`chain_parts_in`], [`Segment::cells`] |
//! | keep off a boundary by widths that differ | [`clear_of_varied_band`] |
//! | lay a smooth curve over an axis | [`Graph`] |
//! | lay a smooth curve through points, as arcs | [`Spline`], [`tangent_arcs`] |
//! | make lines and arcs of a conic or a Bezier curve, seen aslant or not | [`Bezier`], [`Transformation`], [`tangent_arcs`] |
//! | ask how far it is on a way that stays inside, to a cell; find level lines | [`Grid`] |
//! | make lines and arcs of dense points | [`fit_chain`], [`fit_ring`] |
//!
//! # An example
//!
//! A plate of 400 by 300 mm with a hole of radius 50 in the middle, kept off by 20 mm all round, its corners
//! rounded to 15 mm:
//!
//! ```
//! use spile::shape::{Point, Region, Ring};
//! use spile::units::Length;
//! use std::f64::consts::PI;
//!
//! let plate = Ring::polygon(&[
//!     Point::new(0.0, 0.0),
//!     Point::new(400.0, 0.0),
//!     Point::new(400.0, 300.0),
//!     Point::new(0.0, 300.0),
//! ]);
//! let hole = Ring::circle(Point::new(200.0, 150.0), 50.0);
//! let plate = Region::inside(plate).difference(&[&Region::inside(hole)]);
//!
//! let shrunk = plate.eroded(Length::mm(20.0));
//! assert!((shrunk.area() - (360.0 * 260.0 - PI * 70.0 * 70.0)).abs() < 1e-6);
//!
//! // A corner rounded to r loses (1 - π/4) r²; the hole has no corner.
//! let rounded = shrunk.opened(Length::mm(15.0));
//! assert!((shrunk.area() - rounded.area() - (4.0 - PI) * 15.0 * 15.0).abs() < 1e-6);
//! assert!(!rounded.contains(Point::new(21.0, 21.0)) && shrunk.contains(Point::new(21.0, 21.0)));
//! ```

mod alike;
mod arcs_along;
mod best_first;
mod bezier;
mod biarc;
mod boundary;
mod bounds;
mod clip;
mod clusters;
mod corner;
mod crossing;
mod curve;
mod distance;
mod engine;
mod fit;
mod furthest;
mod graph;
mod inside;
mod offset;
mod osculating;
mod overlay;
mod parts;
mod path;
mod plane;
mod point;
mod raster;
mod recover;
mod region;
mod ring;
mod rounding;
mod rows;
mod segment;
mod shared;
mod spline;
mod straights;
mod transformation;
mod trimmed;
mod varied;
mod widest;

pub use bezier::Bezier;
pub use biarc::{Fitted, Parametric, tangent_arcs};
pub use boundary::{Boundary, Owner};
pub use bounds::BoundingBox;
pub use clip::chain_parts_in;
pub use corner::{LEAST_TURN, Rounding, round_corner, turn_between};
pub use crossing::{Crossing, Meeting, TOUCH, lies_on, meetings};
pub use distance::Nearest;
pub use fit::{FittedRun, fit_chain, fit_ring};
pub use furthest::{Furthest, furthest_along};
pub use graph::Graph;
pub use offset::{bands_along, dilated_cover};
pub use path::{PathPart, path_parts};
pub use point::Point;
pub use raster::{Cells, Grid};
pub use region::Region;
pub use ring::Ring;
pub use rounding::{Filled, Fillet};
pub use rows::Rows;
pub use segment::{Arc, Segment};
pub use shared::{CutRing, Stretch};
pub use spline::{Spline, SplineEnd};
pub use transformation::Transformation;
pub use varied::{Blend, bands_of_varied_width, clear_of_varied_band};
pub use widest::Disc;
