"""Rows of the water side's check tables.

A row names a check of the test suite, its inputs with their units, the printed
figure with its digits, how far off an answer may be, and where the figure comes from.
"""

import csv
import decimal
import pathlib
import sys

COLUMNS = ["check", "inputs", "printed", "unit", "tolerance", "source", "place", "mark"]
HERE = pathlib.Path(__file__).resolve().parent

CUBIC_FOOT_A_MINUTE = 0.3048**3 / 60  # m3/s
FOOT = 0.3048  # m
ACRE = 4046.8564224  # m2


class Table:
    """Rows of one file; figures given with digits are checked against a calculation."""

    def __init__(self, name):
        self.name = name
        self.rows = []
        self.wrong = []

    def row(self, check, inputs, printed, unit, tolerance, source, place, mark):
        self.rows.append([check, inputs, printed, unit, tolerance, source, place, mark])

    def agreed(self, check, inputs, printed, calculated, unit, source, place, mark, tolerance="half digit"):
        """A figure that was written down with its digits, and is calculated anew here."""
        allowed = allowance(printed, tolerance)
        if abs(float(printed) - calculated) > allowed * (1 + 1e-9):
            self.wrong.append(f"{check} [{inputs}]: printed {printed}, calculated {calculated:.6g}")
        self.row(check, inputs, printed, unit, tolerance, source, place, mark)

    def write(self):
        with open(HERE / self.name, "w", newline="", encoding="utf-8") as file:
            writer = csv.writer(file, lineterminator="\n")
            writer.writerow(COLUMNS)
            writer.writerows(self.rows)
        for line in self.wrong:
            print(line, file=sys.stderr)
        print(f"{self.name}: {len(self.rows)} rows, {len(self.wrong)} that don't agree")
        return not self.wrong


def allowance(printed, tolerance):
    if tolerance == "half digit":
        return 0.5 * 10.0 ** decimal.Decimal(printed).as_tuple().exponent
    if tolerance.endswith("%"):
        return float(tolerance[:-1]) / 100 * abs(float(printed))
    return float(tolerance)


def inputs(**values):
    """`inputs(air="1.25 scfm")` gives `air=1.25 scfm`, in the order given."""
    return "; ".join(f"{key}={value}" for key, value in values.items())
