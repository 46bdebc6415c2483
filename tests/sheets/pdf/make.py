"""Makes the four PDF sheets beside this file, each with another maker, so that the reader meets four ways to place text.

    python3 -m pip install reportlab==4.2.5 fpdf2==2.8.9 weasyprint==70.0
    python3 make.py             # all four
    python3 make.py 01 03       # some of them

`02` also needs a `chromium` on the path, `04` the fonts "DejaVu Sans" and "DejaVu Serif". The files bear one fixed day in place of the day of
their making, so the same versions of the makers give the same bytes; another version of a maker gives other bytes and
the same words. The marks in the `.claims` files hold for the words and name the page (`p1`) where a text file's marks
name the line. Seller, packages and figures are invented.
"""

import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).parent


def two_columns(path):
    """A data sheet in two columns, by ReportLab: the lines of the left and the right column stand at equal heights."""
    from reportlab.lib import colors
    from reportlab.lib.pagesizes import letter
    from reportlab.lib.styles import ParagraphStyle
    from reportlab.platypus import BaseDocTemplate, Frame, FrameBreak, PageTemplate, Paragraph, Spacer, Table

    body = ParagraphStyle("body", fontName="Helvetica", fontSize=9.5, leading=13, spaceAfter=6)
    head = ParagraphStyle("head", parent=body, fontName="Helvetica-Bold", fontSize=12, leading=16, spaceBefore=8)
    small = ParagraphStyle("small", parent=body, fontSize=7.5, leading=9.5)

    def furniture(canvas, _):
        canvas.setFont("Helvetica-Bold", 20)
        canvas.drawString(54, 730, "Weir Double")
        canvas.setFont("Helvetica", 9)
        canvas.drawRightString(558, 730, "Otter Mill Water  |  data sheet DS-1180, rev. 3")
        canvas.drawString(54, 36, "Call 555-0150")
        canvas.drawRightString(558, 36, "Page 1 of 1")

    document = BaseDocTemplate(str(path), pagesize=letter, invariant=1, title="Weir Double", author="Otter Mill Water")
    left = Frame(54, 54, 243, 660, id="left", leftPadding=0, rightPadding=0)
    right = Frame(315, 54, 243, 660, id="right", leftPadding=0, rightPadding=0)
    document.addPageTemplates(PageTemplate(id="two", frames=[left, right], onPage=furniture))

    rows = [
        ["Supply", "115 V, 60 Hz"],
        ["Running current", "1.35 A"],
        ["Power at 10 ft", "128 W"],
        ["Air at 10 ft", "2.7 cfm"],
        ["Air at 6 ft", "3.1 cfm"],
        ["Max. continuous pressure", "8.5 psi"],
        ["Sound at 10 ft", "43 dB(A)"],
        ["Ambient", "10 to 105 \u00b0F"],
        ["Cabinet", "17 x 15 x 13 in"],
        ["Cord", "6 ft"],
        ["Shipping weight", "54 lb"],
    ]
    table = Table(rows, colWidths=[135, 108], rowHeights=16)
    table.setStyle([("FONT", (0, 0), (-1, -1), "Helvetica", 9), ("LINEBELOW", (0, 0), (-1, -1), 0.3, colors.grey)])
    document.build(
        [
            Paragraph("What it is for", head),
            Paragraph(
                "Ponds of up to <b>\u00be acre</b> that are not deeper than <b>11 ft</b>. The compressor stays on the shore; "
                "two weighted diffusers lie on the bottom, each at the end of its own airline.",
                body,
            ),
            Paragraph("In the carton", head),
            Paragraph("\u2022 cabinet with compressor, filter and gauge (0\u201315 psi)", body),
            Paragraph("\u2022 2 disc diffusers, 10 in across, 12 lb each", body),
            Paragraph("\u2022 2 x 100 ft of 1/2 in self-sinking airline", body),
            Paragraph("Looking after it", head),
            Paragraph(
                "Rinse the filter every 3 months; it lasts about two years. Change the diaphragms every 18 months. "
                "We stand behind the package for three years.",
                body,
            ),
            FrameBreak(),
            Paragraph("Figures", head),
            table,
            Spacer(0, 10),
            Paragraph("Cost", head),
            Paragraph("Price $865.00. Run day and night it adds about $13 a month to a bill at 14 cents per kWh.", body),
            Spacer(0, 10),
            Paragraph(
                "Mains near water: have a licensed electrician fit a GFCI outlet, to local code. Ice over moving water "
                "is thin; keep 50 ft away.",
                small,
            ),
        ]
    )


