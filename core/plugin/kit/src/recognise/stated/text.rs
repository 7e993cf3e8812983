//! What one text states, sentence by sentence: of all tendons, of some, or of tendons that it does not tell.

use std::collections::BTreeSet;

use super::sentences::{Sentence, Subject, sentences};
use super::whose::{self, Spoken, Whose};
use super::{Given, duct, ends, name_of, quantities, strand, tendons};

/// What a text states.
#[derive(Debug, Default)]
pub(super) struct Stated {
    /// Of all tendons.
    pub(super) given: Vec<Given>,
    /// Of some of them.
    pub(super) of_some: Vec<(Whose, Given)>,
    /// Of tendons that cannot be told.
    pub(super) open: Vec<Given>,
    /// Why sentences that speak of the same things are not taken.
    pub(super) left: Vec<String>,
}

impl Stated {
    fn leave(&mut self, why: String) {
        if !self.left.contains(&why) {
            self.left.push(why);
        }
    }
}

/// What a text states.
pub(super) fn read(text: &str, marks: &BTreeSet<String>) -> Stated {
    let mut stated = Stated::default();
    let mut of_others: Vec<Given> = Vec::new();
    let subject = name_of(text);
    for sentence in sentences(text) {
        let (said, why) = of_sentence(&sentence);
        let speaks = !said.is_empty() || tendons::speaks(sentence.text);
        // From where some are stressed says nothing of all.
        if let Some((from, false)) = ends::from(&sentence.text.to_lowercase()) {
            match whose::spoken(sentence.text, marks) {
                Spoken::Of(some @ Whose::Of(_)) => stated.of_some.push((some, from)),
                _ => {
                    stated.leave("it speaks of less than all tendons".to_owned());
                    stated.open.push(from);
                }
            }
        }
        if let Spoken::Of(some @ Whose::Of(_)) = whose::spoken(sentence.text, marks)
            && whose::says_deleted(sentence.text)
        {
            let named = some.shown();
            stated.leave(format!(
                "it may say that {named} is no longer there; its row is read as one that holds"
            ));
        }
        if let Some(why) = why {
            stated.leave(why);
            // What is a choice for all tendons says nothing of some.
            let is_of_some = match whose::spoken(sentence.text, marks) {
                Spoken::Of(Whose::All) => false,
                Spoken::Unclear(limit) => limit.is_of_some,
                Spoken::Of(_) | Spoken::Others => true,
            };
            if is_of_some {
                stated.open.extend(tendons::fillers(sentence.text));
                stated.open.extend(said);
            }
            continue;
        }
        if !speaks {
            continue;
        }
        match whose::spoken(sentence.text, marks) {
            // `F1: cement grout` explains what is called so, and says nothing of all.
            Spoken::Of(Whose::All)
                if subject.as_ref().is_some_and(|name| !speaks_of_all(text, name)) =>
            {
                let (kinds, of_tendons) = said.into_iter().partition(|one| one.list != "Tendons");
                stated.given.extend::<Vec<_>>(kinds);
                let of_tendons: Vec<Given> = of_tendons;
                if let (Some(name), false) = (&subject, of_tendons.is_empty()) {
                    stated.leave(format!("it speaks of {name}"));
                    stated.open.extend(of_tendons);
                }
            }
            Spoken::Of(Whose::All) => stated.given.extend(said),
            Spoken::Others => of_others.extend(said),
            Spoken::Of(_) if contradicts(&said) || has_more_numbers(sentence.text, &said) => {
                stated.leave("it states several values of the same of some tendons".to_owned());
                stated.open.extend(said);
            }
            Spoken::Of(some) => {
                for one in said {
                    match one.list {
                        "Tendons" => stated.of_some.push((some.clone(), one)),
                        _ => {
                            stated.leave(format!("it speaks of {} by name", some.shown()));
                            stated.open.push(one);
                        }
                    }
                }
            }
            Spoken::Unclear(limit) => {
                stated.leave(limit.why);
                stated.open.extend(said.into_iter().filter(|_| limit.is_of_some));
            }
        }
    }
    give_others(&mut stated, of_others);
    settle(&mut stated);
    stated
}

/// Whether a text speaks of all behind a name that may as well be its own number: `N3: all ducts filled with wax`.
fn speaks_of_all(text: &str, name: &str) -> bool {
    let behind = text.trim_start().get(name.len()..).unwrap_or_default().to_lowercase();
    let mut words = behind.split(|c: char| !c.is_alphanumeric());
    words.any(|word| {
        matches!(word, "all" | "tendons" | "ducts" | "cables" | "alle" | "tous" | "toutes")
    })
}

/// What a sentence states, and why nothing of it is taken.
fn of_sentence(sentence: &Sentence<'_>) -> (Vec<Given>, Option<String>) {
    let of_kind = match sentence.subject {
        Subject::Strand => strand::read(sentence.text),
        Subject::Duct => duct::read(sentence.text),
        // The modulus on which elongations rest is that of the strand.
        // No other steel or concrete has it.
        Subject::None
            if ["elongation", "modulus of elasticity:"]
                .iter()
                .any(|words| sentence.text.to_lowercase().contains(words)) =>
        {
            let mut of_strand = strand::read(sentence.text);
            of_strand.retain(|given| given.path == ["e_mpa"]);
            of_strand
        }
        Subject::None => Vec::new(),
    };
    let (mut said, why) = match tendons::read(sentence.text) {
        Ok(of_tendons) => (of_tendons, None),
        Err(why) => (Vec::new(), Some(why)),
    };
    said.splice(0..0, of_kind);
    (said, why)
}

