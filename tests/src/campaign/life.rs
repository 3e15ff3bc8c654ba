//! One life: a machine, what is asked of it, and what goes wrong.

use std::sync::Arc;

use wholestep::carriage::{
    Carriage, CommissioningTask, Detent, End, Event, Fault, Input as Fitted, Refusal, State, TIME_MAX,
    TouchMode,
};
use wholestep_twin::{
    Direction, Fault as Mishap, FaultKind, Hand, Input, Moment, Passed, Twin, TwinCarriage,
};

use super::chance::Chance;
use super::kernel::try_absurd_rates;
use super::machine::RandomAxis;
use super::watch::{Broken, Watch};

/// How a life went.
#[derive(Clone, Debug)]
pub(super) struct Life {
    /// What went wrong with the machine while it lived, and what was special about it.
    pub(super) mishaps: Vec<String>,
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
    /// Arrivals at a target of an axis with play.
    pub(super) arrivals: u64,
    pub(super) edges: u64,
    pub(super) polls: u64,
}

/// Mishaps that the twin has no name for.
pub(super) const COUNTER_ENDS: &str = "counter ends";
pub(super) const HANDS: [&str; 3] = ["hand on low", "hand on high", "hand on probe"];
pub(super) const FLICKERS: [&str; 3] = ["flicker low", "flicker high", "flicker probe"];
pub(super) const UNEVEN: &str = "uneven polls";
pub(super) const PAUSE: &str = "long pause";
const CONTACTS: [Input; 3] = [Input::LowSwitch, Input::HighSwitch, Input::Probe];

/// Polls after which a life counts as one without an end.
const POLLS_MOST: u64 = 400_000;

struct Living {
    twin: Twin,
    watch: Watch,
    chance: Chance,
    hz: u64,
    /// Until when a contact is disturbed.
    disturbed_until: u64,
    mishaps: Vec<(u64, String)>,
    searches: bool,
}

/// Lives the life of `seed`.
pub(super) fn live(seed: u64) -> Result<Life, Broken> {
    let mut chance = Chance::new(seed);
    if chance.once_in(40) {
        try_absurd_rates(&mut chance)?;
    }
    let axis = RandomAxis::new(&mut chance)?;
    let new_machine = chance.once_in(10);
    let watch = Watch::new(&axis)?;
    let mut mishaps: Vec<_> = axis.traits.iter().map(|named| (0, String::from(*named))).collect();
    let searches = axis.configuration.parts().datum.is_some();
    let configuration = Arc::new(axis.configuration);
    let twin = if new_machine {
        Twin::new(configuration, axis.machine, seed)
    } else {
        Twin::commissioned(configuration, axis.machine, seed)
    }
    .map_err(|error| error.to_string())?;
    let hz = twin.timer_hz();
    // Once in a while the counter runs out in the midst of it.
    let twin = if chance.once_in(12) {
        let left = chance.ticks(0, 20 * hz);
        let end = chance.of(&[u64::MAX, TIME_MAX]);
        mishaps.push((left, COUNTER_ENDS.into()));
        twin.counting_from(end - left)
    } else {
        twin
    };
    let mut living = Living { twin, watch, chance, hz, disturbed_until: 0, mishaps, searches };
    living.whole()?;
    Ok(living.epitaph())
}

impl Living {
    fn whole(&mut self) -> Result<(), Broken> {
        self.hold_enable();
        self.still(self.hz)?;
        if self.twin.carriage().commissioning_task().is_some() {
            self.commission()?;
        } else {
            self.maybe_mishap();
            self.prove()?;
        }
        for _ in 0..self.chance.between(1, 5) {
            if self.chance.once_in(3) {
                self.mishap();
            }
            self.see_to_fault()?;
            self.act()?;
        }
        if self.searches && self.chance.once_in(2) {
            self.lose_and_find()?;
        }
        self.end()
    }

    fn hand(&mut self, at: u64, hand: Hand) {
        self.twin.hand(at, hand).expect("a hand can do this");
    }

