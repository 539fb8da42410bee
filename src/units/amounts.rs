//! What paint, time and heat are measured in, and what may be multiplied with what: an area laid at a film's
//! thickness is a volume, a volume by a density a mass, an area by a pace a time. Conversions are exact: the
//! international yard and pound (1959), the US liquid gallon of 231 cubic inches (NIST Handbook 44, appendix C).

use std::ops::{Add, Div, Mul, Sub};

use super::quantity::quantity;
use super::show::fixed;
use super::{Area, Dimension, Length, LengthUnit};

/// Millilitres in a US gallon: 231 in³.
const US_GALLON: f64 = 3785.411784;
/// Grams in a pound.
const POUND: f64 = 453.592_37;
/// Square metres in a square foot.
const SQUARE_FOOT: f64 = 0.092_903_04;
/// Metres per second in a knot: the international nautical mile of 1852 m in an hour.
const KNOT: f64 = 1852.0 / 3600.0;
/// Metres per second in a mile, 5280 ft, per hour.
const MILE_PER_HOUR: f64 = 1609.344 / 3600.0;

quantity!(
    /// A volume of liquid.
    Volume,
    millilitres,
    to_millilitres,
    "millilitres",
    Dimension {
        what: "a volume",
        examples: "\"750 ml\", \"2.5 L\" or \"1 US gal\"",
        units: &[
            ("ml", 1.0),
            ("L", 1000.0),
            ("litre", 1000.0),
            ("litres", 1000.0),
            ("liter", 1000.0),
            ("liters", 1000.0),
            ("cl", 10.0),
            ("US gal", US_GALLON),
            ("gal", US_GALLON),
            ("US qt", US_GALLON / 4.0),
            ("qt", US_GALLON / 4.0),
            ("US pt", US_GALLON / 8.0),
            ("pt", US_GALLON / 8.0),
            ("US fl oz", US_GALLON / 128.0),
            ("fl oz", US_GALLON / 128.0),
        ],
    }
);

quantity!(
    /// A mass.
    Mass,
    grams,
    to_grams,
    "grams",
    Dimension {
        what: "a mass",
        examples: "\"500 g\", \"2 kg\" or \"1 lb\"",
        units: &[
            ("g", 1.0),
            ("kg", 1000.0),
            ("lb", POUND),
            ("lbs", POUND),
            ("oz", POUND / 16.0),
        ],
    }
);

quantity!(
    /// A stretch of time.
    Time,
    hours,
    to_hours,
    "hours",
    Dimension {
        what: "a time",
        examples: "\"30 min\" or \"4 h\"",
        units: &[
            ("min", 1.0 / 60.0),
            ("minutes", 1.0 / 60.0),
            ("h", 1.0),
            ("hours", 1.0),
            ("hour", 1.0),
            ("days", 24.0),
            ("day", 24.0),
        ],
    }
);

quantity!(
    /// Area that a volume covers.
    SpreadingRate,
    square_metres_per_litre,
    to_square_metres_per_litre,
    "square metres per litre",
    Dimension {
        what: "a spreading rate",
        examples: "\"10 m2/L\" or \"400 ft2/gal\"",
        units: &[
            ("m2/L", 1.0),
            ("ft2/gal", SQUARE_FOOT / (US_GALLON / 1000.0)),
            ("ft2/US gal", SQUARE_FOOT / (US_GALLON / 1000.0)),
        ],
    }
);

quantity!(
    /// Mass laid on an area.
    MassPerArea,
    grams_per_square_metre,
    to_grams_per_square_metre,
    "grams per square metre",
    Dimension {
        what: "a mass per area",
        examples: "\"600 g/m2\", \"0.6 kg/m2\" or \"18 oz/yd2\"",
        units: &[
            ("g/m2", 1.0),
            ("kg/m2", 1000.0),
            ("oz/yd2", POUND / 16.0 / (9.0 * SQUARE_FOOT)),
            ("lb/ft2", POUND / SQUARE_FOOT),
            ("oz/ft2", POUND / 16.0 / SQUARE_FOOT),
        ],
    }
);

