//! An axis: a mechanism with a datum, soft limits, an approach side and rates.

mod targets;
mod words;

use std::path::PathBuf;
use std::sync::Arc;

use pyo3::IntoPyObjectExt;
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyByteArray, PyBytes, PyDict, PyString, PyTuple, PyType};
use wholestep::axis::{AnyAxis, AnyMechanism, SharedMechanism};
use wholestep::error::Value;
use wholestep::measure::Unit;
use wholestep::mechanism::Trend;
use wholestep::{Error, ErrorKind, Exact, Measure, Rounding, exact};
use wholestep_files::{AxisFile, Document};

use crate::boundary::cross;
use crate::buffer::Given;
use crate::error::wrong_type;
use crate::grid_fit::GridFit;
use crate::measure::{Angle, Class, Either, Length, Placed, asked, either, hash};
use crate::number::exact;
use crate::placement::{Placement, named};
use crate::plan::{Plan, Request};
use crate::rate;
use crate::registry::registry;
use crate::travel_check::TravelCheck;
use crate::whole;
pub(crate) use targets::placed;
use targets::{objects, steps};
use words::Words;

/// A mechanism with everything that makes it an axis of a machine: datum, soft limits, direction,
/// approach side, backlash and rates.
///
/// Read from a file by :meth:`load`, or made of a mechanism: one of :class:`Linear`, or any object
/// with ``span`` and ``position_at``.
///
/// >>> screw = wholestep.Linear.lead_screw_by_pitch(wholestep.DriveTrain("1.8 deg", "1/16"), "2 mm", 4)
/// >>> axis = wholestep.Axis(screw, low="0 mm", high="600 mm", speed="40 mm/s", acceleration="200 mm/s²")
/// >>> placed = axis.place("333.3333 mm")
/// >>> placed.step, placed.remainder.low
/// (133333, Length('-0.0008 mm'))
/// >>> axis.place("601 mm")
/// Traceback (most recent call last):
///     ...
/// wholestep.errors.BeyondLimitError: target past a soft limit 601 mm: too far by 1 mm; 0 mm to 600 mm is allowed
#[pyclass(frozen, module = "wholestep")]
pub(crate) struct Axis {
    axis: AnyAxis,
    file: Option<Arc<AxisFile>>,
    /// Its unit, if somebody declared one.
    declared: Option<&'static str>,
    /// What it was made of: a mechanism, or the text of its file.
    source: Py<PyAny>,
    /// What makes the axis again.
    made: Py<PyAny>,
}

/// The same for axes of either measure.
macro_rules! along {
    ($axis:expr, $name:ident => $body:expr) => {
        match &$axis {
            AnyAxis::Length($name) => $body,
            AnyAxis::Angle($name) => $body,
        }
    };
}

use along;

type SharedAxis<M> = wholestep::Axis<SharedMechanism<M>>;

