//! Rows that their author marks as no longer part of a table, and texts that may say so.
//!
//! A row is left out only where nothing else can be meant: `Deleted Rev C` among its remarks, but not among the vents
//! that a tendon has. What may mean the row and may mean one of its parts is asked, and the row is kept.

use std::collections::BTreeSet;

use super::vocabulary::{DELETED, DELETED_SINCE};

/// The codes of issues that a table names in its own columns, in small letters: `C02`, `b`.
#[derive(Debug, Default)]
pub(super) struct Issues(BTreeSet<String>);

impl Issues {
    /// Takes what stands below a header of revisions, where it is short enough to be a code; a mere number may count
    /// parts in what is said of a row.
    pub(super) fn see(&mut self, text: &str) {
        let code = text.trim().to_lowercase();
        if (1..=4).contains(&code.chars().count())
            && code.chars().all(char::is_alphanumeric)
            && code.chars().any(char::is_alphabetic)
        {
            self.0.insert(code);
        }
    }

    /// Whether a word is the code of an issue: one of the table's own, or a letter of its state and two digits.
    ///
    /// Preliminary and contractual issues count as `P01` and `C01`: ISO 19650-2, UK national annex (from memory).
    fn has(&self, word: &str) -> bool {
        let is_of_state = || {
            let digits = word.strip_prefix(['p', 'c']).unwrap_or_default();
            digits.len() == 2 && digits.bytes().all(|digit| digit.is_ascii_digit())
        };
        self.0.contains(word) || is_of_state()
    }
}

/// Whether a header stands over the issue since which a row is as it is.
pub(super) fn heads_issues(header: &str) -> bool {
    const WORDS: [&str; 8] =
        ["rev", "revision", "index", "ind", "indice", "issue", "änderungsindex", "rév"];
    let last = header.rsplit(" › ").next().unwrap_or(header).to_lowercase();
    let mut words = last.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    words.next().is_some_and(|word| WORDS.contains(&word))
        && words.all(|word| matches!(word, "no" | "nr"))
}

/// Of what the cells of a column speak.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Speaks {
    /// Of the row as a whole, as remarks and names do.
    Row,
    /// Of a number that the row's record has, of which no word says anything.
    Number,
    /// Of a part of the record, or of nobody knows what.
    Part,
}

/// What a text says of the row in which it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Says {
    /// Nothing.
    Nothing,
    /// It is no longer part of the table.
    Deleted,
    /// It is not, or a part of the record is not.
    Perhaps,
}

/// Words of a header below which stands what is to be said of a row: common practice, no source.
const REMARKS: [&str; 25] = [
    "remark",
    "remarks",
    "note",
    "notes",
    "comment",
    "comments",
    "status",
    "state",
    "revision",
    "rev",
    "revisions",
    "amendment",
    "amendments",
    "change",
    "changes",
    "issue",
    "bemerkung",
    "bemerkungen",
    "anmerkung",
    "stand",
    "status/remarks",
    "remarque",
    "remarques",
    "observations",
    "osservazioni",
];

/// Whether a header stands over what is to be said of rows.
pub(super) fn heads_remarks(header: &str) -> bool {
    let last = header.rsplit(" › ").next().unwrap_or(header).to_lowercase();
    let mut words = last.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    words.any(|word| REMARKS.contains(&word))
}

/// What a text says of its row, in a column that speaks of this.
pub(super) fn says(text: &str, speaks: Speaks, issues: &Issues) -> Says {
    /// Words that may also say that something is empty, or not there at this tendon.
    const OF_PARTS: [&str; 4] = ["void", "voided", "omitted", "not used"];
    let lower = text.trim().to_lowercase();
    let bare = lower.trim_matches(|c: char| !c.is_alphanumeric());
    let is_word = DELETED.contains(&bare);
    let since = since(&lower, issues);
    match (speaks, is_word, since) {
        (_, false, Says::Nothing) => Says::Nothing,
        (Speaks::Row, true, _) => Says::Deleted,
        (Speaks::Row, false, since) => since,
        (Speaks::Number, true, _) if !OF_PARTS.contains(&bare) => Says::Deleted,
        (_, true, _) | (_, _, Says::Deleted) => Says::Perhaps,
        _ => Says::Nothing,
    }
}

