//! The keys of what is bought, done and paid: products, steps, the job, paces of work, supplies. Defaults that stand
//! in `about` with their source are those of `layout/work.rs`.

use super::Absent::{Nothing, Number, Required, Word as Said};
use super::Kind::{
    Count, Counts, Id, Length, Line, Money, PerCent, Quantity, Table, Tables, Temperature, Three,
    Word,
};
use super::Sign::Positive;
use super::programme::{DRY, DRY_ABOUT};
use super::weather::{FIT, FIT_ABOUT};
use super::{Entry, Kind, entry, key};
use crate::units::{
    Area, AreaPace, Density, Length as Film, LengthPace, MassPerArea, Quantity as _, SpreadingRate,
    Time,
};

const DENSITY: Kind = Quantity(&Density::DIMENSION);
const TIME: Kind = Quantity(&Time::DIMENSION);
const FILM: Kind = Quantity(&Film::DIMENSION);
const AREA_PACE: Kind = Three(&AreaPace::DIMENSION);
const LINE_PACE: Kind = Three(&LengthPace::DIMENSION);

/// The file of products that several layouts share.
pub(in crate::layout) static PRODUCTS: Entry = entry(
    "the products file",
    "Products that several layouts share.",
    &[
        key(
            "currency",
            Line,
            Nothing,
            "The currency of its prices: a code of ISO 4217 such as \"EUR\".",
        ),
        key("product", Tables(&PRODUCT), Required, PRODUCT_ABOUT),
    ],
);

pub(super) const PRODUCT_ABOUT: &str = "What is bought for the job, one `[[product]]` each.";

pub(super) static PRODUCT: Entry = Entry {
    together: &[["pot_life", "pot_life_at"]],
    ..entry(
        "[[product]]",
        "A paint, thinner, cleaner, aggregate, catalyst or caulk, as its label and data sheet describe it.",
        &[
            key(
                "id",
                Id,
                Required,
                "Short unique name, by which steps use it.",
            ),
            key("title", Line, Nothing, "What stands on its label."),
            key(
                "kind",
                Word(&[
                    "paint",
                    "thinner",
                    "cleaner",
                    "aggregate",
                    "catalyst",
                    "caulk",
                ]),
                Said("paint"),
                "What it is.",
            ),
            key(
                "solids",
                PerCent,
                Nothing,
                "Volume solids of the mixed paint, per cent. Needed where a step gives a dry film.",
            ),
            key("density", DENSITY, Nothing, "Mass of a volume, mixed."),
            key(
                "mix_by",
                Word(&["volume", "mass"]),
                Said("volume"),
                "Whether its parts are measured in cups or weighed.",
            ),
            key(
                "part",
                Tables(&PART),
                Nothing,
                "What it is mixed from: base and hardener. None: it is used as it comes.",
            ),
            key(
                "catalyst",
                Table(&CATALYST),
                Nothing,
                "A catalyst that is added by mass.",
            ),
            key(
                "pot_life",
                TIME,
                Nothing,
                "How long a mix may be used, from mixing.",
            ),
            key(
                "pot_life_at",
                Temperature,
                Nothing,
                "At which temperature: a number is °C; \"75 F\" too.",
            ),
            key(
                "slower",
                Table(&SLOWER),
                Nothing,
                "A slower hardener that it may be mixed with instead.",
            ),
            key(
                "induction",
                TIME,
                Nothing,
                "How long a mix must stand before it is used; it counts within the pot life.",
            ),
            key("dry", Tables(&DRY), Nothing, DRY_ABOUT),
            key("weather", Table(&FIT), Nothing, FIT_ABOUT),
            key(
                "stale",
                Count,
                Nothing,
                "The grit that it is sanded with once it is too late to recoat it without: 240 unless said (from memory).",
            ),
            key("thinner", Line, Nothing, "The product that thins it."),
            key(
                "cans",
                Tables(&CAN),
                Nothing,
                "Sizes on sale; of a kit the mixed amount.",
            ),
        ],
    )
};

static PART: Entry = entry(
    "a part of a product",
    "One component of a mix.",
    &[
        key(
            "title",
            Line,
            Required,
            "What it is called: \"base\", \"hardener\".",
        ),
        key("parts", Kind::Number, Required, "So many parts of it."),
        key(
            "density",
            DENSITY,
            Nothing,
            "Mass of a volume of it; needed where parts are weighed.",
        ),
        key(
            "cans",
            Tables(&CAN),
            Nothing,
            "Sizes on sale, where it is sold apart.",
        ),
    ],
);

static CATALYST: Entry = entry(
    "`catalyst`",
    "A catalyst that is added by mass.",
    &[
        key("product", Line, Required, "The product that it is."),
        key(
            "share",
            PerCent,
            Required,
            "Its mass, in per cent of what it is added to.",
        ),
    ],
);

