//! How fair the sides are: each station with its half-breadth, a comb of the curvature along the sides, a ring round
//! what disagrees with the others, and how the sides differ. What is exaggerated says in figures by how much, measured with
//! the drawing's own scale, so that it holds on any sheet.

use std::f64::consts::FRAC_PI_2;

use super::canvas::Canvas;
use super::figure;
use super::label::{Label, Tip, Wording};
use super::marks::{Dash, Fill, Layer, Pen, Run, Weight};
use super::obstacles::Obstacles;
use super::panel::{Row, Swatch};
use super::placing;
use super::scene::{Dimensions, Scene};
use super::sheet::Picture;
use crate::DeckJob;
use crate::outline::fairness::{Bump, Fairness, SideDifference, SideFairness};
use crate::shape::{Point, Ring};
use crate::units::{Length, LengthUnit};

/// The longest tooth of a comb, and the greatest difference of the sides, as shares of the greatest half-breadth.
const LONGEST_TOOTH: f64 = 0.45;
const WIDEST_DIFFERENCE: f64 = 0.2;
/// Teeth are no nearer to each other on the sheet, millimetres.
const TEETH_APART: f64 = 1.2;
/// Rows of the table of suspects.
const LISTED: usize = 8;

/// By how much the comb and the differences are exaggerated.
struct Exaggeration {
    /// Length of a tooth, mm on the deck, for a curvature of one 1/mm.
    comb: f64,
    /// A tooth of this length ...
    tooth: Length,
    /// ... is this radius.
    radius: Length,
    /// How many times the differences are enlarged; none where there are none.
    difference: Option<f64>,
}

impl Exaggeration {
    fn of(decks: &[&DeckJob], units: LengthUnit) -> Self {
        let sides = || decks.iter().copied().flat_map(sides);
        let widest = sides()
            .flat_map(|(side, _)| &side.stations)
            .map(|station| station.breadth.to_mm())
            .fold(1.0, f64::max);
        let sharpest = sides()
            .flat_map(|(side, _)| &side.curvature)
            .map(|stretch| stretch.most.curvature.max(-stretch.least.curvature))
            .fold(1e-9, f64::max);
        let unit = if units.is_imperial() {
            LengthUnit::Foot
        } else {
            LengthUnit::Metre
        };
        let most = LONGEST_TOOTH * widest;
        let tooth = round_below(most, unit);
        let radius = round_below(most / sharpest / tooth, unit);
        let differ = decks
            .iter()
            .filter_map(|deck| deck.plan.fairness.as_ref())
            .flat_map(|fairness| &fairness.differences)
            .map(|one| one.port_over_starboard().to_mm().abs())
            .fold(0.0, f64::max);
        Self {
            comb: tooth * radius,
            tooth: Length::mm(tooth),
            radius: Length::mm(radius),
            difference: (differ > 0.5)
                .then(|| round_number(WIDEST_DIFFERENCE * widest / differ).max(1.0)),
        }
    }
}

/// 1, 2 or 5 times a power of ten, not over `value`.
fn round_number(value: f64) -> f64 {
    let power = 10_f64.powf(value.max(1e-9).log10().floor());
    let digit = value / power;
    let round = [5.0, 2.0].into_iter().find(|round| digit >= *round);
    power * round.unwrap_or(1.0)
}

/// A length of a round number of `unit`, not over `mm`.
fn round_below(mm: f64, unit: LengthUnit) -> f64 {
    round_number(mm / unit.in_mm()) * unit.in_mm()
}

/// A deck's sides, each with the way it lies from the centreline.
fn sides(deck: &DeckJob) -> impl Iterator<Item = (&SideFairness, f64)> {
    deck.plan
        .fairness
        .iter()
        .flat_map(|fairness| &fairness.sides)
        .map(|side| (side, if side.side == Some("port") { -1.0 } else { 1.0 }))
}

/// Whether a deck has half-breadths to show.
pub(super) fn can_show(deck: &DeckJob) -> bool {
    deck.plan.fairness.is_some()
}

