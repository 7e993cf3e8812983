//! The plugin for IFC as STEP physical files as a library of its own; all that it does is done in `restrand-ifcspf`.

restrand_kit::export_plugin!(restrand_ifcspf::IfcSpf);
