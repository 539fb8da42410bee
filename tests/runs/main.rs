//! Runs of tape: they add up to the tape of the figures, their joins keep clear of arcs, each fits its roll, and
//! port is the mirror image of starboard.

#[path = "../common/beside.rs"]
mod beside;
mod joins;
mod symmetric;

use std::fs;

use proptest::prelude::*;
use spile::figures::{DeckFigures, Figures, PassFigures};
use spile::layout;
use spile::masking::{Lap, Remedy, TapeKind, TapeRun};
use spile::shape::Point;
use spile::units::Length;
use spile::{Job, work_out};

const SYMMETRIC: &str = r#"
title = "Pulled both ways"
[[deck]]
id = "deck"
[deck.outline]
half_breadths = [[0, 900], [2000, 1300], [4200, 1200]]
curve = "straight"
[deck.margin]
edge = 60
[deck.radius]
round = 40
hollow = 25
[[deck.fitting]]
name = "cleat"
circle = { at = [1100, 800], diameter = 120 }
both_sides = true
[[deck.strip]]
width = 80
along_at = [0]
across_at = [2500]
"#;

fn job(text: &str) -> Job {
    let layout = layout::read(text).expect("a sound layout");
    let sources = beside::beside(&layout);
    work_out(layout, &sources).expect("sound decks")
}

/// The demo boats, and one more.
fn demos() -> Vec<Job> {
    let mut paths: Vec<_> = fs::read_dir("layouts")
        .expect("the demo boats")
        .map(|entry| entry.expect("a file").path())
        .filter(|path| path.extension().is_some_and(|ext| ext == "toml"))
        .collect();
    paths.sort();
    assert!(paths.len() >= 9);
    let texts = paths
        .iter()
        .map(|path| fs::read_to_string(path).expect("text"));
    texts
        .chain([SYMMETRIC.to_owned()])
        .map(|text| job(&text))
        .collect()
}

fn passes(deck: &DeckFigures) -> [&PassFigures; 2] {
    [&deck.first, &deck.reversed]
}

fn sum(runs: &[TapeRun], kind: TapeKind, of: impl Fn(&TapeRun) -> Length) -> f64 {
    let own = runs.iter().filter(|run| run.name.kind == kind);
    own.map(|run| of(run).to_mm()).sum()
}

/// What must hold of every job.
fn assert_sound(job: &Job) {
    let figures = Figures::of(job);
    let tape = &job.layout.tape;
    for deck in &figures.decks {
        for (index, pass) in passes(deck).into_iter().enumerate() {
            let own = deck.surface.as_ref();
            let own = own.map(|own| [own.first, own.reversed][index]);
            for (kind, counted, roll) in [
                (TapeKind::Line, pass.line_tape, tape.line),
                (TapeKind::Edge, pass.edge_tape, tape.edge),
            ] {
                let lap = roll.lap.to_mm();
                let plan = sum(&pass.runs, kind, |run| run.length);
                assert!(
                    (plan - counted.length.to_mm()).abs() < 1.0,
                    "{} {kind:?}",
                    deck.id
                );
                // Cut lengths less their laps are the true tape.
                let cut = sum(&pass.runs, kind, |run| run.to_cut) - lap * counted.runs as f64;
                let wanted = own.map_or(counted.length, |own| match kind {
                    TapeKind::Line => own.line_tape,
                    TapeKind::Edge => own.edge_tape,
                });
                assert!((cut - wanted.to_mm()).abs() < 1.0, "{} {kind:?}", deck.id);
                for run in pass.runs.iter().filter(|run| run.name.kind == kind) {
                    assert!(
                        run.to_cut.to_mm() <= roll.roll.to_mm() + 1e-3,
                        "{}",
                        run.name
                    );
                    assert_ends(run);
                }
                joins::assert_clear(&pass.runs, kind, &roll);
            }
        }
    }
    for (rolls, kind) in [
        (&figures.rolls.line, TapeKind::Line),
        (&figures.rolls.edge, TapeKind::Edge),
    ] {
        for roll in &rolls.rolls {
            assert!(rolls.left_on(roll).to_mm() > -1e-3);
        }
        let all = figures.decks.iter().flat_map(passes);
        let cut: f64 = all
            .map(|pass| sum(&pass.runs, kind, |run| run.to_cut))
            .sum();
        let bought = rolls.roll.to_mm() * rolls.rolls.len() as f64;
        assert!((bought - rolls.left_over().to_mm() - cut).abs() < 1e-3);
        assert!(rolls.at_least <= rolls.rolls.len());
    }
}

