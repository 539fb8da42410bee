//! Reads the drawings that outlines and shapes are taken from, and what is taken from which.

use super::super::table::{Reading, Table, nearest, shown};
use super::super::{
    Bow, DrawingFile, DrawingFormat, DrawnMark, Fault, Fit, KnownDistance, Place, Placed, What,
};

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
        if let Some(fit) = fit(reading, &table, format) {
            drawings.push(DrawingFile {
                file,
                format,
                fit,
                place: table.place,
            });
        }
    }
    drawings
}

/// Marks beyond this number are no one's work.
const MOST_MARKS: usize = 200;

/// How a drawing lies on the deck; none where that is at fault.
fn fit<'t>(reading: &mut Reading<'t>, table: &Table<'t>, format: DrawingFormat) -> Option<Fit> {
    if format == DrawingFormat::Dxf {
        for name in ["scale", "bow", "origin", "marks"] {
            if table.get(name).is_some() {
                reading.report(
                    Fault::new(
                        table.place_of(name),
                        format!("`{name}` is for an SVG; a DXF lies as its coordinates say"),
                        "means nothing for a DXF",
                    )
                    .with_help("delete it"),
                );
            }
        }
        let unit = match table.get("units") {
            Some(_) => Some(super::unit(reading.word(table, "units")?)),
            None => None,
        };
        let gap = reading.length(table, "gap")?.value;
        return Some(Fit::Coordinates { unit, gap });
    }
    for name in ["units", "gap"] {
        if table.get(name).is_some() {
            reading.report(
                Fault::new(
                    table.place_of(name),
                    format!("`{name}` is for a DXF; an SVG is scaled by `scale` or `marks`"),
                    "means nothing for an SVG",
                )
                .with_help("delete it"),
            );
        }
    }
    if table.get("marks").is_some() {
        return marks(reading, table).map(Fit::Marks);
    }
    let bow = match reading.word(table, "bow") {
        Some("right") => Bow::Right,
        Some("up") => Bow::Up,
        Some("down") => Bow::Down,
        _ => Bow::Left,
    };
    let origin = reading.spot(table, "origin");
    let scale = if table.get("scale").is_some() {
        Some(known_distance(reading, table)?)
    } else {
        None
    };
    Some(Fit::Scaled { scale, bow, origin })
}

fn known_distance<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<KnownDistance> {
    let table = reading.table(table, "scale")?;
    let (from, to) = (reading.spot(&table, "from"), reading.spot(&table, "to"));
    let length = reading.length(&table, "length");
    Some(KnownDistance {
        from: from?,
        to: to?,
        length: length?,
    })
}

fn marks<'t>(reading: &mut Reading<'t>, table: &Table<'t>) -> Option<Vec<DrawnMark>> {
    for name in ["scale", "bow", "origin"] {
        if table.get(name).is_some() {
            reading.report(
                Fault::new(
                    table.place_of(name),
                    format!("`{name}` beside `marks`: the marks say how the drawing lies"),
                    "said twice",
                )
                .with_mention(table.place_of("marks"), "the marks")
                .with_help(format!("delete `{name}`, or the marks")),
            );
        }
    }
    let opened = reading.tables(table, "marks");
    let place = table.place_of("marks");
    let count = opened.len();
    if !(2..=MOST_MARKS).contains(&count) {
        let (message, label) = if count < 2 {
            ("a drawing needs two marks at least", "too few")
        } else {
            ("a drawing has 200 marks at most", "too many")
        };
        reading.report(Fault::new(place, message, label).with_help(
            "two marks scale a drawing, four rectify a photograph, six or more also check each other",
        ));
        return None;
    }
    let mut marks: Vec<DrawnMark> = Vec::new();
    for mark in &opened {
        let drawn = reading.spot(mark, "drawn");
        let at = reading.position(mark, "at");
        if let (Some(drawn), Some(at)) = (drawn, at) {
            marks.push(DrawnMark {
                drawn,
                at,
                place: mark.place,
            });
        }
    }
    (marks.len() == count).then_some(marks)
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
