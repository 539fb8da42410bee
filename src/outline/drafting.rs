//! Drawings in DXF: how large their units are, and what is drawn on a layer as closed rings. Comes in: the drawing as
//! read and what the layout says of it. Goes out: how it lies on the deck, and the rings asked for, joined from their
//! pieces; or what keeps them from closing, with places and handles.

use super::drawn::{FixedDrawing, Lie, asked};
use super::findings::Findings;
use super::{Warning, whereabouts};
use crate::import::dxf::{Joined, join};
use crate::import::{self, DrawnPath, ImportFault, Unread};
use crate::layout::{DrawingFile, Drawn, Fault, Fit, What};
use crate::shape::{BoundingBox, TOUCH, Transformation};
use crate::units::{Length, LengthUnit};

/// Of ends, layers and the like, this many are listed.
const LISTED: usize = 6;
/// Ends farther apart than this, millimetres, are not a gap but a piece that is missing.
const WIDEST: f64 = 50.0;

/// How a drawing in DXF lies on the deck: its x is the station and its y the distance to starboard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drafting {
    /// From its coordinates to the deck's.
    pub map: Transformation,
    /// Millimetres in one of its units.
    pub unit: f64,
    /// Who says so.
    pub unit_from: UnitFrom,
    /// Ends this near are joined.
    pub gap: Length,
}

/// Who says how large a drawing's units are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnitFrom {
    /// The drawing itself.
    Header,
    /// The layout.
    Layout,
}

impl Drafting {
    /// Finds how large a drawing's units are.
    pub(super) fn of(
        file: &DrawingFile,
        drawn: &import::Drawn,
        units: LengthUnit,
        warnings: &mut Vec<Warning>,
    ) -> Result<Self, Vec<Fault>> {
        let (said, gap) = match &file.fit {
            Fit::Coordinates { unit, gap } => (unit.map(LengthUnit::in_mm), *gap),
            _ => (None, Length::mm(0.05)),
        };
        let (unit, unit_from) = match (said, drawn.unit) {
            (Some(said), _) => (said, UnitFrom::Layout),
            (None, Some(unit)) => (unit, UnitFrom::Header),
            (None, None) => return Err(vec![unitless(file, drawn)]),
        };
        if let (Some(said), Some(header)) = (said, drawn.unit)
            && (said / header - 1.0).abs() > 1e-9
        {
            warnings.push(Warning {
                deck: String::new(),
                code: "drawing-units",
                message: format!(
                    "{} says that one of its units is {}, the layout says {}: the layout is followed",
                    file.file.value,
                    Length::mm(header).show(units),
                    Length::mm(said).show(units)
                ),
                place: Some(file.place),
                at: None,
            });
        }
        Ok(Self {
            map: Transformation::scale(unit, unit),
            unit,
            unit_from,
            gap,
        })
    }
}

/// The fault of a drawing whose units no one knows: its size shows which they are.
fn unitless(file: &DrawingFile, drawn: &import::Drawn) -> Fault {
    let bounds = drawn.paths.iter().flat_map(|path| &path.pieces).fold(
        BoundingBox::EMPTY,
        |mut bounds, piece| {
            bounds.include(piece.start());
            bounds.include(piece.end());
            bounds
        },
    );
    let long = bounds.width().max(bounds.height());
    let metres = |unit: f64| {
        let size = long * unit / 1000.0;
        if size < 10.0 {
            format!("{size:.3} m")
        } else {
            format!("{size:.1} m")
        }
    };
    let message = format!("{} does not say what its units are", file.file.value);
    let fault = Fault::new(file.file.place, message, "millimetres, inches, metres?");
    if long <= 0.0 {
        return fault.with_help("add units = \"mm\" (or cm, m, in, ft) here");
    }
    fault.with_help(format!(
        "what is drawn is {} long if its units are mm, {} if in, {} if ft, {} if m: add for example \
         units = \"mm\" here",
        metres(1.0),
        metres(25.4),
        metres(304.8),
        metres(1000.0)
    ))
}

