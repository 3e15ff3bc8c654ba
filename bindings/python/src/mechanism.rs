//! A mechanism that is a Python object.

use std::ops::RangeInclusive;
use std::sync::{Mutex, OnceLock, PoisonError};

use pyo3::intern;
use pyo3::prelude::*;
use wholestep::axis::AnyMechanism;
use wholestep::error::Value;
use wholestep::mechanism::{StepSizes, Trend};
use wholestep::{Angle, Enclosure as Bounds, Error, ErrorKind, Length, Mechanism, Result, Width};

use crate::boundary::{cross, keep};
use crate::curved;
use crate::enclosure::Enclosure;
use crate::linear::Linear;
use crate::measure::{Class, Either};
use crate::number::fraction;

/// The mechanism that `object` is: one of the built-in ones, or any object with `span` and
/// `position_at`. What it measures is seen from where it stands at the first step of its span.
pub(crate) fn mechanism(object: &Bound<'_, PyAny>) -> PyResult<AnyMechanism> {
    if let Ok(linear) = object.cast::<Linear>() {
        return Ok(linear.get().mechanism());
    }
    if let Some(native) = curved::native(object) {
        return Ok(native);
    }
    let py = object.py();
    let name = object.get_type().name()?.to_string();
    let span = span(object, &name)?;
    let object = Object { object: object.clone().unbind(), name, span };
    match object.position_at(py, *object.span.start(), Width::COARSE)? {
        Some(Enclosure(Either::Length(_))) => Ok(AnyMechanism::length(Remembering::new(object))),
        Some(Enclosure(Either::Angle(_))) => Ok(AnyMechanism::angle(Remembering::new(object))),
        None => cross(py, || Err(object.wrong(*object.span.start(), WANTED))),
    }
}

const WANTED: &str = "return a Length or an Angle, or a pair of them with the lower bound first";

fn span(object: &Bound<'_, PyAny>, name: &str) -> PyResult<RangeInclusive<i64>> {
    let py = object.py();
    let missing = ["span", "position_at"]
        .into_iter()
        .find(|method| !object.getattr(*method).is_ok_and(|method| method.is_callable()));
    if let Some(missing) = missing {
        let error = Error::new(ErrorKind::Mechanism, "mechanism").given(Value::text(name));
        return cross(py, || {
            Err(error.advice(format!("give it the method {missing}; a mechanism has span and position_at")))
        });
    }
    let given = object.call_method0(intern!(py, "span"))?;
    if let Ok((first, last)) = given.extract::<(i64, i64)>() {
        return Ok(first..=last);
    }
    let error = Error::new(ErrorKind::Mechanism, "span of mechanism").given(Value::text(name));
    cross(py, || Err(error.remedy("return the first and the last step, two whole numbers")))
}

/// The object, asked anew each time.
struct Object {
    object: Py<PyAny>,
    /// The name of its class.
    name: String,
    span: RangeInclusive<i64>,
}

impl Object {
    /// Where it stands; `None` if it returned something else.
    fn position_at(&self, py: Python<'_>, step: i64, width: Width) -> PyResult<Option<Enclosure>> {
        let width = fraction(py, width.as_exact())?;
        let stands = self.object.bind(py).call_method1(intern!(py, "position_at"), (step, width))?;
        if let Ok(enclosure) = stands.cast::<Enclosure>() {
            return Ok(Some(*enclosure.get()));
        }
        let (low, high) = stands.extract().unwrap_or_else(|_| (stands.clone(), stands));
        if let (Some(low), Some(high)) = (Length::of(&low), Length::of(&high)) {
            return cross(py, || self.bounds(step, low, high)).map(|bounds| Some(Enclosure::of(bounds)));
        }
        if let (Some(low), Some(high)) = (Angle::of(&low), Angle::of(&high)) {
            return cross(py, || self.bounds(step, low, high)).map(|bounds| Some(Enclosure::of(bounds)));
        }
        Ok(None)
    }

    fn bounds<M: Class>(&self, step: i64, low: M, high: M) -> Result<Bounds<M>> {
        Bounds::new(low, high)
            .map_err(|_| self.wrong(step, "return the lower bound first; the bounds were crossed"))
    }

