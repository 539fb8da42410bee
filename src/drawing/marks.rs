//! The one list of marks a drawing is: paths of lines and arcs, and texts, in millimetres on the sheet,
//! y up from the lower left corner. No file format is known here; every writer reads this list.

use super::paper::Scale;
use super::text;
use crate::shape::{BoundingBox, Point, Region, Ring, Segment, chain_parts_in};

/// A finished sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Width of the sheet, millimetres.
    pub width: f64,
    /// Height of the sheet, millimetres.
    pub height: f64,
    /// What the drawing is called.
    pub title: String,
    /// What it shows, in one sentence, for people who hear a drawing rather than see it.
    pub description: String,
    /// Its scale.
    pub scale: Scale,
    /// The frame inside which everything lies.
    pub frame: BoundingBox,
    /// Its marks, the first drawn undermost.
    pub marks: Vec<Mark>,
    /// Labels that found no room; the sheet says so too.
    pub unplaced: Vec<String>,
}

impl Drawing {
    /// The box of every text on the sheet.
    #[must_use]
    pub fn text_boxes(&self) -> Vec<TextBox> {
        self.texts().map(Text::text_box).collect()
    }

    /// Every text on the sheet.
    pub fn texts(&self) -> impl Iterator<Item = &Text> {
        self.marks.iter().filter_map(|mark| match mark {
            Mark::Text(text) => Some(text),
            Mark::Path(_) => None,
        })
    }
}

/// One mark.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// Lines, arcs or a tint.
    Path(Path),
    /// A line of text.
    Text(Text),
}

impl Mark {
    /// The mark shifted on its sheet.
    pub(super) fn shifted(&self, by: Point) -> Self {
        match self {
            Self::Path(path) => Self::Path(Path {
                runs: path.runs.iter().map(|run| run.shifted(by)).collect(),
                ..path.clone()
            }),
            Self::Text(text) => Self::Text(Text {
                at: text.at + by,
                ..text.clone()
            }),
        }
    }
}

/// What a mark belongs to; writers keep layers apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Layer {
    /// Fine lines that fill fields of non-skid.
    Hatch,
    /// What film or paper covers.
    Cover,
    /// Bodies of edge tape.
    EdgeTape,
    /// Bodies of line tape.
    LineTape,
    /// Edges of fields.
    Fields,
    /// The deck's edge.
    Outline,
    /// Where areas kept smooth and pads end.
    Areas,
    /// Openings.
    Openings,
    /// Fittings.
    Fittings,
    /// The centreline.
    Centreline,
    /// Dimensions and the station scale.
    Dimensions,
    /// Ties of a survey.
    Ties,
    /// Points of a survey, how precisely they are known, how far their ties are off.
    Points,
    /// How far grip is, as tints.
    Grip,
    /// Lines that people walk and places where they step.
    Walks,
    /// Names and their leaders.
    Labels,
    /// Frame, title block, legend and notes.
    Sheet,
}

impl Layer {
    /// A name for programs.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Hatch => "hatch",
            Self::Cover => "cover",
            Self::EdgeTape => "edge-tape",
            Self::LineTape => "line-tape",
            Self::Fields => "fields",
            Self::Outline => "outline",
            Self::Areas => "areas",
            Self::Openings => "openings",
            Self::Fittings => "fittings",
            Self::Centreline => "centreline",
            Self::Dimensions => "dimensions",
            Self::Ties => "ties",
            Self::Points => "points",
            Self::Grip => "grip",
            Self::Walks => "walks",
            Self::Labels => "labels",
            Self::Sheet => "sheet",
        }
    }
}

/// Lines and arcs drawn with one pen, and the tint inside them.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// What it belongs to.
    pub layer: Layer,
    /// Its pieces.
    pub runs: Vec<Run>,
    /// What its lines are drawn with; none for a tint alone.
    pub pen: Option<Pen>,
    /// What its inside is filled with.
    pub fill: Fill,
    /// The field whose edge it is, where it is one that can be pointed at.
    pub field: Option<FieldTag>,
}

/// Which field an edge belongs to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldTag {
    /// The deck's id.
    pub deck: String,
    /// What the deck is called.
    pub deck_title: String,
    /// The field's own id: `F1`, `F2`, …
    pub id: String,
}

/// Segments that follow each other.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// The segments.
    pub segments: Vec<Segment>,
    /// Whether the last joins the first.
    pub closed: bool,
}

impl Run {
    /// A run of straight lines through some points.
    #[must_use]
    pub fn open(points: &[Point]) -> Self {
        Self {
            segments: points
                .windows(2)
                .map(|pair| Segment::Line(pair[0], pair[1]))
                .collect(),
            closed: false,
        }
    }

    /// A closed ring.
    #[must_use]
    pub fn closed(ring: &Ring) -> Self {
        Self {
            segments: ring.segments().to_vec(),
            closed: true,
        }
    }

    /// What of it lies in a box.
    #[must_use]
    pub fn parts_in(&self, bounds: &BoundingBox) -> Vec<Self> {
        let parts = chain_parts_in(&self.segments, self.closed, bounds);
        match parts.as_slice() {
            [whole] if *whole == self.segments => vec![self.clone()],
            _ => {
                let open = |segments| Self {
                    segments,
                    closed: false,
                };
                parts.into_iter().map(open).collect()
            }
        }
    }

    fn shifted(&self, by: Point) -> Self {
        Self {
            segments: self
                .segments
                .iter()
                .map(|segment| segment.moved(&|point| point + by))
                .collect(),
            closed: self.closed,
        }
    }

