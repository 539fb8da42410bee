//! What is done when: nothing before what it waits for, nobody outside working hours, no coat too late without sanding.

use jiff::civil::{Date, date};
use jiff::{SignedDuration, ToSpan};
use proptest::prelude::*;
use proptest::strategy::ValueTree;

use spile::figures::Figures;
use spile::layout::{self, Bound, Dry, Sources};
use spile::programme::{
    ActivityKind, NoProgramme, Placed, Programme, RemarkKind, Schedule, minutes,
};
use spile::takeoff::Takeoff;
use spile::work_out;

/// A deck of 4 by 2 m that is primed, glossed and given its non-skid, with this under its products and in [programme].
fn planned(product: &str, programme: &str, from: Bound) -> Result<Programme, NoProgramme> {
    let text = format!(
        r#"
title = "Plain"
[[deck]]
id = "d"
outline = {{ points = [[0, 0], [4000, 0], [4000, 2000], [0, 2000]] }}
margin = {{ edge = 60 }}
[[deck.strip]]
width = 60
across_at = [1300, 2600]
[[product]]
id = "paint"
solids = 50
{product}
[[step]]
id = "sand"
on = "all"
sand = [80, 120]
[[step]]
id = "prime"
on = "all"
coat = "paint"
coats = 2
film = "50 um"
[[step]]
id = "gloss"
on = "border"
coat = "paint"
coats = 2
film = "50 um"
[[step]]
id = "grip"
on = "field"
coat = "paint"
film = "50 um"
[programme]
{programme}
"#
    );
    let layout = layout::read(&text).expect("a layout");
    let job = work_out(layout, &Sources::default()).expect("a job");
    let takeoff = Takeoff::of(&job, &Figures::of(&job));
    Programme::of(&job, &takeoff, from)
}

fn started(product: &str, programme: &str, start: Date) -> Programme {
    planned(product, programme, Bound::Start(start)).expect("it can be planned")
}

fn of<'a>(plan: &'a Schedule, id: &str) -> &'a Placed {
    let mut placed = plan.placed.iter();
    placed
        .find(|placed| placed.activity.id == id)
        .expect("it is planned")
}

/// A Monday.
const MONDAY: Date = date(2027, 5, 3);

/// Everything that holds for any schedule.
fn check(plan: &Schedule, programme: &Programme) {
    let mut end = plan.begins;
    for (index, placed) in plan.placed.iter().enumerate() {
        let id = &placed.activity.id;
        let Some(begins) = placed.begins() else {
            continue;
        };
        // One crew does one thing at a time, and nobody is counted twice.
        assert!(begins >= end, "{id} begins before the one before it ends");
        for wait in &placed.activity.waits {
            let over = plan.placed[wait.on].ends().expect("it was done") + minutes(wait.time);
            assert!(begins >= over, "{id} does not wait");
        }
        for span in &placed.spans {
            assert!(span.from >= end && span.to > span.from, "{id}");
            assert_eq!(span.from.date(), span.to.date(), "{id} works at night");
            end = span.to;
        }
        if let (Some(by), ActivityKind::Coat(_)) = (plan.recoat_by(placed), &placed.activity.kind)
            && begins > by
        {
            let before = &plan.placed[index - 1].activity.kind;
            assert_eq!(
                *before,
                ActivityKind::ExtraSanding,
                "{id} is too late and not sanded"
            );
        }
    }
    assert!(
        plan.walked_on >= end && plan.ready >= end,
        "{}",
        programme.title
    );
}