quantity!(
    /// Mass of a volume.
    Density,
    kilograms_per_litre,
    to_kilograms_per_litre,
    "kilograms per litre",
    Dimension {
        what: "a density",
        examples: "\"1.2 kg/L\" or \"10 lb/gal\"",
        units: &[
            ("kg/L", 1.0),
            ("g/ml", 1.0),
            ("lb/gal", POUND / US_GALLON),
            ("lb/US gal", POUND / US_GALLON),
        ],
    }
);

quantity!(
    /// Area that one person gets done in a time.
    AreaPace,
    square_metres_an_hour,
    to_square_metres_an_hour,
    "square metres an hour",
    Dimension {
        what: "a pace over an area",
        examples: "\"8 m2/h\" or \"90 ft2/h\"",
        units: &[("m2/h", 1.0), ("ft2/h", SQUARE_FOOT)],
    }
);

quantity!(
    /// Length that one person gets done in a time.
    LengthPace,
    metres_an_hour,
    to_metres_an_hour,
    "metres an hour",
    Dimension {
        what: "a pace along a line",
        examples: "\"10 m/h\" or \"30 ft/h\"",
        units: &[("m/h", 1.0), ("ft/h", 0.3048)],
    }
);

quantity!(
    /// A speed, of wind.
    Speed,
    metres_per_second,
    to_metres_per_second,
    "metres per second",
    Dimension {
        what: "a speed",
        examples: "\"6 m/s\", \"12 kn\" or \"15 mph\"",
        units: &[
            ("m/s", 1.0),
            ("km/h", 1.0 / 3.6),
            ("kmh", 1.0 / 3.6),
            ("kn", KNOT),
            ("kt", KNOT),
            ("kts", KNOT),
            ("knots", KNOT),
            ("mph", MILE_PER_HOUR),
        ],
    }
);

quantity!(
    /// How deep the rain of a time stands.
    Rain,
    mm,
    to_mm,
    "millimetres",
    Dimension {
        what: "a depth of rain",
        examples: "\"0.4 mm\" or \"0.02 in\"",
        units: &[
            ("mm", 1.0),
            ("in", 25.4),
            ("inch", 25.4),
            ("inches", 25.4),
        ],
    }
);

quantity!(
    /// By how much one temperature lies over another.
    TemperatureDifference,
    kelvins,
    to_kelvins,
    "kelvins",
    Dimension {
        what: "a difference of temperatures",
        examples: "\"3 °C\" or \"5 °F\"",
        units: &[
            ("K", 1.0),
            ("C", 1.0),
            ("°C", 1.0),
            ("F", 5.0 / 9.0),
            ("°F", 5.0 / 9.0),
        ],
    }
);

/// A temperature.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Temperature(f64);

impl Temperature {
    /// So many degrees Celsius.
    #[must_use]
    pub const fn celsius(degrees: f64) -> Self {
        Self(degrees)
    }

    /// So many degrees Fahrenheit.
    #[must_use]
    pub const fn fahrenheit(degrees: f64) -> Self {
        Self((degrees - 32.0) * 5.0 / 9.0)
    }

    /// In degrees Celsius.
    #[must_use]
    pub const fn to_celsius(self) -> f64 {
        self.0
    }

    /// For people who measure in `unit`: `18 °C` or `64 °F`.
    #[must_use]
    pub fn show(self, unit: LengthUnit) -> String {
        if unit.is_imperial() {
            format!("{} °F", fixed(self.0 * 9.0 / 5.0 + 32.0, 0))
        } else {
            let shown = fixed(self.0, 1);
            format!("{} °C", shown.strip_suffix(".0").unwrap_or(&shown))
        }
    }

