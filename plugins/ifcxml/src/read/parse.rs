//! From elements to entities.
//!
//! An entity may be defined where it is first used, anywhere in the tree, and referred to before; so elements give
//! numbers to ids as they come, and relations that stand inside of what they relate are filled in at the end.

use std::io::BufRead;

use quick_xml::escape::resolve_xml_entity;
use quick_xml::events::{BytesCData, BytesRef, BytesStart, BytesText};
use restrand_ifc::terms::{Form, Kind};
use restrand_model::reading::{ProblemKind, Span};

use super::elements::Element;
use super::events::{Events, Met, Stretch, Stretches, What};
use super::file::{OLD_ROOT, schema_of};
use super::held::{Held, Kept};
use crate::inverse::{INVERSES, Inverse};

/// Why nothing of a file can be read.
pub(super) enum Refused {
    /// It could not be fetched.
    Medium(std::io::Error),
    /// What it holds.
    Content {
        /// The byte.
        at: u64,
        /// The reason, as a clause.
        why: String,
        /// What to do.
        help: &'static str,
    },
}

/// What an open element is.
enum Open {
    /// The root, or something of no use, in which entities may stand all the same.
    Other,
    /// An entity, by its position; inside stand its attributes.
    Entity { node: usize, number: u64 },
    /// An attribute that holds what stands inside.
    Attribute { node: usize, position: usize, form: Form, inside: Inside },
    /// Relations of the entity of this number, or itself one.
    Inverse { owner: u64, inverse: &'static Inverse, own: Option<usize> },
    /// A simple value under the name of its type.
    Simple { type_: u32, position: Option<u32>, inside: Inside },
    /// A reference, inside of which nothing should stand.
    Reference,
}

/// What was met inside an element.
#[derive(Default)]
struct Inside {
    items: Vec<(Option<u32>, Kept)>,
    text: String,
}

/// Makes a model of elements.
pub(super) struct Parser {
    held: Held,
    open: Vec<Open>,
    /// What elements that have ended do not need any more.
    emptied: Vec<Inside>,
    most: usize,
    /// Levels below those that are read.
    below: u64,
    /// What a relation relates, by its number: filled in when all is known.
    fills: Vec<(u64, &'static Inverse, u64)>,
    /// References that are not written as such: the first, and how many.
    loose: Option<(Span, u64)>,
    is_too_deep: bool,
    has_root: bool,
}

impl Parser {
    pub(super) fn new(held: Held, depth: u32) -> Self {
        let most = usize::try_from(depth).unwrap_or(usize::MAX);
        Self {
            held,
            open: Vec::new(),
            emptied: Vec::new(),
            most,
            below: 0,
            fills: Vec::new(),
            loose: None,
            is_too_deep: false,
            has_root: false,
        }
    }

    /// Reads a file of so many bytes to its end, or as far as it is XML.
    pub(super) fn parse<R: BufRead + Send>(
        mut self,
        events: Events<R>,
        bytes: u64,
    ) -> Result<Held, Refused> {
        std::thread::scope(|scope| {
            let mut stretches = Stretches::of(scope, events, bytes);
            let mut stretch = Stretch::default();
            while let Some(next) = stretches.next(stretch) {
                stretch = next;
                for met in &stretch.met {
                    self.take(&stretch, met)?;
                }
                if let (Some(error), Some(met)) = (stretch.fault.take(), stretch.met.last()) {
                    self.fault(error, met.span)?;
                }
            }
            while !self.open.is_empty() {
                self.end();
            }
            Ok(self.finish())
        })
    }

    fn take(&mut self, stretch: &Stretch, met: &Met) -> Result<(), Refused> {
        let text = stretch.text_of(met);
        let (name, span) = (met.name as usize, met.span);
        match met.what {
            What::Start => self.tag(&BytesStart::from_content(text, name), span)?,
            What::Empty => {
                self.tag(&BytesStart::from_content(text, name), span)?;
                self.end();
            }
            What::End => self.end(),
            // Most texts are the spaces between elements, of which nothing is made.
            What::Text if !self.takes_text() => {}
            What::Text => self.text(&BytesText::from_escaped(text).xml10_content(), span),
            What::CData => self.text(&BytesCData::new(text).xml10_content(), span),
            What::Reference => match resolved(&BytesRef::new(text)) {
                Some(text) => self.text(&text, span),
                None => {
                    let why = "the letter that it stands for is not known".to_owned();
                    let help = "only the five entities of XML itself and numbers are read";
                    let given = format!("&{text};");
                    let given = Some(given.as_str());
                    self.held.problem(ProblemKind::ValueLost, span, "XML", given, why, help);
                }
            },
            What::DocType => {
                return Err(Refused::Content {
                    at: span.start,
                    why: "it has a document type declaration, which can declare entities"
                        .to_owned(),
                    help: "take the <!DOCTYPE …> out; a model in IFC has none",
                });
            }
            What::Eof => self.eof(span)?,
            // The fault itself stands at the end of the stretch.
            What::Fault => {}
        }
        Ok(())
    }

