//! From routes to places in the file, and the order of findings.

use restrand_finding::{Finding, Where};
use restrand_intake::Reading;
use restrand_model::reading::{Origin, Place};
use restrand_model::route::{Names, Route};

/// A finding with the place in the file where it shows.
#[derive(Debug, Clone)]
pub struct LocatedFinding {
    /// The finding.
    pub finding: Finding,
    /// Its place in the file.
    pub place: Place,
    /// The record that holds the place, if one was read.
    pub record: Origin,
    /// The field names from that record to the value.
    pub path: Vec<String>,
    /// Its route with names, if it points into the schedule.
    pub route: Option<String>,
    /// The further places, in the order in which the finding names them.
    pub related: Vec<LocatedRelated>,
    /// What stays the same when rows are moved: the rule, and names along the route.
    pub fingerprint: String,
}

/// A further place of a finding.
#[derive(Debug, Clone)]
pub struct LocatedRelated {
    /// The place in the file, if it is in one.
    pub place: Option<Place>,
    /// The record that holds the place, if one was read.
    pub record: Origin,
    /// The field names from that record to the value.
    pub path: Vec<String>,
    /// The route with names, or the limit's name.
    pub name: Option<String>,
    /// What it has to do with the finding; facts in braces.
    pub text: String,
}

/// Where something is in the file.
pub(crate) struct Located {
    pub(crate) place: Option<Place>,
    pub(crate) record: Origin,
    pub(crate) path: Vec<String>,
    pub(crate) name: Option<String>,
}

/// Finds the places of findings, and puts them in order.
pub(crate) fn locate(findings: Vec<Finding>, reading: &Reading) -> Vec<LocatedFinding> {
    let names = Names::of(&reading.schedule);
    let mut located: Vec<_> = findings
        .into_iter()
        .map(|finding| {
            let at = place_of(&finding.place, reading, &names);
            let related = finding
                .related
                .iter()
                .map(|related| {
                    let at = place_of(&related.place, reading, &names);
                    LocatedRelated {
                        place: at.place,
                        record: at.record,
                        path: at.path,
                        name: at.name,
                        text: related.text.clone(),
                    }
                })
                .collect();
            let place = at.place.unwrap_or_else(|| whole(reading));
            let fingerprint = match &at.name {
                Some(route) => format!("{}@{route}", finding.rule),
                None => format!("{}@{}", finding.rule, subject(&place, &finding)),
            };
            LocatedFinding {
                finding,
                place,
                record: at.record,
                path: at.path,
                route: at.name,
                related,
                fingerprint,
            }
        })
        .collect();
    located.sort_by_cached_key(|found| order(found, reading));
    located
}

/// A finding about a file of which no schedule could be made.
pub(crate) fn of_file(finding: Finding) -> LocatedFinding {
    let place = match &finding.place {
        Where::File(place) => place.clone(),
        Where::Route(_) | Where::Limit(_) => Place::Part { part: String::new() },
    };
    LocatedFinding {
        fingerprint: format!("{}@{}", finding.rule, subject(&place, &finding)),
        finding,
        place,
        record: Origin::default(),
        path: Vec::new(),
        route: None,
        related: Vec::new(),
    }
}

/// Where a value or a record stands.
pub(crate) fn of_route(route: &Route, reading: &Reading, names: &Names) -> Located {
    let (record, path) = route.source(&reading.schedule);
    Located {
        place: reading.provenance.place(record, &path),
        record,
        path: reading.provenance.way_in_file(record, &path).into_owned(),
        name: Some(names.show(route, &reading.schedule)),
    }
}

fn place_of(place: &Where, reading: &Reading, names: &Names) -> Located {
    match place {
        Where::Route(route) => of_route(route, reading, names),
        Where::File(place) => Located {
            record: record_at(place, reading),
            place: Some(place.clone()),
            path: match place {
                Place::Text { path, .. } => path.clone(),
                _ => Vec::new(),
            },
            name: None,
        },
        Where::Limit(name) => Located {
            place: None,
            record: Origin::default(),
            path: Vec::new(),
            name: Some((*name).to_owned()),
        },
    }
}

/// The record that stands in a row, if its table is known.
fn record_at(place: &Place, reading: &Reading) -> Origin {
    let (Place::Cell { part, sheet, row, column } | Place::Line { part, sheet, line: row, column }) =
        place
    else {
        return Origin::default();
    };
    match reading.provenance.table_at(part, sheet, *row, *column) {
        Some((at, table)) if table.grid.is_turned() => {
            column.map_or_else(Origin::default, |column| Origin::new(at, column))
        }
        Some((at, _)) => Origin::new(at, *row),
        None => Origin::default(),
    }
}

/// Where a finding is shown that has no place of its own: at the file.
fn whole(reading: &Reading) -> Place {
    let part = reading.provenance.tables.first().map(|table| table.part.clone());
    Place::Part { part: part.unwrap_or_default() }
}

/// What names a place of the file without its row: the sheet, and the header or the text as given.
fn subject(place: &Place, finding: &Finding) -> String {
    let named = |name| {
        let named = finding.facts.iter().find(|fact| fact.name == name);
        match named.map(|fact| &fact.value) {
            Some(restrand_finding::FactValue::Text(text)) => text.as_str(),
            _ => "",
        }
    };
    let subject = match (named("subject"), named("record")) {
        (subject, "") => subject.to_owned(),
        (subject, record) => format!("{subject} of {record}"),
    };
    match place {
        Place::Part { .. } => subject,
        Place::Sheet { sheet, .. } | Place::Cell { sheet, .. } | Place::Line { sheet, .. } => {
            format!("{sheet}/{subject}")
        }
        Place::Text { path, .. } => format!("{subject}/{}", path.join(".")),
    }
}

type Order = (u32, u32, u32, u64, Vec<String>, &'static str, String, String);

/// Findings come in the order of the file, and at one place in the order of their rules' names.
fn order(found: &LocatedFinding, reading: &Reading) -> Order {
    let table_of = |part: &str, sheet: Option<&str>| {
        let tables = &reading.provenance.tables;
        let position = tables.iter().position(|table| {
            table.part == part && (sheet.is_none() || table.sheet.as_deref() == sheet)
        });
        position.map_or(0, |position| u32::try_from(position + 1).unwrap_or(u32::MAX))
    };
    let (table, row, column, start, path) = match &found.place {
        Place::Part { .. } => (0, 0, 0, 0, Vec::new()),
        Place::Sheet { part, sheet } => (table_of(part, Some(sheet)), 0, 0, 0, Vec::new()),
        Place::Cell { part, sheet, row, column }
        | Place::Line { part, sheet, line: row, column } => (
            table_of(part, Some(sheet)),
            row + 1,
            column.map_or(0, |column| column + 1),
            0,
            Vec::new(),
        ),
        Place::Text { span, path, .. } => (0, 0, 0, span.start + 1, path.clone()),
    };
    (
        table,
        row,
        column,
        start,
        path,
        found.finding.rule,
        found.route.clone().unwrap_or_default(),
        found.finding.message.clone(),
    )
}
