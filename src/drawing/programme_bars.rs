//! The programme as bars: a row for each activity, days along the top, what it waits for as a broken line before it. Comes in: a
//! programme. Goes out: a picture.

use jiff::ToSpan;
use jiff::civil::{Date, DateTime, Time as Clock};

use super::canvas::Canvas;
use super::form::pages::sheet;
use super::marks::{Anchor, Dash, Drawing, Fill, Layer, Pen, Weight};
use super::text;
use crate::programme::{ActivityKind, Placed, Programme};
use crate::shape::{BoundingBox, Point, Ring};
use crate::units::{long_day, short_day};

/// Of the picture, millimetres: A4 on its side, as high as the rows are many.
const WIDTH: f64 = 297.0;
const EDGE: f64 = 10.0;
const NAMES: f64 = 84.0;
/// Right of the last day, where its name may stand.
const BESIDE: f64 = 14.0;
const ROW: f64 = 5.4;
const BAR: f64 = 3.2;
/// A bar is no shorter, or nobody sees it.
const LEAST: f64 = 0.7;
const HEAD: f64 = 18.0;
const FOOT: f64 = 8.0;
const TITLE: f64 = 3.2;
const BODY: f64 = 2.1;
const SMALL: f64 = 1.8;
const THIN: f64 = 0.15;
const LINE: f64 = 0.3;
/// A day narrower than this has no name of its own, millimetres.
const NAMED: f64 = 20.0;
const FREE: u8 = 232;

/// How an activity is filled.
const fn grey(kind: &ActivityKind) -> u8 {
    match kind {
        ActivityKind::Work => 200,
        ActivityKind::Coat(_) => 40,
        ActivityKind::Mask(_) => 140,
        ActivityKind::Unmask(_) => 255,
        ActivityKind::ExtraSanding => 90,
    }
}

/// Days along the picture.
struct Axis {
    first: Date,
    days: i32,
    left: f64,
    day: f64,
}

impl Axis {
    fn at(&self, at: DateTime) -> f64 {
        let from = self.first.to_datetime(Clock::midnight());
        let days = at.duration_since(from).as_secs() as f64 / 86_400.0;
        self.left + days.clamp(0.0, f64::from(self.days)) * self.day
    }

    fn dates(&self) -> impl Iterator<Item = Date> {
        (0..self.days).map(|number| self.first.saturating_add(i64::from(number).days()))
    }

    fn start_of(&self, date: Date) -> f64 {
        self.at(date.to_datetime(Clock::midnight()))
    }
}

/// The bars of the likely schedule.
#[must_use]
pub fn programme_bars(programme: &Programme) -> Drawing {
    let plan = &programme.likely;
    let first = plan.begins.date();
    let days = plan
        .ready
        .date()
        .since(first)
        .map_or(1, |span| span.get_days() + 1);
    let axis = Axis {
        first,
        days,
        left: EDGE + NAMES,
        day: (WIDTH - 2.0 * EDGE - NAMES - BESIDE) / f64::from(days),
    };
    let rows = plan.placed.len() + 2;
    let height = 2.0 * EDGE + HEAD + rows as f64 * ROW + FOOT;
    let top = height - EDGE - HEAD;
    let bottom = top - rows as f64 * ROW;
    let mut bars = Bars {
        canvas: Canvas::default(),
        axis,
    };
    bars.days(programme, top, bottom);
    let title = format!("Programme: {}", programme.title);
    bars.head(&title, programme, height);
    for (number, placed) in plan.placed.iter().enumerate() {
        let middle = top - (number as f64 + 0.5) * ROW;
        bars.row(placed, &plan.placed, middle);
    }
    let ends = [("May be walked on", plan.walked_on), ("Cured", plan.ready)];
    for (number, (name, at)) in ends.into_iter().enumerate() {
        let middle = bottom + (1.5 - number as f64) * ROW;
        bars.end(name, at, middle);
    }
    bars.key(bottom - 5.0);
    let about = "A row for each activity of the job with its hours as bars, days along the top";
    sheet(&title, about, bars.canvas, (WIDTH, height), EDGE / 2.0)
}

struct Bars {
    canvas: Canvas,
    axis: Axis,
}

impl Bars {
    fn words(&mut self, x: f64, y: f64, anchor: Anchor, size: f64, weight: Weight, said: &str) {
        let at = Point::new(x, y);
        self.canvas
            .text(Layer::Sheet, at, anchor, size, weight, said);
    }

    fn boxed(
        &mut self,
        pen: Option<Pen>,
        grey: u8,
        (left, right): (f64, f64),
        (low, high): (f64, f64),
    ) {
        let bounds = BoundingBox {
            least: Point::new(left, low),
            greatest: Point::new(right, high),
        };
        self.canvas
            .rectangle(Layer::Sheet, pen, Fill::Grey(grey), bounds);
    }

    fn line(&mut self, pen: Pen, from: (f64, f64), to: (f64, f64)) {
        let points = [from, to].map(|(x, y)| Point::new(x, y));
        self.canvas.line(Layer::Sheet, pen, &points);
    }

    fn diamond(&mut self, x: f64, y: f64, grey: u8) {
        let half = BAR / 2.0;
        let corners = [(half, 0.0), (0.0, half), (-half, 0.0), (0.0, -half)];
        let ring = Ring::polygon(&corners.map(|(dx, dy)| Point::new(x + dx, y + dy)));
        let run = super::marks::Run::closed(&ring);
        self.canvas.runs(
            Layer::Sheet,
            Some(Pen::solid(THIN)),
            Fill::Grey(grey),
            vec![run],
        );
    }

