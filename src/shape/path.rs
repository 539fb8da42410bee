//! What of a path lies in a region and what outside it. Comes in: a path of straight legs, a region. Goes out: the parts of
//! the path in turn, each with how far along the path it begins and how long it is.

use super::{BoundingBox, Point, Region, Segment, TOUCH, meetings};
use crate::units::Length;

/// A part of a path, all of it in a region or all of it outside.
#[derive(Debug, Clone, PartialEq)]
pub struct PathPart {
    /// Where it begins, where it bends, where it ends.
    pub points: Vec<Point>,
    /// How far along the path it begins.
    pub begins: Length,
    /// How long it is.
    pub length: Length,
    /// Whether it lies in the region or on its boundary.
    pub is_inside: bool,
}

impl PathPart {
    /// Its straight legs.
    pub fn legs(&self) -> impl Iterator<Item = Segment> + '_ {
        let pairs = self.points.windows(2);
        pairs.filter_map(|pair| match pair {
            [from, to] => Some(Segment::Line(*from, *to)),
            _ => None,
        })
    }

    /// Where half of it is walked.
    #[must_use]
    pub fn middle(&self) -> Option<Point> {
        let mut left = self.length.to_mm() / 2.0;
        for leg in self.legs() {
            let length = leg.length();
            if left <= length && length > 0.0 {
                return Some(leg.point_at(left / length));
            }
            left -= length;
        }
        self.points.last().copied()
    }
}

/// The parts of a path, in and outside of a region in turn. A path along its boundary is inside; one that only touches it
/// goes on as one part.
///
/// ```
/// use spile::shape::{Point, Region, Ring, path_parts};
///
/// let disc = Region::inside(Ring::circle(Point::new(0.0, 0.0), 100.0));
/// let path = [(-250.0, 0.0), (250.0, 0.0), (250.0, 70.0)].map(|(x, y)| Point::new(x, y));
/// let parts = path_parts(&path, &disc);
/// let lengths: Vec<f64> = parts.iter().map(|part| part.length.to_mm().round()).collect();
/// assert_eq!(lengths, [150.0, 200.0, 220.0]);
/// assert!(parts[1].is_inside && !parts[2].is_inside);
/// ```
#[must_use]
pub fn path_parts(path: &[Point], region: &Region) -> Vec<PathPart> {
    let boundary = region.boundary();
    let mut parts: Vec<PathPart> = Vec::new();
    let mut walked = 0.0;
    for pair in path.windows(2) {
        let [from, to] = [pair[0], pair[1]];
        let leg = Segment::Line(from, to);
        let long = leg.length();
        if long <= 0.0 {
            continue;
        }
        let mut shares = vec![0.0, 1.0];
        boundary.near(&BoundingBox::of_points([from, to]).grown(TOUCH), |index| {
            let met = meetings(&leg, boundary.segments()[index]);
            shares.extend(met.iter().map(|meeting| meeting.on_first));
        });
        shares.sort_by(f64::total_cmp);
        // Two crossings at one place leave nothing between them.
        shares.dedup_by(|b, a| (*b - *a) * long <= TOUCH);
        if let Some(last) = shares.last_mut() {
            *last = 1.0;
        }
        for pair in shares.windows(2) {
            let (start, end) = (leg.point_at(pair[0]), leg.point_at(pair[1]));
            let middle = start.towards(end, 0.5);
            let is_inside =
                boundary.contains(middle) || boundary.comes_within(Length::mm(TOUCH), middle);
            let length = start.distance(end);
            match parts.last_mut() {
                Some(last) if last.is_inside == is_inside => {
                    // A bend stays; a touch on the way does not.
                    if pair[0] > 0.0 {
                        last.points.pop();
                    }
                    last.points.push(end);
                    last.length = last.length + Length::mm(length);
                }
                _ => parts.push(PathPart {
                    points: vec![start, end],
                    begins: Length::mm(walked + pair[0] * long),
                    length: Length::mm(length),
                    is_inside,
                }),
            }
        }
        walked += long;
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::Ring;

    fn square(least: f64, greatest: f64) -> Region {
        let corners = [
            (least, least),
            (greatest, least),
            (greatest, greatest),
            (least, greatest),
        ];
        Region::inside(Ring::polygon(&corners.map(|(x, y)| Point::new(x, y))))
    }

    fn parts(path: &[(f64, f64)], region: &Region) -> Vec<(bool, f64, f64)> {
        let points: Vec<Point> = path.iter().map(|(x, y)| Point::new(*x, *y)).collect();
        let found = path_parts(&points, region);
        let whole: f64 = points.windows(2).map(|leg| leg[0].distance(leg[1])).sum();
        let sum: f64 = found.iter().map(|part| part.length.to_mm()).sum();
        assert!((whole - sum).abs() < 1e-6, "{sum} of {whole}");
        let round = |length: Length| (length.to_mm() * 1e6).round() / 1e6;
        found
            .iter()
            .map(|part| (part.is_inside, round(part.begins), round(part.length)))
            .collect()
    }

    #[test]
    fn a_path_is_cut_where_it_leaves_a_region_and_nowhere_else() {
        let region = square(0.0, 100.0).union(&[&square(200.0, 300.0)]);
        let across = [(-50.0, 50.0), (250.0, 50.0), (250.0, 260.0)];
        assert_eq!(
            parts(&across, &region),
            [
                (false, 0.0, 50.0),
                (true, 50.0, 100.0),
                (false, 150.0, 300.0),
                (true, 450.0, 60.0),
            ]
        );
        // Touching a corner, and along an edge.
        assert_eq!(
            parts(&[(50.0, -50.0), (150.0, 50.0)], &square(0.0, 100.0)),
            [(false, 0.0, 141.421356)]
        );
        assert_eq!(
            parts(&[(-20.0, 100.0), (140.0, 100.0)], &square(0.0, 100.0)),
            [
                (false, 0.0, 20.0),
                (true, 20.0, 100.0),
                (false, 120.0, 40.0)
            ]
        );
        assert_eq!(
            parts(&[(10.0, 10.0), (90.0, 90.0)], &square(0.0, 100.0)),
            [(true, 0.0, 113.137085)]
        );
        assert_eq!(parts(&[(10.0, 10.0)], &region), []);
    }

    #[test]
    fn half_way_along_a_part_is_half_its_length() {
        let path = [(0.0, 0.0), (100.0, 0.0), (100.0, 300.0)].map(|(x, y)| Point::new(x, y));
        let found = path_parts(&path, &square(500.0, 600.0));
        assert_eq!(
            found.first().and_then(PathPart::middle),
            Some(Point::new(100.0, 100.0))
        );
    }
}
