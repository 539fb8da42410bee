//! A cutter's file as DXF of release 2000: light polylines with true arcs, one layer a kind of line, the unit said. Comes
//! in: a [`CutFile`]. Goes out: the file's text, the same bytes for the same input.
//!
//! x is the station, positive aft, y the distance to starboard, so that the bow is left, as in the layout. The unit is the
//! millimetre, or the inch where the layout is in feet or inches. An arc is a bulge, tan(sweep/4), positive counter-clockwise.
//! Each polyline carries `deck field` as extended data of the application SPILE.

use std::f64::consts::PI;
use std::fmt::Write;

use super::number;
use crate::drawing::{CutFile, CutLayer, CutPath};
use crate::shape::{Point, Segment};

/// Application that extended data belongs to.
const APPLICATION: &str = "SPILE";

/// Handles of the file's fixed objects; entities take those from `FIRST`.
mod handle {
    pub(super) const BLOCK_TABLE: u32 = 0x1;
    pub(super) const LAYER_TABLE: u32 = 0x2;
    pub(super) const STYLE_TABLE: u32 = 0x3;
    pub(super) const LINE_TABLE: u32 = 0x5;
    pub(super) const VIEW_TABLE: u32 = 0x6;
    pub(super) const UCS_TABLE: u32 = 0x7;
    pub(super) const PORT_TABLE: u32 = 0x8;
    pub(super) const APPLICATION_TABLE: u32 = 0x9;
    pub(super) const DIMENSION_TABLE: u32 = 0xA;
    pub(super) const DICTIONARY: u32 = 0xC;
    pub(super) const GROUPS: u32 = 0xD;
    pub(super) const LAYER_0: u32 = 0x10;
    pub(super) const BY_BLOCK: u32 = 0x14;
    pub(super) const BY_LAYER: u32 = 0x15;
    pub(super) const CONTINUOUS: u32 = 0x16;
    pub(super) const STYLE: u32 = 0x17;
    pub(super) const ACAD: u32 = 0x18;
    pub(super) const OWN: u32 = 0x19;
    pub(super) const DIMENSION: u32 = 0x1A;
    pub(super) const PORT: u32 = 0x1B;
    pub(super) const PAPER: u32 = 0x1C;
    pub(super) const PAPER_BEGIN: u32 = 0x1D;
    pub(super) const PAPER_END: u32 = 0x1E;
    pub(super) const MODEL: u32 = 0x1F;
    pub(super) const MODEL_BEGIN: u32 = 0x20;
    pub(super) const MODEL_END: u32 = 0x21;
    pub(super) const LAYERS: u32 = 0x30;
    pub(super) const FIRST: u32 = 0x100;
}

/// The file as DXF.
#[must_use]
pub fn dxf(file: &CutFile) -> String {
    let is_imperial = file.units.is_imperial();
    let mut writer = Writer {
        out: String::with_capacity(64 * 1024),
        per_mm: if is_imperial { 25.4_f64.recip() } else { 1.0 },
        next: handle::FIRST,
    };
    // Entities first, since the header names the handle after the last.
    writer.entities(file);
    let entities = std::mem::take(&mut writer.out);
    writer.header(file, is_imperial);
    writer.tables(file);
    writer.blocks();
    writer.out.push_str(&entities);
    writer.objects();
    writer.text(0, "EOF");
    writer.out
}

struct Writer {
    out: String,
    /// The file's unit in a millimetre.
    per_mm: f64,
    next: u32,
}

impl Writer {
    fn text(&mut self, code: u16, text: &str) {
        // Writing to a String cannot fail.
        let _ = writeln!(self.out, "{code}\n{text}");
    }

    fn whole(&mut self, code: u16, value: i32) {
        let _ = writeln!(self.out, "{code}\n{value}");
    }

    fn handle(&mut self, code: u16, handle: u32) {
        let _ = writeln!(self.out, "{code}\n{handle:X}");
    }

    fn number(&mut self, code: u16, value: f64) {
        let _ = writeln!(self.out, "{code}\n{}", number(value));
    }

