//! DXF as curves. Comes in: the bytes of a file in the text form of the drawing exchange format, of any version from
//! R12 on. Goes out: its lines, arcs, circles, ellipses, splines and polylines in plan, blocks put in their
//! places, each with its layer and its handle, in the drawing's units; [`Drawn::unit`] where its header
//! says what those are.
//!
//! Layers that are switched off or frozen count as much as those that are seen: what is taken is asked for by
//! layer or handle. What has height is seen from above. The work is bounded whatever the file says.
//!
//! After the DXF reference (group codes, header variables, entities), as it has stood since release 12.

mod blocks;
mod curves;
mod entities;
mod groups;
mod join;
mod nurbs;
mod polylines;

use std::borrow::Cow;

use super::{Drawn, ImportFault};
pub use join::{Branch, Joined, LooseEnd, join};

use blocks::Blocks;
use groups::{Group, Record};

/// Larger files are refused.
const MOST_BYTES: usize = 128 << 20;
/// What a DXF in binary form begins with, after seven letters.
const BINARY: &[u8] = b" Binary DXF\r\n\x1a\0";

/// Reads a DXF file.
///
/// ```
/// use spile::import::{Piece, dxf};
/// let file = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n5\n0\nENDSEC\n\
///     0\nSECTION\n2\nENTITIES\n0\nCIRCLE\n5\n2F\n8\nHATCHES\n10\n30\n20\n40\n40\n25\n0\nENDSEC\n0\nEOF\n";
/// let drawn = dxf::read(file.as_bytes()).expect("a good file");
/// assert_eq!(drawn.unit, Some(10.0)); // centimetres
/// let circle = drawn.with_id("2F").expect("it is there")[0];
/// assert_eq!(circle.layer.as_deref(), Some("HATCHES"));
/// let Piece::Arc(arc) = circle.pieces[0] else { panic!("a circle stays one") };
/// assert_eq!((arc.centre.x, arc.centre.y, arc.radius), (30.0, 40.0, 25.0));
/// // One cut short is said to be, and where.
/// let fault = dxf::read(&file.as_bytes()[..file.len() - 6]).expect_err("no EOF");
/// assert_eq!((fault.line, fault.message.as_str()), (28, "the drawing ends without EOF"));
/// ```
///
/// # Errors
/// What keeps the file from being read at all. What is wrong with one entity stands in [`Drawn::unread`].
pub fn read(bytes: &[u8]) -> Result<Drawn, ImportFault> {
    if bytes.get(7..).is_some_and(|rest| rest.starts_with(BINARY)) {
        return Err(ImportFault::new(
            1,
            0,
            "this DXF is in binary form, and only the text form is read",
            "binary",
        )
        .with_help("save it again as DXF in text form (ASCII)"));
    }
    if bytes.len() > MOST_BYTES {
        return Err(ImportFault::new(
            0,
            0,
            "the drawing is larger than 128 MiB",
            "too large to read",
        )
        .with_help("save what is needed of it, the outlines, as a drawing of its own"));
    }
    let text = text_of(bytes);
    let sections = groups::sections(&text)?;
    let blocks = Blocks::of(&sections.blocks)?;
    let mut drawn = blocks::expanded(entities::items(&sections.entities)?, &blocks)?;
    drawn.unit = unit(&sections.header)?;
    Ok(drawn)
}

/// The text, whatever it was written in: what is not UTF-8 is taken letter by letter as Latin-1, as files before
/// release 2007 mostly are.
fn text_of(bytes: &[u8]) -> Cow<'_, str> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    match std::str::from_utf8(bytes) {
        Ok(text) => Cow::Borrowed(text),
        Err(_) => Cow::Owned(bytes.iter().copied().map(char::from).collect()),
    }
}

/// Millimetres in a unit, after the header's $INSUNITS; none where it does not say.
fn unit(header: &[Record<'_>]) -> Result<Option<f64>, ImportFault> {
    let groups = || header.iter().flat_map(|record| &record.groups);
    let name = groups().position(|group: &Group<'_>| group.code == 9 && group.value == "$INSUNITS");
    let value = name.and_then(|name| groups().nth(name + 1));
    let Some(value) = value.filter(|value| value.code == 70) else {
        return Ok(None);
    };
    Ok(millimetres(value.whole()?))
}

/// Millimetres in the units of $INSUNITS (DXF reference, "HEADER section group codes"). The international inch of
/// 25.4 mm, the US survey foot of 1200/3937 m, the astronomical unit of 149 597 870 700 m (IAU 2012), the
/// light year of 365.25 days at 299 792 458 m/s, the parsec of 648000/π astronomical units.
fn millimetres(code: i64) -> Option<f64> {
    const AU: f64 = 149_597_870_700e3;
    const SURVEY_FOOT: f64 = 1_200_000.0 / 3937.0;
    Some(match code {
        1 => 25.4,
        2 => 304.8,
        3 => 1_609_344.0,
        4 => 1.0,
        5 => 10.0,
        6 => 1e3,
        7 => 1e6,
        8 => 25.4e-6,
        9 => 25.4e-3,
        10 => 914.4,
        11 => 1e-7,
        12 => 1e-6,
        13 => 1e-3,
        14 => 100.0,
        15 => 1e4,
        16 => 1e5,
        17 => 1e12,
        18 => AU,
        19 => 299_792_458e3 * 365.25 * 86_400.0,
        20 => AU * 648_000.0 / std::f64::consts::PI,
        21 => SURVEY_FOOT,
        22 => SURVEY_FOOT / 12.0,
        23 => 3.0 * SURVEY_FOOT,
        24 => 5280.0 * SURVEY_FOOT,
        _ => return None,
    })
}
