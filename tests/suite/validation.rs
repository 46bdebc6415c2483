//! The engine beside experiments that others published: `tests/published/validation.md` and its
//! pictures are made here, and the built-in ranges have to cover what was measured.

use crate::air_values::evaluate;
use crate::made;
use crate::published_rows::{Row, rows};
use crate::validation_pictures as pictures;
use nameplate::assumptions::{Assumptions, Name};
use nameplate::physics::friction::{friction_band, friction_factor};
use nameplate::physics::plume::{BUBBLE_PLUME, Plume, PlumeConstants, plume};
use nameplate::physics::rising_air::{Column, DRY_AIR_GAS_CONSTANT};
use nameplate::units::math::{exp, ln};
use nameplate::units::quantity::{AbsolutePressure, AirAmount, si};
use nameplate::units::show::significant;

/// Share of the points that the built-in ranges have to cover.
const COVERED: f64 = 0.8;
/// Pa, and K: the air's volumes are of one atmosphere and of the water's temperature.
const ATMOSPHERE: f64 = 101_325.0;
const TEMPERATURE: f64 = 293.15;
/// Weight of a cubic metre of water, N/m3.
const WATER: f64 = 998.2 * 9.80665;

/// What was measured, and what the engine says of it over its ranges.
#[derive(Clone, Copy)]
pub struct Point {
    pub measured: f64,
    pub low: f64,
    pub central: f64,
    pub high: f64,
}

impl Point {
    pub fn is_covered(&self) -> bool {
        (self.low..=self.high).contains(&self.measured)
    }
}

/// Whether a set's points lie where the engine is used.
#[derive(Clone, Copy, PartialEq)]
enum Place {
    /// There the ranges have to cover them.
    Within,
    /// Beyond the equation's stated range, or of other waters: shown, and held to nothing.
    Beyond,
}

/// The points of one experiment.
pub struct Set {
    pub what: &'static str,
    pub study: String,
    conditions: String,
    had: &'static str,
    place: Place,
    pub points: Vec<Point>,
}

impl Set {
    /// Whether it lies where the engine isn't used.
    pub fn is_beyond(&self) -> bool {
        self.place == Place::Beyond
    }

    fn covered(&self) -> usize {
        self.points
            .iter()
            .filter(|point| point.is_covered())
            .count()
    }

    /// Calculated over measured, in the geometric mean, and the factor its standard deviation is.
    fn bias_and_spread(&self) -> (f64, Option<f64>) {
        let count = self.points.len() as f64;
        let off: Vec<f64> = self
            .points
            .iter()
            .map(|point| ln(point.central / point.measured))
            .collect();
        let mean = off.iter().sum::<f64>() / count;
        let squares: f64 = off.iter().map(|one| (one - mean) * (one - mean)).sum();
        let spread = (off.len() >= 3).then(|| exp((squares / (count - 1.0)).sqrt()));
        (exp(mean), spread)
    }
}

const LIFTED: &str = "water lifted";
const SPEED: &str = "speed in the plume's middle";
const ENTRAINMENT: &str = "`entrainment`";
const AMPLIFICATION: &str = "`momentum-amplification`";
const FRICTION: &str = "friction factor";

const TABLES: &str = "second hand: Milgram's tables, kept in an open collection";
const FIGURE: &str = "read off a figure by others, kept in an open collection";
const LIBRARY: &str = "second hand: the printed figures as a library keeps them";
const ABSTRACT: &str = "the abstract alone";

/// A plume as it is at `height` above an orifice in water of `depth`.
fn at(air: f64, depth: f64, height: f64, constants: &PlumeConstants) -> Plume {
    let column = Column {
        depth: si::metres(height),
        // What is above weighs on the plume as more air would.
        ambient: AbsolutePressure::pascals(ATMOSPHERE + WATER * (depth - height)),
        temperature: si::kelvins(TEMPERATURE),
    };
    let amount = air * ATMOSPHERE / (DRY_AIR_GAS_CONSTANT * TEMPERATURE);
    plume(AirAmount::kilograms_per_second(amount), &column, constants).value
}

