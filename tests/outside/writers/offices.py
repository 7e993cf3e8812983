"""Six tendon schedules as six offices make them. Their expected readings in offices.toml were written down before
the program had read any of them. All names and data are invented."""
import datetime, os, sys
from openpyxl import Workbook
from openpyxl.styles import Font, Alignment, Border, Side, PatternFill
from openpyxl.utils import get_column_letter as L

OUT = sys.argv[1]
TH = Side(style="thin"); BOX = Border(left=TH, right=TH, top=TH, bottom=TH)
B = Font(bold=True); STRIKE = Font(strike=True, color="FF0000")
CEN = Alignment(horizontal="center", vertical="center", wrap_text=True)

def put(ws, ref, v, font=None, fmt=None, al=None, box=False):
    c = ws[ref]; c.value = v
    if font: c.font = font
    if fmt: c.number_format = fmt
    if al: c.alignment = al
    if box: c.border = BOX
    return c

def row(ws, r, vals, c0=1, **kw):
    for i, v in enumerate(vals):
        if v is None and not kw.get("box"): continue
        put(ws, f"{L(c0+i)}{r}", v, **kw)

# ---------------------------------------------------------------- 1 consultant
def f1():
    """UK consultant: title block on top, 3-row merged header, both ends side by
    side, unit row, strike-through, hidden calc column, totals, foot notes."""
    wb = Workbook(); ws = wb.active; ws.title = "Tendon Schedule"
    ws.merge_cells("A1:Z1"); put(ws, "A1", "EXTERNAL REPLACEABLE TENDONS - TENDON SCHEDULE", Font(bold=True, size=14))
    put(ws, "A2", "Project:", B); ws.merge_cells("B2:H2"); put(ws, "B2", "Vellmark Viaduct - South Approach")
    put(ws, "K2", "Drg. No.", B); ws.merge_cells("L2:N2"); put(ws, "L2", "VV-SA-PT-2101")
    put(ws, "P2", "Rev.", B); put(ws, "Q2", "C")
    put(ws, "A3", "Client:", B); ws.merge_cells("B3:H3"); put(ws, "B3", "Vellmark Roads Board")
    put(ws, "K3", "Date", B); put(ws, "L3", datetime.date(2026, 3, 12), fmt="dd/mm/yyyy")
    put(ws, "P3", "Sheet", B); put(ws, "Q3", "1 of 1")
    put(ws, "A4", "Drawn:", B); put(ws, "B4", "PQ"); put(ws, "C4", "Chk'd:", B); put(ws, "D4", "RS")
    # header rows 6 (group) 7 (name) 8 (unit)
    single = {"A": ("Tendon\nmark", None), "B": ("Web", None), "C": ("Span", None),
              "D": ("No. of\nstrands", "no."), "E": ("Strand", None), "F": ("HDPE duct\nOD x t", "mm"),
              "G": ("Length betw.\nanch. faces", "m"), "H": ("Calc ref", None),
              "W": ("Jacking\nforce Pj", "kN"), "X": ("Force after\nlock-off", "kN"),
              "Y": ("Filler", None), "Z": ("Remarks", None), "AA": ("Total\nstrand", "m")}
    for col, (h, u) in single.items():
        if u is None: ws.merge_cells(f"{col}6:{col}8")
        else:
            ws.merge_cells(f"{col}6:{col}7"); put(ws, f"{col}8", u, al=CEN)
        put(ws, f"{col}6", h, B, al=CEN)
    ends = [("Ch.", "m"), ("Level", "m"), ("Offset", "m"), ("Anch.\ntype", None), ("Live /\ndead", None),
            ("Draw-in", "mm"), ("Ext'n", "mm")]
    for g, c0 in (("END A (Abut. S)", 9), ("END B (Pier 1)", 16)):
        ws.merge_cells(start_row=6, end_row=6, start_column=c0, end_column=c0+6)
        put(ws, f"{L(c0)}6", g, B, al=CEN)
        for i, (h, u) in enumerate(ends):
            put(ws, f"{L(c0+i)}7", h, B, al=CEN); put(ws, f"{L(c0+i)}8", u or "-", al=CEN)
    D = [
     ("E101L","L","S1",19,"15.7 ST","125 x 7.4",78.50,"C/14",100.85,52.40,-2.60,"MA-19","Live",6,275,179.15,52.40,-2.60,"MA-19","Live",6,270,3975,3720,"Wax",None),
     ("E101R","R","S1",19,"15.7 ST","125 x 7.4",78.50,"C/14",100.85,52.40, 2.60,"MA-19","Live",6,275,179.15,52.40, 2.60,"MA-19","Live",6,270,3975,3720,"Wax",None),
     ("E102L","L","S1",12,"15.7 ST","110 x 6.6",78.36,"C/15",100.85,51.60,-2.60,"MA-12","Live",6,540,179.15,51.60,-2.60,"MA-12","Dead",0,None,2510,2290,"Wax","Stress after E101 pair"),
     ("E102R","R","S1",12,"15.7 ST","110 x 6.6",78.36,"C/15",100.85,51.60, 2.60,"MA-12","Live",6,540,179.15,51.60, 2.60,"MA-12","Dead",0,None,2510,2290,"Wax","Stress after E101 pair"),
     ("E103L","L","S1",12,"15.7 ST","110 x 6.6",78.30,"C/16",100.85,50.90,-2.60,"MA-12","Live",6,538,179.15,50.90,-2.60,"MA-12","Dead",0,None,2510,2290,"Wax","Deleted Rev C"),
    ]
    r = 9
    for d in D:
        row(ws, r, d, box=True, font=STRIKE if d[0] == "E103L" else None)
        put(ws, f"AA{r}", f"=D{r}*G{r}", fmt="0.0")
        for col in "GIJKPQR": ws[f"{col}{r}"].number_format = "0.00"
        if d[0] == "E103L": ws[f"AA{r}"].font = STRIKE
        r += 1
    # r = 14
    put(ws, "A14", "TOTAL", B); put(ws, "D14", "=SUM(D9:D12)", B); put(ws, "AA14", "=SUM(AA9:AA12)", B, fmt="0.0")
    ws.column_dimensions["H"].hidden = True
    # second table
    put(ws, "A17", "DEVIATION POINTS (tendon C.L.)", B)
    row(ws, 18, ["Tendon", "Dev.", "Ch. (m)", "Level (m)", "Offset (m)", "Min. rad. (m)"], font=B, box=True)
    P = [("E101L","D1",127.00,50.10,-2.40,3.5),('"',"D2",153.00,50.10,-2.40,3.5),
         ("E101R","D1",127.00,50.10,2.40,3.5),('"',"D2",153.00,50.10,2.40,3.5),
         ("E102L","D1",127.00,50.30,-2.40,3.0),('"',"D2",153.00,50.30,-2.40,3.0),
         ("E102R","D1",127.00,50.30,2.40,3.0),('"',"D2",153.00,50.30,2.40,3.0)]
    for i, p in enumerate(P): row(ws, 19+i, p, box=True)
    # third small table
    put(ws, "I17", "REPLACEMENT ACCESS", B)
    row(ws, 18, ["Location", "Clear behind anch. (mm)", "Strand tail (mm)"], c0=9, font=B, box=True)
    row(ws, 19, ["End A", 2500, 900], c0=9, box=True); row(ws, 20, ["End B", 1800, 300], c0=9, box=True)
    notes = ["NOTES", "1. Levels are to tendon centreline at the anchorage face, metres above site datum.",
      "2. Offsets are from C.L. of box, positive to the right looking up chainage.",
      "3. Strand: 7-wire, 15.7 mm dia., 150 mm2, fpk = 1860 N/mm2, E = 195 kN/mm2.",
      "4. Extensions are theoretical, at each jacking end, tolerance +/- 5 %.",
      "5. Tendons shown struck through are deleted at this revision."]
    for i, n in enumerate(notes): put(ws, f"A{29+i}", n, B if i == 0 else None)
    for i in range(1, 28): ws.column_dimensions[L(i)].width = 11
    wb.save(f"{OUT}/both-ends-at-places.xlsx")

