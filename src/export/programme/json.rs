//! The programme for programs. Moments are local, `2027-05-03T08:00:00`, in `time_zone` where there is one. Keys may be added,
//! never changed.

use serde::Serialize;

use super::rows::kind;
use super::words::remark;
use crate::layout::{Bound, Dry, Origin};
use crate::programme::{Placed, Programme, Schedule};

#[derive(Serialize)]
struct ProgrammeKeys<'a> {
    title: &'a str,
    start: Option<String>,
    ready_by: Option<String>,
    time_zone: Option<&'a str>,
    people: usize,
    temperature_c: f64,
    few: EndKeys,
    likely: EndKeys,
    many: EndKeys,
    activities: Vec<ActivityKeys<'a>>,
    remarks: Vec<RemarkKeys<'a>>,
    settings: Vec<SettingKeys<'a>>,
}

#[derive(Serialize)]
struct EndKeys {
    begins: String,
    may_be_walked_on: String,
    cured: String,
}

#[derive(Serialize)]
struct ActivityKeys<'a> {
    id: &'a str,
    step: Option<&'a str>,
    kind: &'static str,
    title: &'a str,
    low_h: f64,
    likely_h: f64,
    high_h: f64,
    spans: Vec<SpanKeys>,
    waits: Vec<WaitKeys<'a>>,
    recoat_by: Option<String>,
}

#[derive(Serialize)]
struct SpanKeys {
    from: String,
    to: String,
}

#[derive(Serialize)]
struct WaitKeys<'a> {
    on: &'a str,
    dry: Option<&'static str>,
    hours: f64,
}

#[derive(Serialize)]
struct RemarkKeys<'a> {
    activity: &'a str,
    at: String,
    message: String,
}

#[derive(Serialize)]
struct SettingKeys<'a> {
    key: &'a str,
    title: &'a str,
    value: &'a str,
    source: &'static str,
}

/// The programme as JSON; activities are of the likely schedule.
///
/// # Errors
/// Never for a programme: its keys are text and its numbers finite.
pub fn json(programme: &Programme) -> Result<String, serde_json::Error> {
    let ends = |plan: &Schedule| EndKeys {
        begins: plan.begins.to_string(),
        may_be_walked_on: plan.walked_on.to_string(),
        cured: plan.ready.to_string(),
    };
    let (start, ready_by) = match programme.from {
        Bound::Start(date) => (Some(date.to_string()), None),
        Bound::Ready(date) => (None, Some(date.to_string())),
    };
    let keys = ProgrammeKeys {
        title: &programme.title,
        start,
        ready_by,
        time_zone: programme.zone.as_deref(),
        people: programme.people,
        temperature_c: programme.temperature.to_celsius(),
        few: ends(&programme.few),
        likely: ends(&programme.likely),
        many: ends(&programme.many),
        activities: programme
            .likely
            .placed
            .iter()
            .map(|placed| activity(placed, &programme.likely))
            .collect(),
        remarks: programme
            .remarks
            .iter()
            .map(|one| RemarkKeys {
                activity: &one.activity,
                at: one.at.to_string(),
                message: remark(one, programme),
            })
            .collect(),
        settings: programme
            .settings
            .iter()
            .map(|setting| SettingKeys {
                key: &setting.key,
                title: &setting.title,
                value: &setting.value,
                source: match setting.origin {
                    Origin::Layout => "layout",
                    Origin::Default(source) => source,
                },
            })
            .collect(),
    };
    let mut text = serde_json::to_string_pretty(&keys)?;
    text.push('\n');
    Ok(text)
}

fn activity<'a>(placed: &'a Placed, plan: &'a Schedule) -> ActivityKeys<'a> {
    let activity = &placed.activity;
    let hours = activity.hours;
    ActivityKeys {
        id: &activity.id,
        step: activity.step.as_deref(),
        kind: kind(&activity.kind),
        title: &activity.title,
        low_h: hours.low.to_hours(),
        likely_h: hours.likely.to_hours(),
        high_h: hours.high.to_hours(),
        spans: placed
            .spans
            .iter()
            .map(|span| SpanKeys {
                from: span.from.to_string(),
                to: span.to.to_string(),
            })
            .collect(),
        waits: activity
            .waits
            .iter()
            .map(|wait| WaitKeys {
                on: &plan.placed[wait.on].activity.id,
                dry: wait.dry.map(|dry| Dry::ALL[dry as usize].1),
                hours: wait.time.to_hours(),
            })
            .collect(),
        recoat_by: placed.recoat_by.map(|by| by.to_string()),
    }
}
