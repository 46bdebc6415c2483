//! The answer for programs: `nameplate-pond/1`, in SI with the unit in each key.

use serde::Serialize;

use crate::claims::Sense;
use crate::pond::fit::{self, Need};
use crate::pond::layout::Placed;
use crate::pond::mend::{Change, Mend, Reach};
use crate::pond::offers::{FAR, Money};
use crate::pond::order::{Absent, Line, Order};
use crate::pond::plan::Plan;
use crate::pond::season::{Day, Season};
use crate::pond::{Offer, Pond};
use crate::report::json_text;

use super::words::{Figures, grade};
use super::{Listed, Shown};

/// The format's name and version.
pub const FORMAT: &str = "nameplate-pond/1";

/// The JSON Schema (2020-12) of the format.
pub const SCHEMA: &str = include_str!("../../../schemas/pond-answer.schema.json");

#[derive(Serialize)]
struct Page<'a> {
    format: &'static str,
    answer: String,
    pond: PondRow<'a>,
    ranked_by: &'static str,
    rank_was_asked: bool,
    offers: usize,
    serving: usize,
    listed: Vec<OfferRow<'a>>,
    season: Option<SeasonRow<'a>>,
    layout: Option<LayoutRow>,
    order: Option<OrderRow<'a>>,
}

#[derive(Serialize)]
struct OrderRow<'a> {
    package: &'a str,
    option: Option<&'a str>,
    lines: Vec<LineRow<'a>>,
    sums: Vec<MoneyRow<'a>>,
    spares: Vec<MoneyRow<'a>>,
    unpriced: usize,
    mass_kg: f64,
    unweighed: usize,
    not_in_the_catalog: Vec<AbsentRow>,
    more_spares: Vec<&'a str>,
}

#[derive(Serialize)]
struct LineRow<'a> {
    group: &'static str,
    part: &'a str,
    kind: &'static str,
    title: Option<&'a str>,
    number: Option<&'a str>,
    count: f64,
    unit: &'static str,
    roll_m: Option<f64>,
    price: Option<MoneyRow<'a>>,
    sum: Option<MoneyRow<'a>>,
    mass_kg: Option<f64>,
}

#[derive(Serialize)]
struct AbsentRow {
    what: &'static str,
    count: Option<u32>,
    bore_m: Option<f64>,
    length_m: Option<f64>,
}

impl AbsentRow {
    fn of(absent: Absent) -> AbsentRow {
        let (what, count, bore_m, length_m) = match absent {
            Absent::Airline(bore, length) => ("airline", None, Some(bore), Some(length)),
            Absent::Couplers(count, bore) => ("couplers", Some(count), Some(bore), None),
            Absent::Clamps(count) => ("clamps", Some(count), None, None),
            Absent::Runs => ("runs", None, None, None),
        };
        AbsentRow {
            what,
            count,
            bore_m,
            length_m,
        }
    }
}

impl<'a> LineRow<'a> {
    fn of(line: &'a Line<'a>) -> LineRow<'a> {
        let (count, unit, roll_m) = line.amount.counted();
        LineRow {
            group: line.group.as_str(),
            part: &line.entry.id,
            kind: line.entry.kind.table(),
            title: line.entry.title.as_deref(),
            number: line.sku,
            count,
            unit,
            roll_m,
            price: line.price.as_ref().map(MoneyRow::of),
            sum: line.sum.as_ref().map(MoneyRow::of),
            mass_kg: line.mass,
        }
    }
}

impl<'a> OrderRow<'a> {
    fn of(order: &'a Order<'a>) -> OrderRow<'a> {
        let whole = order.lines.first();
        OrderRow {
            package: whole.map_or("", |line| &line.entry.id),
            option: whole.and_then(|line| line.option),
            lines: order.lines.iter().map(LineRow::of).collect(),
            sums: order.sums.iter().map(MoneyRow::of).collect(),
            spares: order.spares.iter().map(MoneyRow::of).collect(),
            unpriced: order.unpriced,
            mass_kg: order.mass,
            unweighed: order.unweighed,
            not_in_the_catalog: order.absent.iter().copied().map(AbsentRow::of).collect(),
            more_spares: order
                .more_spares
                .iter()
                .map(|entry| entry.id.as_str())
                .collect(),
        }
    }
}

#[derive(Serialize)]
struct LayoutRow {
    surveyed: bool,
    sounded: bool,
    cabinet_m: Option<[f64; 2]>,
    mean_square_distance: f64,
    reach_per_depth: [f64; 3],
    covered: [f64; 3],
    ends: Vec<EndRow>,
    evened: Option<EvenedRow>,
}

#[derive(Serialize)]
struct EndRow {
    place_m: [f64; 2],
    longitude_latitude: Option<[f64; 2]>,
    depth_m: f64,
    run_m: Option<f64>,
    over_land_m: f64,
    diffusers: Option<u32>,
    free_air_m3_per_s: Option<f64>,
    kv: Option<f64>,
    cv: Option<f64>,
}

