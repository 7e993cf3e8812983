//! Numbers and names of a finding: message, tables and data all come from them.

use restrand_model::quantity::{System, Unit, of_field, shortest};
use restrand_model::shortened;

use crate::citation::Citation;

/// Where a fact comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// Stated in the schedule.
    Given,
    /// Computed from what is stated.
    Computed,
    /// A limit of the rulebook.
    Limit,
}

impl Source {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Given => "given",
            Self::Computed => "computed",
            Self::Limit => "limit",
        }
    }
}

/// The value of a fact.
#[derive(Debug, Clone, PartialEq)]
pub enum FactValue {
    /// A number in the unit of the fact's name.
    Number(f64),
    /// A name or a text of the schedule.
    Text(String),
}

/// Which way a number is rounded where it is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rounding {
    /// To the nearest.
    Nearest,
    /// Up: so much is needed, and less would not do.
    Up,
    /// Down: no more may be.
    Down,
}

/// A named value of a finding.
///
/// The ending of the name says the unit of a number, as everywhere.
#[derive(Debug, Clone, PartialEq)]
pub struct Fact {
    /// The name, as `worst_outer_mm`.
    pub name: &'static str,
    /// The value.
    pub value: FactValue,
    /// Decimals shown in the unit of the name.
    pub digits: u8,
    /// Which way it is rounded to them.
    pub rounding: Rounding,
    /// Where it comes from.
    pub source: Source,
    /// What a limit rests on.
    pub citation: Option<Citation>,
}

impl Fact {
    fn new(name: &'static str, value: FactValue, digits: u8, source: Source) -> Self {
        Self { name, value, digits, rounding: Rounding::Nearest, source, citation: None }
    }

    /// A number that the schedule states.
    #[must_use]
    pub fn given(name: &'static str, value: f64, digits: u8) -> Self {
        Self::new(name, FactValue::Number(value), digits, Source::Given)
    }

    /// A number computed from what the schedule states.
    #[must_use]
    pub fn computed(name: &'static str, value: f64, digits: u8) -> Self {
        Self::new(name, FactValue::Number(value), digits, Source::Computed)
    }

    /// A limit of the rulebook.
    #[must_use]
    pub fn limit(name: &'static str, value: f64, digits: u8, citation: Citation) -> Self {
        Self {
            citation: Some(citation),
            ..Self::new(name, FactValue::Number(value), digits, Source::Limit)
        }
    }

    /// A name or a text that the schedule states.
    #[must_use]
    pub fn text(name: &'static str, text: impl Into<String>) -> Self {
        Self::new(name, FactValue::Text(text.into()), 0, Source::Given)
    }

    /// The number is the least that does: it is shown rounded up, so that whoever takes what is shown has enough.
    ///
    /// ```
    /// use restrand_finding::Fact;
    /// use restrand_model::System;
    /// let wall = Fact::computed("least_wall_mm", 9.4118, 2).at_least();
    /// assert_eq!(wall.shown(System::Si), "9.42 mm [0.371 in]");
    /// ```
    #[must_use]
    pub const fn at_least(mut self) -> Self {
        self.rounding = Rounding::Up;
        self
    }

    /// The number is the most that does: it is shown rounded down.
    #[must_use]
    pub const fn at_most(mut self) -> Self {
        self.rounding = Rounding::Down;
        self
    }

