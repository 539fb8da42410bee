//! The order on the deck: what a coat is laid on in pale tints, stretch by stretch, a number in each that says when its turn
//! is, and the ways off.

use super::canvas::Canvas;
use super::features;
use super::label::{Label, Tip, Wording};
use super::marks::{Anchor, Fill, Layer, Pen, Run, Weight};
use super::obstacles::Obstacles;
use super::panel::{Row, Swatch};
use super::placing;
use super::scene::{Dimensions, Scene, every};
use super::sheet::Picture;
use super::text;
use super::view_pattern;
use crate::layout::{Setting, Surface};
use crate::order::DeckOrder;
use crate::shape::{Point, Region, Ring};
use crate::units::{Length, LengthUnit};
use crate::{DeckJob, Job};

/// The tints of stretches, in turns.
const TINTS: [u8; 3] = [232, 216, 200];
/// How near the middle of the widest place is found, millimetres on the sheet.
const PRECISION: f64 = 0.1;

/// What the view shows: a coat on each deck that it is laid on.
#[derive(Debug)]
pub(super) struct Shown {
    orders: Vec<DeckOrder>,
    reach: Setting<Length>,
}

impl Shown {
    /// The orders of the first coat on a surface.
    pub(super) fn of(job: &Job, all: Vec<DeckOrder>, on: Surface) -> Option<Self> {
        let step = all.iter().find(|order| order.on == on)?.step.clone();
        let mut orders = all;
        orders.retain(|order| order.step == step);
        Some(Self {
            orders,
            reach: job.layout.work.order.reach,
        })
    }

    fn of_deck(&self, deck: &DeckJob) -> Option<&DeckOrder> {
        self.orders.iter().find(|order| order.deck == deck.plan.id)
    }
}

/// Draws the view.
pub(super) fn draw(scene: &Scene<'_>, dimensions: &Dimensions, shown: &Shown) -> Picture {
    let style = &scene.style;
    let mut tints = Canvas::default();
    let mut numbers = Canvas::default();
    let mut labels = Vec::new();
    for deck in scene.decks {
        for way in &deck.plan.ways_off {
            labels.push(way_off(&mut numbers, scene, deck, way.at, &way.name));
        }
        let Some(order) = shown.of_deck(deck) else {
            continue;
        };
        for (index, region) in order.regions(deck).iter().enumerate() {
            let region = scene.projection.region(region);
            let tint = Fill::Grey(TINTS[index % TINTS.len()]);
            tints.region(Layer::Cover, Some(Pen::solid(style.thin)), tint, &region);
            labels.extend(number(
                &mut numbers,
                scene,
                deck,
                order.first + index,
                &region,
            ));
        }
    }
    let fields = view_pattern::field_regions(scene);
    let mut lines = Canvas::default();
    for field in &fields {
        lines.region(
            Layer::Fields,
            Some(Pen::solid(style.hatch)),
            Fill::None,
            field,
        );
    }
    scene.edges(&mut lines, Pen::solid(style.thick));
    scene.frame_of_reference(&mut lines, dimensions);
    let mut obstacles = Obstacles::new(scene.area);
    obstacles.add(&tints);
    obstacles.add(&lines);
    obstacles.add(&numbers);
    let mut centreline = Canvas::default();
    scene.centreline(&mut centreline, &[]);
    obstacles.add(&centreline);
    labels.extend(scene.deck_labels());
    labels.extend(view_pattern::field_labels(scene, &fields, |_| None));
    let placed = placing::place(labels, &mut obstacles, style);
    let mut all = tints;
    scene.crosses(&mut all, &placed.boxes);
    scene.centreline(&mut all, &placed.boxes);
    all.marks.append(&mut lines.marks);
    all.marks.append(&mut numbers.marks);
    all.marks.extend(placed.canvas.marks);
    Picture {
        canvas: all,
        unplaced: placed.unplaced,
    }
}

