//! Runs of tape and the rolls that they are cut from.

use std::collections::BTreeMap;

use serde::Serialize;

use super::{at, m};
use crate::masking::{
    Lap, Remedy, Roll, RollPlan, Rolls, RunEnd, RunName, TapeKind, TapeRun, TightBend,
};
use crate::units::Length;

#[derive(Serialize)]
pub(super) struct RunKeys<'a> {
    run: String,
    tape: &'static str,
    /// Null for edge tape.
    field: Option<&'a str>,
    ring: bool,
    begin: EndKeys,
    end: EndKeys,
    /// In plan, without laps.
    length_m: f64,
    /// On the surface.
    true_length_m: f64,
    /// On the surface, with laps.
    to_cut_m: f64,
    /// From 1.
    roll: Option<usize>,
    tight: Vec<TightKeys>,
}

#[derive(Serialize)]
struct EndKeys {
    at_mm: [f64; 2],
    direction: [f64; 2],
    lap: &'static str,
    /// Straight, flat (a curve as good as straight) or bend.
    on: &'static str,
    /// From the lap to the nearest arc or corner; null where it lies on an arc.
    clear_mm: Option<f64>,
    /// A join nearer to an arc or a corner than asked: no straight had room.
    exception: bool,
}

#[derive(Serialize)]
struct TightKeys {
    at_mm: [f64; 2],
    radius_mm: f64,
    length_m: f64,
    remedy: &'static str,
    /// Width of the narrower tape; null where it is a cut.
    width_mm: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct RollPlanKeys {
    line: RollsKeys,
    edge: RollsKeys,
}

#[derive(Serialize)]
struct RollsKeys {
    roll_m: f64,
    count: usize,
    at_least: usize,
    fewest: bool,
    opened_in_first_pass: usize,
    left_after_first_pass_m: f64,
    of_that_used_in_second_m: f64,
    left_over_m: f64,
    rolls: Vec<RollKeys>,
}

#[derive(Serialize)]
struct RollKeys {
    roll: usize,
    first_pass: Vec<String>,
    second_pass: Vec<String>,
    left_over_m: f64,
}

impl<'a> RunKeys<'a> {
    pub(super) fn of(run: &'a TapeRun, rolls: &BTreeMap<RunName, usize>) -> Self {
        Self {
            run: run.name.to_string(),
            tape: match run.name.kind {
                TapeKind::Line => "line",
                TapeKind::Edge => "edge",
            },
            field: run.field.as_deref(),
            ring: run.is_ring,
            begin: EndKeys::of(&run.begin),
            end: EndKeys::of(&run.end),
            length_m: m(run.length),
            true_length_m: m(run.true_length),
            to_cut_m: m(run.to_cut),
            roll: rolls.get(&run.name).copied(),
            tight: run.tight.iter().map(TightKeys::of).collect(),
        }
    }
}

impl EndKeys {
    fn of(end: &RunEnd) -> Self {
        Self {
            at_mm: at(end.at),
            direction: at(end.direction),
            lap: match end.lap {
                Lap::Over => "over",
                Lap::Under => "under",
                Lap::TuckedUnder => "tucked-under",
                Lap::Stop => "stop",
            },
            on: end.footing.name(),
            clear_mm: end.clear.map(Length::to_mm),
            exception: end.is_exception(),
        }
    }
}

impl TightKeys {
    fn of(bend: &TightBend) -> Self {
        let (remedy, width_mm) = match bend.remedy {
            Remedy::Cut => ("cut", None),
            Remedy::Narrower(width) => ("narrower", Some(width.to_mm())),
        };
        Self {
            at_mm: at(bend.at),
            radius_mm: bend.radius.to_mm(),
            length_m: m(bend.length),
            remedy,
            width_mm,
        }
    }
}

impl RollPlanKeys {
    pub(super) fn of(plan: &RollPlan) -> Self {
        Self {
            line: RollsKeys::of(&plan.line),
            edge: RollsKeys::of(&plan.edge),
        }
    }
}

impl RollsKeys {
    fn of(rolls: &Rolls) -> Self {
        let key = |(roll, number): (&Roll, usize)| RollKeys {
            roll: number,
            first_pass: roll.first.iter().map(RunName::to_string).collect(),
            second_pass: roll.reversed.iter().map(RunName::to_string).collect(),
            left_over_m: m(rolls.left_on(roll)),
        };
        Self {
            roll_m: m(rolls.roll),
            count: rolls.rolls.len(),
            at_least: rolls.at_least,
            fewest: rolls.is_fewest,
            opened_in_first_pass: rolls.opened_first(),
            left_after_first_pass_m: m(rolls.left_after_first()),
            of_that_used_in_second_m: m(rolls.used_again()),
            left_over_m: m(rolls.left_over()),
            rolls: rolls.rolls.iter().zip(1..).map(key).collect(),
        }
    }
}
