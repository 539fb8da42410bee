//! Bytes to regions: every string of bytes is some region, and small changes of the bytes are small changes
//! of it.

use spile::shape::{Arc, Point, Region, Ring, Segment};

/// Reads bytes one after another; behind their end everything is 0.
#[derive(Debug, Clone)]
pub(crate) struct Bytes<'a> {
    rest: &'a [u8],
    grid: Grid,
}

/// What coordinates may be.
#[derive(Debug, Clone, Copy)]
enum Grid {
    /// Multiples of 10 mm: everything coincides.
    Coarse,
    /// Multiples of 10 mm and at times a hair aside: 10 nm, 1 µm, 0.1 mm.
    Hairy,
    /// Anything.
    Free,
}

impl<'a> Bytes<'a> {
    pub(crate) fn new(bytes: &'a [u8]) -> Self {
        let mut this = Self {
            rest: bytes,
            grid: Grid::Coarse,
        };
        this.grid = match this.byte() % 4 {
            0 | 1 => Grid::Coarse,
            2 => Grid::Hairy,
            _ => Grid::Free,
        };
        this
    }

    pub(crate) fn byte(&mut self) -> u8 {
        match self.rest.split_first() {
            Some((first, rest)) => {
                self.rest = rest;
                *first
            }
            None => 0,
        }
    }

    pub(crate) fn below(&mut self, bound: u8) -> u8 {
        self.byte() % bound
    }

    /// A length of `least` to `least + span` steps of 10 mm.
    pub(crate) fn length(&mut self, least: u8, span: u8) -> f64 {
        let steps = f64::from(least + self.byte() % span);
        let fine = match self.grid {
            Grid::Coarse => 0.0,
            Grid::Hairy => match self.byte() % 16 {
                0 => 1e-5,
                1 => -1e-5,
                2 => 1e-3,
                3 => -1e-3,
                4 => 0.1,
                5 => 0.01,
                _ => 0.0,
            },
            Grid::Free => {
                let (high, low) = (f64::from(self.byte()), f64::from(self.byte()));
                (high / 256.0 + low / 65536.0) * 10.0 + 1e-3
            }
        };
        steps * 10.0 + fine
    }

    fn point(&mut self) -> Point {
        let x = self.length(0, 60);
        Point::new(x, self.length(0, 60))
    }

    /// Some shapes, of which later ones may be cut out.
    pub(crate) fn region(&mut self) -> Region {
        let count = 1 + self.below(3);
        let mut region = Region::default();
        for index in 0..count {
            let Some(ring) = self.ring() else { continue };
            let one = Region::inside(ring);
            region = if index > 0 && self.byte().is_multiple_of(3) {
                region.difference(&[&one])
            } else {
                region.union(&[&one])
            };
        }
        region
    }

    /// One simple ring; none where the bytes say one that crosses itself.
    pub(crate) fn ring(&mut self) -> Option<Ring> {
        let kind = self.below(8);
        let turned = match self.byte() % 8 {
            5 => 30f64.to_radians(),
            6 => 45f64.to_radians(),
            7 => f64::from(self.byte()) / 40.0,
            _ => 0.0,
        };
        let at = self.point();
        let ring = match kind {
            0 | 1 => {
                let (x, y) = (self.length(1, 40), self.length(1, 30));
                rounded(x, y, 0.0)
            }
            2 => {
                let (x, y) = (self.length(1, 40), self.length(1, 30));
                let share = f64::from(1 + self.byte() % 4) / 4.0;
                rounded(x, y, share * x.min(y) / 2.0)
            }
            3 => Ring::circle(Point::ORIGIN, self.length(1, 30)),
            4 => {
                let (length, radius) = (self.length(1, 40), self.length(1, 12));
                rounded(length + 2.0 * radius, 2.0 * radius, radius)
            }
            5 => self.sector(),
            _ => self.star(),
        };
        let ring = if turned == 0.0 {
            ring.moved(&|point: Point| point + at)
        } else {
            ring.moved(&|point: Point| point.turned(turned) + at)
        };
        let ring = welded(&ring).counter_clockwise();
        (ring.signed_area() > 1.0 && ring.self_crossing().is_none()).then_some(ring)
    }

