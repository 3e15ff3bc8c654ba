//! The axis with its own zero, and with temporary ones.

use wholestep::measure::Unit;
use wholestep::{Axis, Measure, Mechanism};

use crate::cells::Cells;
use crate::chance::Chance;
use crate::dimension::{ODD_PARTS, allowed_step, written};
use crate::truth::limits;

/// How many zeros of each sort an axis gets.
const EACH: usize = 12;

/// An axis and how its zero was set.
pub(crate) struct Zeroed<M: Mechanism> {
    pub(crate) axis: Axis<M>,
    pub(crate) how: String,
}

/// The axis from its datum, from zeros at thirds of an inch or of a degree, and from touch-offs.
pub(crate) fn zeros<M: Mechanism + Clone>(
    cells: &mut Cells,
    chance: &mut Chance,
    file: &str,
    axis: &Axis<M>,
) -> Vec<Zeroed<M>> {
    let mut all = vec![Zeroed { axis: axis.clone(), how: "its own zero".into() }];
    for _ in 0..EACH {
        let zero =
            written::<M::Measure>(chance, &limits(axis), <M::Measure as Measure>::Unit::ALL, &ODD_PARTS);
        let Some(zero) = zero else { continue };
        let how = format!("zero at {}", zero.text);
        keep(cells, file, &mut all, how, axis.clone().with_zero(zero.value));
    }
    for _ in 0..EACH {
        let gauge = chance.of_these(gauges::<M::Measure>());
        let step = allowed_step(chance, axis);
        let how = format!("touched off at step {step} on a gauge of {gauge}");
        let gauge = M::Measure::read(gauge, None).unwrap_or(M::Measure::ZERO);
        keep(cells, file, &mut all, how, axis.clone().with_step_at(step, gauge));
    }
    all
}

fn keep<M: Mechanism>(
    cells: &mut Cells,
    file: &str,
    all: &mut Vec<Zeroed<M>>,
    how: String,
    answer: wholestep::Result<Axis<M>>,
) {
    let outcome = answer.map_err(|error| format!("refused: {error}")).and_then(|axis| {
        // A temporary zero leaves the machine the same.
        let same = axis.fingerprint() == all[0].axis.fingerprint();
        all.push(Zeroed { axis, how: how.clone() });
        same.then_some(()).ok_or_else(|| "it is another machine's".into())
    });
    cells.case(file, outcome, || how);
}

fn gauges<Q: Measure>() -> &'static [&'static str] {
    if Q::NAME == wholestep::Length::NAME {
        &["1/4 in", "6.35 mm", "1/3 in", "25 mm", "0.7 thou"]
    } else {
        &["1/3 deg", "0°20'", "5 deg"]
    }
}
