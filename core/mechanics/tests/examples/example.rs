//! One number that a source prints, and ours.

/// What a number rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// The text with the number was read.
    Published,
    /// The number was remembered from a published text.
    Memory,
    /// Our own case or a homework-type source, by closed form or quadrature.
    Arithmetic,
}

/// One printed number and ours.
#[derive(Debug, Clone)]
pub(crate) struct Example {
    /// A short name of the example, the same for all numbers of one source: `A5`.
    pub(crate) block: &'static str,
    /// What it rests on.
    pub(crate) kind: Kind,
    /// Author, title, place in it.
    pub(crate) source: &'static str,
    /// The quantity, with its unit: `stress at the anchor after set, MPa`.
    pub(crate) what: &'static str,
    /// What it follows from: `set 4 mm`.
    pub(crate) input: &'static str,
    /// The number as printed.
    pub(crate) printed: f64,
    /// Half a unit of the last printed digit.
    pub(crate) within: f64,
    /// Our number.
    pub(crate) ours: f64,
    /// Why the two differ: the source's slip, or another convention.
    pub(crate) explained: Option<&'static str>,
}

impl Example {
    /// What is wrong with it: it differs without a reason, or does not differ though a reason is given.
    pub(crate) fn fault(&self) -> Option<String> {
        let differs = !self.agrees();
        (differs != self.explained.is_some()).then(|| {
            format!(
                "{} {} ({}): printed {} ± {}, ours {}{}",
                self.block,
                self.what,
                self.input,
                self.printed,
                self.within,
                self.ours,
                if differs { "" } else { "; it agrees, so nothing is to be explained" }
            )
        })
    }

    fn agrees(&self) -> bool {
        // The printed digits are decimals, so their half unit is not exact in binary.
        (self.ours - self.printed).abs() <= self.within * (1.0 + 1e-9)
    }

    /// Its row in the table.
    pub(crate) fn row(&self) -> String {
        let kind = match self.kind {
            Kind::Published => "published",
            Kind::Memory => "from memory",
            Kind::Arithmetic => "arithmetic",
        };
        // One digit more than was printed shows on which side ours lies.
        let digits = (-self.within.log10()).ceil().max(0.0) as usize + 1;
        format!(
            "| {} | {kind} | {} | {} | {} | {} | {:.digits$} | {} |",
            self.block,
            self.source,
            self.what,
            self.input,
            self.printed,
            self.ours,
            self.explained.map_or_else(|| "agrees".to_owned(), |why| format!("differs: {why}")),
        )
    }
}
