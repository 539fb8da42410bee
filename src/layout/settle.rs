//! A layout written back with what a survey has settled: every point by name becomes its coordinates, what
//! was taken from a drawing becomes lines and arcs, two sides made one become that one table. All else, the
//! comments and the measurements themselves included, stays as it stands. Comes in: the file's text and what
//! was settled. Goes out: the text of a layout that needs no survey and no drawing.

use toml_edit::{Array, ArrayOfTables, DocumentMut, Item, TableLike, TomlError, Value};

use super::HalfBreadth;
use crate::shape::{Point, Ring, Segment};
use crate::units::{Length, LengthUnit};

/// Decimals of a millimetre that a measured point is written with.
const MEASURED: usize = 1;
/// ... and a drawn one, whose arcs have to run on into each other.
const DRAWN: usize = 3;
/// ... and a half-breadth, through which the very same curve has to go again.
const THROUGH: usize = 11;

/// What a survey has settled of a layout.
#[derive(Debug, Clone, PartialEq)]
pub struct Settled {
    /// The layout's unit.
    pub units: LengthUnit,
    /// The points by name.
    pub points: Vec<SettledPoint>,
    /// What was taken from drawings.
    pub shapes: Vec<SettledShape>,
    /// Tables of half-breadths where two sides had been measured.
    pub tables: Vec<SettledTable>,
}

/// A point with a name and where it lies.
#[derive(Debug, Clone, PartialEq)]
pub struct SettledPoint {
    /// Its name.
    pub name: String,
    /// Where it lies.
    pub at: Point,
}

/// Something taken from a drawing, as rings.
#[derive(Debug, Clone, PartialEq)]
pub struct SettledShape {
    /// The deck, by its number in the file, from 0.
    pub deck: usize,
    /// What it is.
    pub of: SettledKind,
    /// Its rings, one at least.
    pub rings: Vec<Ring>,
}

/// What was taken from a drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SettledKind {
    /// The deck's outline.
    Outline,
    /// The opening of this number, from 0.
    Opening(usize),
    /// The fitting.
    Fitting(usize),
    /// The area kept smooth.
    Smooth(usize),
    /// The pad.
    Pad(usize),
}

/// The half-breadths a deck is laid out with.
#[derive(Debug, Clone, PartialEq)]
pub struct SettledTable {
    /// The deck, by its number in the file, from 0.
    pub deck: usize,
    /// The table, forward to aft.
    pub half_breadths: Vec<HalfBreadth>,
}

/// The layout with what was settled written into it.
///
/// # Errors
/// Where `text` is not TOML.
pub fn settled(text: &str, with: &Settled) -> Result<String, TomlError> {
    let mut document: DocumentMut = text.parse()?;
    let decks = document
        .get_mut("deck")
        .and_then(Item::as_array_of_tables_mut);
    for (number, deck) in decks
        .into_iter()
        .flat_map(ArrayOfTables::iter_mut)
        .enumerate()
    {
        if let Some(outline) = deck.get_mut("outline").and_then(Item::as_table_like_mut) {
            with.ring_under(outline);
        }
        for kind in ["opening", "fitting", "smooth", "pad", "strip"] {
            for_each_table(deck.get_mut(kind), &mut |table| with.positions_of(table));
        }
        for table in with.tables.iter().filter(|table| table.deck == number) {
            with.write_table(deck, table)?;
        }
        // From the last to the first, so that a shape of several rings moves none that is still to come.
        let shapes = with.shapes.iter().filter(|shape| shape.deck == number);
        for shape in shapes.rev() {
            with.write_shape(deck, shape)?;
        }
    }
    let drawings = document.remove("drawing");
    let mut written = document.to_string();
    if let Some(drawings) = drawings {
        let mut apart = DocumentMut::new();
        apart.insert("drawing", drawings);
        written.push_str("\n# Where the outlines and shapes above were taken from:\n");
        for line in apart.to_string().lines().filter(|line| !line.is_empty()) {
            written.push_str("# ");
            written.push_str(line);
            written.push('\n');
        }
    }
    Ok(written)
}

impl Settled {
    /// Coordinates in brackets.
    fn coordinates(&self, point: Point, decimals: usize) -> String {
        let [x, y] = [point.x, point.y].map(|mm| number(mm, self.units, decimals));
        format!("[{x}, {y}]")
    }

