//! A masking pass: where the tape lies and on which side of the paint line, what is covered and what is
//! painted, said in the zones themselves so that it is understood without the legend.

use super::canvas::Canvas;
use super::features;
use super::figure;
use super::label::{Label, Tip, Wording};
use super::marks::{Fill, Layer, Pen, Weight};
use super::obstacles::Obstacles;
use super::panel::{self, Row, Swatch};
use super::paper::Style;
use super::placing;
use super::scene::{Dimensions, Scene, every};
use super::sheet::{Picture, View};
use super::signs;
use super::view_pattern;
use crate::DeckJob;
use crate::masking::{Pass, TapeKind, TapeRun};
use crate::shape::{Point, Region};
use crate::units::LengthUnit;

/// Words put where the border is widest, a deck.
const ROOMY_WORDS: usize = 4;

/// The pass that a view shows.
fn pass(deck: &DeckJob, view: View) -> &Pass {
    match view {
        View::Reversed => &deck.masking.reversed,
        _ => &deck.masking.first,
    }
}

/// Draws the view.
pub(super) fn draw(scene: &Scene<'_>, dimensions: &Dimensions, view: View) -> Picture {
    let style = &scene.style;
    let fields = view_pattern::field_regions(scene);
    let tape_width = scene.line_tape.to_mm() * scene.projection.share;
    let mut tape = Canvas::default();
    for deck in scene.decks {
        let pass = pass(deck, view);
        let edge = scene.projection.region(&pass.edge_bodies);
        let grey = Fill::Grey(panel::EDGE_TAPE_GREY);
        let outline = Some(Pen::solid(style.hatch));
        tape.region(Layer::EdgeTape, outline, grey, &edge);
        let line = scene.projection.region(&pass.line_bodies);
        let grey = Fill::Grey(panel::LINE_TAPE_GREY);
        tape.region(Layer::LineTape, None, grey, &line);
    }
    let mut lines = Canvas::default();
    for field in &fields {
        // The paint line, heavy, is the edge of the fields in both passes.
        // But not so heavy that it hides the tape beside it.
        let pen = Some(Pen::solid(
            (tape_width * 0.45).clamp(style.thin, style.thick * 1.2),
        ));
        lines.region(Layer::Fields, pen, Fill::None, field);
    }
    // Lighter than usual: here the paint line is what counts.
    scene.edges(&mut lines, Pen::solid(style.thin));
    scene.frame_of_reference(&mut lines, dimensions);
    let mut ringed = Canvas::default();
    let mut clashes = Vec::new();
    for deck in scene.decks {
        let found = &pass(deck, view).clashes;
        clashes.extend(signs::rings(
            &mut ringed,
            style,
            &scene.projection,
            found,
            scene.units,
        ));
    }
    let named = runs(&mut ringed, scene, view);
    let mut obstacles = Obstacles::new(scene.area);
    obstacles.add(&ringed);
    obstacles.add(&lines);
    let mut centreline = Canvas::default();
    scene.centreline(&mut centreline, &[]);
    obstacles.add(&centreline);
    obstacles.add_zones(&fields);
    obstacles.add(&tape);

    let (in_fields, in_border) = match view {
        View::Reversed => ("PAINT", "COVER"),
        _ => ("COVER", "PAINT"),
    };
    let mut labels = clashes;
    labels.extend(named);
    labels.extend(scene.deck_labels());
    labels.extend(view_pattern::field_labels(scene, &fields, |_| {
        Some(in_fields.to_owned())
    }));
    labels.extend(scene.name_labels());
    for deck in scene.decks {
        labels.extend(border_labels(scene, deck, in_border));
    }
    let placed = placing::place(labels, &mut obstacles, style);

    let mut all = Canvas::default();
    for deck in scene.decks {
        let covered = scene.projection.region(&pass(deck, view).protected);
        panel::cover(&mut all, Layer::Cover, style, &covered, 0.8, &placed.boxes);
    }
    scene.crosses(&mut all, &placed.boxes);
    scene.centreline(&mut all, &placed.boxes);
    all.marks.append(&mut tape.marks);
    all.marks.append(&mut lines.marks);
    all.marks.append(&mut ringed.marks);
    all.marks.extend(placed.canvas.marks);
    Picture {
        canvas: all,
        unplaced: placed.unplaced,
    }
}

