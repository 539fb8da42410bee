//! How fast one person works, task by task, as slow, likely and fast.

use super::{COMMON_PRACTICE, FROM_MEMORY, Setting};
use crate::units::{AreaPace, LengthPace, Time};

/// How fast one person works.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pace<T> {
    /// On a bad day.
    pub slow: T,
    /// As a rule.
    pub likely: T,
    /// On a good day.
    pub fast: T,
}

/// Work that goes by length.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LineTask {
    /// Setting out, along the paint line.
    SetOut,
    /// Laying tape on straights.
    TapeStraight,
    /// Laying tape on curves.
    TapeCurve,
    /// Taking tape off.
    Unmask,
    /// Laying a bead and smoothing it.
    Caulk,
}

/// Work that goes by area.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum AreaTask {
    /// Laying film.
    Film,
    /// Sanding by machine, each grit.
    SandMachine,
    /// Sanding by hand, each grit.
    SandHand,
    /// Wiping.
    Clean,
    /// A coat by brush.
    Brush,
    /// A coat by roller.
    Roll,
    /// A coat by spray.
    Spray,
    /// A coat by trowel.
    Trowel,
    /// Strewing grit.
    Broadcast,
}

/// How fast one person works at each task.
#[derive(Debug, Clone, PartialEq)]
pub struct Labour {
    line: [Setting<Pace<LengthPace>>; 5],
    area: [Setting<Pace<AreaPace>>; 9],
    /// Mixing a batch and cleaning up after it; `slow` is the longest.
    pub mix: Setting<Pace<Time>>,
    /// Laying a test patch of every coat.
    pub patch_laid: Setting<Pace<Time>>,
    /// Looking at it.
    pub patch_seen: Setting<Pace<Time>>,
}

impl Labour {
    /// Each task by length, with its key and what it is called.
    pub const LINE_TASKS: [(LineTask, &'static str, &'static str); 5] = [
        (LineTask::SetOut, "set_out", "setting out"),
        (LineTask::TapeStraight, "tape_straight", "tape on straights"),
        (LineTask::TapeCurve, "tape_curve", "tape on curves"),
        (LineTask::Unmask, "unmask", "taking tape off"),
        (LineTask::Caulk, "caulk", "caulking"),
    ];
    /// Each task by area, with its key and what it is called.
    pub const AREA_TASKS: [(AreaTask, &'static str, &'static str); 9] = [
        (AreaTask::Film, "film", "laying film"),
        (
            AreaTask::SandMachine,
            "sand_machine",
            "sanding by machine, each grit",
        ),
        (
            AreaTask::SandHand,
            "sand_hand",
            "sanding by hand, each grit",
        ),
        (AreaTask::Clean, "clean", "wiping"),
        (AreaTask::Brush, "brush", "a coat by brush"),
        (AreaTask::Roll, "roll", "a coat by roller"),
        (AreaTask::Spray, "spray", "a coat by spray"),
        (AreaTask::Trowel, "trowel", "a coat by trowel"),
        (AreaTask::Broadcast, "broadcast", "strewing grit"),
    ];

    /// The pace of a task by length.
    #[must_use]
    pub const fn line(&self, task: LineTask) -> Setting<Pace<LengthPace>> {
        self.line[task as usize]
    }

    /// The pace of a task by area.
    #[must_use]
    pub const fn area(&self, task: AreaTask) -> Setting<Pace<AreaPace>> {
        self.area[task as usize]
    }

    /// Sets the pace of a task by length, where one is given.
    pub fn set_line(&mut self, task: LineTask, given: Option<Pace<LengthPace>>) {
        self.line[task as usize] = self.line(task).or_given(given);
    }

    /// Sets the pace of a task by area, where one is given.
    pub fn set_area(&mut self, task: AreaTask, given: Option<Pace<AreaPace>>) {
        self.area[task as usize] = self.area(task).or_given(given);
    }
}

impl Default for Labour {
    fn default() -> Self {
        let line = |slow: f64, likely: f64, fast: f64| {
            let [slow, likely, fast] = [slow, likely, fast].map(LengthPace::metres_an_hour);
            Setting::default(Pace { slow, likely, fast }, COMMON_PRACTICE)
        };
        let area = |slow: f64, likely: f64, fast: f64, source| {
            let [slow, likely, fast] = [slow, likely, fast].map(AreaPace::square_metres_an_hour);
            Setting::default(Pace { slow, likely, fast }, source)
        };
        Self {
            line: [
                line(5.0, 8.0, 12.0),
                line(8.0, 10.0, 12.0),
                line(4.0, 5.0, 6.0),
                line(40.0, 60.0, 90.0),
                line(6.0, 10.0, 15.0),
            ],
            area: [
                area(10.0, 15.0, 20.0, COMMON_PRACTICE),
                area(4.0, 5.0, 6.0, COMMON_PRACTICE),
                area(1.5, 2.0, 3.0, COMMON_PRACTICE),
                area(20.0, 30.0, 40.0, COMMON_PRACTICE),
                area(
                    8.4,
                    9.3,
                    13.9,
                    "house rates: Griffith, Carpentry, 1916; Process Engineering, 15 January 2000",
                ),
                area(9.3, 13.9, 18.0, FROM_MEMORY),
                area(20.0, 30.0, 40.0, FROM_MEMORY),
                area(3.0, 5.0, 8.0, FROM_MEMORY),
                area(20.0, 30.0, 40.0, FROM_MEMORY),
            ],
            patch_laid: Setting::default(minutes([120.0, 60.0, 30.0]), FROM_MEMORY),
            patch_seen: Setting::default(minutes([60.0, 30.0, 15.0]), FROM_MEMORY),
            mix: Setting::default(minutes([20.0, 15.0, 10.0]), FROM_MEMORY),
        }
    }
}

fn minutes([slow, likely, fast]: [f64; 3]) -> Pace<Time> {
    Pace {
        slow: Time::minutes(slow),
        likely: Time::minutes(likely),
        fast: Time::minutes(fast),
    }
}
