//! What is known of a reading besides the values: where each stands in the file, and what went wrong.

mod problem;
mod provenance;
mod question;
mod understood;

pub use problem::{Problem, ProblemKind, subject_path};
pub use provenance::{
    Apart, At, Column, Grid, Origin, Place, Provenance, Span, Spot, Standing, Table,
};
pub use question::Question;
pub use understood::{
    PROPERTY_SET, Remark, Sureness, Understood, UnderstoodColumn, UnderstoodTable,
};
