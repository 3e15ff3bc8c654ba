//! What must hold at every poll and every edge, whatever goes wrong.

use wholestep::axis::MotorDirection;
use wholestep::carriage::{Direction, End, Event, Fault, Parts, State, Stop};
use wholestep::plan::StepLimits;
use wholestep_twin::{Moment, Twin};

use super::contact::Settling;
use super::machine::RandomAxis;
use super::pins::{Pace, Pins};
use super::play::{Open, Play};

/// How a thing that must hold did not: its name, a colon, and how.
pub(super) type Broken = String;

/// The levels, pressed or not, of the switches by end.
type Pressed = [bool; 2];

/// A run of edges one way while something should end it.
#[derive(Clone, Copy, Debug, Default)]
struct Overrun {
    edges: u64,
    allowed: u64,
    /// It was there before the motion began, which then may not.
    before: bool,
}

/// A motion that nobody leads must not go on for so many seconds without an edge.
const QUIET_MOST: u64 = 5;

/// What the carriage said before the poll.
#[derive(Clone, Copy, Debug)]
struct Seen {
    state: State,
    step: i64,
    proven: bool,
    moving: bool,
}

/// What the last request wants of the drive.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Wanted {
    #[default]
    AsItIs,
    /// Once the motor stands it is off.
    Off,
}

/// What has become of the drive.
#[derive(Clone, Copy, Debug, Default)]
struct Drive {
    /// It was released since the last proof.
    released: bool,
    wanted: Wanted,
    /// It let the motor go since the last poll, which then may not see it.
    let_go: bool,
    /// It tells a fault of its own, as last polled.
    faulty: bool,
}

/// The watch over one life.
pub(super) struct Watch {
    parts: Parts,
    tolerance: f64,
    repeats: f64,
    at_zero: f64,
    travel: f64,
    /// What the carriage may be off by, in steps, where it stands on the flank of a proof and no play tells.
    true_flank: f64,
    plate: f64,
    /// Where the end stops are, m.
    stops: (f64, f64),
    hz: u64,
    /// The shortest intervals of each pace: travel, jog, search.
    paces: [Pace; 3],
    pins: Pins,
    play: Play,
    /// The same, without what a rotor that lost steps may not have taken up.
    sure: Play,
    contacts: [Settling; 2],
    probe: Settling,
    seen: Seen,
    /// The step and whether it was proven, after the last poll or request.
    numbered: (i64, bool),
    /// The fault told and not yet cleared.
    latched: Option<Fault>,
    /// The requests since the last poll that something began with; each of them may have been broken off.
    begun: usize,
    /// The proofs since the last poll of a position that was unproven; each may have been doubted.
    proven_since: usize,
    drive: Drive,
    /// Since when there has been neither an edge nor another state.
    quiet_since: u64,
    /// A touch-off is led by hand.
    by_hand: bool,
    touch: Option<Touching>,
    /// Since a switch was pressed without a break: edges past it, and how far it is away from where it
    /// was nearest to it.
    past: [Option<Overrun>; 2],
    away: [Option<u64>; 2],
    unenabled: Option<Overrun>,
    one_way: u64,
    /// Steps lost when last looked at, the reasons there had been to lose some, and how often either
    /// had grown.
    lost: i64,
    reasons: u64,
    losses: u64,
    losses_before_edge: u64,
    /// The carriage stood on an end stop when last looked at.
    on_a_stop: bool,
    searching: Option<Search>,
    /// What the last proof says of where targets stand; and, where the switch is met on the other flank, how
    /// far off the targets stood after the first datum.
    claim: Option<Claim>,
    datum_offset: Option<f64>,
    /// Arrivals held against the last proof, on axes with play.
    pub(super) arrivals: u64,
    /// The last proof, as long as the drive has been on ever since.
    proof: Option<Proof>,
    proven_before: bool,
    /// Datums that told rightly how many steps had been lost since the proof before.
    pub(super) found_out: u64,
    /// Datums that found the place of a position that had been unproven.
    pub(super) proven_again: u64,
    pub(super) datums: u64,
}

