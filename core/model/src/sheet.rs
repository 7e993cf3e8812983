//! The schedule's own layout as sheets: a sheet for each list, a row for each record.
//!
//! Columns follow from the records' declarations: a header is the field's name in words with its unit in
//! brackets, as `Removal space behind [mm]`.
//! What the records do not say is in [`SHEETS`]: the sheets' names, and the columns by which a row names
//! the record it belongs to.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::sync::OnceLock;

use crate::near::nearest;
use crate::quantity::{Unit, of_field};
use crate::reflect::{FieldInfo, RecordInfo, Shape};
use crate::schedule::{
    AlignmentElement, Anchorage, Bay, BayObstacle, BondedPoint, CalibrationPoint, Cut, Deviator,
    Duct, DuctJoint, DuctRun, End, EndObstacle, Face, Form, HistoryEntry, HoistPoint, Jack,
    Measurement, Opening, OutlinePoint, Part, Place, Project, Recess, Schedule, Section, Span,
    Strand, StressingStep, Support, Tendon, TendonMoment, TendonPoint, Vent,
};

/// A step from the schedule towards the place of a row's record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hop {
    /// Into the record of this list whose key stands in the link column.
    Item {
        /// The field that holds the list.
        list: &'static str,
        /// The header of the link column.
        link: &'static str,
    },
    /// Into the record in this field.
    Field(&'static str),
    /// Into the record in the field whose name stands in the link column.
    Slot {
        /// The header of the link column.
        link: &'static str,
        /// The names of the fields.
        fields: &'static [&'static str],
    },
}

/// Where a sheet's records go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Target {
    /// The way to the record that takes them.
    pub owner: &'static [Hop],
    /// Where in it they go.
    pub into: Into,
}

/// Where in its owner a record goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Into {
    /// To the end of the list in this field.
    List(&'static str),
    /// Into this field.
    Field(&'static str),
    /// Into the field whose name stands in the link column.
    Slot {
        /// The header of the link column.
        link: &'static str,
        /// The names of the fields.
        fields: &'static [&'static str],
    },
}

/// A sheet of the layout.
#[derive(Debug)]
pub struct Sheet {
    /// The name of the sheet.
    pub name: &'static str,
    /// The type of its records.
    pub record: &'static RecordInfo,
    /// Where its records go; a row takes the first target whose link columns it fills.
    ///
    /// The sheet whose rows state something of the schedule itself has none.
    pub targets: &'static [Target],
}

/// A column of the layout.
#[derive(Debug, Clone, PartialEq)]
pub enum Column {
    /// Names the record to which the row's record belongs.
    Link {
        /// The header.
        header: &'static str,
    },
    /// Holds a value of the row's record.
    Value {
        /// The field names from the record to the value.
        path: Vec<&'static str>,
        /// What the field holds.
        field: FieldRef,
        /// The header without the unit.
        label: String,
        /// The unit of the field's name.
        unit: Option<&'static Unit>,
    },
}

/// A field of a record type, compared by its address.
#[derive(Debug, Clone, Copy)]
pub struct FieldRef(pub &'static FieldInfo);

impl PartialEq for FieldRef {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(self.0, other.0)
    }
}

impl Column {
    /// The header with `unit` in brackets, or without one.
    #[must_use]
    pub fn header(&self, unit: Option<&Unit>) -> String {
        match self {
            Self::Link { header } => (*header).to_owned(),
            Self::Value { label, .. } => match unit {
                Some(unit) => format!("{label} [{}]", unit.symbol),
                None => label.clone(),
            },
        }
    }
}

impl Sheet {
    /// The headers of the columns that name a row's owner, in order.
    #[must_use]
    pub fn links(&self) -> Vec<&'static str> {
        let mut links = Vec::new();
        for target in self.targets {
            for link in target.links() {
                if !links.contains(&link) {
                    links.push(link);
                }
            }
        }
        links
    }

    /// The columns in order: first those that name the owner.
    #[must_use]
    pub fn columns(&self) -> Vec<Column> {
        let mut columns: Vec<Column> =
            self.links().into_iter().map(|header| Column::Link { header }).collect();
        add_columns(self.record, &mut Vec::new(), &mut columns);
        columns
    }
}