    /// Writes coordinates in the place of a name.
    fn position(&self, value: &mut Value) {
        let Some(name) = value.as_str() else { return };
        let Some(point) = self.points.iter().find(|point| point.name == name.trim()) else {
            return;
        };
        if let Ok(new) = self.coordinates(point.at, MEASURED).parse::<Value>() {
            replace(value, new);
        }
    }

    /// All positions of a feature or a strip.
    fn positions_of(&self, table: &mut dyn TableLike) {
        for (shape, keys) in [
            ("rectangle", &["at"][..]),
            ("circle", &["at"]),
            ("slot", &["from", "to"]),
        ] {
            if let Some(shape) = table.get_mut(shape).and_then(Item::as_table_like_mut) {
                for key in keys {
                    if let Some(value) = shape.get_mut(key).and_then(Item::as_value_mut) {
                        self.position(value);
                    }
                }
            }
        }
        if let Some(path) = table.get_mut("path").and_then(Item::as_array_mut) {
            path.iter_mut().for_each(|value| self.position(value));
        }
        self.ring_under(table);
    }

    /// The positions of a ring of points, whether a list or tables.
    fn ring_under(&self, table: &mut dyn TableLike) {
        let Some(points) = table.get_mut("points") else {
            return;
        };
        if let Some(list) = points.as_array_mut() {
            for value in list.iter_mut() {
                match value.as_inline_table_mut() {
                    Some(corner) => self.corner(corner),
                    None => self.position(value),
                }
            }
        } else {
            for_each_table(Some(points), &mut |corner| self.corner(corner));
        }
    }

    fn corner(&self, corner: &mut dyn TableLike) {
        for key in ["at", "through"] {
            if let Some(value) = corner.get_mut(key).and_then(Item::as_value_mut) {
                self.position(value);
            }
        }
    }

    /// One table of half-breadths in the place of two sides, which stay in it as comments: those may stand in a list
    /// even where the outline is an inline table.
    fn write_table(&self, deck: &mut dyn TableLike, table: &SettledTable) -> Result<(), TomlError> {
        let Some(outline) = deck.get_mut("outline").and_then(Item::as_table_like_mut) else {
            return Ok(());
        };
        let mut text = String::from("[\n  # Made one of the two sides as they were measured:\n");
        for key in ["starboard", "port", "sides"] {
            for line in written(outline, key).lines().map(str::trim_end) {
                text.push_str("  # ");
                text.push_str(line);
                text.push('\n');
            }
            outline.remove(key);
        }
        for line in &table.half_breadths {
            let at = Point::new(line.station.to_mm(), line.breadth.to_mm());
            text.push_str(&format!("  {},\n", self.coordinates(at, THROUGH)));
        }
        text.push(']');
        outline.insert("half_breadths", Item::Value(text.parse()?));
        Ok(())
    }

    /// Rings in the place of something drawn.
    fn write_shape(&self, deck: &mut dyn TableLike, shape: &SettledShape) -> Result<(), TomlError> {
        let (kind, entry) = match shape.of {
            SettledKind::Outline => {
                if let (Some(outline), [ring, ..]) = (
                    deck.get_mut("outline").and_then(Item::as_table_like_mut),
                    shape.rings.as_slice(),
                ) {
                    self.write_ring(outline, ring, false)?;
                }
                return Ok(());
            }
            SettledKind::Opening(entry) => ("opening", entry),
            SettledKind::Fitting(entry) => ("fitting", entry),
            SettledKind::Smooth(entry) => ("smooth", entry),
            SettledKind::Pad(entry) => ("pad", entry),
        };
        match deck.get_mut(kind) {
            Some(Item::ArrayOfTables(entries)) => {
                let Some(drawn) = entries.get(entry).cloned() else {
                    return Ok(());
                };
                for (i, ring) in shape.rings.iter().enumerate() {
                    let mut one = drawn.clone();
                    number_name(&mut one, i, shape.rings.len());
                    self.write_ring(&mut one, ring, true)?;
                    if i == 0 {
                        entries.replace(entry, one);
                    } else {
                        entries.insert(entry + i, one);
                    }
                }
            }
            Some(Item::Value(Value::Array(entries))) => {
                let Some(drawn) = entries.get(entry).and_then(Value::as_inline_table).cloned()
                else {
                    return Ok(());
                };
                for (i, ring) in shape.rings.iter().enumerate() {
                    let mut one = drawn.clone();
                    number_name(&mut one, i, shape.rings.len());
                    self.write_ring(&mut one, ring, true)?;
                    if i == 0 {
                        entries.replace(entry, one);
                    } else {
                        entries.insert(entry + i, one);
                    }
                }
            }
            _ => {}
        }
        Ok(())
    }

