//! Columns that show what follows from others.
//!
//! They are no columns of the schedule, and nothing of them is read: a schedule states values and repeats
//! none, and a formula that a program has saved without calculating it must not look like a lost value.

use restrand_kit::sheet::{COMPUTED as PREFIX, OutCell, SheetOut};
use restrand_model::quantity::{Dimension, System, Unit};
use restrand_model::reflect::Shape;
use restrand_model::sheet::{self, Column, Header};
use rust_xlsxwriter::utility::column_number_to_name;
use rust_xlsxwriter::{Formula, Worksheet, XlsxError};

use crate::write::{Look, Meaning};

/// Rows that have formulas: more are copied down by hand.
const FORMULA_ROWS: u32 = 200;
/// The width of a computed column in letters.
const WIDTH: f64 = 18.0;

/// A value that follows from those of a row.
#[derive(Debug)]
struct Computed {
    /// The sheet.
    sheet: &'static str,
    /// What it is, as its header says.
    label: &'static str,
    /// How it follows, in words.
    how: &'static str,
    /// Its unit in SI.
    unit: Option<(&'static str, Dimension)>,
    form: Form,
}

/// How a value follows from others; `strand.area_mm2` is a value of the record that `strand` names.
#[derive(Debug)]
enum Form {
    /// The first less so many times the second, both in one unit.
    Less(&'static str, f64, &'static str),
    /// The product of the first, divided by the product of the second, times a factor for values in SI.
    Ratio(&'static [&'static str], &'static [&'static str], f64),
}

const fn of(
    sheet: &'static str,
    label: &'static str,
    how: &'static str,
    unit: Option<(&'static str, Dimension)>,
    form: Form,
) -> Computed {
    Computed { sheet, label, how, unit, form }
}

/// What the template computes.
static COMPUTED: &[Computed] = &[
    of(
        "Tendons",
        "Steel area",
        "Strand count times the area of one strand.",
        Some(("mm²", Dimension::Area)),
        Form::Ratio(&["strand_count", "strand.area_mm2"], &[], 1.0),
    ),
    of(
        "Tendons",
        "Steel mass for each length",
        "Strand count times the mass of one strand.",
        Some(("kg/m", Dimension::LinearMass)),
        Form::Ratio(&["strand_count", "strand.mass_kg_per_m"], &[], 1.0),
    ),
    of(
        "Tendons",
        "Jacking stress",
        "Jacking force divided by the steel area.",
        Some(("MPa", Dimension::Stress)),
        Form::Ratio(&["stressing.jacking_force_kn"], &["strand_count", "strand.area_mm2"], 1000.0),
    ),
    of(
        "DuctRuns",
        "Length",
        "To less from.",
        Some(("m", Dimension::Length)),
        Form::Less("to_m", 1.0, "from_m"),
    ),
    of(
        "Ducts",
        "Inner",
        "Outer less two walls; the tolerance is left out.",
        Some(("mm", Dimension::Length)),
        Form::Less("outer_mm", 2.0, "wall_mm"),
    ),
    of(
        "Ducts",
        "Outer to wall",
        "Outer divided by wall.",
        None,
        Form::Ratio(&["outer_mm"], &["wall_mm"], 1.0),
    ),
    of(
        "AnchorageParts",
        "Length",
        "To less from.",
        Some(("mm", Dimension::Length)),
        Form::Less("to_mm", 1.0, "from_mm"),
    ),
    of(
        "FormParts",
        "Length",
        "To less from.",
        Some(("mm", Dimension::Length)),
        Form::Less("to_mm", 1.0, "from_mm"),
    ),
];

/// Adds the columns of a sheet that show what follows from others.
pub(crate) fn compute(
    worksheet: &mut Worksheet,
    all: &[SheetOut],
    out: &SheetOut,
    system: System,
    last_row: u32,
    look: &Look,
) -> Result<(), XlsxError> {
    let first = out.headers.len();
    let of_sheet = COMPUTED.iter().filter(|computed| computed.sheet == out.sheet.name);
    for (position, computed) in of_sheet.enumerate() {
        let Some(column) = u16::try_from(first + position).ok() else { return Ok(()) };
        let unit = computed.unit.and_then(|(symbol, dimension)| Unit::find(symbol, dimension));
        let shown = unit.map(|unit| unit.in_system(system));
        let bracket = shown.map(|unit| format!(" [{}]", unit.symbol)).unwrap_or_default();
        let header = format!("{PREFIX} {}{bracket}", computed.label);
        worksheet.write_string_with_format(0, column, &header, &look.computed_header)?;
        worksheet.set_column_width(column, WIDTH)?;
        let meaning =
            format!("{}\nComputed for your eye: nothing of this column is read.", computed.how);
        worksheet.insert_note(0, column, &Meaning::saying(meaning).note())?;
        let source = Source { all, out, last_row };
        for row in 0..FORMULA_ROWS {
            let Some(step) = source.step(computed, shown, row) else { break };
            let result = step.result.map(|result| result.to_string()).unwrap_or_default();
            let formula = Formula::new(step.formula).set_result(result);
            worksheet.write_formula_with_format(row + 1, column, formula, &look.computed)?;
        }
    }
    Ok(())
}

/// Where the values come from.
struct Source<'s> {
    all: &'s [SheetOut],
    out: &'s SheetOut,
    /// The last row, from zero, that a sheet can be filled to.
    last_row: u32,
}