impl Target {
    /// The headers of the link columns that lead to it, in order.
    #[must_use]
    pub fn links(&self) -> Vec<&'static str> {
        let mut links: Vec<_> = self
            .owner
            .iter()
            .filter_map(|hop| match hop {
                Hop::Item { link, .. } | Hop::Slot { link, .. } => Some(*link),
                Hop::Field(_) => None,
            })
            .collect();
        if let Into::Slot { link, .. } = self.into {
            links.push(link);
        }
        links
    }
}

fn add_columns(info: &RecordInfo, path: &mut Vec<&'static str>, columns: &mut Vec<Column>) {
    for field in info.fields {
        path.push(field.name);
        match field.shape {
            Shape::Records(_) => {}
            Shape::Record(inner) => {
                // A record with a sheet of its own has no columns here.
                let inner = inner();
                if inner.fields.iter().all(|f| !matches!(f.shape, Shape::Record(_)))
                    && !SHEETS.iter().any(|sheet| sheet.record.name == inner.name)
                {
                    add_columns(inner, path, columns);
                }
            }
            _ => {
                let words: Vec<_> = path.iter().map(|name| of_field(name).0).collect();
                columns.push(Column::Value {
                    path: path.clone(),
                    field: FieldRef(field),
                    label: crate::reflect::words(&words.join("_")),
                    unit: field.unit().filter(|_| matches!(field.shape, Shape::Number)),
                });
            }
        }
        path.pop();
    }
}

const ENDS: &[&str] = &["a", "b"];
const FACES: &[&str] = &["up", "down"];

const TENDON: Hop = Hop::Item { list: "tendons", link: "Tendon" };
const PLACE: Hop = Hop::Item { list: "places", link: "Place" };
const BAY: Hop = Hop::Item { list: "bays", link: "Bay" };
const END: Hop = Hop::Slot { link: "End", fields: ENDS };

/// A sheet whose records go to one list of the schedule.
const fn top(name: &'static str, record: &'static RecordInfo, target: &'static [Target]) -> Sheet {
    Sheet { name, record, targets: target }
}

macro_rules! target {
    ($($hop:expr),* ; $into:expr) => {
        &[Target { owner: &[$($hop),*], into: $into }]
    };
}

/// The sheets in the order in which they stand in a workbook.
pub static SHEETS: &[Sheet] = &[
    top("Project", Project::INFO, target!(; Into::Field("project"))),
    top("Tendons", Tendon::INFO, target!(; Into::List("tendons"))),
    top("Points", TendonPoint::INFO, target!(TENDON; Into::List("points"))),
    top(
        "Ends",
        End::INFO,
        target!(TENDON, Hop::Field("ends"); Into::Slot { link: "End", fields: ENDS }),
    ),
    top("Deviators", Deviator::INFO, target!(TENDON; Into::List("deviators"))),
    top("Strands", Strand::INFO, target!(; Into::List("strands"))),
    top("Ducts", Duct::INFO, target!(; Into::List("ducts"))),
    top("Anchorages", Anchorage::INFO, target!(; Into::List("anchorages"))),
    top(
        "AnchorageParts",
        Part::INFO,
        target!(Hop::Item { list: "anchorages", link: "Anchorage" }; Into::List("parts")),
    ),
    top("Forms", Form::INFO, target!(; Into::List("forms"))),
    top(
        "FormParts",
        Part::INFO,
        target!(Hop::Item { list: "forms", link: "Form" }; Into::List("parts")),
    ),
    top(
        "PartOverrides",
        Part::INFO,
        &[
            Target { owner: &[TENDON, Hop::Field("ends"), END], into: Into::List("parts") },
            Target {
                owner: &[TENDON, Hop::Item { list: "deviators", link: "Deviator" }],
                into: Into::List("parts"),
            },
        ],
    ),
    top("Jacks", Jack::INFO, target!(; Into::List("jacks"))),
    top(
        "Calibrations",
        CalibrationPoint::INFO,
        target!(Hop::Item { list: "jacks", link: "Jack" }; Into::List("calibration")),
    ),
    top("Places", Place::INFO, target!(; Into::List("places"))),
    top(
        "Faces",
        Face::INFO,
        target!(PLACE, Hop::Field("faces"); Into::Slot { link: "Face", fields: FACES }),
    ),
    top(
        "Recesses",
        Recess::INFO,
        target!(
            PLACE, Hop::Field("faces"), Hop::Slot { link: "Face", fields: FACES };
            Into::List("recesses")
        ),
    ),
    top("HoistPoints", HoistPoint::INFO, target!(PLACE; Into::List("hoist_points"))),
    top("Bays", Bay::INFO, target!(; Into::List("bays"))),
    top("BayOutlines", OutlinePoint::INFO, target!(BAY; Into::List("outline"))),
    top("BayObstacles", BayObstacle::INFO, target!(BAY; Into::List("obstacles"))),
    top("Openings", Opening::INFO, target!(; Into::List("openings"))),
    top("Sections", Section::INFO, target!(; Into::List("sections"))),
    top("Alignment", AlignmentElement::INFO, target!(; Into::List("alignment"))),
    top("Spans", Span::INFO, target!(; Into::List("spans"))),
    top("Supports", Support::INFO, target!(; Into::List("supports"))),
    top("DuctRuns", DuctRun::INFO, target!(TENDON; Into::List("duct_runs"))),
    top("DuctJoints", DuctJoint::INFO, target!(TENDON; Into::List("duct_joints"))),
    top("Vents", Vent::INFO, target!(TENDON; Into::List("vents"))),
    top(
        "EndObstacles",
        EndObstacle::INFO,
        target!(TENDON, Hop::Field("ends"), END; Into::List("obstacles")),
    ),
    top("StressingSteps", StressingStep::INFO, target!(TENDON; Into::List("stressing_steps"))),
    top("Measurements", Measurement::INFO, target!(TENDON; Into::List("measurements"))),
    top("BondedPoints", BondedPoint::INFO, target!(TENDON; Into::List("bonded_points"))),
    top("Cuts", Cut::INFO, target!(TENDON; Into::List("cuts"))),
    top("Moments", TendonMoment::INFO, target!(TENDON; Into::List("moments"))),
    top("History", HistoryEntry::INFO, target!(TENDON; Into::List("history"))),
    Sheet { name: "FurtherValues", record: Schedule::INFO, targets: &[] },
];

