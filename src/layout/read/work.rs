//! Reads what a layout says of the work: the job, paces, supplies, prices of rolls; with products and steps.

use super::super::table::{Reading, Table};
use super::super::{
    Cup, Expense, Fault, JobSettings, Labour, Lasts, OrderSettings, Pack, Quote, RollPrices, Scale,
    Supplies, Work,
};
use super::{products, programme, steps, weather};
use crate::units::{Area, Time};

/// Everything, whose faults are kept; what is at fault is as if it were not there.
pub(super) fn work<'t>(reading: &mut Reading<'t>, layout: &Table<'t>) -> Work {
    let job = job(reading, layout);
    Work {
        products_file: reading.line(layout, "products"),
        products: products::products(reading, layout),
        steps: steps::steps(reading, layout),
        job,
        labour: labour(reading, layout),
        supplies: supplies(reading, layout),
        order: order(reading, layout),
        programme: programme::programme(reading, layout),
        weather: weather::source(reading, layout),
        roll_prices: RollPrices::default(),
    }
}

/// What people need who paint a deck that they stand on.
fn order<'t>(reading: &mut Reading<'t>, layout: &Table<'t>) -> OrderSettings {
    let default = OrderSettings::default();
    let Some(table) = reading.table(layout, "order") else {
        return default;
    };
    let mut given = |name| reading.length(&table, name).map(|length| length.value);
    let settings = OrderSettings {
        path: default.path.or_given(given("path")),
        reach: default.reach.or_given(given("reach")),
    };
    if settings.reach.value < settings.least_reach() {
        let (path, reach) = (settings.path.value, settings.reach.value);
        let name = if table.has("reach") { "reach" } else { "path" };
        reading.report(
            Fault::new(
                table.place_of(name),
                format!(
                    "an arm reaches {}, and people walk {} from wet paint",
                    reach.show(reading.units),
                    (path / 2.0).show(reading.units)
                ),
                "nobody could paint the ground before their feet",
            )
            .with_help(format!(
                "`reach` is at least `path` and 200 mm: {}",
                settings.least_reach().show(reading.units)
            )),
        );
        return default;
    }
    settings
}

fn job<'t>(reading: &mut Reading<'t>, layout: &Table<'t>) -> JobSettings {
    let default = JobSettings::default();
    let Some(table) = reading.table(layout, "job") else {
        return default;
    };
    let currency = reading.currency(&table, "currency");
    reading.currency = currency.as_ref().map(|currency| currency.value);
    // A code that is at fault is fault enough.
    reading.currency_is_at_fault = currency.is_none() && table.has("currency");
    let tolerance = reading.share(
        &table,
        "mix_tolerance",
        0.1..=25.0,
        "write how far a part may be off, for example 5",
    );
    JobSettings {
        currency,
        people: default.people.or_given(reading.count(&table, "people")),
        laying: default.laying.or_given(reading.count(&table, "laying")),
        hours_a_day: default.hours_a_day.or_given(
            reading
                .positive(&table, "hours_a_day", 24.0)
                .map(Time::hours),
        ),
        temperature: default
            .temperature
            .or_given(reading.temperature(&table, "temperature")),
        pot_life_halves: default.pot_life_halves.or_given(reading.positive(
            &table,
            "pot_life_halves",
            100.0,
        )),
        mix_tolerance: default
            .mix_tolerance
            .or_given(tolerance.map(|tolerance| tolerance.value)),
        cup: default.cup.or_given(cup(reading, &table)),
        scale: default.scale.or_given(scale(reading, &table)),
        hour_value: reading.money(&table, "hour_value"),
        yard_day: reading.money(&table, "yard_day"),
        budget: reading.money(&table, "budget"),
        expenses: expenses(reading, &table),
        quote: quote(reading, &table),
    }
}

fn cup<'t>(reading: &mut Reading<'t>, job: &Table<'t>) -> Option<Cup> {
    let table = reading.table(job, "cup")?;
    let (holds, step) = (
        reading.quantity(&table, "holds"),
        reading.quantity(&table, "step"),
    );
    let cup = Cup {
        holds: holds?.value,
        step: step?.value,
    };
    if cup.step > cup.holds {
        coarser_than_it_holds(reading, &table);
        return None;
    }
    Some(cup)
}

fn scale<'t>(reading: &mut Reading<'t>, job: &Table<'t>) -> Option<Scale> {
    let table = reading.table(job, "scale")?;
    let (holds, step) = (
        reading.quantity(&table, "holds"),
        reading.quantity(&table, "step"),
    );
    let scale = Scale {
        holds: holds?.value,
        step: step?.value,
    };
    if scale.step > scale.holds {
        coarser_than_it_holds(reading, &table);
        return None;
    }
    Some(scale)
}

