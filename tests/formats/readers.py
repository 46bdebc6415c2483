"""Opens the reports of one run with readers that aren't ours, and holds what they read to one another.

- JSON: our schema by jsonschema, the reference implementation of the language;
- SARIF: the OASIS schema of 2.1.0 (the crate serde-sarif carries it), and two readers: that of sarif-tools and the object
  model of sarif-pydantic;
- JUnit: two readers, junitparser and junit2html's;
- Markdown: cmark-gfm, the renderer that a forge's comments go through;
- code quality: as JSON, with the keys that its forge names;
- workflow commands: as lines.

HTML is opened by tests/browser/page.py.

Usage: readers.py AUDIT-SCHEMA SARIF-SCHEMA FOLDER...
(each FOLDER holds r.json, r.sarif, r.xml, r.md, issues.json and log of one run)
"""

import json
import pathlib
import re
import sys
import time

import cmarkgfm
import jsonschema
import junitparser
from cmarkgfm.cmark import Options
from junit2htmlreport.parser import Junit
from sarif import loader
from sarif_pydantic import Sarif

MOST_RESULTS = 5000
MOST_CHARACTERS = 65000


def validator(path):
    schema = json.loads(pathlib.Path(path).read_text())
    kind = jsonschema.validators.validator_for(schema)
    kind.check_schema(schema)
    return kind(schema)


def audit_json(path, schema):
    report = json.loads(path.read_text())
    schema.validate(report)
    # The check itself.
    assert not schema.is_valid(dict(report, findings=[], verdicts=[], summary=dict(report["summary"], errors="none")))
    return report


def levels(findings):
    counts = {"error": 0, "warning": 0, "note": 0}
    for one in findings:
        counts[one["level"]] += 1
    return counts


def sarif_report(path, report, schema):
    text = path.read_text()
    schema.validate(json.loads(text))
    assert not schema.is_valid({"version": "2.1.0", "runs": [{"results": []}]})
    read = loader.load_sarif_file(str(path))
    results = read.get_results()
    left_out = json.loads(text)["runs"][0]["properties"].get("resultsLeftOut", 0)
    assert len(results) == min(len(report["findings"]), MOST_RESULTS), len(results)
    assert len(results) + left_out == len(report["findings"])
    model = Sarif.model_validate_json(text)
    (run,) = model.runs
    assert len(run.results) == len(results)
    by_model = {level: 0 for level in ("error", "warning", "note")}
    for one in run.results:
        by_model[getattr(one.level, "value", one.level)] += 1
    told = levels(report["findings"])
    # Cut, the gravest are all there before any other is.
    assert by_model["error"] == min(told["error"], MOST_RESULTS), (by_model, told)
    if not left_out:
        assert by_model == told, (by_model, told)
    return f"{len(results)} results, {left_out} left out"


def junit_report(path, report):
    first = junitparser.JUnitXml.fromfile(str(path))
    cases = [(case.classname, case.name) for suite in first for case in suite]
    assert len(set(cases)) == len(cases), "two cases of one class have one name"
    failed = sum(suite.failures for suite in first)
    second = Junit(filename=str(path))
    again = [case for suite in second.suites for case in suite.all()]
    assert len(again) == len(cases) >= report["summary"]["packages"]
    assert sum(case.failed() for case in again) == failed
    assert (failed > 0) == (report["summary"]["errors"] > 0)
    return f"{len(cases)} cases, {failed} of them failed"


def markdown_report(path, report):
    text = path.read_text()
    assert len(text) <= MOST_CHARACTERS, len(text)
    page = cmarkgfm.github_flavored_markdown_to_html(text, Options.CMARK_OPT_UNSAFE)
    headings = re.findall(r"<h([1-6])>(.*?)</h", page)
    assert headings[0][0] == "2" and headings[0][1].startswith("Audit of "), headings[:1]
    assert not re.search(r"<(script|img|a|iframe)\b", page)
    shown = page.count("<li>")
    cut = re.search(r"cut at \d+ characters: (\d+) finding", page)
    left_out = int(cut.group(1)) if cut else 0
    assert shown + left_out >= len(report["findings"]), (shown, left_out)
    # The gravest first.
    told = re.findall(r"<li>(?:<strong>)?(error|warning|note)\b", page)
    assert "error" not in told[told.count("error"):] or report["summary"]["waived"], "an error after what is milder"
    return f"{shown} findings, {left_out} left out"


def code_quality(path, report):
    issues = json.loads(path.read_text())
    assert len(issues) == len(report["findings"])
    assert len({one["fingerprint"] for one in issues}) == len(issues)
    for one in issues:
        assert one["location"]["lines"]["begin"] >= 1 and one["severity"] in ("info", "minor", "major", "critical", "blocker")
    return f"{len(issues)} issues"


def workflow_commands(path, report):
    lines = path.read_text().splitlines()
    command = re.compile(r"^::(error|warning|notice) file=[^,]+(,(line|col|endLine|endColumn)=\d+)*,title=[^,]+::.")
    read = [line for line in lines if line.startswith("::")]
    assert all(command.match(line) for line in read)
    assert len(read) == len(report["findings"])
    assert lines[-1].startswith("Audited ")
    return f"{len(read)} commands"


def main():
    own, oasis = validator(sys.argv[1]), validator(sys.argv[2])
    for folder in map(pathlib.Path, sys.argv[3:]):
        report = audit_json(folder / "r.json", own)
        print(f"{folder.name}: JSON: {len(report['findings'])} findings, {len(report['verdicts'])} verdicts, valid by our schema")
        for name, file, read in (
            ("SARIF", "r.sarif", lambda path, report: sarif_report(path, report, oasis)),
            ("JUnit", "r.xml", junit_report),
            ("Markdown", "r.md", markdown_report),
            ("code quality", "issues.json", code_quality),
            ("workflow commands", "log", workflow_commands),
        ):
            began = time.monotonic()
            says = read(folder / file, report)
            print(f"{folder.name}: {name}: {says} ({time.monotonic() - began:.1f} s)")


main()
