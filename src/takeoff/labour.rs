//! From the steps of the work to hours: setting out, masking and unmasking put where they belong among the layout's
//! own steps, each zone at the pace of its task. Comes in: zones, steps, paces. Goes out: [`WorkStep`]s in the order in
//! which they are done. All hours are person-hours.

use super::coats::{CoatTakeoff, TooLarge, area_task, coats};
use super::materials::Materials;
use super::zones::{DeckZones, Protection};
use crate::layout::{AreaTask, LineTask, Method, Pace, Step, Surface, Task as StepTask};
use crate::shape::Segment;
use crate::units::{Area, HourRange, Length, Time};
use crate::{DeckJob, Job};

/// An arc of a tape's middle that is tighter than this is laid as slowly as a curve (common practice, no source).
const CURVE: Length = Length::mm(1000.0);

/// One step of the work.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkStep {
    /// Its id: the layout's, or one of spile's own.
    pub id: String,
    /// What people call it.
    pub title: String,
    /// What it works on.
    pub on: Surface,
    /// What it is.
    pub kind: WorkKind,
    /// The area worked, once over; none where it goes by length.
    pub area: Area,
    /// Hours by zone.
    pub zones: Vec<ZoneHours>,
    /// The coats, where it is paint.
    pub coats: Option<CoatTakeoff>,
}

/// What a step is.
#[derive(Debug, Clone, PartialEq)]
pub enum WorkKind {
    /// Marking the pattern on the deck.
    SetOut,
    /// Laying tape and film.
    Mask(Pass),
    /// Taking them off.
    Unmask(Pass),
    /// Sanding through these grits.
    Sand {
        /// Coarse to fine.
        grits: Vec<u32>,
        /// By machine, else by hand.
        by_machine: bool,
    },
    /// Wiping.
    Clean,
    /// Coats of paint.
    Coat,
    /// A bead of caulk of this length.
    Caulk(Length),
}

/// Which masking.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pass {
    /// Fields covered.
    First,
    /// Border covered.
    Reversed,
    /// Both sides of the bead.
    Edge,
}

/// The hours of one zone of one deck.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneHours {
    /// The deck's id.
    pub deck: String,
    /// Which part of it.
    pub zone: Zone,
    /// Person-hours.
    pub hours: HourRange,
}

/// A part of a deck as hours are counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Zone {
    /// All that stays smooth.
    Border,
    /// The fields.
    Field,
    /// The paint line.
    PaintLine,
    /// The deck edge, openings and fittings.
    Edge,
}

impl Zone {
    /// What people call it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Border => "border",
            Self::Field => "fields",
            Self::PaintLine => "paint line",
            Self::Edge => "edge",
        }
    }
}

impl WorkStep {
    /// Its person-hours.
    #[must_use]
    pub fn hours(&self) -> HourRange {
        self.zones.iter().map(|zone| zone.hours).sum()
    }
}

/// What the job knows while its steps are laid out.
struct Plan<'a> {
    job: &'a Job,
    materials: &'a Materials,
    zones: &'a [DeckZones],
    done: Vec<WorkStep>,
    large: Vec<TooLarge>,
}

/// All steps in the order in which they are done, and the pieces that no batch reaches over.
pub(super) fn steps(
    job: &Job,
    materials: &Materials,
    zones: &[DeckZones],
) -> (Vec<WorkStep>, Vec<TooLarge>) {
    let mut plan = Plan {
        job,
        materials,
        zones,
        done: Vec::new(),
        large: Vec::new(),
    };
    let steps = &job.layout.work.steps;
    let is_coat =
        |step: &&Step, on: Surface| step.on == on && matches!(step.task, StepTask::Coat(_));
    let has = |on: Surface| steps.iter().any(|step| is_coat(&step, on));
    // Without steps there is the masking still, both passes of it.
    let (first, reversed) = (
        has(Surface::Border) || steps.is_empty(),
        has(Surface::Field) || steps.is_empty(),
    );
    let starts = |on: Surface| steps.iter().position(|step| is_coat(&step, on));
    let ends = |on: Surface| steps.iter().rposition(|step| is_coat(&step, on));
    if steps.is_empty() {
        plan.set_out();
        plan.mask(Pass::First);
        plan.unmask(Pass::First);
        plan.mask(Pass::Reversed);
        plan.unmask(Pass::Reversed);
        return (plan.done, plan.large);
    }
    let set_out_at = [starts(Surface::Border), starts(Surface::Field)]
        .into_iter()
        .flatten()
        .min();
    for (index, step) in steps.iter().enumerate() {
        if set_out_at == Some(index) {
            plan.set_out();
        }
        if first && starts(Surface::Border) == Some(index) {
            plan.mask(Pass::First);
        }
        if reversed && starts(Surface::Field) == Some(index) {
            plan.mask(Pass::Reversed);
        }
        plan.step(step);
        if first && ends(Surface::Border) == Some(index) {
            plan.unmask(Pass::First);
        }
        if reversed && ends(Surface::Field) == Some(index) {
            plan.unmask(Pass::Reversed);
        }
    }
    (plan.done, plan.large)
}

