//! Going to a target, from the side the axis asks for.

use super::Direction;
use super::pace::Pace;

/// A target and how to come to it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Travel {
    pub(super) target: i64,
    pub(super) pace: Pace,
}

/// The way in which every target is reached, and how far it is overrun to get there.
#[derive(Clone, Copy, Debug)]
pub(super) struct ApproachSide {
    pub(super) direction: Direction,
    pub(super) overrun: u64,
}

/// Where to go next to reach `target` the right way, with so many steps of play taken up already;
/// `None` once it has been.
pub(super) fn next_leg(side: Option<ApproachSide>, step: i64, taken_up: u64, target: i64) -> Option<i64> {
    let Some(ApproachSide { direction, overrun }) = side else {
        return (step != target).then_some(target);
    };
    let ahead = Direction::between(step, target);
    let loaded = taken_up.saturating_add(target.abs_diff(step)) >= overrun;
    match ahead {
        None if loaded => None,
        Some(ahead) if ahead == direction && loaded => Some(target),
        _ => Some(before(ApproachSide { direction, overrun }, target)),
    }
}

/// The step from which `target` is approached.
pub(super) fn before(side: ApproachSide, target: i64) -> i64 {
    target - side.direction.sign() * side.overrun.cast_signed()
}

#[cfg(test)]
mod tests {
    use super::*;
    use Direction::{Backward, Forward};

    #[test]
    fn the_side_decides_the_legs() {
        let up = Some(ApproachSide { direction: Forward, overrun: 20 });
        let down = Some(ApproachSide { direction: Backward, overrun: 20 });
        for (side, step, taken_up, target, leg) in [
            (None, 0, 0, 0, None),
            (None, 0, 0, -5, Some(-5)),
            (up, 0, 20, 0, None),
            (up, 0, 19, 0, Some(-20)),
            (up, 0, 0, 0, Some(-20)),
            (up, -20, 0, 0, Some(0)),
            (up, -19, 0, 0, Some(-20)),
            (up, -19, 1, 0, Some(0)),
            (up, -1, 20, 0, Some(0)),
            (up, -1, 18, 0, Some(-20)),
            (up, 100, 20, 0, Some(-20)),
            (down, 0, 0, 100, Some(120)),
            (down, 120, 0, 100, Some(100)),
            (down, 100, 20, 100, None),
        ] {
            assert_eq!(next_leg(side, step, taken_up, target), leg, "from {step} to {target}");
        }
    }
}