    fn wrong(&self, step: i64, advice: &str) -> Error {
        Error::new(ErrorKind::Mechanism, "position_at of mechanism")
            .given(Value::text(&self.name))
            .advice(format!("at step {step}: {advice}"))
    }
}

/// The object as a mechanism, with what need not be asked of it twice.
struct Remembering<M: Class> {
    asked: Asked<M>,
    trend: OnceLock<Trend>,
    sizes: Mutex<Option<(RangeInclusive<i64>, StepSizes<M>)>>,
}

impl<M: Class> Remembering<M> {
    fn new(object: Object) -> Self {
        Self {
            asked: Asked { object, measure: std::marker::PhantomData },
            trend: OnceLock::new(),
            sizes: Mutex::new(None),
        }
    }
}

/// The object as a mechanism.
struct Asked<M> {
    object: Object,
    measure: std::marker::PhantomData<M>,
}

impl<M: Class> Asked<M> {
    /// The travel of the finest and the coarsest step, if the object has a method that proves it.
    fn told_step_sizes(&self, steps: &RangeInclusive<i64>) -> Result<Option<StepSizes<M>>> {
        Python::attach(|py| {
            let object = self.object.object.bind(py);
            let Some(method) = object.getattr_opt(intern!(py, "step_sizes")).map_err(keep)? else {
                return Ok(None);
            };
            let told = method.call1((*steps.start(), *steps.end())).map_err(keep)?;
            let sizes = told.extract::<(Bound<'_, PyAny>, Bound<'_, PyAny>)>().ok();
            let sizes = sizes.and_then(|(finest, coarsest)| Some((M::of(&finest)?, M::of(&coarsest)?)));
            match sizes {
                Some((finest, coarsest)) if M::ZERO < finest && finest <= coarsest => {
                    Ok(Some(StepSizes { finest, coarsest, certified: true }))
                }
                _ => Err(Error::new(ErrorKind::Mechanism, "step_sizes of mechanism")
                    .given(Value::text(&self.object.name))
                    .remedy("return the finest and the coarsest travel of one step, both above 0")),
            }
        })
    }
}

impl<M: Class> Mechanism for Asked<M> {
    type Measure = M;

    fn span(&self) -> RangeInclusive<i64> {
        self.object.span.clone()
    }

    fn position_at(&self, step: i64, width: Width) -> Result<Bounds<M>> {
        Python::attach(|py| {
            let stands = self.object.position_at(py, step, width).map_err(keep)?;
            let bounds = stands.and_then(M::of_bounds).ok_or_else(|| self.object.wrong(step, WANTED))?;
            let apart = bounds.high().base().checked_sub(bounds.low().base())?;
            if apart > width.as_exact() {
                let advice = format!(
                    "return bounds no further apart than {}, the width that was asked for",
                    width.as_exact()
                );
                return Err(self.object.wrong(step, &advice));
            }
            Ok(bounds)
        })
    }
}

impl<M: Class> Mechanism for Remembering<M> {
    type Measure = M;

    fn span(&self) -> RangeInclusive<i64> {
        self.asked.span()
    }

    fn position_at(&self, step: i64, width: Width) -> Result<Bounds<M>> {
        self.asked.position_at(step, width)
    }

    fn trend(&self) -> Result<Trend> {
        // Not `get_or_init`: whoever waits there could hold the interpreter that the other needs.
        if let Some(trend) = self.trend.get() {
            return Ok(*trend);
        }
        let trend = self.asked.trend()?;
        Ok(*self.trend.get_or_init(|| trend))
    }

    fn step_sizes(&self, steps: RangeInclusive<i64>) -> Result<StepSizes<M>> {
        let known = self.sizes.lock().unwrap_or_else(PoisonError::into_inner).clone();
        if let Some((_, sizes)) = known.filter(|(of, _)| *of == steps) {
            return Ok(sizes);
        }
        let sizes = match self.asked.told_step_sizes(&steps)? {
            Some(sizes) => sizes,
            None => self.asked.step_sizes(steps.clone())?,
        };
        *self.sizes.lock().unwrap_or_else(PoisonError::into_inner) = Some((steps, sizes));
        Ok(sizes)
    }
}
