//! Sheets of names: a deck with its fields, steps and marks; then field by field every point and centre by name. A field
//! whose names would not all find room goes on several sheets.

use super::super::canvas::{Canvas, Projection};
use super::super::form::pages::{BODY, Pages, SMALL};
use super::super::label::{Label, Tip, Wording};
use super::super::marks::{Anchor, Dash, Fill, Layer, Pen, Run, Weight};
use super::super::obstacles::Obstacles;
use super::super::paper::{Paper, Style};
use super::super::placing;
use super::super::text;
use super::SetOutDeck;
use crate::setting_out::{FieldOut, SettingOut};
use crate::shape::{BoundingBox, Point, Region, Ring};

/// Heights of names of points and of fields, millimetres.
const NAME: f64 = 2.2;
const FIELD: f64 = 3.2;
/// White round what a sheet shows, millimetres: room for names.
const ROUND: f64 = 14.0;
/// A sheet is not divided into more than two to this power.
const HALVINGS: usize = 4;
/// Widths of lines, millimetres.
const THIN: f64 = 0.18;
const EDGE: f64 = 0.35;
/// Half the arms of a centre's cross and of a mark's, the radius of a point's dot, millimetres.
const CENTRE: f64 = 1.0;
const MARK: f64 = 2.2;
const DOT: f64 = 0.55;

/// What stands on a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sign {
    Point,
    Centre,
    Mark,
    /// A field, at its middle.
    Field,
}

struct Named {
    at: Point,
    name: String,
    sign: Sign,
    /// Where else it may stand: all over its field.
    inside: Vec<Point>,
}

/// All sheets of names of a deck.
pub(super) fn sheets(pages: &mut Pages, one: &SetOutDeck<'_>, paper: Paper) {
    let SetOutDeck { deck, out } = one;
    let marks = || {
        out.marks.iter().map(|mark| Named {
            at: mark.at,
            name: mark.name.clone(),
            sign: Sign::Mark,
            inside: Vec::new(),
        })
    };
    let sheet = Sheet {
        one,
        paper,
        field: None,
    };
    let mut view = deck.plan.outline.ring.bounding_box();
    for mark in &out.marks {
        view.include(mark.at);
    }
    let named: Vec<Named> = fields(out, one).into_iter().chain(marks()).collect();
    let (heading, words) = whole(out);
    sheet.page(pages, view, &named, &heading, &words);
    for field in &out.fields {
        let pattern = deck.pattern.fields.iter().find(|own| own.id == field.id);
        let Some(pattern) = pattern else { continue };
        let sheet = Sheet {
            one,
            paper,
            field: Some(&pattern.region),
        };
        let mut named: Vec<Named> = field
            .points
            .iter()
            .map(|point| Named {
                at: point.at,
                name: short(&point.name).to_owned(),
                sign: if point.is_centre {
                    Sign::Centre
                } else {
                    Sign::Point
                },
                inside: Vec::new(),
            })
            .collect();
        let mut view = pattern.region.bounding_box();
        for one in &named {
            view.include(one.at);
        }
        named.extend(marks().filter(|mark| view.holds(mark.at)));
        sheet.divided(pages, view, &named, field, "", HALVINGS);
    }
}

/// A point's name without its field's.
fn short(name: &str) -> &str {
    name.split_once('-').map_or(name, |(_, rest)| rest)
}

fn whole(out: &SettingOut) -> (String, String) {
    let heading = format!("{}: fields and marks", out.title);
    let words = if out.marks.is_empty() {
        "The bow to the left, starboard above. Fields are set out in the order of their steps."
            .to_owned()
    } else {
        "The bow to the left, starboard above. Fields are set out in the order of their steps. Ringed crosses: the marks."
            .to_owned()
    };
    (heading, words)
}

/// Fields with their steps.
fn fields(out: &SettingOut, one: &SetOutDeck<'_>) -> Vec<Named> {
    let mut step = 0;
    let mut named = Vec::new();
    for field in &out.fields {
        let (first, last) = (step + 1, step + field.points.len());
        step = last;
        let own = one
            .deck
            .pattern
            .fields
            .iter()
            .find(|own| own.id == field.id);
        named.extend(own.map(|own| Named {
            at: own.region.centroid(),
            name: format!("{}: steps {first} to {last}", field.id),
            sign: Sign::Field,
            inside: lattice(&own.region),
        }));
    }
    named
}

/// Places all over a field, those near its middle first.
fn lattice(region: &Region) -> Vec<Point> {
    const STEPS: u32 = 16;
    let bounds = region.bounding_box();
    let share = |step: u32| f64::from(step) / f64::from(STEPS);
    let mut places = Vec::new();
    for row in 1..STEPS {
        for column in 1..STEPS {
            let size = Point::new(bounds.width() * share(column), bounds.height() * share(row));
            let at = bounds.least + size;
            if region.contains(at) {
                places.push(at);
            }
        }
    }
    let middle = region.centroid();
    places.sort_by(|a, b| a.distance(middle).total_cmp(&b.distance(middle)));
    places
}

