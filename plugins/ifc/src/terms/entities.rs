//! Entities and the order of their attributes.
//!
//! The names and their order are facts of IFC 4.3 ADD2 (ISO 16739-1:2024), whose schema was read in
//! `IFC4X3_ADD2.exp` of buildingSMART; only what a schedule meets is listed.

use std::sync::OnceLock;

/// How the values of an attribute are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// A text or an identifier.
    Text,
    /// A word of an enumeration, a boolean or a logical.
    Word,
    /// A number.
    Number,
    /// Numbers in order.
    Numbers,
    /// Rows of so many numbers; XML writes them one after the other.
    Rows(u8),
    /// An entity. The name says what it is where XML need not say it; else XML does.
    Entity(Option<Kind>),
    /// A point. Up to IFC 4 it is a cartesian one without saying so; IFC 4.3 has others, and XML says which.
    Point,
    /// Entities; in XML each stands under its own name.
    Entities,
    /// A simple value with its type, or an entity; in XML it stands under the name of its type.
    Select,
    /// Several of these.
    Selects,
    /// It follows from others; in Part 21 it is `*`.
    Derived,
    /// Of no use to a schedule: read over, and written as absent.
    Other,
}

/// An attribute of an entity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Attribute {
    /// Its name.
    pub name: &'static str,
    /// How it is written.
    pub form: Form,
}

/// An entity.
#[derive(Debug)]
pub struct EntityInfo {
    /// Its name as XML writes it.
    pub name: &'static str,
    /// The attributes that it has of what it is a kind of.
    base: &'static [Attribute],
    /// Its own attributes.
    own: &'static [Attribute],
}

impl EntityInfo {
    /// The attributes in order.
    pub fn attributes(&self) -> impl Iterator<Item = &'static Attribute> + use<> {
        self.base.iter().chain(self.own)
    }

    /// The number of attributes.
    #[must_use]
    pub const fn len(&self) -> usize {
        self.base.len() + self.own.len()
    }

    /// Whether it has no attribute.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The position of the attribute of this name.
    #[must_use]
    pub fn position(&self, name: &str) -> Option<usize> {
        self.attributes().position(|attribute| attribute.name == name)
    }
}

const fn of(name: &'static str, form: Form) -> Attribute {
    Attribute { name, form }
}

const NOTHING: &[Attribute] = &[];
const ROOT: &[Attribute] = &[
    of("GlobalId", Form::Text),
    of("OwnerHistory", Form::Entity(None)),
    of("Name", Form::Text),
    of("Description", Form::Text),
];
const PRODUCT: &[Attribute] = &[
    of("GlobalId", Form::Text),
    of("OwnerHistory", Form::Entity(None)),
    of("Name", Form::Text),
    of("Description", Form::Text),
    of("ObjectType", Form::Text),
    of("ObjectPlacement", Form::Entity(None)),
    of("Representation", Form::Entity(None)),
];
const ELEMENT: &[Attribute] = &[
    of("GlobalId", Form::Text),
    of("OwnerHistory", Form::Entity(None)),
    of("Name", Form::Text),
    of("Description", Form::Text),
    of("ObjectType", Form::Text),
    of("ObjectPlacement", Form::Entity(None)),
    of("Representation", Form::Entity(None)),
    of("Tag", Form::Text),
];
const REINFORCING: &[Attribute] = &[
    of("GlobalId", Form::Text),
    of("OwnerHistory", Form::Entity(None)),
    of("Name", Form::Text),
    of("Description", Form::Text),
    of("ObjectType", Form::Text),
    of("ObjectPlacement", Form::Entity(None)),
    of("Representation", Form::Entity(None)),
    of("Tag", Form::Text),
    of("SteelGrade", Form::Text),
];
const SPATIAL: &[Attribute] = &[
    of("GlobalId", Form::Text),
    of("OwnerHistory", Form::Entity(None)),
    of("Name", Form::Text),
    of("Description", Form::Text),
    of("ObjectType", Form::Text),
    of("ObjectPlacement", Form::Entity(None)),
    of("Representation", Form::Entity(None)),
    of("LongName", Form::Text),
    of("CompositionType", Form::Word),
];
const TYPE: &[Attribute] = &[
    of("GlobalId", Form::Text),
    of("OwnerHistory", Form::Entity(None)),
    of("Name", Form::Text),
    of("Description", Form::Text),
    of("ApplicableOccurrence", Form::Text),
    of("HasPropertySets", Form::Entities),
    of("RepresentationMaps", Form::Entities),
    of("Tag", Form::Text),
    of("ElementType", Form::Text),
];
const PROPERTY: &[Attribute] = &[of("Name", Form::Text), of("Specification", Form::Text)];
const QUANTITY: &[Attribute] =
    &[of("Name", Form::Text), of("Description", Form::Text), of("Unit", Form::Entity(None))];
