//! The mean of a function between two slopes, without loss of digits where they are nearly one.

/// Nodes and weights of Gauss and Legendre's rule of five points on (-1, 1).
const GAUSS: [(f64, f64); 5] = [
    (-0.906_179_845_938_664, 0.236_926_885_056_189_1),
    (-0.538_469_310_105_683, 0.478_628_670_499_366_5),
    (0.0, 0.568_888_888_888_888_9),
    (0.538_469_310_105_683, 0.478_628_670_499_366_5),
    (0.906_179_845_938_664, 0.236_926_885_056_189_1),
];

/// Up to this share of √(1 + t²) the rule of five points is exact to the last digit, and the difference of the
/// closed form's two values is not.
pub(super) const NARROW: f64 = 0.05;

/// The mean of `f` between two slopes; `integral` is its antiderivative.
pub(super) fn mean(
    [t0, t1]: [f64; 2],
    f: impl Fn(f64) -> f64,
    integral: impl Fn(f64) -> f64,
) -> f64 {
    if (t1 - t0).abs() > NARROW * t0.hypot(1.0) {
        return (integral(t1) - integral(t0)) / (t1 - t0);
    }
    let (middle, half) = (f64::midpoint(t0, t1), (t1 - t0) / 2.0);
    GAUSS.iter().map(|(node, weight)| weight / 2.0 * f(middle + half * node)).sum()
}