    fn inject(&mut self, mishap: Mishap) {
        self.twin.inject(mishap).expect("this can happen");
    }

    fn hold_enable(&mut self) {
        self.hand(self.twin.now(), Hand::Press(Input::Enable, true));
    }

    /// A request, and another look at what it did.
    fn request<T>(&mut self, ask: impl FnOnce(&mut TwinCarriage) -> T) -> Result<T, Broken> {
        let before = self.twin.carriage().state();
        let answer = self.twin.request(ask);
        self.watch.asked(&mut self.twin, before)?;
        Ok(answer)
    }

    fn release(&mut self) -> Result<(), Broken> {
        self.request(Carriage::release)?;
        self.watch.released();
        self.watch.goes_off();
        Ok(())
    }

    /// A request that may be refused.
    fn ask(&mut self, request: impl FnOnce(&mut TwinCarriage) -> Result<(), Refusal>) -> Result<(), Broken> {
        let _refused = self.request(request)?;
        Ok(())
    }

    fn ask_datum(&mut self) -> Result<(), Broken> {
        // Refused where a fault, a power cut or the enable input says so; that too is life.
        self.ask(Carriage::find_datum)
    }

    /// Proves the position as the machine can.
    fn prove(&mut self) -> Result<(), Broken> {
        if self.searches {
            self.ask_datum()?;
            if self.chance.once_in(8) {
                if self.chance.once_in(2) {
                    self.change_ends()?;
                } else {
                    self.press_a_switch(2 * self.hz);
                }
            }
            return self.still(60 * self.hz);
        }
        self.take_lead(None)?;
        self.pass(self.hz / 2)?;
        self.take_up_play()?;
        let highest = self.twin.carriage().config().parts().steps.1;
        let step = self.chance.between(0, highest);
        self.ask(|carriage| carriage.confirm_position(step))?;
        self.request(Carriage::brake)?;
        self.still(20 * self.hz)
    }

    /// By hand, toward the side from which targets are reached.
    fn take_up_play(&mut self) -> Result<(), Broken> {
        let parts = *self.twin.carriage().config().parts();
        let Some((from, _)) = parts.approach else { return Ok(()) };
        let way = if from == End::Low { Direction::Forward } else { Direction::Backward };
        if parts.rocker {
            self.hand(self.twin.now(), Hand::Jog(Some(way)));
            self.pass(self.hz / 2)?;
            self.hand(self.twin.now(), Hand::Jog(None));
        } else if parts.dial.is_some() {
            let counts = if from.other().direction(parts.trend) == wholestep::carriage::Direction::Forward {
                80
            } else {
                -80
            };
            self.hand(self.twin.now(), Hand::Turn { counts, counts_per_second: 200.0 });
            self.pass(self.hz / 2)?;
        }
        self.still(20 * self.hz)
    }

    /// Has something lead that is fitted, which switches the drive on.
    fn take_lead(&mut self, detent: Option<Detent>) -> Result<(), Broken> {
        let (dial, rocker) = {
            let parts = self.twin.carriage().config().parts();
            (parts.dial.is_some(), parts.rocker)
        };
        let detent = detent.or_else(|| Detent::new(1, 1).ok()).filter(|_| dial);
        if !dial && !rocker || self.chance.once_in(4) {
            return self.ask(Carriage::hold);
        }
        self.ask(|carriage| carriage.jog(detent))
    }

    /// One poll, watched.
    fn poll(&mut self, until: u64) -> Result<bool, Broken> {
        if self.chance.once_in(64) {
            self.look_in_between(until)?;
        }
        self.watch.before(&mut self.twin);
        let Some(moment) = self.next_poll(until) else { return Ok(false) };
        let disturbed = self.twin.now() <= self.disturbed_until;
        self.watch.after(&mut self.twin, &moment, disturbed)?;
        if self.twin.polls() > POLLS_MOST {
            return Err(format!("without end: {POLLS_MOST} polls, {}", self.twin.carriage().state().name()));
        }
        Ok(true)
    }

