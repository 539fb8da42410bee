//! A thousand damaged ledgers. Every line that holds anything is an entry, or reported by its number with all its text, or
//! the header. A line that the damage left alone is read with its own values; only where the header itself is damaged
//! may it be reported instead. It is never read as something else.

use std::collections::BTreeMap;

use spile::tally::{Entry, read};

use super::{Dice, ledger_of, random_entry};

const LEDGERS: u64 = 1000;

/// A line and its end.
#[derive(Clone)]
struct Line {
    bytes: Vec<u8>,
    end: &'static [u8],
}

#[test]
fn nothing_that_was_readable_is_lost_and_every_other_line_is_reported() {
    let (mut untouched, mut reported_instead) = (0, 0);
    for number in 0..LEDGERS {
        let mut dice = Dice(number.wrapping_mul(0x9E37_79B9_7F4A_7C15));
        let entries: Vec<Entry> = (0..1 + dice.below(20))
            .map(|_| random_entry(&mut dice))
            .collect();
        let mut lines = lines_of(&ledger_of(&entries));
        let header = lines[0].bytes.clone();
        let by_text: BTreeMap<Vec<u8>, Entry> = lines[1..]
            .iter()
            .map(|line| line.bytes.clone())
            .zip(entries)
            .collect();
        for _ in 0..1 + dice.below(6) {
            damage(&mut lines, &mut dice);
        }
        let bytes: Vec<u8> = lines
            .iter()
            .flat_map(|line| line.bytes.iter().chain(line.end))
            .copied()
            .collect();
        let found = filled(&bytes);
        let ledger = read(&bytes);

        let read_as: BTreeMap<usize, &Entry> = ledger
            .entries
            .iter()
            .map(|one| (one.number, &one.entry))
            .collect();
        let reported: BTreeMap<usize, &str> = ledger
            .damaged
            .iter()
            .map(|one| (one.number, one.text.as_str()))
            .collect();
        assert_eq!(read_as.len(), ledger.entries.len(), "ledger {number}");
        assert_eq!(reported.len(), ledger.damaged.len(), "ledger {number}");

        let Some(first) = found.first() else {
            continue;
        };
        // Capitals and stray quotes leave the names what they are.
        let names = String::from_utf8_lossy(&first.1).to_lowercase();
        let is_header = ledger.header.is_none();
        let may_be = names.replace('"', "").as_bytes() == header;
        assert!(may_be || !is_header, "ledger {number}: {names}");
        assert!(is_header || first.1 != header, "ledger {number}: {names}");
        for (at, text) in &found {
            let shown = String::from_utf8_lossy(text);
            let place = format!("ledger {number}, line {at}: {shown}");
            let ways =
                usize::from(read_as.contains_key(at)) + usize::from(reported.contains_key(at));
            if at == &first.0 && ways == 0 {
                let said = ledger
                    .header
                    .as_ref()
                    .map(|one| (one.number, one.text.as_str()));
                let as_header = is_header || said == Some((*at, &*shown));
                assert!(as_header, "{place}");
                continue;
            }
            assert_eq!(ways, 1, "{place}");
            if let Some(said) = reported.get(at) {
                assert_eq!(*said, shown, "{place}");
            }
            if let Some(entry) = by_text.get(text) {
                untouched += 1;
                match read_as.get(at) {
                    Some(back) => assert_eq!(*back, entry, "{place}"),
                    None => {
                        assert!(!is_header, "reported, but sound: {place}");
                        reported_instead += 1;
                    }
                }
            }
        }
        let counted = ledger.entries.len() + ledger.damaged.len();
        let head = usize::from(counted + 1 == found.len());
        assert_eq!(counted + head, found.len(), "ledger {number}");
    }
    assert!(untouched > 4000, "only {untouched} lines were left alone");
    // A header that lost a separator leaves it open which column is which.
    assert!(
        reported_instead * 20 < untouched,
        "{reported_instead} of {untouched} lines suffered for their header"
    );
}

/// Does one thing to the lines that happens to files.
fn damage(lines: &mut Vec<Line>, dice: &mut Dice) {
    let at = dice.below(lines.len());
    let inside = dice.below(lines[at].bytes.len());
    let line = &mut lines[at];
    match dice.below(12) {
        0 | 1 => {
            if let Some(byte) = line.bytes.get_mut(inside) {
                *byte ^= 1 << dice.below(8);
            }
        }
        2 => line.bytes.truncate(inside),
        3 => {
            line.bytes.drain(..inside);
        }
        4 => line.end = b"",
        5 => {
            let copy = line.clone();
            lines.insert(at, copy);
        }
        6 => {
            let other = dice.below(lines.len());
            lines.swap(at, other);
        }
        7 => line.bytes.insert(inside, b'"'),
        8 => {
            let run = [b'\0'; 5];
            line.bytes.splice(inside..inside, run);
        }
        9 => line.bytes.insert(inside, *dice.pick(b"\xff\xc3\x80\xfe")),
        10 => {
            let ends: [&'static [u8]; 4] = [b"\n", b"\r\n", b"\r", b"\n\n"];
            for line in lines {
                line.end = ends[dice.below(ends.len())];
            }
        }
        _ => {
            if let Some(last) = lines.last_mut() {
                last.end = b"";
            }
        }
    }
}

fn lines_of(bytes: &[u8]) -> Vec<Line> {
    let text = std::str::from_utf8(bytes).expect("a ledger is text");
    text.split_terminator("\r\n")
        .map(|line| Line {
            bytes: line.as_bytes().to_vec(),
            end: b"\r\n",
        })
        .collect()
}

/// Lines that hold anything, numbered, found in another way than the library does: line ends made one first.
fn filled(bytes: &[u8]) -> Vec<(usize, Vec<u8>)> {
    let mut plain: Vec<u8> = Vec::new();
    for (at, byte) in bytes.iter().enumerate() {
        match byte {
            b'\r' => plain.push(b'\n'),
            b'\n' if at > 0 && bytes[at - 1] == b'\r' => {}
            byte => plain.push(*byte),
        }
    }
    (1..)
        .zip(plain.split(|byte| *byte == b'\n'))
        .filter(|(_, line)| line.iter().any(|byte| !b" \t,;".contains(byte)))
        .map(|(number, line)| (number, line.to_vec()))
        .collect()
}
