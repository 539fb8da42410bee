//! What a layout file says, once read: every length a [`Length`], every default filled in, and the
//! places that later stages need to point at. Nothing is computed here.

use super::{Foothold, Place, Placed, UnderfootSettings, Walk, WeatherSource, Work};
use crate::shape::Point;
use crate::units::{Length, LengthUnit};

/// Where a point is.
#[derive(Debug, Clone, PartialEq)]
pub enum Position {
    /// At these coordinates.
    At(Point),
    /// Where the survey finds the point of this name.
    Named(Placed<String>),
}

impl From<Point> for Position {
    fn from(point: Point) -> Self {
        Self::At(point)
    }
}

/// A whole layout file.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// Title of the job.
    pub title: String,
    /// Unit of bare numbers, and the unit in which figures are shown.
    pub units: LengthUnit,
    /// Points found with a tape measure.
    pub survey: Option<Survey>,
    /// The drawings that outlines and shapes are taken from.
    pub drawings: Vec<DrawingFile>,
    /// The decks, one at least.
    pub decks: Vec<Deck>,
    /// The tape and film the job uses.
    pub tape: Tape,
    /// Products, steps, people, money.
    pub work: Work,
    /// From which size on something underfoot is pointed out.
    pub underfoot: UnderfootSettings,
}

impl Layout {
    /// The files that it names, by their paths from its own folder: drawings, products that it shares, a table of hours.
    pub fn named_files(&self) -> impl Iterator<Item = NamedFile<'_>> {
        let drawings = self.drawings.iter().map(|drawing| NamedFile {
            what: "drawing",
            path: &drawing.file,
        });
        let products = self.work.products_file.iter().map(|path| NamedFile {
            what: "products file",
            path,
        });
        let weather = self.work.weather.iter().filter_map(|source| match source {
            WeatherSource::Hours { file, .. } => Some(NamedFile {
                what: "table of hours",
                path: file,
            }),
            WeatherSource::Months(_) => None,
        });
        drawings.chain(products).chain(weather)
    }
}

/// A file that a layout names.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NamedFile<'a> {
    /// What it is, for messages.
    pub what: &'static str,
    /// Its path, as the layout says it.
    pub path: &'a Placed<String>,
}

/// One continuous area to be laid out.
#[derive(Debug, Clone, PartialEq)]
pub struct Deck {
    /// Its unique name.
    pub id: Placed<String>,
    /// What people call it.
    pub title: Option<String>,
    /// The layout's unit, for what is said to people.
    pub units: LengthUnit,
    /// Its edge.
    pub outline: Outline,
    /// Its round athwartships; none: flat.
    pub camber: Option<Camber>,
    /// The curve of its centreline; none: level.
    pub sheer: Option<Sheer>,
    /// Distances kept from edges, openings and fittings.
    pub margin: Margins,
    /// Radii of the fields' corners.
    pub radius: Radii,
    /// What is too small to be a field.
    pub field: LeastField,
    /// Holes in the deck.
    pub openings: Vec<Feature<Opening>>,
    /// Things standing on it.
    pub fittings: Vec<Feature<Fitting>>,
    /// Areas kept smooth.
    pub smooth: Vec<Feature<()>>,
    /// Where any is given, non-skid is laid only inside them.
    pub pads: Vec<Feature<()>>,
    /// Smooth bands that break the non-skid.
    pub strips: Vec<Strip>,
    /// Lines that people walk.
    pub walks: Vec<Walk>,
    /// Places where they step.
    pub footholds: Vec<Foothold>,
    /// Where people get off it while its paint is wet.
    pub ways_off: Vec<WayOff>,
}

/// A place where people get off a deck.
#[derive(Debug, Clone, PartialEq)]
pub struct WayOff {
    /// What people call it.
    pub name: Option<String>,
    /// Where it is.
    pub at: Placed<Position>,
    /// The id of the deck that people come to; none where they leave the boat.
    pub onto: Option<Placed<String>>,
}

/// How a deck's round athwartships was given: one curve for the whole deck.
#[derive(Debug, Clone, PartialEq)]
pub enum Camber {
    /// By its rise over a beam.
    Rise(Rise),
    /// By heights measured here and there.
    Heights(SpotHeights),
}

/// A camber by its rise.
#[derive(Debug, Clone, PartialEq)]
pub struct Rise {
    /// How much higher the middle is than both ends of the beam, positive.
    pub rise: Placed<Length>,
    /// The breadth it was measured over, positive.
    pub beam: Placed<Length>,
    /// Its curve.
    pub form: CamberForm,
}

