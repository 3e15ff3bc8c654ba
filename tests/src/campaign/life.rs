//! One life: a machine, what is asked of it, and what goes wrong.

use std::sync::Arc;

use wholestep::Exact;
use wholestep::carriage::{Asked, Cause, Detent, End, Event, Fault, Input as Fitted, State, Touch, Verdict};
use wholestep_twin::{Direction, Fault as Mishap, FaultKind, Hand, Input, Twin};

use super::chance::Chance;
use super::machine::RandomAxis;
use super::watch::{Broken, Watch};

/// How a life went.
#[derive(Clone, Debug)]
pub(super) struct Life {
    /// What went wrong with the machine while it lived.
    pub(super) mishaps: Vec<FaultKind>,
    /// What the carriage latched on the way.
    pub(super) faults: Vec<Fault>,
    pub(super) ended: State,
    pub(super) proven: bool,
    /// Whether steps were lost, how often a datum said rightly how many, and how often one proved a
    /// position again.
    pub(super) lost: bool,
    pub(super) found_out: u64,
    pub(super) proven_again: u64,
    pub(super) datums: u64,
    pub(super) edges: u64,
    pub(super) polls: u64,
}

/// Polls after which a life counts as one without an end.
const POLLS_MOST: u64 = 400_000;

struct Living {
    twin: Twin,
    watch: Watch,
    chance: Chance,
    hz: u64,
    /// Until when a contact is disturbed.
    disturbed_until: u64,
    mishaps: Vec<(u64, FaultKind)>,
}

/// Lives the life of `seed`.
pub(super) fn live(seed: u64) -> Result<Life, Broken> {
    let mut chance = Chance::new(seed);
    let axis = RandomAxis::new(&mut chance)?;
    let new_machine = chance.once_in(10);
    let watch = Watch::new(&axis);
    let configuration = Arc::new(axis.configuration);
    let twin = if new_machine {
        Twin::new(configuration, axis.machine, seed)
    } else {
        Twin::commissioned(configuration, axis.machine, seed)
    }
    .map_err(|error| error.to_string())?;
    let hz = twin.timer_hz();
    let mut living = Living { twin, watch, chance, hz, disturbed_until: 0, mishaps: Vec::new() };
    living.whole()?;
    Ok(living.epitaph())
}

impl Living {
    fn whole(&mut self) -> Result<(), Broken> {
        self.hold_enable();
        self.still(self.hz)?;
        if self.twin.carriage().asked().is_some() {
            self.commission()?;
        } else {
            self.ask_datum();
            self.maybe_mishap();
            self.still(60 * self.hz)?;
        }
        for _ in 0..self.chance.between(1, 6) {
            if self.chance.once_in(3) {
                self.mishap();
            }
            self.see_to_fault()?;
            self.act()?;
        }
        if self.chance.once_in(2) {
            self.lose_and_find()?;
        }
        self.end()
    }

    fn hold_enable(&mut self) {
        self.twin.hand(self.twin.now(), Hand::Press(Input::Enable, true));
    }

    fn ask_datum(&mut self) {
        // Refused where a fault, a power cut or the enable input says so; that too is life.
        let _refused = self.twin.request(wholestep::carriage::Carriage::find_datum);
    }

    /// One poll, watched.
    fn poll(&mut self, until: u64) -> Result<bool, Broken> {
        self.watch.before(&mut self.twin);
        let Some(moment) = self.twin.advance(until) else { return Ok(false) };
        let disturbed = self.twin.now() <= self.disturbed_until;
        self.watch.after(&mut self.twin, &moment, disturbed)?;
        if self.twin.polls() > POLLS_MOST {
            return Err(format!("no end after {POLLS_MOST} polls, {}", self.twin.carriage().state().name()));
        }
        Ok(true)
    }

    fn pass(&mut self, ticks: u64) -> Result<(), Broken> {
        let until = self.twin.now() + ticks;
        while self.poll(until)? {}
        Ok(())
    }

    fn pass_up_to(&mut self, most: u64) -> Result<(), Broken> {
        let ticks = self.chance.ticks(1, most);
        self.pass(ticks)
    }

