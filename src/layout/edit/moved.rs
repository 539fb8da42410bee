//! What stands somewhere on a deck, moved: its places are found in the layout and written anew, each as it was written.

use toml_edit::{Array, DocumentMut, Item, Table, TableLike, Value};

use super::super::change::{ChangeFault, numbered};
use super::super::settle::replace;
use super::rewritten::{length, like};
use crate::shape::Point;
use crate::units::{Length, LengthUnit};

/// Nothing on a deck is further than this from its datum, millimetres.
const FURTHEST: f64 = 1e6;
/// The list of stations of strips athwartships, and the list of distances off the centreline.
const ACROSS: &str = "across_at";
const ALONG: &str = "along_at";
/// The list of half-breadths to port.
const PORT: &str = "port";
/// Keys behind which places stand, in the order in which the first is what a thing is moved by.
const SHAPES: [&str; 5] = ["rectangle", "circle", "slot", "points", "path"];
const AT: &str = "at";
const ENDS: [&str; 3] = [AT, "from", "to"];
/// A point of a ring may have another that its edge goes through.
const THROUGH: &str = "through";

/// Something in a layout.
enum Spot<'d> {
    Item(&'d mut Item),
    Table(&'d mut Table),
    Value(&'d mut Value),
}

impl<'d> Spot<'d> {
    fn step(self, part: &str) -> Option<Self> {
        match numbered(part) {
            Some(index) => match self {
                Self::Item(Item::ArrayOfTables(tables)) => tables.get_mut(index).map(Self::Table),
                Self::Item(Item::Value(value)) | Self::Value(value) => {
                    value.as_array_mut()?.get_mut(index).map(Self::Value)
                }
                _ => None,
            },
            None => match self {
                Self::Item(item) => item.as_table_like_mut()?.get_mut(part).map(Self::Item),
                Self::Table(table) => table.get_mut(part).map(Self::Item),
                Self::Value(value) => {
                    let inner = value.as_inline_table_mut()?.get_mut(part);
                    inner.map(Self::Value)
                }
            },
        }
    }

    fn table(self) -> Result<&'d mut dyn TableLike, Option<&'d mut Value>> {
        match self {
            Self::Table(table) => Ok(table),
            Self::Item(Item::Table(table)) => Ok(table),
            Self::Item(Item::Value(Value::InlineTable(table)))
            | Self::Value(Value::InlineTable(table)) => Ok(table),
            Self::Item(Item::Value(value)) | Self::Value(value) => Err(Some(value)),
            Self::Item(_) => Err(None),
        }
    }
}

fn find<'d>(document: &'d mut DocumentMut, way: &str) -> Result<Spot<'d>, ChangeFault> {
    let mut parts = way.split('.');
    let first = parts.next().unwrap_or_default();
    let mut spot = document.get_mut(first).map(Spot::Item);
    for part in parts {
        spot = spot.and_then(|spot| spot.step(part));
    }
    spot.ok_or_else(|| nothing_at(way))
}

fn nothing_at(way: &str) -> ChangeFault {
    ChangeFault::new(
        format!("{way}: there is no such thing in the layout"),
        "it may have been taken out meanwhile",
    )
}

fn held_elsewhere(way: &str) -> ChangeFault {
    ChangeFault::new(
        format!("{way} cannot be moved here"),
        "a survey or a drawing says where it is: change it there",
    )
}

/// Moves what stands at `way` so that its anchor comes to `to`.
pub(super) fn to(
    document: &mut DocumentMut,
    way: &str,
    to: Point,
    units: LengthUnit,
) -> Result<(), ChangeFault> {
    if !(to.x.abs() <= FURTHEST && to.y.abs() <= FURTHEST) {
        return Err(ChangeFault::new(
            format!("{way} cannot be moved so far"),
            "no deck is larger than 1 km",
        ));
    }
    let one = match list_of(way) {
        ACROSS => Some(to.x),
        ALONG => Some(to.y),
        _ => None,
    };
    if let Some(mm) = one {
        let value = one_of_list(document, way)?;
        let new = like(value, Length::mm(mm), units);
        replace(value, new);
        return Ok(());
    }
    let to = as_written(way, to);
    let mut places = places(document, way, units)?;
    let Some(anchor) = places.first().map(|first| first.at) else {
        return Err(held_elsewhere(way));
    };
    let by = to - anchor;
    for (index, place) in places.iter_mut().enumerate() {
        // The anchor itself comes to exactly where it was put.
        let new = if index == 0 { to } else { place.at + by };
        place.write(new, units);
    }
    Ok(())
}

