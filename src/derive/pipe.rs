//! Inside diameters behind nominal pipe sizes.

/// Inch.
const INCH: f64 = 0.0254;

/// Nominal size and inside diameter of Schedule 40 pipe, in: ASME B36.10M (values from memory;
/// 3/8, 1/2, 3/4 and 1 in as printed beside a handbook's air table).
pub const SCHEDULE_40: &[(f64, f64)] = &[
    (0.125, 0.269),
    (0.25, 0.364),
    (0.375, 0.493),
    (0.5, 0.622),
    (0.75, 0.824),
    (1.0, 1.049),
    (1.25, 1.380),
    (1.5, 1.610),
    (2.0, 2.067),
];

/// Inside diameter in m behind a nominal size in m, within 3 %; nothing for a size that isn't made.
pub fn inside(nominal: f64) -> Option<f64> {
    SCHEDULE_40
        .iter()
        .find(|(name, _)| (nominal / (name * INCH) - 1.0).abs() < 0.03)
        .map(|(_, inside)| inside * INCH)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_inch_pipe_is_wider_than_its_name() {
        assert!((inside(0.0127).unwrap() - 0.622 * INCH).abs() < 1e-12);
        assert_eq!(inside(0.006), None);
    }
}
