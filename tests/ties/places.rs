//! Where points lie: closed forms, starting places that the user need not give, places that ties leave open, points that
//! they do not fix, and what must not matter.

use crate::network::{FREE, Noise, ON_AXIS, at, exact, found, hinted, is_near, tie};
use proptest::prelude::*;
use spile::adjust::{Distance, Fix, Hint, Known, Loose, Mark, Network, Slip, adjust};
use spile::shape::Point;

/// Two ties, closed form: on a base of c, ties of a and b meet at x = (c² + a² - b²) / 2c, y = ±sqrt(a² - x²). Their errors
/// move the point by J⁻¹: for a 3-4-5 triangle, equal ties of 5 on a base of 6, sx = 3/2·5/3·s/√2... written out below.
#[test]
fn two_ties_meet_where_the_closed_form_says() {
    let (base, a, b) = (4000.0, 2700.0, 3100.0);
    let network = Network {
        marks: vec![at(0.0, 0.0), at(base, 0.0), hinted(Hint::Above)],
        distances: vec![tie(0, 2, a), tie(1, 2, b)],
    };
    let x = (base * base + a * a - b * b) / (2.0 * base);
    let y = (a * a - x * x).sqrt();
    let point = found(&network, 2);
    assert!(is_near(point.at, (x, y), 1e-6), "{:?}", point.at);
    // x depends on the ties by a/c and -b/c; y by a(1 - x/c)/y and b x/(c y).
    let s2 = 9.0;
    let (ax, bx) = (a / base, -b / base);
    let (ay, by) = (a * (1.0 - x / base) / y, b * x / (base * y));
    assert!((point.covariance.xx - s2 * (ax * ax + bx * bx)).abs() < 1e-6);
    assert!((point.covariance.xy - s2 * (ax * ay + bx * by)).abs() < 1e-6);
    assert!((point.covariance.yy - s2 * (ay * ay + by * by)).abs() < 1e-6);
    assert!(point.unchecked && point.open.is_none());
    assert_eq!(adjust(&network).degrees_of_freedom, 0);
}

/// Two tapes along one line: the mean, half the variance, each residual half the difference with redundancy a half.
#[test]
fn a_length_taped_twice_is_known_as_its_mean() {
    let network = Network {
        marks: vec![at(0.0, 0.0), ON_AXIS],
        distances: vec![tie(0, 1, 3004.0), tie(0, 1, 3000.0)],
    };
    let adjustment = adjust(&network);
    let end = found(&network, 1);
    assert!(is_near(end.at, (3002.0, 0.0), 1e-9));
    assert!((end.covariance.xx - 4.5).abs() < 1e-6);
    for (tie, residual) in adjustment.ties.iter().zip([-2.0, 2.0]) {
        assert!((tie.residual.expect("both ends are found") - residual).abs() < 1e-9);
        assert!((tie.redundancy - 0.5).abs() < 1e-8);
        assert!((tie.residual_deviation - 3.0 / 2.0_f64.sqrt()).abs() < 1e-8);
    }
    assert!((adjustment.variance_factor().expect("one tie is spare") - 8.0 / 9.0).abs() < 1e-9);
}

#[test]
fn a_deck_is_found_from_a_datum_a_point_on_the_centreline_and_ties() {
    let truth = [
        (0.0, 0.0),
        (5200.0, 0.0),
        (1500.0, 900.0),
        (3600.0, -1100.0),
        (2500.0, 400.0),
    ];
    let marks = [at(0.0, 0.0), ON_AXIS, hinted(Hint::Above), FREE, FREE];
    let all: Vec<(usize, usize)> = (0..5).flat_map(|b| (0..b).map(move |a| (a, b))).collect();
    let adjustment = adjust(&exact(&marks, &truth, &all));
    for (point, truth) in truth.iter().enumerate() {
        let place = adjustment.place(point).expect("it is found");
        assert!(is_near(place, *truth, 1e-6), "{point}: {place:?}");
    }
    assert!(adjustment.blunders.is_empty() && adjustment.sum_of_squares < 1e-9);
}

/// A mast stands between the datum and the mark on the centreline: no tie joins them.
#[test]
fn the_datum_and_the_mark_on_the_centreline_need_no_tie_between_them() {
    let truth = [
        (0.0, 0.0),
        (5200.0, 0.0),
        (1500.0, 900.0),
        (3600.0, -1100.0),
        (2500.0, 1000.0),
    ];
    let marks = [at(0.0, 0.0), ON_AXIS, hinted(Hint::Above), FREE, FREE];
    let ties = [
        (0, 2),
        (0, 3),
        (0, 4),
        (1, 2),
        (1, 3),
        (1, 4),
        (2, 3),
        (3, 4),
        (2, 4),
    ];
    let adjustment = adjust(&exact(&marks, &truth, &ties));
    for (point, truth) in truth.iter().enumerate() {
        let place = adjustment.place(point).expect("it is found");
        assert!(is_near(place, *truth, 1e-5), "{point}: {place:?}");
    }
}