    fn length(&mut self, code: u16, value: f64) {
        let value = value * self.per_mm;
        self.number(code, value);
    }

    fn point(&mut self, code: u16, point: Point) {
        self.length(code, point.x);
        self.length(code + 10, point.y);
    }

    fn fresh(&mut self) -> u32 {
        self.next += 1;
        self.next - 1
    }

    fn section(&mut self, name: &str) {
        self.text(0, "SECTION");
        self.text(2, name);
    }

    fn end_section(&mut self) {
        self.text(0, "ENDSEC");
    }

    fn header(&mut self, file: &CutFile, is_imperial: bool) {
        let bounds = file.bounding_box();
        self.section("HEADER");
        self.text(9, "$ACADVER");
        self.text(1, "AC1015");
        self.text(9, "$DWGCODEPAGE");
        self.text(3, "ANSI_1252");
        self.text(9, "$INSUNITS");
        self.whole(70, if is_imperial { 1 } else { 4 });
        self.text(9, "$MEASUREMENT");
        self.whole(70, i32::from(!is_imperial));
        for (name, corner) in [("$EXTMIN", bounds.least), ("$EXTMAX", bounds.greatest)] {
            self.text(9, name);
            self.point(10, corner);
            self.number(30, 0.0);
        }
        self.text(9, "$HANDSEED");
        self.handle(5, self.next);
        self.end_section();
    }

    fn table(&mut self, name: &str, own: u32, entries: i32) {
        self.text(0, "TABLE");
        self.text(2, name);
        self.handle(5, own);
        self.handle(330, 0);
        self.text(100, "AcDbSymbolTable");
        self.whole(70, entries);
    }

    fn end_table(&mut self) {
        self.text(0, "ENDTAB");
    }

    fn entry(&mut self, kind: &str, class: &str, own: u32, owner: u32, name: &str) {
        self.text(0, kind);
        self.handle(if kind == "DIMSTYLE" { 105 } else { 5 }, own);
        self.handle(330, owner);
        self.text(100, "AcDbSymbolTableRecord");
        self.text(100, class);
        self.text(2, name);
        if kind != "BLOCK_RECORD" {
            self.whole(70, 0);
        }
    }

    fn tables(&mut self, file: &CutFile) {
        self.section("TABLES");
        self.table("VPORT", handle::PORT_TABLE, 1);
        self.entry(
            "VPORT",
            "AcDbViewportTableRecord",
            handle::PORT,
            handle::PORT_TABLE,
            "*ACTIVE",
        );
        let bounds = file.bounding_box();
        self.number(10, 0.0);
        self.number(20, 0.0);
        self.number(11, 1.0);
        self.number(21, 1.0);
        self.point(12, bounds.centre());
        self.length(40, bounds.height().max(bounds.width() / 1.5) * 1.05);
        self.number(41, 1.5);
        self.end_table();

        self.table("LTYPE", handle::LINE_TABLE, 3);
        for (own, name) in [
            (handle::BY_BLOCK, "ByBlock"),
            (handle::BY_LAYER, "ByLayer"),
            (handle::CONTINUOUS, "Continuous"),
        ] {
            self.entry(
                "LTYPE",
                "AcDbLinetypeTableRecord",
                own,
                handle::LINE_TABLE,
                name,
            );
            self.text(3, "");
            self.whole(72, 65);
            self.whole(73, 0);
            self.number(40, 0.0);
        }
        self.end_table();

        let used = layers(file);
        let count = i32::try_from(used.len()).unwrap_or(i32::MAX);
        self.table("LAYER", handle::LAYER_TABLE, count + 1);
        self.layer(handle::LAYER_0, "0", 7);
        for (own, layer) in (handle::LAYERS..).zip(used) {
            self.layer(own, layer.name(), colour(layer));
        }
        self.end_table();

        self.table("STYLE", handle::STYLE_TABLE, 1);
        self.entry(
            "STYLE",
            "AcDbTextStyleTableRecord",
            handle::STYLE,
            handle::STYLE_TABLE,
            "Standard",
        );
        self.number(40, 0.0);
        self.number(41, 1.0);
        self.number(50, 0.0);
        self.whole(71, 0);
        self.number(42, 2.5);
        self.text(3, "txt");
        self.text(4, "");
        self.end_table();

        self.table("VIEW", handle::VIEW_TABLE, 0);
        self.end_table();
        self.table("UCS", handle::UCS_TABLE, 0);
        self.end_table();

        self.table("APPID", handle::APPLICATION_TABLE, 2);
        for (own, name) in [(handle::ACAD, "ACAD"), (handle::OWN, APPLICATION)] {
            self.entry(
                "APPID",
                "AcDbRegAppTableRecord",
                own,
                handle::APPLICATION_TABLE,
                name,
            );
        }
        self.end_table();

        self.table("DIMSTYLE", handle::DIMENSION_TABLE, 1);
        self.text(100, "AcDbDimStyleTable");
        self.entry(
            "DIMSTYLE",
            "AcDbDimStyleTableRecord",
            handle::DIMENSION,
            handle::DIMENSION_TABLE,
            "Standard",
        );
        self.end_table();

        self.table("BLOCK_RECORD", handle::BLOCK_TABLE, 2);
        for (own, name) in [
            (handle::MODEL, "*Model_Space"),
            (handle::PAPER, "*Paper_Space"),
        ] {
            self.entry(
                "BLOCK_RECORD",
                "AcDbBlockTableRecord",
                own,
                handle::BLOCK_TABLE,
                name,
            );
        }
        self.end_table();
        self.end_section();
    }

