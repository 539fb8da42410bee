//! Setting out: every demo's table, read back from its printed numbers alone, gives the pattern again; ties err as much as
//! is said and no more.

#![allow(clippy::panic, reason = "a test that cannot go on has failed")]
#![allow(clippy::print_stdout, reason = "what was measured, for the record")]

#[path = "common/beside.rs"]
mod beside;
#[path = "../src/concurrent.rs"]
#[allow(dead_code, reason = "a test needs one of its ways")]
mod concurrent;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use spile::drawing::{Paper, SetOutDeck, Text, set_out_pages};
use spile::export::setting_out::{csv, markdown};
use spile::layout::{self, Sources};
use spile::setting_out::{Check, Mark, crossing, marks_fault, sensitivity, set_out};
use spile::shape::{Graph, Point, Region};
use spile::surface::Surface;
use spile::units::{Length, LengthUnit};
use spile::{DeckJob, Job, work_out};

/// The most that any point, of a field's edge too, may be off, millimetres; and the share of its area.
const OFF: f64 = 2.0;
const AREA: f64 = 0.002;

type Row = BTreeMap<String, String>;

fn demos() -> Vec<(PathBuf, Job)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("layouts");
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("there are demos")
        .map(|entry| entry.expect("it can be listed").path())
        .filter(|path| path.extension().is_some_and(|one| one == "toml"))
        .collect();
    paths.sort();
    paths
        .into_iter()
        .map(|path| {
            let text = std::fs::read_to_string(&path).expect("it is text");
            let layout = layout::read(&text).expect("demos have no fault");
            let sources = beside::beside(&layout);
            let job = work_out(layout, &sources).expect("demos have no fault");
            (path, job)
        })
        .collect()
}

/// Four marks on a deck's corners as a person would choose them: whole numbers near the corners of its box.
fn marks(deck: &DeckJob) -> Vec<Mark> {
    let bounds = deck.plan.outline.ring.bounding_box();
    let step = if deck.plan.units.is_imperial() {
        25.4
    } else {
        10.0
    };
    let whole = |mm: f64| (mm / step).round() * step;
    let (low, high) = (bounds.least, bounds.greatest);
    let middle = bounds.centre();
    [
        ("A", low.x, low.y),
        ("B", high.x, low.y),
        ("C", high.x, high.y),
        ("D", low.x, high.y),
        ("E", middle.x, high.y),
        ("F", middle.x, low.y),
    ]
    .map(|(name, x, y)| Mark {
        name: name.to_owned(),
        at: Point::new(whole(x), whole(y)),
    })
    .to_vec()
}

fn rows(text: &str) -> Vec<Row> {
    let mut lines = text.split_terminator("\r\n");
    let cells = |line: &str| -> Vec<String> { line.split(',').map(str::to_owned).collect() };
    let head = cells(lines.next().expect("a head"));
    lines
        .map(|line| head.iter().cloned().zip(cells(line)).collect())
        .collect()
}

fn mm(row: &Row, column: &str) -> f64 {
    let unit = match row["unit"].as_str() {
        "mm" => 1.0,
        "cm" => 10.0,
        "m" => 1000.0,
        "in" => 25.4,
        other => panic!("no unit: {other}"),
    };
    let value: f64 = row[column]
        .parse()
        .unwrap_or_else(|_| panic!("{column} in {row:?}"));
    value * unit
}

fn by_station(row: &Row) -> Point {
    let side = match row["side"].as_str() {
        "S" => 1.0,
        "P" => -1.0,
        "C" => 0.0,
        other => panic!("no side: {other}"),
    };
    Point::new(mm(row, "station"), side * mm(row, "off"))
}

/// Length of the tape lying on the deck over the straight line from one place to another: Simpson's rule, its own.
fn taped(surface: Option<&Surface>, from: Point, to: Point) -> f64 {
    let length = from.distance(to);
    let Some(surface) = surface.filter(|_| length > 0.0) else {
        return length;
    };
    let along = (to - from) * (1.0 / length);
    let steep = |share: f64| surface.slope(from.towards(to, share)).dot(along).hypot(1.0);
    let count = 200;
    let weighed: f64 = (0..=count)
        .map(|number| {
            let weight = match number {
                0 => 1.0,
                last if last == count => 1.0,
                odd if odd % 2 == 1 => 4.0,
                _ => 2.0,
            };
            weight * steep(f64::from(number) / f64::from(count))
        })
        .sum();
    weighed / 3.0 / f64::from(count) * length
}

