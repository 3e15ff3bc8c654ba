//! When a contact counts, to the tick, and when the carriage asks to be polled for it.

use wholestep::carriage::{
    Carriage, CarriageConfig, End, Event, Events, Fault, Input, Inputs, Output, Refusal, State,
};

use crate::world::{SETTLE, configuration, parts};

/// Released switches and probe, enable held.
const QUIET: Inputs = Inputs {
    low_switch: false,
    high_switch: false,
    probe: true,
    enable: true,
    drive_fault: false,
    dial: 0,
    rocker: None,
};

fn events(output: &Output) -> Vec<Event> {
    output.events.iter().collect()
}

/// A commissioned carriage whose contacts have settled, at tick 6,000.
fn ready(configuration: &CarriageConfig) -> Carriage<&CarriageConfig> {
    let mut carriage = Carriage::commissioned(configuration);
    carriage.poll(1_000, &QUIET);
    let output = carriage.poll(1_000 + SETTLE, &QUIET);
    assert_eq!((events(&output), output.poll_again_at), (vec![Event::Ready], None));
    carriage
}

#[test]
fn carriage_is_ready_when_every_contact_has_settled() {
    let configuration = configuration();
    let mut carriage = Carriage::commissioned(&configuration);
    assert_eq!(carriage.poll(1_000, &QUIET).poll_again_at, Some(6_000));
    // Any of them that changes takes its time anew; the others have settled at 6,000.
    let changed: [fn(&mut Inputs); 4] = [
        |inputs| inputs.low_switch = true,
        |inputs| inputs.high_switch = true,
        |inputs| inputs.probe = false,
        |inputs| inputs.enable = false,
    ];
    for change in changed {
        let mut carriage = carriage.clone();
        let mut inputs = QUIET;
        change(&mut inputs);
        assert_eq!(carriage.poll(3_000, &inputs).poll_again_at, Some(6_000));
        let output = carriage.poll(6_000, &inputs);
        assert_eq!((output.events, output.poll_again_at), (Events::default(), Some(8_000)));
        assert!(carriage.poll(7_999, &inputs).events.is_empty());
        assert_eq!(carriage.find_datum(), Err(Refusal::InputsUnsettled));
        let output = carriage.poll(8_000, &inputs);
        assert_eq!((events(&output), output.poll_again_at), (vec![Event::Ready], None));
        assert_ne!(carriage.find_datum(), Err(Refusal::InputsUnsettled));
    }
    assert!(carriage.poll(5_999, &QUIET).events.is_empty());
    assert_eq!(events(&carriage.poll(6_000, &QUIET)), [Event::Ready]);
    assert!(carriage.poll(6_001, &QUIET).events.is_empty());
}

#[test]
fn without_a_settling_time_it_is_ready_at_once() {
    let mut parts = parts();
    parts.contact_settle = 0;
    let configuration = CarriageConfig::new(parts).unwrap();
    let mut carriage = Carriage::commissioned(&configuration);
    let output = carriage.poll(0, &QUIET);
    assert_eq!((events(&output), output.poll_again_at), (vec![Event::Ready], None));
    let pressed = Inputs { low_switch: true, high_switch: true, ..QUIET };
    carriage.poll(1, &pressed);
    assert_eq!(carriage.fault(), Some(Fault::BothPressed));
}

#[test]
fn what_is_not_fitted_reads_released() {
    let mut parts = parts();
    parts.switches = [parts.switches[0], None];
    parts.probe = None;
    parts.touch = None;
    parts.dial = None;
    parts.rocker = false;
    let configuration = CarriageConfig::new(parts).unwrap();
    let mut carriage = Carriage::commissioned(&configuration);
    for now in [0, SETTLE] {
        carriage.poll(now, &Inputs { low_switch: true, high_switch: true, probe: false, ..QUIET });
    }
    assert_eq!((carriage.state(), carriage.fault()), (State::Resting, None));
}

#[test]
fn a_switch_counts_when_it_has_read_pressed_for_its_time() {
    let configuration = configuration();
    let pressed = Inputs { low_switch: true, ..QUIET };
    let both = Inputs { low_switch: true, high_switch: true, ..QUIET };
    let mut carriage = ready(&configuration);
    carriage.poll(10_000, &pressed);
    assert_eq!(carriage.poll(20_000, &both).poll_again_at, Some(25_000));
    carriage.poll(24_999, &both);
    assert_eq!(carriage.fault(), None);
    // Back for an instant: from then on the time counts anew, either way.
    assert_eq!(carriage.poll(24_999, &pressed).poll_again_at, Some(29_999));
    assert_eq!(carriage.poll(25_001, &both).poll_again_at, Some(30_001));
    carriage.poll(30_000, &both);
    assert_eq!(carriage.fault(), None);
    let output = carriage.poll(30_001, &both);
    assert_eq!((carriage.fault(), output.poll_again_at), (Some(Fault::BothPressed), None));
}

