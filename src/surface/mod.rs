//! The deck's surface: how high it stands over the plan, and what is longer and larger on it than seen from
//! above. Comes in: what the layout says of camber and sheer, and the [`DeckPlan`]. Goes out: a [`Surface`], which
//! gives heights, girths, true lengths and true areas, and a [`Development`], which lays it flat.
//!
//! The height over the plan is `sheer(x) + camber(y)`: one curve of the camber for the whole deck, carried along
//! the curve of the centreline, each of the curves standing upright. That is how the trade sets a deck out: one
//! mould gives the round of every beam.

mod camber;
mod develop;
mod heights;
mod measure;
mod plan;
mod quadrature;
mod sheer;

pub use camber::Camber;
pub use develop::{Development, Distortion, Worst};
pub use heights::{FittedHeight, HeightFit, Suspect};

use crate::layout::{self, CamberForm, Deck, Fault};
use crate::outline::{DeckPlan, Warning, whereabouts};
use crate::shape::{Graph, Point};
use crate::units::Length;
use sheer::Sheer;

/// How far a deck may reach beyond the beam of its camber, as a share of it: half-breadths are rounded, and a fair
/// curve swells a little between them.
const BEYOND: f64 = 0.01;
/// Nobody stands on a deck steeper than this: a slope of 2, near 63°.
const STEEPEST: f64 = 2.0;
/// So far beyond the stations of its sheer a deck may reach without a word, millimetres.
const UNSAID: f64 = 1.0;

/// A deck's surface.
#[derive(Debug, Clone, PartialEq)]
pub struct Surface {
    camber: Camber,
    sheer: Sheer,
    /// How the camber was found, where it was found from heights.
    pub heights: Option<HeightFit>,
}

/// A surface with what is to be said of it, or why there can be none.
pub type Raised = Result<(Surface, Vec<Warning>), Vec<Fault>>;

/// The surface of a deck; none where it has neither camber nor sheer.
///
/// # Errors
/// Where the camber's beam is less than the deck's, where heights tell no camber, where the deck would be too
/// steep to stand on.
pub fn of(deck: &Deck, plan: &DeckPlan) -> Option<Raised> {
    (deck.camber.is_some() || deck.sheer.is_some()).then(|| raised(deck, plan))
}

fn raised(deck: &Deck, plan: &DeckPlan) -> Raised {
    let bounds = plan.outline.ring.bounding_box();
    let half = bounds.greatest.y.max(-bounds.least.y).max(0.0);
    let mut faults = Vec::new();
    let mut warnings = Vec::new();
    let mut sheer = match &deck.sheer {
        None => Sheer::Level,
        Some(given) => {
            let curve = fair(given);
            if curve.is_none() {
                faults.push(Fault::new(
                    given.place,
                    "no fair curve can be laid through these heights",
                    "the stations lie too near each other",
                ));
            }
            warnings.extend(continued(given, plan));
            curve.map_or(Sheer::Level, Sheer::Fair)
        }
    };
    let mut heights = None;
    let camber = match &deck.camber {
        None => Camber::FLAT,
        Some(layout::Camber::Rise(given)) => {
            faults.extend(narrow(given, plan, half));
            by_rise(given, half)
        }
        Some(layout::Camber::Heights(given)) => match heights::fit(given, &sheer, half) {
            Some((camber, fore_and_aft, fit)) => {
                warnings.extend(said_of(&fit, plan));
                heights = Some(fit);
                sheer = fore_and_aft.unwrap_or(sheer);
                camber
            }
            None => {
                faults.push(
                    Fault::new(
                        given.place,
                        "these heights tell no camber",
                        "camber and sheer cannot be told apart in them",
                    )
                    .with_help(
                        "measure at the centreline, half way out and at the edge, at three stations or more",
                    ),
                );
                Camber::FLAT
            }
        },
    };
    faults.extend(too_steep(deck, plan, &camber, &sheer, half));
    if faults.is_empty() {
        let surface = Surface {
            camber,
            sheer,
            heights,
        };
        Ok((surface, warnings))
    } else {
        Err(faults)
    }
}

fn fair(given: &layout::Sheer) -> Option<Graph> {
    let points: Vec<Point> = given
        .heights
        .iter()
        .map(|one| Point::new(one.value.station.to_mm(), one.value.height.to_mm()))
        .collect();
    Graph::through(&points)
}

fn by_rise(given: &layout::Rise, half: f64) -> Camber {
    let (rise, beam) = (given.rise.value.to_mm(), given.beam.value.to_mm());
    let reach = half.max(beam / 2.0);
    match given.form {
        CamberForm::Parabolic => Camber::parabola(4.0 * rise / (beam * beam), reach),
        CamberForm::Circular => Camber::circle(rise, beam, reach),
    }
}

