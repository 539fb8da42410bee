//! Pieces of a drawing joined into closed rings. Comes in: paths, open and closed, and how far apart ends may be.
//! Goes out: rings, in the order of their first pieces, whose pieces meet exactly; and what was dropped, moved or
//! could not be joined.
//!
//! Ends that lie together are joined first, then those within the gap that are left, two and no third: a line's end is
//! moved to the other's, an arc keeps the angle it sweeps, a curve is bent at its last control point. Where three or
//! more ends come together nothing is guessed.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};

use super::super::{DrawnPath, Piece};
use super::polylines::bulged;
use crate::shape::{BoundingBox, Point};

/// Of all things in one small square, this many are compared with those near by.
const MOST_COMPARED: usize = 16;

/// Ends as near as this share of the gap lie together.
const TOGETHER: f64 = 1e-3;

/// What came of joining.
#[derive(Debug, Clone, Default)]
pub struct Joined {
    /// The rings; each has the id, layer and line of its first piece.
    pub rings: Vec<DrawnPath>,
    /// The farthest that two ends were apart that were joined.
    pub widest: f64,
    /// How many ends were moved to meet others.
    pub moved: usize,
    /// Paths that lay on another that is the same: their lines in the file.
    pub duplicates: Vec<usize>,
    /// Ends that meet no other.
    pub loose: Vec<LooseEnd>,
    /// Places where three or more ends meet.
    pub branches: Vec<Branch>,
}

/// An end that meets no other.
#[derive(Debug, Clone, PartialEq)]
pub struct LooseEnd {
    /// Where it is.
    pub at: Point,
    /// The handle of what ends there.
    pub id: Option<String>,
    /// Its line in the file.
    pub line: usize,
    /// How far the nearest other loose end is; none where there is no other, or none was looked for.
    pub nearest: Option<f64>,
    /// The path, by its number among those given, in whose course it ends, if it does.
    pub on: Option<usize>,
}

/// A place where three or more ends meet.
#[derive(Debug, Clone, PartialEq)]
pub struct Branch {
    /// Where it is.
    pub at: Point,
    /// The handles of what ends there.
    pub ids: Vec<String>,
    /// The line in the file of the first of them.
    pub line: usize,
}

/// Joins paths whose ends are at most `gap` apart, in the paths' own units.
///
/// ```
/// use spile::import::dxf::{join, read};
/// // Three sides of a square, and a half circle that misses one of its corners by 0.02.
/// let line = |[a, b, c, d]: [f64; 4]| format!("0\nLINE\n10\n{a}\n20\n{b}\n11\n{c}\n21\n{d}\n");
/// let text = format!(
///     "0\nSECTION\n2\nENTITIES\n{}{}{}0\nARC\n10\n100\n20\n50\n40\n50\n50\n-90\n51\n90\n0\nENDSEC\n0\nEOF\n",
///     line([100.0, 100.0, 0.0, 100.0]), line([0.0, 0.0, 0.0, 100.0]), line([0.0, 0.0, 99.98, 0.0]),
/// );
/// let drawn = read(text.as_bytes()).expect("a good file");
/// let joined = join(&drawn.paths.iter().collect::<Vec<_>>(), 0.05);
/// assert_eq!((joined.rings.len(), joined.rings[0].pieces.len()), (1, 4));
/// assert!((joined.widest - 0.02).abs() < 1e-9 && joined.loose.is_empty());
/// // With less of a gap it stays open, and what would do is said.
/// let joined = join(&drawn.paths.iter().collect::<Vec<_>>(), 0.01);
/// assert_eq!((joined.rings.len(), joined.loose.len()), (0, 2));
/// assert!((joined.loose[0].nearest.expect("another") - 0.02).abs() < 1e-9);
/// ```
#[must_use]
pub fn join(paths: &[&DrawnPath], gap: f64) -> Joined {
    let mut joined = Joined::default();
    let kept = distinct(paths, gap, &mut joined);
    let mut rings: Vec<(usize, DrawnPath)> = Vec::new();
    let mut open = Vec::new();
    for number in kept {
        let path = paths[number];
        if path.closed {
            rings.push((number, path.clone()));
        } else {
            open.push(number);
        }
    }
    let ends = Ends::of(paths, &open, gap);
    let path = |end: &usize| paths[open[end / 2]];
    joined.loose.extend(ends.loose.iter().map(|end| LooseEnd {
        at: ends.at[*end],
        id: path(end).id.clone(),
        line: path(end).line,
        nearest: None,
        on: None,
    }));
    for members in &ends.branches {
        let ids: BTreeSet<String> = members
            .iter()
            .filter_map(|end| path(end).id.clone())
            .collect();
        joined.branches.push(Branch {
            at: ends.at[members[0]],
            ids: ids.into_iter().take(MOST_COMPARED).collect(),
            line: path(&members[0]).line,
        });
    }
    tell_nearest(&mut joined.loose);
    tell_touched(&mut joined.loose, paths, gap);
    let mut used = ends.is_dust.clone();
    for first in 0..open.len() {
        if used[first] {
            continue;
        }
        if let Some(course) = ends.circuit(first, &mut used) {
            let ring = closed(paths, &open, &course, &mut joined);
            rings.push((open[first], ring));
        }
    }
    rings.sort_by_key(|(number, _)| *number);
    joined.rings = rings.into_iter().map(|(_, ring)| ring).collect();
    joined
}

