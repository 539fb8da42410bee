//! A first layout file for a deck of a given length and beam, with comments that say what to measure
//! and replace. Comes in: length, beam, units, title. Goes out: the file's text.

use std::fmt::Write as _;

use crate::units::{Length, LengthUnit};

use super::settle::number;
use super::table::unit_word;

/// The smallest and the greatest deck a starter is written for, mm.
const SIZES: (Length, Length) = (Length::mm(300.0), Length::mm(200_000.0));
/// Decimals of a millimetre that a measured half-breadth is written with.
const MEASURED: usize = 2;

/// A commented layout to begin with: plausible half-breadths scaled to `length` and `beam`, a hatch, a
/// pair of cleats, a strip, margins, radii and tape. It reads back without a fault.
///
/// Lengths and beams under 30 cm or over 200 m are taken as those.
#[must_use]
pub fn starter(length: Length, beam: Length, units: LengthUnit, title: &str) -> String {
    let size = |length: Length| length.max(SIZES.0).min(SIZES.1);
    let (length, half) = (size(length), size(beam) / 2.0);
    let table = Table {
        points: SHAPE
            .iter()
            .map(|(along, out)| (length * *along, half * *out))
            .collect(),
        ends: Ends {
            forward: "sharp",
            aft: "sharp",
        },
        is_guess: true,
    };
    starter_of(&table, units, title)
}

/// Half-breadths to begin with.
pub(super) struct Table {
    /// Stations with their half-breadths, forward to aft; two at least.
    pub(super) points: Vec<(Length, Length)>,
    pub(super) ends: Ends,
    /// Whether they were made up, so that round numbers do; measured ones stay as they are.
    pub(super) is_guess: bool,
}

/// How the sides meet forward and aft, as a layout says it.
pub(super) struct Ends {
    pub(super) forward: &'static str,
    pub(super) aft: &'static str,
}

impl Ends {
    /// The keys that say so, where they say anything new.
    fn keys(&self) -> String {
        let mut keys = String::new();
        for (end, word) in [("forward", self.forward), ("aft", self.aft)] {
            if word == "round" {
                // Writing to a String cannot fail.
                let _ = writeln!(
                    keys,
                    "{:<30}# the sides run round into each other there",
                    format!("{end} = \"round\"")
                );
            }
        }
        keys
    }
}

