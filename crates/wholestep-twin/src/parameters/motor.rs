//! The motor and the driver in front of it.

use super::error::{ParameterError, consistent, within};

/// A two-phase stepper motor and its driver.
#[derive(Clone, Debug, PartialEq)]
pub struct Motor {
    /// Full steps a turn, 4 to 1,000: 200 for 1.8 degrees.
    pub full_steps_per_turn: u32,
    /// Steps of the driver to one full step, 1 to 256.
    pub step_mode: u32,
    /// Inertia of the rotor, kg·m², 1e-9 to 1.
    pub rotor_inertia: f64,
    /// The greatest torque the field pulls with, against speed.
    pub torque: TorqueCurve,
    /// Amplitude of the detent torque, N·m, 0 to the holding torque. Its rest positions are the full
    /// steps, so it repeats once a full step.
    pub detent: f64,
    /// Torque in proportion to speed, N·m·s/rad, 0 to 10.
    pub viscous: f64,
    /// Shortest time between two pulses the driver takes notice of, s, 0 to 0.001; a closer one is missed.
    pub shortest_interval: f64,
    /// Whether the driver keeps its place in the electrical cycle while released. After a power cut it
    /// always starts the cycle anew.
    pub keeps_phase: bool,
}

impl Motor {
    /// Returns the angle of one step of the driver, rad.
    ///
    /// ```
    /// let motor = wholestep_twin::MachineParameters::router_lift().motor;
    /// assert!((motor.step_angle().to_degrees() - 1.8 / 16.0).abs() < 1e-12);
    /// ```
    pub fn step_angle(&self) -> f64 {
        core::f64::consts::TAU / f64::from(self.full_steps_per_turn) / f64::from(self.step_mode)
    }

    /// Returns the torque, N·m, with which the field pulls a rotor that is `lag` full steps behind it, while it
    /// turns at `speed` rad/s: a sine with a period of four full steps.
    ///
    /// ```
    /// let motor = wholestep_twin::MachineParameters::router_lift().motor;
    /// assert_eq!(motor.pull(1.0, 0.0), motor.torque.holding());
    /// assert!(motor.pull(3.0, 0.0) < 0.0);
    /// ```
    pub fn pull(&self, lag: f64, speed: f64) -> f64 {
        self.torque.at(speed) * libm::sin(core::f64::consts::FRAC_PI_2 * lag)
    }

    pub(crate) fn check(&self) -> Result<(), ParameterError> {
        within("full steps per turn", f64::from(self.full_steps_per_turn), (4.0, 1000.0), "steps")?;
        within("step mode", f64::from(self.step_mode), (1.0, 256.0), "steps to a full step")?;
        within("rotor inertia", self.rotor_inertia, (1e-9, 1.0), "kg·m²")?;
        self.torque.check()?;
        within("detent torque", self.detent, (0.0, self.torque.holding()), "N·m")?;
        within("viscous torque", self.viscous, (0.0, 10.0), "N·m·s/rad")?;
        within("shortest pulse interval", self.shortest_interval, (0.0, 1e-3), "s")
    }
}

/// The greatest torque a motor pulls with, N·m, against its speed, rad/s; at rest it is the holding
/// torque. Take it from the maker's pull-out curve for the supply in use.
#[derive(Clone, Debug, PartialEq)]
pub enum TorqueCurve {
    /// Constant up to a corner speed, then falling on a straight line to nothing.
    Linear {
        /// Holding torque, N·m.
        holding: f64,
        /// Speed up to which it is kept, rad/s.
        corner: f64,
        /// Speed at which nothing is left, rad/s.
        zero: f64,
    },
    /// Constant up to a corner speed, then in inverse proportion to speed: constant power, as when the
    /// current has too little time to rise.
    Inverse {
        /// Holding torque, N·m.
        holding: f64,
        /// Speed up to which it is kept, rad/s.
        corner: f64,
    },
    /// Rows of speed and torque, speed rising from 0; straight lines between them and nothing beyond.
    Table(Vec<(f64, f64)>),
}

impl TorqueCurve {
    /// Returns the curve of a motor whose current just rises within a full step at the corner speed.
    pub fn from_winding(holding: f64, winding: &Winding, full_steps_per_turn: u32) -> Self {
        Self::Inverse { holding, corner: winding.corner_speed(full_steps_per_turn) }
    }

