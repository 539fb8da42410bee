//! Every key a layout file may have: its kind, its default, what it means. This one table says what
//! the reader accepts and what the schema for editors offers, so that the two cannot drift apart.

mod materials;
mod programme;
mod underfoot;
mod weather;

pub(super) use materials::PRODUCTS;
use materials::{JOB, LABOUR, PRODUCT, PRODUCT_ABOUT, STEP, SUPPLIES};
use programme::PROGRAMME;
use underfoot::{FOOTHOLD, UNDERFOOT, WALK};
use weather::WEATHER;

use crate::units::Dimension;

/// A table of the file and the keys it may have.
#[derive(Debug)]
pub(super) struct Entry {
    /// How the file writes it, for messages.
    pub(super) called: &'static str,
    /// What it is, in plain words.
    pub(super) about: &'static str,
    /// Its keys.
    pub(super) keys: &'static [Key],
    /// Keys of which exactly one must be there.
    pub(super) one_of: &'static [&'static str],
    /// Pairs of keys of which neither means anything without the other.
    pub(super) together: &'static [[&'static str; 2]],
    /// Keys of which at least one must be there.
    pub(super) some_of: &'static [&'static str],
}

/// One key.
#[derive(Debug)]
pub(super) struct Key {
    /// Its name.
    pub(super) name: &'static str,
    /// What may stand behind it.
    pub(super) kind: Kind,
    /// What holds where it is absent.
    pub(super) absent: Absent,
    /// What it means, in plain words.
    pub(super) about: &'static str,
}

/// What holds where a key is absent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Absent {
    /// It may not be absent.
    Required,
    /// Nothing, or what `about` says.
    Nothing,
    /// A length in millimetres.
    Mm(f64),
    /// A bare number.
    Number(f64),
    /// True or false.
    Flag(bool),
    /// A word.
    Word(&'static str),
}

