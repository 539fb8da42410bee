//! A table of half-breadths to the deck's edge. The starboard side is fitted, the port side is its
//! mirror image to the last bit.
//!
//! Two half-breadths at one station are a square step: a straight piece athwartships with a corner
//! at both ends, whichever the curve. At the first or last station a step that starts at 0 says no more
//! than that the deck ends square there.

use super::Edge;
use super::findings::Findings;
use super::points::FAIR_WITHIN;
use super::walk::{Step, Walk};
use crate::layout::{Curve, End, Fault, HalfBreadths, Place};
use crate::shape::{Point, Segment, Spline, SplineEnd, TOUCH, tangent_arcs};
use crate::units::Length;

/// One line of the table.
#[derive(Debug, Clone, Copy)]
struct Entry {
    at: Point,
    place: Place,
}

/// The edge as it is walked, with the places of the entries its steps name.
pub(super) fn walked(
    table: &HalfBreadths,
    margin_of: &dyn Fn(Option<&str>) -> Length,
    findings: &mut Findings<'_>,
) -> Option<(Walk, Vec<Place>)> {
    let entries = checked_entries(table, findings)?;
    let side = starboard(table, &entries, findings)?;
    let places = entries.iter().map(|entry| entry.place).collect();
    Some((both_sides(&side, entries.len() - 1, margin_of), places))
}

/// The table without repeats, or none where it is at fault.
fn checked_entries(table: &HalfBreadths, findings: &mut Findings<'_>) -> Option<Vec<Entry>> {
    let before = findings.faults.len();
    let mut entries: Vec<Entry> = Vec::with_capacity(table.points.len());
    for line in &table.points {
        // Adding 0 takes the minus off a zero.
        let at = Point::new(line.value.station.to_mm(), line.value.breadth.to_mm() + 0.0);
        let place = line.place;
        if !findings.is_sane(at, place) {
            continue;
        }
        if at.y < 0.0 {
            findings.fault(Fault::new(
                place,
                "a half-breadth cannot be negative",
                "measured from the centreline to either side",
            ));
            continue;
        }
        if let Some(last) = entries.last() {
            if last.at.distance(at) <= TOUCH {
                findings.warn(
                    "repeated-point",
                    format!(
                        "the half-breadth at station {} is given twice; it counts once",
                        findings.spoken(at.x)
                    ),
                    place,
                    at,
                );
                continue;
            }
            if at.x < last.at.x {
                findings.fault(
                    Fault::new(
                        place,
                        "stations must follow each other aft",
                        format!("this one lies forward of {}", findings.spoken(last.at.x)),
                    )
                    .with_help("sort the half-breadths by station, forward to aft"),
                );
                continue;
            }
        }
        entries.push(Entry { at, place });
    }
    if findings.faults.len() > before {
        return None;
    }
    // A step from 0 at either end: the deck ends square there, as it does without the 0.
    if let [first, second, _, ..] = entries[..]
        && first.at.y == 0.0
        && second.at.x == first.at.x
    {
        entries.remove(0);
    }
    if let [.., _, second, last] = entries[..]
        && last.at.y == 0.0
        && second.at.x == last.at.x
    {
        entries.pop();
    }
    if entries.len() < 2 || entries.iter().all(|entry| entry.at.y == 0.0) {
        findings.fault(
            Fault::new(
                table.place,
                "these half-breadths make no deck",
                "two stations at least, and some breadth, are needed",
            )
            .with_help("write half_breadths = [[station, half-breadth], ...], forward to aft"),
        );
        return None;
    }
    for entry in &entries[1..entries.len() - 1] {
        if entry.at.y == 0.0 {
            findings.fault(
                Fault::new(
                    entry.place,
                    "a half-breadth of 0 between others cuts the deck in two",
                    "only the first and the last may be 0",
                )
                .with_help("give the two parts as two decks"),
            );
        }
    }
    (findings.faults.len() == before).then_some(entries)
}