/// The curve of a camber.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CamberForm {
    /// A parabola, as the trade sets out most deck beams.
    Parabolic,
    /// An arc of a circle.
    Circular,
}

/// Heights measured on a deck.
#[derive(Debug, Clone, PartialEq)]
pub struct SpotHeights {
    /// Where, and how high.
    pub heights: Vec<Placed<SpotHeight>>,
    /// The whole list.
    pub place: Place,
}

/// A place on a deck and its height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpotHeight {
    /// Where, seen from above.
    pub at: Point,
    /// Its height over the level that all are measured from.
    pub height: Length,
}

/// A deck's sheer: heights of its centreline.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheer {
    /// Stations and heights, forward to aft.
    pub heights: Vec<Placed<StationHeight>>,
    /// The whole list.
    pub place: Place,
}

/// A station and the height of the centreline there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StationHeight {
    /// Distance aft from the datum.
    pub station: Length,
    /// Height over the level that all are measured from.
    pub height: Length,
}

/// Where margins, radii and strips have the sizes given.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Measured {
    /// Seen from above.
    #[default]
    Plan,
    /// On the deck's own surface.
    Surface,
}

/// How a deck's edge was given.
#[derive(Debug, Clone, PartialEq)]
pub enum Outline {
    /// Half-breadths, mirrored to both sides.
    HalfBreadths(HalfBreadths),
    /// A closed ring of points.
    Points(PointRing),
    /// A closed ring of a drawing.
    Drawn(Drawn),
}

/// Points found by the distances measured between them.
#[derive(Debug, Clone, PartialEq)]
pub struct Survey {
    /// The points: those that something is known of, then the others in the order of their ties.
    pub points: Vec<SurveyPoint>,
    /// The ties in the file's order.
    pub ties: Vec<Tie>,
    /// The whole entry.
    pub place: Place,
}

/// A point with a name.
#[derive(Debug, Clone, PartialEq)]
pub struct SurveyPoint {
    /// Its name, where it is first given.
    pub name: Placed<String>,
    /// What is known of it before its ties.
    pub known: Known,
}

/// What is known of a point before its ties.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Known {
    /// Nothing.
    #[default]
    Nothing,
    /// Its place.
    At(Point),
    /// That it lies on the centreline.
    Centreline,
    /// The side it lies on, where its ties leave both.
    Side(Side),
    /// Roughly its place, where its ties leave two.
    Near(Point),
}

/// A side of the deck.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Left, looking forward.
    Port,
    /// Right, looking forward.
    Starboard,
}

/// The distance between two points as measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Tie {
    /// The point at one end, by its number in [`Survey::points`].
    pub from: usize,
    /// The point at the other.
    pub to: usize,
    /// The distance.
    pub length: Length,
    /// Its standard deviation.
    pub precision: Length,
    /// The whole entry.
    pub place: Place,
}

/// What is taken from a drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    /// The drawing, by its number in [`Layout::drawings`].
    pub drawing: usize,
    /// What of it.
    pub what: What,
    /// The entry.
    pub place: Place,
}

/// What is taken from a drawing, by what the drawing calls it.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// The element of an SVG with this id.
    Path(Placed<String>),
    /// Everything on this layer of a DXF.
    Layer(Placed<String>),
    /// The entity of a DXF with this handle.
    Handle(Placed<String>),
}

/// A drawing that outlines and shapes are taken from.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawingFile {
    /// Its path, as the layout says it, from the layout's own folder.
    pub file: Placed<String>,
    /// Its format.
    pub format: DrawingFormat,
    /// How it lies on the deck.
    pub fit: Fit,
    /// The whole entry.
    pub place: Place,
}

/// How a drawing lies on the deck.
#[derive(Debug, Clone, PartialEq)]
pub enum Fit {
    /// As large as its own units say, or as a distance known in it.
    Scaled {
        /// The distance, where one is given.
        scale: Option<KnownDistance>,
        /// Where the bow points in it.
        bow: Bow,
        /// Where the datum lies in it: where nothing is said, one end of the distance, or its own origin.
        origin: Option<Placed<Spot>>,
    },
    /// As its marks say: two or three shift, turn and scale it, four or more rectify a photograph.
    Marks(Vec<DrawnMark>),
    /// As a DXF's coordinates say.
    Coordinates {
        /// The unit of its coordinates, where the layout says it.
        unit: Option<LengthUnit>,
        /// Ends this near are joined.
        gap: Length,
    },
}

