//! Tables that people have, sound and damaged, and what is said of them.

use super::*;
use crate::units::{Rain, Speed, Temperature};

fn readings(table: &str) -> Readings {
    read(table.as_bytes(), &Columns::default()).expect(table)
}

fn faults(table: &str) -> Vec<String> {
    read(table.as_bytes(), &Columns::default())
        .expect_err(table)
        .iter()
        .map(Fault::to_string)
        .collect()
}

#[test]
fn one_hour_is_the_same_however_it_is_written() {
    let plain = readings("time,air,humidity,surface,rain,wind\n2026-05-12 10:00,18.5,62,20,0,5\n");
    assert_eq!(plain.remarks, []);
    let hour = plain.record.hours()[0];
    assert_eq!(clock(hour.start), "2026-05-12 10:00");
    assert_eq!(hour.surface, Some(Temperature::celsius(20.0)));
    assert_eq!(hour.rain, Some(Rain::ZERO));
    assert_eq!(hour.wind, Some(Speed::metres_per_second(5.0)));
    for other in [
        "\u{feff}Time;Air;Humidity;Surface;Rain;Wind\r\n12.05.2026 10:00;18,5;62;20;0;5\r\n",
        "wind km/h\train_mm\tsurface (°C)\tRH %\tair_c\tdate time\n18,0\t0\t20\t62\t18,5\t2026-05-12T10:00:00+02:00\n",
        "date,time,temperature [degC],relative humidity,surface,precipitation (in),wind\n12.5.2026,10 am,18.5,62.0,20,0.0,5\n",
        "date,hour,air,humidity,surface,rain,wind_km_h,\n2026/05/12,10,18.5,62,20,0,18,\n",
        "A title\n\ntime,air,humidity,surface,rain,wind\n\"2026-05-12 10:00\",18.5,62,20,0,5\n,,,\n",
        "time,air,humidity,surface,rain,wind\r13/05/2026 10:00:00,18.5,62,20,0,5\r",
    ] {
        let found = readings(&other.replace("13/05/2026", "2026-05-12"));
        assert_eq!(found.record, plain.record, "{other}");
    }
    let fahrenheit = readings("time,air (°F),humidity\n2026-05-12 10:00,65.3,62\n");
    let air = fahrenheit.record.hours()[0].air.to_celsius();
    assert!((air - 18.5).abs() < 1e-12);
}

#[test]
fn what_stands_above_the_names_is_left_out_and_said() {
    let table = "Harbour wall\nread out on 3 June\n\ntime,air,humidity\n2026-05-12 10:00,18,62\n";
    let said: Vec<String> = readings(table)
        .remarks
        .iter()
        .map(Remark::to_string)
        .collect();
    assert_eq!(
        said,
        ["line 1: 2 lines above the names of the columns are not read"]
    );
}

#[test]
fn names_that_nobody_knows_are_given_by_the_caller() {
    let columns = Columns {
        air: Some("T2 (F)".into()),
        time: Some("when".into()),
        ..Columns::default()
    };
    let table = "when,T2 (F),air,humidity,sky\n2026-05-12 10:00,68,99,62,3\n";
    let found = read(table.as_bytes(), &columns).expect("a sound table");
    assert_eq!(found.record.hours()[0].air, Temperature::celsius(20.0));
    assert_eq!(
        found.remarks[0].to_string(),
        "line 1: columns that are not used: `air`, `sky`"
    );
    let missing = Columns {
        wind: Some("gusts".into()),
        ..columns
    };
    let fault = read(table.as_bytes(), &missing).expect_err("there are none");
    assert_eq!(fault[0].mistake.problem, "no column is called `gusts`");
}

#[test]
fn what_the_names_lack_is_said() {
    for (table, problem) in [
        ("", "line 1: the file is empty; "),
        (
            "2026-05-12 10:00,18.5,62\n",
            "line 1: there is no line with the names of the columns; ",
        ),
        (
            "time,air,damp\n2026-05-12 10:00,18.5,62\n",
            "line 1: no column is called `humidity`; there are `time`, `air`, `damp`; ",
        ),
        (
            "\ntime,air,temp,rh\n2026-05-12 10:00,18.5,62,1\n",
            "line 2: `air` and `temp` could both be the air; ",
        ),
        (
            "time,air (K),rh\n2026-05-12 10:00,290,62\n",
            "line 1: `air (K)` has no unit that is known; ",
        ),
        ("time,air,rh\n", "line 1: there is no hour in it; "),
    ] {
        let said = faults(table);
        assert!(said[0].starts_with(problem), "{}", said[0]);
        assert_eq!(said.len(), 1, "{said:?}");
    }
}

