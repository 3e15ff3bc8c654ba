//! A carriage on a simulated machine.

use std::str::FromStr;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Instant;

use pyo3::prelude::*;
use pyo3::types::{PyList, PyTuple};
use wholestep::carriage::{End, Input as Fitted};
use wholestep::error::Value;
use wholestep::{Error, ErrorKind};
use wholestep_twin::{
    Direction, Fault, FaultKind, GroundTruth as True, Hand, Input, ParameterError, Passed, Rehearsable,
    Twin as Lived,
};

use crate::axis::Axis;
use crate::boundary::{LOOK_EVERY, cross};
use crate::carriage::{Carriage, event, file, live, locked};
use crate::error::raised;
use crate::measure::{given, hash};
use crate::whole;
use crate::word::end;

/// Polls and changes of the machine between two looks at the clock.
const PASSED: u64 = 256;

/// A carriage coupled with a simulated machine, and the clock of both.
///
/// The machine is the one that the axis's file tells of, with common figures where it tells none
/// (see ``assumed``). Its chance is drawn from ``seed``: the same seed and the same requests give
/// the same life. ``Twin(axis)`` is a new machine, which has to be commissioned. Time is in ticks of
/// the axis's timer and passes only in :meth:`run_until` and :meth:`run_until_still`; other Python
/// threads run meanwhile, and Ctrl-C stops them between two polls, so that the twin may run on.
///
/// A rehearsal shows that a job is sound on a machine like this one; it makes no machine safe.
///
/// >>> lift = wholestep.Axis.load("examples/axes/router_lift.toml")
/// >>> twin = wholestep.Twin.commissioned(lift, seed=1)
/// >>> twin.press("enable")
/// >>> twin.run_until_still(1_000_000)
/// True
/// >>> twin.carriage.find_datum()
/// >>> twin.run_until_still(60_000_000)
/// True
/// >>> twin.carriage, twin.lost_steps
/// (<Carriage resting on step -43200>, 0)
#[pyclass(frozen, module = "wholestep")]
pub(crate) struct Twin {
    twin: Arc<Mutex<Lived>>,
    /// The name in its axis's file.
    axis: Py<Axis>,
    assumed: Vec<String>,
}

impl Twin {
    fn of(
        axis: &Bound<'_, Axis>,
        seed: u64,
        make: fn(
            Arc<wholestep::carriage::CarriageConfig>,
            wholestep_twin::MachineParameters,
            u64,
        ) -> Result<Lived, ParameterError>,
    ) -> PyResult<Self> {
        let py = axis.py();
        let file = file(py, axis.get())?;
        let Rehearsable { configuration, machine, assumed, .. } = cross(py, || Rehearsable::new(file, seed))?;
        let twin = make(Arc::new(configuration), machine, seed).map_err(|error| impossible(py, &error))?;
        Ok(Self { twin: Arc::new(Mutex::new(twin)), axis: axis.clone().unbind(), assumed })
    }

    fn see<T>(&self, py: Python<'_>, look: impl FnOnce(&mut Lived) -> T) -> PyResult<T> {
        cross(py, || Ok(look(&mut locked(py, &self.twin))))
    }

    fn hand(&self, py: Python<'_>, at: Option<u64>, hand: Hand) -> PyResult<()> {
        let now = self.see(py, |twin| twin.now())?;
        let at = not_past(py, at, now)?;
        self.see(py, |twin| twin.hand(at, hand))?.map_err(|error| impossible(py, &error))
    }

    /// Runs up to `until`, or until it `is_over`; whether it came to that.
    fn run(&self, py: Python<'_>, until: u64, is_over: fn(&Lived) -> bool) -> PyResult<bool> {
        loop {
            let came = cross(py, || Ok(py.detach(|| run_a_while(&self.twin, until, is_over))))?;
            py.check_signals()?;
            if let Some(came) = came {
                return Ok(came);
            }
        }
    }
}

/// Runs for a moment; `None` if there is more to do.
fn run_a_while(twin: &Mutex<Lived>, until: u64, is_over: fn(&Lived) -> bool) -> Option<bool> {
    let mut twin = twin.lock().unwrap_or_else(PoisonError::into_inner);
    let began = Instant::now();
    for passed in 1_u64.. {
        if is_over(&twin) {
            return Some(true);
        }
        if twin.go_on(until) == Passed::Nothing {
            return Some(is_over(&twin));
        }
        if passed % PASSED == 0 && began.elapsed() >= LOOK_EVERY {
            break;
        }
    }
    None
}

