//! Every engine's figures against spile's, deck by deck, and a verdict for each.

use crate::cavalier::Cavalier;
use crate::clipper::Clipper;
use crate::deck::Deck;
use crate::definition::Stage;
use crate::engine::{Figures, Outcome, Stages, outcome};
use crate::geo_buffer::Geo;
use crate::geos::{Geos, Library};
use crate::knife_edge::Brackets;
use crate::ours::Ours;
use crate::settle::{Judge, Settled, covered, settle, settle_exactly};
use crate::tolerance::{Accuracy, Tolerance};
use std::cell::OnceCell;

/// spile is wrong where the definition says so about more than this, mm²: the least that sampling resolves.
const OURS_WRONG: f64 = 0.5;

/// The engines that are compared with spile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Peer {
    /// GEOS with a chord error.
    Geos(f64),
    /// clipper2-rust with a chord error.
    Clipper(f64),
    /// geo with a chord error.
    Geo(f64),
    /// `cavalier_contours`.
    Cavalier,
}

impl Peer {
    /// All of them, in the order of tables.
    pub const ALL: [Self; 7] = [
        Self::Geos(0.1),
        Self::Geos(0.01),
        Self::Cavalier,
        Self::Clipper(0.1),
        Self::Clipper(0.01),
        Self::Geo(0.1),
        Self::Geo(0.01),
    ];

    /// One deck in so many is given to this peer in quick runs: the slowest would take hours.
    #[must_use]
    pub const fn one_in(self, slow: u64) -> u64 {
        match self {
            Self::Geos(_) | Self::Cavalier => 1,
            Self::Clipper(error) if error > 0.05 => slow,
            Self::Geo(error) if error > 0.05 => 2 * slow,
            Self::Clipper(_) => 10 * slow,
            Self::Geo(_) => 100 * slow,
        }
    }

    /// Name, as in tables.
    #[must_use]
    pub fn name(self) -> String {
        match self {
            Self::Geos(error) => format!("GEOS, chords {error} mm"),
            Self::Clipper(error) => format!("clipper2-rust, chords {error} mm"),
            Self::Geo(error) => format!("geo, chords {error} mm"),
            Self::Cavalier => "cavalier_contours".to_owned(),
        }
    }

    /// What it says of its own accuracy.
    #[must_use]
    pub fn accuracy(self, deck: &Deck) -> Accuracy {
        match self {
            // Doubles; curve vertices nearer than 1e-6 of the distance are merged.
            Self::Geos(chord_error) => Accuracy {
                chord_error,
                grid: 1e-6,
            },
            // The grid of `clipper`, half a step each way, in a few roundings.
            Self::Clipper(chord_error) => Accuracy {
                chord_error,
                grid: 2e-5,
            },
            // Its buffer turns by no less than 0.01π a chord, and its engine's grid has 2³⁰ steps or so
            // across what it is given: 20 m of strip here.
            Self::Geo(chord_error) => {
                let widest = deck
                    .obstacles
                    .iter()
                    .map(|obstacle| obstacle.margin)
                    .fold(deck.margin.max(deck.round).max(deck.hollow), f64::max);
                let least_turn = 0.01 * std::f64::consts::PI;
                Accuracy {
                    chord_error: chord_error.max(widest * (1.0 - (least_turn / 2.0).cos())),
                    grid: 1e-4,
                }
            }
            // Its tolerance for joining slices of offsets.
            Self::Cavalier => Accuracy {
                chord_error: 0.0,
                grid: 1e-4,
            },
        }
    }

    /// What it makes of a deck.
    ///
    /// # Errors
    /// What the engine says, or its panic.
    pub fn outcome(self, library: &Library, deck: &Deck) -> Result<Outcome, String> {
        match self {
            Self::Geos(chord_error) => outcome(
                &Geos {
                    library,
                    chord_error,
                },
                deck,
            ),
            Self::Clipper(chord_error) => outcome(&Clipper { chord_error }, deck),
            Self::Geo(chord_error) => outcome(&Geo { chord_error }, deck),
            Self::Cavalier => outcome(&Cavalier, deck),
        }
    }
}

/// What came of comparing one engine on one deck, best first.
#[derive(Debug, Clone, PartialEq)]
pub enum Verdict {
    /// Equal within the tolerance, every stage.
    Agrees,
    /// Different, and so is spile's own result when margins or radii change by 0.02 mm.
    KnifeEdge,
    /// The engine gave no result, or one it calls invalid itself.
    Failed(String),
    /// The engine is wrong: the definition is against it where they differ, or its figures belie its rings.
    PeerWrong(Dispute),
    /// Different in perimeter or parts where the areas leave nothing to settle.
    Unsettled(Dispute),
    /// spile is wrong.
    OursWrong(Dispute),
}

