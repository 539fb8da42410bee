//! Films and how long there is to lay them. Comes in: what the data sheet says of solids, film, loss, thinner and
//! pot life. Goes out: spreading rates, the wet film that a comb gauge reads, the time or the temperature that
//! suffices. The data sheet is always right; this only does its sums.
//!
//! Solids must be more than nothing, as a paint without any leaves no film; whoever reads them in sees to that.

use crate::units::{Length, Share, SpreadingRate, Temperature, Time};

/// What a litre covers at a dry film, where nothing is lost. Thinner changes nothing in it: it evaporates.
#[must_use]
pub fn theoretical_rate(solids: Share, dry: Length) -> SpreadingRate {
    SpreadingRate::of_film(wet_film(dry, solids, Share::NONE))
}

/// What a litre covers where some of it stays in the roller, the tray or the air.
#[must_use]
pub fn practical_rate(rate: SpreadingRate, loss: Share) -> SpreadingRate {
    rate * loss.rest()
}

/// The wet film that dries to `dry`; `thinner` is by volume of the paint that it is stirred into.
#[must_use]
pub fn wet_film(dry: Length, solids: Share, thinner: Share) -> Length {
    dry / thinned_solids(solids, thinner).factor()
}

/// The solids of paint with so much thinner, by volume of the paint, stirred in.
#[must_use]
pub fn thinned_solids(solids: Share, thinner: Share) -> Share {
    Share::per_cent(solids.to_per_cent() / (1.0 + thinner.factor()))
}

/// A difference of temperature.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Warming(f64);

impl Warming {
    /// What halves a pot life where the data sheet says nothing else: a reaction runs twice as fast for each 10 °C
    /// (rqbchemical.com; the nilsmalmgren.com glossary).
    pub const THAT_HALVES: Self = Self(10.0);

    /// So many kelvin, or degrees Celsius, warmer.
    #[must_use]
    pub const fn kelvin(kelvin: f64) -> Self {
        Self(kelvin)
    }

    /// In kelvin.
    #[must_use]
    pub const fn to_kelvin(self) -> f64 {
        self.0
    }
}

/// How long mixed paint can be worked, as the data sheet states it. The same rule holds for recoat times.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PotLife {
    /// How long.
    pub stated: Time,
    /// At which temperature of the paint.
    pub stated_at: Temperature,
    /// The warming that halves it; not nothing.
    pub halved_by: Warming,
}

impl PotLife {
    /// How long at another temperature. A large batch heats itself and has less.
    #[must_use]
    pub fn at(self, temperature: Temperature) -> Time {
        let cooler = self.stated_at.to_celsius() - temperature.to_celsius();
        self.stated * (cooler / self.halved_by.to_kelvin()).exp2()
    }

    /// The warmest that it may be for the paint to last so long. No promise that it cures there: the data sheet's
    /// least temperature holds. None where no temperature gives that time: it is nothing, or less, or endless.
    #[must_use]
    pub fn temperature_for(self, time: Time) -> Option<Temperature> {
        let doublings = (time / self.stated).log2();
        let degrees = self.stated_at.to_celsius() - doublings * self.halved_by.to_kelvin();
        degrees.is_finite().then_some(Temperature::celsius(degrees))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Area, LengthUnit, Quantity, Volume};
    use proptest::prelude::*;

    fn micrometres(film: f64) -> Length {
        Length::mm(film / 1000.0)
    }

    fn mil(film: f64) -> Length {
        Length::of(film / 1000.0, LengthUnit::Inch)
    }

    fn near(found: f64, expected: f64, tolerance: f64) {
        assert!(
            (found - expected).abs() <= tolerance,
            "{found} is not {expected} to {tolerance}"
        );
    }

    /// The printed table of a paint maker's note on spreading rates (scribd 343849341).
    #[test]
    fn a_litre_covers_what_the_printed_table_says() {
        for (solids, film, rate) in [(65.0, 125.0, 5.2), (50.0, 50.0, 10.0), (45.0, 75.0, 6.0)] {
            let found = theoretical_rate(Share::per_cent(solids), micrometres(film));
            near(found.to_square_metres_per_litre(), rate, 0.05);
        }
    }

    /// 1604 VS/DFT in the same note; 231·1000/144 exactly.
    #[test]
    fn a_us_gallon_of_65_per_cent_covers_208_square_feet_at_5_mil() {
        let rate = theoretical_rate(Share::per_cent(65.0), mil(5.0));
        near(rate.to_square_feet_per_gallon(), 208.52, 0.05);
    }

    /// paintcenter.org, October 2003: a gallon of 52 % solids at 1.5 mil, 30 % of it reaching the work.
    #[test]
    fn a_us_gallon_sprayed_at_30_per_cent_efficiency_covers_167_square_feet() {
        let rate = theoretical_rate(Share::per_cent(52.0), mil(1.5));
        let rate = practical_rate(rate, Share::per_cent(70.0));
        near(rate.to_square_feet_per_gallon(), 167.0, 0.5);
        let area = Area::mm2(166.8 * 304.8 * 304.8);
        near((area / rate).to_us_gallons(), 1.0, 0.005);
    }

