//! What the cells of a table may hold. Comes in: text, numbers with their units; goes out: a quantity that weather can have,
//! or what is wrong and what to write.

use super::super::mistake::Mistake;
use super::header::Value;
use crate::units::{LengthUnit, Quantity, Rain, Share, Speed, Temperature, TemperatureDifference};

/// What a column measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Measure {
    Temperature,
    Humidity,
    Rain,
    Wind,
}

/// A column's unit: how many of the quantity's own one of it is; for temperatures where nought lies, too.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Unit {
    factor: f64,
    is_fahrenheit: bool,
}

impl Unit {
    /// Degrees Celsius, per cent, millimetres, metres per second.
    pub(super) const OWN: Self = Self {
        factor: 1.0,
        is_fahrenheit: false,
    };
}

impl Measure {
    /// The unit that is written so; none where it is no unit of this.
    pub(super) fn unit(self, text: &str) -> Option<Unit> {
        let plain = squeezed(text);
        let among = |units: &[(&str, f64)]| {
            let found = units.iter().find(|(name, _)| squeezed(name) == plain);
            found.map(|(_, factor)| Unit {
                factor: *factor,
                is_fahrenheit: false,
            })
        };
        match self {
            Self::Temperature => match plain.trim_start_matches('°').trim_start_matches("deg") {
                "c" | "celsius" => Some(Unit::OWN),
                "f" | "fahrenheit" => Some(Unit {
                    factor: 1.0,
                    is_fahrenheit: true,
                }),
                _ => None,
            },
            Self::Humidity => {
                let is_per_cent = ["%", "pct", "percent", "%rh"].contains(&plain.as_str());
                is_per_cent.then_some(Unit::OWN)
            }
            Self::Rain => {
                among(Rain::DIMENSION.units).or_else(|| among(&[("mm/h", 1.0), ("in/h", 25.4)]))
            }
            Self::Wind => among(Speed::DIMENSION.units),
        }
    }

    /// How units may be written.
    pub(super) const fn units(self) -> &'static str {
        match self {
            Self::Temperature => "C or F",
            Self::Humidity => "%",
            Self::Rain => "mm or in",
            Self::Wind => "m/s, km/h, kn or mph",
        }
    }
}

/// A unit without what people write differently: case, spaces, strokes.
fn squeezed(unit: &str) -> String {
    unit.chars()
        .filter(|sign| !sign.is_whitespace() && !matches!(sign, '/' | '_' | '.'))
        .flat_map(char::to_lowercase)
        .collect()
}

/// A number written plainly: digits, a decimal point or, where `decimal_comma`, a comma as well; no exponent, no thousands
/// kept apart.
pub(super) fn number_of(text: &str, decimal_comma: bool) -> Result<f64, Mistake> {
    let form = if decimal_comma { "3,5" } else { "3.5" };
    let wrong = |problem: &str| {
        Mistake::new(
            format!("`{}` {problem}", text.escape_debug()),
            format!("write a plain number, for example {form}, or nothing where none was measured"),
        )
    };
    let unsigned = text.strip_prefix(['-', '−', '+']).unwrap_or(text);
    let is_digits = |part: &str| !part.is_empty() && part.chars().all(|c| c.is_ascii_digit());
    let (whole, decimals) = match unsigned.split_once(['.', ',']) {
        Some((whole, decimals)) => (whole, decimals),
        None => (unsigned, "0"),
    };
    if !(is_digits(whole) && is_digits(decimals)) {
        return Err(wrong("is not a number"));
    }
    if unsigned.contains(',') && !decimal_comma {
        return Err(wrong("has a comma, which separates cells here"));
    }
    // Where decimals stand behind a comma, 1.250 may be a thousand and some.
    if decimal_comma && unsigned.contains('.') && decimals.len() == 3 && whole != "0" {
        return Err(wrong("could be thousands or thousandths"));
    }
    let parsed = match unsigned.split_once(',') {
        Some((whole, decimals)) => format!("{whole}.{decimals}").parse::<f64>(),
        None => unsigned.parse(),
    };
    let sign = if text.starts_with(['-', '−']) {
        -1.0
    } else {
        1.0
    };
    parsed
        .ok()
        .filter(|number| *number < 1e9)
        .map(|number| sign * number)
        .ok_or_else(|| wrong("is not a number"))
}

