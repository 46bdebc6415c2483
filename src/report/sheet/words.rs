//! The sentences of a sheet. They are in the trade's words, and such that an audit reads each figure as what it is.

use crate::answers::gauge::Reading;
use crate::catalog::{Conditions, Figure, Given};
use crate::claims::{Claim, Grade};
use crate::derive::{Way, supply};
use crate::sheet::figure::{both, calculated, printed};
use crate::sheet::offers::{Item, Offer, Role};
use crate::sheet::template::Part;
use crate::sheet::{Card, Machine, Mains, Promise, Refused, Sheet, Why, named};
use crate::units::Dimension;
use crate::units::show::significant;

use super::Piece;

/// The pieces of a part.
pub(super) fn part(sheet: &Sheet, part: Part) -> Vec<Piece> {
    match part {
        Part::Head => Vec::new(),
        Part::Title => title(sheet),
        Part::Promises => promises(sheet),
        Part::Options => options(sheet),
        Part::Supply => machines(sheet),
        Part::Cautions => cautions(sheet),
        Part::Card => card(sheet),
        Part::Service => service(sheet),
        Part::Rating => rating(sheet),
    }
}

/// A name that the catalog gives something. It stands in quotation marks, behind a word of its own: figures in a name
/// promise nothing.
fn quoted(name: &str) -> String {
    // Marks within would end the name.
    let single = |c: char| match c {
        '\u{201c}' | '\u{201e}' | '\u{ab}' => '\u{2018}',
        '\u{201d}' | '\u{bb}' => '\u{2019}',
        '"' => '\'',
        c => c,
    };
    let name: String = name.trim().chars().map(single).collect();
    format!("\u{201c}{name}\u{201d}")
}

fn heading(text: &str) -> Piece {
    Piece::Heading(text.into())
}

/// What the sheet is called.
pub(super) fn name(sheet: &Sheet) -> String {
    format!("Spec sheet: {}", quoted(sheet.title()))
}

fn title(sheet: &Sheet) -> Vec<Piece> {
    let identity = &sheet.package.entry.identity;
    let numbers = [
        ("Stock number", &identity.sku),
        ("Model", &identity.model),
        ("Trade item number", &identity.gtin),
    ];
    let numbers = numbers
        .iter()
        .filter_map(|(name, text)| Some(format!("{name}: {}.", text.known()?.text)));
    let numbers: Vec<String> = numbers.collect();
    let mut pieces = vec![Piece::Title(name(sheet))];
    if !numbers.is_empty() {
        pieces.push(Piece::Words(numbers.join(" ")));
    }
    pieces
}

/// What a promise is called, and which words go before its figure.
struct Spoken {
    name: &'static str,
    bound: &'static str,
    rated: &'static str,
}

fn spoken(claim: Claim) -> Spoken {
    let (name, bound, rated) = match claim {
        Claim::Depth => ("Depth of the diffusers", "up to ", "rated up to "),
        Claim::Area => ("Pond area", "up to ", "rated up to "),
        Claim::Volume => ("Pond volume", "up to ", "rated up to "),
        Claim::Flow => ("Air flow", "at least ", "rated "),
        Claim::Turnover => ("Pond turnover", "at least ", "rated "),
        Claim::WaterMoved => ("Water moved", "at least ", "rated "),
        Claim::Oxygen => (
            "Oxygen transferred in the standard test in clean water",
            "at least ",
            "rated ",
        ),
        Claim::OxygenUptake => ("Oxygen that the pond takes up", "at least ", "rated "),
        Claim::TransferEfficiency => ("Oxygen transfer efficiency", "at least ", "rated "),
        Claim::AirlineLength => ("Run of airline", "up to ", "rated up to "),
        Claim::Power => ("Power", "at most ", "rated "),
        Claim::RunningCost => ("Running cost", "at most ", "rated "),
        Claim::Sound => ("Sound level", "at most ", "rated "),
        Claim::WinterOpening => ("Opening in ice", "up to ", "rated up to "),
        Claim::PackedMass => ("Mass as packed", "", ""),
        Claim::ServiceInterval => ("Service interval", "", ""),
        Claim::Warranty => ("Warranty", "", ""),
    };
    Spoken { name, bound, rated }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first: String = letters
        .next()
        .into_iter()
        .flat_map(char::to_uppercase)
        .collect();
    first + letters.as_str()
}

