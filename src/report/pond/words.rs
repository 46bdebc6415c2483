//! Every sentence that is said of a pond and a package.

use super::Shown;
use crate::claims::airline_length::LONGEST;
use crate::claims::area::{FARTHEST_REACH, SERVED};
use crate::claims::{Grade, Sense};
use crate::derive::supply;
use crate::finding::capital;
use crate::pond::fit::{self, Judge, Need};
use crate::pond::mend::{Change, Mend, Reach};
use crate::pond::offers::{FAR, Money};
use crate::pond::season::{Day, Season};
use crate::pond::{Answer, Offer, Pond, Rank};
use crate::report::figures::duration;
use crate::report::figures::{Reader, joined};
use crate::units::show::{show_bore, show_money, significant};
use crate::units::{Dimension, Unit};

/// A grade as it is said of a pond: the one list of these words.
pub fn grade(grade: Grade) -> &'static str {
    match grade {
        Grade::Holds => "serves",
        Grade::WithinRating => "serves as rated",
        Grade::BeyondRating => "doubtful",
        Grade::Contradicted => "can't serve",
        Grade::NotJudged => "not known",
    }
}

/// Writes figures in the units of a pond, and the names of offers.
pub struct Figures<'a> {
    /// The pond.
    pub pond: &'a Pond,
    /// What judged each catalog.
    judges: &'a [Judge<'a>],
}

/// `number` in so many per cent.
pub fn percent(share: f64) -> String {
    format!("{} %", significant(100.0 * share, 2))
}

/// A sum with its currency.
pub fn money(money: &Money) -> String {
    match Unit::known(&money.currency) {
        Some(unit) => show_money(unit, unit.to_si(money.sum)),
        None => format!("{:.2} {}", money.sum, money.currency),
    }
}

/// How much is to spare, or short of.
pub fn margin(margin: f64) -> String {
    // Ten times as much as is needed says no more than that it is plenty.
    if margin >= 9.0 {
        return "ample".into();
    }
    let per_cent = (100.0 * margin).round();
    format!("{per_cent:.0} %")
}

impl<'a> Figures<'a> {
    /// For what is shown; nothing where no catalog was judged.
    pub fn of_shown(shown: &Shown<'a>) -> Option<Figures<'a>> {
        let first = shown.judges.first()?;
        Some(Figures {
            pond: first.pond,
            judges: shown.judges,
        })
    }

    /// A package by its ID and that of its option; with its catalog where another has one of that ID too.
    pub fn offer(&self, offer: &Offer) -> String {
        let id = &offer.package.entry.id;
        let option = offer.option().filter(|option| !option.is_empty());
        let name = option.map_or(id.clone(), |option| format!("{id}, {option}"));
        let has = |judge: &&Judge| judge.catalog.packages.get(id).is_some();
        if self.judges.iter().filter(has).count() > 1 {
            format!("{name} of {}", self.judges[offer.catalog].catalog.name)
        } else {
            name
        }
    }

    /// A quantity in the units of the pond.
    pub fn figure(&self, si: f64, dimension: Dimension) -> String {
        Reader::of_system(self.pond.system).figure(si, dimension)
    }

    /// A length in the units of the pond.
    pub fn length(&self, si: f64) -> String {
        self.figure(si, Dimension::Length)
    }

    /// A bore in the units of the pond.
    pub fn bore(&self, si: f64) -> String {
        show_bore(si, self.pond.system)
    }

    /// The figure of a need.
    pub fn of(&self, need: &Need, si: f64) -> String {
        match need.dimension {
            Dimension::PerTime => format!("{} a day", significant(si * 86_400.0, 3)),
            Dimension::MoneyPerTime => match &self.pond.running_cost {
                Some(most) => show_money(most.quantity.unit(), si),
                None => significant(si, 3),
            },
            dimension => self.figure(si, dimension),
        }
    }

    /// What is needed, what is rated, and the worst, typical and best of a need; `none` for an end that isn't known.
    pub fn row(&self, need: &Need, dot: &str, none: &str) -> [Option<String>; 3] {
        let cell = |value: f64| self.of(need, value);
        let needed = need.is_measured().then(|| cell(need.needed));
        let ends = need.given.map(|end| end.map_or(none.to_string(), cell));
        let is_known = need.given.iter().any(Option::is_some);
        let given = is_known.then(|| joined(&ends, dot));
        [needed, need.rated.map(cell), given]
    }

    /// What a need is called.
    pub fn name(&self, need: &Need) -> String {
        match need.name {
            "pressure" => "compressor's pressure".into(),
            "flow" => "air at each diffuser".into(),
            "reach" => "area stirred".into(),
            FARTHEST_REACH | SERVED => "area in reach at all".into(),
            "head" => "weight of the water".into(),
            "turnover" => "turnovers".into(),
            "mixing" => "area kept mixed".into(),
            "oxygen-uptake" => "oxygen taken up".into(),
            "sound" => "sound at the ear".into(),
            fit::COST => "cost of running".into(),
            fit::LINE => "run the seller allows".into(),
            fit::SUPPLY => match &self.pond.supply {
                Some(on) => format!("on {}", supply::words(on)),
                None => "supply".into(),
            },
            // One of several that nobody could judge.
            name if need.says.is_empty() => name.replace('-', " "),
            _ => need.says.into(),
        }
    }

    /// The pond in half a sentence.
    pub fn pond(&self) -> String {
        let size = format!(
            "{}, {} deep",
            self.figure(self.pond.area, Dimension::Area),
            self.length(self.pond.depth)
        );
        let runs = match self.pond.runs.as_slice() {
            [] => String::new(),
            [one] => format!(", {} from the cabinet", self.length(*one)),
            runs => {
                let least = runs.iter().copied().fold(f64::INFINITY, f64::min);
                let most = runs.iter().copied().fold(0.0, f64::max);
                let ends = joined(&[self.length(least), self.length(most)], " to ");
                format!(", {ends} from the cabinet")
            }
        };
        format!("{size}{runs}")
    }

    /// What the pond is called.
    pub fn called(&self) -> String {
        self.pond.title.clone().unwrap_or("this pond".into())
    }

    /// The shape of its bottom.
    pub fn basin(&self) -> &'static str {
        self.pond.basin.words()
    }

