//! What IDS 1.0 (buildingSMART, Information Delivery Specification) can say of a rulebook, for any checker of models.
//!
//! A model is asked for properties in the sets of [`restrand_model::ifc::sets`], with values in coherent SI units.
//! IDS tells what one element states: neither two elements, nor two values of one, nor geometry. What it cannot say is
//! told beside it, so that nobody takes the one for the whole.

mod bounds;
mod document;
mod facet;
mod required;
mod tables;

use std::io::{self, Write};

use restrand_model::schedule::Stage;
use restrand_rules::{CATALOGUE, Check, Rulebook};

use facet::Specification;

/// Requirements on a model, and what of the rulebook they leave out.
pub struct Ids<'b> {
    book: &'b Rulebook,
    stage: Stage,
    specifications: Vec<Specification>,
    unsaid: Vec<String>,
}

/// Rules that are said in whole or in part, and where.
const SAID: &[&str] = &[
    "schedule/missing-field",
    "space/missing",
    "parts/permanence-missing",
    "parts/permanence-unexpected",
    "filler/kind-not-allowed",
];

impl<'b> Ids<'b> {
    /// What can be said of a book of a schedule at a stage; what earlier stages require is required too.
    #[must_use]
    pub fn of(book: &'b Rulebook, stage: Stage) -> Self {
        let (mut specifications, mut unsaid) = (Vec::new(), Vec::new());
        required::say(book, stage, &mut specifications, &mut unsaid);
        tables::say(book, &mut specifications);
        bounds::say(book, &mut specifications, &mut unsaid);
        if !book.waivers.is_empty() {
            unsaid.push("waivers: IDS has no way to except single elements".to_owned());
        }
        for rule in CATALOGUE {
            let is_said = SAID.contains(&rule.id) || bounds::is_said(rule.id);
            if !is_said && !matches!(rule.check, Check::File) {
                unsaid.push(format!("{}: {}", rule.id, rule.summary));
            }
        }
        Self { book, stage, specifications, unsaid }
    }

    /// Writes the requirements as IDS.
    ///
    /// # Errors
    /// The writer fails.
    pub fn write(&self, out: &mut dyn Write) -> io::Result<()> {
        out.write_all(&document::write(self.book, self.stage, &self.specifications)?)
    }

    /// What IDS cannot say of the book, a line each.
    #[must_use]
    pub fn unsaid(&self) -> &[String] {
        &self.unsaid
    }

    /// How many specifications there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.specifications.len()
    }
}
