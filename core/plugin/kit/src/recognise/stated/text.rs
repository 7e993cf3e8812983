//! What one text states, sentence by sentence: of all tendons, of some, or of tendons that it does not tell.

use std::collections::BTreeSet;

use super::reader::{Reader, is_of_tendons};
use super::sentences::sentences;
use super::told::Told;
use super::whose::{self, Whose};
use super::{Asked, Given, name_of, tendons};

/// What a text states.
#[derive(Debug, Default)]
pub(super) struct Stated {
    /// Of all tendons.
    pub(super) given: Vec<Given>,
    /// Of some of them.
    pub(super) of_some: Vec<(Whose, Given)>,
    /// Of tendons that cannot be told.
    pub(super) open: Vec<Given>,
    /// With words that are not understood.
    pub(super) asked: Vec<Asked>,
    /// Why sentences that speak of the same things are not taken.
    pub(super) left: Vec<String>,
}

impl Stated {
    /// Whether nothing is stated, nor anything left.
    pub(super) fn is_empty(&self) -> bool {
        self.given.is_empty()
            && self.of_some.is_empty()
            && self.asked.is_empty()
            && self.left.is_empty()
    }

    /// How much is stated, asked or left.
    fn count(&self) -> usize {
        [self.given.len(), self.of_some.len(), self.open.len(), self.asked.len(), self.left.len()]
            .iter()
            .sum()
    }

    /// Leaves open what is stated of all tendons.
    fn limit(&mut self) {
        let (of_all, kept): (Vec<Given>, Vec<Given>) =
            std::mem::take(&mut self.given).into_iter().partition(is_of_tendons);
        self.given = kept;
        if !of_all.is_empty() {
            self.leave("a sentence of it that is not understood may take out some".to_owned());
            self.open.extend(of_all);
        }
    }

    pub(super) fn leave(&mut self, why: String) {
        if !self.left.contains(&why) {
            self.left.push(why);
        }
    }

    /// Takes what is stated with words that nobody accounts for.
    /// `may_be_of_some` says whether it leaves open what holds for all.
    pub(super) fn ask(
        &mut self,
        said: Vec<Given>,
        words: Vec<String>,
        whose: Whose,
        may_be_of_some: bool,
    ) {
        if may_be_of_some {
            self.open.extend(said.iter().cloned());
        }
        self.asked.push(Asked { given: said, words, whose });
    }
}

/// What a text states.
pub(super) fn read(text: &str, told: &Told<'_>) -> Stated {
    let mut stated = Stated::default();
    let mut of_others: Vec<Given> = Vec::new();
    let subject = name_of(text);
    let text = &without_reserve(text);
    let mut reader = Reader::new(told, subject.as_deref());
    let mut silent = Vec::new();
    for sentence in sentences(text) {
        let before = stated.count() + of_others.len();
        reader.sentence(&sentence, text, &mut stated, &mut of_others);
        if before == stated.count() + of_others.len() {
            silent.push(sentence.text);
        }
    }
    if silent.iter().any(|sentence| limits(sentence, &stated, told)) {
        stated.limit();
    }
    give_others(&mut stated, of_others);
    settle(&mut stated);
    stated
}

/// Whether a sentence of which nothing is taken may limit what the others of its note say of all tendons: it names some
/// tendons, or another filler, as `Not for T2` and `cement grout before` do.
fn limits(sentence: &str, stated: &Stated, told: &Told<'_>) -> bool {
    let others = || {
        let mut named = tendons::named(&sentence.to_lowercase()).into_iter();
        named.any(|one| stated.given.iter().any(|given| given.is_otherwise(&one)))
    };
    whose::names_some(sentence, &told.marks) || others()
}

/// A text without the words that reserve what is stated elsewhere: what a row states goes before a note anyway.
fn without_reserve(text: &str) -> String {
    const RESERVES: [&str; 10] = [
        "unless otherwise noted",
        "unless otherwise stated",
        "unless otherwise shown",
        "unless noted otherwise",
        "unless stated otherwise",
        "unless shown otherwise",
        "sofern nicht anders angegeben",
        "soweit nicht anders angegeben",
        "sauf indication contraire",
        "u.n.o.",
    ];
    let mut text = text.to_owned();
    for words in RESERVES {
        let lower = text.to_lowercase();
        // In small letters a text may be of another length.
        let is_same = |at: &usize| {
            text.get(*at..at + words.len()).is_some_and(|one| one.to_lowercase() == words)
        };
        if let Some(at) = lower.find(words).filter(is_same) {
            text.replace_range(at..at + words.len(), "");
        }
    }
    text
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
        if named.is_empty() || is_open || !is_of_tendons(&one) {
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
    let given = stated.given.into_iter().filter(|one| !is_of_tendons(one)).collect();
    Stated { given, ..Stated::default() }
}

/// What a footnote states: nothing of all, and of those that have its sign it is not told here.
pub(super) fn of_footnote(mut stated: Stated, sign: &str) -> Stated {
    let of_all = std::mem::take(&mut stated.given);
    let asked = stated.asked.len();
    stated.asked.retain(|asked| matches!(asked.whose, Whose::Of(_)));
    if !of_all.is_empty() || stated.asked.len() < asked {
        stated.leave(format!("it is a footnote to what has the sign {sign}"));
        stated.open.extend(of_all);
    }
    stated
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(text: &str) -> Vec<String> {
        let marks = BTreeSet::from(["t1".to_owned()]);
        let stated = read(text, &Told { marks, ..Told::default() });
        stated.given.iter().map(Given::name).collect()
    }

    #[test]
    fn what_a_note_says_of_some_tendons_is_theirs_alone() {
        let marks = BTreeSet::from(["t1".to_owned(), "t2".to_owned(), "t3".to_owned()]);
        let told = Told { marks, ..Told::default() };
        let of = |text: &str, mark: &str| -> Vec<String> {
            let stated = read(text, &told);
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
            ("Filled with wax (T1), with cement grout (others)", "wax", "cement grout"),
            ("Filled with wax, T1, cement grout", "", ""),
            ("Fill ducts with wax, except T1: cementitious grout.", "cementitious grout", "wax"),
            ("Fill ducts with filler (wax), except T1 and T3: cement grout", "cement grout", "wax"),
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
        let stated = read("Tendons are filled with wax except T1", &Told::default());
        assert_eq!(stated.left.len(), 1);
    }
}
