//! The answer for people.

use crate::pond::fit::{self, Need};
use crate::pond::order::Order;
use crate::pond::plan::Plan;
use crate::report::answers::page::{Page, heads, row};
use crate::report::figures::joined;
use crate::report::terminal::Look;
use crate::report::terminal::table::Row;

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
    if let Some(first) = shown.chosen {
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
    if let Some(of) = shown.plan {
        layout(&mut page, &says, shown, of);
    }
    if let Some(of) = shown.order {
        order(&mut page, &says, shown, of);
    }
    if let Some(season) = shown.season {
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

/// The table of what serves.
fn offers(page: &mut Page, says: &Figures, serving: &[&Listed]) {
    page.heading("What serves");
    let mut rows = vec![heads([
        "package, option".to_string(),
        "answer".into(),
        "price".into(),
        "a month".into(),
        says.heard_at(),
        "to spare".into(),
    ])];
    let unknown = || page.theme.cut().to_string();
    for one in serving {
        let figures = words::figures(one.offer).map(|cell| cell.unwrap_or_else(unknown));
        let name = page.theme.text(&says.offer(one.offer)).into_owned();
        let answer = words::grade(one.offer.grade()).to_string();
        rows.push(row([name, answer].into_iter().chain(figures)));
    }
    page.table(&rows);
}

/// The first offer need by need, and how far it goes.
fn first_of_all(page: &mut Page, says: &Figures, first: &Listed) {
    let name = page.theme.text(&says.offer(first.offer)).into_owned();
    page.heading(&format!("{name}, in this pond"));
    let dot = page.theme.dot();
    let ends = ["worst", "typical", "best"].join(dot);
    let titles = ["", "answer", "needed", "as rated", &ends];
    let mut rows = vec![heads(titles.map(String::from))];
    rows.extend(
        first
            .offer
            .fit
            .needs
            .iter()
            .map(|need| of_need(page, says, need)),
    );
    page.table(&rows);
    if let Some(reach) = &first.reach {
        for sentence in says.goes(first.offer, reach) {
            page.says(&sentence);
        }
    }
}

fn of_need(page: &Page, says: &Figures, need: &Need) -> Row {
    let cell = |value: Option<f64>| {
        value.map_or(page.theme.cut().to_string(), |value| says.of(need, value))
    };
    let needed = cell(need.is_measured().then_some(need.needed));
    let given = joined(&need.given.map(cell), page.theme.dot());
    let answer = words::grade(need.grade).to_string();
    row([says.name(need), answer, needed, cell(need.rated), given])
}

/// Where the first one's diffusers go.
fn layout(page: &mut Page, says: &Figures, shown: &Shown, of: &Plan) {
    if let Some(chosen) = shown.chosen {
        let name = page.theme.text(&says.offer(chosen.offer)).into_owned();
        page.heading(&format!("Where the diffusers of {name} go"));
    }
    let mut rows = vec![heads(plan::HEADS.map(String::from))];
    for cells in plan::rows(says, shown, of) {
        let unknown = || page.theme.cut().to_string();
        rows.push(row(cells.map(|cell| cell.unwrap_or_else(unknown))));
    }
    page.table(&rows);
    plan::sentences(says, shown, of)
        .iter()
        .for_each(|sentence| page.says(sentence));
}

/// What to order for the chosen one.
fn order(page: &mut Page, says: &Figures, shown: &Shown, of: &Order) {
    page.heading("What to order");
    for (group, title) in order::GROUPS {
        let lines = order::rows(says, of, group);
        // A column without any figure leaves its room to the others.
        let is_empty = |column: usize| lines.iter().all(|line| line[column].is_none());
        let columns: Vec<usize> = (0..order::HEADS.len())
            .filter(|&at| !is_empty(at))
            .collect();
        let mut rows = vec![heads(
            columns.iter().map(|&at| order::HEADS[at].to_string()),
        )];
        for cells in &lines {
            let cell = |&at: &usize| match &cells[at] {
                Some(cell) => page.theme.text(cell).into_owned(),
                None => page.theme.cut().to_string(),
            };
            rows.push(row(columns.iter().map(cell)));
        }
        if !lines.is_empty() {
            page.says(&format!("{title}:"));
            page.table(&rows);
        }
    }
    for sentence in order::sentences(says, shown, of) {
        let sentence = page.theme.text(&sentence).into_owned();
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
