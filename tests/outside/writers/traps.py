"""Small schedules with traps: headers whose words name another value than the field's, ends named from the higher
station, values that are struck, shown in hundredths or hidden, sums without a word for them, and registers beside the
schedule that read like title blocks. What they must read as stands in traps.toml. All names and data are invented."""
import sys
from openpyxl import Workbook
from openpyxl.styles import Font

OUT = sys.argv[1]


def book(name, *sheets, merge=(), after=None):
    """Writes a workbook of sheets, each a name and rows; `merge` and `after` are of the first."""
    wb = Workbook()
    wb.remove(wb.active)
    for title, rows in sheets:
        ws = wb.create_sheet(title)
        for r, row in enumerate(rows, 1):
            for c, value in enumerate(row, 1):
                if value is not None:
                    ws.cell(row=r, column=c, value=value)
    first = wb.worksheets[0]
    for one in merge:
        first.merge_cells(one)
    if after:
        after(first)
    wb.save(f"{OUT}/{name}.xlsx")


def falling():
    """Ends named from the higher station on: in a row, in groups called after places, in a row for each end, sideways,
    and in tables of their own; each with what belongs to the ends."""
    book("falling-in-a-row", ("Tendons", [
        ["Tendon", "No. of strands", "End A chainage (m)", "End A level (m)", "End A clearance behind (mm)", "End A type",
         "Elongation A (mm)", "End B chainage (m)", "End B level (m)", "End B clearance behind (mm)", "End B type",
         "Jacking end"],
        ["K1", 19, 160, 12, 2500, "live", 300, 100, 10, 900, "dead", "A"],
        ["K2", 19, 100, 10, 900, "dead", None, 160, 12, 2500, "live", "B"],
    ]))
    book("falling-between-places", ("Tendons", [
        ["Tendon", "No. of strands", "North end", None, None, "South end", None, None],
        [None, None, "Chainage (m)", "Clearance behind (mm)", "Set (mm)", "Chainage (m)", "Clearance behind (mm)", "Set (mm)"],
        ["K1", 19, 60, 2500, 6, 0, 900, 8],
    ]), merge=("C1:E1", "F1:H1"))
    book("falling-row-per-end", ("Tendons", [
        ["Tendon", "Anchored at", "Strands", "Chainage (m)", "Elongation (mm)", "Clearance behind (mm)", "Type"],
        ["K1", "Pier 2", 19, 60, 120, 900, "live"], [None, "Abut. 1", None, 0, 310, 2500, "live"],
        ["K2", "Pier 2", 12, 60, None, 800, "dead"], [None, "Abut. 1", None, 0, 295, 2400, "live"],
    ]))
    book("falling-sideways", ("Tendons", [
        ["Tendon", "K1", "K2"], ["No. of strands", 19, 12], ["Jacking force (kN)", 3900, 2460],
        ["LEFT END"], ["Chainage (m)", 60, 60], ["Clear behind (mm)", 2500, 2400],
        ["RIGHT END"], ["Chainage (m)", 0, 0], ["Clear behind (mm)", 900, 800],
    ]))
    book("falling-in-tables", ("Tendons", [["Tendon", "Strands", "Stressed from"], ["K1", 19, "A"], ["K2", 12, "both ends"]]),
         ("Geometry", [["Tendon", "Point", "Chainage (m)", "Level (m)"],
                       ["K1", "A", 60, 12], ["K1", "D1", 40, 10], ["K1", "B", 0, 11],
                       ["K2", "A", 60, 12], ["K2", "D1", 40, 10], ["K2", "B", 0, 11]]),
         ("Access", [["Tendon", "End", "Clear behind (mm)"], ["K1", "A", 2500], ["K1", "B", 900], ["K2", "A", 2400],
                     ["K2", "B", 800]]))
    book("falling-by-places", ("Tendons", [
        ["Tendon", "Strands", "End A location", "End B location", "Elongation A (mm)", "Elongation B (mm)"],
        ["K1", 19, "Pier 4", "Abut. 1", 310, 90]]),
         ("Profile", [["Tendon", "Location", "Chainage (m)", "Level (m)"],
                      ["K1", "Abut. 1", 5, 12], ["K1", "Dev. 1", 20, 10], ["K1", "Pier 4", 50, 12]]))


