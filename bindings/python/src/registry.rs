//! Kinds of mechanism that Python offers to axis files.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

use pyo3::IntoPyObjectExt;
use pyo3::intern;
use pyo3::prelude::*;
use pyo3::sync::PyOnceLock;
use pyo3::types::PyDict;
use wholestep::axis::AnyMechanism;
use wholestep::error::Value;
use wholestep::mechanism::DriveTrain as Geared;
use wholestep::{Angle, Error, ErrorKind, Exact, Length, Result};
use wholestep_files::{FromToml, Key, Registry, Section};

use crate::boundary::{cross, keep};
use crate::drive_train::DriveTrain;
use crate::error::wrong_type;
use crate::measure::Class;
use crate::mechanism::mechanism;
use crate::number::fraction;

/// What was registered, in this process.
static REGISTERED: Mutex<BTreeMap<String, Py<PyAny>>> = Mutex::new(BTreeMap::new());

/// Offer a kind of mechanism to axis files read in this process.
///
/// ``factory`` makes the mechanism from the ``[mechanism]`` section of a file: a class, or any
/// callable with annotated parameters. A parameter is a key of the section, read as its annotation
/// says: ``Length``, ``Angle``, ``Fraction``, ``int``, ``bool`` or ``str``; a key may be left out
/// where the parameter has a default. A parameter ``drive`` is given the motor and its gears.
///
/// A package offers a kind to every process by an entry point of the group
/// ``wholestep.mechanisms`` instead.
///
/// A kind that is registered already is refused; with ``replace``, as for a cell of a notebook that is run
/// again, the new one takes its place. Axes already loaded keep theirs, and a built-in kind is never replaced.
///
/// Raises RefusedError for a kind that is taken, and ArgumentTypeError for a factory that cannot be called.
///
/// >>> class Hoist:
/// ...     "A movable pulley: the carriage travels half of what the drum winds."
/// ...     def __init__(self, drive: wholestep.DriveTrain, rope_per_turn: wholestep.Length) -> None:
/// ...         self.travel = rope_per_turn * drive.turns_per_step / 2
/// ...     def span(self) -> tuple[int, int]:
/// ...         return 0, 100_000
/// ...     def position_at(self, step, width) -> wholestep.Length:
/// ...         return self.travel * step
/// >>> wholestep.register("hoist_of_the_docstring", Hoist)
#[pyfunction]
#[pyo3(signature = (kind, factory, *, replace = false))]
pub(crate) fn register(py: Python<'_>, kind: &str, factory: Bound<'_, PyAny>, replace: bool) -> PyResult<()> {
    if !factory.is_callable() {
        return Err(wrong_type(&factory, "factory of a kind", "give a class or another callable"));
    }
    parameters(&factory)?;
    // Refused now where the kind is already registered, and not by the next file.
    let ours = REGISTERED.lock().unwrap_or_else(PoisonError::into_inner).contains_key(kind);
    if !(ours && replace) {
        let known = registry(py)?;
        cross(py, || known.with(kind, |_, _| Err(Error::new(ErrorKind::UnknownKind, "kind"))))?;
    }
    let before = {
        let mut registered = REGISTERED.lock().unwrap_or_else(PoisonError::into_inner);
        registered.insert(kind.to_owned(), factory.unbind())
    };
    // Its destructor may run Python, so not under the lock.
    drop(before);
    Ok(())
}

/// Forgets what was registered, for tests that shall not see what others registered.
#[pyfunction]
pub(crate) fn _forget_kinds() {
    let forgotten = std::mem::take(&mut *REGISTERED.lock().unwrap_or_else(PoisonError::into_inner));
    // Its destructors may run Python, so not under the lock.
    drop(forgotten);
}

/// The kinds that axis files may name: built in, registered, and offered by entry points.
pub(crate) fn registry(py: Python<'_>) -> PyResult<Registry> {
    let mut registry = Registry::standard();
    let registered: Vec<(String, Py<PyAny>)> = {
        let registered = REGISTERED.lock().unwrap_or_else(PoisonError::into_inner);
        registered.iter().map(|(kind, factory)| (kind.clone(), factory.clone_ref(py))).collect()
    };
    for (kind, factory) in registered {
        registry = offered(py, registry, &kind, move |py| Ok(factory.clone_ref(py)))?;
    }
    for (kind, mut entries, packages) in entry_points(py)? {
        let built_in = registry.kinds().any(|known| known == kind);
        registry = match entries.pop() {
            Some(entry) if entries.is_empty() && !built_in => {
                offered(py, registry, &kind, move |py| entry.call_method0(py, intern!(py, "load")))?
            }
            _ => contested(py, registry, kind, built_in, &packages)?,
        };
    }
    Ok(registry)
}

/// The same kinds, those of Python saying which keys they take. A package that cannot be loaded says nothing.
pub(crate) fn described(py: Python<'_>, mut registry: Registry) -> PyResult<Registry> {
    let mut factories: Vec<(String, Py<PyAny>)> = {
        let registered = REGISTERED.lock().unwrap_or_else(PoisonError::into_inner);
        registered.iter().map(|(kind, factory)| (kind.clone(), factory.clone_ref(py))).collect()
    };
    for (kind, entries, _) in entry_points(py)? {
        if let [entry] = entries.as_slice()
            && let Ok(factory) = entry.call_method0(py, intern!(py, "load"))
        {
            factories.push((kind, factory));
        }
    }
    for (kind, factory) in factories {
        let Ok(parameters) = parameters(factory.bind(py)) else { continue };
        let keys = parameters.into_iter().filter(|parameter| parameter.name != "drive").map(Parameter::key);
        registry = registry.describing(&kind, "A kind that Python offers.", keys.collect());
    }
    Ok(registry)
}

