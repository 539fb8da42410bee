//! Reads a deck's edge and every other ring of points, and checks what can be checked point by point.

use toml::de::DeValue;

use super::super::keys::Sign;
use super::super::table::{Reading, Table, Value};
use super::super::{
    Corner, Curve, Drawn, End, Fault, HalfBreadth, HalfBreadths, Outline, Place, Placed, PointRing,
    Position, Sides, What,
};
use crate::units::Length;

/// Lengths nearer than this are the same measurement, mm.
const SAME: f64 = 1e-6;

/// The outline of a deck.
pub(super) fn outline<'t>(reading: &mut Reading<'t>, deck: &Table<'t>) -> Option<Outline> {
    let table = reading.table(deck, "outline")?;
    let is_apart = table.get("starboard").is_some() || table.get("port").is_some();
    if table.get("half_breadths").is_some() {
        for name in ["port", "sides"] {
            if table.get(name).is_some() {
                reading.report(
                    Fault::new(
                        table.place_of(name),
                        format!("`{name}` goes with `starboard`, not with `half_breadths`"),
                        "`half_breadths` stand for both sides alike",
                    )
                    .with_help(
                        "where the sides were measured apart, write `starboard` and `port` instead of `half_breadths`; else delete this",
                    ),
                );
            }
        }
        half_breadths(reading, &table).map(Outline::HalfBreadths)
    } else if is_apart {
        sides_apart(reading, &table).map(Outline::HalfBreadths)
    } else if table.get("drawn").is_some() {
        drawn(reading, &table).map(Outline::Drawn)
    } else {
        for name in ["knuckles", "forward", "aft", "sides", "precision"] {
            if table.get(name).is_some() && table.get("points").is_some() {
                reading.report(
                    Fault::new(
                        table.place_of(name),
                        format!("`{name}` goes with half-breadths, not with points"),
                        "means nothing here",
                    )
                    .with_help("delete it; in a fair ring of points `corner = true` breaks the curve at a point"),
                );
            }
        }
        ring(reading, &table).map(Outline::Points)
    }
}

/// How the points of this table are joined.
fn curve<'t>(reading: &mut Reading<'t>, table: &Table<'t>, default: Curve) -> Curve {
    match reading.word(table, "curve") {
        Some("fair") => Curve::Fair,
        Some("straight") => Curve::Straight,
        _ => default,
    }
}

/// How a table of half-breadths is to be joined.
struct Joined {
    curve: Curve,
    ends: [End; 2],
    knuckles: Vec<Placed<Length>>,
    precision: Length,
}

fn joined<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Joined {
    Joined {
        curve: curve(reading, table, Curve::Fair),
        ends: ["forward", "aft"].map(|name| match reading.word(table, name) {
            Some("round") => End::Round,
            _ => End::Sharp,
        }),
        knuckles: reading.lengths(table, "knuckles"),
        precision: reading
            .length(table, "precision")
            .map_or(Length::ZERO, |precision| precision.value),
    }
}

fn half_breadths<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<HalfBreadths> {
    let joined = joined(reading, table);
    let points = pairs(reading, table, "half_breadths", &joined)?;
    check_knuckles(reading, &points, &joined.knuckles);
    let [forward, aft] = joined.ends;
    Some(HalfBreadths {
        points,
        port: Vec::new(),
        sides: Sides::Both,
        precision: joined.precision,
        curve: joined.curve,
        knuckles: joined.knuckles,
        forward,
        aft,
        place: table.place_of("half_breadths"),
    })
}

