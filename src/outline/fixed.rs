//! What a whole file's decks are measured from: where its named points lie, and its drawings as they lie on
//! the deck. Comes in: a layout and the files it names. Goes out: [`Fixed`], which every deck is then traced
//! with, or the faults that keep it from being found.

use super::Warning;
use super::ties::{self, Named, Surveyed};
use crate::layout::{Fault, Layout, Sources};
use crate::shape::Point;
use crate::units::LengthUnit;

/// Points and drawings of a layout where they lie on the deck.
#[derive(Debug, Clone, Default)]
pub struct Fixed {
    /// Points found by ties, where there are any.
    pub network: Option<Surveyed>,
    /// What a person should know of them; these warnings are of no one deck.
    pub warnings: Vec<Warning>,
}

impl Fixed {
    /// Where the point of that name lies, if the survey could tell.
    #[must_use]
    pub fn point(&self, name: &str) -> Option<Point> {
        self.network.as_ref()?.point(name)
    }

    /// What the survey says of the point of that name.
    pub(super) fn named(&self, name: &str, units: LengthUnit) -> Named {
        self.network.as_ref().map_or_else(
            || Named::Lost("there is no survey".to_owned()),
            |network| network.named(name, units),
        )
    }
}

/// Finds where a layout's named points and drawings lie.
///
/// # Errors
/// Every fault of the survey and of the drawings.
pub fn fix(layout: &Layout, _sources: &Sources) -> Result<Fixed, Vec<Fault>> {
    let mut fixed = Fixed::default();
    if let Some(survey) = &layout.survey {
        let network = ties::adjusted(survey);
        fixed.warnings.extend(ties::remarks(&network, layout.units));
        fixed.network = Some(network);
    }
    Ok(fixed)
}
