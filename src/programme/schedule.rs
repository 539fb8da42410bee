//! From activities to days and hours: each as soon as the one before it is over, what it waits for has dried and somebody
//! works. Comes in: a sequence, a calendar, how many work. Goes out: [`Schedule`]. One crew does one thing at a time.

use jiff::civil::{Date, DateTime};

use super::activities::{Activity, ActivityKind, Sequence, Wait};
use super::calendar::{Calendar, Span, minutes};
use super::fit_hours::{FitHours, Verdict};
use super::judged::JudgedWeather;
use crate::units::{HourRange, Time};
use crate::weather::Reason;

/// Which of the three figures of hours is planned with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Case {
    /// As if every step went well.
    Few,
    /// As it usually goes.
    Likely,
    /// As if no step went well.
    Many,
}

impl Case {
    const fn of(self, hours: HourRange) -> Time {
        match self {
            Self::Few => hours.low,
            Self::Likely => hours.likely,
            Self::Many => hours.high,
        }
    }
}

/// An activity with its time.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// What is done.
    pub activity: Activity,
    /// When: stretches of work in their order, of a coat one for each batch at least.
    pub spans: Vec<Span>,
    /// What held it up beyond the end of the one before: the wait that ended last.
    pub waited: Option<Wait>,
    /// What the weather did to it.
    pub weather: Held,
}

/// What the weather does to an activity.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Held {
    /// From when on it could have been done otherwise, and what the weather lacked between then and when it is; none where it
    /// held nothing up.
    pub back: Option<(DateTime, Vec<Reason>)>,
    /// A part of it lies where nobody knows the weather, though a record was given.
    pub is_unknown: bool,
}

impl Placed {
    /// When it begins; for nothing to do the moment it would.
    #[must_use]
    pub fn begins(&self) -> Option<DateTime> {
        self.spans.first().map(|span| span.from)
    }

    /// When it ends.
    #[must_use]
    pub fn ends(&self) -> Option<DateTime> {
        self.spans.last().map(|span| span.to)
    }
}

/// When all is done.
#[derive(Debug, Clone, PartialEq)]
pub struct Schedule {
    /// The activities in the order of doing; the numbers of waits mean these.
    pub placed: Vec<Placed>,
    /// When the work begins.
    pub begins: DateTime,
    /// When the deck may be walked on.
    pub walked_on: DateTime,
    /// When all is cured.
    pub ready: DateTime,
}

impl Schedule {
    /// By when a coat had to be laid, or be sanded for; none where it has no such limit.
    #[must_use]
    pub fn recoat_by(&self, placed: &Placed) -> Option<DateTime> {
        let deadline = placed.activity.deadline.as_ref()?;
        // What was laid first is the first that is too old.
        let oldest = self.placed[deadline.on].spans.first()?.to;
        Some(oldest.saturating_add(minutes(deadline.time)))
    }
}

/// Why there is no schedule.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NeverOpen {
    /// The activity that finds no day.
    pub activity: String,
    /// The moment from which on.
    pub from: DateTime,
}

/// Places all activities from a day on.
///
/// # Errors
/// Where an activity finds no open day within two years.
pub fn schedule(
    sequence: &Sequence,
    calendar: &Calendar,
    people: usize,
    case: Case,
    weather: Option<&JudgedWeather>,
    start: Date,
) -> Result<Schedule, NeverOpen> {
    let mut placing = Placing {
        calendar,
        people,
        case,
        weather,
        placed: Vec::new(),
        place_of: Vec::new(),
        at: start.to_datetime(jiff::civil::Time::midnight()),
    };
    for activity in &sequence.activities {
        placing.place(activity)?;
    }
    let begins = placing.placed.iter().find_map(Placed::begins);
    let over = |waits: &[Wait]| {
        let ends = waits.iter().map(|wait| placing.over(wait));
        ends.fold(placing.at, DateTime::max)
    };
    Ok(Schedule {
        begins: begins.unwrap_or(placing.at),
        walked_on: over(&sequence.walked_on),
        ready: over(&sequence.ready),
        placed: placing.placed,
    })
}

struct Placing<'a> {
    calendar: &'a Calendar,
    people: usize,
    case: Case,
    weather: Option<&'a JudgedWeather>,
    placed: Vec<Placed>,
    /// Of each activity of the sequence its place among those placed: sanding comes in between.
    place_of: Vec<usize>,
    /// The end of the last.
    at: DateTime,
}