/// By its girth, where there is one: so far along the centreline, so far out over the deck.
fn by_girth(row: &Row, surface: &Surface) -> Point {
    let side = if row["side"] == "P" { -1.0 } else { 1.0 };
    let (along, girth) = (mm(row, "station_on_deck"), mm(row, "girth"));
    let reach = |unit: Point, length: f64, from: Point| {
        let mut out = length;
        for _ in 0..30 {
            out *= length / taped(Some(surface), from, from + unit * out).max(1e-9);
        }
        out
    };
    // A deck's camber is the same at every station: girths are measured square to the centreline in plan, over the camber
    // alone, so from any station of no slope along it.
    let x = reach(Point::new(1.0, 0.0), along, Point::ORIGIN);
    let y = reach(Point::new(0.0, side), girth, Point::new(x, 0.0));
    Point::new(x, y * side)
}

/// By its ties; none where no pair fixes it.
fn by_ties(row: &Row, marks: &BTreeMap<String, Point>, surface: Option<&Surface>) -> Option<Point> {
    if row["mark_1"].is_empty() {
        return None;
    }
    let (a, b) = (marks[&row["mark_1"]], marks[&row["mark_2"]]);
    // Written anew: two circles, by the cosine rule at the first mark.
    let (r, s, c) = (mm(row, "tie_1"), mm(row, "tie_2"), a.distance(b));
    let cosine = (r * r + c * c - s * s) / (2.0 * r * c);
    let turn = cosine.clamp(-1.0, 1.0).acos();
    let turn = if row["side_of_marks"] == "left" {
        turn
    } else {
        -turn
    };
    let mut at = a + Point::at_angle((b - a).angle() + turn) * r;
    if surface.is_some() {
        // The tape lies on the deck: from the plan's crossing by Newton's method.
        for _ in 0..8 {
            let off = |at: Point| Point::new(taped(surface, a, at) - r, taped(surface, b, at) - s);
            let here = off(at);
            let by_x = (off(at + Point::new(0.1, 0.0)) - here) * 10.0;
            let by_y = (off(at + Point::new(0.0, 0.1)) - here) * 10.0;
            let size = by_x.cross(by_y);
            at = at - Point::new(here.cross(by_y), by_x.cross(here)) * (1.0 / size);
        }
    }
    Some(at)
}

