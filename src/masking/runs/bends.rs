//! Corners that a tape cannot bend round: its least radius is a setting. Each is shown with what helps: a
//! narrower tape if one bends so far, else a cut.

use super::TapeKind;
use super::track::Track;
use crate::layout::TapeRoll;
use crate::shape::{Point, Segment};
use crate::units::Length;

/// A turn that any tape takes, radians.
const SLIGHT: f64 = 3.0 * std::f64::consts::PI / 180.0;
/// Widths that tape for curves is sold in, millimetres, widest first (common practice, no source). Line tape of less than
/// 3 mm leaves nothing to paint against, edge tape of less than 6 mm covers nothing: there a cut is the lesser evil.
const fn widths(kind: TapeKind) -> &'static [f64] {
    match kind {
        TapeKind::Line => &[12.0, 9.0, 6.0, 3.0],
        TapeKind::Edge => &[12.0, 9.0, 6.0],
    }
}

/// A corner tighter than the tape's least radius.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TightBend {
    /// Its middle, on the run's line.
    pub at: Point,
    /// Distance along the run where it begins.
    pub from: Length,
    /// Length along the run; nothing at a corner without an arc.
    pub length: Length,
    /// Least radius of the tape's middle there; nothing at a corner without an arc.
    pub radius: Length,
    /// What to do.
    pub remedy: Remedy,
}

/// What to do at a corner that the tape cannot bend round.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Remedy {
    /// Lay the tape straight on to both sides, lapped, and cut along the line.
    Cut,
    /// Go round it in tape of this width.
    Narrower(Length),
}

/// Every tight corner of a run, in order.
pub(super) fn tight(
    path: &[Segment],
    track: &Track,
    kind: TapeKind,
    tape: &TapeRoll,
) -> Vec<TightBend> {
    let mut found: Vec<TightBend> = Vec::new();
    let mut bend: Option<Bend> = None;
    let mut along = 0.0;
    let mut before: Option<Segment> = None;
    for segment in path {
        if let Some(last) = before {
            let turn = turn_between(&last, segment);
            if turn.abs() > SLIGHT {
                found.extend(bend.take().and_then(|bend| bend.finished(path, kind, tape)));
                found.push(TightBend {
                    at: segment.start(),
                    from: Length::mm(along),
                    length: Length::ZERO,
                    radius: Length::ZERO,
                    remedy: Remedy::Cut,
                });
            }
        }
        let own = match segment {
            Segment::Line(..) => None,
            Segment::Arc(arc) => {
                let to_line = Aside::of(arc.sweep > 0.0, track.line_is_left, kind);
                let middle = to_line.middle(arc.radius, tape);
                (middle < tape.least_radius.to_mm() - 1e-6).then_some(Bend {
                    from: along,
                    length: segment.length(),
                    turn: arc.sweep,
                    radius: middle.max(0.0),
                    line_radius: to_line.line(arc.radius, tape),
                    tape_is_inside: to_line.tape_is_inside,
                })
            }
        };
        bend = match (bend.take(), own) {
            (Some(known), Some(own)) if known.turn * own.turn > 0.0 => Some(known.and(&own)),
            (known, own) => {
                found.extend(known.and_then(|known| known.finished(path, kind, tape)));
                own
            }
        };
        along += segment.length();
        before = Some(*segment);
    }
    found.extend(bend.and_then(|bend| bend.finished(path, kind, tape)));
    found
}

fn turn_between(one: &Segment, next: &Segment) -> f64 {
    let (a, b) = (one.direction_at(1.0), next.direction_at(0.0));
    a.cross(b).atan2(a.dot(b))
}

/// Where the tape lies beside the line it follows, as an arc sees it.
struct Aside {
    tape_is_inside: bool,
    kind: TapeKind,
}

impl Aside {
    const fn of(centre_is_left: bool, line_is_left: bool, kind: TapeKind) -> Self {
        // The tape lies on the other side of its line: towards the centre where the line does not.
        Self {
            tape_is_inside: centre_is_left != line_is_left,
            kind,
        }
    }

    fn sign(&self) -> f64 {
        if self.tape_is_inside { 1.0 } else { -1.0 }
    }

    /// Radius of the tape's middle. A track of line tape is that middle; one of edge tape is the edge itself.
    fn middle(&self, radius: f64, tape: &TapeRoll) -> f64 {
        match self.kind {
            TapeKind::Line => radius,
            TapeKind::Edge => radius - self.sign() * tape.width.to_mm() / 2.0,
        }
    }

    /// Radius of the line.
    fn line(&self, radius: f64, tape: &TapeRoll) -> f64 {
        match self.kind {
            TapeKind::Line => radius + self.sign() * tape.width.to_mm() / 2.0,
            TapeKind::Edge => radius,
        }
    }
}

struct Bend {
    from: f64,
    length: f64,
    turn: f64,
    radius: f64,
    line_radius: f64,
    tape_is_inside: bool,
}

impl Bend {
    fn and(self, next: &Self) -> Self {
        Self {
            length: self.length + next.length,
            turn: self.turn + next.turn,
            radius: self.radius.min(next.radius),
            line_radius: self.line_radius.min(next.line_radius),
            ..self
        }
    }

    fn finished(self, path: &[Segment], kind: TapeKind, tape: &TapeRoll) -> Option<TightBend> {
        if self.turn.abs() <= SLIGHT {
            return None;
        }
        // A tape of another width bends in proportion to it.
        let by_width = tape.least_radius.to_mm() / tape.width.to_mm();
        let fits = |width: f64| {
            let half = width / 2.0;
            let middle = if self.tape_is_inside {
                self.line_radius - half
            } else {
                self.line_radius + half
            };
            width < tape.width.to_mm() && middle >= by_width * width - 1e-6
        };
        let narrower = widths(kind).iter().copied().find(|width| fits(*width));
        Some(TightBend {
            at: point_along(path, self.from + self.length / 2.0),
            from: Length::mm(self.from),
            length: Length::mm(self.length),
            radius: Length::mm(self.radius),
            remedy: narrower.map_or(Remedy::Cut, |width| Remedy::Narrower(Length::mm(width))),
        })
    }
}

fn point_along(path: &[Segment], mut along: f64) -> Point {
    for segment in path {
        let own = segment.length();
        if along <= own && own > 0.0 {
            return segment.point_at(along / own);
        }
        along -= own;
    }
    path.last().map_or(Point::ORIGIN, Segment::end)
}
