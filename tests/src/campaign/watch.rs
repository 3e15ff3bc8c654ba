//! What must hold at every poll and every edge, whatever goes wrong.

use wholestep::axis::MotorDirection;
use wholestep::carriage::{Direction, End, Event, Parts, State};
use wholestep::plan::StepLimits;
use wholestep_twin::{Moment, Twin};

use super::machine::RandomAxis;

/// How a thing that must hold did not.
pub(super) type Broken = String;

/// The levels, pressed or not, of the switches by end.
type Pressed = [bool; 2];

/// A run of edges one way while something should end it.
#[derive(Clone, Copy, Debug, Default)]
struct Overrun {
    edges: u64,
    allowed: u64,
}

/// The watch over one life.
pub(super) struct Watch {
    parts: Parts,
    tolerance: f64,
    repeats: f64,
    at_nought: f64,
    travel: f64,
    /// The state before the poll, its steps and whether they were proven.
    state: State,
    step: i64,
    proven: bool,
    direction: bool,
    turned_at: u64,
    driven_at: Option<u64>,
    last_edge: Option<(u64, Direction)>,
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
    searching: Option<Search>,
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
    pub(super) fn new(axis: &RandomAxis) -> Self {
        Self {
            parts: *axis.configuration.parts(),
            tolerance: axis.datum_tolerance,
            repeats: axis.datum_repeats,
            at_nought: axis.at_nought,
            travel: axis.travel,
            state: State::Resting,
            step: 0,
            proven: false,
            direction: true,
            turned_at: 0,
            driven_at: None,
            last_edge: None,
            past: [None; 2],
            away: [None; 2],
            unenabled: None,
            one_way: 0,
            lost: 0,
            reasons: 0,
            losses: 0,
            losses_before_edge: 0,
            searching: None,
            proof: None,
            proven_before: false,
            found_out: 0,
            proven_again: 0,
            datums: 0,
        }
    }

