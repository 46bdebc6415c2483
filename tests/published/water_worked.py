"""Worked figures of the water side's closed formulas, evaluated anew.

Each figure stands with the digits it was once worked out to; this script evaluates
the formula, written down from its source and not from the program, and refuses to
write a figure that it doesn't confirm. Writes water_worked.csv.
"""

import math
import sys

import numpy
from scipy.integrate import quad

from water_plume import ATM, CENTRAL, G, RHO, solve
from water_rows import ACRE, CUBIC_FOOT_A_MINUTE, FOOT, Table, inputs

HERE = "evaluated in water_worked.py"
POUND = 0.45359237
DAY = 86400


def feet(x):
    return f"{round(x * FOOT, 4)} m"


def reach(t):
    source = "circle area; cell lengths after Riess & Fannelop 1998, J. Hydraul. Eng. 124(9):932-940"
    for ft, *areas in [
        (4, "0.0072", "0.0288", "0.0565", "0.1154"),
        (6, "0.0162", "0.0649", "0.1272", "0.2596"),
        (8, "0.0288", "0.1154", "0.2262", "0.4616"),
        (10, "0.0451", "0.1803", "0.3534", "0.7212"),
        (12, "0.0649", "0.2596", "0.5089", "1.0385"),
        (15, "0.1014", "0.4057", "0.7951", "1.6227"),
    ]:
        for k, printed in zip((2.5, 5, 7, 10), areas, strict=True):
            t.agreed("reach_area", inputs(depth=feet(ft), diffusers=1, coverage=1, k=k), printed, math.pi * (k * ft * FOOT) ** 2 / ACRE, "acre", source, HERE, "exact")
    for ft, n, acres, printed in [(4, 1, 0.125, "10.41"), (8, 1, 0.125, "5.20"), (10, 1, 0.125, "4.16"), (12, 1, 0.125, "3.47"), (15, 1, 0.125, "2.78"),
                                  (5, 2, 0.25, "8.3"), (4, 2, 0.25, "10.4"), (3, 2, 0.25, "13.9"), (12, 2, 2, "9.81"), (4, 1, 1, "29.4"), (10, 1, 1, "11.8"), (12, 4, 0.125, "1.73")]:
        t.agreed("reach_needed", inputs(depth=feet(ft), diffusers=n, coverage=1, area=f"{acres} acre"), printed,
                 math.sqrt(acres * ACRE / n / math.pi) / (ft * FOOT), "", source, HERE, "exact")
    # Two circles' worth of area from a hexagonal covering.
    t.agreed("reach_needed", inputs(depth=feet(6), diffusers=2, coverage="0.83", area="0.25 acre"), "7.62", math.sqrt(0.125 * ACRE / math.pi / 0.83) / (6 * FOOT), "", source, HERE, "exact")
    for edge, printed in [(1, "5.6"), (2, "2.8")]:
        t.agreed("jet_reach", inputs(growth=0.09, edge=edge), printed, 0.5 / 0.09 / edge, "", "radial wall jet, Rajaratnam 1976", HERE, "from memory")


def surface(t):
    source = "radial jet of constant momentum, growth after Rajaratnam 1976; momentum by scipy"
    # The integral that the factor holds, by quadrature instead of in closed form.
    layer, _ = quad(lambda y: math.exp(-2 * y * y), 0, 10)
    factor = 1 / math.sqrt(2 * math.pi * layer * 0.108)
    for ft, scfm, cells in [
        (4, 1.0, [("0.5", "22.4", ".39"), ("1.0", "11.2", ".097"), ("1.5", "7.5", ".043"), ("3.0", "3.7", None)]),
        (6, 1.25, [("0.5", "31.1", ".75"), ("1.0", "15.6", ".188"), ("1.5", "10.4", ".083"), ("3.0", "5.2", None)]),
        (12, 1.5, [("0.5", "49.9", "1.93"), ("1.0", "24.9", ".483"), ("1.5", "16.6", ".215"), ("3.0", "8.3", None)]),
    ]:
        _, momentum = solve(scfm, round(ft * FOOT, 4), CENTRAL)
        for speed, metres, acres in cells:
            r = factor * math.sqrt(0.8 * momentum) / (float(speed) / 100)
            where = inputs(air=f"{scfm} scfm", depth=feet(ft), kept=0.8, speed=f"{speed} cm/s")
            t.agreed("surface_distance", where, metres, r, "m", source, HERE, "judgement")
            if acres:
                t.agreed("surface_area", where, acres, math.pi * r * r / ACRE, "acre", source, HERE, "judgement")
    for ft, scfm, acres, printed in [(6, 1.25, 0.125, "1.23"), (4, 1.0, 1, "0.31")]:
        _, momentum = solve(scfm, round(ft * FOOT, 4), CENTRAL)
        r = math.sqrt(acres * ACRE / math.pi)
        t.agreed("surface_speed", inputs(air=f"{scfm} scfm", depth=feet(ft), kept=0.8, area=f"{acres} acre"), printed, 100 * factor * math.sqrt(0.8 * momentum) / r, "cm/s", source, HERE, "judgement")


