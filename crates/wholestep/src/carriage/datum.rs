//! Finding the datum: the stages of the search and what follows from each.
//!
//! Leave the switch if it is pressed; search for it; clear it; come back slowly and latch the step of
//! the first contact that then settles; clear it, come back slowly once more, and compare: a rotor that
//! leapt to another tooth in between shows as two latches that differ. Then clear it for good. A motion
//! brakes at the first sign of the change it waits for, and what the contact settles at while the motor
//! stands decides: a contact that changed back was none, and the motion goes on to its bound.

use super::{DatumSearch, End, Fault};

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stage {
    /// Not begun: the switch has not been looked at.
    Begin,
    /// Off the switch that was pressed at the start.
    Leave,
    /// Toward the switch.
    Search,
    /// Off it, until it is released.
    Clear,
    /// On, by the clearance.
    Back,
    /// Slowly toward it.
    Approach,
    /// Off it, by the clearance, to come back.
    Again,
    /// Off it, by the clearance.
    Finish,
}

impl Stage {
    /// What the switch is waited for to become; `None` if the stage ends by itself.
    pub(super) const fn awaits(self) -> Option<bool> {
        match self {
            Self::Leave | Self::Clear => Some(false),
            Self::Search | Self::Approach => Some(true),
            Self::Begin | Self::Back | Self::Again | Self::Finish => None,
        }
    }
}

/// A search under way. Steps are in the numbers in which it began.
#[derive(Clone, Copy, Debug)]
pub(super) struct Search {
    pub(super) stage: Stage,
    /// Where the stage's motion ends at the latest.
    pub(super) to: i64,
    /// Where the switch settled pressed after the fast search.
    pressed_at: i64,
    /// The step of the first contact of the slow approach.
    pub(super) latch: i64,
    /// The latch of the approach before.
    before: Option<i64>,
    /// Whether a step has been made in this stage; a contact before that was not met by a motion.
    pub(super) stepped: bool,
    /// How many contacts changed back.
    pub(super) false_contacts: u8,
}

/// What follows when the motor stands and the switch has settled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Next {
    /// Go on, to the stage's `to`.
    Go,
    /// The datum is where the latch says.
    Found,
}

impl Search {
    pub(super) const fn begin(step: i64) -> Self {
        Self {
            stage: Stage::Begin,
            to: step,
            pressed_at: step,
            latch: step,
            before: None,
            stepped: false,
            false_contacts: 0,
        }
    }

    /// Notes that the awaited contact changed for the first time, at `step`.
    pub(super) const fn contact(&mut self, step: i64) {
        if matches!(self.stage, Stage::Approach) {
            self.latch = step;
        }
    }

    /// Decides, with the motor standing on `step` and the switch settled.
    pub(super) fn decide(
        &mut self,
        search: &DatumSearch,
        release_bound: u64,
        toward: i64,
        step: i64,
        pressed: bool,
    ) -> Result<Next, Fault> {
        let end: End = search.end;
        let clearance = search.clearance.cast_signed();
        let away = |from: i64, by: u64| from - toward * by.cast_signed();
        if self.stage.awaits() == Some(!pressed) {
            return if step == self.to { Err(self.stage.failed(end)) } else { Ok(Next::Go) };
        }
        let (stage, to) = match self.stage {
            Stage::Begin if pressed => (Stage::Leave, away(step, release_bound)),
            Stage::Begin | Stage::Leave => (Stage::Search, step + toward * search.bound.cast_signed()),
            Stage::Search => {
                self.pressed_at = step;
                (Stage::Clear, away(step, release_bound))
            }
            Stage::Clear => (Stage::Back, away(step, search.clearance)),
            Stage::Back | Stage::Again | Stage::Finish if pressed => return Err(Fault::NeverReleased(end)),
            // It is pressed for certain where the search stood; past that by the clearance it never
            // will be.
            Stage::Back | Stage::Again => (Stage::Approach, self.pressed_at + toward * clearance),
            // Pressed before it moved: by a hand, or it was not released for good.
            Stage::Approach if !self.stepped => return Err(Fault::NeverReleased(end)),
            Stage::Approach => match self.before.replace(self.latch) {
                None => (Stage::Again, away(self.latch, search.clearance)),
                Some(before) if before.abs_diff(self.latch) > search.agreement => {
                    return Err(Fault::ApproachesDiffer(end));
                }
                Some(_) => (Stage::Finish, away(self.latch, search.clearance)),
            },
            Stage::Finish => return Ok(Next::Found),
        };
        self.stepped = false;
        self.stage = stage;
        self.to = to;
        Ok(Next::Go)
    }
}

impl Stage {
    const fn failed(self, end: End) -> Fault {
        match self {
            Self::Leave | Self::Clear => Fault::NeverReleased(end),
            _ => Fault::NeverFound(end),
        }
    }
}
