//! `nameplate sweep`: what if a depth, a run, a bore or another condition of a package were different.

use std::path::PathBuf;

use super::asking::{self, Which, not_less};
use super::look::{self, Signs};
use super::{Failure, SOUND, output};
use crate::answers::Question;
use crate::answers::sweep::{self, Axis, MOST, MOST_POINTS, Measure, Variable};
use crate::report::answers::{sweep as shown, sweep_picture};
use crate::report::terminal::Detail;
use crate::units::{Dimension, Quantity, read};

/// Show what a package does over a range of depths, runs or other conditions.
///
/// One or two of the options below are given as a range, such as --depth "1 to 4 m"; what is given as one figure stays
/// there, and everything else is the catalog's. Each point is what `duty` and `limits` answer for it. The exit status
/// is 0 if any point is answered, and 2 if a fact is missing.
#[derive(Debug, clap::Args)]
pub(crate) struct Sweep {
    #[command(flatten)]
    which: Which,

    /// Depth of every diffuser: a range such as "1 to 4 m", or one figure.
    #[arg(long, value_name = "RANGE")]
    depth: Option<String>,

    /// Length of the airline to each diffuser, such as "10 to 100 m".
    #[arg(long, value_name = "RANGE")]
    run: Option<String>,

    /// Inside diameter of the airline, such as "6 to 20 mm"; of a range its ends and the nominal sizes between.
    #[arg(long, value_name = "RANGE")]
    bore: Option<String>,

    /// Height above the sea, such as "0 to 2000 m".
    #[arg(long, value_name = "RANGE")]
    altitude: Option<String>,

    /// Number of diffusers, such as "1 to 6"; other numbers than the package's are made up, not sold.
    #[arg(long, value_name = "RANGE")]
    diffusers: Option<String>,

    /// Running hours a day, such as "8 to 24".
    #[arg(long, value_name = "RANGE")]
    hours: Option<String>,

    /// Number of steps in each range; 13 for one range and 7 for two if not given.
    #[arg(long, value_name = "NUMBER")]
    steps: Option<usize>,

    /// Figure to draw, and to show with its least and greatest; the first that the range changes if not given.
    #[arg(long, value_enum, value_name = "FIGURE")]
    figure: Option<Drawn>,

    /// Format of the answer.
    #[arg(long, value_enum, default_value_t = Format::Terminal, value_name = "FORMAT")]
    format: Format,

    /// Write the answer to this file, whole or not at all.
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,