# ---------------------------------------------------------------- 2 US DOT style
def f2():
    """US: feet-inches, kips, stations as text, one row per end, tendon cells
    merged over two rows, ditto for the rest, deviator matrix below."""
    wb = Workbook(); ws = wb.active; ws.title = "PT DATA"
    put(ws, "A1", "TENDON DATA TABLE - EXTERNAL TENDONS (UNIT 2)", Font(bold=True, size=13)); ws.merge_cells("A1:P1")
    row(ws, 3, ["TENDON", "SIZE", "DUCT", "LENGTH\n(FT)", "END", "LOCATION", "STATION", "ELEV.\n(FT)", "OFFSET\nFROM C.L. BOX",
                "LIVE/\nDEAD", "P-JACK\n(KIPS)", "P-ANCH\n(KIPS)", "ANCHOR\nSET", "ELONG.\n(IN)", "CLR. BEHIND\nANCHOR", "TAIL\n(IN)"], font=B, al=CEN, box=True)
    D = [
     ("T1-L",'19-0.6"','4" SDR 17',251.1,"1","ABUT. 1","12+34.50",104.50,"4'-6\" LT","LIVE",835,790,'1/4"',10.5,"6'-0\"",36),
     ("T1-L",None,None,None,"2","PIER 2","14+85.00",104.50,"4'-6\" LT","LIVE",835,790,'1/4"',10.25,"5'-6\"",36),
     ("T1-R",'19-0.6"','4" SDR 17',251.1,"1","ABUT. 1","12+34.50",104.50,"4'-6\" RT","LIVE",'"','"','"','"','"','"'),
     ("T1-R",None,None,None,"2","PIER 2","14+85.00",104.50,"4'-6\" RT","LIVE",'"','"','"',10.25,"5'-6\"",'"'),
     ("T2-L",'12-0.6"','3" SDR 17',250.7,"1","ABUT. 1","12+34.50",102.00,"4'-6\" LT","LIVE",527,480,'1/4"',20.75,"6'-0\"",36),
     ("T2-L",None,None,None,"2","PIER 2","14+85.00",102.00,"4'-6\" LT","DEAD",None,None,None,None,"5'-6\"",12),
     ("T2-R",'12-0.6"','3" SDR 17',250.7,"1","ABUT. 1","12+34.50",102.00,"4'-6\" RT","LIVE",527,480,'1/4"',20.75,"6'-0\"",36),
     ("T2-R",None,None,None,"2","PIER 2","14+85.00",102.00,"4'-6\" RT","DEAD",None,None,None,None,"5'-6\"",12),
    ]
    for i, d in enumerate(D):
        r = 4+i
        vals = list(d)
        if i % 2: vals[0] = None
        if i == 2: vals[13] = 10.5
        row(ws, r, vals, box=True)
        ws[f"H{r}"].number_format = "0.00"
    for r in (4, 6, 8, 10):
        for col in "ABCD": ws.merge_cells(f"{col}{r}:{col}{r+1}")
    put(ws, "A12", "TOTAL STRAND (LB)"); put(ws, "D12", "=(19*2*251.1+12*2*250.7)*0.74", fmt="#,##0")
    put(ws, "A14", "DEVIATOR LOCATIONS", B)
    row(ws, 15, ["DEV.", "STATION", "EL. T1-L & T1-R (FT)", "EL. T2-L & T2-R (FT)", "OFFSET L/R"], font=B, box=True)
    row(ws, 16, ["D1", "13+18.00", 97.25, 97.75, "4'-0\""], box=True)
    row(ws, 17, ["D2", "14+01.50", 97.25, 97.75, "4'-0\""], box=True)
    for i, n in enumerate(["GENERAL NOTES:", "1. STRAND: ASTM A416 GRADE 270 LOW RELAXATION, 0.6\" DIA., A = 0.217 SQ. IN., E = 28,500 KSI.",
       "2. DUCT: SMOOTH HDPE PIPE, SIZES ARE NOMINAL IPS.", "3. FILLER: FLEXIBLE FILLER (WAX), ALL TENDONS.",
       "4. STATIONS ARE ALONG C.L. CONSTRUCTION. ELEVATIONS ARE TO C.L. TENDON.",
       "5. ELONGATIONS ARE MEASURED AT THE JACK BEFORE SEATING."]):
        put(ws, f"A{20+i}", n, B if i == 0 else None)
    # title block bottom right, label above value
    for ref, v in {"K20":"PROJECT","K21":"COLTER BEND BRIDGE REPLACEMENT","N20":"DWG. NO.","N21":"PT-04","O20":"REV.","O21":2,
                   "P20":"DATE","P21":"05/18/2026"}.items():
        put(ws, ref, v, B if ref.endswith("20") else None, box=True)
    wb.save(f"{OUT}/kips-row-per-end.xlsx")

