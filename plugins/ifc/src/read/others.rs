//! Sets of other programs at what a schedule is made of.
//!
//! What a set that nothing takes states is not guessed; that it is there is said, with its properties, so that a
//! mapping file can say what they are.

use std::collections::BTreeMap;
use std::sync::Arc;

use restrand_kit::Stopped;
use restrand_model::reading::{
    PROPERTY_SET, Problem, ProblemKind, Sureness, UnderstoodColumn, UnderstoodTable,
};

use super::mapping::Target;
use super::named::OfSet;
use super::properties::scalar;
use super::reader::Reader;
use crate::terms::Kind;
use crate::terms::sets::record_of;
use crate::value::{Entity, Value};

/// Sets of one name whose properties are looked at: most have the same.
const LOOKED_AT: u32 = 8;
/// Characters of a value that are shown.
const LONGEST: usize = 40;
/// What begins the names of the standard's own sets, none of which is about the replacement of tendons.
const STANDARD: &[&str] = &["Pset_", "Qto_"];

/// The sets of a name.
#[derive(Debug)]
struct Named {
    /// The first of them.
    first: usize,
    count: u32,
    /// The properties that were met, with the first value of each.
    properties: Vec<(String, String)>,
}

/// The sets that are no schedule's own, by name.
#[derive(Debug, Default)]
pub(super) struct Others(BTreeMap<String, Named>);

/// Whether a set is one of the standard's own.
pub(super) fn is_standard(name: &str) -> bool {
    STANDARD.iter().any(|begin| name.starts_with(begin))
}

impl Reader<'_, '_> {
    /// Notes a set that an element has and that is no schedule's own.
    pub(super) fn note_other(
        &mut self,
        owner: usize,
        at: usize,
        set: &Entity<'_>,
    ) -> Result<(), Stopped> {
        use Kind::{
            BuildingSystem, BuiltSystem, ElementAssembly, Group, System, Tendon, TendonAnchor,
            TendonAnchorType, TendonConduit, TendonConduitType, TendonType,
        };
        let is_of_tendons = matches!(
            self.model.kind(owner),
            ElementAssembly
                | Group
                | System
                | BuildingSystem
                | BuiltSystem
                | Tendon
                | TendonAnchor
                | TendonConduit
                | TendonType
                | TendonAnchorType
                | TendonConduitType
        );
        let Some(name) = set.get("Name").text().filter(|_| is_of_tendons) else { return Ok(()) };
        let named = self.others.0.entry(name.to_owned());
        let named = named.or_insert_with(|| Named { first: at, count: 0, properties: Vec::new() });
        named.count += 1;
        if named.count > LOOKED_AT {
            return Ok(());
        }
        for property in self.all(at, set, "HasProperties")? {
            let Some(entity) = self.entity(property)? else { continue };
            let Some(property) = entity.get("Name").text() else { continue };
            if let Some(named) = self.others.0.get_mut(name)
                && named.properties.iter().all(|(known, _)| known != property)
            {
                named.properties.push((property.to_owned(), shown(&entity)));
            }
        }
        Ok(())
    }

    /// Notes the sets of anchors, conduits, their types and groups of tendons at which nobody looked.
    fn note_unread(&mut self) -> Result<(), Stopped> {
        let kinds = [
            Kind::TendonAnchor,
            Kind::TendonConduit,
            Kind::TendonAnchorType,
            Kind::TendonConduitType,
        ];
        let of_kinds = kinds.into_iter().flat_map(|kind| self.graph.all(kind));
        let owners: Vec<usize> = of_kinds.chain(&self.graph.groups).copied().collect();
        for owner in owners {
            for set in self.graph.sets.get(&owner).cloned().unwrap_or_default() {
                if self.model.kind(set) != Kind::PropertySet || self.read_sets.contains(set) {
                    continue;
                }
                let Some(entity) = self.entity(set)? else { continue };
                if record_of(entity.get("Name").text().unwrap_or_default()).is_none() {
                    self.note_other(owner, set, &entity)?;
                }
            }
        }
        Ok(())
    }

