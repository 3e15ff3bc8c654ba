//! On which flank the nut stands, as the edges given out say.

use wholestep::carriage::{Direction, End, Parts};

/// So many steps of the play are taken up, of how many.
#[derive(Clone, Copy, Debug)]
pub(super) struct Open {
    pub(super) taken: u64,
    pub(super) steps: u64,
}

/// How much of the play is certainly taken up toward the side from which targets are reached.
#[derive(Clone, Copy, Debug)]
pub(super) struct Play {
    approach: Option<(Direction, u64)>,
    taken: u64,
}

impl Play {
    pub(super) fn new(parts: &Parts) -> Self {
        let approach =
            parts.approach.map(|(from, steps): (End, u64)| (from.other().direction(parts.trend), steps));
        Self { approach, taken: 0 }
    }

    pub(super) fn edge(&mut self, way: Direction) {
        if let Some((toward, steps)) = self.approach {
            self.taken =
                if way == toward { (self.taken + 1).min(steps) } else { self.taken.saturating_sub(1) };
        }
    }

    /// Nothing holds the motor: the screw may have been turned.
    pub(super) fn forget(&mut self) {
        self.taken = 0;
    }

    /// The way in which targets are reached.
    pub(super) fn toward(&self) -> Option<Direction> {
        self.approach.map(|(toward, _)| toward)
    }

    /// How much is taken up, of how much, if it is not all.
    pub(super) fn open(&self) -> Option<Open> {
        let (_, steps) = self.approach?;
        Some(Open { taken: self.taken, steps }).filter(|open| open.taken < open.steps)
    }
}
