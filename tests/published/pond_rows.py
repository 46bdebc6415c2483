"""Writes the tables of ponds."""

import csv
from pathlib import Path

HERE = Path(__file__).parent


def write(name, rows):
    with open(HERE / name, "w", newline="") as file:
        writer = csv.DictWriter(file, rows[0].keys(), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
