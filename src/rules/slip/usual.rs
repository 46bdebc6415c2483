//! What a part's figures are in this trade, wide apart: a figure outside is hardly meant as it is
//! written. The bands are common practice, no source; they are wide because a figure inside them is
//! never taken for a slip.

use crate::catalog::{Airline, Catalog, Compressor, Figure, Given, Kind, Package, Point};
use crate::derive::{laying, machine};
use crate::text::Span;
use crate::units::{Dimension, Quantity};

/// A figure of a part or package, and what such a figure usually is.
#[derive(Debug, Clone)]
pub(super) struct Candidate {
    /// Where it stands.
    pub at: Span,
    /// As it is written.
    pub quantity: Quantity,
    /// What it is of.
    pub role: Role,
    /// Whether it is a point of a curve or of a table of losses, whose figures were typed alike.
    pub in_curve: bool,
    /// Least and greatest of what is usual, in SI; air as free air, pressure as gauge pressure.
    usual: (f64, f64),
}

/// What a figure has to do with others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Role {
    /// A machine's watts, amperes, air or pressure, which a law of physics ties together.
    Machine,
    /// A diameter across an airline.
    Across,
    /// A promise, which its verdict measures.
    Promise,
    /// Anything else.
    Other,
}

/// Standard atmosphere, Pa: near enough to tell absolute pressures from gauge pressures.
const ATMOSPHERE: f64 = 101_325.0;
/// Air of a free cubic metre, kg.
const DENSITY: f64 = 1.2;
/// A litre a minute in m3/s.
const LITRE: f64 = 1.0 / 60_000.0;

impl Candidate {
    /// Whether a quantity in its place would be usual.
    pub fn is_usual(&self, quantity: &Quantity) -> bool {
        let (low, high) = (
            free(quantity, quantity.si_low()),
            free(quantity, quantity.si_high()),
        );
        low >= self.usual.0 && high <= self.usual.1
    }
}

/// Free air, or gauge pressure; other quantities as they are.
fn free(quantity: &Quantity, si: f64) -> f64 {
    match quantity.dimension() {
        Dimension::AirAmount => si / DENSITY,
        Dimension::AbsolutePressure => si - ATMOSPHERE,
        _ => si,
    }
}

/// The figures of one part or package.
#[derive(Default)]
struct Figures(Vec<Candidate>);

impl Figures {
    fn add(&mut self, figure: &Figure, role: Role, usual: (f64, f64)) {
        self.0.push(Candidate {
            at: figure.at,
            quantity: figure.quantity.clone(),
            role,
            in_curve: false,
            usual,
        });
    }

    fn given(&mut self, figure: &Given<Figure>, role: Role, usual: (f64, f64)) {
        if let Given::Known(figure) = figure {
            self.add(figure, role, usual);
        }
    }

    /// One axis of a table: its greatest figure stands for all of its unit.
    fn axis<'f>(
        &mut self,
        figures: impl Iterator<Item = &'f Figure>,
        role: Role,
        usual: (f64, f64),
    ) {
        let greatest = figures.max_by(|a, b| {
            let of = |figure: &Figure| free(&figure.quantity, figure.high());
            of(a).total_cmp(&of(b))
        });
        if let Some(figure) = greatest {
            self.add(figure, role, usual);
            if let Some(last) = self.0.last_mut() {
                last.in_curve = true;
            }
        }
    }
}

/// The figures of a part or package that may have slipped.
pub(super) fn figures_of(catalog: &Catalog, kind: Kind, id: &str) -> Vec<Candidate> {
    let mut figures = Figures::default();
    match kind {
        Kind::Compressor => {
            if let Some(part) = catalog.compressors.get(id) {
                compressor(part, &mut figures);
            }
        }
        Kind::Diffuser => {
            if let Some(part) = catalog.diffusers.get(id) {
                figures.given(&part.flow, Role::Other, (0.2 * LITRE, 500.0 * LITRE));
                figures.given(&part.volume, Role::Other, (2e-5, 0.06));
                figures.given(&part.source_radius, Role::Other, (0.005, 0.75));
                figures.given(&part.entry.identity.mass, Role::Other, (0.05, 60.0));
                let points = part.loss.known().map_or(&[][..], |points| points);
                table(
                    points,
                    (0.2 * LITRE, 1000.0 * LITRE),
                    // Three times the 0.15 to 0.75 psi of fine-pore diffusers, and as much again for fouling.
                    (50.0, 12e3),
                    Role::Other,
                    &mut figures,
                );
            }
        }
        Kind::Airline => {
            if let Some(part) = catalog.airlines.get(id) {
                airline(part, &mut figures);
            }
        }
        Kind::Cabinet => {
            if let Some(part) = catalog.cabinets.get(id) {
                figures.given(&part.fan_flow, Role::Other, (5.0 / 3600.0, 5000.0 / 3600.0));
                figures.given(&part.fan_power, Role::Other, (0.5, 500.0));
            }
        }
        Kind::Package => {
            if let Some(package) = catalog.packages.get(id) {
                promises(package, &mut figures);
                laid(package, &mut figures);
            }
        }
        _ => {}
    }
    figures.0
}

