//! The room *catalog*: what an audit says of it, and one package with sliders.

use crate::answers::Question;
use crate::answers::choose::{self, Asked};
use crate::answers::sweep::{self, Axis, Measure, Sweep, Variable};
use crate::catalog::Catalog;
use crate::charts::ALL_OF;
use crate::engine::{self, Input, Options};
use crate::report::desk::{self as shown, Offered, Slider};
use crate::units::{self, Dimension, Quantity, System};

use super::form::Form;
use super::http::Answer;

/// The whole room.
pub fn page(inputs: &[Input], catalogs: &[Catalog]) -> String {
    let packages: usize = catalogs.iter().map(|one| one.packages.len()).sum();
    let outcome = (packages <= ALL_OF).then(|| {
        let options = Options {
            charts: true,
            ..Options::default()
        };
        engine::audit(inputs.to_vec(), &options)
    });
    shown::catalog_page(&offered(catalogs), outcome.as_ref())
}

fn offered(catalogs: &[Catalog]) -> Vec<Offered> {
    let packages = catalogs.iter().flat_map(|catalog| catalog.packages.iter());
    packages
        .map(|package| Offered {
            package: package.entry.id.clone(),
            title: package.entry.title.clone(),
            options: package.options.iter().map(|one| one.id.clone()).collect(),
        })
        .collect()
}

/// One package with its sliders, and the curve for where they stand.
pub fn what_if(catalogs: &[Catalog], form: &Form) -> Answer {
    let id = form.get("package");
    let of = |catalog: &&Catalog| catalog.packages.get(id).is_some();
    let Some(catalog) = catalogs.iter().find(of) else {
        return Answer::refusal(404, "there is no such package in the catalog");
    };
    let all = offered(std::slice::from_ref(catalog));
    let Some(one) = all.into_iter().find(|one| one.package == id) else {
        return Answer::refusal(404, "there is no such package in the catalog");
    };
    // With several options the first counts until another is chosen.
    let option = one
        .options
        .iter()
        .find(|option| *option == form.get("option"));
    let option = option.or(one.options.first()).cloned();
    let question = Question {
        package: id.to_string(),
        option: option.clone(),
        ..Question::default()
    };
    let sliders = match choose::find(catalog, &question) {
        Ok(asked) => sliders(&asked, form),
        Err(why) => {
            let chosen = (option.as_deref().unwrap_or_default(), "", Measure::Pressure);
            let page = shown::what_if_page(&one, chosen, &[], Err(why.to_string()));
            return Answer::page(page);
        }
    };
    let varied = sliders
        .iter()
        .find(|slider| slider.name == form.get("vary"));
    let Some(varied) = varied.or(sliders.first()) else {
        return Answer::refusal(404, "there is nothing to vary");
    };
    let measure = Measure::ALL
        .into_iter()
        .find(|measure| measure.key() == form.get("figure"))
        .unwrap_or(Measure::Pressure);
    let swept = along(catalog, question, &sliders, varied);
    let chosen = (option.as_deref().unwrap_or_default(), varied.name, measure);
    let page = match &swept {
        Ok(sweep) => shown::what_if_page(&one, chosen, &sliders, Ok(sweep)),
        Err(why) => shown::what_if_page(&one, chosen, &sliders, Err(why.clone())),
    };
    Answer::page(page)
}

/// Depth, run and bore: where the form has them, else as the package is laid.
fn sliders(asked: &Asked, form: &Form) -> Vec<Slider> {
    let plant = &asked.solver.plant;
    let outlet = plant.outlets.first();
    let run = outlet.map_or(0.0, |outlet| outlet.run_length());
    let bore = outlet
        .and_then(|outlet| outlet.lines.last())
        .map(|line| line.bore);
    let (long, narrow) = match asked.system() {
        System::Us => ("ft", "in"),
        System::Metric => ("m", "mm"),
    };
    let of = |name: &'static str, unit: &'static str, si: f64, [low, high]: [f64; 2], step: f64| {
        let to = |si: f64| units::Unit::known(unit).map_or(si, |unit| unit.from_si(si));
        let even = |si: f64| (to(si) / step).round() * step;
        let range = [even(low).max(step), even(high)];
        let sent = form
            .get(name)
            .parse::<f64>()
            .ok()
            .filter(|one| one.is_finite());
        let value = sent.unwrap_or(to(si)).clamp(range[0], range[1]);
        Slider {
            name,
            unit,
            range,
            step,
            // Written with no more digits than the step has.
            value: (value / step).round() * step,
        }
    };
    let is_us = long == "ft";
    let mut sliders = vec![of(
        "depth",
        long,
        plant.deepest(),
        [0.5, 6.5],
        if is_us { 0.25 } else { 0.1 },
    )];
    // Without a line there is nothing to make longer or wider.
    if run > 0.0 {
        sliders.push(of(
            "run",
            long,
            run,
            [1.0, 200.0],
            if is_us { 5.0 } else { 1.0 },
        ));
        let bore = bore.unwrap_or(0.0127);
        sliders.push(of(
            "bore",
            narrow,
            bore,
            [0.006, 0.026],
            if is_us { 0.0625 } else { 0.5 },
        ));
    }
    sliders
}

/// The package along one slider, with the others where they stand.
fn along(
    catalog: &Catalog,
    mut question: Question,
    sliders: &[Slider],
    varied: &Slider,
) -> Result<Sweep, String> {
    let one =
        |text: String| -> Option<Quantity> { units::read(&text, &[Dimension::Length]).quantity };
    for slider in sliders.iter().filter(|slider| slider.name != varied.name) {
        let figure = one(format!("{:.4} {}", slider.value, slider.unit));
        match slider.name {
            "depth" => question.depth = figure,
            "run" => question.run = figure,
            _ => question.bore = figure,
        }
    }
    let variable = match varied.name {
        "depth" => Variable::Depth,
        "run" => Variable::Run,
        _ => Variable::Bore,
    };
    let [low, high] = varied.range;
    let range = one(format!("{low:.4} to {high:.4} {}", varied.unit));
    let range = range.ok_or("the range can't be read")?;
    let axis = Axis::of_quantity(variable, &range, 13);
    sweep::answer(catalog, &question, vec![axis]).map_err(|why| why.to_string())
}
