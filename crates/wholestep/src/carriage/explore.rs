//! Every sequence of inputs and requests, breadth first, over the state machine itself.
//!
//! The inputs are hostile: any contact may change at any poll, whatever the motor does. Times are kept
//! relative to the present and capped where only "long ago" matters, so states that behave alike are
//! one; where that makes the graph finite it is searched to its end, otherwise to a stated depth.

use std::collections::HashSet;
use std::format;
use std::println;
use std::string::String;
use std::vec::Vec;

use num_rational::Ratio;

use super::activity::Activity;
use super::commission::{CommissioningProgress, Progress};
use super::live::Live;
use super::*;
use crate::axis::MotorDirection;
use crate::mechanism::Trend;
use crate::plan::{PulseTiming, StepLimits, StepRates};

/// Ticks in which a contact settles: two polls.
const SETTLE: u64 = 2;

fn tiny() -> CarriageConfig {
    // Slow enough that every step is a poll of its own, with half a step of braking room.
    let rates = StepRates {
        speed: Ratio::from(1),
        acceleration: Ratio::from(1),
        deceleration: Ratio::from(1),
        start_speed: Ratio::from(0),
        jerk: None,
    };
    let pace = StepLimits::new(rates, 16).unwrap();
    CarriageConfig::new(Parts {
        steps: (0, 3),
        trend: Trend::Rising,
        motor: MotorDirection::Normal,
        approach: None,
        paces: Paces { travel: pace, jog: pace, fast: pace, slow: pace },
        switches: [Some(Wiring::NormallyClosed); 2],
        probe: Some(Wiring::NormallyOpen),
        contact_settle: SETTLE,
        drive_settle: 1,
        timing: PulseTiming::new(1, 1, 1).unwrap(),
        datum: Some(DatumSearch { end: End::Low, step: -1, bound: 4, clearance: 1, agreement: 0 }),
        release_bound: 3,
        touch: Some(TouchSearch { toward: End::High, bound: 3, agreement: 0 }),
        dial: None,
        rocker: true,
        jog_bound: 3,
        nudge: 2,
        measured: 2,
        self_holding: false,
    })
    .unwrap()
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Action {
    /// Poll when the carriage asked to be polled.
    Wait,
    /// Wait until the search is at another stage, or over.
    WaitForStage,
    Low,
    High,
    Probe,
    Enable,
    DriveFault,
    Rocker(Option<End>),
    GoTo(i64),
    /// To the step, at half the speed of travels.
    GoToSlowly(i64),
    Hold,
    Jog,
    FindDatum,
    TouchOff,
    StateHeight,
    Brake,
    BrakeAndRelease,
    Release,
    Clear,
    Nudge,
    Confirm,
    Measure,
    Report,
}

#[derive(Clone)]
struct Node {
    live: Live,
    inputs: Inputs,
    due: Option<u64>,
    drive: bool,
}

impl Node {
    fn new(trust: CommissioningProgress, configuration: &CarriageConfig) -> Self {
        // Released switches and probe, enable held.
        let inputs = Inputs { probe: true, enable: true, ..Inputs::default() };
        let mut node = Self { live: Live::new(trust), inputs, due: None, drive: false };
        for now in [0, SETTLE] {
            node.live.poll(configuration, now, &inputs);
        }
        assert!(node.live.ready);
        node
    }

    fn stage(&self) -> Option<datum::Stage> {
        match &self.live.activity {
            Activity::FindingDatum(search) => Some(search.stage),
            _ => None,
        }
    }

    /// Acts and polls; checks what must always hold.
    fn act(&mut self, configuration: &CarriageConfig, action: Action) {
        if action == Action::WaitForStage {
            let stage = self.stage();
            for _ in 0..40 {
                if self.due.is_none() || self.stage() != stage {
                    break;
                }
                self.act(configuration, Action::Wait);
            }
            return;
        }
        let before = self.live.clone();
        let mut now = self.live.now + 1;
        let flip = |level: &mut bool| *level = !*level;
        match action {
            Action::Wait => now = self.due.unwrap_or(now).max(now),
            Action::Low => flip(&mut self.inputs.low_switch),
            Action::High => flip(&mut self.inputs.high_switch),
            Action::Probe => flip(&mut self.inputs.probe),
            Action::Enable => flip(&mut self.inputs.enable),
            Action::DriveFault => flip(&mut self.inputs.drive_fault),
            Action::Rocker(held) => self.inputs.rocker = held,
            _ => {
                self.ask(configuration, action);
                now = self.live.now;
            }
        }
        let output = self.live.poll(configuration, now, &self.inputs);
        self.due = output.poll_again_at;
        self.drive = output.drive;
        self.check(configuration, &before, &output, action);
    }

    fn ask(&mut self, configuration: &CarriageConfig, action: Action) {
        let live = &mut self.live;
        let _ = match action {
            Action::GoTo(step) => live.go_to(configuration, step),
            Action::GoToSlowly(step) => {
                live.go_to_at(configuration, step, configuration.parts().paces.travel.rates().speed / 2)
            }
            Action::Hold => live.hold(),
            Action::Jog => live.jog(configuration, None),
            Action::FindDatum => live.find_datum(configuration),
            Action::TouchOff => live.touch_off(configuration, TouchMode::Stop, Some(2)),
            Action::StateHeight => live.confirm_position(configuration, 1),
            Action::Clear => live.clear_fault(),
            Action::Nudge => live.commission_motion(configuration, commission::Move::Nudge),
            Action::Measure => live.commission_motion(configuration, commission::Move::Measured),
            Action::Confirm => live.confirm_direction(true),
            Action::Report => live.report_travel(true),
            Action::Brake => {
                live.brake(configuration, false);
                Ok(())
            }
            Action::BrakeAndRelease => {
                live.brake(configuration, true);
                Ok(())
            }
            Action::Release => {
                live.release(configuration);
                Ok(())
            }
            _ => Ok(()),
        };
    }

    fn check(&self, configuration: &CarriageConfig, before: &Live, output: &Output, action: Action) {
        let live = &self.live;
        let why = || format!("{action:?} made of {before:#?}\n{live:#?}\n{output:#?}");
        let request = |request| action == request;
        if let Some(edge) = output.edge {
            assert!(output.drive && before.motor.is_on(), "an edge without drive: {}", why());
            assert!(
                !matches!(live.trust, CommissioningProgress::New(Progress::Inputs { .. })),
                "too early: {}",
                why()
            );
            assert!(!self.inputs.drive_fault, "an edge in spite of the drive: {}", why());
            let step = live.motor.step();
            if live.proven && before.proven {
                let last = configuration.last_step(edge.direction);
                let within = (step - last) * edge.direction.sign() <= 0;
                assert!(within, "past the soft limit: {}", why());
            }
            // A braking room of one step at most.
            let led = live.activity.is_by_hand() || self.inputs.enable || before.motor.stands();
            let brakes = before.motor.brakes_on(configuration) == step;
            assert!(led || brakes, "moves on without enable: {}", why());
        }
        if live.motor.step() != before.motor.step() && output.edge.is_none() {
            let renumbered = live.proven;
            assert!(renumbered, "the step changed without an edge: {}", why());
        }
        if live.proven && !before.proven {
            let proofs = matches!(before.activity, Activity::FindingDatum(_) | Activity::TouchingOff(_))
                || request(Action::StateHeight);
            assert!(proofs, "proven by nothing: {}", why());
        }
        if live.proven {
            assert!(output.drive, "proven without drive: {}", why());
        }
        if matches!(before.activity, Activity::Faulted { .. }) && !request(Action::Clear) {
            assert!(matches!(live.activity, Activity::Faulted { .. }), "a fault did not stay: {}", why());
        }
        if self.inputs.drive_fault && before.inputs.drive_fault {
            assert!(!output.drive, "drive on in spite of its fault: {}", why());
        }
        let started = live.motor.moves().is_some() && before.motor.stands();
        let moves_by_itself = matches!(live.activity, Activity::Resting | Activity::Faulted { .. });
        assert!(!(started && moves_by_itself), "started by itself: {}", why());
        if started && !live.activity.is_by_hand() {
            assert!(self.inputs.enable, "started without enable: {}", why());
        }
        let events: Vec<_> = output.events.iter().collect();
        let twice = events.iter().enumerate().any(|(at, event)| events[..at].contains(event));
        assert!(!twice, "told twice: {}", why());
        let both = live.switches.iter().all(contact::Contact::is_pressed);
        if both && !matches!(live.trust, CommissioningProgress::New(Progress::Inputs { .. })) {
            assert!(matches!(live.activity, Activity::Faulted { .. }), "both pressed: {}", why());
        }
        let moving = !live.motor.stands();
        assert!(!moving || output.poll_again_at.is_some(), "moves and is not polled: {}", why());
    }

    /// The state with all times relative to now.
    fn key(&self) -> String {
        let mut live = self.live.clone();
        live.forget_time(SETTLE);
        format!("{live:?}{:?}{:?}", self.due.map(|due| due - self.live.now), self.inputs)
    }
}

/// Searches breadth first; returns states, deepest level, and whether nothing was left.
fn explore(
    root: Node,
    configuration: &CarriageConfig,
    actions: &[Action],
    depth: usize,
) -> (Vec<Node>, usize, bool) {
    let mut seen = HashSet::from([root.key()]);
    let mut all = Vec::from([root.clone()]);
    let mut level = Vec::from([root]);
    for reached in 0..depth {
        let mut next = Vec::new();
        for node in &level {
            for &action in actions {
                let mut child = node.clone();
                child.act(configuration, action);
                if seen.insert(child.key()) {
                    next.push(child);
                }
            }
        }
        if next.is_empty() {
            return (all, reached, true);
        }
        all.extend(next.iter().cloned());
        level = next;
    }
    (all, depth, false)
}

fn report(what: &str, found: &(Vec<Node>, usize, bool)) {
    let (states, depth, finished) = found;
    let end = if *finished { "to the end, at depth" } else { "to depth" };
    println!("{what}: {} states, {end} {depth}", states.len());
}

fn deeper(ordinary: usize) -> usize {
    std::env::var("WHOLESTEP_EXPLORE").ok().and_then(|more| more.parse::<usize>().ok()).unwrap_or(0)
        + ordinary
}

#[test]
fn the_search_for_the_datum() {
    let configuration = tiny();
    let mut root = Node::new(CommissioningProgress::Commissioned, &configuration);
    root.act(&configuration, Action::FindDatum);
    let actions =
        [Action::Wait, Action::WaitForStage, Action::Low, Action::High, Action::Enable, Action::DriveFault];
    let found = explore(root, &configuration, &actions, deeper(9));
    report("datum", &found);
    let faults: HashSet<_> = found
        .0
        .iter()
        .filter_map(|node| match node.live.activity {
            Activity::Faulted { fault, .. } => Some(fault),
            _ => None,
        })
        .collect();
    for fault in
        [Fault::BothPressed, Fault::Drive, Fault::WrongSwitch(End::High), Fault::NeverFound(End::Low)]
    {
        assert!(faults.contains(&fault), "{fault:?} never happened");
    }
}

#[test]
fn commissioning() {
    let configuration = tiny();
    let trust = CommissioningProgress::of_a_new_machine(&configuration);
    let root = Node::new(trust, &configuration);
    let actions = [
        Action::Wait,
        Action::Low,
        Action::High,
        Action::Probe,
        Action::Enable,
        Action::Nudge,
        Action::Confirm,
        Action::Measure,
        Action::Report,
        Action::FindDatum,
        Action::Rocker(None),
        Action::Rocker(Some(End::Low)),
        Action::Rocker(Some(End::High)),
    ];
    let found = explore(root, &configuration, &actions, deeper(7));
    report("commissioning, inputs", &found);
    assert!(found.0.iter().all(|node| node.live.motor.step() == 0), "nothing moved so soon");

    // From where all inputs have been seen.
    let mut root = Node::new(trust, &configuration);
    for input in
        [Action::Low, Action::High, Action::Probe, Action::Enable].into_iter().flat_map(|input| [input; 2])
    {
        root.act(&configuration, input);
        root.act(&configuration, Action::Wait);
    }
    for held in [Some(End::Low), None, Some(End::High), None] {
        root.act(&configuration, Action::Rocker(held));
    }
    assert_eq!(root.live.trust, CommissioningProgress::New(Progress::Nudge));
    let found = explore(root, &configuration, &actions[..10], deeper(7));
    report("commissioning, motion", &found);
    assert!(
        found.0.iter().any(|node| matches!(node.live.trust, CommissioningProgress::New(Progress::Confirm)))
    );
}

#[test]
fn every_request_and_every_input() {
    let configuration = tiny();
    let mut proven = Node::new(CommissioningProgress::Commissioned, &configuration);
    for action in [Action::Jog, Action::Wait, Action::StateHeight, Action::Brake] {
        proven.act(&configuration, action);
    }
    assert!(proven.live.proven);
    let unproven = Node::new(CommissioningProgress::Commissioned, &configuration);
    let actions = [
        Action::Wait,
        Action::Low,
        Action::High,
        Action::Probe,
        Action::Enable,
        Action::DriveFault,
        Action::Rocker(None),
        Action::Rocker(Some(End::High)),
        Action::GoTo(0),
        Action::GoTo(3),
        Action::GoToSlowly(1),
        Action::Hold,
        Action::Jog,
        Action::FindDatum,
        Action::TouchOff,
        Action::StateHeight,
        Action::Brake,
        Action::BrakeAndRelease,
        Action::Release,
        Action::Clear,
    ];
    for (what, root) in [("all, proven", proven), ("all, unproven", unproven)] {
        let found = explore(root, &configuration, &actions, deeper(5));
        report(what, &found);
        for state in [State::Resting, State::Jogging, State::FindingDatum, State::TouchingOff, State::Faulted]
        {
            assert!(found.0.iter().any(|node| node.live.activity.state() == state), "{state:?} not reached");
        }
    }
}
