"""Networks of compressors, lines and diffusers, solved on their own.

Writes air_networks.csv: what each network is made of, and where it settles. The way of
solving has nothing in common with the program's:

- the march goes downstream, from a guessed manifold pressure and flow to the water,
  where the program goes upstream from the bubbles;
- friction is integrated along each line (Runge-Kutta) with the density and viscosity of
  CoolProp's real air, where the program has a closed form for an ideal gas;
- the friction factor is that of the library fluids, a valve's flow is that of its sizing
  routine, the curve between its points and every root are scipy's.

Units are SI throughout: Pa, m3/s of free air, kg/s of dry air, m, K.

A tree is written as words: `V kv`, `B count tube ratio`, `L bore length roughness` are
elements from the compressor outwards; `O depth opening n m1 dp1 ... mn dpn` is an outlet
with the points of its diffuser's loss; `{ count [ ... ] count [ ... ] }` is a split.

Run: python air_networks.py    (about a minute)
"""

import csv
import math
import random
from pathlib import Path
from functools import lru_cache

import numpy as np
from CoolProp.CoolProp import PropsSI
from fluids.control_valve import size_control_valve_g
from fluids.friction import Churchill_1977
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

G0 = 9.80665
FT, IN, PSI, CFM = 0.3048, 0.0254, 6894.757293168, 0.3048**3 / 60
SCFM = CFM * PropsSI("D", "P", 101325, "T", 293.15, "Air")


@lru_cache(maxsize=None)
def air(kelvin):
    """Density over pressure as a cubic in pressure, and viscosity as a straight line."""
    p = np.linspace(0.5e5, 9e5, 40)
    rho = np.array([PropsSI("D", "P", x, "T", kelvin, "Air") for x in p])
    mu = np.array([PropsSI("V", "P", x, "T", kelvin, "Air") for x in p])
    return tuple(np.polyfit(p, rho / p, 2)), tuple(np.polyfit(p, mu, 1))


def density(p, kelvin):
    (c2, c1, c0), _ = air(kelvin)
    return p * (c0 + p * (c1 + p * c2))


def viscosity(p, kelvin):
    _, (m1, m0) = air(kelvin)
    return m0 + m1 * p


class Choked(Exception):
    """The march has run out of pressure: the guessed flow is too great."""


def march_line(p, m, bore, length, rough, kelvin):
    if length == 0:
        return p
    flux = m / (math.pi * bore**2 / 4)
    re = flux * bore / viscosity(p, kelvin)
    f = Churchill_1977(re, rough / bore)
    steps = 24
    h = length / steps

    def slope(q):
        if q < 2e4:
            raise Choked
        rho = density(q, kelvin)
        speed2 = flux * flux / rho**2 * rho / q
        if speed2 > 0.9:
            raise Choked
        return -f * flux * flux / (2 * rho * bore) / (1 - speed2)

    for _ in range(steps):
        k1 = slope(p)
        k2 = slope(p + h / 2 * k1)
        k3 = slope(p + h / 2 * k2)
        k4 = slope(p + h * k3)
        p += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
    return p


def march_barbs(p, m, count, tube, ratio, kelvin):
    bore = tube * ratio
    k = count * (0.5 * (1 - ratio**2) + (1 - ratio**2) ** 2)
    flux = m / (math.pi * bore**2 / 4)
    behind = p
    for _ in range(40):
        mean = (p + behind) / 2
        behind = p - k * flux * flux / (2 * density(mean, kelvin))
        if behind < 2e4:
            raise Choked
    return behind


def march_valve(p, m, kv, kelvin):
    normal = m / PropsSI("D", "P", 101325, "T", 273.15, "Air")

    def over(behind):
        need = size_control_valve_g(
            T=kelvin, MW=28.9647, mu=viscosity(p, kelvin), gamma=1.4, Z=1.0,
            P1=p, P2=behind, Q=normal, D1=None, D2=None, d=None, FL=None, Fd=None, xT=0.7,
        )
        return need - kv

    low, high = p * 0.31, p * (1 - 1e-9)
    if over(low) > 0:
        raise Choked
    if over(high) < 0:
        return p  # so little flow that a billionth of the pressure drives it
    return brentq(over, low, high, xtol=1e-6)


def pass_elements(p, m, elements, kelvin):
    for kind, *x in elements:
        if m == 0:
            return p
        if kind == "L":
            p = march_line(p, m, *x, kelvin)
        elif kind == "B":
            p = march_barbs(p, m, *x, kelvin)
        else:
            p = march_valve(p, m, *x, kelvin)
    return p


