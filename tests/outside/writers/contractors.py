"""Six tendon schedules as contractors hand them in: both ends side by side below merged headers, a German list as text,
a sheet for each span with a row for each end, French columns for tendons, tables in two tongues below each other with
their captions, and a register of live and dead ends as built. Rows are struck, sums and superseded values stand among
them. All names and data are invented. What each must read as was written down before any of them was read, and stands in
`contractors.toml`."""
import csv
import sys
from pathlib import Path

from openpyxl import Workbook
from openpyxl.styles import Font

OUT = Path(sys.argv[1])


def fill(ws, row, values, first=1):
    for column, value in enumerate(values, first):
        if value is not None:
            ws.cell(row, column, value)


def grouped(ws, row, groups):
    """Two rows of headers: a group with its columns merges over them, a header of its own over both rows."""
    column = 1
    for head, below in groups:
        ws.cell(row, column, head)
        width = max(len(below), 1)
        ws.merge_cells(start_row=row, start_column=column, end_row=row if below else row + 1, end_column=column + width - 1)
        fill(ws, row + 1, below, column)
        column += width


def strike(ws, row, last):
    for column in range(1, last + 1):
        ws.cell(row, column).font = Font(strike=True)


def ends_side_by_side():
    """Web and tendon in two columns, both ends in groups, a hidden column of an earlier revision, an omitted row; levels
    of deviators on a sheet of their own."""
    book = Workbook()
    ws = book.active
    ws.title = "PT Schedule"
    ws["A1"] = "EXTERNAL TENDON SCHEDULE - SPAN 1"
    titles = [("Structure", "Sallowmere Viaduct"), ("Drg. No.", "S-PT-0410"), ("Rev.", "C02"), ("Date", "12/03/2024")]
    for row, (name, value) in enumerate(titles, 2):
        fill(ws, row, [name, None, value])
    for row, name, value in [(2, "Friction coeff. µ", 0.12), (3, "Unintended angle k (rad/m)", 0.006)]:
        fill(ws, row, [name, None, None, value], 6)
    fill(ws, 4, ["Filler", None, None, "Petroleum wax"], 6)
    end = ["Anch. type", "L/D", "Ch. (m)", "Level (m AOD)", "O/S (m)", "Pull-in", "Clear behind", "Clear above"]
    grouped(ws, 8, [
        *[(head, []) for head in ["Ref.", "Web", "No. off strands", "Strand dia. (mm)", "UTS per strand (kN)",
                                  "HDPE duct OD x wall", "Stressed from"]],
        ("END A - SOUTH ABUTMENT", end), ("END B - PIER 1", end),
        ("FORCES (kN)", ["Jacking", "Jacking (Rev P03)", "After lock-off, end A", "After lock-off, end B"]),
        ("EXTENSIONS", ["End A", "End B"]),
        *[(head, []) for head in ["Length plate to plate (m)", "Tendon mass (kg)", "Repl. Y/N", "Remarks"]],
    ])
    ws.column_dimensions["Y"].hidden = True
    # Mark, strands, duct, stressed from; kind of anchorage, level, offset, room behind and above of each end; forces,
    # extensions, length, mass; levels of the deviators and their angles.
    tendons = [
        ("E1", 19, "140 x 8.3", "Both", ("19A", 52.4, 1.2, 1500, 600), ("19A", 52.3, 1.1, 1400, 550),
         [3970, 3800, 3700, 3690, 210, 205, 60.2, 1716], [50.6, 50.5, 5.5, 5.0]),
        ("E2", 19, "140 x 8.3", "A", ("19A", 52.0, 1.5, 1500, 600), ("19B", 51.9, 1.4, 900, 500),
         [3970, 3800, 3700, 3450, 400, "-", 60.18, 1715], [50.4, 50.3, 5.0, 4.5]),
        ("E3", 22, "140 x 8.3", "B", ("22B", 51.6, 0.9, 850, 500), ("22A", 51.5, 0.8, 1600, 650),
         [4600, 4400, 4010, 4300, "-", 410, 60.15, 1985], [50.2, 50.1, 4.5, 4.0]),
        ("E4", 12, "110 x 6.6", "Both", ("12A", 51.2, 1.8, 1300, 450), ("12A", 51.1, 1.7, 1250, 425),
         [2510, 2400, 2340, 2330, 205, 200, 60.12, 1082], [50.0, 49.9, 4.0, 3.5]),
    ]

    def line(mark, side, tendon):
        _, count, duct, live, a, b, numbers, _ = tendon
        sign = 1 if side == "L" else -1
        values = [mark, side, count, 15.7, 279, duct, live]
        for name, chainage, (kind, level, offset, behind, above) in [("A", 100.0, a), ("B", 160.0, b)]:
            is_live = live in ("Both", name)
            values += [kind, "L" if is_live else "D", chainage, level, sign * offset, 6 if is_live else "-", behind, above]
        return values + numbers + ["Y"]

    pairs = [(tendon, side) for tendon in tendons for side in "LR"]
    for row, (tendon, side) in enumerate(pairs, 10):
        fill(ws, row, line(tendon[0] + side, side, tendon))
    fill(ws, 18, line("E5L", "L", tendons[3]) + ["Omitted Rev C02"])
    strike(ws, 18, 33)
    fill(ws, 19, ["Total", None, 144])
    ws["AE19"] = 12996
    for row, note in enumerate([
            "NOTES", "1. All dimensions in mm unless noted otherwise.",
            "2. Offsets (O/S) from centreline of box, positive to the left looking up chainage.",
            "3. L = live end, D = dead end.", "4. Clearances are measured from the face of the bearing plate."], 21):
        ws.cell(row, 1, note)
    ws = book.create_sheet("Deviators")
    ws["A1"] = "DEVIATOR SETTING OUT"
    columns = ["Ch. (m)", "Level (m AOD)", "O/S (m)", "Angle (deg)", "Radius (m)"]
    grouped(ws, 3, [("Tendon ref.", []), ("DEVIATOR D1", columns), ("DEVIATOR D2", columns)])
    for row, (tendon, side) in enumerate(pairs, 5):
        lateral = 0.7 if side == "L" else -0.7
        first, second, *angles = tendon[7]
        fill(ws, row, [tendon[0] + side, 120.0, first, lateral, angles[0], 5.0, 140.0, second, lateral, angles[1], 5.0])
    book.save(OUT / "ends-side-by-side.xlsx")


