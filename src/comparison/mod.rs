//! Several ways to lay out a deck, side by side. Comes in: each one's job, worked out. Goes out: [`Comparison`], a row a
//! figure and in it a value for each, so that a person sees what wider borders or fewer fields take. No figure is worked
//! out anew but how wide the deck is smooth: all others are the figures' and the takeoff's own.

mod said;
mod value;

pub use said::{difference_in_words, value_in_words};
pub use value::{Difference, Value};

use crate::Job;
use crate::figures::Figures;
use crate::outline::whereabouts;
use crate::pattern::{SmoothPatch, widest_smooth};
use crate::shape::Point;
use crate::takeoff::{Item, MoneyRange, Shelf, Stock, Takeoff, WorkKind, WorkStep};
use crate::units::{Area, HourRange, Length, LengthUnit, Share};

/// One of those compared.
#[derive(Debug, Clone)]
pub struct Candidate {
    /// What it is called: the file, or what was changed.
    pub name: String,
    /// Its job.
    pub job: Job,
    /// Its figures.
    pub figures: Figures,
    /// What it takes.
    pub takeoff: Takeoff,
    /// The widest smooth place of each deck that has one.
    pub smooth: Vec<DeckPatch>,
}

/// The widest smooth place of one deck.
#[derive(Debug, Clone, PartialEq)]
pub struct DeckPatch {
    /// The deck's id.
    pub deck: String,
    /// What people call it.
    pub title: String,
    /// The place.
    pub patch: SmoothPatch,
}

impl Candidate {
    /// A job under a name.
    #[must_use]
    pub fn of(name: String, job: Job) -> Self {
        let smooth = job.decks.iter().filter_map(|deck| {
            Some(DeckPatch {
                deck: deck.plan.id.clone(),
                title: deck.plan.title.clone(),
                patch: widest_smooth(&deck.pattern)?,
            })
        });
        Self {
            smooth: smooth.collect(),
            ..Self::in_passing(name, job)
        }
    }

    /// The same without its widest smooth places, which take longer to find than all its other figures: for a job that is
    /// still being moved about.
    #[must_use]
    pub fn in_passing(name: String, job: Job) -> Self {
        let figures = Figures::of(&job);
        let takeoff = Takeoff::of(&job, &figures);
        Self {
            name,
            figures,
            takeoff,
            smooth: Vec::new(),
            job,
        }
    }

    /// The widest smooth place of all decks; of several as wide, the first.
    #[must_use]
    pub fn widest(&self) -> Option<&DeckPatch> {
        self.smooth.iter().reduce(|best, one| {
            if one.patch.width > best.patch.width {
                one
            } else {
                best
            }
        })
    }

    /// What it buys of a thing.
    fn item(&self, id: &str) -> Option<&Item> {
        self.takeoff.shopping.iter().find(|item| item.id == id)
    }
}

/// What a row is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Section {
    /// Areas and fields.
    Pattern,
    /// Where a foot finds no grip.
    Underfoot,
    /// Tape and film.
    Masking,
    /// Paint and what goes with it.
    Paint,
    /// Hours and days.
    Work,
    /// Money.
    Cost,
}

impl Section {
    /// All, in their order.
    pub const ALL: [Self; 6] = [
        Self::Pattern,
        Self::Underfoot,
        Self::Masking,
        Self::Paint,
        Self::Work,
        Self::Cost,
    ];

    /// Its heading.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Pattern => "Pattern",
            Self::Underfoot => "Underfoot",
            Self::Masking => "Tape and film",
            Self::Paint => "Paint and what goes with it",
            Self::Work => "Work",
            Self::Cost => "Cost",
        }
    }
}

/// One figure of all candidates.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Its name for programs.
    pub key: String,
    /// What it is.
    pub title: String,
    /// What it is about.
    pub section: Section,
    /// One for each candidate; none where it has no such figure.
    pub values: Vec<Option<Value>>,
}

impl Row {
    /// How a candidate's value stands to the first one's.
    #[must_use]
    pub fn difference(&self, index: usize) -> Difference {
        match (self.values.first(), self.values.get(index)) {
            (Some(Some(first)), Some(Some(value))) => value.beside(first),
            (Some(None), Some(None)) => Difference::Same,
            _ => Difference::Unlike,
        }
    }
}

/// Several candidates side by side.
#[derive(Debug, Clone)]
pub struct Comparison {
    /// The unit all of them are shown in: the first one's.
    pub units: LengthUnit,
    /// The candidates; the others are held against the first.
    pub candidates: Vec<Candidate>,
    /// Their figures, section by section. None that no candidate has.
    pub rows: Vec<Row>,
}

