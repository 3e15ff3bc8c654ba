//! The keys of every section of an axis file but `[mechanism]`, whose keys come with its kind, and
//! `[pulse]`, whose keys are those of [`Pulse`](super::Pulse).

use super::value::FileMeasure;
use crate::keys;
use wholestep::axis::{Approach, MotorDirection};
use wholestep::carriage::{End, Wiring};
use wholestep::measure::{Acceleration, Angle, Jerk, Speed, Time};
use wholestep::mechanism::StepMode;

keys! {
    pub(super) fn root_keys {
        /// The version of the format: 1.
        version: i64,
        /// The name of the axis, one line of at most 80 characters.
        name: String,
        /// The kind of mechanism: `lead_screw`, `belt`, `rack`, `drum`, `measured`, `rotary`, `swing_arm`,
        /// `screw_tilt`, or one that was added.
        kind: String,
        /// The unit of every quoted number without one: `"mm"`, `"in"`, `"deg"`.
        unit: Option<String>,
    }
}

keys! {
    pub(super) struct MotorKeys {
        /// The motor's full step, which its label gives: `"1.8 deg"` makes 200 full steps a turn.
        pub(super) step_angle: Angle,
        /// The step mode that the driver's switches are set to; a whole number of steps to a full step will
        /// do.
        pub(super) step_mode: StepMode,
        /// Teeth on the motor's side of each pair of gears or pulleys.
        pub(super) driver_teeth: Vec<u32> = "no gears",
        /// Teeth on the driven side of each pair, in the same order.
        pub(super) driven_teeth: Vec<u32> = "no gears",
    }
}

keys! {
    pub(super) struct LimitsKeys<M: FileMeasure> {
        /// The lowest position that a target may have.
        pub(super) low: M,
        /// The highest.
        pub(super) high: M,
        /// Where the axis stands at the mechanism's step 0.
        pub(super) step_zero_at: Option<M> = "0",
    }
}

keys! {
    pub(super) struct MotionKeys<M: FileMeasure> {
        /// The highest speed.
        pub(super) speed: Speed<M>,
        /// How fast the axis speeds up.
        pub(super) acceleration: Acceleration<M>,
        /// How fast it slows down.
        pub(super) deceleration: Option<Acceleration<M>> = "the acceleration",
        /// How fast the acceleration may change; a move with it is jerk-limited.
        pub(super) jerk: Option<Jerk<M>>,
        /// The speed at which a move may start and end at once; leave it out if a jerk is given.
        pub(super) start_speed: Option<Speed<M>> = "0",
        /// The play that was measured: what is lost when the motor turns round. Give `approach` with it.
        pub(super) backlash: Option<M> = "0",
        /// `"reversed"` if the first creep goes the wrong way.
        pub(super) direction: Option<MotorDirection> = "`\"normal\"`",
        /// The side from which every target is approached, so that the play lies on one flank.
        pub(super) approach: Option<Approach> = "`\"either\"`",
    }
}

keys! {
    pub(super) struct SwitchesKeys<M: FileMeasure> {
        /// How the switch at the low end is wired, if there is one. A broken wire of a normally closed switch
        /// is found; that of a normally open one is not.
        pub(super) low: Option<Wiring>,
        /// How the switch at the high end is wired, if there is one.
        pub(super) high: Option<Wiring>,
        /// How long a contact must stand still to count.
        pub(super) contact_settle: Option<Time> = "10 ms",
        /// How far the axis may go away from a pressed switch before it must open.
        pub(super) release_within: Option<M> = "a twentieth of the travel",
    }
}

keys! {
    pub(super) struct DatumKeys<M: FileMeasure> {
        /// The end whose switch is searched for.
        pub(super) end: End,
        /// The position at which the switch is met, outside the soft limit of that end.
        pub(super) switch_at: M,
        /// The speed of the search.
        pub(super) fast: Speed<M>,
        /// The speed of the two approaches that decide the datum; they must agree.
        pub(super) slow: Speed<M>,
        /// How far to go off the switch before the slow approach.
        pub(super) clearance: M,
        /// How far to search at most.
        pub(super) within: M,
    }
}

keys! {
    pub(super) struct TouchOffKeys<M: FileMeasure> {
        /// How the probe is wired.
        pub(super) probe: Wiring,
        /// The end toward which the axis creeps until the probe is touched.
        pub(super) toward: Option<End> = "`\"high\"`",
        /// How far to creep at most.
        pub(super) within: M,
    }
}

keys! {
    pub(super) struct HandKeys<M: FileMeasure> {
        /// The highest speed by hand.
        pub(super) jog: Option<Speed<M>> = "a tenth of the axis's speed",
        /// Whether a rocker switch is fitted.
        pub(super) rocker: Option<bool> = "`false`",
        /// Counts of the dial from one detent to the next. Give `ahead` and `hand_stops` with it.
        pub(super) counts_per_detent: Option<u32> = "no dial",
        /// How far the dial may run ahead of the motor.
        pub(super) ahead: Option<M> = "no dial",
        /// How long the dial must rest before the hand counts as stopped.
        pub(super) hand_stops: Option<Time> = "no dial",
    }
}

keys! {
    pub(super) struct DriveKeys {
        /// How long the drive takes to hold the motor once it is switched on.
        pub(super) settle: Option<Time> = "100 ms",
        /// Whether the load stays if the drive is off, as on a screw that a weight does not turn.
        pub(super) self_holding: Option<bool> = "`true`",
    }
}

keys! {
    pub(super) struct CommissioningKeys<M: FileMeasure> {
        /// How far the nudge goes whose direction a person confirms.
        pub(super) nudge: Option<M> = "a hundredth of the travel, at least 0.5 mm or deg",
        /// How far the travel goes that a person measures.
        pub(super) measured_travel: Option<M> = "a tenth of the travel, at least 1 mm or deg",
    }
}

keys! {
    pub(super) struct MachineKeys {
        /// The mass that moves, in kg: `"12 kg"`.
        pub(super) load_mass: Option<String>,
        /// Whether the axis stands upright, so that gravity pulls the mass along it.
        pub(super) upright: Option<bool>,
        /// The friction of the guides, in N.
        pub(super) guide_friction: Option<String>,
        /// The efficiency of screw, belt or rack, above 0 and at most 1.
        pub(super) efficiency: Option<String>,
        /// The holding torque of the motor, in N·m.
        pub(super) holding_torque: Option<String>,
        /// The speed of the motor up to which it keeps that torque, in rev/min.
        pub(super) full_torque_to: Option<String>,
        /// The speed of the motor at which no torque is left, in rev/min.
        pub(super) no_torque_at: Option<String>,
        /// The inertia of the rotor, in g·cm².
        pub(super) rotor_inertia: Option<String>,
    }
}
