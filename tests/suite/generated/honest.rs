//! An honest catalog: facts drawn at random, promises as the engine rates them, rounded to the safe side.

use nameplate::claims::{Claim, Verdict};
use nameplate::units::math;

use super::audit;
use crate::air_packages::Draw;

/// A line of a catalog and what it is called.
#[derive(Clone)]
struct Line {
    label: String,
    text: String,
}

/// A drawn catalog, line by line.
#[derive(Clone, Default)]
pub struct Drawn {
    lines: Vec<Line>,
    /// Whether it is written in US units.
    pub us: bool,
    /// Diffusers, and runs to them.
    pub count: u32,
}

impl Drawn {
    fn add(&mut self, label: &str, text: impl Into<String>) {
        self.lines.push(Line {
            label: label.into(),
            text: text.into(),
        });
    }

    /// The catalog's text.
    pub fn text(&self) -> String {
        self.lines
            .iter()
            .map(|line| format!("{}\n", line.text))
            .collect()
    }

    /// Number of a line, from 1; a text of several lines counts by its first.
    pub fn line(&self, label: &str) -> usize {
        let mut number = 1;
        for line in &self.lines {
            if line.label == label {
                return number;
            }
            number += line.text.lines().count().max(1);
        }
        panic!("no line {label}");
    }

    /// Whether there is such a line.
    pub fn has(&self, label: &str) -> bool {
        self.lines.iter().any(|line| line.label == label)
    }

    /// What stands behind `=` on a line.
    pub fn value(&self, label: &str) -> Option<String> {
        let line = self.lines.iter().find(|line| line.label == label)?;
        Some(line.text.split_once(" = ")?.1.to_string())
    }

    /// The number a quoted quantity of a line begins with.
    pub fn number(&self, label: &str) -> Option<f64> {
        let value = self.value(label)?;
        let begin = value.find('"')? + 1;
        let rest = &value[begin..];
        let number = rest.split([' ', '"']).next()?;
        match number.split_once('/') {
            Some((a, b)) => Some(a.parse::<f64>().ok()? / b.parse::<f64>().ok()?),
            None => number.parse().ok(),
        }
    }

    /// Writes another value behind `=`.
    pub fn set(&mut self, label: &str, value: &str) -> Option<()> {
        let line = self.lines.iter_mut().find(|line| line.label == label)?;
        let key = line.text.split_once(" = ")?.0.to_string();
        line.text = format!("{key} = {value}");
        Some(())
    }

    /// Replaces a whole line.
    pub fn replace(&mut self, label: &str, text: &str) -> Option<()> {
        let line = self.lines.iter_mut().find(|line| line.label == label)?;
        line.text = text.into();
        Some(())
    }

    /// Takes a line out.
    pub fn drop(&mut self, label: &str) -> Option<()> {
        let at = self.lines.iter().position(|line| line.label == label)?;
        self.lines.remove(at);
        Some(())
    }

    /// Puts a line behind another.
    pub fn after(&mut self, label: &str, new: &str, text: &str) -> Option<()> {
        let at = self.lines.iter().position(|line| line.label == label)?;
        let line = Line {
            label: new.into(),
            text: text.into(),
        };
        self.lines.insert(at + 1, line);
        Some(())
    }
}

/// A technology as these catalogs draw it: continuous pressure in kPa, open flow in L/min, wire-to-air
/// efficiency, level at 1 m. All well inside what is met.
struct Kind {
    name: &'static str,
    pressure: (f64, f64),
    flow: (f64, f64),
    efficiency: (f64, f64),
    sound: (f64, f64),
}

const KINDS: [Kind; 4] = [
    Kind {
        name: "linear-diaphragm",
        pressure: (15.0, 33.0),
        flow: (40.0, 220.0),
        efficiency: (0.22, 0.42),
        sound: (34.0, 48.0),
    },
    Kind {
        name: "rocking-piston",
        pressure: (60.0, 180.0),
        flow: (50.0, 250.0),
        efficiency: (0.18, 0.36),
        sound: (52.0, 66.0),
    },
    Kind {
        name: "rotary-vane",
        pressure: (40.0, 90.0),
        flow: (120.0, 500.0),
        efficiency: (0.23, 0.42),
        sound: (56.0, 70.0),
    },
    Kind {
        name: "regenerative-blower",
        pressure: (12.0, 22.0),
        flow: (300.0, 1200.0),
        efficiency: (0.18, 0.36),
        sound: (57.0, 76.0),
    },
];

