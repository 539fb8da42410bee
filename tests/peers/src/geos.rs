//! GEOS, through its C library: polygons in floating point.

mod library;

pub use library::{Geometry, Library};

use crate::chords;
use crate::engine::{Engine, Figures};
use spile::shape::{Point, Ring};

/// The environment variable with the path of GEOS's C library.
pub const PATH: &str = "SPILE_GEOS";

/// GEOS with a chord error.
#[derive(Debug, Clone, Copy)]
pub struct Geos<'a> {
    /// The library.
    pub library: &'a Library,
    /// Greatest distance of a chord from its arc, millimetres.
    pub chord_error: f64,
}

impl<'a> Geos<'a> {
    fn offset(&self, region: &Geometry<'a>, by: f64) -> Result<Geometry<'a>, String> {
        region.buffer(by, chords::in_a_quarter(by.abs(), self.chord_error))
    }
}

impl<'a> Engine for Geos<'a> {
    type Region = Geometry<'a>;

    fn name(&self) -> String {
        format!("GEOS {}", self.chord_error)
    }

    fn inside(&self, ring: &Ring) -> Result<Geometry<'a>, String> {
        let vertices = chords::vertices(ring, self.chord_error);
        self.library.polygon(&vertices)
    }

    fn grown(&self, region: &Geometry<'a>, distance: f64) -> Result<Geometry<'a>, String> {
        self.offset(region, distance)
    }

    fn shrunk(&self, region: &Geometry<'a>, distance: f64) -> Result<Geometry<'a>, String> {
        self.offset(region, -distance)
    }

    fn less(
        &self,
        region: Geometry<'a>,
        others: Vec<Geometry<'a>>,
    ) -> Result<Geometry<'a>, String> {
        if others.is_empty() {
            return Ok(region);
        }
        region.difference(&self.library.union(others)?)
    }

    fn figures(&self, region: &Geometry<'a>) -> Result<Figures, String> {
        if !region.is_valid()? {
            return Err("invalid result".to_owned());
        }
        let parts = region.parts()?;
        Ok(Figures {
            area: region.area()?,
            perimeter: region.length()?,
            parts: parts.iter().map(|part| part.area).collect(),
        })
    }

    fn rings(&self, region: &Geometry<'a>) -> Vec<Ring> {
        let ring = |points: &[Point]| Ring::polygon(points).counter_clockwise();
        // What cannot be read back has failed in `figures` before.
        let parts = region.parts().unwrap_or_default();
        parts
            .iter()
            .flat_map(|part| {
                let holes = part.holes.iter().map(|hole| ring(hole).reversed());
                std::iter::once(ring(&part.shell)).chain(holes)
            })
            .collect()
    }
}
