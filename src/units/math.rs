//! Powers, exponentials and logarithms through one portable library.
//!
//! The platform's own functions differ in the last bit from system to system, and
//! a report must not. Addition, multiplication, division and square root are exact
//! by IEEE 754 and need no help.
//!
//! What a search asks for many thousand times a run comes from [`LogTables`]: the same
//! values within a few units in the last place, for a fifth of the work, and from those
//! exact operations alone.

mod tables;

pub use tables::{LogTables, cube_root, ln_one_plus_small};

/// `base` to the power `exponent`.
pub fn powf(base: f64, exponent: f64) -> f64 {
    libm::pow(base, exponent)
}

/// `base` to a whole power, by repeated squaring.
pub fn powi(base: f64, exponent: i32) -> f64 {
    let mut result = 1.0;
    let mut square = base;
    let mut left = exponent.unsigned_abs();
    while left > 0 {
        if left & 1 == 1 {
            result *= square;
        }
        square *= square;
        left >>= 1;
    }
    if exponent < 0 { 1.0 / result } else { result }
}

/// e to the power `x`.
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// Natural logarithm.
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// Decimal logarithm.
pub fn log10(x: f64) -> f64 {
    libm::log10(x)
}

/// Sine of an angle in radians.
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}

/// Cube root.
pub fn cbrt(x: f64) -> f64 {
    libm::cbrt(x)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_powers_are_products() {
        assert_eq!(powi(3.0, 4), 81.0);
        assert_eq!(powi(2.0, -2), 0.25);
        assert_eq!(powi(7.0, 0), 1.0);
        assert_eq!(powi(-2.0, 3), -8.0);
    }
}