    fn tag(&mut self, tag: &BytesStart<'_>, span: Span) -> Result<(), Refused> {
        let element = Element::of(tag);
        if self.has_root {
            self.start(&element, span);
            return Ok(());
        }
        self.has_root = true;
        self.root(&element, span)
    }

    fn eof(&mut self, span: Span) -> Result<(), Refused> {
        if !self.has_root {
            return Err(Refused::Content {
                at: span.start,
                why: "there is no element in it".to_owned(),
                help: "save the model as XML once more",
            });
        }
        if !self.open.is_empty() {
            let open = self.open.len();
            let why = format!("the file ends with {open} elements open; what followed is lost");
            let help = "the file may have been cut short; save or send it once more";
            self.held.problem(ProblemKind::RecordLost, span, "XML", None, why, help);
        }
        Ok(())
    }

    fn fault(&mut self, error: quick_xml::Error, span: Span) -> Result<(), Refused> {
        if let quick_xml::Error::Io(error) = error {
            return Err(Refused::Medium(std::io::Error::new(error.kind(), error)));
        }
        let why = format!("the XML cannot be read on from here: {error}");
        let help = "the file may have been cut short; save or send it once more";
        if !self.has_root {
            return Err(Refused::Content { at: span.start, why, help });
        }
        let why = format!("{why}; what follows is lost");
        self.held.problem(ProblemKind::RecordLost, span, "XML", None, why, help);
        Ok(())
    }

    fn root(&mut self, element: &Element<'_>, span: Span) -> Result<(), Refused> {
        let refused = |why: String, help| Refused::Content { at: span.start, why, help };
        if element.name == OLD_ROOT {
            return Err(refused(
                "it is a model of IFC 2x3 as XML, whose grammar is not read".to_owned(),
                "save the model as .ifc, which is read, or as .ifcxml of IFC 4.3",
            ));
        }
        if element.name != "ifcXML" {
            return Err(refused(
                format!("its root is <{}>, where <ifcXML> should be", element.name),
                "is this another file?",
            ));
        }
        let namespace = element.namespace.as_deref().unwrap_or_default();
        match schema_of(namespace) {
            Some(schema) => {
                self.held.schema = schema;
                self.held.root = Some(span);
            }
            None => {
                return Err(refused(
                    format!("its namespace \"{namespace}\" tells no release of IFC that is read"),
                    "save the model as IFC 4.3; IFC 4 is read too",
                ));
            }
        }
        self.open.push(Open::Other);
        Ok(())
    }

    fn start(&mut self, element: &Element<'_>, span: Span) {
        if self.open.len() >= self.most {
            self.below += 1;
            if !self.is_too_deep {
                self.is_too_deep = true;
                let why = format!(
                    "elements are nested more than {} levels deep; those below are not read",
                    self.most
                );
                let help = "let entities stand beside each other, and refer to them";
                let given = Some(element.name);
                self.held.problem(ProblemKind::RecordLost, span, "XML", given, why, help);
            }
            return;
        }
        for fault in &element.faults {
            let help = "correct it; the attribute counts as absent";
            let subject = format!("<{}>", element.name);
            self.held.problem(ProblemKind::ValueLost, span, &subject, None, fault.clone(), help);
        }
        let next = match self.open.last_mut() {
            Some(Open::Entity { node, number }) => {
                let (node, number) = (*node, *number);
                self.attribute(node, number, element, span)
            }
            Some(Open::Inverse { owner, inverse, own }) => {
                let (owner, inverse, own) = (*owner, *inverse, *own);
                self.in_inverse(owner, inverse, own, element, span)
            }
            Some(Open::Attribute { form, .. }) => {
                let form = *form;
                self.item(form, element, span)
            }
            _ => self.loose(element, span),
        };
        self.open.push(next);
    }

    /// An entity, or something of no use, where nothing takes it.
    fn loose(&mut self, element: &Element<'_>, span: Span) -> Open {
        if element.is_of_ifc() || element.kind.is_some() {
            self.entity(element, None, span).1
        } else {
            Open::Other
        }
    }

