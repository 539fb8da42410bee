//! What a whole file's decks are measured from: where its named points lie, and its drawings as they lie on
//! the deck. Comes in: a layout and the files it names. Goes out: [`Fixed`], which every deck is then traced
//! with, or the faults that keep it from being found.

use crate::layout::{Fault, Layout, Sources};
use crate::shape::Point;

/// Points and drawings of a layout where they lie on the deck.
#[derive(Debug, Clone, Default)]
pub struct Fixed {}

impl Fixed {
    /// Where the point of that name lies, if the survey could tell.
    #[must_use]
    pub fn point(&self, _name: &str) -> Option<Point> {
        None
    }
}

/// Finds where a layout's named points and drawings lie.
///
/// # Errors
/// Every fault of the survey and of the drawings.
pub fn fix(_layout: &Layout, _sources: &Sources) -> Result<Fixed, Vec<Fault>> {
    Ok(Fixed {})
}
