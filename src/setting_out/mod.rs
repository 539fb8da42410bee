//! The numbers with which two people and a tape put the pattern on the deck. Comes in: a [`DeckJob`], and the marks on the
//! deck that ties are measured from. Goes out: a [`SettingOut`]: every tangent point, corner and centre of every field by
//! name, with its station and distance off the centreline, its two best ties, radii, offsets for a batten, and distances
//! that catch a slip; all as a tape shows them.

mod checks;
mod circle;
mod edges;
mod ground;
mod marks;
mod raised;
mod tables;
mod tape;
mod ties;
mod walk;

pub use checks::Check;
pub use edges::Batten;
pub use marks::{marks_fault, marks_on};
pub use tables::{Table, said, tables};
pub use tape::{rounded, step};
pub use ties::{LEAST_CROSSING, Tie, Ties, crossing, sensitivity};

use crate::DeckJob;
use crate::pattern::{Field, Pattern};
use crate::shape::{Point, Ring};
use crate::surface::Surface;
use crate::units::{Length, LengthUnit};
use edges::Stretch;
use ground::Ground;

/// A place on the deck that ties are measured from.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// What it is called.
    pub name: String,
    /// Where it is.
    pub at: Point,
}

/// What a deck is set out with.
#[derive(Debug, Clone, PartialEq)]
pub struct SettingOut {
    /// The deck.
    pub id: String,
    /// Its title.
    pub title: String,
    /// The units of the tape.
    pub units: LengthUnit,
    /// Whether the deck has camber or sheer, so that girths are given and the tape lies on the deck for all else.
    pub is_raised: bool,
    /// The marks, none where fewer than two were named.
    pub marks: Vec<Mark>,
    /// Where each mark is found on the deck's surface, where it has camber or sheer.
    pub marks_on_deck: Vec<OnDeck>,
    /// The distance of every mark from every other, to be checked first.
    pub between_marks: Vec<Check>,
    /// The fields in the order that walks the deck least.
    pub fields: Vec<FieldOut>,
    /// How far the order of fields and points has somebody walk, from the first point to the last.
    pub walked: Length,
    /// How far the order of their names would have: field by field, ring by ring, centres last.
    pub walked_by_name: Length,
    /// The greatest distance that rounding to the tape moves a point set out by station and distance off.
    pub rounding: Length,
    /// Likewise by station and girth with the tape on the deck, where it has camber or sheer.
    pub rounding_of_girths: Option<Length>,
    /// Likewise by ties; none where no marks are named or no point has sound ties.
    pub rounding_of_ties: Option<Length>,
    /// A check that differs from its distance by more than this says that something is wrong.
    pub tolerance: Length,
    /// The points that no two checks hold both ways.
    pub unchecked: Vec<String>,
}

/// A field as it is set out.
#[derive(Debug, Clone, PartialEq)]
pub struct FieldOut {
    /// Its name.
    pub id: String,
    /// Its points and centres in the order they are marked.
    pub points: Vec<PointOut>,
    /// Its edges, ring by ring, each from a point to the next.
    pub edges: Vec<EdgeOut>,
    /// Distances that catch a slip.
    pub checks: Vec<Check>,
    /// By what share of it, seen from above, rounding of stations and distances off changes its area.
    pub area_rounding: f64,
}

/// A point to be marked.
#[derive(Debug, Clone, PartialEq)]
pub struct PointOut {
    /// `F1-2`, or `F1-c1` for a centre.
    pub name: String,
    /// Whether it is the centre of an arc.
    pub is_centre: bool,
    /// Whether it lies on bare deck. A centre may lie over an opening, under a fitting or beside the deck, where it cannot be
    /// marked.
    pub is_bare: bool,
    /// Where it truly is.
    pub at: Point,
    /// Station and distance off the centreline as the tape shows them.
    pub measured: Point,
    /// Distance off along the deck's surface, and the station along the centreline's, where the deck has camber or sheer.
    pub on_deck: Option<OnDeck>,
    /// Its two best ties; none where no marks are named or no pair is sound.
    pub ties: Option<Ties>,
}

/// Measurements on the surface, as the tape shows them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnDeck {
    /// From station 0 along the centreline.
    pub along: Length,
    /// From the centreline out.
    pub girth: Length,
}

/// An edge from one point to the next.
#[derive(Debug, Clone, PartialEq)]
pub struct EdgeOut {
    /// The ring it belongs to, from 1: the outer one, then those round what is left out.
    pub ring: usize,
    /// Where it begins.
    pub from: String,
    /// Where it ends.
    pub to: String,
    /// How it is drawn.
    pub kind: EdgeKind,
}

