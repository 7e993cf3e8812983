//! Words of headers that change what a field's name before or behind them means, or name the thing of which it is said.
//!
//! A header is taken for a field by the words that name the field. What other words stand beside them may say that the
//! value is another: the greatest or the least, that of a pair, the measured one, or one of another thing.

/// Words that say from where a measure is taken, and nothing of what it is.
pub(in crate::recognise) const DATUMS: [&str; 9] = [
    "cl",
    "centreline",
    "centerline",
    "box",
    "axis",
    "baseline",
    "datum",
    "bridge",
    "construction",
];

/// Words that say nothing else of what is measured, where they stand beside the name of a field.
const PLAIN: &[&str] = &[
    // Kinds and names.
    "tendon",
    "type",
    "mark",
    "ref",
    "no",
    "name",
    "size",
    "value",
    "values",
    "data",
    "external",
    "pt",
    "nominal",
    "prestress",
    "prestressing",
    "each",
    "new",
    "main",
    "typ",
    "typical",
    "web",
    "span",
    "stage",
    "in",
    // Symbols and counted units.
    "p",
    "po",
    "p0",
    "pj",
    "pjack",
    "f",
    "l",
    "n",
    "d",
    "e",
    "stk",
    "pcs",
    "mn",
    "kn",
    "dl",
    "δl",
    "delta",
    // What is a matter of the whole tendon.
    "total",
    "overall",
    "full",
    "stress",
    "ratio",
    "share",
    // Where a measure is taken from.
    "centre",
    "center",
    "line",
    "above",
    "position",
    "location",
    // Ends.
    "end",
    "near",
    "far",
    "a",
    "b",
    "1",
    "2",
];

/// Words that name things, with the lists of the layout of whose records they may be said, and the fields.
const THINGS: &[(&str, &[&str], &[&str])] = &[
    ("strand", &["Strands"], &[]),
    ("wire", &["Strands"], &[]),
    ("duct", &["Ducts", "Points"], &[]),
    ("pipe", &["Ducts", "Points"], &[]),
    ("hdpe", &["Ducts"], &[]),
    ("pe", &["Ducts"], &[]),
    ("plastic", &["Ducts"], &[]),
    ("anchorage", &["Ends", "Points", "Anchorages"], AT_ANCHORAGES),
    ("plate", &["Ends", "Points", "Anchorages"], AT_ANCHORAGES),
    ("ankerplatte", &["Ends", "Points", "Anchorages"], &["length_m"]),
    ("bearing", &["Ends", "Points", "Anchorages"], AT_ANCHORAGES),
    ("face", &["Ends", "Points", "Anchorages"], AT_ANCHORAGES),
    ("stressing", &["Tendons", "Ends", "Jacks", "StressingSteps"], &[]),
    ("jack", &["Jacks", "StressingSteps"], AT_JACKS),
    ("ram", &["Jacks", "StressingSteps"], AT_JACKS),
    ("dead", &["Ends"], &[]),
    ("deviator", &["Deviators", "Points", "Places"], &[]),
    ("saddle", &["Deviators", "Points", "Places"], &[]),
    ("cap", &["Anchorages"], &[]),
    ("trumpet", &["Anchorages"], &[]),
    ("wedge", &["Anchorages"], &["set_mm"]),
    ("form", &["Deviators"], &[]),
    ("former", &["Deviators"], &[]),
    ("sleeve", &[], &[]),
    ("tube", &[], &[]),
    ("vent", &["Vents"], &[]),
    ("hole", &["Openings"], &[]),
    ("hose", &["Jacks"], &[]),
    ("pump", &["Jacks"], &[]),
    ("bar", &[], &[]),
    ("bolt", &[], &[]),
    ("stud", &[], &[]),
    ("deck", &[], &[]),
    ("soffit", &[], &[]),
    ("slab", &[], &[]),
    ("ground", &[], &[]),
    ("formation", &[], &[]),
];

/// Fields of tendons that are of what happens at an anchorage.
const AT_ANCHORAGES: &[&str] = &[
    "set_mm",
    "jacking_force_kn",
    "seated_force_a_kn",
    "seated_force_b_kn",
    "elongation_a_mm",
    "elongation_b_mm",
];
/// Fields of tendons that are of what a jack does.
const AT_JACKS: &[&str] =
    &["jacking_force_kn", "jacking_share", "elongation_a_mm", "elongation_b_mm", "set_mm", "kind"];

