//! Time: a drawing of many pieces, and files that ask for more than any drawing needs.

use std::fmt::Write;
use std::time::{Duration, Instant};

use spile::import::dxf;

/// A file with these entities.
pub(crate) fn file(entities: &str) -> String {
    format!("0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n")
}

pub(crate) fn line(handle: u32, [a, b, c, d]: [f64; 4]) -> String {
    format!("0\nLINE\n5\n{handle:X}\n8\nDECK\n10\n{a}\n20\n{b}\n11\n{c}\n21\n{d}\n")
}

#[test]
fn a_hundred_thousand_pieces_are_joined_in_a_few_seconds() {
    let started = Instant::now();
    // 1000 rings of 100 lines, each line for itself, in no order along the ring, every second one backwards.
    let mut entities = String::new();
    for number in 0..100_000_u32 {
        let (ring, place) = (number % 1000, number / 1000 * 37 % 100);
        let centre = [f64::from(ring % 40) * 300.0, f64::from(ring / 40) * 300.0];
        let at = |place: u32| {
            let angle = f64::from(place % 100) / 100.0 * std::f64::consts::TAU;
            [
                centre[0] + 100.0 * angle.cos(),
                centre[1] + 100.0 * angle.sin(),
            ]
        };
        let (mut one, mut other) = (at(place), at(place + 1));
        if number % 2 == 0 {
            std::mem::swap(&mut one, &mut other);
        }
        entities += &line(number + 1, [one[0], one[1], other[0] + 0.01, other[1]]);
    }
    let drawn = dxf::read(file(&entities).as_bytes()).unwrap();
    let joined = dxf::join(&drawn.paths.iter().collect::<Vec<_>>(), 0.05);
    assert_eq!(joined.rings.len(), 1000);
    for ring in &joined.rings {
        assert_eq!(ring.pieces.len(), 100);
        for number in 0..100 {
            assert_eq!(
                ring.pieces[number].end(),
                ring.pieces[(number + 1) % 100].start()
            );
        }
    }
    assert!(joined.loose.is_empty() && joined.branches.is_empty() && joined.duplicates.is_empty());
    let took = started.elapsed();
    println!("read and joined in {took:?}");
    assert!(took < Duration::from_secs(20), "{took:?}");
}

#[test]
fn a_hundred_thousand_ends_in_one_place_take_no_longer() {
    let started = Instant::now();
    let mut entities = String::new();
    for number in 0..100_000_u32 {
        let angle = f64::from(number) / 1e5;
        entities += &line(number + 1, [0.0, 0.0, 9e4 * angle.cos(), 9e4 * angle.sin()]);
    }
    let drawn = dxf::read(file(&entities).as_bytes()).unwrap();
    let joined = dxf::join(&drawn.paths.iter().collect::<Vec<_>>(), 0.05);
    assert_eq!(
        (
            joined.rings.len(),
            joined.branches.len(),
            joined.loose.len()
        ),
        (0, 1, 100_000)
    );
    assert!(
        started.elapsed() < Duration::from_secs(20),
        "{:?}",
        started.elapsed()
    );
}

#[test]
fn blocks_that_multiply_beyond_measure_are_refused() {
    // Each block has the next one a thousand times: 10^15 lines.
    let started = Instant::now();
    let mut blocks = String::new();
    for number in 0..5 {
        let inner = format!(
            "0\nINSERT\n2\nB{}\n10\n0\n20\n0\n70\n1000\n71\n1\n44\n5\n45\n5\n",
            number + 1
        );
        let inner = if number == 4 {
            line(1, [0.0, 0.0, 1.0, 1.0])
        } else {
            inner
        };
        write!(
            blocks,
            "0\nBLOCK\n2\nB{number}\n10\n0\n20\n0\n{inner}0\nENDBLK\n"
        )
        .unwrap();
    }
    let text = format!(
        "0\nSECTION\n2\nBLOCKS\n{blocks}0\nENDSEC\n{}",
        file("0\nINSERT\n2\nB0\n10\n0\n20\n0\n")
    );
    let fault = dxf::read(text.as_bytes()).unwrap_err();
    assert!(fault.message.contains("two million"), "{fault:?}");
    assert!(fault.line > 0);
    assert!(
        started.elapsed() < Duration::from_secs(10),
        "{:?}",
        started.elapsed()
    );
}