#[derive(Clone, Copy, Debug)]
struct Search {
    /// Whether a fault of the machine has to do with the contact.
    disturbed: bool,
    /// Whether the position was proven when it began.
    was_proven: bool,
    /// The losses there had been before the edge that met the switch, last after a settled release.
    /// Earlier ones do not matter to where it was met. With that edge a rotor that lagged may leap
    /// back into step, over several steps and the switch; without a loss it goes one step, so that the
    /// contact is a step from where the switch acts at most.
    losses_at_contact: u64,
    /// Since when the switch has been released.
    released_at: Option<u64>,
}

/// A touch-off under way.
#[derive(Clone, Copy, Debug)]
struct Touching {
    edges: u64,
    was_proven: bool,
    disturbed: bool,
    losses: u64,
    contact: Option<Met>,
    /// The contact settled and was told to the hand: it is the first then, whatever comes later.
    told: bool,
}

/// The first contact of a touch-off.
#[derive(Clone, Copy, Debug)]
struct Met {
    /// The believed step.
    step: i64,
    /// The edges that had been given.
    edges: u64,
    /// The play open there.
    open: Option<Open>,
}

/// Where targets must stand after a proof.
#[derive(Clone, Copy, Debug)]
struct Claim {
    losses: u64,
    by: &'static str,
    /// By how many steps numbers and carriage differ; not known of a datum met on the other flank, whose
    /// number holds as it is met.
    wrong: Option<f64>,
    /// By how many steps a rotor that slipped may have left play open; the first arrival with it taken up
    /// tells.
    slipped: u64,
    tolerance: f64,
}

/// What was proven, and how right it was.
#[derive(Clone, Copy, Debug)]
struct Proof {
    lost: i64,
    /// By how many steps it was wrong; not known of a datum that was disturbed.
    wrong: f64,
    /// How much that may be mistaken, in steps.
    tolerance: f64,
}

impl Watch {
    pub(super) fn new(axis: &RandomAxis) -> Result<Self, String> {
        let parts = axis.configuration.parts();
        let paces = &parts.paces;
        Ok(Self {
            paces: [Pace::new(&paces.travel)?, Pace::new(&paces.jog)?, Pace::new(&paces.fast)?],
            pins: Pins::new(parts),
            play: Play::new(parts),
            sure: Play::new(parts),
            contacts: [Settling::default(); 2],
            probe: Settling::default(),
            true_flank: axis.true_flank,
            plate: axis.plate,
            hz: paces.travel.timer_hz(),
            stops: (axis.machine.load.low_stop, axis.machine.load.high_stop),
            seen: Seen { state: State::Resting, step: 0, proven: false, moving: false },
            numbered: (0, false),
            latched: None,
            begun: 0,
            proven_since: 0,
            drive: Drive::default(),
            quiet_since: 0,
            by_hand: false,
            touch: None,
            claim: None,
            datum_offset: None,
            arrivals: 0,
            parts: *parts,
            tolerance: axis.datum_tolerance,
            repeats: axis.datum_repeats,
            at_zero: axis.at_zero,
            travel: axis.travel,
            past: [None; 2],
            away: [None; 2],
            unenabled: None,
            one_way: 0,
            lost: 0,
            reasons: 0,
            losses: 0,
            losses_before_edge: 0,
            on_a_stop: false,
            searching: None,
            proof: None,
            proven_before: false,
            found_out: 0,
            proven_again: 0,
            datums: 0,
        })
    }

