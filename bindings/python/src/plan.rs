//! A move of whole steps, all its edges decided.

use std::sync::atomic::{AtomicU64, Ordering};

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyType};
use wholestep::axis::AnyAxis;
use wholestep::error::Value;
use wholestep::measure::Time;
use wholestep::plan::{Plan as Move, Planner, PulseTiming};
use wholestep::{Axis as Along, Error, ErrorKind, Exact, Mechanism, Placement as Place, Speed};
use wholestep_files::Pulse;

use crate::axis::{Axis, other_measure};
use crate::boundary::{cross, cross_detached};
use crate::buffer::{BLOCK, SIZE, numbers};
use crate::error::defect;
use crate::leg::{Leg, ratio};
use crate::measure::{Class, hash};
use crate::number::{exact, fraction};
use crate::placement::Placement;
use crate::whole;
use crate::word::approach;

/// A move of whole steps, all its edges decided: it keeps within the axis's rates and the pulse
/// timing, or it could not have been made.
///
/// Made by :meth:`Axis.plan`.
///
/// >>> screw = wholestep.Linear.lead_screw_by_lead(wholestep.DriveTrain("1.8 deg", "1/16"), "8 mm")
/// >>> axis = wholestep.Axis(screw, low="0 mm", high="600 mm", speed="40 mm/s", acceleration="200 mm/s²")
/// >>> plan = axis.plan("0 mm", "1 mm", timer_hz=1_000_000)
/// >>> plan.edges()[0], len(plan.edges()), plan.ticks
/// (3536, 400, 141422)
/// >>> plan.steps_at(70_711), plan.legs[0].shortest_interval
/// (Fraction(200, 1), 176)
#[pyclass(frozen, eq, module = "wholestep")]
pub(crate) struct Plan {
    plan: Move,
    /// What makes the plan again: the axis, the two ends, and what else was asked.
    axis: Py<Axis>,
    ends: [Py<Placement>; 2],
    asked: Py<PyDict>,
}

/// What is asked of a plan beside its two ends.
pub(crate) struct Request<'a> {
    pub(crate) timer_hz: Option<u64>,
    pub(crate) speed: Option<&'a str>,
    pub(crate) arrived: &'a str,
    pub(crate) direction_setup: Option<&'a str>,
    pub(crate) pulse_high: Option<&'a str>,
    pub(crate) pulse_low: Option<&'a str>,
}

impl Request<'_> {
    pub(crate) fn plan(
        &self,
        axis: &Bound<'_, Axis>,
        start: Bound<'_, Placement>,
        to: Bound<'_, Placement>,
    ) -> PyResult<Plan> {
        let py = axis.py();
        for end in [&start, &to] {
            axis.get().check(py, end.get())?;
        }
        let file = axis.get().file().map(wholestep_files::AxisFile::pulse);
        let (timer_hz, timing) = cross(py, || self.timing(file))?;
        let plan = match axis.get().axis() {
            AnyAxis::Length(axis) => self.along(axis, timer_hz, timing, start.get(), to.get(), py)?,
            AnyAxis::Angle(axis) => self.along(axis, timer_hz, timing, start.get(), to.get(), py)?,
        };
        let ends = [start.unbind(), to.unbind()];
        Ok(Plan { plan, axis: axis.clone().unbind(), ends, asked: self.keywords(py)?.unbind() })
    }

    fn along<M: Mechanism<Measure: Class>>(
        &self,
        axis: &Along<M>,
        timer_hz: u64,
        timing: PulseTiming,
        start: &Placement,
        to: &Placement,
        py: Python<'_>,
    ) -> PyResult<Move> {
        let arrived = approach(py, self.arrived)?;
        let place = |end: &'_ Placement| -> PyResult<Place<M::Measure>> {
            M::Measure::placement(&end.placed).copied().ok_or_else(other_measure)
        };
        let (start, to) = (place(start)?, place(to)?);
        cross(py, || {
            let mut planner = Planner::new(axis, timer_hz, timing)?;
            if let Some(speed) = self.speed {
                planner = planner.at_speed(Speed::read(speed, None)?)?;
            }
            planner.plan(&start, arrived, &to)
        })
    }

    /// The timer's rate and the pulses: those of the file, but for what was asked otherwise.
    fn timing(&self, file: Option<Pulse>) -> wholestep::Result<(u64, PulseTiming)> {
        let timer_hz = self.timer_hz.or(file.map(|file| file.timer_hz)).ok_or_else(|| {
            Error::new(ErrorKind::Plan, "timer rate")
                .remedy("give timer_hz; only an axis from a file has one of its own")
        })?;
        let clock =
            Pulse { timer_hz, direction_setup: Time::ZERO, pulse_high: Time::ZERO, pulse_low: Time::ZERO };
        let ticks = |asked: Option<&str>, filed: Option<Time>, least: u64| match asked
            .map(Time::read)
            .transpose()?
            .or(filed)
        {
            Some(time) => clock.ticks(time),
            None => Ok(least),
        };
        let timing = PulseTiming::new(
            ticks(self.direction_setup, file.map(|file| file.direction_setup), 0)?,
            ticks(self.pulse_high, file.map(|file| file.pulse_high), 1)?,
            ticks(self.pulse_low, file.map(|file| file.pulse_low), 1)?,
        )?;
        Ok((timer_hz, timing))
    }

    fn keywords<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let keywords = PyDict::new(py);
        if let Some(timer_hz) = self.timer_hz {
            keywords.set_item("timer_hz", timer_hz)?;
        }
        let words = [
            ("speed", self.speed),
            ("arrived", Some(self.arrived)),
            ("direction_setup", self.direction_setup),
            ("pulse_high", self.pulse_high),
            ("pulse_low", self.pulse_low),
        ];
        for (name, word) in words {
            if let Some(word) = word {
                keywords.set_item(name, word)?;
            }
        }
        Ok(keywords)
    }
}

