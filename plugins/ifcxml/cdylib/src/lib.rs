//! The plugin for IFC as XML as a library of its own; all that it does is done in `restrand-ifcxml`.

restrand_kit::export_plugin!(restrand_ifcxml::IfcXml);
