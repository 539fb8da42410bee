//! The decks as they lie on a drawing board, to be looked at and changed on a screen: every line in the deck's own
//! millimetres, each with what it is, so that whoever shows them can take hold of it. Comes in: a worked out [`Job`] and what
//! of it is looked at. Goes out: a [`Board`]. There is no paper, no scale and no label here: they are the screen's.

use super::marks::Run;
use super::view_underfoot::{GripShade, grip_bands};
use crate::layout::{Way, way_at};
use crate::outline::{NamedRing, Placement, whereabouts};
use crate::pattern::Field;
use crate::setting_out::{EdgeKind, set_out};
use crate::shape::{BoundingBox, Point, Region, Ring, path_parts};
use crate::{DeckJob, Job};

/// What of a job is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum BoardView {
    /// The finished pattern.
    #[default]
    Pattern,
    /// Where tape and film lie in the first pass.
    First,
    /// ... in the reversed pass.
    Reversed,
    /// The points that are set out.
    SettingOut,
    /// How far grip is.
    Grip,
}

impl BoardView {
    /// All, in the order they are offered.
    pub const ALL: [Self; 5] = [
        Self::Pattern,
        Self::First,
        Self::Reversed,
        Self::SettingOut,
        Self::Grip,
    ];

    /// A word for programs.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Pattern => "pattern",
            Self::First => "first",
            Self::Reversed => "reversed",
            Self::SettingOut => "setting-out",
            Self::Grip => "grip",
        }
    }
}

/// What film or paper lies on in a masking pass.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Covered {
    /// The fields: the first pass.
    Fields,
    /// The border: the reversed pass.
    Border,
}

impl Covered {
    /// A word for programs.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Fields => "fields",
            Self::Border => "border",
        }
    }
}

/// What a mark is. Marks lie over each other as paper cut out would: what is inside a ring is as the uppermost says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MarkKind {
    /// All of the deck, its edge; border as far as nothing lies over it.
    Deck,
    /// A part of it in the shade of how far grip is.
    Grip {
        /// The grey of paper.
        grey: u8,
    },
    /// A body of edge tape.
    EdgeTape,
    /// A body of line tape.
    LineTape,
    /// A field.
    Field,
    /// Border inside a field that it lies on.
    Hole,
    /// A strip, as far as it lies on the deck.
    Strip,
    /// An area kept smooth.
    Smooth,
    /// A pad.
    Pad,
    /// A hole in the deck.
    Opening,
    /// A fitting in place.
    Fitting,
    /// A fitting lifted for the job.
    Lifted,
    /// A line that people walk.
    Walk,
    /// A place where people step.
    Foothold,
    /// A place where people get off.
    WayOff,
}

impl MarkKind {
    /// A word for programs.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Deck => "deck",
            Self::Grip { .. } => "grip",
            Self::EdgeTape => "edge-tape",
            Self::LineTape => "line-tape",
            Self::Field => "field",
            Self::Hole => "hole",
            Self::Strip => "strip",
            Self::Smooth => "smooth",
            Self::Pad => "pad",
            Self::Opening => "opening",
            Self::Fitting => "fitting",
            Self::Lifted => "lifted",
            Self::Walk => "walk",
            Self::Foothold => "foothold",
            Self::WayOff => "way-off",
        }
    }
}

/// Lines and arcs of one thing that hangs together, so that little is drawn anew where little has changed.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardMark {
    /// What it is.
    pub kind: MarkKind,
    /// What people call it, where it has a name: `F1`, `bow cleat`; of a hole, its field's.
    pub name: Option<String>,
    /// The way to its entry in the layout, where it has one.
    pub thing: Option<Way>,
    /// Its rings, or its line.
    pub runs: Vec<Run>,
    /// A place inside it for its name, where it is a field.
    pub label: Option<Point>,
}

/// A point that is set out.
#[derive(Debug, Clone)]
pub struct BoardPoint {
    /// Its name.
    pub name: String,
    /// Where it is.
    pub at: Point,
    /// Whether it is the centre of an arc.
    pub is_centre: bool,
    /// Station and distance off the centreline as a tape shows them, in words.
    pub measured: String,
    /// The radius it is the centre of, in words.
    pub radius: Option<String>,
}

