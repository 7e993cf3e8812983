"""Four tendon schedules as four desks keep them: a card for each tendon on a sheet of its own, a list of properties
from a database, ordinates across the page, and a German list with its stressed ends on either side. Their expected
readings in desks.toml were written down before the program had read any of them. All names and data are invented."""
import csv
import datetime
import sys

from openpyxl import Workbook
from openpyxl.styles import Border, Font, Side

OUT = sys.argv[1]
BOLD = Font(bold=True)
THIN = Side(style="thin")


def fill(ws, r, c0, values, font=None):
    for i, v in enumerate(values):
        if v is not None:
            cell = ws.cell(row=r, column=c0 + i, value=v)
            if font:
                cell.font = font


def cards():
    """A contractor's records: a cover with general data, and a card for each tendon on a sheet of its own."""
    wb = Workbook()
    cover = wb.active
    cover.title = "Cover"
    fill(cover, 1, 1, ["SKARNVIK BRIDGE"], Font(bold=True, size=18))
    fill(cover, 2, 1, ["External tendons: stressing and filling records"], Font(size=12))
    fill(cover, 4, 1, ["Owner", "Skarnvik Municipality"])
    fill(cover, 5, 1, ["Document no.", "SKB-PT-REC-01"])
    fill(cover, 6, 1, ["Revision", "1"])
    fill(cover, 7, 1, ["Date", datetime.date(2030, 11, 2)])
    for i, text in enumerate([
        "General data",
        "Prestressing steel: 7-wire strand Y1860S7-15.7 to EN 10138-3, area 150 mm² each, low relaxation.",
        "Modulus of elasticity of the strand 196 GPa (mill certificate).",
        "Wedge draw-in 6 mm at every stressing anchorage.",
        "All tendons were filled with petroleum wax.",
        "Coefficient of friction at the deviators: mu = 0.10.",
    ]):
        fill(cover, 9 + i, 1, [text], BOLD if i == 0 else None)
    data = {
        "T11": ("West", 19, "PE100 140 x 8.3", 68.42, 3970, ("AM-19", "AM-19"), ("active", "active"),
                (1250.40, 1318.60), (45.20, 45.60), (402, 121), (2100, 1400), (800, 800)),
        "T12": ("East", 19, "PE100 140 x 8.3", 68.42, 3970, ("AM-19", "AM-19"), ("active", "active"),
                (1250.40, 1318.60), (45.20, 45.60), (405, 118), (2100, 1400), (800, 800)),
        "T21": ("West", 12, "PE100 110 x 6.6", 68.31, 2510, ("AM-12", "PM-12"), ("active", "passive"),
                (1250.40, 1318.60), (44.70, 45.10), (518, None), (2100, 900), (750, 50)),
    }
    for mark, (web, count, duct, length, force, plates, kinds, stations, levels, elong, room, tails) in data.items():
        ws = wb.create_sheet(mark)
        fill(ws, 1, 1, ["TENDON RECORD CARD"], Font(bold=True, size=14))
        fill(ws, 3, 1, ["Tendon", mark, None, "Web", web])
        fill(ws, 4, 1, ["Number of strands", count, None, "Span", "2"])
        fill(ws, 5, 1, ["Duct (OD x wall, mm)", duct, None, "Length between anchorages (m)", length])
        fill(ws, 6, 1, ["Jacking force (kN)", force])
        fill(ws, 8, 1, [None, "End A", "End B"], BOLD)
        for i, (label, values) in enumerate([
            ("Anchorage type", plates), ("Active / passive", kinds), ("Chainage (m)", stations),
            ("Level (m)", levels), ("Elongation, calculated (mm)", elong),
            ("Clear space behind anchorage (mm)", room), ("Strand tail (mm)", tails),
        ]):
            fill(ws, 9 + i, 1, [label, *values])
        fill(ws, 18, 1, ["Foreman:", None, None, "Supervisor:"])
    wb.save(f"{OUT}/record-cards.xlsx")