def turnover(t):
    source = "solid of revolution, by quadrature"
    for m, printed in [(1, "0.3333"), (2, "0.5"), (4, "0.6667")]:
        value, _ = quad(lambda x: (1 - x**m) * 2 * x, 0, 1)
        t.agreed("basin_round", inputs(exponent=m), printed, value, "", source, HERE, "exact", "0.00005")
    side = math.sqrt(0.25 * ACRE)
    for slope, printed in [(3, "0.6947"), (2, "0.7876")]:
        h = 6 * FOOT
        value, _ = quad(lambda z: (side - 2 * slope * z) ** 2, 0, h)
        t.agreed("basin_square", inputs(area="0.25 acre", depth=feet(6), slope=slope), printed, value / (side * side * h), "", "frustum, by quadrature", HERE, "exact")
    volume = 0.25 * ACRE * 6 * FOOT * 0.5
    t.agreed("volume", inputs(area="0.25 acre", depth=feet(6), ratio=0.5), "925.1", volume, "m3", "definition", HERE, "exact")
    t.agreed("volume", inputs(area="0.25 acre", depth=feet(6), ratio=0.5), "0.750", volume / (ACRE * FOOT), "acre-ft", "definition", HERE, "exact")
    for water, printed in [("98.14", "9.17")]:
        t.agreed("turnovers", inputs(water=f"{water} L/s", volume="925.1 m3"), printed, float(water) / 1000 * DAY / 925.1, "1/d", "definition", HERE, "exact")
        t.agreed("turnover_area", inputs(water=f"{water} L/s", needed="1 1/d", ratio=0.5, depth=feet(6)), "2.29", float(water) / 1000 * DAY / (0.5 * 6 * FOOT) / ACRE, "acre", "definition", HERE, "exact")


def expansion(t):
    """Slope of Tanaka's density by differences."""
    def rho(t):
        return 999.974950 * (1 - (t - 3.983035) ** 2 * (t + 301.797) / (522528.9 * (t + 69.34881)))
    return -(rho(t + 1e-4) - rho(t - 1e-4)) / 2e-4 / rho(t), rho


