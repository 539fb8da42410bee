//! How a shape stands to the deck's edge: inside it, across it, outside it; and whether a shape is its
//! own mirror image.

use crate::shape::{BoundingBox, Point, Ring, Segment, TOUCH, lies_on, meetings};

/// How a shape stands to a deck.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Standing {
    /// All of it inside or on the edge.
    Inside,
    /// It crosses the edge here, or holds the whole deck.
    Across(Point),
    /// No part of it inside.
    Outside,
}

/// A deck's ring with the boxes of its segments, worked out once for all shapes on it.
pub(super) struct Ground<'a> {
    pub(super) ring: &'a Ring,
    boxes: Vec<BoundingBox>,
}

impl<'a> Ground<'a> {
    pub(super) fn of(ring: &'a Ring) -> Self {
        let boxes = ring.segments().iter().map(Segment::bounding_box).collect();
        Self { ring, boxes }
    }
}

/// How `shape` stands to the deck.
pub(super) fn standing(shape: &Ring, ground: &Ground<'_>) -> Standing {
    let deck = ground.ring;
    let around = shape.bounding_box();
    let near: Vec<(&Segment, &BoundingBox)> = deck
        .segments()
        .iter()
        .zip(&ground.boxes)
        .filter(|(_, bounds)| bounds.distance(&around) <= TOUCH)
        .collect();
    if near.is_empty() {
        // All on one side: the box of what held the deck would hold the edge's boxes too.
        let first = shape.segments().first().map(Segment::start);
        return match first.map(|first| deck.winding(first)) {
            Some(0) => Standing::Outside,
            _ => Standing::Inside,
        };
    }
    let (mut inside, mut outside, mut met) = (false, false, None);
    for segment in shape.segments() {
        let own = segment.bounding_box();
        let mut shares = vec![0.0, 1.0];
        for (edge, bounds) in &near {
            if bounds.distance(&own) <= TOUCH {
                for meeting in meetings(segment, edge) {
                    shares.push(meeting.on_first);
                    met = met.or(Some(meeting.at));
                }
            }
        }
        shares.sort_by(f64::total_cmp);
        for pair in shares.windows(2) {
            // A part too short to judge says nothing that its neighbours do not.
            if (pair[1] - pair[0]) * segment.length() <= 10.0 * TOUCH {
                continue;
            }
            let middle = segment.point_at(f64::midpoint(pair[0], pair[1]));
            if near.iter().any(|(edge, _)| lies_on(edge, middle)) {
                continue;
            }
            if deck.winding(middle) == 0 {
                outside = true;
            } else {
                inside = true;
            }
        }
    }
    if !outside {
        return Standing::Inside;
    }
    let holds = deck
        .segments()
        .iter()
        .any(|segment| shape.winding(segment.point_at(0.5)) != 0);
    if inside || holds {
        let at = met.or_else(|| deck.segments().first().map(Segment::start));
        Standing::Across(at.unwrap_or_default())
    } else {
        Standing::Outside
    }
}

/// Whether a shape is its own mirror image in the centreline, so that a second would lie on the first.
pub(super) fn is_its_own_image(ring: &Ring) -> bool {
    let bounds = ring.bounding_box();
    if (bounds.least.y + bounds.greatest.y).abs() > TOUCH {
        return false;
    }
    let image = ring.mirrored();
    image.segments().iter().all(|segment| {
        ring.segments().iter().any(|other| {
            [0.0, 0.5, 1.0]
                .iter()
                .all(|share| segment.point_at(*share).distance(other.point_at(*share)) <= TOUCH)
        })
    })
}
