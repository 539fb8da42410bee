//! Reads what was measured between points, and what is known of points before.

use std::collections::BTreeMap;

use toml::de::DeValue;

use super::super::keys::Entry;
use super::super::table::{Reading, Table, Value, nearest, shown};
use super::super::{Fault, Known, Place, Placed, Side, Survey, SurveyPoint, Tie};
use crate::units::Length;

/// Ties read; more than any deck was ever measured with.
const MOST_TIES: usize = 5000;
/// One distance taped twice differs by less than this share of it; more is another distance.
const ANOTHER: f64 = 0.1;
/// Characters of a point's name.
const LONGEST_NAME: usize = 40;
/// What a point's value may be.
const POINT_FORMS: &str = "[station, distance from the centreline], \"centreline\", \"port\", \"starboard\" or { near = [1200, 400] }";
/// The words among them.
const KNOWN_WORDS: [&str; 3] = ["centreline", "port", "starboard"];
/// What a tie may be.
const TIE_FORMS: &str =
    "a tie such as [\"A\", \"7\", 1520] or { from = \"A\", to = \"7\", length = 1520 }";

/// The layout's survey; its points' names are known to the reading from then on.
pub(super) fn survey<'t>(reading: &mut Reading<'t>, layout: &Table<'t>) -> Option<Survey> {
    let table = reading.table(layout, "survey")?;
    let precision = reading.length(&table, "precision");
    let per_metre = reading.length(&table, "precision_per_metre");
    let mut points = Points::default();
    known_points(reading, &table, &mut points);
    let precision = Precision {
        constant: precision?.value,
        per_metre: per_metre?.value,
    };
    let ties = ties(reading, &table, &precision, &mut points);
    reading.points = points
        .all
        .iter()
        .map(|point| point.name.value.clone())
        .collect();
    check_frame(reading, &points.all, table.place_of("points"));
    Some(Survey {
        points: points.all,
        ties,
        place: table.place,
    })
}

/// How precise a tie is that says nothing of its own.
struct Precision {
    constant: Length,
    per_metre: Length,
}

impl Precision {
    fn of(&self, length: Length) -> Length {
        let metres = length.to_mm() / 1000.0;
        Length::mm(self.constant.to_mm().hypot(self.per_metre.to_mm() * metres))
    }
}

/// Points by name as they are met.
#[derive(Default)]
struct Points {
    all: Vec<SurveyPoint>,
    numbers: BTreeMap<String, usize>,
}

impl Points {
    fn number(&mut self, name: Placed<String>, known: Known) -> usize {
        if let Some(number) = self.numbers.get(&name.value) {
            return *number;
        }
        let number = self.all.len();
        self.numbers.insert(name.value.clone(), number);
        self.all.push(SurveyPoint { name, known });
        number
    }
}

fn known_points<'t>(reading: &mut Reading<'t>, table: &Table<'t>, points: &mut Points) {
    let entry = Reading::item_entry(table, "points");
    let expected = "points by name such as { A = [0, 0], B = \"centreline\" }";
    for (name, value) in reading.named(table, "points", expected) {
        let name = Placed::new(name.value.trim().to_owned(), name.place);
        if let Some(known) = known(reading, value, entry)
            && is_name(reading, &name)
        {
            points.number(name, known);
        }
    }
}

