"""Prints the pages of a folder on A3 and A4, and looks at what comes out; fails with what is wrong with it.

    printed.py FOLDER

Beside each `name.html` stands `name.json`: how many sheets of text are expected at each size, as `{"A3": 9, "A4": 14}`,
and what the foot of every sheet holds, as `"foot": ["restrand", …]`.
"""

import json
import pathlib
import re
import sys
import tempfile

from pypdf import PdfReader

from browser import chromium, opened, pages_of, tell

# ISO 216, mm.
SIZES = {"A3": (297, 420), "A4": (210, 297)}
MM = 25.4 / 72
# Letters that are printed smaller than this are not read at the bridge: common practice, no source.
LEAST_CAPITALS_MM = 2.0
# Another release of the browser or its fonts moves a line to another sheet.
SHEETS_OF_TEXT_OFF = 1
# A sheet of text that has less on it is as good as empty; letters.
LEAST_LETTERS = 60
# Tells on every sheet which tables have rows there, and which their heads.
MARK = """() => document.querySelectorAll('table').forEach((table, index) => {
    for (const cell of table.querySelectorAll('thead th:first-child')) { cell.append(` head${index}q`); }
    for (const cell of table.querySelectorAll('tbody tr > :first-child')) { cell.append(` row${index}q`); }
})"""


def texts_of(page):
    """The texts of a sheet with the height of their capitals on paper and how far down they stand, mm."""
    found = []
    top = float(page.mediabox.height)

    def visit(text, cm, tm, font, size):
        if not text.strip() or font is None:
            return
        inner = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
        capitals = float(inner["/FontDescriptor"].get_object()["/CapHeight"]) / 1000
        # How long an upright stroke of the letters comes out.
        a = tm[2] * cm[0] + tm[3] * cm[2]
        b = tm[2] * cm[1] + tm[3] * cm[3]
        at = (tm[4] * cm[1] + tm[5] * cm[3] + cm[5])
        # Either way up: letters of drawings are turned over twice.
        found.append((text, abs((a * a + b * b) ** 0.5 * size * capitals) * MM, (top - at) * MM))

    page.extract_text(visitor_text=visit)
    return found


def look(size, pdf, wanted, drawings, say):
    sheets = PdfReader(pdf).pages
    short, long = SIZES[size]
    drawn = []
    for number, sheet in enumerate(sheets, 1):
        width, height = (round(float(side) * MM) for side in (sheet.mediabox.width, sheet.mediabox.height))
        if sorted((width, height)) != [short, long]:
            say(f"sheet {number} is {width} mm wide and {height} mm high")
        text = sheet.extract_text()
        for told in [f"{number} of {len(sheets)}", "Draft for the engineer in charge", *wanted["foot"]]:
            if told not in text:
                say(f"sheet {number} does not say {told}")
        if width > height:
            drawn.append((number, sheet, text))
        elif len(text) - sum(map(len, wanted["foot"])) < LEAST_LETTERS:
            say(f"sheet {number} is empty: {text}")
    # Each drawing has a sheet of its own, and no drawing goes over two.
    if len(drawn) != len(drawings):
        say(f"{len(drawings)} drawings stand on {len(drawn)} sheets")
    for (number, sheet, text), title in zip(drawn, drawings):
        if " ".join(title.split()) not in " ".join(text.split()):
            say(f"sheet {number} does not show the drawing {title}")
        letters = [(high, text) for text, high, down in texts_of(sheet) if 12 < down < short - 12]
        if not letters:
            say(f"sheet {number} has no letters")
            continue
        least, text = min(letters)
        if least < LEAST_CAPITALS_MM:
            say(f"sheet {number}: capitals of {least:.2f} mm in {text.strip()}")
    of_text = len(sheets) - len(drawn)
    if abs(of_text - wanted[size]) > SHEETS_OF_TEXT_OFF:
        say(f"{of_text} sheets of text, {wanted[size]} were expected")


def heads(pdf, say):
    """Whether the head of each table stands on every sheet that has rows of it; how many tables go over a sheet."""
    spread = {}
    for number, sheet in enumerate(PdfReader(pdf).pages, 1):
        text = "".join(sheet.extract_text().split())
        rows, over = (set(re.findall(rf"{word}(\d+)q", text)) for word in ("row", "head"))
        for table in rows:
            spread.setdefault(table, []).append(number)
        for table in sorted(rows - over):
            say(f"sheet {number} has rows of table {table} without their head")
    return sum(len(numbers) > 1 for numbers in spread.values())


def main(folder):
    against = []
    spread = 0
    with chromium() as browser, tempfile.TemporaryDirectory() as scratch:
        for file in pages_of(folder):
            wanted = json.loads(file.with_suffix(".json").read_text())
            page = opened(browser, file, against)
            drawings = page.locator("figure svg > title").evaluate_all("(all) => all.map((one) => one.textContent)")

            def say(what, file=file):
                against.append(f"{file.name}: {what}")

            def printed(size, file=file, page=page):
                pdf = pathlib.Path(scratch) / f"{file.stem}-{size}.pdf"
                page.pdf(path=pdf, format=size)
                return pdf

            for size in SIZES:
                look(size, printed(size), wanted, drawings, lambda what, size=size: say(f"on {size} {what}"))
            # Tables go over more sheets on the smaller paper.
            page.evaluate(MARK)
            spread += heads(printed("A4"), say)
            page.close()
    if spread == 0:
        against.append("no table goes over a sheet")
    tell(against)


if __name__ == "__main__":
    main(sys.argv[1])