/// The exception for a machine or a fault that cannot be.
fn impossible(py: Python<'_>, error: &ParameterError) -> PyErr {
    let kind = match error {
        ParameterError::UnknownFault { .. } => "key",
        _ => "out_of_range",
    };
    raised(py, kind, &error.to_string()).map_or_else(|failure| failure, PyErr::from_value)
}

/// The tick that was given, or else `now`; one that has passed is refused.
fn not_past(py: Python<'_>, at: Option<u64>, now: u64) -> PyResult<u64> {
    match at {
        Some(at) if at < now => cross(py, || {
            Err(Error::new(ErrorKind::OutOfRange, "tick")
                .given(Value::Integer(at.into()))
                .at_least(Value::Integer(now.into()))
                .remedy("give a tick that has not passed, or leave it out for at once"))
        }),
        at => Ok(at.unwrap_or(now)),
    }
}

/// Metres of a length, for the machine; nothing exact is decided with them.
fn metres(length: &Bound<'_, PyAny>) -> PyResult<f64> {
    let length: wholestep::Length = given(length, None)?;
    let millimetres = wholestep::Measure::base(length);
    #[expect(clippy::cast_precision_loss, reason = "the simulated machine is in floating point")]
    Ok(millimetres.numerator() as f64 / millimetres.denominator() as f64 / 1e3)
}

fn input(py: Python<'_>, word: &str) -> PyResult<Input> {
    let all = [
        (Fitted::Switch(End::Low), Input::LowSwitch),
        (Fitted::Switch(End::High), Input::HighSwitch),
        (Fitted::Probe, Input::Probe),
        (Fitted::Enable, Input::Enable),
    ];
    let names = "low switch, high switch, probe or enable";
    let (_, input) =
        cross(py, || crate::word::chosen(word, "input", names, all, |(fitted, _)| fitted.name()))?;
    Ok(input)
}

#[pymethods]
impl Twin {
    #[new]
    #[pyo3(signature = (axis, *, seed = 0))]
    fn new(axis: &Bound<'_, Axis>, #[pyo3(from_py_with = whole::seed)] seed: u64) -> PyResult<Self> {
        Self::of(axis, seed, Lived::new)
    }

    /// A twin of a machine that has been commissioned.
    ///
    /// Raises FileKeyError for an axis without a way to find its datum, and MechanismError for a machine
    /// that cannot be simulated.
    #[staticmethod]
    #[pyo3(signature = (axis, *, seed = 0))]
    fn commissioned(axis: &Bound<'_, Axis>, #[pyo3(from_py_with = whole::seed)] seed: u64) -> PyResult<Self> {
        Self::of(axis, seed, Lived::commissioned)
    }

    /// What the axis's file does not tell of the machine and was assumed, a line each.
    #[getter]
    fn assumed(&self) -> Vec<String> {
        self.assumed.clone()
    }

    /// The carriage: what is believed, and what may be asked for.
    #[getter]
    fn carriage(&self, py: Python<'_>) -> Carriage {
        Carriage::of_twin(self.twin.clone(), self.axis.clone_ref(py))
    }

    /// The machine as it really is now.
    #[getter]
    fn ground_truth(&self, py: Python<'_>) -> PyResult<GroundTruth> {
        self.see(py, |twin| GroundTruth::of(&twin.ground_truth()))
    }

    /// The step the rotor really stands on, counted the carriage's way from where the machine was
    /// first powered.
    #[getter]
    fn true_step(&self, py: Python<'_>) -> PyResult<i64> {
        self.see(py, Lived::true_step)
    }

    /// Steps sent and not made, counted the carriage's way.
    #[getter]
    fn lost_steps(&self, py: Python<'_>) -> PyResult<i64> {
        self.see(py, Lived::lost_steps)
    }

    /// The present tick.
    #[getter]
    fn now(&self, py: Python<'_>) -> PyResult<u64> {
        self.see(py, |twin| twin.now())
    }

    /// Ticks a second.
    #[getter]
    fn timer_hz(&self, py: Python<'_>) -> PyResult<u64> {
        self.see(py, |twin| twin.timer_hz())
    }

    /// Edges given so far.
    #[getter]
    fn edges(&self, py: Python<'_>) -> PyResult<u64> {
        self.see(py, |twin| twin.edges())
    }

    /// Polls so far.
    #[getter]
    fn polls(&self, py: Python<'_>) -> PyResult<u64> {
        self.see(py, |twin| twin.polls())
    }

