//! What comes out of a cut list, as the plain data of `wholestep._cut_list`.

use pyo3::IntoPyObjectExt;
use pyo3::prelude::*;
use pyo3::types::PyModule;
use wholestep_cli::cut_sheet::{self, Block};
use wholestep_shop::cut_list::{
    Bounds, Cut, CutSheet, MarkedPiece, Setting, StockPiece, StopMove, Totals, Unplaced,
};

use crate::boundary::cross;
use crate::cut_list::tuple;
use crate::enclosure::Enclosure;
use crate::measure::Class;
use crate::number::fraction;

/// The result as plain data, and what the command prints of it below `title`.
pub(crate) fn plain<'py>(py: Python<'py>, cuts: &CutSheet, title: &str) -> PyResult<Bound<'py, PyAny>> {
    let classes = Classes(py.import("wholestep._cut_list")?);
    let fields = (
        tuple(py, &cuts.cuts, |cut| classes.cut(py, cut))?,
        tuple(py, &cuts.marks, |piece| classes.marked(py, piece))?,
        tuple(py, &cuts.stock, |piece| classes.stock(py, piece))?,
        tuple(py, &cuts.unplaced, |part| classes.unplaced(py, part))?,
        classes.totals(py, &cuts.totals)?,
        pyo3::types::PyTuple::new(py, &cuts.warnings)?,
        pyo3::types::PyTuple::new(py, &cuts.cautions)?,
    );
    let sheet = classes.0.getattr("CutSheet")?.call1(fields)?;
    let (blocks, json) = cross(py, || Ok((cut_sheet::blocks(title, cuts)?, cut_sheet::json(cuts)?)))?;
    let told = tuple(py, &blocks, |block| told(py, block))?;
    classes.0.getattr("tell")?.call1((sheet, cut_sheet::text(&blocks), json, told))
}

/// A block of the printed sheet: text, or the heads and the rows of a table.
fn told<'py>(py: Python<'py>, block: &Block) -> PyResult<Bound<'py, PyAny>> {
    match block {
        Block::Text(text) => text.into_bound_py_any(py),
        Block::Table { heads, rows } => (heads, rows).into_bound_py_any(py),
    }
}

struct Classes<'py>(Bound<'py, PyModule>);

impl<'py> Classes<'py> {
    fn cut(&self, py: Python<'py>, cut: &Cut) -> PyResult<Bound<'py, PyAny>> {
        let stop_move = cut.stop_move.map(|stop_move| self.stop_move(py, &stop_move)).transpose()?;
        let ends = (cut.left.object(py)?, cut.right.object(py)?);
        let first = (cut.number, cut.stock, &cut.part, cut.length.length.object(py)?, cut.measured_to.name());
        let fields = (
            first.0,
            first.1,
            first.2,
            first.3,
            first.4,
            ends.0,
            ends.1,
            self.setting(py, &cut.setting)?,
            stop_move,
            cut.held.name(),
            cut.sawn,
            cut.remaining.length.object(py)?,
        );
        let named = pyo3::types::PyDict::new(py);
        named.set_item("turn", cut.turn.name())?;
        named.set_item("face", if cut.turn.is_face_down() { "down" } else { "up" })?;
        named.set_item("saw_left_first", cut.saw_left_first)?;
        named.set_item("stop_touches", cut.stop_touches.name())?;
        named.set_item("left_reach", bounds(py, &cut.left_reach)?)?;
        let backed_off = cut.backed_off.as_ref().map(|setting| self.setting(py, setting)).transpose()?;
        let back_off_move = cut.back_off_move.map(|stop_move| self.stop_move(py, &stop_move)).transpose()?;
        named.set_item("backed_off", backed_off)?;
        named.set_item("back_off_move", back_off_move)?;
        named.set_item("warnings", pyo3::types::PyTuple::new(py, &cut.warnings)?)?;
        self.0.getattr("Cut")?.call(fields, Some(&named))
    }

    fn setting(&self, py: Python<'py>, setting: &Setting) -> PyResult<Bound<'py, PyAny>> {
        let class = self.0.getattr("Setting")?;
        let stop = bounds(py, &setting.stop)?;
        match &setting.placement {
            Some(placed) => {
                let between = (bounds(py, &placed.position)?, bounds(py, &placed.remainder)?);
                class.call1((stop, placed.step, between.0, between.1, placed.is_decided))
            }
            None => class.call1((stop, py.None(), py.None(), py.None(), true, setting.by_hand.as_deref())),
        }
    }

    fn stop_move(&self, py: Python<'py>, stop_move: &StopMove) -> PyResult<Bound<'py, PyAny>> {
        let seconds = fraction(py, stop_move.seconds.0)?;
        self.0.getattr("StopMove")?.call1((stop_move.steps, stop_move.ticks, seconds))
    }

    fn marked(&self, py: Python<'py>, piece: &MarkedPiece) -> PyResult<Bound<'py, PyAny>> {
        let marks = tuple(py, &piece.marks, |mark| self.setting(py, mark))?;
        self.0.getattr("MarkedPiece")?.call1((&piece.name, piece.length.length.object(py)?, marks))
    }

    fn stock(&self, py: Python<'py>, piece: &StockPiece) -> PyResult<Bound<'py, PyAny>> {
        self.0.getattr("StockPiece")?.call1((
            piece.number,
            piece.length.length.object(py)?,
            piece.trim.length.object(py)?,
            piece.parts.length.object(py)?,
            piece.wedges.length.object(py)?,
            piece.kerf.length.object(py)?,
            piece.offcut.length.object(py)?,
            piece.kept,
        ))
    }

    fn unplaced(&self, py: Python<'py>, part: &Unplaced) -> PyResult<Bound<'py, PyAny>> {
        let length = part.length.length.object(py)?;
        self.0.getattr("Unplaced")?.call1((&part.part, length, part.quantity, part.reason.to_string()))
    }

    fn totals(&self, py: Python<'py>, totals: &Totals) -> PyResult<Bound<'py, PyAny>> {
        self.0.getattr("Totals")?.call1((
            totals.stock_pieces,
            totals.stock_pieces_at_least,
            totals.proven,
            totals.stock_length.length.object(py)?,
            totals.parts.length.object(py)?,
            totals.offcuts_kept.length.object(py)?,
            totals.waste.length.object(py)?,
            bounds(py, &totals.stop_travel)?,
            totals.stop_moves,
            totals.seconds_moving.map(|seconds| fraction(py, seconds.0)).transpose()?,
            totals.moves_without_time,
            totals.by_hand,
        ))
    }
}

fn bounds(py: Python<'_>, bounds: &Bounds) -> PyResult<Enclosure> {
    cross(py, || Ok(wholestep::Enclosure::new(bounds.low.length, bounds.high.length)?)).map(Enclosure::of)
}