/// A way off: a mark with an arrow off the deck, and its name.
fn way_off(canvas: &mut Canvas, scene: &Scene<'_>, deck: &DeckJob, at: Point, name: &str) -> Label {
    let style = &scene.style;
    let edge = deck.plan.outline.ring.segments().iter();
    let nearest = edge
        .map(|segment| segment.nearest_point(at))
        .min_by(|one, other| one.distance(at).total_cmp(&other.distance(at)))
        .unwrap_or(at);
    let is_on_deck = deck.plan.outline.ring.winding(at) != 0;
    let off = if is_on_deck {
        nearest - at
    } else {
        at - nearest
    };
    let middle = deck.plan.outline.ring.bounding_box().centre();
    let off = if off.length() > 1.0 { off } else { at - middle };
    let off = off.unit();
    let at = scene.projection.point(at);
    let size = style.note;
    let ring = Ring::circle(at, size * 0.5);
    canvas.runs(
        Layer::Labels,
        Some(Pen::solid(style.thick)),
        Fill::Grey(255),
        vec![Run::closed(&ring)],
    );
    let tip = at + off * (size * 2.6);
    canvas.line(
        Layer::Labels,
        Pen::solid(style.thick),
        &[at + off * (size * 0.5), tip - off * style.arrow],
    );
    canvas.arrowhead(Layer::Labels, tip, off, style.arrow * 1.4);
    let words = vec![Wording::new(style.note, &[(name, Weight::Bold)])];
    let mut label = Label::new(&scene.called(deck, name), words);
    label.around(0, &[(tip, off)], Tip::Bare, style, 0.0);
    label.around(0, &[(at, off)], Tip::Bare, style, 6.0);
    label
}

/// A number in a circle where the stretch is widest; or, where that is too narrow for it, a label on a leader.
fn number(
    canvas: &mut Canvas,
    scene: &Scene<'_>,
    deck: &DeckJob,
    number: usize,
    region: &Region,
) -> Option<Label> {
    let style = &scene.style;
    let words = number.to_string();
    let width = text::width(&words, style.note, Weight::Bold);
    let radius = (width.hypot(style.note) / 2.0 + 0.5).max(style.note * 0.9);
    let widest = region.widest_disc(Length::mm(PRECISION))?;
    if widest.radius.to_mm() >= radius {
        let ring = Ring::circle(widest.centre, radius);
        canvas.runs(
            Layer::Labels,
            Some(Pen::solid(style.thin)),
            Fill::Grey(255),
            vec![Run::closed(&ring)],
        );
        let at = widest.centre - Point::new(0.0, style.note / 2.0);
        canvas.text(
            Layer::Labels,
            at,
            Anchor::Middle,
            style.note,
            Weight::Bold,
            &words,
        );
        return None;
    }
    let wordings = vec![Wording::new(style.note, &[(&words, Weight::Bold)])];
    let mut label = Label::new(&scene.called(deck, &words), wordings);
    let middle = scene
        .projection
        .point(deck.plan.outline.ring.bounding_box().centre());
    let mut places = features::spread(region, 30);
    places.push(widest.centre);
    let tips: Vec<(Point, Point)> = every(&places, 12)
        .into_iter()
        .map(|place| (*place, (*place - middle).unit()))
        .collect();
    label.around(0, &tips, Tip::Dot, style, 2.0);
    Some(label)
}

/// What the legend explains.
pub(super) fn legend(decks: &[&DeckJob]) -> Vec<Row> {
    let mut rows = vec![
        Row::Heading("Legend".to_owned()),
        Row::Paragraph(
            "Tinted: what this coat is laid on. Stretches are painted in the order of their numbers, each from its far end \
             towards the way off; a line across is where one stretch ends and another begins."
                .to_owned(),
        ),
        Row::Paragraph("Circle with an arrow: a way off the deck.".to_owned()),
    ];
    view_pattern::common(decks, &mut |swatch: Swatch, meaning: &str| {
        rows.push(Row::Swatch(swatch, meaning.to_owned()));
    });
    rows
}

/// What the coat is, what stands in the way, what to look out for.
pub(super) fn notes(shown: &Shown, units: LengthUnit) -> Vec<Row> {
    let mut rows = vec![Row::Heading("Notes".to_owned())];
    let mut add = |words: String| rows.push(Row::Paragraph(words));
    if let Some(first) = shown.orders.first() {
        add(format!("Coat: {}.", first.title));
    }
    for order in &shown.orders {
        if let Err(why) = &order.stretches {
            add(format!(
                "{}: no order; nobody gets within reach of {}.",
                order.deck_title, why.part
            ));
        }
        if let Some((edge, working)) = order.late_edge() {
            add(format!(
                "{}: the wet edge between {} and {} waits {}, longer than the mix can be worked ({}).",
                order.deck_title,
                edge.between.0,
                edge.between.1,
                edge.waits.show(),
                working.show()
            ));
        }
    }
    add(format!(
        "The last is painted from the way off itself, which an arm reaches over from: {}.",
        shown.reach.value.show(units)
    ));
    add("Nobody steps over wet paint. Wet paint is slippery: mark it off.".to_owned());
    add("The product's data sheet has the last word on wet edges and working times.".to_owned());
    rows
}
