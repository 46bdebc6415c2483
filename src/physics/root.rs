//! The root of a function between two values where its sign differs.
//!
//! Every root this engine looks for is that of a continuous, increasing function in a
//! bracket that is known beforehand, so a method that never leaves the bracket always
//! arrives. Steps are by inverse quadratic interpolation through the last three points
//! where these are well placed, and halve the bracket otherwise.
//!
//! Source of the criterion that chooses between the two: T. R. Chandrupatla, "A new
//! hybrid quadratic/bisection algorithm for finding the zero of a nonlinear function
//! without using derivatives", Advances in Engineering Software 28 (1997) 145–149,
//! from memory; the roots themselves are held against scipy.

/// The most steps that are taken. Halving alone brings any bracket of doubles to two
/// neighbours within about 1100 steps where it spans all magnitudes, and within 60
/// where its ends are alike; interpolation needs about ten.
const MOST_STEPS: usize = 200;

/// Where the root is, and what it took.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Root {
    /// The best value found; the root lies within the tolerance of it.
    pub at: f64,
    /// The function's value there.
    pub residual: f64,
    /// How often the function was called, its two ends not counted.
    pub calls: usize,
}

/// The root of `f` between `low` and `high`, where `f` is `f_low` and `f_high`.
///
/// The two values must differ in sign or be zero. If they don't, the end nearer to
/// zero is given. `tolerance` is absolute, in the unit of `low`; it is never taken
/// finer than a few units in the last place. At most 200 calls are made.
pub fn between(
    f: impl FnMut(f64) -> f64,
    low: (f64, f64),
    high: (f64, f64),
    tolerance: f64,
) -> Root {
    // The first step goes along the chord: the functions here are nearly straight.
    let first = high.1 / (high.1 - low.1);
    from_guess(f, low, high, first, tolerance)
}

/// The same, where the first step goes `first` of the way from `high` to `low`.
///
/// A good guess saves calls; a bad one costs one. Anything is taken, even no number.
pub fn from_guess(
    mut f: impl FnMut(f64) -> f64,
    (low, f_low): (f64, f64),
    (high, f_high): (f64, f64),
    first: f64,
    tolerance: f64,
) -> Root {
    // (a, fa) is the newest point, (b, fb) the other end of the bracket; (c, fc) in the
    // loop is the point that was thrown out last.
    let (mut b, mut fb) = (low, f_low);
    let (mut a, mut fa) = (high, f_high);
    let mut calls = 0;
    let best = |a: f64, fa: f64, b: f64, fb: f64, calls| {
        if fa.abs() <= fb.abs() {
            Root {
                at: a,
                residual: fa,
                calls,
            }
        } else {
            Root {
                at: b,
                residual: fb,
                calls,
            }
        }
    };
    if fa == 0.0 || fb == 0.0 || (fa > 0.0) == (fb > 0.0) || fa.is_nan() || fb.is_nan() {
        return best(a, fa, b, fb, calls);
    }
    let mut step = if first.is_finite() { first } else { 0.5 };
    while calls < MOST_STEPS {
        let width = (b - a).abs();
        let nearest = if fa.abs() < fb.abs() { a } else { b };
        let least = (tolerance * 0.5).max(2.0 * f64::EPSILON * nearest.abs());
        let margin = least / width;
        if margin > 0.5 {
            break;
        }
        // Never nearer to an end than the tolerance, so that the bracket closes from
        // both sides.
        let t = step.clamp(margin, 1.0 - margin);
        let x = a + t * (b - a);
        let fx = f(x);
        calls += 1;
        if fx.is_nan() {
            break;
        }
        let (c, fc) = if (fx > 0.0) == (fa > 0.0) {
            (a, fa)
        } else {
            let out = (b, fb);
            (b, fb) = (a, fa);
            out
        };
        (a, fa) = (x, fx);
        if fa == 0.0 {
            break;
        }
        let xi = (a - b) / (c - b);
        let phi = (fa - fb) / (fc - fb);
        step = if phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi {
            fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
        } else {
            0.5
        };
        if !step.is_finite() {
            step = 0.5;
        }
    }
    best(a, fa, b, fb, calls)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::math::{exp, powi};

    fn root_of(f: impl Fn(f64) -> f64, low: f64, high: f64) -> Root {
        let (f_low, f_high) = (f(low), f(high));
        between(&f, (low, f_low), (high, f_high), 1e-14)
    }

    #[test]
    fn known_roots_are_found() {
        // Closed forms: cube root of 2, and the fixed point of exp(-x) (omega constant,
        // 0.567143290409784, from memory).
        assert!((root_of(|x| powi(x, 3) - 2.0, 0.0, 2.0).at - 1.259_921_049_894_873).abs() < 1e-14);
        assert!((root_of(|x| x - exp(-x), 0.0, 1.0).at - 0.567_143_290_409_784).abs() < 1e-14);
    }

    #[test]
    fn a_flat_root_and_a_step_are_found_within_the_cap() {
        let flat = root_of(|x| powi(x - 0.3, 9), 0.0, 1.0);
        assert!(
            (flat.at - 0.3).abs() < 1e-2 && flat.calls <= MOST_STEPS,
            "{flat:?}"
        );
        let step = root_of(|x| if x < 0.7 { -1.0 } else { 1e9 }, 0.0, 1.0);
        assert!((step.at - 0.7).abs() < 1e-12, "{step:?}");
    }

    #[test]
    fn no_change_of_sign_gives_the_nearer_end_without_a_call() {
        let root = root_of(|x| x + 1.0, 0.0, 5.0);
        assert_eq!((root.at, root.calls), (0.0, 0));
    }

    #[test]
    fn a_function_that_stops_being_a_number_stops_the_search() {
        let root = root_of(
            |x| {
                if x == 0.0 {
                    -1.0
                } else if x == 1.0 {
                    1.0
                } else {
                    f64::NAN
                }
            },
            0.0,
            1.0,
        );
        assert_eq!(root.calls, 1);
    }
}