const KIND: Attribute = of("PredefinedType", Form::Word);

macro_rules! entities {
    ($($kind:ident $name:literal $base:ident [$($own:expr),* $(,)?];)*) => {
        /// An entity that is read or written.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        #[repr(u8)]
        #[allow(missing_docs, reason = "each is the entity of its name")]
        pub enum Kind { $($kind),* }

        static ENTITIES: &[EntityInfo] = &[$(
            EntityInfo { name: $name, base: $base, own: &[$($own),*] }
        ),*];

        impl Kind {
            /// Every entity.
            pub const ALL: &'static [Self] = &[$(Self::$kind),*];
        }
    };
}

entities! {
    Project "IfcProject" ROOT [
        of("ObjectType", Form::Text), of("LongName", Form::Text), of("Phase", Form::Text),
        of("RepresentationContexts", Form::Entities),
        of("UnitsInContext", Form::Entity(Some(Kind::UnitAssignment))),
    ];
    Site "IfcSite" SPATIAL [
        of("RefLatitude", Form::Other), of("RefLongitude", Form::Other),
        of("RefElevation", Form::Number), of("LandTitleNumber", Form::Text),
        of("SiteAddress", Form::Other),
    ];
    Building "IfcBuilding" SPATIAL [
        of("ElevationOfRefHeight", Form::Number), of("ElevationOfTerrain", Form::Number),
        of("BuildingAddress", Form::Other),
    ];
    Bridge "IfcBridge" SPATIAL [KIND];
    BridgePart "IfcBridgePart" SPATIAL [of("UsageType", Form::Word), KIND];
    Space "IfcSpace" SPATIAL [KIND, of("ElevationWithFlooring", Form::Number)];
    SpatialZone "IfcSpatialZone" PRODUCT [of("LongName", Form::Text), KIND];

    Tendon "IfcTendon" REINFORCING [
        KIND, of("NominalDiameter", Form::Number), of("CrossSectionArea", Form::Number),
        of("TensionForce", Form::Number), of("PreStress", Form::Number),
        of("FrictionCoefficient", Form::Number), of("AnchorageSlip", Form::Number),
        of("MinCurvatureRadius", Form::Number),
    ];
    TendonAnchor "IfcTendonAnchor" REINFORCING [KIND];
    TendonConduit "IfcTendonConduit" REINFORCING [KIND];
    Beam "IfcBeam" ELEMENT [KIND];
    Wall "IfcWall" ELEMENT [KIND];
    Slab "IfcSlab" ELEMENT [KIND];
    Plate "IfcPlate" ELEMENT [KIND];
    ElementAssembly "IfcElementAssembly" ELEMENT [of("AssemblyPlace", Form::Word), KIND];
    ProjectionElement "IfcProjectionElement" ELEMENT [KIND];
    OpeningElement "IfcOpeningElement" ELEMENT [KIND];
    VirtualElement "IfcVirtualElement" ELEMENT [KIND];
    BuildingElementProxy "IfcBuildingElementProxy" ELEMENT [KIND];
    DiscreteAccessory "IfcDiscreteAccessory" ELEMENT [KIND];

    TendonType "IfcTendonType" TYPE [
        KIND, of("NominalDiameter", Form::Number), of("CrossSectionArea", Form::Number),
        of("SheathDiameter", Form::Number),
    ];
    TendonAnchorType "IfcTendonAnchorType" TYPE [KIND];
    TendonConduitType "IfcTendonConduitType" TYPE [KIND];
    DiscreteAccessoryType "IfcDiscreteAccessoryType" TYPE [KIND];
    PlateType "IfcPlateType" TYPE [KIND];

    Group "IfcGroup" ROOT [of("ObjectType", Form::Text)];
    System "IfcSystem" ROOT [of("ObjectType", Form::Text)];
    BuildingSystem "IfcBuildingSystem" ROOT [
        of("ObjectType", Form::Text), KIND, of("LongName", Form::Text),
    ];
    BuiltSystem "IfcBuiltSystem" ROOT [
        of("ObjectType", Form::Text), KIND, of("LongName", Form::Text),
    ];
    RelAggregates "IfcRelAggregates" ROOT [
        of("RelatingObject", Form::Entity(None)), of("RelatedObjects", Form::Entities),
    ];
    RelNests "IfcRelNests" ROOT [
        of("RelatingObject", Form::Entity(None)), of("RelatedObjects", Form::Entities),
    ];
    RelContained "IfcRelContainedInSpatialStructure" ROOT [
        of("RelatedElements", Form::Entities), of("RelatingStructure", Form::Entity(None)),
    ];
    RelReferenced "IfcRelReferencedInSpatialStructure" ROOT [
        of("RelatedElements", Form::Entities), of("RelatingStructure", Form::Entity(None)),
    ];
    RelConnects "IfcRelConnectsElements" ROOT [
        of("ConnectionGeometry", Form::Entity(None)), of("RelatingElement", Form::Entity(None)),
        of("RelatedElement", Form::Entity(None)),
    ];
    RelConnectsRealizing "IfcRelConnectsWithRealizingElements" ROOT [
        of("ConnectionGeometry", Form::Entity(None)), of("RelatingElement", Form::Entity(None)),
        of("RelatedElement", Form::Entity(None)), of("RealizingElements", Form::Entities),
        of("ConnectionType", Form::Text),
    ];
    RelDefinesByType "IfcRelDefinesByType" ROOT [
        of("RelatedObjects", Form::Entities), of("RelatingType", Form::Entity(None)),
    ];
    RelDefinesByProperties "IfcRelDefinesByProperties" ROOT [
        of("RelatedObjects", Form::Entities), of("RelatingPropertyDefinition", Form::Select),
    ];
    RelProjects "IfcRelProjectsElement" ROOT [
        of("RelatingElement", Form::Entity(None)),
        of("RelatedFeatureElement", Form::Entity(None)),
    ];
    RelVoids "IfcRelVoidsElement" ROOT [
        of("RelatingBuildingElement", Form::Entity(None)),
        of("RelatedOpeningElement", Form::Entity(None)),
    ];
    RelAssignsToGroup "IfcRelAssignsToGroup" ROOT [
        of("RelatedObjects", Form::Entities), of("RelatedObjectsType", Form::Other),
        of("RelatingGroup", Form::Entity(None)),
    ];
    RelAssociatesMaterial "IfcRelAssociatesMaterial" ROOT [
        of("RelatedObjects", Form::Entities), of("RelatingMaterial", Form::Select),
    ];
    RelDeclares "IfcRelDeclares" ROOT [
        of("RelatingContext", Form::Entity(None)), of("RelatedDefinitions", Form::Entities),
    ];

    Material "IfcMaterial" NOTHING [
        of("Name", Form::Text), of("Description", Form::Text), of("Category", Form::Text),
    ];
    PropertySet "IfcPropertySet" ROOT [of("HasProperties", Form::Entities)];
    PropertySingle "IfcPropertySingleValue" PROPERTY [
        of("NominalValue", Form::Select), of("Unit", Form::Select),
    ];
    PropertyEnumerated "IfcPropertyEnumeratedValue" PROPERTY [
        of("EnumerationValues", Form::Selects), of("EnumerationReference", Form::Entity(None)),
    ];
    PropertyList "IfcPropertyListValue" PROPERTY [
        of("ListValues", Form::Selects), of("Unit", Form::Select),
    ];
    PropertyComplex "IfcComplexProperty" PROPERTY [
        of("UsageName", Form::Text), of("HasProperties", Form::Entities),
    ];
    ElementQuantity "IfcElementQuantity" ROOT [
        of("MethodOfMeasurement", Form::Text), of("Quantities", Form::Entities),
    ];
    QuantityLength "IfcQuantityLength" QUANTITY [
        of("LengthValue", Form::Number), of("Formula", Form::Text),
    ];
    QuantityWeight "IfcQuantityWeight" QUANTITY [
        of("WeightValue", Form::Number), of("Formula", Form::Text),
    ];
    QuantityCount "IfcQuantityCount" QUANTITY [
        of("CountValue", Form::Number), of("Formula", Form::Text),
    ];

    UnitAssignment "IfcUnitAssignment" NOTHING [of("Units", Form::Entities)];
    SiUnit "IfcSIUnit" NOTHING [
        of("Dimensions", Form::Derived), of("UnitType", Form::Word), of("Prefix", Form::Word),
        of("Name", Form::Word),
    ];
    ConversionUnit "IfcConversionBasedUnit" NOTHING [
        of("Dimensions", Form::Entity(Some(Kind::DimensionalExponents))),
        of("UnitType", Form::Word), of("Name", Form::Text),
        of("ConversionFactor", Form::Entity(Some(Kind::MeasureWithUnit))),
    ];
    ConversionUnitWithOffset "IfcConversionBasedUnitWithOffset" NOTHING [
        of("Dimensions", Form::Entity(Some(Kind::DimensionalExponents))),
        of("UnitType", Form::Word), of("Name", Form::Text),
        of("ConversionFactor", Form::Entity(Some(Kind::MeasureWithUnit))),
        of("ConversionOffset", Form::Number),
    ];
    MeasureWithUnit "IfcMeasureWithUnit" NOTHING [
        of("ValueComponent", Form::Select), of("UnitComponent", Form::Select),
    ];
    DimensionalExponents "IfcDimensionalExponents" NOTHING [
        of("LengthExponent", Form::Number), of("MassExponent", Form::Number),
        of("TimeExponent", Form::Number), of("ElectricCurrentExponent", Form::Number),
        of("ThermodynamicTemperatureExponent", Form::Number),
        of("AmountOfSubstanceExponent", Form::Number),
        of("LuminousIntensityExponent", Form::Number),
    ];
    DerivedUnit "IfcDerivedUnit" NOTHING [
        of("Elements", Form::Entities), of("UnitType", Form::Word),
        of("UserDefinedType", Form::Text), of("Name", Form::Text),
    ];
    DerivedUnitElement "IfcDerivedUnitElement" NOTHING [
        of("Unit", Form::Entity(None)), of("Exponent", Form::Number),
    ];

    CartesianPoint "IfcCartesianPoint" NOTHING [of("Coordinates", Form::Numbers)];
    Direction "IfcDirection" NOTHING [of("DirectionRatios", Form::Numbers)];
    Vector "IfcVector" NOTHING [
        of("Orientation", Form::Entity(Some(Kind::Direction))), of("Magnitude", Form::Number),
    ];
    Axis2Placement2D "IfcAxis2Placement2D" NOTHING [
        of("Location", Form::Point), of("RefDirection", Form::Entity(Some(Kind::Direction))),
    ];
    Axis2Placement3D "IfcAxis2Placement3D" NOTHING [
        of("Location", Form::Point), of("Axis", Form::Entity(Some(Kind::Direction))),
        of("RefDirection", Form::Entity(Some(Kind::Direction))),
    ];
    LocalPlacement "IfcLocalPlacement" NOTHING [
        of("PlacementRelTo", Form::Entity(None)), of("RelativePlacement", Form::Select),
    ];
    LinearPlacement "IfcLinearPlacement" NOTHING [
        of("PlacementRelTo", Form::Entity(None)),
        of("RelativePlacement", Form::Entity(Some(Kind::AxisLinear))),
        of("CartesianPosition", Form::Entity(Some(Kind::Axis2Placement3D))),
    ];
    Context "IfcGeometricRepresentationContext" NOTHING [
        of("ContextIdentifier", Form::Text), of("ContextType", Form::Text),
        of("CoordinateSpaceDimension", Form::Number), of("Precision", Form::Number),
        of("WorldCoordinateSystem", Form::Select),
        of("TrueNorth", Form::Entity(Some(Kind::Direction))),
    ];
    SubContext "IfcGeometricRepresentationSubContext" NOTHING [
        of("ContextIdentifier", Form::Text), of("ContextType", Form::Text),
        of("CoordinateSpaceDimension", Form::Derived), of("Precision", Form::Derived),
        of("WorldCoordinateSystem", Form::Derived), of("TrueNorth", Form::Derived),
        of("ParentContext", Form::Entity(Some(Kind::Context))), of("TargetScale", Form::Number),
        of("TargetView", Form::Word), of("UserDefinedTargetView", Form::Text),
    ];
    ProductShape "IfcProductDefinitionShape" NOTHING [
        of("Name", Form::Text), of("Description", Form::Text),
        of("Representations", Form::Entities),
    ];
    ShapeRepresentation "IfcShapeRepresentation" NOTHING [
        of("ContextOfItems", Form::Entity(None)), of("RepresentationIdentifier", Form::Text),
        of("RepresentationType", Form::Text), of("Items", Form::Entities),
    ];
    RepresentationMap "IfcRepresentationMap" NOTHING [
        of("MappingOrigin", Form::Select), of("MappedRepresentation", Form::Entity(None)),
    ];
    MappedItem "IfcMappedItem" NOTHING [
        of("MappingSource", Form::Entity(Some(Kind::RepresentationMap))),
        of("MappingTarget", Form::Entity(None)),
    ];
    Transformation3D "IfcCartesianTransformationOperator3D" NOTHING [
        of("Axis1", Form::Entity(Some(Kind::Direction))),
        of("Axis2", Form::Entity(Some(Kind::Direction))),
        of("LocalOrigin", Form::Entity(Some(Kind::CartesianPoint))),
        of("Scale", Form::Number), of("Axis3", Form::Entity(Some(Kind::Direction))),
    ];
    Polyline "IfcPolyline" NOTHING [of("Points", Form::Entities)];
    IndexedPolyCurve "IfcIndexedPolyCurve" NOTHING [
        of("Points", Form::Entity(None)), of("Segments", Form::Selects),
        of("SelfIntersect", Form::Word),
    ];
    PointList3D "IfcCartesianPointList3D" NOTHING [
        of("CoordList", Form::Rows(3)), of("TagList", Form::Other),
    ];
    PointList2D "IfcCartesianPointList2D" NOTHING [
        of("CoordList", Form::Rows(2)), of("TagList", Form::Other),
    ];
    CompositeCurve "IfcCompositeCurve" NOTHING [
        of("Segments", Form::Entities), of("SelfIntersect", Form::Word),
    ];
    GradientCurve "IfcGradientCurve" NOTHING [
        of("Segments", Form::Entities), of("SelfIntersect", Form::Word),
        of("BaseCurve", Form::Entity(None)), of("EndPoint", Form::Entity(None)),
    ];
    SegmentedReferenceCurve "IfcSegmentedReferenceCurve" NOTHING [
        of("Segments", Form::Entities), of("SelfIntersect", Form::Word),
        of("BaseCurve", Form::Entity(None)), of("EndPoint", Form::Entity(None)),
    ];
    CurveSegment "IfcCurveSegment" NOTHING [
        of("Transition", Form::Word), of("Placement", Form::Entity(None)),
        of("SegmentStart", Form::Select), of("SegmentLength", Form::Select),
        of("ParentCurve", Form::Entity(None)),
    ];
    Clothoid "IfcClothoid" NOTHING [
        of("Position", Form::Select), of("ClothoidConstant", Form::Number),
    ];
    PolynomialCurve "IfcPolynomialCurve" NOTHING [
        of("Position", Form::Entity(None)), of("CoefficientsX", Form::Numbers),
        of("CoefficientsY", Form::Numbers), of("CoefficientsZ", Form::Numbers),
    ];
    PointByDistance "IfcPointByDistanceExpression" NOTHING [
        of("DistanceAlong", Form::Select), of("OffsetLateral", Form::Number),
        of("OffsetVertical", Form::Number), of("OffsetLongitudinal", Form::Number),
        of("BasisCurve", Form::Entity(None)),
    ];
    AxisLinear "IfcAxis2PlacementLinear" NOTHING [
        of("Location", Form::Entity(None)), of("Axis", Form::Entity(Some(Kind::Direction))),
        of("RefDirection", Form::Entity(Some(Kind::Direction))),
    ];
    SectionedSolid "IfcSectionedSolidHorizontal" NOTHING [
        of("Directrix", Form::Entity(None)), of("CrossSections", Form::Entities),
        of("CrossSectionPositions", Form::Entities),
    ];
    CompositeSegment "IfcCompositeCurveSegment" NOTHING [
        of("Transition", Form::Word), of("SameSense", Form::Word),
        of("ParentCurve", Form::Entity(None)),
    ];
    TrimmedCurve "IfcTrimmedCurve" NOTHING [
        of("BasisCurve", Form::Entity(None)), of("Trim1", Form::Selects),
        of("Trim2", Form::Selects), of("SenseAgreement", Form::Word),
        of("MasterRepresentation", Form::Word),
    ];
    Line "IfcLine" NOTHING [
        of("Pnt", Form::Entity(Some(Kind::CartesianPoint))),
        of("Dir", Form::Entity(Some(Kind::Vector))),
    ];
    Circle "IfcCircle" NOTHING [of("Position", Form::Select), of("Radius", Form::Number)];
    BSpline "IfcBSplineCurveWithKnots" NOTHING [
        of("Degree", Form::Number), of("ControlPointsList", Form::Entities),
        of("CurveForm", Form::Word), of("ClosedCurve", Form::Word),
        of("SelfIntersect", Form::Word), of("KnotMultiplicities", Form::Numbers),
        of("Knots", Form::Numbers), of("KnotSpec", Form::Word),
    ];
    SweptDisk "IfcSweptDiskSolid" NOTHING [
        of("Directrix", Form::Entity(None)), of("Radius", Form::Number),
        of("InnerRadius", Form::Number), of("StartParam", Form::Number),
        of("EndParam", Form::Number),
    ];
    SweptDiskPolygonal "IfcSweptDiskSolidPolygonal" NOTHING [
        of("Directrix", Form::Entity(None)), of("Radius", Form::Number),
        of("InnerRadius", Form::Number), of("StartParam", Form::Number),
        of("EndParam", Form::Number), of("FilletRadius", Form::Number),
    ];
    ExtrudedArea "IfcExtrudedAreaSolid" NOTHING [
        of("SweptArea", Form::Entity(None)),
        of("Position", Form::Entity(Some(Kind::Axis2Placement3D))),
        of("ExtrudedDirection", Form::Entity(Some(Kind::Direction))),
        of("Depth", Form::Number),
    ];
    RectangleProfile "IfcRectangleProfileDef" NOTHING [
        of("ProfileType", Form::Word), of("ProfileName", Form::Text),
        of("Position", Form::Entity(Some(Kind::Axis2Placement2D))),
        of("XDim", Form::Number), of("YDim", Form::Number),
    ];
    CircleProfile "IfcCircleProfileDef" NOTHING [
        of("ProfileType", Form::Word), of("ProfileName", Form::Text),
        of("Position", Form::Entity(Some(Kind::Axis2Placement2D))),
        of("Radius", Form::Number),
    ];
    ArbitraryProfile "IfcArbitraryClosedProfileDef" NOTHING [
        of("ProfileType", Form::Word), of("ProfileName", Form::Text),
        of("OuterCurve", Form::Entity(None)),
    ];
    Block "IfcBlock" NOTHING [
        of("Position", Form::Entity(Some(Kind::Axis2Placement3D))),
        of("XLength", Form::Number), of("YLength", Form::Number), of("ZLength", Form::Number),
    ];
    BoundingBox "IfcBoundingBox" NOTHING [
        of("Corner", Form::Entity(Some(Kind::CartesianPoint))),
        of("XDim", Form::Number), of("YDim", Form::Number), of("ZDim", Form::Number),
    ];
}

