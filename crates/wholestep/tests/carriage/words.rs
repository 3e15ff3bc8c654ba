//! What people and programs read: names, and the one line of every fault and refusal.

use wholestep::carriage::{Direction, End, Fault, Input, Refusal, State, Wiring};
use wholestep::mechanism::Trend;
use wholestep::{Error, ErrorKind};

#[test]
fn every_fault_is_named_told_and_says_what_to_check() {
    let low = End::Low;
    let cases = [
        (Fault::NeverFound(low), "never_found", "the low switch was never found", "the coupling holds"),
        (Fault::NeverReleased(low), "never_released", "the low switch was never released", "a stuck switch"),
        (
            Fault::WrongSwitch(End::High),
            "wrong_switch",
            "the high switch was met instead of the other",
            "exchanged",
        ),
        (Fault::BothPressed, "both_pressed", "both switches read pressed", "wire that both switches share"),
        (
            Fault::PressedMovingAway(low),
            "pressed_moving_away",
            "the low switch became pressed while moving away from it",
            "exchanged",
        ),
        (Fault::SwitchReached(End::High), "switch_reached", "the high switch was reached", "lost steps"),
        (Fault::Drive, "drive", "the drive reports a fault", "let it cool"),
        (Fault::ProbeClosed, "probe_closed", "the probe was closed at the start", "does not touch yet"),
        (Fault::NeverTouched, "never_touched", "the probe was never touched", "under the cutter"),
        (Fault::Chatter(Input::Probe), "chatter", "the probe did not settle", "dirt on the contact"),
        (Fault::PolledLate, "polled_late", "a poll came too late while moving fast", "polling in time"),
        (Fault::TimeBackwards, "time_backwards", "the time ran backwards", "the controller's timer"),
        (
            Fault::ApproachesDiffer(low),
            "approaches_differ",
            "two slow approaches met the low switch at different steps",
            "loose coupling",
        ),
        (
            Fault::TouchContradicts,
            "touch_contradicts",
            "the touch contradicts the proven position",
            "the height that was given",
        ),
        (Fault::TimeTooLarge, "time_too_large", "the time is too large", "the controller's timer"),
        (Fault::Plan, "plan", "the motion does not fit the plan's integers", "lengths and speeds"),
    ];
    for (fault, name, told, check) in cases {
        assert_eq!(fault.name(), name);
        assert!(fault.check().contains(check), "{name}: {}", fault.check());
        assert_eq!(fault.to_string(), format!("{told}: {}", fault.check()));
    }
}

#[test]
fn every_refusal_is_named_and_says_what_to_do() {
    let cases = [
        (
            Refusal::Busy(State::Jogging),
            "busy",
            "the carriage is jogging: brake first, or wait until it stops",
        ),
        (Refusal::Faulted, "faulted", "a fault has stopped the carriage: see to it, then clear the fault"),
        (
            Refusal::FaultPersists,
            "fault_persists",
            "the cause of the fault is still there: see to it, then clear the fault",
        ),
        (Refusal::NotFaulted, "not_faulted", "there is no fault: nothing needs clearing"),
        (Refusal::NotCommissioned, "not_commissioned", "the machine is new: commission it first"),
        (Refusal::OutOfTurn, "out_of_turn", "commissioning is at another step: do what it asks for now"),
        (
            Refusal::DatumFirst,
            "datum_first",
            "the datum of this new machine has not been found: find the datum first; nothing else proves the travel",
        ),
        (
            Refusal::PositionUnproven,
            "position_unproven",
            "the position is unproven: find the datum, touch off, or confirm the position at a gauge",
        ),
        (Refusal::EnableNotHeld, "enable_not_held", "the enable input is not held: hold it"),
        (
            Refusal::InputsUnsettled,
            "inputs_unsettled",
            "the contacts have not settled: wait until they have been read for their settling time",
        ),
        (
            Refusal::NotFitted,
            "not_fitted",
            "the axis has no such equipment: fit it, and name it in the axis file",
        ),
        (
            Refusal::DriveOff,
            "drive_off",
            "the drive is off, so no step is held: hold the motor, or jog; poll until the drive has settled, then confirm the position",
        ),
        (
            Refusal::DriveSettling,
            "drive_settling",
            "the drive has not settled: poll until it has, then confirm the position",
        ),
        (
            Refusal::PlayNotTakenUp,
            "play_not_taken_up",
            "the play is not taken up: jog the way in which targets are reached, by the backlash at least; then confirm the position",
        ),
        (
            Refusal::SwitchPressed(End::High),
            "switch_pressed",
            "the high switch is pressed: go the other way; if nothing presses the switch, check its wire",
        ),
        (
            Refusal::SwitchPressed(End::Low),
            "switch_pressed",
            "the low switch is pressed: go the other way; if nothing presses the switch, check its wire",
        ),
        (
            Refusal::BeyondLimit { step: 11, last: 9 },
            "beyond_limit",
            "step 11: too far by 2; at most 9 is allowed; choose a step within the soft limits",
        ),
        (
            Refusal::BeyondLimit { step: -3, last: 2 },
            "beyond_limit",
            "step -3: too far by 5; at least 2 is allowed; choose a step within the soft limits",
        ),
        (Refusal::OutOfRange, "out_of_range", "step: give a number within the range of steps"),
    ];
    for (refusal, name, told) in cases {
        assert_eq!(refusal.name(), name);
        assert_eq!(refusal.to_string(), told);
        let kind = match refusal {
            Refusal::BeyondLimit { .. } => ErrorKind::BeyondLimit,
            Refusal::OutOfRange => ErrorKind::OutOfRange,
            _ => ErrorKind::Refused,
        };
        assert_eq!(Error::from(refusal).kind(), kind, "{name}");
    }
}

#[test]
fn states_and_inputs_have_their_names() {
    let names = State::ALL.map(State::name);
    let expected = [
        "resting",
        "travelling",
        "braking",
        "jogging",
        "finding_datum",
        "touching_off",
        "commissioning",
        "faulted",
    ];
    assert_eq!(names, expected);
    let names = Input::ALL.map(Input::name);
    assert_eq!(names, ["low_switch", "high_switch", "probe", "enable", "dial", "rocker"]);
    assert_eq!(End::BOTH.map(End::name), ["low", "high"]);
    assert_eq!(
        [Wiring::NormallyClosed, Wiring::NormallyOpen].map(Wiring::name),
        ["normally_closed", "normally_open"]
    );
}

#[test]
fn a_level_means_pressed_as_the_contact_is_wired() {
    // Closed to ground and opened by pressing, or open and closed to ground by it; read with a pull-up.
    assert_eq!([false, true].map(|level| Wiring::NormallyClosed.is_pressed(level)), [false, true]);
    assert_eq!([false, true].map(|level| Wiring::NormallyOpen.is_pressed(level)), [true, false]);
}

#[test]
fn ends_and_directions_are_each_other_s_mirror() {
    use Direction::{Backward, Forward};
    for (end, trend, direction) in [
        (End::Low, Trend::Rising, Backward),
        (End::High, Trend::Rising, Forward),
        (End::Low, Trend::Falling, Forward),
        (End::High, Trend::Falling, Backward),
    ] {
        assert_eq!(end.direction(trend), direction);
        assert_eq!(End::toward(direction, trend), end);
        assert_eq!(end.other().direction(trend), direction.reversed());
    }
    for (here, there, direction) in [(3, 4, Some(Forward)), (4, 3, Some(Backward)), (4, 4, None)] {
        assert_eq!(Direction::between(here, there), direction);
    }
}