def mixing(t):
    rule = "Lorenzen & Fast 1977, EPA-600/3-77-004: 9.2 m3/min for each km2"
    per_acre = 9.2 / 60 / 1e6 * ACRE / CUBIC_FOOT_A_MINUTE
    t.agreed("mixing_rule", inputs(flow="9.2 m3/min", area="1 km2"), "1.3148", per_acre, "scfm/acre", rule, HERE, "from memory")
    t.agreed("mixing_area", inputs(air="2.5 scfm", needed="1.3 scfm/acre", depth="4 m"), "1.923", 2.5 / 1.3, "acre", rule, HERE, "from memory")
    beta, rho = expansion(25.0)
    for h, printed in [(2, "0.87"), (3, "0.90"), (5, "0.97"), (10, "1.13")]:
        flow = G * beta * 150 * h / (2 * 4180 * 0.05 * ATM * math.log(1 + RHO * G * h / ATM))
        where = inputs(depth=f"{h} m", surface="25 C", bottom="20 C", heat="150 W/m2", efficiency=0.05)
        t.agreed("heat_balance", where, printed, flow * ACRE / CUBIC_FOOT_A_MINUTE, "scfm/acre", "energy of mixing against isothermal work", HERE, "judgement")
    difference = rho(15.0) - rho(25.0)
    tanaka = "Tanaka et al. 2001, Metrologia 38:301-309, coefficients from memory"
    t.agreed("density_difference", inputs(upper="25 C", lower="15 C"), "2.0556", difference, "kg/m3", tanaka, HERE, "from memory")
    # Potential energy by quadrature over the depth.
    even, _ = quad(lambda z: G * difference * (1 - z / 3) * (1.5 - z), 0, 3)
    two, _ = quad(lambda z: G * difference * (1.5 - z), 0, 1.5)
    where = dict(difference=f"{difference:.5f} kg/m3", depth="3 m")
    t.agreed("layering_even", inputs(**where), "15.12", even, "J/m2", "potential energy, by quadrature", HERE, "exact")
    t.agreed("layering_two", inputs(**where, upper_share=0.5), "22.68", two, "J/m2", "potential energy, by quadrature", HERE, "exact")
    # Work by quadrature: buoyancy of the bubbles times their rise.
    work, _ = quad(lambda z: RHO * G * 1.3 * CUBIC_FOOT_A_MINUTE * ATM / (ATM + RHO * G * z), 0, 3)
    t.agreed("work", inputs(air="1.3 scfm", depth="3 m"), "15.82", work, "W", "isothermal work, by quadrature", HERE, "exact")
    t.agreed("mixing_time", inputs(energy="15.12 J/m2", area="1 acre", work="15.82 W", efficiency=0.05), "0.90", 15.12 * ACRE / 0.05 / 15.82 / DAY, "d", "energy balance", HERE, "exact")


def benson_krause(t, salt=0.0, pressure=ATM):
    """mg/L; the polynomial in 1/K by numpy."""
    k = t + 273.15
    fresh = numpy.polynomial.polynomial.polyval(1 / k, [-139.34411, 1.575701e5, -6.642308e7, 1.243800e10, -8.621949e11])
    salty = salt * numpy.polynomial.polynomial.polyval(1 / k, [0.017674, -10.754, 2140.7])
    p = pressure / ATM
    u = math.exp(11.8571 - 3840.70 / k - 216961 / k**2)
    th = 0.000975 - 1.426e-5 * t + 6.436e-8 * t * t
    return math.exp(fresh - salty) * (p - u) / (1 - u) * (1 - th * p) / (1 - th)


def saturation(t):
    source = "Benson & Krause 1980, 1984 in the form of U.S. Geological Survey memorandum OWQ 2011.03"
    for c, fresh, high, salt, low in [
        (0, "14.621", "12.188", "14.118", "12.978"), (5, "12.771", "10.641", "12.351", "11.332"), (10, "11.288", "9.398", "10.933", "10.012"),
        (15, "10.084", "8.388", "9.779", "8.938"), (20, "9.092", "7.553", "8.828", "8.053"), (25, "8.263", "6.852", "8.032", "7.311"),
        (30, "7.559", "6.254", "7.354", "6.677"), (35, "6.949", "5.732", "6.767", "6.127"),
    ]:
        for printed, salinity, pressure in [(fresh, 0, 101325), (high, 0, 84556.0), (salt, 5, 101325), (low, 0, 90000)]:
            t.agreed("oxygen_saturation", inputs(temperature=f"{c} C", salinity=f"{salinity} g/kg", pressure=f"{pressure} Pa"), printed, benson_krause(c, salinity, pressure), "mg/L", source, HERE, "published")
    t.agreed("oxygen_saturation", inputs(temperature="20 C", salinity="10 g/kg", pressure="101325 Pa"), "8.572", benson_krause(20, 10), "mg/L", source, HERE, "published")
    # With all digits, for the small terms at the edges of the range.
    for c, salinity, pressure in [(40, 0, 60795), (39, 30, 61000), (1, 3, 110000), (30, 1, 70000)]:
        t.row("oxygen_saturation", inputs(temperature=f"{c} C", salinity=f"{salinity} g/kg", pressure=f"{pressure} Pa"), f"{benson_krause(c, salinity, pressure):.9f}", "mg/L", "0.00001 %", source, HERE, "published")
    t.agreed("salinity", inputs(conductance=2000), "1.1225", 5.572e-4 * 2000 + 2.02e-9 * 2000**2, "g/kg", source, HERE, "published", "0.0001")