/// Where the anchor of what stands at `way` is; of a strip's station its distance off the centreline is 0, and the other way
/// about.
pub(super) fn anchor(
    document: &mut DocumentMut,
    way: &str,
    units: LengthUnit,
) -> Result<Point, ChangeFault> {
    let list = list_of(way);
    if matches!(list, ACROSS | ALONG) {
        let value = one_of_list(document, way)?;
        let mm = length(value, units).ok_or_else(|| nothing_at(way))?.to_mm();
        return Ok(if list == ACROSS {
            Point::new(mm, 0.0)
        } else {
            Point::new(0.0, mm)
        });
    }
    let places = places(document, way, units)?;
    let anchor = places.first().map(|first| as_written(way, first.at));
    anchor.ok_or_else(|| held_elsewhere(way))
}

/// A place as its list has it, and back: half-breadths to port are positive in the file too.
fn as_written(way: &str, at: Point) -> Point {
    if list_of(way) == PORT {
        at.mirrored()
    } else {
        at
    }
}

/// The name of the list that something is one of.
fn list_of(way: &str) -> &str {
    way.rsplit('.').nth(1).unwrap_or_default()
}

/// One value of a list.
fn one_of_list<'d>(document: &'d mut DocumentMut, way: &str) -> Result<&'d mut Value, ChangeFault> {
    match find(document, way)?.table() {
        Err(Some(value)) => Ok(value),
        _ => Err(nothing_at(way)),
    }
}

/// All places of what stands at `way`. Where the survey has one of them by its name it stays there, and so must the others.
fn places<'d>(
    document: &'d mut DocumentMut,
    way: &str,
    units: LengthUnit,
) -> Result<Vec<Place<'d>>, ChangeFault> {
    let mut places = Vec::new();
    match find(document, way)?.table() {
        Ok(table) => of_table(table, &mut places),
        Err(Some(value)) => of_value(value, &mut places),
        Err(None) => return Err(nothing_at(way)),
    }
    places
        .into_iter()
        .map(|value| Place::of(value, units))
        .collect::<Option<_>>()
        .ok_or_else(|| held_elsewhere(way))
}

/// The places of a thing, its anchor first however the file orders its keys.
fn of_table<'d>(table: &'d mut dyn TableLike, places: &mut Vec<&'d mut Value>) {
    let mut ranked = Vec::new();
    for (key, item) in table.iter_mut() {
        let key = key.get();
        let shape = SHAPES.iter().position(|one| *one == key);
        let end = ENDS.iter().position(|one| *one == key);
        if let Some(rank) = end.or(shape) {
            ranked.push((rank, item));
        }
    }
    ranked.sort_by_key(|(rank, _)| *rank);
    for (_, item) in ranked {
        match item {
            Item::Value(value) => of_value(value, places),
            Item::Table(inner) => of_table(inner, places),
            _ => {}
        }
    }
}

fn of_value<'d>(value: &'d mut Value, places: &mut Vec<&'d mut Value>) {
    let is_list = value.as_array().is_some_and(|list| {
        list.iter()
            .any(|one| one.is_array() || one.is_inline_table())
    });
    if !is_list && !value.is_inline_table() {
        places.push(value);
        return;
    }
    match value {
        Value::Array(list) => {
            for one in list.iter_mut() {
                if one.is_inline_table() {
                    // All of a ring goes along, the points its arcs go through too.
                    let all = one
                        .as_inline_table_mut()
                        .into_iter()
                        .flat_map(|corner| corner.iter_mut());
                    let places_of = all.filter(|(key, _)| matches!(key.get(), AT | THROUGH));
                    places.extend(places_of.map(|(_, value)| value));
                } else {
                    places.push(one);
                }
            }
        }
        Value::InlineTable(table) => of_table(table, places),
        _ => {}
    }
}

/// A place: station and distance off the centreline, as they stand in the layout.
struct Place<'d> {
    pair: &'d mut Array,
    at: Point,
}

impl<'d> Place<'d> {
    fn of(value: &'d mut Value, units: LengthUnit) -> Option<Self> {
        let pair = value.as_array_mut()?;
        let [x, y] = [pair.get(0)?, pair.get(1)?].map(|one| length(one, units));
        let at = Point::new(x?.to_mm(), y?.to_mm());
        (pair.len() == 2).then_some(Self { pair, at })
    }

    fn write(&mut self, to: Point, units: LengthUnit) {
        for (value, mm) in self.pair.iter_mut().zip([to.x, to.y]) {
            let new = like(value, Length::mm(mm), units);
            replace(value, new);
        }
    }
}

