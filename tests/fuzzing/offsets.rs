//! Shrinking and growing hold what distances hold.

use spile::shape::Region;
use spile::units::Length;

use super::Verdict;
use super::decode::{Bytes, described};
use super::sound::{is_clear, probes, sound};

/// The region and the distances.
pub(crate) fn describe(bytes: &[u8]) -> String {
    let mut bytes = Bytes::new(bytes);
    let (d, e) = (bytes.length(0, 12).max(0.0), bytes.length(0, 6).max(0.0));
    format!("d {d}, e {e}\n{}", described("A", &bytes.region()))
}

/// A region and two distances from the bytes, and all that must hold of them.
pub(crate) fn judge(bytes: &[u8]) -> Verdict {
    let mut bytes = Bytes::new(bytes);
    let (d, e) = (bytes.length(0, 12).max(0.0), bytes.length(0, 6).max(0.0));
    let a = bytes.region();
    if a.is_empty() {
        return Ok(());
    }
    let mm = Length::mm;
    let (shrunk, grown) = (a.eroded(mm(d)), a.dilated(mm(d)));
    let (further, wider) = (a.eroded(mm(d + e)), a.dilated(mm(d + e)));
    let (twice, again) = (shrunk.eroded(mm(e)), grown.dilated(mm(e)));
    let (opened, closed) = (shrunk.dilated(mm(d)), grown.eroded(mm(d)));
    for (what, region) in [
        ("A", &a),
        ("A shrunk", &shrunk),
        ("A grown", &grown),
        ("A shrunk further", &further),
        ("A shrunk twice", &twice),
        ("A grown twice", &again),
        ("A opened", &opened),
        ("A closed", &closed),
    ] {
        sound(what, region, 1e-6)?;
    }
    for (what, region, distance) in [
        ("shrunk", &shrunk, d),
        ("grown", &grown, d),
        ("shrunk further", &further, d + e),
        ("grown wider", &wider, d + e),
    ] {
        if distance > 0.0
            && let Some(nearest) = region.nearest_boundary(&a)
            && nearest.distance.to_mm() < distance - 1e-6
        {
            let (found, at) = (nearest.distance.to_mm(), nearest.here);
            return Err(format!(
                "clearance {found} of A {what} by {distance} at ({}, {})",
                at.x, at.y
            ));
        }
    }
    let slack = 1e-9 * wider.area() + 5e-6 * (a.perimeter() + wider.perimeter());
    let equal = |what: &str, one: f64, other: f64| {
        if (one - other).abs() <= slack {
            Ok(())
        } else {
            Err(format!("{what}: {one} and {other}"))
        }
    };
    let holds = |what: &str, outer: &Region, inner: &Region| {
        equal(what, inner.difference(&[outer]).area(), 0.0)
    };
    equal(
        "shrunk twice = shrunk by both",
        twice.area(),
        further.area(),
    )?;
    equal("grown twice = grown by both", again.area(), wider.area())?;
    holds("shrunk in A", &a, &shrunk)?;
    holds("A in grown", &grown, &a)?;
    holds("shrunk further in shrunk", &shrunk, &further)?;
    holds("grown in grown wider", &wider, &grown)?;
    holds("opened in A", &a, &opened)?;
    holds("A in closed", &closed, &a)?;
    // A hair less, so that a piece exactly as wide as the disc is no matter of rounding.
    let opened_again = opened.opened(mm((d - 1e-4).max(0.0)));
    equal("opened twice", opened_again.area(), opened.area())?;
    for point in probes(&[&a, &shrunk, &grown, &opened], 2) {
        let away = a.boundary_distance(point).to_mm();
        if !is_clear(point, &[&a]) || (away - d).abs() < 2e-5 {
            continue;
        }
        let inside = a.contains(point);
        for (what, region, wanted) in [
            ("shrunk", &shrunk, inside && away > d),
            ("grown", &grown, inside || away < d),
        ] {
            if region.contains(point) != wanted {
                let is = if wanted { "is missing from" } else { "is in" };
                return Err(format!(
                    "({}, {}), {away} from the boundary, {is} A {what} by {d}",
                    point.x, point.y
                ));
            }
        }
    }
    Ok(())
}
