//! The keys of walking on the deck. Defaults that stand in `about` are those of `layout/underfoot.rs`.

use super::Absent::{Flag as Yes, Nothing, Required};
use super::Kind::{Flag, Length, Line, Path, Point, SquareMetres};
use super::Sign::NotNegative;
use super::{Entry, entry, key};

pub(super) static WALK: Entry = entry(
    "[[deck.walk]]",
    "A line that people walk, for what is said of the deck underfoot.",
    &[
        key("name", Line, Required, "What people call it."),
        key(
            "path",
            Path,
            Required,
            "Its points; straight from each to the next.",
        ),
        key(
            "both_sides",
            Flag,
            Yes(false),
            "Whether its mirror image in the centreline is walked too.",
        ),
    ],
);

pub(super) static FOOTHOLD: Entry = entry(
    "[[deck.foothold]]",
    "A place where people step, for what is said of the deck underfoot.",
    &[
        key(
            "name",
            Line,
            Required,
            "What people call it: ladder head, gate, foot of the companionway.",
        ),
        key("at", Point, Required, "Where it is."),
        key(
            "both_sides",
            Flag,
            Yes(false),
            "Whether its mirror image in the centreline is one too.",
        ),
    ],
);

pub(super) static UNDERFOOT: Entry = entry(
    "[underfoot]",
    "From which size on something underfoot is pointed out; none of them is a limit that a deck keeps or breaks.",
    &[
        key(
            "widest_smooth",
            Length(NotNegative),
            Nothing,
            "Smooth places wider than this; 75 mm unless said (from memory, no source found: ask your surveyor).",
        ),
        key(
            "least_field",
            SquareMetres,
            Nothing,
            "Fields smaller than this, square metres; 0.02 unless said (from memory: ask your surveyor).",
        ),
        key(
            "stops_short",
            Length(NotNegative),
            Nothing,
            "Edges of openings and footholds that are further than this from non-skid; 150 mm unless said (from memory: ask your surveyor).",
        ),
        key(
            "glazed",
            Length(NotNegative),
            Nothing,
            "Glazed openings longer than this where people step; 500 mm unless said (EN ISO 15085:2003 as a public page sums it up, superseded by ISO 15085:2024: check the standard).",
        ),
        key(
            "waterway",
            Length(NotNegative),
            Nothing,
            "Fields nearer than this to the deck's edge; 25 mm unless said (common practice, no source: drain gaps of 25 to 50 mm at low points).",
        ),
    ],
);