    /// Looks at what a request has just done; before, the carriage was in the state `from`.
    pub(super) fn asked(&mut self, twin: &mut Twin, from: State) -> Result<(), Broken> {
        let carriage = twin.carriage();
        self.drive.wanted = Wanted::AsItIs;
        self.begun += usize::from(from == State::Resting && carriage.state() != State::Resting);
        let (step, proven) = (carriage.step(), carriage.is_proven());
        let before = std::mem::replace(&mut self.numbered, (step, proven));
        self.proven_since += usize::from(proven && !before.1);
        if !proven || before == self.numbered {
            return Ok(());
        }
        if !self.pins.has_settled(twin.now()) {
            return Err(format!("proof while the drive is off or settles: step {step} at {}", twin.now()));
        }
        let (lowest, highest) = self.parts.steps;
        if !(lowest..=highest).contains(&step) {
            return Err(format!("proof past a limit: step {step}, {lowest} to {highest}"));
        }
        self.take_proof(twin);
        let wrong = self.wrong(twin);
        // A slip may have moved the nut off the flank on which the edges left it.
        let slipped = self.sure.open().map_or(0, |open| open.steps - open.taken);
        let claim = Claim {
            losses: self.losses,
            by: "a stated height",
            wrong: Some(wrong),
            slipped,
            tolerance: 0.01,
        };
        self.claim = Some(claim).filter(|_| !self.is_on_a_stop(twin));
        Ok(())
    }

    /// The power fails; when it returns there is a new carriage.
    pub(super) fn lose_power(&mut self) {
        self.pins.lose_power();
        self.play.forget();
        self.sure.forget();
        (self.contacts, self.probe) = Default::default();
        (self.proof, self.claim, self.touch, self.searching) = (None, None, None, None);
        (self.latched, self.drive) = (None, Drive::default());
        (self.seen.step, self.seen.proven, self.numbered) = (0, false, (0, false));
    }

    /// It was asked that the drive be released, once the motor stands, and nothing else since.
    pub(super) fn goes_off(&mut self) {
        self.drive.wanted = Wanted::Off;
    }

    /// A touch-off was granted; the one before may have been broken off since the last poll.
    pub(super) fn touches_off(&mut self, by_hand: bool) {
        (self.by_hand, self.touch) = (by_hand, None);
    }

    /// The drive is released; before the next poll it may be on again, and the pin never fell.
    pub(super) fn released(&mut self) {
        self.drive.released = true;
    }

    /// Something changed on the machine between two polls: nothing may drive the motor now.
    pub(super) fn changed(&mut self, twin: &mut Twin) {
        if !twin.ground_truth().driven {
            self.drive.let_go = true;
        }
    }

    /// Looks at the twin before it goes on.
    pub(super) fn before(&mut self, twin: &mut Twin) {
        let carriage = twin.carriage();
        let proven = carriage.is_proven();
        let was_proven = self.seen.proven;
        if carriage.state() != self.seen.state {
            self.quiet_since = twin.now();
        }
        self.seen =
            Seen { state: carriage.state(), step: carriage.step(), proven, moving: carriage.is_moving() };
        if self.seen.state != State::TouchingOff {
            self.touch = None;
        } else if self.touch.is_none() {
            let losses = self.losses;
            self.touch = Some(Touching {
                edges: 0,
                was_proven: proven,
                disturbed: false,
                losses,
                contact: None,
                told: false,
            });
        }
        if self.seen.state != State::FindingDatum {
            self.searching = None;
        } else if self.searching.is_none() {
            self.searching = Some(Search {
                disturbed: false,
                was_proven,
                losses_at_contact: self.losses,
                released_at: None,
            });
        }
    }

    /// Whether a fault of the machine has to do with the contact that finds the datum.
    pub(super) fn disturb(&mut self) {
        if let Some(search) = &mut self.searching {
            search.disturbed = true;
        }
        if let Some(touch) = &mut self.touch {
            touch.disturbed = true;
        }
    }

