//! Every scale that readings allow: those lines on which no reading is off by more than half of what the gauge shows.
//!
//! A linear programme of three unknowns. Zero and play are free, so readings of one way bound the scale two by two:
//! whatever the zero, two readings allow no scale beyond (read₂ − read₁ ± resolution) / (asked₂ − asked₁). The bounds are
//! exact, and each is reached.

use num_rational::BigRational;
use num_traits::Zero as _;

use super::fit::big;
use super::readings::Reading;
use wholestep::Exact;

/// What scales two readings allow, and which they are.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Bound {
    pub(super) scale: BigRational,
    pub(super) by: [usize; 2],
}

/// The lowest and the highest scale that each pair of readings allows; they cross if no scale is allowed by all.
pub(super) fn bounds(readings: &[Reading], resolution: Exact) -> Option<(Bound, Bound)> {
    let width = big(resolution);
    let mut low: Option<Bound> = None;
    let mut high: Option<Bound> = None;
    for (first, one) in readings.iter().enumerate() {
        for (second, other) in readings.iter().enumerate() {
            let apart = big(other.asked) - big(one.asked);
            if one.way != other.way || apart <= BigRational::zero() {
                continue;
            }
            let rise = big(other.read) - big(one.read);
            let by = [first, second];
            let least = (&rise - &width) / &apart;
            if low.as_ref().is_none_or(|known| known.scale < least) {
                low = Some(Bound { scale: least, by });
            }
            let most = (&rise + &width) / &apart;
            if high.as_ref().is_none_or(|known| known.scale > most) {
                high = Some(Bound { scale: most, by });
            }
        }
    }
    low.zip(high)
}

/// The scales that all readings allow; `None` if there is none, or readings of one way stand at one place each.
pub(super) fn allowed(readings: &[Reading], resolution: Exact) -> Option<(BigRational, BigRational)> {
    let (low, high) = bounds(readings, resolution)?;
    (low.scale <= high.scale).then_some((low.scale, high.scale))
}

/// The readings without any one of which a scale would be allowed, where with all of them none is.
pub(super) fn outliers(readings: &[Reading], resolution: Exact) -> Vec<usize> {
    // Without another reading these two pairs still stand against one another.
    let Some((low, high)) = bounds(readings, resolution).filter(|(low, high)| low.scale > high.scale) else {
        return Vec::new();
    };
    let mut suspects = [low.by, high.by].concat();
    suspects.sort_unstable();
    suspects.dedup();
    suspects.retain(|&suspect| {
        let others: Vec<Reading> =
            readings.iter().enumerate().filter(|(index, _)| *index != suspect).map(|(_, one)| *one).collect();
        allowed(&others, resolution).is_some()
    });
    suspects
}
