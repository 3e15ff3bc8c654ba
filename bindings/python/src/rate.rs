//! Speed, acceleration and jerk, along a line or about an axis.

use pyo3::basic::CompareOp;
use pyo3::prelude::*;
use pyo3::types::{PyInt, PyString};
use wholestep::error::Value;
use wholestep::measure::{Rate, Unit};
use wholestep::{Angle, Error, ErrorKind, Exact, Length, Measure, Result};

use crate::boundary::cross;
use crate::error::wrong_type;
use crate::measure::{Either, Written, either, hash};
use crate::number::{fraction, fraction_of, number};
use crate::whole;

/// A rate of either measure.
type OfEither<const ORDER: u32> = Either<Rate<Length, ORDER>, Rate<Angle, ORDER>>;

/// Reads a rate of either measure; a text that is neither is answered as the measure that it comes nearer to.
fn read<const ORDER: u32>(text: &str) -> Result<OfEither<ORDER>> {
    let length = match Rate::<Length, ORDER>::read(text, None) {
        Ok(rate) => return Ok(Either::Length(rate)),
        Err(error) => error,
    };
    match Rate::<Angle, ORDER>::read(text, None) {
        Ok(rate) => Ok(Either::Angle(rate)),
        // A unit of neither is one of angle no more than of length.
        Err(angle) => Err(if length.kind() == ErrorKind::Unit && is_of_angle(text) { angle } else { length }),
    }
}

/// Whether the unit before the solidus is one of angle.
fn is_of_angle(text: &str) -> bool {
    let unit = text
        .split('/')
        .rev()
        .nth(1)
        .unwrap_or(text)
        .trim_start_matches(|c: char| !c.is_alphabetic() && c != '°');
    <Angle as Measure>::Unit::read(unit.trim()).is_ok()
}

/// The rate that one of a unit such as `mm/s` is.
fn one<const ORDER: u32>(unit: &str) -> Result<OfEither<ORDER>> {
    read(&format!("1 {unit}")).map_err(|_| no_unit::<ORDER>(unit))
}

/// The refusal of a unit of another rate or another measure, or of none.
fn no_unit<const ORDER: u32>(unit: &str) -> Error {
    let spelling = match ORDER {
        1 => "mm/s or deg/s",
        2 => "mm/s² or deg/s²",
        _ => "mm/s³ or deg/s³",
    };
    Error::new(ErrorKind::Unit, "unit").given(Value::text(unit)).spelling(spelling)
}

/// The unit of length or angle in a unit such as `in/s`, which has to be per second.
fn along<M: Measure, const ORDER: u32>(unit: &str, rate: Rate<M, ORDER>) -> Result<M::Unit> {
    let found = M::Unit::read(unit.split('/').next().unwrap_or_default().trim())?;
    if rate.base() == found.in_base() {
        return Ok(found);
    }
    let given = Value::text(unit);
    Err(Error::new(ErrorKind::Unit, "unit").given(given).remedy("a rate is written per second; give it so"))
}

/// Both rates, if they are of one measure.
fn alike<const ORDER: u32>(one: OfEither<ORDER>, other: OfEither<ORDER>) -> Result<(Exact, Exact)> {
    match (one, other) {
        (Either::Length(one), Either::Length(other)) => Ok((one.base(), other.base())),
        (Either::Angle(one), Either::Angle(other)) => Ok((one.base(), other.base())),
        (_, other) => Err(Error::new(ErrorKind::Unit, Rate::<Length, ORDER>::NAME)
            .given(Value::text(&text(other)))
            .remedy("give one of the same measure")),
    }
}

fn text<const ORDER: u32>(rate: OfEither<ORDER>) -> String {
    either!(rate, rate => rate.to_string())
}

/// A rate of the same measure, of so many base units.
fn like<const ORDER: u32>(rate: OfEither<ORDER>, base: Exact) -> Result<OfEither<ORDER>> {
    Ok(match rate {
        Either::Length(_) => Either::Length(Rate::from_base(base)?),
        Either::Angle(_) => Either::Angle(Rate::from_base(base)?),
    })
}

fn base<const ORDER: u32>(rate: OfEither<ORDER>) -> Exact {
    either!(rate, rate => rate.base())
}

/// A rate from the arguments of its class.
fn constructed<const ORDER: u32>(value: &Bound<'_, PyAny>, unit: Option<&str>) -> PyResult<OfEither<ORDER>> {
    let py = value.py();
    let name = Rate::<Length, ORDER>::NAME;
    if let Ok(text) = value.cast::<PyString>() {
        let text = text.to_cow()?;
        return cross(py, || match unit {
            Some(unit) => with_unit(&Exact::read(&text)?, unit),
            None => read(&text),
        });
    }
    let spelled = |digits: &str| match unit {
        Some(unit) => format!("\"{digits} {unit}\""),
        None => "as text with its unit".into(),
    };
    match (number(value, spelled)?, unit) {
        (Some(number), Some(unit)) => cross(py, || with_unit(&number, unit)),
        (Some(number), None) => cross(py, || {
            let error = Error::new(ErrorKind::MissingUnit, name).given(Value::Exact(number));
            Err(error.remedy("give it as text with its unit, or with a unit beside it"))
        }),
        (None, _) => Err(wrong_type(value, name, "give text with its unit, or an exact number and a unit")),
    }
}