fn known<'t>(
    reading: &mut Reading<'t>,
    value: &'t Value<'t>,
    entry: Option<&'static Entry>,
) -> Option<Known> {
    match value.get_ref() {
        DeValue::Array(_) => reading
            .point_from(value, "points")
            .map(|at| Known::At(at.value)),
        DeValue::Table(map) => {
            let table = reading.open_item(entry?, map, value);
            let near = reading.point_from(table.get("near")?, "near")?;
            Some(Known::Near(near.value))
        }
        DeValue::String(word) => match word.trim() {
            "centreline" => Some(Known::Centreline),
            "port" => Some(Known::Side(Side::Port)),
            "starboard" => Some(Known::Side(Side::Starboard)),
            _ => {
                let place = reading.place(value.span());
                let help = match nearest(word.trim(), KNOWN_WORDS.into_iter()) {
                    Some(near) => format!("did you mean \"{near}\"?"),
                    None => format!("write {POINT_FORMS}"),
                };
                reading.report(
                    Fault::new(
                        place,
                        format!("a point cannot be \"{}\"", shown(word)),
                        "unknown word",
                    )
                    .with_help(help),
                );
                None
            }
        },
        _ => reading.wrong(value, "a point", POINT_FORMS),
    }
}

fn ties<'t>(
    reading: &mut Reading<'t>,
    table: &Table<'t>,
    precision: &Precision,
    points: &mut Points,
) -> Vec<Tie> {
    let Some(value) = table.get("ties") else {
        return Vec::new();
    };
    let expected = "a list of ties such as [[\"A\", \"B\", 3000], [\"A\", \"7\", 1520]]";
    let entry = Reading::item_entry(table, "ties");
    let items = reading.items(value, "ties", expected).unwrap_or_default();
    if items.len() > MOST_TIES {
        let place = reading.place(value.span());
        reading.report(
            Fault::new(
                place,
                format!("no more than {MOST_TIES} ties can be adjusted"),
                format!("{} ties", items.len()),
            )
            .with_help("four or five ties to each point are plenty"),
        );
        return Vec::new();
    }
    // A point whose tie is at fault is a point all the same: no fault of those who use it.
    for item in &items {
        for name in named_in(item) {
            let place = reading.place(name.span());
            if let DeValue::String(text) = name.get_ref() {
                points.number(Placed::new(text.trim().to_owned(), place), Known::Nothing);
            }
        }
    }
    let ties: Vec<Tie> = items
        .into_iter()
        .filter_map(|item| {
            let place = reading.place(item.span());
            let read = match item.get_ref() {
                DeValue::Table(map) => {
                    let table = reading.open_item(entry?, map, item);
                    let from = reading.line(&table, "from");
                    let to = reading.line(&table, "to");
                    let length = reading.length(&table, "length");
                    let own = reading.length(&table, "precision");
                    (from?, to?, length?, own)
                }
                DeValue::Array(parts) => plain_tie(reading, parts.iter().collect(), place)?,
                _ => return reading.wrong(item, "a tie", TIE_FORMS),
            };
            let (from, to, length, own) = read;
            if !is_name(reading, &from) || !is_name(reading, &to) {
                return None;
            }
            if from.value == to.value {
                reading.report(
                    Fault::new(
                        to.place,
                        format!("a tie from \"{}\" to itself", shown(&from.value)),
                        "the same point again",
                    )
                    .with_help("write the point that the tape ran to"),
                );
                return None;
            }
            Some(Tie {
                from: points.number(from, Known::Nothing),
                to: points.number(to, Known::Nothing),
                length: length.value,
                precision: own.map_or_else(|| precision.of(length.value), |own| own.value),
                place,
            })
        })
        .collect();
    two_distances(reading, &ties, points);
    ties
}

/// The values that stand where a tie's points should.
fn named_in<'t>(item: &'t Value<'t>) -> Vec<&'t Value<'t>> {
    match item.get_ref() {
        DeValue::Array(parts) => parts.iter().take(2).collect(),
        DeValue::Table(map) => ["from", "to"]
            .iter()
            .filter_map(|key| map.get(*key))
            .collect(),
        _ => Vec::new(),
    }
}