#[test]
fn a_week_that_can_be_followed_by_hand() {
    // One coat is 8 m² by two at 9.3 to 18 m²/h, 13.9 likely; the day begins at 08:00 and has 7 hours.
    let plan = started("", "test_patch = false", MONDAY).likely;
    let sand = of(&plan, "sand");
    assert_eq!(sand.begins(), Some(MONDAY.at(8, 0, 0, 0)));
    // 8 m² through two grits at 5 m²/h by two: 1.6 h, to the next 5 minutes.
    assert_eq!(sand.spans[0].length(), SignedDuration::from_mins(100));
    let first = of(&plan, "prime.1");
    assert_eq!(first.begins(), sand.ends());
    // Recoated after 8 h at 20 °C: not on the same day.
    let second = of(&plan, "prime.2");
    assert_eq!(second.begins(), Some(date(2027, 5, 4).at(8, 0, 0, 0)));
    // Taped 16 h after the second coat: Wednesday, with the chalk lines before it.
    assert_eq!(
        of(&plan, "set-out").begins(),
        Some(date(2027, 5, 5).at(8, 0, 0, 0))
    );
    // The tape comes off when the last gloss is dry to touch, 4 h after it.
    let gloss = of(&plan, "gloss.2").ends().expect("it is done");
    let unmask = of(&plan, "unmask-first").begins().expect("it is done");
    assert!(unmask >= gloss + SignedDuration::from_hours(4));
    // Cured a week after the last coat.
    let grip = of(&plan, "grip").ends().expect("it is done");
    assert_eq!(plan.ready, grip + SignedDuration::from_hours(7 * 24));
    assert_eq!(plan.walked_on, grip + SignedDuration::from_hours(24));
}

#[test]
fn the_test_patch_is_looked_at_before_the_first_coat() {
    let programme = started("", "", MONDAY);
    let ids: Vec<&str> = programme
        .likely
        .placed
        .iter()
        .map(|placed| placed.activity.id.as_str())
        .collect();
    assert_eq!(
        ids[..4],
        ["test-patch", "sand", "test-patch-seen", "prime.1"]
    );
    let seen = of(&programme.likely, "test-patch-seen")
        .begins()
        .expect("it is done");
    let laid = of(&programme.likely, "test-patch")
        .ends()
        .expect("it is done");
    assert!(seen >= laid + SignedDuration::from_hours(16));
}

#[test]
fn counted_backward_it_begins_on_the_last_day_that_is_early_enough() {
    let ready = date(2027, 6, 20);
    let programme = planned("", "", Bound::Ready(ready)).expect("it can be planned");
    let midnight = ready.at(0, 0, 0, 0);
    assert!(programme.likely.ready <= midnight);
    let start = programme.likely.begins.date();
    let later = started("", "", start.tomorrow().expect("a day"));
    assert!(later.likely.ready > midnight);
}

#[test]
fn a_closed_yard_makes_tape_stay_too_long_and_a_coat_too_old() {
    // Recoated within 3 days; the yard closes for a week behind the first coat.
    let dry = "dry = [{ at = 20, recoat = \"8 h\", recoat_by = \"3 days\" }]\nstale = 320";
    let closed = "test_patch = false\nclosed = [{ from = 2027-05-04, to = 2027-05-10 }]";
    let programme = started(dry, closed, MONDAY);
    check(&programme.likely, &programme);
    let sanded = of(&programme.likely, "prime.2-sanded");
    assert_eq!(sanded.activity.kind, ActivityKind::ExtraSanding);
    assert!(sanded.activity.title.contains("P320"));
    let missed = |remark: &spile::programme::Remark| {
        matches!(remark.kind, RemarkKind::RecoatMissed { grit: 320, .. })
    };
    assert!(programme.remarks.iter().any(missed));
    // Tape that may stay two days, while two coats dry over a weekend.
    let short = "test_patch = false\ntape_dwell = \"20 h\"";
    let programme = started("", short, MONDAY);
    let too_long =
        |remark: &spile::programme::Remark| matches!(remark.kind, RemarkKind::TapeTooLong { .. });
    assert!(programme.remarks.iter().any(too_long));
    assert!(!started("", "", MONDAY).remarks.iter().any(too_long));
}