/// A promise by its name in a sentence.
fn in_sentence(claim: Claim) -> String {
    let name = spoken(claim).name;
    name[..1].to_lowercase() + &name[1..]
}

fn promises(sheet: &Sheet) -> Vec<Piece> {
    if sheet.promises.is_empty() {
        return Vec::new();
    }
    let rows = sheet.promises.iter().map(|promise| row(sheet, promise));
    let mut pieces = vec![
        heading("What it does"),
        Piece::Table(vec!["Promise", "Figure", "Condition"], rows.collect()),
    ];
    pieces.extend(on_what(sheet));
    if sheet
        .promises
        .iter()
        .any(|promise| promise.grade == Grade::WithinRating)
    {
        pieces.push(Piece::Small(
            "What is called rated is calculated on the basis at the end of this sheet; a pond may give more or less. Every other \
             calculated figure also holds in the worst case."
                .into(),
        ));
    }
    pieces
}

/// On what supply and how high up all of it holds, as far as that is one and known.
fn on_what(sheet: &Sheet) -> Option<Piece> {
    let supplies = sheet.machines.iter().map(|machine| {
        let voltage = printed(&machine.supply.voltage.known()?.quantity);
        Some(match machine.supply.frequency.known() {
            Some(frequency) => format!("on {voltage} and {}", printed(&frequency.quantity)),
            None => format!("on {voltage}"),
        })
    });
    let mut supplies: Vec<Option<String>> = supplies.collect();
    supplies.dedup();
    let supply = match supplies.as_slice() {
        [only] => only.clone(),
        _ => None,
    };
    let altitude = sheet.catalog.site.altitude.known();
    let altitude = altitude.map(|altitude| format!("{} above the sea", both(altitude)));
    let all: Vec<String> = supply.into_iter().chain(altitude).collect();
    (!all.is_empty()).then(|| Piece::Words(format!("All of this is meant {}.", all.join(", "))))
}

fn row(sheet: &Sheet, promise: &Promise) -> Vec<String> {
    let spoken = spoken(promise.claim);
    let figure = promise.figure;
    let before = match promise.grade {
        // The ends of a range speak for themselves.
        _ if figure.quantity.is_range() => "",
        Grade::WithinRating => spoken.rated,
        _ => spoken.bound,
    };
    let each = if figure.per_diffuser {
        " for each diffuser"
    } else {
        ""
    };
    vec![
        spoken.name.to_string(),
        format!("{before}{}{each}", both(figure)),
        condition(sheet, promise),
    ]
}

/// Everything that a promise holds under.
fn condition(sheet: &Sheet, promise: &Promise) -> String {
    let mut all: Vec<String> = stated(&promise.figure.conditions);
    let conditions = &promise.figure.conditions;
    let is_of_the_pond = matches!(
        promise.claim,
        Claim::Area
            | Claim::Volume
            | Claim::Flow
            | Claim::Turnover
            | Claim::WaterMoved
            | Claim::Oxygen
            | Claim::OxygenUptake
            | Claim::TransferEfficiency
    );
    let has_place = conditions.depth.is_some() || conditions.pressure.is_some();
    if is_of_the_pond
        && !has_place
        && let Some(depth) = sheet.depth
    {
        all.insert(0, format!("at a depth of {}", both(depth)));
    }
    if promise.grade == Grade::NotJudged {
        all.push("as the seller states".into());
    }
    if promise.claim == Claim::RunningCost {
        all.extend(cost(sheet, conditions));
    }
    let is_of_lines = promise.claim == Claim::Depth && !sheet.ways.is_empty();
    match ways(sheet, promise) {
        Some(only) => all.push(only),
        None if is_of_lines && sheet.ways.len() > 1 => all.push("with every airline below".into()),
        None if is_of_lines => all.push("with the airline below".into()),
        None => {}
    }
    all.join(", ")
}

