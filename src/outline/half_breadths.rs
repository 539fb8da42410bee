//! A table of half-breadths to the deck's edge. The starboard side is fitted, the port side is its
//! mirror image to the last bit; or each is fitted to its own table.
//!
//! Where the average of two tables is asked for, it is taken at the stations of both, and from a side's fair curve where it
//! has none there.
//!
//! Two half-breadths at one station are a square step: a straight piece athwartships with a corner
//! at both ends, whichever the curve. At the first or last station a step that starts at 0 says no more
//! than that the deck ends square there.

use super::Edge;
use super::fairness::{self, Fairness, SideDifference, SideFairness};
use super::findings::Findings;
use super::points::FAIR_WITHIN;
use super::walk::{Step, Walk};
use crate::layout::{Curve, End, Fault, HalfBreadth, HalfBreadths, Place, Placed, Sides};
use crate::shape::{Point, Segment, Spline, SplineEnd, TOUCH, tangent_arcs};
use crate::units::Length;

/// One line of the table.
#[derive(Debug, Clone, Copy)]
pub(super) struct Entry {
    pub(super) at: Point,
    pub(super) place: Place,
}

/// One side, its half-breadths positive.
pub(super) struct Side {
    pieces: Vec<SidePiece>,
    /// From corner to corner, forward to aft.
    pub(super) stretches: Vec<Stretch>,
}

/// A part of a side without a corner.
pub(super) struct Stretch {
    /// Its first entry.
    pub(super) from: usize,
    /// Its last.
    pub(super) to: usize,
    /// The curve through its entries; none where it is a straight line.
    pub(super) curve: Option<Spline>,
}

/// The edge as it is walked, with the places of the entries its steps name, and what the entries are worth.
pub(super) fn walked(
    table: &HalfBreadths,
    margin_of: &dyn Fn(Option<&str>) -> Length,
    findings: &mut Findings<'_>,
) -> Option<(Walk, Vec<Place>, Fairness)> {
    if table.port.is_empty() {
        let (entries, side) = fitted(table, &table.points, findings)?;
        let fairness = Fairness {
            sides: vec![fairness::of_side(table, None, &entries, &side, findings)],
            made: None,
            differences: Vec::new(),
        };
        let walk = mirrored(&entries, &side, margin_of);
        return Some((walk, places(&entries), fairness));
    }
    // Both are fitted before either is given up, so that the faults of both show at once.
    let starboard = fitted(table, &table.points, findings);
    let port = fitted(table, &table.port, findings);
    let (starboard, port) = (starboard?, port?);
    let judged: Vec<SideFairness> = [("starboard", &starboard), ("port", &port)]
        .into_iter()
        .map(|(name, (entries, side))| {
            fairness::of_side(table, Some(name), entries, side, findings)
        })
        .collect();
    let deviation = judged
        .iter()
        .map(|side| side.deviation.to_mm())
        .fold(0.0, f64::max);
    let pair = [(&starboard.0[..], &starboard.1), (&port.0[..], &port.1)];
    let differences = fairness::differences(pair, table.sides, deviation, findings);
    let (walk, places) = match table.sides {
        Sides::Both => {
            check_ends_meet(pair, findings)?;
            let mut all = places(&starboard.0);
            all.extend(places(&port.0));
            (apart(pair, margin_of), all)
        }
        Sides::Starboard => (
            mirrored(&starboard.0, &starboard.1, margin_of),
            places(&starboard.0),
        ),
        Sides::Port => (mirrored(&port.0, &port.1, margin_of), places(&port.0)),
        Sides::Average => {
            check_ends_match(pair, findings)?;
            let mean: Vec<Entry> = differences
                .iter()
                .map(|both| {
                    let HalfBreadth { station, breadth } = both.average();
                    Entry {
                        at: Point::new(station.to_mm(), breadth.to_mm()),
                        place: both.place,
                    }
                })
                .collect();
            let side = side(table, &mean, findings)?;
            (mirrored(&mean, &side, margin_of), places(&mean))
        }
    };
    let fairness = Fairness {
        sides: judged,
        made: Some(table.sides),
        differences,
    };
    Some((walk, places, fairness))
}

fn places(entries: &[Entry]) -> Vec<Place> {
    entries.iter().map(|entry| entry.place).collect()
}

/// One list of half-breadths and the side they make.
fn fitted(
    table: &HalfBreadths,
    points: &[Placed<HalfBreadth>],
    findings: &mut Findings<'_>,
) -> Option<(Vec<Entry>, Side)> {
    let entries = checked_entries(table, points, findings)?;
    let side = side(table, &entries, findings)?;
    Some((entries, side))
}

