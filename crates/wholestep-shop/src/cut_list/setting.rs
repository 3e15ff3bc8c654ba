//! Setting the stop: by the axis, or by hand past its travel.

use wholestep::{
    Axis, Enclosure, Error, ErrorKind, Length, LengthUnit, Measure, Mechanism, Placement, Result, Rounding,
};

use super::check::as_typed;
use super::{Bounds, Placed, Setting};

/// A setting for people, and the placement to measure the stop's moves with.
pub(super) type Set = (Setting, Option<Placement<Length>>);

/// Sets the stop at a distance.
pub(super) fn set<M: Mechanism<Measure = Length>>(
    axis: &Axis<M>,
    stop: Enclosure<Length>,
    rounding: Rounding,
    unit: LengthUnit,
) -> Result<Set> {
    let place = |bound| axis.place(bound, rounding);
    let both =
        place(stop.low()).and_then(|low| Ok((low, if stop.is_exact() { low } else { place(stop.high())? })));
    let told = Bounds::of(stop, unit);
    let (low, high) = match both {
        Ok(both) => both,
        Err(error) if error.kind() == ErrorKind::BeyondLimit => {
            return Ok((
                Setting { stop: told, placement: None, by_hand: Some(as_typed(error, unit).to_string()) },
                None,
            ));
        }
        Err(error) => return Err(error),
    };
    let remainder = Enclosure::new(
        high.remainder().low().min(low.remainder().low()),
        high.remainder().high().max(low.remainder().high()),
    )?;
    let placed = Placed {
        step: low.step(),
        position: Bounds::of(low.position(), unit),
        remainder: Bounds::of(remainder, unit),
        is_decided: low.is_decided() && high.is_decided() && low.step() == high.step(),
    };
    Ok((Setting { stop: told, placement: Some(placed), by_hand: None }, Some(low)))
}

/// How far the stop moves through the placements, and how often.
pub(super) fn moves(placements: &[Placement<Length>]) -> Result<(Enclosure<Length>, usize)> {
    let mut travel = Enclosure::exact(Length::ZERO);
    let mut number = 0;
    for pair in placements.windows(2) {
        if pair[0].step() == pair[1].step() {
            continue;
        }
        let by = pair[0].distance_to(&pair[1])?.map(|bound| Ok::<_, Error>(bound.abs()))?;
        travel = travel.checked_add(by)?;
        number += 1;
    }
    Ok((travel, number))
}
