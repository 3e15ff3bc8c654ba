//! A simulated machine on which a job can be rehearsed before a cutter spins.
//!
//! [`Machine`] receives what a driver receives: pulses, a direction, a drive-enable level. It returns
//! what a controller reads: the levels of switches, probe, enable button and dial, bounce included. Its
//! dynamics are its own, and it keeps the [`GroundTruth`] beside what the pulses asked for. It is seeded: the
//! same seed and the same pulses give the same truth. Quantities are in SI units and in floating point;
//! nothing exact is decided here.
//!
//! What it leaves out: the carriage is rigid on its nut, the motor's two phases are ideal, friction does
//! not change with temperature or wear, and in [`Fidelity::Quasistatic`] the rotor neither lags nor
//! rings, and viscous torque does not slow a shaft that coasts. A rehearsal shows that a job is sound on
//! a machine like this one; it makes no machine safe.
#![expect(clippy::cast_precision_loss, reason = "ticks and steps become floats here, below 2^53")]

mod body;
mod clock;
mod commissioning;
mod conformance;
mod ground_truth;
mod inputs;
mod machine;
mod messages;
mod motion;
mod parameters;
mod random;
mod rehearsal;
mod schedule;
mod told;
mod twin;

pub use commissioning::{Commissioning, Exchanged, Moved, Trouble};
pub use conformance::{Conformance, Failure, Report};
pub use ground_truth::{GroundTruth, Record, TorqueUse};
pub use inputs::{Direction, Input, RawInputs};
pub use machine::Machine;
pub use parameters::{
    Bounce, Fidelity, Load, MachineParameters, Motor, Normally, ParameterError, Probe, Screw, Side, Switch,
    TorqueCurve, Transmission, Winding,
};
pub use rehearsal::{Done, Findings, Rehearsable, Rehearsal, Sample, Scale, Watch};
pub use schedule::{Fault, FaultKind, Hand};
pub use told::{Forces, GRAVITY, Taken};
pub use twin::{Moment, Passed, Twin, TwinCarriage};

/// The examples of the crate's README, which are tested with those of its documentation.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