/// A commented layout with these half-breadths.
pub(super) fn starter_of(table: &Table, units: LengthUnit, title: &str) -> String {
    let span = |of: fn(&(Length, Length)) -> Length| {
        table
            .points
            .iter()
            .map(of)
            .fold(Length::ZERO, Length::max)
            .to_mm()
    };
    let (length, half) = (span(|point| point.0), span(|point| point.1));
    let write = |mm: f64| written(mm, units);
    let measured = |length: Length| {
        if table.is_guess {
            written(length.to_mm(), units)
        } else {
            number(length.to_mm(), units, MEASURED)
        }
    };
    // What feet and hands need does not grow with the boat, but must fit a small one.
    let small = |usual: f64, share: f64| written(usual.min(share * half.min(length / 2.0)), units);
    let half_breadths: String = table
        .points
        .iter()
        .map(|(station, breadth)| format!("  [{}, {}],\n", measured(*station), measured(*breadth)))
        .collect();
    let ends = table.ends.keys();
    let hatch = 600.0_f64.min(0.2 * length).min(0.5 * half);
    let text = format!(
        r#"# A starter: {of_numbers}.
#
# Stretch a tape along the centreline from the datum, here the foremost point of the deck, and measure
# square out from it to the deck edge. Stations are positive aft; distances from the centreline are
# positive to starboard. A bare number is in the units below; "60 mm" or "2 ft 3 1/2 in" carries its own.

title = "{title}"
units = "{unit}"

[[deck]]                      # a file may hold several, each with all that follows
id = "deck"                   # letters, digits and hyphens; a title = "..." may be any text

[deck.outline]
# Each is [station, half-breadth], from forward to aft; both sides are alike.
half_breadths = [
{half_breadths}]
curve = "fair"                # as a batten lies through the points; or "straight"
{ends}# A side deck, or any deck whose sides differ, is a ring of points instead: straight edges, rounded
# corners, arcs through a point, a name for an edge that needs a margin of its own.
# points = [
#   [0, {inboard}],
#   {{ at = [{length}, {inboard}], edge = "aft", through = [{bulge}, {middle}] }},
#   {{ at = [{length}, {half}], radius = {corner} }},
#   [0, {half}],
# ]

[deck.margin]                 # smooth between the non-skid and
edge = {edge}                 # the deck edge
opening = {opening}           # hatches and other holes
fitting = {fitting}           # cleats and whatever stands on the deck
# edges = {{ aft = {aft} }}   # a single edge that needs another margin

[deck.radius]                 # corners of the fields
round = {round}
hollow = {hollow}

# [deck.field]                # what is too small to be worth laying becomes border
# least_width = {least_width}
# least_area = 0.02           # square metres

[[deck.opening]]
name = "hatch"
rectangle = {{ at = [{hatch_at}, 0], size = [{hatch}, {hatch}], radius = {hatch_radius} }}

[[deck.fitting]]
name = "cleat"
circle = {{ at = [{cleat_at}, {cleat_out}], diameter = {cleat} }}
both_sides = true             # and its mirror image to port
in_place = true               # false: taken off for the job

[[deck.strip]]
width = {strip}
across_at = [{strip_at}]      # smooth bands athwartships, centred on these stations
# along_at = [0]              # fore and aft, centred so far from the centreline; or a path:
# path = [[{path_from}, 0], [{strip_at}, {path_out}]]

# [[deck.smooth]]             # an area kept smooth: a slot, rectangle, circle or points, as everywhere
# name = "anchor pad"
# slot = {{ from = [{slot_from}, 0], to = [{slot_to}, 0], width = {cleat} }}

# [[deck.pad]]                # with any pad, non-skid is laid only inside pads
# name = "step"
# rectangle = {{ at = [{pad_at}, 0], size = [{hatch}, {hatch}], radius = {round}, turned = 0 }}

[tape]                        # what is on the shelf: width, length of a roll, overlap at a run's end
line = {{ width = "19 mm", roll = "33 m", lap = "50 mm" }}
edge = {{ width = "36 mm", roll = "50 m", lap = "50 mm" }}
film = {{ width = "900 mm", roll = "20 m" }}

# What it takes in paint, hours and money: say what is bought and what is done, and `spile takeoff` works it out. Figures
# are on the product's data sheet, what is said in it wins.

# [[product]]
# id = "deck-paint"
# solids = 50                 # per cent by volume
# cans = [{{ size = "750 ml" }}, {{ size = "2.5 L" }}]

# [[step]]                    # in the order they are done; masking goes where it belongs
# id = "grip"
# on = "field"                # or "border", "all", or the "edge" that is caulked
# coat = "deck-paint"
# coats = 2
# film = "50 um"              # dry, each coat

# [job]
# people = 2
# temperature = 18            # degrees Celsius; "65 F" too
"#,
        of_numbers = if table.is_guess {
            "every number is a guess, to be replaced by what you measure"
        } else {
            "the half-breadths are yours, every other number is a guess, to be replaced by what you measure"
        },
        title = title_line(title),
        unit = unit_word(units),
        edge = small(60.0, 0.05),
        opening = small(50.0, 0.05),
        fitting = small(40.0, 0.04),
        aft = small(90.0, 0.08),
        round = small(40.0, 0.05),
        hollow = small(25.0, 0.03),
        length = write(length),
        half = write(half),
        inboard = write(0.6 * half),
        bulge = write(1.02 * length),
        middle = write(0.8 * half),
        corner = write(0.1 * half),
        least_width = small(120.0, 0.1),
        path_from = write(0.5 * length),
        path_out = write(0.6 * half),
        slot_from = write(0.1 * length),
        slot_to = write(0.2 * length),
        pad_at = write(0.85 * length),
        hatch_at = write(0.45 * length),
        hatch = write(hatch),
        hatch_radius = small(50.0, 0.04),
        cleat_at = write(0.28 * length),
        cleat_out = write(0.45 * half),
        cleat = small(120.0, 0.1),
        strip = small(60.0, 0.06),
        strip_at = write(0.75 * length),
    );
    text.lines().map(aligned).collect()
}

/// A line whose comment stands in one column with the others.
fn aligned(line: &str) -> String {
    match line.split_once("  #") {
        Some((code, comment)) if !code.starts_with("title") && !code.starts_with("#  ") => {
            format!("{:<32}#{comment}\n", code.trim_end())
        }
        _ => format!("{line}\n"),
    }
}

/// A deck forward of a wheelhouse: shares of the length and of the half-beam.
const SHAPE: [(f64, f64); 6] = [
    (0.0, 0.0),
    (0.12, 0.34),
    (0.27, 0.62),
    (0.47, 0.84),
    (0.75, 0.97),
    (1.0, 1.0),
];

/// A length as a person would write it in a file of these units, to what a tape can tell.
fn written(mm: f64, units: LengthUnit) -> String {
    // Round numbers, as people choose them: 5 mm or a quarter of an inch, finer where it matters.
    let step = match (units.is_imperial(), mm >= 20.0) {
        (true, true) => 25.4 / 4.0,
        (true, false) => 25.4 / 16.0,
        (false, true) => 5.0,
        (false, false) => 1.0,
    };
    let rounded = Length::mm((mm / step).round() * step);
    match units {
        LengthUnit::Foot if rounded > Length::ZERO => {
            let shown = rounded.show(units);
            format!("\"{}\"", shown.replace('′', " ft").replace('″', " in"))
        }
        _ => {
            let shown = format!("{:.4}", rounded.to(units));
            let shown = shown.trim_end_matches('0').trim_end_matches('.');
            shown.to_owned()
        }
    }
}

/// A title that can stand between quotes on one line.
fn title_line(title: &str) -> String {
    let kept: String = title
        .chars()
        .map(|sign| if sign.is_control() { ' ' } else { sign })
        .take(200)
        .collect();
    match kept.trim() {
        "" => "My deck".into(),
        kept => kept.replace('\\', "\\\\").replace('"', "\\\""),
    }
}
