//! Invented machines and lines for the air side's tests, and networks drawn at random.

#![allow(
    clippy::unwrap_used,
    reason = "a test that can't build its case should stop there"
)]

use nameplate::physics::atmosphere::{SEA_LEVEL, dry_air_density};
use nameplate::physics::check_valve::CheckValve;
use nameplate::physics::curve::{AltitudeModel, CompressorCurve, CurvePoint, Machine};
use nameplate::physics::diffuser::{DiffuserLoss, SCFM};
use nameplate::physics::fittings::MinorLoss;
use nameplate::physics::friction::{Line, SMOOTH_PLASTIC};
use nameplate::physics::network::{
    Bleed, Branch, Duty, Element, End, Network, Outlet, Run, Surroundings,
};
use nameplate::physics::reference::CUBIC_FOOT_PER_MINUTE as CFM;
use nameplate::physics::valve::ControlValve;
use nameplate::units::math::powf;
use nameplate::units::quantity::{AbsolutePressure, FreeAir, GaugePressure, si};

pub const PSI: f64 = 6_894.757_293_168;
pub const FT: f64 = 0.3048;
pub const IN: f64 = 0.0254;
const LINE_CELSIUS: f64 = 15.0;

/// Sea level, 20 °C dry at the inlet, water of 15 °C.
pub fn at_sea_level() -> Surroundings {
    at_pressure(SEA_LEVEL)
}

pub fn at_pressure(pascals: f64) -> Surroundings {
    let ambient = AbsolutePressure::pascals(pascals);
    Surroundings {
        ambient,
        inlet_density: dry_air_density(ambient, si::celsius(20.0)),
        water_density: si::kilograms_per_cubic_metre(999.103),
    }
}

/// A curve of points in psi and cfm.
pub fn curve(points: &[(f64, f64)]) -> CompressorCurve {
    let points: Vec<CurvePoint> = points
        .iter()
        .map(|(psi, cfm)| CurvePoint {
            pressure: GaugePressure::pascals(psi * PSI),
            flow: FreeAir::cubic_metres_per_second(cfm * CFM),
            power: None,
        })
        .collect();
    CompressorCurve::new(&points).unwrap()
}

/// A curve that falls straight from its open flow to its shut-off.
pub fn straight(cfm: f64, psi: f64) -> CompressorCurve {
    curve(&[(0.0, cfm), (psi, 0.0)])
}

pub fn machines(curve: CompressorCurve, count: u32) -> Vec<Machine> {
    vec![Machine::new(curve, count, AltitudeModel::Gauge).unwrap()]
}

pub fn line(bore_in: f64, feet: f64) -> Element {
    let line = Line::new(
        si::metres(bore_in * IN),
        si::metres(feet * FT),
        si::celsius(LINE_CELSIUS),
        si::metres(SMOOTH_PLASTIC),
    );
    Element::Line(line.unwrap())
}

pub fn cv(cv: f64) -> Element {
    Element::Valve(ControlValve::from_cv(cv, si::celsius(LINE_CELSIUS)).unwrap())
}

pub fn barbs(count: f64, bore_in: f64) -> Element {
    let ratio = if bore_in <= 0.376 { 2.0 / 3.0 } else { 0.8 };
    let barbs = MinorLoss::barbs(
        count,
        si::metres(bore_in * IN),
        ratio,
        si::celsius(LINE_CELSIUS),
    );
    Element::Fitting(barbs.unwrap())
}

/// A diffuser with the default loss behind a check valve that cracks at 0.05 psi.
pub fn outlet(feet: f64, label: usize) -> Outlet {
    Outlet {
        depth: si::metres(feet * FT),
        loss: DiffuserLoss::default_times(1.0).unwrap(),
        check_valve: Some(CheckValve::new(si::pascals(0.05 * PSI)).unwrap()),
        label,
    }
}

/// Elements, then a diffuser at a depth.
pub fn run(mut elements: Vec<Element>, bore_in: f64, length_ft: f64, deep_ft: f64) -> Run {
    elements.push(barbs(2.0, bore_in));
    elements.push(line(bore_in, length_ft));
    elements.push(barbs(2.0, bore_in));
    Run {
        elements,
        end: End::Outlet(outlet(deep_ft, 0)),
    }
}

pub fn split(branches: Vec<(u32, Run)>) -> Run {
    Run {
        elements: Vec::new(),
        end: End::Split(
            branches
                .into_iter()
                .map(|(count, run)| Branch { count, run })
                .collect(),
        ),
    }
}

/// `count` runs of one bore, length and depth on a curve, at sea level.
pub fn alike(curve: CompressorCurve, count: u32, bore_in: f64, feet: f64, deep: f64) -> Network {
    let tree = split(vec![(count, run(Vec::new(), bore_in, feet, deep))]);
    Network::new(at_sea_level(), machines(curve, 1), None, tree).unwrap()
}

pub fn scfm(duty: &Duty) -> f64 {
    duty.amount.value() / SCFM
}

pub fn psi(duty: &Duty) -> f64 {
    duty.manifold.value() / PSI
}

/// Holds that a value is the expected one within a share of it.
pub fn near(ours: f64, expected: f64, share: f64) {
    assert!(
        (ours / expected - 1.0).abs() <= share,
        "{ours}, not {expected} within {share}"
    );
}

/// 4.85 cfm of open flow, straight to 7.5 psi: the machine of the worked cases.
pub fn worked_machine() -> CompressorCurve {
    straight(4.85, 7.5)
}

/// The duty point of a machine and branches in air of a pressure.
pub fn solve(ambient: f64, machine: Machine, branches: Vec<(u32, Run)>) -> Duty {
    let tree = split(branches);
    Network::new(at_pressure(ambient), vec![machine], None, tree)
        .unwrap()
        .solve()
}

