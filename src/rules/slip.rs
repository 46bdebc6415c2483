//! Units that slipped: a figure that is implausible as written, and plausible under one common mix-up.
//!
//! The test isn't the figure alone but everything that rests on it. A part with a fault, or a package
//! with one, is taken out of the catalog together with all packages that use it; one figure is read
//! under each mix-up its unit allows; and all rules are asked again. A mix-up is named only if no
//! finding of any weight is left on any of them, and if no other mix-up does the same with another
//! value.

use std::collections::BTreeSet;

use crate::catalog::{Catalog, Figure, Kind};
use crate::claims;
use crate::derive::Derived;
use crate::finding::{Evidence, Finding, Level, Value};
use crate::text::Span;
use crate::units::{self, Mark, Quantity, Unit, math};

use super::{Context, unit};

/// A mix-up: the unit as written, the unit that was meant, and how the trade comes to it.
struct MixUp {
    written: &'static str,
    meant: &'static str,
    how: &'static str,
}

const fn mix_up(written: &'static str, meant: &'static str, how: &'static str) -> MixUp {
    MixUp {
        written,
        meant,
        how,
    }
}

/// The mix-ups that are met; each is tried in the direction it stands.
static MIX_UPS: &[MixUp] = &[
    mix_up(
        "cfm",
        "L/min",
        "litres a minute read as cubic feet a minute",
    ),
    mix_up(
        "scfm",
        "L/min",
        "litres a minute read as cubic feet a minute",
    ),
    mix_up(
        "L/min",
        "cfm",
        "cubic feet a minute read as litres a minute",
    ),
    mix_up("L/min", "L/s", "litres a second read as litres a minute"),
    mix_up("L/s", "L/min", "litres a minute read as litres a second"),
    mix_up(
        "m3/h",
        "L/min",
        "litres a minute read as cubic metres an hour",
    ),
    mix_up(
        "L/min",
        "m3/h",
        "cubic metres an hour read as litres a minute",
    ),
    mix_up("m3/min", "m3/h", "cubic metres an hour read as a minute's"),
    mix_up(
        "m3/h",
        "cfm",
        "cubic feet a minute read as cubic metres an hour",
    ),
    mix_up(
        "cfm",
        "m3/h",
        "cubic metres an hour read as cubic feet a minute",
    ),
    mix_up(
        "Nm3/h",
        "L/min",
        "litres a minute read as normal cubic metres an hour",
    ),
    mix_up("W", "hp", "horsepower read as watts"),
    mix_up("hp", "W", "watts read as horsepower"),
    mix_up("W", "kW", "kilowatts read as watts"),
    mix_up("kW", "W", "watts read as kilowatts"),
    mix_up("psi", "kPa", "kilopascals read as psi"),
    mix_up("kPa", "psi", "psi read as kilopascals"),
    mix_up("kPa", "mbar", "millibars read as kilopascals"),
    mix_up("mbar", "kPa", "kilopascals read as millibars"),
    mix_up("bar", "psi", "psi read as bars"),
    mix_up("psi", "inH2O", "inches of water read as psi"),
    mix_up("inH2O", "psi", "psi read as inches of water"),
    mix_up(
        "kPa",
        "kPa(abs)",
        "absolute pressure read as gauge pressure",
    ),
    mix_up("psi", "psia", "absolute pressure read as gauge pressure"),
    mix_up(
        "bar",
        "bar(abs)",
        "absolute pressure read as gauge pressure",
    ),
    mix_up("ft", "in", "inches read as feet"),
    mix_up("in", "ft", "feet read as inches"),
    mix_up("ft", "m", "metres read as feet"),
    mix_up("m", "ft", "feet read as metres"),
    mix_up("m", "cm", "centimetres read as metres"),
    mix_up("in", "mm", "millimetres read as inches"),
    mix_up("mm", "in", "inches read as millimetres"),
    mix_up("cm", "mm", "millimetres read as centimetres"),
    mix_up("acre", "ft2", "square feet read as acres"),
    mix_up("ft2", "acre", "acres read as square feet"),
    mix_up("acre", "m2", "square metres read as acres"),
    mix_up("m2", "ft2", "square feet read as square metres"),
    mix_up("ha", "m2", "square metres read as hectares"),
    mix_up("ha", "acre", "acres read as hectares"),
    mix_up("A", "mA", "milliamperes read as amperes"),
    mix_up("mA", "A", "amperes read as milliamperes"),
    mix_up("kg", "lb", "pounds read as kilograms"),
    mix_up("kg", "g", "grams read as kilograms"),
    mix_up(
        "kg/m",
        "lb/100ft",
        "pounds for a hundred feet read as kilograms for a metre",
    ),
    mix_up(
        "lb/ft",
        "lb/100ft",
        "pounds for a hundred feet read as pounds for a foot",
    ),
    mix_up("kg/m", "g/m", "grams read as kilograms for a metre"),
];

