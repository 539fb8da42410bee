//! The takeoff for programs: every number unrounded, each key with its unit. Keys may be added, never changed.

use serde::Serialize;

use super::rows::number;
use crate::layout::{Content, Origin};
use crate::takeoff::{
    Batch, CoatTakeoff, Cost, Item, MoneyRange, Part, Piece, Takeoff, TooLarge, WorkStep, cautions,
};
use crate::units::{Currency, HourRange, Length, Money, Share};

#[derive(Serialize)]
struct TakeoffKeys<'a> {
    title: &'a str,
    currency: Option<&'static str>,
    zones: Vec<ZoneKeys<'a>>,
    steps: Vec<StepKeys<'a>>,
    shopping: Vec<ItemKeys<'a>>,
    hours: HourKeys,
    cost: CostKeys<'a>,
    too_large: Vec<TooLargeKeys<'a>>,
    settings: Vec<SettingKeys<'a>>,
    cautions: Vec<&'static str>,
}

#[derive(Serialize)]
struct ZoneKeys<'a> {
    deck: &'a str,
    title: &'a str,
    border_m2: f64,
    field_m2: f64,
    fields: Vec<FieldKeys<'a>>,
}

#[derive(Serialize)]
struct FieldKeys<'a> {
    id: &'a str,
    area_m2: f64,
}

#[derive(Serialize)]
struct StepKeys<'a> {
    id: &'a str,
    title: &'a str,
    area_m2: f64,
    hours: HourKeys,
    by_zone: Vec<ZoneHourKeys<'a>>,
    coats: Option<CoatKeys<'a>>,
}

#[derive(Serialize)]
struct ZoneHourKeys<'a> {
    deck: &'a str,
    zone: &'static str,
    hours: HourKeys,
}

#[derive(Serialize)]
struct HourKeys {
    low_h: f64,
    likely_h: f64,
    high_h: f64,
    mean_h: f64,
}

impl From<HourRange> for HourKeys {
    fn from(range: HourRange) -> Self {
        Self {
            low_h: range.low.to_hours(),
            likely_h: range.likely.to_hours(),
            high_h: range.high.to_hours(),
            mean_h: range.mean().to_hours(),
        }
    }
}

#[derive(Serialize)]
struct CoatKeys<'a> {
    product: &'a str,
    coats: usize,
    dry_film_um: Option<f64>,
    wet_film_um: f64,
    theoretical_m2_per_l: f64,
    practical_m2_per_l: f64,
    loss_per_cent: f64,
    thin_per_cent: f64,
    pot_life_h: Option<f64>,
    working_h: Option<f64>,
    most_m2: Option<f64>,
    mixed_a_coat_l: f64,
    batches: Vec<BatchKeys<'a>>,
}

#[derive(Serialize)]
struct BatchKeys<'a> {
    area_m2: f64,
    need_l: f64,
    mixed_l: f64,
    portions: Vec<PortionKeys<'a>>,
    misreading_per_cent: Option<f64>,
    is_coarse: bool,
    thinner_l: f64,
    catalyst_g: f64,
    aggregate_g: f64,
    is_too_large: bool,
    pieces: Vec<PieceKeys<'a>>,
}

#[derive(Serialize)]
struct PortionKeys<'a> {
    title: &'a str,
    volume_l: Option<f64>,
    mass_g: Option<f64>,
}

#[derive(Serialize)]
struct PieceKeys<'a> {
    deck: &'a str,
    field: Option<&'a str>,
    from_mm: Option<f64>,
    to_mm: Option<f64>,
    wet_edge_mm: Option<f64>,
    area_m2: f64,
}

#[derive(Serialize)]
struct ItemKeys<'a> {
    id: &'a str,
    shelf: &'static str,
    title: &'a str,
    need: f64,
    unit: &'static str,
    buy: Vec<BoughtKeys>,
    cost: Option<f64>,
    left: Option<f64>,
    steps: &'a [String],
}

#[derive(Serialize)]
struct BoughtKeys {
    count: usize,
    size: f64,
    price: Option<f64>,
}

#[derive(Serialize)]
struct MoneyKeys {
    low: f64,
    likely: f64,
    high: f64,
}

