//! Entities as XML, in the way of the schema of IFC 4.3 ADD2.
//!
//! What has a GlobalId stands at the top, in the order of the model; what has none stands where it is first used.
//! Of a relation of one to many only the side of the many is written: the relation stands inside the one, under the
//! name of the inverse.

use std::collections::{BTreeMap, HashMap, HashSet};
use std::fmt::Write as _;
use std::io::{self, Write};

use quick_xml::escape::escape;
use restrand_ifc::terms::{Form, Kind};
use restrand_ifc::write::{Head, Model, model};
use restrand_ifc::{Entity, Value};
use restrand_kit::{Content, Loss};

use crate::inverse::{INVERSES, Inverse, Place};

const NAMESPACE: &str = "https://standards.buildingsmart.org/IFC/RELEASE/IFC4/3/ADD2";
/// What the file says wrote it.
const PROGRAM: &str = "restrand";

/// Writes the model of a schedule.
pub(crate) fn write(content: &Content<'_>, out: &mut dyn Write) -> io::Result<Vec<Loss>> {
    let (model, head, mut losses) = model(content);
    let mut printer = Printer::new(&model);
    printer.file(&head);
    if printer.unsayable > 0 {
        losses.push(Loss {
            route: "schedule".to_owned(),
            value: format!("{} letters", printer.unsayable),
            why: "XML cannot hold control characters; U+FFFD stands in their places".to_owned(),
        });
    }
    out.write_all(printer.text.as_bytes())?;
    Ok(losses)
}

struct Printer<'m> {
    model: &'m Model,
    text: String,
    depth: usize,
    /// How often an entity is referred to.
    uses: HashMap<u64, u32>,
    /// The relations that stand inside an entity, in the order of the inverses.
    inside: BTreeMap<u64, Vec<(&'static Inverse, u64)>>,
    /// Entities that have been written in full.
    written: HashSet<u64>,
    /// Letters that XML has no way to write.
    unsayable: usize,
}

