//! What a person should know of a schedule: tape that stays too long, a coat that came too late, paint that is hard before its
//! tape is off. Comes in: a job, its schedule. Goes out: [`Remark`]s in the order of their time.

use jiff::civil::DateTime;

use super::calendar::minutes;
use super::schedule::{HeldBack, Placed, Schedule};
use super::{ActivityKind, Wait};
use crate::Job;
use crate::layout::Dry;
use crate::takeoff::Pass;
use crate::units::{Temperature, Time};
use crate::weather::Reason;

/// Something a person should know.
#[derive(Debug, Clone, PartialEq)]
pub struct Remark {
    /// From when on it matters.
    pub at: DateTime,
    /// The activity it is of.
    pub activity: String,
    /// What it is.
    pub kind: RemarkKind,
}

/// What a remark says.
#[derive(Debug, Clone, PartialEq)]
pub enum RemarkKind {
    /// Tape is down from `laid` on and has to be off by `by`, but comes off only then.
    TapeTooLong {
        /// When its laying began.
        laid: DateTime,
        /// How long it may stay.
        dwell: Time,
        /// When it comes off.
        off: DateTime,
    },
    /// A coat came too late, so that the surface is sanded first.
    RecoatMissed {
        /// When it would have had to be laid.
        by: DateTime,
        /// The grit.
        grit: u32,
    },
    /// A coat that takes a batch longer than a working day.
    LongerThanADay,
    /// A coat that waits for the weather, and what it lacks before.
    HeldBack {
        /// When it would have been laid.
        from: DateTime,
        /// When it is.
        to: DateTime,
        /// The worst of each rule, in the hours that come closest.
        lacks: Vec<Reason>,
    },
    /// A coat for whose hours no weather is given.
    WeatherUnknown,
    /// The job is planned at a temperature that the coat's product may not be laid at.
    OutOfRange {
        /// The job's.
        planned: Temperature,
        /// The coldest and the warmest air of the product.
        range: [Temperature; 2],
    },
}

/// The remarks of a schedule.
pub(super) fn remarks(job: &Job, schedule: &Schedule) -> Vec<Remark> {
    let settings = &job.layout.work.programme;
    let planned = job.layout.work.job.temperature.value;
    let mut out_of_range: Vec<&str> = Vec::new();
    let mut said = Vec::new();
    let mut down: Vec<(Pass, DateTime)> = Vec::new();
    for placed in &schedule.placed {
        let (Some(begins), Some(ends)) = (placed.begins(), placed.ends()) else {
            continue;
        };
        let activity = &placed.activity;
        let mut remark = |at: DateTime, kind: RemarkKind| {
            said.push(Remark {
                at,
                activity: activity.id.clone(),
                kind,
            });
        };
        match &activity.kind {
            ActivityKind::Mask(pass) => down.push((*pass, begins)),
            ActivityKind::Unmask(pass) => {
                let dwell = settings.tape_dwell.value;
                let mine = down.iter().rposition(|(laid, _)| laid == pass);
                if let Some((_, laid)) = mine.map(|at| down.remove(at)) {
                    let by = laid.saturating_add(minutes(dwell));
                    if ends > by {
                        let off = ends;
                        remark(by, RemarkKind::TapeTooLong { laid, dwell, off });
                    }
                }
            }
            ActivityKind::Coat(shares) => {
                // Dew that is gone by noon is every day's, and the table of hours has it.
                if let Some(HeldBack { from, to, lacks }) = placed.weather.back.clone()
                    && from.date() < to.date()
                {
                    remark(from, RemarkKind::HeldBack { from, to, lacks });
                }
                let product = activity.product.as_deref();
                if let Some(product) = product.and_then(|id| job.materials.product(id))
                    && !out_of_range.contains(&product.id.value.as_str())
                {
                    let range = [product.weather.coldest.value, product.weather.warmest.value];
                    if planned < range[0] || planned > range[1] {
                        out_of_range.push(&product.id.value);
                        remark(begins, RemarkKind::OutOfRange { planned, range });
                    }
                }
                if placed.weather.is_unknown {
                    remark(begins, RemarkKind::WeatherUnknown);
                }
                if placed.spans.len() > shares.len() {
                    remark(begins, RemarkKind::LongerThanADay);
                }
                if let Some(deadline) = &activity.deadline
                    && let Some(by) = placed.recoat_by
                    && begins > by
                {
                    let grit = deadline.grit;
                    remark(by, RemarkKind::RecoatMissed { by, grit });
                }
            }
            ActivityKind::Work | ActivityKind::ExtraSanding => {}
        }
    }
    said.sort_by_key(|remark| remark.at);
    said
}

impl Placed {
    /// What it waited for: `dry to tape: 16 h`.
    #[must_use]
    pub fn waited_for(&self) -> Option<String> {
        let Wait { dry, time, .. } = self.waited.as_ref()?;
        dry.map(|dry: Dry| format!("{}: {}", dry.title(), time.show_days()))
    }
}
