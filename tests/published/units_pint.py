"""Writes units_pint.csv: each unit's factor to the SI as an exact ratio, from pint.

Run from this folder, with the packages of requirements.txt:

    python units_pint.py > units_pint.csv

pint 0.25.3 calculates with fractions here, so its answers are exact where its own
definitions are. What pint has no unit for is written as an expression of its units
(`yard ** 2 * 4840` for the international acre: pint's own acre is the survey acre);
what it can't know (reference conditions of air, percent for each foot) is calculated
with Python's fractions from the definition alone, and marked so.

Every factor is also calculated with fractions from the definitions in this file, and
the two must be equal, or nothing is written.
"""

import csv
import sys
from fractions import Fraction as F

import pint

YARD = F(9144, 10000)
FT = YARD / 3
IN = YARD / 36
LB = F(45359237, 100000000)
G = F(980665, 100000)
ACRE = 4840 * YARD**2
GAL_US = 231 * IN**3
GAL_UK = F(454609, 10**8)
H, DAY = F(3600), F(86400)
YEAR = F(36525, 100) * DAY
MONTH = YEAR / 12
WATER, MERCURY = 1000 * G, F(135951, 10) * G
PSI = LB * G / IN**2
RHO_HOUSE = F(101325) / (F(287055, 1000) * F(29315, 100))
RHO_NORMAL = F(101325) / (F(287055, 1000) * F(27315, 100))

