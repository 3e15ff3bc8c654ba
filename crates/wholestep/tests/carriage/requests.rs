//! Every request in every state: granted, or refused by its name.

use num_rational::Ratio;
use wholestep::carriage::{
    Carriage, CarriageConfig, Detent, End, Event, Refusal, State, Stop, TouchMode, Unproven,
};

use wholestep::plan::Direction;

use crate::world::{HZ, World, approached_from, configuration, parts};

/// Brings a machine into a state, moving where that state moves.
fn in_state(configuration: &CarriageConfig, state: State) -> World<'_> {
    match state {
        State::Commissioning => World::new(Carriage::new(configuration), 5_000),
        State::Resting => World::proven(configuration, 5_000),
        _ => {
            let mut world = World::proven(configuration, 5_000);
            match state {
                State::Travelling => world.carriage.go_to(9_000).unwrap(),
                State::Braking => {
                    world.carriage.go_to(9_000).unwrap();
                    world.run_for(300_000);
                    world.carriage.brake();
                }
                State::Jogging => {
                    world.carriage.jog(None).unwrap();
                    world.run_for(1_000);
                    world.rocker = Some(End::High);
                }
                State::FindingDatum => world.carriage.find_datum().unwrap(),
                State::TouchingOff => world.carriage.touch_off(TouchMode::Stop, Some(7_000)).unwrap(),
                _ => world.drive_fault = true,
            }
            world.run_for(if state == State::Braking { 10 } else { 100_000 });
            world
        }
    }
}