    /// Until it stands, for `most` ticks at the longest.
    fn still(&mut self, most: u64) -> Result<(), Broken> {
        let until = self.twin.now() + most;
        while !self.twin.is_still() && self.poll(until)? {}
        Ok(())
    }

    fn act(&mut self) -> Result<(), Broken> {
        let (lowest, highest) = self.twin.carriage().configuration().parts().steps;
        let target = self.chance.between(lowest - 10, highest + 10);
        match self.chance.between(0, 13) {
            0..=3 => {
                let _refused = self.twin.request(|carriage| carriage.go_to(target));
            }
            4 => {
                let by = self.chance.between(-300, 300);
                let _refused = self.twin.request(|carriage| carriage.go_by(by));
            }
            5 => {
                let end = self.chance.of(&End::BOTH);
                let _refused = self.twin.request(|carriage| carriage.travel_to_end(end));
            }
            6 => self.ask_datum(),
            7 | 8 => self.dial()?,
            9 => self.rocker()?,
            10 => self.touch_off()?,
            11 => {
                self.twin.request(wholestep::carriage::Carriage::release);
                if self.chance.once_in(2) {
                    let turned = self.chance.part() * 8.0 - 4.0;
                    self.twin.hand(self.twin.now(), Hand::TurnScrew(turned));
                }
            }
            12 => {
                let _refused = self.twin.request(|carriage| carriage.state_gauge_height(target));
            }
            _ => {
                let _refused = self.twin.request(wholestep::carriage::Carriage::doubt);
            }
        }
        if self.chance.once_in(3) {
            // Something else comes before it is done.
            self.pass_up_to(self.hz / 2)?;
            match self.chance.between(0, 4) {
                0 => self.twin.request(wholestep::carriage::Carriage::brake),
                1 => self.twin.request(wholestep::carriage::Carriage::brake_and_release),
                2 => self.twin.request(wholestep::carriage::Carriage::release),
                _ => {
                    let _refused = self.twin.request(|carriage| carriage.go_to(target / 2));
                }
            }
        }
        self.still(60 * self.hz)
    }

    fn dial(&mut self) -> Result<(), Broken> {
        let size = self.chance.between(1, 40);
        let Ok(detent) = Detent::new(size, self.chance.between(1, 7)) else { return Ok(()) };
        let _refused = self.twin.request(|carriage| carriage.jog(Some(detent)));
        for _ in 0..self.chance.between(1, 3) {
            let counts = i32::try_from(self.chance.between(-120, 120)).unwrap_or(0);
            let turn = Hand::Turn { counts, counts_per_second: 20.0 + 300.0 * self.chance.part() };
            self.twin.hand(self.twin.now(), turn);
            self.pass_up_to(self.hz)?;
        }
        self.still(20 * self.hz)?;
        self.stop_leading()
    }

    fn rocker(&mut self) -> Result<(), Broken> {
        let _refused = self.twin.request(|carriage| carriage.jog(None));
        self.pass(10)?;
        let way = self.chance.of(&[Direction::Forward, Direction::Backward]);
        self.twin.hand(self.twin.now(), Hand::Jog(Some(way)));
        self.pass_up_to(self.hz)?;
        self.twin.hand(self.twin.now(), Hand::Jog(None));
        self.still(20 * self.hz)?;
        self.stop_leading()
    }

    fn stop_leading(&mut self) -> Result<(), Broken> {
        if self.twin.carriage().state() == State::Jogging && self.chance.once_in(2) {
            let step = self.twin.carriage().step().clamp(0, 200);
            let _refused = self.twin.request(|carriage| carriage.state_gauge_height(step));
        }
        self.twin.request(wholestep::carriage::Carriage::brake);
        self.still(20 * self.hz)
    }

    fn touch_off(&mut self) -> Result<(), Broken> {
        if !self.chance.once_in(4) {
            self.twin.hand(self.twin.now(), Hand::Plate(true));
        }
        let becomes = self.twin.carriage().configuration().parts().steps.1 / 2;
        let becomes = self.chance.once_in(2).then_some(becomes);
        self.pass(100)?;
        let _refused = self.twin.request(|carriage| carriage.touch_off(Touch::Stop, becomes));
        self.still(60 * self.hz)?;
        self.twin.hand(self.twin.now(), Hand::Plate(false));
        self.pass(100)
    }

