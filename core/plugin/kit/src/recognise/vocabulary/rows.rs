//! What people write in rows that are no records, and in place of values.

/// Words by which people mark a row that is no longer part of the table.
pub(in crate::recognise) const DELETED: &[&str] = &[
    "deleted",
    "delete",
    "void",
    "voided",
    "cancelled",
    "canceled",
    "not used",
    "omitted",
    "superseded",
    "withdrawn",
    "del",
];

/// Words behind which a row that is no longer part of the table may say since when: `Deleted Rev C`.
pub(in crate::recognise) const DELETED_SINCE: &[&str] = &[
    "deleted",
    "cancelled",
    "canceled",
    "not used",
    "omitted",
    "superseded",
    "withdrawn",
    "removed",
    "supprimé",
    "supprimée",
    "annulé",
    "annulée",
    "entfällt",
    "entfallen",
];

/// Words that say that a tendon may be added later: common practice, no source.
pub(in crate::recognise) const FUTURE: &[&str] = &[
    "future",
    "reserved",
    "provision",
    "provisional",
    "vorgesehen",
    "künftig",
    "künftige",
    "zukünftig",
    "futur",
    "futurs",
];
/// Words that say that nothing is in a duct, whatever it is there for: common practice, no source.
pub(in crate::recognise) const SPARE: &[&str] =
    &["spare", "spares", "reserve", "réserve", "réservation", "leerrohr"];
/// Words that make the first text of a row that of sums, wherever they stand in it.
pub(in crate::recognise) const TOTALS: &[&str] = &[
    "total",
    "totals",
    "subtotal",
    "subtotals",
    "sum",
    "sums",
    "σ",
    "average",
    "avg",
    "mean",
    "somme",
    "totaux",
    "summe",
    "gesamt",
];

/// Texts with which a row of sums begins that are carried over from one sheet to the next.
pub(in crate::recognise) const CARRIED_OVER: &[&str] = &[
    "brought forward",
    "brought fwd",
    "brought over",
    "carried forward",
    "carried fwd",
    "carried over",
    "carried to",
    "brought from",
    "forward",
    "c f",
    "b f",
    "c fwd",
    "b fwd",
    "cf",
    "bf",
    "c o",
    "à reporter",
    "übertrag",
];

/// Words that head the notes below a table.
pub(in crate::recognise) const NOTES: &[&str] = &[
    "note",
    "notes",
    "general notes",
    "remark",
    "remarks",
    "legend",
    "key",
    "abbreviations",
    "hinweis",
    "hinweise",
    "anmerkung",
    "anmerkungen",
    "bemerkungen",
    "legende",
    "abkürzungen",
];

/// Words that stand where a value is yet to come; they say nothing of what their column states.
pub(in crate::recognise) const PENDING: &[&str] = &[
    "tbc",
    "t.b.c",
    "tba",
    "t.b.a",
    "tbd",
    "t.b.d",
    "to be confirmed",
    "to be advised",
    "to be determined",
    "to follow",
    "pending",
    "hold",
    "later",
    "na",
    "n.a",
    "not applicable",
    "not known",
    "unknown",
    "nil",
    "none",
    "varies",
    "various",
    "by others",
    "see drawing",
    "see drawings",
    "see dwg",
    "see dwgs",
    "see note",
    "see notes",
    "?",
    "??",
    "???",
    "xx",
    "xxx",
];

/// Marks that say: as above.
pub(in crate::recognise) const DITTO: &[&str] = &[
    "\"", "''", "”", "“", "″", "〃", "do", "do.", "ditto", "-do-", "\"\"", "- do -", "as above",
    "same", "↓", ",,", "-\"-", "- \" -", "—\"—", "-''-", "-”-", "dto", "dto.", "dito", "idem",
];

/// Lists of columns whose cells name a group or a kind, so that blanks below one can mean the same.
pub(in crate::recognise) const CARRIED: &[(&str, &str)] = &[
    ("Tendons", "mark"),
    ("Tendons", "spans"),
    ("Tendons", "web"),
    ("Tendons", "side"),
    ("Tendons", "strand"),
    ("Tendons", "duct"),
    ("Tendons", "filler"),
    ("Tendons", "situation"),
    ("Ends", "Tendon"),
    ("Ends", "anchorage"),
    ("Points", "Tendon"),
    ("Deviators", "Tendon"),
    ("StressingSteps", "Tendon"),
    ("Measurements", "Tendon"),
];
