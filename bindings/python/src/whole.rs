//! Whole numbers from Python: one row for each argument, with its name and what is allowed.
//!
//! No function takes an integer in any other way, so that none fails in the words of the conversion.

use pyo3::intern;
use pyo3::prelude::*;
use pyo3::types::{PyBool, PyInt};
use wholestep::bounds::{DECIMALS_MAX, FRACTION_DENOMINATOR_MAX, STEP_MAX, TEETH_MAX, TIMER_HZ};
use wholestep::error::Value;
use wholestep::{Error, ErrorKind};
use wholestep_shop::bounds::{MARKS_MAX, PARTS_MAX, STOCK_MAX};

use crate::boundary::cross;
use crate::error::wrong_type;

/// Most steps of a mechanism that are looked at: more tell nothing more.
const SAMPLES_MAX: u32 = 1_000_000;

/// Most machines of a study.
const MACHINES_MAX: u32 = 10_000_000;

macro_rules! whole {
    ($($name:ident: $type:ty = $subject:literal, $least:expr, $most:expr;)*) => { $(
        #[doc = concat!("The ", $subject, " that `value` is.")]
        pub(crate) fn $name(value: &Bound<'_, PyAny>) -> PyResult<$type> {
            Whole::read(value, $subject, i128::from($least), i128::from($most))
        }
    )* };
}

whole! {
    places: u8 = "decimal places", 0, DECIMALS_MAX;
    denominator: u32 = "denominator", 1, FRACTION_DENOMINATOR_MAX;
    starts: u32 = "starts", 1, TEETH_MAX;
    teeth: u32 = "teeth", 1, TEETH_MAX;
    step_mode: u32 = "step mode", 1, 1 << 16;
    step: i64 = "step", -STEP_MAX, STEP_MAX;
    steps: i64 = "steps", i64::MIN, i64::MAX;
    timer_hz: Option<u64> = "timer rate in Hz", *TIMER_HZ.start(), *TIMER_HZ.end();
    edge_index: u64 = "index of an edge", 0, i64::MAX;
    edges: Option<u64> = "count of edges", 0, i64::MAX;
    chunk: u64 = "edges of a chunk", 1, i64::MAX;
    every: i128 = "marks from one that lands to the next", 1, i64::MAX;
    index: usize = "index", 0, i64::MAX;
    detents: i64 = "detents", i64::MIN, i64::MAX;
    dial_count: u32 = "count of the dial", 0, u32::MAX;
    missed: u32 = "changes missed", 0, u32::MAX;
    counts: i32 = "counts of the dial", i32::MIN, i32::MAX;
    deviation: i64 = "deviation of a search in steps", i64::MIN, i64::MAX;
    tick: u64 = "tick", 0, u64::MAX;
    tick_or_none: Option<u64> = "tick", 0, u64::MAX;
    ticks: u64 = "ticks", 0, u64::MAX;
    tally: u64 = "count", 0, u64::MAX;
    samples: u32 = "samples", 1, SAMPLES_MAX;
    machine: u64 = "number of a machine", 0, MACHINES_MAX - 1;
    machines: u64 = "machines", 1, MACHINES_MAX;
    seed: u64 = "seed", 0, u64::MAX;
    quantity: u32 = "quantity", 1, PARTS_MAX;
    stock_quantity: Option<u32> = "quantity", 1, STOCK_MAX;
    marks: Option<u32> = "count of marks", 1, MARKS_MAX;
}

/// A type of whole numbers, or none where one may be left out.
trait Whole: Sized {
    fn read(value: &Bound<'_, PyAny>, subject: &'static str, least: i128, most: i128) -> PyResult<Self>;
}

impl<T: Whole> Whole for Option<T> {
    fn read(value: &Bound<'_, PyAny>, subject: &'static str, least: i128, most: i128) -> PyResult<Self> {
        if value.is_none() { Ok(None) } else { T::read(value, subject, least, most).map(Some) }
    }
}

macro_rules! read_as {
    ($($type:ty),*) => { $(
        impl Whole for $type {
            fn read(
                value: &Bound<'_, PyAny>,
                subject: &'static str,
                least: i128,
                most: i128,
            ) -> PyResult<Self> {
                let given = given(value, subject)?;
                let refused = |given| {
                    Error::new(ErrorKind::OutOfRange, subject)
                        .given(given)
                        .between(Value::Integer(least), Value::Integer(most))
                };
                cross(value.py(), || match given {
                    Given::Number(number) if (least..=most).contains(&number) => {
                        Self::try_from(number).map_err(|_| refused(Value::Integer(number)))
                    }
                    Given::Number(number) => Err(refused(Value::Integer(number))),
                    Given::Huge(text) => Err(refused(Value::text(&text))),
                })
            }
        }
    )* };
}

read_as!(u8, u32, i32, u64, i64, usize, i128);

enum Given {
    Number(i128),
    /// A number of more than 128 bits, as text.
    Huge(String),
}

/// The whole number: an int, or what says by `__index__` that it is one. True and False are none.
fn given(value: &Bound<'_, PyAny>, subject: &'static str) -> PyResult<Given> {
    let wrong = || wrong_type(value, subject, "give a whole number");
    if value.is_instance_of::<PyBool>() {
        return Err(wrong());
    }
    let number = if value.is_instance_of::<PyInt>() {
        value.clone()
    } else {
        value.call_method0(intern!(value.py(), "__index__")).map_err(|_| wrong())?
    };
    if let Ok(number) = number.extract() {
        return Ok(Given::Number(number));
    }
    // Python writes no number of thousands of digits.
    let text = match number.str() {
        Ok(text) => text.to_string(),
        Err(_) => format!("{} bits", number.call_method0(intern!(value.py(), "bit_length"))?),
    };
    Ok(Given::Huge(text))
}
