//! Where one part hands over to the next: a stop to a start, a request to a poll, an approach to the
//! hand, a proof to the flank it was taken on. What each test promises once did not hold.

use std::sync::mpsc;
use std::thread;
use std::time::Duration;

use num_rational::Ratio;
use wholestep::carriage::{
    Carriage, CarriageConfig, DatumSearch, Detent, Direction, End, Event, Fault, Input, Parts, Refusal,
    State, Stop, TIME_MAX, TouchMode, TouchSearch, Unproven,
};
use wholestep::plan::{PulseTiming, StepLimits, StepRates};

use crate::bench::{Bench, HZ, PLAY, Pulse, QUIET, bare, limits, paced, parts, with_play};

/// Ticks that a pulse lasts on the bench.
const WIDTH: u64 = 10;

// Stop to start.

/// At a start speed a motion can end with its last edge; the next must not turn the direction pin in
/// the output that carries it.
#[test]
fn d1a_the_direction_pin_agrees_with_the_edge_it_comes_with() {
    let configuration =
        CarriageConfig::new(Parts { approach: Some((End::Low, 20)), ..parts(1_000) }).unwrap();
    for edges in 1..120 {
        let mut bench = Bench::proven(&configuration, 900);
        bench.carriage.go_to(100).unwrap();
        bench.run_edges(edges);
        if bench.carriage.go_to(700).is_ok() {
            bench.run();
        }
        let agrees = |(_, direction, level): &Pulse| (*direction == Direction::Forward) == *level;
        assert!(bench.edges.iter().all(agrees), "turned to another target after edge {edges}");
    }
}

#[test]
fn d1b_edges_keep_the_speed_and_the_pulse_timing_with_a_start_speed() {
    // At full speed, at which it also starts, a step takes 20 ticks: as long as a pulse and its gap.
    let pace = limits(50_000, 8_000, 50_000);
    let configuration = CarriageConfig::new(paced(&pace, &parts(0))).unwrap();
    let mut bench = Bench::proven(&configuration, 500);
    bench.carriage.go_to(900).unwrap();
    bench.run_edges(50);
    bench.carriage.brake();
    bench.run();
    bench.carriage.go_to(900).unwrap();
    bench.run();
    assert_eq!((bench.carriage.step(), bench.shortest(0)), (900, 20));
}

#[test]
fn d1c_the_direction_stands_until_the_pulse_is_over() {
    // Half a step takes less time than a pulse of 15 ticks, so the pulse is what has to be waited for.
    let fast = paced(&limits(50_000, 8_000, 50_000), &parts(0));
    let long = Parts { timing: PulseTiming::new(20, 15, 5).unwrap(), ..fast };
    for (parts, width) in [(parts(1_000), WIDTH), (fast, WIDTH), (long, 15)] {
        let configuration = CarriageConfig::new(parts).unwrap();
        let mut bench = Bench::proven(&configuration, 500);
        bench.carriage.go_to(900).unwrap();
        bench.run_edges(3);
        bench.carriage.go_to(100).unwrap();
        bench.run_until(|bench| !bench.last.unwrap().direction);
        let (last, turned) = (bench.edges.last().unwrap().0, bench.now);
        assert!(turned - last >= width, "turned {} ticks after the edge", turned - last);
        bench.run_edges(1);
        assert!(bench.now - turned >= 20, "an edge {} ticks after the pin turned", bench.now - turned);
    }
}

/// A drive switched off and on again within a pulse does not turn the direction pin in it either.
#[test]
fn d1d_nor_does_a_release_within_the_pulse_turn_it() {
    let configuration = CarriageConfig::new(Parts { drive_settle: 0, ..parts(0) }).unwrap();
    let mut bench = Bench::proven(&configuration, 500);
    bench.carriage.go_to(900).unwrap();
    bench.run_edges(10);
    let last = bench.now;
    bench.carriage.release();
    bench.carriage.find_datum().unwrap();
    bench.run_until(|bench| !bench.last.unwrap().direction);
    assert!(bench.now - last >= WIDTH, "turned {} ticks after the edge", bench.now - last);
}

// Request to poll.

#[test]
fn d2_no_edge_before_the_drive_has_settled() {
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    let mut bench = Bench::new(&configuration);
    // An hour at rest, in which nothing had to be polled.
    bench.now += 3_600 * HZ;
    bench.carriage.jog(Some(Detent::new(1, 1).unwrap())).unwrap();
    assert!(bench.poll().drive);
    let on = bench.now;
    bench.now += 1_000;
    bench.turn(10);
    assert!(
        bench.edges[0].0 - on >= 100_000,
        "the first edge {} ticks after the drive",
        bench.edges[0].0 - on
    );
}