#[pymethods]
impl Axis {
    /// The class for annotations, such as ``Axis[Length]``.
    #[classmethod]
    fn __class_getitem__<'py>(
        class: &Bound<'py, PyType>,
        measure: Bound<'py, PyAny>,
    ) -> PyResult<Bound<'py, PyAny>> {
        class.py().import("types")?.getattr("GenericAlias")?.call1((class, measure))
    }

    #[new]
    #[pyo3(signature = (
        mechanism, *, low, high, speed, acceleration, unit = None, step_zero_at = None, deceleration = None,
        jerk = None, start_speed = None, backlash = None, direction = "normal", approach = "either",
    ))]
    #[expect(clippy::too_many_arguments, reason = "they have names in Python")]
    fn new(
        mechanism: &Bound<'_, PyAny>,
        low: Bound<'_, PyAny>,
        high: Bound<'_, PyAny>,
        speed: Bound<'_, PyAny>,
        acceleration: Bound<'_, PyAny>,
        unit: Option<&str>,
        step_zero_at: Option<Bound<'_, PyAny>>,
        deceleration: Option<Bound<'_, PyAny>>,
        jerk: Option<Bound<'_, PyAny>>,
        start_speed: Option<Bound<'_, PyAny>>,
        backlash: Option<Bound<'_, PyAny>>,
        direction: &str,
        approach: &str,
    ) -> PyResult<Self> {
        let py = mechanism.py();
        let words = Words {
            low,
            high,
            speed: rate::written(&speed, "speed")?,
            acceleration: rate::written(&acceleration, "acceleration")?,
            unit,
            step_zero_at,
            deceleration: rate::written_if_given(deceleration.as_ref(), "acceleration")?,
            jerk: rate::written_if_given(jerk.as_ref(), "jerk")?,
            start_speed: rate::written_if_given(start_speed.as_ref(), "speed")?,
            backlash,
            direction,
            approach,
        };
        let axis = match crate::mechanism::mechanism(mechanism)? {
            AnyMechanism::Length(mechanism) => AnyAxis::Length(words.axis(py, mechanism)?),
            AnyMechanism::Angle(mechanism) => AnyAxis::Angle(words.axis(py, mechanism)?),
        };
        let made = partial(py, py.get_type::<Self>().as_any(), (mechanism,), Some(&words.keywords(py)?))?;
        let declared = words.unit.map(|_| along!(axis, axis => axis.unit().symbol()));
        Ok(Self { axis, file: None, declared, source: mechanism.clone().unbind(), made })
    }

    /// The axis in a file.
    ///
    /// Kinds of mechanism are the built-in ones, those registered, and those that installed
    /// packages offer. ``measure`` is Length or Angle if the axis has to measure that, which type checkers
    /// then know.
    ///
    /// Raises OSError for a file that cannot be read, UnitError for an axis of the other measure, and a
    /// WholestepError that names line and key for a file that is wrong.
    #[staticmethod]
    #[pyo3(signature = (path, measure = None))]
    fn load(py: Python<'_>, path: PathBuf, measure: Option<&Bound<'_, PyAny>>) -> PyResult<Self> {
        Self::read(py, &cross(py, || Document::load(&path))?)?.of_measure(py, measure)
    }

    /// The axis in the text of a file; ``measure`` as for ``load``.
    ///
    /// Raises UnitError for an axis of the other measure, and a WholestepError that names line and key for a text
    /// that is wrong.
    #[staticmethod]
    #[pyo3(signature = (text, measure = None))]
    fn from_toml(py: Python<'_>, text: &str, measure: Option<&Bound<'_, PyAny>>) -> PyResult<Self> {
        Self::read(py, &cross(py, || Document::from_toml(text))?)?.of_measure(py, measure)
    }

    /// What in its file works but looks wrong, each with its line; empty without a file.
    #[getter]
    fn cautions(&self) -> Vec<String> {
        self.file.iter().flat_map(|file| file.cautions()).map(ToString::to_string).collect()
    }

    /// The name in its file.
    #[getter]
    pub(crate) fn name(&self) -> Option<&str> {
        self.file.as_ref().map(|file| file.name())
    }

    /// The kind of mechanism in its file.
    #[getter]
    fn kind(&self) -> Option<&str> {
        self.file.as_ref().map(|file| file.kind())
    }

    /// The mechanism of its file in words, such as ``lead screw: pitch 3 mm, starts 1``.
    #[getter]
    fn description(&self) -> Option<&str> {
        self.file.as_ref().map(|file| file.description())
    }

    /// The timer's rate in its file, in Hz.
    #[getter]
    fn timer_hz(&self) -> Option<u64> {
        self.file.as_ref().map(|file| file.pulse().timer_hz)
    }

    /// The unit in which it speaks to people.
    #[getter]
    fn unit(&self) -> &'static str {
        along!(self.axis, axis => axis.unit().symbol())
    }

    /// The low soft limit, from the datum.
    #[getter]
    fn low<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        along!(self.axis, axis => axis.config().low.object(py))
    }

    /// The high soft limit, from the datum.
    #[getter]
    fn high<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        along!(self.axis, axis => axis.config().high.object(py))
    }

    /// Where step 0 stands on the axis's scale.
    #[getter]
    fn step_zero_at<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        along!(self.axis, axis => axis.config().step_zero_at.object(py))
    }

    /// The temporary zero, from the datum; zero if none is set.
    #[getter]
    fn zero<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        along!(self.axis, axis => axis.zero().object(py))
    }

    /// The lost motion of the drive, which an approach from one side takes up.
    #[getter]
    fn backlash<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        along!(self.axis, axis => axis.config().backlash.object(py))
    }

    /// From which side a target is approached: ``either``, ``from_below`` or ``from_above``.
    #[getter]
    fn approach(&self) -> &'static str {
        along!(self.axis, axis => axis.config().approach.name())
    }

    /// Which way the motor turns: ``normal`` or ``reversed``.
    #[getter]
    fn direction(&self) -> &'static str {
        along!(self.axis, axis => axis.config().direction.name())
    }

    /// The highest speed.
    #[getter]
    fn speed(&self) -> rate::Speed {
        along!(self.axis, axis => rate::Speed::of(axis.config().rates.speed))
    }

    /// The highest acceleration.
    #[getter]
    fn acceleration(&self) -> rate::Acceleration {
        along!(self.axis, axis => rate::Acceleration::of(axis.config().rates.acceleration))
    }

    /// The highest deceleration.
    #[getter]
    fn deceleration(&self) -> rate::Acceleration {
        along!(self.axis, axis => rate::Acceleration::of(axis.config().rates.deceleration))
    }

    /// The highest jerk; without one, moves are not jerk-limited.
    #[getter]
    fn jerk(&self) -> Option<rate::Jerk> {
        along!(self.axis, axis => axis.config().rates.jerk.map(rate::Jerk::of))
    }

    /// A speed that the motor can take at once.
    #[getter]
    fn start_speed(&self) -> rate::Speed {
        along!(self.axis, axis => rate::Speed::of(axis.config().rates.start_speed))
    }

    /// Whether positions rise with the step number.
    #[getter]
    fn is_rising(&self) -> bool {
        along!(self.axis, axis => axis.trend() == Trend::Rising)
    }

    /// The step allowed lowest by measure.
    #[getter]
    fn lowest_step(&self) -> i64 {
        along!(self.axis, axis => axis.lowest_step())
    }

    /// The step allowed highest by measure.
    #[getter]
    fn highest_step(&self) -> i64 {
        along!(self.axis, axis => axis.highest_step())
    }

    /// Round a target once, to one of the steps that the soft limits allow.
    ///
    /// ``rounding`` is ``"nearest"`` (of two equally near, the even step), ``"below"`` or
    /// ``"above"``, by measure. Where the bounds of a curved mechanism cannot tell the step, the
    /// placement is not ``is_decided``; with ``strict`` that is an error.
    ///
    /// Raises NotationError or UnitError for a target that is no measure of this axis, BeyondLimitError
    /// past a soft limit, and UndecidedError if ``strict`` and the bounds do not tell the step apart.
    #[pyo3(signature = (target, rounding = "nearest", strict = false))]
    fn place(
        slf: &Bound<'_, Self>,
        target: &Bound<'_, PyAny>,
        rounding: &str,
        strict: bool,
    ) -> PyResult<Placement> {
        let rule = crate::word::rounding(slf.py(), rounding)?;
        placed(slf, target, rule, strict)
    }

    /// Compare a travel that a person measured with the one that the file says, both as numbers of the
    /// same unit, to within ``tolerance``, a fraction of either: 1/50 suits a travel measured with a rule.
    /// If they differ, single figures of the file that would explain it are named.
    ///
    /// Raises ZeroDenominatorError for an expected travel of 0.
    ///
    /// >>> lift = wholestep.Axis.load("examples/axes/router_lift.toml")
    /// >>> check = lift.check_travel(10, 20)
    /// >>> check.agrees, check.ratio
    /// (False, Fraction(2, 1))
    /// >>> check.explanations[0]
    /// ('step_mode', '1/8', '1/4')
    #[pyo3(signature = (expected, measured, tolerance = None))]
    fn check_travel(
        &self,
        expected: &Bound<'_, PyAny>,
        measured: &Bound<'_, PyAny>,
        tolerance: Option<&Bound<'_, PyAny>>,
    ) -> PyResult<TravelCheck> {
        let (py, tolerance) = (expected.py(), tolerance.map(exact).transpose()?);
        let (expected, measured) = (exact(expected)?, exact(measured)?);
        cross(py, || {
            let tolerance = tolerance.unwrap_or(exact!(1 / 50));
            let Some(file) = &self.file else {
                return Err(Error::new(ErrorKind::Key, "axis without a file")
                    .remedy("load the axis from a file; a travel is compared with its figures"));
            };
            Ok(file.check_travel(expected, measured, tolerance)?.into())
        })
    }

    /// Place many targets.
    ///
    /// Of an iterable of targets, the placements. Of a buffer of whole numbers in one dimension, each
    /// of which counts ``1/denominator`` of a ``unit``, only the steps: a read-only memoryview of
    /// 64-bit integers, which numpy views without copying. There a step that cannot be decided is an
    /// error. The numbers may be of 8 to 64 bits, with or without a sign, in either order of bytes.
    /// Other Python threads run meanwhile, and Ctrl-C ends it.
    ///
    /// Raises what ``place`` raises for the first target that is refused, and ArgumentTypeError for a
    /// buffer of anything but whole numbers.
    ///
    /// >>> from array import array
    /// >>> screw = wholestep.Linear.lead_screw_by_lead(wholestep.DriveTrain("1.8 deg", "1/16"), "8 mm")
    /// >>> axis = wholestep.Axis(screw, low="0 in", high="20 in", speed="1 in/s", acceleration="3 in/s²")
    /// >>> [placed.step for placed in axis.place_many(["1/64 in", "1/32 in"])]
    /// [159, 318]
    /// >>> axis.place_many(array("q", [1, 2, 640]), denominator=64, unit="in").tolist()
    /// [159, 318, 101600]
    #[pyo3(signature = (targets, rounding = "nearest", strict = false, *, denominator = None, unit = None))]
    fn place_many<'py>(
        slf: &Bound<'py, Self>,
        targets: &Bound<'py, PyAny>,
        rounding: &str,
        strict: bool,
        denominator: Option<&Bound<'py, PyAny>>,
        unit: Option<&str>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let py = slf.py();
        let rule = crate::word::rounding(py, rounding)?;
        let Some(unit) = unit else {
            if denominator.is_some() {
                return Err(PyTypeError::new_err(
                    "give the unit of the whole numbers beside their denominator",
                ));
            }
            if [
                targets.is_instance_of::<PyString>(),
                targets.is_instance_of::<PyBytes>(),
                targets.is_instance_of::<PyByteArray>(),
            ]
            .contains(&true)
            {
                return Err(wrong_type(
                    targets,
                    "targets",
                    "give a list of targets; place takes a single one",
                ));
            }
            return along!(slf.get().axis, axis => Ok(objects(slf, axis, targets, rule, strict)?.into_any()));
        };
        let counts = Given::of(targets)?;
        let denominator = denominator.map_or(Ok(Exact::ONE), crate::number::exact)?;
        along!(slf.get().axis, axis => steps(py, axis, &counts, denominator, unit, rule))
    }

    /// Go by a distance from where a placement was asked to stand.
    ///
    /// Counted from its exact target and not from its step, so that any number of distances adds up
    /// without drift. A placement of another machine is refused.
    ///
    /// Raises OtherAxisError for a placement of another machine, and what ``place`` raises.
    #[pyo3(signature = (placement, distance, rounding = "nearest"))]
    fn place_by(
        slf: &Bound<'_, Self>,
        placement: &Bound<'_, Placement>,
        distance: &Bound<'_, PyAny>,
        rounding: &str,
    ) -> PyResult<Placement> {
        let (py, rule) = (slf.py(), crate::word::rounding(slf.py(), rounding)?);
        slf.get().check(py, placement.get())?;
        let from = &placement.get().placed;
        let placed = along!(slf.get().axis, axis => {
            let spoken = slf.get().spoken::<_>(axis.unit());
            let (from, distance) = (Class::placement(from).ok_or_else(other_measure)?, asked(distance, spoken)?);
            Class::placed(cross(py, || axis.place_by(from, distance, rule))?)
        });
        Ok(Placement::new(placed, slf.clone().unbind(), Some(rule)))
    }

    /// Where the carriage stands at a step, which may lie outside the soft limits.
    ///
    /// Its target is that position, rounded to 1e-12 of a millimetre or degree unless it is exact.
    ///
    /// Raises OutOfRangeError for a step off the span.
    fn at_step(slf: &Bound<'_, Self>, #[pyo3(from_py_with = whole::step)] step: i64) -> PyResult<Placement> {
        let placed = along!(slf.get().axis, axis => Class::placed(cross(slf.py(), || axis.at_step(step))?));
        Ok(Placement::new(placed, slf.clone().unbind(), None))
    }

    /// The same axis measured so that ``step`` stands at ``position``.
    ///
    /// After a change of cutter one touch-off that only measures gives the step of first contact, and
    /// the height of the gauge is its position: heights recorded from the cutter stay valid, and so do
    /// datum and soft limits. Unless it is exact, the zero is rounded to 1e-12 of a millimetre or degree.
    ///
    /// Raises OutOfRangeError for a step off the span, and NotationError or UnitError for a position that
    /// is no measure of this axis.
    ///
    /// >>> lift = wholestep.Axis.load("examples/axes/router_lift.toml")
    /// >>> contact_step = lift.place("8 mm").step
    /// >>> lift.with_step_at(contact_step, "12.7 mm").zero.decimal_in("mm", 2)
    /// '≈ -4.70 mm'
    fn with_step_at(
        slf: &Bound<'_, Self>,
        #[pyo3(from_py_with = whole::step)] step: i64,
        position: &Bound<'_, PyAny>,
    ) -> PyResult<Self> {
        let zero = along!(&slf.get().axis, axis => {
            let position = asked(position, slf.get().spoken(axis.unit()))?;
            cross(slf.py(), || Ok(axis.clone().with_step_at(step, position)?.zero()))?.object(slf.py())?
        });
        Self::with_zero(slf, &zero)
    }

    /// The same axis measured from a temporary zero, itself measured from the datum.
    ///
    /// Targets and positions are then relative to the zero; datum, soft limits and step numbers
    /// stay as they are.
    ///
    /// Raises NotationError or UnitError for a zero that is no measure of this axis.
    fn with_zero(slf: &Bound<'_, Self>, zero: &Bound<'_, PyAny>) -> PyResult<Self> {
        let py = slf.py();
        let (axis, zero) = match &slf.get().axis {
            AnyAxis::Length(axis) => {
                measured_from(slf.get(), axis, zero).map(|(axis, zero)| (AnyAxis::Length(axis), zero))?
            }
            AnyAxis::Angle(axis) => {
                measured_from(slf.get(), axis, zero).map(|(axis, zero)| (AnyAxis::Angle(axis), zero))?
            }
        };
        let made = partial(py, &py.get_type::<Self>().getattr("with_zero")?, (slf, zero), None)?;
        let Self { file, declared, source, .. } = slf.get();
        Ok(Self { axis, file: file.clone(), declared: *declared, source: source.clone_ref(py), made })
    }

    /// Which marks of a grid, one every ``grid``, it holds exactly; ``None`` if its steps are
    /// not uniform.
    ///
    /// Raises NotationError or UnitError for a grid that is no measure of this axis, and OutOfRangeError
    /// for one of 0 or less.
    ///
    /// >>> screw = wholestep.Linear.lead_screw_by_lead(wholestep.DriveTrain("1.8 deg", "1/16"), "8 mm")
    /// >>> axis = wholestep.Axis(screw, low="0 mm", high="600 mm", speed="40 mm/s", acceleration="200 mm/s²")
    /// >>> fit = axis.grid_fit("1/64 in")
    /// >>> fit.every, fit.worst
    /// (4, Length('0.00125 mm'))
    fn grid_fit(&self, grid: &Bound<'_, PyAny>) -> PyResult<Option<GridFit>> {
        Ok(match &self.axis {
            AnyAxis::Length(axis) => held(self, axis, grid)?.map(|marks| GridFit(Either::Length(marks))),
            AnyAxis::Angle(axis) => held(self, axis, grid)?.map(|marks| GridFit(Either::Angle(marks))),
        })
    }

    /// Plan the move from one place to another, each a target or a placement.
    ///
    /// The timer and the pulses are those of the axis's file unless they are given; without a file,
    /// ``timer_hz`` must be, and pulses are a tick each at least. ``speed`` slows this one move.
    /// ``arrived`` is the side from which the start was reached, which decides whether backlash
    /// must be taken up; ``either`` if it is not known.
    ///
    /// Raises PlanError for a move that the timer or the pulses cannot make, OtherAxisError for a placement
    /// of another machine, and what ``place`` raises for a target.
    ///
    /// >>> screw = wholestep.Linear.lead_screw_by_lead(wholestep.DriveTrain("1.8 deg", "1/16"), "8 mm")
    /// >>> axis = wholestep.Axis(screw, low="0 mm", high="600 mm", speed="40 mm/s", acceleration="200 mm/s²")
    /// >>> plan = axis.plan("0 mm", "300 mm", timer_hz=1_000_000)
    /// >>> plan.steps, plan.ticks, plan.duration
    /// (120000, 7700000, Fraction(77, 10))
    #[pyo3(signature = (
        start, to, *, timer_hz = None, speed = None, arrived = "either", direction_setup = None,
        pulse_high = None, pulse_low = None,
    ))]
    #[expect(clippy::too_many_arguments, reason = "they have names in Python")]
    fn plan(
        slf: &Bound<'_, Self>,
        start: &Bound<'_, PyAny>,
        to: &Bound<'_, PyAny>,
        #[pyo3(from_py_with = whole::timer_hz)] timer_hz: Option<u64>,
        speed: Option<Bound<'_, PyAny>>,
        arrived: &str,
        direction_setup: Option<&str>,
        pulse_high: Option<&str>,
        pulse_low: Option<&str>,
    ) -> PyResult<Plan> {
        let ends = [start, to].map(|end| match end.cast::<Placement>() {
            Ok(placement) => Ok(placement.clone()),
            Err(_) => Bound::new(slf.py(), placed(slf, end, Rounding::Nearest, false)?),
        });
        let [start, to] = ends;
        let speed = rate::written_if_given(speed.as_ref(), "speed")?;
        let speed = speed.as_deref();
        let request = Request { timer_hz, speed, arrived, direction_setup, pulse_high, pulse_low };
        request.plan(slf, start?, to?)
    }

    fn __repr__(&self) -> String {
        let name = self.file.as_ref().map(|file| format!(" {:?}", file.name())).unwrap_or_default();
        along!(self.axis, axis => {
            let settings = axis.config();
            format!(
                "<Axis{name} from {} to {}>",
                settings.low.to_text(settings.unit),
                settings.high.to_text(settings.unit),
            )
        })
    }

    /// Equal are axes of the same content: limits, rates and zero, and the same mechanism or file,
    /// but for comments and layout.
    fn __eq__(&self, py: Python<'_>, other: &Self) -> PyResult<bool> {
        let same = match (&self.axis, &other.axis) {
            (AnyAxis::Length(one), AnyAxis::Length(other)) => same_settings(one, other),
            (AnyAxis::Angle(one), AnyAxis::Angle(other)) => same_settings(one, other),
            _ => false,
        };
        let (source, others) = (self.source.bind(py), other.source.bind(py));
        if !same || self.file.is_some() != other.file.is_some() {
            return Ok(false);
        }
        if source.eq(others)? || self.file.is_none() {
            return source.eq(others);
        }
        let parse = py.import("tomllib")?.getattr("loads")?;
        parse.call1((source,))?.eq(parse.call1((others,))?)
    }

    fn __hash__(&self) -> u64 {
        along!(self.axis, axis => hash((axis.config().low, axis.config().high, axis.zero())))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> (Py<PyAny>, Bound<'py, PyTuple>) {
        (self.made.clone_ref(py), PyTuple::empty(py))
    }
}