/// What is asked of a drawing, as closed rings in its own coordinates; none and a fault where it does not close.
pub(super) fn joined(
    drawing: &FixedDrawing,
    drawn: &Drawn,
    findings: &mut Findings<'_>,
) -> Option<Vec<DrawnPath>> {
    let Lie::Drafted(drafting) = &drawing.lie else {
        return Some(Vec::new());
    };
    let chosen = match Chosen::of(&drawing.drawn, &drawn.what) {
        Ok(chosen) => chosen,
        Err(fault) => {
            findings.fault(drawing.told(&fault, drawn.place));
            return None;
        }
    };
    if !chosen.unread.is_empty() {
        for unread in chosen.unread.iter().take(LISTED) {
            findings.fault(drawing.told(&unread.fault, drawn.place));
        }
        return None;
    }
    let joined = join(&chosen.paths, drafting.gap.to_mm() / drafting.unit);
    let telling = Telling {
        drafting,
        drawn,
        chosen: &chosen,
        joined: &joined,
        units: findings.units(),
    };
    if let Some(fault) = telling.fault() {
        findings.fault(drawing.told(&fault, drawn.place));
        return None;
    }
    telling.warn(findings);
    if joined.rings.is_empty() {
        let line = chosen.paths.first().map_or(0, |path| path.line);
        let message = format!("{} is no larger than the gap that is closed", asked(drawn));
        let fault = ImportFault::new(line, 0, message, "nothing that could be a ring")
            .with_help("check `gap` and `units` of the drawing");
        findings.fault(drawing.told(&fault, drawn.place));
        return None;
    }
    Some(joined.rings)
}

/// What a drawing has of what is asked for.
struct Chosen<'d> {
    paths: Vec<&'d DrawnPath>,
    /// What should be among them, and could not be read.
    unread: Vec<&'d Unread>,
    /// What gives no outline.
    passed_over: Vec<&'d Unread>,
}

impl<'d> Chosen<'d> {
    fn of(drawn: &'d import::Drawn, what: &What) -> Result<Self, ImportFault> {
        let is_layer = matches!(what, What::Layer(_));
        let (What::Layer(name) | What::Handle(name) | What::Path(name)) = what;
        let wanted = name.value.to_uppercase();
        let is_wanted = |id: &Option<String>, layer: &Option<String>| {
            let own = if is_layer { layer } else { id };
            own.as_ref().is_some_and(|own| own.to_uppercase() == wanted)
        };
        let paths: Vec<&DrawnPath> = drawn
            .paths
            .iter()
            .filter(|path| is_wanted(&path.id, &path.layer))
            .collect();
        let (passed_over, unread): (Vec<&Unread>, Vec<&Unread>) = drawn
            .unread
            .iter()
            .filter(|one| is_wanted(&one.id, &one.layer))
            .partition(|one| one.only_by_name && (is_layer || !paths.is_empty()));
        if paths.is_empty() && unread.is_empty() {
            if let Some(first) = passed_over.first() {
                return Err(first.fault.clone());
            }
            return Err(if is_layer {
                no_layer(drawn, &name.value)
            } else {
                drawn
                    .with_id(&wanted)
                    .err()
                    .unwrap_or_else(|| no_layer(drawn, &name.value))
            });
        }
        Ok(Self {
            paths,
            unread,
            passed_over,
        })
    }
}

fn no_layer(drawn: &import::Drawn, name: &str) -> ImportFault {
    let mut layers: Vec<&str> = drawn
        .paths
        .iter()
        .filter_map(|path| path.layer.as_deref())
        .collect();
    layers.sort_unstable();
    layers.dedup();
    let shown: Vec<String> = layers
        .iter()
        .take(2 * LISTED)
        .map(|layer| format!("\"{layer}\""))
        .collect();
    let help = match shown.len() {
        0 => "there are no lines or curves in it at all".to_owned(),
        count if count < layers.len() => {
            format!(
                "it has {} and {} more",
                shown.join(", "),
                layers.len() - count
            )
        }
        _ => format!("it has {}", shown.join(", ")),
    };
    ImportFault::new(
        0,
        0,
        format!("the drawing has nothing on a layer \"{name}\""),
        "no such layer",
    )
    .with_help(help)
}

/// What is to be said of joining.
struct Telling<'a, 'd> {
    drafting: &'a Drafting,
    drawn: &'a Drawn,
    chosen: &'a Chosen<'d>,
    joined: &'a Joined,
    units: LengthUnit,
}

impl Telling<'_, '_> {
    fn at(&self, point: crate::shape::Point) -> String {
        whereabouts(point * self.drafting.unit, self.units)
    }

