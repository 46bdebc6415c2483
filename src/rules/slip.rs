//! Units that slipped: a figure that is hardly meant as it is written, and fits under one common mix-up.
//!
//! What is tried: the figures of a part or package with a finding, and of the parts of such a package,
//! each under the mix-ups of its unit ([`mix_ups`]). What is required:
//!
//! - as written the figure is far outside what it is in this trade ([`usual`]); or the machine breaks a
//!   law of physics, a package uses it, and the mix-up is five to one or more; or a promise goes beyond
//!   what the physics allows at the best five times or more, which nobody is bold enough for;
//! - as the mix-up has it, the figure is usual, and a promise comes near what is rated;
//! - the thing and all packages that use it are taken out of the catalog, the figure is read the other
//!   way, all rules are asked again, and none has anything of weight left;
//! - no other mix-up does the same with another value.
//!
//! A wrong figure that is no mix-up keeps its own finding, which is graver than this one.

use std::collections::{BTreeSet, HashMap, HashSet};

use crate::catalog::{Catalog, Figure, Kind};
use crate::claims;
use crate::derive::Derived;
use crate::finding::{Evidence, Finding, Level, Related, Value};
use crate::text::Span;
use crate::units::{self, Mark, Quantity, Unit, math};

use super::{Context, unit};

mod mix_ups;
mod usual;

use mix_ups::{FACTORS, MIX_UPS};
use usual::{Candidate, Role};

/// As many suspects are looked into: a catalog with more has another kind of fault.
const MOST_SUSPECTS: usize = 50;
/// As many packages are asked again for one suspect; more would cost more than they tell.
const MOST_PACKAGES: usize = 12;
/// As many figures of one suspect are tried, each of which asks all rules again: who has more of them in doubt hasn't
/// slipped at one.
const MOST_FIGURES: usize = 24;

/// Names the mix-up that explains findings; those of less than an error go into its evidence.
pub fn explain(context: &Context, findings: &mut Vec<Finding>) {
    let symptoms = findings.iter().filter(|finding| is_symptom(finding));
    let suspects: Vec<(Kind, String)> = symptoms.filter_map(|one| thing(&one.on)).collect();
    let (packages, parts): (Vec<_>, Vec<_>) = suspects
        .into_iter()
        .partition(|(kind, _)| *kind == Kind::Package);
    let mut told = HashSet::new();
    let packages: Vec<(Kind, String)> = packages
        .into_iter()
        .filter(|thing| told.insert(thing.clone()))
        .collect();
    // A package's fault may be one of its parts': those are suspects too, before the package.
    let of_packages = packages.iter().flat_map(|(_, id)| parts_of(context, id));
    let mut told = HashSet::new();
    let all: Vec<(Kind, String)> = parts
        .into_iter()
        .chain(of_packages)
        .chain(packages.iter().cloned())
        .filter(|thing| told.insert(thing.clone()))
        .take(MOST_SUSPECTS)
        .collect();
    let contradicted = contradicted(context);
    for (kind, id) in all {
        let suspect = Suspect::new(context, kind, &id, findings, &contradicted);
        let Some(slip) = suspect.and_then(|suspect| suspect.slip()) else {
            continue;
        };
        // What is impossible as written stays so, with the slip as its likeliest cause; what is only odd is
        // told by the slip.
        let mut explained = Vec::new();
        findings.retain_mut(|finding| {
            let touched = is_symptom(finding) && slip.covers.contains(root(&finding.on));
            if touched {
                explained.push(finding.clone());
            }
            let stays = finding.level == Level::Error;
            if touched && stays {
                let says = format!("likeliest cause: {} was meant", slip.meant);
                finding.related.push(Related { at: slip.at, says });
                // Lowering a promise would hide the slip, and leave nothing to see it by.
                finding.correction = None;
            }
            !touched || stays
        });
        findings.push(slip.finding(&explained));
    }
}

/// The figures of a part that are hardly meant as they are written, whatever was meant.
pub fn unusual(catalog: &Catalog, kind: Kind, id: &str) -> Vec<Span> {
    let figures = usual::figures_of(catalog, kind, id);
    let unusual = figures.iter().filter(|one| !one.is_usual(&one.quantity));
    unusual.map(|one| one.at).collect()
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
    let mentions = context.catalog.mentions.within(&on);
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

/// The first contradicted promise of each place.
fn contradicted<'a>(context: &Context<'a>) -> HashMap<Span, &'a claims::Verdict> {
    let mut contradicted = HashMap::new();
    for verdict in context.verdicts {
        if verdict.outcome == claims::Outcome::Contradicted {
            contradicted.entry(verdict.at).or_insert(verdict);
        }
    }
    contradicted
}