/// For some of the loose ends, how far the nearest other is.
fn tell_nearest(loose: &mut [LooseEnd]) {
    let places: Vec<Point> = loose.iter().map(|end| end.at).collect();
    for (number, end) in loose.iter_mut().enumerate().take(MOST_COMPARED) {
        let others = places
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != number);
        end.nearest = others
            .map(|(_, other)| other.distance(end.at))
            .min_by(f64::total_cmp);
    }
}

/// For some of the loose ends, what they end on.
fn tell_touched(loose: &mut [LooseEnd], paths: &[&DrawnPath], gap: f64) {
    for end in loose.iter_mut().take(MOST_COMPARED) {
        let touched = |path: &&DrawnPath| {
            let first = path.pieces[0].start();
            let last = path.pieces[path.pieces.len() - 1].end();
            let is_own = !path.closed && (first == end.at || last == end.at);
            !is_own
                && path
                    .pieces
                    .iter()
                    .any(|piece| distance(piece, end.at) <= gap)
        };
        end.on = paths.iter().position(touched);
    }
}

/// How far a point is from a piece; of a curve, from chords along it.
fn distance(piece: &Piece, at: Point) -> f64 {
    const CHORDS: i32 = 64;
    let chord = |start: Point, end: Point| {
        let way = end - start;
        let share = ((at - start).dot(way) / way.dot(way)).clamp(0.0, 1.0);
        if share.is_nan() {
            start.distance(at)
        } else {
            start.towards(end, share).distance(at)
        }
    };
    match piece {
        Piece::Line { start, end } => chord(*start, *end),
        Piece::Arc(arc) if arc.covers_angle((at - arc.centre).angle()) => {
            (at.distance(arc.centre) - arc.radius).abs()
        }
        Piece::Arc(arc) => arc.start.distance(at).min(arc.end.distance(at)),
        Piece::Curve(curve) => (0..CHORDS)
            .map(|number| {
                let point = |number: i32| curve.point_at(f64::from(number) / f64::from(CHORDS));
                chord(point(number), point(number + 1))
            })
            .fold(f64::INFINITY, f64::min),
    }
}

fn extent(path: &DrawnPath) -> f64 {
    let bounds = bounds(path);
    bounds.width().hypot(bounds.height())
}

/// Points of a path that tell it from others: ends and middles of its pieces.
fn samples(path: &DrawnPath) -> Vec<Point> {
    let middle = |piece: &Piece| match piece {
        Piece::Line { start, end } => start.towards(*end, 0.5),
        Piece::Arc(arc) => arc.centre + (arc.start - arc.centre).turned(arc.sweep / 2.0),
        Piece::Curve(curve) => curve.point_at(0.5),
    };
    path.pieces
        .iter()
        .flat_map(|piece| [piece.start(), middle(piece), piece.end()])
        .collect()
}

/// The box of a path: of its samples, and of the whole of its arcs.
fn bounds(path: &DrawnPath) -> BoundingBox {
    let mut bounds = BoundingBox::of_points(samples(path));
    for piece in &path.pieces {
        if let Piece::Arc(arc) = piece
            && arc.start == arc.end
        {
            let reach = Point::new(arc.radius, arc.radius);
            bounds.include(arc.centre + reach);
            bounds.include(arc.centre - reach);
        }
    }
    bounds
}

