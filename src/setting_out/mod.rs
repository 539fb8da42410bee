//! The numbers with which two people and a tape put the pattern on the deck. Comes in: a [`DeckJob`], and the marks on the
//! deck that ties are measured from. Goes out: a [`SettingOut`]: every tangent point, corner and centre of every field by
//! name, with its station and distance off the centreline, its two best ties, radii, offsets for a batten, and distances
//! that catch a slip; all as a tape shows them.

mod edges;
mod marks;
mod tables;
mod tape;
mod ties;
mod walk;

pub use edges::Batten;
pub use marks::marks_fault;
pub use tables::{Table, said, tables};
pub use tape::{rounded, step};
pub use ties::{POOR, Ties, crossing, sensitivity};

use crate::DeckJob;
use crate::pattern::Field;
use crate::shape::{Point, Ring, Segment};
use crate::surface::Surface;
use crate::units::{Length, LengthUnit};
use edges::Stretch;

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
    /// Whether the deck has camber or sheer, so that girths and ties over the deck are given.
    pub is_raised: bool,
    /// The marks, none where none were named.
    pub marks: Vec<Mark>,
    /// The fields in the order that walks the deck least.
    pub fields: Vec<FieldOut>,
    /// How far the order of fields and points has somebody walk, from the first point to the last.
    pub walked: Length,
    /// The greatest distance that rounding to the tape moves a point set out by station and distance off.
    pub rounding: Length,
    /// The greatest distance that rounding moves a point set out by ties; none where no marks are named.
    pub rounding_of_ties: Option<Length>,
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
}

/// A point to be marked.
#[derive(Debug, Clone, PartialEq)]
pub struct PointOut {
    /// `F1-2`, or `F1-c1` for a centre.
    pub name: String,
    /// Whether it is the centre of an arc.
    pub is_centre: bool,
    /// Where it truly is.
    pub at: Point,
    /// Station and distance off the centreline as the tape shows them.
    pub measured: Point,
    /// Distance off along the deck's surface, and the station along the centreline's, where the deck has camber or sheer.
    pub on_deck: Option<OnDeck>,
    /// Its two best ties; none where no marks are named or no pair fixes it.
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
}

/// A distance between two points of a field, measured when they are marked.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// One point.
    pub from: String,
    /// The other.
    pub to: String,
    /// The distance in plan as the tape shows it.
    pub distance: Length,
    /// The same with the tape on the deck, where it has camber or sheer.
    pub on_deck: Option<Length>,
}

impl SettingOut {
    /// The points that the best pair of marks fixes poorly, with their sensitivity.
    pub fn poor(&self) -> impl Iterator<Item = (&PointOut, f64)> {
        self.points().filter_map(|point| {
            let sensitivity = point.ties?.sensitivity;
            (sensitivity > POOR).then_some((point, sensitivity))
        })
    }

    /// The points that no pair of marks fixes, where marks are named.
    pub fn unfixed(&self) -> impl Iterator<Item = &PointOut> {
        let has_ties = self.marks.len() > 1;
        self.points()
            .filter(move |point| has_ties && point.ties.is_none())
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
        units,
        surface: deck.surface.as_ref(),
        marks,
    };
    let fields: Vec<FieldOut> = deck
        .pattern
        .fields
        .iter()
        .map(|field| surveyor.field(field))
        .collect();
    let fields = walked(fields);
    let all = || fields.iter().flat_map(|field| &field.points);
    let rounding = all()
        .map(|point| point.at.distance(point.measured))
        .fold(0.0, f64::max);
    let by_ties = all()
        .filter_map(|point| Some((point, point.ties?)))
        .map(|(point, ties)| {
            let from = ties.marks.map(|number| marks[number].at);
            crossing(from, ties.lengths, ties.is_left)
                .map_or(f64::INFINITY, |put| put.distance(point.at))
        })
        .fold(0.0, f64::max);
    SettingOut {
        id: deck.plan.id.clone(),
        title: deck.plan.title.clone(),
        units,
        is_raised: deck.surface.is_some(),
        marks: marks.to_vec(),
        walked: Length::mm(walk::length(all().map(|point| point.at))),
        rounding: Length::mm(rounding),
        rounding_of_ties: (!marks.is_empty()).then_some(Length::mm(by_ties)),
        fields,
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

/// Who measures: with which tape, over which surface, from which marks.
struct Surveyor<'a> {
    units: LengthUnit,
    surface: Option<&'a Surface>,
    marks: &'a [Mark],
}

impl Surveyor<'_> {
    fn field(&self, field: &Field) -> FieldOut {
        let mut out = FieldOut {
            id: field.id.clone(),
            points: Vec::new(),
            edges: Vec::new(),
            checks: Vec::new(),
        };
        for (ring, number) in field.region.rings().iter().zip(1..) {
            self.ring(ring, number, &mut out);
        }
        out.checks = self.checks(&out.points);
        out
    }

