//! Figures small enough to check in one's head, for the tests of whatever prints them.

use super::{Areas, DeckFigures, DroppedFigures, FieldFigures, Figures, PassFigures, TapeFigures};
use crate::layout::Tape;
use crate::masking::{Clash, RollPlan};
use crate::outline::Warning;
use crate::pattern::DropReason;
use crate::shape::Point;
use crate::units::{Area, Length, LengthUnit};

/// A deck of 2 m by 1 m with one field and a hatch.
pub(crate) fn figures() -> Figures {
    let tape = |length: f64, runs: u8| TapeFigures {
        length: Length::mm(length),
        runs: usize::from(runs),
        to_lay: Length::mm(length + 50.0 * f64::from(runs)),
    };
    let pass = |line: f64, edge: f64, cover: f64| PassFigures {
        working_edge: Length::mm(5000.0),
        line_tape: tape(line, 1),
        edge_tape: tape(edge, 2),
        runs: vec![],
        cover: Area::mm2(cover),
        clashes: vec![],
    };
    Figures {
        title: "Foredeck, \"wet\"".to_owned(),
        units: LengthUnit::Millimetre,
        decks: vec![DeckFigures {
            id: "fore".to_owned(),
            title: "Fore | deck".to_owned(),
            perimeter: Length::mm(6000.0),
            areas: Areas {
                deck: Area::mm2(2e6),
                field: Area::mm2(1.2e6),
                border: Area::mm2(0.55e6),
                openings: Area::mm2(0.25e6),
                fittings: Area::ZERO,
            },
            fields: vec![FieldFigures {
                id: "F1".to_owned(),
                area: Area::mm2(1.2e6),
                perimeter: Length::mm(5000.0),
                rings: 2,
                centroid: Point::new(1000.0, 0.0),
                clearance: Length::mm(60.0),
                tightest_round: Some(Length::mm(40.0)),
                tightest_hollow: None,
            }],
            recomputed: 0,
            surface: None,
            dropped: vec![DroppedFigures {
                area: Area::mm2(1000.0),
                centroid: Point::new(150.0, -420.0),
                reason: DropReason::TooSmall,
            }],
            first: pass(4900.0, 8000.0, 1.1e6),
            reversed: PassFigures {
                clashes: vec![Clash {
                    length: Length::mm(900.0),
                    at: Point::new(1200.0, 0.0),
                    width_that_would_do: Length::mm(15.0),
                }],
                ..pass(5100.0, 0.0, 0.4e6)
            },
        }],
        tape: Tape::default(),
        rolls: RollPlan::default(),
        warnings: vec![Warning {
            deck: "fore".to_owned(),
            code: "knife-edge",
            message: "the passage is as wide as the round".to_owned(),
            place: None,
            at: Some(Point::new(1.0, 2.0)),
        }],
    }
}