/// Reports two ties between the same points that cannot be one distance measured twice.
fn two_distances(reading: &mut Reading<'_>, ties: &[Tie], points: &Points) {
    let mut first: BTreeMap<(usize, usize), &Tie> = BTreeMap::new();
    for tie in ties {
        let ends = (tie.from.min(tie.to), tie.from.max(tie.to));
        let Some(before) = first.get(&ends) else {
            first.insert(ends, tie);
            continue;
        };
        let longer = tie.length.max(before.length);
        if (tie.length - before.length).to_mm().abs() <= longer.to_mm() * ANOTHER {
            continue;
        }
        let name = |point: usize| points.all.get(point).map_or("", |point| &point.name.value);
        reading.report(
            Fault::new(
                tie.place,
                format!(
                    "{} to {} is {} here and {} before",
                    shown(name(tie.from)),
                    shown(name(tie.to)),
                    tie.length.show(reading.units),
                    before.length.show(reading.units)
                ),
                "not the same distance",
            )
            .with_mention(before.place, "the first time")
            .with_help("correct the point or the distance of one of them"),
        );
    }
}

type TieParts = (
    Placed<String>,
    Placed<String>,
    Placed<Length>,
    Option<Placed<Length>>,
);

/// Two names and a distance in brackets.
fn plain_tie<'t>(
    reading: &mut Reading<'t>,
    parts: Vec<&'t Value<'t>>,
    place: Place,
) -> Option<TieParts> {
    let [from, to, length] = parts[..] else {
        let found = match parts.len() {
            1 => "1 entry".to_owned(),
            many => format!("{many} entries"),
        };
        reading.report(
            Fault::new(
                place,
                format!("a tie has two points and a distance, but here are {found}"),
                "not [point, point, distance]",
            )
            .with_help(format!("write {TIE_FORMS}")),
        );
        return None;
    };
    let from = point_name(reading, from);
    let to = point_name(reading, to);
    let length = reading.length_from(
        length,
        "the distance",
        Some(super::super::keys::Sign::Positive),
    );
    Some((from?, to?, length?, None))
}

/// A point's name in a tie: text, or a whole number written without quotes.
fn point_name<'t>(reading: &mut Reading<'t>, value: &'t Value<'t>) -> Option<Placed<String>> {
    let place = reading.place(value.span());
    match value.get_ref() {
        DeValue::String(name) => Some(Placed::new(name.trim().to_owned(), place)),
        DeValue::Integer(number) if number.radix() == 10 => {
            Some(Placed::new(number.as_str().to_owned(), place))
        }
        _ => reading.wrong(
            value,
            "a point of a tie",
            "the name of a point such as \"A\"",
        ),
    }
}

/// Whether a name can be used; a fault where not.
fn is_name(reading: &mut Reading<'_>, name: &Placed<String>) -> bool {
    let fits = !name.value.is_empty()
        && name.value.chars().count() <= LONGEST_NAME
        && !name.value.chars().any(char::is_control);
    if !fits {
        reading.report(
            Fault::new(
                name.place,
                "this cannot be the name of a point",
                format!("\"{}\"", shown(&name.value)),
            )
            .with_help("write a short name such as \"A\", \"7\" or \"mast\""),
        );
    }
    fits
}

/// Distances alone say nothing of where the whole lies: one place and one direction must be known.
fn check_frame(reading: &mut Reading<'_>, points: &[SurveyPoint], place: Place) {
    if points.is_empty() || reading.is_faulty() {
        return;
    }
    let count = |fits: fn(&Known) -> bool| points.iter().filter(|one| fits(&one.known)).count();
    let given = count(|known| matches!(known, Known::At(_)));
    let on_line = count(|known| matches!(known, Known::Centreline));
    if given > 0 && given + on_line > 1 {
        return;
    }
    let missing = if given == 0 {
        "no point has a known place"
    } else {
        "only one point has a known place"
    };
    reading.report(
        Fault::new(
            place,
            format!("{missing}, so the ties can lie anywhere and any way round"),
            "too little is known",
        )
        .with_help(
            "give one mark as the datum, A = [0, 0], and another on the centreline, B = \"centreline\"",
        ),
    );
}
