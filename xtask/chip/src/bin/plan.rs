//! An axis, targets placed on it, moves planned between them, and every edge of these.
#![no_std]
#![no_main]

use core::hint::black_box;

use cortex_m_rt::entry;
use wholestep::Rounding;
use wholestep::axis::Approach;
use wholestep::plan::Planner;
use wholestep_chip::{machine, must};

#[entry]
fn main() -> ! {
    let axis = machine::axis(machine::millimetres(1, 10));
    let planner = must(Planner::new(&axis, machine::TIMER_HZ, machine::timing()));
    loop {
        let start = must(axis.place(machine::millimetres(300, 1), Rounding::Nearest));
        let to = must(axis.place(machine::millimetres(127, 8), Rounding::Nearest));
        for edge in must(planner.plan(&start, Approach::FromBelow, &to)).edges() {
            black_box(edge);
        }
    }
}