/// What the name of a record says of it: `T3 (deleted)`.
pub(super) fn says_of_name(text: &str, issues: &Issues) -> Says {
    let lower = text.trim().to_lowercase();
    if DELETED.contains(&lower.trim_matches(|c: char| !c.is_alphanumeric())) {
        return Says::Deleted;
    }
    let parted = |c: char| matches!(c, ' ' | '(' | '[' | '-' | '–' | ',' | '\n' | '/');
    let mut behind = lower.char_indices().filter(|(_, letter)| parted(*letter));
    let says = behind.any(|(at, letter)| {
        let rest = lower[at + letter.len_utf8()..].trim_end_matches([')', ']', ' ', '.']);
        since(rest.trim_start(), issues) == Says::Deleted
    });
    if says || has_stroke(&lower) || since(&lower, issues) == Says::Deleted {
        Says::Deleted
    } else {
        Says::Nothing
    }
}

/// Whether a word that says so stands behind a number and a stroke or in brackets: `T4 / void`, `T4 (void)`. Behind a
/// blank or a hyphen alone it may be a room: `Cell-void`.
fn has_stroke(lower: &str) -> bool {
    let stroke = ["/", "(", "[", ", ", " - ", " – ", ": ", "\n"];
    let mut parted = stroke.iter().filter_map(|stroke| lower.rsplit_once(stroke));
    parted.any(|(mark, word)| {
        mark.contains(|c: char| c.is_ascii_digit())
            && DELETED.contains(&word.trim_matches(|c: char| !c.is_alphanumeric()))
    })
}

/// What a text in small letters says that begins with a word for what is deleted.
fn since(lower: &str, issues: &Issues) -> Says {
    /// What is deleted may be named before.
    const SUBJECTS: [&str; 8] =
        ["tendon ", "this tendon ", "cable ", "row ", "this row ", "line ", "item ", "entry "];
    let named = SUBJECTS.iter().find_map(|subject| lower.strip_prefix(subject)).unwrap_or(lower);
    let named = ["is ", "was ", "has been "]
        .iter()
        .find_map(|verb| named.strip_prefix(verb))
        .unwrap_or(named);
    let Some(rest) = DELETED_SINCE.iter().find_map(|word| named.strip_prefix(word)) else {
        return Says::Nothing;
    };
    if rest.starts_with(char::is_alphanumeric) {
        return Says::Nothing;
    }
    let when = rest.trim_start_matches(|c: char| !c.is_alphanumeric());
    let when = when.strip_prefix("by ").unwrap_or(when);
    // It may be said twice: `deleted C02 - not used`.
    let when = DELETED.iter().find_map(|word| when.strip_suffix(word)).map_or(when, |before| {
        let parted = before.ends_with(|c: char| !c.is_alphanumeric());
        if parted { before.trim_end_matches(|c: char| !c.is_alphanumeric()) } else { when }
    });
    if when.is_empty() || tells_when(when, issues) {
        return Says::Deleted;
    }
    // What follows behind a mark may give a reason, or name a part.
    let is_marked = rest.trim_start().starts_with(|c: char| !c.is_alphanumeric());
    if is_marked || named.len() < lower.len() { Says::Perhaps } else { Says::Nothing }
}

/// Whether a text says when, and in which issue.
fn tells_when(text: &str, issues: &Issues) -> bool {
    const WORDS: [&str; 14] = [
        "rev", "revision", "issue", "see", "per", "dwg", "drawing", "since", "tq", "rfi", "index",
        "ind", "indice", "rév",
    ];
    const BEFORE: [&str; 10] =
        ["in ", "at ", "on ", "from ", "as ", "ab ", "mit ", "seit ", "à l'", "depuis l'"];
    let bare = BEFORE.iter().find_map(|word| text.strip_prefix(word)).unwrap_or(text);
    let first: &str = bare.split(|c: char| !c.is_alphanumeric()).next().unwrap_or(bare);
    let is_year = |word: &str| {
        word.len() == 4 && word.parse::<u16>().is_ok_and(|year| (1900..2100).contains(&year))
    };
    // A date, or a month and a year: `12.03.2020`, `Mar 2020`.
    let words: Vec<&str> =
        bare.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let is_date = words.len() <= 3
        && words.iter().any(|word| is_year(word))
        && words.iter().all(|word| word.bytes().all(|b| b.is_ascii_digit()) || is_month(word));
    // What is told beside the issue may be of a part, or take the row back: `in rev B, reinstated in rev C`.
    let is_of_issue = |word: &&str| {
        WORDS.contains(word)
            || issues.has(word)
            || word.len() <= 2
            || word.bytes().all(|b| b.is_ascii_digit())
            || is_month(word)
    };
    // A short word alone may name anything; with the code of an issue it is told.
    let begins = WORDS.contains(&first) || issues.has(first);
    begins && words.iter().all(is_of_issue) || is_date
}

