"""Values of general-purpose libraries for the air side's single equations.

Writes air_tables.csv: what is checked, its inputs, the value, the tolerance (a share of the
value unless it says abs) and where the value comes from. Inputs are SI throughout.

Run: python air_tables.py    (a few seconds)
"""

import csv
import math
import random
from pathlib import Path

import fluids
import gsw
from CoolProp.CoolProp import HAPropsSI, PropsSI
from fluids.atmosphere import ATMOSPHERE_1976
from fluids.compressible import (
    isentropic_work_compression,
    isothermal_gas,
    isothermal_work_compression,
    polytropic_exponent,
)
from fluids.control_valve import Reynolds_valve, size_control_valve_g
from fluids.fittings import (
    Cv_to_K,
    Cv_to_Kv,
    contraction_conical,
    diffuser_sharp,
    ft_Crane,
)
from fluids.friction import Churchill_1977
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

FT, IN, PSI, CFM = 0.3048, 0.0254, 6894.757293168, 0.3048**3 / 60
R = 287.055
SCFM = CFM * 101325 / (R * 293.15)
FLUIDS, COOL = "fluids 1.3.1", "CoolProp 8.0.0"
rows = []


def put(check, inputs, value, tolerance, source, kind="rel"):
    rows.append([check, " ".join(f"{x:.12g}" for x in inputs), f"{value:.12g}", tolerance, kind, source])


def atmosphere():
    for z in [0, 120, 304.8, 500, 914.4, 1000, 1500, 1524, 2000, 2286, 3000, 3048]:
        put("standard_pressure", [z], ATMOSPHERE_1976(z).P, 2e-4, f"{FLUIDS} ATMOSPHERE_1976")
    for t in [-10, 0, 10, 20, 40, 80, 120]:
        k = t + 273.15
        put("air_viscosity", [k], ATMOSPHERE_1976.viscosity(k), 1e-5, f"{FLUIDS} ATMOSPHERE_1976.viscosity")
        # Sutherland's constants are 0.3 to 0.8 % below the reference equation of state.
        put("air_viscosity", [k], PropsSI("V", "P", 101325, "T", k, "Air"), 0.009, f"{COOL} Air")
    for p, t, rh in [(101325, 20, 0), (101325, 20, .36), (1e5, 20, .65), (101325, 30, .8),
                     (84307, 30, .5), (101325, 10, .8), (95000, 0, 1), (101325, 35, 1)]:
        k = t + 273.15
        wet = 1 / HAPropsSI("V", "P", p, "T", k, "R", rh)
        put("moist_air_density", [p, k, rh], (1 + HAPropsSI("W", "P", p, "T", k, "R", rh)) * wet, 1e-3, f"{COOL} HAPropsSI")
        put("dry_air_in_moist", [p, k, rh], wet, 1e-3, f"{COOL} HAPropsSI")
    for t in [10, 15, 20, 25, 30, 35]:
        put("saturation_pressure", [t + 273.15], PropsSI("P", "T", t + 273.15, "Q", 1, "Water"), 0.005, f"{COOL} Water")
    for p, t in [(1e5, 273.15), (2e5, 288.15), (3e5, 333.15), (101325, 293.15)]:
        put("dry_air_density", [p, t], PropsSI("D", "P", p, "T", t, "Air"), 1e-3, f"{COOL} Air real gas")
    for t in [0, 4, 10, 15, 20, 25, 30]:
        put("water_density", [t + 273.15], PropsSI("D", "P", 101325, "T", max(t, 0.01) + 273.15, "Water"), 0.01, f"{COOL} Water", "abs")
        put("water_density", [t + 273.15], gsw.rho_t_exact(0, t, 0), 0.01, "gsw 3.6.23 rho_t_exact", "abs")
    base = PropsSI("D", "P", 101325, "T", 293.15, "Air")
    for label, p, k, rh in [
        ("compressor", 1e5, 293.15, 0), ("older US", 14.7 * PSI, 293.15, .36), ("60 F", 101325, 288.7056, 0),
        ("70 F", 101325, 294.2611, 0), ("normal", 101325, 273.15, 0), ("pneumatic", 1e5, 293.15, .65),
        ("standard day", 101325, 288.15, 0)]:
        put("reference_ratio", [p, k, rh], 1 / HAPropsSI("V", "P", p, "T", k, "R", rh) / base, 1e-3,
            f"{COOL} HAPropsSI: {label} over 20 degC 101.325 kPa dry")


