//! What an effort is worked out from: the figures of an axis file in SI units, and what was assumed.

use std::f64::consts::TAU;

use wholestep::axis::AnyAxis;
use wholestep::measure::Unit;
use wholestep::mechanism::DriveTrain;
use wholestep::{Axis, Enclosure, Exact, LengthUnit, Measure, Mechanism, Result, Rounding, exact};
use wholestep_files::{AxisFile, MachineData, Range};

use super::span::Span;
use crate::float::float;
use crate::messages;

/// At how many places along the travel the effort is worked out, besides its beginning.
const PLACES: u32 = 32;

/// Everything that an effort is worked out from.
#[derive(Clone, Debug)]
pub(super) struct Figures {
    pub(super) data: MachineData,
    /// Whether a screw moves the carriage, so that a finer lead brings more friction with it.
    pub(super) is_screw: bool,
    pub(super) full_steps: u32,
    pub(super) step_mode: u32,
    /// rad
    pub(super) step_angle: f64,
    /// Turns of the driven shaft for one of the motor.
    pub(super) turns: f64,
    /// m
    pub(super) travel: f64,
    /// The unit of lengths of the machine.
    pub(super) unit: LengthUnit,
    /// m to one unit of the axis
    pub(super) metre: f64,
    pub(super) places: Vec<At>,
    /// m/s and m/s², as the file sets them; the harder of acceleration and deceleration.
    pub(super) speed: f64,
    pub(super) acceleration: f64,
    pub(super) assumed: Vec<String>,
    /// The efficiency that the pull at a crank tells, if nothing else does.
    pub(super) by_crank: Option<Span>,
    /// How many times the friction of the drive that is told it has, after a change of the machine.
    pub(super) friction: f64,
}

/// A place on the travel.
#[derive(Clone, Copy, Debug)]
pub(super) struct At {
    /// In the axis's unit.
    pub(super) position: f64,
    /// Above the low soft limit.
    pub(super) metres: f64,
    /// Part of the travel below it, 0 to 1.
    pub(super) part: f64,
    /// m of the carriage for each rad of the motor.
    pub(super) ratio: f64,
}

impl Figures {
    /// Takes the figures of `file`.
    ///
    /// # Errors
    /// [`ErrorKind::Key`](wholestep::ErrorKind::Key) with what must be measured, if nothing tells the load.
    pub(super) fn new(file: &AxisFile) -> Result<Self> {
        match file.axis() {
            AnyAxis::Length(axis) => Ok(Self { unit: axis.unit(), ..Self::along(file, axis, 1e-3)? }),
            AnyAxis::Angle(axis) => {
                let lever = file.machine_data().lever.ok_or_else(|| messages::NO_LEVER.error())?;
                Self::along(file, axis, 1e-3 * float(lever.base()).to_radians())
            }
        }
    }

    fn along<M: Mechanism>(file: &AxisFile, axis: &Axis<M>, metres: f64) -> Result<Self> {
        let (drive, rates) = (file.drive_train(), axis.config().rates);
        let mut data = file.machine_data().clone();
        let is_screw =
            matches!(file.kind(), "lead_screw" | "swing_arm" | "screw_tilt") || data.screw.lead.is_some();
        let assumed = assume(&mut data, is_screw, file.kind())?;
        let step_angle =
            TAU / 360.0 * float(drive.step_angle().base()) / f64::from(drive.step_mode().division());
        let acceleration = float(rates.acceleration.base()).max(float(rates.deceleration.base()));
        Ok(Self {
            data,
            is_screw,
            full_steps: full_steps(drive)?,
            step_mode: drive.step_mode().division(),
            step_angle,
            turns: float(drive.turns_per_motor_turn()),
            travel: metres * float(axis.config().high.base().checked_sub(axis.config().low.base())?),
            unit: LengthUnit::Millimetre,
            metre: metres * float(axis.unit().in_base()),
            places: places(axis, metres, step_angle)?,
            speed: metres * float(rates.speed.base()),
            acceleration: metres * acceleration,
            assumed,
            by_crank: None,
            friction: 1.0,
        })
    }
}

