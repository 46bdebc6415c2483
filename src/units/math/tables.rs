//! Logarithms and two constant powers from tables, as an engineer's handbook has them.
//!
//! An argument is taken apart into a power of two, a row of the table and what is left
//! over; the left-over is at most a thirty-second, so a short series is exact. The rows
//! come from the portable library once a run; after that every value is made of
//! additions and multiplications and is the same on every machine.

use std::sync::LazyLock;

const MANTISSA: u64 = 0x000f_ffff_ffff_ffff;
const ONE: u64 = 0x3ff0_0000_0000_0000;
/// ln 2 in two parts, so that whole multiples of the first are exact.
const LN_2_HIGH: f64 = 6.931_471_803_691_238e-1;
const LN_2_LOW: f64 = 1.908_214_929_270_587_7e-10;

/// `x` between 1 and 2 times a power of two, and the row that its first `bits` bits name.
fn parted(x: f64, bits: u32) -> (i64, f64, usize) {
    let all = x.to_bits();
    let exponent = (all >> 52) as i64 - 1023;
    let mantissa = f64::from_bits(all & MANTISSA | ONE);
    let row = (all >> (52 - bits)) as usize & ((1 << bits) - 1);
    (exponent, mantissa, row)
}

/// The reciprocal of a row's middle, cut to twenty bits so that a product with it is
/// nearly exact.
fn reciprocal(row: usize, rows: usize) -> f64 {
    let middle = 1.0 + (row as f64 + 0.5) / rows as f64;
    f64::from_bits((1.0 / middle).to_bits() & !0xffff_ffff)
}

const LN_BITS: u32 = 6;
const LN_ROWS: usize = 1 << LN_BITS;

struct LnTable {
    /// Reciprocal of the row's middle, and the logarithm of the middle.
    rows: [(f64, f64); LN_ROWS],
}

impl LnTable {
    fn new() -> Self {
        LnTable {
            rows: std::array::from_fn(|row| {
                let inverse = reciprocal(row, LN_ROWS);
                (inverse, -libm::log(inverse))
            }),
        }
    }

    fn at(&self, x: f64) -> f64 {
        let (exponent, mantissa, row) = parted(x, LN_BITS);
        let (inverse, ln) = self.rows[row];
        let rest = mantissa * inverse - 1.0;
        let square = rest * rest;
        let series = (-0.5 + rest * (1.0 / 3.0))
            + square * ((-0.25 + rest * 0.2) + square * (-1.0 / 6.0 + rest * (1.0 / 7.0)));
        let twos = exponent as f64;
        (twos * LN_2_HIGH + ln) + (rest + (square * series + twos * LN_2_LOW))
    }
}

const POWER_BITS: u32 = 4;
const POWER_ROWS: usize = 1 << POWER_BITS;
/// Powers of two from 2^-128 to 2^127.
const TWOS: usize = 256;

/// A constant power.
struct PowerTable {
    /// That power of each power of two.
    twos: [f64; TWOS],
    /// Reciprocal of the row's middle, and that power of the middle.
    rows: [(f64, f64); POWER_ROWS],
    /// Coefficients of (1 + r)^c − 1 over r.
    series: [f64; 8],
}

impl PowerTable {
    fn new(power: f64) -> Self {
        let mut series = [0.0; 8];
        let mut binomial = 1.0;
        for (k, coefficient) in series.iter_mut().enumerate() {
            binomial *= (power - k as f64) / (k as f64 + 1.0);
            *coefficient = binomial;
        }
        PowerTable {
            twos: std::array::from_fn(|i| libm::pow(2.0, power * (i as f64 - 128.0))),
            rows: std::array::from_fn(|row| {
                let inverse = reciprocal(row, POWER_ROWS);
                (inverse, libm::pow(inverse, -power))
            }),
            series,
        }
    }

    fn at(&self, x: f64) -> f64 {
        let (exponent, mantissa, row) = parted(x, POWER_BITS);
        let two = self.twos[(exponent + 128).clamp(0, 255) as usize];
        let (inverse, power) = self.rows[row];
        let rest = mantissa * inverse - 1.0;
        let square = rest * rest;
        let c = &self.series;
        let series = (c[0] + rest * c[1])
            + square
                * ((c[2] + rest * c[3])
                    + square * ((c[4] + rest * c[5]) + square * (c[6] + rest * c[7])));
        two * power * (1.0 + rest * series)
    }
}

