//! Whatever deck is alike on both sides, its runs begin and end at the same places on both.

use proptest::prelude::*;
use spile::masking::{Pass, TapeKind, TapeRun};
use spile::shape::{Point, Segment};

use crate::job;

/// Half-breadths, a pair of hatches, a pair of fittings, strips, a roll that may be short.
fn deck() -> impl Strategy<Value = String> {
    (
        (2500_u32..5000, 700_u32..1500, 40_u32..100, 50_u32..100),
        (any::<bool>(), any::<bool>()),
        (150_u32..400, 0_u32..60, 20_u32..80),
        (0_u32..60, 60_u32..120, 15_u32..80),
    )
        .prop_map(
            |((length, beam, forward, aft), (is_fair, is_slot), (hatch, corner, fitting), (round, strip, roll))| {
                let share = |share: u32| beam * share / 100;
                let curve = if is_fair { "fair" } else { "straight" };
                let fitting = if is_slot {
                    format!(
                        "slot = {{ from = [{}, {}], to = [{}, {}], width = {fitting} }}",
                        length / 5,
                        share(50),
                        length / 5 + 160,
                        share(60)
                    )
                } else {
                    format!(
                        "circle = {{ at = [{}, {}], diameter = {fitting} }}",
                        length / 5,
                        share(55)
                    )
                };
                format!(
                    "title = \"Any\"\n[[deck]]\nid = \"deck\"\n[deck.outline]\n\
                     half_breadths = [[0, {}], [{}, {}], [{}, {beam}], [{length}, {}]]\ncurve = \"{curve}\"\n\
                     [deck.margin]\nedge = 50\n[deck.radius]\nround = {round}\nhollow = 20\n\
                     [[deck.opening]]\nname = \"hatch\"\nboth_sides = true\n\
                     rectangle = {{ at = [{}, {}], size = [{hatch}, {hatch}], radius = {corner} }}\n\
                     [[deck.fitting]]\nname = \"cleat\"\nboth_sides = true\n{fitting}\n\
                     [[deck.strip]]\nwidth = {strip}\nalong_at = [0]\nacross_at = [{}]\n\
                     [tape]\nline = {{ roll = \"{roll} dm\" }}\nedge = {{ roll = \"{roll} dm\" }}\n",
                    share(forward),
                    length / 4,
                    share(forward.midpoint(100)),
                    length * 3 / 5,
                    share(aft),
                    length * 7 / 10,
                    share(50),
                    length * 9 / 20,
                )
                .replace(" dm\"", "00 mm\"")
            },
        )
}

fn side(run: &TapeRun) -> Option<bool> {
    let ends = run
        .path
        .iter()
        .flat_map(|segment| [segment.start().y, segment.end().y]);
    let (least, most) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), y| {
        (least.min(y), most.max(y))
    });
    (least > 1.0)
        .then_some(true)
        .or((most < -1.0).then_some(false))
}

/// Where the runs of one side begin and end, as if it were starboard.
fn places(pass: &Pass, is_starboard: bool) -> Vec<[Point; 2]> {
    pass.runs
        .iter()
        // The deck's own edge is one ring of both sides.
        .filter(|run| run.is_ring || run.name.kind == TapeKind::Line)
        .filter(|run| side(run) == Some(is_starboard))
        .map(|run| {
            [run.begin.at, run.end.at].map(|at| if is_starboard { at } else { at.mirrored() })
        })
        .collect()
}

fn length(run: &TapeRun) -> f64 {
    run.path.iter().map(Segment::length).sum()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn runs_begin_and_end_at_the_same_places_to_port_and_to_starboard(text in deck()) {
        let job = job(&text);
        for pass in [&job.decks[0].masking.first, &job.decks[0].masking.reversed] {
            let starboard = places(pass, true);
            let mut port = places(pass, false);
            prop_assert!(!starboard.is_empty());
            prop_assert_eq!(starboard.len(), port.len());
            for ends in &starboard {
                let twin = port.iter().position(|other| {
                    other[0].distance(ends[0]) < 0.1 && other[1].distance(ends[1]) < 0.1
                });
                let Some(twin) = twin else {
                    return Err(TestCaseError::fail(format!("{ends:?} is not among {port:?}")));
                };
                port.remove(twin);
            }
            let least = pass.runs.iter().map(length).fold(f64::INFINITY, f64::min);
            prop_assert!(least > 0.0);
        }
    }
}
