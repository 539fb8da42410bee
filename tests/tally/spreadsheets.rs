//! What spreadsheets and text editors make of a ledger is read as what was meant; what could mean two things is said.

use jiff::civil::date;
use spile::tally::{Entry, addition, date_of, number_of, paid_of, read};
use spile::units::{Currency, Money, Share, Temperature, Time};

use super::{Dice, entries_of, ledger_of, random_entry};

const HEADER: &str =
    "date,step,hours,people,amount,currency,product,batch_number,air_c,humidity_pct,done,note";

fn entry() -> Entry {
    Entry {
        date: date(2026, 5, 3),
        step: "primer".to_owned(),
        hours: Time::hours(3.5),
        people: 2,
        amount: Some(paid_of("42.50", "EUR", false).expect("an amount")),
        product: "Two-part primer".to_owned(),
        batch_number: "0042".to_owned(),
        air: Some(Temperature::celsius(17.5)),
        humidity: Some(Share::per_cent(62.0)),
        is_done: true,
        note: "damp, slow".to_owned(),
    }
}

#[test]
fn a_ledger_is_written_like_this_and_reads_back() {
    let bytes = ledger_of(&[entry()]);
    let text = String::from_utf8(bytes.clone()).expect("text");
    assert_eq!(
        text,
        format!(
            "{HEADER}\r\n2026-05-03,primer,3.5,2,42.50,EUR,Two-part primer,0042,17.5,62,yes,\"damp, slow\"\r\n"
        )
    );
    assert_eq!(entries_of(&read(&bytes)), [entry()]);
    assert!((entry().person_hours().to_hours() - 7.0).abs() < 1e-12);
}

#[test]
fn the_same_entries_are_read_however_a_program_wrote_the_file() {
    let line = "2026-05-03,primer,3.5,2,42.50,EUR,Two-part primer,0042,17.5,62,yes,\"damp, slow\"";
    for (how, text) in [
        ("LF", format!("{HEADER}\n{line}\n")),
        ("CR", format!("{HEADER}\r{line}\r")),
        ("no end", format!("{HEADER}\r\n{line}")),
        ("a byte-order mark", format!("\u{feff}{HEADER}\r\n{line}\r\n")),
        ("empty lines", format!("\r\n{HEADER}\r\n\r\n{line}\r\n,,,,,,,,,,,\r\n\r\n")),
        ("empty cells more", format!("{HEADER},,\r\n{line},,\r\n")),
        ("all quoted", format!(
            "\"{}\"\r\n\"2026-05-03\",\"primer\",\"3.5\",\"2\",\"42.50\",\"EUR\",\"Two-part primer\",\"0042\",\"17.5\",\"62\",\"yes\",\"damp, slow\"\r\n",
            HEADER.replace(',', "\",\"")
        )),
        ("semicolons and decimal commas", format!(
            "{}\r\n03.05.2026;primer;3,5;2;42,5;EUR;Two-part primer;0042;17,5;62;TRUE;damp, slow\r\n",
            HEADER.replace(',', ";")
        )),
        ("other order, capitals, a further column", "Note,weekday,People,Hours,Step,Date,Done,Humidity_pct,Air_C,Batch_Number,Product,Currency,Amount\n\
          \"damp, slow\",Sunday,2,3.5,primer,2026-05-03,yes,62,17.5,0042,Two-part primer,EUR,42.5\n".to_owned()),
        ("tabs", format!(
            "{}\r\n2026-05-03\tprimer\t3.5\t2\t42.50\tEUR\tTwo-part primer\t0042\t17.5\t62\tyes\tdamp, slow\r\n",
            HEADER.replace(',', "\t")
        )),
    ] {
        let ledger = read(text.as_bytes());
        assert_eq!(ledger.damaged, [], "{how}");
        assert_eq!(ledger.header, None, "{how}");
        assert_eq!(entries_of(&ledger), [entry()], "{how}");
    }
}

#[test]
fn what_is_added_follows_the_form_that_the_file_has() {
    for head in [
        "",
        "\u{feff}",
        HEADER,
        &format!("{}\n", HEADER.replace(',', ";")),
        "note;done;humidity_pct;air_c;batch_number;product;currency;amount;people;hours;step;date;mine\r\n",
        &format!("{HEADER}\r\n2026-05-03,prim"),
    ] {
        let mut dice = Dice(7);
        let mut bytes = head.as_bytes().to_vec();
        let mut entries = Vec::new();
        for _ in 0..50 {
            let entry = random_entry(&mut dice);
            let added = addition(&bytes, &entry).expect("it can be added");
            bytes.extend(added);
            entries.push(entry);
        }
        let ledger = read(&bytes);
        assert_eq!(entries_of(&ledger), entries, "{head:?}");
        let torn = usize::from(head.ends_with("prim"));
        assert_eq!(ledger.damaged.len(), torn, "{head:?}");
        assert!(bytes.starts_with(head.as_bytes()), "{head:?}");
    }
}

#[test]
fn a_header_without_room_for_what_is_entered_refuses_it() {
    let head = "date,step,hours,people\r\n";
    let refused = addition(head.as_bytes(), &entry()).expect_err("no room for money");
    assert!(refused.problem.contains("`amount`"), "{refused}");
    let plain = Entry {
        amount: None,
        product: String::new(),
        batch_number: String::new(),
        air: None,
        humidity: None,
        is_done: false,
        note: String::new(),
        ..entry()
    };
    let added = addition(head.as_bytes(), &plain).expect("there is room for hours");
    assert_eq!(added, b"2026-05-03,primer,3.5,2\r\n");
}

