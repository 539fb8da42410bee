//! spile lays out the pattern of a boat's deck: smooth borders, non-skid fields, the masking for both.
//!
//! One direction, each stage a plain value that the next one reads:
//!
//! ```text
//! layout file -> layout -> outline -> pattern -> masking -> figures
//!                             |          |          |          |
//!                             +----------+-- drawing ----------+-> export
//! ```
//!
//! [`shape`] (geometry) and [`units`] stand under all of them and know no deck word.

pub mod drawing;
pub mod export;
pub mod figures;
pub mod layout;
pub mod masking;
pub mod outline;
pub mod pattern;
pub mod shape;
pub mod units;

use layout::Layout;
use masking::Masking;
use outline::{DeckPlan, Warning};
use pattern::Pattern;

/// A whole layout worked out, deck by deck.
#[derive(Debug, Clone)]
pub struct Job {
    /// What the file says.
    pub layout: Layout,
    /// Its decks in the file's order.
    pub decks: Vec<DeckJob>,
    /// All warnings, deck by deck.
    pub warnings: Vec<Warning>,
}

/// One deck worked out.
#[derive(Debug, Clone)]
pub struct DeckJob {
    /// Its rings.
    pub plan: DeckPlan,
    /// Its fields and border.
    pub pattern: Pattern,
    /// Its two masking passes.
    pub masking: Masking,
}
