//! The machine that an axis file tells of, and what was assumed where it tells nothing.

use wholestep::axis::{AnyAxis, MotorDirection};
use wholestep::carriage::{AnyEquipment, CarriageConfig, End, Equipment, Wiring};
use wholestep::error::Error;
use wholestep::{Axis, Exact, Measure, Mechanism};
use wholestep_files::AxisFile;

use super::scale::{Scale, float};
use crate::messages;
use crate::parameters::{
    Bounce, Fidelity, Load, MachineParameters, Motor, Probe, Side, Switch, TorqueCurve, Transmission,
};

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
}

/// Standard gravity, m/s² (3rd CGPM, 1901).
const GRAVITY: f64 = 9.806_65;

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
                Self::of(file, axis, equipment, &ROUND, seed)
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
        let (motor, transmission) = drive(file, axis, &scale, &mut assumed)?;
        let figures = file.machine_data();
        let mut take = |given: Option<Exact>, usual: f64, what: &str| {
            given.map_or_else(
                || {
                    assumed.push(what.to_owned());
                    usual
                },
                float,
            )
        };
        let mass = take(figures.load_mass, 5.0, "a load of 5 kg");
        let guide_friction = take(figures.guide_friction, 10.0, "10 N of friction in the guides");
        let upright = figures.upright.unwrap_or_else(|| {
            assumed.push("the axis lying, not upright".into());
            false
        });
        if way.turns {
            let lever = Scale::LEVER * 1e3;
            assumed.push(format!("load and friction {lever} mm from the pivot, and a weight level with it"));
        }
        if !scale.is_even() {
            assumed.push("the same effort for each step, although the steps are unequal".into());
        }
        assumed.push("switches that bounce up to 6.2 ms and repeat to 5 µm".into());
        let fitted = |end: End, wiring: Option<Wiring>| {
            wiring.map(|wiring| Switch {
                at: at(end),
                side: if end == End::Low { Side::Below } else { Side::Above },
                hysteresis: 0.2e-3,
                scatter: 5e-6,
                normally: wiring.into(),
                bounce: Bounce::COMMON,
            })
        };
        let machine = MachineParameters {
            motor,
            transmission,
            load: Load {
                mass,
                gravity: if upright { GRAVITY } else { 0.0 },
                spring: 0.0,
                guide_friction,
                low_stop,
                high_stop,
                start: limits.0 + (limits.1 - limits.0) * part(seed),
            },
            low_switch: fitted(End::Low, equipment.low_switch),
            high_switch: fitted(End::High, equipment.high_switch),
            probe: probe(equipment, seed),
            hand_bounce: Bounce::COMMON,
            fidelity: Fidelity::Quasistatic,
        };
        Ok(Self { configuration, machine, scale, assumed })
    }
}

/// A plate of no height yet, and a cutter a little longer or shorter than the last.
fn probe<Q: Measure>(equipment: &Equipment<Q>, seed: u64) -> Option<Probe> {
    equipment.touch_off.map(|touch| Probe {
        plate: 0.0,
        cutter: 0.8e-3 * (part(seed.wrapping_add(1)) - 0.5),
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
    assumed: &mut Vec<String>,
) -> Result<(Motor, Transmission), Error> {
    let (drive, figures) = (file.drive_train(), file.machine_data());
    let mut take = |given: Option<Exact>, usual: f64, what: String| {
        given.map_or_else(
            || {
                assumed.push(what);
                usual
            },
            float,
        )
    };
    let usual = match file.kind() {
        "lead_screw" | "swing_arm" | "screw_tilt" => 0.3,
        "measured" | "rotary" => 0.5,
        _ => 0.85,
    };
    let efficiency =
        take(figures.efficiency, usual, format!("an efficiency of {usual} from motor to carriage"));
    let holding = take(figures.holding_torque, 0.9, "a motor that holds 0.9 N·m".into());
    let turns = |a_minute: f64| a_minute / 60.0 * core::f64::consts::TAU;
    let corner = take(figures.full_torque_to, 300.0, "its torque kept up to 300 rev/min".into());
    let none =
        take(figures.no_torque_at, 1500.0_f64.max(2.0 * corner), "no torque left at 1500 rev/min".into());
    let inertia = take(figures.rotor_inertia, 300.0, "a rotor of 300 g·cm²".into());
    let full_steps = Exact::integer(360).checked_div(drive.step_angle().base())?;
    let motor = Motor {
        full_steps_per_turn: u32::try_from(full_steps.round(wholestep::Rounding::Nearest)).unwrap_or(200),
        step_mode: drive.step_mode().division(),
        rotor_inertia: inertia * 1e-7,
        torque: TorqueCurve::Linear { holding, corner: turns(corner), zero: turns(none) },
        detent: 0.03 * holding,
        viscous: 0.0,
        shortest_interval: 0.0,
        keeps_phase: true,
    };
    let sign = if axis.config().direction == MotorDirection::Normal { 1.0 } else { -1.0 };
    let impossible =
        |error: crate::ParameterError| messages::MACHINE_FOR_A_REHEARSAL.error().advice(error.to_string());
    let mut transmission =
        Transmission::from_efficiency(sign * scale.travel(), motor.step_angle(), efficiency)
            .map_err(impossible)?;
    transmission.backlash = scale.stretch(float(axis.config().backlash.base()));
    Ok((motor, transmission))
}

/// How an axis moves, as the machine knows it.
struct Way {
    /// Metres to a millimetre or a degree.
    metres: f64,
    unit: &'static str,
    turns: bool,
}

const ALONG: Way = Way { metres: 1e-3, unit: "mm", turns: false };
const ROUND: Way = Way { metres: Scale::LEVER * core::f64::consts::PI / 180.0, unit: "deg", turns: true };

/// A number from 0.1 to 0.9, one for each seed.
fn part(seed: u64) -> f64 {
    let mixed = seed.wrapping_add(1).wrapping_mul(0x9e37_79b9_7f4a_7c15) >> 32;
    0.1 + 0.8 * mixed as f64 / 4_294_967_296.0
}
