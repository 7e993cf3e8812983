//! What of the making of a duct or a form is not stated, so that nothing can be said to pass at worst.
//!
//! What is absent is not zero: a clash without it is one all the same, and room without it is not known.

use restrand_model::schedule::{Duct, Form};

/// The first field that makes the duct wider at worst and is absent.
pub(crate) const fn of_duct(duct: &Duct) -> Option<&'static str> {
    match (duct.tolerance_mm, duct.ovality_mm) {
        (None, _) => Some("duct.tolerance_mm"),
        (_, None) => Some("duct.ovality_mm"),
        _ => None,
    }
}

/// The first field that makes the form's throat narrower at worst and is absent.
pub(crate) const fn of_form(form: &Form) -> Option<&'static str> {
    match (form.tolerance_mm, form.ovality_mm, form.seam_mm) {
        (None, ..) => Some("form.tolerance_mm"),
        (_, None, _) => Some("form.ovality_mm"),
        (.., None) => Some("form.seam_mm"),
        _ => None,
    }
}