/// A ring drawn again, as a line through close points.
fn redrawn(
    ring: &[&Row],
    all: &[Row],
    places: &BTreeMap<String, Point>,
    surface: Option<&Surface>,
) -> Vec<Point> {
    let mut line = Vec::new();
    for (index, row) in ring.iter().enumerate() {
        let (from, to) = (places[&row["name"]], places[&row["to"]]);
        let is_passed =
            index > 0 && row["edge"] == "through" && ring[index - 1]["batten"] == row["batten"];
        if is_passed {
            continue;
        }
        line.push(from);
        match row["edge"].as_str() {
            "straight" => {}
            "arc" => {
                let (centre, radius) = (places[&row["centre"]], mm(row, "radius"));
                let (start, end) = ((from - centre).angle(), (to - centre).angle());
                let full = std::f64::consts::TAU;
                let sweep = if row["turns"] == "left" {
                    (end - start).rem_euclid(full)
                } else {
                    -(start - end).rem_euclid(full)
                };
                let count = 200;
                for number in 1..count {
                    let angle = start + sweep * f64::from(number) / f64::from(count);
                    let along = Point::at_angle(angle);
                    let mut reach = radius;
                    for _ in 0..6 {
                        reach *= radius / taped(surface, centre, centre + along * reach);
                    }
                    line.push(centre + along * reach);
                }
            }
            "batten" => {
                let unit = (to - from).unit();
                let mut knots = vec![Point::ORIGIN];
                knots.extend(
                    all.iter()
                        .filter(|one| {
                            one["row"] == "offset"
                                && one["name"] == row["name"]
                                && one["to"] == row["to"]
                        })
                        .map(|one| Point::new(mm(one, "along"), mm(one, "offset"))),
                );
                let length = from.distance(to);
                knots.push(Point::new(length, 0.0));
                let curve = Graph::through(&knots).expect("offsets rise along the line");
                let count = 400;
                for number in 1..count {
                    let x = length * f64::from(number) / f64::from(count);
                    line.push(from + unit * x + unit.left() * curve.height_at(x));
                }
            }
            "through" => {
                let batten = &row["batten"];
                let through = ring[index..]
                    .iter()
                    .take_while(|one| one["batten"] == *batten);
                let mut knots = vec![from];
                knots.extend(through.map(|one| places[&one["to"]]));
                let end = knots[knots.len() - 1];
                let unit = (end - from).unit();
                let seen: Vec<Point> = knots
                    .iter()
                    .map(|at| Point::new((*at - from).dot(unit), unit.cross(*at - from)))
                    .collect();
                let curve = Graph::through(&seen).expect("points follow each other");
                let count = 400;
                for number in 1..count {
                    let x = from.distance(end) * f64::from(number) / f64::from(count);
                    line.push(from + unit * x + unit.left() * curve.height_at(x));
                }
            }
            other => panic!("no edge: {other}"),
        }
    }
    line
}

fn area(line: &[Point]) -> f64 {
    let next = line.iter().cycle().skip(1);
    line.iter().zip(next).map(|(a, b)| a.cross(*b) / 2.0).sum()
}

/// How far the drawn line and the true edge pass from each other, both ways.
fn apart(drawn: &[Vec<Point>], region: &Region) -> f64 {
    let mut most = 0.0_f64;
    for point in drawn.iter().flatten() {
        most = most.max(region.boundary_distance(*point).to_mm());
    }
    let pieces: Vec<(Point, Point)> = drawn
        .iter()
        .flat_map(|line| {
            line.iter()
                .copied()
                .zip(line.iter().copied().cycle().skip(1))
        })
        .collect();
    for segment in region.segments() {
        for share in [0.0, 0.25, 0.5, 0.75] {
            let at = segment.point_at(share);
            let nearest = pieces
                .iter()
                .map(|(a, b)| {
                    let along = *b - *a;
                    let share =
                        ((at - *a).dot(along) / along.dot(along).max(1e-12)).clamp(0.0, 1.0);
                    at.distance(a.towards(*b, share))
                })
                .fold(f64::INFINITY, f64::min);
            most = most.max(nearest);
        }
    }
    most
}

