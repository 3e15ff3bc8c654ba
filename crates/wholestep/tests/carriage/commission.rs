//! Commissioning a new machine.

use wholestep::carriage::{
    Carriage, CarriageConfig, CommissioningTask, End, Event, Fault, Input, Refusal, State, Stop,
};

use wholestep::mechanism::Trend;

use crate::world::{Act, World, configuration, parts};

/// A person presses and lets go what is asked for.
fn change(world: &mut World<'_>, input: Input) {
    match input {
        Input::Switch(End::Low) => world.low.stuck = Some(true),
        Input::Switch(End::High) => world.high.stuck = Some(true),
        Input::Probe => world.probe.stuck = Some(true),
        Input::Enable => world.enable = !world.enable,
        Input::Dial => world.dial = world.dial.wrapping_add(4),
        Input::Rocker => world.rocker = Some(End::Low),
    }
    world.run_for(50_000);
    match input {
        Input::Switch(End::Low) => world.low.stuck = None,
        Input::Switch(End::High) => world.high.stuck = None,
        Input::Probe => world.probe.stuck = None,
        Input::Enable => world.enable = !world.enable,
        Input::Dial => world.dial = world.dial.wrapping_sub(4),
        Input::Rocker => {
            world.rocker = None;
            world.run_for(50_000);
            world.rocker = Some(End::High);
            world.run_for(50_000);
            world.rocker = None;
        }
    }
    world.run_for(50_000);
}

fn with_inputs_seen(configuration: &CarriageConfig) -> World<'_> {
    let mut world = World::new(Carriage::new(configuration), 5_000);
    for input in Input::ALL {
        assert_eq!(world.carriage.commissioning_task(), Some(CommissioningTask::Change(input)));
        assert_eq!(world.carriage.nudge(), Err(Refusal::OutOfTurn));
        change(&mut world, input);
        assert!(world.has(Event::Seen(input)), "{input:?}: {:?}", world.events);
    }
    assert!(world.edges.is_empty() && !world.last.unwrap().drive);
    world
}

#[test]
fn a_new_machine_is_checked_step_by_step() {
    let configuration = configuration();
    let mut world = with_inputs_seen(&configuration);
    assert_eq!(world.carriage.commissioning_task(), Some(CommissioningTask::Nudge));
    assert_eq!(world.carriage.find_datum(), Err(Refusal::NotCommissioned));
    world.carriage.nudge().unwrap();
    assert_eq!(world.carriage.commissioning_task(), Some(CommissioningTask::Wait));
    world.run();
    assert_eq!(
        (world.truth, world.carriage.commissioning_task()),
        (5_100, Some(CommissioningTask::ConfirmDirection))
    );
    world.carriage.confirm_direction(true).unwrap();
    world.carriage.measure_travel().unwrap();
    world.run();
    assert_eq!(
        (world.truth, world.carriage.commissioning_task()),
        (7_100, Some(CommissioningTask::ReportTravel))
    );
    world.carriage.report_travel(false).unwrap();
    assert_eq!(world.carriage.commissioning_task(), Some(CommissioningTask::MeasureTravel));
    world.carriage.measure_travel().unwrap();
    world.run();
    world.carriage.report_travel(true).unwrap();
    assert_eq!(
        (world.carriage.commissioning_task(), world.carriage.state()),
        (Some(CommissioningTask::FindDatum), State::Resting)
    );
    assert_eq!(world.carriage.go_to(1), Err(Refusal::DatumFirst));
    assert_eq!(world.carriage.confirm_position(1), Err(Refusal::DatumFirst));
    world.carriage.find_datum().unwrap();
    world.run();
    assert_eq!((world.carriage.commissioning_task(), world.carriage.step()), (None, world.truth));
    world.carriage.go_to(1).unwrap();
}