/// A number's cell in a grid.
#[allow(
    clippy::cast_possible_truncation,
    reason = "numbers too large for the grid all stand in its last cell"
)]
fn cell(value: f64, size: f64) -> i64 {
    // Far from the ends of the range, so that neighbours can be counted.
    const FAR: f64 = 1e18;
    (value / size).floor().clamp(-FAR, FAR) as i64
}

/// The numbers of the paths that lie on no other that is the same.
fn distinct(paths: &[&DrawnPath], gap: f64, joined: &mut Joined) -> Vec<usize> {
    let size = 2.0 * gap;
    let mut seen: BTreeMap<[i64; 4], Vec<usize>> = BTreeMap::new();
    let mut kept = Vec::new();
    for (number, path) in paths.iter().enumerate() {
        let bounds = bounds(path);
        let edges = [
            bounds.least.x,
            bounds.least.y,
            bounds.greatest.x,
            bounds.greatest.y,
        ];
        // An edge within the gap of another stands in its cell or in the nearer of the two beside it.
        let nearer = edges.map(|edge| {
            let own = cell(edge, size);
            let beside = if edge / size - (edge / size).floor() < 0.5 {
                -1
            } else {
                1
            };
            [own, own + beside]
        });
        let is_known = (0..16).any(|choice: usize| {
            let key = std::array::from_fn(|side| nearer[side][choice >> side & 1]);
            seen.get(&key).is_some_and(|others| {
                let mut near = others.iter().take(MOST_COMPARED);
                near.any(|other| is_same(paths[*other], path, gap))
            })
        });
        if is_known {
            joined.duplicates.push(path.line);
        } else {
            seen.entry(nearer.map(|[own, _]| own))
                .or_default()
                .push(number);
            kept.push(number);
        }
    }
    kept
}

/// Whether two paths run the same way, forwards or backwards, within the gap.
fn is_same(one: &DrawnPath, other: &DrawnPath, gap: f64) -> bool {
    if one.pieces.len() != other.pieces.len() || one.closed != other.closed {
        return false;
    }
    // Small pieces that follow each other are not the same.
    let gap = gap.min(extent(one) / 8.0);
    if let ([Piece::Arc(one)], [Piece::Arc(other)], true) =
        (one.pieces.as_slice(), other.pieces.as_slice(), one.closed)
    {
        return one.centre.distance(other.centre) <= gap
            && (one.radius - other.radius).abs() <= gap;
    }
    let (one, other) = (samples(one), samples(other));
    let near = |(one, other): (&Point, &Point)| one.distance(*other) <= gap;
    one.iter().zip(&other).all(near) || one.iter().zip(other.iter().rev()).all(near)
}

/// The ends of open paths: end 2n begins path n of those that are open, end 2n + 1 ends it.
struct Ends {
    at: Vec<Point>,
    /// The end that each one meets, if it meets just one.
    partners: Vec<Option<usize>>,
    /// Those that meet no other.
    loose: Vec<usize>,
    /// Those of which three or more meet.
    branches: Vec<Vec<usize>>,
    /// Paths no larger than the gap that carry on no other: they are left out.
    is_dust: Vec<bool>,
}

impl Ends {
    fn of(paths: &[&DrawnPath], open: &[usize], gap: f64) -> Self {
        let at: Vec<Point> = open
            .iter()
            .flat_map(|number| {
                let pieces = &paths[*number].pieces;
                [pieces[0].start(), pieces[pieces.len() - 1].end()]
            })
            .collect();
        let mut ends = Self {
            partners: vec![None; at.len()],
            loose: Vec::new(),
            branches: Vec::new(),
            is_dust: vec![false; open.len()],
            at,
        };
        let all: Vec<usize> = (0..ends.at.len()).collect();
        let together = meetings(&ends.at, &all, gap * TOGETHER);
        let mut carries_on = vec![false; open.len()];
        for meeting in &together {
            if let [one, other] = meeting[..]
                && one / 2 != other / 2
            {
                carries_on[one / 2] = true;
                carries_on[other / 2] = true;
            }
        }
        for (path, number) in open.iter().enumerate() {
            ends.is_dust[path] = !carries_on[path] && extent(paths[*number]) <= gap;
        }
        let mut rest = Vec::new();
        for mut meeting in together {
            meeting.retain(|end| !ends.is_dust[end / 2]);
            match meeting.as_slice() {
                [] => {}
                [end] => rest.push(*end),
                _ => ends.meet(meeting),
            }
        }
        for meeting in meetings(&ends.at, &rest, gap) {
            ends.meet(meeting);
        }
        ends.loose.sort_unstable();
        ends.branches.sort_unstable();
        ends
    }

