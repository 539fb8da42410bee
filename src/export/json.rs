//! The figures for programs: JSON whose keys are a contract (added to, never changed), every number at
//! full precision.

mod runs;
pub(super) mod surface;

use std::collections::BTreeMap;

use serde::Serialize;

use crate::figures::{
    DeckFigures, DroppedFigures, FieldFigures, Figures, PassFigures, TapeFigures,
};
use crate::masking::{Clash, RunName};
use crate::outline::Warning;
use crate::pattern::DropReason;
use crate::shape::Point;
use crate::units::{Length, LengthUnit};

/// The figures of one layout.
///
/// # Errors
/// Where the printing fails, for which these keys give no cause.
pub fn json(figures: &Figures) -> Result<String, serde_json::Error> {
    print(&FiguresKeys::of(figures))
}

/// The figures of several layouts: a list of what [`json`] prints for each.
///
/// # Errors
/// As [`json`].
pub fn json_list(list: &[Figures]) -> Result<String, serde_json::Error> {
    print(&list.iter().map(FiguresKeys::of).collect::<Vec<_>>())
}

pub(super) fn print(value: &impl Serialize) -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(value).map(|text| text + "\n")
}

#[derive(Serialize)]
struct FiguresKeys<'a> {
    title: &'a str,
    decks: Vec<DeckKeys<'a>>,
    rolls: runs::RollPlanKeys,
    warnings: Vec<WarningKeys<'a>>,
}

#[derive(Serialize)]
struct DeckKeys<'a> {
    id: &'a str,
    title: &'a str,
    area_m2: f64,
    perimeter_m: f64,
    field_m2: f64,
    border_m2: f64,
    openings_m2: f64,
    fittings_m2: f64,
    closure_m2: f64,
    fields: Vec<FieldKeys<'a>>,
    dropped: Vec<DroppedKeys>,
    passes: [PassKeys<'a>; 2],
    recomputed: u32,
    #[serde(skip_serializing_if = "Option::is_none")]
    surface: Option<surface::SurfaceKeys<'a>>,
}

#[derive(Serialize)]
struct FieldKeys<'a> {
    id: &'a str,
    area_m2: f64,
    perimeter_m: f64,
    rings: usize,
    centroid_mm: [f64; 2],
    clearance_mm: f64,
    tightest_round_mm: Option<f64>,
    tightest_hollow_mm: Option<f64>,
}

#[derive(Serialize)]
struct DroppedKeys {
    area_m2: f64,
    centroid_mm: [f64; 2],
    reason: &'static str,
}

#[derive(Serialize)]
struct PassKeys<'a> {
    pass: u8,
    paints: &'static str,
    working_edge_m: f64,
    line_tape_m: f64,
    line_runs: usize,
    line_to_lay_m: f64,
    edge_tape_m: f64,
    edge_runs: usize,
    edge_to_lay_m: f64,
    runs: Vec<runs::RunKeys<'a>>,
    cover_m2: f64,
    clashes: Vec<ClashKeys>,
}

#[derive(Serialize)]
struct ClashKeys {
    length_m: f64,
    at_mm: [f64; 2],
    width_that_would_do_mm: f64,
}

#[derive(Serialize)]
pub(super) struct WarningKeys<'a> {
    deck: &'a str,
    code: &'static str,
    message: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_mm: Option<[f64; 2]>,
}

impl<'a> FiguresKeys<'a> {
    fn of(figures: &'a Figures) -> Self {
        Self {
            title: &figures.title,
            decks: {
                let rolls = figures.rolls.numbers();
                let decks = figures.decks.iter();
                decks.map(|deck| DeckKeys::of(deck, &rolls)).collect()
            },
            rolls: runs::RollPlanKeys::of(&figures.rolls),
            warnings: figures.warnings.iter().map(WarningKeys::of).collect(),
        }
    }
}

impl<'a> DeckKeys<'a> {
    fn of(deck: &'a DeckFigures, rolls: &BTreeMap<RunName, usize>) -> Self {
        let areas = &deck.areas;
        Self {
            id: &deck.id,
            title: &deck.title,
            area_m2: areas.deck.to_m2(),
            perimeter_m: m(deck.perimeter),
            field_m2: areas.field.to_m2(),
            border_m2: areas.border.to_m2(),
            openings_m2: areas.openings.to_m2(),
            fittings_m2: areas.fittings.to_m2(),
            closure_m2: areas.closure().to_m2(),
            fields: deck.fields.iter().map(FieldKeys::of).collect(),
            dropped: deck.dropped.iter().map(DroppedKeys::of).collect(),
            passes: [
                PassKeys::of(1, "border", &deck.first, rolls),
                PassKeys::of(2, "field", &deck.reversed, rolls),
            ],
            recomputed: deck.recomputed,
            surface: deck
                .surface
                .as_ref()
                .map(|own| surface::SurfaceKeys::of(deck, own)),
        }
    }
}