# spelling, pint expression or None, definition, SI unit for pint, offset
ROWS = [
    ("in", "inch", IN, "m"),
    ("ft", "foot", FT, "m"),
    ("yd", "yard", YARD, "m"),
    ("mm", "millimeter", F(1, 1000), "m"),
    ("cm", "centimeter", F(1, 100), "m"),
    ("m", "meter", F(1), "m"),
    ("km", "kilometer", F(1000), "m"),
    ("mi", "mile", 1760 * YARD, "m"),
    ("in2", "inch ** 2", IN**2, "m**2"),
    ("ft2", "foot ** 2", FT**2, "m**2"),
    ("acre", "yard ** 2 * 4840", ACRE, "m**2"),
    ("mm2", "millimeter ** 2", F(1, 10**6), "m**2"),
    ("m2", "meter ** 2", F(1), "m**2"),
    ("ha", "hectare", F(10000), "m**2"),
    ("yd2", "yard ** 2", YARD**2, "m**2"),
    ("cm2", "centimeter ** 2", F(1, 10**4), "m**2"),
    ("km2", "kilometer ** 2", F(10**6), "m**2"),
    ("gal(US)", "gallon", GAL_US, "m**3"),
    ("gal(UK)", "imperial_gallon", GAL_UK, "m**3"),
    ("ft3", "foot ** 3", FT**3, "m**3"),
    ("L", "liter", F(1, 1000), "m**3"),
    ("m3", "meter ** 3", F(1), "m**3"),
    ("acre-ft", "yard ** 2 * 4840 * foot", ACRE * FT, "m**3"),
    ("mL", "milliliter", F(1, 10**6), "m**3"),
    ("in3", "inch ** 3", IN**3, "m**3"),
    ("yd3", "yard ** 3", YARD**3, "m**3"),
    ("qt(US)", "quart", GAL_US / 4, "m**3"),
    ("fl oz(US)", "fluid_ounce", GAL_US / 128, "m**3"),
    ("fl oz(UK)", "imperial_fluid_ounce", GAL_UK / 160, "m**3"),
    ("psi", "psi", PSI, "Pa"),
    ("psig", "psi", PSI, "Pa"),
    ("inH2O", "inch_H2O", WATER * IN, "Pa"),
    ("ftH2O", "foot_H2O", WATER * FT, "Pa"),
    ("inHg", "inch_Hg", MERCURY * IN, "Pa"),
    ("Pa", "pascal", F(1), "Pa"),
    ("kPa", "kilopascal", F(1000), "Pa"),
    ("mbar", "millibar", F(100), "Pa"),
    ("bar", "bar", F(100000), "Pa"),
    ("mmH2O", "meter_H2O / 1000", WATER / 1000, "Pa"),
    ("mH2O", "meter_H2O", WATER, "Pa"),
    ("mmHg", "meter_Hg / 1000", MERCURY / 1000, "Pa"),
    ("MPa", "megapascal", F(10**6), "Pa"),
    ("mPa", "millipascal", F(1, 1000), "Pa"),
    ("kgf/cm2", "force_kilogram / centimeter ** 2", G * 10**4, "Pa"),
    ("cmH2O", "meter_H2O / 100", WATER / 100, "Pa"),
    ("cmHg", "meter_Hg / 100", MERCURY / 100, "Pa"),
    ("ozf/in2", "force_ounce / inch ** 2", PSI / 16, "Pa"),
    ("psia", "psi", PSI, "Pa"),
    ("kPa(abs)", "kilopascal", F(1000), "Pa"),
    ("bar(abs)", "bar", F(100000), "Pa"),
    ("atm", "standard_atmosphere", F(101325), "Pa"),
    ("mbar(abs)", "millibar", F(100), "Pa"),
    ("Pa(abs)", "pascal", F(1), "Pa"),
    ("inHg(abs)", "inch_Hg", MERCURY * IN, "Pa"),
    ("cfm", "foot ** 3 / minute", FT**3 / 60, "m**3/s"),
    ("L/s", "liter / second", F(1, 1000), "m**3/s"),
    ("L/min", "liter / minute", F(1, 60000), "m**3/s"),
    ("m3/min", "meter ** 3 / minute", F(1, 60), "m**3/s"),
    ("m3/h", "meter ** 3 / hour", F(1, 3600), "m**3/s"),
    ("gpm(US)", "gallon / minute", GAL_US / 60, "m**3/s"),
    ("gpm(UK)", "imperial_gallon / minute", GAL_UK / 60, "m**3/s"),
    ("m3/s", "meter ** 3 / second", F(1), "m**3/s"),
    ("m3/d", "meter ** 3 / day", 1 / DAY, "m**3/s"),
    ("L/h", "liter / hour", F(1, 1000) / H, "m**3/s"),
    ("cfh", "foot ** 3 / hour", FT**3 / H, "m**3/s"),
    ("cfs", "foot ** 3 / second", FT**3, "m**3/s"),
    ("gal(US)/h", "gallon / hour", GAL_US / H, "m**3/s"),
    ("gal(UK)/h", "imperial_gallon / hour", GAL_UK / H, "m**3/s"),
    ("scfm", None, FT**3 / 60 * RHO_HOUSE, "kg/s"),
    ("Nm3/h", None, RHO_NORMAL / H, "kg/s"),
    ("scfh", None, FT**3 / H * RHO_HOUSE, "kg/s"),
    ("Nm3/min", None, RHO_NORMAL / 60, "kg/s"),
    ("NL/min", None, RHO_NORMAL / 60000, "kg/s"),
    ("scfm/acre", None, FT**3 / 60 * RHO_HOUSE / ACRE, "kg/s/m**2"),
    ("Nm3/h/ha", None, RHO_NORMAL / H / 10000, "kg/s/m**2"),
    ("W", "watt", F(1), "W"),
    ("kW", "kilowatt", F(1000), "W"),
    ("hp", "horsepower", 550 * FT * LB * G, "W"),
    ("hp(metric)", "metric_horsepower", 75 * G, "W"),
    ("mW", "milliwatt", F(1, 1000), "W"),
    ("MW", "megawatt", F(10**6), "W"),
    ("kWh", "kilowatt_hour", F(3600000), "J"),
    ("Wh", "watt_hour", F(3600), "J"),
    ("MWh", "megawatt_hour", F(3600000000), "J"),
    ("MJ", "megajoule", F(10**6), "J"),
    ("V", "volt", F(1), "V"),
    ("kV", "kilovolt", F(1000), "V"),
    ("A", "ampere", F(1), "A"),
    ("mA", "milliampere", F(1, 1000), "A"),
    ("Hz", "hertz", F(1), "Hz"),
    ("kHz", "kilohertz", F(1000), "Hz"),
    ("oz", "ounce", LB / 16, "kg"),
    ("lb", "pound", LB, "kg"),
    ("g", "gram", F(1, 1000), "kg"),
    ("kg", "kilogram", F(1), "kg"),
    ("mg", "milligram", F(1, 10**6), "kg"),
    ("t", "metric_ton", F(1000), "kg"),
    ("ton(US)", "short_ton", 2000 * LB, "kg"),
    ("ton(UK)", "long_ton", 2240 * LB, "kg"),
    ("lb/ft", "pound / foot", LB / FT, "kg/m"),
    ("lb/100ft", "pound / (100 * foot)", LB / FT / 100, "kg/m"),
    ("g/m", "gram / meter", F(1, 1000), "kg/m"),
    ("kg/m", "kilogram / meter", F(1), "kg/m"),
    ("oz/ft", "ounce / foot", LB / 16 / FT, "kg/m"),
    ("kg/100m", "kilogram / (100 * meter)", F(1, 100), "kg/m"),
    ("lb/h", "pound / hour", LB / H, "kg/s"),
    ("lb/d", "pound / day", LB / DAY, "kg/s"),
    ("kg/h", "kilogram / hour", 1 / H, "kg/s"),
    ("kg/d", "kilogram / day", 1 / DAY, "kg/s"),
    ("lb/min", "pound / minute", LB / 60, "kg/s"),
    ("kg/s", "kilogram / second", F(1), "kg/s"),
    ("kg/min", "kilogram / minute", F(1, 60), "kg/s"),
    ("g/s", "gram / second", F(1, 1000), "kg/s"),
    ("g/h", "gram / hour", F(1, 1000) / H, "kg/s"),
    ("g/d", "gram / day", F(1, 1000) / DAY, "kg/s"),
    ("degF", "delta_degree_Fahrenheit", F(5, 9), "kelvin", F(45967, 100) * F(5, 9)),
    ("degC", "delta_degree_Celsius", F(1), "kelvin", F(27315, 100)),
    ("K", "kelvin", F(1), "kelvin"),
    ("degR", "degree_Rankine", F(5, 9), "kelvin"),
    ("dB", None, F(1), "dB"),
    ("dB(A)", None, F(1), "dB(A)"),
    ("h", "hour", H, "s"),
    ("day", "day", DAY, "s"),
    ("month", "month", MONTH, "s"),
    ("year", "year", YEAR, "s"),
    ("s", "second", F(1), "s"),
    ("min", "minute", F(60), "s"),
    ("week", "week", 7 * DAY, "s"),
    ("/h", "1 / hour", 1 / H, "1/s"),
    ("/day", "1 / day", 1 / DAY, "1/s"),
    ("/min", "1 / minute", F(1, 60), "1/s"),
    ("/week", "1 / week", 1 / (7 * DAY), "1/s"),
    ("/month", "1 / month", 1 / MONTH, "1/s"),
    ("%", "percent", F(1, 100), "dimensionless"),
    ("%/ft", "percent / foot", F(1, 100) / FT, "1/m"),
    ("%/m", "percent / meter", F(1, 100), "1/m"),
    ("USD", None, F(1), "USD"),
    ("USD/kWh", "1 / kilowatt_hour", F(1, 3600000), "1/J"),
    ("USD/h", "1 / hour", 1 / H, "1/s"),
    ("USD/day", "1 / day", 1 / DAY, "1/s"),
    ("USD/month", "1 / month", 1 / MONTH, "1/s"),
    ("USD/year", "1 / year", 1 / YEAR, "1/s"),
    ("USD/ft", "1 / foot", 1 / FT, "1/m"),
    ("USD/m", "1 / meter", F(1), "1/m"),
]


def main():
    registry = pint.UnitRegistry(non_int_type=F)
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(["unit", "numerator", "denominator", "offset_numerator",
                  "offset_denominator", "from"])
    for spelling, expression, defined, si, *offset in ROWS:
        offset = offset[0] if offset else F(0)
        factor, source = defined, "fractions"
        if expression is not None:
            quantity = registry.parse_expression(expression)
            if not hasattr(quantity, "to"):
                quantity = registry.Quantity(F(quantity), "dimensionless")
            factor = F(quantity.to(si).magnitude)
            source = f"pint: {expression}"
            if factor != defined:
                sys.exit(f"{spelling}: pint has {factor}, the definition {defined}")
            if offset:
                # Nought of the scale itself, not of a difference.
                scale = {"degF": "degree_Fahrenheit", "degC": "degree_Celsius"}[spelling]
                nought = F(registry.Quantity(F(0), scale).to("kelvin").magnitude)
                if nought != offset:
                    sys.exit(f"{spelling}: pint has nought at {nought}, not {offset}")
        out.writerow([spelling, factor.numerator, factor.denominator,
                      offset.numerator, offset.denominator, source])


main()
