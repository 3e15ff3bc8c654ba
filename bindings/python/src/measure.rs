//! Length and angle.

use std::hash::{DefaultHasher, Hash, Hasher};

use pyo3::IntoPyObjectExt;
use pyo3::basic::CompareOp;
use pyo3::prelude::*;
use pyo3::types::{PyInt, PyString};
use wholestep::error::Value;
use wholestep::measure::Unit;
use wholestep::{Enclosure, Error, ErrorKind, Exact, Measure, Placement, Result, Rounding};

use crate::boundary::cross;
use crate::error::wrong_type;
use crate::number::{fraction, fraction_of, number, quantity};
use crate::{whole, word};

/// What is a length or an angle, such as a placement.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Either<L, A> {
    Length(L),
    Angle(A),
}

/// A placement of either measure.
pub(crate) type Placed = Either<Placement<wholestep::Length>, Placement<wholestep::Angle>>;

/// The same for both measures.
macro_rules! either {
    ($value:expr, $name:pat => $body:expr) => {
        match $value {
            $crate::measure::Either::Length($name) => $body,
            $crate::measure::Either::Angle($name) => $body,
        }
    };
}
pub(crate) use either;

/// A measure with its Python class.
pub(crate) trait Class: Measure {
    /// The class's value, if `value` is of the class.
    fn of(value: &Bound<'_, PyAny>) -> Option<Self>;

    /// As a value of the class.
    fn object(self, py: Python<'_>) -> PyResult<Bound<'_, PyAny>>;

    /// What is of this measure, as one of either.
    fn bounds(bounds: Enclosure<Self>) -> Either<Enclosure<wholestep::Length>, Enclosure<wholestep::Angle>>;

    /// The bounds, if they are of this measure.
    fn of_bounds(enclosure: crate::enclosure::Enclosure) -> Option<Enclosure<Self>>;

    /// A placement of this measure, as one of either.
    fn placed(placed: Placement<Self>) -> Placed;

    /// The placement, if it is of this measure.
    fn placement(placed: &Placed) -> Option<&Placement<Self>>;
}

/// Whether it is text or a measure, of whichever sort, and not a number.
pub(crate) fn is_target(value: &Bound<'_, PyAny>) -> bool {
    value.is_instance_of::<PyString>() || value.is_instance_of::<Length>() || value.is_instance_of::<Angle>()
}

/// A measure given as text or as a value; a number without a unit is in the `declared` one.
pub(crate) fn given<M: Class>(value: &Bound<'_, PyAny>, declared: Option<M::Unit>) -> PyResult<M> {
    read(value, declared, declared)
}

/// A measure given as text or as a value, always with its unit; a float is answered with its spelling
/// in the `spoken` unit, which somebody declared for what it is given to.
pub(crate) fn asked<M: Class>(value: &Bound<'_, PyAny>, spoken: Option<M::Unit>) -> PyResult<M> {
    read(value, None, spoken)
}

fn read<M: Class>(
    value: &Bound<'_, PyAny>,
    declared: Option<M::Unit>,
    spoken: Option<M::Unit>,
) -> PyResult<M> {
    let py = value.py();
    if let Some(measure) = M::of(value) {
        return Ok(measure);
    }
    if let Ok(text) = value.cast::<PyString>() {
        let text = text.to_cow()?;
        return cross(py, || M::read(&text, declared));
    }
    // A unit is never guessed, not even in a suggestion.
    let spelled = |digits: &str, unit: Option<M::Unit>| match unit {
        Some(unit) => format!("\"{digits} {}\"", unit.symbol()),
        None => "as text with its unit".into(),
    };
    if let Some(number) = number(value, |digits| spelled(digits, spoken))? {
        return cross(py, || M::read(&number.to_string(), declared));
    }
    if wholestep::Length::of(value).is_some() || wholestep::Angle::of(value).is_some() {
        let given = value.str()?;
        let given = given.to_cow()?;
        return cross(py, || {
            Err(Error::new(ErrorKind::Unit, M::NAME).given(Value::text(&given)).spelling(M::EXAMPLES[0]))
        });
    }
    let wrong = || wrong_type(value, M::NAME, "give text with its unit, or a value of the class");
    let (magnitude, unit) = quantity(value)?.ok_or_else(wrong)?;
    let unit = cross(py, || M::Unit::read(&unit))?;
    let number = number(&magnitude, |digits| spelled(digits, Some(unit)))?.ok_or_else(wrong)?;
    cross(py, || M::new(number, unit))
}

/// A measure from the arguments of its class.
fn constructed<M: Class>(value: &Bound<'_, PyAny>, unit: Option<&str>) -> PyResult<M> {
    let unit = unit.map(|unit| cross(value.py(), || M::Unit::read(unit))).transpose()?;
    given(value, unit)
}

/// A hash that is the same in every process.
pub(crate) fn hash(value: impl Hash) -> u64 {
    let mut hasher = DefaultHasher::new();
    value.hash(&mut hasher);
    hasher.finish()
}

macro_rules! measure_class {
    ($(#[$doc:meta])* $class:ident, $base:literal, $example:literal, $rounded:literal, $formatted:literal) => {
        $(#[$doc])*
        #[pyclass(frozen, module = "wholestep")]
        #[derive(Clone, Copy)]
        pub(crate) struct $class(pub(crate) wholestep::$class);

        impl Class for wholestep::$class {
            fn of(value: &Bound<'_, PyAny>) -> Option<Self> {
                value.cast::<$class>().ok().map(|measure| measure.get().0)
            }

            fn object(self, py: Python<'_>) -> PyResult<Bound<'_, PyAny>> {
                $class(self).into_bound_py_any(py)
            }

            fn bounds(bounds: Enclosure<Self>) -> Either<Enclosure<wholestep::Length>, Enclosure<wholestep::Angle>> {
                Either::$class(bounds)
            }

            fn of_bounds(enclosure: crate::enclosure::Enclosure) -> Option<Enclosure<Self>> {
                match enclosure.0 {
                    Either::$class(bounds) => Some(bounds),
                    _ => None,
                }
            }

            fn placed(placed: Placement<Self>) -> Placed {
                Either::$class(placed)
            }

            fn placement(placed: &Placed) -> Option<&Placement<Self>> {
                match placed {
                    Either::$class(placed) => Some(placed),
                    _ => None,
                }
            }
        }

        #[pymethods]
        #[expect(clippy::wrong_self_convention, reason = "a Python class hands out references")]
        impl $class {
            #[new]
            #[pyo3(signature = (value, unit = None))]
            fn new(value: &Bound<'_, PyAny>, unit: Option<&str>) -> PyResult<Self> {
                constructed(value, unit).map(Self)
            }

            /// Zero.
            #[classattr]
            const ZERO: Self = Self(wholestep::$class::ZERO);

            /// The largest there is.
            #[classattr]
            const MAX: Self = Self(wholestep::$class::MAX);

            /// The exact number of units.
            ///
            #[doc = $example]
            fn value_in<'py>(&self, py: Python<'py>, unit: &str) -> PyResult<Bound<'py, PyAny>> {
                fraction(py, cross(py, || self.0.value_in(Unit::read(unit)?))?)
            }

            /// Written exactly in a unit: the decimal if it is short, otherwise the mixed number.
            /// It is read back as the same value.
            ///
            /// >>> wholestep.Length("18.25 mm").to_text("cm"), wholestep.Length("18.25 mm").to_text("in")
            /// ('1.825 cm', '365/508 in')
            fn to_text(&self, py: Python<'_>, unit: &str) -> PyResult<String> {
                cross(py, || Ok(self.0.to_text(Unit::read(unit)?).to_string()))
            }

            /// Written as the nearest fraction of a unit, with what is left.
            ///
            /// >>> wholestep.Length("0.72 in").fraction_in("in", 32)
            /// '23/32 in + 0.00125 in'
            fn fraction_in(
                &self,
                py: Python<'_>,
                unit: &str,
                #[pyo3(from_py_with = whole::denominator)] denominator: u32,
            ) -> PyResult<String> {
                cross(py, || Ok(self.0.fraction_in(Unit::read(unit)?, denominator)?.to_string()))
            }

            /// Written as a decimal of so many places, with ``≈`` in front if it is rounded.
            ///
            /// >>> wholestep.Length("15/32 in").decimal_in("mm", 4)
            /// '≈ 11.9062 mm'
            fn decimal_in(
                &self,
                py: Python<'_>,
                unit: &str,
                #[pyo3(from_py_with = whole::places)] places: u8,
            ) -> PyResult<String> {
                cross(py, || Ok(self.0.decimal_in(Unit::read(unit)?, places)?.to_string()))
            }

            /// The nearest whole multiple of a step, or the one below or above; a tie goes to the even one.
            ///
            #[doc = $rounded]
            #[pyo3(signature = (step, rounding = "nearest"))]
            fn rounded_to(&self, step: &Bound<'_, PyAny>, rounding: &str) -> PyResult<Self> {
                let (py, step) = (step.py(), asked(step, None)?);
                let rule = word::rounding(py, rounding)?;
                cross(py, || multiples(self.0, step, rule)).map(|(_, multiple)| Self(multiple))
            }

            /// The quantity of a `pint.UnitRegistry`, exactly, as a `Fraction` of the unit (without one, of
            #[doc = concat!("`", $base, "`). A quantity is read back by the class.")]
            #[pyo3(signature = (registry, unit = None))]
            fn to_pint<'py>(&self, registry: &Bound<'py, PyAny>, unit: Option<&str>) -> PyResult<Bound<'py, PyAny>> {
                let (py, unit) = (registry.py(), unit.unwrap_or($base));
                registry.call_method1("Quantity", (self.value_in(py, unit)?, unit))
            }

            fn __add__(&self, py: Python<'_>, other: PyRef<'_, Self>) -> PyResult<Self> {
                cross(py, || self.0.checked_add(other.0).map(Self))
            }

            /// `sum` begins with 0, which is no measure but adds nothing.
            fn __radd__<'py>(&self, other: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
                let py = other.py();
                match other.cast::<PyInt>() {
                    Ok(start) if start.as_any().eq(0)? => self.0.object(py),
                    _ => Ok(py.NotImplemented().into_bound(py)),
                }
            }

            /// How many times the divisor goes into it, rounded down.
            fn __floordiv__(&self, py: Python<'_>, divisor: PyRef<'_, Self>) -> PyResult<i128> {
                cross(py, || multiples(self.0, divisor.0, Rounding::Below)).map(|(count, _)| count)
            }

            /// What is left then, with the sign of the divisor.
            fn __mod__(&self, py: Python<'_>, divisor: PyRef<'_, Self>) -> PyResult<Self> {
                self.__divmod__(py, divisor).map(|(_, rest)| rest)
            }

            fn __divmod__(&self, py: Python<'_>, divisor: PyRef<'_, Self>) -> PyResult<(i128, Self)> {
                let (count, multiple) = cross(py, || multiples(self.0, divisor.0, Rounding::Below))?;
                cross(py, || self.0.checked_sub(multiple)).map(|rest| (count, Self(rest)))
            }

            /// Written as the specification says: `in` exactly, `.3 in` to three places, `1/64 in` as the
            /// nearest fraction.
            ///
            #[doc = $formatted]
            fn __format__(&self, py: Python<'_>, specification: &str) -> PyResult<String> {
                let unit = |text: &str| match text.trim() {
                    "" => Ok(Unit::BASE),
                    unit => Unit::read(unit),
                };
                cross(py, || {
                    Ok(match Written::read(specification)? {
                        Written::Exactly(text) => self.0.to_text(unit(text)?).to_string(),
                        Written::Places(places, text) => self.0.decimal_in(unit(text)?, places)?.to_string(),
                        Written::Parts(parts, text) => self.0.fraction_in(unit(text)?, parts)?.to_string(),
                    })
                })
            }

            fn __sub__(&self, py: Python<'_>, other: PyRef<'_, Self>) -> PyResult<Self> {
                cross(py, || self.0.checked_sub(other.0).map(Self))
            }

            fn __mul__<'py>(&self, factor: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
                scaled(self.0, factor, Ok)
            }

            fn __rmul__<'py>(&self, factor: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
                scaled(self.0, factor, Ok)
            }

