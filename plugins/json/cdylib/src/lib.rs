//! The plugin for JSON as a library of its own; all that it does is done in `restrand-json`.

restrand_kit::export_plugin!(restrand_json::Json);
