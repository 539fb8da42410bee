//! Integrals of smooth functions, by Gauss and Legendre's rule: at sixteen places it is exact for polynomials up to
//! degree 31, and where that does not do, the stretch is halved.

/// Places (from the middle, in half stretches) and weights of the rule of sixteen places, one of each pair that
/// lies alike about the middle. From numpy 2.4.6, `numpy.polynomial.legendre.leggauss(16)`.
const RULE: [[f64; 2]; 8] = [
    [0.09501250983763744, 0.18945061045506864],
    [0.2816035507792589, 0.18260341504492364],
    [0.45801677765722737, 0.16915651939500265],
    [0.6178762444026438, 0.1495959888165767],
    [0.755404408355003, 0.12462897125553407],
    [0.8656312023878318, 0.0951585116824926],
    [0.9445750230732326, 0.062253523938647456],
    [0.9894009349916499, 0.027152459411754176],
];

/// Halves that agree with the whole to this, by size, need no halving.
const AGREE: f64 = 1e-13;
/// A stretch is halved this often at most.
const DEEPEST: u32 = 24;

/// The integral of `function` from one number to another, by one application of the rule.
pub(super) fn once(from: f64, to: f64, function: impl Fn(f64) -> f64) -> f64 {
    let (middle, half) = (f64::midpoint(from, to), (to - from) / 2.0);
    let sum = RULE.iter().fold(0.0, |sum, [place, weight]| {
        sum + weight * (function(middle - half * place) + function(middle + half * place))
    });
    half * sum
}

/// The integral of `function` from one number to another, to a relative 1e-13 of its size.
pub(super) fn adaptive(from: f64, to: f64, function: &impl Fn(f64) -> f64) -> f64 {
    let whole = once(from, to, function);
    let size = once(from, to, |at| function(at).abs()).abs();
    halved(from, to, whole, AGREE * size, 0, function)
}

fn halved(
    from: f64,
    to: f64,
    whole: f64,
    slack: f64,
    depth: u32,
    function: &impl Fn(f64) -> f64,
) -> f64 {
    let middle = f64::midpoint(from, to);
    let halves = [once(from, middle, function), once(middle, to, function)];
    let sum = halves[0] + halves[1];
    let apart = (sum - whole).abs();
    if apart <= slack || apart.is_nan() || depth >= DEEPEST {
        return sum;
    }
    halved(from, middle, halves[0], slack, depth + 1, function)
        + halved(middle, to, halves[1], slack, depth + 1, function)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn polynomials_up_to_degree_31_are_exact() {
        for degree in 0..=31 {
            let found = once(0.0, 1.0, |x: f64| x.powi(degree));
            assert!((found * f64::from(degree + 1) - 1.0).abs() < 1e-14);
        }
    }

    #[test]
    fn a_kink_is_closed_in_on() {
        // ∫ |x - 1/3| from 0 to 1 is 1/18 + 2/9.
        let found = adaptive(0.0, 1.0, &|x: f64| (x - 1.0 / 3.0).abs());
        assert!((found - 5.0 / 18.0).abs() < 1e-12);
    }
}
