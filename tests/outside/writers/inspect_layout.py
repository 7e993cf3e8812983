"""Opens a workbook with openpyxl and finds in it what people need: notes, drop-downs, frozen headers, pages."""

import sys

from openpyxl import load_workbook

ASIDE = {"Read me", "Corrections", "Open findings"}


def main(source):
    book = load_workbook(source)
    for sheet in book.worksheets:
        if sheet.title in ASIDE:
            continue
        where = f"{source}: {sheet.title}"
        assert sheet.freeze_panes and int("".join(filter(str.isdigit, sheet.freeze_panes))) == 2, where
        assert sheet.print_title_rows in ("$1:$1", "1:1"), (where, sheet.print_title_rows)
        assert sheet.page_setup.orientation == "landscape", where
        assert int(sheet.page_setup.paperSize) == 8, where
        assert sheet.page_setup.fitToHeight == 0, where
        assert sheet.sheet_properties.pageSetUpPr.fitToPage, where
        assert "&A" in sheet.oddFooter.center.text, (where, sheet.oddFooter.center.text)
        for cell in sheet[1]:
            if cell.value and not str(cell.value).startswith("extra:"):
                assert cell.comment is not None, f"{where}: {cell.coordinate} {cell.value}"
                assert len(cell.comment.text) > 4, f"{where}: {cell.coordinate}"
                assert cell.alignment.wrap_text, f"{where}: {cell.coordinate}"

    tendons = book["Tendons"]
    columns = {cell.value: cell.column_letter for cell in tendons[1]}
    lists = {}
    for choice in tendons.data_validations.dataValidation:
        assert choice.errorStyle == "warning", choice.sqref
        lists[str(choice.sqref).split(":")[0]] = choice.formula1
    assert lists[f"{columns['Strand']}2"].startswith("Strands!$A$2:$A$"), lists
    assert "in_use" in lists[f"{columns['Status']}2"], lists
    parts = book["AnchorageParts"]
    roles = [choice.formula1 for choice in parts.data_validations.dataValidation]
    assert any("wedge_plate" in role for role in roles), roles


if __name__ == "__main__":
    main(sys.argv[1])