/// Draws the view.
pub(super) fn draw(scene: &Scene<'_>, dimensions: &Dimensions) -> Picture {
    let style = &scene.style;
    let exaggeration = Exaggeration::of(scene.decks, scene.units);
    let mut lines = Canvas::default();
    for deck in scene.decks {
        let ring = scene.projection.ring(&deck.plan.outline.ring);
        lines.ring(Layer::Outline, Pen::solid(style.thick), &ring);
        for (side, way) in sides(deck) {
            comb(&mut lines, scene, side, way, exaggeration.comb);
            ordinates(&mut lines, scene, side, way);
        }
        if let (Some(fairness), Some(times)) = (&deck.plan.fairness, exaggeration.difference) {
            differences(&mut lines, scene, &fairness.differences, times);
        }
    }
    scene.frame_of_reference(&mut lines, dimensions);
    let mut labels = scene.deck_labels();
    for deck in scene.decks {
        for (side, way) in sides(deck) {
            labels.extend(suspects(&mut lines, scene, side, way));
            labels.extend(figures(scene, side, way));
        }
    }
    let mut obstacles = Obstacles::new(scene.area);
    obstacles.add(&lines);
    let mut centreline = Canvas::default();
    scene.centreline(&mut centreline, &[]);
    obstacles.add(&centreline);
    let placed = placing::place(labels, &mut obstacles, style);
    let mut all = Canvas::default();
    scene.centreline(&mut all, &placed.boxes);
    all.marks.append(&mut lines.marks);
    all.marks.extend(placed.canvas.marks);
    Picture {
        canvas: all,
        unplaced: placed.unplaced,
    }
}

/// Teeth square to the side, inboard where it bulges, and the line along their ends.
fn comb(canvas: &mut Canvas, scene: &Scene<'_>, side: &SideFairness, way: f64, exaggerated: f64) {
    let style = &scene.style;
    for stretch in &side.curvature {
        let mut teeth = Vec::new();
        let mut ends = Vec::new();
        let mut last: Option<Point> = None;
        let count = stretch.points.len();
        for (number, point) in stretch.points.iter().enumerate() {
            let inboard = point.outward * (-point.curvature * exaggerated);
            let tip = point.at + inboard;
            let [root, tip] =
                [point.at, tip].map(|at| scene.projection.point(Point::new(at.x, way * at.y)));
            let is_apart = last.is_none_or(|last| last.distance(root) >= TEETH_APART);
            if is_apart || number + 1 == count {
                teeth.push(Run::open(&[root, tip]));
                last = Some(root);
            }
            ends.push(tip);
        }
        let pen = Some(Pen::solid(style.hatch));
        canvas.runs(Layer::Hatch, pen, Fill::None, teeth);
        canvas.line(Layer::Areas, Pen::solid(style.thin), &ends);
    }
}

/// A fine line from the centreline to each half-breadth, and a dot there.
fn ordinates(canvas: &mut Canvas, scene: &Scene<'_>, side: &SideFairness, way: f64) {
    let style = &scene.style;
    for station in &side.stations {
        let [foot, head] = ordinate(scene, station.station, station.breadth, way);
        if station.breadth > Length::ZERO {
            let pen = scene.pen(style.hatch, Dash::Dashed);
            canvas.line(Layer::Dimensions, pen, &[foot, head]);
        }
        canvas.dot(Layer::Dimensions, head, style.thick * 0.9);
    }
}

fn ordinate(scene: &Scene<'_>, station: Length, breadth: Length, way: f64) -> [Point; 2] {
    [0.0, way * breadth.to_mm()].map(|y| scene.projection.point(Point::new(station.to_mm(), y)))
}

/// How much the sides differ, from the centreline to the wider side.
fn differences(canvas: &mut Canvas, scene: &Scene<'_>, all: &[SideDifference], times: f64) {
    let style = &scene.style;
    let mut ends = Vec::new();
    for one in all {
        let off = -one.port_over_starboard().to_mm() * times;
        let [foot, head] = ordinate(scene, one.station, Length::mm(off), 1.0);
        canvas.line(Layer::Areas, Pen::solid(style.thick), &[foot, head]);
        ends.push(head);
    }
    canvas.line(Layer::Areas, scene.pen(style.thin, Dash::Dotted), &ends);
}