/// Some of the worked machine, its inlet volume kept at each gauge pressure.
pub fn gauge_machine(count: u32) -> Machine {
    Machine::new(worked_machine(), count, AltitudeModel::Gauge).unwrap()
}

/// A run without a valve.
pub fn branch(bore: f64, feet: f64, deep: f64) -> Run {
    run(Vec::new(), bore, feet, deep)
}

/// A sequence of numbers that is the same on every machine (splitmix64).
pub struct Draw(pub u64);

impl Draw {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From `low` up to `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn below(&mut self, end: u64) -> u64 {
        self.next() % end
    }
}

/// What may be turned on a drawn network, so that a test can turn one thing alone.
#[derive(Clone, Copy)]
pub struct Turn {
    pub deeper: f64,
    pub wider: f64,
    pub longer: f64,
    pub stronger: f64,
}

impl Turn {
    pub const NONE: Turn = Turn {
        deeper: 0.0,
        wider: 1.0,
        longer: 1.0,
        stronger: 1.0,
    };
}

/// A network drawn at random: one to four machines' worth of air, one to six unlike
/// branches 2 to 28 ft deep on 5 to 500 ft of 3/8 to 1 in, some with valves, segments,
/// two diffusers on a run, a trunk, a nested manifold, a bleed, thin air.
pub fn drawn(number: u64, turn: Turn) -> Network {
    let mut draw = Draw(number);
    let mut label = 0;
    let points = 2 + draw.below(6);
    let (open, shut) = (draw.between(1.5, 9.0), draw.between(4.0, 30.0));
    let power = draw.between(0.7, 2.2);
    let reach = if draw.below(4) == 0 {
        draw.between(0.6, 0.95)
    } else {
        1.0
    };
    let curve = curve(
        &(0..points)
            .map(|k| {
                let share = reach * k as f64 / (points - 1) as f64;
                let left = (1.0 - powf(share, power)).max(0.0);
                (shut * share, open * left * turn.stronger)
            })
            .collect::<Vec<_>>(),
    );
    let model = if draw.below(3) == 0 {
        AltitudeModel::Ratio {
            taken_at: AbsolutePressure::pascals(SEA_LEVEL),
        }
    } else {
        AltitudeModel::Gauge
    };
    let count = 1 + draw.below(4) as u32;
    let machine = Machine::new(curve, count, model).unwrap();
    let bleed = match draw.below(8) {
        0 => Some(Bleed::Constant {
            flow: FreeAir::cubic_metres_per_second(draw.between(0.0, 1.0) * CFM),
        }),
        1 => Some(Bleed::Orifice {
            at: GaugePressure::pascals(draw.between(1.0, 10.0) * PSI),
            flow: FreeAir::cubic_metres_per_second(draw.between(0.0, 2.0) * CFM),
        }),
        _ => None,
    };
    let ambient = draw.between(70_000.0, SEA_LEVEL);
    let middle = draw.between(2.0, 26.0);
    let mut branches = Vec::new();
    for _ in 0..1 + draw.below(6) {
        let times = 1 + draw.below(3) as u32;
        branches.push((times, drawn_run(&mut draw, turn, middle, &mut label)));
    }
    let mut tree = split(branches);
    if draw.below(3) == 0 {
        tree.elements.push(drawn_line(&mut draw, turn, 0.75, 1.5));
    }
    if draw.below(6) == 0 {
        let beside = drawn_run(&mut draw, turn, middle, &mut label);
        tree = split(vec![(1, tree), (2, beside)]);
    }
    Network::new(at_pressure(ambient), vec![machine], bleed, tree).unwrap()
}

fn drawn_line(draw: &mut Draw, turn: Turn, low: f64, high: f64) -> Element {
    line(
        draw.between(low, high) * turn.wider,
        draw.between(5.0, 500.0) * turn.longer,
    )
}

fn drawn_run(draw: &mut Draw, turn: Turn, middle: f64, label: &mut usize) -> Run {
    let deep = (middle + draw.between(-2.0, 2.0)).max(0.0) + turn.deeper;
    let mut elements = Vec::new();
    if draw.below(3) == 0 {
        elements.push(cv(draw.between(0.1, 20.0)));
    }
    let bore = draw.between(0.375, 1.0);
    elements.push(barbs(draw.below(5) as f64, bore * turn.wider));
    for _ in 0..draw.below(3) {
        elements.push(drawn_line(draw, turn, 0.375, 1.0));
    }
    let loss = match draw.below(4) {
        0 => DiffuserLoss::from_amounts(&[(
            nameplate::units::quantity::AirAmount::kilograms_per_second(SCFM),
            si::pascals(draw.between(0.0, 5_000.0)),
        )])
        .unwrap(),
        _ => DiffuserLoss::default_times(draw.between(0.3, 3.0)).unwrap(),
    };
    let end = Outlet {
        loss,
        ..outlet(deep, *label)
    };
    *label += 1;
    let last = Run {
        elements: Vec::new(),
        end: End::Outlet(end),
    };
    match draw.below(5) {
        0 => {
            let short = Run {
                elements: vec![drawn_line(draw, turn, 0.375, 0.5)],
                ..last
            };
            Run {
                elements,
                ..split(vec![(2, short)])
            }
        }
        1 => {
            let other = Run {
                elements: vec![drawn_line(draw, turn, 0.375, 0.5)],
                end: End::Outlet(outlet(deep + draw.between(0.0, 1.0), *label)),
            };
            *label += 1;
            Run {
                elements,
                ..split(vec![(1, last), (1, other)])
            }
        }
        _ => Run { elements, ..last },
    }
}