/// Between the request and the poll the pin is low still, and when it rises the rotor may snap.
#[test]
fn d3_a_height_is_not_taken_while_the_drive_is_off_or_settles() {
    type Ask = fn(&mut Bench<'_>) -> Result<(), Refusal>;
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    let asks: [Ask; 2] = [|bench| bench.carriage.jog(None), |bench| bench.carriage.hold()];
    for ask in asks {
        let mut bench = Bench::new(&configuration);
        assert_eq!(bench.carriage.confirm_position(500), Err(Refusal::DriveOff));
        ask(&mut bench).unwrap();
        assert_eq!(bench.carriage.confirm_position(500), Err(Refusal::DriveOff));
        assert!(bench.poll().drive);
        assert_eq!(bench.carriage.confirm_position(500), Err(Refusal::DriveSettling));
        // It asks to be polled when the drive has settled, and not a tick sooner is it taken.
        assert_eq!(bench.due(), bench.now + 100_000);
        bench.now = bench.due() - 1;
        bench.poll();
        assert_eq!(bench.carriage.confirm_position(500), Err(Refusal::DriveSettling));
        bench.now += 1;
        bench.poll();
        assert_eq!(bench.carriage.confirm_position(500), Ok(()));
        assert!(bench.carriage.is_proven());
    }
}

// Numbers, times and rates at their ends.

#[test]
fn d4_the_least_and_the_greatest_number_are_refused() {
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    for number in [i64::MIN, i64::MIN + 1, i64::MAX] {
        for at in [0, 100, 1_000] {
            let mut bench = Bench::proven(&configuration, at);
            assert_eq!(bench.carriage.go_by(number), Err(Refusal::OutOfRange), "by {number}");
            let last = if number < 0 { 0 } else { 1_000 };
            let beyond = Err(Refusal::BeyondLimit { step: number, last });
            assert_eq!(bench.carriage.go_to(number), beyond);
            assert_eq!(bench.carriage.touch_off(TouchMode::Stop, Some(number)), beyond);
            assert_eq!(bench.carriage.touch_off(TouchMode::Signal(None), Some(number)), beyond);
            assert_eq!(bench.carriage.confirm_position(number), beyond);
        }
    }
}

#[test]
fn d5_edges_are_never_closer_than_planned_even_at_the_end_of_time() {
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    // The end comes at rest, while it speeds up, at full speed, and not at all.
    for before in [100_000, 300_000, 600_000, 2_000_000] {
        let mut bench = Bench::at(Carriage::commissioned(&configuration), TIME_MAX - before - 110_000);
        bench.prove(0);
        bench.carriage.go_to(1_000).unwrap();
        bench.run();
        let ends = before < 1_000_000;
        assert_eq!(bench.carriage.fault(), ends.then_some(Fault::TimeTooLarge), "{before}");
        assert_eq!(bench.carriage.step() == 1_000, !ends);
        if bench.edges.len() > 1 {
            assert!(bench.shortest(0) >= 1_000, "{} ticks between edges", bench.shortest(0));
        }
    }
}

#[test]
fn d5b_times_past_the_end_are_a_fault_told_once_until_the_timer_is_mended() {
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    let mut bench = Bench::new(&configuration);
    for now in [TIME_MAX + 1, TIME_MAX + 2, u64::MAX - 1, u64::MAX] {
        bench.now = now;
        bench.poll();
        assert_eq!(bench.carriage.fault(), Some(Fault::TimeTooLarge));
        bench.run();
        assert_eq!(bench.carriage.clear_fault(), Err(Refusal::FaultPersists));
    }
    let told = bench.events.iter().filter(|event| matches!(event, Event::Faulted(_))).count();
    assert_eq!(told, 1);
    bench.now = 0;
    bench.run();
    bench.carriage.clear_fault().unwrap();
    bench.prove(0);
}

/// It does not ask to be polled for ever, and the time is told once the fault before it is cleared.
#[test]
fn d5c_times_past_the_end_come_to_rest_behind_another_fault() {
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    let mut bench = Bench::new(&configuration);
    bench.inputs.drive_fault = true;
    bench.run();
    bench.inputs.drive_fault = false;
    bench.run();
    bench.now = TIME_MAX + 1;
    bench.run();
    assert_eq!(bench.carriage.fault(), Some(Fault::Drive));
    bench.events.clear();
    bench.carriage.clear_fault().unwrap();
    bench.run();
    assert_eq!(bench.events[..2], [Event::Cleared, Event::Faulted(Fault::TimeTooLarge)]);
    assert_eq!(bench.carriage.clear_fault(), Err(Refusal::FaultPersists));
}

/// From an edge already given, of the last start speed a timer can give, nothing may speed up.
#[test]
fn d13_a_brake_does_not_speed_up() {
    for start_speed in [100, 101, 200, 1_000] {
        let limits = limits(100, 1_000, start_speed);
        let profile = limits.profile(1_000).unwrap();
        for steps in [0, 1, 20, 499] {
            let brake = profile.stop_on(500, steps, &limits).unwrap().unwrap();
            assert_eq!(brake.steps(), steps);
            // A step takes 10,000 ticks, and half a step is left of the one under way.
            assert!(brake.ticks() >= 10_000 * steps + 5_000, "{} ticks", brake.ticks());
            let edges: Vec<u64> = brake.edges().collect();
            let shortest = edges.windows(2).map(|pair| pair[1] - pair[0]).min();
            assert!(shortest.is_none_or(|shortest| shortest >= 10_000), "{shortest:?} ticks between edges");
        }
    }
}

#[test]
fn d14_planning_ends() {
    let (done, wait) = mpsc::channel();
    thread::spawn(move || {
        let slow = Ratio::new(1, 270_520_251_618);
        let rates = StepRates {
            speed: Ratio::new(161, 62_500),
            acceleration: slow,
            deceleration: slow,
            start_speed: Ratio::new(1, 5_527),
            jerk: None,
        };
        done.send(StepLimits::new(rates, 5_654_185).unwrap().profile(14_145)).unwrap();
    });
    // It never leaves its start speed: 14,145 steps at 5,527 seconds each take 4.4e14 ticks; to come back
    // to it takes the square root less.
    let profile = wait.recv_timeout(Duration::from_secs(5)).unwrap().unwrap();
    assert!((300_000_000_000_000..442_000_000_000_000).contains(&profile.ticks()), "{profile:?}");
}

#[test]
fn d15_stopping_far_away_does_not_panic() {
    let slow = Ratio::new(1, 6_427_596_806_182);
    let rates = StepRates {
        speed: Ratio::new(1, 444),
        acceleration: slow,
        deceleration: slow,
        start_speed: Ratio::from(0),
        jerk: None,
    };
    let limits = StepLimits::new(rates, 6_926).unwrap();
    let profile = limits.profile(937_595_056).unwrap();
    assert!(profile.stop_on(2, 601_669_681, &limits).is_err());
    assert!(profile.stop_on(2, u64::MAX, &limits).is_err());
}

// The search, the probe and hands on them.

#[test]
fn d6_the_search_does_not_run_into_the_other_switch() {
    let datum = DatumSearch { end: End::Low, step: -300, bound: 2_000, clearance: 300, agreement: 2 };
    let configuration = CarriageConfig::new(Parts {
        datum: Some(datum),
        contact_settle: 200_000,
        release_bound: 900,
        ..parts(0)
    })
    .unwrap();
    let mut bench = Bench::new(&configuration);
    bench.carriage.find_datum().unwrap();
    bench.run_edges(50);
    bench.inputs.low_switch = true;
    bench.run_until(|bench| bench.went() == Direction::Forward);
    bench.run_edges(5);
    // Released: it brakes, and meets the other switch, which settles while the motor stands.
    bench.inputs.low_switch = false;
    bench.inputs.high_switch = true;
    bench.run_until(|bench| !bench.carriage.is_moving());
    let before = bench.edges.len();
    bench.run();
    assert_eq!(bench.carriage.fault(), Some(Fault::WrongSwitch(End::High)));
    assert_eq!(bench.edges.len(), before);
}

/// A hand on the switch before the slow approach has made a step is not the datum.
#[test]
fn d6b_a_switch_pressed_before_the_slow_approach_moves_is_not_the_datum() {
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    let mut bench = Bench::new(&configuration);
    bench.carriage.find_datum().unwrap();
    bench.run_edges(50);
    bench.inputs.low_switch = true;
    bench.run_until(|bench| bench.went() == Direction::Forward);
    bench.run_edges(5);
    bench.inputs.low_switch = false;
    // Until it has cleared the switch and turned back, without a step made.
    bench.run_until(|bench| {
        bench.went() == Direction::Forward && !bench.last.unwrap().direction && bench.carriage.is_moving()
    });
    let before = bench.edges.len();
    bench.inputs.low_switch = true;
    bench.run();
    assert_eq!(bench.carriage.fault(), Some(Fault::NeverReleased(End::Low)));
    assert_eq!(bench.edges.len(), before);
}

/// Runs a search on a bench whose low switch is met at `at`, seen from where it began; between the two
/// slow approaches the rotor leaps by `leap` steps.
fn search_with_a_leap(configuration: &CarriageConfig, leap: i64) -> Bench<'_> {
    let mut bench = Bench::new(configuration);
    bench.carriage.find_datum().unwrap();
    let (mut truth, mut turns, mut edges) = (50, 0, 0);
    while bench.carriage.state() == State::FindingDatum {
        bench.poll();
        for (_, direction, _) in &bench.edges[edges..] {
            truth += direction.sign();
        }
        if bench.edges.len() > edges + usize::from(edges == 0) {
            let [.., (_, before, _), (_, last, _)] = bench.edges[..] else { unreachable!() };
            turns += i32::from(before != last);
            // Toward the switch, off, slowly toward it, off, and toward it again: the fourth turn.
            if before != last && turns == 4 {
                truth += leap;
            }
        }
        edges = bench.edges.len();
        let pressed = truth <= 0;
        // A contact that the edge changed is polled a tick later.
        if pressed == bench.inputs.low_switch {
            bench.now = bench.last.unwrap().poll_again_at.unwrap_or(bench.now + 1);
        } else {
            bench.inputs.low_switch = pressed;
            bench.now += 1;
        }
    }
    bench
}