/// A formula of one row, and what it gives.
struct Step {
    formula: String,
    result: Option<f64>,
}

/// A value that a formula takes: how it names it, what it is in this row, and its unit's factor.
struct Taken {
    reference: String,
    value: Option<f64>,
    factor: f64,
}

impl Source<'_> {
    fn step(&self, computed: &Computed, shown: Option<&Unit>, row: u32) -> Option<Step> {
        let (expression, blank, result) = match computed.form {
            Form::Less(whole, times, less) => {
                let (whole, less) = (self.taken(whole, row)?, self.taken(less, row)?);
                let times_less = if times == 1.0 {
                    less.reference.clone()
                } else {
                    format!("{times}*{}", less.reference)
                };
                let result = whole.value.zip(less.value).map(|(whole, less)| whole - times * less);
                (
                    format!("{}-{times_less}", whole.reference),
                    [whole.reference, less.reference].to_vec(),
                    result,
                )
            }
            Form::Ratio(top, bottom, factor) => {
                let top =
                    top.iter().map(|path| self.taken(path, row)).collect::<Option<Vec<_>>>()?;
                let bottom =
                    bottom.iter().map(|path| self.taken(path, row)).collect::<Option<Vec<_>>>()?;
                let product = |all: &[Taken]| all.iter().map(|taken| taken.factor).product::<f64>();
                let values =
                    |all: &[Taken]| all.iter().map(|taken| taken.value).product::<Option<f64>>();
                let factor = factor * product(&top)
                    / product(&bottom)
                    / shown.map_or(1.0, |unit| unit.factor);
                // Factors of one system of units differ from one by rounding only.
                let factor = if (factor - 1.0).abs() < 1e-9 { 1.0 } else { factor };
                let names = |all: &[Taken]| {
                    all.iter().map(|taken| taken.reference.clone()).collect::<Vec<_>>().join("*")
                };
                let mut expression = names(&top);
                if factor != 1.0 {
                    expression = format!("{factor}*{expression}");
                }
                if !bottom.is_empty() {
                    expression = format!("{expression}/({})", names(&bottom));
                }
                let result = values(&top)
                    .zip(values(&bottom))
                    .map(|(top, bottom)| factor * top / bottom)
                    .filter(|result| result.is_finite());
                let blank = top.into_iter().chain(bottom).map(|taken| taken.reference).collect();
                (expression, blank, result)
            }
        };
        let blank: Vec<String> = blank;
        let is_blank: Vec<_> = blank.iter().map(|reference| format!("{reference}=\"\"")).collect();
        let formula = format!("=IFERROR(IF(OR({}),\"\",{expression}),\"\")", is_blank.join(","));
        Some(Step { formula, result })
    }

    fn taken(&self, path: &str, row: u32) -> Option<Taken> {
        if let Some(column) = column(self.out, path) {
            let cell = self.out.rows.get(row as usize).map(|cells| &cells[column]);
            return Some(Taken {
                reference: format!("{}{}", letters(column)?, row + 2),
                value: cell.and_then(number),
                factor: factor(self.out, column),
            });
        }
        let (link, path) = path.split_once('.')?;
        let link = column(self.out, link)?;
        let Some(Column::Value { field, .. }) = self.out.columns[link] else { return None };
        let Shape::Link(list) = field.0.shape else { return None };
        let target = sheet::of_root(list)?;
        let other = self.all.iter().find(|other| other.sheet.name == target.name)?;
        let (key, column) = (column(other, target.record.key?)?, column(other, path)?);
        let named = self.out.rows.get(row as usize).map(|cells| &cells[link]);
        let record = named.and_then(|named| {
            other.rows.iter().find(|cells| *named != OutCell::Empty && cells[key] == *named)
        });
        let range = |column: usize| {
            let letters = letters(column)?;
            Some(format!("{}!${letters}$2:${letters}${}", target.name, self.last_row + 1))
        };
        Some(Taken {
            reference: format!(
                "INDEX({},MATCH({}{},{},0))",
                range(column)?,
                letters(link)?,
                row + 2,
                range(key)?
            ),
            value: record.and_then(|cells| number(&cells[column])),
            factor: factor(other, column),
        })
    }
}

fn letters(column: usize) -> Option<String> {
    u16::try_from(column).ok().map(column_number_to_name)
}

fn column(out: &SheetOut, wanted: &str) -> Option<usize> {
    out.columns.iter().position(
        |column| matches!(column, Some(Column::Value { path, .. }) if path.join(".") == wanted),
    )
}

fn number(cell: &OutCell) -> Option<f64> {
    match cell {
        OutCell::Number(number) => Some(*number),
        _ => None,
    }
}

/// The factor of the unit that a header states.
fn factor(out: &SheetOut, column: usize) -> f64 {
    let Some(Column::Value { unit: Some(unit), .. }) = out.columns[column] else { return 1.0 };
    Header::read(&out.headers[column])
        .unit
        .and_then(|symbol| Unit::find(symbol, unit.dimension))
        .map_or(1.0, |unit| unit.factor)
}
