//! What a configuration takes: each number just inside its range and just outside it.

use num_rational::Ratio;
use wholestep::ErrorKind;
use wholestep::carriage::{CarriageConfig, DatumSearch, Dial, End, Input, Parts, TouchSearch};
use wholestep::plan::{PulseTiming, StepLimits, StepRates};

use crate::world::{HZ, configuration, limits, parts};

/// The furthest step and the longest time, as the library states them.
const STEPS: i64 = 1 << 40;
const TICKS: u64 = 1 << 40;

type Set = fn(&mut Parts, i128);

fn u64_of(value: i128) -> u64 {
    u64::try_from(value).unwrap()
}

fn i64_of(value: i128) -> i64 {
    i64::try_from(value).unwrap()
}

fn u32_of(value: i128) -> u32 {
    u32::try_from(value).unwrap()
}

fn datum(parts: &mut Parts) -> &mut DatumSearch {
    parts.datum.as_mut().unwrap()
}

fn touch(parts: &mut Parts) -> &mut TouchSearch {
    parts.touch.as_mut().unwrap()
}

fn dial(parts: &mut Parts) -> &mut Dial {
    parts.dial.as_mut().unwrap()
}

#[test]
fn every_number_has_its_range() {
    let (steps, ticks) = (i128::from(STEPS), i128::from(TICKS));
    // The number, how to set it, the least and the most.
    let cases: [(&str, Set, i128, i128); 18] = [
        ("lowest allowed step", |p, v| p.steps = (i64_of(v), STEPS), -steps, steps - 1),
        ("highest allowed step", |p, v| p.steps = (-5, i64_of(v)), -4, steps),
        ("overrun in steps", |p, v| p.approach = Some((End::Low, u64_of(v))), 1, steps),
        ("contact settle in ticks", |p, v| p.contact_settle = u64_of(v), 0, ticks),
        ("drive settle in ticks", |p, v| p.drive_settle = u64_of(v), 0, ticks),
        ("release bound in steps", |p, v| p.release_bound = u64_of(v), 1, steps),
        ("jog bound in steps", |p, v| p.jog_bound = u64_of(v), 1, steps),
        ("nudge in steps", |p, v| p.nudge = u64_of(v), 1, steps),
        ("measured travel in steps", |p, v| p.measured = u64_of(v), 1, steps),
        ("datum step", |p, v| datum(p).step = i64_of(v), -steps, steps),
        ("search bound in steps", |p, v| datum(p).bound = u64_of(v), 1, steps),
        ("clearance in steps", |p, v| datum(p).clearance = u64_of(v), 1, steps),
        ("touch-off bound in steps", |p, v| touch(p).bound = u64_of(v), 1, steps),
        ("counts per detent", |p, v| dial(p).counts_per_detent = u32_of(v), 1, 1 << 16),
        ("counts at once", |p, v| dial(p).counts_at_once = u32_of(v), 1, 1 << 30),
        ("backlog in steps", |p, v| dial(p).backlog = u64_of(v), 1, steps),
        ("time until the hand has stopped, in ticks", |p, v| dial(p).hand_stops = u64_of(v), 0, ticks),
        // The highest has to be above the lowest.
        ("highest allowed step", |p, v| p.steps = (STEPS - 1, i64_of(v)), steps, steps),
    ];
    for (subject, set, least, most) in cases {
        let with = |value| {
            let mut parts = parts();
            set(&mut parts, value);
            CarriageConfig::new(parts)
        };
        for inside in [least, most] {
            // In its range; whether there is room for it is another question.
            let told = with(inside).err().map(|error| error.to_string());
            let range = format!("{subject} {inside}: {least} to {most} is allowed");
            assert_ne!(told, Some(range));
        }
        // A number without a sign has nothing below 0.
        let below = (least != 0).then_some(least - 1);
        for outside in below.into_iter().chain([most + 1]) {
            let refused = with(outside).unwrap_err();
            assert_eq!(refused.kind(), ErrorKind::OutOfRange);
            assert_eq!(refused.to_string(), format!("{subject} {outside}: {least} to {most} is allowed"));
        }
    }
}

#[test]
fn what_leads_to_nothing_is_refused() {
    for end in End::BOTH {
        let mut parts = parts();
        datum(&mut parts).end = end;
        parts.switches[end as usize] = None;
        let refused = CarriageConfig::new(parts).unwrap_err();
        assert_eq!(refused.kind(), ErrorKind::Key);
        assert_eq!(
            refused.to_string(),
            format!(
                "datum at an end without a switch {}: name the switch at that end, or search at the other",
                end.name()
            )
        );
    }
    let mut parts = parts();
    parts.probe = None;
    let refused = CarriageConfig::new(parts).unwrap_err();
    assert_eq!(
        (refused.kind(), refused.to_string().as_str()),
        (ErrorKind::Key, "touch-off without a probe: name the probe, or leave the touch-off out")
    );
}

