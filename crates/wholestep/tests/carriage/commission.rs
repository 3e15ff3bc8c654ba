//! Commissioning a new machine.

use wholestep::Exact;
use wholestep::carriage::{
    Asked, Carriage, Cause, Configuration, End, Event, Input, Refusal, State, Verdict,
};

use crate::world::{Act, World, configuration};

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

fn with_inputs_seen(configuration: &Configuration) -> World<'_> {
    let mut world = World::new(Carriage::new(configuration), 5_000);
    for input in Input::ALL {
        assert_eq!(world.carriage.asked(), Some(Asked::Change(input)));
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
    assert_eq!(world.carriage.asked(), Some(Asked::Nudge));
    assert_eq!(world.carriage.find_datum(), Err(Refusal::NotCommissioned));
    world.carriage.nudge().unwrap();
    assert_eq!(world.carriage.asked(), Some(Asked::Wait));
    world.run();
    assert_eq!((world.truth, world.carriage.asked()), (5_100, Some(Asked::ConfirmDirection)));
    world.carriage.confirm_direction(true).unwrap();
    world.carriage.measure_travel().unwrap();
    world.run();
    assert_eq!((world.truth, world.carriage.asked()), (7_100, Some(Asked::ReportTravel)));
    let whole = Exact::integer;
    let tolerance = Exact::new(1, 50).unwrap();
    world.carriage.report_travel(&Verdict::of(whole(20), whole(40), tolerance).unwrap()).unwrap();
    assert_eq!(world.carriage.asked(), Some(Asked::MeasureTravel));
    world.carriage.measure_travel().unwrap();
    world.run();
    world.carriage.report_travel(&Verdict::of(whole(20), whole(20), tolerance).unwrap()).unwrap();
    assert_eq!((world.carriage.asked(), world.carriage.state()), (Some(Asked::FindDatum), State::Resting));
    assert_eq!(world.carriage.go_to(1), Err(Refusal::DatumFirst));
    assert_eq!(world.carriage.state_gauge_height(1), Err(Refusal::DatumFirst));
    world.carriage.find_datum().unwrap();
    world.run();
    assert_eq!((world.carriage.asked(), world.carriage.step()), (None, world.truth));
    world.carriage.go_to(1).unwrap();
}

#[test]
fn a_broken_wire_or_an_exchanged_pair_does_not_pass() {
    let configuration = configuration();
    let mut world = World::new(Carriage::new(&configuration), 5_000);
    world.low.stuck = Some(true);
    world.run_for(1_000_000);
    assert_eq!(world.carriage.asked(), Some(Asked::Change(Input::Switch(End::Low))));
    let mut world = World::new(Carriage::new(&configuration), 5_000);
    change(&mut world, Input::Switch(End::High));
    assert_eq!(world.carriage.asked(), Some(Asked::Change(Input::Switch(End::Low))));
    assert!(world.has(Event::OtherInput(Input::Switch(End::High))));
}

#[test]
fn a_wrong_direction_is_nudged_again_and_a_brake_too() {
    let configuration = configuration();
    let mut world = with_inputs_seen(&configuration);
    world.carriage.nudge().unwrap();
    world.run();
    world.carriage.confirm_direction(false).unwrap();
    assert_eq!(world.carriage.asked(), Some(Asked::Nudge));
    let stops: [Act; 3] = [|w| w.enable = false, |w| w.carriage.brake(), |w| w.carriage.release()];
    for stop in stops {
        world.enable = true;
        world.run_for(20_000);
        world.carriage.nudge().unwrap();
        world.run_for(200_000);
        assert!(world.carriage.is_moving());
        stop(&mut world);
        world.run();
        assert_eq!(world.carriage.asked(), Some(Asked::Nudge));
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
    assert_eq!((world.edges.len(), world.carriage.asked()), (edges, Some(Asked::Nudge)));
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
