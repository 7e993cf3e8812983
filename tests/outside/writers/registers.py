"""Eight tendon schedules of which a reader knows a part: two tongues below merged headers, levels above a datum, rows for
several tendons, ends that are named with their tendons, stations by tendons, pairs of one mark, an owner's register with
many columns of its own, and ducts in a few signs. All names and data are invented."""
import csv
import sys

from openpyxl import Workbook

OUT = sys.argv[1]


def fill(ws, row, values, first=1):
    for at, value in enumerate(values):
        if value is not None and value != "":
            ws.cell(row=row, column=first + at, value=value)


def table(ws, row, rows):
    for at, values in enumerate(rows):
        fill(ws, row + at, values)
    return row + len(rows)


def two_tongues():
    """Three rows of headers in German and English, merged over a row of units with a datum; decimal commas as texts."""
    wb = Workbook()
    ws = wb.active
    ws.title = "Liste"
    fill(ws, 1, ["Bauwerk / Structure:", None, "Lindbachbrücke"])
    fill(ws, 4, ["Spannglied / Tendon", "Litzen / Strands", None, "Hüllrohr / Duct", "Achse 1 / Axis 1 (Spannanker / live)",
                 None, None, None, "Umlenkstelle 1 / Deviator 1", None, "Achse 2 / Axis 2 (Festanker / dead)", None, None,
                 None, "Vorspannen / Stressing", None])
    end = ["Station", "Höhe / Level", "Abst. li.(+) / Offset left (+)", "Freiraum hinter Platte / Clear behind plate"]
    fill(ws, 5, [None, "n", "Ø", "PE-HD", *end, "Station", "Höhe / Level", *end, "P0 / Jacking force",
                 "Dehnweg / Elongation"])
    units = ["[m]", "[m ü. NN]", "[m]", "[mm]"]
    fill(ws, 6, [None, "[-]", "[mm]", "[mm]", *units, "[m]", "[m ü. NN]", *units, "[kN]", "[mm]"])
    for area in ("A4:A6", "B4:C4", "E4:H4", "I4:J4", "K4:N4", "O4:P4"):
        ws.merge_cells(area)
    for at, (mark, count, duct, side) in enumerate([("L1", 17, "125 x 7,4", "1,35"), ("L2", 17, "125 x 7,4", "0,95"),
                                                    ("L3", 13, "110 x 6,6", "0,55")]):
        fill(ws, 7 + at, [mark, count, "15,7", duct, "20,00", "305,10", side, "2300", "34,50", "303,25", "48,75", "305,60",
                          side, "1150", 3400, "262"])
    wb.save(f"{OUT}/two-tongues.xlsx")


def above_datum():
    """Two spans below each other, tendons across, a column of units that nothing heads, levels in mAOD."""
    wb = Workbook()
    ws = wb.active
    ws.title = "PT data"
    ws["A1"] = "Fennel Water Bridge - offsets positive left of setting-out line looking up chainage"
    row = 3
    for span, marks, start in (("SPAN 1", ["F1-A", "F1-B"], 400.0), ("SPAN 2", ["F2-A", "F2-B"], 446.0)):
        def line(label, unit, values):
            return [label, unit, *values]
        both = len(marks)
        row = table(ws, row, [
            [span],
            line("Tendon ref.", "", marks),
            line("Type", "", ["17/15.7"] * both),
            line("Sheathing", "mm", ["HDPE 125 OD SDR 17"] * both),
            line("Jacking force per tendon", "kN", [3450] * both),
            line("Anticipated extension", "mm", [301] * both),
            ["NEAR END (STRESSING)"],
            line("Chainage", "m", [start] * both),
            line("Level", "mAOD", [27.5] * both),
            line("Offset", "mm", [1250, -1250]),
            line("Min. clear working length behind anchorage", "mm", [1750] * both),
            ["DEVIATOR 1"],
            line("Chainage", "m", [start + 23] * both),
            line("Level", "mAOD", [25.25] * both),
            line("Offset", "mm", [1150, -1150]),
            ["FAR END (DEAD)"],
            line("Chainage", "m", [start + 46] * both),
            line("Level", "mAOD", [27.75] * both),
            line("Offset", "mm", [1250, -1250]),
            line("Min. clear working length behind anchorage", "mm", [850] * both),
        ]) + 2
    wb.save(f"{OUT}/above-datum.xlsx")


