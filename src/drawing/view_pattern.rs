//! The pattern: fields hatched, the smooth border left white, every field with its name and area, and a
//! figure for each different margin, strip width and radius.

use std::f64::consts::FRAC_PI_4;

use super::canvas::Canvas;
use super::features::{self, Gap};
use super::figure;
use super::hatch::hatch;
use super::label::{Label, Tip, Wording};
use super::marks::{FieldTag, Fill, Layer, Pen, Weight};
use super::obstacles::Obstacles;
use super::panel::{Row, Swatch};
use super::placing;
use super::scene::{Dimensions, Scene, every};
use super::sheet::Picture;
use super::signs;
use crate::DeckJob;
use crate::pattern::Field;
use crate::shape::{Point, Region};
use crate::units::{Length, LengthUnit};

/// Draws the view.
pub(super) fn draw(scene: &Scene<'_>, dimensions: &Dimensions) -> Picture {
    let style = &scene.style;
    let mut lines = Canvas::default();
    scene.areas(&mut lines);
    let fields = field_regions(scene);
    for (field, tag) in fields.iter().zip(field_tags(scene)) {
        lines.field(Pen::solid(style.thin), field, tag);
    }
    scene.edges(&mut lines, Pen::solid(style.thick));
    scene.frame_of_reference(&mut lines, dimensions);
    let mut marked = Canvas::default();
    let numbers = signs::triangles(&mut marked, style, &scene.projection, &scene.warnings);
    let mut obstacles = Obstacles::new(scene.area);
    obstacles.add(&lines);
    obstacles.add(&marked);
    let mut centreline = Canvas::default();
    scene.centreline(&mut centreline, &[]);
    obstacles.add(&centreline);
    obstacles.add_zones(&fields);

    // The first given is the last to be left out.
    let mut labels = numbers;
    labels.extend(scene.deck_labels());
    labels.extend(field_labels(scene, &fields, |field| {
        Some(figure::area(field.region.area(), scene.units))
    }));
    labels.extend(figure_labels(scene));
    labels.extend(scene.name_labels());
    labels.extend(scene.area_labels());
    let placed = placing::place(labels, &mut obstacles, style);

    let mut all = Canvas::default();
    for field in &fields {
        let runs = hatch(field, FRAC_PI_4, style.hatch_step, &placed.boxes);
        all.runs(
            Layer::Hatch,
            Some(Pen::solid(style.hatch)),
            Fill::None,
            runs,
        );
    }
    scene.crosses(&mut all, &placed.boxes);
    scene.station_lines(&mut all, &placed.boxes);
    scene.centreline(&mut all, &placed.boxes);
    all.marks.append(&mut lines.marks);
    all.marks.append(&mut marked.marks);
    all.marks.extend(placed.canvas.marks);
    Picture {
        canvas: all,
        unplaced: placed.unplaced,
    }
}

/// All fields on the sheet, deck by deck.
pub(super) fn field_regions(scene: &Scene<'_>) -> Vec<Region> {
    scene
        .decks
        .iter()
        .flat_map(|deck| &deck.pattern.fields)
        .map(|field| scene.projection.region(&field.region))
        .collect()
}

/// Whose they are, in the same order.
fn field_tags(scene: &Scene<'_>) -> impl Iterator<Item = FieldTag> {
    scene.decks.iter().flat_map(|deck| {
        deck.pattern.fields.iter().map(|field| FieldTag {
            deck: deck.plan.id.clone(),
            deck_title: deck.plan.title.clone(),
            id: field.id.clone(),
        })
    })
}

/// A label for each field: its name with a second line, inside and along it where that fits, else on a
/// leader, else the name alone.
pub(super) fn field_labels(
    scene: &Scene<'_>,
    regions: &[Region],
    second: impl Fn(&Field) -> Option<String>,
) -> Vec<Label> {
    let style = &scene.style;
    let fields = scene
        .decks
        .iter()
        .flat_map(|deck| deck.pattern.fields.iter().map(move |field| (deck, field)));
    let mut labels = Vec::new();
    for ((deck, field), region) in fields.zip(regions) {
        let name = (field.id.as_str(), Weight::Bold);
        let second = second(field);
        let mut wordings = Vec::new();
        if let Some(second) = &second {
            let second = (second.as_str(), Weight::Regular);
            wordings.push(Wording::new(style.note, &[name, second]));
            let one_line = format!("{}  {}", name.0, second.0);
            wordings.push(Wording::new(style.note, &[(&one_line, Weight::Regular)]));
            wordings.push(Wording::new(style.small, &[name, second]));
            wordings.push(Wording::new(style.small, &[(&one_line, Weight::Regular)]));
        }
        wordings.push(Wording::new(style.note, &[name]));
        let short = wordings.len() - 1;
        let mut label = Label::new(&scene.called(deck, &field.id), wordings);
        let points = features::spread(region, 9);
        let turn = features::long_axis(&points);
        let bounds = region.bounding_box();
        let middle = region.centroid();
        let reach = bounds.width().hypot(bounds.height()).max(1.0);
        for wording in 0..label.wordings.len() {
            let cost = if wording == short {
                30.0
            } else {
                wording as f64 * 0.8
            };
            // Round a hatch the middle of a field lies in no field.
            let centre = region.contains(middle).then_some(&middle);
            for point in points.iter().chain(centre) {
                let off = point.distance(middle) / reach * 6.0;
                label.inside(wording, *point, 0.0, cost + off);
                if turn.abs() > 0.03 && features::reads_well(turn) {
                    label.inside(wording, *point, turn, cost + off + 1.5);
                }
            }
        }
        let full = usize::from(second.is_some());
        let out = Point::new(
            0.0,
            if middle.y < scene.projection.origin.y {
                -1.0
            } else {
                1.0
            },
        );
        let tips: Vec<(Point, Point)> = every(&points, 6)
            .into_iter()
            .map(|point| (*point, out))
            .collect();
        label.around(full, &tips, Tip::Dot, style, 14.0);
        labels.push(label);
    }
    labels
}

