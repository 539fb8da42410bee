//! From the text of a layout file to a checked [`Layout`], or to everything that is wrong with it.

mod deck;
mod drawing;
mod outline;
mod products;
mod programme;
mod steps;
mod surface;
mod survey;
mod syntax;
mod underfoot;
mod way_off;
mod weather;
mod work;

pub use products::read_products;

use toml::de::DeTable;

use super::keys::LAYOUT;
use super::table::{Reading, Table};
use super::{Fault, FilmRoll, Layout, Place, RollPrices, Tape, TapeRoll};
use crate::units::{Length, LengthUnit, Money};

/// The longest file that is read.
const MOST_BYTES: usize = 4 << 20;

/// Reads a layout.
///
/// ```
/// let faults = spile::layout::read("title = \"Guillemot\"").unwrap_err();
/// assert_eq!(faults[0].message, "the layout has no `deck`");
/// ```
///
/// # Errors
/// Every fault of the file, in the file's order.
pub fn read(text: &str) -> Result<Layout, Vec<Fault>> {
    if text.len() > MOST_BYTES {
        return Err(vec![
            Fault::new(
                Place::within(text, 0..0),
                "the file is too long to be a layout",
                format!("{} bytes", text.len()),
            )
            .with_help("a layout is a few pages of text; is this another file?"),
        ]);
    }
    let (root, errors) = DeTable::parse_recoverable(text);
    let broken = syntax::broken(text, root.get_ref(), &errors);
    let mut reading = Reading::new(text, !errors.is_empty());
    let layout = layout(&mut reading, root.get_ref());
    // What is said of a line that could not be read would only confuse.
    let mut faults = reading.into_faults();
    faults.retain(|fault| !broken.spoils(fault.place));
    faults.extend(broken.faults);
    faults.sort_by_key(|fault| (fault.place.start, fault.place.end));
    match layout {
        Some(layout) if faults.is_empty() => Ok(layout),
        _ => Err(faults),
    }
}

/// The unit of one of the words for units.
pub(super) fn unit(word: &str) -> LengthUnit {
    match word {
        "cm" => LengthUnit::Centimetre,
        "m" => LengthUnit::Metre,
        "in" => LengthUnit::Inch,
        "ft" => LengthUnit::Foot,
        _ => LengthUnit::Millimetre,
    }
}

fn layout<'t>(reading: &mut Reading<'t>, root: &'t DeTable<'t>) -> Option<Layout> {
    let table = reading.open_root(&LAYOUT, root);
    reading.units = reading.word(&table, "units").map(unit).unwrap_or_default();
    let title = reading.line(&table, "title");
    let mut work = work::work(reading, &table);
    let (tape, roll_prices) = tape(reading, &table);
    work.roll_prices = roll_prices;
    let underfoot = underfoot::settings(reading, &table);
    let survey = survey::survey(reading, &table);
    let drawings = drawing::drawings(reading, &table);
    let tables = reading.tables(&table, "deck");
    let count = tables.len();
    let decks: Vec<_> = tables
        .iter()
        .filter_map(|deck| deck::deck(reading, deck))
        .collect();
    deck::repeated_ids(reading, &tables);
    if decks.len() == count {
        way_off::check_leads(reading, &decks);
    }
    if reading.is_faulty() || decks.len() < count {
        return None;
    }
    Some(Layout {
        title: title?.value,
        units: reading.units,
        survey,
        drawings,
        decks,
        tape: tape?,
        work,
        underfoot,
    })
}

fn tape<'t>(reading: &mut Reading<'t>, layout: &Table<'t>) -> (Option<Tape>, RollPrices) {
    let mut prices = RollPrices::default();
    let Some(table) = reading.table(layout, "tape") else {
        return (Some(Tape::default()), prices);
    };
    (rolls(reading, &table, &mut prices), prices)
}

fn rolls<'t>(
    reading: &mut Reading<'t>,
    table: &Table<'t>,
    prices: &mut RollPrices,
) -> Option<Tape> {
    let default = Tape::default();
    let line = roll(reading, table, "line", default.line, &mut prices.line);
    let edge = roll(reading, table, "edge", default.edge, &mut prices.edge);
    let film = match reading.table(table, "film") {
        None => Some(default.film),
        Some(film) => {
            prices.film = reading.money(&film, "price");
            let (width, length) = (
                value(reading, &film, "width"),
                value(reading, &film, "roll"),
            );
            width
                .zip(length)
                .map(|(width, roll)| FilmRoll { width, roll })
        }
    };
    Some(Tape {
        line: line?,
        edge: edge?,
        film: film?,
    })
}

fn roll<'t>(
    reading: &mut Reading<'t>,
    tape: &Table<'t>,
    name: &str,
    default: TapeRoll,
    price: &mut Option<Money>,
) -> Option<TapeRoll> {
    let Some(table) = reading.table(tape, name) else {
        return Some(default);
    };
    let width = value(reading, &table, "width");
    let roll = value(reading, &table, "roll");
    let lap = value(reading, &table, "lap");
    let least_radius = value(reading, &table, "least_radius");
    *price = reading.money(&table, "price");
    if let (Some(roll), Some(lap)) = (roll, lap)
        && lap >= roll
    {
        let place = table.place_of("lap");
        reading.report(
            Fault::new(
                place,
                "the lap is as long as the roll",
                "nothing would be left to lay",
            )
            .with_help("a lap is some 50 mm; a roll some 33 m"),
        );
        return None;
    }
    Some(TapeRoll {
        width: width?,
        roll: roll?,
        lap: lap?,
        least_radius: least_radius.or(width.map(|width| width * TapeRoll::RADIUS_BY_WIDTH))?,
    })
}

/// A length where its place is of no further use.
fn value<'t>(reading: &mut Reading<'t>, table: &Table<'t>, name: &str) -> Option<Length> {
    reading.length(table, name).map(|length| length.value)
}