#[test]
fn every_cell_that_cannot_be_read_is_named_with_its_line() {
    let table = "time,air,humidity,rain,wind,dew point\n\
        03/05/2026 10:00,18,62,0,5,\n\
        2026-05-12 10:30,18,62,0,5,\n\
        2026-05-12T11:00Z,18,62,0,5,\n\
        2026-02-30 12:00,18,62,0,5,\n\
        2026-05-12 25:00,18,62,0,5,\n\
        2026-05-12 14:00,90,62,0,5,\n\
        2026-05-12 15:00,18,120,0,5,\n\
        2026-05-12 16:00,18,62,-1,5,\n\
        2026-05-12 17:00,18,62,0,5 kn,\n\
        2026-05-12 18:00,18,62,0,500,\n\
        2026-05-12 19:00,18,62,0,5,20\n\
        2026-05-12 20:00,18,5,62,0,5,0\n\
        ,18,62,0,5,\n\
        2026-05-12 22:00,18,\"62,0,5,\n\
        2026-05-12 23:00,-9999,62,0,5,\n\
        2026-05-12 20:00,18,62,0,5\n\
        time,air,humidity,rain,wind,dew point\n";
    let said = faults(table);
    let expected = [
        "`03/05/2026` could be two different days; write year",
        "`10:30` is not a full hour; write year",
        "`11:00Z` is in universal time; write the hour as the clock on the wall",
        "`2026-02-30` is not a day; write year",
        "`25:00` is not a time of day; write year",
        "air of 90 °C is a slip; write its temperature, from -60 to 60 °C",
        "a relative humidity of 120.0 % is a slip; write per cent, from 1 to 100",
        "rain of -1 mm is a slip; write what fell in the hour",
        "the wind: `5 kn` is not a number; write a plain number",
        "wind of 500 m/s is a slip; write its mean",
        "a dew point of 20 °C in air of 18 °C is a slip; look whether",
        "it has 7 cells, but 6 columns have names; write decimals behind a point",
        "no time; write year",
        "a quote is opened and never closed; close it",
        "air of -9999 °C is a slip; write its temperature",
        "it has 5 cells, but 6 columns have names; complete it",
        "the names of the columns once more; take this line out",
    ];
    assert_eq!(said.len(), expected.len(), "{said:#?}");
    for ((said, expected), line) in said.iter().zip(expected).zip(2..) {
        let expected = format!("line {line}: {expected}");
        assert!(said.starts_with(&expected), "{said}, not {expected}");
    }
}

/// Decimals behind a comma make a point a sign of thousands to some.
#[test]
fn where_commas_are_decimal_a_point_before_three_digits_is_refused() {
    let table = "time;air;humidity\n2026-05-12 10:00;18.250;62\n2026-05-12 11:00;18.25;62\n";
    let said = faults(table);
    assert_eq!(said.len(), 1);
    assert!(
        said[0].starts_with("line 2: the air: `18.250` could be thousands or thousandths"),
        "{}",
        said[0]
    );
    readings(&table.replace(';', ","));
}

#[test]
fn gaps_and_hours_that_stand_twice_are_said() {
    let found = readings(
        "time,air,humidity\n\
        2026-10-25 01:00,9,80\n\
        2026-10-25 02:00,9,80\n\
        2026-10-25 02:00,8,90\n\
        2026-10-25 03:00,8,90\n\
        2026-10-25 06:00,8,90\n\
        2026-10-25 04:00,8,\n\
        2026-10-25 00:00,9,80\n\
        2026-10-25 06:00,8,90\n\
        2026-10-25 24:00,9,80\n",
    );
    let said: Vec<String> = found.remarks.iter().map(Remark::to_string).collect();
    assert_eq!(
        said,
        [
            "line 4: 2026-10-25 02:00 stands in line 3 too, with other values, as where the clock is put back; the damper of \
             both, line 4, is kept",
            "line 6: nothing is known from 2026-10-25 04:00 to 2026-10-25 06:00 (2 hours)",
            "line 7: the humidity is empty; the hour of 2026-10-25 04:00 is left out",
            "line 8: earlier than the line before it; the hours were put in order",
            "line 9: 2026-10-25 06:00 stands in line 6 already, with the same values",
            "line 10: nothing is known from 2026-10-25 07:00 to 2026-10-26 00:00 (17 hours)",
        ]
    );
    let kept = found.record.hours()[2];
    assert_eq!(kept.air, Temperature::celsius(8.0), "the damper of both");
    let other_way = readings(
        "time,air,humidity\n2026-10-25 02:00,8,90\n2026-10-25 02:00,9,80\n2026-10-25 03:00,-0.5,90\n",
    );
    assert!(other_way.remarks[0].said.contains("line 2, is kept"));
    let kept = other_way.record.hours()[0];
    assert_eq!(kept.air, Temperature::celsius(8.0), "the damper of both");
    let frost = other_way.record.hours()[1];
    assert_eq!(frost.air, Temperature::celsius(-0.5));
    let said = faults(
        "time,air,humidity\n2026-05-12 10:00,9,80\n2026-05-12 11:00,9,80\n2026-05-12 10:00,9,81\n",
    );
    assert_eq!(
        said,
        [
            "line 4: 2026-05-12 10:00 stands in line 2 already, with other values; keep the line that is right"
        ]
    );
    // Both that are out of place, though one follows the other.
    let said = faults(
        "time,air,humidity\n2026-05-12 10:00,9,80\n2026-05-12 11:00,9,80\n2026-05-12 10:00,9,81\n2026-05-12 10:00,9,81\n",
    );
    assert_eq!(said.len(), 2, "{said:?}");
}

#[test]
fn a_file_that_is_no_text_is_said_to_be_none() {
    let utf16: Vec<u8> = "time,air,humidity\n"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    let fault = read(&utf16, &Columns::default()).expect_err("no text");
    assert!(fault[0].mistake.advice.contains("UTF-8"), "{}", fault[0]);
    let latin = b"time,air (\xb0C),humidity\n2026-05-12 10:00,18,62\n";
    let fault = read(latin, &Columns::default()).expect_err("no UTF-8");
    assert_eq!(fault[0].line, 1);
    assert!(fault[0].mistake.advice.contains("UTF-8"), "{}", fault[0]);
}