def german_list():
    """Semicolons, decimal commas, points for thousands, bytes of Windows; both ends and two deviators in each row."""
    heads = ["Spannglied", "Anzahl Litzen", "Litze", "Ap je Litze [mm²]", "fpk [N/mm²]", "Hüllrohr PE-HD da x s [mm]",
             "Anspannseite", "Spannkraft P0 [kN]", "Kraft nach Absetzen [kN]", "Schlupf [mm]", "Reibungsbeiwert µ",
             "ungewollter Umlenkwinkel k [°/m]", "Dehnweg Ende A [mm]", "Dehnweg Ende B [mm]"]
    for place in ["Ende A", "Umlenkstelle 1", "Umlenkstelle 2", "Ende B"]:
        heads += [f"Station {place} [m]", f"Höhe {place} [m ü. NN]"]
        if place.startswith("Umlenkstelle"):
            heads.append(f"Umlenkwinkel {place[-1]} [°]")
    heads += ["Freiraum hinter Anker A [mm]", "Freiraum hinter Anker B [mm]", "Füllgut", "austauschbar", "Bemerkung"]
    kinds = {
        "beidseitig": ["185", "182", "1.200", "1.150", ""],
        "A": ["362", "-", "1.250", "700", "Festanker bei B"],
        "B": ["-", "358", "650", "1.300", "Festanker bei A"],
    }
    rows = [["Spanngliedliste - externe Längsvorspannung"], ["Plan-Nr.", "SP-301", "", "Index", "c"], [], heads]

    def number(value, digits):
        return f"{value:.{digits}f}".replace(".", ",")

    for at, live in enumerate(["beidseitig", "beidseitig", "A", "A", "B", "B"]):
        long_a, long_b, behind_a, behind_b, remark = kinds[live]
        is_small = live == "B"
        fall = 0.35 * at
        deviators = []
        for which, (station, level, angle) in enumerate([(35, 102.1, 4.2), (50, 102.0, 3.9)]):
            # The second and all that follow are lower by other steps than their ends.
            level -= [0, 0.3, 0.6, 0.9, 1.2, 1.5][at]
            deviators += [number(station, 3), number(level, 3), number(angle - 0.2 * at, 1)]
        rows.append([
            f"V{at + 1}", "12" if is_small else "15", "15,7 mm", "150", "1.770", "110 x 6,6" if is_small else "125 x 7,4", live,
            "2.268" if is_small else "2.835", "2.120" if is_small else "2.650", "6", "0,12", "0,3", long_a, long_b,
            number(20, 3), number(104.25 - fall, 3), *deviators, number(65.5, 3), number(104.15 - fall, 3),
            behind_a, behind_b, "Wachs", "ja", remark,
        ])
    rows.append(["Summe", "84"])
    width = len(heads)
    with open(OUT / "spanngliedliste.csv", "w", encoding="cp1252", newline="") as file:
        csv.writer(file, delimiter=";").writerows(row + [""] * (width - len(row)) for row in rows)


