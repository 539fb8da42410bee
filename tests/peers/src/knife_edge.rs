//! Whether a difference is one of the deck rather than of an engine: spile's own results with every margin
//! and radius a little smaller and greater. Where these differ by more than the change of measure accounts
//! for, the deck is on a knife edge (a passage just as wide as the disc), and anything between them is right
//! for somebody who measures to that accuracy.

use crate::deck::Deck;
use crate::definition::Stage;
use crate::engine::{Engine, Figures, Outcome, Stages, pattern};
use crate::ours::Ours;
use crate::tolerance::{Accuracy, Tolerance};

/// What nobody can measure, millimetres.
pub const HAND: f64 = 0.02;

/// How far measures are taken off. The lesser ones find jumps that are less than 0.02 mm along the whole
/// boundary.
const NUDGES: [f64; 3] = [HAND, 1e-3, 1e-5];

/// A deck with margins and both radii either side of what they are, in all combinations.
pub fn variations(deck: &Deck, nudge: f64) -> impl Iterator<Item = Deck> {
    let either = [-nudge, nudge];
    either.into_iter().flat_map(move |margin| {
        either.into_iter().flat_map(move |round| {
            either
                .into_iter()
                .map(move |hollow| deck.varied(margin, round, hollow))
        })
    })
}

/// spile's results about a deck, for each nudge.
#[derive(Debug, Clone)]
pub struct Brackets {
    brackets: Vec<Bracket>,
}

#[derive(Debug, Clone)]
struct Bracket {
    figures: Vec<Stages<Figures>>,
    /// How far figures change where nothing jumps.
    smooth: Stages<Tolerance>,
}

impl Brackets {
    /// Works a deck out with margins and both radii either side of what they are, in all combinations.
    #[must_use]
    pub fn of(deck: &Deck, exact: &Outcome) -> Self {
        let brackets = NUDGES
            .iter()
            .map(|nudge| Bracket::of(deck, exact, *nudge))
            .collect();
        Self { brackets }
    }

    /// Whether the results about the deck reach as far as `other` at a stage, what changes smoothly left out.
    #[must_use]
    pub fn span(&self, stage: Stage, other: &Figures, tolerance: Tolerance) -> bool {
        self.brackets
            .iter()
            .any(|bracket| bracket.spans(stage, other, tolerance))
    }

    /// Whether the results about the deck jump at any stage.
    #[must_use]
    pub fn jump_anywhere(&self) -> bool {
        [Stage::Bare, Stage::Opened, Stage::Closed]
            .into_iter()
            .any(|stage| self.jump(stage))
    }

    /// Whether the results about the deck jump at a stage.
    #[must_use]
    pub fn jump(&self, stage: Stage) -> bool {
        self.brackets.iter().any(|bracket| bracket.jumps(stage))
    }
}

impl Bracket {
    fn of(deck: &Deck, exact: &Outcome, nudge: f64) -> Self {
        let mut figures = vec![exact.figures.clone()];
        figures.extend(variations(deck, nudge).filter_map(|varied| {
            pattern(&Ours, &varied)
                .and_then(|stages| stages.map(|region| Ours.figures(region)))
                .ok()
        }));
        // Here the straight parts move as well.
        let smooth = Accuracy {
            chord_error: nudge,
            grid: nudge,
        };
        Self {
            figures,
            smooth: smooth.tolerances(deck, &exact.rings),
        }
    }

    fn range(&self, stage: Stage, value: impl Fn(&Figures) -> f64, smooth: f64) -> Range {
        let at = |stages: &Stages<Figures>| match stage {
            Stage::Bare => value(&stages.bare),
            Stage::Opened => value(&stages.opened),
            Stage::Closed => value(&stages.closed),
        };
        let exact = at(&self.figures[0]);
        let (least, greatest) = self
            .figures
            .iter()
            .map(at)
            .fold((exact, exact), |(least, greatest), value| {
                (least.min(value), greatest.max(value))
            });
        Range {
            least,
            exact,
            greatest,
            smooth,
        }
    }

    const fn smooth(&self, stage: Stage) -> Tolerance {
        match stage {
            Stage::Bare => self.smooth.bare,
            Stage::Opened => self.smooth.opened,
            Stage::Closed => self.smooth.closed,
        }
    }

    #[allow(clippy::cast_precision_loss, reason = "a handful of parts")]
    fn ranges(&self, stage: Stage, tolerance: Tolerance) -> [Range; 3] {
        let smooth = self.smooth(stage);
        [
            self.range(stage, |figures| figures.area, smooth.area),
            self.range(stage, |figures| figures.perimeter, smooth.perimeter),
            self.range(stage, |figures| tolerance.parts(figures) as f64, 0.0),
        ]
    }

    #[allow(clippy::cast_precision_loss, reason = "a handful of parts")]
    fn spans(&self, stage: Stage, other: &Figures, tolerance: Tolerance) -> bool {
        let [area, perimeter, parts] = self.ranges(stage, tolerance);
        area.spans(other.area, tolerance.area)
            && perimeter.spans(other.perimeter, tolerance.perimeter)
            && parts.spans(tolerance.parts(other) as f64, 0.0)
    }

    fn jumps(&self, stage: Stage) -> bool {
        self.ranges(stage, Tolerance::default())
            .iter()
            .any(|range| range.jumps_down() || range.jumps_up())
    }
}

/// A figure of a deck, and the least and greatest it is where measures are a little different.
#[derive(Debug, Clone, Copy)]
struct Range {
    least: f64,
    exact: f64,
    greatest: f64,
    /// How far it changes where nothing jumps.
    smooth: f64,
}

impl Range {
    fn jumps_up(&self) -> bool {
        self.greatest - self.exact > self.smooth
    }

    fn jumps_down(&self) -> bool {
        self.exact - self.least > self.smooth
    }

    /// Whether `other` is the exact figure or lies on the way to one that it jumps to.
    fn spans(&self, other: f64, tolerance: f64) -> bool {
        let off = other - self.exact;
        off.abs() <= tolerance
            || (off > 0.0 && self.jumps_up() && other <= self.greatest + tolerance)
            || (off < 0.0 && self.jumps_down() && other >= self.least - tolerance)
    }
}