/// The plume's constants; bit `n` of `corner` says which end the n-th is at.
fn constants(corner: Option<usize>) -> PlumeConstants {
    let ranges = Assumptions::builtin();
    let value = |bit: usize, name: Name| match corner {
        None => ranges[name].central,
        Some(corner) if corner >> bit & 1 == 0 => ranges[name].low(),
        Some(_) => ranges[name].high(),
    };
    PlumeConstants {
        entrainment: value(0, Name::Entrainment),
        bubble_spread: value(1, Name::BubbleSpread),
        slip_velocity: si::metres_per_second(value(2, Name::SlipVelocity)),
        momentum_amplification: value(3, Name::MomentumAmplification),
        // The experiments' air came out of an orifice.
        source_radius: si::metres(0.0),
        froude: 1.6,
    }
}

/// The engine's answer over all ends of the plume's ranges, beside what was measured.
fn beside(
    measured: f64,
    (air, depth, height): (f64, f64, f64),
    of: impl Fn(&Plume) -> f64,
) -> Point {
    let ends: Vec<f64> = (0..16)
        .map(|corner| of(&at(air, depth, height, &constants(Some(corner)))))
        .collect();
    Point {
        measured,
        low: ends.iter().copied().fold(f64::INFINITY, f64::min),
        central: of(&at(air, depth, height, &constants(None))),
        high: ends.iter().copied().fold(0.0, f64::max),
    }
}

/// Whether the plume's equation states itself good for the air and the height.
fn is_within(air: f64, height: f64) -> bool {
    let [depth, flow] = [BUBBLE_PLUME.ranges[0], BUBBLE_PLUME.ranges[1]];
    let grams = air * ATMOSPHERE / (DRY_AIR_GAS_CONSTANT * TEMPERATURE) * 1e3;
    (depth.low..=depth.high).contains(&height) && (flow.low..=flow.high).contains(&grams)
}

/// Least and greatest of `values`, as a condition has them.
fn span(values: impl Iterator<Item = f64> + Clone, unit: &str) -> String {
    let low = values.clone().fold(f64::INFINITY, f64::min);
    let high = values.fold(f64::NEG_INFINITY, f64::max);
    let [low, high] = [low, high].map(|one| significant(one, 3));
    if low == high {
        format!("{low} {unit}")
    } else {
        format!("{low} to {high} {unit}")
    }
}

/// A measurement in a plume: air in m3/s, depth and height in m.
struct Seen {
    study: String,
    air: f64,
    depth: f64,
    height: f64,
    value: f64,
}

/// One set for each study and place, of what `of` takes from a plume.
fn plume_sets(
    what: &'static str,
    had: &'static str,
    seen: Vec<Seen>,
    of: impl Fn(&Plume) -> f64,
) -> Vec<Set> {
    sets_of(what, had, seen, |one| {
        beside(one.value, (one.air, one.depth, one.height), &of)
    })
}

fn sets_of(
    what: &'static str,
    had: &'static str,
    seen: Vec<Seen>,
    point: impl Fn(&Seen) -> Point,
) -> Vec<Set> {
    let mut studies: Vec<String> = Vec::new();
    for one in &seen {
        if !studies.contains(&one.study) {
            studies.push(one.study.clone());
        }
    }
    let mut sets = Vec::new();
    for study in studies {
        for place in [Place::Within, Place::Beyond] {
            let own: Vec<&Seen> = seen
                .iter()
                .filter(|one| one.study == study)
                .filter(|one| is_within(one.air, one.height) == (place == Place::Within))
                .collect();
            if own.is_empty() {
                continue;
            }
            sets.push(Set {
                what,
                study: study.clone(),
                conditions: format!(
                    "{} of air, {} up in {} of water",
                    span(own.iter().map(|one| one.air * 1e3), "L/s"),
                    span(own.iter().map(|one| one.height), "m"),
                    span(own.iter().map(|one| one.depth), "m"),
                ),
                had,
                place,
                points: own.iter().map(|one| point(one)).collect(),
            });
        }
    }
    sets
}