/// Both sides, measured apart.
fn sides_apart<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<HalfBreadths> {
    let joined = joined(reading, table);
    let sides = match reading.word(table, "sides") {
        Some("average") => Sides::Average,
        Some("port") => Sides::Port,
        Some("starboard") => Sides::Starboard,
        _ => Sides::Both,
    };
    let [starboard, port] = ["starboard", "port"].map(|name| {
        let pairs = pairs(reading, table, name, &joined);
        if table.get(name).is_some() {
            return pairs;
        }
        let there = if name == "port" { "starboard" } else { "port" };
        reading.report(
            Fault::new(
                table.place_of(there),
                format!("`{there}` without `{name}`"),
                "the other side is missing",
            )
            .with_help(match ["points", "drawn"].iter().find(|key| table.get(key).is_some()) {
                Some(key) => format!("the outline is given by `{key}` already: delete `{there}`, or `{key}`"),
                None => format!(
                    "add `{name} = [[station, half-breadth], ...]`; where one side stands for both, write `half_breadths`"
                ),
            }),
        );
        None
    });
    let (starboard, port) = (starboard?, port?);
    for side in [&starboard, &port] {
        check_knuckles(reading, side, &joined.knuckles);
    }
    let [forward, aft] = joined.ends;
    Some(HalfBreadths {
        points: starboard,
        port,
        sides,
        precision: joined.precision,
        curve: joined.curve,
        knuckles: joined.knuckles,
        forward,
        aft,
        place: table.place_of("starboard"),
    })
}

/// The pairs under `name`, each understood and all of them in order.
fn pairs<'t>(
    reading: &mut Reading<'t>,
    table: &Table<'t>,
    name: &str,
    joined: &Joined,
) -> Option<Vec<Placed<HalfBreadth>>> {
    let value = table.get(name)?;
    let items = reading.items(
        value,
        name,
        "[station, half-breadth] pairs such as [[0, 0], [400, 520]]",
    )?;
    let count = items.len();
    let points: Vec<_> = items
        .into_iter()
        .filter_map(|item| half_breadth(reading, item, name))
        .collect();
    // Order and ends can only be judged once every pair has been understood.
    if points.len() < count {
        return None;
    }
    let in_order = check_order(reading, &points);
    check_extent(reading, &points, reading.place(value.span()), in_order);
    check_ends(reading, table, &points, joined.curve, joined.ends);
    Some(points)
}

fn half_breadth<'t>(
    reading: &mut Reading<'t>,
    item: &'t Value<'t>,
    name: &str,
) -> Option<Placed<HalfBreadth>> {
    let [station, breadth] = reading.pair(
        item,
        name,
        ["station", "half-breadth"],
        [None, Some(Sign::NotNegative)],
    )?;
    Some(Placed::new(
        HalfBreadth {
            station: station.value,
            breadth: breadth.value,
        },
        reading.place(item.span()),
    ))
}

/// Stations run from forward to aft; the same pair twice is left to the next stage, which merges it.
fn check_order(reading: &mut Reading<'_>, points: &[Placed<HalfBreadth>]) -> bool {
    let mut in_order = true;
    for pair in points.windows(2) {
        let [before, this] = pair else { continue };
        let unit = reading.units;
        let station = this.value.station.show(unit);
        let step = (this.value.station - before.value.station).to_mm();
        let fault = if step < -SAME {
            Fault::new(
                this.place,
                format!("half-breadths are out of order at station {station}"),
                format!(
                    "forward of the station before it, {}",
                    before.value.station.show(unit)
                ),
            )
            .with_help(
                "list the stations from forward to aft, each further aft than the one before",
            )
        } else if step <= SAME && (this.value.breadth - before.value.breadth).to_mm().abs() > SAME {
            Fault::new(
                this.place,
                format!("two half-breadths at station {station}"),
                format!("measured {} just before", before.value.breadth.show(unit)),
            )
            .with_help("keep one of them; a square end needs no second pair, a half-breadth that is not 0 closes with a straight edge")
        } else {
            continue;
        };
        in_order = false;
        reading.report(fault.with_mention(before.place, "the one before"));
    }
    in_order
}