    /// Reads `18 C`, `18 °C` or `65 F`.
    ///
    /// # Errors
    /// What was mistaken, and what to write.
    pub fn parse(text: &str) -> Result<Self, super::LengthFault> {
        let plain = text.trim().replace('°', "").to_uppercase();
        let number = |digits: &str| {
            digits
                .trim()
                .parse::<f64>()
                .ok()
                .filter(|it| it.is_finite())
        };
        let read = match (plain.strip_suffix('C'), plain.strip_suffix('F')) {
            (Some(digits), _) => number(digits).map(Self::celsius),
            (_, Some(digits)) => number(digits).map(Self::fahrenheit),
            _ => None,
        };
        read.ok_or_else(|| super::LengthFault {
            problem: "not a temperature".into(),
            advice: "write for example \"18 C\" or \"65 F\"".into(),
        })
    }
}

/// How far one lies over the other.
impl Sub for Temperature {
    type Output = TemperatureDifference;
    fn sub(self, other: Self) -> TemperatureDifference {
        TemperatureDifference::kelvins(self.0 - other.0)
    }
}

/// So much warmer.
impl Add<TemperatureDifference> for Temperature {
    type Output = Self;
    fn add(self, difference: TemperatureDifference) -> Self {
        Self(self.0 + difference.to_kelvins())
    }
}

/// A part of a whole, from none of it to more than all: loss, solids, thinner.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Share(f64);

impl Share {
    /// Nothing.
    pub const NONE: Self = Self(0.0);

    /// So many per cent.
    #[must_use]
    pub const fn per_cent(per_cent: f64) -> Self {
        Self(per_cent / 100.0)
    }

    /// In per cent.
    #[must_use]
    pub const fn to_per_cent(self) -> f64 {
        self.0 * 100.0
    }

    /// As a factor: 15 % are 0.15.
    #[must_use]
    pub const fn factor(self) -> f64 {
        self.0
    }

    /// What is left of a whole without it.
    #[must_use]
    pub const fn rest(self) -> f64 {
        1.0 - self.0
    }
}

/// A film of so much over an area.
impl Mul<Length> for Area {
    type Output = Volume;
    fn mul(self, film: Length) -> Volume {
        Volume::millilitres(self.to_mm2() * film.to_mm() / 1000.0)
    }
}

/// What covers an area at a spreading rate.
impl Div<SpreadingRate> for Area {
    type Output = Volume;
    fn div(self, rate: SpreadingRate) -> Volume {
        Volume::litres(self.to_m2() / rate.to_square_metres_per_litre())
    }
}

/// What lies on an area.
impl Mul<MassPerArea> for Area {
    type Output = Mass;
    fn mul(self, load: MassPerArea) -> Mass {
        Mass::grams(self.to_m2() * load.to_grams_per_square_metre())
    }
}

/// What a volume weighs.
impl Mul<Density> for Volume {
    type Output = Mass;
    fn mul(self, density: Density) -> Mass {
        Mass::grams(self.to_millilitres() * density.to_kilograms_per_litre())
    }
}

/// The room a mass takes.
impl Div<Density> for Mass {
    type Output = Volume;
    fn div(self, density: Density) -> Volume {
        Volume::millilitres(self.to_grams() / density.to_kilograms_per_litre())
    }
}

/// How long an area takes one person.
impl Div<AreaPace> for Area {
    type Output = Time;
    fn div(self, pace: AreaPace) -> Time {
        Time::hours(self.to_m2() / pace.to_square_metres_an_hour())
    }
}

/// How much one person gets done.
impl Mul<Time> for AreaPace {
    type Output = Area;
    fn mul(self, time: Time) -> Area {
        Area::mm2(self.to_square_metres_an_hour() * time.to_hours() * 1e6)
    }
}

/// How long a length takes one person.
impl Div<LengthPace> for Length {
    type Output = Time;
    fn div(self, pace: LengthPace) -> Time {
        Time::hours(self.to(LengthUnit::Metre) / pace.to_metres_an_hour())
    }
}

