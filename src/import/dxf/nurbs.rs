//! NURBS as rational Bezier curves, exactly. Comes in: degree, knots, control points and weights as a file gives
//! them. Goes out: one Bezier curve for each span of knots that is not empty, each sharing its ends with the
//! next, or what is wrong with the knots.
//!
//! A span's control points are the values of its polar form (its blossom) at the span's ends; that is what inserting
//! both knots up to full multiplicity arrives at, whether or not the curve is clamped. After L. Ramshaw, "Blossoms
//! are polar forms" (1989), and G. Farin, "Curves and Surfaces for CAGD", chapter 10; from memory.

use crate::shape::{Bezier, Point};

/// No program draws with a higher degree.
pub(super) const MOST_DEGREE: usize = 24;

/// A curve as a file gives it.
#[derive(Debug, Clone)]
pub(super) struct Nurbs {
    pub degree: usize,
    pub knots: Vec<f64>,
    pub points: Vec<Point>,
    /// As many as points.
    pub weights: Vec<f64>,
}

/// What is wrong with a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Wrong {
    /// Its degree is zero, or too high.
    Degree,
    /// It has fewer control points than its degree needs.
    FewPoints,
    /// It should have this many knots.
    KnotCount(usize),
    /// This knot is less than the one before.
    Decreasing(usize),
    /// This knot stands so often that the curve falls apart there.
    Multiplicity(usize),
    /// From the first to the last knot that counts there is no way.
    Empty,
    /// This weight is not positive.
    Weight(usize),
    /// It has this many weights.
    WeightCount,
    /// Its numbers are too far apart to compute with.
    Range,
}

/// A control point times its weight, and the weight.
#[derive(Debug, Clone, Copy)]
struct Homogeneous {
    at: Point,
    weight: f64,
}

impl Nurbs {
    /// What keeps it from being a curve.
    fn check(&self) -> Result<(), Wrong> {
        let (degree, count) = (self.degree, self.points.len());
        if !(1..=MOST_DEGREE).contains(&degree) {
            return Err(Wrong::Degree);
        }
        if count <= degree {
            return Err(Wrong::FewPoints);
        }
        if self.knots.len() != count + degree + 1 {
            return Err(Wrong::KnotCount(count + degree + 1));
        }
        if self.weights.len() != count {
            return Err(Wrong::WeightCount);
        }
        let is_positive = |weight: &f64| *weight > 0.0;
        if let Some(at) = self.weights.iter().position(|weight| !is_positive(weight)) {
            return Err(Wrong::Weight(at));
        }
        let falls = |pair: &[f64]| pair[1] < pair[0];
        if let Some(before) = self.knots.windows(2).position(falls) {
            return Err(Wrong::Decreasing(before + 1));
        }
        let (from, to) = (self.knots[degree], self.knots[count]);
        if from >= to {
            return Err(Wrong::Empty);
        }
        // At an end a knot stands once more than the degree at most.
        let beyond = |group: &[f64]| group[0] == group[degree + 1];
        if let Some(at) = self.knots.windows(degree + 2).position(beyond) {
            return Err(Wrong::Multiplicity(at));
        }
        // Inside, a knot as often as the degree is a corner; once more, and the curve falls apart.
        let together =
            |group: &[f64]| group[0] == group[degree] && group[0] > from && group[0] < to;
        if let Some(at) = self.knots.windows(degree + 1).position(together) {
            return Err(Wrong::Multiplicity(at));
        }
        Ok(())
    }

    /// Its spans as Bezier curves; those that are one point are left out.
    pub(super) fn beziers(&self) -> Result<Vec<Bezier>, Wrong> {
        self.check()?;
        let degree = self.degree;
        let mut found = Vec::new();
        let mut last: Option<Homogeneous> = None;
        for span in degree..self.points.len() {
            if self.knots[span] == self.knots[span + 1] {
                continue;
            }
            let mut controls: Vec<Homogeneous> =
                (0..=degree).map(|ends| self.blossom(span, ends)).collect();
            // Where spans meet both give the same point but for rounding.
            if let Some(last) = last {
                controls[0] = last;
            }
            last = controls.last().copied();
            let points: Vec<Point> = controls
                .iter()
                .map(|control| control.at * (1.0 / control.weight))
                .collect();
            if points.iter().all(|point| *point == points[0]) {
                continue;
            }
            let weights: Vec<f64> = controls.iter().map(|control| control.weight).collect();
            let is_plain = weights.iter().all(|weight| *weight == weights[0]);
            let curve = if is_plain {
                Bezier::new(&points)
            } else {
                Bezier::rational(&points, &weights)
            };
            found.push(curve.ok_or(Wrong::Range)?);
        }
        Ok(found)
    }

