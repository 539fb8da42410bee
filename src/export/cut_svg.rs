//! A cutter's file as SVG at full size: one user unit is a millimetre of the deck, arcs stay arcs, one group a layer, every
//! line a hairline, nothing filled. Presentation attributes only. Comes in: a [`CutFile`]. Goes out: the file's text, the same
//! bytes for the same input.
//!
//! The bow is left and starboard up, as on all drawings; the origin is the upper left corner of the sheet.

use std::f64::consts::PI;
use std::fmt::Write;

use super::dxf::{layers, number};
use super::font::FAMILY;
use super::svg::escaped;
use crate::drawing::{CAPITAL_SHARE, CutFile, CutLayer, Run, Text};
use crate::shape::{Point, Segment};

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
            writer.run(&path.run);
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
    fn run(&mut self, run: &Run) {
        let Some(first) = run.segments.first() else {
            return;
        };
        self.command('M', first.start());
        let last = run.segments.len() - 1;
        for (index, segment) in run.segments.iter().enumerate() {
            match segment {
                Segment::Line(..) if run.closed && index == last => {}
                Segment::Line(_, end) => self.command('L', *end),
                // Halves, so that the radius is never what places the centre across a diameter.
                Segment::Arc(arc) if arc.sweep.abs() > PI / 2.0 => {
                    let parts = if arc.sweep.abs() > PI { 4 } else { 2 };
                    for part in 1..=parts {
                        let share = f64::from(part) / f64::from(parts);
                        let end = if part == parts {
                            arc.end
                        } else {
                            segment.point_at(share)
                        };
                        self.arc(arc.radius, arc.sweep, end);
                    }
                }
                Segment::Arc(arc) => self.arc(arc.radius, arc.sweep, arc.end),
            }
        }
        if run.closed {
            self.out.push('Z');
        }
    }

    fn arc(&mut self, radius: f64, sweep: f64, end: Point) {
        let radius = number(radius);
        // Counter-clockwise as drawn is SVG's negative direction.
        let flag = u8::from(sweep < 0.0);
        let _ = write!(self.out, "A{radius} {radius} 0 0 {flag} ");
        self.point(end);
    }

    fn command(&mut self, letter: char, point: Point) {
        self.out.push(letter);
        self.point(point);
    }

    fn point(&mut self, point: Point) {
        let (x, y) = (point.x - self.corner.x, self.corner.y - point.y);
        let _ = write!(self.out, "{} {}", number(x), number(y));
    }

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
