//! A walk over JSON text that `serde_json` has found well formed.
//!
//! It keeps the place of everything it passes, which a deserializer does not tell.
//! On text that is not well formed it still ends and does not panic, and gives no stretch beyond the text's end; what
//! it gives is then of no use.

use std::borrow::Cow;
use std::ops::Range;

/// A position in a text, and the ways to go on from it.
#[derive(Debug, Clone, Copy)]
pub struct Walk<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Walk<'a> {
    /// A walk from this byte on.
    pub const fn new(text: &'a str, at: usize) -> Self {
        Self { text, at }
    }

    /// The byte reached.
    pub const fn at(&self) -> usize {
        self.at
    }

    /// A stretch of the text.
    pub fn slice(&self, range: &Range<usize>) -> &'a str {
        self.text.get(range.clone()).unwrap_or_default()
    }

    fn byte(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    /// Goes past one byte, or stays at the end.
    fn step(&mut self) {
        self.at = (self.at + 1).min(self.text.len());
    }

    fn pass(&mut self, is_passed: impl Fn(u8) -> bool) {
        while self.byte().is_some_and(&is_passed) {
            self.at += 1;
        }
    }

    /// The first byte of the next value.
    pub fn peek(&mut self) -> Option<u8> {
        self.pass(|byte| byte.is_ascii_whitespace());
        self.byte()
    }

    /// Enters the list or object that begins here.
    pub fn enter(&mut self) {
        self.peek();
        self.step();
    }

    /// Goes to the next item of the list, or past its end.
    pub fn item(&mut self) -> bool {
        self.pass(|byte| byte.is_ascii_whitespace() || byte == b',');
        match self.byte() {
            None => false,
            Some(b']') => {
                self.step();
                false
            }
            Some(_) => true,
        }
    }

    /// Goes to the value of the object's next member and gives its name in quotes, or goes past its end.
    pub fn member(&mut self) -> Option<Range<usize>> {
        self.pass(|byte| byte.is_ascii_whitespace() || byte == b',');
        if self.byte() != Some(b'"') {
            self.step();
            return None;
        }
        let name = self.skip();
        self.pass(|byte| byte.is_ascii_whitespace() || byte == b':');
        Some(name)
    }

    /// Passes a value and gives its stretch.
    pub fn skip(&mut self) -> Range<usize> {
        let first = self.peek();
        let start = self.at;
        match first {
            Some(b'"') => self.pass_text(),
            Some(b'[' | b'{') => {
                let mut depth = 0_usize;
                loop {
                    match self.byte() {
                        None => break,
                        Some(b'"') => {
                            self.pass_text();
                            continue;
                        }
                        Some(b'[' | b'{') => depth += 1,
                        Some(b']' | b'}') => depth -= 1,
                        Some(_) => {}
                    }
                    self.step();
                    if depth == 0 {
                        break;
                    }
                }
            }
            _ => {
                self.step();
                self.pass(|byte| {
                    !(byte.is_ascii_whitespace() || matches!(byte, b',' | b']' | b'}'))
                });
            }
        }
        start..self.at
    }

    fn pass_text(&mut self) {
        self.step();
        loop {
            self.pass(|byte| byte != b'"' && byte != b'\\');
            match self.byte() {
                None => break,
                Some(b'"') => {
                    self.step();
                    break;
                }
                // Whatever is escaped does not end the text.
                Some(_) => self.at += 2,
            }
        }
        self.at = self.at.min(self.text.len());
    }
}

/// What a text in quotes says; nothing if an escape in it stands for no character.
pub fn unquoted(quoted: &str) -> Option<Cow<'_, str>> {
    let inner = quoted.strip_prefix('"')?.strip_suffix('"')?;
    if inner.contains('\\') {
        serde_json::from_str(quoted).ok().map(Cow::Owned)
    } else {
        Some(Cow::Borrowed(inner))
    }
}
