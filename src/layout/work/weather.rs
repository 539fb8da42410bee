//! The weather that a coat may be laid in, and where the job's own weather is told. Defaults are those of
//! [`Limits`], each with its source.

use super::{Origin, Setting};
use crate::layout::Placed;
use crate::units::{Share, Speed, Temperature, TemperatureDifference, Time};
use crate::weather::{Climate, Columns, Limits, Rule};

/// The weather that a product may be laid in.
#[derive(Debug, Clone, PartialEq)]
pub struct FitWeather {
    /// How far the surface must lie over the dew point.
    pub spread: Setting<TemperatureDifference>,
    /// The greatest relative humidity.
    pub humidity: Setting<Share>,
    /// The coldest air.
    pub coldest: Setting<Temperature>,
    /// The warmest air.
    pub warmest: Setting<Temperature>,
    /// The coldest surface; none: no limit.
    pub coldest_surface: Setting<Option<Temperature>>,
    /// The warmest surface; none: no limit.
    pub warmest_surface: Setting<Option<Temperature>>,
    /// The strongest mean wind; none: no limit.
    pub wind: Setting<Option<Speed>>,
    /// How long no rain may fall after a coat; where the coat takes longer to be dry to touch, that.
    pub dry_after: Setting<Time>,
}

impl Default for FitWeather {
    fn default() -> Self {
        let Limits {
            least_spread,
            most_humidity,
            coldest,
            warmest,
            coldest_surface,
            warmest_surface,
            most_wind,
            dry_after,
        } = Limits::default();
        Self {
            spread: Setting::default(least_spread, Rule::Spread.source()),
            humidity: Setting::default(most_humidity, Rule::Humidity.source()),
            coldest: Setting::default(coldest, Rule::Cold.source()),
            warmest: Setting::default(warmest, Rule::Heat.source()),
            coldest_surface: Setting::default(coldest_surface, Rule::ColdSurface.source()),
            warmest_surface: Setting::default(warmest_surface, Rule::HotSurface.source()),
            wind: Setting::default(most_wind, Rule::Wind.source()),
            dry_after: Setting::default(dry_after, Rule::Rain.source()),
        }
    }
}

impl FitWeather {
    /// As limits that hours are judged by, of a coat that is dry to touch after so long.
    #[must_use]
    pub fn limits(&self, dry_to_touch: Time) -> Limits {
        let stated = self.dry_after.value;
        Limits {
            least_spread: self.spread.value,
            most_humidity: self.humidity.value,
            coldest: self.coldest.value,
            warmest: self.warmest.value,
            coldest_surface: self.coldest_surface.value,
            warmest_surface: self.warmest_surface.value,
            most_wind: self.wind.value,
            dry_after: match self.dry_after.origin {
                Origin::Layout => stated,
                Origin::Default(_) => stated.max(dry_to_touch),
            },
        }
    }
}

/// Where the job's weather is told.
#[derive(Debug, Clone, PartialEq)]
pub enum WeatherSource {
    /// In an hourly table.
    Hours {
        /// The file, from the layout's own folder.
        file: Placed<String>,
        /// Which column is which.
        columns: Columns,
    },
    /// In averages of months.
    Months(Climate),
}