/// The ends of two sides, forward and aft: what each is called, and the entries there, starboard's first.
fn ends(sides: [(&[Entry], &Side); 2]) -> Vec<(&'static str, [Entry; 2])> {
    let at = |end: fn(&[Entry]) -> Option<&Entry>| {
        let [one, other] = sides.map(|(entries, _)| end(entries).copied());
        Some([one?, other?])
    };
    [
        at(<[Entry]>::first).map(|pair| ("forward", pair)),
        at(<[Entry]>::last).map(|pair| ("aft", pair)),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Where both sides reach the centreline, they do so at one station.
fn check_ends_meet(sides: [(&[Entry], &Side); 2], findings: &mut Findings<'_>) -> Option<()> {
    let mut meet = true;
    for (end, [starboard, port]) in ends(sides) {
        let both_reach = starboard.at.y == 0.0 && port.at.y == 0.0;
        if both_reach && (starboard.at.x - port.at.x).abs() > TOUCH {
            meet = false;
            fault_end(end, starboard, port, "the sides must meet there", findings);
        }
    }
    meet.then_some(())
}

/// An average needs both sides from end to end.
fn check_ends_match(sides: [(&[Entry], &Side); 2], findings: &mut Findings<'_>) -> Option<()> {
    let mut matching = true;
    for (end, [starboard, port]) in ends(sides) {
        if (starboard.at.x - port.at.x).abs() > TOUCH {
            matching = false;
            fault_end(
                end,
                starboard,
                port,
                "an average needs both sides up to one station",
                findings,
            );
        }
    }
    matching.then_some(())
}

fn fault_end(end: &str, starboard: Entry, port: Entry, why: &str, findings: &mut Findings<'_>) {
    let fault = Fault::new(
        port.place,
        format!(
            "the {end} end is at station {} to starboard and at {} to port; {why}",
            findings.spoken(starboard.at.x),
            findings.spoken(port.at.x)
        ),
        "port ends here",
    )
    .with_mention(starboard.place, "starboard ends here")
    .with_help("give both sides a half-breadth at the same station there");
    findings.fault(fault);
}

/// Both sides at every station of either that lies within both.
pub(super) fn at_all_stations(sides: [(&[Entry], &Side); 2]) -> Vec<SideDifference> {
    let [(one, starboard), (other, port)] = sides;
    let mut stations: Vec<Entry> = one.to_vec();
    for entry in other {
        if !one
            .iter()
            .any(|there| (there.at.x - entry.at.x).abs() <= TOUCH)
        {
            stations.push(*entry);
        }
    }
    stations.sort_by(|a, b| a.at.x.total_cmp(&b.at.x));
    let breadth = |entries: &[Entry], side: &Side, station: f64| {
        entries
            .iter()
            .find(|entry| (entry.at.x - station).abs() <= TOUCH)
            .map(|entry| entry.at.y)
            .or_else(|| side.breadth_at(station))
            .map(Length::mm)
    };
    stations
        .into_iter()
        .filter_map(|entry| {
            Some(SideDifference {
                station: Length::mm(entry.at.x),
                starboard: breadth(one, starboard, entry.at.x)?,
                port: breadth(other, port, entry.at.x)?,
                place: entry.place,
            })
        })
        .collect()
}

impl Side {
    /// The half-breadth at a station that the side reaches.
    fn breadth_at(&self, station: f64) -> Option<f64> {
        let segment = self
            .pieces
            .iter()
            .map(|piece| &piece.segment)
            .find(|segment| (segment.start().x..=segment.end().x).contains(&station))?;
        let [mut low, mut high] = [0.0, 1.0];
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if segment.point_at(middle).x < station {
                low = middle;
            } else {
                high = middle;
            }
        }
        Some(segment.point_at(low).y)
    }
}

/// The table without repeats, or none where it is at fault.
fn checked_entries(
    table: &HalfBreadths,
    points: &[Placed<HalfBreadth>],
    findings: &mut Findings<'_>,
) -> Option<Vec<Entry>> {
    let before = findings.faults.len();
    let mut entries: Vec<Entry> = Vec::with_capacity(points.len());
    for line in points {
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

/// A side from forward to aft, half-breadths positive; each piece with the entry it follows.
fn side(table: &HalfBreadths, entries: &[Entry], findings: &mut Findings<'_>) -> Option<Side> {
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
    let mut stretches = Vec::new();
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
            stretches.push(Stretch {
                from,
                to,
                curve: None,
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
            stretches.push(Stretch {
                from,
                to,
                curve: Some(curve),
            });
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
    Some(Side {
        pieces: side,
        stretches,
    })
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

/// The whole edge of one side and its mirror image.
fn mirrored(entries: &[Entry], side: &Side, margin_of: &dyn Fn(Option<&str>) -> Length) -> Walk {
    let last = entries.len() - 1;
    both_sides([&side.pieces, &side.pieces], last, 0, margin_of)
}

/// The whole edge of two sides; port's entries are numbered after starboard's.
fn apart(sides: [(&[Entry], &Side); 2], margin_of: &dyn Fn(Option<&str>) -> Length) -> Walk {
    let [(entries, starboard), (_, port)] = sides;
    let last = entries.len() - 1;
    both_sides(
        [&starboard.pieces, &port.pieces],
        last,
        entries.len(),
        margin_of,
    )
}

/// The whole edge, counter-clockwise: across the forward end to port, aft along the port side, across
/// the aft end, forward along the starboard side.
fn both_sides(
    [starboard, port]: [&[SidePiece]; 2],
    last: usize,
    port_from: usize,
    margin_of: &dyn Fn(Option<&str>) -> Length,
) -> Walk {
    let mut walk = Walk {
        steps: Vec::with_capacity(starboard.len() + port.len() + 2),
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
    let ([Some(first_piece), Some(first_port)], [Some(last_piece), Some(last_port)]) = (
        [starboard.first(), port.first()],
        [starboard.last(), port.last()],
    ) else {
        return walk;
    };
    let (first, end) = (first_piece.segment.start(), last_piece.segment.end());
    let (port_first, port_end) = (first_port.segment.start(), last_port.segment.end());
    if first.y > 0.0 || port_first.y > 0.0 {
        edge(
            "forward",
            vec![(Segment::Line(first, across(port_first)), 0)],
        );
    }
    edge(
        "port",
        port.iter()
            .map(|piece| (image(&piece.segment), port_from + piece.entry))
            .collect(),
    );
    if end.y > 0.0 || port_end.y > 0.0 {
        edge("aft", vec![(Segment::Line(across(port_end), end), last)]);
    }
    edge(
        "starboard",
        starboard
            .iter()
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