WEB_PAGE = """<!DOCTYPE html>
<html lang="en-GB"><head><meta charset="utf-8"><title>Dipper Twin</title>
<style>
@page { size: A4; margin: 18mm }
body { font: 11pt "DejaVu Sans", sans-serif }
nav a { margin-right: 1em } .hero { display: flex; gap: 8mm } .hero div { flex: 1; border: 1px solid #999; padding: 3mm; text-align: center }
.hero b { display: block; font-size: 20pt } table { border-collapse: collapse; width: 100% } td, th { border-bottom: 1px solid #bbb; padding: 1.5mm; text-align: left }
.tail { font-size: 8pt; color: #444 } script { display: none }
</style></head><body>
<nav><a href="#">Home</a><a href="#">Ponds</a><a href="#">Basket (1)</a></nav>
<h1>Dipper Twin</h1>
<p>For waters of up to 800&nbsp;m&sup2;, and down to 2&frac12;&nbsp;m.</p>
<div class="hero"><div><b>55&nbsp;W</b>power</div><div><b>70&nbsp;l/min</b>air at 2&nbsp;m</div><div><b>37&nbsp;dB(A)</b>at 1&nbsp;m</div></div>
<h2>Details</h2>
<table>
<tr><th>Mains</th><td>230&nbsp;V, 50&nbsp;Hz</td></tr>
<tr><th>Working pressure</th><td>22&ndash;27&nbsp;kPa</td></tr>
<tr><th>Diffusers</th><td>2 tubes, 400&nbsp;mm long</td></tr>
<tr><th>Airline per diffuser</th><td>30&nbsp;m of 13&nbsp;mm bore</td></tr>
<tr><th>Running cost</th><td>about &pound;10.80 a month<sup>1</sup></td></tr>
<tr><th>Weight</th><td>9.4&nbsp;kg</td></tr>
<tr><th>Size of the case</th><td>330 &times; 250 &times; 240&nbsp;mm</td></tr>
<tr><th>Guarantee</th><td>3 years</td></tr>
<tr><th>Price</th><td>&pound;512.00 inc. VAT</td></tr>
</table>
<p class="tail"><sup>1</sup> at 27p/kWh, 24 hours a day. Delivery &pound;9.95, free over &pound;100. Ask a qualified electrician about the RCD.
Order code DT-0800, telephone 01632 960133.</p>
<script>document.title = "Dipper Twin, 999 W";</script>
</body></html>
"""


def printed_web_page(path):
    """A web page printed by Chromium: glyphs of an embedded subset, each run placed by itself."""
    browser = shutil.which("chromium") or shutil.which("chromium-browser")
    if browser is None:
        sys.exit("02 needs a chromium on the path")
    with tempfile.TemporaryDirectory() as folder:
        page = pathlib.Path(folder, "page.html")
        page.write_text(WEB_PAGE, encoding="utf-8")
        subprocess.run(
            [
                browser,
                "--headless",
                "--no-sandbox",
                "--disable-gpu",
                f"--user-data-dir={folder}/profile",
                "--no-pdf-header-footer",
                f"--print-to-pdf={path}",
                page.as_uri(),
            ],
            check=True,
            stderr=subprocess.DEVNULL,
        )
    # The browser writes the day of printing; one day of the same length stands for all.
    made = path.read_bytes()
    path.write_bytes(re.sub(rb"D:\d{14}", b"D:20260101000000", made))


PAPER = [
    (
        "1  Purpose",
        "This note describes the package Bittern Three as delivered from spring on. It is meant for still waters with a "
        "surface of 0.25 to 0.6 hectares. The three diffusers shall lie at a depth of not more than 3.5 metres, measured "
        "from the lowest level of the summer.",
    ),
    (
        "2  Air",
        "The compressor delivers 8.4 m\u00b3/h at a gauge pressure of 30 kPa. At 3 m the package as a whole, lines and "
        "diffusers included, yields 8.1 m\u00b3/h, which is 135 L/min. Each diffuser works between 30 and 60 L/min. The "
        "relief valve opens at 50 kPa. Water is moved at a rate of about 160 litres per second.",
    ),
    (
        "3  Current",
        "The motor is wired for 230 V and 50 Hz. Its input, taken when warm, is 150 W \u00b1 4 %, at a current of 0.9 A. At "
        "\u20ac0.29 per kWh and 24 hours a day the cost comes to some \u20ac32 a month. The circuit is to be protected by a "
        "residual-current device of 30 mA, and the work done by a qualified electrician.",
    ),
    (
        "4  Lines",
        "With the package come 120 m of airline, bore 13 mm, wall 3 mm. A single line may be as long as 70 m before a "
        "tenth of the air is lost. It is buried 40 cm deep where carts pass.",
    ),
    (
        "5  Sound, mass, upkeep",
        "At a distance of 1 m the level is 46 dB(A). The cabinet with all that is in it has a mass of 31 kg. The air "
        "filter is changed every six months, the diaphragms every 16,000 hours. All parts but the filter are under "
        "warranty for two years.",
    ),
]