impl Axis {
    fn read(py: Python<'_>, document: &Document) -> PyResult<Self> {
        let registry = registry(py)?;
        let file = cross(py, || AxisFile::from_document(document, &registry))?;
        let from_toml = py.get_type::<Self>().getattr("from_toml")?;
        let made = partial(py, &from_toml, (document.text(),), None)?;
        let axis = file.axis().clone();
        let declared = cross(py, || document.root().optional::<String>("unit"))?;
        let declared = declared.map(|_| along!(axis, axis => axis.unit().symbol()));
        let source = document.text().into_py_any(py)?;
        Ok(Self { axis, file: Some(Arc::new(file)), declared, source, made })
    }

    /// The axis, if it is of the measure that was asked for.
    fn of_measure(self, py: Python<'_>, measure: Option<&Bound<'_, PyAny>>) -> PyResult<Self> {
        let Some(measure) = measure else { return Ok(self) };
        let (own, other, asked) = match &self.axis {
            AnyAxis::Length(_) => (py.get_type::<Length>(), py.get_type::<Angle>(), "Length"),
            AnyAxis::Angle(_) => (py.get_type::<Angle>(), py.get_type::<Length>(), "Angle"),
        };
        if measure.is(&own) {
            return Ok(self);
        }
        if !measure.is(&other) {
            return Err(wrong_type(measure, "measure of an axis", "give Length or Angle"));
        }
        let given = Value::text(self.name().unwrap_or_default());
        cross(py, || {
            let error = Error::new(ErrorKind::Unit, "axis of the other measure").given(given);
            Err(error.advice(format!(
                "its unit is {}; ask for {asked}",
                along!(self.axis, axis => axis.unit().symbol())
            )))
        })
    }