    /// Checks what a poll brought.
    pub(super) fn after(&mut self, twin: &mut Twin, moment: &Moment, disturbed: bool) -> Result<(), Broken> {
        if disturbed {
            self.disturb();
        }
        self.look_at_contact(moment);
        self.look_at_switches(moment);
        self.look_at_probe(moment);
        self.pins.levels(moment)?;
        if let Some(edge) = moment.edge {
            if self.seen.state == State::Resting {
                return Err(format!("an edge while resting: at tick {}", moment.tick));
            }
            if self.seen.state == State::Travelling && !self.seen.proven {
                return Err(format!(
                    "an edge to a target from an unproven position: at tick {}",
                    moment.tick
                ));
            }
            let last_way = self.pins.way();
            self.pins.edge(moment, edge.direction, &self.pace_shown())?;
            self.check_limits(twin, edge.direction)?;
            self.check_overrun(edge.direction, last_way)?;
            self.losses_before_edge = self.losses;
            self.play.edge(edge.direction);
            self.sure.edge(edge.direction);
            self.quiet_since = moment.tick;
            if let Some(touch) = &mut self.touch {
                touch.edges += 1;
            }
        }
        self.check_quiet(moment)?;
        if self.drive.wanted == Wanted::Off
            && moment.drive
            && self.pins.stands(moment.tick)
            && !twin.carriage().is_moving()
        {
            return Err(format!("not released: the drive is on at tick {}", moment.tick));
        }
        if !twin.carriage().is_moving() {
            // The next motion is another.
            self.one_way = 0;
            self.unenabled = None;
            self.pins.stand();
        }
        if !moment.drive || moment.events.iter().any(|event| event == Event::Cleared) {
            self.away = [None; 2];
        }
        if !moment.drive {
            (self.proof, self.claim) = (None, None);
            self.play.forget();
            self.sure.forget();
        }
        self.check_truth(twin, moment)?;
        self.check_events(twin, moment)?;
        (self.seen.step, self.seen.proven) = (twin.carriage().step(), twin.carriage().is_proven());
        self.numbered = (self.seen.step, self.seen.proven);
        Ok(())
    }

    /// Notes the losses of steps at the first contact with the switch that is sought.
    fn look_at_contact(&mut self, moment: &Moment) {
        let pressed = self.pressed(moment);
        let (Some(search), Some(datum)) = (&mut self.searching, &self.parts.datum) else { return };
        if !pressed[datum.end as usize] {
            search.released_at.get_or_insert(moment.tick);
        } else if let Some(released_at) = search.released_at.take()
            && moment.tick - released_at >= self.parts.contact_settle
        {
            search.losses_at_contact = self.losses_before_edge;
        }
    }

    fn pressed(&self, moment: &Moment) -> Pressed {
        let levels = [moment.inputs.low_switch, moment.inputs.high_switch];
        [0, 1].map(|end| self.parts.switches[end].is_some_and(|wiring| wiring.is_pressed(levels[end])))
    }

    /// Notes the first contact of a touch-off, on the step on which the motor stood before this poll.
    fn look_at_probe(&mut self, moment: &Moment) {
        let Some(wiring) = self.parts.probe else { return };
        let pressed = wiring.is_pressed(moment.inputs.probe);
        let first = self.probe.read(moment.tick, pressed, self.parts.contact_settle);
        if let Some(touch) = self.touch.as_mut().filter(|touch| first && pressed && !touch.told) {
            touch.contact = Some(Met { step: self.seen.step, edges: touch.edges, open: self.play.open() });
        }
    }

    /// A motion that nobody leads ends, whatever flickers.
    fn check_quiet(&self, moment: &Moment) -> Result<(), Broken> {
        let alone = match self.seen.state {
            State::Travelling | State::Braking | State::FindingDatum => true,
            State::TouchingOff => !self.by_hand,
            _ => false,
        };
        let quiet = moment.tick - self.quiet_since;
        if alone && quiet > QUIET_MOST * self.hz {
            return Err(format!("without end: {} and no edge for {quiet} ticks", self.seen.state.name()));
        }
        Ok(())
    }

    fn look_at_switches(&mut self, moment: &Moment) {
        let pressed = self.pressed(moment);
        for end in End::BOTH {
            let at = end as usize;
            self.contacts[at].read(moment.tick, pressed[at], self.parts.contact_settle);
            if !pressed[at] {
                (self.past[at], self.away[at]) = (None, None);
                continue;
            }
            let sought = self.seen.state == State::FindingDatum
                && self.parts.datum.as_ref().is_some_and(|datum| datum.end == end);
            // The switch sought acts at its first sign; any other once it has settled.
            let allowed = brake_room(self.pace())
                + if sought { 2 } else { 3 + edges_in(self.pace(), self.parts.contact_settle) };
            let overrun = self.past[at].get_or_insert(Overrun { edges: 0, allowed, before: false });
            overrun.allowed = overrun.allowed.max(allowed);
            // Settled while the motor stands, it counts before the next motion begins.
            overrun.before |= !self.seen.moving && self.contacts[at].is_pressed();
            self.away[at].get_or_insert(0);
        }
        let self_running =
            matches!(self.seen.state, State::Travelling | State::FindingDatum | State::Commissioning);
        if moment.inputs.enable {
            self.unenabled = None;
        } else if self_running && self.unenabled.is_none() {
            let allowed = brake_room(self.pace()) + 1;
            self.unenabled = Some(Overrun { edges: 0, allowed, before: !self.seen.moving });
        }
    }

