//! From the steps of a takeoff to what is done one after the other, with what each waits for. Comes in: a job, its takeoff.
//! Goes out: [`Activity`]s in the order of doing; a coat of several is an activity of its own.
//!
//! The times of a coat hold where it lies: a coat of all of it on border and fields. What comes next waits for the last coat on
//! whatever it touches: a coat for `recoat`, tape, sanding and knees for `tape`, taking tape off for what the layout says.

use crate::Job;
use crate::layout::{AreaTask, Dry, Drying, Pace, ProgrammeSettings, Surface, Task, UnmaskWhen};
use crate::takeoff::{CoatTakeoff, Pass, Takeoff, WorkKind, WorkStep};
use crate::units::{Area, HourRange, Time};

use super::drying::Dries;

/// Something that is done.
#[derive(Debug, Clone, PartialEq)]
pub struct Activity {
    /// Short unique name: the step's, with the number of the coat where there are several.
    pub id: String,
    /// The takeoff's step; none for the test patch.
    pub step: Option<String>,
    /// What people call it.
    pub title: String,
    /// What it is.
    pub kind: ActivityKind,
    /// The product that is laid, of a coat.
    pub product: Option<String>,
    /// How that dries, of a coat and of caulk.
    pub drying: Option<Drying>,
    /// Person-hours.
    pub hours: HourRange,
    /// What has to be over, and for how long.
    pub waits: Vec<Wait>,
    /// By when a coat has to be laid, or else.
    pub deadline: Option<Deadline>,
}

/// What an activity is.
#[derive(Debug, Clone, PartialEq)]
pub enum ActivityKind {
    /// Work that may be broken off at the end of a day.
    Work,
    /// A coat: of each batch its share; no batch is broken off.
    Coat(Vec<f64>),
    /// Tape laid.
    Mask(Pass),
    /// Tape taken off.
    Unmask(Pass),
    /// Sanding that a missed deadline asks for.
    ExtraSanding,
}

/// That an activity starts no sooner than so long after another's end.
#[derive(Debug, Clone, PartialEq)]
pub struct Wait {
    /// The other, by its place among the activities.
    pub on: usize,
    /// How dry its coat has to be; none where its end is enough.
    pub dry: Option<Dry>,
    /// How long, at the job's temperature; of an activity that is placed as long as it took.
    pub time: Time,
}

/// That a coat is laid no later than so long after another, or the surface is sanded first.
#[derive(Debug, Clone, PartialEq)]
pub struct Deadline {
    /// The other coat, by its place among the activities.
    pub on: usize,
    /// How long after its first batch.
    pub time: Time,
    /// The grit of the sanding.
    pub grit: u32,
    /// Person-hours of it.
    pub hours: HourRange,
}

/// A coat that lies somewhere.
#[derive(Clone, Copy)]
struct Lying<'a> {
    activity: usize,
    drying: &'a Drying,
    is_sanded: bool,
}

/// Where coats lie.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Place {
    Border,
    Field,
    Edge,
}

const fn places(on: Surface) -> &'static [Place] {
    match on {
        Surface::All => &[Place::Border, Place::Field],
        Surface::Border => &[Place::Border],
        Surface::Field => &[Place::Field],
        Surface::Edge => &[Place::Edge],
    }
}

/// What is done, and the drying that ends it.
#[derive(Debug, Clone, PartialEq)]
pub struct Sequence {
    /// In the order of doing.
    pub activities: Vec<Activity>,
    /// What has to be over before the deck is walked on.
    pub walked_on: Vec<Wait>,
    /// ... and before it bears its load.
    pub ready: Vec<Wait>,
}

/// The activities of a job.
#[must_use]
pub fn sequence(job: &Job, takeoff: &Takeoff) -> Sequence {
    let mut making = Making {
        job,
        settings: &job.layout.work.programme,
        lying: [None; 3],
        masked: Vec::new(),
        patch: None,
        activities: Vec::new(),
    };
    let is_painted = takeoff.steps.iter().any(|step| step.coats.is_some());
    if is_painted && making.settings.test_patch.value {
        making.test_patch();
    }
    for (index, step) in takeoff.steps.iter().enumerate() {
        let next = takeoff.steps.get(index + 1);
        // What is wiped for the first coat is coated next, so the patch is looked at before.
        if step.kind == WorkKind::Clean && next.is_some_and(|next| next.kind == WorkKind::Coat) {
            making.look_at_patch();
        }
        making.step(step);
    }
    let over = |dry: Dry| -> Vec<Wait> {
        let lying = making.lying.iter().flatten();
        lying.map(|coat| making.dried(coat, dry)).collect()
    };
    Sequence {
        walked_on: over(Dry::Traffic),
        ready: over(Dry::Cure),
        activities: making.activities,
    }
}

