//! Girths, true lengths and true areas, along the exact lines and arcs of the plan.
//!
//! The surface over a point of the plan is √(1 + s'² + c'²) times as large, s' and c' the slopes of sheer and camber.
//! By Green's theorem the area over a region is the integral of -P dx along its boundary, P the integral of
//! that factor from the centreline out: no polygon, no grid. Both integrals are Gauss and Legendre's.

use super::Surface;
use super::quadrature::adaptive;
use crate::shape::{Region, Ring, Segment};
use crate::units::Length;

/// Arcs are taken in parts of no more than this, radians.
const PART: f64 = 1.6;

impl Surface {
    /// Girth from the centreline out to the distance `y`, square to the centreline; negative to port.
    ///
    /// ```
    /// # use spile::{layout, work_out};
    /// # let text = r#"
    /// # title = "Deck"
    /// # [[deck]]
    /// # id = "deck"
    /// # outline = { points = [[0, -1500], [4000, -1500], [4000, 1500], [0, 1500]] }
    /// # camber = { rise = 60, beam = 3000 }
    /// # "#;
    /// # let layout = layout::read(text).expect("no fault");
    /// # let job = work_out(layout, &layout::Sources::default()).expect("no fault");
    /// # let surface = job.decks[0].surface.as_ref().expect("there is camber");
    /// use spile::units::Length;
    /// // A deck 3 m wide with a parabolic camber of 60 mm.
    /// let girth = surface.girth(Length::mm(1500.0));
    /// assert!((2.0 * girth.to_mm() - 3003.197).abs() < 5e-4);
    /// ```
    #[must_use]
    pub fn girth(&self, y: Length) -> Length {
        Length::mm(
            self.camber
                .integral(y.to_mm(), |square| (1.0 + square).sqrt()),
        )
    }

    /// Length of a segment of the plan on the surface over it.
    #[must_use]
    pub fn length(&self, segment: &Segment) -> Length {
        let speed = segment.length();
        let length = |piece: &Segment| {
            adaptive(0.0, 1.0, &|share| {
                let along = piece.direction_at(share);
                let climb = self.slope(piece.point_at(share)).dot(along);
                climb.hypot(1.0)
            }) * piece.length()
        };
        if speed == 0.0 {
            return Length::ZERO;
        }
        Length::mm(parts(segment).iter().map(length).sum())
    }

    /// Length of several segments together.
    #[must_use]
    pub fn length_of<'a>(&self, segments: impl IntoIterator<Item = &'a Segment>) -> Length {
        segments
            .into_iter()
            .fold(Length::ZERO, |sum, segment| sum + self.length(segment))
    }

    /// Length of all rings of a region of the plan on the surface over it.
    #[must_use]
    pub fn perimeter(&self, region: &Region) -> Length {
        self.length_of(region.segments())
    }

    /// Area of the surface over what a ring of the plan encloses, mm²; positive where it runs counter-clockwise.
    #[must_use]
    pub fn ring_area(&self, ring: &Ring) -> f64 {
        // Not `sum`, whose nothing is -0.
        ring.segments()
            .iter()
            .flat_map(parts)
            .fold(0.0, |sum, segment| sum - self.swept(&segment))
    }

    /// Area of the surface over a region of the plan, mm².
    #[must_use]
    pub fn area(&self, region: &Region) -> f64 {
        region
            .rings()
            .iter()
            .fold(0.0, |sum, ring| sum + self.ring_area(ring))
    }

    /// Area of the surface between a segment and the centreline, negative where the segment runs forward or
    /// lies to port.
    fn swept(&self, segment: &Segment) -> f64 {
        let length = segment.length();
        if length == 0.0 || segment.direction_at(0.5).x == 0.0 && is_line(segment) {
            return 0.0;
        }
        length
            * adaptive(0.0, 1.0, &|share| {
                let at = segment.point_at(share);
                let slope = self.sheer.slope(at.x);
                let level = 1.0 + slope * slope;
                let out = self.camber.integral(at.y, |square| (level + square).sqrt());
                out * segment.direction_at(share).x
            })
    }

    /// Length of the centreline from one station to another.
    #[must_use]
    pub fn along_centreline(&self, from: Length, to: Length) -> Length {
        Length::mm(self.sheer.arc_length(from.to_mm(), to.to_mm()))
    }
}

const fn is_line(segment: &Segment) -> bool {
    matches!(segment, Segment::Line(..))
}

/// A segment in parts, none of which turns far.
fn parts(segment: &Segment) -> Vec<Segment> {
    let turn = match segment {
        Segment::Line(..) => 0.0,
        Segment::Arc(arc) => arc.sweep.abs(),
    };
    let mut count = 1.0;
    while turn > PART * count {
        count += 1.0;
    }
    let mut parts = Vec::new();
    let mut part = 0.0;
    while part < count {
        parts.push(segment.part(part / count, (part + 1.0) / count));
        part += 1.0;
    }
    parts
}