/// Enough stations, and a deck between them.
fn check_extent(
    reading: &mut Reading<'_>,
    points: &[Placed<HalfBreadth>],
    place: Place,
    in_order: bool,
) {
    if !in_order {
        return;
    }
    let (Some(first), Some(last)) = (points.first(), points.last()) else {
        reading.report(
            Fault::new(place, "there are no half-breadths", "nothing in the list")
                .with_help("write pairs such as [[0, 0], [400, 520], [900, 930]]"),
        );
        return;
    };
    if (last.value.station - first.value.station).to_mm() <= SAME {
        reading.report(
            Fault::new(
                place,
                "half-breadths at one station only",
                "one station is no deck",
            )
            .with_help("measure at two stations at least; five to twelve give a fair curve"),
        );
        return;
    }
    if points
        .iter()
        .all(|point| point.value.breadth.to_mm() <= SAME)
    {
        reading.report(
            Fault::new(place, "every half-breadth is 0", "a deck without breadth")
                .with_help("write the distance from the centreline to the edge at each station"),
        );
        return;
    }
    let between = |point: &&Placed<HalfBreadth>| {
        (point.value.station - first.value.station).to_mm() > SAME
            && (last.value.station - point.value.station).to_mm() > SAME
    };
    for point in points.iter().filter(between) {
        if point.value.breadth.to_mm() <= SAME {
            reading.report(
                Fault::new(
                    point.place,
                    "the deck has no breadth between its ends",
                    "half-breadth 0 here",
                )
                .with_help("only the first and the last may be 0; two decks that meet in a point are two [[deck]] entries"),
            );
        }
    }
}

fn check_knuckles(
    reading: &mut Reading<'_>,
    points: &[Placed<HalfBreadth>],
    knuckles: &[Placed<Length>],
) {
    for knuckle in knuckles {
        let away = |point: &HalfBreadth| (point.station - knuckle.value).to_mm();
        if points.iter().any(|point| away(&point.value).abs() <= SAME) {
            continue;
        }
        let nearby = |is_before: bool| {
            points
                .iter()
                .map(|point| &point.value)
                .filter(|point| (away(point) < 0.0) == is_before)
                .min_by(|one, other| away(one).abs().total_cmp(&away(other).abs()))
                .map(|point| point.station.show(reading.units))
        };
        let advice = match (nearby(true), nearby(false)) {
            (Some(before), Some(after)) => {
                format!(
                    "the stations beside it are {before} and {after}; write one of them, or measure a half-breadth here"
                )
            }
            (Some(only), None) | (None, Some(only)) => {
                format!("the nearest station is {only}")
            }
            (None, None) => "write a station that has a half-breadth".into(),
        };
        let station = knuckle.value.show(reading.units);
        reading.report(
            Fault::new(
                knuckle.place,
                format!("no half-breadth at the knuckle's station {station}"),
                "not a station of this outline",
            )
            .with_help(advice),
        );
    }
}

/// A round end needs a curve that reaches the centreline.
fn check_ends<'t>(
    reading: &mut Reading<'t>,
    table: &Table<'t>,
    points: &[Placed<HalfBreadth>],
    curve: Curve,
    ends: [End; 2],
) {
    let outermost = [points.first(), points.last()];
    for ((name, end), point) in ["forward", "aft"].into_iter().zip(ends).zip(outermost) {
        let Some(point) = point else { continue };
        if end == End::Sharp {
            continue;
        }
        let breadth = point.value.breadth;
        let fault = if breadth.to_mm() > SAME {
            Fault::new(
                table.place_of(name),
                format!("`{name} = \"round\"`, but the outline does not reach the centreline there"),
                "no curve to round",
            )
            .with_mention(point.place, format!("half-breadth {} here", breadth.show(reading.units)))
            .with_help("end with a half-breadth of 0, or delete this line for a straight athwartships edge")
        } else if curve == Curve::Straight {
            Fault::new(
                table.place_of(name),
                format!("`{name} = \"round\"` needs a fair curve"),
                "these sides are straight",
            )
            .with_help("write curve = \"fair\", or delete this line")
        } else {
            continue;
        };
        reading.report(fault);
    }
}

