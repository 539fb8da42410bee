//! The round of a deck athwartships: one curve over the distance from the centreline, alike on both sides.
//! Beyond the breadth that it is known for it goes on straight.

use super::quadrature::once;

/// The curve.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Form {
    Flat,
    /// Falls by `fall` times the square of the distance from the centreline.
    Parabola {
        fall: f64,
    },
    /// An arc of this radius.
    Circle {
        radius: f64,
    },
}

/// A deck's camber. Heights are over the centreline, so never positive where the deck is round.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Camber {
    form: Form,
    /// The distance from the centreline as far as which the curve is followed.
    reach: f64,
}

impl Camber {
    /// None at all.
    pub(super) const FLAT: Self = Self {
        form: Form::Flat,
        reach: 0.0,
    };

    /// The parabola that falls by `fall` times the square of the distance, followed as far as `reach`.
    pub(super) const fn parabola(fall: f64, reach: f64) -> Self {
        Self {
            form: Form::Parabola { fall },
            reach,
        }
    }

    /// The circle that rises by `rise` over `beam`, followed as far as `reach` but never to where it
    /// stands upright.
    pub(super) fn circle(rise: f64, beam: f64, reach: f64) -> Self {
        let radius = (beam * beam / 4.0 + rise * rise) / (2.0 * rise);
        Self {
            form: Form::Circle { radius },
            reach: reach.min(0.999 * radius),
        }
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_flat(&self) -> bool {
        match self.form {
            Form::Flat => true,
            Form::Parabola { fall } => fall == 0.0,
            Form::Circle { .. } => false,
        }
    }

    /// Height over the centreline.
    pub(super) fn height(&self, y: f64) -> f64 {
        let within = y.clamp(-self.reach, self.reach);
        let height = match self.form {
            Form::Flat => 0.0,
            Form::Parabola { fall } => -fall * within * within,
            // R - √(R² - y²) without the difference of two near numbers.
            Form::Circle { radius } => {
                let square = within * within;
                -square / (radius + (radius * radius - square).sqrt())
            }
        };
        height + (y - within) * self.slope(y)
    }

    /// Slope away from the port side.
    pub(super) fn slope(&self, y: f64) -> f64 {
        let within = y.clamp(-self.reach, self.reach);
        match self.form {
            Form::Flat => 0.0,
            Form::Parabola { fall } => -2.0 * fall * within,
            Form::Circle { radius } => -within / (radius * radius - within * within).sqrt(),
        }
    }

    /// The integral from the centreline to y of a function of the slope's square.
    pub(super) fn integral(&self, y: f64, function: impl Fn(f64) -> f64) -> f64 {
        let within = y.clamp(-self.reach, self.reach);
        let inside = match self.form {
            Form::Flat => return y * function(0.0),
            Form::Parabola { fall } => once(0.0, within, |at| {
                let slope = 2.0 * fall * at;
                function(slope * slope)
            }),
            // By the angle from the crown, in which all is smooth.
            Form::Circle { radius } => once(0.0, (within / radius).asin(), |angle| {
                let slope = angle.tan();
                radius * angle.cos() * function(slope * slope)
            }),
        };
        if y == within {
            return inside;
        }
        let slope = self.slope(y);
        inside + (y - within) * function(slope * slope)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all() -> [Camber; 3] {
        [
            Camber::parabola(40.0 / 1200.0 / 1200.0, 1200.0),
            Camber::circle(40.0, 2400.0, 1200.0),
            Camber::FLAT,
        ]
    }

    #[test]
    fn the_edges_of_the_beam_lie_lower_by_the_rise() {
        for camber in &all()[..2] {
            for y in [-1200.0, 1200.0] {
                assert!((camber.height(y) + 40.0).abs() < 1e-9);
            }
            assert_eq!(camber.height(0.0), 0.0);
        }
    }

    /// By hand: at quarters of the half-beam it falls by 1, 4, 9 and 16 sixteenths of the rise.
    #[test]
    fn a_parabola_falls_by_sixteenths() {
        let camber = Camber::parabola(60.0 / 1500.0 / 1500.0, 1500.0);
        for (quarter, height) in [
            (0.0, 60.0),
            (1.0, 56.25),
            (2.0, 45.0),
            (3.0, 26.25),
            (4.0, 0.0),
        ] {
            assert!((60.0 + camber.height(375.0 * quarter) - height).abs() < 1e-9);
        }
    }

    #[test]
    fn beyond_its_beam_it_goes_on_straight() {
        for camber in all() {
            let (edge, slope) = (camber.height(1200.0), camber.slope(1200.0));
            assert!((camber.height(1350.0) - (edge + 150.0 * slope)).abs() < 1e-9);
            assert_eq!(camber.slope(1350.0), slope);
            let girth = |y: f64| camber.integral(y, |square| (1.0 + square).sqrt());
            let along = 150.0 * slope.hypot(1.0);
            assert!((girth(1350.0) - girth(1200.0) - along).abs() < 1e-9);
            assert_eq!(girth(-1350.0), -girth(1350.0));
        }
    }
}
