//! The programme for a spreadsheet: a row for each stretch of work, as RFC 4180 has it.

use super::super::csv::push_row;
use crate::programme::{ActivityKind, Programme};

/// The rows of the likely schedule.
#[must_use]
pub fn csv(programme: &Programme) -> String {
    let mut text = String::new();
    push_row(
        &mut text,
        [
            "activity",
            "step",
            "kind",
            "title",
            "from",
            "to",
            "hours",
            "people",
            "waited for",
        ],
    );
    for placed in &programme.likely.placed {
        let activity = &placed.activity;
        let waited = placed.waited_for().unwrap_or_default();
        for span in &placed.spans {
            let hours = span.length().as_secs() as f64 / 3600.0;
            let (from, to) = (span.from.to_string(), span.to.to_string());
            push_row(
                &mut text,
                [
                    activity.id.as_str(),
                    activity.step.as_deref().unwrap_or_default(),
                    kind(&activity.kind),
                    &activity.title,
                    &from,
                    &to,
                    &hours.to_string(),
                    &programme.people.to_string(),
                    &waited,
                ],
            );
        }
    }
    text
}

/// A kind for programs.
pub(super) const fn kind(kind: &ActivityKind) -> &'static str {
    match kind {
        ActivityKind::Work => "work",
        ActivityKind::Coat(_) => "coat",
        ActivityKind::Mask(_) => "mask",
        ActivityKind::Unmask(_) => "unmask",
        ActivityKind::ExtraSanding => "extra-sanding",
    }
}