#[test]
fn a_spike_is_forgotten_when_it_has_been_quiet_again() {
    let configuration = configuration();
    let mut carriage = ready(&configuration);
    assert_eq!(carriage.poll(10_000, &Inputs { low_switch: true, ..QUIET }).poll_again_at, Some(15_000));
    assert_eq!(carriage.poll(10_100, &QUIET).poll_again_at, Some(15_100));
    assert_eq!(carriage.poll(15_100, &QUIET).poll_again_at, None);
}

#[test]
fn enable_lets_go_at_once_and_holds_when_settled() {
    let configuration = configuration();
    let mut carriage = ready(&configuration);
    let let_go = Inputs { enable: false, ..QUIET };
    carriage.poll(10_000, &let_go);
    assert_eq!(carriage.find_datum(), Err(Refusal::EnableNotHeld), "it has not settled let go");
    assert_eq!(carriage.poll(10_010, &QUIET).poll_again_at, Some(15_010));
    assert_eq!(carriage.find_datum(), Err(Refusal::EnableNotHeld), "nor held again");
    carriage.poll(15_009, &QUIET);
    assert_eq!(carriage.find_datum(), Err(Refusal::EnableNotHeld));
    carriage.poll(15_010, &QUIET);
    assert_eq!(carriage.find_datum(), Ok(()));
    // Let go for long and held again, it takes its time too.
    let mut carriage = ready(&configuration);
    carriage.poll(10_000, &let_go);
    carriage.poll(20_000, &let_go);
    carriage.poll(20_001, &QUIET);
    assert_eq!(carriage.find_datum(), Err(Refusal::EnableNotHeld));
    carriage.poll(25_001, &QUIET);
    assert_eq!(carriage.find_datum(), Ok(()));
}

#[test]
fn a_contact_that_is_waited_for_may_chatter_for_sixteen_settling_times() {
    let configuration = configuration();
    let mut carriage = ready(&configuration);
    let level = |low_switch| Inputs { low_switch, ..QUIET };
    carriage.poll(10_000, &level(true));
    carriage.find_datum().unwrap();
    // It left its level at 10,000.
    let last = 10_000 + 16 * SETTLE;
    for now in (11_000..=last).step_by(1_000) {
        carriage.poll(now, &level((now / 1_000) % 2 == 0));
    }
    assert_eq!(carriage.state(), State::FindingDatum);
    carriage.poll(last + 1, &level(true));
    assert_eq!(carriage.fault(), Some(Fault::Chatter(Input::Switch(End::Low))));
    // The probe likewise, where a touch-off waits for it.
    let mut carriage = ready(&configuration);
    let level = |probe| Inputs { probe, ..QUIET };
    carriage.poll(10_000, &level(false));
    carriage.touch_off(wholestep::carriage::TouchMode::Stop, Some(0)).unwrap();
    for now in (11_000..=last).step_by(1_000) {
        carriage.poll(now, &level((now / 1_000) % 2 != 0));
    }
    assert_eq!(carriage.state(), State::TouchingOff);
    carriage.poll(last + 1, &level(false));
    assert_eq!(carriage.fault(), Some(Fault::Chatter(Input::Probe)));
}

#[test]
fn a_chatter_that_nothing_waits_for_is_none() {
    let configuration = configuration();
    let mut carriage = ready(&configuration);
    for now in (10_000..200_000).step_by(1_000) {
        carriage.poll(now, &Inputs { low_switch: (now / 1_000) % 2 == 0, ..QUIET });
    }
    assert_eq!((carriage.state(), carriage.fault()), (State::Resting, None));
}

#[test]
fn more_than_six_events_between_polls_say_that_some_are_lost() {
    let configuration = configuration();
    let mut carriage = ready(&configuration);
    carriage.poll(10_000, &Inputs { drive_fault: true, ..QUIET });
    carriage.poll(10_001, &QUIET);
    let press = |carriage: &mut Carriage<_>, times: usize| {
        for _ in 0..times {
            carriage.jog(None).unwrap();
            carriage.release();
        }
        carriage.poll(10_002, &QUIET)
    };
    carriage.clear_fault().unwrap();
    // Cleared, then one for each release: stopped.
    let output = press(&mut carriage, 3);
    assert_eq!(output.events.iter().count(), 4);
    assert!(!output.events.is_empty());
    let output = press(&mut carriage, 6);
    assert_eq!(output.events.iter().count(), 6);
    assert!(!output.events.iter().any(|event| event == Event::EventsLost));
    let output = press(&mut carriage, 9);
    assert_eq!(output.events.iter().count(), 6);
    assert_eq!(output.events.iter().last(), Some(Event::EventsLost));
    assert_eq!(output.events.iter().filter(|&event| event == Event::EventsLost).count(), 1);
    assert!(carriage.poll(10_003, &QUIET).events.is_empty());
}