/// What may stand behind a key.
#[derive(Debug)]
pub(super) enum Kind {
    /// One line of text.
    Line,
    /// A name of letters, digits and hyphens.
    Id,
    /// True or false.
    Flag,
    /// One of these words.
    Word(&'static [&'static str]),
    /// A length.
    Length(Sign),
    /// A list of lengths.
    Lengths,
    /// An area in square metres.
    SquareMetres,
    /// An angle in degrees.
    Degrees,
    /// A bare number above 0.
    Number,
    /// A whole number, 1 or more.
    Count,
    /// A list of whole numbers, 1 or more.
    Counts,
    /// A number of per cent.
    PerCent,
    /// An amount of money: a bare number.
    Money,
    /// A temperature: bare degrees Celsius, or text with its unit.
    Temperature,
    /// A day of the calendar.
    Date,
    /// A time of day.
    Clock,
    /// A quantity with its unit, as text.
    Quantity(&'static Dimension),
    /// Three of them: slow, likely, fast.
    Three(&'static Dimension),
    /// What a can holds: a volume or a mass.
    Content,
    /// A list of these words.
    Words(&'static [&'static str]),
    /// Station and distance from the centreline.
    Point,
    /// A point of a drawing: two bare numbers, or the id of a thing drawn.
    Spot,
    /// Size along x and along y.
    Size,
    /// A list of stations with their half-breadths.
    HalfBreadths,
    /// A list of stations with the height of the centreline there.
    Heights,
    /// A list of places on the deck with their heights.
    SpotHeights,
    /// A list of points, plain or as a table.
    Ring(&'static Entry),
    /// A list of plain points.
    Path,
    /// Margins by the name of the edge.
    EdgeMargins,
    /// A list of ties, plain or as tables.
    Ties(&'static Entry),
    /// What is known of points, by their names.
    SurveyPoints(&'static Entry),
    /// A table.
    Table(&'static Entry),
    /// Any number of tables.
    Tables(&'static Entry),
}

/// Which lengths make sense.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sign {
    /// Zero or more.
    NotNegative,
    /// More than zero.
    Positive,
}

impl Entry {
    /// The key of that name.
    pub(super) fn key(&self, name: &str) -> Option<&'static Key> {
        self.keys.iter().find(|key| key.name == name)
    }
}

const fn key(name: &'static str, kind: Kind, absent: Absent, about: &'static str) -> Key {
    Key {
        name,
        kind,
        absent,
        about,
    }
}

const fn entry(called: &'static str, about: &'static str, keys: &'static [Key]) -> Entry {
    Entry {
        called,
        about,
        keys,
        one_of: &[],
        together: &[],
        some_of: &[],
    }
}

use Absent::{Flag as Yes, Mm, Nothing, Number, Required, Word as Said};
use Kind::{
    Degrees, EdgeMargins, Flag, HalfBreadths, Heights, Id, Length, Lengths, Line, Money, Path,
    Point, Ring, Size, Spot, SpotHeights, SquareMetres, SurveyPoints, Table, Tables, Ties, Word,
};
use Sign::{NotNegative, Positive};

/// Words for how points are joined.
const CURVES: &[&str] = &["fair", "straight"];
/// Words for how two sides meet on the centreline.
const ENDS: &[&str] = &["sharp", "round"];
/// Words for the curve of a camber.
const CAMBERS: &[&str] = &["parabolic", "circular"];
/// Words for where margins are kept.
const MEASURED: &[&str] = &["plan", "surface"];
/// Units of numbers.
const UNITS: &[&str] = &["mm", "cm", "m", "in", "ft"];
/// Words for what is made of two sides measured apart.
const SIDES: &[&str] = &["both", "average", "port", "starboard"];
/// Words for where the bow points in a drawing.
const BOWS: &[&str] = &["left", "right", "up", "down"];
/// The shapes; exactly one each.
const SHAPES: &[&str] = &["rectangle", "circle", "slot", "points", "drawn"];

/// The whole file.
pub(super) static LAYOUT: Entry = entry(
    "the layout",
    "A boat's deck layout: decks, margins, openings, fittings and tape. \
     A bare number is in the file's units; a length in quotes carries its own.",
    &[
        key(
            "title",
            Line,
            Required,
            "Title of the job, as it stands on the drawings.",
        ),
        key(
            "units",
            Word(UNITS),
            Said("mm"),
            "Unit of bare numbers, and the unit in which figures are shown.",
        ),
        key(
            "survey",
            Table(&SURVEY),
            Nothing,
            "Points found with a tape measure; outlines and shapes may use them by name.",
        ),
        key(
            "drawing",
            Tables(&DRAWING),
            Nothing,
            "Files that outlines and shapes are taken from, one `[[drawing]]` each.",
        ),
        key(
            "deck",
            Tables(&DECK),
            Required,
            "The decks, one `[[deck]]` each, on one datum and centreline.",
        ),
        key(
            "tape",
            Table(&TAPE),
            Nothing,
            "The tape and film the job uses.",
        ),
        key(
            "products",
            Line,
            Nothing,
            "A file of products that several layouts share, from the layout's own folder.",
        ),
        key("product", Tables(&PRODUCT), Nothing, PRODUCT_ABOUT),
        key(
            "step",
            Tables(&STEP),
            Nothing,
            "What is done to the deck, one `[[step]]` each, in this order.",
        ),
        key(
            "job",
            Table(&JOB),
            Nothing,
            "People, hours, temperature, money.",
        ),
        key(
            "labour",
            Table(&LABOUR),
            Nothing,
            "How fast one person works.",
        ),
        key(
            "supplies",
            Table(&SUPPLIES),
            Nothing,
            "What is used up beside paint and tape.",
        ),
        key(
            "order",
            Table(&ORDER),
            Nothing,
            "How the decks are painted by people who stand on them.",
        ),
        key(
            "programme",
            Table(&PROGRAMME),
            Nothing,
            "When the work is done.",
        ),
        key(
            "weather",
            Table(&WEATHER),
            Nothing,
            "The weather of the job: an hourly table, or averages of months.",
        ),
        key(
            "underfoot",
            Table(&UNDERFOOT),
            Nothing,
            "From which size on something underfoot is pointed out.",
        ),
    ],
);

/// Defaults that stand in `about` are those of `layout/work/order.rs`.
static ORDER: Entry = entry(
    "[order]",
    "How the decks are painted by people who stand on them.",
    &[
        key(
            "path",
            Length(Positive),
            Nothing,
            "The least width that a person walks on: 250 mm unless said (from memory).",
        ),
        key(
            "reach",
            Length(Positive),
            Nothing,
            "How far an arm reaches with a roller: 700 mm unless said (from memory); at least the path and 200 mm.",
        ),
    ],
);

static WAY_OFF: Entry = entry(
    "[[deck.way_off]]",
    "Where people get off the deck while its paint is wet.",
    &[
        key("name", Line, Nothing, "What people call it."),
        key(
            "at",
            Point,
            Required,
            "Where it is: on the deck, or so near to it that an arm reaches over.",
        ),
        key(
            "onto",
            Line,
            Nothing,
            "The id of the deck that people come to there: it is painted later. Left out where they leave the boat.",
        ),
    ],
);

static SURVEY: Entry = entry(
    "[survey]",
    "Points found with a tape measure, by the distances between them.",
    &[
        key(
            "precision",
            Length(Positive),
            Mm(3.0),
            "Standard deviation of one tie: how far a careful second reading is likely to be off.",
        ),
        key(
            "precision_per_metre",
            Length(NotNegative),
            Mm(0.0),
            "What each metre of a tie adds to that (as the root of the sum of squares).",
        ),
        key(
            "ties",
            Ties(&TIE),
            Required,
            "[point, point, distance] as measured, in any order.",
        ),
        key(
            "points",
            SurveyPoints(&SURVEY_POINT),
            Required,
            "What is known of points before: coordinates, \"centreline\", or a side to choose where two places fit.",
        ),
    ],
);

static TIE: Entry = entry(
    "a tie",
    "The distance between two points as measured.",
    &[
        key("from", Line, Required, "The point at one end."),
        key("to", Line, Required, "The point at the other."),
        key("length", Length(Positive), Required, "The distance."),
        key(
            "precision",
            Length(Positive),
            Nothing,
            "Its own standard deviation, instead of the survey's.",
        ),
    ],
);

static SURVEY_POINT: Entry = entry(
    "a point of [survey.points]",
    "What is known of a point before its ties.",
    &[key(
        "near",
        Point,
        Required,
        "Where it lies, roughly, where its ties leave two places.",
    )],
);

static DRAWING: Entry = entry(
    "[[drawing]]",
    "A drawing that outlines and shapes are taken from.",
    &[
        key(
            "file",
            Line,
            Required,
            "The file, from the layout's own folder: .svg or .dxf.",
        ),
        key(
            "scale",
            Table(&SCALE),
            Nothing,
            "How large an SVG is: a known distance in it. Without it and without marks its own millimetres or inches hold.",
        ),
        key(
            "bow",
            Word(BOWS),
            Said("left"),
            "Where the bow points in an SVG that has no marks.",
        ),
        key(
            "origin",
            Spot,
            Nothing,
            "Where the datum lies in an SVG that has no marks: `from` of the scale unless said, else the drawing's own origin.",
        ),
        key(
            "marks",
            Tables(&MARK),
            Nothing,
            "Marks known in an SVG and on the deck. Two or three shift, turn and scale it; four or more rectify a photograph.",
        ),
        key(
            "units",
            Word(UNITS),
            Nothing,
            "The unit of a DXF's coordinates, where its own header does not say or is wrong.",
        ),
        key(
            "gap",
            Length(Positive),
            Mm(0.05),
            "Ends in a DXF that are this near to each other are joined.",
        ),
    ],
);

static SCALE: Entry = entry(
    "`scale`",
    "A known distance in a drawing.",
    &[
        key(
            "from",
            Spot,
            Required,
            "One end: [x, y] in the drawing's own units, or the id of a thing drawn, for its middle.",
        ),
        key("to", Spot, Required, "The other end."),
        key(
            "length",
            Length(Positive),
            Required,
            "The distance between them on the deck.",
        ),
    ],
);

static MARK: Entry = entry(
    "a mark",
    "A point known in a drawing and on the deck.",
    &[
        key(
            "drawn",
            Spot,
            Required,
            "Where it is drawn: [x, y] in the drawing's own units, or the id of a thing drawn, for its middle.",
        ),
        key(
            "at",
            Point,
            Required,
            "Where it is on the deck: [station, distance from the centreline], or a point of the survey.",
        ),
    ],
);

static DRAWN: Entry = Entry {
    one_of: &["path", "layer", "handle"],
    ..entry(
        "`drawn`",
        "What is taken from a drawing.",
        &[
            key(
                "file",
                Line,
                Nothing,
                "Which drawing, where the layout has several.",
            ),
            key("path", Line, Nothing, "The id of an SVG's element."),
            key("layer", Line, Nothing, "A layer of a DXF."),
            key(
                "handle",
                Line,
                Nothing,
                "The handle of one entity of a DXF.",
            ),
        ],
    )
};

static DECK: Entry = entry(
    "[[deck]]",
    "One continuous area to be laid out, seen from above.",
    &[
        key(
            "id",
            Id,
            Required,
            "Short unique name: letters, digits and hyphens.",
        ),
        key("title", Line, Nothing, "What people call the deck."),
        key("outline", Table(&OUTLINE), Required, "The deck's edge."),
        key(
            "camber",
            Table(&CAMBER),
            Nothing,
            "The deck's round athwartships; flat unless said.",
        ),
        key(
            "sheer",
            Table(&SHEER),
            Nothing,
            "The curve of its centreline fore and aft; level unless said.",
        ),
        key(
            "margin",
            Table(&MARGIN),
            Nothing,
            "Least distances kept smooth.",
        ),
        key(
            "radius",
            Table(&RADIUS),
            Nothing,
            "Radii of the fields' corners.",
        ),
        key(
            "field",
            Table(&FIELD),
            Nothing,
            "What is too small to be a field.",
        ),
        key(
            "opening",
            Tables(&OPENING),
            Nothing,
            "Holes in the deck: hatches, companionways, mast holes.",
        ),
        key(
            "fitting",
            Tables(&FITTING),
            Nothing,
            "Things standing on the deck: cleats, winches, stanchion bases.",
        ),
        key(
            "smooth",
            Tables(&SMOOTH),
            Nothing,
            "Areas kept smooth; they belong to the border.",
        ),
        key(
            "strip",
            Tables(&STRIP),
            Nothing,
            "Straight smooth bands that break the non-skid into fields.",
        ),
        key(
            "pad",
            Tables(&PAD),
            Nothing,
            "Where any pad is given, non-skid is laid only inside pads.",
        ),
        key("walk", Tables(&WALK), Nothing, "Lines that people walk."),
        key(
            "foothold",
            Tables(&FOOTHOLD),
            Nothing,
            "Places where people step: ladder heads, gates, the foot of a companionway.",
        ),
        key(
            "way_off",
            Tables(&WAY_OFF),
            Nothing,
            "Where people get off the deck while its paint is wet: a gangway, a ladder, a step. With several, any will do.",
        ),
    ],
);

static OUTLINE: Entry = Entry {
    one_of: &["half_breadths", "points", "drawn", "starboard"],
    together: &[["starboard", "port"]],
    ..entry(
        "[deck.outline]",
        "The deck's edge, by half-breadths from the centreline or by the points of a closed ring.",
        &[
            key(
                "half_breadths",
                HalfBreadths,
                Nothing,
                "[station, half-breadth] pairs from forward to aft; mirrored to both sides.",
            ),
            key(
                "starboard",
                HalfBreadths,
                Nothing,
                "Half-breadths to starboard, where the two sides were measured apart; `port` beside it.",
            ),
            key(
                "port",
                HalfBreadths,
                Nothing,
                "Half-breadths to port, at stations of their own.",
            ),
            key(
                "sides",
                Word(SIDES),
                Said("both"),
                "What is made of two sides measured apart: both stay as they are, or their average, the port or the starboard side is taken for both.",
            ),
            key(
                "precision",
                Length(Positive),
                Mm(0.5),
                "Standard deviation of one half-breadth as measured, beside its rounding; what is judged unfair depends on it.",
            ),
            key(
                "points",
                Ring(&CORNER),
                Nothing,
                "Points of a closed ring, either way round; the last joins the first.",
            ),
            key(
                "drawn",
                Table(&DRAWN),
                Nothing,
                "A closed ring of a drawing.",
            ),
            key(
                "curve",
                Word(CURVES),
                Nothing,
                "How the points are joined: as a batten lies through them, or by straight lines. \
                 Half-breadths are fair and points straight unless said.",
            ),
            key(
                "knuckles",
                Lengths,
                Nothing,
                "Stations where the fair curve breaks to a corner.",
            ),
            key(
                "forward",
                Word(ENDS),
                Said("sharp"),
                "Where the first half-breadth is 0: the sides meet in a corner, or the curve crosses the centreline square to it.",
            ),
            key(
                "aft",
                Word(ENDS),
                Said("sharp"),
                "Where the last half-breadth is 0: the sides meet in a corner, or the curve crosses the centreline square to it.",
            ),
        ],
    )
};

static CORNER: Entry = entry(
    "a point",
    "One point of a ring and the edge that leaves it.",
    &[
        key(
            "at",
            Point,
            Required,
            "[station, distance from the centreline, positive to starboard].",
        ),
        key(
            "radius",
            Length(NotNegative),
            Nothing,
            "Radius this corner is rounded with.",
        ),
        key(
            "edge",
            Line,
            Nothing,
            "Name of the edge that leaves this point.",
        ),
        key(
            "through",
            Point,
            Nothing,
            "The edge that leaves this point is an arc through here.",
        ),
        key(
            "corner",
            Flag,
            Yes(false),
            "Whether a fair curve breaks to a corner here.",
        ),
    ],
);

static CAMBER: Entry = Entry {
    one_of: &["rise", "heights"],
    ..entry(
        "[deck.camber]",
        "The deck's round athwartships: one curve for the whole deck, by its rise over a beam or by heights measured.",
        &[
            key(
                "rise",
                Length(Positive),
                Nothing,
                "How much higher the middle is than both ends of `beam`.",
            ),
            key(
                "beam",
                Length(Positive),
                Nothing,
                "The whole breadth that `rise` was measured over; no less than the deck's.",
            ),
            key(
                "form",
                Word(CAMBERS),
                Said("parabolic"),
                "The curve of the round, with `rise`.",
            ),
            key(
                "heights",
                SpotHeights,
                Nothing,
                "[station, distance from the centreline, height] as measured over any one level.",
            ),
        ],
    )
};

static SHEER: Entry = entry(
    "[deck.sheer]",
    "The curve of the deck's centreline fore and aft.",
    &[key(
        "heights",
        Heights,
        Required,
        "[station, height] pairs over any one level, from forward to aft; a fair curve passes through them and goes on straight.",
    )],
);

static MARGIN: Entry = entry(
    "[deck.margin]",
    "Least distances kept from edges, openings and fittings to the non-skid.",
    &[
        key("edge", Length(NotNegative), Mm(50.0), "From the outline."),
        key(
            "opening",
            Length(NotNegative),
            Nothing,
            "From openings; as `edge` unless said.",
        ),
        key(
            "fitting",
            Length(NotNegative),
            Nothing,
            "From fittings; as `edge` unless said.",
        ),
        key(
            "edges",
            EdgeMargins,
            Nothing,
            "By edge name, instead of `edge`.",
        ),
        key(
            "blend",
            Length(NotNegative),
            Nothing,
            "Length over which the margin changes where edges run on into each other; five times the difference unless said, 0 for a square step.",
        ),
        key(
            "measured",
            Word(MEASURED),
            Said("plan"),
            "Where margins, radii and strips have the sizes given: seen from above, or on the deck's own surface, over its camber and sheer.",
        ),
    ],
);

static RADIUS: Entry = entry(
    "[deck.radius]",
    "Radii of the fields' corners.",
    &[
        key(
            "round",
            Length(NotNegative),
            Mm(0.0),
            "Outward corners of fields.",
        ),
        key(
            "hollow",
            Length(NotNegative),
            Mm(0.0),
            "Inward corners of fields.",
        ),
    ],
);

static FIELD: Entry = entry(
    "[deck.field]",
    "What is too small to be a field.",
    &[
        key(
            "least_width",
            Length(NotNegative),
            Mm(0.0),
            "Narrower than this is dropped.",
        ),
        key(
            "least_area",
            SquareMetres,
            Number(0.0),
            "Smaller than this is dropped; square metres.",
        ),
    ],
);

/// The keys that every shape on the deck may have, its name and its own keys first.
macro_rules! feature {
    ($called:literal, $about:literal, $name:expr, [$($own:expr),* $(,)?]) => {
        Entry {
            one_of: SHAPES,
            ..entry($called, $about, &[
                key("name", Line, $name, "What people call it."),
                $($own,)*
                key("rectangle", Table(&RECTANGLE), Nothing, "A rectangle about its centre."),
                key("circle", Table(&CIRCLE), Nothing, "A circle by its centre."),
                key("slot", Table(&SLOT), Nothing, "Round ends: every point within half the width of a line."),
                key("points", Ring(&CORNER), Nothing, "A closed ring of points, as in an outline."),
                key("drawn", Table(&DRAWN), Nothing, "Closed rings of a drawing, each a shape."),
                key("curve", Word(CURVES), Said("straight"), "How `points` are joined."),
                key("both_sides", Flag, Yes(false), "Whether its mirror image in the centreline is there too."),
            ])
        }
    };
}

static OPENING: Entry = feature!(
    "[[deck.opening]]",
    "A hole in the deck.",
    Required,
    [
        key(
            "margin",
            Length(NotNegative),
            Nothing,
            "Margin round it, instead of `deck.margin.opening`."
        ),
        key(
            "glazed",
            Flag,
            Yes(false),
            "Whether its lid is glass or acrylic, for what is said of the deck underfoot.",
        ),
    ]
);

static FITTING: Entry = feature!(
    "[[deck.fitting]]",
    "Something standing on the deck.",
    Required,
    [
        key(
            "margin",
            Length(NotNegative),
            Nothing,
            "Margin round it, instead of `deck.margin.fitting`."
        ),
        key(
            "in_place",
            Flag,
            Yes(true),
            "False where it is lifted for the job, so that its footprint is painted with the border.",
        ),
    ]
);

static SMOOTH: Entry = feature!(
    "[[deck.smooth]]",
    "An area kept smooth; it belongs to the border.",
    Nothing,
    []
);

static PAD: Entry = feature!(
    "[[deck.pad]]",
    "Where any pad is given, non-skid is laid only inside pads.",
    Nothing,
    []
);

static RECTANGLE: Entry = entry(
    "a rectangle",
    "A rectangle about its centre.",
    &[
        key("at", Point, Required, "Its centre."),
        key(
            "size",
            Size,
            Required,
            "[size along x, size along y] before it is turned.",
        ),
        key(
            "radius",
            Length(NotNegative),
            Mm(0.0),
            "Radius of its corners.",
        ),
        key(
            "turned",
            Degrees,
            Number(0.0),
            "Degrees it is turned, counter-clockwise as drawn with the bow to the left.",
        ),
    ],
);

static CIRCLE: Entry = Entry {
    one_of: &["diameter", "radius"],
    ..entry(
        "a circle",
        "A circle by its centre.",
        &[
            key("at", Point, Required, "Its centre."),
            key("diameter", Length(Positive), Nothing, "Its diameter."),
            key("radius", Length(Positive), Nothing, "Or its radius."),
        ],
    )
};

static SLOT: Entry = entry(
    "a slot",
    "Every point within half the width of a line.",
    &[
        key("from", Point, Required, "One end of the line."),
        key("to", Point, Required, "The other end."),
        key("width", Length(Positive), Required, "Width of the slot."),
    ],
);

static STRIP: Entry = Entry {
    some_of: &["across_at", "along_at", "path"],
    ..entry(
        "[[deck.strip]]",
        "Straight smooth bands of one width that break the non-skid into fields.",
        &[
            key("width", Length(Positive), Required, "Width of the band."),
            key(
                "across_at",
                Lengths,
                Nothing,
                "Stations of bands athwartships.",
            ),
            key(
                "along_at",
                Lengths,
                Nothing,
                "Distances from the centreline of bands fore and aft.",
            ),
            key(
                "path",
                Path,
                Nothing,
                "A band along a line, with square ends.",
            ),
            key(
                "both_sides",
                Flag,
                Yes(false),
                "Whether the mirror image in the centreline is there too.",
            ),
        ],
    )
};

static TAPE: Entry = entry(
    "[tape]",
    "The tape and film the job uses.",
    &[
        key(
            "line",
            Table(&LINE),
            Nothing,
            "The tape whose edge makes the paint line.",
        ),
        key(
            "edge",
            Table(&EDGE),
            Nothing,
            "The tape that covers deck edge, openings and fittings.",
        ),
        key(
            "film",
            Table(&FILM),
            Nothing,
            "The film or paper that covers the rest.",
        ),
    ],
);

static LINE: Entry = entry(
    "line tape",
    "The tape whose edge makes the paint line.",
    &[
        key("width", Length(Positive), Mm(19.0), "Width of the tape."),
        key(
            "roll",
            Length(Positive),
            Mm(33_000.0),
            "Length of tape on a roll.",
        ),
        key(
            "lap",
            Length(NotNegative),
            Mm(50.0),
            "Overlap at a run's end.",
        ),
        key(
            "least_radius",
            Length(NotNegative),
            Nothing,
            "The least radius that the middle of the tape bends round. Without it: 5 times the width, where its outer edge stretches by a tenth (common practice, no source).",
        ),
        key(
            "price",
            Money,
            Nothing,
            "What a roll costs, in the job's currency.",
        ),
    ],
);

static EDGE: Entry = entry(
    "edge tape",
    "The tape that covers deck edge, openings and fittings.",
    &[
        key("width", Length(Positive), Mm(36.0), "Width of the tape."),
        key(
            "roll",
            Length(Positive),
            Mm(50_000.0),
            "Length of tape on a roll.",
        ),
        key(
            "lap",
            Length(NotNegative),
            Mm(50.0),
            "Overlap at a run's end.",
        ),
        key(
            "least_radius",
            Length(NotNegative),
            Nothing,
            "The least radius that the middle of the tape bends round. Without it: 5 times the width, where its outer edge stretches by a tenth (common practice, no source).",
        ),
        key(
            "price",
            Money,
            Nothing,
            "What a roll costs, in the job's currency.",
        ),
    ],
);

static FILM: Entry = entry(
    "film",
    "The film or paper that covers the rest.",
    &[
        key("width", Length(Positive), Mm(900.0), "Width of the film."),
        key(
            "roll",
            Length(Positive),
            Mm(20_000.0),
            "Length of film on a roll.",
        ),
        key(
            "price",
            Money,
            Nothing,
            "What a roll costs, in the job's currency.",
        ),
    ],
);