def field(scfm, h, per_foot, alpha, beta, fouling, target, c=25.0, fd=0.33):
    """kg a day."""
    standard = scfm * CUBIC_FOOT_A_MINUTE * 1.2046 * 0.2314 * DAY * per_foot / 100 * h / FOOT
    here = benson_krause(c, 0, ATM + fd * RHO * G * h)
    there = benson_krause(20.0, 0, ATM + fd * RHO * G * h)
    return standard * alpha * fouling * 1.024 ** (c - 20) * (beta * here - target) / there


def transfer(t):
    source = "mass balance; air of 1.2046 kg/m3 (CoolProp, 20 C, 101325 Pa), 23.14 % oxygen"
    density = dict(density="1.2046 kg/m3")
    a_day = CUBIC_FOOT_A_MINUTE * 1.2046 * 0.2314 * DAY
    t.agreed("oxygen_supplied", inputs(air="1 scfm", **density), "11.366", a_day, "kg/d", source, HERE, "exact")
    t.agreed("oxygen_supplied", inputs(air="1 scfm", **density), "1.044", a_day / 24 / POUND, "lb/h", source, HERE, "exact")
    t.agreed("saturation_at_depth", inputs(temperature="20 C", depth=feet(6), effective_depth=0.33), "9.635", benson_krause(20, 0, ATM + 0.33 * RHO * G * 6 * FOOT), "mg/L",
             "U.S. EPA/625/1-89/023, form", HERE, "from memory")
    standard = 2.5 * a_day * 0.016 * 6
    t.agreed("standard_transfer", inputs(air="2.5 scfm", depth=feet(6), per_foot="1.6 %", **density), "2.7277", standard, "kg/d", "ASCE/EWRI 2 conditions", HERE, "exact", "0.0003")
    epa = "U.S. EPA/625/1-89/023 and commentary to ASCE/EWRI 2, form"

    def conditions(per_foot, alpha, beta, fouling, target, c):
        return dict(per_foot=f"{per_foot} %", alpha=alpha, beta=beta, fouling=fouling, oxygen=f"{target} mg/L", temperature=f"{c} C", effective_depth=0.33, **density)

    def one(scfm, ft, printed, per_foot=1.6, alpha=0.9, beta=0.98, fouling=0.9, target=4, c=25, tolerance="half digit"):
        t.agreed("field_transfer", inputs(air=f"{scfm} scfm", depth=feet(ft), **conditions(per_foot, alpha, beta, fouling, target, c)), printed,
                 field(scfm, ft * FOOT, per_foot, alpha, beta, fouling, target, c), "kg/d", epa, HERE, "from memory", tolerance)

    one(2.5, 6, "1.1839", tolerance="0.0001")
    for target, printed in [(0, ".8516 .8477 .8528 .8661 .8867 .9137"), (4, ".5945 .5582 .5269 .4992 .4735 .4486")]:
        for c, figure in zip((5, 10, 15, 20, 25, 30), printed.split(), strict=True):
            one(1, 6, figure, target=target, c=c, tolerance="0.0001")
    for ft, low, central, high in [(4, ".096", ".310", ".666"), (6, ".148", ".474", "1.010"), (8, ".203", ".642", "1.36"), (10, ".261", ".815", "1.72"), (12, ".321", ".992", "2.08"), (15, ".415", "1.27", "2.63")]:
        one(1, ft, low, 1.0, 0.8, 0.95, 0.7, 5)
        one(1, ft, central)
        one(1, ft, high, 2.2, 1, 1, 1, 3)
    for check, printed, where in [("full_floor_transfer", "2.7", "fine bubbles over a whole floor"), ("still_water_transfer", "4.6", "single 2 mm bubbles in still water, water_bubble.py")]:
        t.row(check, inputs(per="0.3048 m"), printed, "%", "half digit", "U.S. EPA/625/1-89/023" if check.startswith("full") else "closures of Wuest, Brooks & Imboden 1992", where, "from memory")
    demand = "sediment demand as in ponds, after Boyd"
    for grams, printed in [("0.3", "1.2"), ("1.0", "4.0"), ("3.0", "12.1")]:
        t.agreed("demand_on_area", inputs(demand=f"{grams} g/m2/d", area="1 acre"), printed, float(grams) / 1000 * ACRE, "kg/d", demand, HERE, "from memory")
    t.agreed("area_covered", inputs(transfer="1.1839 kg/d", demand="1.17 g/m2/d"), "0.25", 1183.9 / 1.17 / ACRE, "acre", demand, HERE, "from memory")


