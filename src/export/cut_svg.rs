//! A cutter's file as SVG at full size: one user unit is a millimetre of the deck, arcs stay arcs, one group a layer, every
//! line a hairline, nothing filled. Presentation attributes only. Comes in: a [`CutFile`]. Goes out: the file's text, the same
//! bytes for the same input.
//!
//! The bow is left and starboard up, as on all drawings; the origin is the upper left corner of the sheet.

use std::f64::consts::PI;
use std::fmt::Write;

use super::dxf::{DECIMALS, layers, number};
use super::font::FAMILY;
use super::svg::escaped;
use super::svg_path::PathData;
use crate::drawing::{CAPITAL_SHARE, CutFile, CutLayer, Text};
use crate::shape::Point;

/// Blank round everything, millimetres.
const MARGIN: f64 = 5.0;
/// Width of a line, millimetres.
const HAIRLINE: f64 = 0.1;

/// The file as SVG.
#[must_use]
pub fn cut_svg(file: &CutFile) -> String {
    let bounds = file.bounding_box().grown(MARGIN);
    let mut writer = Writer {
        out: String::with_capacity(64 * 1024),
        corner: Point::new(bounds.least.x, bounds.greatest.y),
    };
    let data = PathData {
        corner: writer.corner,
        decimals: DECIMALS,
        most_turn: PI / 2.0,
    };
    let (width, height) = (number(bounds.width()), number(bounds.height()));
    // Writing to a String cannot fail.
    let _ = writeln!(
        writer.out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" \
         viewBox=\"0 0 {width} {height}\" fill=\"none\" stroke-width=\"{HAIRLINE}\">\n<title>{}</title>",
        escaped(&file.title),
    );
    for layer in layers(file) {
        let _ = writeln!(
            writer.out,
            "<g id=\"{}\" stroke=\"{}\">",
            layer.name(),
            colour(layer)
        );
        for (number, path) in (1..).zip(file.paths.iter().filter(|path| path.layer == layer)) {
            let _ = write!(writer.out, "<path id=\"{}-{number}\"", layer.name());
            if !path.deck.is_empty() {
                let _ = write!(writer.out, " data-deck=\"{}\"", escaped(&path.deck));
            }
            if let Some(field) = &path.field {
                let _ = write!(writer.out, " data-field=\"{}\"", escaped(field));
            }
            writer.out.push_str(" d=\"");
            data.write(&path.run, &mut writer.out);
            writer.out.push_str("\"/>\n");
        }
        if layer == CutLayer::Text {
            for text in &file.texts {
                writer.text(text);
            }
        }
        writer.out.push_str("</g>\n");
    }
    writer.out.push_str("</svg>\n");
    writer.out
}

struct Writer {
    out: String,
    /// The place on the deck that the sheet's upper left corner lies on.
    corner: Point,
}

impl Writer {
    fn text(&mut self, text: &Text) {
        let start = text.start();
        let (x, y) = (start.x - self.corner.x, self.corner.y - start.y);
        let _ = writeln!(
            self.out,
            "<text x=\"{}\" y=\"{}\" font-family=\"{FAMILY}\" font-size=\"{}\" textLength=\"{}\">{}</text>",
            number(x),
            number(y),
            number(text.height / CAPITAL_SHARE),
            number(text.width()),
            escaped(&text.content)
        );
    }
}

/// Cutters tell lines apart by their colours.
const fn colour(layer: CutLayer) -> &'static str {
    match layer {
        CutLayer::PaintLine | CutLayer::Stencil | CutLayer::Field => "#ff0000",
        CutLayer::TapeFirst => "#0000ff",
        CutLayer::TapeReversed => "#0090c0",
        CutLayer::DeckEdge => "#000000",
        CutLayer::Opening => "#c000c0",
        CutLayer::Fitting => "#e07000",
        CutLayer::Centreline | CutLayer::Text => "#808080",
        CutLayer::Registration => "#00a000",
        CutLayer::WeedBox => "#b0a000",
    }
}
