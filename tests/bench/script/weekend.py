#!/usr/bin/env python3
"""Check a pond-aeration catalog (format 1), as somebody would in a weekend: tomllib, jsonschema, pint, fluids, scipy, numpy.

It is what the program is measured against (ratio.py), and is no part of it: it knows fewer rules and none of the
places in a file.

    weekend.py CATALOG [--jobs J] [--plume ode|kobus] [--timings] [--stage parse|schema|quantities|physics]

CATALOG is a folder of *.toml files or one file.  Findings go to standard output, one a line; exit status 1 if any
is an error.  --stage stops after that stage.  --timings writes seconds for each stage to standard error.
"""
import argparse
import json
import math
import multiprocessing
import re
import sys
import time
import tomllib
from functools import lru_cache
from pathlib import Path

started = time.perf_counter()
import fluids
import numpy as np
import pint
from fluids.friction import Churchill_1977
from jsonschema import Draft202012Validator
from scipy.integrate import solve_ivp
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

import_seconds = time.perf_counter() - started

G, R_AIR, P0 = 9.80665, 287.055, 101325.0
ROUGHNESS = 1.5e-6
KINDS = ["compressor", "diffuser", "airline", "manifold", "fitting", "cabinet", "package"]
VALIDATOR = Draft202012Validator(json.loads(Path(__file__).with_name("weekend.schema.json").read_text(encoding="utf-8")))


# ---------------------------------------------------------------------------------------------------- quantities

ureg = pint.UnitRegistry()
ureg.define("usd = [currency]")
ureg.define("eur = [other_currency]")
ureg.define("decibel_a = [sound_level]")
ureg.define("hundred_feet = 100 * foot")
UNITS = {
    "ft": "foot", "in": "inch", "m": "meter", "mm": "millimeter", "cm": "centimeter", "acre": "acre", "ft2": "foot**2", "m2": "meter**2", "ha": "hectare",
    "gal(US)": "gallon", "gal(UK)": "imperial_gallon", "L": "liter", "m3": "meter**3", "acre-ft": "acre*foot",
    "psi": "psi", "psig": "psi", "psia": "psi", "inH2O": "inch_H2O", "ftH2O": "foot_H2O", "kPa": "kilopascal", "Pa": "pascal", "mbar": "millibar", "bar": "bar",
    "cfm": "foot**3/minute", "scfm": "foot**3/minute", "L/min": "liter/minute", "m3/h": "meter**3/hour", "Nm3/h": "meter**3/hour", "gpm(US)": "gallon/minute",
    "W": "watt", "kW": "kilowatt", "hp": "horsepower", "hp(metric)": "metric_horsepower", "V": "volt", "A": "ampere", "Hz": "hertz",
    "lb": "pound", "kg": "kilogram", "lb/ft": "pound/foot", "kg/m": "kilogram/meter", "lb/100ft": "pound/hundred_feet",
    "degF": "degF", "degC": "degC", "K": "kelvin", "dB(A)": "decibel_a", "kWh": "kilowatt_hour", "USD/kWh": "usd/kilowatt_hour", "EUR/kWh": "eur/kilowatt_hour",
    "USD/month": "usd/month", "/day": "1/day", "%": "percent"}
ABSOLUTE = {"psia"}
FRACTIONS = {"¼": 0.25, "½": 0.5, "¾": 0.75, "⅛": 0.125, "⅜": 0.375, "⅝": 0.625, "⅞": 0.875}
NUMBER = r"(?:\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?(?:[eE][+-]?\d+)?[¼½¾⅛⅜⅝⅞]?|[¼½¾⅛⅜⅝⅞])"
QUANTITY = re.compile(rf"({NUMBER})(?: to ({NUMBER}))? ?([A-Za-z/%].*?)(?: ± ({NUMBER}) ?%)?$")


class Bad(Exception):
    def __init__(self, rule, text):
        self.rule, self.text = rule, text


def number(text):
    if text[-1] in FRACTIONS:
        return (float(text[:-1]) if text[:-1] else 0.0) + FRACTIONS[text[-1]]
    return sum(float(a) / float(b or 1) for a, _, b in (w.partition("/") for w in text.split()))


@lru_cache(maxsize=None)
def pint_unit(name):
    return ureg.Unit(UNITS[name])