/// Nominal sizes: name, bore in mm, outside in mm.
const SIZES: [(&str, f64, f64); 5] = [
    ("3/8 in", 9.5, 17.0),
    ("1/2 in", 12.7, 21.0),
    ("5/8 in", 15.9, 25.0),
    ("3/4 in", 19.1, 29.0),
    ("1 in", 25.4, 36.0),
];

/// A number with so many digits, without noughts at its end.
pub fn digits(value: f64, digits: i32) -> String {
    let place = digits - 1 - math::log10(value.abs().max(1e-12)).floor() as i32;
    let text = format!("{value:.*}", place.max(0) as usize);
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_string(),
        false => text,
    }
}

/// Rounded down to a step.
fn down(value: f64, step: f64) -> f64 {
    (value / step * (1.0 + 1e-12)).floor() * step
}

fn up(value: f64, step: f64) -> f64 {
    (value / step * (1.0 - 1e-12)).ceil() * step
}

/// Units a catalog is written in.
#[derive(Clone, Copy)]
struct Units {
    us: bool,
}

impl Units {
    fn pressure(self, kpa: f64) -> String {
        match self.us {
            true => format!("{} psi", digits(kpa / 6.894757, 3)),
            false => format!("{} kPa", digits(kpa, 3)),
        }
    }

    fn flow(self, litres: f64) -> String {
        match self.us {
            true => format!("{} cfm", digits(litres / 28.316847, 3)),
            false => format!("{} L/min", digits(litres, 3)),
        }
    }

    fn length(self, metres: f64) -> String {
        match self.us {
            true => format!("{} ft", digits(metres / 0.3048, 3)),
            false => format!("{} m", digits(metres, 3)),
        }
    }

    fn bore(self, mm: f64) -> String {
        match self.us {
            true => format!("{} in", digits(mm / 25.4, 3)),
            false => format!("{} mm", digits(mm, 3)),
        }
    }
}

/// The honest catalog of a seed.
pub fn catalog(seed: u64) -> Drawn {
    let mut draw = Draw(seed.wrapping_mul(0x5851_f42d_4c95_7f2d) ^ 0x1405_7b7e);
    // Some draws give a machine that can't feed its diffusers at any depth worth a promise.
    loop {
        if let Some(drawn) = attempt(&mut draw) {
            return drawn;
        }
    }
}

fn attempt(draw: &mut Draw) -> Option<Drawn> {
    let mut made = facts(draw)?;
    let has_area = draw.below(4) > 0;
    let (us, count) = (made.us, made.count);
    let step = if us { 0.25 } else { 0.1 };
    let unit = if us { "ft" } else { "m" };
    // First how deep it may go; then, at a depth drawn above that, the rest.
    made.add("depth", format!("depth = \"1 {unit}\""));
    option(&mut made, draw);
    let metres = rated_depth(&made)? * draw.between(0.5, 1.0);
    let depth = down(metres.min(12.0) / if us { 0.3048 } else { 1.0 }, step);
    if depth < 2.0 * step {
        return None;
    }
    made.set("depth", &format!("\"{} {unit}\"", digits(depth, 4)));
    // A run is as long as its bore allows, at most.
    let run = rated_run(&made)? * draw.between(0.2, 0.85);
    let run = down((run / if us { 0.3048 } else { 1.0 }).min(120.0), 1.0);
    if run < 2.0 {
        return None;
    }
    let airline = made.value("airline")?;
    let begin = airline.find("length = \"")?;
    let airline = format!(
        "{}length = \"{run} {unit}\", count = {count} }}",
        &airline[..begin]
    );
    made.set("airline", &airline);
    // The longer run takes its share of the pressure.
    let again = rated_depth(&made)? / if us { 0.3048 } else { 1.0 };
    if again < depth {
        made.set(
            "depth",
            &format!("\"{} {unit}\"", digits(down(again, step), 4)),
        );
    }
    promises(&mut made, draw, has_area)?;
    Some(made)
}

/// What the engine rates for a claim.
fn rated(made: &Drawn, is_it: impl Fn(&Verdict) -> bool) -> Option<f64> {
    let outcome = audit(&made.text());
    outcome.verdicts.iter().find(|one| is_it(one))?.rated
}

fn rated_depth(made: &Drawn) -> Option<f64> {
    rated(made, |one| one.claim == Claim::Depth)
}

fn rated_run(made: &Drawn) -> Option<f64> {
    rated(made, |one| one.claim == Claim::AirlineLength)
}