/// How an edge is drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum EdgeKind {
    /// Along a straight edge.
    Straight,
    /// About a centre.
    Arc {
        /// The centre's name.
        centre: String,
        /// The radius as the tape shows it; the round object that draws it has twice that for its diameter.
        radius: Length,
        /// Whether it runs counter-clockwise from its first point, seen from above.
        is_left: bool,
    },
    /// Along a batten bent to offsets from the straight line between its points.
    Batten(Batten),
    /// Along a batten bent through this point and all that follow with the same number, to where the last goes.
    Through(usize),
}

impl SettingOut {
    /// The points that no pair of marks fixes soundly, where marks are named.
    pub fn without_ties(&self) -> impl Iterator<Item = &PointOut> {
        let has_marks = !self.marks.is_empty();
        self.points()
            .filter(move |point| has_marks && point.ties.is_none())
    }

    /// All points in the order they are marked.
    pub fn points(&self) -> impl Iterator<Item = &PointOut> {
        self.fields.iter().flat_map(|field| &field.points)
    }
}

/// Sets out a deck, with ties from `marks`; with fewer than two of them, without ties.
#[must_use]
pub fn set_out(deck: &DeckJob, marks: &[Mark]) -> SettingOut {
    let units = deck.plan.units;
    let marks = if marks.len() < 2 { &[] } else { marks };
    let surveyor = Surveyor {
        ground: Ground {
            surface: deck.surface.as_ref(),
            units,
        },
        marks,
        pattern: &deck.pattern,
    };
    let named: Vec<FieldOut> = deck
        .pattern
        .fields
        .iter()
        .map(|field| surveyor.field(field))
        .collect();
    let way = |fields: &[FieldOut]| {
        let points = fields.iter().flat_map(|field| &field.points);
        Length::mm(walk::length(points.map(|point| point.at)))
    };
    let walked_by_name = way(&named);
    let mut fields = walked(named);
    let all = || fields.iter().flat_map(|field| &field.points);
    let most = |one: Option<Length>, other: Length| Some(one.map_or(other, |one| one.max(other)));
    let rounding = all()
        .map(|point| Length::mm(point.at.distance(point.measured)))
        .fold(Length::ZERO, Length::max);
    let rounding_of_girths = deck.surface.as_ref().and_then(|surface| {
        all()
            .filter_map(|point| Some(point.on_deck?.rounding(point.at, surface)))
            .fold(None, most)
    });
    let rounding_of_ties = all()
        .filter_map(|point| Some(point.ties?.rounding))
        .fold(None, most);
    let worst = [rounding_of_girths, rounding_of_ties]
        .into_iter()
        .flatten()
        .fold(rounding, Length::max);
    let unchecked = checks::check(&mut fields, &surveyor.ground);
    SettingOut {
        id: deck.plan.id.clone(),
        title: deck.plan.title.clone(),
        units,
        is_raised: deck.surface.is_some(),
        marks: marks.to_vec(),
        marks_on_deck: marks
            .iter()
            .filter_map(|mark| surveyor.on_deck(mark.at))
            .collect(),
        between_marks: surveyor.between_marks(),
        walked: way(&fields),
        walked_by_name,
        rounding,
        rounding_of_girths,
        rounding_of_ties,
        tolerance: checks::tolerance(worst.to_mm(), &surveyor.ground),
        unchecked,
        fields,
    }
}

impl OnDeck {
    /// How far from where it should be these two put a point, both rounded.
    fn rounding(&self, at: Point, surface: &Surface) -> Length {
        let slope = surface.slope(at);
        let along = surface.along_centreline(Length::ZERO, Length::mm(at.x)) - self.along;
        let out = surface.girth(Length::mm(at.y)) - self.girth;
        Length::mm((along.to_mm() / slope.x.hypot(1.0)).hypot(out.to_mm() / slope.y.hypot(1.0)))
    }
}

/// Fields and their points in the order that walks least.
fn walked(fields: Vec<FieldOut>) -> Vec<FieldOut> {
    let middles: Vec<Point> = fields
        .iter()
        .map(|field| {
            let sum = field
                .points
                .iter()
                .fold(Point::ORIGIN, |sum, point| sum + point.at);
            sum * (1.0 / field.points.len().max(1) as f64)
        })
        .collect();
    let forwardmost = middles
        .iter()
        .copied()
        .min_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)))
        .unwrap_or_default();
    let mut at: Option<Point> = None;
    let mut ordered = Vec::new();
    for number in walk::order(&middles, forwardmost) {
        let mut field = fields[number].clone();
        let places: Vec<Point> = field.points.iter().map(|point| point.at).collect();
        let from = at.or(places.first().copied()).unwrap_or_default();
        let order = walk::order(&places, from);
        field.points = order
            .iter()
            .map(|index| field.points[*index].clone())
            .collect();
        at = field.points.last().map(|point| point.at);
        ordered.push(field);
    }
    ordered
}

