//! A package of a sheet's figures alone, for a sheet that belongs to no catalog.
//!
//! What the sheet leaves open is filled in so that it favours the claim: the greatest continuous pressure its kind
//! of machine is met with, air up to what the watts can compress, as many diffusers as could matter, a line that
//! costs nothing. Of several watts (`120 W at most, 40 W as a rule`) each is tried. What fails all the same fails for
//! every machine that the page could mean.

use crate::catalog::{
    Airline, AirlineUse, Catalog, Compressor, Conditions, Current, Diffuser, DiffuserUse, Entry,
    Figure, Given, Identity, Kind, Mention, Package, PackageOption, Plain, Point, Put, Reference,
    Segment, Supply, Text, Use,
};
use crate::derive::machine;
use crate::document::ItemId;
use crate::spec_sheet::{Attribute, Claim, Counted, Subject};
use crate::text::{FileId, Span};
use crate::units::{self, Quantity};

use super::figures;

/// Diffusers of a page that doesn't count them: so many that no more of them serve a larger pond.
const MANY: u32 = 1000;

/// Which of several stated watts a machine is taken to draw.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Watts {
    /// The most: its air is bounded by them.
    Most,
    /// The least: what it costs to run.
    Least,
}

/// Whether the claims say anything that the engine judges.
pub fn states_enough(claims: &[&Claim]) -> bool {
    claims.iter().any(|claim| claim.quantity.is_some())
}

/// The watts to try: one case where a page states one figure or none.
pub fn watts(claims: &[&Claim]) -> &'static [Watts] {
    let stated = || {
        let power = claims
            .iter()
            .filter(|claim| claim.attribute == Attribute::Power);
        power.filter_map(|claim| claim.si.bounds())
    };
    let most = stated()
        .map(|(_, high)| high)
        .fold(f64::NEG_INFINITY, f64::max);
    let least = stated().map(|(low, _)| low).fold(f64::INFINITY, f64::min);
    if least < most {
        &[Watts::Most, Watts::Least]
    } else {
        &[Watts::Most]
    }
}

/// A catalog of one package with the figures of `claims`, its machine of the kind that the format calls
/// `technology`; everything in it is called `id`. `node` is the root of an empty document, in which nothing is
/// known to be missing.
pub fn provisional(
    claims: &[&Claim],
    (technology, watts): (&str, Watts),
    id: &str,
    file: FileId,
    node: ItemId,
) -> Catalog {
    let maker = Maker {
        claims,
        file,
        node,
        technology,
        watts,
        id,
    };
    let mention = |kinds: &'static [Kind]| Mention {
        kinds,
        id: id.to_string(),
        at: maker.nowhere(),
        on: format!("package.{id}"),
        is_use: false,
    };
    let mut catalog = Catalog {
        mentions: [Kind::Compressor, Kind::Diffuser, Kind::Airline]
            .iter()
            .map(|kind| mention(std::slice::from_ref(kind)))
            .collect(),
        ..Catalog::default()
    };
    let compressor = maker.compressor();
    let diffuser = maker.diffuser();
    let airline = maker.airline();
    let package = maker.package();
    // One of each kind: nothing can be there twice.
    let _ = catalog.compressors.add(id, compressor);
    let _ = catalog.diffusers.add(id, diffuser);
    let _ = catalog.airlines.add(id, airline);
    let _ = catalog.packages.add(id, package);
    catalog
}

struct Maker<'s> {
    claims: &'s [&'s Claim],
    file: FileId,
    node: ItemId,
    technology: &'s str,
    watts: Watts,
    id: &'s str,
}

fn given<T>(value: Option<T>) -> Given<T> {
    value.map_or(Given::Absent, Given::Known)
}

