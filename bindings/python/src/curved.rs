//! Mechanisms on which a step travels differently from place to place: a blade on a swing arm, and a
//! trunnion tilted by a screw.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use wholestep::axis::AnyMechanism;
use wholestep::error::Value;
use wholestep::mechanism::{self, Arm, ArmScrew, ScrewMotion, Sector, TiltScrew};
use wholestep::{Error, ErrorKind, Length, Measure, Mechanism, Width};

use crate::boundary::cross;
use crate::drive_train::DriveTrain;
use crate::enclosure::Enclosure;
use crate::measure::{Class, asked, hash};
use crate::number::exact;
use crate::tilted_blade::DepthOfCut;
use crate::whole;
use crate::word::chosen;

/// What a mechanism was made of: the callable of its class, and its arguments, so that it is written out and
/// pickled as it was made.
struct Made {
    maker: &'static str,
    drive: Py<DriveTrain>,
    keywords: Py<PyDict>,
}

impl Made {
    fn new<const N: usize>(
        maker: &'static str,
        drive: &Bound<'_, DriveTrain>,
        keywords: [(&str, Py<PyAny>); N],
    ) -> PyResult<Self> {
        let kept = PyDict::new(drive.py());
        for (name, value) in keywords {
            kept.set_item(name, value)?;
        }
        Ok(Self { maker, drive: drive.clone().unbind(), keywords: kept.unbind() })
    }

    fn repr(&self, py: Python<'_>) -> PyResult<String> {
        let keyword =
            |(name, value): (Bound<'_, PyAny>, Bound<'_, PyAny>)| Ok(format!(", {name}={}", value.repr()?));
        let keywords: Vec<String> = self.keywords.bind(py).iter().map(keyword).collect::<PyResult<_>>()?;
        Ok(format!("{}({}{})", self.maker, self.drive.bind(py).repr()?, keywords.concat()))
    }

    /// A `functools.partial` of the callable, which makes it again.
    fn reduce<'py>(&self, callable: Bound<'py, PyAny>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let py = callable.py();
        let partial = py.import("functools")?.getattr("partial")?;
        let again = partial.call((callable, self.drive.bind(py)), Some(self.keywords.bind(py)))?;
        Ok((again, PyTuple::empty(py)))
    }
}

/// The keywords as they are kept.
macro_rules! keywords {
    ($py:expr, $($name:ident),*) => {
        [$((stringify!($name), kept($py, $name)?)),*]
    };
}

