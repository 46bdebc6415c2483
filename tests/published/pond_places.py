"""Places of diffusers, sought by another library.

Writes pond_places.csv: for each of the ten ponds of pond_survey.csv and one, two and three diffusers, the places that scipy's
differential evolution finds for the same aim: the least mean, over a grid of the surface, of the squared distance to
the nearest diffuser counted in its depths. With them the aim's value; the depth at the first place and the length of a
run to it along the bottom from the shore's first corner, by scipy's linear interpolation; and the share of the surface
within 3 and 5 depths, which is the area of shapely's union of circles within the outline.

Run: python pond_places.py    (about a minute)
"""

import csv
import math

import numpy as np
import shapely
from scipy.interpolate import LinearNDInterpolator
from scipy.optimize import differential_evolution

from pond_rows import HERE, write
from pond_survey import grid


def numbers(text):
    return np.array([[float(x) for x in place.split()] for place in text.split(";")])


def places():
    rows = []
    with open(HERE / "pond_survey.csv") as file:
        ponds = list(csv.DictReader(file))
    for number, pond in enumerate(ponds):
        shore, soundings = numbers(pond["outline"]), numbers(pond["soundings"])
        middle = shore.mean(axis=0)
        shape = shapely.Polygon(shore - middle)
        apart = max(shape.length / 400, math.sqrt(shape.area / len(soundings)))
        bank = shapely.get_coordinates(shapely.segmentize(shape.exterior, apart))[:-1]
        known = np.vstack([soundings[:, :2] - middle, bank])
        depth = LinearNDInterpolator(known, np.concatenate([soundings[:, 2], np.zeros(len(bank))]))
        cells = grid(shape, 70)

        def spread(at):
            at = np.reshape(at, (-1, 2))
            inside = shapely.contains_xy(shape, at[:, 0], at[:, 1])
            deep = np.where(inside, np.nan_to_num(depth(at)), 0.0)
            if (deep < 1e-3).any():
                return 1e6
            far = ((cells[:, None, :] - at[None, :, :]) ** 2).sum(axis=2) / deep**2
            return far.min(axis=1).mean()

        low_x, low_y, high_x, high_y = shape.bounds
        for count in (1, 2, 3):
            best = differential_evolution(
                spread, [(low_x, high_x), (low_y, high_y)] * count, seed=7, popsize=14, maxiter=160, tol=1e-7, polish=False
            )
            at = np.reshape(best.x, (-1, 2))
            deep = depth(at)
            stirred = [
                shapely.union_all([shapely.Point(place).buffer(k * d, quad_segs=64) for place, d in zip(at, deep)])
                .intersection(shape)
                .area
                / shape.area
                for k in (3, 5)
            ]
            from_corner = shore[0] - middle
            along = from_corner + np.linspace(0, 1, 20001)[:, None] * (at[0] - from_corner)
            inside = shapely.contains_xy(shape, along[:, 0], along[:, 1])
            bottom = np.where(inside, np.nan_to_num(depth(along)), 0.0)
            run = np.hypot(np.hypot(*np.diff(along, axis=0).T), np.diff(bottom)).sum()
            rows.append({
                "pond": number,
                "count": count,
                "places": ";".join(f"{x:.4f} {y:.4f}" for x, y in at + middle),
                "spread": f"{best.fun:.6g}",
                "depth_m": f"{deep[0]:.6g}",
                "run_m": f"{run:.6g}",
                "within_3": f"{stirred[0]:.5f}",
                "within_5": f"{stirred[1]:.5f}",
            })
    write("pond_places.csv", rows)


if __name__ == "__main__":
    places()
