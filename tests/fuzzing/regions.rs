//! Unions, differences and intersections hold what sets hold.

use spile::shape::Region;

use super::Verdict;
use super::decode::{Bytes, described};
use super::sound::{is_clear, probes, sound};

/// The two regions.
pub(crate) fn describe(bytes: &[u8]) -> String {
    let mut bytes = Bytes::new(bytes);
    described("A", &bytes.region()) + &described("B", &bytes.region())
}

/// Two regions from the bytes, and all that must hold of them.
pub(crate) fn judge(bytes: &[u8]) -> Verdict {
    let mut bytes = Bytes::new(bytes);
    let (a, b) = (bytes.region(), bytes.region());
    let both = a.intersection(&[&b]);
    let either = a.union(&[&b]);
    let only_a = a.difference(&[&b]);
    for (what, region) in [
        ("A", &a),
        ("B", &b),
        ("A and B", &both),
        ("A or B", &either),
        ("A less B", &only_a),
    ] {
        sound(what, region, 1e-6)?;
    }
    // What is thinner than a few millionths of a millimetre may be lost along every boundary.
    let slack = 1e-9 * (a.area() + b.area()) + 5e-6 * (a.perimeter() + b.perimeter());
    let equal = |what: &str, one: f64, other: f64| {
        if (one - other).abs() <= slack {
            Ok(())
        } else {
            Err(format!("{what}: {one} and {other}"))
        }
    };
    let nothing = |what: &str, region: &Region| equal(what, region.area(), 0.0);
    equal(
        "(A or B) + (A and B) = A + B",
        either.area() + both.area(),
        a.area() + b.area(),
    )?;
    equal(
        "A less B = A - (A and B)",
        only_a.area(),
        a.area() - both.area(),
    )?;
    nothing("(A less B) and B", &only_a.intersection(&[&b]))?;
    equal(
        "(A less B) or (A and B) = A",
        only_a.union(&[&both]).area(),
        a.area(),
    )?;
    equal("A or A = A", a.union(&[&a]).area(), a.area())?;
    equal("A and A = A", a.intersection(&[&a]).area(), a.area())?;
    nothing("A less A", &a.difference(&[&a]))?;
    equal(
        "(A or B) or B = A or B",
        either.union(&[&b]).area(),
        either.area(),
    )?;
    equal(
        "(A or B) and A = A",
        either.intersection(&[&a]).area(),
        a.area(),
    )?;
    equal(
        "B and A = A and B",
        b.intersection(&[&a]).area(),
        both.area(),
    )?;
    for point in probes(&[&a, &b, &only_a], 1) {
        if !is_clear(point, &[&a, &b]) {
            continue;
        }
        let (in_a, in_b) = (a.contains(point), b.contains(point));
        for (what, region, wanted) in [
            ("A or B", &either, in_a || in_b),
            ("A and B", &both, in_a && in_b),
            ("A less B", &only_a, in_a && !in_b),
        ] {
            if region.contains(point) != wanted {
                let is = if wanted { "is missing from" } else { "is in" };
                return Err(format!("({}, {}) {is} {what}", point.x, point.y));
            }
        }
    }
    Ok(())
}