    /// Whether the supply is on.
    #[getter]
    fn powered(&self, py: Python<'_>) -> PyResult<bool> {
        self.see(py, |twin| twin.powered())
    }

    /// Whether the carriage stands and waits for nothing but inputs or requests.
    #[getter]
    fn is_still(&self, py: Python<'_>) -> PyResult<bool> {
        self.see(py, |twin| twin.is_still())
    }

    /// What happened so far, each with its tick: pairs of a tick and a class of
    /// :mod:`wholestep.events`.
    #[getter]
    fn events<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyList>> {
        let events = self.see(py, |twin| twin.events().to_vec())?;
        let list = PyList::empty(py);
        for (tick, happened) in events {
            list.append((tick, event::object(py, happened)?))?;
        }
        Ok(list)
    }

    /// A hand holds a contact down, or lets it go, at a tick or at once: ``low switch``,
    /// ``high switch``, ``probe`` or ``enable``.
    #[pyo3(signature = (which, held = true, *, at = None))]
    fn press(
        &self,
        py: Python<'_>,
        which: &str,
        held: bool,
        #[pyo3(from_py_with = whole::tick_or_none)] at: Option<u64>,
    ) -> PyResult<()> {
        let which = input(py, which)?;
        self.hand(py, at, Hand::Press(which, held))
    }

    /// A hand holds the rocker toward an end, or lets it go.
    #[pyo3(signature = (toward, *, at = None))]
    fn rocker(
        &self,
        py: Python<'_>,
        toward: Option<&str>,
        #[pyo3(from_py_with = whole::tick_or_none)] at: Option<u64>,
    ) -> PyResult<()> {
        let toward = toward.map(|word| end(py, word)).transpose()?;
        let way = toward.map(|end| match end {
            End::High => Direction::Forward,
            End::Low => Direction::Backward,
        });
        self.hand(py, at, Hand::Jog(way))
    }

    /// A hand turns the dial by a number of counts, four to a cycle of its contacts; negative
    /// downward.
    #[pyo3(signature = (counts, counts_per_second = 100.0, *, at = None))]
    fn dial(
        &self,
        py: Python<'_>,
        #[pyo3(from_py_with = whole::counts)] counts: i32,
        counts_per_second: f64,
        #[pyo3(from_py_with = whole::tick_or_none)] at: Option<u64>,
    ) -> PyResult<()> {
        self.hand(py, at, Hand::Turn { counts, counts_per_second })
    }

    /// A hand lays the touch plate in place, its underside at a height if one is given, or takes it
    /// away.
    #[pyo3(signature = (in_place = true, *, height = None, at = None))]
    fn plate(
        &self,
        py: Python<'_>,
        in_place: bool,
        height: Option<Bound<'_, PyAny>>,
        #[pyo3(from_py_with = whole::tick_or_none)] at: Option<u64>,
    ) -> PyResult<()> {
        if let Some(height) = height {
            self.hand(py, at, Hand::PlateAt(metres(&height)?))?;
        }
        self.hand(py, at, Hand::Plate(in_place))
    }

    /// A hand fits a cutter that stands so far above the carriage.
    #[pyo3(signature = (length, *, at = None))]
    fn cutter(
        &self,
        length: &Bound<'_, PyAny>,
        #[pyo3(from_py_with = whole::tick_or_none)] at: Option<u64>,
    ) -> PyResult<()> {
        self.hand(length.py(), at, Hand::Cutter(metres(length)?))
    }

    /// A hand turns the screw by a number of full steps. A motor that is driven holds against it.
    #[pyo3(signature = (full_steps, *, at = None))]
    fn turn_screw(
        &self,
        py: Python<'_>,
        full_steps: f64,
        #[pyo3(from_py_with = whole::tick_or_none)] at: Option<u64>,
    ) -> PyResult<()> {
        self.hand(py, at, Hand::TurnScrew(full_steps))
    }

    /// A fault is there, from a tick or at once, until a tick or for good.
    ///
    /// Its names are those of ``rehearse --fault``, such as ``stall`` or ``broken_wire_low``.
    ///
    /// Raises NotationError for a fault that is none.
    #[pyo3(signature = (fault, *, at = None, until = None))]
    fn inject(
        &self,
        py: Python<'_>,
        fault: &str,
        #[pyo3(from_py_with = whole::tick_or_none)] at: Option<u64>,
        #[pyo3(from_py_with = whole::tick_or_none)] until: Option<u64>,
    ) -> PyResult<()> {
        let kind = FaultKind::from_str(fault).map_err(|error| impossible(py, &error))?;
        let now = self.see(py, |twin| twin.now())?;
        let fault = Fault { kind, at: not_past(py, at, now)?, until };
        self.see(py, |twin| twin.inject(fault))?.map_err(|error| impossible(py, &error))
    }