impl Volume {
    /// So many litres.
    #[must_use]
    pub const fn litres(litres: f64) -> Self {
        Self::millilitres(litres * 1000.0)
    }

    /// In litres.
    #[must_use]
    pub const fn to_litres(self) -> f64 {
        self.to_millilitres() / 1000.0
    }

    /// In US gallons.
    #[must_use]
    pub const fn to_us_gallons(self) -> f64 {
        self.to_millilitres() / US_GALLON
    }

    /// For people who measure in `unit`: `350 ml`, `1.25 L`; `12 fl oz`, `1.3 US gal`.
    #[must_use]
    pub fn show(self, unit: LengthUnit) -> String {
        if unit.is_imperial() {
            let ounces = self.to_us_gallons() * 128.0;
            if ounces < 63.95 {
                format!("{} fl oz", trimmed(ounces, 1))
            } else {
                format!("{} US gal", trimmed(self.to_us_gallons(), 2))
            }
        } else if self.to_millilitres() < 999.5 {
            format!("{} ml", fixed(self.to_millilitres(), 0))
        } else {
            format!("{} L", trimmed(self.to_litres(), 2))
        }
    }

    /// As it stands on a can: whole US pints, quarts and gallons by their names, all else as [`show`](Self::show).
    ///
    /// ```
    /// use spile::units::{LengthUnit, Volume};
    /// let quart = Volume::millilitres(946.352_946);
    /// assert_eq!(quart.show_can(LengthUnit::Inch), "1 qt");
    /// assert_eq!((quart * 8.0).show_can(LengthUnit::Inch), "2 US gal");
    /// assert_eq!(quart.show_can(LengthUnit::Metre), "946 ml");
    /// ```
    #[must_use]
    pub fn show_can(self, unit: LengthUnit) -> String {
        let sizes = [("US gal", 1.0), ("qt", 4.0), ("pt", 8.0)];
        let whole = sizes.into_iter().find_map(|(name, parts)| {
            let many = self.to_us_gallons() * parts;
            let is_whole = many > 0.5 && (many - many.round()).abs() < 1e-6;
            is_whole.then(|| format!("{many:.0} {name}"))
        });
        whole
            .filter(|_| unit.is_imperial())
            .unwrap_or_else(|| self.show(unit))
    }
}

impl Mass {
    /// For people who measure in `unit`: `350 g`, `1.25 kg`; `12 oz`, `1.3 lb`.
    #[must_use]
    pub fn show(self, unit: LengthUnit) -> String {
        if unit.is_imperial() {
            let pounds = self.to_grams() / POUND;
            if pounds < 0.995 {
                // Finer below an ounce, where a scale still shows it.
                let decimals = if pounds < 1.0 / 16.0 { 2 } else { 1 };
                format!("{} oz", trimmed(pounds * 16.0, decimals))
            } else {
                format!("{} lb", trimmed(pounds, 2))
            }
        } else if self.to_grams() < 999.5 {
            format!("{} g", fixed(self.to_grams(), 0))
        } else {
            format!("{} kg", trimmed(self.to_grams() / 1000.0, 2))
        }
    }
}

impl Time {
    /// So many minutes.
    #[must_use]
    pub const fn minutes(minutes: f64) -> Self {
        Self::hours(minutes / 60.0)
    }

    /// `25 min` or `3.5 h`.
    #[must_use]
    pub fn show(self) -> String {
        let minutes = self.to_hours() * 60.0;
        if minutes < 59.5 {
            format!("{} min", fixed(minutes, 0))
        } else {
            format!("{} h", trimmed(self.to_hours(), 1))
        }
    }

    /// A wait: `45 min`, `16 h`, and from three days on `7 days`.
    #[must_use]
    pub fn show_days(self) -> String {
        if self.to_hours() < 71.95 {
            self.show()
        } else {
            format!("{} days", trimmed(self.to_hours() / 24.0, 1))
        }
    }
}