    /// Looks at the twin before it goes on.
    pub(super) fn before(&mut self, twin: &mut Twin) {
        let carriage = twin.carriage();
        let proven = carriage.is_proven();
        if proven && (!self.proven || carriage.step() != self.step) {
            // A request stated the height.
            self.take_proof(twin);
        }
        let carriage = twin.carriage();
        let was_proven = self.proven;
        (self.state, self.step, self.proven) = (carriage.state(), carriage.step(), proven);
        if self.state != State::FindingDatum {
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
    }

    /// Checks what a poll brought.
    pub(super) fn after(&mut self, twin: &mut Twin, moment: &Moment, disturbed: bool) -> Result<(), Broken> {
        if disturbed {
            self.disturb();
        }
        self.keep_pins(moment);
        self.look_at_contact(moment);
        self.look_at_switches(moment);
        if let Some(edge) = moment.edge {
            self.check_pulse(moment, edge.direction)?;
            self.check_limits(twin, edge.direction)?;
            self.check_overrun(edge.direction)?;
            self.last_edge = Some((moment.tick, edge.direction));
            self.losses_before_edge = self.losses;
        }
        if !twin.carriage().is_moving() {
            // The next motion is another.
            self.one_way = 0;
            self.unenabled = None;
        }
        if !moment.drive || moment.events.iter().any(|event| event == Event::Cleared) {
            self.away = [None; 2];
        }
        if !moment.drive {
            self.proof = None;
        }
        self.check_truth(twin, moment)?;
        self.check_events(twin, moment)?;
        (self.step, self.proven) = (twin.carriage().step(), twin.carriage().is_proven());
        Ok(())
    }

    fn keep_pins(&mut self, moment: &Moment) {
        if moment.direction != self.direction {
            self.direction = moment.direction;
            self.turned_at = moment.tick;
        }
        self.driven_at = moment.drive.then(|| self.driven_at.unwrap_or(moment.tick));
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

    fn look_at_switches(&mut self, moment: &Moment) {
        let pressed = self.pressed(moment);
        for end in End::BOTH {
            let at = end as usize;
            if !pressed[at] {
                (self.past[at], self.away[at]) = (None, None);
                continue;
            }
            let sought = self.state == State::FindingDatum
                && self.parts.datum.as_ref().is_some_and(|datum| datum.end == end);
            // The switch sought acts at its first sign; any other once it has settled.
            let allowed = brake_room(self.pace())
                + if sought { 2 } else { 3 + edges_in(self.pace(), self.parts.contact_settle) };
            let overrun = self.past[at].get_or_insert(Overrun { edges: 0, allowed });
            overrun.allowed = overrun.allowed.max(allowed);
            self.away[at].get_or_insert(0);
        }
        let self_running =
            matches!(self.state, State::Travelling | State::FindingDatum | State::Commissioning);
        if moment.inputs.enable {
            self.unenabled = None;
        } else if self_running && self.unenabled.is_none() {
            self.unenabled = Some(Overrun { edges: 0, allowed: brake_room(self.pace()) + 1 });
        }
    }

    /// The pace that the state keeps to, or a faster one it may still be braking from.
    fn pace(&self) -> &StepLimits {
        let paces = &self.parts.paces;
        match self.state {
            State::FindingDatum | State::Commissioning => &paces.search,
            State::Jogging | State::TouchingOff => &paces.jog,
            _ => &paces.travel,
        }
    }

    fn check_pulse(&self, moment: &Moment, direction: Direction) -> Result<(), Broken> {
        let Moment { tick, .. } = *moment;
        if self.state == State::Resting {
            return Err(format!("an edge at tick {tick} while resting"));
        }
        if !moment.drive {
            return Err(format!("an edge at tick {tick} with the drive off"));
        }
        if self.driven_at.is_none_or(|at| tick < at + self.parts.drive_settle) {
            return Err(format!("an edge at tick {tick} before the drive had settled"));
        }
        if tick < self.turned_at + self.parts.timing.direction_setup() {
            return Err(format!("an edge at tick {tick}, the direction set at {}", self.turned_at));
        }
        if let Some((before, way)) = self.last_edge {
            let interval = tick - before;
            let shortest = shortest_interval(self.pace());
            if interval < self.parts.timing.least_interval() || way == direction && interval < shortest {
                return Err(format!(
                    "edges {interval} ticks apart at {tick}, {} at least",
                    shortest.max(self.parts.timing.least_interval())
                ));
            }
        }
        Ok(())
    }

    /// Once proven, no edge leads past a soft limit, or further past it.
    fn check_limits(&mut self, twin: &Twin, direction: Direction) -> Result<(), Broken> {
        let after = self.step + direction.sign();
        let (lowest, highest) = self.parts.steps;
        let excess = |step: i64| (lowest - step).max(step - highest).max(0);
        if self.proven && excess(after) > excess(self.step) {
            return Err(format!("a proven edge to step {after}, past {lowest} to {highest}"));
        }
        let renumbered =
            matches!(twin.carriage().state(), State::Resting | State::Jogging) && twin.carriage().is_proven();
        if twin.carriage().step() != after && !renumbered {
            return Err(format!("step {} after an edge to {after}", twin.carriage().step()));
        }
        Ok(())
    }

    fn check_overrun(&mut self, direction: Direction) -> Result<(), Broken> {
        for end in End::BOTH {
            let nears = End::toward(direction, self.parts.trend) == end;
            if let Some(overrun) = self.past[end as usize].as_mut().filter(|_| nears) {
                overrun.edges += 1;
                if overrun.edges > overrun.allowed {
                    return Err(format!(
                        "{} steps past the pressed {} switch, {} allowed, {}",
                        overrun.edges,
                        end.name(),
                        overrun.allowed,
                        self.state.name()
                    ));
                }
            }
            if let Some(edges) = self.away[end as usize].as_mut().filter(|_| !nears) {
                *edges += 1;
                let allowed = self.parts.release_bound + brake_room(&self.parts.paces.travel) + 2;
                if *edges > allowed {
                    return Err(format!("{edges} steps away from the {} switch, never released", end.name()));
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
            if overrun.edges > overrun.allowed {
                return Err(format!("{} steps after the enable input was let go", overrun.edges));
            }
        }
        if self.state == State::FindingDatum {
            self.one_way =
                if self.last_edge.is_some_and(|(_, way)| way == direction) { self.one_way + 1 } else { 1 };
            let bound = self.parts.datum.as_ref().map_or(0, |datum| datum.bound);
            if self.one_way > bound.max(self.parts.release_bound) + 2 {
                return Err(format!("{} steps one way in search of the datum", self.one_way));
            }
        }
        Ok(())
    }

    /// A proven position is where the rotor is, unless it lost steps; then the machine has a reason.
    fn check_truth(&mut self, twin: &mut Twin, moment: &Moment) -> Result<(), Broken> {
        let truth = twin.truth();
        let lost = twin.lost_steps();
        let proven = twin.carriage().is_proven();
        if proven && !truth.driven {
            return Err(format!("proven at tick {} although nothing drives the motor", moment.tick));
        }
        let reasons = truth.record.slips + truth.record.missed_pulses + truth.record.end_stop_hits;
        if lost != self.lost && proven && self.proven && reasons == 0 {
            return Err(format!("{} steps lost at tick {} with no reason", lost - self.lost, moment.tick));
        }
        if (lost, reasons) != (self.lost, self.reasons) {
            self.losses += 1;
        }
        self.reasons = reasons;
        self.lost = lost;
        Ok(())
    }

    fn check_events(&mut self, twin: &mut Twin, moment: &Moment) -> Result<(), Broken> {
        for event in moment.events.iter() {
            match event {
                Event::DatumFound { off_by, .. } => self.check_datum(twin, off_by)?,
                Event::Touched { off_by, .. } if off_by.is_some() || !self.proven => self.take_proof(twin),
                Event::EventsLost => return Err("events were lost".into()),
                _ => {}
            }
        }
        Ok(())
    }

    /// By how many steps the number of the present step is wrong.
    #[expect(clippy::cast_precision_loss, reason = "steps are few")]
    fn wrong(&self, twin: &mut Twin) -> f64 {
        let truth = twin.truth();
        // What holds a jammed rotor back, short of the step it is locked to, is no error of the number.
        let back = truth.rotor_position - truth.rotor_step as f64;
        let back = if self.parts.motor == MotorDirection::Normal { back } else { -back };
        let step = twin.carriage().step() as f64;
        (self.at_nought + self.travel * step - truth.carriage_position) / self.travel + back
    }

    /// A person's word or a touch-off, right or wrong.
    fn take_proof(&mut self, twin: &mut Twin) {
        // The carriage may stand anywhere within the backlash, which the tolerance of a datum has in it.
        let wrong = self.wrong(twin);
        // Since the last poll the rotor may have come back into step.
        let lost = twin.lost_steps();
        self.proof = Some(Proof { lost, wrong, tolerance: 2.0 * self.tolerance });
        self.proven_before = true;
    }

    #[expect(clippy::cast_precision_loss, reason = "steps are few")]
    fn check_datum(&mut self, twin: &mut Twin, off_by: Option<i64>) -> Result<(), Broken> {
        self.datums += 1;
        let step = twin.carriage().step();
        let wrong = self.wrong(twin);
        if off_by.is_some() != self.proof.is_some() {
            return Err(format!("a datum says it was off by {off_by:?}, the proof being {:?}", self.proof));
        }
        if off_by.is_some_and(|off_by| self.step - step != off_by) {
            return Err(format!("a datum makes step {step} of {} and says {off_by:?}", self.step));
        }
        let search = self.searching.take();
        let Some(search) =
            search.filter(|search| !search.disturbed && search.losses_at_contact == self.losses)
        else {
            self.take_proof(twin);
            return Ok(());
        };
        if wrong.abs() > self.tolerance {
            return Err(format!(
                "a datum {wrong:.2} steps from where it is, {:.2} allowed, at step {step}",
                self.tolerance
            ));
        }
        if let (Some(off_by), Some(proof)) = (off_by, self.proof) {
            let drift = self.lost - proof.lost;
            let expected = proof.wrong + drift as f64;
            if (off_by as f64 - expected).abs() > proof.tolerance {
                return Err(format!(
                    "{drift} steps had been lost since a proof {:.2} off, and the datum said {off_by}",
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
