//! A line of tape as a track to lay along: its straights and bends, and where on it two runs may meet.

use crate::masking::Chain;
use crate::shape::{Point, Segment};

/// A turn sharper than this ends a straight, radians.
const KINK: f64 = 1e-3;
/// Places are told apart by no less than this, millimetres: the two sides of a boat are alike to rounding.
const ALIKE: f64 = 1.0;
/// Radii within this share of each other are alike.
const ALIKE_RADII: f64 = 1e-6;
/// A run that is shorter than this is no run, millimetres.
pub(super) const SPECK: f64 = 1e-3;

/// A line of tape, with distances along it.
#[derive(Debug, Clone)]
pub(super) struct Track {
    pub(super) segments: Vec<Segment>,
    /// Distance along the track where each segment begins.
    starts: Vec<f64>,
    pub(super) length: f64,
    pub(super) is_closed: bool,
    /// Whether what the tape's edge follows lies to the left of the track.
    pub(super) line_is_left: bool,
    stretches: Vec<Stretch>,
}

/// A straight, or an arc of one circle, as long as it goes.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    from: f64,
    to: f64,
    /// None: straight.
    circle: Option<(Point, f64)>,
}

impl Stretch {
    const fn length(&self) -> f64 {
        self.to - self.from
    }

    const fn middle(&self) -> f64 {
        f64::midpoint(self.from, self.to)
    }
}

impl Track {
    pub(super) fn of(chain: &Chain, line_is_left: bool) -> Self {
        let mut segments = chain.segments.clone();
        if chain.is_closed {
            // Begun at a corner, so that no straight runs on over the first joint.
            let count = segments.len();
            let first =
                (0..count).find(|at| !runs_on(&segments[(at + count - 1) % count], &segments[*at]));
            segments.rotate_left(first.unwrap_or(0));
        }
        Self::along(segments, chain.is_closed, line_is_left)
    }

    fn along(segments: Vec<Segment>, is_closed: bool, line_is_left: bool) -> Self {
        let mut starts = Vec::with_capacity(segments.len());
        let mut length = 0.0;
        let mut stretches: Vec<Stretch> = Vec::new();
        for (index, segment) in segments.iter().enumerate() {
            starts.push(length);
            let from = length;
            length += segment.length();
            match stretches.last_mut() {
                Some(last) if runs_on(&segments[index - 1], segment) => last.to = length,
                _ => stretches.push(Stretch {
                    from,
                    to: length,
                    circle: match segment {
                        Segment::Line(..) => None,
                        Segment::Arc(arc) => Some((arc.centre, arc.radius)),
                    },
                }),
            }
        }
        Self {
            segments,
            starts,
            length,
            is_closed,
            line_is_left,
            stretches,
        }
    }

    /// The same, laid the other way.
    pub(super) fn reversed(&self) -> Self {
        let segments = self.segments.iter().rev().map(Segment::reversed).collect();
        Self::along(segments, self.is_closed, !self.line_is_left)
    }

    /// The segment at a distance along, and the share of it.
    fn segment_at(&self, along: f64) -> Option<(&Segment, f64)> {
        let index = self.starts.partition_point(|start| *start <= along);
        let index = index.checked_sub(1)?;
        let segment = self.segments.get(index)?;
        let share = (along - self.starts[index]) / segment.length().max(f64::MIN_POSITIVE);
        Some((segment, share.clamp(0.0, 1.0)))
    }

    pub(super) fn point(&self, along: f64) -> Point {
        self.segment_at(along)
            .map_or(Point::ORIGIN, |(segment, share)| segment.point_at(share))
    }

    pub(super) fn direction(&self, along: f64) -> Point {
        self.segment_at(along)
            .map_or(Point::ORIGIN, |(segment, share)| {
                segment.direction_at(share)
            })
    }

    /// The segments from one distance to another; `to` may lie a round beyond.
    pub(super) fn part(&self, from: f64, to: f64) -> Vec<Segment> {
        let mut part = Vec::new();
        let rounds: &[f64] = if self.is_closed { &[0.0, 1.0] } else { &[0.0] };
        for round in rounds {
            for (segment, start) in self.segments.iter().zip(&self.starts) {
                let start = start + round * self.length;
                let own = segment.length();
                let (a, b) = (from.max(start) - start, to.min(start + own) - start);
                if b <= a {
                    continue;
                }
                part.push(if a <= 0.0 && b >= own {
                    *segment
                } else {
                    segment.part(a / own, b / own)
                });
            }
        }
        part
    }

