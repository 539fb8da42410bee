//! Nobody paints themselves in: from every place that is laid a dry way leads off the deck, found by a search of its own.

#![allow(
    clippy::print_stdout,
    reason = "how many decks of each kind, for the record"
)]

#[path = "../src/concurrent.rs"]
#[allow(dead_code, reason = "a test needs one of its ways")]
mod concurrent;

use std::collections::VecDeque;

use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;

use spile::figures::Figures;
use spile::layout::{self, Sources};
use spile::order::{DeckOrder, OutOfReach, orders};
use spile::shape::{Point, Region};
use spile::takeoff::Takeoff;
use spile::{DeckJob, Job, work_out};

const PATH: f64 = 250.0;
const REACH: f64 = 700.0;

/// A deck with these points and whatever else stands in the text; none where its things stand in each other's way.
fn job(points: &str, on_deck: &str, pot_life: &str) -> Option<Job> {
    let text = format!(
        r#"
title = "Any deck"
[[deck]]
id = "d"
outline = {{ points = {points} }}
margin = {{ edge = 50 }}
{on_deck}
[[product]]
id = "paint"
solids = 50
{pot_life}
[[step]]
id = "prime"
on = "all"
coat = "paint"
film = "50 um"
[[step]]
id = "gloss"
on = "border"
coat = "paint"
film = "50 um"
[[step]]
id = "grip"
on = "field"
coat = "paint"
film = "50 um"
"#
    );
    let layout = layout::read(&text).expect("a layout that can be read");
    work_out(layout, &Sources::default()).ok()
}

fn sound(points: &str, on_deck: &str, pot_life: &str) -> Job {
    job(points, on_deck, pot_life).expect("a job without faults")
}

fn of(job: &Job) -> Vec<DeckOrder> {
    orders(job, &Takeoff::of(job, &Figures::of(job)))
}

fn free(deck: &DeckJob) -> Region {
    let pattern = &deck.pattern;
    pattern
        .deck
        .difference(&[&pattern.openings, &pattern.fittings])
}

/// A lattice of its own over a deck: where a person stands, forgiving what two lattices may differ by.
struct Lattice {
    columns: usize,
    places: Vec<Point>,
    stands: Vec<bool>,
    slack: f64,
    ways: Vec<Point>,
}

impl Lattice {
    fn over(deck: &DeckJob, order: &DeckOrder) -> Self {
        let step = 40.0;
        let slack = 0.75 * (step + order.cell().to_mm());
        let free = free(deck);
        let bounds = free.bounding_box();
        let count = |length: f64| {
            (0..)
                .find(|many| f64::from(*many) * step >= length)
                .expect("finite")
        };
        let (columns, rows) = (count(bounds.width()) + 1, count(bounds.height()) + 1);
        let places: Vec<Point> = (0..rows)
            .flat_map(|row| {
                (0..columns).map(move |column| Point::new(f64::from(column), f64::from(row)))
            })
            .map(|place| bounds.least + place * step)
            .collect();
        let ways: Vec<Point> = deck.plan.ways_off.iter().map(|way| way.at).collect();
        let stands = places
            .iter()
            .map(|place| {
                free.contains(*place)
                    && free.boundary_distance(*place).to_mm() >= PATH / 2.0 - slack
            })
            .collect();
        let columns = usize::try_from(columns).expect("not negative");
        Self {
            columns,
            places,
            stands,
            slack,
            ways,
        }
    }

    /// For each place, after how many laid cells it is too near to wet paint.
    fn wet_after(&self, laid: &[Point]) -> Vec<usize> {
        let mut wet = vec![usize::MAX; self.places.len()];
        let near = PATH / 2.0 - self.slack;
        let xs: Vec<f64> = self.places[..self.columns].iter().map(|at| at.x).collect();
        let rows = self.places.iter().step_by(self.columns);
        let ys: Vec<f64> = rows.map(|at| at.y).collect();
        let around = |sorted: &[f64], x: f64| {
            sorted.partition_point(|at| *at <= x - near)
                ..sorted.partition_point(|at| *at < x + near)
        };
        // Cells come in the order of laying, so the first that is near is the one that counts.
        for (index, cell) in laid.iter().enumerate() {
            for row in around(&ys, cell.y) {
                for at in around(&xs, cell.x).map(|column| row * self.columns + column) {
                    if wet[at] == usize::MAX && cell.distance(self.places[at]) < near {
                        wet[at] = index;
                    }
                }
            }
        }
        wet
    }

