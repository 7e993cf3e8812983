//! Whether there is room to take a tendon out.
//!
//! It knows lengths only: which margin, which shortest piece and which stand-off are asked is the caller's.
//! Authority: geometry.

mod stub;

pub use stub::{
    MOST_PULLS, Stub, StubPlan, StubVerdict, least_behind_for_any_mm, least_behind_mm, stub_plan,
};