def properties():
    """A database's export: one line for each property of each tendon."""
    rows = [["Structure", "Element", "Property", "Value", "Unit"]]
    of_tendon = {
        "V01": [
            ("Strand count", "15", ""), ("Strand diameter", "0.6", "in"), ("Duct outer diameter", "4.5", "in"),
            ("Duct wall", "0.265", "in"), ("Jacking force", "659", "kip"), ("Tendon length", "182.4", "ft"),
            ("End A station", "120.5", "ft"), ("End A elevation", "312.55", "ft"), ("End A type", "Stressing", ""),
            ("End A clearance behind", "72", "in"), ("End B station", "302.2", "ft"),
            ("End B elevation", "313.1", "ft"), ("End B type", "Dead", ""), ("End B clearance behind", "30", "in"),
            ("Anchor set", "0.25", "in"), ("Friction coefficient", "0.15", ""), ("Wobble coefficient", "0.0002", "1/ft"),
            ("Filler", "Wax", ""), ("Inspection class", "B", ""),
        ],
    }
    of_tendon["V02"] = [(n, "12" if n == "Strand count" else "527" if n == "Jacking force" else v, u)
                        for n, v, u in of_tendon["V01"]]
    of_tendon["V03"] = [(n, "313.05" if n == "End A elevation" else v, u) for n, v, u in of_tendon["V01"]
                        if n != "Inspection class"]
    for mark, values in of_tendon.items():
        rows += [["LB-07", mark, *one] for one in values]
    with open(f"{OUT}/properties.csv", "w", newline="", encoding="utf-8-sig") as f:
        csv.writer(f, quoting=csv.QUOTE_ALL).writerows(rows)


def ordinates():
    """A US designer's page: a summary of tendons, and below it their ordinates, the points across the page."""
    wb = Workbook()
    ws = wb.active
    ws.title = "PT-12"
    fill(ws, 1, 1, ["HALDER CREEK VIADUCT"], Font(bold=True, size=16))
    fill(ws, 2, 1, ["UNIT 4 - EXTERNAL TENDONS"], Font(size=12))
    fill(ws, 4, 1, ["TENDON SUMMARY"], BOLD)
    fill(ws, 5, 1, ["TENDON", "TENDON TYPE", "JACKING FORCE (KIPS)", "LENGTH (FT)", "ELONG. END A (IN)",
                    "ELONG. END B (IN)", "STRESSING SEQ."], BOLD)
    for i, r in enumerate([
        ("E1-N", "27-0.6\"", 1186, "321'-4\"", "14 3/8", "2 1/4", 1),
        ("E1-S", "27-0.6\"", 1186, "321'-4\"", "14 3/8", "2 1/4", 2),
        ("E2-N", "19-0.6\"", 835, "320'-10 1/2\"", "14 1/4", None, 3),
        ("E2-S", "19-0.6\"", 835, "320'-10 1/2\"", "14 1/4", None, 4),
    ]):
        fill(ws, 6 + i, 1, r)
    points = ["END A", "DEV. 1", "DEV. 2", "PIER 7", "END B"]
    stations = ["40+12.00", "40+98.50", "41+76.50", "42+05.00", "43+33.00"]
    for r0, caption, values in (
        (12, "TENDON ELEVATIONS (FT)", {"E1-N": [122.5, 117.25, 117.25, 122.75, 122.5],
                                        "E1-S": [122.5, 117.25, 117.25, 122.75, 122.5],
                                        "E2-N": [120.0, 117.75, 117.75, 121.5, 120.0],
                                        "E2-S": [120.0, 117.75, 117.75, 121.5, 120.0]}),
        (20, "TENDON OFFSETS FROM C.L. BOX (FT, + RIGHT)", {"E1-N": [-5.5, -5, -5, -5, -5.5],
                                                            "E1-S": [5.5, 5, 5, 5, 5.5],
                                                            "E2-N": [-5.5, -4.5, -4.5, -5, -5.5],
                                                            "E2-S": [5.5, 4.5, 4.5, 5, 5.5]}),
    ):
        fill(ws, r0, 1, [caption], BOLD)
        fill(ws, r0 + 1, 1, ["TENDON", *points], BOLD)
        fill(ws, r0 + 2, 1, ["STATION", *stations])
        for i, (mark, line) in enumerate(values.items()):
            fill(ws, r0 + 3 + i, 1, [mark, *line])
    for i, text in enumerate([
        "NOTES:",
        "1. PRESTRESSING STRAND SHALL BE 0.6 IN. DIAMETER, ASTM A416 GRADE 270, LOW RELAXATION, AREA = 0.217 IN², "
        "E = 28,500 KSI.",
        "2. FRICTION COEFFICIENT MU = 0.25, WOBBLE COEFFICIENT K = 0.0002/FT. ANCHOR SET = 3/8 IN.",
        "3. ALL TENDONS SHALL BE INJECTED WITH FLEXIBLE FILLER (MICROCRYSTALLINE WAX).",
        "4. E2 TENDONS ARE STRESSED FROM END A ONLY.",
        "5. ELONGATIONS ARE FROM 20% OF THE JACKING FORCE.",
    ]):
        fill(ws, 29 + i, 1, [text], BOLD if i == 0 else None)
    wb.save(f"{OUT}/ordinates.xlsx")


