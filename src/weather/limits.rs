//! What weather a job can stand. Every default is where to start, with where it comes from; the product's data sheet goes
//! before it.

use crate::units::{Share, Speed, Temperature, TemperatureDifference, Time};

/// The weather in which work may be done.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// How far the surface must lie over the dew point.
    pub least_spread: TemperatureDifference,
    /// The greatest relative humidity.
    pub most_humidity: Share,
    /// The coldest air.
    pub coldest: Temperature,
    /// The warmest air.
    pub warmest: Temperature,
    /// The coldest surface, where the product names one.
    pub coldest_surface: Option<Temperature>,
    /// The warmest surface, where the product names one.
    pub warmest_surface: Option<Temperature>,
    /// The strongest mean wind; none where wind does not matter.
    pub most_wind: Option<Speed>,
    /// How long no rain may fall after the hour in which work is done.
    pub dry_after: Time,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            least_spread: TemperatureDifference::kelvins(3.0),
            most_humidity: Share::per_cent(85.0),
            coldest: Temperature::celsius(10.0),
            warmest: Temperature::celsius(35.0),
            coldest_surface: None,
            warmest_surface: None,
            most_wind: None,
            dry_after: Time::hours(6.0),
        }
    }
}

/// What makes an hour fit or not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rule {
    /// The surface's distance from the dew point.
    Spread,
    /// The relative humidity.
    Humidity,
    /// Air that is too cold.
    Cold,
    /// Air that is too warm.
    Heat,
    /// A surface that is too cold.
    ColdSurface,
    /// A surface that is too warm.
    HotSurface,
    /// The wind.
    Wind,
    /// Rain in the hour, and after it.
    Rain,
}

impl Rule {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::Spread,
        Self::Humidity,
        Self::Cold,
        Self::Heat,
        Self::ColdSurface,
        Self::HotSurface,
        Self::Wind,
        Self::Rain,
    ];

    /// Where the default comes from.
    #[must_use]
    pub const fn source(self) -> &'static str {
        match self {
            Self::Spread => {
                "MIL-HDBK-1110, 9.6.6: at least 3 °C (5 °F) over the dew point, and rising"
            }
            Self::Humidity | Self::Cold | Self::Heat => {
                "a maker's application guide (scribd 146044552): at most 85 %, about 10 to 35 °C"
            }
            Self::ColdSurface | Self::HotSurface => {
                "the product's data sheet, so no limit is set (US Army TB 43-0144, appendix D-8, has 4 to 49 °C for one)"
            }
            Self::Wind => "no source found, so no limit is set",
            Self::Rain => "from memory, no source: the data sheet says how long",
        }
    }
}
