"""Outlines in degrees, measured by another library.

Writes pond_degrees.csv: outlines in longitude and latitude between 65 degrees south and 68 degrees north, with the area
and the length of the shore as pyproj measures them along geodesics of WGS 84.

Run: python pond_degrees.py
"""

import math
import random

from pyproj import Geod

from pond_rows import write


def main():
    chance, geod = random.Random(5), Geod(ellps="WGS84")
    rows = []
    for longitude, latitude in [(8.5, 47.1), (-71.06, 42.3), (24.9, 60.2), (150.9, -33.7), (-68.1, -54.8), (100.2, 0.1),
                                (-0.001, 51.5), (15.6, 68.0), (-120.4, 37.9), (60.0, -65.0)]:
        radius = chance.choice([15, 60, 300, 900])
        shore = []
        for step in range(14):
            angle = 2 * math.pi * step / 14
            r = radius * chance.uniform(0.6, 1.0)
            lon, lat, _ = geod.fwd(longitude, latitude, math.degrees(angle), r)
            shore.append((round(lon, 7), round(lat, 7)))
        lons, lats = zip(*(shore + shore[:1]))
        area, around = geod.polygon_area_perimeter(lons, lats)
        rows.append({
            "outline": ";".join(f"{lon:.7f} {lat:.7f}" for lon, lat in shore),
            "area_m2": f"{abs(area):.9g}",
            "around_m": f"{around:.9g}",
        })
    write("pond_degrees.csv", rows)


if __name__ == "__main__":
    main()
