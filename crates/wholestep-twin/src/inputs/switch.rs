//! A switch the carriage runs into.

use super::contact::Contact;
use crate::clock::Clock;
use crate::parameters::{Normally, Side, Switch};
use crate::random::Chance;

#[derive(Clone, Debug)]
#[expect(clippy::struct_excessive_bools, reason = "each is a fact of its own")]
pub(crate) struct SwitchState {
    pub(crate) contact: Contact,
    switch: Switch,
    chance: Chance,
    /// Whether the carriage presses it.
    pressed: bool,
    /// Whether a hand holds it down.
    by_hand: bool,
    /// Whether it is there at all: a touch plate can be taken away.
    in_place: bool,
    /// Where this approach will press it.
    threshold: f64,
    /// Whether it has been released since the threshold was drawn.
    spent: bool,
}

impl SwitchState {
    pub(crate) fn new(
        switch: Switch,
        in_place: bool,
        carriage: f64,
        clock: Clock,
        seed: u64,
        stream: u64,
    ) -> Self {
        let mut chance = Chance::new(seed, 2 * stream);
        let threshold = switch.at + switch.scatter * chance.normal();
        let bounce = Chance::new(seed, 2 * stream + 1);
        let mut state = Self {
            contact: Contact::new(false, switch.bounce, clock, bounce.clone()),
            switch,
            chance,
            pressed: false,
            by_hand: false,
            in_place,
            threshold,
            spent: false,
        };
        state.pressed = state.reached(carriage);
        state.contact = Contact::new(state.closed(), switch.bounce, clock, bounce);
        state
    }

    /// Follows the carriage to where it stands at `tick`.
    pub(crate) fn follow(&mut self, tick: u64, carriage: f64) {
        let pressed = self.reached(carriage);
        if pressed != self.pressed {
            self.pressed = pressed;
            self.spent = !pressed;
            self.contact.change(tick, self.closed());
        } else if self.spent && self.clear_of(carriage) {
            self.draw();
        }
    }

    /// The carriage position at which there is next something to follow if the carriage moves up
    /// (`rising`) or down.
    pub(crate) fn ahead(&self, rising: bool) -> Option<f64> {
        let towards = match self.switch.side {
            Side::Below => !rising,
            Side::Above => rising,
        };
        if self.pressed == towards {
            return (!towards && self.spent).then(|| self.clear_point());
        }
        Some(self.turning_point())
    }

    pub(crate) fn press_by_hand(&mut self, tick: u64, held: bool) {
        self.by_hand = held;
        self.contact.change(tick, self.closed());
    }

    pub(crate) fn move_to(&mut self, tick: u64, carriage: f64, at: f64, in_place: bool) {
        self.switch.at = at;
        self.in_place = in_place;
        self.draw();
        self.pressed = self.reached(carriage);
        self.contact.change(tick, self.closed());
    }

    fn draw(&mut self) {
        self.threshold = self.switch.at + self.switch.scatter * self.chance.normal();
        self.spent = false;
    }

    /// Far enough out that a new threshold cannot lie behind the carriage: 7 deviations, more than the
    /// generator can draw.
    fn clear_point(&self) -> f64 {
        let out = self.switch.hysteresis + 7.0 * self.switch.scatter;
        match self.switch.side {
            Side::Below => self.switch.at + out,
            Side::Above => self.switch.at - out,
        }
    }

    fn clear_of(&self, carriage: f64) -> bool {
        match self.switch.side {
            Side::Below => carriage >= self.clear_point(),
            Side::Above => carriage <= self.clear_point(),
        }
    }

    fn closed(&self) -> bool {
        let pressed = self.by_hand || (self.pressed && self.in_place);
        pressed == (self.switch.normally == Normally::Open)
    }

    fn turning_point(&self) -> f64 {
        let back = if self.pressed { self.switch.hysteresis } else { 0.0 };
        match self.switch.side {
            Side::Below => self.threshold + back,
            Side::Above => self.threshold - back,
        }
    }

    fn reached(&self, carriage: f64) -> bool {
        match self.switch.side {
            Side::Below => carriage <= self.turning_point(),
            Side::Above => carriage >= self.turning_point(),
        }
    }
}
