"""Cut lists for a motorised stop block: plain data, worked out by the native half."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction
from html import escape
from os import PathLike
from typing import Any, Literal, TypeAlias

from . import _native
from ._native import Angle, Axis, Enclosure, Length

_Given: TypeAlias = Length | str | int | Fraction | Decimal
"""A length, or a number in the unit of the cut list."""


@dataclass(frozen=True, slots=True)
class Part:
    """Something to be cut, a number of times.

    Each end is given by its angle from square: positive with its long point on the edge that lies
    against the fence, negative with it on the edge away from it.
    """

    name: str
    length: _Given
    quantity: int = 1
    left: Angle | str = Angle.ZERO
    right: Angle | str = Angle.ZERO
    measured_to: Literal["long_point", "short_point"] = "long_point"


@dataclass(frozen=True, slots=True)
class Stock:
    """Pieces of stock of one length; without a quantity, as many as needed."""

    length: _Given
    quantity: int | None = None


@dataclass(frozen=True, slots=True)
class Marks:
    """Equally spaced marks along one piece, from its end at the stop or from its centre.

    A count without a spacing makes equal spaces; a spacing without a count, as many marks as lie on
    the piece.
    """

    name: str
    length: _Given
    count: int | None = None
    spacing: _Given | None = None
    origin: Literal["end", "centre"] = "end"
    first: _Given | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class CutList:
    """Parts to be cut, the stock to cut them from, and how.

    >>> import wholestep
    >>> belt = wholestep.Linear.belt(wholestep.DriveTrain("1.8 deg", "1/16"), "3 mm", 20)
    >>> stop = wholestep.Axis(belt, unit="in", low="1", high="60", speed="8", acceleration="36")
    >>> wanted = wholestep.CutList(
    ...     unit="in",
    ...     kerf="1/8",
    ...     parts=(wholestep.Part("rail", "12", 7),),
    ...     stock=(wholestep.Stock("96"),),
    ... )
    >>> cuts = wanted.cuts(stop)
    >>> cuts.cuts[0].setting.step, cuts.stock[0].offcut.to_text("in")
    (16256, '11.125 in')

    ``print(cuts)`` prints what ``wholestep cuts`` does, and a notebook shows it as tables.

    A number, and a text without a unit, is in ``unit``, in which everything is told too; parts, stock
    and marks follow the list that they stand in.

    ``kerf`` is what a square cut turns to dust, and ``kerf_error`` by how much it may be wider: a board
    whose spare its cuts could use up is named. ``stop_gap`` is how far the stop is backed off before a
    cut for which the stock is held; without it, a person sees to that. ``end_trim`` is cut off the raw end of each piece of
    stock first; shorter offcuts than ``smallest_offcut`` are waste; ``width`` of the stock is what
    mitred ends need; with ``finish_each_piece`` each piece of stock is finished before the next is
    taken up, without it the stop moves least. One mitre cut ends one part and begins the next where
    both ends slant alike; ``turning`` says whether parts may be turned for it: ``"end_for_end"`` for
    stock with like edges, ``"over"`` for stock with like edges and like faces.

    ``name`` heads what is printed. ``axis`` is the stop's axis; without one it is given to ``cuts``.

    CAUTION: ``shortest_to_hold``, the shortest piece that can be held, is a length that a person chose, not a
    guard. Let the blade stop before a piece is taken away; follow the saw's manual.
    """

    unit: str
    kerf: _Given
    parts: tuple[Part, ...] = ()
    stock: tuple[Stock, ...] = ()
    marks: tuple[Marks, ...] = ()
    kerf_error: _Given = Length.ZERO
    end_trim: _Given = Length.ZERO
    smallest_offcut: _Given = Length.ZERO
    shortest_to_hold: _Given = Length.ZERO
    stop_gap: _Given | None = None
    width: _Given | None = None
    rounding: Literal["nearest", "below", "above"] = "nearest"
    finish_each_piece: bool = True
    turning: Literal["none", "end_for_end", "over"] = "none"
    name: str | None = None
    axis: Axis | None = None

    def __post_init__(self) -> None:
        # Lists are taken too, but a value that is compared and hashed holds tuples.
        for name in ("parts", "stock", "marks"):
            if isinstance(given := getattr(self, name), Iterable):
                object.__setattr__(self, name, tuple(given))

    @staticmethod
    def load(path: str | PathLike[str]) -> CutList:
        """The cut list of a job file, with the job's name and axis."""
        return _native.load_cut_list(path)

    def with_parts_from(self, path: str | PathLike[str]) -> CutList:
        """This list with the parts of a CSV file behind its own, as the key ``parts`` of a job file adds them.

        The first line names the columns: name, length, quantity, left, right and measured_to, of which
        name and length must be there. A column's unit may stand behind its name, ``length (mm)``; without
        one, lengths are in the list's unit.

        Raises OSError for a file that cannot be read, and otherwise a WholestepError that names the
        line and the column.
        """
        return replace(self, parts=self.parts + _native.load_parts(self, path))

    def cuts(self, axis: Axis | None = None) -> CutSheet:
        """Nest the parts on the stock and set the stop for every cut, in the order of cutting.

        ``axis`` is the stop's; without it, the list's own. A part that the stop does not reach is set by
        hand, and one that fits no stock is listed as unplaced; the others are cut all the same. If the
        axis comes from a file, the stop's moves are planned too.

        Raises TypeError without any axis, and JobError without anything to cut.
        """
        along = self.axis if axis is None else axis
        if along is None:
            raise TypeError("cut list without an axis: give it to cuts(axis), or to the list as axis=")
        return _native.work_out(self, along)