def diffuser(points, m):
    q = [a for a, _ in points]
    d = [b for _, b in points]
    if len(points) == 1:
        return d[0]
    if m <= q[1]:
        i = 0
    elif m >= q[-2]:
        i = len(q) - 2
    else:
        i = max(j for j in range(len(q) - 1) if q[j] <= m)
    return max(0.0, d[i] + (d[i + 1] - d[i]) * (m - q[i]) / (q[i + 1] - q[i]))


class Case:
    def __init__(self, name, tree, machines, ambient=101325.0, kelvin=288.15,
                 inlet_kelvin=293.15, model="gauge", bleed=""):
        self.name, self.tree, self.machines = name, tree, machines
        self.ambient, self.kelvin, self.model, self.bleed = ambient, kelvin, model, bleed
        self.rho_in = PropsSI("D", "P", ambient, "T", inlet_kelvin, "Air")
        self.rho_w = PropsSI("D", "P", 101325, "T", kelvin, "Water")
        self.curves = []
        for count, points in machines:
            p = [a for a, _ in points]
            q = [b for _, b in points]
            straight = len(p) == 2
            f = (lambda x, p=p, q=q: np.interp(x, p, q)) if straight else PchipInterpolator(p, q)
            self.curves.append((count, p, q, f))

    def supply(self, manifold):
        gauge = manifold - self.ambient
        x = gauge * (101325.0 / self.ambient if self.model == "ratio" else 1.0)
        total = 0.0
        for count, p, q, f in self.curves:
            flow = q[0] if x <= p[0] else q[-1] if x >= p[-1] else float(f(x))
            total += count * flow
        off = 0.0
        words = self.bleed.split()
        if words and words[0] == "constant":
            off = float(words[1])
        elif words:
            at, flow = float(words[1]), float(words[2])
            ends = lambda g: (g + self.ambient) ** 2 - self.ambient**2
            off = flow * math.sqrt(max(ends(gauge), 0) / ends(at))
        return (total - off) * self.rho_in

    def last(self):
        scale = 101325.0 / self.ambient if self.model == "ratio" else 1.0
        open_ends = [p[-1] / scale for _, p, q, _ in self.curves if q[-1] > 0]
        shut = [p[-1] / scale for _, p, q, _ in self.curves if q[-1] == 0]
        return self.ambient + (min(open_ends) if open_ends else max(shut))

    def opening(self, run):
        elements, end = run
        if end[0] == "O":
            return self.back(end, 0.0)
        return min(self.opening(r) for _, r in end[1])

    def back(self, outlet, m):
        _, depth, crack, points = outlet
        return self.ambient + self.rho_w * G0 * depth + crack + diffuser(points, m)

    def draw(self, run, head, cap, flows):
        """Flow of a run at a head pressure; the flows of its outlets go to `flows`."""
        elements, end = run
        if head <= self.opening(run):
            flows.extend(0.0 for _ in self.outlets(run))
            return 0.0

        def over(m):
            try:
                p = pass_elements(head, m, elements, self.kelvin)
            except Choked:
                return -1e5 - m
            if end[0] == "O":
                return p - self.back(end, m)
            there = []
            got = sum(c * self.draw(r, p, cap, there) for c, r in end[1])
            return (got - m) / cap * 1e5

        m = cap if over(cap) >= 0 else brentq(over, 0.0, cap, xtol=1e-13, rtol=1e-12)
        if end[0] == "O":
            flows.append(m)
        else:
            p = pass_elements(head, m, elements, self.kelvin)
            for _, r in end[1]:
                self.draw(r, p, cap, flows)
        return m

    def outlets(self, run):
        _, end = run
        return [end] if end[0] == "O" else [o for _, r in end[1] for o in self.outlets(r)]

    def solve(self):
        last, opening = self.last(), self.opening(self.tree)
        last -= 1e-9  # so that the last point itself counts as known
        none = [0.0 for _ in self.outlets(self.tree)]
        left = self.supply(last) if any(q[-1] > 0 for _, _, q, _ in self.curves) else 0.0
        if opening >= last:
            return ("beyond" if left > 0 else "dead-headed"), last, 0.0, none
        cap = 2 * sum(c * q[0] for c, _, q, _ in self.curves) * self.rho_in
        total = lambda p: self.draw(self.tree, p, cap, [])
        if left > 0 and total(last) < left:
            return "beyond", last, 0.0, none
        manifold = brentq(lambda p: total(p) - self.supply(p), opening, last, xtol=1e-4)
        flows = []
        m = self.draw(self.tree, manifold, cap, flows)
        return "running", manifold, m, flows


