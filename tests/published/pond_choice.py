"""Packages in ponds, worked out on their own.

Writes pond_choice.csv: 48 ponds with a package laid in each, and what it gives there at typical values: the pressure
at the manifold, the air of each diffuser, the area stirred as rated, turnovers, the area kept mixed, the cost of a
month, the level at the ear, and whether it serves as rated. Nothing of the program is used:

- each line is integrated by Runge and Kutta from the bubbles up, with the friction factor of the library fluids and
  the air and water of CoolProp; the duty point is a root of scipy's;
- the plume's two equations are integrated by scipy;
- the rest is written down here from its definition.

At altitude a compressor keeps its gauge pressure or its pressure ratio; typical lies between, so both are given as
bounds. Ponds are drawn until none of their needs is met or missed by less than 4 %, so that no rounding decides.

Run: python pond_choice.py    (some seconds)
"""

import math
import random

from CoolProp.CoolProp import PropsSI
from fluids.friction import Churchill_1977
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from pond_rows import write

G, PSI, ACRE = 9.80665, 6894.757293168, 4046.8564224
SCFM = 0.3048**3 / 60 * PropsSI("D", "P", 101325, "T", 293.15, "Air")
ROUGHNESS = 1.5e-6

# Name, open flow in L/min, shut-off in kPa, greatest continuous pressure in kPa, watts, dB(A) at 1 m. Each curve is a
# straight line. Invented.
MACHINES = {
    "linear": (95.0, 48.0, 26.0, 58.0, 42.0),
    "piston": (110.0, 260.0, 130.0, 185.0, 58.0),
    "vane": (240.0, 180.0, 80.0, 330.0, 61.0),
    "blower": (900.0, 24.0, 17.0, 560.0, 64.0),
}
# L/min and kPa of a diffuser, and the least it works with, L/min.
LOSS = [(10.0, 2.2), (60.0, 3.6)]
LEAST = 10.0
# From this depth on, m, air that keeps the pond mixed is a need: a judgement that is the program's own.
MIXED_FROM = 2.4


def pressure_at(altitude):
    """The standard atmosphere below 11 km: ISO 2533."""
    return 101325.0 * (1 - 2.25577e-5 * altitude) ** 5.25588


def air_density(p, t):
    return PropsSI("D", "P", p, "T", t, "Air")


def moist(p, t, humidity=0.6):
    """Dry air in a cubic metre of moist air."""
    return air_density(p - humidity * PropsSI("P", "T", t, "Q", 1, "Water"), t)


def up_the_line(p, m, bore, length, t):
    """The pressure before a line, from that behind it."""
    flux = m / (math.pi * bore**2 / 4)
    if flux == 0 or length == 0:
        return p
    f = Churchill_1977(flux * bore / PropsSI("V", "P", 120e3, "T", t, "Air"), ROUGHNESS / bore)

    def slope(q):
        rho = q / 101325.0 * air_density(101325.0, t)
        return f * flux**2 / (2 * rho * bore) / (1 - flux**2 / (rho * q))

    steps = 60
    h = length / steps
    for _ in range(steps):
        k1 = slope(p)
        k2 = slope(p + h / 2 * k1)
        k3 = slope(p + h / 2 * k2)
        k4 = slope(p + h * k3)
        p += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
    return p


def up_a_barb(p, m, tube, t):
    inch = tube / 0.0254
    ratio = 0.667 if inch <= 0.377 else 0.75 if inch <= 0.5025 else 0.8
    k = 0.5 * (1 - ratio**2) + (1 - ratio**2) ** 2
    flux = m / (math.pi * (tube * ratio) ** 2 / 4)
    before = p
    for _ in range(30):
        rho = (p + before) / 2 / 101325.0 * air_density(101325.0, t)
        before = p + k * flux**2 / (2 * rho)
    return before


def duty(pond, model):
    """Gauge pressure at the manifold in Pa and free air of each diffuser in m3/s."""
    ambient = pressure_at(pond["altitude_m"])
    t_air, t_water = 293.15, pond["water_k"]
    open_flow, shut = MACHINES[pond["machine"]][:2]
    inlet, dry = moist(ambient, t_air), air_density(ambient, t_air)
    head = PropsSI("D", "P", 101325, "T", t_water, "Water") * G * pond["depth_m"]

    def manifold(q):
        m = q * inlet
        (q1, p1), (q2, p2) = LOSS
        litres = m / dry * 60e3
        loss = (p1 + (p2 - p1) * (litres - q1) / (q2 - q1)) * 1e3
        p = ambient + head + loss + 0.05 * PSI
        p = up_a_barb(p, m, pond["bore_m"], t_water)
        p = up_the_line(p, m, pond["bore_m"], pond["run_m"], t_water)
        return up_a_barb(p, m, pond["bore_m"], t_water) - ambient

    def supply(gauge):
        x = gauge * (101325.0 / ambient if model == "ratio" else 1.0)
        return open_flow / 60e3 * max(0.0, 1 - x / (shut * 1e3))

    n = pond["diffusers"]
    q = brentq(lambda q: n * q - supply(manifold(q)), 1e-9, open_flow / 60e3 / n, xtol=1e-12)
    return manifold(q), q