/// Ends lie where the path does.
fn assert_ends(run: &TapeRun) {
    let first = run.path.first().expect("a run has a path");
    let last = run.path.last().expect("a run has a path");
    assert!(first.start().distance(run.begin.at) < 1e-3);
    assert!(last.end().distance(run.end.at) < 1e-3);
    for pair in run.path.windows(2) {
        assert!(pair[0].end().distance(pair[1].start()) < 1e-3);
    }
}

#[test]
fn the_runs_of_the_demo_boats_add_up_keep_clear_and_fit_their_rolls() {
    for job in demos() {
        assert_sound(&job);
    }
}

#[test]
fn rolls_too_short_for_a_ring_give_joins_on_its_straights() {
    let text =
        format!("{SYMMETRIC}[tape]\nline = {{ roll = \"2 m\" }}\nedge = {{ roll = \"2.5 m\" }}\n");
    let job = job(&text);
    assert_sound(&job);
    let pass = &job.decks[0].masking.first;
    let joins = pass.runs.iter().filter(|run| !run.is_ring).count();
    assert!(joins > 4, "{joins}");
    // Each lap has one piece over and one under, and what lies under is laid before, or said to be tucked.
    for run in &pass.runs {
        let meets = pass.runs.iter().find(|other| {
            other.name.kind == run.name.kind && other.begin.at.distance(run.end.at) < 1e-3
        });
        let meets = meets.expect("some run begins there");
        let is_after = run.name.number > meets.name.number;
        let is_right = match (run.end.lap, meets.begin.lap) {
            (Lap::Over, Lap::Under) => run.is_ring || is_after,
            (Lap::Over, Lap::TuckedUnder) => !is_after,
            (Lap::Under, Lap::Over) => !is_after,
            (Lap::TuckedUnder, Lap::Over) => is_after,
            _ => false,
        };
        assert!(
            is_right,
            "{}: {:?}, {:?}",
            run.name, run.end.lap, meets.begin.lap
        );
    }
}

#[test]
fn a_ring_is_closed_from_above_so_that_water_runs_over_its_lap() {
    for job in demos() {
        for deck in &job.decks {
            for run in deck.masking.first.runs.iter().filter(|run| run.is_ring) {
                assert_eq!(
                    (run.begin.lap, run.end.lap),
                    (Lap::Under, Lap::Over),
                    "{}",
                    run.name
                );
                let way = run.begin.direction;
                let outboard = way.y * if run.begin.at.y >= -1e-6 { 1.0 } else { -1.0 };
                assert!(way.x > 0.7 || outboard > 0.7, "{}: {way:?}", run.name);
            }
        }
    }
}

/// What is left of a run when names and numbers go, mirrored where asked.
fn place(run: &TapeRun, is_mirrored: bool) -> [String; 6] {
    let point = |at: Point| if is_mirrored { at.mirrored() } else { at };
    let (begin, end) = (point(run.begin.at), point(run.end.at));
    [
        run.length.to_mm(),
        begin.x,
        begin.y,
        end.x,
        end.y,
        f64::from(u8::try_from(run.tight.len()).unwrap_or(u8::MAX)),
    ]
    .map(|value| format!("{:.2}", (value * 100.0).round() / 100.0 + 0.0))
}

#[test]
fn a_pattern_alike_on_both_sides_has_its_runs_at_the_same_places_on_both() {
    for roll in ["33 m", "2 m"] {
        let text = format!("{SYMMETRIC}[tape]\nline = {{ roll = \"{roll}\" }}\n");
        let job = job(&text);
        for pass in [&job.decks[0].masking.first, &job.decks[0].masking.reversed] {
            let lines: Vec<&TapeRun> = pass
                .runs
                .iter()
                .filter(|run| run.name.kind == TapeKind::Line)
                .collect();
            let mut own: Vec<_> = lines.iter().map(|run| place(run, false)).collect();
            let mut mirrored: Vec<_> = lines.iter().map(|run| place(run, true)).collect();
            own.sort_unstable();
            mirrored.sort_unstable();
            assert_eq!(own, mirrored, "{roll}");
        }
    }
}

