//! Limits worked out on the chip, and every edge of a move.
#![no_std]
#![no_main]

use core::hint::black_box;

use cortex_m_rt::entry;
use wholestep_chip::{machine, must};

#[entry]
fn main() -> ! {
    let limits = machine::limits(machine::trapezoid());
    loop {
        let profile = must(limits.profile(black_box(10_000)));
        for tick in profile.edges() {
            black_box(tick);
        }
    }
}
