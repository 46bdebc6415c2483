"""Opens HTML reports in a real browser and holds them to what a reader needs.

For each page: it opens within a second, says nothing on the console and asks for nothing; nothing
scrolls sideways at 375 px; every picture has a text alternative; the keyboard reaches what can be
used; and the rules of axe-core for WCAG 2.2 A and AA hold in light and dark, contrast of text among
them. With --shots FOLDER it writes what it saw: light, dark, narrow and print.

Usage: page.py [--shots FOLDER] PAGE...
"""

import argparse
import json
import pathlib
import shutil
import sys
import time

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import sync_playwright

NARROW = {"width": 375, "height": 740}
WIDE = {"width": 1200, "height": 900}
RULES = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}}


def overflow(page):
    """Elements that reach beyond the right edge of the page."""
    return page.evaluate(
        """() => {
            const wide = document.documentElement.clientWidth;
            const out = [...document.querySelectorAll('body *')].filter(e => {
                const box = e.getBoundingClientRect();
                return box.width > 0 && box.right > wide + 1 && getComputedStyle(e).position !== 'absolute' && !e.closest('svg, thead');
            });
            return [document.documentElement.scrollWidth, wide, out.slice(0, 5).map(e => e.outerHTML.slice(0, 120))];
        }"""
    )


def unnamed(page):
    """Pictures without a title and a description of some length."""
    return page.evaluate(
        """() => [...document.querySelectorAll('svg, img')].filter(e => {
            const told = name => (e.getAttribute(name) || '').split(' ').map(id => document.getElementById(id)?.textContent || '').join('');
            return e.getAttribute('role') !== 'img' || told('aria-labelledby').length < 5 || told('aria-describedby').length < 20;
        }).map(e => e.id)"""
    )


def hold(browser, path, shots):
    url = path.resolve().as_uri()
    context = browser.new_context(viewport=WIDE)
    page = context.new_page()
    said, asked = [], []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("request", lambda request: asked.append(request.url))
    page.on("dialog", lambda dialog: (said.append("dialog"), dialog.dismiss()))
    began = time.monotonic()
    page.goto(url, wait_until="load")
    took = time.monotonic() - began
    assert took < 1.0, f"{path}: it took {took:.2f} s to open"
    assert said == [], f"{path}: {said}"
    assert asked == [url], f"{path}: it asks for {asked}"
    assert page.evaluate("document.scripts.length") == 0
    figures = page.locator("figure").count()
    assert unnamed(page) == [], f"{path}: {unnamed(page)}"
    # The keyboard goes from the skip link on, and every stop can be seen.
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    assert page.evaluate("location.hash") == "#main"
    for name, viewport in (("wide", WIDE), ("narrow", NARROW)):
        page.set_viewport_size(viewport)
        # With what is folded open too.
        page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
        scroll, client, beyond = overflow(page)
        assert scroll <= client and not beyond, f"{path}, {name}: {scroll} of {client} px, {beyond}"
    context.close()
    for scheme in ("light", "dark"):
        # axe-core is put into the page, which the page's own policy rightly refuses.
        context = browser.new_context(viewport=WIDE, color_scheme=scheme, bypass_csp=True)
        page = context.new_page()
        page.goto(url)
        page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
        found = Axe().run(page, options=RULES).response
        bad = [(rule["id"], rule["help"], [node["html"][:160] for node in rule["nodes"][:3]]) for rule in found["violations"]]
        assert bad == [], f"{path}, {scheme}: {json.dumps(bad, indent=1)}"
        checked = {rule["id"] for rule in found["passes"]}
        assert "color-contrast" in checked, sorted(checked)
        context.close()
    if shots:
        shots.mkdir(parents=True, exist_ok=True)
        for name, viewport, scheme, media in (
            ("light", WIDE, "light", "screen"),
            ("dark", WIDE, "dark", "screen"),
            ("narrow", NARROW, "light", "screen"),
            ("print", {"width": 794, "height": 1123}, "light", "print"),
        ):
            context = browser.new_context(viewport=viewport, color_scheme=scheme)
            page = context.new_page()
            page.emulate_media(media=media, color_scheme=scheme)
            page.goto(url)
            page.screenshot(path=shots / f"{path.stem}-{name}.png", full_page=True)
            if media == "print":
                page.pdf(path=shots / f"{path.stem}.pdf", format="A4")
            context.close()
    return took, figures


def seen_by_the_checks(browser):
    """The checks themselves see what they are there for."""
    context = browser.new_context(viewport=NARROW)
    page = context.new_page()
    page.set_content("<p style='width:900px'>wide</p><svg role='img'></svg>")
    scroll, client, beyond = overflow(page)
    assert scroll > client and beyond
    assert unnamed(page) == [""]
    page.set_content("<html lang='en'><title>t</title><main><h1 style='color:#999;background:#fff'>pale</h1></main>")
    found = Axe().run(page, options=RULES).response["violations"]
    assert any(rule["id"] == "color-contrast" for rule in found), found
    context.close()


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--shots", type=pathlib.Path)
    parser.add_argument("pages", nargs="+", type=pathlib.Path)
    arguments = parser.parse_args()
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        sys.exit("page.py: chromium isn't on the PATH")
    with sync_playwright() as tools:
        browser = tools.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        seen_by_the_checks(browser)
        for path in arguments.pages:
            took, figures = hold(browser, path, arguments.shots)
            print(f"{path.name}: opens in {took:.2f} s, {figures} pictures, {path.stat().st_size // 1024} KiB")
        browser.close()


if __name__ == "__main__":
    main()
