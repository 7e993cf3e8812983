//! The file: what it is, in which letters it is written, and of which release of IFC.

use std::io::{BufRead, BufReader, Read, Seek, SeekFrom};

use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE};
use restrand_ifc::read::{archived, mapping_for, only, place, schedule};
use restrand_kit::archive::is_archive;
use restrand_kit::recognise;
use restrand_kit::{Budget, Confidence, Frames, LoadError, Part, PartReader, Parts};
use restrand_model::reading::Span;

use super::events::Events;
use super::held::{Held, Lines};
use super::parse::{Parser, Refused};

/// Bytes that are fetched at once.
const CHUNK: usize = 1 << 16;
/// Bytes that are looked at before anything is read.
const HEAD: usize = 4096;

/// How sure it is that a part is of the format.
pub(crate) fn probe(part: &dyn Part) -> Confidence {
    let by_name = if archived::has_ending(part.name(), "ifcxml") {
        Confidence::Perhaps
    } else {
        Confidence::No
    };
    let Ok(head) = head_of(part) else { return by_name };
    if is_archive(&head) {
        let holds = archived::endings(part).is_some_and(|endings| endings == ["ifcxml"]);
        return if holds { Confidence::Sure } else { by_name };
    }
    let (text, _, _) = encoding_of(&head).unwrap_or(UTF_8).decode(&head);
    if root_of(&text).is_some_and(|root| root == "ifcXML" || root == OLD_ROOT) {
        Confidence::Sure
    } else {
        by_name
    }
}

/// The root of models of IFC 2x3 as XML, whose grammar is another.
pub(super) const OLD_ROOT: &str = "iso_10303_28";

/// Reads a model, with what a mapping file says of its property sets.
pub(crate) fn load(
    parts: Parts<'_>,
    budget: Budget,
    mapping: &recognise::Mapping,
    frames: &mut dyn Frames,
) -> Result<(), LoadError> {
    let part = only(parts)?;
    let mapping = mapping_for(part.name(), mapping)?;
    let head = head_of(part).map_err(LoadError::Medium)?;
    let name = part.name().to_owned();
    let held = if is_archive(&head) {
        let (name, bytes) = archived::unpack(part, "ifcxml", budget)?;
        let encoding = encoding_of(&bytes[..bytes.len().min(HEAD)]).unwrap_or(UTF_8);
        decoded(name, &bytes, encoding, budget)?
    } else if let Some(encoding) = encoding_of(&head) {
        let mut bytes = Vec::new();
        PartReader::new(part).read_to_end(&mut bytes)?;
        decoded(name, &bytes, encoding, budget)?
    } else {
        // The mark of UTF-8 is no part of the text.
        let before = if head.starts_with(b"\xef\xbb\xbf") { 3 } else { 0 };
        let mut source = PartReader::new(part);
        source.seek(SeekFrom::Start(before))?;
        let held = Held::new(name, Lines::Bytes, part.len());
        let events = Events::of(BufReader::with_capacity(CHUNK, source), before);
        parsed(held, events, part.len(), budget)?
    };
    schedule(&held, &mapping, frames)
}

/// Reads a text that has to be decoded as a whole, or whose bytes nobody can look at again.
fn decoded(
    name: String,
    bytes: &[u8],
    encoding: &'static Encoding,
    budget: Budget,
) -> Result<Held, LoadError> {
    let (text, _, _) = encoding.decode(bytes);
    let starts = memchr::memchr_iter(b'\n', text.as_bytes()).map(|at| at as u64 + 1).collect();
    let bytes = text.len() as u64;
    let held = Held::new(name, Lines::Starts(starts), bytes);
    parsed(held, Events::of(text.as_bytes(), 0), bytes, budget)
}

fn parsed(
    held: Held,
    events: Events<impl BufRead + Send>,
    bytes: u64,
    budget: Budget,
) -> Result<Held, LoadError> {
    let (part, lines) = (held.part.clone(), held.lines.clone());
    Parser::new(held, budget.depth).parse(events, bytes).map_err(|refused| match refused {
        Refused::Medium(error) => LoadError::Medium(error),
        Refused::Content { at, why, help } => {
            let place = place(&part, lines.stand(Span { start: at, end: at }));
            LoadError::Unreadable { place, why, help: help.to_owned() }
        }
    })
}

fn head_of(part: &dyn Part) -> std::io::Result<Vec<u8>> {
    let mut head = Vec::new();
    PartReader::new(part).take(HEAD as u64).read_to_end(&mut head)?;
    Ok(head)
}

