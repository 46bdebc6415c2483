"""Water lifted by a bubble plume, solved with scipy.

The same two equations as the program's, written down from the literature in other
variables (half-width and velocity against height instead of fluxes against a
stretched height), started by root finding and integrated by scipy's DOP853 with a
relative tolerance of 1e-10. Writes water_plume.csv and water_plume_table.csv.
"""

import math
import sys

import numpy
import scipy
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from water_rows import CUBIC_FOOT_A_MINUTE, FOOT, Table, inputs

G = 9.80665
RHO = 998.2
ATM = 101325.0
T20 = 293.15

CENTRAL = dict(entrainment=0.11, spread=0.8, slip=0.25, amplification=1.1, radius=0.0, froude=1.6)
LOW = dict(entrainment=0.06, spread=0.3, slip=0.35, amplification=1.3, radius=0.0, froude=1.6)
HIGH = dict(entrainment=0.15, spread=1.0, slip=0.20, amplification=1.0, radius=0.15, froude=1.6)
SOURCE = f"scipy {scipy.__version__} solve_ivp DOP853 at rtol 1e-10"


def solve(scfm, depth, c, ambient=ATM, kelvin=T20, expands=True, first=1e-3):
    """Water flow in m3/s and momentum flux in m4/s2 at the surface."""
    standard = scfm * CUBIC_FOOT_A_MINUTE

    def bubbles(z):
        pressure = ambient + RHO * G * (depth - z) if expands else ATM
        return standard * ATM / pressure * kelvin / T20

    kappa = 2 / (1 + c["spread"] ** 2)
    slip, gamma, a = c["slip"], c["amplification"], c["entrainment"]

    if c["radius"] == 0:
        z0 = first * depth
        b0 = 1.2 * a * z0
        drive = 0.75 * G * bubbles(0) * z0 / (gamma * math.pi * b0**2)
        v0 = brentq(lambda v: v * v * (kappa * v + slip) - drive, 0, 1e3, xtol=1e-15, rtol=1e-14)
    else:
        z0, rd = 0.0, c["radius"]
        b0 = rd / 0.8

        def excess(v):
            share = min(0.9, bubbles(0) / ((v + slip) * math.pi * rd**2))
            return v - c["froude"] * math.sqrt(2 * rd * G * share / (1 - share))

        v0 = brentq(excess, 0, 100, xtol=1e-15, rtol=1e-14)

    def slopes(z, y):
        b, v = y
        drawn = 2 * math.pi * a * b * v  # d(pi b^2 v)/dz
        pushed = G * bubbles(z) / (gamma * (kappa * v + slip))  # d(pi b^2 v^2)/dz
        dv = (pushed - v * drawn) / (math.pi * b * b * v)
        db = (drawn - math.pi * b * b * dv) / (2 * math.pi * b * v)
        return [db, dv]

    end = solve_ivp(slopes, (z0, depth), [b0, v0], method="DOP853", rtol=1e-10, atol=1e-14)
    assert end.success, end.message
    b, v = end.y[:, -1]
    return math.pi * b * b * v, math.pi * b * b * v * v


def kobus(scfm, depth):
    v0 = scfm * CUBIC_FOOT_A_MINUTE
    spread, rise = 2 * v0 + 0.05, 25 * v0 + 0.7
    return 35.6 * spread * (depth + 0.8) * math.sqrt(-v0 * math.log(1 - depth / (depth + 10.3)) / rise)


def series(scfm, depth, a, spread, slip):
    """McDougall's closed series: Gaussian entrainment, no momentum amplification."""
    widened = 1 + spread**2
    ub = slip * widened
    length = depth + 10.2
    strength = scfm * CUBIC_FOOT_A_MINUTE * RHO * G * 10.2 * widened / (4 * math.pi * a**2 * RHO * length**2 * ub**3)
    x = depth / length
    t = (x / strength) ** (1 / 3)
    width = 2 * a * depth * (0.6 + 0.01719 * t - 0.002527 * t**2 + x * (-0.04609 + 0.000031 / strength))
    speed = ub / t * (1.609 - 0.3195 * t + 0.06693 * t**2 + x * (0.4536 - 0.0105 / strength))
    return math.pi * width**2 * speed


def pure(scfm, height, a):
    return 6 * a / 5 * (9 * a / 10) ** (1 / 3) * math.pi ** (2 / 3) * (G * scfm * CUBIC_FOOT_A_MINUTE) ** (1 / 3) * height ** (5 / 3)


def constants(c):
    return dict(
        entrainment=c["entrainment"],
        spread=c["spread"],
        slip=f"{c['slip']} m/s",
        amplification=c["amplification"],
        radius=f"{c['radius']} m",
        froude=c["froude"],
    )


def given(scfm, depth, c, **more):
    return inputs(air=f"{scfm} scfm", depth=f"{depth} m", **constants(c), **more)