/// A ring round each half-breadth that disagrees with the others, and what a batten would do there.
fn suspects(canvas: &mut Canvas, scene: &Scene<'_>, side: &SideFairness, way: f64) -> Vec<Label> {
    let style = &scene.style;
    let radius = style.note * 1.1;
    let mut ringed = |station: Length, breadth: Length, words: &str| {
        let [_, head] = ordinate(scene, station, breadth, way);
        let ring = Ring::circle(head, radius);
        canvas.ring(Layer::Labels, Pen::solid(style.thick), &ring);
        let mut label = Label::new(
            words,
            vec![Wording::new(style.note, &[(words, Weight::Bold)])],
        );
        for number in 0..16_u32 {
            let towards = Point::at_angle(f64::from(number) * FRAC_PI_2 / 4.0 + 0.2);
            for length in [4.0, 8.0, 14.0, 22.0, 34.0] {
                let length = length * style.note / 2.5;
                let tip = head + towards * radius;
                let cost = if towards.y * way > 0.0 { 0.0 } else { 2.0 };
                label.on_leader(0, tip, Tip::Bare, towards, length, cost);
            }
        }
        label
    };
    let mut labels = Vec::new();
    for bump in &side.bumps {
        labels.push(ringed(
            bump.station,
            bump.breadth,
            &format!("batten {}", passing(bump, scene.units)),
        ));
    }
    for pair in &side.exchanged {
        for (station, breadth) in pair.stations.iter().zip(pair.breadths) {
            labels.push(ringed(*station, breadth, "exchanged"));
        }
    }
    labels
}

/// How far a batten through the others passes, in words.
fn passing(bump: &Bump, units: LengthUnit) -> String {
    let further = if bump.passes > Length::ZERO {
        "out"
    } else {
        "in"
    };
    let about = Length::mm(bump.passes.to_mm().abs().round());
    format!("{} further {further}", about.show(units))
}

/// Each station's half-breadth outside the edge and its station at the centreline, both read along the ordinate.
fn figures(scene: &Scene<'_>, side: &SideFairness, way: f64) -> Vec<Label> {
    let style = &scene.style;
    let mut labels = Vec::new();
    for station in &side.stations {
        let [foot, head] = ordinate(scene, station.station, station.breadth, way);
        let breadth = figure::length(station.breadth, scene.units);
        let words = Wording::new(style.note, &[(&breadth, Weight::Regular)]);
        let half = words.width / 2.0;
        let mut label = Label::new(&format!("half-breadth {breadth}"), vec![words]);
        for (number, gap) in [1.6, 2.6, 4.0, 6.0, 8.0].into_iter().enumerate() {
            for aside in [0.0, -1.2, 1.2, -2.4, 2.4] {
                let centre = head + Point::new(aside, way * (half + gap));
                let cost = 0.3 * number as f64 + f64::abs(aside) * 0.4;
                label.at(0, centre, FRAC_PI_2, cost);
            }
        }
        let outward = Point::new(0.0, way);
        label.around(0, &[(head, outward)], Tip::Dot, style, 6.0);
        labels.push(label);
        if station.breadth > Length::ZERO {
            let name = figure::length(station.station, scene.units);
            let words = Wording::new(style.small, &[(&name, Weight::Regular)]);
            let (half, deep) = (words.width / 2.0, words.depth / 2.0 + 0.4);
            let mut label = Label::new(&format!("station {name}"), vec![words]);
            for (number, gap) in [1.2, 2.5, 4.5, 7.0, 10.0].into_iter().enumerate() {
                for aside in [-deep, deep] {
                    let centre = foot + Point::new(aside, way * (half + gap));
                    label.at(0, centre, FRAC_PI_2, 0.5 * number as f64);
                }
            }
            labels.push(label);
        }
    }
    labels
}