type Ask = fn(&mut World<'_>) -> Result<(), Refusal>;

/// The states, in the order of the columns below.
const STATES: [State; 8] = [
    State::Resting,
    State::Travelling,
    State::Braking,
    State::Jogging,
    State::FindingDatum,
    State::TouchingOff,
    State::Commissioning,
    State::Faulted,
];

/// Every request, and what it is answered in every state: `+` granted, `b` busy, `n` not commissioned, `f`
/// faulted, `p` the fault persists, `-` there is no fault, `t` out of turn.
const GRID: [(&str, Ask, &str); 18] = [
    // resting, travelling, braking, jogging, finding the datum, touching off, commissioning, faulted
    ("go_to", |w| w.carriage.go_to(4_000), "+ + + b b b n f"),
    ("go_to_at", |w| w.carriage.go_to_at(4_000, Ratio::from_integer(100)), "+ b b b b b n f"),
    ("go_by", |w| w.carriage.go_by(-10), "+ + b b b b n f"),
    ("travel_to_end", |w| w.carriage.travel_to_end(End::Low), "+ + + b b b n f"),
    ("hold", |w| w.carriage.hold(), "+ b b b b b n f"),
    ("jog", |w| w.carriage.jog(None), "+ b b b b b n f"),
    ("find_datum", |w| w.carriage.find_datum(), "+ b b b b b n f"),
    ("touch_off", |w| w.carriage.touch_off(TouchMode::Stop, Some(7_000)), "+ b b b b b n f"),
    ("confirm_position", |w| w.carriage.confirm_position(5_000), "+ b b b b b n f"),
    ("mark_unproven", |w| w.carriage.mark_unproven(), "+ b b b b b b b"),
    ("clear_fault", |w| w.carriage.clear_fault(), "- - - - - - - p"),
    ("nudge", |w| w.carriage.nudge(), "t t t t t t t f"),
    ("confirm_direction", |w| w.carriage.confirm_direction(true), "t t t t t t t f"),
    ("measure_travel", |w| w.carriage.measure_travel(), "t t t t t t t f"),
    ("report_travel", |w| w.carriage.report_travel(true), "t t t t t t t f"),
    (
        "brake",
        |w| {
            w.carriage.brake();
            Ok(())
        },
        "+ + + + + + + +",
    ),
    (
        "brake_and_release",
        |w| {
            w.carriage.brake_and_release();
            Ok(())
        },
        "+ + + + + + + +",
    ),
    (
        "release",
        |w| {
            w.carriage.release();
            Ok(())
        },
        "+ + + + + + + +",
    ),
];

fn answer(sign: char, state: State) -> Result<(), Refusal> {
    match sign {
        '+' => Ok(()),
        'b' => Err(Refusal::Busy(state)),
        'n' => Err(Refusal::NotCommissioned),
        'f' => Err(Refusal::Faulted),
        'p' => Err(Refusal::FaultPersists),
        '-' => Err(Refusal::NotFaulted),
        't' => Err(Refusal::OutOfTurn),
        other => panic!("{other} stands for no answer"),
    }
}

#[test]
fn requests_are_answered_in_every_state_as_the_grid_says() {
    let configuration = configuration();
    for (name, ask, answers) in GRID {
        let answers: Vec<char> = answers.chars().filter(|sign| *sign != ' ').collect();
        assert_eq!(answers.len(), STATES.len(), "{name}");
        for (state, sign) in STATES.into_iter().zip(answers) {
            let mut world = in_state(&configuration, state);
            assert_eq!(world.carriage.state(), state);
            let (moving, step) = (world.carriage.is_moving(), world.carriage.step());
            let answered = ask(&mut world);
            assert_eq!(answered, answer(sign, state), "{name} while {}", state.name());
            if let Err(refusal) = answered {
                assert_eq!(world.carriage.state(), state, "a refusal changes nothing");
                assert_eq!((world.carriage.is_moving(), world.carriage.step()), (moving, step));
                assert!(!refusal.to_string().is_empty() && !refusal.name().is_empty());
            }
        }
    }
    assert_eq!(STATES.len(), State::ALL.len());
}

#[test]
fn what_is_missing_is_named() {
    let configuration = configuration();
    let ask = |prepare: fn(&mut World<'_>), ask: Ask| {
        let mut world = World::new(Carriage::commissioned(&configuration), 5_000);
        prepare(&mut world);
        world.run_for(20_000);
        ask(&mut world)
    };
    assert_eq!(ask(|_| {}, |w| w.carriage.go_to(1)), Err(Refusal::PositionUnproven));
    assert_eq!(ask(|_| {}, |w| w.carriage.touch_off(TouchMode::Stop, None)), Err(Refusal::PositionUnproven));
    assert_eq!(ask(|_| {}, |w| w.carriage.confirm_position(1)), Err(Refusal::DriveOff));
    assert_eq!(ask(|w| w.enable = false, |w| w.carriage.find_datum()), Err(Refusal::EnableNotHeld));
    assert_eq!(
        ask(|w| w.enable = false, |w| w.carriage.touch_off(TouchMode::Stop, Some(1))),
        Err(Refusal::EnableNotHeld)
    );
    assert_eq!(
        ask(|w| w.high.stuck = Some(true), |w| w.carriage.touch_off(TouchMode::Stop, Some(1))),
        Err(Refusal::SwitchPressed(End::High))
    );
    let mut proven = World::proven(&configuration, 5_000);
    for (step, last) in [(-1, 0), (10_001, 10_000), (i64::MIN, 0), (i64::MAX, 10_000)] {
        assert_eq!(proven.carriage.go_to(step), Err(Refusal::BeyondLimit { step, last }));
    }
    assert_eq!(proven.carriage.go_by(i64::MAX), Err(Refusal::OutOfRange));
    assert_eq!(proven.carriage.go_by(5_001), Err(Refusal::BeyondLimit { step: 10_001, last: 10_000 }));
    proven.low.stuck = Some(true);
    proven.run_for(20_000);
    assert_eq!(proven.carriage.go_to(4_999), Err(Refusal::SwitchPressed(End::Low)));
    let mut unread = Carriage::commissioned(&configuration);
    assert_eq!(unread.find_datum(), Err(Refusal::InputsUnsettled));
}

#[test]
fn what_is_not_fitted_is_refused() {
    let mut parts = parts();
    parts.datum = None;
    parts.touch = None;
    parts.dial = None;
    parts.rocker = false;
    let configuration = CarriageConfig::new(parts).unwrap();
    let mut world = World::new(Carriage::commissioned(&configuration), 5_000);
    let detent = Detent::new(1, 3).ok();
    assert_eq!(world.carriage.find_datum(), Err(Refusal::NotFitted));
    assert_eq!(world.carriage.touch_off(TouchMode::Stop, Some(0)), Err(Refusal::NotFitted));
    assert_eq!(world.carriage.jog(None), Err(Refusal::NotFitted));
    assert_eq!(world.carriage.jog(detent), Err(Refusal::NotFitted));
}

#[test]
fn power_up_moves_nothing() {
    let configuration = configuration();
    for carriage in [Carriage::new(&configuration), Carriage::commissioned(&configuration)] {
        let mut world = World::new(carriage, 5_000);
        world.rocker = Some(End::High);
        world.dial = 400;
        world.run_for(3_000_000);
        assert!(world.edges.is_empty() && !world.last.unwrap().drive && !world.carriage.is_proven());
    }
    // A rocker held when the hand takes over leads nothing until it has been let go.
    let mut world = World::new(Carriage::commissioned(&configuration), 5_000);
    world.rocker = Some(End::High);
    world.carriage.jog(None).unwrap();
    world.run_for(1_000_000);
    assert!(world.edges.is_empty());
}

#[test]
fn releasing_lets_the_load_fall_and_the_position_go() {
    let configuration = configuration();
    let mut world = World::proven(&configuration, 5_000);
    world.carriage.go_to(9_000).unwrap();
    world.run_for(300_000);
    world.carriage.release();
    world.run_for(1);
    assert!(!world.last.unwrap().drive && !world.carriage.is_moving());
    assert!(world.has(Event::LoadCanFall) && world.has(Event::Unproven(Unproven::Released)));
    assert_eq!(world.carriage.go_to(1), Err(Refusal::PositionUnproven));

    let mut world = World::proven(&configuration, 5_000);
    world.carriage.go_to(9_000).unwrap();
    world.run_for(300_000);
    world.carriage.brake_and_release();
    assert!(world.carriage.is_moving() && world.last.unwrap().drive);
    world.run();
    let step = world.carriage.step();
    assert_eq!(step, world.truth);
    let stopped = world.events.iter().position(|&e| e == Event::Stopped { step, why: Stop::Braked });
    let released = world.events.iter().position(|&e| e == Event::LoadCanFall);
    assert!(stopped < released && !world.last.unwrap().drive);
}

#[test]
fn a_fault_latches_until_its_cause_is_gone() {
    let configuration = configuration();
    let mut world = in_state(&configuration, State::Faulted);
    assert!(!world.last.unwrap().drive, "a drive fault switches the drive off");
    assert_eq!(world.carriage.clear_fault(), Err(Refusal::FaultPersists));
    world.drive_fault = false;
    world.run_for(1_000_000);
    assert_eq!(world.carriage.state(), State::Faulted);
    world.carriage.clear_fault().unwrap();
    assert_eq!(world.carriage.state(), State::Resting);
    assert!(!world.carriage.is_proven());
}

/// A speed whose ticks could not be counted is refused when it is asked for; it is no fault on the way.
#[test]
fn a_speed_too_slow_to_be_timed_is_refused_at_once() {
    let configuration = CarriageConfig::new(parts()).unwrap();
    for over in [u64::MAX, u64::MAX / 3, 1 << 60, 1 << 50] {
        let mut world = World::proven(&configuration, 5_000);
        let asked = world.carriage.go_to_at(4_000, Ratio::new(1, over));
        assert_eq!((asked, world.carriage.state()), (Err(Refusal::OutOfRange), State::Resting), "1/{over}");
        world.carriage.go_to(4_000).unwrap();
        world.run();
        assert_eq!(world.carriage.step(), 4_000);
    }
}

/// Speeds in steps a second, and whether they are refused; travels go at 8,000.
#[test]
fn a_move_at_a_speed_of_its_own_keeps_it_on_every_leg_and_the_next_does_not() {
    for (speed, refused) in
        [(0, true), (1, false), (40, false), (1_000, false), (8_001, true), (u64::MAX, true)]
    {
        let configuration = approached_from(End::Low, 30, &parts());
        let configuration = CarriageConfig::new(configuration).unwrap();
        let mut world = World::proven(&configuration, 5_000);
        let asked = world.carriage.go_to_at(4_800, Ratio::from_integer(speed));
        if refused {
            assert_eq!(asked, Err(Refusal::OutOfRange), "{speed}");
            assert_eq!(world.carriage.state(), State::Resting);
            continue;
        }
        asked.unwrap();
        let from = world.edges.len();
        world.run();
        assert_eq!(world.carriage.step(), 4_800);
        // 230 steps down and 30 up, no two of them closer than the speed allows.
        let slow = &world.edges[from..];
        assert_eq!(slow.len(), 260, "{speed}");
        let closest =
            |edges: &[(u64, Direction)]| edges.windows(2).map(|two| two[1].0 - two[0].0).min().unwrap();
        assert!(closest(slow) + 1 >= HZ / speed, "{speed}: {}", closest(slow));
        assert!(closest(slow) <= HZ / speed + 1, "{speed}: {}", closest(slow));
        world.carriage.go_to(5_500).unwrap();
        let from = world.edges.len();
        world.run();
        assert!(closest(&world.edges[from..]) < HZ / 1_000, "{speed}");
    }
}
