"""Writes tendon schedules in the styles in which people make them, none in the schedule's own layout.

Each function is one style; the argument is the folder. The scenarios are invented. What each file must read
as, in SI, and which questions it must ask, stands beside the test in `foreign.toml`.
"""

import csv
import sys
from pathlib import Path

from openpyxl import Workbook
from openpyxl.styles import Font


def flat_both_ends(folder):
    """One flat sheet: title block, two header rows with merged groups, both ends side by side, units in brackets."""
    book = Workbook()
    sheet = book.active
    sheet.title = "PT Schedule"
    sheet["A1"] = "TENDON SCHEDULE"
    sheet.merge_cells("A1:L1")
    sheet["A2"], sheet["B2"] = "Project:", "Fernholt Crossing"
    sheet["E2"], sheet["F2"] = "Dwg. No.:", "FC-PT-201"
    sheet["I2"], sheet["J2"] = "Rev.", "B"
    top = ["Tendon\nNo.", "No. of\nStrands", "Duct O.D.\n(mm)", "Tendon Length\n(m)", "Jacking Force\n(kN)",
           "LIVE END", None, None, "DEAD END", None, None, "Remarks"]
    low = [None, None, None, None, None, "Sta. (m)", "Anch. Type", "Set (mm)", "Sta. (m)", "Anch. Type", "Tail (mm)", None]
    for column, text in enumerate(top, 1):
        sheet.cell(4, column, text)
    for column, text in enumerate(low, 1):
        sheet.cell(5, column, text)
    for column in (1, 2, 3, 4, 5, 12):
        sheet.merge_cells(start_row=4, end_row=5, start_column=column, end_column=column)
    sheet.merge_cells("F4:H4")
    sheet.merge_cells("I4:K4")
    rows = [
        ["T1L", 19, 125, 39.2, 3900, 101, "K19", 6, 139.5, "K19D", 40, "see detail 4"],
        ["T1R", 19, 125, 39.2, 3900, 101, "K19", 6, 139.5, "K19D", 40, None],
        ["T2L", 15, 110, 41.5, 3080, 100.5, "K15", 6, 141.2, "K15D", 40, None],
    ]
    for at, row in enumerate(rows, 6):
        for column, value in enumerate(row, 1):
            sheet.cell(at, column, value)
    sheet["A9"], sheet["B9"] = "TOTAL", 53
    sheet["A11"] = "NOTE 1: Tails are measured from the wedge plate."
    book.save(folder / "flat-both-ends.xlsx")


def us_feet_inches(folder):
    """US units: feet and inches as texts, stations 12+34.50, kips, strands as 19-0.6", units in a row below."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Tendons"
    sheet["A1"] = "POST-TENSIONING DATA - BRACKENRIDGE FLYOVER"
    header = ["MARK", "TENDON SIZE", "BEGIN STA.", "BEGIN ELEV.", "BEGIN OFFSET", "END B STA.", "END B ELEV.",
              "END B OFFSET", "LENGTH", "P JACK", "CLEARANCE BEHIND", "DUCT"]
    units = ["", "", "ft", "ft", "ft-in", "ft", "ft", "ft-in", "ft-in", "kip", "ft-in", ""]
    sheet.append([])
    sheet.append(header)
    sheet.append([unit or None for unit in units])
    sheet.append(["T101", "19-0.6\"", "12+34.50", 45.25, "4'-0\" LT", "14+10.00", 44.75, "4'-0\" LT", "176'-3 1/2\"",
                  809, "6'-3\"", "4\" SDR 17"])
    sheet.append(["T102", "19-0.6\"", "12+34.50", 45.25, "4'-0\" RT", "14+10.00", 44.75, "4'-0\" RT", "176-3 1/2",
                  809, "6'-3\"", "4\" SDR 17"])
    sheet.append(["T103", "12-0.6\"", "12+36.00", 46.5, "2'-6\" LT", "14+08.50", 46.0, "2'-6\" LT", "173'-0\"",
                  511, "5'-6½\"", "3\" SDR 13.5"])
    book.save(folder / "us-feet-inches.xlsx")


def row_per_end(folder):
    """A row for each end; marks and counts merged over both rows; units in number formats."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Anchorages at ends"
    sheet.append(["Cable", "Qty strands", "End", "Live/Dead", "Anchor type", "Clear behind", "Wedge draw-in"])
    rows = [
        ["C1", 12, "A", "Live", "M12", 1900, 6],
        [None, None, "B", "Dead", "M12P", 700, 3],
        ["C2", 12, "A", "Live", "M12", 1850, 6],
        [None, None, "B", "Dead", "M12P", 650, 3],
    ]
    for row in rows:
        sheet.append(row)
    for first in (2, 4):
        sheet.merge_cells(start_row=first, end_row=first + 1, start_column=1, end_column=1)
        sheet.merge_cells(start_row=first, end_row=first + 1, start_column=2, end_column=2)
    for row in range(2, 6):
        sheet.cell(row, 6).number_format = '#,##0" mm"'
        sheet.cell(row, 7).number_format = '0.0" mm"'
    book.save(folder / "row-per-end.xlsx")


