//! A line of tape as a track to lay along: its straights and bends, and where on it two runs may meet.

use crate::masking::Chain;
use crate::shape::{Point, Segment};

/// A turn sharper than this ends a straight, radians.
const KINK: f64 = 1e-3;
/// A turn of less is rounding, radians.
const LEAST_KINK: f64 = 1e-6;
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
    /// A curve of this radius or more is as good as straight.
    flat_radius: f64,
    /// Lines in line with each other.
    straights: Vec<Stretch>,
    /// Lines and flat curves that run on into each other; each straight lies on one.
    flats: Vec<Stretch>,
    /// Arcs of one circle, as long as they go, where they are not flat.
    bends: Vec<Stretch>,
}

/// What the joins must keep to.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wanted {
    /// Greatest length of a run, without its lap.
    pub(super) longest: f64,
    /// Least distance from a join to an arc or a corner, half a lap included.
    pub(super) clear: f64,
    /// Half a lap.
    pub(super) half_lap: f64,
}

/// Part of a track, from and to.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    from: f64,
    to: f64,
}

impl Stretch {
    const fn length(&self) -> f64 {
        self.to - self.from
    }

    const fn middle(&self) -> f64 {
        f64::midpoint(self.from, self.to)
    }

    /// Distance from a place on it to its nearer end.
    const fn clear(&self, along: f64) -> f64 {
        (along - self.from).min(self.to - along)
    }

    fn holds(&self, along: f64) -> bool {
        (self.from - SPECK..=self.to + SPECK).contains(&along)
    }
}

/// What a lap at some place lies on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Footing {
    /// A straight.
    Straight,
    /// A curve as good as straight.
    Flat,
    /// An arc or a corner.
    Bend,
}

impl Footing {
    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Straight => "straight",
            Self::Flat => "flat",
            Self::Bend => "bend",
        }
    }
}

impl Track {
    /// A curve of `flat_radius` or more is as good as straight.
    pub(super) fn of(chain: &Chain, line_is_left: bool, flat_radius: f64) -> Self {
        let mut segments = chain.segments.clone();
        if chain.is_closed {
            // Begun at a bend or a corner, so that no straight runs on over the first joint; where the ring has
            // none, where a flat curve becomes a straight.
            let count = segments.len();
            let before = |at: usize| &segments[(at + count - 1) % count];
            let begins = |at: &usize| !are_flat(before(*at), &segments[*at], flat_radius);
            let parts = |at: &usize| !are_straight(before(*at), &segments[*at], flat_radius);
            let first = (0..count).find(begins).or_else(|| (0..count).find(parts));
            segments.rotate_left(first.unwrap_or(0));
        }
        Self::along(segments, chain.is_closed, line_is_left, flat_radius)
    }

    fn along(
        segments: Vec<Segment>,
        is_closed: bool,
        line_is_left: bool,
        flat_radius: f64,
    ) -> Self {
        let mut starts = Vec::with_capacity(segments.len());
        let mut length = 0.0;
        for segment in &segments {
            starts.push(length);
            length += segment.length();
        }
        let mut track = Self {
            segments,
            starts,
            length,
            is_closed,
            line_is_left,
            flat_radius,
            straights: Vec::new(),
            flats: Vec::new(),
            bends: Vec::new(),
        };
        let flat = |one: &Segment| radius(one) >= flat_radius;
        track.straights =
            track.stretches(is_line, |one, next| are_straight(one, next, flat_radius));
        track.flats = track.stretches(flat, |one, next| are_flat(one, next, flat_radius));
        track.bends = track.stretches(|one| !flat(one), are_one_circle);
        track
    }