/// Factors that aren't units: what was taken for what.
static FACTORS: &[(f64, &str)] = &[
    (2.0, "a radius read as a diameter"),
    (0.5, "a diameter read as a radius"),
];

/// As many suspects are looked into: a catalog with more has another kind of fault.
const MOST_SUSPECTS: usize = 50;
/// As many packages are asked again for one suspect; more would cost more than they tell.
const MOST_PACKAGES: usize = 12;

/// Replaces findings that one mix-up explains by one that names it.
pub fn explain(context: &Context, findings: &mut Vec<Finding>) {
    let mut suspects: Vec<(Kind, String)> = Vec::new();
    for finding in findings.iter().filter(|finding| is_symptom(finding)) {
        if let Some(thing) = thing(&finding.on)
            && !suspects.contains(&thing)
        {
            suspects.push(thing);
        }
    }
    // A package's fault may be one of its parts': those are suspects too, before the package.
    let parts: Vec<(Kind, String)> = suspects
        .iter()
        .filter(|(kind, _)| *kind == Kind::Package)
        .flat_map(|(_, id)| parts_of(context, id))
        .collect();
    let mut all: Vec<(Kind, String)> = Vec::new();
    for thing in suspects
        .iter()
        .filter(|(kind, _)| *kind != Kind::Package)
        .cloned()
        .chain(parts)
        .chain(
            suspects
                .iter()
                .filter(|(kind, _)| *kind == Kind::Package)
                .cloned(),
        )
    {
        if !all.contains(&thing) {
            all.push(thing);
        }
    }
    for (kind, id) in all.into_iter().take(MOST_SUSPECTS) {
        let Some(slip) =
            Suspect::new(context, kind, &id, findings).and_then(|suspect| suspect.slip())
        else {
            continue;
        };
        // One cause, one finding: what the slip explains goes into its evidence.
        let mut explained = Vec::new();
        findings.retain(|finding| {
            let touched = is_symptom(finding) && slip.covers.contains(root(&finding.on));
            if touched {
                explained.push(finding.clone());
            }
            !touched
        });
        findings.push(slip.finding(&explained));
    }
}

/// Whether a finding may be the symptom of a slip: it is about figures against physics or each other.
fn is_symptom(finding: &Finding) -> bool {
    const FAMILIES: [&str; 7] = [
        "curve", "power", "airline", "diffuser", "cabinet", "duty", "claim",
    ];
    finding.level >= Level::Warning && FAMILIES.contains(&finding.rule.family())
}

/// `package.a.option.b` is about `package.a`.
fn root(on: &str) -> &str {
    match on.match_indices('.').nth(1) {
        Some((at, _)) => &on[..at],
        None => on,
    }
}

fn thing(on: &str) -> Option<(Kind, String)> {
    let (table, id) = root(on).split_once('.')?;
    let kinds = Kind::PARTS.iter().chain(&[Kind::Package]);
    kinds
        .into_iter()
        .find(|kind| kind.table() == table)
        .map(|kind| (*kind, id.to_string()))
}

