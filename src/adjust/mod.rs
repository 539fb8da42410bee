//! Points of the plane from the distances measured between them, by least squares. Comes in: a [`Network`] of
//! points (known, on the x axis, or free) and distances, each with its standard deviation. Goes out: an
//! [`Adjustment`]: where each point lies and how precisely, how far each distance is out, which distances are
//! blunders, and which points the distances leave open. [`rectify`] fits pictures of the plane by the same principle; [`bump`]
//! finds the readings along a fair line that disagree with the others. Knows no deck word.
//!
//! The way through:
//!
//! 1. `start` finds places to begin with: circles round located points are met with each other, the place that most
//!    of a point's distances agree on is taken, both places are followed where they leave it open.
//! 2. `solve` brings the weighted sum of squared residuals to its least (Levenberg-Marquardt over sparse normal
//!    equations, `sparse`), and `precision` gives covariances and redundancy numbers there.
//! 3. `places` looks for other places that fit as well: the mirror image of a point, or of a whole part of the
//!    network, in the line of the points it hangs on. A hint decides; otherwise both places are reported.
//! 4. `blunders` tests residuals divided by their own standard deviations (data snooping, W. Baarda, *A testing
//!    procedure for use in geodetic networks*, 1968), takes the worst out, adjusts again, and so on.
//!
//! **What becomes of a blunder.** A distance that fails the test is left out of the result where it alone is guilty:
//! where leaving out any other distance instead would be at least [`CLEARLY`] times less likely to give residuals as small.
//! One gross error kept in would pull its points by a good part of its size, and whoever lays out from them would build it in;
//! left out, the points lie where all the other distances agree. Where several are as likely, as they always are with
//! one redundant distance, nothing tells which to leave out: all are kept, and all are named. Either way it is in [`Adjustment::blunders`],
//! never silent.

mod blunders;
pub mod bump;
mod circles;
mod places;
mod precision;
pub mod rectify;
mod slip;
mod solve;
mod sparse;
mod start;

pub use blunders::{Blunder, Suspect};
pub use places::Open;
pub use slip::Slip;
pub use start::Loose;

use crate::shape::Point;

/// A residual so many times its own standard deviation is no accident: one in ten thousand is.
pub const LIMIT: f64 = 3.9;
/// One distance alone is guilty where it explains the misfit so many times better than any other does.
pub const CLEARLY: f64 = 20.0;
/// Below this redundancy number nothing checks a distance: however wrong, its points go along with it.
pub const UNCHECKED: f64 = 1e-3;

/// Points and the distances measured between them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Network {
    /// The points.
    pub marks: Vec<Mark>,
    /// The distances.
    pub distances: Vec<Distance>,
}

/// What is known of a point before anything is measured.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Mark {
    /// Its place, as far as it is known.
    pub known: Known,
    /// Which of two places is meant where the distances leave both.
    pub hint: Option<Hint>,
}

/// How far a point's place is known.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Known {
    /// It is here.
    At(Point),
    /// It is on the x axis. Where the distances leave two places, the one at greater x is taken.
    OnAxis,
    /// It may be anywhere.
    #[default]
    Free,
}

/// Which of two places is meant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Hint {
    /// The one at positive y.
    Above,
    /// The one at negative y.
    Below,
    /// The one nearer to this point.
    Near(Point),
}

/// One distance as measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Distance {
    /// Number of the point at one end.
    pub from: usize,
    /// Number of the point at the other.
    pub to: usize,
    /// Length as measured, mm.
    pub length: f64,
    /// Its standard deviation, mm; more than 0.
    pub deviation: f64,
}

impl Distance {
    /// The other end, seen from one.
    #[must_use]
    pub const fn other(&self, end: usize) -> usize {
        if self.from == end { self.to } else { self.from }
    }
}

/// The network as least squares finds it.
#[derive(Debug, Clone, PartialEq)]
pub struct Adjustment {
    /// What was found of each point, in the network's order.
    pub fixes: Vec<Fix>,
    /// What was found of each distance, in the network's order.
    pub ties: Vec<Tie>,
    /// Distances that are grossly wrong, the worst first.
    pub blunders: Vec<Blunder>,
    /// Weighted sum of squared residuals of what was used.
    pub sum_of_squares: f64,
    /// Distances used less coordinates found: how many distances could have been spared.
    pub degrees_of_freedom: usize,
    /// How well the residuals fit the standard deviations stated.
    pub fit: Fit,
}

/// How well residuals fit the standard deviations stated beforehand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// There is no redundant distance to tell by.
    Untold,
    /// As well as stated.
    AsStated,
    /// Worse: by chance one time in a thousand only.
    Worse,
}

impl Adjustment {
    /// The sum of squares a degree of freedom: 1 where residuals are as large as their stated deviations promise.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "far fewer distances than 2^53")]
    pub fn variance_factor(&self) -> Option<f64> {
        (self.degrees_of_freedom > 0).then(|| self.sum_of_squares / self.degrees_of_freedom as f64)
    }