def qualified():
    """Headers in which a word says that the value is another, or one of another thing."""
    book("greatest-and-spare", ("Tendons", [
        ["Tendon", "Strands", "Max. strands", "Spare strands", "Max. duct OD (mm)", "Max. jacking force (kN)"],
        ["K1", 19, 22, 3, 160, 4400], ["K2", 12, 15, 3, 140, 2800]]))
    book("forces-of-others", ("Tendons", [
        ["Tendon", "Strands", "Jacking force for pair (kN)", "Max. force (kN)", "Design force (kN)", "Breaking load (kN)"],
        ["K1", 19, 7800, 5301, 3300, 5301], ["K2", 12, 4920, 3348, 2100, 3348]]))
    book("plain-beside-qualified", ("Tendons", [
        ["Tendon", "Strands", "Jacking force (kN)", "Jacking force per pair (kN)", "Test jacking force (kN)",
         "Previous jacking force (kN)"],
        ["K1", 19, 3900, 7800, 4100, 3700], ["K2", 12, 2460, 4920, 2600, 2400]]))
    book("lengths-of-others", ("Tendons", [
        ["Tendon", "Strands", "Overall strand length (m)", "Grout tube length (m)", "Cut strand length (m)"],
        ["K1", 19, 63.5, 4.1, 64.0], ["K2", 12, 63.5, 4.1, 64.0]]))
    book("pipes-of-others", ("Tendons", [
        ["Tendon", "Strands", "Length (m)", "Deviator pipe OD (mm)", "Deviator pipe wall (mm)", "Steel pipe OD (mm)",
         "Trumpet pipe OD (mm)"],
        ["K1", 19, 41.5, 168.3, 5, 159, 180], ["K2", 12, 41.5, 139.7, 5, 133, 150]]))
    book("groups-that-qualify", ("Tendons", [
        ["Tendon", "No. of strands", "After anchoring", None, "Previous tendon", None, "Measured", None],
        [None, None, "Force (kN)", "Elongation A (mm)", "Jacking force (kN)", "Length (m)", "Elongation A (mm)", "Duct OD (mm)"],
        ["K1", 19, 3500, 290, 3800, 40.5, 296, 139.6], ["K2", 12, 2200, 280, 2400, 40.5, 284, 109.8]]),
         merge=("C1:D1", "E1:F1", "G1:H1"))
    book("groups-of-others", ("Tendons", [
        ["Tendon", "No. of strands", "Duct", None, "Strand", None, "Jack", None, "Deck", None],
        [None, None, "Length (m)", "OD (mm)", "Length (m)", "Coating", "Length (mm)", "Mass (kg)", "Level A (m)", "Level B (m)"],
        ["K1", 19, 38, 140, 42.5, "bare", 1300, 400, 14.1, 14.3], ["K2", 12, 38, 110, 42.5, "bare", 1100, 320, 14.1, 14.3]]),
         merge=("C1:D1", "E1:F1", "G1:H1", "I1:J1"))
    book("what-may-differ", ("Tendons", [
        ["Tendon", "Strands", "Elongation A (mm)", "Elongation A +/- (mm)", "Elongation B +5 % (mm)", "Strands removed",
         "Old tendon mark"],
        ["K1", 19, 300, 15, 315, 2, "Z1"], ["K2", 12, 290, 14.5, 304, 1, "Z2"]]))
    book("as-built-beside-design", ("Tendons", [
        ["Tendon", "Strands", "Design jacking force (kN)", "As-built jacking force (kN)", "Theoretical elongation A (mm)",
         "Site elongation A (mm)", "Anchorage set A (mm)", "Anchorage set allowed for at A (mm)"],
        ["K1", 19, 3900, 3912, 300, 306, 6, 8], ["K2", 12, 2460, 2451, 290, 284, 6, 8]]))
    book("rooms-of-others", ("Tendons", [
        ["Tendon", "Strands", "Min. clearance behind A (mm)", "Required clearance behind B (mm)", "Jack clearance A (mm)"],
        ["K1", 19, 2500, 1500, 1300], ["K2", 12, 2400, 1500, 1300]]))
    book("jacks-at-places", ("Tendons", [
        ["Tendon", "Strands", "Jacking force (kN)", "Jack at"],
        ["K1", 19, 3900, "Pier 1"], ["K2", 12, 2460, "Pier 1"]]))


