//! What the sheets say round their notes: titles, the tendons of each sheet, and where all tendons lie.

use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use super::super::groups::{Group, Marks, group, names_tendons};
use super::super::{Looked, grid::GridRow};
use super::told::{Told, of_heading, of_title};
use super::{accounted, text};

/// What is known round the notes of each sheet; `marks` are those of all tables.
pub(in super::super) fn of_sheets<'s>(looked: &'s [Looked], marks: &'s Marks) -> Vec<Told<'s>> {
    let all = marks.of_tendons(looked);
    let tables = Tables::new(looked, marks);
    let own: Vec<BTreeSet<String>> = looked
        .iter()
        .map(|one| {
            let of_same = looked.iter().filter(|other| other.sheet.name == one.sheet.name);
            of_same.flat_map(|one| marks.of_tendons(std::slice::from_ref(one))).collect()
        })
        .collect();
    let titled: Vec<BTreeSet<String>> = looked
        .iter()
        .map(|one| {
            let of_same = looked.iter().filter(|other| other.sheet.name == one.sheet.name);
            of_same.flat_map(titles).flat_map(|title| of_title(&title)).collect()
        })
        .collect();
    let mut of_all = situation(looked);
    let mut of_tendons = titled.iter().zip(&own).filter(|(_, own)| !own.is_empty());
    if let Some((first, _)) = of_tendons.next() {
        let is_of_each =
            |word: &&String| of_tendons.clone().all(|(titled, _)| titled.contains(*word));
        of_all.extend(first.iter().filter(is_of_each).cloned());
    }
    // A sheet without tendons speaks of all others.
    of_all.extend(
        titled
            .iter()
            .zip(&own)
            .filter(|(_, own)| own.is_empty())
            .flat_map(|(titled, _)| titled.iter().cloned()),
    );
    titled
        .into_iter()
        .zip(own)
        .map(|(of_sheet, own)| Told {
            tables: Some(tables.clone()),
            marks: all.clone(),
            of_all: of_all.clone(),
            of_sheet,
            own,
            field: None,
            heading: Vec::new(),
        })
        .collect()
}

/// The rows outside the tables of each sheet that stand below a heading by which they speak of fewer tendons.
pub(in super::super) fn headed(looked: &[Looked], marks: &Marks) -> Vec<BTreeSet<u32>> {
    let told = of_sheets(looked, marks);
    looked.iter().zip(&told).map(|(one, told)| headed_rows(one, told)).collect()
}

/// Whether a row stands where a heading is one of notes: what stands above the first table is of the sheet.
pub(super) fn is_below(one: &Looked, row: u32) -> bool {
    let first = one.found.first().and_then(|found| one.sheet.rows.get(found.headers.start));
    first.is_none_or(|first| row > first.number)
}

fn headed_rows(one: &Looked, told: &Told<'_>) -> BTreeSet<u32> {
    /// Bytes of a heading at most.
    const LONGEST: usize = 120;
    let mut headed = BTreeSet::new();
    let known = told.known(&BTreeSet::new(), &[]);
    let mut last: Option<(u32, bool)> = None;
    let outside = one.sheet.rows.iter().filter(|row| one.outside.contains(&row.number));
    for row in outside.filter(|row| is_below(one, row.number)) {
        let goes_on = last.filter(|(before, _)| before + 1 == row.number);
        let heading = row
            .lone_text()
            .filter(|text| text.len() <= LONGEST && text::read(text, told).is_empty())
            .and_then(|text| of_heading(text, &known));
        let is_of_fewer = match heading {
            Some(words) => !words.is_empty(),
            None => goes_on.is_some_and(|(_, is_of_fewer)| is_of_fewer),
        };
        if is_of_fewer {
            headed.insert(row.number);
        }
        last = Some((row.number, is_of_fewer));
    }
    headed
}

/// What the columns of a file's tables of tendons say of them, read when it is first asked for.
#[derive(Clone)]
pub(super) struct Tables<'s> {
    looked: &'s [Looked],
    marks: &'s Marks,
    /// What stands in cells, by the first word of each.
    cells: Rc<OnceCell<BTreeMap<String, Vec<Said>>>>,
}

/// What a column says of some tendons.
struct Said {
    header: BTreeSet<String>,
    cell: BTreeSet<String>,
    /// The marks of the tendons of which it is said.
    of: BTreeSet<String>,
}

impl<'s> Tables<'s> {
    fn new(looked: &'s [Looked], marks: &'s Marks) -> Self {
        Self { looked, marks, cells: Rc::default() }
    }