struct Sheet<'a> {
    one: &'a SetOutDeck<'a>,
    paper: Paper,
    /// The field whose points are named; none for the whole deck.
    field: Option<&'a Region>,
}

impl Sheet<'_> {
    /// A field on one sheet, or on two halves where names find no room.
    fn divided(
        &self,
        pages: &mut Pages,
        view: BoundingBox,
        named: &[Named],
        field: &FieldOut,
        part: &str,
        halvings: usize,
    ) {
        let heading = format!("Field {}{part}", field.id);
        let words = format!(
            "Dots are points, crosses the centres of arcs. Each name is preceded by the field's in the tables: 1 is {0}-1, \
             c1 is {0}-c1. The bow to the left, starboard above.",
            field.id
        );
        let (canvas, unplaced) = self.drawn(pages.lying_room(), view, named, &heading, &words);
        if unplaced == 0 || halvings == 0 || named.len() < 4 {
            pages.lying(|page, _| *page = canvas);
            return;
        }
        let lies = view.width() > view.height();
        let along = |at: Point| if lies { at.x } else { at.y };
        let mut places: Vec<f64> = named.iter().map(|one| along(one.at)).collect();
        places.sort_by(f64::total_cmp);
        let middle = f64::midpoint(places[(places.len() - 1) / 2], places[places.len() / 2]);
        for (is_first, side) in if lies {
            [(true, "forward"), (false, "aft")]
        } else {
            [(false, "starboard"), (true, "port")]
        } {
            let own: Vec<Named> = named
                .iter()
                .filter(|one| (along(one.at) <= middle) == is_first)
                .map(|one| Named {
                    name: one.name.clone(),
                    inside: Vec::new(),
                    ..*one
                })
                .collect();
            let view = BoundingBox::of_points(own.iter().map(|one| one.at));
            // A little of what is beyond, to see where it goes on.
            let view = view.grown(0.04 * view.width().max(view.height()));
            let part = format!("{part}, {side}");
            self.divided(pages, view, &own, field, &part, halvings - 1);
        }
    }

    fn page(
        &self,
        pages: &mut Pages,
        view: BoundingBox,
        named: &[Named],
        heading: &str,
        words: &str,
    ) {
        let (canvas, _) = self.drawn(pages.lying_room(), view, named, heading, words);
        pages.lying(|page, _| *page = canvas);
    }

    /// The sheet, and how many names found no room.
    fn drawn(
        &self,
        room: BoundingBox,
        view: BoundingBox,
        named: &[Named],
        heading: &str,
        words: &str,
    ) -> (Canvas, usize) {
        let mut head = Canvas::default();
        let low = self.head(&mut head, room, heading, words);
        let room = BoundingBox {
            greatest: Point::new(room.greatest.x, low),
            ..room
        };
        let share = ((room.width() - 2.0 * ROUND) / view.width().max(1.0))
            .min((room.height() - 2.0 * ROUND) / view.height().max(1.0));
        let projection = Projection {
            share,
            origin: room.centre() - view.centre() * share,
        };
        let shown = projection.bounds(view).grown(ROUND * 0.8).common(&room);
        let mut lines = Canvas::default();
        self.deck(&mut lines, projection, &shown);
        for one in named {
            sign(&mut lines, projection.point(one.at), one.sign);
        }
        let style = Style::of(self.paper);
        let labels = named
            .iter()
            .map(|one| match one.sign {
                Sign::Field => field_label(one, projection, &style),
                Sign::Point | Sign::Centre | Sign::Mark => {
                    label(one, projection.point(one.at), &style)
                }
            })
            .collect();
        let mut obstacles = Obstacles::new(room);
        obstacles.add(&lines);
        let placed = placing::place(labels, &mut obstacles, &style);
        let mut canvas = head;
        canvas.marks.extend(lines.marks);
        canvas.marks.extend(placed.canvas.marks);
        (canvas, placed.unplaced.len())
    }

    /// Heading and words over the sheet; returns how far down they reach.
    fn head(&self, canvas: &mut Canvas, room: BoundingBox, heading: &str, words: &str) -> f64 {
        let mut y = room.greatest.y - FIELD;
        let title = match self.field {
            None => heading.to_owned(),
            Some(_) => format!("{}: {heading}", self.one.out.title),
        };
        let mut line = |y: f64, height: f64, weight: Weight, words: &str| {
            let at = Point::new(room.least.x, y);
            canvas.text(Layer::Sheet, at, Anchor::Start, height, weight, words);
        };
        let title = text::shortened(&text::drawable(&title), FIELD, Weight::Bold, room.width());
        line(y, FIELD, Weight::Bold, &title);
        y -= FIELD * 0.4;
        for words in text::wrapped(words, BODY, Weight::Regular, room.width()) {
            y -= BODY * text::LINE;
            line(y, BODY, Weight::Regular, &words);
        }
        y - SMALL
    }

    /// The deck's lines, as far as the sheet shows them; those of the field that is named heavier.
    fn deck(&self, canvas: &mut Canvas, projection: Projection, shown: &BoundingBox) {
        let deck = self.one.deck;
        let mut ring = |layer: Layer, pen: Pen, ring: &Ring| {
            let runs = Run::closed(&projection.ring(ring)).parts_in(shown);
            canvas.runs(layer, Some(pen), Fill::None, runs);
        };
        let thin = Pen::solid(THIN);
        let dashed = Pen {
            width: THIN,
            dash: Dash::Dashed,
        };
        ring(Layer::Outline, Pen::solid(EDGE), &deck.plan.outline.ring);
        for one in deck.pattern.openings.rings() {
            ring(Layer::Openings, thin, one);
        }
        for one in deck.pattern.fittings.rings() {
            ring(Layer::Fittings, dashed, one);
        }
        for field in &deck.pattern.fields {
            let is_named = self.field.is_none_or(|own| *own == field.region);
            let pen = if is_named { Pen::solid(EDGE) } else { thin };
            for one in field.region.rings() {
                ring(Layer::Fields, pen, one);
            }
        }
    }
}