def plain_paper(path):
    """A paper in one column of justified text, by fpdf2, in a viewer's own Times and with words broken at line ends."""
    import datetime

    from fpdf import FPDF

    pdf = FPDF(format="A5")
    pdf.set_creation_date(datetime.datetime(2026, 1, 1, tzinfo=datetime.timezone.utc))
    pdf.core_fonts_encoding = "windows-1252"
    pdf.set_title("The package Bittern Three")
    pdf.set_margins(18, 16)
    pdf.add_page()
    pdf.set_font("Times", size=15)
    pdf.cell(0, 9, "The package Bittern Three", align="C", new_x="LMARGIN", new_y="NEXT")
    pdf.set_font("Times", "I", 10)
    pdf.cell(0, 7, "Otter Mill Water, technical note 17", align="C", new_x="LMARGIN", new_y="NEXT")
    for title, text in PAPER:
        pdf.set_font("Times", "B", 11)
        pdf.cell(0, 8, title, new_x="LMARGIN", new_y="NEXT")
        pdf.set_font("Times", size=10)
        for long, broken in [
            ("compressor", "com\u00adpres\u00adsor"),
            ("delivers", "de\u00adliv\u00aders"),
            ("diffuser", "dif\u00adfus\u00ader"),
            ("qualified", "qual\u00adi\u00adfied"),
            ("electrician", "elec\u00adtri\u00adcian"),
            ("residual", "re\u00adsid\u00adual"),
            ("diaphragms", "di\u00ada\u00adphragms"),
            ("distance", "dis\u00adtance"),
            ("measured", "mea\u00adsured"),
            ("hectares", "hec\u00adtares"),
            ("metres", "me\u00adtres"),
            ("litres", "li\u00adtres"),
        ]:
            text = text.replace(long, broken)
        pdf.multi_cell(0, 5, text, align="J", new_x="LMARGIN", new_y="NEXT")
    pdf.set_y(-16)
    pdf.set_font("Times", size=9)
    pdf.set_auto_page_break(False)
    pdf.cell(0, 6, "\u2013 1 \u2013", align="C")
    pdf.output(str(path))


def rows_of_the_range():
    """Name, depth in ft, area in acres, diffusers, watts, cfm at 8 ft, sound in dBA, weight in lb, price in dollars."""
    return [
        ("Rill One", 8, "1/8", 1, 40, "1.2", 36, 21, 319),
        ("Rill Two", 8, "1/4", 2, 78, "2.2", 39, 36, 498),
        ("Weir One", 12, "1/3", 1, 95, "1.9", 40, 33, 545),
    ]


def rows_of_the_second_page():
    return [
        ("Weir Four", 12, "1 1/4", 4, 330, "7.2", 45, 98, 1480),
        ("Alder Four", 18, "2", 4, 560, "8.8", 51, 164, 2210),
    ]


def two_pages(path):
    """A range over two pages, by WeasyPrint: one table that is broken, its headings repeated on the second page."""
    from weasyprint import HTML

    def line(row):
        name, depth, area, count, watts, air, sound, weight, price = row
        return (
            f"<tr><th>{name}</th><td>{depth}</td><td>{area}</td><td>{count}</td><td>{watts}</td><td>{air}</td>"
            f"<td>{sound}</td><td>{weight}</td><td>${price:,}</td></tr>"
        )

    first = "".join(map(line, rows_of_the_range()))
    second = "".join(map(line, rows_of_the_second_page())).replace("<tr>", '<tr class="over">', 1)
    HTML(
        string=f"""<html lang="en-US"><head><title>The range</title><style>
@page {{ size: letter landscape; margin: 20mm; @bottom-right {{ content: "page " counter(page) " of " counter(pages); font: 8pt "DejaVu Sans" }}
  @bottom-left {{ content: "Otter Mill Water, dealer list 41, 555-0150"; font: 8pt "DejaVu Sans" }} }}
body {{ font: 10pt "DejaVu Serif" }} table {{ width: 100%; border-collapse: collapse }} td, th {{ border: 0.3pt solid #666; padding: 2mm; text-align: right }}
tbody th {{ text-align: left }} tr.over {{ break-before: page }}
</style></head><body>
<h1>Five packages and what each can do</h1>
<p>All five run on 115&nbsp;V, 60&nbsp;Hz. Sizes are what we rate them for, not what a good year lets you get away with.</p>
<table><thead><tr><th>Package</th><th>Max. depth (ft)</th><th>Max. pond area (acres)</th><th>Diffusers</th><th>Watts</th>
<th>Air at 8 ft (cfm)</th><th>Sound at 10 ft (dBA)</th><th>Ship weight (lb)</th><th>Price</th></tr></thead>
<tbody>{first}{second}</tbody></table>
<p>Every package has a warranty of 3 years and a filter to be changed every 6 months. Freight is $60 below 100 lb; orders over $2,500 ship free.</p>
<p>A licensed electrician should fit the GFCI outlet. Stay off the ice.</p>
</body></html>"""
    ).write_pdf(str(path), pdf_identifier=b"nameplate-range1")


SHEETS = {
    "01-two-columns.pdf": two_columns,
    "02-printed-web-page.pdf": printed_web_page,
    "03-plain-paper.pdf": plain_paper,
    "04-two-pages.pdf": two_pages,
}

if __name__ == "__main__":
    for name, make in SHEETS.items():
        if len(sys.argv) == 1 or name[:2] in sys.argv[1:]:
            make((HERE / name).resolve())