impl<'m> Printer<'m> {
    fn new(model: &'m Model) -> Self {
        let mut uses = HashMap::new();
        let mut inside: BTreeMap<u64, Vec<(&'static Inverse, u64)>> = BTreeMap::new();
        for (number, entity) in model.entities() {
            let inverse = INVERSES.iter().find(|inverse| inverse.relation == entity.kind);
            for (attribute, value) in entity.kind.info().attributes().zip(&entity.attributes) {
                if let Some(inverse) = inverse.filter(|one| one.forward == attribute.name) {
                    for owner in value.reference().into_iter().chain(value.references()) {
                        inside.entry(owner).or_default().push((inverse, number));
                        *uses.entry(number).or_default() += 1;
                    }
                } else {
                    count(value, &mut uses);
                }
            }
        }
        for relations in inside.values_mut() {
            relations.sort_by_key(|(inverse, number)| (inverse.order, *number));
        }
        Self {
            model,
            text: String::new(),
            depth: 0,
            uses,
            inside,
            written: HashSet::new(),
            unsayable: 0,
        }
    }

    fn file(&mut self, head: &Head) {
        self.text.push_str("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<ifcXML");
        for (name, value) in [
            ("xmlns", NAMESPACE),
            ("xmlns:ifc", NAMESPACE),
            ("xmlns:xsi", "http://www.w3.org/2001/XMLSchema-instance"),
            ("id", "model"),
        ] {
            self.attribute(name, value);
        }
        self.text.push_str(">\n");
        self.depth = 1;
        self.indent();
        self.text.push_str("<header>\n");
        let release = format!("{PROGRAM} {}", env!("CARGO_PKG_VERSION"));
        for (name, value) in [
            ("name", head.name.as_str()),
            ("time_stamp", head.time.as_str()),
            ("author", head.author.as_str()),
            ("organization", head.organization.as_str()),
            ("preprocessor_version", release.as_str()),
            ("originating_system", PROGRAM),
        ] {
            if !value.is_empty() {
                self.text.push_str("    ");
                let value = self.escaped(value);
                let _ = writeln!(self.text, "<{name}>{value}</{name}>");
            }
        }
        self.indent();
        self.text.push_str("</header>\n");
        for (number, entity) in self.model.entities() {
            let stands_inside = INVERSES.iter().any(|inverse| inverse.relation == entity.kind)
                || entity.kind == Kind::PropertySet
                || entity.kind == Kind::ElementQuantity;
            if entity.kind.is_rooted() && !stands_inside {
                self.entity(entity.kind.name(), number, false);
            }
        }
        self.text.push_str("</ifcXML>\n");
    }

    /// An entity under a name: in full where it is first used and does not stand at the top, else as a reference.
    fn used(&mut self, name: &str, number: u64, says_kind: bool) {
        let Some(entity) = self.model.get(number) else { return };
        let at_top = entity.kind.is_rooted()
            && !INVERSES.iter().any(|inverse| inverse.relation == entity.kind)
            && !matches!(entity.kind, Kind::PropertySet | Kind::ElementQuantity);
        if !at_top && !self.written.contains(&number) {
            return self.entity(name, number, says_kind);
        }
        self.indent();
        let _ = write!(self.text, "<{name}");
        if says_kind {
            self.attribute("xsi:type", entity.kind.name());
        }
        self.attribute("ref", &format!("i{number}"));
        self.attribute("xsi:nil", "true");
        self.text.push_str("/>\n");
    }

    fn entity(&mut self, name: &str, number: u64, says_kind: bool) {
        let Some(entity) = self.model.get(number) else { return };
        self.written.insert(number);
        self.indent();
        let _ = write!(self.text, "<{name}");
        if says_kind {
            self.attribute("xsi:type", entity.kind.name());
        }
        if self.uses.get(&number).copied().unwrap_or(0) > u32::from(!entity.kind.is_rooted()) {
            self.attribute("id", &format!("i{number}"));
        }
        self.attributes(entity);
        self.text.push('>');
        let open = self.text.len();
        self.text.push('\n');
        self.depth += 1;
        let inside = self.inside.get(&number).cloned().unwrap_or_default();
        self.inverses(&inside, Place::Before);
        self.children(entity);
        self.inverses(&inside, Place::After);
        self.depth -= 1;
        if self.text.len() == open + 1 {
            self.text.truncate(open - 1);
            self.text.push_str("/>\n");
        } else {
            self.indent();
            let _ = writeln!(self.text, "</{name}>");
        }
    }

    /// What stands in the tag.
    fn attributes(&mut self, entity: &'m Entity<'static>) {
        for (attribute, value) in entity.kind.info().attributes().zip(&entity.attributes) {
            let said = match attribute.form {
                Form::Text | Form::Word | Form::Number | Form::Numbers | Form::Rows(_) => {
                    simple(value)
                }
                _ => None,
            };
            if let Some(said) = said {
                self.attribute(attribute.name, &said);
            }
        }
    }

    /// What stands inside of it.
    fn children(&mut self, entity: &'m Entity<'static>) {
        let inverse = INVERSES.iter().find(|inverse| inverse.relation == entity.kind);
        for (attribute, value) in entity.kind.info().attributes().zip(&entity.attributes) {
            if inverse.is_some_and(|inverse| inverse.forward == attribute.name) || value.is_absent()
            {
                continue;
            }
            match attribute.form {
                Form::Entity(_) | Form::Point => {
                    if let Some(number) = value.reference() {
                        let says_kind = !matches!(attribute.form, Form::Entity(Some(_)));
                        self.used(attribute.name, number, says_kind);
                    }
                }
                Form::Entities | Form::Selects | Form::Select => {
                    self.indent();
                    let _ = writeln!(self.text, "<{}>", attribute.name);
                    self.depth += 1;
                    if attribute.form == Form::Select {
                        self.item(value);
                    } else {
                        for item in value.items() {
                            self.item(item);
                        }
                    }
                    self.depth -= 1;
                    self.indent();
                    let _ = writeln!(self.text, "</{}>", attribute.name);
                }
                _ => {}
            }
        }
    }

    fn item(&mut self, value: &Value<'_>) {
        match value {
            Value::Reference(number) => {
                let name = self.model.get(*number).map_or("", |entity| entity.kind.name());
                self.used(name, *number, false);
            }
            Value::Typed(name, inner) => {
                let said = simple(inner).unwrap_or_default();
                let said = self.escaped(&said);
                self.indent();
                let _ = writeln!(self.text, "<{name}-wrapper>{said}</{name}-wrapper>");
            }
            _ => {}
        }
    }

    /// The relations that stand inside an entity.
    fn inverses(&mut self, inside: &[(&'static Inverse, u64)], place: Place) {
        let here = inside.iter().filter(|(inverse, _)| inverse.place == place);
        let mut open = "";
        for (inverse, number) in here {
            if inverse.bears_name {
                self.close(open);
                open = "";
                self.used(inverse.name, *number, false);
                continue;
            }
            if open != inverse.name {
                self.close(open);
                open = inverse.name;
                self.indent();
                let _ = writeln!(self.text, "<{open}>");
                self.depth += 1;
            }
            let name = inverse.relation.name();
            self.used(name, *number, false);
        }
        self.close(open);
    }

    fn close(&mut self, open: &str) {
        if !open.is_empty() {
            self.depth -= 1;
            self.indent();
            let _ = writeln!(self.text, "</{open}>");
        }
    }

    fn indent(&mut self) {
        self.text.extend(std::iter::repeat_n("  ", self.depth));
    }

    fn attribute(&mut self, name: &str, value: &str) {
        let value = self.escaped(value);
        let _ = write!(self.text, " {name}=\"{value}\"");
    }

    /// A text as XML writes it; what it cannot write is counted.
    fn escaped(&mut self, text: &str) -> String {
        let mut escaped = String::with_capacity(text.len());
        for letter in escape(text).chars() {
            match letter {
                // A reader takes bare ones in an attribute for spaces.
                '\t' | '\n' | '\r' => {
                    let _ = write!(escaped, "&#{};", u32::from(letter));
                }
                '\0'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => {
                    self.unsayable += 1;
                    escaped.push(char::REPLACEMENT_CHARACTER);
                }
                letter => escaped.push(letter),
            }
        }
        escaped
    }
}

fn count(value: &Value<'_>, uses: &mut HashMap<u64, u32>) {
    match value {
        Value::Reference(number) => *uses.entry(*number).or_default() += 1,
        Value::List(items) => items.iter().for_each(|item| count(item, uses)),
        Value::Typed(_, inner) => count(inner, uses),
        _ => {}
    }
}

/// A simple value as text; numbers of lists stand one after the other.
fn simple(value: &Value<'_>) -> Option<String> {
    Some(match value {
        Value::Text(text) => text.clone().into_owned(),
        Value::Word(word) => match word.as_ref() {
            "T" => "true".to_owned(),
            "F" => "false".to_owned(),
            word => word.to_ascii_lowercase(),
        },
        Value::Lexical(text) => text.clone().into_owned(),
        Value::Number(number) => format!("{number:?}"),
        Value::List(items) => items.iter().filter_map(simple).collect::<Vec<_>>().join(" "),
        _ => return None,
    })
}
