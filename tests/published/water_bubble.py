"""Oxygen that one rising bubble leaves in the water, solved with scipy.

Closures of Wuest, Brooks & Imboden 1992, solved in time and in shares of the first
moles instead of height and moles. Writes water_bubble.csv.
"""

import math
import sys

import scipy
from scipy.integrate import solve_ivp

from water_rows import Table, inputs

G, RHO, ATM, R = 9.80665, 998.2, 101325.0, 8.314462618


def left_behind(diameter, depth, water, t=20.0, oxygen=0.0):
    kelvin = t + 273.15
    henry = [(2.125 - 0.05023 * t + 5.7714e-4 * t * t) * 1e-5, (1.042 - 0.02457 * t + 3.1714e-4 * t * t) * 1e-5]
    dissolved = [oxygen / 31.999, henry[1] * 0.79 * ATM]  # mg/L over g/mol is mol/m3
    bottom = ATM + RHO * G * depth
    whole = bottom * math.pi * diameter**3 / 6 / (R * kelvin)

    def rise(r):
        if r <= 0.75e-3:
            return 1189 * r**1.1945
        return 0.22 if r < 4.8e-3 else 2.995 * r**0.489

    def slopes(_, y):
        z, o, n = y
        pressure = ATM + RHO * G * (depth - z)
        moles = (o + n) * whole
        r = (3 * moles * R * kelvin / (4 * math.pi * pressure)) ** (1 / 3)
        surface = min(0.6 * r, 4e-4) * 4 * math.pi * r * r / whole
        return [
            rise(r) + water,
            -surface * (henry[0] * pressure * o / (o + n) - dissolved[0]),
            -surface * (henry[1] * pressure * n / (o + n) - dissolved[1]),
        ]

    def surfaced(_, y):
        return y[0] - depth

    surfaced.terminal = True
    end = solve_ivp(slopes, (0, 1e4), [0, 0.21, 0.79], method="DOP853", rtol=1e-10, atol=1e-14, events=surfaced, max_step=0.05)
    assert end.status == 1
    return 1 - end.y[1, -1] / 0.21


def main():
    table = Table("water_bubble.csv")
    source = f"scipy {scipy.__version__} solve_ivp DOP853; closures of Wuest, Brooks & Imboden 1992, Water Resour. Res. 28(12):3235-3250"
    for mm, depth, water, printed in [
        (2, 1.8288, 0.3, "12.73"),
        (3, 1.8288, 0.3, "8.66"),
        (6, 1.8288, 0.3, "4.42"),
        (2, 1.8288, 0.0, "27.7"),
        (2, 3.6576, 0.3, "23.5"),
        (6, 3.6576, 0.3, "8.49"),
    ]:
        where = inputs(diameter=f"{mm} mm", depth=f"{depth} m", water=f"{water} m/s", temperature="20 C", oxygen="0 mg/L")
        table.agreed("bubble_transfer", where, printed, 100 * left_behind(mm / 1000, depth, water), "%", source, "water_bubble.py, worked case", "published")
    # The same as shares for each foot of depth.
    for mm, depth, water, printed in [(2, 1.8288, 0.3, "2.12"), (3, 1.8288, 0.3, "1.44"), (6, 1.8288, 0.3, "0.74"), (2, 1.8288, 0.0, "4.6"), (2, 3.6576, 0.3, "1.96"), (6, 3.6576, 0.3, "0.71")]:
        where = inputs(diameter=f"{mm} mm", depth=f"{depth} m", water=f"{water} m/s", temperature="20 C", oxygen="0 mg/L")
        share = 100 * left_behind(mm / 1000, depth, water) / (depth / 0.3048)
        table.agreed("bubble_transfer_per_foot", where, printed, share, "%", source, "water_bubble.py, worked case", "published")
    for mm in (1, 1.5, 2, 4, 8, 12):
        for depth in (0.9, 2.5, 6):
            for t, oxygen, water in ((5, 0, 0.3), (20, 4, 0.5), (28, 2, 0.1)):
                where = inputs(diameter=f"{mm} mm", depth=f"{depth} m", water=f"{water} m/s", temperature=f"{t} C", oxygen=f"{oxygen} mg/L")
                table.row("bubble_transfer", where, f"{100 * left_behind(mm / 1000, depth, water, t, oxygen):.6f}", "%", "0.01 %", source, "water_bubble.py, grid", "published")
    return table.write()


if __name__ == "__main__":
    sys.exit(0 if main() else 1)
