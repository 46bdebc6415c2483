//! Other spellings of the units: the same unit beyond doubt.
//!
//! Spellings are compared without regard to capitals, spaces, points and brackets,
//! and with raised figures brought down (see [`super::spelling`]), so `sq ft` stands
//! for `Sq. Ft.` and `sqft` as well, `m3/h` for `m³/h` and `m^3/h`. A spelling belongs
//! here only if it can mean nothing else in this trade: what could be either of two
//! things is listed as ambiguous in [`super::spelling`]. That they are in use is
//! common practice, no source.

/// Each unit with its other spellings, set apart by upright strokes. `H20` with a nought
/// for the O is a slip of the typist that can mean nothing else.
pub(super) static ALIASES: &[(&str, &str)] = &[
    ("in", "\" | '' | inch | inches | ins"),
    ("ft", "' | foot | feet | lin ft | linear feet | linear foot"),
    ("yd", "yds | yard | yards"),
    (
        "mm",
        "MM | mms | millimetre | millimetres | millimeter | millimeters",
    ),
    (
        "cm",
        "cms | centimetre | centimetres | centimeter | centimeters",
    ),
    ("m", "mtr | mtrs | metre | metres | meter | meters"),
    (
        "km",
        "kms | kilometre | kilometres | kilometer | kilometers",
    ),
    ("mi", "mile | miles"),
    (
        "in2",
        "sq in | sq ins | sq inch | sq inches | square inch | square inches",
    ),
    (
        "ft2",
        "sq ft | sq feet | sq foot | square foot | square feet | sf",
    ),
    ("acre", "acres | ac | acs"),
    (
        "mm2",
        "MM2 | sq mm | square millimetre | square millimetres | square millimeter | \
         square millimeters",
    ),
    (
        "m2",
        "M2 | sq m | sqm | square metre | square metres | square meter | square meters",
    ),
    ("ha", "hectare | hectares"),
    ("yd2", "sq yd | sq yds | square yard | square yards"),
    (
        "cm2",
        "sq cm | square centimetre | square centimetres | square centimeter | square \
         centimeters",
    ),
    (
        "km2",
        "sq km | square kilometre | square kilometres | square kilometer | square \
         kilometers",
    ),
    (
        "gal(US)",
        "US gal | US gals | US gallon | US gallons | gallon (US) | gallons (US) | USG",
    ),
    (
        "gal(UK)",
        "UK gal | UK gallon | UK gallons | gallon (UK) | gallons (UK) | imp gal | imp \
         gals | imperial gal | imperial gallon | imperial gallons | gal (imp) | gallons \
         (imperial)",
    ),
    ("ft3", "cu ft | cubic foot | cubic feet | cf"),
    (
        "L",
        "lt | ltr | ltrs | litre | litres | liter | liters | dm3",
    ),
    (
        "m3",
        "M3 | cu m | cbm | cubic metre | cubic metres | cubic meter | cubic meters",
    ),
    ("acre-ft", "acre foot | acre feet | acre ft | ac ft | af"),
    (
        "mL",
        "cc | cm3 | millilitre | millilitres | milliliter | milliliters",
    ),
    ("in3", "cu in | cubic inch | cubic inches"),
    ("yd3", "cu yd | cu yds | cubic yard | cubic yards"),
    ("qt(US)", "US qt | US quart | US quarts"),
    ("fl oz(US)", "US fl oz"),
    ("fl oz(UK)", "UK fl oz | imp fl oz"),
    (
        "psi",
        "lb/in2 | lbs/in2 | lbf/in2 | lb/sq in | lbs/sq in | lb per square inch | lbs \
         per square inch | pounds per square inch | #/in2 | psi gauge | psi gage",
    ),
    (
        "inH2O",
        "\"H2O | in H2O | inH20 | \"H20 | inch H2O | inches H2O | inch of water | inches of water | \
         inch water | inches water | in water | in of water | \" of water | in wc | \
         \"wc | inch wc | inches wc | in wg | \"wg | inch wg | inches wg | in water \
         column | inch water column | inches water column | in water gauge | inches \
         water gauge | in Aq | iwc | iwg",
    ),
    (
        "ftH2O",
        "'H2O | ftH20 | foot H2O | feet H2O | foot of water | feet of water | ft of water | ft \
         water | feet water | ft wc | ft wg | 'wc | feet wc | ft head | feet of head | \
         feet head | ft of head | foot of head | ft of water column | feet of water \
         column",
    ),
    (
        "inHg",
        "\"Hg | inch Hg | inches Hg | in of mercury | inch of mercury | inches of \
         mercury | inches mercury | in of Hg | inches of Hg",
    ),
    ("Pa", "pascal | pascals | Pa(g) | N/m2"),
    ("kPa", "kPa(g) | kPa gauge | kilopascal | kilopascals"),
    (
        "mbar",
        "MBAR | mbar(g) | mbar gauge | millibar | millibars | hPa | hPa(g) | \
         hectopascal | mb",
    ),
    ("bar", "bars | bar(g) | bar gauge"),
    (
        "mmH2O",
        "MMH2O | mmH20 | mm wc | mm wg | mm WS | mm CE | mm Aq | mm of water | mm water | mm \
         water column | mm water gauge | millimetres of water | millimeters of water | \
         kgf/m2",
    ),
    (
        "mH2O",
        "MH2O | mH20 | m wc | m wg | m WS | m CE | m of water | m water | m water column | \
         metre of water | metres of water | meter of water | meters of water | m head | \
         m of head | metres of head | meters of head | metres head | meters head",
    ),
    (
        "mmHg",
        "MMHG | mm of mercury | mm of Hg | millimetres of mercury | millimeters of \
         mercury",
    ),
    ("MPa", "MPa(g) | megapascal | megapascals | N/mm2"),
    ("mPa", "millipascal | millipascals"),
    ("kgf/cm2", "kg/cm2 | kg/sq cm | kgf/sq cm | kp/cm2 | ksc"),
    ("cmH2O", "cm wc | cm wg | cm of water | cm water"),
    ("cmHg", "cm of mercury | cm of Hg"),
    (
        "ozf/in2",
        "oz/in2 | oz/sq in | osi | ounces per square inch | oz per sq in",
    ),
    ("psia", "psi(abs) | psi absolute | lb/in2 abs | lbf/in2 abs"),
    ("kPa(abs)", "kPa(a) | kPa absolute"),
    ("bar(abs)", "bar(a) | bar absolute"),
    ("atm", "atmosphere | atmospheres"),
    (
        "mbar(abs)",
        "mbar(a) | mbar absolute | hPa(abs) | hPa(a) | hPa absolute",
    ),
    ("Pa(abs)", "Pa(a) | Pa absolute"),
    ("inHg(abs)", "inHg absolute | \"Hg abs | \"HgA | inHgA"),
    (
        "cfm",
        "ft3/min | ft3/minute | cu ft/min | cubic feet per minute | cubic foot per \
         minute | cu ft per minute | cubic feet/min | cubic feet/minute | cubic ft/min \
         | cf/min | icfm | cfm (FAD) | cfm free air | cfm of air | cfm air",
    ),
    (
        "L/s",
        "lps | l/sec | l/second | litre/s | litres/s | liters/s | liter/s | litres/sec \
         | liters/sec | litres per second | liters per second | litre per second | \
         liter per second | ltr/s | ltr/sec | dm3/s",
    ),
    (
        "L/min",
        "lpm | l/m | l/mn | l/minute | lt/min | ltr/min | litre/min | litres/min | \
         liter/min | liters/min | litres/minute | liters/minute | litre per minute | \
         litres per minute | liter per minute | liters per minute | litres per min | \
         liters per min | dm3/min",
    ),
    (
        "m3/min",
        "M3/MIN | m3/mn | m3/minute | cmm | cu m/min | cubic metre per minute | cubic \
         metres per minute | cubic meter per minute | cubic meters per minute | cubic \
         metres/min | cubic meters/min",
    ),
    (
        "m3/h",
        "M3/H | M3/HR | m3/hr | m3/hour | m3h | cmh | cbm/h | cu m/h | cu m/hr | cubic \
         metre per hour | cubic metres per hour | cubic meter per hour | cubic meters \
         per hour | cubic metres/hour | cubic meters/hour",
    ),
    (
        "gpm(US)",
        "US gpm | USgpm | US gal/min | gal(US)/min | US gallons per minute | US \
         gallons/min | US gallons/minute",
    ),
    (
        "gpm(UK)",
        "UK gpm | imp gpm | igpm | UK gal/min | imp gal/min | gal(UK)/min | imperial \
         gallons per minute | UK gallons per minute",
    ),
    (
        "m3/s",
        "M3/S | m3/sec | cubic metres per second | cubic meters per second",
    ),
    (
        "m3/d",
        "M3/D | m3/day | cubic metres per day | cubic meters per day | cmd",
    ),
    (
        "L/h",
        "lph | l/hr | l/hour | litres/h | liters/h | litres/hour | liters/hour | litres \
         per hour | liters per hour | ltr/h | ltr/hr",
    ),
    (
        "cfh",
        "ft3/h | ft3/hr | cubic feet per hour | cu ft/h | cu ft/hr | cubic feet/hour",
    ),
    (
        "cfs",
        "ft3/s | ft3/sec | cubic feet per second | cu ft/s | cu ft/sec",
    ),
    (
        "gal(US)/h",
        "US gph | gph(US) | US gal/h | US gal/hr | US gallons per hour",
    ),
    (
        "gal(UK)/h",
        "UK gph | gph(UK) | imp gph | UK gal/h | imp gal/h | imperial gallons per hour",
    ),
    (
        "scfm",
        "std cfm | standard cfm | standard cubic feet per minute | standard cubic foot \
         per minute | scf/min | std ft3/min | sft3/min",
    ),
    (
        "Nm3/h",
        "NM3/H | Nm3/hr | Nm3/hour | Ncmh | normal m3/h | normal cubic metres per hour \
         | normal cubic meters per hour | m3(N)/h",
    ),
    ("scfh", "scf/h | standard cubic feet per hour"),
    ("Nm3/min", "NM3/MIN | normal m3/min | m3(N)/min"),
    ("NL/min", "nlpm | normal l/min | L(N)/min"),
    ("scfm/acre", "scfm per acre | scfm/ac"),
    ("Nm3/h/ha", "Nm3/(h ha) | Nm3/h per ha | Nm3/h per hectare"),
    ("W", "watt | watts"),
    ("kW", "kilowatt | kilowatts"),
    ("hp", "bhp | horsepower | horse power | hp(mechanical)"),
    ("hp(metric)", "metric hp | metric horsepower | PS"),
    ("mW", "milliwatt | milliwatts"),
    ("MW", "megawatt | megawatts"),
    (
        "kWh",
        "kW h | kW-h | kW hr | kW hrs | kilowatt hour | kilowatt hours",
    ),
    ("Wh", "W h | watt hour | watt hours"),
    ("MWh", "megawatt hour | megawatt hours"),
    ("MJ", "megajoule | megajoules"),
    ("V", "volt | volts | VAC | V AC | V~ | volts AC | volt AC"),
    ("kV", "kilovolt | kilovolts"),
    ("A", "amp | amps | ampere | amperes"),
    ("mA", "milliamp | milliamps | milliampere | milliamperes"),
    ("Hz", "hertz | cps"),
    ("kHz", "kilohertz"),
    ("oz", "ozs | ounce | ounces"),
    ("lb", "lbs | lbm | pound | pounds"),
    ("g", "gm | gms | gram | grams | gramme | grammes"),
    (
        "kg",
        "kgs | kilo | kilos | kilogram | kilograms | kilogramme | kilogrammes",
    ),
    ("mg", "milligram | milligrams"),
    ("t", "tonne | tonnes | metric ton | metric tons"),
    ("ton(US)", "short ton | short tons | US ton | US tons"),
    (
        "ton(UK)",
        "long ton | long tons | UK ton | UK tons | imperial ton | imperial tons",
    ),
    (
        "lb/ft",
        "lbs/ft | lb/foot | lbs/foot | lb per foot | lbs per foot | pounds per foot | \
         pound per foot | pounds/foot | pounds/ft",
    ),
    (
        "lb/100ft",
        "lb/100 ft | lbs/100ft | lb/100' | lbs/100' | lb per 100 ft | lbs per 100 ft | \
         lb per 100 feet | lbs per 100 feet | pounds per 100 feet | pounds per 100 ft | \
         lb/C ft",
    ),
    (
        "g/m",
        "gm/m | g/metre | g/meter | gram per metre | grams per metre | gram per meter | \
         grams per meter",
    ),
    (
        "kg/m",
        "kgs/m | kg/metre | kg/meter | kilogram per metre | kilograms per metre | \
         kilogram per meter | kilograms per meter",
    ),
    ("oz/ft", "oz per foot | ounces per foot"),
    (
        "kg/100m",
        "kg/100 m | kg per 100 m | kg per 100 metres | kg per 100 meters",
    ),
    (
        "lb/h",
        "lbs/h | lb/hr | lbs/hr | lb/hour | lbs/hour | lb per hour | lbs per hour | \
         pounds per hour | pounds/hour | pph",
    ),
    (
        "lb/d",
        "lbs/d | lb/day | lbs/day | lb per day | lbs per day | pounds per day | \
         pounds/day | ppd",
    ),
    (
        "kg/h",
        "kg/hr | kg/hour | kg per hour | kilograms per hour | kgs/h | kgs/hr",
    ),
    ("kg/d", "kg/day | kg per day | kilograms per day | kgs/day"),
    ("lb/min", "lbs/min | pounds per minute"),
    ("kg/s", "kg/sec | kilograms per second"),
    ("kg/min", "kg per minute | kilograms per minute"),
    ("g/s", "g/sec | grams per second"),
    ("g/h", "g/hr | g/hour | grams per hour | gm/hr"),
    ("g/d", "g/day | grams per day"),
    (
        "degF",
        "°F | F | deg F | degs F | degree F | degrees F | degree Fahrenheit | degrees \
         Fahrenheit | Fahrenheit | ℉",
    ),
    (
        "degC",
        "°C | C | deg C | degs C | degree C | degrees C | degree Celsius | degrees \
         Celsius | Celsius | centigrade | degrees centigrade | ℃",
    ),
    ("K", "kelvin | kelvins | °K | deg K"),
    ("degR", "°R | deg R | degrees Rankine | Rankine"),
    ("dB", "decibel | decibels | dBs"),
    (
        "dB(A)",
        "dBA | dB A | dB-A | dB(A) SPL | decibels (A) | A-weighted decibels | \
         A-weighted dB",
    ),
    ("h", "hr | hrs | hour | hours"),
    ("day", "d | days"),
    ("month", "mo | mos | mth | mths | months"),
    ("year", "y | yr | yrs | years | annum"),
    ("s", "sec | secs | second | seconds"),
    ("min", "mins | minute | minutes"),
    ("week", "wk | wks | weeks"),
    (
        "/h",
        "1/h | 1/hr | /hr | /hour | per hour | times/h | times per hour | x/h | x per \
         hour | h-1 | an hour | times an hour",
    ),
    (
        "/day",
        "1/day | 1/d | /d | per day | times/day | times per day | times a day | x/day | \
         x per day | turnovers per day | turnovers/day | turnover per day | turns per \
         day | day-1 | d-1 | a day | daily",
    ),
    (
        "/min",
        "1/min | per minute | per min | /minute | times per minute",
    ),
    (
        "/week",
        "1/week | per week | /wk | times per week | times a week | weekly",
    ),
    (
        "/month",
        "1/month | per month | /mo | times per month | times a month",
    ),
    ("%", "pct | percent | per cent | %age"),
    (
        "%/ft",
        "%/foot | % per ft | % per foot | percent per foot | percent/ft | per cent per \
         foot | pct/ft",
    ),
    (
        "%/m",
        "%/metre | %/meter | % per m | % per metre | % per meter | percent per metre | \
         percent per meter | percent/m | per cent per metre | pct/m",
    ),
];

/// The same for what follows a currency.
pub(super) static MONEY_ALIASES: &[(&str, &str)] = &[
    ("/kWh", "/kW-h | /kW hr | /kilowatt hour"),
    ("/h", "/hr | /hour | an hour | hourly"),
    ("/day", "/d | a day | daily"),
    ("/month", "/mo | /mth | a month | monthly"),
    (
        "/year",
        "/yr | /y | /annum | /a | a year | yearly | annually | pa",
    ),
    ("/ft", "/foot | a foot | /lin ft | /linear foot"),
    ("/m", "/metre | /meter | a metre | a meter | /mtr"),
];

/// Readings that hold but lose something the writer said, so that a person has to
/// look: direct current isn't in the format's `V`, and the conditions of an "actual"
/// cubic foot are those of the place the writer had in mind, most often the inlet.
pub(super) static LOSSY: &[(&str, &str)] = &[
    ("V", "VDC | V DC | volts DC | volt DC | V="),
    ("cfm", "acfm | actual cfm"),
    ("m3/h", "Am3/h | actual m3/h"),
];