#[test]
fn a_broken_wire_or_an_exchanged_pair_does_not_pass() {
    let configuration = configuration();
    let mut world = World::new(Carriage::new(&configuration), 5_000);
    world.low.stuck = Some(true);
    world.run_for(1_000_000);
    assert_eq!(world.carriage.commissioning_task(), Some(CommissioningTask::Change(Input::Switch(End::Low))));
    let mut world = World::new(Carriage::new(&configuration), 5_000);
    change(&mut world, Input::Switch(End::High));
    assert_eq!(world.carriage.commissioning_task(), Some(CommissioningTask::Change(Input::Switch(End::Low))));
    assert!(world.has(Event::OtherInput(Input::Switch(End::High))));
}

#[test]
fn a_wrong_direction_is_nudged_again_and_a_brake_too() {
    let configuration = configuration();
    let mut world = with_inputs_seen(&configuration);
    world.carriage.nudge().unwrap();
    world.run();
    world.carriage.confirm_direction(false).unwrap();
    assert_eq!(world.carriage.commissioning_task(), Some(CommissioningTask::Nudge));
    let stops: [Act; 3] = [|w| w.enable = false, |w| w.carriage.brake(), |w| w.carriage.release()];
    for stop in stops {
        world.enable = true;
        world.run_for(20_000);
        world.carriage.nudge().unwrap();
        world.run_for(200_000);
        assert!(world.carriage.is_moving());
        stop(&mut world);
        world.run();
        assert_eq!(world.carriage.commissioning_task(), Some(CommissioningTask::Nudge));
    }
    world.enable = false;
    world.run_for(20_000);
    assert_eq!(world.carriage.nudge(), Err(Refusal::EnableNotHeld));
    world.enable = true;
    world.run_for(20_000);
    // Let go between the request and the poll: nothing begins.
    let edges = world.edges.len();
    world.carriage.nudge().unwrap();
    world.enable = false;
    world.run();
    assert_eq!(
        (world.edges.len(), world.carriage.commissioning_task()),
        (edges, Some(CommissioningTask::Nudge))
    );
}

#[test]
fn commissioning_asks_only_for_what_is_fitted() {
    let mut parts = parts();
    parts.switches = [None; 2];
    parts.datum = None;
    parts.probe = None;
    parts.touch = None;
    parts.dial = None;
    parts.rocker = false;
    let configuration = CarriageConfig::new(parts).unwrap();
    let mut world = World::new(Carriage::new(&configuration), 5_000);
    world.events.clear();
    assert_eq!(world.carriage.commissioning_task(), Some(CommissioningTask::Change(Input::Enable)));
    // What is not there is not heard either.
    world.dial = 8;
    world.rocker = Some(End::High);
    world.run_for(20_000);
    assert!(world.events.is_empty(), "{:?}", world.events);
    change(&mut world, Input::Enable);
    assert_eq!(world.carriage.commissioning_task(), Some(CommissioningTask::Nudge));
    // Without a switch for it there is no datum to find: a height may be stated, once checked.
    world.carriage.nudge().unwrap();
    world.run();
    world.carriage.confirm_direction(true).unwrap();
    world.carriage.measure_travel().unwrap();
    world.run();
    world.carriage.report_travel(true).unwrap();
    assert_eq!(world.carriage.find_datum(), Err(Refusal::NotFitted));
    world.carriage.confirm_position(5_000).unwrap();
    assert_eq!((world.carriage.commissioning_task(), world.carriage.is_proven()), (None, true));
    world.carriage.go_to(5_001).unwrap();
}