            /// By a number, another measure; by a measure, the exact ratio.
            fn __truediv__<'py>(&self, divisor: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
                let py = divisor.py();
                match wholestep::$class::of(divisor) {
                    Some(divisor) => fraction(py, cross(py, || Ok(self.0.base().checked_div(divisor.base())?))?),
                    None => scaled(self.0, divisor, |divisor| Ok(Exact::ONE.checked_div(divisor)?)),
                }
            }

            fn __neg__(&self) -> Self {
                Self(-self.0)
            }

            fn __pos__(&self) -> Self {
                *self
            }

            fn __abs__(&self) -> Self {
                Self(self.0.abs())
            }

            fn __bool__(&self) -> bool {
                self.0 != wholestep::$class::ZERO
            }

            fn __richcmp__(&self, other: PyRef<'_, Self>, operator: CompareOp) -> bool {
                operator.matches(self.0.cmp(&other.0))
            }

            fn __hash__(&self) -> u64 {
                hash((wholestep::$class::NAME, self.0))
            }

            fn __str__(&self) -> String {
                self.0.to_string()
            }

            fn __repr__(&self) -> String {
                format!("{}('{}')", stringify!($class), self.0)
            }

            fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, (Bound<'py, PyAny>, &'static str))> {
                let class = py.get_type::<Self>().into_any();
                Ok((class, (fraction(py, self.0.base())?, $base)))
            }
        }
    };
}