def drawn_cases(table):
    """Constants, depths and flows drawn over their whole ranges."""
    draw = numpy.random.default_rng(5)

    def between(low, high, digits):
        return round(float(math.exp(draw.uniform(math.log(low), math.log(high)))), digits)

    for i in range(72):
        c = dict(
            entrainment=between(0.06, 0.15, 4),
            spread=between(0.3, 1.0, 3),
            slip=between(0.2, 0.35, 3),
            amplification=between(1.0, 1.3, 3),
            radius=0.0 if i % 2 == 0 else between(0.02, 0.3, 4),
            froude=between(1.0, 2.0, 3),
        )
        scfm, depth = between(0.1, 5, 3), between(0.9, 10, 3)
        ambient, kelvin = round(between(70e3, 105e3, 0)), between(275, 305, 2)
        water, momentum = solve(scfm, depth, c, ambient, kelvin)
        place = f"water_plume.py, drawn case {i + 1}"
        where = given(scfm, depth, c, ambient=f"{ambient} Pa", temperature=f"{kelvin} K")
        table.row("plume_water", where, f"{water * 1e3:.6f}", "L/s", "0.0002 %", SOURCE, place, "exact")
        table.row("plume_momentum", where, f"{momentum:.9g}", "m4/s2", "0.0002 %", SOURCE, place, "exact")


def narrow_cases(table):
    """Sources so narrow that the most air a source may hold decides its start. The
    program answers these and reports the radius as out of its range."""
    for scfm, depth, radius in [(3, 1.5, 0.01), (5, 4, 0.008), (8, 2, 0.015)]:
        c = dict(CENTRAL, radius=radius)
        water, _ = solve(scfm, depth, c)
        table.row("plume_water_narrow", given(scfm, depth, c), f"{water * 1e3:.6f}", "L/s", "0.0002 %", SOURCE, "water_plume.py, narrow source", "exact")


def start_cases(table):
    """A start a thousand times lower: what starting at a thousandth of the depth costs."""
    for scfm, depth, c in [(0.1, 0.9, CENTRAL), (1.25, 1.8288, CENTRAL), (5, 10, LOW), (0.1, 10, dict(HIGH, radius=0.0)), (5, 1, CENTRAL)]:
        water, _ = solve(scfm, depth, c, first=1e-6)
        table.row("plume_water", given(scfm, depth, c), f"{water * 1e3:.6f}", "L/s", "0.01 %", SOURCE,
                  "water_plume.py, started at a millionth of the depth", "exact")


def worked_cases(table):
    """Figures written down beforehand, with their digits."""
    wide = dict(CENTRAL, radius=0.1)
    for scfm, depth, c, water, momentum in [
        (1.25, 1.8288, CENTRAL, "49.070", "0.012856"),
        (1.25, 1.8288, wide, "100.597", "0.022149"),
        (0.5, 3.048, CENTRAL, "76.832", "0.011283"),
        (5, 10, dict(CENTRAL, radius=0.15), "1416.88", None),
        (0.1, 1.0, CENTRAL, "7.0965", None),
    ]:
        q, m = solve(scfm, depth, c)
        where = given(scfm, depth, c)
        table.agreed("plume_water", where, water, q * 1e3, "L/s", SOURCE, "water_plume.py, worked case", "exact")
        if momentum:
            table.agreed("plume_momentum", where, momentum, m, "m4/s2", SOURCE, "water_plume.py, worked case", "exact")

    gaussian = dict(entrainment=0.11738, spread=0.3, slip=0.3, amplification=1.0, radius=0.0, froude=1.6)
    place = "as coded in General Lake Model, glm_bubbler.c, commit b3b7b35"
    for scfm, depth, water, by_series in [
        (1.25, 1.8288, "48.67", "48.84"),
        (1.25, 3.048, "108.96", "109.50"),
        (2.5, 4.55, "263.95", "265.02"),
        (5, 10, "1132.2", "1130.2"),
    ]:
        q, _ = solve(scfm, depth, gaussian)
        closed = series(scfm, depth, 0.083, 0.3, 0.3)
        table.agreed("plume_water", given(scfm, depth, gaussian), water, q * 1e3, "L/s", SOURCE, "water_plume.py, worked case", "exact")
        where = inputs(air=f"{scfm} scfm", depth=f"{depth} m", gaussian_entrainment=0.083, spread=0.3, slip="0.3 m/s")
        table.agreed("mcdougall", where, by_series, closed * 1e3, "L/s", "McDougall 1978, J. Fluid Mech. 85:655-672", place, "published")
        # The two are independent of each other, so each bears the other out.
        table.row("plume_water", given(scfm, depth, gaussian), by_series, "L/s", "0.6 %", "McDougall 1978, J. Fluid Mech. 85:655-672", place, "published")

    for scfm, depth, water in [(1.25, 1.8288, "55.63"), (1.0, 3.048, "91.49"), (5, 4.572, "353.65")]:
        table.agreed("kobus", inputs(air=f"{scfm} scfm", depth=f"{depth} m"), water, kobus(scfm, depth) * 1e3, "L/s",
                     "Kobus 1968 in the form of Lorenzen & Fast 1977, EPA-600/3-77-004", "evaluated in water_plume.py", "from memory")

    limit = dict(entrainment=0.11, spread=1.0, slip=0.0, amplification=1.0, radius=0.0, froude=1.6)
    for height, water in [(1.83, "64.379"), (5.0, "343.777")]:
        closed = pure(1.25, height, 0.11)
        solved, _ = solve(1.25, height, limit, expands=False)
        assert abs(solved / closed - 1) < 1e-8
        source = "Morton, Taylor & Turner 1956, Proc. R. Soc. A 234:1-23"
        where = inputs(air="1.25 scfm", depth=f"{height} m", entrainment=0.11)
        for check in ("pure_plume", "plume_without_slip_or_expansion"):
            table.agreed(check, where, water, closed * 1e3, "L/s", source, "evaluated in water_plume.py", "from memory")

    # Air at which the water in the middle rises as fast, and half as fast again, as the
    # bubbles slip.
    for depth_feet, one, one_and_half in [(4, "0.13", "0.35"), (6, "0.20", "0.54"), (10, "0.34", "0.91"), (15, "0.52", "1.40"), (33, "1.25", "3.33")]:
        depth = round(depth_feet * FOOT, 4)
        for ratio, printed in [("1", one), ("1.5", one_and_half)]:
            def off(scfm):
                q, m = solve(scfm, depth, CENTRAL)
                return 2 * m / q / CENTRAL["slip"] - float(ratio)
            scfm = brentq(off, 0.01, 20, xtol=1e-6)
            where = inputs(depth=f"{depth} m", ratio=ratio, **constants(CENTRAL))
            table.agreed("air_for_slip_ratio", where, printed, scfm, "scfm", SOURCE, "water_plume.py, regimes", "exact")