impl SpreadingRate {
    /// In square feet per US gallon.
    #[must_use]
    pub const fn to_square_feet_per_gallon(self) -> f64 {
        self.to_square_metres_per_litre() * US_GALLON / 1000.0 / SQUARE_FOOT
    }

    /// The rate at which a film of this thickness is laid.
    #[must_use]
    pub const fn of_film(wet: Length) -> Self {
        Self::square_metres_per_litre(1.0 / wet.to_mm())
    }

    /// The wet film that it lays.
    #[must_use]
    pub const fn film(self) -> Length {
        Length::mm(1.0 / self.to_square_metres_per_litre())
    }

    /// For people who measure in `unit`: `9.6 m²/L` or `391 ft²/gal`.
    #[must_use]
    pub fn show(self, unit: LengthUnit) -> String {
        if unit.is_imperial() {
            format!("{} ft²/gal", fixed(self.to_square_feet_per_gallon(), 0))
        } else {
            format!("{} m²/L", trimmed(self.to_square_metres_per_litre(), 1))
        }
    }
}

impl AreaPace {
    /// For people who measure in `unit`: `8.4 m²/h` or `90 ft²/h`.
    #[must_use]
    pub fn show(self, unit: LengthUnit) -> String {
        let pace = self.to_square_metres_an_hour();
        if unit.is_imperial() {
            format!("{} ft²/h", fixed(pace / SQUARE_FOOT, 0))
        } else {
            format!("{} m²/h", trimmed(pace, 1))
        }
    }
}

impl LengthPace {
    /// For people who measure in `unit`: `10 m/h` or `33 ft/h`.
    #[must_use]
    pub fn show(self, unit: LengthUnit) -> String {
        let pace = self.to_metres_an_hour();
        if unit.is_imperial() {
            format!("{} ft/h", fixed(pace / 0.3048, 0))
        } else {
            format!("{} m/h", trimmed(pace, 1))
        }
    }
}

impl Speed {
    /// For people who measure in `unit`: `6.5 m/s` or `15 mph`.
    #[must_use]
    pub fn show(self, unit: LengthUnit) -> String {
        if unit.is_imperial() {
            let mph = self.to_metres_per_second() / MILE_PER_HOUR;
            format!("{} mph", fixed(mph, 0))
        } else {
            format!("{} m/s", trimmed(self.to_metres_per_second(), 1))
        }
    }
}

impl Rain {
    /// For people who measure in `unit`: `0.4 mm` or `0.02 in`.
    #[must_use]
    pub fn show(self, unit: LengthUnit) -> String {
        if unit.is_imperial() {
            format!("{} in", trimmed(self.to_mm() / 25.4, 2))
        } else {
            format!("{} mm", trimmed(self.to_mm(), 1))
        }
    }
}

impl TemperatureDifference {
    /// For people who measure in `unit`: `2.3 °C` or `4.1 °F`.
    #[must_use]
    pub fn show(self, unit: LengthUnit) -> String {
        if unit.is_imperial() {
            format!("{} °F", trimmed(self.to_kelvins() * 9.0 / 5.0, 1))
        } else {
            format!("{} °C", trimmed(self.to_kelvins(), 1))
        }
    }
}

impl Length {
    /// The thickness of a film: `75 µm` or `3 mil`.
    #[must_use]
    pub fn show_film(self, unit: LengthUnit) -> String {
        if unit.is_imperial() {
            format!("{} mil", trimmed(self.to_mm() / 0.0254, 1))
        } else {
            format!("{} µm", fixed(self.to_mm() * 1000.0, 0))
        }
    }
}

