"""Six tendon schedules in the habits of six bureaus: spans as groups with sums, tendons across with a column of units,
ends side by side below three rows of merged headers, tables with captions that go on, stations in feet, and codes with a
legend. Their expected readings in bureaus.toml were written down before the program had read any of them. All names and
data are invented."""
import sys

from openpyxl import Workbook
from openpyxl.styles import Font

OUT = sys.argv[1]
BOLD = Font(bold=True)


def fill(ws, row, values, first=1, font=None):
    for at, value in enumerate(values):
        if value is not None:
            cell = ws.cell(row=row, column=first + at, value=value)
            if font:
                cell.font = font


def spans():
    """A row for each tendon below a heading for each span, with sums of each span and of all."""
    wb = Workbook()
    ws = wb.active
    ws.title = "Tendon quantities"
    fill(ws, 1, ["Bridge:", "Tarn Gate Viaduct", None, None, "Drg no:", "TGV-512", None, "Rev:", "D"])
    fill(ws, 2, ["Lengths in m, forces in kN, extensions and draw-in in mm."])
    fill(ws, 4, ["Tendon", "No. of\nstrands", "Strand", "Duct\nod x t", "Length", "Force at\njack", "Stressed\nfrom",
                 "Extension", "Draw-in", "Order"], font=BOLD)
    rows = [
        ("SPAN 1",),
        ("1A", 15, "15.7", "110 x 6.6", 41.20, 3000, "A", 271, 6, 1),
        ("1B", 15, "15.7", "110 x 6.6", 41.20, 3000, "A", 270, 6, 2),
        ("1C", 12, "15.7", "90 x 5.4", 41.05, 2400, "B", 268, 6, 3),
        ("Sub-total span 1", 42, None, None, 123.45),
        ("SPAN 2",),
        ("2A", 15, "15.7", "110 x 6.6", 52.60, 3000, "both", 345, 6, 4),
        ("2B", 15, "15.7", "110 x 6.6", 52.60, 3000, "B", 340, 6, 5),
        ("Sub-total span 2", 30, None, None, 105.20),
        ("TOTAL", 72, None, None, 228.65),
    ]
    for at, row in enumerate(rows):
        fill(ws, 5 + at, row, font=BOLD if len(row) < 6 else None)
    fill(ws, 17, ["Notes"])
    fill(ws, 18, ["1) All tendons external, in HDPE ducts filled with petroleum wax."])
    fill(ws, 19, ["2) Extensions are between anchorages."])
    wb.save(f"{OUT}/spans-and-sums.xlsx")


def across():
    """Tendons across, what is stated of them down, in groups, with a column of units."""
    wb = Workbook()
    ws = wb.active
    ws.title = "Data"
    fill(ws, 1, ["SORREL BRIDGE - tendon data"])
    rows = [
        ("Item", "", "Unit", "N1", "N2", "S1", "S2"),
        ("General", "Number of strands", "-", 22, 22, 22, 22),
        ("", "Strand diameter", "mm", 15.7, 15.7, 15.7, 15.7),
        ("", "Duct OD", "mm", 140, 140, 140, 140),
        ("", "Duct wall", "mm", 8.3, 8.3, 8.3, 8.3),
        ("", "Tendon length", "m", 88.4, 88.4, 88.1, 88.1),
        ("Stressing", "Jacking force", "MN", 4.4, 4.4, 4.38, 4.38),
        ("", "Anchor set", "mm", 5, 5, 5, 5),
        ("End A", "Station", "m", 20.5, 20.5, 20.5, 20.5),
        ("", "Level", "m", 104.2, 104.2, 103.6, 103.6),
        ("", "Clear space behind", "m", 2.4, 2.4, 2.4, 2.4),
        ("End B", "Station", "m", 108.6, 108.6, 108.4, 108.4),
        ("", "Level", "m", 105.1, 105.1, 104.5, 104.5),
        ("", "Clear space behind", "m", 1.8, 1.8, 1.6, 1.6),
    ]
    for at, row in enumerate(rows):
        fill(ws, 3 + at, [None if value == "" else value for value in row])
    for first, last in ((4, 8), (9, 10), (11, 13), (14, 16)):
        ws.merge_cells(start_row=first, end_row=last, start_column=1, end_column=1)
    fill(ws, 19, ["Filler: grease in all ducts"])
    wb.save(f"{OUT}/across-with-units.xlsx")