    /// The answer in the first line.
    pub fn answer(&self, answer: &Answer) -> String {
        let pond = match &self.pond.title {
            Some(title) => format!("{title} ({})", self.pond()),
            None => format!("this pond ({})", self.pond()),
        };
        let Some(best) = answer.serving().next() else {
            return match answer.offers.first() {
                None => "There is no package in the catalog.".into(),
                Some(nearest) => {
                    let why = nearest.fit.first_to_fail();
                    let why =
                        why.map_or(String::new(), |need| format!(", but {}", self.fails(need)));
                    format!(
                        "No package in the catalog serves {pond}. {} comes nearest{why}.",
                        self.offer(nearest)
                    )
                }
            };
        };
        let all = answer.serving;
        let alike = answer.as_good_as_the_first();
        let more = match (all, alike.as_slice()) {
            (1, _) => "It is the only one that does.".to_string(),
            (_, []) => format!("{all} ways to buy serve; this one {}.", best_by(answer.by)),
            (_, [other]) => format!(
                "{all} ways to buy serve; this one and {} {}.",
                self.offer(other),
                are_best_by(answer.by)
            ),
            (_, others) => format!(
                "{all} ways to buy serve; this one and {} others {}.",
                others.len(),
                are_best_by(answer.by)
            ),
        };
        let offer = self.offer(best);
        match best.grade() {
            Grade::WithinRating => format!("{offer} serves {pond} as rated. {more}"),
            other => format!("{offer} {} {pond}. {more}", grade(other)),
        }
    }

    /// Why the next cheaper one fails, where there is one.
    pub fn why_not_cheaper(&self, answer: &Answer) -> Option<String> {
        let next = answer.next_cheaper.as_ref()?;
        let need = next.fit.first_to_fail()?;
        Some(format!(
            "{} {}, but {}.",
            self.offer(next),
            less_by(answer.by),
            self.fails(need)
        ))
    }