    /// An entity, or a reference to one, with its number.
    fn entity(&mut self, element: &Element<'_>, kind: Option<Kind>, span: Span) -> (u64, Open) {
        if let Some(id) = &element.refers {
            let number = self.held.number_of(id);
            if !element.is_nil || !element.others.is_empty() {
                self.note_loose(span);
            }
            return (number, Open::Reference);
        }
        if element.is_elsewhere {
            let number = self.held.nameless();
            self.held.define(number, None, span);
            let why = "it stands for something in another file, which is not read".to_owned();
            let help = "put it into this file";
            let subject = format!("<{}>", element.name);
            self.held.problem(ProblemKind::ValueLost, span, &subject, None, why, help);
            return (number, Open::Reference);
        }
        let number = match &element.id {
            Some(id) => {
                let number = self.held.number_of(id);
                if self.held.is_defined(number) {
                    let why = format!("the id {id} stands twice; the first holds");
                    let help = "give each an id of its own; nothing of this one is read";
                    let subject = format!("<{}>", element.name);
                    let given = Some(&**id);
                    self.held.problem(ProblemKind::RecordLost, span, &subject, given, why, help);
                    return (number, Open::Other);
                }
                number
            }
            None => self.held.nameless(),
        };
        let named = Kind::of_name(element.entity_name().as_bytes());
        let kind = if element.kind.is_some() { named } else { kind.or(named) };
        let node = self.held.define(number, kind, span);
        let (Some(node), Some(kind)) = (node, kind) else { return (number, Open::Other) };
        for (name, text) in &element.others {
            let mut attributes = kind.info().attributes().enumerate();
            let found = attributes.find(|(_, attribute)| attribute.name == *name);
            let Some((position, attribute)) = found else { continue };
            if !matches!(attribute.form, Form::Other | Form::Derived) {
                let value = self.held.text(text, Kept::lexical);
                self.held.set(node, position, value);
            }
        }
        (number, Open::Entity { node, number })
    }

    /// An element inside an entity.
    fn attribute(&mut self, node: usize, number: u64, element: &Element<'_>, span: Span) -> Open {
        let info = self.held.kind_at(node).info();
        let found = info.attributes().enumerate().find(|(_, one)| one.name == element.name);
        let Some((position, attribute)) = found else {
            if let Some(inverse) = INVERSES.iter().find(|inverse| inverse.name == element.name) {
                return self.inverse(number, inverse, element, span);
            }
            return self.loose(element, span);
        };
        let says_itself = element.kind.is_some() || element.refers.is_some();
        let kind = match attribute.form {
            Form::Entity(Some(kind)) => Some(kind),
            Form::Entity(None) | Form::Select if says_itself => None,
            Form::Point => Some(Kind::CartesianPoint),
            Form::Derived | Form::Other => return Open::Other,
            form => {
                let inside = self.emptied.pop().unwrap_or_default();
                return Open::Attribute { node, position, form, inside };
            }
        };
        let (other, open) = self.entity(element, kind, span);
        self.held.set(node, position, Kept::Reference(other));
        open
    }

    fn inverse(
        &mut self,
        owner: u64,
        inverse: &'static Inverse,
        element: &Element<'_>,
        span: Span,
    ) -> Open {
        if !inverse.bears_name && element.refers.is_none() && element.kind.is_none() {
            return Open::Inverse { owner, inverse, own: None };
        }
        let (number, open) = self.entity(element, Some(inverse.relation), span);
        self.fills.push((number, inverse, owner));
        match open {
            // It may hold relations under their own name all the same.
            Open::Entity { node, .. } => Open::Inverse { owner, inverse, own: Some(node) },
            open => open,
        }
    }

    fn in_inverse(
        &mut self,
        owner: u64,
        inverse: &'static Inverse,
        own: Option<usize>,
        element: &Element<'_>,
        span: Span,
    ) -> Open {
        if element.is_of_ifc() {
            let (number, open) = self.entity(element, None, span);
            self.fills.push((number, inverse, owner));
            return open;
        }
        if let Some(node) = own {
            let number = self.held.number_at(node);
            return self.attribute(node, number, element, span);
        }
        // Without a name of its own the relation is the inverse itself.
        let is_its = inverse.relation.info().position(element.name).is_some();
        if !is_its {
            return Open::Other;
        }
        let number = self.held.nameless();
        let node = self.held.define(number, Some(inverse.relation), span);
        self.fills.push((number, inverse, owner));
        if let Some(Open::Inverse { own, .. }) = self.open.last_mut() {
            *own = node;
        }
        match node {
            Some(node) => self.attribute(node, number, element, span),
            None => Open::Other,
        }
    }

