//! A commissioned machine on a twin, asked for one thing after another, and what came of each.

mod fault;
pub(crate) mod machine;
mod scale;

pub use machine::Rehearsable;
pub use scale::Scale;

pub(crate) use fault::impossible;
pub(crate) use scale::float;

use std::ops::ControlFlow;
use std::sync::Arc;

use num_rational::Ratio;
use wholestep::carriage::{Event, Stop, TouchMode};
use wholestep::error::Error;
use wholestep::{Length, Measure as _};
use wholestep_files::AxisFile;

use crate::ground_truth::TorqueUse;
use crate::inputs::Input;
use crate::messages;
use crate::schedule::{Fault, Hand};
use crate::twin::{Passed, Twin, TwinCarriage};
use crate::{ParameterError, Record};

/// A rehearsal under way.
///
/// What takes long is given a `watch`: it is told now and then how far along the way to its end the
/// carriage is, 0 to 1, and may break the rehearsal off.
#[derive(Clone, Debug)]
pub struct Rehearsal {
    twin: Twin,
    scale: Scale,
    assumed: Vec<String>,
    torque_is_assumed: bool,
    /// Steps lost before the position was last proven, which harm no longer.
    healed: i64,
    /// How far the cutter stands above the carriage, in mm, once it was touched off.
    cutter: f64,
    next_sample: u64,
    trace: Vec<Sample>,
    /// The lowest and the highest proven step since it first was within the soft limits.
    reached: Option<(i64, i64)>,
}

/// Where the carriage was and how fast, at one instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// Seconds since the start.
    pub seconds: f64,
    /// Where the carriage truly stood, in mm or degrees.
    pub position: f64,
    /// How fast it truly moved, in mm or degrees a second.
    pub speed: f64,
    /// The step it believed to stand on, where that was proven.
    pub step: Option<i64>,
}

/// Told how far along something is, 0 to 1; whether to go on.
pub type Watch<'a> = &'a mut dyn FnMut(f64) -> ControlFlow<()>;

/// One thing that was asked for, and what came of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Done {
    /// Seconds it took, drive and contacts settling included.
    pub seconds: f64,
    /// Steps it took, both ways.
    pub steps: u64,
    /// By how many steps the carriage then believed wrongly, believed minus true: those lost since its
    /// position was last proven.
    pub off_by: i64,
    /// Where the carriage then truly stood, in mm or degrees; since a touch-off, the tip of the cutter.
    pub stands: f64,
    /// Why it did not come about; `None` if it did.
    pub stopped: Option<String>,
}

/// What a whole rehearsal showed of the machine.
#[derive(Clone, Debug, PartialEq)]
pub struct Findings {
    /// Seconds on the machine.
    pub seconds: f64,
    /// Steps, both ways.
    pub steps: u64,
    /// The lowest and the highest step, once proven.
    pub reached: Option<(i64, i64)>,
    /// Steps sent and not made, over all; finding the datum and touching off make them harmless.
    pub lost_steps: i64,
    /// The moment with the least torque to spare.
    pub worst_torque: Option<TorqueUse>,
    /// What the twin recorded.
    pub record: Record,
    /// What happened, with its seconds.
    pub events: Vec<(f64, Event)>,
    /// What was assumed of the machine.
    pub assumed: Vec<String>,
    /// Whether its torque was worked out from any of that.
    pub torque_is_assumed: bool,
    /// Position and speed against time.
    pub trace: Vec<Sample>,
}

/// Longest time that anything asked for may take, s.
pub(crate) const PATIENCE: u64 = 600;

impl Rehearsal {
    /// Makes a commissioned machine on the axis of `file`, its chance drawn from `seed`, the enable button held.
    ///
    /// # Errors
    /// As [`Rehearsable::new`].
    pub fn new(file: &AxisFile, seed: u64) -> Result<Self, Error> {
        let Rehearsable { configuration, machine, scale, assumed, torque_is_assumed } =
            Rehearsable::new(file, seed)?;

        let twin =
            Twin::commissioned(Arc::new(configuration), machine, seed).map_err(|error: ParameterError| {
                messages::MACHINE_FOR_A_REHEARSAL.error().advice(error.to_string())
            })?;
        let mut rehearsal = Self {
            twin,
            scale,
            assumed,
            torque_is_assumed,
            healed: 0,
            cutter: 0.0,
            next_sample: 0,
            trace: Vec::new(),
            reached: None,
        };
        rehearsal.twin.act(Hand::Press(Input::Enable, true));
        rehearsal.still(&mut |_| ControlFlow::Continue(()));
        Ok(rehearsal)
    }