/// The entities by the length of their names: every line of a file asks, and few are as long as the one that is asked
/// for.
struct ByLength(Vec<Vec<(Vec<u8>, Kind)>>);

impl ByLength {
    fn of(name: impl Fn(&str) -> Vec<u8>) -> Self {
        let mut by_length: Vec<Vec<(Vec<u8>, Kind)>> = Vec::new();
        for kind in Kind::ALL {
            let name = name(kind.name());
            if by_length.len() <= name.len() {
                by_length.resize(name.len() + 1, Vec::new());
            }
            by_length[name.len()].push((name, *kind));
        }
        Self(by_length)
    }

    fn find(&self, name: &[u8]) -> Option<Kind> {
        let mut as_long = self.0.get(name.len())?.iter();
        as_long.find(|(known, _)| known == name).map(|(_, kind)| *kind)
    }
}

impl Kind {
    /// What is known of the entity.
    #[must_use]
    pub fn info(self) -> &'static EntityInfo {
        &ENTITIES[self as usize]
    }

    /// The name as XML writes it.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.info().name
    }

    /// The entity of this name, in upper case as in Part 21.
    #[must_use]
    pub fn of_upper(name: &[u8]) -> Option<Self> {
        static BY_LENGTH: OnceLock<ByLength> = OnceLock::new();
        let upper = |name: &str| name.to_ascii_uppercase().into_bytes();
        BY_LENGTH.get_or_init(|| ByLength::of(upper)).find(name)
    }

    /// The entity of this name as XML writes it.
    #[must_use]
    pub fn of_name(name: &[u8]) -> Option<Self> {
        static BY_LENGTH: OnceLock<ByLength> = OnceLock::new();
        BY_LENGTH.get_or_init(|| ByLength::of(|name| name.as_bytes().to_vec())).find(name)
    }

    /// Whether it has a GlobalId, as all that a person would point at.
    #[must_use]
    pub fn is_rooted(self) -> bool {
        self.info().attributes().next().is_some_and(|attribute| attribute.name == "GlobalId")
    }
}