#[test]
fn corners_tighter_than_the_tape_bends_are_cut_or_go_round_in_narrower_tape() {
    // A field of rounds of 40 mm. In the first pass the middle of 19 mm tape turns on 30.5 mm.
    let with = |radius: &str| {
        let text = format!("{SYMMETRIC}[tape]\nline = {{ width = 19, least_radius = {radius} }}\n");
        let job = job(&text);
        let runs = &job.decks[0].masking.first.runs;
        let line = runs.iter().filter(|run| run.name.kind == TapeKind::Line);
        line.flat_map(|run| run.tight.clone()).collect::<Vec<_>>()
    };
    assert!(
        with("\"15 mm\"")
            .iter()
            .all(|bend| bend.radius == Length::ZERO)
    );
    let tight = with("\"40 mm\"");
    assert!(
        tight
            .iter()
            .any(|bend| (bend.radius.to_mm() - 30.5).abs() < 1e-6)
    );
    for bend in tight.iter().filter(|bend| bend.radius > Length::ZERO) {
        // 40 - 12/2 = 34 mm, and 12 mm tape bends round 40 x 12 / 19 = 25.3 mm.
        assert_eq!(bend.remedy, Remedy::Narrower(Length::mm(12.0)), "{bend:?}");
    }
    // Tape that bends round nothing less than a metre would have to be 0.75 mm wide to go round a radius of 40: a cut.
    let rounds: Vec<_> = with("\"1 m\"")
        .into_iter()
        .filter(|bend| (bend.radius.to_mm() - 30.5).abs() < 1e-6)
        .collect();
    assert!(!rounds.is_empty());
    assert!(rounds.iter().all(|bend| bend.remedy == Remedy::Cut));
}

#[test]
fn the_report_counts_every_tight_corner_once() {
    for job in demos() {
        let figures = Figures::of(&job);
        let report = spile::export::markdown::summary(&figures, &[], &[], &[]);
        let (_, section) = report
            .split_once("### Corners too tight")
            .expect("every demo boat has some");
        let (section, _) = section.split_once("### Rolls").expect("rolls follow");
        let counted: usize = section
            .lines()
            .filter(|line| line.contains(" pass | "))
            .map(|line| {
                let cells: Vec<&str> = line.split('|').map(str::trim).collect();
                cells[3].parse::<usize>().expect("a count")
            })
            .sum();
        let runs = figures
            .decks
            .iter()
            .flat_map(passes)
            .flat_map(|pass| &pass.runs);
        assert_eq!(counted, runs.map(|run| run.tight.len()).sum::<usize>());
    }
}

fn random_deck() -> impl Strategy<Value = String> {
    (
        2000_u32..6000,
        600_u32..1500,
        600_u32..1500,
        (20_u32..90, 0_u32..60),
        1_u32..40,
        (1_u32..40, any::<bool>()),
    )
        .prop_map(|(length, one, two, (margin, round), line, (edge, cambered))| {
            let camber = if cambered {
                format!("[deck.camber]\nrise = 60\nbeam = {}\n", 2 * one.max(two))
            } else {
                String::new()
            };
            format!(
                "title = \"Any\"\n[[deck]]\nid = \"deck\"\n[deck.outline]\nhalf_breadths = [[0, {one}], [{length}, {two}]]\n\
                 curve = \"straight\"\n{camber}[deck.margin]\nedge = {margin}\n[deck.radius]\nround = {round}\nhollow = 20\n\
                 [[deck.strip]]\nwidth = 70\nacross_at = [{}]\n[tape]\nline = {{ roll = \"{line} m\" }}\nedge = {{ roll = \"{edge} m\" }}\n",
                length / 3,
            )
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn the_runs_of_any_deck_add_up_keep_clear_and_fit_their_rolls(text in random_deck()) {
        let one = job(&text);
        assert_sound(&one);
        let [a, b] = [one, job(&text)].map(|job| {
            spile::export::json::json(&Figures::of(&job)).expect("it prints")
        });
        prop_assert_eq!(a, b);
    }
}