fn full_steps(drive: DriveTrain) -> Result<u32> {
    let steps = Exact::integer(360).checked_div(drive.step_angle().base())?.round(Rounding::Nearest);
    // A step angle of at most 90° makes at least four.
    Ok(u32::try_from(steps).unwrap_or(u32::MAX))
}

/// Places along the travel, from its low end to its high one.
fn places<M: Mechanism>(axis: &Axis<M>, metres: f64, step_angle: f64) -> Result<Vec<At>> {
    let (first, last) = (axis.lowest_step(), axis.highest_step());
    let at = |step: i64| Ok::<_, wholestep::Error>(float(axis.at_step(step)?.position().low().base()));
    let (low, high) = (float(axis.config().low.base()), float(axis.config().high.base()));
    let unit = float(axis.unit().in_base());
    let (least, most) = (first.min(last), first.max(last));
    let near = ((most - least) / (8 * i64::from(PLACES))).max(1);
    let mut places = Vec::new();
    for number in 0..=PLACES {
        let between = i128::from(last - first) * i128::from(number) / i128::from(PLACES);
        let step = first + i64::try_from(between).unwrap_or(0);
        let (before, after) = ((step - near).max(least), (step + near).min(most));
        #[expect(clippy::cast_precision_loss, reason = "a number of steps, below 2^53")]
        let apart = (after - before).max(1) as f64;
        // The ends are the soft limits, a part of a step beyond the last steps.
        let position = match number {
            0 => low,
            PLACES => high,
            _ => at(step)?,
        };
        places.push(At {
            position: position / unit,
            metres: metres * (position - low),
            part: if high > low { (position - low) / (high - low) } else { 0.0 },
            ratio: metres / step_angle * ((at(after)? - at(before)?) / apart).abs(),
        });
    }
    Ok(places)
}

/// Takes common figures for what the file does not tell, and says so.
fn assume(data: &mut MachineData, is_screw: bool, kind: &str) -> Result<Vec<String>> {
    let is_loaded = data.load_mass.is_some() || data.pushed.is_some();
    if !is_loaded && data.cranked.is_none() {
        return Err(messages::NO_LOAD.error());
    }
    if data.pushed.is_none() && data.load_mass.is_some() && data.upright.is_none() {
        return Err(messages::NOT_KNOWN_WHETHER_UPRIGHT.error());
    }
    let mut assumed = Vec::new();
    let mut take = |given: &mut Option<Range>, low: Exact, high: Exact, what: &str| -> Result<()> {
        if given.is_none() {
            *given = Some(Enclosure::new(low, high)?);
            assumed.push(what.to_owned());
        }
        Ok(())
    };
    let is_sunk = data.pushed.is_some_and(|pushed| pushed.sink.is_some());
    if is_loaded && !is_sunk {
        let what = "0 to 20 N of friction in the guides (machine.guide_friction)";
        take(&mut data.guide_friction, Exact::ZERO, Exact::integer(20), what)?;
    }
    if data.screw.friction.is_none() && data.cranked.is_none() {
        let (low, high, what) = match kind {
            _ if is_screw => (exact!(1 / 5), exact!(2 / 5), "a screw of efficiency 0.2 to 0.4"),
            "measured" | "rotary" => (exact!(3 / 10), exact!(9 / 10), "an efficiency of 0.3 to 0.9"),
            _ => (exact!(4 / 5), exact!(19 / 20), "an efficiency of 0.8 to 0.95"),
        };
        take(&mut data.efficiency, low, high, &format!("{what} (machine.efficiency or screw_friction)"))?;
    }
    let what = "a rotor of 100 to 500 g·cm² (machine.rotor_inertia)";
    take(&mut data.rotor_inertia, Exact::integer(100), Exact::integer(500), what)?;
    Ok(assumed)
}
