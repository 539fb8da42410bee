//! From a job worked out to what its survey found: each point with its precision, each tie with its residual,
//! what looks wrong and why. Comes in: a [`Job`]. Goes out: [`SurveyFigures`], a plain value that the
//! report, the JSON and the picture all read.

use std::f64::consts::PI;

use super::{Figures, SurfaceFigures};
use crate::Job;
use crate::adjust::{Blunder, Fit, Fix, Loose, Slip};
use crate::outline::{
    Fairness, FittedMark, FixedDrawing, Lie, Surveyed, TracedBy, UnitFrom, Warning,
};
use crate::shape::Point;
use crate::units::{Length, LengthUnit};

/// What a layout's survey found.
#[derive(Debug, Clone)]
pub struct SurveyFigures {
    /// Title of the job.
    pub title: String,
    /// The unit its people measure in.
    pub units: LengthUnit,
    /// Its points and ties, where it has any.
    pub network: Option<NetworkFigures>,
    /// Its drawings in the file's order.
    pub drawings: Vec<DrawingFigures>,
    /// How fair its decks' half-breadths are, deck by deck, where they were measured so.
    pub half_breadths: Vec<DeckHalfBreadths>,
    /// The surfaces of its decks that have camber or sheer.
    pub surfaces: Vec<DeckSurface>,
    /// What a person should know.
    pub warnings: Vec<Warning>,
}

/// How fair the half-breadths of one deck are.
#[derive(Debug, Clone)]
pub struct DeckHalfBreadths {
    /// The deck's id.
    pub deck: String,
    /// What people call it.
    pub title: String,
    /// Its sides as judged.
    pub fairness: Fairness,
}

/// The surface of one deck.
#[derive(Debug, Clone)]
pub struct DeckSurface {
    /// The deck's id.
    pub deck: String,
    /// What people call it.
    pub title: String,
    /// Its figures: heights as fitted, and how the deck laid flat is off.
    pub surface: SurfaceFigures,
}

/// A drawing that outlines and shapes were taken from.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawingFigures {
    /// Its file.
    pub file: String,
    /// How it was laid on the deck.
    pub laid: Laid,
}

/// How a drawing was laid on the deck.
#[derive(Debug, Clone, PartialEq)]
pub enum Laid {
    /// At the size it says itself: so much is one of its units.
    OwnUnits(Length),
    /// At the size the layout says its units have; the length of one of its units.
    StatedUnits(Length),
    /// By one known distance: so much is one of its units.
    Distance(Length),
    /// By marks.
    Marks {
        /// Whether it is a photograph, rectified; else it was shifted, turned and scaled.
        is_photograph: bool,
        /// What is left over at each.
        marks: Vec<MarkFigures>,
        /// How many numbers more the marks give than are needed: with 0 nothing checks them.
        redundancy: usize,
        /// How many times larger the residuals are than they were taken to be beforehand.
        noise_ratio: Option<f64>,
    },
}

/// A mark of a drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkFigures {
    /// What the drawing calls it.
    pub name: String,
    /// Where it lies on the deck.
    pub at: Point,
    /// Where the drawing as laid has it, less where it lies; millimetres.
    pub off: Point,
    /// The size of that beside its own standard deviation; none where nothing checks it.
    pub standardised: Option<f64>,
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
    /// Whether there are points by ties, or marks of a drawing.
    #[must_use]
    pub fn has_points(&self) -> bool {
        self.network.is_some() || self.drawings.iter().any(|one| !one.marks().is_empty())
    }

    /// Where its points and marks lie, as far as they were found.
    pub fn places(&self) -> impl Iterator<Item = Point> + '_ {
        let points = self.network.iter().flat_map(|network| &network.points);
        let marks = self.drawings.iter().flat_map(DrawingFigures::marks);
        points
            .filter_map(|point| point.at)
            .chain(marks.map(|mark| mark.at))
    }

    /// What a job's survey found.
    #[must_use]
    pub fn of(job: &Job) -> Self {
        Self {
            title: job.layout.title.clone(),
            units: job.layout.units,
            network: job.fixed.network.as_ref().map(NetworkFigures::of),
            drawings: job.fixed.drawings.iter().map(DrawingFigures::of).collect(),
            half_breadths: job
                .decks
                .iter()
                .filter_map(|deck| {
                    Some(DeckHalfBreadths {
                        deck: deck.plan.id.clone(),
                        title: deck.plan.title.clone(),
                        fairness: deck.plan.fairness.clone()?,
                    })
                })
                .collect(),
            surfaces: surfaces(job),
            warnings: job.warnings.clone(),
        }
    }
}

fn surfaces(job: &Job) -> Vec<DeckSurface> {
    if job.decks.iter().all(|deck| deck.surface.is_none()) {
        return Vec::new();
    }
    let decks = Figures::of(job).decks.into_iter();
    decks
        .filter_map(|deck| {
            Some(DeckSurface {
                deck: deck.id,
                title: deck.title,
                surface: deck.surface?,
            })
        })
        .collect()
}

