//! The unbounded curves that segments lie on (whole lines, whole circles) and where two of them meet.

use super::{Point, Segment};

/// A whole line or a whole circle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Curve {
    /// The line through `through` along the unit vector `along`.
    Line { through: Point, along: Point },
    /// The circle about `centre`.
    Circle { centre: Point, radius: f64 },
}

/// Where two curves meet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Meeting {
    /// Nowhere near.
    Nowhere,
    /// They touch, or pass each other by the given distance: the middle of the gap.
    Touch { at: Point, gap: f64 },
    /// They cross at two points (twice the same where lines cross); `slant` is the sine of the
    /// crossing angle.
    Cross { at: [Point; 2], slant: f64 },
}

impl Curve {
    /// The curve that a segment lies on; none for a line without length or an arc without radius.
    pub(super) fn of(segment: &Segment) -> Option<Self> {
        match segment {
            Segment::Line(start, end) => {
                let along = (*end - *start).unit();
                (along != Point::ORIGIN).then_some(Self::Line {
                    through: *start,
                    along,
                })
            }
            Segment::Arc(arc) => (arc.radius > 0.0).then_some(Self::Circle {
                centre: arc.centre,
                radius: arc.radius,
            }),
        }
    }

    /// Radius of a circle; infinite for a line.
    pub(super) const fn radius(&self) -> f64 {
        match self {
            Self::Line { .. } => f64::INFINITY,
            Self::Circle { radius, .. } => *radius,
        }
    }

    /// Distance of `point` from the curve, positive left of a line and outside a circle.
    pub(super) fn signed_distance(&self, point: Point) -> f64 {
        match self {
            Self::Line { through, along } => along.cross(point - *through),
            Self::Circle { centre, radius } => point.distance(*centre) - radius,
        }
    }

    /// Where two curves run alongside each other within `within` mm, touching, crossing or not: the point
    /// of the first nearest to the middle of that place. None where they meet at a plain angle.
    pub(super) fn grazes(&self, other: &Self, within: f64) -> Option<Point> {
        let (circle, radius, other_at) = match (self, other) {
            (Self::Line { .. }, Self::Line { .. }) => return None,
            (Self::Line { .. }, Self::Circle { .. }) => {
                return other.grazes(self, within).map(|at| self.nearest(at));
            }
            (Self::Circle { centre, radius }, Self::Line { .. }) => {
                (*centre, *radius, other.nearest(*centre))
            }
            (
                Self::Circle { centre, radius },
                Self::Circle {
                    centre: b,
                    radius: s,
                },
            ) => {
                let along = (*b - *centre).unit();
                if along == Point::ORIGIN {
                    return None;
                }
                // Of the other circle's two points on the line of centres, the one nearer this circle.
                let ends = [*b - along * *s, *b + along * *s];
                let off = |point: &Point| (point.distance(*centre) - radius).abs();
                (
                    *centre,
                    *radius,
                    if off(&ends[0]) <= off(&ends[1]) {
                        ends[0]
                    } else {
                        ends[1]
                    },
                )
            }
        };
        let out = other_at - circle;
        ((out.length() - radius).abs() <= within && out.length() > 0.0)
            .then(|| circle + out.unit() * radius)
    }

    /// How two curves part from each other where they touch: as a line parts from a circle of this radius.
    pub(super) fn parting_radius(&self, other: &Self) -> f64 {
        let (r, s) = (self.radius(), other.radius());
        if r.is_infinite() || s.is_infinite() {
            return r.min(s);
        }
        let is_inside = match (self, other) {
            (Self::Circle { centre, .. }, Self::Circle { centre: b, .. }) => {
                centre.distance(*b) < r.max(s)
            }
            _ => false,
        };
        if is_inside {
            r * s / (r - s).abs()
        } else {
            r * s / (r + s)
        }
    }

