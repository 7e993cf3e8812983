//! What the sentences of a text state, one behind the other: each goes on with what the one before it speaks of.

use std::collections::BTreeSet;

use super::accounted;
use super::clauses::{self, Clauses};
use super::sentences::{Sentence, Subject};
use super::text::Stated;
use super::told::{self, Told};
use super::whose::{self, Spoken, Whose};
use super::{Given, duct, ends, exceptions, quantities, strand, tendons};

/// What is known while the sentences of a text are read.
pub(super) struct Reader<'t> {
    told: &'t Told<'t>,
    /// The name with which the text begins.
    subject: Option<&'t str>,
    /// Words that nobody accounts for of the subject of which the text goes on to speak.
    head: Vec<String>,
    /// The field of which the sentence before speaks.
    field: Option<&'static [&'static str]>,
    /// Whether a sentence of the text itself speaks of it, and not the note above.
    is_own: bool,
    /// Whether a clause is read of a sentence that states several values.
    is_clause: bool,
}

impl<'t> Reader<'t> {
    /// Before the first sentence of a text that begins with a name, perhaps.
    pub(super) fn new(told: &'t Told<'t>, subject: Option<&'t str>) -> Self {
        Self {
            told,
            subject,
            head: told.heading.clone(),
            field: told.field,
            is_own: false,
            is_clause: false,
        }
    }

    /// Takes what a sentence of the text states; what it says of others goes to `of_others`.
    pub(super) fn sentence(
        &mut self,
        sentence: &Sentence<'_>,
        text: &str,
        stated: &mut Stated,
        of_others: &mut Vec<Given>,
    ) {
        match clauses::clauses(sentence.text, &self.told.marks) {
            Clauses::Whole => {}
            Clauses::Parted(clauses) => {
                self.is_clause = true;
                for clause in clauses {
                    let clause = Sentence { text: &clause, subject: sentence.subject };
                    self.one(&clause, text, stated, of_others);
                }
                self.is_clause = false;
                return;
            }
            Clauses::Unclear => {
                stated.leave(
                    "it names several fillers, and its order does not tell which tendons have which"
                        .to_owned(),
                );
                stated.open.extend(tendons::named(&sentence.text.to_lowercase()));
                stated.open.extend(exceptions::grouted(sentence.text));
                return;
            }
        }
        self.one(sentence, text, stated, of_others);
    }