    /// Where a point lies, if the distances say.
    #[must_use]
    pub fn place(&self, point: usize) -> Option<Point> {
        match self.fixes.get(point)? {
            Fix::Given(at) => Some(*at),
            Fix::Found(found) => Some(found.at),
            Fix::Loose(_) => None,
        }
    }
}

/// What was found of a point.
#[derive(Debug, Clone, PartialEq)]
pub enum Fix {
    /// Its place was given.
    Given(Point),
    /// Its place was found.
    Found(Found),
    /// The distances do not say where it is.
    Loose(Loose),
}

/// A point's place as found.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// Where it lies.
    pub at: Point,
    /// How precisely, from the deviations stated.
    pub covariance: Covariance,
    /// How many distances to it were used.
    pub distances: usize,
    /// Whether nothing checks it: a blunder in any of its distances would go unseen.
    pub unchecked: bool,
    /// Another place that fits as well, and what it hangs on.
    pub open: Option<Open>,
    /// Whether it lies where its hint says it does not.
    pub against_hint: bool,
}

/// Covariance of a point's coordinates, mm².
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Covariance {
    /// Variance of x.
    pub xx: f64,
    /// Covariance of x and y.
    pub xy: f64,
    /// Variance of y.
    pub yy: f64,
}

/// The ellipse of standard deviations: semi-axes and the direction of the longer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ellipse {
    /// Longer semi-axis, mm.
    pub major: f64,
    /// Shorter semi-axis, mm.
    pub minor: f64,
    /// Direction of the longer, radians from the x axis, in (-π/2, π/2].
    pub direction: f64,
}

impl Covariance {
    /// The error ellipse of one standard deviation.
    #[must_use]
    pub fn ellipse(&self) -> Ellipse {
        let middle = f64::midpoint(self.xx, self.yy);
        let apart = (0.5 * (self.xx - self.yy)).hypot(self.xy);
        let mut direction = 0.5 * (2.0 * self.xy).atan2(self.xx - self.yy);
        if direction <= -std::f64::consts::FRAC_PI_2 {
            direction += std::f64::consts::PI;
        }
        Ellipse {
            major: (middle + apart).max(0.0).sqrt(),
            minor: (middle - apart).max(0.0).sqrt(),
            direction,
        }
    }

    /// Variance along a direction given by its unit vector.
    pub(crate) fn along(&self, unit: Point) -> f64 {
        unit.x * unit.x * self.xx + 2.0 * unit.x * unit.y * self.xy + unit.y * unit.y * self.yy
    }
}

/// What was found of a distance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tie {
    /// The distance between the points as found less the distance measured; none where an end is loose.
    pub residual: Option<f64>,
    /// Standard deviation of the residual.
    pub residual_deviation: f64,
    /// The residual over its standard deviation; none where nothing checks it.
    pub standardised: Option<f64>,
    /// How much of an error in it shows in its residual: 0 none, 1 all.
    pub redundancy: f64,
    /// The least gross error that would be found four times in five; none where nothing checks it.
    pub detectable: Option<f64>,
    /// Whether the result rests on it; false for a blunder left out and for ties of loose points.
    pub used: bool,
}

/// Adjusts a network. Distances that cannot be worked with (to a point that is not there, from a point to itself, not
/// finite, not positive) are passed over: nothing is found of them, and nothing rests on them.
#[must_use]
pub fn adjust(network: &Network) -> Adjustment {
    let usable: Vec<bool> = network
        .distances
        .iter()
        .map(|distance| is_usable(network, distance))
        .collect();
    let (mut at, loose) = start::places(network, &usable);
    let mut used: Vec<bool> = usable
        .iter()
        .zip(&network.distances)
        .map(|(usable, tie)| *usable && loose[tie.from].is_none() && loose[tie.to].is_none())
        .collect();
    solve::least_squares(network, &used, &mut at, solve::Loss::Squares);
    places::better(network, &used, &mut at, true);
    let blunders = blunders::find(network, &mut used, &mut at);
    let open = places::settle(network, &used, &mut at);
    precision::judge(network, &at, &used, &usable, loose, open, blunders)
}

fn is_usable(network: &Network, distance: &Distance) -> bool {
    let count = network.marks.len();
    let sane = |mark: usize| match network.marks[mark].known {
        Known::At(at) => at.x.is_finite() && at.y.is_finite(),
        Known::OnAxis | Known::Free => true,
    };
    distance.from < count
        && distance.to < count
        && distance.from != distance.to
        && distance.length.is_finite()
        && distance.length > 0.0
        && distance.deviation.is_finite()
        && distance.deviation > 0.0
        && sane(distance.from)
        && sane(distance.to)
}