/// Margins, strip widths and radii.
fn figure_labels(scene: &Scene<'_>) -> Vec<Label> {
    let style = &scene.style;
    let number = |mm| figure::length(Length::mm(mm), scene.units);
    let mut labels = Vec::new();
    for deck in scene.decks {
        let seen = features::Seen::on(deck, scene.flat);
        for radius in &seen.radii {
            let mut name = format!("R{}", number(radius.radius));
            if radius.arcs.len() > 1 {
                name = format!("{name} (×{})", radius.arcs.len());
            }
            let words = vec![Wording::new(style.note, &[(&name, Weight::Regular)])];
            let mut label = Label::new(&scene.called(deck, &name), words);
            let tips: Vec<(Point, Point)> = every(&radius.arcs, 8)
                .into_iter()
                .map(|[at, out]| (scene.projection.point(*at), *out))
                .flat_map(|(at, out)| [(at, out), (at, -out)])
                .collect();
            label.around(0, &tips, Tip::Radius, style, 0.0);
            label.figure = Some(name);
            labels.push(label);
        }
        for gap in seen.margins.iter().chain(&seen.strips) {
            labels.push(gap_label(scene, deck, gap, &number(gap.distance)));
        }
    }
    labels
}

fn gap_label(scene: &Scene<'_>, deck: &DeckJob, gap: &Gap, name: &str) -> Label {
    let style = &scene.style;
    let words = vec![Wording::new(style.note, &[(name, Weight::Regular)])];
    let mut label = Label::new(&scene.called(deck, name), words);
    for place in every(&gap.places, 16) {
        let ends = place.map(|end| scene.projection.point(end));
        label.on_gap(ends, style, 0.0);
        let from = label.candidates.len();
        let middle = ends[0].towards(ends[1], 0.5);
        let along = (ends[1] - ends[0]).unit().left();
        for direction in [along, -along] {
            let direction = (direction + Point::new(direction.x.signum() * 0.4, 0.0)).unit();
            for length in [4.0, 8.0, 14.0] {
                label.on_leader(0, middle, Tip::Bare, direction, length, 2.0);
            }
        }
        label.with_gap(from, ends, style);
    }
    label.figure = Some(name.to_owned());
    label
}

/// What the legend explains.
pub(super) fn legend(decks: &[&DeckJob], units: LengthUnit, laid_flat: bool) -> Vec<Row> {
    let mut rows = vec![Row::Heading("Legend".to_owned())];
    let mut add = |swatch, meaning: &str| rows.push(Row::Swatch(swatch, meaning.to_owned()));
    add(
        Swatch::NonSkid,
        if laid_flat {
            "non-skid, with its area laid flat"
        } else {
            "non-skid, with its plan area"
        },
    );
    add(Swatch::Smooth, "smooth border");
    common(decks, &mut add);
    let distance = format!(
        "margin or strip width, {}; R: radius of a corner, (×n): so many alike",
        figure::units_name(units)
    );
    add(Swatch::Distance, &distance);
    if decks
        .iter()
        .any(|deck| !deck.plan.smooth.is_empty() || !deck.plan.pads.is_empty())
    {
        add(
            Swatch::Area,
            "area kept smooth, or pad: non-skid only inside pads",
        );
    }
    rows
}

/// Swatches that all views share.
pub(super) fn common(decks: &[&DeckJob], add: &mut impl FnMut(Swatch, &str)) {
    if decks.iter().any(|deck| !deck.plan.openings.is_empty()) {
        add(Swatch::Opening, "opening");
    }
    let fittings = || decks.iter().flat_map(|deck| &deck.plan.fittings);
    if fittings().any(|fitting| fitting.in_place) {
        add(Swatch::InPlace, "fitting that stays in place");
    }
    if fittings().any(|fitting| !fitting.in_place) {
        add(Swatch::Lifted, "fitting lifted for the job");
    }
    add(Swatch::Centreline, "centreline");
}

/// What goes without saying on a deck laid flat: that this is the plan.
pub(super) fn of_plan(decks: &[&DeckJob]) -> Vec<Row> {
    let has_surface = decks.iter().any(|deck| deck.surface.is_some());
    let mut said = vec![if has_surface {
        "Areas and lengths are plan figures; the summary has them over camber and sheer too."
    } else {
        "Areas and lengths are plan figures: camber and sheer are not counted."
    }];
    let on_surface = decks.iter().any(|deck| deck.pattern.developed.is_some());
    if on_surface {
        said.push(
            "Margins, radii and strips are kept on the deck's surface: their figures are to be measured there, and seen \
             from above they are a little less.",
        );
    }
    let rows = said.into_iter();
    rows.map(|note| Row::Paragraph(note.to_owned())).collect()
}

/// Cautions that go with the pattern, and what is said of it in between.
pub(super) fn notes(said: Vec<Row>) -> Vec<Row> {
    let paragraph = |note: &str| Row::Paragraph(note.to_owned());
    let mut rows = vec![
        Row::Heading("Notes".to_owned()),
        paragraph(
            "Check the scale bar with a rule before measuring from a print. Figures win over the drawing.",
        ),
    ];
    rows.extend(said);
    rows.extend(
        [
            "Non-skid and paint: follow the product's data sheet. Try grip, wet, on a sample before the deck.",
            "Two-part paints with isocyanate hardeners: breathing protection as the data sheet and local rules \
             demand.",
        ]
        .map(paragraph),
    );
    rows
}