@lru_cache(maxsize=100_000)
def parse(text, base):
    """(low, high, spread, unit) of one quantity string, in SI `base` units."""
    m = QUANTITY.fullmatch(text)
    if not m:
        if re.fullmatch(NUMBER, text):
            raise Bad("unit.missing", f"{text!r} has no unit")
        raise Bad("unit.unreadable", f"{text!r} is not a quantity")
    unit = m[3]
    if unit not in UNITS:
        raise Bad("unit.unknown", f"unknown unit {unit!r} in {text!r}")
    try:
        low = ureg.Quantity(number(m[1]), pint_unit(unit)).to(base).magnitude
        high = ureg.Quantity(number(m[2]), pint_unit(unit)).to(base).magnitude if m[2] else low
    except pint.DimensionalityError:
        raise Bad("unit.wrong-dimension", f"{text!r} is not in {base}")
    # half a unit in the last written place, relative, for dual listings
    places = len(m[1].partition(".")[2]) if re.fullmatch(r"[\d.]+", m[1]) else 9
    slack = 0.5 * 10.0**-places / max(number(m[1]), 1e-9)
    return low, high, slack, unit


class Reader:
    """Turns the quantities of one catalog into floats in SI units; what it can't read becomes a finding and None."""

    def __init__(self, site_p, site_t):
        self.p, self.t, self.found = site_p, site_t, []

    def one(self, where, text, base):
        try:
            low, high, slack, unit = parse(text, base)
        except Bad as e:
            self.found.append(("error", where, e.rule, e.text))
            return None
        if unit == "scfm":
            k = P0 / self.p * self.t / 293.15
        elif unit == "Nm3/h":
            k = P0 / self.p * self.t / 273.15
        elif unit in ABSOLUTE:
            return low - self.p, high - self.p, slack
        else:
            return low, high, slack
        return low * k, high * k, slack

    def span(self, where, value, base):
        """(low, high); checks dual listings against each other."""
        if isinstance(value, str):
            got = self.one(where, value, base)
            return got and got[:2]
        if isinstance(value, list) and value and all(isinstance(v, str) for v in value):
            got = [self.one(where, v, base) for v in value]
            if None in got:
                return None
            a, rest = got[0], got[1:]
            for b in rest:
                if abs(a[0] - b[0]) > max(a[0], b[0]) * (a[2] + b[2] + 1e-9):
                    self.found.append(("error", where, "unit.listings-disagree", f"{value[0]} and {value[1]} are not the same"))
            return a[:2]
        return None                                             # wrong type: the schema has said so

    def q(self, where, value, base):
        got = self.span(where, value, base)
        return None if got is None else got[0]

    def stated(self, where, value, base, at):
        """(value, condition); the condition may be in any of the bases in `at`."""
        if not isinstance(value, dict):
            return self.q(where, value, base), None
        cond = value.get("at")
        if isinstance(cond, dict):
            cond = next(iter(cond.values()), None)
        return self.q(where, value.get("is"), base), cond if cond is None else self.q(where, cond, at)


# ---------------------------------------------------------------------------------------------------- loading

def load(path):
    """One file: (name, document or None, findings)."""
    try:
        doc = tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as e:
        return path.name, None, [("error", path.name, "syntax.toml", str(e))]
    return path.name, doc, []


def validate(doc):
    found = []
    for e in VALIDATOR.iter_errors(doc):
        where = ".".join(str(p) for p in e.absolute_path)
        rule = {"additionalProperties": "schema.unknown-key", "required": "schema.missing-key"}.get(e.validator, "schema.wrong-type")
        found.append(("error", where, rule, e.message[:160]))
    return found


def load_and_validate(path):
    name, doc, found = load(path)
    return name, doc, found + (validate(doc) if doc is not None else [])


def merge(docs):
    cat, found = {k: {} for k in KINDS}, []
    for _, doc in docs:
        for key, value in doc.items():
            if key in KINDS:
                for id, item in value.items():
                    if id in cat[key]:
                        found.append(("error", f"{key}.{id}", "reference.duplicate", "defined twice"))
                    cat[key][id] = item
            else:
                cat[key] = value
    return cat, found


# ---------------------------------------------------------------------------------------------------- SI model

TECH = {  # wire-to-air efficiency: low, warn above, error above; sound at 1 m
    "linear-diaphragm": (0.05, 0.50, 0.70, 28, 55), "rocking-piston": (0.05, 0.50, 0.65, 46, 72),
    "rotary-vane": (0.05, 0.50, 0.65, 50, 76), "regenerative-blower": (0.05, 0.45, 0.60, 50, 84)}
NOMINAL = {"1/4 in": 0.25, "3/8 in": 0.375, "1/2 in": 0.5, "5/8 in": 0.625, "3/4 in": 0.75, "1 in": 1.0}


def part_ref(value):
    """(id, count, depth, run) of a part named alone or in a table."""
    if isinstance(value, str):
        return value, 1, None, None
    if isinstance(value, dict):
        n = value.get("count", 1)
        return value.get("part"), n if isinstance(n, int) else 1, value.get("depth"), value.get("run")
    return None, 1, None, None


