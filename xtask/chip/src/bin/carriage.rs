//! Everything: a live axis with its requests, configured on the chip.
#![no_std]
#![no_main]

use core::hint::black_box;

use cortex_m_rt::entry;
use wholestep::Rounding;
use wholestep::carriage::{Carriage, Inputs};
use wholestep_chip::{machine, must};

#[entry]
fn main() -> ! {
    let axis = machine::axis(machine::millimetres(1, 10));
    let config = machine::carriage(&axis);
    let mut carriage = Carriage::new(&config);
    let target = must(axis.place(machine::millimetres(127, 8), Rounding::Nearest));
    loop {
        let output = carriage.poll(black_box(0), black_box(&Inputs::default()));
        black_box(output);
        black_box(match black_box(0) {
            0 => carriage.go_to(target),
            1 => carriage.hold(),
            2 => carriage.find_datum(),
            3 => carriage.confirm_position(target),
            _ => carriage.jog(None),
        })
        .unwrap_or_default();
        carriage.brake();
    }
}
