//! The lines of the unit table: spelling, dimension, exact factor, description.

use super::air::HOUSE_STANDARD_DENSITY;
use super::dimension::Dimension::{self, *};
use super::ratio::Ratio;
use super::table::Row;

/// 10 to the power `n`.
const fn ten(n: u32) -> Ratio {
    Ratio::of(10u128.pow(n), 1)
}

/// 1 over 10 to the power `n`.
const fn tenth(n: u32) -> Ratio {
    Ratio::of(1, 10u128.pow(n))
}

const fn whole(n: u128) -> Ratio {
    Ratio::of(n, 1)
}

/// International yard, 0.9144 m.
const YARD: Ratio = Ratio::of(9144, 10_000);
const FOOT: Ratio = YARD.over(whole(3));
const INCH: Ratio = FOOT.over(whole(12));
const FOOT2: Ratio = FOOT.times(FOOT);
const FOOT3: Ratio = FOOT2.times(FOOT);
const INCH2: Ratio = INCH.times(INCH);
const ACRE: Ratio = YARD.times(YARD).times(whole(4840));
const HECTARE: Ratio = ten(4);
/// Avoirdupois pound, 0.453 592 37 kg.
const POUND: Ratio = Ratio::of(45_359_237, 100_000_000);
/// Standard acceleration of free fall, 9.806 65 m/s2.
const GRAVITY: Ratio = Ratio::of(980_665, 100_000);
const POUND_FORCE: Ratio = POUND.times(GRAVITY);
/// Conventional column of water, 1000 kg/m3: Pa for each m.
const WATER_COLUMN: Ratio = GRAVITY.times(whole(1000));
/// Conventional column of mercury, 13 595.1 kg/m3: Pa for each m.
const MERCURY_COLUMN: Ratio = GRAVITY.times(Ratio::of(135_951, 10));
const PSI: Ratio = POUND_FORCE.over(INCH2);
const LITRE: Ratio = tenth(3);
const GALLON_US: Ratio = INCH2.times(INCH).times(whole(231));
const GALLON_UK: Ratio = Ratio::of(454_609, 100_000_000);
const MINUTE: Ratio = whole(60);
const HOUR: Ratio = whole(3600);
const DAY: Ratio = whole(86_400);
/// A twelfth of the year of 365.25 days: 730.5 h.
const MONTH: Ratio = Ratio::of(7305, 10).times(HOUR);
const YEAR: Ratio = MONTH.times(whole(12));
const KILOWATT_HOUR: Ratio = HOUR.times(ten(3));
const PERCENT: Ratio = tenth(2);
/// Normal density of dry air, kg/m3, is to that of the house standard as the
/// absolute temperatures are inversely: 293.15 K to 273.15 K at one pressure.
const NORMAL_DENSITY: Ratio = HOUSE_STANDARD_DENSITY.times(Ratio::of(29_315, 27_315));

/// Per foot or per hour and so on.
const fn per(ratio: Ratio) -> Ratio {
    Ratio::ONE.over(ratio)
}

const fn row(
    spelling: &'static str,
    dimension: Dimension,
    factor: Ratio,
    description: &'static str,
) -> Row {
    Row::new(spelling, dimension, factor, description)
}

