//! spile lays out the pattern of a boat's deck: smooth borders, non-skid fields, the masking for both.
//!
//! One direction, each stage a plain value that the next one reads:
//!
//! ```text
//! layout file -> layout -> outline -> surface -> pattern -> masking -> figures -> takeoff -> order, programme
//!                             |          |          |          |          |
//!                             +----------+----------+-- drawing ----------+-> export
//! ```
//!
//! [`shape`] (geometry), [`adjust`] (least squares), [`import`] (curves from drawing files), [`weather`] and [`units`] stand under all of them
//! and know no deck word.

pub mod adjust;
pub mod cli;
pub mod comparison;
mod concurrent;
pub mod drawing;
pub mod export;
pub mod figures;
pub mod import;
pub mod layout;
pub mod masking;
pub mod on_disk;
pub mod order;
pub mod outline;
pub mod pattern;
pub mod programme;
pub mod setting_out;
pub mod shape;
pub mod show;
pub mod surface;
pub mod takeoff;
pub mod tally;
pub mod units;
pub mod weather;
mod working;

use std::fmt;

use layout::Layout;
use masking::{Masking, RollPlan};
use outline::{DeckPlan, Fixed, Warning};
use pattern::{Footing, Pattern};
use surface::Surface;
use takeoff::Materials;
use weather::Record;

pub use working::{Workshop, work_out};

/// A whole layout worked out, deck by deck.
#[derive(Debug, Clone)]
pub struct Job {
    /// What the file says.
    pub layout: Layout,
    /// Its named points and drawings where they lie on the deck.
    pub fixed: Fixed,
    /// Its decks in the file's order.
    pub decks: Vec<DeckJob>,
    /// Which runs of tape are cut from which roll.
    pub rolls: RollPlan,
    /// The products that its steps use.
    pub materials: Materials,
    /// The hours of weather of the table that it names.
    pub weather: Option<Record>,
    /// All warnings, deck by deck.
    pub warnings: Vec<Warning>,
}

impl Job {
    /// The deck with this id; all of them where none is asked for.
    ///
    /// # Errors
    /// Where there is no such deck.
    pub fn decks_of(&self, id: Option<&str>) -> Result<Vec<&DeckJob>, NoSuchDeck> {
        let chosen: Vec<&DeckJob> = self
            .decks
            .iter()
            .filter(|deck| id.is_none_or(|id| id == deck.plan.id))
            .collect();
        if chosen.is_empty() {
            return Err(NoSuchDeck {
                id: id.unwrap_or_default().to_owned(),
                known: self.decks.iter().map(|deck| deck.plan.id.clone()).collect(),
            });
        }
        Ok(chosen)
    }
}

/// A deck was asked for that the layout does not have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoSuchDeck {
    /// What was asked for.
    pub id: String,
    /// What there is.
    pub known: Vec<String>,
}

impl fmt::Display for NoSuchDeck {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let known: Vec<String> = self.known.iter().map(|id| format!("{id:?}")).collect();
        write!(
            formatter,
            "there is no deck {:?}; the layout has {}",
            self.id,
            known.join(", ")
        )
    }
}

impl std::error::Error for NoSuchDeck {}

/// One deck worked out.
#[derive(Debug, Clone)]
pub struct DeckJob {
    /// Its rings.
    pub plan: DeckPlan,
    /// Its camber and sheer; none where it is flat.
    pub surface: Option<Surface>,
    /// Its fields and border.
    pub pattern: Pattern,
    /// Its two masking passes.
    pub masking: Masking,
}

impl DeckJob {
    /// What a foot meets on it.
    #[must_use]
    pub fn footing(&self, layout: &Layout) -> Footing {
        let surface = self.surface.as_ref();
        Footing::of(&self.plan, &self.pattern, surface, &layout.underfoot)
    }
}
