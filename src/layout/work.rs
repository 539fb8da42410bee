//! What a layout says of the work: products, steps, people, money, how fast work goes, what is used up. Every
//! default stands here once, with where it comes from. Nothing is computed here.

use super::{Place, Placed};
use crate::units::{
    Area, AreaPace, Currency, Density, Length, LengthPace, Mass, MassPerArea, Money, Share,
    SpreadingRate, Temperature, Time, Volume,
};

/// Where a default comes from that has no source.
pub const COMMON_PRACTICE: &str = "common practice, no source";
/// Where a default comes from that nobody looked up.
pub const FROM_MEMORY: &str = "from memory";

/// A value that holds unless the layout says another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting<T> {
    /// The value.
    pub value: T,
    /// Where it comes from.
    pub origin: Origin,
}

/// Where a setting comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// The layout says so.
    Layout,
    /// A default, with its source or that it has none.
    Default(&'static str),
}

impl<T> Setting<T> {
    /// A default and its source.
    pub const fn default(value: T, source: &'static str) -> Self {
        Self {
            value,
            origin: Origin::Default(source),
        }
    }

    /// What the layout says, where it does.
    #[must_use]
    pub fn or_given(self, given: Option<T>) -> Self {
        match given {
            Some(value) => Self {
                value,
                origin: Origin::Layout,
            },
            None => self,
        }
    }
}

/// All of it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Work {
    /// The file of products that several layouts share.
    pub products_file: Option<Placed<String>>,
    /// The layout's own products.
    pub products: Vec<Product>,
    /// What is done, in this order.
    pub steps: Vec<Step>,
    /// People, hours, temperature, money.
    pub job: JobSettings,
    /// How fast one person works.
    pub labour: Labour,
    /// What is used up beside paint and tape.
    pub supplies: Supplies,
    /// What rolls of tape and film cost.
    pub roll_prices: RollPrices,
}

/// The products of a file that several layouts share.
#[derive(Debug, Clone, PartialEq)]
pub struct ProductsFile {
    /// The currency of its prices.
    pub currency: Option<Placed<Currency>>,
    /// Its products.
    pub products: Vec<Product>,
}

/// What is bought.
#[derive(Debug, Clone, PartialEq)]
pub struct Product {
    /// Short unique name.
    pub id: Placed<String>,
    /// What stands on its label.
    pub title: String,
    /// What it is.
    pub kind: ProductKind,
    /// Volume solids, mixed.
    pub solids: Option<Share>,
    /// Mass of a volume, mixed.
    pub density: Option<Density>,
    /// What it is mixed from; none: it is used as it comes.
    pub mix: Option<MixRatio>,
    /// A catalyst that is added by mass.
    pub catalyst: Option<Catalyst>,
    /// How long a mix may be used.
    pub pot_life: Option<PotLife>,
    /// A slower hardener.
    pub slower: Option<SlowerHardener>,
    /// How long a mix must stand before it is used.
    pub induction: Time,
    /// The product that thins it.
    pub thinner: Option<Placed<String>>,
    /// Sizes on sale; of a kit the mixed amount.
    pub cans: Vec<Can>,
    /// The whole entry.
    pub place: Place,
}

/// Kinds of product.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ProductKind {
    /// Primer, finish, non-skid paint, gelcoat.
    Paint,
    /// What thins a paint.
    Thinner,
    /// What a surface is wiped with.
    Cleaner,
    /// Grit.
    Aggregate,
    /// What hardens a gelcoat.
    Catalyst,
    /// Sealant.
    Caulk,
}

impl ProductKind {
    /// Its word in the file.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Paint => "paint",
            Self::Thinner => "thinner",
            Self::Cleaner => "cleaner",
            Self::Aggregate => "aggregate",
            Self::Catalyst => "catalyst",
            Self::Caulk => "caulk",
        }
    }
}

/// What a product is mixed from.
#[derive(Debug, Clone, PartialEq)]
pub struct MixRatio {
    /// Whether parts are weighed.
    pub by_mass: bool,
    /// Two parts at least.
    pub parts: Vec<MixPart>,
    /// Where they stand.
    pub place: Place,
}

/// One component.
#[derive(Debug, Clone, PartialEq)]
pub struct MixPart {
    /// What it is called.
    pub title: String,
    /// So many parts.
    pub parts: f64,
    /// Mass of a volume of it.
    pub density: Option<Density>,
    /// Sizes on sale, where it is sold apart.
    pub cans: Vec<Can>,
}

/// A catalyst.
#[derive(Debug, Clone, PartialEq)]
pub struct Catalyst {
    /// The product that it is.
    pub product: Placed<String>,
    /// Its mass by the mass it is added to.
    pub share: Share,
    /// Where it stands.
    pub place: Place,
}

/// How long a mix may be used.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PotLife {
    /// From mixing.
    pub time: Time,
    /// At this temperature.
    pub at: Temperature,
}

/// A slower hardener.
#[derive(Debug, Clone, PartialEq)]
pub struct SlowerHardener {
    /// What stands on its label.
    pub title: String,
    /// The pot life with it.
    pub pot_life: PotLife,
}

