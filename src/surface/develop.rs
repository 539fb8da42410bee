//! The deck laid flat: a map from the plan to a plane in which lengths are those on the surface, as nearly as
//! can be. Comes in: a [`Surface`] and the deck's outline. Goes out: a [`Development`], and how far it is off.
//!
//! A surface that is round both ways cannot be laid flat without stretching it somewhere. Two maps offer
//! themselves. The plain one takes the sheer's running length against the girth: every line fore and aft and
//! every girth keeps its length, but they no longer meet at their true angle, off by s'c' (the slopes of sheer and
//! camber), which grows towards bow and stern. The one used here lays each girth out in its true shape, as it
//! is seen square to the sheer where it crosses the centreline:
//!
//! ```text
//! u = S(x) + (c(y) - c₀) s'/A        S the sheer's running length, A = √(1 + s'²)
//! v = ∫₀ʸ √(1 + c'²/A²)
//! ```
//!
//! Girths keep their length exactly, and leave the centreline at their true angle; what is off is length fore and
//! aft alone, by s''(c - c₀), the same all along where the sheer is a parabola. c₀, the height of the camber
//! at which that length is true, is half way between the deck's highest and lowest, which halves the greatest error. A
//! deck round one way only (no camber, or a straight sheer, level or not) is a cylinder and comes out exactly.

use super::Surface;
use crate::shape::{Parametric, Point, Region, Ring, Segment, tangent_arcs};
use crate::units::Length;

/// Steps of Newton's method at most; four do.
const STEPS: usize = 20;
/// A step shorter than this, millimetres, is the last.
const ARRIVED: f64 = 1e-10;
/// Lines and arcs follow the mapped boundary within this, millimetres: two such fits, there and back,
/// stay within 0.01 mm.
pub(super) const WITHIN: f64 = 0.004;

/// Two lines that run on into each other are one, if their joint lies no further off it than this, millimetres.
const STRAIGHT: f64 = 1e-9;

/// A deck's surface laid flat.
#[derive(Debug, Clone, PartialEq)]
pub struct Development {
    surface: Surface,
    /// The station whose point on the centreline stays where it is.
    origin: f64,
    /// Height of the camber at which lengths fore and aft are true.
    true_at: f64,
}

/// How far a development is off, at the worst places of a deck.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Distortion {
    /// Where lengths come out longest: 0.001 is a millimetre too much a metre.
    pub stretch: Worst,
    /// Where they come out shortest, as a negative number.
    pub shrink: Worst,
    /// Where an angle is furthest off, radians.
    pub angle: Worst,
    /// Places looked at.
    pub places: usize,
}

/// The greatest of something, and where on the plan.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Worst {
    /// How much.
    pub amount: f64,
    /// Where, in the plan.
    pub at: Point,
}

impl Distortion {
    /// The greater of stretch and shrink, as a size.
    #[must_use]
    pub fn greatest(&self) -> f64 {
        self.stretch.amount.max(-self.shrink.amount)
    }
}

/// First derivatives of the map: of u and v along x, and along y.
#[derive(Debug, Clone, Copy)]
struct Slopes {
    along_x: Point,
    along_y: Point,
}

impl Slopes {
    fn carried(&self, way: Point) -> Point {
        self.along_x * way.x + self.along_y * way.y
    }

    fn carried_back(&self, way: Point) -> Point {
        let size = self.along_x.cross(self.along_y);
        Point::new(
            way.cross(self.along_y) / size,
            self.along_x.cross(way) / size,
        )
    }
}

/// Which way a boundary is carried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    /// From the plan to the development.
    Out,
    /// Back to the plan.
    Back,
}