fn compressor(part: &Compressor, figures: &mut Figures) {
    let held = machine::band(part).map_or((5e3, 200e3), |band| band.pressure);
    // Continuous pressure lies about the technology's band; relief and shut-off above it.
    let continuous = (held.0 / 2.0, held.1 * 2.0);
    let most = (held.0 / 2.0, held.1 * 3.0);
    let air = (3.0 * LITRE, 20_000.0 * LITRE);
    for supply in std::iter::once(&part.supply).chain(&part.variants) {
        figures.given(&supply.power, Role::Machine, (3.0, 7500.0));
        figures.given(&supply.current, Role::Machine, (0.02, 60.0));
        let points = supply.curve.known().map_or(&[][..], |points| points);
        table(points, air, most, Role::Machine, figures);
        let watts = points.iter().filter_map(|point| point.power.as_ref());
        figures.axis(watts, Role::Machine, (3.0, 7500.0));
    }
    figures.given(&part.max_pressure, Role::Machine, continuous);
    figures.given(&part.relief, Role::Machine, most);
    figures.given(&part.open_flow, Role::Machine, air);
    for figure in [&part.rated, &part.supply.power] {
        let at = figure
            .known()
            .and_then(|figure| figure.conditions.pressure.as_deref());
        if let Some(at) = at {
            figures.add(at, Role::Machine, (held.0 / 4.0, continuous.1));
        }
    }
    figures.given(&part.rated, Role::Machine, air);
}

fn table(
    points: &[Point],
    flow: (f64, f64),
    pressure: (f64, f64),
    role: Role,
    figures: &mut Figures,
) {
    figures.axis(points.iter().map(|point| &point.flow), role, flow);
    figures.axis(points.iter().map(|point| &point.pressure), role, pressure);
}

fn airline(part: &Airline, figures: &mut Figures) {
    let across = (0.003, 0.110);
    figures.given(&part.size, Role::Other, across);
    // A bore that is half or twice what the line's name means isn't usual for that line.
    let nominal = part
        .size
        .known()
        .and_then(|size| laying::nominal_bore(part, size));
    let bore = nominal.map_or(across, |nominal| (nominal / 1.8, nominal * 1.8));
    figures.given(&part.bore, Role::Across, bore);
    figures.given(&part.outside, Role::Across, (0.004, 0.130));
    figures.given(&part.mass_per_length, Role::Other, (0.005, 10.0));
    figures.given(&part.max_pressure, Role::Other, (20e3, 7e6));
    figures.given(&part.roll, Role::Other, (2.0, 1000.0));
}

/// What a buyer is told to lay, or gets.
fn laid(package: &Package, figures: &mut Figures) {
    let run = (0.5, 1000.0);
    figures.given(&package.bleed, Role::Other, (0.5 * LITRE, 20_000.0 * LITRE));
    for one in package.diffuser.known().map_or(&[][..], |uses| uses) {
        figures.given(&one.depth, Role::Other, (0.2, 40.0));
        figures.given(&one.run, Role::Other, run);
    }
    for option in &package.options {
        let lines = option.airline.known().map_or(&[][..], |uses| uses);
        for one in lines.iter().chain(option.trunk.known()) {
            for segment in &one.segments {
                figures.given(&segment.length, Role::Other, run);
            }
        }
        for allow in option.allows.known().map_or(&[][..], |allows| allows) {
            figures.given(&allow.size, Role::Other, (0.003, 0.110));
            figures.given(&allow.up_to, Role::Other, run);
        }
    }
}

/// Promises are bold or not by their verdicts, never by a band.
fn promises(package: &Package, figures: &mut Figures) {
    let claims = &package.claims;
    let rows = [
        &claims.depth,
        &claims.area,
        &claims.flow,
        &claims.volume,
        &claims.water_moved,
        &claims.oxygen,
        &claims.oxygen_uptake,
        &claims.power,
    ];
    for figure in rows.into_iter().filter_map(|rows| rows.known()).flatten() {
        figures.add(figure, Role::Promise, (0.0, f64::INFINITY));
    }
}
