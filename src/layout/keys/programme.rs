//! The keys of when: how a product dries, and the calendar of the job. Defaults that stand in `about` are those of
//! `layout/work/drying.rs` and `layout/work/programme.rs`.

use super::Absent::{Nothing, Required, Word as Said};
use super::Kind::{Clock, Date, Flag, Line, Quantity, Tables, Temperature, Word, Words};
use super::{Entry, Kind, entry, key};
use crate::units::{Quantity as _, Time, WEEKDAYS};

const TIME: Kind = Quantity(&Time::DIMENSION);

pub(super) const DRY_ABOUT: &str = "How it dries, a row for each temperature of the data sheet's table; between and beyond them by the rule.";

pub(super) static DRY: Entry = entry(
    "a row of `dry`",
    "The times of a coat at one temperature, each from the end of laying. Where a row leaves one out: 4 h to touch, 16 h to tape, 8 h \
     to recoat, 7 days at most, 24 h to traffic, 7 days to cure, all at 20 °C (from memory; 7 days at most: TB 43-0144).",
    &[
        key(
            "at",
            Temperature,
            Required,
            "The temperature of the row: a number is °C; \"75 F\" too.",
        ),
        key("touch", TIME, Nothing, "Dry to touch."),
        key(
            "tape",
            TIME,
            Nothing,
            "Dry enough to be taped, sanded and knelt on.",
        ),
        key(
            "recoat",
            TIME,
            Nothing,
            "The soonest that the next coat may be laid.",
        ),
        key(
            "recoat_by",
            TIME,
            Nothing,
            "The latest that it may be laid without sanding first.",
        ),
        key("traffic", TIME, Nothing, "Dry enough to walk on."),
        key(
            "cure",
            TIME,
            Nothing,
            "Cured, for full load and whatever stands on it.",
        ),
    ],
);

pub(super) static PROGRAMME: Entry = Entry {
    one_of: &[],
    ..entry(
        "[programme]",
        "When the work is done.",
        &[
            key("start", Date, Nothing, "The first day of work: 2027-05-03."),
            key(
                "ready",
                Date,
                Nothing,
                "Instead: the day on which all must be cured, to count backward from.",
            ),
            key(
                "day_begins",
                Clock,
                Nothing,
                "When a working day begins: \"08:00\" unless said. Its hours are `hours_a_day` of [job].",
            ),
            key(
                "days_off",
                Words(&WEEKDAYS),
                Nothing,
                "Days of the week on which nobody works: Sunday unless said.",
            ),
            key(
                "closed",
                Tables(&CLOSED),
                Nothing,
                "Days on which the yard is closed.",
            ),
            key(
                "tape_dwell",
                TIME,
                Nothing,
                "How long tape may stay: 7 days unless said (ratings of 7 and 14 days are usual; the roll says its own).",
            ),
            key(
                "unmask",
                Word(&["wet", "tacky", "dry"]),
                Said("tacky"),
                "When tape comes off: at once, when the last coat is dry to touch, or when it is dry enough to tape. Sources conflict.",
            ),
            key(
                "test_patch",
                Flag,
                super::Absent::Flag(true),
                "Whether a test patch comes first: tape on the new coat, the texture of the non-skid.",
            ),
            key(
                "drying_halves",
                Kind::Number,
                Nothing,
                "By how many degrees Celsius warmer drying takes half as long: 10 unless said (from memory; the data sheet's own rows win).",
            ),
            key(
                "time_zone",
                Line,
                Nothing,
                "The zone of its hours, by its name in the IANA time zone database, for calendars; without it hours are local wherever it is read.",
            ),
        ],
    )
};

static CLOSED: Entry = entry(
    "a time the yard is closed",
    "Days on which the yard is closed.",
    &[
        key("from", Date, Required, "The first day."),
        key("to", Date, Nothing, "The last day; the first unless said."),
    ],
);
