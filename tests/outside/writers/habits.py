"""Three tendon schedules in habits of other offices: places over the ends, sections in a sideways table below an
ordinary one, and two tongues with both ends in one cell. Their expected readings in habits.toml were written down
before the program had read any of them, by someone who knew it. All names and data are invented."""
import sys
from openpyxl import Workbook

OUT = sys.argv[1]


def fill(ws, r, c0, values):
    for i, v in enumerate(values):
        if v is not None:
            ws.cell(row=r, column=c0 + i, value=v)


def places():
    """The ends under the names of their places, a table of steps beside, sums carried over, labels above values."""
    wb = Workbook()
    ws = wb.active
    ws.title = "PT schedule"
    fill(ws, 1, 1, ["PROJECT", None, None, "DRAWING NO.", None, "REV", "DATE"])
    fill(ws, 2, 1, ["Tarn Hollow Viaduct", None, None, "THV-310", None, "D", "2031-02-09"])
    fill(ws, 5, 1, ["MARK", "STRANDS", "DUCT", "JACKING FORCE PER STRAND (kN)", "TOTAL JACKING FORCE (kN)"])
    for c0, group in ((6, "ABUTMENT 1"), (12, "PIER 3")):
        ws.merge_cells(start_row=5, end_row=5, start_column=c0, end_column=c0 + 5)
        ws.cell(row=5, column=c0, value=group)
        fill(ws, 6, c0, ["STA. (m)", "ELEV. (m)", "OFFSET (m) (+R)", "L/D", "SET (mm)", "FREE LENGTH BEHIND (mm)"])
    rows = [
        ("N1", "15-0.6\"", "OD 110 SDR 17", 195, 2925, 12.5, 8.40, -1.9, "L", 6, 1800, 61.0, 8.45, -1.9, "L", 6, 1650),
        ("N2", "15-0.6\"", "OD 110 SDR 17", 195, 2925, 12.5, 8.40, 1.9, "L", 6, 1800, 61.0, 8.45, 1.9, "D", 0, 700),
        ("C/F", None, None, None, 5850),
    ]
    for i, r in enumerate(rows):
        fill(ws, 7 + i, 1, r)
    fill(ws, 4, 20, ["STRESSING ORDER"])
    fill(ws, 5, 20, ["STEP", "TENDON", "FORCE (kN)"])
    fill(ws, 6, 20, [1, "N1", 1400])
    fill(ws, 7, 20, [2, "N2", 2925])
    fill(ws, 8, 20, [3, "N1", 2925])
    fill(ws, 9, 20, [4, "N2", 2925])
    wb.save(f"{OUT}/places-over-ends.xlsx")


def below():
    """A table of strand, and below it a sideways table with sections."""
    wb = Workbook()
    ws = wb.active
    ws.title = "Data"
    fill(ws, 1, 1, ["Strand type", "Dia. (mm)", "Area (mm²)", "fpk (MPa)"])
    fill(ws, 2, 1, ["S157", 15.7, 150, 1860])
    fill(ws, 3, 1, ["S127", 12.7, 100, 1860])
    table = [
        ("Tendon", None, "K1", "K2"), ("Tendon type", None, "12 x 15.7", "7 x 15.7"), ("Length", "m", 41.2, 41.3),
        ("Jacking force", "MN", 2.5, 1.46), ("Filler", None, "wax", "wax"),
        ("END 1 (NORTH)",), ("Station", "m", 3.5, 3.5), ("Level", "m", 2.1, 1.8), ("Live/dead", None, "live", "dead"),
        ("Tail", "mm", 600, 50),
        ("SADDLE 1",), ("Station", "m", 20, 20), ("Level", "m", 0.6, 0.7),
        ("END 2 (SOUTH)",), ("Station", "m", 44.5, 44.5), ("Level", "m", 2.1, 1.8), ("Live/dead", None, "dead", "live"),
        ("Tail", "mm", 50, 600),
    ]
    for i, r in enumerate(table):
        fill(ws, 6 + i, 1, r)
    fill(ws, 26, 1, ["Notes: offsets are nil."])
    wb.save(f"{OUT}/sideways-below.xlsx")


def tongues():
    """Two tongues, decimal commas, both ends in one cell, a row brought forward and one that is left out."""
    lines = [
        "Projekt / Project;Talbrücke Ahorn;;;;;;;;",
        "Plan-Nr. / Drawing no.;TA-77;;;;;;;;",
        "",
        "Spannglied / Tendon;Litzen / Strands;Länge / Length (m);Station A/B (m);Höhe / Level A/B (m);y (m);"
        "Kraft / Jacking force (kN);Dehnweg / Elongation A/B (mm);Schlupf / Set (mm);Verfüllung / Filler;Bemerkung",
        "Übertrag / B/F;;120,00;;;;;;;;",
        "G1;19;60,10;10,00 / 70,00;5,20 / 5,40;-2,15;3975;250 / 245;6;Wachs / wax;",
        "G2;19;60,10;10,00 / 70,00;5,20 / 5,40;2,15;3975;250 / 245;6;Wachs / wax;",
        "G3;12;60,00;10,00 / 70,00;4,90 / 5,10;2,15;2510;490 / -;6;Wachs / wax;entfällt",
        "Summe / Total;50;300,20;;;;;;;;",
        "",
        "y: Abstand von der Achse / offset from axis, + rechts / to the right",
    ]
    with open(f"{OUT}/both-in-a-cell.csv", "wb") as f:
        f.write(("\r\n".join(lines) + "\r\n").encode("utf-8-sig"))


for write in (places, below, tongues):
    write()
