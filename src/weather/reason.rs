//! Why an hour is not fit to work in: what was found, and the limit that it breaks.

use jiff::civil::DateTime;

use super::limits::Rule;
use super::record::clock;
use crate::units::{LengthUnit, Rain, Share, Speed, Temperature, TemperatureDifference, Time};

/// One limit broken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reason {
    /// Water may settle on the surface.
    TooNearDewPoint {
        /// How far over the dew point the surface is.
        spread: TemperatureDifference,
        /// How far it must be.
        least: TemperatureDifference,
    },
    /// The air is too damp.
    TooDamp {
        /// The relative humidity.
        humidity: Share,
        /// How much it may be.
        most: Share,
    },
    /// The air is too cold.
    TooCold {
        /// Its temperature.
        air: Temperature,
        /// What it must be.
        coldest: Temperature,
    },
    /// The air is too warm.
    TooWarm {
        /// Its temperature.
        air: Temperature,
        /// What it may be.
        warmest: Temperature,
    },
    /// The surface is too cold.
    SurfaceTooCold {
        /// Its temperature.
        surface: Temperature,
        /// What it must be.
        coldest: Temperature,
    },
    /// The surface is too warm.
    SurfaceTooWarm {
        /// Its temperature.
        surface: Temperature,
        /// What it may be.
        warmest: Temperature,
    },
    /// The wind is too strong.
    TooWindy {
        /// Its mean.
        wind: Speed,
        /// What it may be.
        most: Speed,
    },
    /// There is a limit for the wind, and other hours have one, but not this.
    WindUnknown,
    /// It rains in this hour.
    Raining {
        /// How much.
        rain: Rain,
    },
    /// It rains before the work is dry.
    RainAfter {
        /// How much.
        rain: Rain,
        /// In which hour.
        at: DateTime,
        /// How long it must stay dry.
        wanted: Time,
    },
    /// Whether it rains before the work is dry is not known.
    RainUnknown {
        /// The first hour of which it is not known.
        from: DateTime,
        /// How long it must stay dry.
        wanted: Time,
    },
}

impl Reason {
    /// Which rule it breaks.
    #[must_use]
    pub const fn rule(&self) -> Rule {
        match self {
            Self::TooNearDewPoint { .. } => Rule::Spread,
            Self::TooDamp { .. } => Rule::Humidity,
            Self::TooCold { .. } => Rule::Cold,
            Self::TooWarm { .. } => Rule::Heat,
            Self::SurfaceTooCold { .. } => Rule::ColdSurface,
            Self::SurfaceTooWarm { .. } => Rule::HotSurface,
            Self::TooWindy { .. } | Self::WindUnknown => Rule::Wind,
            Self::Raining { .. } | Self::RainAfter { .. } | Self::RainUnknown { .. } => Rule::Rain,
        }
    }

    /// In words, for people who measure in `unit`.
    #[must_use]
    pub fn show(&self, unit: LengthUnit) -> String {
        match *self {
            Self::TooNearDewPoint { spread, least } if spread < TemperatureDifference::ZERO => {
                format!(
                    "below the dew point: {} under it, {} over it wanted",
                    (TemperatureDifference::ZERO - spread).show(unit),
                    least.show(unit)
                )
            }
            Self::TooNearDewPoint { spread, least } => {
                let (spread, least) = (spread.show(unit), least.show(unit));
                let spread = beside(spread, &least, "a little less than");
                format!("too near the dew point: {spread} over it, {least} wanted")
            }
            Self::TooDamp { humidity, most } => {
                let (humidity, most) = (per_cent(humidity), per_cent(most));
                let humidity = beside(humidity, &most, "a little over");
                format!("too damp: {humidity} humidity, {most} at most")
            }
            Self::TooCold { air, coldest } => too_cold("air", air, coldest, unit),
            Self::TooWarm { air, warmest } => too_warm("air", air, warmest, unit),
            Self::SurfaceTooCold { surface, coldest } => {
                too_cold("a surface", surface, coldest, unit)
            }
            Self::SurfaceTooWarm { surface, warmest } => {
                too_warm("a surface", surface, warmest, unit)
            }
            Self::TooWindy { wind, most } => {
                let (wind, most) = (wind.show(unit), most.show(unit));
                let wind = beside(wind, &most, "a little over");
                format!("too windy: {wind}, {most} at most")
            }
            Self::WindUnknown => "the wind is not known".to_owned(),
            Self::Raining { rain } => format!("rain: {}", amount(rain, unit)),
            Self::RainAfter { rain, at, wanted } => format!(
                "rain too soon after: {} at {}, {} dry wanted",
                amount(rain, unit),
                clock(at),
                wanted.show()
            ),
            Self::RainUnknown { from, wanted } => format!(
                "whether it rains is not known from {} on, {} dry wanted",
                clock(from),
                wanted.show()
            ),
        }
    }