static SLOWER: Entry = entry(
    "`slower`",
    "A slower hardener.",
    &[
        key("title", Line, Required, "What stands on its label."),
        key("pot_life", TIME, Required, "The pot life with it."),
        key(
            "pot_life_at",
            Temperature,
            Required,
            "At which temperature.",
        ),
    ],
);

static CAN: Entry = entry(
    "a can",
    "One size on sale.",
    &[
        key(
            "size",
            Kind::Content,
            Required,
            "What is in it: \"2.5 L\", \"1 US gal\", \"5 kg\".",
        ),
        key(
            "price",
            Money,
            Nothing,
            "What it costs, in the job's currency.",
        ),
    ],
);

pub(super) static STEP: Entry = Entry {
    one_of: &["sand", "clean", "coat", "caulk"],
    ..entry(
        "[[step]]",
        "One step of the work on a surface. Steps are done in the file's order; setting out, masking and unmasking \
         go where they belong among them.",
        &[
            key("id", Id, Required, "Short unique name; the tally uses it."),
            key("title", Line, Nothing, "What people call it."),
            key(
                "on",
                Word(&["all", "border", "field", "edge"]),
                Required,
                "What is worked on: \"all\" (border and fields), \"border\", \"field\", or the \"edge\" to be caulked.",
            ),
            key("sand", Counts, Nothing, "Sand it through these grits."),
            key("clean", Line, Nothing, "Wipe it with this product."),
            key("coat", Line, Nothing, "Coat it with this product."),
            key("caulk", Line, Nothing, "Lay a bead of this product."),
            key(
                "by",
                Word(&["machine", "hand"]),
                Said("machine"),
                "How it is sanded.",
            ),
            key("coats", Count, Number(1.0), "How many coats."),
            key(
                "film",
                FILM,
                Nothing,
                "Dry film of each coat: \"50 um\", \"2 mil\".",
            ),
            key(
                "wet_film",
                FILM,
                Nothing,
                "Wet film of each coat, unthinned.",
            ),
            key(
                "rate",
                Quantity(&SpreadingRate::DIMENSION),
                Nothing,
                "Area that a litre covers before loss: of each coat, or of the cleaner (15 m²/L unless said; common practice, no source).",
            ),
            key(
                "mass",
                Quantity(&MassPerArea::DIMENSION),
                Nothing,
                "Mass laid on an area by each coat.",
            ),
            key(
                "method",
                Word(&["brush", "roll", "spray", "trowel"]),
                Said("roll"),
                "How it is laid.",
            ),
            key(
                "loss",
                PerCent,
                Nothing,
                "What is lost on the way, per cent: by brush, roller or trowel 15, by spray 50 unless said (a marine paint maker's note; its upper figures).",
            ),
            key(
                "thin",
                PerCent,
                Nothing,
                "Thinner, per cent of the paint's volume.",
            ),
            key(
                "aggregate",
                Table(&AGGREGATE),
                Nothing,
                "Grit in it or on it.",
            ),
            key("section", Table(&SECTION), Nothing, "The bead's section."),
            key(
                "along",
                Word(&["deck edge", "all edges"]),
                Said("deck edge"),
                "What the bead runs along: the deck's outline, or openings and fittings in place too.",
            ),
        ],
    )
};

static AGGREGATE: Entry = entry(
    "`aggregate`",
    "Grit in a coat or on it.",
    &[
        key("product", Line, Required, "The product that it is."),
        key(
            "mass",
            Quantity(&MassPerArea::DIMENSION),
            Required,
            "So much on an area, with each coat.",
        ),
        key(
            "laid",
            Word(&["broadcast", "mixed in"]),
            Said("broadcast"),
            "Strewn into the wet coat, or stirred in.",
        ),
    ],
);

static SECTION: Entry = entry(
    "`section`",
    "The section of a bead of caulk.",
    &[
        key("width", Length(Positive), Required, "Along the deck."),
        key(
            "depth",
            Length(Positive),
            Required,
            "Up the edge, or into the seam.",
        ),
        key(
            "form",
            Word(&["square", "triangle"]),
            Said("triangle"),
            "A seam filled square, or a fillet in a corner.",
        ),
    ],
);

