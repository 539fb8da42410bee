//! A layout file, and what must come out of it.

use std::fs;
use std::path::Path;

use serde::Deserialize;
use spile::figures::Figures;
use spile::layout::{self, Sources};

use crate::formula::Names;
use crate::shapes::Number;
use crate::{NOTHING, SECONDS, Task, is_near};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    deck: Vec<Case>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    name: String,
    #[serde(default)]
    given: Vec<(String, Number)>,
    /// The layout's text; `title` and the first `[[deck]]` stand before it.
    layout: String,
    /// Text said over and over behind it.
    #[serde(default)]
    many: Vec<Many>,
    expect: Expect,
    tolerance: Option<Number>,
    seconds: Option<f64>,
    awaiting: Option<String>,
}

/// `text` for every column and row, `{i}` and `{j}` in it counted from 0, `{x}` and `{y}` the place.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Many {
    text: String,
    columns: u32,
    rows: u32,
    from: [f64; 2],
    pitch: [f64; 2],
}

/// Areas in mm², lengths in mm, of all decks together.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct Expect {
    /// A part of the message with which the layout is refused.
    fault: Option<String>,
    deck: Option<Number>,
    field: Option<Number>,
    border: Option<Number>,
    openings: Option<Number>,
    fittings: Option<Number>,
    /// Of all fields.
    perimeter: Option<Number>,
    /// How many fields.
    fields: Option<usize>,
    /// Rings of all fields.
    rings: Option<usize>,
    /// Of the field that is nearest to something.
    clearance: Option<Number>,
    /// Tape that makes the paint line: first pass, reversed pass.
    line_tape: Option<[Number; 2]>,
    /// Codes of warnings that must be there; an empty list: no warning at all.
    warnings: Option<Vec<String>>,
}

/// The cases of a file.
pub(crate) fn tasks(path: &Path) -> Vec<Task> {
    let text = fs::read_to_string(path).expect("a data file");
    let file: File = match toml::from_str(&text) {
        Ok(file) => file,
        Err(why) => return vec![Task::unreadable(path, &why)],
    };
    file.deck
        .into_iter()
        .map(|case| Task {
            name: case.name.clone(),
            awaiting: case.awaiting.clone(),
            seconds: case.seconds.unwrap_or(SECONDS),
            run: Box::new(move || case.run()),
        })
        .collect()
}

impl Case {
    fn text(&self) -> String {
        let mut text = format!("title = \"t\"\n[[deck]]\nid = \"d\"\n{}", self.layout);
        for many in &self.many {
            for row in 0..many.rows {
                for column in 0..many.columns {
                    let at = [column, row].map(f64::from);
                    let [x, y] = [0, 1].map(|axis| many.from[axis] + at[axis] * many.pitch[axis]);
                    text.push('\n');
                    text.push_str(
                        &many
                            .text
                            .replace("{i}", &column.to_string())
                            .replace("{j}", &row.to_string())
                            .replace("{x}", &x.to_string())
                            .replace("{y}", &y.to_string()),
                    );
                }
            }
        }
        text
    }

    fn run(&self) -> Result<(), String> {
        let mut names = Names::new();
        for (name, number) in &self.given {
            let value = number.value(&names)?;
            names.insert(name.clone(), value);
        }
        let text = self.text();
        let job = match layout::read(&text)
            .and_then(|layout| spile::work_out(layout, &Sources::default()))
        {
            Ok(job) => job,
            Err(faults) => {
                let shown = layout::render_faults("case.toml", &text, &faults);
                return match &self.expect.fault {
                    Some(part) if shown.contains(part) => Ok(()),
                    _ => Err(shown),
                };
            }
        };
        if let Some(part) = &self.expect.fault {
            return Err(format!("it was not refused with `{part}`"));
        }
        self.judge(&names, &Figures::of(&job))
    }

    fn judge(&self, names: &Names, figures: &Figures) -> Result<(), String> {
        let expect = &self.expect;
        let tolerance = match &self.tolerance {
            Some(tolerance) => tolerance.value(names)?,
            None => 1e-9,
        };
        let mut wrong = Vec::new();
        let areas = figures.areas();
        let fields = || figures.decks.iter().flat_map(|deck| &deck.fields);
        let tape = expect
            .line_tape
            .clone()
            .map(|[first, reversed]| (Some(first), Some(reversed)));
        let (first, reversed) = tape.unwrap_or_default();
        for (what, found, wanted) in [
            ("deck", areas.deck.to_mm2(), &expect.deck),
            ("field", areas.field.to_mm2(), &expect.field),
            ("border", areas.border.to_mm2(), &expect.border),
            ("openings", areas.openings.to_mm2(), &expect.openings),
            ("fittings", areas.fittings.to_mm2(), &expect.fittings),
            (
                "perimeter",
                fields().map(|field| field.perimeter.to_mm()).sum(),
                &expect.perimeter,
            ),
            (
                "clearance",
                fields()
                    .map(|field| field.clearance.to_mm())
                    .fold(f64::INFINITY, f64::min),
                &expect.clearance,
            ),
            (
                "tape of the first pass",
                figures.first().line_tape.length.to_mm(),
                &first,
            ),
            (
                "tape of the reversed pass",
                figures.reversed().line_tape.length.to_mm(),
                &reversed,
            ),
        ] {
            let Some(wanted) = wanted else { continue };
            let wanted = wanted.value(names)?;
            if !is_near(found, wanted, tolerance * wanted.abs() + NOTHING) {
                let off = found - wanted;
                wrong.push(format!("{what} {found}, not {wanted} ({off:.1e} off)"));
            }
        }
        let rings = fields().map(|field| field.rings).sum();
        for (what, found, wanted) in [
            ("fields", fields().count(), expect.fields),
            ("rings", rings, expect.rings),
        ] {
            if let Some(wanted) = wanted
                && wanted != found
            {
                wrong.push(format!("{found} {what}, not {wanted}"));
            }
        }
        if !areas.closes() {
            wrong.push(format!("the areas leave {} mm²", areas.closure().to_mm2()));
        }
        if let Some(codes) = &expect.warnings {
            let said: Vec<&str> = figures
                .warnings
                .iter()
                .map(|warning| warning.code)
                .collect();
            let missing: Vec<&String> = codes
                .iter()
                .filter(|code| !said.contains(&code.as_str()))
                .collect();
            if !missing.is_empty() || codes.is_empty() && !said.is_empty() {
                wrong.push(format!("warnings {said:?}, not {codes:?}"));
            }
        }
        if wrong.is_empty() {
            Ok(())
        } else {
            Err(wrong.join("; "))
        }
    }
}
