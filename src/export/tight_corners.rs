//! The corners too tight for the tape, by what helps: so that the narrower tape can be bought, and laid width by
//! width.

use super::cutting_list::{cut, passes, spans};
use super::document::{Block, Words};
use super::grid::Grid;
use crate::figures::Figures;
use crate::layout::TapeRoll;
use crate::masking::{Remedy, RunName, TapeKind, TapeRun, TightBend};
use crate::units::{Length, LengthUnit};

/// Corners of one pass that the same helps.
struct Group {
    remedy: Remedy,
    count: usize,
    radii: [Length; 2],
    along: Length,
    with_laps: Length,
    runs: Vec<RunName>,
}

impl Group {
    const fn of(remedy: Remedy) -> Self {
        Self {
            remedy,
            count: 0,
            radii: [Length::mm(f64::INFINITY), Length::ZERO],
            along: Length::ZERO,
            with_laps: Length::ZERO,
            runs: Vec::new(),
        }
    }

    fn add(&mut self, run: &TapeRun, bend: &TightBend, lap: Length) {
        self.count += 1;
        let [least, most] = self.radii;
        self.radii = [least.min(bend.radius), most.max(bend.radius)];
        self.along = self.along + bend.length;
        // A bend that goes all round closes on itself.
        let is_all_round = (run.length - bend.length).to_mm() < 1.0;
        let laps = if is_all_round { lap } else { lap * 2.0 };
        self.with_laps = self.with_laps + bend.length + laps;
        if self.runs.last() != Some(&run.name) {
            self.runs.push(run.name);
        }
    }

    fn row(&self, tape: &str, units: LengthUnit) -> Vec<String> {
        let [least, most] = self.radii.map(|radius| radius.show(units));
        let radius = if least == most {
            least
        } else {
            format!("{least} to {most}")
        };
        let (round, lengths) = match self.remedy {
            Remedy::Cut => ("a cut".to_owned(), ["-".to_owned(), "-".to_owned()]),
            Remedy::Narrower(width) => (
                width.show(units),
                [self.along, self.with_laps].map(|length| cut(length, units)),
            ),
        };
        let mut runs = self.runs.clone();
        runs.sort_unstable();
        let [along, with_laps] = lengths;
        vec![
            tape.to_owned(),
            round,
            self.count.to_string(),
            radius,
            along,
            with_laps,
            spans(&runs).join(", "),
        ]
    }
}

/// The section of the report; empty where the tape takes every corner.
pub(super) fn tight_corners(figures: &Figures) -> Vec<Block> {
    let units = figures.units;
    let tapes = [
        (TapeKind::Edge, "edge", &figures.tape.edge),
        (TapeKind::Line, "line", &figures.tape.line),
    ];
    let mut rows = Vec::new();
    for (kind, name, tape) in tapes {
        let mut all: Vec<Group> = Vec::new();
        for (pass, of) in passes() {
            let mut groups: Vec<Group> = Vec::new();
            let runs = figures.decks.iter().flat_map(|deck| &of(deck).runs);
            for run in runs.filter(|run| run.name.kind == kind) {
                for bend in &run.tight {
                    let known = groups.iter().position(|group| group.remedy == bend.remedy);
                    let index = known.unwrap_or_else(|| {
                        groups.push(Group::of(bend.remedy));
                        groups.len() - 1
                    });
                    groups[index].add(run, bend, tape.lap);
                }
            }
            // The widest tape first, cuts last.
            groups.sort_by(|a, b| width(b.remedy).total_cmp(&width(a.remedy)));
            let tape = format!("{name} of {}, {pass} pass", tape.width.show(units));
            rows.extend(groups.iter().map(|group| group.row(&tape, units)));
            all.extend(groups);
        }
        rows.extend(in_one_width(&all).map(|group| {
            let tape = format!("{name} of {}, one width for all", tape.width.show(units));
            group.row(&tape, units)
        }));
    }
    if rows.is_empty() {
        return Vec::new();
    }
    let head = vec![
        "Tape",
        "Go round in",
        "Corners",
        "Radius",
        "Along them",
        "With laps",
        "Runs",
    ];
    let least = |tape: &TapeRoll| tape.least_radius.show(units);
    let said = format!(
        "Line tape bends round {}, edge tape round {}, measured to its middle (",
        least(&figures.tape.line),
        least(&figures.tape.edge)
    );
    let said = Words::from(said).and_own(
        "`least_radius` in the layout). Tighter corners go in a narrower tape, which bends in proportion to its width, lapped \
         at both ends; the lengths to cut above are of the wide tape all round, so there is that much to spare. Where no tape \
         goes round: lay it straight on to both sides, lapped, and cut along the line.",
    );
    vec![
        Block::heading(3, "Corners too tight for the tape"),
        Block::paragraph(said),
        Block::table("What tight corners take", Grid { head, rows }),
    ]
}

/// Where several widths are called for, all of their corners in the narrowest, which goes round the others too.
fn in_one_width(groups: &[Group]) -> Option<Group> {
    let narrower = || {
        groups
            .iter()
            .filter(|group| matches!(group.remedy, Remedy::Narrower(_)))
    };
    let narrowest = narrower().min_by(|a, b| width(a.remedy).total_cmp(&width(b.remedy)))?;
    if narrower().all(|group| group.remedy == narrowest.remedy) {
        return None;
    }
    let mut all = Group::of(narrowest.remedy);
    for group in narrower() {
        let [least, most] = group.radii;
        all.count += group.count;
        all.radii = [all.radii[0].min(least), all.radii[1].max(most)];
        all.along = all.along + group.along;
        all.with_laps = all.with_laps + group.with_laps;
        all.runs.extend(&group.runs);
    }
    all.runs.sort_unstable();
    all.runs.dedup();
    Some(all)
}

const fn width(remedy: Remedy) -> f64 {
    match remedy {
        Remedy::Narrower(width) => width.to_mm(),
        Remedy::Cut => 0.0,
    }
}