impl DrawingFigures {
    fn of(drawing: &FixedDrawing) -> Self {
        let laid = match &drawing.lie {
            Lie::Traced(tracing) => match &tracing.by {
                TracedBy::OwnUnits(mm) => Laid::OwnUnits(Length::mm(*mm)),
                TracedBy::Distance(mm) => Laid::Distance(Length::mm(*mm)),
                TracedBy::Marks(fit) => Laid::Marks {
                    is_photograph: fit.is_photograph,
                    marks: fit.marks.iter().map(MarkFigures::of).collect(),
                    redundancy: fit.redundancy,
                    noise_ratio: fit.noise_ratio,
                },
            },
            Lie::Drafted(drafting) => match drafting.unit_from {
                UnitFrom::Header => Laid::OwnUnits(Length::mm(drafting.unit)),
                UnitFrom::Layout => Laid::StatedUnits(Length::mm(drafting.unit)),
            },
        };
        Self {
            file: drawing.file.clone(),
            laid,
        }
    }

    /// How it was laid on the deck and how well that agrees, in words.
    #[must_use]
    pub fn verdict(&self, units: LengthUnit) -> String {
        match &self.laid {
            Laid::OwnUnits(unit) => format!(
                "laid at the size it says itself, {:.4} mm a unit; nothing checks it",
                unit.to_mm()
            ),
            Laid::StatedUnits(unit) => format!(
                "laid at the size the layout says, {:.4} mm a unit; nothing checks it",
                unit.to_mm()
            ),
            Laid::Distance(unit) => format!(
                "laid by one known distance, {:.4} mm a unit; nothing checks it",
                unit.to_mm()
            ),
            Laid::Marks {
                is_photograph,
                marks,
                redundancy,
                noise_ratio,
            } => {
                let kind = if *is_photograph {
                    "a photograph, rectified"
                } else {
                    "shifted, turned and scaled"
                };
                let worst = marks
                    .iter()
                    .map(|mark| Length::mm(mark.off.length()))
                    .fold(Length::ZERO, Length::max)
                    .show_fine(units);
                let check = match (redundancy, noise_ratio) {
                    (0, _) | (_, None) => "nothing checks them: one mark more would".to_owned(),
                    (_, Some(ratio)) => format!(
                        "the worst is {worst} off, and residuals are {ratio:.1} times what tape and pointing explain"
                    ),
                };
                format!("laid by {} marks as {kind}; {check}", marks.len())
            }
        }
    }

    /// Its marks, where it was laid by marks.
    #[must_use]
    pub fn marks(&self) -> &[MarkFigures] {
        match &self.laid {
            Laid::Marks { marks, .. } => marks,
            Laid::OwnUnits(_) | Laid::StatedUnits(_) | Laid::Distance(_) => &[],
        }
    }
}

impl MarkFigures {
    fn of(mark: &FittedMark) -> Self {
        Self {
            name: mark.name.clone(),
            at: mark.at,
            off: mark.residual.off,
            standardised: mark.residual.standardised,
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
        let points = surveyed.points.iter().zip(&adjustment.fixes).enumerate();
        let used_at = |point: usize| {
            let ties = surveyed.ties.iter().zip(&adjustment.ties);
            ties.filter(|(tie, found)| found.used && (tie.from == point || tie.to == point))
                .count()
        };
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
                .map(|(number, (point, fix))| PointFigures {
                    ties: used_at(number),
                    ..PointFigures::of(&point.name, fix)
                })
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

impl NetworkFigures {
    /// How well it agrees, in sentences: the whole, then each tie that looks wrong.
    #[must_use]
    pub fn verdict(&self, units: LengthUnit) -> Vec<String> {
        let used = self.ties.iter().filter(|tie| tie.used).count();
        let mut said = vec![format!(
            "{} points, {} ties of which {used} are used: {} more than the points need.",
            self.points.len(),
            self.ties.len(),
            self.spare_ties
        )];
        if let (Some(largest), Some(misfit)) = (self.largest_residual, self.misfit) {
            let chance = match self.fit {
                Fit::Worse => "more than chance explains",
                Fit::AsStated | Fit::Untold => "as it should be",
            };
            said.push(format!(
                "The largest residual is {}. Residuals are {misfit:.1} times what the stated precision promises: {chance}.",
                largest.show_fine(units)
            ));
        }
        for blunder in &self.blunders {
            let Some(tie) = self.ties.get(blunder.tie) else {
                continue;
            };
            let size = Length::mm(blunder.too_long.to_mm().abs()).show_fine(units);
            let way = blunder.way();
            let verdict = if blunder.is_left_out() {
                "left out; measure it again"
            } else {
                "or another tie of its point; one more tie would tell"
            };
            said.push(format!(
                "{} to {} looks {size} {way}: {verdict}.",
                tie.from, tie.to
            ));
        }
        said
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

    /// Whether it looks long or short.
    #[must_use]
    pub fn way(&self) -> &'static str {
        if self.too_long > Length::ZERO {
            "long"
        } else {
            "short"
        }
    }

    /// Whether it was left out of the result.
    #[must_use]
    pub const fn is_left_out(&self) -> bool {
        self.suspects.is_empty()
    }
}