fn option(made: &mut Drawn, draw: &mut Draw) {
    let unit = if made.us { "ft" } else { "m" };
    let count = made.count;
    made.add("", "");
    made.add("option", "[[package.kit.option]]");
    made.add("id", "id = \"with-airline\"");
    made.add(
        "airline",
        format!("airline = {{ part = \"line\", length = \"5 {unit}\", count = {count} }}"),
    );
    if draw.below(3) == 0 {
        made.add("price", "price = \"240 EUR\"");
    }
}

/// Claims of everything that isn't the depth: as rated, to the safe side.
fn promises(made: &mut Drawn, draw: &mut Draw, has_area: bool) -> Option<()> {
    let us = made.us;
    let mut trial = made.clone();
    let depth = made.value("depth")?;
    let (flow, area) = if us {
        ("1 cfm", "0.001 acre")
    } else {
        ("1 L/min", "1 m2")
    };
    trial.after(
        "depth",
        "flow",
        &format!("flow = {{ is = \"{flow}\", at = {depth} }}"),
    );
    trial.after("depth", "cost", "running_cost = \"1 USD/month\"");
    trial.after("depth", "power", "power = \"1 W\"");
    let ear = if us { "10 ft" } else { "3 m" };
    trial.after(
        "depth",
        "sound",
        &format!("sound = {{ is = \"60 dB(A)\", at = \"{ear}\" }}"),
    );
    if has_area {
        trial.after("depth", "turnover", "turnover = \"0.01 /day\"");
        trial.after("depth", "area", &format!("area = \"{area}\""));
    }
    let outcome = audit(&trial.text());
    let rated = |claim: Claim| {
        outcome
            .verdicts
            .iter()
            .find(|one| one.claim == claim)?
            .rated
    };
    let mut new: Vec<(&str, String)> = Vec::new();
    if has_area {
        let (size, step, unit) = match us {
            true => (rated(Claim::Area)? / 4_046.856_422_4, 0.05, "acre"),
            false => (rated(Claim::Area)?, 10.0, "m2"),
        };
        let size = down(size * draw.between(0.7, 1.0), step);
        if size > 0.0 {
            new.push(("area", format!("area = \"{} {unit}\"", digits(size, 4))));
        }
    }
    let (air, step, unit) = match us {
        true => (rated(Claim::Flow)? / 0.028_316_846_592 * 60.0, 0.1, "cfm"),
        false => (rated(Claim::Flow)? * 60_000.0, 1.0, "L/min"),
    };
    let air = down(air * draw.between(0.8, 1.0), step);
    if air > 0.0 && draw.below(4) > 0 {
        new.push((
            "flow",
            format!(
                "flow = {{ is = \"{} {unit}\", at = {depth} }}",
                digits(air, 3)
            ),
        ));
    }
    if draw.below(4) > 0 {
        let verdict = outcome
            .verdicts
            .iter()
            .find(|one| one.claim == Claim::RunningCost)?;
        let cost = verdict.unit.from_si(verdict.rated?);
        let cost = up(cost * draw.between(1.0, 1.1), 0.1);
        new.push(("cost", format!("running_cost = \"{cost:.2} USD/month\"")));
    }
    if draw.below(2) == 0 {
        let watts = up(rated(Claim::Power)?, 1.0);
        new.push(("power", format!("power = \"{watts} W\"")));
    }
    if draw.below(2) == 0 {
        let level = up(rated(Claim::Sound)?, 1.0);
        new.push((
            "sound",
            format!("sound = {{ is = \"{level} dB(A)\", at = \"{ear}\" }}"),
        ));
    }
    for (label, text) in new.into_iter().rev() {
        made.after("depth", label, &text);
    }
    // How often the water is lifted depends on the area that is claimed with it.
    if made.has("area") && draw.below(2) == 0 {
        made.after("area", "turnover", "turnover = \"0.01 /day\"");
        let often = rated_turnover(made)? * 86_400.0;
        let often = digits(down(often * 0.9, 0.01), 2);
        made.drop("turnover");
        if often.parse::<f64>().is_ok_and(|often| often > 0.0) {
            made.after("area", "turnover", &format!("turnover = \"{often} /day\""));
        }
    }
    Some(())
}

fn rated_turnover(made: &Drawn) -> Option<f64> {
    rated(made, |one| one.claim == Claim::Turnover).map(|often| down(often, 1e-9))
}

