//! The live axis: a state machine that owns no clock and no pins.
//!
//! A [`Carriage`] is told the time and the inputs at every [`poll`](Carriage::poll), and returns the
//! edge that is due, the levels of direction and drive, what happened, and when to poll again.
//!
//! # Time and polls
//! Time is a count of ticks of the timer the paces were planned for. Poll at
//! [`poll_again_at`](Output::poll_again_at), at every change of an input, and at once after a request;
//! polling more often changes nothing. An edge is returned once, at the first poll at or after its
//! tick, and the caller gives the pulse then. What the inputs mean is decided before the edge is. The
//! last time that is taken is [`TIME_MAX`].
//!
//! | what happens | what follows |
//! |---|---|
//! | a poll comes late | one edge is given, and the rest of the plan shifts by the lateness; edges are never closer than planned, so no speed is exceeded |
//! | … by more than half an interval, faster than the motor can start | the same, and [`Event::PolledLate`] once a motion: the motor ran unevenly |
//! | … by more than a whole interval, faster than the motor can start | [`Fault::PolledLate`]: the motor must have stopped short, the position is unproven |
//! | … by more than a whole interval, no faster than that | the edge is given, and the rest is planned anew as from rest |
//! | … past several edges | the same: one edge a poll, no burst |
//! | time runs backwards, or past its end | [`Fault::TimeBackwards`], [`Fault::TimeTooLarge`]: motion ends at once, contacts are read afresh; unproven if it was fast |
//! | an input flickers between polls | unseen, therefore nothing |
//! | an input flickers at polls | a switch or the probe must read the same for its settling time; the enable input and the drive's fault act at once, which is the safe way |
//! | a contact goes on flickering where it is waited for | [`Fault::Chatter`] after sixteen settling times, or after sixteen contacts that changed back |
//! | the dial's counter jumps | [`Event::DialJumped`]: those counts are ignored |
//! | a target while finding the datum or touching off | refused, [`Refusal::Busy`] |
//!
//! # Position
//! The step is the sum of the edges, exact at every instant; every stop lands on a whole step. It is
//! *unproven* from power-up, and whenever the drive was off, a motion was cut short, a switch
//! contradicted it, or the caller says so: a driver switched on again may snap to another step. Then
//! only the hand, the search for the datum and a touch-off may move it. It is proven by the datum, by a
//! touch-off, or by a gauge height that a person states while the drive holds. Once proven, no edge is
//! given past the soft limits except on the way back within them. Nothing moves at power-up, and nothing
//! starts by itself when power returns: every motion follows a request made since.
//!
//! If targets are approached from one side, a touch-off and a stated height prove the position on that
//! flank of the play only: a configuration whose touch-off leads the other way is refused, and
//! [`Refusal::PlayNotTakenUp`] says how to get there. The datum is always met on the same flank, that of its own end; where its switch is met,
//! measured on the machine, has the play in it.
//!
//! # Stops
//! In the words of IEC 60204-1, which categories they resemble; none of them is an emergency stop, and
//! this library is no safety device: switches, soft limits and the enable input here protect the
//! machine. What protects people is wired, and follows the local codes and the maker's manuals.
//!
//! | stop | resembles |
//! |---|---|
//! | brake; enable let go; rocker let go; a fault other than the two below | category 2: under control, drive stays on |
//! | brake and release | category 1: under control, then the drive is off |
//! | release; the drive's own fault | category 0: the drive is off at once |
//! | polled late, time backwards or too large | none: the pulses end, the drive stays on, the position is unproven |
//!
//! Releasing a drive whose screw does not hold itself lets the load fall, and
//! [`Event::LoadCanFall`] says so.

mod activity;
mod commission;
mod config;
mod contact;
mod datum;
mod dial;
mod direction;
mod equipment;
mod event;
#[cfg(test)]
mod explore;
mod fault;
mod given_step;
mod guard;
mod hand;
mod inputs;
mod live;
mod marks;
mod motor;
mod output;
mod pace;
mod refusal;
mod requests;
mod soundness;
mod stand;
mod touch;
mod travel;

use core::ops::Deref;

use num_rational::Ratio;