impl Plan<'_> {
    fn add(&mut self, id: &str, title: &str, on: Surface, kind: WorkKind, zones: Vec<ZoneHours>) {
        self.done.push(WorkStep {
            id: id.to_owned(),
            title: title.to_owned(),
            on,
            kind,
            area: Area::ZERO,
            zones,
            coats: None,
        });
    }

    fn set_out(&mut self) {
        let hours = self.each(|zone, _| {
            vec![(
                Zone::PaintLine,
                self.line(zone.paint_line, LineTask::SetOut),
            )]
        });
        self.add(
            "set-out",
            "Set the pattern out",
            Surface::All,
            WorkKind::SetOut,
            hours,
        );
    }

    fn mask(&mut self, pass: Pass) {
        let hours = self.each(|zone, deck| {
            let protection = protection(zone, pass);
            let masked = match pass {
                Pass::Reversed => &deck.masking.reversed,
                _ => &deck.masking.first,
            };
            let line = self.taped(protection.line, &masked.lines.line_tape);
            let edge = self.taped(protection.edge, &masked.lines.edge_tape);
            let film = self.area(protection.film, AreaTask::Film);
            let covered = match pass {
                Pass::Reversed => Zone::Border,
                _ => Zone::Field,
            };
            vec![(Zone::PaintLine, line), (Zone::Edge, edge), (covered, film)]
        });
        let (id, title) = match pass {
            Pass::Reversed => ("mask-reversed", "Mask, reversed: the border covered"),
            _ => ("mask-first", "Mask, first pass: the fields covered"),
        };
        self.add(id, title, Surface::All, WorkKind::Mask(pass), hours);
    }

    fn unmask(&mut self, pass: Pass) {
        let hours = self.each(|zone, _| {
            let protection = protection(zone, pass);
            vec![
                (
                    Zone::PaintLine,
                    self.line(protection.line, LineTask::Unmask),
                ),
                (Zone::Edge, self.line(protection.edge, LineTask::Unmask)),
            ]
        });
        let (id, title) = match pass {
            Pass::Reversed => ("unmask-reversed", "Take the reversed masking off"),
            _ => ("unmask-first", "Take the first masking off"),
        };
        self.add(id, title, Surface::All, WorkKind::Unmask(pass), hours);
    }

    /// A step of the layout; a bead with the tape on both its sides.
    fn step(&mut self, step: &Step) {
        let title = |usual: String| step.title.clone().unwrap_or(usual);
        let (kind, name, hours, coats) = match &step.task {
            StepTask::Sand { grits, by_machine } => {
                let task = if *by_machine {
                    AreaTask::SandMachine
                } else {
                    AreaTask::SandHand
                };
                let hours = self.over(step.on, |area| self.area(area, task) * grits.len() as f64);
                let names: Vec<String> = grits.iter().map(u32::to_string).collect();
                let kind = WorkKind::Sand {
                    grits: grits.clone(),
                    by_machine: *by_machine,
                };
                (
                    kind,
                    format!("Sand through {}", names.join(", ")),
                    hours,
                    None,
                )
            }
            StepTask::Clean { product, .. } => {
                let hours = self.over(step.on, |area| self.area(area, AreaTask::Clean));
                let name = format!("Wipe with {}", self.called(&product.value));
                (WorkKind::Clean, name, hours, None)
            }
            StepTask::Coat(coat) => {
                let Some(product) = self.materials.product(&coat.product.value) else {
                    return;
                };
                let (takeoff, large) =
                    coats(&step.id.value, step.on, coat, product, self.zones, self.job);
                self.large.extend(large);
                let mut hours = self.over(step.on, |area| {
                    let laid = self.area(area, area_task(coat.method));
                    let strewn = match &coat.aggregate {
                        Some(load) if load.broadcast => self.area(area, AreaTask::Broadcast),
                        _ => HourRange::ZERO,
                    };
                    (laid + strewn) * coat.coats as f64
                });
                self.add_mixing(&mut hours, &takeoff);
                let name = format!("{}: {}", product.title, by(coat.method, coat.coats));
                (WorkKind::Coat, name, hours, Some(takeoff))
            }
            StepTask::Caulk {
                product, all_edges, ..
            } => {
                let length = |zone: &DeckZones| {
                    if *all_edges {
                        zone.all_edges
                    } else {
                        zone.deck_edge
                    }
                };
                let edge = |task: LineTask, sides: f64| {
                    self.each(|zone, _| vec![(Zone::Edge, self.line(length(zone) * sides, task))])
                };
                let total = self
                    .zones
                    .iter()
                    .fold(Length::ZERO, |sum, zone| sum + length(zone));
                let (mask, unmask) = (
                    edge(LineTask::TapeStraight, 2.0),
                    edge(LineTask::Unmask, 2.0),
                );
                let hours = edge(LineTask::Caulk, 1.0);
                let name = format!("Caulk with {}", self.called(&product.value));
                self.add(
                    "mask-edge",
                    "Mask both sides of the bead",
                    Surface::Edge,
                    WorkKind::Mask(Pass::Edge),
                    mask,
                );
                let kind = WorkKind::Caulk(total);
                self.add(&step.id.value, &title(name), Surface::Edge, kind, hours);
                self.add(
                    "unmask-edge",
                    "Take the tape off the bead",
                    Surface::Edge,
                    WorkKind::Unmask(Pass::Edge),
                    unmask,
                );
                return;
            }
        };
        let area = self.zones.iter().map(|zone| zone.area(step.on)).sum();
        self.done.push(WorkStep {
            id: step.id.value.clone(),
            title: title(name),
            on: step.on,
            kind,
            area,
            zones: hours,
            coats,
        });
    }

    /// What a product is called.
    fn called(&self, id: &str) -> String {
        self.materials
            .product(id)
            .map_or_else(|| id.to_owned(), |product| product.title.clone())
    }

    /// The hours of each deck, zone by zone.
    fn each(
        &self,
        hours: impl Fn(&DeckZones, &DeckJob) -> Vec<(Zone, HourRange)>,
    ) -> Vec<ZoneHours> {
        let decks = self.zones.iter().zip(&self.job.decks);
        decks
            .flat_map(|(zone, deck)| {
                hours(zone, deck)
                    .into_iter()
                    .map(|(part, hours)| ZoneHours {
                        deck: zone.id.clone(),
                        zone: part,
                        hours,
                    })
            })
            .filter(|zone| zone.hours.high > Time::ZERO)
            .collect()
    }

    /// The hours over the areas that a step works on.
    fn over(&self, on: Surface, hours: impl Fn(Area) -> HourRange) -> Vec<ZoneHours> {
        self.each(|zone, _| {
            let border = (Zone::Border, hours(zone.border));
            let field = (Zone::Field, hours(zone.field));
            match on {
                Surface::All => vec![border, field],
                Surface::Border => vec![border],
                Surface::Field => vec![field],
                Surface::Edge => Vec::new(),
            }
        })
    }

    /// Mixing, shared among the zones by the hours that they take.
    fn add_mixing(&self, zones: &mut [ZoneHours], coats: &CoatTakeoff) {
        let pace = self.job.layout.work.labour.mix.value;
        let mixing = HourRange {
            low: pace.fast,
            likely: pace.likely,
            high: pace.slow,
        } * coats.batch_count() as f64;
        let laid: Time = zones.iter().map(|zone| zone.hours.likely).sum();
        for zone in zones {
            zone.hours = zone.hours + mixing * (zone.hours.likely / laid);
        }
    }

    fn line(&self, length: Length, task: LineTask) -> HourRange {
        let Pace { slow, likely, fast } = self.job.layout.work.labour.line(task).value;
        HourRange {
            low: length / fast,
            likely: length / likely,
            high: length / slow,
        }
    }

    fn area(&self, area: Area, task: AreaTask) -> HourRange {
        let Pace { slow, likely, fast } = self.job.layout.work.labour.area(task).value;
        HourRange {
            low: area / fast,
            likely: area / likely,
            high: area / slow,
        }
    }

    /// Laying so much tape along these lines: what of it is curved goes more slowly.
    fn taped(&self, length: Length, lines: &[Segment]) -> HourRange {
        let is_curved = |line: &&Segment| match line {
            Segment::Line(..) => false,
            Segment::Arc(arc) => arc.radius < CURVE.to_mm(),
        };
        let all: f64 = lines.iter().map(Segment::length).sum();
        let curved: f64 = lines.iter().filter(is_curved).map(Segment::length).sum();
        let share = if all > 0.0 { curved / all } else { 0.0 };
        self.line(length * (1.0 - share), LineTask::TapeStraight)
            + self.line(length * share, LineTask::TapeCurve)
    }
}

const fn protection(zone: &DeckZones, pass: Pass) -> Protection {
    match pass {
        Pass::Reversed => zone.reversed,
        _ => zone.first,
    }
}

/// `2 coats by roller`.
fn by(method: Method, coats: usize) -> String {
    let tool = match method {
        Method::Brush => "brush",
        Method::Roll => "roller",
        Method::Spray => "spray",
        Method::Trowel => "trowel",
    };
    let many = if coats == 1 { "coat" } else { "coats" };
    format!("{coats} {many} by {tool}")
}
