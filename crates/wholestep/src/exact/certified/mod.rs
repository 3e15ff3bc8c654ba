//! Arithmetic and trigonometry whose answers are two bounds with the truth between them.
//!
//! An [`Interval`] holds its bounds in fixed point, as whole multiples of 2^-96 in an `i128`, so
//! every value below 2^31 in size is held to 1.3e-29, and a handful of operations on dimensions of
//! 10,000 mm leaves a width near 1e-24, far inside the finest 1e-18 that is handed out. Every
//! operation rounds its lower bound down and its upper bound up, and each series states the error
//! it may make; no answer wraps, nothing panics, and what leaves the range is refused.
//!
//! **Why our own.** Only three steps need more than 128 bits: a product, a quotient and a square
//! root, about a hundred lines. A ready 256-bit type would do (`ethnum` 1.5 was tried:
//! `no_std`, MIT or Apache-2.0, and quick), but its product is no wider than its operands, so twice
//! the storage would hold no more than this, and it has no square root. Arbitrary-precision crates
//! need `alloc`. There is no working precision to choose: on a desk computer every function takes
//! well under a microsecond as it is.
//!
//! Exact results stay exact: bounds meet when an answer is a multiple of 2^-96, and degrees keep
//! every angle whose sine, cosine or tangent is rational (multiples of 30° and 45° only, by Niven's
//! theorem).

mod arithmetic;
mod bridge;
mod error;
mod interval;
mod inverse;
mod series;
mod turning;
mod wide;

pub use error::IntervalError;
pub use interval::Interval;