pub(super) static JOB: Entry = entry(
    "[job]",
    "What holds for the whole job: people, hours, temperature, money.",
    &[
        key(
            "currency",
            Line,
            Nothing,
            "The currency of all prices: a code of ISO 4217 such as \"EUR\".",
        ),
        key("people", Count, Nothing, "How many work; 2 unless said."),
        key(
            "laying",
            Count,
            Nothing,
            "How many lay paint at once, while the others mix and fetch; 1 unless said.",
        ),
        key(
            "hours_a_day",
            Kind::Number,
            Nothing,
            "Hours that each works in a day; 7 unless said.",
        ),
        key(
            "temperature",
            Temperature,
            Nothing,
            "Of air and deck when it is painted: a number is °C; \"65 F\" too. 20 °C unless said.",
        ),
        key(
            "pot_life_halves",
            Kind::Number,
            Nothing,
            "By how many degrees Celsius warmer a pot life is halved: 10 unless said (the paint trade's rule; the data sheet's own table wins).",
        ),
        key(
            "mix_tolerance",
            PerCent,
            Nothing,
            "How far a part of a mix may be off, per cent of itself: 5 unless said (common practice, no source).",
        ),
        key(
            "cup",
            Table(&CUP),
            Nothing,
            "What mixes are measured in: 600 ml by 10 ml unless said.",
        ),
        key(
            "scale",
            Table(&SCALE),
            Nothing,
            "What they are weighed on: 5 kg by 1 g unless said.",
        ),
        key(
            "hour_value",
            Money,
            Nothing,
            "What an hour of your own is worth to you.",
        ),
        key("yard_day", Money, Nothing, "What a day in the yard costs."),
        key("budget", Money, Nothing, "What may be spent."),
        key(
            "expense",
            Tables(&EXPENSE),
            Nothing,
            "What else is paid: a sander hired, a tent.",
        ),
        key(
            "quote",
            Table(&QUOTE),
            Nothing,
            "What a yard asks for the same job.",
        ),
    ],
);

static CUP: Entry = entry(
    "`cup`",
    "What mixes are measured in.",
    &[
        key(
            "holds",
            Quantity(&crate::units::Volume::DIMENSION),
            Required,
            "What it holds.",
        ),
        key(
            "step",
            Quantity(&crate::units::Volume::DIMENSION),
            Required,
            "From one mark to the next.",
        ),
    ],
);

static SCALE: Entry = entry(
    "`scale`",
    "What mixes are weighed on.",
    &[
        key(
            "holds",
            Quantity(&crate::units::Mass::DIMENSION),
            Required,
            "The most it weighs.",
        ),
        key(
            "step",
            Quantity(&crate::units::Mass::DIMENSION),
            Required,
            "The least it shows.",
        ),
    ],
);

static EXPENSE: Entry = entry(
    "an expense",
    "What else is paid.",
    &[
        key("title", Line, Required, "For what."),
        key("amount", Money, Required, "How much."),
    ],
);

static QUOTE: Entry = entry(
    "`quote`",
    "What a yard asks for the same job.",
    &[
        key("amount", Money, Required, "How much."),
        key(
            "covers",
            Kind::Words(COVERED),
            Nothing,
            "What is in it: \"labour\", \"materials\", \"yard\"; labour and materials unless said.",
        ),
        key("note", Line, Nothing, "What else it says."),
    ],
);

/// What a quote may cover.
const COVERED: &[&str] = &["labour", "materials", "yard"];

pub(super) static LABOUR: Entry = entry(
    "[labour]",
    "How fast one person works, as [slow, likely, fast]. House and plant rates are published, none for boats: put \
     your own.",
    &[
        key(
            "set_out",
            LINE_PACE,
            Nothing,
            "Setting out, along the paint line: 5, 8, 12 m/h (common practice, no source).",
        ),
        key(
            "tape_straight",
            LINE_PACE,
            Nothing,
            "Laying tape on straights: 8, 10, 12 m/h (common practice, no source).",
        ),
        key(
            "tape_curve",
            LINE_PACE,
            Nothing,
            "Laying tape on curves: 4, 5, 6 m/h (common practice, no source).",
        ),
        key(
            "unmask",
            LINE_PACE,
            Nothing,
            "Taking tape off: 40, 60, 90 m/h (common practice, no source).",
        ),
        key(
            "caulk",
            LINE_PACE,
            Nothing,
            "Laying a bead and smoothing it: 6, 10, 15 m/h (common practice, no source).",
        ),
        key(
            "film",
            AREA_PACE,
            Nothing,
            "Laying film: 10, 15, 20 m²/h (common practice, no source).",
        ),
        key(
            "sand_machine",
            AREA_PACE,
            Nothing,
            "Sanding by machine, each grit: 4, 5, 6 m²/h (common practice, no source).",
        ),
        key(
            "sand_hand",
            AREA_PACE,
            Nothing,
            "Sanding by hand, each grit: 1.5, 2, 3 m²/h (common practice, no source).",
        ),
        key(
            "clean",
            AREA_PACE,
            Nothing,
            "Dust off and wiping: 20, 30, 40 m²/h (common practice, no source).",
        ),
        key(
            "brush",
            AREA_PACE,
            Nothing,
            "A coat by brush: 8.4, 9.3, 13.9 m²/h (Griffith, Carpentry, 1916, second and first coat; Process Engineering, 15 January 2000, the middle one).",
        ),
        key(
            "roll",
            AREA_PACE,
            Nothing,
            "A coat by roller: 9.3, 13.9, 18 m²/h (from memory; a construction estimator's extract has 13.9 for a sealer coat).",
        ),
        key(
            "spray",
            AREA_PACE,
            Nothing,
            "A coat by spray: 20, 30, 40 m²/h (from memory).",
        ),
        key(
            "trowel",
            AREA_PACE,
            Nothing,
            "A coat by trowel: 3, 5, 8 m²/h (from memory).",
        ),
        key(
            "broadcast",
            AREA_PACE,
            Nothing,
            "Strewing grit: 20, 30, 40 m²/h (from memory).",
        ),
        key(
            "mix",
            Three(&Time::DIMENSION),
            Nothing,
            "Mixing a batch, cleaning up after it: 20, 15, 10 min (from memory).",
        ),
        key(
            "patch_laid",
            Three(&Time::DIMENSION),
            Nothing,
            "Laying a test patch of every coat: 2 h, 1 h, 30 min (from memory).",
        ),
        key(
            "patch_seen",
            Three(&Time::DIMENSION),
            Nothing,
            "Looking at it, with tape on and off: 60, 30, 15 min (from memory).",
        ),
    ],
);