def friction():
    for re in [10, 100, 390, 410, 1000, 2000, 2300, 2700, 3000, 4000, 5236, 1e4, 4e4, 2e5, 1e6]:
        for e in [0, 1.575e-4, 1e-3]:
            put("friction_factor", [re, e], Churchill_1977(re, e), 1e-6, f"{FLUIDS} Churchill_1977")
    # psi for the first 100 ft of smooth plastic at 20 degC, under the given feet of water.
    for bore in [3 / 8, 1 / 2, 5 / 8, 3 / 4, 1]:
        for scfm in [0.5, 1, 1.25, 2, 2.5, 3, 5, 7.5, 10]:
            for deep in [3, 6, 10, 20]:
                m, d, t = scfm * SCFM, bore * IN, 293.15
                mu = ATMOSPHERE_1976.viscosity(t)
                f = Churchill_1977(4 * m / (math.pi * d * mu), 1.5e-6 / d)
                end = 101325 + 1000 * 9.80665 * deep * FT
                # The library wants the inlet's density, which the answer decides.
                flow = lambda p1: isothermal_gas(rho=p1 / (R * t), fd=f, P1=p1, P2=end, L=100 * FT, D=d)
                start = brentq(lambda p1: flow(p1) - m, end * (1 + 1e-9), end + 2e5, xtol=1e-7, rtol=1e-14)
                put("line_start", [d, 100 * FT, t, 1.5e-6, m, end], start, 1e-6, f"{FLUIDS} isothermal_gas with the inlet's density")
                put("line_loss", [d, 100 * FT, t, 1.5e-6, m, end], start - end, 1e-3, f"{FLUIDS} isothermal_gas")


def fittings():
    for ratio in [2 / 3, 0.747, 0.75, 0.8, 0.9, 0.5]:
        # Both on the speed in the bore; the handbook's contraction at 180 degrees is a sharp one.
        k = contraction_conical(1, ratio, angle=180, method="Crane") + diffuser_sharp(ratio, 1)
        put("barb_coefficient", [ratio], k, 1e-9, f"{FLUIDS} contraction_conical (Crane) and diffuser_sharp")
    for name, n in [("elbow", 30), ("tee_run", 20), ("tee_branch", 60), ("ball_valve", 3), ("swing_check", 100)]:
        for bore in [0.375, 0.5, 0.625, 0.75, 1]:
            put(f"fitting_{name}", [bore * IN], n * ft_Crane(bore * IN), 2e-3, f"{FLUIDS} ft_Crane")
    for cv, bore in [(4.1955, .375), (1, .375), (2, .5), (0.3, .25), (12, 1)]:
        put("coefficient_from_cv", [cv, bore * IN], Cv_to_K(cv, bore * IN), 1e-3, f"{FLUIDS} Cv_to_K")


def valves():
    rng = random.Random(7)
    sets = [(1, 4, 3.5), (2, 10, 9), (0.1, 4, 2.6), (0.3, 20, 0)]
    sets += [(rng.uniform(0.05, 5), p := rng.uniform(1, 30), p * rng.uniform(0, 0.98)) for _ in range(12)]
    for cv, p1, p2 in sets:
        before, behind, t = 101325 + p1 * PSI, 101325 + p2 * PSI, 293.15

        # The flow for which the library sizes this very valve, by halving.
        def need(q):
            return size_control_valve_g(T=t, MW=28.9647, mu=1.81e-5, gamma=1.4, Z=1.0, P1=before, P2=behind,
                                        Q=q, D1=None, D2=None, d=None, FL=None, Fd=None, xT=0.7)
        low, high = 0.0, 10.0
        for _ in range(200):
            middle = (low + high) / 2
            low, high = (middle, high) if need(middle) < Cv_to_Kv(cv) else (low, middle)
        m = low * 101325 / (R * 273.15)
        put("valve_flow", [Cv_to_Kv(cv), t, before, behind], m, 3e-3, f"{FLUIDS} size_control_valve_g")
    for kv, q, p in [(0.865, 8, 1.3e5), (0.2, 2, 1.5e5), (3, 20, 2e5)]:
        rho = p / (R * 293.15)
        mu = ATMOSPHERE_1976.viscosity(293.15)
        # A pipe wide against the valve takes the term for its approach out.
        re = Reynolds_valve(nu=mu / rho, Q=q, D1=1e6, FL=0.9, Fd=1, C=kv)
        put("valve_reynolds", [kv, 293.15, q / 3600 * rho, p], re, 1e-3, f"{FLUIDS} Reynolds_valve")


