//! The machine that an axis file tells of, and what was assumed where it tells nothing.

use wholestep::axis::{AnyAxis, MotorDirection};
use wholestep::carriage::{AnyEquipment, CarriageConfig, End, Equipment, Wiring};
use wholestep::error::Error;
use wholestep::mechanism::DriveTrain;
use wholestep::{Axis, Exact, Measure, Mechanism};
use wholestep_files::{AxisFile, MachineData, Range};

use super::scale::{Scale, float};
use crate::ParameterError;
use crate::messages;
use crate::parameters::{
    Bounce, Fidelity, Load, MachineParameters, Motor, Probe, Side, Switch, TorqueCurve, Transmission,
};
use crate::told::{Forces, GRAVITY, Taken};

/// An axis on which a job can be rehearsed.
#[derive(Clone, Debug)]
pub struct Rehearsable {
    /// The carriage's configuration.
    pub configuration: CarriageConfig,
    /// The machine.
    pub machine: MachineParameters,
    /// Where on the machine a position of the axis lies.
    pub scale: Scale,
    /// What the file does not tell and was assumed, a line each.
    pub assumed: Vec<String>,
    /// Whether any of that is what torque depends on: motor, gears, screw, load or friction.
    pub torque_is_assumed: bool,
}

impl Rehearsable {
    /// Makes the axis of `file`, with a machine of common figures if the file tells none. `seed` decides
    /// where the carriage stands at first.
    ///
    /// # Errors
    /// [`ErrorKind::Key`](wholestep::ErrorKind::Key) for an axis without `[datum]`, [`ErrorKind::Mechanism`](wholestep::ErrorKind::Mechanism)
    /// for a machine that cannot be simulated.
    pub fn new(file: &AxisFile, seed: u64) -> Result<Self, Error> {
        match (file.axis(), file.equipment()) {
            (AnyAxis::Length(axis), AnyEquipment::Length(equipment)) => {
                Self::of(file, axis, equipment, &ALONG, seed)
            }
            (AnyAxis::Angle(axis), AnyEquipment::Angle(equipment)) => {
                let lever = file.machine_data().lever.map(|lever| 1e-3 * float(lever.base()));
                Self::of(file, axis, equipment, &Way::round(lever), seed)
            }
            // A file fits out the axis that it tells of.
            _ => Err(messages::MACHINE_FOR_A_REHEARSAL.error()),
        }
    }

    fn of<M: Mechanism>(
        file: &AxisFile,
        axis: &Axis<M>,
        equipment: &Equipment<M::Measure>,
        way: &Way,
        seed: u64,
    ) -> Result<Self, Error> {
        let Some(datum) = &equipment.datum else {
            return Err(messages::AXIS_WITHOUT_A_DATUM.error());
        };
        let scale = Scale::new(axis, way.metres)?;
        let metres = |at: M::Measure| scale.on_machine(float(at.base()));
        let configuration = *file.carriage_config();
        let mut assumed = Vec::new();
        let limits = (metres(axis.config().low), metres(axis.config().high));
        let switch = metres(datum.switch_at);
        let outside = match datum.end {
            End::Low => limits.0 - switch,
            End::High => switch - limits.1,
        };
        let beyond = outside.max(2e-3);
        let at = |end: End| match end {
            end if end == datum.end => switch,
            End::Low => limits.0 - outside,
            End::High => limits.1 + outside,
        };
        if equipment.low_switch.is_some() && equipment.high_switch.is_some() {
            assumed.push("the other switch as far outside its soft limit as the one of the datum".into());
        }
        let stops = beyond / way.metres;
        assumed.push(format!("end stops {stops:.1} {} beyond the switches", way.unit));
        let (low_stop, high_stop) = (at(End::Low) - beyond, at(End::High) + beyond);
        let of_its_places = assumed.len();
        let (motor, transmission) = drive(file, axis, &scale, limits.1 - limits.0, &mut assumed)?;
        let load = load(file, limits, (low_stop, high_stop), part(seed), &mut assumed);
        if way.turns {
            let lever = match file.machine_data().lever {
                Some(_) => String::new(),
                None => format!("load and friction {} mm from the pivot, and ", Scale::LEVER * 1e3),
            };
            assumed.push(lever + "a weight level with its pivot");
        }
        if !scale.is_even() {
            assumed.push("the same effort for each step, although the steps are unequal".into());
        }
        let torque_is_assumed = assumed.len() > of_its_places;
        assumed.push("switches that bounce up to 6.2 ms".into());
        let scatter = 1e-6
            * take(&mut assumed, file.machine_data().switch_scatter, 5.0, "switches that repeat to 5 µm");
        let touch = configuration.parts().touch;
        let agreement = touch.map_or(0.0, |touch| touch.agreement as f64) * scale.travel().abs();
        let fitted = |end: End, wiring: Option<Wiring>| {
            wiring.map(|wiring| Switch {
                at: at(end),
                side: if end == End::Low { Side::Below } else { Side::Above },
                hysteresis: 0.2e-3,
                scatter,
                normally: wiring.into(),
                bounce: Bounce::COMMON,
            })
        };
        let machine = MachineParameters {
            motor,
            transmission,
            load,
            low_switch: fitted(End::Low, equipment.low_switch),
            high_switch: fitted(End::High, equipment.high_switch),
            probe: probe(equipment, agreement, seed),
            hand_bounce: Bounce::COMMON,
            fidelity: Fidelity::Quasistatic,
        };
        Ok(Self { configuration, machine, scale, assumed, torque_is_assumed })
    }
}