    /// The marks of the tendons of which a column says the words that are `left` of a sentence; `words` are all of it.
    ///
    /// Nothing where two columns say it of different tendons.
    pub(super) fn of_words(
        &self,
        left: &[String],
        words: &BTreeSet<String>,
    ) -> Option<BTreeSet<String>> {
        let cells = self.cells.get_or_init(|| self.cells());
        let words: BTreeSet<String> = words.iter().map(|word| singular(word)).collect();
        let begins = words.iter().filter_map(|word| cells.get(word)).flatten();
        let mut said = begins.filter(|one| is_said(left, &words, one));
        let first = said.next()?;
        said.all(|other| other.of == first.of).then(|| first.of.clone())
    }

    fn cells(&self) -> BTreeMap<String, Vec<Said>> {
        /// Words of a cell that says what a tendon is, at most.
        const MOST: usize = 4;
        let mut said: BTreeMap<(BTreeSet<String>, BTreeSet<String>), BTreeSet<String>> =
            BTreeMap::new();
        for one in self.looked {
            for found in one.found.iter().filter(|found| found.assignment.list == "Tendons") {
                let columns = &found.assignment.columns;
                let Some(mark) = columns.iter().find(|one| names_tendons(one.target)) else {
                    continue;
                };
                for row in &one.sheet.rows[found.body.clone()] {
                    let Some(of) = row.text(mark.index).map(|mark| self.named(mark)) else {
                        continue;
                    };
                    for column in columns.iter().filter(|one| one.index != mark.index) {
                        let Some(cell) = row.cells.get(&column.index) else { continue };
                        let cell = of_one(&cell.cell.name());
                        if (1..=MOST).contains(&cell.len()) {
                            let key = (of_one(&column.header.given), cell);
                            said.entry(key).or_default().extend(of.iter().cloned());
                        }
                    }
                }
            }
        }
        let mut cells: BTreeMap<String, Vec<Said>> = BTreeMap::new();
        for ((header, cell), of) in said {
            if let Some(first) = cell.first().cloned() {
                cells.entry(first).or_default().push(Said { header, cell, of });
            }
        }
        cells
    }

    /// The tendons that the cell of a mark names, in small letters.
    fn named(&self, mark: &str) -> BTreeSet<String> {
        match group(mark, self.marks, None) {
            Some(Group::Of(named, _)) => named.iter().map(|mark| mark.to_lowercase()).collect(),
            _ => BTreeSet::from([mark.trim().to_lowercase()]),
        }
    }
}

/// The words of a header or a cell, those of several things as of one.
fn of_one(text: &str) -> BTreeSet<String> {
    accounted::words(&text.to_lowercase()).map(singular).collect()
}

fn singular(word: &str) -> String {
    word.strip_suffix('s').filter(|one| one.chars().count() > 2).unwrap_or(word).to_owned()
}

/// Whether a sentence says what stands in a cell: all of the cell's words, and with the header's all that is left of it.
fn is_said(left: &[String], words: &BTreeSet<String>, said: &Said) -> bool {
    let is_number = |word: &String| word.bytes().all(|byte| byte.is_ascii_digit());
    let left: BTreeSet<String> = left.iter().flat_map(|left| of_one(left)).collect();
    // A number alone may count anything.
    let is_told = match said.cell.iter().all(is_number) {
        true => said.header.iter().any(|word| words.contains(word)),
        false => left.iter().any(|word| said.cell.contains(word)),
    };
    let is_known = |word: &String| said.header.contains(word) || said.cell.contains(word);
    is_told && said.cell.is_subset(words) && left.iter().all(is_known)
}

/// The titles of a sheet: its name, what stands above its first table, and the captions of its tables.
fn titles(one: &Looked) -> Vec<String> {
    /// Rows at the head of a sheet without tables that may be titles.
    const HEAD: usize = 3;
    let is_above = |row: &&GridRow| one.found.is_empty() || !is_below(one, row.number);
    let most = if one.found.is_empty() { HEAD } else { usize::MAX };
    let above = one.sheet.rows.iter().filter(is_above).take(most);
    let above = above.filter(|row| one.outside.contains(&row.number));
    let lone = above.flat_map(|row| row.own().filter_map(|(column, _)| row.text(column)));
    let captions = one.found.iter().filter_map(|found| found.caption.clone());
    std::iter::once(one.sheet.name.clone()).chain(lone.map(str::to_owned)).chain(captions).collect()
}

/// The word that tells where all tendons lie, if a column says the same of each.
fn situation(looked: &[Looked]) -> BTreeSet<String> {
    let mut words = BTreeSet::new();
    for one in looked {
        for found in &one.found {
            let columns = found.assignment.columns.iter();
            let is_situation = |name: &str| name == "tendon.situation";
            for column in
                columns.filter(|one| one.target.is_some_and(|target| is_situation(&target.name())))
            {
                let rows = one.sheet.rows[found.body.clone()].iter();
                words.extend(rows.filter_map(|row| row.text(column.index)).map(str::to_lowercase));
            }
        }
    }
    if words.len() == 1 { words } else { BTreeSet::new() }
}