    /// The polar form of a span, with its end as argument `ends` times and its beginning for the rest.
    fn blossom(&self, span: usize, ends: usize) -> Homogeneous {
        let degree = self.degree;
        let mut row: Vec<Homogeneous> = (span - degree..=span)
            .map(|index| Homogeneous {
                at: self.points[index] * self.weights[index],
                weight: self.weights[index],
            })
            .collect();
        for round in 1..=degree {
            let argument = self.knots[if round <= ends { span + 1 } else { span }];
            for index in (round..=degree).rev() {
                let first = span - degree + index;
                let (low, high) = (self.knots[first], self.knots[first + degree + 1 - round]);
                let share = (argument - low) / (high - low);
                let (one, other) = (row[index - 1], row[index]);
                row[index] = Homogeneous {
                    at: one.at * (1.0 - share) + other.at * share,
                    weight: one.weight * (1.0 - share) + other.weight * share,
                };
            }
        }
        row[degree]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The value by the recursion of Cox and de Boor, term by term.
    fn value(curve: &Nurbs, at: f64) -> Point {
        fn basis(knots: &[f64], index: usize, degree: usize, at: f64) -> f64 {
            if degree == 0 {
                return f64::from(knots[index] <= at && at < knots[index + 1]);
            }
            let part = |from: f64, to: f64, number: f64| {
                if to > from { number / (to - from) } else { 0.0 }
            };
            let (low, high) = (knots[index], knots[index + degree]);
            let (next, end) = (knots[index + 1], knots[index + degree + 1]);
            part(low, high, at - low) * basis(knots, index, degree - 1, at)
                + part(next, end, end - at) * basis(knots, index + 1, degree - 1, at)
        }
        let mut sum = Point::ORIGIN;
        let mut weights = 0.0;
        for (index, (point, weight)) in curve.points.iter().zip(&curve.weights).enumerate() {
            let share = basis(&curve.knots, index, curve.degree, at) * weight;
            sum = sum + *point * share;
            weights += share;
        }
        sum * (1.0 / weights)
    }

    fn points(list: &[[f64; 2]]) -> Vec<Point> {
        list.iter().map(|[x, y]| Point::new(*x, *y)).collect()
    }

    /// The circle as nine control points of degree two, as textbooks have it.
    fn circle(radius: f64) -> Nurbs {
        let r = radius;
        let w = std::f64::consts::FRAC_1_SQRT_2;
        Nurbs {
            degree: 2,
            knots: vec![0., 0., 0., 1., 1., 2., 2., 3., 3., 4., 4., 4.],
            points: points(&[
                [r, 0.],
                [r, r],
                [0., r],
                [-r, r],
                [-r, 0.],
                [-r, -r],
                [0., -r],
                [r, -r],
                [r, 0.],
            ]),
            weights: vec![1., w, 1., w, 1., w, 1., w, 1.],
        }
    }

    #[test]
    fn a_circle_of_nine_points_is_round_to_the_last_digits() {
        let quarters = circle(250.0).beziers().expect("a good curve");
        assert_eq!(quarters.len(), 4);
        for quarter in &quarters {
            for i in 0..=64 {
                let point = quarter.point_at(f64::from(i) / 64.0);
                assert!((point.length() - 250.0).abs() < 1e-12 * 250.0, "{point:?}");
            }
        }
    }

    #[test]
    fn an_unclamped_rational_curve_is_what_the_basis_functions_make_of_it() {
        let curve = Nurbs {
            degree: 3,
            knots: vec![-2., -1.5, -0.2, 0., 0.7, 1., 1., 2.5, 3., 4., 4.5],
            points: points(&[
                [0., 0.],
                [100., 200.],
                [300., 250.],
                [420., 30.],
                [500., -80.],
                [640., 90.],
                [800., 0.],
            ]),
            weights: vec![1., 0.4, 2.5, 1., 0.8, 3., 1.],
        };
        let pieces = curve.beziers().expect("a good curve");
        let spans = [[0., 0.7], [0.7, 1.], [1., 2.5]];
        assert_eq!(pieces.len(), spans.len());
        for (piece, [from, to]) in pieces.iter().zip(spans) {
            for i in 0..32 {
                let share = f64::from(i) / 32.0;
                let true_point = value(&curve, from + (to - from) * share);
                let apart = piece.point_at(share).distance(true_point);
                assert!(apart < 1e-10, "{apart}");
            }
        }
        for pair in pieces.windows(2) {
            assert_eq!(pair[0].end(), pair[1].start());
        }
    }

    #[test]
    fn what_is_wrong_with_knots_and_weights_is_told() {
        let with = |change: &dyn Fn(&mut Nurbs)| {
            let mut curve = circle(10.0);
            change(&mut curve);
            curve.beziers().expect_err("wrong")
        };
        assert_eq!(with(&|c| c.knots[4] = 0.5), Wrong::Decreasing(4));
        assert_eq!(
            with(&|c| {
                c.knots.pop();
            }),
            Wrong::KnotCount(12)
        );
        assert_eq!(with(&|c| c.knots[5] = 1.0), Wrong::Multiplicity(3));
        assert_eq!(with(&|c| c.weights[1] = 0.0), Wrong::Weight(1));
        assert_eq!(with(&|c| c.degree = 0), Wrong::Degree);
        assert_eq!(with(&|c| c.knots.fill(1.0)), Wrong::Empty);
        assert_eq!(with(&|c| c.points.truncate(2)), Wrong::FewPoints);
    }
}