def cells():
    """Values that are struck, shown in hundredths, or hidden."""
    def struck(ws):
        ws["C2"].font = Font(strike=True)
        ws["A4"].font = Font(strike=True)
    book("struck-cells", ("Tendons", [
        ["Tendon", "Strands", "Jacking force (kN)"],
        ["K1", 19, 3800], ["K2", 12, 2460], ["K3", 12, 2460]]), after=struck)

    def hundredths(ws):
        ws["C2"].number_format = "0%"
        ws["D2"].number_format = "0.0%"
    book("hundredths", ("Tendons", [
        ["Tendon", "Strands", "Jacking stress (% of fpu)", "End A slope (%)"],
        ["K1", 19, 0.75, 0.05], ["K2", 12, 75, 5]]), after=hundredths)

    def hidden(ws):
        ws.column_dimensions["C"].hidden = True
    book("hidden-and-shown", ("Tendons", [
        ["Tendon", "Strands", "Jacking force (kN)", "Pj (kN)"],
        ["K1", 19, 3800, 3900], ["K2", 12, 2400, 2460]]), after=hidden)
    book("hidden-and-near", ("Tendons", [
        ["Tendon", "Strands", "Jacking force (kN)", "Jacking force rev. C (kN)"],
        ["K1", 19, 3800, 3900], ["K2", 12, 2400, 2460]]), after=hidden)


def rows():
    """Sums without a word for them, tendons whose numbers add up by chance, and an end that is called End."""
    book("sums-without-a-word", ("Tendons", [
        ["Mark", "No. of strands", "Jacking force (kN)"],
        ["WEB 1"], ["T1", 19, 3900], ["T2", 12, 2460], ["Web 1", 31, 6360],
        ["WEB 2"], ["T3", 19, 3900], ["T4", 12, 2460], ["Web 2", 31, 6360], ["All", 62, 12720]]))
    book("tendons-that-add-up", ("Tendons", [
        ["Mark", "No. of strands", "Jacking force (kN)"],
        ["T1", 7, 1470], ["T2", 12, 2520], ["T3", 19, 3990]]))
    book("one-mark-for-both-sides", ("Tendons", [
        ["Mark", "Side", "No. of strands", "Ch. A (m)", "Ch. B (m)", "Clear behind A (mm)"],
        ["X1", "L", 19, 0, 60, 2500], ["X1", "R", 15, 0, 60, 2400],
        ["X2", "L", 12, 60, 110, 1800], ["\"", "R", "\"", "\"", "\"", 1700]]))
    book("end-alone", ("Tendons", [
        ["Tendon", "End", "Strands", "Chainage (m)", "Clear behind (mm)"],
        ["K1", "Start", 19, 0, 2500], ["K1", "End", 19, 60, 900],
        ["K2", "Start", 12, 0, 2400], ["K2", "End", 12, 60, 800]]))
    book("stressed-from-end", ("Tendons", [
        ["Tendon", "Strands", "Stressed from"], ["K1", 19, "End"], ["K2", 12, "End"]]))


def registers():
    """A legend, a register of drawings and a list of revisions beside the schedule."""
    list_of = [["Mark", "No. of strands", "Jacking force (kN)"], ["T1", 19, 3900], ["T2", 12, 2460]]
    book("registers", ("PT", [["Drawing", "PT-07"], [], *list_of]),
         ("Legend", [["Code", "Meaning"], ["SE", "Stressing end"], ["FE", "Fixed end"]]),
         ("Codes", [["Stage", "Meaning"], ["1", "before closure"], ["Code", "Colour code"], ["Date", "Date of issue"]]),
         ("Cover", [["Drawing", "Title", "Rev"], ["S-101", "General arrangement", "A"], ["S-102", "Tendon schedule", "B"],
                    ["Owner", "(by others)", "-"]]),
         ("Revisions", [["Rev", "Description", "Date", "By"], ["A", "First issue", "2030-02-01", "XY"],
                        ["B", "Force of T2", "2030-03-01", "XY"]]))
    book("one-revision", ("PT", [*list_of, [], ["Rev", "Description", "Date"], ["A", "First issue", "2030-02-01"]]))


for write in (falling, qualified, cells, rows, registers):
    write()
