"""Writes a small schedule the way people and programs leave it: a title above the headers, numbers as
texts, feet and inches, units in cells, dates as dates, a formula that nobody calculated, an error cell,
merged title cells, a hidden sheet, blank rows, columns in another order."""

import datetime
import sys

from openpyxl import Workbook


def main(target):
    book = Workbook()

    tendons = book.active
    tendons.title = "tendons"
    tendons.append(["Tendon schedule, left web"])
    tendons.merge_cells("A1:E1")
    tendons.append([])
    tendons.append(["Strand count", "MARK", "Length [ft]", "Stressing jacking force [kip]", "Heat number"])
    tendons.append(["19", "T1", "137'-0\"", 809.3, "H 4711"])
    tendons.append([])
    tendons.append([19, "T2", "=39*3", "3600 kN", None])
    tendons.append([19, "T3", "#REF!", 800, None])
    # openpyxl stores the text of an error as an error only when told so.
    tendons["C7"].data_type = "e"

    ends = book.create_sheet("Ends")
    ends.append(["End", "Tendon", "Removal space behind [in]", "Removal space up", "Removal space on"])
    ends.append(["A", "T1", "6'-3\"", "860 mm", datetime.date(2031, 5, 7)])
    ends.append(["B", "T1", "118 1/8", "14 in", "2031-05-07"])
    ends.sheet_state = "hidden"

    project = book.create_sheet("Project")
    project.append(["Bridge", "Stage", "Revision"])
    project.append(["An invented bridge", "Shop drawing", 3])

    book.save(target)


if __name__ == "__main__":
    main(sys.argv[1])