/// The sheets that every workbook of the layout has, even without a row.
pub const ALWAYS: &[&str] = &[
    "Project",
    "Tendons",
    "Points",
    "Ends",
    "Deviators",
    "Strands",
    "Ducts",
    "Anchorages",
    "AnchorageParts",
    "Forms",
    "FormParts",
    "PartOverrides",
    "Jacks",
    "Places",
    "Bays",
    "Openings",
    "Sections",
];

/// Sheets that restrand writes for people and does not read.
pub const ASIDE: &[&str] = &["About", "Read me", "Corrections", "Open findings"];

/// The sheet of this name; case, spaces, hyphens and underscores do not count.
#[must_use]
pub fn find(name: &str) -> Option<&'static Sheet> {
    // Nearly always it is spelled as it is here.
    SHEETS.iter().find(|sheet| sheet.name == name).or_else(|| {
        let wanted = plain(name);
        SHEETS.iter().find(|sheet| plain(sheet.name) == wanted)
    })
}

/// The sheet whose records go straight into this field of the schedule.
#[must_use]
pub fn of_root(field: &str) -> Option<&'static Sheet> {
    SHEETS.iter().find(|sheet| {
        sheet.targets.iter().any(|target| {
            target.owner.is_empty()
                && matches!(target.into, Into::List(list) | Into::Field(list) if list == field)
        })
    })
}

/// What a header says: the column, and the unit in its brackets.
#[derive(Debug, Clone, PartialEq)]
pub struct Header<'a> {
    /// The text before the brackets.
    pub label: &'a str,
    /// The text in the brackets.
    pub unit: Option<&'a str>,
}

impl<'a> Header<'a> {
    /// Takes a header apart.
    ///
    /// ```
    /// use restrand_model::sheet::Header;
    /// let header = Header::read("Removal space behind [mm]");
    /// assert_eq!((header.label, header.unit), ("Removal space behind", Some("mm")));
    /// ```
    #[must_use]
    pub fn read(text: &'a str) -> Self {
        let text = text.trim();
        for (open, close) in [('[', ']'), ('(', ')')] {
            if let Some(inside) = text.strip_suffix(close)
                && let Some((label, unit)) = inside.rsplit_once(open)
            {
                let unit = unit.trim();
                return Self { label: label.trim(), unit: (!unit.is_empty()).then_some(unit) };
            }
        }
        Self { label: text, unit: None }
    }
}

/// The columns of a sheet by what a header may call them.
#[derive(Debug, Default)]
pub struct Headers {
    columns: HashMap<String, usize>,
}

