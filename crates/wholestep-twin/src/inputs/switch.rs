//! A switch the carriage runs into.

use super::contact::Contact;
use crate::clock::Clock;
use crate::parameters::{Normally, Side, Switch};
use crate::random::Chance;

#[derive(Clone, Debug)]
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
            if !pressed {
                self.draw();
            }
            self.contact.change(tick, self.closed());
        }
    }

    /// The carriage position at which it next changes if the carriage moves up (`rising`) or down.
    pub(crate) fn ahead(&self, rising: bool) -> Option<f64> {
        let towards = match self.switch.side {
            Side::Below => !rising,
            Side::Above => rising,
        };
        (self.pressed != towards).then(|| self.turning_point())
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
