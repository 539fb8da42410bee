//! Shapes as the data describe them, and as rings.

use serde::Deserialize;
use spile::shape::{Arc, Point, Ring, Segment};

use crate::formula::{self, Names};

/// A number, or a formula for one.
#[derive(Debug, Clone, Deserialize)]
#[serde(untagged)]
pub(crate) enum Number {
    Plain(f64),
    Formula(String),
}

impl Number {
    pub(crate) fn value(&self, names: &Names) -> Result<f64, String> {
        match self {
            Self::Plain(value) => Ok(*value),
            Self::Formula(text) => formula::value(text, names),
        }
    }
}

/// One ring: exactly one of the kinds, then turned (degrees, about the origin), then moved.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct Shape {
    /// Two opposite corners.
    rectangle: Option<[Number; 4]>,
    /// Two opposite corners and the radius of all four.
    rounded: Option<[Number; 5]>,
    /// Centre and radius.
    circle: Option<[Number; 3]>,
    /// Corners.
    polygon: Option<Vec<[Number; 2]>>,
    /// Corners, and after one the arc that leaves it: `[x, y]` or `[x, y, centre x, centre y, turn]`,
    /// the turn 1 for counter-clockwise and -1 for clockwise.
    ring: Option<Vec<Vec<Number>>>,
    /// Points on a circle about the origin, the first on the x axis.
    circle_points: Option<CirclePoints>,
    /// Points on a circle, each moved out or in by up to `noise`.
    noisy_circle: Option<NoisyCircle>,
    /// A band along half circles that grow by half the pitch each, with round ends.
    half_circle_spiral: Option<HalfCircleSpiral>,
    /// A band along an Archimedean spiral as a polygon.
    spiral: Option<Spiral>,
    /// A back along the x axis below, teeth that stand on it.
    comb: Option<Comb>,
    /// A rectangle from the origin whose upper side is a row of V notches.
    sawtooth: Option<Sawtooth>,
    /// The shape over and over.
    grid: Option<Grid>,
    /// Discs on a circle about the origin, each tangent to the next.
    disc_ring: Option<DiscRing>,
    turned: Option<Number>,
    at: Option<[Number; 2]>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct CirclePoints {
    radius: Number,
    count: u32,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct NoisyCircle {
    radius: Number,
    count: u32,
    noise: Number,
    seed: u64,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct HalfCircleSpiral {
    first_radius: Number,
    half_turns: u32,
    pitch: Number,
    width: Number,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Spiral {
    first_radius: Number,
    turns: u32,
    pitch: Number,
    width: Number,
    points_a_turn: u32,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Comb {
    teeth: u32,
    width: Number,
    gap: Number,
    length: Number,
    back: Number,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Sawtooth {
    notches: u32,
    pitch: Number,
    depth: Number,
    height: Number,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Grid {
    columns: u32,
    rows: u32,
    pitch: Number,
    shape: Box<Shape>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct DiscRing {
    count: u32,
    radius: Number,
}

/// The rings of all shapes, each counter-clockwise.
pub(crate) fn rings(shapes: &[Shape], names: &Names) -> Result<Vec<Ring>, String> {
    let mut all = Vec::new();
    for shape in shapes {
        all.extend(shape.rings(names)?);
    }
    Ok(all)
}

impl Shape {
    fn rings(&self, names: &Names) -> Result<Vec<Ring>, String> {
        let angle = match &self.turned {
            Some(degrees) => degrees.value(names)?.to_radians(),
            None => 0.0,
        };
        let shift = match &self.at {
            Some(at) => {
                let [x, y] = values(at, names)?;
                Point::new(x, y)
            }
            None => Point::ORIGIN,
        };
        let mut kinds = Vec::new();
        self.plain(names, &mut kinds)?;
        self.generated(names, &mut kinds)?;
        let [rings] = <[Vec<Ring>; 1]>::try_from(kinds)
            .map_err(|kinds| format!("{} kinds of shape in one", kinds.len()))?;
        // What is not turned keeps its numbers bit for bit.
        Ok(rings
            .into_iter()
            .map(|ring| match (&self.turned, &self.at) {
                (None, None) => ring,
                (None, Some(_)) => ring.moved(&|point: Point| point + shift),
                _ => ring.moved(&|point: Point| point.turned(angle) + shift),
            })
            .map(Ring::counter_clockwise)
            .collect())
    }

    fn plain(&self, names: &Names, kinds: &mut Vec<Vec<Ring>>) -> Result<(), String> {
        if let Some(corners) = &self.rectangle {
            let [x0, y0, x1, y1] = values(corners, names)?;
            kinds.push(vec![rectangle(x0, y0, x1, y1)]);
        }
        if let Some(corners) = &self.rounded {
            kinds.push(vec![rounded(values(corners, names)?)]);
        }
        if let Some(circle) = &self.circle {
            let [x, y, radius] = values(circle, names)?;
            kinds.push(vec![Ring::circle(Point::new(x, y), radius)]);
        }
        if let Some(corners) = &self.polygon {
            let points: Result<Vec<Point>, String> = corners
                .iter()
                .map(|corner| values(corner, names).map(|[x, y]| Point::new(x, y)))
                .collect();
            kinds.push(vec![Ring::polygon(&points?)]);
        }
        if let Some(corners) = &self.ring {
            let corners: Result<Vec<Vec<f64>>, String> = corners
                .iter()
                .map(|corner| corner.iter().map(|number| number.value(names)).collect())
                .collect();
            kinds.push(vec![ring_of(&corners?)?]);
        }
        Ok(())
    }

    fn generated(&self, names: &Names, kinds: &mut Vec<Vec<Ring>>) -> Result<(), String> {
        if let Some(circle) = &self.circle_points {
            let radius = circle.radius.value(names)?;
            kinds.push(vec![polar(circle.count, |_| radius)]);
        }
        if let Some(circle) = &self.noisy_circle {
            let (radius, noise) = (circle.radius.value(names)?, circle.noise.value(names)?);
            let mut dice = circle.seed;
            kinds.push(vec![polar(circle.count, |_| {
                radius + noise * (2.0 * share(&mut dice) - 1.0)
            })]);
        }
        if let Some(spiral) = &self.half_circle_spiral {
            kinds.push(vec![half_circle_spiral(spiral, names)?]);
        }
        if let Some(spiral) = &self.spiral {
            kinds.push(vec![archimedean_spiral(spiral, names)?]);
        }
        if let Some(comb) = &self.comb {
            kinds.push(vec![comb_of(comb, names)?]);
        }
        if let Some(saw) = &self.sawtooth {
            kinds.push(vec![sawtooth(saw, names)?]);
        }
        if let Some(grid) = &self.grid {
            let pitch = grid.pitch.value(names)?;
            let one = grid.shape.rings(names)?;
            let mut all = Vec::new();
            for row in 0..grid.rows {
                for column in 0..grid.columns {
                    let shift = Point::new(f64::from(column), f64::from(row)) * pitch;
                    all.extend(
                        one.iter()
                            .map(|ring| ring.moved(&|point: Point| point + shift)),
                    );
                }
            }
            kinds.push(all);
        }
        if let Some(discs) = &self.disc_ring {
            let radius = discs.radius.value(names)?;
            let half = std::f64::consts::PI / f64::from(discs.count);
            let reach = radius / half.sin();
            kinds.push(
                (0..discs.count)
                    .map(|index| {
                        let out = Point::at_angle(2.0 * half * f64::from(index));
                        Ring::circle(out * reach, radius)
                    })
                    .collect(),
            );
        }
        Ok(())
    }
}

fn values<const N: usize>(numbers: &[Number; N], names: &Names) -> Result<[f64; N], String> {
    let mut values = [0.0; N];
    for (value, number) in values.iter_mut().zip(numbers) {
        *value = number.value(names)?;
    }
    Ok(values)
}

/// A number from 0 to 1, the same on every machine: Knuth's 64-bit linear congruential generator (MMIX;
/// constants from memory).
pub(crate) fn share(dice: &mut u64) -> f64 {
    *dice = dice
        .wrapping_mul(6_364_136_223_846_793_005)
        .wrapping_add(1_442_695_040_888_963_407);
    let high = u32::try_from(*dice >> 33).expect("31 bits fit");
    f64::from(high) / f64::from(1u32 << 31)
}

fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Ring {
    Ring::polygon(&[
        Point::new(x0, y0),
        Point::new(x1, y0),
        Point::new(x1, y1),
        Point::new(x0, y1),
    ])
}

fn rounded([x0, y0, x1, y1, r]: [f64; 5]) -> Ring {
    use std::f64::consts::FRAC_PI_2 as QUARTER;
    let corners = [
        (x1 - r, y0 + r, -QUARTER),
        (x1 - r, y1 - r, 0.0),
        (x0 + r, y1 - r, QUARTER),
        (x0 + r, y0 + r, 2.0 * QUARTER),
    ];
    let arcs = corners.map(|(x, y, from)| Arc::about(Point::new(x, y), r, from, QUARTER));
    let mut segments = Vec::new();
    for (index, arc) in arcs.iter().enumerate() {
        segments.push(Segment::Arc(*arc));
        let next = arcs[(index + 1) % 4].start;
        if arc.end.distance(next) > 1e-9 {
            segments.push(Segment::Line(arc.end, next));
        }
    }
    welded(segments)
}

/// Makes each segment begin bit for bit where the one before ends.
fn welded(mut segments: Vec<Segment>) -> Ring {
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

fn ring_of(corners: &[Vec<f64>]) -> Result<Ring, String> {
    let point = |corner: &[f64]| match corner {
        [x, y, ..] => Ok(Point::new(*x, *y)),
        _ => Err("a corner without coordinates".to_owned()),
    };
    let mut segments = Vec::new();
    for (index, corner) in corners.iter().enumerate() {
        let start = point(corner)?;
        let end = point(&corners[(index + 1) % corners.len()])?;
        segments.push(match corner[..] {
            [_, _] => Segment::Line(start, end),
            [_, _, x, y, turn] => {
                let centre = Point::new(x, y);
                let mut arc = Arc::between(start, end, centre, turn > 0.0);
                arc.radius = start.distance(centre);
                Segment::Arc(arc)
            }
            _ => return Err(format!("corner {index} has {} numbers", corner.len())),
        });
    }
    Ok(Ring::new(segments))
}

fn polar(count: u32, mut radius: impl FnMut(f64) -> f64) -> Ring {
    let points: Vec<Point> = (0..count)
        .map(|index| {
            let angle = std::f64::consts::TAU * f64::from(index) / f64::from(count);
            Point::at_angle(angle) * radius(angle)
        })
        .collect();
    Ring::polygon(&points)
}

/// Out along the left side, round the end, back along the other, round the beginning.
fn half_circle_spiral(spiral: &HalfCircleSpiral, names: &Names) -> Result<Ring, String> {
    use std::f64::consts::PI;
    let first = spiral.first_radius.value(names)?;
    let (step, half) = (
        spiral.pitch.value(names)? / 2.0,
        spiral.width.value(names)? / 2.0,
    );
    // The middle line: half circles about (0, 0) and (step, 0) in turn, the upper ones first.
    let middles: Vec<(Point, f64, f64)> = (0..spiral.half_turns)
        .map(|index| {
            let is_lower = index % 2 == 1;
            let centre = Point::new(if is_lower { step } else { 0.0 }, 0.0);
            let from = if is_lower { PI } else { 0.0 };
            (centre, first + step * f64::from(index), from)
        })
        .collect();
    let (Some(begin), Some(end)) = (middles.first(), middles.last()) else {
        return Err("a spiral without a turn".to_owned());
    };
    let mut segments: Vec<Segment> = middles
        .iter()
        .map(|(centre, radius, from)| Segment::Arc(Arc::about(*centre, radius + half, *from, PI)))
        .collect();
    let cap = |at: Point, from: f64| Segment::Arc(Arc::about(at, half, from, PI));
    segments.push(cap(end.0 + Point::at_angle(end.2 + PI) * end.1, end.2 + PI));
    segments.extend(middles.iter().rev().map(|(centre, radius, from)| {
        Segment::Arc(Arc::about(*centre, radius - half, from + PI, -PI))
    }));
    segments.push(cap(
        begin.0 + Point::at_angle(begin.2) * begin.1,
        begin.2 + PI,
    ));
    Ok(welded(segments))
}

fn archimedean_spiral(spiral: &Spiral, names: &Names) -> Result<Ring, String> {
    let first = spiral.first_radius.value(names)?;
    let (pitch, half) = (spiral.pitch.value(names)?, spiral.width.value(names)? / 2.0);
    let count = spiral.turns * spiral.points_a_turn;
    let side = |index: u32, aside: f64| {
        let turns = f64::from(index) / f64::from(spiral.points_a_turn);
        Point::at_angle(std::f64::consts::TAU * turns) * (first + pitch * turns + aside)
    };
    let out = (0..=count).map(|index| side(index, half));
    let back = (0..=count).rev().map(|index| side(index, -half));
    Ok(Ring::polygon(&out.chain(back).collect::<Vec<_>>()))
}

fn comb_of(comb: &Comb, names: &Names) -> Result<Ring, String> {
    let (width, gap) = (comb.width.value(names)?, comb.gap.value(names)?);
    let (length, back) = (comb.length.value(names)?, comb.back.value(names)?);
    let last = f64::from(comb.teeth - 1) * (width + gap) + width;
    let mut points = vec![Point::new(0.0, -back), Point::new(last, -back)];
    for tooth in (0..comb.teeth).rev() {
        let left = f64::from(tooth) * (width + gap);
        if tooth + 1 < comb.teeth {
            points.push(Point::new(left + width, 0.0));
        }
        points.push(Point::new(left + width, length));
        points.push(Point::new(left, length));
        if tooth > 0 {
            points.push(Point::new(left, 0.0));
        }
    }
    Ok(Ring::polygon(&points))
}

fn sawtooth(saw: &Sawtooth, names: &Names) -> Result<Ring, String> {
    let (pitch, depth) = (saw.pitch.value(names)?, saw.depth.value(names)?);
    let height = saw.height.value(names)?;
    let mut points = vec![
        Point::ORIGIN,
        Point::new(f64::from(saw.notches) * pitch, 0.0),
    ];
    for notch in (0..saw.notches).rev() {
        let left = f64::from(notch) * pitch;
        points.push(Point::new(left + pitch, height));
        points.push(Point::new(left + pitch / 2.0, height - depth));
    }
    points.push(Point::new(0.0, height));
    Ok(Ring::polygon(&points))
}
