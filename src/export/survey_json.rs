//! What a survey found, for programs: JSON whose keys are a contract (added to, never changed), every number at
//! full precision.

use serde::Serialize;

use super::json::surface::{DevelopedKeys, HeightKeys};
use super::json::{WarningKeys, at, print};
use crate::adjust::{Fit, Loose, Slip};
use crate::figures::survey::{
    BlunderFigures, DeckHalfBreadths, DeckSurface, DrawingFigures, Laid, MarkFigures,
    NetworkFigures, PointEllipse, PointFigures, PointState, SurveyFigures, TieFigures,
};
use crate::outline::fairness::CurvaturePoint;
use crate::shape::Point;
use crate::units::Length;

/// What the survey of one layout found.
///
/// # Errors
/// Where the printing fails, for which these keys give no cause.
pub fn survey_json(figures: &SurveyFigures) -> Result<String, serde_json::Error> {
    print(&SurveyKeys::of(figures))
}

#[derive(Serialize)]
struct SurveyKeys<'a> {
    title: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    ties: Option<NetworkKeys<'a>>,
    drawings: Vec<DrawingKeys<'a>>,
    half_breadths: Vec<HalfBreadthKeys<'a>>,
    surfaces: Vec<DeckSurfaceKeys<'a>>,
    warnings: Vec<WarningKeys<'a>>,
}

#[derive(Serialize)]
struct DrawingKeys<'a> {
    file: &'a str,
    laid_by: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    mm_per_unit: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    redundancy: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    noise_ratio: Option<f64>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    marks: Vec<MarkKeys<'a>>,
}

#[derive(Serialize)]
struct HalfBreadthKeys<'a> {
    deck: &'a str,
    /// None where both sides are one table.
    side: Option<&'static str>,
    stations: Vec<StationKeys>,
    unfair: Vec<UnfairKeys>,
    port_over_starboard_mm: Vec<[f64; 2]>,
    /// None where the side is straight.
    sharpest: Option<SharpestKeys>,
    inflections: Vec<InflectionKeys>,
}

/// Where a side bends most.
#[derive(Serialize)]
struct SharpestKeys {
    least_radius_mm: f64,
    is_hollow: bool,
    station_mm: f64,
    half_breadth_mm: f64,
}

#[derive(Serialize)]
struct InflectionKeys {
    station_mm: f64,
    half_breadth_mm: f64,
}

#[derive(Serialize)]
struct DeckSurfaceKeys<'a> {
    deck: &'a str,
    heights: Option<HeightKeys>,
    developed: DevelopedKeys,
}

#[derive(Serialize)]
struct StationKeys {
    station_mm: f64,
    half_breadth_mm: f64,
    limit_mm: Option<f64>,
}

#[derive(Serialize)]
struct UnfairKeys {
    station_mm: f64,
    half_breadth_mm: f64,
    batten_passes_at_mm: f64,
}

#[derive(Serialize)]
struct MarkKeys<'a> {
    name: &'a str,
    at_mm: [f64; 2],
    off_mm: [f64; 2],
    standardised: Option<f64>,
}

#[derive(Serialize)]
struct NetworkKeys<'a> {
    points: Vec<PointKeys<'a>>,
    ties: Vec<TieKeys<'a>>,
    wrong: Vec<WrongKeys<'a>>,
    spare_ties: usize,
    misfit: Option<f64>,
    fit: &'static str,
    largest_residual_mm: Option<f64>,
}

#[derive(Serialize)]
struct PointKeys<'a> {
    name: &'a str,
    state: &'static str,
    at_mm: Option<[f64; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    other_at_mm: Option<[f64; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    why_not_found: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    standard_ellipse: Option<EllipseKeys>,
    ties: usize,
}

#[derive(Serialize)]
struct EllipseKeys {
    long_mm: f64,
    short_mm: f64,
    towards_degrees: f64,
}

#[derive(Serialize)]
struct TieKeys<'a> {
    from: &'a str,
    to: &'a str,
    measured_mm: f64,
    residual_mm: Option<f64>,
    standardised: Option<f64>,
    redundancy: f64,
    detectable_mm: Option<f64>,
    used: bool,
}