def to_si(cat):
    """The catalog with every quantity as a float in SI units (None where missing or unreadable)."""
    s = cat.get("site", {})
    rd = Reader(P0, 293.15)
    site = {"altitude": rd.q("site.altitude", s.get("altitude", "0 m"), "meter"), "air": rd.q("site.air", s.get("air", "20 degC"), "kelvin"),
            "water": rd.q("site.water", s.get("water", "15 degC"), "kelvin"), "tariff": rd.q("site.tariff", s["tariff"], "usd/kilowatt_hour") if "tariff" in s else None,
            "ratio": {"flat": (0.95, 0.9, 0.8), "bowl": (0.8, 0.5, 0.4), "cone": (0.5, 0.4, 0.333)}[s.get("basin", "bowl")]}
    site["p"] = fluids.ATMOSPHERE_1976(site["altitude"] or 0.0).P
    site["rho"] = site["p"] / (R_AIR * site["air"])
    t = site["water"] - 273.15
    site["rho_w"] = 999.975 * (1 - (t - 3.983) ** 2 * (t + 301.797) / (522528.9 * (t + 69.3488)))
    r = Reader(site["p"], site["air"])
    si = {k: {} for k in KINDS}

    for id, c in cat["compressor"].items():
        w = f"compressor.{id}"
        pts = [(r.q(w, p.get("pressure"), "pascal"), r.q(w, p.get("flow"), "meter**3/second"), r.q(w, p["power"], "watt") if "power" in p else None) for p in c.get("curve", [])]
        power, power_at = r.stated(w, c.get("power"), "watt", "pascal")
        sound, sound_at = r.stated(w, c.get("sound"), "decibel_a", "meter")
        si["compressor"][id] = dict(technology=c.get("technology"), points=pts, power=power, power_at=power_at, sound=sound, sound_at=sound_at,
                                    volts=r.q(w, c.get("voltage"), "volt"), hertz=r.q(w, c.get("frequency"), "hertz"), amps=r.stated(w, c.get("current"), "ampere", "pascal")[0],
                                    max_pressure=r.q(w, c.get("max_pressure"), "pascal"), filter=c.get("inlet_filter"), outlet=c.get("outlet"))
    for id, d in cat["diffuser"].items():
        w = f"diffuser.{id}"
        loss = [(r.q(w, p.get("flow"), "meter**3/second"), r.q(w, p.get("pressure"), "pascal")) for p in d.get("loss", [])]
        si["diffuser"][id] = dict(flow=r.span(w, d.get("flow"), "meter**3/second"), loss=loss, check=d.get("check_valve"), inlet=d.get("inlet"),
                                  mass=r.q(w, d.get("mass"), "kilogram"), volume=r.q(w, d.get("volume"), "meter**3"))
    for id, a in cat["airline"].items():
        w = f"airline.{id}"
        si["airline"][id] = dict(size=a.get("size"), bore=r.q(w, a.get("bore"), "meter"), outside=r.q(w, a.get("outside"), "meter"), mass=r.q(w, a.get("mass_per_length"), "kilogram/meter"),
                                 sinks=a.get("self_sinking"), max_pressure=r.q(w, a.get("max_pressure"), "pascal"), max_temperature=r.q(w, a.get("max_temperature"), "kelvin"))
    for id, m in cat["manifold"].items():
        si["manifold"][id] = dict(outlets=m.get("outlets"), valve=m.get("valve"), cv=m.get("cv"), outlet=m.get("outlet"))
    for id, f in cat["fitting"].items():
        si["fitting"][id] = dict(ends={f.get("from"), f.get("to")})
    for id, b in cat["cabinet"].items():
        si["cabinet"][id] = dict(fan=r.q(f"cabinet.{id}", b.get("fan_flow"), "meter**3/second"), receptacles=b.get("receptacles"))
    for id, p in cat["package"].items():
        w = f"package.{id}"
        c = p.get("claim", {})
        flow, flow_at = r.stated(w, c.get("flow"), "meter**3/second", "meter")
        sound, sound_at = r.stated(w, c.get("sound"), "decibel_a", "meter")
        difs = p.get("diffuser", [])
        difs = [part_ref(d) for d in (difs if isinstance(difs, list) else [difs])]
        options = []
        for o in p.get("option", []):
            line = o.get("airline")
            options.append(dict(
                id=o.get("id"), line=line and dict(part=line.get("part"), length=r.q(w, line.get("length"), "meter"), count=line.get("count", 1)),
                allows=[(a.get("size"), r.q(w, a.get("up_to"), "meter")) for a in o.get("allows", [])]))
        si["package"][id] = dict(
            compressor=part_ref(p.get("compressor"))[:2], diffusers=[(i, n, d and r.q(w, d, "meter"), u and r.q(w, u, "meter")) for i, n, d, u in difs],
            manifold=part_ref(p.get("manifold"))[0], cabinet=part_ref(p.get("cabinet"))[0], fittings=[part_ref(f)[0] for f in p.get("fittings", [])], options=options,
            depth=r.q(w, c.get("depth"), "meter"), area=r.q(w, c.get("area"), "meter**2"), flow=flow, flow_at=flow_at, cost=r.q(w, c.get("running_cost"), "usd/month"),
            sound=sound, sound_at=sound_at, turnover=r.q(w, c.get("turnover"), "1/day"))
    si["site"] = site
    si["assumption"] = cat.get("assumption", {})
    return si, r.found + rd.found