/// No point has more than two ties to points located before it, yet the whole is fixed.
#[test]
fn a_fork_is_followed_until_a_later_tie_tells() {
    let truth = [
        (0.0, 0.0),
        (2000.0, 0.0),
        (900.0, 1200.0),
        (1400.0, -1500.0),
        (2600.0, 900.0),
    ];
    let marks = [
        at(0.0, 0.0),
        at(2000.0, 0.0),
        FREE,
        FREE,
        hinted(Hint::Above),
    ];
    // 2 and 3 hang on the base alone; the tie between them says they are on opposite sides.
    let ties = [
        (0, 2),
        (1, 2),
        (0, 3),
        (1, 3),
        (2, 3),
        (2, 4),
        (1, 4),
        (3, 4),
    ];
    let adjustment = adjust(&exact(&marks, &truth, &ties));
    for (point, truth) in truth.iter().enumerate() {
        let place = adjustment.place(point).expect("it is found");
        assert!(is_near(place, *truth, 1e-5), "{point}: {place:?}");
    }
}

#[test]
fn two_ties_without_a_hint_leave_both_sides_of_the_base() {
    let network = Network {
        marks: vec![at(0.0, 0.0), at(4000.0, 0.0), FREE],
        distances: vec![tie(0, 2, 2500.0), tie(1, 2, 2500.0)],
    };
    let point = found(&network, 2);
    assert!(is_near(point.at, (2000.0, 1500.0), 1e-6));
    let open = point.open.expect("nothing tells the sides apart");
    assert!(is_near(open.other, (2000.0, -1500.0), 1e-6));
    assert_eq!((open.together, open.hinges), (vec![2], vec![0, 1]));
}

#[test]
fn a_hint_of_the_side_or_of_the_place_decides() {
    for (hint, y) in [
        (Hint::Above, 1500.0),
        (Hint::Below, -1500.0),
        (Hint::Near(Point::new(1500.0, -900.0)), -1500.0),
    ] {
        let network = Network {
            marks: vec![at(0.0, 0.0), at(4000.0, 0.0), hinted(hint)],
            distances: vec![tie(0, 2, 2500.0), tie(1, 2, 2500.0)],
        };
        let point = found(&network, 2);
        assert!(is_near(point.at, (2000.0, y), 1e-6), "{hint:?}: {point:?}");
        assert!(point.open.is_none() && !point.against_hint);
    }
}

/// Four marks in a row along the centreline: however many ties, the side stays open, and one hint turns all that is tied together.
#[test]
fn points_tied_to_marks_of_one_line_and_to_each_other_go_over_together() {
    let truth = [
        (0.0, 0.0),
        (1500.0, 0.0),
        (3000.0, 0.0),
        (4200.0, 0.0),
        (800.0, -900.0),
        (2600.0, -1200.0),
    ];
    let ties: Vec<(usize, usize)> = (4..6)
        .flat_map(|point| (0..4).map(move |mark| (mark, point)))
        .chain([(4, 5)])
        .collect();
    let mut marks = vec![
        at(0.0, 0.0),
        at(1500.0, 0.0),
        at(3000.0, 0.0),
        at(4200.0, 0.0),
        FREE,
        FREE,
    ];
    let open = found(&exact(&marks, &truth, &ties), 5);
    let both = open.open.expect("the side is open");
    assert_eq!(both.together, [4, 5]);
    assert_eq!(both.hinges, [0, 1, 2, 3]);
    assert!(is_near(open.at, (2600.0, 1200.0), 1e-5) && is_near(both.other, truth[5], 1e-5));
    marks[4].hint = Some(Hint::Below);
    let network = exact(&marks, &truth, &ties);
    for point in [4, 5] {
        let settled = found(&network, point);
        assert!(
            is_near(settled.at, truth[point], 1e-5) && settled.open.is_none(),
            "{settled:?}"
        );
    }
}