/// Where the bow points in a drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Bow {
    /// To the left, as in the drawings of a layout.
    #[default]
    Left,
    /// To the right.
    Right,
    /// Up.
    Up,
    /// Down.
    Down,
}

/// A point of a drawing.
#[derive(Debug, Clone, PartialEq)]
pub enum Spot {
    /// At these coordinates, in the drawing's own units and axes.
    At(Point),
    /// The middle of the thing with this id.
    Middle(String),
}

/// A known distance in a drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct KnownDistance {
    /// One end.
    pub from: Placed<Spot>,
    /// The other end.
    pub to: Placed<Spot>,
    /// The distance on the deck.
    pub length: Placed<Length>,
}

/// A point known in a drawing and on the deck.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnMark {
    /// Where it is drawn.
    pub drawn: Placed<Spot>,
    /// Where it is on the deck.
    pub at: Placed<Position>,
    /// The whole entry.
    pub place: Place,
}

/// The format of a drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DrawingFormat {
    /// Scalable Vector Graphics.
    Svg,
    /// Drawing exchange format, as text.
    Dxf,
}

/// A table of half-breadths.
#[derive(Debug, Clone, PartialEq)]
pub struct HalfBreadths {
    /// The stations and half-breadths, forward to aft; where the sides are given apart, to starboard.
    pub points: Vec<Placed<HalfBreadth>>,
    /// Those to port, where the sides are given apart; empty where they are not.
    pub port: Vec<Placed<HalfBreadth>>,
    /// What is made of two sides given apart.
    pub sides: Sides,
    /// Standard deviation of one half-breadth as measured, beside its rounding.
    pub precision: Length,
    /// How they are joined.
    pub curve: Curve,
    /// Stations where a fair curve breaks to a corner.
    pub knuckles: Vec<Placed<Length>>,
    /// How the sides meet where the first half-breadth is 0.
    pub forward: End,
    /// How the sides meet where the last half-breadth is 0.
    pub aft: End,
    /// The whole table.
    pub place: Place,
}

/// What is made of two sides that were measured apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Sides {
    /// Each stays as measured.
    #[default]
    Both,
    /// Their mean, mirrored.
    Average,
    /// The port side, mirrored.
    Port,
    /// The starboard side, mirrored.
    Starboard,
}

/// A station and the half-breadth there.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct HalfBreadth {
    /// Distance aft from the datum.
    pub station: Length,
    /// Distance from the centreline to the edge, never negative.
    pub breadth: Length,
}

/// How points are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Curve {
    /// As a batten lies through them.
    Fair,
    /// By straight lines.
    Straight,
}

/// How two sides meet on the centreline.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum End {
    /// In a corner.
    #[default]
    Sharp,
    /// The curve crosses the centreline square to it.
    Round,
}

/// A closed ring given by its points; the last joins the first.
#[derive(Debug, Clone, PartialEq)]
pub struct PointRing {
    /// Its corners in order, either way round.
    pub corners: Vec<Corner>,
    /// How they are joined where an edge is not an arc.
    pub curve: Curve,
    /// The whole list.
    pub place: Place,
}

/// One point of a ring and the edge that leaves it.
#[derive(Debug, Clone, PartialEq)]
pub struct Corner {
    /// Where it is.
    pub at: Placed<Position>,
    /// Radius the corner is rounded with.
    pub radius: Option<Placed<Length>>,
    /// Name of the edge that leaves it.
    pub edge: Option<Placed<String>>,
    /// The edge that leaves it is an arc through this point.
    pub through: Option<Placed<Position>>,
    /// A fair curve breaks here.
    pub breaks: bool,
}

/// Distances kept smooth.
#[derive(Debug, Clone, PartialEq)]
pub struct Margins {
    /// From the outline.
    pub edge: Length,
    /// From openings.
    pub opening: Length,
    /// From fittings.
    pub fitting: Length,
    /// From single edges by name; each name is known to exist once the outline stage has run.
    pub edges: Vec<EdgeMargin>,
    /// Length over which the margin changes where edges run on into each other;
    /// none: five times the difference. Zero: a square step.
    pub blend: Option<Length>,
    /// Where they are kept.
    pub measured: Measured,
}

