//! The layout file: from its text to a checked value, or to every fault in it, each with its place.
//!
//! [`read`] gives the [`Layout`]; [`render_faults`] shows what is wrong to the person at the keyboard;
//! [`schema`] tells editors what may be written; [`starter`] writes a first file.

mod amounts;
mod beginning;
mod change;
mod edit;
mod fault;
mod keys;
mod model;
mod read;
mod report;
mod schema;
mod settle;
mod sources;
mod starter;
mod table;
mod underfoot;
mod values;
mod work;

pub use beginning::{Beginning, begun};
pub use change::{Change, ChangeFault, Trial, changed};
pub use edit::{
    Edit, FormRow, Freedom, Grip, PartKind, RowKind, Standing, Way, edited, forms, grips, way_at,
};
pub use fault::{Excerpt, Fault, Mention, Place, Placed};
pub use model::*;
pub use read::{read, read_products};
pub use report::{Report, render_faults};
pub use schema::schema;
pub use settle::{Settled, SettledKind, SettledPoint, SettledShape, SettledTable, settled};
pub use sources::Sources;
pub use starter::starter;
pub use table::nearest as nearest_word;
pub use underfoot::*;
pub use work::*;
