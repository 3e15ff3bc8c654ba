//! Drawings of answers, as SVG.

mod effort;
mod page;
mod rehearsal;
mod scale;

pub(crate) use effort::svg as effort;
pub(crate) use rehearsal::svg as rehearsal;
