//! Drawings made to choke a reader, and drawings damaged by chance: an answer or a fault with its place, soon.

use std::fmt::Write;
use std::time::{Duration, Instant};

use spile::import::{Drawn, ImportFault, svg};

use super::{Chance, around};

/// Far beyond what any of them takes, so that a busy machine is no failure.
const LONGEST: Duration = Duration::from_secs(20);

fn timed(text: &[u8], what: &str) -> Result<Drawn, ImportFault> {
    let start = Instant::now();
    let answer = svg::read(text);
    let took = start.elapsed();
    println!("{what}: {took:.1?}");
    assert!(took < LONGEST, "{what} took {took:?}");
    if let Err(fault) = &answer {
        assert!(
            !fault.message.is_empty() && fault.help.is_some(),
            "{fault:?}"
        );
    }
    answer
}

fn refused(text: &[u8], what: &str) -> ImportFault {
    timed(text, what).expect_err(what)
}

/// The fault of one thing in it.
fn fault_of(text: &str, id: &str) -> ImportFault {
    timed(text.as_bytes(), id)
        .expect("a file")
        .with_id(id)
        .expect_err("no path")
}

#[test]
fn uses_that_go_round_are_said() {
    for (inside, line) in [
        ("<use id=\"a\" href=\"#a\"/>", 2),
        ("<g id=\"g\"><use id=\"a\" xlink:href=\"#g\"/></g>", 2),
        (
            "<use id=\"b\" href=\"#a\"/>\n<use id=\"a\" href=\"#b\"/>",
            3,
        ),
        (
            "<defs><g id=\"x\"><use href=\"#y\"/></g>\n<g id=\"y\"><use href=\"#x\"/></g></defs><use id=\"a\" href=\"#x\"/>",
            3,
        ),
    ] {
        let fault = fault_of(&around(inside), "a");
        assert!(fault.message.contains("over and over"), "{}", fault.message);
        assert_eq!(fault.line, line, "{inside}");
    }
}

#[test]
fn uses_that_multiply_are_stopped() {
    let mut inside = String::from("<g id=\"l0\"><path d=\"M0 0L1 0L1 1Z\"/></g>\n");
    for level in 1..40 {
        let _ = write!(inside, "<g id=\"l{level}\">");
        for _ in 0..10 {
            let _ = write!(inside, "<use href=\"#l{}\"/>", level - 1);
        }
        inside += "</g>\n";
    }
    let fault = refused(around(&inside).as_bytes(), "ten to the fortieth uses");
    assert!(fault.message.contains("million"), "{}", fault.message);
}

#[test]
fn entities_that_multiply_are_stopped() {
    let mut laughs = String::from("<!DOCTYPE svg [\n<!ENTITY a0 \"ha\">\n");
    for level in 1..10 {
        let _ = writeln!(
            laughs,
            "<!ENTITY a{level} \"{}\">",
            format!("&a{};", level - 1).repeat(10)
        );
    }
    laughs += "]>\n<svg xmlns=\"http://www.w3.org/2000/svg\"><text>&a9;</text></svg>";
    let fault = refused(laughs.as_bytes(), "entities in entities");
    assert_eq!((fault.line, fault.column), (3, 1));
    // One long one, many times.
    let long = format!(
        "<!DOCTYPE svg [<!ENTITY a \"{}\">]>\n<svg xmlns=\"http://www.w3.org/2000/svg\"><text>{}</text></svg>",
        "ha".repeat(500_000),
        "&a;".repeat(100_000)
    );
    let fault = refused(long.as_bytes(), "a long entity, often");
    assert!(fault.message.contains("swell"), "{}", fault.message);
    // The harmless ones of older programs are read.
    let good = "<!DOCTYPE svg [<!ENTITY ns \"http://www.w3.org/2000/svg\">]>\n\
                <svg xmlns=\"&ns;\"><path id=\"a\" d=\"M0 0H10V10Z\"/></svg>";
    assert!(
        timed(good.as_bytes(), "a namespace")
            .expect("good")
            .with_id("a")
            .is_ok()
    );
}

