//! Reads products: those of a layout, and a file of them that several layouts share.

use toml::de::DeTable;

use super::super::keys::PRODUCTS;
use super::super::table::{Reading, Table};
use super::super::{
    Can, Catalyst, Dry, Drying, DryingRow, Fault, MixPart, MixRatio, Place, PotLife, Product,
    ProductKind, ProductsFile, SlowerHardener,
};
use super::{syntax, weather};
use crate::units::{Density, Quantity, Time};

/// Parts beyond this number are in no one's cup.
const MOST_PARTS: f64 = 1000.0;

/// Reads a file of products.
///
/// # Errors
/// Every fault of the file, in the file's order.
pub fn read_products(text: &str) -> Result<ProductsFile, Vec<Fault>> {
    let (root, errors) = DeTable::parse_recoverable(text);
    let broken = syntax::broken(text, root.get_ref(), &errors);
    let mut reading = Reading::new(text, !errors.is_empty());
    reading.currency_home = "add `currency = \"EUR\"`, or your own, at the top of this file";
    let table = reading.open_root(&PRODUCTS, root.get_ref());
    let currency = reading.currency(&table, "currency");
    reading.currency = currency.as_ref().map(|currency| currency.value);
    let products = products(&mut reading, &table);
    let mut faults = reading.into_faults();
    faults.retain(|fault| !broken.spoils(fault.place));
    faults.extend(broken.faults);
    faults.sort_by_key(|fault| (fault.place.start, fault.place.end));
    if faults.is_empty() {
        Ok(ProductsFile { currency, products })
    } else {
        Err(faults)
    }
}

/// All products of a table, in the file's order.
pub(super) fn products<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Vec<Product> {
    let tables = reading.tables(table, "product");
    tables
        .iter()
        .filter_map(|table| product(reading, table))
        .collect()
}

fn product<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<Product> {
    let id = reading.id(table, "id");
    let title = reading.line(table, "title");
    let kind = reading.word(table, "kind");
    let solids = reading.share(
        table,
        "solids",
        0.1..=100.0,
        "write the volume solids of the data sheet, for example 52",
    );
    let density = quantity::<Density>(reading, table, "density");
    let mix = mix(reading, table);
    let catalyst = catalyst(reading, table);
    let pot_life = pot_life(reading, table);
    let slower = slower(reading, table);
    let induction = quantity::<Time>(reading, table, "induction");
    let drying = drying(reading, table);
    let weather = weather::fit(reading, table);
    let thinner = reading.line(table, "thinner");
    let cans = cans(reading, table);
    let id = id?;
    if let (Some(pot_life), Some(induction)) = (&pot_life, induction)
        && induction >= pot_life.time
    {
        reading.report(
            Fault::new(
                table.place_of("induction"),
                "the induction is as long as the pot life",
                "nothing would be left to lay",
            )
            .with_mention(table.place_of("pot_life"), "the pot life, from mixing"),
        );
    }
    Some(Product {
        title: title.map_or_else(|| id.value.clone(), |title| title.value),
        id,
        kind: match kind? {
            "thinner" => ProductKind::Thinner,
            "cleaner" => ProductKind::Cleaner,
            "aggregate" => ProductKind::Aggregate,
            "catalyst" => ProductKind::Catalyst,
            "caulk" => ProductKind::Caulk,
            _ => ProductKind::Paint,
        },
        solids: solids.map(|solids| solids.value),
        density,
        mix,
        catalyst,
        pot_life,
        slower,
        induction: induction.unwrap_or(Time::ZERO),
        drying,
        weather,
        thinner,
        cans,
        place: table.place,
    })
}

/// A quantity where its place is of no further use.
fn quantity<'t, Q: Quantity>(
    reading: &mut Reading<'t>,
    table: &Table<'t>,
    name: &str,
) -> Option<Q> {
    reading.quantity(table, name).map(|quantity| quantity.value)
}

