//! An axis as Python sets it, in words.

use pyo3::prelude::*;
use pyo3::types::PyDict;
use wholestep::axis::{AxisConfig, Rates, SharedMechanism};
use wholestep::measure::Unit;
use wholestep::{Acceleration, Jerk, Speed};

use super::SharedAxis;
use crate::boundary::cross;
use crate::measure::{Class, given};
use crate::word::{approach, direction};

/// What a person sets about an axis, in words.
pub(super) struct Words<'a, 'py> {
    pub(super) low: Bound<'py, PyAny>,
    pub(super) high: Bound<'py, PyAny>,
    pub(super) speed: String,
    pub(super) acceleration: String,
    pub(super) unit: Option<&'a str>,
    pub(super) step_zero_at: Option<Bound<'py, PyAny>>,
    pub(super) deceleration: Option<String>,
    pub(super) jerk: Option<String>,
    pub(super) start_speed: Option<String>,
    pub(super) backlash: Option<Bound<'py, PyAny>>,
    pub(super) direction: &'a str,
    pub(super) approach: &'a str,
}

impl<'py> Words<'_, 'py> {
    pub(super) fn axis<M: Class>(
        &self,
        py: Python<'py>,
        mechanism: SharedMechanism<M>,
    ) -> PyResult<SharedAxis<M>> {
        let unit = self.unit.map(|unit| cross(py, || M::Unit::read(unit))).transpose()?;
        let measure = |value: &Bound<'py, PyAny>| given::<M>(value, unit);
        let or_nought = |value: &Option<Bound<'py, PyAny>>| value.as_ref().map_or(Ok(M::ZERO), measure);
        let rates = cross(py, || {
            let acceleration = Acceleration::read(&self.acceleration, unit)?;
            let (deceleration, jerk, start) =
                (self.deceleration.as_deref(), self.jerk.as_deref(), self.start_speed.as_deref());
            Ok(Rates {
                speed: Speed::read(&self.speed, unit)?,
                acceleration,
                deceleration: deceleration.map_or(Ok(acceleration), |text| Acceleration::read(text, unit))?,
                jerk: jerk.map(|text| Jerk::read(text, unit)).transpose()?,
                start_speed: start.map_or(Ok(Speed::ZERO), |text| Speed::read(text, unit))?,
            })
        })?;
        let settings = AxisConfig {
            unit: unit.unwrap_or(M::BASE),
            step_zero_at: or_nought(&self.step_zero_at)?,
            low: measure(&self.low)?,
            high: measure(&self.high)?,
            direction: direction(py, self.direction)?,
            approach: approach(py, self.approach)?,
            backlash: or_nought(&self.backlash)?,
            rates,
        };
        cross(py, || wholestep::Axis::new(mechanism, settings))
    }

    pub(super) fn keywords(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let keywords = PyDict::new(py);
        for (name, value) in [
            ("low", Some(&self.low)),
            ("high", Some(&self.high)),
            ("step_zero_at", self.step_zero_at.as_ref()),
            ("backlash", self.backlash.as_ref()),
        ] {
            if let Some(value) = value {
                keywords.set_item(name, value)?;
            }
        }
        for (name, word) in [
            ("speed", Some(&*self.speed)),
            ("acceleration", Some(&*self.acceleration)),
            ("unit", self.unit),
            ("deceleration", self.deceleration.as_deref()),
            ("jerk", self.jerk.as_deref()),
            ("start_speed", self.start_speed.as_deref()),
            ("direction", Some(self.direction)),
            ("approach", Some(self.approach)),
        ] {
            if let Some(word) = word {
                keywords.set_item(name, word)?;
            }
        }
        Ok(keywords)
    }
}
