//! What a cutter is given. Comes in: a worked out [`Job`] and a [`CutRequest`]. Goes out: a [`CutFile`], lines and arcs at
//! full size on named layers, in the deck's own millimetres (x aft, y to starboard). No file format is known here.

mod bridges;

use std::fmt;

use super::full_size::{FullSize, FullSizeDeck, FullSizeFault, LineKind, Wanted, full_size};
use super::marks::{Anchor, Layer, Run, Text, Weight};
use super::text;
use crate::Job;
use crate::outline::whereabouts;
use crate::shape::{BoundingBox, Point, Region, Segment, turn_between};
use crate::units::{Length, LengthUnit};

pub use bridges::BridgeFault;

/// Height of a field's name where there is room, millimetres.
const NAME_HEIGHT: f64 = 25.0;
/// From everything else to the registration crosses, millimetres.
const REGISTRATION_CLEAR: f64 = 20.0;
/// Arm of a registration cross, millimetres.
const ARM: f64 = 10.0;
/// Decks whose fields have less than this in common do not lie over each other, mm².
const IN_COMMON: f64 = 1.0;
/// A knife turns where a line does by more than this, radians: 5°.
const CORNER: f64 = 0.087;
/// Places a name is tried at in each direction.
const PLACES: u32 = 24;

/// What a line in a cutter's file is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CutLayer {
    /// Where non-skid and border meet.
    PaintLine,
    /// Edges of the windows of a stencil, islands held by bridges.
    Stencil,
    /// Whole edges of fields, the parts that lie on a deck's edge included.
    Field,
    /// The middle of the line tape of the first pass.
    TapeFirst,
    /// The middle of the line tape of the reversed pass.
    TapeReversed,
    /// The deck's edge.
    DeckEdge,
    /// Edges of openings.
    Opening,
    /// Edges of fittings.
    Fitting,
    /// The centreline.
    Centreline,
    /// Crosses that what is cut is laid by.
    Registration,
    /// Rectangles round what is weeded in one piece.
    WeedBox,
    /// Names.
    Text,
}

impl CutLayer {
    /// All of them.
    pub const ALL: [Self; 12] = [
        Self::PaintLine,
        Self::Stencil,
        Self::Field,
        Self::TapeFirst,
        Self::TapeReversed,
        Self::DeckEdge,
        Self::Opening,
        Self::Fitting,
        Self::Centreline,
        Self::Registration,
        Self::WeedBox,
        Self::Text,
    ];

    /// Its name in the file.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::PaintLine => "PAINT-LINE",
            Self::Stencil => "STENCIL",
            Self::Field => "FIELD",
            Self::TapeFirst => "TAPE-FIRST",
            Self::TapeReversed => "TAPE-REVERSED",
            Self::DeckEdge => "DECK-EDGE",
            Self::Opening => "OPENING",
            Self::Fitting => "FITTING",
            Self::Centreline => "CENTRELINE",
            Self::Registration => "REGISTRATION",
            Self::WeedBox => "WEED-BOX",
            Self::Text => "TEXT",
        }
    }

    const fn of_line(kind: LineKind) -> Self {
        match kind {
            LineKind::PaintLine => Self::PaintLine,
            LineKind::TapeFirst => Self::TapeFirst,
            LineKind::TapeReversed => Self::TapeReversed,
            LineKind::DeckEdge => Self::DeckEdge,
            LineKind::Opening => Self::Opening,
            LineKind::Fitting => Self::Fitting,
            LineKind::Centreline => Self::Centreline,
        }
    }
}

/// What of a job is cut, and how.
#[derive(Debug, Clone, PartialEq)]
pub struct CutRequest {
    /// One deck by its id; none: all decks.
    pub deck: Option<String>,
    /// Fields by their names; empty: all.
    pub fields: Vec<String>,
    /// What is written.
    pub layers: Vec<CutLayer>,
    /// How names are written.
    pub lettering: Lettering,
    /// For stencil film: the width of the bridges that hold islands.
    pub bridge: Option<Length>,
    /// How far outside a piece its weeding box runs, where one is wanted.
    pub weed_box: Option<Length>,
}