/// A deck on the board.
#[derive(Debug, Clone)]
pub struct BoardDeck {
    /// Its id.
    pub id: String,
    /// What people call it.
    pub title: String,
    /// The box around its edge.
    pub bounds: BoundingBox,
    /// Its marks, the first undermost.
    pub marks: Vec<BoardMark>,
    /// The points that are set out, where these are looked at.
    pub points: Vec<BoardPoint>,
}

/// All decks on the board.
#[derive(Debug, Clone)]
pub struct Board {
    /// The decks in the layout's order.
    pub decks: Vec<BoardDeck>,
    /// What is covered, where a masking pass is looked at.
    pub covered: Option<Covered>,
    /// What the shades stand for, where grip is looked at.
    pub shades: Vec<GripShade>,
}

/// Lays a job on the board.
#[must_use]
pub fn board(job: &Job, view: BoardView) -> Board {
    let all: Vec<&DeckJob> = job.decks.iter().collect();
    let (shades, bands) = match view {
        BoardView::Grip => grip_bands(job, &all),
        _ => (Vec::new(), Vec::new()),
    };
    let mut bands = bands.into_iter();
    let decks = all.iter().enumerate().map(|(number, deck)| {
        let mut laying = Laying {
            job,
            deck,
            number,
            marks: Vec::new(),
        };
        laying.ground();
        for band in bands.next().unwrap_or_default() {
            laying.region(MarkKind::Grip { grey: band.grey }, &band.region);
        }
        laying.over(view);
        BoardDeck {
            id: deck.plan.id.clone(),
            title: deck.plan.title.clone(),
            bounds: deck.pattern.deck.bounding_box(),
            marks: laying.marks,
            points: match view {
                BoardView::SettingOut => points(deck),
                _ => Vec::new(),
            },
        }
    });
    Board {
        decks: decks.collect(),
        covered: match view {
            BoardView::First => Some(Covered::Fields),
            BoardView::Reversed => Some(Covered::Border),
            BoardView::Pattern | BoardView::SettingOut | BoardView::Grip => None,
        },
        shades,
    }
}

struct Laying<'a> {
    job: &'a Job,
    deck: &'a DeckJob,
    number: usize,
    marks: Vec<BoardMark>,
}

