//! What is said of drawings that are damaged or do not close: always a line of the drawing, and what to do.

use std::time::{Duration, Instant};

use spile::import::{ImportFault, dxf};
use spile::layout::{self, Sources, render_faults};

use crate::large::{file, line};

/// The fault of the file, or of the one entity in it.
fn fault(text: &str) -> ImportFault {
    match dxf::read(text.as_bytes()) {
        Err(fault) => fault,
        Ok(drawn) => drawn
            .unread
            .first()
            .unwrap_or_else(|| panic!("nothing wrong: {text}"))
            .fault
            .clone(),
    }
}

fn spline(degree: u32, knots: &[f64], points: u32) -> String {
    let mut text = format!("0\nSPLINE\n5\nA1\n8\nDECK\n70\n8\n71\n{degree}\n");
    for knot in knots {
        text += &format!("40\n{knot}\n");
    }
    for number in 0..points {
        text += &format!("10\n{}\n20\n{}\n30\n0\n", number * 10, number % 2);
    }
    text
}

#[test]
fn every_kind_of_damage_has_its_line_and_its_advice() {
    let circle = "0\nCIRCLE\n5\nA1\n8\nDECK\n10\n0\n20\n0\n40\n5\n";
    let good = file(circle);
    assert!(dxf::read(good.as_bytes()).unwrap().unread.is_empty());
    let whole = good.clone();
    let cases: Vec<(&str, String, usize, &str)> = vec![
        ("empty", String::new(), 1, "is empty"),
        ("no EOF", whole.replace("0\nEOF\n", ""), 18, "without EOF"),
        (
            "no ENDSEC",
            whole.replace("0\nENDSEC\n", ""),
            2,
            "has no end",
        ),
        (
            "cut in a section",
            whole[..whole.find("40\n").unwrap()].to_owned(),
            14,
            "ends inside the section",
        ),
        (
            "cut in a group",
            whole[..whole.find("\n5\n0\nENDSEC").unwrap()].to_owned(),
            15,
            "before its value",
        ),
        (
            "text for a code",
            whole.replace("40\n5", "forty\n5"),
            15,
            "a group code should stand here",
        ),
        (
            "text for a number",
            whole.replace("40\n5", "40\nfive"),
            16,
            "takes a number",
        ),
        (
            "not a number",
            whole.replace("40\n5", "40\nNaN"),
            16,
            "no number that can be drawn",
        ),
        (
            "infinite",
            whole.replace("40\n5", "40\n1e999"),
            16,
            "no number that can be drawn",
        ),
        (
            "zero radius",
            whole.replace("40\n5", "40\n0"),
            16,
            "radius 0",
        ),
        (
            "no radius",
            whole.replace("40\n5\n", ""),
            6,
            "does not say its radius",
        ),
        (
            "tilted",
            whole.replace("40\n5", "210\n1\n40\n5"),
            6,
            "tilted plane",
        ),
        (
            "knots fall",
            file(&spline(2, &[0., 0., 0., 2., 1., 3., 3., 3.], 5)),
            24,
            "fall from 2 to 1",
        ),
        (
            "knots too few",
            file(&spline(2, &[0., 0., 0., 1., 1., 1.], 4)),
            6,
            "take 7",
        ),
        (
            "a knot too often",
            file(&spline(2, &[0., 0., 0., 1., 1., 1., 2., 2., 2.], 6)),
            22,
            "falls into two",
        ),
        (
            "knots all one",
            file(&spline(2, &[1.; 6], 3)),
            20,
            "are all one",
        ),
        (
            "fit points",
            file("0\nSPLINE\n5\nA\n71\n3\n11\n0\n21\n0\n11\n5\n21\n5\n"),
            6,
            "fit points alone",
        ),
        (
            "mesh",
            file("0\nPOLYLINE\n5\nA\n70\n16\n0\nSEQEND\n"),
            6,
            "polygon mesh",
        ),
        (
            "no SEQEND",
            file("0\nPOLYLINE\n5\nA\n70\n1\n0\nVERTEX\n10\n0\n20\n0\n"),
            12,
            "no SEQEND",
        ),
        (
            "no such block",
            file("0\nINSERT\n2\nX\n10\n0\n20\n0\n"),
            6,
            "no block \"X\"",
        ),
        (
            "vertices missing",
            file("0\nLWPOLYLINE\n90\n3\n10\n0\n20\n0\n"),
            8,
            "says that it has 3",
        ),
        (
            "a surface",
            file("0\n3DFACE\n8\nDECK\n"),
            6,
            "gives no outline",
        ),
    ];
    for (name, text, line, message) in cases {
        let found = fault(&text);
        assert!(found.message.contains(message), "{name}: {found:?}");
        assert_eq!(found.line, line, "{name}: {found:?}");
        assert!(found.help.is_some(), "{name}: {found:?}");
    }
    let binary = b"1234567 Binary DXF\r\n\x1a\0\0\0".to_vec();
    assert!(
        dxf::read(&binary)
            .unwrap_err()
            .message
            .contains("binary form")
    );
}

