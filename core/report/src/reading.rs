//! How the sheets of an input were understood, for people: what was taken for what, why, and how surely.

use std::io::{self, Write};

use restrand_model::reading::{PROPERTY_SET, Question, Sureness, Understood, UnderstoodTable};

use crate::letters::letters;
use crate::plain::plain;

/// Characters of a header that are shown.
const LONGEST: usize = 44;

/// Writes how the sheets of an input were understood.
///
/// # Errors
/// The writer fails.
pub fn reading(
    out: &mut dyn Write,
    input: &str,
    understood: &[Understood],
    questions: &[Question],
) -> io::Result<()> {
    if understood.is_empty() {
        return writeln!(
            out,
            "{}: read in the schedule's own layout alone; nothing had to be recognised, or could be",
            plain(input)
        );
    }
    writeln!(out, "{}: how its sheets were read", plain(input))?;
    for sheet in understood {
        match sheet.sheet.as_str() {
            "" => writeln!(out, "\n{}", plain(&sheet.part))?,
            name => writeln!(out, "\nSheet {}", plain(name))?,
        }
        for each in &sheet.tables {
            table(out, each)?;
        }
        for remark in &sheet.remarks {
            match remark.row {
                Some(row) => {
                    writeln!(out, "  row {}: {}", u64::from(row) + 1, plain(&remark.what))?
                }
                None => writeln!(out, "  {}", plain(&remark.what))?,
            }
        }
    }
    if !questions.is_empty() {
        writeln!(out, "\nQuestions: nothing was taken where one of these is open")?;
        for question in questions {
            writeln!(
                out,
                "  {}, first \"{}\", {} values: {}",
                plain(&question.header),
                plain(&question.given),
                question.records.len(),
                plain(&question.why)
            )?;
        }
    }
    writeln!(out)
}

fn table(out: &mut dyn Write, table: &UnderstoodTable) -> io::Result<()> {
    if table.record == PROPERTY_SET {
        return property_sets(out, table);
    }
    let line = if table.turned { "column" } else { "row" };
    let name = |number: u32| {
        if table.turned { letters(number) } else { (u64::from(number) + 1).to_string() }
    };
    let (first, last) = table.headers;
    let headers = if first == last {
        format!("{line} {}", name(first))
    } else {
        format!("{line}s {} to {}", name(first), name(last))
    };
    let caption = table
        .caption
        .as_deref()
        .map_or_else(String::new, |caption| format!(" \"{}\"", plain(caption)));
    writeln!(
        out,
        "  Table{caption}: each {line} is one {}; headers in {headers}; {} read",
        table.record, table.rows
    )?;
    for column in &table.columns {
        let place = if table.turned {
            format!("row {}", u64::from(column.index) + 1)
        } else {
            letters(column.index)
        };
        let taken = match (column.sureness, column.fields.as_slice()) {
            (Sureness::Kept, _) => "kept as it is".to_owned(),
            (Sureness::Asked, []) => "a question".to_owned(),
            (Sureness::Asked, fields) => {
                let fields: Vec<String> = fields.iter().map(|field| said(field)).collect();
                format!("a question: {}", fields.join(" or "))
            }
            (_, fields) => fields.iter().map(|field| said(field)).collect::<Vec<_>>().join(", "),
        };
        let unit = column.unit.as_deref().map_or_else(String::new, |unit| format!(" [{unit}]"));
        let how = match column.sureness {
            Sureness::Kept | Sureness::Asked => "",
            Sureness::Likely => "likely: ",
            Sureness::Sure => "sure: ",
            Sureness::Mapped => "as mapped: ",
        };
        let header = restrand_model::shortened(&column.header, LONGEST);
        writeln!(
            out,
            "    {place:<6} {} -> {taken}{unit} ({how}{})",
            plain(&header),
            plain(&column.why)
        )?;
    }
    Ok(())
}

/// What a column states: its field, or in words the record that it names, as `end, end` does.
fn said(field: &str) -> String {
    match field.split_once(", ") {
        Some((record, "tendon")) => {
            format!("the tendon to which the {} belongs", record.replace('_', " "))
        }
        Some((_, "end")) => "the end of which the row speaks".to_owned(),
        _ => field.to_owned(),
    }
}

/// The property sets of one name in a model, with what their properties were taken for.
fn property_sets(out: &mut dyn Write, sets: &UnderstoodTable) -> io::Result<()> {
    let name = sets.caption.as_deref().unwrap_or_default();
    writeln!(out, "  Property set \"{}\", {} of them", plain(name), sets.rows)?;
    for property in &sets.columns {
        let header = restrand_model::shortened(&property.header, LONGEST);
        let taken = match property.sureness {
            Sureness::Mapped => format!("{} (as mapped; ", property.fields.join(", ")),
            Sureness::Sure => format!("{} (as it is called so; ", property.fields.join(", ")),
            _ => "not taken (".to_owned(),
        };
        writeln!(out, "    {} -> {taken}{})", plain(&header), plain(&property.why))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::said;

    #[test]
    fn what_a_column_names_is_said_in_words() {
        assert_eq!(said("end, end"), "the end of which the row speaks");
        assert_eq!(said("tendon_point, tendon"), "the tendon to which the tendon point belongs");
        assert_eq!(said("tendon.mark"), "tendon.mark");
    }
}
