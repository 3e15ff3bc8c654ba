//! The native half of the Python package `wholestep`: one file for each class.

#![allow(
    clippy::doc_markdown,
    clippy::doc_link_with_quotes,
    reason = "docstrings are read by Python, not rustdoc"
)]
#![allow(clippy::needless_pass_by_value, reason = "arguments arrive from Python by value")]
#![allow(
    clippy::type_complexity,
    clippy::wrong_self_convention,
    clippy::trivially_copy_pass_by_ref,
    reason = "pyo3 settles the shape of a method: `&self`, and tuples for __reduce__"
)]
#![allow(clippy::format_collect, reason = "`write!` would add an error that cannot occur")]
#![allow(clippy::struct_field_names, reason = "a class wraps what it is named after")]

use pyo3::prelude::*;

mod axis;
mod boundary;
mod buffer;
mod calibration;
mod carriage;
mod command;
mod conformance;
mod curved;
mod cut_list;
mod cuts;
mod drive_train;
mod effort;
mod enclosure;
mod error;
mod grid_fit;
mod interruptible;
mod leg;
mod linear;
mod measure;
mod mechanism;
mod number;
mod placement;
mod plan;
mod rate;
mod registry;
mod rehearsal;
mod repeatability;
mod study;
mod thread;
mod tilted_blade;
mod travel_check;
mod twin;
mod whole;
mod word;

/// The native half of `wholestep`; import `wholestep` instead.
#[pymodule(gil_used = false)]
mod _native {
    #[pymodule_export]
    use super::axis::Axis;
    #[pymodule_export]
    use super::boundary::_defect;
    #[pymodule_export]
    use super::calibration::hold_against;
    #[pymodule_export]
    use super::carriage::{Carriage, Detent, Fault, Inputs, Output, Quadrature, StepEdge};
    #[pymodule_export]
    use super::command::command;
    #[pymodule_export]
    use super::conformance::{Conformance, check_conformance};
    #[pymodule_export]
    use super::curved::{ScrewTilt, SwingArm};
    #[pymodule_export]
    use super::cut_list::{load_cut_list, load_parts, work_out};
    #[pymodule_export]
    use super::drive_train::DriveTrain;
    #[pymodule_export]
    use super::effort::work_out_effort;
    #[pymodule_export]
    use super::enclosure::Enclosure;
    #[pymodule_export]
    use super::grid_fit::GridFit;
    #[pymodule_export]
    use super::leg::Leg;
    #[pymodule_export]
    use super::linear::Linear;
    #[pymodule_export]
    use super::measure::{Angle, Length};
    #[pymodule_export]
    use super::placement::Placement;
    #[pymodule_export]
    use super::plan::Plan;
    #[pymodule_export]
    use super::rate::{Acceleration, Jerk, Speed};
    #[pymodule_export]
    use super::registry::{_forget_kinds, register};
    #[pymodule_export]
    use super::rehearsal::run_rehearsal;
    #[pymodule_export]
    use super::repeatability::Repeatability;
    #[pymodule_export]
    use super::study::{look_at_study, machines_left, run_trials, sum_up};
    #[pymodule_export]
    use super::thread::Thread;
    #[pymodule_export]
    use super::tilted_blade::{DepthOfCut, TiltedBlade};
    #[pymodule_export]
    use super::travel_check::TravelCheck;
    #[pymodule_export]
    use super::twin::{GroundTruth, Twin};

    #[pymodule_export]
    #[expect(non_upper_case_globals, reason = "the name Python gives a package's version")]
    const __version__: &str = env!("CARGO_PKG_VERSION");
}