# ---------------------------------------------------------------------------------------------------- references

def resolve(si):
    found, used = [], {k: set() for k in KINDS}
    for id, p in si["package"].items():
        refs = [("compressor", p["compressor"][0])] + [("diffuser", d[0]) for d in p["diffusers"]]
        refs += [("manifold", p["manifold"]), ("cabinet", p["cabinet"])] + [("fitting", f) for f in p["fittings"]]
        refs += [("airline", o["line"]["part"]) for o in p["options"] if o["line"]]
        p["sound_refs"] = True
        for kind, name in refs:
            if name is None:
                continue
            if name in si[kind]:
                used[kind].add(name)
            else:
                p["sound_refs"] = False
                found.append(("error", f"package.{id}", "reference.unknown", f"no {kind} {name!r}"))
    for kind in KINDS[:-1]:
        for name in si[kind]:
            if name not in used[kind]:
                found.append(("note", f"{kind}.{name}", "reference.unused", "no package uses it"))
    return found


# ---------------------------------------------------------------------------------------------------- parts

def work(p, pa):
    """Isentropic work on one cubic metre of inlet air, J."""
    return 3.5 * pa * ((1 + p / pa) ** (2 / 7) - 1)


def check_parts(si):
    found, pa, rho_w = [], si["site"]["p"], si["site"]["rho_w"]
    for id, c in si["compressor"].items():
        w = f"compressor.{id}"
        pts = sorted(p for p in c["points"] if None not in p[:2])
        c["curve"] = None
        if len(pts) >= 2 and len({p[0] for p in pts}) == len(pts):
            c["p"], c["q"] = np.array([p[0] for p in pts]), np.array([p[1] for p in pts])
            if (np.diff(c["q"]) > 0).any():
                found.append(("error", w, "curve.rising", "flow grows with pressure"))
            else:
                c["curve"] = PchipInterpolator(c["p"], c["q"], extrapolate=False)
        low, warn, hard = TECH.get(c["technology"], (0.05, 0.5, 0.7))[:3]
        if c["curve"] is not None:
            stated = [(c["power_at"], c["power"])] + [(p[0], p[2]) for p in pts if p[2]]
            for p, watts in stated:
                if not p or not watts or p > c["p"][-1]:
                    continue
                q = float(c["curve"](p))
                eta, least = q * work(p, pa) / watts, pa * q * math.log(1 + p / pa)
                if watts < least:
                    found.append(("error", w, "power.impossible", f"{watts:.0f} W at {p / 1e3:.1f} kPa, isothermal minimum {least:.0f} W"))
                elif eta > warn or (eta < low and q > 0):
                    found.append(("error" if eta > hard else "warning", w, "power.implausible", f"wire-to-air efficiency {eta:.2f} at {p / 1e3:.1f} kPa"))
        if c["volts"] and c["amps"] and c["power"]:
            if c["power"] > c["volts"] * c["amps"] / 0.97:
                found.append(("error", w, "power.volt-amperes", f"{c['power']:.0f} W from {c['volts'] * c['amps']:.0f} VA"))
            elif c["power"] < 0.35 * c["volts"] * c["amps"]:
                found.append(("warning", w, "power.power-factor", "power factor below 0.35"))
        if c["volts"] and c["hertz"] and (round(c["volts"]), round(c["hertz"])) not in [(v, 60) for v in (110, 115, 120, 125, 208, 220, 230, 240)] + [(v, 50) for v in (100, 220, 230, 240)]:
            found.append(("error", w, "power.supply", "no nominal supply has this voltage and frequency"))
        if c["sound"] is not None:
            if c["sound_at"] is None:
                found.append(("warning", w, "sound.no-distance", "sound level without distance"))
            else:
                at_1m = c["sound"] + 20 * math.log10(c["sound_at"])
                lo, hi = TECH.get(c["technology"], (0, 0, 0, 28, 84))[3:]
                if not lo <= at_1m <= hi:
                    found.append(("warning", w, "sound.implausible", f"{at_1m:.0f} dB(A) at 1 m"))
    for id, d in si["diffuser"].items():
        pts = [p for p in d["loss"] if None not in p]
        if len(pts) >= 2:
            d["d1"], d["d0"] = np.polyfit([p[0] for p in pts], [p[1] for p in pts], 1)
        else:
            d["d1"], d["d0"] = 0.0, pts[0][1] if pts else 2500.0
        if d["mass"] and d["volume"] and d["mass"] < rho_w * d["volume"]:
            found.append(("warning", f"diffuser.{id}", "diffuser.floats", "lighter than the water it displaces"))
    for id, a in si["airline"].items():
        if a["bore"] and a["size"] in NOMINAL and abs(a["bore"] / (NOMINAL[a["size"]] * 0.0254) - 1) > 0.08:
            found.append(("warning", f"airline.{id}", "airline.size-and-bore", f"bore {a['bore'] * 1e3:.1f} mm is not {a['size']}"))
        if a["sinks"] and a["mass"] and a["outside"] and a["mass"] < rho_w * math.pi / 4 * a["outside"] ** 2:
            found.append(("error", f"airline.{id}", "airline.floats", "sold as self-sinking, floats when full of air"))
    return found


