//! Least squares: unknowns from more measurements than they need, how well those agree, and which of them is
//! likely wrong. It knows no deck word.

pub mod rectify;