fn coarser_than_it_holds<'t>(reading: &mut Reading<'t>, table: &Table<'t>) {
    reading.report(
        Fault::new(
            table.place_of("step"),
            "the step is more than it holds",
            "nothing could be measured",
        )
        .with_mention(table.place_of("holds"), "all that it holds"),
    );
}

fn expenses<'t>(reading: &mut Reading<'t>, job: &Table<'t>) -> Vec<Expense> {
    let tables = reading.tables(job, "expense");
    let mut expenses = Vec::new();
    for table in &tables {
        let title = reading.line(table, "title");
        let amount = reading.money(table, "amount");
        if let (Some(title), Some(amount)) = (title, amount) {
            expenses.push(Expense {
                title: title.value,
                amount,
            });
        }
    }
    expenses
}

fn quote<'t>(reading: &mut Reading<'t>, job: &Table<'t>) -> Option<Quote> {
    let table = reading.table(job, "quote")?;
    let amount = reading.money(&table, "amount");
    let covers = reading.words(&table, "covers");
    let note = reading.line(&table, "note");
    let has = |word: &str, unless_said: bool| {
        covers
            .as_ref()
            .map_or(unless_said, |words| words.contains(&word))
    };
    Some(Quote {
        amount: amount?,
        covers_labour: has("labour", true),
        covers_materials: has("materials", true),
        covers_yard: has("yard", false),
        note: note.map(|note| note.value),
    })
}

fn labour<'t>(reading: &mut Reading<'t>, layout: &Table<'t>) -> Labour {
    let mut labour = Labour::default();
    let Some(table) = reading.table(layout, "labour") else {
        return labour;
    };
    for (task, key, _) in Labour::LINE_TASKS {
        labour.set_line(task, reading.pace(&table, key));
    }
    for (task, key, _) in Labour::AREA_TASKS {
        labour.set_area(task, reading.pace(&table, key));
    }
    labour.mix = labour.mix.or_given(reading.pace(&table, "mix"));
    labour.patch_laid = labour
        .patch_laid
        .or_given(reading.pace(&table, "patch_laid"));
    labour.patch_seen = labour
        .patch_seen
        .or_given(reading.pace(&table, "patch_seen"));
    labour
}

fn supplies<'t>(reading: &mut Reading<'t>, layout: &Table<'t>) -> Supplies {
    let mut supplies = Supplies::default();
    let Some(table) = reading.table(layout, "supplies") else {
        return supplies;
    };
    for (kind, key, _) in Supplies::KINDS {
        if let Some(table) = reading.table(&table, key) {
            let lasts = lasts(reading, &table, supplies.of(kind).lasts.value);
            let packs = packs(reading, &table);
            supplies.set(kind, lasts, packs);
        }
    }
    let mut waste = |key: &str| {
        let help = "write how much more is used up than lies there in the end, for example 10";
        let share = reading.share(&table, key, 0.0..=100.0, help);
        share.map(|share| share.value)
    };
    let (film, bead_tape) = (waste("film_waste"), waste("bead_tape_waste"));
    supplies.film_waste = supplies.film_waste.or_given(film);
    supplies.bead_tape_waste = supplies.bead_tape_waste.or_given(bead_tape);
    supplies
}

/// How long a supply lasts, in the way that its default does.
fn lasts<'t>(reading: &mut Reading<'t>, table: &Table<'t>, like: Lasts) -> Option<Lasts> {
    match like {
        Lasts::Area(_) => reading
            .quantity::<Area>(table, "lasts")
            .map(|area| Lasts::Area(area.value)),
        Lasts::Time(_) => reading
            .quantity::<Time>(table, "lasts")
            .map(|time| Lasts::Time(time.value)),
        Lasts::Batch(_) => reading.count(table, "a_batch").map(Lasts::Batch),
    }
}

fn packs<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Vec<Pack> {
    let tables = reading.tables(table, "packs");
    let mut packs = Vec::new();
    for pack in &tables {
        let holds = reading.count(pack, "holds");
        let price = reading.money(pack, "price");
        if let Some(holds) = holds {
            packs.push(Pack {
                holds,
                price,
                place: pack.place,
            });
        }
    }
    let priced = tables.iter().filter(|pack| pack.has("price")).count();
    if priced > 0 && priced < tables.len() {
        reading.report(
            Fault::new(
                table.place_of("packs"),
                "some packs have a price and others have none",
                "which is cheapest cannot be said",
            )
            .with_help("give every pack its price, or none"),
        );
    }
    packs
}