def power():
    for psi in [2, 3, 4, 5, 8, 10, 15, 20, 30]:
        p2 = 101325 + psi * PSI
        m = SCFM
        s = PropsSI("S", "P", 101325, "T", 293.15, "Air")
        h1 = PropsSI("H", "P", 101325, "T", 293.15, "Air")
        h2 = PropsSI("H", "P", p2, "S", s, "Air")
        t2 = PropsSI("T", "P", p2, "S", s, "Air")
        put("isentropic_power", [CFM, 101325, psi * PSI], m * (h2 - h1), 5e-4, f"{COOL} Air at constant entropy")
        put("isentropic_power", [CFM, 101325, psi * PSI],
            isentropic_work_compression(T1=293.15, k=1.4, P1=101325, P2=p2, eta=1) / 28.96546e-3 * m, 2e-4, f"{FLUIDS} isentropic_work_compression")
        put("isothermal_power", [CFM, 101325, psi * PSI],
            isothermal_work_compression(P1=101325, P2=p2, T=293.15) / 28.96546e-3 * m, 2e-4, f"{FLUIDS} isothermal_work_compression")
        put("discharge_temperature", [293.15, 101325, psi * PSI, 1], t2, 1e-3, f"{COOL} Air at constant entropy")
    for eta in [0.5, 0.8, 1.0]:
        put("polytropic_exponent", [eta], polytropic_exponent(1.4, eta_p=eta), 1e-9, f"{FLUIDS} polytropic_exponent")


def condensate():
    for t1, rh, t2, psi in [(25, .7, 10, 4), (30, .9, 5, 8), (20, .3, 15, 4)]:
        w1 = HAPropsSI("W", "P", 101325, "T", t1 + 273.15, "R", rh)
        w2 = HAPropsSI("W", "P", 101325 + psi * PSI, "T", t2 + 273.15, "R", 1)
        # The difference of two humidities, each good to the vapour pressure's 0.7 %.
        put("condensate", [SCFM, 101325, t1 + 273.15, rh, t2 + 273.15, psi * PSI],
            SCFM * max(w1 - w2, 0), 0.03, f"{COOL} HAPropsSI")


def curves():
    rng = random.Random(11)
    named = [([0, 1, 2, 3, 4, 5], [4.85, 4.30, 3.70, 2.95, 2.00, 0.80], [0.5, 2.7, 3.6, 4.5]),
             ([0, 2, 4, 5, 6], [3, 3, 2.9, 1, 0], [1, 3, 4.5, 5.5])]
    for _ in range(20):
        n = rng.randint(2, 8)
        x = [rng.uniform(0, 1)]
        y = [rng.uniform(0, 1)]
        for _ in range(n - 1):
            x.append(x[-1] + rng.uniform(0.05, 2))
            y.append(y[-1] + rng.choice([0, rng.uniform(0, 2), rng.uniform(0, .1)]))
        named.append((x, y[::-1], [x[0] + (x[-1] - x[0]) * rng.random() for _ in range(4)]))
    for x, y, at in named:
        f = PchipInterpolator(x, y)
        for a in at:
            flat = [v for pair in zip(x, y) for v in pair]
            put("curve_flow", [a, *flat], float(f(a)), 1e-9, "scipy 1.17.1 PchipInterpolator", "abs")


for part in (atmosphere, friction, fittings, valves, power, condensate, curves):
    part()
with open(Path(__file__).with_name("air_tables.csv"), "w", newline="") as file:
    out = csv.writer(file, lineterminator="\n")
    out.writerow("check inputs value tolerance kind source".split())
    out.writerows(rows)
