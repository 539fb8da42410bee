//! Strips to regions: bands across the deck, bands fore and aft, bands along a line.

use super::StripShape;
use super::findings::Findings;
use super::standing::{Ground, Standing, is_its_own_image, standing};
use crate::layout::{Fault, Strip};
use crate::shape::{Point, Region, Ring, TOUCH};

/// How far bands reach beyond the deck on every side, millimetres, so that its edge cuts them clean.
const BEYOND: f64 = 1000.0;

/// The bands of one entry, each by itself.
pub(super) fn bands(
    strip: &Strip,
    deck: &Ground<'_>,
    findings: &mut Findings<'_>,
) -> Vec<StripShape> {
    if !findings.is_size(strip.width, "width", strip.place) {
        return Vec::new();
    }
    let half = strip.width.to_mm() / 2.0;
    let reach = deck.ring.bounding_box().grown(BEYOND);
    let mut made: Vec<StripShape> = Vec::new();
    for station in &strip.across_at {
        let x = station.to_mm();
        let (port, starboard) = (
            Point::new(x, reach.least.y),
            Point::new(x, reach.greatest.y),
        );
        let (aft, fore) = (Point::new(half, 0.0), Point::new(-half, 0.0));
        let band = [port + aft, starboard + aft, starboard + fore, port + fore];
        add(
            strip,
            &[port, starboard],
            Ring::polygon(&band),
            deck,
            &mut made,
            findings,
        );
    }
    for distance in &strip.along_at {
        let y = distance.to_mm();
        let mut sides = vec![y];
        if strip.both_sides && y != 0.0 {
            sides.push(-y);
        }
        for y in sides {
            let (fore, aft) = (
                Point::new(reach.least.x, y),
                Point::new(reach.greatest.x, y),
            );
            let out = Point::new(0.0, half);
            let band = [fore - out, aft - out, aft + out, fore + out];
            add(
                strip,
                &[fore, aft],
                Ring::polygon(&band),
                deck,
                &mut made,
                findings,
            );
        }
    }
    if !strip.path.is_empty()
        && let Some((middle, band)) = along_path(strip, half, findings)
    {
        let image = (strip.both_sides && !is_its_own_image(&band)).then(|| band.mirrored());
        add(strip, &middle, band, deck, &mut made, findings);
        if let Some(image) = image {
            let middle: Vec<Point> = middle.iter().map(|point| point.mirrored()).collect();
            add(strip, &middle, image, deck, &mut made, findings);
        }
    }
    made
}

fn add(
    strip: &Strip,
    middle: &[Point],
    band: Ring,
    deck: &Ground<'_>,
    made: &mut Vec<StripShape>,
    findings: &mut Findings<'_>,
) {
    if !middle
        .iter()
        .all(|point| findings.is_sane(*point, strip.place))
    {
        return;
    }
    // The same band twice, say by a distance and its mirror image, is one.
    if made.iter().any(|known| known.middle == middle) {
        return;
    }
    if standing(&band, deck) == Standing::Outside {
        findings.fault(Fault::new(
            strip.place,
            format!(
                "the strip {} lies wholly outside the deck",
                if middle.len() == 2 && middle[0].x == middle[1].x {
                    format!("at station {}", findings.spoken(middle[0].x))
                } else if middle.len() == 2 && middle[0].y == middle[1].y {
                    format!("{} from the centreline", findings.spoken(middle[0].y.abs()))
                } else {
                    format!("that starts at {}", findings.whereabouts(middle[0]))
                }
            ),
            "this strip",
        ));
        return;
    }
    made.push(StripShape {
        width: strip.width,
        middle: middle.to_vec(),
        region: Region::inside(band),
        place: strip.place,
    });
}

/// A band along a line of points: square ends, mitred joins. A bend of more than a right angle has its
/// mitre cut off square, no nearer than half the width, so that nothing within half the width of the
/// line is left out.
fn along_path(strip: &Strip, half: f64, findings: &mut Findings<'_>) -> Option<(Vec<Point>, Ring)> {
    let mut path: Vec<Point> = Vec::new();
    for position in &strip.path {
        let point = findings.position(position, strip.place)?;
        if path
            .last()
            .is_some_and(|last| last.distance(point) <= TOUCH)
        {
            let message = format!(
                "a strip's path repeats the point at {}",
                findings.whereabouts(point)
            );
            findings.warn("repeated-point", message, strip.place, point);
            continue;
        }
        path.push(point);
    }
    if path.len() < 2 {
        findings.fault(Fault::new(
            strip.place,
            "a strip along a line needs two different points at least",
            "`path` in this strip",
        ));
        return None;
    }
    let along: Vec<Point> = path
        .windows(2)
        .map(|leg| (leg[1] - leg[0]).unit())
        .collect();
    let last = path.len() - 1;
    let mut right = vec![path[0] - along[0].left() * half];
    let mut left = vec![path[0] + along[0].left() * half];
    let mut taken = vec![0.0; path.len()];
    for i in 1..last {
        let (from, to) = (along[i - 1], along[i]);
        let turn = from.cross(to).atan2(from.dot(to));
        taken[i] = half * (turn.abs() / 2.0).tan();
        let mitre = (from.left() + to.left()) * (half / (1.0 + from.dot(to)));
        let (inner, outer, sign) = if turn > 0.0 {
            (&mut left, &mut right, 1.0)
        } else {
            (&mut right, &mut left, -1.0)
        };
        inner.push(path[i] + mitre * sign);
        if turn.abs() <= std::f64::consts::FRAC_PI_2 + 1e-9 {
            outer.push(path[i] - mitre * sign);
        } else {
            let on = half * (turn.abs() / 4.0).tan();
            outer.push(path[i] - from.left() * (half * sign) + from * on);
            outer.push(path[i] - to.left() * (half * sign) - to * on);
        }
    }
    right.push(path[last] - along[last - 1].left() * half);
    left.push(path[last] + along[last - 1].left() * half);
    let too_short = (0..last).find(|i| {
        let left = path[*i].distance(path[i + 1]) - taken[*i] - taken[i + 1];
        left <= 0.0 || left.is_nan()
    });
    let band = Ring::polygon(
        &right
            .into_iter()
            .chain(left.into_iter().rev())
            .collect::<Vec<_>>(),
    );
    let bad = too_short
        .map(|i| path[i + 1].towards(path[i], 0.5))
        .or_else(|| band.self_crossing().map(|crossing| crossing.at));
    if let Some(at) = bad {
        findings.fault(
            Fault::new(
                strip.place,
                format!(
                    "this strip's path bends too sharply for its width near {}",
                    findings.whereabouts(at)
                ),
                format!(
                    "the band of {} would lie over itself",
                    findings.spoken(2.0 * half)
                ),
            )
            .with_help("write it as several strips, or with fewer and longer legs"),
        );
        return None;
    }
    Some((path, band))
}