/// The condition that is written with a figure.
fn stated(conditions: &Conditions) -> Vec<String> {
    let one = |before: &str, figure: &Option<Box<Figure>>, after: &str| {
        let figure = figure.as_deref()?;
        Some(format!("{before}{}{after}", both(figure)))
    };
    let all = [
        one("at a depth of ", &conditions.depth, ""),
        one("at ", &conditions.pressure, ""),
        one("at ", &conditions.distance, ""),
        one("at ", &conditions.tariff, ""),
        one("", &conditions.altitude, " above the sea"),
        one("in air of ", &conditions.temperature, ""),
        conditions.hours_per_day.map(hours),
    ];
    all.into_iter().flatten().collect()
}

fn hours(hours: f64) -> String {
    format!("running {} hours a day", significant(hours, 3))
}

/// What a cost is counted at and its own words leave out.
fn cost(sheet: &Sheet, conditions: &Conditions) -> Vec<String> {
    let site = &sheet.catalog.site;
    let tariff = site.tariff.known().filter(|_| conditions.tariff.is_none());
    let tariff = tariff.map(|tariff| format!("at {}", printed(&tariff.quantity)));
    let own = sheet
        .package
        .hours_per_day
        .known()
        .or(site.hours_per_day.known());
    let own = own.map_or(24.0, |own| own.value);
    let running = conditions.hours_per_day.is_none().then(|| hours(own));
    tariff.into_iter().chain(running).collect()
}

/// Which ways keep a promise, where not all do.
fn ways(sheet: &Sheet, promise: &Promise) -> Option<String> {
    if promise.but.is_empty() {
        return None;
    }
    let is_but = |way: &Way| promise.but.iter().any(|but| but.name() == way.name());
    let kept = sheet.ways.iter().filter(|way| !is_but(way));
    let kept: Vec<String> = kept.map(|way| called(*way)).collect();
    Some(format!("only with {}", kept.join(" or ")))
}

/// A way as a sentence calls it.
fn called(way: Way) -> String {
    let size = |figure: &Given<Figure>| figure.known().map(|size| printed(&size.quantity));
    match way {
        Way::Supplied(option) => format!("option {}", option.id),
        Way::Allowed(option, allow) => match size(&allow.size) {
            Some(size) => format!("{size} airline in option {}", option.id),
            None => format!("option {}", option.id),
        },
        Way::Own => "the airline of each diffuser".into(),
    }
}

fn options(sheet: &Sheet) -> Vec<Piece> {
    let mut pieces = Vec::new();
    for offer in &sheet.offers {
        pieces.push(match offer.option {
            Some(option) => heading(&format!("Option {}", option.id)),
            None => heading("In the box"),
        });
        pieces.extend(numbers(offer));
        pieces.extend(contents(offer));
        pieces.extend(to_fit(offer));
    }
    pieces
}

/// What an option is ordered by, and what it costs.
fn numbers(offer: &Offer) -> Option<Piece> {
    let sku = offer.option.and_then(|option| option.identity.sku.known());
    let sku = sku.map(|sku| format!("Stock number: {}.", sku.text));
    let price = offer
        .price
        .map(|price| format!("Price: {}.", printed(&price.quantity)));
    let all: Vec<String> = sku.into_iter().chain(price).collect();
    (!all.is_empty()).then(|| Piece::Words(all.join(" ")))
}