/// A number with at most so many decimals, none of them an idle nought at the end.
fn trimmed(value: f64, decimals: usize) -> String {
    let shown = fixed(value, decimals);
    if shown.contains('.') {
        shown.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        shown
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Quantity;

    #[test]
    fn an_area_at_a_film_is_a_volume_at_its_rate() {
        let area = Area::mm2(10e6);
        let film = Length::mm(0.1);
        assert!(((area * film).to_litres() - 1.0).abs() < 1e-12);
        let rate = SpreadingRate::of_film(film);
        assert!(((area / rate).to_litres() - 1.0).abs() < 1e-12);
        assert!((rate.film() - film).to_mm().abs() < 1e-15);
    }

    /// 231 in³ spread one mil thin cover 231,000 in², that is 1604.17 ft² (arithmetic).
    #[test]
    fn a_us_gallon_one_mil_thin_covers_1604_square_feet() {
        let rate = SpreadingRate::of_film(Length::parse("1 mil").expect("a film"));
        assert!((rate.to_square_feet_per_gallon() - 231.0 * 1000.0 / 144.0).abs() < 1e-9);
    }

    #[test]
    fn quantities_are_shown_as_people_measure_them() {
        let (mm, inch) = (LengthUnit::Millimetre, LengthUnit::Inch);
        assert_eq!(Volume::millilitres(350.0).show(mm), "350 ml");
        assert_eq!(Volume::litres(1.25).show(mm), "1.25 L");
        assert_eq!(Volume::litres(3.785411784).show(inch), "1 US gal");
        assert_eq!(Volume::millilitres(354.882_354_75).show(inch), "12 fl oz");
        assert_eq!(Mass::grams(1250.0).show(mm), "1.25 kg");
        assert_eq!(Mass::grams(POUND / 2.0).show(inch), "8 oz");
        assert_eq!(Time::minutes(20.0).show(), "20 min");
        assert_eq!(Time::hours(3.5).show(), "3.5 h");
        assert_eq!(Temperature::celsius(18.0).show(mm), "18 °C");
        assert_eq!(Temperature::celsius(18.0).show(inch), "64 °F");
        assert_eq!(Length::mm(0.075).show_film(mm), "75 µm");
        assert_eq!(Length::mm(0.0762).show_film(inch), "3 mil");
    }

    /// A knot is 1.852 km/h by definition, a mile per hour 0.447 04 m/s (NIST Special Publication 811, appendix B; from
    /// memory).
    #[test]
    fn weather_is_read_and_shown_as_people_measure_it() {
        let (mm, inch) = (LengthUnit::Millimetre, LengthUnit::Inch);
        let knots = Speed::parse("10 kn").expect("a speed");
        let kilometres = Speed::parse("18.52 km/h").expect("a speed");
        assert!((knots / kilometres - 1.0).abs() < 1e-12);
        let mph = Speed::parse("1 mph").expect("a speed");
        assert!((mph.to_metres_per_second() - 0.447_04).abs() < 1e-12);
        assert_eq!(knots.show(mm), "5.1 m/s");
        assert_eq!(knots.show(inch), "12 mph");
        assert_eq!(Rain::parse("0.5 in"), Ok(Rain::mm(12.7)));
        assert_eq!(Rain::mm(12.7).show(inch), "0.5 in");
        assert_eq!(Rain::mm(0.4).show(mm), "0.4 mm");
        let five = TemperatureDifference::parse("5 °F").expect("a difference");
        assert_eq!(five.show(mm), "2.8 °C");
        assert_eq!(five.show(inch), "5 °F");
        let warmer = Temperature::celsius(20.0) + five;
        assert!(((warmer - Temperature::celsius(20.0)) / five - 1.0).abs() < 1e-12);
    }

    #[test]
    fn temperatures_are_read_in_either_degree() {
        assert_eq!(Temperature::parse("18 °C"), Ok(Temperature::celsius(18.0)));
        let fahrenheit = Temperature::parse("70 F").expect("a temperature");
        assert!((fahrenheit.to_celsius() - 21.111).abs() < 1e-3);
        assert!(Temperature::parse("18").is_err());
        assert!(Temperature::parse("warm").is_err());
    }
}
