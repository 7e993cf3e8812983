//! The plugin for workbooks as a library of its own; all that it does is done in `restrand-workbook`.

restrand_kit::export_plugin!(restrand_workbook::Workbook);