fn contents(offer: &Offer) -> Option<Piece> {
    let rows = offer.items.iter().map(|item| {
        let number = item.entry.identity.sku.known();
        vec![
            content(item),
            number.map_or(String::new(), |number| number.text.clone()),
        ]
    });
    let rows: Vec<Vec<String>> = rows.collect();
    (!rows.is_empty()).then(|| Piece::Table(vec!["In the box", "Stock number"], rows))
}

/// `2 diffusers “Disc 230”`, `2 lengths of 25 m (82 ft) each of airline “Weighted line”`.
fn content(item: &Item) -> String {
    let name = quoted(named(item.entry));
    let several = if item.count == 1 { "" } else { "s" };
    let line = match item.role {
        Role::Part(kind) => return format!("{} {}{several} {name}", item.count, kind.words()),
        Role::Airline => "airline",
        Role::Trunk => "trunk",
    };
    let each = if item.count == 1 { "" } else { " each" };
    let length = item.length.map_or("a length not stated".into(), both);
    format!(
        "{} length{several} of {length}{each} of {line} {name}",
        item.count
    )
}

fn to_fit(offer: &Offer) -> Vec<Piece> {
    let rows = offer.allows.iter().filter_map(|allow| {
        let (size, up_to) = (allow.size.known()?, allow.up_to.known()?);
        Some(vec![both(size), format!("up to {}", both(up_to))])
    });
    let rows: Vec<Vec<String>> = rows.collect();
    if rows.is_empty() {
        return Vec::new();
    }
    vec![
        Piece::Words("Airline isn't in this box. You may fit:".into()),
        Piece::Table(vec!["Airline to fit", "Longest run"], rows),
    ]
}

fn machines(sheet: &Sheet) -> Vec<Piece> {
    let mut pieces = Vec::new();
    for machine in &sheet.machines {
        let rows = facts(machine);
        if !rows.is_empty() {
            pieces.push(heading(&format!(
                "Compressor {}",
                quoted(named(&machine.part.entry))
            )));
            pieces.push(Piece::Table(Vec::new(), rows));
        }
    }
    pieces
}

/// A row for each fact of a machine that is stated.
fn facts(machine: &Machine) -> Vec<Vec<String>> {
    let (part, on) = (machine.part, machine.supply);
    let row = |name: &str, before: &str, figure: &Given<Figure>| {
        let figure = figure.known()?;
        let under = stated(&figure.conditions);
        let mut text = format!("{before}{}", both(figure));
        if !under.is_empty() {
            text = format!("{text} {}", under.join(", "));
        }
        Some(vec![name.to_string(), text])
    };
    let rows = [
        row("Voltage", "", &on.voltage),
        row("Frequency", "", &on.frequency),
        row("Power of the compressor", "", &on.power),
        row("Current", "", &on.current),
        row("Starting current", "", &part.starting_current),
        row(
            "Continuous pressure of the compressor",
            "at most ",
            &part.max_pressure,
        ),
        row("Relief valve opens at", "", &part.relief),
        row("Sound level of the compressor", "", &part.sound),
        row("Warmest surroundings", "at most ", &part.ambient_limit),
        row("Coldest surroundings", "at least ", &part.lowest_ambient),
    ];
    let mut rows: Vec<Vec<String>> = rows.into_iter().flatten().collect();
    if supply::hertz(on) == Some(0.0) {
        rows.insert(0, vec!["Kind of current".into(), "direct".into()]);
    }
    rows
}

