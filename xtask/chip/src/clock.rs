//! Ticks of the system timer. The emulator lets a fixed time pass for each instruction, so that they count
//! instructions; `cargo xtask chip` knows how many ticks one takes on which board.

use core::hint::black_box;

use cortex_m::Peripherals;
use cortex_m::peripheral::SYST;
use cortex_m::peripheral::syst::SystClkSource;

/// The timer counts down through 24 bits.
const MASK: u32 = 0x00ff_ffff;

/// A running clock, and what reading it takes.
pub struct Clock {
    overhead: u32,
}

/// What several measurements of the same thing came to, in ticks.
#[derive(Clone, Copy, Default)]
pub struct Tally {
    pub count: u32,
    pub total: u64,
    pub worst: u32,
}

impl Clock {
    /// Starts the timer.
    ///
    /// # Errors
    /// It has been started before.
    pub fn start() -> Result<Self, ()> {
        let mut timer = Peripherals::take().ok_or(())?.SYST;
        timer.set_clock_source(SystClkSource::Core);
        timer.set_reload(MASK);
        timer.clear_current();
        timer.enable_counter();
        let mut clock = Self { overhead: 0 };
        let least = (0..16).map(|_| clock.time(|| ()).0).min();
        clock.overhead = least.unwrap_or_default();
        Ok(clock)
    }

    /// Ticks that `work` takes, up to 2^24, and what it returned.
    #[inline(always)]
    pub fn time<T>(&self, work: impl FnOnce() -> T) -> (u32, T) {
        let before = SYST::get_current();
        let result = black_box(work());
        let after = SYST::get_current();
        ((before.wrapping_sub(after) & MASK).saturating_sub(self.overhead), result)
    }
}

impl Tally {
    pub fn add(&mut self, ticks: u32) {
        self.count += 1;
        self.total += u64::from(ticks);
        self.worst = self.worst.max(ticks);
    }
}