# ---------------------------------------------------------------------------------------------------- duty point

# corners of the air side: flow of the compressor, line friction, diffuser loss, check valve Pa
AIR_CORNERS = [(0.95, 1.20, 1.30, 1000.0), (1.0, 1.0, 1.0, 350.0), (1.05, 0.95, 0.80, 150.0)]


class Branch:
    def __init__(self, count, depth, length, bore, diffuser, cv, site, corner):
        self.n, self.L, self.D, self.site = count, length, bore, site
        _, self.friction, loss, crack = corner
        self.static = site["p"] + site["rho_w"] * G * depth + loss * diffuser["d0"] + crack
        self.d1 = loss * diffuser["d1"] / site["rho"]
        self.K = 4 * 1.3 + ((29.84 * (bore / 0.0254) ** 2 / cv) ** 2 if cv else 0.2)
        self.area = math.pi * bore * bore / 4
        self.mu = 1.458e-6 * site["water"] ** 1.5 / (site["water"] + 110.4)

    def inlet(self, m):
        """Pressure at the manifold for mass flow m (isothermal, mean density)."""
        p2 = self.static + self.d1 * m
        flux = m / self.area
        f = self.friction * Churchill_1977(flux * self.D / self.mu, ROUGHNESS / self.D)
        return math.sqrt(p2 * p2 + flux * flux * R_AIR * self.site["water"] * (f * self.L / self.D + self.K))

    def flow(self, p, most):
        if p <= self.static:
            return 0.0
        if self.inlet(most) <= p:
            return most
        return brentq(lambda m: self.inlet(m) - p, 1e-12, most, xtol=1e-9, rtol=1e-8)


def duty(comp, machines, branches, site, corner):
    """(gauge pressure, [mass flow per diffuser of each branch]) or a reason why there is none."""
    scale = machines * corner[0] * site["rho"]
    curve, top, pa = comp["curve"], comp["p"][-1], site["p"]
    most = scale * comp["q"][0]
    if pa + top <= min(b.static for b in branches):
        return "too deep", None

    def excess(p):
        return sum(b.n * b.flow(p, most) for b in branches) - scale * float(curve(min(p - pa, top)))

    if excess(pa + top) < 0:
        return "curve too short", None
    p = brentq(excess, pa + max(comp["p"][0], 0.0), pa + top, xtol=1.0)
    return p - pa, [b.flow(p, most) for b in branches]


# ---------------------------------------------------------------------------------------------------- water side

# entrainment, bubble spread, slip, momentum factor, source radius; and reach per depth, coverage, threshold scfm/acre
PLUME_CORNERS = [(0.06, 0.3, 0.35, 1.3, 0.0), (0.11, 0.8, 0.25, 1.1, 0.0), (0.15, 1.0, 0.20, 1.0, 0.15)]
REACH = (2.5, 5.0, 10.0)
COVER = (0.64, 0.83, 1.0)
MIXING = tuple(x * 0.3048**3 / 60 / 4046.8564224 for x in (2.0, 1.3, 0.6))


