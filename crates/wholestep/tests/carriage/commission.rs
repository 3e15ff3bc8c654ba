//! Commissioning a new machine.

use wholestep::Exact;
use wholestep::carriage::{
    Carriage, CarriageConfig, Cause, CommissioningTask, End, Event, Fault, Input, Refusal, State, Stop,
    Verdict,
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
    let whole = Exact::integer;
    let tolerance = Exact::new(1, 50).unwrap();
    world.carriage.report_travel(&Verdict::of(whole(20), whole(40), tolerance).unwrap()).unwrap();
    assert_eq!(world.carriage.commissioning_task(), Some(CommissioningTask::MeasureTravel));
    world.carriage.measure_travel().unwrap();
    world.run();
    world.carriage.report_travel(&Verdict::of(whole(20), whole(20), tolerance).unwrap()).unwrap();
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
fn a_wrong_travel_is_named() {
    let number = |text: (i128, i128)| Exact::new(text.0, text.1).unwrap();
    let cases: &[((i128, i128), Option<Cause>)] = &[
        ((20, 1), None),
        ((203, 10), None),
        ((40, 1), Some(Cause::StepMode)),
        ((10, 1), Some(Cause::StepAngle)),
        ((80, 1), Some(Cause::Starts)),
        ((60, 1), Some(Cause::Starts)),
        ((508, 1), Some(Cause::InchMillimetre)),
        ((20_000, 25_400), Some(Cause::InchMillimetre)),
        ((30, 1), Some(Cause::Teeth)),
    ];
    for &(measured, cause) in cases {
        let verdict = Verdict::of(number((20, 1)), number(measured), number((1, 50))).unwrap();
        assert_eq!(verdict.agrees(), cause.is_none(), "{measured:?}");
        if let Some(cause) = cause {
            assert!(verdict.causes.contains(&cause), "{measured:?}: {verdict:?}");
            assert!(!cause.name().is_empty());
        }
    }
    let odd = Verdict::of(number((20, 1)), number((23, 1)), number((1, 50))).unwrap();
    assert!(!odd.agrees() && odd.taken_for.is_none() && odd.causes.is_empty());
    assert!(Verdict::of(number((0, 1)), number((23, 1)), number((1, 50))).is_err());
}

#[test]
fn only_what_is_fitted_is_asked_for() {
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
    let one = Exact::ONE;
    let agrees = Verdict::of(one, one, Exact::ZERO).unwrap();
    world.carriage.nudge().unwrap();
    world.run();
    world.carriage.confirm_direction(true).unwrap();
    world.carriage.measure_travel().unwrap();
    world.run();
    world.carriage.report_travel(&agrees).unwrap();
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
fn it_moves_toward_the_high_end_at_the_slow_pace_and_the_search_s() {
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
    let one = Exact::ONE;
    let agrees = Verdict::of(one, one, Exact::ZERO).unwrap();
    let mut world = before_the_travel(&configuration);
    assert_eq!(world.carriage.confirm_direction(true), Err(Refusal::OutOfTurn));
    assert_eq!(world.carriage.report_travel(&agrees), Err(Refusal::OutOfTurn));
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

#[test]
fn every_known_ratio_is_taken_for_itself_either_way_up() {
    use Cause::{InchMillimetre, Starts, StepAngle, StepMode, Teeth};
    let cases: [(i128, i128, &[Cause]); 17] = [
        (2, 1, &[StepMode, StepAngle, Starts, Teeth]),
        (4, 1, &[StepMode, Starts, Teeth]),
        (8, 1, &[StepMode, Starts]),
        (16, 1, &[StepMode]),
        (32, 1, &[StepMode]),
        (64, 1, &[StepMode]),
        (128, 1, &[StepMode]),
        (256, 1, &[StepMode]),
        (3, 1, &[Starts, Teeth]),
        (5, 1, &[Starts, StepMode]),
        (6, 1, &[Starts]),
        (10, 1, &[StepMode]),
        (127, 5, &[InchMillimetre]),
        (3, 2, &[Teeth]),
        (9, 4, &[Teeth]),
        (16, 9, &[Teeth]),
        (25, 16, &[Teeth]),
    ];
    for (numerator, denominator, causes) in cases {
        for (numerator, denominator) in [(numerator, denominator), (denominator, numerator)] {
            let ratio = Exact::new(numerator, denominator).unwrap();
            let verdict = Verdict::of(Exact::ONE, ratio, Exact::ZERO).unwrap();
            let expected = Verdict { ratio, taken_for: Some(ratio), causes };
            assert_eq!((verdict, verdict.agrees()), (expected, false));
        }
    }
}

#[test]
fn a_travel_of_the_wrong_sign_is_refused() {
    let exact = |n, d| Exact::new(n, d).unwrap();
    for (expected, measured, tolerance, quoted) in [
        ((1, 1), (-1, 1), (1, 50), "measured travel -1: at least 0 is allowed"),
        ((-1, 1), (-1, 1), (1, 50), "expected travel -1: at least 0 is allowed"),
        ((1, 1), (1, 1), (-1, 50), "tolerance -1/50: 0 to 1 is allowed"),
        ((1, 1), (1, 1), (3, 2), "tolerance 3/2: 0 to 1 is allowed"),
    ] {
        let number = |(n, d)| exact(n, d);
        let refused = Verdict::of(number(expected), number(measured), number(tolerance)).unwrap_err();
        assert_eq!(refused.kind(), wholestep::ErrorKind::OutOfRange);
        assert!(refused.to_string().starts_with(quoted), "{refused}");
    }
    assert!(!Verdict::of(exact(1, 1), exact(0, 1), exact(1, 50)).unwrap().agrees());
}

#[test]
fn a_travel_agrees_to_within_its_tolerance_and_no_further() {
    let exact = |n, d| Exact::new(n, d).unwrap();
    for (measured, agrees) in [
        (exact(51, 50), true),
        (exact(49, 50), true),
        (exact(510_001, 500_000), false),
        (exact(489_999, 500_000), false),
    ] {
        let verdict = Verdict::of(Exact::ONE, measured, exact(1, 50)).unwrap();
        assert_eq!((verdict.agrees(), verdict.ratio), (agrees, measured));
        assert!(verdict.causes.is_empty());
    }
}
