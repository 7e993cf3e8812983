//! What people call columns that state what several fields hold.

use super::Description;

/// Headers of columns that state what several fields hold, as `Size` over `19-0.6"`.
pub(super) const DESCRIPTIONS: &[(Description, &[&str])] = &[
    (
        Description::Strands,
        &[
            "tendon size",
            "tendon type",
            "tendon unit",
            "strand pattern",
            "strands",
            "no strands",
            "type",
            "size",
            "unit",
            "make up",
            "composition",
            "strand",
            "tendon",
            "strand size",
            "ps strand",
        ],
    ),
    (
        Description::Pipe,
        &[
            "duct",
            "duct size",
            "duct type",
            "duct pipe",
            "pipe",
            "pipe size",
            "sheath size",
            "duct diameter",
            "hdpe duct",
            "duct dimensions",
            "duct od t",
            "duct od x t",
            "hdpe duct od x t",
            "hdpe duct od t",
            "duct od x wall",
            "od x t",
            "od x wall",
            "duct od wall",
            "pipe od t",
            "pipe od wall",
            "od t",
            "od wall",
            "size",
        ],
    ),
];
