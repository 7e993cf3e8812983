//! What an element says of itself.

use std::borrow::Cow;

use quick_xml::XmlVersion;
use quick_xml::events::BytesStart;

/// An element with its attributes.
#[derive(Debug, Default)]
pub(super) struct Element<'e> {
    /// Its name without a prefix.
    pub(super) name: &'e str,
    /// The namespace of names without a prefix, or of its own, where it states it.
    pub(super) namespace: Option<Cow<'e, str>>,
    /// By which others refer to it.
    pub(super) id: Option<Cow<'e, str>>,
    /// To which it refers.
    pub(super) refers: Option<Cow<'e, str>>,
    /// The entity that it is, where its name is that of an attribute.
    pub(super) kind: Option<Cow<'e, str>>,
    /// Whether it says that it is a reference and nothing else.
    pub(super) is_nil: bool,
    /// Whether it stands for something in another file.
    pub(super) is_elsewhere: bool,
    /// Its position among its like.
    pub(super) position: Option<u32>,
    /// All others, by their names without a prefix.
    pub(super) others: Vec<(&'e str, Cow<'e, str>)>,
    /// What cannot be read of it, as clauses.
    pub(super) faults: Vec<String>,
}

impl<'e> Element<'e> {
    pub(super) fn of(start: &'e BytesStart<'_>) -> Self {
        let whole = start.name().into_inner();
        let own_prefix = whole.split_once(':').map(|(prefix, _)| prefix);
        let mut element = Self { name: local(whole), ..Self::default() };
        for attribute in start.attributes() {
            let attribute = match attribute {
                Ok(attribute) => attribute,
                Err(error) => {
                    element.faults.push(format!("an attribute cannot be read: {error}"));
                    continue;
                }
            };
            let key = attribute.key.into_inner();
            let value = match attribute.normalized_value(XmlVersion::Implicit1_0) {
                Ok(value) => value,
                Err(error) => {
                    element.faults.push(format!("its {key} cannot be read: {error}"));
                    continue;
                }
            };
            let is_plain = !key.contains(':');
            match local(key) {
                prefix if key.starts_with("xmlns") => {
                    let stated = key.strip_prefix("xmlns:").map(|_| prefix);
                    if stated == own_prefix {
                        element.namespace = Some(value);
                    }
                }
                "id" if is_plain => element.id = Some(value),
                "ref" if is_plain => element.refers = Some(value),
                "href" => element.is_elsewhere = true,
                "pos" => {
                    element.position =
                        value.split_ascii_whitespace().next().and_then(|word| word.parse().ok());
                }
                "type" if !is_plain => {
                    element.kind = Some(match value {
                        Cow::Borrowed(value) => Cow::Borrowed(local(value.trim())),
                        Cow::Owned(value) => Cow::Owned(local(value.trim()).to_owned()),
                    });
                }
                "nil" => element.is_nil = matches!(value.trim(), "true" | "1"),
                "path" | "itemType" | "cType" | "arraySize" | "schemaLocation" => {}
                name => element.others.push((name, value)),
            }
        }
        element
    }

    /// The name of the entity that it is: what it says, or its own name.
    pub(super) fn entity_name(&self) -> &str {
        self.kind.as_deref().unwrap_or(self.name)
    }

    /// Whether its name is that of an entity or a type.
    pub(super) fn is_of_ifc(&self) -> bool {
        self.name.starts_with("Ifc")
    }
}

/// A name without its prefix.
pub(super) fn local(name: &str) -> &str {
    let colon = memchr::memrchr(b':', name.as_bytes());
    colon.map_or(name, |colon| &name[colon + 1..])
}
