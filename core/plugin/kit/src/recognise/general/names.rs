//! What rows of general data call the fields that they state.

/// Names of a field: the layout's sheet, its path, and what it is called behind the name of what it is of.
pub(super) type Names = (&'static str, &'static str, &'static [&'static str]);

/// What fields are called in lists of general data.
///
/// Common practice, no source.
pub(super) const NAMES: &[Names] = &[
    ("Strands", "diameter_mm", &["diameter", "size", "nenndurchmesser", "diamètre"]),
    (
        "Strands",
        "area_mm2",
        &[
            "area",
            "steel area",
            "section",
            "section area",
            "sectional area",
            "cross section",
            "cross sectional area",
            "cross section area",
            "querschnitt",
            "nennquerschnitt",
            "querschnittsfläche",
            "stahlquerschnitt",
            "section nominale",
        ],
    ),
    (
        "Strands",
        "fpu_mpa",
        &[
            "strength",
            "tensile strength",
            "ultimate strength",
            "ultimate tensile strength",
            "breaking stress",
            "guts",
            "guts uts",
            "zugfestigkeit",
            "festigkeit",
            "résistance",
            "résistance à la traction",
            "résistance à la rupture",
            "contrainte rupture",
        ],
    ),
    (
        "Strands",
        "breaking_force_kn",
        &[
            "breaking force",
            "breaking load",
            "minimum breaking load",
            "min breaking load",
            "mbl",
            "bruchkraft",
        ],
    ),
    (
        "Strands",
        "e_mpa",
        &[
            "e",
            "modulus",
            "modulus elasticity",
            "elastic modulus",
            "elasticity modulus",
            "youngs modulus",
            "young modulus",
            "e modulus",
            "e modul",
            "elastizitätsmodul",
            "module élasticité",
            "module délasticité",
        ],
    ),
    (
        "Strands",
        "mass_kg_per_m",
        &[
            "mass",
            "unit mass",
            "linear mass",
            "mass per metre",
            "mass per m",
            "mass per foot",
            "masse linéique",
        ],
    ),
    ("Strands", "grade", &["grade", "steel grade", "stahlgüte", "stahlsorte", "nuance"]),
    ("Strands", "standard", &["standard", "specification", "norm", "norme"]),
    ("Strands", "relaxation", &["relaxation", "relaxation class", "relaxationsklasse"]),
    ("Ducts", "outer_mm", &["outer", "outer diameter", "außendurchmesser", "diamètre extérieur"]),
    ("Ducts", "inner_mm", &["inner", "inner diameter", "innendurchmesser", "diamètre intérieur"]),
    (
        "Ducts",
        "wall_mm",
        &["wall", "minimum wall", "wanddicke", "wandstärke", "épaisseur", "épaisseur paroi"],
    ),
    (
        "Ducts",
        "dimension_ratio",
        &["sdr", "dr", "dimension ratio", "standard dimension ratio", "diameter wall ratio"],
    ),
    ("Ducts", "material", &["material", "werkstoff", "matériau"]),
    (
        "Tendons",
        "filler",
        &[
            "filler",
            "filler material",
            "void filler",
            "injection",
            "injection material",
            "corrosion protection",
            "verpressgut",
            "produit d'injection",
        ],
    ),
    (
        "Tendons",
        "stressing.mu",
        &[
            "mu",
            "friction",
            "friction coefficient",
            "friction coefficient mu",
            "coefficient friction deviators",
            "coefficient friction deviator",
            "coefficient friction deviators mu",
            "curvature friction coefficient",
            "coefficient curvature friction",
            "angular friction coefficient",
            "reibungsbeiwert",
            "reibungsbeiwert mu",
        ],
    ),
    (
        "Tendons",
        "stressing.wobble_per_m",
        &[
            "wobble",
            "wobble coefficient",
            "wobble k",
            "wobble coefficient k",
            "wobble factor",
            "wobble factor k",
        ],
    ),
    (
        "Tendons",
        "stressing.unintended_angle_rad_per_m",
        &[
            "unintended angle",
            "unintended angle k",
            "unintended deviation angle",
            "unintended angular deviation",
            "unintended angular deviation k",
            "ungewollter umlenkwinkel",
            "ungewollter umlenkwinkel k",
        ],
    ),
    (
        "Tendons",
        "stressing.set_mm",
        &[
            "anchor set",
            "anchorage set",
            "wedge set",
            "set",
            "draw in",
            "wedge draw in",
            "anchorage draw in",
            "wedge slip",
            "slip",
            "pull in",
            "wedge pull in",
            "anchorage slip",
            "schlupf",
            "keilschlupf",
            "ankerschlupf",
            "rentrée d'ancrage",
            "rentrée ancrage",
            "draw in stressing",
            "draw in stressing end",
            "draw in stressing anchorage",
            "wedge draw in stressing end",
            "wedge draw in stressing anchorage",
            "slip stressing anchorage",
            "set stressing end",
            "schlupf spannanker",
        ],
    ),
    (
        "Tendons",
        "stressing.dead_end_seating_mm",
        &[
            "draw in dead",
            "draw in dead end",
            "draw in dead anchorage",
            "draw in dead end anchorage",
            "wedge draw in dead end",
            "wedge draw in dead anchorage",
            "slip dead end",
            "slip dead anchorage",
            "set dead end",
            "seating dead end",
            "schlupf festanker",
        ],
    ),
    (
        "Tendons",
        "stressing.jacking_share",
        &[
            "jacking stress fpk",
            "jacking stress fpu",
            "jacking stress guts",
            "jacking stress ratio",
            "jacking force guts",
            "jacking force uts",
            "jacking ratio",
        ],
    ),
    (
        "Project",
        "concrete_strength_at_stressing_mpa",
        &[
            "concrete strength stressing",
            "concrete strength time stressing",
            "concrete strength when stressing",
            "minimum concrete strength stressing",
            "min concrete strength stressing",
            "betonfestigkeit beim vorspannen",
        ],
    ),
    (
        "Project",
        "aggregate_mm",
        &[
            "aggregate size",
            "maximum aggregate size",
            "max aggregate size",
            "largest aggregate",
            "maximum size aggregate",
            "größtkorn",
            "größtkorn beton",
            "concrete aggregate size",
            "maximum aggregate size concrete",
        ],
    ),
];
/// Words that say nothing here, as they are read.
pub(super) const NEUTRAL: [&str; 11] =
    ["of", "the", "at", "for", "to", "each", "one", "value", "all", "assumed", "design"];
