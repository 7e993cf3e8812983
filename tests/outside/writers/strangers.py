"""Writes tendon schedules as offices that have never heard of the schedule's own layout make them.

Each function is one office; the argument is the folder. The scenarios are invented. What each file must read
as stands in `strangers.toml`; it was written down before any of the files was read.
"""

import sys
from pathlib import Path

from openpyxl import Workbook
from openpyxl.styles import Font


def consultant(folder):
    """A consultant's summary: title block, three rows of headers, plates' chainages as A and B, sizes as 19T15."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Cables"
    sheet["A1"] = "NORRENDAL VIADUCT"
    sheet.merge_cells("A1:J1")
    sheet["A2"] = "External prestressing - summary of cables"
    sheet["I2"], sheet["J2"] = "Revision:", "C"
    heads = ["Cable", "Type", "Web", "Chainage of anchor plate", None, "Length between plates", "Sheath",
             "Force at jack Po", "Draw-in", "Stressed from"]
    lower = [None, None, None, "A", "B", None, None, None, None, None]
    units = [None, None, None, "[m]", "[m]", "[m]", "[mm]", "[kN]", "[mm]", None]
    for row, texts in ((4, heads), (5, lower), (6, units)):
        for column, text in enumerate(texts, 1):
            sheet.cell(row, column, text)
    sheet.merge_cells("D4:E4")
    for letter in "ABCFGHIJ":
        sheet.merge_cells(f"{letter}4:{letter}5")
    rows = [
        ["C11", "19T15", "Left", 0.85, 52.15, 51.62, "125 x 7.4", 3900, 6, "A and B"],
        ["C12", "19T15", "Right", 0.85, 52.15, 51.62, "125 x 7.4", 3900, 6, "A and B"],
        ["C21", "12T15", "Left", 0.95, 52.05, 51.30, "90 x 5.4", 2460, 6, "A"],
        ["C22", "12T15", "Right", 0.95, 52.05, 51.30, "90 x 5.4", 2460, 6, "A"],
    ]
    for at, row in enumerate(rows, 7):
        for column, value in enumerate(row, 1):
            sheet.cell(at, column, value)
    sheet["A12"] = "Lengths are measured along the cable, between the faces of the plates."
    book.save(folder / "consultant.xlsx")


def plan_table(folder):
    """A table of a US plan sheet in capitals: stations, feet and inches, both ends side by side, a note on units."""
    book = Workbook()
    sheet = book.active
    sheet.title = "SHEET S-42"
    sheet["B2"] = "EXTERNAL TENDON SCHEDULE - UNIT 3"
    sheet["B3"] = "(FORCES IN KIPS, ELEVATIONS IN FEET)"
    heads = ["TENDON", "NO. OF 0.6\" Ø STRANDS", "STRESSING END", None, None, "NON-STRESSING END", None, None,
             "JACKING FORCE", "ELONG. (IN.)", "DUCT", "FILLER"]
    lower = [None, None, "STA.", "ELEV.", "MIN. CLR. BEHIND PLATE", "STA.", "ELEV.", "MIN. CLR. BEHIND PLATE",
             None, None, None, None]
    for row, texts in ((5, heads), (6, lower)):
        for column, text in enumerate(texts, 2):
            sheet.cell(row, column, text)
    sheet.merge_cells("D5:F5")
    sheet.merge_cells("G5:I5")
    for letter in "BCJKLM":
        sheet.merge_cells(f"{letter}5:{letter}6")
    rows = [
        ["T3-1L", 27, "104+12.00", 88.25, "7'-6\"", "105+82.00", 88.75, "3'-0\"", 1187, "13 1/4", "5\" SDR 17", "WAX"],
        ["T3-1R", 27, "104+12.00", 88.25, "7'-6\"", "105+82.00", 88.75, "3'-0\"", 1187, "13 1/4", "5\" SDR 17", "WAX"],
        ["T3-2L", 19, "104+14.50", 87.5, "6'-9 1/2\"", "105+79.50", 88, "3'-0\"", 835, "12 7/8", "4\" SDR 17", "WAX"],
    ]
    for at, row in enumerate(rows, 7):
        for column, value in enumerate(row, 2):
            sheet.cell(at, column, value)
    sheet["B11"] = "* ELONGATIONS ARE BASED ON E = 28,500 KSI."
    book.save(folder / "plan-table.xlsx")


def geometry(folder):
    """A list of tendons, and their points on a second sheet, each tendon named once; units in a note."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Tendon list"
    sheet.append(["Note: lengths in metres, all other dimensions in millimetres"])
    sheet.append([])
    sheet.append(["Tendon", "Qty of strand", "Strand", "Duct (OD/t)", "Jacking force Pj [kN]", "μ", "k [1/m]", "Length"])
    sheet.append(["E-101", 15, "Y1860S7-15.7", "110/6.6", 3080, 0.12, 0, 47.30])
    sheet.append(["E-102", 15, "Y1860S7-15.7", "110/6.6", 3080, 0.12, 0, 47.30])
    points = book.create_sheet("Geometry")
    points.append(["Tendon", "Point", "x [m]", "y [m]", "z [m]", "R [m]", "Description"])
    for mark, y in (("E-101", 2.1), ("E-102", -2.1)):
        points.append([mark, 1, 0, y, 1.85, None, "Anchor plate"])
        points.append([None, 2, 12.5, y, 0.4, 5, "Deviator D1"])
        points.append([None, 3, 34.5, y, 0.4, 5, "Deviator D2"])
        points.append([None, 4, 47, y, 1.85, None, "Anchor plate"])
    book.save(folder / "geometry.xlsx")