#[derive(Serialize)]
struct EvenedRow {
    manifold_gauge_pa: f64,
    share_of_least_air: f64,
}

impl LayoutRow {
    fn of(shown: &Shown, pond: &Pond, plan: &Plan) -> LayoutRow {
        let ground = &pond.layouts.ground;
        let places = plan.layout.places.iter().enumerate();
        let end = |(number, placed): (usize, &Placed)| {
            let end = plan.ends.get(number);
            EndRow {
                place_m: placed.at,
                longitude_latitude: shown.degrees.map(|degrees| degrees.degrees(placed.at)),
                depth_m: placed.depth,
                run_m: pond.stated_run(number).or(placed.run),
                over_land_m: placed.over_land,
                diffusers: end.map(|end| end.diffusers),
                free_air_m3_per_s: end.map(|end| end.air),
                kv: end.and_then(|end| end.kv),
                cv: end.and_then(|end| end.cv),
            }
        };
        LayoutRow {
            surveyed: ground.is_surveyed(),
            sounded: ground.is_sounded(),
            cabinet_m: plan.layout.cabinet,
            mean_square_distance: plan.layout.spread,
            reach_per_depth: plan.reach,
            covered: plan.covered,
            ends: places.map(end).collect(),
            evened: plan.evened.map(|evened| EvenedRow {
                manifold_gauge_pa: evened.pressure,
                share_of_least_air: evened.share,
            }),
        }
    }
}

#[derive(Serialize)]
struct PondRow<'a> {
    title: Option<&'a str>,
    area_m2: f64,
    depth_m: f64,
    mean_depth_m: Option<f64>,
    runs_m: &'a [f64],
    altitude_m: f64,
    air_k: f64,
    water_k: f64,
    hours_per_day: Option<f64>,
    ear_m: Option<f64>,
}

#[derive(Serialize)]
struct OfferRow<'a> {
    catalog: &'a str,
    package: &'a str,
    title: Option<&'a str>,
    option: Option<&'a str>,
    way: String,
    serves: bool,
    answer: &'static str,
    grade: &'static str,
    margin: Option<f64>,
    price: Option<MoneyRow<'a>>,
    power_w: Option<f64>,
    energy_kwh_per_month: Option<f64>,
    cost_per_month: Option<MoneyRow<'a>>,
    sound_dba: Option<f64>,
    sound_at_m: f64,
    airline_short_m: Option<f64>,
    needs: Vec<NeedRow<'a>>,
    fails_first: Option<&'static str>,
    why: Option<String>,
    changes: Vec<MendRow>,
    reach: Option<ReachRow>,
}

#[derive(Serialize)]
struct MoneyRow<'a> {
    sum: f64,
    currency: &'a str,
}

#[derive(Serialize)]
struct NeedRow<'a> {
    need: &'static str,
    says: &'a str,
    dimension: String,
    at: &'static str,
    needed: f64,
    worst: Option<f64>,
    typical: Option<f64>,
    best: Option<f64>,
    rated: Option<f64>,
    margin: Option<f64>,
    answer: &'static str,
    grade: &'static str,
    missing: Option<&'a str>,
}

#[derive(Serialize)]
struct MendRow {
    change: &'static str,
    from: Option<f64>,
    to: f64,
    made_up: bool,
    answer: &'static str,
    grade: &'static str,
}

#[derive(Serialize)]
struct ReachRow {
    manifold_gauge_pa: Option<f64>,
    free_air_m3_per_s: Option<f64>,
    diffusers: u32,
    bore_m: Option<f64>,
    run_m: f64,
    longest_run_m: Option<f64>,
    line_loss: Option<f64>,
    wider_bore_m: Option<f64>,
    wider_gain: Option<f64>,
    rated_depth_m: Option<f64>,
    rated_area_m2: Option<f64>,
    depth_after_a_season_m: Option<f64>,
}

#[derive(Serialize)]
struct SeasonRow<'a> {
    layers: bool,
    days: Vec<DayRow<'a>>,
    first_run_s: Option<f64>,
    winter_depth_m: Option<[f64; 2]>,
}

#[derive(Serialize)]
struct DayRow<'a> {
    day: usize,
    date: Option<&'a str>,
    hours: f64,
}

