//! Against a general-purpose library: scipy 1.17.1's least_squares, with covariances by numpy 2.4.6
//! (`library/adjust.py` made `library/adjusted.txt`).

use crate::network::{Noise, at, hinted};
use spile::adjust::{Distance, Fix, Hint, Known, Mark, Network, adjust};

/// The rows of one kind, each taken apart.
fn rows(kind: &str) -> Vec<Vec<&'static str>> {
    include_str!("library/adjusted.txt")
        .lines()
        .map(|line| line.split(' ').collect::<Vec<_>>())
        .filter(|row| row[0] == kind)
        .collect()
}

fn number(text: &str) -> f64 {
    text.parse().expect("a number")
}

fn network() -> (Vec<&'static str>, Network) {
    let points = rows("point");
    let names: Vec<&str> = points.iter().map(|row| row[1]).collect();
    let marks = points
        .iter()
        .map(|row| match row[2] {
            "at" => at(number(row[3]), number(row[4])),
            "axis" => Mark {
                known: Known::OnAxis,
                hint: None,
            },
            // Ties cannot tell starboard from port: one mark is said to be to starboard.
            _ if row[1] == "C" => hinted(Hint::Above),
            _ => Mark::default(),
        })
        .collect();
    let place = |name: &str| names.iter().position(|one| *one == name).expect("a point");
    let distances = rows("tie")
        .iter()
        .map(|row| Distance {
            from: place(row[1]),
            to: place(row[2]),
            length: number(row[3]),
            deviation: number(row[4]),
        })
        .collect();
    (names, Network { marks, distances })
}

#[test]
fn places_and_their_precision_are_those_of_the_library() {
    let (names, network) = network();
    let adjustment = adjust(&network);
    let found = rows("found");
    assert_eq!(found.len(), names.len());
    for (point, row) in found.iter().enumerate() {
        let [x, y, xx, xy, yy] = [2, 3, 4, 5, 6].map(|column| number(row[column]));
        let place = adjustment.place(point).expect("found");
        assert!(
            (place.x - x).abs() < 1e-6 && (place.y - y).abs() < 1e-6,
            "{row:?}: {place:?}"
        );
        if let Fix::Found(found) = &adjustment.fixes[point] {
            let covariance = found.covariance;
            for (ours, theirs) in [
                (covariance.xx, xx),
                (covariance.xy, xy),
                (covariance.yy, yy),
            ] {
                assert!(
                    (ours - theirs).abs() < 1e-7 * (1.0 + theirs.abs()),
                    "{row:?}: {covariance:?}"
                );
            }
        }
    }
}

#[test]
fn residuals_and_their_deviations_are_those_of_the_library() {
    let (_, network) = network();
    let adjustment = adjust(&network);
    assert!(adjustment.blunders.is_empty(), "{:?}", adjustment.blunders);
    let residuals = rows("residual");
    assert_eq!(residuals.len(), network.distances.len());
    for (tie, row) in adjustment.ties.iter().zip(&residuals) {
        let [v, deviation, redundancy] = [3, 4, 5].map(|column| number(row[column]));
        assert!(
            (tie.residual.expect("found") - v).abs() < 1e-6,
            "{row:?}: {tie:?}"
        );
        assert!(
            (tie.residual_deviation - deviation).abs() < 1e-6,
            "{row:?}: {tie:?}"
        );
        assert!(
            (tie.redundancy - redundancy).abs() < 1e-7,
            "{row:?}: {tie:?}"
        );
    }
    let sum = &rows("sum")[0];
    assert!((adjustment.sum_of_squares - number(sum[1])).abs() < 1e-8);
    assert_eq!(adjustment.degrees_of_freedom, number(sum[2]) as usize);
}

/// The library began near its result; the places found without help are the same from whatever order of ties.
#[test]
fn no_place_to_begin_with_is_needed() {
    let (_, mut network) = network();
    let before = adjust(&network);
    let mut noise = Noise(1);
    for last in (1..network.distances.len()).rev() {
        network.distances.swap(last, noise.below(last + 1));
    }
    let after = adjust(&network);
    for point in 0..network.marks.len() {
        let (a, b) = (
            before.place(point).expect("found"),
            after.place(point).expect("found"),
        );
        assert!(a.distance(b) < 1e-6);
    }
}