fn mix<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<MixRatio> {
    let by_mass = reading.word(table, "mix_by") == Some("mass");
    let tables = reading.tables(table, "part");
    let place = table.place_of("part");
    if tables.is_empty() {
        return None;
    }
    let count = tables.len();
    if count == 1 {
        reading.report(
            Fault::new(place, "a mix has two parts at least", "one part")
                .with_help("add the other part, or leave `part` out for what is used as it comes"),
        );
        return None;
    }
    let mut parts = Vec::new();
    for part in &tables {
        let title = reading.line(part, "title");
        let share = reading.positive(part, "parts", MOST_PARTS);
        let density = quantity::<Density>(reading, part, "density");
        let cans = cans(reading, part);
        if by_mass && density.is_none() && !part.has("density") {
            reading.report(
                Fault::new(
                    part.place,
                    "a part that is weighed needs its density",
                    "`density` is missing",
                )
                .with_help("add for example `density = \"1.2 kg/L\"` from the data sheet"),
            );
        }
        if let (Some(title), Some(parts_of_it)) = (title, share) {
            parts.push(MixPart {
                title: title.value,
                parts: parts_of_it,
                density,
                cans,
            });
        }
    }
    let sold_apart = parts.iter().filter(|part| !part.cans.is_empty()).count();
    if sold_apart > 0 && sold_apart < count && parts.len() == count {
        reading.report(
            Fault::new(
                place,
                "some parts have cans and others have none",
                "sold apart, or as a kit?",
            )
            .with_help("give every part its cans, or none and the product `cans` of the whole kit"),
        );
    }
    (parts.len() == count).then_some(MixRatio {
        by_mass,
        parts,
        place,
    })
}

fn catalyst<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<Catalyst> {
    let table = reading.table(table, "catalyst")?;
    let product = reading.line(&table, "product");
    let share = reading.share(
        &table,
        "share",
        0.05..=100.0,
        "write the catalyst's mass in per cent of the gelcoat's, for example 1.8",
    );
    Some(Catalyst {
        product: product?,
        share: share?.value,
        place: table.place,
    })
}

fn pot_life<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<PotLife> {
    let time = quantity::<Time>(reading, table, "pot_life");
    let at = reading.temperature(table, "pot_life_at");
    Some(PotLife {
        time: time?,
        at: at?,
    })
}

fn slower<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<SlowerHardener> {
    let table = reading.table(table, "slower")?;
    let title = reading.line(&table, "title");
    let pot_life = pot_life(reading, &table);
    Some(SlowerHardener {
        title: title?.value,
        pot_life: pot_life?,
    })
}

/// The rows of a drying table; each may leave out what it does not know.
fn drying<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Drying {
    let default = Drying::default();
    let tables = reading.tables(table, "dry");
    let mut rows: Vec<(DryingRow, Place)> = Vec::new();
    for row in &tables {
        let at = reading.temperature(row, "at");
        let times = Dry::ALL.map(|(_, name)| quantity::<Time>(reading, row, name));
        for (sooner, later) in [
            (Dry::Touch, Dry::Tape),
            (Dry::Recoat, Dry::RecoatBy),
            (Dry::Tape, Dry::Cure),
            (Dry::Traffic, Dry::Cure),
        ] {
            let pair = times[sooner as usize].zip(times[later as usize]);
            if pair.is_some_and(|(sooner, later)| sooner > later) {
                let [name, other] = [sooner, later].map(|dry| Dry::ALL[dry as usize].1);
                reading.report(
                    Fault::new(
                        row.place_of(name),
                        format!("`{name}` is later than `{other}`"),
                        "in the same row",
                    )
                    .with_mention(row.place_of(other), "this one is sooner")
                    .with_help(
                        "all times count from the end of laying; look at the data sheet again",
                    ),
                );
            }
        }
        if let Some(at) = at {
            rows.push((DryingRow { at, times }, row.place));
        }
    }
    rows.sort_by(|(a, _), (b, _)| a.at.to_celsius().total_cmp(&b.at.to_celsius()));
    for pair in rows.windows(2) {
        let [(colder, first), (warmer, second)] = pair else {
            continue;
        };
        if colder.at == warmer.at {
            reading.report(
                Fault::new(*second, "two rows for one temperature", "the second")
                    .with_mention(*first, "the first"),
            );
        }
    }
    let stale = reading
        .count(table, "stale")
        .and_then(|grit| u32::try_from(grit).ok());
    Drying {
        rows: rows.into_iter().map(|(row, _)| row).collect(),
        stale: default.stale.or_given(stale),
    }
}

fn cans<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Vec<Can> {
    let tables = reading.tables(table, "cans");
    let mut cans = Vec::new();
    for can in &tables {
        let content = reading.content(can, "size");
        let price = reading.money(can, "price");
        if let Some(content) = content {
            cans.push(Can {
                content,
                price,
                place: can.place,
            });
        }
    }
    let priced = tables.iter().filter(|can| can.has("price")).count();
    if priced > 0 && priced < tables.len() {
        reading.report(
            Fault::new(
                table.place_of("cans"),
                "some cans have a price and others have none",
                "which is cheapest cannot be said",
            )
            .with_help("give every size its price, or none"),
        );
    }
    cans
}