    /// All rings of a region.
    #[must_use]
    pub fn rings(region: &Region) -> Vec<Self> {
        region.rings().iter().map(Self::closed).collect()
    }
}

/// A pen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    /// Width of its line, millimetres.
    pub width: f64,
    /// How the line is broken.
    pub dash: Dash,
}

impl Pen {
    /// An unbroken line.
    #[must_use]
    pub const fn solid(width: f64) -> Self {
        Self {
            width,
            dash: Dash::Solid,
        }
    }
}

/// How a line is broken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dash {
    /// Not at all.
    Solid,
    /// Short dashes.
    Dashed,
    /// Dots: a limit that is no edge of its own.
    Dotted,
    /// Long dash, dot: a centreline.
    Chain,
}

impl Dash {
    /// Lengths of line and gap in turn, millimetres.
    #[must_use]
    pub const fn pattern(self) -> &'static [f64] {
        match self {
            Self::Solid => &[],
            Self::Dashed => &[2.0, 1.0],
            Self::Dotted => &[0.6, 0.9],
            Self::Chain => &[10.0, 1.5, 0.8, 1.5],
        }
    }
}

/// What the inside of a path is filled with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fill {
    /// Nothing.
    None,
    /// A flat grey: 0 black, 255 white.
    Grey(u8),
}

/// A line of text.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// What it belongs to.
    pub layer: Layer,
    /// Where its anchor stands: on the baseline.
    pub at: Point,
    /// Height of its capitals, millimetres.
    pub height: f64,
    /// Which part of it stands at `at`.
    pub anchor: Anchor,
    /// Angle of its baseline, radians counter-clockwise.
    pub turn: f64,
    /// How heavy it is.
    pub weight: Weight,
    /// What it says; only characters that the font has.
    pub content: String,
}

impl Text {
    /// Where its baseline starts.
    #[must_use]
    pub fn start(&self) -> Point {
        let share = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => 0.5,
            Anchor::End => 1.0,
        };
        self.at - Point::at_angle(self.turn) * (self.width() * share)
    }

    /// Its width, millimetres.
    #[must_use]
    pub fn width(&self) -> f64 {
        text::width(&self.content, self.height, self.weight)
    }

    /// The box around it, descenders and accents included.
    #[must_use]
    pub fn text_box(&self) -> TextBox {
        let (along, up) = (
            Point::at_angle(self.turn),
            Point::at_angle(self.turn).left(),
        );
        let low = self.start() - up * (self.height * text::DESCENT);
        TextBox::new(
            low,
            along * self.width(),
            up * (self.height * text::BOX_HEIGHT),
        )
    }
}

/// Which part of a text stands at its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Its start.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// How heavy a text is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// Regular.
    Regular,
    /// Bold.
    Bold,
}

/// A rectangle at any angle, as a text fills it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TextBox {
    /// Its corners, counter-clockwise from the start of the baseline side.
    pub corners: [Point; 4],
}

impl TextBox {
    /// The rectangle on `corner` spanned by two vectors square to each other.
    #[must_use]
    pub fn new(corner: Point, along: Point, up: Point) -> Self {
        Self {
            corners: [corner, corner + along, corner + along + up, corner + up],
        }
    }

    /// The box with `by` added on every side.
    #[must_use]
    pub fn grown(&self, by: f64) -> Self {
        let [a, b, c, d] = self.corners;
        let (along, up) = ((b - a).unit() * by, (d - a).unit() * by);
        Self {
            corners: [
                a - along - up,
                b + along - up,
                c + along + up,
                d - along + up,
            ],
        }
    }

    /// Its middle.
    #[must_use]
    pub fn centre(&self) -> Point {
        self.corners[0].towards(self.corners[2], 0.5)
    }

    /// The smallest box along the axes around it.
    #[must_use]
    pub fn bounding_box(&self) -> BoundingBox {
        BoundingBox::of_points(self.corners)
    }

    /// Whether two boxes have more than a touch in common (separating axes: the sides of both).
    #[must_use]
    pub fn overlaps(&self, other: &Self) -> bool {
        let axes = [self, other].into_iter().flat_map(|one| {
            let [a, b, _, d] = one.corners;
            [(b - a).unit(), (d - a).unit()]
        });
        axes.into_iter().all(|axis| {
            let (a, b) = (self.extent(axis), other.extent(axis));
            a.0 < b.1 - 1e-9 && b.0 < a.1 - 1e-9
        })
    }

    /// Which part of the line from `start` to `end` lies in it, as shares of the way.
    #[must_use]
    pub fn part_of_line(&self, start: Point, end: Point) -> Option<(f64, f64)> {
        let [a, b, _, d] = self.corners;
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        for side in [b - a, d - a] {
            let axis = side.unit();
            let (at, step) = ((start - a).dot(axis), (end - start).dot(axis));
            let length = side.length();
            if step.abs() < 1e-12 {
                if at < 0.0 || at > length {
                    return None;
                }
                continue;
            }
            let (first, second) = (-at / step, (length - at) / step);
            from = from.max(first.min(second));
            to = to.min(first.max(second));
        }
        (from < to).then_some((from, to))
    }

    fn extent(&self, axis: Point) -> (f64, f64) {
        self.corners.iter().fold(
            (f64::INFINITY, f64::NEG_INFINITY),
            |(least, most), corner| {
                let at = corner.dot(axis);
                (least.min(at), most.max(at))
            },
        )
    }
}