/// The parts a package names.
fn parts_of(context: &Context, package: &str) -> Vec<(Kind, String)> {
    let on = format!("package.{package}");
    let mentions = context
        .catalog
        .mentions
        .iter()
        .filter(|mention| mention.on == on);
    mentions
        .flat_map(|mention| mention.kinds.iter().map(|kind| (*kind, mention.id.clone())))
        .filter(|(kind, _)| {
            matches!(
                kind,
                Kind::Compressor | Kind::Diffuser | Kind::Airline | Kind::Cabinet
            )
        })
        .collect()
}

/// A part or package with a fault, and everything that uses it.
struct Suspect<'a> {
    context: &'a Context<'a>,
    excerpt: Catalog,
    /// The things whose findings the slip would have to explain.
    covers: BTreeSet<String>,
    /// Its own figures: place and what stands there.
    figures: Vec<(Span, Quantity, bool)>,
    /// Whether a finding is about the part itself, or every package with it fails.
    is_part_at_fault: bool,
}

/// A slip that explains everything.
struct Slip {
    at: Span,
    on: String,
    covers: BTreeSet<String>,
    written: String,
    meant: String,
    how: &'static str,
    /// Whether the number stays and only its unit changes, so that a correction can be offered.
    correction: Option<String>,
    /// How many figures of the same curve slipped together.
    together: usize,
}

