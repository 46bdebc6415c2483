//! The answer for people.

use crate::pond::fit::{self, Need};
use crate::pond::order::Order;
use crate::pond::plan::Plan;
use crate::report::answers::page::{Page, heads, row};
use crate::report::terminal::Look;

use super::words::{self, CAUTIONS, Figures};
use super::{Listed, Shown, order, plan};

/// The answer, ending with a line feed.
pub fn render(shown: &Shown, look: Look) -> String {
    let Some(says) = Figures::of_shown(shown) else {
        return String::new();
    };
    let mut page = Page::new(look, says.pond.system);
    page.answer(&says.answer(shown.answer));
    let (serving, others): (Vec<&Listed>, Vec<&Listed>) = shown
        .listed
        .iter()
        .partition(|one| fit::serves(one.offer.grade()));
    if !serving.is_empty() {
        offers(&mut page, &says, &serving);
    }
    if let Some(first) = shown.first() {
        first_of_all(&mut page, &says, first);
    }
    if let Some(why) = says.why_not_cheaper(shown.answer) {
        page.heading("Why not the next cheaper one");
        page.says(&why);
    }
    if !others.is_empty() {
        page.heading("What doesn't serve, and what would change that");
        for one in &others {
            failing(&mut page, &says, one);
        }
    }
    if let Some(more) = words::more(shown) {
        page.gap();
        page.says(&more);
    }
    if let Some(of) = shown.plan() {
        layout(&mut page, &says, shown, of);
    }
    if let Some(of) = shown.order() {
        order(&mut page, &says, shown, of);
    }
    if let Some(season) = shown.season() {
        page.heading("The first days");
        says.begin(season)
            .iter()
            .for_each(|sentence| page.says(sentence));
        if let Some(winter) = says.winter(season) {
            page.heading("Winter");
            page.says(&winter);
        }
    }
    page.heading("Safety");
    CAUTIONS.iter().for_each(|sentence| page.says(sentence));
    page.done()
}

/// A table of what is known: a column without any figure leaves its room to the others. What isn't known has a dash,
/// but at the end of a line nothing.
fn table<const N: usize>(page: &mut Page, titles: [&str; N], lines: &[[Option<String>; N]]) {
    let columns = words::filled(lines);
    let mut rows = vec![heads(columns.iter().map(|&at| titles[at].to_string()))];
    for cells in lines {
        let none = |at: usize| match columns.last() {
            Some(&last) if last == at => "",
            _ => page.theme.none(),
        };
        let cell = |&at: &usize| match &cells[at] {
            Some(cell) => page.theme.text(cell).into_owned(),
            None => none(at).to_string(),
        };
        rows.push(row(columns.iter().map(cell)));
    }
    page.table(&rows);
}

/// The table of what serves.
fn offers(page: &mut Page, says: &Figures, serving: &[&Listed]) {
    page.heading("What serves");
    let line = |one: &&Listed| {
        let [price, month, level, margin] = words::figures(one.offer);
        let answer = words::grade(one.offer.grade()).to_string();
        let name = says.offer(one.offer);
        [Some(name), Some(answer), price, month, level, margin]
    };
    let lines: Vec<_> = serving.iter().map(line).collect();
    let heard = says.heard_at();
    let titles = words::OFFER_HEADS.map(|head| head.unwrap_or(&heard));
    table(page, titles, &lines);
    if let Some(unheard) = says.unheard() {
        page.says(&unheard);
    }
}

/// The first offer need by need, and how far it goes.
fn first_of_all(page: &mut Page, says: &Figures, first: &Listed) {
    let name = page.theme.text(&says.offer(first.offer)).into_owned();
    page.heading(&format!("{name}, in this pond"));
    let (dot, none) = (page.theme.dot(), page.theme.none());
    let ends = ["worst", "typical", "best"].join(dot);
    let line = |need: &Need| {
        let [needed, rated, given] = says.row(need, dot, none);
        let answer = words::grade(need.grade).to_string();
        [Some(says.name(need)), Some(answer), needed, rated, given]
    };
    let lines: Vec<_> = first.offer.fit.needs.iter().map(line).collect();
    table(
        page,
        ["need", "answer", "needed", "as rated", &ends],
        &lines,
    );
    if let Some(reach) = &first.reach {
        for sentence in says.goes(first.offer, reach) {
            page.says(&sentence);
        }
    }
}

/// Where the first one's diffusers go.
fn layout(page: &mut Page, says: &Figures, shown: &Shown, of: &Plan) {
    if let Some(chosen) = shown.first() {
        let name = page.theme.text(&says.offer(chosen.offer)).into_owned();
        page.heading(&format!("Where the diffusers of {name} go"));
    }
    table(page, plan::HEADS, &plan::rows(says, shown, of));
    plan::sentences(says, shown, of)
        .iter()
        .for_each(|sentence| page.says(sentence));
}

/// What to order for the chosen one.
fn order(page: &mut Page, says: &Figures, shown: &Shown, of: &Order) {
    page.heading("What to order");
    for (group, title) in order::GROUPS {
        let lines = order::rows(says, of, group);
        if !lines.is_empty() {
            page.says(&format!("{title}:"));
            table(page, order::HEADS, &lines);
        }
    }
    for sentence in order::sentences(says, shown, of) {
        page.says(&sentence);
    }
}

/// An offer that doesn't serve: why, and what would mend it.
fn failing(page: &mut Page, says: &Figures, one: &Listed) {
    let name = page.theme.text(&says.offer(one.offer)).into_owned();
    let grade = words::grade(one.offer.grade());
    let why = one
        .offer
        .fit
        .first_to_fail()
        .map_or(String::new(), |need| format!(": {}", says.fails(need)));
    let mends: Vec<String> = one
        .mends
        .iter()
        .map(|mend| says.mend(one.offer, mend))
        .collect();
    let mends = match mends.is_empty() {
        true => String::new(),
        false => format!(" It would serve with {}.", mends.join("; or with ")),
    };
    page.says(&format!("{name} {}{why}.{mends}", is(grade)));
}

/// `can't serve` is a verb already.
fn is(grade: &str) -> String {
    if grade.starts_with("can't") {
        grade.to_string()
    } else {
        format!("is {grade}")
    }
}
