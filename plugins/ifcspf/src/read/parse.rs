//! The arguments of one instance.

use std::borrow::Cow;
use std::ops::Range;

use restrand_ifc::Value;

use super::statements::skip;
use super::text::decode;

/// Brackets in brackets that are read; the deepest value of IFC has four.
pub(crate) const DEEPEST: u32 = 64;

/// Reads arguments in brackets.
pub(crate) struct Arguments<'a> {
    bytes: &'a [u8],
    /// The same as a text, where they are one.
    text: Option<&'a str>,
    at: usize,
    depth: u32,
    most: u32,
}

/// What cannot be read of an instance, as a clause.
pub(crate) type Fault = String;

impl<'a> Arguments<'a> {
    /// The arguments that begin with the bracket at the beginning of these bytes.
    pub(crate) fn new(bytes: &'a [u8], most: u32) -> Self {
        Self::of(bytes, std::str::from_utf8(bytes).ok(), most)
    }

    /// The same, where it is known whether the bytes are a text.
    pub(crate) fn of(bytes: &'a [u8], text: Option<&'a str>, most: u32) -> Self {
        Self { bytes, text, at: 0, depth: 0, most: most.min(DEEPEST) }
    }

    /// Reads them all, usually so many; nothing but a semicolon may follow.
    pub(crate) fn read(mut self, usual: usize) -> Result<Vec<Value<'a>>, Fault> {
        self.skip();
        if self.peek() != Some(b'(') {
            return Err("no bracket follows the name of the entity".to_owned());
        }
        let mut values = Vec::with_capacity(usual);
        self.list(&mut values)?;
        self.skip();
        match self.peek() {
            Some(b';') | None => Ok(values),
            Some(_) => {
                Err("something stands between its last bracket and the semicolon".to_owned())
            }
        }
    }

    /// The stretch of each of them.
    pub(crate) fn stretches(mut self) -> Result<Vec<Range<usize>>, Fault> {
        self.skip();
        if self.peek() != Some(b'(') {
            return Err("no bracket follows the name of the entity".to_owned());
        }
        self.at += 1;
        self.depth += 1;
        let mut stretches = Vec::new();
        let mut value = Vec::new();
        loop {
            self.skip();
            if self.peek() == Some(b')') {
                return Ok(stretches);
            }
            let start = self.at;
            self.value(&mut value)?;
            value.clear();
            stretches.push(start..self.at);
            self.skip();
            if self.peek() == Some(b',') {
                self.at += 1;
            }
        }
    }

    fn peek(&self) -> Option<u8> {
        self.bytes.get(self.at).copied()
    }

    /// Steps over spaces and comments.
    #[inline]
    fn skip(&mut self) {
        // Few values have any before them.
        if self.peek().is_some_and(|byte| byte <= b' ' || byte == b'/') {
            self.at = skip(self.bytes, self.at);
        }
    }

    /// Steps over an opening bracket.
    fn enter(&mut self) -> Result<(), Fault> {
        self.depth += 1;
        if self.depth > self.most {
            return Err(format!("it is nested more than {} levels deep", self.most));
        }
        self.at += 1;
        self.skip();
        Ok(())
    }

    /// Steps over the closing bracket.
    fn leave(&mut self) {
        self.at += 1;
        self.depth -= 1;
    }

    /// Items that the list that begins here may have: long ones end with their instance, and are of references.
    fn usual(&self) -> usize {
        /// Bytes that most references take with their comma.
        const REFERENCE: usize = 8;
        /// Items that are set aside at most, for what is no such list.
        const MOST: usize = 1024;
        let rest = self.bytes.len() - self.at;
        if self.bytes.get(self.at + 1) == Some(&b'#') {
            (rest / REFERENCE).clamp(1, MOST)
        } else {
            3
        }
    }

    fn list(&mut self, values: &mut Vec<Value<'a>>) -> Result<(), Fault> {
        self.enter()?;
        if self.peek() == Some(b')') {
            self.leave();
            return Ok(());
        }
        loop {
            self.value(values)?;
            self.skip();
            match self.peek() {
                Some(b',') => self.at += 1,
                Some(b')') => {
                    self.leave();
                    return Ok(());
                }
                other => return Err(no_mark(other)),
            }
        }
    }

    /// Puts the one value that stands in brackets behind the name of its type behind others, with the name.
    fn typed(&mut self, name: &'a str, values: &mut Vec<Value<'a>>) -> Result<(), Fault> {
        self.enter()?;
        let mut inner = None;
        if self.peek() != Some(b')') {
            self.value(values)?;
            inner = values.pop();
        }
        self.skip();
        match (inner, self.peek()) {
            (Some(inner), Some(b')')) => {
                self.leave();
                values.push(Value::Typed(Cow::Borrowed(name), Box::new(inner)));
                Ok(())
            }
            (_, Some(b',' | b')')) => Err(format!("the type {name} holds not one value")),
            (_, other) => Err(no_mark(other)),
        }
    }

    /// Puts the next value behind others: one that is returned would be copied, millions of times.
    fn value(&mut self, values: &mut Vec<Value<'a>>) -> Result<(), Fault> {
        self.skip();
        let start = self.at;
        match self.peek() {
            Some(b'$') => {
                self.at += 1;
                values.push(Value::Absent);
            }
            Some(b'*') => {
                self.at += 1;
                values.push(Value::Derived);
            }
            Some(b'#') => {
                self.at += 1;
                let digits = self.word(|byte| byte.is_ascii_digit());
                values.push(Value::Reference(number_of(digits.as_bytes())?));
            }
            Some(b'\'') => self.text(values)?,
            Some(b'"') => {
                self.at += 1;
                self.word(|byte| byte.is_ascii_hexdigit());
                if self.peek() != Some(b'"') {
                    return Err("a binary value has no end".to_owned());
                }
                self.at += 1;
                values.push(Value::Binary);
            }
            Some(b'.') if !self.bytes.get(start + 1).is_some_and(u8::is_ascii_digit) => {
                self.at += 1;
                let word = self.word(|byte| byte.is_ascii_alphanumeric() || byte == b'_');
                if self.peek() != Some(b'.') {
                    return Err("a word has no second point".to_owned());
                }
                self.at += 1;
                values.push(Value::Word(Cow::Borrowed(word)));
            }
            Some(b'(') => {
                let mut items = Vec::with_capacity(self.usual());
                self.list(&mut items)?;
                values.push(Value::List(items));
            }
            Some(byte) if byte.is_ascii_alphabetic() => {
                let name = self.word(|byte| byte.is_ascii_alphanumeric() || byte == b'_');
                self.skip();
                if self.peek() != Some(b'(') {
                    return Err(format!("no bracket follows the type {name}"));
                }
                self.typed(name, values)?;
            }
            Some(b'-' | b'+' | b'.' | b'0'..=b'9') => {
                let word = self.word(|byte| {
                    byte.is_ascii_digit() || matches!(byte, b'+' | b'-' | b'.' | b'e' | b'E')
                });
                match word.parse::<f64>() {
                    Ok(number) if number.is_finite() => values.push(Value::Number(number)),
                    _ => return Err(format!("{} is no number", shown(word))),
                }
            }
            Some(byte) => return Err(format!("\"{}\" begins no value", char::from(byte))),
            None => return Err("it has no end".to_owned()),
        }
        Ok(())
    }

    fn text(&mut self, values: &mut Vec<Value<'a>>) -> Result<(), Fault> {
        let start = self.at + 1;
        let mut is_plain = true;
        let mut end = start;
        loop {
            match memchr::memchr2(b'\'', b'\\', &self.bytes[end..]) {
                Some(mark) => end += mark,
                None => return Err("a text has no end".to_owned()),
            }
            let is_quote = self.bytes[end] == b'\'';
            // A quote in a text stands twice.
            if is_quote && self.bytes.get(end + 1) != Some(&b'\'') {
                break;
            }
            is_plain = false;
            end += if is_quote { 2 } else { 1 };
        }
        self.at = end + 1;
        match self.text.and_then(|text| text.get(start..end)) {
            Some(text) if is_plain => values.push(Value::Text(Cow::Borrowed(text))),
            _ => values.push(Value::Text(decode(&self.bytes[start..end]))),
        }
        Ok(())
    }

    /// The letters that come next and belong to a word, which are ASCII.
    fn word(&mut self, belongs: impl Fn(u8) -> bool) -> &'a str {
        let start = self.at;
        let rest = &self.bytes[start..];
        let end = start + rest.iter().position(|byte| !belongs(*byte)).unwrap_or(rest.len());
        self.at = end;
        match self.text {
            Some(text) => text.get(start..end).unwrap_or_default(),
            None => ascii(&self.bytes[start..end]),
        }
    }
}

