"""Opens printed sheets in a real browser, prints each, and audits the PDF.

A sheet asks for nothing, says nothing on the console, and doesn't scroll sideways at 375 px. Printed on A4 and on US
Letter the card begins a page of its own, and an audit of the PDF by its package finds nothing.

Usage: printed.py PROGRAM CATALOG PAGE...
"""

import json
import pathlib
import shutil
import subprocess
import sys

from playwright.sync_api import sync_playwright


def audit(program, catalog, pdf, package):
    asked = [program, "audit", catalog, str(pdf), "--package", package, "--format", "json", "--as-of", "2026-07-01"]
    report = json.loads(subprocess.run(asked, capture_output=True, text=True, check=False).stdout)
    found = [(one["level"], one["rule"], one["message"]) for one in report["findings"]]
    assert found == [], f"{pdf}: {found}"
    assert any(one["package"] == package and one["claims"] > 10 for one in report["sheets"]), f"{pdf}: it was not read"


def hold(browser, program, catalog, path):
    page = browser.new_page(viewport={"width": 1200, "height": 900})
    said, asked = [], []
    page.on("console", lambda message: said.append(message.text))
    page.on("request", lambda request: asked.append(request.url))
    url = path.resolve().as_uri()
    page.goto(url, wait_until="load")
    assert said == [] and asked == [url], f"{path}: {said} {asked}"
    page.set_viewport_size({"width": 375, "height": 740})
    wide = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
    assert wide[0] <= wide[1], f"{path}: {wide}"
    for paper in ("A4", "Letter"):
        pdf = path.with_name(f"{path.stem}-{paper}.pdf")
        page.pdf(path=str(pdf), format=paper)
        audit(program, catalog, pdf, path.stem)
    page.close()
    print(f"{path}: printed and audited")


def main():
    program, catalog, *pages = sys.argv[1:]
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium") or shutil.which("chromium-browser"), args=["--no-sandbox"])
        for page in pages:
            hold(browser, program, catalog, pathlib.Path(page))
        browser.close()


main()