    fn meet(&mut self, meeting: Vec<usize>) {
        match meeting[..] {
            [end] => self.loose.push(end),
            [one, other] => {
                self.partners[one] = Some(other);
                self.partners[other] = Some(one);
            }
            _ => self.branches.push(meeting),
        }
    }

    /// The ends at which each path is entered, all the way round from the beginning of `first`; none where
    /// the way ends. Marks the paths it went along.
    fn circuit(&self, first: usize, used: &mut [bool]) -> Option<Vec<usize>> {
        let mut course = Vec::new();
        let mut entry = 2 * first;
        loop {
            used[entry / 2] = true;
            course.push(entry);
            entry = self.partners[entry ^ 1]?;
            if entry == 2 * first {
                return Some(course);
            }
            if used[entry / 2] {
                return None;
            }
        }
    }
}

/// Sorts ends into those that come within a distance of each other, each set in rising order.
fn meetings(at: &[Point], ends: &[usize], within: f64) -> Vec<Vec<usize>> {
    // In a cell of half the distance all ends are within it of each other.
    let size = within / 2.0;
    let mut cells: BTreeMap<[i64; 2], Vec<usize>> = BTreeMap::new();
    for end in ends {
        let at = at[*end];
        cells
            .entry([cell(at.x, size), cell(at.y, size)])
            .or_default()
            .push(*end);
    }
    let mut sets = Sets((0..at.len()).collect());
    for ([column, row], members) in &cells {
        for pair in members.windows(2) {
            sets.unite(pair[0], pair[1]);
        }
        for (across, up) in NEAR {
            let Some(others) = cells.get(&[column + across, row + up]) else {
                continue;
            };
            for end in members.iter().take(MOST_COMPARED) {
                for other in others.iter().take(MOST_COMPARED) {
                    if at[*end].distance(at[*other]) <= within {
                        sets.unite(*end, *other);
                    }
                }
            }
        }
    }
    let mut found: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for end in ends {
        found.entry(sets.first(*end)).or_default().push(*end);
    }
    let mut found: Vec<Vec<usize>> = found.into_values().collect();
    for meeting in &mut found {
        meeting.sort_unstable();
    }
    found
}

/// Half of the cells within two of a cell; the others have it among theirs.
const NEAR: [(i64, i64); 12] = [
    (1, 0),
    (2, 0),
    (-2, 1),
    (-1, 1),
    (0, 1),
    (1, 1),
    (2, 1),
    (-2, 2),
    (-1, 2),
    (0, 2),
    (1, 2),
    (2, 2),
];

/// Sets that grow together; each goes by its first member.
struct Sets(Vec<usize>);

impl Sets {
    fn first(&mut self, mut one: usize) -> usize {
        while self.0[one] != one {
            self.0[one] = self.0[self.0[one]];
            one = self.0[one];
        }
        one
    }

    fn unite(&mut self, one: usize, other: usize) {
        let (one, other) = (self.first(one), self.first(other));
        self.0[one.max(other)] = one.min(other);
    }
}

/// A ring of the paths entered at these ends, with ends moved to meet.
fn closed(
    paths: &[&DrawnPath],
    open: &[usize],
    course: &[usize],
    joined: &mut Joined,
) -> DrawnPath {
    let mut pieces: Vec<Piece> = Vec::new();
    for entry in course {
        let path = paths[open[entry / 2]];
        let from = pieces.len();
        if entry % 2 == 0 {
            pieces.extend(path.pieces.iter().cloned());
        } else {
            pieces.extend(path.pieces.iter().rev().map(Piece::reversed));
        }
        if from > 0 {
            meet(&mut pieces, from - 1, from, joined);
        }
    }
    let last = pieces.len() - 1;
    meet(&mut pieces, last, 0, joined);
    let first = paths[open[course[0] / 2]];
    DrawnPath {
        id: first.id.clone(),
        layer: first.layer.clone(),
        pieces,
        closed: true,
        line: first.line,
    }
}

