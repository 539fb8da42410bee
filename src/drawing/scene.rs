//! What every view shows alike: the decks where they stand, openings, fittings, centreline, stations,
//! bow, overall dimensions. And the room that this takes round the decks.

use super::canvas::{Canvas, Projection};
use super::developed::LaidFlat;
use super::dimension::{self, Span};
use super::features;
use super::figure;
use super::hatch::{inside_region, outside_boxes};
use super::label::{Label, Tip, Wording};
use super::marks::{Anchor, Dash, Fill, Layer, Pen, Run, TextBox, Weight};
use super::panel;
use super::paper::{Scale, Style};
use super::text;
use crate::DeckJob;
use crate::outline::{Placement, Warning};
use crate::shape::{Arc, BoundingBox, Point, Region, Ring, Segment};
use crate::units::{Length, LengthUnit};

/// The decks on a sheet, how large and where.
pub(super) struct Scene<'a> {
    pub(super) decks: &'a [&'a DeckJob],
    pub(super) units: LengthUnit,
    pub(super) style: Style,
    pub(super) projection: Projection,
    /// Warnings with their places, in the order of their numbers.
    pub(super) warnings: Vec<(&'a Warning, Point)>,
    /// The box round the decks, and round whatever else is shown.
    pub(super) bounds: BoundingBox,
    /// Width of the line tape.
    pub(super) line_tape: Length,
    /// Room for the drawing, on the sheet.
    pub(super) area: BoundingBox,
    /// The one deck shown as it is laid flat, where it is.
    pub(super) flat: Option<&'a LaidFlat>,
}

/// Room round the decks, millimetres on the sheet.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bands {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) above: f64,
    pub(super) below: f64,
}

/// Overall dimensions in rows.
pub(super) struct Dimensions {
    below: Vec<Vec<Span>>,
    left: Vec<Vec<Span>>,
    right: Vec<Vec<Span>>,
}

/// Steps of a station line from the centreline to beyond the edge.
const STEPS_ACROSS: i32 = 12;

/// Stations that are shown, millimetres.
#[derive(Debug, Clone, Copy)]
struct StationSteps {
    major: f64,
    minor: f64,
    nearest: f64,
    furthest: f64,
}

/// The box round all decks.
pub(super) fn bounds(decks: &[&DeckJob]) -> BoundingBox {
    decks
        .iter()
        .map(|deck| deck.plan.outline.ring.bounding_box())
        .fold(BoundingBox::EMPTY, |all, one| all.joined(&one))
}

/// Distance from the decks to the first dimension line and to the stations: at least the 10 mm of ISO 129,
/// and some for labels.
fn first(style: &Style) -> f64 {
    6.4 * style.note
}

impl Dimensions {
    /// Lengths below, beams beside; for several decks each one's and the whole.
    pub(super) fn of(decks: &[&DeckJob], units: LengthUnit) -> Self {
        let all = bounds(decks);
        let overall = |mm| figure::overall(mm, units);
        let mut lengths = Vec::new();
        let (mut left, mut right) = (Vec::new(), Vec::new());
        for deck in decks {
            let ring = &deck.plan.outline.ring;
            let own = ring.bounding_box();
            lengths.push(Span {
                from: lowest(ring, |point| -point.x, |point| point.y),
                to: lowest(ring, |point| point.x, |point| point.y),
                figure: overall(own.width()),
            });
            let beam = |side: f64| Span {
                from: lowest(ring, |point| -point.y, |point| side * point.x),
                to: lowest(ring, |point| point.y, |point| side * point.x),
                figure: overall(own.height()),
            };
            match free_side(deck, decks, all) {
                Some(Side::Forward) => left.push(beam(1.0)),
                Some(Side::Aft) => right.push(beam(-1.0)),
                None => {}
            }
        }
        if decks.len() > 1 {
            let extreme = |toward: &dyn Fn(Point) -> f64, then: &dyn Fn(Point) -> f64| {
                decks
                    .iter()
                    .map(|deck| lowest(&deck.plan.outline.ring, toward, then))
                    .max_by(|a, b| toward(*a).total_cmp(&toward(*b)))
                    .unwrap_or_default()
            };
            lengths.push(Span {
                from: extreme(&|point| -point.x, &|point| point.y),
                to: extreme(&|point| point.x, &|point| point.y),
                figure: overall(all.width()),
            });
            let same = |span: &Span| {
                (span.from.y - all.least.y).abs() < 0.5 && (span.to.y - all.greatest.y).abs() < 0.5
            };
            if !left.iter().any(same) {
                right.push(Span {
                    from: extreme(&|point| -point.y, &|point| -point.x),
                    to: extreme(&|point| point.y, &|point| -point.x),
                    figure: overall(all.height()),
                });
            }
        }
        Self {
            below: dimension::rows(lengths, |point| point.x),
            left: dimension::rows(left, |point| point.y),
            right: dimension::rows(right, |point| point.y),
        }
    }