fn with_unit<const ORDER: u32>(number: &Exact, unit: &str) -> Result<OfEither<ORDER>> {
    let unit = one::<ORDER>(unit)?;
    like(unit, base(unit).checked_mul(*number)?)
}

/// The text of a rate given as text or as a value of its class.
pub(crate) fn written(value: &Bound<'_, PyAny>, name: &str) -> PyResult<String> {
    let is_rate = value.is_instance_of::<Speed>()
        || value.is_instance_of::<Acceleration>()
        || value.is_instance_of::<Jerk>();
    if is_rate || value.is_instance_of::<PyString>() {
        return value.str()?.extract();
    }
    Err(wrong_type(value, name, &format!("give text with its unit, or a {name} of the package")))
}

/// As [`written`], where it may be left out.
pub(crate) fn written_if_given(value: Option<&Bound<'_, PyAny>>, name: &str) -> PyResult<Option<String>> {
    value.map(|value| written(value, name)).transpose()
}

macro_rules! rate_class {
    ($(#[$doc:meta])* $class:ident, $order:literal, $per:literal) => {
        $(#[$doc])*
        #[pyclass(frozen, module = "wholestep")]
        #[derive(Clone, Copy)]
        pub(crate) struct $class(OfEither<$order>);

        impl $class {
            /// A rate of the core.
            pub(crate) fn of<M: crate::measure::Class>(rate: Rate<M, $order>) -> Self {
                let base = rate.base();
                // A rate in range stays in range.
                let length = || Rate::from_base(base).unwrap_or(Rate::ZERO);
                let angle = || Rate::from_base(base).unwrap_or(Rate::ZERO);
                Self(if M::NAME == Length::NAME { Either::Length(length()) } else { Either::Angle(angle()) })
            }
        }

        #[pymethods]
        #[expect(clippy::wrong_self_convention, reason = "a Python class hands out references")]
        impl $class {
            #[new]
            #[pyo3(signature = (value, unit = None))]
            fn new(value: &Bound<'_, PyAny>, unit: Option<&str>) -> PyResult<Self> {
                if let (Ok(rate), None) = (value.cast::<Self>(), unit) {
                    return Ok(*rate.get());
                }
                constructed(value, unit).map(Self)
            }

            /// The exact number of units, such as ``mm/s`` for a speed.
            ///
            /// Raises UnitError for a unit of another measure or another power of time.
            fn value_in<'py>(&self, py: Python<'py>, unit: &str) -> PyResult<Bound<'py, PyAny>> {
                fraction(py, cross(py, || {
                    let (value, unit) = alike(self.0, one(unit)?)?;
                    Ok(value.checked_div(unit)?)
                })?)
            }

            /// Written exactly in a unit: the decimal if it is short, otherwise the mixed number.
            /// It is read back as the same value.
            ///
            /// Raises UnitError for a unit of another measure or another power of time.
            fn to_text(&self, py: Python<'_>, unit: &str) -> PyResult<String> {
                self.__format__(py, unit)
            }

            /// Written as a decimal of so many places, with ``≈`` in front if it is rounded.
            ///
            /// Raises UnitError for a unit of another measure, and OutOfRangeError above 18 places.
            fn decimal_in(
                &self,
                py: Python<'_>,
                unit: &str,
                #[pyo3(from_py_with = whole::places)] places: u8,
            ) -> PyResult<String> {
                cross(py, || {
                    alike(self.0, one(unit)?)?;
                    either!(self.0, rate => Ok(rate.decimal_in(along(unit, one_like(rate, unit)?)?, places)?.to_string()))
                })
            }

            fn __add__(&self, py: Python<'_>, other: PyRef<'_, Self>) -> PyResult<Self> {
                cross(py, || {
                    let (one, other) = alike(self.0, other.0)?;
                    like(self.0, one.checked_add(other)?).map(Self)
                })
            }

            /// `sum` begins with 0, which is no rate but adds nothing.
            fn __radd__<'py>(slf: PyRef<'py, Self>, other: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
                let py = other.py();
                match other.cast::<PyInt>() {
                    Ok(start) if start.as_any().eq(0)? => Ok(slf.into_pyobject(py)?.into_any()),
                    _ => Ok(py.NotImplemented().into_bound(py)),
                }
            }

            /// Below zero there is no rate: the direction of a motion is not part of it.
            fn __sub__(&self, py: Python<'_>, other: PyRef<'_, Self>) -> PyResult<Self> {
                cross(py, || {
                    let (one, other) = alike(self.0, other.0)?;
                    like(self.0, one.checked_sub(other)?).map(Self)
                })
            }

            fn __mul__<'py>(&self, factor: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
                let py = factor.py();
                match number(factor, fraction_of)? {
                    Some(factor) => {
                        let product = cross(py, || like(self.0, base(self.0).checked_mul(factor)?))?;
                        Ok(Self(product).into_pyobject(py)?.into_any())
                    }
                    None => Ok(py.NotImplemented().into_bound(py)),
                }
            }

            fn __rmul__<'py>(&self, factor: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
                self.__mul__(factor)
            }

            /// By a number, another rate; by a rate, the exact ratio.
            fn __truediv__<'py>(&self, divisor: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
                let py = divisor.py();
                if let Ok(divisor) = divisor.cast::<Self>() {
                    return fraction(py, cross(py, || {
                        let (one, other) = alike(self.0, divisor.get().0)?;
                        Ok(one.checked_div(other)?)
                    })?);
                }
                match number(divisor, fraction_of)? {
                    Some(divisor) => {
                        let part = cross(py, || like(self.0, base(self.0).checked_div(divisor)?))?;
                        Ok(Self(part).into_pyobject(py)?.into_any())
                    }
                    None => Ok(py.NotImplemented().into_bound(py)),
                }
            }

            fn __bool__(&self) -> bool {
                base(self.0) != Exact::ZERO
            }

            /// Equal if of one measure and equal; in order only if of one measure.
            fn __richcmp__(&self, py: Python<'_>, other: PyRef<'_, Self>, operator: CompareOp) -> PyResult<bool> {
                match operator {
                    CompareOp::Eq => Ok(self.0 == other.0),
                    CompareOp::Ne => Ok(self.0 != other.0),
                    _ => cross(py, || alike(self.0, other.0)).map(|(one, other)| operator.matches(one.cmp(&other))),
                }
            }

            fn __hash__(&self) -> u64 {
                hash((stringify!($class), self.0))
            }

            /// Written as the specification says: `in/s` exactly, `.3 in/s` to three places, `1/64 in/s` as the
            /// nearest fraction.
            fn __format__(&self, py: Python<'_>, specification: &str) -> PyResult<String> {
                cross(py, || {
                    either!(self.0, rate => {
                        let unit = |unit: &str| match unit.trim() {
                            "" => Ok(Unit::BASE),
                            unit => along(unit, one_like(rate, unit)?),
                        };
                        Ok(match Written::read(specification)? {
                            Written::Exactly(text) => rate.to_text(unit(text)?).to_string(),
                            Written::Places(places, text) => rate.decimal_in(unit(text)?, places)?.to_string(),
                            Written::Parts(parts, text) => rate.fraction_in(unit(text)?, parts)?.to_string(),
                        })
                    })
                })
            }

            fn __str__(&self) -> String {
                text(self.0)
            }

            fn __repr__(&self) -> String {
                format!("{}('{}')", stringify!($class), text(self.0))
            }

            fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, (Bound<'py, PyAny>, &'static str))> {
                let class = py.get_type::<Self>().into_any();
                let unit = match self.0 {
                    Either::Length(_) => concat!("mm", $per),
                    Either::Angle(_) => concat!("deg", $per),
                };
                Ok((class, (fraction(py, base(self.0))?, unit)))
            }
        }
    };
}