impl<'a> Suspect<'a> {
    fn new(
        context: &'a Context<'a>,
        kind: Kind,
        id: &str,
        findings: &[Finding],
    ) -> Option<Suspect<'a>> {
        let users: BTreeSet<&str> = match kind {
            Kind::Package => std::iter::once(id).collect(),
            _ => context
                .users(kind, id)
                .into_iter()
                .map(|on| root_id(on))
                .collect(),
        };
        if users.len() > MOST_PACKAGES {
            return None;
        }
        let also = (kind != Kind::Package).then_some((kind, id));
        let mut excerpt = context.catalog.excerpt(&users, also);
        let on = format!("{}.{id}", kind.table());
        let mut covers: BTreeSet<String> = users.iter().map(|id| format!("package.{id}")).collect();
        covers.insert(on.clone());
        // Something must be wrong with it or with every package that uses it.
        let touched = findings
            .iter()
            .any(|one| is_symptom(one) && covers.contains(root(&one.on)));
        if !touched {
            return None;
        }
        let figures = figures_of(&mut excerpt, kind, id);
        let fails = |on: &str| {
            findings
                .iter()
                .any(|one| is_symptom(one) && root(&one.on) == on)
        };
        let packages: Vec<&String> = covers
            .iter()
            .filter(|on| on.starts_with("package."))
            .collect();
        // A single package may simply promise too much; several that fail alike have a cause.
        let is_part_at_fault =
            fails(&on) || (packages.len() > 1 && packages.iter().all(|on| fails(on)));
        Some(Suspect {
            context,
            excerpt,
            covers,
            figures,
            is_part_at_fault,
        })
    }

    /// The one mix-up that leaves nothing wrong, if there is exactly one value it gives.
    fn slip(&self) -> Option<Slip> {
        // A suspect with nothing wrong under its own figures would explain nothing.
        if self.is_sound(&self.excerpt) {
            return None;
        }
        let mut found: Vec<(Slip, f64)> = Vec::new();
        let mut curves: BTreeSet<String> = BTreeSet::new();
        for (at, quantity, in_curve) in &self.figures {
            let written = quantity.unit().to_string();
            // The first figure of a curve stands for all of its unit.
            if *in_curve && !curves.insert(written.clone()) {
                continue;
            }
            for one in MIX_UPS.iter().filter(|one| one.written == written) {
                let Some(unit) = Unit::known(one.meant) else {
                    continue;
                };
                let Some(meant) = reread(quantity, unit) else {
                    continue;
                };
                // In a curve all figures of a unit were typed the same way.
                let Some((changed, together)) = self.with(*at, *in_curve, &|q| reread(q, unit))
                else {
                    continue;
                };
                if self.is_sound(&changed) && self.is_far_off(*at, quantity, &meant) {
                    let value = meant.si_central();
                    let correction = Some(meant.text().to_string());
                    found.push((
                        self.found(*at, quantity, &meant, one.how, correction, together),
                        value,
                    ));
                }
            }
            for (factor, how) in FACTORS {
                if quantity.dimension() != units::Dimension::Length || *in_curve {
                    continue;
                }
                let scaled = |q: &Quantity| scale(q, *factor);
                let Some(meant) = scaled(quantity) else {
                    continue;
                };
                let Some((changed, together)) = self.with(*at, false, &scaled) else {
                    continue;
                };
                if self.is_sound(&changed) && self.is_far_off(*at, quantity, &meant) {
                    let value = meant.si_central();
                    found.push((
                        self.found(*at, quantity, &meant, how, None, together),
                        value,
                    ));
                }
            }
        }
        // Several ways to the same figure are one; two different explanations are none.
        let (first, value) = found.first().map(|(slip, value)| (slip.at, *value))?;
        let same =
            |(slip, other): &(Slip, f64)| slip.at == first && (other / value - 1.0).abs() < 0.03;
        if !found.iter().all(same) {
            return None;
        }
        found.into_iter().next().map(|(slip, _)| slip)
    }

    /// Whether a figure is so far off, and the other reading so near, that a slip is likelier than a
    /// bold promise. Any promise comes true if it is made small enough; one that was mistyped comes near
    /// what is rated, and lies at least twice beyond it as it stands.
    fn is_far_off(&self, at: Span, written: &Quantity, meant: &Quantity) -> bool {
        let claimed = self
            .context
            .verdicts
            .iter()
            .find(|verdict| verdict.at == at);
        let Some(verdict) = claimed else {
            // A part's own figure was tried because something is wrong with the part itself.
            return self.is_part_at_fault;
        };
        let Some(rated) = verdict.rated.filter(|rated| *rated > 0.0) else {
            return false;
        };
        let off = |value: f64| math::ln(value / rated).abs();
        let (before, after) = (off(written.si_high()), off(meant.si_high()));
        before >= math::ln(2.0) && after <= math::ln(2.5) && after < before
    }

    fn found(
        &self,
        at: Span,
        written: &Quantity,
        meant: &Quantity,
        how: &'static str,
        correction: Option<String>,
        together: usize,
    ) -> Slip {
        let on = self
            .covers
            .iter()
            .find(|on| !on.starts_with("package."))
            .or(self.covers.first());
        Slip {
            at,
            on: on.cloned().unwrap_or_default(),
            covers: self.covers.clone(),
            written: written.text().to_string(),
            meant: meant.text().to_string(),
            how,
            correction: correction.filter(|_| together == 1),
            together,
        }
    }

    /// The excerpt with the figure at `at` (and its fellows in a curve) read another way; nothing where
    /// one of them can't be.
    fn with(
        &self,
        at: Span,
        in_curve: bool,
        read: &dyn Fn(&Quantity) -> Option<Quantity>,
    ) -> Option<(Catalog, usize)> {
        let unit = self
            .figures
            .iter()
            .find(|figure| figure.0 == at)?
            .1
            .unit()
            .to_string();
        let fellows: BTreeSet<Span> = self
            .figures
            .iter()
            .filter(|(span, quantity, curve)| {
                *span == at || (in_curve && *curve && quantity.unit().to_string() == unit)
            })
            .map(|figure| figure.0)
            .collect();
        let mut changed = self.excerpt.clone();
        let mut failed = false;
        let mut count = 0;
        changed.figures_mut(&mut |figure: &mut Figure| {
            if fellows.contains(&figure.at) {
                match read(&figure.quantity) {
                    Some(quantity) => {
                        figure.quantity = quantity;
                        count += 1;
                    }
                    None => failed = true,
                }
            }
        });
        (!failed && count > 0).then_some((changed, count))
    }

    /// Whether no rule finds anything of weight in a catalog.
    fn is_sound(&self, catalog: &Catalog) -> bool {
        let derived = Derived::of(catalog);
        let verdicts: Vec<_> = derived
            .packages
            .iter()
            .flat_map(|facts| claims::judge(catalog, &derived, facts))
            .collect();
        // What makes a figure useless makes every rule silent, and explains nothing.
        let useless = |verdict: &claims::Verdict| {
            verdict
                .missing
                .as_ref()
                .is_some_and(|missing| missing.reported)
        };
        if verdicts.iter().any(useless) {
            return false;
        }
        let context = Context {
            sources: self.context.sources,
            documents: self.context.documents,
            catalog,
            derived: &derived,
            verdicts: &verdicts,
        };
        let findings = super::check_facts(&context);
        findings
            .iter()
            .all(|finding| finding.level < Level::Warning || !is_symptom(finding))
    }
}