#[test]
fn a_hint_that_the_ties_contradict_is_said() {
    let truth = [
        (0.0, 0.0),
        (4000.0, 0.0),
        (2000.0, 1800.0),
        (1200.0, 700.0),
        (2500.0, -600.0),
    ];
    let marks = [
        at(0.0, 0.0),
        at(4000.0, 0.0),
        at(2000.0, 1800.0),
        hinted(Hint::Below),
        FREE,
    ];
    let ties = [(0, 3), (1, 3), (2, 3), (0, 4), (1, 4), (2, 4), (3, 4)];
    let point = found(&exact(&marks, &truth, &ties), 3);
    assert!(is_near(point.at, truth[3], 1e-5), "{point:?}");
    assert!(point.against_hint);
}

#[test]
fn points_that_ties_do_not_fix_are_told_why() {
    let loose = |network: &Network, point: usize| match &adjust(network).fixes[point] {
        Fix::Loose(loose) => *loose,
        other => panic!("{other:?}"),
    };
    let mut network = Network {
        marks: vec![at(0.0, 0.0), at(4000.0, 0.0), FREE, FREE, FREE, FREE],
        // 4 and 5 are tied to each other and to nothing else; 3 hangs on 2, which hangs on one mark.
        distances: vec![tie(0, 2, 2500.0), tie(4, 5, 300.0)],
    };
    assert_eq!(loose(&network, 2), Loose::OneDistance { to: 0 });
    assert_eq!(loose(&network, 3), Loose::NoDistance);
    assert_eq!(loose(&network, 4), Loose::OneDistance { to: 5 });
    // Nothing is known of the places of any of these.
    network.marks = vec![FREE; 3];
    network.distances = vec![tie(0, 1, 3000.0), tie(0, 2, 2500.0), tie(1, 2, 2500.0)];
    assert_eq!(loose(&network, 0), Loose::Adrift);
    // One place alone: the rest may turn round it.
    network.marks[0] = at(0.0, 0.0);
    assert_eq!(loose(&network, 2), Loose::Adrift);
    // And a point of the axis stops it.
    network.marks[1] = ON_AXIS;
    assert!(is_near(found(&network, 1).at, (3000.0, 0.0), 1e-6));
    assert!(found(&network, 2).open.is_some());
}

#[test]
fn a_point_on_the_line_of_its_two_marks_is_not_called_found() {
    let network = Network {
        marks: vec![at(0.0, 0.0), at(4000.0, 0.0), FREE],
        distances: vec![tie(0, 2, 1498.0), tie(1, 2, 2499.0)],
    };
    assert_eq!(adjust(&network).fixes[2], Fix::Loose(Loose::InLine));
}

/// The message of the trade: "tie B to 7 looks 100 mm long; without it all residuals are under 3 mm".
#[test]
fn a_slipped_hundred_is_named_with_its_cause() {
    let truth = [
        (0.0, 0.0),
        (4000.0, 0.0),
        (2000.0, 1800.0),
        (3000.0, -1500.0),
        (500.0, -1400.0),
        (1700.0, 700.0),
    ];
    let marks = [
        at(0.0, 0.0),
        at(4000.0, 0.0),
        at(2000.0, 1800.0),
        at(3000.0, -1500.0),
        at(500.0, -1400.0),
        FREE,
    ];
    let ties: Vec<(usize, usize)> = (0..5).map(|mark| (mark, 5)).collect();
    let mut network = exact(&marks, &truth, &ties);
    for (distance, noise) in network
        .distances
        .iter_mut()
        .zip([1.0, -2.0, 2.0, -1.0, 1.0])
    {
        distance.length = distance.length.round() + noise;
    }
    network.distances[1].length += 100.0;
    let adjustment = adjust(&network);
    let [blunder] = adjustment.blunders.as_slice() else {
        panic!("{:?}", adjustment.blunders);
    };
    assert_eq!((blunder.tie, blunder.point, blunder.left_out), (1, 5, true));
    assert!((blunder.error - 100.0).abs() < 8.0, "{blunder:?}");
    assert_eq!(blunder.slip, Some(Slip::Step(100.0)));
    assert!(blunder.largest_without < 3.0);
    assert!(!adjustment.ties[1].used);
    assert!(is_near(adjustment.place(5).expect("found"), truth[5], 4.0));
}

