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
    at: usize,
    depth: u32,
    most: u32,
}

/// What cannot be read of an instance, as a clause.
pub(crate) type Fault = String;

impl<'a> Arguments<'a> {
    /// The arguments that begin with the bracket at the beginning of these bytes.
    pub(crate) fn new(bytes: &'a [u8], most: u32) -> Self {
        Self { bytes, at: 0, depth: 0, most: most.min(DEEPEST) }
    }

    /// Reads them all; nothing but a semicolon may follow.
    pub(crate) fn read(mut self) -> Result<Vec<Value<'a>>, Fault> {
        self.skip();
        if self.peek() != Some(b'(') {
            return Err("no bracket follows the name of the entity".to_owned());
        }
        let values = self.list()?;
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
        loop {
            self.skip();
            if self.peek() == Some(b')') {
                return Ok(stretches);
            }
            let start = self.at;
            self.value()?;
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

    fn list(&mut self) -> Result<Vec<Value<'a>>, Fault> {
        self.depth += 1;
        if self.depth > self.most {
            return Err(format!("it is nested more than {} levels deep", self.most));
        }
        self.at += 1;
        let mut values = Vec::new();
        self.skip();
        if self.peek() == Some(b')') {
            self.at += 1;
            self.depth -= 1;
            return Ok(values);
        }
        loop {
            values.push(self.value()?);
            self.skip();
            match self.peek() {
                Some(b',') => self.at += 1,
                Some(b')') => {
                    self.at += 1;
                    self.depth -= 1;
                    return Ok(values);
                }
                Some(byte) => {
                    return Err(format!(
                        "\"{}\" stands where a comma or a bracket should",
                        char::from(byte)
                    ));
                }
                None => return Err("it has no end".to_owned()),
            }
        }
    }

    fn value(&mut self) -> Result<Value<'a>, Fault> {
        self.skip();
        let start = self.at;
        match self.peek() {
            Some(b'$') => {
                self.at += 1;
                Ok(Value::Absent)
            }
            Some(b'*') => {
                self.at += 1;
                Ok(Value::Derived)
            }
            Some(b'#') => {
                self.at += 1;
                let digits = self.word(|byte| byte.is_ascii_digit());
                number_of(digits).map(Value::Reference)
            }
            Some(b'\'') => self.text(),
            Some(b'"') => {
                self.at += 1;
                self.word(|byte| byte.is_ascii_hexdigit());
                if self.peek() != Some(b'"') {
                    return Err("a binary value has no end".to_owned());
                }
                self.at += 1;
                Ok(Value::Binary)
            }
            Some(b'.') if !self.bytes.get(start + 1).is_some_and(u8::is_ascii_digit) => {
                self.at += 1;
                let word = self.word(|byte| byte.is_ascii_alphanumeric() || byte == b'_');
                if self.peek() != Some(b'.') {
                    return Err("a word has no second point".to_owned());
                }
                self.at += 1;
                Ok(Value::Word(Cow::Borrowed(ascii(word))))
            }
            Some(b'(') => self.list().map(Value::List),
            Some(byte) if byte.is_ascii_alphabetic() => {
                let name = self.word(|byte| byte.is_ascii_alphanumeric() || byte == b'_');
                self.skip();
                if self.peek() != Some(b'(') {
                    return Err(format!("no bracket follows the type {}", ascii(name)));
                }
                let mut values = self.list()?;
                let inner = match (values.pop(), values.is_empty()) {
                    (Some(one), true) => one,
                    _ => return Err(format!("the type {} holds not one value", ascii(name))),
                };
                Ok(Value::Typed(Cow::Borrowed(ascii(name)), Box::new(inner)))
            }
            Some(b'-' | b'+' | b'.' | b'0'..=b'9') => {
                let word = self.word(|byte| {
                    byte.is_ascii_digit() || matches!(byte, b'+' | b'-' | b'.' | b'e' | b'E')
                });
                let word = ascii(word);
                match word.parse::<f64>() {
                    Ok(number) if number.is_finite() => Ok(Value::Number(number)),
                    _ => Err(format!("{} is no number", shown(word))),
                }
            }
            Some(byte) => Err(format!("\"{}\" begins no value", char::from(byte))),
            None => Err("it has no end".to_owned()),
        }
    }

    fn text(&mut self) -> Result<Value<'a>, Fault> {
        let raw = &self.bytes[self.at + 1..];
        // Most texts are short and plain, and end at the first quote.
        let mut is_plain = true;
        let mut at = 0;
        loop {
            match raw.get(at) {
                Some(b'\'') if raw.get(at + 1) == Some(&b'\'') => {
                    is_plain = false;
                    at += 2;
                }
                Some(b'\'') => break,
                Some(byte) => {
                    is_plain &= *byte != b'\\';
                    at += 1;
                }
                None => return Err("a text has no end".to_owned()),
            }
        }
        self.at += at + 2;
        let raw = &raw[..at];
        Ok(Value::Text(match std::str::from_utf8(raw) {
            Ok(text) if is_plain => Cow::Borrowed(text),
            _ => decode(raw),
        }))
    }

    fn word(&mut self, belongs: impl Fn(u8) -> bool) -> &'a [u8] {
        let rest = &self.bytes[self.at..];
        let end = rest.iter().position(|byte| !belongs(*byte)).unwrap_or(rest.len());
        self.at += end;
        &rest[..end]
    }
}

/// The number of an instance from its digits.
pub(crate) fn number_of(digits: &[u8]) -> Result<u64, Fault> {
    let number = digits.iter().try_fold(0_u64, |number, digit| {
        let digit = digit.checked_sub(b'0').filter(|digit| *digit <= 9)?;
        number.checked_mul(10)?.checked_add(u64::from(digit))
    });
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
        Arguments::new(text.as_bytes(), DEEPEST).read()
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