/// The encoding in which the text must be decoded as a whole; nothing for UTF-8.
fn encoding_of(head: &[u8]) -> Option<&'static Encoding> {
    if let Some((encoding, _)) = Encoding::for_bom(head) {
        return (encoding != UTF_8).then_some(encoding);
    }
    if head.starts_with(b"<\0") {
        return Some(UTF_16LE);
    }
    if head.starts_with(b"\0<") {
        return Some(UTF_16BE);
    }
    let end = head.windows(2).position(|pair| pair == b"?>")?;
    let declaration = std::str::from_utf8(&head[..end]).ok()?;
    let (_, rest) = declaration.split_once("encoding")?;
    let label = rest.trim_start().strip_prefix('=')?.trim_start().get(1..)?;
    let label = label.split(['"', '\'']).next()?;
    // A text whose bytes are here is not UTF-16, whatever it says.
    Encoding::for_label(label.as_bytes())
        .filter(|found| ![UTF_8, UTF_16LE, UTF_16BE].contains(found))
}

/// The name of the first element, without a prefix.
fn root_of(text: &str) -> Option<&str> {
    let mut rest = text.trim_start_matches('\u{feff}');
    loop {
        rest = rest[rest.find('<')?..].get(1..)?;
        if let Some(after) = rest.strip_prefix("!--") {
            rest = &after[after.find("-->")?..];
        } else if !rest.starts_with(['?', '!']) {
            let end = rest.find(|c: char| c.is_whitespace() || c == '>' || c == '/')?;
            return Some(super::elements::local(&rest[..end]));
        }
    }
}

/// The release that a namespace stands for, as the name of its schema; nothing for one that is not known.
pub(super) fn schema_of(namespace: &str) -> Option<String> {
    let path = namespace.trim_end_matches('/').to_ascii_lowercase();
    let path = path.split_once("://").map_or(path.as_str(), |(_, path)| path);
    let known = match path {
        "standards.buildingsmart.org/ifc/release/ifc4/3/add2" => "IFC4X3_ADD2",
        "standards.buildingsmart.org/ifc/release/ifc4/3/add1" => "IFC4X3_ADD1",
        "standards.buildingsmart.org/ifc/release/ifc4_3" => "IFC4X3",
        "www.buildingsmart-tech.org/ifcxml/ifc4/final" => "IFC4",
        "www.buildingsmart-tech.org/ifcxml/ifc4/add1" => "IFC4_ADD1",
        "www.buildingsmart-tech.org/ifcxml/ifc4/add2" => "IFC4_ADD2",
        "www.buildingsmart-tech.org/ifc/ifc4/add2tc1"
        | "standards.buildingsmart.org/ifc/release/ifc4/add2_tc1/xml" => "IFC4_ADD2_TC1",
        // Drafts, and addresses that writers made up.
        path if ["ifc4/3", "ifc4_3", "ifc4x3"].iter().any(|mark| path.contains(mark)) => {
            return Some(format!("IFC4X3 by {namespace}"));
        }
        path if path.contains("ifc4") => return Some(format!("IFC4 by {namespace}")),
        _ => return None,
    };
    Some(known.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_root_is_found_behind_what_may_stand_before_it() {
        for (text, root) in [
            ("<?xml version=\"1.0\"?>\n<!-- <a> --><ifcXML x=\"1\">", Some("ifcXML")),
            ("\u{feff}<ifc:ifcXML>", Some("ifcXML")),
            ("<a/>", Some("a")),
            ("<", None),
            ("", None),
            ("text", None),
        ] {
            assert_eq!(root_of(text), root, "{text}");
        }
    }

    #[test]
    fn encodings_are_known_by_their_marks_or_by_what_the_text_says() {
        let declared = |label: &str| format!("<?xml version='1.0' encoding='{label}'?><a/>");
        assert_eq!(encoding_of(declared("UTF-8").as_bytes()), None);
        assert_eq!(encoding_of(declared("UTF-16").as_bytes()), None);
        let latin = encoding_of(declared("ISO-8859-1").as_bytes()).map(Encoding::name);
        assert_eq!(latin, Some("windows-1252"));
        assert_eq!(encoding_of(b"\xff\xfe<\0"), Some(UTF_16LE));
        assert_eq!(encoding_of(b"\0<\0a"), Some(UTF_16BE));
        assert_eq!(encoding_of(b"\xef\xbb\xbf<a/>"), None);
    }

    #[test]
    fn a_namespace_is_a_release() {
        let released = "https://standards.buildingsmart.org/IFC/RELEASE/IFC4/3/ADD2";
        assert_eq!(schema_of(released).as_deref(), Some("IFC4X3_ADD2"));
        let before = "http://www.buildingsmart-tech.org/ifcXML/IFC4/final";
        assert_eq!(schema_of(before).as_deref(), Some("IFC4"));
        let draft = "http://example.org/IFC4x3/dev";
        assert_eq!(schema_of(draft).unwrap(), "IFC4X3 by http://example.org/IFC4x3/dev");
        assert_eq!(schema_of("http://example.org/drawing"), None);
    }
}
