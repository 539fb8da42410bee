//! Reads one deck: its numbers, its openings, fittings, smooth areas, pads and strips.

use std::collections::BTreeMap;

use super::super::keys::Sign;
use super::super::table::{Reading, Table, nearest, shown};
use super::super::{
    Deck, EdgeMargin, Fault, Feature, Fitting, LeastField, Margins, Measured, Opening, Outline,
    Placed, Position, Radii, Shape, Strip,
};
use super::{outline, surface, underfoot, value, way_off};
use crate::units::{Length, LengthUnit};

/// Slack for lengths that are equal but for their units, mm.
const SAME: f64 = 1e-6;

/// One deck; nothing where it is at fault.
pub(super) fn deck<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<Deck> {
    let id = reading.id(table, "id");
    let title = reading.line(table, "title").map(|title| title.value);
    let outline = outline::outline(reading, table);
    let camber = surface::camber(reading, table);
    let sheer = surface::sheer(reading, table);
    let margin = margins(reading, table, outline.as_ref());
    let radius = match reading.table(table, "radius") {
        None => Some(Radii::default()),
        Some(radius) => {
            let round = value(reading, &radius, "round");
            let hollow = value(reading, &radius, "hollow");
            round
                .zip(hollow)
                .map(|(round, hollow)| Radii { round, hollow })
        }
    };
    let field = match reading.table(table, "field") {
        None => Some(LeastField::default()),
        Some(field) => {
            let width = value(reading, &field, "least_width");
            let area = reading.number(
                &field,
                "least_area",
                "an area in square metres such as 0.02",
                0.0..1e6,
            );
            width.zip(area).map(|(width, area)| LeastField {
                width,
                area_mm2: area * 1e6,
            })
        }
    };
    let openings = features(reading, table, "opening", |reading, table| Opening {
        margin: value(reading, table, "margin"),
        glazed: reading.flag(table, "glazed"),
    });
    let fittings = features(reading, table, "fitting", |reading, table| Fitting {
        margin: value(reading, table, "margin"),
        in_place: reading.flag(table, "in_place"),
    });
    let smooth = features(reading, table, "smooth", |_, _| ());
    let pads = features(reading, table, "pad", |_, _| ());
    let strips = reading
        .tables(table, "strip")
        .iter()
        .filter_map(|strip| self::strip(reading, strip))
        .collect();
    let walks = underfoot::walks(reading, table);
    let footholds = underfoot::footholds(reading, table);
    let ways_off = way_off::ways_off(reading, table);
    Some(Deck {
        id: id?,
        title,
        units: reading.units,
        outline: outline?,
        camber,
        sheer,
        margin: margin?,
        radius: radius?,
        field: field?,
        openings,
        fittings,
        smooth,
        pads,
        strips,
        walks,
        footholds,
        ways_off,
    })
}

/// Points at the second of two decks with one id.
pub(super) fn repeated_ids<'t>(reading: &mut Reading<'t>, decks: &[Table<'t>]) {
    let mut first: BTreeMap<String, Placed<()>> = BTreeMap::new();
    for deck in decks {
        let Some(id) = deck.get("id") else { continue };
        let toml::de::DeValue::String(name) = id.get_ref() else {
            continue;
        };
        let place = reading.place(id.span());
        if let Some(before) = first.get(name.as_ref()) {
            reading.report(
                Fault::new(
                    place,
                    format!("two decks have the id \"{}\"", shown(name)),
                    "the second",
                )
                .with_mention(before.place, "the first")
                .with_help("give each deck an id of its own, such as \"side-deck-port\""),
            );
        } else {
            first.insert(name.to_string(), Placed::new((), place));
        }
    }
}

fn margins<'t>(
    reading: &mut Reading<'t>,
    deck: &Table<'t>,
    outline: Option<&Outline>,
) -> Option<Margins> {
    let Some(table) = reading.table(deck, "margin") else {
        let edge = Length::mm(50.0);
        return Some(Margins {
            edge,
            opening: edge,
            fitting: edge,
            edges: Vec::new(),
            blend: None,
            measured: Measured::Plan,
        });
    };
    let edge = value(reading, &table, "edge");
    let opening = value(reading, &table, "opening");
    let fitting = value(reading, &table, "fitting");
    let blend = value(reading, &table, "blend");
    let mut edges = Vec::new();
    for (name, margin) in
        reading.named(&table, "edges", "margins by edge name such as { aft = 90 }")
    {
        if let Some(outline) = outline {
            check_edge_name(reading, &name, outline);
        }
        let margin = reading.length_from(
            margin,
            &format!("the margin of `{}`", shown(&name.value)),
            Some(Sign::NotNegative),
        );
        if let Some(margin) = margin {
            edges.push(EdgeMargin {
                edge: name,
                margin: margin.value,
            });
        }
    }
    let measured = match reading.word(&table, "measured") {
        Some("surface") => Measured::Surface,
        _ => Measured::Plan,
    };
    if measured == Measured::Surface && deck.get("camber").is_none() && deck.get("sheer").is_none()
    {
        reading.report(
            Fault::new(
                table.place_of("measured"),
                "margins on the surface of a deck that has neither camber nor sheer",
                "the surface is flat, and so the same as the plan",
            )
            .with_help("add [deck.camber] or [deck.sheer] to this deck, or delete this line"),
        );
    }
    let edge = edge?;
    Some(Margins {
        edge,
        opening: opening.unwrap_or(edge),
        fitting: fitting.unwrap_or(edge),
        edges,
        blend,
        measured,
    })
}