    /// Goes on to the next poll; a power cut on the way ends the carriage.
    fn next_poll(&mut self, until: u64) -> Option<Moment> {
        loop {
            match self.twin.go_on(until) {
                Passed::Change if !self.twin.powered() => self.watch.lose_power(),
                Passed::Change => self.watch.changed(&mut self.twin),
                Passed::Poll(moment) => return Some(moment),
                Passed::Nothing => return None,
            }
        }
    }

    /// A poll that nobody asked for, which changes nothing: at once, or a little later.
    fn look_in_between(&mut self, until: u64) -> Result<(), Broken> {
        let at = self.twin.now() + self.chance.of(&[0, 1, self.hz / 10_000, self.hz / 500]);
        if at > until {
            return Ok(());
        }
        self.watch.before(&mut self.twin);
        if let Some(moment) = self.next_poll(at) {
            let disturbed = self.twin.now() <= self.disturbed_until;
            return self.watch.after(&mut self.twin, &moment, disturbed);
        }
        self.request(|_| ())
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
        match self.chance.between(0, 9) {
            0..=5 => self.ask_something()?,
            6 | 7 => self.dial()?,
            8 => self.rocker()?,
            _ => self.touch_off()?,
        }
        self.ask_nearby()?;
        // Something else is asked at once, before any poll.
        while self.chance.once_in(4) {
            self.ask_something()?;
        }
        if self.chance.once_in(3) {
            // Something else comes before it is done.
            let most = self.chance.of(&[self.hz / 100, self.hz / 2]);
            self.pass_up_to(most)?;
            self.ask_something()?;
        }
        self.still(60 * self.hz)
    }

    /// A target close by, where little has to be done to reach it, and what may come in between.
    fn ask_nearby(&mut self) -> Result<(), Broken> {
        if self.chance.once_in(2) {
            return Ok(());
        }
        if self.chance.once_in(2) {
            self.still(20 * self.hz)?;
        } else {
            self.request(Carriage::brake)?;
        }
        let target = self.twin.carriage().step() + self.chance.between(-15, 15);
        self.ask(|carriage| carriage.go_to(target))?;
        match self.chance.between(0, 11) {
            0 => self.pause(),
            1 => self.poll_unevenly(),
            _ => {}
        }
        Ok(())
    }

    /// Any request at any time; many are refused.
    fn ask_something(&mut self) -> Result<(), Broken> {
        let (lowest, highest) = self.twin.carriage().config().parts().steps;
        let target = self.chance.between(lowest - 10, highest + 10);
        match self.chance.between(0, 17) {
            0..=6 => {
                // Some at a speed of their own, drawn from the target so that the rest of the life stays.
                let travel = self.twin.carriage().config().parts().paces.travel.rates().speed;
                self.ask(|carriage| match target.rem_euclid(8) {
                    slower @ 2..=4 => carriage.go_to_at(target, travel / slower.unsigned_abs()),
                    _ => carriage.go_to(target),
                })?;
                match self.chance.between(0, 15) {
                    0 => self.pause(),
                    1 => self.poll_unevenly(),
                    _ => {}
                }
            }
            7 => {
                let by = self.chance.between(-300, 300);
                self.ask(|carriage| carriage.go_by(by))?;
            }
            8 => {
                let end = self.chance.of(&End::BOTH);
                self.ask(|carriage| carriage.travel_to_end(end))?;
            }
            9 => self.ask_datum()?,
            10 => self.request(Carriage::brake)?,
            11 => {
                let stood = !self.twin.carriage().is_moving();
                self.request(Carriage::brake_and_release)?;
                if stood {
                    self.watch.released();
                }
                self.watch.goes_off();
            }
            12 => {
                self.release()?;
                if self.chance.once_in(2) {
                    let turned = self.chance.part() * 8.0 - 4.0;
                    self.hand(self.twin.now(), Hand::TurnScrew(turned));
                }
            }
            13 => self.ask(|carriage| carriage.confirm_position(target))?,
            14 => {
                let other = self.chance.of(&[Carriage::mark_unproven, Carriage::hold]);
                self.ask(other)?;
            }
            15 => self.ask_the_absurd()?,
            16 => {
                let rocker = self.twin.carriage().config().parts().rocker;
                let detent = Detent::new(self.chance.between(-40, 40), 3).ok().filter(|_| !rocker);
                self.ask(|carriage| carriage.jog(detent))?;
            }
            _ => {
                let contact_step = self.contact_step();
                self.ask_touch(TouchMode::Stop, contact_step)?;
            }
        }
        Ok(())
    }