def german():
    """A German list with decimal commas in texts: the live anchor lies at the lower station for some tendons, and at
    the higher for others."""
    wb = Workbook()
    ws = wb.active
    ws.title = "Spanngliedliste"
    fill(ws, 1, 1, ["Talbrücke Erlenmoos"], Font(bold=True, size=14))
    fill(ws, 2, 1, ["Teilbauwerk 2: Spanngliedliste externe Vorspannung"], BOLD)
    fill(ws, 3, 1, ["Plan-Nr.:", "EM-2-417", None, "Index:", "c", None, "Datum:", "14.08.2029"])
    heads = ["Spannglied-Nr.", "Steg", "Anzahl Litzen", "Länge", "Spannanker", None, None, "Festanker", None, None,
             "Vorspannkraft P0", "Dehnweg", "Schlupf", "Bemerkung"]
    lower = [None, None, None, None, "Station", "Höhe", "Freiraum", "Station", "Höhe", "Freiraum"]
    units = [None, None, "Stk.", "m", "m", "m", "mm", "m", "m", "mm", "kN", "mm", "mm"]
    for r, texts in ((5, heads), (6, lower), (7, units)):
        fill(ws, r, 1, texts, BOLD)
    ws.merge_cells("E5:G5")
    ws.merge_cells("H5:J5")
    for letter in "ABCDKLMN":
        ws.merge_cells(f"{letter}5:{letter}6")
    fill(ws, 8, 1, ["Feld 3"], BOLD)
    rows = [
        ("301 L", "links", 15, "61,35", "210,40", "318,25", 1900, "271,10", "318,85", 850, "3.080", 438, 6, None),
        ("301 R", "rechts", 15, "61,35", "210,40", "318,25", 1900, "271,10", "318,85", 850, "3.080", 438, 6, None),
        ("302 L", "links", 15, "61,20", "271,10", "318,35", 1900, "210,40", "317,75", 850, "3.080", 436, 6,
         "von Achse 50 gespannt"),
        None,
        ("401 L", "links", 15, "61,35", "271,90", "318,85", 1900, "332,60", "319,45", 850, "3.080", 438, 6, None),
        ("401 R", "rechts", 15, "61,35", "271,90", "318,85", 1900, "332,60", "319,45", 850, "3.080", 438, 6, None),
    ]
    for i, row in enumerate(rows):
        fill(ws, 9 + i, 1, row if row else ["Feld 4"], None if row else BOLD)
    fill(ws, 15, 1, ["Summe", None, 75, "306,60"], BOLD)
    for i, text in enumerate([
        "Spannstahl: Litzen St 1660/1860, Ø 15,7 mm, Ap = 150 mm², Ep = 195.000 N/mm².",
        "Hüllrohr: PE-HD 110 x 6,6 mm. Verpressung aller Spannglieder mit Wachs.",
    ]):
        fill(ws, 17 + i, 1, [text])
    for row in ws["A5:N14"]:
        for cell in row:
            cell.border = Border(left=THIN, right=THIN, top=THIN, bottom=THIN)
    wb.save(f"{OUT}/spannglieder.xlsx")


for write in (cards, properties, ordinates, german):
    write()
