//! What a person should know about a pattern, in words: what was dropped and where, corners that stay
//! tighter than asked, fillets that come nearer than a margin.

use std::collections::BTreeMap;

use crate::outline::{DeckPlan, Warning, whereabouts};
use crate::shape::{Boundary, Nearest, Point, Region, Ring, Rows, Segment};
use crate::units::{Area, Length};

use super::fields::Shaped;
use super::keep_off::Ground;
use super::{DropReason, Field, Seen};

/// Radii and clearances this near to what was asked are as asked, millimetres.
const AS_ASKED: f64 = 1e-6;

/// Everything to be said about the fields.
pub(super) fn on(
    seen: &Seen<'_>,
    ground: &Ground,
    shaped: &Shaped,
    fields: &[Field],
) -> Vec<Warning> {
    let mut warnings = Vec::new();
    if fields.is_empty() {
        let message =
            "No field is left: margins, radii and least sizes take the whole deck. Make the \
                       margins narrower or the radii smaller."
                .to_owned();
        warnings.push(warning(seen, "no-field", message, None));
    }
    warnings.extend(shaped.dropped.iter().map(|dropped| {
        let at = dropped.region.centroid();
        let size = area(seen, dropped.region.area());
        let (code, limit) = match dropped.reason {
            DropReason::TooNarrow => (
                "dropped-narrow",
                format!("narrower than {}", length(seen, seen.plan.least_width)),
            ),
            DropReason::TooSmall => {
                let limit = area(seen, seen.plan.least_area_mm2);
                // Shown alike, it is still smaller.
                let little = if limit == size { "a little " } else { "" };
                ("dropped-small", format!("{little}smaller than {limit}"))
            }
        };
        let message = format!(
            "A piece of {size} {}, is {limit}, so it stays smooth.",
            place(seen, at),
        );
        warning(seen, code, message, Some(at))
    }));
    if !fields.is_empty() {
        warnings.extend(lost_to_rounding(seen, &shaped.lost));
    }
    warnings.extend(nearer_than_margin(seen, fields));
    warnings.extend(shaped.refused.iter().map(|fillet| {
        let message = format!(
            "The inward corner {}, keeps its own shape: rounded to {} it would reach off the deck or onto an \
             opening or fitting.",
            place(seen, fillet.at()),
            length(seen, seen.plan.radius.hollow),
        );
        warning(seen, "hollow-refused", message, Some(fillet.at()))
    }));
    warnings.extend(shaped.deep.iter().map(|fillet| {
        let message = format!(
            "A narrow dead end {} is filled with non-skid, {} of it: a hollow of {} has no room there. A strip that is to \
             stay smooth to its end must be wider than twice the hollow.",
            place(seen, fillet.at()),
            area(seen, fillet.piece.area()),
            length(seen, seen.plan.radius.hollow),
        );
        warning(seen, "hollow-fills", message, Some(fillet.at()))
    }));
    warnings.extend(fields.iter().filter_map(|field| tight_hollows(seen, field)));
    warnings.extend(overlaps(seen, ground));
    warnings
}

fn warning(seen: &Seen<'_>, code: &'static str, message: String, at: Option<Point>) -> Warning {
    Warning {
        deck: seen.plan.id.clone(),
        code,
        message,
        place: None,
        at: at.map(|at| seen.in_plan(at)),
    }
}

/// Pieces too narrow for the disc that rounds their corners, in one warning: there may be many.
fn lost_to_rounding(seen: &Seen<'_>, lost: &[Region]) -> Option<Warning> {
    let largest = lost.iter().max_by(|a, b| a.area().total_cmp(&b.area()))?;
    let at = largest.centroid();
    let others = match lost.len() - 1 {
        0 => String::new(),
        more => {
            let all = lost.iter().map(Region::area).sum();
            format!(
                " So are {more} smaller pieces; together they are {}.",
                area(seen, all)
            )
        }
    };
    let message = format!(
        "A piece of {} {} has no room for a corner radius of {}, so it stays smooth.{others}",
        area(seen, largest.area()),
        place(seen, at),
        length(seen, seen.plan.radius.round),
    );
    Some(warning(seen, "lost-to-rounding", message, Some(at)))
}