/// The facts of a catalog, up to its claims.
fn facts(draw: &mut Draw) -> Option<Drawn> {
    let us = draw.below(2) == 0;
    let units = Units { us };
    let kind = &KINDS[draw.below(KINDS.len() as u64) as usize];
    let count = 1 + draw.below(4) as u32;
    let mut made = Drawn {
        us,
        count,
        ..Drawn::default()
    };
    let held = draw.between(kind.pressure.0, kind.pressure.1);
    let shut_off = held * draw.between(1.25, 1.6);
    let open = draw.between(kind.flow.0, kind.flow.1);
    // Nobody makes one diffuser for more.
    if open / f64::from(count) > 320.0 {
        return None;
    }
    let bend = draw.between(0.95, 1.6);
    let flow_at = |share: f64| open * (1.0 - math::powf(share, bend));
    // Watts at half the shut-off pressure, by the ideal work and a drawn efficiency.
    let rated = shut_off * 0.5;
    let efficiency = draw.between(kind.efficiency.0, kind.efficiency.1);
    let ratio = 1.0 + rated / 101.325;
    let work = 101_325.0 * (flow_at(0.5) / 60_000.0) * 3.5 * (math::powf(ratio, 1.0 / 3.5) - 1.0);
    let watts = work / efficiency;
    let volts = if us { 115.0 } else { 230.0 };
    let amperes = watts / volts / draw.between(0.65, 0.95);
    made.add("catalog", "[catalog]");
    made.add("format", "format = 1");
    made.add("title", "title = \"Otter Mill Water, drawn list\"");
    made.add("", "");
    made.add("site", "[site]");
    let altitude = down(draw.between(0.0, 900.0), 10.0);
    made.add("altitude", format!("altitude = \"{altitude} m\""));
    made.add(
        "tariff",
        format!("tariff = \"{} USD/kWh\"", digits(draw.between(0.1, 0.4), 2)),
    );
    made.add("", "");
    made.add("compressor", "[compressor.machine]");
    made.add("sku", format!("sku = \"OMW-M{}\"", draw.below(900) + 100));
    made.add("technology", format!("technology = \"{}\"", kind.name));
    made.add("voltage", format!("voltage = \"{volts} V\""));
    made.add(
        "frequency",
        format!("frequency = \"{} Hz\"", if us { 60 } else { 50 }),
    );
    made.add(
        "watts",
        format!(
            "power = {{ is = \"{} W\", at = \"{}\" }}",
            digits(watts, 3),
            units.pressure(rated)
        ),
    );
    made.add("current", format!("current = \"{} A\"", digits(amperes, 3)));
    made.add(
        "max_pressure",
        format!("max_pressure = \"{}\"", units.pressure(held)),
    );
    let level = draw.between(kind.sound.0, kind.sound.1).round();
    made.add(
        "level",
        format!("sound = {{ is = \"{level} dB(A)\", at = \"1 m\" }}"),
    );
    made.add("inlet_filter", "inlet_filter = true");
    let (size, bore, outside) = size_for(flow_at(0.5) / f64::from(count));
    made.add("outlet", format!("outlet = \"{size} barb\""));
    if us {
        made.add("flow_basis", "flow_basis = \"inlet\"");
    }
    made.add("curve", "curve = [");
    for (number, share) in [0.0, 0.3, 0.5, 0.75, 1.0].into_iter().enumerate() {
        let point = format!(
            "  {{ pressure = \"{}\", flow = \"{}\" }},",
            if share == 0.0 {
                units.pressure(0.0).replace("-0", "0")
            } else {
                units.pressure(shut_off * share)
            },
            if share == 1.0 {
                units.flow(0.0)
            } else {
                units.flow(flow_at(share))
            }
        );
        made.add(&format!("point {number}"), point);
    }
    made.add("curve end", "]");
    diffuser(
        &mut made,
        draw,
        units,
        flow_at(0.5) / f64::from(count),
        open / f64::from(count),
        size,
    );
    line(
        &mut made,
        draw,
        units,
        (size, bore, outside),
        kind.name == "linear-diaphragm",
    );
    if count > 1 {
        made.add("", "");
        made.add("manifold", "[manifold.valves]");
        made.add("outlets", format!("outlets = {count}"));
        made.add("valve", "valve = \"ball\"");
        made.add("manifold inlet", format!("inlet = \"{size} barb\""));
        made.add("manifold outlet", format!("outlet = \"{size} barb\""));
    }
    let has_cabinet = draw.below(2) == 0;
    if has_cabinet {
        // Air that carries all the heat away at a rise of 6 K.
        let fan = (watts + 10.0) / (1.2 * 1005.0 * 6.0) * 3600.0;
        made.add("", "");
        made.add("cabinet", "[cabinet.box]");
        made.add(
            "fan_flow",
            format!("fan_flow = \"{} m3/h\"", digits(fan, 3)),
        );
        made.add("fan_power", "fan_power = \"8 W\"");
        made.add("receptacles", "receptacles = 2");
    }
    made.add("", "");
    made.add("package", "[package.kit]");
    made.add(
        "package sku",
        format!("sku = \"OMW-K{}\"", draw.below(900) + 100),
    );
    made.add("machine", "compressor = \"machine\"");
    made.add(
        "diffusers",
        format!("diffuser = {{ part = \"disc\", count = {count} }}"),
    );
    if count > 1 {
        made.add("valves", "manifold = \"valves\"");
    }
    if has_cabinet {
        made.add("box", "cabinet = \"box\"");
    }
    made.add("", "");
    made.add("claim", "[package.kit.claim]");
    Some(made)
}