#[derive(Serialize)]
struct CostKeys<'a> {
    materials: Option<f64>,
    unpriced: &'a [String],
    expenses: Option<f64>,
    days_low: usize,
    days_likely: usize,
    days_high: usize,
    yard: Option<MoneyKeys>,
    paid: Option<MoneyKeys>,
    own_time: Option<MoneyKeys>,
    budget: Option<f64>,
    quote: Option<QuoteKeys<'a>>,
}

#[derive(Serialize)]
struct QuoteKeys<'a> {
    amount: Option<f64>,
    covers: &'a [&'static str],
    note: Option<&'a str>,
    own: Option<MoneyKeys>,
    break_even_hour: Option<MoneyKeys>,
}

#[derive(Serialize)]
struct TooLargeKeys<'a> {
    step: &'a str,
    piece: PieceKeys<'a>,
    most_m2: f64,
    parts: Option<u32>,
    hands: Option<u32>,
    cooler_c: Option<f64>,
    slower: Option<&'a str>,
}

#[derive(Serialize)]
struct SettingKeys<'a> {
    key: &'a str,
    title: &'a str,
    value: &'a str,
    source: &'static str,
}

/// The takeoff as JSON.
///
/// # Errors
/// Never for a takeoff: its keys are text and its numbers finite.
pub fn json(takeoff: &Takeoff) -> Result<String, serde_json::Error> {
    let currency = takeoff.currency;
    let keys = TakeoffKeys {
        title: &takeoff.title,
        currency: currency.map(Currency::code),
        zones: takeoff
            .zones
            .iter()
            .map(|zone| ZoneKeys {
                deck: &zone.id,
                title: &zone.title,
                border_m2: zone.border.to_m2(),
                field_m2: zone.field.to_m2(),
                fields: zone
                    .fields
                    .iter()
                    .map(|field| FieldKeys {
                        id: &field.id,
                        area_m2: field.area.to_m2(),
                    })
                    .collect(),
            })
            .collect(),
        steps: takeoff.steps.iter().map(step).collect(),
        shopping: takeoff
            .shopping
            .iter()
            .map(|one| item(one, currency))
            .collect(),
        hours: takeoff.hours.into(),
        cost: cost(&takeoff.cost, currency),
        too_large: takeoff.too_large.iter().map(too_large).collect(),
        settings: takeoff
            .settings
            .iter()
            .map(|setting| SettingKeys {
                key: &setting.key,
                title: &setting.title,
                value: &setting.value,
                source: match setting.origin {
                    Origin::Layout => "layout",
                    Origin::Default(source) => source,
                },
            })
            .collect(),
        cautions: cautions(takeoff),
    };
    let mut text = serde_json::to_string_pretty(&keys)?;
    text.push('\n');
    Ok(text)
}

fn micrometres(film: Length) -> f64 {
    film.to_mm() * 1000.0
}

fn step(step: &WorkStep) -> StepKeys<'_> {
    StepKeys {
        id: &step.id,
        title: &step.title,
        area_m2: step.area.to_m2(),
        hours: step.hours().into(),
        by_zone: step
            .zones
            .iter()
            .map(|zone| ZoneHourKeys {
                deck: &zone.deck,
                zone: zone.zone.word(),
                hours: zone.hours.into(),
            })
            .collect(),
        coats: step.coats.as_ref().map(coats),
    }
}

fn coats(coats: &CoatTakeoff) -> CoatKeys<'_> {
    CoatKeys {
        product: &coats.product,
        coats: coats.coats,
        dry_film_um: coats.dry_film.map(micrometres),
        wet_film_um: micrometres(coats.wet_film),
        theoretical_m2_per_l: coats.theoretical.to_square_metres_per_litre(),
        practical_m2_per_l: coats.practical.to_square_metres_per_litre(),
        loss_per_cent: coats.loss.to_per_cent(),
        thin_per_cent: coats.thin.to_per_cent(),
        pot_life_h: coats.limit.map(|limit| limit.pot_life.to_hours()),
        working_h: coats.limit.map(|limit| limit.working.to_hours()),
        most_m2: coats.limit.map(|limit| limit.most.to_m2()),
        mixed_a_coat_l: coats.mixed_a_coat().to_litres(),
        batches: coats.batches.iter().map(batch).collect(),
    }
}

