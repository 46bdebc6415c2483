//! The pages of the desk: forms that work without a script, and beside them the answers of the other reports.

use maud::{DOCTYPE, Markup, html};

use crate::answers::sweep::{Measure, Sweep};
use crate::engine::Outcome;
use crate::finding::capital;
use crate::report::answers::{sweep, sweep_picture};
use crate::report::html;
use crate::report::pond as ponds;
use crate::report::terminal::safe;

/// The style sheet of all rooms: the reports' own, and what forms need.
pub const STYLE: &str = concat!(
    include_str!("../html/picture.css"),
    include_str!("../html/page.css"),
    include_str!("desk.css")
);

/// What makes forms live and lets an outline be drawn. Nothing is lost without it.
pub const SCRIPT: &str = include_str!("desk.js");

/// A room of the desk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Room {
    /// Which package serves a pond.
    Pond,
    /// The catalog, its findings, and what if.
    Catalog,
}

impl Room {
    const ALL: [Room; 2] = [Room::Pond, Room::Catalog];

    fn path(self) -> &'static str {
        match self {
            Room::Pond => "pond",
            Room::Catalog => "catalog",
        }
    }
}

/// What a page's form holds: the value of each field by its name.
pub type Values<'a> = &'a dyn Fn(&str) -> String;

/// A page of a room.
fn page(room: Room, title: &str, body: &Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) }
                // An icon that is none, so that no browser looks for one.
                link rel="icon" href="data:,";
                link rel="stylesheet" href="desk.css";
                script src="desk.js" defer {}
            }
            body {
                a class="skip" href="#main" { "To the room" }
                header {
                    nav aria-label="Rooms" class="rooms" {
                        ul {
                            @for one in Room::ALL {
                                li { a href=(one.path()) aria-current=[(one == room).then_some("page")] { (capital(one.path())) } }
                            }
                        }
                    }
                    h1 { (title) }
                }
                main id="main" { (body) }
                footer { p { "This page is served by nameplate " (env!("CARGO_PKG_VERSION")) " on this machine, and asks nobody else for anything. It only reads." } }
            }
        }
    };
    page.into_string()
}

/// What is wrong with what was sent.
fn faults(faults: &[String]) -> Markup {
    html! {
        @if !faults.is_empty() {
            div class="finding error" role="alert" {
                h2 { "That can't be answered yet" }
                ul { @for fault in faults { li { (safe(fault)) } } }
            }
        }
    }
}

/// A labelled field with what it says below it.
fn labelled(name: &str, label: &str, says: &str, control: &Markup) -> Markup {
    html! {
        div class="field" {
            label for=(name) { (label) }
            (control)
            @if !says.is_empty() { p class="quiet" id=(format!("{name}-says")) { (safe(says)) } }
        }
    }
}

fn line(name: &str, value: &str, example: &str) -> Markup {
    html! {
        input id=(name) name=(name) type="text" value=(safe(value)) placeholder=(safe(example)) autocomplete="off"
            aria-describedby=(format!("{name}-says"));
    }
}

fn choice(name: &str, value: &str, choices: &[(&str, &str)]) -> Markup {
    html! {
        select id=(name) name=(name) aria-describedby=(format!("{name}-says")) {
            @for (own, words) in choices { option value=(own) selected[*own == value] { (words) } }
        }
    }
}

fn text(name: &str, value: &str, example: &str) -> Markup {
    html! {
        textarea id=(name) name=(name) rows="5" placeholder=(example) aria-describedby=(format!("{name}-says")) spellcheck="false" { (value) }
    }
}

/// A field of the pond's form.
#[derive(Debug, Clone)]
pub struct Key {
    /// Its name, as a pond file has it.
    pub name: &'static str,
    /// What it says.
    pub says: &'static str,
    /// An example of its value.
    pub example: String,
    /// The values it may have, with the words for them; any where there are none.
    pub choices: Vec<(&'static str, &'static str)>,
}

fn key(field: &Key, values: Values) -> Markup {
    let value = values(field.name);
    let control = match field.choices.as_slice() {
        [] => line(field.name, &value, &field.example),
        choices => choice(
            field.name,
            &value,
            &[&[("", "not stated")], choices].concat(),
        ),
    };
    let label = capital(&field.name.replace('_', " "));
    labelled(field.name, &label, field.says, &control)
}

/// The room *pond*: the form, and the answer below it where there is one.
pub fn pond_page(
    keys: &[Key],
    values: Values,
    wrong: &[String],
    answer: Option<&ponds::Shown>,
) -> String {
    let ranks = [
        ("", "price, else cost"),
        ("price", "price"),
        ("cost", "cost of running"),
        ("noise", "noise"),
        ("margin", "what is to spare"),
    ];
    let body = html! {
        p { "Fill in what you know; the area, or the outline, and the depth must be known. Write each figure with its unit, such as 1200 m2 or 6 ft." }
        form id="asked" method="post" action="pond" {
            div class="fields" { @for field in keys { (key(field, values)) } }
            details open[!(values("outline") + &values("soundings")).is_empty()] {
                summary { "Outline, soundings and the place of the cabinet" }
                div class="fields" {
                    div class="field wide" data-draws="outline" {
                        label for="outline" { "Outline" }
                        (text("outline", &values("outline"), "0, 0\n40, 0\n46, 18\n22, 31"))
                        p class="quiet" id="outline-says" { "Corners of the shore in order, one on a line, as x and y in metres, or as longitude and latitude" }
                    }
                    (labelled("soundings", "Soundings", "Places and depths, one on a line: x, y and the depth in metres", &text("soundings", &values("soundings"), "10, 8, 1.2\n20, 14, 2.1")))
                    (labelled("cabinet", "Cabinet", "Its place as x, y of the outline: runs are then measured, unless they are stated", &line("cabinet", &values("cabinet"), "12.5, -2")))
                }
            }
            div class="fields" {
                (labelled("rank", "Rank by", "What packages that serve are ranked by", &choice("rank", &values("rank"), &ranks)))
                (labelled("package", "Package", "ID of the package to show in full; the first that serves if empty", &line("package", &values("package"), "mill-pair")))
            }
            p class="buttons" {
                button type="submit" { "Which package serves?" }
                " "
                button type="submit" formaction="order.csv" data-saves="" class="second" { "Save the order as CSV" }
            }
        }
        p id="state" role="status" {}
        div id="answer" tabindex="-1" {
            (faults(wrong))
            @if let Some(shown) = answer { (ponds::html::answer(shown)) }
        }
    };
    page(Room::Pond, "Which package serves a pond", &body)
}

