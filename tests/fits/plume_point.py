#!/usr/bin/env python3
"""The reduced form of a point plume: prints the two tables of src/physics/plume/point.rs.

With the scales of that file a point plume has two numbers, s (slip) and sigma (depth over the height of water that
the air's pressure holds), and
    q' = sqrt(mu),   mu' = q / ((mu + s q)(1 + sigma (1 - x))),   0.001 < x < 1
from v^2 (v + s) = 3 / (1.44 x (1 + sigma)), q = 0.36 x^2 v, mu = q v. Both fluxes at x = 1, over a closed form that
has their growth at great s, are fitted by a polynomial in u = s/(s + 3) and w = sigma/(2 + sigma): least squares, and
again with more weight where the error is great, until the greatest no longer falls.

    python3 plume_fit.py        (numpy of requirements.txt)
"""
import numpy as np

MOST_SLIP, MOST_DEPTH = 10.0, 1.8
ROWS = [11, 9, 7, 6, 4, 3, 2]  # coefficients of u for each power of w


def end(s, sigma, steps=400):
    """q and mu at the surface, by Runge-Kutta in x^(1/3)."""
    x = 1e-3
    c = 3 / (1.44 * x * (1 + sigma))
    v = np.cbrt(c)
    for _ in range(60):
        v -= (v * v * (v + s) - c) / (v * (3 * v + 2 * s))
    q, mu = 0.36 * x * x * v, 0.36 * x * x * v * v

    def slopes(t, q, mu):
        d = 3 * t * t
        return d * np.sqrt(mu), d * q / ((mu + s * q) * (1 + sigma * (1 - t**3)))

    t, h = 0.1, 0.9 / steps
    for i in range(steps):
        t = 0.1 + i * h
        a1, b1 = slopes(t, q, mu)
        a2, b2 = slopes(t + h / 2, q + h / 2 * a1, mu + h / 2 * b1)
        a3, b3 = slopes(t + h / 2, q + h / 2 * a2, mu + h / 2 * b2)
        a4, b4 = slopes(t + h, q + h * a3, mu + h * b3)
        q = q + h / 6 * (a1 + 2 * (a2 + a3) + a4)
        mu = mu + h / 6 * (b1 + 2 * (b2 + b3) + b4)
    return q, mu


def fit(u, w, target):
    terms = np.stack([u**i * w**j for j, row in enumerate(ROWS) for i in range(row)], axis=1) / target[:, None]
    weight, best = np.ones(len(target)), (np.inf, None)
    for _ in range(200):
        c = np.linalg.lstsq(terms * weight[:, None], weight, rcond=None)[0]
        error = np.abs(terms @ c - 1)
        if error.max() < best[0]:
            best = error.max(), c
        weight *= 1 + 2 * error / error.max()
        weight /= weight.mean()
    return best


def main():
    grid = 0.5 - 0.5 * np.cos(np.pi * (np.arange(40) + 0.5) / 40)
    most_u, most_w = MOST_SLIP / (MOST_SLIP + 3), MOST_DEPTH / (2 + MOST_DEPTH)
    u, w = (a.ravel() for a in np.meshgrid(grid * most_u * 1.0005, grid * most_w * 1.0005))
    s, sigma = 3 * u / (1 - u), 2 * w / (1 - w)
    q, mu = end(s, sigma)
    for name, target in (("WATER", q * np.sqrt(1 + s / 1.5)), ("MOMENTUM", mu * (1 + s / 1.2))):
        worst, c = fit(u, w, target)
        print(f"/// Within {worst:.1e} of the integral.\nconst {name}: [&[f64]; {len(ROWS)}] = [")
        at = 0
        for row in ROWS:
            print("    &[" + ", ".join(repr(float(x)) for x in c[at : at + row]) + "],")
            at += row
        print("];")


if __name__ == "__main__":
    main()