fn cautions(sheet: &Sheet) -> Vec<Piece> {
    let mains = match sheet.mains {
        Mains::America => {
            "Mains electricity near water can kill. Plug the compressor only into an outlet with a ground-fault circuit \
             interrupter (GFCI), and have a licensed electrician install it under the local electrical code."
        }
        Mains::Elsewhere => {
            "Mains electricity near water can kill. Connect the compressor only through a residual-current device (RCD), \
             and have a licensed electrician lay the supply by the local wiring rules."
        }
        Mains::Direct => {
            "Put a fuse close to the source of the current, and have a licensed electrician connect it by the local code."
        }
    };
    let hot = match sheet.is_hot {
        true => {
            "The compressor, its outlet and the first length of line get hot enough to burn. Let them cool before you touch \
             them, and keep plastic and whatever burns away from them."
        }
        false => {
            "The compressor and its outlet get warm. Keep the cabinet's air ways free, and let it cool before you work on it."
        }
    };
    let all = [
        mains,
        "Unplug the compressor and let the pressure out before you open a line or touch the filter. A line under pressure \
         can whip, and throw what is loose.",
        hot,
        "Moving water makes ice thin, also where nobody sees it. In winter keep people and animals off the ice, and mark it as \
         the local rules ask.",
        "Start by stages: half an hour on the first day, and twice as long on each day after. Bottom water of a layered pond \
         that comes up at once can kill its fish.",
        "Local codes and licensed people decide what must be done where you are. This sheet doesn't take their place.",
    ];
    vec![
        heading("Before you start"),
        Piece::List(all.iter().map(|&one| one.to_string()).collect()),
    ]
}

fn card(sheet: &Sheet) -> Vec<Piece> {
    if sheet.cards.is_empty() {
        return Vec::new();
    }
    let mut pieces = vec![heading("For the cabinet's door: what the gauge tells")];
    let several = sheet.cards.len() > 1;
    pieces.extend(place(sheet));
    let readings = sheet
        .cards
        .iter()
        .map(|card| readings(sheet, card, several));
    pieces.extend(readings.map(Piece::Words));
    pieces.push(Piece::Words(
        "Write down what it reads on the first day, once all lines are free of water. From then on hold it to that.".into(),
    ));
    pieces.push(Piece::Blanks(vec!["The gauge reads", "Date", "By"]));
    pieces.extend(meanings(sheet));
    pieces
}

/// Where the diffusers and the compressor are taken to be.
fn place(sheet: &Sheet) -> Option<Piece> {
    let depth = sheet
        .depth
        .map(|depth| format!("the deepest diffuser lies at a depth of {}", both(depth)));
    let altitude = sheet.catalog.site.altitude.known();
    let altitude =
        altitude.map(|altitude| format!("the compressor stands {} above the sea", both(altitude)));
    let all: Vec<String> = depth.into_iter().chain(altitude).collect();
    (!all.is_empty()).then(|| Piece::Words(capital(&all.join(", and ")) + "."))
}

/// What the gauge should read on one way. That stands in sentences about the gauge, as no promise does.
fn readings(sheet: &Sheet, card: &Card, several: bool) -> String {
    let pressure = |reading: &Reading| {
        calculated(
            Dimension::GaugePressure,
            &[reading.low, reading.high],
            sheet.system,
        )
    };
    let with = match card.way {
        Way::Allowed(_, allow) => {
            let run = allow.up_to.known();
            let run = run.map_or(String::new(), |run| {
                format!(" at its full length of {}", both(run))
            });
            format!("With {}{run}, the", called(card.way))
        }
        _ if several => format!("With {}, the", called(card.way)),
        _ => "The".into(),
    };
    let mut words = format!(
        "{with} gauge at the manifold should read {}.",
        pressure(&card.reads)
    );
    if let Some(shut) = &card.one_shut {
        words.push_str(&format!(
            " With one valve shut the gauge should read {}.",
            pressure(shut)
        ));
        if card.limit.is_some_and(|limit| shut.high > limit) {
            words.push_str(
                " That may be more than the compressor stands all day: shut a valve for a few seconds only, and never the last \
                 one open.",
            );
        }
    }
    words
}