impl Placing<'_> {
    /// When a wait is over.
    fn over(&self, wait: &Wait) -> DateTime {
        let placed = &self.placed[self.place_of[wait.on]];
        let end = placed.ends().unwrap_or(self.at);
        end.saturating_add(minutes(wait.time))
    }

    fn place(&mut self, activity: &Activity) -> Result<(), NeverOpen> {
        let waited = activity.waits.iter().max_by_key(|wait| self.over(wait));
        let waited = waited.filter(|wait| self.over(wait) > self.at);
        let from = waited.map_or(self.at, |wait| self.over(wait));
        let waited = waited.map(|wait| Wait {
            on: self.place_of[wait.on],
            ..wait.clone()
        });
        let mut spans = self.spans(activity, from)?;
        if let Some(deadline) = &activity.deadline
            && let Some(first) = spans.first()
        {
            // What was laid first is the first that is too old.
            let laid = &self.placed[self.place_of[deadline.on]];
            let oldest = laid.spans.first().map_or(self.at, |span| span.to);
            if first.from > oldest.saturating_add(minutes(deadline.time)) {
                let sanding = Activity {
                    id: format!("{}-sanded", activity.id),
                    step: activity.step.clone(),
                    title: format!(
                        "Too late to coat as it is: sand with P{} first",
                        deadline.grit
                    ),
                    kind: ActivityKind::ExtraSanding,
                    product: None,
                    hours: deadline.hours,
                    waits: activity.waits.clone(),
                    deadline: None,
                };
                let sanded = self.spans(&sanding, from)?;
                self.at = sanded.last().map_or(self.at, |span| span.to);
                self.placed.push(Placed {
                    activity: self.in_place(sanding),
                    spans: sanded,
                    waited: waited.clone(),
                    weather: Held::default(),
                });
                spans = self.spans(activity, self.at)?;
            }
        }
        let weather = self.held(activity, from, &spans);
        self.at = spans.last().map_or(self.at, |span| span.to);
        self.place_of.push(self.placed.len());
        self.placed.push(Placed {
            activity: self.in_place(activity.clone()),
            spans,
            waited,
            weather,
        });
        Ok(())
    }

    /// An activity whose waits mean the places of those placed.
    fn in_place(&self, mut activity: Activity) -> Activity {
        for wait in &mut activity.waits {
            wait.on = self.place_of[wait.on];
        }
        if let Some(deadline) = &mut activity.deadline {
            deadline.on = self.place_of[deadline.on];
        }
        activity
    }

    /// The hours fit for what is laid.
    fn fit_hours(&self, activity: &Activity) -> Option<FitHours<'_>> {
        self.weather?.fit_hours(activity.product.as_deref()?)
    }

    fn spans(&self, activity: &Activity, from: DateTime) -> Result<Vec<Span>, NeverOpen> {
        let hours = self.case.of(activity.hours) / self.people as f64;
        let spans = match &activity.kind {
            ActivityKind::Coat(shares) => {
                self.batches(shares, hours, from, self.fit_hours(activity))
            }
            _ => self.calendar.fill(from, minutes(hours)),
        };
        spans.ok_or_else(|| NeverOpen {
            activity: activity.id.clone(),
            from,
        })
    }

    /// What the weather did to a coat: held against when it would have been laid without.
    fn held(&self, activity: &Activity, from: DateTime, spans: &[Span]) -> Held {
        let (Some(weather), ActivityKind::Coat(shares)) =
            (self.fit_hours(activity), &activity.kind)
        else {
            return Held::default();
        };
        let hours = self.case.of(activity.hours) / self.people as f64;
        let dry = self.batches(shares, hours, from, None).unwrap_or_default();
        let back = dry
            .iter()
            .zip(spans)
            .find(|(dry, span)| dry.from < span.from);
        Held {
            back: back.map(|(dry, span)| {
                let worked = self.worked(dry.from, span.from);
                (dry.from, weather.lacked(&worked, span.length()))
            }),
            is_unknown: spans
                .iter()
                .any(|span| weather.verdict(*span) == Verdict::Unknown),
        }
    }

    /// The working hours between two moments.
    fn worked(&self, from: DateTime, to: DateTime) -> Vec<Span> {
        let mut stretches = Vec::new();
        let mut at = from;
        while let Some(open) = self.calendar.next(at).filter(|open| open.from < to) {
            stretches.push(Span {
                to: open.to.min(to),
                ..open
            });
            at = open.to;
        }
        stretches
    }

    /// Batch after batch, none broken off unless it takes longer than any day.
    fn batches(
        &self,
        shares: &[f64],
        hours: Time,
        from: DateTime,
        weather: Option<FitHours<'_>>,
    ) -> Option<Vec<Span>> {
        let may =
            |span: Span| weather.is_none_or(|weather| weather.verdict(span) != Verdict::Unfit);
        let mut spans: Vec<Span> = Vec::new();
        let mut at = from;
        for share in shares {
            let work = minutes(hours * *share);
            if work > self.calendar.day() {
                spans.extend(self.calendar.fill(at, work)?);
            } else if !work.is_zero() {
                spans.push(self.calendar.whole(at, work, may)?);
            }
            at = spans.last().map_or(at, |span| span.to);
        }
        Some(spans)
    }
}
