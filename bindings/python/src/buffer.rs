//! Whole numbers in one piece of memory, to Python and from it.

use pyo3::exceptions::PyMemoryError;
use pyo3::intern;
use pyo3::prelude::*;
use pyo3::types::{PyByteArray, PyBytes, PyMemoryView, PySlice};
use wholestep::error::Value;
use wholestep::{Error, ErrorKind};

use crate::error::{exception, wrong_type};

/// How many numbers are made before other threads and Ctrl-C have their turn.
pub(crate) const BLOCK: usize = 1 << 16;

/// Bytes of one number.
pub(crate) const SIZE: usize = 8;

/// A read-only memoryview of `count` numbers of eight bytes in `format`, written by `fill` into the
/// memory itself.
pub(crate) fn numbers<'py>(
    py: Python<'py>,
    count: u64,
    format: &str,
    fill: impl FnOnce(&mut [u8]) -> PyResult<()>,
) -> PyResult<Bound<'py, PyAny>> {
    let length = usize::try_from(count)
        .ok()
        .and_then(|count| count.checked_mul(SIZE))
        .filter(|length| isize::try_from(*length).is_ok());
    let Some(length) = length else {
        return Err(PyMemoryError::new_err(format!("{count} numbers do not fit in memory")));
    };
    let bytes = PyBytes::new_with(py, length, fill)?;
    PyMemoryView::from(&bytes)?.call_method1("cast", (format,))
}

/// Whole numbers that Python gives in a buffer of one dimension, whatever their width, their sign and
/// the order of their bytes; read block by block.
pub(crate) struct Given<'py> {
    view: Bound<'py, PyAny>,
    /// Bytes of one number, and whether the most significant one comes first.
    size: usize,
    big_endian: bool,
    signed: bool,
    pub(crate) count: usize,
}

const WANTED: &str = "give a buffer of whole numbers in one dimension, such as array(\"q\", [1, 2])";

impl<'py> Given<'py> {
    pub(crate) fn of(buffer: &Bound<'py, PyAny>) -> PyResult<Self> {
        let wrong = |what: &str| wrong_type(buffer, "targets", &format!("{what}; {WANTED}"));
        if buffer.is_instance_of::<PyBytes>() || buffer.is_instance_of::<PyByteArray>() {
            return Err(wrong("bytes do not say which numbers they are"));
        }
        let view = PyMemoryView::from(buffer).map_err(|_| wrong("they are not in a buffer"))?.into_any();
        let format: String = view.getattr(intern!(view.py(), "format"))?.extract()?;
        let dimensions: usize = view.getattr(intern!(view.py(), "ndim"))?.extract()?;
        if dimensions != 1 {
            return Err(wrong(&format!("they have {dimensions} dimensions")));
        }
        let (order, letter) = match format.as_bytes() {
            [letter] => (b'@', *letter),
            [order, letter] => (*order, *letter),
            _ => (b'@', b'?'),
        };
        let big_endian = match order {
            b'<' => false,
            b'>' | b'!' => true,
            _ => cfg!(target_endian = "big"),
        };
        let size: usize = view.getattr(intern!(view.py(), "itemsize"))?.extract()?;
        let signed = b"bhilqn".contains(&letter);
        if !(signed || b"BHILQN".contains(&letter)) || ![1, 2, 4, 8].contains(&size) {
            return Err(wrong(&format!("they are of the format \"{format}\", not whole numbers")));
        }
        let count = view.len()?;
        Ok(Self { view, size, big_endian, signed, count })
    }

    /// The numbers from `first` on, at most so many.
    pub(crate) fn block(&self, first: usize, most: usize) -> PyResult<Vec<i64>> {
        let py = self.view.py();
        let end = self.count.min(first.saturating_add(most));
        let slice = py.get_type::<PySlice>().call1((first, end))?;
        let bytes = self.view.get_item(slice)?.call_method0(intern!(py, "tobytes"))?;
        let bytes = bytes.cast::<PyBytes>()?.as_bytes();
        bytes
            .chunks_exact(self.size)
            .map(|number| self.number(number))
            .enumerate()
            .map(|(index, number)| {
                number.ok_or_else(|| {
                    let error = Error::new(ErrorKind::OutOfRange, "whole number of a buffer, at index")
                        .given(Value::Integer(i128::try_from(first + index).unwrap_or(0)))
                        .remedy("give numbers below 2^63");
                    exception(py, &error)
                })
            })
            .collect()
    }

    /// The number in its bytes; `None` if it does not fit 64 bits with a sign.
    fn number(&self, bytes: &[u8]) -> Option<i64> {
        let mut lowest_first = [0; SIZE];
        lowest_first[..self.size].copy_from_slice(bytes);
        if self.big_endian {
            lowest_first[..self.size].reverse();
        }
        if self.signed && lowest_first[self.size - 1] >= 0x80 {
            lowest_first[self.size..].fill(0xff);
        }
        let number = i64::from_le_bytes(lowest_first);
        (self.signed || number >= 0).then_some(number)
    }
}