/// A deck that reaches beyond the beam its camber was measured over.
fn narrow(given: &layout::Rise, plan: &DeckPlan, half: f64) -> Option<Fault> {
    let beam = given.beam.value;
    let across = Length::mm(2.0 * half);
    if across.to_mm() <= beam.to_mm() * (1.0 + BEYOND) {
        return None;
    }
    // The round goes on as it is, so its rise grows with the square of the beam.
    let share = across.to_mm() / beam.to_mm();
    let carried = given.rise.value * (share * share);
    Some(
        Fault::new(
            given.beam.place,
            format!(
                "the camber's beam of {} is less than the deck's, {}",
                beam.show(plan.units),
                across.show(plan.units)
            ),
            "how does the round go on from there?",
        )
        .with_help(format!(
            "give the rise over the whole breadth; this round carried on as a parabola rises {} over {}",
            carried.show(plan.units),
            across.show(plan.units)
        )),
    )
}

/// A deck that reaches beyond the stations of its sheer.
fn continued(given: &layout::Sheer, plan: &DeckPlan) -> Option<Warning> {
    let (first, last) = (given.heights.first()?, given.heights.last()?);
    let known = [first, last].map(|height| height.value.station);
    let bounds = plan.outline.ring.bounding_box();
    let beyond = (known[0].to_mm() - bounds.least.x).max(bounds.greatest.x - known[1].to_mm());
    (beyond > UNSAID).then(|| Warning {
        deck: plan.id.clone(),
        code: "sheer-continued",
        message: format!(
            "The sheer is known from station {} to {}, and the deck reaches {} beyond: there its centreline is taken \
             to go on straight.",
            known[0].show(plan.units),
            known[1].show(plan.units),
            Length::mm(beyond).show(plan.units),
        ),
        place: Some(given.place),
        at: None,
    })
}

/// What a person should know of a camber found from heights.
fn said_of(fit: &HeightFit, plan: &DeckPlan) -> Option<Warning> {
    let suspect = fit.suspect?;
    let height = &fit.heights[suspect.index];
    let off = suspect.above_the_others;
    let way = if off > Length::ZERO { "above" } else { "below" };
    Some(Warning {
        deck: plan.id.clone(),
        code: "height-slip",
        message: format!(
            "The height of {} at {} stands {} {way} the curve on which all others lie within {}: measure it again. \
             Until then it counts like the others.",
            height.height.show(plan.units),
            whereabouts(height.at, plan.units),
            Length::mm(off.to_mm().abs()).show(plan.units),
            suspect.others_within.show(plan.units),
        ),
        place: Some(height.place),
        at: Some(height.at),
    })
}

/// Heights that make the deck a wall.
fn too_steep(
    deck: &Deck,
    plan: &DeckPlan,
    camber: &Camber,
    sheer: &Sheer,
    half: f64,
) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut fault = |place, what: &str| {
        faults.push(
            Fault::new(
                place,
                format!("this {what} is too steep to stand on"),
                "steeper than 60°",
            )
            .with_help("heights are in the file's units; is another one meant?"),
        );
    };
    let is_steep = |slope: f64| slope.abs() > STEEPEST || slope.is_nan();
    if is_steep(camber.slope(half)) {
        match &deck.camber {
            Some(layout::Camber::Rise(given)) => fault(given.rise.place, "camber"),
            Some(layout::Camber::Heights(given)) => fault(given.place, "camber"),
            None => {}
        }
    }
    let bounds = plan.outline.ring.bounding_box();
    // Between knots the slope is a parabola in x.
    let knots = sheer.knots();
    let between = knots
        .windows(2)
        .flat_map(|pair| [0.0, 0.25, 0.5, 0.75].map(|share| pair[0] + share * (pair[1] - pair[0])));
    let looked_at = between.chain(knots.last().copied());
    if looked_at
        .map(|x| x.clamp(bounds.least.x, bounds.greatest.x))
        .any(|x| is_steep(sheer.slope(x)))
    {
        match (&deck.sheer, &deck.camber) {
            (Some(given), _) => fault(given.place, "sheer"),
            (None, Some(layout::Camber::Heights(given))) => fault(given.place, "sheer"),
            (None, _) => {}
        }
    }
    faults
}

impl Surface {
    /// Height over the level from which the sheer's heights are measured; over the foot of the camber where the
    /// deck has no sheer.
    #[must_use]
    pub fn height(&self, at: Point) -> Length {
        Length::mm(self.sheer.height(at.x) + self.camber.height(at.y))
    }

    /// Slope of the height along x and along y.
    #[must_use]
    pub fn slope(&self, at: Point) -> Point {
        Point::new(self.sheer.slope(at.x), self.camber.slope(at.y))
    }

    /// Whether it can be laid flat without any distortion: a cylinder, round in one direction alone.
    #[must_use]
    pub fn is_cylinder(&self) -> bool {
        self.camber.is_flat() || self.sheer.is_straight()
    }

    /// Rise of the camber over a beam.
    #[must_use]
    pub fn rise(&self, beam: Length) -> Length {
        Length::mm(-self.camber.height(beam.to_mm() / 2.0))
    }
}
