//! Underfoot: the deck shaded by the distance to the nearest non-skid, in bands of a round number; the lines walked, the
//! places where people step, the widest smooth place and the place where grip is furthest.

use std::f64::consts::FRAC_PI_4;

use super::canvas::Canvas;
use super::figure;
use super::hatch::hatch;
use super::label::{Label, Tip, Wording};
use super::marks::{Dash, Fill, Layer, Pen, Run, Weight};
use super::obstacles::Obstacles;
use super::panel::{self, Row, Swatch};
use super::placing;
use super::scene::{Dimensions, Scene, every};
use super::sheet::Picture;
use super::text;
use super::view_pattern;
use crate::pattern::{Footing, walkable};
use crate::shape::{Furthest, Point, Region, Ring};
use crate::units::{Length, LengthUnit};
use crate::{DeckJob, Job};

/// Bands at most. The steps below are no more than half as much again from one to the next, so there are five at least.
const MOST_BANDS: u32 = 7;
/// Of what is smooth no more than this share lies in the last band where that has no end: one remote corner would leave
/// all the rest in one shade.
const REMOTE: f64 = 0.05;
/// Steps between bands, millimetres.
const STEPS: [f64; 22] = [
    5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 75.0, 100.0, 125.0, 150.0, 200.0,
    250.0, 300.0, 400.0, 500.0, 750.0, 1000.0, 1500.0,
];
/// Steps between bands, inches.
const STEPS_IN_INCHES: [f64; 15] = [
    0.25, 0.375, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 9.0, 12.0, 18.0, 24.0, 36.0,
];
/// Greys of the nearest band and of the furthest. Texts are read over both, and each is told from its neighbours in print.
const PALE: u8 = 0xf0;
const DARK: u8 = 0x80;

/// What the view shows beside the decks themselves.
pub(super) struct Shown {
    footings: Vec<Footing>,
    shades: Shades,
}

impl Shown {
    /// What a foot meets on some decks, and the bands that suit them.
    pub(super) fn of(job: &Job, decks: &[&DeckJob]) -> Self {
        let footings: Vec<Footing> = decks.iter().map(|deck| deck.footing(&job.layout)).collect();
        let shades = Shades::of(decks, &footings, job.layout.units);
        Self { footings, shades }
    }
}

/// The bands of a sheet: the same for all decks on it.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Shades {
    step: Length,
    count: u32,
    /// Whether the last goes on without end.
    is_open: bool,
}

impl Shades {
    fn of(decks: &[&DeckJob], footings: &[Footing], units: LengthUnit) -> Self {
        let most = footings
            .iter()
            .filter_map(|footing| footing.grip)
            .map(|grip| grip.distance.to_mm())
            .fold(0.0, f64::max);
        let steps: Vec<f64> = if units.is_imperial() {
            STEPS_IN_INCHES.iter().map(|inches| inches * 25.4).collect()
        } else {
            STEPS.to_vec()
        };
        let holds_all = |step: f64| most <= step * f64::from(MOST_BANDS) + 1e-6;
        let first = steps
            .iter()
            .position(|step| holds_all(*step))
            .unwrap_or(steps.len() - 1);
        let smooth: f64 = decks.iter().map(|deck| deck.pattern.border.area()).sum();
        let is_useful = |step: &&f64| remote(decks, **step) <= REMOTE * smooth;
        let step = steps[..first].iter().rev().take_while(is_useful).last();
        let step = step.copied().unwrap_or(steps[first]);
        let reached = |count: &u32| most <= step * f64::from(*count) + 1e-6;
        Self {
            step: Length::mm(step),
            count: (1..MOST_BANDS).find(reached).unwrap_or(MOST_BANDS),
            is_open: !holds_all(step),
        }
    }

    /// The grey of a band, counted from the fields out.
    fn grey(self, band: u32) -> u8 {
        let last = f64::from(self.count.max(2) - 1);
        let share = f64::from(band) / last;
        let grey = f64::from(PALE) + (f64::from(DARK) - f64::from(PALE)) * share;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a grey lies between two greys"
        )]
        let grey = grey.round().clamp(0.0, 255.0) as u8;
        grey
    }

    /// The distances of a band in words.
    fn name(self, band: u32, units: LengthUnit) -> String {
        let [from, to] = [band, band + 1].map(|end| (self.step * f64::from(end)).show(units));
        if self.is_open && band + 1 == self.count {
            format!("more than {from}")
        } else {
            format!("{from} to {to}")
        }
    }
}