pub use activity::State;
pub use commission::CommissioningTask;
pub use config::{CarriageConfig, DatumSearch, Dial, Paces, Parts, TouchSearch};
pub use dial::Quadrature;
pub use direction::End;
pub use equipment::{AnyEquipment, Datum, DialFitting, Equipment, TouchOff};
pub use event::{Event, Events, Stop, Unproven};
pub use fault::Fault;
pub use given_step::GivenStep;
pub use inputs::{Input, Inputs, Wiring};
pub use marks::Detent;
pub use output::{Output, StepEdge};
pub use refusal::Refusal;
pub use touch::TouchMode;

/// The last tick that a poll may be given, 2^63 − 1: at 1 GHz, 292 years. What is planned from it on
/// still fits 64 bits.
pub const TIME_MAX: u64 = i64::MAX as u64;

pub use crate::plan::Direction;

use activity::Activity;
use commission::{CommissioningProgress, Move};
use live::Live;

/// A live axis.
///
/// `C` leads to its [`CarriageConfig`]: a reference to one in flash, an `Arc`, a `Box`.
///
/// ```
/// # use wholestep::axis::{Axis, Rates, AxisConfig};
/// # use wholestep::mechanism::{DriveTrain, Linear, StepMode};
/// # use wholestep::{Acceleration, Angle, Exact, Length, LengthUnit, Measure, Rounding, Speed};
/// use wholestep::carriage::{Carriage, Equipment, Inputs, Refusal, State};
/// use wholestep::plan::PulseTiming;
/// # let mm = |n, d| Length::from_base(Exact::new(n, d)?);
/// # let motor = DriveTrain::new(Angle::from_base(Exact::new(9, 5)?)?, StepMode::new(8)?)?;
/// # let screw = Linear::lead_screw_by_lead(motor, mm(4, 1)?)?;
/// # let rates = Rates::new(Speed::from_base(Exact::integer(20))?, Acceleration::from_base(Exact::integer(100))?);
/// # let axis = Axis::new(screw, AxisConfig::new(LengthUnit::Millimetre, mm(0, 1)?, mm(60, 1)?, rates))?;
/// let configuration = Equipment::bare(&axis)?.config(&axis, 1_000_000, PulseTiming::new(5, 3, 3)?)?;
/// let mut carriage = Carriage::commissioned(&configuration);
///
/// // A controller's loop: read the pins, poll, set the pins, wait until poll_again_at.
/// let held = Inputs { enable: true, ..Inputs::default() };
/// let mut now = 0;
/// let mut edges = 0;
/// let mut turn = |carriage: &mut Carriage<_>| loop {
///     let output = carriage.poll(now, &held);
///     edges += u32::from(output.edge.is_some()); // the pulse is given here
///     match output.poll_again_at {
///         Some(tick) => now = tick,
///         None => break,
///     }
/// };
/// turn(&mut carriage);
/// assert_eq!(carriage.go_to(400), Err(Refusal::PositionUnproven));
/// carriage.hold()?;
/// turn(&mut carriage); // switches the drive on, and waits until it has settled
/// carriage.confirm_position(axis.place(mm(10, 1)?, Rounding::Nearest)?)?;
/// carriage.go_to(axis.place(mm(11, 1)?, Rounding::Nearest)?)?;
/// turn(&mut carriage);
/// assert_eq!((carriage.state(), edges), (State::Resting, 400));
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone, Debug)]
pub struct Carriage<C> {
    configuration: C,
    live: Live,
}

impl<C: Deref<Target = CarriageConfig>> Carriage<C> {
    /// Makes a carriage of a new machine: it has to be commissioned before anything moves.
    pub fn new(configuration: C) -> Self {
        let live = Live::new(CommissioningProgress::of_a_new_machine(&configuration));
        Self { configuration, live }
    }

    /// Returns a carriage of a machine that has been commissioned; the caller has kept that it was.
    pub fn commissioned(configuration: C) -> Self {
        Self { configuration, live: Live::new(CommissioningProgress::Commissioned) }
    }

    /// Tells the time and the inputs, and returns what to do.
    pub fn poll(&mut self, now: u64, inputs: &Inputs) -> Output {
        self.live.poll(&self.configuration, now, inputs)
    }

