//! The plume in its own scales: a point source is two numbers, a wide one a few steps.
//!
//! With `D = 2 a sqrt(pi)`, `E = m R T` and
//!
//! ```text
//! M* = (D g E H^2 / (gamma kappa p))^(2/3),   Q* = D H sqrt(M*)
//! s = vs Q* / (kappa M*),   sigma = rho g H / p,   x = z/H
//! ```
//!
//! the two equations of a plume become `q' = sqrt(mu)` and
//! `mu' = q / ((mu + s q)(1 + sigma (1 - x)))`, and the start of a point source scales with
//! them. So its fluxes at the surface are two functions of s and sigma, and stand here as
//! polynomials that `tests/fits/plume_point.py` fits to the integral. A wide source starts
//! elsewhere; in `t = (x + x0)^(1/3)`, where x0 is about how far below it a point would lie,
//! and in `r = sqrt(mu)`, its fluxes are so straight that a few steps do, and twice as many
//! tell how far off they are.

use super::{Fluxes, MOST_AIR, PlumeConstants, Rise, SOURCE_SPREAD};
use crate::physics::rising_air::PRESSURE_PER_DEPTH;
use crate::physics::water_properties::GRAVITY;
use crate::units::math::cube_root;

/// Relative error of a wide source's steps at which they are told to be enough; what the
/// last two runs of steps show of it is then taken off.
const WITHIN: f64 = 1e-6;

/// Greatest slip velocity and depth, in the plume's scales, that the polynomials were fitted to.
const MOST_SLIP: f64 = 10.0;
const MOST_DEPTH: f64 = 1.8;

/// The scales of a plume, and what is left of it in them.
struct Scales {
    /// m3/s.
    water: f64,
    /// sqrt of the momentum's, m2/s.
    root_momentum: f64,
    slip_velocity: f64,
    depth: f64,
}

impl Scales {
    fn of(rise: &Rise) -> Scales {
        let root_momentum = cube_root(
            rise.draw * GRAVITY * rise.expansion * rise.depth * rise.depth
                / (rise.gamma * rise.kappa * rise.ambient),
        );
        let water = rise.draw * rise.depth * root_momentum;
        Scales {
            water,
            root_momentum,
            slip_velocity: rise.slip_velocity * water
                / (rise.kappa * root_momentum * root_momentum),
            depth: PRESSURE_PER_DEPTH * rise.depth / rise.ambient,
        }
    }

    /// At the surface, of fluxes in these scales.
    fn at_the_surface(&self, water: f64, momentum: f64) -> Fluxes {
        Fluxes {
            height: 1.0,
            water: self.water * water,
            momentum: self.root_momentum * self.root_momentum * momentum,
        }
    }
}

/// The fluxes of a point source at the surface: within 6e-7 of the integral. Nothing outside
/// what was fitted.
pub(super) fn point(rise: &Rise) -> Option<Fluxes> {
    let scales = Scales::of(rise);
    let (s, sigma) = (scales.slip_velocity, scales.depth);
    if !(s <= MOST_SLIP && sigma <= MOST_DEPTH) {
        return None;
    }
    let (u, w) = (s / (s + 3.0), sigma / (2.0 + sigma));
    let water = polynomial(&WATER, u, w) / (1.0 + s * (1.0 / 1.5)).sqrt();
    let momentum = polynomial(&MOMENTUM, u, w) / (1.0 + s * (1.0 / 1.2));
    Some(scales.at_the_surface(water, momentum))
}

/// Sum of `rows[j][i] u^i w^j`.
fn polynomial(rows: &[&[f64]], u: f64, w: f64) -> f64 {
    rows.iter().rev().fold(0.0, |sum, row| {
        sum * w + row.iter().rev().fold(0.0, |sum, c| sum * u + c)
    })
}