/// Places where a hollow brings a field nearer to something than its margin, the worst for each thing.
fn nearer_than_margin(seen: &Seen<'_>, fields: &[Field]) -> Vec<Warning> {
    let asked = seen.plan.radius.hollow;
    let is_hollow = |segment: &&Segment| {
        matches!(segment, Segment::Arc(arc)
            if arc.sweep < 0.0 && (arc.radius - asked.to_mm()).abs() < AS_ASKED)
    };
    let obstacles = Obstacles::of(seen.plan);
    let mut warnings = Vec::new();
    for field in fields {
        let mut near: BTreeMap<usize, Vec<Nearest>> = BTreeMap::new();
        for hollow in field.region.segments().filter(is_hollow) {
            for (thing, nearest) in obstacles.nearer_than_their_margin(hollow) {
                near.entry(thing).or_default().push(nearest);
            }
        }
        for (thing, mut places) in near {
            places.sort_by(|a, b| a.distance.to_mm().total_cmp(&b.distance.to_mm()));
            let Some(Nearest { distance, here, .. }) = places.first() else {
                continue;
            };
            let others = match places.len() - 1 {
                0 => String::new(),
                1 => ", and in another place,".to_owned(),
                more => format!(", and in {more} other places,"),
            };
            let Thing { margin, name } = &obstacles.things[thing];
            let message = format!(
                "The hollow of {} brings {} to {} from {name} {}{others} nearer than its margin of {}. A hollow \
                 no larger than the margin plus the corner's own radius keeps clear of it.",
                length(seen, asked),
                field.id,
                length(seen, *distance),
                place(seen, *here),
                length(seen, *margin),
            );
            warnings.push(warning(seen, "hollow-in-margin", message, Some(*here)));
        }
    }
    warnings
}

/// Everything with a margin of its own. Edges without a name that have one margin are one thing.
struct Obstacles<'a> {
    boundary: Boundary<'a>,
    things: Vec<Thing>,
    /// The thing of each segment of the boundary.
    thing_of_segment: Vec<usize>,
    widest: Length,
}

/// Something with a margin.
struct Thing {
    margin: Length,
    name: String,
}

impl<'a> Obstacles<'a> {
    fn of(plan: &'a DeckPlan) -> Self {
        let outline = &plan.outline;
        let standing = || plan.openings.iter().chain(&plan.fittings);
        let mut first_of: BTreeMap<(Option<&str>, u64), usize> = BTreeMap::new();
        let mut things = Vec::new();
        let mut thing_of_segment = Vec::new();
        for owner in &outline.edge_of_segment {
            let edge = &outline.edges[*owner];
            let key = (edge.name.as_deref(), edge.margin.to_mm().to_bits());
            thing_of_segment.push(*first_of.entry(key).or_insert_with(|| {
                things.push(Thing {
                    margin: edge.margin,
                    name: edge.name.as_ref().map_or_else(
                        || "the deck edge".to_owned(),
                        |name| format!("the {name} edge"),
                    ),
                });
                things.len() - 1
            }));
        }
        for obstacle in standing() {
            let segments = obstacle.ring.segments().len();
            thing_of_segment.resize(thing_of_segment.len() + segments, things.len());
            things.push(Thing {
                margin: obstacle.margin,
                name: format!("the {}", obstacle.name),
            });
        }
        let rings = std::iter::once(&outline.ring).chain(standing().map(|one| &one.ring));
        let widest = things
            .iter()
            .fold(Length::ZERO, |widest, thing| widest.max(thing.margin));
        Self {
            boundary: Boundary::of(rings),
            things,
            thing_of_segment,
            widest,
        }
    }

    /// The nearest place of each thing that comes nearer to a segment than its margin.
    fn nearer_than_their_margin(&self, segment: &Segment) -> BTreeMap<usize, Nearest> {
        let mut found: BTreeMap<usize, Nearest> = BTreeMap::new();
        let reach = segment.bounding_box().grown(self.widest.to_mm());
        self.boundary.near(&reach, |index| {
            let thing = self.thing_of_segment[index];
            let limit = self.things[thing].margin - Length::mm(AS_ASKED);
            let nearest = segment.nearest(self.boundary.segments()[index]);
            let known = found.get(&thing).map_or(limit, |known| known.distance);
            if nearest.distance < known {
                found.insert(thing, nearest);
            }
        });
        found
    }
}

