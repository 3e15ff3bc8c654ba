//! The live axis.

mod detent;
pub(crate) mod event;
mod fault;
mod inputs;
mod output;

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use num_rational::Ratio;
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::sync::MutexExt;
use wholestep::axis::AnyAxis;
use wholestep::carriage::{CarriageConfig, CommissioningTask, GivenStep, Refusal, State, TouchMode};
use wholestep::error::{Error, ErrorKind};
use wholestep::plan::Planner;
use wholestep::{Mechanism, Rounding, Speed};
use wholestep_files::{AxisFile, Pulse};
use wholestep_twin::{Twin, TwinCarriage};

pub(crate) use detent::Detent;
pub(crate) use fault::Fault;
pub(crate) use inputs::{Inputs, Quadrature};
pub(crate) use output::{Output, StepEdge};

use crate::axis::{Axis, placed};
use crate::boundary::cross;
use crate::error::{exception, wrong_type};
use crate::measure::{either, hash, is_target};
use crate::placement::{Placement, named};
use crate::rate;
use crate::whole;
use crate::word::end;

/// A live axis: a state machine that owns no clock and no pins.
///
/// It is told the time and the inputs at every :meth:`poll`, and returns the edge that is due, the
/// levels of direction and drive, what happened, and when to poll again. Poll then, at every change
/// of an input, and at once after a request; polling more often changes nothing. Its axis must have
/// been read from a file, which says what is fitted. ``Carriage(axis)`` is of a new machine, which
/// has to be commissioned before anything moves.
///
/// A request that is not granted raises: :class:`errors.BeyondLimitError` past a soft limit, otherwise
/// mostly :class:`errors.RefusedError`; its ``refusal`` names why, and nothing has changed then.
///
/// CAUTION: on a machine this starts motors. Enable input, soft limits and switches are not safety
/// devices, and no request is an emergency stop.
///
/// >>> lift = wholestep.Axis.load("examples/axes/router_lift.toml")
/// >>> carriage = wholestep.Carriage.commissioned(lift)
/// >>> held = wholestep.Inputs(probe=True, enable=True)
/// >>> carriage.poll(0, held).poll_again_at, carriage.poll(10_000, held).events
/// (10000, [Ready()])
/// >>> try:
/// ...     carriage.go_to(lift.place("12.7 mm"))
/// ... except wholestep.WholestepError as error:
/// ...     print(error.refusal)
/// ...     print(error)
/// position_unproven
/// the position is unproven: find the datum, touch off, or confirm the position at a gauge
#[pyclass(frozen, module = "wholestep")]
pub(crate) struct Carriage {
    lives: Lives,
    axis: Py<Axis>,
}

enum Lives {
    Alone(Box<Mutex<TwinCarriage>>),
    OnTwin(Arc<Mutex<Twin>>),
}

impl Carriage {
    fn alone(carriage: TwinCarriage, axis: &Bound<'_, Axis>) -> Self {
        Self { lives: Lives::Alone(Box::new(Mutex::new(carriage))), axis: axis.clone().unbind() }
    }

    /// The carriage that `twin` leads on `axis`.
    pub(crate) fn of_twin(twin: Arc<Mutex<Twin>>, axis: Py<Axis>) -> Self {
        Self { lives: Lives::OnTwin(twin), axis }
    }

    /// Where what lives is kept.
    fn address(&self) -> usize {
        match &self.lives {
            Lives::Alone(carriage) => std::ptr::from_ref(&**carriage).addr(),
            Lives::OnTwin(twin) => Arc::as_ptr(twin).addr(),
        }
    }

    fn see<T>(&self, py: Python<'_>, look: impl FnOnce(&TwinCarriage) -> T) -> PyResult<T> {
        cross(py, || {
            Ok(match &self.lives {
                Lives::Alone(carriage) => look(&locked(py, carriage)),
                Lives::OnTwin(twin) => look(locked(py, twin).carriage()),
            })
        })
    }

    fn ask(
        &self,
        py: Python<'_>,
        ask: impl FnOnce(&mut TwinCarriage) -> Result<(), Refusal>,
    ) -> PyResult<()> {
        let answer = cross(py, || {
            Ok(match &self.lives {
                Lives::Alone(carriage) => ask(&mut locked(py, carriage)),
                Lives::OnTwin(twin) => locked(py, twin).request(ask),
            })
        })?;
        answer.map_err(|refusal| refused(py, refusal, Error::from(refusal)))
    }

