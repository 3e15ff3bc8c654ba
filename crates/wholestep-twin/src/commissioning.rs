//! A new machine on a twin, and the hands of the person who commissions it.

use std::sync::Arc;

use wholestep::carriage::{CommissioningTask, End, Event, Fault, Input as Fitted, Refusal, Stop};
use wholestep::error::Error;
use wholestep_files::AxisFile;

use crate::inputs::{Direction, Input};
use crate::messages;
use crate::parameters::Side;
use crate::rehearsal::{PATIENCE, Rehearsable, Scale, Wait, impossible, why_not};
use crate::schedule::{Fault as Mishap, Hand};
use crate::twin::{Twin, TwinCarriage};

/// A machine that has never run, with somebody at it who does what commissioning asks for.
///
/// What the file says and what the machine is are two things: the carriage is configured by one axis
/// file, and the machine is built by another, so that a wrong lead, step mode or wire can be met here
/// first.
///
/// ```
/// use wholestep::carriage::{CommissioningTask, End, Input};
/// use wholestep_files::AxisFile;
/// use wholestep_twin::{Commissioning, Trouble};
///
/// let file = AxisFile::open("../../examples/axes/router_lift.toml")?;
/// let machine = file.with("switches.low", "normally_open")?;
/// let mut lift = Commissioning::new(&file, &machine, &[], 1)?;
/// assert_eq!(lift.commissioning_task(), Some(CommissioningTask::Change(Input::Switch(End::Low))));
/// assert_eq!(lift.change(Input::Switch(End::Low)), Err(Trouble::Inverted));
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone, Debug)]
pub struct Commissioning {
    twin: Twin,
    scale: Scale,
    exchanged: Vec<Exchanged>,
    assumed: Vec<String>,
}

/// Two wires that were exchanged.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Exchanged {
    /// Those of the switches at the two ends.
    Switches,
    /// The two channels of the dial.
    Dial,
    /// The two directions of the rocker.
    Rocker,
}

impl Exchanged {
    /// All that can be.
    pub const ALL: [Self; 3] = [Self::Switches, Self::Dial, Self::Rocker];

    /// Returns the name, as the command line spells it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Switches => "switches",
            Self::Dial => "dial",
            Self::Rocker => "rocker",
        }
    }
}

/// What a person meets when they change an input by hand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Trouble {
    /// It did not change. Of a contact: how it reads all the time, where it reads anything steadily.
    Unchanged(Option<bool>),
    /// Another input changed instead.
    Other(Fitted),
    /// Another input changed with it.
    Also(Fitted),
    /// It reads pressed while nothing presses it, and released while something does.
    Inverted,
    /// It counts or points the other way round.
    Backward,
    /// The machine stopped it, in words.
    Stopped(String),
}

/// A motion, and how far it really went.
#[derive(Clone, Debug, PartialEq)]
pub struct Moved {
    /// Steps sent, both ways.
    pub steps: u64,
    /// How far the carriage really went, in mm or degrees, toward the high end positive.
    pub travelled: f64,
    /// Why it did not come about; `None` if it did.
    pub stopped: Option<String>,
    /// The fault that stopped it, if one did.
    pub fault: Option<Fault>,
}

impl Commissioning {
    /// Makes a new carriage by `file` on a machine as `machine` says, with wires `exchanged`. It stands
    /// somewhere in the middle third of its travel, and nearer to its middle if its steps are unequal, so
    /// that the travel that is measured is that of the file; `seed` decides where, and everything else
    /// that is chance.
    ///
    /// # Errors
    /// As [`Rehearsable::new`].
    pub fn new(
        file: &AxisFile,
        machine: &AxisFile,
        exchanged: &[Exchanged],
        seed: u64,
    ) -> Result<Self, Error> {
        let configuration = Rehearsable::new(file, seed)?.configuration;
        let Rehearsable { machine: mut built, scale, assumed, .. } = Rehearsable::new(machine, seed)?;
        let (low, high) = (built.load.low_stop, built.load.high_stop);
        let part = if scale.is_even() { 1.0 / 3.0 } else { NEAR_THE_MIDDLE };
        built.load.start = low + (high - low) * (1.0 - part) / 2.0 + (built.load.start - low) * part;
        if exchanged.contains(&Exchanged::Switches) {
            core::mem::swap(&mut built.low_switch, &mut built.high_switch);
        }
        let twin = Twin::new(Arc::new(configuration), built, seed)
            .map_err(|error| messages::MACHINE_FOR_COMMISSIONING.error().advice(error.to_string()))?;
        let mut commissioning = Self { twin, scale, exchanged: exchanged.to_vec(), assumed };
        commissioning.still();
        Ok(commissioning)
    }