#[test]
fn blocks_that_hold_themselves_are_told() {
    let block = "0\nBLOCK\n2\nA\n10\n0\n20\n0\n0\nINSERT\n2\na\n10\n0\n20\n0\n0\nENDBLK\n";
    let text = format!(
        "0\nSECTION\n2\nBLOCKS\n{block}0\nENDSEC\n{}",
        file("0\nINSERT\n2\nA\n10\n0\n20\n0\n")
    );
    let found = fault(&text);
    assert!(found.message.contains("within itself"), "{found:?}");
    assert_eq!(found.line, 14);
}

#[test]
fn line_ends_blanks_and_old_letters_do_not_matter() {
    let text = file(&line(0x2f, [0.0, 0.0, 3.0, 4.0])).replace("DECK", "Gr\u{f6}\u{df}e");
    let plain = dxf::read(text.as_bytes()).unwrap();
    let mut blanks = String::new();
    for line in text.lines() {
        blanks += &format!("  {line} \r\n");
    }
    assert_eq!(dxf::read(blanks.as_bytes()).unwrap(), plain);
    let latin: Vec<u8> = text
        .chars()
        .map(|letter| u8::try_from(u32::from(letter)).unwrap())
        .collect();
    assert_eq!(dxf::read(&latin).unwrap(), plain);
    let escaped = text.replace("Gr\u{f6}\u{df}e", "Gr\\U+00F6\\U+00DFe");
    assert_eq!(dxf::read(escaped.as_bytes()).unwrap(), plain);
}

/// Numbers that look random and are the same every time (xorshift, after G. Marsaglia, 2003).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, end: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % u64::try_from(end.max(1)).unwrap()).unwrap()
    }
}

#[test]
fn thousands_of_damaged_files_are_read_or_refused_with_a_line() {
    let whole = include_bytes!("files/r2000.dxf");
    // Tables and objects are passed over: damage to them says little.
    let text = String::from_utf8_lossy(whole);
    let section = |name: &str| text.find(&format!("  0\nSECTION\n  2\n{name}")).unwrap();
    let part = &text[section("BLOCKS")..section("OBJECTS")];
    assert!(
        dxf::read(format!("{part}  0\nEOF\n").as_bytes())
            .unwrap()
            .unread
            .is_empty()
    );
    let whole: Vec<&str> = part.lines().collect();
    let words = [
        "NaN",
        "-1",
        "0",
        "1e308",
        "-1e-320",
        "",
        "SPLINE",
        "ENDSEC",
        "99999999999",
        "INSERT",
        "10",
        "POLYLINE",
    ];
    let mut numbers = Numbers(0x5eed);
    let (mut refused, mut unread) = (0, 0);
    let mut slowest = Duration::ZERO;
    for _ in 0..4000 {
        let mut lines = whole.clone();
        for _ in 0..=numbers.below(3) {
            if lines.len() < 2 {
                break;
            }
            let at = numbers.below(lines.len());
            match numbers.below(20) {
                0 => drop(lines.remove(at)),
                1 => lines.insert(at, words[numbers.below(words.len())]),
                2 => lines.truncate(at + 1),
                3 => {
                    let other = (at * 7 + 3) % lines.len();
                    lines.swap(at, other);
                }
                4 => lines[at] = words[numbers.below(words.len())],
                // Values stand in every second line: these leave the groups whole.
                _ => {
                    let value = (at | 1).min(lines.len() - 1);
                    lines[value] = words[numbers.below(words.len())];
                }
            }
        }
        let text = lines.join("\n") + "\n0\nEOF\n";
        let started = Instant::now();
        match dxf::read(text.as_bytes()) {
            Err(fault) => {
                refused += 1;
                assert!(fault.line > 0 && fault.help.is_some(), "{fault:?}");
            }
            Ok(drawn) => {
                unread += usize::from(!drawn.unread.is_empty());
                for one in &drawn.unread {
                    assert!(one.fault.line > 0 && one.fault.help.is_some(), "{one:?}");
                }
                let joined = dxf::join(&drawn.paths.iter().collect::<Vec<_>>(), 0.05);
                assert!(joined.loose.iter().all(|end| end.line > 0));
            }
        }
        slowest = slowest.max(started.elapsed());
    }
    println!("{refused} refused, {unread} with entities unread, slowest {slowest:?}");
    assert!(
        refused > 500 && unread > 200,
        "{refused} refused, {unread} unread"
    );
    assert!(slowest < Duration::from_secs(5), "{slowest:?}");
}

