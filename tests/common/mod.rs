//! Decks built in code for the tests.

#![allow(dead_code, reason = "each test file uses what it needs")]

use spile::layout::{Place, Radii};
use spile::outline::{DeckPlan, Edge, EdgeRing, Placement, StripShape};
use spile::shape::{Point, Region, Ring};
use spile::units::{Length, LengthUnit};

pub(crate) fn mm(length: f64) -> Length {
    Length::mm(length)
}

pub(crate) fn rectangle_ring(x0: f64, y0: f64, x1: f64, y1: f64) -> Ring {
    Ring::polygon(&[
        Point::new(x0, y0),
        Point::new(x1, y0),
        Point::new(x1, y1),
        Point::new(x0, y1),
    ])
}

/// A deck of one edge with one margin and nothing on it.
pub(crate) fn bare_deck(ring: Ring, margin: f64) -> DeckPlan {
    let count = ring.segments().len();
    DeckPlan {
        id: "deck".to_owned(),
        title: "Deck".to_owned(),
        units: LengthUnit::Millimetre,
        outline: EdgeRing {
            ring,
            edge_of_segment: vec![0; count],
            edges: vec![Edge {
                name: None,
                margin: mm(margin),
            }],
        },
        openings: Vec::new(),
        fittings: Vec::new(),
        smooth: Vec::new(),
        pads: Vec::new(),
        strips: Vec::new(),
        walks: Vec::new(),
        footholds: Vec::new(),
        blend: None,
        radius: Radii::default(),
        least_width: Length::ZERO,
        least_area_mm2: 0.0,
        ways_off: Vec::new(),
        fairness: None,
    }
}

pub(crate) fn placement(name: &str, ring: Ring, margin: f64) -> Placement {
    Placement {
        name: name.to_owned(),
        ring,
        margin: mm(margin),
        in_place: true,
        is_glazed: false,
        is_mirror_image: false,
        place: Place::default(),
    }
}

pub(crate) fn strip(x0: f64, y0: f64, x1: f64, y1: f64) -> StripShape {
    StripShape {
        width: mm((x1 - x0).min(y1 - y0)),
        middle: Vec::new(),
        region: Region::inside(rectangle_ring(x0, y0, x1, y1)),
        place: Place::default(),
    }
}
