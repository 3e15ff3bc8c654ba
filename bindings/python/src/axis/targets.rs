//! Targets on an axis: one, many, and numbers in a buffer.

use pyo3::prelude::*;
use pyo3::types::PyList;
use wholestep::axis::AnyAxis;
use wholestep::measure::Unit;
use wholestep::{Exact, Rounding};

use super::{Axis, SharedAxis, along};
use crate::boundary::{cross, cross_detached};
use crate::buffer::{BLOCK, Given, SIZE, numbers};
use crate::error::wrong_type;
use crate::measure::{Class, asked};
use crate::placement::Placement;

pub(crate) fn placed(
    axis: &Bound<'_, Axis>,
    target: &Bound<'_, PyAny>,
    rounding: Rounding,
    strict: bool,
) -> PyResult<Placement> {
    let py = axis.py();
    let placed = along!(axis.get().axis, one => {
        let target = asked(target, axis.get().spoken(one.unit()))?;
        let place = || one.place(target, rounding).and_then(|placed| if strict { placed.require_decided() } else { Ok(placed) });
        Class::placed(cross(py, place)?)
    });
    Ok(Placement::new(placed, axis.clone().unbind(), Some(rounding)))
}

/// How many targets are placed before other threads and Ctrl-C have their turn.
const TARGETS_AT_ONCE: usize = 1024;

/// The placements of an iterable of targets.
pub(super) fn objects<'py, M: Class>(
    axis: &Bound<'py, Axis>,
    along: &SharedAxis<M>,
    targets: &Bound<'py, PyAny>,
    rounding: Rounding,
    strict: bool,
) -> PyResult<Bound<'py, PyList>> {
    let (py, spoken) = (axis.py(), axis.get().spoken(along.unit()));
    let placements = PyList::empty(py);
    let Ok(mut rest) = targets.try_iter() else {
        return Err(wrong_type(targets, "targets", "give a list of targets"));
    };
    loop {
        let first = placements.len();
        let read: Vec<PyResult<M>> =
            rest.by_ref().take(TARGETS_AT_ONCE).map(|target| asked(&target?, spoken)).collect();
        if read.is_empty() {
            return Ok(placements);
        }
        // The first target that is wrong is named, whatever is wrong with it.
        let readable: Vec<M> = read.iter().map_while(|target| target.as_ref().ok()).copied().collect();
        let mut placed = Vec::with_capacity(readable.len());
        cross_detached(py, || {
            for target in &readable {
                let place = along.place(*target, rounding)?;
                placed.push(if strict { place.require_decided()? } else { place });
            }
            Ok(())
        })
        .map_err(|error| at_index(py, error, first + placed.len()))?;
        if let Some(Err(error)) = read.into_iter().nth(readable.len()) {
            return Err(at_index(py, error, first + readable.len()));
        }
        for placed in placed {
            placements.append(Placement::new(M::placed(placed), axis.clone().unbind(), Some(rounding)))?;
        }
        py.check_signals()?;
    }
}

/// The steps of many targets, each so many `1/denominator` of a `unit`.
pub(super) fn steps<'py, M: Class>(
    py: Python<'py>,
    axis: &SharedAxis<M>,
    counts: &Given<'py>,
    denominator: Exact,
    unit: &str,
    rounding: Rounding,
) -> PyResult<Bound<'py, PyAny>> {
    let one = cross(py, || Ok(M::Unit::read(unit)?.in_base().checked_div(denominator)?))?;
    // A short numerator is multiplied without the common divisors that a product of any size needs.
    let short = i64::try_from(one.numerator()).ok();
    let count = u64::try_from(counts.count).unwrap_or(u64::MAX);
    numbers(py, count, "q", |bytes| {
        for (block, bytes) in bytes.chunks_mut(BLOCK * SIZE).enumerate() {
            let counts = counts.block(block * BLOCK, BLOCK)?;
            let mut done = 0;
            let placing = cross_detached(py, || {
                for (count, slot) in counts.iter().zip(bytes.chunks_exact_mut(SIZE)) {
                    let value = match short {
                        Some(numerator) => {
                            Exact::new(i128::from(*count) * i128::from(numerator), one.denominator())
                        }
                        None => Exact::integer(*count).checked_mul(one),
                    };
                    let target = M::from_base(value?)?;
                    slot.copy_from_slice(
                        &axis.place(target, rounding)?.require_decided()?.step().to_ne_bytes(),
                    );
                    done += 1;
                }
                Ok(())
            });
            placing.map_err(|error| at_index(py, error, block * BLOCK + done))?;
            py.check_signals()?;
        }
        Ok(())
    })
}

/// The error with a note of which target it is about.
fn at_index(py: Python<'_>, error: PyErr, index: usize) -> PyErr {
    error.add_note(py, format!("target {index} of place_many, counted from 0")).err().unwrap_or(error)
}
