//! spile's geometry kernel against general-purpose geometry libraries, all in one process: do they agree,
//! who is right where they do not, and how long does each take.
//!
//! [`deck`] and [`random`] say what is tried; [`engine`] says what is asked of every engine;
//! [`agreement`] compares them within [`tolerance`], and where they part [`definition`] says who is right.

pub mod agreement;
pub mod cavalier;
pub mod chords;
pub mod clipper;
pub mod deck;
pub mod definition;
pub mod engine;
pub mod exactness;
pub mod geo_buffer;
pub mod geos;
pub mod growth;
pub mod kept;
pub mod knife_edge;
pub mod machine;
pub mod ours;
pub mod outlines;
pub mod random;
pub mod run;
pub mod settle;
pub mod timing;
pub mod tolerance;