measure_class! {
    /// An exact length.
    ///
    /// From text with its unit, from text without one and a unit, or from an exact number and a
    /// unit. A float is refused, for it is not exact. Lengths are compared, added, scaled by exact
    /// numbers and divided by one another; equal ones hash alike whatever unit they came in.
    ///
    /// Raises NotationError for a text that is none, MissingUnitError or UnitError for its unit,
    /// InexactNumberError for a float, and OutOfRangeError for what is larger or finer than the range holds.
    ///
    /// >>> from fractions import Fraction
    /// >>> panel = wholestep.Length("23/32 in")
    /// >>> panel == wholestep.Length(Fraction(23, 32), "in") == wholestep.Length("18.25625", "mm")
    /// True
    /// >>> 3 * panel + wholestep.Length("1/8 in")
    /// Length('57.94375 mm')
    /// >>> wholestep.Length(0.125, "in")
    /// Traceback (most recent call last):
    ///     ...
    /// wholestep.errors.InexactNumberError: binary float “0.125”: write it exactly: "0.125 in"
    Length, "mm",
    ">>> wholestep.Length(\"18.25 mm\").value_in(\"in\")\nFraction(365, 508)",
    ">>> wholestep.Length(\"18.25 mm\").rounded_to(\"1/64 in\").to_text(\"in\")\n'0.71875 in'",
    ">>> rail = wholestep.Length(\"18.25 mm\")\n>>> f\"{rail:in}, {rail:.3 in}, {rail:1/64 in}\"\n'365/508 in, ≈ 0.719 in, ≈ 23/32 in - 0.000246 in'"
}

