//! What a machine is made of, in SI units.

mod contacts;
pub(crate) mod error;
mod motor;
mod presets;
mod screw;
mod transmission;

pub use contacts::{Bounce, Normally, Probe, Side, Switch};
pub use error::ParameterError;
pub(crate) use error::{consistent, within};
pub use motor::{Motor, TorqueCurve, Winding};
pub use screw::Screw;
pub use transmission::{Load, Transmission};

/// How closely the motion is followed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Fidelity {
    /// The rotor stands on the commanded step as long as the torque needed, from the load and from the
    /// acceleration the pulses ask for, is available; otherwise it slips. Millions of pulses a second.
    #[default]
    Quasistatic,
    /// The rotor's equation of motion is integrated, with its lag and ringing.
    Dynamic,
}

/// A whole machine. Lengths in m, forces in N, torques in N·m, times in s.
///
/// ```
/// use wholestep_twin::{Machine, MachineParameters};
/// let mut lift = MachineParameters::router_lift();
/// lift.motor.rotor_inertia = 0.0;
/// let refused = Machine::new(lift, 1, 1_000_000).unwrap_err();
/// assert_eq!(refused.to_string(), "rotor inertia is 0 kg·m²; allowed is 0.000000001 to 1 kg·m²");
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct MachineParameters {
    /// The motor and its driver.
    pub motor: Motor,
    /// The screw or belt.
    pub transmission: Transmission,
    /// What is moved, and between which end stops.
    pub load: Load,
    /// The switch at the low end, if there is one.
    pub low_switch: Option<Switch>,
    /// The switch at the high end, if there is one.
    pub high_switch: Option<Switch>,
    /// The touch probe, if there is one.
    pub probe: Option<Probe>,
    /// Bounce of the enable button and of each channel of the dial.
    pub hand_bounce: Bounce,
    /// How closely the motion is followed.
    pub fidelity: Fidelity,
}

impl MachineParameters {
    /// Refuses a machine that cannot exist.
    ///
    /// # Errors
    /// [`ParameterError`] with the parameter, what was given and what is allowed.
    pub fn check(&self) -> Result<(), ParameterError> {
        self.motor.check()?;
        self.transmission.check(self.motor.step_angle())?;
        self.load.check()?;
        for switch in [&self.low_switch, &self.high_switch].into_iter().flatten() {
            switch.check()?;
        }
        if let Some(probe) = &self.probe {
            probe.check()?;
        }
        self.hand_bounce.check()
    }
}
