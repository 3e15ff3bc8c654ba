//! A tilted blade: how deep it cuts, how wide, and how far the fence has to follow.

use std::hash::{Hash, Hasher};
use std::sync::Arc;

use pyo3::prelude::*;
use pyo3::types::PyTuple;
use wholestep::axis::{AnyMechanism, LengthMechanism};
use wholestep::mechanism;
use wholestep::{Angle, Error, ErrorKind, Length, Mechanism};

use crate::boundary::cross;
use crate::curved::position;
use crate::enclosure::Enclosure;
use crate::measure::{Class, asked, hash};
use crate::mechanism::mechanism;
use crate::whole;

/// A circular blade that tilts about a pivot below the table: how deep it cuts, how wide, and how far the
/// fence has to follow.
///
/// ``axis_diameter`` is the diameter of the blade for which the height axis was set up, ``pivot_depth`` how
/// far the pivot lies below the table, ``pivot_offset`` how far from the blade's face towards the fence.
///
/// >>> blade = wholestep.TiltedBlade("250 mm", "250 mm", kerf="2.8 mm", pivot_depth="20 mm", pivot_offset="1.4 mm")
/// >>> f"{blade.depth_of_cut('60 mm', '45 deg').middle:.3 mm}"
/// '≈ 35.579 mm'
/// >>> f"{blade.fence_correction('45 deg', '0 mm').middle:.3 mm}"
/// '≈ -20.580 mm'
#[pyclass(frozen, eq, hash, module = "wholestep")]
pub(crate) struct TiltedBlade {
    blade: mechanism::TiltedBlade,
    /// Diameter, axis diameter, kerf, pivot depth and pivot offset.
    arguments: [Length; 5],
}

impl PartialEq for TiltedBlade {
    fn eq(&self, other: &Self) -> bool {
        self.arguments == other.arguments
    }
}

impl Hash for TiltedBlade {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.arguments.hash(state);
    }
}

#[pymethods]
impl TiltedBlade {
    #[new]
    #[pyo3(signature = (diameter, axis_diameter, kerf, pivot_depth, pivot_offset))]
    fn new(
        diameter: &Bound<'_, PyAny>,
        axis_diameter: &Bound<'_, PyAny>,
        kerf: &Bound<'_, PyAny>,
        pivot_depth: &Bound<'_, PyAny>,
        pivot_offset: &Bound<'_, PyAny>,
    ) -> PyResult<Self> {
        let py = diameter.py();
        let arguments = [
            asked(diameter, None)?,
            asked(axis_diameter, None)?,
            asked(kerf, None)?,
            asked(pivot_depth, None)?,
            asked(pivot_offset, None)?,
        ];
        let [diameter, axis_diameter, kerf, pivot_depth, pivot_offset] = arguments;
        let blade = cross(py, || {
            mechanism::TiltedBlade::new(diameter, axis_diameter, kerf, pivot_depth, pivot_offset)
        })?;
        Ok(Self { blade, arguments })
    }

    /// How far the highest point of the blade stands above the table, at a height of the untilted axis; each
    /// may be an enclosure, such as a placement's position.
    ///
    /// Raises OutOfRangeError for a tilt that the blade does not take.
    fn depth_of_cut(&self, height: &Bound<'_, PyAny>, tilt: &Bound<'_, PyAny>) -> PyResult<Enclosure> {
        let (py, height, tilt) = (height.py(), bounds::<Length>(height)?, bounds::<Angle>(tilt)?);
        cross(py, || self.blade.depth_of_cut(height, tilt)).map(Enclosure::of)
    }

    /// How far to the right the blade's face crosses a level above the table, seen from where it stands
    /// untilted: what the fence moves by. Level 0 is the underside of the piece.
    ///
    /// Raises OutOfRangeError for a tilt that the blade does not take.
    fn fence_correction(&self, tilt: &Bound<'_, PyAny>, level: &Bound<'_, PyAny>) -> PyResult<Enclosure> {
        let (py, tilt, level) = (tilt.py(), bounds::<Angle>(tilt)?, asked(level, None)?);
        cross(py, || self.blade.fence_correction(tilt, level)).map(Enclosure::of)
    }

