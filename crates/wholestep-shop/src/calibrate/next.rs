//! How many more readings would settle it, and which to take next.

use serde::Serialize;
use wholestep::{Axis, Exact, Measure, Mechanism, Result, Rounding};

use super::readings::Way;

/// A reading to take.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Next {
    /// Where to send the axis.
    pub asked: String,
    /// From which way.
    pub way: Way,
}

/// How many more readings bring what is `off` now within `within`: an uncertainty falls as the root of their number.
pub(super) fn more(readings: usize, off: f64, within: f64) -> u64 {
    let times = off / within;
    let more = (readings as f64 * (times * times - 1.0)).ceil().max(0.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "not negative, and large enough as it is"
    )]
    let more = more as u64;
    more
}

/// One round of readings near both ends of the travel, which tell the scale best, each from both ways, which tells the
/// play; none if nothing is left to settle.
pub(super) fn round<M: Mechanism>(axis: &Axis<M>, more: u64, play_is_known: bool) -> Result<Vec<Next>> {
    if more == 0 && play_is_known {
        return Ok(Vec::new());
    }
    let (low, high) = (axis.config().low.base(), axis.config().high.base());
    let inset = high.checked_sub(low)?.checked_div(Exact::integer(20))?;
    let (low, high) = (low.checked_add(inset)?, high.checked_sub(inset)?);
    let grain = grain::<M>(axis, high.checked_sub(low)?)?;
    let near = |place: Exact| -> Result<String> {
        let whole = place.checked_div(grain)?.round(Rounding::Nearest);
        let place = Exact::new(whole, 1)?.checked_mul(grain)?;
        Ok(M::Measure::from_base(place)?.to_text(axis.unit()).to_string())
    };
    let round = [(low, Way::Up), (high, Way::Up), (high, Way::Down), (low, Way::Down)];
    round.into_iter().map(|(place, way)| Ok(Next { asked: near(place)?, way })).collect()
}

/// What figures are asked for in: whole units, or an eighth of one on a short travel.
fn grain<M: Mechanism>(axis: &Axis<M>, travel: Exact) -> Result<Exact> {
    let unit = M::Measure::new(Exact::ONE, axis.unit())?.base();
    let short = travel < unit.checked_mul(Exact::integer(20))?;
    Ok(if short { unit.checked_div(Exact::integer(8))? } else { unit })
}
