//! Points by the ties between them: the survey of a layout as a network, adjusted, and what is to be said of it.
//! Comes in: a [`Survey`]. Goes out: [`Surveyed`], and warnings at the ties and points they are about.

use super::{Warning, whereabouts};
use crate::adjust::{
    self, Adjustment, Blunder, Distance, Fit, Fix, Hint, Loose, Mark, Network, Open, Slip,
};
use crate::layout::{Known, Place, Side, Survey};
use crate::shape::Point;
use crate::units::{Length, LengthUnit};

/// Names listed in one sentence before the rest is only counted.
const NAMED: usize = 8;

/// What a survey says of a point that something on the deck is placed by.
pub(super) enum Named {
    /// It is here.
    Found(Point),
    /// It cannot be found; why.
    Lost(String),
    /// It is in one of two places.
    Open {
        /// The first of the points that lie in one of two places together with it.
        group: usize,
        /// Both places.
        places: String,
        /// What would tell.
        help: String,
    },
}

/// Points found by ties.
#[derive(Debug, Clone, PartialEq)]
pub struct Surveyed {
    /// The points, in the order of the adjustment's fixes.
    pub points: Vec<SurveyedPoint>,
    /// The ties, in the order of the adjustment's.
    pub ties: Vec<SurveyedTie>,
    /// Where the points lie and how well the ties agree.
    pub adjustment: Adjustment,
}

/// A point of a survey.
#[derive(Debug, Clone, PartialEq)]
pub struct SurveyedPoint {
    /// Its name.
    pub name: String,
    /// Where the file first gives it.
    pub place: Place,
    /// Whether something of its place is known without ties: it is a mark that others are measured from.
    pub is_mark: bool,
}

/// A tie as measured.
#[derive(Debug, Clone, PartialEq)]
pub struct SurveyedTie {
    /// The point at one end, by its number.
    pub from: usize,
    /// The point at the other.
    pub to: usize,
    /// The distance.
    pub length: Length,
    /// Its standard deviation.
    pub deviation: Length,
    /// Where the file gives it.
    pub place: Place,
}

impl Surveyed {
    /// Where the point of that name lies, if the ties say.
    #[must_use]
    pub fn point(&self, name: &str) -> Option<Point> {
        let number = self.points.iter().position(|point| point.name == name)?;
        self.adjustment.place(number)
    }

    /// Where the point of that name lies, for something on the deck.
    pub(super) fn named(&self, name: &str, units: LengthUnit) -> Named {
        let Some(number) = self.points.iter().position(|point| point.name == name) else {
            return Named::Lost("no tie goes to it".to_owned());
        };
        match &self.adjustment.fixes[number] {
            Fix::Given(at) => Named::Found(*at),
            Fix::Loose(why) => Named::Lost(self.lacks(*why)),
            Fix::Found(found) => match &found.open {
                None => Named::Found(found.at),
                Some(open) => Named::Open {
                    group: open.together.first().copied().unwrap_or(number),
                    places: self.both(found.at, open.other, units),
                    help: self.which(number, found.at, open, units),
                },
            },
        }
    }

    /// Two places, in words.
    fn both(&self, at: Point, other: Point, units: LengthUnit) -> String {
        format!(
            "{}, or {}",
            whereabouts(at, units),
            whereabouts(other, units)
        )
    }

    /// How to say which of two places is meant.
    fn which(&self, number: usize, at: Point, open: &Open, units: LengthUnit) -> String {
        let key = self.key(number);
        let hint = match open.side(at) {
            Some(Hint::Above) => format!("{key} = \"starboard\""),
            Some(_) => format!("{key} = \"port\""),
            None => format!(
                "{key} = {{ near = [{}, {}] }}",
                coordinate(at.x, units),
                coordinate(at.y, units)
            ),
        };
        let hinges: Vec<String> = open
            .hinges
            .iter()
            .map(|end| self.name(*end).to_owned())
            .collect();
        let line = match hinges.len() {
            0 | 1 => "a mark elsewhere".to_owned(),
            _ => format!("a mark off the line of {}", listed(&hinges, "and")),
        };
        format!("say which under [survey.points], for example {hint}; or measure it from {line}")
    }

    /// What a point that is not found lacks.
    fn lacks(&self, why: Loose) -> String {
        match why {
            Loose::NoDistance => "no tie goes to it".to_owned(),
            Loose::OneDistance { to } => format!(
                "its only ties go to {}, so it may be anywhere on a circle round it",
                self.name(to)
            ),
            Loose::InLine => {
                "it lies on the line of the points it is measured from, where ties do not tell how far off the line"
                    .to_owned()
            }
            Loose::Adrift => {
                "it hangs together with other points, but too few ties go to points whose places are known".to_owned()
            }
        }
    }

    fn name(&self, point: usize) -> &str {
        self.points.get(point).map_or("", |point| &point.name)
    }

    /// A point's name as a key of the file.
    fn key(&self, point: usize) -> String {
        let name = self.name(point);
        let bare = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
        if name.chars().all(bare) {
            name.to_owned()
        } else {
            format!("{name:?}")
        }
    }