    /// Returns the configuration.
    pub fn config(&self) -> &CarriageConfig {
        &self.configuration
    }

    /// Returns what it is doing.
    pub fn state(&self) -> State {
        self.live.activity.state()
    }

    /// Returns the step it stands on, or passes, as far as the edges given out say; in numbers that hold only
    /// if the position [is proven](Self::is_proven).
    pub fn step(&self) -> i64 {
        self.live.motor.step()
    }

    /// Tells whether the step is known to be the step the motor stands on.
    pub fn is_proven(&self) -> bool {
        self.live.proven
    }

    /// Tells whether the motor moves, or is about to.
    pub fn is_moving(&self) -> bool {
        self.live.motor.is_moving()
    }

    /// Returns the latched fault.
    pub fn fault(&self) -> Option<Fault> {
        match self.live.activity {
            Activity::Faulted { fault, .. } => Some(fault),
            _ => None,
        }
    }

    /// Returns the step it was sent to, while it travels.
    pub fn target(&self) -> Option<i64> {
        match self.live.activity {
            Activity::Travelling(travel) => Some(travel.target),
            _ => None,
        }
    }

    /// Returns what commissioning asks for; `None` on a commissioned machine.
    pub fn commissioning_task(&self) -> Option<CommissioningTask> {
        self.live.trust.asks()
    }

    /// Goes to a step, given by its number or as a placement; or, while travelling or braking, turns to it instead.
    ///
    /// To a step further on, a motion that speeds up or cruises goes on without stopping, as if it had
    /// been sent there from the start; one that slows down already stops first. To a step less far, it
    /// goes on and then brakes so as to end there, if it still can. In any other case it brakes, and
    /// then goes.
    ///
    /// # Errors
    /// A [`Refusal`] for a placement of another machine, a step past a soft limit, an unproven
    /// position, an enable input that is not held, or a state that does not allow it.
    pub fn go_to(&mut self, to: impl Into<GivenStep>) -> Result<(), Refusal> {
        let step = self.configuration.own_step(to)?;
        self.live.go_to(&self.configuration, step)
    }

    /// Goes to a step as [`go_to`](Self::go_to), at a speed of its own, such as a slow last approach.
    ///
    /// # Errors
    /// As [`go_to`](Self::go_to); [`Refusal::Busy`] unless it rests, and [`Refusal::OutOfRange`] for a speed
    /// of 0, above that of its travels, or so slow that the move's ticks cannot be counted.
    pub fn go_to_at(
        &mut self,
        to: impl Into<GivenStep>,
        steps_per_second: Ratio<u64>,
    ) -> Result<(), Refusal> {
        let step = self.configuration.own_step(to)?;
        self.live.go_to_at(&self.configuration, step, steps_per_second)
    }

    /// Goes by a number of steps, counted from the target while travelling.
    ///
    /// # Errors
    /// As [`go_to`](Self::go_to); while braking it is not known from where to count.
    pub fn go_by(&mut self, steps: i64) -> Result<(), Refusal> {
        self.live.go_by(&self.configuration, steps)
    }

    /// Travels to the last allowed step at an end.
    ///
    /// # Errors
    /// As [`go_to`](Self::go_to).
    pub fn travel_to_end(&mut self, end: End) -> Result<(), Refusal> {
        self.live.travel_to_end(&self.configuration, end)
    }

    /// Holds the motor: the next poll switches the drive on, and nothing moves. So a height can be stated
    /// on an axis that no hand leads; poll until the drive has settled first.
    ///
    /// # Errors
    /// A [`Refusal`] if the state does not allow it.
    pub fn hold(&mut self) -> Result<(), Refusal> {
        self.live.hold()
    }

    /// Lets dial and rocker lead, until another request: the dial by `detent` if it is given, and
    /// the rocker where there is one. The next poll switches the drive on.
    ///
    /// # Errors
    /// A [`Refusal`] if there is nothing to lead by, or the state does not allow it.
    pub fn jog(&mut self, detent: Option<Detent>) -> Result<(), Refusal> {
        self.live.jog(&self.configuration, detent)
    }

