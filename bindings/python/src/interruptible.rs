//! A mechanism that Ctrl-C stops, however long it is asked.

use std::ops::RangeInclusive;
use std::sync::{Mutex, PoisonError};
use std::time::Instant;

use pyo3::prelude::*;
use wholestep::axis::SharedMechanism;
use wholestep::mechanism::{Located, StepSizes, Trend};
use wholestep::{Enclosure, Exact, Measure, Mechanism, Result, Rounding, Width};

use crate::boundary::{LOOK_EVERY, keep};

/// The mechanism inside, but that it looks for Ctrl-C now and then.
pub(crate) struct Interruptible<M> {
    mechanism: SharedMechanism<M>,
    looked: Mutex<Instant>,
}

impl<M> Interruptible<M> {
    pub(crate) fn new(mechanism: SharedMechanism<M>) -> Self {
        Self { mechanism, looked: Mutex::new(Instant::now()) }
    }

    fn look(&self) -> Result<()> {
        {
            let mut looked = self.looked.lock().unwrap_or_else(PoisonError::into_inner);
            if looked.elapsed() < LOOK_EVERY {
                return Ok(());
            }
            *looked = Instant::now();
        }
        #[expect(clippy::redundant_closure_for_method_calls, reason = "the method is of one lifetime only")]
        Python::attach(|py| py.check_signals()).map_err(keep)
    }
}

impl<M: Measure> Mechanism for Interruptible<M> {
    type Measure = M;

    fn span(&self) -> RangeInclusive<i64> {
        self.mechanism.span()
    }

    fn position_at(&self, step: i64, width: Width) -> Result<Enclosure<M>> {
        self.look()?;
        self.mechanism.position_at(step, width)
    }

    fn finest_width(&self) -> Width {
        self.mechanism.finest_width()
    }

    fn step_before(&self, target: M) -> Option<i64> {
        self.mechanism.step_before(target)
    }

    fn locate(&self, target: M, rounding: Rounding) -> Result<Located> {
        self.look()?;
        self.mechanism.locate(target, rounding)
    }

    fn trend(&self) -> Result<Trend> {
        self.mechanism.trend()
    }

    fn uniform_travel(&self) -> Option<Exact> {
        self.mechanism.uniform_travel()
    }

    fn travel_at(&self, step: i64) -> Result<Enclosure<M>> {
        self.look()?;
        self.mechanism.travel_at(step)
    }

    fn step_sizes(&self, steps: RangeInclusive<i64>) -> Result<StepSizes<M>> {
        self.look()?;
        self.mechanism.step_sizes(steps)
    }
}
