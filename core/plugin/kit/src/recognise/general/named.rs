//! What the label of a row of general data names: a field of the strand, of the ducts, of all tendons or of the project.
//!
//! Every word of a label has to be understood: what says more than the names here may speak of something else, as
//! `modulus of elasticity of concrete` does.

use std::sync::OnceLock;

use super::super::header::{HeaderText, is_unit};
use super::super::tongues::{is_binding, of_field};
use super::super::vocabulary::{Target, target_of};
use super::super::words::{sorted, words};
use super::names::{DUCT, NAMES, NEUTRAL, Names, OF_DUCTS, OF_STRANDS, SIGNS, STEEL, STRAND};

/// Of what a row speaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Subject {
    Strand,
    Duct,
    /// Of something else, or of what holds for tendons and the project.
    Other,
}

/// What a label names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Named {
    Field(Target),
    /// The strand or the ducts themselves: what stands beside it describes them.
    Kind(Subject),
}

/// The names of a field as words in order.
struct Entry {
    list: &'static str,
    field: &'static str,
    target: Target,
    names: Vec<Vec<String>>,
}

fn entries() -> &'static [Entry] {
    static ENTRIES: OnceLock<Vec<Entry>> = OnceLock::new();
    ENTRIES.get_or_init(|| {
        let entry = |(list, field, names): &Names| {
            let names = names.iter().map(|name| sorted(plain(words(name)))).collect();
            Some(Entry { list, field, target: target_of(list, field)?, names })
        };
        NAMES.iter().filter_map(entry).collect()
    })
}

fn plain(words: Vec<String>) -> Vec<String> {
    words.into_iter().filter(|word| !NEUTRAL.contains(&word.as_str())).collect()
}

/// What a label names; `before` is of what the row before it speaks, which it may go on with.
pub(super) fn named(label: &str, before: Subject) -> (Option<Named>, Subject) {
    let whole = of_words(bare_words(label), before);
    if whole.0.is_some() {
        return whole;
    }
    // The same in two tongues.
    let halves: Vec<_> = label.split('/').map(|half| of_words(bare_words(half), before)).collect();
    match *halves.as_slice() {
        [(Some(one), subject), (Some(other), _)] if one == other => (Some(one), subject),
        [(Some(one), subject), (None, _)] if is_translation(label, 1, one) => (Some(one), subject),
        [(None, _), (Some(one), subject)] if is_translation(label, 0, one) => (Some(one), subject),
        _ => (None, whole.1),
    }
}

/// Whether this half of a label says in another tongue what the other half names: each of its words is one for that
/// field, or one that the other half has too.
///
/// A word that is not known may say of which things the field is: `Bar / Tensile strength fpk`.
fn is_translation(label: &str, half: usize, named: Named) -> bool {
    let Named::Field(target) = named else { return false };
    let halves: Vec<Vec<String>> = label.split(" / ").map(bare_words).collect();
    let [one, other] = halves.as_slice() else { return false };
    let (own, other) = if half == 0 { (one, other) } else { (other, one) };
    let known: Vec<String> = of_field(&target.name()).flat_map(words).collect();
    let mut own = own.iter().filter(|word| !is_binding(word)).peekable();
    own.peek().is_some() && own.all(|word| other.contains(word) || known.contains(word))
}

/// Of what a heading among the rows says that they speak.
pub(super) fn of_heading(text: &str) -> Subject {
    let words = bare_words(text);
    let has = |names: &[&str]| words.iter().any(|word| names.contains(&word.as_str()));
    match (has(&STRAND), has(&DUCT)) {
        (true, false) => Subject::Strand,
        (false, true) => Subject::Duct,
        _ => Subject::Other,
    }
}

