//! π between two exact bounds.

use super::{Enclosure, Exact};

/// π, enclosed by two convergents of its continued fraction (OEIS A002485 and
/// A002486); they are less than 1e-33 apart.
pub fn pi() -> Enclosure<Exact> {
    PI
}

// The last decimals matter only at widths far below 1e-18: at ten million turns the enclosure of a
// travel is still narrower than 1e-25.
const LOW: Exact = Exact::reduced(66_627_445_592_888_887, 21_208_174_623_389_167);
const HIGH: Exact = Exact::reduced(430_010_946_591_069_243, 136_876_735_467_187_340);
const PI: Enclosure<Exact> = Enclosure::raw(LOW, HIGH);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bounds_stand_either_side_of_its_digits() {
        // Identity: the first 35 decimals of π (recomputed with mpmath).
        let below = Exact::new(314_159_265_358_979_323_846_264_338_327_950_288, 10_i128.pow(35)).unwrap();
        let above = Exact::new(314_159_265_358_979_323_846_264_338_327_950_289, 10_i128.pow(35)).unwrap();
        assert!(pi().low() < below && above < pi().high());
    }
}