/// By what share rounding changes a field's area: the polygon of its points as they are against as they are printed.
fn area_rounding(field: &FieldOut, area: f64) -> f64 {
    let place = |name: &str| field.points.iter().find(|point| point.name == name);
    let change: f64 = field
        .edges
        .iter()
        .filter_map(|edge| Some((place(&edge.from)?, place(&edge.to)?)))
        .map(|(from, to)| from.measured.cross(to.measured) - from.at.cross(to.at))
        .sum();
    (change / 2.0 / area).abs()
}

/// Who measures: on which deck, from which marks.
struct Surveyor<'a> {
    ground: Ground<'a>,
    marks: &'a [Mark],
    pattern: &'a Pattern,
}

impl Surveyor<'_> {
    fn field(&self, field: &Field) -> FieldOut {
        let mut out = FieldOut {
            id: field.id.clone(),
            points: Vec::new(),
            edges: Vec::new(),
            checks: Vec::new(),
            area_rounding: 0.0,
        };
        let mut centres = Vec::new();
        for (ring, number) in field.region.rings().iter().zip(1..) {
            self.ring(ring, number, &mut out, &mut centres);
        }
        out.area_rounding = area_rounding(&out, field.region.area());
        out.points.extend(centres);
        out
    }

    fn ring(&self, ring: &Ring, number: usize, out: &mut FieldOut, centres: &mut Vec<PointOut>) {
        let mut stretches = edges::stretches(ring);
        if self.ground.surface.is_some() {
            stretches = raised::on_deck(&stretches, &self.ground);
        }
        let id = out.id.clone();
        let first = out.points.len();
        let name = |index: usize| format!("{id}-{}", first + 1 + index % stretches.len());
        for (index, (at, _)) in stretches.iter().enumerate() {
            out.points.push(self.point(name(index), *at, false));
        }
        for (index, (_, stretch)) in stretches.iter().enumerate() {
            let kind = match stretch {
                Stretch::Straight => EdgeKind::Straight,
                Stretch::Through(number) => EdgeKind::Through(*number),
                Stretch::Arc(arc) => EdgeKind::Arc {
                    centre: self.centre(&id, arc.centre, centres),
                    radius: rounded(Length::mm(arc.radius), self.ground.units),
                    is_left: arc.sweep > 0.0,
                },
                Stretch::Fair(edge) => {
                    let next = (index + 1) % stretches.len();
                    let [from, to] = [index, next].map(|one| out.points[first + one].measured);
                    EdgeKind::Batten(edges::batten(edge, from, to, self.ground.units))
                }
            };
            out.edges.push(EdgeOut {
                ring: number,
                from: name(index),
                to: name(index + 1),
                kind,
            });
        }
    }

    /// The name of a centre, which several arcs may share.
    fn centre(&self, field: &str, at: Point, centres: &mut Vec<PointOut>) -> String {
        if let Some(known) = centres.iter().find(|one| one.at.distance(at) < 1e-3) {
            return known.name.clone();
        }
        let name = format!("{field}-c{}", centres.len() + 1);
        centres.push(self.point(name.clone(), at, true));
        name
    }

    fn point(&self, name: String, at: Point, is_centre: bool) -> PointOut {
        let Pattern {
            deck,
            openings,
            fittings,
            ..
        } = self.pattern;
        let is_bare = deck.contains(at) && !openings.contains(at) && !fittings.contains(at);
        PointOut {
            name,
            is_centre,
            // Points of edges lie on the deck, if only just: on its very edge where a margin is nothing.
            is_bare: is_bare || !is_centre,
            at,
            measured: tape::rounded_place(at, self.ground.units),
            on_deck: self.on_deck(at),
            ties: ties::best(at, self.marks, &self.ground),
        }
    }

    fn on_deck(&self, at: Point) -> Option<OnDeck> {
        let surface = self.ground.surface?;
        let along = surface.along_centreline(Length::ZERO, Length::mm(at.x));
        Some(OnDeck {
            along: rounded(along, self.ground.units),
            girth: rounded(surface.girth(Length::mm(at.y)), self.ground.units),
        })
    }

    fn between_marks(&self) -> Vec<Check> {
        let mut checks = Vec::new();
        for (number, from) in self.marks.iter().enumerate() {
            for to in &self.marks[number + 1..] {
                checks.push(Check {
                    from: from.name.clone(),
                    to: to.name.clone(),
                    distance: self.ground.taped(from.at, to.at),
                });
            }
        }
        checks
    }
}