#[test]
fn each_input_must_change_both_ways_and_another_is_told() {
    let configuration = configuration();
    let others: [(Input, Act); 5] = [
        (Input::Switch(End::High), |w| w.high.stuck = Some(true)),
        (Input::Probe, |w| w.probe.stuck = Some(true)),
        (Input::Enable, |w| w.enable = false),
        (Input::Dial, |w| w.dial = 1),
        (Input::Rocker, |w| w.rocker = Some(End::Low)),
    ];
    for (input, act) in others {
        let mut world = World::new(Carriage::new(&configuration), 5_000);
        world.events.clear();
        act(&mut world);
        world.run_for(20_000);
        world.run_for(20_000);
        assert_eq!(world.events, [Event::OtherInput(input)]);
        assert_eq!(
            world.carriage.commissioning_task(),
            Some(CommissioningTask::Change(Input::Switch(End::Low)))
        );
    }
    // One way alone is not enough, however often.
    let mut world = World::new(Carriage::new(&configuration), 5_000);
    for input in &Input::ALL[..4] {
        change(&mut world, *input);
    }
    for (input, one, other) in [
        (Input::Dial, (|w| w.dial += 1) as Act, (|w| w.dial -= 1) as Act),
        (
            Input::Rocker,
            |w| {
                w.rocker = Some(End::Low);
                w.run_for(10);
                w.rocker = None;
            },
            |w| w.rocker = Some(End::High),
        ),
    ] {
        for _ in 0..3 {
            one(&mut world);
            world.run_for(1_000);
            assert_eq!(world.carriage.commissioning_task(), Some(CommissioningTask::Change(input)));
            assert!(!world.has(Event::Seen(input)));
        }
        other(&mut world);
        world.run_for(1_000);
        assert!(world.has(Event::Seen(input)));
    }
    assert_eq!(world.carriage.commissioning_task(), Some(CommissioningTask::Nudge));
}

#[test]
fn switches_pressed_by_hand_are_no_fault_until_it_moves() {
    let configuration = configuration();
    let mut world = World::new(Carriage::new(&configuration), 5_000);
    let both = |world: &mut World<'_>| {
        world.low.stuck = Some(true);
        world.high.stuck = Some(true);
        world.run_for(20_000);
        world.low.stuck = None;
        world.high.stuck = None;
        world.run_for(20_000);
    };
    both(&mut world);
    assert_eq!(world.carriage.fault(), None);
    let mut world = with_inputs_seen(&configuration);
    both(&mut world);
    assert_eq!(world.carriage.fault(), Some(Fault::BothPressed));
    assert_eq!(world.carriage.nudge(), Err(Refusal::Faulted));
    world.carriage.clear_fault().unwrap();
    assert_eq!(
        (world.carriage.state(), world.carriage.commissioning_task()),
        (State::Commissioning, Some(CommissioningTask::Nudge))
    );
}

/// Brings a new machine to where the travel is asked for.
fn before_the_travel(configuration: &CarriageConfig) -> World<'_> {
    let mut world = with_inputs_seen(configuration);
    world.carriage.nudge().unwrap();
    world.run();
    world.carriage.confirm_direction(true).unwrap();
    world.events.clear();
    world
}

