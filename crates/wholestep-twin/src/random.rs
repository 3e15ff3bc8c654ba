//! Seeded chance. The generator and the functions are ours to fix: the same seed gives the same truth
//! on every machine.

use rand_pcg::Pcg32;
use rand_pcg::rand_core::Rng;

/// A stream of chance of its own, so that one input's bounce never shifts another's.
#[derive(Clone, Debug)]
pub(crate) struct Chance(Pcg32);

impl Chance {
    pub(crate) fn new(seed: u64, stream: u64) -> Self {
        Self(Pcg32::new(seed, stream))
    }

    /// Uniform from 0 to below 1.
    pub(crate) fn uniform(&mut self) -> f64 {
        f64::from(self.0.next_u32()) / (f64::from(u32::MAX) + 1.0)
    }

    /// Normal, mean 0 and deviation 1, by Box and Muller.
    pub(crate) fn normal(&mut self) -> f64 {
        let radius = libm::sqrt(-2.0 * libm::log(1.0 - self.uniform()));
        radius * libm::cos(core::f64::consts::TAU * self.uniform())
    }

    pub(crate) fn coin(&mut self) -> bool {
        self.uniform() < 0.5
    }
}
