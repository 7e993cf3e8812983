//! From a model's entities to records.
