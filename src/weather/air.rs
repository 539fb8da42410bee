//! Moist air. Comes in: its temperature and relative humidity; goes out: the temperature at which its water begins to
//! settle on things.
//!
//! The Magnus formula over water as the World Meteorological Organization gives it (WMO-No. 8, Annex 4.B, as quoted in an
//! instrument maker's manual), good from -45 to 60 °C: e = 6.112 hPa · exp(17.62 t / (243.12 + t)).

use crate::units::{Share, Temperature};

/// Of the exponent.
const SLOPE: f64 = 17.62;
/// Of the exponent, in degrees Celsius.
const OFFSET: f64 = 243.12;
/// Over water at 0 °C, in hPa.
const AT_FREEZING: f64 = 6.112;
/// Air is never drier than this in the open; below it the logarithm would run away.
const DRIEST: f64 = 1e-3;

/// The pressure of water vapour in saturated air, in hPa.
pub(super) fn saturation_hpa(air: Temperature) -> f64 {
    AT_FREEZING * exponent(air).exp()
}

/// Where water settles out of air: γ = ln(RH) + 17.62 t / (243.12 + t), Td = 243.12 γ / (17.62 - γ). Humidity below 0.1 %
/// counts as 0.1 %.
///
/// ```
/// use spile::units::{Share, Temperature};
/// use spile::weather::dew_point;
/// let at = dew_point(Temperature::celsius(20.0), Share::per_cent(70.0));
/// assert!((at.to_celsius() - 14.4).abs() < 0.1);
/// ```
#[must_use]
pub fn dew_point(air: Temperature, humidity: Share) -> Temperature {
    let gamma = humidity.factor().max(DRIEST).ln() + exponent(air);
    Temperature::celsius(OFFSET * gamma / (SLOPE - gamma))
}

fn exponent(air: Temperature) -> f64 {
    let t = air.to_celsius();
    SLOPE * t / (OFFSET + t)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dew(air: f64, per_cent: f64) -> f64 {
        dew_point(Temperature::celsius(air), Share::per_cent(per_cent)).to_celsius()
    }

    fn near(found: f64, printed: f64, within: f64) {
        assert!((found - printed).abs() <= within, "{found}, not {printed}");
    }

    /// A printed dew point table (expydoc.com/doc/12113599), to a tenth; the hundredths by the formula's own arithmetic.
    #[test]
    fn a_printed_table_has_the_same_dew_points() {
        for (air, humidity, printed) in [
            (20.0, 50.0, 9.3),
            (20.0, 70.0, 14.4),
            (20.0, 85.0, 17.4),
            (25.0, 60.0, 16.7),
            (30.0, 55.0, 20.0),
        ] {
            near(dew(air, humidity), printed, 0.1);
        }
        for (air, humidity, worked) in [
            (20.0, 50.0, 9.26),
            (20.0, 70.0, 14.36),
            (20.0, 85.0, 17.40),
            (25.0, 60.0, 16.69),
            (30.0, 55.0, 19.97),
        ] {
            near(dew(air, humidity), worked, 0.005);
        }
    }

    /// A maker's advice (maleco.de): at 20 °C and 70 % no surface under 17.4 °C, three degrees over the dew point.
    #[test]
    fn the_coldest_surface_of_a_printed_example() {
        near(dew(20.0, 70.0) + 3.0, 17.4, 0.1);
    }

    /// A worked example (scribd 146044552): 16 °C, 71 %, a surface of 13 °C; its chart reads a dew point of 11 °C and it
    /// refuses the surface. The hundredths by the formula.
    #[test]
    fn a_worked_example_refuses_a_surface_too_near() {
        near(dew(16.0, 71.0), 11.0, 0.5);
        near(dew(16.0, 71.0), 10.74, 0.05);
        near(13.0 - dew(16.0, 71.0), 2.26, 0.05);
    }

    /// An hour of NREL's TMY3 for 723170 (20 July, 14:00), as pvlib 0.16.1 carries it: 33.3 °C, 58 %, dew point 23.9 °C.
    #[test]
    fn a_measured_hour_has_its_dew_point() {
        near(dew(33.3, 58.0), 23.9, 0.1);
        near(dew(33.3, 58.0), 23.91, 0.005);
    }

    /// Another maker's constants (metpod.co.uk): A 6.116441, m 7.591386, Tn 240.7263, powers of ten. From 0 to 40 °C and 20 to
    /// 99 % both sets agree within 0.053 °C, which is less than what any thermometer on a wall tells.
    #[test]
    fn another_set_of_constants_agrees() {
        let other = |air: f64, per_cent: f64| {
            let (a, m, tn) = (6.116_441, 7.591_386, 240.7263);
            let pressure = a * 10_f64.powf(m * air / (air + tn)) * per_cent / 100.0;
            tn / (m / (pressure / a).log10() - 1.0)
        };
        let mut worst: f64 = 0.0;
        for air in 0..=40 {
            for humidity in 20..=99 {
                let (air, humidity) = (f64::from(air), f64::from(humidity));
                worst = worst.max((dew(air, humidity) - other(air, humidity)).abs());
            }
        }
        assert!(worst < 0.053, "{worst}");
    }

    #[test]
    fn saturated_air_is_at_its_dew_point_and_no_humidity_breaks_the_formula() {
        for air in -45..=60 {
            near(dew(f64::from(air), 100.0), f64::from(air), 1e-9);
            assert!(dew(f64::from(air), 0.0).is_finite());
        }
        near(saturation_hpa(Temperature::celsius(0.0)), 6.112, 1e-12);
    }
}