impl Laying<'_> {
    fn add(&mut self, kind: MarkKind, runs: Vec<Run>) -> &mut BoardMark {
        self.marks.push(BoardMark {
            kind,
            name: None,
            thing: None,
            runs,
            label: None,
        });
        let last = self.marks.len() - 1;
        &mut self.marks[last]
    }

    fn region(&mut self, kind: MarkKind, region: &Region) {
        if !region.is_empty() {
            self.add(kind, closed(region));
        }
    }

    /// A region part by part.
    fn parts(&mut self, kind: MarkKind, region: &Region) {
        for part in region.components() {
            self.region(kind, &part);
        }
    }

    /// A field: where what lies beneath it is looked at too, as one mark with holes, else border laid on it.
    fn field(&mut self, field: &Field, view: BoardView) {
        let mut rings = field.region.rings().iter();
        let runs = match view {
            BoardView::Grip => rings.by_ref().map(Run::closed).collect(),
            _ => rings.next().map(Run::closed).into_iter().collect(),
        };
        let mark = self.add(MarkKind::Field, runs);
        mark.name = Some(field.id.clone());
        mark.label = Some(inside(field));
        for hole in rings {
            self.add(MarkKind::Hole, vec![Run::closed(hole)]).name = Some(field.id.clone());
        }
    }

    fn ground(&mut self) {
        let deck = self.deck;
        let mark = self.add(MarkKind::Deck, closed(&deck.pattern.deck));
        mark.name = Some(deck.plan.title.clone());
    }

    fn over(&mut self, view: BoardView) {
        let (deck, plan) = (self.deck, &self.deck.plan);
        let pass = match view {
            BoardView::First => Some(&deck.masking.first),
            BoardView::Reversed => Some(&deck.masking.reversed),
            _ => None,
        };
        for field in &deck.pattern.fields {
            self.field(field, view);
        }
        for strip in &plan.strips {
            let thing = way_at(&self.job.layout, self.number, strip.place);
            let on_deck = strip.region.intersection(&[&deck.pattern.deck]);
            self.add(MarkKind::Strip, closed(&on_deck)).thing = thing;
        }
        if let Some(pass) = pass {
            self.parts(MarkKind::EdgeTape, &pass.edge_bodies);
            self.parts(MarkKind::LineTape, &pass.line_bodies);
        }
        for (kind, rings) in [
            (MarkKind::Smooth, &plan.smooth),
            (MarkKind::Pad, &plan.pads),
        ] {
            for NamedRing { name, ring, place } in rings {
                let thing = way_at(&self.job.layout, self.number, *place);
                let mark = self.add(kind, vec![Run::closed(ring)]);
                (mark.name, mark.thing) = (Some(name.clone()), thing);
            }
        }
        let fittings = plan.fittings.iter().map(|one| match one.in_place {
            true => (MarkKind::Fitting, one),
            false => (MarkKind::Lifted, one),
        });
        let openings = plan.openings.iter().map(|one| (MarkKind::Opening, one));
        for (
            kind,
            Placement {
                name, ring, place, ..
            },
        ) in openings.chain(fittings)
        {
            let thing = way_at(&self.job.layout, self.number, *place);
            let mark = self.add(kind, vec![Run::closed(ring)]);
            (mark.name, mark.thing) = (Some(name.clone()), thing);
        }
        for walk in &plan.walks {
            let mark = self.add(MarkKind::Walk, vec![Run::open(&walk.points)]);
            mark.name = Some(walk.name.clone());
        }
        let steps = plan
            .footholds
            .iter()
            .map(|one| (MarkKind::Foothold, one.at, &one.name));
        let ways = plan
            .ways_off
            .iter()
            .map(|one| (MarkKind::WayOff, one.at, &one.name));
        for (kind, at, name) in steps.chain(ways) {
            let mark = self.add(kind, vec![Run::closed(&Ring::circle(at, STEP))]);
            mark.name = Some(name.clone());
        }
    }
}

/// Radius that a place where people step is shown with, millimetres: about a foot.
const STEP: f64 = 60.0;

fn closed(region: &Region) -> Vec<Run> {
    region.rings().iter().map(Run::closed).collect()
}

/// A place for a field's name: on a line athwartships through its middle, half way along the longest stretch inside.
fn inside(field: &Field) -> Point {
    let region = &field.region;
    let centre = region.centroid();
    if region.contains(centre) && region.boundary_distance(centre).to_mm() > CLEAR {
        return centre;
    }
    let bounds = region.bounding_box();
    let across = [
        Point::new(centre.x, bounds.least.y - 1.0),
        Point::new(centre.x, bounds.greatest.y + 1.0),
    ];
    let parts = path_parts(&across, region);
    let longest = parts
        .iter()
        .filter(|part| part.is_inside)
        .max_by(|one, other| one.length.to_mm().total_cmp(&other.length.to_mm()));
    longest.and_then(|part| part.middle()).unwrap_or(centre)
}

/// As far as this from its edge a field has room for its name, millimetres.
const CLEAR: f64 = 60.0;

/// The points of a deck that are set out.
fn points(deck: &DeckJob) -> Vec<BoardPoint> {
    let set = set_out(deck, &[]);
    let mut points = Vec::new();
    for field in &set.fields {
        for point in &field.points {
            let radius = field.edges.iter().find_map(|edge| match &edge.kind {
                EdgeKind::Arc { centre, radius, .. } if *centre == point.name => Some(*radius),
                _ => None,
            });
            points.push(BoardPoint {
                name: point.name.clone(),
                at: point.at,
                is_centre: point.is_centre,
                measured: whereabouts(point.measured, set.units),
                radius: radius.map(|radius| radius.show(set.units)),
            });
        }
    }
    points
}