# ---------------------------------------------------------------- 3 sheet per web
def f3():
    """Sheet per web, General sheet with captioned tables, units only in number
    formats."""
    wb = Workbook(); g = wb.active; g.title = "General"
    put(g, "A1", "Ostrand Fjord Crossing", Font(bold=True, size=14))
    put(g, "A2", "External post-tensioning, cantilever units 4-5")
    row(g, 3, ["Doc. no.", "OFC-4-PT-007"]); row(g, 4, ["Revision", "02"]); row(g, 5, ["Prepared", "KL", "Checked", "MN"])
    put(g, "A7", "Table 1: Prestressing strand", B)
    row(g, 8, ["Type", "Nom. dia.", "Area", "fpk", "fp0,1k", "Ep", "Mass"], font=B, box=True)
    row(g, 9, ["Y1860S7-15.7", 15.7, 150, 1860, 1640, 195, 1.172], box=True)
    for c, f in zip("BCDEFG", ['0.0" mm"','0" mm²"','0" MPa"','0" MPa"','0" GPa"','0.000" kg/m"']): g[f"{c}9"].number_format = f
    put(g, "A12", "Table 2: Ducts (PE100)", B)
    row(g, 13, ["Duct", "OD", "Wall", "SDR", "For tendon unit"], font=B, box=True)
    row(g, 14, ["P1", 140, 8.3, 17, "19 str."], box=True); row(g, 15, ["P2", 110, 6.6, 17, "12 str."], box=True)
    for r in (14, 15): g[f"B{r}"].number_format = '0" mm"'; g[f"C{r}"].number_format = '0.0" mm"'
    put(g, "A18", "Table 3: Friction / losses", B)
    row(g, 19, ["mu (1/rad)", 0.12]); row(g, 20, ["k (rad/m)", 0.0]); row(g, 21, ["Anchorage slip", 6]); g["B21"].number_format = '0" mm"'
    row(g, 22, ["Filler", "Petroleum wax"])
    for web, sgn, marks in (("West", -1, ("W1", "W2")), ("East", 1, ("E1", "E2", "E3"))):
        ws = wb.create_sheet(f"{web} web")
        put(ws, "A1", f"Ostrand Fjord Crossing - tendons, {web.lower()} web", Font(bold=True, size=12))
        put(ws, "A3", "Tendon list", B)
        row(ws, 4, ["Tendon", "Unit", "Duct", "Length", "Pj", "Stressing", "Elong. A", "Elong. B", "Clearance A", "Clearance B", "Tail A", "Tail B"], font=B, box=True)
        T = {1: ("19/15.7", "P1", 85.53, 3970, "A + B", 290, 285, 2200, 2200, 800, 800),
             2: ("12/15.7", "P2", 85.31, 2510, "A", 560, None, 2200, 1500, 800, 250),
             3: ("12/15.7", "P2", 85.28, 2510, "B", None, 558, 1500, 2200, 250, 800)}
        for i, m in enumerate(marks):
            r = 5+i; row(ws, r, [m, *T[i+1]], box=True)
            for c, f in dict(D='0.00" m"', E='#,##0" kN"', G='0" mm"', H='0" mm"', I='#,##0" mm"', J='#,##0" mm"', K='0" mm"', L='0" mm"').items():
                ws[f"{c}{r}"].number_format = f
        n = 5+len(marks)
        put(ws, f"A{n}", "Sum", B); put(ws, f"D{n}", f"=SUM(D5:D{n-1})", B, fmt='0.00" m"')
        r = n+3
        put(ws, f"A{r}", "Profile points", B); r += 1
        row(ws, r, ["Tendon", "Pt", "Sta.", "Y", "Z", "Type"], font=B, box=True); r += 1
        st = [412.5, 440.0, 455.0, 470.0, 497.5]
        Z = {1: [31.80,29.60,31.90,29.60,31.80], 2: [31.20,29.80,31.70,29.80,31.20], 3: [30.80,29.90,31.60,29.90,30.80]}
        Y = [3.10, 2.90, 2.90, 2.90, 3.10]
        typ = ["Anch. A", "Deviator", "Pier saddle", "Deviator", "Anch. B"]
        for i, m in enumerate(marks):
            for k in range(5):
                row(ws, r, [m if k == 0 else None, k+1, st[k], sgn*Y[k], Z[i+1][k], typ[k]], box=True)
                for c in "CDE": ws[f"{c}{r}"].number_format = '0.000" m"'
                r += 1
            r += 1      # a blank row between tendons
    wb.save(f"{OUT}/web-sheets.xlsx")

