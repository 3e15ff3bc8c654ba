//! A fault of the simulated machine, as the command line spells it.

use wholestep::error::Value;
use wholestep::measure::Time;
use wholestep::{Error, ErrorKind, Exact, Result};
use wholestep_twin::{Fault, FaultKind};

/// `stall@4 s`, or `stall@4 s+200 ms` for one that passes.
pub(crate) fn read(text: &str, timer_hz: u64) -> Result<Fault> {
    let spelling = "power_cut@3 s+500 ms";
    let refuse = |error: Error| error.given(Value::text(text)).spelling(spelling);
    let (name, when) =
        text.split_once('@').ok_or_else(|| refuse(Error::new(ErrorKind::Syntax, "fault without a time")))?;
    let kind: FaultKind = name.trim().parse().map_err(|error: wholestep_twin::ParameterError| {
        Error::new(ErrorKind::UnknownKind, "fault").given(Value::text(name)).advice(error.to_string())
    })?;
    let ticks = |text: &str| -> Result<u64> {
        let ticks = Time::read(text.trim())?.seconds().mul(Exact::new(i128::from(timer_hz), 1)?)?;
        u64::try_from(ticks.round(wholestep::Rounding::Nearest))
            .map_err(|_| refuse(Error::new(ErrorKind::OutOfRange, "time of a fault")))
    };
    let (at, lasts) = match when.split_once('+') {
        Some((at, lasts)) => (ticks(at)?, Some(ticks(lasts)?)),
        None => (ticks(when)?, None),
    };
    // Power comes back, and a storm passes; anything else stays until somebody sees to it.
    let passing = matches!(kind, FaultKind::PowerCut | FaultKind::BounceStorm(_));
    let lasts = lasts.or_else(|| passing.then_some(timer_hz));
    Ok(Fault { kind, at, until: lasts.map(|lasts| at.saturating_add(lasts)) })
}
