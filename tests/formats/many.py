"""Writes a catalog of any number of packages, all different, with a spec sheet for every third one.

Some promise what holds, some what can't be, so that a report on it has findings of every level.

Usage: many.py PACKAGES FOLDER
"""

import pathlib
import sys

HEAD = """[catalog]
format = 1
title = "Otter Mill Water, many packages"

[site]
altitude = "120 m"
tariff = "0.21 USD/kWh"

[compressor.linear-44]
technology = "linear-diaphragm"
voltage = "230 V"
frequency = "50 Hz"
power = { is = "44 W", at = "14 kPa" }
max_pressure = "24 kPa"
inlet_filter = true
curve = [
  { pressure = "0 kPa", flow = "74 L/min" },
  { pressure = "22 kPa", flow = "35 L/min" },
  { pressure = "33 kPa", flow = "0 L/min" },
]

[diffuser.disc]
flow = "10 to 60 L/min"
check_valve = true

[airline.half]
size = "1/2 in"

[airline.in-no-package]
size = "3/8 in"
"""

PACKAGE = """
[package.kit-{number}]
title = "Kit number {number}"
compressor = "linear-44"
diffuser = "disc"
above_water = true
claim = {{ depth = "{depth:.2f} m", area = "{area} m2", running_cost = "{cost:.2f} USD/month" }}

[[package.kit-{number}.option]]
id = "with-airline"
airline = {{ part = "half", length = "{run} m" }}
"""

SHEET = """+++
package = "kit-{number}"
+++
# Kit number {number}

For ponds up to {depth:.2f} m deep and {area} m2. It takes 44 W.
"""


def main():
    count, folder = int(sys.argv[1]), pathlib.Path(sys.argv[2])
    (folder / "sheets").mkdir(parents=True)
    packages = []
    for number in range(count):
        said = {
            "number": number,
            "depth": 0.9 + number % 17 * 0.2,
            "area": 60 + number % 23 * 55,
            "cost": 5.0 + number % 7 * 0.6,
            "run": 8 + number % 19,
        }
        packages.append(PACKAGE.format(**said))
        if number % 3 == 0:
            (folder / f"sheets/kit-{number:05}.md").write_text(SHEET.format(**said))
    (folder / "catalog.toml").write_text(HEAD)
    (folder / "packages.toml").write_text("".join(packages))


main()
