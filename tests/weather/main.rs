//! Weather: a table says the same however it is written, no line of a damaged one is lost, and no work is placed in an hour
//! that is not fit.

mod damaged;
mod forms;
mod judged;
mod outside;

use jiff::ToSpan;
use jiff::civil::{DateTime, date};
use proptest::prelude::*;
use spile::units::{Rain, Share, Speed, Temperature};
use spile::weather::{Basis, Hour, Record};

/// The first hour of every record here.
fn first() -> DateTime {
    date(2026, 5, 1).at(0, 0, 0, 0)
}

/// An hour in whole tenths, as instruments give them; rain, wind and the surface may be unknown.
#[derive(Debug, Clone, Copy)]
struct Tenths {
    /// Hours since the first.
    at: i64,
    air: i32,
    humidity: i32,
    surface: Option<i32>,
    rain: Option<i32>,
    wind: Option<i32>,
}

impl Tenths {
    fn hour(self) -> Hour {
        let tenths = |it: i32| {
            format!("{}.{}", it / 10, it % 10)
                .parse()
                .expect("a number")
        };
        Hour {
            start: first().saturating_add(self.at.hours()),
            air: Temperature::celsius(tenths(self.air)),
            humidity: Share::per_cent(tenths(self.humidity)),
            measured_dew_point: None,
            surface: self.surface.map(|it| Temperature::celsius(tenths(it))),
            rain: self.rain.map(|it| Rain::mm(tenths(it))),
            wind: self.wind.map(|it| Speed::metres_per_second(tenths(it))),
        }
    }
}

fn known_mostly(values: impl Strategy<Value = i32>) -> impl Strategy<Value = Option<i32>> {
    prop::option::weighted(0.9, values)
}

/// Hours about the limits, so that fit and unfit ones alternate; now and then one is missing.
fn some_hours(most: usize) -> impl Strategy<Value = Vec<Tenths>> {
    let one = (
        prop_oneof![9 => Just(1_i64), 1 => 2_i64..5],
        80_i32..380,
        500_i32..950,
        known_mostly(90_i32..400),
        known_mostly(prop_oneof![8 => Just(0), 1 => 1_i32..30]),
        known_mostly(0_i32..120),
    );
    prop::collection::vec(one, 1..most).prop_map(|all| {
        let mut at = 0;
        all.into_iter()
            .map(|(step, air, humidity, surface, rain, wind)| {
                at += step;
                Tenths {
                    at,
                    air,
                    humidity,
                    surface,
                    rain,
                    wind,
                }
            })
            .collect()
    })
}

fn record(hours: &[Tenths]) -> Record {
    let hours = hours.iter().map(|one| one.hour()).collect();
    Record::of(hours, Basis::Given).expect("no hour stands twice")
}
