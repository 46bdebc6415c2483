//! The answer as one page for a browser and for printing, in the frame of the reports.

use maud::{Markup, html};

use crate::claims::Grade;
use crate::finding::capital;
use crate::pond::fit::{self, Need};
use crate::pond::order::Order;
use crate::report::html::{class, page, pictures};
use crate::report::terminal::safe;
use crate::units::show::significant;

use super::words::{self, CAUTIONS, Figures};
use super::{Listed, Shown, order, plan};

/// The whole page.
pub fn render(shown: &Shown) -> String {
    let Some(says) = Figures::of_shown(shown) else {
        return String::new();
    };
    let title = format!("{}: which package serves it", capital(&says.called()));
    let body = html! {
        a class="skip" href="#main" { "To the answer" }
        header {
            h1 { (safe(&title)) }
            (lead(&says, shown))
            p class="quiet" { "Made by nameplate " (env!("CARGO_PKG_VERSION")) "." }
        }
        main id="main" { (sections(&says, shown)) }
        footer { (limits_of_it()) }
    };
    page(&safe(&title), &body).into_string()
}

/// The answer for a page that has a form before it.
pub(in crate::report) fn answer(shown: &Shown) -> Markup {
    let Some(says) = Figures::of_shown(shown) else {
        return html! {};
    };
    html! { (lead(&says, shown)) (sections(&says, shown)) (limits_of_it()) }
}

/// The answer in a sentence.
fn lead(says: &Figures, shown: &Shown) -> Markup {
    html! {
        p class="lead" { strong { (safe(&says.answer(shown.answer))) } }
        @if let Some(why) = says.why_not_cheaper(shown.answer) { p { (safe(&why)) } }
    }
}

/// What can't be known of it.
fn limits_of_it() -> Markup {
    html! {
        p {
            "This answer compares packages with the physics of air and water. It knows nothing of weather, weeds, feed and mud; whoever knows the "
            "pond decides. Local codes come first, and licensed people judge a site."
        }
    }
}

/// Everything about it.
fn sections(says: &Figures, shown: &Shown) -> Markup {
    let (serving, others): (Vec<&Listed>, Vec<&Listed>) = shown
        .listed
        .iter()
        .partition(|one| fit::serves(one.offer.grade()));
    html! {
        (safety())
        @if !serving.is_empty() { (offers(says, &serving)) }
        @if let Some(first) = shown.first() { (first_of_all(says, first)) }
        @if let Some(plan) = shown.plan() { (layout(says, shown, plan)) }
        @if let Some(charts) = shown.pictures() {
            section aria-labelledby="pictures" {
                h2 id="pictures" { "In pictures" }
                @if let Some(first) = shown.first() { h3 { (safe(&says.offer(first.offer))) } }
                (pictures::pictures(charts, says.pond.system, "first"))
            }
        }
        @if let Some(of) = shown.order() { (order(says, shown, of)) }
        @if !others.is_empty() { (failing(says, &others)) }
        @if let Some(more) = words::more(shown) { p class="quiet" { (more) } }
        (season(says, shown))
        (reading())
    }
}

/// A grade in its colour.
fn graded(grade: Grade) -> Markup {
    html! { span class=(format!("verdict {}", class(grade))) { (words::grade(grade)) } }
}

fn safety() -> Markup {
    html! {
        section class="finding warning" aria-labelledby="safety" {
            h2 id="safety" { "Safety" }
            @for sentence in CAUTIONS { p { (sentence) } }
        }
    }
}

