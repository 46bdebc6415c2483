#!/usr/bin/env python3
"""How many times faster the program is than weekend.py, on the same catalogs in the same run.

    ratio.py PROGRAM [--sizes 100,1000] [--repeats 3]

Run it with a Python that has requirements.txt. Each catalog is made by generate.py and checked in turn by the script
(its full plume) and by the program, on one core each. The figure is processor time, the least of the repeats: a busy
machine makes waiting longer, not work. Writes a Markdown table.
"""
import argparse
import os
import subprocess
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).resolve().parent


def cost(command, out):
    """Processor seconds and peak memory in MiB."""
    with open(out, "w") as file:
        process = subprocess.Popen(command, stdout=file, stderr=subprocess.DEVNULL)
        _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode not in (0, 1):
        sys.exit(f"{command[0]} ended with {process.returncode}")
    return usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("program", type=Path)
    parser.add_argument("--sizes", default="100,1000")
    parser.add_argument("--repeats", type=int, default=3)
    given = parser.parse_args()
    print("| packages | KB | script s | program s | times | script MiB | program MiB |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    for size in map(int, given.sizes.split(",")):
        with tempfile.TemporaryDirectory() as folder:
            catalog, out = Path(folder, "catalog"), Path(folder, "out")
            make = [sys.executable, HERE / "generate.py", "--packages", str(size), "--seed", "1", "--out", catalog]
            subprocess.run(list(map(str, make)), check=True)
            kilobytes = sum(file.stat().st_size for file in catalog.rglob("*.toml")) / 1000
            script = [sys.executable, str(HERE / "weekend.py"), str(catalog), "--jobs", "1"]
            program = [str(given.program.resolve()), "audit", str(catalog), "--format", "json", "--jobs", "1"]
            theirs, ours = [], []
            for _ in range(given.repeats):
                theirs.append(cost(script, out))
                ours.append(cost(program, out))
        slow, fast = min(theirs)[0], min(ours)[0]
        print(f"| {size} | {kilobytes:.0f} | {slow:.2f} | {fast:.3f} | {slow / fast:.1f} | {min(m for _, m in theirs):.0f} | {min(m for _, m in ours):.0f} |", flush=True)


if __name__ == "__main__":
    main()