/// Milgram's tables 1 and 3.
fn tabled(value: impl Fn(&Row) -> Option<f64>) -> Vec<Seen> {
    let read = |row: &Row| {
        Some(Seen {
            study: row.text("study").to_string(),
            air: row.number("air_m3_s")?,
            depth: row.number("depth_m")?,
            height: row.number("height_m")?,
            value: value(row)?,
        })
    };
    rows("measured/plumes.csv")
        .iter()
        .filter_map(read)
        .collect()
}

/// Kobus's figures, in his tank of 4.5 m.
fn drawn(table: &str, value: impl Fn(&Row, f64) -> Option<f64>) -> Vec<Seen> {
    let read = |row: &Row| {
        let air = row.number("air_cm3_s")? * 1e-6;
        Some(Seen {
            study: "Kobus 1968".to_string(),
            air,
            depth: 4.5,
            height: row.number("height_m")?,
            value: value(row, air)?,
        })
    };
    rows(table).iter().filter_map(read).collect()
}

/// What a measurement of a range's own quantity is beside the range.
fn beside_the_range(name: Name, measured: f64) -> Point {
    let range = &Assumptions::builtin()[name];
    Point {
        measured,
        low: range.low(),
        central: range.central,
        high: range.high(),
    }
}

fn friction_sets() -> Vec<Set> {
    let range = &Assumptions::builtin()[Name::Friction];
    let parts = [
        ("laminar, Reynolds number", 0.0..2000.0),
        ("between, Reynolds number", 2000.0..4000.0),
        ("turbulent, Reynolds number", 4000.0..f64::INFINITY),
    ];
    parts
        .into_iter()
        .map(|(words, reynolds)| {
            let own: Vec<(f64, f64)> = rows("measured/friction.csv")
                .iter()
                .map(|row| {
                    let factor = row.number("friction_factor").unwrap();
                    (row.number("reynolds").unwrap(), factor)
                })
                .filter(|(number, _)| reynolds.contains(number))
                .collect();
            let point = |&(number, measured): &(f64, f64)| {
                let central = friction_factor(number, 0.0).value;
                let (least, most) = friction_band(number, 0.0);
                Point {
                    measured,
                    low: central * least * range.low(),
                    central,
                    high: central * most * range.high(),
                }
            };
            Set {
                what: FRICTION,
                study: "McKeon et al. 2004".to_string(),
                conditions: format!(
                    "smooth tube, {words} {}",
                    span(own.iter().map(|one| one.0), "").trim_end()
                ),
                had: LIBRARY,
                place: Place::Within,
                points: own.iter().map(point).collect(),
            }
        })
        .collect()
}

/// The handbook's table of air in steel pipes, whose rows stand in `air_printed.csv`.
fn pipes() -> Set {
    let range = &Assumptions::builtin()[Name::Friction];
    let own: Vec<Row> = rows("air_printed.csv")
        .into_iter()
        .filter(|row| row.text("check") == "steel_psi_per_100_ft")
        .collect();
    let point = |row: &Row| {
        let inputs: Vec<f64> = row
            .text("inputs")
            .split(' ')
            .map(|word| word.parse().unwrap())
            .collect();
        let central = evaluate(row.text("check"), &inputs);
        Point {
            measured: row.number("value").unwrap(),
            low: central * range.low(),
            central,
            high: central * range.high(),
        }
    };
    Set {
        what: "pressure lost in a pipe",
        study: "TP-410".to_string(),
        conditions: "steel pipes of 0.493 to 1.049 in, 1 to 20 scfm at 100 psi: a handbook's \
                     calculation, not a measurement"
            .to_string(),
        had: "second hand: reprinted as table B8.14 of a piping handbook",
        place: Place::Within,
        points: own.iter().map(point).collect(),
    }
}

