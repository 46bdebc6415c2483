"""Makes the two PDF sheets beside this file.

    python3 -m pip install cairocffi==1.7.1 fpdf2==2.8.9 reportlab==4.2.5
    python3 make.py

`19` also needs the cairo library and the font "DejaVu Sans"; `20` embeds the Vera font that comes with ReportLab. The
files bear a fixed day, not that of their making, so the same versions give the same bytes. Seller, packages and figures are invented.
"""

import datetime
import pathlib

HERE = pathlib.Path(__file__).parent


def bench_report(path):
    """A form filled in by a test bench, drawn by cairo: labels, values and table cells are placed one by one."""
    import cairocffi as cairo

    surface = cairo.PDFSurface(str(path), 595, 842)
    surface.set_metadata(cairo.PDF_METADATA_TITLE, "Bench report, Sallow Two")
    surface.set_metadata(cairo.PDF_METADATA_CREATE_DATE, "2026-01-01T00:00:00Z")
    ink = cairo.Context(surface)

    def put(x, y, text, size=9.5, bold=False):
        ink.select_font_face("DejaVu Sans", cairo.FONT_SLANT_NORMAL, cairo.FONT_WEIGHT_BOLD if bold else cairo.FONT_WEIGHT_NORMAL)
        ink.set_font_size(size)
        ink.move_to(x, y)
        ink.show_text(text)

    def rule(y, left=50, right=545):
        ink.set_line_width(0.4)
        ink.move_to(left, y)
        ink.line_to(right, y)
        ink.stroke()

    put(50, 62, "OTTER MILL WATER", 11, True)
    put(380, 62, "Bench report 26/0338", 11)
    rule(70)
    # All values first and their labels after them, as some programs write their forms.
    form = [
        ("Package", "Sallow Two"),
        ("Supply", "230 V, 50 Hz"),
        ("Diffusers", "2 plates, 250 mm square"),
        ("Airline", "2 × 20 m, 12.7 mm bore"),
        ("Greatest depth", "3 m"),
        ("Continuous pressure, max.", "40 kPa"),
        ("Level at 1 m", "42 dB(A)"),
        ("Mass", "14.6 kg"),
    ]
    for number, (_, value) in enumerate(form):
        put(220, 96 + 18 * number, value, bold=True)
    for number, (label, _) in enumerate(form):
        put(50, 96 + 18 * number, label)

    put(50, 270, "Air and input against pressure", 11, True)
    columns = [60, 170, 280, 390]
    for x, text in zip(columns, ["Pressure", "Free air", "Input", "Current"]):
        put(x, 294, text, bold=True)
    for x, text in zip(columns, ["kPa", "L/min", "W", "A"]):
        put(x, 308, text)
    rule(314)
    curve = [("10", "118", "96", "0.62"), ("20", "101", "104", "0.66"), ("30", "82.5", "111", "0.70"), ("40", "61", "116", "0.73")]
    for number, row in enumerate(curve):
        for x, text in zip(columns, row):
            put(x, 332 + 18 * number, text)
    rule(396)
    put(50, 416, "Barometer 1009 mbar, room 21 °C. Uncertainty of the flow ± 1.5 %. Meter no. F-07, calibrated 02/2026.", 8)

    put(50, 452, "In the water", 11, True)
    put(50, 472, "With both plates at 3 m the package delivered 78 L/min in all, and 92 L/min at 2 m.")
    put(50, 488, "We rate it for ponds of 1 000 m² at the most. Test basin: 12 m × 8 m × 3.2 m.")

    put(50, 524, "Judgement", 11, True)
    put(50, 544, "Passed. Warranty 36 months; filter every 4 months; first diaphragms at 20 000 h.")
    put(50, 560, "For connection by a qualified electrician behind an RCD.")
    put(50, 640, "Tester 3", 9)
    put(380, 640, "Sheet 1 of 1", 9)
    rule(628, 50, 200)
    surface.finish()


LEFT = [
    ("h", "Hello, pond owner."),
    ("p", "Your pond holds its breath all summer. Let it out."),
    ("p", "The Rill Kit sits in a flower bed no bigger than a shoebox and blows bubbles where they count: on the bottom."),
    ("h", "Too small for it?"),
    ("p", "A bathtub, yes. Anything from 500 to 3,000 sq ft is right, and down to 6' it'll reach."),
    ("h", "Too big for it?"),
    ("p", "A quarter acre is. Ask us for big brother."),
]
MIDDLE = [
    ("h", "What's in it"),
    ("p", "\u2022 a compressor of 29 W (115 V)"),
    ("p", "\u2022 one diffuser, 7\u00bd\" wide, 4 lb"),
    ("p", "\u2022 50' of \u00bc\" hose that sinks"),
    ("p", "\u2022 no manual. There's a cartoon."),
    ("h", "What it does"),
    ("p", "0.9 cfm at 5 feet. That stirs some 240 gallons a minute and goes through an average koi pond every three hours."),
    ("h", "What you hear"),
    ("p", "33 dBA at 10'. Crickets are 50."),
]
RIGHT = [
    ("h", "What it costs"),
    ("p", "Kit: $189"),
    ("p", "A month of bubbles: under $4, at 16\u00a2 a kWh"),
    ("p", "New filter, every 6 months: $5.95"),
    ("p", "Two-year warranty: nothing"),
    ("h", "Yes please"),
    ("p", "__ kit  __ kit and 25' of garden fence ($31)"),
    ("p", "Name ____________  ZIP _______"),
    ("p", "Mail by May 31, add $12 for the mailman."),
    ("p", "Otter Mill Water, 1420 Leat Lane. 555-0155"),
    ("p", "Outlets by the water: licensed electrician, GFCI. Ice by the bubbles: stay off."),
]


def leaflet(path):
    """A leaflet of three panels on one landscape page, by fpdf2, with a subset of a font in it."""
    import reportlab
    from fpdf import FPDF

    fonts = pathlib.Path(reportlab.__file__).parent / "fonts"
    pdf = FPDF(orientation="L", format="Letter")
    pdf.set_creation_date(datetime.datetime(2026, 1, 1, tzinfo=datetime.timezone.utc))
    pdf.set_title("The Rill Kit")
    pdf.add_font("Vera", "", str(fonts / "Vera.ttf"))
    pdf.add_font("Vera", "B", str(fonts / "VeraBd.ttf"))
    pdf.set_auto_page_break(False)
    pdf.add_page()
    for number, panel in enumerate([LEFT, MIDDLE, RIGHT]):
        left = 12 + 88 * number
        pdf.set_xy(left, 20)
        for kind, text in panel:
            pdf.set_x(left)
            pdf.set_font("Vera", "B" if kind == "h" else "", 15 if kind == "h" else 11)
            pdf.multi_cell(76, 9 if kind == "h" else 6.5, text, align="L", new_x="LEFT", new_y="NEXT")
            pdf.set_y(pdf.get_y() + 3)
        if number:
            pdf.set_dash_pattern(2, 2)
            pdf.line(left - 6, 10, left - 6, 206)
    pdf.output(str(path))


if __name__ == "__main__":
    bench_report((HERE / "19-bench-report.pdf").resolve())
    leaflet((HERE / "20-leaflet.pdf").resolve())