#[test]
fn what_a_spreadsheet_would_run_or_break_is_written_harmless() {
    let nasty = Entry {
        step: "=cmd".to_owned(),
        note: "first\r\nsecond\tthird\u{0}".to_owned(),
        product: "@sum(1)".to_owned(),
        ..entry()
    };
    let text = String::from_utf8(ledger_of(std::slice::from_ref(&nasty))).expect("text");
    let line = text.lines().nth(1).expect("a line");
    assert!(line.starts_with("2026-05-03,'=cmd,"), "{line}");
    assert!(line.contains(",'@sum(1),"), "{line}");
    assert!(line.ends_with(",first second third"), "{line}");
    let back = read(text.as_bytes()).entries.remove(0).entry;
    assert_eq!(back, nasty.tidied());
    assert_eq!(back.step, "=cmd");
}

#[test]
fn each_mistake_of_a_hand_is_named_with_its_line_and_what_to_write() {
    for (line, problem) in [
        ("2026-05-03,primer,3,2,,,,,,,", "11 cells, the header 12"),
        ("2026-05-03,primer,3,2,,,,,,,,,b", "13 cells, the header 12"),
        (
            "2026-05-03,primer,3,2,,,\"a,,,,,",
            "a quote is opened and never closed",
        ),
        (
            "2026-05-03,primer,3,2,,,\"a\"b,,,,,",
            "behind a closing quote",
        ),
        ("3/5/2026,primer,3,2,,,,,,,,", "two different days"),
        ("2026-02-30,primer,3,2,,,,,,,,", "is not a day"),
        (",primer,3,2,,,,,,,,", "no date"),
        ("2026-05-03,,3,2,,,,,,,,", "no step"),
        ("2026-05-03,primer,-3,2,,,,,,,,", "cannot be negative"),
        ("2026-05-03,primer,25,1,,,,,,,,", "more than a day has"),
        ("2026-05-03,primer,3,,,,,,,,,", "not a number of people"),
        ("2026-05-03,primer,3,0,,,,,,,,", "nobody worked"),
        ("2026-05-03,primer,3h,1,,,,,,,,", "`3h` is not a number"),
        ("2026-05-03,primer,\"3,5\",1,,,,,,,,", "has a comma"),
        ("2026-05-03,primer,3,1,5,,,,,,,", "without a currency"),
        ("2026-05-03,primer,3,1,5,eur,,,,,,", "`eur` is no currency"),
        ("2026-05-03,primer,3,1,5.001,EUR,,,,,,", "finer than"),
        ("2026-05-03,primer,3,1,,,,,180,,,", "air of 180 °C"),
        ("2026-05-03,primer,3,1,,,,,,120,,", "humidity of 120 %"),
        ("2026-05-03,primer,3,1,,,,,,,perhaps,", "under `done`"),
        (HEADER, "the header line once more"),
    ] {
        let text =
            format!("{HEADER}\n2026-05-03,sand,1,1,,,,,,,,\n{line}\n2026-05-04,sand,1,1,,,,,,,,\n");
        let ledger = read(text.as_bytes());
        assert_eq!(ledger.entries.len(), 2, "{line}");
        let damaged = &ledger.damaged[0];
        assert_eq!((damaged.number, damaged.text.as_str()), (3, line));
        assert!(
            damaged.problem.contains(problem),
            "{line}: {}",
            damaged.problem
        );
        assert!(!damaged.advice.is_empty());
    }
}

#[test]
fn a_header_that_is_gone_or_scratched_is_said_and_the_lines_still_read() {
    let lines = ledger_of(&[entry(), entry()]);
    let whole = String::from_utf8(lines).expect("text");
    let (header, rest) = whole.split_once("\r\n").expect("a header");
    for (how, head) in [
        ("gone", String::new()),
        ("a letter wrong", header.replace("hours", "houxs") + "\r\n"),
        ("cut short", header[..header.len() - 20].to_owned() + "\r\n"),
        ("all of it wrong", "x,".repeat(11) + "x\r\n"),
    ] {
        let ledger = read(format!("{head}{rest}").as_bytes());
        assert!(ledger.header.is_some(), "{how}");
        assert_eq!(entries_of(&ledger)[..], vec![entry(); 2][..], "{how}");
    }
}

#[test]
fn numbers_and_days_that_could_be_two_are_neither() {
    for text in ["1.250", "2.500", "-1.000"] {
        assert!(number_of(text, true).is_err(), "{text}");
        assert!(number_of(text, false).is_ok(), "{text}");
    }
    assert_eq!(number_of("1,250", true), Ok(1.25));
    for text in [
        "1e3", "inf", "1.2.3", "", "-", ".", "1 000", "0x1", "1.", "+-1",
    ] {
        assert!(number_of(text, true).is_err(), "{text}");
    }
    let third_of_may = Ok(date(2026, 5, 3));
    for text in ["2026-05-03", "2026-5-3", "3.5.2026", "2026/05/03"] {
        assert_eq!(date_of(text), third_of_may, "{text}");
    }
    assert_eq!(date_of("25/12/2026"), Ok(date(2026, 12, 25)));
    assert_eq!(date_of("12/25/2026"), Ok(date(2026, 12, 25)));
    for text in [
        "3/5/2026",
        "03-05-2026",
        "3.5.26",
        "May 3",
        "46145",
        "2026-13-01",
    ] {
        assert!(date_of(text).is_err(), "{text}");
    }
}

#[test]
fn money_keeps_its_cents_in_any_currency() {
    let yen = Currency::of_code("JPY").expect("a currency");
    let paid = paid_of("1250", "JPY", false).expect("yen");
    assert_eq!(
        (paid.money, paid.currency),
        (Money::smallest_units(1250), yen)
    );
    assert!(paid_of("12.5", "JPY", false).is_err());
    let refund = paid_of("-0,05", "EUR", true).expect("a refund");
    assert_eq!(refund.money, Money::smallest_units(-5));
}
