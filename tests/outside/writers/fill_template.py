"""Fills a template as a person would: new tendons below the worked one, value by value.

Each new tendon is the worked one under another mark, a little to the side of it. Formulas are left alone;
openpyxl saves them without their results.
"""

import sys

from openpyxl import load_workbook

MORE = 3


def header(sheet):
    return {cell.value: cell.column for cell in sheet[1] if cell.value}


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
                    elif sheet.cell(1, column).value.startswith("Lateral") and sheet.title == "Points":
                        value = value + copy * 0.001
                    sheet.cell(free, column).value = value
                free += 1
    book.save(target)


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