impl Headers {
    /// Looks at the columns once: their words, their field names, and their last field's words where only one
    /// column of the sheet has them.
    #[must_use]
    pub fn of(columns: &[Column]) -> Self {
        let mut found = HashMap::with_capacity(2 * columns.len());
        for (index, column) in columns.iter().enumerate() {
            match column {
                Column::Link { header } => {
                    found.entry(plain(header)).or_insert(index);
                }
                Column::Value { path, label, .. } => {
                    found.entry(plain(label)).or_insert(index);
                    found.entry(plain(&path.concat())).or_insert(index);
                }
            }
        }
        let mut last: BTreeMap<String, Option<usize>> = BTreeMap::new();
        for (index, column) in columns.iter().enumerate() {
            if let Column::Value { path, field, .. } = column
                && path.len() > 1
            {
                let label = plain(&field.0.label());
                let name = plain(field.0.name);
                if label != name {
                    last.entry(name).and_modify(|only| *only = None).or_insert(Some(index));
                }
                last.entry(label).and_modify(|only| *only = None).or_insert(Some(index));
            }
        }
        for (name, only) in last {
            if let Some(index) = only {
                found.entry(name).or_insert(index);
            }
        }
        Self { columns: found }
    }

    /// The column that a header's label means.
    #[must_use]
    pub fn find(&self, label: &str) -> Option<usize> {
        self.columns.get(&plain(label)).copied()
    }
}

/// What headers may call the columns of a sheet, looked at once for each sheet.
#[must_use]
pub fn headers_of(sheet: &'static Sheet) -> &'static Headers {
    static HEADERS: [OnceLock<Headers>; SHEETS.len()] = [const { OnceLock::new() }; SHEETS.len()];
    static NONE: OnceLock<Headers> = OnceLock::new();
    match SHEETS.iter().position(|other| std::ptr::eq(other, sheet)) {
        Some(index) => HEADERS[index].get_or_init(|| Headers::of(columns_of(sheet))),
        None => NONE.get_or_init(Headers::default),
    }
}

/// The sheet that a name most likely means which is none of the layout: one that it begins with, as
/// `Deviators (2)`, or is near to, as `Deviator`.
#[must_use]
pub fn meant_by(name: &str) -> Option<&'static Sheet> {
    let begins = |sheet: &&Sheet| {
        let wanted = plain(sheet.name);
        let mut met = String::new();
        for letter in name.chars() {
            // A longer word is another word.
            if met == wanted && !letter.is_alphabetic() {
                return true;
            }
            met.extend(
                letter.is_alphanumeric().then(|| letter.to_lowercase()).into_iter().flatten(),
            );
        }
        met == wanted
    };
    SHEETS
        .iter()
        .filter(begins)
        .max_by_key(|sheet| sheet.name.len())
        .or_else(|| find(nearest(name, SHEETS.iter().map(|sheet| sheet.name))?))
}

/// The sheet whose headers stand among these: at least three of them, and more than of any other sheet.
///
/// Of sheets with equally many it is the one that is meant by the name, or else the first of the layout.
pub fn headed_by<'h>(
    headers: impl Iterator<Item = &'h str>,
    meant: Option<&'static Sheet>,
) -> Option<&'static Sheet> {
    /// Fewer can stand above anything: many records have a name and a place.
    const LEAST: usize = 3;
    static LAYOUTS: OnceLock<Vec<&'static Headers>> = OnceLock::new();
    let layouts = LAYOUTS.get_or_init(|| SHEETS.iter().map(headers_of).collect());
    let mut met: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
    for header in headers {
        for name in [plain(Header::read(header).label), plain(header)] {
            for (sheet, layout) in layouts.iter().enumerate() {
                if let Some(column) = layout.columns.get(&name) {
                    met.entry(sheet).or_default().insert(*column);
                }
            }
        }
    }
    let most = met.values().map(BTreeSet::len).max().filter(|most| *most >= LEAST)?;
    let best = met.iter().filter(|(_, columns)| columns.len() == most);
    let mut best = best.map(|(sheet, _)| &SHEETS[*sheet]);
    let first = best.clone().next();
    best.find(|sheet| meant.is_some_and(|meant| std::ptr::eq(meant, *sheet))).or(first)
}

/// The letters and digits of a text in lower case: what counts when names are compared.
#[must_use]
pub fn plain(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for letter in text.chars().filter(|letter| letter.is_alphanumeric()) {
        // Most headers are plain letters, and this is asked of each at every start.
        match letter.is_ascii() {
            true => plain.push(letter.to_ascii_lowercase()),
            false => plain.extend(letter.to_lowercase()),
        }
    }
    plain
}

