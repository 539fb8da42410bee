//! Drawings inside the report: the same marks as in their files, written shorter, for a screen and a page's width rather
//! than for a scale. What has the same pen stands in one path; fields can be pointed at.

use std::fmt::Write;

use super::super::font::FAMILY;
use super::super::number::number;
use super::super::svg::escaped;
use super::html::Html;
use super::short_path::ShortPath;
use crate::drawing::{CAPITAL_SHARE, Drawing, Fill, Mark, Path, Text, Weight};

/// Decimals of a millimetre of paper: finer than a printer.
const DECIMALS: usize = 2;

/// What a field is called in the page: in the drawing and in its row.
pub(super) fn name_of(deck: &str, field: &str) -> String {
    format!("{deck} {field}")
}

impl Html {
    /// A drawing that can be made larger and moved. One whose fields can be pointed at stays in sight while their rows
    /// are read.
    pub(super) fn drawing(&mut self, drawing: &Drawing) {
        let has_fields = drawing
            .marks
            .iter()
            .any(|mark| matches!(mark, Mark::Path(path) if path.field.is_some()));
        let (class, hint) = if has_fields {
            (
                " class=\"held\"",
                " <span class=\"screen\">Point at a field and its row is marked, or the other way about; a click keeps it \
                 so.</span>",
            )
        } else {
            ("", "")
        };
        let id = self.id("viewer");
        self.raw(&format!(
            "<figure{class}>\n<div class=\"tools\" role=\"group\" aria-label=\"Size of the drawing\">"
        ));
        for (way, name) in [
            ("larger", "Larger"),
            ("smaller", "Smaller"),
            ("whole", "Whole sheet"),
        ] {
            self.raw(&format!(
                "<button type=\"button\" data-zoom=\"{way}\" aria-controls=\"{id}\">{name}</button>"
            ));
        }
        self.raw(&format!(
            "</div>\n<div class=\"viewer\" id=\"{id}\" tabindex=\"0\" role=\"group\" aria-label=\"Drawing: plus and minus \
             change its size, arrows move it, 0 shows the whole sheet\">"
        ));
        self.raw(&svg(drawing, "group"));
        self.raw("</div>\n<figcaption>");
        self.text(&format!("{}.", drawing.description));
        self.raw(hint);
        self.raw("</figcaption>\n</figure>\n");
    }

    /// A drawing that is no more than a picture.
    pub(super) fn picture(&mut self, drawing: &Drawing) {
        self.raw("<figure>\n");
        self.raw(&svg(drawing, "img"));
        self.raw("</figure>\n");
    }
}

/// The drawing as an element.
fn svg(drawing: &Drawing, role: &str) -> String {
    let short = |value| number(value, DECIMALS);
    let mut out = format!(
        "<svg class=\"drawing\" xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {}\" role=\"{role}\" \
         aria-label=\"{}\" font-family=\"{FAMILY}\" fill=\"none\" stroke=\"none\" stroke-linejoin=\"round\">\n",
        short(drawing.width),
        short(drawing.height),
        escaped(&drawing.description),
    );
    let mut writer = Writer {
        out: &mut out,
        height: drawing.height,
        open: None,
        pending: None,
        data: ShortPath::new(drawing.height),
    };
    for mark in &drawing.marks {
        match mark {
            Mark::Path(path) => writer.path(path),
            Mark::Text(text) => writer.text(text),
        }
    }
    writer.close();
    out.push_str("</svg>\n");
    out
}

struct Writer<'a> {
    out: &'a mut String,
    height: f64,
    /// Whether a group is open, and whether it holds fields.
    open: Option<bool>,
    /// Lines whose path is not closed yet, since more with the same pen may follow.
    pending: Option<String>,
    data: ShortPath,
}

impl Writer<'_> {
    /// Opens a group for fields, or for all else, which those who hear the page are spared.
    fn group(&mut self, is_of_fields: bool) {
        if self.open == Some(is_of_fields) {
            return;
        }
        self.close();
        self.out.push_str(if is_of_fields {
            "<g>\n"
        } else {
            "<g aria-hidden=\"true\">\n"
        });
        self.open = Some(is_of_fields);
    }

    fn close(&mut self) {
        self.end_path();
        if self.open.take().is_some() {
            self.out.push_str("</g>\n");
        }
    }

    fn end_path(&mut self) {
        if let Some(attributes) = self.pending.take() {
            let _ = writeln!(self.out, "\"{attributes}/>");
        }
    }

    fn path(&mut self, path: &Path) {
        self.group(path.field.is_some());
        let attributes = attributes(path);
        // Tints may overlap, and fields are apart from each other.
        let goes_on = path.fill == Fill::None
            && path.field.is_none()
            && self.pending.as_ref() == Some(&attributes);
        if !goes_on {
            self.end_path();
            self.out.push_str("<path d=\"");
            self.data = ShortPath::new(self.height);
        }
        for run in &path.runs {
            self.data.run(run, self.out);
        }
        self.pending = Some(attributes);
        if path.field.is_some() {
            self.end_path();
        }
    }

    fn text(&mut self, text: &Text) {
        if text.content.is_empty() {
            return;
        }
        self.group(false);
        self.end_path();
        let short = |value| number(value, DECIMALS);
        let start = text.start();
        let (x, y) = (short(start.x), short(self.height - start.y));
        let _ = write!(
            self.out,
            "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\" textLength=\"{}\"",
            short(text.height / CAPITAL_SHARE),
            short(text.width())
        );
        if text.weight == Weight::Bold {
            self.out.push_str(" font-weight=\"bold\"");
        }
        if text.turn != 0.0 {
            let degrees = short(-text.turn.to_degrees());
            let _ = write!(self.out, " transform=\"rotate({degrees} {x} {y})\"");
        }
        let _ = writeln!(self.out, ">{}</text>", escaped(&text.content));
    }
}

/// What stands in a path's element behind its data.
fn attributes(path: &Path) -> String {
    let mut said = String::new();
    if let Fill::Grey(level) = path.fill {
        let _ = write!(
            said,
            " fill=\"#{level:02x}{level:02x}{level:02x}\" fill-rule=\"evenodd\""
        );
    }
    if let Some(pen) = path.pen {
        let _ = write!(
            said,
            " stroke=\"#000\" stroke-width=\"{}\"",
            number(pen.width, 3)
        );
        let pattern: Vec<String> = pen
            .dash
            .pattern()
            .iter()
            .map(|&one| number(one, 3))
            .collect();
        if !pattern.is_empty() {
            let _ = write!(said, " stroke-dasharray=\"{}\"", pattern.join(" "));
        }
    }
    if let Some(field) = &path.field {
        let name = escaped(&name_of(&field.deck, &field.id));
        let title = escaped(&format!("{}, field {}", field.deck_title, field.id));
        let _ = write!(
            said,
            " fill-rule=\"evenodd\" data-of=\"{name}\" tabindex=\"0\" role=\"button\" aria-pressed=\"false\" aria-label=\"{title}\""
        );
    }
    said
}