    /// A piece of a ring, or of a disc.
    fn sector(&mut self) -> Ring {
        let (inner, wide) = (self.length(0, 20), self.length(1, 20));
        let outer = inner + wide;
        let from = f64::from(self.byte() % 24) * 15f64.to_radians();
        let sweep = f64::from(1 + self.byte() % 23) * 15f64.to_radians();
        let far = Arc::about(Point::ORIGIN, outer, from, sweep);
        if inner < 1.0 {
            return Ring::new(vec![
                Segment::Line(Point::ORIGIN, far.start),
                Segment::Arc(far),
                Segment::Line(far.end, Point::ORIGIN),
            ]);
        }
        let near = Arc::about(Point::ORIGIN, inner, from + sweep, -sweep);
        Ring::new(vec![
            Segment::Arc(far),
            Segment::Line(far.end, near.start),
            Segment::Arc(near),
            Segment::Line(near.end, far.start),
        ])
    }

    /// Corners all round, joined by lines and arcs.
    fn star(&mut self) -> Ring {
        let count = 3 + self.below(6);
        let corners: Vec<Point> = (0..count)
            .map(|index| {
                let reach = self.length(2, 30);
                let angle = std::f64::consts::TAU * f64::from(index) / f64::from(count);
                let point = Point::at_angle(angle) * reach;
                match self.grid {
                    Grid::Free => point,
                    // On the grid again.
                    _ => Point::new(
                        (point.x / 10.0).round() * 10.0,
                        (point.y / 10.0).round() * 10.0,
                    ),
                }
            })
            .collect();
        let mut segments = Vec::new();
        for (index, start) in corners.iter().enumerate() {
            let end = corners[(index + 1) % corners.len()];
            if *start == end {
                continue;
            }
            let bulge = f64::from(self.byte() % 16);
            let arc = (bulge > 7.0)
                .then(|| {
                    // Height over the chord, to either side.
                    let share = (bulge - 11.5) / 10.0;
                    let middle = start.towards(end, 0.5) + (end - *start).left() * share;
                    Arc::through(*start, middle, end)
                })
                .flatten();
            segments.push(arc.map_or(Segment::Line(*start, end), Segment::Arc));
        }
        Ring::new(segments)
    }
}

/// A rectangle about the origin with rounded corners, as far as there are any.
fn rounded(width: f64, height: f64, r: f64) -> Ring {
    use std::f64::consts::FRAC_PI_2 as QUARTER;
    let (x, y) = (width / 2.0, height / 2.0);
    let corners = [(1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0)];
    if r == 0.0 {
        return Ring::polygon(&corners.map(|(a, b)| Point::new(a * x, b * y)));
    }
    let arcs: Vec<Arc> = corners
        .iter()
        .zip([-QUARTER, 0.0, QUARTER, 2.0 * QUARTER])
        .map(|((a, b), from)| Arc::about(Point::new(a * (x - r), b * (y - r)), r, from, QUARTER))
        .collect();
    let mut segments = Vec::new();
    for (index, arc) in arcs.iter().enumerate() {
        segments.push(Segment::Arc(*arc));
        let next = arcs[(index + 1) % 4].start;
        if arc.end.distance(next) > 1e-7 {
            segments.push(Segment::Line(arc.end, next));
        }
    }
    Ring::new(segments)
}

/// Each segment begins bit for bit where the one before ends.
fn welded(ring: &Ring) -> Ring {
    let mut segments = ring.segments().to_vec();
    for index in 0..segments.len() {
        let end = segments[index].end();
        let next = (index + 1) % segments.len();
        match &mut segments[next] {
            Segment::Line(start, _) => *start = end,
            Segment::Arc(arc) => arc.start = end,
        }
    }
    Ring::new(segments)
}

/// A region's rings, corner by corner.
pub(crate) fn described(name: &str, region: &Region) -> String {
    let mut text = format!("{name}:\n");
    for ring in region.rings() {
        for segment in ring.segments() {
            let at = segment.start();
            text.push_str(&match segment {
                Segment::Line(..) => format!(" ({}, {})", at.x, at.y),
                Segment::Arc(arc) => format!(
                    " ({}, {}) arc about ({}, {}) r {} by {}",
                    at.x, at.y, arc.centre.x, arc.centre.y, arc.radius, arc.sweep
                ),
            });
        }
        text.push('\n');
    }
    text
}
