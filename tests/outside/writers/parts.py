"""Writes tendon schedules part by part, in forms of workbooks that few libraries write.

What each file must read as stands beside the test in `parts.toml`. The scenarios are invented.
"""

import struct
import sys
import zipfile
from pathlib import Path

PACKAGE = "http://schemas.openxmlformats.org/package/2006"
TRANSITIONAL = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
STRICT = "http://purl.oclc.org/ooxml/officeDocument/relationships"
STRICT_MAIN = "http://purl.oclc.org/ooxml/spreadsheetml/main"

# Looks of cells: as they come, struck through, and with a unit behind the number.
PLAIN, STRUCK, KN, MM, STRUCK_KN, STRUCK_MM = range(6)

# A cell is (row, column, value, look).
ROWS = [
    ("TENDON LIST", None, None, None, None, None),
    None,
    ("Tendon No.", "Strands", "Jacking force", "Anchor set", "Web", "Heat No."),
    ("T1", 19, 3900, 6, "Left", "H 4711"),
    ("T2", 19, 3900, 6, None, "H 4712"),
    ("T3", 19, 3900, 6, "Right", "H 4713"),
    ("T4", 15, 3080, 6.5, "Right", "H 4714"),
]
STRUCK_ROW, HIDDEN_ROW, HIDDEN_COLUMN = 5, 6, 5
MERGED = [(0, 0, 0, 4), (3, 4, 4, 4)]


def look(row, column):
    is_struck = row == STRUCK_ROW
    if row > 2 and column == 2:
        return STRUCK_KN if is_struck else KN
    if row > 2 and column == 3:
        return STRUCK_MM if is_struck else MM
    return STRUCK if is_struck else PLAIN


def cells(row):
    return [(column, value) for column, value in enumerate(ROWS[row] or ()) if value is not None]


def package(path, main, relations, parts):
    """Writes the archive: Open Packaging Conventions, ECMA-376 part 2."""
    types = f'<Types xmlns="{PACKAGE}/content-types"><Default Extension="rels" ' \
            f'ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    for name, (content, _) in parts.items():
        types += f'<Override PartName="/{name}" ContentType="{content}"/>'
    def list_of(targets):
        inside = "".join(f'<Relationship Id="rId{n}" Type="{relations}/{kind_of}" Target="{target}"/>'
                         for n, (kind_of, target) in enumerate(targets, 1))
        return f'<?xml version="1.0" encoding="UTF-8"?><Relationships xmlns="{PACKAGE}/relationships">' \
               f'{inside}</Relationships>'
    ending = main.rsplit(".", 1)[1]
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("[Content_Types].xml", f'<?xml version="1.0" encoding="UTF-8"?>{types}</Types>')
        archive.writestr("_rels/.rels", list_of([("officeDocument", main)]))
        archive.writestr(f"xl/_rels/workbook.{ending}.rels",
                         list_of([("worksheet", f"worksheets/sheet1.{ending}"), ("styles", f"styles.{ending}")]))
        for name, (_, content) in parts.items():
            archive.writestr(name, content)


def binary(folder):
    """Binary parts, records after [MS-XLSB] 2.4 with their numbers of 2.3.2: a struck row, a hidden row and column,
    units in number formats, cells merged downwards."""

    def record(number, *fields):
        data = b"".join(fields)
        head = bytes([number]) if number < 0x80 else bytes([number & 0x7F | 0x80, number >> 7])
        length = len(data)
        while length >= 0x80:
            head += bytes([length & 0x7F | 0x80])
            length >>= 7
        return head + bytes([length]) + data

    def short(*numbers):
        return struct.pack(f"<{len(numbers)}H", *numbers)

    def long(*numbers):
        return struct.pack(f"<{len(numbers)}I", *numbers)

    def text(letters):
        return long(len(letters)) + letters.encode("utf-16-le")

    no_colour = bytes(8)

    def font(is_struck):
        flags = 1 << 3 if is_struck else 0
        return record(43, short(220, flags, 400, 0), bytes([0, 2, 0, 0]), no_colour, bytes([0]), text("Carlito"))

    def xf(parent, number_format, of_font):
        return record(47, short(parent, number_format, of_font, 0, 0), bytes([0, 0]), short(0x1000), short(0x3F))

    # The last is that of dates.
    looks = [(0, 0), (0, 1), (164, 0), (165, 0), (164, 1), (165, 1), (14, 0)]
    fill = record(45, long(0), no_colour, no_colour, long(0), struct.pack("<5d", 0, 0, 0, 0, 0), long(0))
    border = record(46, bytes([0]), (bytes([0, 0]) + no_colour) * 5)
    styles = b"".join([
        record(278),
        record(615, long(2)),
        record(44, short(164), text('#,##0" kN"')),
        record(44, short(165), text('0.0" mm"')),
        record(616),
        record(611, long(2)), font(False), font(True), record(612),
        record(603, long(1)), fill, record(604),
        record(613, long(1)), border, record(614),
        # Looks of named styles come first, and are not those of cells.
        record(626, long(1)), xf(0xFFFF, 0, 0), record(627),
        record(617, long(len(looks))), *[xf(0, code, of_font) for code, of_font in looks], record(618),
        record(619, long(1)), record(48, long(0), short(1), bytes([0, 0]), text("Normal")), record(620),
        record(279),
    ])

    def cell(row, column, value):
        place = long(column, look(row, column))
        if isinstance(value, str):
            return record(6, place, text(value))
        return record(5, place, struct.pack("<d", value))

    def row(number):
        hidden = 1 << 4 if number == HIDDEN_ROW else 0
        head = record(0, long(number, 0), short(300), bytes([0, hidden, 0]), long(0))
        return head + b"".join(cell(number, column, value) for column, value in cells(number))

    sheet = b"".join([
        record(129),
        record(148, long(0, len(ROWS) - 1, 0, 5)),
        record(390), record(60, long(HIDDEN_COLUMN, HIDDEN_COLUMN, 2304, 0), short(1)), record(391),
        record(145), *[row(number) for number in range(len(ROWS)) if cells(number)], record(146),
        record(177, long(len(MERGED))),
        *[record(176, long(first, last, left, right)) for first, left, last, right in MERGED],
        record(178),
        record(130),
    ])
    workbook = b"".join([
        record(131),
        record(153, long(0, 0), text("")),
        record(143), record(156, long(0, 1), text("rId1"), text("Tendon list")), record(144),
        record(157, long(0, 1, 100), struct.pack("<d", 0.001), long(1), short(0)),
        record(132),
    ])
    kind = "application/vnd.ms-excel"
    package(folder / "binary.xlsb", "xl/workbook.bin", TRANSITIONAL, {
        "xl/workbook.bin": (f"{kind}.sheet.binary.macroEnabled.main", workbook),
        "xl/worksheets/sheet1.bin": (f"{kind}.worksheet", sheet),
        "xl/styles.bin": (f"{kind}.styles", styles),
    })