def plume_ode(q, depth, corner, site):
    """Water lifted to the surface by one diffuser, m3/s: integral round bubble plume (flux form, no stratification)."""
    a, lam, slip, gam, rd = corner
    kap, rho_w = 2 / (1 + lam * lam), site["rho_w"]
    gas = lambda z: q * site["p"] / (site["p"] + rho_w * G * (depth - z))
    if rd:
        def start(v):
            e = min(gas(0) / ((v + slip) * math.pi * rd * rd), 0.9)
            return v - 1.6 * math.sqrt(2 * rd * G * e / (1 - e))
        z0, b, v = 0.0, rd / 0.8, brentq(start, 1e-9, 50.0)
    else:
        z0 = 1e-3 * depth
        b, v = 1.2 * a * z0, 1.0
        for _ in range(60):
            v = 0.5 * v + 0.5 * math.sqrt(0.75 * G * gas(0) * z0 / (gam * (kap * v + slip)) / (math.pi * b * b))
    w0 = math.pi * b * b * v

    def rhs(z, y):
        return [2 * a * math.sqrt(math.pi * y[1]), G * gas(z) / (gam * (kap * y[1] / y[0] + slip))]

    return solve_ivp(rhs, (z0, depth), [w0, w0 * v], method="LSODA", rtol=1e-6, atol=1e-12).y[0, -1]


def plume_kobus(q, depth, corner, site):
    k = {0.06: 0.4, 0.11: 1.0, 0.15: 3.5}[corner[0]]
    return k * 35.6 * (2 * q + 0.05) * (depth + 0.8) * math.sqrt(-q * math.log(1 - depth / (depth + 10.3)) / (25 * q + 0.7))


PLUMES = {"ode": plume_ode, "kobus": plume_kobus}


def verdict(low, central, high, claimed):
    return "supported" if low >= claimed else "contradicted" if high < claimed else "undecided"


# ---------------------------------------------------------------------------------------------------- packages