/// Reports the margin of an edge that the outline has not.
fn check_edge_name(reading: &mut Reading<'_>, name: &Placed<String>, outline: &Outline) {
    let mut missing_end = None;
    let known: Vec<&str> = match outline {
        Outline::HalfBreadths(half_breadths) => {
            let is_open = |point: Option<&Placed<super::super::HalfBreadth>>| {
                point.is_some_and(|point| point.value.breadth.to_mm() > SAME)
            };
            let (points, port) = (&half_breadths.points, &half_breadths.port);
            let forward = is_open(points.first()) || is_open(port.first());
            let aft = is_open(points.last()) || is_open(port.last());
            let ends = [("forward", forward, "first"), ("aft", aft, "last")];
            missing_end = ends
                .into_iter()
                .find(|(end, is_there, _)| *end == name.value && !is_there);
            ends.into_iter()
                .filter(|(_, is_there, _)| *is_there)
                .map(|(end, ..)| end)
                .chain(["starboard", "port"])
                .collect()
        }
        Outline::Points(ring) => ring
            .corners
            .iter()
            .filter_map(|corner| corner.edge.as_ref())
            .map(|edge| edge.value.as_str())
            .collect(),
        Outline::Drawn(_) => Vec::new(),
    };
    if known.contains(&name.value.as_str()) {
        return;
    }
    let fault = Fault::new(
        name.place,
        format!("no edge of this deck is named \"{}\"", shown(&name.value)),
        "no such edge",
    );
    let help = if let Some((end, _, which)) = missing_end {
        format!("there is no {end} edge where the {which} half-breadth is 0: the sides meet there")
    } else if let Some(near) = nearest(&name.value, known.iter().copied()) {
        format!("did you mean \"{near}\"?")
    } else if known.is_empty() {
        format!(
            "name the edge at the point it leaves: {{ at = [3000, 0], edge = \"{}\" }}",
            shown(&name.value)
        )
    } else {
        let mut known = known;
        known.sort_unstable();
        known.dedup();
        format!("its named edges are \"{}\"", known.join("\", \""))
    };
    reading.report(fault.with_help(help));
}

/// All features of one kind.
fn features<'t, K>(
    reading: &mut Reading<'t>,
    deck: &Table<'t>,
    name: &str,
    kind: impl Fn(&mut Reading<'t>, &Table<'t>) -> K,
) -> Vec<Feature<K>> {
    reading
        .tables(deck, name)
        .iter()
        .filter_map(|table| {
            let name = reading.line(table, "name").map(|name| name.value);
            let both_sides = reading.flag(table, "both_sides");
            let kind = kind(reading, table);
            let (shape, key) = shape(reading, table);
            Some(Feature {
                name,
                shape: shape?,
                both_sides,
                place: table.place_of(key),
                kind,
            })
        })
        .collect()
}

/// The shape of a feature, and the key it stands under.
fn shape<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> (Option<Shape>, &'static str) {
    if table.get("curve").is_some() && table.get("points").is_none() {
        reading.report(
            Fault::new(
                table.place_of("curve"),
                "`curve` goes with `points`",
                "means nothing here",
            )
            .with_help("delete it"),
        );
    }
    // Should two be given, each is still read for its faults; which one is kept does not matter.
    let rectangle = reading
        .table(table, "rectangle")
        .and_then(|table| rectangle(reading, &table));
    let circle = reading
        .table(table, "circle")
        .and_then(|table| circle(reading, &table));
    let slot = reading
        .table(table, "slot")
        .and_then(|table| slot(reading, &table));
    let points = outline::ring(reading, table).map(Shape::Points);
    let drawn = outline::drawn(reading, table).map(Shape::Drawn);
    let named = [
        (rectangle, "rectangle"),
        (circle, "circle"),
        (slot, "slot"),
        (points, "points"),
        (drawn, "drawn"),
    ];
    named
        .into_iter()
        .find(|(shape, _)| shape.is_some())
        .unwrap_or((None, "name"))
}