impl Development {
    /// Lays a surface flat; lengths fore and aft are true half way up the camber of the deck inside `outline`, and the
    /// middle of the deck's centreline keeps its station.
    #[must_use]
    pub fn of(surface: &Surface, outline: &Ring) -> Self {
        let bounds = outline.bounding_box();
        let (port, starboard) = (bounds.least.y, bounds.greatest.y);
        let nearest = port.max(-starboard).max(0.0);
        let furthest = starboard.max(-port);
        let camber = &surface.camber;
        Self {
            surface: surface.clone(),
            origin: bounds.centre().x,
            true_at: f64::midpoint(camber.height(nearest), camber.height(furthest)),
        }
    }

    /// Where a point of the plan comes to lie.
    #[must_use]
    pub fn laid(&self, at: Point) -> Point {
        let Surface { camber, sheer, .. } = &self.surface;
        let slope = sheer.slope(at.x);
        let square = 1.0 + slope * slope;
        let off = camber.height(at.y) - self.true_at;
        Point::new(
            self.origin + sheer.arc_length(self.origin, at.x) + off * slope / square.sqrt(),
            camber.integral(at.y, |camber| (1.0 + camber / square).sqrt()),
        )
    }

    /// The point of the plan that comes to lie there.
    #[must_use]
    pub fn raised(&self, laid: Point) -> Point {
        let mut at = laid;
        for _ in 0..STEPS {
            let step = self.slopes(at).carried_back(laid - self.laid(at));
            at = at + step;
            let length = step.length();
            if length <= ARRIVED || length.is_nan() {
                break;
            }
        }
        at
    }

    fn slopes(&self, at: Point) -> Slopes {
        let Surface { camber, sheer, .. } = &self.surface;
        let (slope, bend) = (sheer.slope(at.x), sheer.bend(at.x));
        let square = 1.0 + slope * slope;
        let length = square.sqrt();
        let round = camber.slope(at.y);
        let off = camber.height(at.y) - self.true_at;
        let narrowing = if bend == 0.0 || slope == 0.0 {
            0.0
        } else {
            -slope * bend / (square * square)
                * camber.integral(at.y, |camber| camber / (1.0 + camber / square).sqrt())
        };
        Slopes {
            along_x: Point::new(length + off * bend / (square * length), narrowing),
            along_y: Point::new(
                round * slope / length,
                (1.0 + round * round / square).sqrt(),
            ),
        }
    }

    /// The greatest and the least stretch at a place, as shares of length: 1 is true. They lie square to each
    /// other on the surface.
    fn stretches(&self, at: Point) -> [f64; 2] {
        let slopes = self.slopes(at);
        let (x, y) = (slopes.along_x, slopes.along_y);
        let slope = self.surface.slope(at);
        // The surface's own lengths: E = 1 + s'², F = s'c', G = 1 + c'², taken apart by Cholesky's method, so that
        // stretches near 1 keep their digits.
        let long = slope.x.hypot(1.0);
        let lean = slope.x * slope.y / long;
        let wide = (1.0 + slope.y * slope.y - lean * lean).sqrt();
        let first = x * (1.0 / long);
        let second = (y - first * lean) * (1.0 / wide);
        let (mean, half) = (
            f64::midpoint(first.dot(first), second.dot(second)),
            (first.dot(first) - second.dot(second)) / 2.0,
        );
        let apart = half.hypot(first.dot(second));
        [(mean + apart).sqrt(), (mean - apart).max(0.0).sqrt()]
    }