def merged():
    """Both ends side by side, in three rows of merged headers, with the places of the ends in them."""
    wb = Workbook()
    ws = wb.active
    ws.title = "Schedule of tendons"
    fill(ws, 1, ["Client", "Ellerside Council", None, "Contract", "Ellerside Link, bridge 4", None, "Sheet", "3 of 9"])
    heads = [("A4:A6", "Tendon\nref."), ("B4:B6", "Strands"), ("C4:C6", "Duct\n(mm OD)"),
             ("D4:H4", "STRESSING END (PIER 4)"), ("D5:F5", "Position (m)"), ("G5:H5", "Clearances (mm)"),
             ("I4:M4", "DEAD END (ABUTMENT 5)"), ("I5:K5", "Position (m)"), ("L5:M5", "Clearances (mm)"),
             ("N4:N6", "Jacking\nforce\n(kN)"), ("O4:O6", "Elongation\n(mm)")]
    for place, text in heads:
        ws[place.split(":")[0]] = text
        ws.merge_cells(place)
    fill(ws, 6, ["Chainage", "Offset\n(+ right)", "Level", "behind", "above"], first=4)
    fill(ws, 6, ["Chainage", "Offset\n(+ right)", "Level", "behind", "above"], first=9)
    rows = [
        ("4-1 L", 19, 125, 310.6, -1.9, 33.4, 2600, 700, 372.2, -1.9, 34.1, 1300, 650, 3800, 402),
        ("4-1 R", 19, 125, 310.6, 1.9, 33.4, 2600, 700, 372.2, 1.9, 34.1, 1300, 650, 3800, 402),
        ("4-2 L", 12, 110, 310.6, -2.3, 32.8, 2600, 700, 372.2, -2.3, 33.5, 1300, 650, 2450, 398),
        ("4-2 R", 12, 110, 310.6, 2.3, 32.8, 2600, 700, 372.2, 2.3, 33.5, 1300, 650, 2450, 398),
    ]
    for at, row in enumerate(rows):
        fill(ws, 7 + at, row)
    fill(ws, 12, ["Strand 15.7 mm, 150 mm2, 1860 MPa. Wedge draw-in 6 mm. Filler: wax."])
    wb.save(f"{OUT}/three-rows-of-headers.xlsx")


def continued():
    """Tables with captions, of which one goes on below the other."""
    wb = Workbook()
    ws = wb.active
    ws.title = "P-07"
    fill(ws, 1, ["Marsh End Flyover"], font=BOLD)
    heads = ["Cable", "Strands", "Sheath OD", "Length", "Pj"]
    fill(ws, 3, ["Table 1: External cables (lengths in m, forces in kN, diameters in mm)"])
    fill(ws, 4, heads)
    fill(ws, 5, ["K1", 12, 110, 60.5, 2500])
    fill(ws, 6, ["K2", 12, 110, 60.5, 2500])
    fill(ws, 8, ["Table 2: Deviators (all in m)"])
    fill(ws, 9, ["Cable", "Deviator", "Chainage", "Level", "Offset (+ left)"])
    points = [("K1", "D1", 18.0, 7.25, 1.5), ("K1", "D2", 42.0, 7.25, 1.5), ("K2", "D1", 18.0, 7.25, -1.5),
              ("K2", "D2", 42.0, 7.25, -1.5), ("K3", "D1", 18.0, 7.45, 1.5), ("K4", "D1", 18.0, 7.45, -1.5)]
    for at, point in enumerate(points):
        fill(ws, 10 + at, point)
    fill(ws, 18, ["Table 1 (continued): External cables"])
    fill(ws, 19, heads)
    fill(ws, 20, ["K3", 9, 90, 60.2, 1850])
    fill(ws, 21, ["K4", 9, 90, 60.2, 1850])
    fill(ws, 23, ["Table 3: Room behind anchorages (mm)"])
    fill(ws, 24, ["Cable", "End A", "End B"])
    for at, row in enumerate([("K1", 2000, 1500), ("K2", 2000, 1500), ("K3", 1900, 1400), ("K4", 1900, 1400)]):
        fill(ws, 25 + at, row)
    wb.save(f"{OUT}/tables-that-go-on.xlsx")