    /// The width of the cut in the plane of the table.
    ///
    /// Raises OutOfRangeError for a tilt that the blade does not take.
    fn kerf_at_table(&self, tilt: &Bound<'_, PyAny>) -> PyResult<Enclosure> {
        let (py, tilt) = (tilt.py(), bounds::<Angle>(tilt)?);
        cross(py, || self.blade.kerf_at_table(tilt)).map(Enclosure::of)
    }

    /// The mechanism of the height, seen as one of the depth of cut at a tilt, so that a depth is placed on its
    /// steps as a height is.
    fn at_tilt(
        slf: &Bound<'_, Self>,
        height: &Bound<'_, PyAny>,
        tilt: &Bound<'_, PyAny>,
    ) -> PyResult<DepthOfCut> {
        let (py, tilt) = (height.py(), bounds::<Angle>(tilt)?);
        let AnyMechanism::Length(along) = mechanism(height)? else {
            return cross(py, || {
                Err(Error::new(ErrorKind::Mechanism, "mechanism that turns")
                    .remedy("give the mechanism of the blade's height, whose positions are lengths"))
            });
        };
        let depths = Arc::new(cross(py, || slf.get().blade.at_tilt(along, tilt))?);
        let (blade, height) = (slf.clone().unbind(), height.clone().unbind());
        Ok(DepthOfCut { depths, blade, height, tilt: Enclosure::of(tilt) })
    }

    fn __repr__(&self) -> String {
        let [diameter, axis_diameter, kerf, depth, offset] = self.arguments;
        format!("TiltedBlade('{diameter}', '{axis_diameter}', '{kerf}', '{depth}', '{offset}')")
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let arguments = self.arguments.map(|length| length.to_string());
        Ok((py.get_type::<Self>().into_any(), PyTuple::new(py, arguments)?))
    }
}

/// The depth of cut at one tilt, by the steps of a height axis; made by :meth:`TiltedBlade.at_tilt`.
#[pyclass(frozen, module = "wholestep")]
pub(crate) struct DepthOfCut {
    pub(crate) depths: LengthMechanism,
    blade: Py<TiltedBlade>,
    height: Py<PyAny>,
    tilt: Enclosure,
}

#[pymethods]
impl DepthOfCut {
    /// The first and the last step at which it can stand.
    fn span(&self) -> (i64, i64) {
        self.depths.span().into_inner()
    }

    /// Where it stands at a step, between bounds no further apart than ``width``, in millimetres.
    ///
    /// Raises OutOfRangeError for a step off the span.
    fn position_at(
        &self,
        #[pyo3(from_py_with = whole::step)] step: i64,
        width: &Bound<'_, PyAny>,
    ) -> PyResult<Enclosure> {
        position(&*self.depths, step, width)
    }

    fn __eq__(&self, py: Python<'_>, other: &Bound<'_, PyAny>) -> PyResult<bool> {
        let Ok(other) = other.cast::<Self>() else { return Ok(false) };
        let other = other.get();
        let same = self.tilt == other.tilt && self.blade.get() == other.blade.get();
        Ok(same && self.height.bind(py).eq(other.height.bind(py))?)
    }

    fn __hash__(&self, py: Python<'_>) -> PyResult<u64> {
        Ok(hash((self.tilt, self.blade.get().arguments, self.height.bind(py).hash()?)))
    }

    fn __repr__(&self, py: Python<'_>) -> PyResult<String> {
        let (blade, height) = (self.blade.get().__repr__(), self.height.bind(py).repr()?);
        Ok(format!("{blade}.at_tilt({height}, {})", self.tilt.__repr__()))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let arguments = (self.height.clone_ref(py), self.tilt);
        Ok((self.blade.bind(py).getattr("at_tilt")?, arguments.into_pyobject(py)?))
    }
}

/// A measure, or the bounds of one.
fn bounds<M: Class>(value: &Bound<'_, PyAny>) -> PyResult<wholestep::Enclosure<M>> {
    if let Ok(enclosure) = value.cast::<Enclosure>()
        && let Some(bounds) = M::of_bounds(*enclosure.get())
    {
        return Ok(bounds);
    }
    asked(value, None).map(wholestep::Enclosure::exact)
}