static LN: LazyLock<LnTable> = LazyLock::new(LnTable::new);
static NINE_TENTHS: LazyLock<PowerTable> = LazyLock::new(|| PowerTable::new(0.9));
static TWELFTH: LazyLock<PowerTable> = LazyLock::new(|| PowerTable::new(1.0 / 12.0));

/// The tables, fetched once by whoever wants many values.
///
/// Arguments are positive numbers, for the powers between 2^-128 and 2^127. Anything else
/// gives a number without meaning and no panic.
#[derive(Clone, Copy)]
pub struct LogTables {
    ln: &'static LnTable,
    nine_tenths: &'static PowerTable,
    twelfth: &'static PowerTable,
}

impl LogTables {
    /// All of them.
    pub fn get() -> LogTables {
        LogTables {
            ln: &LN,
            nine_tenths: &NINE_TENTHS,
            twelfth: &TWELFTH,
        }
    }

    /// Natural logarithm.
    pub fn ln(self, x: f64) -> f64 {
        self.ln.at(x)
    }

    /// ln(1 + x) for any x from 0 on.
    pub fn ln_one_plus(self, x: f64) -> f64 {
        if x < 0.3 {
            ln_one_plus_small(x)
        } else {
            self.ln(1.0 + x)
        }
    }

    /// `x` to the power 0.9.
    pub fn nine_tenths(self, x: f64) -> f64 {
        self.nine_tenths.at(x)
    }

    /// The twelfth root of `x`.
    pub fn twelfth_root(self, x: f64) -> f64 {
        self.twelfth.at(x)
    }
}

/// ln(1 + x) for x from -0.2 to 0.3.
///
/// 2 (z + z³/3 + z⁵/5 + …) with z = x/(2 + x); the first part left out is z¹⁹/19, below
/// 1e-18.
pub fn ln_one_plus_small(x: f64) -> f64 {
    let z = x / (2.0 + x);
    let w = z * z;
    let square = w * w;
    let series = ((1.0 / 3.0 + w * (1.0 / 5.0)) + square * (1.0 / 7.0 + w * (1.0 / 9.0)))
        + (square * square)
            * ((1.0 / 11.0 + w * (1.0 / 13.0)) + square * (1.0 / 15.0 + w * (1.0 / 17.0)));
    2.0 * z + 2.0 * z * w * series
}

/// The cube root of a positive number.
///
/// A third of its bits is a guess within a tenth; two of Halley's steps and one of
/// Newton's make it exact to the last place but one.
pub fn cube_root(x: f64) -> f64 {
    let mut root = f64::from_bits(x.to_bits() / 3 + 0x2a9f_7893_0000_0000);
    for _ in 0..2 {
        let cube = root * root * root;
        root = root * (cube + 2.0 * x) / (2.0 * cube + x);
    }
    root - (root * root * root - x) / (3.0 * root * root)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the portable library, over twenty-four decades.
    #[test]
    fn the_tables_give_what_the_library_gives() {
        let tables = LogTables::get();
        let mut x = 1e-12;
        while x < 1e12 {
            let ln = libm::log(x);
            let checks = [
                ("ln", tables.ln(x) - ln, 1e-15 * (1.0 + ln.abs())),
                (
                    "0.9",
                    tables.nine_tenths(x) / libm::pow(x, 0.9) - 1.0,
                    1e-14,
                ),
                (
                    "1/12",
                    tables.twelfth_root(x) / libm::pow(x, 1.0 / 12.0) - 1.0,
                    1e-14,
                ),
                ("1/3", cube_root(x) / libm::cbrt(x) - 1.0, 1e-15),
            ];
            for (what, off, allowed) in checks {
                assert!(off.abs() <= allowed, "{what} of {x}: {off:e}");
            }
            x *= 1.001_3;
        }
        let mut x = -0.2;
        while x < 2.0 {
            let near = if x < 0.3 {
                ln_one_plus_small(x)
            } else {
                tables.ln_one_plus(x)
            };
            assert!((near - libm::log1p(x)).abs() <= 1e-15, "{x}");
            x += 1.7e-4;
        }
    }
}