    /// Begins a fault at its tick.
    ///
    /// # Errors
    /// [`ErrorKind::Job`](wholestep::ErrorKind::Job) for one of a contact that the axis does not have,
    /// [`ErrorKind::OutOfRange`](wholestep::ErrorKind::OutOfRange) as [`Fault::check_range`].
    pub fn inject(&mut self, fault: Fault) -> Result<(), Error> {
        fault.check(self.twin.parameters())?;
        self.twin.inject(fault).map_err(|error| impossible(&error))
    }

    /// Returns the twin.
    pub fn twin(&self) -> &Twin {
        &self.twin
    }

    /// Finds the datum.
    pub fn find_datum(&mut self, watch: Watch<'_>) -> Done {
        let found = |event| matches!(event, Event::DatumFound { .. });
        self.ask(TwinCarriage::find_datum, found, &mut |_| watch(0.0))
    }

    /// Lays the plate in place, touches off so that the first contact becomes step `contact_step`, and takes
    /// the plate away. The plate stands where the tip of a cutter of the usual length touches it when
    /// the carriage is at `height`.
    pub fn touch_off(&mut self, contact_step: i64, height: Length, watch: Watch<'_>) -> Done {
        self.twin.act(Hand::PlateAt(self.scale.on_machine(scale::float(height.base()))));
        self.twin.act(Hand::Plate(true));
        self.pass(10);
        let done = self.ask(
            |carriage| carriage.touch_off(TouchMode::Stop, Some(contact_step)),
            |event| matches!(event, Event::Touched { .. }),
            &mut |_| watch(0.0),
        );
        self.twin.act(Hand::Plate(false));
        self.pass(10);
        if done.stopped.is_none() {
            let cutter = self.twin.parameters().probe.as_ref().map_or(0.0, |probe| probe.cutter);
            self.cutter = self.scale.stretched(cutter);
        }
        done
    }

    /// Goes to `step`, as fast as the axis does.
    pub fn go_to(&mut self, step: i64, watch: Watch<'_>) -> Done {
        self.travel(step, |carriage| carriage.go_to(step), watch)
    }

    /// Goes to `step` at a speed of its own, which is no higher than that of the axis.
    pub fn go_to_at(&mut self, step: i64, steps_per_second: Ratio<u64>, watch: Watch<'_>) -> Done {
        self.travel(step, |carriage| carriage.go_to_at(step, steps_per_second), watch)
    }

    fn travel(
        &mut self,
        step: i64,
        request: impl FnOnce(&mut TwinCarriage) -> Result<(), wholestep::carriage::Refusal>,
        watch: Watch<'_>,
    ) -> Done {
        let from = self.twin.carriage().step();
        let whole = (step - from).abs().max(1) as f64;
        // Where it approaches from one side only, it goes past and comes back.
        let mut most = 0.0_f64;
        self.ask(
            request,
            |event| matches!(event, Event::Stopped { why: Stop::Arrived, step: stood } if stood == step),
            &mut |here| {
                most = most.max(1.0 - (step - here).abs() as f64 / whole);
                watch(most)
            },
        )
    }

    /// Returns what the whole rehearsal showed.
    pub fn finish(mut self) -> Findings {
        self.sample();
        let hz = self.twin.timer_hz() as f64;
        let truth = self.twin.ground_truth();
        Findings {
            seconds: self.twin.now() as f64 / hz,
            steps: self.twin.edges(),
            reached: self.reached,
            lost_steps: self.twin.lost_steps(),
            worst_torque: truth.record.worst_torque,
            record: truth.record,
            events: self.twin.events().iter().map(|(tick, event)| (*tick as f64 / hz, *event)).collect(),
            assumed: self.assumed,
            torque_is_assumed: self.torque_is_assumed,
            trace: self.trace,
        }
    }

