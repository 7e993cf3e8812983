//! The inverses under which relations stand inside an entity, as the schema's configuration chooses them.

use restrand_ifc::terms::Kind;

/// Where among the children of an entity an inverse stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Place {
    /// Before the entity's own.
    Before,
    /// After them.
    After,
}

/// An inverse.
#[derive(Debug)]
pub(crate) struct Inverse {
    /// Its name.
    pub(crate) name: &'static str,
    /// The relation.
    pub(crate) relation: Kind,
    /// The attribute of the relation that is not written, as the relation stands inside of what it names.
    pub(crate) forward: &'static str,
    /// Whether the relation bears its name, and does not stand under it with its own.
    pub(crate) bears_name: bool,
    /// Where it stands.
    pub(crate) place: Place,
    /// Its place among the others.
    pub(crate) order: u8,
}

/// An inverse that holds relations under their own name.
const fn under(
    order: u8,
    place: Place,
    name: &'static str,
    relation: Kind,
    forward: &'static str,
) -> Inverse {
    Inverse { name, relation, forward, bears_name: false, place, order }
}

/// An inverse that is the relation itself, once for each.
const fn as_itself(
    order: u8,
    place: Place,
    name: &'static str,
    relation: Kind,
    forward: &'static str,
) -> Inverse {
    Inverse { name, relation, forward, bears_name: true, place, order }
}

/// All of them, in the order in which they stand.
pub(crate) static INVERSES: &[Inverse] = &[
    under(0, Place::Before, "IsNestedBy", Kind::RelNests, "RelatingObject"),
    under(1, Place::Before, "IsDecomposedBy", Kind::RelAggregates, "RelatingObject"),
    as_itself(2, Place::Before, "IsTypedBy", Kind::RelDefinesByType, "RelatedObjects"),
    under(3, Place::Before, "IsDefinedBy", Kind::RelDefinesByProperties, "RelatedObjects"),
    as_itself(4, Place::After, "HasProjections", Kind::RelProjects, "RelatingElement"),
    as_itself(5, Place::After, "HasOpenings", Kind::RelVoids, "RelatingBuildingElement"),
    under(6, Place::After, "ContainsElements", Kind::RelContained, "RelatingStructure"),
    under(7, Place::After, "ReferencesElements", Kind::RelReferenced, "RelatingStructure"),
    under(8, Place::After, "Declares", Kind::RelDeclares, "RelatingContext"),
    under(9, Place::After, "HasSubContexts", Kind::SubContext, "ParentContext"),
];