/// The words of a label without units, neutral words gone.
fn bare_words(label: &str) -> Vec<String> {
    let mut text = label.trim().trim_end_matches([':', '=']).trim_end().to_lowercase();
    for name in STEEL {
        text = text.replace(name, "strand");
    }
    let text = text.replace("hdpe-", "hdpe ").replace("pe-hd", "pehd").replace("7-wire", "");
    let mut bare = String::new();
    let mut rest = text.as_str();
    while let Some(at) = rest.find(['(', '[']) {
        let end = rest[at..].find([')', ']']).map_or(rest.len(), |end| at + end);
        bare.push_str(&rest[..at]);
        let inside = &rest[at + 1..end];
        let is_unit = is_unit(inside.trim()) || label_names_unit(label, inside);
        bare.push(' ');
        bare.push_str(if is_unit { "" } else { inside });
        bare.push(' ');
        rest = rest.get(end + 1..).unwrap_or_default();
    }
    bare.push_str(rest);
    // `Strand area, mm²`
    let mut words = words(&bare);
    for unit in HeaderText::read(&[label]).units {
        let of_unit = self::words(&unit);
        if words.ends_with(&of_unit)
            && !of_unit.is_empty()
            && bare.trim_end().ends_with(&unit.to_lowercase())
        {
            words.truncate(words.len() - of_unit.len());
        }
    }
    plain(words)
}

/// Whether brackets of a label hold its unit, which is written with capitals: `(MPa)`.
fn label_names_unit(label: &str, inside: &str) -> bool {
    HeaderText::read(&[label]).units.iter().any(|unit| unit.to_lowercase() == inside.trim())
}