/// All units but money, ordered by dimension; within one, as a reader expects them.
pub(super) static ROWS: &[Row] = &[
    // Length.
    row("in", Length, INCH, "inch, 25.4 mm").us(),
    row("ft", Length, FOOT, "foot, 0.3048 m").us(),
    row("yd", Length, YARD, "yard, 0.9144 m").us(),
    row("mm", Length, tenth(3), "millimetre").metric(),
    row("cm", Length, tenth(2), "centimetre").metric(),
    row("m", Length, Ratio::ONE, "metre").metric(),
    row("km", Length, ten(3), "kilometre").metric(),
    row("mi", Length, YARD.times(whole(1760)), "mile, 1760 yd")
        .us()
        .restated("ft"),
    // Area.
    row("in2", Area, INCH2, "square inch").us(),
    row("ft2", Area, FOOT2, "square foot").us(),
    row("acre", Area, ACRE, "international acre, 4840 square yards").us(),
    row("mm2", Area, tenth(6), "square millimetre").metric(),
    row("m2", Area, Ratio::ONE, "square metre").metric(),
    row("ha", Area, HECTARE, "hectare").metric(),
    row("yd2", Area, YARD.times(YARD), "square yard")
        .us()
        .restated("ft2"),
    row("cm2", Area, tenth(4), "square centimetre")
        .metric()
        .restated("mm2"),
    row("km2", Area, ten(6), "square kilometre")
        .metric()
        .restated("ha"),
    // Volume.
    row(
        "gal(US)",
        Volume,
        GALLON_US,
        "US liquid gallon, 231 cubic inches",
    )
    .us(),
    row("gal(UK)", Volume, GALLON_UK, "imperial gallon, 4.546 09 L"),
    row("ft3", Volume, FOOT3, "cubic foot").us(),
    row("L", Volume, LITRE, "litre").metric(),
    row("m3", Volume, Ratio::ONE, "cubic metre").metric(),
    row(
        "acre-ft",
        Volume,
        ACRE.times(FOOT),
        "acre-foot, an acre one foot deep",
    )
    .us(),
    row("mL", Volume, tenth(6), "millilitre")
        .metric()
        .restated("L"),
    row("in3", Volume, INCH2.times(INCH), "cubic inch")
        .us()
        .restated("ft3"),
    row("yd3", Volume, YARD.times(YARD).times(YARD), "cubic yard")
        .us()
        .restated("ft3"),
    row(
        "qt(US)",
        Volume,
        GALLON_US.over(whole(4)),
        "US liquid quart, a quarter gallon",
    )
    .us()
    .restated("gal(US)"),
    row(
        "fl oz(US)",
        Volume,
        GALLON_US.over(whole(128)),
        "US fluid ounce, 1/128 gallon",
    )
    .us()
    .restated("gal(US)"),
    row(
        "fl oz(UK)",
        Volume,
        GALLON_UK.over(whole(160)),
        "imperial fluid ounce, 1/160 gallon",
    )
    .restated("gal(UK)"),
    // Pressure above the air around.
    row(
        "psi",
        GaugePressure,
        PSI,
        "pound-force on a square inch, above the air around",
    )
    .us(),
    row("psig", GaugePressure, PSI, "the same as psi, said in full").us(),
    row(
        "inH2O",
        GaugePressure,
        WATER_COLUMN.times(INCH),
        "conventional inch of water, 249.088 91 Pa",
    )
    .us(),
    row(
        "ftH2O",
        GaugePressure,
        WATER_COLUMN.times(FOOT),
        "conventional foot of water, 2989.066 92 Pa",
    )
    .us(),
    row(
        "inHg",
        GaugePressure,
        MERCURY_COLUMN.times(INCH),
        "conventional inch of mercury, 3386.388 640 341 Pa",
    )
    .us(),
    row(
        "Pa",
        GaugePressure,
        Ratio::ONE,
        "pascal, above the air around",
    )
    .metric(),
    row(
        "kPa",
        GaugePressure,
        ten(3),
        "kilopascal, above the air around",
    )
    .metric(),
    row(
        "mbar",
        GaugePressure,
        ten(2),
        "millibar, above the air around",
    )
    .metric(),
    row("bar", GaugePressure, ten(5), "bar, above the air around").metric(),
    row(
        "mmH2O",
        GaugePressure,
        WATER_COLUMN.times(tenth(3)),
        "conventional millimetre of water, 9.806 65 Pa",
    )
    .metric(),
    row(
        "mH2O",
        GaugePressure,
        WATER_COLUMN,
        "conventional metre of water, 9806.65 Pa",
    )
    .metric(),
    row(
        "mmHg",
        GaugePressure,
        MERCURY_COLUMN.times(tenth(3)),
        "conventional millimetre of mercury, 133.322 387 415 Pa",
    )
    .metric(),
    row(
        "MPa",
        GaugePressure,
        ten(6),
        "megapascal, above the air around",
    )
    .metric()
    .restated("kPa"),
    row(
        "mPa",
        GaugePressure,
        tenth(3),
        "millipascal, above the air around",
    )
    .metric()
    .restated("Pa"),
    row(
        "kgf/cm2",
        GaugePressure,
        GRAVITY.times(ten(4)),
        "kilogram-force on a square centimetre, 98 066.5 Pa",
    )
    .metric()
    .restated("kPa"),
    row(
        "cmH2O",
        GaugePressure,
        WATER_COLUMN.times(tenth(2)),
        "conventional centimetre of water, 98.0665 Pa",
    )
    .metric()
    .restated("mmH2O"),
    row(
        "cmHg",
        GaugePressure,
        MERCURY_COLUMN.times(tenth(2)),
        "conventional centimetre of mercury, 1333.223 874 15 Pa",
    )
    .metric()
    .restated("mmHg"),
    row(
        "ozf/in2",
        GaugePressure,
        PSI.over(whole(16)),
        "ounce-force on a square inch, 1/16 psi",
    )
    .us()
    .restated("psi"),
    // Pressure above vacuum.
    row(
        "psia",
        AbsolutePressure,
        PSI,
        "pound-force on a square inch, above vacuum",
    )
    .us(),
    row(
        "kPa(abs)",
        AbsolutePressure,
        ten(3),
        "kilopascal, above vacuum",
    )
    .metric(),
    row("bar(abs)", AbsolutePressure, ten(5), "bar, above vacuum").metric(),
    row(
        "atm",
        AbsolutePressure,
        whole(101_325),
        "standard atmosphere, 101 325 Pa above vacuum",
    )
    .restated("kPa(abs)"),
    row(
        "mbar(abs)",
        AbsolutePressure,
        ten(2),
        "millibar, above vacuum",
    )
    .metric()
    .restated("kPa(abs)"),
    row(
        "Pa(abs)",
        AbsolutePressure,
        Ratio::ONE,
        "pascal, above vacuum",
    )
    .metric()
    .restated("kPa(abs)"),
    row(
        "inHg(abs)",
        AbsolutePressure,
        MERCURY_COLUMN.times(INCH),
        "conventional inch of mercury, above vacuum",
    )
    .us()
    .restated("psia"),
    // Volume flow.
    row(
        "cfm",
        VolumeFlow,
        FOOT3.over(MINUTE),
        "cubic foot a minute: free air at the compressor's inlet, or water",
    )
    .us(),
    row(
        "L/s",
        VolumeFlow,
        LITRE,
        "litre a second: free air at the inlet, or water",
    )
    .metric(),
    row(
        "L/min",
        VolumeFlow,
        LITRE.over(MINUTE),
        "litre a minute: free air at the inlet, or water",
    )
    .metric(),
    row(
        "m3/min",
        VolumeFlow,
        per(MINUTE),
        "cubic metre a minute: free air at the inlet, or water",
    )
    .metric(),
    row(
        "m3/h",
        VolumeFlow,
        per(HOUR),
        "cubic metre an hour: free air at the inlet, or water",
    )
    .metric(),
    row(
        "gpm(US)",
        VolumeFlow,
        GALLON_US.over(MINUTE),
        "US gallon a minute",
    )
    .us(),
    row(
        "gpm(UK)",
        VolumeFlow,
        GALLON_UK.over(MINUTE),
        "imperial gallon a minute",
    ),
    row("m3/s", VolumeFlow, Ratio::ONE, "cubic metre a second")
        .metric()
        .restated("m3/h"),
    row("m3/d", VolumeFlow, per(DAY), "cubic metre a day")
        .metric()
        .restated("m3/h"),
    row("L/h", VolumeFlow, LITRE.over(HOUR), "litre an hour")
        .metric()
        .restated("L/min"),
    row("cfh", VolumeFlow, FOOT3.over(HOUR), "cubic foot an hour")
        .us()
        .restated("cfm"),
    row("cfs", VolumeFlow, FOOT3, "cubic foot a second")
        .us()
        .restated("cfm"),
    row(
        "gal(US)/h",
        VolumeFlow,
        GALLON_US.over(HOUR),
        "US gallon an hour",
    )
    .us()
    .restated("gpm(US)"),
    row(
        "gal(UK)/h",
        VolumeFlow,
        GALLON_UK.over(HOUR),
        "imperial gallon an hour",
    )
    .restated("gpm(UK)"),
    // Amounts of air.
    row(
        "scfm",
        AirAmount,
        FOOT3.over(MINUTE).times(HOUSE_STANDARD_DENSITY),
        "cubic foot of dry air at 20 degC and 101.325 kPa, a minute",
    )
    .us(),
    row(
        "Nm3/h",
        AirAmount,
        NORMAL_DENSITY.over(HOUR),
        "cubic metre of dry air at 0 degC and 101.325 kPa, an hour",
    )
    .metric(),
    row(
        "scfh",
        AirAmount,
        FOOT3.over(HOUR).times(HOUSE_STANDARD_DENSITY),
        "cubic foot of dry air at 20 degC and 101.325 kPa, an hour",
    )
    .us()
    .restated("scfm"),
    row(
        "Nm3/min",
        AirAmount,
        NORMAL_DENSITY.over(MINUTE),
        "cubic metre of dry air at 0 degC and 101.325 kPa, a minute",
    )
    .metric()
    .restated("Nm3/h"),
    row(
        "NL/min",
        AirAmount,
        NORMAL_DENSITY.times(LITRE).over(MINUTE),
        "litre of dry air at 0 degC and 101.325 kPa, a minute",
    )
    .metric()
    .restated("Nm3/h"),
    row(
        "scfm/acre",
        AirAmountPerArea,
        FOOT3.over(MINUTE).times(HOUSE_STANDARD_DENSITY).over(ACRE),
        "scfm on each acre of pond",
    )
    .us(),
    row(
        "Nm3/h/ha",
        AirAmountPerArea,
        NORMAL_DENSITY.over(HOUR).over(HECTARE),
        "Nm3/h on each hectare of pond",
    )
    .metric(),
    // Power and energy.
    row("W", Power, Ratio::ONE, "watt"),
    row("kW", Power, ten(3), "kilowatt"),
    row(
        "hp",
        Power,
        FOOT.times(POUND_FORCE).times(whole(550)),
        "horsepower, 550 ft lbf a second, 745.699 871 582 270 22 W",
    )
    .of_a_shaft()
    .us(),
    row(
        "hp(metric)",
        Power,
        GRAVITY.times(whole(75)),
        "metric horsepower, 75 m kgf a second, 735.498 75 W",
    )
    .of_a_shaft()
    .metric(),
    row("mW", Power, tenth(3), "milliwatt").restated("W"),
    row("MW", Power, ten(6), "megawatt").restated("kW"),
    row("kWh", Energy, KILOWATT_HOUR, "kilowatt-hour, 3.6 MJ"),
    row("Wh", Energy, HOUR, "watt-hour").restated("kWh"),
    row("MWh", Energy, KILOWATT_HOUR.times(ten(3)), "megawatt-hour").restated("kWh"),
    row("MJ", Energy, ten(6), "megajoule").restated("kWh"),
    // Electricity.
    row("V", Voltage, Ratio::ONE, "volt"),
    row("kV", Voltage, ten(3), "kilovolt").restated("V"),
    row("A", Current, Ratio::ONE, "ampere"),
    row("mA", Current, tenth(3), "milliampere"),
    row("Hz", Frequency, Ratio::ONE, "hertz"),
    row("kHz", Frequency, ten(3), "kilohertz").restated("Hz"),
    // Mass.
    row(
        "oz",
        Mass,
        POUND.over(whole(16)),
        "avoirdupois ounce, 1/16 lb",
    )
    .us(),
    row("lb", Mass, POUND, "avoirdupois pound, 0.453 592 37 kg").us(),
    row("g", Mass, tenth(3), "gram").metric(),
    row("kg", Mass, Ratio::ONE, "kilogram").metric(),
    row("mg", Mass, tenth(6), "milligram")
        .metric()
        .restated("g"),
    row("t", Mass, ten(3), "tonne, 1000 kg")
        .metric()
        .restated("kg"),
    row(
        "ton(US)",
        Mass,
        POUND.times(whole(2000)),
        "short ton, 2000 lb",
    )
    .us()
    .restated("lb"),
    row(
        "ton(UK)",
        Mass,
        POUND.times(whole(2240)),
        "long ton, 2240 lb",
    )
    .restated("lb"),
    // Mass for each length.
    row(
        "lb/ft",
        MassPerLength,
        POUND.over(FOOT),
        "pound for each foot",
    )
    .us(),
    row(
        "lb/100ft",
        MassPerLength,
        POUND.over(FOOT.times(whole(100))),
        "pound for each 100 feet",
    )
    .us(),
    row("g/m", MassPerLength, tenth(3), "gram for each metre").metric(),
    row("kg/m", MassPerLength, Ratio::ONE, "kilogram for each metre").metric(),
    row(
        "oz/ft",
        MassPerLength,
        POUND.over(whole(16)).over(FOOT),
        "ounce for each foot",
    )
    .us()
    .restated("lb/ft"),
    row(
        "kg/100m",
        MassPerLength,
        tenth(2),
        "kilogram for each 100 metres",
    )
    .metric()
    .restated("kg/m"),
    // Mass in a time.
    row("lb/h", MassRate, POUND.over(HOUR), "pound an hour").us(),
    row("lb/d", MassRate, POUND.over(DAY), "pound a day").us(),
    row("kg/h", MassRate, per(HOUR), "kilogram an hour").metric(),
    row("kg/d", MassRate, per(DAY), "kilogram a day").metric(),
    row("lb/min", MassRate, POUND.over(MINUTE), "pound a minute")
        .us()
        .restated("lb/h"),
    row("kg/s", MassRate, Ratio::ONE, "kilogram a second")
        .metric()
        .restated("kg/h"),
    row("kg/min", MassRate, per(MINUTE), "kilogram a minute")
        .metric()
        .restated("kg/h"),
    row("g/s", MassRate, tenth(3), "gram a second")
        .metric()
        .restated("kg/h"),
    row("g/h", MassRate, tenth(3).over(HOUR), "gram an hour")
        .metric()
        .restated("kg/h"),
    row("g/d", MassRate, tenth(3).over(DAY), "gram a day")
        .metric()
        .restated("kg/d"),
    // Temperature.
    row("degF", Temperature, Ratio::of(5, 9), "degree Fahrenheit")
        .offset(Ratio::of(45_967, 180))
        .us(),
    row("degC", Temperature, Ratio::ONE, "degree Celsius")
        .offset(Ratio::of(27_315, 100))
        .metric(),
    row("K", Temperature, Ratio::ONE, "kelvin").metric(),
    row("degR", Temperature, Ratio::of(5, 9), "degree Rankine")
        .us()
        .restated("degF"),
    // Sound.
    row(
        "dB",
        SoundLevel,
        Ratio::ONE,
        "decibel without a weighting: a reduction, or a level whose weighting is unsaid",
    ),
    row(
        "dB(A)",
        WeightedSoundLevel,
        Ratio::ONE,
        "decibel, A-weighted, as a sound level meter shows it for the ear",
    ),
    // Time, and how often.
    row("h", Time, HOUR, "hour"),
    row("day", Time, DAY, "day, 24 h"),
    row("month", Time, MONTH, "month, a twelfth of a year: 730.5 h"),
    row("year", Time, YEAR, "year, 365.25 days"),
    row("s", Time, Ratio::ONE, "second").restated("h"),
    row("min", Time, MINUTE, "minute").restated("h"),
    row("week", Time, DAY.times(whole(7)), "week, 7 days").restated("day"),
    row("/h", PerTime, per(HOUR), "times an hour"),
    row("/day", PerTime, per(DAY), "times a day"),
    row("/min", PerTime, per(MINUTE), "times a minute").restated("/h"),
    row("/week", PerTime, per(DAY.times(whole(7))), "times a week").restated("/day"),
    row("/month", PerTime, per(MONTH), "times a month").restated("/day"),
    // Shares.
    row("%", Share, PERCENT, "hundredth"),
    row(
        "%/ft",
        SharePerLength,
        PERCENT.over(FOOT),
        "hundredth for each foot",
    )
    .us(),
    row("%/m", SharePerLength, PERCENT, "hundredth for each metre").metric(),
];