/// One of a unit, as a rate of the measure that `_rate` is of.
fn one_like<M: Measure, const ORDER: u32>(_rate: Rate<M, ORDER>, unit: &str) -> Result<Rate<M, ORDER>> {
    Rate::read(&format!("1 {unit}"), None).map_err(|_| no_unit::<ORDER>(unit))
}

rate_class! {
    /// An exact speed, along a line or about an axis; never negative.
    ///
    /// From text with its unit, or from an exact number and a unit. A float is refused, for it is not exact.
    /// Speeds of one measure are compared, added, scaled by exact numbers and divided by one another.
    ///
    /// Raises NotationError, UnitError, MissingUnitError, InexactNumberError or OutOfRangeError.
    ///
    /// >>> feed = wholestep.Speed("300 mm/min")
    /// >>> feed == wholestep.Speed(5, "mm/s"), 2 * feed, feed / wholestep.Speed("1 in/s")
    /// (True, Speed('10 mm/s'), Fraction(25, 127))
    /// >>> f"{feed:.2 in/s}", wholestep.Speed("2 rev/min").to_text("deg/s")
    /// ('≈ 0.20 in/s', '12 deg/s')
    Speed, 1, "/s"
}

rate_class! {
    /// An exact acceleration, along a line or about an axis; never negative.
    ///
    /// From text with its unit, or from an exact number and a unit, as a speed is.
    ///
    /// Raises NotationError, UnitError, MissingUnitError, InexactNumberError or OutOfRangeError.
    ///
    /// >>> wholestep.Acceleration("4 in/s²").value_in("mm/s²")
    /// Fraction(508, 5)
    Acceleration, 2, "/s²"
}

rate_class! {
    /// An exact jerk, along a line or about an axis; never negative.
    ///
    /// From text with its unit, or from an exact number and a unit, as a speed is.
    ///
    /// Raises NotationError, UnitError, MissingUnitError, InexactNumberError or OutOfRangeError.
    ///
    /// >>> wholestep.Jerk("1000 mm/s³") - wholestep.Jerk("1/2", "m/s³")
    /// Jerk('500 mm/s³')
    Jerk, 3, "/s³"
}