# Water lifted by one diffuser, L/s. Rows: depth in ft. In each cell: constants at their
# low end | central, point source | Kobus | central, source radius 0.1 m | high end.
AIR = ["0.1", "0.5", "1.25", "2.5", "5"]
CELLS = """
4  3.8/9.7/9.9/24.7/45     6.9/18.2/22.2/48/87    9.7/25.7/35.4/69/125    12.5/33.1/50.6/90/163  15.9/42.5/73.4/118/211
6  7.1/18.2/15.5/35.8/64   13.3/34.6/34.9/70/124  18.6/49.1/55.6/101/178  24.0/63.5/79.7/132/233 30.7/81.7/115/172/303
8  11.1/28.4/21.8/48/84    20.9/54.3/49.0/94/165  29.5/77.3/78.1/136/237  38.0/100/112/178/310   48.7/129/162/231/404
10 15.7/39.9/28.7/61/107   29.6/76.8/64.4/121/209 41.9/110/103/174/302    54.1/143/147/228/395   69.5/184/213/297/514
12 20.7/52.5/36.0/76/130   39.3/102/80.7/149/256  55.7/146/129/215/370    72.1/190/184/282/485   92.8/245/267/368/632
15 29.0/73.2/47.6/98/167   55.4/143/107/194/332   78.8/205/170/281/480    102/268/244/370/631    132/348/354/482/824
33 91.5/227/131/260/431    180/456/294/525/873    259/665/469/768/1281    338/877/672/1016/1698  440/1149/974/1335/2234
"""


def table_cases(table):
    for line in CELLS.strip().splitlines():
        feet, *cells = line.split()
        depth = round(float(feet) * FOOT, 4)
        for scfm, cell in zip(AIR, cells, strict=True):
            low, central, by_kobus, wide, high = cell.split("/")
            for printed, c in [(low, LOW), (central, CENTRAL), (wide, dict(CENTRAL, radius=0.1)), (high, HIGH)]:
                water, _ = solve(float(scfm), depth, c)
                table.agreed("plume_water", given(scfm, depth, c), printed, water * 1e3, "L/s", SOURCE,
                             f"water_plume.py, table, {feet} ft, {scfm} scfm", "exact")
            table.agreed("kobus", inputs(air=f"{scfm} scfm", depth=f"{depth} m"), by_kobus, kobus(float(scfm), depth) * 1e3, "L/s",
                         "Kobus 1968 in the form of Lorenzen & Fast 1977, EPA-600/3-77-004", f"water_plume.py, table, {feet} ft, {scfm} scfm", "from memory")


def main():
    plume = Table("water_plume.csv")
    drawn_cases(plume)
    narrow_cases(plume)
    start_cases(plume)
    worked_cases(plume)
    printed = Table("water_plume_table.csv")
    table_cases(printed)
    return all([plume.write(), printed.write()])


if __name__ == "__main__":
    sys.exit(0 if main() else 1)