    fn layer(&mut self, own: u32, name: &str, colour: i32) {
        self.entry(
            "LAYER",
            "AcDbLayerTableRecord",
            own,
            handle::LAYER_TABLE,
            name,
        );
        self.whole(62, colour);
        self.text(6, "Continuous");
    }

    fn blocks(&mut self) {
        self.section("BLOCKS");
        for (owner, begin, end, name, is_paper) in [
            (
                handle::MODEL,
                handle::MODEL_BEGIN,
                handle::MODEL_END,
                "*Model_Space",
                false,
            ),
            (
                handle::PAPER,
                handle::PAPER_BEGIN,
                handle::PAPER_END,
                "*Paper_Space",
                true,
            ),
        ] {
            for (kind, class, own) in [
                ("BLOCK", "AcDbBlockBegin", begin),
                ("ENDBLK", "AcDbBlockEnd", end),
            ] {
                self.text(0, kind);
                self.handle(5, own);
                self.handle(330, owner);
                self.text(100, "AcDbEntity");
                if is_paper {
                    self.whole(67, 1);
                }
                self.text(8, "0");
                self.text(100, class);
                if kind == "BLOCK" {
                    self.text(2, name);
                    self.whole(70, 0);
                    self.number(10, 0.0);
                    self.number(20, 0.0);
                    self.number(30, 0.0);
                    self.text(3, name);
                    self.text(1, "");
                }
            }
        }
        self.end_section();
    }

    fn entities(&mut self, file: &CutFile) {
        self.section("ENTITIES");
        for path in &file.paths {
            self.polyline(path);
        }
        for text in &file.texts {
            self.entity("TEXT", CutLayer::Text);
            self.text(100, "AcDbText");
            self.point(10, text.start());
            self.number(30, 0.0);
            self.length(40, text.height);
            self.text(1, &ascii(&text.content));
            self.number(50, text.turn.to_degrees());
            self.text(100, "AcDbText");
        }
        self.end_section();
    }

    fn entity(&mut self, kind: &str, layer: CutLayer) {
        self.text(0, kind);
        let own = self.fresh();
        self.handle(5, own);
        self.handle(330, handle::MODEL);
        self.text(100, "AcDbEntity");
        self.text(8, layer.name());
    }