    /// Says which of these sets are not read.
    pub(super) fn say_others(&mut self) -> Result<(), Stopped> {
        self.note_unread()?;
        let mapping = self.mapping;
        let unread: Vec<(String, usize, u32)> = self
            .others
            .0
            .iter()
            .filter(|(name, _)| mapping.of_set(name).is_none() && !is_standard(name))
            .map(|(name, named)| (name.clone(), named.first, named.count))
            .collect();
        for (name, first, count) in unread {
            if let Some(targets) = self.named.as_ref().and_then(|named| named.get(name.as_str())) {
                let targets = Arc::clone(targets);
                self.say_named(&name, first, &targets)?;
                continue;
            }
            let times = if count > 1 { format!(", as in {count} places") } else { String::new() };
            self.said.problem(Problem {
                kind: ProblemKind::SheetUnknown,
                place: self.model.place(first),
                record: restrand_model::reading::Origin::default(),
                subject: format!("{PROPERTY_SET} {name}"),
                given: None,
                why: format!("it is another program's, and no mapping file says what it states{times}"),
                help: "where it states something of the schedule, say what in a mapping file; `restrand mapping new` \
                       lists its properties"
                    .to_owned(),
            })?;
        }
        Ok(())
    }

    /// Says what of a set was taken by its names, and what was not.
    fn say_named(&mut self, name: &str, first: usize, targets: &OfSet) -> Result<(), Stopped> {
        let properties = self.others.0.get(name).map(|named| named.properties.as_slice());
        let (taken, left): (Vec<&str>, Vec<&str>) = properties
            .unwrap_or_default()
            .iter()
            .map(|(property, _)| property.as_str())
            .partition(|property| targets.contains_key(*property));
        let of = |property: &&str| {
            let fields = targets.get(*property).map(Target::names).unwrap_or_default();
            format!("\"{property}\" is {}", fields.join(", "))
        };
        let taken: Vec<String> = taken.iter().map(of).collect();
        let mut said = vec![(
            ProblemKind::Assumed,
            format!("says by the names of its properties: {}", taken.join("; ")),
            "where one of them states something else, say what in a mapping file",
            "",
        )];
        if !left.is_empty() {
            said.push((
                ProblemKind::SheetUnknown,
                format!("nothing says what these of its properties state: {}", left.join(", ")),
                "where they state something of the schedule, say what in a mapping file; `restrand mapping new` \
                 lists them",
                " (in part)",
            ));
        }
        for (kind, why, help, part) in said {
            self.said.problem(Problem {
                kind,
                place: self.model.place(first),
                record: restrand_model::reading::Origin::default(),
                subject: format!("{PROPERTY_SET} {name}{part}"),
                given: None,
                why,
                help: help.to_owned(),
            })?;
        }
        Ok(())
    }

    /// How these sets were understood.
    pub(super) fn other_tables(&self) -> Vec<UnderstoodTable> {
        let mapping = self.mapping;
        let table = |(name, named): (&String, &Named)| UnderstoodTable {
            caption: Some(name.clone()),
            record: PROPERTY_SET.to_owned(),
            turned: false,
            headers: (0, 0),
            by_others: false,
            rows: named.count,
            columns: (0..)
                .zip(&named.properties)
                .map(|(index, (property, value))| {
                    let mapped = mapping.of_set(name).and_then(|set| set.get(property));
                    let named = self.named.as_ref().and_then(|named| named.get(name.as_str()));
                    let named = named.and_then(|set| set.get(property));
                    let target = mapped.or(named);
                    let sureness = match (mapped, named) {
                        (Some(_), _) => Sureness::Mapped,
                        (None, Some(_)) => Sureness::Sure,
                        (None, None) => Sureness::Kept,
                    };
                    UnderstoodColumn {
                        index,
                        header: property.clone(),
                        fields: target.map(Target::names).unwrap_or_default(),
                        unit: target
                            .and_then(|target| target.unit)
                            .map(|unit| unit.symbol.to_owned()),
                        sureness,
                        why: format!("first value {value}"),
                    }
                })
                .collect(),
        };
        self.others.0.iter().map(table).collect()
    }
}

/// The value of a property, for people.
fn shown(property: &Entity<'_>) -> String {
    let Some(value) = scalar(property) else {
        return "of several parts, or none".to_owned();
    };
    let said = match value.number() {
        Some(number) => number.to_string(),
        None => value.text().or(value.word()).unwrap_or("of another kind").to_owned(),
    };
    let said = restrand_model::shortened(&said, LONGEST);
    match value {
        Value::Typed(type_, _) => format!("{said} ({type_})"),
        _ => said.into_owned(),
    }
}