trait Kept {
    fn object(self, py: Python<'_>) -> PyResult<Py<PyAny>>;
}

impl<M: Class> Kept for M {
    fn object(self, py: Python<'_>) -> PyResult<Py<PyAny>> {
        Ok(Class::object(self, py)?.unbind())
    }
}

fn kept(py: Python<'_>, value: impl Kept) -> PyResult<Py<PyAny>> {
    value.object(py)
}

fn motion(py: Python<'_>, word: &str) -> PyResult<ScrewMotion> {
    let words = "lengthening or shortening";
    cross(py, || chosen(word, "motion of the screw", words, ScrewMotion::ALL, ScrewMotion::name))
}

/// The coarsest width that is no wider than `given`.
fn width(given: &Bound<'_, PyAny>) -> PyResult<Width> {
    let wanted = exact(given)?;
    let fits = |decimals: &u8| Width::decimals(*decimals).is_ok_and(|width| width.as_exact() <= wanted);
    cross(given.py(), || {
        let decimals = (0..=18).find(fits).ok_or_else(|| {
            Error::new(ErrorKind::OutOfRange, "width")
                .given(Value::Exact(wanted))
                .at_least(Value::Exact(Width::FINEST.as_exact()))
        })?;
        Ok(Width::decimals(decimals)?)
    })
}

/// Where `mechanism` stands at a step of its span.
pub(crate) fn position<M: Class>(
    mechanism: &(impl Mechanism<Measure = M> + ?Sized),
    step: i64,
    given: &Bound<'_, PyAny>,
) -> PyResult<Enclosure> {
    let (py, width) = (given.py(), width(given)?);
    let (first, last) = mechanism.span().into_inner();
    cross(py, || {
        if (first..=last).contains(&step) {
            return mechanism.position_at(step, width.max(mechanism.finest_width()));
        }
        let [step, first, last] = [step, first, last].map(|step| Value::Integer(step.into()));
        Err(Error::new(ErrorKind::OutOfRange, "step").given(step).between(first, last))
    })
    .map(Enclosure::of)
}

/// A blade whose arbor swings on an arm, by a screw between two pivots or by a worm on a sector: its height
/// above the table.
///
/// >>> drive = wholestep.DriveTrain("1.8 deg", "1/10")
/// >>> blade = wholestep.SwingArm.by_sector(
/// ...     drive, arm="150 mm", pivot_depth="125 mm", blade_diameter="250 mm",
/// ...     worm_starts=1, sector_teeth=120, arm_angle="0 deg",
/// ... )
/// >>> blade.position_at(20_000, 1).low  # ten turns of the worm raise the arm by 30°, whose sine is a half
/// Length('75 mm')
#[pyclass(frozen, eq, module = "wholestep")]
pub(crate) struct SwingArm {
    arm: mechanism::SwingArm,
    made: Made,
}

#[pymethods]
impl SwingArm {
    /// By a screw, measured with rule and square from the arm's pivot: ``nut_along`` the line from there to the
    /// arbor and ``nut_across`` it to the nut; ``anchor_ahead`` and ``anchor_above`` to the screw's pivot on
    /// the frame.
    ///
    /// ``raised_by`` is the way of the screw that raises the arm, ``"lengthening"`` or ``"shortening"``.
    #[staticmethod]
    #[pyo3(signature = (drive, *, arm, pivot_depth, blade_diameter, nut_along, anchor_ahead, anchor_above, screw_length, lead, raised_by, nut_across = None))]
    #[expect(clippy::too_many_arguments, reason = "a linkage has that many dimensions; each is named")]
    fn by_screw(
        drive: &Bound<'_, DriveTrain>,
        arm: &Bound<'_, PyAny>,
        pivot_depth: &Bound<'_, PyAny>,
        blade_diameter: &Bound<'_, PyAny>,
        nut_along: &Bound<'_, PyAny>,
        anchor_ahead: &Bound<'_, PyAny>,
        anchor_above: &Bound<'_, PyAny>,
        screw_length: &Bound<'_, PyAny>,
        lead: &Bound<'_, PyAny>,
        raised_by: &str,
        nut_across: Option<&Bound<'_, PyAny>>,
    ) -> PyResult<Self> {
        let py = drive.py();
        let across = nut_across.map_or(Ok(Length::ZERO), |given| asked(given, None))?;
        let screw = ArmScrew {
            nut_along: asked(nut_along, None)?,
            nut_across: across,
            anchor_ahead: asked(anchor_ahead, None)?,
            anchor_above: asked(anchor_above, None)?,
            screw_length: asked(screw_length, None)?,
            lead: asked(lead, None)?,
            raised_by: motion(py, raised_by)?,
        };
        let held = held(arm, pivot_depth, blade_diameter)?;
        let swung = cross(py, || mechanism::SwingArm::by_screw(drive.get().drive, held, screw))?;
        let ArmScrew { nut_along, nut_across, anchor_ahead, anchor_above, screw_length, lead, .. } = screw;
        let Arm { length: arm, pivot_depth, blade_diameter } = held;
        let made = Made::new(
            "SwingArm.by_screw",
            drive,
            keywords!(
                py,
                arm,
                pivot_depth,
                blade_diameter,
                nut_along,
                nut_across,
                anchor_ahead,
                anchor_above,
                screw_length,
                lead
            ),
        )?;
        made.keywords.bind(py).set_item("raised_by", raised_by)?;
        Ok(Self { arm: swung, made })
    }

    /// By a worm on a sector; ``sector_teeth`` are those of the whole wheel, and ``arm_angle`` is the elevation
    /// of the arm above the horizontal at step 0.
    #[staticmethod]
    #[pyo3(signature = (drive, *, arm, pivot_depth, blade_diameter, worm_starts, sector_teeth, arm_angle))]
    fn by_sector(
        drive: &Bound<'_, DriveTrain>,
        arm: &Bound<'_, PyAny>,
        pivot_depth: &Bound<'_, PyAny>,
        blade_diameter: &Bound<'_, PyAny>,
        #[pyo3(from_py_with = whole::starts)] worm_starts: u32,
        #[pyo3(from_py_with = whole::teeth)] sector_teeth: u32,
        arm_angle: &Bound<'_, PyAny>,
    ) -> PyResult<Self> {
        let py = drive.py();
        let sector = Sector { worm_starts, sector_teeth, arm_angle: asked(arm_angle, None)? };
        let held = held(arm, pivot_depth, blade_diameter)?;
        let swung = cross(py, || mechanism::SwingArm::by_sector(drive.get().drive, held, sector))?;
        let (Arm { length: arm, pivot_depth, blade_diameter }, arm_angle) = (held, sector.arm_angle);
        let made = Made::new(
            "SwingArm.by_sector",
            drive,
            keywords!(py, arm, pivot_depth, blade_diameter, arm_angle),
        )?;
        made.keywords.bind(py).set_item("worm_starts", worm_starts)?;
        made.keywords.bind(py).set_item("sector_teeth", sector_teeth)?;
        Ok(Self { arm: swung, made })
    }

    /// The first and the last step at which it can stand.
    fn span(&self) -> (i64, i64) {
        self.arm.span().into_inner()
    }

    /// Where it stands at a step, between bounds no further apart than ``width``, in millimetres.
    ///
    /// Raises OutOfRangeError for a step off the span.
    fn position_at(
        &self,
        #[pyo3(from_py_with = whole::step)] step: i64,
        width: &Bound<'_, PyAny>,
    ) -> PyResult<Enclosure> {
        position(&self.arm, step, width)
    }