/// What is taken from a drawing, under `drawn`.
pub(super) fn drawn<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<Drawn> {
    let place = table.place_of("drawn");
    let table = reading.table(table, "drawn")?;
    let file = reading.line(&table, "file");
    let path = reading.line(&table, "path").map(What::Path);
    let layer = reading.line(&table, "layer").map(What::Layer);
    let handle = reading.line(&table, "handle").map(What::Handle);
    let what = path.or(layer).or(handle)?;
    let drawing = reading.drawing(file.as_ref(), &what, place)?;
    Some(Drawn {
        drawing,
        what,
        place,
    })
}

/// The ring under `points`, with the `curve` beside it.
pub(super) fn ring<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<PointRing> {
    let value = table.get("points")?;
    let entry = Reading::item_entry(table, "points")?;
    let curve = curve(reading, table, Curve::Straight);
    let items = reading.items(
        value,
        "points",
        "a list of points such as [[0, 0], [3000, 0], [3000, 1200]]",
    )?;
    let count = items.len();
    let corners: Vec<_> = items
        .into_iter()
        .filter_map(|item| match item.get_ref() {
            DeValue::Table(map) => {
                let table = reading.open_item(entry, map, item);
                corner(reading, &table, curve)
            }
            DeValue::Array(_) | DeValue::String(_) => {
                reading.position_from(item, "points").map(|at| Corner {
                    at,
                    radius: None,
                    edge: None,
                    through: None,
                    breaks: false,
                })
            }
            _ => reading.wrong(
                item,
                "a point",
                "a point such as [1500, 0] or { at = [1500, 0], radius = 150 }",
            ),
        })
        .collect();
    if corners.len() < count {
        return None;
    }
    let place = reading.place(value.span());
    check_enough(reading, &corners, place);
    Some(PointRing {
        corners,
        curve,
        place: table.place_of("points"),
    })
}

fn corner<'t>(reading: &mut Reading<'t>, table: &Table<'t>, curve: Curve) -> Option<Corner> {
    let at = reading.position(table, "at");
    let radius = reading
        .length(table, "radius")
        .filter(|radius| radius.value > Length::ZERO);
    let edge = reading.line(table, "edge");
    let through = reading.position(table, "through");
    let breaks = reading.flag(table, "corner");
    if curve == Curve::Fair && !breaks && radius.is_some() {
        reading.report(
            Fault::new(
                table.place_of("radius"),
                "a fair curve has no corner here to be rounded",
                "no corner",
            )
            .with_help("delete the radius, or write curve = \"straight\""),
        );
    }
    Some(Corner {
        at: at?,
        radius,
        edge,
        through,
        breaks,
    })
}

/// Three points make a ring; two do where an arc joins them.
fn check_enough(reading: &mut Reading<'_>, corners: &[Corner], place: Place) {
    let mut distinct: Vec<&Position> = Vec::new();
    for corner in corners {
        if distinct
            .last()
            .is_none_or(|last| !is_same(last, &corner.at.value))
        {
            distinct.push(&corner.at.value);
        }
    }
    if let [first, .., last] = distinct.as_slice()
        && is_same(first, last)
    {
        distinct.pop();
    }
    let has_arc = corners.iter().any(|corner| corner.through.is_some());
    if distinct.len() < if has_arc { 2 } else { 3 } {
        let count = match distinct.len() {
            0 => "no point",
            1 => "one point",
            _ => "two points",
        };
        reading.report(
            Fault::new(
                place,
                "a ring has three points at least",
                format!("{count} here"),
            )
            .with_help("write its corners in order, for example [[0, 0], [3000, 0], [3000, 1200]]"),
        );
    }
}

/// Whether two positions are known to be one place before anything is surveyed.
pub(super) fn is_same(one: &Position, other: &Position) -> bool {
    match (one, other) {
        (Position::At(one), Position::At(other)) => one.distance(*other) <= SAME,
        (Position::Named(one), Position::Named(other)) => one.value == other.value,
        _ => false,
    }
}