#[test]
fn depth_and_number_are_bounded() {
    let deep = around(&format!(
        "{}<path/>{}",
        "<g>".repeat(100_000),
        "</g>".repeat(100_000)
    ));
    let fault = refused(deep.as_bytes(), "a hundred thousand groups in each other");
    assert!(fault.message.contains("deep"), "{}", fault.message);
    assert_eq!(fault.line, 2);
    let many = around(&"<g/>".repeat(1_200_000));
    refused(many.as_bytes(), "a million elements");
    let named: String = (0..100_000).fold(String::new(), |mut all, i| {
        let _ = write!(all, "<g id=\"g{i}\"/>");
        all
    });
    assert!(timed(around(&named).as_bytes(), "a hundred thousand names").is_ok());
    let attributes: String = (0..20_000).fold(String::new(), |mut all, i| {
        let _ = write!(all, " a{i}=\"\"");
        all
    });
    let _ = timed(
        around(&format!("<g{attributes}/>")).as_bytes(),
        "twenty thousand attributes",
    );
}

#[test]
fn long_paths_are_read_or_refused_soon() {
    let short = format!("M0 0{}Z", "l1 1l-1 2".repeat(400_000));
    let drawn = timed(
        around(&format!("<path id=\"a\" d=\"{short}\"/>")).as_bytes(),
        "4 MB of path",
    );
    assert_eq!(
        drawn.expect("read").with_id("a").expect("there")[0]
            .pieces
            .len(),
        800_001
    );
    let long = format!("M0 0{}Z", "c1 2 3 4 5 6".repeat(900_000));
    let _ = timed(
        around(&format!("<path id=\"a\" d=\"{long}\"/>")).as_bytes(),
        "10 MB of path",
    );
    let longer = format!("M0 0{}Z", "h1v1".repeat(2_500_000));
    let fault = refused(
        around(&format!("<path id=\"a\" d=\"{longer}\"/>")).as_bytes(),
        "10 MB of steps",
    );
    assert!(fault.message.contains("two million"), "{}", fault.message);
    // A fault at the far end of one long line.
    let broken = around(&format!(
        "<path id=\"a\" d=\"M0 0{}x\"/>",
        "h1v1".repeat(400_000)
    ));
    let fault = fault_of(&broken, "a");
    // Behind `<path id="a" d="M0 0` and all the steps.
    assert_eq!((fault.line, fault.column), (2, 20 + 1_600_000 + 1));
}

#[test]
fn numbers_no_drawing_has_are_said() {
    for (attributes, says) in [
        ("d=\"M0 0L1e300 0L0 1Z\"", "further than"),
        ("d=\"M0 0L1e99999 0L0 1Z\"", "cannot be read from here"),
        ("d=\"M0 0LNaN 0L0 1Z\"", "cannot be read from here"),
        ("d=\"M0 0A1e200 1e200 0 0 0 1 1Z\"", ""),
        ("d=\"M0 0A1e-200 1e-200 0 0 0 1e-200 1Z\"", ""),
        (
            "transform=\"scale(1e300) scale(1e300)\" d=\"M0 0L1 0L0 1Z\"",
            "further than",
        ),
        (
            "transform=\"scale(0)\" d=\"M0 0L1 0L0 1Z\"",
            "nothing drawn",
        ),
        (
            "transform=\"rotate(\" d=\"M0 0L1 0L0 1Z\"",
            "is no transformation",
        ),
        (
            "style=\"fill:none; transform: rotate(3deg)\" d=\"M0 0L1 0L0 1Z\"",
            "styles are not followed",
        ),
        (
            "transform-origin=\"5 5\" d=\"M0 0L1 0L0 1Z\"",
            "not followed",
        ),
        ("d=\"\"", "nothing drawn"),
        ("d=\"M5 5\"", "nothing drawn"),
    ] {
        let text = around(&format!("<path id=\"a\" {attributes}/>"));
        let drawn = timed(text.as_bytes(), attributes).expect("a file");
        match drawn.with_id("a") {
            Err(fault) => {
                assert!(
                    fault.message.contains(says),
                    "{attributes}: {}",
                    fault.message
                );
                assert_eq!(fault.line, 2, "{attributes}");
            }
            Ok(_) => assert!(says.is_empty(), "{attributes}"),
        }
    }
}