    fn head(&mut self, title: &str, programme: &Programme, height: f64) {
        let room = WIDTH - 2.0 * EDGE;
        let shown = text::shortened(&text::drawable(title), TITLE, Weight::Bold, room);
        self.words(
            EDGE,
            height - EDGE - TITLE,
            Anchor::Start,
            TITLE,
            Weight::Bold,
            &shown,
        );
        let plan = &programme.likely;
        let weather = if programme.weather.is_some() {
            "coats in fit weather alone"
        } else {
            "no weather known"
        };
        let said = format!(
            "Likely hours, from {} to {}; {weather}",
            long_day(plan.begins.date()),
            long_day(plan.ready.date())
        );
        self.words(
            EDGE,
            height - EDGE - TITLE - 5.0,
            Anchor::Start,
            BODY,
            Weight::Regular,
            &said,
        );
    }

    /// Days with their names, as many as have room; days without work shaded.
    fn days(&mut self, programme: &Programme, top: f64, bottom: f64) {
        let dates: Vec<Date> = self.axis.dates().collect();
        let every = (NAMED / self.axis.day).ceil().max(1.0);
        let right = self.axis.left + self.axis.day * f64::from(self.axis.days);
        let mut since_named = every;
        for date in dates {
            let x = self.axis.start_of(date);
            if !programme.calendar.is_open(date) {
                self.boxed(None, FREE, (x, x + self.axis.day), (bottom, top));
            }
            let is_named = since_named >= every && x + NAMED <= right + BESIDE;
            if is_named {
                self.words(
                    x + 0.6,
                    top + 1.6,
                    Anchor::Start,
                    SMALL,
                    Weight::Regular,
                    &short_day(date),
                );
                since_named = 0.0;
            }
            since_named += 1.0;
            let high = if is_named { top + 4.4 } else { top };
            self.line(Pen::solid(THIN), (x, bottom), (x, high));
        }
        self.line(Pen::solid(THIN), (right, bottom), (right, top));
        self.line(Pen::solid(THIN), (EDGE, top), (right, top));
        self.line(Pen::solid(THIN), (EDGE, bottom), (right, bottom));
    }

    fn row(&mut self, placed: &Placed, all: &[Placed], middle: f64) {
        let activity = &placed.activity;
        let name = text::shortened(
            &text::drawable(&activity.title),
            BODY,
            Weight::Regular,
            NAMES - 3.0,
        );
        self.words(
            EDGE,
            middle - BODY / 2.0,
            Anchor::Start,
            BODY,
            Weight::Regular,
            &name,
        );
        if let Some(wait) = &placed.waited
            && let (Some(from), Some(to)) = (all[wait.on].ends(), placed.begins())
        {
            let pen = Pen {
                width: LINE,
                dash: Dash::Dotted,
            };
            self.line(
                pen,
                (self.axis.at(from), middle),
                (self.axis.at(to), middle),
            );
        }
        let fill = grey(&activity.kind);
        for span in &placed.spans {
            let from = self.axis.at(span.from);
            let to = self.axis.at(span.to).max(from + LEAST);
            let sides = (middle - BAR / 2.0, middle + BAR / 2.0);
            self.boxed(Some(Pen::solid(THIN)), fill, (from, to), sides);
        }
        let last = all.iter().filter_map(Placed::ends).max();
        if let Some(by) = placed
            .recoat_by
            .filter(|by| last.is_some_and(|last| *by <= last))
        {
            self.diamond(self.axis.at(by), middle, 255);
        }
    }

    fn end(&mut self, name: &str, at: DateTime, middle: f64) {
        let said = format!("{name}: {}", short_day(at.date()));
        let y = middle - BODY / 2.0;
        self.words(EDGE, y, Anchor::Start, BODY, Weight::Bold, &said);
        self.diamond(self.axis.at(at), middle, 0);
    }

    /// What the bars and marks are.
    fn key(&mut self, y: f64) {
        let mut x = EDGE;
        let kinds = [
            ("work", 200),
            ("tape on", 140),
            ("a coat", 40),
            ("tape off", 255),
            ("sanding a coat that is too old", 90),
        ];
        for (said, fill) in kinds {
            self.boxed(
                Some(Pen::solid(THIN)),
                fill,
                (x, x + 5.0),
                (y - 0.5, y + 2.1),
            );
            x = self.key_words(x + 6.5, y, said);
        }
        let pen = Pen {
            width: LINE,
            dash: Dash::Dotted,
        };
        self.line(pen, (x, y + 0.8), (x + 8.0, y + 0.8));
        x = self.key_words(x + 9.5, y, "waiting until dry enough");
        self.diamond(x + 1.6, y + 0.8, 255);
        x = self.key_words(x + 4.5, y, "the coat's latest without sanding");
        self.boxed(None, FREE, (x, x + 5.0), (y - 0.5, y + 2.1));
        self.key_words(x + 6.5, y, "nobody works");
    }

    fn key_words(&mut self, x: f64, y: f64, said: &str) -> f64 {
        self.words(x, y, Anchor::Start, SMALL, Weight::Regular, said);
        x + text::width(said, SMALL, Weight::Regular) + 5.0
    }
}
