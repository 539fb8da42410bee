//! The keys of the weather: what a product may be laid in, and where the job's own weather is told. Defaults that stand in
//! `about` are those of `weather/limits.rs`.

use super::Absent::{Nothing, Required};
use super::Kind::{Line, PerCent, Quantity, Table, Tables, Temperature, Word};
use super::{Entry, entry, key};
use crate::units::{MONTHS, Quantity as _, Speed, TemperatureDifference, Time};

pub(super) const FIT_ABOUT: &str =
    "The weather that it may be laid in, as its data sheet has it; the usual limits unless said.";

pub(super) static FIT: Entry = entry(
    "`weather` of a product",
    "The weather that a coat may be laid in.",
    &[
        key(
            "spread",
            Quantity(&TemperatureDifference::DIMENSION),
            Nothing,
            "How far the surface must be over the dew point: 3 °C unless said (MIL-HDBK-1110, 9.6.6).",
        ),
        key(
            "humidity",
            PerCent,
            Nothing,
            "The greatest relative humidity: 85 % unless said (a maker's application guide).",
        ),
        key(
            "coldest",
            Temperature,
            Nothing,
            "The coldest air: 10 °C unless said (the same).",
        ),
        key(
            "warmest",
            Temperature,
            Nothing,
            "The warmest air: 35 °C unless said (the same).",
        ),
        key(
            "coldest_surface",
            Temperature,
            Nothing,
            "The coldest surface; no limit unless said.",
        ),
        key(
            "warmest_surface",
            Temperature,
            Nothing,
            "The warmest surface; no limit unless said.",
        ),
        key(
            "wind",
            Quantity(&Speed::DIMENSION),
            Nothing,
            "The strongest mean wind; no limit unless said (no source found).",
        ),
        key(
            "dry_after",
            Quantity(&Time::DIMENSION),
            Nothing,
            "How long no rain may fall after it: 6 h unless said, or until it is dry to touch where that takes longer (from memory).",
        ),
    ],
);

pub(super) static WEATHER: Entry = Entry {
    one_of: &["hours", "month"],
    ..entry(
        "[weather]",
        "The weather of the job: an hourly table, or averages of months typed in.",
        &[
            key(
                "hours",
                Line,
                Nothing,
                "A table of hours (.csv) from the layout's own folder: time, air temperature, humidity, and where it has them dew point, surface, \
                 rain and wind.",
            ),
            key(
                "columns",
                Table(&COLUMNS),
                Nothing,
                "What its columns are called, where spile does not know their names.",
            ),
            key(
                "month",
                Tables(&MONTH),
                Nothing,
                "Averages of months, for a job so far ahead that nobody can forecast it.",
            ),
        ],
    )
};

static COLUMNS: Entry = entry(
    "`columns` of [weather]",
    "What the columns of the hourly table are called.",
    &[
        key("time", Line, Nothing, "The time, with its date or without."),
        key(
            "date",
            Line,
            Nothing,
            "The date, where it has a column of its own.",
        ),
        key("air", Line, Nothing, "The air's temperature."),
        key("humidity", Line, Nothing, "The relative humidity."),
        key("dew_point", Line, Nothing, "The dew point."),
        key("surface", Line, Nothing, "The temperature of the surface."),
        key("rain", Line, Nothing, "The rain of the hour."),
        key("wind", Line, Nothing, "The mean wind."),
    ],
);

static MONTH: Entry = entry(
    "a month of [weather]",
    "The averages of a month.",
    &[
        key("month", Word(&MONTHS), Required, "Which month."),
        key(
            "low",
            Temperature,
            Required,
            "The mean of the days' lowest temperatures.",
        ),
        key(
            "high",
            Temperature,
            Required,
            "The mean of the days' highest temperatures.",
        ),
        key("humidity", PerCent, Required, "The mean relative humidity."),
    ],
);