def sheet_per_span():
    """Stations, feet and inches; a row for each end, its tendon's cells merged over both; points of deviators below, and
    what holds for all on a sheet of notes."""
    book = Workbook()
    book.remove(book.active)
    # Mark, strands, kinds of both ends, levels, offset, room behind and above, forces, elongation, angle.
    spans = [
        ("SPAN 1", ["10+00.00", "10+60.00", "11+40.00", "12+00.00"], ["ABUT. 1", "PIER 2"], [
            ("T101", 19, "LIVE", "DEAD", 152.5, 148, 152, 4, "5'-0\"", "3'-0\"", "2'-6\"", "1'-9\"", 835, 785, "14 1/2\"", 4.5),
            ("T103", 15, "LIVE", "LIVE", 150.5, 147, 150, 6, "4'-6 1/2\"", "4'-6\"", "2'-0\"", "1'-6\"", 660, 620, "7 1/4\"", 5),
        ], "T105"),
        ("SPAN 2", ["12+00.00", "12+70.00", "13+50.00", "14+20.00"], ["PIER 2", "ABUT. 3"], [
            ("T201", 19, "DEAD", "LIVE", 152, 147.5, 151.5, 4, "3'-0\"", "5'-6\"", "1'-9\"", "2'-6\"", 835, 785, "15 3/4\"", 5.25),
            ("T203", 15, "LIVE", "LIVE", 150, 146.5, 149.5, 6, "4'-6\"", "4'-9\"", "1'-6\"", "2'-0\"", 660, 620, "8\"", 5.5),
        ], None),
    ]

    def offset(feet):
        return f"{abs(feet):.2f} {'L' if feet > 0 else 'R'}"

    for name, stations, places, listed, void in spans:
        ws = book.create_sheet(name)
        ws["A1"] = f"{name} - EXTERNAL TENDON DATA"
        fill(ws, 3, ["TENDON", "STRANDS", "TENDON SIZE", "DUCT", "END", "LOCATION", "TYPE", "ANCH.", "STA.", "ELEV. (FT)",
                     "OFFSET FROM CL (FT)", "CLR. BEHIND ANCH.", "CLR. ABOVE", "JACKING FORCE (KIPS)",
                     "FORCE AFTER SEATING (KIPS)", "ELONG.", "ANCHOR SET", "REPL.", "REMARKS"])
        # Each has one on the other side of the centre line.
        tendons = []
        for one in listed:
            tendons += [one, (f"{one[0][:-1]}{int(one[0][-1]) + 1}", *one[1:7], -one[7], *one[8:])]
        row = 4
        for tendon in tendons + ([(void, *tendons[0][1:])] if void else []):
            mark, count, one, other, first, _, last, feet, *rooms, jacking, seated, elongation, _ = tendon
            duct = ("4\"" if count == 19 else "3 1/2\"") + " IPS SDR 17"
            ends = [("A", one, stations[0], first, rooms[0], rooms[2]), ("B", other, stations[3], last, rooms[1], rooms[3])]
            for at, (end, kind, station, level, behind, above) in enumerate(ends):
                shared = [mark, count, f"{count}-0.6\"", duct] if at == 0 else [None] * 4
                live = [jacking, seated, elongation, "3/8\""] if kind == "LIVE" else ["--"] * 4
                fill(ws, row + at, [*shared, end, places[at], kind, f"{count}{'S' if kind == 'LIVE' else 'D'}", station,
                                    level, offset(feet), behind, above, *live, "YES" if at == 0 else None])
            for column in (1, 2, 3, 4, 18):
                ws.merge_cells(start_row=row, start_column=column, end_row=row + 1, end_column=column)
            if mark == void:
                ws.cell(row, 19, "VOID")
                strike(ws, row, 19)
                strike(ws, row + 1, 19)
            row += 2
        fill(ws, row, ["TOTAL STRANDS THIS SPAN", 68])
        ws.cell(row + 3, 1, "DEVIATION POINTS")
        fill(ws, row + 4, ["TENDON", "DEV. NO.", "STA.", "ELEV. (FT)", "OFFSET FROM CL (FT)", "ANGLE (DEG)", "PIPE RADIUS (FT)"])
        row += 5
        for tendon in tendons:
            feet = tendon[7] - 1 if tendon[7] > 0 else tendon[7] + 1
            for at in (0, 1):
                fill(ws, row, ["\"" if at else tendon[0], at + 1, stations[1 + at], tendon[5], offset(feet), tendon[15], 15])
                row += 1
    ws = book.create_sheet("GENERAL NOTES")
    for row, line in enumerate([
            ["GENERAL NOTES"], ["STRAND", "ASTM A416 GRADE 270 LOW RELAXATION"], ["STRAND AREA", "0.217 SQ. IN."],
            ["MODULUS OF ELASTICITY", "28,500 KSI"], ["FRICTION COEFFICIENT", "0.15"], ["WOBBLE COEFFICIENT", "0.0002 /FT"],
            ["FILLER", "MICROCRYSTALLINE WAX"], ["DESIGN CODE", "AASHTO LRFD"],
            ["NOTE", "ELONGATIONS ARE MEASURED AT THE JACKING END, BEFORE SEATING."]], 1):
        fill(ws, row, line)
    book.save(OUT / "sheet-per-span.xlsx")