impl PartialEq for Plan {
    fn eq(&self, other: &Self) -> bool {
        let same_ends = self.ends.iter().zip(&other.ends).all(|(one, other)| *one.get() == *other.get());
        same_ends
            && self.plan.timer_hz() == other.plan.timer_hz()
            && self.plan.timing() == other.plan.timing()
            && self.plan.legs().eq(other.plan.legs())
    }
}

#[pymethods]
impl Plan {
    /// The class for annotations, such as ``Plan[Length]``.
    #[classmethod]
    fn __class_getitem__<'py>(
        class: &Bound<'py, PyType>,
        measure: Bound<'py, PyAny>,
    ) -> PyResult<Bound<'py, PyAny>> {
        class.py().import("types")?.getattr("GenericAlias")?.call1((class, measure))
    }

    /// Steps from start to end, signed.
    #[getter]
    fn steps(&self) -> i64 {
        self.plan.steps()
    }

    /// Duration, in ticks of the timer.
    #[getter]
    fn ticks(&self) -> u64 {
        self.plan.ticks()
    }

    /// The timer's rate, in Hz.
    #[getter]
    fn timer_hz(&self) -> u64 {
        self.plan.timer_hz()
    }

    /// Duration, in seconds.
    #[getter]
    fn duration<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        fraction(py, cross(py, || Ok(Exact::new(self.plan.ticks().into(), self.plan.timer_hz().into())?))?)
    }

    /// Edges in all legs.
    #[getter]
    fn edge_count(&self) -> u64 {
        self.plan.edge_count()
    }

    /// The placement from which it starts.
    #[getter]
    fn start(&self, py: Python<'_>) -> Py<Placement> {
        self.ends[0].clone_ref(py)
    }

    /// The placement on which it ends.
    #[getter]
    fn to(&self, py: Python<'_>) -> Py<Placement> {
        self.ends[1].clone_ref(py)
    }

    /// The legs that move, in order.
    #[getter]
    fn legs(slf: &Bound<'_, Self>) -> Vec<Leg> {
        let leg =
            |(index, stretch): (usize, &_)| Leg { stretch: *stretch, plan: slf.clone().unbind(), index };
        slf.get().plan.legs().enumerate().map(leg).collect()
    }

    /// The leg of an index; what a pickled leg is made of again.
    fn _leg(slf: &Bound<'_, Self>, #[pyo3(from_py_with = whole::index)] index: usize) -> PyResult<Leg> {
        Self::legs(slf).into_iter().nth(index).ok_or_else(|| defect(slf.py(), "no such leg"))
    }

    /// The ticks of the edges from index ``first`` on, ``count`` of them or, without it, all that are
    /// left: a read-only memoryview of unsigned 64-bit integers, which numpy views without copying.
    ///
    /// Fewer than ``count`` are given if the plan ends before. Which way each steps is its leg's direction.
    ///
    /// Raises OutOfRangeError for an index beyond the last edge, and MemoryError for more than memory
    /// holds.
    #[pyo3(signature = (first = 0, count = None))]
    fn edges<'py>(
        &self,
        py: Python<'py>,
        #[pyo3(from_py_with = whole::edge_index)] first: u64,
        #[pyo3(from_py_with = whole::edges)] count: Option<u64>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let all = self.plan.edge_count();
        let mut edges = cross(py, || {
            if first > all {
                return Err(Error::new(ErrorKind::OutOfRange, "index of an edge")
                    .given(Value::Integer(first.into()))
                    .between(Value::Integer(0), Value::Integer(all.into())));
            }
            Ok(self.plan.edges_from(first + 1)?)
        })?;
        let left = all - first;
        numbers(py, count.map_or(left, |count| count.min(left)), "Q", |bytes| {
            for block in bytes.chunks_mut(BLOCK * SIZE) {
                cross_detached(py, || {
                    for (slot, edge) in block.chunks_exact_mut(SIZE).zip(&mut edges) {
                        slot.copy_from_slice(&edge.tick.to_ne_bytes());
                    }
                    Ok(())
                })?;
                py.check_signals()?;
            }
            Ok(())
        })
    }

    /// The ticks of all edges as one iterator over memoryviews of ``size`` each, the last of which may be
    /// shorter: a move of any length in the memory of one view.
    ///
    /// Raises OutOfRangeError for a size of 0.
    ///
    /// >>> screw = wholestep.Linear.lead_screw_by_lead(wholestep.DriveTrain("1.8 deg", "1/16"), "8 mm")
    /// >>> axis = wholestep.Axis(screw, low="0 mm", high="600 mm", speed="40 mm/s", acceleration="200 mm/s²")
    /// >>> plan = axis.plan("0 mm", "1 mm", timer_hz=1_000_000)
    /// >>> [len(chunk) for chunk in plan.edges_in_chunks(150)]
    /// [150, 150, 100]
    #[pyo3(signature = (size = 65_536))]
    fn edges_in_chunks(slf: &Bound<'_, Self>, #[pyo3(from_py_with = whole::chunk)] size: u64) -> EdgeChunks {
        EdgeChunks { plan: slf.clone().unbind(), size, next: AtomicU64::new(0) }
    }

    /// The ideal position at a tick, in steps from the start, signed and exact; the tick may be a
    /// fraction.
    ///
    /// Raises PlanError for a tick outside the plan, and InexactNumberError for a float.
    fn steps_at<'py>(&self, tick: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
        let time = exact(tick)?;
        ratio(tick.py(), || self.plan.steps_at((time.numerator(), time.denominator()).into()))
    }

    /// The speed at a tick, in steps a tick, signed and exact; zero in a dwell.
    ///
    /// Raises PlanError for a tick outside the plan, and InexactNumberError for a float.
    fn steps_per_tick_at<'py>(&self, tick: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
        let time = exact(tick)?;
        ratio(tick.py(), || self.plan.steps_per_tick_at((time.numerator(), time.denominator()).into()))
    }

    fn __hash__(&self) -> u64 {
        hash((self.timer_hz(), self.steps(), self.ticks(), self.ends[0].get().step()))
    }

    fn __repr__(&self) -> String {
        format!("<Plan of {} steps in {} ticks of {} Hz>", self.steps(), self.ticks(), self.timer_hz())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, (Py<Axis>,))> {
        let [start, to] = &self.ends;
        let caller = py.import("operator")?.getattr("methodcaller")?;
        let call = caller.call(("plan", start, to), Some(self.asked.bind(py)))?;
        Ok((call, (self.axis.clone_ref(py),)))
    }
}

/// The edges of a plan, so many at a time.
#[pyclass(frozen, module = "wholestep._native")]
pub(crate) struct EdgeChunks {
    plan: Py<Plan>,
    size: u64,
    /// The index of the first edge that was not handed out.
    next: AtomicU64,
}

#[pymethods]
impl EdgeChunks {
    fn __iter__(slf: PyRef<'_, Self>) -> PyRef<'_, Self> {
        slf
    }

    fn __next__<'py>(&self, py: Python<'py>) -> PyResult<Option<Bound<'py, PyAny>>> {
        let plan = self.plan.get();
        let all = plan.plan.edge_count();
        loop {
            let first = self.next.load(Ordering::Relaxed);
            if first >= all {
                return Ok(None);
            }
            let chunk = plan.edges(py, first, Some(self.size))?;
            // Handed out only once it is made: Ctrl-C loses no edges. Another thread may have been faster.
            let next = first.saturating_add(self.size);
            if self.next.compare_exchange(first, next, Ordering::Relaxed, Ordering::Relaxed).is_ok() {
                return Ok(Some(chunk));
            }
        }
    }
}
