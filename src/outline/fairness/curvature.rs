//! How a side bends: the curvature of the fair curve laid through its half-breadths.

use crate::shape::{Point, Spline};

/// How one stretch of a side bends.
#[derive(Debug, Clone)]
pub struct Curvature {
    /// Along the stretch, forward to aft, close enough to be drawn.
    pub points: Vec<CurvaturePoint>,
    /// Where it bends most.
    pub most: CurvaturePoint,
    /// Where it bends least, or most the other way.
    pub least: CurvaturePoint,
    /// Where it changes from bulging to hollow or back, by more than the table's precision could feign.
    pub inflections: Vec<Point>,
    /// Where its curvature stops rising and falls, or the other way about, by more than that. One or two make a deck's
    /// side; each more is a wave in it.
    pub turns: Vec<Point>,
}

/// The curvature at a point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvaturePoint {
    /// Where, with half-breadths positive on either side.
    pub at: Point,
    /// One over the radius, 1/mm; positive where the side bulges.
    pub curvature: f64,
    /// Square to the side, outward.
    pub outward: Point,
}

/// Points in a span between two stations.
const IN_A_SPAN: u32 = 12;
/// How many standard deviations a change of curvature must have to be one of the deck.
const PLAIN: f64 = 3.0;

impl Curvature {
    /// Of a curve through `knots`, each with the standard deviation `noise` across.
    pub(super) fn of(curve: &Spline, knots: &[Point], noise: f64) -> Self {
        let at = |parameter: f64| {
            let (velocity, bend) = (curve.velocity_at(parameter), curve.bend_at(parameter));
            CurvaturePoint {
                at: curve.point_at(parameter),
                curvature: -velocity.cross(bend) / velocity.length().powi(3),
                outward: velocity.left().unit(),
            }
        };
        let mut points = Vec::new();
        for span in curve.knots().windows(2) {
            points.extend((0..IN_A_SPAN).map(|step| {
                at(span[0] + (span[1] - span[0]) * f64::from(step) / f64::from(IN_A_SPAN))
            }));
        }
        points.push(at(curve.last()));
        let here = at(0.0);
        let (most, least) = points.iter().fold((here, here), |(most, least), point| {
            let most = if point.curvature > most.curvature {
                *point
            } else {
                most
            };
            let least = if point.curvature < least.curvature {
                *point
            } else {
                least
            };
            (most, least)
        });
        let at_knots: Vec<CurvaturePoint> = curve.knots().iter().map(|knot| at(*knot)).collect();
        let supports = supports(knots, noise);
        Self {
            inflections: inflections(&points, &at_knots, &supports),
            turns: turns(&at_knots, &supports),
            points,
            most,
            least,
        }
    }
}

/// What curvature the noise alone may feign at each knot: that of the second divided differences, at the ends as beside
/// them.
fn supports(knots: &[Point], noise: f64) -> Vec<f64> {
    let mut inner: Vec<f64> = knots
        .windows(3)
        .map(|three| {
            let [one, other] = [three[0].distance(three[1]), three[1].distance(three[2])];
            let parts = [one * (one + other), one * other, other * (one + other)];
            let sum: f64 = parts.iter().map(|part| (2.0 / part).powi(2)).sum();
            PLAIN * noise * sum.sqrt()
        })
        .collect();
    let (first, last) = (
        inner.first().copied().unwrap_or(f64::INFINITY),
        inner.last().copied().unwrap_or(f64::INFINITY),
    );
    inner.insert(0, first);
    inner.push(last);
    inner
}

/// Changes of sign between knots where the curvature is plainly one and plainly the other.
fn inflections(
    points: &[CurvaturePoint],
    at_knots: &[CurvaturePoint],
    supports: &[f64],
) -> Vec<Point> {
    let mut found = Vec::new();
    let mut before: Option<(Point, f64)> = None;
    for (knot, support) in at_knots.iter().zip(supports) {
        if knot.curvature.abs() <= *support {
            continue;
        }
        if let Some((from, sign)) = before
            && sign != knot.curvature.signum()
        {
            let crossing = points.windows(2).find(|pair| {
                let within = pair[0].at.x >= from.x && pair[1].at.x <= knot.at.x;
                within && pair[1].curvature.signum() != sign
            });
            found.extend(crossing.map(|pair| pair[1].at));
        }
        before = Some((knot.at, knot.curvature.signum()));
    }
    found
}

/// Knots where the curvature turns back by more than is feigned.
fn turns(at_knots: &[CurvaturePoint], supports: &[f64]) -> Vec<Point> {
    let mut found = Vec::new();
    let Some(mut extreme) = at_knots.first().copied() else {
        return found;
    };
    let mut support = supports.first().copied().unwrap_or(f64::INFINITY);
    let mut rising: Option<bool> = None;
    for (knot, here) in at_knots.iter().zip(supports) {
        let change = knot.curvature - extreme.curvature;
        let goes_on = rising.is_none_or(|rising| rising == (change > 0.0));
        let is_plain = change.abs() > here.hypot(support);
        if goes_on && (rising.is_some() || is_plain) {
            rising = Some(change > 0.0);
            (extreme, support) = (*knot, *here);
        } else if !goes_on && is_plain {
            found.push(extreme.at);
            rising = Some(change > 0.0);
            (extreme, support) = (*knot, *here);
        }
    }
    found
}