    /// The stretches of this circle, by angle, that run within `within` mm of another circle.
    pub(super) fn stretches_along(&self, other: &Self, within: f64) -> Vec<[f64; 2]> {
        let (
            Self::Circle { centre, radius },
            Self::Circle {
                centre: b,
                radius: s,
            },
        ) = (self, other)
        else {
            return Vec::new();
        };
        let to_other = *b - *centre;
        let distance = to_other.length();
        if distance < 1e-9 {
            let all = vec![[0.0, std::f64::consts::TAU]];
            return if (radius - s).abs() <= within {
                all
            } else {
                Vec::new()
            };
        }
        // The point at angle a from the line of centres lies √(r² + d² - 2rd cos a) from the other centre.
        let cosine = |reach: f64| {
            (radius * radius + distance * distance - reach * reach) / (2.0 * radius * distance)
        };
        let (nearest, furthest) = (cosine((s - within).max(0.0)), cosine(s + within));
        if furthest > 1.0 || nearest < -1.0 {
            return Vec::new();
        }
        let middle = to_other.angle();
        let (from, to) = (nearest.min(1.0).acos(), furthest.max(-1.0).acos());
        vec![[middle + from, middle + to], [middle - to, middle - from]]
    }

    /// The point of the curve nearest to `point`.
    pub(super) fn nearest(&self, point: Point) -> Point {
        match self {
            Self::Line { through, along } => *through + *along * along.dot(point - *through),
            Self::Circle { centre, radius } => *centre + (point - *centre).unit() * *radius,
        }
    }

    /// Where two curves meet. Curves that pass each other within `slack` mm count as touching.
    pub(super) fn meet(&self, other: &Self, slack: f64) -> Meeting {
        match (self, other) {
            (
                Self::Line {
                    through: p,
                    along: u,
                },
                Self::Line {
                    through: q,
                    along: v,
                },
            ) => {
                let sine = u.cross(*v);
                if sine.abs() < 1e-12 {
                    return Meeting::Nowhere;
                }
                let at = *p + *u * ((*q - *p).cross(*v) / sine);
                Meeting::Cross {
                    at: [at, at],
                    slant: sine.abs(),
                }
            }
            (Self::Line { through, along }, Self::Circle { centre, radius })
            | (Self::Circle { centre, radius }, Self::Line { through, along }) => {
                let foot = *through + *along * along.dot(*centre - *through);
                let away = foot - *centre;
                let distance = away.length();
                half_chord(*radius, distance, slack).map_or(Meeting::Nowhere, |half| match half {
                    Half::Gap(gap) => Meeting::Touch {
                        at: foot - away.unit() * (gap / 2.0),
                        gap,
                    },
                    Half::Chord(half) => Meeting::Cross {
                        at: [foot - *along * half, foot + *along * half],
                        slant: half / radius,
                    },
                })
            }
            (
                Self::Circle {
                    centre: a,
                    radius: r,
                },
                Self::Circle {
                    centre: b,
                    radius: s,
                },
            ) => circles(*a, *r, *b, *s, slack),
        }
    }
}

enum Half {
    Gap(f64),
    Chord(f64),
}

/// Half the chord that a line at `distance` from its centre cuts from a circle.
fn half_chord(radius: f64, distance: f64, slack: f64) -> Option<Half> {
    let gap = distance - radius;
    if gap > slack {
        return None;
    }
    // A chord shallower than rounding is a touch.
    if gap > -1e-9 {
        return Some(Half::Gap(gap));
    }
    Some(Half::Chord(
        ((radius - distance) * (radius + distance)).sqrt(),
    ))
}

fn circles(a: Point, r: f64, b: Point, s: f64, slack: f64) -> Meeting {
    let between = b - a;
    let distance = between.length();
    if distance < 1e-12 {
        return Meeting::Nowhere;
    }
    let along = between * (1.0 / distance);
    // Gap outside each other, or one inside the other.
    let outside = distance - (r + s);
    let inside = (r - s).abs() - distance;
    let gap = outside.max(inside);
    if gap > slack {
        return Meeting::Nowhere;
    }
    if gap > -1e-9 {
        let reach = if outside >= inside {
            r + gap / 2.0
        } else if r >= s {
            r - gap / 2.0
        } else {
            -(r + gap / 2.0)
        };
        return Meeting::Touch {
            at: a + along * reach,
            gap,
        };
    }
    // Distance of the common chord from a, and half its length, by factors that do not cancel.
    let foot = (distance + (r - s) * (r + s) / distance) / 2.0;
    let half = ((r - foot) * (r + foot)).max(0.0).sqrt();
    let (middle, aside) = (a + along * foot, along.left() * half);
    // Sine of the angle between the radii.
    let slant = (half * distance / (r * s)).min(1.0);
    Meeting::Cross {
        at: [middle - aside, middle + aside],
        slant,
    }
}