    /// How far along the tape an arc or a corner is; none on an arc itself.
    pub(super) fn clear_of_arcs(&self, along: f64) -> Option<f64> {
        let on = self.stretch_at(along)?;
        on.circle
            .is_none()
            .then(|| (along - on.from).min(on.to - along))
    }

    fn stretch_at(&self, along: f64) -> Option<&Stretch> {
        let along = if self.is_closed {
            along.rem_euclid(self.length)
        } else {
            along
        };
        self.stretches
            .iter()
            .find(|stretch| (stretch.from..=stretch.to).contains(&along))
    }

    /// Where a join stands at least `clear` from every arc and corner, from and to, in order.
    pub(super) fn allowed(&self, clear: f64) -> Vec<[f64; 2]> {
        self.stretches
            .iter()
            .filter(|stretch| stretch.circle.is_none() && stretch.length() >= 2.0 * clear)
            .map(|stretch| [stretch.from + clear, stretch.to - clear])
            .collect()
    }

    /// The best place for a join between two distances: the middle of the longest straight, and where
    /// there is none, of the flattest arc; of those alike the one nearest the centreline, then aft, then to
    /// starboard. The same places to port and to starboard.
    pub(super) fn straightest(&self, from: f64, to: f64) -> Option<f64> {
        let rounds = if self.is_closed { 2 } else { 1 };
        let mut places: Vec<(Stretch, f64)> = Vec::new();
        for round in 0..rounds {
            let on = f64::from(round) * self.length;
            for stretch in &self.stretches {
                places.extend(
                    self.places_on(stretch)
                        .map(|along| (*stretch, along + on))
                        .filter(|(_, along)| (from..=to).contains(along)),
                );
            }
        }
        if places.iter().any(|(stretch, _)| stretch.circle.is_none()) {
            places.retain(|(stretch, _)| stretch.circle.is_none());
            keep_most(&mut places, |(stretch, _)| stretch.length(), |_| ALIKE);
        } else {
            let radius = |(stretch, _): &(Stretch, f64)| stretch.circle.map_or(0.0, |(_, r)| r);
            keep_most(&mut places, radius, |most| most * ALIKE_RADII);
        }
        let at = |place: &(Stretch, f64)| self.point(self.within(place.1));
        keep_most(&mut places, |place| -at(place).y.abs(), |_| ALIKE);
        keep_most(&mut places, |place| at(place).x, |_| ALIKE);
        keep_most(&mut places, |place| at(place).y, |_| ALIKE);
        places.first().map(|(_, along)| *along)
    }

    /// A distance within the first round.
    pub(super) fn within(&self, along: f64) -> f64 {
        if self.is_closed {
            along.rem_euclid(self.length)
        } else {
            along
        }
    }

    /// The middle of a stretch; on a circle all round, its aftmost point, in the lee of what runs off the deck.
    fn places_on(&self, stretch: &Stretch) -> impl Iterator<Item = f64> {
        let aftmost = stretch
            .circle
            .filter(|_| self.is_closed && stretch.length() >= self.length - SPECK)
            .and_then(|_| {
                self.segments
                    .iter()
                    .zip(&self.starts)
                    .find_map(|(segment, start)| {
                        let Segment::Arc(arc) = segment else {
                            return None;
                        };
                        arc.share_at_angle(0.0)
                            .map(|share| start + share * segment.length())
                    })
            });
        std::iter::once(aftmost.unwrap_or_else(|| stretch.middle()))
    }
}

/// Keeps those whose figure lies within a tolerance of the greatest.
fn keep_most<T>(all: &mut Vec<T>, figure: impl Fn(&T) -> f64, slack: impl Fn(f64) -> f64) {
    let most = all.iter().map(&figure).fold(f64::NEG_INFINITY, f64::max);
    let least = most - slack(most);
    all.retain(|one| figure(one) >= least);
}

/// Whether one segment runs on into the next as one straight or one circle.
fn runs_on(one: &Segment, next: &Segment) -> bool {
    let turn = one.direction_at(1.0).cross(next.direction_at(0.0)).abs();
    let ahead = one.direction_at(1.0).dot(next.direction_at(0.0)) > 0.0;
    ahead
        && turn < KINK
        && match (one, next) {
            (Segment::Line(..), Segment::Line(..)) => true,
            (Segment::Arc(a), Segment::Arc(b)) => {
                a.centre.distance(b.centre) < SPECK && (a.sweep > 0.0) == (b.sweep > 0.0)
            }
            _ => false,
        }
}
