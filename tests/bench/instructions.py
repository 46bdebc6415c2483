#!/usr/bin/env python3
"""Counts instructions of the hot paths, and fails where one takes a tenth more than is stored.

    instructions.py [--write] [PROGRAM]

PROGRAM is what `cargo build` makes (target/debug/nameplate). It audits a catalog of generate.py and some of the
tests' sheets under valgrind's callgrind, on one thread. Instructions don't depend on how busy a machine is, only on
the compiler: the counts in instructions.toml name the one they were taken with. Without valgrind nothing is counted,
and that is said. Standard library only; about half a minute.
"""
import argparse
import re
import shutil
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent
STORED = HERE / "instructions.toml"
MORE = 0.10

# A path's name, the part of the run it is taken from, and the function whose instructions it is, callees included.
PATHS = [
    ("a catalog read to a tree", "catalog", "nameplate::document::read"),
    ("trees held to the schema and lowered", "catalog", "nameplate::catalog::gather::gather_again"),
    ("all claims judged", "catalog", "nameplate::claims::judge"),
    ("what decides a criterion", "catalog", "nameplate::claims::criterion::Criterion::decide"),
    ("duty points", "catalog", "nameplate::derive::solver::Solver::at"),
    ("how deep", "catalog", "nameplate::claims::depth::deepest"),
    ("how long", "catalog", "nameplate::claims::airline_length::longest"),
    ("plumes", "catalog", "nameplate::physics::plume::plume"),
    ("rules over facts", "catalog", "nameplate::rules::check"),
    ("the report for programs", "catalog", "nameplate::report::json::text"),
    ("sheets read", "sheets", "nameplate::spec_sheet::read"),
]


def inclusive(folder, program, arguments):
    """Instructions of every function, callees included, and of the whole run."""
    out = folder / "callgrind.out"
    command = ["valgrind", "--tool=callgrind", f"--callgrind-out-file={out}", program, *arguments]
    run = subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
    if run.returncode not in (0, 1):
        sys.exit(f"{' '.join(map(str, command))} ended with {run.returncode}:\n{run.stderr[-2000:]}")
    lines = subprocess.run(["callgrind_annotate", "--inclusive=yes", "--threshold=100", str(out)],
                           check=True, capture_output=True, text=True).stdout.splitlines()
    counts = {}
    for line in lines:
        found = re.match(r"\s*([\d,]+) \([^)]*\)\s+(?:\S*:)?(nameplate::\S+|PROGRAM TOTALS)", line)
        if found:
            # One function stands once for each file that something was put into it from; the first is the whole.
            counts.setdefault(found[2], int(found[1].replace(",", "")))
    return counts


def count(program):
    with tempfile.TemporaryDirectory() as folder:
        folder = Path(folder)
        catalog = folder / "catalog"
        make = [sys.executable, str(HERE / "script/generate.py"), "--packages", "60", "--seed", "1", "--out", str(catalog)]
        subprocess.run(make, check=True)
        common = ["--format", "json", "--jobs", "1"]
        runs = {
            "catalog": inclusive(folder, program, ["audit", str(catalog), *common]),
            "sheets": inclusive(folder, program, ["audit", str(ROOT / "catalog-examples/sound/sheets"), *common]),
        }
    counts = {"all of it": runs["catalog"]["PROGRAM TOTALS"]}
    for name, run, function in PATHS:
        if function not in runs[run]:
            sys.exit(f"{name}: no instruction of {function} was counted; name the function that does it now")
        counts[name] = runs[run][function]
    return counts


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("program", nargs="?", type=Path, default=ROOT / "target/debug/nameplate")
    parser.add_argument("--write", action="store_true", help="store the counts")
    given = parser.parse_args()
    if not shutil.which("valgrind"):
        print("instructions.py: NOT COUNTED, as valgrind isn't installed; a slower path would pass unseen", file=sys.stderr)
        return
    compiler = subprocess.run(["rustc", "--version"], check=True, capture_output=True, text=True).stdout.strip()
    counts = count(str(given.program.resolve()))
    if given.write:
        rows = [f'"{name}" = {number}' for name, number in counts.items()]
        head = "# Made by `instructions.py --write`: instructions of each hot path, and the compiler that made the program."
        STORED.write_text("\n".join([head, f'compiler = "{compiler}"', "", "[counts]", *rows]) + "\n")
        return
    stored = tomllib.loads(STORED.read_text())
    worse = []
    for name, number in counts.items():
        before = stored["counts"][name]
        change = number / before - 1
        print(f"{name:<40} {before:>13,} {number:>13,} {change:>+7.1%}")
        if change > MORE:
            worse.append(name)
    if worse:
        same = compiler == stored["compiler"]
        why = "" if same else f" They were counted with {stored['compiler']}, and this is {compiler}."
        sys.exit(f"More than a tenth slower: {', '.join(worse)}.{why} Where it is meant, run instructions.py --write.")


if __name__ == "__main__":
    main()
