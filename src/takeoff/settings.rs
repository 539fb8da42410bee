//! Every setting that the takeoff rests on, with where it comes from: so that a default is seen for what it is.

use crate::layout::{Labour, Lasts, Layout, Origin, Pace, Setting, Supplies, Task};
use crate::units::LengthUnit;

/// One setting as it was used.
#[derive(Debug, Clone, PartialEq)]
pub struct SettingUsed {
    /// Where the layout would say it: `labour.tape_curve`.
    pub key: String,
    /// What it is about.
    pub title: String,
    /// Its value, as people write it.
    pub value: String,
    /// Where it comes from.
    pub origin: Origin,
}

/// All of them, in the layout's order.
pub(super) fn settings(layout: &Layout) -> Vec<SettingUsed> {
    let units = layout.units;
    let work = &layout.work;
    let job = &work.job;
    let mut used = Vec::new();
    let mut add = |key: String, title: &str, value: String, origin: Origin| {
        used.push(SettingUsed {
            key,
            title: title.to_owned(),
            value,
            origin,
        });
    };
    for step in &work.steps {
        let id = &step.id.value;
        let loss = match &step.task {
            Task::Coat(coat) => Some(coat.loss),
            Task::Caulk { loss, .. } => Some(*loss),
            _ => None,
        };
        if let Some(loss) = loss {
            let value = format!("{} %", loss.value.to_per_cent());
            add(
                format!("step {id}: loss"),
                "lost on the way",
                value,
                loss.origin,
            );
        }
        if let Task::Clean { rate, .. } = &step.task {
            add(
                format!("step {id}: rate"),
                "a litre of cleaner does",
                rate.value.show(units),
                rate.origin,
            );
        }
    }
    let people = |many: Setting<usize>| (many.value.to_string(), many.origin);
    let (value, origin) = people(job.people);
    add("job.people".into(), "who work", value, origin);
    let (value, origin) = people(job.laying);
    add("job.laying".into(), "who lay paint at once", value, origin);
    add(
        "job.hours_a_day".into(),
        "hours each works in a day",
        job.hours_a_day.value.show(),
        job.hours_a_day.origin,
    );
    add(
        "job.temperature".into(),
        "air and deck when it is painted",
        job.temperature.value.show(units),
        job.temperature.origin,
    );
    add(
        "job.pot_life_halves".into(),
        "a pot life is halved by",
        format!("{} °C warmer", job.pot_life_halves.value),
        job.pot_life_halves.origin,
    );
    add(
        "job.mix_tolerance".into(),
        "a part of a mix may be off by",
        format!("{} %", job.mix_tolerance.value.to_per_cent()),
        job.mix_tolerance.origin,
    );
    let cup = job.cup.value;
    add(
        "job.cup".into(),
        "mixes are measured in",
        format!("{} by {}", cup.holds.show(units), cup.step.show(units)),
        job.cup.origin,
    );
    let scale = job.scale.value;
    add(
        "job.scale".into(),
        "or weighed on",
        format!("{} by {}", scale.holds.show(units), scale.step.show(units)),
        job.scale.origin,
    );
    for (task, key, title) in Labour::LINE_TASKS {
        let pace = work.labour.line(task);
        let value = three(pace.value, |pace| pace.show(units));
        add(format!("labour.{key}"), title, value, pace.origin);
    }
    for (task, key, title) in Labour::AREA_TASKS {
        let pace = work.labour.area(task);
        let value = three(pace.value, |pace| pace.show(units));
        add(format!("labour.{key}"), title, value, pace.origin);
    }
    let mix = work.labour.mix;
    let value = three(mix.value, |time| time.show());
    add("labour.mix".into(), "mixing a batch", value, mix.origin);
    for (key, title, waste) in [
        (
            "film_waste",
            "film lost on the way",
            work.supplies.film_waste,
        ),
        (
            "bead_tape_waste",
            "tape beside a bead lost on the way",
            work.supplies.bead_tape_waste,
        ),
    ] {
        let value = format!("{} %", waste.value.to_per_cent());
        add(format!("supplies.{key}"), title, value, waste.origin);
    }
    for (kind, key, title) in Supplies::KINDS {
        let lasts = work.supplies.of(kind).lasts;
        add(
            format!("supplies.{key}"),
            title,
            lasting(lasts.value, units),
            lasts.origin,
        );
    }
    used
}

fn three<T: Copy>(pace: Pace<T>, show: impl Fn(T) -> String) -> String {
    format!(
        "{}, {}, {}",
        show(pace.slow),
        show(pace.likely),
        show(pace.fast)
    )
}

fn lasting(lasts: Lasts, units: LengthUnit) -> String {
    match lasts {
        Lasts::Area(area) => format!("one for {}", area.show(units)),
        Lasts::Batch(many) => format!("{many} a batch"),
        Lasts::Time(time) => format!("one for {}", time.show()),
    }
}