    fn ask_touch(&mut self, mode: TouchMode, contact_step: Option<i64>) -> Result<(), Broken> {
        let (lowest, highest) = self.twin.carriage().config().parts().steps;
        if self.request(|carriage| carriage.touch_off(mode, contact_step))?.is_ok() {
            self.watch.touches_off(mode != TouchMode::Stop);
            if contact_step.is_some_and(|step| !(lowest..=highest).contains(&step)) {
                return Err(format!("proof past a limit: a touch-off to {contact_step:?} granted"));
            }
        }
        Ok(())
    }

    /// Numbers that no axis has.
    fn ask_the_absurd(&mut self) -> Result<(), Broken> {
        let number = self.chance.of(&[i64::MIN, i64::MIN + 1, i64::MAX, 1 << 62, -(1 << 40), 1 << 40]);
        let granted = match self.chance.between(0, 3) {
            0 => self.request(|carriage| carriage.go_to(number))?,
            1 => self.request(|carriage| carriage.go_by(number))?,
            2 => self.request(|carriage| carriage.confirm_position(number))?,
            _ => self.request(|carriage| carriage.touch_off(TouchMode::Stop, Some(number)))?,
        };
        if granted.is_ok() {
            return Err(format!("the absurd granted: step {number}"));
        }
        Ok(())
    }

    /// Picks the step that a touch-off gives to the contact: in the middle, nothing, or beyond the limits.
    fn contact_step(&mut self) -> Option<i64> {
        let (lowest, highest) = self.twin.carriage().config().parts().steps;
        let contact_step = self.chance.of(&[highest / 2, highest / 2, highest + 300, lowest - 300]);
        self.chance.once_in(2).then_some(contact_step)
    }

    fn dial(&mut self) -> Result<(), Broken> {
        let size = self.chance.between(1, 40);
        let Ok(detent) = Detent::new(size, self.chance.between(1, 7)) else { return Ok(()) };
        self.ask(|carriage| carriage.jog(Some(detent)))?;
        for _ in 0..self.chance.between(1, 3) {
            let counts = i32::try_from(self.chance.between(-120, 120)).unwrap_or(0);
            let turn = Hand::Turn { counts, counts_per_second: 20.0 + 300.0 * self.chance.part() };
            self.hand(self.twin.now(), turn);
            self.pass_up_to(self.hz)?;
        }
        self.still(20 * self.hz)?;
        if self.chance.once_in(2) {
            // A little back, or on.
            let counts = self.chance.of(&[-8, -4, 4, 8]);
            self.hand(self.twin.now(), Hand::Turn { counts, counts_per_second: 50.0 });
            self.pass(self.hz / 2)?;
            self.still(20 * self.hz)?;
        }
        self.stop_leading()
    }

    fn rocker(&mut self) -> Result<(), Broken> {
        self.ask(|carriage| carriage.jog(None))?;
        self.pass(10)?;
        let way = self.chance.of(&[Direction::Forward, Direction::Backward]);
        self.hand(self.twin.now(), Hand::Jog(Some(way)));
        self.pass_up_to(self.hz)?;
        self.hand(self.twin.now(), Hand::Jog(None));
        self.still(20 * self.hz)?;
        self.stop_leading()
    }