def french_columns():
    """A column for each tendon, sections for anchorages and deviators, the last column struck."""
    book = Workbook()
    ws = book.active
    ws.title = "Câbles ext."
    ws["A1"] = "PRÉCONTRAINTE EXTÉRIEURE - TABLEAU DES CÂBLES"
    fill(ws, 2, ["Plan n°", "PE-205", "Indice", "B"])
    first = dict(u=19, levels=[32.4, 30.5, 30.4, 32.2], aside=[1.1, 0.8, 1.0], forces=[3950, 3680], long=[215, 210],
                 angle=0.09, kinds=["Actif", "Actif"], rooms=[1.5, 1.4])
    second = dict(u=19, levels=[32.0, 30.3, 30.2, 31.8], aside=[1.4, 1.0, 1.3], forces=[3950, 3680], long=[405, "-"],
                  angle=0.08, kinds=["Actif", "Passif"], rooms=[1.5, 0.9])
    third = dict(u=12, levels=[31.6, 30.1, 30.0, 31.4], aside=[1.7, 1.2, 1.6], forces=[2500, 2330], long=["-", 400],
                 angle=0.07, kinds=["Passif", "Actif"], rooms=[0.8, 1.3])
    columns = [(f"C{at}{side}", 1 if side == "G" else -1, one)
               for at, one in enumerate([first, second, third, third], 1) for side in "GD"][:7]
    row = 4

    def section(name):
        nonlocal row
        ws.cell(row, 1, name)
        ws.merge_cells(start_row=row, start_column=1, end_row=row, end_column=8)
        ws.cell(row, 8).font = Font(strike=True)
        row += 1

    def line(name, value):
        nonlocal row
        fill(ws, row, [name, *(value(one, sign) if callable(value) else value for _, sign, one in columns)])
        ws.cell(row, 8).font = Font(strike=True)
        row += 1

    def anchorage(name, which, station):
        place, aside = which * 3, which * 2
        section(name)
        line("Type d'ancrage", lambda one, _: f"A{one['u']}")
        line("Actif / Passif", lambda one, _: one["kinds"][which])
        line("PM (m)", station)
        line("Cote (m NGF)", lambda one, _: one["levels"][place])
        line("Déport / axe (m)", lambda one, sign: sign * one["aside"][aside])
        line("Rentrée de clavette (mm)", lambda one, _: 6 if one["kinds"][which] == "Actif" else "-")
        line("Dégagement arrière (m)", lambda one, _: one["rooms"][which])

    fill(ws, row, ["Repère du câble", *(mark for mark, _, _ in columns)])
    ws.cell(row, 8).font = Font(strike=True)
    row += 1
    line("Unité", lambda one, _: f"{one['u']}T15S")
    line("Section du toron (mm²)", 150)
    line("fprg (MPa)", 1860)
    line("Gaine PEHD Ø ext. x ép. (mm)", lambda one, _: "140 x 8,3" if one["u"] == 19 else "110 x 6,6")
    anchorage("ANCRAGE C0", 0, 12.0)
    for which, station in ((1, 30.0), (2, 48.0)):
        section(f"DÉVIATEUR D{which}")
        line("PM (m)", station)
        line("Cote (m NGF)", lambda one, _: one["levels"][which])
        line("Déport / axe (m)", lambda one, sign: sign * one["aside"][1])
        line("Angle (rad)", lambda one, _: one["angle"])
        line("Rayon (m)", 4.0)
    anchorage("ANCRAGE P1", 1, 66.0)
    section("MISE EN TENSION")
    line("Force au vérin (kN)", lambda one, _: one["forces"][0])
    line("Force après blocage (kN)", lambda one, _: one["forces"][1])
    line("Allongement C0 (mm)", lambda one, _: one["long"][0])
    line("Allongement P1 (mm)", lambda one, _: one["long"][1])
    line("Coeff. de frottement f (1/rad)", "0,12")
    line("Perte parasite φ (1/m)", "0,001")
    line("Vérin", lambda one, _: "V500" if one["u"] == 19 else "V300")
    line("Produit d'injection", "Cire pétrolière")
    line("Démontable", "oui")
    fill(ws, row, ["Observations", *[None] * 6, "supprimé ind. B"])
    ws.cell(row, 8).font = Font(strike=True)
    ws.cell(row + 2, 1, "Nota : déport compté positif à gauche dans le sens des PM croissants.")
    book.save(OUT / "tableau-des-cables.xlsx")