impl<'a> DayRow<'a> {
    fn of(day: &'a Day) -> DayRow<'a> {
        DayRow {
            day: day.day,
            date: day.date.as_deref(),
            hours: day.hours,
        }
    }
}

impl<'a> PondRow<'a> {
    fn of(pond: &'a Pond) -> PondRow<'a> {
        PondRow {
            title: pond.title.as_deref(),
            area_m2: pond.area,
            depth_m: pond.depth,
            mean_depth_m: pond.mean_depth,
            runs_m: &pond.runs,
            altitude_m: pond.site.altitude_m(),
            air_k: pond.site.air_k(),
            water_k: pond.site.water_k(),
            hours_per_day: pond.hours_a_day,
            ear_m: pond.ear,
        }
    }
}

impl<'a> MoneyRow<'a> {
    fn of(money: &'a Money) -> MoneyRow<'a> {
        MoneyRow {
            sum: money.sum,
            currency: &money.currency,
        }
    }
}

impl<'a> NeedRow<'a> {
    fn of(need: &'a Need) -> NeedRow<'a> {
        let [worst, typical, best] = need.given;
        NeedRow {
            need: need.name,
            says: need.says,
            dimension: need.dimension.words().to_string(),
            at: match need.sense {
                Sense::AtLeast => "least",
                Sense::AtMost => "most",
            },
            needed: need.needed,
            worst,
            typical,
            best,
            rated: need.rated,
            margin: need.margin().filter(|margin| margin.is_finite()),
            answer: grade(need.grade),
            grade: need.grade.as_str(),
            missing: need.missing.as_deref(),
        }
    }
}

impl MendRow {
    fn of(mend: &Mend) -> MendRow {
        let (change, to) = match mend.change {
            Change::Bore(to) => ("bore_m", to),
            Change::Run(to) => ("run_m", to),
            Change::Depth(to) => ("depth_m", to),
            Change::Diffusers(to) => ("diffusers", f64::from(to)),
            Change::Packages(to) => ("packages", f64::from(to)),
            Change::Ear(to) => ("ear_m", to),
            Change::Hours(to) => ("hours_per_day", to),
        };
        MendRow {
            change,
            from: mend.from,
            to,
            made_up: matches!(mend.change, Change::Diffusers(_)),
            answer: grade(mend.grade),
            grade: mend.grade.as_str(),
        }
    }
}

impl ReachRow {
    fn of(reach: &Reach) -> ReachRow {
        ReachRow {
            manifold_gauge_pa: reach.pressure,
            free_air_m3_per_s: reach.air,
            diffusers: reach.diffusers,
            bore_m: reach.bore,
            run_m: reach.run,
            longest_run_m: reach.longest_run,
            line_loss: reach.line_loss,
            wider_bore_m: reach.wider.map(|(bore, _)| bore),
            wider_gain: reach.wider.map(|(_, gain)| gain),
            rated_depth_m: reach.depth,
            rated_area_m2: reach.area,
            depth_after_a_season_m: reach.in_service.as_ref().and_then(|left| left.depth[1]),
        }
    }
}

impl<'a> OfferRow<'a> {
    fn of(shown: &'a Shown, says: &Figures, one: &'a Listed) -> OfferRow<'a> {
        let offer: &Offer = one.offer;
        let fails = offer.fit.first_to_fail();
        OfferRow {
            catalog: &shown.judges[offer.catalog].catalog.name,
            package: &offer.package.entry.id,
            title: offer.package.entry.title.as_deref(),
            option: offer.option(),
            way: offer.way.name(),
            serves: fit::serves(offer.grade()),
            answer: grade(offer.grade()),
            grade: offer.grade().as_str(),
            margin: offer.fit.margin().filter(|margin| margin.is_finite()),
            price: offer.price.as_ref().map(MoneyRow::of),
            power_w: offer.watts,
            energy_kwh_per_month: offer.energy,
            cost_per_month: offer.month.as_ref().map(MoneyRow::of),
            sound_dba: offer.noise,
            sound_at_m: says.pond.ear.unwrap_or(FAR),
            airline_short_m: offer.line_short,
            needs: offer.fit.needs.iter().map(NeedRow::of).collect(),
            fails_first: fails.map(|need| need.name),
            why: fails.map(|need| says.fails(need)),
            changes: one.mends.iter().map(MendRow::of).collect(),
            reach: one.reach.as_ref().map(ReachRow::of),
        }
    }
}

impl<'a> SeasonRow<'a> {
    fn of(season: &'a Season) -> SeasonRow<'a> {
        SeasonRow {
            layers: season.layers,
            days: season.days.iter().map(DayRow::of).collect(),
            first_run_s: season.first_run,
            winter_depth_m: season.winter.map(|(least, most)| [least, most]),
        }
    }
}

/// The answer for programs, ending with a line feed.
pub fn render(shown: &Shown) -> String {
    let Some(says) = Figures::of_shown(shown) else {
        return String::new();
    };
    let listed = shown
        .listed
        .iter()
        .map(|one| OfferRow::of(shown, &says, one));
    json_text(&Page {
        format: FORMAT,
        answer: says.answer(shown.answer),
        pond: PondRow::of(says.pond),
        ranked_by: shown.answer.by.as_str(),
        rank_was_asked: shown.answer.asked,
        offers: shown.answer.count,
        serving: shown.answer.serving,
        listed: listed.collect(),
        season: shown.season().map(SeasonRow::of),
        order: shown.order().map(OrderRow::of),
        layout: shown
            .plan()
            .map(|plan| LayoutRow::of(shown, says.pond, plan)),
    })
}
