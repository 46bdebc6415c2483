//! Area, depth and volume of an outline and of soundings.

/// What a survey tells of a pond. SI throughout.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Survey {
    /// Surface, m2.
    pub area: f64,
    /// Greatest depth, m, where soundings are known.
    pub depth: Option<f64>,
    /// Volume, m3, where soundings are known.
    pub volume: Option<f64>,
}