impl Maker<'_> {
    /// The place of what the sheet doesn't say: none.
    fn nowhere(&self) -> Span {
        Span::new(self.file, 0, 0)
    }

    fn entry(&self, kind: Kind) -> Entry {
        Entry {
            kind,
            id: self.id.into(),
            header: self.nowhere(),
            document: 0,
            node: self.node,
            damaged: true,
            title: None,
            source: None,
            identity: Identity::default(),
        }
    }

    fn reference(&self) -> Reference {
        Reference {
            id: self.id.into(),
            at: self.nowhere(),
        }
    }

    fn bare(&self, quantity: Quantity) -> Figure {
        Figure {
            quantity,
            at: self.nowhere(),
            also: Vec::new(),
            conditions: Conditions::default(),
            source: None,
            per_diffuser: false,
            put: Put::Plainly,
        }
    }

    /// A quantity that the program writes itself.
    fn own(&self, text: &str) -> Given<Figure> {
        given(
            units::read(text, &[])
                .quantity
                .map(|quantity| self.bare(quantity)),
        )
    }

    fn of(&self, attribute: Attribute) -> impl Iterator<Item = &Claim> {
        let own = self.claims.iter().copied();
        own.filter(move |claim| claim.attribute == attribute)
    }

    /// The first claim of an attribute as a figure.
    fn first(&self, attribute: Attribute) -> Given<Figure> {
        given(
            self.of(attribute)
                .find_map(|claim| figures::figure(claim, self.file)),
        )
    }

    /// Flows with the pressure each is stated at, the least pressure first.
    fn flows_at_pressure(&self) -> Vec<(Figure, Figure)> {
        let mut all: Vec<(Figure, Figure)> = self
            .of(Attribute::Flow)
            .filter(|claim| claim.condition.per.is_none())
            .filter_map(|claim| {
                let flow = figures::figure(claim, self.file)?;
                let pressure = flow.conditions.pressure.as_deref()?.clone();
                Some((pressure, flow))
            })
            .collect();
        all.sort_by(|a, b| a.0.si().total_cmp(&b.0.si()));
        all.dedup_by(|a, b| a.0.si() == b.0.si());
        all
    }

    fn compressor(&self) -> Compressor {
        let at_pressure = self.flows_at_pressure();
        let falls = at_pressure
            .windows(2)
            .all(|two| two[0].1.si() >= two[1].1.si());
        let curve = (at_pressure.len() >= 3 && falls).then(|| {
            at_pressure
                .iter()
                .map(|(pressure, flow)| Point {
                    pressure: pressure.clone(),
                    flow: flow.clone(),
                    power: None,
                })
                .collect()
        });
        let power = self.power();
        let max_pressure = self.max_pressure(at_pressure.last().map(|(pressure, _)| pressure.si()));
        let rated = at_pressure.into_iter().next_back().map(|(_, flow)| flow);
        let is_direct = self.of(Attribute::Frequency).next().is_none();
        Compressor {
            entry: self.entry(Kind::Compressor),
            technology: Given::Known(Text {
                text: self.technology.into(),
                at: self.nowhere(),
            }),
            supply: Supply {
                at: None,
                voltage: self.first(Attribute::Voltage),
                frequency: self.first(Attribute::Frequency),
                // Twelve volts without hertz are a battery's.
                kind: if is_direct
                    && self
                        .first(Attribute::Voltage)
                        .known()
                        .is_some_and(|volts| volts.high() < 60.0)
                {
                    Current::Direct
                } else {
                    Current::Alternating
                },
                power: power.clone(),
                current: self.first(Attribute::Current),
                curve: given(curve),
            },
            variants: Vec::new(),
            starting_current: Given::Absent,
            open_flow: self.open_flow(power.known()),
            rated: given(rated),
            max_pressure,
            relief: Given::Absent,
            flow_basis: Given::Absent,
            conditions: Conditions::default(),
            sound: self.bare_sound(),
            inlet_filter: Given::Absent,
            outlet: Given::Absent,
            plugs: Given::Absent,
            ambient_limit: Given::Absent,
            lowest_ambient: Given::Absent,
            service: Vec::new(),
        }
    }

    /// Air without a pressure is taken as open flow, which is the most it can be. Without any, as much as the watts
    /// could compress to next to nothing: from there on the watts bound it.
    fn open_flow(&self, power: Option<&Figure>) -> Given<Figure> {
        let loose = self
            .of(Attribute::Flow)
            .filter(|claim| claim.condition.pressure.is_none());
        let figures = loose.filter_map(|claim| {
            let figure = figures::figure(claim, self.file)?;
            let count = if claim.condition.per == Some(Counted::Diffuser) {
                self.count()
            } else {
                1
            };
            Some((figure, count))
        });
        let most = figures.max_by(|a, b| {
            let air = |one: &(Figure, u32)| one.0.high() * f64::from(one.1);
            air(a).total_cmp(&air(b))
        });
        if let Some((figure, count)) = most {
            if count == 1 {
                return Given::Known(figure);
            }
            let litres = figure.high() * f64::from(count) * 60_000.0;
            return self.own(&format!("{litres:.3} L/min"));
        }
        if self.of(Attribute::Flow).next().is_some() {
            return Given::Absent;
        }
        let Some(power) = power else {
            return Given::Absent;
        };
        // 3 kPa, the water over a foot: work is pressure times volume, and no machine does better than all of it.
        let litres = power.high() / 3000.0 * 60_000.0;
        self.own(&format!("{litres:.3} L/min"))
    }

    /// The watts of the case. A cost that was rounded from them was rounded from all that their last digit may mean.
    fn power(&self) -> Given<Figure> {
        let all = || {
            let claims = self.of(Attribute::Power);
            claims.filter_map(|claim| figures::figure(claim, self.file))
        };
        // Beside watts, horsepower is only the size of the motor.
        let of_a_shaft = |figure: &Figure| figure.quantity.unit().is_of_a_shaft();
        let has_watts = all().any(|figure| !of_a_shaft(&figure));
        let stated = all().filter(|figure| !has_watts || !of_a_shaft(figure));
        let power = match self.watts {
            Watts::Most => stated.max_by(|a, b| a.high().total_cmp(&b.high())),
            Watts::Least => stated.min_by(|a, b| a.low().total_cmp(&b.low())),
        };
        let costs = self.of(Attribute::Cost).next().is_some();
        given(power.map(|figure| {
            // `1/2 hp (0.37 kW)` is the less of the two.
            let listings = figure.also.iter().map(|(also, _)| also);
            let least = listings
                .chain([&figure.quantity])
                .map(|quantity| quantity.rounding().0)
                .fold(f64::INFINITY, f64::min);
            let read = units::read(&format!("{least} to {} W", figure.high()), &[]);
            let rounded = costs && least > 0.0 && !of_a_shaft(&figure);
            match read.quantity.filter(|_| rounded) {
                Some(quantity) => Figure { quantity, ..figure },
                None => figure,
            }
        }))
    }

    /// The greatest that the page calls a limit; else the greatest that such machines are met with, or that the page
    /// says it works at. What a gauge shows on an ordinary day bounds nothing.
    fn max_pressure(&self, beyond: Option<f64>) -> Given<Figure> {
        let limits = self
            .of(Attribute::Pressure)
            .filter(|claim| claim.is_limit)
            .filter_map(|claim| figures::figure(claim, self.file));
        let most = limits.max_by(|a, b| a.high().total_cmp(&b.high()));
        if let Some(stated) = most {
            return Given::Known(stated);
        }
        let band = machine::band_of(self.technology).map_or(0.0, |band| band.pressure.1);
        let worked_at = self
            .of(Attribute::Pressure)
            .filter_map(|claim| claim.si.bounds())
            .map(|(_, high)| high);
        let pascals = worked_at.chain(beyond).fold(band, f64::max);
        self.own(&format!("{pascals:.0} Pa"))
    }

    /// The level of the bare machine, where the sheet says that it is the machine's.
    fn bare_sound(&self) -> Given<Figure> {
        let mut levels = self
            .of(Attribute::Sound)
            .filter(|claim| claim.subject == Subject::Compressor);
        given(levels.find_map(|claim| figures::figure(claim, self.file)))
    }

    /// Diffusers: as many as it is said; else as many as could matter, where the page promises something of the
    /// water, and one where it doesn't.
    fn count(&self) -> u32 {
        let counts = self
            .of(Attribute::DiffuserCount)
            .filter_map(|claim| claim.si.bounds());
        let of_water = || {
            self.claims.iter().any(|claim| {
                matches!(
                    claim.attribute,
                    Attribute::Area
                        | Attribute::Turnover
                        | Attribute::WaterFlow
                        | Attribute::Oxygen
                )
            })
        };
        counts
            .map(|(_, high)| high as u32)
            .max()
            .unwrap_or_else(|| if of_water() { MANY } else { 1 })
            .clamp(1, MANY)
    }

    fn diffuser(&self) -> Diffuser {
        Diffuser {
            entry: self.entry(Kind::Diffuser),
            flow: Given::Absent,
            loss: Given::Absent,
            bubble: Given::Absent,
            check_valve: Given::Absent,
            volume: Given::Absent,
            source_radius: Given::Absent,
            stand: Given::Absent,
            inlet: Given::Absent,
        }
    }

    /// The bore that is stated, nominal or inside; without one a line so wide that it costs nothing.
    fn airline(&self) -> Airline {
        let inside = self
            .of(Attribute::AirlineSize)
            .find(|claim| !claim.is_outside);
        let bore = inside.and_then(|claim| figures::figure(claim, self.file));
        Airline {
            entry: self.entry(Kind::Airline),
            size: Given::Absent,
            size_means: Given::Absent,
            bore: bore.map_or_else(|| self.own("2 in"), Given::Known),
            outside: Given::Absent,
            mass_per_length: Given::Absent,
            self_sinking: Given::Absent,
            max_pressure: Given::Absent,
            max_temperature: Given::Absent,
            roll: Given::Absent,
            price_per_length: Given::Absent,
        }
    }

    /// One run for each diffuser. A length that may be the sum of all runs is taken as that; without a bore or a
    /// length a short line.
    fn runs(&self) -> Vec<AirlineUse> {
        let count = self.count();
        let has_bore = self
            .of(Attribute::AirlineSize)
            .any(|claim| !claim.is_outside);
        let longest = self
            .of(Attribute::AirlineLength)
            .filter_map(|claim| figures::figure(claim, self.file).map(|figure| (claim, figure)))
            .max_by(|a, b| a.1.high().total_cmp(&b.1.high()));
        let length = match longest {
            Some((claim, figure)) if has_bore => {
                let each = count == 1
                    || claim.count.is_some()
                    || claim.condition.per == Some(Counted::Diffuser);
                if each {
                    Given::Known(figure)
                } else {
                    self.own(&format!("{:.4} m", figure.high() / f64::from(count)))
                }
            }
            _ => self.own("0.1 m"),
        };
        vec![AirlineUse {
            segments: vec![Segment {
                part: self.reference(),
                length,
            }],
            count,
            per_run: 1,
            at: self.nowhere(),
        }]
    }

    fn package(&self) -> Package {
        let mut claims = figures::promises(self.claims, self.file);
        // The watts are the machine's own here.
        claims.power = Given::Absent;
        // What it costs hangs on the hours it runs, and a page that keeps silent on them may mean few.
        if let Given::Known(rows) = &mut claims.running_cost {
            rows.retain(|row| row.conditions.hours_per_day.is_some());
            if rows.is_empty() {
                claims.running_cost = Given::Absent;
            }
        }
        // A flow that the machine's own figures are made of can't be held against them.
        if let Given::Known(rows) = &mut claims.flow {
            rows.retain(|row| row.conditions.depth.is_some());
            if rows.is_empty() {
                claims.flow = Given::Absent;
            }
        }
        let hours = self
            .of(Attribute::Cost)
            .find_map(|claim| claim.condition.hours_per_day);
        Package {
            entry: self.entry(Kind::Package),
            compressor: Given::Known(vec![Use {
                part: self.reference(),
                count: 1,
                at: self.nowhere(),
            }]),
            supply: Given::Absent,
            diffuser: Given::Known(vec![DiffuserUse {
                part: self.reference(),
                count: self.count(),
                depth: Given::Absent,
                run: Given::Absent,
                airline: Given::Absent,
                at: self.nowhere(),
            }]),
            manifold: Given::Absent,
            cabinet: Given::Absent,
            fittings: Given::Absent,
            check_valves: Given::Absent,
            hot_section: Given::Absent,
            bleed: Given::Absent,
            hours_per_day: given(hours.map(|value| Plain {
                value,
                at: self.nowhere(),
            })),
            above_water: Given::Absent,
            claims,
            options: vec![PackageOption {
                id: self.id.into(),
                at: self.nowhere(),
                header: self.nowhere(),
                node: self.node,
                airline: Given::Known(self.runs()),
                trunk: Given::Absent,
                allows: Given::Absent,
                compressor: Given::Absent,
                supply: Given::Absent,
                manifold: Given::Absent,
                cabinet: Given::Absent,
                fittings: Given::Absent,
                identity: Identity::default(),
            }],
        }
    }
}