/// Whether a word in small letters names a month.
fn is_month(word: &str) -> bool {
    const MONTHS: [&str; 12] =
        ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];
    MONTHS.iter().any(|month| word.starts_with(month))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_is_deleted_where_its_own_remarks_say_so_and_nothing_else() {
        let none = Issues::default();
        for text in [
            "Deleted Rev C",
            "DELETED - see Rev. B",
            "Omitted",
            "not used (rev 2)",
            "Superseded by rev D",
            "removed 2020",
            "removed Mar. 2020",
            "Tendon deleted",
            "VOID",
            "entfällt",
            "DELETED C02",
            "DELETED REV C02",
            "DELETED C02 - NOT USED",
            "Omitted at C03",
            "Entfällt Index b",
            "entfällt ab Index b",
            "supprimé ind. C",
        ] {
            assert_eq!(says(text, Speaks::Row, &none), Says::Deleted, "{text}");
        }
        for text in [
            "Deleted bars are shown dashed",
            "Removed cap to be kept",
            "deleted 2 vents",
            "deleted V1",
            "removed T04",
            "Omitted in rev B, reinstated in rev C",
        ] {
            assert_eq!(says(text, Speaks::Row, &none), Says::Nothing, "{text}");
        }
        for text in ["Omitted: 2 vents", "Deleted, not required", "Tendon removed for inspection"] {
            assert_eq!(says(text, Speaks::Row, &none), Says::Perhaps, "{text}");
        }
        assert_eq!(says("DELETED", Speaks::Number, &none), Says::Deleted);
        assert_eq!(says("void", Speaks::Number, &none), Says::Perhaps);
        assert_eq!(says("removed 2020", Speaks::Part, &none), Says::Perhaps);
        assert_eq!(says("not used", Speaks::Part, &none), Says::Perhaps);
        assert_eq!(says("deleted from watch list", Speaks::Part, &none), Says::Nothing);
    }

    #[test]
    fn the_codes_of_a_table_s_own_issues_tell_since_when_a_row_is_deleted() {
        let mut issues = Issues::default();
        ["T04", "b", "first issue"].into_iter().for_each(|text| issues.see(text));
        for text in ["deleted T04", "Deleted B", "T3 deleted at T04"] {
            let of_name = says_of_name(text, &issues);
            assert_eq!(of_name, Says::Deleted, "{text}");
        }
        assert_eq!(says("Deleted B", Speaks::Row, &issues), Says::Deleted);
        assert_eq!(says("Deleted T05", Speaks::Row, &issues), Says::Nothing);
        assert!(heads_issues("Rev") && heads_issues("Rev. no.") && !heads_issues("Revised force"));
    }

    #[test]
    fn the_name_of_a_record_may_say_that_it_is_deleted() {
        for text in [
            "T3 (deleted)",
            "T3 - DELETED Rev C",
            "T3 deleted",
            "DELETED",
            "T4 / void",
            "T4/VOID",
            "T4 (void)",
            "T4 - omitted",
        ] {
            assert_eq!(says_of_name(text, &Issues::default()), Says::Deleted, "{text}");
        }
        for text in ["T3", "T3-D", "T3 del", "Void 2", "Cell / void", "2-void"] {
            assert_eq!(says_of_name(text, &Issues::default()), Says::Nothing, "{text}");
        }
    }

    #[test]
    fn remarks_have_headers_of_their_own() {
        for header in ["Remarks", "Notes › Rev.", "Status", "Comments / action"] {
            assert!(heads_remarks(header), "{header}");
        }
        for header in ["Condition", "Dev. 2", "Grout cap", "Strands"] {
            assert!(!heads_remarks(header), "{header}");
        }
    }
}
