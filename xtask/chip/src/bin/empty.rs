//! Nothing: what the start of any image weighs.
#![no_std]
#![no_main]

use core::hint::black_box;

use cortex_m_rt::entry;
use wholestep_chip as _;

#[entry]
fn main() -> ! {
    loop {
        black_box(());
    }
}
