//! XML, element by element, with what no XML may hold taken out of the texts of strangers.

use std::io;

use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesEnd, BytesStart, BytesText, Event};

use crate::plain::plain_lines;

/// An XML document that is being written.
pub(crate) struct Xml {
    writer: Writer<Vec<u8>>,
}

/// An attribute: name and value.
pub(crate) type Attribute<'a> = (&'a str, &'a str);

impl Xml {
    /// Begins a document.
    pub(crate) fn begin() -> io::Result<Self> {
        let mut writer = Writer::new_with_indent(Vec::new(), b' ', 2);
        writer.write_event(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None)))?;
        Ok(Self { writer })
    }

    /// Begins an element.
    pub(crate) fn open(&mut self, name: &str, attributes: &[Attribute<'_>]) -> io::Result<()> {
        self.writer.write_event(Event::Start(start(name, attributes)))
    }

    /// Ends an element.
    pub(crate) fn close(&mut self, name: &str) -> io::Result<()> {
        self.writer.write_event(Event::End(BytesEnd::new(name)))
    }

    /// Writes an element with nothing in it.
    pub(crate) fn empty(&mut self, name: &str, attributes: &[Attribute<'_>]) -> io::Result<()> {
        self.writer.write_event(Event::Empty(start(name, attributes)))
    }

    /// Writes an element that holds a text.
    pub(crate) fn text(
        &mut self,
        name: &str,
        attributes: &[Attribute<'_>],
        text: &str,
    ) -> io::Result<()> {
        self.open(name, attributes)?;
        self.writer.write_event(Event::Text(BytesText::new(&fit(text))))?;
        self.close(name)
    }

    /// Ends the document.
    pub(crate) fn end(self) -> Vec<u8> {
        let mut bytes = self.writer.into_inner();
        bytes.push(b'\n');
        bytes
    }
}

fn start<'a>(name: &'a str, attributes: &[Attribute<'_>]) -> BytesStart<'a> {
    let mut start = BytesStart::new(name);
    for (name, value) in attributes {
        start.push_attribute((*name, fit(value).as_str()));
    }
    start
}

/// A text without what XML 1.0 has no way to write.
fn fit(text: &str) -> String {
    plain_lines(text).replace(['\u{fffe}', '\u{ffff}'], "\u{fffd}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_of_strangers_break_no_document() {
        let mut xml = Xml::begin().unwrap();
        xml.open("a", &[("b", "\"<&>\u{1}\u{ffff}")]).unwrap();
        xml.text("c", &[], "x < y && ]]> \u{1b}[31m").unwrap();
        xml.empty("d", &[]).unwrap();
        xml.close("a").unwrap();
        let text = String::from_utf8(xml.end()).unwrap();
        let mut reader = quick_xml::Reader::from_str(&text);
        loop {
            match reader.read_event().unwrap() {
                Event::Eof => break,
                _ => continue,
            }
        }
        assert!(!text.contains('\u{1b}') && !text.contains('\u{ffff}'), "{text}");
        assert!(text.contains("x &lt; y &amp;&amp; ]]&gt;"), "{text}");
    }
}