    fn __hash__(&self, py: Python<'_>) -> PyResult<u64> {
        self.made.repr(py).map(hash)
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.made.repr(py)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let (_, maker) = self.made.maker.split_once('.').unwrap_or_default();
        self.made.reduce(py.get_type::<Self>().getattr(maker)?)
    }
}

impl PartialEq for SwingArm {
    fn eq(&self, other: &Self) -> bool {
        self.arm == other.arm
    }
}

fn held(
    arm: &Bound<'_, PyAny>,
    pivot_depth: &Bound<'_, PyAny>,
    blade_diameter: &Bound<'_, PyAny>,
) -> PyResult<Arm> {
    Ok(Arm {
        length: asked(arm, None)?,
        pivot_depth: asked(pivot_depth, None)?,
        blade_diameter: asked(blade_diameter, None)?,
    })
}

/// A trunnion, with its blade or table, tilted by a screw across two pivots.
///
/// ``tilted_by`` is the way of the screw that increases the tilt, ``"lengthening"`` or ``"shortening"``.
///
/// >>> drive = wholestep.DriveTrain("1.8 deg", "1/8")
/// >>> tilt = wholestep.ScrewTilt(
/// ...     drive, nut_distance="180 mm", anchor_distance="240 mm", screw_length="200 mm", lead="4 mm",
/// ...     tilted_by="lengthening", low_stop="-1 deg", high_stop="46 deg",
/// ... )
/// >>> axis = wholestep.Axis(tilt, low="0 deg", high="45 deg", speed="2 deg/s", acceleration="4 deg/s²")
/// >>> axis.place("22.5 deg").step
/// 26411
#[pyclass(frozen, eq, module = "wholestep")]
pub(crate) struct ScrewTilt {
    tilt: mechanism::ScrewTilt,
    made: Made,
}

#[pymethods]
impl ScrewTilt {
    #[new]
    #[pyo3(signature = (drive, *, nut_distance, anchor_distance, screw_length, lead, tilted_by, low_stop, high_stop))]
    #[expect(clippy::too_many_arguments, reason = "a linkage has that many dimensions; each is named")]
    fn new(
        drive: &Bound<'_, DriveTrain>,
        nut_distance: &Bound<'_, PyAny>,
        anchor_distance: &Bound<'_, PyAny>,
        screw_length: &Bound<'_, PyAny>,
        lead: &Bound<'_, PyAny>,
        tilted_by: &str,
        low_stop: &Bound<'_, PyAny>,
        high_stop: &Bound<'_, PyAny>,
    ) -> PyResult<Self> {
        let py = drive.py();
        let screw = TiltScrew {
            nut_distance: asked(nut_distance, None)?,
            anchor_distance: asked(anchor_distance, None)?,
            screw_length: asked(screw_length, None)?,
            lead: asked(lead, None)?,
            tilted_by: motion(py, tilted_by)?,
            low_stop: asked(low_stop, None)?,
            high_stop: asked(high_stop, None)?,
        };
        let tilt = cross(py, || mechanism::ScrewTilt::new(drive.get().drive, screw))?;
        let TiltScrew { nut_distance, anchor_distance, screw_length, lead, low_stop, high_stop, .. } = screw;
        let made = Made::new(
            "ScrewTilt",
            drive,
            keywords!(py, nut_distance, anchor_distance, screw_length, lead, low_stop, high_stop),
        )?;
        made.keywords.bind(py).set_item("tilted_by", tilted_by)?;
        Ok(Self { tilt, made })
    }

    /// The first and the last step at which it can stand.
    fn span(&self) -> (i64, i64) {
        self.tilt.span().into_inner()
    }

    /// Where it stands at a step, between bounds no further apart than ``width``, in degrees.
    ///
    /// Raises OutOfRangeError for a step off the span.
    fn position_at(
        &self,
        #[pyo3(from_py_with = whole::step)] step: i64,
        width: &Bound<'_, PyAny>,
    ) -> PyResult<Enclosure> {
        position(&self.tilt, step, width)
    }

    fn __hash__(&self, py: Python<'_>) -> PyResult<u64> {
        self.made.repr(py).map(hash)
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        self.made.repr(py)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        self.made.reduce(py.get_type::<Self>().into_any())
    }
}

impl PartialEq for ScrewTilt {
    fn eq(&self, other: &Self) -> bool {
        self.tilt == other.tilt
    }
}

/// The native mechanism of an object of these classes.
pub(crate) fn native(object: &Bound<'_, PyAny>) -> Option<AnyMechanism> {
    if let Ok(arm) = object.cast::<SwingArm>() {
        return Some(AnyMechanism::length(arm.get().arm));
    }
    if let Ok(tilt) = object.cast::<ScrewTilt>() {
        return Some(AnyMechanism::angle(tilt.get().tilt));
    }
    let depths = object.cast::<DepthOfCut>().ok()?;
    Some(AnyMechanism::Length(depths.get().depths.clone()))
}
