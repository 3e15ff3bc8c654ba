//! A random axis, and the machine that belongs to it.

use num_rational::Ratio;
use wholestep::axis::MotorDirection;
use wholestep::carriage::{Configuration, DatumSearch, Dial, End, Paces, Parts, TouchSearch, Wiring};
use wholestep::mechanism::Trend;
use wholestep::plan::{PulseTiming, StepLimits, StepRates};
use wholestep_twin::{
    Bounce, Fidelity, Load, MachineParameters, Motor, Normally, Probe, Side, Switch, TorqueCurve,
    Transmission,
};

use super::chance::Chance;

/// A random axis.
pub(super) struct RandomAxis {
    pub(super) configuration: Configuration,
    pub(super) machine: MachineParameters,
    /// How far, in steps, a datum may lie from where its switch really stands: scatter and backlash.
    pub(super) datum_tolerance: f64,
    /// How far, in steps, two datums may lie apart: a step each, and the scatter of each.
    pub(super) datum_repeats: f64,
    /// Metres of the carriage at step 0 and for each step.
    pub(super) at_nought: f64,
    pub(super) travel: f64,
}

impl RandomAxis {
    /// # Errors
    /// What the library says of an axis that cannot be; there is none.
    #[expect(clippy::too_many_lines, reason = "one line for each thing that is random")]
    #[expect(clippy::cast_precision_loss, reason = "steps are few")]
    pub(super) fn new(chance: &mut Chance) -> Result<Self, String> {
        let timer_hz = chance.of(&[50_000, 100_000, 1_000_000]);
        let room = chance.between(200, 900);
        let outside = chance.between(20, 60);
        let travel = 1e-5 * (1.0 + 4.0 * chance.part());
        let trend = chance.of(&[Trend::Rising, Trend::Falling]);
        let motor = chance.of(&[MotorDirection::Normal, MotorDirection::Reversed]);
        let speed = chance.ticks(400, 2_500);
        // A stop from full speed fits between the soft limits.
        let acceleration = chance.ticks(3_000, 30_000).max(speed * speed / (2 * room.unsigned_abs()) + 1);
        let jerk = chance.once_in(4).then(|| acceleration * chance.ticks(20, 80));
        let limits = |speed: u64| {
            StepLimits::new(
                StepRates {
                    speed: Ratio::from(speed),
                    acceleration: Ratio::from(acceleration),
                    deceleration: Ratio::from(acceleration),
                    start_speed: Ratio::from(0),
                    jerk: jerk.map(Ratio::from),
                },
                timer_hz,
            )
            .map_err(|error| format!("{error:?}"))
        };
        let end = chance.of(&End::BOTH);
        let both = chance.once_in(2);
        let wiring = |chance: &mut Chance| {
            if chance.once_in(4) { Wiring::NormallyOpen } else { Wiring::NormallyClosed }
        };
        let wirings = [wiring(chance), wiring(chance)];
        let fitted = |at: End| both || at == end;
        let backlash_steps = chance.of(&[0, 0, 2, 5]);
        let milliseconds = chance.ticks(7, 15);
        let settle = timer_hz * milliseconds / 1_000;
        let [fast, slow] = [(speed / 2).max(200), (speed / 8).max(60)];
        let run_on =
            |speed: u64| (speed * milliseconds).div_ceil(1_000) + (speed * speed).div_ceil(2 * acceleration);
        // The search runs on past the switch, and by hand it runs as fast.
        let outside = outside.max(run_on(fast).cast_signed());
        let clearance = run_on(slow).max(20);
        let past = outside.unsigned_abs();
        let span = room.unsigned_abs() + past;
        let steps = (0, room);
        // The switches stand outside the soft limits.
        let switch_step = |at: End| match (at, trend) {
            (End::Low, Trend::Rising) | (End::High, Trend::Falling) => -outside,
            _ => room + outside,
        };
        let rocker = chance.once_in(2);
        let dial = chance.once_in(2);
        let probe = chance.once_in(2);
        // The probe stands above, and a touch-off is made on the approach's flank.
        let from = chance.of(&End::BOTH);
        let parts = Parts {
            steps,
            trend,
            motor,
            approach: (backlash_steps > 0).then_some((if probe { End::Low } else { from }, 8)),
            paces: Paces {
                travel: limits(speed)?,
                jog: limits(fast)?,
                search: limits(fast)?,
                latch: limits(slow)?,
            },
            switches: [
                Some(wirings[0]).filter(|_| fitted(End::Low)),
                Some(wirings[1]).filter(|_| fitted(End::High)),
            ],
            probe: probe.then_some(Wiring::NormallyOpen),
            contact_settle: settle,
            drive_settle: timer_hz / 100,
            // Some drivers, and relays before them, want their direction long before the first pulse.
            timing: PulseTiming::new(
                chance.of(&[5, 20, timer_hz / 50]),
                chance.ticks(1, 5),
                chance.ticks(1, 5),
            )
            .map_err(|error| format!("{error:?}"))?,
            datum: Some(DatumSearch {
                end,
                step: switch_step(end),
                bound: (span + 3 * past + 200).min(2 * span),
                clearance,
            }),
            release_bound: (4 * past + 100).min(room.unsigned_abs().max(2 * past + clearance)),
            touch: probe.then_some(TouchSearch { toward: End::High, bound: room.unsigned_abs() }),
            dial: dial.then_some(Dial {
                counts_per_detent: 4,
                counts_at_once: 64,
                backlog: chance.ticks(10, 200),
                hand_stops: timer_hz / 10,
            }),
            rocker,
            jog_bound: room.unsigned_abs(),
            nudge: 20,
            measured: room.unsigned_abs() / 4,
            self_holding: true,
        };
        let configuration = Configuration::new(parts).map_err(|error| error.to_string())?;
        // Of a lift whose steps count down, step 0 stands at the top.
        let at_nought = if trend == Trend::Rising { 0.0 } else { room as f64 * travel };
        let along = if trend == Trend::Rising { travel } else { -travel };
        let place = |step: i64| at_nought + along * step as f64;
        let scatter = travel * chance.of(&[0.0, 0.1, 0.3]);
        let hysteresis = travel * chance.of(&[0.0, 2.0, 5.0]);
        let bounce = chance.of(&[Bounce::NONE, Bounce { longest: 2e-3 }, Bounce::COMMON]);
        let switch = |end: End| Switch {
            at: place(switch_step(end)),
            side: if end == End::Low { Side::Below } else { Side::Above },
            hysteresis,
            scatter,
            normally: Normally::from(wirings[end as usize]),
            bounce,
        };
        let stops = travel * (2 * outside) as f64;
        let (low, high) = (-stops, room as f64 * travel + stops);
        let step_mode = chance.of(&[1, 2, 4]);
        let sign = if motor == MotorDirection::Normal { 1.0 } else { -1.0 };
        let step_angle = core::f64::consts::TAU / 200.0 / f64::from(step_mode);
        let mut transmission = Transmission::from_efficiency(sign * along, step_angle, 0.3)
            .map_err(|error| error.to_string())?;
        transmission.backlash = f64::from(backlash_steps) * travel;
        let machine = MachineParameters {
            motor: Motor {
                full_steps_per_turn: 200,
                step_mode,
                rotor_inertia: 2e-5,
                torque: TorqueCurve::Linear { holding: 2.0, corner: 60.0, zero: 400.0 },
                detent: 0.02,
                viscous: 0.0,
                shortest_interval: 0.0,
                keeps_phase: chance.once_in(2),
            },
            transmission,
            load: Load {
                mass: 1.0 + 4.0 * chance.part(),
                gravity: chance.of(&[0.0, 9.806_65]),
                spring: 0.0,
                guide_friction: 2.0,
                low_stop: low,
                high_stop: high,
                start: low + (high - low) * chance.part(),
            },
            low_switch: fitted(End::Low).then(|| switch(End::Low)),
            high_switch: fitted(End::High).then(|| switch(End::High)),
            probe: probe.then(|| Probe {
                plate: place(room / 2) + 0.02,
                cutter: 0.02 - travel * chance.between(-50, 50) as f64,
                scatter,
                normally: Normally::Open,
                bounce: Bounce { longest: 1e-3 },
                in_place: chance.once_in(2),
            }),
            hand_bounce: chance.of(&[Bounce::NONE, Bounce { longest: 2e-3 }]),
            fidelity: Fidelity::Quasistatic,
        };
        let datum_tolerance = 2.0 + f64::from(backlash_steps) + 8.0 * scatter / travel;
        let datum_repeats = 2.0 + 16.0 * scatter / travel;
        Ok(Self { configuration, machine, datum_tolerance, datum_repeats, at_nought, travel: along })
    }
}