/// A stage that two engines differ about.
#[derive(Debug, Clone, PartialEq)]
pub struct Dispute {
    /// Which.
    pub stage: &'static str,
    /// spile's figures.
    pub ours: Figures,
    /// The other's.
    pub theirs: Figures,
    /// How far they may differ for the other's chords.
    pub tolerance: Tolerance,
    /// Area that spile is wrong about by the definition, mm².
    pub ours_wrong: f64,
    /// Area that the other is wrong about, mm².
    pub theirs_wrong: f64,
}

impl Verdict {
    const fn rank(&self) -> u8 {
        match self {
            Self::Agrees => 0,
            Self::KnifeEdge => 1,
            Self::Failed(_) => 2,
            Self::PeerWrong(_) => 3,
            Self::Unsettled(_) => 4,
            Self::OursWrong(_) => 5,
        }
    }
}

/// A deck with spile's result; what disputes need is worked out once, when the first one comes.
#[derive(Debug)]
pub struct Case {
    deck: Deck,
    ours: Outcome,
    judge: OnceCell<Judge>,
    brackets: OnceCell<Brackets>,
}

impl Case {
    /// spile's result for a deck.
    ///
    /// # Errors
    /// Its panic, should there be one.
    pub fn of(deck: Deck) -> Result<Self, String> {
        let ours = outcome(&Ours, &deck)?;
        Ok(Self {
            deck,
            ours,
            judge: OnceCell::new(),
            brackets: OnceCell::new(),
        })
    }

    /// The deck.
    #[must_use]
    pub const fn deck(&self) -> &Deck {
        &self.deck
    }

    /// spile's result.
    #[must_use]
    pub const fn ours(&self) -> &Outcome {
        &self.ours
    }

    /// The definition for the deck.
    pub fn judge(&self) -> &Judge {
        self.judge.get_or_init(|| Judge::of(&self.deck))
    }

    /// spile's results for the deck with its measures a little different.
    pub fn brackets(&self) -> &Brackets {
        self.brackets
            .get_or_init(|| Brackets::of(&self.deck, &self.ours))
    }

    /// The verdict on another engine's result.
    #[must_use]
    pub fn verdict(&self, theirs: Result<Outcome, String>, accuracy: Accuracy) -> Verdict {
        let theirs = match theirs {
            Ok(outcome) => outcome,
            Err(fault) => return Verdict::Failed(fault),
        };
        let tolerances = accuracy.tolerances(&self.deck, &self.ours.rings);
        let stage = |name, stage, pick: fn(&Stages<Figures>) -> &Figures, tolerance: Tolerance| {
            let (ours, other) = (pick(&self.ours.figures), pick(&theirs.figures));
            if tolerance.holds(ours, other) {
                return Verdict::Agrees;
            }
            if self.brackets().span(stage, other, tolerance) {
                return Verdict::KnifeEdge;
            }
            let rings = |outcome: &Outcome| match stage {
                Stage::Bare => outcome.rings.bare.clone(),
                Stage::Opened => outcome.rings.opened.clone(),
                Stage::Closed => outcome.rings.closed.clone(),
            };
            let (ours_rings, their_rings) = (rings(&self.ours), rings(&theirs));
            let dispute = |settled: Settled| Dispute {
                stage: name,
                ours: ours.clone(),
                theirs: other.clone(),
                tolerance,
                ours_wrong: settled.first,
                theirs_wrong: settled.second,
            };
            let difference = (ours.area - other.area).abs().max(tolerance.area);
            let decided = |settled: Settled| {
                if settled.first > OURS_WRONG {
                    Some(Verdict::OursWrong(dispute(settled)))
                } else if settled.second > 0.5 * difference {
                    Some(Verdict::PeerWrong(dispute(settled)))
                } else {
                    None
                }
            };
            let settled = settle(self.judge(), stage, &ours_rings, &their_rings);
            if let Some(verdict) = decided(settled) {
                return verdict;
            }
            if self.brackets().jump(stage) {
                return Verdict::KnifeEdge;
            }
            let settled = settle_exactly(self.judge(), stage, &ours_rings, &their_rings);
            // The points in dispute are all as spile has them; or both cover the same points, and the
            // figures of one belie its own rings.
            let belies_itself = || {
                let off =
                    |rings: &[spile::shape::Ring], stated: f64| (covered(rings) - stated).abs();
                off(&their_rings, other.area) > 0.5 * difference
                    && off(&ours_rings, ours.area) < 0.1 * difference
            };
            decided(settled).unwrap_or_else(|| {
                if settled.second > OURS_WRONG || belies_itself() {
                    Verdict::PeerWrong(dispute(settled))
                } else {
                    Verdict::Unsettled(dispute(settled))
                }
            })
        };
        let verdicts = [
            stage("bare", Stage::Bare, |all| &all.bare, tolerances.bare),
            stage(
                "opened",
                Stage::Opened,
                |all| &all.opened,
                tolerances.opened,
            ),
            stage(
                "closed",
                Stage::Closed,
                |all| &all.closed,
                tolerances.closed,
            ),
        ];
        verdicts
            .into_iter()
            .max_by_key(Verdict::rank)
            .unwrap_or(Verdict::Agrees)
    }
}