/// A size on sale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Can {
    /// What is in it.
    pub content: Content,
    /// What it costs.
    pub price: Option<Money>,
    /// Where it stands.
    pub place: Place,
}

/// What a can holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Content {
    /// A volume.
    Volume(Volume),
    /// A mass.
    Mass(Mass),
}

/// One step of the work.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Short unique name.
    pub id: Placed<String>,
    /// What people call it.
    pub title: Option<String>,
    /// What is worked on.
    pub on: Surface,
    /// What is done.
    pub task: Task,
    /// The whole entry.
    pub place: Place,
}

/// What a step is done to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Surface {
    /// Border and fields.
    All,
    /// What stays smooth.
    Border,
    /// The non-skid.
    Field,
    /// The edge that is caulked.
    Edge,
}

/// What a step does.
#[derive(Debug, Clone, PartialEq)]
pub enum Task {
    /// Sanding, grit by grit.
    Sand {
        /// Coarse to fine.
        grits: Vec<u32>,
        /// By machine, else by hand.
        by_machine: bool,
    },
    /// Wiping.
    Clean {
        /// With what.
        product: Placed<String>,
        /// Area that a litre does.
        rate: Setting<SpreadingRate>,
    },
    /// Coats of one product.
    Coat(Coat),
    /// A bead along the edge.
    Caulk {
        /// Of what.
        product: Placed<String>,
        /// Its section.
        section: Section,
        /// Whether it runs along openings and fittings in place too.
        all_edges: bool,
        /// What is lost on the way.
        loss: Setting<Share>,
    },
}

/// Coats of one product.
#[derive(Debug, Clone, PartialEq)]
pub struct Coat {
    /// Of what.
    pub product: Placed<String>,
    /// How many.
    pub coats: usize,
    /// How much of it each.
    pub amount: Placed<CoatAmount>,
    /// How it is laid.
    pub method: Method,
    /// What is lost on the way.
    pub loss: Setting<Share>,
    /// Thinner by the paint's volume.
    pub thin: Placed<Share>,
    /// Grit.
    pub aggregate: Option<AggregateLoad>,
}

/// How much a coat takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CoatAmount {
    /// By the film that stays.
    DryFilm(Length),
    /// By the film as laid, unthinned.
    WetFilm(Length),
    /// By what a litre covers before loss.
    Rate(SpreadingRate),
    /// By mass.
    Mass(MassPerArea),
}

/// How a coat is laid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Method {
    /// By brush.
    Brush,
    /// By roller.
    Roll,
    /// By spray.
    Spray,
    /// By trowel.
    Trowel,
}

/// Grit with a coat.
#[derive(Debug, Clone, PartialEq)]
pub struct AggregateLoad {
    /// Which.
    pub product: Placed<String>,
    /// So much on an area, each coat.
    pub mass: MassPerArea,
    /// Strewn into the wet coat, else stirred in.
    pub broadcast: bool,
}

/// The section of a bead.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Along the deck.
    pub width: Length,
    /// Up the edge, or into the seam.
    pub depth: Length,
    /// A fillet in a corner, else a seam filled square.
    pub is_triangle: bool,
}

/// What holds for the whole job.
#[derive(Debug, Clone, PartialEq)]
pub struct JobSettings {
    /// The currency of all prices.
    pub currency: Option<Placed<Currency>>,
    /// How many work.
    pub people: Setting<usize>,
    /// How many lay paint at once.
    pub laying: Setting<usize>,
    /// Hours that each works in a day.
    pub hours_a_day: Setting<Time>,
    /// Of air and deck when it is painted.
    pub temperature: Setting<Temperature>,
    /// By how many kelvin warmer a pot life is halved.
    pub pot_life_halves: Setting<f64>,
    /// How far a part of a mix may be off, as a share of itself.
    pub mix_tolerance: Setting<Share>,
    /// What mixes are measured in.
    pub cup: Setting<Cup>,
    /// What they are weighed on.
    pub scale: Setting<Scale>,
    /// What an hour of the owners' is worth to them.
    pub hour_value: Option<Money>,
    /// What a day in the yard costs.
    pub yard_day: Option<Money>,
    /// What may be spent.
    pub budget: Option<Money>,
    /// What else is paid.
    pub expenses: Vec<Expense>,
    /// What a yard asks for the same job.
    pub quote: Option<Quote>,
}

/// A measuring cup.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cup {
    /// What it holds.
    pub holds: Volume,
    /// From one mark to the next.
    pub step: Volume,
}

/// A scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// The most it weighs.
    pub holds: Mass,
    /// The least it shows.
    pub step: Mass,
}

/// What else is paid.
#[derive(Debug, Clone, PartialEq)]
pub struct Expense {
    /// For what.
    pub title: String,
    /// How much.
    pub amount: Money,
}

/// What a yard asks for the same job.
#[derive(Debug, Clone, PartialEq)]
pub struct Quote {
    /// How much.
    pub amount: Money,
    /// Work.
    pub covers_labour: bool,
    /// Paint, tape, everything used up.
    pub covers_materials: bool,
    /// Days in the yard.
    pub covers_yard: bool,
    /// What else it says.
    pub note: Option<String>,
}