def feet():
    """A text of an American bureau: stations and lengths in feet, inches and fractions, both ends in one row."""
    lines = [
        "PINE HOLLOW CREEK BRIDGE,,,,,,,,,,,",
        "EXTERNAL TENDON TABLE,,,,,,,,,,,",
        ",,,,,,,,,,,",
        "TENDON,NO. OF,TENDON,BEGIN,END,BEGIN,END,BEGIN,END,P-JACK,ELONG.,STRESS",
        "MARK,STRANDS,LENGTH,STATION,STATION,ELEV.,ELEV.,OFFSET,OFFSET,(KIPS),(IN),FROM",
        "T1L,19,\"122'-6\"\"\",12+34.50,13+57.00,101.25,102.50,\"5'-3\"\" LT\",\"5'-3\"\" LT\",835,9 5/8,END",
        "T1R,19,\"122'-6\"\"\",12+34.50,13+57.00,101.25,102.50,\"5'-3\"\" RT\",\"5'-3\"\" RT\",835,9 5/8,END",
        "T2L,12,\"122'-2 1/2\"\"\",12+34.75,13+57.00,100.00,101.25,\"5'-3\"\" LT\",\"5'-3\"\" LT\",527,9 1/2,BEGIN",
        "T2R,12,\"122'-2 1/2\"\"\",12+34.75,13+57.00,100.00,101.25,\"5'-3\"\" RT\",\"5'-3\"\" RT\",527,9 1/2,BEGIN",
        ",,,,,,,,,,,",
        "NOTES:,,,,,,,,,,,",
        "1. STATIONS AND ELEVATIONS ARE IN FEET.,,,,,,,,,,,",
        "2. STRAND SHALL BE 0.6 IN. DIA. LOW RELAXATION GRADE 270.,,,,,,,,,,,",
        "3. ANCHOR SET = 3/8 IN.,,,,,,,,,,,",
    ]
    with open(f"{OUT}/feet-and-stations.csv", "w", encoding="utf-8", newline="") as out:
        out.write("\r\n".join(lines) + "\r\n")


def legend():
    """Codes in the cells with a legend below, deviators in columns beside the ends, and a row that is left out."""
    wb = Workbook()
    ws = wb.active
    ws.title = "Sheet1"
    fill(ws, 1, ["WEIR STREET UNDERBRIDGE", None, None, None, None, None, None, None, None, "Drawing", "WSU/31"])
    fill(ws, 3, ["Mark", "Str.", "Duct", "Fill", "End 1", "End 2", "Ch. 1", "Ch. D1", "Ch. D2", "Ch. 2", "Lvl 1", "Lvl D1",
                 "Lvl D2", "Lvl 2", "Pj", "Remarks"], font=BOLD)
    fill(ws, 4, [None, "no.", "mm", None, None, None, "m", "m", "m", "m", "m", "m", "m", "m", "kN"])
    rows = [
        ("W1", 19, "125 x 7.4", "W", "LE", "DE", 5.2, 18.0, 34.0, 46.8, 12.1, 10.3, 10.3, 12.2, 3900, ""),
        ("W2", 19, "125 x 7.4", "W", "LE", "DE", 5.2, 18.0, 34.0, 46.8, 12.1, 10.3, 10.3, 12.2, 3900, ""),
        ("W3", 12, "110 x 6.6", "W", "LE", "LE", 5.2, 18.0, 34.0, 46.8, 11.5, 10.5, 10.5, 11.6, 2500, "see note 2"),
        ("W4", 12, "110 x 6.6", "W", "LE", "LE", 5.2, 18.0, 34.0, 46.8, 11.5, 10.5, 10.5, 11.6, 2500, "omitted rev B"),
    ]
    for at, row in enumerate(rows):
        fill(ws, 5 + at, [None if value == "" else value for value in row])
    fill(ws, 9, ["Total", 50])
    fill(ws, 11, ["LEGEND"])
    fill(ws, 12, ["LE", "live end anchorage"])
    fill(ws, 13, ["DE", "dead end anchorage"])
    fill(ws, 14, ["W", "petroleum wax"])
    fill(ws, 16, ["NOTES"])
    fill(ws, 17, ["1. Strand 15.7 mm dia., 150 mm2."])
    fill(ws, 18, ["2. Stress W3 after W1 and W2."])
    wb.save(f"{OUT}/codes-and-legend.xlsx")


for write in (spans, across, merged, continued, feet, legend):
    write()
