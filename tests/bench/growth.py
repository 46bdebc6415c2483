#!/usr/bin/env python3
"""How time and memory grow with a catalog, beside the line they should follow.

    growth.py PROGRAM [--sizes 100,1000,10000,100000] [--svg FILE]

PROGRAM is a release build. Each catalog is made by generate.py, a thousand packages to a file, and audited on one core;
the figures are processor time and peak memory. No two of its plants are alike, so nothing is solved once for two
packages. The line is what the smallest catalog of a thousand packages or more takes, times the packages: above it
something grows faster than the catalog. Writes a Markdown table, and a picture of it. Standard library only.
"""
import argparse
import math
import os
import subprocess
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).resolve().parent


def cost(command):
    """Processor seconds and peak memory in MB."""
    with open(os.devnull, "w") as nowhere:
        process = subprocess.Popen(command, stdout=nowhere, stderr=subprocess.DEVNULL)
        _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode not in (0, 1):
        sys.exit(f"{' '.join(command)} ended with {process.returncode}")
    return usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1e3 * 1.024


def measured(program, size):
    with tempfile.TemporaryDirectory() as folder:
        catalog = Path(folder, "catalog")
        make = [sys.executable, str(HERE / "script/generate.py"), "--packages", str(size), "--seed", "1",
                "--files", str(max(2, size // 1000)), "--out", str(catalog)]
        subprocess.run(make, check=True)
        megabytes = sum(file.stat().st_size for file in catalog.rglob("*.toml")) / 1e6
        seconds, memory = cost([program, "audit", str(catalog), "--jobs", "1"])
    return size, megabytes, seconds, memory


def picture(rows, base):
    """Both curves over the number of packages, on logarithmic scales, each with its line."""
    width, height, margin = 640, 300, 50
    sizes = [row[0] for row in rows]
    parts = [f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {2 * height}" font-family="sans-serif" font-size="12">',
             '<rect width="100%" height="100%" fill="white"/>']
    for place, (title, column) in enumerate([("processor time, s", 2), ("peak memory, MB", 3)]):
        values = [row[column] for row in rows]
        line = [base[column] * size / base[0] for size in sizes]
        low, high = math.log10(min(values + line)), math.log10(max(values + line))
        left, right = math.log10(min(sizes)), math.log10(max(sizes))

        def at(size, value):
            x = margin + (math.log10(size) - left) / max(right - left, 1e-9) * (width - 2 * margin)
            y = height * (place + 1) - margin - (math.log10(value) - low) / max(high - low, 1e-9) * (height - 2 * margin)
            return f"{x:.1f},{y:.1f}"

        for points, style in [(line, 'stroke="#888" stroke-dasharray="5 4"'), (values, 'stroke="#06c" stroke-width="2"')]:
            path = " ".join(at(size, value) for size, value in zip(sizes, points))
            parts.append(f'<polyline fill="none" {style} points="{path}"/>')
        parts.append(f'<text x="{margin}" y="{height * place + 25}">{title}; dashed: in proportion to the packages</text>')
        for size, value in zip(sizes, values):
            x, y = at(size, value).split(",")
            parts.append(f'<circle cx="{x}" cy="{y}" r="3" fill="#06c"/><text x="{x}" y="{float(y) - 8:.1f}" text-anchor="middle">{value:.3g}</text>')
            parts.append(f'<text x="{x}" y="{height * (place + 1) - 25}" text-anchor="middle">{size}</text>')
    return "\n".join(parts + ["</svg>", ""])


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("program", type=Path)
    parser.add_argument("--sizes", default="100,1000,10000,100000")
    parser.add_argument("--svg", type=Path)
    given = parser.parse_args()
    program = str(given.program.resolve())
    print("| packages | MB | s | ms a package | MB of memory | times its source |")
    print("| --- | --- | --- | --- | --- | --- |")
    rows = []
    for size in map(int, given.sizes.split(",")):
        rows.append(measured(program, size))
        size, megabytes, seconds, memory = rows[-1]
        print(f"| {size} | {megabytes:.2f} | {seconds:.2f} | {seconds / size * 1e3:.2f} | {memory:.0f} | {memory / megabytes:.0f} |", flush=True)
    if given.svg:
        base = next((row for row in rows if row[0] >= 1000), rows[-1])
        given.svg.write_text(picture(rows, base))


if __name__ == "__main__":
    main()