fn rectangle<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<Shape> {
    let at = reading.position(table, "at");
    let size = table.get("size").and_then(|size| {
        reading.pair(
            size,
            "size",
            ["size along x", "size along y"],
            [Some(Sign::Positive); 2],
        )
    });
    let radius = reading.length(table, "radius");
    let turned = reading.number(
        table,
        "turned",
        "an angle in degrees such as 30",
        -360.0..360.0,
    );
    let ([along, across], mut radius) = (size?, radius?);
    let largest = along.value.min(across.value) / 2.0;
    if (radius.value - largest).to_mm() > SAME {
        reading.report(
            Fault::new(
                radius.place,
                format!(
                    "a corner radius of {} does not fit its rectangle",
                    radius.value.show(reading.units)
                ),
                "more than half of the shorter side",
            )
            .with_help(format!(
                "the largest that fits is {}",
                rounded_down(largest, reading.units).show(reading.units)
            )),
        );
        return None;
    }
    radius.value = radius.value.min(largest);
    Some(Shape::Rectangle {
        at: at?.value,
        along: along.value,
        across: across.value,
        radius,
        turned_degrees: turned?,
    })
}

/// The length as it can be shown without becoming greater.
fn rounded_down(length: Length, unit: LengthUnit) -> Length {
    let step = if unit.is_imperial() {
        Length::of(1.0 / 16.0, LengthUnit::Inch)
    } else {
        Length::mm(0.1)
    };
    let steps = (length.to_mm() / step.to_mm() + 1e-9).floor();
    step * steps
}

fn circle<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<Shape> {
    let at = reading.position(table, "at");
    let diameter = value(reading, table, "diameter");
    let radius = value(reading, table, "radius");
    Some(Shape::Circle {
        at: at?.value,
        radius: radius.or(diameter.map(|diameter| diameter / 2.0))?,
    })
}

fn slot<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<Shape> {
    let from = reading.position(table, "from");
    let to = reading.position(table, "to");
    let width = value(reading, table, "width");
    let (from, to) = (from?, to?);
    if outline::is_same(&from.value, &to.value) {
        reading.report(
            Fault::new(
                to.place,
                "the slot has no length",
                "both ends are at one point",
            )
            .with_mention(from.place, "the other end")
            .with_help("move one end, or write a circle"),
        );
        return None;
    }
    Some(Shape::Slot {
        from: from.value,
        to: to.value,
        width: width?,
    })
}

fn strip<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<Strip> {
    let width = value(reading, table, "width");
    let lengths = |reading: &mut Reading<'t>, name| -> Vec<Length> {
        let placed = reading.lengths(table, name);
        placed.into_iter().map(|length| length.value).collect()
    };
    let across_at = lengths(reading, "across_at");
    let along_at = lengths(reading, "along_at");
    let path = path(reading, table);
    if table.are_empty_lists(&["across_at", "along_at", "path"]) {
        reading.report(
            Fault::new(table.place, "the strip lies nowhere", "its lists are empty")
                .with_help("write where it lies, for example across_at = [1200, 2400]"),
        );
    }
    Some(Strip {
        width: width?,
        across_at,
        along_at,
        path,
        both_sides: reading.flag(table, "both_sides"),
        place: table.place,
    })
}

/// The points of a line; none where they are at fault.
pub(super) fn path<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Vec<Position> {
    let Some(value) = table.get("path") else {
        return Vec::new();
    };
    let items = reading
        .items(
            value,
            "path",
            "a list of points such as [[100, 0], [900, 500]]",
        )
        .unwrap_or_default();
    let count = items.len();
    let points: Vec<_> = items
        .into_iter()
        .filter_map(|item| reading.position_from(item, "path"))
        .collect();
    if points.len() < count {
        return Vec::new();
    }
    if count == 1 {
        let place = reading.place(value.span());
        reading.report(
            Fault::new(place, "a path has two points at least", "too few")
                .with_help("write where it begins and where it ends: [[100, 0], [900, 500]]"),
        );
    }
    for pair in points.windows(2) {
        if let [before, this] = pair
            && outline::is_same(&before.value, &this.value)
        {
            reading.report(
                Fault::new(this.place, "the path stands still", "the same point again")
                    .with_mention(before.place, "the one before")
                    .with_help("delete one of the two"),
            );
        }
    }
    points.into_iter().map(|point| point.value).collect()
}