def groups_and_ends():
    """Captioned tables with units in the captions, rows for several tendons, and rooms of ends named with them."""
    wb = Workbook()
    ws = wb.active
    ws.title = "Sheet 3"
    ws["A1"] = "ALDER REACH BRIDGE  -  POST-TENSIONING DATA"
    row = table(ws, 3, [
        ["TABLE 1 - TENDON PROPERTIES"],
        ["Tendon", "No. of strands", "Duct", "Jacking force (kN)", "Stressed from", "Qty"],
        ["V1, V2", 21, "140 x 8.3 HDPE", 4200, "A", 2],
        ["V3-V4", 14, "110 x 6.6 HDPE", 2800, "B", 2],
    ])
    row = table(ws, row + 1, [["TABLE 2 - TENDON GEOMETRY (m)"], ["Tendon", "Point", "Chainage", "Level", "y (left +)"]])
    for mark, side in (("V1", 1.8), ("V2", -1.8), ("V3", 1.3), ("V4", -1.3)):
        row = table(ws, row, [[mark, "A", 210, 15.5, side], [None, "D1", 231, 13.2, side], [None, "B", 252, 15.9, side]])
    rooms = [[mark + end, 2700 if end == "A" else 1350, 640, 480] for mark in ("V1", "V2", "V3", "V4") for end in "AB"]
    table(ws, row + 1, [["TABLE 3 - ACCESS FOR REMOVAL (clear distance, mm)"], ["Anchorage", "Behind", "Above", "Left"],
                        *rooms])
    wb.save(f"{OUT}/groups-and-ends.xlsx")


def stations_by_tendons():
    """Levels and offsets with stations down and tendons across; heights over the soffit are no levels."""
    wb = Workbook()
    ws = wb.active
    ws.title = "Vertical"
    ws["A1"] = "Tendon levels at centre of duct (m)"
    fill(ws, 2, ["Chainage (m)", "Location", "Tendon"])
    ws.merge_cells("C2:E2")
    fill(ws, 3, [None, None, "Q1", "Q2", "Q3"])
    stations = [(5, "Abutment 1"), (19, "Deviator 1"), (33, "Pier 2")]
    for at, ((station, place), levels) in enumerate(zip(stations, [(9.1, 9.1, 8.8), (7.2, 7.2, 7.4), (9.4, 9.4, 9.0)])):
        fill(ws, 4 + at, [station, place, *levels])
    ws = wb.create_sheet("Horizontal")
    table(ws, 1, [["Tendon offsets from bridge centreline (mm), + = right"], ["Chainage (m)", "Q1", "Q2", "Q3"],
                  *[[station, -1600, 1600, 900] for station, _ in stations]])
    ws = wb.create_sheet("Soffit")
    table(ws, 1, [["Height of tendon above soffit (mm)"], ["Chainage (m)", "Q1", "Q2", "Q3"],
                  *[[station, 1700, 1700, 1300] for station, _ in stations]])
    ws = wb.create_sheet("Stressing")
    table(ws, 1, [["Tendon", "Strands (15.2 mm)", "Pj (kN)", "Total force for pair (kN)", "Maker", "Batch", "Yard"],
                  ["Q1", 18, 3500, 7000, "x", "b1", "n"], ["Q2", 18, 3500, 7000, "x", "b2", "n"],
                  ["Q3", 11, 2100, None, "x", "b3", "n"]])
    wb.save(f"{OUT}/stations-by-tendons.xlsx")