/// What is carried, and what it runs between. What was measured by pushing goes before mass and springs.
fn load(
    file: &AxisFile,
    (low, high): (f64, f64),
    (low_stop, high_stop): (f64, f64),
    start: f64,
    assumed: &mut Vec<String>,
) -> Load {
    let data = file.machine_data();
    let mass = take(assumed, data.load_mass, 5.0, "a load of 5 kg");
    let pushed = data.pushed.and(Forces::told(data, high - low, GUIDES, Taken::Middle));
    let guide_friction = match pushed.filter(|_| data.pushed.is_some_and(|pushed| pushed.sink.is_some())) {
        Some(forces) => forces.guides[0].max(forces.guides[1]),
        None => take(assumed, data.guide_friction, GUIDES, "10 N of friction in the guides"),
    };
    let upright = data.upright.unwrap_or_else(|| {
        if pushed.is_none() {
            assumed.push("the axis lying, not upright".into());
        }
        false
    });
    let net = pushed.map_or_else(|| Forces::of_springs(data, high - low, Taken::Middle), |forces| forces.net);
    let spring_rate = (net[1] - net[0]) / (high - low);
    Load {
        mass,
        gravity: if upright && pushed.is_none() { GRAVITY } else { 0.0 },
        spring: spring_rate * low - net[0],
        spring_rate,
        guide_friction,
        low_stop,
        high_stop,
        start: low + (high - low) * start,
    }
}

/// Friction of guides that the file does not tell, N.
const GUIDES: f64 = 10.0;

/// The middle of what is given, or else what is usual, which is noted in `assumed`.
fn take(assumed: &mut Vec<String>, given: Option<Range>, usual: f64, what: &str) -> f64 {
    given.map_or_else(
        || {
            assumed.push(what.to_owned());
            usual
        },
        |given| Taken::Middle.of(given),
    )
}

/// A plate of no height yet, and a cutter a little longer or shorter than the last: by no more than half of what a
/// touch may be off, `agreement`, for a longer one is a fault that the job has to be asked for.
fn probe<Q: Measure>(equipment: &Equipment<Q>, agreement: f64, seed: u64) -> Option<Probe> {
    equipment.touch_off.map(|touch| Probe {
        plate: 0.0,
        cutter: agreement * (part(seed.wrapping_add(1)) - 0.5),
        scatter: 2e-6,
        normally: touch.probe.into(),
        bounce: Bounce { longest: 1e-3 },
        in_place: false,
    })
}