    /// Begins a fault at its tick.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](wholestep::ErrorKind::OutOfRange) as [`check_range`](Mishap::check_range).
    pub fn inject(&mut self, fault: Mishap) -> wholestep::Result<()> {
        self.twin.inject(fault).map_err(|error| impossible(&error))
    }

    /// Returns the twin.
    pub fn twin(&mut self) -> &mut Twin {
        &mut self.twin
    }

    /// Returns where the carriage really stands, in mm or degrees.
    pub fn stands(&mut self) -> f64 {
        self.scale.on_axis(self.twin.ground_truth().carriage_position)
    }

    /// Returns what was assumed of the machine.
    pub fn assumed(&self) -> &[String] {
        &self.assumed
    }

    /// Returns what commissioning asks for; `None` once the datum has been found.
    pub fn commissioning_task(&self) -> Option<CommissioningTask> {
        self.twin.carriage().commissioning_task()
    }

    /// Changes `input` one way and the other by hand, and looks at what the carriage reads.
    ///
    /// # Errors
    /// What is wrong with the input.
    pub fn change(&mut self, input: Fitted) -> Result<(), Trouble> {
        let events = self.twin.events().len();
        self.pass();
        let [there, back, let_go] = self.hands(input);
        let before = self.reading(input);
        self.lay_hand(there);
        let during = self.reading(input);
        self.lay_hand(back);
        self.lay_hand(let_go);
        let after = self.reading(input);
        self.still();
        let new = &self.twin.events()[events..];
        let stopped = new.iter().any(|(_, event)| matches!(event, Event::Faulted(_) | Event::Ready));
        if stopped || self.twin.carriage().fault().is_some() || !self.twin.powered() {
            return Err(Trouble::Stopped(why_not(new, Wait::Still)));
        }
        let seen = new.iter().any(|(_, event)| *event == Event::Seen(input));
        let other = new.iter().find_map(|(_, event)| match event {
            Event::OtherInput(other) if *other != input => Some(*other),
            _ => None,
        });
        match (seen, other, before, during, after) {
            (false, Some(other), ..) => Err(Trouble::Other(other)),
            (true, Some(other), ..) => Err(Trouble::Also(other)),
            (false, None, Reading::Contact(one), Reading::Contact(two), _) => {
                Err(Trouble::Unchanged(Some(one).filter(|one| *one == two)))
            }
            (false, None, ..) => Err(Trouble::Unchanged(None)),
            (true, None, Reading::Contact(true), ..) => Err(Trouble::Inverted),
            (true, None, Reading::Dial(from), Reading::Dial(to), _)
                if to.wrapping_sub(from).cast_signed() <= 0 =>
            {
                Err(Trouble::Backward)
            }
            (true, None, _, Reading::Rocker(Some(End::Low)), _) => Err(Trouble::Backward),
            (true, None, ..) => Ok(()),
        }
    }

    /// Holds the enable button and asks for the nudge.
    pub fn nudge(&mut self) -> Moved {
        self.enabled(TwinCarriage::nudge, arrived)
    }

    /// Says whether the nudge went toward the high end.
    ///
    /// # Errors
    /// A [`Refusal`] out of turn.
    pub fn confirm_direction(&mut self, went_toward_high: bool) -> Result<(), Refusal> {
        self.twin.request(|carriage| carriage.confirm_direction(went_toward_high))
    }

    /// Holds the enable button and asks for the travel that is measured.
    pub fn measure_travel(&mut self) -> Moved {
        self.enabled(TwinCarriage::measure_travel, arrived)
    }

    /// Tells whether the measured travel agrees with the file.
    ///
    /// # Errors
    /// A [`Refusal`] out of turn.
    pub fn report_travel(&mut self, agrees: bool) -> Result<(), Refusal> {
        self.twin.request(|carriage| carriage.report_travel(agrees))
    }

    /// Holds the enable button and asks for the datum.
    pub fn find_datum(&mut self) -> Moved {
        self.enabled(TwinCarriage::find_datum, |event| matches!(event, Event::DatumFound { .. }))
    }

    /// Clears the fault, if there is one, when a person has seen to it.
    ///
    /// # Errors
    /// A [`Refusal`] if what caused it is still there.
    pub fn clear_fault(&mut self) -> Result<(), Refusal> {
        match self.twin.carriage().fault() {
            Some(_) => self.twin.request(TwinCarriage::clear_fault),
            None => Ok(()),
        }
    }