    /// The number of a step given so, or as a placement, which must be of its machine, or as a target, which
    /// is placed on the nearest step.
    fn step_of(&self, given: &Bound<'_, PyAny>) -> PyResult<i64> {
        let py = given.py();
        if is_target(given) {
            let placed = placed(self.axis.bind(py), given, Rounding::Nearest, false)?;
            return Ok(either!(&placed.placed, placed => placed.step()));
        }
        let Ok(placement) = given.cast::<Placement>() else { return whole::step(given) };
        let placement = placement.get();
        let step = either!(&placement.placed, placed => GivenStep::from(placed));
        self.see(py, |carriage| carriage.config().own_step(step))?.map_err(|refusal| {
            let error = named(refusal.into(), placement.axis_name(), self.axis.get().name());
            refused(py, refusal, error)
        })
    }

    fn tell(&self, py: Python<'_>, tell: impl FnOnce(&mut TwinCarriage)) -> PyResult<()> {
        self.ask(py, |carriage| {
            tell(carriage);
            Ok(())
        })
    }
}

/// What a speed is in steps a second, at the coarsest step of the axis.
fn steps_per_second(axis: &Axis, speed: &str) -> wholestep::Result<Ratio<u64>> {
    fn along<M: Mechanism>(
        axis: &wholestep::Axis<M>,
        pulse: Pulse,
        speed: &str,
    ) -> wholestep::Result<Ratio<u64>> {
        let planner = Planner::new(axis, pulse.timer_hz, pulse.timing()?)?;
        Ok(planner.at_speed(Speed::read(speed, None)?)?.limits().rates().speed)
    }
    let Some(file) = axis.file() else {
        return Err(Error::new(ErrorKind::Plan, "axis without a file").remedy("read the axis from a file"));
    };
    match file.axis() {
        AnyAxis::Length(axis) => along(axis, file.pulse(), speed),
        AnyAxis::Angle(axis) => along(axis, file.pulse(), speed),
    }
}

/// The exception for who would copy or pickle what is live.
pub(crate) fn live(what: &Bound<'_, PyAny>) -> PyErr {
    wrong_type(what, "copy of", "make another one; what is live is not copied or pickled")
}

/// Other Python threads run while this one waits.
pub(crate) fn locked<'m, T>(py: Python<'_>, mutex: &'m Mutex<T>) -> MutexGuard<'m, T> {
    mutex.lock_py_attached(py).unwrap_or_else(PoisonError::into_inner)
}

/// The exception for a refusal, with the same text, and its name.
fn refused(py: Python<'_>, refusal: Refusal, error: Error) -> PyErr {
    let raised = exception(py, &error);
    match raised.value(py).setattr("refusal", refusal.name()) {
        Ok(()) => raised,
        Err(failure) => failure,
    }
}

/// The file of an axis, which says what is fitted.
pub(crate) fn file<'a>(py: Python<'_>, axis: &'a Axis) -> PyResult<&'a AxisFile> {
    cross(py, || {
        axis.file().ok_or_else(|| {
            Error::new(ErrorKind::Key, "carriage on an axis without a file")
                .remedy("load the axis from a file that says what is fitted")
        })
    })
}

fn configuration(file: &AxisFile) -> Arc<CarriageConfig> {
    Arc::new(*file.carriage_config())
}

#[pymethods]
impl Carriage {
    #[new]
    fn new(axis: &Bound<'_, Axis>) -> PyResult<Self> {
        let file = file(axis.py(), axis.get())?;
        Ok(Self::alone(TwinCarriage::new(configuration(file)), axis))
    }

    /// A carriage of a machine that has been commissioned; the caller has kept that it was.
    ///
    /// Raises FileError for an axis without a file.
    #[staticmethod]
    fn commissioned(axis: &Bound<'_, Axis>) -> PyResult<Self> {
        let file = file(axis.py(), axis.get())?;
        Ok(Self::alone(TwinCarriage::commissioned(configuration(file)), axis))
    }

    /// Tell the time, in ticks of the axis's timer, and the inputs; returns what to do.
    ///
    /// The carriage of a twin is polled by its twin.
    fn poll(
        &self,
        py: Python<'_>,
        #[pyo3(from_py_with = whole::tick)] now: u64,
        inputs: &Inputs,
    ) -> PyResult<Output> {
        match &self.lives {
            Lives::Alone(carriage) => {
                let output = cross(py, || Ok(locked(py, carriage).poll(now, &inputs.0)))?;
                Output::of(py, &output)
            }
            Lives::OnTwin(_) => Err(PyTypeError::new_err("the carriage of a twin is polled by its twin")),
        }
    }

