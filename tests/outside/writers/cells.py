"""Writes all cells of the workbooks and texts of a folder that say something beside them, each as a line of JSON:
sheet, row, column, text."""
import csv, io, json, pathlib, sys
from openpyxl import load_workbook


def shown(value):
    if isinstance(value, float) and value == int(value):
        value = int(value)
    if hasattr(value, "strftime"):
        return value.strftime("%Y-%m-%d")
    return str(value).strip()


def of_workbook(path):
    for sheet in load_workbook(path).worksheets:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.value is not None and shown(cell.value):
                    yield sheet.title, cell.row - 1, cell.column - 1, shown(cell.value)


def of_text(path):
    data = open(path, "rb").read()
    # Any bytes that are even in number are some text in UTF-16: it says so itself.
    is_wide = data[:2] in (b"\xff\xfe", b"\xfe\xff")
    for encoding in ["utf-16"] if is_wide else ["utf-8-sig", "cp1252"]:
        try:
            text = data.decode(encoding)
            break
        except UnicodeDecodeError:
            continue
    delimiter = max(";,\t|", key=text.count)
    for number, row in enumerate(csv.reader(io.StringIO(text), delimiter=delimiter)):
        for column, value in enumerate(row):
            if value.strip():
                yield "", number, column, value.strip()


for source in sorted(pathlib.Path(sys.argv[1]).iterdir()):
    cells = list(of_workbook(source) if source.suffix == ".xlsx" else of_text(source))
    with open(f"{source}.cells", "w", encoding="utf-8") as out:
        for cell in cells:
            out.write(json.dumps(cell, ensure_ascii=False) + "\n")