pub(super) static SUPPLIES: Entry = entry(
    "[supplies]",
    "What is used up beside paint and tape. All defaults are common practice, no source.",
    &[
        key(
            "film_waste",
            PerCent,
            Nothing,
            "Film lost where sheets lap and edges are trimmed, per cent: 10 unless said.",
        ),
        key(
            "bead_tape_waste",
            PerCent,
            Nothing,
            "Tape lost beyond the two lines beside a bead, per cent: 10 unless said.",
        ),
        key(
            "disc",
            Table(&BY_AREA),
            Nothing,
            "Abrasive discs of one grit: one lasts 1.5 m² unless said.",
        ),
        key(
            "sheet",
            Table(&BY_AREA),
            Nothing,
            "Abrasive sheets for sanding by hand: one lasts 1 m² unless said.",
        ),
        key(
            "tack_cloth",
            Table(&BY_AREA),
            Nothing,
            "Tack cloths, after each grit and before each coat: one lasts 15 m² unless said.",
        ),
        key(
            "roller",
            Table(&BY_BATCH),
            Nothing,
            "Roller sleeves: 1 for each who lays, a batch, unless said.",
        ),
        key(
            "brush",
            Table(&BY_BATCH),
            Nothing,
            "Brushes: 1 for each who lays, a batch, unless said.",
        ),
        key(
            "cup",
            Table(&BY_BATCH),
            Nothing,
            "Mixing cups: 1 a batch unless said.",
        ),
        key(
            "stirrer",
            Table(&BY_BATCH),
            Nothing,
            "Stirring sticks: 1 a batch unless said.",
        ),
        key(
            "gloves",
            Table(&BY_BATCH),
            Nothing,
            "Pairs of gloves: 1 for each person, a batch, unless said.",
        ),
        key(
            "dust_mask",
            Table(&BY_HOURS),
            Nothing,
            "Dust masks, while sanding: one lasts a person 7 h unless said.",
        ),
        key(
            "filters",
            Table(&BY_HOURS),
            Nothing,
            "Pairs of vapour filters, while cleaning and coating: one lasts a person 8 h unless said; the maker's life and the data sheet win.",
        ),
    ],
);

static BY_AREA: Entry = entry(
    "a supply by area",
    "What is used up by the area worked.",
    &[
        key(
            "lasts",
            Quantity(&Area::DIMENSION),
            Nothing,
            "The area one of it lasts.",
        ),
        key("packs", Tables(&PACK), Nothing, "Packs on sale."),
    ],
);

static BY_BATCH: Entry = entry(
    "a supply by batch",
    "What is used up with each batch.",
    &[
        key("a_batch", Count, Nothing, "How many of it a batch takes."),
        key("packs", Tables(&PACK), Nothing, "Packs on sale."),
    ],
);

static BY_HOURS: Entry = entry(
    "a supply by hours",
    "What is used up by the hour.",
    &[
        key("lasts", TIME, Nothing, "How long one of it lasts."),
        key("packs", Tables(&PACK), Nothing, "Packs on sale."),
    ],
);

static PACK: Entry = entry(
    "a pack",
    "One size of pack on sale.",
    &[
        key("holds", Count, Number(1.0), "How many are in it."),
        key("price", Money, Nothing, "What it costs."),
    ],
);
