//! Reads the drawings that outlines and shapes are taken from, and what is taken from which.

use super::super::table::{Reading, Table, nearest, shown};
use super::super::{DrawingFile, DrawingFormat, Fault, Place, Placed, What};

/// All drawings of the layout, in the file's order.
pub(super) fn drawings<'t>(reading: &mut Reading<'t>, layout: &Table<'t>) -> Vec<DrawingFile> {
    let mut drawings = Vec::new();
    for table in reading.tables(layout, "drawing") {
        let Some(file) = reading.line(&table, "file") else {
            continue;
        };
        let ending = file.value.rsplit('.').next().unwrap_or_default();
        let format = if ending.eq_ignore_ascii_case("svg") {
            DrawingFormat::Svg
        } else if ending.eq_ignore_ascii_case("dxf") {
            DrawingFormat::Dxf
        } else {
            reading.report(
                Fault::new(
                    file.place,
                    format!("\"{}\" is no drawing that can be read", shown(&file.value)),
                    "neither .svg nor .dxf",
                )
                .with_help("save the drawing as SVG or as DXF (text, not binary)"),
            );
            continue;
        };
        if reading
            .drawings
            .iter()
            .any(|(known, _)| *known == file.value)
        {
            reading.report(
                Fault::new(
                    file.place,
                    format!("\"{}\" is given twice", shown(&file.value)),
                    "this drawing again",
                )
                .with_help("one [[drawing]] serves all decks and shapes"),
            );
            continue;
        }
        reading.drawings.push((file.value.clone(), format));
        drawings.push(DrawingFile {
            file,
            format,
            place: table.place,
        });
    }
    drawings
}

impl Reading<'_> {
    /// The number of the drawing that something is taken from.
    pub(super) fn drawing(
        &mut self,
        file: Option<&Placed<String>>,
        what: &What,
        place: Place,
    ) -> Option<usize> {
        let fault = match (file, self.drawings.as_slice()) {
            (None, []) => Fault::new(place, "this layout has no drawing", "drawn where?")
                .with_help("add [[drawing]] with file = \"...\""),
            (None, [_]) => return self.fits(0, what),
            (None, [(first, _), ..]) => Fault::new(
                place,
                "this layout has several drawings",
                "drawn in which of them?",
            )
            .with_help(format!("add for example file = \"{first}\"")),
            (Some(file), drawings) => {
                if let Some(number) = drawings.iter().position(|(name, _)| *name == file.value) {
                    return self.fits(number, what);
                }
                let names = || drawings.iter().map(|(name, _)| name.as_str());
                let help = match nearest(&file.value, names()) {
                    Some(near) => format!("did you mean \"{near}\"?"),
                    None => "add [[drawing]] with this file".to_owned(),
                };
                Fault::new(
                    file.place,
                    format!("no [[drawing]] has the file \"{}\"", shown(&file.value)),
                    "not a drawing of this layout",
                )
                .with_help(help)
            }
        };
        self.report(fault);
        None
    }

    /// The same number, if a drawing of its format can be asked for this.
    fn fits(&mut self, number: usize, what: &What) -> Option<usize> {
        let (file, format) = self.drawings.get(number)?;
        let (key, place, fits, help) = match what {
            What::Path(id) => (
                "path",
                id.place,
                *format == DrawingFormat::Svg,
                "write layer = \"...\" or handle = \"...\"",
            ),
            What::Layer(name) => (
                "layer",
                name.place,
                *format == DrawingFormat::Dxf,
                "write path = \"...\", the id of what is drawn",
            ),
            What::Handle(handle) => (
                "handle",
                handle.place,
                *format == DrawingFormat::Dxf,
                "write path = \"...\", the id of what is drawn",
            ),
        };
        if fits {
            return Some(number);
        }
        let fault = Fault::new(
            place,
            format!("`{key}` means nothing in {file}"),
            match format {
                DrawingFormat::Svg => "this drawing is an SVG",
                DrawingFormat::Dxf => "this drawing is a DXF",
            },
        )
        .with_help(help);
        self.report(fault);
        None
    }
}