fn drive<M: Mechanism>(
    file: &AxisFile,
    axis: &Axis<M>,
    scale: &Scale,
    along: f64,
    assumed: &mut Vec<String>,
) -> Result<(Motor, Transmission), Error> {
    let (drive, data) = (file.drive_train(), file.machine_data());
    let motor = motor(data, drive, assumed)?;
    let sign = if axis.config().direction == MotorDirection::Normal { 1.0 } else { -1.0 };
    let longer = data.travel_error.map_or(0.0, |error| Taken::Middle.of(error));
    let (travel, angle) = (sign * scale.travel() * (1.0 + longer), motor.step_angle());
    let turns = float(drive.turns_per_motor_turn());
    let pushed = Forces::told(data, along, GUIDES, Taken::Middle);
    let crank =
        pushed.map(|forces| forces.push_up(0.0).max(forces.push_up(1.0)) * (travel / angle).abs() / turns);
    let told = Transmission::told(data, travel, angle, crank, Taken::Middle).map_err(impossible)?;
    let mut transmission = match told {
        Some(told) => Ok(told),
        None => usual_transmission(file.kind(), travel, angle, assumed),
    }
    .map_err(impossible)?;
    transmission.inertia = data.shaft_inertia.map_or(0.0, |inertia| 1e-7 * Taken::Middle.of(inertia));
    transmission.backlash = scale.stretch(float(axis.config().backlash.base()));
    Ok((motor, transmission))
}

fn motor(data: &MachineData, drive: DriveTrain, assumed: &mut Vec<String>) -> Result<Motor, Error> {
    let full_steps = Exact::integer(360).checked_div(drive.step_angle().base())?;
    let full_steps = u32::try_from(full_steps.round(wholestep::Rounding::Nearest)).unwrap_or(200);
    let torque = match TorqueCurve::told(data, full_steps, Taken::Middle).map_err(impossible)? {
        Some(told) => told,
        None => usual_curve(data, assumed),
    };
    let inertia = take(assumed, data.rotor_inertia, 300.0, "a rotor of 300 g·cm²");
    Ok(Motor {
        full_steps_per_turn: full_steps,
        step_mode: drive.step_mode().division(),
        rotor_inertia: inertia * 1e-7,
        detent: 0.03 * torque.holding(),
        torque,
        viscous: 0.0,
        shortest_interval: 0.0,
        keeps_phase: true,
    })
}

#[expect(clippy::needless_pass_by_value, reason = "handed to map_err")]
fn impossible(error: ParameterError) -> Error {
    messages::MACHINE_FOR_A_REHEARSAL.error().advice(error.to_string())
}

/// A screw, belt or rack of common efficiency.
fn usual_transmission(
    kind: &str,
    travel: f64,
    angle: f64,
    assumed: &mut Vec<String>,
) -> Result<Transmission, ParameterError> {
    let usual = match kind {
        "lead_screw" | "swing_arm" | "screw_tilt" => 0.3,
        "measured" | "rotary" => 0.5,
        _ => 0.85,
    };
    assumed.push(format!("an efficiency of {usual} from motor to carriage"));
    Transmission::from_efficiency(travel, angle, usual)
}

/// The torque of a common motor, as far as the file tells no other.
fn usual_curve(data: &MachineData, assumed: &mut Vec<String>) -> TorqueCurve {
    let turns = |a_minute: f64| a_minute / 60.0 * core::f64::consts::TAU;
    let holding = take(assumed, data.holding_torque, 0.9, "a motor that holds 0.9 N·m");
    let corner = take(assumed, data.full_torque_to, 300.0, "its torque kept up to 300 rev/min");
    let none =
        take(assumed, data.no_torque_at, 1500.0_f64.max(2.0 * corner), "no torque left at 1500 rev/min");
    TorqueCurve::Linear { holding, corner: turns(corner), zero: turns(none) }
}

/// How an axis moves, as the machine knows it.
struct Way {
    /// Metres to a millimetre or a degree.
    metres: f64,
    unit: &'static str,
    turns: bool,
}

const ALONG: Way = Way { metres: 1e-3, unit: "mm", turns: false };

impl Way {
    /// Of an axis that turns, with its load so many metres from the pivot.
    fn round(lever: Option<f64>) -> Self {
        let metres = lever.unwrap_or(Scale::LEVER).to_radians();
        Self { metres, unit: "deg", turns: true }
    }
}

/// A number from 0.1 to 0.9, one for each seed.
fn part(seed: u64) -> f64 {
    let mixed = seed.wrapping_add(1).wrapping_mul(0x9e37_79b9_7f4a_7c15) >> 32;
    0.1 + 0.8 * mixed as f64 / 4_294_967_296.0
}