    /// What keeps it from closing.
    fn fault(&self) -> Option<ImportFault> {
        let asked = asked(self.drawn);
        if let Some(branch) = self.joined.branches.first() {
            let places: Vec<String> = self
                .joined
                .branches
                .iter()
                .take(LISTED)
                .map(|branch| {
                    if branch.ids.is_empty() {
                        self.at(branch.at)
                    } else {
                        format!(
                            "{} (entities {})",
                            self.at(branch.at),
                            branch.ids.join(", ")
                        )
                    }
                })
                .collect();
            let message = format!(
                "{asked} branches: three or more ends meet at {}{}",
                places.join("; at "),
                more(self.joined.branches.len())
            );
            return Some(
                ImportFault::new(branch.line, 0, message, "which way does it go on?").with_help(
                    "move what is no part of the ring to another layer, or ask for one closed polyline by its handle",
                ),
            );
        }
        let loose = &self.joined.loose;
        let first = loose.first()?;
        let places: Vec<String> = loose
            .iter()
            .take(LISTED)
            .map(|end| {
                let entity = end.id.as_ref();
                let entity = entity.map_or_else(String::new, |id| format!(" (entity {id})"));
                let on = end.on.and_then(|number| self.chosen.paths.get(number));
                let on = on.map_or_else(String::new, |path| {
                    path.id.as_ref().map_or_else(
                        || format!(", in the course of what begins in line {}", path.line),
                        |id| format!(", in the course of entity {id}"),
                    )
                });
                format!("{}{entity}{on}", self.at(end.at))
            })
            .collect();
        let message = format!(
            "{asked} does not close: loose ends at {}{}",
            places.join("; at "),
            more(loose.len())
        );
        Some(ImportFault::new(first.line, 0, message, "ends in the open").with_help(self.advice()))
    }

    /// What to do about loose ends.
    fn advice(&self) -> String {
        let widest = self
            .joined
            .loose
            .iter()
            .filter_map(|end| end.nearest)
            .fold(0.0, f64::max)
            * self.drafting.unit;
        if self.joined.loose.iter().any(|end| end.on.is_some()) {
            return "an end in the course of something is a T-junction: move what is no part of the ring to another \
                    layer, or trim it"
                .to_owned();
        }
        if widest <= 0.0 || widest > WIDEST {
            return "draw the piece that is missing, or move what is no part of the ring to another layer".to_owned();
        }
        // Rounded up to what a person would write.
        let step = if widest < 0.1 { 0.01 } else { 0.1 };
        let gap = (widest / step + 1e-6).ceil() * step;
        let decimals = if widest < 0.1 { 2 } else { 1 };
        format!(
            "these ends are up to {widest:.3} mm apart: gap = \"{gap:.decimals$} mm\" in [[drawing]] would join them; or \
             close it in the program that drew it"
        )
    }

    /// Warnings of what was moved and left out.
    fn warn(&self, findings: &mut Findings<'_>) {
        let Some(first) = self.joined.rings.first() else {
            return;
        };
        let at = first.pieces[0].start() * self.drafting.unit;
        let (asked, place) = (asked(self.drawn), self.drawn.place);
        let widest = self.joined.widest * self.drafting.unit;
        if widest > TOUCH {
            let message = format!(
                "{asked}: ends in {} were up to {widest:.3} mm apart and have been joined",
                counted(self.joined.moved, "place", "places")
            );
            findings.warn("drawing-ends-joined", message, place, at);
        }
        if !self.joined.duplicates.is_empty() {
            let lines: Vec<String> = self
                .joined
                .duplicates
                .iter()
                .take(LISTED)
                .map(usize::to_string)
                .collect();
            let message = format!(
                "{asked}: {} twice, and left out once (line {}{} of the drawing)",
                counted(
                    self.joined.duplicates.len(),
                    "thing is drawn",
                    "things are drawn"
                ),
                lines.join(", "),
                more(self.joined.duplicates.len())
            );
            findings.warn("drawing-duplicates", message, place, at);
        }
        if let Some(passed_over) = self.chosen.passed_over.first() {
            let message = format!(
                "{asked}: {} no outline (lettering, dimensions and the like), the first in line {} of \
                 the drawing",
                counted(
                    self.chosen.passed_over.len(),
                    "thing is left out that gives",
                    "things are left out that give"
                ),
                passed_over.fault.line
            );
            findings.warn("drawing-left-out", message, place, at);
        }
    }
}

fn counted(count: usize, one: &str, several: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { several })
}

fn more(count: usize) -> String {
    match count.saturating_sub(LISTED) {
        0 => String::new(),
        more => format!(" and {more} more"),
    }
}
