"""Opens a workbook with openpyxl and writes its sheets into a new one, cell by cell.

Nothing of the first file but names and values reaches the second: no styles, no shared strings, no order
of parts.
"""

import sys

from openpyxl import Workbook, load_workbook


def main(source, target):
    opened = load_workbook(source, read_only=True)
    written = Workbook(write_only=True)
    for sheet in opened.worksheets:
        copy = written.create_sheet(sheet.title)
        for row in sheet.iter_rows(values_only=True):
            copy.append(row)
    written.save(target)


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