/// What stands where a comma or a bracket should, or that nothing does.
fn no_mark(byte: Option<u8>) -> Fault {
    match byte {
        Some(byte) => {
            format!("\"{}\" stands where a comma or a bracket should", char::from(byte))
        }
        None => "it has no end".to_owned(),
    }
}

/// The number of an instance from its digits.
pub(crate) fn number_of(digits: &[u8]) -> Result<u64, Fault> {
    /// Digits of which any number is one.
    const FEW: usize = 19;
    let digit = |digit: &u8| u64::from(digit & 0x0f);
    if (1..=FEW).contains(&digits.len()) {
        return Ok(digits.iter().fold(0, |number, next| number * 10 + digit(next)));
    }
    let number = digits
        .iter()
        .try_fold(0_u64, |number, next| number.checked_mul(10)?.checked_add(digit(next)));
    match number {
        Some(_) if digits.is_empty() => Err("no number follows the #".to_owned()),
        Some(number) => Ok(number),
        None => Err(format!("#{} is no number of an instance", shown(ascii(digits)))),
    }
}

/// Bytes that are known to be ASCII.
fn ascii(bytes: &[u8]) -> &str {
    std::str::from_utf8(bytes).unwrap_or_default()
}

fn shown(word: &str) -> Cow<'_, str> {
    restrand_model::shortened(word, 40)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Vec<Value<'_>>, Fault> {
        Arguments::new(text.as_bytes(), DEEPEST).read(0)
    }

    #[test]
    fn values_of_every_kind_are_read() {
        let text = "( $ , * , #10,'it''s', .MILLI., -0., +3000., 1.E-05, .5, IFCLABEL('x'),\
                    (1.,(2.,3.)), \"0FF\", /* why; */ () );";
        let number = |number| Value::Number(number);
        assert_eq!(
            read(text).unwrap(),
            vec![
                Value::Absent,
                Value::Derived,
                Value::Reference(10),
                Value::Text("it's".into()),
                Value::Word("MILLI".into()),
                number(0.0),
                number(3000.0),
                number(1e-5),
                number(0.5),
                Value::Typed("IFCLABEL".into(), Box::new(Value::Text("x".into()))),
                Value::List(vec![number(1.0), Value::List(vec![number(2.0), number(3.0)])]),
                Value::Binary,
                Value::List(Vec::new()),
            ]
        );
    }

    #[test]
    fn each_argument_has_its_stretch() {
        let text = "( 'it''s, ;', /* , */ (1.,(2.)) ,IFCLABEL( 'x' ),$, *);";
        let stretches = Arguments::new(text.as_bytes(), DEEPEST).stretches().unwrap();
        let said: Vec<&str> = stretches.into_iter().map(|stretch| &text[stretch]).collect();
        assert_eq!(said, ["'it''s, ;'", "(1.,(2.))", "IFCLABEL( 'x' )", "$", "*"]);
        assert!(Arguments::new(b"(1.,", DEEPEST).stretches().is_err());
    }

    #[test]
    fn what_is_wrong_is_said() {
        for (text, why) in [
            ("('x", "no end"),
            ("(1", "no end"),
            ("(1 2)", "comma"),
            ("(#)", "no number"),
            ("(#99999999999999999999999)", "no number of an instance"),
            ("(1.2.3)", "no number"),
            ("(1e999)", "no number"),
            ("(.X)", "second point"),
            ("(IFCLABEL)", "no bracket"),
            ("(IFCLABEL())", "not one value"),
            ("(\"0F)", "no end"),
            ("(1) x;", "between"),
            ("x", "no bracket"),
            ("(?)", "begins no value"),
        ] {
            let fault = read(text).unwrap_err();
            assert!(fault.contains(why), "{text}: {fault}");
        }
    }

    #[test]
    fn depth_is_limited() {
        let deep = |levels: usize| format!("{}{}", "(".repeat(levels), ")".repeat(levels));
        assert!(read(&deep(64)).is_ok());
        assert!(read(&deep(65)).unwrap_err().contains("64 levels"));
        assert!(read(&"(".repeat(1_000_000)).unwrap_err().contains("64 levels"));
    }
}