    #[command(flatten)]
    signs: Signs,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Format {
    /// For people.
    Terminal,
    /// For programs, in SI.
    Json,
    /// For a spreadsheet, in SI.
    Csv,
    /// A picture: curves for one range, a shaded grid for two.
    Svg,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Drawn {
    /// Pressure at the manifold, valves open.
    Pressure,
    /// Free air of all diffusers.
    Air,
    /// Air at the diffuser that gets least of what it needs.
    LeastFed,
    /// Largest pond at that depth.
    Area,
    /// Deepest diffuser.
    Deepest,
    /// Power of the compressors.
    Power,
    /// Cost of a month.
    Cost,
}

impl From<Drawn> for Measure {
    fn from(drawn: Drawn) -> Measure {
        match drawn {
            Drawn::Pressure => Measure::Pressure,
            Drawn::Air => Measure::Air,
            Drawn::LeastFed => Measure::LeastFed,
            Drawn::Area => Measure::Area,
            Drawn::Deepest => Measure::Deepest,
            Drawn::Power => Measure::Power,
            Drawn::Cost => Measure::Cost,
        }
    }
}

/// What an option says of a variable: one figure or a range.
enum Said {
    Quantity(Quantity),
    Numbers(f64, f64),
}

impl Said {
    fn is_range(&self) -> bool {
        match self {
            Said::Quantity(quantity) => quantity.is_range(),
            Said::Numbers(low, high) => low != high,
        }
    }
}

impl Sweep {
    /// Runs it; the exit status.
    ///
    /// # Errors
    /// What keeps it from being answered.
    pub(crate) fn run(self) -> Result<u8, Failure> {
        let (question, axes) = self.question()?;
        let mut put = self.which.put(question, self.output.as_deref())?;
        // The answer names the option it is about.
        put.question.any_option = true;
        let measure = self.figure.map(Measure::from).or_else(|| {
            let first = axes.first()?;
            Some(first.variable.usual_measure())
        });
        let measure = measure.unwrap_or(Measure::Pressure);
        let sweep = sweep::answer(&put.catalog, &put.question, axes)
            .map_err(|why| Failure::Unanswerable(why.to_string()))?;
        let text = match self.format {
            Format::Json => shown::json(&sweep),
            Format::Csv => shown::csv(&sweep),
            Format::Svg => sweep_picture::file(&sweep, measure),
            Format::Terminal => {
                let look = look::of(self.signs, Detail::Usual, self.output.is_some());
                shown::terminal(&sweep, measure, look)
            }
        };
        match &self.output {
            Some(path) => output::write(path, &text)?,
            None => output::print(&text)?,
        }
        Ok(SOUND)
    }

    /// What is set, and what is varied.
    fn question(&self) -> Result<(Question, Vec<Axis>), Failure> {
        let mut question = Question::default();
        let mut ranges = Vec::new();
        for (variable, said) in self.said()? {
            if said.is_range() {
                ranges.push((variable, said));
            } else {
                set(&mut question, variable, said);
            }
        }
        if !(1..=2).contains(&ranges.len()) {
            return Err(Failure::Arguments(format!(
                "give one or two options as ranges, such as --depth \"1 to 4 m\", not {}",
                ranges.len()
            )));
        }
        let steps = self.steps.unwrap_or(if ranges.len() == 1 { 13 } else { 7 });
        if !(2..=MOST).contains(&steps) {
            let why = format!("--steps {steps}: it must be 2 to {MOST}");
            return Err(Failure::Arguments(why));
        }
        let axes = ranges.into_iter().map(|(variable, said)| match said {
            Said::Quantity(range) => Axis::of_quantity(variable, &range, steps),
            Said::Numbers(low, high) => Axis::of_numbers(variable, low, high, steps),
        });
        let axes: Vec<Axis> = axes.collect();
        let points: usize = axes.iter().map(|axis| axis.stops.len()).product();
        if points > MOST_POINTS {
            return Err(Failure::Arguments(format!(
                "two ranges of {steps} steps are {points} points: give --steps 50 or fewer"
            )));
        }
        Ok((question, axes))
    }

    /// What the options say.
    fn said(&self) -> Result<Vec<(Variable, Said)>, Failure> {
        let lengths = [
            (Variable::Depth, "--depth", &self.depth, 0.0),
            (Variable::Run, "--run", &self.run, 0.0),
            (Variable::Bore, "--bore", &self.bore, f64::MIN_POSITIVE),
            (
                Variable::Altitude,
                "--altitude",
                &self.altitude,
                f64::NEG_INFINITY,
            ),
        ];
        let numbers = [
            (
                Variable::Diffusers,
                "--diffusers",
                &self.diffusers,
                (1.0, 200.0),
            ),
            (Variable::Hours, "--hours", &self.hours, (0.0, 24.0)),
        ];
        let mut said = Vec::new();
        for (variable, name, text, least) in lengths {
            if let Some(text) = text {
                said.push((variable, Said::Quantity(length(name, text, least)?)));
            }
        }
        for (variable, name, text, within) in numbers {
            if let Some(text) = text {
                let (low, high) = counted(name, text, within)?;
                let is_whole = low.fract() == 0.0 && high.fract() == 0.0;
                if variable == Variable::Diffusers && !is_whole {
                    let why = format!("{name} {text:?}: write whole numbers");
                    return Err(Failure::Arguments(why));
                }
                said.push((variable, Said::Numbers(low, high)));
            }
        }
        Ok(said)
    }
}

/// Puts one figure of a variable in a question.
fn set(question: &mut Question, variable: Variable, said: Said) {
    match (variable, said) {
        (Variable::Depth, Said::Quantity(one)) => question.depth = Some(one),
        (Variable::Run, Said::Quantity(one)) => question.run = Some(one),
        (Variable::Bore, Said::Quantity(one)) => question.bore = Some(one),
        (Variable::Altitude, Said::Quantity(one)) => question.altitude = Some(one),
        (Variable::Diffusers, Said::Numbers(one, _)) => question.diffusers = Some(one as u32),
        (Variable::Hours, Said::Numbers(one, _)) => question.hours = Some(one),
        _ => {}
    }
}

/// A length or a range of them.
fn length(name: &str, text: &str, least: f64) -> Result<Quantity, Failure> {
    let reading = read(text, &[Dimension::Length]);
    let range = reading.quantity.clone().filter(Quantity::is_range);
    let Some(range) = range else {
        let one = asking::quantity(name, Some(text), &[Dimension::Length])?;
        let one = not_less(least, name, one)?;
        return one.ok_or_else(|| Failure::Arguments(format!("{name} is empty")));
    };
    let refused = |why: &str| Err(Failure::Arguments(format!("{name} {text:?}: {why}")));
    if !(range.si_low().is_finite() && range.si_high().is_finite()) {
        return refused("the number is beyond what can be calculated with");
    }
    if range.low() >= range.high() {
        return refused("write the smaller figure first");
    }
    if range.si_low() < least {
        return refused("it must be more than nothing");
    }
    Ok(range)
}

/// A number, or a range such as `1 to 6`.
fn counted(name: &str, text: &str, (least, most): (f64, f64)) -> Result<(f64, f64), Failure> {
    let (low, high) = text.split_once(" to ").unwrap_or((text, text));
    let number = |text: &str| {
        text.trim()
            .parse::<f64>()
            .ok()
            .filter(|one| one.is_finite())
    };
    let refused = |why: String| Err(Failure::Arguments(format!("{name} {text:?}: {why}")));
    let Some((low, high)) = number(low).zip(number(high)) else {
        return refused("write a number, or a range such as \"1 to 6\"".into());
    };
    if low > high {
        return refused("write the smaller number first".into());
    }
    if low < least || high > most {
        return refused(format!("it must lie within {least} to {most}"));
    }
    Ok((low, high))
}
