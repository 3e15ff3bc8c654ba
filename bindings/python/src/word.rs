//! Words that choose one of a few things, spelled as files and the command line spell them.

use pyo3::prelude::*;
use wholestep::axis::{Approach, MotorDirection};
use wholestep::carriage::{Direction, End};
use wholestep::error::Value;
use wholestep::{Error, ErrorKind, Result, Rounding};

use crate::boundary::cross;

/// The rounding rule named `word`.
pub(crate) fn rounding(py: Python<'_>, word: &str) -> PyResult<Rounding> {
    cross(py, || chosen(word, "rounding", "nearest, below or above", Rounding::ALL, Rounding::name))
}

/// The approach side named `word`.
pub(crate) fn approach(py: Python<'_>, word: &str) -> PyResult<Approach> {
    cross(py, || chosen(word, "approach", "either, from_below or from_above", Approach::ALL, Approach::name))
}

/// The end named `word`.
pub(crate) fn end(py: Python<'_>, word: &str) -> PyResult<End> {
    cross(py, || chosen(word, "end", "low or high", End::BOTH, End::name))
}

/// The direction named `word`.
pub(crate) fn direction(py: Python<'_>, word: &str) -> PyResult<MotorDirection> {
    cross(py, || chosen(word, "direction", "normal or reversed", MotorDirection::ALL, MotorDirection::name))
}

/// The way of an edge named `word`.
pub(crate) fn way(py: Python<'_>, word: &str) -> PyResult<Direction> {
    let all = [Direction::Forward, Direction::Backward];
    cross(py, || chosen(word, "direction", "forward or backward", all, way_name))
}

/// The name of the way of an edge or a leg.
pub(crate) const fn way_name(way: Direction) -> &'static str {
    match way {
        Direction::Forward => "forward",
        Direction::Backward => "backward",
    }
}

/// The one of `all` that is named `word`.
pub(crate) fn chosen<T: Copy, const N: usize>(
    word: &str,
    subject: &'static str,
    words: &'static str,
    all: [T; N],
    name: impl Fn(T) -> &'static str,
) -> Result<T> {
    all.into_iter()
        .find(|one| name(*one) == word)
        .ok_or_else(|| Error::new(ErrorKind::Syntax, subject).given(Value::text(word)).spelling(words))
}