    /// How a need isn't met, as the end of a sentence.
    pub fn fails(&self, need: &Need) -> String {
        if need.grade == Grade::NotJudged {
            let fact = need.missing.as_deref().unwrap_or("what it would take");
            return format!("nobody says {fact}");
        }
        // Where nothing would do, the best case says so; else what is rated.
        let (value, at) = match need.grade {
            Grade::Contradicted => (need.given[2], " at best"),
            _ => (need.rated.or(need.given[1]), ""),
        };
        let needed = self.of(need, need.needed);
        let given = value.map_or("an unknown amount".into(), |value| self.of(need, value));
        match need.name {
            "pressure" => match value {
                Some(_) => {
                    format!(
                        "its compressor would have to hold {given}{at}; its continuous limit is {needed}"
                    )
                }
                None => format!(
                    "its compressor would have to hold more than its continuous limit of {needed}"
                ),
            },
            "flow" if value.is_some_and(|air| air <= 0.0) => {
                "no air flows: the water over its diffusers presses harder than its compressor can"
                    .into()
            }
            "flow" => format!("a diffuser gets {given} of air{at} and needs {needed}"),
            "reach" => format!("its diffusers stir {given}{at}; the pond has {needed}"),
            FARTHEST_REACH => {
                format!("its diffusers can't reach beyond {given}; the pond has {needed}")
            }
            SERVED => format!("all its air serves {given} at best; the pond has {needed}"),
            "turnover" => format!("it turns the water over {given}{at}; {needed} is needed"),
            "mixing" => format!("its air keeps {given} mixed{at}; the pond has {needed}"),
            "oxygen-uptake" => format!("the water takes up {given}{at}; {needed} is needed"),
            "sound" => format!("it is heard with {given}{at} at the ear; {needed} is allowed"),
            fit::COST => format!("it costs {given} to run; {needed} is allowed"),
            fit::LINE => format!("its seller allows a run of {given}; this pond takes {needed}"),
            fit::SUPPLY => {
                let on = self
                    .pond
                    .supply
                    .as_ref()
                    .map_or("this supply".into(), supply::words);
                format!("it doesn't run on {on}")
            }
            _ if need.sense == Sense::AtMost => {
                format!(
                    "the {} comes to {given}{at}; at most {needed} is possible",
                    need.says
                )
            }
            _ => format!("it gives {given}{at} of {}; {needed} is needed", need.says),
        }
    }

    /// A change that would make a package serve.
    pub fn mend(&self, offer: &Offer, mend: &Mend) -> String {
        let from = |show: &dyn Fn(f64) -> String| {
            mend.from
                .map_or(String::new(), |from| format!(" instead of {}", show(from)))
        };
        match mend.change {
            Change::Bore(bore) => format!(
                "airline of {}{}",
                self.bore(bore),
                from(&|si| self.bore(si))
            ),
            Change::Run(run) => {
                format!(
                    "runs of at most {}{}",
                    self.length(run),
                    from(&|si| self.length(si))
                )
            }
            Change::Depth(depth) => {
                format!(
                    "diffusers no deeper than {}{}, which leaves the water below them still",
                    self.length(depth),
                    from(&|si| self.length(si))
                )
            }
            Change::Diffusers(count) => format!(
                "{}{} (made up, not sold)",
                diffusers(f64::from(count)),
                from(&|count| significant(count, 3))
            ),
            Change::Packages(count) => {
                let times = f64::from(count);
                let month = offer.month.as_ref();
                let sums = [
                    offer.price.as_ref().map(|price| money(&price.times(times))),
                    month.map(|month| format!("{} a month", money(&month.times(times)))),
                ];
                let sums: Vec<String> = sums.into_iter().flatten().collect();
                let together = match sums.is_empty() {
                    true => String::new(),
                    false => format!(", {} together", sums.join(" and ")),
                };
                format!("{count} of this package, each for its share of the pond{together}")
            }
            Change::Ear(far) => format!(
                "a place {} from the ear{}",
                self.length(far),
                from(&|si| self.length(si))
            ),
            Change::Hours(hours) => format!(
                "{} h a day{}",
                significant(hours, 3),
                from(&|h| format!("{} h", significant(h, 3)))
            ),
        }
    }