def captioned_tables():
    """Tables in German and English below one another, each with its caption: tendons, ends, deviators with a column for
    each tendon, strands by their names, and a legend with friction in a sentence."""
    book = Workbook()
    ws = book.active
    ws.title = "Spannglieder"
    ws["A1"] = "Externe Vorspannung / External prestressing"
    fill(ws, 2, ["Plan-Nr. / Drawing no.", None, "V-77", None, "Index / Rev.", "b"])
    # Mark, side, offset, strands, their kind, stressed from, force, elongations, levels at both ends and deviators.
    tendons = [
        ("X1", "links", 1.5, 22, "L16", "A+B", 4400, [220, 215], [212.5, 210.4, 210.3, 212.3]),
        ("X2", "rechts", -1.5, 22, "L16", "A+B", 4400, [220, 215], [212.5, 210.4, 210.3, 212.3]),
        ("X3", "links", 1.0, 19, "L16", "A", 3800, [420, "–"], [212.1, 210.2, 210.1, 211.9]),
        ("X4", "rechts", -1.0, 19, "L16", "A", 3800, [420, "–"], [212.1, 210.2, 210.1, 211.9]),
        ("X5", "Mitte", 0.0, 12, "L13", "B", 1600, ["–", 380], [211.7, 210.0, 209.9, 211.5]),
    ]
    lines = [
        ["Tab. 1: Spannglieder / Tendons"],
        ["Spannglied / Tendon", "Lage / Side", "Litzen / Strands", "Litzentyp / Strand type", "Hüllrohr / Duct [mm]",
         "Spannen von / Stressing from", "P0 Spannpresse / Jacking force [kN]", "Δl Ende A / Elongation end A [mm]",
         "Δl Ende B / Elongation end B [mm]", "Füllgut / Filler", "austauschbar / replaceable", "Bemerkung / Remarks"],
    ]
    for mark, side, _, count, strand, live, force, elongations, _ in tendons:
        duct = "140 x 8.3" if count > 12 else "90 x 5.4"
        lines.append([mark, side, count, strand, duct, live, force, *elongations, "Wachs / wax", "ja / yes"])
    lines += [
        ["Summe / Total", None, 94], [], ["Tab. 2: Verankerungen / Anchorages"],
        ["Spannglied / Tendon", "Ende / End", "Art / Kind", "Ankertyp / Anchorage", "Station [m]",
         "Höhe / Level [m ü. NN]", "Querlage / Offset [m]", "Schlupf / Set [mm]", "Freiraum hinten / Clear behind [cm]",
         "Freiraum oben / Clear above [cm]", "Presse / Jack"],
    ]
    for mark, _, aside, count, _, live, _, _, levels in tendons:
        for end, station, level, less in (("A", 1250.0, levels[0], 0), ("B", 1310.0, levels[3], 10)):
            if end in live:
                jack = "P400" if count > 12 else "P200"
                kind, slip, behind, above = "SP", 8, 150 - less, 60
            else:
                kind, slip, behind, above, jack = "FE", "–", 80 - less, 45, "–"
            name = mark if end == "A" else None
            lines.append([name, end, kind, f"K{count}", station, level, aside, slip, behind, above, jack])
    lines += [[], ["Tab. 3: Umlenkstellen / Deviators"],
              ["Umlenkstelle / Deviator", "Station [m]",
               *(f"Höhe {tendon[0]} / Level {tendon[0]} [m ü. NN]" for tendon in tendons)]]
    for which, name, station in ((1, "U1", 1270.0), (2, "U2", 1290.0)):
        lines.append([name, station, *(tendon[8][which] for tendon in tendons)])
    lines += [
        [], ["Tab. 4: Litzen / Strands"], ["Typ / Type", "d [mm]", "Ap [mm²]", "fpk [N/mm²]", "Ep [N/mm²]"],
        ["L16", 15.7, 150, 1860, 195000], ["L13", 12.9, 100, 1860, 195000], [], ["Legende / Legend"],
        ["SP", "Spannanker / stressing anchorage"], ["FE", "Festanker / dead end anchorage"],
        ["µ = 0,10 /rad; k = 0,5 °/m; Querlage positiv links in Stationierungsrichtung / offset positive to the left "
         "looking up-station"],
    ]
    for row, line in enumerate(lines, 4):
        fill(ws, row, line)
    book.save(OUT / "captioned-tables.xlsx")


