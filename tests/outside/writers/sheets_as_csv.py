"""Opens a workbook with openpyxl and writes each of its sheets as a CSV file with Python's csv module.

Arguments: the workbook, the folder, delimiter, quoting, end of line, decimal mark, encoding.
"""

import csv
import sys
from pathlib import Path

from openpyxl import load_workbook

ENDS = {"lf": "\n", "crlf": "\r\n", "cr": "\r"}
QUOTING = {"least": csv.QUOTE_MINIMAL, "all": csv.QUOTE_ALL, "words": csv.QUOTE_NONNUMERIC}


def shown(value, mark, encoding):
    """A cell as text; with a decimal comma, never with the three decimals that could be thousands."""
    if isinstance(value, str) and encoding == "cp1252":
        # The letter of mm to the fourth is not in this encoding.
        return value.replace("\u2074", "4")
    if mark == "," and isinstance(value, float) and not value.is_integer():
        text = repr(value)
        if "e" not in text:
            text += "0" * (len(text.split(".")[1]) == 3)
            text = text.replace(".", ",")
        return text
    return value


def main(source, target, delimiter, quoting, end, mark, encoding):
    opened = load_workbook(source, read_only=True)
    for sheet in opened.worksheets:
        path = Path(target) / f"quillmere-{sheet.title}.csv"
        with path.open("w", newline="", encoding=encoding) as file:
            rows = csv.writer(
                file, delimiter=delimiter, quoting=QUOTING[quoting], lineterminator=ENDS[end]
            )
            for row in sheet.iter_rows(values_only=True):
                rows.writerow(["" if cell is None else shown(cell, mark, encoding) for cell in row])


if __name__ == "__main__":
    main(*sys.argv[1:])
