//! Faults, each put into an honest catalog by itself: what is changed, where it stands, and by which
//! rules it may be told there.

use super::honest::{Drawn, digits, length, pressure};

/// A kind of fault.
pub struct Fault {
    /// In a few words.
    pub name: &'static str,
    /// The rules by which it may be told.
    pub rules: &'static [&'static str],
    /// Puts it in and gives the line it stands on; nothing where the catalog hasn't what it takes.
    pub seed: fn(&mut Drawn) -> Option<&'static str>,
}

/// A quoted quantity `times` another, its unit kept.
fn scaled(made: &mut Drawn, label: &'static str, times: f64) -> Option<&'static str> {
    let value = made.value(label)?;
    let begin = value.find('"')? + 1;
    let end = begin + value[begin..].find([' ', '"'])?;
    let number = made.number(label)? * times;
    let new = format!("{}{}{}", &value[..begin], digits(number, 3), &value[end..]);
    made.set(label, &new)?;
    Some(label)
}

/// The first unit of a line's value, written otherwise.
fn unit(made: &mut Drawn, label: &'static str, from: &str, to: &str) -> Option<&'static str> {
    let value = made.value(label)?;
    let changed = value.replacen(&format!(" {from}\""), &format!(" {to}\""), 1);
    (changed != value).then_some(())?;
    made.set(label, &changed)?;
    Some(label)
}

macro_rules! fault {
    ($name:literal, [$($rule:literal),+], $seed:expr) => {
        Fault { name: $name, rules: &[$($rule),+], seed: $seed }
    };
}

/// All kinds.
pub static FAULTS: &[Fault] = &[
    fault!("a depth the machine can't reach", ["claim.depth"], |made| {
        scaled(made, "depth", 3.0)
    }),
    fault!("a pond ten times too large", ["claim.area"], |made| {
        scaled(made, "area", 10.0)
    }),
    fault!("three times the air there is", ["claim.flow"], |made| {
        scaled(made, "flow", 3.0)
    }),
    fault!(
        "a third of what it costs to run",
        ["claim.running-cost"],
        |made| { scaled(made, "cost", 0.33) }
    ),
    fault!("half the watts the parts take", ["claim.power"], |made| {
        scaled(made, "power", 0.5)
    }),
    fault!(
        "quieter than any cabinet makes it",
        ["claim.sound"],
        |made| {
            let level = made.number("sound")? - 25.0;
            let value = made.value("sound")?;
            let begin = value.find('"')? + 1;
            let end = value.find(" dB")?;
            made.set(
                "sound",
                &format!("{}{level}{}", &value[..begin], &value[end..]),
            )?;
            Some("sound")
        }
    ),
    fault!(
        "the water turned over a hundred times as often",
        ["claim.turnover"],
        |made| { scaled(made, "turnover", 100.0) }
    ),
    fault!(
        "watts that can't make the air",
        ["power.impossible"],
        |made| { scaled(made, "watts", 0.1) }
    ),
    fault!("eight times the watts", ["power.implausible"], |made| {
        scaled(made, "current", 8.0)?;
        scaled(made, "watts", 8.0)
    }),
    fault!(
        "amperes that don't make the watts",
        ["power.volt-amperes"],
        |made| {
            // Which of the two is wrong nobody can tell; it is told at the watts.
            scaled(made, "current", 0.4)?;
            Some("watts")
        }
    ),
    fault!("a voltage nobody supplies", ["power.supply"], |made| {
        made.set("voltage", "\"165 V\"")?;
        made.drop("current")?;
        Some("voltage")
    }),
    fault!(
        "kilopascals typed as psi",
        ["unit.slip", "curve.disagrees"],
        |made| { unit(made, "max_pressure", "kPa", "psi") }
    ),
    fault!("litres typed as cubic feet", ["unit.slip"], |made| {
        unit(made, "range", "L/min", "cfm")
    }),
    fault!(
        "a diameter typed from the radius",
        ["unit.slip", "airline.size-and-bore"],
        |made| { scaled(made, "bore", 0.5) }
    ),
    fault!(
        "a bore that isn't the size",
        ["airline.size-and-bore"],
        |made| { scaled(made, "bore", 1.2) }
    ),
    fault!("a line that floats", ["airline.floats"], |made| {
        scaled(made, "mass_per_length", 0.5)?;
        Some("self_sinking")
    }),
    fault!("a line that bursts", ["airline.pressure-rating"], |made| {
        let held = made.number("max_pressure")? * if made.us { 6.894757 } else { 1.0 };
        // Below that it would be taken for a slip of units.
        (held * 0.8 > 21.0).then_some(())?;
        let weak = pressure(made, held * 0.8);
        made.set("line pressure", &format!("\"{weak}\""))?;
        Some("line pressure")
    }),
    fault!("a curve that rises", ["curve.rising"], |made| {
        let first = made.value("point 0")?;
        let flow = first.split("flow = ").nth(1)?.to_string();
        let low = made.value("point 3")?;
        let (head, _) = low.split_once("flow = ")?;
        made.replace("point 3", &format!("  {{ pressure = {head}flow = {flow}"))?;
        Some("point 3")
    }),
    fault!(
        "a rated flow the curve doesn't give",
        ["curve.disagrees"],
        |made| {
            let half = made.value("point 2")?;
            let at = half.split('"').nth(1)?.to_string();
            let flow = half.split('"').nth(3)?.to_string();
            let (number, unit) = flow.split_once(' ')?;
            let flow = digits(number.parse::<f64>().ok()? * 1.3, 3);
            made.after(
                "level",
                "rated",
                &format!("rated = {{ is = \"{flow} {unit}\", at = \"{at}\" }}"),
            )?;
            Some("rated")
        }
    ),
    fault!("a curve that ends too soon", ["curve.too-short"], |made| {
        made.drop("point 4")?;
        made.drop("point 3")?;
        made.drop("point 2")?;
        Some("point 1")
    }),
    fault!(
        "greatest pressure beyond the curve",
        ["curve.disagrees"],
        |made| { scaled(made, "max_pressure", 1.9) }
    ),
    fault!("nothing keeps the water out", ["kit.check-valve"], |made| {
        made.set("check_valve", "false")?;
        Some("diffusers")
    }),
    fault!("no intake filter", ["kit.intake-filter"], |made| {
        made.set("inlet_filter", "false")?;
        Some("machine")
    }),
    fault!("a valve too few", ["kit.valves"], |made| {
        made.set("outlets", &(made.count.checked_sub(1)?).to_string())?;
        Some("valves")
    }),
    fault!("outlets without valves", ["kit.valves"], |made| {
        made.drop("valve")?;
        Some("valves")
    }),
    fault!("a line too few", ["kit.airline-count"], |made| {
        let value = made.value("airline")?;
        let count = made.count;
        (count > 1).then_some(())?;
        let fewer = value.replace(
            &format!("count = {count}"),
            &format!("count = {}", count - 1),
        );
        made.set("airline", &fewer)?;
        Some("airline")
    }),
    fault!("ends that don't fit", ["kit.connections"], |made| {
        made.set("inlet", "\"1 1/4 in npt female\"")?;
        Some("airline")
    }),
    fault!(
        "a run far too long",
        ["claim.airline-length", "duty.starved"],
        |made| {
            let value = made.value("airline")?;
            let (head, tail) = value.split_once("length = \"")?;
            let (run, tail) = tail.split_once('"')?;
            let run =
                run.split_once(' ')?.0.parse::<f64>().ok()? * if made.us { 0.3048 } else { 1.0 };
            // Such a run is at least a fifth of what is rated; a longer one would be taken for a slip.
            (run < 36.0).then_some(())?;
            let changed = format!("{head}length = \"{}\"{tail}", length(made, run * 20.0));
            made.set("airline", &changed)?;
            Some("airline")
        }
    ),
    fault!(
        "a disc that needs more air than it gets",
        ["claim.depth"],
        |made| {
            let value = made.value("range")?;
            let (numbers, unit) = value.trim_matches('"').rsplit_once(' ')?;
            let (_, most) = numbers.split_once(" to ")?;
            let most: f64 = most.parse().ok()?;
            let changed = format!(
                "\"{} to {} {unit}\"",
                digits(most, 3),
                digits(most * 2.0, 3)
            );
            made.set("range", &changed)?;
            Some("depth")
        }
    ),
    fault!(
        "a disc that gets more air than it takes",
        ["duty.above-range"],
        |made| {
            let value = made.value("range")?;
            let (numbers, unit) = value.trim_matches('"').rsplit_once(' ')?;
            let (least, _) = numbers.split_once(" to ")?;
            let least: f64 = least.parse().ok()?;
            let changed = format!(
                "\"{} to {} {unit}\"",
                digits(least / 10.0, 3),
                digits(least / 4.0, 3)
            );
            made.set("range", &changed)?;
            Some("airline")
        }
    ),
    fault!("a fan that moves no heat", ["cabinet.too-hot"], |made| {
        scaled(made, "fan_flow", 0.2)?;
        Some("fan_flow")
    }),
    fault!("more plugs than sockets", ["kit.receptacles"], |made| {
        made.set("receptacles", "1")?;
        Some("box")
    }),
    fault!(
        "a listing that disagrees",
        ["unit.listings-disagree"],
        |made| {
            let value = made.value("depth")?;
            let deep = made.number("depth")?;
            let (metres, other) = if made.us {
                (deep * 0.3048, "m")
            } else {
                (deep / 0.3048, "ft")
            };
            let wrong = digits(metres * 1.3, 3);
            made.set("depth", &format!("[{value}, \"{wrong} {other}\"]"))?;
            Some("depth")
        }
    ),
    fault!("a unit spelled wrong", ["unit.unknown"], |made| {
        let value = made.value("max_pressure")?;
        let wrong = value.replace("kPa", "kpascal").replace("psi", "pssi");
        made.set("max_pressure", &wrong)?;
        Some("max_pressure")
    }),
    fault!(
        "a quantity of another kind",
        ["unit.wrong-dimension"],
        |made| {
            made.set("max_pressure", "\"24 W\"")?;
            Some("max_pressure")
        }
    ),
    fault!("a number without its unit", ["unit.missing"], |made| {
        made.set("max_pressure", "\"24\"")?;
        Some("max_pressure")
    }),
    fault!("a key spelled wrong", ["schema.unknown-key"], |made| {
        made.after("inlet_filter", "typo", "souund = \"40 dB(A)\"")?;
        Some("typo")
    }),
    fault!("a value of another kind", ["schema.wrong-type"], |made| {
        made.set("inlet_filter", "\"yes\"")?;
        Some("inlet_filter")
    }),
    fault!("a key left out", ["schema.missing-key"], |made| {
        made.drop("technology")?;
        Some("compressor")
    }),
    fault!("a part that isn't there", ["reference.unknown"], |made| {
        made.set("machine", "\"machin\"")?;
        Some("machine")
    }),
    fault!("a line broken off", ["syntax.toml"], |made| {
        made.replace("title", "title = \"Otter Mill Water, drawn list")?;
        Some("title")
    }),
    fault!("a table written twice", ["syntax.toml"], |made| {
        made.after("curve end", "again", "[airline.line]")?;
        Some("line")
    }),
    fault!("a wrong check digit", ["identity.check-digit"], |made| {
        made.after("package sku", "gtin", "gtin = \"9520381333932\"")?;
        Some("gtin")
    }),
    fault!(
        "one number on two things",
        ["identity.shared-number"],
        |made| {
            let sku = made.value("sku")?;
            made.set("package sku", &sku)?;
            Some("package sku")
        }
    ),
    fault!(
        "replaced by what isn't there",
        ["identity.replaced-by"],
        |made| {
            made.after("package sku", "replaced", "replaced_by = \"new-kit\"")?;
            Some("replaced")
        }
    ),
    fault!("a waiver without a reason", ["waiver.no-reason"], |made| {
        made.after(
            "tariff",
            "waiver",
            "[[waiver]]\nrule = \"claim.depth\"\non = \"package.kit\"",
        )?;
        Some("waiver")
    }),
    fault!(
        "a level without a distance",
        ["sound.no-distance"],
        |made| {
            made.set("level", "\"40 dB(A)\"")?;
            Some("level")
        }
    ),
    fault!(
        "a level no such machine has",
        ["sound.implausible"],
        |made| {
            made.set("level", "{ is = \"12 dB(A)\", at = \"1 m\" }")?;
            Some("level")
        }
    ),
    fault!("a format of tomorrow", ["schema.format-version"], |made| {
        made.set("format", "7")?;
        Some("format")
    }),
];
