//! Cut lists: from the plain data of `wholestep._cut_list`, and back to it.

use std::path::PathBuf;

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyString, PyTuple};
use wholestep::axis::AnyAxis;
use wholestep::error::Value;
use wholestep::measure::Unit;
use wholestep::plan::Planner;
use wholestep::{Error, ErrorKind, Length, LengthUnit};
use wholestep_shop::cut_list::{Marks, MarksFrom, MeasuredTo, Part, Stock, Turning};
use wholestep_shop::{CutList, Job};

use crate::axis::Axis;
use crate::boundary::{cross, cross_waiting};
use crate::cuts;
use crate::error::wrong_type;
use crate::measure::{Class, given};
use crate::registry::registry;
use crate::whole;
use crate::word::{chosen, rounding};

/// The cut list of a job file; `wholestep.CutList.load`.
#[pyfunction]
pub(crate) fn load_cut_list(py: Python<'_>, path: PathBuf) -> PyResult<Bound<'_, PyAny>> {
    let registry = registry(py)?;
    let job = cross(py, || Job::load(&path, &registry))?;
    let list = cross(py, || {
        job.cut_list()
            .ok_or_else(|| Error::new(ErrorKind::Job, "job without a cut list").remedy("add a [cut_list]"))
    })?;
    let fields = plain(py, list)?;
    fields.set_item("name", job.name())?;
    fields.set_item("axis", Axis::of_file(py, job.axis())?)?;
    py.import("wholestep._cut_list")?.getattr("CutList")?.call((), Some(&fields))
}

/// The parts of a CSV file, for a cut list; `wholestep.CutList.with_parts_from`.
#[pyfunction]
pub(crate) fn load_parts<'py>(cut_list: &Bound<'py, PyAny>, path: PathBuf) -> PyResult<Bound<'py, PyTuple>> {
    let py = cut_list.py();
    let list = read(cut_list)?;
    let parts = cross(py, || wholestep_shop::job::load_parts(&path, Some(list.unit), &list))?;
    tuple(py, &parts, |part| plain_part(py, part))
}

/// A cut list worked out for an axis; `wholestep.CutList.cuts`.
#[pyfunction]
pub(crate) fn work_out<'py>(
    cut_list: &Bound<'py, PyAny>,
    axis: &Bound<'py, Axis>,
) -> PyResult<Bound<'py, PyAny>> {
    let py = cut_list.py();
    let title = title(cut_list, axis.get())?;
    let list = read(cut_list)?;
    let AnyAxis::Length(along) = axis.get().axis() else {
        return Err(wrong_type(axis, "axis of a cut list", "give an axis that measures lengths"));
    };
    let pulse = axis.get().file().map(wholestep_files::AxisFile::pulse);
    let along = along.clone();
    let cuts = cross_waiting(py, move || {
        let mut cuts = list.cuts(&along)?;
        if let Some(pulse) = pulse {
            cuts.plan_moves(&Planner::new(&along, pulse.timer_hz, pulse.timing()?)?)?;
        }
        Ok(cuts)
    })?;
    cuts::plain(py, &cuts, &title)
}

/// The first line of the sheet: the names of the list and of the axis, as far as they have any.
fn title(list: &Bound<'_, PyAny>, axis: &Axis) -> PyResult<String> {
    let name = list.getattr("name")?;
    let name = if name.is_none() { "Cut list".to_owned() } else { text(list, "name")? };
    Ok(axis.name().map_or_else(|| name.clone(), |axis| wholestep_cli::cut_sheet::title(&name, axis)))
}

fn read(list: &Bound<'_, PyAny>) -> PyResult<CutList> {
    let py = list.py();
    let unit = text(list, "unit")?;
    let unit = cross(py, || LengthUnit::read(&unit))?;
    let length = |name: &str| given::<Length>(&list.getattr(name)?, Some(unit));
    let turning = text(list, "turning")?;
    let words = "none, end_for_end or over";
    Ok(CutList {
        unit,
        parts: each(list, "parts", "Part", |entry| part(entry, unit))?,
        stock: each(list, "stock", "Stock", |entry| stock(entry, unit))?,
        marks: each(list, "marks", "Marks", |entry| marks(entry, unit))?,
        kerf: length("kerf")?,
        kerf_error: length("kerf_error")?,
        end_trim: length("end_trim")?,
        smallest_offcut: length("smallest_offcut")?,
        shortest_to_hold: length("shortest_to_hold")?,
        stop_gap: optional(list, "stop_gap", unit)?,
        width: optional(list, "width", unit)?,
        rounding: rounding(py, &text(list, "rounding")?)?,
        finish_each_piece: list.getattr("finish_each_piece")?.extract()?,
        turning: cross(py, || chosen(&turning, "turning", words, Turning::ALL, Turning::name))?,
    })
}

fn part(part: &Bound<'_, PyAny>, unit: LengthUnit) -> PyResult<Part> {
    let py = part.py();
    let word = text(part, "measured_to")?;
    let words = "long_point or short_point";
    Ok(Part {
        name: text(part, "name")?,
        length: given(&part.getattr("length")?, Some(unit))?,
        quantity: whole::quantity(&part.getattr("quantity")?)?,
        left: given(&part.getattr("left")?, None)?,
        right: given(&part.getattr("right")?, None)?,
        measured_to: cross(py, || chosen(&word, "measured_to", words, MeasuredTo::ALL, MeasuredTo::name))?,
    })
}