#[derive(Serialize)]
struct WrongKeys<'a> {
    from: &'a str,
    to: &'a str,
    too_long_mm: f64,
    point: &'a str,
    left_out: bool,
    or_instead: Vec<[&'a str; 2]>,
    needs_another_tie: bool,
    largest_residual_without_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    slip: Option<SlipKeys>,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
enum SlipKeys {
    StepMm(f64),
    DigitsSwappedRightMm(f64),
}

impl<'a> SurveyKeys<'a> {
    fn of(figures: &'a SurveyFigures) -> Self {
        Self {
            title: &figures.title,
            ties: figures.network.as_ref().map(NetworkKeys::of),
            drawings: figures.drawings.iter().map(DrawingKeys::of).collect(),
            half_breadths: figures
                .half_breadths
                .iter()
                .flat_map(HalfBreadthKeys::of)
                .collect(),
            surfaces: figures.surfaces.iter().map(DeckSurfaceKeys::of).collect(),
            warnings: figures.warnings.iter().map(WarningKeys::of).collect(),
        }
    }
}

impl<'a> DrawingKeys<'a> {
    fn of(drawing: &'a DrawingFigures) -> Self {
        let mut keys = Self {
            file: &drawing.file,
            laid_by: "",
            mm_per_unit: None,
            redundancy: None,
            noise_ratio: None,
            marks: drawing.marks().iter().map(MarkKeys::of).collect(),
        };
        match &drawing.laid {
            Laid::OwnUnits(unit) => {
                keys.laid_by = "own-units";
                keys.mm_per_unit = Some(unit.to_mm());
            }
            Laid::StatedUnits(unit) => {
                keys.laid_by = "stated-units";
                keys.mm_per_unit = Some(unit.to_mm());
            }
            Laid::Distance(unit) => {
                keys.laid_by = "distance";
                keys.mm_per_unit = Some(unit.to_mm());
            }
            Laid::Marks {
                is_photograph,
                redundancy,
                noise_ratio,
                ..
            } => {
                keys.laid_by = if *is_photograph {
                    "photograph"
                } else {
                    "marks"
                };
                keys.redundancy = Some(*redundancy);
                keys.noise_ratio = *noise_ratio;
            }
        }
        keys
    }
}

impl<'a> HalfBreadthKeys<'a> {
    fn of(judged: &'a DeckHalfBreadths) -> Vec<Self> {
        let differences = judged.fairness.differences.iter();
        let apart: Vec<[f64; 2]> = differences
            .map(|one| [one.station.to_mm(), one.port_over_starboard().to_mm()])
            .collect();
        let sides = judged.fairness.sides.iter();
        sides
            .map(|side| Self {
                deck: &judged.deck,
                side: side.side,
                stations: side
                    .stations
                    .iter()
                    .map(|one| StationKeys {
                        station_mm: one.station.to_mm(),
                        half_breadth_mm: one.breadth.to_mm(),
                        limit_mm: one.limit.map(Length::to_mm),
                    })
                    .collect(),
                unfair: side
                    .bumps
                    .iter()
                    .map(|bump| UnfairKeys {
                        station_mm: bump.station.to_mm(),
                        half_breadth_mm: bump.breadth.to_mm(),
                        batten_passes_at_mm: bump.passes.to_mm(),
                    })
                    .collect(),
                port_over_starboard_mm: apart.clone(),
                sharpest: side.sharpest().map(SharpestKeys::of),
                inflections: side.inflections().map(InflectionKeys::of).collect(),
            })
            .collect()
    }
}

impl SharpestKeys {
    const fn of(point: CurvaturePoint) -> Self {
        Self {
            least_radius_mm: 1.0 / point.curvature.abs(),
            is_hollow: point.curvature < 0.0,
            station_mm: point.at.x,
            half_breadth_mm: point.at.y,
        }
    }
}

impl InflectionKeys {
    const fn of(point: Point) -> Self {
        Self {
            station_mm: point.x,
            half_breadth_mm: point.y,
        }
    }
}

impl<'a> DeckSurfaceKeys<'a> {
    fn of(deck: &'a DeckSurface) -> Self {
        Self {
            deck: &deck.deck,
            heights: deck.surface.heights.as_ref().map(HeightKeys::of),
            developed: DevelopedKeys::of(&deck.surface.developed),
        }
    }
}

impl<'a> MarkKeys<'a> {
    fn of(mark: &'a MarkFigures) -> Self {
        Self {
            name: &mark.name,
            at_mm: at(mark.at),
            off_mm: at(mark.off),
            standardised: mark.standardised,
        }
    }
}

impl<'a> NetworkKeys<'a> {
    fn of(network: &'a NetworkFigures) -> Self {
        Self {
            points: network.points.iter().map(PointKeys::of).collect(),
            ties: network.ties.iter().map(TieKeys::of).collect(),
            wrong: network
                .blunders
                .iter()
                .filter_map(|blunder| WrongKeys::of(blunder, network))
                .collect(),
            spare_ties: network.spare_ties,
            misfit: network.misfit,
            fit: match network.fit {
                Fit::Untold => "untold",
                Fit::AsStated => "as-stated",
                Fit::Worse => "worse",
            },
            largest_residual_mm: network.largest_residual.map(Length::to_mm),
        }
    }
}

impl<'a> PointKeys<'a> {
    fn of(point: &'a PointFigures) -> Self {
        let (state, other, why) = match &point.state {
            PointState::Given => ("given", None, None),
            PointState::Checked => ("checked", None, None),
            PointState::Unchecked => ("unchecked", None, None),
            PointState::Ambiguous { other } => ("ambiguous", Some(*other), None),
            PointState::NotFound(why) => ("not-found", None, Some(why)),
        };
        Self {
            name: &point.name,
            state,
            at_mm: point.at.map(at),
            other_at_mm: other.map(at),
            why_not_found: why.map(|why| match why {
                Loose::NoDistance => "no-tie",
                Loose::OneDistance { .. } => "ties-to-one-point",
                Loose::InLine => "in-line",
                Loose::Adrift => "adrift",
            }),
            standard_ellipse: point.ellipse.map(EllipseKeys::of),
            ties: point.ties,
        }
    }
}

impl EllipseKeys {
    const fn of(ellipse: PointEllipse) -> Self {
        Self {
            long_mm: ellipse.long.to_mm(),
            short_mm: ellipse.short.to_mm(),
            towards_degrees: ellipse.towards_degrees,
        }
    }
}

impl<'a> TieKeys<'a> {
    fn of(tie: &'a TieFigures) -> Self {
        Self {
            from: &tie.from,
            to: &tie.to,
            measured_mm: tie.measured.to_mm(),
            residual_mm: tie.residual.map(Length::to_mm),
            standardised: tie.standardised,
            redundancy: tie.redundancy,
            detectable_mm: tie.detectable.map(Length::to_mm),
            used: tie.used,
        }
    }
}

impl<'a> WrongKeys<'a> {
    fn of(blunder: &'a BlunderFigures, network: &'a NetworkFigures) -> Option<Self> {
        let ends = |tie: usize| {
            let tie = network.ties.get(tie)?;
            Some([tie.from.as_str(), tie.to.as_str()])
        };
        let [from, to] = ends(blunder.tie)?;
        Some(Self {
            from,
            to,
            too_long_mm: blunder.too_long.to_mm(),
            point: &blunder.point,
            left_out: blunder.is_left_out(),
            or_instead: blunder
                .suspects
                .iter()
                .filter_map(|tie| ends(*tie))
                .collect(),
            needs_another_tie: blunder.untold,
            largest_residual_without_mm: blunder.largest_without.to_mm(),
            slip: blunder.slip.map(|slip| match slip {
                Slip::Step(step) => SlipKeys::StepMm(step),
                Slip::Swapped(right) => SlipKeys::DigitsSwappedRightMm(right),
            }),
        })
    }
}