impl Comparison {
    /// Compares.
    #[must_use]
    pub fn of(candidates: Vec<Candidate>) -> Self {
        let units = candidates
            .first()
            .map_or(LengthUnit::Millimetre, |first| first.figures.units);
        let rows = rows(&candidates.iter().collect::<Vec<_>>(), units);
        Self {
            units,
            candidates,
            rows,
        }
    }

    /// The title of the job, where all are of one.
    #[must_use]
    pub fn title(&self) -> Option<&str> {
        let mut titles = self.candidates.iter().map(|one| &one.job.layout.title);
        let first = titles.next()?;
        titles.all(|title| title == first).then_some(first)
    }

    /// The row of this key.
    #[must_use]
    pub fn row(&self, key: &str) -> Option<&Row> {
        self.rows.iter().find(|row| row.key == key)
    }
}

/// The figures of several candidates section by section, shown in `units`. None that no candidate has.
#[must_use]
pub fn rows(candidates: &[&Candidate], units: LengthUnit) -> Vec<Row> {
    let mut rows = Rows {
        candidates,
        rows: Vec::new(),
    };
    rows.pattern();
    rows.underfoot(units);
    rows.bought();
    rows.work();
    rows.cost();
    let mut rows = rows.rows;
    rows.retain(|row| row.values.iter().any(Option::is_some));
    rows
}

/// Of two titles what both say: a tape of another width is the same tape still.
fn alike(one: &str, other: &str) -> String {
    let parts = one.split(", ").zip(other.split(", "));
    let same: Vec<&str> = parts
        .filter(|(one, other)| one == other)
        .map(|(one, _)| one)
        .collect();
    if same.is_empty() {
        one.to_owned()
    } else {
        same.join(", ")
    }
}

struct Rows<'a> {
    candidates: &'a [&'a Candidate],
    rows: Vec<Row>,
}