/// The same of a strand: what is nominal and characteristic is what fields of strands hold.
pub(super) const OF_STRANDS: [&str; 6] =
    ["nominal", "characteristic", "specified", "charakteristische", "caractéristique", "7"];
/// Words that name the strand, and ducts.
pub(super) const STRAND: [&str; 1] = ["strand"];
pub(super) const DUCT: [&str; 2] = ["duct", "pipe"];
/// Words that say what ducts are made of.
pub(super) const OF_DUCTS: [&str; 5] = ["hdpe", "pe", "pehd", "polyethylene", "smooth"];
/// Names of the steel of tendons, and of nothing else, before they are taken apart.
pub(super) const STEEL: [&str; 5] = [
    "prestressing steel",
    "prestressing strand",
    "post-tensioning steel",
    "spannstahl",
    "acier de précontrainte",
];
/// Signs of prestressing steel, which no other material has, with the field of which each is the sign.
///
/// EN 1992-1-1, 1.6 (fpk, Ap, Ep) and the names of the same in other standards; from memory.
pub(super) const SIGNS: [(&str, &str); 9] = [
    ("fpk", "fpu_mpa"),
    ("fpu", "fpu_mpa"),
    ("fptk", "fpu_mpa"),
    ("fprg", "fpu_mpa"),
    ("ep", "e_mpa"),
    ("eps", "e_mpa"),
    ("aps", "area_mm2"),
    ("ap", "area_mm2"),
    ("ap1", "area_mm2"),
];