/// How much of what is smooth lies beyond all bands of a step but the last, mm².
fn remote(decks: &[&DeckJob], step: f64) -> f64 {
    let reach = Length::mm(step * f64::from(MOST_BANDS - 1));
    let beyond = |deck: &&DeckJob| {
        let near = deck.pattern.field_region().dilated(reach);
        deck.pattern.border.difference(&[&near]).area()
    };
    decks.iter().map(beyond).sum()
}

/// Draws the view.
pub(super) fn draw(scene: &Scene<'_>, dimensions: &Dimensions, shown: &Shown) -> Picture {
    let style = &scene.style;
    let fields = view_pattern::field_regions(scene);
    let mut all = Canvas::default();
    for deck in scene.decks {
        shade(&mut all, scene, deck, shown.shades);
    }
    let mut lines = Canvas::default();
    for field in &fields {
        let pen = Some(Pen::solid(style.thin));
        lines.region(Layer::Fields, pen, Fill::None, field);
    }
    scene.edges(&mut lines, Pen::solid(style.thick));
    scene.frame_of_reference(&mut lines, dimensions);
    let mut marked = Canvas::default();
    let mut labels = Vec::new();
    for (deck, footing) in scene.decks.iter().zip(&shown.footings) {
        labels.extend(furthest_label(scene, deck, footing));
        labels.extend(widest(&mut marked, scene, deck, footing));
        labels.extend(walked(&mut marked, scene, deck));
    }
    let mut obstacles = Obstacles::new(scene.area);
    obstacles.add(&lines);
    obstacles.add(&marked);
    let mut centreline = Canvas::default();
    scene.centreline(&mut centreline, &[]);
    obstacles.add(&centreline);
    obstacles.add_zones(&fields);

    labels.extend(scene.deck_labels());
    labels.extend(view_pattern::field_labels(scene, &fields, |field| {
        Some(figure::area(field.region.area(), scene.units))
    }));
    labels.extend(scene.name_labels());
    let placed = placing::place(labels, &mut obstacles, style);

    for field in &fields {
        all.region(Layer::Grip, None, Fill::Grey(255), field);
        let runs = hatch(field, FRAC_PI_4, style.hatch_step, &placed.boxes);
        let pen = Some(Pen::solid(style.hatch));
        all.runs(Layer::Hatch, pen, Fill::None, runs);
    }
    scene.crosses(&mut all, &placed.boxes);
    scene.centreline(&mut all, &placed.boxes);
    all.marks.append(&mut lines.marks);
    all.marks.append(&mut marked.marks);
    all.marks.extend(placed.canvas.marks);
    Picture {
        canvas: all,
        unplaced: placed.unplaced,
    }
}

fn shade(canvas: &mut Canvas, scene: &Scene<'_>, deck: &DeckJob, shades: Shades) {
    for band in bands(deck, shades) {
        let region = scene.projection.region(&band.region);
        let grey = Fill::Grey(shades.grey(band.number));
        canvas.region(Layer::Grip, None, grey, &region);
    }
}

/// A band of a deck that is walked on: all of it that is no further from grip.
struct Band {
    /// Counted from the fields out.
    number: u32,
    region: Region,
}

/// The bands of a deck, the furthest first, each within the one before.
fn bands(deck: &DeckJob, shades: Shades) -> Vec<Band> {
    let (ground, fields) = (walkable(&deck.pattern), deck.pattern.field_region());
    let nearer = |number: u32| {
        let reach = shades.step * f64::from(number + 1);
        ground.intersection(&[&fields.dilated(reach)])
    };
    let last = shades.count - 1;
    let within = if fields.is_empty() { 0 } else { last };
    let mut bands = vec![Band {
        number: last,
        region: ground.clone(),
    }];
    bands.extend((0..within).rev().map(|number| Band {
        number,
        region: nearer(number),
    }));
    bands
}