fn meanings(sheet: &Sheet) -> Vec<Piece> {
    let of = |is_higher: bool| {
        let faults = sheet
            .faults
            .iter()
            .filter(move |fault| fault.is_higher == is_higher);
        let rows = faults.map(|fault| {
            // `One diffuser` would be read as how many there are.
            let name = fault
                .name
                .strip_prefix("one ")
                .map(|rest| format!("a {rest}"));
            let name = name.unwrap_or_else(|| fault.name.to_string());
            vec![capital(&name), capital(&fault.look)]
        });
        rows.collect::<Vec<Vec<String>>>()
    };
    let mut pieces = Vec::new();
    for (is_higher, words) in [
        (
            true,
            "It reads more than on the first day: the air is held back.",
        ),
        (
            false,
            "It reads less than on the first day: air is lost, or less is made.",
        ),
    ] {
        let rows = of(is_higher);
        if !rows.is_empty() {
            pieces.push(Piece::Sub(words.into()));
            pieces.push(Piece::Table(vec!["It may be", "What to look at"], rows));
        }
    }
    pieces
}

fn service(sheet: &Sheet) -> Vec<Piece> {
    let lines = sheet.service.iter().map(|due| {
        let number = due.spare.identity.sku.known();
        let number = number.map_or(String::new(), |number| format!(" ({})", number.text));
        let every = due
            .every
            .map(|every| format!("every {}", printed(&every.quantity)));
        format!(
            "{}{number} of {} {}: replace {}.",
            quoted(named(due.spare)),
            due.of.kind.words(),
            quoted(named(due.of)),
            every.unwrap_or("as needed".into())
        )
    });
    let lines: Vec<String> = lines.collect();
    match lines.is_empty() {
        true => Vec::new(),
        false => vec![heading("Spare parts and service"), Piece::List(lines)],
    }
}

fn rating(sheet: &Sheet) -> Vec<Piece> {
    let site = &sheet.catalog.site;
    let place = [
        ("Height above the sea", &site.altitude),
        ("Air around", &site.air),
        ("Water", &site.water),
    ];
    let place = place
        .iter()
        .filter_map(|(name, figure)| Some(vec![name.to_string(), both(figure.known()?)]));
    let mut rows: Vec<Vec<String>> = place.collect();
    rows.push(vec![
        "Shape of the pond".into(),
        site.basin().words().to_string(),
    ]);
    let basis = &sheet.rating;
    let number = |value: f64| significant(value, 3);
    rows.push(vec![
        "Reach counted for a diffuser".into(),
        format!("{} times its depth", number(basis.reach_per_depth)),
    ]);
    rows.push(vec![
        "Turnovers asked for".into(),
        format!("{} a day", number(basis.turnovers_per_day)),
    ]);
    rows.push(vec![
        "Air that a line may cost".into(),
        format!("{} %", number(basis.line_loss)),
    ]);
    vec![
        heading("Rated on this basis"),
        Piece::Table(Vec::new(), rows),
    ]
}

/// Why a promise isn't printed, in a sentence.
pub fn refused(refused: &Refused) -> String {
    let of = refused.option.as_ref();
    let of = of.map_or(String::new(), |option| format!(" of option {option}"));
    let what = format!("{}{of}, {}", in_sentence(refused.claim), refused.stated);
    let limit = match refused.claim.is_of_the_machine() {
        true => "at least",
        false => "up to",
    };
    let within = |value: &Option<String>| match value {
        Some(value) => format!("; {limit} {value} is within the rating"),
        None => String::new(),
    };
    match &refused.why {
        Why::Beyond(value) => format!(
            "The {what}, isn't printed: it is beyond the rating{}.",
            within(value)
        ),
        Why::Contradicted(value) => format!(
            "The {what}, isn't printed: it can't be true{}.",
            within(value)
        ),
        Why::Missing(fact) => {
            format!("The {what}, isn't printed: it can't be judged without {fact}.")
        }
        Why::Undecidable(why) => {
            format!("The {what}, isn't printed: nobody can judge it, because {why}.")
        }
        Why::Waits(fails) => format!("The {what}, isn't printed: {fails}."),
        Why::NoWay => format!("The {what}, isn't printed: no way to buy the package is left."),
        Why::Unrated => {
            format!("The {what}, isn't printed: it isn't known whether it is within the rating.")
        }
    }
}