impl Default for CutRequest {
    /// Every line of all decks, with the fields' names as text.
    fn default() -> Self {
        Self {
            deck: None,
            fields: Vec::new(),
            layers: vec![
                CutLayer::PaintLine,
                CutLayer::TapeFirst,
                CutLayer::TapeReversed,
                CutLayer::DeckEdge,
                CutLayer::Opening,
                CutLayer::Fitting,
                CutLayer::Centreline,
                CutLayer::Registration,
            ],
            lettering: Lettering::Text,
            bridge: None,
            weed_box: None,
        }
    }
}

/// How names are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lettering {
    /// Not at all.
    None,
    /// As text.
    Text,
    /// As outlines of the letters.
    Outlines,
}

/// Everything that is cut, at full size.
#[derive(Debug, Clone, PartialEq)]
pub struct CutFile {
    /// Title of the job.
    pub title: String,
    /// Unit of the layout.
    pub units: LengthUnit,
    /// Lines and arcs, layer by layer.
    pub paths: Vec<CutPath>,
    /// Names, where they are written as text.
    pub texts: Vec<Text>,
    /// Decks whose fields lie over each other as they stand.
    pub overlapping: Vec<[String; 2]>,
    /// Decks that are laid flat, by their titles.
    pub developed: Vec<String>,
}

/// A line that is cut.
#[derive(Debug, Clone, PartialEq)]
pub struct CutPath {
    /// What it is.
    pub layer: CutLayer,
    /// The deck it belongs to, by its id; empty for what belongs to all.
    pub deck: String,
    /// The field it belongs to.
    pub field: Option<String>,
    /// Where it runs.
    pub run: Run,
}

/// A bend tighter than the cutter follows.
#[derive(Debug, Clone, PartialEq)]
pub struct TightBend {
    /// What it is part of.
    pub layer: CutLayer,
    /// Deck, by its id.
    pub deck: String,
    /// Field.
    pub field: Option<String>,
    /// The middle of the arc, or the corner.
    pub at: Point,
    /// Its radius; none for a sharp corner.
    pub radius: Option<Length>,
}

impl TightBend {
    /// The bend in words.
    #[must_use]
    pub fn sentence(&self, units: LengthUnit) -> String {
        let what = match self.radius {
            Some(radius) => format!("an arc of radius {}", radius.show_fine(units)),
            None => "a sharp corner".to_owned(),
        };
        let field = match &self.field {
            Some(field) => format!(" {field}"),
            None => String::new(),
        };
        format!(
            "{}{field}, {}: {what} at {}",
            self.deck,
            self.layer.name(),
            whereabouts(self.at, units)
        )
    }
}

impl CutFile {
    /// The box around every line.
    #[must_use]
    pub fn bounding_box(&self) -> BoundingBox {
        bounds(&self.paths)
    }

    /// Arcs of a smaller radius than `least`, and corners.
    #[must_use]
    pub fn tighter_than(&self, least: Length) -> Vec<TightBend> {
        let mut found = Vec::new();
        let lines = self.paths.iter().filter(|path| {
            !matches!(
                path.layer,
                CutLayer::Registration | CutLayer::WeedBox | CutLayer::Text
            )
        });
        for path in lines {
            let mut add = |at, radius: Option<f64>| {
                found.push(TightBend {
                    layer: path.layer,
                    deck: path.deck.clone(),
                    field: path.field.clone(),
                    at,
                    radius: radius.map(Length::mm),
                });
            };
            let segments = &path.run.segments;
            for (index, segment) in segments.iter().enumerate() {
                if let Segment::Arc(arc) = segment
                    && arc.radius < least.to_mm()
                {
                    add(segment.point_at(0.5), Some(arc.radius));
                }
                let next = match segments.get(index + 1) {
                    None if path.run.closed => segments.first(),
                    next => next,
                };
                if let Some(next) = next
                    && turn_between(segment, next).abs() > CORNER
                {
                    add(segment.end(), None);
                }
            }
        }
        found
    }
}

