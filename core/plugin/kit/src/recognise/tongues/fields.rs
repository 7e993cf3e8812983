//! Words that other tongues have for fields, where a name in one stands beside the English: `Rientro cunei / Wedge
//! draw-in`.

/// The words by which a field is named in Spanish, Italian, Portuguese and Dutch, by the name of the target.
///
/// Only words that say which field it is: a word for a part, a place or a state would tell tendons from others. From
/// memory.
const OF_FIELDS: &[(&str, &str)] = &[
    ("strand", "cordón cordones trefolo trefoli cordoalha cordoalhas streng strengen"),
    ("strand.diameter_mm", "diámetro diametro diâmetro nominal nominale"),
    (
        "strand.area_mm2",
        "área area sección sezione seção secção transversal trasversale doorsnede oppervlakte nominal nominale",
    ),
    (
        "strand.fpu_mpa",
        "resistencia resistenza resistência rotura rottura ruptura tracción trazione tração carga tensión \
         tensione tensão característica caratteristica treksterkte karakteristieke",
    ),
    (
        "strand.breaking_force_kn",
        "fuerza forza força carga carico rotura rottura ruptura breukkracht breuklast",
    ),
    (
        "strand.e_mpa",
        "módulo modulo elasticidad elasticità elasticidade elástico elastico elasticiteitsmodulus emodulus",
    ),
    ("strand.mass_kg_per_m", "masa massa peso lineal lineare linear unitario unitário gewicht"),
    ("strand.grade", "calidad calidade qualità qualidade classe clase staalsoort kwaliteit"),
    ("strand.standard", "norma norm"),
    ("strand.relaxation", "relajación rilassamento relaxação relaxatie"),
    ("duct", "vaina vainas guaina guaine bainha bainhas omhullingsbuis mantelbuis kabelkoker"),
    (
        "duct.outer_mm",
        "diámetro diametro diâmetro exterior esterno externo uitwendige buitendiameter",
    ),
    ("duct.inner_mm", "diámetro diametro diâmetro interior interno inwendige binnendiameter"),
    ("duct.wall_mm", "espesor pared spessore parete espessura parede wanddikte"),
    ("duct.material", "material materiale materiaal"),
    (
        "tendon.filler",
        "relleno inyección material riempimento iniezione materiale enchimento injeção vulmiddel vulling",
    ),
    (
        "tendon.stressing.mu",
        "coeficiente coefficiente coëfficiënt rozamiento fricción attrito atrito wrijving wrijvingscoëfficiënt \
         wrijvingscoefficient",
    ),
    (
        "tendon.stressing.unintended_angle_rad_per_m",
        "ángulo angolo hoek desviación deviazione desvio involuntaria involuntario involontaria involontario \
         parásita parasita parassita onbedoelde hoekverdraaiing",
    ),
    (
        "tendon.stressing.wobble_per_m",
        "coeficiente coefficiente coëfficiënt rozamiento fricción attrito atrito wrijving ondulación ondulazione \
         ondulação onbedoelde hoekverdraaiing",
    ),
    (
        "tendon.stressing.set_mm",
        "penetración cuña cuñas rientro cuneo cunei penetração cunha cunhas acomodação wigzetting wigslip",
    ),
];

/// Words that bind others.
const BINDING: &str = "de del di della do da dei delle van het e y en";

/// Whether a word only binds others, and names nothing.
pub(in super::super) fn is_binding(word: &str) -> bool {
    BINDING.split(' ').any(|one| one == word)
}

/// The words of other tongues for a target, as `tendon.stressing.mu` or `strand`.
pub(in super::super) fn of_field(target: &str) -> impl Iterator<Item = &'static str> + use<> {
    let subject = target.split('.').next().unwrap_or_default().to_owned();
    let target = target.to_owned();
    let of_target = move |name: &str| name == target || name == subject;
    let all = OF_FIELDS.iter().filter(move |(name, _)| of_target(name));
    all.flat_map(|(_, words)| words.split_whitespace())
}

/// The words of other tongues for any field.
pub(in super::super) fn of_any_field() -> impl Iterator<Item = &'static str> {
    OF_FIELDS.iter().flat_map(|(_, words)| words.split_whitespace())
}