    /// Finds the datum.
    ///
    /// # Errors
    /// A [`Refusal`] if there is no switch for it, the enable input is not held, or the state does
    /// not allow it.
    pub fn find_datum(&mut self) -> Result<(), Refusal> {
        self.live.find_datum(&self.configuration)
    }

    /// Touches off. The step of first contact becomes step `contact_step`, which proves the position; or,
    /// with `None` and a proven position, it is only told. A contact before the first step, or before
    /// the play is taken up, is [`Fault::ProbeClosed`]; one that contradicts a proven position is
    /// [`Fault::TouchContradicts`].
    ///
    /// # Errors
    /// A [`Refusal`] if there is no probe, `contact_step` is past a soft limit, the touch-off leads the
    /// other way than targets are approached, the enable input is not held, or the state does not allow
    /// it.
    pub fn touch_off(&mut self, mode: TouchMode, contact_step: Option<i64>) -> Result<(), Refusal> {
        self.live.touch_off(&self.configuration, mode, contact_step)
    }

    /// Takes a person's word that it stands `on` a step, given by its number or as a placement. The
    /// drive must be on and have settled, or the motor may snap to another step when it does; and if
    /// targets are approached from one side, the play must be taken up on that side.
    ///
    /// # Errors
    /// A [`Refusal`] for a placement of another machine, a step past a soft limit, a drive that is off
    /// or settles, play that is not taken up, or a state that does not allow it.
    pub fn confirm_position(&mut self, on: impl Into<GivenStep>) -> Result<(), Refusal> {
        let step = self.configuration.own_step(on)?;
        self.live.confirm_position(&self.configuration, step)
    }

    /// Takes a person's word that the position is not what it seems: a screw was turned by hand, a
    /// motor was heard to slip.
    ///
    /// # Errors
    /// A [`Refusal`] while it moves.
    pub fn mark_unproven(&mut self) -> Result<(), Refusal> {
        self.live.mark_unproven()
    }

    /// Stops under control; the drive stays on. Always granted.
    pub fn brake(&mut self) {
        self.live.brake(&self.configuration, false);
    }

    /// Stops under control, then releases the drive. Always granted.
    pub fn brake_and_release(&mut self) {
        self.live.brake(&self.configuration, true);
    }

    /// Releases the drive at once. Always granted.
    pub fn release(&mut self) {
        self.live.release(&self.configuration);
    }

    /// Clears the latched fault.
    ///
    /// # Errors
    /// A [`Refusal`] if there is none, or what caused it is still there.
    pub fn clear_fault(&mut self) -> Result<(), Refusal> {
        self.live.clear_fault()
    }

    /// Commissioning: nudges toward the high end.
    ///
    /// # Errors
    /// A [`Refusal`] when it is not [asked](Self::commissioning_task) for, or the enable input is not held.
    pub fn nudge(&mut self) -> Result<(), Refusal> {
        self.live.commission_motion(&self.configuration, Move::Nudge)
    }

    /// Commissioning: whether the nudge went toward the high end. If not, set the direction in the
    /// axis file, or exchange the two wires of one winding with the supply off, and nudge again.
    ///
    /// # Errors
    /// A [`Refusal`] when it is not [asked](Self::commissioning_task) for.
    pub fn confirm_direction(&mut self, went_toward_high: bool) -> Result<(), Refusal> {
        self.live.confirm_direction(went_toward_high)
    }

    /// Commissioning: goes the travel that a person measures, toward the high end.
    ///
    /// # Errors
    /// A [`Refusal`] when it is not [asked](Self::commissioning_task) for, or the enable input is not held.
    pub fn measure_travel(&mut self) -> Result<(), Refusal> {
        self.live.commission_motion(&self.configuration, Move::Measured)
    }

    /// Takes, while commissioning, whether the travel that a person measured agrees with the file. If it
    /// does not, it may be measured again.
    ///
    /// # Errors
    /// A [`Refusal`] when it is not [asked](Self::commissioning_task) for.
    pub fn report_travel(&mut self, agrees: bool) -> Result<(), Refusal> {
        self.live.report_travel(agrees)
    }
}
