//! From what was measured to rings: the deck's edge with its named edges, and every opening, fitting,
//! smooth area, strip and pad as a ring on it. Comes in: a [`Deck`](crate::layout::Deck). Goes out: a
//! [`DeckPlan`], or the faults that keep it from being one, each at the entry that causes it.

mod drafting;
mod drawn;
pub mod fairness;
mod findings;
mod fixed;
mod footing;
mod half_breadths;
pub mod measuring;
mod points;
mod rounding;
mod settled;
mod shapes;
mod standing;
mod strips;
mod ties;
mod trace;
mod tracing;
mod walk;

pub use drafting::{Drafting, UnitFrom};
pub use drawn::{FixedDrawing, Lie};
pub use fairness::Fairness;
pub use fixed::{Fixed, fix};
pub use settled::settled;
pub use ties::{Surveyed, SurveyedPoint, SurveyedTie};
pub use trace::{trace, trace_with};
pub use tracing::{FittedMark, MarkFit, TracedBy, Tracing};

use crate::layout::{Fault, Place, Radii};
use crate::shape::{Point, Region, Ring};
use crate::units::{Length, LengthUnit};

/// How closely a deck is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Scrutiny {
    /// Its lines, and what keeps it from being a deck; but not whether its half-breadths are fair, nor where a hair decides over
    /// its fields: for a deck that is still being moved about. Its lines are the same.
    Quick,
    /// Everything.
    #[default]
    Full,
}

/// A deck with everything measured on it turned to rings.
#[derive(Debug, Clone)]
pub struct DeckPlan {
    /// The deck's id.
    pub id: String,
    /// What people call it (the id where nothing else was said).
    pub title: String,
    /// The layout's unit, for what is said to people.
    pub units: LengthUnit,
    /// Its edge.
    pub outline: EdgeRing,
    /// Openings, in the file's order, mirror images after their originals.
    pub openings: Vec<Placement>,
    /// Fittings likewise.
    pub fittings: Vec<Placement>,
    /// Areas kept smooth.
    pub smooth: Vec<NamedRing>,
    /// Pads; where there is any, non-skid is laid only inside.
    pub pads: Vec<NamedRing>,
    /// Strips as regions, each with its width.
    pub strips: Vec<StripShape>,
    /// Lines that people walk, mirror images after their originals.
    pub walks: Vec<WalkLine>,
    /// Places where they step, likewise.
    pub footholds: Vec<FootholdAt>,
    /// Length over which the margin changes where edges run on into each other.
    pub blend: Option<Length>,
    /// Corner radii of fields.
    pub radius: Radii,
    /// Least width of a field.
    pub least_width: Length,
    /// Least area of a field, mm².
    pub least_area_mm2: f64,
    /// Where people get off it.
    pub ways_off: Vec<WayOff>,
    /// What its half-breadths are worth, where it was measured by such.
    pub fairness: Option<Fairness>,
}

impl DeckPlan {
    /// Whether a pattern is laid out on both alike: all but where in the file the entries stand.
    #[must_use]
    pub fn has_shapes_of(&self, other: &Self) -> bool {
        // Whatever is added to a plan has to be thought of here.
        let Self {
            id,
            title,
            units,
            outline,
            openings,
            fittings,
            smooth,
            pads,
            strips,
            // They lie on a pattern and do not shape it; what they are worth hangs on them alone.
            walks: _,
            footholds: _,
            ways_off: _,
            fairness: _,
            blend,
            radius,
            least_width,
            least_area_mm2,
        } = self;
        let placed = |one: &[Placement], other: &[Placement]| {
            one.iter()
                .map(Placement::without_place)
                .eq(other.iter().map(Placement::without_place))
        };
        let rings = |one: &[NamedRing], other: &[NamedRing]| {
            let plain = |ring: &NamedRing| (ring.name.clone(), ring.ring.clone());
            one.iter().map(plain).eq(other.iter().map(plain))
        };
        id == &other.id
            && title == &other.title
            && units == &other.units
            && outline == &other.outline
            && placed(openings, &other.openings)
            && placed(fittings, &other.fittings)
            && rings(smooth, &other.smooth)
            && rings(pads, &other.pads)
            && strips.len() == other.strips.len()
            && strips
                .iter()
                .zip(&other.strips)
                .all(|(one, other)| one.width == other.width && one.middle == other.middle)
            && blend == &other.blend
            && radius == &other.radius
            && least_width == &other.least_width
            && least_area_mm2 == &other.least_area_mm2
    }
}