/// The starboard side from forward to aft; each piece with the entry it follows.
fn starboard(
    table: &HalfBreadths,
    entries: &[Entry],
    findings: &mut Findings<'_>,
) -> Option<Vec<SidePiece>> {
    let last = entries.len() - 1;
    let is_fair = table.curve == Curve::Fair;
    let mut breaks = vec![!is_fair; entries.len()];
    breaks[0] = true;
    breaks[last] = true;
    for i in 1..=last {
        if entries[i].at.x == entries[i - 1].at.x {
            breaks[i - 1] = true;
            breaks[i] = true;
        }
    }
    break_at_knuckles(table, entries, &mut breaks, findings)?;
    let round = |end: End, entry: &Entry, what: &str, findings: &mut Findings<'_>| {
        let is_round = end == End::Round && is_fair && entry.at.y == 0.0;
        if end == End::Round && !is_round {
            let why = if is_fair {
                "its half-breadth is not 0"
            } else {
                "its curve is straight"
            };
            findings.warn(
                "round-end-ignored",
                format!("the {what} end is not rounded: {why}"),
                entry.place,
                entry.at,
            );
        }
        if is_round {
            SplineEnd::Mirrored
        } else {
            SplineEnd::Free
        }
    };
    let forward = round(table.forward, &entries[0], "forward", findings);
    let aft = round(table.aft, &entries[last], "aft", findings);
    let mut side = Vec::new();
    let mut from = 0;
    for to in 1..=last {
        if !breaks[to] {
            continue;
        }
        let points: Vec<Point> = entries[from..=to].iter().map(|entry| entry.at).collect();
        let is_step = to == from + 1 && points[0].x == points[1].x;
        let start = if from == 0 { forward } else { SplineEnd::Free };
        let end = if to == last { aft } else { SplineEnd::Free };
        if is_step || (points.len() == 2 && (start, end) == (SplineEnd::Free, SplineEnd::Free)) {
            side.push(SidePiece {
                segment: Segment::Line(points[0], points[1]),
                entry: from,
            });
        } else {
            let Some(curve) = Spline::through(&points, start, end) else {
                findings.fault(Fault::new(
                    table.place,
                    "no curve can be laid through these half-breadths",
                    "the points lie too near each other",
                ));
                return None;
            };
            for piece in tangent_arcs(&curve, 0.0, curve.last(), FAIR_WITHIN) {
                side.push(SidePiece {
                    segment: piece.segment,
                    entry: from + curve.span_at((piece.from + piece.to) / 2.0),
                });
            }
        }
        from = to;
    }
    if let Some(piece) = side
        .iter()
        .find(|piece| piece.segment.bounding_box().least.y < -TOUCH)
    {
        let (one, other) = (&entries[piece.entry], &entries[piece.entry + 1]);
        let worse = if one.at.y > 0.0 && one.at.y < other.at.y || other.at.y == 0.0 {
            one
        } else {
            other
        };
        findings.fault(
            Fault::new(
                worse.place,
                format!(
                    "the curve dips below the centreline between stations {} and {}",
                    findings.spoken(one.at.x),
                    findings.spoken(other.at.x)
                ),
                "near this half-breadth",
            )
            .with_help(
                "check the number, add a half-breadth between the two, or make one a knuckle",
            ),
        );
        return None;
    }
    Some(side)
}

/// A piece of the starboard side and the entry it follows.
struct SidePiece {
    segment: Segment,
    entry: usize,
}

fn break_at_knuckles(
    table: &HalfBreadths,
    entries: &[Entry],
    breaks: &mut [bool],
    findings: &mut Findings<'_>,
) -> Option<()> {
    let mut all_found = true;
    for knuckle in &table.knuckles {
        let station = knuckle.value.to_mm();
        let mut found = false;
        for (entry, is_break) in entries.iter().zip(breaks.iter_mut()) {
            if (entry.at.x - station).abs() <= TOUCH {
                *is_break = true;
                found = true;
            }
        }
        if found {
            continue;
        }
        all_found = false;
        let nearest = entries.iter().min_by(|a, b| {
            (a.at.x - station)
                .abs()
                .total_cmp(&(b.at.x - station).abs())
        });
        let fault = Fault::new(
            knuckle.place,
            "a knuckle must stand at one of the stations of half_breadths",
            format!("no half-breadth at station {}", findings.spoken(station)),
        );
        findings.fault(match nearest {
            Some(entry) => fault.with_help(format!(
                "the nearest station is {}; write that, or measure a half-breadth here",
                findings.spoken(entry.at.x)
            )),
            None => fault,
        });
    }
    all_found.then_some(())
}

/// The whole edge, counter-clockwise: across the forward end to port, aft along the port side, across
/// the aft end, forward along the starboard side.
fn both_sides(side: &[SidePiece], last: usize, margin_of: &dyn Fn(Option<&str>) -> Length) -> Walk {
    let mut walk = Walk {
        steps: Vec::with_capacity(2 * side.len() + 2),
        edges: Vec::new(),
    };
    let mut edge = |name: &str, steps: Vec<(Segment, usize)>| {
        let number = walk.edges.len();
        walk.edges.push(Edge {
            name: Some(name.to_owned()),
            margin: margin_of(Some(name)),
        });
        walk.steps
            .extend(steps.into_iter().map(|(segment, entry)| Step {
                segment,
                edge: number,
                entry,
            }));
    };
    let (Some(first_piece), Some(last_piece)) = (side.first(), side.last()) else {
        return walk;
    };
    let (first, end) = (first_piece.segment.start(), last_piece.segment.end());
    if first.y > 0.0 {
        edge("forward", vec![(Segment::Line(first, across(first)), 0)]);
    }
    edge(
        "port",
        side.iter()
            .map(|piece| (image(&piece.segment), piece.entry))
            .collect(),
    );
    if end.y > 0.0 {
        edge("aft", vec![(Segment::Line(across(end), end), last)]);
    }
    edge(
        "starboard",
        side.iter()
            .rev()
            .map(|piece| (piece.segment.reversed(), piece.entry))
            .collect(),
    );
    walk
}

/// A point's mirror image; one on the centreline stays as it is, without a minus before its 0.
fn across(point: Point) -> Point {
    Point::new(point.x, 0.0 - point.y)
}

fn image(segment: &Segment) -> Segment {
    match segment.mirrored() {
        Segment::Line(..) => Segment::Line(across(segment.start()), across(segment.end())),
        Segment::Arc(mut arc) => {
            arc.start = across(segment.start());
            arc.end = across(segment.end());
            Segment::Arc(arc)
        }
    }
}