/// Draws where runs of tape begin and end and the corners too tight for them, and gives their numbers as labels.
fn runs(canvas: &mut Canvas, scene: &Scene<'_>, view: View) -> Vec<Label> {
    let style = &scene.style;
    let tape_width = scene.line_tape.to_mm() * scene.projection.share;
    let half = (tape_width * 0.9).max(style.arrow * 0.5);
    let mut labels = Vec::new();
    let runs = scene.decks.iter().flat_map(|deck| &pass(deck, view).runs);
    let begins: Vec<Point> = runs
        .map(|run| scene.projection.point(run.begin.at))
        .collect();
    for deck in scene.decks {
        for run in &pass(deck, view).runs {
            for bend in run.tight.iter().filter(|_| run.name.kind == TapeKind::Line) {
                let at = scene.projection.point(bend.at);
                let radius = (tape_width * 0.6).clamp(style.thin * 1.5, style.note * 0.3);
                panel::tight_bend(canvas, Layer::LineTape, style, at, radius);
            }
        }
        for run in &pass(deck, view).runs {
            let at = scene.projection.point(run.begin.at);
            panel::run_begin(canvas, Layer::Labels, style, at, run.begin.direction, half);
            if !run.is_ring {
                let end = scene.projection.point(run.end.at);
                let across = run.end.direction.left() * half;
                let ends = [end - across, end + across];
                canvas.line(Layer::Labels, Pen::solid(style.thick), &ends);
            }
            let elsewhere = begins.iter().copied();
            let elsewhere: Vec<Point> = elsewhere
                .filter(|other| other.distance(at) > 3.0 * half)
                .collect();
            labels.push(run_label(
                style,
                &run.name.to_string(),
                at,
                half,
                &elsewhere,
            ));
        }
    }
    labels
}

/// A run's number beside its begin, nearer to it than to where other runs begin; or on a leader.
fn run_label(style: &Style, name: &str, at: Point, half: f64, elsewhere: &[Point]) -> Label {
    let words = Wording::new(style.small, &[(name, Weight::Bold)]);
    let room = Point::new(words.width, words.depth) * 0.5;
    let mut label = Label::new(&format!("run {name}"), vec![words]);
    for gap in [0.4, 1.2, 2.4, 4.0] {
        for step in 0..8 {
            let way = Point::at_angle(f64::from(step) * std::f64::consts::FRAC_PI_4);
            let reach = half + gap;
            let to = Point::new(way.x * (room.x + reach), way.y * (room.y + reach));
            let from = |point: &Point| {
                let away = *point - (at + to);
                let beyond = |away: f64, room: f64| (away.abs() - room).max(0.0);
                beyond(away.x, room.x).hypot(beyond(away.y, room.y))
            };
            if elsewhere.iter().all(|other| from(other) > from(&at) + half) {
                label.at(0, at + to, 0.0, gap);
            }
        }
    }
    for step in 0..12 {
        let way = Point::at_angle(f64::from(step) * std::f64::consts::TAU / 12.0 + 0.2);
        for length in [3.0, 5.0, 8.0, 12.0, 18.0, 26.0] {
            let length = length * style.note / 2.5;
            label.on_leader(0, at + way * half, Tip::Bare, way, length, 2.0);
        }
    }
    label
}

/// Says, a few times along the deck's edge, what happens to the border.
fn border_labels(scene: &Scene<'_>, deck: &DeckJob, word: &str) -> Vec<Label> {
    let style = &scene.style;
    let border = scene.projection.region(&deck.pattern.border);
    let mut places: Vec<[Point; 2]> = Vec::new();
    let seen = features::Seen::on(deck, scene.flat);
    for gap in seen.margins.iter().take(1) {
        places.extend(&gap.places);
    }
    let strips = seen.strips;
    // One word for every 150 mm of edge on the sheet, three at most.
    let edge = deck.plan.outline.ring.length() * scene.projection.share;
    let count = [150.0, 300.0].iter().filter(|least| edge > **least).count() + 1;
    let mut groups: Vec<Vec<[Point; 2]>> = places
        .chunks(places.len().div_ceil(count).max(1))
        .map(<[_]>::to_vec)
        .collect();
    groups.extend(
        strips
            .iter()
            .take(count - 1)
            .map(|strip| strip.places.clone()),
    );
    if groups.is_empty() {
        // No margin to point into: anywhere on the border.
        groups.push(Vec::new());
    }
    let inside = features::spread(&border, 24);
    let mut labels = roomy_labels(style, &border, &inside, word);
    let middle = scene.deck_bounds().centre();
    labels.extend(groups.iter().map(|group| {
        let words = vec![Wording::new(style.note, &[(word, Weight::Bold)])];
        let mut label = Label::new(word, words);
        let own: Vec<Point> = group
            .iter()
            .map(|[from, to]| scene.projection.point(from.towards(*to, 0.5)))
            .collect();
        let near = |point: &Point| {
            own.iter()
                .map(|one| one.distance(*point))
                .fold(f64::INFINITY, f64::min)
        };
        for point in &inside {
            let far = near(point);
            let far = if far.is_finite() { far } else { 0.0 };
            if far < 8.0 * style.note {
                label.inside(0, *point, 0.0, far * 0.05);
                label.inside(0, *point, std::f64::consts::FRAC_PI_2, 1.0 + far * 0.05);
            }
        }
        let tips: Vec<(Point, Point)> = every(&own, 8)
            .into_iter()
            .map(|point| (*point, (*point - middle).unit()))
            .collect();
        label.around(0, &tips, Tip::Dot, style, 2.0);
        label
    }));
    labels
}

/// Distance from a point to the nearest edge of a region.
fn room_at(region: &Region, point: Point) -> f64 {
    region
        .segments()
        .map(|segment| segment.nearest_point(point).distance(point))
        .fold(f64::INFINITY, f64::min)
}