/// A size of airline for so many L/min.
fn size_for(litres: f64) -> (&'static str, f64, f64) {
    let steps = [12.0, 35.0, 70.0, 140.0];
    SIZES[steps.iter().filter(|step| litres > **step).count()]
}

fn diffuser(made: &mut Drawn, draw: &mut Draw, units: Units, usual: f64, most: f64, size: &str) {
    made.add("", "");
    made.add("diffuser", "[diffuser.disc]");
    let (least, most) = (
        usual * draw.between(0.25, 0.5),
        most * draw.between(1.05, 1.4),
    );
    let range = match units.us {
        true => format!(
            "{} to {} cfm",
            digits(least / 28.316847, 2),
            digits(most / 28.316847, 3)
        ),
        false => format!("{} to {} L/min", digits(least, 2), digits(most, 3)),
    };
    made.add("range", format!("flow = \"{range}\""));
    let loss = draw.between(1.2, 2.4);
    made.add("loss", "loss = [");
    for (flow, pressure) in [(least, loss), (most, loss * draw.between(1.2, 1.6))] {
        made.add(
            "loss point",
            format!(
                "  {{ flow = \"{}\", pressure = \"{}\" }},",
                units.flow(flow),
                units.pressure(pressure)
            ),
        );
    }
    made.add("loss end", "]");
    made.add("check_valve", "check_valve = true");
    let litres = draw.between(0.8, 2.0);
    let kilograms = litres * draw.between(1.6, 2.4);
    match units.us {
        true => {
            made.add(
                "mass",
                format!("mass = \"{} lb\"", digits(kilograms / 0.45359237, 2)),
            );
            made.add("volume", format!("volume = \"{} L\"", digits(litres, 2)));
        }
        false => {
            made.add("mass", format!("mass = \"{} kg\"", digits(kilograms, 2)));
            made.add("volume", format!("volume = \"{} L\"", digits(litres, 2)));
        }
    }
    made.add("inlet", format!("inlet = \"{size} barb\""));
}

fn line(
    made: &mut Drawn,
    draw: &mut Draw,
    units: Units,
    (size, bore, outside): (&str, f64, f64),
    is_cool: bool,
) {
    made.add("", "");
    made.add("line", "[airline.line]");
    made.add("size", format!("size = \"{size}\""));
    made.add("bore", format!("bore = \"{}\"", units.bore(bore)));
    made.add("outside", format!("outside = \"{}\"", units.bore(outside)));
    // Heavier than the water its outside takes the place of, by a tenth to a half.
    let mass = 998.0 * std::f64::consts::PI / 4.0 * math::powi(outside / 1000.0, 2);
    let mass = mass * draw.between(1.12, 1.5);
    match units.us {
        true => made.add(
            "mass_per_length",
            format!(
                "mass_per_length = \"{} lb/100ft\"",
                digits(mass / 0.45359237 * 30.48, 3)
            ),
        ),
        false => made.add(
            "mass_per_length",
            format!("mass_per_length = \"{} kg/m\"", digits(mass, 3)),
        ),
    }
    made.add("self_sinking", "self_sinking = true");
    made.add(
        "line pressure",
        format!("max_pressure = \"{}\"", units.pressure(600.0)),
    );
    // Only the machines that run cool go without a hot section.
    if is_cool {
        made.add("max_temperature", "max_temperature = \"60 degC\"");
    }
}

/// A length in the units of the catalog, for faults that need one.
pub fn length(made: &Drawn, metres: f64) -> String {
    Units { us: made.us }.length(metres)
}

/// A pressure likewise, from kPa.
pub fn pressure(made: &Drawn, kpa: f64) -> String {
    Units { us: made.us }.pressure(kpa)
}