/// A place where people get off a deck.
#[derive(Debug, Clone, PartialEq)]
pub struct WayOff {
    /// What people call it.
    pub name: String,
    /// Where it is.
    pub at: Point,
    /// The entry.
    pub place: Place,
    /// The id of the deck that people come to; none where they leave the boat.
    pub onto: Option<String>,
}

/// The deck's edge: a counter-clockwise ring and the named edges it is made of.
#[derive(Debug, Clone, PartialEq)]
pub struct EdgeRing {
    /// The ring, deck on its left.
    pub ring: Ring,
    /// For each segment of the ring, which of `edges` it belongs to. The arc that rounds a corner belongs
    /// to the edge with the larger margin; where both have the same, to the one that leaves the corner
    /// in the order given.
    pub edge_of_segment: Vec<usize>,
    /// The edges, in the order they were given in, which may run either way round; for half-breadths
    /// `"forward"`, `"port"`, `"aft"`, `"starboard"` as far as there are such.
    pub edges: Vec<Edge>,
}

/// One edge of the outline, from corner to corner.
#[derive(Debug, Clone, PartialEq)]
pub struct Edge {
    /// Its name, where it has one.
    pub name: Option<String>,
    /// Its margin.
    pub margin: Length,
}

/// An opening or a fitting where it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Placement {
    /// What people call it.
    pub name: String,
    /// Its edge, counter-clockwise; may reach beyond the deck.
    pub ring: Ring,
    /// Distance kept from it.
    pub margin: Length,
    /// False for a fitting lifted for the job.
    pub in_place: bool,
    /// True for an opening with a lid of glass or acrylic.
    pub is_glazed: bool,
    /// True for the mirror image that `both_sides` made.
    pub is_mirror_image: bool,
    /// The entry it came from.
    pub place: Place,
}

impl Placement {
    /// The same, wherever in the file its entry stands.
    fn without_place(&self) -> Self {
        Self {
            place: Place::default(),
            ..self.clone()
        }
    }
}

/// An area kept smooth, or a pad.
#[derive(Debug, Clone)]
pub struct NamedRing {
    /// What people call it.
    pub name: String,
    /// Its edge, counter-clockwise; may reach beyond the deck.
    pub ring: Ring,
    /// The entry it came from.
    pub place: Place,
}

/// A line that people walk.
#[derive(Debug, Clone, PartialEq)]
pub struct WalkLine {
    /// What people call it.
    pub name: String,
    /// Its points; it may run beyond the deck.
    pub points: Vec<Point>,
}

/// A place where people step.
#[derive(Debug, Clone, PartialEq)]
pub struct FootholdAt {
    /// What people call it.
    pub name: String,
    /// Where it is, on the deck or just beside it.
    pub at: Point,
}

/// One smooth band.
#[derive(Debug, Clone)]
pub struct StripShape {
    /// Its width.
    pub width: Length,
    /// Its middle line, as points.
    pub middle: Vec<Point>,
    /// The band itself, clipped to nothing: it may reach beyond the deck.
    pub region: Region,
    /// The entry it came from.
    pub place: Place,
}

/// A warning about a deck, with a word for programs and a sentence for people.
#[derive(Debug, Clone, PartialEq)]
pub struct Warning {
    /// The deck's id; empty where it is about the whole file.
    pub deck: String,
    /// A stable word that programs can match.
    pub code: &'static str,
    /// What is the matter, where, and what would help.
    pub message: String,
    /// The entry at fault, where there is one.
    pub place: Option<Place>,
    /// Where on the deck, where there is such a place.
    pub at: Option<Point>,
}

impl Warning {
    /// The message, after the deck it is about.
    #[must_use]
    pub fn sentence(&self) -> String {
        if self.deck.is_empty() {
            self.message.clone()
        } else {
            format!("{}: {}", self.deck, self.message)
        }
    }
}

/// A deck's rings with what is to be said of them, or its faults.
pub type Traced = Result<(DeckPlan, Vec<Warning>), Vec<Fault>>;

/// Where on a deck a point lies, in words: station, and distance off the centreline.
#[must_use]
pub fn whereabouts(point: Point, units: LengthUnit) -> String {
    let station = format!("station {}", Length::mm(point.x).show(units));
    if point.y.abs() < 0.05 {
        return format!("{station}, on the centreline");
    }
    let side = if point.y > 0.0 { "starboard" } else { "port" };
    format!(
        "{station}, {} to {side}",
        Length::mm(point.y.abs()).show(units)
    )
}
