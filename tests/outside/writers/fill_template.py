"""Fills a template as a person would: new tendons below the worked one, value by value.

Each new tendon is the worked one under another mark, beside it towards the middle of the bridge, where it leaves
so much less room on that side. Formulas are left alone; openpyxl saves them without their results.
"""

import sys

from openpyxl import load_workbook

MORE = 3

# From axis to axis; anchorages of this size ask for less.
APART_M = 0.45
RIGHT = "Removal space right [mm]"


def header(sheet):
    return {cell.value: cell.column for cell in sheet[1] if cell.value}


def name(sheet, column):
    return sheet.cell(1, column).value


def filled(sheet, column):
    return [row for row in range(2, sheet.max_row + 1) if sheet.cell(row, column).value not in (None, "")]


def main(source, target):
    book = load_workbook(source)
    for sheet in book.worksheets:
        headers = header(sheet)
        owner = "Mark" if sheet.title == "Tendons" else "Tendon"
        if owner not in headers:
            continue
        inputs = [column for name, column in headers.items() if not name.startswith("computed:")]
        rows = filled(sheet, headers[owner])
        free = rows[-1] + 1 if rows else 2
        for copy in range(1, MORE + 1):
            for row in rows:
                for column in inputs:
                    value = sheet.cell(row, column).value
                    if value is None:
                        continue
                    if column == headers[owner]:
                        value = f"{value}-{copy}"
                    elif sheet.title == "Points" and name(sheet, column).startswith("Lateral"):
                        value = round(value - copy * APART_M, 3)
                    elif sheet.title == "Ends" and name(sheet, column) == RIGHT:
                        value = round(value - copy * APART_M * 1000)
                    sheet.cell(free, column).value = value
                free += 1
    book.save(target)


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