/// Moves the end of one piece and the beginning of the next to one point.
fn meet(pieces: &mut Vec<Piece>, one: usize, next: usize, joined: &mut Joined) {
    let (end, start) = (pieces[one].end(), pieces[next].start());
    let apart = end.distance(start);
    if end == start {
        return;
    }
    joined.widest = joined.widest.max(apart);
    joined.moved += 1;
    // Lines give way first; what cannot be moved stays, if the other can.
    let stiffness = |piece: &Piece| match piece {
        piece if one == next || !can_move(piece, apart) => 2,
        Piece::Line { .. } => 0,
        Piece::Arc(_) | Piece::Curve(_) => 1,
    };
    let (own, other) = (stiffness(&pieces[one]), stiffness(&pieces[next]));
    let at = match own.cmp(&other) {
        Ordering::Less => start,
        Ordering::Greater => end,
        Ordering::Equal => end.towards(start, 0.5),
    };
    let moved = own.min(other) < 2;
    if moved {
        let begins = pieces[one].start();
        pieces[one] = with_ends(&pieces[one], begins, at);
        let ends = pieces[next].end();
        pieces[next] = with_ends(&pieces[next], at, ends);
    } else {
        pieces.insert(
            one + 1,
            Piece::Line {
                start: end,
                end: start,
            },
        );
    }
}

/// Whether the ends of a piece can be moved so far and no part of it be moved more than twice as far.
fn can_move(piece: &Piece, by: f64) -> bool {
    let chord = piece.start().distance(piece.end());
    let keeps_place = match piece {
        // What lies across from an arc's ends is moved by as much more as it is farther from them.
        Piece::Arc(arc) => arc.sweep.abs() <= std::f64::consts::PI || arc.radius <= chord,
        Piece::Line { .. } | Piece::Curve(_) => true,
    };
    keeps_place && chord > 4.0 * by
}

fn with_ends(piece: &Piece, start: Point, end: Point) -> Piece {
    if (piece.start(), piece.end()) == (start, end) {
        return piece.clone();
    }
    match piece {
        Piece::Line { .. } => Piece::Line { start, end },
        Piece::Arc(arc) => bulged(start, end, (arc.sweep / 4.0).tan()),
        Piece::Curve(curve) => Piece::Curve(curve.clone().with_ends(start, end)),
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::TAU;

    use super::*;
    use crate::shape::Arc;

    fn path(piece: Piece) -> DrawnPath {
        DrawnPath {
            id: None,
            layer: None,
            pieces: vec![piece],
            closed: false,
            line: 1,
        }
    }

    fn joined(paths: &[DrawnPath], gap: f64) -> Joined {
        join(&paths.iter().collect::<Vec<_>>(), gap)
    }

    #[test]
    fn a_ring_of_lines_shorter_than_the_gap_keeps_them_all() {
        let on = |number: i32| Point::at_angle(TAU * f64::from(number) / 400.0) * 2.0;
        let lines: Vec<DrawnPath> = (0..400)
            .map(|number| {
                path(Piece::Line {
                    start: on(number),
                    end: on(number + 1),
                })
            })
            .collect();
        let joined = joined(&lines, 0.05);
        assert_eq!(joined.rings.len(), 1);
        assert_eq!(joined.rings[0].pieces.len(), 400);
        assert!(joined.duplicates.is_empty() && joined.loose.is_empty());
    }

    #[test]
    fn an_arc_of_nearly_a_whole_turn_stays_where_it_is() {
        // A keyhole, its mouth 10 wide, closed by an arc that misses one side of it by 0.04.
        let half = 0.1_f64.asin();
        let bow = Arc::about(Point::ORIGIN, 50.0, half, TAU - 2.0 * half);
        let mouth = Arc::through(
            bow.end + Point::new(0.04, 0.0),
            Point::new(60.0, 0.0),
            bow.start,
        )
        .expect("three points");
        let joined = joined(&[path(Piece::Arc(bow)), path(Piece::Arc(mouth))], 0.05);
        let pieces = &joined.rings[0].pieces;
        assert_eq!(pieces[0], Piece::Arc(bow));
        assert_eq!(pieces[1].start(), bow.end);
        assert_eq!((pieces.len(), pieces[1].end()), (2, bow.start));
    }
}