def check_package(si, id, plume):
    p, site = si["package"][id], si["site"]
    w, found = f"package.{id}", []
    say = lambda level, rule, text, option=None: found.append((level, w + (f" option {option}" if option else ""), rule, text))
    if not p["sound_refs"]:
        return found
    comp, machines = si["compressor"].get(p["compressor"][0]), p["compressor"][1]
    difs = [(si["diffuser"].get(i), n, d, r) for i, n, d, r in p["diffusers"]]
    if comp is None or not difs or any(d[0] is None for d in difs):
        return found
    man = si["manifold"].get(p["manifold"])
    lines = sum(n for _, n, _, _ in difs)

    # what is in the box
    if man and isinstance(man["outlets"], int) and man["outlets"] < lines:
        say("error", "kit.valves", f"{man['outlets']} outlets for {lines} diffusers")
    if not all(d[0]["check"] for d in difs):
        say("error", "kit.check-valve", "nothing stops water from running back")
    if not comp["filter"]:
        say("warning", "kit.intake-filter", "no intake filter")
    cab = si["cabinet"].get(p["cabinet"])
    if cab:
        if cab["receptacles"] is not None and cab["receptacles"] < machines + 1:
            say("warning", "kit.receptacles", "more plugs than receptacles")
        if cab["fan"] and comp["power"] and machines * comp["power"] > cab["fan"] * site["rho"] * 1005 * 10:
            say("warning", "cabinet.too-hot", "fan can't carry the heat away")
    sizes = {s for f in p["fittings"] for s in si["fitting"][f]["ends"]} | {man["outlet"] if man else None}

    # cost and sound
    watts = machines * comp["power"] if comp["power"] else None
    if p["cost"] is not None and watts and site["tariff"]:
        usd_per_month = watts / 1000 * 730.5 * site["tariff"]
        # pint's usd/month in si is left as written
        if p["cost"] < 0.98 * usd_per_month:
            say("error", "claim.running-cost", f"{usd_per_month:.2f} USD/month at {site['tariff']} USD/kWh, {p['cost']:.2f} claimed")
    if p["sound"] is not None:
        if p["sound_at"] is None:
            say("warning", "sound.no-distance", "package sound level without distance")
        elif comp["sound"] is not None and comp["sound_at"]:
            level = comp["sound"] + 10 * math.log10(machines) - 20 * math.log10(p["sound_at"] / comp["sound_at"])
            if p["sound"] < level - 1:
                say("error", "claim.sound", f"{level:.0f} dB(A) at {p['sound_at']:.1f} m, {p['sound']:.0f} claimed")

    depth = p["depth"]
    if depth is None or comp["curve"] is None or comp["max_pressure"] is None:
        say("note", "claim.not-evaluated", "depth, curve or rating is missing")
        return found
    reach = REACH
    if "reach-per-depth" in si["assumption"]:
        reach = tuple(si["assumption"]["reach-per-depth"].get(k, d) for k, d in zip(("low", "central", "high"), REACH))

    for o in p["options"]:
        if o["line"]:
            line = si["airline"][o["line"]["part"]]
            if o["line"]["count"] < lines:
                say("error", "kit.airline-count", f"{o['line']['count']} runs for {lines} diffusers", o["id"])
            if line["max_pressure"] and line["max_pressure"] < 1.5 * comp["p"][-1]:
                say("error", "airline.pressure-rating", f"line rated {line['max_pressure'] / 1e3:.0f} kPa, compressor reaches {comp['p'][-1] / 1e3:.0f} kPa", o["id"])
            runs = [(line["size"], line["bore"] or NOMINAL.get(line["size"], 0.5) * 0.0254, o["line"]["length"], line["max_temperature"])]
        elif o["allows"]:
            runs = [(size, NOMINAL.get(size, 0.5) * 0.0254, up_to, None) for size, up_to in o["allows"]]
        else:
            say("error", "kit.airline-count", "no airline and no rule for one", o["id"])
            continue
        for size, bore, length, max_temperature in runs:
            if f"{size} barb" not in sizes:
                say("error", "kit.connections", f"nothing joins a {size} line", o["id"])
            if length is None:
                continue
            # duty point at the claimed depth at the three corners
            corners, flows = [], []
            for corner in AIR_CORNERS:
                branches = [Branch(n, d if d is not None else depth, r if r is not None and o["line"] else length, bore, dif, man and man["cv"], site, corner)
                            for dif, n, d, r in difs]
                pressure, ms = duty(comp, machines, branches, site, corner)
                if ms is None:
                    corners.append(("fails", pressure))
                    flows.append(None)
                    continue
                qs = [m / site["rho"] for m in ms]
                flows.append((pressure, qs))
                least = min(q / d[0]["flow"][0] if d[0]["flow"] else 9 for q, d in zip(qs, difs))
                if pressure > comp["max_pressure"]:
                    corners.append(("fails", f"{pressure / 1e3:.1f} kPa, rated {comp['max_pressure'] / 1e3:.1f} kPa"))
                elif least < 1:
                    corners.append(("fails", f"a diffuser gets {100 * least:.0f} % of its least flow"))
                else:
                    corners.append(("holds", ""))
            rule = "claim.depth" if o["line"] else "claim.airline-length"
            states = [c[0] for c in corners]
            if states[2] == "fails":
                say("error", rule, f"contradicted at {depth:.2f} m with {length:.0f} m of {size}: {corners[2][1]}", o["id"])
            elif states[0] == "fails":
                say("note" if o["line"] else "warning", rule, f"undecided at {depth:.2f} m with {length:.0f} m of {size}: {corners[0][1]}", o["id"])
            if flows[1] is None:
                continue
            pressure, qs = flows[1]
            if pressure > comp["max_pressure"]:
                say("error", "duty.over-pressure", f"{pressure / 1e3:.1f} kPa at the compressor, rated {comp['max_pressure'] / 1e3:.1f} kPa", o["id"])
            for q, (dif, *_) in zip(qs, difs):
                if dif["flow"] and q < dif["flow"][0]:
                    say("error", "duty.starved", f"{q * 6e4:.1f} L/min for a diffuser that needs {dif['flow'][0] * 6e4:.1f}", o["id"])
                elif dif["flow"] and q > dif["flow"][1]:
                    say("warning", "duty.above-range", f"{q * 6e4:.1f} L/min for a diffuser that takes {dif['flow'][1] * 6e4:.1f}", o["id"])
            if max(qs) > 1.25 * min(qs):
                say("warning", "duty.unbalanced", f"branches get {min(qs) * 6e4:.1f} to {max(qs) * 6e4:.1f} L/min", o["id"])
            total = sum(q * d[1] for q, d in zip(qs, difs))
            if watts:
                eta = total * work(pressure, site["p"]) / watts
                if eta > TECH.get(comp["technology"], (0, 0.5, 0.7))[2]:
                    say("error", "power.implausible", f"wire-to-air efficiency {eta:.2f} at the duty point", o["id"])
                hot = site["air"] * (1 + ((1 + pressure / site["p"]) ** (2 / 7) - 1) / 0.6)
                if max_temperature and hot > max_temperature:
                    say("warning", "airline.temperature-rating", f"air leaves at {hot - 273.15:.0f} degC", o["id"])

            if not o["line"]:
                continue                                        # areas are judged with the airline that is supplied, or below
            judge_area(p, o["id"], difs, depth, flows, site, reach, plume, say)
        if not o["line"] and flows[1] is not None:
            judge_area(p, o["id"], difs, depth, flows, site, reach, plume, say)     # with the last, longest rule
    return found


