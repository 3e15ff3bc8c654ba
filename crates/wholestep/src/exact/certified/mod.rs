//! Arithmetic and trigonometry whose answers are two bounds with the truth between them.
//!
//! An [`Interval`] holds its bounds in fixed point, as whole multiples of 2^-96 in an `i128`, so
//! every value below 2^31 in size is held to 1.3e-29, and a handful of operations on dimensions of
//! 10,000 mm leaves a width near 1e-24, far inside the finest 1e-18 that is handed out. Every
//! operation rounds its lower bound down and its upper bound up, and each series states the error
//! it may make; nothing wraps and nothing panics, and what leaves the range is refused.
//!
//! **Why our own.** Only three steps need more than 128 bits: a product, a quotient and a square
//! root, about a hundred lines. A ready 256-bit type was weighed (`ethnum` 1.5: kept up, `no_std`,
//! MIT or Apache-2.0): it has no product wider than its operands, so 256 bits of storage would
//! hold no more than these 128 do, and its divisions run over the full width. Arbitrary-precision
//! crates need `alloc` and round to nearest, which proves no bound. No working precision is asked
//! for: a function costs well under a microsecond at full precision on a desk computer, and fewer
//! terms would save less than half of that.
//!
//! Exact results stay exact: bounds meet when an answer is a multiple of 2^-96, and degrees keep
//! every angle whose sine, cosine or tangent is rational (multiples of 30° and 45° only, by Niven's
//! theorem).

mod arithmetic;
mod error;
mod interval;
mod inverse;
mod series;
mod turning;
mod wide;

pub use error::IntervalError;
pub use interval::Interval;