/// What the signs mean.
pub(super) fn legend(decks: &[&DeckJob], units: LengthUnit) -> Vec<Row> {
    let exaggeration = Exaggeration::of(decks, units);
    let mut rows = vec![
        Row::Heading("Fairness of the sides".to_owned()),
        Row::Swatch(
            Swatch::Comb,
            format!(
                "comb of curvature: a tooth of {} at the scale of the drawing is a radius of {}, half as long twice the radius; \
                 inboard where the side bulges",
                exaggeration.tooth.show(units),
                exaggeration.radius.show(units)
            ),
        ),
        Row::Swatch(
            Swatch::Ringed,
            "disagrees with the others: where a batten through them would pass".to_owned(),
        ),
        Row::Swatch(Swatch::Centreline, "centreline, with stations".to_owned()),
    ];
    if let Some(times) = exaggeration.difference {
        rows.push(Row::Swatch(
            Swatch::Difference,
            format!("how much wider one side is, {times} times enlarged, drawn to that side"),
        ));
    }
    rows
}

/// What was found, and what could have been.
pub(super) fn notes(decks: &[&DeckJob], units: LengthUnit) -> Vec<Row> {
    let mut rows = vec![Row::Heading("Half-breadths, judged".to_owned())];
    let mut table = Vec::new();
    for deck in decks {
        let Some(fairness) = &deck.plan.fairness else {
            continue;
        };
        for side in &fairness.sides {
            rows.push(Row::Paragraph(judged(deck, side, decks.len() > 1, units)));
            table.extend(side.bumps.iter().map(|bump| {
                vec![
                    figure::length(bump.station, units),
                    figure::length(bump.breadth, units),
                    passing(bump, units),
                ]
            }));
        }
        rows.extend(differ(fairness, units));
    }
    if !table.is_empty() {
        table.truncate(LISTED);
        let head = ["Station", "half-breadth", "batten passes"].map(str::to_owned);
        table.insert(0, head.to_vec());
        rows.push(Row::Table(table));
    }
    rows.push(Row::Paragraph(
        "A fair side bends more and less in long sweeps: each wave of the comb beyond one or two is a wave in the deck's edge, \
         or in the table."
            .to_owned(),
    ));
    rows
}

/// What one side was judged by.
fn judged(deck: &DeckJob, side: &SideFairness, is_one_of_many: bool, units: LengthUnit) -> String {
    let mut name = match side.side {
        Some(side) => format!("{side}: "),
        None => String::new(),
    };
    if is_one_of_many {
        name = format!("{}, {name}", deck.plan.title);
    }
    let limits: Vec<f64> = side
        .stations
        .iter()
        .filter_map(|station| station.limit)
        .map(Length::to_mm)
        .collect();
    if limits.is_empty() {
        return format!(
            "{name}fewer than {} stations between ends and knuckles: too few to tell a bump from the deck's own form. Only \
             plain slips are named.",
            SideFairness::FEWEST
        );
    }
    let about = |mm: f64| Length::mm(mm.ceil()).show(units);
    let least = limits.iter().copied().fold(f64::INFINITY, f64::min);
    let most = limits.iter().copied().fold(0.0, f64::max);
    let rounded = if side.rounding > Length::ZERO {
        format!("rounded to {}, ", side.rounding.show(units))
    } else {
        String::new()
    };
    format!(
        "{name}{rounded}so that an error shows from {} amidships to {} at the ends.",
        about(least),
        about(most)
    )
}

/// How much the sides differ at most.
fn differ(fairness: &Fairness, units: LengthUnit) -> Option<Row> {
    let most = fairness.differences.iter().max_by(|one, other| {
        let size = |one: &SideDifference| one.port_over_starboard().to_mm().abs();
        size(one).total_cmp(&size(other))
    })?;
    let apart = most.port_over_starboard().to_mm();
    let wider = if apart > 0.0 { "port" } else { "starboard" };
    Some(Row::Paragraph(format!(
        "Sides differ by {} at most, at station {}: {wider} is wider.",
        Length::mm(apart.abs()).show(units),
        most.station.show(units)
    )))
}