    /// The longest stretches of such segments, joined where one runs on into the next.
    fn stretches(
        &self,
        is_such: impl Fn(&Segment) -> bool,
        runs_on: impl Fn(&Segment, &Segment) -> bool,
    ) -> Vec<Stretch> {
        let mut found: Vec<Stretch> = Vec::new();
        let mut before: Option<&Segment> = None;
        for (segment, from) in self.segments.iter().zip(&self.starts) {
            if is_such(segment) {
                let to = from + segment.length();
                match found.last_mut() {
                    Some(last) if before.is_some_and(|before| runs_on(before, segment)) => {
                        last.to = to;
                    }
                    _ => found.push(Stretch { from: *from, to }),
                }
            }
            before = Some(segment);
        }
        found
    }

    /// The same, laid the other way.
    pub(super) fn reversed(&self) -> Self {
        let segments = self.segments.iter().rev().map(Segment::reversed).collect();
        Self::along(
            segments,
            self.is_closed,
            !self.line_is_left,
            self.flat_radius,
        )
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
        let along = self.within(along);
        let clear = |stretch: &Stretch| stretch.clear(along).max(0.0);
        let on = self.flats.iter().filter(|stretch| stretch.holds(along));
        on.map(clear).reduce(f64::max)
    }

    /// What a lap that reaches `half` to either side lies on.
    pub(super) fn footing(&self, along: f64, half: f64) -> Footing {
        let along = self.within(along);
        let lies_on = |stretches: &[Stretch]| {
            stretches
                .iter()
                .any(|stretch| stretch.holds(along) && stretch.clear(along) >= half - SPECK)
        };
        if lies_on(&self.straights) {
            Footing::Straight
        } else if lies_on(&self.flats) {
            Footing::Flat
        } else {
            Footing::Bend
        }
    }

    /// Where a join stands at least `clear` from every arc and corner, from and to, in order.
    pub(super) fn allowed(&self, clear: f64) -> Vec<[f64; 2]> {
        self.flats
            .iter()
            .filter(|stretch| stretch.length() >= 2.0 * clear - SPECK)
            .map(|stretch| {
                let from = (stretch.from + clear).min(stretch.middle());
                [from, (stretch.to - clear).max(from)]
            })
            .collect()
    }

    /// The best place for a join between two distances: the furthest from any bend on a straight with room for
    /// it, else on a flat curve with room, else wherever a lap lies straight, else on the flattest arc that holds one; of places alike
    /// the one that [`Self::first_of`] prefers. The same places to port and to starboard.
    pub(super) fn straightest(&self, [from, to]: [f64; 2], wanted: Wanted) -> Option<f64> {
        if to < from {
            return None;
        }
        let clearest = |stretches: &[Stretch], least: f64| {
            let mut places = self.places([from, to], stretches);
            places.retain(|(stretch, along)| self.clear_on(stretch, *along) >= least - SPECK);
            keep_most(
                &mut places,
                |(stretch, along)| self.clear_on(stretch, *along),
                |_| ALIKE,
            );
            self.first_of(places.into_iter().map(|(_, along)| along).collect())
        };
        let flattest = |least: f64| {
            let mut places = self.places([from, to], &self.bends);
            places.retain(|(stretch, _)| stretch.length() >= least);
            let radius = |(stretch, _): &(Stretch, f64)| self.radius_at(stretch.middle());
            keep_most(&mut places, radius, |most| most * ALIKE_RADII);
            self.first_of(places.into_iter().map(|(_, along)| along).collect())
        };
        clearest(&self.straights, wanted.clear)
            .or_else(|| clearest(&self.flats, wanted.clear))
            .or_else(|| clearest(&self.flats, wanted.half_lap))
            .or_else(|| flattest(2.0 * wanted.half_lap))
            .or_else(|| clearest(&self.flats, 0.0))
            .or_else(|| flattest(0.0))
    }

    /// Of places alike the one nearest the centreline, then aft, then to starboard.
    pub(super) fn first_of(&self, mut places: Vec<f64>) -> Option<f64> {
        let at = |along: &f64| self.point(self.within(*along));
        keep_most(&mut places, |along| -at(along).y.abs(), |_| ALIKE);
        keep_most(&mut places, |along| at(along).x, |_| ALIKE);
        keep_most(&mut places, |along| at(along).y, |_| ALIKE);
        places.first().copied()
    }

