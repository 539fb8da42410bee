//! What is painted, deck by deck: areas and lengths as the figures have them, on the surface where a deck has camber
//! or sheer. Nothing is measured here a second time.

use crate::figures::{DeckFigures, Figures};
use crate::layout::Surface;
use crate::units::{Area, Length};

/// The zones of one deck.
#[derive(Debug, Clone, PartialEq)]
pub struct DeckZones {
    /// The deck's id.
    pub id: String,
    /// What people call it.
    pub title: String,
    /// All that stays smooth.
    pub border: Area,
    /// All fields.
    pub field: Area,
    /// Each field.
    pub fields: Vec<FieldZone>,
    /// The deck's outline.
    pub deck_edge: Length,
    /// Outline, openings and fittings in place.
    pub all_edges: Length,
    /// The paint line.
    pub paint_line: Length,
    /// Tape and film of the first pass.
    pub first: Protection,
    /// Tape and film of the reversed pass.
    pub reversed: Protection,
}

/// One field.
#[derive(Debug, Clone, PartialEq)]
pub struct FieldZone {
    /// `F1`, `F2`, …
    pub id: String,
    /// Its area.
    pub area: Area,
}

/// What a pass protects with, without laps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Protection {
    /// Line tape.
    pub line: Length,
    /// Edge tape.
    pub edge: Length,
    /// Film.
    pub film: Area,
}

impl DeckZones {
    /// The area that a step works on; none where it is an edge.
    #[must_use]
    pub fn area(&self, on: Surface) -> Area {
        match on {
            Surface::All => self.border + self.field,
            Surface::Border => self.border,
            Surface::Field => self.field,
            Surface::Edge => Area::ZERO,
        }
    }

    fn of(deck: &DeckFigures) -> Self {
        let protection = |pass: &crate::figures::PassFigures| Protection {
            line: pass.line_tape.length,
            edge: pass.edge_tape.length,
            film: pass.cover,
        };
        let plan = Self {
            id: deck.id.clone(),
            title: deck.title.clone(),
            border: deck.areas.border,
            field: deck.areas.field,
            fields: deck
                .fields
                .iter()
                .map(|field| FieldZone {
                    id: field.id.clone(),
                    area: field.area,
                })
                .collect(),
            deck_edge: deck.perimeter,
            all_edges: deck.first.edge_tape.length,
            paint_line: deck.first.working_edge,
            first: protection(&deck.first),
            reversed: protection(&deck.reversed),
        };
        let Some(own) = &deck.surface else {
            return plan;
        };
        let protection = |pass: &crate::figures::PassOnSurface| Protection {
            line: pass.line_tape,
            edge: pass.edge_tape,
            film: pass.cover,
        };
        Self {
            border: own.areas.border,
            field: own.areas.field,
            fields: plan
                .fields
                .iter()
                .zip(&own.fields)
                .map(|(field, on_surface)| FieldZone {
                    id: field.id.clone(),
                    area: on_surface.area,
                })
                .collect(),
            deck_edge: own.perimeter,
            all_edges: own.first.edge_tape,
            paint_line: own.first.working_edge,
            first: protection(&own.first),
            reversed: protection(&own.reversed),
            ..plan
        }
    }
}

/// The zones of all decks, in the figures' order.
#[must_use]
pub fn zones(figures: &Figures) -> Vec<DeckZones> {
    figures.decks.iter().map(DeckZones::of).collect()
}