    /// The places that a person gets off from once so many cells are wet, by breadth-first search.
    fn left_open(&self, wet: &[usize], laid: usize) -> Vec<bool> {
        let is_dry = |at: usize| self.stands[at] && wet[at] >= laid;
        let mut open = vec![false; self.places.len()];
        let mut queue: VecDeque<usize> = VecDeque::new();
        for way in &self.ways {
            // One step on to the deck: to the nearest places that a person stands on.
            let away = |at: usize| self.places[at].distance(*way);
            let all = || (0..self.places.len()).filter(|at| self.stands[*at]);
            let nearest = all().map(away).fold(f64::INFINITY, f64::min);
            for at in all().filter(|at| away(*at) <= (nearest + 2.0 * self.slack).min(REACH)) {
                if is_dry(at) && !open[at] {
                    open[at] = true;
                    queue.push_back(at);
                }
            }
        }
        while let Some(at) = queue.pop_front() {
            let column = at % self.columns;
            for next in [
                (column > 0).then(|| at - 1),
                (column + 1 < self.columns).then_some(at + 1),
                at.checked_sub(self.columns),
                Some(at + self.columns).filter(|next| *next < self.places.len()),
            ]
            .into_iter()
            .flatten()
            {
                if is_dry(next) && !open[next] {
                    open[next] = true;
                    queue.push_back(next);
                }
            }
        }
        open
    }

    fn reaches(&self, open: &[bool], cell: Point) -> bool {
        let reach = REACH + self.slack;
        self.ways.iter().any(|way| way.distance(cell) <= reach)
            || (0..self.places.len()).any(|at| open[at] && self.places[at].distance(cell) <= reach)
    }
}

/// Everything that holds for any order that is found.
fn check(deck: &DeckJob, order: &DeckOrder, takeoff: &Takeoff) {
    let stretches = order.stretches.as_ref().expect("an order");
    let step = takeoff.steps.iter().find(|step| step.id == order.step);
    let coat = step.and_then(|step| step.coats.as_ref()).expect("a coat");
    // Areas add up, batch by batch.
    for (number, batch) in coat.batches.iter().enumerate() {
        let laid = stretches
            .iter()
            .filter(|stretch| stretch.batch == number + 1);
        let laid: f64 = laid.map(|stretch| stretch.area.to_mm2()).sum();
        assert!(
            (laid / batch.area.to_mm2() - 1.0).abs() < 1e-9,
            "{laid} {} {} {}",
            batch.area.to_mm2(),
            order.step,
            stretches.len()
        );
    }
    if order.keeps_batches {
        let mut batches: Vec<usize> = stretches.iter().map(|stretch| stretch.batch).collect();
        batches.dedup();
        let mut once = batches.clone();
        once.sort_unstable();
        once.dedup();
        assert_eq!(
            once.len(),
            batches.len(),
            "each batch is laid without a break"
        );
    }
    let laid: Vec<Point> = stretches
        .iter()
        .flat_map(|stretch| order.laid(stretch))
        .collect();
    // Every cell of what is painted once, and none beside.
    let mut places: Vec<[i64; 2]> = laid
        .iter()
        .map(|at| [at.x, at.y].map(|x| format!("{:.0}", x * 8.0).parse().expect("a number")))
        .collect();
    places.sort_unstable();
    places.dedup();
    assert_eq!(places.len(), laid.len(), "no place is laid twice");
    let painted = order.cell().to_mm().powi(2) * laid.len() as f64;
    assert_about(painted, deck, order);
    // Nine moments, the last of them too: whoever laid that cell still gets off.
    let lattice = Lattice::over(deck, order);
    let wet = lattice.wet_after(&laid);
    let moments = (0..=8).map(|part| (laid.len() - 1) * part / 8);
    for moment in moments {
        let open = lattice.left_open(&wet, moment + 1);
        assert!(
            lattice.reaches(&open, laid[moment]),
            "{} of {}: nobody who gets off reaches {:?}",
            moment,
            laid.len(),
            laid[moment]
        );
    }
}

/// An area by cells is that of the coat, but for half a cell along its edges.
fn assert_about(cells: f64, deck: &DeckJob, order: &DeckOrder) {
    let fields = deck.pattern.field_region();
    let edges = deck.pattern.border.perimeter() + fields.perimeter();
    let off = (cells - coat_area(deck, order)).abs();
    assert!(
        off <= 0.6 * edges * order.cell().to_mm(),
        "{cells} is off by {off}"
    );
}