    /// The unit that the name states.
    #[must_use]
    pub fn unit(&self) -> Option<&'static Unit> {
        match self.value {
            FactValue::Number(_) => of_field(self.name).1,
            FactValue::Text(_) => None,
        }
    }

    /// The name in words, without the unit.
    #[must_use]
    pub fn label(&self) -> String {
        of_field(self.name).0.replace('_', " ")
    }

    /// The value with its unit in the reader's system, and in the other one in brackets; an angle in degrees, with the
    /// radians of the document in brackets; a long text is cut.
    ///
    /// ```
    /// use restrand_finding::Fact;
    /// use restrand_model::System;
    /// let gap = Fact::computed("gap_mm", 9.25, 2);
    /// assert_eq!(gap.shown(System::Si), "9.25 mm [0.364 in]");
    /// assert_eq!(gap.shown(System::Us), "0.364 in [9.25 mm]");
    /// let bend = Fact::computed("bend_rad", 0.0754, 4);
    /// assert_eq!(bend.shown(System::Si), "4.32° [0.0754 rad]");
    /// ```
    #[must_use]
    pub fn shown(&self, system: System) -> String {
        self.shown_to(self.digits, system)
    }

    /// The same with so many decimals in the unit of the name.
    fn shown_to(&self, digits: u8, system: System) -> String {
        let value = match &self.value {
            FactValue::Text(text) => return shortened(text, LONGEST_TEXT).into_owned(),
            FactValue::Number(value) => *value,
        };
        let Some(unit) = self.unit() else {
            // Of a ratio far from one a person reads the first digits.
            let digits = match self.source {
                Source::Computed if value.abs() >= 100.0 && digits == self.digits => 0,
                _ => digits,
            };
            return self.rounded(value, digits);
        };
        let own = format!("{} {}", self.rounded(value, digits), unit.symbol);
        let us = unit.for_reader(self.name, System::Us);
        if std::ptr::eq(unit, us) {
            return own;
        }
        let other = self.rounded(unit.convert(value, us), us_digits(us, digits));
        if us.symbol == "deg" {
            return format!("{other}° [{own}]");
        }
        match system {
            System::Si => format!("{own} [{other} {}]", us.symbol),
            System::Us => format!("{other} {} [{own}]", us.symbol),
        }
    }

    /// The number with so many decimals in the unit of the name, and with as many as go with them in the customary one.
    fn in_both(&self, digits: u8) -> [String; 2] {
        let FactValue::Number(value) = self.value else { return Default::default() };
        let own = self.rounded(value, digits);
        let other = self.unit().map(|unit| {
            let us = unit.for_reader(self.name, System::Us);
            self.rounded(unit.convert(value, us), us_digits(us, digits))
        });
        let other = other.unwrap_or_else(|| own.clone());
        [own, other]
    }

    fn rounded(&self, value: f64, digits: u8) -> String {
        let digits = usize::from(digits_of(value, digits, self.source));
        let value = towards(value, digits, self.rounding);
        let text = format!("{value:.digits$}");
        let text = if text.contains('.') {
            text.trim_end_matches('0').trim_end_matches('.').to_owned()
        } else {
            text
        };
        // A value that the decimals would round away is better shown in full, or as far as it was computed for.
        match (text.as_str(), self.source) {
            ("0" | "-0", Source::Computed) if value != 0.0 => {
                shortest(format!("{value:.2e}").parse().unwrap_or(value))
            }
            ("0" | "-0", _) if value != 0.0 => shortest(value),
            ("-0", _) => "0".to_owned(),
            _ => text,
        }
    }

    /// Decimals that tell it from a limit, or from a number of the same sentence, that is another one but reads alike:
    /// "9.52, less than 9.52" helps nobody.
    fn digits_beside(&self, facts: &[Self], sentence: &str) -> u8 {
        let FactValue::Number(value) = self.value else { return self.digits };
        if self.source == Source::Limit {
            return self.digits;
        }
        let is_other = |fact: &&Self| {
            (fact.source == Source::Limit || sentence.contains(&format!("{{{}}}", fact.name)))
                && matches!(fact.value, FactValue::Number(limit) if !is_alike(value, limit))
                && match (self.unit(), fact.unit()) {
                    (Some(one), Some(other)) => std::ptr::eq(one, other),
                    (one, other) => one.is_none() && other.is_none(),
                }
        };
        let others: Vec<[String; 2]> =
            facts.iter().filter(is_other).map(|fact| fact.in_both(fact.digits)).collect();
        let is_apart = |digits: u8, system: usize| {
            let own = self.in_both(digits);
            others.iter().all(|other| other[system] != own[system])
        };
        let enough = || self.digits..=MOST_DIGITS;
        let in_both = enough().find(|digits| is_apart(*digits, 0) && is_apart(*digits, 1));
        in_both.or_else(|| enough().find(|digits| is_apart(*digits, 0))).unwrap_or(self.digits)
    }
}

