//! What holds for the whole job: people, hours, temperature, what is measured with, money.

use super::{COMMON_PRACTICE, Setting};
use crate::layout::Placed;
use crate::units::{Currency, Mass, Money, Share, Temperature, Time, Volume};

/// What holds for the whole job.
#[derive(Debug, Clone, PartialEq)]
pub struct JobSettings {
    /// The currency of all prices.
    pub currency: Option<Placed<Currency>>,
    /// How many work.
    pub people: Setting<usize>,
    /// How many lay paint at once.
    pub laying: Setting<usize>,
    /// Hours that each works in a day.
    pub hours_a_day: Setting<Time>,
    /// Of air and deck when it is painted.
    pub temperature: Setting<Temperature>,
    /// By how many kelvin warmer a pot life is halved.
    pub pot_life_halves: Setting<f64>,
    /// How far a part of a mix may be off, as a share of itself.
    pub mix_tolerance: Setting<Share>,
    /// What mixes are measured in.
    pub cup: Setting<Cup>,
    /// What they are weighed on.
    pub scale: Setting<Scale>,
    /// What an hour of the owners' is worth to them.
    pub hour_value: Option<Money>,
    /// What a day in the yard costs.
    pub yard_day: Option<Money>,
    /// What may be spent.
    pub budget: Option<Money>,
    /// What else is paid.
    pub expenses: Vec<Expense>,
    /// What a yard asks for the same job.
    pub quote: Option<Quote>,
}

/// A measuring cup.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cup {
    /// What it holds.
    pub holds: Volume,
    /// From one mark to the next.
    pub step: Volume,
}

/// A scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// The most it weighs.
    pub holds: Mass,
    /// The least it shows.
    pub step: Mass,
}

/// What else is paid.
#[derive(Debug, Clone, PartialEq)]
pub struct Expense {
    /// For what.
    pub title: String,
    /// How much.
    pub amount: Money,
}

/// What a yard asks for the same job.
#[derive(Debug, Clone, PartialEq)]
pub struct Quote {
    /// How much.
    pub amount: Money,
    /// Work.
    pub covers_labour: bool,
    /// Paint, tape, everything used up.
    pub covers_materials: bool,
    /// Days in the yard.
    pub covers_yard: bool,
    /// What else it says.
    pub note: Option<String>,
}

impl Default for JobSettings {
    fn default() -> Self {
        Self {
            currency: None,
            people: Setting::default(2, COMMON_PRACTICE),
            laying: Setting::default(1, COMMON_PRACTICE),
            hours_a_day: Setting::default(Time::hours(7.0), COMMON_PRACTICE),
            temperature: Setting::default(Temperature::celsius(20.0), "a mild day; put your own"),
            pot_life_halves: Setting::default(
                10.0,
                "the trade's rule: a reaction twice as fast 10 °C warmer; the data sheet's table wins",
            ),
            mix_tolerance: Setting::default(Share::per_cent(5.0), COMMON_PRACTICE),
            cup: Setting::default(
                Cup {
                    holds: Volume::millilitres(600.0),
                    step: Volume::millilitres(10.0),
                },
                COMMON_PRACTICE,
            ),
            scale: Setting::default(
                Scale {
                    holds: Mass::grams(5000.0),
                    step: Mass::grams(1.0),
                },
                COMMON_PRACTICE,
            ),
            hour_value: None,
            yard_day: None,
            budget: None,
            expenses: Vec::new(),
            quote: None,
        }
    }
}