    /// Returns the torque at rest, N·m.
    pub fn holding(&self) -> f64 {
        self.at(0.0)
    }

    /// Returns the torque at `speed` rad/s of either sign, N·m.
    ///
    /// ```
    /// use wholestep_twin::TorqueCurve;
    /// let curve = TorqueCurve::Linear { holding: 1.6, corner: 20.0, zero: 80.0 };
    /// assert_eq!([0.0, 20.0, -50.0, 90.0].map(|speed| curve.at(speed)), [1.6, 1.6, 0.8, 0.0]);
    /// ```
    pub fn at(&self, speed: f64) -> f64 {
        let speed = speed.abs();
        match self {
            Self::Linear { holding, corner, zero } => {
                holding * ((zero - speed) / (zero - corner)).clamp(0.0, 1.0)
            }
            Self::Inverse { holding, corner } => holding * (corner / speed.max(*corner)),
            Self::Table(rows) => rows.windows(2).find(|pair| speed <= pair[1].0).map_or(0.0, |pair| {
                let ((low, from), (high, to)) = (pair[0], pair[1]);
                from + (to - from) * (speed - low) / (high - low)
            }),
        }
    }

    fn check(&self) -> Result<(), ParameterError> {
        let corner_range = |corner| within("corner speed", corner, (1e-3, 1e5), "rad/s");
        match self {
            Self::Linear { corner, zero, .. } => {
                corner_range(*corner)?;
                within("speed without torque", *zero, (1e-3, 1e5), "rad/s")?;
                consistent(
                    "torque curve",
                    zero > corner,
                    "the speed without torque must exceed the corner speed",
                )?;
            }
            Self::Inverse { corner, .. } => corner_range(*corner)?,
            Self::Table(rows) => {
                consistent(
                    "torque curve",
                    rows.len() >= 2 && rows[0].0 == 0.0 && rows.windows(2).all(|pair| pair[0].0 < pair[1].0),
                    "give at least two rows, the first at speed 0, with rising speeds",
                )?;
                for (speed, torque) in rows {
                    within("speed of a torque row", *speed, (0.0, 1e5), "rad/s")?;
                    within("torque of a row", *torque, (0.0, 1e4), "N·m")?;
                }
            }
        }
        within("holding torque", self.holding(), (1e-6, 1e4), "N·m")
    }
}

/// The winding of one phase on its supply.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Winding {
    /// Inductance, H, above 0.
    pub inductance: f64,
    /// Resistance, Ω, 0 or more.
    pub resistance: f64,
    /// Supply, V; more than current times resistance.
    pub supply: f64,
    /// Rated current, A, above 0.
    pub current: f64,
}

impl Winding {
    /// Makes a winding the supply can drive to its rated current.
    ///
    /// # Errors
    /// [`ParameterError`] if a value is not positive, or the supply cannot reach the current.
    pub fn new(inductance: f64, resistance: f64, supply: f64, current: f64) -> Result<Self, ParameterError> {
        within("inductance", inductance, (1e-7, 10.0), "H")?;
        within("resistance", resistance, (0.0, 1e4), "Ω")?;
        within("supply", supply, (0.1, 1e3), "V")?;
        within("current", current, (1e-4, 100.0), "A")?;
        let reaches = supply > current * resistance;
        consistent("supply", reaches, "current times resistance must be less than the supply voltage")?;
        Ok(Self { inductance, resistance, supply, current })
    }

    /// Returns the time in which the current rises from its full negative to its full positive value, s:
    /// `(L/R)·ln((V + IR)/(V − IR))`, which without resistance is `2LI/V`.
    ///
    /// ```
    /// let winding = wholestep_twin::Winding::new(0.010, 0.0, 12.0, 0.010)?;
    /// assert!((winding.rise_time() - 16.667e-6).abs() < 1e-9);
    /// # Ok::<(), wholestep_twin::ParameterError>(())
    /// ```
    pub fn rise_time(&self) -> f64 {
        let drop = self.current * self.resistance / self.supply;
        let ideal = 2.0 * self.inductance * self.current / self.supply;
        if drop > 0.0 { ideal * libm::atanh(drop) / drop } else { ideal }
    }

    /// Returns the speed at which one full step takes the rise time, rad/s.
    pub fn corner_speed(&self, full_steps_per_turn: u32) -> f64 {
        core::f64::consts::TAU / (self.rise_time() * f64::from(full_steps_per_turn))
    }
}
