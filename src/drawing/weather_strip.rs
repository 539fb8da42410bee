//! The weather hour by hour with what is done in it: a row for each day, white hours fit for a coat, grey ones not, with a letter
//! for each limit that they break. Comes in: a programme planned by hours of weather. Goes out: a picture; none where no weather is
//! known or no coat is laid.

use jiff::ToSpan;
use jiff::civil::{Date, DateTime, Time as Clock};

use super::canvas::Canvas;
use super::form::pages::sheet;
use super::marks::{Anchor, Drawing, Fill, Layer, Pen, Weight};
use super::text;
use crate::programme::{Placed, Programme, Span};
use crate::shape::{BoundingBox, Point};
use crate::units::short_day;
use crate::weather::{Fitness, Judgement, Reason, Rule};

/// Of the picture, millimetres.
const WIDTH: f64 = 297.0;
const EDGE: f64 = 10.0;
const NAMES: f64 = 25.0;
const HOUR: f64 = (WIDTH - 2.0 * EDGE - NAMES) / 24.0;
const HOURS_HIGH: f64 = 4.4;
const WORK_HIGH: f64 = 4.0;
const DAY: f64 = HOURS_HIGH + WORK_HIGH + 0.8;
const BAR: f64 = 1.4;
const HEAD: f64 = 12.0;
const BLOCK: f64 = 11.0;
const FOOT: f64 = 16.0;
const TITLE: f64 = 3.2;
const BODY: f64 = 2.1;
const SMALL: f64 = 1.7;
const THIN: f64 = 0.15;
const THICK: f64 = 0.5;
const UNFIT: u8 = 205;

/// The letter of a rule that is broken, and what it says.
const fn letter(rule: Rule) -> (&'static str, &'static str) {
    match rule {
        Rule::Spread => ("D", "near the dew point"),
        Rule::Humidity => ("H", "damp"),
        Rule::Cold | Rule::ColdSurface => ("C", "cold"),
        Rule::Heat | Rule::HotSurface => ("W", "warm"),
        Rule::Wind => ("V", "windy"),
        Rule::Rain => ("R", "rain in it or too soon after"),
    }
}

/// Days judged for some products.
struct Block<'a> {
    heading: String,
    judgement: &'a Judgement,
    coats: Vec<&'a Placed>,
    dates: Vec<Date>,
}

/// The strip of the likely schedule.
#[must_use]
pub fn weather_strip(programme: &Programme) -> Option<Drawing> {
    let weather = programme.weather.as_ref()?;
    let placed = &programme.likely.placed;
    let blocks: Vec<Block<'_>> = weather
        .all()
        .filter_map(|(products, judgement)| {
            let is_of = |one: &&Placed| {
                let product = one.activity.product.as_deref();
                product.is_some_and(|product| products.contains(&product))
            };
            let coats: Vec<&Placed> = placed.iter().filter(is_of).collect();
            Some(Block {
                heading: format!("For {}", products.join(", ")),
                dates: days_of(&coats)?,
                judgement,
                coats,
            })
        })
        .collect();
    if blocks.is_empty() {
        return None;
    }
    let days: usize = blocks.iter().map(|block| block.dates.len()).sum();
    let height = 2.0 * EDGE + HEAD + blocks.len() as f64 * BLOCK + days as f64 * DAY + FOOT;
    let mut strip = Strip {
        canvas: Canvas::default(),
    };
    let title = format!("Hours fit for coats: {}", programme.title);
    let shown = text::shortened(
        &text::drawable(&title),
        TITLE,
        Weight::Bold,
        WIDTH - 2.0 * EDGE,
    );
    strip.words(
        EDGE,
        height - EDGE - TITLE,
        Anchor::Start,
        TITLE,
        Weight::Bold,
        &shown,
    );
    let mut top = height - EDGE - HEAD;
    for block in &blocks {
        top = strip.block(block, placed, programme, top);
    }
    strip.key(EDGE + 6.0);
    let about = "A row for each day, a box for each hour: white where the weather is fit for a coat, grey with letters where it is not";
    Some(sheet(
        &title,
        about,
        strip.canvas,
        (WIDTH, height),
        EDGE / 2.0,
    ))
}

/// The days from the first that a coat could have been laid on to the last of them all.
fn days_of(coats: &[&Placed]) -> Option<Vec<Date>> {
    let begins = coats.iter().filter_map(|one| {
        let held = one.weather.back.as_ref().map(|held| held.from);
        held.into_iter().chain(one.begins()).min()
    });
    let first = begins.min()?.date();
    let last = coats.iter().filter_map(|one| one.ends()).max()?.date();
    let dates = first.series(1.day()).take_while(|date| *date <= last);
    Some(dates.collect())
}

struct Strip {
    canvas: Canvas,
}

impl Strip {
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

    /// A block of days; where it ends.
    fn block(
        &mut self,
        block: &Block<'_>,
        placed: &[Placed],
        programme: &Programme,
        top: f64,
    ) -> f64 {
        self.words(
            EDGE,
            top - 4.0,
            Anchor::Start,
            BODY,
            Weight::Bold,
            &block.heading,
        );
        for hour in 0..24_u32 {
            let x = hour_at(f64::from(hour));
            let said = format!("{hour:02}");
            self.words(
                x,
                top - BLOCK + 1.0,
                Anchor::Middle,
                SMALL,
                Weight::Regular,
                &said,
            );
        }
        for (number, date) in block.dates.iter().enumerate() {
            let row = top - BLOCK - number as f64 * DAY;
            self.day(block, placed, programme, *date, row);
        }
        top - BLOCK - block.dates.len() as f64 * DAY
    }