/// `a` of `a.option.b`.
fn root_id(on: &str) -> &str {
    on.split_once('.').map_or(on, |(id, _)| id)
}

/// The figures of a part or package: place, quantity, and whether it is a point of a curve.
fn figures_of(excerpt: &mut Catalog, kind: Kind, id: &str) -> Vec<(Span, Quantity, bool)> {
    let mut only = match kind {
        Kind::Package => {
            let mut only = excerpt.clone();
            only.compressors = Default::default();
            only.diffusers = Default::default();
            only.airlines = Default::default();
            only.cabinets = Default::default();
            only
        }
        _ => excerpt.excerpt(&BTreeSet::new(), Some((kind, id))),
    };
    let mut curves: BTreeSet<Span> = BTreeSet::new();
    for part in only.compressors.iter() {
        for point in part.supply.curve.known().map_or(&[][..], |points| points) {
            curves.extend([point.pressure.at, point.flow.at]);
        }
    }
    for part in only.diffusers.iter() {
        for point in part.loss.known().map_or(&[][..], |points| points) {
            curves.extend([point.pressure.at, point.flow.at]);
        }
    }
    let mut figures = Vec::new();
    only.figures_mut(&mut |figure| {
        figures.push((
            figure.at,
            figure.quantity.clone(),
            curves.contains(&figure.at),
        ));
    });
    figures
}

/// The same numbers in another unit.
fn reread(quantity: &Quantity, unit: Unit) -> Option<Quantity> {
    let text = quantity.canonical();
    let number = text.strip_suffix(&quantity.unit().to_string())?;
    units::read(&format!("{number}{unit}"), &[unit.dimension()]).quantity
}

/// The same unit with a number `factor` times.
fn scale(quantity: &Quantity, factor: f64) -> Option<Quantity> {
    if quantity.is_range() {
        return None;
    }
    let value = units::show::significant(quantity.central() * factor, 6);
    units::read(
        &format!("{value} {}", quantity.unit()),
        &[quantity.dimension()],
    )
    .quantity
}

impl Slip {
    fn finding(&self, explained: &[Finding]) -> Finding {
        let whose = if self.together > 1 {
            format!(" (and the {} figures beside it)", self.together - 1)
        } else {
            String::new()
        };
        let mut finding = Finding::new(
            unit::rule("slip"),
            self.at,
            format!(
                "{}{whose} fits nothing else that is known; as {} it fits everything: {}.",
                self.written, self.meant, self.how
            ),
        )
        .mend("Look the figure up where it came from.")
        .on(self.on.clone());
        for one in explained {
            finding = finding.related(one.at, one.message.clone());
            finding.evidence.push(Evidence::derived(
                format!("explains {}", one.rule.name),
                Value::Words(one.message.clone().into()),
                "all rules asked again with the other reading",
                Mark::Exact,
            ));
        }
        match &self.correction {
            Some(text) => finding.correct(false, self.at, format!("\"{text}\"")),
            None => finding,
        }
    }
}