/// The fluxes of a wide source at the surface; see [`WITHIN`]. Nothing where so many steps
/// as the integral takes don't close in.
pub(super) fn wide(rise: &Rise, constants: &PlumeConstants) -> Option<Fluxes> {
    let scales = Scales::of(rise);
    let radius = constants.source_radius.value;
    let velocity = velocity_at_source(rise, radius, constants.froude);
    let half_width = radius / SOURCE_SPREAD;
    let root = std::f64::consts::PI.sqrt() * half_width;
    let start = (
        root * root * velocity / scales.water,
        root * velocity / scales.root_momentum,
    );
    let below = 0.6 * half_width / (1.2 * rise.entrainment * rise.depth);
    let mut count = 4;
    let mut coarse = stepped(&scales, start, below, count);
    while count < 64 {
        count *= 2;
        let fine = stepped(&scales, start, below, count);
        let moved = (fine.0 - coarse.0, fine.1 - coarse.1);
        // Half the step leaves a sixteenth of the error.
        let within = |moved: f64, of: f64| moved.abs() <= 15.0 * WITHIN * of;
        if within(moved.0, fine.0) && within(moved.1, fine.1) {
            let (water, root) = (fine.0 + moved.0 / 15.0, fine.1 + moved.1 / 15.0);
            return Some(scales.at_the_surface(water, root * root));
        }
        coarse = fine;
    }
    None
}

/// Water and root of momentum at the surface, by `count` steps of fourth-order Runge-Kutta.
fn stepped(scales: &Scales, start: (f64, f64), below: f64, count: u32) -> (f64, f64) {
    let (first, last) = (cube_root(below), cube_root(1.0 + below));
    let step = (last - first) / f64::from(count);
    let top = 1.0 + scales.depth * (1.0 + below);
    let slopes = |t: f64, q: f64, r: f64| {
        let square = t * t;
        let by_t = 3.0 * square;
        let pressure = top - scales.depth * square * t;
        let lift = by_t * q / (2.0 * r * (r * r + scales.slip_velocity * q) * pressure);
        (by_t * r, lift)
    };
    let (mut q, mut r) = start;
    let half = 0.5 * step;
    for i in 0..count {
        let t = first + f64::from(i) * step;
        let (q1, r1) = slopes(t, q, r);
        let (q2, r2) = slopes(t + half, q + half * q1, r + half * r1);
        let (q3, r3) = slopes(t + half, q + half * q2, r + half * r2);
        let (q4, r4) = slopes(t + step, q + step * q3, r + step * r3);
        q += step / 6.0 * (q1 + 2.0 * (q2 + q3) + q4);
        r += step / 6.0 * (r1 + 2.0 * (r2 + r3) + r4);
    }
    (q, r)
}

/// Velocity of the water at a wide source.
///
/// `V = Fr sqrt(2 rd g e/(1 - e))` with `e = Qg/((V + vs) A)` is the cubic
/// `V^2 (V + b) = c`, `b = vs - Qg/A`, `c = 2 Fr^2 rd g Qg/A`, with one positive root that
/// Newton's method comes to from above; where the share of air is held, that velocity.
fn velocity_at_source(rise: &Rise, radius: f64, froude: f64) -> f64 {
    let k = froude * froude * 2.0 * radius * GRAVITY;
    let most = (k * MOST_AIR / (1.0 - MOST_AIR)).sqrt();
    let air = rise.air_at_diffuser() / (std::f64::consts::PI * radius * radius);
    if air >= MOST_AIR * (most + rise.slip_velocity) {
        return most;
    }
    let (b, c) = (rise.slip_velocity - air, k * air);
    let mut v = cube_root(c) + (-b).max(0.0);
    for _ in 0..40 {
        let step = (v * v * (v + b) - c) / (v * (3.0 * v + 2.0 * b));
        v -= step;
        if step.abs() <= 1e-12 * v {
            break;
        }
    }
    v.min(most)
}

/// Within 2.8e-07 of the integral; made by `tests/fits/plume_point.py`.
#[rustfmt::skip]
const WATER: [&[f64]; 7] = [
    &[0.4597857629244169, 0.21430698988541258, -0.11233189383805517, -0.009178796016362909, -0.003919154102326124, -0.02859976436808235, 0.12426690700998377, -0.2365441793269179, 0.24492608213825878, -0.13617664640497426, 0.02862348289356117],
    &[-0.18862490613136368, -0.20280772993033977, -0.07365426889053085, 0.036046169865465535, -0.0334203844212649, 0.16053859055375966, -0.12226420386344151, 0.02954186579047784, 0.010891006853252868],
    &[-0.006952388405964342, -0.0068695702728853985, 0.0728807461798986, -0.09206723177861584, 0.374636257144178, -0.34799112290232026, 0.08201496182495413],
    &[-0.042705881568365064, -0.044327358713198234, -0.08904253206675826, 0.2807556594825099, -0.34857796311562445, 0.13989619658720565],
    &[-0.025211846765554616, 0.010000098223927096, 0.06042940881341892, -0.044245991818540345],
    &[0.030431329950483584, -0.06404750693696744, 0.05155588955126487],
    &[-0.06228091002132906, 0.011048925210071867],
];