/// The columns of a sheet, made once.
#[must_use]
pub fn columns_of(sheet: &'static Sheet) -> &'static [Column] {
    static COLUMNS: OnceLock<Vec<Vec<Column>>> = OnceLock::new();
    let all = COLUMNS.get_or_init(|| SHEETS.iter().map(Sheet::columns).collect());
    let index = SHEETS.iter().position(|other| std::ptr::eq(other, sheet));
    index.map_or(&[], |index| all[index].as_slice())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reflect::Choice;
    use crate::schedule::{EndName, FaceName};
    use crate::schema;

    #[test]
    fn every_list_of_every_record_has_a_sheet() {
        for info in schema::records() {
            for field in info.fields {
                if let Shape::Records(inner) = field.shape {
                    let into = SHEETS.iter().any(|sheet| {
                        sheet.record.name == inner().name
                            && sheet.targets.iter().any(|t| t.into == Into::List(field.name))
                    });
                    assert!(into, "{}.{} has no sheet", info.name, field.name);
                }
            }
        }
    }

    #[test]
    fn every_single_record_has_a_sheet_or_columns() {
        for info in schema::records() {
            for field in info.fields {
                if let Shape::Record(inner) = field.shape {
                    let sheet = SHEETS.iter().any(|s| s.record.name == inner().name)
                        || inner().fields.iter().all(|f| matches!(f.shape, Shape::Record(_)));
                    let columns = SHEETS.iter().any(|s| {
                        columns_of(s).iter().any(
                            |c| matches!(c, Column::Value { path, .. } if path.len() > 1 && path[0] == field.name),
                        )
                    });
                    assert!(sheet || columns, "{}.{}", info.name, field.name);
                }
            }
        }
    }

    #[test]
    fn headers_of_a_sheet_differ_and_lead_back_to_their_column() {
        for sheet in SHEETS {
            let columns = columns_of(sheet);
            let headers = Headers::of(columns);
            let mut seen = BTreeSet::new();
            for (index, column) in columns.iter().enumerate() {
                let unit = match column {
                    Column::Value { unit, .. } => *unit,
                    Column::Link { .. } => None,
                };
                let header = column.header(unit);
                let read = Header::read(&header);
                assert!(seen.insert(plain(read.label)), "{}: {header}", sheet.name);
                assert_eq!(headers.find(read.label), Some(index), "{}: {header}", sheet.name);
                assert_eq!(read.unit, unit.map(|unit| unit.symbol));
            }
        }
    }

    #[test]
    fn slots_name_fields_that_the_words_of_the_list_name() {
        let words = |words: &[crate::reflect::ChoiceInfo]| {
            words.iter().map(|word| word.name).collect::<Vec<_>>()
        };
        assert_eq!(words(EndName::WORDS), ENDS);
        assert_eq!(words(FaceName::WORDS), FACES);
    }

    #[test]
    fn a_name_that_begins_with_a_sheets_or_is_near_to_it_means_that_sheet() {
        for (name, meant) in [
            ("Deviator", Some("Deviators")),
            ("Deviators (2)", Some("Deviators")),
            ("deviators old", Some("Deviators")),
            ("Anchorage parts, north", Some("AnchorageParts")),
            ("Ends2", Some("Ends")),
            ("Endspans of the viaduct", None),
            ("Sheet1", None),
        ] {
            assert_eq!(meant_by(name).map(|sheet| sheet.name), meant, "{name}");
        }
    }

    #[test]
    fn headers_tell_their_sheet() {
        let headed = |headers: &[&'static str]| {
            headed_by(headers.iter().copied(), None).map(|sheet| sheet.name)
        };
        assert_eq!(headed(&["Tendon", "End", "Tail [mm]", "Jack"]), Some("Ends"));
        assert_eq!(headed(&["Tendon", "Tendon", "End", "Colour"]), None);
        assert_eq!(headed(&["Cable", "Length", "Note"]), None);
    }

    #[test]
    fn sheets_are_found_however_their_name_is_spelled() {
        assert_eq!(find("anchorage parts").unwrap().name, "AnchorageParts");
        assert_eq!(find("ANCHORAGE_PARTS").unwrap().name, "AnchorageParts");
        assert!(find("Sheet1").is_none());
        for name in ALWAYS {
            assert!(find(name).is_some(), "{name}");
        }
    }
}
