//! What people need who paint a deck that they stand on.

use super::{FROM_MEMORY, Setting};
use crate::units::Length;

/// What people need who paint a deck that they stand on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OrderSettings {
    /// The least width that a person walks on.
    pub path: Setting<Length>,
    /// How far an arm reaches with a roller.
    pub reach: Setting<Length>,
}

impl OrderSettings {
    /// The least that an arm has to reach for people to paint the ground before them and step back from it.
    #[must_use]
    pub fn least_reach(&self) -> Length {
        self.path.value + Length::mm(200.0)
    }
}

impl Default for OrderSettings {
    fn default() -> Self {
        Self {
            path: Setting::default(Length::mm(250.0), FROM_MEMORY),
            reach: Setting::default(Length::mm(700.0), FROM_MEMORY),
        }
    }
}
