//! The room *pond*: a form in place of a pond file, answered as `nameplate pond` answers it.

use crate::catalog::fields::{Field, Shape};
use crate::catalog::{Catalog, pond as options};
use crate::pond::degrees::Degrees;
use crate::pond::fit::Judge;
use crate::pond::{self as ponds, Offer, Pond, Rank, closely, offers, survey};
use crate::report::desk::{self as shown, Key};
use crate::report::pond::{Shown, order as orders};

use super::form::Form;
use super::http::Answer;

/// How many ways to buy are listed.
const MOST: usize = 12;

/// The form, and the answer where something was filled in.
pub fn page(catalogs: &[Catalog], form: &Form) -> Answer {
    let values = |name: &str| form.get(name).to_string();
    if form.is_empty() {
        return Answer::page(shown::pond_page(&keys(), &values, &[], None));
    }
    let answered = asked(catalogs, form, true, |page| {
        shown::pond_page(&keys(), &values, &[], Some(page))
    });
    Answer::page(
        answered.unwrap_or_else(|faults| shown::pond_page(&keys(), &values, &faults, None)),
    )
}

/// The keys of the pond's table as fields of the form.
fn keys() -> Vec<Key> {
    let of = |field: &'static Field| Key {
        name: field.key,
        says: field.says,
        example: field.example.replace(['[', ']', '"'], ""),
        choices: match field.shape {
            Shape::Flag => vec![("true", "yes"), ("false", "no")],
            Shape::Words(words) => words.iter().map(|word| (*word, *word)).collect(),
            _ => Vec::new(),
        },
    };
    options::options().map(of).collect()
}

/// The order alone, for a spreadsheet.
pub fn order(catalogs: &[Catalog], form: &Form) -> Answer {
    match asked(catalogs, form, false, orders::csv) {
        Ok(csv) => Answer {
            saved_as: Some("order.csv"),
            ..Answer::of("text/csv; charset=utf-8", csv)
        },
        Err(faults) => Answer::refusal(400, &faults.join("\n")),
    }
}

/// Asks the pond of a form, and gives what `show` makes of the answer.
///
/// # Errors
/// What is wrong with the form, in sentences.
fn asked<T>(
    catalogs: &[Catalog],
    form: &Form,
    with_pictures: bool,
    show: impl FnOnce(&Shown) -> T,
) -> Result<T, Vec<String>> {
    let (pond, degrees) = stated(form)?;
    let put: Vec<Catalog> = catalogs
        .iter()
        .map(|catalog| pond.put_to(catalog.clone()))
        .collect();
    let judges: Vec<Judge> = put
        .iter()
        .map(|catalog| Judge::new(catalog, &pond))
        .collect();
    let package = form.get("package");
    let all = if package.is_empty() { MOST } else { usize::MAX };
    let answer = offers::answer(&judges, rank(form.get("rank")), all);
    let is_wanted = |offer: &&Offer| package.is_empty() || offer.package.entry.id == package;
    let wanted = answer.offers.iter().find(is_wanted);
    if wanted.is_none() && !package.is_empty() {
        return Err(vec![format!(
            "there is no package `{package}` in the catalog"
        )]);
    }
    let listed = closely::list(&judges, &answer.offers, MOST);
    let chosen =
        wanted.map(|offer| closely::choose(&judges, offer, !package.is_empty(), with_pictures));
    Ok(show(&Shown {
        judges: &judges,
        answer: &answer,
        listed: &listed,
        chosen: chosen.as_ref(),
        degrees,
    }))
}

fn rank(word: &str) -> Option<Rank> {
    let all = [Rank::Price, Rank::Cost, Rank::Noise, Rank::Margin];
    all.into_iter().find(|rank| rank.as_str() == word)
}

/// The pond that a form states.
fn stated(form: &Form) -> Result<(Pond, Option<Degrees>), Vec<String>> {
    let filled = options::options().filter_map(|field| {
        let value = form.get(field.key);
        let many = matches!(field.shape, Shape::Quantities(_));
        let values: Vec<String> = match many {
            true => value.split(',').map(|one| one.trim().to_string()).collect(),
            false => vec![value.to_string()],
        };
        (!value.is_empty()).then_some((field, values))
    });
    let filled: Vec<_> = filled.collect();
    let mut text = ponds::stated(&filled);
    let corners = form
        .get("outline")
        .lines()
        .filter(|line| !line.trim().is_empty());
    let corners = corners.map(|line| pair("outline", line));
    let corners: Vec<String> = corners.collect::<Result<_, _>>().map_err(|why| vec![why])?;
    if !corners.is_empty() {
        text.push_str(&format!("outline = [{}]\n", corners.join(", ")));
    }
    if !form.get("cabinet").is_empty() {
        let place = pair("cabinet", form.get("cabinet")).map_err(|why| vec![why])?;
        text.push_str(&format!("cabinet = {place}\n"));
    }
    let mut read = ponds::Read::of(ponds::OPTIONS, text.into_bytes());
    if read.is_faulty() {
        let said = read.findings.iter().map(|finding| finding.message.clone());
        return Err(said.collect());
    }
    let one = |why: String| vec![why];
    let soundings = match form.get("soundings") {
        "" => None,
        text => Some(survey::soundings(text).map_err(|fault| one(fault.to_string()))?),
    };
    let surveyed = read.survey(None, soundings);
    let (survey, degrees) = surveyed.map_err(|fault| one(fault.to_string()))?;
    let pond = Pond::of(&read.entry, survey.as_ref());
    Ok((pond.map_err(|lack| one(lack.to_string()))?, degrees))
}

/// Two numbers of a field as TOML has them.
fn pair(name: &str, text: &str) -> Result<String, String> {
    let apart = |one: char| one.is_whitespace() || one == ',' || one == ';';
    let words: Vec<&str> = text.split(apart).filter(|word| !word.is_empty()).collect();
    let number = |word: &&str| word.parse::<f64>().ok().filter(|one| one.is_finite());
    let numbers: Option<Vec<f64>> = words.iter().map(number).collect();
    match numbers.as_deref() {
        Some([x, y]) => Ok(format!("[{x:?}, {y:?}]")),
        _ => Err(format!(
            "{name}: {text:?} isn't two numbers; write x and y, such as 12.5, -2"
        )),
    }
}