/// The word where the border is widest, left out without a word where it is nowhere wide enough.
fn roomy_labels(style: &Style, border: &Region, inside: &[Point], word: &str) -> Vec<Label> {
    let words = Wording::new(style.note, &[(word, Weight::Bold)]);
    let least = words.depth / 2.0 + 0.6;
    let roomy: Vec<(Point, f64)> = inside
        .iter()
        .map(|point| (*point, room_at(border, *point)))
        .filter(|(_, room)| *room > least)
        .collect();
    let apart = words.width * 4.0;
    let mut taken: Vec<Point> = Vec::new();
    let mut labels = Vec::new();
    while labels.len() < ROOMY_WORDS {
        let free = |point: &Point| taken.iter().all(|other| other.distance(*point) > apart);
        let best = roomy
            .iter()
            .filter(|(point, _)| free(point))
            .max_by(|a, b| a.1.total_cmp(&b.1));
        let Some((best, _)) = best else { break };
        let mut label = Label::new("", vec![words.clone()]);
        for (point, room) in &roomy {
            let far = point.distance(*best);
            if far < apart / 2.0 {
                label.inside(0, *point, 0.0, far * 0.1 - room.min(6.0) * 0.2);
                label.inside(0, *point, std::f64::consts::FRAC_PI_2, far * 0.1);
            }
        }
        taken.push(*best);
        labels.push(label);
    }
    labels
}

/// What the legend explains.
pub(super) fn legend(decks: &[&DeckJob], view: View) -> Vec<Row> {
    let mut rows = vec![Row::Heading(
        "Where the tape lies (not to scale)".to_owned(),
    )];
    rows.push(Row::TapeSketch {
        fields_are_painted: view == View::Reversed,
    });
    let mut add = |swatch, meaning: &str| rows.push(Row::Swatch(swatch, meaning.to_owned()));
    let (side, covered, painted) = match view {
        View::Reversed => ("border", "border", "fields"),
        _ => ("field", "fields", "border"),
    };
    add(
        Swatch::LineTape,
        &format!("line tape, on the {side} side of the paint line (heavy)"),
    );
    if decks
        .iter()
        .any(|deck| !pass(deck, view).edge_bodies.is_empty())
    {
        add(Swatch::EdgeTape, "edge tape: deck edge, openings, fittings");
    }
    let shown = || decks.iter().flat_map(|deck| &pass(deck, view).runs);
    if shown().next().is_some() {
        add(
            Swatch::RunBegin,
            "a run begins here and is laid this way: L line tape, E edge tape",
        );
    }
    let is_tight = |run: &TapeRun| run.name.kind == TapeKind::Line && !run.tight.is_empty();
    if shown().any(is_tight) {
        add(
            Swatch::TightBend,
            "corner too tight for the line tape: cut, or narrower tape",
        );
    }
    add(Swatch::Cover, &format!("COVER: film over the {covered}"));
    add(Swatch::Painted, &format!("PAINT: the {painted}, left open"));
    view_pattern::common(decks, &mut add);
    rows
}

/// Lengths of tape, and cautions that go with masking.
pub(super) fn notes(decks: &[&DeckJob], units: LengthUnit, view: View) -> Vec<Row> {
    let mut table = vec![
        ["Deck", "line", "runs", "edge", "runs", "film"]
            .map(str::to_owned)
            .to_vec(),
    ];
    for deck in decks {
        let pass = pass(deck, view);
        table.push(vec![
            deck.plan.title.clone(),
            figure::tape(pass.line_tape, units),
            pass.line_runs.to_string(),
            figure::tape(pass.edge_tape, units),
            pass.edge_runs.to_string(),
            figure::area(pass.cover_mm2, units),
        ]);
    }
    let mut rows = vec![
        Row::Heading("Tape, without laps, and film".to_owned()),
        Row::Table(table),
        Row::Heading("Notes".to_owned()),
    ];
    let clashes: usize = decks
        .iter()
        .map(|deck| pass(deck, view).clashes.len())
        .sum();
    rows.extend(signs::clash_note(clashes));
    if decks_meet(decks) && view != View::Reversed {
        rows.push(Row::Paragraph(
            "Where decks meet, edge tape lies on the next deck's border: paint one of the two at a time."
                .to_owned(),
        ));
    }
    rows.extend(
        [
            "Lay edge tape, then line tape, in the order of their numbers; the report holds the cutting list.",
            "Check the scale bar with a rule before measuring from a print.",
            "Press the edge at the paint line down hard. Take tape off within the time its data sheet \
             allows.",
            "Two-part paints with isocyanate hardeners: breathing protection as the data sheet and local \
             rules demand.",
        ]
        .map(|note| Row::Paragraph(note.to_owned())),
    );
    rows
}

/// Whether edge tape of one deck lies on another.
fn decks_meet(decks: &[&DeckJob]) -> bool {
    decks.iter().enumerate().any(|(index, one)| {
        let tape = &one.masking.first.edge_bodies;
        decks.iter().enumerate().any(|(other, deck)| {
            other != index
                && tape
                    .bounding_box()
                    .distance(&deck.pattern.deck.bounding_box())
                    <= 0.0
                && tape.intersection(&[&deck.pattern.deck]).area() > 1.0
        })
    })
}