    /// How far the development of a region of the plan is off at its worst places: looked at along its boundary and
    /// on a grid over its inside.
    ///
    /// With a and b the greatest and the least stretch at a place, no angle there is off by more than
    /// 2 arcsin((a - b)/(a + b)) (N. A. Tissot's theorem; from memory).
    #[must_use]
    pub fn distortion(&self, region: &Region) -> Distortion {
        let mut found = Distortion {
            stretch: Worst::default(),
            shrink: Worst::default(),
            angle: Worst::default(),
            places: 0,
        };
        let mut look = |at: Point| {
            let [most, least] = self.stretches(at);
            let angle = 2.0 * ((most - least) / (most + least)).asin();
            if most - 1.0 > found.stretch.amount || found.places == 0 {
                found.stretch = Worst {
                    amount: most - 1.0,
                    at,
                };
            }
            if least - 1.0 < found.shrink.amount || found.places == 0 {
                found.shrink = Worst {
                    amount: least - 1.0,
                    at,
                };
            }
            if angle > found.angle.amount || found.places == 0 {
                found.angle = Worst { amount: angle, at };
            }
            found.places += 1;
        };
        for segment in region.segments() {
            for step in 0..8 {
                look(segment.point_at(f64::from(step) / 8.0));
            }
        }
        let bounds = region.bounding_box();
        for row in 0..=GRID {
            for column in 0..=GRID {
                let share = |step: i32| f64::from(step) / f64::from(GRID);
                let at = Point::new(
                    bounds.least.x + bounds.width() * share(column),
                    bounds.least.y + bounds.height() * share(row),
                );
                if region.contains(at) {
                    look(at);
                }
            }
        }
        found
    }

    /// What the development makes of a length on the surface: how much longer all of a ring comes out.
    #[must_use]
    pub fn excess(&self, ring: &Ring) -> Length {
        let laid = Length::mm(self.laid_ring(ring).length());
        laid - self.surface.length_of(ring.segments())
    }

    /// A segment of the plan laid flat, as lines and arcs.
    #[must_use]
    pub fn laid_segment(&self, segment: &Segment) -> Vec<Segment> {
        self.carried(segment, Way::Out, [Point::ORIGIN; 2])
    }

    /// A segment of the development carried back to the plan, to run from one point to another that lie where its
    /// ends come to lie, or a hundredth of a millimetre beside.
    #[must_use]
    pub fn raised_between(&self, segment: &Segment, from: Point, to: Point) -> Vec<Segment> {
        let ends = [segment.start(), segment.end()].map(|end| self.raised(end));
        self.carried(segment, Way::Back, [from - ends[0], to - ends[1]])
    }

    /// A ring of the plan laid flat.
    #[must_use]
    pub fn laid_ring(&self, ring: &Ring) -> Ring {
        let laid = ring.segments().iter();
        Ring::new(
            laid.flat_map(|segment| self.laid_segment(segment))
                .collect(),
        )
    }

    /// A ring of the development carried back to the plan.
    #[must_use]
    pub fn raised_ring(&self, ring: &Ring) -> Ring {
        let raised = ring.segments().iter();
        let raise = |segment| self.carried(segment, Way::Back, [Point::ORIGIN; 2]);
        Ring::new(raised.flat_map(raise).collect())
    }

    /// A region of the plan laid flat.
    #[must_use]
    pub fn laid_region(&self, region: &Region) -> Region {
        let rings = region.rings().iter();
        Region::new(rings.map(|ring| self.laid_ring(ring)).collect())
    }

    /// A region of the development carried back to the plan.
    #[must_use]
    pub fn raised_region(&self, region: &Region) -> Region {
        let rings = region.rings().iter();
        Region::new(rings.map(|ring| self.raised_ring(ring)).collect())
    }

    /// A line of the plan laid flat and moved aside by so much, to the left where that is positive.
    pub(super) fn laid_beside(&self, from: Point, to: Point, aside: f64) -> Vec<Segment> {
        let line = Segment::Line(from, to);
        let carried = Carried {
            development: self,
            segment: &line,
            way: Way::Out,
            aside,
            shift: [Point::ORIGIN; 2],
        };
        fitted(&carried)
    }

    /// The surface that is laid flat.
    #[must_use]
    pub const fn surface(&self) -> &Surface {
        &self.surface
    }

