//! The trade's words for the fields of the schedule, and for the words of their lists.
//!
//! A field's own label is always among its words; here stand the others.
//! Common practice, no source.

use std::collections::{BTreeMap, HashMap};
use std::sync::OnceLock;

use restrand_model::reflect::{ChoiceInfo, FieldInfo};
use restrand_model::sheet::{self, Column};

use super::words::{sorted, words};

/// Lists whose rows people keep in sheets of their own making.
pub(super) const LISTS: &[&str] = &[
    "Tendons",
    "Ends",
    "Points",
    "Deviators",
    "Strands",
    "Ducts",
    "Anchorages",
    "Jacks",
    "Places",
    "Spans",
    "StressingSteps",
    "Measurements",
    "Openings",
    "Bays",
    "Vents",
];

/// What people call a field, by the layout's sheet and the field; links are called by their header.
const SYNONYMS: &[(&str, &str, &[&str])] = &[
    (
        "Tendons",
        "mark",
        &[
            "tendon",
            "tendon no",
            "tendon mark",
            "tendon id",
            "tendon name",
            "tendon ref",
            "tendon designation",
            "pt mark",
            "pt id",
            "mark no",
        ],
    ),
    ("Tendons", "spans", &["span", "span no", "spans"]),
    ("Tendons", "web", &["web", "girder", "girder line", "web line", "cell", "box cell"]),
    ("Tendons", "side", &["left right", "lt/rt", "side of bridge"]),
    ("Tendons", "twin", &["pair", "pair with", "mirror tendon"]),
    ("Tendons", "order", &["stressing sequence", "stressing order", "order no"]),
    ("Tendons", "situation", &["external internal", "ext/int", "int/ext"]),
    ("Tendons", "strand", &["strand", "strand type", "type of strand", "strand material"]),
    (
        "Tendons",
        "strand_count",
        &["strands", "no of strands", "strands per tendon", "tendon strands", "total strands"],
    ),
    (
        "Tendons",
        "duct",
        &["duct", "duct type", "type of duct", "duct pipe", "pipe", "duct material type"],
    ),
    (
        "Tendons",
        "filler",
        &[
            "filler",
            "grout",
            "filler material",
            "grout type",
            "filler type",
            "void filler",
            "corrosion protection",
            "injection",
            "injection material",
        ],
    ),
    ("Tendons", "installation", &["strand installation", "installation method", "installation"]),
    ("Tendons", "status", &["tendon status"]),
    ("Tendons", "replaceable", &["is replaceable"]),
    (
        "Tendons",
        "length_m",
        &[
            "length",
            "tendon length",
            "overall length",
            "total length",
            "length face to face",
            "length plate to plate",
            "length between anchorages",
            "length anch to anch",
            "length between plates",
            "length between anchorage plates",
            "length between bearing plates",
            "length between faces",
        ],
    ),
    (
        "Tendons",
        "steel_mass_kg",
        &["steel weight", "strand weight", "tendon weight", "weight", "total weight"],
    ),
    (
        "Tendons",
        "stressing.jacking_force_kn",
        &[
            "jacking force",
            "jack force",
            "pjack",
            "p jack",
            "pj",
            "stressing force",
            "force jack",
            "force",
            "tendon force",
            "jacking load",
        ],
    ),
    (
        "Tendons",
        "stressing.jacking_share",
        &[
            "jacking stress ratio",
            "jacking stress guts",
            "force guts",
            "stress guts",
            "% guts",
            "% fpu",
            "jacking % fpu",
            "jacking % guts",
        ],
    ),
    (
        "Tendons",
        "stressing.mu",
        &[
            "mu",
            "friction coefficient",
            "friction",
            "curvature friction coefficient",
            "coefficient friction",
        ],
    ),
    ("Tendons", "stressing.wobble_per_m", &["wobble", "wobble coefficient", "k", "wobble k"]),
    (
        "Tendons",
        "stressing.set_mm",
        &[
            "anchor set",
            "set",
            "wedge set",
            "draw in",
            "drawin",
            "wedge draw in",
            "wedge slip",
            "seating loss",
            "anchorage slip",
            "anchorage draw in",
            "pull in",
            "wedge pull in",
            "slip",
        ],
    ),
    ("Tendons", "stressing.elongation_a_mm", &["end a elongation", "elongation a", "elongation"]),
    ("Tendons", "stressing.elongation_b_mm", &["end b elongation", "elongation b", "elongation"]),
    (
        "Tendons",
        "stressing.seated_force_a_kn",
        &["end a force after seating", "end a anchorage force", "end a lock off force"],
    ),
    (
        "Tendons",
        "stressing.seated_force_b_kn",
        &["end b force after seating", "end b anchorage force", "end b lock off force"],
    ),
    (
        "Tendons",
        "stressing.service_force_kn",
        &["service force", "final force", "effective force", "force after losses", "pe"],
    ),
    (
        "Tendons",
        "stressing.from",
        &[
            "stress from",
            "stressed from",
            "jack from",
            "jacking end",
            "jacking ends",
            "stressing end",
            "stressed at",
            "stressing at",
            "end stressed",
        ],
    ),
    ("Tendons", "replacement.target_force_kn", &["replacement force", "replacement jacking force"]),
    ("Tendons", "replacement.release", &["release method", "method of release", "detensioning"]),
    ("Ends", "Tendon", &["tendon", "tendon no", "tendon mark", "tendon id", "tendon ref", "mark"]),
    ("Ends", "End", &["end", "tendon end", "end mark", "end no", "end id"]),
    (
        "Ends",
        "place",
        &[
            "location",
            "anchored at",
            "diaphragm",
            "pier",
            "support",
            "anchorage location",
            "position",
        ],
    ),
    (
        "Ends",
        "kind",
        &[
            "end type",
            "live dead",
            "live/dead",
            "type of end",
            "stressing dead",
            "end condition",
            "live or dead",
        ],
    ),
    (
        "Ends",
        "anchorage",
        &[
            "anchorage",
            "anchorage type",
            "anchor type",
            "type of anchorage",
            "anchorage mark",
            "anchor head",
            "anchorage size",
            "anchorage no",
        ],
    ),
    ("Ends", "jack", &["jack", "jack type", "jack no", "jack model"]),
    (
        "Ends",
        "tail_mm",
        &[
            "tail",
            "tail length",
            "strand tail",
            "strand tail length",
            "projection",
            "strand projection",
        ],
    ),
    (
        "Ends",
        "set_mm",
        &[
            "set",
            "anchor set",
            "wedge set",
            "draw in",
            "wedge draw in",
            "slip",
            "anchorage slip",
            "wedge slip",
            "anchorage draw in",
            "pull in",
            "wedge pull in",
        ],
    ),
    (
        "Ends",
        "pitch_rad",
        &[
            "slope",
            "grade",
            "gradient",
            "inclination",
            "vertical angle",
            "angle vertical",
            "elevation angle",
        ],
    ),
    ("Ends", "yaw_rad", &["plan angle", "horizontal angle", "angle plan", "angle horizontal"]),
    ("Ends", "edge_distance_mm", &["edge distance", "edge dist"]),
    ("Ends", "stub_cut_mm", &["stub cut", "cut at"]),
    ("Ends", "straight_length_m", &["straight length", "tangent length", "straight", "tangent"]),
    (
        "Ends",
        "removal_space.behind_mm",
        &[
            "clearance behind",
            "clear behind",
            "clearance",
            "jacking clearance",
            "space behind anchorage",
            "room behind",
            "clearance behind anchorage",
            "removal space",
            "clear distance behind",
            "clear room behind",
            "clearance behind plate",
        ],
    ),
    ("Ends", "removal_space.up_mm", &["clearance above", "clearance up", "clear above"]),
    ("Ends", "removal_space.down_mm", &["clearance below", "clearance down", "clear below"]),
    ("Ends", "removal_space.left_mm", &["clearance left"]),
    ("Ends", "removal_space.right_mm", &["clearance right"]),
    ("Points", "Tendon", &["tendon", "tendon no", "tendon mark", "tendon id", "mark"]),
    ("Points", "id", &["point", "point no", "point id", "pt", "pt no"]),
    ("Points", "station_m", &["station", "x", "distance along"]),
    (
        "Points",
        "lateral_m",
        &[
            "lateral",
            "offset",
            "y",
            "plan offset",
            "lateral offset",
            "horizontal offset",
            "transverse",
        ],
    ),
    ("Points", "elevation_m", &["elevation", "z", "height", "vertical"]),
    ("Points", "place", &["location", "place", "diaphragm", "pier"]),
    ("Points", "radius_m", &["radius", "bend radius", "r"]),
    ("Deviators", "Tendon", &["tendon", "tendon no", "tendon mark", "tendon id", "mark"]),
    (
        "Deviators",
        "place",
        &["deviator", "dev", "saddle", "deviation block", "location", "deviator no"],
    ),
    ("Deviators", "form", &["form", "form type", "deviator pipe", "deviator type"]),
    (
        "Deviators",
        "angle_rad",
        &["angle", "deviation angle", "angle change", "total angle", "angle of deviation"],
    ),
    (
        "Deviators",
        "force_kn",
        &["deviation force", "hold down force", "deviator force", "resultant"],
    ),
    (
        "Strands",
        "id",
        &["strand type", "type", "strand", "designation", "strand mark", "strand id"],
    ),
    ("Strands", "standard", &["spec", "specification", "astm", "standard"]),
    ("Strands", "grade", &["grade", "strand grade", "steel grade"]),
    (
        "Strands",
        "diameter_mm",
        &[
            "diameter",
            "nominal diameter",
            "strand diameter",
            "strand size",
            "nominal strand diameter",
        ],
    ),
    (
        "Strands",
        "area_mm2",
        &[
            "area",
            "nominal area",
            "strand area",
            "steel area",
            "area per strand",
            "as",
            "ap",
            "aps",
        ],
    ),
    (
        "Strands",
        "mass_kg_per_m",
        &[
            "unit weight",
            "unit mass",
            "mass per metre",
            "weight per foot",
            "linear weight",
            "nominal weight",
        ],
    ),
    (
        "Strands",
        "fpu_mpa",
        &[
            "fpu",
            "fpk",
            "guts",
            "tensile strength",
            "ultimate strength",
            "ultimate tensile strength",
            "uts",
            "strand fpu",
        ],
    ),
    (
        "Strands",
        "breaking_force_kn",
        &[
            "breaking load",
            "mbl",
            "ultimate load",
            "breaking strength",
            "min breaking load",
            "breaking force",
            "mufs",
        ],
    ),
    (
        "Strands",
        "e_mpa",
        &[
            "e",
            "modulus",
            "elastic modulus",
            "eps",
            "ep",
            "modulus of elasticity",
            "youngs modulus",
            "e modulus",
        ],
    ),
    ("Strands", "relaxation", &["relaxation", "relaxation class", "relax"]),
    ("Strands", "coating", &["coating", "strand coating"]),
    ("Ducts", "id", &["duct type", "type", "duct", "designation", "duct mark", "duct id", "pipe"]),
    ("Ducts", "material", &["material", "duct material", "pipe material"]),
    ("Ducts", "nominal_size", &["nominal size", "nps", "nominal pipe size", "dn"]),
    (
        "Ducts",
        "outer_mm",
        &[
            "od",
            "outer diameter",
            "outside diameter",
            "duct od",
            "pipe od",
            "external diameter",
            "diameter",
            "duct diameter",
            "duct size",
        ],
    ),
    (
        "Ducts",
        "wall_mm",
        &["wall", "wall thickness", "thk", "duct wall", "duct wall thickness", "duct thk", "t"],
    ),
    (
        "Ducts",
        "inner_mm",
        &[
            "inner diameter",
            "inside diameter",
            "internal diameter",
            "duct id",
            "bore",
            "duct inner diameter",
            "clear bore",
            "diameter",
            "duct diameter",
            "duct size",
            "id",
        ],
    ),
    ("Ducts", "dimension_ratio", &["sdr", "dr", "duct sdr", "duct dr", "dimension ratio"]),
    ("Ducts", "mass_kg_per_m", &["unit weight", "unit mass", "weight per metre"]),
    ("Ducts", "stick_length_mm", &["stick length", "pipe length", "length"]),
    (
        "Anchorages",
        "id",
        &["anchorage", "anchorage type", "type", "anchor", "designation", "anchorage mark"],
    ),
    ("Anchorages", "strand_counts", &["strands", "no of strands", "capacity"]),
    (
        "Anchorages",
        "wedge_plate_outer_mm",
        &["wedge plate diameter", "wedge plate od", "anchor head diameter"],
    ),
    ("Anchorages", "wedge_plate_thickness_mm", &["wedge plate thk", "anchor head thickness"]),
    ("Anchorages", "cap_length_mm", &["cap length", "grout cap length"]),
    ("Anchorages", "cap_outer_mm", &["cap diameter", "cap od"]),
    ("Jacks", "id", &["jack", "jack type", "type", "jack no", "jack model"]),
    ("Places", "id", &["location", "diaphragm", "pier", "place", "name", "mark", "support"]),
    ("Places", "station_m", &["station", "cl station", "centerline station", "centreline station"]),
    ("Places", "thickness_mm", &["thickness", "thk", "diaphragm thickness"]),
    ("Places", "kind", &["type", "kind"]),
    ("Spans", "id", &["span", "span no", "name"]),
    ("Spans", "from_m", &["begin station", "start station", "begin"]),
    ("Spans", "to_m", &["end station", "finish"]),
    ("StressingSteps", "Tendon", &["tendon", "tendon no", "tendon mark", "mark"]),
    ("StressingSteps", "end", &["end", "jacking end"]),
    ("StressingSteps", "step", &["step", "stage", "step no", "increment"]),
    ("StressingSteps", "force_kn", &["force", "jack force", "load"]),
    (
        "StressingSteps",
        "gauge_mpa",
        &["gauge pressure", "pressure", "gauge reading", "gage pressure", "gage reading"],
    ),
    ("StressingSteps", "elongation_mm", &["elongation"]),
    ("Measurements", "Tendon", &["tendon", "tendon no", "tendon mark", "mark"]),
    ("Measurements", "elongation_mm", &["measured elongation", "actual elongation"]),
    ("Measurements", "force_kn", &["measured force", "actual force"]),
    (
        "Project",
        "bridge",
        &["project", "bridge", "structure", "job", "bridge name", "project name", "project title"],
    ),
    ("Project", "structure_number", &["structure no", "bridge no", "structure id"]),
    ("Project", "owner", &["owner", "client"]),
    ("Project", "designer", &["designer", "designed by", "engineer", "prepared by"]),
    ("Project", "drawing", &["drawing", "drawing no", "schedule no", "document no"]),
    ("Project", "revision", &["revision", "issue", "revision no"]),
    ("Project", "date", &["date", "issue date", "revision date"]),
    ("Project", "design_code", &["design code", "code", "design standard"]),
];

