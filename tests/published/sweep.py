"""Packages over one condition, worked out on their own.

Writes sweep.csv: for packages of pond_choice.py's machines, one condition varied with all others kept, and at each value
the pressure at the manifold, the air of each diffuser, the largest pond as rated and the cost of a month. The duty point
and the plume are those of pond_choice.py: integrals and roots by scipy, friction by fluids, air and water by CoolProp.
Nothing of the program is used.

Run: python sweep.py    (some seconds)
"""

import math

from pond_choice import ACRE, LEAST, MACHINES, MIXED_FROM, SCFM, air_density, duty, moist, plume, pressure_at
from pond_rows import write

INCH = 0.0254
# The nominal sizes that lie between the ends of the bores below, by more than 3 %.
BORES = [0.008, 3 / 8 * INCH, 1 / 2 * INCH, 5 / 8 * INCH, 3 / 4 * INCH, 0.020]

BASES = [
    {"machine": "linear", "diffusers": 2, "bore_m": 0.0127, "run_m": 25.0, "depth_m": 1.4, "altitude_m": 0.0, "water_k": 288.15, "hours": 24.0},
    {"machine": "piston", "diffusers": 3, "bore_m": 0.0095, "run_m": 40.0, "depth_m": 3.2, "altitude_m": 0.0, "water_k": 283.15, "hours": 12.0},
    {"machine": "vane", "diffusers": 4, "bore_m": 0.016, "run_m": 60.0, "depth_m": 2.8, "altitude_m": 400.0, "water_k": 293.15, "hours": 16.0},
    {"machine": "blower", "diffusers": 10, "bore_m": 0.016, "run_m": 12.0, "depth_m": 0.9, "altitude_m": 0.0, "water_k": 293.15, "hours": 24.0},
]
TARIFF = 0.31


def stops(base):
    """Each condition with its values; steps are even, but for bores."""
    even = lambda low, high, count: [low + (high - low) * n / (count - 1) for n in range(count)]
    depth, count = base["depth_m"], base["diffusers"]
    return {
        "depth_m": even(round(0.5 * depth, 2), round(1.9 * depth, 2), 6),
        "run_m": even(5.0, 95.0, 4),
        "bore_m": BORES,
        "altitude_m": even(0.0, 1500.0, 4),
        "diffusers": [float(n) for n in range(max(1, count - 1), count + 16, 3)],
        "hours": even(6.0, 24.0, 4),
    }


def largest(case, air, ambient):
    """The largest pond as rated: 7 depths of reach, a turnover a day, and air that keeps a deep one mixed."""
    n, depth, share = case["diffusers"], case["depth_m"], case["hours"] / 24
    standard = air * moist(ambient, 293.15) / air_density(101325, 293.15)
    lifted = n * plume(standard, depth, ambient, case["water_k"])
    limits = [n * math.pi * (7 * depth) ** 2, lifted * 86400 * share / (0.5 * depth)]
    if depth >= MIXED_FROM:
        limits.append(n * air * moist(ambient, 293.15) * share / (1.3 * SCFM / ACRE))
    return min(limits)


def row(base, variable, value):
    case = {**base, variable: int(value) if variable == "diffusers" else value}
    ambient = pressure_at(case["altitude_m"])
    both = [duty(case, model) for model in ("gauge", "ratio")]
    airs = sorted(air for _, air in both)
    areas = sorted(largest(case, air, ambient) for air in airs)
    watts, limit = MACHINES[case["machine"]][3], MACHINES[case["machine"]][2] * 1e3
    pressures = sorted(pressure for pressure, _ in both)
    return {
        **base,
        "variable": variable,
        "value": value,
        "manifold_low_pa": pressures[0],
        "manifold_high_pa": pressures[1],
        "air_low_m3_per_s": airs[0],
        "air_high_m3_per_s": airs[1],
        "rated_area_low_m2": areas[0],
        "rated_area_high_m2": areas[1],
        "cost_a_month": watts / 1000 * case["hours"] * 730.5 / 24 * TARIFF,
        # Where a figure lies within 2 % of its limit, rounding decides.
        "serves": "" if any(abs(x - 1) < 0.02 for x in (pressures[1] / limit, airs[0] * 60e3 / LEAST))
        else "yes" if pressures[1] <= limit and airs[0] * 60e3 >= LEAST else "no",
    }


def main():
    rows = []
    for base in BASES:
        for variable, values in stops(base).items():
            for value in values:
                try:
                    rows.append(row(base, variable, value))
                except ValueError:
                    pass  # no air comes: nothing to compare
    texts = lambda row: {key: f"{value:.9g}" if isinstance(value, float) else value for key, value in row.items()}
    write("sweep.csv", [texts(row) for row in rows])


if __name__ == "__main__":
    main()
