//! What a question costs where it is read backwards, beside the general search for the same.

use std::hint::black_box;
use std::time::Instant;

use nameplate::physics::curve::{AltitudeModel, CompressorCurve, CurvePoint, Machine};
use nameplate::physics::diffuser::DiffuserLoss;
use nameplate::physics::fittings::MinorLoss;
use nameplate::physics::friction::{Line, SMOOTH_PLASTIC};
use nameplate::physics::manifold::{
    Bore, Discharge, Laid, Manifold, Needs, Part, Series, Tolerances, Turn,
};
use nameplate::physics::network::{Element, Surroundings};
use nameplate::physics::refusal::Refusal;
use nameplate::units::quantity::{AbsolutePressure, AirAmount, FreeAir, GaugePressure, si};

/// Prints the table.
pub fn all() {
    if let Err(refusal) = table() {
        println!("no network to bench: {refusal}");
    }
}

fn table() -> Result<(), Refusal> {
    println!(
        "{:<34} {:>9} {:>10} {:>7}",
        "", "backwards", "searched", "times"
    );
    let tolerances = Tolerances::none()?;
    let alike = manifold(&[(4, 30.0)])?;
    let laid = alike.under(&tolerances)?;
    row("duty point of four alike runs", || laid.point(), &laid);
    let lengths: Vec<(u32, f64)> = (1..=8u32).map(|k| (1, 12.0 * f64::from(k))).collect();
    let unlike = manifold(&lengths)?;
    let several = unlike.under(&tolerances)?;
    row(
        "duty point of eight unlike runs",
        || several.point(),
        &several,
    );
    if let Some(near) = several.point() {
        row(
            "the same from one next to it",
            || several.point_from(&near),
            &several,
        );
    }
    let most = GaugePressure::pascals(24_000.0);
    let needs = Needs {
        least: &[AirAmount::kilograms_per_second(2.4e-4)],
        valves: false,
    };
    row(
        "depth at a pressure",
        || laid.by_pressure(Turn::Bottom, most, needs, 60.0),
        &laid,
    );
    row(
        "depth at a diffuser's least air",
        || laid.by_air(Turn::Bottom, needs, 60.0),
        &laid,
    );
    row(
        "length at a share of the flow",
        || laid.by_share(Part::Runs(&[0]), 0.15, 3000.0),
        &laid,
    );
    let build = || alike.under(&tolerances).map(|laid| laid.point());
    row("corner and duty point", build, &laid);
    row("with its budget", || laid.solve(), &laid);
    Ok(())
}

/// One question both ways: the search is one solution of the network, of which a limit by
/// halving takes about fifteen.
fn row<T>(name: &str, explicit: impl Fn() -> T, laid: &Laid) {
    let explicit = nanoseconds(|| {
        black_box(explicit());
    });
    let searched = nanoseconds(|| {
        black_box(laid.network().map(|network| network.solve())).ok();
    });
    println!(
        "{name:<34} {explicit:>6.0} ns {searched:>7.0} ns {:>7.1}",
        searched / explicit
    );
}

/// The least of many rounds: what the work takes when nothing else interferes.
fn nanoseconds(work: impl Fn()) -> f64 {
    (0..50)
        .map(|_| {
            let start = Instant::now();
            for _ in 0..100 {
                work();
            }
            start.elapsed().as_nanos() as f64 / 100.0
        })
        .fold(f64::INFINITY, f64::min)
}

/// Runs of (how many, metres) of 1/2 in at 2 m, on a machine of 200 L/min and 40 kPa.
fn manifold(runs: &[(u32, f64)]) -> Result<Manifold, Refusal> {
    let water = si::kelvins(288.15);
    let points: Vec<CurvePoint> = [(0.0, 200.0), (15.0, 150.0), (30.0, 80.0), (40.0, 0.0)]
        .map(|(kilopascals, litres)| CurvePoint {
            pressure: GaugePressure::pascals(kilopascals * 1e3),
            flow: FreeAir::cubic_metres_per_second(litres / 6e4),
            power: None,
        })
        .to_vec();
    let machine = Machine::new(CompressorCurve::new(&points)?, 1, AltitudeModel::Gauge)?;
    let surroundings = Surroundings {
        ambient: AbsolutePressure::pascals(100_000.0),
        inlet_density: si::kilograms_per_cubic_metre(1.19),
        water_density: si::kilograms_per_cubic_metre(999.1),
    };
    let mut manifold = Manifold::new(surroundings, vec![machine], None, Series::default())?;
    for (label, &(count, metres)) in runs.iter().enumerate() {
        let (bore, rough) = (si::metres(0.0127), si::metres(SMOOTH_PLASTIC));
        let barb = Element::Fitting(MinorLoss::barbs(2.0, bore, 0.75, water)?);
        let line = Line::new(bore, si::metres(metres), water, rough)?;
        let mut series = Series::default();
        for element in [barb, Element::Line(line), barb] {
            series.push(element, Bore::Measured);
        }
        let discharge = Discharge {
            bottom: si::metres(2.0),
            stand: si::metres(0.0),
            loss: Some(DiffuserLoss::linear(si::pascals(2_000.0), 4e6)?),
            loss_times: 1.0,
            opening: si::pascals(500.0),
            unstated_openings: 0.0,
            check_valve: None,
            label,
        };
        manifold.add(count, 1, series, discharge)?;
    }
    Ok(manifold)
}