    /// Let everything happen up to and at a tick.
    fn run_until(&self, py: Python<'_>, #[pyo3(from_py_with = whole::tick)] tick: u64) -> PyResult<()> {
        self.run(py, tick, |_| false).map(|_| ())
    }

    /// Run until the carriage stands and waits for nothing but inputs or requests, for ``most``
    /// ticks at the longest; whether it came to that.
    fn run_until_still(
        &self,
        py: Python<'_>,
        #[pyo3(from_py_with = whole::ticks)] most: u64,
    ) -> PyResult<bool> {
        let until = self.see(py, |twin| twin.now().saturating_add(most))?;
        self.run(py, until, Lived::is_still)
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.see(py, |twin| format!("<Twin at tick {}, {}>", twin.now(), twin.carriage().state().name()))
    }

    fn __reduce__(slf: &Bound<'_, Self>) -> PyResult<()> {
        Err(live(slf.as_any()))
    }
}

/// What is true of a twin's machine, beside what its carriage believes. Metres, seconds and floats;
/// nothing exact is decided here.
#[pyclass(frozen, eq, get_all, module = "wholestep")]
#[derive(Clone, Copy, PartialEq)]
pub(crate) struct GroundTruth {
    /// When, in ticks.
    tick: u64,
    /// Where the carriage stands, m.
    carriage_position: f64,
    /// How fast it moves, m/s, positive upward.
    carriage_speed: f64,
    /// Whether the motor is driven.
    driven: bool,
    /// How often the rotor fell out of step.
    slips: u64,
    /// How often the carriage ran into an end stop.
    end_stop_hits: u64,
    /// The part of the motor's torque to spare at the worst moment; 1 idle, negative if it fell out
    /// of step, ``None`` before it was asked for any.
    torque_margin: Option<f64>,
}

impl GroundTruth {
    fn of(truth: &True) -> Self {
        Self {
            tick: truth.tick,
            carriage_position: truth.carriage_position,
            carriage_speed: truth.carriage_speed,
            driven: truth.driven,
            slips: truth.record.slips,
            end_stop_hits: truth.record.end_stop_hits,
            torque_margin: truth.record.worst_torque.map(|worst| worst.margin()),
        }
    }
}

#[pymethods]
impl GroundTruth {
    #[new]
    fn new(
        #[pyo3(from_py_with = whole::tick)] tick: u64,
        carriage_position: f64,
        carriage_speed: f64,
        driven: bool,
        #[pyo3(from_py_with = whole::tally)] slips: u64,
        #[pyo3(from_py_with = whole::tally)] end_stop_hits: u64,
        torque_margin: Option<f64>,
    ) -> Self {
        Self { tick, carriage_position, carriage_speed, driven, slips, end_stop_hits, torque_margin }
    }

    /// What a pattern matches by position.
    #[classattr]
    #[pyo3(name = "__match_args__")]
    const MATCH_ARGS: (
        &'static str,
        &'static str,
        &'static str,
        &'static str,
        &'static str,
        &'static str,
        &'static str,
    ) = ("tick", "carriage_position", "carriage_speed", "driven", "slips", "end_stop_hits", "torque_margin");

    fn __hash__(&self) -> u64 {
        // Equal floats have equal bits, but for the two zeros.
        let bits = |number: f64| (number + 0.0).to_bits();
        hash((self.tick, bits(self.carriage_position), bits(self.carriage_speed), self.slips))
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        let fields = self.fields(py)?;
        let field = |name: &str, index: usize| Ok(format!("{name}={}", fields.get_item(index)?.repr()?));
        let (a, b, c, d, e, f, g) = Self::MATCH_ARGS;
        let names = [a, b, c, d, e, f, g];
        let fields: PyResult<Vec<String>> =
            names.iter().enumerate().map(|(index, name)| field(name, index)).collect();
        Ok(format!("GroundTruth({})", fields?.join(", ")))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        Ok((py.get_type::<Self>().into_any(), self.fields(py)?))
    }
}

impl GroundTruth {
    fn fields<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        let Self { tick, carriage_position, carriage_speed, driven, slips, end_stop_hits, torque_margin } =
            *self;
        (tick, carriage_position, carriage_speed, driven, slips, end_stop_hits, torque_margin)
            .into_pyobject(py)
    }
}
