//! spile's kernel: exact lines and arcs, topology on integers.

use crate::engine::{Engine, Figures};
use spile::shape::{Region, Ring, bands_along};
use spile::units::Length;

/// The kernel as the program uses it.
#[derive(Debug, Clone, Copy, Default)]
pub struct Ours;

impl Engine for Ours {
    type Region = Region;

    fn name(&self) -> String {
        "spile".to_owned()
    }

    fn inside(&self, ring: &Ring) -> Result<Region, String> {
        Ok(Region::inside(ring.clone()))
    }

    fn grown(&self, region: &Region, distance: f64) -> Result<Region, String> {
        Ok(region.dilated(Length::mm(distance)))
    }

    fn shrunk(&self, region: &Region, distance: f64) -> Result<Region, String> {
        Ok(region.eroded(Length::mm(distance)))
    }

    fn less(&self, region: Region, others: Vec<Region>) -> Result<Region, String> {
        let others: Vec<&Region> = others.iter().collect();
        Ok(region.difference(&others))
    }

    fn figures(&self, region: &Region) -> Result<Figures, String> {
        Ok(Figures {
            area: region.area(),
            perimeter: region.perimeter(),
            parts: region.components().iter().map(Region::area).collect(),
        })
    }

    fn rings(&self, region: &Region) -> Vec<Ring> {
        region.rings().to_vec()
    }
}

/// The kernel's slow way: every band along every boundary for itself, all of them at once taken away or
/// added. The same booleans, another construction of the offset.
#[derive(Debug, Clone, Copy, Default)]
pub struct OursByBands;

impl Engine for OursByBands {
    type Region = Region;

    fn name(&self) -> String {
        "spile by bands".to_owned()
    }

    fn inside(&self, ring: &Ring) -> Result<Region, String> {
        Ours.inside(ring)
    }

    fn grown(&self, region: &Region, distance: f64) -> Result<Region, String> {
        let bands: Vec<Ring> = region
            .rings()
            .iter()
            .flat_map(|ring| bands_along(&ring.reversed(), Length::mm(distance), |_| true))
            .collect();
        Ok(region.with_rings(&bands))
    }

    fn shrunk(&self, region: &Region, distance: f64) -> Result<Region, String> {
        let bands: Vec<Ring> = region
            .rings()
            .iter()
            .flat_map(|ring| bands_along(ring, Length::mm(distance), |_| true))
            .collect();
        Ok(region.less_rings(&bands))
    }

    fn less(&self, region: Region, others: Vec<Region>) -> Result<Region, String> {
        Ours.less(region, others)
    }

    fn figures(&self, region: &Region) -> Result<Figures, String> {
        Ours.figures(region)
    }

    fn rings(&self, region: &Region) -> Vec<Ring> {
        Ours.rings(region)
    }
}