def judge_area(p, option, difs, depth, flows, site, reach, plume, say):
    """Area, flow and turnover claims at three corners."""
    caps, turns, totals = [], [], []
    for i in range(3):
        got = flows[i] or (0.0, [1e-9] * len(difs))
        qs = got[1]
        depths = [d if d is not None else depth for _, _, d, _ in difs]
        totals.append(sum(q * d[1] for q, d in zip(qs, difs)))
        water = sum(d[1] * PLUMES[plume](max(q, 1e-9), h, PLUME_CORNERS[i], site) for q, d, h in zip(qs, difs, depths))
        caps.append((sum(d[1] * COVER[i] * math.pi * (reach[i] * h) ** 2 for d, h in zip(difs, depths)),
                     water * 86400 / (site["ratio"][i] * depth), totals[i] / MIXING[i]))
        if p["area"]:
            turns.append(water * 86400 / (p["area"] * depth * site["ratio"][i]))
    if p["area"]:
        names = ["reach", "turnover"] + (["mixing air"] if depth >= 3 else [])
        each = {n: verdict(*(c[j] for c in caps), p["area"]) for j, n in enumerate(names)}
        bad = [n for n, v in each.items() if v == "contradicted"]
        corroborated = len(bad) > 1 or any(caps[1][j] < p["area"] for j, n in enumerate(["reach", "turnover", "mixing air"]) if n not in bad)
        k = math.sqrt(p["area"] / (sum(d[1] for d in difs) * math.pi)) / depth
        if bad and corroborated:
            say("error", "claim.area", f"contradicted by {', '.join(bad)}: needs a reach of {k:.1f} depths, {turns[1]:.2f} turnovers a day", option)
        elif any(v != "supported" for v in each.values()):
            say("note", "claim.area", f"undecided: needs a reach of {k:.1f} depths, {turns[1]:.2f} turnovers a day", option)
        if p["turnover"] is not None:
            v = verdict(*turns, p["turnover"])
            if v != "supported":
                say("error" if v == "contradicted" else "note", "claim.turnover", f"{v}: {turns[0]:.2f} to {turns[2]:.2f} a day", option)
    if p["flow"] is not None and (p["flow_at"] is None or abs(p["flow_at"] - depth) < 0.02 * depth):
        if p["flow"] > 1.03 * totals[2]:
            say("error", "claim.flow", f"{totals[1] * 6e4:.0f} L/min at the duty point, {p['flow'] * 6e4:.0f} claimed", option)
        elif p["flow"] > 1.03 * totals[0]:
            pass                                                # undecided: within the corners


# ---------------------------------------------------------------------------------------------------- main

SI = PLUME = None                                               # seen by forked workers


def check_one(id):
    return check_package(SI, id, PLUME)


def main():
    global SI, PLUME
    ap = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    ap.add_argument("catalog", type=Path)
    ap.add_argument("--jobs", type=int, default=1)
    ap.add_argument("--plume", choices=PLUMES, default="ode")
    ap.add_argument("--timings", action="store_true")
    ap.add_argument("--stage", choices=["parse", "schema", "quantities", "physics"], default="physics")
    a = ap.parse_args()
    clock, marks = time.perf_counter(), [("imports", import_seconds)]

    def mark(name):
        nonlocal clock
        now = time.perf_counter()
        marks.append((name, now - clock))
        clock = now

    paths = [a.catalog] if a.catalog.is_file() else sorted(a.catalog.rglob("*.toml"))
    findings = []
    if a.jobs == 1:
        loaded = [load(p) for p in paths]
        mark("parse")
        docs = []
        for name, doc, found in loaded:
            findings += found
            if doc is not None:
                docs.append((name, doc))
                if a.stage != "parse":
                    findings += validate(doc)
        mark("schema")
    else:
        with multiprocessing.Pool(a.jobs) as pool:
            loaded = pool.map(load_and_validate, paths, chunksize=4)
        docs = [(name, doc) for name, doc, _ in loaded if doc is not None]
        for _, _, found in loaded:
            findings += found
        mark("parse+schema")
    if a.stage in ("quantities", "physics"):
        cat, found = merge(docs)
        findings += found
        del loaded, docs
        SI, found = to_si(cat)
        findings += found
        mark("quantities")
    if a.stage == "physics":
        PLUME = a.plume
        findings += resolve(SI) + check_parts(SI)
        if a.jobs == 1:
            for id in SI["package"]:
                findings += check_one(id)
        else:
            with multiprocessing.Pool(a.jobs) as pool:
                for found in pool.imap(check_one, SI["package"], chunksize=64):
                    findings += found
        mark("physics")
    for level, where, rule, text in findings:
        print(f"{level}: {where}: {text} [{rule}]")
    if a.timings:
        print(" ".join(f"{n}={s:.4f}" for n, s in marks), file=sys.stderr)
    return 1 if any(f[0] == "error" for f in findings) else 0


if __name__ == "__main__":
    sys.exit(main())
