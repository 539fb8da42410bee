//! From the bare field to the fields: outward corners rounded, inward corners filleted, rounding once
//! more, what is too small dropped, the rest numbered.

use crate::outline::DeckPlan;
use crate::shape::{Boundary, Fillet, Region, Segment};
use crate::units::Length;

use super::keep_off::{self, Ground};
use super::{Clearance, DropReason, Dropped, Field};

/// A narrow piece exactly as wide as the least width is kept, whatever rounding says; millimetres.
const WIDTH_SLACK: f64 = 1e-4;
/// A piece lost to rounding that is smaller than this is not worth a word, mm².
const WORTH_SAYING: f64 = 100.0;
/// A fillet of more than this times the square of its radius fills a dead end rather than a corner: in a corner of
/// angle θ it has r²(cot(θ/2) - (π - θ)/2), 0.2 r² in a square one and this in one of 49°.
const DEEP: f64 = 1.0;
/// Fields whose centres lie this near along the deck stand side by side, millimetres.
const ABREAST: f64 = 1.0;

/// A small change of what the pattern was asked for, to see what hangs on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Nudge {
    /// Added to every margin, millimetres.
    pub(super) margin: f64,
    /// Added to the radius of outward corners.
    pub(super) round: f64,
    /// Added to the radius of inward corners.
    pub(super) hollow: f64,
}

impl Nudge {
    /// As asked.
    pub(super) const NONE: Self = Self {
        margin: 0.0,
        round: 0.0,
        hollow: 0.0,
    };

    pub(super) fn margin(self, margin: Length) -> Length {
        nudged(margin, self.margin)
    }
}

/// A length changed a little, but never below zero, and zero stays zero: it was not asked for.
fn nudged(length: Length, by: f64) -> Length {
    if length <= Length::ZERO {
        length
    } else {
        (length + Length::mm(by)).max(Length::ZERO)
    }
}

/// The fields before they are numbered, and what happened on the way.
#[derive(Debug, Default)]
pub(super) struct Shaped {
    pub(super) fields: Vec<Region>,
    pub(super) dropped: Vec<Dropped>,
    pub(super) refused: Vec<Fillet>,
    /// Fillets that fill more than a corner: a notch or the dead end of a strip.
    pub(super) deep: Vec<Fillet>,
    /// Pieces of the bare field with no room for a disc of the `round` radius.
    pub(super) lost: Vec<Region>,
    /// Steps computed again with finer chords.
    pub(super) recomputed: u32,
}

impl Shaped {
    /// All fields as one region.
    pub(super) fn region(&self) -> Region {
        Region::new(
            self.fields
                .iter()
                .flat_map(|field| field.rings())
                .cloned()
                .collect(),
        )
    }
}

/// Shapes the fields of a deck.
pub(super) fn shape(plan: &DeckPlan, ground: &Ground, nudge: Nudge) -> Shaped {
    let bare = keep_off::bare_field(plan, ground, nudge);
    let round = nudged(plan.radius.round, nudge.round);
    let hollow = nudged(plan.radius.hollow, nudge.hollow);
    let (opened, lost) = opened(&bare, round);
    let off_limits = [
        ground.openings.boundary(),
        ground.fittings.boundary(),
        lifted_footprints(plan),
    ];
    let deck = ground.deck.boundary();
    let filled = opened.hollows_filled(hollow, |fillet| {
        fillet.lies_within(&deck) && off_limits.iter().all(|area| fillet.keeps_clear_of(area))
    });
    let rounded = if filled.fillets.is_empty() {
        filled.region
    } else {
        filled.region.opened(round)
    };
    let mut deep = filled.fillets;
    deep.retain(|fillet| fillet.piece.area() > DEEP * hollow.to_mm().powi(2));
    let mut shaped = Shaped {
        lost,
        refused: filled.refused,
        deep,
        recomputed: rounded.recomputed(),
        ..Shaped::default()
    };
    for piece in rounded.components() {
        match why_dropped(plan, &piece) {
            Some(reason) => shaped.dropped.push(Dropped {
                region: piece,
                reason,
            }),
            None => shaped.fields.push(piece),
        }
    }
    shaped
}

/// The bare field opened by a disc, and those of its pieces in which the disc finds no room.
fn opened(bare: &Region, round: Length) -> (Region, Vec<Region>) {
    if round <= Length::ZERO {
        return (bare.clone(), Vec::new());
    }
    // Where the disc's centre can be lies well inside a piece that it fits.
    let centres = bare.eroded(round);
    let mut lost = bare.components_without(&centres);
    lost.retain(|piece| piece.area() > WORTH_SAYING);
    (centres.dilated(round), lost)
}

/// Footprints of fittings lifted for the job: they are painted with the border.
fn lifted_footprints(plan: &DeckPlan) -> Boundary<'_> {
    let lifted = plan.fittings.iter().filter(|fitting| !fitting.in_place);
    Boundary::of(lifted.map(|fitting| &fitting.ring))
}

fn why_dropped(plan: &DeckPlan, piece: &Region) -> Option<DropReason> {
    let half = plan.least_width / 2.0 - Length::mm(WIDTH_SLACK);
    if half > Length::ZERO && piece.eroded(half).is_empty() {
        return Some(DropReason::TooNarrow);
    }
    // An area exactly as asked is kept, whatever rounding says.
    (piece.area() < plan.least_area_mm2 * (1.0 - 1e-9)).then_some(DropReason::TooSmall)
}

/// The fields with their numbers and measures: forward to aft, and port to starboard where they stand
/// side by side.
pub(super) fn numbered(plan: &DeckPlan, fields: &[Region]) -> Vec<Field> {
    let mut placed: Vec<_> = fields
        .iter()
        .map(|field| (field.centroid(), field))
        .collect();
    placed.sort_by(|a, b| a.0.x.total_cmp(&b.0.x));
    let mut rows: Vec<Vec<_>> = Vec::new();
    for (centre, field) in placed {
        match rows.last_mut() {
            Some(row)
                if row
                    .first()
                    .is_some_and(|(first, _): &(crate::shape::Point, &Region)| {
                        centre.x - first.x <= ABREAST
                    }) =>
            {
                row.push((centre, field));
            }
            _ => rows.push(vec![(centre, field)]),
        }
    }
    for row in &mut rows {
        row.sort_by(|a, b| a.0.y.total_cmp(&b.0.y));
    }
    let obstacles = obstacles(plan);
    rows.into_iter()
        .flatten()
        .enumerate()
        .filter_map(|(index, (_, field))| {
            let clearance = Clearance::from(obstacles.nearest_to(field)?);
            Some(Field {
                id: format!("F{}", index + 1),
                region: field.clone(),
                clearance,
                tightest_round: tightest(field, |sweep| sweep > 0.0),
                tightest_hollow: tightest(field, |sweep| sweep < 0.0),
            })
        })
        .collect()
}

/// Everything a field keeps clear of, as boundaries: the deck's edge, openings, and fittings whether
/// they are in place or lifted.
fn obstacles(plan: &DeckPlan) -> Boundary<'_> {
    let stand = plan.openings.iter().chain(&plan.fittings);
    Boundary::of(std::iter::once(&plan.outline.ring).chain(stand.map(|obstacle| &obstacle.ring)))
}

/// Least radius of the arcs that turn the given way.
fn tightest(field: &Region, turns: impl Fn(f64) -> bool) -> Option<Length> {
    field
        .segments()
        .filter_map(|segment| match segment {
            Segment::Arc(arc) if turns(arc.sweep) => Some(arc.radius),
            _ => None,
        })
        .reduce(f64::min)
        .map(Length::mm)
}
