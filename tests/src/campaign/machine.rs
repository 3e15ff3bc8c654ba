//! A random axis, and the machine that belongs to it.

use num_rational::Ratio;
use wholestep::axis::MotorDirection;
use wholestep::carriage::{CarriageConfig, DatumSearch, Dial, End, Paces, Parts, TouchSearch, Wiring};
use wholestep::mechanism::Trend;
use wholestep::plan::{PulseTiming, StepLimits, StepRates};
use wholestep_twin::{
    Bounce, Fidelity, Load, MachineParameters, Motor, Normally, Probe, Side, Switch, TorqueCurve,
    Transmission,
};

use super::chance::Chance;

/// A random axis.
pub(super) struct RandomAxis {
    pub(super) configuration: CarriageConfig,
    pub(super) machine: MachineParameters,
    /// How far, in steps, a datum may lie from where its switch really stands: scatter and backlash.
    pub(super) datum_tolerance: f64,
    /// How far, in steps, two datums may lie apart: a step each, and the scatter of each.
    pub(super) datum_repeats: f64,
    /// The same where it is met on the flank on which targets are reached.
    pub(super) true_flank: f64,
    /// What is special about it.
    pub(super) traits: Vec<&'static str>,
    /// Where the carriage touches the plate, m.
    pub(super) plate: f64,
    /// Metres of the carriage at step 0 and for each step.
    pub(super) at_zero: f64,
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
        let mut traits = Vec::new();
        // A motor that can start at once: slower than any pace, as fast as one, or faster than the slow ones.
        let starts = chance.once_in(3);
        let speed = if starts { chance.ticks(200, 800) } else { chance.ticks(400, 2_500) };
        let (middle, slow) = ((speed / 2).max(200), (speed / 8).max(60));
        let start_speed =
            if starts { chance.of(&[20, slow, slow + 1, speed / 3, middle, speed, speed + 50]) } else { 0 };
        if starts {
            traits.push(match start_speed {
                start if start < slow => "start speed below all",
                start if start < speed => "start speed between",
                _ => "start speed above all",
            });
        }
        // A stop from full speed fits between the soft limits.
        let acceleration = chance.ticks(3_000, 30_000).max(speed * speed / (2 * room.unsigned_abs()) + 1);
        let jerk = (!starts && chance.once_in(3)).then(|| acceleration * chance.ticks(20, 80));
        let limits = |speed: u64| {
            StepLimits::new(
                StepRates {
                    speed: Ratio::from(speed),
                    acceleration: Ratio::from(acceleration),
                    deceleration: Ratio::from(acceleration),
                    start_speed: Ratio::from(start_speed),
                    jerk: jerk.map(Ratio::from),
                },
                timer_hz,
            )
            .map_err(|error| format!("{error:?}"))
        };
        let bare = chance.once_in(40);
        let end = chance.of(&End::BOTH);
        let both = chance.once_in(2);
        let wiring = |chance: &mut Chance| {
            if chance.once_in(4) { Wiring::NormallyOpen } else { Wiring::NormallyClosed }
        };
        let wirings = [wiring(chance), wiring(chance)];
        let fitted = |at: End| !bare && (both || at == end);
        let searches = !bare && !chance.once_in(10);
        let backlash_steps: u32 = chance.of(&[0, 0, 2, 5, 12]);
        if !searches {
            traits.push(if bare { "nothing fitted" } else { "no datum" });
        }
        let milliseconds = chance.ticks(7, 15);
        let settle = timer_hz * milliseconds / 1_000;
        let run_on =
            |speed: u64| (speed * milliseconds).div_ceil(1_000) + (speed * speed).div_ceil(2 * acceleration);
        // The search runs on past the switch, and by hand it runs as fast.
        let outside = outside.max(run_on(middle).cast_signed());
        let clearance = run_on(slow).max(20) + u64::from(backlash_steps);
        let past = outside.unsigned_abs();
        let span = room.unsigned_abs() + past;
        let steps = (0, room);
        // The switches stand outside the soft limits.
        let switch_step = |at: End| match (at, trend) {
            (End::Low, Trend::Rising) | (End::High, Trend::Falling) => -outside,
            _ => room + outside,
        };
        let dial = !bare && chance.once_in(2);
        let probe = !bare && chance.once_in(2);
        let rocker = !bare && (chance.once_in(2) || !searches && !dial);
        // The probe stands above, and a touch-off is made on the approach's flank.
        let from = chance.of(&End::BOTH);
        let from = if probe { End::Low } else { from };
        let approach = (backlash_steps > 0 && !bare).then(|| (from, u64::from(backlash_steps)));
        if approach.is_some() {
            traits.push("play");
        }
        let interval = timer_hz / speed;
        let width = chance.of(&[1, 5, interval / 2]);
        let gap = chance.ticks(1, interval - width).min(chance.of(&[5, interval]));
        let mut parts = Parts {
            steps,
            trend,
            motor,
            approach,
            paces: Paces {
                travel: limits(speed)?,
                jog: limits(middle)?,
                fast: limits(middle)?,
                slow: limits(slow)?,
            },
            switches: [
                Some(wirings[0]).filter(|_| fitted(End::Low)),
                Some(wirings[1]).filter(|_| fitted(End::High)),
            ],
            probe: probe.then_some(Wiring::NormallyOpen),
            contact_settle: settle,
            drive_settle: chance.of(&[0, timer_hz / 100, timer_hz / 10, timer_hz / 3]),
            // Some drivers, and relays before them, want their direction long before the first pulse.
            timing: PulseTiming::new(chance.of(&[5, 20, timer_hz / 50]), width, gap)
                .map_err(|error| format!("{error:?}"))?,
            datum: searches.then(|| DatumSearch {
                end,
                step: switch_step(end),
                bound: (span + 3 * past + 200).min(2 * span),
                clearance,
                agreement: 3,
            }),
            release_bound: (4 * past + 100).min(room.unsigned_abs().max(2 * past + clearance)),
            touch: probe.then_some(TouchSearch {
                toward: End::High,
                bound: room.unsigned_abs(),
                agreement: 20 + u64::from(backlash_steps),
            }),
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
        // A cutter is raised to the plate; where that ends on the wrong flank it may be refused.
        let mut configuration = CarriageConfig::new(parts);
        if let (Err(_), Some((End::High, _)), Some(touch)) = (&configuration, approach, &mut parts.touch) {
            touch.toward = End::Low;
            configuration = CarriageConfig::new(parts);
        }
        let configuration = configuration.map_err(|error| error.to_string())?;
        // Of a lift whose steps count down, step 0 stands at the top.
        let at_zero = if trend == Trend::Rising { 0.0 } else { room as f64 * travel };
        let along = if trend == Trend::Rising { travel } else { -travel };
        let place = |step: i64| at_zero + along * step as f64;
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
        transmission.backlash = approach.map_or(0.0, |(_, steps)| steps as f64 * travel);
        let (plate, cutter) = (place(room / 2) + 0.02, 0.02 - travel * chance.between(-50, 50) as f64);
        let machine = MachineParameters {
            motor: Motor {
                full_steps_per_turn: 200,
                step_mode,
                rotor_inertia: if starts { 1e-6 } else { 2e-5 },
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
                spring_rate: 0.0,
                // Weight keeps the carriage on one flank, unless friction holds it where it was pushed.
                guide_friction: chance.of(&[2.0, 60.0]),
                low_stop: low,
                high_stop: high,
                start: low + (high - low) * chance.part(),
            },
            low_switch: fitted(End::Low).then(|| switch(End::Low)),
            high_switch: fitted(End::High).then(|| switch(End::High)),
            probe: probe.then(|| Probe {
                plate,
                cutter,
                scatter,
                normally: Normally::Open,
                bounce: Bounce { longest: 1e-3 },
                in_place: chance.once_in(2),
            }),
            hand_bounce: chance.of(&[Bounce::NONE, Bounce { longest: 2e-3 }]),
            fidelity: Fidelity::Quasistatic,
        };
        let datum_tolerance = 2.0 + f64::from(backlash_steps) + 8.0 * scatter / travel;
        let true_flank = 2.0 + 8.0 * scatter / travel;
        let datum_repeats = 2.0 + 16.0 * scatter / travel;
        Ok(Self {
            configuration,
            machine,
            datum_tolerance,
            datum_repeats,
            true_flank,
            traits,
            plate: plate - cutter,
            at_zero,
            travel: along,
        })
    }
}