#[test]
fn warmer_dries_sooner_as_the_data_sheet_has_it() {
    let dry = "dry = [{ at = 10, recoat = \"16 h\" }, { at = 30, recoat = \"4 h\" }]";
    let programme = started(dry, "", MONDAY);
    let second = of(&programme.likely, "prime.2");
    let wait = &second.activity.waits[0];
    assert_eq!(wait.dry, Some(Dry::Recoat));
    // Half way between 10 and 30 °C: the geometric mean of 16 and 4 h.
    assert!((wait.time.to_hours() - 8.0).abs() < 1e-9);
}

#[test]
fn nothing_to_do_and_no_day_to_do_it_on_are_said() {
    let shut = "closed = [{ from = 2027-01-01, to = 2099-12-31 }]";
    let reason = planned("", shut, Bound::Start(MONDAY)).expect_err("there is no day");
    assert!(
        reason.to_string().contains("finds no day to work on"),
        "{reason}"
    );
    let reason = planned("", shut, Bound::Ready(date(2028, 1, 1))).expect_err("there is no day");
    assert!(reason.to_string().contains("early enough"), "{reason}");
}

#[test]
fn whatever_the_calendar_says_nothing_comes_before_what_it_waits_for() {
    let days = [
        "Monday",
        "Tuesday",
        "Wednesday",
        "Thursday",
        "Friday",
        "Saturday",
        "Sunday",
    ];
    let case = (
        (0_i64..400, 1_u32..5, 2_u32..14),
        prop::collection::btree_set(0..7_usize, 0..5),
        (1_u32..30, 1_u32..40, 2_u32..12, 5_i32..33),
        prop::collection::vec((0_i64..60, 0_i64..9), 0..4),
    );
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let mut late = 0;
    for _ in 0..60 {
        let tree = case.new_tree(&mut runner).expect("a case");
        let ((shift, people, hours), off, (touch, tape, by, warm), closed) = tree.current();
        let start = MONDAY + shift.days();
        let off: Vec<String> = off.iter().map(|day| format!("{:?}", days[*day])).collect();
        let closed: Vec<String> = closed
            .iter()
            .map(|(from, many)| {
                let from = start + from.days();
                format!("{{ from = {from}, to = {} }}", from + many.days())
            })
            .collect();
        let product = format!(
            "dry = [{{ at = 20, touch = \"{touch} h\", tape = \"{} h\", recoat_by = \"{by} days\" }}]",
            touch + tape
        );
        let calendar = |closed: &[String]| {
            format!(
                "days_off = [{}]\nclosed = [{}]\n[job]\npeople = {people}\nhours_a_day = {hours}\ntemperature = {warm}",
                off.join(", "),
                closed.join(", ")
            )
        };
        let programme = started(&product, &calendar(&closed), start);
        for plan in [&programme.few, &programme.likely, &programme.many] {
            check(plan, &programme);
        }
        assert!(programme.few.ready <= programme.many.ready);
        // Every hour of every person is counted once: work is so long as its hours ask, to the next 5 minutes.
        for placed in &programme.likely.placed {
            let length: SignedDuration = placed
                .spans
                .iter()
                .fold(SignedDuration::ZERO, |sum, span| sum + span.length());
            let asked = placed.activity.hours.likely.to_hours() / f64::from(people);
            let over = length.as_secs() as f64 / 3600.0 - asked;
            let batches = placed.spans.len().max(1) as f64;
            assert!(
                (-1e-6..=batches * 5.0 / 60.0 + 1e-6).contains(&over),
                "{over} h"
            );
        }
        late += usize::from(
            programme
                .remarks
                .iter()
                .any(|one| matches!(one.kind, RemarkKind::RecoatMissed { .. })),
        );
        // A week later, all of it is a week later.
        let open = calendar(&[]);
        let now = started(&product, &open, start);
        let then = started(&product, &open, start + 7.days());
        for (one, other) in now.likely.placed.iter().zip(&then.likely.placed) {
            for (span, moved) in one.spans.iter().zip(&other.spans) {
                assert_eq!(span.from + 7.days(), moved.from);
                assert_eq!(span.to + 7.days(), moved.to);
            }
        }
    }
    assert!(late >= 5, "only {late} of them missed a deadline");
}