    /// What the hand does to change an input there, back, and to leave it alone.
    fn hands(&self, input: Fitted) -> [Hand; 3] {
        let press = |input| [Hand::Press(input, true), Hand::Press(input, false), Hand::Press(input, false)];
        match input {
            Fitted::Switch(end) => press(self.switch_at(end)),
            Fitted::Probe => press(Input::Probe),
            Fitted::Enable => press(Input::Enable),
            Fitted::Dial => {
                let way = if self.exchanged.contains(&Exchanged::Dial) { -1 } else { 1 };
                [DETENTS * way, -DETENTS * way, 0]
                    .map(|counts| Hand::Turn { counts, counts_per_second: 50.0 })
            }
            Fitted::Rocker => {
                let mut ways = [Direction::Forward, Direction::Backward];
                if self.exchanged.contains(&Exchanged::Rocker) {
                    ways.reverse();
                }
                [Hand::Jog(Some(ways[0])), Hand::Jog(Some(ways[1])), Hand::Jog(None)]
            }
        }
    }

    /// The wire to which the switch that stands at `end` is led.
    fn switch_at(&self, end: End) -> Input {
        let machine = self.twin.parameters();
        let side = if end == End::Low { Side::Below } else { Side::Above };
        let wires = [(Input::LowSwitch, &machine.low_switch), (Input::HighSwitch, &machine.high_switch)];
        let led = wires.into_iter().find(|(_, switch)| switch.as_ref().is_some_and(|s| s.side == side));
        led.map_or(if end == End::Low { Input::LowSwitch } else { Input::HighSwitch }, |(wire, _)| wire)
    }

    fn reading(&self, input: Fitted) -> Reading {
        let parts = self.twin.carriage().config().parts();
        let inputs = self.twin.inputs();
        let pressed = |wiring: Option<wholestep::carriage::Wiring>, level| {
            Reading::Contact(wiring.is_some_and(|wiring| wiring.is_pressed(level)))
        };
        match input {
            Fitted::Switch(End::Low) => pressed(parts.switches[0], inputs.low_switch),
            Fitted::Switch(End::High) => pressed(parts.switches[1], inputs.high_switch),
            Fitted::Probe => pressed(parts.probe, inputs.probe),
            Fitted::Enable => Reading::Contact(inputs.enable),
            Fitted::Dial => Reading::Dial(inputs.dial),
            Fitted::Rocker => Reading::Rocker(inputs.rocker),
        }
    }

    fn lay_hand(&mut self, hand: Hand) {
        self.twin.act(hand);
        self.pass();
    }

    fn enabled(
        &mut self,
        request: impl FnOnce(&mut TwinCarriage) -> Result<(), Refusal>,
        came_about: impl Fn(Event) -> bool,
    ) -> Moved {
        self.lay_hand(Hand::Press(Input::Enable, true));
        let (edges, events) = (self.twin.edges(), self.twin.events().len());
        let stood = self.stands();
        let mut stopped = match self.twin.request(request) {
            Ok(()) => None,
            Err(refusal) => Some(format!("refused: {refusal}")),
        };
        if stopped.is_none() {
            let still = self.still();
            let new = &self.twin.events()[events..];
            if !new.iter().any(|(_, event)| came_about(*event)) {
                stopped = Some(why_not(new, if still { Wait::Still } else { Wait::Patience }));
            }
        }
        let moved = Moved {
            steps: self.twin.edges() - edges,
            travelled: self.stands() - stood,
            stopped,
            fault: self.twin.carriage().fault(),
        };
        self.lay_hand(Hand::Press(Input::Enable, false));
        moved
    }

    /// Long enough for a contact to settle.
    fn pass(&mut self) {
        let settle = self.twin.carriage().config().parts().contact_settle;
        let until = self.twin.now() + self.twin.timer_hz() / 4 + 4 * settle;
        self.twin.run_until(until);
    }

    /// Until the carriage stands; whether it came to that.
    fn still(&mut self) -> bool {
        self.twin.run_until_still(PATIENCE * self.twin.timer_hz())
    }
}

fn arrived(event: Event) -> bool {
    matches!(event, Event::Stopped { why: Stop::Arrived, .. })
}

/// The part of its travel in which an axis of unequal steps stands that was brought to the middle.
const NEAR_THE_MIDDLE: f64 = 0.02;

/// Counts by which a hand turns the dial to try it.
const DETENTS: i32 = 8;

/// How an input reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Reading {
    /// Whether it reads pressed.
    Contact(bool),
    Dial(u32),
    Rocker(Option<End>),
}
