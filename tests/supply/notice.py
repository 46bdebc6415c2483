"""Writes, or with --check only compares, the notices of what is built into the program.

They are taken from the packages' own files, as cargo has them, for the dependencies that end in the program: neither
those of tests nor those that only build. Of several licences the first of CHOSEN that a package offers is taken.
"""

import json
import pathlib
import re
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]
PAGE = ROOT / "tests/supply/THIRD-PARTY.md"
# In the order in which they are chosen where a package offers several.
CHOSEN = ["MIT", "MIT-0", "Zlib", "ISC", "BSD-2-Clause", "BSD-3-Clause", "Apache-2.0", "Unicode-3.0", "CC0-1.0", "Unlicense"]
HEAD = """\
# Third-party notices

The program is built from the packages below and from its own code. Each package is listed with its version, the
licence it is used under and its copyright lines; the texts of the licences follow, each once. This page is made by
`tests/supply/notice.py` from the files that the packages bring, and held to them by `tests/run`.
"""


def packages():
    """The packages that end in the program, and the program's own."""
    asked = ["cargo", "metadata", "--format-version", "1", "--locked", "--all-features"]
    told = json.loads(subprocess.run(asked, cwd=ROOT, check=True, capture_output=True).stdout)
    nodes = {node["id"]: node for node in told["resolve"]["nodes"]}
    by_id = {package["id"]: package for package in told["packages"]}
    met, open_ = set(), [told["resolve"]["root"]]
    while open_:
        this = open_.pop()
        if this in met:
            continue
        met.add(this)
        for dependency in nodes[this]["deps"]:
            if any(kind["kind"] is None for kind in dependency["dep_kinds"]):
                # What runs only in the compiler isn't in the program.
                targets = by_id[dependency["pkg"]]["targets"]
                if not any("proc-macro" in target["kind"] for target in targets):
                    open_.append(dependency["pkg"])
    met.discard(told["resolve"]["root"])
    return sorted((by_id[one] for one in met), key=lambda one: (one["name"], one["version"]))


def chosen(expression):
    """The licences a package is used under."""
    words = re.split(r"\s+OR\s+|\s*/\s*", expression.strip("() "))
    if "AND" in expression:
        return [word.strip("() ") for word in re.split(r"\s+(?:AND|OR)\s+", expression)]
    offered = [word for word in CHOSEN if word in words]
    if not offered:
        sys.exit(f"notice.py: no licence of {expression!r} is among those that are chosen")
    return offered[:1]


def texts(package, licences):
    """The files of a package that say how it may be used: those of its licences, and all other notices."""
    folder = pathlib.Path(package["manifest_path"]).parent
    files = [path for path in folder.rglob("*") if path.is_file()]
    named = re.compile(r"(licen[cs]e|copying|copyright|notice|unlicense)", re.I)
    ours = [path for path in files if named.match(path.name) and path.suffix not in (".rs", ".html", ".py")]
    marks = {"MIT": "mit", "Apache-2.0": "apache", "Zlib": "zlib", "BSD-3-Clause": "bsd", "BSD-2-Clause": "bsd", "ISC": "isc",
             "Unlicense": "unlicense", "Unicode-3.0": "unicode", "CC0-1.0": "cc0", "MIT-0": "mit-0"}
    others = {mark for name, mark in marks.items() if name not in licences}
    kept = []
    for path in sorted(ours):
        is_top = path.parent == folder
        if is_top and any(mark in path.name.lower() for mark in others):
            continue
        # A test's or example's own files end in no program.
        if {"tests", "test", "examples", "benches", "fuzz"} & set(path.relative_to(folder).parts):
            continue
        kept.append((str(path.relative_to(folder)), path.read_text(encoding="utf-8", errors="replace")))
    return kept


def parted(text):
    """The copyright lines of a text, and the rest of it."""
    lines = [line.rstrip() for line in text.replace("\r\n", "\n").split("\n")]
    is_own = re.compile(r"^\s*(Copyright|COPYRIGHT|\(c\)|©)\s+(\([cC]\)|©|\d|[A-Z])")
    own = [line.strip() for line in lines if is_own.match(line) and "[yyyy]" not in line and "notice" not in line.lower() and "You must" not in line]
    rest = "\n".join(line for line in lines if line.strip() not in own).strip()
    return own, rest


def page():
    rows, appendix = [], {}
    for package in packages():
        licences = chosen(package["license"])
        own, uses = [], []
        for name, text in texts(package, licences):
            lines, rest = parted(text)
            own += [line for line in lines if line not in own]
            key = re.sub(r"\W+", " ", rest).lower().strip()
            if key not in appendix:
                appendix[key] = (len(appendix) + 1, rest)
            number = appendix[key][0]
            uses.append(f"{number}" if "/" not in name else f"{number} ({name})")
        if not uses:
            uses = [f"{' and '.join(licences)}, of which it brings no text"]
        rows.append(f"- **{package['name']}** {package['version']}, {' and '.join(licences)}: text {', '.join(dict.fromkeys(uses))}")
        rows += [f"  - {line}" for line in own]
    parts = [HEAD, "## Packages", "\n".join(rows), "## Texts"]
    for number, rest in appendix.values():
        parts.append(f"### {number}\n\n```text\n{rest.replace('```', '` ` `')}\n```")
    return "\n\n".join(part.strip() for part in parts) + "\n"


made = page()
if "FOXIT" not in made.upper():
    sys.exit("notice.py: the notice of the fonts for PDF pages is missing")
if "--check" in sys.argv[1:]:
    if not PAGE.exists() or PAGE.read_text(encoding="utf-8") != made:
        sys.exit("notice.py: tests/supply/THIRD-PARTY.md isn't what the packages say; python3 tests/supply/notice.py writes it")
else:
    PAGE.write_text(made, encoding="utf-8")