# ---------------------------------------------------------------- 4 transposed
def f4():
    """Transposed: tendons across, data down, unit column; mm throughout."""
    wb = Workbook(); ws = wb.active; ws.title = "Cable data"
    put(ws, "A1", "Project"); put(ws, "C1", "Harrowick Flyover - Ramp D"); put(ws, "F1", "Issue"); put(ws, "G1", "B")
    put(ws, "A2", "Title"); put(ws, "C2", "External cable data sheet"); put(ws, "F2", "Doc"); put(ws, "G2", "HF-D-204")
    rows = [
     ("Cable", None, "C1", "C2", "C3", "C4"),
     ("Web", None, "Inner", "Outer", "Inner", "Outer"),
     ("Number of strands", "-", 15, 15, 12, 12),
     ("Strand", None, '15.2 mm (0.6")', '15.2 mm (0.6")', '15.2 mm (0.6")', '15.2 mm (0.6")'),
     ("Duct o.d.", "mm", 110, 110, 110, 110),
     ("Duct wall", "mm", 6.6, 6.6, 6.6, 6.6),
     ("Filler", None, "Grease", "Grease", "Grease", "Grease"),
     ("Force per strand at jack", "kN", 195, 195, 195, 195),
     ("Jacking force", "kN", 2925, 2925, 2340, 2340),
     ("Cable length", "mm", 52966, 52966, 52876, 52876),
     ("LEFT END", None, None, None, None, None),
     ("Anchorage", None, "Active", "Active", "Active", "Active"),
     ("x", "mm", 600, 600, 600, 600),
     ("y", "mm", -1800, 1800, -1800, 1800),
     ("z", "mm", 2150, 2150, 1750, 1750),
     ("Wedge pull-in", "mm", 6, 6, 6, 6),
     ("Room for removal", "mm", 1500, 1500, 1500, 1500),
     ("Strand protrusion", "mm", 750, 750, 750, 750),
     ("DEVIATOR 1", None, None, None, None, None),
     ("x", "mm", 18000, 18000, 18000, 18000), ("y", "mm", -1700, 1700, -1700, 1700), ("z", "mm", 450, 450, 600, 600),
     ("DEVIATOR 2", None, None, None, None, None),
     ("x", "mm", 36000, 36000, 36000, 36000), ("y", "mm", -1700, 1700, -1700, 1700), ("z", "mm", 450, 450, 600, 600),
     ("RIGHT END", None, None, None, None, None),
     ("Anchorage", None, "Active", "Active", "Passive", "Passive"),
     ("x", "mm", 53400, 53400, 53400, 53400),
     ("y", "mm", -1800, 1800, -1800, 1800),
     ("z", "mm", 2150, 2150, 1750, 1750),
     ("Wedge pull-in", "mm", 6, 6, None, None),
     ("Room for removal", "mm", 1200, 1200, 900, 900),
     ("Strand protrusion", "mm", 750, 750, 200, 200),
     ("Elongation", "mm", 355, 355, 350, 350),
    ]
    for i, rr in enumerate(rows):
        r = 4+i
        row(ws, r, rr)
        if rr[1] is None and rr[2] is None:
            ws.merge_cells(f"A{r}:F{r}"); ws[f"A{r}"].font = B; ws[f"A{r}"].fill = PatternFill("solid", fgColor="DDDDDD")
    for c in "ABCDEF": ws[f"{c}4"].font = B
    e = 4+len(rows)+1
    put(ws, f"A{e}", "Coordinates: x along the ramp from bearing axis 1, y across from C.L. (+ outward), z up from soffit.")
    put(ws, f"A{e+1}", "Strand Aps 140 mm², fpk 1860 MPa.  Cables C5, C6: not used.")
    ws.column_dimensions["A"].width = 28
    wb.save(f"{OUT}/sideways-sections.xlsx")

