//! Where joins stand, measured anew from the runs' paths: by walking along them, not by the stretches that the program
//! looks for.

use spile::layout::{self, Sources, TapeRoll};
use spile::masking::{FLAT, Footing, JOIN_CLEAR, Lap, RunEnd, TapeKind, TapeRun, flat_radius};
use spile::shape::{Point, Segment};
use spile::units::Length;
use spile::work_out;

/// A closed line of tape, put together again from its runs.
struct Round {
    segments: Vec<Segment>,
    starts: Vec<f64>,
    length: f64,
}

impl Round {
    fn of(runs: &[&TapeRun]) -> Self {
        let segments: Vec<Segment> = runs.iter().flat_map(|run| run.path.clone()).collect();
        let mut length = 0.0;
        let mut starts = Vec::new();
        for segment in &segments {
            starts.push(length);
            length += segment.length();
        }
        Self {
            segments,
            starts,
            length,
        }
    }

    fn point(&self, along: f64) -> Point {
        let along = along.rem_euclid(self.length);
        let index = self.starts.partition_point(|start| *start <= along) - 1;
        let segment = &self.segments[index];
        segment.point_at(((along - self.starts[index]) / segment.length()).min(1.0))
    }

    /// Where it bends, from and to: arcs that are not flat, and corners.
    fn bends(&self, flat: f64) -> Vec<[f64; 2]> {
        let mut bends = Vec::new();
        let count = self.segments.len();
        for (index, segment) in self.segments.iter().enumerate() {
            let from = self.starts[index];
            if matches!(segment, Segment::Arc(arc) if arc.radius < flat) {
                bends.push([from, from + segment.length()]);
            }
            let before = &self.segments[(index + count - 1) % count];
            let turn = before
                .direction_at(1.0)
                .cross(segment.direction_at(0.0))
                .abs();
            if turn > 1e-3 {
                bends.push([from, from]);
            }
        }
        bends
    }

    /// Distance along the line from a place to the nearest bend.
    fn clear(&self, along: f64, bends: &[[f64; 2]]) -> f64 {
        let to = |[from, to]: &[f64; 2]| {
            [-self.length, 0.0, self.length]
                .iter()
                .map(|round| (from + round - along).max(along - to - round).max(0.0))
                .fold(f64::INFINITY, f64::min)
        };
        bends.iter().map(to).fold(f64::INFINITY, f64::min)
    }

    /// How far it departs from a straight within some distance of a place.
    fn departure(&self, along: f64, reach: f64) -> f64 {
        let steps = 50;
        let at = |step: i32| self.point(along + reach * f64::from(step) / f64::from(steps));
        let (from, to) = (at(-steps), at(steps));
        let across = (to - from).unit().left();
        (-steps..=steps)
            .map(|step| (at(step) - from).dot(across).abs())
            .fold(0.0, f64::max)
    }
}

/// The closed lines of some runs, each as its runs in their order.
fn rounds<'a>(runs: &[&'a TapeRun]) -> Vec<Vec<&'a TapeRun>> {
    let mut left: Vec<&TapeRun> = runs.to_vec();
    let mut rounds = Vec::new();
    while let Some(first) = left.pop() {
        let mut own = vec![first];
        while own[own.len() - 1].end.at.distance(first.begin.at) > 1e-3 {
            let end = own[own.len() - 1].end.at;
            let next = left
                .iter()
                .position(|run| run.begin.at.distance(end) < 1e-3);
            let Some(next) = next else { break };
            own.push(left.remove(next));
        }
        if own[own.len() - 1].end.at.distance(first.begin.at) < 1e-3 {
            rounds.push(own);
        }
    }
    rounds
}

/// Joins keep clear of bends; where one does not, it is said, and no place on the line would be better.
pub(crate) fn assert_clear(runs: &[TapeRun], kind: TapeKind, tape: &TapeRoll) {
    let lap = tape.lap;
    let flat = flat_radius(lap).to_mm();
    let half = lap.to_mm() / 2.0;
    let own: Vec<&TapeRun> = runs.iter().filter(|run| run.name.kind == kind).collect();
    for runs in rounds(&own) {
        let round = Round::of(&runs);
        let bends = round.bends(flat);
        if runs.len() > 1 {
            assert_fewest(&round, &bends, &runs, tape);
        }
        let mut along = 0.0;
        for run in &runs {
            let clear = round.clear(along, &bends) - half;
            let name = run.name;
            if run.begin.lap == Lap::Stop {
                continue;
            }
            if run.begin.is_exception() {
                assert!(clear < JOIN_CLEAR, "{name}: {clear}");
                // Round a ring of several runs the roll's length has a say as well.
                if runs.len() == 1 {
                    assert_no_better(&round, &bends, &run.begin, clear, half);
                }
            } else {
                assert!(clear >= JOIN_CLEAR - 1e-2, "{name}: {clear}");
                let said = run.begin.clear.expect("it is clear").to_mm();
                assert!(
                    (said - clear).abs() < 1e-2 || said > round.length / 3.0,
                    "{name}: {said}, {clear}"
                );
                let departs = round.departure(along, JOIN_CLEAR + half);
                let most = match run.begin.footing {
                    Footing::Straight => 0.2,
                    Footing::Flat => 1.1 * FLAT,
                    Footing::Bend => 0.0,
                };
                assert!(departs <= most, "{name}: {departs} mm");
            }
            along += run.path.iter().map(Segment::length).sum::<f64>();
        }
    }
}