/// How far grip is on some decks, band by band, as they lie: a grey of paper, what it stands for, and for each deck the regions.
pub(super) fn grip_bands(job: &Job, decks: &[&DeckJob]) -> (Vec<GripShade>, Vec<Vec<GripBand>>) {
    let footings: Vec<Footing> = decks.iter().map(|deck| deck.footing(&job.layout)).collect();
    let shades = Shades::of(decks, &footings, job.layout.units);
    let key = (0..shades.count).map(|number| GripShade {
        grey: shades.grey(number),
        name: shades.name(number, job.layout.units),
    });
    let laid = decks.iter().map(|deck| {
        let all = bands(deck, shades).into_iter();
        all.map(|band| GripBand {
            grey: shades.grey(band.number),
            region: band.region,
        })
        .collect()
    });
    (key.collect(), laid.collect())
}

/// A shade of the key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GripShade {
    /// Its grey.
    pub grey: u8,
    /// The distances it stands for, in words.
    pub name: String,
}

/// A part of a deck in one shade, nearer parts over it.
pub(super) struct GripBand {
    pub(super) grey: u8,
    pub(super) region: Region,
}

/// From where grip is furthest to the nearest non-skid, with the distance.
fn furthest_label(scene: &Scene<'_>, deck: &DeckJob, footing: &Footing) -> Option<Label> {
    let Furthest {
        at,
        nearest,
        distance,
    } = footing.grip?;
    let style = &scene.style;
    let name = figure::length(rounded(distance, scene.units), scene.units);
    let words = vec![Wording::new(style.note, &[(&name, Weight::Bold)])];
    let mut label = Label::new(&scene.called(deck, &name), words);
    let ends = [at, nearest].map(|end| scene.projection.point(end));
    label.on_gap(ends, style, 0.0);
    let from = label.candidates.len();
    let middle = ends[0].towards(ends[1], 0.5);
    for step in 0..12 {
        let way = Point::at_angle(f64::from(step) * std::f64::consts::TAU / 12.0 + 0.2);
        for length in [4.0, 8.0, 14.0, 22.0] {
            let length = length * style.note / 2.5;
            label.on_leader(0, middle, Tip::Bare, way, length, 2.0);
        }
    }
    label.with_gap(from, ends, style);
    Some(label)
}

/// To the whole millimetre: nobody measures a deck closer.
fn rounded(length: Length, units: LengthUnit) -> Length {
    if units.is_imperial() {
        length
    } else {
        Length::mm(length.to_mm().round())
    }
}

/// The ring about the widest smooth place, and its width on a leader.
fn widest(
    canvas: &mut Canvas,
    scene: &Scene<'_>,
    deck: &DeckJob,
    footing: &Footing,
) -> Option<Label> {
    let patch = footing.widest?;
    let style = &scene.style;
    let at = scene.projection.point(patch.centre);
    let radius = patch.width.to_mm() / 2.0 * scene.projection.share;
    let ring = Ring::circle(at, radius.max(style.thick));
    canvas.ring(Layer::Labels, Pen::solid(style.thick), &ring);
    canvas.dot(Layer::Labels, at, style.thick * 0.9);
    let name = format!(
        "Ø{}",
        figure::length(rounded(patch.width, scene.units), scene.units)
    );
    let words = vec![Wording::new(style.note, &[(&name, Weight::Bold)])];
    let mut label = Label::new(&scene.called(deck, &name), words);
    for step in 0..16 {
        let way = Point::at_angle(f64::from(step) * std::f64::consts::TAU / 16.0 + 0.2);
        for length in [4.0, 8.0, 14.0, 22.0, 32.0] {
            let length = length * style.note / 2.5;
            label.on_leader(0, at + way * radius, Tip::Arrow, way, length, 0.0);
        }
    }
    Some(label)
}

/// Lines walked and places stepped on, and their names: once for all of one name.
fn walked(canvas: &mut Canvas, scene: &Scene<'_>, deck: &DeckJob) -> Vec<Label> {
    let style = &scene.style;
    let pen = scene.pen(style.thick, Dash::Dashed);
    let mut named: Vec<Named<'_>> = Vec::new();
    for walk in &deck.plan.walks {
        let points: Vec<Point> = walk
            .points
            .iter()
            .map(|point| scene.projection.point(*point))
            .collect();
        let run = Run::open(&points);
        let along = run
            .segments
            .iter()
            .flat_map(|leg| [0.2, 0.4, 0.6, 0.8].map(|share| leg.point_at(share)));
        Named::add(&mut named, &walk.name, Tip::Arrow, along.collect());
        canvas.runs(Layer::Walks, Some(pen), Fill::None, vec![run]);
    }
    for foothold in &deck.plan.footholds {
        let at = scene.projection.point(foothold.at);
        panel::triangle(canvas, Layer::Walks, at, style.note * 0.7);
        Named::add(&mut named, &foothold.name, Tip::Bare, vec![at]);
    }
    named.iter().map(|one| one.label(scene, deck)).collect()
}