    /// The pace that the state keeps to, or a faster one it may still be braking from.
    fn pace(&self) -> &StepLimits {
        let paces = &self.parts.paces;
        match self.seen.state {
            State::FindingDatum | State::Commissioning => &paces.fast,
            State::Jogging | State::TouchingOff => &paces.jog,
            _ => &paces.travel,
        }
    }

    /// Its intervals.
    fn pace_shown(&self) -> Pace {
        self.paces[match self.seen.state {
            State::FindingDatum | State::Commissioning => 2,
            State::Jogging | State::TouchingOff => 1,
            _ => 0,
        }]
    }

    /// Once proven, no edge leads past a soft limit, or further past it.
    fn check_limits(&mut self, twin: &Twin, direction: Direction) -> Result<(), Broken> {
        let after = self.seen.step + direction.sign();
        let (lowest, highest) = self.parts.steps;
        let excess = |step: i64| (lowest - step).max(step - highest).max(0);
        if self.seen.proven && excess(after) > excess(self.seen.step) {
            return Err(format!("past a soft limit: a proven edge to step {after}, {lowest} to {highest}"));
        }
        let renumbered =
            matches!(twin.carriage().state(), State::Resting | State::Jogging) && twin.carriage().is_proven();
        if twin.carriage().step() != after && !renumbered {
            return Err(format!("lost count: step {} after an edge to {after}", twin.carriage().step()));
        }
        Ok(())
    }

    fn check_overrun(&mut self, direction: Direction, last_way: Option<Direction>) -> Result<(), Broken> {
        for end in End::BOTH {
            let nears = End::toward(direction, self.parts.trend) == end;
            if let Some(overrun) = self.past[end as usize].as_mut().filter(|_| nears) {
                overrun.edges += 1;
                if overrun.before {
                    return Err(format!(
                        "toward a pressed switch: it had settled at the {} end while the motor stood, {}",
                        end.name(),
                        self.seen.state.name()
                    ));
                }
                if overrun.edges > overrun.allowed {
                    return Err(format!(
                        "past a switch: {} steps past the pressed {} switch, {} allowed, {}",
                        overrun.edges,
                        end.name(),
                        overrun.allowed,
                        self.seen.state.name()
                    ));
                }
            }
            if let Some(edges) = self.away[end as usize].as_mut().filter(|_| !nears) {
                *edges += 1;
                let allowed = self.parts.release_bound + brake_room(&self.parts.paces.travel) + 2;
                if *edges > allowed {
                    return Err(format!("never released: {edges} steps away from the {} switch", end.name()));
                }
            }
            if nears {
                self.away[end as usize] = self.away[end as usize].map(|edges| edges.saturating_sub(1));
            } else {
                self.past[end as usize] =
                    self.past[end as usize].map(|overrun| Overrun { edges: 0, ..overrun });
            }
        }
        if let Some(overrun) = &mut self.unenabled {
            overrun.edges += 1;
            if overrun.before || overrun.edges > overrun.allowed {
                return Err(format!(
                    "not enabled: {} steps after the enable input was let go",
                    overrun.edges
                ));
            }
        }
        if self.seen.state == State::FindingDatum {
            self.one_way = if last_way == Some(direction) { self.one_way + 1 } else { 1 };
            let bound = self.parts.datum.as_ref().map_or(0, |datum| datum.bound);
            if self.one_way > bound.max(self.parts.release_bound) + 2 {
                return Err(format!("past a bound: {} steps one way in search of the datum", self.one_way));
            }
        }
        Ok(())
    }