/// Steps a second, with a timer of its own.
fn on_a_timer(hz: u64) -> StepLimits {
    let rates = StepRates {
        speed: Ratio::from(100),
        acceleration: Ratio::from(1_000_000),
        deceleration: Ratio::from(1_000_000),
        start_speed: Ratio::from(0),
        jerk: None,
    };
    StepLimits::new(rates, hz).unwrap()
}

fn each_pace(parts: &mut Parts) -> [&mut StepLimits; 4] {
    let paces = &mut parts.paces;
    [&mut paces.travel, &mut paces.jog, &mut paces.fast, &mut paces.slow]
}

#[test]
fn every_pace_is_planned_for_one_timer() {
    for pace in 1..4 {
        let mut parts = parts();
        *each_pace(&mut parts)[pace] = on_a_timer(HZ + 1);
        let refused = CarriageConfig::new(parts).unwrap_err();
        assert_eq!(refused.kind(), ErrorKind::Plan);
        assert_eq!(refused.to_string(), "paces of two timers 1000001: plan every pace for the same timer");
    }
}

#[test]
fn pace_is_no_faster_than_the_driver_takes_pulses() {
    // Speed in steps a second, and the whole ticks a step then lasts on a timer of 1 MHz.
    for (speed, shortest) in
        [(Ratio::from(8_000), 125), (Ratio::new(2_500, 3), 1_200), (Ratio::new(70_000, 3), 42)]
    {
        for pace in 0..4 {
            let with = |least: u64| {
                let mut parts = parts();
                (parts.datum, parts.switches) = (None, [None; 2]);
                for limits in each_pace(&mut parts) {
                    *limits = on_a_timer(HZ);
                }
                let rates = StepRates { speed, ..*on_a_timer(HZ).rates() };
                *each_pace(&mut parts)[pace] = StepLimits::new(rates, HZ).unwrap();
                parts.timing = PulseTiming::new(0, least - 1, 1).unwrap();
                CarriageConfig::new(parts)
            };
            assert!(with(shortest).is_ok(), "{speed}");
            let refused = with(shortest + 1).unwrap_err();
            assert_eq!(refused.kind(), ErrorKind::Plan);
            assert_eq!(
                refused.to_string(),
                format!(
                    "ticks between pulses at full speed {shortest}: at least {} is allowed; lower the speed or the step mode",
                    shortest + 1
                )
            );
        }
    }
}

#[test]
fn pace_of_the_first_interval_starts_and_stops_at_once() {
    // From rest at 40,000 steps a second squared the first two edges, half a step and one and a half on
    // the way, are due after √(1/a) and √(3/a): 5,000 and 8,660.25 µs, to the nearest tick.
    assert_eq!(configuration().start_interval(), 8_660 - 5_000);
    let mut slow = parts();
    slow.paces.travel = limits(8_000, 10_000, None);
    // 10,000 and 17,320.51 µs.
    assert_eq!(CarriageConfig::new(slow).unwrap().start_interval(), 17_321 - 10_000);
}

#[test]
fn a_pace_too_slow_for_any_plan_is_refused() {
    let never = StepRates {
        speed: Ratio::new(1, 100_000_000),
        acceleration: Ratio::from(1),
        deceleration: Ratio::from(1),
        start_speed: Ratio::from(0),
        jerk: None,
    };
    let mut parts = parts();
    for limits in each_pace(&mut parts) {
        *limits = StepLimits::new(never, HZ).unwrap();
    }
    let refused = CarriageConfig::new(parts).unwrap_err();
    assert_eq!(
        (refused.kind(), refused.to_string().as_str()),
        (
            ErrorKind::Plan,
            "move that takes longer than a plan can: raise speed and acceleration, or slow the timer"
        )
    );
}

type Fit = fn(&mut Parts);

#[test]
fn configuration_has_what_is_fitted_and_an_enable_input_always() {
    let mut none = parts();
    none.switches = [None; 2];
    none.probe = None;
    none.datum = None;
    none.touch = None;
    none.dial = None;
    none.rocker = false;
    let fit: [(Input, Fit); 6] = [
        (Input::Switch(End::Low), |p| p.switches[0] = parts().switches[0]),
        (Input::Switch(End::High), |p| p.switches[1] = parts().switches[1]),
        (Input::Probe, |p| p.probe = parts().probe),
        (Input::Enable, |_| {}),
        (Input::Dial, |p| p.dial = parts().dial),
        (Input::Rocker, |p| p.rocker = true),
    ];
    for (fitted, fit) in fit {
        let mut one = none;
        fit(&mut one);
        let configuration = CarriageConfig::new(one).unwrap();
        assert_eq!(configuration.parts(), &one);
        for input in Input::ALL {
            assert_eq!(configuration.has(input), input == fitted || input == Input::Enable, "{input:?}");
        }
    }
}