/// Why there is nothing to cut.
#[derive(Debug, Clone, PartialEq)]
pub enum CutFault {
    /// What was asked for is not there.
    FullSize(FullSizeFault),
    /// An island cannot be held.
    Bridge {
        /// Deck, by its id.
        deck: String,
        /// Field.
        field: String,
        /// Why not.
        why: BridgeFault,
        /// Unit of what is said.
        units: LengthUnit,
    },
    /// Nothing is left of what was asked for.
    Nothing,
}

impl fmt::Display for CutFault {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::FullSize(fault) => fault.fmt(formatter),
            Self::Bridge {
                deck,
                field,
                why,
                units,
            } => write!(formatter, "{deck} {field}: {}", why.sentence(*units)),
            Self::Nothing => formatter.write_str("there is no line on the layers asked for"),
        }
    }
}

impl std::error::Error for CutFault {}

/// What is cut of a job.
///
/// # Errors
/// Where there is no such deck or field, an island cannot be held by bridges, or no line is on the layers asked for.
pub fn cut(job: &Job, request: &CutRequest) -> Result<CutFile, CutFault> {
    let wanted = Wanted {
        deck: request.deck.clone(),
        fields: request.fields.clone(),
        ..Wanted::default()
    };
    let all = full_size(job, &wanted).map_err(CutFault::FullSize)?;
    let mut paths = Vec::new();
    for deck in &all.decks {
        paths.extend(lines(deck, request, all.units)?);
    }
    if paths.is_empty() {
        return Err(CutFault::Nothing);
    }
    if let Some(clear) = request.weed_box {
        paths.extend(weed_boxes(&all, clear.to_mm()));
    }
    let texts = names(&all);
    if request.lettering == Lettering::Outlines {
        paths.extend(texts.iter().flat_map(|name| {
            let letters = text::outlines(name).into_iter();
            letters.map(|run| whole(CutLayer::Text, run))
        }));
    }
    if request.layers.contains(&CutLayer::Registration) {
        let crosses = registration(&bounds(&paths));
        paths.extend(
            crosses
                .into_iter()
                .map(|run| whole(CutLayer::Registration, run)),
        );
    }
    paths.sort_by_key(|path| path.layer);
    Ok(CutFile {
        paths,
        texts: match request.lettering {
            Lettering::Text => texts,
            Lettering::None | Lettering::Outlines => Vec::new(),
        },
        overlapping: overlapping(&all),
        developed: all
            .decks
            .iter()
            .filter(|deck| deck.is_developed)
            .map(|deck| deck.title.clone())
            .collect(),
        title: all.title,
        units: all.units,
    })
}

/// What belongs to no deck by itself.
const fn whole(layer: CutLayer, run: Run) -> CutPath {
    CutPath {
        layer,
        deck: String::new(),
        field: None,
        run,
    }
}

fn bounds(paths: &[CutPath]) -> BoundingBox {
    paths
        .iter()
        .flat_map(|path| &path.run.segments)
        .map(Segment::bounding_box)
        .fold(BoundingBox::EMPTY, |all, one| all.joined(&one))
}

fn lines(
    deck: &FullSizeDeck,
    request: &CutRequest,
    units: LengthUnit,
) -> Result<Vec<CutPath>, CutFault> {
    let is_asked = |layer| request.layers.contains(&layer);
    let mut paths: Vec<CutPath> = deck
        .lines
        .iter()
        .map(|line| CutPath {
            layer: CutLayer::of_line(line.kind),
            deck: deck.id.clone(),
            field: line.field.clone(),
            run: line.run.clone(),
        })
        .filter(|path| is_asked(path.layer))
        .collect();
    let mut add = |layer, field: &str, region: &Region| {
        paths.extend(Run::rings(region).into_iter().map(|run| CutPath {
            layer,
            deck: deck.id.clone(),
            field: Some(field.to_owned()),
            run,
        }));
    };
    for name in &deck.names {
        if is_asked(CutLayer::Field) {
            add(CutLayer::Field, &name.name, &name.region);
        }
        if is_asked(CutLayer::Stencil) {
            let windows = match request.bridge {
                None => name.region.clone(),
                Some(width) => bridges::windows(&name.region, width.to_mm()).map_err(|why| {
                    CutFault::Bridge {
                        deck: deck.id.clone(),
                        field: name.name.clone(),
                        why,
                        units,
                    }
                })?,
            };
            add(CutLayer::Stencil, &name.name, &windows);
        }
    }
    Ok(paths)
}