fn coat_area(deck: &DeckJob, order: &DeckOrder) -> f64 {
    let border = deck.pattern.border.area();
    let fields = deck.pattern.field_region().area();
    match order.on {
        layout::Surface::All => border + fields,
        layout::Surface::Field => fields,
        _ => border,
    }
}

/// Any deck: a rectangle, perhaps with a bite; a house, a hatch, bollards, strips; ways off anywhere along its edge.
fn any_deck() -> impl Strategy<Value = (String, String, String)> {
    let size = (1500..4500_i32, 900..2600_i32);
    let house = (0.1..0.7_f64, 0.0..0.6_f64, 0.1..0.6_f64, 0.2..0.9_f64);
    let bollards = prop::collection::vec((0.05..0.95_f64, 0.05..0.95_f64, 60..300_i32), 0..4);
    let strips = (0..4_i32, any::<bool>());
    let ways = prop::collection::vec((0..4_u8, 0.0..1.0_f64, -100.0..500.0_f64), 1..3);
    (size, prop::option::of(house), bollards, strips, ways, 0..4_usize).prop_map(
        |((length, breadth), house, bollards, (across, along), ways, pot_life)| {
            let (l, b) = (f64::from(length), f64::from(breadth));
            let points = format!("[[0, 0], [{length}, 0], [{length}, {breadth}], [0, {breadth}]]");
            let mut on_deck = String::new();
            if let Some((x, y, long, broad)) = house {
                on_deck += &format!(
                    "[[deck.opening]]\nname = \"house\"\nrectangle = {{ at = [{:.0}, {:.0}], size = [{:.0}, {:.0}] }}\n",
                    l * (x + long / 2.0).min(0.95), b * (y + broad / 2.0).min(0.95), l * long, b * broad,
                );
            }
            for (x, y, size) in bollards {
                on_deck += &format!(
                    "[[deck.fitting]]\nname = \"bollard\"\ncircle = {{ at = [{:.0}, {:.0}], diameter = {size} }}\n",
                    l * x, b * y,
                );
            }
            if across > 0 || along {
                let at: Vec<i32> = (1..=across).map(|one| length * one / (across + 1)).collect();
                let along = if along { format!("{}", breadth / 2) } else { String::new() };
                on_deck += &format!("[[deck.strip]]\nwidth = 60\nacross_at = {at:?}\nalong_at = [{along}]\n");
            }
            for (side, share, away) in ways {
                let (x, y) = match side {
                    0 => (l * share, -away),
                    1 => (l * share, b + away),
                    2 => (-away, b * share),
                    _ => (l + away, b * share),
                };
                on_deck += &format!("[[deck.way_off]]\nname = \"plank\"\nat = [{x:.0}, {y:.0}]\n");
            }
            let pot_life = ["", "pot_life = \"10 min\"", "pot_life = \"30 min\"", "pot_life = \"3 h\""][pot_life];
            (points, on_deck, pot_life.to_owned())
        },
    )
}

/// How many coats came out how.
#[derive(Debug, Default)]
struct Tally {
    found: usize,
    out_of_reach: usize,
}

fn judge(points: &str, on_deck: &str, pot_life: &str) -> Tally {
    let mut tally = Tally::default();
    let Some(job) = job(points, on_deck, pot_life) else {
        return tally;
    };
    let takeoff = Takeoff::of(&job, &Figures::of(&job));
    let deck = &job.decks[0];
    for order in orders(&job, &takeoff) {
        match &order.stretches {
            Ok(_) => {
                check(deck, &order, &takeoff);
                tally.found += 1;
            }
            Err(OutOfReach { place, .. }) => {
                // With nothing wet, a person a little wider than the path does not reach it either.
                let mut lattice = Lattice::over(deck, &order);
                let free = free(deck);
                for (stands, place) in lattice.stands.iter_mut().zip(&lattice.places) {
                    let room = free.boundary_distance(*place).to_mm();
                    *stands &= room >= PATH / 2.0 + 2.0 * lattice.slack;
                }
                let dry = vec![usize::MAX; lattice.places.len()];
                let open = lattice.left_open(&dry, 0);
                lattice.slack *= -2.0;
                lattice.ways.clear();
                assert!(!lattice.reaches(&open, *place), "{place:?} {on_deck}");
                tally.out_of_reach += 1;
            }
        }
    }
    tally
}