fn sign(canvas: &mut Canvas, at: Point, sign: Sign) {
    let mut cross = |arm: f64, width: f64| {
        let (along, up) = (Point::new(arm, 0.0), Point::new(0.0, arm));
        let arms = vec![
            Run::open(&[at - along, at + along]),
            Run::open(&[at - up, at + up]),
        ];
        canvas.runs(Layer::Points, Some(Pen::solid(width)), Fill::None, arms);
    };
    match sign {
        Sign::Point => canvas.dot(Layer::Points, at, DOT),
        Sign::Centre => cross(CENTRE, 0.25),
        Sign::Mark => {
            cross(MARK, 0.35);
            canvas.ring(
                Layer::Points,
                Pen::solid(0.35),
                &Ring::circle(at, MARK * 0.6),
            );
        }
        Sign::Field => {}
    }
}

/// A name with its places: close by all round, then on a leader.
fn label(one: &Named, at: Point, style: &Style) -> Label {
    let (height, reach) = match one.sign {
        Sign::Point => (NAME, DOT),
        Sign::Centre => (NAME, CENTRE),
        Sign::Mark | Sign::Field => (FIELD, MARK),
    };
    let wording = Wording::new(height, &[(&one.name, Weight::Bold)]);
    let (width, depth) = (wording.width, wording.depth);
    let mut label = Label::new(&one.name, vec![wording]);
    for number in 0..16 {
        let way = Point::at_angle(f64::from(number) * std::f64::consts::TAU / 16.0);
        // The text's box touches the sign's circle.
        let away = reach + 0.8;
        let centre = at + way * away + Point::new(way.x * width / 2.0, way.y * depth / 2.0);
        label.at(0, centre, 0.0, f64::from(number % 2) * 0.2);
    }
    let tips: Vec<(Point, Point)> = (0..8)
        .map(|number| Point::at_angle(f64::from(number) * std::f64::consts::TAU / 8.0))
        .map(|way| (at + way * reach, way))
        .collect();
    label.around(0, &tips, Tip::Bare, style, 3.0);
    label
}

/// A field's name and steps inside it: on one line, on two, along it, or on a leader out of it.
fn field_label(one: &Named, projection: Projection, style: &Style) -> Label {
    let (id, steps) = one.name.split_once(": ").unwrap_or((&one.name, ""));
    let height = FIELD * 0.8;
    let wordings = vec![
        Wording::new(height, &[(&one.name, Weight::Bold)]),
        Wording::new(height, &[(id, Weight::Bold), (steps, Weight::Regular)]),
        Wording::new(NAME * 0.9, &[(id, Weight::Bold), (steps, Weight::Regular)]),
    ];
    let mut label = Label::new(&one.name, wordings);
    for (number, at) in one.inside.iter().enumerate() {
        let at = projection.point(*at);
        let off = number as f64 * 0.02;
        for (turn, cost) in [(0.0, 0.0), (std::f64::consts::FRAC_PI_2, 2.0)] {
            label.inside(0, at, turn, cost + off);
            label.inside(1, at, turn, cost + off + 0.5);
            label.inside(2, at, turn, cost + off + 6.0);
        }
    }
    let tips: Vec<(Point, Point)> = one
        .inside
        .iter()
        .take(4)
        .map(|at| (projection.point(*at), Point::new(0.0, 1.0)))
        .collect();
    label.around(1, &tips, Tip::Dot, style, 20.0);
    label
}