/// Air as it is in the open.
pub(in crate::weather) fn air_of(air: Temperature) -> Result<Temperature, Mistake> {
    within(air, -60.0, 60.0, "air")
}

/// A relative humidity as it is in the open.
pub(in crate::weather) fn humidity_of(humidity: Share) -> Result<Share, Mistake> {
    let per_cent = humidity.to_per_cent();
    if (1.0..=100.0).contains(&per_cent) {
        Ok(humidity)
    } else {
        Err(Mistake::new(
            format!("a relative humidity of {per_cent:.1} % is a slip"),
            "write per cent, from 1 to 100, or nothing where none was measured",
        ))
    }
}

pub(super) fn air_in(value: Value) -> Result<Temperature, Mistake> {
    air_of(temperature(&value))
}

pub(super) fn surface_in(value: Value) -> Result<Temperature, Mistake> {
    within(temperature(&value), -60.0, 90.0, "a surface")
}

pub(super) fn dew_point_in(value: Value) -> Result<Temperature, Mistake> {
    within(temperature(&value), -80.0, 40.0, "a dew point")
}

/// Air cannot hold more water than it can: only as much over is let pass as two instruments differ by.
pub(super) fn check_dew_point(dew_point: Temperature, air: Temperature) -> Result<(), Mistake> {
    if dew_point - air <= TemperatureDifference::kelvins(1.0) {
        return Ok(());
    }
    let (dew_point, air) = (shown(dew_point), shown(air));
    Err(Mistake::new(
        format!("a dew point of {dew_point} in air of {air} is a slip"),
        "look whether the columns are what they are called",
    ))
}

pub(super) fn humidity_in(value: &Value) -> Result<Share, Mistake> {
    humidity_of(Share::per_cent(value.number))
}

pub(super) fn rain_in(value: Value) -> Result<Rain, Mistake> {
    let rain = Rain::mm(value.number * value.unit.factor);
    // The most ever measured in an hour is some 300 mm (from memory).
    if (0.0..=400.0).contains(&rain.to_mm()) {
        Ok(rain)
    } else {
        Err(slip(
            &format!("rain of {}", rain.show(LengthUnit::Millimetre)),
            "what fell in the hour, from 0 to 400 mm",
        ))
    }
}

pub(super) fn wind_in(value: Value) -> Result<Speed, Mistake> {
    let wind = Speed::metres_per_second(value.number * value.unit.factor);
    if (0.0..=100.0).contains(&wind.to_metres_per_second()) {
        Ok(wind)
    } else {
        Err(slip(
            &format!("wind of {}", wind.show(LengthUnit::Millimetre)),
            "its mean, from 0 to 100 m/s",
        ))
    }
}

fn temperature(value: &Value) -> Temperature {
    if value.unit.is_fahrenheit {
        Temperature::fahrenheit(value.number)
    } else {
        Temperature::celsius(value.number)
    }
}

fn within(
    found: Temperature,
    coldest: f64,
    warmest: f64,
    what: &str,
) -> Result<Temperature, Mistake> {
    if (coldest..=warmest).contains(&found.to_celsius()) {
        Ok(found)
    } else {
        Err(slip(
            &format!("{what} of {}", shown(found)),
            &format!("its temperature, from {coldest} to {warmest} °C"),
        ))
    }
}

fn slip(found: &str, form: &str) -> Mistake {
    Mistake::new(
        format!("{found} is a slip"),
        format!("write {form}, or nothing where none was measured"),
    )
}

fn shown(temperature: Temperature) -> String {
    temperature.show(LengthUnit::Millimetre)
}
