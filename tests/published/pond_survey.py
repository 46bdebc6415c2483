"""Outlines and soundings of ten ponds, surveyed by other libraries.

Writes pond_survey.csv: each outline and its soundings, and the area, greatest depth and volume. The area is
shapely's. The volume is the mean over a fine grid of scipy's linear interpolation between the soundings and the shore,
which is 0 deep, times that area; the program sums the prisms of triangles instead. The ponds are drawn: stars with bays,
a bottom that slopes from the shore with a few hollows, soundings where somebody might have held a pole.

Run: python pond_survey.py    (some seconds)
"""

import math
import random

import numpy as np
import shapely
from scipy.interpolate import LinearNDInterpolator

from pond_rows import write


def outline(chance):
    corners = chance.randint(7, 40)
    radius, bays = chance.uniform(8, 60), chance.uniform(0.1, 0.45)
    east, north = chance.choice([(0, 0), (0, 0), (412000.0, 5300000.0)])
    shore = []
    for place in range(corners):
        angle = 2 * math.pi * (place + chance.uniform(-0.3, 0.3)) / corners
        r = radius * (1 - bays * chance.random())
        shore.append((round(east + r * math.cos(angle), 2), round(north + 0.7 * r * math.sin(angle), 2)))
    return shore


def depths(chance, shape):
    hollows = [(chance.uniform(0.5, 2.0), chance.uniform(0.3, 1.0)) for _ in range(3)]
    deepest = chance.uniform(1.2, 6.0)
    far = max(shape.boundary.distance(p) for p in shapely.points(grid(shape, 30)))

    def depth(point):
        share = min(1.0, shape.boundary.distance(point) / far)
        ripple = sum(a * 0.05 * math.sin(point.x * b) for a, b in hollows)
        return max(0.05, deepest * share**0.7 * (1 + ripple))

    return depth


def grid(shape, across):
    low_x, low_y, high_x, high_y = shape.bounds
    step = max(high_x - low_x, high_y - low_y) / across
    xs = np.arange(low_x + step / 2, high_x, step)
    ys = np.arange(low_y + step / 2, high_y, step)
    at = np.array([(x, y) for x in xs for y in ys])
    return at[shapely.contains_xy(shape, at[:, 0], at[:, 1])]


def main():
    chance = random.Random(1913)
    rows = []
    while len(rows) < 10:
        shore = outline(chance)
        shape = shapely.Polygon(shore)
        if not shape.is_valid:
            continue
        depth = depths(chance, shape)
        places = grid(shape, chance.randint(9, 25))
        soundings = []
        for x, y in places:
            point = shapely.Point(round(x + chance.uniform(-0.2, 0.2), 2), round(y + chance.uniform(-0.2, 0.2), 2))
            if shape.buffer(-0.05).contains(point):
                soundings.append((point.x, point.y, round(depth(point), 2)))
        if len(soundings) < 15:
            continue
        # The shore is known as closely as the bottom.
        apart = max(shape.length / 400, math.sqrt(shape.area / len(soundings)))
        bank = shapely.get_coordinates(shapely.segmentize(shape.exterior, apart))[:-1]
        known = np.vstack([np.array(soundings), np.column_stack([bank, np.zeros(len(bank))])])
        # Near the origin, where a triangulation loses no digits.
        middle = known[:, :2].mean(axis=0)
        surface = LinearNDInterpolator(known[:, :2] - middle, known[:, 2])
        mean = np.nanmean(surface(grid(shape, 600) - middle))
        text = lambda places: ";".join(" ".join(f"{x:.2f}" for x in place) for place in places)
        rows.append({
            "outline": text(shore),
            "soundings": text(soundings),
            "area_m2": f"{shape.area:.9g}",
            "depth_m": f"{max(d for _, _, d in soundings):.9g}",
            "volume_m3": f"{mean * shape.area:.6g}",
        })
    write("pond_survey.csv", rows)


if __name__ == "__main__":
    main()