    /// Sees to a fault as a person does, mostly.
    fn see_to_fault(&mut self) -> Result<(), Broken> {
        if !self.twin.powered() || self.chance.once_in(4) {
            self.pass_up_to(self.hz)?;
        }
        if self.twin.carriage().fault().is_some() {
            let _persists = self.twin.request(wholestep::carriage::Carriage::clear_fault);
            self.hold_enable();
            self.pass(self.hz / 10)?;
        }
        // A motor that slips is heard, mostly.
        let heard = self.twin.truth().record.slips > 0 && self.chance.once_in(2);
        if !self.twin.carriage().is_proven() || heard || self.chance.once_in(6) {
            self.hold_enable();
            self.pass(self.hz / 10)?;
            self.ask_datum();
            self.still(60 * self.hz)?;
        }
        Ok(())
    }

    fn maybe_mishap(&mut self) {
        if self.chance.once_in(4) {
            self.mishap();
        }
    }

    /// Something goes wrong, within a second.
    fn mishap(&mut self) {
        let kind = match self.chance.of(&FaultKind::all()) {
            FaultKind::Stall(_) => FaultKind::Stall(0.5 + 4.0 * self.chance.part()),
            FaultKind::HandTurn(_) => FaultKind::HandTurn(8.0 * self.chance.part() - 4.0),
            FaultKind::LatePolls(_) => FaultKind::LatePolls(0.003 * self.chance.part() * self.chance.part()),
            other => other,
        };
        self.befall(kind);
    }

    fn befall(&mut self, kind: FaultKind) {
        let at = self.twin.now() + self.chance.ticks(0, self.hz);
        let lasts = self.chance.ticks(1, self.hz);
        // Almost every fault is seen to, sooner or later.
        let endless = matches!(kind, FaultKind::PowerCut | FaultKind::BounceStorm(_));
        let until = if self.chance.once_in(8) && !endless { None } else { Some(at + lasts) };
        self.twin.inject(Mishap { kind, at, until });
        if !matches!(kind, FaultKind::Stall(_)) {
            let after = 2 * self.hz;
            self.disturbed_until = self.disturbed_until.max(until.map_or(u64::MAX, |until| until + after));
        }
        self.mishaps.push((at, kind));
    }

    /// Loses steps or the position, again and again, and has the datum tell.
    fn lose_and_find(&mut self) -> Result<(), Broken> {
        self.find_again()?;
        for _ in 0..self.chance.between(1, 3) {
            let part = self.chance.part();
            let kind = match self.chance.between(0, 7) {
                0..=3 => FaultKind::Stall(0.5 + 4.0 * part),
                4 => FaultKind::PowerCut,
                5 => FaultKind::LatePolls(0.003 * part),
                6 => FaultKind::DriveFault,
                _ => {
                    self.twin.request(wholestep::carriage::Carriage::release);
                    FaultKind::HandTurn(8.0 * part - 4.0)
                }
            };
            self.befall(kind);
            let end = self.chance.of(&End::BOTH);
            let _refused = self.twin.request(|carriage| carriage.travel_to_end(end));
            self.still(60 * self.hz)?;
            self.find_again()?;
        }
        Ok(())
    }

    /// Waits until what goes wrong is over, sees to the fault and finds the datum.
    fn find_again(&mut self) -> Result<(), Broken> {
        self.pass(5 * self.hz)?;
        let _none = self.twin.request(wholestep::carriage::Carriage::clear_fault);
        self.hold_enable();
        self.pass(self.hz / 5)?;
        self.ask_datum();
        self.still(60 * self.hz)
    }

