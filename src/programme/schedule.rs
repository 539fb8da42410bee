//! From activities to days and hours: each as soon as the one before it is over, what it waits for has dried and somebody
//! works. Comes in: a sequence, a calendar, how many work. Goes out: [`Schedule`]. One crew does one thing at a time.

use jiff::civil::{Date, DateTime};

use super::activities::{Activity, ActivityKind, Sequence, Wait};
use super::calendar::{Calendar, Span, minutes};
use super::fit_hours::{FitHours, Verdict};
use super::judged::JudgedWeather;
use crate::layout::Dry;
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
    /// By when it had to be laid, or be sanded for; none where it has no such limit.
    pub recoat_by: Option<DateTime>,
    /// What the weather did to it.
    pub weather: Held,
}

/// What the weather does to an activity.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Held {
    /// Its first part that was held up; none where nothing was.
    pub back: Option<HeldBack>,
    /// A part of it lies where nobody knows the weather, though a record was given.
    pub is_unknown: bool,
}

/// Something that the weather held up.
#[derive(Debug, Clone, PartialEq)]
pub struct HeldBack {
    /// When it could have been done otherwise.
    pub from: DateTime,
    /// When it is done.
    pub to: DateTime,
    /// What the weather lacked in between.
    pub lacks: Vec<Reason>,
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
        self.dried(&placed.activity, wait.dry, wait.time, end)
    }

    /// When what an activity laid is so dry: by the temperature of each hour where it is known, else after so long.
    fn dried(&self, laid: &Activity, dry: Option<Dry>, time: Time, from: DateTime) -> DateTime {
        match (self.weather, &laid.drying, dry) {
            (Some(weather), Some(drying), Some(dry)) => weather.dried(drying, dry, from),
            _ => from.saturating_add(minutes(time)),
        }
    }

    /// By when a coat has to be laid, or be sanded for.
    fn recoat_by(&self, activity: &Activity) -> Option<DateTime> {
        let deadline = activity.deadline.as_ref()?;
        let laid = &self.placed[self.place_of[deadline.on]];
        // What was laid first is the first that is too old.
        let oldest = laid.spans.first()?.to;
        Some(self.dried(&laid.activity, Some(Dry::RecoatBy), deadline.time, oldest))
    }

    fn place(&mut self, activity: &Activity) -> Result<(), NeverOpen> {
        let waited = activity.waits.iter().max_by_key(|wait| self.over(wait));
        let waited = waited.filter(|wait| self.over(wait) > self.at);
        let from = waited.map_or(self.at, |wait| self.over(wait));
        let waited = waited.map(|wait| self.as_it_took(wait));
        let mut spans = self.spans(activity, from)?;
        let recoat_by = self.recoat_by(activity);
        if let (Some(deadline), Some(by)) = (&activity.deadline, recoat_by)
            && spans.first().is_some_and(|first| first.from > by)
        {
            let sanding = Activity {
                id: format!("{}-sanded", activity.id),
                step: activity.step.clone(),
                title: format!(
                    "Too late to coat as it is: sand with P{} first",
                    deadline.grit
                ),
                kind: ActivityKind::ExtraSanding,
                product: None,
                drying: None,
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
                recoat_by: None,
                weather: Held::default(),
            });
            spans = self.spans(activity, self.at)?;
        }
        let weather = self.held(activity, from, &spans);
        self.at = spans.last().map_or(self.at, |span| span.to);
        self.place_of.push(self.placed.len());
        self.placed.push(Placed {
            activity: self.in_place(activity.clone()),
            spans,
            waited,
            recoat_by,
            weather,
        });
        Ok(())
    }

    /// A wait that means the place of what is placed, with the time that it took.
    fn as_it_took(&self, wait: &Wait) -> Wait {
        let on = self.place_of[wait.on];
        let end = self.placed[on].ends().unwrap_or(self.at);
        let took = self.over(wait).duration_since(end);
        Wait {
            on,
            dry: wait.dry,
            time: Time::hours(took.as_secs() as f64 / 3600.0),
        }
    }

    /// An activity whose waits mean the places of those placed.
    fn in_place(&self, mut activity: Activity) -> Activity {
        activity.waits = activity
            .waits
            .iter()
            .map(|wait| self.as_it_took(wait))
            .collect();
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
                HeldBack {
                    from: dry.from,
                    to: span.from,
                    lacks: weather.lacked(&worked, span.length()),
                }
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
