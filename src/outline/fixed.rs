//! What a whole file's decks are measured from: where its named points lie, and its drawings as they lie on
//! the deck. Comes in: a layout and the files it names. Goes out: [`Fixed`], which every deck is then traced
//! with, or the faults that keep it from being found.

use super::drafting::Drafting;
use super::drawn::{Bytes, told};
use super::ties::{self, Named, Surveyed};
use super::tracing::{Laying, Tracing};
use super::{FixedDrawing, Warning};
use crate::import;
use crate::layout::{DrawingFile, DrawingFormat, Fault, Layout, Position, Sources};
use crate::shape::Point;
use crate::units::LengthUnit;

/// Points and drawings of a layout where they lie on the deck.
#[derive(Debug, Clone, Default)]
pub struct Fixed {
    /// Points found by ties, where there are any.
    pub network: Option<Surveyed>,
    /// Its drawings, in the file's order.
    pub drawings: Vec<FixedDrawing>,
    /// What a person should know of them; these warnings are of no one deck.
    pub warnings: Vec<Warning>,
}

impl Fixed {
    /// Where the point of that name lies, if the survey could tell.
    #[must_use]
    pub fn point(&self, name: &str) -> Option<Point> {
        self.network.as_ref()?.point(name)
    }

    /// What the survey says of the point of that name.
    pub(super) fn named(&self, name: &str, units: LengthUnit) -> Named {
        self.network.as_ref().map_or_else(
            || Named::Lost("there is no survey".to_owned()),
            |network| network.named(name, units),
        )
    }

    /// Where a position is, if it is known.
    fn position(&self, position: &Position) -> Option<Point> {
        match position {
            Position::At(point) => Some(*point),
            Position::Named(name) => self.point(&name.value),
        }
    }
}

/// Finds where a layout's named points and drawings lie.
///
/// # Errors
/// Every fault of the survey and of the drawings.
pub fn fix(layout: &Layout, sources: &Sources) -> Result<Fixed, Vec<Fault>> {
    let mut fixed = Fixed::default();
    if let Some(survey) = &layout.survey {
        let network = ties::adjusted(survey);
        fixed.warnings.extend(ties::remarks(&network, layout.units));
        fixed.network = Some(network);
    }
    let mut faults = Vec::new();
    for file in &layout.drawings {
        match laid(file, layout.units, sources, &mut fixed) {
            Ok(drawing) => fixed.drawings.push(drawing),
            Err(found) => faults.extend(found),
        }
    }
    if faults.is_empty() {
        Ok(fixed)
    } else {
        Err(faults)
    }
}

/// A drawing as it lies on the deck.
fn laid(
    file: &DrawingFile,
    units: LengthUnit,
    sources: &Sources,
    fixed: &mut Fixed,
) -> Result<FixedDrawing, Vec<Fault>> {
    let name = &file.file;
    let Some(bytes) = sources.get(&name.value) else {
        return Err(vec![Fault::new(
            name.place,
            format!("the drawing {} has not been read", name.value),
            "no such file at hand",
        )]);
    };
    let one = |fault| vec![told(&fault, &name.value, bytes, name.place)];
    match file.format {
        DrawingFormat::Svg => {
            let drawn = import::svg::read(bytes).map_err(one)?;
            let mut warnings = Vec::new();
            let tracing: Tracing = Laying {
                file,
                drawn: &drawn,
                units,
                position: &|position| fixed.position(position),
                fault: &|fault, place| told(&fault, &name.value, bytes, place),
            }
            .laid(&mut warnings)?;
            fixed.warnings.extend(warnings);
            Ok(FixedDrawing {
                file: name.value.clone(),
                bytes: Bytes::of(bytes),
                drawn,
                lie: super::Lie::Traced(tracing),
            })
        }
        DrawingFormat::Dxf => {
            let drawn = import::dxf::read(bytes).map_err(one)?;
            let mut warnings = Vec::new();
            let drafting = Drafting::of(file, &drawn, units, &mut warnings)?;
            fixed.warnings.extend(warnings);
            Ok(FixedDrawing {
                file: name.value.clone(),
                bytes: Bytes::of(bytes),
                drawn,
                lie: super::Lie::Drafted(drafting),
            })
        }
    }
}