    fn ring(&self, ring: &Ring, number: usize, out: &mut FieldOut) {
        let stretches = edges::stretches(ring);
        let id = out.id.clone();
        let corners_before = out.points.iter().filter(|one| !one.is_centre).count();
        let name = |index: usize| format!("{id}-{}", corners_before + 1 + index % stretches.len());
        let first = out.points.len();
        for (index, (at, _)) in stretches.iter().enumerate() {
            out.points.push(self.point(name(index), *at, false));
        }
        for (index, (_, stretch)) in stretches.iter().enumerate() {
            let kind = match stretch {
                Stretch::Straight => EdgeKind::Straight,
                Stretch::Arc(arc) => EdgeKind::Arc {
                    centre: self.centre(arc.centre, out),
                    radius: self.rounded(Length::mm(arc.radius)),
                    is_left: arc.sweep > 0.0,
                },
                Stretch::Fair(edge) => {
                    let next = (index + 1) % stretches.len();
                    let [from, to] = [index, next].map(|one| out.points[first + one].measured);
                    EdgeKind::Batten(edges::batten(edge, from, to, self.units))
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
    fn centre(&self, at: Point, out: &mut FieldOut) -> String {
        let mut centres = out.points.iter().filter(|one| one.is_centre);
        if let Some(known) = centres.clone().find(|one| one.at.distance(at) < 1e-3) {
            return known.name.clone();
        }
        let name = format!("{}-c{}", out.id, centres.by_ref().count() + 1);
        out.points.push(self.point(name.clone(), at, true));
        name
    }

    fn point(&self, name: String, at: Point, is_centre: bool) -> PointOut {
        let measured = tape::rounded_place(at, self.units);
        let on_deck = self.surface.map(|surface| OnDeck {
            along: self.rounded(surface.along_centreline(Length::ZERO, Length::mm(at.x))),
            girth: self.rounded(surface.girth(Length::mm(at.y))),
        });
        let ties = ties::best(at, self.marks, self.units).map(|ties| Ties {
            on_deck: self.surface.map(|_| {
                ties.marks
                    .map(|mark| self.over(at, self.marks[mark].at).unwrap_or_default())
            }),
            ..ties
        });
        PointOut {
            name,
            is_centre,
            at,
            measured,
            on_deck,
            ties,
        }
    }

    fn rounded(&self, length: Length) -> Length {
        rounded(length, self.units)
    }

    /// With the tape on the deck along the straight line in plan, where the deck has camber or sheer.
    fn over(&self, from: Point, to: Point) -> Option<Length> {
        let surface = self.surface?;
        Some(self.rounded(surface.length(&Segment::Line(from, to))))
    }

    /// Each point against the one opposite in the order of the ring, so that every one is measured once more; centres
    /// against each other likewise.
    fn checks(&self, points: &[PointOut]) -> Vec<Check> {
        let mut pairs: Vec<[&PointOut; 2]> = Vec::new();
        let (centres, corners): (Vec<&PointOut>, Vec<&PointOut>) =
            points.iter().partition(|point| point.is_centre);
        for group in [corners, centres] {
            let half = group.len().div_ceil(2);
            pairs.extend((0..group.len() / 2).map(|index| [group[index], group[index + half]]));
            if group.len() % 2 == 1 && group.len() > 1 {
                pairs.push([group[half - 1], group[0]]);
            }
        }
        // A circle has two points and a centre.
        if let ([first, second, .., last], true) = (points, pairs.len() < 2) {
            pairs.extend([[first, last], [second, last]]);
        }
        pairs
            .iter()
            .map(|[one, other]| Check {
                from: one.name.clone(),
                to: other.name.clone(),
                distance: self.rounded(Length::mm(one.at.distance(other.at))),
                on_deck: self.over(one.at, other.at),
            })
            .collect()
    }
}