/// A rectangle round each field; fields whose rectangles would meet have one together, so that none runs through a field.
fn weed_boxes(all: &FullSize, clear: f64) -> Vec<CutPath> {
    let mut boxes: Vec<BoundingBox> = all
        .decks
        .iter()
        .flat_map(|deck| &deck.names)
        .map(|name| name.region.bounding_box().grown(clear))
        .collect();
    let mut done: Vec<BoundingBox> = Vec::new();
    while let Some(mut one) = boxes.pop() {
        while let Some(index) = done.iter().position(|other| other.touches(&one)) {
            one = one.joined(&done.swap_remove(index));
        }
        done.push(one);
    }
    done.reverse();
    done.iter()
        .map(|one| whole(CutLayer::WeedBox, Run::closed(&one.rectangle())))
        .collect()
}

/// Crosses at three corners of a box, and a fourth at a third of its length from forward, to starboard: turned or laid
/// face down they fit nowhere.
fn registration(inner: &BoundingBox) -> Vec<Run> {
    let outer = inner.grown(REGISTRATION_CLEAR);
    let (least, greatest) = (outer.least, outer.greatest);
    let third = least.x + outer.width() / 3.0;
    [
        Point::new(least.x, least.y),
        Point::new(greatest.x, least.y),
        Point::new(greatest.x, greatest.y),
        Point::new(third, greatest.y),
    ]
    .into_iter()
    .flat_map(|at| {
        [Point::new(ARM, 0.0), Point::new(0.0, ARM)].map(|arm| Run::open(&[at - arm, at + arm]))
    })
    .collect()
}

/// Every field's name, where the field has most room about it.
fn names(all: &FullSize) -> Vec<Text> {
    let mut texts = Vec::new();
    for deck in &all.decks {
        for name in &deck.names {
            let content = match all.decks.len() {
                1 => name.name.clone(),
                _ => text::drawable(&format!("{} {}", deck.title, name.name)),
            };
            let (centre, room) = roomiest(&name.region);
            let width = text::width(&content, 1.0, Weight::Regular);
            let height = NAME_HEIGHT.min(0.9 * room / (width / 2.0).hypot(0.5));
            texts.push(Text {
                layer: Layer::Labels,
                at: centre - Point::new(0.0, height / 2.0),
                height,
                anchor: Anchor::Middle,
                turn: 0.0,
                weight: Weight::Regular,
                content,
            });
        }
    }
    texts
}

/// The place of a grid over a region that is furthest from its edge, and how far that is.
fn roomiest(region: &Region) -> (Point, f64) {
    let bounds = region.bounding_box();
    let share = |step: u32| (f64::from(step) + 0.5) / f64::from(PLACES);
    let mut best = (bounds.centre(), 0.0);
    for row in 0..PLACES {
        for column in 0..PLACES {
            let at = bounds.least
                + Point::new(bounds.width() * share(column), bounds.height() * share(row));
            if region.contains(at) {
                let room = region.boundary_distance(at).to_mm();
                if room > best.1 {
                    best = (at, room);
                }
            }
        }
    }
    best
}

fn overlapping(all: &FullSize) -> Vec<[String; 2]> {
    let mut found = Vec::new();
    for (index, one) in all.decks.iter().enumerate() {
        for other in &all.decks[index + 1..] {
            let meet = one.names.iter().any(|here| {
                other.names.iter().any(|there| {
                    here.region
                        .bounding_box()
                        .touches(&there.region.bounding_box())
                        && here.region.intersection(&[&there.region]).area() > IN_COMMON
                })
            });
            if meet {
                found.push([one.id.clone(), other.id.clone()]);
            }
        }
    }
    found
}