struct Making<'a> {
    job: &'a Job,
    settings: &'a ProgrammeSettings,
    /// The last coat in each place.
    lying: [Option<Lying<'a>>; 3],
    /// Coats laid since each masking.
    masked: Vec<(Pass, Vec<usize>)>,
    /// The test patch, while nobody has looked at it.
    patch: Option<usize>,
    activities: Vec<Activity>,
}

impl<'a> Making<'a> {
    fn dries<'d>(&self, drying: &'d Drying) -> Dries<'d> {
        Dries {
            drying,
            at: self.job.layout.work.job.temperature.value,
            halved_by: self.settings.drying_halves.value,
        }
    }

    fn dried(&self, coat: &Lying<'_>, dry: Dry) -> Wait {
        Wait {
            on: coat.activity,
            dry: Some(dry),
            time: self.dries(coat.drying).time(dry).value,
        }
    }

    fn add(&mut self, activity: Activity) -> usize {
        self.activities.push(activity);
        self.activities.len() - 1
    }

    fn test_patch(&mut self) {
        let laid = self.add(Activity {
            id: "test-patch".into(),
            step: None,
            title: "Test patch: every coat on a scrap, with its texture".into(),
            kind: ActivityKind::Work,
            product: None,
            drying: None,
            hours: range(self.job.layout.work.labour.patch_laid.value),
            waits: Vec::new(),
            deadline: None,
        });
        self.patch = Some(laid);
    }

    /// Tape on the patch, pulled, before the first coat on the deck.
    fn look_at_patch(&mut self) {
        let Some(laid) = self.patch.take() else {
            return;
        };
        // Until the slowest of the coats can be taped.
        let products = self.job.layout.work.steps.iter();
        let slowest = products
            .filter_map(|step| match &step.task {
                Task::Coat(coat) => self.job.materials.product(&coat.product.value),
                _ => None,
            })
            .map(|product| self.dries(&product.drying).time(Dry::Tape).value)
            .fold(Time::ZERO, Time::max);
        self.add(Activity {
            id: "test-patch-seen".into(),
            step: None,
            title: "Look at the test patch: tape on it and off, the texture under a wet sole"
                .into(),
            kind: ActivityKind::Work,
            product: None,
            drying: None,
            hours: range(self.job.layout.work.labour.patch_seen.value),
            waits: vec![Wait {
                on: laid,
                dry: Some(Dry::Tape),
                time: slowest,
            }],
            deadline: None,
        });
    }

    fn step(&mut self, step: &WorkStep) {
        match (&step.kind, &step.coats) {
            (WorkKind::Coat, Some(coats)) => self.coats(step, coats),
            (WorkKind::Unmask(pass), _) => self.unmask(step, *pass),
            (kind, _) => {
                let touched: &[Place] = match kind {
                    // Chalk, tape and knees come everywhere.
                    WorkKind::SetOut | WorkKind::Mask(_) | WorkKind::Caulk(_) => {
                        &[Place::Border, Place::Field]
                    }
                    _ => places(step.on),
                };
                let waits = self.waits(touched, Dry::Tape);
                let made = match kind {
                    WorkKind::Mask(pass) => {
                        self.masked.push((*pass, Vec::new()));
                        ActivityKind::Mask(*pass)
                    }
                    _ => ActivityKind::Work,
                };
                let done = self.add(plain(step, made, waits));
                match kind {
                    WorkKind::Sand { .. } => {
                        for place in touched {
                            if let Some(coat) = &mut self.lying[*place as usize] {
                                coat.is_sanded = true;
                            }
                        }
                    }
                    WorkKind::Caulk(_) => self.lies(step, done, &[Place::Edge]),
                    _ => {}
                }
            }
        }
    }

    /// One wait for each coat that lies in these places.
    fn waits(&self, places: &[Place], dry: Dry) -> Vec<Wait> {
        let lying = places
            .iter()
            .filter_map(|place| self.lying[*place as usize]);
        let mut waits: Vec<Wait> = Vec::new();
        for coat in lying {
            let wait = self.dried(&coat, dry);
            if !waits.contains(&wait) {
                waits.push(wait);
            }
        }
        waits
    }

    fn coats(&mut self, step: &WorkStep, coats: &CoatTakeoff) {
        self.look_at_patch();
        let all: f64 = coats.batches.iter().map(|batch| batch.area.to_mm2()).sum();
        let shares: Vec<f64> = coats
            .batches
            .iter()
            .map(|batch| batch.area.to_mm2() / all)
            .collect();
        for number in 1..=coats.coats {
            let (id, title) = if coats.coats == 1 {
                (step.id.clone(), step.title.clone())
            } else {
                (
                    format!("{}.{number}", step.id),
                    format!("{}, coat {number} of {}", step.title, coats.coats),
                )
            };
            let touched = places(step.on);
            let waits = self.waits(touched, Dry::Recoat);
            let deadline = self.deadline(touched, step.area);
            let done = self.add(Activity {
                id,
                title,
                kind: ActivityKind::Coat(shares.clone()),
                product: Some(coats.product.clone()),
                hours: step.hours() * (1.0 / coats.coats as f64),
                deadline,
                ..plain(step, ActivityKind::Work, waits)
            });
            self.lies(step, done, touched);
            for (_, laid) in &mut self.masked {
                laid.push(done);
            }
        }
    }

    /// The soonest of the deadlines of coats that lie there and have not been sanded.
    fn deadline(&self, places: &[Place], area: Area) -> Option<Deadline> {
        let pace = self.job.layout.work.labour.area(AreaTask::SandHand).value;
        let lying = places
            .iter()
            .filter_map(|place| self.lying[*place as usize]);
        let deadlines = lying.filter(|coat| !coat.is_sanded).map(|coat| Deadline {
            on: coat.activity,
            time: self.dries(coat.drying).time(Dry::RecoatBy).value,
            grit: coat.drying.stale.value,
            hours: HourRange {
                low: area / pace.fast,
                likely: area / pace.likely,
                high: area / pace.slow,
            },
        });
        // The one laid first ends first, but for coats that differ in how long they wait: the shorter counts.
        deadlines.reduce(|a, b| if b.time < a.time { b } else { a })
    }

    fn lies(&mut self, step: &WorkStep, activity: usize, places: &[Place]) {
        let layout_steps = self.job.layout.work.steps.iter();
        let product = layout_steps
            .filter(|one| one.id.value == step.id)
            .find_map(|one| match &one.task {
                Task::Coat(coat) => self.job.materials.product(&coat.product.value),
                Task::Caulk { product, .. } => self.job.materials.product(&product.value),
                _ => None,
            });
        let Some(product) = product else { return };
        self.activities[activity].drying = Some(product.drying.clone());
        for place in places {
            self.lying[*place as usize] = Some(Lying {
                activity,
                drying: &product.drying,
                is_sanded: false,
            });
        }
    }

    fn unmask(&mut self, step: &WorkStep, pass: Pass) {
        let at = self.masked.iter().rposition(|(masked, _)| *masked == pass);
        let laid = at.map(|at| self.masked.remove(at).1).unwrap_or_default();
        let dry = match self.settings.unmask.value {
            UnmaskWhen::Wet => None,
            UnmaskWhen::Tacky => Some(Dry::Touch),
            UnmaskWhen::Dry => Some(Dry::Tape),
        };
        let lying: Vec<Lying<'_>> = self.lying.iter().flatten().copied().collect();
        let waits = laid.last().and_then(|last| {
            let coat = lying.iter().find(|coat| coat.activity == *last)?;
            Some(match dry {
                Some(dry) => self.dried(coat, dry),
                None => Wait {
                    on: *last,
                    dry: None,
                    time: Time::ZERO,
                },
            })
        });
        let waits = waits.into_iter().collect();
        self.add(plain(step, ActivityKind::Unmask(pass), waits));
    }
}

fn plain(step: &WorkStep, kind: ActivityKind, waits: Vec<Wait>) -> Activity {
    Activity {
        id: step.id.clone(),
        step: Some(step.id.clone()),
        title: step.title.clone(),
        kind,
        product: None,
        drying: None,
        hours: step.hours(),
        waits,
        deadline: None,
    }
}

fn range(pace: Pace<Time>) -> HourRange {
    HourRange {
        low: pace.fast,
        likely: pace.likely,
        high: pace.slow,
    }
}