/// Whether two numbers differ by no more than sums of floating-point numbers do.
fn is_alike(one: f64, other: f64) -> bool {
    /// Share of the greater by which the rounding of a few operations may set them apart.
    const NOISE: f64 = 1e-9;
    (one - other).abs() <= NOISE * one.abs().max(other.abs())
}

/// The number with so many decimals that lies on the side to which it is rounded.
fn towards(value: f64, digits: usize, rounding: Rounding) -> f64 {
    if rounding == Rounding::Nearest {
        return value;
    }
    let scale = (0..digits).fold(1.0, |scale, _| scale * 10.0);
    let nearest = (value * scale).round() / scale;
    // What noise alone sets apart from a round number is that number.
    if is_alike(nearest, value) {
        return nearest;
    }
    match rounding {
        Rounding::Up => (value * scale).ceil() / scale,
        Rounding::Down => (value * scale).floor() / scale,
        Rounding::Nearest => value,
    }
}

/// Characters of a text that a sentence shows: enough for the names of all fields that a record lacks.
const LONGEST_TEXT: usize = 600;

/// Decimals in the customary unit, or in degrees, that keep what the decimals in the SI unit say.
fn us_digits(unit: &Unit, digits: u8) -> u8 {
    match unit.symbol {
        "in" => (digits + 1).max(2),
        "in²" => digits + 3,
        "ft" | "ksi" => digits + 1,
        "psi" => 0,
        "deg" => digits.saturating_sub(2).max(2),
        _ => digits,
    }
}

/// Decimals beyond which nobody measures.
const MOST_DIGITS: u8 = 6;

/// What the reader typed is shown as it stands in the schedule as far as a rounding would be seen.
fn digits_of(value: f64, digits: u8, source: Source) -> u8 {
    /// The share of a value by which its rounding may change it unseen.
    const UNSEEN: f64 = 0.005;
    let is_seen = |digits: &u8| {
        let scale = 10_f64.powi(i32::from(*digits));
        ((value * scale).round() / scale - value).abs() > UNSEEN * value.abs()
    };
    // A limit is shown as its rulebook has it: what is less than 3.175 may be 3.17 as well as not.
    let is_whole = |digits: &u8| {
        let scale = 10_f64.powi(i32::from(*digits));
        is_alike((value * scale).round() / scale, value)
    };
    let mut enough = digits..MOST_DIGITS;
    match source {
        Source::Given => enough.find(|digits| !is_seen(digits)).unwrap_or(digits),
        Source::Limit => enough.find(is_whole).unwrap_or(digits),
        Source::Computed => digits,
    }
}

