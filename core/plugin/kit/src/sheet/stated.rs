//! How sheets state tendons, told to the author of one in which none was found.

use restrand_model::sheet;

/// How many headers of the sheet of tendons are named as examples.
const EXAMPLES: usize = 5;

/// How sheets state tendons, as advice in whole sentences: the schedule's own layout in short, and what is understood
/// of other sheets.
#[must_use]
pub fn tendons_stated() -> String {
    let headers: Vec<_> = sheet::find("Tendons")
        .map(|sheet| {
            let columns = sheet::columns_of(sheet).iter().take(EXAMPLES);
            columns.map(|column| column.header(None)).collect()
        })
        .unwrap_or_default();
    let mut further: Vec<_> = sheet::SHEETS.iter().map(|sheet| sheet.name).collect();
    further.retain(|name| !sheet::ALWAYS.contains(name));
    format!(
        "Any sheet, or CSV file, is read whose headers name the marks of tendons and what is stated of them; \
         restrand check --reading shows what each was taken for, and a mapping file, begun by restrand mapping new, \
         says what it is. In the schedule's own layout the sheet Tendons has a row of headers, as {}, and a row for \
         each tendon; its other sheets are {}, and for what is listed further {}",
        headers.join(", "),
        sheet::ALWAYS
            .iter()
            .filter(|name| **name != "Tendons")
            .copied()
            .collect::<Vec<_>>()
            .join(", "),
        further.join(", "),
    )
}