    /// How far a package goes here: its line, depth and area.
    pub fn goes(&self, offer: &Offer, reach: &Reach) -> Vec<String> {
        let mut says = Vec::new();
        let mut settles = Vec::new();
        let flows = reach.air.is_none_or(|air| air > 0.0);
        if !flows {
            settles.push("no air comes out of the diffusers".to_string());
        }
        if let Some(air) = reach.air.filter(|_| flows) {
            let air = self.figure(air, Dimension::VolumeFlow);
            settles.push(match reach.diffusers {
                1 => format!("the diffuser gets {air} of air"),
                count => format!("{} get {air} of air together", diffusers(f64::from(count))),
            });
        }
        if let Some(pressure) = reach.pressure {
            settles.push(format!(
                "the gauge at the manifold reads {}",
                self.figure(pressure, Dimension::GaugePressure)
            ));
        }
        if !settles.is_empty() {
            says.push(format!("{}.", capital(&settles.join("; "))));
        }
        if let (Some(bore), Some(longest)) = (
            reach.bore,
            reach.longest_run.filter(|_| flows && reach.run > 0.0),
        ) {
            let most = if longest >= LONGEST {
                "It serves as far as anybody lays one".to_string()
            } else if longest > 0.0 {
                format!("It serves up to {} here", self.length(longest))
            } else {
                "No length of it serves here".to_string()
            };
            let wider = reach.wider.map_or(String::new(), |(bore, gain)| {
                format!(
                    "; {} would gain {} more air",
                    self.bore(bore),
                    percent(gain)
                )
            });
            let costs = reach.line_loss.map_or(String::new(), |share| {
                format!(" and costs {} of the air", percent(share))
            });
            says.push(format!(
                "The {} line is {} long{costs}. {most}{wider}.",
                self.bore(bore),
                self.length(reach.run)
            ));
        }
        says.extend(self.rated(reach));
        if let Some([Some(worst), Some(typical), Some(_)]) =
            reach.in_service.as_ref().map(|left| left.depth)
            && typical >= SHALLOWEST
        {
            let is_short = typical < self.pond.depth
                && offer
                    .fit
                    .need("pressure")
                    .is_some_and(|need| fit::serves(need.grade));
            let short = match is_short {
                true => "; this pond is deeper, so it must be serviced before",
                false => "",
            };
            says.push(format!(
                "After a season of wear it serves down to {} as a rule, {} at the worst{short}.",
                self.length(typical),
                self.length(worst)
            ));
        }
        if let Some(short) = offer.line_short.filter(|short| *short > 0.005) {
            says.push(format!(
                "{} of airline must be bought in addition to what comes with it.",
                self.length(short)
            ));
        }
        says
    }

    /// What is rated here. An area is that of diffusers at the pond's depth, so it is nothing where they can't lie there.
    fn rated(&self, reach: &Reach) -> Option<String> {
        let depth = reach.depth.filter(|depth| *depth >= SHALLOWEST);
        let is_too_deep = depth.is_some_and(|depth| depth < self.pond.depth);
        let rated = [
            depth.map(|depth| format!("down to {}", self.length(depth))),
            reach.area.filter(|_| !is_too_deep).map(|area| {
                let area = self.figure(area, Dimension::Area);
                format!(
                    "up to {area} at this pond's {}",
                    self.length(self.pond.depth)
                )
            }),
        ];
        let rated: Vec<String> = rated.into_iter().flatten().collect();
        (!rated.is_empty()).then(|| format!("As rated it serves {}.", rated.join(", and ")))
    }

    /// Where levels are compared.
    pub fn heard_at(&self) -> String {
        match self.pond.ear {
            Some(_) => "sound at the ear".into(),
            None => format!("sound at {}", self.length(FAR)),
        }
    }

    /// That the ear's distance is assumed, where it is.
    pub fn unheard(&self) -> Option<String> {
        let far = self.length(FAR);
        self.pond.ear.is_none().then(|| {
            format!("How far the nearest ear is isn't known, so sound is compared at {far}; `ear` or --ear says how far.")
        })
    }