    /// A ring in the place of `drawn`: a circle where it may be one, or points with arcs between them.
    fn write_ring(
        &self,
        table: &mut dyn TableLike,
        ring: &Ring,
        may_be_circle: bool,
    ) -> Result<(), TomlError> {
        table.remove("drawn");
        let inline = |text: String| text.parse::<Value>().map(Item::Value);
        if let Some((centre, radius)) = whole_circle(ring).filter(|_| may_be_circle) {
            table.insert(
                "circle",
                inline(format!(
                    "{{ at = {}, radius = {} }}",
                    self.coordinates(centre, DRAWN),
                    number(radius, self.units, DRAWN)
                ))?,
            );
            return Ok(());
        }
        let corners = ring.segments().iter().flat_map(|segment| {
            let halves = match segment {
                // An arc that nearly closes is not settled by three points of it.
                Segment::Arc(arc) if arc.sweep.abs() > 1.9 * std::f64::consts::PI => {
                    vec![segment.part(0.0, 0.5), segment.part(0.5, 1.0)]
                }
                _ => vec![*segment],
            };
            halves.into_iter().map(|piece| {
                let at = self.coordinates(piece.start(), DRAWN);
                match piece {
                    Segment::Line(..) => at,
                    Segment::Arc(_) => format!(
                        "{{ at = {at}, through = {} }}",
                        self.coordinates(piece.point_at(0.5), DRAWN)
                    ),
                }
            })
        });
        table.insert("points", inline(list(corners))?);
        Ok(())
    }
}

/// A key with its value as they stand in the file, comments included; empty where there is none.
fn written(table: &dyn TableLike, key: &str) -> String {
    let Some((key, item)) = table.get_key_value(key) else {
        return String::new();
    };
    let before = key.leaf_decor().prefix().and_then(|text| text.as_str());
    format!(
        "{}{} = {}",
        before.unwrap_or_default().trim_start(),
        key.get(),
        item.to_string().trim()
    )
}

/// A list with an item a line.
fn list(items: impl Iterator<Item = String>) -> String {
    let mut text = String::from("[\n");
    for item in items {
        text.push_str("  ");
        text.push_str(&item);
        text.push_str(",\n");
    }
    text.push(']');
    text
}

/// Several shapes of one entry are told apart by a number.
fn number_name(entry: &mut dyn TableLike, index: usize, count: usize) {
    if count > 1
        && let Some(name) = entry.get_mut("name").and_then(Item::as_value_mut)
        && let Some(text) = name.as_str()
    {
        let numbered = format!("{text} {}", index + 1);
        replace(name, numbered.into());
    }
}

/// The new value with the old one's white space and comments.
pub(super) fn replace(value: &mut Value, mut new: Value) {
    *new.decor_mut() = value.decor().clone();
    *value = new;
}

/// Every table of a list of tables, however it is written.
fn for_each_table(item: Option<&mut Item>, act: &mut dyn FnMut(&mut dyn TableLike)) {
    match item {
        Some(Item::ArrayOfTables(tables)) => {
            for table in tables.iter_mut() {
                act(table);
            }
        }
        Some(Item::Value(Value::Array(list))) => inline_tables(list, act),
        _ => {}
    }
}

fn inline_tables(list: &mut Array, act: &mut dyn FnMut(&mut dyn TableLike)) {
    for table in list.iter_mut().filter_map(Value::as_inline_table_mut) {
        act(table);
    }
}

/// Centre and radius, where the ring is one whole circle.
fn whole_circle(ring: &Ring) -> Option<(Point, f64)> {
    let mut segments = ring.segments().iter();
    let Some(Segment::Arc(first)) = segments.next() else {
        return None;
    };
    let same = |segment: &Segment| match segment {
        Segment::Arc(arc) => {
            arc.centre.distance(first.centre) < 1e-6 && (arc.radius - first.radius).abs() < 1e-6
        }
        Segment::Line(..) => false,
    };
    segments.all(same).then_some((first.centre, first.radius))
}