    /// The room they and the stations take.
    pub(super) fn bands(&self, style: &Style) -> Bands {
        let rows = |rows: &Vec<Vec<Span>>| {
            let apart = dimension::apart(style);
            rows.iter()
                .skip(1)
                .fold(first(style) + 3.0, |sum, _| sum + apart)
        };
        Bands {
            left: if self.left.is_empty() {
                first(style)
            } else {
                rows(&self.left) + style.figure * 1.2
            },
            right: rows(&self.right).max(style.note * 9.0),
            above: first(style) + style.small * 3.6,
            below: rows(&self.below),
        }
    }
}

/// A side beside which a beam can stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    Forward,
    Aft,
}

/// The side, the nearer first, on which no other deck lies between a deck and its beam.
fn free_side(deck: &DeckJob, decks: &[&DeckJob], all: BoundingBox) -> Option<Side> {
    let bounds = |deck: &DeckJob| deck.plan.outline.ring.bounding_box();
    let own = bounds(deck);
    let free = |side: Side| {
        decks.iter().all(|other| {
            let other = bounds(other);
            let beyond = match side {
                Side::Forward => other.centre().x < own.centre().x - 1.0,
                Side::Aft => other.centre().x > own.centre().x + 1.0,
            };
            let beside = other.least.y < own.greatest.y && own.least.y < other.greatest.y;
            !(beyond && beside)
        })
    };
    let forward = decks.len() > 1 && own.centre().x < all.centre().x;
    let order = if forward {
        [Side::Forward, Side::Aft]
    } else {
        [Side::Aft, Side::Forward]
    };
    order.into_iter().find(|side| free(*side))
}

/// The point of a ring furthest `toward`, among those the one with the least `then`.
fn lowest(ring: &Ring, toward: impl Fn(Point) -> f64, then: impl Fn(Point) -> f64) -> Point {
    let mut best = Point::new(f64::NAN, f64::NAN);
    for segment in ring.segments() {
        let mut points = vec![segment.start()];
        if let Segment::Arc(arc) = segment {
            for quarter in 0..4 {
                let angle = f64::from(quarter) * std::f64::consts::FRAC_PI_2;
                if arc.covers_angle(angle) {
                    points.push(arc.centre + Point::at_angle(angle) * arc.radius);
                }
            }
        }
        for point in points {
            let gain = toward(point) - toward(best);
            let tie = gain.abs() <= 1e-6 && then(point) < then(best);
            if gain.is_nan() || gain > 1e-6 || tie {
                best = point;
            }
        }
    }
    best
}