    fn stop_leading(&mut self) -> Result<(), Broken> {
        if self.twin.carriage().state() == State::Jogging && self.chance.once_in(2) {
            let step = self.twin.carriage().step().clamp(0, 200);
            self.ask(|carriage| carriage.confirm_position(step))?;
        }
        self.request(Carriage::brake)?;
        self.still(20 * self.hz)
    }

    fn touch_off(&mut self) -> Result<(), Broken> {
        if !self.chance.once_in(4) {
            self.hand(self.twin.now(), Hand::Plate(true));
        }
        let contact_step = self.contact_step();
        self.pass(100)?;
        let rocker = self.twin.carriage().config().parts().rocker;
        if rocker && self.chance.once_in(4) {
            self.ask_touch(TouchMode::Signal(None), contact_step)?;
            self.pass(10)?;
            self.hand(self.twin.now(), Hand::Jog(Some(Direction::Forward)));
            self.pass_up_to(self.hz)?;
            self.hand(self.twin.now(), Hand::Jog(None));
            self.still(20 * self.hz)?;
            return self.stop_leading();
        }
        self.ask_touch(TouchMode::Stop, contact_step)?;
        if self.chance.once_in(4) {
            // While the drive settles, or a little later.
            let at = self.twin.now() + self.chance.ticks(0, self.hz / 2);
            self.press(2, at, self.hz);
        }
        self.still(60 * self.hz)?;
        self.hand(self.twin.now(), Hand::Plate(false));
        self.pass(100)
    }