type Ask = fn(&mut World<'_>) -> Result<(), Refusal>;

#[test]
fn a_fault_under_way_asks_for_the_same_motion_again() {
    let configuration = configuration();
    let motions: [(CommissioningTask, Ask); 2] = [
        (CommissioningTask::Nudge, |w| w.carriage.nudge()),
        (CommissioningTask::MeasureTravel, |w| w.carriage.measure_travel()),
    ];
    for (asked, motion) in motions {
        let prepared = || {
            let mut world = match asked {
                CommissioningTask::Nudge => with_inputs_seen(&configuration),
                _ => before_the_travel(&configuration),
            };
            world.high.bounce.clear();
            world.events.clear();
            world
        };
        let mut world = prepared();
        assert_eq!(world.carriage.commissioning_task(), Some(asked));
        motion(&mut world).unwrap();
        world.run_to_edge(world.edges.len() + 20);
        assert_eq!(motion(&mut world), Err(Refusal::OutOfTurn), "it moves already");
        world.high.stuck = Some(true);
        assert_eq!(world.fault(), Some(Fault::SwitchReached(End::High)));
        let step = world.carriage.step();
        assert_eq!(
            world.events,
            [Event::Faulted(Fault::SwitchReached(End::High)), Event::Stopped { step, why: Stop::Fault }]
        );
        world.carriage.clear_fault().unwrap();
        assert_eq!(world.carriage.commissioning_task(), Some(asked));
        assert_eq!(motion(&mut world), Err(Refusal::SwitchPressed(End::High)));

        // Braked, or released: the same again.
        let mut world = prepared();
        motion(&mut world).unwrap();
        world.run_to_edge(world.edges.len() + 20);
        world.carriage.brake();
        assert_eq!(world.carriage.state(), State::Commissioning);
        world.run();
        let step = world.carriage.step();
        assert_eq!(world.events, [Event::Stopped { step, why: Stop::Braked }]);
        assert_eq!(world.carriage.commissioning_task(), Some(asked));
        motion(&mut world).unwrap();
        world.run_to_edge(world.edges.len() + 20);
        world.carriage.brake_and_release();
        assert_eq!(world.carriage.state(), State::Braking);
        assert_eq!(world.carriage.go_by(1), Err(Refusal::NotCommissioned));
        world.run();
        assert_eq!((world.carriage.state(), world.last.unwrap().drive), (State::Commissioning, false));
        assert_eq!(world.carriage.commissioning_task(), Some(asked));
        // Standing, it releases at once.
        motion(&mut world).unwrap();
        world.run();
        assert!(world.last.unwrap().drive);
        world.carriage.brake_and_release();
        assert_eq!(world.carriage.state(), State::Commissioning);
        assert!(!world.poll().drive);
    }
}

#[test]
fn commissioning_moves_toward_the_high_end_at_the_slow_pace_and_the_search_s() {
    for trend in [Trend::Rising, Trend::Falling] {
        let mut parts = parts();
        parts.trend = trend;
        parts.datum.as_mut().unwrap().step = if trend == Trend::Rising { -200 } else { 10_200 };
        let configuration = CarriageConfig::new(parts).unwrap();
        let mut world = World::new(Carriage::new(&configuration), 5_000);
        for input in Input::ALL {
            change(&mut world, input);
        }
        world.events.clear();
        let sign = End::High.direction(trend).sign();
        world.carriage.nudge().unwrap();
        world.run();
        assert_eq!(world.truth, 5_000 + sign * 100);
        let arrived = |world: &World<'_>| Event::Stopped { step: world.carriage.step(), why: Stop::Arrived };
        assert_eq!(world.events, [arrived(&world)]);
        let shortest = |world: &World<'_>| world.edges.windows(2).map(|pair| pair[1].0 - pair[0].0).min();
        assert_eq!(shortest(&world), Some(5_000));
        world.carriage.confirm_direction(true).unwrap();
        world.edges.clear();
        world.carriage.measure_travel().unwrap();
        world.run();
        assert_eq!((world.truth, shortest(&world)), (5_000 + sign * 2_100, Some(666)));
    }
}

#[test]
fn each_answer_has_its_turn() {
    let configuration = configuration();
    let mut world = before_the_travel(&configuration);
    assert_eq!(world.carriage.confirm_direction(true), Err(Refusal::OutOfTurn));
    assert_eq!(world.carriage.report_travel(true), Err(Refusal::OutOfTurn));
    assert_eq!(world.carriage.nudge(), Err(Refusal::OutOfTurn));
    assert_eq!(world.carriage.mark_unproven(), Err(Refusal::Busy(State::Commissioning)));
    // Unread inputs come before turns.
    world.now = 5;
    world.poll();
    assert_eq!(world.carriage.fault(), Some(Fault::TimeBackwards));
    assert_eq!(world.carriage.measure_travel(), Err(Refusal::Faulted));
    let unread = Carriage::new(&configuration).measure_travel();
    assert_eq!(unread, Err(Refusal::InputsUnsettled));
}
