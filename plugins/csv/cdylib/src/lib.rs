//! The plugin for CSV as a library of its own; all that it does is done in `restrand-csv`.

restrand_kit::export_plugin!(restrand_csv::Csv);