/// Every field of a deck drawn again from its printed numbers, a line for each; those that miss the bar apart.
fn drawn_again(
    name: &str,
    deck: &DeckJob,
    share_allowed: impl Fn(&Region) -> f64,
    said: &mut Vec<String>,
    wrong: &mut Vec<String>,
) {
    let out = set_out(deck, &marks(deck));
    let all = rows(&csv(&[out]));
    let surface = deck.surface.as_ref();
    let of = |kind: &str| {
        all.iter()
            .filter(|row| row["row"] == kind)
            .collect::<Vec<_>>()
    };
    let marks: BTreeMap<String, Point> = of("mark")
        .into_iter()
        .map(|row| (row["name"].clone(), by_station(row)))
        .collect();
    let named: Vec<&Row> = of("point").into_iter().chain(of("centre")).collect();
    for way in ["station and off", "station and girth", "ties"] {
        if way == "station and girth" && surface.is_none() {
            continue;
        }
        // What has no sound ties is set out as the table says: by station.
        let mut without = 0;
        let places: BTreeMap<String, Point> = named
            .iter()
            .map(|row| {
                let by_station = || match surface {
                    Some(surface) if way != "station and off" => by_girth(row, surface),
                    _ => by_station(row),
                };
                let at = match way {
                    "ties" => by_ties(row, &marks, surface).unwrap_or_else(|| {
                        without += 1;
                        by_station()
                    }),
                    _ => by_station(),
                };
                (row["name"].clone(), at)
            })
            .collect();
        assert!(
            without * 10 <= named.len(),
            "{name}: {without} of {} without ties from six marks",
            named.len()
        );
        for field in &deck.pattern.fields {
            let points: Vec<&Row> = named
                .iter()
                .copied()
                .filter(|row| row["row"] == "point" && row["field"] == field.id)
                .collect();
            let drawn: Vec<Vec<Point>> = (1..=field.region.rings().len())
                .map(|ring| {
                    let mut ring: Vec<&Row> = points
                        .iter()
                        .copied()
                        .filter(|row| row["ring"] == ring.to_string())
                        .collect();
                    ring.sort_by_key(|row| {
                        let number = row["name"].rsplit('-').next().expect("a number");
                        number.parse::<usize>().expect("a number")
                    });
                    redrawn(&ring, &all, &places, surface)
                })
                .collect();
            let true_area = field.region.area();
            let sum: f64 = drawn.iter().map(|line| area(line)).sum();
            let share = (sum - true_area).abs() / true_area;
            let off = apart(&drawn, &field.region);
            let line = format!(
                "{name} {} {} by {way}: {} points, {without} without ties, area {:.4} %, {off:.2} mm",
                deck.plan.id,
                field.id,
                points.len(),
                share * 100.0
            );
            if share > share_allowed(&field.region) || off > OFF {
                wrong.push(line.clone());
            }
            said.push(line);
        }
    }
}