/// A metre misread is far beyond where least squares is linear.
#[test]
fn a_metre_misread_is_named_whichever_tie_it_is() {
    let truth = [
        (0.0, 0.0),
        (4000.0, 0.0),
        (2000.0, 1800.0),
        (3000.0, -1500.0),
        (500.0, -1400.0),
        (1700.0, 700.0),
        (2600.0, -300.0),
    ];
    let marks = [
        at(0.0, 0.0),
        ON_AXIS,
        hinted(Hint::Above),
        FREE,
        FREE,
        FREE,
        FREE,
    ];
    let ties: Vec<(usize, usize)> = (0..7).flat_map(|b| (0..b).map(move |a| (a, b))).collect();
    for wrong in 0..ties.len() {
        for error in [1000.0, -1000.0] {
            let mut network = exact(&marks, &truth, &ties);
            network.distances[wrong].length += error;
            if network.distances[wrong].length <= 0.0 {
                continue;
            }
            let adjustment = adjust(&network);
            let named: Vec<usize> = adjustment
                .blunders
                .iter()
                .map(|blunder| blunder.tie)
                .collect();
            assert_eq!(named, [wrong], "{error} in {:?}", ties[wrong]);
            assert!((adjustment.blunders[0].error - error).abs() < 1e-3);
        }
    }
}

#[test]
fn two_wrong_ties_at_different_points_are_both_named() {
    let mut noise = Noise(5);
    let truth = [
        (0.0, 0.0),
        (4000.0, 0.0),
        (2000.0, 1800.0),
        (3000.0, -1500.0),
        (500.0, -1400.0),
        (1700.0, 700.0),
        (2600.0, -300.0),
    ];
    let marks = [
        at(0.0, 0.0),
        ON_AXIS,
        hinted(Hint::Above),
        FREE,
        FREE,
        FREE,
        FREE,
    ];
    let ties: Vec<(usize, usize)> = (0..7).flat_map(|b| (0..b).map(move |a| (a, b))).collect();
    let mut both = 0;
    for _ in 0..100 {
        let mut network = exact(&marks, &truth, &ties);
        for distance in &mut network.distances {
            distance.length += 3.0 * noise.normal();
        }
        // 10 is 0 to 5; 16 is 1 to 6.
        network.distances[10].length += 100.0;
        network.distances[16].length -= 60.0;
        let adjustment = adjust(&network);
        let mut named: Vec<usize> = adjustment
            .blunders
            .iter()
            .map(|blunder| blunder.tie)
            .collect();
        named.sort_unstable();
        both += usize::from(named == [10, 16]);
    }
    println!("two wrong ties named: {both} of 100");
    assert!(both >= 95, "{both}");
}

/// Points over a deck in so many rows and columns 400 mm apart, each tied to five or so of its neighbours.
fn adjusted_at_once(rows: usize, columns: usize) {
    let count = rows * columns;
    let mut noise = Noise(3);
    let mut truth = Vec::new();
    for row in 0..rows {
        for column in 0..columns {
            truth.push((
                row as f64 * 400.0 + 60.0 * noise.uniform(),
                (column as f64 - columns as f64 / 2.0) * 400.0 + 60.0 * noise.uniform(),
            ));
        }
    }
    let mut marks = vec![FREE; count];
    for given in [0, columns - 1, count - 1] {
        marks[given] = at(truth[given].0, truth[given].1);
    }
    let steps = [1, columns - 1, columns, columns + 1, 2 * columns + 1];
    let ties: Vec<(usize, usize)> = (0..count)
        .flat_map(|a| steps.map(|step| (a, a + step)))
        .filter(|(_, b)| *b < count)
        .collect();
    let mut network = exact(&marks, &truth, &ties);
    for distance in &mut network.distances {
        distance.length += 3.0 * noise.normal();
    }
    for wrong in (100..network.distances.len()).step_by(500) {
        network.distances[wrong].length += 100.0;
    }
    let began = std::time::Instant::now();
    let adjustment = adjust(&network);
    println!("{} ties: {:?}", network.distances.len(), began.elapsed());
    println!(
        "{:?}, {} blunders",
        adjustment.variance_factor(),
        adjustment.blunders.len()
    );
    assert!((0..count).all(|point| adjustment.place(point).is_some()));
    for wrong in (100..network.distances.len()).step_by(500) {
        assert!(
            adjustment
                .blunders
                .iter()
                .any(|blunder| blunder.tie == wrong),
            "{wrong}"
        );
    }
}

#[test]
fn three_hundred_points_take_a_moment() {
    adjusted_at_once(20, 15);
}

/// A deck of 16 by 10 m: five thousand ties.
#[test]
#[ignore = "takes a minute where nothing is optimised: run it with --release"]
fn a_thousand_points_take_a_moment() {
    adjusted_at_once(40, 25);
}

