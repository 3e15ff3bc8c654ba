//! What happened, told once.

use super::{End, Fault, Input};

/// Something that happened since the last poll.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Event {
    /// The contacts have settled for the first time; requests are heard.
    Ready,
    /// The carriage came to rest on this step, on its target or where a brake ended.
    Stopped {
        /// The step.
        step: i64,
        /// Why.
        why: Stop,
    },
    /// A fault was latched.
    Faulted(Fault),
    /// The fault was cleared.
    Cleared,
    /// The position became unproven.
    Unproven(Unproven),
    /// The drive was released and the screw does not hold itself: the load can fall.
    LoadCanFall,
    /// The datum was found.
    DatumFound {
        /// The step at which the switch was met, in the numbers that hold from now on.
        met_at: i64,
        /// By how many steps it had come to be wrong, believed minus found, whether it was still held
        /// to be proven or a fault had put it in doubt; `None` if it has not been proven since the
        /// drive was switched on.
        off_by: Option<i64>,
    },
    /// The probe was touched first at this step, in the numbers that hold from now on.
    Touched {
        /// The step.
        step: i64,
        /// By how many steps it had come to be wrong, as of [`DatumFound`](Self::DatumFound); `None`
        /// also if the touch-off only measured.
        off_by: Option<i64>,
    },
    /// The probe was touched at this step and the hand may go on; the position is proven as soon as
    /// the carriage stands.
    Contact {
        /// The step, in the numbers that hold still.
        step: i64,
    },
    /// A contact changed and changed back before it settled.
    FalseContact(Input),
    /// The switch at this end stopped a motion of the hand.
    AtSwitch(End),
    /// The last allowed step at this end stopped a motion of the hand.
    AtLimit(End),
    /// The dial was ahead of the motion by more than its bound, or the hand stopped: so many detents
    /// were dropped.
    DetentsDropped(u32),
    /// The dial's counter jumped; its counts since the last poll were ignored.
    DialJumped,
    /// Commissioning saw this input change both ways.
    Seen(Input),
    /// Commissioning asked for another input than the one that changed.
    OtherInput(Input),
    /// An edge of a fast motion was given out so many ticks late, more than half the time a step took:
    /// the motor ran unevenly and may have lost steps. Told once a motion; see to it that polls come in
    /// time.
    PolledLate {
        /// How late it was, in ticks.
        by: u64,
    },
    /// Events were lost because polls came too seldom.
    EventsLost,
}

/// Why the carriage stopped.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Stop {
    /// It stands where it was sent.
    Arrived,
    /// It was asked to brake.
    Braked,
    /// The enable input was let go.
    EnableReleased,
    /// A fault.
    Fault,
}

/// Why a position is unproven.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Unproven {
    /// The drive was released.
    Released,
    /// The motor was stopped at once from a speed at which it may run on.
    Halted,
    /// A fault contradicts it.
    Contradicted,
    /// A search for the datum has begun.
    Searching,
    /// The caller says so.
    MarkedUnproven,
}

const CAPACITY: usize = 6;

/// Events in the order in which they happened.
///
/// Holds a few; where more happen between two polls, the last says that events were lost. State,
/// fault and position can be asked for at any time, so nothing that matters depends on an event.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Events {
    events: [Option<Event>; CAPACITY],
}

impl Events {
    /// Returns the events.
    pub fn iter(&self) -> impl Iterator<Item = Event> + '_ {
        self.events.iter().map_while(|event| *event)
    }

    /// Tells whether nothing happened.
    pub const fn is_empty(&self) -> bool {
        self.events[0].is_none()
    }

    pub(super) fn push(&mut self, event: Event) {
        match self.events.iter_mut().find(|slot| slot.is_none()) {
            Some(slot) => *slot = Some(event),
            None => self.events[CAPACITY - 1] = Some(Event::EventsLost),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn too_many_events_say_so() {
        let mut events = Events::default();
        assert!(events.is_empty());
        for _ in 0..CAPACITY {
            events.push(Event::Ready);
        }
        assert!(events.iter().all(|event| event == Event::Ready));
        events.push(Event::Cleared);
        assert_eq!(events.iter().count(), CAPACITY);
        assert_eq!(events.iter().last(), Some(Event::EventsLost));
    }
}