def winter_and_start(t):
    rate = 100 * 300 / (RHO * 4180 * 925) * DAY
    t.agreed("cooling", inputs(open="100 m2", heat="300 W/m2", volume="925 m3"), "0.67", rate, "K/d", "heat balance", HERE, "exact")
    t.agreed("time_to_cool", inputs(rate="0.67 K/d", start="4 C", end="1 C"), "4.5", 3 / 0.67, "d", "heat balance", HERE, "exact")
    t.agreed("mixed_oxygen", inputs(upper="7 mg/L", lower="0 mg/L", reduced="2 mg/L", share=0.5), "2.5", 0.5 * 7 - 0.5 * 2, "mg/L", "mass balance", HERE, "exact")
    t.agreed("safe_share", inputs(upper="7 mg/L", lower="0 mg/L", reduced="2 mg/L", least="3 mg/L"), "0.44", (7 - 3) / (7 + 2), "", "mass balance", HERE, "exact")
    for ft, acres, n, scfm, percent, minutes in [(6, 0.25, 2, 1.25, "19", "16"), (12, 2, 2, 1.5, "3.8", "79")]:
        h = round(ft * FOOT, 4)
        water, _ = solve(scfm, h, CENTRAL)
        volume = acres * ACRE * h * 0.5
        where = dict(air=f"{scfm} scfm", diffusers=n, depth=f"{h} m", area=f"{acres} acre", ratio=0.5)
        t.agreed("lifted_in_half_an_hour", inputs(**where), percent, 100 * n * water * 1800 / volume, "%", "water flow by scipy", HERE, "exact")
        t.agreed("time_to_lift_a_tenth", inputs(**where), minutes, 0.1 * volume / (n * water) / 60, "min", "water flow by scipy", HERE, "exact")


def sensitivities(t):
    """Slope of ln Q in the logarithm of one input, over half a percent either way."""
    for radius, inputs_and_slopes in [(0.0, [("air", "0.375"), ("depth", "1.59"), ("entrainment", "1.25"), ("slip", "-0.13"), ("amplification", "-0.38"), ("spread", "0.19"), ("ambient", "-0.34")]),
                                      (0.1, [("radius", "0.56"), ("froude", "0.42")])]:
        for name, printed in inputs_and_slopes:
            def flow(factor):
                c = dict(CENTRAL, radius=radius)
                scfm, depth, ambient = 1.25, 1.8288, ATM
                if name == "air":
                    scfm *= factor
                elif name == "depth":
                    depth *= factor
                elif name == "ambient":
                    ambient *= factor
                else:
                    c[name] *= factor
                return solve(scfm, depth, c, ambient)[0]

            slope = (math.log(flow(1.005)) - math.log(flow(0.995))) / (math.log(1.005) - math.log(0.995))
            t.agreed("plume_sensitivity", inputs(to=name, radius=f"{radius} m"), printed, slope, "", "scipy solve_ivp DOP853 at rtol 1e-10", HERE, "exact")


def main():
    table = Table("water_worked.csv")
    for part in (reach, surface, turnover, mixing, saturation, transfer, winter_and_start, sensitivities):
        part(table)
    return table.write()


if __name__ == "__main__":
    sys.exit(0 if main() else 1)
