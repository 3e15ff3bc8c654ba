//! What a counting image prints: lines that `cargo xtask chip` reads.

use cortex_m_semihosting::{debug, hprintln};

use crate::clock::Tally;

/// Heads the lines that follow.
pub fn about(what: &str) {
    hprintln!("about: {}", what);
}

/// How often something was counted, ticks in all, and the most ticks.
pub fn count(name: &str, tally: &Tally) {
    hprintln!("count: {} {} {} {}", name, tally.count, tally.total, tally.worst);
}

/// The same of something that was counted once.
pub fn once(name: &str, ticks: u32) {
    let mut tally = Tally::default();
    tally.add(ticks);
    count(name, &tally);
}

/// Bytes of a value, or of stack.
pub fn bytes(name: &str, bytes: usize) {
    hprintln!("bytes: {} {}", name, bytes);
}

/// All has been said.
pub fn end() -> ! {
    loop {
        debug::exit(debug::EXIT_SUCCESS);
    }
}
