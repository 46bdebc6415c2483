//! Mix-ups of units that are met in the trade. Common practice, no source.

/// A mix-up: the unit as written, the unit that was meant, and how the trade comes to it.
pub(super) struct MixUp {
    pub written: &'static str,
    pub meant: &'static str,
    pub how: &'static str,
}

const fn mix_up(written: &'static str, meant: &'static str, how: &'static str) -> MixUp {
    MixUp {
        written,
        meant,
        how,
    }
}

/// The mix-ups that are met; each is tried in the direction it stands. Units that differ by little, feet
/// and metres or acres and hectares, aren't among them: a bold figure would come right by chance.
pub(super) static MIX_UPS: &[MixUp] = &[
    mix_up(
        "cfm",
        "L/min",
        "litres a minute read as cubic feet a minute",
    ),
    mix_up(
        "scfm",
        "L/min",
        "litres a minute read as cubic feet a minute",
    ),
    mix_up(
        "L/min",
        "cfm",
        "cubic feet a minute read as litres a minute",
    ),
    mix_up("L/min", "L/s", "litres a second read as litres a minute"),
    mix_up("L/s", "L/min", "litres a minute read as litres a second"),
    mix_up(
        "m3/h",
        "L/min",
        "litres a minute read as cubic metres an hour",
    ),
    mix_up(
        "L/min",
        "m3/h",
        "cubic metres an hour read as litres a minute",
    ),
    mix_up("m3/min", "m3/h", "cubic metres an hour read as a minute's"),
    mix_up(
        "Nm3/h",
        "L/min",
        "litres a minute read as normal cubic metres an hour",
    ),
    mix_up("W", "hp", "horsepower read as watts"),
    mix_up("hp", "W", "watts read as horsepower"),
    mix_up("W", "kW", "kilowatts read as watts"),
    mix_up("kW", "W", "watts read as kilowatts"),
    mix_up("psi", "kPa", "kilopascals read as psi"),
    mix_up("kPa", "psi", "psi read as kilopascals"),
    mix_up("kPa", "mbar", "millibars read as kilopascals"),
    mix_up("mbar", "kPa", "kilopascals read as millibars"),
    mix_up("bar", "psi", "psi read as bars"),
    mix_up("psi", "inH2O", "inches of water read as psi"),
    mix_up("inH2O", "psi", "psi read as inches of water"),
    mix_up(
        "kPa",
        "kPa(abs)",
        "absolute pressure read as gauge pressure",
    ),
    mix_up("psi", "psia", "absolute pressure read as gauge pressure"),
    mix_up(
        "bar",
        "bar(abs)",
        "absolute pressure read as gauge pressure",
    ),
    mix_up("ft", "in", "inches read as feet"),
    mix_up("in", "ft", "feet read as inches"),
    mix_up("m", "cm", "centimetres read as metres"),
    mix_up("in", "mm", "millimetres read as inches"),
    mix_up("mm", "in", "inches read as millimetres"),
    mix_up("cm", "mm", "millimetres read as centimetres"),
    mix_up("acre", "ft2", "square feet read as acres"),
    mix_up("ft2", "acre", "acres read as square feet"),
    mix_up("acre", "m2", "square metres read as acres"),
    mix_up("m2", "ft2", "square feet read as square metres"),
    mix_up("ha", "m2", "square metres read as hectares"),
    mix_up("A", "mA", "milliamperes read as amperes"),
    mix_up("mA", "A", "amperes read as milliamperes"),
    mix_up("kg", "g", "grams read as kilograms"),
    mix_up(
        "lb/ft",
        "lb/100ft",
        "pounds for a hundred feet read as pounds for a foot",
    ),
    mix_up("kg/m", "g/m", "grams read as kilograms for a metre"),
];

/// What was taken for what across a line of airline, and the factor that makes it right.
pub(super) static FACTORS: &[(f64, &str)] = &[
    (2.0, "a radius read as a diameter"),
    (0.5, "a diameter read as a radius"),
];