def transposed(folder):
    """Tendons side by side: a column for each, the fields below each other."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Sheet1"
    rows = [
        ["Tendon", "P1", "P2", "P3"],
        ["Number of strands", 22, 22, 27],
        ["Tendon length (m)", 52.3, 52.3, 54.1],
        ["Jacking force (kN)", 4500, 4500, 5520],
        ["Duct dia. outside (mm)", 140, 140, 160],
        ["Filler", "Wax", "Wax", "Wax"],
        ["Stressed from", "Both ends", "Both ends", "Lt. end"],
    ]
    for row in rows:
        sheet.append(row)
    book.save(folder / "transposed.xlsx")


def captioned_tables(folder):
    """Several captioned tables on one sheet: tendons, strand, duct, points."""
    book = Workbook()
    sheet = book.active
    sheet.title = "All data"
    for row in [
        ["Table 1 - Tendons"],
        ["Tendon mark", "Strand type", "No. strands", "Duct type", "Length [m]"],
        ["E1", "S1", 19, "D1", 60.5],
        ["E2", "S1", 19, "D1", 60.5],
        [],
        ["Table 2 - Strand properties"],
        ["Strand type", "Nominal dia. (mm)", "Area (mm2)", "fpu (MPa)", "E (GPa)"],
        ["S1", 15.7, 150, 1860, 195],
        [],
        ["Table 3 - Ducts"],
        ["Duct type", "Material", "OD (mm)", "Wall thk (mm)", "SDR"],
        ["D1", "HDPE", 125, 7.4, 17],
        [],
        ["Table 4 - Tendon points"],
        ["Tendon", "Station (m)", "Offset (m)", "Elevation (m)"],
        ["E1", 100, "1.20 L", 4.2],
        ["\"", 120, "1.20 L", 3.1],
        ["\"", 160, "1.20 L", 4.2],
        ["E2", 100, "1.20 R", 4.2],
        ["\"", 120, "1.20 R", 3.1],
        ["\"", 160, "1.20 R", 4.2],
    ]:
        sheet.append(row)
    book.save(folder / "captioned-tables.xlsx")


def sheet_per_span(folder):
    """A sheet for each span, sub-headings for webs, a note with the units, struck and deleted rows, hidden rows."""
    book = Workbook()
    book.remove(book.active)
    for span, marks in (("Span 1", ("A1", "A2", "A3")), ("Span 2", ("B1", "B2", "B3"))):
        sheet = book.create_sheet(span)
        sheet.append(["ALL DIMENSIONS ARE IN mm, FORCES IN kN"])
        sheet.append([])
        sheet.append(["Tendon ref.", "Strands", "Jack force", "Anchor set", "Duct wall thickness", "Duct outer dia."])
        sheet.append(["Left web"])
        sheet.append([marks[0], 19, 3900, 6, 7.4, 125])
        sheet.append([marks[1], 19, 3900, 6, 7.4, 125])
        sheet.append(["Right web"])
        sheet.append([marks[2], 15, 3080, 6, 6.6, 110])
        sheet.append([marks[2] + "X", 15, 3080, 6, 6.6, 110])
        sheet.append([marks[2] + "Y", 15, 3080, 6, 6.6, "DELETED"])
    struck = book["Span 1"]
    for cell in struck[9]:
        cell.font = Font(strike=True)
    book["Span 2"].row_dimensions[9].hidden = True
    book["Span 2"].column_dimensions["D"].hidden = True
    book.save(folder / "sheet-per-span.xlsx")


def no_units(folder):
    """Nothing states the units: each column is a question, and so is `Grout`; `ton` asks which."""
    book = Workbook()
    sheet = book.active
    sheet.title = "tendons list"
    sheet.append(["Tendon ID", "No. of strands", "Length", "Jacking force (ton)", "Filler", "Duct dia (mm)", "Colour"])
    sheet.append(["K1", 19, 39.2, 398, "Grout", 125, "red"])
    sheet.append(["K2", 19, 40.1, 398, "Grout", 125, "blue"])
    book.save(folder / "no-units.xlsx")


def ditto_and_blanks(folder):
    """Ditto marks, and blanks that mean as above where the column shows it."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Schedule of cables"
    sheet.append(["Web", "Cable mark", "Strands (no.)", "Strand grade", "Strand dia. (in)", "Filler", "Wt. (kg)"])
    sheet.append(["North web", "W1", 12, "270", 0.6, "Cement grout", 410])
    sheet.append([None, "W2", "\"", "\"", "\"", "do.", 412])
    sheet.append([None, "W3", "\"", "\"", "\"", "do.", 415])
    sheet.append(["South web", "W4", 15, "270", 0.6, "Cement grout", 520])
    sheet.append([None, "W5", "\"", "\"", "\"", "ditto", None])
    sheet.append([None, "W6", "\"", "\"", "\"", "ditto", 521])
    book.save(folder / "ditto-and-blanks.xlsx")