    /// Takes what one clause, or a sentence that is one, states.
    fn one(
        &mut self,
        sentence: &Sentence<'_>,
        text: &str,
        stated: &mut Stated,
        of_others: &mut Vec<Given>,
    ) {
        let names_some = whose::names_some(sentence.text, &self.told.marks);
        // `Except T2: grout` behind a rule is of T2.
        let field = self.field.filter(|_| self.is_own || exceptions::goes_on(sentence.text));
        let behind =
            exceptions::without_but(sentence.text).filter(|_| names_some && field.is_some());
        let takes_out = behind.is_some();
        let bare = behind.unwrap_or(sentence.text);
        let bare = if names_some { exceptions::without_asides(bare) } else { bare.to_owned() };
        let sentence = &Sentence { text: &bare, subject: sentence.subject };
        let (mut said, why) = of_sentence(sentence);
        let spoken = whose::spoken(sentence.text, &self.told.marks);
        let named = whose::marks_in(sentence.text, &self.told.marks);
        let mut others: Vec<&str> =
            whose::TAKES_OUT.iter().flat_map(|words| words.iter().copied()).collect();
        let name = self.subject.map(str::to_lowercase);
        others.extend(name.as_deref());
        if self.is_clause {
            others.extend(["which", "qui"]);
        }
        let mut known = self.told.known(&named, &others);
        Told::know_deviators(sentence.text, &mut known);
        if !named.is_empty() || accounted::names_tendons(sentence.text) {
            if let Some(head) = told::of_subject(sentence.text, &known) {
                self.head = head;
            } else if named.is_empty() {
                self.head.clear();
            }
        }
        // From where some are stressed says nothing of all.
        if let Some((from, false)) = ends::from(&sentence.text.to_lowercase()) {
            match &spoken {
                Spoken::Of(some @ Whose::Of(_)) => stated.of_some.push((some.clone(), from)),
                _ => {
                    stated.leave("it speaks of less than all tendons".to_owned());
                    stated.open.push(from);
                }
            }
        }
        if let Spoken::Of(some @ Whose::Of(_)) = &spoken
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
            let is_of_some = match &spoken {
                Spoken::Of(Whose::All) => false,
                Spoken::Unclear(limit) => limit.is_of_some,
                Spoken::Of(_) | Spoken::Others => true,
            };
            if is_of_some {
                stated.open.extend(tendons::fillers(sentence.text));
                stated.open.extend(said);
            }
            return;
        }
        let has_other =
            || self.field == Some(&["filler"]) || !tendons::named(&text.to_lowercase()).is_empty();
        if names_some
            && said.is_empty()
            && exceptions::filler(sentence.text).is_none()
            && has_other()
        {
            said.extend(exceptions::grouted(sentence.text));
        }
        self.add_bare(sentence.text, !named.is_empty(), field, &known, &mut said);
        if said.is_empty() && takes_out {
            said.extend(field.map(|path| Given::untold("Tendons", path, sentence.text.trim())));
        }
        if exceptions::is_past(sentence.text) {
            for one in said.iter_mut().filter(|one| is_of_tendons(one)) {
                *one = Given::untold(one.list, one.path, &one.shown);
            }
        }
        if said.is_empty() {
            match spoken {
                Spoken::Unclear(limit) if tendons::speaks(sentence.text) => stated.leave(limit.why),
                _ if tendons::speaks_of_set(sentence.text) => {
                    stated.leave(
                        "what it says of the draw-in is not that of every stressed end".to_owned(),
                    );
                }
                _ => {}
            }
            return;
        }
        if let Some(one) = said.iter().rev().find(|one| one.list == "Tendons") {
            self.field = Some(one.path);
            self.is_own = true;
        }
        // What cannot be told may be of any.
        let (said, untold): (Vec<_>, Vec<_>) = said.into_iter().partition(Given::is_told);
        if !untold.is_empty() {
            stated.leave(format!(
                "nothing tells what \"{}\" says of {}",
                sentence.text.trim_end_matches('.'),
                match &spoken {
                    Spoken::Of(some) => some.shown(),
                    _ => "others".to_owned(),
                }
            ));
            stated.open.extend(untold);
        }
        if said.is_empty() {
            return;
        }
        let bare = match named.is_empty() {
            true => sentence.text,
            false => whose::without_apposition(sentence.text),
        };
        let mut left = accounted::left(bare, &said, &known, !named.is_empty());
        left.extend(
            self.head.iter().filter(|word| !left.contains(word)).cloned().collect::<Vec<_>>(),
        );
        // `Tendons of span 2`, where a column tells their spans.
        let spoken = match spoken {
            Spoken::Unclear(limit) if limit.is_by_name && !left.is_empty() => {
                match self.told.of_words(&left, sentence.text) {
                    Some(_) => Spoken::Of(Whose::All),
                    None => Spoken::Unclear(limit),
                }
            }
            spoken => spoken,
        };
        match spoken {
            // `F1: cement grout` explains what is called so, and says nothing of all.
            Spoken::Of(Whose::All)
                if self.subject.is_some_and(|name| !speaks_of_all(text, name)) =>
            {
                let (of_tendons, kinds): (Vec<_>, Vec<_>) =
                    said.into_iter().partition(is_of_tendons);
                stated.given.extend(kinds);
                if let (Some(name), false) = (self.subject, of_tendons.is_empty()) {
                    stated.leave(format!("it speaks of {name}"));
                    stated.open.extend(of_tendons);
                }
            }
            Spoken::Of(Whose::All) if left.is_empty() => stated.given.extend(said),
            Spoken::Others if left.is_empty() => of_others.extend(said),
            Spoken::Of(Whose::All) => match self.told.of_words(&left, sentence.text) {
                Some(own) => {
                    let (of_tendons, kinds): (Vec<_>, Vec<_>) =
                        said.into_iter().partition(is_of_tendons);
                    stated.given.extend(kinds);
                    stated.of_some.extend(of_tendons.into_iter().map(|one| (own.clone(), one)));
                }
                None => stated.ask(said, left, Whose::All, names_theirs(sentence.text, text)),
            },
            Spoken::Others => {
                stated.leave(unknown(&left));
                stated.open.extend(said);
            }
            Spoken::Of(_) if contradicts(&said) || has_more_numbers(sentence.text, &said) => {
                stated.leave("it states several values of the same of some tendons".to_owned());
                stated.open.extend(said);
            }
            Spoken::Of(some) if !left.is_empty() => stated.ask(said, left, some, true),
            Spoken::Of(some) => {
                for one in said {
                    match one.list {
                        "Tendons" | "Ends" => stated.of_some.push((some.clone(), one)),
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

    /// Adds what a sentence states without the words of its field: `Ducts: wax`, or `T2: wax` behind a rule.
    fn add_bare(
        &self,
        sentence: &str,
        names_some: bool,
        field: Option<&'static [&'static str]>,
        known: &BTreeSet<String>,
        said: &mut Vec<Given>,
    ) {
        let names_others = whose::names_others(sentence);
        let has_filler = said.iter().any(|one| one.path == ["filler"]);
        if let Some(one) = exceptions::filler(sentence).filter(|_| !has_filler)
            && (names_some
                || self.is_clause
                || names_others
                || self.is_filler_of_tendons(sentence, &one, known))
        {
            said.push(one);
        }
        if said.is_empty() {
            said.extend(field.and_then(|path| {
                exceptions::continued(sentence, path, names_some || names_others)
            }));
        }
        if said.is_empty() && names_some {
            said.extend(exceptions::untold(sentence, field));
        }
    }

    /// Whether a material that a sentence names beside tendons or ducts, without saying that it fills, can only be what
    /// fills them.
    fn is_filler_of_tendons(&self, sentence: &str, one: &Given, known: &BTreeSet<String>) -> bool {
        let left = |text: &str| accounted::left(text, std::slice::from_ref(one), known, false);
        let behind = sentence.split_once(':').map(|(_, behind)| behind);
        accounted::names_tendons(sentence)
            && (left(sentence).is_empty() || behind.is_some_and(|behind| left(behind).is_empty()))
    }
}

/// Whether a value is one of tendons, or of their ends.
pub(super) fn is_of_tendons(one: &Given) -> bool {
    matches!(one.list, "Tendons" | "Ends")
}

/// Whether what a sentence says with words that are not understood may be of some of the tendons: it names tendons, or
/// stands behind a rule.
fn names_theirs(sentence: &str, text: &str) -> bool {
    accounted::names_tendons(sentence) || sentence.trim() != text.trim()
}

fn unknown(words: &[String]) -> String {
    format!("\"{}\" in it is not understood", words.join(" "))
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
    let all = quantities::quantities(sentence);
    numbers > 0 && all.iter().filter(|one| !accounted::is_conversion(one)).count() > numbers
}

/// Whether values of one field differ.
fn contradicts(said: &[Given]) -> bool {
    said.iter().any(|one| said.iter().any(|other| one.is_otherwise(other)))
}
