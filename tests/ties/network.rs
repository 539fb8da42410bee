//! Networks built in code.

use spile::adjust::{Distance, Fix, Found, Hint, Known, Mark, Network, adjust};
use spile::shape::Point;

/// Noise that is the same on every machine: Vigna's splitmix64, two uniform numbers to a normal one by Box and Muller.
pub(crate) struct Noise(pub(crate) u64);

impl Noise {
    pub(crate) fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(crate) fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.uniform()).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.uniform()).cos()
    }

    pub(crate) fn below(&mut self, count: usize) -> usize {
        ((self.uniform() * count as f64) as usize).min(count - 1)
    }
}

pub(crate) const fn at(x: f64, y: f64) -> Mark {
    Mark {
        known: Known::At(Point::new(x, y)),
        hint: None,
    }
}

pub(crate) const ON_AXIS: Mark = Mark {
    known: Known::OnAxis,
    hint: None,
};

pub(crate) const FREE: Mark = Mark {
    known: Known::Free,
    hint: None,
};

pub(crate) const fn hinted(hint: Hint) -> Mark {
    Mark {
        known: Known::Free,
        hint: Some(hint),
    }
}

pub(crate) const fn tie(from: usize, to: usize, length: f64) -> Distance {
    Distance {
        from,
        to,
        length,
        deviation: 3.0,
    }
}

/// A network whose ties are exact for some true places.
pub(crate) fn exact(marks: &[Mark], truth: &[(f64, f64)], ties: &[(usize, usize)]) -> Network {
    let distance = |a: usize, b: usize| (truth[a].0 - truth[b].0).hypot(truth[a].1 - truth[b].1);
    Network {
        marks: marks.to_vec(),
        distances: ties
            .iter()
            .map(|(a, b)| tie(*a, *b, distance(*a, *b)))
            .collect(),
    }
}

/// What was found of a point that is no given one.
pub(crate) fn found(network: &Network, point: usize) -> Found {
    match &adjust(network).fixes[point] {
        Fix::Found(found) => found.clone(),
        other => panic!("point {point}: {other:?}"),
    }
}

pub(crate) fn is_near(a: Point, b: (f64, f64), within: f64) -> bool {
    a.distance(Point::new(b.0, b.1)) <= within
}
