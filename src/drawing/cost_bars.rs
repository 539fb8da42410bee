//! What the job costs beside a yard's quote, as bars: what is paid out, and the owners' time at what it is worth to
//! them. Comes in: a takeoff. Goes out: a picture; none where no money is known.

use super::canvas::Canvas;
use super::form::pages::sheet;
use super::marks::{Anchor, Drawing, Fill, Layer, Pen, Weight};
use super::text;
use crate::shape::{BoundingBox, Point};
use crate::takeoff::{MoneyRange, Takeoff};
use crate::units::{Currency, Money};

/// Of the picture, millimetres.
const WIDTH: f64 = 180.0;
const EDGE: f64 = 8.0;
const NAMES: f64 = 38.0;
/// Side of the square that says which part is meant.
const KEY: f64 = 2.2;
const BAR: f64 = 12.0;
const GAP: f64 = 11.0;
const BODY: f64 = 2.3;
const SMALL: f64 = 1.8;
const THIN: f64 = 0.2;

/// A part of a bar.
struct Part {
    name: String,
    amount: Money,
    grey: u8,
}

/// The bars.
#[must_use]
pub fn cost_bars(takeoff: &Takeoff) -> Option<Drawing> {
    let currency = takeoff.currency?;
    let cost = &takeoff.cost;
    let part = |name: &str, amount: Money, grey: u8| Part {
        name: name.to_owned(),
        amount,
        grey,
    };
    let own = |of: fn(MoneyRange) -> Money| {
        let mut parts = vec![
            part("materials", cost.materials, 120),
            part("expenses", cost.expenses, 150),
        ];
        parts.extend(cost.yard.map(|yard| part("yard", of(yard), 180)));
        parts.extend(cost.own_time.map(|time| part("your time", of(time), 225)));
        parts.retain(|part| part.amount > Money::ZERO);
        parts
    };
    let hangs_on_hours = |range: MoneyRange| range.low != range.high;
    let mut bars = if cost
        .yard
        .into_iter()
        .chain(cost.own_time)
        .any(hangs_on_hours)
    {
        vec![
            ("You, few hours".to_owned(), own(|range| range.low)),
            ("You, likely".to_owned(), own(|range| range.likely)),
            ("You, many hours".to_owned(), own(|range| range.high)),
        ]
    } else {
        vec![("You".to_owned(), own(|range| range.likely))]
    };
    if let Some(quote) = &cost.quote {
        let mut parts = vec![part(
            &format!("quote: {}", quote.covers.join(", ")),
            quote.amount,
            90,
        )];
        // What it does not cover is paid beside it.
        if !quote.covers.contains(&"materials") {
            parts.push(part("materials", cost.materials + cost.expenses, 120));
        }
        bars.push(("The yard".to_owned(), parts));
    }
    let total = |parts: &[Part]| parts.iter().map(|part| part.amount).sum::<Money>();
    let most = bars.iter().map(|(_, parts)| total(parts)).max()?;
    if most <= Money::ZERO {
        return None;
    }
    let height = 2.0 * EDGE + 12.0 + bars.len() as f64 * (BAR + GAP);
    let mut canvas = Canvas::default();
    let title = format!("What it costs: {}", takeoff.title);
    let mut words = |x: f64, y: f64, size: f64, weight: Weight, anchor: Anchor, said: &str| {
        canvas.text(Layer::Sheet, Point::new(x, y), anchor, size, weight, said);
    };
    let shown = text::shortened(
        &text::drawable(&title),
        3.0,
        Weight::Bold,
        WIDTH - 2.0 * EDGE,
    );
    words(
        EDGE,
        height - EDGE - 3.0,
        3.0,
        Weight::Bold,
        Anchor::Start,
        &shown,
    );
    let room = WIDTH - 2.0 * EDGE - NAMES - 26.0;
    let scale = room / most.to_number(currency);
    let mut boxes: Vec<(BoundingBox, u8)> = Vec::new();
    let mut boxed = |x: f64, bottom: f64, width: f64, height: f64, grey: u8| {
        let bounds = BoundingBox {
            least: Point::new(x, bottom),
            greatest: Point::new(x + width, bottom + height),
        };
        boxes.push((bounds, grey));
    };
    for (number, (name, parts)) in bars.iter().enumerate() {
        let top = height - EDGE - 12.0 - number as f64 * (BAR + GAP);
        let middle = top - BAR / 2.0 - BODY / 2.0;
        words(EDGE, middle, BODY, Weight::Bold, Anchor::Start, name);
        let mut x = EDGE + NAMES;
        let mut free_from = x;
        for part in parts {
            let width = part.amount.to_number(currency) * scale;
            boxed(x, top - BAR, width, BAR, part.grey);
            // Under its part, or further right where its neighbour's words still stand.
            let said = named(part, currency);
            let at = x.max(free_from);
            let line = top - BAR - 4.0;
            boxed(at, line - 0.2, KEY, KEY, part.grey);
            words(
                at + KEY + 1.0,
                line,
                SMALL,
                Weight::Regular,
                Anchor::Start,
                &said,
            );
            free_from = at + KEY + text::width(&said, SMALL, Weight::Regular) + 4.0;
            x += width;
        }
        let sum = total(parts).show(currency);
        words(x + 2.0, middle, BODY, Weight::Bold, Anchor::Start, &sum);
    }
    for (bounds, grey) in boxes {
        canvas.rectangle(
            Layer::Sheet,
            Some(Pen::solid(THIN)),
            Fill::Grey(grey),
            bounds,
        );
    }
    let about = "Bars of what is paid out and of the owners' time, beside a quote";
    Some(sheet(&title, about, canvas, (WIDTH, height), EDGE / 2.0))
}

fn named(part: &Part, currency: Currency) -> String {
    format!("{} {}", part.name, part.amount.show_bare(currency))
}
