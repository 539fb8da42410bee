//! Distances between points that catch a slip. Comes in: the points in the order they are marked. Goes out: so many
//! distances that every point is held by two which cross well, so that it cannot be off either way unnoticed.

use crate::shape::Point;
use crate::units::Length;

use super::ground::Ground;
use super::{FieldOut, tape};

/// Two checks of a point that cross at this angle, degrees, hold it well.
const WELL: f64 = 36.0;
/// At less than this they do not hold it.
const BADLY: f64 = 30.0;
/// Nearer points than this are no check on each other, millimetres.
const NEAR: f64 = 60.0;
/// A point is given so many checks of its own at most.
const MOST: usize = 3;

/// A distance between two points, measured when both are marked.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// The point that is marked later.
    pub from: String,
    /// The other.
    pub to: String,
    /// As the tape shows it: on the deck where it has camber or sheer.
    pub distance: Length,
}

/// How far a check may differ from what is printed when nobody slipped: both points off by their rounding, and the tape read
/// three times to a step.
pub(super) fn tolerance(rounding: f64, ground: &Ground<'_>) -> Length {
    let step = tape::step(ground.units).to_mm();
    Length::mm(((2.0 * rounding + 3.0 * step) / step).ceil() * step)
}

/// Gives every field its checks, of the points on bare deck; returns the names of those that are not held both ways.
pub(super) fn check(fields: &mut [FieldOut], ground: &Ground<'_>) -> Vec<String> {
    let points: Vec<(usize, String, Point)> = fields
        .iter()
        .enumerate()
        .flat_map(|(number, field)| {
            let name = move |point: &super::PointOut| (number, point.name.clone(), point.at);
            // Nobody measures to a centre that cannot be marked.
            field.points.iter().filter(|point| point.is_bare).map(name)
        })
        .collect();
    let mut partners: Vec<Vec<usize>> = vec![Vec::new(); points.len()];
    let mut loose = Vec::new();
    for index in 0..points.len() {
        let mut given = 0;
        while held(index, &partners[index], &points, ground) < WELL.to_radians().sin()
            && given < MOST
        {
            let Some(partner) = best(index, &partners, &points, ground) else {
                break;
            };
            partners[index].push(partner);
            partners[partner].push(index);
            given += 1;
            let (later, earlier) = (index.max(partner), index.min(partner));
            let (field, from, at) = &points[later];
            let (_, to, other) = &points[earlier];
            fields[*field].checks.push(Check {
                from: from.clone(),
                to: to.clone(),
                distance: ground.taped(*at, *other),
            });
        }
        if held(index, &partners[index], &points, ground) < BADLY.to_radians().sin() {
            loose.push(index);
        }
    }
    // Later points may have come to hold earlier ones.
    loose.retain(|index| {
        held(*index, &partners[*index], &points, ground) < BADLY.to_radians().sin()
    });
    let order = |name: &str| points.iter().position(|(_, one, _)| one == name);
    for field in fields.iter_mut() {
        field.checks.sort_by_key(|check| order(&check.from));
    }
    loose
        .into_iter()
        .map(|index| points[index].1.clone())
        .collect()
}

/// The sine of the best crossing of two of a point's checks.
fn held(
    index: usize,
    partners: &[usize],
    points: &[(usize, String, Point)],
    ground: &Ground<'_>,
) -> f64 {
    let at = points[index].2;
    let mut best = 0.0_f64;
    for (number, one) in partners.iter().enumerate() {
        for other in &partners[..number] {
            let from = [points[*one].2, points[*other].2];
            best = best.max(ground.crossing(at, from)[0]);
        }
    }
    best
}

/// The point whose distance adds most: across what there is, of the same field, still wanting checks itself, far off.
fn best(
    index: usize,
    partners: &[Vec<usize>],
    points: &[(usize, String, Point)],
    ground: &Ground<'_>,
) -> Option<usize> {
    let (field, _, at) = &points[index];
    let most = WELL.to_radians().sin();
    let far = points
        .iter()
        .filter(|one| one.0 == *field)
        .map(|one| one.2.distance(*at))
        .fold(NEAR, f64::max);
    let mut best: Option<(f64, usize)> = None;
    for (number, (of, _, place)) in points.iter().enumerate() {
        let away = place.distance(*at);
        if number == index || away < NEAR || partners[index].contains(&number) {
            continue;
        }
        let mut tried = partners[index].clone();
        tried.push(number);
        let crossing = if tried.len() == 1 {
            most
        } else {
            held(index, &tried, points, ground).min(most)
        };
        let score = 10.0 * crossing
            + if of == field { 0.5 } else { 0.0 }
            + if partners[number].len() < 2 { 0.6 } else { 0.0 }
            + 0.2 * (away / far).min(1.0);
        if best.is_none_or(|(score_before, _)| score > score_before + 1e-9) {
            best = Some((score, number));
        }
    }
    best.map(|(_, number)| number)
}