def words(run):
    elements, end = run
    text = [" ".join([k] + [f"{x:.9g}" for x in v]) for k, *v in elements]
    if end[0] == "O":
        _, depth, crack, points = end
        text.append(f"O {depth:.9g} {crack:.9g} {len(points)} "
                    + " ".join(f"{a:.9g} {b:.9g}" for a, b in points))
    else:
        text.append("{ " + " ".join(f"{c} [ {words(r)} ]" for c, r in end[1]) + " }")
    return " ".join(text)


# --- the networks -----------------------------------------------------------------------

ROUGH = 1.5e-6


def line(inches, feet):
    return ("L", inches * IN, feet * FT, ROUGH)


def barbs(count, inches):
    return ("B", count, inches * IN, 0.25 / 0.375 if inches <= 0.376 else 0.75 if inches <= 0.51 else 0.8)


def disc(feet, crack=0.05, d0=0.30, d1=0.04):
    return ("O", feet * FT, crack * PSI, [(0.0, d0 * PSI), (10 * SCFM, (d0 + 10 * d1) * PSI)])


def stone(feet, crack=0.05):
    """A loss by points: steep at first, flat, then steep again."""
    points = [(0.3, 0.20), (1.0, 0.34), (2.0, 0.38), (4.0, 0.60)]
    return ("O", feet * FT, crack * PSI, [(q * SCFM, d * PSI) for q, d in points])


def plain(inches, feet_of_line, feet_deep, head=()):
    return ([*head, barbs(2, inches), line(inches, feet_of_line), barbs(2, inches)], disc(feet_deep))


def split(*branches):
    return ("S", [(c, r) for c, r in branches])


def straight(cfm, psi):
    return [(0.0, cfm * CFM), (psi * PSI, 0.0)]


def bowed(cfm, psi, power, n=7, upto=1.0):
    p = [psi * upto * i / (n - 1) for i in range(n)]
    return [(x * PSI, max(0.0, cfm * (1 - (x / psi) ** power)) * CFM) for x in p]


D1 = straight(4.85, 7.5)
PISTON = [(0.0, 2.9 * CFM), (10 * PSI, 2.4 * CFM), (20 * PSI, 1.9 * CFM), (30 * PSI, 1.3 * CFM)]
BLOWER = [(0.0, 24 * CFM), (1 * PSI, 17 * CFM), (2 * PSI, 8 * CFM), (2.6 * PSI, 0.0)]