/// A part or package with a fault, and everything that uses it.
struct Suspect<'a> {
    context: &'a Context<'a>,
    contradicted: &'a HashMap<Span, &'a claims::Verdict>,
    excerpt: Catalog,
    /// As a waiver names it.
    on: String,
    /// The things whose findings the slip would have to explain.
    covers: BTreeSet<String>,
    /// Its own figures.
    figures: Vec<Candidate>,
    /// Whether it is a machine in use that breaks a law of physics.
    breaks_a_law: bool,
}

/// A slip that explains everything.
struct Slip {
    at: Span,
    on: String,
    covers: BTreeSet<String>,
    written: String,
    meant: String,
    /// What was meant, in SI.
    value: f64,
    how: &'static str,
    /// Whether the number stays and only its unit changes, so that a correction can be offered.
    correction: Option<String>,
    /// How many figures of the same curve slipped together.
    together: usize,
}

/// A machine that breaks one of these can't be as its figures say.
const LAWS: [&str; 2] = ["power.impossible", "power.volt-amperes"];
/// A promise this many times beyond what is possible at the best is no boldness, and a mix-up of that
/// ratio no accident. Judgement.
const FAR: f64 = 5.0;

impl<'a> Suspect<'a> {
    fn new(
        context: &'a Context<'a>,
        kind: Kind,
        id: &str,
        findings: &[Finding],
        contradicted: &'a HashMap<Span, &'a claims::Verdict>,
    ) -> Option<Suspect<'a>> {
        let users: BTreeSet<&str> = match kind {
            Kind::Package => std::iter::once(id).collect(),
            _ => context.users(kind, id).into_iter().map(root_id).collect(),
        };
        if users.len() > MOST_PACKAGES {
            return None;
        }
        let on = format!("{}.{id}", kind.table());
        let mut covers: BTreeSet<String> = users.iter().map(|id| format!("package.{id}")).collect();
        covers.insert(on.clone());
        // Something must be wrong with it or with a package that uses it.
        let touched = findings
            .iter()
            .any(|one| is_symptom(one) && covers.contains(root(&one.on)));
        if !touched {
            return None;
        }
        let breaks_a_law = !users.is_empty()
            && findings
                .iter()
                .any(|one| LAWS.contains(&one.rule.name) && root(&one.on) == on);
        let mut suspect = Suspect {
            context,
            contradicted,
            excerpt: Catalog::default(),
            on,
            covers,
            figures: Vec::new(),
            breaks_a_law,
        };
        let mut figures = usual::figures_of(context.catalog, kind, id);
        figures.retain(|one| suspect.is_doubtful(one));
        if figures.is_empty() || figures.len() > MOST_FIGURES {
            return None;
        }
        let also = (kind != Kind::Package).then_some((kind, id));
        suspect.excerpt = context.catalog.excerpt(&users, also);
        suspect.figures = figures;
        Some(suspect)
    }

    /// Whether a figure is hardly meant as it is written.
    fn is_doubtful(&self, one: &Candidate) -> bool {
        match one.role {
            Role::Promise => self
                .promise(one)
                .and_then(beyond)
                .is_some_and(|times| times >= FAR),
            Role::Machine if self.breaks_a_law => true,
            _ => !one.is_usual(&one.quantity),
        }
    }

    fn promise(&self, one: &Candidate) -> Option<&claims::Verdict> {
        self.contradicted.get(&one.at).copied()
    }

    /// Whether the other reading would be usual, and what it differs from the written one is enough.
    fn is_likely(&self, one: &Candidate, meant: &Quantity) -> bool {
        if one.role == Role::Promise {
            let rated = self.promise(one).and_then(|verdict| verdict.rated);
            return rated.is_some_and(|rated| {
                let share = meant.si_high() / rated;
                (0.4..=1.05).contains(&share)
            });
        }
        let ratio = math::ln(meant.si_high() / one.quantity.si_high()).abs();
        one.is_usual(meant) && (!one.is_usual(&one.quantity) || ratio >= math::ln(FAR))
    }

    /// The one mix-up that leaves nothing wrong, if there is exactly one value it gives.
    fn slip(&self) -> Option<Slip> {
        // A suspect with nothing wrong under its own figures would explain nothing.
        if self.is_sound(&self.excerpt) {
            return None;
        }
        let mut found: Vec<Slip> = Vec::new();
        for one in &self.figures {
            let written = one.quantity.unit().to_string();
            for mix_up in MIX_UPS.iter().filter(|mix_up| mix_up.written == written) {
                if let Some(unit) = Unit::known(mix_up.meant) {
                    found.extend(self.tried(one, mix_up.how, true, &|q| reread(q, unit)));
                }
            }
            if one.role == Role::Across {
                for (factor, how) in FACTORS {
                    found.extend(self.tried(one, how, false, &|q| scale(q, *factor)));
                }
            }
        }
        // Several ways to the same figure are one; two different explanations are none.
        let (at, value) = found.first().map(|slip| (slip.at, slip.value))?;
        let same = |slip: &Slip| slip.at == at && (slip.value / value - 1.0).abs() < 0.03;
        if !found.iter().all(same) {
            return None;
        }
        found.into_iter().next()
    }

    /// The figure read another way, if that leaves nothing wrong.
    fn tried(
        &self,
        one: &Candidate,
        how: &'static str,
        keeps_its_number: bool,
        read: &dyn Fn(&Quantity) -> Option<Quantity>,
    ) -> Option<Slip> {
        let meant = read(&one.quantity).filter(|meant| self.is_likely(one, meant))?;
        // In a curve all figures of a unit were typed the same way. A shaft's horsepower is held to no efficiency, so
        // that any would do; as watts it must be that of a machine.
        let (changed, together) = self.with(one, &|q| read(q).and_then(in_watts))?;
        if !self.is_sound(&changed) {
            return None;
        }
        let correction = keeps_its_number && together == 1;
        Some(Slip {
            at: one.at,
            on: self.on.clone(),
            covers: self.covers.clone(),
            written: one.quantity.text().to_string(),
            meant: meant.text().to_string(),
            value: meant.si_central(),
            how,
            correction: correction.then(|| meant.text().to_string()),
            together,
        })
    }

    /// The excerpt with a figure (and its fellows in a curve) read another way, and how many were;
    /// nothing where one of them can't be.
    fn with(
        &self,
        one: &Candidate,
        read: &dyn Fn(&Quantity) -> Option<Quantity>,
    ) -> Option<(Catalog, usize)> {
        let fellows = self.fellows(one);
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

    /// The figure, and for a point of a curve all points of that curve in the same unit.
    fn fellows(&self, one: &Candidate) -> BTreeSet<Span> {
        let mut fellows = BTreeSet::from([one.at]);
        if !one.in_curve {
            return fellows;
        }
        let unit = one.quantity.unit();
        let machines = self.excerpt.compressors.iter().flat_map(|part| {
            let supplies = std::iter::once(&part.supply).chain(&part.variants);
            supplies.map(|supply| &supply.curve)
        });
        let diffusers = self.excerpt.diffusers.iter().map(|part| &part.loss);
        for points in machines
            .chain(diffusers)
            .filter_map(|points| points.known())
        {
            let figures: Vec<&Figure> = points
                .iter()
                .flat_map(|point| {
                    [&point.pressure, &point.flow]
                        .into_iter()
                        .chain(&point.power)
                })
                .collect();
            if figures.iter().any(|figure| figure.at == one.at) {
                let alike = figures
                    .iter()
                    .filter(|figure| figure.quantity.unit() == unit);
                fellows.extend(alike.map(|figure| figure.at));
            }
        }
        fellows
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
            by_package: super::ByPackage::of(&verdicts),
            said: None,
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

/// How many times a promise goes beyond what the physics allows at the best: more than it, or for
/// watts less. Nothing where that isn't known.
fn beyond(verdict: &claims::Verdict) -> Option<f64> {
    let (low, high) = verdict.range?;
    let deciding = verdict.deciding()?;
    Some(match deciding.sense {
        claims::Sense::AtLeast => verdict.si / high,
        claims::Sense::AtMost if verdict.claim == claims::Claim::Power => low / verdict.si,
        // A depth is held to a pressure, and its own range is one of depths.
        claims::Sense::AtMost => verdict.si / high,
    })
    .filter(|times| times.is_finite())
}

/// The same numbers in another unit.
fn reread(quantity: &Quantity, unit: Unit) -> Option<Quantity> {
    let text = quantity.canonical();
    let number = text.strip_suffix(&quantity.unit().to_string())?;
    units::read(&format!("{number}{unit}"), &[unit.dimension()]).quantity
}

/// Horsepower as watts; other quantities as they are.
fn in_watts(quantity: Quantity) -> Option<Quantity> {
    match quantity.unit().to_string().as_str() {
        "hp" => {
            let watts = units::show::significant(quantity.si_central(), 6);
            units::read(&format!("{watts} W"), &[quantity.dimension()]).quantity
        }
        _ => Some(quantity),
    }
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
                "{}{whose} is probably a mix-up of units: if it were {}, all promises that use it would hold ({}).",
                self.written, self.meant, self.how
            ),
        )
        .mend("Check the figure where it came from.")
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