/// The list that the way's last part is a number of, and that number.
fn in_list<'d>(
    document: &'d mut DocumentMut,
    way: &str,
) -> Result<(&'d mut Array, usize), ChangeFault> {
    let (list, last) = way.rsplit_once('.').ok_or_else(|| nothing_at(way))?;
    let index = numbered(last).ok_or_else(|| nothing_at(way))?;
    let Err(Some(value)) = find(document, list)?.table() else {
        return Err(nothing_at(way));
    };
    let list = value.as_array_mut().ok_or_else(|| nothing_at(way))?;
    if index < list.len() {
        Ok((list, index))
    } else {
        Err(nothing_at(way))
    }
}

/// Puts a point between the one at `way` and the next, or of a ring's last point the first.
pub(super) fn split(
    document: &mut DocumentMut,
    way: &str,
    units: LengthUnit,
) -> Result<(), ChangeFault> {
    let is_ring = way.contains(".points.");
    let (list, index) = in_list(document, way)?;
    let next = match index + 1 {
        next if next < list.len() => next,
        _ if is_ring => 0,
        _ => {
            return Err(ChangeFault::new(
                format!("{way}: it is the last"),
                "choose the point before",
            ));
        }
    };
    let mut ends = [index, next].map(|one| list.get(one).cloned());
    let mut at = Vec::new();
    for end in ends.iter_mut().flatten() {
        let pair = match end {
            Value::InlineTable(corner) => corner.get_mut("at"),
            pair => Some(pair),
        };
        at.extend(
            pair.and_then(|pair| Place::of(pair, units))
                .map(|place| place.at),
        );
    }
    let [from, to] = at.as_slice() else {
        return Err(held_elsewhere(way));
    };
    // Whole numbers read best, where there is room for one.
    let coarse = |one: f64, other: f64| {
        let middle = one.midpoint(other);
        let step = if units.is_imperial() { 25.4 / 4.0 } else { 5.0 };
        Length::mm(if (one - other).abs() > 4.0 * step {
            (middle / step).round() * step
        } else {
            middle
        })
    };
    let pair = [coarse(from.x, to.x), coarse(from.y, to.y)]
        .map(|length| like(&Value::from(0), length, units));
    let mut new = Value::from(Array::from_iter(pair));
    // Before the next stands the rest of this one's line, a comment in it perhaps: that stays where it is.
    let gap = list.get(index + 1).map(gap_before);
    let indent = gap.clone().or_else(|| list.get(index).map(gap_before));
    let line = gap.as_ref().map_or("", |gap| gap.line.as_str());
    let indent = indent.unwrap_or_default().indent();
    new.decor_mut().set_prefix(format!("{line}{indent}"));
    list.insert_formatted(index + 1, new);
    if let (Some(gap), Some(next)) = (gap, list.get_mut(index + 2)) {
        next.decor_mut().set_prefix(gap.own);
    }
    Ok(())
}

/// The white space before one of a list.
#[derive(Debug, Clone, Default)]
struct Gap {
    /// The rest of the line of the one before.
    line: String,
    /// Its own lines.
    own: String,
}

impl Gap {
    /// The last line's indent, with the break before it.
    fn indent(&self) -> String {
        match self.own.rsplit_once('\n') {
            Some((_, indent)) => format!("\n{indent}"),
            None => " ".to_owned(),
        }
    }
}

fn gap_before(value: &Value) -> Gap {
    let before = value.decor().prefix().and_then(|text| text.as_str());
    let before = before.unwrap_or_default();
    let (line, own) = before.split_at(before.find('\n').unwrap_or(0));
    Gap {
        line: line.to_owned(),
        own: own.to_owned(),
    }
}

/// Takes a point or a station out of its list.
pub(super) fn drop(document: &mut DocumentMut, way: &str) -> Result<(), ChangeFault> {
    let (list, index) = in_list(document, way)?;
    if list.len() == 1 {
        return Err(ChangeFault::new(
            format!("{way} is the only one"),
            "take the whole thing out instead",
        ));
    }
    let before = gap_before(&list.remove(index));
    // A comment in the line before stays there; one in its own line goes with it.
    match list.get_mut(index) {
        Some(next) => {
            let own = if index == 0 {
                before.own
            } else {
                gap_before(next).own
            };
            next.decor_mut().set_prefix(format!("{}{own}", before.line));
        }
        None => {
            let behind = list.trailing().as_str().unwrap_or_default();
            let own = &behind[behind.find('\n').unwrap_or(0)..];
            let behind = format!("{}{own}", before.line);
            list.set_trailing(behind);
        }
    }
    Ok(())
}