/// A kind that several offer: only a file that names it is refused.
fn contested(
    py: Python<'_>,
    registry: Registry,
    kind: String,
    built_in: bool,
    packages: &[String],
) -> PyResult<Registry> {
    let wholestep = built_in.then_some("wholestep itself");
    let by: Vec<&str> = wholestep.into_iter().chain(packages.iter().map(String::as_str)).collect();
    let advice = format!("keep one of those that offer it and uninstall the others: {}", by.join(", "));
    cross(py, || {
        registry.without(&kind).with(&kind.clone(), move |_, _| {
            Err(Error::new(ErrorKind::Refused, "kind of mechanism offered more than once")
                .given(Value::text(&kind))
                .advice(advice.clone()))
        })
    })
}

fn offered(
    py: Python<'_>,
    registry: Registry,
    kind: &str,
    factory: impl Fn(Python<'_>) -> PyResult<Py<PyAny>> + Send + Sync + 'static,
) -> PyResult<Registry> {
    cross(py, || {
        registry.with(kind, move |section, drive| {
            Python::attach(|py| {
                let factory = factory(py).map_err(keep)?;
                made(factory.bind(py), section, drive)
            })
        })
    })
}

/// The mechanism that `factory` makes of a section.
fn made(factory: &Bound<'_, PyAny>, section: &mut Section<'_>, drive: Geared) -> Result<AnyMechanism> {
    let py = factory.py();
    let arguments = PyDict::new(py);
    let mut lacking = false;
    for parameter in parameters(factory).map_err(keep)? {
        let value = if parameter.name == "drive" {
            Some(DriveTrain::of(drive).into_bound_py_any(py).map_err(keep)?)
        } else {
            parameter.read(py, section)?
        };
        match value {
            Some(value) => arguments.set_item(&parameter.name, value).map_err(keep)?,
            None => lacking |= parameter.required,
        }
    }
    section.finish()?;
    if lacking {
        return Err(section.missing());
    }
    let object = factory.call((), Some(&arguments)).map_err(keep)?;
    mechanism(&object).map_err(keep)
}

/// A parameter of a factory.
struct Parameter {
    name: String,
    annotation: String,
    required: bool,
}

impl Parameter {
    /// The parameter as the reference of the files shows it.
    fn key(self) -> Key {
        let value = match self.annotation.as_str() {
            "Length" => Length::value(),
            "Angle" => Angle::value(),
            "Fraction" => Exact::value(),
            "int" => i64::value(),
            "bool" => bool::value(),
            _ => String::value(),
        };
        Key { name: self.name.into(), value, about: "".into(), optional: !self.required, default: None }
    }

    /// The value at its key, if there is one.
    fn read<'py>(&self, py: Python<'py>, section: &mut Section<'_>) -> Result<Option<Bound<'py, PyAny>>> {
        match self.annotation.as_str() {
            "Length" => self.value::<Length, _>(section, |length| length.object(py)),
            "Angle" => self.value::<Angle, _>(section, |angle| angle.object(py)),
            "Fraction" => self.value::<Exact, _>(section, |number| fraction(py, number)),
            "int" => self.value::<i64, _>(section, |number| number.into_bound_py_any(py)),
            "bool" => self.value::<bool, _>(section, |truth| truth.into_bound_py_any(py)),
            "str" => self.value::<String, _>(section, |text| text.into_bound_py_any(py)),
            _ => Err(Error::new(ErrorKind::Mechanism, "parameter of a kind")
                .given(Value::text(&self.name))
                .remedy("annotate it as Length, Angle, Fraction, int, bool or str")),
        }
    }

    fn value<T: FromToml, O>(
        &self,
        section: &mut Section<'_>,
        object: impl FnOnce(T) -> PyResult<O>,
    ) -> Result<Option<O>> {
        let value = if self.required { section.take(&self.name)? } else { section.optional(&self.name)? };
        value.map(|value| object(value).map_err(keep)).transpose()
    }
}

fn parameters(factory: &Bound<'_, PyAny>) -> PyResult<Vec<Parameter>> {
    static PARAMETERS: PyOnceLock<Py<PyAny>> = PyOnceLock::new();
    let py = factory.py();
    let listed = PARAMETERS.import(py, "wholestep._kinds", "parameters")?.call1((factory,))?;
    let listed: Vec<(String, String, bool)> = listed.extract()?;
    Ok(listed
        .into_iter()
        .map(|(name, annotation, required)| Parameter { name, annotation, required })
        .collect())
}

/// The entry points of the group and their packages, by name; looked for once, since that reads every installed package.
fn entry_points(py: Python<'_>) -> PyResult<Vec<(String, Vec<Py<PyAny>>, Vec<String>)>> {
    static FOUND: PyOnceLock<Py<PyAny>> = PyOnceLock::new();
    let found = FOUND.get_or_try_init(py, || {
        Ok::<_, PyErr>(py.import("wholestep._kinds")?.call_method0("entry_points")?.unbind())
    })?;
    found.extract(py)
}