def jack_list(folder):
    """What the crew of the jacks keeps: a row for each end, text in UTF-16 parted by tabs, decimal commas."""
    rows = [
        ["Tendon no.", "End", "Unit", "Jack", "Force [kN]", "Pressure [bar]", "Elongation calc. [mm]",
         "Wedge draw-in [mm]", "Clear space behind [m]"],
        ["T-01", "Left", "19x15.7", "J400", "3900", "412", "231", "6", "1,45"],
        ["T-01", "Right", "19x15.7", "J400", "3900", "412", "58", "6", "1,50"],
        ["T-02", "Left", "12x15.7", "J250", "2460", "398", "228", "5,5", "1,45"],
        ["T-02", "Right", "12x15.7", "J250", "2460", "398", "61", "5,5", "1,50"],
    ]
    text = "\r\n".join("\t".join(row) for row in rows) + "\r\n"
    (folder / "jack-list.txt").write_bytes(text.encode("utf-16"))


def two_webs(folder):
    """Two tables side by side on one sheet, one for each web, with sums below and a row that is void."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Webs"
    sheet["A1"] = "SCHEDULE OF TENDONS, CAISSON SPAN"
    heads = ["Mark", "Strands", "Length (m)", "Force (kN)", "Duct OD (mm)"]
    for first, caption, letter in ((1, "LEFT WEB", "L"), (7, "RIGHT WEB", "R")):
        sheet.cell(3, first, caption)
        sheet.merge_cells(start_row=3, end_row=3, start_column=first, end_column=first + 4)
        for column, text in enumerate(heads, first):
            sheet.cell(4, column, text).font = Font(bold=True)
        rows = [
            [f"{letter}1", 22, 64.2, 4500, 140],
            [f"{letter}2", 22, 64.6, 4500, 140],
            [f"{letter}3", 19, 65.1, 3900, 125],
        ]
        for at, row in enumerate(rows, 5):
            for column, value in enumerate(row, first):
                sheet.cell(at, column, value)
        sheet.cell(8, first, "Sum")
        sheet.cell(8, first + 1, 63)
    book.save(folder / "two-webs.xlsx")


def access(folder):
    """Access at the anchorages: a row for each end, told apart by where it lies; slopes in per cent."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Access"
    sheet["A1"] = "Access at anchorages"
    sheet["A2"] = "Bridge:"
    sheet["B2"] = "Hollowmere Bridge"
    sheet.append([])
    sheet.append(["Tendon", "Location", "Live/dead", "Anchorage", "Slope (%)", "Room behind plate (mm)",
                  "Room above (mm)", "Tail (mm)"])
    sheet.append(["H1", "Abutment 1", "Live", "AN12", 5, 1800, 900, 800])
    sheet.append(["", "Pier 2", "Dead", "AN12F", 3, 600, 900, 50])
    sheet.append(["H2", "Abutment 1", "Live", "AN12", 5, 1750, 850, 800])
    sheet.append(["", "Pier 2", "Dead", "AN12F", 3, 600, 850, 50])
    book.save(folder / "access.xlsx")


OFFICES = [consultant, plan_table, geometry, jack_list, two_webs, access]


def main(target):
    folder = Path(target)
    for office in OFFICES:
        office(folder)


if __name__ == "__main__":
    main(sys.argv[1])
