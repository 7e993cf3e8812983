//! What people write for the words of lists.

/// Words of lists, by the field's name.
pub(super) const WORDS: &[(&str, &str, &[&str])] = &[
    (
        "filler",
        "cement_grout",
        &[
            "cement grout",
            "cementitious",
            "cementitious grout",
            "cement",
            "neat cement grout",
            "pt grout cement",
        ],
    ),
    (
        "filler",
        "wax",
        &["wax", "flexible filler wax", "microcrystalline wax", "petroleum wax", "cire", "wachs"],
    ),
    ("filler", "grease", &["grease", "pt grease", "graisse", "fett"]),
    (
        "kind",
        "stressing",
        &[
            "stressing",
            "stress",
            "live",
            "jacking",
            "jacked",
            "active",
            "l",
            "live end",
            "actif",
            "stressed",
            "stressing end",
            "jacking end",
        ],
    ),
    (
        "kind",
        "dead",
        &["dead", "fixed", "passive", "passif", "non stressing", "d", "dead end", "fixed end"],
    ),
    ("kind", "embedded", &["embedded", "buried", "embedded dead"]),
    ("situation", "external", &["external", "ext", "e"]),
    ("situation", "internal", &["internal", "int", "i"]),
    ("side", "left", &["left", "lt", "l", "lhs", "lh"]),
    ("side", "right", &["right", "rt", "r", "rhs", "rh"]),
    ("side", "centre", &["centre", "center", "cl", "c", "middle"]),
    (
        "material",
        "polyethylene",
        &["hdpe", "pe", "pe100", "pe80", "polyethylene", "hdpe pipe", "smooth hdpe", "pe pipe"],
    ),
    ("material", "polypropylene", &["pp", "polypropylene"]),
    (
        "material",
        "steel",
        &[
            "steel",
            "steel pipe",
            "galv steel pipe",
            "galvanised steel pipe",
            "galvanized steel pipe",
        ],
    ),
    ("material", "corrugated_metal", &["corrugated metal", "corrugated steel", "corr metal"]),
    (
        "material",
        "corrugated_polymer",
        &["corrugated plastic", "corrugated hdpe", "corrugated pp", "corr plastic"],
    ),
    ("relaxation", "low", &["low", "low relax", "low relaxation", "lr", "lo lax"]),
    ("relaxation", "normal", &["normal", "stress relieved", "normal relaxation", "sr"]),
    ("coating", "bare", &["bare", "uncoated", "none"]),
    ("coating", "epoxy", &["epoxy", "epoxy coated"]),
    ("coating", "galvanised", &["galvanised", "galvanized", "galv"]),
    (
        "from",
        "a",
        &[
            "a", "a only", "a end", "end a", "left", "lt", "left end", "lt end", "start", "begin",
            "l",
        ],
    ),
    (
        "from",
        "b",
        &["b", "b only", "b end", "end b", "right", "rt", "right end", "rt end", "finish", "r"],
    ),
    (
        "from",
        "both",
        &[
            "both",
            "both ends",
            "ab",
            "a and b",
            "a b",
            "2 ends",
            "double",
            "lt and rt",
            "left and right",
        ],
    ),
    ("end", "a", &["a", "end a", "left", "lt", "left end", "start", "l", "1"]),
    ("end", "b", &["b", "end b", "right", "rt", "right end", "r", "2"]),
    ("installation", "push", &["push", "pushed", "pushing"]),
    ("installation", "pull", &["pull", "pulled", "pulling"]),
    ("stage", "shop_drawing", &["shop drawing", "shop drawings", "for construction", "ifc"]),
    ("stage", "as_built", &["as built", "as constructed"]),
    ("stage", "tender", &["tender", "bid"]),
];

/// Values of which each can be one of several words; the author has to say.
pub(super) const UNCLEAR: &[(&str, &[&str], &[&str])] = &[(
    "filler",
    &["grout", "grouted", "yes", "filler", "injected", "flexible filler", "flexible"],
    &["cement_grout", "wax", "grease"],
)];