    /// How to begin.
    pub fn begin(&self, season: &Season) -> Vec<String> {
        if !season.layers {
            return vec![
                "So shallow a pond is mixed by wind and seldom lies in layers for days; it may run all day from the first day.".into(),
            ];
        }
        let days: Vec<String> = season.days.iter().map(day).collect();
        let mut says = vec![format!(
            "In summer a pond of this depth lies in layers, and the water below may hold no oxygen; if it all comes up at once, \
             fish die. Begin in spring before there are layers, or by stages in the cool of the day: {} (common practice, \
             no source).",
            days.join(", ")
        )];
        if let Some(seconds) = season.first_run {
            says.push(format!(
                "At its strongest it lifts a tenth of the water in {}; the first run is no longer than that.",
                duration(seconds)
            ));
        }
        says.push(
            "Stop if fish gasp at the surface, and ask whoever looks after their health.".into(),
        );
        says
    }

    /// What winter asks for, where the pond freezes over.
    pub fn winter(&self, season: &Season) -> Option<String> {
        let (least, most) = season.winter?;
        let ends = joined(&[self.length(least), self.length(most)], " to ");
        Some(format!(
            "In winter lay the diffusers {ends} deep: the warmest water stays at the bottom (common practice, no source). \
             Bubbles thin the ice far beyond the open water; mark it, keep people and animals off it, and follow the local rules."
        ))
    }
}

/// Less depth than this nobody calls one, m.
const SHALLOWEST: f64 = 0.05;

/// What nobody should miss, whatever the pond.
pub const CAUTIONS: [&str; 3] = [
    "Mains near water kill: a licensed electrician connects the cabinet, above flood level and behind a ground-fault device \
     (GFCI, RCD), and local codes come first. No mains cable goes into the water.",
    "A diffuser, line or valve is opened only after the pressure is let off; the first metres of line may be hot.",
    "Lines are laid from a boat by two people in life jackets, never alone and never on thin ice.",
];

/// The heads of a table of offers; the one of the level says where that is.
pub const OFFER_HEADS: [Option<&str>; 6] = [
    Some("package, option"),
    Some("answer"),
    Some("price"),
    Some("a month"),
    None,
    Some("to spare"),
];

/// The columns of a table that have a figure at all.
pub fn filled<T, const N: usize>(rows: &[[Option<T>; N]]) -> Vec<usize> {
    let is_filled = |at: &usize| rows.iter().any(|cells| cells[*at].is_some());
    (0..N).filter(is_filled).collect()
}

/// The columns of an offer that serves: price, cost or energy of a month, level, and what is to spare.
pub fn figures(offer: &Offer) -> [Option<String>; 4] {
    let energy = offer
        .energy
        .map(|energy| format!("{} kWh", significant(energy, 3)));
    let level = offer
        .noise
        .map(|level| format!("{} dB(A)", significant(level, 2)));
    [
        offer.price.as_ref().map(money),
        offer.month.as_ref().map(money).or(energy),
        level,
        offer.fit.margin().map(margin),
    ]
}

/// How many offers aren't listed, where some aren't.
pub fn more(shown: &Shown) -> Option<String> {
    let all = shown.answer.count;
    let left = all - shown.listed.len();
    (left > 0)
        .then(|| format!("{left} of {all} ways to buy aren't listed; --most {all} lists all."))
}

/// What makes the first one the first.
fn best_by(by: Rank) -> &'static str {
    match by {
        Rank::Price => "costs the least to buy",
        Rank::Cost => "costs the least to run",
        Rank::Noise => "is the quietest",
        Rank::Margin => "has the most to spare",
    }
}

/// The same of several that are alike in it.
fn are_best_by(by: Rank) -> &'static str {
    match by {
        Rank::Price => "cost the least to buy",
        Rank::Cost => "cost the least to run",
        Rank::Noise => "are the quietest",
        Rank::Margin => "have the most to spare",
    }
}

/// What a failing one has before the first that serves.
fn less_by(by: Rank) -> &'static str {
    match by {
        Rank::Price => "costs less to buy",
        Rank::Cost => "costs less to run",
        Rank::Noise => "is quieter",
        Rank::Margin => "has more to spare elsewhere",
    }
}

/// So many of something.
pub fn count(number: u32, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

fn diffusers(count: f64) -> String {
    let count = count.round();
    if count == 1.0 {
        "1 diffuser".into()
    } else {
        format!("{count:.0} diffusers")
    }
}

fn day(day: &Day) -> String {
    let time = duration(day.hours * 3600.0);
    match &day.date {
        Some(date) => format!("{time} on {date}"),
        None => format!("{time} on day {}", day.day),
    }
}