    /// A proven position is where the rotor is, unless it lost steps; then the machine has a reason.
    fn check_truth(&mut self, twin: &mut Twin, moment: &Moment) -> Result<(), Broken> {
        let truth = twin.ground_truth();
        let lost = twin.lost_steps();
        let proven = twin.carriage().is_proven();
        if proven && !truth.driven {
            return Err(format!("proven undriven: at tick {} nothing drives the motor", moment.tick));
        }
        let reasons = truth.record.slips + truth.record.missed_pulses + truth.record.end_stop_hits;
        // A fault of the drive that came and went between two polls is unseen.
        let let_go = std::mem::take(&mut self.drive.let_go);
        // A drive that comes on may lock the rotor to a step past the end stop on which it stands, without a
        // hit. The carriage cannot know; of the first edges back, each may then fail to move the rotor.
        let on_a_stop = self.is_on_a_stop(twin);
        let held = std::mem::replace(&mut self.on_a_stop, on_a_stop)
            && moment.edge.is_some()
            && (lost - self.lost).abs() == 1;
        if lost != self.lost && proven && self.seen.proven && reasons == 0 && !let_go && !held {
            return Err(format!("lost for no reason: {} steps at tick {}", lost - self.lost, moment.tick));
        }
        if (lost, reasons) != (self.lost, self.reasons) || let_go {
            self.losses += 1;
            self.sure.forget();
        }
        self.reasons = reasons;
        self.lost = lost;
        Ok(())
    }

    fn check_events(&mut self, twin: &mut Twin, moment: &Moment) -> Result<(), Broken> {
        let begun = std::mem::take(&mut self.begun);
        let proven_since = std::mem::take(&mut self.proven_since);
        for (at, event) in moment.events.iter().enumerate() {
            // What was under way, and what was begun and broken off since, stopped once each; and each
            // proof may have been doubted.
            let most = match event {
                Event::Stopped { .. } => begun,
                Event::Unproven(_) => proven_since,
                _ => 0,
            };
            if moment.events.iter().take(at).filter(|other| *other == event).count() > most {
                return Err(format!("told twice: {event:?} in one poll, {}", self.seen.state.name()));
            }
            match event {
                Event::DatumFound { off_by, .. } => self.check_datum(twin, off_by)?,
                Event::Contact { step } => self.check_contact(step)?,
                Event::Touched { step, off_by } => self.check_touch(twin, moment, step, off_by)?,
                Event::Stopped { why: Stop::Arrived, .. } if self.seen.state == State::Travelling => {
                    self.check_arrival(twin)?;
                }
                Event::Faulted(fault) if self.latched.replace(fault) == Some(fault) => {
                    return Err(format!("told twice: {fault:?}, not cleared in between"));
                }
                Event::Cleared => self.latched = None,
                Event::EventsLost => return Err("events lost: too many for one poll".into()),
                _ => {}
            }
        }
        let rises = moment.inputs.drive_fault && !self.drive.faulty;
        self.drive.faulty = moment.inputs.drive_fault;
        if rises {
            let told = moment.events.iter().any(|event| event == Event::Faulted(Fault::Drive));
            let fault = twin.carriage().fault();
            if !told && fault != Some(Fault::Drive) {
                return Err(format!("drive fault untold: the fault is {fault:?}"));
            }
        }
        Ok(())
    }