    /// An element inside an attribute.
    fn item(&mut self, form: Form, element: &Element<'_>, span: Span) -> Open {
        let is_select = matches!(form, Form::Select | Form::Selects);
        if let Some(name) = element.name.strip_suffix("-wrapper") {
            return self.simple(name, element);
        }
        if !element.is_of_ifc() && element.kind.is_none() {
            return Open::Other;
        }
        let is_reference = element.id.is_some() || element.refers.is_some();
        if is_select && !is_reference && Kind::of_name(element.entity_name().as_bytes()).is_none() {
            // A simple value of whose type the writer left out that it is one; or an entity of no use.
            return self.simple(element.entity_name(), element);
        }
        let (number, open) = self.entity(element, None, span);
        if let Some(Open::Attribute { inside, .. }) = self.open.last_mut() {
            inside.items.push((element.position, Kept::Reference(number)));
        }
        open
    }

    fn simple(&mut self, name: &str, element: &Element<'_>) -> Open {
        let inside = self.emptied.pop().unwrap_or_default();
        Open::Simple { type_: self.held.type_(name), position: element.position, inside }
    }

    /// Whether anything is made of a text that stands here.
    fn takes_text(&self) -> bool {
        self.below == 0
            && match self.open.last() {
                Some(Open::Simple { .. } | Open::Reference) => true,
                Some(Open::Attribute { form, .. }) => {
                    !matches!(form, Form::Entities | Form::Select | Form::Selects)
                }
                _ => false,
            }
    }

    fn text(&mut self, more: &str, span: Span) {
        if !self.takes_text() {
            return;
        }
        match self.open.last_mut() {
            Some(Open::Simple { inside, .. } | Open::Attribute { inside, .. }) => {
                inside.text.push_str(more);
            }
            Some(Open::Reference) if !more.trim().is_empty() => {
                self.note_loose(Span { start: span.end, end: span.end });
            }
            _ => {}
        }
    }

    fn end(&mut self) {
        if self.below > 0 {
            self.below -= 1;
            return;
        }
        match self.open.pop() {
            Some(Open::Simple { type_, position, inside }) => {
                let value = self.held.simple(type_, &inside.text);
                if let Some(Open::Attribute { inside, .. }) = self.open.last_mut() {
                    inside.items.push((position, value));
                }
                self.empty(inside);
            }
            Some(Open::Attribute { node, position, form, mut inside }) => {
                let Inside { items, text } = &mut inside;
                if items.iter().any(|(position, _)| position.is_some()) {
                    items.sort_by_key(|(position, _)| position.unwrap_or(u32::MAX));
                }
                let mut items = items.iter().map(|(_, item)| *item);
                let value = match form {
                    Form::Entities | Form::Selects => Some(self.held.list(items)),
                    Form::Select | Form::Entity(_) | Form::Point => items.next(),
                    _ if text.trim().is_empty() => None,
                    _ => Some(self.held.text(text, Kept::lexical)),
                };
                if let Some(value) = value {
                    self.held.set(node, position, value);
                }
                self.empty(inside);
            }
            _ => {}
        }
    }

    /// Keeps the room of what is done with, unless it is much.
    fn empty(&mut self, mut inside: Inside) {
        /// Bytes, and items, that most have less of.
        const MUCH: usize = 4096;
        if inside.text.capacity() <= MUCH && inside.items.capacity() <= MUCH {
            inside.items.clear();
            inside.text.clear();
            self.emptied.push(inside);
        }
    }

    fn note_loose(&mut self, span: Span) {
        self.loose.get_or_insert((span, 0)).1 += 1;
    }

    fn finish(mut self) -> Held {
        if let Some((span, count)) = self.loose {
            let why = format!(
                "{count} elements refer to another without xsi:nil=\"true\", or hold something beside the reference; \
                 they were taken for references"
            );
            let help = "write ref and xsi:nil=\"true\", and nothing else";
            self.held.problem(ProblemKind::ValueDoubtful, span, "reference", None, why, help);
        }
        let mut fills = std::mem::take(&mut self.fills);
        fills.sort_by_key(|(number, inverse, _)| (*number, inverse.forward));
        for same in
            fills.chunk_by(|one, other| (one.0, one.1.forward) == (other.0, other.1.forward))
        {
            let (number, inverse, _) = same[0];
            let mut attributes = inverse.relation.info().attributes();
            let is_list = attributes
                .any(|one| one.name == inverse.forward && matches!(one.form, Form::Entities));
            let owners: Vec<u64> = same.iter().map(|(.., owner)| *owner).collect();
            self.held.add(number, inverse.forward, &owners, is_list);
        }
        self.held
    }
}

fn resolved(reference: &BytesRef<'_>) -> Option<String> {
    if let Some(letter) = reference.resolve_char_ref().ok()? {
        return Some(letter.to_string());
    }
    resolve_xml_entity(reference).map(str::to_owned)
}