impl Rows<'_> {
    fn add(
        &mut self,
        section: Section,
        key: &str,
        title: &str,
        value: impl Fn(&Candidate) -> Option<Value>,
    ) {
        self.rows.push(Row {
            key: key.to_owned(),
            title: title.to_owned(),
            section,
            values: self.candidates.iter().map(|one| value(one)).collect(),
        });
    }

    fn pattern(&mut self) {
        let section = Section::Pattern;
        let area = |of: fn(&Takeoff) -> Area| {
            move |one: &Candidate| Some(Value::Amount(Stock::Area(of(&one.takeoff))))
        };
        let count = |of: fn(&Figures) -> usize| {
            move |one: &Candidate| Some(Value::Amount(Stock::Pieces(of(&one.figures))))
        };
        self.add(
            section,
            "field_area",
            "Non-skid",
            area(|takeoff| takeoff.zones.iter().map(|zone| zone.field).sum()),
        );
        self.add(
            section,
            "border_area",
            "Smooth border",
            area(|takeoff| takeoff.zones.iter().map(|zone| zone.border).sum()),
        );
        self.add(section, "non_skid_share", "Non-skid, of the deck", |one| {
            let areas = one.figures.areas();
            Some(Value::Share(Share::per_cent(areas.per_cent(areas.field))))
        });
        self.add(
            section,
            "fields",
            "Fields",
            count(|figures| figures.decks.iter().map(|deck| deck.fields.len()).sum()),
        );
        self.add(
            section,
            "dropped",
            "Pieces too small to be a field",
            count(|figures| figures.decks.iter().map(|deck| deck.dropped.len()).sum()),
        );
        self.add(
            section,
            "warnings",
            "Warnings",
            count(|figures| figures.warnings.len()),
        );
    }

    fn underfoot(&mut self, units: LengthUnit) {
        let section = Section::Underfoot;
        self.add(section, "widest_smooth", "Widest smooth place", |one| {
            Some(Value::Length(one.widest()?.patch.width))
        });
        self.add(section, "widest_smooth_at", "where that is", |one| {
            let DeckPatch { title, patch, .. } = one.widest()?;
            // To the whole millimetre: nobody finds a middle closer.
            let at = Point::new(patch.centre.x.round(), patch.centre.y.round());
            Some(Value::Words(format!("{title}, {}", whereabouts(at, units))))
        });
        let mut decks: Vec<(&str, &str)> = Vec::new();
        for one in self.candidates.iter().flat_map(|one| &one.smooth) {
            if decks.iter().all(|(id, _)| *id != one.deck) {
                decks.push((&one.deck, &one.title));
            }
        }
        for (id, title) in decks.iter().filter(|_| decks.len() > 1) {
            let key = format!("widest_smooth.{id}");
            self.add(section, &key, &format!("on {title}"), |one| {
                let mut smooth = one.smooth.iter();
                let patch = smooth.find(|patch| patch.deck == *id)?.patch;
                Some(Value::Length(patch.width))
            });
        }
        self.add(section, "least_clearance", "Narrowest border", |one| {
            let decks = one.figures.decks.iter();
            let fields = decks.flat_map(|deck| &deck.fields);
            let least = fields.map(|field| field.clearance).reduce(Length::min);
            least.map(Value::Length)
        });
    }

    /// Every item of two shelves that any of them needs, in the order it is first met.
    fn bought(&mut self) {
        for (shelf, section) in [
            (Shelf::Masking, Section::Masking),
            (Shelf::Paint, Section::Paint),
        ] {
            let mut met: Vec<(&str, String)> = Vec::new();
            let candidates = self.candidates;
            let items = candidates.iter().flat_map(|one| &one.takeoff.shopping);
            for item in items.filter(|item| item.shelf == shelf) {
                match met.iter_mut().find(|(id, _)| *id == item.id) {
                    Some((_, title)) => *title = alike(title, &item.title),
                    None => met.push((&item.id, item.title.clone())),
                }
            }
            for (id, title) in met {
                self.add(section, &format!("{id}.need"), &title, |one| {
                    Some(Value::Amount(one.item(id)?.need))
                });
                if shelf == Shelf::Masking {
                    let title = format!("{title}, rolls");
                    self.add(section, &format!("{id}.rolls"), &title, |one| {
                        let rolls = one.item(id)?.buy.iter().map(|bought| bought.count).sum();
                        Some(Value::Amount(Stock::Pieces(rolls)))
                    });
                }
            }
        }
    }

    fn work(&mut self) {
        let section = Section::Work;
        let hours = |one: &Candidate, counts: fn(&WorkStep) -> bool| {
            let steps = one.takeoff.steps.iter().filter(|step| counts(step));
            let hours: HourRange = steps.map(WorkStep::hours).sum();
            Some(Value::Hours(hours))
        };
        self.add(section, "hours", "Person-hours", |one| hours(one, |_| true));
        self.add(
            section,
            "masking_hours",
            "of these, setting out and masking",
            |one| {
                hours(one, |step| {
                    matches!(
                        step.kind,
                        WorkKind::SetOut | WorkKind::Mask(_) | WorkKind::Unmask(_)
                    )
                })
            },
        );
        self.add(section, "days", "Working days", |one| {
            Some(Value::Days(one.takeoff.cost.days))
        });
        let coats = |one: &Candidate| one.takeoff.steps.iter().any(|step| step.coats.is_some());
        self.add(section, "mixes", "Mixes to lay", |one| {
            let steps = one.takeoff.steps.iter();
            let mixes = steps.filter_map(|step| Some(step.coats.as_ref()?.batch_count()));
            coats(one).then(|| Value::Amount(Stock::Pieces(mixes.sum())))
        });
        self.add(
            section,
            "too_large",
            "Pieces too large for one mix",
            |one| {
                let many = one.takeoff.too_large.len();
                coats(one).then_some(Value::Amount(Stock::Pieces(many)))
            },
        );
    }

    fn cost(&mut self) {
        let section = Section::Cost;
        let mut money = |key: &str, title: &str, of: fn(&Takeoff) -> Option<MoneyRange>| {
            self.add(section, key, title, |one| {
                Some(Value::Money(of(&one.takeoff)?, one.takeoff.currency?))
            });
        };
        money("materials", "Materials", |takeoff| {
            Some(MoneyRange::fixed(takeoff.cost.materials))
        });
        money("paid", "Paid out", |takeoff| Some(takeoff.cost.paid));
        money("own_time", "Your time, at its worth", |takeoff| {
            takeoff.cost.own_time
        });
        money("budget_left", "Left of the budget", |takeoff| {
            let (budget, paid) = (takeoff.cost.budget?, takeoff.cost.paid);
            Some(MoneyRange {
                low: budget - paid.high,
                likely: budget - paid.likely,
                high: budget - paid.low,
            })
        });
        money(
            "break_even_hour",
            "Worth of an hour that equals the quote",
            |takeoff| takeoff.cost.quote.as_ref()?.break_even,
        );
        self.add(section, "unpriced", "Things without a price", |one| {
            one.takeoff.currency?;
            Some(Value::Amount(Stock::Pieces(
                one.takeoff.cost.unpriced.len(),
            )))
        });
    }
}