    /// Sees to a fault as a person does, mostly.
    fn see_to_fault(&mut self) -> Result<(), Broken> {
        if !self.twin.powered() || self.chance.once_in(4) {
            self.pass_up_to(self.hz)?;
        }
        if self.twin.carriage().fault().is_some() {
            self.ask(Carriage::clear_fault)?;
            self.hold_enable();
            self.pass(self.hz / 10)?;
        }
        // A motor that slips is heard, mostly.
        let heard = self.twin.ground_truth().record.slips > 0 && self.chance.once_in(2);
        if !self.twin.carriage().is_proven() || heard || self.chance.once_in(6) {
            self.hold_enable();
            self.pass(self.hz / 10)?;
            self.prove()?;
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
        if self.chance.once_in(3) {
            return self.meddle();
        }
        let kind = match self.chance.of(&FaultKind::all()) {
            FaultKind::Stall(_) => FaultKind::Stall(0.5 + 4.0 * self.chance.part()),
            FaultKind::HandTurn(_) => FaultKind::HandTurn(8.0 * self.chance.part() - 4.0),
            FaultKind::LatePolls(_) => FaultKind::LatePolls(0.003 * self.chance.part() * self.chance.part()),
            other => other,
        };
        self.befall(kind);
    }

    /// A hand presses a contact, a contact flickers, or polls come late now and then.
    fn meddle(&mut self) {
        match self.chance.between(0, 9) {
            0..=4 => {
                let at = self.twin.now() + self.chance.ticks(0, self.hz);
                let which = self.chance.of(&[0, 1, 2]);
                let longest = self.chance.of(&[self.hz / 100, self.hz / 4, self.hz]);
                self.press(which, at, longest);
            }
            5..=7 => self.flicker(),
            8 => self.poll_unevenly(),
            _ => self.pause(),
        }
    }

    fn press_a_switch(&mut self, within: u64) {
        let at = self.twin.now() + self.chance.ticks(0, within);
        let which = self.chance.of(&[0, 1]);
        self.press(which, at, self.hz / 2);
    }

    /// A hand presses the switch that is sought; when the search turns back it lets go and presses the other,
    /// which settles while the motor stands.
    fn change_ends(&mut self) -> Result<(), Broken> {
        self.pass_up_to(self.hz)?;
        let Some(datum) = self.twin.carriage().config().parts().datum else { return Ok(()) };
        let (sought, other) = (datum.end as usize, datum.end.other() as usize);
        let (now, searches) = (self.twin.now(), State::FindingDatum);
        self.hand(now, Hand::Press(CONTACTS[sought], true));
        self.disturb(now, now + 2 * self.hz, HANDS[sought]);
        let mut stood = false;
        while self.twin.carriage().state() == searches && self.poll(now + self.hz)? {
            let moves = self.twin.carriage().is_moving();
            if stood && moves {
                break;
            }
            stood |= !moves;
        }
        let now = self.twin.now();
        self.hand(now, Hand::Press(CONTACTS[sought], false));
        self.press(other, now, self.hz / 4);
        Ok(())
    }

    /// A hand presses the low switch, the high one or the probe.
    fn press(&mut self, which: usize, at: u64, longest: u64) {
        let until = at + self.chance.ticks(1, longest);
        self.hand(at, Hand::Press(CONTACTS[which], true));
        self.hand(until, Hand::Press(CONTACTS[which], false));
        self.disturb(at, until, HANDS[which]);
    }

    /// A contact is pressed again and again for an instant: in between it may just settle, and a motion may
    /// just not begin.
    fn flicker(&mut self) {
        let at = self.twin.now() + self.chance.ticks(0, self.hz);
        let which = self.chance.of(&[0, 1, 2]);
        let settle = self.twin.carriage().config().parts().contact_settle;
        let period = self.chance.ticks(settle, 3 * settle);
        let times = if self.chance.once_in(10) { 8 * self.hz / period } else { 10 };
        for time in 0..times {
            self.hand(at + time * period, Hand::Press(CONTACTS[which], true));
            self.hand(at + time * period + self.hz / 10_000, Hand::Press(CONTACTS[which], false));
        }
        self.disturb(at, at + times * period, FLICKERS[which]);
    }

    /// From now on polls come late by less than an interval, now and then.
    #[expect(clippy::cast_precision_loss, reason = "speeds are far below 2^53")]
    fn poll_unevenly(&mut self) {
        let at = self.twin.now();
        let speed = self.twin.carriage().config().parts().paces.travel.rates().speed.to_integer();
        let interval = self.hz / speed;
        let mut until = at;
        for _ in 0..200 {
            let from = until + self.chance.ticks(1, 2 * interval);
            until = from + self.chance.ticks(1, 2 * interval);
            let kind = FaultKind::LatePolls(0.9 * self.chance.part() / speed as f64);
            self.inject(Mishap { kind, at: from, until: Some(until) });
        }
        self.disturb(at, until, UNEVEN);
    }

    /// Soon no poll comes for a while.
    fn pause(&mut self) {
        let at = self.twin.now() + self.chance.ticks(0, self.hz / 20);
        let until = at + self.chance.ticks(1, self.hz);
        self.inject(Mishap { kind: FaultKind::LatePolls(1.0), at, until: Some(until) });
        self.disturb(at, until, PAUSE);
    }

    fn disturb(&mut self, at: u64, until: u64, name: &str) {
        self.disturbed_until = self.disturbed_until.max(until + 2 * self.hz);
        self.mishaps.push((at, name.into()));
    }

    fn befall(&mut self, kind: FaultKind) {
        let at = self.twin.now() + self.chance.ticks(0, self.hz);
        let lasts = self.chance.ticks(1, self.hz);
        // Almost every fault is seen to, sooner or later.
        let endless = matches!(kind, FaultKind::PowerCut | FaultKind::BounceStorm(_));
        let until = if self.chance.once_in(8) && !endless { None } else { Some(at + lasts) };
        self.inject(Mishap { kind, at, until });
        if !matches!(kind, FaultKind::Stall(_)) {
            let after = 2 * self.hz;
            self.disturbed_until = self.disturbed_until.max(until.map_or(u64::MAX, |until| until + after));
        }
        self.mishaps.push((at, kind.name()));
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
                    self.release()?;
                    FaultKind::HandTurn(8.0 * part - 4.0)
                }
            };
            self.befall(kind);
            let end = self.chance.of(&End::BOTH);
            self.ask(|carriage| carriage.travel_to_end(end))?;
            self.still(60 * self.hz)?;
            self.find_again()?;
        }
        Ok(())
    }

    /// Waits until what goes wrong is over, sees to the fault and finds the datum.
    fn find_again(&mut self) -> Result<(), Broken> {
        self.pass(5 * self.hz)?;
        self.ask(Carriage::clear_fault)?;
        self.hold_enable();
        self.pass(self.hz / 5)?;
        self.ask_datum()?;
        self.still(60 * self.hz)
    }

    /// A first power-up with a person who does what is asked, and once in a while does not.
    fn commission(&mut self) -> Result<(), Broken> {
        for _ in 0..60 {
            let Some(asked) = self.twin.carriage().commissioning_task() else { return Ok(()) };
            if self.chance.once_in(30) {
                self.mishap();
            }
            if self.twin.carriage().fault().is_some() {
                self.ask(Carriage::clear_fault)?;
            }
            match asked {
                CommissioningTask::Change(input) => self.change(input)?,
                CommissioningTask::Nudge => {
                    self.hold_enable();
                    self.pass(self.hz / 20)?;
                    self.ask(Carriage::nudge)?;
                }
                CommissioningTask::Wait => {}
                CommissioningTask::ConfirmDirection => {
                    let yes = !self.chance.once_in(10);
                    self.ask(|carriage| carriage.confirm_direction(yes))?;
                }
                CommissioningTask::MeasureTravel => {
                    self.hold_enable();
                    self.pass(self.hz / 20)?;
                    self.ask(Carriage::measure_travel)?;
                }
                CommissioningTask::ReportTravel => self.report()?,
                CommissioningTask::FindDatum => {
                    self.hold_enable();
                    self.pass(self.hz / 20)?;
                    self.ask_datum()?;
                }
            }
            if self.chance.once_in(8) {
                // Something that is not asked for.
                self.pass_up_to(self.hz / 4)?;
                self.ask_something()?;
            }
            self.still(60 * self.hz)?;
        }
        Ok(())
    }

    fn report(&mut self) -> Result<(), Broken> {
        let agrees = !self.chance.once_in(5);
        self.ask(|carriage| carriage.report_travel(agrees))?;
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
        self.hand(now, hands[0]);
        self.hand(now + half, hands[1]);
        self.pass(2 * half)?;
        if input == Fitted::Rocker {
            self.hand(self.twin.now(), Hand::Jog(None));
        }
        Ok(())
    }

    /// Whatever was under way, it ends.
    fn end(&mut self) -> Result<(), Broken> {
        self.hand(self.twin.now(), Hand::Jog(None));
        self.hand(self.twin.now(), Hand::Turn { counts: 0, counts_per_second: 1.0 });
        self.pass(2 * self.hz)?;
        self.still(60 * self.hz)?;
        self.request(Carriage::brake)?;
        self.still(60 * self.hz)?;
        let state = self.twin.carriage().state();
        let at_rest = match state {
            State::Resting | State::Faulted => true,
            State::Commissioning => self.twin.carriage().commissioning_task().is_some(),
            _ => false,
        };
        if at_rest && !self.twin.carriage().is_moving() {
            return Ok(());
        }
        Err(format!("without end: a life that ends {}", state.name()))
    }

    fn epitaph(mut self) -> Life {
        let end = self.twin.now();
        let faults = self.twin.events().iter().filter_map(|(_, event)| match event {
            Event::Faulted(fault) => Some(*fault),
            _ => None,
        });
        Life {
            faults: faults.collect(),
            mishaps: self.mishaps.iter().filter(|(at, _)| *at <= end).map(|(_, name)| name.clone()).collect(),
            ended: self.twin.carriage().state(),
            proven: self.twin.carriage().is_proven(),
            lost: self.twin.ground_truth().record.slips > 0,
            found_out: self.watch.found_out,
            proven_again: self.watch.proven_again,
            datums: self.watch.datums,
            arrivals: self.watch.arrivals,
            edges: self.twin.edges(),
            polls: self.twin.polls(),
        }
    }
}