/// Inward corners of a field that stay tighter than the hollow radius asked for.
fn tight_hollows(seen: &Seen<'_>, field: &Field) -> Option<Warning> {
    let asked = seen.plan.radius.hollow.to_mm();
    if asked <= 0.0 {
        return None;
    }
    let mut tight: Vec<(f64, Point)> = Vec::new();
    for ring in field.region.rings() {
        let segments = ring.segments();
        for (index, segment) in segments.iter().enumerate() {
            match segment {
                Segment::Arc(arc) if arc.sweep < 0.0 && arc.radius < asked - AS_ASKED => {
                    tight.push((arc.radius, segment.point_at(0.5)));
                }
                _ => {}
            }
            let next = &segments[(index + 1) % segments.len()];
            if segment.direction_at(1.0).cross(next.direction_at(0.0)) < -1e-6 {
                tight.push((0.0, segment.end()));
            }
        }
    }
    let (radius, at) = tight.iter().copied().min_by(|a, b| a.0.total_cmp(&b.0))?;
    let corner = if radius == 0.0 {
        "a sharp inward corner".to_owned()
    } else {
        format!(
            "an inward arc of radius {}",
            length(seen, Length::mm(radius))
        )
    };
    let others = match tight.len() - 1 {
        0 => String::new(),
        more => format!(" ({more} more like it in this field)"),
    };
    let message = format!(
        "{} keeps {corner} {}{others}, tighter than the hollow of {}: no disc of that size fits there.",
        field.id,
        place(seen, at),
        length(seen, seen.plan.radius.hollow),
    );
    Some(warning(seen, "tight-hollow", message, Some(at)))
}

/// Openings or fittings that lie over each other count once; that is worth a word.
fn overlaps(seen: &Seen<'_>, ground: &Ground) -> Vec<Warning> {
    let in_place = seen.plan.fittings.iter().filter(|fitting| fitting.in_place);
    let named: Vec<(&str, &Ring)> = seen
        .plan
        .openings
        .iter()
        .chain(in_place)
        .map(|obstacle| (obstacle.name.as_str(), &obstacle.ring))
        .collect();
    let separate: f64 = named.iter().map(|(_, ring)| ring.signed_area()).sum();
    let together = ground.openings.area() + ground.fittings.area();
    if separate - together < 1.0 {
        return Vec::new();
    }
    let mut pairs = Vec::new();
    Rows::new(named.iter().map(|(_, ring)| ring.bounding_box()).collect())
        .touching_pairs(|one, other| pairs.push([one.min(other), one.max(other)]));
    pairs.sort_unstable();
    pairs
        .into_iter()
        .filter_map(|[one, other]| {
            let ((name, ring), (other_name, other)) = (named[one], named[other]);
            let both =
                Region::new(vec![ring.clone()]).intersection(&[&Region::new(vec![other.clone()])]);
            let at = both.centroid();
            let message = format!(
                "The {name} and the {other_name} lie over each other by {} {}; the ground counts once, an \
                 opening before a fitting.",
                area(seen, both.area()),
                place(seen, at),
            );
            (both.area() > 1.0).then(|| warning(seen, "overlap", message, Some(at)))
        })
        .collect()
}

/// A position in words, in the layout's unit.
pub(super) fn place(seen: &Seen<'_>, at: Point) -> String {
    format!("at {}", whereabouts(seen.in_plan(at), seen.plan.units))
}

pub(super) fn length(seen: &Seen<'_>, length: Length) -> String {
    length.show(seen.plan.units)
}

/// A length too small for the tape, so in millimetres whatever the unit.
pub(super) fn fine(length: Length) -> String {
    format!("{} mm", length.to_mm())
}

pub(super) fn area(seen: &Seen<'_>, mm2: f64) -> String {
    Area::mm2(mm2).show(seen.plan.units)
}
