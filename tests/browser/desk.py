"""Visits the desk in a real browser: a whole visit in each room, with keyboard and pointer, with and without scripts.

In each room nothing is asked of anybody but the desk, no cookie is kept, nothing is said on the console, nothing
scrolls sideways at 375 px, and the rules of page.py for accessibility hold in light and dark, with an answer and without.

Usage: desk.py [--shots FOLDER] PROGRAM CATALOG
"""

import argparse
import json
import pathlib
import shutil
import subprocess
import time
from urllib.parse import urlsplit

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import sync_playwright

from page import NARROW, RULES, WIDE, overflow


class Visit:
    """A page that is watched."""

    def __init__(self, browser, url, shots, **how):
        self.context = browser.new_context(**{"viewport": WIDE, **how})
        self.page = self.context.new_page()
        self.url, self.shots, self.said = url, shots, []
        own = urlsplit(url).netloc
        self.page.on("console", lambda message: self.said.append(f"{message.text} {message.location}"))
        self.page.on("pageerror", lambda error: self.said.append(str(error)))
        self.page.on("request", lambda request: urlsplit(request.url).netloc == own or self.said.append(request.url))
        self.page.on("dialog", lambda dialog: (self.said.append("dialog"), dialog.dismiss()))

    def go(self, path):
        self.page.goto(self.url + path, wait_until="load")

    def hold(self, name):
        """What must be so of any page."""
        page = self.page
        page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
        for width, viewport in (("wide", WIDE), ("narrow", NARROW)):
            page.set_viewport_size(viewport)
            scroll, client, beyond = overflow(page)
            assert scroll <= client and not beyond, f"{name}, {width}: {scroll} of {client} px, {beyond}"
            for scheme in ("light", "dark"):
                page.emulate_media(color_scheme=scheme)
                if self.shots:
                    self.shots.mkdir(parents=True, exist_ok=True)
                    page.screenshot(path=self.shots / f"{name}-{width}-{scheme}.png", full_page=True)
                if width == "wide" and self.axe:
                    found = Axe().run(page, options=RULES).response
                    bad = [(rule["id"], rule["help"], [node["html"][:160] for node in rule["nodes"][:3]]) for rule in found["violations"]]
                    assert bad == [], f"{name}, {scheme}: {json.dumps(bad, indent=1)}"
                    assert "color-contrast" in {rule["id"] for rule in found["passes"]}
        page.set_viewport_size(WIDE)
        assert self.said == [], f"{name}: {self.said}"
        assert self.context.cookies() == []

    axe = False


class Axed(Visit):
    """axe-core is put into the page, which the desk's own policy rightly refuses."""

    axe = True

    def __init__(self, browser, url, shots):
        super().__init__(browser, url, shots, bypass_csp=True)


def pond(visit):
    page = visit.page
    visit.go("")
    assert page.url.endswith("/pond")
    visit.hold("pond")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    assert page.evaluate("location.hash") == "#main"
    # By the keyboard alone: a depth, an outline of four corners, the question.
    page.locator("#depth").focus()
    page.keyboard.type("1.7 m")
    page.locator("details > summary").first.focus()
    if not page.evaluate("document.querySelector('details').open"):
        page.keyboard.press("Enter")
    page.locator("svg.draw").focus()
    for moves in (["Shift+ArrowLeft"], ["Shift+ArrowRight"] * 3, ["Shift+ArrowUp"] * 2, ["Shift+ArrowLeft"] * 3):
        for key in moves:
            page.keyboard.press(key)
        page.keyboard.press("Enter")
    page.keyboard.press("Enter")
    page.keyboard.press("Backspace")
    assert page.locator("#outline").input_value() == "50, 40\n80, 40\n80, 60\n50, 60"
    page.locator("#cabinet").fill("45, 38")
    page.locator("#tariff").fill("0.31 EUR/kWh")
    page.locator("#tariff").press("Enter")
    page.locator("#answer svg#plan").wait_for()
    assert "600 m2" in page.locator("#answer .lead").inner_text()
    assert page.locator("#state").inner_text() == "Answered"
    assert page.evaluate("document.activeElement.id") == "answer"
    visit.hold("pond-answered")
    # By the pointer.
    page.locator("#outline").fill("")
    page.locator("svg.draw").scroll_into_view_if_needed()
    box = page.locator("svg.draw").bounding_box()
    for x, y in ((0.2, 0.8), (0.6, 0.8), (0.6, 0.3), (0.3, 0.2)):
        page.mouse.click(box["x"] + x * box["width"], box["y"] + y * box["height"])
    assert page.locator("#outline").input_value().count("\n") == 3
    # What is wrong is said, and the form is kept.
    page.locator("#depth").fill("deep")
    page.locator("form#asked button:not(.second)").click()
    page.locator("#answer [role=alert]").wait_for()
    assert page.locator("#depth").input_value() == "deep"


def catalog(visit):
    page = visit.page
    visit.go("catalog")
    assert page.locator("#main .promises").count() > 0
    visit.hold("catalog")
    page.locator("#package").select_option("mill-pair")
    page.get_by_role("button", name="Vary it").click()
    page.locator("#answer svg").wait_for()
    visit.hold("what-if")
    before = page.locator("#answer polyline.case").first.get_attribute("points")
    page.locator("#bore").focus()
    began = time.monotonic()
    for _ in range(6):
        page.keyboard.press("ArrowLeft")
    page.wait_for_function("before => document.querySelector('#answer polyline.case')?.getAttribute('points') !== before", arg=before)
    took = time.monotonic() - began
    assert page.evaluate("document.activeElement.id") == "bore"
    assert page.locator("output[for=bore]").inner_text().endswith("mm")
    return took


def without_scripts(visit):
    page = visit.page
    visit.go("pond")
    page.locator("#area").fill("650 m2")
    page.locator("#depth").fill("1.7 m")
    page.get_by_role("button", name="Which package serves?").click()
    assert page.locator("#answer .lead").inner_text().startswith("mill-")
    assert page.locator("#area").input_value() == "650 m2"
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save the order").click()
    assert saved.value.suggested_filename == "order.csv"
    visit.go("whatif?package=mill-pair")
    page.locator("#vary").select_option("run")
    page.get_by_role("button", name="Calculate").click()
    assert "run" in page.locator("#answer svg title").text_content()
    assert visit.said == [] and visit.context.cookies() == []


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--shots", type=pathlib.Path)
    parser.add_argument("program")
    parser.add_argument("catalog")
    arguments = parser.parse_args()
    desk = subprocess.Popen([arguments.program, "desk", arguments.catalog], stdout=subprocess.PIPE, text=True)
    try:
        url = desk.stdout.readline().split()[-1]
        chromium = shutil.which("chromium") or shutil.which("chromium-browser")
        with sync_playwright() as tools:
            browser = tools.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
            # Once under the desk's own policy, once with the rules for accessibility.
            pond(Visit(browser, url, None))
            pond(Axed(browser, url, arguments.shots))
            took = catalog(Visit(browser, url, None))
            catalog(Axed(browser, url, arguments.shots))
            without_scripts(Visit(browser, url, None, java_script_enabled=False))
            browser.close()
        print(f"desk: rooms pond and catalog visited; six steps of a slider were drawn in {took:.2f} s")
    finally:
        desk.terminate()


if __name__ == "__main__":
    main()