impl<'a> FieldKeys<'a> {
    fn of(field: &'a FieldFigures) -> Self {
        Self {
            id: &field.id,
            area_m2: field.area.to_m2(),
            perimeter_m: m(field.perimeter),
            rings: field.rings,
            centroid_mm: at(field.centroid),
            clearance_mm: field.clearance.to_mm(),
            tightest_round_mm: field.tightest_round.map(Length::to_mm),
            tightest_hollow_mm: field.tightest_hollow.map(Length::to_mm),
        }
    }
}

impl DroppedKeys {
    fn of(piece: &DroppedFigures) -> Self {
        Self {
            area_m2: piece.area.to_m2(),
            centroid_mm: at(piece.centroid),
            reason: match piece.reason {
                DropReason::TooNarrow => "too-narrow",
                DropReason::TooSmall => "too-small",
            },
        }
    }
}

impl<'a> PassKeys<'a> {
    fn of(
        pass: u8,
        paints: &'static str,
        figures: &'a PassFigures,
        rolls: &BTreeMap<RunName, usize>,
    ) -> Self {
        let TapeFigures {
            length: line_tape,
            runs: line_runs,
            to_lay: line_to_lay,
        } = figures.line_tape;
        let TapeFigures {
            length: edge_tape,
            runs: edge_runs,
            to_lay: edge_to_lay,
        } = figures.edge_tape;
        Self {
            pass,
            paints,
            working_edge_m: m(figures.working_edge),
            line_tape_m: m(line_tape),
            line_runs,
            line_to_lay_m: m(line_to_lay),
            edge_tape_m: m(edge_tape),
            edge_runs,
            edge_to_lay_m: m(edge_to_lay),
            runs: figures
                .runs
                .iter()
                .map(|run| runs::RunKeys::of(run, rolls))
                .collect(),
            cover_m2: figures.cover.to_m2(),
            clashes: figures.clashes.iter().map(ClashKeys::of).collect(),
        }
    }
}

impl ClashKeys {
    fn of(clash: &Clash) -> Self {
        Self {
            length_m: m(clash.length),
            at_mm: at(clash.at),
            width_that_would_do_mm: clash.width_that_would_do.to_mm(),
        }
    }
}

impl<'a> WarningKeys<'a> {
    pub(super) fn of(warning: &'a Warning) -> Self {
        Self {
            deck: &warning.deck,
            code: warning.code,
            message: &warning.message,
            at_mm: warning.at.map(at),
        }
    }
}

pub(super) fn m(length: Length) -> f64 {
    length.to(LengthUnit::Metre)
}

pub(super) fn at(point: Point) -> [f64; 2] {
    [point.x, point.y]
}

#[cfg(test)]
mod tests {
    use serde_json::{Value, json};

    use crate::figures::sample;

    /// The keys that programs rely on; more may stand beside them.
    #[test]
    fn the_keys_of_the_contract_are_there_with_metres_and_millimetres() {
        let text = super::json(&sample::figures()).expect("it prints");
        let value: Value = serde_json::from_str(&text).expect("it is JSON");
        let contract = json!({
            "title": "Foredeck, \"wet\"",
            "decks": [{
                "id": "fore",
                "area_m2": 2.0, "perimeter_m": 6.0,
                "field_m2": 1.2, "border_m2": 0.55, "openings_m2": 0.25, "fittings_m2": 0.0,
                "closure_m2": 0.0,
                "fields": [{
                    "id": "F1", "area_m2": 1.2, "perimeter_m": 5.0, "rings": 2,
                    "centroid_mm": [1000.0, 0.0], "clearance_mm": 60.0,
                    "tightest_round_mm": 40.0, "tightest_hollow_mm": null
                }],
                "passes": [
                    { "pass": 1, "paints": "border", "working_edge_m": 5.0, "line_tape_m": 4.9,
                      "edge_tape_m": 8.0, "cover_m2": 1.1 },
                    { "pass": 2, "paints": "field", "working_edge_m": 5.0, "line_tape_m": 5.1,
                      "edge_tape_m": 0.0, "cover_m2": 0.4 }
                ]
            }],
            "warnings": [{
                "deck": "fore", "code": "knife-edge", "message": "the passage is as wide as the round"
            }]
        });
        assert_holds(&value, &contract, "");
    }

    fn assert_holds(value: &Value, wanted: &Value, path: &str) {
        match wanted {
            Value::Object(keys) => {
                for (key, wanted) in keys {
                    assert!(value.get(key).is_some(), "{path}.{key} is missing");
                    assert_holds(&value[key], wanted, &format!("{path}.{key}"));
                }
            }
            Value::Array(items) => {
                let found = value.as_array().map_or(0, Vec::len);
                assert_eq!(found, items.len(), "{path}");
                for (index, wanted) in items.iter().enumerate() {
                    assert_holds(&value[index], wanted, &format!("{path}[{index}]"));
                }
            }
            _ => assert_eq!(value, wanted, "{path}"),
        }
    }

    #[test]
    fn no_digit_is_rounded_away() {
        let mut figures = sample::figures();
        let third = 1e6 / 3.0;
        figures.decks[0].areas.border = crate::units::Area::mm2(third);
        let text = super::json(&figures).expect("it prints");
        let value: Value = serde_json::from_str(&text).expect("it is JSON");
        assert_eq!(value["decks"][0]["border_m2"], json!(third / 1e6));
    }
}