/// Hundredths of a currency, and what they are paid for: unlisted, and restated in the
/// whole of it.
pub(super) static HUNDREDTH_ROWS: &[Row] = &[
    row("¢", Money, tenth(2), "hundredth of a currency").restated(""),
    row(
        "¢/kWh",
        MoneyPerEnergy,
        tenth(2).over(KILOWATT_HOUR),
        "hundredth for each kilowatt-hour",
    )
    .restated("/kWh"),
    row(
        "¢/h",
        MoneyPerTime,
        tenth(2).over(HOUR),
        "hundredth an hour",
    )
    .restated("/h"),
    row("¢/day", MoneyPerTime, tenth(2).over(DAY), "hundredth a day").restated("/day"),
];

/// What follows a currency's code.
pub(super) static MONEY_ROWS: &[Row] = &[
    row(
        "",
        Money,
        Ratio::ONE,
        "money of any ISO 4217 currency, by its code",
    ),
    row(
        "/kWh",
        MoneyPerEnergy,
        per(KILOWATT_HOUR),
        "for each kilowatt-hour",
    ),
    row("/h", MoneyPerTime, per(HOUR), "an hour"),
    row("/day", MoneyPerTime, per(DAY), "a day"),
    row("/month", MoneyPerTime, per(MONTH), "a month, 730.5 h"),
    row("/year", MoneyPerTime, per(YEAR), "a year, 365.25 days"),
    row("/ft", MoneyPerLength, per(FOOT), "for each foot").us(),
    row("/m", MoneyPerLength, Ratio::ONE, "for each metre").metric(),
];
