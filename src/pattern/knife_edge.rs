//! Knife edges: places where a hair decides. People measure in round numbers, so a passage may be
//! exactly as wide as the disc that would close it; either answer is right there, and a warning says
//! which was taken and what to move so that it is plain.

use crate::outline::{DeckPlan, Warning};
use crate::shape::{Nearest, Point, Region};
use crate::units::Length;

use super::fields::{self, Nudge};
use super::keep_off::Ground;
use super::{Seen, remarks};

/// How far margins and radii are moved, millimetres.
const HAIR: f64 = 0.05;
/// How much of a field must hang on it, mm².
const MATTERS: f64 = 100.0;
/// A hair's move shifts every boundary by this at most; what is wider hangs on it. Millimetres.
const SHIFT: f64 = 0.5;

/// Pieces this near to each other are of one place, millimetres.
const BESIDE: f64 = 10.0;

/// A single thing that a person can move.
#[derive(Debug, Clone, Copy)]
struct Knob {
    nudge: Nudge,
    name: &'static str,
    way: &'static str,
}

const KNOBS: [Knob; 6] = [
    Knob::new(
        Nudge {
            margin: HAIR,
            ..Nudge::NONE
        },
        "margin",
        "larger",
    ),
    Knob::new(
        Nudge {
            margin: -HAIR,
            ..Nudge::NONE
        },
        "margin",
        "smaller",
    ),
    Knob::new(
        Nudge {
            round: HAIR,
            ..Nudge::NONE
        },
        "round",
        "larger",
    ),
    Knob::new(
        Nudge {
            round: -HAIR,
            ..Nudge::NONE
        },
        "round",
        "smaller",
    ),
    Knob::new(
        Nudge {
            hollow: HAIR,
            ..Nudge::NONE
        },
        "hollow",
        "larger",
    ),
    Knob::new(
        Nudge {
            hollow: -HAIR,
            ..Nudge::NONE
        },
        "hollow",
        "smaller",
    ),
];

impl Knob {
    const fn new(nudge: Nudge, name: &'static str, way: &'static str) -> Self {
        Self { nudge, name, way }
    }
}

/// The fields at both ends of what all knobs can do together: where they differ by no more than a
/// hair's shift, nothing hangs on a hair.
#[derive(Debug)]
pub(super) struct Bracket {
    least: Region,
    most: Region,
}

impl Bracket {
    pub(super) fn of(plan: &DeckPlan, ground: &Ground) -> Self {
        let least = Nudge {
            margin: HAIR,
            round: HAIR,
            hollow: -HAIR,
        };
        let most = Nudge {
            margin: -HAIR,
            round: -HAIR,
            hollow: HAIR,
        };
        Self {
            least: region(plan, ground, least),
            most: region(plan, ground, most),
        }
    }

    fn hangs_on_a_hair(&self) -> bool {
        !self.least.is_alike(&self.most, Length::mm(SHIFT))
            && !decided_by_a_hair(&self.least, &self.most).is_empty()
    }
}

fn region(plan: &DeckPlan, ground: &Ground, nudge: Nudge) -> Region {
    fields::shape(plan, ground, nudge).region()
}

/// The knife edges of a deck whose fields together are `taken`.
pub(super) fn warnings(
    seen: &Seen<'_>,
    ground: &Ground,
    taken: &Region,
    bracket: &Bracket,
) -> Vec<Warning> {
    if !bracket.hangs_on_a_hair() {
        return Vec::new();
    }
    let mut pieces: Vec<(Region, Knob)> = KNOBS
        .into_iter()
        .flat_map(|knob| {
            let other = region(seen.plan, ground, knob.nudge);
            decided_by_a_hair(taken, &other)
                .into_iter()
                .map(move |piece| (piece, knob))
        })
        .collect();
    // The largest piece speaks for those beside it.
    pieces.sort_by(|a, b| b.0.area().total_cmp(&a.0.area()));
    let mut told: Vec<Region> = Vec::new();
    let mut warnings = Vec::new();
    for (piece, knob) in pieces {
        if told.iter().any(|known| is_beside(&piece, known)) {
            continue;
        }
        warnings.push(warning(seen, taken, &piece, knob));
        told.push(piece);
    }
    warnings
}

/// Whether two pieces are of one place.
fn is_beside(one: &Region, other: &Region) -> bool {
    let near = |nearest: Nearest| nearest.distance < Length::mm(BESIDE);
    one.nearest_boundary(other).is_some_and(near) || other.contains(inner_point(one))
}

/// The pieces of one that lie further from the other than a hair's move shifts a boundary, and are large
/// enough to matter.
fn decided_by_a_hair(one: &Region, other: &Region) -> Vec<Region> {
    let beyond = |there: &Region, here: &Region| {
        there
            .difference(&[&here.dilated(Length::mm(SHIFT))])
            .components()
    };
    let pieces = [beyond(other, one), beyond(one, other)].concat();
    pieces
        .into_iter()
        .filter(|piece| piece.area() > MATTERS)
        .collect()
}

/// A point well inside a piece: its centre where that lies inside, else what is left of it last.
fn inner_point(piece: &Region) -> Point {
    let centre = piece.centroid();
    if piece.contains(centre) {
        return centre;
    }
    let core = piece.eroded(Length::mm(SHIFT * 0.9));
    core.segments()
        .next()
        .map_or(centre, |segment| segment.point_at(0.5))
}

fn warning(seen: &Seen<'_>, taken: &Region, piece: &Region, knob: Knob) -> Warning {
    let at = inner_point(piece);
    let (is, was) = if taken.contains(at) {
        ("laid as non-skid", "left smooth")
    } else {
        ("left smooth", "laid as non-skid")
    };
    let hair = Length::mm(HAIR);
    let clear = Length::mm(2.0 * HAIR);
    Warning {
        deck: seen.plan.id.clone(),
        code: "knife-edge",
        message: format!(
            "A hair decides {}: {} there is {is}, and with the {} {} by {} it would be {was}. Move what \
             stands near it, or the {}, by {} or more, so that it is plain.",
            remarks::place(seen, at),
            remarks::area(seen, piece.area()),
            knob.name,
            knob.way,
            remarks::fine(hair),
            knob.name,
            remarks::fine(clear),
        ),
        place: None,
        at: Some(seen.in_plan(at)),
    }
}