def strict(folder):
    """XML parts in the strict form of ECMA-376 part 1, in its namespaces, with a date as ISO 8601 writes it
    (18.18.11, ST_CellType `d`)."""

    def cell(row, column, value):
        place = f'r="{"ABCDEF"[column]}{row + 1}" s="{look(row, column)}"'
        if isinstance(value, str):
            return f'<c {place} t="inlineStr"><is><t>{value}</t></is></c>'
        return f'<c {place}><v>{value}</v></c>'

    def row(number):
        hidden = ' hidden="1"' if number == HIDDEN_ROW else ""
        inside = "".join(cell(number, column, value) for column, value in cells(number))
        if number == 1:
            inside = cell(1, 0, "Date:") + '<c r="B2" s="6" t="d"><v>2031-05-07</v></c>'
        return f'<row r="{number + 1}"{hidden}>{inside}</row>'

    def name(row, column):
        return f'{"ABCDEF"[column]}{row + 1}'

    head = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>'
    merged = "".join(f'<mergeCell ref="{name(a, b)}:{name(c, d)}"/>' for a, b, c, d in MERGED)
    sheet = f'{head}<worksheet xmlns="{STRICT_MAIN}"><cols><col min="{HIDDEN_COLUMN + 1}" max="{HIDDEN_COLUMN + 1}" ' \
            f'width="9" hidden="1"/></cols><sheetData>{"".join(row(number) for number in range(len(ROWS)))}' \
            f'</sheetData><mergeCells count="{len(MERGED)}">{merged}</mergeCells></worksheet>'
    # The last is that of dates.
    looks = [(0, 0), (0, 1), (164, 0), (165, 0), (164, 1), (165, 1), (14, 0)]
    xfs = "".join(f'<xf numFmtId="{code}" fontId="{of_font}" fillId="0" borderId="0" xfId="0" applyNumberFormat="1" '
                  f'applyFont="1"/>' for code, of_font in looks)
    font = '<sz val="11"/><name val="Carlito"/>'
    styles = f'{head}<styleSheet xmlns="{STRICT_MAIN}"><numFmts count="2">' \
             f'<numFmt numFmtId="164" formatCode="#,##0&quot; kN&quot;"/>' \
             f'<numFmt numFmtId="165" formatCode="0.0&quot; mm&quot;"/></numFmts>' \
             f'<fonts count="2"><font>{font}</font><font><strike/>{font}</font></fonts>' \
             f'<fills count="1"><fill><patternFill patternType="none"/></fill></fills>' \
             f'<borders count="1"><border/></borders>' \
             f'<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>' \
             f'<cellXfs count="{len(looks)}">{xfs}</cellXfs></styleSheet>'
    workbook = f'{head}<workbook xmlns="{STRICT_MAIN}" xmlns:r="{STRICT}" conformance="strict">' \
               f'<sheets><sheet name="Tendon list" sheetId="1" r:id="rId1"/></sheets></workbook>'
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml"
    package(folder / "strict.xlsx", "xl/workbook.xml", STRICT, {
        "xl/workbook.xml": (f"{kind}.sheet.main+xml", workbook),
        "xl/worksheets/sheet1.xml": (f"{kind}.worksheet+xml", sheet),
        "xl/styles.xml": (f"{kind}.styles+xml", styles),
    })


def main(target):
    folder = Path(target)
    binary(folder)
    strict(folder)


if __name__ == "__main__":
    main(sys.argv[1])