measure_class! {
    /// An exact angle.
    ///
    /// From text with its unit, from text without one and a unit, or from an exact number and a
    /// unit. A float is refused, for it is not exact.
    ///
    /// Raises NotationError for a text that is none, MissingUnitError or UnitError for its unit,
    /// InexactNumberError for a float, and OutOfRangeError for what is larger or finer than the range holds.
    ///
    /// >>> bevel = wholestep.Angle("34°25'")
    /// >>> bevel == wholestep.Angle("34-5/12 deg")
    /// True
    /// >>> (90 * wholestep.Angle("1 deg") - bevel) / wholestep.Angle("1 arcmin")
    /// Fraction(3335, 1)
    Angle, "deg",
    ">>> wholestep.Angle(\"1/8 turn\").value_in(\"deg\")\nFraction(45, 1)",
    ">>> wholestep.Angle(\"22.7 deg\").rounded_to(\"0.5 deg\")\nAngle('22.5 deg')",
    ">>> f\"{wholestep.Angle('1/7 turn'):.2 deg}\"\n'≈ 51.43 deg'"
}

/// The whole number of times that `step` goes into `measure` by `rounding`, and that multiple of it.
fn multiples<M: Class>(measure: M, step: M, rounding: Rounding) -> Result<(i128, M)> {
    let count = measure.base().checked_div(step.base())?.round(rounding);
    Ok((count, step.checked_mul(Exact::new(count, 1)?)?))
}

/// What a format specification asks for, and its unit.
pub(crate) enum Written<'s> {
    Exactly(&'s str),
    Places(u8, &'s str),
    Parts(u32, &'s str),
}

impl<'s> Written<'s> {
    pub(crate) fn read(specification: &'s str) -> Result<Self> {
        let digits = |text: &'s str| {
            text.split_at(text.len() - text.trim_start_matches(|c: char| c.is_ascii_digit()).len())
        };
        let refused = || {
            Error::new(ErrorKind::Syntax, "format")
                .given(Value::text(specification))
                .spelling("in, .3 in or 1/64 in")
        };
        let text = specification.trim();
        if let Some(rest) = text.strip_prefix('.') {
            let (places, unit) = digits(rest);
            return Ok(Self::Places(places.parse().map_err(|_| refused())?, unit));
        }
        if let Some(rest) = text.strip_prefix("1/") {
            let (parts, unit) = digits(rest);
            return Ok(Self::Parts(parts.parse().map_err(|_| refused())?, unit));
        }
        if text.starts_with(|c: char| c.is_ascii_digit()) {
            return Err(refused());
        }
        Ok(Self::Exactly(text))
    }
}

/// `measure × what map makes of the factor`, if the factor is a number.
fn scaled<'py, M: Class>(
    measure: M,
    factor: &Bound<'py, PyAny>,
    map: impl FnOnce(Exact) -> Result<Exact>,
) -> PyResult<Bound<'py, PyAny>> {
    let py = factor.py();
    match number(factor, fraction_of)? {
        Some(factor) => cross(py, || measure.checked_mul(map(factor)?))?.object(py),
        // Otherwise pint would multiply, and make a unit of its own.
        None if quantity(factor)?.is_some() => {
            Err(wrong_type(factor, "factor", "give a number without a unit"))
        }
        None => Ok(py.NotImplemented().into_bound(py)),
    }
}