fn of_words(words: Vec<String>, before: Subject) -> (Option<Named>, Subject) {
    let has = |names: &[&str]| words.iter().any(|word| names.contains(&word.as_str()));
    let signs: Vec<&str> =
        SIGNS.iter().filter(|(sign, _)| has(&[sign])).map(|(_, field)| *field).collect();
    let of = |list: &str, words: &[String]| {
        let words = sorted(words.to_vec());
        entries().iter().find(|entry| entry.list == list && entry.names.contains(&words))
    };
    // What holds for tendons and for the project names itself.
    for list in ["Tendons", "Project"] {
        let own: Vec<String> = match list {
            "Tendons" => {
                let is_owner = |word: &String| matches!(word.as_str(), "tendon" | "duct");
                words.iter().filter(|word| !is_owner(word)).cloned().collect()
            }
            _ => words.clone(),
        };
        if let Some(entry) = of(list, &own) {
            return (Some(Named::Field(entry.target)), Subject::Other);
        }
    }
    let is_strand = has(&STRAND) || !signs.is_empty();
    let is_duct = has(&DUCT);
    let subject = match (is_strand, is_duct) {
        (true, false) => Subject::Strand,
        (false, true) => Subject::Duct,
        (true, true) => return (None, Subject::Other),
        (false, false) => before,
    };
    let (list, names, more): (_, &[&str], &[&str]) = match subject {
        Subject::Strand => ("Strands", &STRAND, &OF_STRANDS),
        Subject::Duct => ("Ducts", &DUCT, &OF_DUCTS),
        Subject::Other => return (None, Subject::Other),
    };
    let is_said = |word: &String| {
        let word = word.as_str();
        names.contains(&word)
            || more.contains(&word)
            || list == "Strands" && SIGNS.iter().any(|(sign, _)| *sign == word)
    };
    let own: Vec<String> = words.iter().filter(|word| !is_said(word)).cloned().collect();
    if own.is_empty() || own == ["type"] || own == ["designation"] {
        return match *signs.as_slice() {
            [] if is_strand || is_duct => (Some(Named::Kind(subject)), subject),
            [field] => (target_of(list, field).map(Named::Field), subject),
            _ => (None, Subject::Other),
        };
    }
    match of(list, &own) {
        // A sign that is of another field makes it something else, as in `stress / fpk`.
        Some(entry) if signs.iter().all(|field| *field == entry.field) => {
            (Some(Named::Field(entry.target)), subject)
        }
        _ if is_strand || is_duct => (None, subject),
        _ => (None, Subject::Other),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn name(label: &str, before: Subject) -> String {
        match named(label, before).0 {
            Some(Named::Field(target)) => target.name(),
            Some(Named::Kind(subject)) => format!("{subject:?}"),
            None => String::new(),
        }
    }

    #[test]
    fn labels_name_what_their_words_say() {
        for (label, expected) in [
            ("Strand nominal diameter", "strand.diameter_mm"),
            ("Strand nominal area", "strand.area_mm2"),
            ("Strand area (mm²)", "strand.area_mm2"),
            ("Strand area, mm²", "strand.area_mm2"),
            ("Characteristic strength fpk", "strand.fpu_mpa"),
            ("Characteristic tensile strength of strand (MPa)", "strand.fpu_mpa"),
            ("fpk", "strand.fpu_mpa"),
            ("Modulus of elasticity Ep", "strand.e_mpa"),
            ("Modulus of elasticity of prestressing steel", "strand.e_mpa"),
            ("Strand grade", "strand.grade"),
            ("HDPE duct outer diameter", "duct.outer_mm"),
            ("Duct O.D. [mm]", "duct.outer_mm"),
            ("HDPE duct wall thickness", "duct.wall_mm"),
            ("Duct SDR", "duct.dimension_ratio"),
            ("Friction coefficient at deviators", "tendon.stressing.mu"),
            ("Friction coefficient µ", "tendon.stressing.mu"),
            ("Draw-in at stressing anchorage", "tendon.stressing.set_mm"),
            ("Draw-in at dead anchorage", "tendon.stressing.dead_end_seating_mm"),
            ("Wedge draw-in", "tendon.stressing.set_mm"),
            ("Void filler", "tendon.filler"),
            ("Duct filler", "tendon.filler"),
            ("Jacking stress / fpk", "tendon.stressing.jacking_share"),
            ("Concrete strength at stressing", "project.concrete_strength_at_stressing_mpa"),
            ("Maximum aggregate size", "project.aggregate_mm"),
            ("Strand type", "Strand"),
            ("Prestressing steel", "Strand"),
            ("Litzendurchmesser", "strand.diameter_mm"),
            ("Querschnittsfläche Litze", "strand.area_mm2"),
            ("Zugfestigkeit fpk", "strand.fpu_mpa"),
            ("E-Modul Spannstahl", "strand.e_mpa"),
            ("Hüllrohr Außendurchmesser", "duct.outer_mm"),
            ("Reibungsbeiwert", "tendon.stressing.mu"),
            ("Diamètre du toron", "strand.diameter_mm"),
            ("Module d'élasticité Ep", "strand.e_mpa"),
            ("Strand diameter / Litzendurchmesser", "strand.diameter_mm"),
            // Of other things, or of nothing that is told.
            ("Modulus of elasticity", ""),
            ("Characteristic strength", ""),
            ("Concrete strength fck", ""),
            ("Modulus of elasticity of concrete Ecm", ""),
            ("Strength of reinforcement fyk", ""),
            ("Modulus of elasticity of reinforcement Es", ""),
            ("Structural steel grade", ""),
            ("Wall thickness", ""),
            ("Deviator pipe outer diameter", ""),
            ("Strand 0.1 % proof stress fp0.1k", ""),
            ("Maximum jacking stress / fpk", ""),
            ("Duct spacing", ""),
            ("Number of strands", ""),
            ("Strand diameter span 2", ""),
        ] {
            assert_eq!(name(label, Subject::Other), expected, "{label}");
        }
    }

    #[test]
    fn a_row_goes_on_with_what_the_row_before_speaks_of() {
        assert_eq!(name("wall thickness", Subject::Duct), "duct.wall_mm");
        assert_eq!(name("Nominal area", Subject::Strand), "strand.area_mm2");
        assert_eq!(name("Modulus of elasticity", Subject::Strand), "strand.e_mpa");
        assert_eq!(name("Modulus of elasticity", Subject::Duct), "");
        assert_eq!(name("Concrete strength", Subject::Strand), "");
        assert_eq!(named("Concrete strength", Subject::Strand).1, Subject::Other);
        assert_eq!(name("Characteristic strength fpk", Subject::Duct), "strand.fpu_mpa");
    }
}