impl Default for JobSettings {
    fn default() -> Self {
        Self {
            currency: None,
            people: Setting::default(2, COMMON_PRACTICE),
            laying: Setting::default(1, COMMON_PRACTICE),
            hours_a_day: Setting::default(Time::hours(7.0), COMMON_PRACTICE),
            temperature: Setting::default(Temperature::celsius(20.0), "a mild day; put your own"),
            pot_life_halves: Setting::default(
                10.0,
                "the trade's rule: a reaction twice as fast 10 °C warmer; the data sheet's table wins",
            ),
            mix_tolerance: Setting::default(Share::per_cent(5.0), COMMON_PRACTICE),
            cup: Setting::default(
                Cup {
                    holds: Volume::millilitres(600.0),
                    step: Volume::millilitres(10.0),
                },
                COMMON_PRACTICE,
            ),
            scale: Setting::default(
                Scale {
                    holds: Mass::grams(5000.0),
                    step: Mass::grams(1.0),
                },
                COMMON_PRACTICE,
            ),
            hour_value: None,
            yard_day: None,
            budget: None,
            expenses: Vec::new(),
            quote: None,
        }
    }
}

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
            mix: Setting::default(
                Pace {
                    slow: Time::minutes(20.0),
                    likely: Time::minutes(15.0),
                    fast: Time::minutes(10.0),
                },
                FROM_MEMORY,
            ),
        }
    }
}

/// What is used up beside paint and tape.
#[derive(Debug, Clone, PartialEq)]
pub struct Supplies {
    all: [Supply; 10],
}

/// Kinds of supply.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SupplyKind {
    /// Abrasive discs of one grit.
    Disc,
    /// Abrasive sheets.
    Sheet,
    /// Tack cloths.
    TackCloth,
    /// Roller sleeves.
    Roller,
    /// Brushes.
    Brush,
    /// Mixing cups.
    Cup,
    /// Stirring sticks.
    Stirrer,
    /// Pairs of gloves.
    Gloves,
    /// Dust masks.
    DustMask,
    /// Pairs of vapour filters.
    Filters,
}

/// How a supply is used up, and how it is sold.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// How it is used up.
    pub lasts: Setting<Lasts>,
    /// Packs on sale; none: by the piece, the price not known.
    pub packs: Vec<Pack>,
}

/// How a supply is used up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lasts {
    /// One does so much.
    Area(Area),
    /// A batch takes so many.
    Batch(usize),
    /// One does a person so long.
    Time(Time),
}

/// A pack on sale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pack {
    /// How many are in it.
    pub holds: usize,
    /// What it costs.
    pub price: Option<Money>,
    /// Where it stands.
    pub place: Place,
}

impl Supplies {
    /// Each kind with its key and what a shop calls it.
    pub const KINDS: [(SupplyKind, &'static str, &'static str); 10] = [
        (SupplyKind::Disc, "disc", "Abrasive discs"),
        (SupplyKind::Sheet, "sheet", "Abrasive sheets"),
        (SupplyKind::TackCloth, "tack_cloth", "Tack cloths"),
        (SupplyKind::Roller, "roller", "Roller sleeves"),
        (SupplyKind::Brush, "brush", "Brushes"),
        (SupplyKind::Cup, "cup", "Mixing cups"),
        (SupplyKind::Stirrer, "stirrer", "Stirring sticks"),
        (SupplyKind::Gloves, "gloves", "Gloves, pairs"),
        (SupplyKind::DustMask, "dust_mask", "Dust masks"),
        (SupplyKind::Filters, "filters", "Vapour filters, pairs"),
    ];

    /// One kind.
    #[must_use]
    pub const fn of(&self, kind: SupplyKind) -> &Supply {
        &self.all[kind as usize]
    }

    /// Sets one kind.
    pub fn set(&mut self, kind: SupplyKind, given: Option<Lasts>, packs: Vec<Pack>) {
        let supply = &mut self.all[kind as usize];
        supply.lasts = supply.lasts.or_given(given);
        supply.packs = packs;
    }
}

impl Default for Supplies {
    fn default() -> Self {
        let square_metres = |many: f64| Lasts::Area(Area::mm2(many * 1e6));
        let hours = |many: f64| Lasts::Time(Time::hours(many));
        let all = [
            square_metres(1.5),
            square_metres(1.0),
            square_metres(15.0),
            Lasts::Batch(1),
            Lasts::Batch(1),
            Lasts::Batch(1),
            Lasts::Batch(1),
            Lasts::Batch(1),
            hours(7.0),
            hours(8.0),
        ];
        Self {
            all: all.map(|lasts| Supply {
                lasts: Setting::default(lasts, COMMON_PRACTICE),
                packs: Vec::new(),
            }),
        }
    }
}

/// What rolls cost; none where the layout does not say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct RollPrices {
    /// Line tape.
    pub line: Option<Money>,
    /// Edge tape.
    pub edge: Option<Money>,
    /// Film.
    pub film: Option<Money>,
}