/// What a person is shown for a deck whose edge is layer DECK of this drawing.
fn shown(drawing: &str, drawn: &str, entities: &str) -> String {
    let layout = format!(
        "title = \"A\"\n\n[[drawing]]\nfile = \"a.dxf\"\n{drawing}\n[[deck]]\nid = \"a\"\ntitle = \"A\"\n\n\
         [deck.outline]\ndrawn = {{ {drawn} }}\n\n[deck.margin]\nedge = 50\n"
    );
    let mut sources = Sources::default();
    sources.add("a.dxf", file(entities).into_bytes());
    let faults = match layout::read(&layout) {
        Err(faults) => faults,
        Ok(read) => match spile::work_out(read, &sources) {
            Err(faults) => faults,
            Ok(job) => {
                let warnings = job.warnings.iter();
                return warnings
                    .map(|warning| format!("{}: {}\n", warning.code, warning.message))
                    .collect();
            }
        },
    };
    render_faults("a.toml", &layout, &faults)
}

#[test]
fn what_keeps_a_layer_from_being_a_deck_is_said() {
    let side =
        |handle, from: [f64; 2], to: [f64; 2]| line(handle, [from[0], from[1], to[0], to[1]]);
    let [a, b, c, d] = [
        [0.0, -500.0],
        [2000.0, -500.0],
        [2000.0, 500.0],
        [0.0, 500.0],
    ];
    let square = side(0x21, a, b) + &side(0x22, b, c) + &side(0x23, c, d) + &side(0x24, d, a);
    let gaping =
        side(0x21, a, b) + &side(0x22, b, c) + &side(0x23, c, d) + &side(0x24, d, [0.0, -499.68]);
    let slightly = gaping.replace("-499.68", "-499.98");
    let branching = square.clone() + &side(0x25, a, [2500.0, -900.0]);
    let junction = square.clone() + &side(0x25, [700.0, -500.0], [700.0, 0.0]);
    let two = square.clone() + "0\nCIRCLE\n5\n26\n8\nDECK\n10\n900\n20\n0\n40\n100\n";
    let twice = square.clone() + &side(0x25, b, a) + "0\nTEXT\n8\nDECK\n1\nfore\n";
    let mm = "units = \"mm\"\n";
    let layer = "layer = \"DECK\"";
    let cases = [
        ("no units", shown("", layer, &square)),
        ("good", shown(mm, layer, &square)),
        ("a gap", shown(mm, layer, &gaping)),
        (
            "a gap that is closed",
            shown("units = \"mm\"\ngap = 0.5\n", layer, &gaping),
        ),
        ("a small gap", shown(mm, layer, &slightly)),
        ("a branch", shown(mm, layer, &branching)),
        ("a T-junction", shown(mm, layer, &junction)),
        ("two rings", shown(mm, layer, &two)),
        ("drawn twice", shown(mm, layer, &twice)),
        ("no such layer", shown(mm, "layer = \"DEK\"", &square)),
        ("no such handle", shown(mm, "handle = \"2A\"", &square)),
        (
            "a handle that is open",
            shown(mm, "handle = \"21\"", &square),
        ),
        ("an id", shown(mm, "path = \"deck\"", &square)),
        (
            "a scale",
            shown(
                "scale = { from = [0, 0], to = [1, 0], length = 5 }\n",
                layer,
                &square,
            ),
        ),
        (
            "an unknown unit",
            shown("units = \"yard\"\n", layer, &square),
        ),
        ("a surface", shown(mm, layer, "0\n3DFACE\n5\n21\n8\nDECK\n")),
    ];
    let all: String = cases
        .iter()
        .map(|(name, text)| format!("== {name} ==\n{text}\n"))
        .collect();
    insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, {
        insta::assert_snapshot!("layers_that_do_not_close", all);
    });
}
