//! How deep the stack has been.

use core::ptr::{addr_of, addr_of_mut};

use cortex_m::register::msp;

const PAINT: u32 = 0xa5a5_a5a5;
/// What the painting itself may have on the stack, in words.
const MARGIN: usize = 64;

unsafe extern "C" {
    /// The end of what is in use below the stack, by cortex-m-rt's linker script.
    static mut __sheap: u32;
}

/// Bytes of stack below the caller's that `work` used, to the word.
#[inline(never)]
pub fn depth_of<T>(work: impl FnOnce() -> T) -> (usize, T) {
    let bottom = addr_of_mut!(__sheap);
    let top = msp::read();
    let words = (top as usize - addr_of!(__sheap) as usize) / 4 - MARGIN;
    for word in 0..words {
        // SAFETY: between the end of the statics and the stack pointer, less a margin, lies nothing that Rust knows of.
        unsafe { bottom.add(word).write_volatile(PAINT) };
    }
    let result = work();
    // SAFETY: as above; what is read was painted, or written as stack that is no longer in use.
    let untouched =
        (0..words).take_while(|&word| unsafe { bottom.add(word).read_volatile() } == PAINT).count();
    let used = top as usize - addr_of!(__sheap) as usize - 4 * untouched;
    (used, result)
}