/// A name, how many things have it, and where it may point.
struct Named<'a> {
    name: &'a str,
    tip: Tip,
    count: usize,
    places: Vec<Point>,
}

impl<'a> Named<'a> {
    fn add(all: &mut Vec<Self>, name: &'a str, tip: Tip, places: Vec<Point>) {
        let same = |one: &&mut Self| one.name == name && one.tip == tip;
        if let Some(known) = all.iter_mut().find(same) {
            known.count += 1;
            known.places.extend(places);
        } else {
            all.push(Self {
                name,
                tip,
                count: 1,
                places,
            });
        }
    }

    /// Its label on a leader.
    fn label(&self, scene: &Scene<'_>, deck: &DeckJob) -> Label {
        let style = &scene.style;
        let most = style.note * 22.0;
        let name = text::drawable(self.name);
        let mut name = text::shortened(&name, style.note, Weight::Regular, most);
        if self.count > 1 {
            name = format!("{name} (×{})", self.count);
        }
        let middle = scene.deck_bounds().centre();
        let tips: Vec<(Point, Point)> = every(&self.places, 12)
            .into_iter()
            .map(|at| (*at, (*at - middle).unit()))
            .collect();
        let words = vec![Wording::new(style.note, &[(&name, Weight::Regular)])];
        let mut label = Label::new(&scene.called(deck, &name), words);
        label.around(0, &tips, self.tip, style, 1.0);
        label
    }
}

/// What the legend explains.
pub(super) fn legend(decks: &[&DeckJob], shown: &Shown, units: LengthUnit) -> Vec<Row> {
    let shades = shown.shades;
    let mut rows = vec![Row::Heading("Distance to the nearest non-skid".to_owned())];
    let mut add = |swatch, meaning: &str| rows.push(Row::Swatch(swatch, meaning.to_owned()));
    add(Swatch::NonSkid, "non-skid, with its plan area");
    for band in 0..shades.count {
        add(Swatch::Tint(shades.grey(band)), &shades.name(band, units));
    }
    add(
        Swatch::Ringed,
        "the widest smooth place of a deck; Ø: how wide it is",
    );
    add(
        Swatch::Distance,
        "from where grip is furthest to the nearest non-skid",
    );
    if decks.iter().any(|deck| !deck.plan.walks.is_empty()) {
        add(Swatch::Walk, "a line that people walk");
    }
    if decks.iter().any(|deck| !deck.plan.footholds.is_empty()) {
        add(Swatch::Mark, "a place where people step");
    }
    view_pattern::common(decks, &mut add);
    rows
}

/// The widths, and what they are worth.
pub(super) fn notes(decks: &[&DeckJob], shown: &Shown, units: LengthUnit) -> Vec<Row> {
    let mut table = vec![
        ["Deck", "grip is furthest", "widest smooth"]
            .map(str::to_owned)
            .to_vec(),
    ];
    for (deck, footing) in decks.iter().zip(&shown.footings) {
        let show = |length: Option<Length>| {
            length.map_or_else(
                || "-".to_owned(),
                |length| rounded(length, units).show(units),
            )
        };
        table.push(vec![
            deck.plan.title.clone(),
            show(footing.grip.map(|grip| grip.distance)),
            show(footing.widest.map(|widest| widest.width)),
        ]);
    }
    let said = [
        "Seen from above. These are widths, not a judgement: what is wide enough to slip on depends on the boat and \
         those aboard. Ask your surveyor.",
        "A fitting lifted for the job is painted under, and counts as smooth here.",
        "Check the scale bar with a rule before measuring from a print. Figures win over the drawing.",
        "Non-skid: follow the product's data sheet. Try grip, wet, on a sample before the deck.",
    ];
    let mut rows = vec![
        Row::Heading("Grip and smooth places".to_owned()),
        Row::Table(table),
        Row::Heading("Notes".to_owned()),
    ];
    rows.extend(said.map(|note| Row::Paragraph(note.to_owned())));
    rows
}