def semicolon_csv(folder):
    """CSV with semicolons, decimal commas, Windows encoding, a title above, groups only in their first column."""
    rows = [
        ["Spannglieder / tendon list, Ostermoor viaduct"],
        [],
        ["Tendon", "Strands", "Length (m)", "End A", "", "End B", ""],
        ["", "", "", "Anchorage", "Set (mm)", "Anchorage", "Set (mm)"],
        ["N1", "19", "39,25", "K19", "6,5", "K19", "6,5"],
        ["N2", "19", "40,75", "K19", "6,5", "K19", "6,5"],
    ]
    with (folder / "list-of-tendons.csv").open("w", newline="", encoding="cp1252") as file:
        csv.writer(file, delimiter=";").writerows(rows)


def conflicts(folder):
    """Two columns that claim one field, a unit that cannot be, a header in two units, a formula never calculated."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Cables"
    sheet.append(["Tendon No.", "Strands", "Tendon length (kN)", "Jacking force (kN/kips)", "Wax or grout", "No. of strands",
                  "Number of strands", "Steel weight (kg)"])
    sheet.append(["F1", "S15", 39, 3900, "Wax", 19, 18, "=F2*30"])
    sheet.append(["F2", "S15", 39, 3900, "Wax", 19, 18, "=F3*30"])
    book.save(folder / "conflicts.xlsx")


def three_header_rows(folder):
    """Three rows of headers, the dead end first; stations tell that it lies at the higher station."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Data"
    sheet.append(["SCHEDULE OF EXTERNAL TENDONS", None, None, None, None, None, None])
    sheet.append(["Tendon", "Strand", None, "Anchorages", None, None, None])
    sheet.append([None, None, None, "Dead end", None, "Jacking end", None])
    sheet.append(["mark", "qty", "type", "chainage (m)", "type", "chainage (m)", "type"])
    sheet.merge_cells("B2:C3")
    sheet.merge_cells("D2:G2")
    sheet.merge_cells("D3:E3")
    sheet.merge_cells("F3:G3")
    sheet.append(["X1", 7, "Y1860-15.7", 180.5, "D7", 120.5, "J7"])
    sheet.append(["X2", 7, "Y1860-15.7", 180.5, "D7", 120.5, "J7"])
    book.save(folder / "three-header-rows.xlsx")


def continuation(folder):
    """A table that goes on on a second sheet, whose headers come again in the middle and are missing on the second."""
    book = Workbook()
    first = book.active
    first.title = "Sheet 1 of 2"
    header = ["Tendon No.", "Strands (qty)", "Overall length (m)", "Stressing force (kN)"]
    first.append(header)
    first.append(["G1", 19, 50.1, 3900])
    first.append(["G2", 19, 50.2, 3900])
    first.append(header)
    first.append(["G3", 19, 50.3, 3900])
    second = book.create_sheet("Sheet 2 of 2 (cont.)")
    second.append(["G4", 15, 50.4, 3080])
    second.append(["G5", 15, 50.5, 3080])
    second.sheet_state = "hidden"
    book.save(folder / "continuation.xlsx")


STYLES = [
    flat_both_ends, us_feet_inches, row_per_end, transposed, captioned_tables, sheet_per_span, no_units,
    ditto_and_blanks, semicolon_csv, conflicts, three_header_rows, continuation,
]


def main(target):
    folder = Path(target)
    for style in STYLES:
        style(folder)


if __name__ == "__main__":
    main(sys.argv[1])