#[test]
fn every_demo_is_set_out_again_from_its_printed_numbers_alone() {
    let (mut said, mut wrong) = (Vec::new(), Vec::new());
    for (path, job) in demos() {
        let name = path.file_stem().expect("a name").to_string_lossy();
        for deck in &job.decks {
            drawn_again(&name, deck, |_| AREA, &mut said, &mut wrong);
            // A metric deck under a tape of sixteenths: 1/32 in all round is more than 0.2 % of some small fields,
            // whoever measures.
            if !deck.plan.units.is_imperial() {
                let mut imperial = deck.clone();
                imperial.plan.units = LengthUnit::Inch;
                let most =
                    |field: &Region| AREA.max(25.4 / 32.0 * field.perimeter() / field.area());
                let name = format!("{name} in inches");
                drawn_again(&name, &imperial, most, &mut said, &mut wrong);
            }
        }
    }
    println!("{}", said.join("\n"));
    assert!(said.len() > 120, "{} fields", said.len());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_slip_of_50_mm_in_any_point_shows_in_a_check() {
    for (path, job) in demos() {
        for deck in &job.decks {
            let out = set_out(deck, &[]);
            assert_eq!(out.unchecked, Vec::<String>::new(), "{}", path.display());
            let surface = deck.surface.as_ref();
            let places: BTreeMap<&str, Point> = out
                .points()
                .map(|point| (point.name.as_str(), point.measured))
                .collect();
            let checks: Vec<&Check> = out.fields.iter().flat_map(|field| &field.checks).collect();
            let tolerance = out.tolerance.to_mm();
            assert!(tolerance < 8.0, "{tolerance}");
            // Nobody slipped: no check complains.
            let off = |check: &Check, from: Point, to: Point| {
                (taped(surface, from, to) - check.distance.to_mm()).abs()
            };
            for check in &checks {
                let [from, to] = [&check.from, &check.to].map(|name| places[name.as_str()]);
                assert!(off(check, from, to) < tolerance, "{check:?}");
            }
            let marked = out.points().filter(|point| point.is_bare);
            for (name, place) in marked.map(|point| (point.name.as_str(), point.measured)) {
                let own: Vec<(&Check, Point)> = checks
                    .iter()
                    .filter_map(|check| {
                        let other = if check.from == name {
                            &check.to
                        } else if check.to == name {
                            &check.from
                        } else {
                            return None;
                        };
                        Some((*check, places[other.as_str()]))
                    })
                    .collect();
                for number in 0..24 {
                    let slip = Point::at_angle(f64::from(number) * std::f64::consts::TAU / 24.0);
                    let put = place + slip * 50.0;
                    let seen = own
                        .iter()
                        .map(|(check, other)| off(check, put, *other))
                        .fold(0.0, f64::max);
                    assert!(
                        seen > tolerance,
                        "{} {name}: 50 mm at {number}/24 of a turn shows {seen:.1} mm in {} checks",
                        path.display(),
                        own.len()
                    );
                }
            }
        }
    }
}

#[test]
fn every_point_is_named_on_a_sheet_and_no_text_lies_on_another_or_is_cut_short() {
    let sheets = concurrent::each(&demos(), |(path, job)| {
        let mut sheets = 0;
        for deck in &job.decks {
            let mut imperial = deck.clone();
            imperial.plan.units = LengthUnit::Inch;
            for (deck, paper) in [(deck, Paper::A4), (&imperial, Paper::Letter)] {
                let out = set_out(deck, &marks(deck));
                let pages =
                    set_out_pages(&deck.plan.title, &[SetOutDeck { deck, out: &out }], paper);
                let place =
                    |number: usize| format!("{} {paper} page {}", path.display(), number + 1);
                for (number, page) in pages.iter().enumerate() {
                    let texts: Vec<&Text> = page.texts().collect();
                    for (index, text) in texts.iter().enumerate() {
                        let at = place(number);
                        assert!(!text.content.contains('…'), "{at}: {}", text.content);
                        let own = text.text_box();
                        let around = own.bounding_box();
                        assert!(
                            page.frame.holds(around.least) && page.frame.holds(around.greatest),
                            "{at}: {} leaves the page",
                            text.content
                        );
                        for other in &texts[..index] {
                            assert!(
                                !own.overlaps(&other.text_box()),
                                "{at}: {} over {}",
                                text.content,
                                other.content
                            );
                        }
                    }
                }
                for field in &out.fields {
                    let own = format!(": Field {}", field.id);
                    let named: Vec<&str> = pages
                        .iter()
                        .filter(|page| {
                            page.texts().any(|text| {
                                let rest = text.content.split_once(own.as_str());
                                rest.is_some_and(|(_, rest)| {
                                    rest.is_empty() || rest.starts_with(',')
                                })
                            })
                        })
                        .inspect(|_| sheets += 1)
                        .flat_map(|page| page.texts().map(|text| text.content.as_str()))
                        .collect();
                    for point in &field.points {
                        let (_, short) = point.name.split_once('-').expect("a field's name first");
                        assert!(
                            named.contains(&short),
                            "{} {}: {} is on no sheet",
                            path.display(),
                            out.id,
                            point.name
                        );
                    }
                }
            }
        }
        sheets
    });
    let sheets: usize = sheets.into_iter().sum();
    assert!(sheets > 100, "{sheets}");
}

#[test]
fn a_centre_over_a_hatch_is_said_to_have_no_deck_under_it() {
    let hatch = "margin = { edge = 100, opening = 50 }\n[[deck.opening]]\nname = \"hatch\"\n\
                 rectangle = { at = [2000, 0], size = [600, 600], radius = 60 }\n[deck.radius]\nround = 50";
    let text = CAMBERED
        .replace("margin = { edge = 100 }", hatch)
        .replace("radius = { round = 50 }\n", "");
    let job = job(&text);
    let out = set_out(&job.decks[0], &[]);
    let over: Vec<&str> = out
        .points()
        .filter(|point| !point.is_bare)
        .map(|point| point.name.as_str())
        .collect();
    // Those of the four corners round the hatch; not those of the field's own corners.
    assert_eq!(over.len(), 4, "{over:?}");
    let checked = |name: &str| {
        let mut checks = out.fields.iter().flat_map(|field| &field.checks);
        checks.any(|check| check.from == name || check.to == name)
    };
    assert!(over.iter().all(|name| !checked(name)));
    let text = markdown("Deck", std::slice::from_ref(&out));
    assert!(
        text.contains(&format!("| {} \\* |", over[0]))
            || text.contains(&format!("| {} * |", over[0]))
    );
    assert!(text.contains("No bare deck there"));
}

#[test]
fn the_order_of_the_steps_walks_less_than_that_of_the_names() {
    let (mut walked, mut by_name) = (0.0, 0.0);
    for (path, job) in demos() {
        for deck in &job.decks {
            let out = set_out(deck, &[]);
            println!(
                "{} {}: {:.1} m, by name {:.1} m",
                path.file_stem().expect("a name").to_string_lossy(),
                out.id,
                out.walked.to_mm() / 1000.0,
                out.walked_by_name.to_mm() / 1000.0
            );
            assert!(out.walked < out.walked_by_name);
            walked += out.walked.to_mm();
            by_name += out.walked_by_name.to_mm();
        }
    }
    println!(
        "together {:.1} m, by name {:.1} m",
        walked / 1000.0,
        by_name / 1000.0
    );
    assert!(walked < 0.7 * by_name, "{walked} {by_name}");
}

#[test]
fn the_error_said_is_the_most_that_misread_tapes_move_a_point() {
    // Four places, from square to flat crossings; both tapes 1 mm long, short, or one of each.
    let marks = [Point::new(0.0, 0.0), Point::new(3000.0, 0.0)];
    for at in [
        Point::new(1500.0, 1500.0),
        Point::new(1500.0, 400.0),
        Point::new(700.0, -2500.0),
        Point::new(4200.0, 600.0),
    ] {
        let said = sensitivity(at, marks);
        let is_left = at.y > 0.0;
        let mut most = 0.0_f64;
        for number in 0..360 {
            // Round the square of errors, not only at its corners.
            let (sine, cosine) = f64::from(number).to_radians().sin_cos();
            let largest = sine.abs().max(cosine.abs());
            let errors = [cosine / largest * 0.1, sine / largest * 0.1];
            let mut tapes = marks.map(|mark| at.distance(mark));
            for (tape, error) in tapes.iter_mut().zip(errors) {
                *tape += error;
            }
            let put = crossing(marks, tapes.map(Length::mm), is_left).expect("they meet");
            most = most.max(put.distance(at) / 0.1);
        }
        assert!(
            (most - said).abs() < said * 2e-3,
            "{at:?}: said {said}, is {most}"
        );
    }
}

const CAMBERED: &str = r#"
title = "Deck"
[[deck]]
id = "deck"
outline = { points = [[0, -1500], [4000, -1500], [4000, 1500], [0, 1500]] }
camber = { rise = 60, beam = 3000 }
margin = { edge = 100 }
radius = { round = 50 }
"#;

fn job(text: &str) -> Job {
    let layout = layout::read(text).expect("no fault");
    work_out(layout, &Sources::default()).expect("no fault")
}

#[test]
fn girths_are_the_arc_length_of_the_camber() {
    let job = job(CAMBERED);
    let out = set_out(&job.decks[0], &[]);
    let point = out
        .points()
        .find(|point| !point.is_centre && (point.at.y - 1400.0).abs() < 1e-6)
        .expect("the field's side");
    // A parabola z = -k y²: arc length y/2 √(1 + 4k²y²) + asinh(2ky)/4k.
    let (k, y) = (4.0 * 60.0 / 3000.0_f64.powi(2), 1400.0);
    let slope: f64 = 2.0 * k * y;
    let girth = y / 2.0 * slope.hypot(1.0) + slope.asinh() / (4.0 * k);
    let shown = point.on_deck.expect("there is camber").girth.to_mm();
    assert_eq!(shown, girth.round());
    assert!(shown > 1400.0);
}

#[test]
fn on_a_cylinder_ties_are_those_of_the_deck_laid_flat() {
    // A circular round of 180 mm over 3 m: R = (1500² + 180²) / 360, girths R asin(y / R), the shortest way straight once it
    // is laid flat.
    let job = job(&CAMBERED.replace("rise = 60,", "rise = 180, form = \"circular\","));
    let radius = (1500.0_f64.powi(2) + 180.0_f64.powi(2)) / 360.0;
    let laid = |at: Point| Point::new(at.x, radius * (at.y / radius).asin());
    let deck = &job.decks[0];
    let out = set_out(deck, &marks(deck));
    let mut longest = 0.0_f64;
    for point in out.points() {
        let ties = point.ties.expect("six marks");
        for tie in ties.pair.into_iter().chain(ties.third) {
            let mark = out.marks[tie.mark].at;
            let taut = laid(mark).distance(laid(point.at));
            let printed = tie.length.to_mm();
            assert!(
                (printed - taut).abs() < 0.6,
                "{}: {printed}, {taut}",
                point.name
            );
            longest = longest.max(printed - mark.distance(point.at));
        }
    }
    assert!(longest > 10.0, "over the round it is {longest} mm longer");
}

#[test]
fn a_plain_rectangle_has_the_numbers_one_writes_down_without_a_program() {
    let job = job(&CAMBERED.replace("camber = { rise = 60, beam = 3000 }\n", ""));
    let out = set_out(&job.decks[0], &[]);
    let field = &out.fields[0];
    // Two tangent points and a centre at each of four corners.
    assert_eq!(field.points.len(), 12);
    let centres: Vec<Point> = field
        .points
        .iter()
        .filter(|point| point.is_centre)
        .map(|point| point.measured)
        .collect();
    for (x, y) in [
        (150.0, -1350.0),
        (3850.0, -1350.0),
        (150.0, 1350.0),
        (3850.0, 1350.0),
    ] {
        assert!(centres.contains(&Point::new(x, y)), "{x} {y}: {centres:?}");
    }
    assert!(out.rounding.to_mm() < 1e-9 && out.rounding_of_ties.is_none());
    assert!(field.checks.len() >= 2);
}

#[test]
fn inches_are_rounded_to_sixteenths() {
    let job = job(&CAMBERED
        .replace("title = \"Deck\"", "title = \"Deck\"\nunits = \"in\"")
        .replace("camber = { rise = 60, beam = 3000 }\n", "")
        .replace("1500", "59.03")
        .replace("4000", "157.48"));
    let deck = &job.decks[0];
    assert_eq!(deck.plan.units, LengthUnit::Inch);
    let out = set_out(deck, &[]);
    for point in out.points() {
        for mm in [point.measured.x, point.measured.y] {
            let sixteenths = mm / 25.4 * 16.0;
            assert!((sixteenths - sixteenths.round()).abs() < 1e-6);
        }
    }
    assert!(out.rounding.to_mm() <= 25.4 / 32.0 * 2.0_f64.sqrt());
}

#[test]
fn points_that_no_marks_fix_soundly_have_no_ties() {
    let job = job(CAMBERED);
    let deck = &job.decks[0];
    let mark = |name: &str, x: f64, y: f64| Mark {
        name: name.to_owned(),
        at: Point::new(x, y),
    };
    // Both on the line of the field's side.
    let out = set_out(deck, &[mark("A", 10.0, 1400.0), mark("B", 3990.0, 1400.0)]);
    assert!(out.without_ties().count() >= 2);
    for point in out.points() {
        let least = sensitivity(
            point.at,
            [Point::new(10.0, 1400.0), Point::new(3990.0, 1400.0)],
        );
        // 1 / sin(15°): a crossing of 30°.
        assert_eq!(point.ties.is_none(), least > 3.8637, "{}", point.name);
    }
    // One alone gives none.
    let alone = set_out(deck, &[mark("A", 10.0, 1400.0)]);
    assert!(alone.marks.is_empty() && alone.points().all(|point| point.ties.is_none()));
    let fault =
        |marks: &[Mark]| marks_fault(marks, &[deck], LengthUnit::Millimetre).expect("a fault");
    assert!(fault(&[mark("A", 0.0, 0.0), mark("B", 3.0, 0.0)]).contains("at one place"));
    assert!(
        fault(&[mark("A", 0.0, 0.0), mark("A", 900.0, 0.0)]).contains("two marks are called A")
    );
    let far = fault(&[mark("A", 0.0, 9000.0)]);
    assert!(far.contains("not on the deck \"deck\"") && far.contains("-1500 mm and 1500 mm off"));
    assert!(fault(&[mark("A", 0.0, 0.0)]).contains("--mark B="));
}