/// Within 5.3e-07 of the integral; made by `tests/fits/plume_point.py`.
#[rustfmt::skip]
const MOMENTUM: [&[f64]; 7] = [
    &[0.5872304678103769, 0.7156518610363551, -0.3925210090952923, -0.20232497728058033, 0.14845213515342648, -0.14143401407889497, 0.625548338050199, -1.2158348910086862, 1.2326123575535004, -0.6782067543740338, 0.15637508568337508],
    &[-0.3011491441925295, -0.6257494512702694, -0.2922296669992414, 0.22286240206087887, -0.13176789224185198, 1.013283984923568, -1.3373947212881119, 0.8010254501679616, -0.1900961560855659],
    &[-0.01108427612616362, 0.006448272087683429, 0.29371490824142465, -0.313285740168917, 1.565334030516149, -1.834051716431086, 0.5798181217830881],
    &[-0.06578615999418769, -0.10482189203815966, -0.3231799982855448, 1.0108951368897428, -1.5161069526458686, 0.7359196026141818],
    &[-0.034814452428351426, 0.012363440450275162, 0.3045467958707408, -0.17148440527364062],
    &[0.043204615808386755, -0.15574240793056174, 0.05008506244748492],
    &[-0.08884726292493081, 0.07990505897089094],
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::rising_air::Column;
    use crate::units::quantity::{AbsolutePressure, si};

    /// A number from 0 to 1, the next of a fixed sequence.
    fn next(state: &mut u64) -> f64 {
        *state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (*state >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Worst error of water and momentum against the integral, over every range that the
    /// plume has.
    fn worst(wide_source: bool) -> (f64, f64) {
        let mut state = 7;
        let mut worst = (0.0_f64, 0.0_f64);
        for _ in 0..3000 {
            let mut between = |low: f64, high: f64| low + (high - low) * next(&mut state);
            let constants = PlumeConstants {
                entrainment: between(0.055, 0.234),
                bubble_spread: between(0.2, 1.0),
                slip_velocity: si::metres_per_second(between(0.2, 0.35)),
                momentum_amplification: between(1.0, 2.0),
                source_radius: si::metres(if wide_source { between(0.02, 0.3) } else { 0.0 }),
                froude: between(1.0, 2.0),
            };
            let column = Column {
                depth: si::metres(between(0.9, 10.1)),
                ambient: AbsolutePressure::pascals(between(60_000.0, 111_457.5)),
                temperature: si::kelvins(between(273.15, 313.15)),
            };
            let air = 5.6e-5 * crate::units::math::powf(50.0, between(0.0, 1.0));
            let rise = Rise::new(air, &column, &constants);
            let integral = rise.to_the_surface(rise.start(&constants));
            let reduced = if wide_source {
                wide(&rise, &constants)
            } else {
                point(&rise)
            };
            let reduced = reduced.expect("the plume's ranges are within what is fitted");
            worst.0 = worst.0.max((reduced.water / integral.water - 1.0).abs());
            worst.1 = worst
                .1
                .max((reduced.momentum / integral.momentum - 1.0).abs());
        }
        worst
    }

    #[test]
    fn a_point_source_is_what_the_integral_gives() {
        let (water, momentum) = worst(false);
        assert!(water < 1e-6 && momentum < 1e-6, "{water:e} {momentum:e}");
    }

    #[test]
    fn a_wide_source_is_what_the_integral_gives() {
        let (water, momentum) = worst(true);
        assert!(water < 2e-6 && momentum < 2e-6, "{water:e} {momentum:e}");
    }
}