/// A table of what is known: a column without any figure is left out. Cells have their heads as labels on a narrow
/// screen.
fn table<const N: usize>(
    caption: Option<&str>,
    heads: [&str; N],
    rows: &[[Option<Markup>; N]],
) -> Markup {
    let columns = words::filled(rows);
    html! {
        table role="table" class="promises" {
            @if let Some(caption) = caption { caption { (caption) } }
            thead role="rowgroup" {
                tr role="row" { @for &at in &columns { th role="columnheader" scope="col" { (heads[at]) } } }
            }
            tbody role="rowgroup" {
                @for cells in rows {
                    tr role="row" {
                        @for &at in &columns {
                            @let cell = cells[at].clone().unwrap_or_else(|| text(NONE));
                            @if at == 0 {
                                th role="rowheader" scope="row" { (cell) }
                            } @else {
                                td role="cell" data-label=(heads[at]) { (cell) }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// What stands where nothing is known.
const NONE: &str = "–";

/// A text of a catalog or a pond.
fn text(text: &str) -> Markup {
    html! { (safe(text)) }
}

/// The cells of a row as figures, whose units stay beside them.
fn figures<const N: usize>(cells: &[Option<String>; N]) -> [Option<Markup>; N] {
    let figure = |cell: &str| html! { span class="figure" { (safe(cell)) } };
    cells.each_ref().map(|cell| cell.as_deref().map(figure))
}

/// The cells of a row as text.
fn texts<const N: usize>(cells: &[Option<String>; N]) -> [Option<Markup>; N] {
    cells.each_ref().map(|cell| cell.as_deref().map(text))
}

/// The table of what serves.
fn offers(says: &Figures, serving: &[&Listed]) -> Markup {
    let heard = says.heard_at();
    let titles = words::OFFER_HEADS.map(|head| head.unwrap_or(&heard));
    let line = |one: &&Listed| {
        let [price, month, level, margin] = figures(&words::figures(one.offer));
        let answer = graded(one.offer.grade());
        [
            Some(called(says, one)),
            Some(answer),
            price,
            month,
            level,
            margin,
        ]
    };
    let rows: Vec<_> = serving.iter().map(line).collect();
    html! {
        section aria-labelledby="serves" {
            h2 id="serves" { "What serves" }
            div class="card" {
                (table(None, titles, &rows))
                @if let Some(unheard) = says.unheard() { p { (unheard) } }
            }
        }
    }
}

/// An offer by its IDs, with the package's title.
fn called(says: &Figures, one: &Listed) -> Markup {
    html! {
        (safe(&says.offer(one.offer)))
        @if let Some(title) = &one.offer.package.entry.title { " " span class="title" { (safe(title)) } }
    }
}

/// The first offer need by need, and how far it goes.
fn first_of_all(says: &Figures, first: &Listed) -> Markup {
    let titles = [
        "need",
        "answer",
        "needed",
        "as rated",
        "worst · typical · best",
    ];
    let line = |need: &Need| {
        let [needed, rated, given] = figures(&says.row(need, " · ", NONE));
        let name = text(&capital(&says.name(need)));
        [Some(name), Some(graded(need.grade)), needed, rated, given]
    };
    let rows: Vec<_> = first.offer.fit.needs.iter().map(line).collect();
    html! {
        section aria-labelledby="first" {
            h2 id="first" { (safe(&says.offer(first.offer))) " in this pond" }
            div class="card" {
                (table(None, titles, &rows))
                @if let Some(reach) = &first.reach {
                    @for sentence in says.goes(first.offer, reach) { p { (safe(&sentence)) } }
                }
            }
        }
    }
}

/// The plan with its table and what is to be known of it.
fn layout(says: &Figures, shown: &Shown, of: &crate::pond::plan::Plan) -> Markup {
    let rows: Vec<_> = plan::rows(says, shown, of).iter().map(texts).collect();
    let reach = of.reach.map(|reach| significant(reach, 2));
    html! {
        section aria-labelledby="layout" {
            h2 id="layout" {
                "Where the diffusers " @if let Some(chosen) = shown.first() { "of " (safe(&says.offer(chosen.offer))) " " } "go"
            }
            div class="plan" {
                figure {
                    h3 { "Plan of the pond" }
                    (plan::picture(says, of, "plan"))
                    figcaption {
                        "The circles show how far a diffuser stirs: "
                        span class="key low" { (reach[0]) " depths" } " "
                        span class="key typical" { (reach[1]) " depths" } " "
                        span class="key high" { (reach[2]) " depths" }
                    }
                }
                div { @for sentence in plan::sentences(says, shown, of) { p { (sentence) } } }
            }
            div class="card" { (table(None, plan::HEADS, &rows)) }
        }
    }
}

/// What to order, by group.
fn order(says: &Figures, shown: &Shown, of: &Order) -> Markup {
    html! {
        section aria-labelledby="order" {
            h2 id="order" {
                "What to order" @if let Some(chosen) = shown.first() { " for " (safe(&says.offer(chosen.offer))) }
            }
            @for (group, title) in order::GROUPS {
                @let rows: Vec<_> = order::rows(says, of, group).iter().map(texts).collect();
                @if !rows.is_empty() { (table(Some(title), order::HEADS, &rows)) }
            }
            @for sentence in order::sentences(says, shown, of) { p { (safe(&sentence)) } }
        }
    }
}

/// What doesn't serve: why, and what would mend it.
fn failing(says: &Figures, others: &[&Listed]) -> Markup {
    html! {
        section aria-labelledby="fails" {
            h2 id="fails" { "What doesn't serve, and what would change that" }
            @for one in others {
                div class=(format!("finding {}", if one.offer.grade() == Grade::Contradicted { "error" } else { "warning" })) {
                    p class="message" {
                        strong { (called(says, one)) } " " (graded(one.offer.grade()))
                        @if let Some(need) = one.offer.fit.first_to_fail() { ": " (safe(&says.fails(need))) "." }
                    }
                    @if !one.mends.is_empty() {
                        p { "It would serve with:" }
                        ul { @for mend in &one.mends { li { (safe(&says.mend(one.offer, mend))) } } }
                    }
                }
            }
        }
    }
}

fn season(says: &Figures, shown: &Shown) -> Markup {
    html! {
        @if let Some(season) = shown.season() {
            section aria-labelledby="begin" {
                h2 id="begin" { "The first days" }
                @for sentence in says.begin(season) { p { (safe(&sentence)) } }
                @if let Some(winter) = says.winter(season) {
                    h2 { "Winter" }
                    p { (winter) }
                }
            }
        }
    }
}

/// The words of the answer, for somebody who sees one for the first time.
fn reading() -> Markup {
    let says = |grade: Grade| match grade {
        Grade::Holds => "for every value that the unknowns may take",
        Grade::WithinRating => "for some values, among them those by which such equipment is rated",
        Grade::BeyondRating => "for some values, but not for the rated ones",
        Grade::Contradicted => "for no value",
        Grade::NotJudged => "a fact is missing, which the row names",
    };
    html! {
        section aria-labelledby="words" {
            h2 id="words" { "The words" }
            dl class="words" {
                @for grade in Grade::ALL { dt { (graded(grade)) } dd { (says(grade)) } }
                dt { "to spare" } dd { "how much more the package gives than its worst need takes, as rated" }
            }
        }
    }
}
