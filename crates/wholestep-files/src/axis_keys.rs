//! The keys of every section of an axis file but `[mechanism]`, whose keys come with its kind, and
//! `[pulse]`, whose keys are those of [`Pulse`](super::Pulse).

use super::figure::{
    Current, CurvePoint, Efficiency, Figure, Force, Friction, Inductance, Inertia, Mass, Part, Resistance,
    Scatter, SpringRate, Torque, Turning, Voltage,
};
use super::thread_profile::ThreadProfile;
use super::value::FileMeasure;
use crate::keys;
use wholestep::axis::{Approach, MotorDirection};
use wholestep::carriage::{End, Wiring};
use wholestep::measure::{Acceleration, Angle, Jerk, Length, Speed, Time};
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
        /// The position at which the switch is met, outside the soft limit of that end. On a level axis
        /// that meets it moving up and approaches targets from above, or the other way round, every position stands off
        /// by the play; one test cut takes that out.
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
        /// The mass that moves.
        pub(super) load_mass: Option<Figure<Mass>>,
        /// Whether the axis stands upright, so that gravity pulls the mass along it.
        pub(super) upright: Option<bool>,
        /// On an axis that turns: how far from its pivot the mass has its centre, and springs and guides act.
        pub(super) lever: Option<Length>,
        /// The friction of the guides, or ways.
        pub(super) guide_friction: Option<Figure<Force>>,
        /// The efficiency of screw, belt or rack, above 0 and at most 1. Of a screw, give it or `screw_friction`.
        pub(super) efficiency: Option<Figure<Efficiency>>,
        /// The coefficient of friction between screw and nut.
        pub(super) screw_friction: Option<Figure<Friction>>,
        /// The outside diameter of the screw; the `thread` of `[mechanism]` tells it already.
        pub(super) screw_diameter: Option<Length>,
        /// The form of the thread; the `thread` of `[mechanism]` tells it already.
        pub(super) thread_form: Option<ThreadProfile>,
        /// The coefficient of friction of a plain collar that takes the screw's thrust; leave it out for a ball
        /// bearing.
        pub(super) collar_friction: Option<Figure<Friction>> = "0",
        /// The mean diameter of that collar.
        pub(super) collar_diameter: Option<Length>,
        /// The holding torque of the motor.
        pub(super) holding_torque: Option<Figure<Torque>>,
        /// The speed of the motor up to which it keeps that torque.
        pub(super) full_torque_to: Option<Figure<Turning>>,
        /// The speed of the motor at which no torque is left.
        pub(super) no_torque_at: Option<Figure<Turning>>,
        /// Points of the torque curve in the motor maker's data sheet, for the supply and driver in use, by
        /// rising speed; straight lines between them, and nothing beyond the last.
        pub(super) torque_points: Vec<CurvePoint> = "none",
        /// The voltage of the driver's supply. Give it with `current` and `inductance`, and the torque falls
        /// from the speed at which the current has no time to rise.
        pub(super) supply: Option<Figure<Voltage>>,
        /// The current of a phase, as the motor's label gives it and the driver is set.
        pub(super) current: Option<Figure<Current>>,
        /// The inductance of a phase.
        pub(super) inductance: Option<Figure<Inductance>>,
        /// The resistance of a phase.
        pub(super) resistance: Option<Figure<Resistance>> = "0",
        /// The inertia of the rotor.
        pub(super) rotor_inertia: Option<Figure<Inertia>>,
        /// The inertia of screw, pulleys and coupling, as the motor feels it.
        pub(super) shaft_inertia: Option<Figure<Inertia>> = "0",
        /// How far apart a switch is met from one time to the next, as one standard deviation: half of what its
        /// maker gives as ±.
        pub(super) switch_scatter: Option<Figure<Scatter>>,
        /// By what part of itself the true travel of a step may be longer than in this file: one figure for either
        /// way, as calibrating leaves it, or a range such as `"-0.01 to 0.05 %"`. A study draws it, and a rehearsal
        /// takes the middle.
        pub(super) travel_error: Option<Figure<Part>>,
    }
}

keys! {
    pub(super) struct SpringsKeys {
        /// How many springs push at the same time.
        pub(super) count: u32,
        /// By how much the force of one grows as it is compressed; `"0 N/mm"` for a gas spring.
        pub(super) rate: Figure<SpringRate>,
        /// The force of one at the soft limit toward which it pushes, where it is least compressed.
        pub(super) preload: Figure<Force>,
        /// The end toward which they push: `"low"` against the lift, `"high"` with it.
        pub(super) toward: End,
    }
}

keys! {
    pub(super) struct EffortKeys {
        /// The force that just moves the carriage toward the high end, measured at the low soft limit with the
        /// nut or belt off.
        pub(super) push_low: Option<Figure<Force>>,
        /// The same at the high soft limit.
        pub(super) push_high: Option<Figure<Force>>,
        /// The force with which the carriage just sinks back, at the low soft limit.
        pub(super) sink_low: Option<Figure<Force>>,
        /// The same at the high soft limit.
        pub(super) sink_high: Option<Figure<Force>>,
        /// The pull at the handle of a crank on the driven shaft, where raising is hardest.
        pub(super) crank_pull: Option<Figure<Force>>,
        /// From the middle of that shaft to the handle.
        pub(super) crank_arm: Option<Length>,
    }
}