    /// The axis of a file that is read already.
    pub(crate) fn of_file(py: Python<'_>, file: &AxisFile) -> PyResult<Self> {
        Self::read(py, &cross(py, || Document::from_toml(file.text()))?)
    }

    /// The unit for a suggestion to whoever gives a target without one: only a declared one.
    pub(crate) fn spoken<U>(&self, unit: U) -> Option<U> {
        self.declared.map(|_| unit)
    }

    /// The target of a placement in the axis's unit, if it is of the axis's measure.
    pub(crate) fn written(&self, placed: &Placed) -> String {
        match (&self.axis, placed) {
            (AnyAxis::Length(axis), Either::Length(placed)) => {
                placed.target().to_text(axis.unit()).to_string()
            }
            (AnyAxis::Angle(axis), Either::Angle(placed)) => placed.target().to_text(axis.unit()).to_string(),
            _ => either!(placed, placed => placed.target().to_string()),
        }
    }

    /// Refuses a placement of another machine, by both names.
    pub(crate) fn check(&self, py: Python<'_>, placement: &Placement) -> PyResult<()> {
        let checked = self.axis.fingerprint().check(placement.fingerprint());
        cross(py, || checked.map_err(|error| named(error, placement.axis_name(), self.name())))
    }

    pub(crate) const fn axis(&self) -> &AnyAxis {
        &self.axis
    }