    /// On each stretch the place between two distances that is furthest from its ends.
    fn places(&self, [from, to]: [f64; 2], stretches: &[Stretch]) -> Vec<(Stretch, f64)> {
        let rounds: &[f64] = if self.is_closed { &[0.0, 1.0] } else { &[0.0] };
        let on = |round: &f64| round * self.length;
        rounds
            .iter()
            .flat_map(|round| stretches.iter().map(move |stretch| (round, stretch)))
            .filter(|(round, stretch)| {
                stretch.from + on(round) <= to && stretch.to + on(round) >= from
            })
            .map(|(round, stretch)| {
                let best = self.best_on(stretch) + on(round);
                (*stretch, best.clamp(from, to))
            })
            .collect()
    }

    fn clear_on(&self, stretch: &Stretch, along: f64) -> f64 {
        let along = self.within(along);
        if stretch.holds(along) {
            stretch.clear(along)
        } else {
            // The end of the first round is the beginning of the next.
            0.0
        }
    }

    fn radius_at(&self, along: f64) -> f64 {
        self.segment_at(along)
            .map_or(0.0, |(segment, _)| radius(segment))
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
    fn best_on(&self, stretch: &Stretch) -> f64 {
        let is_round = self.is_closed && stretch.length() >= self.length - SPECK;
        let aftmost = || {
            let arcs = self.segments.iter().zip(&self.starts);
            arcs.into_iter().find_map(|(segment, start)| match segment {
                Segment::Line(..) => None,
                Segment::Arc(arc) => arc
                    .share_at_angle(0.0)
                    .map(|share| start + share * segment.length()),
            })
        };
        is_round
            .then(aftmost)
            .flatten()
            .unwrap_or_else(|| stretch.middle())
    }
}

/// Keeps those whose figure lies within a tolerance of the greatest.
fn keep_most<T>(all: &mut Vec<T>, figure: impl Fn(&T) -> f64, slack: impl Fn(f64) -> f64) {
    let most = all.iter().map(&figure).fold(f64::NEG_INFINITY, f64::max);
    let least = most - slack(most);
    all.retain(|one| figure(one) >= least);
}

const fn is_line(segment: &Segment) -> bool {
    matches!(segment, Segment::Line(..))
}

fn radius(segment: &Segment) -> f64 {
    match segment {
        Segment::Line(..) => f64::INFINITY,
        Segment::Arc(arc) => arc.radius,
    }
}

/// Whether both go the same way where they meet, to within an angle.
fn is_smooth(one: &Segment, next: &Segment, slack: f64) -> bool {
    let (before, after) = (one.direction_at(1.0), next.direction_at(0.0));
    before.dot(after) > 0.0 && before.cross(after).abs() < slack
}

fn are_straight(one: &Segment, next: &Segment, flat_radius: f64) -> bool {
    is_line(one) && is_line(next) && is_smooth(one, next, slack(one, next, flat_radius))
}

/// Whether they run on as one curve as good as straight.
fn are_flat(one: &Segment, next: &Segment, flat_radius: f64) -> bool {
    let is_flat = radius(one).min(radius(next)) >= flat_radius;
    is_flat && is_smooth(one, next, slack(one, next, flat_radius))
}

/// How far the way may turn at a joint: of many short pieces no further than an arc as good as straight would.
fn slack(one: &Segment, next: &Segment, flat_radius: f64) -> f64 {
    let longer = one.length().max(next.length());
    (longer / (2.0 * flat_radius)).clamp(LEAST_KINK, KINK)
}

fn are_one_circle(one: &Segment, next: &Segment) -> bool {
    match (one, next) {
        (Segment::Arc(a), Segment::Arc(b)) => {
            is_smooth(one, next, KINK)
                && a.centre.distance(b.centre) < SPECK
                && (a.sweep > 0.0) == (b.sweep > 0.0)
        }
        _ => false,
    }
}