fn stock(stock: &Bound<'_, PyAny>, unit: LengthUnit) -> PyResult<Stock> {
    let length = given(&stock.getattr("length")?, Some(unit))?;
    Ok(Stock { length, quantity: whole::stock_quantity(&stock.getattr("quantity")?)? })
}

fn marks(marks: &Bound<'_, PyAny>, unit: LengthUnit) -> PyResult<Marks> {
    let py = marks.py();
    let word = text(marks, "origin")?;
    Ok(Marks {
        name: text(marks, "name")?,
        length: given(&marks.getattr("length")?, Some(unit))?,
        count: whole::marks(&marks.getattr("count")?)?,
        spacing: optional(marks, "spacing", unit)?,
        from: cross(py, || chosen(&word, "origin", "end or centre", MarksFrom::ALL, MarksFrom::name))?,
        first: optional(marks, "first", unit)?,
    })
}

fn text(owner: &Bound<'_, PyAny>, name: &str) -> PyResult<String> {
    owner.getattr(name)?.cast::<PyString>().map_err(PyErr::from)?.extract()
}

fn optional(owner: &Bound<'_, PyAny>, name: &str, unit: LengthUnit) -> PyResult<Option<Length>> {
    let value = owner.getattr(name)?;
    if value.is_none() { Ok(None) } else { given(&value, Some(unit)).map(Some) }
}

/// What `read` makes of each entry; its class in small letters stands before what is wrong with one.
fn each<T>(
    owner: &Bound<'_, PyAny>,
    field: &str,
    class: &str,
    read: impl Fn(&Bound<'_, PyAny>) -> PyResult<T>,
) -> PyResult<Vec<T>> {
    let (given, expected) = (owner.getattr(field)?, format!("wholestep.{class}"));
    let Ok(entries) = given.cast::<PyTuple>() else {
        return Err(wrong_type(&given, field, &format!("give a list of {expected}")));
    };
    let kind = owner.py().import("wholestep._cut_list")?.getattr(class)?;
    let read = |(at, entry): (usize, Bound<'_, PyAny>)| {
        let made = if entry.is_instance(&kind)? {
            read(&entry)
        } else {
            Err(wrong_type(&entry, &format!("entry of {field}"), &format!("give a {expected}")))
        };
        made.map_err(|error| about(&entry, &class.to_lowercase(), at + 1, error))
    };
    entries.iter().enumerate().map(read).collect()
}

/// The exception with the entry that it is about: its name, or its number where it has none.
fn about(entry: &Bound<'_, PyAny>, what: &str, number: usize, error: PyErr) -> PyErr {
    let py = entry.py();
    let named = || -> PyResult<()> {
        let which = match text(entry, "name") {
            Ok(name) => format!("{what} {}", Value::text(&name)),
            Err(_) => format!("{what} {number}"),
        };
        let raised = error.value(py);
        raised.setattr("args", (format!("{which}: {}", raised.str()?),))
    };
    named().err().unwrap_or(error)
}

/// The fields of a cut list as plain data.
fn plain<'py>(py: Python<'py>, list: &CutList) -> PyResult<Bound<'py, PyDict>> {
    let classes = py.import("wholestep._cut_list")?;
    let length = |length: Option<Length>| length.map(|length| length.object(py)).transpose();
    let stock = |stock: &Stock| classes.getattr("Stock")?.call1((stock.length.object(py)?, stock.quantity));
    let marks = |marks: &Marks| {
        let spacing = length(marks.spacing)?;
        let fields = (
            &marks.name,
            marks.length.object(py)?,
            marks.count,
            spacing,
            marks.from.name(),
            length(marks.first)?,
        );
        classes.getattr("Marks")?.call1(fields)
    };
    let fields = PyDict::new(py);
    fields.set_item("unit", list.unit.symbol())?;
    fields.set_item("parts", tuple(py, &list.parts, |part| plain_part(py, part))?)?;
    fields.set_item("stock", tuple(py, &list.stock, stock)?)?;
    fields.set_item("marks", tuple(py, &list.marks, marks)?)?;
    fields.set_item("kerf", list.kerf.object(py)?)?;
    fields.set_item("kerf_error", list.kerf_error.object(py)?)?;
    fields.set_item("stop_gap", length(list.stop_gap)?)?;
    fields.set_item("end_trim", list.end_trim.object(py)?)?;
    fields.set_item("smallest_offcut", list.smallest_offcut.object(py)?)?;
    fields.set_item("shortest_to_hold", list.shortest_to_hold.object(py)?)?;
    fields.set_item("width", length(list.width)?)?;
    fields.set_item("rounding", list.rounding.name())?;
    fields.set_item("finish_each_piece", list.finish_each_piece)?;
    fields.set_item("turning", list.turning.name())?;
    Ok(fields)
}

fn plain_part<'py>(py: Python<'py>, part: &Part) -> PyResult<Bound<'py, PyAny>> {
    let ends = (part.left.object(py)?, part.right.object(py)?);
    let fields =
        (&part.name, part.length.object(py)?, part.quantity, ends.0, ends.1, part.measured_to.name());
    py.import("wholestep._cut_list")?.getattr("Part")?.call1(fields)
}

/// A tuple of what `object` makes of each.
pub(crate) fn tuple<'py, T>(
    py: Python<'py>,
    all: &[T],
    object: impl Fn(&T) -> PyResult<Bound<'py, PyAny>>,
) -> PyResult<Bound<'py, PyTuple>> {
    PyTuple::new(py, all.iter().map(object).collect::<PyResult<Vec<_>>>()?)
}
