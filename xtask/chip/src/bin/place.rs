//! An axis on an exact drive, and targets placed on it.
#![no_std]
#![no_main]

use core::hint::black_box;

use cortex_m_rt::entry;
use wholestep::Rounding;
use wholestep_chip::{machine, must};

#[entry]
fn main() -> ! {
    let axis = machine::axis(machine::millimetres(0, 1));
    loop {
        black_box(must(axis.place(machine::millimetres(127, 8), Rounding::Nearest)));
    }
}
