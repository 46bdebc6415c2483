"""Capacities of invented packages at both ends and in the middle of the assumptions.

No outside truth: these figures pin what the water side makes of a package, so that
no change slips in unseen. They were worked out apart from the program. Writes
water_packages.csv.
"""

import math
import sys

from water_plume import CENTRAL, HIGH, LOW, kobus, solve
from water_rows import ACRE, FOOT, Table, inputs
from water_worked import DAY, field

SOURCE = "worked out by this project with scipy"
# Package: air in scfm, diffusers, depth in ft, area claimed in acres.
PACKAGES = {
    "a": (2.5, 2, 6, 0.25),
    "a-doubled": (5.0, 4, 6, 0.50),
    "b": (3.0, 2, 12, 2),
    "c": (1.0, 1, 4, 1),
    "d": (3.0, 4, 12, 0.125),
}
ENDS = ("low", "central", "high")
PLUME = dict(low=dict(LOW, entrainment=0.055, amplification=2.5), central=CENTRAL, high=HIGH)
REACH = dict(low=(0.64, 2.5), central=(0.83, 5), high=(1.0, 10))
RATIO = dict(low=0.8, central=0.5, high=0.4)
MIXING = dict(low=2.0, central=1.3, high=0.6)
OXYGEN = dict(low=(1.0, 0.8, 0.95, 0.7, 5), central=(1.6, 0.9, 0.98, 0.9, 4), high=(3.0, 1.0, 1.0, 1.0, 3))
DEMAND = dict(low=3.0, central=1.0, high=0.3)

FIGURES = {
    "reach": dict(a=".021/.108/.519", doubled=".042/.215/1.04", b=".083/.431/2.08", c=".005/.024/.115", d=".166/.862/4.15"),
    "turnover": dict(a=".383/2.29/10.4", doubled="0.77/4.58/20.8", b=".611/3.65/11.6", c=".138/.828/5.01", d="0.94/5.57/17.6"),
    "turnovers": dict(a="1.5/9.2/42", doubled="1.5/9.2/42", b="0.31/1.82/5.8", c="0.14/0.83/5.0", d="7.5/44.6/141"),
    "mixing": dict(a="1.25/1.92/4.17", doubled="2.5/3.85/8.33", b="1.50/2.31/5.00", c=".50/.77/1.67", d="1.5/2.3/5.0"),
    "oxygen": dict(a=".031/.293/2.84", doubled=".061/.585/5.67", b=".079/.735/7.00", c=".008/.077/.749", d=".079/.735/7.00"),
    "transfer": dict(a=".37/1.18/3.44", doubled=".74/2.37/6.89", b=".96/2.98/8.50", c=".096/.31/.91", d=".96/2.98/8.50"),
    "water": dict(a="26/98/357", doubled="52/196/713", b="84/312/795", c="6/24/115", d="128/477/1208"),
}
UNITS = dict(reach="acre", turnover="acre", turnovers="1/d", mixing="acre", oxygen="acre", transfer="kg/d", water="L/s")
SINGLE = {
    "reach_needed": ("", dict(a="6.94", doubled="6.94", b="9.81", c="29.4", d="1.73")),
    "air_per_area": ("scfm/acre", dict(a="10.0", doubled="10.0", b="1.5", c="1.0", d="24")),
    "water_kobus": ("L/s", dict(a="111", doubled="223", b="283", c="32", d="396")),
}


def figure(name, scfm, n, ft, acres, end):
    h = round(ft * FOOT, 4)
    water = n * solve(scfm / n, h, PLUME[end])[0]
    coverage, k = REACH[end]
    transfer = field(scfm, h, *OXYGEN[end])
    return dict(
        reach=lambda: n * coverage * math.pi * (k * h) ** 2 / ACRE,
        turnover=lambda: water * DAY / (RATIO[end] * h) / ACRE,
        turnovers=lambda: water * DAY / (RATIO[end] * h * acres * ACRE),
        mixing=lambda: scfm / MIXING[end],
        oxygen=lambda: 1000 * transfer / DEMAND[end] / ACRE,
        transfer=lambda: transfer,
        water=lambda: water * 1e3,
        reach_needed=lambda: math.sqrt(acres * ACRE / n / math.pi) / h,
        air_per_area=lambda: scfm / acres,
        water_kobus=lambda: n * kobus(scfm / n, h) * 1e3,
    )[name]()


def main():
    table = Table("water_packages.csv")
    for package, (scfm, n, ft, acres) in PACKAGES.items():
        key = package.removeprefix("a-")
        where = dict(package=package, air=f"{scfm} scfm", diffusers=n, depth=f"{round(ft * FOOT, 4)} m", area=f"{acres} acre")
        for name, cells in FIGURES.items():
            for end, printed in zip(ENDS, cells[key].split("/"), strict=True):
                table.agreed(f"package_{name}", inputs(**where, end=end), printed, figure(name, scfm, n, ft, acres, end), UNITS[name], SOURCE, "water_packages.py", "judgement")
        for name, (unit, cells) in SINGLE.items():
            table.agreed(f"package_{name}", inputs(**where, end="central"), cells[key], figure(name, scfm, n, ft, acres, "central"), unit, SOURCE, "water_packages.py", "judgement")
    return table.write()


if __name__ == "__main__":
    sys.exit(0 if main() else 1)
