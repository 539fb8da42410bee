//! Damaged tables. Every line is read, or reported by its number; without the lines that are reported the rest is read.

use std::collections::BTreeMap;

use proptest::prelude::*;
use spile::weather::{Columns, Fault, Hour, Readings, read};

use super::{Tenths, some_hours};

/// One thing that happens to files.
#[derive(Debug, Clone)]
enum Damage {
    Flip {
        line: usize,
        byte: usize,
        bit: u8,
    },
    Insert {
        line: usize,
        byte: usize,
        sign: char,
    },
    CutShort {
        line: usize,
        byte: usize,
    },
    Empty {
        line: usize,
        cell: usize,
    },
    Twice {
        line: usize,
    },
    Swap {
        line: usize,
        other: usize,
    },
    RunTogether {
        line: usize,
    },
}

fn any_damage() -> impl Strategy<Value = Damage> {
    let place = || (0..1000_usize, 0..1000_usize);
    prop_oneof![
        (place(), 0..8_u8).prop_map(|((line, byte), bit)| Damage::Flip { line, byte, bit }),
        (
            place(),
            prop::sample::select(vec!['"', ',', ';', '\t', 'x', '-', '\n', '9', '\0', 'é'])
        )
            .prop_map(|((line, byte), sign)| Damage::Insert { line, byte, sign }),
        place().prop_map(|(line, byte)| Damage::CutShort { line, byte }),
        (1..1000_usize, 0..6_usize).prop_map(|(line, cell)| Damage::Empty { line, cell }),
        (0..1000_usize).prop_map(|line| Damage::Twice { line }),
        place().prop_map(|(line, other)| Damage::Swap { line, other }),
        (0..1000_usize).prop_map(|line| Damage::RunTogether { line }),
    ]
}

fn damaged(lines: &mut Vec<Vec<u8>>, damage: &Damage) {
    let count = lines.len();
    match *damage {
        Damage::Flip { line, byte, bit } => {
            let line = &mut lines[line % count];
            let long = line.len().max(1);
            if let Some(byte) = line.get_mut(byte % long) {
                *byte ^= 1 << bit;
            }
        }
        Damage::Insert { line, byte, sign } => {
            let line = &mut lines[line % count];
            let at = byte % (line.len() + 1);
            line.splice(at..at, sign.to_string().bytes());
        }
        Damage::CutShort { line, byte } => {
            let line = &mut lines[line % count];
            let long = line.len().max(1);
            line.truncate(byte % long);
        }
        Damage::Empty { line, cell } => {
            let line = &mut lines[line % count];
            let mut cells: Vec<&[u8]> = line.split(|byte| *byte == b',').collect();
            let many = cells.len();
            cells[cell % many] = b"";
            *line = cells.join(&b',');
        }
        Damage::Twice { line } => {
            let again = lines[line % count].clone();
            lines.push(again);
        }
        Damage::Swap { line, other } => lines.swap(line % count, other % count),
        Damage::RunTogether { line } if count > 1 => {
            let next = lines.remove(1 + line % (count - 1));
            lines[line % (count - 1)].extend(next);
        }
        Damage::RunTogether { .. } => {}
    }
}

fn line_of(one: &Tenths) -> String {
    let number = |tenths: i32| format!("{}.{}", tenths / 10, tenths % 10);
    let known = |value: Option<i32>| value.map_or(String::new(), number);
    format!(
        "{},{},{},{},{},{}",
        one.hour().start.strftime("%Y-%m-%d %H:%M"),
        number(one.air),
        number(one.humidity),
        known(one.surface),
        known(one.rain),
        known(one.wind)
    )
}

const HEADER: &str = "time,air,humidity,surface,rain,wind";

fn reading(lines: &[Vec<u8>]) -> Result<Readings, Vec<Fault>> {
    read(&lines.join(&b'\n'), &Columns::default())
}

/// The file's lines as a reader counts them: a damage may have put a line's end into one, or CR beside it.
fn counted(lines: &[Vec<u8>]) -> Vec<Vec<u8>> {
    let bytes = lines.join(&b'\n');
    let text = bytes.split(|byte| *byte == b'\n' || *byte == b'\r');
    text.map(<[u8]>::to_vec).collect()
}