    /// What it is doing, such as ``resting``.
    #[getter]
    fn state(&self, py: Python<'_>) -> PyResult<&'static str> {
        self.see(py, |carriage| State::name(carriage.state()))
    }

    /// The step it stands on, or passes, as far as the edges given out say; in numbers that hold
    /// only if the position is proven.
    #[getter]
    fn step(&self, py: Python<'_>) -> PyResult<i64> {
        self.see(py, TwinCarriage::step)
    }

    /// Whether the step is known to be the step the motor stands on.
    #[getter]
    fn is_proven(&self, py: Python<'_>) -> PyResult<bool> {
        self.see(py, TwinCarriage::is_proven)
    }

    /// Whether the motor moves, or is about to.
    #[getter]
    fn is_moving(&self, py: Python<'_>) -> PyResult<bool> {
        self.see(py, TwinCarriage::is_moving)
    }

    /// The latched fault.
    #[getter]
    fn fault(&self, py: Python<'_>) -> PyResult<Option<Fault>> {
        self.see(py, |carriage| carriage.fault().map(Fault))
    }

    /// The step it was sent to, while it travels.
    #[getter]
    fn target(&self, py: Python<'_>) -> PyResult<Option<i64>> {
        self.see(py, TwinCarriage::target)
    }

    /// What commissioning asks for, such as ``change probe`` or ``nudge``; ``None`` on a
    /// commissioned machine.
    #[getter]
    fn commissioning_task(&self, py: Python<'_>) -> PyResult<Option<String>> {
        self.see(py, |carriage| carriage.commissioning_task().map(asked_for))
    }

    /// Go to a target, such as ``"12 mm"``, on the nearest step; or to a step, given as its number or as a
    /// placement of this machine. While travelling or braking, turn to it instead.
    ///
    /// Raises BeyondLimitError past a soft limit, OtherAxisError for a placement of another machine, and
    /// RefusedError if the carriage cannot go there now.
    fn go_to(&self, target: &Bound<'_, PyAny>) -> PyResult<()> {
        let to = self.step_of(target)?;
        self.ask(target.py(), |carriage| carriage.go_to(to))
    }

    /// Go to a target as ``go_to`` does, no faster than ``speed``: text such as ``"2 mm/s"``, or a Speed.
    ///
    /// Raises RefusedError unless the carriage rests, and for a speed of 0, above that of its travels, or so slow
    /// that the move would not end in a lifetime; UnitError for a speed of another measure.
    fn go_to_at(&self, target: &Bound<'_, PyAny>, speed: &Bound<'_, PyAny>) -> PyResult<()> {
        let (py, to) = (target.py(), self.step_of(target)?);
        let speed = rate::written(speed, "speed")?;
        let speed = cross(py, || steps_per_second(self.axis.get(), &speed))?;
        self.ask(py, |carriage| carriage.go_to_at(to, speed))
    }

    /// Go by a number of steps, counted from the target while travelling.
    ///
    /// Raises BeyondLimitError past a soft limit, and RefusedError if the carriage cannot go there now.
    fn go_by(&self, py: Python<'_>, #[pyo3(from_py_with = whole::steps)] steps: i64) -> PyResult<()> {
        self.ask(py, |carriage| carriage.go_by(steps))
    }

    /// Travel to the last allowed step at an end, ``low`` or ``high``.
    ///
    /// Raises RefusedError if the carriage cannot go there now.
    fn travel_to_end(&self, py: Python<'_>, at: &str) -> PyResult<()> {
        let at = end(py, at)?;
        self.ask(py, |carriage| carriage.travel_to_end(at))
    }

    /// Hold the motor: the next poll switches the drive on, and nothing moves.
    ///
    /// So a height can be stated on an axis that no hand leads; poll until the drive has settled first.
    ///
    /// Raises RefusedError while it moves or a fault stands.
    fn hold(&self, py: Python<'_>) -> PyResult<()> {
        self.ask(py, TwinCarriage::hold)
    }

    /// Let dial and rocker lead, until another request: the dial by ``detent`` if it is given,
    /// and the rocker where there is one. The next poll switches the drive on.
    ///
    /// Raises RefusedError if the carriage cannot jog now.
    #[pyo3(signature = (detent = None))]
    fn jog(&self, py: Python<'_>, detent: Option<&Detent>) -> PyResult<()> {
        let detent = detent.map(|detent| detent.0);
        self.ask(py, |carriage| carriage.jog(detent))
    }

    /// Find the datum.
    ///
    /// Raises RefusedError without a datum in the file, before commissioning, and while it moves.
    fn find_datum(&self, py: Python<'_>) -> PyResult<()> {
        self.ask(py, TwinCarriage::find_datum)
    }

    /// Touch off. The step of first contact becomes the step ``contact_step``, which proves the
    /// position; without one, and with a proven position, it is only told.
    ///
    /// With ``"stop"`` the carriage creeps toward the probe and the contact stops it, while the
    /// enable input is held. With ``"signal"`` dial or rocker lead it, and the contact only signals.
    ///
    /// Raises RefusedError without a probe in the file, and while it moves.
    #[pyo3(signature = (mode = "stop", contact_step = None, detent = None))]
    fn touch_off(
        &self,
        py: Python<'_>,
        mode: &str,
        contact_step: Option<Bound<'_, PyAny>>,
        detent: Option<&Detent>,
    ) -> PyResult<()> {
        let contact_step = contact_step.as_ref().map(|step| self.step_of(step)).transpose()?;
        let mode = match (mode, detent) {
            ("stop", None) => TouchMode::Stop,
            ("stop", Some(_)) => {
                return Err(PyTypeError::new_err("a detent leads only a touch that signals"));
            }
            ("signal", detent) => TouchMode::Signal(detent.map(|detent| detent.0)),
            (other, _) => {
                return cross(py, || {
                    Err(Error::new(ErrorKind::Syntax, "mode of a touch-off")
                        .given(wholestep::error::Value::text(other))
                        .spelling("stop or signal"))
                });
            }
        };
        self.ask(py, |carriage| carriage.touch_off(mode, contact_step))
    }

    /// Take a person's word that it stands on a step. The drive must be on.
    ///
    /// Raises BeyondLimitError past a soft limit, and RefusedError while it moves.
    fn confirm_position(&self, stands_on: &Bound<'_, PyAny>) -> PyResult<()> {
        let stands_on_step = self.step_of(stands_on)?;
        self.ask(stands_on.py(), |carriage| carriage.confirm_position(stands_on_step))
    }

    /// Take a person's word that the position is not what it seems.
    fn mark_unproven(&self, py: Python<'_>) -> PyResult<()> {
        self.ask(py, TwinCarriage::mark_unproven)
    }

    /// Stop under control; the drive stays on. Always granted.
    fn brake(&self, py: Python<'_>) -> PyResult<()> {
        self.tell(py, TwinCarriage::brake)
    }

    /// Stop under control, then release the drive. Always granted.
    fn brake_and_release(&self, py: Python<'_>) -> PyResult<()> {
        self.tell(py, TwinCarriage::brake_and_release)
    }

    /// Release the drive at once. Always granted.
    fn release(&self, py: Python<'_>) -> PyResult<()> {
        self.tell(py, TwinCarriage::release)
    }

    /// Clear the latched fault.
    ///
    /// Raises RefusedError while the cause of the fault stands.
    fn clear_fault(&self, py: Python<'_>) -> PyResult<()> {
        self.ask(py, TwinCarriage::clear_fault)
    }

    /// Commissioning: nudge toward the high end.
    ///
    /// Raises RefusedError unless it is asked for next.
    fn nudge(&self, py: Python<'_>) -> PyResult<()> {
        self.ask(py, TwinCarriage::nudge)
    }

    /// Commissioning: say whether the nudge went toward the high end.
    ///
    /// Raises RefusedError unless it is asked for next.
    fn confirm_direction(&self, py: Python<'_>, went_toward_high: bool) -> PyResult<()> {
        self.ask(py, |carriage| carriage.confirm_direction(went_toward_high))
    }

    /// Commissioning: go the travel that a person measures, toward the high end.
    ///
    /// Raises RefusedError unless it is asked for next.
    fn measure_travel(&self, py: Python<'_>) -> PyResult<()> {
        self.ask(py, TwinCarriage::measure_travel)
    }

    /// Commissioning: say whether the measured travel agrees with the file.
    ///
    /// Raises RefusedError unless it is asked for next.
    fn report_travel(&self, py: Python<'_>, agrees: bool) -> PyResult<()> {
        self.ask(py, |carriage| carriage.report_travel(agrees))
    }

    /// Equal is only the same live axis, as of one twin.
    fn __eq__(&self, other: &Self) -> bool {
        self.address() == other.address()
    }

    fn __hash__(&self) -> u64 {
        hash(self.address())
    }

    fn __reduce__(slf: &Bound<'_, Self>) -> PyResult<()> {
        Err(live(slf.as_any()))
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.see(py, |carriage| {
            let proven = if carriage.is_proven() { "" } else { ", unproven" };
            format!("<Carriage {} on step {}{proven}>", carriage.state().name(), carriage.step())
        })
    }
}

fn asked_for(what: CommissioningTask) -> String {
    match what {
        CommissioningTask::Change(input) => format!("change_{}", input.name()),
        CommissioningTask::Nudge => "nudge".into(),
        CommissioningTask::Wait => "wait".into(),
        CommissioningTask::ConfirmDirection => "confirm_direction".into(),
        CommissioningTask::MeasureTravel => "measure_travel".into(),
        CommissioningTask::ReportTravel => "report_travel".into(),
        CommissioningTask::FindDatum => "find_datum".into(),
    }
}
