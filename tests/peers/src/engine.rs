//! What every engine is asked to do, and the one definition of the pattern that all of them work out:
//! the deck shrunk by its margin, less every obstacle grown by its own, less the strips; opened with one
//! disc; closed with another.

use crate::deck::Deck;
use spile::shape::Ring;

/// A geometry engine, with its own kind of region.
pub trait Engine {
    /// A part of the plane as the engine keeps it.
    type Region;

    /// Name, as in tables.
    fn name(&self) -> String;

    /// The inside of a simple ring.
    ///
    /// # Errors
    /// What the engine says.
    fn inside(&self, ring: &Ring) -> Result<Self::Region, String>;

    /// Every point within `distance` (above 0, millimetres) of the region.
    ///
    /// # Errors
    /// What the engine says.
    fn grown(&self, region: &Self::Region, distance: f64) -> Result<Self::Region, String>;

    /// Every point of the region at least `distance` (above 0, millimetres) from its boundary.
    ///
    /// # Errors
    /// What the engine says.
    fn shrunk(&self, region: &Self::Region, distance: f64) -> Result<Self::Region, String>;

    /// What of `region` lies in none of `others`.
    ///
    /// # Errors
    /// What the engine says.
    fn less(&self, region: Self::Region, others: Vec<Self::Region>)
    -> Result<Self::Region, String>;

    /// Its figures, by the engine's own measures where it has them.
    ///
    /// # Errors
    /// What is wrong with the region, where the engine finds it invalid.
    fn figures(&self, region: &Self::Region) -> Result<Figures, String>;

    /// Its boundary, the inside on the left: lines, or arcs where the engine has them.
    fn rings(&self, region: &Self::Region) -> Vec<Ring>;
}

/// What is compared.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Figures {
    /// Area in mm².
    pub area: f64,
    /// Length of all boundaries, millimetres.
    pub perimeter: f64,
    /// Area of each unconnected part, mm², in no order.
    pub parts: Vec<f64>,
}

/// The three results that are compared.
#[derive(Debug, Clone)]
pub struct Stages<T> {
    /// What margins, obstacles and strips leave.
    pub bare: T,
    /// That, opened.
    pub opened: T,
    /// That, closed.
    pub closed: T,
}

impl<T> Stages<T> {
    /// Every stage passed through `change`.
    ///
    /// # Errors
    /// The first error of `change`.
    pub fn map<U>(&self, change: impl Fn(&T) -> Result<U, String>) -> Result<Stages<U>, String> {
        Ok(Stages {
            bare: change(&self.bare)?,
            opened: change(&self.opened)?,
            closed: change(&self.closed)?,
        })
    }

    /// The stages with their names, in order.
    pub fn iter(&self) -> impl Iterator<Item = (&'static str, &T)> {
        [
            ("bare", &self.bare),
            ("opened", &self.opened),
            ("closed", &self.closed),
        ]
        .into_iter()
    }
}

/// Works the pattern out.
///
/// # Errors
/// What the engine says.
pub fn pattern<E: Engine>(engine: &E, deck: &Deck) -> Result<Stages<E::Region>, String>
where
    E::Region: Clone,
{
    let grown = |region: E::Region, by: f64| {
        if by > 0.0 {
            engine.grown(&region, by)
        } else {
            Ok(region)
        }
    };
    let shrunk = |region: E::Region, by: f64| {
        if by > 0.0 {
            engine.shrunk(&region, by)
        } else {
            Ok(region)
        }
    };
    let mut kept_off = Vec::with_capacity(deck.obstacles.len() + deck.strips.len());
    for obstacle in &deck.obstacles {
        kept_off.push(grown(
            engine.inside(&obstacle.shape.ring())?,
            obstacle.margin,
        )?);
    }
    for strip in &deck.strips {
        kept_off.push(engine.inside(&strip.ring())?);
    }
    let clear = shrunk(engine.inside(&deck.outline.ring())?, deck.margin)?;
    let bare = engine.less(clear, kept_off)?;
    let opened = grown(shrunk(bare.clone(), deck.round)?, deck.round)?;
    let closed = shrunk(grown(opened.clone(), deck.hollow)?, deck.hollow)?;
    Ok(Stages {
        bare,
        opened,
        closed,
    })
}

/// Figures and boundaries of the three stages, as plain values; a panic of the engine is an error.
#[derive(Debug, Clone)]
pub struct Outcome {
    /// What is compared.
    pub figures: Stages<Figures>,
    /// The boundaries.
    pub rings: Stages<Vec<Ring>>,
}

/// Works the pattern out and measures it; a panic is an error like any other.
///
/// # Errors
/// What the engine says, or its panic.
pub fn outcome<E: Engine>(engine: &E, deck: &Deck) -> Result<Outcome, String>
where
    E::Region: Clone,
{
    let work = || {
        let stages = pattern(engine, deck)?;
        Ok(Outcome {
            figures: stages.map(|region| engine.figures(region))?,
            rings: stages.map(|region| Ok(engine.rings(region)))?,
        })
    };
    std::panic::catch_unwind(std::panic::AssertUnwindSafe(work)).unwrap_or_else(|cause| {
        let text = cause
            .downcast_ref::<String>()
            .map(String::as_str)
            .or_else(|| cause.downcast_ref::<&str>().copied());
        Err(format!("panic: {}", text.unwrap_or("without a message")))
    })
}