/// Everything a hostile or careless file can hold.
#[test]
fn degenerate_networks_are_adjusted_or_refused_but_never_panic() {
    let odd = [0.0, -5.0, 1e-9, 1e6, f64::NAN, f64::INFINITY, 3000.0];
    let mut noise = Noise(77);
    for _ in 0..300 {
        let count = 1 + noise.below(9);
        let marks: Vec<Mark> = (0..count)
            .map(|_| match noise.below(5) {
                0 => at(odd[noise.below(7)], odd[noise.below(7)]),
                1 => at(0.0, 0.0),
                2 => ON_AXIS,
                3 => hinted(Hint::Near(Point::new(odd[noise.below(7)], 0.0))),
                _ => FREE,
            })
            .collect();
        let distances = (0..noise.below(30))
            .map(|_| Distance {
                from: noise.below(count + 1),
                to: noise.below(count + 1),
                length: if noise.below(3) == 0 {
                    odd[noise.below(7)]
                } else {
                    1000.0 * noise.uniform()
                },
                deviation: if noise.below(5) == 0 {
                    odd[noise.below(7)]
                } else {
                    3.0
                },
            })
            .collect();
        let adjustment = adjust(&Network { marks, distances });
        for fix in &adjustment.fixes {
            if let Fix::Found(found) = fix {
                assert!(found.at.x.is_finite() && found.at.y.is_finite());
            }
        }
    }
}

/// A random connected deck of seven points, measured with noise.
fn deck(seed: u64) -> Network {
    let mut noise = Noise(seed);
    let mut truth = vec![(0.0, 0.0), (4000.0, 0.0), (1500.0, 1500.0)];
    for _ in 0..4 {
        truth.push((4000.0 * noise.uniform(), 3000.0 * noise.uniform() - 1500.0));
    }
    let mut marks = vec![FREE; 7];
    for given in 0..3 {
        marks[given] = at(truth[given].0, truth[given].1);
    }
    let ties: Vec<(usize, usize)> = (3..7).flat_map(|b| (0..b).map(move |a| (a, b))).collect();
    let mut network = exact(&marks, &truth, &ties);
    for distance in &mut network.distances {
        distance.length += 3.0 * noise.normal();
    }
    network
}

fn moved(network: &Network, place: impl Fn(Point) -> Point) -> Network {
    let mut network = network.clone();
    for mark in &mut network.marks {
        if let Known::At(at) = &mut mark.known {
            *at = place(*at);
        }
    }
    network
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn where_the_deck_lies_does_not_matter(seed in 0_u64..10_000, turn in -3.0..3.0, x in -1e4..1e4, y in -1e4..1e4) {
        let network = deck(seed);
        let place = |at: Point| at.turned(turn) + Point::new(x, y);
        let (here, there) = (adjust(&network), adjust(&moved(&network, place)));
        for point in 0..7 {
            let (a, b) = (here.place(point).expect("found"), there.place(point).expect("found"));
            prop_assert!(place(a).distance(b) < 1e-4);
            if let (Fix::Found(a), Fix::Found(b)) = (&here.fixes[point], &there.fixes[point]) {
                let (a, b) = (a.covariance.ellipse(), b.covariance.ellipse());
                prop_assert!((a.major - b.major).abs() < 1e-5 * a.major);
                prop_assert!((a.minor - b.minor).abs() < 1e-5 * a.minor);
            }
        }
    }

    #[test]
    fn port_and_starboard_do_not_matter(seed in 0_u64..10_000) {
        let network = deck(seed);
        let (here, there) = (adjust(&network), adjust(&moved(&network, Point::mirrored)));
        for point in 0..7 {
            let (a, b) = (here.place(point).expect("found"), there.place(point).expect("found"));
            prop_assert!(a.mirrored().distance(b) < 1e-4);
        }
        prop_assert_eq!(here.blunders.len(), there.blunders.len());
    }

    #[test]
    fn the_order_of_ties_and_their_ends_does_not_matter(seed in 0_u64..10_000) {
        let network = deck(seed);
        let mut shuffled = network.clone();
        let mut noise = Noise(seed + 1);
        for last in (1..shuffled.distances.len()).rev() {
            shuffled.distances.swap(last, noise.below(last + 1));
            let tie = &mut shuffled.distances[last];
            (tie.from, tie.to) = (tie.to, tie.from);
        }
        let (here, there) = (adjust(&network), adjust(&shuffled));
        for point in 0..7 {
            let (a, b) = (here.place(point).expect("found"), there.place(point).expect("found"));
            prop_assert!(a.distance(b) < 1e-4);
        }
        prop_assert!((here.sum_of_squares - there.sum_of_squares).abs() < 1e-6);
    }
}