/// Headers of columns that state what several fields hold, as `Size` over `19-0.6"`.
const DESCRIPTIONS: &[(Description, &[&str])] = &[
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
            "duct od wall",
            "pipe od t",
            "pipe od wall",
            "od t",
            "od wall",
            "size",
        ],
    ),
];

/// Words of lists, by the field's name.
const WORDS: &[(&str, &str, &[&str])] = &[
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
    ("filler", "wax", &["wax", "flexible filler wax", "microcrystalline wax", "petroleum wax"]),
    ("filler", "grease", &["grease", "pt grease"]),
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
            "stressing end",
            "jacking end",
        ],
    ),
    ("kind", "dead", &["dead", "fixed", "passive", "non stressing", "d", "dead end", "fixed end"]),
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
    ("from", "a", &["a", "end a", "left", "lt", "left end", "lt end", "start", "begin", "l"]),
    ("from", "b", &["b", "end b", "right", "rt", "right end", "rt end", "finish", "r"]),
    (
        "from",
        "both",
        &["both", "both ends", "a and b", "a b", "2 ends", "double", "lt and rt", "left and right"],
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
const UNCLEAR: &[(&str, &[&str], &[&str])] = &[(
    "filler",
    &["grout", "grouted", "yes", "filler", "injected", "flexible filler", "flexible"],
    &["cement_grout", "wax", "grease"],
)];

/// Words by which people mark a row that is no longer part of the table.
pub(super) const DELETED: &[&str] = &[
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

/// Words with which a row of sums begins.
pub(super) const TOTALS: &[&str] = &[
    "total",
    "totals",
    "sub total",
    "subtotal",
    "grand total",
    "sum",
    "σ",
    "overall total",
    "average",
    "avg",
];

/// Words that head the notes below a table.
pub(super) const NOTES: &[&str] =
    &["note", "notes", "general notes", "remark", "remarks", "legend", "key", "abbreviations"];

/// Words that stand where a value is yet to come; they say nothing of what their column states.
pub(super) const PENDING: &[&str] = &[
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
pub(super) const DITTO: &[&str] = &[
    "\"", "''", "”", "“", "″", "〃", "do", "do.", "ditto", "-do-", "\"\"", "- do -", "as above",
    "same", "↓", ",,",
];

/// Lists of columns whose cells name a group or a kind, so that blanks below one can mean the same.
pub(super) const CARRIED: &[(&str, &str)] = &[
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

/// What several fields hold in one text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Description {
    /// Number and size of strands.
    Strands,
    /// Diameter and wall of a duct.
    Pipe,
}

/// What a header can stand for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Target {
    /// A column of a sheet of the layout, by their positions.
    Column(usize, usize),
    /// A description.
    Described(Description),
}

/// A name of a target.
#[derive(Debug)]
pub(super) struct Term {
    pub(super) target: Target,
    /// Its words, sorted.
    pub(super) words: Vec<String>,
}

/// All names of all targets.
pub(super) struct Vocabulary {
    terms: Vec<Term>,
    /// The terms that have a word, by the word.
    by_word: HashMap<String, Vec<usize>>,
}

impl Vocabulary {
    /// The one vocabulary.
    pub(super) fn get() -> &'static Self {
        static VOCABULARY: OnceLock<Vocabulary> = OnceLock::new();
        VOCABULARY.get_or_init(Self::new)
    }

    fn new() -> Self {
        let mut terms = Vec::new();
        let mut add = |target: Target, phrase: &str| {
            let words = sorted(words(phrase));
            if !words.is_empty() {
                terms.push(Term { target, words });
            }
        };
        for list in LISTS.iter().chain(&["Project"]) {
            let Some((index, sheet)) = list_at(list) else { continue };
            for (at, column) in sheet::columns_of(sheet).iter().enumerate() {
                match column {
                    Column::Link { header } => add(Target::Column(index, at), header),
                    Column::Value { label, .. } => add(Target::Column(index, at), label),
                }
            }
        }
        for (list, field, phrases) in SYNONYMS {
            if let Some(target) = target_of(list, field) {
                phrases.iter().for_each(|phrase| add(target, phrase));
            }
        }
        for (description, phrases) in DESCRIPTIONS {
            phrases.iter().for_each(|phrase| add(Target::Described(*description), phrase));
        }
        let mut by_word: HashMap<String, Vec<usize>> = HashMap::new();
        for (index, term) in terms.iter().enumerate() {
            for word in &term.words {
                by_word.entry(word.clone()).or_default().push(index);
            }
        }
        Self { terms, by_word }
    }

    /// The targets whose names are among these words, each with the share of the words that it explains.
    pub(super) fn find(&self, wanted: &[String]) -> Vec<(Target, f64)> {
        let mut best: BTreeMap<Target, f64> = BTreeMap::new();
        let mut looked: BTreeMap<usize, usize> = BTreeMap::new();
        for word in wanted {
            for term in self.by_word.get(word).into_iter().flatten() {
                *looked.entry(*term).or_default() += 1;
            }
        }
        for (index, met) in looked {
            let term = &self.terms[index];
            if met < term.words.len() || wanted.is_empty() {
                continue;
            }
            #[expect(clippy::cast_precision_loss, reason = "headers have a few words")]
            let share = met as f64 / wanted.len() as f64;
            let score = if met == wanted.len() { 1.0 } else { 0.9 * share };
            let kept = best.entry(term.target).or_default();
            *kept = kept.max(score);
        }
        let mut found: Vec<_> = best.into_iter().collect();
        found.sort_by(|one, other| other.1.total_cmp(&one.1).then(one.0.cmp(&other.0)));
        found
    }
}

/// A list of the layout by name, with its position.
pub(super) fn list_at(name: &str) -> Option<(usize, &'static sheet::Sheet)> {
    sheet::SHEETS.iter().enumerate().find(|(_, sheet)| sheet.name == name)
}

/// The target of a list and a field's path, or the header of a link.
pub(super) fn target_of(list: &str, field: &str) -> Option<Target> {
    let (index, sheet) = list_at(list)?;
    let at = sheet::columns_of(sheet).iter().position(|column| match column {
        Column::Link { header } => *header == field,
        Column::Value { path, .. } => path.join(".") == field,
    })?;
    Some(Target::Column(index, at))
}

impl Target {
    /// The column of the layout, if it is one.
    pub(super) fn column(self) -> Option<&'static Column> {
        match self {
            Self::Column(sheet, column) => sheet::columns_of(&sheet::SHEETS[sheet]).get(column),
            Self::Described(_) => None,
        }
    }

    /// The name of the layout's sheet it belongs to.
    pub(super) fn list(self) -> Option<&'static str> {
        match self {
            Self::Column(sheet, _) => Some(sheet::SHEETS[sheet].name),
            Self::Described(_) => None,
        }
    }

    /// The target as routes and mapping files write it: `tendon.strand_count`.
    pub(super) fn name(self) -> String {
        match self {
            Self::Described(Description::Strands) => "strands, described".to_owned(),
            Self::Described(Description::Pipe) => "duct, described".to_owned(),
            Self::Column(index, _) => {
                let record = sheet::SHEETS[index].record.name;
                match self.column() {
                    Some(Column::Value { path, .. }) => format!("{record}.{}", path.join(".")),
                    Some(Column::Link { header }) => format!("{record}, {}", header.to_lowercase()),
                    None => record.to_owned(),
                }
            }
        }
    }
}