/// Words that say that a value is another than that of which the rest of a header speaks.
const CHANGING: &[&str] = &[
    "max",
    "min",
    "spare",
    "reserve",
    "reserved",
    "future",
    "previous",
    "old",
    "superseded",
    "original",
    "actual",
    "measured",
    "recorded",
    "achieved",
    "observed",
    "site",
    "built",
    "record",
    "test",
    "proof",
    "ultimate",
    "ult",
    "breaking",
    "allowable",
    "permissible",
    "permitted",
    "allowed",
    "limit",
    "limiting",
    "required",
    "req",
    "reqd",
    "capacity",
    "service",
    "final",
    "effective",
    "after",
    "before",
    "residual",
    "initial",
    "temporary",
    "pair",
    "both",
    "two",
    "cumulative",
    "gross",
    "net",
    "loss",
    "losses",
    "lost",
    "difference",
    "diff",
    "deviation",
    "tolerance",
    "tol",
    "variation",
    "cut",
    "cutting",
    "order",
    "supply",
    "replacement",
    "removed",
    "lock",
    "off",
    "transfer",
    "anchoring",
    "seating",
    "vendor",
    "estimate",
];

/// The same words, as far as they change what stands below them in a group of headers.
const CHANGING_BELOW: &[&str] = &[
    "max",
    "min",
    "spare",
    "reserved",
    "previous",
    "old",
    "superseded",
    "actual",
    "measured",
    "recorded",
    "achieved",
    "test",
    "proof",
    "ultimate",
    "allowable",
    "permissible",
    "required",
    "after",
    "initial",
    "temporary",
    "residual",
    "service",
    "final",
    "effective",
    "anchoring",
    "transfer",
    "site",
    "capacity",
    "pair",
];

/// Words of extremes that leave the meaning of some fields as it is: of a clear room the least is the one there is.
const STILL: &[(&str, &[&str])] = &[
    (
        "min",
        &[
            "behind_mm",
            "up_mm",
            "down_mm",
            "left_mm",
            "right_mm",
            "radius_m",
            "breaking_force_kn",
            "fpu_mpa",
        ],
    ),
    // A clear length, and a distance, in one direction are the room there.
    ("length", &["behind_mm"]),
    ("distance", &["behind_mm", "up_mm", "down_mm", "left_mm", "right_mm"]),
    ("working", &["behind_mm"]),
    // What is filled in names its volume: `Wax (l)`.
    ("wax", &["volume_l"]),
    ("grease", &["volume_l"]),
    ("net", &["behind_mm", "up_mm", "down_mm", "left_mm", "right_mm"]),
    ("actual", &["behind_mm", "up_mm", "down_mm", "left_mm", "right_mm"]),
    ("breaking", &["breaking_force_kn"]),
    ("ultimate", &["fpu_mpa", "breaking_force_kn"]),
];

/// Whether a word of a group of headers says that the value of a field below it is another.
pub(in crate::recognise) fn changes_in_group(word: &str, field: &str) -> bool {
    let is_still = || STILL.iter().any(|(still, fields)| *still == word && fields.contains(&field));
    CHANGING_BELOW.contains(&word) && !is_still()
}

/// What a word that no name of a field explains says of a header.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::recognise) enum Says {
    /// Nothing that matters.
    Nothing,
    /// That the value is one of another thing.
    OfAnother,
    /// That the value is another.
    Another,
    /// Nothing that is known.
    Unknown,
}

/// What a word beside the name of a field says; `list` is that of the field.
pub(in crate::recognise) fn says(word: &str, list: &str, field: &str) -> Says {
    if STILL.iter().any(|(still, fields)| *still == word && fields.contains(&field)) {
        return Says::Nothing;
    }
    if CHANGING.contains(&word) {
        return Says::Another;
    }
    if let Some((_, lists, fields)) = THINGS.iter().find(|(thing, ..)| *thing == word) {
        let is_of_this = lists.contains(&list) || fields.contains(&field);
        return if is_of_this { Says::Nothing } else { Says::OfAnother };
    }
    let is_plain = PLAIN.contains(&word)
        || DATUMS.contains(&word)
        || word.chars().all(|letter| !letter.is_alphabetic());
    if is_plain { Says::Nothing } else { Says::Unknown }
}