    fn ask(
        &mut self,
        request: impl FnOnce(&mut TwinCarriage) -> Result<(), wholestep::carriage::Refusal>,
        came_about: impl Fn(Event) -> bool,
        watch: &mut dyn FnMut(i64) -> ControlFlow<()>,
    ) -> Done {
        let (began, edges, events) = (self.twin.now(), self.twin.edges(), self.twin.events().len());
        let mut stopped = match self.twin.request(request) {
            Ok(()) => None,
            Err(refusal) => Some(format!("refused: {refusal}")),
        };
        if stopped.is_none() {
            let end = self.still(watch);
            let new = &self.twin.events()[events..];
            if new.iter().any(|(_, event)| matches!(event, Event::DatumFound { .. } | Event::Touched { .. }))
            {
                self.healed = self.twin.lost_steps();
            }
            let new = &self.twin.events()[events..];
            if !new.iter().any(|(_, event)| came_about(*event)) {
                stopped = Some(why_not(new, end));
            }
        }
        Done {
            seconds: (self.twin.now() - began) as f64 / self.twin.timer_hz() as f64,
            steps: self.twin.edges() - edges,
            off_by: self.twin.lost_steps() - self.healed,
            stands: self.scale.on_axis(self.twin.ground_truth().carriage_position) + self.cutter,
            stopped,
        }
    }

    /// Until the carriage stands, or whatever else ends the wait.
    fn still(&mut self, watch: &mut dyn FnMut(i64) -> ControlFlow<()>) -> Wait {
        let until = self.twin.now() + PATIENCE * self.twin.timer_hz();
        while !self.twin.is_still() {
            match self.twin.go_on(until.min(self.next_sample.max(self.twin.now()))) {
                Passed::Nothing if self.twin.now() >= until => return Wait::Patience,
                Passed::Poll(moment) if moment.edge.is_some() && self.twin.carriage().is_proven() => {
                    self.reach(self.twin.carriage().step());
                }
                _ => {}
            }
            if self.twin.now() >= self.next_sample {
                self.sample();
                if watch(self.twin.carriage().step()).is_break() {
                    return Wait::BrokenOff;
                }
            }
        }
        self.sample();
        Wait::Still
    }

    /// Notes a proven step, from the first within the soft limits on: the datum is found outside them.
    fn reach(&mut self, step: i64) {
        let (first, last) = self.twin.carriage().config().parts().steps;
        if let Some((lowest, highest)) = self.reached {
            self.reached = Some((lowest.min(step), highest.max(step)));
        } else if (first..=last).contains(&step) {
            self.reached = Some((step, step));
        }
    }

    fn pass(&mut self, milliseconds: u64) {
        let until = self.twin.now() + milliseconds * self.twin.timer_hz() / 1_000;
        self.twin.run_until(until);
        self.still(&mut |_| ControlFlow::Continue(()));
    }

    fn sample(&mut self) {
        let hz = self.twin.timer_hz();
        self.next_sample = self.twin.now() + hz / SAMPLES_A_SECOND;
        let truth = self.twin.ground_truth();
        let carriage = self.twin.carriage();
        self.trace.push(Sample {
            seconds: self.twin.now() as f64 / hz as f64,
            position: self.scale.on_axis(truth.carriage_position),
            speed: self.scale.rate(truth.carriage_position, truth.carriage_speed),
            step: carriage.is_proven().then(|| carriage.step()),
        });
    }
}

const SAMPLES_A_SECOND: u64 = 100;

/// What ended a wait.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Wait {
    Still,
    Patience,
    BrokenOff,
}

/// Why what was asked for did not come about.
pub(crate) fn why_not(events: &[(u64, Event)], end: Wait) -> String {
    let told = events.iter().rev().find_map(|(_, event)| match event {
        Event::Faulted(fault) => Some(format!("fault {}: {fault}", fault.name())),
        Event::Stopped { why: Stop::EnableReleased, .. } => {
            Some("the enable button was let go: hold it and ask again".into())
        }
        Event::Ready => Some(
            "the power failed and returned: nothing starts by itself, and the position is unproven".into(),
        ),
        _ => None,
    });
    told.unwrap_or_else(|| match end {
        Wait::Still => "it stopped elsewhere".into(),
        Wait::Patience => format!("it did not end within {PATIENCE} s"),
        Wait::BrokenOff => "the rehearsal was broken off".into(),
    })
}