    /// It says that it stands on a target: from the side it was promised, and where the last proof says.
    #[expect(clippy::cast_precision_loss, reason = "steps are few")]
    fn check_arrival(&mut self, twin: &mut Twin) -> Result<(), Broken> {
        if let Some(Open { taken, steps }) = self.play.open() {
            return Err(format!("play not taken up: at a target with {taken} of {steps} steps"));
        }
        // On an end stop it stands where that is, with whatever play the weight then opens.
        if self.is_on_a_stop(twin) {
            return Ok(());
        }
        let stood = self.wrong(twin);
        let Some(claim) = self.claim.filter(|claim| claim.losses == self.losses) else { return Ok(()) };
        self.arrivals += u64::from(self.play.toward().is_some());
        let (expected, tolerance) = match (claim.wrong, self.datum_offset) {
            (Some(wrong), _) => (wrong, claim.tolerance + claim.slipped as f64),
            (None, Some(offset)) => (offset, self.repeats),
            (None, None) => {
                self.datum_offset = Some(stood);
                (0.0, self.tolerance)
            }
        };
        if (stood - expected).abs() > tolerance {
            return Err(format!(
                "on another flank: a target stands {stood:.2} steps off, after {} {expected:.2} off, {tolerance:.2} allowed",
                claim.by
            ));
        }
        // Until the edges have taken it up for certain, an arrival does not tell yet.
        if claim.slipped > 0 && self.sure.open().is_none() {
            self.claim = Some(Claim { wrong: Some(stood), slipped: 0, ..claim });
        }
        Ok(())
    }

    /// Whether the carriage stands on an end stop, to a thousandth of a step.
    fn is_on_a_stop(&self, twin: &mut Twin) -> bool {
        let (low, high) = self.stops;
        let (at, near) = (twin.ground_truth().carriage_position, 1e-3 * self.travel.abs());
        at <= low + near || at >= high - near
    }

    /// A contact that is told to the hand is the first of the change that has settled.
    fn check_contact(&mut self, told: i64) -> Result<(), Broken> {
        let Some(Touching { contact, told: already, .. }) = &mut self.touch else {
            return Err("contact unasked: no touch-off was under way".into());
        };
        let met = contact.map(|met| met.step);
        if std::mem::replace(already, true) || met != Some(told) {
            return Err(format!("contact elsewhere: told on step {told}, met at {met:?}"));
        }
        Ok(())
    }

    /// A touch is a contact after a step, told where it was, within the limits, on the flank of the approach.
    #[expect(clippy::cast_precision_loss, reason = "steps are few")]
    fn check_touch(
        &mut self,
        twin: &mut Twin,
        moment: &Moment,
        told: i64,
        off_by: Option<i64>,
    ) -> Result<(), Broken> {
        let Some(Touching { was_proven, disturbed, losses, contact, .. }) = self.touch.take() else {
            return Err("touched unasked: no touch-off was under way".into());
        };
        let Some(Met { step: contact, edges, open }) = contact else {
            return Err(format!("touched without a contact: on step {told}"));
        };
        if edges == 0 {
            return Err(format!("touched before a step: on step {told}"));
        }
        let now = twin.carriage().step();
        let shift = now - self.seen.step - moment.edge.map_or(0, |edge| edge.direction.sign());
        // On the other flank the number has to account for the play.
        let play = open.zip(self.play.toward());
        let play = play.map_or(0, |(open, toward)| toward.sign() * (open.steps - open.taken).cast_signed());
        if contact + shift + play != told {
            let what = if play == 0 { "touched elsewhere" } else { "proof on another flank" };
            let met = contact + shift;
            return Err(format!("{what}: told step {told}, met at {met}, {play} steps of play open"));
        }
        let proves = off_by.is_some() || !was_proven || shift != 0;
        if !proves {
            return Ok(());
        }
        let agreement = self.parts.touch.map_or(0, |touch| touch.agreement);
        if was_proven && shift.unsigned_abs() > agreement {
            return Err(format!("renumbered by a touch: by {shift} steps, {agreement} allowed"));
        }
        let (lowest, highest) = self.parts.steps;
        if !(lowest..=highest).contains(&told) {
            return Err(format!("proof past a limit: touched on step {told}, {lowest} to {highest}"));
        }
        self.take_proof(twin);
        self.claim = (!disturbed && losses == self.losses).then(|| {
            let wrong = (self.at_zero + self.travel * told as f64 - self.plate) / self.travel;
            Claim { losses, by: "a touch-off", wrong: Some(wrong), slipped: 0, tolerance: self.true_flank }
        });
        Ok(())
    }

