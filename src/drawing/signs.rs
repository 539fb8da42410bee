//! Signs at places that need a person's eye: a numbered triangle at each warning that has a place on the
//! deck, a ring where tape lies over tape.

use super::canvas::{Canvas, Projection};
use super::figure;
use super::label::{Label, Tip, Wording};
use super::marks::{Fill, Layer, Pen, Run, Weight};
use super::panel::Row;
use super::paper::Style;
use crate::DeckJob;
use crate::Job;
use crate::masking::Clash;
use crate::outline::Warning;
use crate::shape::{Point, Ring};
use crate::units::LengthUnit;

/// Warnings that the notes list; the rest is counted.
const LISTED: usize = 8;
/// Clashes of one deck that are labelled; all have their ring.
const LABELLED: usize = 12;

/// The warnings that have a place on one of some decks, in the order of their numbers. Clashes of tape are
/// not among them: the masking views show those.
pub(super) fn placed<'a>(job: &'a Job, decks: &[&DeckJob]) -> Vec<(&'a Warning, Point)> {
    job.warnings
        .iter()
        .filter(|warning| warning.code != "tape-clash")
        .filter(|warning| decks.iter().any(|deck| deck.plan.id == warning.deck))
        .filter_map(|warning| Some((warning, warning.at?)))
        .collect()
}

/// What stands beside the triangle of a warning.
fn number(index: usize) -> String {
    format!("W{}", index + 1)
}

/// Draws the triangles and gives their numbers as labels.
pub(super) fn triangles(
    canvas: &mut Canvas,
    style: &Style,
    projection: &Projection,
    warnings: &[(&Warning, Point)],
) -> Vec<Label> {
    warnings
        .iter()
        .enumerate()
        .map(|(index, (_, at))| {
            let at = projection.point(*at);
            let size = style.note * 0.55;
            let corners = [90.0_f64, 210.0, 330.0]
                .map(|degrees| at + Point::at_angle(degrees.to_radians()) * size);
            let pen = Some(Pen::solid(style.thin * 1.4));
            let runs = vec![Run::closed(&Ring::polygon(&corners))];
            canvas.runs(Layer::Labels, pen, Fill::Grey(255), runs);
            canvas.dot(Layer::Labels, at, size * 0.2);
            let name = number(index);
            let words = Wording::new(style.note, &[(&name, Weight::Bold)]);
            let off = Point::new(words.width / 2.0 + size, words.depth / 2.0 + size);
            let mut label = Label::new(&format!("warning {name}"), vec![words]);
            for gap in [0.8, 2.0] {
                for step in 0..8 {
                    let way = Point::at_angle(f64::from(step) * std::f64::consts::FRAC_PI_4);
                    let to = Point::new(way.x * (off.x + gap), way.y * (off.y + gap));
                    label.at(0, at + to, 0.0, gap);
                }
            }
            around(&mut label, at, size, Tip::Bare, style);
            label
        })
        .collect()
}

/// Draws the rings of clashes and gives the widest tape that would do as labels.
pub(super) fn rings(
    canvas: &mut Canvas,
    style: &Style,
    projection: &Projection,
    clashes: &[Clash],
    units: LengthUnit,
) -> Vec<Label> {
    let radius = style.note * 0.9;
    for clash in clashes {
        let ring = Ring::circle(projection.point(clash.at), radius);
        canvas.ring(Layer::Labels, Pen::solid(style.thick), &ring);
    }
    super::scene::every(clashes, LABELLED)
        .into_iter()
        .map(|clash| {
            let at = projection.point(clash.at);
            let name = format!("CLASH {}", clash.width_that_would_do.show(units));
            let words = Wording::new(style.note, &[(&name, Weight::Bold)]);
            let mut label = Label::new(&name, vec![words]);
            around(&mut label, at, radius, Tip::Bare, style);
            label
        })
        .collect()
}

/// Leaders from the edge of a sign, from all sides.
fn around(label: &mut Label, at: Point, radius: f64, tip: Tip, style: &Style) {
    for step in 0..8 {
        let way = Point::at_angle(f64::from(step) * std::f64::consts::FRAC_PI_4 + 0.3);
        for length in [4.0, 8.0, 14.0, 22.0] {
            let length = length * style.note / 2.5;
            label.on_leader(0, at + way * radius, tip, way, length, 1.0);
        }
    }
}

/// The list that the numbers of the triangles refer to.
pub(super) fn listed(warnings: &[(&Warning, Point)], units: LengthUnit) -> Vec<Row> {
    if warnings.is_empty() {
        return Vec::new();
    }
    let mut rows = vec![Row::Heading("Warnings, in full in the report".to_owned())];
    for (index, (warning, at)) in warnings.iter().enumerate().take(LISTED) {
        rows.push(Row::Paragraph(format!(
            "{} {}: station {}, {}",
            number(index),
            meaning(warning.code),
            figure::overall(at.x, units),
            side(*at, units),
        )));
    }
    if warnings.len() > LISTED {
        let more = warnings.len() - LISTED;
        rows.push(Row::Paragraph(format!("and {more} more")));
    }
    rows
}

fn side(at: Point, units: LengthUnit) -> String {
    if at.y.abs() < 0.5 {
        return "centreline".to_owned();
    }
    let side = if at.y > 0.0 { "starboard" } else { "port" };
    format!("{} to {side}", figure::overall(at.y.abs(), units))
}

/// A few words for a warning; its own word where there are none better.
fn meaning(code: &str) -> String {
    match code {
        "knife-edge" => "a hair decides between two patterns",
        "dropped-narrow" => "too narrow for a field, left smooth",
        "dropped-small" => "too small for a field, left smooth",
        "hollow-refused" => "inward corner left tighter than asked",
        "tight-hollow" => "inward corner tighter than asked",
        "hollow-in-margin" => "a hollow reaches into the margin",
        "crosses-outline" => "reaches beyond the deck's edge",
        "repeated-point" => "the same point measured twice",
        other => return other.replace('-', " "),
    }
    .to_owned()
}

/// What the notes say of clashes, where there are any.
pub(super) fn clash_note(count: usize) -> Option<Row> {
    let places = match count {
        0 => return None,
        1 => "1 place".to_owned(),
        many => format!("{many} places"),
    };
    Some(Row::Paragraph(format!(
        "Tape lies over tape in {places}, ringed: CLASH names the widest tape that would do there."
    )))
}
