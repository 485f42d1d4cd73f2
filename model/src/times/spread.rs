//! The spread of a sum of times.
//!
//! Terms are independent log-normal times. Their sum is taken as a log-normal time moved by a constant that has the
//! same mean, variance and skewness: exact for one term, and for one term beside times without spread; for other sums an
//! approximation, which a test holds against simulation. Nothing here knows what the times are for.

/// How long work takes as a range.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spread {
    /// Sum of the medians, seconds: what the terms add up to on paper.
    pub planned_s: u64,
    /// Median of the sum, seconds. Long times outweigh short ones, so it lies at or above the planned sum.
    pub median_s: f64,
    /// The time that is enough in four cases of five, seconds.
    pub bound80_s: f64,
}

/// The 0.8 quantile of the standard normal distribution.
const QUANTILE_80: f64 = 0.841_621_233_572_914_3;

/// The spread of a sum of independent log-normal times, each given by its median in seconds (0 or more) and the standard
/// deviation of its logarithm (0 to 1).
pub fn spread(terms: impl Iterator<Item = (f64, f64)>) -> Spread {
    let (mut planned, mut mean, mut variance, mut third) = (0.0, 0.0, 0.0, 0.0);
    for (median, sigma) in terms {
        // With w = exp(σ²): mean m√w, variance m²w(w-1), third central moment m³w^(3/2)(w-1)²(w+2).
        let w = (sigma * sigma).exp();
        let one = median * w.sqrt();
        planned += median;
        mean += one;
        variance += one * one * (w - 1.0);
        third += one * one * one * (w - 1.0) * (w - 1.0) * (w + 2.0);
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // whole seconds, never negative
    let planned_s = planned.round() as u64;
    if variance <= 0.0 {
        return Spread { planned_s, median_s: planned, bound80_s: planned };
    }
    let skewness = third / variance.powf(1.5);
    // (w-1)(w+2)² = skewness²; with w = x-1 a cubic whose real root is a hyperbolic cosine.
    let w = 2.0 * ((1.0 + skewness * skewness / 2.0).acosh() / 3.0).cosh() - 1.0;
    // Nearly symmetric: the log-normal curve is then the normal one, and w - 1 would lose its digits.
    if w - 1.0 < 1e-9 {
        return Spread { planned_s, median_s: mean, bound80_s: mean + QUANTILE_80 * variance.sqrt() };
    }
    let median = (variance / (w * (w - 1.0))).sqrt();
    let moved = mean - median * w.sqrt();
    let at = |quantile: f64| moved + median * (w.ln().sqrt() * quantile).exp();
    Spread { planned_s, median_s: at(0.0), bound80_s: at(QUANTILE_80) }
}