/// The margin of one named edge.
#[derive(Debug, Clone, PartialEq)]
pub struct EdgeMargin {
    /// The edge.
    pub edge: Placed<String>,
    /// Its margin.
    pub margin: Length,
}

/// Radii of the fields' corners.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Radii {
    /// Outward corners.
    pub round: Length,
    /// Inward corners.
    pub hollow: Length,
}

/// What is too small to be a field.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LeastField {
    /// Least width.
    pub width: Length,
    /// Least area in mm².
    pub area_mm2: f64,
}

/// A shape on the deck with its name, and what is said of its kind.
#[derive(Debug, Clone, PartialEq)]
pub struct Feature<K> {
    /// What people call it; required where it is an opening or a fitting.
    pub name: Option<String>,
    /// Its shape.
    pub shape: Shape,
    /// Whether its mirror image in the centreline stands there too.
    pub both_sides: bool,
    /// The whole entry.
    pub place: Place,
    /// What only its kind has.
    pub kind: K,
}

/// What an opening has beside its shape.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Opening {
    /// Its own margin.
    pub margin: Option<Length>,
    /// Whether its lid is glass or acrylic.
    pub glazed: bool,
}

/// What a fitting has beside its shape.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitting {
    /// Its own margin.
    pub margin: Option<Length>,
    /// Whether it stays while the deck is painted.
    pub in_place: bool,
}

/// The shape of a feature.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A rectangle about its centre.
    Rectangle {
        /// Centre.
        at: Position,
        /// Size along x before it is turned.
        along: Length,
        /// Size across, along y before it is turned.
        across: Length,
        /// Corner radius.
        radius: Placed<Length>,
        /// Degrees it is turned, counter-clockwise as drawn (x right, y up).
        turned_degrees: f64,
    },
    /// A circle.
    Circle {
        /// Centre.
        at: Position,
        /// Radius.
        radius: Length,
    },
    /// Every point within half the width of a line.
    Slot {
        /// One end of the line.
        from: Position,
        /// The other.
        to: Position,
        /// Width.
        width: Length,
    },
    /// A ring of points, as in an outline.
    Points(PointRing),
    /// Rings of a drawing, each a shape.
    Drawn(Drawn),
}

/// Smooth bands of one width.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// Width.
    pub width: Length,
    /// Stations of bands athwartships.
    pub across_at: Vec<Length>,
    /// Distances from the centreline of bands fore and aft.
    pub along_at: Vec<Length>,
    /// A band along a line, with square ends.
    pub path: Vec<Position>,
    /// Whether mirror images in the centreline are there too.
    pub both_sides: bool,
    /// The whole entry.
    pub place: Place,
}

/// Tape and film.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tape {
    /// The tape whose edge makes the paint line.
    pub line: TapeRoll,
    /// The tape that covers deck edge, openings and fittings.
    pub edge: TapeRoll,
    /// The film or paper that covers the rest.
    pub film: FilmRoll,
}

/// A kind of tape.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TapeRoll {
    /// Width.
    pub width: Length,
    /// Length on a roll.
    pub roll: Length,
    /// Overlap at a run's end.
    pub lap: Length,
    /// The least radius that its middle bends round.
    pub least_radius: Length,
}

impl TapeRoll {
    /// Least radius of a tape's middle by its width, where the layout does not say. Bent in its own plane to a radius R, a
    /// tape of width w stretches at its outer edge by w / 2R: at five widths by a tenth. How much a tape takes without
    /// creeping back is common practice, no source; vinyl takes more than paper, so the layout may say.
    pub const RADIUS_BY_WIDTH: f64 = 5.0;
}

/// A kind of film.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FilmRoll {
    /// Width.
    pub width: Length,
    /// Length on a roll.
    pub roll: Length,
}

impl Default for Tape {
    fn default() -> Self {
        Self {
            line: TapeRoll {
                width: Length::mm(19.0),
                roll: Length::mm(33_000.0),
                lap: Length::mm(50.0),
                least_radius: Length::mm(19.0 * TapeRoll::RADIUS_BY_WIDTH),
            },
            edge: TapeRoll {
                width: Length::mm(36.0),
                roll: Length::mm(50_000.0),
                lap: Length::mm(50.0),
                least_radius: Length::mm(36.0 * TapeRoll::RADIUS_BY_WIDTH),
            },
            film: FilmRoll {
                width: Length::mm(900.0),
                roll: Length::mm(20_000.0),
            },
        }
    }
}