fn batch(batch: &Batch) -> BatchKeys<'_> {
    BatchKeys {
        area_m2: batch.area.to_m2(),
        need_l: batch.need.to_litres(),
        mixed_l: batch.mix.total.to_litres(),
        portions: batch
            .mix
            .portions
            .iter()
            .map(|portion| {
                let (volume_l, mass_g) = match portion.amount {
                    Content::Volume(volume) => (Some(volume.to_litres()), None),
                    Content::Mass(mass) => (None, Some(mass.to_grams())),
                };
                PortionKeys {
                    title: &portion.title,
                    volume_l,
                    mass_g,
                }
            })
            .collect(),
        misreading_per_cent: batch.mix.misreading.map(Share::to_per_cent),
        is_coarse: batch.mix.is_coarse,
        thinner_l: batch.thinner.to_litres(),
        catalyst_g: batch.catalyst.to_grams(),
        aggregate_g: batch.aggregate.to_grams(),
        is_too_large: batch.is_too_large,
        pieces: batch.pieces.iter().map(piece).collect(),
    }
}

fn piece(piece: &Piece) -> PieceKeys<'_> {
    let stretch = match &piece.part {
        Part::Stretch(stretch) => Some(stretch),
        _ => None,
    };
    PieceKeys {
        deck: &piece.deck,
        field: match &piece.part {
            Part::Field(id) => Some(id),
            _ => None,
        },
        from_mm: stretch.map(|stretch| stretch.from.to_mm()),
        to_mm: stretch.map(|stretch| stretch.to.to_mm()),
        wet_edge_mm: stretch.map(|stretch| stretch.wet_edge.to_mm()),
        area_m2: piece.area.to_m2(),
    }
}

fn amount(money: Option<Money>, currency: Option<Currency>) -> Option<f64> {
    money
        .zip(currency)
        .map(|(money, currency)| money.to_number(currency))
}

fn range(range: Option<MoneyRange>, currency: Option<Currency>) -> Option<MoneyKeys> {
    range.zip(currency).map(|(range, currency)| MoneyKeys {
        low: range.low.to_number(currency),
        likely: range.likely.to_number(currency),
        high: range.high.to_number(currency),
    })
}

fn item(item: &Item, currency: Option<Currency>) -> ItemKeys<'_> {
    let (need, unit) = number(item.need);
    ItemKeys {
        id: &item.id,
        shelf: item.shelf.title(),
        title: &item.title,
        need,
        unit,
        buy: item
            .buy
            .iter()
            .map(|bought| BoughtKeys {
                count: bought.count,
                size: number(bought.size).0,
                price: amount(bought.price, currency),
            })
            .collect(),
        cost: amount(item.cost, currency),
        left: item.left.map(|left| number(left).0),
        steps: &item.steps,
    }
}

fn cost(cost: &Cost, currency: Option<Currency>) -> CostKeys<'_> {
    CostKeys {
        materials: amount(Some(cost.materials), currency),
        unpriced: &cost.unpriced,
        expenses: amount(Some(cost.expenses), currency),
        days_low: cost.days.low,
        days_likely: cost.days.likely,
        days_high: cost.days.high,
        yard: range(cost.yard, currency),
        paid: range(Some(cost.paid), currency),
        own_time: range(cost.own_time, currency),
        budget: amount(cost.budget, currency),
        quote: cost.quote.as_ref().map(|quote| QuoteKeys {
            amount: amount(Some(quote.amount), currency),
            covers: &quote.covers,
            note: quote.note.as_deref(),
            own: range(Some(quote.own), currency),
            break_even_hour: range(quote.break_even, currency),
        }),
    }
}

fn too_large(large: &TooLarge) -> TooLargeKeys<'_> {
    TooLargeKeys {
        step: &large.step,
        piece: piece(&large.piece),
        most_m2: large.most.to_m2(),
        parts: large.parts,
        hands: large.hands,
        cooler_c: large.cooler.map(crate::units::Temperature::to_celsius),
        slower: large.slower.as_deref(),
    }
}
