//! A drawing as SVG at true scale: one user unit is a millimetre of paper, arcs stay arcs, text stays
//! text with its width fixed from the font's own metrics. Presentation attributes only, so that it shows
//! under a strict content security policy.

use std::f64::consts::PI;
use std::fmt::Write;

use super::font::FAMILY;
use super::number;
use super::svg_path::PathData;
use crate::drawing::{CAPITAL_SHARE, Drawing, Fill, Layer, Mark, Path, Text, Weight};
use crate::shape::Point;

/// The drawing as the text of an SVG file; the same drawing gives the same bytes.
#[must_use]
pub fn svg(drawing: &Drawing) -> String {
    let mut writer = Writer {
        out: String::with_capacity(64 * 1024),
        height: drawing.height,
    };
    let (width, height) = (number(drawing.width), number(drawing.height));
    // Writing to a String cannot fail.
    let _ = writeln!(
        writer.out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" \
         viewBox=\"0 0 {width} {height}\" font-family=\"{FAMILY}\" fill=\"none\" stroke=\"none\" \
         stroke-linejoin=\"round\">\n<title>{}</title>\n<desc>{}</desc>\n\
         <rect width=\"{width}\" height=\"{height}\" fill=\"#ffffff\"/>",
        escaped(&drawing.title),
        escaped(&drawing.description),
    );
    let mut open: Option<Layer> = None;
    for mark in &drawing.marks {
        let layer = match mark {
            Mark::Path(path) => path.layer,
            Mark::Text(text) => text.layer,
        };
        if open != Some(layer) {
            if open.is_some() {
                writer.out.push_str("</g>\n");
            }
            let _ = writeln!(writer.out, "<g class=\"{}\">", layer.name());
            open = Some(layer);
        }
        match mark {
            Mark::Path(path) => writer.path(path),
            Mark::Text(text) => writer.text(text),
        }
    }
    if open.is_some() {
        writer.out.push_str("</g>\n");
    }
    writer.out.push_str("</svg>\n");
    writer.out
}

struct Writer {
    out: String,
    height: f64,
}

impl Writer {
    fn path(&mut self, path: &Path) {
        self.out.push_str("<path d=\"");
        let data = PathData {
            corner: Point::new(0.0, self.height),
            decimals: DECIMALS,
            most_turn: 0.9 * PI,
        };
        for run in &path.runs {
            data.write(run, &mut self.out);
        }
        self.out.push('"');
        if let Fill::Grey(level) = path.fill {
            let _ = write!(
                self.out,
                " fill=\"#{level:02x}{level:02x}{level:02x}\" fill-rule=\"evenodd\""
            );
        }
        if let Some(pen) = path.pen {
            let _ = write!(
                self.out,
                " stroke=\"#000000\" stroke-width=\"{}\"",
                number(pen.width)
            );
            let pattern: Vec<String> = pen.dash.pattern().iter().map(|&one| number(one)).collect();
            if !pattern.is_empty() {
                let _ = write!(self.out, " stroke-dasharray=\"{}\"", pattern.join(" "));
            }
        }
        self.out.push_str("/>\n");
    }

    fn text(&mut self, text: &Text) {
        if text.content.is_empty() {
            return;
        }
        let start = text.start();
        let (x, y) = (number(start.x), number(self.height - start.y));
        let _ = write!(
            self.out,
            "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\" fill=\"#000000\" textLength=\"{}\"",
            number(text.height / CAPITAL_SHARE),
            number(text.width())
        );
        if text.weight == Weight::Bold {
            self.out.push_str(" font-weight=\"bold\"");
        }
        if text.turn != 0.0 {
            let degrees = number(-text.turn.to_degrees());
            let _ = write!(self.out, " transform=\"rotate({degrees} {x} {y})\"");
        }
        let _ = writeln!(self.out, ">{}</text>", escaped(&text.content));
    }
}

/// Decimals of a millimetre of paper.
const DECIMALS: usize = 3;

fn number(value: f64) -> String {
    number::number(value, DECIMALS)
}

/// Text as XML 1.0 takes it: markup escaped, characters it forbids left out.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\u{fffe}' | '\u{ffff}' => {}
            control if control.is_control() => {}
            plain => out.push(plain),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_three_decimals_at_most_and_no_minus_zero() {
        assert_eq!(number(1.0), "1");
        assert_eq!(number(-0.0001), "0");
        assert_eq!(number(12.3456), "12.346");
        assert_eq!(number(100.0), "100");
    }

    #[test]
    fn markup_in_a_name_stays_text() {
        assert_eq!(
            escaped("<script>\"&\u{7}\u{ffff}"),
            "&lt;script&gt;&quot;&amp;"
        );
    }
}
