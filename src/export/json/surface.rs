//! The keys of a deck's figures on its surface, over camber and sheer.

use serde::Serialize;

use super::{at, m};
use crate::figures::{DeckFigures, Developed, PassOnSurface, SurfaceFigures};
use crate::surface::{HeightFit, Worst};
use crate::units::Length;

#[derive(Serialize)]
pub(super) struct SurfaceKeys<'a> {
    area_m2: f64,
    perimeter_m: f64,
    field_m2: f64,
    border_m2: f64,
    openings_m2: f64,
    fittings_m2: f64,
    closure_m2: f64,
    fields: Vec<FieldKeys<'a>>,
    passes: [PassKeys; 2],
    girth: GirthKeys,
    rise_mm: f64,
    centreline_mm: f64,
    centreline_in_plan_mm: f64,
    margins_measured: &'static str,
    developed: DevelopedKeys,
    #[serde(skip_serializing_if = "Option::is_none")]
    heights: Option<HeightKeys>,
}

#[derive(Serialize)]
struct FieldKeys<'a> {
    id: &'a str,
    area_m2: f64,
    perimeter_m: f64,
    developed_excess_mm: f64,
}

#[derive(Serialize)]
struct PassKeys {
    pass: u8,
    working_edge_m: f64,
    line_tape_m: f64,
    line_to_lay_m: f64,
    edge_tape_m: f64,
    edge_to_lay_m: f64,
    cover_m2: f64,
}

#[derive(Serialize)]
struct GirthKeys {
    station_mm: f64,
    breadth_mm: f64,
    girth_mm: f64,
}

#[derive(Serialize)]
pub(in super::super) struct DevelopedKeys {
    exact: bool,
    greatest_stretch: f64,
    greatest_stretch_at_mm: [f64; 2],
    greatest_shrink: f64,
    greatest_shrink_at_mm: [f64; 2],
    greatest_angle_rad: f64,
    greatest_angle_at_mm: [f64; 2],
    true_off_the_centreline_mm: Option<f64>,
}

#[derive(Serialize)]
pub(in super::super) struct HeightKeys {
    standard_deviation_mm: Option<f64>,
    list_mm_per_m: Option<f64>,
    with_sheer: bool,
    measured: Vec<MeasuredKeys>,
    suspect: Option<SuspectKeys>,
}

#[derive(Serialize)]
struct MeasuredKeys {
    at_mm: [f64; 2],
    height_mm: f64,
    above_mm: f64,
}

#[derive(Serialize)]
struct SuspectKeys {
    index: usize,
    above_the_others_mm: f64,
    others_within_mm: f64,
}

impl<'a> SurfaceKeys<'a> {
    pub(super) fn of(deck: &'a DeckFigures, own: &'a SurfaceFigures) -> Self {
        let areas = &own.areas;
        let fields = deck.fields.iter().zip(&own.fields);
        Self {
            area_m2: areas.deck.to_m2(),
            perimeter_m: m(own.perimeter),
            field_m2: areas.field.to_m2(),
            border_m2: areas.border.to_m2(),
            openings_m2: areas.openings.to_m2(),
            fittings_m2: areas.fittings.to_m2(),
            closure_m2: areas.closure().to_m2(),
            fields: fields
                .map(|(field, own)| FieldKeys {
                    id: &field.id,
                    area_m2: own.area.to_m2(),
                    perimeter_m: m(own.perimeter),
                    developed_excess_mm: own.developed_excess.to_mm(),
                })
                .collect(),
            passes: [PassKeys::of(1, &own.first), PassKeys::of(2, &own.reversed)],
            girth: GirthKeys {
                station_mm: own.girth.station.to_mm(),
                breadth_mm: own.girth.breadth.to_mm(),
                girth_mm: own.girth.girth.to_mm(),
            },
            rise_mm: own.rise.to_mm(),
            centreline_mm: own.centreline.to_mm(),
            centreline_in_plan_mm: own.centreline_in_plan.to_mm(),
            margins_measured: if own.measured_on_surface {
                "surface"
            } else {
                "plan"
            },
            developed: DevelopedKeys::of(&own.developed),
            heights: own.heights.as_ref().map(HeightKeys::of),
        }
    }
}

impl PassKeys {
    fn of(pass: u8, own: &PassOnSurface) -> Self {
        Self {
            pass,
            working_edge_m: m(own.working_edge),
            line_tape_m: m(own.line_tape),
            line_to_lay_m: m(own.line_to_lay),
            edge_tape_m: m(own.edge_tape),
            edge_to_lay_m: m(own.edge_to_lay),
            cover_m2: own.cover.to_m2(),
        }
    }
}

impl DevelopedKeys {
    pub(in super::super) fn of(developed: &Developed) -> Self {
        let Worst { amount, at: place } = developed.distortion.stretch;
        let shrink = developed.distortion.shrink;
        let angle = developed.distortion.angle;
        Self {
            exact: developed.is_exact,
            greatest_stretch: amount,
            greatest_stretch_at_mm: at(place),
            greatest_shrink: shrink.amount,
            greatest_shrink_at_mm: at(shrink.at),
            greatest_angle_rad: angle.amount,
            greatest_angle_at_mm: at(angle.at),
            true_off_the_centreline_mm: developed.true_off_the_centreline.map(Length::to_mm),
        }
    }
}

impl HeightKeys {
    pub(in super::super) fn of(fit: &HeightFit) -> Self {
        Self {
            standard_deviation_mm: fit.deviation.map(Length::to_mm),
            list_mm_per_m: fit.list_per_metre.map(Length::to_mm),
            with_sheer: fit.with_sheer,
            measured: fit
                .heights
                .iter()
                .map(|height| MeasuredKeys {
                    at_mm: at(height.at),
                    height_mm: height.height.to_mm(),
                    above_mm: height.above.to_mm(),
                })
                .collect(),
            suspect: fit.suspect.map(|suspect| SuspectKeys {
                index: suspect.index,
                above_the_others_mm: suspect.above_the_others.to_mm(),
                others_within_mm: suspect.others_within.to_mm(),
            }),
        }
    }
}