/// What a text says for a field that takes a word of a list.
pub(super) enum Word {
    /// This word.
    Is(&'static str),
    /// One of these words, and nothing tells which.
    Unclear(&'static [&'static str]),
    /// None of the list.
    Unknown,
}

/// The word of a field's list that a text means.
pub(super) fn word(field: &FieldInfo, list: &'static [ChoiceInfo], text: &str) -> Word {
    if let Some(word) = ChoiceInfo::find(list, text) {
        return Word::Is(word.name);
    }
    let plain: String = text
        .to_lowercase()
        .chars()
        .filter(|letter| *letter != '.')
        .map(|letter| if letter.is_alphanumeric() { letter } else { ' ' })
        .collect();
    let plain = plain.split_whitespace().collect::<Vec<_>>().join(" ");
    let found = WORDS.iter().find(|(name, word, texts)| {
        *name == field.name
            && texts.contains(&&*plain)
            && list.iter().any(|choice| choice.name == *word)
    });
    if let Some((_, word, _)) = found {
        return Word::Is(word);
    }
    UNCLEAR
        .iter()
        .find(|(name, texts, _)| *name == field.name && texts.contains(&&*plain))
        .map_or(Word::Unknown, |(_, _, words)| Word::Unclear(words))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_synonym_belongs_to_a_field_and_says_something() {
        for (list, field, phrases) in SYNONYMS {
            assert!(target_of(list, field).is_some(), "{list}: {field}");
            for phrase in *phrases {
                assert!(!words(phrase).is_empty(), "{phrase}");
            }
        }
        for (list, field) in CARRIED {
            assert!(target_of(list, field).is_some(), "{list}: {field}");
        }
    }

    #[test]
    fn headers_find_their_fields() {
        let first = |header: &str| {
            let found = Vocabulary::get().find(&sorted(words(header)));
            found
                .into_iter()
                .take_while(|(_, score)| *score >= 1.0)
                .map(|(target, _)| target.name())
                .collect::<Vec<_>>()
        };
        assert!(first("NO. OF\nSTRANDS").contains(&"tendon.strand_count".to_owned()));
        assert!(first("Jacking Force").contains(&"tendon.stressing.jacking_force_kn".to_owned()));
        assert!(first("Duct O.D.").contains(&"duct.outer_mm".to_owned()));
        assert!(first("Chainage").contains(&"tendon_point.station_m".to_owned()));
        assert!(first("Colour").is_empty());
    }
}
