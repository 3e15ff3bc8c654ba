//! What the images share: the machine they move, a clock, and the depth of the stack.
#![no_std]

pub mod clock;
pub mod machine;
pub mod report;
pub mod stack;

use core::panic::PanicInfo;

use cortex_m_semihosting::debug;

/// The value, or the end: the images ask only for what the core allows.
///
/// Without a message, which would be weighed with the rest.
pub fn must<T, E>(result: Result<T, E>) -> T {
    match result {
        Ok(value) => value,
        Err(_) => stop(),
    }
}

#[panic_handler]
fn panic(_: &PanicInfo<'_>) -> ! {
    stop()
}

fn stop() -> ! {
    loop {
        debug::exit(debug::EXIT_FAILURE);
    }
}
