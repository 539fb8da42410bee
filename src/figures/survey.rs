//! From a job worked out to what its survey found: each point with its precision, each tie with its residual,
//! what looks wrong and why. Comes in: a [`Job`]. Goes out: [`SurveyFigures`], a plain value that the
//! report, the JSON and the picture all read.

use std::f64::consts::PI;

use crate::Job;
use crate::adjust::{Blunder, Fit, Fix, Loose, Slip};
use crate::outline::{Surveyed, Warning};
use crate::shape::Point;
use crate::units::{Length, LengthUnit};

/// What a layout's survey found.
#[derive(Debug, Clone, PartialEq)]
pub struct SurveyFigures {
    /// Title of the job.
    pub title: String,
    /// The unit its people measure in.
    pub units: LengthUnit,
    /// Its points and ties, where it has any.
    pub network: Option<NetworkFigures>,
    /// What a person should know.
    pub warnings: Vec<Warning>,
}

/// Points fixed by ties.
#[derive(Debug, Clone, PartialEq)]
pub struct NetworkFigures {
    /// The points in the file's order.
    pub points: Vec<PointFigures>,
    /// The ties in the file's order.
    pub ties: Vec<TieFigures>,
    /// Ties that look wrong, the worst first.
    pub blunders: Vec<BlunderFigures>,
    /// How many ties more there are than the points need.
    pub spare_ties: usize,
    /// Size of the residuals beside what the tape's precision promises: 1 where they agree.
    pub misfit: Option<f64>,
    /// Whether that is more than chance.
    pub fit: Fit,
    /// The largest residual of a tie that was used.
    pub largest_residual: Option<Length>,
}

/// One point.
#[derive(Debug, Clone, PartialEq)]
pub struct PointFigures {
    /// Its name.
    pub name: String,
    /// Where it lies, if that is known.
    pub at: Option<Point>,
    /// Its standard ellipse, where it was found by ties.
    pub ellipse: Option<PointEllipse>,
    /// Ties to it that were used.
    pub ties: usize,
    /// How much is known of it.
    pub state: PointState,
}

/// How precisely a point is known: the ellipse of one standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointEllipse {
    /// Its longer semi-axis.
    pub long: Length,
    /// Its shorter semi-axis.
    pub short: Length,
    /// Direction of the longer, degrees from aft towards starboard, in (-90, 90].
    pub towards_degrees: f64,
}

/// How much is known of a point.
#[derive(Debug, Clone, PartialEq)]
pub enum PointState {
    /// Its place was given.
    Given,
    /// Found, and checked by a tie more than it needs.
    Checked,
    /// Found by as many ties as it needs: a slip in one of them would not be seen.
    Unchecked,
    /// Another place fits its ties as well.
    Ambiguous {
        /// That place.
        other: Point,
    },
    /// Its ties do not say where it is.
    NotFound(Loose),
}

/// One tie.
#[derive(Debug, Clone, PartialEq)]
pub struct TieFigures {
    /// The point at one end.
    pub from: String,
    /// The point at the other.
    pub to: String,
    /// As measured.
    pub measured: Length,
    /// The distance as found less the one measured; none where an end was not found.
    pub residual: Option<Length>,
    /// The residual beside its own standard deviation; none where nothing checks the tie.
    pub standardised: Option<f64>,
    /// How much of a slip in it would show in its residual: 0 none of it, 1 all.
    pub redundancy: f64,
    /// The least slip that would be found four times in five.
    pub detectable: Option<Length>,
    /// Whether the points rest on it.
    pub used: bool,
}

/// A tie that looks wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct BlunderFigures {
    /// The tie, by its number in [`NetworkFigures::ties`].
    pub tie: usize,
    /// By how much it looks too long; negative: too short.
    pub too_long: Length,
    /// The point whose ties disagree.
    pub point: String,
    /// Other ties that may be the wrong one instead, by their numbers.
    pub suspects: Vec<usize>,
    /// Whether one more tie is needed to tell which of them it is.
    pub untold: bool,
    /// The largest residual without it.
    pub largest_without: Length,
    /// What slip would explain it.
    pub slip: Option<Slip>,
}

impl SurveyFigures {
    /// What a job's survey found.
    #[must_use]
    pub fn of(job: &Job) -> Self {
        Self {
            title: job.layout.title.clone(),
            units: job.layout.units,
            network: job.fixed.network.as_ref().map(NetworkFigures::of),
            warnings: job.warnings.clone(),
        }
    }
}

impl NetworkFigures {
    fn of(surveyed: &Surveyed) -> Self {
        let adjustment = &surveyed.adjustment;
        let name = |point: usize| {
            let point = surveyed.points.get(point);
            point.map_or_else(String::new, |point| point.name.clone())
        };
        let points = surveyed.points.iter().zip(&adjustment.fixes);
        let ties: Vec<TieFigures> = surveyed
            .ties
            .iter()
            .zip(&adjustment.ties)
            .map(|(tie, found)| TieFigures {
                from: name(tie.from),
                to: name(tie.to),
                measured: tie.length,
                residual: found.residual.map(Length::mm),
                standardised: found.standardised,
                redundancy: found.redundancy,
                detectable: found.detectable.map(Length::mm),
                used: found.used,
            })
            .collect();
        let used = ties.iter().filter(|tie| tie.used);
        let largest_residual = used
            .filter_map(|tie| tie.residual)
            .map(|residual| Length::mm(residual.to_mm().abs()))
            .reduce(Length::max);
        Self {
            points: points
                .map(|(point, fix)| PointFigures::of(&point.name, fix))
                .collect(),
            blunders: adjustment
                .blunders
                .iter()
                .map(|blunder| BlunderFigures::of(blunder, name(blunder.point)))
                .collect(),
            spare_ties: adjustment.degrees_of_freedom,
            misfit: adjustment.variance_factor().map(f64::sqrt),
            fit: adjustment.fit,
            largest_residual,
            ties,
        }
    }
}

impl PointFigures {
    fn of(name: &str, fix: &Fix) -> Self {
        let bare = |state, at| Self {
            name: name.to_owned(),
            at,
            ellipse: None,
            ties: 0,
            state,
        };
        match fix {
            Fix::Given(at) => bare(PointState::Given, Some(*at)),
            Fix::Loose(why) => bare(PointState::NotFound(*why), None),
            Fix::Found(found) => {
                let ellipse = found.covariance.ellipse();
                Self {
                    ellipse: Some(PointEllipse {
                        long: Length::mm(ellipse.major),
                        short: Length::mm(ellipse.minor),
                        towards_degrees: ellipse.direction * 180.0 / PI,
                    }),
                    ties: found.distances,
                    ..bare(
                        match &found.open {
                            Some(open) => PointState::Ambiguous { other: open.other },
                            None if found.unchecked => PointState::Unchecked,
                            None => PointState::Checked,
                        },
                        Some(found.at),
                    )
                }
            }
        }
    }
}

impl BlunderFigures {
    fn of(blunder: &Blunder, point: String) -> Self {
        Self {
            tie: blunder.tie,
            too_long: Length::mm(blunder.error),
            point,
            suspects: blunder.suspects.iter().map(|one| one.tie).collect(),
            untold: blunder.untold,
            largest_without: Length::mm(blunder.largest_without),
            slip: blunder.slip,
        }
    }

    /// Whether it was left out of the result.
    #[must_use]
    pub const fn is_left_out(&self) -> bool {
        self.suspects.is_empty()
    }
}