    /// How far off the limit, so that different ones can be added up: a degree of spread, five per cent of humidity, two
    /// degrees of air or surface, two metres per second of wind and a millimetre of rain count alike, what is not known as much (a
    /// scale of our own; it only decides which miss is the nearest).
    pub(super) fn shortfall(&self) -> f64 {
        match *self {
            Self::TooNearDewPoint { spread, least } => (least - spread).to_kelvins(),
            Self::TooDamp { humidity, most } => (humidity.factor() - most.factor()) / 0.05,
            Self::TooCold { air: is, coldest }
            | Self::SurfaceTooCold {
                surface: is,
                coldest,
            } => (coldest - is).to_kelvins() / 2.0,
            Self::TooWarm { air: is, warmest }
            | Self::SurfaceTooWarm {
                surface: is,
                warmest,
            } => (is - warmest).to_kelvins() / 2.0,
            Self::TooWindy { wind, most } => (wind - most).to_metres_per_second() / 2.0,
            Self::Raining { rain } | Self::RainAfter { rain, .. } => rain.to_mm(),
            Self::WindUnknown | Self::RainUnknown { .. } => 1.0,
        }
    }
}

fn too_cold(what: &str, found: Temperature, coldest: Temperature, unit: LengthUnit) -> String {
    let (found, coldest) = (found.show(unit), coldest.show(unit));
    let found = beside(found, &coldest, "a little under");
    format!("too cold: {what} of {found}, {coldest} wanted")
}

fn too_warm(what: &str, found: Temperature, warmest: Temperature, unit: LengthUnit) -> String {
    let (found, warmest) = (found.show(unit), warmest.show(unit));
    let found = beside(found, &warmest, "a little over");
    format!("too warm: {what} of {found}, {warmest} at most")
}

/// A value beside its limit: where rounding makes them look the same, how it differs is said in words.
fn beside(value: String, limit: &str, differs: &str) -> String {
    if value == limit {
        format!("{differs} {value}")
    } else {
        value
    }
}

fn per_cent(share: Share) -> String {
    format!("{:.0} %", share.to_per_cent())
}

/// So little that it would be shown as none is still rain.
fn amount(rain: Rain, unit: LengthUnit) -> String {
    let shown = rain.show(unit);
    if shown.starts_with("0 ") {
        "a trace".to_owned()
    } else {
        shown
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn a_reason_names_what_was_found_and_what_is_wanted() {
        let (mm, inch) = (LengthUnit::Millimetre, LengthUnit::Inch);
        let kelvins = TemperatureDifference::kelvins;
        let near = |spread| Reason::TooNearDewPoint {
            spread: kelvins(spread),
            least: kelvins(3.0),
        };
        let at = date(2026, 5, 12).at(16, 0, 0, 0);
        let after = |rain| Reason::RainAfter {
            rain: Rain::mm(rain),
            at,
            wanted: Time::hours(6.0),
        };
        let damp = |humidity| Reason::TooDamp {
            humidity: Share::per_cent(humidity),
            most: Share::per_cent(85.0),
        };
        for (reason, said) in [
            (
                near(2.3),
                "too near the dew point: 2.3 °C over it, 3 °C wanted",
            ),
            (
                near(2.98),
                "too near the dew point: a little less than 3 °C over it, 3 °C wanted",
            ),
            (
                near(-0.5),
                "below the dew point: 0.5 °C under it, 3 °C over it wanted",
            ),
            (
                Reason::SurfaceTooWarm {
                    surface: Temperature::celsius(52.5),
                    warmest: Temperature::celsius(49.0),
                },
                "too warm: a surface of 52.5 °C, 49 °C at most",
            ),
            (
                Reason::TooCold {
                    air: Temperature::celsius(9.97),
                    coldest: Temperature::celsius(10.0),
                },
                "too cold: air of a little under 10 °C, 10 °C wanted",
            ),
            (damp(91.0), "too damp: 91 % humidity, 85 % at most"),
            (
                damp(85.2),
                "too damp: a little over 85 % humidity, 85 % at most",
            ),
            (
                after(0.4),
                "rain too soon after: 0.4 mm at 2026-05-12 16:00, 6 h dry wanted",
            ),
            (
                after(0.01),
                "rain too soon after: a trace at 2026-05-12 16:00, 6 h dry wanted",
            ),
        ] {
            assert_eq!(reason.show(mm), said);
        }
        assert_eq!(
            near(2.0).show(inch),
            "too near the dew point: 3.6 °F over it, 5.4 °F wanted"
        );
    }
}
