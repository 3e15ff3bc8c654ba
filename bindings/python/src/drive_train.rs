//! The drive in front of every mechanism: motor, driver and tooth ratio.

use pyo3::prelude::*;
use pyo3::types::{PyString, PyTuple};
use wholestep::bounds::TEETH_MAX;
use wholestep::mechanism::{DriveTrain as Geared, StepMode};

use crate::boundary::cross;
use crate::error::wrong_type;
use crate::measure::given;
use crate::number::fraction;
use crate::whole;

/// A motor that turns ``step_angle`` a full step, its driver in ``step_mode`` (``"full"``,
/// ``"half"``, ``"1/16"`` or a number), and the pairs of teeth behind it.
///
/// >>> drive = wholestep.DriveTrain("1.8 deg", "1/16")
/// >>> drive.turns_per_step, drive.geared(20, 60).turns_per_step
/// (Fraction(1, 3200), Fraction(1, 9600))
#[pyclass(frozen, eq, module = "wholestep")]
#[derive(Clone)]
pub(crate) struct DriveTrain {
    pub(crate) drive: Geared,
    pairs: Vec<(u32, u32)>,
}

impl DriveTrain {
    /// A drive whose pairs of teeth are known only as the ratio that they make together.
    pub(crate) fn of(drive: Geared) -> Self {
        let ratio = drive.turns_per_motor_turn();
        let (mut drivers, mut driven) = (teeth(ratio.numerator()), teeth(ratio.denominator()));
        let pairs = drivers.len().max(driven.len());
        drivers.resize(pairs, 1);
        driven.resize(pairs, 1);
        Self { drive, pairs: drivers.into_iter().zip(driven).collect() }
    }
}

/// Numbers of teeth whose product is `count`, which was made of such numbers.
fn teeth(mut count: i128) -> Vec<u32> {
    let mut factors = Vec::new();
    for factor in (2..=TEETH_MAX).rev() {
        while count % factor == 0 {
            count /= factor;
            factors.extend(u32::try_from(factor));
        }
    }
    factors
}

/// The teeth of a driver and of what it drives.
fn pair_of_teeth(pair: &Bound<'_, PyAny>) -> PyResult<(u32, u32)> {
    let Ok((driver, driven)) = pair.extract::<(Bound<'_, PyAny>, Bound<'_, PyAny>)>() else {
        return Err(wrong_type(pair, "pair of teeth", "give two whole numbers, such as (20, 60)"));
    };
    Ok((whole::teeth(&driver)?, whole::teeth(&driven)?))
}

impl PartialEq for DriveTrain {
    fn eq(&self, other: &Self) -> bool {
        self.drive == other.drive
    }
}

#[pymethods]
impl DriveTrain {
    #[new]
    #[pyo3(signature = (step_angle, step_mode, *pairs))]
    fn new(
        py: Python<'_>,
        step_angle: &Bound<'_, PyAny>,
        step_mode: &Bound<'_, PyAny>,
        pairs: &Bound<'_, PyTuple>,
    ) -> PyResult<Self> {
        let pairs: Vec<(u32, u32)> =
            pairs.iter().map(|pair| pair_of_teeth(&pair)).collect::<PyResult<_>>()?;
        let step_angle = given(step_angle, None)?;
        let step_mode = if let Ok(text) = step_mode.cast::<PyString>() {
            let text = text.to_cow()?;
            cross(py, || StepMode::read(&text))?
        } else {
            let division = whole::step_mode(step_mode)?;
            cross(py, || StepMode::new(division))?
        };
        let drive = cross(py, || {
            pairs.iter().try_fold(Geared::new(step_angle, step_mode)?, |drive, (driver, driven)| {
                drive.geared(*driver, *driven)
            })
        })?;
        Ok(Self { drive, pairs })
    }

    /// The same drive with a further pair of gears or pulleys: ``driver`` teeth turn ``driven``.
    ///
    /// Raises OutOfRangeError for a tooth count that no gear has.
    ///
    /// >>> wholestep.DriveTrain("1.8 deg", "1/16").geared(20, 60)
    /// DriveTrain('1.8 deg', '1/16', (20, 60))
    fn geared(
        &self,
        py: Python<'_>,
        #[pyo3(from_py_with = whole::teeth)] driver: u32,
        #[pyo3(from_py_with = whole::teeth)] driven: u32,
    ) -> PyResult<Self> {
        let drive = cross(py, || self.drive.geared(driver, driven))?;
        let mut pairs = self.pairs.clone();
        pairs.push((driver, driven));
        Ok(Self { drive, pairs })
    }

    /// Turns of the driven shaft for one step.
    #[getter]
    fn turns_per_step<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        fraction(py, cross(py, || self.drive.turns_per_step())?)
    }

    fn __hash__(&self) -> u64 {
        let ratio = self.drive.turns_per_motor_turn();
        crate::measure::hash((self.drive.step_angle(), self.drive.step_mode(), ratio))
    }

    fn __repr__(&self) -> String {
        let pairs: Vec<String> = self.pairs.iter().map(|pair| format!(", {pair:?}")).collect();
        format!("DriveTrain('{}', '{}'{})", self.drive.step_angle(), self.drive.step_mode(), pairs.concat())
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let mut arguments = vec![
            self.drive.step_angle().to_string().into_pyobject(py)?.into_any(),
            self.drive.step_mode().to_string().into_pyobject(py)?.into_any(),
        ];
        for pair in &self.pairs {
            arguments.push(pair.into_pyobject(py)?.into_any());
        }
        Ok((py.get_type::<Self>().into_any(), PyTuple::new(py, arguments)?))
    }
}