/// A length as a bare number in the layout's unit, to so many decimals of a millimetre.
pub(super) fn number(mm: f64, units: LengthUnit, decimals: usize) -> String {
    let finer = match units {
        LengthUnit::Millimetre => 0,
        LengthUnit::Centimetre => 1,
        LengthUnit::Inch => 2,
        LengthUnit::Metre | LengthUnit::Foot => 3,
    };
    let amount = Length::mm(mm).to(units);
    let mut text = format!("{amount:.*}", decimals + finer);
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" { "0".to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::{Shape, read};

    fn settled_points(units: LengthUnit, points: &[(&str, f64, f64)]) -> Settled {
        Settled {
            units,
            points: points
                .iter()
                .map(|(name, x, y)| SettledPoint {
                    name: (*name).to_owned(),
                    at: Point::new(*x, *y),
                })
                .collect(),
            shapes: Vec::new(),
            tables: Vec::new(),
        }
    }

    #[test]
    fn points_by_name_become_coordinates_and_nothing_else_changes() {
        let text = "title = \"Puffin\" # the yard's\n[[deck]]\nid = \"deck\"\n[deck.outline]\npoints = [\n  \"1\",  # forward\n  { at = \"2\", radius = 40 },\n  [3000, 1200],\n]\n[[deck.fitting]]\nname = \"1\" # no point\ncircle = { at = \"2\", diameter = 90 }\n";
        let with = settled_points(
            LengthUnit::Millimetre,
            &[("1", 10.04, -0.02), ("2", 2999.96, 4.0)],
        );
        let written = settled(text, &with).expect("it is TOML");
        assert_eq!(
            written,
            text.replace("\"1\",  # forward", "[10, 0],  # forward")
                .replace("at = \"2\"", "at = [3000, 4]")
        );
    }

    #[test]
    fn a_drawing_s_rings_become_shapes_of_their_own() {
        let text = "title = \"Puffin\"\nunits = \"in\"\n[[drawing]]\nfile = \"a.svg\"\n[[deck]]\nid = \"deck\"\noutline = { drawn = { path = \"edge\" } }\n[[deck.fitting]]\nname = \"cleat\"\n# two of them\ndrawn = { path = \"cleats\" }\n[[deck.fitting]]\nname = \"winch\"\ncircle = { at = [20, 0], radius = 2 }\n[[deck]]\nid = \"aft\"\noutline = { points = [[50, 0], [60, 0], [60, 10]] }\n";
        let inch = 25.4;
        let edge = Ring::polygon(&[
            Point::new(0.0, -10.0 * inch),
            Point::new(40.0 * inch, -10.0 * inch),
            Point::new(40.0 * inch, 10.0 * inch),
        ]);
        let circle = |x: f64| Ring::circle(Point::new(x * inch, 0.0), inch);
        let mut with = settled_points(LengthUnit::Inch, &[]);
        with.shapes = vec![
            SettledShape {
                deck: 0,
                of: SettledKind::Outline,
                rings: vec![edge],
            },
            SettledShape {
                deck: 0,
                of: SettledKind::Fitting(0),
                rings: vec![circle(25.0), circle(30.0)],
            },
        ];
        let written = settled(text, &with).expect("it is TOML");
        let layout = read(&written).expect("it reads back");
        assert!(layout.drawings.is_empty());
        assert!(written.contains("# file = \"a.svg\""), "{written}");
        let deck = &layout.decks[0];
        let names: Vec<_> = deck
            .fittings
            .iter()
            .filter_map(|one| one.name.clone())
            .collect();
        assert_eq!(names, ["cleat 1", "cleat 2", "winch"]);
        for (fitting, x) in deck.fittings.iter().zip([25.0, 30.0, 20.0]) {
            let radius = if x == 20.0 { 2.0 } else { 1.0 };
            let circle = Shape::Circle {
                at: Point::new(x * inch, 0.0).into(),
                radius: Length::of(radius, LengthUnit::Inch),
            };
            assert_eq!(fitting.shape, circle);
        }
    }
}
