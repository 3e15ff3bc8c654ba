//! Exact positioning for stepper-driven shop axes.
#![no_std]
#![forbid(unsafe_code)]
#![deny(clippy::float_arithmetic)]

#[cfg(any(feature = "alloc", test))]
extern crate alloc;
#[cfg(any(feature = "std", test))]
extern crate std;

/// Exact numbers.
pub mod exact {
    pub mod certified;
}