/// Joins a coarse step apart, by trying all of them: the program must not need more, nor an exception where they need none.
fn assert_fewest(round: &Round, bends: &[[f64; 2]], runs: &[&TapeRun], tape: &TapeRoll) {
    let half = tape.lap.to_mm() / 2.0;
    // A little less than a roll, since a run is longer on a cambered deck than in plan.
    let longest = (tape.roll - tape.lap).to_mm();
    let count = (round.length / 40.0).ceil();
    let step = round.length / count;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "small and positive"
    )]
    let whole = |value: f64| value as usize;
    let count = whole(count);
    let allowed: Vec<bool> = (0..count)
        .map(|at| round.clear(step * at as f64, bends) - half >= JOIN_CLEAR)
        .collect();
    let room = (2.0 * (JOIN_CLEAR + half)).max(longest / 10.0);
    let least = whole((room.min(longest / 2.0) / step).ceil());
    let most = whole(longest * 0.97 / step);
    // Some join stands within any stretch as long as a roll.
    let starts = (0..count.min(most)).filter(|start| allowed[*start]);
    let fewest = starts
        .filter_map(|start| {
            let mut joins: Vec<Option<usize>> = vec![None; count + 1];
            joins[0] = Some(1);
            for at in 0..count {
                let Some(known) = joins[at] else { continue };
                for next in at + least..=(at + most).min(count) {
                    let own = if next == count { known } else { known + 1 };
                    if next == count || allowed[(start + next) % count] {
                        joins[next] = Some(joins[next].map_or(own, |best| best.min(own)));
                    }
                }
            }
            joins[count]
        })
        .min();
    if let Some(fewest) = fewest {
        let name = runs[0].name;
        assert!(
            runs.len() <= fewest,
            "{name}: {} where {fewest} do",
            runs.len()
        );
        let exceptions = runs.iter().filter(|run| run.begin.is_exception()).count();
        assert_eq!(exceptions, 0, "{name}");
    }
}

fn assert_no_better(round: &Round, bends: &[[f64; 2]], end: &RunEnd, clear: f64, half: f64) {
    let steps = 2000;
    for step in 0..steps {
        let along = round.length * f64::from(step) / f64::from(steps);
        let other = round.clear(along, bends) - half;
        assert!(
            other <= clear.max(0.0) + 1e-2 || end.footing != Footing::Bend && other <= clear + 1e-2,
            "{other} at {:?} where {clear} at {:?}",
            round.point(along),
            end.at
        );
    }
}

fn edge_runs(outline: &str, tape: &str) -> Vec<TapeRun> {
    let text = format!(
        "title = \"t\"\n[[deck]]\nid = \"d\"\n[deck.outline]\n{outline}\n[tape]\nedge = {{ {tape} }}\n"
    );
    let layout = layout::read(&text).expect("a sound layout");
    let job = work_out(layout, &Sources::default()).expect("a sound deck");
    let runs = job.decks[0].masking.first.runs.iter();
    runs.filter(|run| run.name.kind == TapeKind::Edge)
        .cloned()
        .collect()
}

#[test]
fn a_lap_of_fifty_millimetres_lies_straight_on_a_radius_of_under_eight_metres() {
    // 250² / 8.
    assert!((flat_radius(Length::mm(50.0)).to_mm() - 7812.5).abs() < 1e-9);
}

#[test]
fn a_true_straight_is_chosen_before_a_flat_curve_and_a_flat_curve_before_an_exception() {
    // Two sides of 10 m radius, three metres long, one end straight across and one rounded: 300 mm of it have room.
    let with = |half: f64| {
        let text = format!(
            "points = [{{ at = [0, -{half}], through = [1500, -{0}] }}, {{ at = [3000, -{half}] }}, \
             {{ at = [3000, {half}], through = [1500, {0}] }}, {{ at = [0, {half}] }}]",
            half + 112.9
        );
        let runs = edge_runs(&text, "width = 36, lap = 50");
        assert_eq!(runs.len(), 1);
        runs[0].begin
    };
    assert_eq!(with(150.0).footing, Footing::Straight);
    let begin = with(120.0);
    assert_eq!(begin.footing, Footing::Flat);
    assert!(!begin.is_exception());
    assert!((begin.at.x - 1500.0).abs() < 1.0, "{:?}", begin.at);
    assert!(begin.at.y > 0.0, "of two alike the one to starboard");
}

#[test]
fn a_curve_that_is_a_little_too_round_is_no_straight() {
    // Sides of 7.5 m radius, ends too short.
    let sagitta = 7500.0 - (7500.0_f64.powi(2) - 1500.0_f64.powi(2)).sqrt();
    let text = format!(
        "points = [{{ at = [0, -100], through = [1500, -{0}] }}, {{ at = [3000, -100] }}, \
         {{ at = [3000, 100], through = [1500, {0}] }}, {{ at = [0, 100] }}]",
        100.0 + sagitta
    );
    let runs = edge_runs(&text, "width = 36, lap = 50");
    assert!(runs[0].begin.is_exception());
}

#[test]
fn a_ring_that_goes_twice_into_a_roll_has_two_joins_and_one_that_goes_twice_and_a_bit_three() {
    let rectangle = "points = [[0, -500], [4000, -500], [4000, 500], [0, 500]]";
    for (roll, joins) in [("10.05 m", 1), ("5.05 m", 2), ("5.0 m", 3), ("3.4 m", 3)] {
        let runs = edge_runs(
            rectangle,
            &format!("width = 36, lap = 50, roll = \"{roll}\""),
        );
        assert_eq!(runs.len(), joins, "{roll}");
        assert!(runs.iter().all(|run| !run.begin.is_exception()), "{roll}");
    }
}