/// The single figures that abstracts print.
fn singles() -> Vec<Set> {
    let others = rows("measured/others.csv");
    let of = |quantity: &str, place: Place, what: &'static str, point: &dyn Fn(f64) -> Point| {
        let mut studies: Vec<String> = Vec::new();
        for row in others.iter().filter(|row| row.text("quantity") == quantity) {
            let study = row.text("study").to_string();
            if !studies.contains(&study) {
                studies.push(study);
            }
        }
        studies
            .into_iter()
            .map(|study| {
                let own: Vec<&Row> = others
                    .iter()
                    .filter(|row| row.text("quantity") == quantity && row.text("study") == study)
                    .collect();
                let mut conditions: Vec<&str> =
                    own.iter().map(|row| row.text("conditions")).collect();
                conditions.dedup();
                Set {
                    what,
                    study,
                    conditions: conditions.join("; "),
                    had: ABSTRACT,
                    place,
                    points: own
                        .iter()
                        .map(|row| point(row.number("value").unwrap()))
                        .collect(),
                }
            })
            .collect::<Vec<Set>>()
    };
    // The range is in %/ft, the papers have %/m.
    let per_foot = |value: f64| beside_the_range(Name::TransferFine, value * 0.3048);
    let linear = |measured: f64| {
        use nameplate::physics::power::{TECHNOLOGY_BANDS, Technology};
        let band = TECHNOLOGY_BANDS
            .iter()
            .find(|band| band.technology == Technology::LinearPiston)
            .unwrap();
        let (low, high) = band.efficiency;
        Point {
            measured,
            low,
            central: (low * high).sqrt(),
            high,
        }
    };
    // No verdict rests on it, so it is no range of the program but the equation's own.
    let demand = |measured: f64| {
        let range = nameplate::physics::oxygen_transfer::DEMAND_AREA.ranges[0];
        Point {
            measured,
            low: range.low,
            central: (range.low * range.high).sqrt(),
            high: range.high,
        }
    };
    [
        of("transfer-fine", Place::Within, "`transfer-fine`", &per_foot),
        of(
            "reach-per-depth",
            Place::Within,
            "`reach-per-depth`",
            &|value| beside_the_range(Name::ReachPerDepth, value),
        ),
        of(
            "sediment-demand",
            Place::Beyond,
            "oxygen demand of the mud",
            &demand,
        ),
        of(
            "wire-to-air",
            Place::Beyond,
            "wire-to-air efficiency",
            &linear,
        ),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn lifted() -> Vec<Set> {
    let water = |row: &Row| {
        let width = row.number("half_width_m")?;
        Some(std::f64::consts::PI * width * width * row.number("speed_m_s")?)
    };
    let ratio = |row: &Row, air: f64| Some(row.number("water_over_air")? * air);
    let flow = |plume: &Plume| plume.water.value;
    let mut sets = plume_sets(LIFTED, TABLES, tabled(water), flow);
    sets.extend(plume_sets(
        LIFTED,
        FIGURE,
        drawn("measured/lifted.csv", ratio),
        flow,
    ));
    sets
}

fn speeds() -> Vec<Set> {
    let speed = |plume: &Plume| plume.centreline.value;
    // What Milgram tables of Kobus is the same measurement as Kobus's figure.
    let others = tabled(|row| {
        let own = row.text("study") != "Kobus 1968";
        own.then(|| row.number("speed_m_s")).flatten()
    });
    let mut sets = plume_sets(SPEED, TABLES, others, speed);
    sets.extend(plume_sets(
        SPEED,
        FIGURE,
        drawn("measured/speeds.csv", |row, _| row.number("speed_m_s")),
        speed,
    ));
    sets
}

/// The measured values of two of the plume's own constants.
fn constants_measured() -> Vec<Set> {
    let read = |row: &Row| {
        Some(Seen {
            study: row.text("study").to_string(),
            air: row.number("air_m3_s")?,
            depth: f64::NAN,
            height: row.number("height_m")?,
            value: row.number("gaussian_entrainment")? * std::f64::consts::SQRT_2,
        })
    };
    let mut drawn_in: Vec<Seen> = rows("measured/entrainment.csv")
        .iter()
        .filter_map(read)
        .collect();
    let depths = tabled(|_| Some(0.0));
    for one in &mut drawn_in {
        let same = depths.iter().find(|other| other.study == one.study);
        one.depth = same.map_or(f64::NAN, |other| other.depth);
    }
    let mut sets = sets_of(ENTRAINMENT, TABLES, drawn_in, |one| {
        beside_the_range(Name::Entrainment, one.value)
    });
    sets.extend(sets_of(
        AMPLIFICATION,
        TABLES,
        tabled(|row| row.number("amplification")),
        |one| beside_the_range(Name::MomentumAmplification, one.value),
    ));
    sets
}

fn sets() -> Vec<Set> {
    let mut sets = lifted();
    sets.extend(speeds());
    sets.extend(constants_measured());
    sets.extend(friction_sets());
    sets.push(pipes());
    sets.extend(singles());
    sets
}

fn table(sets: &[Set], place: Place) -> String {
    let mut text = String::from(
        "| what | study | conditions | points | bias | spread | covered | how it was had |\n\
         | --- | --- | --- | --- | --- | --- | --- | --- |\n",
    );
    for set in sets.iter().filter(|set| set.place == place) {
        let (bias, spread) = set.bias_and_spread();
        text += &format!(
            "| {} | {} | {} | {} | × {bias:.2} | {} | {} of {} | {} |\n",
            set.what,
            set.study,
            set.conditions,
            set.points.len(),
            spread.map_or("–".to_string(), |spread| format!("× {spread:.2}")),
            set.covered(),
            set.points.len(),
            set.had,
        );
    }
    text
}

fn page(sets: &[Set]) -> String {
    let count = |place: Place| -> (usize, usize) {
        let own = sets.iter().filter(|set| set.place == place);
        own.fold((0, 0), |(covered, all), set| {
            (covered + set.covered(), all + set.points.len())
        })
    };
    let (covered, within) = count(Place::Within);
    let (outside_covered, beyond) = count(Place::Beyond);
    let pictures: String = pictures::ALL
        .iter()
        .map(|picture| {
            format!(
                "![{}](validation/{}.svg)\n\n{}\n\n",
                picture.title, picture.name, picture.words
            )
        })
        .collect();
    format!(
        "# The engine beside experiments\n\n\
         Made by `tests/suite/validation.rs`; write it again with `NAMEPLATE_WRITE=1 cargo test --test suite validation`.\n\n\
         Bias is what the engine calculates with its central values over what was measured, in the geometric mean; spread is\n\
         the factor that one standard deviation is. A point is covered where the built-in ranges, turned over all their ends,\n\
         hold it. In every set of the first table they cover at least {:.0} %, or the test fails; together {covered} of {within}.\n\n\
         ## Where the engine is used\n\n{}\n\
         Plumes of a pond's size lift less water than the central values say, by the biases above, and all within the ranges. The\n\
         tables say why: in weak plumes turbulence carries as much momentum again as the mean flow, and less water is drawn in.\n\n\
         ## Beyond the equations' ranges, or other waters\n\n\
         Shown and held to nothing: {outside_covered} of {beyond} covered. A finding that rests on an equation outside its range is never an error.\n\n{}\n\
         Near an orifice (below 0.9 m) and above great releases the ranges are too low: the first metre is the jet's own, and\n\
         entrainment grows with the release. Fannelop & Sjoen's points from 2.25 m on are covered in 16 of 20. Fed catfish ponds take up more oxygen in their mud than the range's end. The one\n\
         wire-to-air efficiency comes from a laboratory's machine at a pressure that no pond needs.\n\n\
         ## Pictures\n\n{pictures}\
         ## What couldn't be had\n\n\
         - Surface speeds over distance: Toné, Pacheco & Lima Neto 2017, Water SA 43(1), doi 10.4314/wsa.v43i1.06, measured round plumes of\n  \
           100 to 400 L/min at 1.5 m. Only the abstract could be read: the surface jet spreads faster than was known. Its correlation isn't used here.\n\
         - How far a round plume's cell reaches in a pond: only lengths beside line plumes in channels, and only their ends.\n\
         - Oxygen taken up from coarse bubbles, and fine-bubble tests one by one: reports name them, none could be read beyond its first page.\n\
         - Wire-to-air efficiencies of pond compressors that aren't a maker's own figures.\n\
         - Pressure lost in small plastic tubes with air: the factor of a smooth tube and a handbook's pipes stand for it.\n",
        COVERED * 100.0,
        table(sets, Place::Within),
        table(sets, Place::Beyond),
    )
}

#[test]
fn the_ranges_cover_what_was_measured() {
    let short: Vec<String> = sets()
        .iter()
        .filter(|set| set.place == Place::Within)
        .filter(|set| (set.covered() as f64) < COVERED * set.points.len() as f64)
        .map(|set| {
            let (covered, all) = (set.covered(), set.points.len());
            format!("{}, {}: {covered} of {all}", set.what, set.study)
        })
        .collect();
    assert!(short.is_empty(), "{}", short.join("\n"));
}

/// A range that were nothing would cover nothing: the test above can fail.
#[test]
fn a_range_without_width_covers_little() {
    let sets = lifted();
    let points = sets
        .iter()
        .filter(|set| set.place == Place::Within)
        .flat_map(|set| &set.points);
    let exact = points.filter(|point| (point.central / point.measured - 1.0).abs() < 0.02);
    assert!(exact.count() < 5);
}

/// The entrainment that one table prints follows from the widths and speeds of the other, so that
/// both are copied right, and the water is `pi b^2 U`.
#[test]
fn milgrams_tables_agree_with_each_other() {
    let heights = rows("measured/plumes.csv");
    let mut pairs = 0;
    for row in rows("measured/entrainment.csv") {
        let number = |row: &Row, name: &str| row.number(name).unwrap();
        let own: Vec<[f64; 3]> = heights
            .iter()
            .filter(|one| one.text("study") == row.text("study"))
            .filter(|one| number(one, "air_m3_s") == number(&row, "air_m3_s"))
            .map(|one| ["height_m", "half_width_m", "speed_m_s"].map(|name| number(one, name)))
            .collect();
        let middle = number(&row, "height_m");
        let pair = own
            .windows(2)
            .find(|pair| pair[0][0] < middle && middle < pair[1][0]);
        let [low, high] = pair.unwrap() else {
            panic!("{}: no pair", row.line)
        };
        let water = |[_, width, speed]: &[f64; 3]| std::f64::consts::PI * width * width * speed;
        let drawn_in = (water(high) - water(low)) / (high[0] - low[0]);
        let edge = std::f64::consts::TAU * (low[1] + high[1]) / 2.0;
        let found = drawn_in / (edge * (low[2] + high[2]) / 2.0);
        let printed = number(&row, "gaussian_entrainment");
        assert!((found - printed).abs() < 0.004, "{}: {found}", row.line);
        pairs += 1;
    }
    assert_eq!(pairs, 83);
}

/// Kobus's formula, whose spread and bubbles' velocity are from memory, beside his own figure: a
/// fifth more in the mean, as its record says.
#[test]
fn kobus_own_formula_is_near_his_figure() {
    let rows = rows("measured/lifted.csv");
    let off: Vec<f64> = rows
        .iter()
        .map(|row| {
            let air = row.number("air_cm3_s").unwrap() * 1e-6;
            let height = row.number("height_m").unwrap();
            let width = (2.0 * air + 0.05) * (height + 0.8);
            let risen = -air * ln(1.0 - height / (4.5 + 10.3)) / (25.0 * air + 0.7);
            35.6 * width * risen.sqrt() / (air * row.number("water_over_air").unwrap())
        })
        .collect();
    let mean = off.iter().sum::<f64>() / off.len() as f64;
    assert!((1.15..1.25).contains(&mean), "{mean}");
    assert!(off.iter().all(|one| (0.95..1.7).contains(one)), "{off:?}");
}

#[test]
fn the_page_and_its_pictures_are_made() {
    let sets = sets();
    made::hold("tests/published/validation.md", &page(&sets));
    for picture in pictures::ALL {
        let path = format!("tests/published/validation/{}.svg", picture.name);
        made::hold(&path, &pictures::draw(picture, &sets));
    }
}