#[test]
fn two_slow_approaches_to_the_datum_must_agree() {
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    for (leap, fault) in [(0, None), (2, None), (-2, None), (3, Some(())), (-3, Some(())), (16, Some(()))] {
        let bench = search_with_a_leap(&configuration, leap);
        let fault = fault.map(|()| Fault::ApproachesDiffer(End::Low));
        assert_eq!((bench.carriage.fault(), bench.carriage.is_proven()), (fault, fault.is_none()), "{leap}");
        let found = Event::DatumFound { met_at: -80, off_by: None };
        assert_eq!(bench.events.contains(&found), fault.is_none());
    }
}

/// Spikes every 10 ms, each shorter than a contact settles in, while the first step takes 11 ms.
#[test]
fn d8_a_contact_that_flickers_for_ever_ends_in_a_fault() {
    type Flip = fn(&mut Bench<'_>);
    let probe: Flip = |bench| bench.inputs.probe = !bench.inputs.probe;
    let low: Flip = |bench| bench.inputs.low_switch = !bench.inputs.low_switch;
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    for (flip, input) in [(probe, Input::Probe), (low, Input::Switch(End::Low))] {
        let mut bench = Bench::proven(&configuration, 100);
        match input {
            Input::Probe => bench.carriage.touch_off(TouchMode::Stop, Some(300)).unwrap(),
            _ => bench.carriage.find_datum().unwrap(),
        }
        for _ in 0..100 {
            bench.now += 9_800;
            bench.poll();
            flip(&mut bench);
            bench.now += 100;
            bench.poll();
            flip(&mut bench);
            bench.now += 100;
            bench.poll();
        }
        assert_eq!(bench.carriage.fault(), Some(Fault::Chatter(input)));
    }
}

#[test]
fn d9_a_contact_before_the_first_edge_is_no_touch() {
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    for touch in [TouchMode::Stop, TouchMode::Signal(None)] {
        let mut bench = Bench::new(&configuration);
        bench.carriage.touch_off(touch, Some(300)).unwrap();
        assert!(bench.poll().drive);
        bench.now += 500;
        // The rotor snapped onto the probe as the drive came on.
        bench.inputs.probe = false;
        bench.run();
        assert_eq!(bench.carriage.fault(), Some(Fault::ProbeClosed));
        assert!(!bench.carriage.is_proven() && bench.edges.is_empty());
    }
}

// Late polls.

#[test]
fn d10_a_motor_that_has_stopped_starts_as_from_rest() {
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    // To a target, and by hand to a mark, which a braking motion shortens.
    for by_hand in [false, true] {
        let mut bench = Bench::proven(&configuration, 0);
        if by_hand {
            bench.carriage.jog(Some(Detent::new(30, 1).unwrap())).unwrap();
            bench.run();
            bench.inputs.dial = 4;
        } else {
            bench.carriage.go_to(30).unwrap();
        }
        bench.run_edges(1);
        bench.now = bench.due() + 10 * HZ;
        bench.poll();
        assert_eq!(bench.carriage.fault(), None);
        let stood = bench.edges.len() - 1;
        bench.run();
        assert_eq!((bench.carriage.step(), bench.edges.len()), (30, 30));
        let interval = bench.edges[stood + 1].0 - bench.edges[stood].0;
        assert!(interval >= configuration.start_interval(), "{interval} ticks after it stood");
        assert!(bench.shortest(0) >= 1_000);
    }
}

#[test]
fn d16_sustained_lateness_is_told() {
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    // At full speed a step takes 1,000 ticks. More than half of that late, in every fourth poll.
    for (late, told) in [(500, None), (501, Some(501)), (990, Some(990))] {
        let mut bench = Bench::proven(&configuration, 0);
        bench.carriage.go_to(900).unwrap();
        bench.run_edges(400);
        for poll in 0..200 {
            bench.now = bench.due() + if poll % 4 == 0 { late } else { 0 };
            bench.poll();
        }
        let expected: Vec<_> = told.map(|by| Event::PolledLate { by }).into_iter().collect();
        assert_eq!(bench.events, expected, "{late}");
    }
}

// The approach and the hand.

/// How far the nut has been pushed toward the flank on which it goes forward.
fn pushed(edges: &[Pulse]) -> u64 {
    edges.iter().fold(0, |at, (_, direction, _)| match direction {
        Direction::Forward => (at + 1).min(PLAY),
        Direction::Backward => at.saturating_sub(1),
    })
}

#[test]
fn d11a_a_target_is_reached_with_the_backlash_taken_up_after_the_dial() {
    let configuration = with_play(End::Low);
    // Back by more than the play, and forward by less, by as much and by more.
    for forward in [1, 34, 35, 36, 39, 40, 41] {
        let mut bench = Bench::proven(&configuration, 500);
        bench.carriage.jog(Some(Detent::new(1, 1).unwrap())).unwrap();
        bench.turn(-45);
        bench.turn(forward);
        assert_eq!(bench.went(), Direction::Forward);
        bench.carriage.go_to(bench.carriage.step() + 5).unwrap();
        bench.run();
        assert_eq!(bench.carriage.state(), State::Resting);
        assert_eq!(pushed(&bench.edges), PLAY, "{forward}");
    }
}

#[test]
fn d11b_a_target_is_reached_with_the_backlash_taken_up_after_a_brake() {
    let configuration = with_play(End::Low);
    for ahead in [0, 3, 100] {
        for brakes in [true, false] {
            let mut bench = Bench::proven(&configuration, 500);
            let before = bench.edges.len();
            // To 260 and up again.
            bench.carriage.go_to(300).unwrap();
            bench.run_until(|b| b.edges.len() > before + 2 && b.went() == Direction::Forward);
            if brakes {
                bench.carriage.brake();
                bench.run();
            }
            let target = bench.carriage.step() + ahead;
            bench.carriage.go_to(target).unwrap();
            bench.run();
            assert_eq!((bench.carriage.step(), bench.carriage.state()), (target, State::Resting));
            assert_eq!(pushed(&bench.edges), PLAY, "{ahead} {brakes}");
        }
    }
}

// Proofs and flanks.

#[test]
fn d12_a_touch_off_on_the_other_flank_is_refused() {
    for toward in End::BOTH {
        let touch = Some(TouchSearch { toward, ..parts(0).touch.unwrap() });
        let refused = CarriageConfig::new(Parts { approach: Some((toward, PLAY)), touch, ..parts(0) });
        let refused = refused.unwrap_err().to_string();
        assert!(refused.contains("creep the way targets are approached"), "{refused}");
    }
}

/// With so many steps of play taken up, by a contact after so many more.
#[test]
fn d12b_a_contact_before_the_play_is_taken_up_is_no_touch() {
    let configuration = with_play(End::Low);
    for (taken_up, after, counts) in [(40, 5, true), (0, 39, false), (0, 40, true), (10, 30, true)] {
        let mut bench = Bench::new(&configuration);
        bench.carriage.jog(Some(Detent::new(1, 1).unwrap())).unwrap();
        bench.run();
        bench.turn(-45);
        bench.turn(taken_up);
        bench.carriage.touch_off(TouchMode::Stop, Some(300)).unwrap();
        bench.run_edges(after);
        bench.now += 1;
        bench.inputs.probe = false;
        bench.run();
        let fault = (!counts).then_some(Fault::ProbeClosed);
        assert_eq!(
            (bench.carriage.fault(), bench.carriage.is_proven()),
            (fault, counts),
            "{taken_up}, {after}"
        );
        assert_eq!(bench.events.contains(&Event::Touched { step: 300, off_by: None }), counts);
    }
}

#[test]
fn d12c_a_height_is_stated_on_the_flank_of_the_approach() {
    for from in End::BOTH {
        let configuration = with_play(from);
        let mut bench = Bench::new(&configuration);
        bench.carriage.jog(Some(Detent::new(1, 1).unwrap())).unwrap();
        bench.run();
        let way = if from == End::Low { 1 } else { -1 };
        bench.turn(-45 * way);
        for (detents, answer) in
            [(0, Err(Refusal::PlayNotTakenUp)), (39, Err(Refusal::PlayNotTakenUp)), (1, Ok(()))]
        {
            bench.turn(detents * way);
            assert_eq!(bench.carriage.confirm_position(500), answer);
        }
        // A step back takes it off again.
        bench.turn(-way);
        assert_eq!(bench.carriage.confirm_position(500), Err(Refusal::PlayNotTakenUp));
    }
}

/// The soft limits would move with a position that a touch renumbers.
#[test]
fn a_touch_that_contradicts_a_proven_position_is_a_fault() {
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    for touch in [TouchMode::Stop, TouchMode::Signal(Some(Detent::new(1, 1).unwrap()))] {
        for (off, agrees) in [(0, true), (20, true), (-20, true), (21, false), (-21, false), (400, false)] {
            let mut bench = Bench::proven(&configuration, 450);
            bench.carriage.touch_off(touch, Some(500 + off)).unwrap();
            if touch != TouchMode::Stop {
                bench.run();
                bench.inputs.dial = 4 * 50;
            }
            bench.run_edges(50);
            bench.now += 1;
            bench.inputs.probe = false;
            bench.run();
            let fault = (!agrees).then_some(Fault::TouchContradicts);
            assert_eq!(bench.carriage.fault(), fault, "{touch:?} {off}");
            let told = Event::Touched { step: 500 + off, off_by: Some(-off) };
            assert_eq!(bench.events.contains(&told), agrees);
            let unproven = Event::Unproven(Unproven::Contradicted);
            assert_eq!(bench.events.contains(&unproven), !agrees, "{:?}", bench.events);
            assert_eq!(bench.carriage.is_proven(), agrees);
        }
    }
}

#[test]
fn d19_a_touch_off_to_a_step_past_the_soft_limit_is_refused() {
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    for proven in [true, false] {
        let mut bench = Bench::new(&configuration);
        if proven {
            bench.prove(100);
        }
        for (step, last) in [(50_000, 1_000), (1_001, 1_000), (-1, 0)] {
            let beyond = Err(Refusal::BeyondLimit { step, last });
            assert_eq!(bench.carriage.touch_off(TouchMode::Stop, Some(step)), beyond);
        }
        assert_eq!(bench.carriage.touch_off(TouchMode::Stop, Some(1_000)), Ok(()));
    }
}

// Events and faults.

#[test]
fn d7_stopped_is_told_once() {
    let configuration = bare();
    // Braked on the way, and at the last step of the nudge, which then has been made.
    for edges in [3, 10] {
        let mut bench = Bench::at(Carriage::new(&configuration), 0);
        for held in [false, true] {
            bench.inputs.enable = held;
            bench.run();
        }
        bench.carriage.nudge().unwrap();
        bench.run_edges(edges);
        bench.carriage.brake_and_release();
        bench.run();
        let stopped: Vec<_> =
            bench.events.iter().filter(|event| matches!(event, Event::Stopped { .. })).collect();
        let step = bench.carriage.step();
        assert_eq!(stopped, [&Event::Stopped { step, why: Stop::Braked }]);
        assert!(!bench.last.unwrap().drive);
    }
}

/// Broken off before any poll, each request that was granted ends in one stop, and no release adds to it.
#[test]
fn d7b_each_request_stops_once_however_often_it_is_broken_off() {
    type Ask = fn(&mut Bench<'_>);
    let asks: [Ask; 3] = [
        |bench| bench.carriage.release(),
        |bench| bench.carriage.brake_and_release(),
        |bench| bench.carriage.brake(),
    ];
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    for (first, second) in asks.into_iter().flat_map(|first| asks.map(|second| (first, second))) {
        let mut bench = Bench::proven(&configuration, 500);
        bench.carriage.go_to(600).unwrap();
        first(&mut bench);
        second(&mut bench);
        let granted = 1 + usize::from(bench.carriage.find_datum().is_ok());
        second(&mut bench);
        first(&mut bench);
        bench.run();
        let stopped = bench.events.iter().filter(|event| matches!(event, Event::Stopped { .. })).count();
        assert_eq!(stopped, granted, "{:?}", bench.events);
    }
}

/// The next poll would switch on a drive that was to be off.
#[test]
fn d7c_a_release_takes_back_a_drive_that_was_only_asked_for() {
    type Ask = fn(&mut Bench<'_>);
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    let asks: [Ask; 2] = [|bench| bench.carriage.release(), |bench| bench.carriage.brake_and_release()];
    for release in asks {
        let mut bench = Bench::new(&configuration);
        bench.carriage.hold().unwrap();
        release(&mut bench);
        bench.run();
        assert!(!bench.last.unwrap().drive);
    }
}

/// A fault in the brake does not keep the drive on, nor does one that is braking already.
#[test]
fn d7d_a_brake_that_releases_does_so_behind_a_fault() {
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    for asked_first in [true, false] {
        let mut bench = Bench::proven(&configuration, 500);
        bench.carriage.go_to(900).unwrap();
        bench.run_edges(100);
        if asked_first {
            bench.carriage.brake_and_release();
        }
        bench.inputs.high_switch = true;
        bench.run_until(|bench| bench.carriage.fault().is_some());
        assert!(bench.carriage.is_moving() && bench.last.unwrap().drive);
        if !asked_first {
            bench.carriage.brake_and_release();
        }
        bench.run();
        assert_eq!(bench.carriage.fault(), Some(Fault::SwitchReached(End::High)));
        assert!(!bench.last.unwrap().drive, "{asked_first}");
        let stopped = bench.events.iter().filter(|event| matches!(event, Event::Stopped { .. })).count();
        assert_eq!(stopped, 1, "{:?}", bench.events);
    }
    // A poll so late that the motor has stopped by then.
    let mut bench = Bench::proven(&configuration, 500);
    bench.carriage.go_to(900).unwrap();
    bench.run_edges(100);
    bench.carriage.brake_and_release();
    bench.now += HZ;
    assert!(!bench.poll().drive);
    assert_eq!(bench.carriage.fault(), Some(Fault::PolledLate));
}

/// Where time ends so does the motion, and the drive is off as soon as the last pulse is over.
#[test]
fn d7e_a_brake_that_releases_does_so_at_the_end_of_time() {
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    let braking = |start: u64| {
        let mut bench = Bench::at(Carriage::commissioned(&configuration), start);
        bench.prove(500);
        bench.carriage.go_to(900).unwrap();
        bench.run_edges(150);
        bench.carriage.brake_and_release();
        bench.run_edges(10);
        bench
    };
    let takes = braking(0).now;
    for after in [1, WIDTH - 1, WIDTH, WIDTH + 1] {
        let mut bench = braking(TIME_MAX - takes);
        assert_eq!((bench.now, bench.last.unwrap().drive), (TIME_MAX, true));
        bench.now += after;
        bench.run_until(|bench| !bench.last.unwrap().drive);
        assert_eq!(bench.carriage.fault(), Some(Fault::TimeTooLarge));
        assert_eq!(bench.now - TIME_MAX, after.max(WIDTH));
        assert!(!bench.last.unwrap().drive);
    }
}

#[test]
fn d17_a_drive_fault_is_told_although_another_is_latched() {
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    // With the drive still on, and after it was released.
    for released in [false, true] {
        let mut bench = Bench::proven(&configuration, 500);
        bench.carriage.go_to(900).unwrap();
        bench.run_edges(20);
        bench.inputs.high_switch = true;
        bench.run();
        assert_eq!(bench.carriage.fault(), Some(Fault::SwitchReached(End::High)));
        bench.inputs.high_switch = false;
        bench.run();
        if released {
            bench.carriage.release();
        }
        bench.events.clear();
        bench.inputs.drive_fault = true;
        assert!(!bench.poll().drive);
        bench.now += 1;
        bench.run();
        assert_eq!(bench.events, [Event::Faulted(Fault::Drive)]);
        assert_eq!(bench.carriage.fault(), Some(Fault::Drive));
        assert_eq!(bench.carriage.clear_fault(), Err(Refusal::FaultPersists));
        bench.inputs.drive_fault = false;
        bench.run();
        assert_eq!(bench.carriage.clear_fault(), Ok(()));
    }
}

/// A fault that leaves the position proven does not hide one that does not.
#[test]
fn d17b_a_motor_that_stalls_in_the_brake_of_a_fault_is_unproven() {
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    let mut bench = Bench::proven(&configuration, 100);
    bench.carriage.touch_off(TouchMode::Signal(Some(Detent::new(1, 1).unwrap())), None).unwrap();
    bench.run();
    bench.inputs.dial = 4 * 50;
    // A spike, that then settles before a step is made, while the hand leads: closed at the start.
    bench.inputs.probe = false;
    bench.run_until(|bench| bench.carriage.fault().is_some());
    assert_eq!(bench.carriage.fault(), Some(Fault::ProbeClosed));
    assert!(bench.carriage.is_proven());
    bench.inputs.probe = true;
    bench.run();
    bench.carriage.clear_fault().unwrap();
    bench.carriage.go_to(900).unwrap();
    bench.run_edges(300);
    bench.now -= 1;
    bench.poll();
    assert_eq!(bench.carriage.fault(), Some(Fault::TimeBackwards));
    assert!(!bench.carriage.is_proven(), "halted at full speed");
}

/// Unless a poll carries it out, the drive stays on, and nobody can have turned the screw.
#[test]
fn d17c_a_release_that_no_poll_carries_out_does_not_grant_the_room_anew() {
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    let room = i64::try_from(configuration.parts().release_bound).unwrap();
    for carried_out in [false, true] {
        let mut bench = Bench::proven(&configuration, 100);
        bench.inputs.low_switch = true;
        bench.run();
        bench.carriage.go_by(room - 50).unwrap();
        bench.run();
        bench.carriage.release();
        if carried_out {
            assert!(!bench.poll().drive);
        }
        bench.carriage.hold().unwrap();
        bench.run();
        assert_eq!(bench.carriage.fault(), None);
        bench.carriage.confirm_position(50 + room).unwrap();
        bench.carriage.go_by(100).unwrap();
        bench.run();
        let fault = (!carried_out).then_some(Fault::NeverReleased(End::Low));
        assert_eq!(bench.carriage.fault(), fault, "carried out: {carried_out}");
    }
}

// The bare axis.

#[test]
fn d18_a_bare_axis_can_be_proven_and_moved() {
    let configuration = bare();
    let mut bench = Bench::new(&configuration);
    assert_eq!(bench.carriage.jog(None), Err(Refusal::NotFitted));
    bench.carriage.hold().unwrap();
    bench.run();
    assert!(bench.last.unwrap().drive && bench.edges.is_empty());
    assert_eq!(bench.carriage.state(), State::Resting);
    bench.carriage.confirm_position(0).unwrap();
    bench.carriage.go_to(700).unwrap();
    bench.run();
    assert_eq!((bench.carriage.step(), bench.edges.len()), (700, 700));
}

#[test]
fn d18b_hold_is_refused_while_it_moves_and_taken_back_by_release() {
    let configuration = CarriageConfig::new(parts(0)).unwrap();
    let mut bench = Bench::proven(&configuration, 0);
    bench.carriage.go_to(700).unwrap();
    bench.run_edges(5);
    assert_eq!(bench.carriage.hold(), Err(Refusal::Busy(State::Travelling)));
    bench.run();
    bench.carriage.release();
    bench.carriage.hold().unwrap();
    bench.carriage.release();
    assert!(!bench.poll().drive);
    // Nor does the drive come on behind a fault.
    bench.carriage.hold().unwrap();
    bench.inputs.drive_fault = true;
    assert!(!bench.poll().drive);
    bench.inputs = QUIET;
    bench.run();
    bench.carriage.clear_fault().unwrap();
    assert!(!bench.poll().drive);
    assert_eq!(bench.carriage.hold(), Ok(()));
    assert!(bench.poll().drive);
}