def cases():
    two = lambda *r: ([], split(*r))
    a = two((2, plain(0.375, 100, 6)))
    yield Case("A two alike", a, [(1, D1)])
    yield Case("B one", plain(0.375, 100, 6), [(1, D1)])
    yield Case("C two of five eighths", two((2, plain(0.625, 200, 6))), [(1, D1)])
    yield Case("D two unlike", two((1, plain(0.375, 150, 6)), (1, plain(0.375, 50, 8))), [(1, D1)])
    yield Case("E high up gauge", a, [(1, D1)], ambient=84307.0)
    yield Case("E high up ratio", a, [(1, D1)], ambient=84307.0, model="ratio")
    yield Case("F two machines", a, [(2, D1)])
    yield Case("G dead-headed", two((2, plain(0.375, 100, 18))), [(1, D1)])
    for deep in (5, 6, 7, 8, 10):
        yield Case(f"steal 4 and {deep} ft", two((1, plain(0.375, 50, 4)), (1, plain(0.375, 50, deep))), [(1, D1)])
    for kv in (0.6, 0.26, 0.17):
        yield Case(f"throttled kv {kv}",
                   two((1, plain(0.375, 50, 4, [("V", kv)])), (1, plain(0.375, 50, 8, [("V", 17.3)]))), [(1, D1)])
    for feet in (20, 200, 600):
        yield Case(f"trunk {feet} ft to three",
                   ([line(0.75, feet)], split((2, plain(0.375, 40, 6)), (1, plain(0.5, 90, 7)))), [(2, D1)])
    for deep in (8, 10, 12):
        run = ([barbs(2, 0.5), line(1.0, 60), line(0.5, 80), line(0.375, 15), barbs(1, 0.375)], stone(deep))
        yield Case(f"segments at {deep} ft", two((3, run)), [(1, PISTON)])
    for n in (2, 3):
        run = ([barbs(2, 0.5), line(0.5, 70)], split((n, ([line(0.375, 6)], disc(9)))))
        yield Case(f"{n} on a run", two((2, run)), [(1, PISTON)])
    uneven = ([line(0.5, 70)], split((1, ([line(0.375, 5)], disc(9))), (1, ([line(0.375, 30)], stone(9.5)))))
    yield Case("two unlike on a run", two((2, uneven)), [(1, PISTON)])
    yield Case("two unlike on a run and one alone", two((1, uneven), (1, plain(0.375, 60, 9))), [(1, PISTON)])
    nested = ([line(1.0, 100)], split(
        (1, ([line(0.75, 60)], split((2, plain(0.5, 40, 7)), (1, plain(0.5, 80, 9))))),
        (1, ([line(0.625, 30)], split((1, plain(0.375, 30, 6)), (2, plain(0.375, 45, 8)))))))
    yield Case("nested manifolds", nested, [(3, PISTON)])
    yield Case("nested manifolds high up", nested, [(3, PISTON)], ambient=90000.0, model="ratio")
    yield Case("linear beside piston", two((2, plain(0.5, 100, 9))), [(1, D1), (1, PISTON)])
    yield Case("linear shut by a piston", two((1, plain(0.375, 100, 16))), [(1, D1), (1, PISTON)])
    yield Case("blower to six shallow", ([line(2.0, 30)], split((6, ([line(0.75, 20)], disc(3, 0, 0.15, 0.02))))), [(1, BLOWER)])
    yield Case("blower to unlike shallow", ([line(2.0, 30)], split(
        (3, ([line(0.75, 20)], disc(2.5, 0, 0.15, 0.02))), (3, ([line(0.75, 60)], disc(3.5, 0, 0.15, 0.02))))), [(1, BLOWER)])
    yield Case("blower dead-headed", ([line(2.0, 30)], disc(7)), [(1, BLOWER)])
    yield Case("beyond a piston's curve", plain(0.375, 400, 67), [(1, PISTON)])
    yield Case("beyond and deeper than its last point", plain(0.375, 50, 80), [(1, PISTON)])
    yield Case("bleed by a hole", two((2, plain(0.375, 60, 7))), [(2, PISTON)], bleed="orifice 50000 0.0006")
    yield Case("constant bleed", two((2, plain(0.375, 60, 7))), [(2, PISTON)], bleed="constant 0.0005")
    yield Case("no line at all", ([], disc(6)), [(1, D1)])
    yield Case("cold line", two((2, plain(0.375, 100, 6))), [(1, D1)], kelvin=274.15)
    yield Case("warm line", two((2, plain(0.375, 100, 6))), [(1, D1)], kelvin=303.15)
    yield Case("cold inlet", two((2, plain(0.375, 100, 6))), [(1, D1)], inlet_kelvin=263.15)
    yield Case("hot inlet high up", two((2, plain(0.375, 100, 6))), [(1, D1)], inlet_kelvin=308.15, ambient=79500.0)
    rng = random.Random(20260502)
    for i in range(24):
        machines = [(rng.randint(1, 2), bowed(rng.uniform(2, 8), rng.uniform(7, 14), rng.choice([0.9, 1.0, 1.4, 1.8]), 6))]
        branches = []
        middle = rng.uniform(3, 12)
        for _ in range(rng.randint(1, 4)):
            bore = rng.choice([0.375, 0.5, 0.625, 0.75])
            head = [("V", rng.uniform(0.4, 3))] if rng.random() < 0.3 else []
            length, deep = rng.uniform(5, 400), middle + rng.uniform(-1.5, 1.5)
            elements = [*head, barbs(rng.randint(0, 4), bore), line(bore, length)]
            branches.append((rng.randint(1, 3), (elements, rng.choice([disc, stone])(deep, rng.choice([0, 0.05, 0.3])))))
        trunk = [line(rng.choice([0.75, 1.0]), rng.uniform(10, 300))] if rng.random() < 0.5 else []
        yield Case(f"drawn {i + 1}", (trunk, split(*branches)), machines,
                   ambient=rng.choice([101325.0, 95000.0, 82000.0]), kelvin=rng.uniform(275, 300),
                   model=rng.choice(["gauge", "ratio"]))


def main():
    with open(Path(__file__).with_name("air_networks.csv"), "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow("name ambient_pa inlet_kg_m3 water_kg_m3 line_k model machines bleed tree "
                     "outcome manifold_gauge_pa total_kg_s outlets_kg_s".split())
        for case in cases():
            outcome, manifold, total, flows = case.solve()
            machines = " / ".join(
                f"{c} " + " ".join(f"{p:.9g}:{q:.9g}" for p, q in points) for c, points in case.machines)
            out.writerow([
                case.name, f"{case.ambient:.9g}", f"{case.rho_in:.7g}", f"{case.rho_w:.8g}", f"{case.kelvin:.7g}",
                case.model, machines, case.bleed, words(case.tree), outcome,
                f"{manifold - case.ambient:.7g}", f"{total:.6e}", " ".join(f"{m:.6e}" for m in flows)])


if __name__ == "__main__":
    main()