def stressing_register():
    """As built: the live end first, whichever it is, ditto marks, a row of units, measured beside theoretical extensions, a
    deleted row and a sum; setting-out of deviators on a second sheet, and a hidden one of the revision before."""
    book = Workbook()
    ws = book.active
    ws.title = "Register"
    ws["A1"] = "EXTERNAL PT - STRESSING & REPLACEMENT REGISTER (AS BUILT)"
    fill(ws, 2, ["Contract no.", "C-1188", None, "Doc. ref.", "REG-014", None, "Revision", "3"])
    fill(ws, 4, ["Tendon", "Girder", "Strands", None, "Sheath", "LIVE END", *[None] * 5, "DEAD END", *[None] * 4, "Force",
                 None, "Extension", None, "Wedge draw-in", "Installed by", "Stressed on", "Replaceable", "Comments"])
    end = ["Location", "Chainage", "RL", "Anchorage", "Clear behind"]
    fill(ws, 5, ["mark", "side", "nos.", "dia.", "OD / wall", *end, "Jack", *end, "Jacking", "After lock-off", "Theor.",
                 "Meas."])
    fill(ws, 6, [None, None, None, "mm", "mm", None, "m", "m", None, "mm", None, None, "m", "m", None, "mm", "kN", "kN",
                 "mm", "mm", "mm"])
    for area in ("F4:K4", "L4:P4", "Q4:R4", "S4:T4", "C4:D4"):
        ws.merge_cells(area)
    ditto = "\""
    for at in range(10):
        is_large = at < 6
        near = ["Pier 4", "0+420.000", round(45.0 - 0.2 * at, 2)]
        far = ["Pier 5", "0+480.000", round(44.8 - 0.2 * at, 2)]
        live, dead = (near, far) if at % 2 == 0 else (far, near)
        count, sheath, jack = (19, "140 / 8.3", "J500") if is_large else (12, "110 / 6.6", "J300")
        jacking, seated = ("3,980", "3,720") if is_large else ("2,510", "2,350")
        is_first = at in (0, 6)
        fill(ws, 7 + at, [
            f"R{at + 1}", {0: "East", 5: "West"}.get(at, ditto), count if is_first else ditto, ditto if at else 15.7,
            sheath if is_first else ditto, *live, f"S{count}", 1450 + 10 * at, jack, *dead, f"F{count}", 700 + 10 * at,
            jacking, seated, 380 + 2 * at, 384 + 3 * at, ditto if at else 6, "Gang 2", f"{at + 3:02d}.06.2023", "Yes",
        ])
    fill(ws, 17, ["R11", ditto, 12])
    ws["Y17"] = "Deleted Rev 2"
    fill(ws, 18, ["Carried forward", None, 162])
    for row, note in enumerate(["NOTES:", "Filler to all tendons: petroleum wax.",
                                "Coefficient of friction 0.14 per rad; wobble K = 0.001 per m.", "\" = as above"], 20):
        ws.cell(row, 1, note)
    ws = book.create_sheet("Deviator setting-out")
    ws["A1"] = "Deviators - setting out (chainage and RL in m, deflection in degrees)"
    fill(ws, 3, ["Tendon", "Deviator", "Chainage", "RL", "Deflection", "Saddle radius (m)"])
    for at in range(10):
        for which, station in enumerate(["0+440.000", "0+460.000"]):
            fill(ws, 4 + 2 * at + which, [None if which else f"R{at + 1}", f"DV{which + 1}", station,
                                          round(43.0 - 0.1 * at - 0.05 * which, 2), round(6.0 - 0.2 * at, 1), 4.5])
    ws = book.create_sheet("Superseded Rev 1")
    ws.sheet_state = "hidden"
    fill(ws, 1, ["Tendon mark", "No. of strands", "Jacking force (kN)"])
    for at in range(12):
        fill(ws, 2 + at, [f"R{at + 1}", 17, 3600])
    book.save(OUT / "stressing-register.xlsx")


for write in (ends_side_by_side, german_list, sheet_per_span, french_columns, captioned_tables, stressing_register):
    write()