    /// A tie as people say it.
    fn tie(&self, tie: usize) -> String {
        let Some(tie) = self.ties.get(tie) else {
            return String::new();
        };
        format!("{} to {}", self.name(tie.from), self.name(tie.to))
    }
}

/// The survey adjusted by least squares.
pub(super) fn adjusted(survey: &Survey) -> Surveyed {
    let network = Network {
        marks: survey
            .points
            .iter()
            .map(|point| mark(point.known))
            .collect(),
        distances: survey
            .ties
            .iter()
            .map(|tie| Distance {
                from: tie.from,
                to: tie.to,
                length: tie.length.to_mm(),
                deviation: tie.precision.to_mm(),
            })
            .collect(),
    };
    Surveyed {
        points: survey
            .points
            .iter()
            .map(|point| SurveyedPoint {
                name: point.name.value.clone(),
                place: point.name.place,
                is_mark: matches!(point.known, Known::At(_) | Known::Centreline),
            })
            .collect(),
        ties: survey
            .ties
            .iter()
            .map(|tie| SurveyedTie {
                from: tie.from,
                to: tie.to,
                length: tie.length,
                deviation: tie.precision,
                place: tie.place,
            })
            .collect(),
        adjustment: adjust::adjust(&network),
    }
}

const fn mark(known: Known) -> Mark {
    let (known, hint) = match known {
        Known::Nothing => (adjust::Known::Free, None),
        Known::At(at) => (adjust::Known::At(at), None),
        Known::Centreline => (adjust::Known::OnAxis, None),
        Known::Side(Side::Starboard) => (adjust::Known::Free, Some(Hint::Above)),
        Known::Side(Side::Port) => (adjust::Known::Free, Some(Hint::Below)),
        Known::Near(at) => (adjust::Known::Free, Some(Hint::Near(at))),
    };
    Mark { known, hint }
}

/// What a person should know of a survey before relying on it.
pub(super) fn remarks(surveyed: &Surveyed, units: LengthUnit) -> Vec<Warning> {
    let adjustment = &surveyed.adjustment;
    // Where too many are wrong for each to be told, nothing was left out: the misfit is what matters.
    let told = adjustment
        .blunders
        .iter()
        .filter(|blunder| blunder.largest_without.is_finite());
    let mut warnings: Vec<Warning> = told
        .map(|blunder| wrong_tie(surveyed, blunder, units))
        .collect();
    for (number, fix) in adjustment.fixes.iter().enumerate() {
        match fix {
            Fix::Loose(why) => warnings.push(not_found(surveyed, number, *why)),
            Fix::Found(found) => {
                // Points that go over together are spoken of once.
                if let Some(open) = &found.open
                    && open.together.first() == Some(&number)
                {
                    warnings.push(ambiguous(surveyed, number, found.at, open, units));
                }
                if found.against_hint {
                    warnings.push(against_hint(surveyed, number, found.at, units));
                }
            }
            Fix::Given(_) => {}
        }
    }
    warnings.extend(unchecked(surveyed));
    if adjustment.fit == Fit::Worse
        && warnings
            .iter()
            .all(|warning| warning.code != "tie-doubtful")
    {
        let times = adjustment.variance_factor().unwrap_or_default().sqrt();
        warnings.push(Warning {
            deck: String::new(),
            code: "survey-misfit",
            message: format!(
                "The ties disagree {times:.1} times as much as their precision allows, more than a wrong tie or two explains: \
                 state a coarser `precision`, or look for a tape that was hooked or read another way part of the time."
            ),
            place: None,
            at: None,
        });
    }
    warnings
}

fn wrong_tie(surveyed: &Surveyed, blunder: &Blunder, units: LengthUnit) -> Warning {
    let tie = &surveyed.ties[blunder.tie];
    let called = surveyed.tie(blunder.tie);
    let size = error(blunder.error, units);
    let cause = blunder
        .slip
        .map(|slip| format!(" {}", cause(slip, units)))
        .unwrap_or_default();
    let (code, message) = if blunder.left_out {
        let message = format!(
            "Tie {called} looks {size} ({} measured); without it all residuals are under {}, so it is left \
             out.{cause} Measure it again.",
            tie.length.show(units),
            bound(blunder.largest_without, units)
        );
        ("tie-wrong", message)
    } else {
        let others = blunder.suspects.iter().map(|suspect| {
            format!(
                "{} {}",
                surveyed.tie(suspect.tie),
                error(suspect.error, units)
            )
        });
        let point = surveyed.name(blunder.point);
        let verdict = if blunder.untold {
            let all: Vec<String> = std::iter::once(format!("{called} {size}"))
                .chain(others)
                .collect();
            format!(
                "The ties of point {point} disagree, and nothing tells which is wrong: {}. One more tie to {point} would tell. ",
                listed(&all, "or")
            )
        } else {
            format!(
                "The ties of point {point} disagree: {called} looks {size}, though {} would explain it nearly as well. One more \
                 tie to {point} would tell. ",
                listed(&others.collect::<Vec<_>>(), "or")
            )
        };
        let message =
            format!("{verdict}All are kept, so {point} may be off by a good part of that.{cause}");
        ("tie-doubtful", message)
    };
    Warning {
        deck: String::new(),
        code,
        message,
        place: Some(tie.place),
        at: surveyed.adjustment.place(blunder.point),
    }
}