@dataclass(frozen=True, slots=True)
class Setting:
    """Where the stop is set: on a step, or by hand where the axis does not reach, and why.

    ``stop`` is the distance from the stop's face to the near side of the kerf, along the fence;
    ``position`` is where the step stands, and ``remainder`` is position minus ``stop``.
    """

    stop: Enclosure
    step: int | None = None
    position: Enclosure | None = None
    remainder: Enclosure | None = None
    is_decided: bool = True
    by_hand: str | None = None


@dataclass(frozen=True, slots=True)
class StopMove:
    """A move of the stop from the setting before: signed steps, ticks, and exact seconds."""

    steps: int
    ticks: int
    seconds: Fraction


@dataclass(frozen=True, slots=True)
class Cut:
    """One cut: its place in the order, its piece of stock, its part, and where the stop is set.

    ``left`` is the end at the stop and ``right`` the end at the blade, as the part is laid. ``turn``
    says how it is turned: not, end for end with its face up, or over with its face down.
    ``saw_left_first`` says that the end at the stop is still to be made; ``stop_touches``, which
    point of it touches the stop, and ``left_reach``, how far that point lies beyond the other corner.
    ``held`` says which piece is held: the part, which touches the stop; the stock, with the stop backed
    off before the cut, if the part is too short; or that it was not checked; ``sawn`` is false where the part
    ends where the stock does; ``remaining`` is what is left of the stock after the cut, along the
    edge at the fence. ``backed_off`` is where the stop is backed off to if the stock is held and the list
    states a gap, and ``back_off_move`` that move.
    """

    number: int
    stock: int
    part: str
    length: Length
    measured_to: Literal["long_point", "short_point"]
    left: Angle
    right: Angle
    setting: Setting
    stop_move: StopMove | None
    held: Literal["part", "stock", "not_checked"]
    sawn: bool
    remaining: Length
    turn: Literal["none", "end_for_end", "edge_over_edge", "end_over_end"]
    face: Literal["up", "down"]
    saw_left_first: bool
    stop_touches: Literal["square_end", "point_at_fence", "point_away_from_fence"]
    left_reach: Enclosure
    backed_off: Setting | None = None
    back_off_move: StopMove | None = None
    warnings: tuple[str, ...] = field(default=())


@dataclass(frozen=True, slots=True)
class MarkedPiece:
    """Marks along one piece, from the end that touches the stop."""

    name: str
    length: Length
    marks: tuple[Setting, ...]


@dataclass(frozen=True, slots=True)
class StockPiece:
    """One piece of stock, told along the edge at the fence.

    Its length is the sum of trim, parts, wedges between mitred ends, kerf and offcut, exactly.
    """

    number: int
    length: Length
    trim: Length
    parts: Length
    wedges: Length
    kerf: Length
    offcut: Length
    kept: bool