/// A package as the room *catalog* offers it.
#[derive(Debug, Clone)]
pub struct Offered {
    /// Its ID.
    pub package: String,
    /// What it is called.
    pub title: Option<String>,
    /// IDs of its options; none where it has none.
    pub options: Vec<String>,
}

/// The room *catalog*: a way to ask what if, and what an audit says.
pub fn catalog_page(offered: &[Offered], outcome: Option<&Outcome>) -> String {
    let body = html! {
        section aria-labelledby="what-if" {
            h2 id="what-if" { "What if" }
            form method="get" action="whatif" {
                div class="fields" {
                    (labelled("package", "Package", "ID of the package to vary", &packages(offered, "")))
                }
                p class="buttons" { button type="submit" { "Vary it" } }
            }
        }
        @match outcome {
            Some(outcome) => { (html::room(outcome)) }
            None => { p { "The catalog has more packages than a page holds: `nameplate audit` with --output writes them as a folder of pages." } }
        }
        form method="post" action="again" { p class="buttons" { button type="submit" class="second" { "Read the catalog again" } } }
    };
    page(Room::Catalog, "The catalog", &body)
}

fn packages(offered: &[Offered], chosen: &str) -> Markup {
    html! {
        select id="package" name="package" aria-describedby="package-says" {
            @for one in offered {
                option value=(one.package) selected[one.package == chosen] {
                    (safe(&one.package)) @if let Some(title) = &one.title { ", " (safe(title)) }
                }
            }
        }
    }
}

/// A slider of the room *catalog*: one value within a range.
#[derive(Debug, Clone)]
pub struct Slider {
    /// What it varies, and its field's name.
    pub name: &'static str,
    /// The unit of its numbers.
    pub unit: &'static str,
    /// From where to where.
    pub range: [f64; 2],
    /// From one value to the next.
    pub step: f64,
    /// Where it stands.
    pub value: f64,
}

/// The page that varies one package.
pub fn what_if_page(
    one: &Offered,
    (option, varied, figure): (&str, &str, Measure),
    sliders: &[Slider],
    answer: Result<&Sweep, String>,
) -> String {
    let title = format!("What if: {}", one.package);
    let names: Vec<(&str, &str)> = sliders.iter().map(|one| (one.name, one.name)).collect();
    let figures = Measure::ALL.map(|measure| (measure.key(), measure.says()));
    let options: Vec<(&str, &str)> = one
        .options
        .iter()
        .map(|option| (option.as_str(), option.as_str()))
        .collect();
    let body = html! {
        @if let Some(title) = &one.title { p { (safe(title)) } }
        form id="asked" method="get" action="whatif" data-live="" {
            input type="hidden" name="package" value=(one.package);
            div class="fields" {
                @if options.len() > 1 { (labelled("option", "Option", "How it is bought", &choice("option", option, &options))) }
                (labelled("vary", "Along the picture", "What runs from one side of the picture to the other; the others stay where their sliders stand", &choice("vary", varied, &names)))
                (labelled("figure", "Figure", "What the picture shows", &choice("figure", figure.key(), &figures)))
                @for slider in sliders {
                    div class="field" {
                        label for=(slider.name) { (capital(slider.name)) ", " (slider.unit) }
                        input id=(slider.name) name=(slider.name) type="range" min=(slider.range[0]) max=(slider.range[1])
                            step=(slider.step) value=(slider.value);
                        output for=(slider.name) { (slider.value) " " (slider.unit) }
                    }
                }
            }
            p class="buttons" { button type="submit" { "Calculate" } }
        }
        p id="state" role="status" {}
        div id="answer" tabindex="-1" {
            @match answer {
                Ok(sweep) => { (varied_package(sweep, figure)) }
                Err(why) => { (faults(&[why])) }
            }
        }
        p { a href="catalog" { "Back to the catalog" } }
    };
    page(Room::Catalog, &safe(&title), &body)
}

/// The curve of a package, and what it says.
fn varied_package(of: &Sweep, measure: Measure) -> Markup {
    let (picture, _) = sweep_picture::draw(of, measure, "curve");
    html! {
        figure {
            h2 { (capital(measure.says())) }
            (picture)
            figcaption {
                ul { @for line in sweep::graded(of) { li { (line) } } }
                "Least, typical and greatest over the ranges of the assumptions. Round marks hold or are within the rating, squares are beyond it, crosses are contradicted."
            }
        }
        @for note in sweep::notes(of) { p { (safe(&note)) } }
        p { "Mains near water kill, and hot or pressurised lines hurt: local codes and licensed people come first." }
    }
}