fn holds_anything(line: &[u8]) -> bool {
    !line.iter().all(|byte| b" \t,;".contains(byte))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn every_line_is_read_or_reported(
        hours in some_hours(12),
        damages in prop::collection::vec(any_damage(), 0..5),
    ) {
        let mut lines: Vec<Vec<u8>> = vec![HEADER.as_bytes().to_vec()];
        lines.extend(hours.iter().map(|one| line_of(one).into_bytes()));
        let sound: BTreeMap<Vec<u8>, Hour> = lines[1..]
            .iter()
            .cloned()
            .zip(hours.iter().map(|one| one.hour()))
            .collect();
        for damage in &damages {
            damaged(&mut lines, damage);
        }
        // LF behind CR would be one end and not two.
        prop_assume!(!lines.iter().any(|line| line.last() == Some(&b'\r')));
        let lines = counted(&lines);
        let names: Vec<usize> = (0..lines.len())
            .filter(|at| lines[*at].eq_ignore_ascii_case(HEADER.as_bytes()))
            .collect();
        match reading(&lines) {
            Ok(found) => {
                let Some(head) = names.first() else {
                    // Another case, a quote or a stray separator leaves the names what they are, or loses an optional one.
                    return Ok(());
                };
                let filled = lines[head + 1..].iter().filter(|line| holds_anything(line)).count();
                let reported = found
                    .remarks
                    .iter()
                    .filter(|one| one.said.contains("left out") || one.said.contains("stands in line"))
                    .count();
                prop_assert_eq!(found.record.hours().len() + reported, filled, "{:?}", found);
                for (line, hour) in &sound {
                    if lines[head + 1..].contains(line) {
                        let known = found.record.hours().iter().find(|one| one.start == hour.start);
                        let known = known.expect("the hour of a sound line is there");
                        let is_said = found.remarks.iter().any(|one| one.said.contains("damper"));
                        prop_assert!(known == hour || is_said, "{:?}", known);
                    }
                }
            }
            Err(faults) => {
                let mut last = 0;
                for fault in &faults {
                    prop_assert!(fault.line > last && fault.line <= lines.len().max(1));
                    prop_assert!(!fault.mistake.problem.is_empty() && !fault.mistake.advice.is_empty());
                    last = fault.line;
                }
                let about_the_head = faults.len() == 1
                    && ["column", "there is no", "empty", "could both", "unit"]
                        .iter()
                        .any(|word| faults[0].mistake.problem.contains(word));
                let kept: Vec<Vec<u8>> = lines
                    .iter()
                    .enumerate()
                    .filter(|(at, _)| !faults.iter().any(|fault| fault.line == at + 1))
                    .map(|(_, line)| line.clone())
                    .collect();
                let is_head_lost = names.is_empty()
                    || names.iter().all(|at| faults.iter().any(|fault| fault.line == at + 1));
                if !about_the_head && !is_head_lost {
                    match reading(&kept) {
                        Ok(_) => {}
                        Err(left) => {
                            prop_assert!(
                                left[0].mistake.problem == "there is no hour in it",
                                "{} after {:?}",
                                left[0],
                                faults
                            );
                        }
                    }
                    for fault in &faults {
                        let is_untouched = sound.contains_key(&lines[fault.line - 1]);
                        let is_twice = fault.mistake.problem.contains("already");
                        prop_assert!(!is_untouched || is_twice, "{}", fault);
                    }
                }
            }
        }
    }

    #[test]
    fn no_bytes_make_it_fail(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        let _ = read(&bytes, &Columns::default());
    }

    #[test]
    fn no_text_makes_it_fail(
        head in "(\u{feff})?(time|date|air|rh|rain \\(in\\)|wind_km_h|[,;\t ]){0,12}",
        lines in prop::collection::vec("[-+0-9./:,;TZ apm\"\u{00e9}]{0,30}", 0..6),
    ) {
        let text = format!("{head}\n{}", lines.join("\n"));
        let _ = read(text.as_bytes(), &Columns::default());
        let text = format!("{HEADER}\n{}", lines.join("\n"));
        if let Ok(found) = read(text.as_bytes(), &Columns::default()) {
            for hour in found.record.hours() {
                prop_assert!(hour.spread().to_kelvins().is_finite());
            }
        }
    }
}