    fn day(
        &mut self,
        block: &Block<'_>,
        placed: &[Placed],
        programme: &Programme,
        date: Date,
        top: f64,
    ) {
        let low = top - HOURS_HIGH;
        let name = short_day(date);
        self.words(EDGE, low + 1.2, Anchor::Start, BODY, Weight::Regular, &name);
        for hour in 0..24_i8 {
            let sides = (hour_at(f64::from(hour)), hour_at(f64::from(hour) + 1.0));
            let found = fitness(block.judgement, date.at(hour, 0, 0, 0));
            let fill = match found {
                Some(found) if found.is_fit() => 255,
                Some(_) => UNFIT,
                None => 255,
            };
            self.boxed(Some(Pen::solid(THIN)), fill, sides, (low, top));
            let letters = match found {
                Some(found) => letters(found),
                None => "?".to_owned(),
            };
            let middle = (sides.0 + sides.1) / 2.0;
            self.words(
                middle,
                low + 1.4,
                Anchor::Middle,
                SMALL,
                Weight::Regular,
                &letters,
            );
        }
        // The hours in which somebody works, by a heavy line under them.
        let midnight = date.to_datetime(Clock::midnight());
        if let Some(open) = programme.calendar.next(midnight)
            && open.from.date() == date
        {
            let ends = [open.from, open.to].map(|at| Point::new(at_of(date, at), low));
            self.canvas.line(Layer::Sheet, Pen::solid(THICK), &ends);
        }
        let mut free_from = hour_at(0.0);
        let mut works: Vec<(Span, &Placed)> = placed
            .iter()
            .filter_map(|one| Some((on_day(one, date)?, one)))
            .collect();
        works.sort_by_key(|(span, _)| span.from);
        let nexts: Vec<f64> = works
            .iter()
            .skip(1)
            .map(|(span, _)| at_of(date, span.from))
            .collect();
        for (number, (span, one)) in works.into_iter().enumerate() {
            let sides = (at_of(date, span.from), at_of(date, span.to));
            let is_coat = block
                .coats
                .iter()
                .any(|coat| coat.activity.id == one.activity.id);
            let fill = if is_coat { 40 } else { 225 };
            let under = low - 0.4;
            self.boxed(Some(Pen::solid(THIN)), fill, sides, (under - BAR, under));
            let from = sides.0.max(free_from);
            let room = nexts
                .get(number)
                .copied()
                .unwrap_or(hour_at(24.0))
                .max(sides.1)
                - from
                - 0.8;
            let weight = if is_coat {
                Weight::Bold
            } else {
                Weight::Regular
            };
            let said = text::shortened(&text::drawable(&one.activity.title), SMALL, weight, room);
            if room > 4.0 * SMALL {
                let y = under - BAR - SMALL - 0.2;
                self.words(from, y, Anchor::Start, SMALL, weight, &said);
                free_from = from + text::width(&said, SMALL, weight) + 0.8;
            }
        }
    }

    fn key(&mut self, y: f64) {
        let mut x = EDGE;
        let mut add = |strip: &mut Self, fill: u8, sign: &str, said: &str| {
            strip.boxed(
                Some(Pen::solid(THIN)),
                fill,
                (x, x + 5.0),
                (y - 0.8, y + 2.4),
            );
            strip.words(x + 2.5, y, Anchor::Middle, SMALL, Weight::Regular, sign);
            strip.words(x + 6.2, y, Anchor::Start, SMALL, Weight::Regular, said);
            x += 6.2 + text::width(said, SMALL, Weight::Regular) + 4.5;
        };
        add(self, 255, "", "fit");
        let mut known: Vec<&str> = Vec::new();
        for rule in Rule::ALL {
            let (sign, said) = letter(rule);
            if !known.contains(&sign) {
                known.push(sign);
                add(self, UNFIT, sign, said);
            }
        }
        add(self, 255, "?", "not known");
        add(self, 40, "", "the coats");
        add(self, 225, "", "other work");
        let said = "The heavy line: working hours. A forecast is no measurement: measure at the surface before every coat, and about every four hours.";
        self.words(EDGE, y - 5.0, Anchor::Start, SMALL, Weight::Regular, said);
    }
}

fn hour_at(hour: f64) -> f64 {
    EDGE + NAMES + hour * HOUR
}

/// Where a moment of a day stands; the next midnight at the row's end.
fn at_of(date: Date, at: DateTime) -> f64 {
    let midnight = date.to_datetime(Clock::midnight());
    let hours = at.duration_since(midnight).as_secs() as f64 / 3600.0;
    hour_at(hours.clamp(0.0, 24.0))
}

/// From the first to the last of an activity's work on a day.
fn on_day(placed: &Placed, date: Date) -> Option<Span> {
    let mut spans = placed.spans.iter().filter(|span| span.from.date() == date);
    let first = spans.next()?;
    let last = spans.next_back().unwrap_or(first);
    Some(Span {
        from: first.from,
        to: last.to,
    })
}

fn fitness(judgement: &Judgement, at: DateTime) -> Option<&Fitness> {
    let found = judgement
        .hours
        .binary_search_by(|one| one.hour.start.cmp(&at));
    found.ok().map(|place| &judgement.hours[place])
}

/// The letters of what an hour lacks, each once.
fn letters(fitness: &Fitness) -> String {
    let mut said = String::new();
    for sign in fitness
        .reasons
        .iter()
        .map(Reason::rule)
        .map(|rule| letter(rule).0)
    {
        if !said.contains(sign) {
            said += sign;
        }
    }
    said
}