    /// A first power-up with a person who does what is asked, and once in a while does not.
    fn commission(&mut self) -> Result<(), Broken> {
        for _ in 0..60 {
            let Some(asked) = self.twin.carriage().asked() else { return Ok(()) };
            if self.chance.once_in(30) {
                self.mishap();
            }
            if self.twin.carriage().fault().is_some() {
                let _persists = self.twin.request(wholestep::carriage::Carriage::clear_fault);
            }
            match asked {
                Asked::Change(input) => self.change(input)?,
                Asked::Nudge => {
                    self.hold_enable();
                    self.pass(self.hz / 20)?;
                    let _refused = self.twin.request(wholestep::carriage::Carriage::nudge);
                }
                Asked::Wait => {}
                Asked::ConfirmDirection => {
                    let yes = !self.chance.once_in(10);
                    let _refused = self.twin.request(|carriage| carriage.confirm_direction(yes));
                }
                Asked::MeasureTravel => {
                    self.hold_enable();
                    self.pass(self.hz / 20)?;
                    let _refused = self.twin.request(wholestep::carriage::Carriage::measure_travel);
                }
                Asked::ReportTravel => self.report()?,
                Asked::FindDatum => {
                    self.hold_enable();
                    self.pass(self.hz / 20)?;
                    self.ask_datum();
                }
            }
            self.still(60 * self.hz)?;
        }
        Ok(())
    }

    fn report(&mut self) -> Result<(), Broken> {
        let expected = Exact::integer(100);
        let measured = if self.chance.once_in(5) { 50 } else { 101 };
        let tolerance = Exact::new(1, 50).map_err(|error| error.to_string())?;
        let verdict =
            Verdict::of(expected, Exact::integer(measured), tolerance).map_err(|error| error.to_string())?;
        if verdict.agrees() == verdict.causes.contains(&Cause::StepMode) {
            return Err(format!("{measured} for 100: {verdict:?}"));
        }
        let _refused = self.twin.request(|carriage| carriage.report_travel(&verdict));
        Ok(())
    }

    fn change(&mut self, input: Fitted) -> Result<(), Broken> {
        let now = self.twin.now();
        let press = |input| [Hand::Press(input, true), Hand::Press(input, false)];
        let hands = match input {
            Fitted::Switch(End::Low) => press(Input::LowSwitch),
            Fitted::Switch(End::High) => press(Input::HighSwitch),
            Fitted::Probe => press(Input::Probe),
            Fitted::Enable => [Hand::Press(Input::Enable, false), Hand::Press(Input::Enable, true)],
            Fitted::Dial => [4, -4].map(|counts| Hand::Turn { counts, counts_per_second: 50.0 }),
            Fitted::Rocker => [Hand::Jog(Some(Direction::Forward)), Hand::Jog(Some(Direction::Backward))],
        };
        let half = self.hz / 4;
        self.twin.hand(now, hands[0]);
        self.twin.hand(now + half, hands[1]);
        self.pass(2 * half)?;
        if input == Fitted::Rocker {
            self.twin.hand(self.twin.now(), Hand::Jog(None));
        }
        Ok(())
    }

    /// Whatever was under way, it ends.
    fn end(&mut self) -> Result<(), Broken> {
        self.twin.hand(self.twin.now(), Hand::Jog(None));
        self.twin.hand(self.twin.now(), Hand::Turn { counts: 0, counts_per_second: 1.0 });
        self.pass(2 * self.hz)?;
        self.still(60 * self.hz)?;
        self.twin.request(wholestep::carriage::Carriage::brake);
        self.still(60 * self.hz)?;
        let state = self.twin.carriage().state();
        let at_rest = match state {
            State::Resting | State::Faulted => true,
            State::Commissioning => self.twin.carriage().asked().is_some(),
            _ => false,
        };
        if at_rest && !self.twin.carriage().is_moving() {
            return Ok(());
        }
        Err(format!("a life that does not end: {}", state.name()))
    }

    fn epitaph(mut self) -> Life {
        let end = self.twin.now();
        let faults = self.twin.events().iter().filter_map(|(_, event)| match event {
            Event::Faulted(fault) => Some(*fault),
            _ => None,
        });
        Life {
            faults: faults.collect(),
            mishaps: self.mishaps.iter().filter(|(at, _)| *at <= end).map(|(_, kind)| *kind).collect(),
            ended: self.twin.carriage().state(),
            proven: self.twin.carriage().is_proven(),
            lost: self.twin.truth().record.slips > 0,
            found_out: self.watch.found_out,
            proven_again: self.watch.proven_again,
            datums: self.watch.datums,
            edges: self.twin.edges(),
            polls: self.twin.polls(),
        }
    }
}