    /// Distance from the centreline at which lengths fore and aft are true; none where they are everywhere.
    #[must_use]
    pub fn true_off_the_centreline(&self) -> Option<Length> {
        if self.surface.is_cylinder() {
            return None;
        }
        // The camber falls all the way out.
        let (mut near, mut far) = (0.0, 1.0);
        while self.surface.camber.height(far) > self.true_at && far < 1e6 {
            far *= 2.0;
        }
        for _ in 0..60 {
            let middle = f64::midpoint(near, far);
            if self.surface.camber.height(middle) > self.true_at {
                near = middle;
            } else {
                far = middle;
            }
        }
        Some(Length::mm(far))
    }

    /// A segment carried either way, its ends shifted by so much. What lies to port is carried as the mirror
    /// image of what lies to starboard, so that both sides come out alike to the last bit.
    fn carried(&self, segment: &Segment, way: Way, shift: [Point; 2]) -> Vec<Segment> {
        if let Segment::Line(from, to) = segment
            && from.y * to.y < 0.0
        {
            let middle = from.towards(*to, from.y / (from.y - to.y));
            let middle = Point::new(middle.x, 0.0);
            let mut both = self.half(
                &Segment::Line(*from, middle),
                way,
                [shift[0], Point::ORIGIN],
            );
            both.extend(self.half(&Segment::Line(middle, *to), way, [Point::ORIGIN, shift[1]]));
            // What stays straight stays one line.
            if let [Segment::Line(from, middle), Segment::Line(_, to)] = both.as_slice()
                && (*to - *from).unit().cross(*middle - *from).abs() < STRAIGHT
            {
                return vec![Segment::Line(*from, *to)];
            }
            return both;
        }
        self.half(segment, way, shift)
    }

    fn half(&self, segment: &Segment, way: Way, shift: [Point; 2]) -> Vec<Segment> {
        let to_starboard = |segment: &Segment, shift| {
            fitted(&Carried {
                development: self,
                segment,
                way,
                aside: 0.0,
                shift,
            })
        };
        if segment.point_at(0.5).y >= 0.0 {
            return to_starboard(segment, shift);
        }
        let [first, last] = shift.map(Point::mirrored);
        let image = to_starboard(&segment.mirrored().reversed(), [last, first]);
        let back = image.iter().rev();
        back.map(|piece| piece.mirrored().reversed()).collect()
    }
}

fn fitted(carried: &Carried<'_>) -> Vec<Segment> {
    tangent_arcs(carried, 0.0, 1.0, WITHIN)
        .into_iter()
        .map(|fitted| fitted.segment)
        .collect()
}

/// Places of the grid along each side.
const GRID: i32 = 48;

/// A segment as the development carries it.
struct Carried<'a> {
    development: &'a Development,
    segment: &'a Segment,
    way: Way,
    /// How far to its left it is moved, once it is carried.
    aside: f64,
    /// How far its ends are moved then.
    shift: [Point; 2],
}

impl Carried<'_> {
    fn carried_point(&self, at: f64) -> Point {
        let point = self.segment.point_at(at);
        match self.way {
            Way::Out => self.development.laid(point),
            Way::Back => self.development.raised(point),
        }
    }
}

impl Parametric for Carried<'_> {
    fn knots(&self) -> &[f64] {
        &[0.0, 1.0]
    }

    fn point_at(&self, at: f64) -> Point {
        let mut point = self.carried_point(at);
        if self.aside != 0.0 {
            point = point + self.direction_at(at).left() * self.aside;
        }
        if self.shift != [Point::ORIGIN; 2] {
            point = point + self.shift[0].towards(self.shift[1], at);
        }
        point
    }

    fn direction_at(&self, at: f64) -> Point {
        let along = self.segment.direction_at(at);
        match self.way {
            Way::Out => {
                let slopes = self.development.slopes(self.segment.point_at(at));
                slopes.carried(along).unit()
            }
            Way::Back => {
                let slopes = self.development.slopes(self.carried_point(at));
                slopes.carried_back(along).unit()
            }
        }
    }

    fn pace(&self) -> f64 {
        // A segment that is hardly more than a point is not worth a second chord.
        self.segment.length().max(1e-4)
    }
}
