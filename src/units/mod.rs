//! Lengths, areas, volumes, masses, times, temperatures and money as people write and read them, metric and US.
//! Inside, every quantity is of a type that hides its unit; a unit appears only where text comes in or goes out.

mod amounts;
mod area;
mod date;
mod days;
mod hour_range;
mod length;
mod money;
mod parse;
mod quantity;
mod show;

pub use amounts::{
    AreaPace, Density, LengthPace, Mass, MassPerArea, Rain, Share, Speed, SpreadingRate,
    Temperature, TemperatureDifference, Time, Volume,
};
pub use area::Area;
pub use date::parse_date;
pub use days::{MONTHS, WEEKDAYS, clock, long_day, moment, short_day, weekday};
pub use hour_range::HourRange;
pub use length::{Length, LengthUnit};
pub use money::{Currency, Money, MoneyFault};
pub use parse::{LengthFault, parse_length};
pub use quantity::{Dimension, Quantity};