impl Scene<'_> {
    /// The box round all that is shown, on the sheet.
    pub(super) fn deck_bounds(&self) -> BoundingBox {
        self.projection.bounds(self.bounds)
    }

    pub(super) fn pen(&self, width: f64, dash: Dash) -> Pen {
        Pen { width, dash }
    }

    /// What a list calls something on a deck: with the deck's title where there are several.
    pub(super) fn called(&self, deck: &DeckJob, name: &str) -> String {
        if self.decks.len() > 1 {
            format!("{} {name}", deck.plan.title)
        } else {
            name.to_owned()
        }
    }

    /// Edges of openings, fittings and, with a pen of its own, of the decks.
    pub(super) fn edges(&self, canvas: &mut Canvas, outline: Pen) {
        let style = &self.style;
        for deck in self.decks {
            let openings = self.projection.region(&deck.pattern.openings);
            let pen = Pen::solid(style.thin * 1.4);
            canvas.region(Layer::Openings, Some(pen), Fill::None, &openings);
            for fitting in &deck.plan.fittings {
                let dash = if fitting.in_place {
                    Dash::Solid
                } else {
                    Dash::Dashed
                };
                let ring = self.projection.ring(&fitting.ring);
                canvas.ring(Layer::Fittings, self.pen(style.thin, dash), &ring);
            }
            let ring = self.projection.ring(&deck.plan.outline.ring);
            canvas.ring(Layer::Outline, outline, &ring);
        }
    }

    /// Where areas kept smooth and pads end, dotted, as far as they lie on the deck.
    pub(super) fn areas(&self, canvas: &mut Canvas) {
        let pen = self.pen(self.style.thin, Dash::Dotted);
        for deck in self.decks {
            for one in deck.plan.smooth.iter().chain(&deck.plan.pads) {
                let area = Region::inside(one.ring.clone()).intersection(&[&deck.pattern.deck]);
                let area = self.projection.region(&area);
                canvas.region(Layer::Areas, Some(pen), Fill::None, &area);
            }
        }
    }

    /// Labels of areas kept smooth and of pads: one for each name, with a count where there are several.
    pub(super) fn area_labels(&self) -> Vec<Label> {
        let mut labels = Vec::new();
        for deck in self.decks {
            let plan = &deck.plan;
            for (areas, kind) in [(&plan.smooth, "smooth"), (&plan.pads, "pad")] {
                let placements: Vec<Placement> = areas
                    .iter()
                    .map(|area| Placement {
                        name: format!("{}, {kind}", area.name),
                        ring: area.ring.clone(),
                        margin: Length::ZERO,
                        in_place: true,
                        is_glazed: false,
                        is_mirror_image: false,
                        place: area.place,
                    })
                    .collect();
                for named in features::by_name(&placements) {
                    labels.push(self.name_label(deck, &named, true));
                }
            }
        }
        labels
    }

    /// The cross over each opening and the centre of each fitting, cut round texts.
    pub(super) fn crosses(&self, canvas: &mut Canvas, cut: &[TextBox]) {
        let style = &self.style;
        for deck in self.decks {
            let region = self.projection.region(&deck.pattern.openings);
            for opening in &deck.plan.openings {
                let runs: Vec<Run> = oriented_diagonals(&self.projection.ring(&opening.ring))
                    .into_iter()
                    .flat_map(|[start, end]| inside_region(&region, start, end))
                    .flat_map(|[start, end]| outside_boxes(start, end, cut))
                    .collect();
                let pen = Some(Pen::solid(style.hatch));
                canvas.runs(Layer::Openings, pen, Fill::None, runs);
            }
            for fitting in &deck.plan.fittings {
                let bounds = self.projection.ring(&fitting.ring).bounding_box();
                let arm = (bounds.width().min(bounds.height()) * 0.3).min(1.6);
                let box_free = cut.iter().all(|text| {
                    text.part_of_line(
                        bounds.centre() - Point::new(arm, 0.0),
                        bounds.centre() + Point::new(arm, 0.0),
                    )
                    .is_none()
                });
                if arm > 0.3 && box_free {
                    panel::centre_mark(canvas, Layer::Fittings, style, bounds.centre(), arm);
                }
            }
        }
    }

    /// Stations, bow arrow, overall dimensions.
    pub(super) fn frame_of_reference(&self, canvas: &mut Canvas, dimensions: &Dimensions) {
        self.stations(canvas);
        self.bow_arrow(canvas);
        let (style, bounds) = (&self.style, self.deck_bounds());
        let (first, apart) = (first(style), dimension::apart(style));
        let at = |row: usize| first + apart * row as f64;
        for (row, spans) in dimensions.below.iter().enumerate() {
            for span in spans {
                let (from, to) = self.ends(span);
                let y = bounds.least.y - at(row);
                dimension::level(canvas, style, from, to, y, &span.figure);
            }
        }
        for (rows, x, side) in [
            (&dimensions.left, bounds.least.x, -1.0),
            (&dimensions.right, bounds.greatest.x, 1.0),
        ] {
            for (row, spans) in rows.iter().enumerate() {
                for span in spans {
                    let (from, to) = self.ends(span);
                    dimension::upright(canvas, style, from, to, x + side * at(row), &span.figure);
                }
            }
        }
    }

    fn ends(&self, span: &Span) -> (Point, Point) {
        (
            self.projection.point(span.from),
            self.projection.point(span.to),
        )
    }

    /// The centreline and its sign, cut round texts.
    pub(super) fn centreline(&self, canvas: &mut Canvas, cut: &[TextBox]) {
        let (style, bounds) = (&self.style, self.deck_bounds());
        let y = self.projection.origin.y;
        if y <= bounds.least.y || y >= bounds.greatest.y {
            return;
        }
        let reach = style.note * 2.6;
        let (left, right) = (bounds.least.x - reach, bounds.greatest.x + reach);
        let pen = self.pen(style.thin, Dash::Chain);
        let runs = outside_boxes(Point::new(left, y), Point::new(right, y), cut);
        canvas.runs(Layer::Centreline, Some(pen), Fill::None, runs);
        centreline_sign(canvas, style, Point::new(left - style.note * 0.9, y));
    }

    /// Where a station stands on the centreline, as far aft as the drawing counts.
    fn along(&self, station: f64) -> f64 {
        self.flat.map_or(station, |flat| {
            flat.development.laid(Point::new(station, 0.0)).x
        })
    }

    /// The steps between stations with a number and between ticks, and the first and the last station.
    fn station_steps(&self) -> StationSteps {
        let (style, bounds) = (&self.style, self.deck_bounds());
        let share = self.projection.share;
        let (majors, minors): (&[f64], &[f64]) = if self.units.is_imperial() {
            (
                &[304.8, 609.6, 1524.0, 3048.0, 15240.0],
                &[25.4, 76.2, 152.4, 304.8, 1524.0],
            )
        } else {
            (
                &[100.0, 500.0, 1000.0, 5000.0, 10_000.0],
                &[10.0, 50.0, 100.0, 500.0, 1000.0],
            )
        };
        let [nearest, furthest] = [bounds.least.x, bounds.greatest.x].map(|x| {
            let along = (x - self.projection.origin.x) / share;
            self.flat.map_or(along, |flat| {
                flat.development.raised(Point::new(along, 0.0)).x
            })
        });
        let name = figure::mark(Length::mm(furthest.round()), self.units);
        let widest = text::width(&name, style.small, Weight::Regular) + 2.5;
        let pick = |steps: &[f64], least: f64| {
            steps
                .iter()
                .copied()
                .find(|step| step * share >= least)
                .unwrap_or(20_000.0)
        };
        let major = pick(majors, widest.max(9.0));
        StationSteps {
            major,
            minor: pick(minors, 1.7).min(major),
            nearest,
            furthest,
        }
    }

    /// The stations with a number, each as a line across the deck laid flat, cut round texts; nothing on a plan, where
    /// they are plain to see.
    pub(super) fn station_lines(&self, canvas: &mut Canvas, cut: &[TextBox]) {
        let Some(LaidFlat { development, .. }) = self.flat else {
            return;
        };
        let steps = self.station_steps();
        let pen = self.pen(self.style.hatch, Dash::Dotted);
        let bounds = bounds(self.decks);
        let reach = bounds.greatest.y.max(-bounds.least.y) * 1.2;
        for deck in self.decks {
            let region = self.projection.region(&deck.pattern.deck);
            let mut number = (steps.nearest / steps.major).ceil();
            while number * steps.major <= steps.furthest {
                let station = number * steps.major;
                let points: Vec<Point> = (-STEPS_ACROSS..=STEPS_ACROSS)
                    .map(|step| reach * f64::from(step) / f64::from(STEPS_ACROSS))
                    .map(|y| {
                        self.projection
                            .point(development.laid(Point::new(station, y)))
                    })
                    .collect();
                let runs: Vec<Run> = points
                    .windows(2)
                    .flat_map(|pair| inside_region(&region, pair[0], pair[1]))
                    .flat_map(|[start, end]| outside_boxes(start, end, cut))
                    .collect();
                canvas.runs(Layer::Dimensions, Some(pen), Fill::None, runs);
                number += 1.0;
            }
        }
    }

    fn stations(&self, canvas: &mut Canvas) {
        let (style, bounds) = (&self.style, self.deck_bounds());
        let layer = Layer::Dimensions;
        let share = self.projection.share;
        let name = |station: f64| figure::mark(Length::mm(station), self.units);
        let StationSteps {
            major,
            minor,
            nearest,
            furthest,
        } = self.station_steps();
        let y = bounds.greatest.y + first(style);
        let pen = Pen::solid(style.thin);
        let mut number = ((nearest - 1e-6) / minor).ceil();
        let (mut ticks, mut last) = (Vec::new(), bounds.greatest.x);
        while number * minor <= furthest + 1e-6 {
            let station = number * minor;
            let x = self.projection.origin.x + self.along(station) * share;
            let of_major = station / major;
            let numbered = (of_major - of_major.round()).abs() < 1e-6;
            let height = style.small * if numbered { 1.0 } else { 0.55 };
            ticks.push(Run::open(&[Point::new(x, y), Point::new(x, y + height)]));
            if numbered {
                let at = Point::new(x, y + style.small * 1.6);
                let words = name(station);
                last = last.max(x + text::width(&words, style.small, Weight::Regular) / 2.0);
                canvas.text(
                    layer,
                    at,
                    Anchor::Middle,
                    style.small,
                    Weight::Regular,
                    &words,
                );
            }
            number += 1.0;
        }
        let ends = [
            Point::new(bounds.least.x, y),
            Point::new(bounds.greatest.x, y),
        ];
        canvas.line(layer, pen, &ends);
        canvas.runs(layer, Some(pen), Fill::None, ticks);
        let at = Point::new(last + 2.0, y + style.small * 1.6);
        canvas.text(
            layer,
            at,
            Anchor::Start,
            style.small,
            Weight::Regular,
            if self.flat.is_some() {
                "stations on the centreline"
            } else {
                "stations"
            },
        );
    }

    fn bow_arrow(&self, canvas: &mut Canvas) {
        let style = &self.style;
        let layer = Layer::Dimensions;
        let size = style.note;
        // Narrow enough to stand left of the stations however far the deck reaches.
        let tip = Point::new(
            self.area.least.x + size * 0.3,
            self.area.greatest.y - size * 0.6,
        );
        let tail = tip + Point::new(size * 4.0, 0.0);
        canvas.line(layer, Pen::solid(style.thick), &[tip, tail]);
        canvas.arrowhead(layer, tip, Point::new(-1.0, 0.0), size * 2.0);
        let at = tip.towards(tail, 0.5) - Point::new(0.0, size * 1.9);
        canvas.text(layer, at, Anchor::Middle, size, Weight::Bold, "BOW");
    }

    /// Labels of openings and fittings: one for each name, with a count where there are several.
    pub(super) fn name_labels(&self) -> Vec<Label> {
        let mut labels = Vec::new();
        for deck in self.decks {
            for named in features::by_name(&deck.plan.openings) {
                labels.push(self.name_label(deck, &named, true));
                labels.extend(self.number_labels(&named));
            }
            for named in features::by_name(&deck.plan.fittings) {
                labels.push(self.name_label(deck, &named, false));
                labels.extend(self.number_labels(&named));
            }
        }
        labels
    }

    fn name_label(&self, deck: &DeckJob, named: &features::Named<'_>, is_opening: bool) -> Label {
        let style = &self.style;
        let most = style.note * 22.0;
        let mut name = text::shortened(&named.name, style.note, Weight::Regular, most);
        if name.is_empty() {
            name = if is_opening { "opening" } else { "fitting" }.to_owned();
        }
        if named.members.len() > 1 {
            name = format!("{name} (×{})", named.members.len());
        }
        let mut wordings = vec![Wording::new(style.note, &[(&name, Weight::Regular)])];
        if let Some((first, rest)) = name.split_once(' ') {
            let lines = [(first, Weight::Regular), (rest, Weight::Regular)];
            wordings.push(Wording::new(style.note, &lines));
        }
        wordings.push(Wording::new(style.small, &[(&name, Weight::Regular)]));
        let mut label = Label::new(&self.called(deck, &name), wordings);
        let middle = self.deck_bounds().centre();
        let shown = every(&named.members, 5);
        for member in &shown {
            let ring = self.projection.ring(&member.ring);
            self.inside_ring(&mut label, &ring, is_opening);
        }
        let tips: Vec<(Point, Point)> = shown
            .iter()
            .flat_map(|member| [1.0, -1.0].map(|side| self.tip(member, middle, side, is_opening)))
            .collect();
        let tip = if is_opening { Tip::Dot } else { Tip::Arrow };
        label.around(0, &tips, tip, style, 3.0);
        label
    }

    /// The number of each member of a series, small, beside it; left out without a word where there is no
    /// room.
    fn number_labels(&self, named: &features::Named<'_>) -> Vec<Label> {
        let style = &self.style;
        let numbered = named.members.iter().zip(&named.numbers);
        numbered
            .map(|(member, number)| {
                let words = Wording::new(style.small, &[(number, Weight::Regular)]);
                let (width, depth) = (words.width, words.depth);
                let mut label = Label::new("", vec![words]);
                let bounds = self.projection.ring(&member.ring).bounding_box();
                let off = Point::new(
                    (bounds.width() + width) / 2.0,
                    (bounds.height() + depth) / 2.0,
                );
                for gap in [0.8, 1.8, 3.0] {
                    for (x, y) in [
                        (0.0, 1.0),
                        (0.0, -1.0),
                        (1.0, 0.0),
                        (-1.0, 0.0),
                        (1.0, 1.0),
                        (-1.0, 1.0),
                        (1.0, -1.0),
                        (-1.0, -1.0),
                    ] {
                        let step = Point::new(x * (off.x + gap), y * (off.y + gap));
                        label.at(0, bounds.centre() + step, 0.0, gap);
                    }
                }
                label
            })
            .collect()
    }

    fn inside_ring(&self, label: &mut Label, ring: &Ring, is_opening: bool) {
        let bounds = ring.bounding_box();
        let region = Region::inside(ring.clone());
        let turn = features::long_axis(&features::spread(&region, 6));
        for wording in 0..label.wordings.len() {
            let words = label.wordings[wording].clone();
            if words.width > bounds.width().hypot(bounds.height()) {
                continue;
            }
            let cost = wording as f64 * 0.4 + if is_opening { 0.0 } else { 0.5 };
            label.inside(wording, bounds.centre(), 0.0, cost);
            // Clear of a centreline through the middle.
            let beside = Point::new(0.0, words.depth / 2.0 + 1.0);
            label.inside(wording, bounds.centre() + beside, 0.0, cost + 0.5);
            label.inside(wording, bounds.centre() - beside, 0.0, cost + 0.6);
            if turn.abs() > 0.05 && features::reads_well(turn) {
                label.inside(wording, bounds.centre(), turn, cost + 0.2);
            }
        }
    }

    /// Where a leader meets a feature, and the way it best comes from: from outside the deck
    /// (`side` 1), or from inside (-1).
    fn tip(
        &self,
        member: &Placement,
        middle: Point,
        side: f64,
        is_opening: bool,
    ) -> (Point, Point) {
        let ring = self.projection.ring(&member.ring);
        let bounds = ring.bounding_box();
        let centre = bounds.centre();
        let out = Point::new(
            (centre.x - middle.x) * 0.3,
            if centre.y >= middle.y { 1.0 } else { -1.0 } * middle.distance(centre).max(1.0),
        )
        .unit()
            * side;
        if is_opening {
            return (
                centre + out * (bounds.height().min(bounds.width()) * 0.25),
                out,
            );
        }
        let on_edge = ring
            .segments()
            .iter()
            .flat_map(|segment| [0.0, 0.25, 0.5, 0.75].map(|share| segment.point_at(share)))
            .max_by(|a, b| {
                let along = |point: &Point| (*point - centre).unit().dot(out);
                along(a).total_cmp(&along(b))
            })
            .unwrap_or(centre);
        (on_edge, out)
    }

    /// Titles of decks, where there are several.
    pub(super) fn deck_labels(&self) -> Vec<Label> {
        if self.decks.len() < 2 {
            return Vec::new();
        }
        let style = &self.style;
        self.decks
            .iter()
            .map(|deck| {
                let title = text::drawable(&deck.plan.title);
                let most = style.note * 30.0;
                let mut title = text::shortened(&title, style.note, Weight::Bold, most);
                let all = bounds(self.decks);
                if free_side(deck, self.decks, all).is_none() {
                    let own = deck.plan.outline.ring.bounding_box();
                    let beam = figure::overall(own.height(), self.units);
                    title = format!("{title}, {beam} across overall");
                }
                let words = Wording::new(style.note, &[(&title, Weight::Bold)]);
                let (width, depth) = (words.width, words.depth);
                let mut label = Label::new(&title, vec![words]);
                let ring = self.projection.ring(&deck.plan.outline.ring);
                let bounds = ring.bounding_box();
                let inward = if bounds.centre().y >= self.projection.origin.y {
                    -1.0
                } else {
                    1.0
                };
                for number in 0..9_u32 {
                    let share = f64::from(number) / 8.0;
                    let x =
                        bounds.least.x + width / 2.0 + (bounds.width() - width).max(0.0) * share;
                    for gap in [1.5, 4.0, 8.0, 12.0, 16.0] {
                        let away = f64::from(number.abs_diff(4)) * 0.15 + gap * 0.2;
                        let above = bounds.greatest.y + depth / 2.0 + gap;
                        let below = bounds.least.y - depth / 2.0 - gap;
                        label.at(0, Point::new(x, above), 0.0, away - inward * 0.5);
                        label.at(0, Point::new(x, below), 0.0, away + inward * 0.5);
                    }
                }
                let out = Point::new(0.0, -inward);
                // Edges square to the centreline may be another deck's as well.
                let own: Vec<&Segment> = ring
                    .segments()
                    .iter()
                    .filter(|segment| segment.direction_at(0.5).x.abs() > 0.5)
                    .collect();
                let tips: Vec<(Point, Point)> = every(&own, 8)
                    .iter()
                    .map(|segment| (segment.point_at(0.5), out))
                    .collect();
                label.around(0, &tips, Tip::Arrow, style, 8.0);
                label
            })
            .collect()
    }
}