@dataclass(frozen=True, slots=True)
class Unplaced:
    """A part that could not be cut, and why."""

    part: str
    length: Length
    quantity: int
    reason: str


@dataclass(frozen=True, slots=True)
class Totals:
    """Sums over the whole cut list.

    ``proven`` says that no fewer pieces of stock will do. ``seconds_moving`` leaves out the
    ``moves_without_time``, the stop's moves that cannot be planned.
    """

    stock_pieces: int
    stock_pieces_at_least: int
    proven: bool
    stock_length: Length
    parts: Length
    offcuts_kept: Length
    waste: Length
    stop_travel: Enclosure
    stop_moves: int
    seconds_moving: Fraction | None
    moves_without_time: int
    by_hand: int


@dataclass(frozen=True, slots=True)
class _Told:
    """What the command prints of a cut sheet: its text, its JSON, and its blocks."""

    text: str
    json: str
    blocks: tuple[str | tuple[list[str], list[list[str]]], ...]


@dataclass(frozen=True, slots=True)
class CutSheet:
    """A cut list worked out: where the stop stands for each cut, in the order of cutting.

    >>> import wholestep
    >>> sheet = wholestep.CutList.load("examples/jobs/tool_tray.toml").cuts()
    >>> print(str(sheet).splitlines()[0])
    Tool tray, on Stop block
    >>> sheet.to_dict()["totals"]["stock_pieces"]
    2

    ``str`` of it is what ``wholestep cuts`` prints. ``warnings`` says what to mind about the stop, and
    ``cautions`` what a person must see to, for each kind of work among the cuts.
    """

    cuts: tuple[Cut, ...]
    marks: tuple[MarkedPiece, ...]
    stock: tuple[StockPiece, ...]
    unplaced: tuple[Unplaced, ...]
    totals: Totals
    warnings: tuple[str, ...]
    cautions: tuple[str, ...]
    # Not among the arguments: a sheet that somebody puts together or changes would tell of another one.
    _told: _Told | None = field(default=None, init=False, repr=False, compare=False)

    def __str__(self) -> str:
        return repr(self) if self._told is None else self._told.text.removesuffix("\n")

    def to_json(self) -> str:
        """The sheet as JSON, byte for byte what ``wholestep cuts --json`` prints.

        Raises ValueError for a sheet that ``CutList.cuts`` did not make.
        """
        return self._worked_out().json

    def to_dict(self) -> dict[str, Any]:
        """The sheet as dicts, lists, numbers and text: ``to_json``, read.

        Raises ValueError as ``to_json`` does.
        """
        read: dict[str, Any] = json.loads(self.to_json())
        return read

    def _repr_html_(self) -> str | None:
        return None if self._told is None else "\n".join(map(_html, self._told.blocks))

    def _worked_out(self) -> _Told:
        if self._told is None:
            raise ValueError("cut sheet that was put together by hand: only what CutList.cuts returns has JSON")
        return self._told


def tell(
    sheet: CutSheet, text: str, json: str, blocks: tuple[str | tuple[list[str], list[list[str]]], ...]
) -> CutSheet:
    """The sheet with what the command prints of it."""
    object.__setattr__(sheet, "_told", _Told(text, json, blocks))
    return sheet


def _html(block: str | tuple[list[str], list[list[str]]]) -> str:
    """A block of the sheet; colours are the notebook's own, so that it is read in light and dark."""
    if isinstance(block, str):
        return f'<p style="white-space: pre-line">{escape(block)}</p>'
    heads, rows = block
    sides = ["right" if head.startswith(">") else "left" for head in heads]

    def row(tag: str, cells: list[str]) -> str:
        told = (
            f'<{tag} style="text-align: {side}">{escape(cell)}</{tag}>'
            for side, cell in zip(sides, cells, strict=True)
        )
        return f"<tr>{''.join(told)}</tr>"

    head = row("th", [head.removeprefix(">") for head in heads])
    return f"<table><thead>{head}</thead><tbody>{''.join(row('td', cells) for cells in rows)}</tbody></table>"