#[test]
fn what_is_no_svg_is_said() {
    for (bytes, says) in [
        (&b""[..], "empty"),
        (&b"\x1f\x8b\x08\x00"[..], "compressed"),
        (&b"\xff\xfe<\0s\0"[..], "UTF-16"),
        (&b"<svg>\n\xc3\x28</svg>"[..], "UTF-8"),
        (&b"0\nSECTION\n2\nHEADER"[..], "drawing "),
        (&b"<html><body/></html>"[..], "not an SVG"),
        (
            &b"<svg xmlns=\"http://www.w3.org/2000/svg\"><g>"[..],
            "ends before",
        ),
    ] {
        let fault = refused(bytes, says);
        assert!(fault.message.contains(says), "{}", fault.message);
    }
    let huge = vec![b' '; (64 << 20) + 1];
    assert!(refused(&huge, "too large").message.contains("64 MiB"));
}

/// A drawing with everything in it.
fn sound() -> String {
    std::fs::read_to_string(
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("layouts/turnstone.svg"),
    )
    .expect("it is there")
        + "<!-- -->"
}

#[test]
fn a_drawing_cut_short_anywhere_is_said_with_its_place() {
    let text = sound();
    let end = text.rfind("</svg>").expect("it ends") + 5;
    for cut in (1..end).step_by(37) {
        let fault = svg::read(&text.as_bytes()[..cut]).expect_err("cut short");
        assert!(!fault.message.is_empty() && fault.help.is_some());
    }
}

#[test]
fn damaged_drawings_never_panic() {
    let base = around(
        "<defs><symbol id=\"s\" viewBox=\"0 0 10 10\"><path id=\"p\" d=\"M0 0C1 2 3 4 5 6S7 8 9 1Q1 1 2 2T3 3A4 5 6 0 1 7 8H1V2Z\"/></symbol></defs>\
         <g id=\"g\" transform=\"translate(1,2) rotate(30 5 5) scale(2) skewX(3) matrix(1 0 0 1 5 5)\">\
         <svg x=\"10%\" width=\"50mm\" height=\"2in\" viewBox=\"0 0 7 8\" preserveAspectRatio=\"xMinYMax slice\">\
         <rect id=\"r\" width=\"5\" height=\"50%\" rx=\"1\"/><use id=\"u\" href=\"#s\" x=\"3\" width=\"9\" height=\"8\"/>\
         <polygon id=\"y\" points=\"0,0 1,0 1,1\"/><ellipse id=\"e\" rx=\"3\" ry=\"2\"/></svg></g>",
    );
    let bits = [
        "<",
        ">",
        "\"",
        "/",
        "&",
        "0",
        "9",
        "-",
        "e9",
        ".",
        "%",
        "mm",
        "em",
        "NaN",
        "#s",
        "#u",
        "#g",
        "Z",
        "A",
        "M",
        " ",
        "\n",
        "<use href=\"#g\"/>",
        "<g>",
        "</g>",
        "\u{fffd}",
        "viewBox=\"0 0 0 0\"",
    ];
    let mut chance = Chance(31);
    let mut below = |bound: usize| {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            clippy::cast_precision_loss,
            reason = "small numbers"
        )]
        let number = (chance.share() * bound as f64) as usize;
        number
    };
    let (mut read, mut refused) = (0, 0);
    for _ in 0..4000 {
        let mut text = base.clone().into_bytes();
        for _ in 0..=below(4) {
            let at = below(text.len());
            match below(4) {
                0 => drop(text.remove(at)),
                1 => text[at] = text[below(text.len())],
                2 => {
                    let bit = bits[below(bits.len())];
                    text.splice(at..at, bit.bytes());
                }
                _ => {
                    let end = (at + below(30)).min(text.len());
                    text.drain(at..end);
                }
            }
        }
        match svg::read(&text) {
            Ok(drawn) => {
                read += 1;
                for path in &drawn.paths {
                    assert!(!path.pieces.is_empty());
                    for piece in &path.pieces {
                        assert!(
                            piece.start().length().is_finite() && piece.end().length().is_finite()
                        );
                    }
                }
            }
            Err(fault) => {
                refused += 1;
                assert!(!fault.message.is_empty());
            }
        }
    }
    println!("{read} read, {refused} refused");
    assert!(read > 100 && refused > 100);
}