# ---------------------------------------------------------------- 5 CSV cp1252
def f5():
    """Bilingual French/English export: cp1252, ';', decimal comma, nbsp thousands."""
    nb = "\u00a0"
    lines = [
     "Projet / Project;Viaduc de Brévalon;;;;;Indice / Rev.;D",
     "Plan n°;BRV-PRE-112;;;;;Date;07.04.2026",
     ";;",
     "Câble / Tendon;Travée / Span;Âme / Web;Nb torons / No. of strands;Toron / Strand;Gaine Ø ext. (mm);Gaine ép. (mm);Longueur / Length (m);"
     "A x (m);A z (m);D1 x (m);D1 z (m);D2 x (m);D2 z (m);B x (m);B z (m);y (m);Effort au vérin / Jacking force (kN);"
     "Actif/passif A;Actif/passif B;Rentrée d'ancrage / Set (mm);Allong. A (mm);Allong. B (mm);Dégagement A (mm);Dégagement B (mm);Surlongueur A (mm);Injection / Filler;Observations",
     f"F1;T3;G;19;T15S;125;7,4;70,64;0,75;2,35;24,00;0,55;48,00;0,55;71,25;2,35;-2,25;3{nb}975,0;actif;actif;6;250;245;2{nb}400;2{nb}400;850;cire / wax;",
     f"F2;T3;D;19;T15S;125;7,4;70,64;0,75;2,35;24,00;0,55;48,00;0,55;71,25;2,35;2,25;3{nb}975,0;actif;actif;6;250;245;2{nb}400;2{nb}400;850;cire / wax;",
     f"F3;T3;G;12;T15S;110;6,6;70,57;0,75;1,90;24,00;0,65;48,00;0,65;71,25;1,90;-2,25;2{nb}510,5;actif;passif;6;485;;2{nb}400;1{nb}600;850;cire / wax;mise en tension après F1, F2",
     f"F4;T3;D;12;T15S;110;6,6;70,57;0,75;1,90;24,00;0,65;48,00;0,65;71,25;1,90;2,25;2{nb}510,5;actif;passif;6;485;;2{nb}400;1{nb}600;850;cire / wax;idem",
     "Total;;;62;;;;282,42",
     "",
     "T15S : toron Ø 15,7 mm, 150 mm², fprg 1860 MPa;",
     "z : cote au-dessus de l'intrados, y : écart à l'axe (+ à droite);",
    ]
    with open(f"{OUT}/two-tongues.csv", "wb") as f: f.write(("\r\n".join(lines)+"\r\n").encode("cp1252"))