/// Whether a sentence on some tendons has numbers of which it states nothing: they may be those of the others.
fn has_more_numbers(sentence: &str, said: &[Given]) -> bool {
    let numbers = said.iter().filter(|one| one.value.as_number().is_some()).count();
    numbers > 0 && quantities::quantities(sentence).len() > numbers
}

/// Whether values of one field differ.
fn contradicts(said: &[Given]) -> bool {
    said.iter().any(|one| said.iter().any(|other| one.is_otherwise(other)))
}

/// Gives what is said of the others to all tendons but those of which the same note speaks by name.
fn give_others(stated: &mut Stated, of_others: Vec<Given>) {
    for one in of_others {
        let mut named = BTreeSet::new();
        for (whose, other) in &stated.of_some {
            if let (Whose::Of(some), true) = (whose, other.is_of_same(&one)) {
                named.extend(some.iter().cloned());
            }
        }
        let is_open = stated.open.iter().any(|other| other.is_of_same(&one));
        if named.is_empty() || is_open || one.list != "Tendons" {
            stated.leave("it speaks of others, and does not tell of which".to_owned());
            stated.open.push(one);
        } else {
            stated.of_some.push((Whose::AllBut(named), one));
        }
    }
}

/// Takes of what is said of all what the note says once.
fn settle(stated: &mut Stated) {
    let given = std::mem::take(&mut stated.given);
    // What a note states twice and differently it does not state.
    let mut taken: Vec<Given> = Vec::new();
    for one in &given {
        if let Some(other) = given.iter().find(|other| other.is_otherwise(one)) {
            let why = format!("it states both {} and {}", one.shown, other.shown);
            if !stated.left.iter().any(|said| said.starts_with("it states both")) {
                stated.left.push(why);
            }
            stated.open.push(one.clone());
        } else if stated.open.iter().any(|other| other.is_otherwise(one)) {
            stated.leave("it says otherwise of some, and does not tell of which".to_owned());
        } else if !taken.iter().any(|other| other.is_of_same(one)) {
            taken.push(one.clone());
        }
    }
    // Two sizes are two strands, and nothing tells which the rest is of.
    for (list, size) in [("Strands", "diameter_mm"), ("Ducts", "outer_mm")] {
        let is_size = |one: &Given| one.list == list && one.path == [size];
        if given.iter().any(is_size) && !taken.iter().any(is_size) {
            taken.retain(|one| one.list != list);
        }
    }
    stated.given = taken;
}

/// What the explanation of a code states: of kinds that are called so, and of no tendon.
pub(super) fn of_kinds(stated: Stated) -> Stated {
    let given = stated.given.into_iter().filter(|one| one.list != "Tendons").collect();
    Stated { given, ..Stated::default() }
}

/// What a footnote states: nothing of all, and of those that have its sign it is not told here.
pub(super) fn of_footnote(mut stated: Stated, sign: &str) -> Stated {
    let of_all = std::mem::take(&mut stated.given);
    if !of_all.is_empty() {
        stated.leave(format!("it is a footnote to what has the sign {sign}"));
        stated.open.extend(of_all);
    }
    stated
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(text: &str) -> Vec<String> {
        let stated = read(text, &BTreeSet::from(["t1".to_owned()]));
        stated.given.iter().map(Given::name).collect()
    }

    #[test]
    fn what_a_note_says_of_some_tendons_is_theirs_alone() {
        let marks = BTreeSet::from(["t1".to_owned(), "t2".to_owned(), "t3".to_owned()]);
        let of = |text: &str, mark: &str| -> Vec<String> {
            let stated = read(text, &marks);
            let some = stated.of_some.iter().filter(|(whose, _)| whose.is_of(Some(mark)));
            let of_all = stated.given.iter();
            let mut fillers: Vec<String> = some.map(|(_, given)| given.shown.clone()).collect();
            if fillers.is_empty() {
                fillers.extend(of_all.map(|given| given.shown.clone()));
            }
            fillers
        };
        for (text, of_t1, of_t2) in [
            ("duct filler: wax for T1 only; all others cement grout", "wax", "cement grout"),
            ("Filled with cement grout. T1 filled with wax.", "wax", "cement grout"),
            ("All ducts filled with wax except T1", "", "wax"),
            ("Filled with wax. Spare ducts filled with cement grout.", "", ""),
            ("all others filled with wax", "", ""),
            ("Filled with wax (T1), with cement grout (others)", "", ""),
        ] {
            assert_eq!(
                (of(text, "T1").join(" "), of(text, "T2").join(" ")),
                (of_t1.to_owned(), of_t2.to_owned()),
                "{text}"
            );
        }
    }

    #[test]
    fn notes_state_what_holds_for_all_and_nothing_else() {
        assert_eq!(
            said("Strand Aps 140 mm², fpk 1860 MPa.  Cables C5, C6: not used."),
            ["strand.area_mm2", "strand.fpu_mpa"]
        );
        assert_eq!(said("* ELONGATIONS ARE BASED ON E = 28,500 KSI."), ["strand.e_mpa"]);
        assert_eq!(said("Concrete: E = 35 GPa, fck 50 MPa"), [""; 0]);
        assert_eq!(said("All ducts filled with wax"), ["tendon.filler"]);
        assert_eq!(said("T1 is filled with wax"), [""; 0]);
        assert_eq!(said("Strand 15.2 mm (140 mm²) or 15.7 mm (150 mm²)"), [""; 0]);
        assert_eq!(said("Reinforcement grade 500, strand by others"), [""; 0]);
        let stated = read("Tendons are filled with wax except T1", &BTreeSet::new());
        assert_eq!(stated.left.len(), 1);
    }
}