/// At most `most` of some things, evenly spread.
pub(super) fn every<T>(things: &[T], most: usize) -> Vec<&T> {
    let count = things.len().min(most);
    (0..count)
        .map(|number| &things[number * things.len() / count])
        .collect()
}

/// Diagonals of the box round a ring, turned as its longest straight line lies.
fn oriented_diagonals(ring: &Ring) -> [[Point; 2]; 2] {
    let angle = ring
        .segments()
        .iter()
        .filter(|segment| matches!(segment, Segment::Line(..)))
        .max_by(|a, b| a.length().total_cmp(&b.length()))
        .map_or(0.0, |longest| longest.direction_at(0.5).angle());
    let level = ring.moved(&|point: Point| point.turned(-angle));
    panel::diagonals(level.bounding_box()).map(|ends| ends.map(|point| point.turned(angle)))
}

/// The centreline's sign, a C and an L over each other, drawn because fonts lack it.
fn centreline_sign(canvas: &mut Canvas, style: &Style, at: Point) {
    let size = style.note;
    let pen = Pen::solid(style.thin);
    let centre = at + Point::new(-size * 0.1, size * 0.2);
    let round = Arc::about(centre, size * 0.55, 0.8, std::f64::consts::TAU - 1.6);
    let run = Run {
        segments: vec![Segment::Arc(round)],
        closed: false,
    };
    canvas.runs(Layer::Centreline, Some(pen), Fill::None, vec![run]);
    let foot = at + Point::new(size * 0.05, -size * 0.9);
    canvas.line(
        Layer::Centreline,
        pen,
        &[
            foot + Point::new(0.0, size * 1.5),
            foot,
            foot + Point::new(size * 0.7, 0.0),
        ],
    );
}

/// The largest standard scale, or the given one, at which decks of some size fit into an area.
pub(super) fn fits(size: (f64, f64), bands: &Bands, area: BoundingBox, scale: Scale) -> bool {
    size.0 / scale.divisor() + bands.left + bands.right <= area.width() + 1e-9
        && size.1 / scale.divisor() + bands.above + bands.below <= area.height() + 1e-9
}