    /// By how many steps the number of the present step is wrong.
    #[expect(clippy::cast_precision_loss, reason = "steps are few")]
    fn wrong(&self, twin: &mut Twin) -> f64 {
        let truth = twin.ground_truth();
        // What holds a jammed rotor back, short of the step it is locked to, is no error of the number.
        let back = truth.rotor_position - truth.rotor_step as f64;
        let back = if self.parts.motor == MotorDirection::Normal { back } else { -back };
        let step = twin.carriage().step() as f64;
        (self.at_zero + self.travel * step - truth.carriage_position) / self.travel + back
    }

    /// A person's word or a touch-off, right or wrong.
    fn take_proof(&mut self, twin: &mut Twin) {
        // The carriage may stand anywhere within the backlash, which the tolerance of a datum has in it.
        let wrong = self.wrong(twin);
        // Since the last poll the rotor may have come back into step.
        let lost = twin.lost_steps();
        self.proof = Some(Proof { lost, wrong, tolerance: 2.0 * self.tolerance });
        self.drive.released = false;
        self.proven_before = true;
    }

    #[expect(clippy::cast_precision_loss, reason = "steps are few")]
    fn check_datum(&mut self, twin: &mut Twin, off_by: Option<i64>) -> Result<(), Broken> {
        self.datums += 1;
        let step = twin.carriage().step();
        let wrong = self.wrong(twin);
        if std::mem::take(&mut self.drive.released) && off_by.is_none() {
            self.proof = None;
        }
        if off_by.is_some() != self.proof.is_some() {
            return Err(format!("datum off by what: it says {off_by:?}, the proof being {:?}", self.proof));
        }
        if off_by.is_some_and(|off_by| self.seen.step - step != off_by) {
            return Err(format!(
                "datum off by what: it makes step {step} of {} and says {off_by:?}",
                self.seen.step
            ));
        }
        let search = self.searching.take();
        let Some(search) =
            search.filter(|search| !search.disturbed && search.losses_at_contact == self.losses)
        else {
            self.take_proof(twin);
            self.claim = None;
            return Ok(());
        };
        let same_flank = self.parts.datum.as_ref().is_some_and(|datum| {
            self.play.toward().is_none_or(|toward| toward == datum.end.direction(self.parts.trend))
        });
        self.claim = Some(Claim {
            losses: self.losses,
            by: "a datum",
            wrong: same_flank.then_some(0.0),
            slipped: 0,
            tolerance: self.true_flank,
        });
        if wrong.abs() > self.tolerance {
            return Err(format!(
                "datum elsewhere: {wrong:.2} steps from where it is, {:.2} allowed, at step {step}",
                self.tolerance
            ));
        }
        if let (Some(off_by), Some(proof)) = (off_by, self.proof) {
            let drift = self.lost - proof.lost;
            let expected = proof.wrong + drift as f64;
            if (off_by as f64 - expected).abs() > proof.tolerance {
                return Err(format!(
                    "datum off by what: {drift} steps had been lost since a proof {:.2} off, and the datum said {off_by}",
                    proof.wrong
                ));
            }
            self.found_out += u64::from(drift != 0);
        }
        self.proven_again += u64::from(self.proven_before && !search.was_proven);
        self.proof = Some(Proof { lost: self.lost, wrong: 0.0, tolerance: self.repeats });
        self.proven_before = true;
        Ok(())
    }
}

/// Ticks between two edges at full speed, rounded down.
fn shortest_interval(limits: &StepLimits) -> u64 {
    let speed = limits.rates().speed;
    limits.timer_hz() * speed.denom() / speed.numer()
}

/// Steps in which a brake ends at the latest: v²/2d, rounded up, and one. Where the motion is
/// jerk-limited and slows down already it runs out: v·d/2j more.
fn brake_room(limits: &StepLimits) -> u64 {
    let rates = limits.rates();
    let (speed, deceleration) = (rates.speed.to_integer(), rates.deceleration.to_integer());
    let gently = rates.jerk.map_or(0, |jerk| (speed * deceleration).div_ceil(2 * jerk.to_integer()));
    (speed * speed).div_ceil(2 * deceleration) + gently + 1
}

/// The most edges within so many ticks.
fn edges_in(limits: &StepLimits, ticks: u64) -> u64 {
    ticks / shortest_interval(limits).max(1) + 1
}