    /// corrosionpedia.com/definition/2294: 100 ft² a gallon less 30 % are 70.
    #[test]
    fn a_loss_of_30_per_cent_leaves_70_of_100() {
        let stated = SpreadingRate::parse("100 ft2/gal").expect("a rate");
        let rate = practical_rate(stated, Share::per_cent(30.0));
        near(rate.to_square_feet_per_gallon(), 70.0, 1e-12);
    }

    /// The sorwarchem blog of 2022, which prints 45.45 %, 7.57 and 5.299.
    #[test]
    fn thinned_paint_has_fewer_solids_and_covers_less_at_the_same_dry_film() {
        let solids = thinned_solids(Share::per_cent(50.0), Share::per_cent(10.0));
        near(solids.to_per_cent(), 45.45, 0.01);
        let rate = theoretical_rate(solids, micrometres(60.0));
        near(rate.to_square_metres_per_litre(), 7.576, 0.01);
        near(rate.to_square_metres_per_litre(), 7.57, 0.01);
        let rate = practical_rate(rate, Share::per_cent(30.0));
        near(rate.to_square_metres_per_litre(), 5.303, 0.01);
        near(rate.to_square_metres_per_litre(), 5.299, 0.01);
    }

    /// 50/0.45 and 50·1.1/0.45 (standard algebra, derived).
    #[test]
    fn the_wet_film_is_thicker_by_what_evaporates() {
        let wet = |thinner| {
            let thinner = Share::per_cent(thinner);
            wet_film(micrometres(50.0), Share::per_cent(45.0), thinner).to_mm() * 1000.0
        };
        near(wet(0.0), 111.1, 0.1);
        near(wet(10.0), 122.2, 0.1);
    }

    /// Six hours at 21.1 °C: US Army TB 43-0144 (boatmanuals.tpub.com, …01440058.htm). The halving for each 10 °C is
    /// applied to it here (derived).
    #[test]
    fn the_pot_life_of_six_hours_is_three_when_10_degrees_warmer() {
        let epoxy = PotLife {
            stated: Time::hours(6.0),
            stated_at: Temperature::celsius(21.1),
            halved_by: Warming::THAT_HALVES,
        };
        near(epoxy.at(Temperature::celsius(21.1)).to_hours(), 6.0, 1e-12);
        near(epoxy.at(Temperature::celsius(31.1)).to_hours(), 3.0, 0.01);
        near(epoxy.at(Temperature::celsius(11.1)).to_hours(), 12.0, 0.01);
        assert_eq!(epoxy.temperature_for(Time::ZERO), None);
        assert_eq!(epoxy.temperature_for(Time::hours(-1.0)), None);
    }

    proptest! {
        #[test]
        fn mil_and_square_feet_need_the_same_litres_as_micrometres_and_square_metres(
            solids in 5.0..100.0_f64, film in 0.5..30.0_f64, square_feet in 1.0..2000.0_f64, loss in 0.0..60.0_f64,
        ) {
            let (solids, loss) = (Share::per_cent(solids), Share::per_cent(loss));
            let metric = practical_rate(theoretical_rate(solids, micrometres(film * 25.4)), loss);
            let litres = Area::mm2(square_feet * 92_903.04) / metric;
            let us = practical_rate(theoretical_rate(solids, mil(film)), loss);
            let gallons = square_feet / us.to_square_feet_per_gallon();
            let by_hand = square_feet * film
                / (231.0 * 1000.0 / 144.0 * solids.factor() * loss.rest());
            prop_assert!((litres.to_us_gallons() / gallons - 1.0).abs() < 1e-12);
            prop_assert!((gallons / by_hand - 1.0).abs() < 1e-12);
            let read = Volume::parse(&format!("{gallons} gal")).expect("a volume");
            prop_assert!((read / litres - 1.0).abs() < 1e-12);
        }

        #[test]
        fn thinner_adds_its_own_volume_and_nothing_to_the_dry_film(
            solids in 5.0..100.0_f64, film in 10.0..600.0_f64, thinner in 0.0..50.0_f64,
        ) {
            let (solids, thinner) = (Share::per_cent(solids), Share::per_cent(thinner));
            let neat = wet_film(micrometres(film), solids, Share::NONE);
            let thinned = wet_film(micrometres(film), solids, thinner);
            prop_assert!((thinned.to_mm() / neat.to_mm() - 1.0 - thinner.factor()).abs() < 1e-12);
            let dry = thinned * thinned_solids(solids, thinner).factor();
            prop_assert!((dry.to_mm() * 1000.0 - film).abs() < 1e-9);
        }

        #[test]
        fn the_temperature_for_a_pot_life_gives_that_pot_life(
            stated in 0.1..12.0_f64, stated_at in 5.0..30.0_f64, at in -5.0..45.0_f64, halved in 5.0..20.0_f64,
        ) {
            let life = PotLife {
                stated: Time::hours(stated),
                stated_at: Temperature::celsius(stated_at),
                halved_by: Warming::kelvin(halved),
            };
            let found = life.temperature_for(life.at(Temperature::celsius(at))).expect("a temperature");
            prop_assert!((found.to_celsius() - at).abs() < 1e-9);
        }
    }
}