    fn polyline(&mut self, path: &CutPath) {
        let Some(last) = path.run.segments.last() else {
            return;
        };
        let mut vertices: Vec<(Point, f64)> = Vec::new();
        for segment in &path.run.segments {
            match segment {
                Segment::Line(start, _) => vertices.push((*start, 0.0)),
                // A bulge has no way to say a whole turn, and is large before it.
                Segment::Arc(arc) if arc.sweep.abs() > PI + 1e-9 => {
                    let bulge = (arc.sweep / 8.0).tan();
                    vertices.extend([(arc.start, bulge), (segment.point_at(0.5), bulge)]);
                }
                Segment::Arc(arc) => vertices.push((arc.start, (arc.sweep / 4.0).tan())),
            }
        }
        if !path.run.closed {
            vertices.push((last.end(), 0.0));
        }
        self.entity("LWPOLYLINE", path.layer);
        self.text(100, "AcDbPolyline");
        self.whole(90, i32::try_from(vertices.len()).unwrap_or(i32::MAX));
        self.whole(70, i32::from(path.run.closed));
        for (at, bulge) in vertices {
            self.point(10, at);
            if bulge != 0.0 {
                self.number(42, bulge);
            }
        }
        if !path.deck.is_empty() {
            let field = path.field.as_deref().unwrap_or_default();
            self.text(1001, APPLICATION);
            self.text(1000, ascii(&format!("{} {field}", path.deck)).trim_end());
        }
    }

    fn objects(&mut self) {
        self.section("OBJECTS");
        self.text(0, "DICTIONARY");
        self.handle(5, handle::DICTIONARY);
        self.handle(330, 0);
        self.text(100, "AcDbDictionary");
        self.whole(281, 1);
        self.text(3, "ACAD_GROUP");
        self.handle(350, handle::GROUPS);
        self.text(0, "DICTIONARY");
        self.handle(5, handle::GROUPS);
        self.handle(330, handle::DICTIONARY);
        self.text(100, "AcDbDictionary");
        self.whole(281, 1);
        self.end_section();
    }
}

/// The layers a file uses, in their order.
pub(super) fn layers(file: &CutFile) -> Vec<CutLayer> {
    CutLayer::ALL
        .into_iter()
        .filter(|&layer| {
            file.paths.iter().any(|path| path.layer == layer)
                || layer == CutLayer::Text && !file.texts.is_empty()
        })
        .collect()
}

/// Index colours of DXF: 1 red, 2 yellow, 3 green, 4 cyan, 5 blue, 6 magenta, 7 black or white, 8 grey.
const fn colour(layer: CutLayer) -> i32 {
    match layer {
        CutLayer::PaintLine | CutLayer::Stencil | CutLayer::Field => 1,
        CutLayer::TapeFirst => 5,
        CutLayer::TapeReversed => 4,
        CutLayer::DeckEdge => 7,
        CutLayer::Opening => 6,
        CutLayer::Fitting => 30,
        CutLayer::Centreline | CutLayer::Text => 8,
        CutLayer::Registration => 3,
        CutLayer::WeedBox => 2,
    }
}

/// Decimals of a unit.
pub(super) const DECIMALS: usize = 9;

/// The one writer of numbers: nine decimals, a millionth of a micrometre, no trailing zeros, no minus zero, no exponent.
pub(super) fn number(value: f64) -> String {
    number::number(value, DECIMALS)
}

/// Text as any reader takes it: ASCII, everything else by its number.
fn ascii(text: &str) -> String {
    let mut out = String::new();
    for character in text.chars() {
        match character {
            ' '..='~' => out.push(character),
            control if control.is_control() => {}
            other => {
                let mut units = [0; 2];
                for unit in other.encode_utf16(&mut units) {
                    let _ = write!(out, "\\U+{unit:04X}");
                }
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_fine_enough_for_any_area_and_never_in_exponents() {
        assert_eq!(number(1234.5), "1234.5");
        assert_eq!(number(-1e-12), "0");
        assert_eq!(number(1.0 / 3.0), "0.333333333");
        assert_eq!(number(1e6), "1000000");
    }

    #[test]
    fn a_name_in_any_script_stays_in_ascii() {
        assert_eq!(ascii("F1 Größe\n"), "F1 Gr\\U+00F6\\U+00DFe");
    }
}