# ---------------------------------------------------------------- 6 contractor, continuation sheets
def f6():
    """Stressing subcontractor: cont'd sheets, units typed in the cells, ditto
    words, A / B pairs in one cell, subtotal / brought forward, hidden old no."""
    wb = Workbook(); wb.remove(wb.active)
    hdr = ["Item", "Old No.", "Tendon No.", "Strands", "Duct", "Length", "Chainage\nA / B", "Level\nA / B", "Ecc. to C.L.", "Force at\njack", "Stress\nfrom", "Elong.\nA / B", "Set", "Tail", "Access behind anch.\nA / B", "Notes"]
    S1 = [
     (1,"107","S1-1","22 x 15.7","140 OD SDR 17",60.45,"1+200.500 / 1+260.500","18.20 / 18.20","2.100 L","4.60 MN","A & B","210 / 205 mm","6 mm","800","2.0 m / 2.0 m",None),
     (2,"108","S1-2","do.","do.",60.45,"do.","do.","2.100 R","do.","do.","do.","do.","do.","do.",None),
     (3,"109","S1-3","12 x 15.7","110 OD SDR 17",60.30,"1+200.500 / 1+260.500","17.60 / 17.60","2.100 L","2.51 MN","A","412 / - mm","6 mm","800","2.0 m / 1.2 m","see note 3"),
     (4,"110","S1-4","do.","do.",60.30,"do.","do.","2.100 R","do.","do.","do.","do.","do.","do.","see note 3"),
    ]
    S2 = [
     (5,"111","S2-1","22 x 15.7","140 OD SDR 17",60.45,"1+261.500 / 1+321.500","18.50 / 18.50","2.100 L","4.60 MN","A & B","210 / 205 mm","6 mm","800","2.0 m / 2.0 m",None),
     (6,"112","S2-2","do.","do.",60.45,"do.","do.","2.100 R","do.","do.","do.","do.","do.","do.",None),
     (7,"113","S2-3","12 x 15.7","110 OD SDR 17",60.30,"1+261.500 / 1+321.500","17.90 / 17.90","2.100 L","2.51 MN","B","- / 410 mm","6 mm","800","1.2 m / 2.0 m",None),
     (8,"114","S2-4","do.","do.",60.30,"do.","do.","2.100 R","do.","do.","do.","do.","do.","do.","Omitted"),
    ]
    for k, S in ((1, S1), (2, S2)):
        ws = wb.create_sheet(f"Sht {k}")
        put(ws, "A1", "TENDON SCHEDULE" + (" (cont'd)" if k == 2 else ""), Font(bold=True, size=14)); ws.merge_cells("A1:F1")
        put(ws, "A2", "Contract: Marrow Lane Overbridge widening"); put(ws, "J2", "Schedule No: MLO/PT/3"); put(ws, "M2", "Rev: A"); put(ws, "O2", f"Sheet {k} of 2")
        row(ws, 4, hdr, font=B, al=CEN, box=True)
        r = 5
        if k == 2:
            row(ws, r, ["Brought forward", None, None, None, None, "='Sht 1'!F10"]); r += 1
        for s in S:
            row(ws, r, s, box=True, font=STRIKE if s[2] == "S2-4" else None); r += 1
        r += 1
        a, b = (5, 8) if k == 1 else (6, 8)
        row(ws, r, ["Sub-total" if k == 1 else "Total", None, None, None, None, f"=SUM(F{a}:F{b})" + ("+F5" if k == 2 else "")], font=B)
        ws.column_dimensions["B"].hidden = True
        r += 3
        for n in ["Notes:", "1. All dimensions in millimetres unless noted otherwise.", "2. Ducts PE100 to SDR shown. Filling: microcrystalline wax after stressing.",
                  "3. Not to be stressed before the 22-strand tendons of the span.", "4. Strand 15.7 dia., 150 mm2, 279 kN min. breaking load."]:
            put(ws, f"A{r}", n); r += 1
    ws = wb.create_sheet("Deviators")
    put(ws, "A1", "DEVIATOR SETTING-OUT"); 
    row(ws, 3, ["Span", "Deviator", "Chainage", "Level, 22-str. tendons", "Level, 12-str. tendons"], font=B, box=True)
    for i, d in enumerate([("S1","D1","1+220.500",16.40,16.60),('"',"D2","1+240.500",'"','"'),("S2","D1","1+281.500",16.70,16.90),('"',"D2","1+301.500",'"','"')]):
        row(ws, 4+i, d, box=True)
    wb.save(f"{OUT}/pairs-in-cells.xlsx")

if __name__ == "__main__":
    for f in (f1, f2, f3, f4, f5, f6): f()