    pub(crate) fn file(&self) -> Option<&AxisFile> {
        self.file.as_deref()
    }
}

/// `made` with its first arguments: a call that Python can pickle.
fn partial<'py>(
    py: Python<'py>,
    made: &Bound<'py, PyAny>,
    arguments: impl IntoPyObject<'py, Target = PyTuple, Output = Bound<'py, PyTuple>, Error = PyErr>,
    keywords: Option<&Bound<'py, PyDict>>,
) -> PyResult<Py<PyAny>> {
    let partial = py.import("functools")?.getattr("partial")?.call1((made,))?;
    let state = (made, arguments, keywords.map_or_else(|| PyDict::new(py), Clone::clone), py.None());
    partial.call_method1("__setstate__", (state,))?;
    Ok(partial.unbind())
}

/// Whether both have the same limits, rates and zero.
fn same_settings<M: Class>(one: &SharedAxis<M>, other: &SharedAxis<M>) -> bool {
    one.config() == other.config() && one.zero() == other.zero()
}

fn measured_from<'py, M: Class>(
    of: &Axis,
    axis: &SharedAxis<M>,
    zero: &Bound<'py, PyAny>,
) -> PyResult<(SharedAxis<M>, Bound<'py, PyAny>)> {
    let py = zero.py();
    let zero = asked(zero, of.spoken(axis.unit()))?;
    Ok((cross(py, || axis.clone().with_zero(zero))?, zero.object(py)?))
}

fn held<M: Class>(
    of: &Axis,
    axis: &SharedAxis<M>,
    grid: &Bound<'_, PyAny>,
) -> PyResult<Option<wholestep::axis::GridFit<M>>> {
    let spacing = asked(grid, of.spoken(axis.unit()))?;
    cross(grid.py(), || axis.grid_fit(spacing))
}

pub(crate) fn other_measure() -> PyErr {
    PyTypeError::new_err("the placement is of an axis that measures something else")
}