#[test]
fn on_three_hundred_decks_a_dry_way_off_is_left_or_what_closes_it_is_named() {
    let mut runner = TestRunner::deterministic();
    let decks: Vec<(String, String, String)> = (0..300)
        .map(|_| any_deck().new_tree(&mut runner).expect("a deck").current())
        .collect();
    // Side by side, as each takes a while.
    let tallies = concurrent::each(&decks, |(points, on_deck, pot_life)| {
        judge(points, on_deck, pot_life)
    });
    let sum = |of: fn(&Tally) -> usize| tallies.iter().map(of).sum::<usize>();
    let (found, out_of_reach) = (sum(|one| one.found), sum(|one| one.out_of_reach));
    println!("{found} orders, {out_of_reach} out of reach");
    assert!(found > 700 && out_of_reach > 20, "{found} {out_of_reach}");
}

const LONG: &str = "[[0, 0], [6000, 0], [6000, 1500], [0, 1500]]";

#[test]
fn a_house_that_leaves_two_hundred_millimetres_cuts_the_foredeck_off() {
    let house = |breadth: f64| {
        format!(
            "[[deck.opening]]\nname = \"house\"\nrectangle = {{ at = [3000, 750], size = [800, {breadth}] }}\n\
             [[deck.way_off]]\nname = \"step\"\nat = [6000, 750]\n"
        )
    };
    for order in of(&sound(LONG, &house(1100.0), "")) {
        let Err(OutOfReach { place, passage, .. }) = &order.stretches else {
            unreachable!("nobody gets past 200 mm: {:?}", order.stretches);
        };
        assert!(place.x < 2600.0, "{place:?}");
        let (at, wide) = passage.expect("there is a passage");
        assert!(
            (wide.to_mm() - 200.0).abs() <= 2.0 * order.cell().to_mm(),
            "{wide:?}"
        );
        assert!((2550.0..3450.0).contains(&at.x), "{at:?}");
    }
    let wide = sound(LONG, &house(980.0), "");
    let takeoff = Takeoff::of(&wide, &Figures::of(&wide));
    for order in orders(&wide, &takeoff) {
        check(&wide.decks[0], &order, &takeoff);
    }
}

#[test]
fn steps_from_which_nobody_reaches_the_last_of_the_deck_are_too_far() {
    let found = |y: f64| {
        let way = format!("[[deck.way_off]]\nname = \"quay\"\nat = [3000, {y}]\n");
        let text = format!(
            "title = \"Any\"\n[[deck]]\nid = \"d\"\noutline = {{ points = {LONG} }}\n{way}"
        );
        work_out(layout::read(&text).expect("it reads"), &Sources::default())
    };
    // From 1500 the reach of 700 less half a path of 250.
    assert!(found(1500.0 + 574.0).is_ok() && found(200.0).is_ok());
    let faults = found(1500.0 + 576.0).expect_err("too far");
    assert_eq!(
        faults[0].message,
        "the way off \"quay\" is 576 mm from this deck's edge"
    );
    assert!(
        faults[0]
            .help
            .as_ref()
            .is_some_and(|help| help.contains("575 mm"))
    );
}

/// The foredeck leads on to the side deck and that to the aft deck, though the file has them the other way round.
#[test]
fn decks_that_lead_on_to_others_are_painted_before_them() {
    let deck = |id: &str, from: f64, onto: &str| {
        let to = from + 3000.0;
        format!(
            "[[deck]]\nid = \"{id}\"\nmargin = {{ edge = 50 }}\noutline = {{ points = [[{from}, 0], [{to}, 0], [{to}, 1500], \
             [{from}, 1500]] }}\n[[deck.way_off]]\nname = \"end\"\nat = [{to}, 700]\n{onto}\n"
        )
    };
    let text = format!(
        "title = \"Any\"\n{}{}{}[[product]]\nid = \"paint\"\nsolids = 50\n[[step]]\nid = \"grip\"\non = \"field\"\ncoat = \
         \"paint\"\nfilm = \"50 um\"\n",
        deck("aft", 6000.0, ""),
        deck("side", 3000.0, "onto = \"aft\""),
        deck("fore", 0.0, "onto = \"side\""),
    );
    let layout = layout::read(&text).expect("it reads");
    let job = work_out(layout, &Sources::default()).expect("no faults");
    let orders = of(&job);
    let decks: Vec<&str> = orders.iter().map(|order| order.deck.as_str()).collect();
    assert_eq!(decks, ["fore", "side", "aft"]);
    // Numbered from deck to deck.
    let firsts: Vec<usize> = orders.iter().map(|order| order.first).collect();
    let many = |at: usize| orders[at].stretches.as_ref().map_or(0, Vec::len);
    assert_eq!(firsts, [1, 1 + many(0), 1 + many(0) + many(1)]);
}