/// By how much a tie is wrong; it is not known finer than to a millimetre or a sixteenth.
fn error(mm: f64, units: LengthUnit) -> String {
    let way = if mm > 0.0 { "long" } else { "short" };
    format!("{} {way}", small(mm.abs().round(), units))
}

/// A whole millimetre, or a sixteenth, that something is under.
fn bound(mm: f64, units: LengthUnit) -> String {
    let step = if units.is_imperial() {
        LengthUnit::Inch.in_mm() / 16.0
    } else {
        1.0
    };
    small(((mm / step).floor() + 1.0) * step, units)
}

/// A small length: in millimetres wherever the deck is not measured in feet.
fn small(mm: f64, units: LengthUnit) -> String {
    let units = if units.is_imperial() {
        units
    } else {
        LengthUnit::Millimetre
    };
    Length::mm(mm).show(units)
}

/// A coordinate as the file may have it.
fn coordinate(mm: f64, units: LengthUnit) -> String {
    let whole = mm.round();
    if units == LengthUnit::Millimetre {
        format!("{whole}")
    } else {
        format!("\"{whole} mm\"")
    }
}

/// What slip would explain a wrong tie.
fn cause(slip: Slip, units: LengthUnit) -> String {
    match slip {
        Slip::Step(step) => format!(
            "A slip of exactly {} in reading or writing would explain it.",
            Length::mm(step).show(units)
        ),
        Slip::Swapped(right) => format!(
            "Two digits swapped would explain it: {}?",
            Length::mm(right).show(units)
        ),
    }
}

fn not_found(surveyed: &Surveyed, number: usize, why: Loose) -> Warning {
    let name = surveyed.name(number);
    let why = surveyed.lacks(why);
    Warning {
        deck: String::new(),
        code: "point-not-found",
        message: format!(
            "The ties do not say where point {name} is: {why}. Measure it from two marks more, well to either side."
        ),
        place: surveyed.points.get(number).map(|point| point.place),
        at: None,
    }
}

fn ambiguous(
    surveyed: &Surveyed,
    number: usize,
    at: Point,
    open: &Open,
    units: LengthUnit,
) -> Warning {
    let name = surveyed.name(number);
    let (places, which) = (
        surveyed.both(at, open.other, units),
        surveyed.which(number, at, open, units),
    );
    let message = if open.together.len() > 1 {
        let names = open
            .together
            .iter()
            .map(|one| surveyed.name(*one).to_owned());
        let names: Vec<String> = names.collect();
        format!(
            "Points {} may all lie on the other side of the line they are measured from: {name} at {places}. To settle \
             them all, {which}.",
            listed(&names, "and")
        )
    } else {
        format!("Point {name} may be in two places: {places}. To settle it, {which}.")
    };
    Warning {
        deck: String::new(),
        code: "point-ambiguous",
        message,
        place: surveyed.points.get(number).map(|point| point.place),
        at: Some(at),
    }
}

fn against_hint(surveyed: &Surveyed, number: usize, at: Point, units: LengthUnit) -> Warning {
    let name = surveyed.name(number);
    Warning {
        deck: String::new(),
        code: "point-against-hint",
        message: format!(
            "Point {name} comes out at {}, not where [survey.points] says it is. Check its ties, or that line.",
            whereabouts(at, units)
        ),
        place: surveyed.points.get(number).map(|point| point.place),
        at: Some(at),
    }
}

/// Points that no spare tie checks, in one warning: there may be many.
fn unchecked(surveyed: &Surveyed) -> Option<Warning> {
    let fixes = surveyed.adjustment.fixes.iter().enumerate();
    let unchecked: Vec<usize> = fixes
        .filter(|(_, fix)| matches!(fix, Fix::Found(found) if found.unchecked))
        .map(|(number, _)| number)
        .collect();
    let first = *unchecked.first()?;
    let names: Vec<String> = unchecked
        .iter()
        .map(|number| surveyed.name(*number).to_owned())
        .collect();
    let message = if let [name] = names.as_slice() {
        format!(
            "Point {name} is unchecked: it has no tie more than it needs, so a slip in one would not show. Measure it \
             from one mark more, better from two."
        )
    } else {
        format!(
            "Points {} are unchecked: they have no tie more than they need, so a slip in one would not show. Measure each \
             from one mark more, better from two.",
            listed(&names, "and")
        )
    };
    Some(Warning {
        deck: String::new(),
        code: "point-unchecked",
        message,
        place: surveyed.points.get(first).map(|point| point.place),
        at: surveyed.adjustment.place(first),
    })
}

/// Names in a sentence: `A, B and C`.
fn listed(names: &[String], word: &str) -> String {
    if names.len() > NAMED {
        let shown = names[..NAMED].join(", ");
        return format!("{shown} {word} {} more", names.len() - NAMED);
    }
    match names {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} {word} {last}", first.join(", ")),
    }
}