/// A text with each `{name}` replaced by the fact of that name, with and without its unit's ending.
///
/// ```
/// use restrand_finding::{Fact, fill_in};
/// use restrand_model::System;
/// let facts = [Fact::text("part", "inner-cone"), Fact::computed("gap_mm", 1.75, 2)];
/// let text = fill_in("{part} leaves {gap_mm}", &facts, System::Si);
/// assert_eq!(text, "inner-cone leaves 1.75 mm [0.069 in]");
/// ```
#[must_use]
pub fn fill_in(template: &str, facts: &[Fact], system: System) -> String {
    let mut text = String::with_capacity(template.len() + 32);
    let mut rest = template;
    while let Some(open) = rest.find('{') {
        let (before, after) = rest.split_at(open);
        text.push_str(before);
        let named = after[1..].find('}').and_then(|close| {
            let name = &after[1..=close];
            facts.iter().find(|fact| fact.name == name).map(|fact| (fact, close + 2))
        });
        match named {
            Some((fact, length)) => {
                text.push_str(&fact.shown_to(fact.digits_beside(facts, template), system));
                rest = &after[length..];
            }
            None => {
                text.push('{');
                rest = &after[1..];
            }
        }
    }
    text.push_str(rest);
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::citation::Evidence;

    #[test]
    fn a_given_value_is_not_rounded_into_another() {
        let given = |value| Fact::given("behind_mm", value, 0).shown(System::Si);
        assert_eq!(given(1.9), "1.9 mm [0.075 in]");
        assert_eq!(given(24.6), "24.6 mm [0.97 in]");
        assert_eq!(given(600.04), "600 mm [23.62 in]");
        assert_eq!(given(-1480.0), "-1480 mm [-58.27 in]");
        assert_eq!(given(0.0), "0 mm [0 in]");
        assert_eq!(Fact::computed("behind_mm", 1.9, 0).shown(System::Si), "2 mm [0.07 in]");
    }

    #[test]
    fn what_is_needed_is_rounded_up_and_what_is_allowed_down() {
        let needed = |value| Fact::computed("wall_mm", value, 2).at_least().shown(System::Si);
        assert_eq!(needed(9.411_764_7), "9.42 mm [0.371 in]");
        assert_eq!(needed(9.41), "9.41 mm [0.371 in]");
        // The noise of a sum is no more.
        assert_eq!(needed(0.1 + 0.2), "0.3 mm [0.012 in]");
        assert_eq!(needed(-1.239), "-1.23 mm [-0.048 in]");
        let allowed = Fact::computed("force_kn", 2651.7, 0).at_most();
        assert_eq!(allowed.shown(System::Si), "2651 kN [596 kip]");
        assert_eq!(allowed.shown(System::Us), "596 kip [2651 kN]");
    }

    #[test]
    fn a_limit_is_shown_as_its_rulebook_has_it() {
        let limit = |value| {
            Fact::limit("least_mm", value, 1, Citation::new("x", Evidence::Read)).shown(System::Si)
        };
        assert_eq!(limit(3.175), "3.175 mm [0.125 in]");
        assert_eq!(limit(10.0), "10 mm [0.39 in]");
        assert_eq!(limit(10.0 / 3.0), "3.3 mm [0.13 in]");
    }

    #[test]
    fn a_value_does_not_read_as_the_limit_that_it_misses() {
        let limit = Fact::limit("least_mm", 9.52, 2, Citation::new("x", Evidence::Read));
        let facts =
            [Fact::computed("gap_mm", 9.5176, 2), limit.clone(), Fact::computed("share", 9.52, 2)];
        let text = fill_in("{gap_mm} is less than {least_mm}", &facts, System::Si);
        assert_eq!(text, "9.518 mm [0.3747 in] is less than 9.52 mm [0.375 in]");
        let same = [Fact::computed("gap_mm", 9.52, 2), limit];
        let text = fill_in("{gap_mm} and {least_mm}", &same, System::Si);
        assert_eq!(text, "9.52 mm [0.375 in] and 9.52 mm [0.375 in]");
    }

    #[test]
    fn two_numbers_of_a_sentence_that_differ_do_not_read_alike() {
        let facts = [
            Fact::given("gauge_mm", 2.99, 0),
            Fact::computed("play_mm", 2.6, 0),
            Fact::given("least_mm", 3.0, 0),
            Fact::given("length_m", 3.001, 0),
        ];
        let text = fill_in("{gauge_mm}, less than {least_mm}, over {length_m}", &facts, System::Si);
        assert_eq!(text, "2.99 mm [0.1177 in], less than 3 mm [0.118 in], over 3 m [9.8 ft]");
        let alone = fill_in("{play_mm}", &facts, System::Si);
        assert_eq!(alone, "3 mm [0.1 in]");
    }

    #[test]
    fn ratios_far_from_one_are_shown_to_their_first_digits() {
        let ratio = |value| Fact::computed("area_ratio", value, 3).shown(System::Si);
        assert_eq!(ratio(0.004_653_611_530_34), "0.005");
        assert_eq!(ratio(0.000_046_536_115_303_4), "0.0000465");
        assert_eq!(ratio(644.1613), "644");
        assert_eq!(ratio(2.248), "2.248");
        assert_eq!(Fact::given("area_ratio", 0.000_123_456, 2).shown(System::Si), "0.000123456");
    }
}