#[test]
fn a_deck_in_two_parts_has_no_way_from_one_to_the_other() {
    let cut = "[[deck.opening]]\nname = \"well\"\nrectangle = { at = [3000, 750], size = [2000, 1500] }\n\
               [[deck.way_off]]\nname = \"step\"\nat = [6000, 750]\n";
    for order in of(&sound(LONG, cut, "")) {
        let Err(OutOfReach { passage, place, .. }) = &order.stretches else {
            unreachable!("{:?}", order.stretches);
        };
        assert_eq!(*passage, None);
        assert!(place.x < 2000.0);
    }
}

#[test]
fn the_far_end_comes_first_and_the_way_off_last() {
    let on_deck = "[[deck.strip]]\nwidth = 60\nacross_at = [1500, 3000, 4500]\n\
                   [[deck.way_off]]\nname = \"step\"\nat = [6000, 750]\n";
    let job = sound(LONG, on_deck, "pot_life = \"20 min\"");
    let takeoff = Takeoff::of(&job, &Figures::of(&job));
    for order in orders(&job, &takeoff) {
        check(&job.decks[0], &order, &takeoff);
        let stretches = order.stretches.as_ref().expect("an order");
        let stations: Vec<f64> = stretches.iter().map(|one| one.place.x).collect();
        // What is laid in one go has no first and last.
        assert!(
            stations.len() == 1
                || stations.first() < Some(&1500.0) && stations.last() > Some(&4500.0),
            "{stations:?}"
        );
        if order.step == "grip" {
            assert!(stations.is_sorted(), "{stations:?}");
            let parts: Vec<&str> = stretches
                .iter()
                .map(|one| one.part.split(',').next().unwrap_or(""))
                .collect();
            assert!(parts.is_sorted());
        }
        // What is drawn of the stretches is all of what is painted.
        let drawn: f64 = order.regions(&job.decks[0]).iter().map(Region::area).sum();
        assert!(
            (drawn / coat_area(&job.decks[0], &order) - 1.0).abs() < 1e-6,
            "{drawn}"
        );
        for (region, stretch) in order.regions(&job.decks[0]).iter().zip(stretches) {
            let off = (region.area() - stretch.area.to_mm2()).abs();
            assert!(
                off < 0.6 * region.perimeter() * order.cell().to_mm(),
                "{off} {stretch:?}"
            );
            assert!(region.contains(stretch.place), "{stretch:?}");
        }
    }
}

#[test]
fn from_a_ladder_amidships_both_ends_come_before_the_middle() {
    let on_deck = "[[deck.way_off]]\nname = \"ladder\"\nat = [3000, -100]\n\
                   [[deck.strip]]\nwidth = 60\nacross_at = [1000, 2000, 3000, 4000, 5000]\n";
    let job = sound(LONG, on_deck, "pot_life = \"40 min\"");
    let takeoff = Takeoff::of(&job, &Figures::of(&job));
    let orders = orders(&job, &takeoff);
    assert_eq!(orders.len(), 3);
    for order in &orders {
        check(&job.decks[0], order, &takeoff);
    }
    let stretches = orders[2].stretches.as_ref().expect("an order");
    let last = stretches.last().expect("some");
    assert!((last.place.x - 3000.0).abs() < 1000.0, "{last:?}");
}

/// One pad on both sides of another that leaves too little to walk past: whichever is first, it shuts the other in. Both are
/// laid side by side then, and each has to be mixed anew.
#[test]
fn fields_that_shut_each_other_in_are_laid_side_by_side() {
    let pads = "[[deck.pad]]\nname = \"one\"\npoints = [[500, 0], [1500, 0], [1500, 830], [4500, 830], [4500, 0], [5500, 0], \
         [5500, 1000], [500, 1000]]\ncurve = \"straight\"\n\
         [[deck.pad]]\nname = \"other\"\nrectangle = { at = [3000, 400], size = [1000, 740] }\n\
         [[deck.way_off]]\nname = \"step\"\nat = [6000, 500]\n";
    let narrow = "[[0, 0], [6000, 0], [6000, 1000], [0, 1000]]";
    let job = sound(narrow, pads, "pot_life = \"18 min\"");
    let takeoff = Takeoff::of(&job, &Figures::of(&job));
    let order = orders(&job, &takeoff)
        .pop()
        .expect("the coat on the fields");
    check(&job.decks[0], &order, &takeoff);
}