def pairs_by_side():
    """Both tendons of a pair by one mark, told apart by their side; the second row with ditto marks."""
    wb = Workbook()
    ws = wb.active
    ws.title = "Sht 1"
    ws["A1"] = "PT SCHEDULE"
    table(ws, 3, [
        ["Mark", "Side", "Unit", "Anch. A", "Anch. B", "Ch. A", "Ch. B", "RL A", "RL B", "Dist. from CL", "P jack", "Ext."],
        [None, None, None, None, None, "m", "m", "m", "m", "mm", "kN", "mm"],
        ["Z1", "L", "17T15", "SE", "FE", 80, 131, 14.5, 14.8, 1650, 3450, 380],
        ["Z1", "R", *['"'] * 10],
        ["Z2", "L", "17T15", "FE", "SE", 131, 190, 14.8, 14.2, 1250, 3450, 405],
        ["Z2", "R", *["do."] * 10],
    ])
    ws = wb.create_sheet("Legend")
    table(ws, 1, [["Code", "Meaning"], ["SE", "Stressing end anchorage"], ["FE", "Fixed (dead) end anchorage"],
                  ["17T15", "17 strands 15.7 mm dia."]])
    wb.save(f"{OUT}/pairs-by-side.xlsx")


def register():
    """An owner's register: more columns of its own than of a schedule, kilometres, dates with points."""
    wb = Workbook()
    ws = wb.active
    ws.title = "Register"
    ws["A1"] = "Tendon register - Sallow Viaduct"
    ws["A2"] = "Lateral: distance from box centreline, positive to the left looking up chainage. Units: mm, kN unless stated."
    fill(ws, 4, ["from", "to", "from", "to"], first=5)
    fill(ws, 5, ["Tendon No.", "Status", "Strands", "Duct OD", "km", "km", "Level (m)", "Level (m)", "Lateral",
                 "Design jacking force", "Stressed", "Filler", "Asset", "Cost code", "Panel", "Keeper", "Box", "Key", "Bay no",
                 "Visit", "Photo", "Tape"])
    own = ["q", "c", "p", "k", "b", "y", "o", "v", "f", "t"]
    fill(ws, 6, ["R01", "in service", 18, 140, 7.200, 7.251, 63.1, 63.5, 1450, 3600, "21.05.2011", "grease", *own])
    fill(ws, 7, ["R02", "in service", 18, 140, 7.200, 7.251, 63.1, 63.5, -1450, 3600, "21.05.2011", "grease", *own])
    fill(ws, 8, ["R03", "removed 2022", 18, 140, 7.200, 7.251, 63.1, 63.5, -750, 3600, "21.05.2011", "grease", *own])
    wb.save(f"{OUT}/register.xlsx")


def french_ends():
    """A row for each end, in French and English, stations as PK, with semicolons and decimal commas."""
    rows = [["Bureau Orval"], [], ["Câble / Cable", "Torons / Strands", "Gaine / Duct OD x t (mm)", "Extrémité / End",
                                   "Ancrage / Anchorage", "PK / Chainage (m)", "Altitude / Level (m)",
                                   "Dégagement / Clearance behind (m)"]]
    for mark in ("C1G", "C1D"):
        rows.append([mark, "18", "125 x 7,4", "C0 Abut.", "actif / live", "70,50", "42,40", "2,80"])
        rows.append(["", "", "", "P1 Pier", "passif / dead", "118,25", "42,90", "1,40"])
    with open(f"{OUT}/french-ends.csv", "w", encoding="utf-8", newline="") as file:
        csv.writer(file, delimiter=";").writerows(rows)


def ducts():
    """Ducts in a few signs: what a standard's own name determines is taken, and nothing else."""
    wb = Workbook()
    ws = wb.active
    ws.title = "Ducts by tendon"
    table(ws, 1, [["Tendon", "No. of strands", "P.E. Duct", "Jacking force (kN)"],
                  ["D1", 19, "4\" IPS SDR 17", 3900], ["D2", 15, "DN110 SDR17 PE100", 3000],
                  ["D3", 12, "OD 90 x 5.4", 2400], ["D4", 22, "160 x 9.5 HDPE", 4500]])
    wb.save(f"{OUT}/ducts.xlsx")


two_tongues()
above_datum()
groups_and_ends()
stations_by_tendons()
pairs_by_side()
register()
french_ends()
ducts()
