//! How remarks are said, the same on every list.

use crate::programme::{Programme, Remark, RemarkKind};
use crate::units::moment;

/// What is said of a remark.
pub(super) fn remark(remark: &Remark, programme: &Programme) -> String {
    let placed = programme.likely.placed.iter();
    let title = placed
        .map(|placed| &placed.activity)
        .find(|activity| activity.id == remark.activity)
        .map_or(remark.activity.as_str(), |activity| &activity.title);
    match &remark.kind {
        RemarkKind::TapeTooLong { laid, dwell, off } => format!(
            "{title}: the tape is laid from {} on and may stay {}, until {}; it comes off only {}. Take it off before that and mask \
             again, or use a tape that may stay longer (`tape_dwell`).",
            moment(*laid),
            dwell.show_days(),
            moment(remark.at),
            moment(*off)
        ),
        RemarkKind::RecoatMissed { by, grit } => format!(
            "{title}: too late for a coat without sanding, which ended {}. Sanding with P{grit} is planned before it.",
            moment(*by)
        ),
        RemarkKind::HeldBack { from, to, lacks } => {
            let lacks: Vec<String> = lacks
                .iter()
                .map(|reason| reason.show(programme.units))
                .collect();
            format!(
                "{title}: held back by the weather from {} to {}. What the hours before lack that come closest: {}.",
                moment(*from),
                moment(*to),
                if lacks.is_empty() {
                    "nothing but their number".to_owned()
                } else {
                    lacks.join("; ")
                }
            )
        }
        RemarkKind::WeatherUnknown => format!(
            "{title}: no weather is given for {}; it is planned as if that were fit.",
            moment(remark.at)
        ),
        RemarkKind::OutOfRange { planned, range } => {
            let [coldest, warmest] = range.map(|one| one.show(programme.units));
            format!(
                "{title}: the job is planned at {} (`temperature`), and this is laid from {coldest} to {warmest}.",
                planned.show(programme.units)
            )
        }
        RemarkKind::LongerThanADay => format!(
            "{title}: one batch takes longer than a working day; more hands or longer hours would keep it in one go.",
        ),
    }
}
