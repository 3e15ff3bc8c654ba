//! Faults as people write them.

use wholestep::error::{Error, Value};
use wholestep::measure::Time;
use wholestep::{Exact, Result, Rounding};

use crate::inputs::Input;
use crate::messages;
use crate::parameters::{MachineParameters, ParameterError};
use crate::schedule::{Fault, FaultKind};

const SPELLING: &str = "stall@4 s or power_cut@3 s+500 ms";

impl Fault {
    /// Reads a fault and when it is there, such as `stall@4 s`, or `power_cut@3 s+500 ms` for one that
    /// passes after half a second, on a timer of `timer_hz`. Power comes back and a contact stops
    /// chattering after 1 s where the text does not say; anything else is then there for good.
    ///
    /// # Errors
    /// [`ErrorKind::Syntax`](wholestep::ErrorKind::Syntax) for a text without a name or a time, [`ErrorKind::Key`](wholestep::ErrorKind::Key) for a name
    /// that no fault has, with those known, [`ErrorKind::OutOfRange`](wholestep::ErrorKind::OutOfRange) for a fault that lasts no time; what
    /// [`Time::read`] returns for a time.
    ///
    /// ```
    /// use wholestep_twin::{Fault, FaultKind};
    /// let cut = Fault::read("power_cut@3 s+500 ms", 1_000_000)?;
    /// assert_eq!((cut.kind, cut.at, cut.until), (FaultKind::PowerCut, 3_000_000, Some(3_500_000)));
    /// assert!(Fault::read("gremlin@3 s", 1_000_000).is_err());
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    pub fn read(text: &str, timer_hz: u64) -> Result<Self> {
        let Some((name, when)) = text.split_once('@') else {
            return Err(messages::FAULT_WITHOUT_A_TIME.error().given(Value::text(text)).spelling(SPELLING));
        };
        let name = name.trim();
        let kind: FaultKind = name.parse().map_err(|_| {
            let known: Vec<String> = FaultKind::all().iter().map(|kind| kind.name()).collect();
            messages::UNKNOWN_FAULT
                .error()
                .given(Value::text(name))
                .advice(format!("known: {}", known.join(", ")))
        })?;
        let (at, lasts) = match when.split_once('+') {
            Some((at, lasts)) => (at, Some(lasts)),
            None => (when, None),
        };
        let at = ticks(at, timer_hz)?;
        let lasts = lasts.map(|lasts| ticks(lasts, timer_hz)).transpose()?;
        if lasts == Some(0) {
            return Err(messages::TIME_THAT_A_FAULT_LASTS.error().given(Value::text(text)));
        }
        let passing = matches!(kind, FaultKind::PowerCut | FaultKind::BounceStorm(_));
        let lasts = lasts.or_else(|| passing.then_some(timer_hz));
        Ok(Self { kind, at, until: lasts.map(|lasts| at.saturating_add(lasts)) })
    }

    /// Refuses a fault of a contact that the machine does not have.
    pub(super) fn check(&self, machine: &MachineParameters) -> Result<()> {
        let (fitted, what) = match self.kind.input() {
            Some(Input::LowSwitch) => (machine.low_switch.is_some(), "low switch"),
            Some(Input::HighSwitch) => (machine.high_switch.is_some(), "high switch"),
            Some(Input::Probe) => (machine.probe.is_some(), "probe"),
            Some(Input::Enable) | None => return Ok(()),
        };
        if fitted {
            return Ok(());
        }
        Err(messages::FAULT_OF_A_MISSING_CONTACT
            .error()
            .given(Value::text(&self.kind.name()))
            .advice(format!("the axis file tells of no {what}")))
    }
}

/// Ticks of a time, which is never below zero nor above an hour.
fn ticks(text: &str, timer_hz: u64) -> Result<u64> {
    let text = text.trim();
    let ticks = Time::read(text)?.seconds().checked_mul(Exact::new(i128::from(timer_hz), 1)?)?;
    u64::try_from(ticks.round(Rounding::Nearest))
        .map_err(|_| messages::TIME_OF_A_FAULT.error().given(Value::text(text)))
}

/// A fault that cannot be, in the library's one error.
pub(crate) fn impossible(error: &ParameterError) -> Error {
    messages::IMPOSSIBLE_FAULT.error().advice(error.to_string())
}