def plume(q_standard, depth, ambient, t, entrainment=0.10, spread=0.8, slip=0.25, amplification=1.5):
    """Water that one diffuser brings up, m3/s, from q_standard m3/s at 101.325 kPa and 20 degC."""
    kappa = 2 / (1 + spread**2)
    rho = PropsSI("D", "P", 101325, "T", t, "Water")

    def air(z):
        return q_standard * 101325 / (ambient + rho * G * (depth - z)) * t / 293.15

    z0 = 1e-3 * depth
    b, v = 1.2 * entrainment * z0, 0.3
    for _ in range(300):
        new = math.sqrt(0.75 * G * air(0) * z0 / (amplification * (kappa * v + slip) * math.pi * b * b))
        v = (v + new) / 2
    start = [math.pi * b * b * v, math.pi * b * b * v * v]

    def slope(z, y):
        q, m = y
        return [2 * entrainment * math.sqrt(math.pi * m), G * air(z) / (amplification * (kappa * m / q + slip))]

    return solve_ivp(slope, (z0, depth), start, rtol=1e-9, atol=1e-14).y[0][-1]


def lies_at(depth, n, toward):
    """Diffusers that share a bowl lie where geometry puts them; `toward` of 1 puts all at the greatest depth."""
    if n < 2:
        return depth
    angle = math.pi / n
    out = 2 / 3 * math.sin(angle) / angle
    spread = 1 - out**2
    return depth * (spread + (1 - spread) * toward)


def needs(pond):
    ambient = pressure_at(pond["altitude_m"])
    n, depth, area = pond["diffusers"], pond["depth_m"], pond["area_m2"]
    both = [duty(pond, model) for model in ("gauge", "ratio")]
    airs = sorted(q for _, q in both)
    share = pond["hours"] / 24
    standard = [q * moist(ambient, 293.15) / air_density(101325, 293.15) for q in airs]
    lifted = [n * plume(q, lies_at(depth, n, 0.5), ambient, pond["water_k"]) for q in standard]
    as_rated = n * plume(standard[0], depth, ambient, pond["water_k"])
    day = 86400 * share / (0.5 * depth * area)
    watts, at_one = MACHINES[pond["machine"]][3:5]
    wanted = 1.3 * SCFM / ACRE
    return {
        "manifold_low_pa": min(p for p, _ in both),
        "manifold_high_pa": max(p for p, _ in both),
        "air_low_m3_per_s": airs[0],
        "air_high_m3_per_s": airs[1],
        "stirred_rated_m2": n * math.pi * (7 * depth) ** 2,
        "turnovers_low": lifted[0] * day,
        "turnovers_high": lifted[1] * day,
        "mixed_low_m2": n * airs[0] * moist(ambient, 293.15) * share / wanted,
        "mixed_high_m2": n * airs[1] * moist(ambient, 293.15) * share / wanted,
        "cost_a_month": watts / 1000 * pond["hours"] * 730.5 / 24 * pond["tariff"],
        "level_dba": at_one - 20 * math.log10(pond["ear_m"]),
        "turnovers_rated": as_rated * day,
    }


def margins(pond, given):
    """Each need: what is given over what is needed."""
    limit = MACHINES[pond["machine"]][2] * 1e3
    all_of_it = {
        "pressure": limit / given["manifold_high_pa"],
        "flow": given["air_low_m3_per_s"] * 60e3 / LEAST,
        "reach": given["stirred_rated_m2"] / pond["area_m2"],
        "turnover": given["turnovers_rated"],
        "cost": pond["budget"] / given["cost_a_month"],
        "sound": 10 ** ((pond["allowed_dba"] - given["level_dba"]) / 20),
    }
    if pond["depth_m"] >= MIXED_FROM:
        all_of_it["mixing"] = given["mixed_low_m2"] / pond["area_m2"]
    return all_of_it


def draw(random):
    machine = random.choice(list(MACHINES))
    deepest = {"linear": 2.6, "piston": 6.0, "vane": 5.0, "blower": 1.4}[machine]
    diffusers = random.choice([1, 2, 3, 4] if machine != "blower" else [8, 10, 12])
    depth = round(random.uniform(0.8, deepest), 2)
    per_diffuser = random.uniform(0.4, 1.3) * math.pi * (7 * depth) ** 2
    watts = MACHINES[machine][3]
    hours, tariff = random.choice([24, 24, 16, 12]), random.choice([0.16, 0.31, 0.42])
    month = watts / 1000 * hours * 730.5 / 24 * tariff
    ear = random.choice([5.0, 12.0, 30.0])
    return {
        "machine": machine,
        "diffusers": diffusers,
        "bore_m": random.choice([0.0095, 0.0127, 0.016]),
        "run_m": random.choice([6.0, 15.0, 30.0, 60.0, 120.0]),
        "area_m2": float(round(diffusers * per_diffuser)),
        "depth_m": depth,
        "altitude_m": random.choice([0.0, 0.0, 0.0, 400.0, 1500.0]),
        "water_k": random.choice([283.15, 288.15, 293.15, 298.15]),
        "hours": hours,
        "tariff": tariff,
        "budget": round(month * random.choice([0.8, 1.3, 1.6]), 2),
        "ear_m": ear,
        "allowed_dba": float(round(MACHINES[machine][4] - 20 * math.log10(ear) + random.choice([-3, 3, 6]))),
    }


def main():
    chance = random.Random(19)
    rows = []
    while len(rows) < 48:
        pond = draw(chance)
        try:
            given = needs(pond)
        except ValueError:
            continue  # so weak a machine that no air comes: nothing to compare
        all_of_it = margins(pond, given)
        if any(abs(margin - 1) < 0.04 for margin in all_of_it.values()):
            continue
        short = [name for name, margin in all_of_it.items() if margin < 1]
        # As many that serve as fail, and no more than a few of one kind.
        if sum(row["short"] == " ".join(short) for row in rows) >= (20 if not short else 6):
            continue
        rows.append({**pond, **given, "short": " ".join(short)})
    texts = lambda row: {key: f"{value:.9g}" if isinstance(value, float) else value for key, value in row.items()}
    write("pond_choice.csv", [texts(row) for row in rows])


if __name__ == "__main__":
    main()
