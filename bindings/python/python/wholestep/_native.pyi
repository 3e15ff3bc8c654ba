from collections.abc import Callable, Iterable, Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from os import PathLike
from types import GenericAlias
from typing import Any, Final, Generic, Literal, Never, Self, SupportsIndex, TypeAlias, final, overload

from typing_extensions import Buffer, TypeVar

from ._cut_list import CutList, CutSheet, Part
from ._protocols import Mechanism
from ._rehearsal import Rehearsed
from ._study import Summary
from .events import Event

__all__ = [
    "Acceleration",
    "Angle",
    "Axis",
    "Carriage",
    "Conformance",
    "DepthOfCut",
    "Detent",
    "DriveTrain",
    "Enclosure",
    "Fault",
    "GridFit",
    "Inputs",
    "Jerk",
    "Leg",
    "Length",
    "Linear",
    "Output",
    "Placement",
    "Plan",
    "Quadrature",
    "Repeatability",
    "ScrewTilt",
    "Speed",
    "StepEdge",
    "SwingArm",
    "Thread",
    "TiltedBlade",
    "TravelCheck",
    "GroundTruth",
    "Twin",
    "__version__",
    "_defect",
    "_forget_kinds",
    "check_conformance",
    "command",
    "hold_against",
    "load_cut_list",
    "load_parts",
    "look_at_study",
    "machines_left",
    "register",
    "run_rehearsal",
    "run_trials",
    "sum_up",
    "work_out",
    "work_out_effort",
]

# What an axis measures; an annotation that leaves it open allows either.
_Measure_co = TypeVar("_Measure_co", bound=Length | Angle, default=Length | Angle, covariant=True)
_Measured = TypeVar("_Measured", Length, Angle)

# Numbers of numpy, and other rationals, are taken too.
_Number: TypeAlias = int | Fraction | Decimal
# The fields of a `wholestep.Trial`.
_Trial: TypeAlias = tuple[int, float | None, list[float], int, float | None, str | None]
_End: TypeAlias = Literal["low", "high"]
_Input: TypeAlias = Literal["low_switch", "high_switch", "probe", "enable", "dial", "rocker"]
_State: TypeAlias = Literal[
    "resting",
    "travelling",
    "braking",
    "jogging",
    "finding_datum",
    "touching_off",
    "commissioning",
    "faulted",
]
_CommissioningTask: TypeAlias = Literal[
    "change_low_switch",
    "change_high_switch",
    "change_probe",
    "change_enable",
    "change_dial",
    "change_rocker",
    "nudge",
    "wait",
    "confirm_direction",
    "measure_travel",
    "report_travel",
    "find_datum",
]
_Contact: TypeAlias = Literal["low_switch", "high_switch", "probe", "enable"]
_Rounding: TypeAlias = Literal["nearest", "below", "above"]
_Approach: TypeAlias = Literal["either", "from_below", "from_above"]
_Direction: TypeAlias = Literal["normal", "reversed"]

__version__: str

def command(arguments: Sequence[str]) -> int:
    """Run the `wholestep` command and return its exit status.

    It knows the kinds of mechanism that installed packages offer, which the native command does not.

    `arguments` holds the program's name first, as `sys.argv` does. The command writes to the
    process's own standard output and error, not to `sys.stdout`.

    >>> import wholestep.__main__
    >>> wholestep.__main__.command(["wholestep", "--version"])
    0
    """
def _defect() -> None: ...
def _forget_kinds() -> None: ...
def register(kind: str, factory: Callable[..., Mechanism], *, replace: bool = False) -> None:
    """Offer a kind of mechanism to axis files read in this process.

    ``factory`` makes the mechanism from the ``[mechanism]`` section of a file: a class, or any
    callable with annotated parameters. A parameter is a key of the section, read as its annotation
    says: ``Length``, ``Angle``, ``Fraction``, ``int``, ``bool`` or ``str``; a key may be left out
    where the parameter has a default. A parameter ``drive`` is given the motor and its gears.

    A package offers a kind to every process by an entry point of the group
    ``wholestep.mechanisms`` instead.

    A kind that is registered already is refused; with ``replace``, as for a cell of a notebook that is run
    again, the new one takes its place. Axes already loaded keep theirs, and a built-in kind is never replaced.

    Raises RefusedError for a kind that is registered already, with a note of how to replace it if it can be;
    NotationError for a name that is no single word, and ArgumentTypeError for a factory that cannot be called.

    >>> class Hoist:
    ...     "A movable pulley: the carriage travels half of what the drum winds."
    ...     def __init__(self, drive: wholestep.DriveTrain, rope_per_turn: wholestep.Length) -> None:
    ...         self.travel = rope_per_turn * drive.turns_per_step / 2
    ...     def span(self) -> tuple[int, int]:
    ...         return 0, 100_000
    ...     def position_at(self, step, width) -> wholestep.Length:
    ...         return self.travel * step
    >>> wholestep.register("hoist_of_the_docstring", Hoist)
    """

def load_cut_list(path: str | PathLike[str]) -> CutList:
    """The cut list of a job file; `wholestep.CutList.load`."""
def load_parts(cut_list: CutList, path: str | PathLike[str]) -> tuple[Part, ...]:
    """The parts of a CSV file, for a cut list; `wholestep.CutList.with_parts_from`."""
def work_out(cut_list: CutList, axis: Axis) -> CutSheet:
    """A cut list worked out for an axis; `wholestep.CutList.cuts`."""
def work_out_effort(axis: Axis, margin: str) -> str:
    """The effort of an axis; `wholestep.Effort.of`."""
def hold_against(
    axis: Axis, readings: str | PathLike[str], resolution: str, within: str | None, write: str | PathLike[str] | None
) -> str:
    """An axis held against readings, and its file mended at `write`; `wholestep.Calibration.of`."""
def run_rehearsal(
    path: str | PathLike[str], seed: SupportsIndex, faults: list[str], progress: Callable[[str, float], object] | None
) -> Rehearsed:
    """A job run on a twin; `wholestep.rehearse`."""
def look_at_study(path: str | PathLike[str], within: str, seed: SupportsIndex) -> tuple[list[str], list[str]]:
    """What stops a job has, and from which keys its machines are drawn; for `wholestep.Study`."""
def machines_left(machines: SupportsIndex, done: set[int]) -> list[tuple[int, int]]:
    """Runs of the machines up to `machines` that are not among `done`, each the first and how many; for
    `wholestep.Study.run`.
    """
def run_trials(
    path: str | PathLike[str], within: str, seed: SupportsIndex, first: SupportsIndex, count: SupportsIndex
) -> list[_Trial]:
    """Rehearses a job on so many machines from `first` on; for the workers of `wholestep.Study.run`."""
def sum_up(path: str | PathLike[str], within: str, seed: SupportsIndex, trials: list[_Trial]) -> Summary:
    """What trials come to; for `wholestep.Study`."""

@final
class Length:
    """An exact length.

    From text with its unit, from text without one and a unit, or from an exact number and a
    unit. A float is refused, for it is not exact. Lengths are compared, added, scaled by exact
    numbers and divided by one another; equal ones hash alike whatever unit they came in.

    Raises NotationError for a text that is none, MissingUnitError or UnitError for its unit,
    InexactNumberError for a float, and OutOfRangeError for what is larger or finer than the range holds.

    >>> from fractions import Fraction
    >>> panel = wholestep.Length("23/32 in")
    >>> panel == wholestep.Length(Fraction(23, 32), "in") == wholestep.Length("18.25625", "mm")
    True
    >>> 3 * panel + wholestep.Length("1/8 in")
    Length('57.94375 mm')
    >>> wholestep.Length(0.125, "in")
    Traceback (most recent call last):
        ...
    wholestep.errors.InexactNumberError: binary float “0.125”: write it exactly: "0.125 in"
    """
    ZERO: Final[Length]
    MAX: Final[Length]
    def __new__(cls, value: str | Length | _Number, unit: str | None = None) -> Self: ...
    def value_in(self, unit: str) -> Fraction:
        """The exact number of units.

        >>> wholestep.Length("18.25 mm").value_in("in")
        Fraction(365, 508)
        """
    def to_text(self, unit: str) -> str:
        """Written exactly in a unit: the decimal if it is short, otherwise the mixed number.
        It is read back as the same value.

        >>> wholestep.Length("18.25 mm").to_text("cm"), wholestep.Length("18.25 mm").to_text("in")
        ('1.825 cm', '365/508 in')
        """
    def fraction_in(self, unit: str, denominator: SupportsIndex) -> str:
        """Written as the nearest fraction of a unit, with what is left.

        >>> wholestep.Length("0.72 in").fraction_in("in", 32)
        '23/32 in + 0.00125 in'
        """
    def decimal_in(self, unit: str, places: SupportsIndex) -> str:
        """Written as a decimal of so many places, with ``≈`` in front if it is rounded.

        >>> wholestep.Length("15/32 in").decimal_in("mm", 4)
        '≈ 11.9062 mm'
        """
    def rounded_to(self, step: str | Length, rounding: _Rounding = "nearest") -> Length:
        """The nearest whole multiple of a step, or the one below or above; a tie goes to the even one.

        >>> wholestep.Length("18.25 mm").rounded_to("1/64 in").to_text("in")
        '0.71875 in'
        """
    def to_pint(self, registry: Any, unit: str | None = None) -> Any:
        """The quantity of a `pint.UnitRegistry`, exactly, as a `Fraction` of the unit (without one, of
        `mm`). A quantity is read back by the class.
        """
    def __format__(self, specification: str, /) -> str: ...
    def __add__(self, other: Length, /) -> Length: ...
    # Only 0, with which `sum` begins.
    def __radd__(self, other: Length | int, /) -> Length: ...
    def __sub__(self, other: Length, /) -> Length: ...
    def __rsub__(self, other: Length, /) -> Length: ...
    def __mul__(self, factor: _Number, /) -> Length: ...
    def __rmul__(self, factor: _Number, /) -> Length: ...
    @overload
    def __truediv__(self, divisor: Length, /) -> Fraction: ...
    @overload
    def __truediv__(self, divisor: _Number, /) -> Length: ...
    def __rtruediv__(self, dividend: Length, /) -> Fraction: ...
    def __floordiv__(self, divisor: Length, /) -> int: ...
    def __rfloordiv__(self, dividend: Length, /) -> int: ...
    def __mod__(self, divisor: Length, /) -> Length: ...
    def __rmod__(self, dividend: Length, /) -> Length: ...
    def __divmod__(self, divisor: Length, /) -> tuple[int, Length]: ...
    def __rdivmod__(self, dividend: Length, /) -> tuple[int, Length]: ...
    def __neg__(self) -> Length: ...
    def __pos__(self) -> Length: ...
    def __abs__(self) -> Length: ...
    def __bool__(self) -> bool: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __lt__(self, other: Length, /) -> bool: ...
    def __le__(self, other: Length, /) -> bool: ...
    def __gt__(self, other: Length, /) -> bool: ...
    def __ge__(self, other: Length, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[type[Length], tuple[Fraction, str]]: ...

@final
class Angle:
    """An exact angle.

    From text with its unit, from text without one and a unit, or from an exact number and a
    unit. A float is refused, for it is not exact.

    Raises NotationError for a text that is none, MissingUnitError or UnitError for its unit,
    InexactNumberError for a float, and OutOfRangeError for what is larger or finer than the range holds.

    >>> bevel = wholestep.Angle("34°25'")
    >>> bevel == wholestep.Angle("34-5/12 deg")
    True
    >>> (90 * wholestep.Angle("1 deg") - bevel) / wholestep.Angle("1 arcmin")
    Fraction(3335, 1)
    """
    ZERO: Final[Angle]
    MAX: Final[Angle]
    def __new__(cls, value: str | Angle | _Number, unit: str | None = None) -> Self: ...
    def value_in(self, unit: str) -> Fraction:
        """The exact number of units.

        >>> wholestep.Angle("1/8 turn").value_in("deg")
        Fraction(45, 1)
        """
    def to_text(self, unit: str) -> str:
        """Written exactly in a unit: the decimal if it is short, otherwise the mixed number.
        It is read back as the same value.

        >>> wholestep.Length("18.25 mm").to_text("cm"), wholestep.Length("18.25 mm").to_text("in")
        ('1.825 cm', '365/508 in')
        """
    def fraction_in(self, unit: str, denominator: SupportsIndex) -> str:
        """Written as the nearest fraction of a unit, with what is left.

        >>> wholestep.Length("0.72 in").fraction_in("in", 32)
        '23/32 in + 0.00125 in'
        """
    def decimal_in(self, unit: str, places: SupportsIndex) -> str:
        """Written as a decimal of so many places, with ``≈`` in front if it is rounded.

        >>> wholestep.Length("15/32 in").decimal_in("mm", 4)
        '≈ 11.9062 mm'
        """
    def rounded_to(self, step: str | Angle, rounding: _Rounding = "nearest") -> Angle:
        """The nearest whole multiple of a step, or the one below or above; a tie goes to the even one.

        >>> wholestep.Angle("22.7 deg").rounded_to("0.5 deg")
        Angle('22.5 deg')
        """
    def to_pint(self, registry: Any, unit: str | None = None) -> Any:
        """The quantity of a `pint.UnitRegistry`, exactly, as a `Fraction` of the unit (without one, of
        `deg`). A quantity is read back by the class.
        """
    def __format__(self, specification: str, /) -> str: ...
    def __add__(self, other: Angle, /) -> Angle: ...
    # Only 0, with which `sum` begins.
    def __radd__(self, other: Angle | int, /) -> Angle: ...
    def __sub__(self, other: Angle, /) -> Angle: ...
    def __rsub__(self, other: Angle, /) -> Angle: ...
    def __mul__(self, factor: _Number, /) -> Angle: ...
    def __rmul__(self, factor: _Number, /) -> Angle: ...
    @overload
    def __truediv__(self, divisor: Angle, /) -> Fraction: ...
    @overload
    def __truediv__(self, divisor: _Number, /) -> Angle: ...
    def __rtruediv__(self, dividend: Angle, /) -> Fraction: ...
    def __floordiv__(self, divisor: Angle, /) -> int: ...
    def __rfloordiv__(self, dividend: Angle, /) -> int: ...
    def __mod__(self, divisor: Angle, /) -> Angle: ...
    def __rmod__(self, dividend: Angle, /) -> Angle: ...
    def __divmod__(self, divisor: Angle, /) -> tuple[int, Angle]: ...
    def __rdivmod__(self, dividend: Angle, /) -> tuple[int, Angle]: ...
    def __neg__(self) -> Angle: ...
    def __pos__(self) -> Angle: ...
    def __abs__(self) -> Angle: ...
    def __bool__(self) -> bool: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __lt__(self, other: Angle, /) -> bool: ...
    def __le__(self, other: Angle, /) -> bool: ...
    def __gt__(self, other: Angle, /) -> bool: ...
    def __ge__(self, other: Angle, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[type[Angle], tuple[Fraction, str]]: ...

@final
class Speed:
    """An exact speed, along a line or about an axis; never negative.

    From text with its unit, or from an exact number and a unit. A float is refused, for it is not exact.
    Speeds of one measure are compared, added, scaled by exact numbers and divided by one another.

    Raises NotationError, UnitError, MissingUnitError, InexactNumberError or OutOfRangeError.

    >>> feed = wholestep.Speed("300 mm/min")
    >>> feed == wholestep.Speed(5, "mm/s"), 2 * feed, feed / wholestep.Speed("1 in/s")
    (True, Speed('10 mm/s'), Fraction(25, 127))
    >>> f"{feed:.2 in/s}", wholestep.Speed("2 rev/min").to_text("deg/s")
    ('≈ 0.20 in/s', '12 deg/s')
    """
    def __new__(cls, value: str | Speed | _Number, unit: str | None = None) -> Self: ...
    def value_in(self, unit: str) -> Fraction:
        """The exact number of units, such as ``mm/s`` for a speed.

        Raises UnitError for a unit of another measure or another power of time.
        """
    def to_text(self, unit: str) -> str:
        """Written exactly in a unit: the decimal if it is short, otherwise the mixed number.
        It is read back as the same value.

        Raises UnitError for a unit of another measure or another power of time.
        """
    def decimal_in(self, unit: str, places: SupportsIndex) -> str:
        """Written as a decimal of so many places, with ``≈`` in front if it is rounded.

        Raises UnitError for a unit of another measure, and OutOfRangeError above 18 places.
        """
    def __format__(self, specification: str, /) -> str: ...
    def __add__(self, other: Speed, /) -> Speed: ...
    # Only 0, with which `sum` begins.
    def __radd__(self, other: Speed | int, /) -> Speed: ...
    def __sub__(self, other: Speed, /) -> Speed: ...
    def __rsub__(self, other: Speed, /) -> Speed: ...
    def __mul__(self, factor: _Number, /) -> Speed: ...
    def __rmul__(self, factor: _Number, /) -> Speed: ...
    @overload
    def __truediv__(self, divisor: Speed, /) -> Fraction: ...
    @overload
    def __truediv__(self, divisor: _Number, /) -> Speed: ...
    def __rtruediv__(self, dividend: Speed, /) -> Fraction: ...
    def __bool__(self) -> bool: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __lt__(self, other: Speed, /) -> bool: ...
    def __le__(self, other: Speed, /) -> bool: ...
    def __gt__(self, other: Speed, /) -> bool: ...
    def __ge__(self, other: Speed, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[type[Speed], tuple[Fraction, str]]: ...

@final
class Acceleration:
    """An exact acceleration, along a line or about an axis; never negative.

    From text with its unit, or from an exact number and a unit, as a speed is.

    Raises NotationError, UnitError, MissingUnitError, InexactNumberError or OutOfRangeError.

    >>> wholestep.Acceleration("4 in/s²").value_in("mm/s²")
    Fraction(508, 5)
    """
    def __new__(cls, value: str | Acceleration | _Number, unit: str | None = None) -> Self: ...
    def value_in(self, unit: str) -> Fraction:
        """The exact number of units, such as ``mm/s`` for a speed.

        Raises UnitError for a unit of another measure or another power of time.
        """
    def to_text(self, unit: str) -> str:
        """Written exactly in a unit: the decimal if it is short, otherwise the mixed number.
        It is read back as the same value.

        Raises UnitError for a unit of another measure or another power of time.
        """
    def decimal_in(self, unit: str, places: SupportsIndex) -> str:
        """Written as a decimal of so many places, with ``≈`` in front if it is rounded.

        Raises UnitError for a unit of another measure, and OutOfRangeError above 18 places.
        """
    def __format__(self, specification: str, /) -> str: ...
    def __add__(self, other: Acceleration, /) -> Acceleration: ...
    # Only 0, with which `sum` begins.
    def __radd__(self, other: Acceleration | int, /) -> Acceleration: ...
    def __sub__(self, other: Acceleration, /) -> Acceleration: ...
    def __rsub__(self, other: Acceleration, /) -> Acceleration: ...
    def __mul__(self, factor: _Number, /) -> Acceleration: ...
    def __rmul__(self, factor: _Number, /) -> Acceleration: ...
    @overload
    def __truediv__(self, divisor: Acceleration, /) -> Fraction: ...
    @overload
    def __truediv__(self, divisor: _Number, /) -> Acceleration: ...
    def __rtruediv__(self, dividend: Acceleration, /) -> Fraction: ...
    def __bool__(self) -> bool: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __lt__(self, other: Acceleration, /) -> bool: ...
    def __le__(self, other: Acceleration, /) -> bool: ...
    def __gt__(self, other: Acceleration, /) -> bool: ...
    def __ge__(self, other: Acceleration, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[type[Acceleration], tuple[Fraction, str]]: ...

@final
class Jerk:
    """An exact jerk, along a line or about an axis; never negative.

    From text with its unit, or from an exact number and a unit, as a speed is.

    Raises NotationError, UnitError, MissingUnitError, InexactNumberError or OutOfRangeError.

    >>> wholestep.Jerk("1000 mm/s³") - wholestep.Jerk("1/2", "m/s³")
    Jerk('500 mm/s³')
    """
    def __new__(cls, value: str | Jerk | _Number, unit: str | None = None) -> Self: ...
    def value_in(self, unit: str) -> Fraction:
        """The exact number of units, such as ``mm/s`` for a speed.

        Raises UnitError for a unit of another measure or another power of time.
        """
    def to_text(self, unit: str) -> str:
        """Written exactly in a unit: the decimal if it is short, otherwise the mixed number.
        It is read back as the same value.

        Raises UnitError for a unit of another measure or another power of time.
        """
    def decimal_in(self, unit: str, places: SupportsIndex) -> str:
        """Written as a decimal of so many places, with ``≈`` in front if it is rounded.

        Raises UnitError for a unit of another measure, and OutOfRangeError above 18 places.
        """
    def __format__(self, specification: str, /) -> str: ...
    def __add__(self, other: Jerk, /) -> Jerk: ...
    # Only 0, with which `sum` begins.
    def __radd__(self, other: Jerk | int, /) -> Jerk: ...
    def __sub__(self, other: Jerk, /) -> Jerk: ...
    def __rsub__(self, other: Jerk, /) -> Jerk: ...
    def __mul__(self, factor: _Number, /) -> Jerk: ...
    def __rmul__(self, factor: _Number, /) -> Jerk: ...
    @overload
    def __truediv__(self, divisor: Jerk, /) -> Fraction: ...
    @overload
    def __truediv__(self, divisor: _Number, /) -> Jerk: ...
    def __rtruediv__(self, dividend: Jerk, /) -> Fraction: ...
    def __bool__(self) -> bool: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __lt__(self, other: Jerk, /) -> bool: ...
    def __le__(self, other: Jerk, /) -> bool: ...
    def __gt__(self, other: Jerk, /) -> bool: ...
    def __ge__(self, other: Jerk, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[type[Jerk], tuple[Fraction, str]]: ...

@final
class Enclosure(Generic[_Measure_co]):
    """A closed interval that holds the truth; exact if both bounds are the same.

    >>> wholestep.Enclosure("1 mm", "1.5 mm").is_exact
    False
    >>> wholestep.Enclosure("30 deg", "30 deg").is_exact
    True
    """
    def __class_getitem__(cls, measure: Any) -> GenericAlias: ...
    @overload
    def __new__(cls, low: str | Length, high: Length) -> Enclosure[Length]: ...
    @overload
    def __new__(cls, low: Length, high: str) -> Enclosure[Length]: ...
    @overload
    def __new__(cls, low: str | Angle, high: Angle) -> Enclosure[Angle]: ...
    @overload
    def __new__(cls, low: Angle, high: str) -> Enclosure[Angle]: ...
    @overload
    def __new__(cls, low: str, high: str) -> Enclosure: ...
    __match_args__: Final = ("low", "high")
    @property
    def low(self) -> _Measure_co:
        """The lower bound."""
    @property
    def high(self) -> _Measure_co:
        """The upper bound."""
    @property
    def is_exact(self) -> bool:
        """Whether both bounds are the same, which is then the truth itself."""
    @property
    def middle(self) -> _Measure_co:
        """The middle; if the bounds differ, to 1e-12 of a millimetre or degree.

        >>> wholestep.Enclosure("1 mm", "1.5 mm").middle
        Length('1.25 mm')
        """
    @property
    def width(self) -> _Measure_co:
        """How far the bounds are apart."""
    def __add__(self, other: Enclosure | str | Length | Angle, /) -> Enclosure[_Measure_co]: ...
    def __radd__(self, other: Enclosure | str | Length | Angle, /) -> Enclosure[_Measure_co]: ...
    def __sub__(self, other: Enclosure | str | Length | Angle, /) -> Enclosure[_Measure_co]: ...
    def __rsub__(self, other: Enclosure | str | Length | Angle, /) -> Enclosure[_Measure_co]: ...
    def __mul__(self, factor: _Number, /) -> Enclosure[_Measure_co]: ...
    def __rmul__(self, factor: _Number, /) -> Enclosure[_Measure_co]: ...
    def __neg__(self) -> Enclosure[_Measure_co]: ...
    def __contains__(self, value: str | Length | Angle, /) -> bool: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[type[Enclosure[_Measure_co]], tuple[_Measure_co, _Measure_co]]: ...

@final
class DriveTrain:
    """A motor that turns ``step_angle`` a full step, its driver in ``step_mode`` (``"full"``,
    ``"half"``, ``"1/16"`` or a number), and the pairs of teeth behind it.

    >>> drive = wholestep.DriveTrain("1.8 deg", "1/16")
    >>> drive.turns_per_step, drive.geared(20, 60).turns_per_step
    (Fraction(1, 3200), Fraction(1, 9600))
    """
    def __new__(cls, step_angle: str | Angle, step_mode: str | SupportsIndex, *pairs: tuple[SupportsIndex, SupportsIndex]) -> Self: ...
    def geared(self, driver: SupportsIndex, driven: SupportsIndex) -> DriveTrain:
        """The same drive with a further pair of gears or pulleys: ``driver`` teeth turn ``driven``.

        Raises OutOfRangeError for a tooth count that no gear has.

        >>> wholestep.DriveTrain("1.8 deg", "1/16").geared(20, 60)
        DriveTrain('1.8 deg', '1/16', (20, 60))
        """
    @property
    def turns_per_step(self) -> Fraction:
        """Turns of the driven shaft for one step."""
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[type[DriveTrain], tuple[str | tuple[int, int], ...]]: ...

@final
class Thread:
    """A screw thread, read from its designation.

    ``"M8"``, ``"M8x1"``, ``"M16xPh3P1.5"``, ``"Tr12x3"``, ``"Tr8x8(P2)"``, ``"3/8-16 UNC"``,
    ``"1/2-10 Acme"`` and ``"1/2-8 Acme, 2 starts"`` are some; ``LH`` at the end makes a left-hand
    thread. Only metric coarse, UNC and Acme may leave out their pitch, which then is the one that the
    standard lists. The hand does not turn an axis round; its ``direction`` does.

    >>> thread = wholestep.Thread("Tr60x18(P9)LH")
    >>> thread.pitch, thread.lead, thread.starts, thread.hand
    (Length('9 mm'), Length('18 mm'), 2, 'left')
    >>> wholestep.Thread("M8")
    Thread('M8x1.25')
    """
    def __new__(cls, designation: str) -> Self: ...
    @property
    def diameter(self) -> Length:
        """The nominal diameter."""
    @property
    def pitch(self) -> Length:
        """From one ridge to the next, along the screw."""
    @property
    def starts(self) -> int:
        """How many ridges run side by side."""
    @property
    def lead(self) -> Length:
        """The travel of one turn: pitch times starts."""
    @property
    def hand(self) -> Literal["right", "left"]:
        """To which side it is cut: ``"right"`` or ``"left"``."""
    @property
    def standard(self) -> str | None:
        """The standard whose list of sizes holds this diameter and pitch; ``None`` if no list here does.
        The lists are not copied from the standards themselves (second-hand, or memory).

        >>> wholestep.Thread("Tr12x3").standard, wholestep.Thread("Tr8x2").standard
        ('ISO 2904', None)
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[type[Thread], tuple[str]]: ...

@final
class Linear:
    """A drive train in which every step travels alike and step 0 stands at 0.

    Made by the static methods named after the drive trains.

    >>> drive = wholestep.DriveTrain("1.8 deg", "1/16")
    >>> screw = wholestep.Linear.lead_screw_by_pitch(drive, "2 mm", 4)
    >>> screw.travel_per_step.low
    Length('0.0025 mm')
    """
    @staticmethod
    def lead_screw_by_pitch(drive: DriveTrain, pitch: str | Length, starts: SupportsIndex) -> Linear:
        """A lead screw by its pitch and number of starts.

        Raises OutOfRangeError for a pitch of 0 or less.
        """
    @staticmethod
    def lead_screw_by_lead(drive: DriveTrain, lead: str | Length) -> Linear:
        """A lead screw by its lead: the travel of one turn.

        Raises OutOfRangeError for a lead of 0 or less.
        """
    @staticmethod
    def lead_screw_by_threads_per_inch(drive: DriveTrain, threads_per_inch: _Number, starts: SupportsIndex = 1) -> Linear:
        """A lead screw by its threads per inch and number of starts.

        Raises OutOfRangeError for a count of 0 or less.
        """
    @staticmethod
    def lead_screw_by_thread(drive: DriveTrain, thread: str | Thread) -> Linear:
        """A lead screw by the designation of its thread, as text or a :class:`Thread`.

        Raises NotationError for a designation that is none, and UnitError for a thread without a lead.

        >>> drive = wholestep.DriveTrain("1.8 deg", "1/16")
        >>> wholestep.Linear.lead_screw_by_thread(drive, "1/2 Acme")
        Linear.lead_screw_by_thread(DriveTrain('1.8 deg', '1/16'), '1/2-10 Acme')
        """
    @staticmethod
    def belt(drive: DriveTrain, tooth_pitch: str | Length, pulley_teeth: SupportsIndex) -> Linear:
        """A toothed belt by its tooth pitch and the teeth of the pulley that drives it.

        Raises OutOfRangeError for a pitch of 0 or less.
        """
    @staticmethod
    def rack_by_tooth_pitch(drive: DriveTrain, tooth_pitch: str | Length, pinion_teeth: SupportsIndex) -> Linear:
        """A rack by its tooth pitch and the teeth of the pinion.

        Raises OutOfRangeError for a pitch of 0 or less.
        """
    @staticmethod
    def rack_by_module(drive: DriveTrain, module: str | Length, pinion_teeth: SupportsIndex) -> Linear:
        """A rack by its module and the teeth of the pinion: one turn travels π × module × teeth.

        Raises OutOfRangeError for a module of 0 or less.

        >>> rack = wholestep.Linear.rack_by_module(wholestep.DriveTrain("1.8 deg", "full"), "1 mm", 20)
        >>> rack.travel_per_step.is_exact
        False
        """
    @staticmethod
    def drum(drive: DriveTrain, diameter: str | Length, rope_thickness: str | Length) -> Linear:
        """A drum by its diameter and the thickness of the rope: one turn of a single layer travels
        π × (diameter + thickness).

        Raises OutOfRangeError for a diameter of 0 or less.
        """
    @staticmethod
    def measured(drive: DriveTrain, travel_per_turn: str | Length) -> Linear:
        """Anything else by the travel measured for one turn.

        Raises OutOfRangeError for a travel of 0.
        """
    @staticmethod
    def rotary(drive: DriveTrain) -> Linear:
        """A table, arm or trunnion that turns with the driven shaft; a worm and wheel is a pair of
        teeth with the worm's starts as driver.
        """
    @property
    def travel_per_step(self) -> Enclosure:
        """The travel of one step."""
    def span(self) -> tuple[int, int]:
        """The first and the last step at which it can stand."""
    def position_at(self, step: SupportsIndex, width: _Number) -> Enclosure:
        """Where it stands at a step, between bounds no further apart than ``width``.

        Raises OutOfRangeError for a step off the span.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[Callable[..., Linear], tuple[DriveTrain | str | int | Fraction, ...]]: ...

_ScrewMotion: TypeAlias = Literal["lengthening", "shortening"]

@final
class SwingArm:
    """A blade whose arbor swings on an arm, by a screw between two pivots or by a worm on a sector: its height
    above the table.

    >>> drive = wholestep.DriveTrain("1.8 deg", "1/10")
    >>> blade = wholestep.SwingArm.by_sector(
    ...     drive, arm="150 mm", pivot_depth="125 mm", blade_diameter="250 mm",
    ...     worm_starts=1, sector_teeth=120, arm_angle="0 deg",
    ... )
    >>> blade.position_at(20_000, 1).low  # ten turns of the worm raise the arm by 30°, whose sine is a half
    Length('75 mm')
    """
    @staticmethod
    def by_screw(
        drive: DriveTrain,
        *,
        arm: str | Length,
        pivot_depth: str | Length,
        blade_diameter: str | Length,
        nut_along: str | Length,
        anchor_ahead: str | Length,
        anchor_above: str | Length,
        screw_length: str | Length,
        lead: str | Length,
        raised_by: _ScrewMotion,
        nut_across: str | Length | None = None,
    ) -> SwingArm:
        """By a screw, measured with rule and square from the arm's pivot: ``nut_along`` the line from there to the
        arbor and ``nut_across`` it to the nut; ``anchor_ahead`` and ``anchor_above`` to the screw's pivot on
        the frame.

        ``raised_by`` is the way of the screw that raises the arm, ``"lengthening"`` or ``"shortening"``.
        """
    @staticmethod
    def by_sector(
        drive: DriveTrain,
        *,
        arm: str | Length,
        pivot_depth: str | Length,
        blade_diameter: str | Length,
        worm_starts: SupportsIndex,
        sector_teeth: SupportsIndex,
        arm_angle: str | Angle,
    ) -> SwingArm:
        """By a worm on a sector; ``sector_teeth`` are those of the whole wheel, and ``arm_angle`` is the elevation
        of the arm above the horizontal at step 0.
        """
    def span(self) -> tuple[int, int]:
        """The first and the last step at which it can stand."""
    def position_at(self, step: SupportsIndex, width: _Number) -> Enclosure[Length]:
        """Where it stands at a step, between bounds no further apart than ``width``, in millimetres.

        Raises OutOfRangeError for a step off the span.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[Callable[[], SwingArm], tuple[()]]: ...

@final
class ScrewTilt:
    """A trunnion, with its blade or table, tilted by a screw across two pivots.

    ``tilted_by`` is the way of the screw that increases the tilt, ``"lengthening"`` or ``"shortening"``.

    >>> drive = wholestep.DriveTrain("1.8 deg", "1/8")
    >>> tilt = wholestep.ScrewTilt(
    ...     drive, nut_distance="180 mm", anchor_distance="240 mm", screw_length="200 mm", lead="4 mm",
    ...     tilted_by="lengthening", low_stop="-1 deg", high_stop="46 deg",
    ... )
    >>> axis = wholestep.Axis(tilt, low="0 deg", high="45 deg", speed="2 deg/s", acceleration="4 deg/s²")
    >>> axis.place("22.5 deg").step
    26411
    """
    def __new__(
        cls,
        drive: DriveTrain,
        *,
        nut_distance: str | Length,
        anchor_distance: str | Length,
        screw_length: str | Length,
        lead: str | Length,
        tilted_by: _ScrewMotion,
        low_stop: str | Angle,
        high_stop: str | Angle,
    ) -> Self: ...
    def span(self) -> tuple[int, int]:
        """The first and the last step at which it can stand."""
    def position_at(self, step: SupportsIndex, width: _Number) -> Enclosure[Angle]:
        """Where it stands at a step, between bounds no further apart than ``width``, in degrees.

        Raises OutOfRangeError for a step off the span.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[Callable[[], ScrewTilt], tuple[()]]: ...

@final
class TiltedBlade:
    """A circular blade that tilts about a pivot below the table: how deep it cuts, how wide, and how far the
    fence has to follow.

    ``axis_diameter`` is the diameter of the blade for which the height axis was set up, ``pivot_depth`` how
    far the pivot lies below the table, ``pivot_offset`` how far from the blade's face towards the fence.

    >>> blade = wholestep.TiltedBlade("250 mm", "250 mm", kerf="2.8 mm", pivot_depth="20 mm", pivot_offset="1.4 mm")
    >>> f"{blade.depth_of_cut('60 mm', '45 deg').middle:.3 mm}"
    '≈ 35.579 mm'
    >>> f"{blade.fence_correction('45 deg', '0 mm').middle:.3 mm}"
    '≈ -20.580 mm'
    """
    def __new__(
        cls,
        diameter: str | Length,
        axis_diameter: str | Length,
        kerf: str | Length,
        pivot_depth: str | Length,
        pivot_offset: str | Length,
    ) -> Self: ...
    def depth_of_cut(self, height: str | Length | Enclosure[Length], tilt: str | Angle | Enclosure[Angle]) -> Enclosure[Length]:
        """How far the highest point of the blade stands above the table, at a height of the untilted axis; each
        may be an enclosure, such as a placement's position.

        Raises OutOfRangeError for a tilt that the blade does not take.
        """
    def fence_correction(self, tilt: str | Angle | Enclosure[Angle], level: str | Length) -> Enclosure[Length]:
        """How far to the right the blade's face crosses a level above the table, seen from where it stands
        untilted: what the fence moves by. Level 0 is the underside of the piece.

        Raises OutOfRangeError for a tilt that the blade does not take.
        """
    def kerf_at_table(self, tilt: str | Angle | Enclosure[Angle]) -> Enclosure[Length]:
        """The width of the cut in the plane of the table.

        Raises OutOfRangeError for a tilt that the blade does not take.
        """
    def at_tilt(self, height: Mechanism, tilt: str | Angle | Enclosure[Angle]) -> DepthOfCut:
        """The mechanism of the height, seen as one of the depth of cut at a tilt, so that a depth is placed on its
        steps as a height is.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[type[TiltedBlade], tuple[str, str, str, str, str]]: ...

@final
class DepthOfCut:
    """The depth of cut at one tilt, by the steps of a height axis; made by :meth:`TiltedBlade.at_tilt`."""
    def span(self) -> tuple[int, int]:
        """The first and the last step at which it can stand."""
    def position_at(self, step: SupportsIndex, width: _Number) -> Enclosure[Length]:
        """Where it stands at a step, between bounds no further apart than ``width``, in millimetres.

        Raises OutOfRangeError for a step off the span.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[Callable[..., DepthOfCut], tuple[Mechanism, Enclosure]]: ...

@final
class GridFit(Generic[_Measure_co]):
    """Which marks of a grid, such as the 64ths of an inch, an axis of uniform steps holds exactly.

    Made by :meth:`Axis.grid_fit`.
    """
    def __class_getitem__(cls, measure: Any) -> GenericAlias: ...
    __match_args__: Final = ("every", "worst")
    def __new__(cls, every: SupportsIndex, worst: str | Length | Angle) -> Self: ...
    @property
    def every(self) -> int:
        """Every how many marks one lands exactly: 1 if all do."""
    @property
    def worst(self) -> _Measure_co:
        """The largest distance of any mark from its nearest step."""
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[type[GridFit[_Measure_co]], tuple[int, _Measure_co]]: ...

@final
class Conformance:
    """How much of a mechanism was checked.

    Made by :func:`check_conformance`.
    """
    __match_args__: Final = ("steps", "placements", "open")
    def __new__(cls, steps: SupportsIndex, placements: SupportsIndex, open: SupportsIndex) -> Self: ...
    @property
    def steps(self) -> int:
        """Steps whose positions were asked at every width."""
    @property
    def placements(self) -> int:
        """Placements compared with a search through every step about the target."""
    @property
    def open(self) -> int:
        """Those of them that the finest width left open, as it had to."""
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[type[Conformance], tuple[int, int, int]]: ...

def check_conformance(mechanism: Mechanism, *, samples: SupportsIndex = 100, seed: SupportsIndex = 1) -> Conformance:
    """Checks that a mechanism keeps to what the library relies on, for the tests of whoever writes one.

    Looks at ``samples`` steps, at most a million, spread over the span and at their neighbours: that positions only rise
    or only fall, that bounds hold what finer bounds say, and that targets are placed as a search
    through every step would place them. What is wrong is raised with the step at which it was found;
    an exception of the mechanism comes out unchanged. Other Python threads run meanwhile, and Ctrl-C
    ends it. A wrong formula passes as well as a right one:
    check some positions against a gauge too.

    Raises MechanismError that names the first promise that is not kept.

    >>> import wholestep
    >>> screw = wholestep.Linear.lead_screw_by_lead(wholestep.DriveTrain("1.8 deg", "1/16"), "8 mm")
    >>> wholestep.check_conformance(screw, samples=20).open
    0
    """

@final
class Placement(Generic[_Measure_co]):
    """The step for a target, where it stands, and the remainder: position minus target.

    Made by an axis, whose machine it knows: a carriage, a plan or another axis of another machine
    refuses it. Equal where step, target, position and machine are.

    >>> screw = wholestep.Linear.lead_screw_by_lead(wholestep.DriveTrain("1.8 deg", "1/16"), "8 mm")
    >>> axis = wholestep.Axis(screw, low="0 mm", high="600 mm", speed="40 mm/s", acceleration="200 mm/s²")
    >>> placed = axis.place("5-7/8 in")
    >>> placed.step, placed.position.low, placed.remainder.low.decimal_in("mm", 4)
    (59690, Length('149.225 mm'), '0.0000 mm')
    """
    def __class_getitem__(cls, measure: Any) -> GenericAlias: ...
    __match_args__: Final = ("step", "position", "remainder")
    @property
    def step(self) -> int:
        """The step."""
    @property
    def target(self) -> _Measure_co:
        """What was asked for."""
    @property
    def position(self) -> Enclosure[_Measure_co]:
        """Where the step stands."""
    @property
    def remainder(self) -> Enclosure[_Measure_co]:
        """Position minus target: positive if the step stands beyond the target."""
    @property
    def is_decided(self) -> bool:
        """Whether the bounds told the step apart from its neighbours; always true of exact mechanisms."""
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[Callable[[Axis[_Measure_co]], Placement[_Measure_co]], tuple[Axis[_Measure_co]]]: ...

@final
class Axis(Generic[_Measure_co]):
    """A mechanism with everything that makes it an axis of a machine: datum, soft limits, direction,
    approach side, backlash and rates.

    Read from a file by :meth:`load`, or made of a mechanism: one of :class:`Linear`, or any object
    with ``span`` and ``position_at``.

    >>> screw = wholestep.Linear.lead_screw_by_pitch(wholestep.DriveTrain("1.8 deg", "1/16"), "2 mm", 4)
    >>> axis = wholestep.Axis(screw, low="0 mm", high="600 mm", speed="40 mm/s", acceleration="200 mm/s²")
    >>> placed = axis.place("333.3333 mm")
    >>> placed.step, placed.remainder.low
    (133333, Length('-0.0008 mm'))
    >>> axis.place("601 mm")
    Traceback (most recent call last):
        ...
    wholestep.errors.BeyondLimitError: target past a soft limit 601 mm: too far by 1 mm; 0 mm to 600 mm is allowed
    """
    def __class_getitem__(cls, measure: Any) -> GenericAlias: ...
    def __new__(
        cls,
        mechanism: Mechanism,
        *,
        low: str | Length | Angle,
        high: str | Length | Angle,
        speed: str | Speed,
        acceleration: str | Acceleration,
        unit: str | None = None,
        step_zero_at: str | Length | Angle | None = None,
        deceleration: str | Acceleration | None = None,
        jerk: str | Jerk | None = None,
        start_speed: str | Speed | None = None,
        backlash: str | Length | Angle | None = None,
        direction: _Direction = "normal",
        approach: _Approach = "either",
    ) -> Self: ...
    @overload
    @staticmethod
    def load(path: str | PathLike[str], measure: None = None) -> Axis:
        """The axis in a file.

        Kinds of mechanism are the built-in ones, those registered, and those that installed
        packages offer. ``measure`` is Length or Angle if the axis has to measure that, which type checkers
        then know.

        Raises OSError for a file that cannot be read, UnitError for an axis of the other measure, and a
        WholestepError that names line and key for a file that is wrong.
        """
    @overload
    @staticmethod
    def load(path: str | PathLike[str], measure: type[_Measured]) -> Axis[_Measured]: ...
    @overload
    @staticmethod
    def from_toml(text: str, measure: None = None) -> Axis:
        """The axis in the text of a file; ``measure`` as for ``load``.

        Raises UnitError for an axis of the other measure, and a WholestepError that names line and key for a text
        that is wrong.
        """
    @overload
    @staticmethod
    def from_toml(text: str, measure: type[_Measured]) -> Axis[_Measured]: ...
    @property
    def cautions(self) -> list[str]:
        """What in its file works but looks wrong, each with its line; empty without a file."""
    @property
    def name(self) -> str | None:
        """The name in its file."""
    @property
    def kind(self) -> str | None:
        """The kind of mechanism in its file."""
    @property
    def description(self) -> str | None:
        """The mechanism of its file in words, such as ``lead screw: pitch 3 mm, starts 1``."""
    @property
    def timer_hz(self) -> int | None:
        """The timer's rate in its file, in Hz."""
    @property
    def unit(self) -> str:
        """The unit in which it speaks to people."""
    @property
    def low(self) -> _Measure_co:
        """The low soft limit, from the datum."""
    @property
    def high(self) -> _Measure_co:
        """The high soft limit, from the datum."""
    @property
    def step_zero_at(self) -> _Measure_co:
        """Where step 0 stands on the axis's scale."""
    @property
    def zero(self) -> _Measure_co:
        """The temporary zero, from the datum; zero if none is set."""
    @property
    def backlash(self) -> _Measure_co:
        """The lost motion of the drive, which an approach from one side takes up."""
    @property
    def approach(self) -> _Approach:
        """From which side a target is approached: ``either``, ``from_below`` or ``from_above``."""
    @property
    def direction(self) -> _Direction:
        """Which way the motor turns: ``normal`` or ``reversed``."""
    @property
    def speed(self) -> Speed:
        """The highest speed."""
    @property
    def acceleration(self) -> Acceleration:
        """The highest acceleration."""
    @property
    def deceleration(self) -> Acceleration:
        """The highest deceleration."""
    @property
    def jerk(self) -> Jerk | None:
        """The highest jerk; without one, moves are not jerk-limited."""
    @property
    def start_speed(self) -> Speed:
        """A speed that the motor can take at once."""
    @property
    def is_rising(self) -> bool:
        """Whether positions rise with the step number."""
    @property
    def lowest_step(self) -> int:
        """The step allowed lowest by measure."""
    @property
    def highest_step(self) -> int:
        """The step allowed highest by measure."""
    def place(
        self, target: str | Length | Angle, rounding: _Rounding = "nearest", strict: bool = False
    ) -> Placement[_Measure_co]:
        """Round a target once, to one of the steps that the soft limits allow.

        ``rounding`` is ``"nearest"`` (of two equally near, the even step), ``"below"`` or
        ``"above"``, by measure. Where the bounds of a curved mechanism cannot tell the step, the
        placement is not ``is_decided``; with ``strict`` that is an error.

        Raises NotationError or UnitError for a target that is no measure of this axis, BeyondLimitError
        past a soft limit, and UndecidedError if ``strict`` and the bounds do not tell the step apart.
        """
    def check_travel(
        self, expected: _Number, measured: _Number, tolerance: _Number | None = None
    ) -> TravelCheck:
        """Compare a travel that a person measured with the one that the file says, both as numbers of the
        same unit, to within ``tolerance``, a fraction of either: 1/50 suits a travel measured with a rule.
        If they differ, single figures of the file that would explain it are named.

        Raises ZeroDenominatorError for an expected travel of 0.

        >>> lift = wholestep.Axis.load("examples/axes/router_lift.toml")
        >>> check = lift.check_travel(10, 20)
        >>> check.agrees, check.ratio
        (False, Fraction(2, 1))
        >>> check.explanations[0]
        ('step_mode', '1/8', '1/4')
        """
    @overload
    def place_many(
        self,
        targets: Iterable[str | Length | Angle],
        rounding: _Rounding = "nearest",
        strict: bool = False,
        *,
        denominator: None = None,
        unit: None = None,
    ) -> list[Placement[_Measure_co]]:
        """Place many targets.

        Of an iterable of targets, the placements. Of a buffer of whole numbers in one dimension, each
        of which counts ``1/denominator`` of a ``unit``, only the steps: a read-only memoryview of
        64-bit integers, which numpy views without copying. There a step that cannot be decided is an
        error. The numbers may be of 8 to 64 bits, with or without a sign, in either order of bytes.
        Other Python threads run meanwhile, and Ctrl-C ends it.

        Raises what ``place`` raises for the first target that is refused, and ArgumentTypeError for a
        buffer of anything but whole numbers.

        >>> from array import array
        >>> screw = wholestep.Linear.lead_screw_by_lead(wholestep.DriveTrain("1.8 deg", "1/16"), "8 mm")
        >>> axis = wholestep.Axis(screw, low="0 in", high="20 in", speed="1 in/s", acceleration="3 in/s²")
        >>> [placed.step for placed in axis.place_many(["1/64 in", "1/32 in"])]
        [159, 318]
        >>> axis.place_many(array("q", [1, 2, 640]), denominator=64, unit="in").tolist()
        [159, 318, 101600]
        """
    @overload
    def place_many(
        self,
        targets: Buffer,
        rounding: _Rounding = "nearest",
        strict: bool = False,
        *,
        denominator: _Number | None = None,
        unit: str,
    ) -> memoryview[int]: ...
    def place_by(
        self, placement: Placement, distance: str | Length | Angle, rounding: _Rounding = "nearest"
    ) -> Placement[_Measure_co]:
        """Go by a distance from where a placement was asked to stand.

        Counted from its exact target and not from its step, so that any number of distances adds up
        without drift. A placement of another machine is refused.

        Raises OtherAxisError for a placement of another machine, and what ``place`` raises.
        """
    def at_step(self, step: SupportsIndex) -> Placement[_Measure_co]:
        """Where the carriage stands at a step, which may lie outside the soft limits.

        Its target is that position, rounded to 1e-12 of a millimetre or degree unless it is exact.

        Raises OutOfRangeError for a step off the span.
        """
    def with_zero(self, zero: str | Length | Angle) -> Axis[_Measure_co]:
        """The same axis measured from a temporary zero, itself measured from the datum.

        Targets and positions are then relative to the zero; datum, soft limits and step numbers
        stay as they are.

        Raises NotationError or UnitError for a zero that is no measure of this axis.
        """
    def with_step_at(self, step: SupportsIndex, position: str | Length | Angle) -> Axis[_Measure_co]:
        """The same axis measured so that ``step`` stands at ``position``.

        After a change of cutter one touch-off that only measures gives the step of first contact, and
        the height of the gauge is its position: heights recorded from the cutter stay valid, and so do
        datum and soft limits. Unless it is exact, the zero is rounded to 1e-12 of a millimetre or degree.

        Raises OutOfRangeError for a step off the span, and NotationError or UnitError for a position that
        is no measure of this axis.

        >>> lift = wholestep.Axis.load("examples/axes/router_lift.toml")
        >>> contact_step = lift.place("8 mm").step
        >>> lift.with_step_at(contact_step, "12.7 mm").zero.decimal_in("mm", 2)
        '≈ -4.70 mm'
        """
    def grid_fit(self, grid: str | Length | Angle) -> GridFit[_Measure_co] | None:
        """Which marks of a grid, one every ``grid``, it holds exactly; ``None`` if its steps are
        not uniform.

        Raises NotationError or UnitError for a grid that is no measure of this axis, and OutOfRangeError
        for one of 0 or less.

        >>> screw = wholestep.Linear.lead_screw_by_lead(wholestep.DriveTrain("1.8 deg", "1/16"), "8 mm")
        >>> axis = wholestep.Axis(screw, low="0 mm", high="600 mm", speed="40 mm/s", acceleration="200 mm/s²")
        >>> fit = axis.grid_fit("1/64 in")
        >>> fit.every, fit.worst
        (4, Length('0.00125 mm'))
        """
    def plan(
        self,
        start: str | Length | Angle | Placement,
        to: str | Length | Angle | Placement,
        *,
        timer_hz: SupportsIndex | None = None,
        speed: str | Speed | None = None,
        arrived: _Approach = "either",
        direction_setup: str | None = None,
        pulse_high: str | None = None,
        pulse_low: str | None = None,
    ) -> Plan[_Measure_co]:
        """Plan the move from one place to another, each a target or a placement.

        The timer and the pulses are those of the axis's file unless they are given; without a file,
        ``timer_hz`` must be, and pulses are a tick each at least. ``speed`` slows this one move.
        ``arrived`` is the side from which the start was reached, which decides whether backlash
        must be taken up; ``either`` if it is not known.

        Raises PlanError for a move that the timer or the pulses cannot make, OtherAxisError for a placement
        of another machine, and what ``place`` raises for a target.

        >>> screw = wholestep.Linear.lead_screw_by_lead(wholestep.DriveTrain("1.8 deg", "1/16"), "8 mm")
        >>> axis = wholestep.Axis(screw, low="0 mm", high="600 mm", speed="40 mm/s", acceleration="200 mm/s²")
        >>> plan = axis.plan("0 mm", "300 mm", timer_hz=1_000_000)
        >>> plan.steps, plan.ticks, plan.duration
        (120000, 7700000, Fraction(77, 10))
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[Callable[[], Axis[_Measure_co]], tuple[()]]: ...

@final
class Leg:
    """One stretch of a plan in one direction, from rest to rest.

    Made by a plan. Its speeds are exact, in steps and ticks of the plan's timer.
    """
    @property
    def start(self) -> int:
        """The tick of the plan at which it begins."""
    @property
    def end(self) -> int:
        """The tick of the plan at which it ends."""
    @property
    def steps(self) -> int:
        """Its steps, signed."""
    @property
    def direction(self) -> Literal["forward", "backward"]:
        """``forward``, towards higher step numbers, or ``backward``."""
    @property
    def peak_speed(self) -> Fraction:
        """The highest speed, in steps a tick."""
    @property
    def peak_acceleration(self) -> Fraction:
        """The highest acceleration, in steps a tick squared."""
    @property
    def peak_deceleration(self) -> Fraction:
        """The highest deceleration, in steps a tick squared."""
    @property
    def peak_jerk(self) -> Fraction | None:
        """The jerk, in steps a tick cubed; ``None`` if it is not jerk-limited."""
    @property
    def shortest_interval(self) -> int | None:
        """No two of its edges are closer than this many ticks; ``None`` with fewer than two edges."""
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[Callable[[Plan], Leg], tuple[Plan]]: ...

@final
class Plan(Generic[_Measure_co]):
    """A move of whole steps, all its edges decided: it keeps within the axis's rates and the pulse
    timing, or it could not have been made.

    Made by :meth:`Axis.plan`.

    >>> screw = wholestep.Linear.lead_screw_by_lead(wholestep.DriveTrain("1.8 deg", "1/16"), "8 mm")
    >>> axis = wholestep.Axis(screw, low="0 mm", high="600 mm", speed="40 mm/s", acceleration="200 mm/s²")
    >>> plan = axis.plan("0 mm", "1 mm", timer_hz=1_000_000)
    >>> plan.edges()[0], len(plan.edges()), plan.ticks
    (3536, 400, 141422)
    >>> plan.steps_at(70_711), plan.legs[0].shortest_interval
    (Fraction(200, 1), 176)
    """
    def __class_getitem__(cls, measure: Any) -> GenericAlias: ...
    @property
    def steps(self) -> int:
        """Steps from start to end, signed."""
    @property
    def ticks(self) -> int:
        """Duration, in ticks of the timer."""
    @property
    def timer_hz(self) -> int:
        """The timer's rate, in Hz."""
    @property
    def duration(self) -> Fraction:
        """Duration, in seconds."""
    @property
    def edge_count(self) -> int:
        """Edges in all legs."""
    @property
    def start(self) -> Placement[_Measure_co]:
        """The placement from which it starts."""
    @property
    def to(self) -> Placement[_Measure_co]:
        """The placement on which it ends."""
    @property
    def legs(self) -> list[Leg]:
        """The legs that move, in order."""
    def edges(self, first: SupportsIndex = 0, count: SupportsIndex | None = None) -> memoryview[int]:
        """The ticks of the edges from index ``first`` on, ``count`` of them or, without it, all that are
        left: a read-only memoryview of unsigned 64-bit integers, which numpy views without copying.

        Fewer than ``count`` are given if the plan ends before. Which way each steps is its leg's direction.

        Raises OutOfRangeError for an index beyond the last edge, and MemoryError for more than memory
        holds.
        """
    def edges_in_chunks(self, size: SupportsIndex = 65_536) -> Iterator[memoryview[int]]:
        """The ticks of all edges as one iterator over memoryviews of ``size`` each, the last of which may be
        shorter: a move of any length in the memory of one view.

        Raises OutOfRangeError for a size of 0.

        >>> screw = wholestep.Linear.lead_screw_by_lead(wholestep.DriveTrain("1.8 deg", "1/16"), "8 mm")
        >>> axis = wholestep.Axis(screw, low="0 mm", high="600 mm", speed="40 mm/s", acceleration="200 mm/s²")
        >>> plan = axis.plan("0 mm", "1 mm", timer_hz=1_000_000)
        >>> [len(chunk) for chunk in plan.edges_in_chunks(150)]
        [150, 150, 100]
        """
    def steps_at(self, tick: _Number) -> Fraction:
        """The ideal position at a tick, in steps from the start, signed and exact; the tick may be a
        fraction.

        Raises PlanError for a tick outside the plan, and InexactNumberError for a float.
        """
    def steps_per_tick_at(self, tick: _Number) -> Fraction:
        """The speed at a tick, in steps a tick, signed and exact; zero in a dwell.

        Raises PlanError for a tick outside the plan, and InexactNumberError for a float.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[Callable[[Axis[_Measure_co]], Plan[_Measure_co]], tuple[Axis[_Measure_co]]]: ...

@final
class Detent:
    """How many steps a detent of the dial is worth: an exact number, not 0.

    Detents are counted and the whole count is rounded once, so any number of them ends on the step
    nearest to their exact sum.

    >>> from fractions import Fraction
    >>> third = wholestep.Detent(Fraction(1, 3))
    >>> [third.steps(detents) for detents in (1, 2, 3, 300)]
    [0, 1, 1, 100]
    >>> lift = wholestep.Axis.load("examples/axes/router_lift.toml")
    >>> wholestep.Detent.of(lift, "0.001 in").size
    Fraction(2032, 75)
    """
    def __new__(cls, steps: _Number) -> Self: ...
    @staticmethod
    def of(axis: Axis, size: str | Length | Angle) -> Detent:
        """A detent of a size, on an axis of uniform steps."""
    def steps(self, detents: SupportsIndex) -> int:
        """The steps of so many detents, rounded once to the nearest, ties to the even step."""
    @property
    def size(self) -> Fraction:
        """The size in steps."""
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[type[Detent], tuple[Fraction]]: ...

@final
class Fault:
    """What goes wrong on a machine. As text, what it is and what to check there.

    >>> lift = wholestep.Carriage.commissioned(wholestep.Axis.load("examples/axes/router_lift.toml"))
    >>> _ = lift.poll(0, wholestep.Inputs(drive_fault=True))
    >>> lift.fault
    Fault('drive')
    >>> print(lift.fault.check)
    read the drive's own indication, and let it cool; check supply and motor wires
    """
    def __new__(cls, name: str, end: _End | None = None, input: _Input | None = None) -> Self: ...
    @property
    def name(self) -> str:
        """Its name, such as ``never_found``."""
    @property
    def end(self) -> _End | None:
        """The end whose switch it is about, if it is about one."""
    @property
    def input(self) -> _Input | None:
        """The input that chatters, if one does."""
    @property
    def check(self) -> str:
        """What to check on the machine."""
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[Callable[..., Fault], tuple[str, _End | None, _Input | None]]: ...

@final
class Inputs:
    """The levels read from the machine at one instant, true for high.

    What a level of a switch or the probe means follows from how it is wired: a normally closed
    contact reads high while pressed, and so does a broken wire. ``enable`` is high while it is held,
    ``drive_fault`` while the drive reports a fault. ``dial`` counts, and may wrap at 32 bits;
    ``rocker`` is the end toward which it is held.

    >>> wholestep.Inputs(probe=True, enable=True, rocker="low")
    Inputs(low_switch=False, high_switch=False, probe=True, enable=True, drive_fault=False, dial=0, rocker='low')
    """
    __match_args__: Final = ("low_switch", "high_switch", "probe", "enable", "drive_fault", "dial", "rocker")
    def __new__(
        cls,
        *,
        low_switch: bool = False,
        high_switch: bool = False,
        probe: bool = False,
        enable: bool = False,
        drive_fault: bool = False,
        dial: SupportsIndex = 0,
        rocker: _End | None = None,
    ) -> Self: ...
    @property
    def low_switch(self) -> bool:
        """The switch at the low end."""
    @property
    def high_switch(self) -> bool:
        """The switch at the high end."""
    @property
    def probe(self) -> bool:
        """The touch probe."""
    @property
    def enable(self) -> bool:
        """Whether the enable input is held."""
    @property
    def drive_fault(self) -> bool:
        """Whether the drive reports a fault."""
    @property
    def dial(self) -> int:
        """Counts of the dial since some start."""
    @property
    def rocker(self) -> _End | None:
        """The end toward which the rocker is held."""
    def replace(
        self,
        *,
        low_switch: bool = ...,
        high_switch: bool = ...,
        probe: bool = ...,
        enable: bool = ...,
        drive_fault: bool = ...,
        dial: SupportsIndex = ...,
        rocker: _End | None = ...,
    ) -> Inputs:
        """The same levels but for ``changes``, such as ``enable=True``.

        >>> wholestep.Inputs(probe=True, dial=4).replace(dial=8)
        Inputs(low_switch=False, high_switch=False, probe=True, enable=False, drive_fault=False, dial=8, rocker=None)
        """
    def __replace__(
        self,
        *,
        low_switch: bool = ...,
        high_switch: bool = ...,
        probe: bool = ...,
        enable: bool = ...,
        drive_fault: bool = ...,
        dial: SupportsIndex = ...,
        rocker: _End | None = ...,
    ) -> Inputs: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __getnewargs_ex__(self) -> tuple[tuple[()], dict[str, bool | int | str | None]]: ...

@final
class Quadrature:
    """Turns the two contacts of a dial into counts, four to a cycle, upward while ``a`` leads.

    A contact that bounces counts up and down again, so it adds nothing. A change of both contacts at
    once says nothing about the way and is not counted, but noted as missed. A ``count`` and what was
    ``missed`` go on from an earlier reading.

    >>> dial = wholestep.Quadrature(False, False)
    >>> for a, b in [(1, 0), (0, 0), (1, 0), (1, 1), (0, 1), (0, 0)]:
    ...     dial = dial.read(bool(a), bool(b))
    >>> dial.count, dial.missed
    (4, 0)
    """
    def __new__(cls, a: bool, b: bool, count: SupportsIndex = 0, missed: SupportsIndex = 0) -> Self: ...
    def read(self, a: bool, b: bool) -> Quadrature:
        """The dial after its contacts read so."""
    @property
    def count(self) -> int:
        """Counts since the start; it wraps at 32 bits."""
    @property
    def missed(self) -> int:
        """How often both contacts had changed between two readings."""
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[type[Quadrature], tuple[bool, bool, int, int]]: ...

@final
class StepEdge:
    """An edge for the driver."""
    __match_args__: Final = ("due", "direction")
    def __new__(cls, due: SupportsIndex, direction: Literal["forward", "backward"]) -> Self: ...
    @property
    def due(self) -> int:
        """The tick for which it was due."""
    @property
    def direction(self) -> Literal["forward", "backward"]:
        """The way it turns the motor: ``forward`` raises the step number."""
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[type[StepEdge], tuple[int, str]]: ...

@final
class Output:
    """What to do now, and when to poll again."""
    __match_args__: Final = ("edge", "direction", "drive", "events", "poll_again_at")
    def __new__(
        cls,
        edge: StepEdge | None,
        direction: bool,
        drive: bool,
        events: Iterable[Event],
        poll_again_at: SupportsIndex | None,
    ) -> Self: ...
    @property
    def edge(self) -> StepEdge | None:
        """An edge that is due: give the driver its pulse now, after setting the levels below."""
    @property
    def direction(self) -> bool:
        """The level of the direction pin."""
    @property
    def drive(self) -> bool:
        """Whether the drive is switched on."""
    @property
    def events(self) -> list[Event]:
        """What happened since the last poll, each a class of :mod:`wholestep.events`."""
    @property
    def poll_again_at(self) -> int | None:
        """The tick at which to poll again at the latest, if no input changes before; ``None`` where
        nothing but an input or a request can bring anything new.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(
        self,
    ) -> tuple[type[Output], tuple[StepEdge | None, bool, bool, list[Event], int | None]]: ...

@final
class TravelCheck:
    """How the travel that a person measured compares with the one that the file says; made by
    :meth:`Axis.check_travel`.

    ``explanations`` names single figures of the file that would explain a difference, each as its key,
    what the file says, and what would fit.
    """
    def __new__(cls, ratio: _Number, agrees: bool, explanations: list[tuple[str, str, str]]) -> Self: ...
    @property
    def ratio(self) -> Fraction:
        """Measured over expected."""
    @property
    def agrees(self) -> bool:
        """Whether the machine travels as the file says, to within the tolerance."""
    @property
    def explanations(self) -> tuple[tuple[str, str, str], ...]:
        """The figures that would explain a difference: key, what the file says, what would fit."""
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[type[TravelCheck], tuple[Fraction, bool, list[tuple[str, str, str]]]]: ...

@final
class Repeatability:
    """Deviations of repeated searches from one another, in steps.

    Mean and variance are exact; what needs a square root comes as a lower and an upper bound closer
    than a millionth of a step.

    >>> searches = wholestep.Repeatability([0, 1, 0, -1, 0])
    >>> searches.mean, searches.variance
    (Fraction(0, 1), Fraction(1, 2))
    >>> low, high = searches.repeatability
    >>> round(float(low), 6), round(float(high), 6)
    (2.828427, 2.828427)
    """
    def __new__(cls, deviations: Iterable[SupportsIndex]) -> Self: ...
    @property
    def count(self) -> int:
        """How many searches there were."""
    @property
    def mean(self) -> Fraction:
        """The mean deviation."""
    @property
    def variance(self) -> Fraction:
        """The variance, with one degree of freedom fewer than searches."""
    @property
    def standard_deviation(self) -> tuple[Fraction, Fraction]:
        """The standard deviation, from below and from above."""
    @property
    def repeatability(self) -> tuple[Fraction, Fraction]:
        """The repeatability of searches from one side: four standard deviations, from below and from
        above.

        The formula is that of ISO 230-2 (memory). The figure is not one of that standard, which also
        says where, how often and with what to measure; do not call it by the standard's name.
        """
    @staticmethod
    def from_both_sides(up: Repeatability, down: Repeatability) -> tuple[Fraction, Fraction]:
        """The repeatability of searches from both sides, from below and from above; what is said of
        ``repeatability`` holds here too.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[type[Repeatability], tuple[list[int]]]: ...

@final
class Carriage:
    """A live axis: a state machine that owns no clock and no pins.

    It is told the time and the inputs at every :meth:`poll`, and returns the edge that is due, the
    levels of direction and drive, what happened, and when to poll again. Poll then, at every change
    of an input, and at once after a request; polling more often changes nothing. Its axis must have
    been read from a file, which says what is fitted. ``Carriage(axis)`` is of a new machine, which
    has to be commissioned before anything moves.

    A request that is not granted raises: :class:`errors.BeyondLimitError` past a soft limit, otherwise
    mostly :class:`errors.RefusedError`; its ``refusal`` names why, and nothing has changed then.

    CAUTION: on a machine this starts motors. Enable input, soft limits and switches are not safety
    devices, and no request is an emergency stop.

    >>> lift = wholestep.Axis.load("examples/axes/router_lift.toml")
    >>> carriage = wholestep.Carriage.commissioned(lift)
    >>> held = wholestep.Inputs(probe=True, enable=True)
    >>> carriage.poll(0, held).poll_again_at, carriage.poll(10_000, held).events
    (10000, [Ready()])
    >>> try:
    ...     carriage.go_to(lift.place("12.7 mm"))
    ... except wholestep.WholestepError as error:
    ...     print(error.refusal)
    ...     print(error)
    position_unproven
    the position is unproven: find the datum, touch off, or confirm the position at a gauge
    """
    def __new__(cls, axis: Axis) -> Self: ...
    @staticmethod
    def commissioned(axis: Axis) -> Carriage:
        """A carriage of a machine that has been commissioned; the caller has kept that it was.

        Raises FileError for an axis without a file.
        """
    def poll(self, now: SupportsIndex, inputs: Inputs) -> Output:
        """Tell the time, in ticks of the axis's timer, and the inputs; returns what to do.

        The carriage of a twin is polled by its twin.
        """
    @property
    def state(self) -> _State:
        """What it is doing, such as ``resting``."""
    @property
    def step(self) -> int:
        """The step it stands on, or passes, as far as the edges given out say; in numbers that hold
        only if the position is proven.
        """
    @property
    def is_proven(self) -> bool:
        """Whether the step is known to be the step the motor stands on."""
    @property
    def is_moving(self) -> bool:
        """Whether the motor moves, or is about to."""
    @property
    def fault(self) -> Fault | None:
        """The latched fault."""
    @property
    def target(self) -> int | None:
        """The step it was sent to, while it travels."""
    @property
    def commissioning_task(self) -> _CommissioningTask | None:
        """What commissioning asks for, such as ``change probe`` or ``nudge``; ``None`` on a
        commissioned machine.
        """
    def go_to(self, target: str | Length | Angle | SupportsIndex | Placement) -> None:
        """Go to a target, such as ``"12 mm"``, on the nearest step; or to a step, given as its number or as a
        placement of this machine. While travelling or braking, turn to it instead.

        Raises BeyondLimitError past a soft limit, OtherAxisError for a placement of another machine, and
        RefusedError if the carriage cannot go there now.
        """
    def go_to_at(
        self, target: str | Length | Angle | SupportsIndex | Placement, speed: str | Speed
    ) -> None:
        """Go to a target as ``go_to`` does, no faster than ``speed``: text such as ``"2 mm/s"``, or a Speed.

        Raises PlanError for a speed of 0 or above that of the axis, UnitError for one of another measure,
        RefusedError unless the carriage rests, and OutOfRangeError for a speed so low that the move would not end
        in a lifetime.
        """
    def go_by(self, steps: SupportsIndex) -> None:
        """Go by a number of steps, counted from the target while travelling.

        Raises BeyondLimitError past a soft limit, and RefusedError if the carriage cannot go there now.
        """
    def travel_to_end(self, at: _End) -> None:
        """Travel to the last allowed step at an end, ``low`` or ``high``.

        Raises RefusedError if the carriage cannot go there now.
        """
    def hold(self) -> None:
        """Hold the motor: the next poll switches the drive on, and nothing moves.

        So a height can be stated on an axis that no hand leads; poll until the drive has settled first.

        Raises RefusedError while it moves or a fault stands.
        """
    def jog(self, detent: Detent | None = None) -> None:
        """Let dial and rocker lead, until another request: the dial by ``detent`` if it is given,
        and the rocker where there is one. The next poll switches the drive on.

        Raises RefusedError if the carriage cannot jog now.
        """
    def find_datum(self) -> None:
        """Find the datum.

        Raises RefusedError without a datum in the file, before commissioning, and while it moves.
        """
    def touch_off(
        self,
        mode: Literal["stop", "signal"] = "stop",
        contact_step: str | Length | Angle | SupportsIndex | Placement | None = None,
        detent: Detent | None = None,
    ) -> None:
        """Touch off. The step of first contact becomes the step ``contact_step``, which proves the
        position; without one, and with a proven position, it is only told.

        With ``"stop"`` the carriage creeps toward the probe and the contact stops it, while the
        enable input is held. With ``"signal"`` dial or rocker lead it, and the contact only signals.

        Raises RefusedError without a probe in the file, and while it moves.
        """
    def confirm_position(self, stands_on: str | Length | Angle | SupportsIndex | Placement) -> None:
        """Take a person's word that it stands on a step. The drive must be on.

        Raises BeyondLimitError past a soft limit, and RefusedError while it moves.
        """
    def mark_unproven(self) -> None:
        """Take a person's word that the position is not what it seems."""
    def brake(self) -> None:
        """Stop under control; the drive stays on. Always granted."""
    def brake_and_release(self) -> None:
        """Stop under control, then release the drive. Always granted."""
    def release(self) -> None:
        """Release the drive at once. Always granted."""
    def clear_fault(self) -> None:
        """Clear the latched fault.

        Raises RefusedError while the cause of the fault stands.
        """
    def nudge(self) -> None:
        """Commissioning: nudge toward the high end.

        Raises RefusedError unless it is asked for next.
        """
    def confirm_direction(self, went_toward_high: bool) -> None:
        """Commissioning: say whether the nudge went toward the high end.

        Raises RefusedError unless it is asked for next.
        """
    def measure_travel(self) -> None:
        """Commissioning: go the travel that a person measures, toward the high end.

        Raises RefusedError unless it is asked for next.
        """
    def report_travel(self, agrees: bool) -> None:
        """Commissioning: say whether the measured travel agrees with the file.

        Raises RefusedError unless it is asked for next.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> Never: ...

@final
class GroundTruth:
    """What is true of a twin's machine, beside what its carriage believes. Metres, seconds and floats;
    nothing exact is decided here.
    """
    __match_args__: Final = (
        "tick",
        "carriage_position",
        "carriage_speed",
        "driven",
        "slips",
        "end_stop_hits",
        "torque_margin",
    )
    def __new__(
        cls,
        tick: SupportsIndex,
        carriage_position: float,
        carriage_speed: float,
        driven: bool,
        slips: SupportsIndex,
        end_stop_hits: SupportsIndex,
        torque_margin: float | None,
    ) -> Self: ...
    @property
    def tick(self) -> int:
        """When, in ticks."""
    @property
    def carriage_position(self) -> float:
        """Where the carriage stands, m."""
    @property
    def carriage_speed(self) -> float:
        """How fast it moves, m/s, positive upward."""
    @property
    def driven(self) -> bool:
        """Whether the motor is driven."""
    @property
    def slips(self) -> int:
        """How often the rotor fell out of step."""
    @property
    def end_stop_hits(self) -> int:
        """How often the carriage ran into an end stop."""
    @property
    def torque_margin(self) -> float | None:
        """The part of the motor's torque to spare at the worst moment; 1 idle, negative if it fell out
        of step, ``None`` before it was asked for any.
        """
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[type[GroundTruth], tuple[int, float, float, bool, int, int, float | None]]: ...

@final
class Twin:
    """A carriage coupled with a simulated machine, and the clock of both.

    The machine is the one that the axis's file tells of, with common figures where it tells none
    (see ``assumed``). Its chance is drawn from ``seed``: the same seed and the same requests give
    the same life. ``Twin(axis)`` is a new machine, which has to be commissioned. Time is in ticks of
    the axis's timer and passes only in :meth:`run_until` and :meth:`run_until_still`; other Python
    threads run meanwhile, and Ctrl-C stops them between two polls, so that the twin may run on.

    A rehearsal shows that a job is sound on a machine like this one; it makes no machine safe.

    >>> lift = wholestep.Axis.load("examples/axes/router_lift.toml")
    >>> twin = wholestep.Twin.commissioned(lift, seed=1)
    >>> twin.press("enable")
    >>> twin.run_until_still(1_000_000)
    True
    >>> twin.carriage.find_datum()
    >>> twin.run_until_still(60_000_000)
    True
    >>> twin.carriage, twin.lost_steps
    (<Carriage resting on step -43200>, 0)
    """
    def __new__(cls, axis: Axis, *, seed: SupportsIndex = 0) -> Self: ...
    @staticmethod
    def commissioned(axis: Axis, *, seed: SupportsIndex = 0) -> Twin:
        """A twin of a machine that has been commissioned.

        Raises FileKeyError for an axis without a way to find its datum, and MechanismError for a machine
        that cannot be simulated.
        """
    @property
    def assumed(self) -> list[str]:
        """What the axis's file does not tell of the machine and was assumed, a line each."""
    @property
    def carriage(self) -> Carriage:
        """The carriage: what is believed, and what may be asked for."""
    @property
    def ground_truth(self) -> GroundTruth:
        """The machine as it really is now."""
    @property
    def true_step(self) -> int:
        """The step the rotor really stands on, counted the carriage's way from where the machine was
        first powered.
        """
    @property
    def lost_steps(self) -> int:
        """Steps sent and not made, counted the carriage's way."""
    @property
    def now(self) -> int:
        """The present tick."""
    @property
    def timer_hz(self) -> int:
        """Ticks a second."""
    @property
    def edges(self) -> int:
        """Edges given so far."""
    @property
    def polls(self) -> int:
        """Polls so far."""
    @property
    def powered(self) -> bool:
        """Whether the supply is on."""
    @property
    def is_still(self) -> bool:
        """Whether the carriage stands and waits for nothing but inputs or requests."""
    @property
    def events(self) -> list[tuple[int, Event]]:
        """What happened so far, each with its tick: pairs of a tick and a class of
        :mod:`wholestep.events`.
        """
    def press(self, which: _Contact, held: bool = True, *, at: SupportsIndex | None = None) -> None:
        """A hand holds a contact down, or lets it go, at a tick or at once: ``low switch``,
        ``high switch``, ``probe`` or ``enable``.
        """
    def rocker(self, toward: _End | None, *, at: SupportsIndex | None = None) -> None:
        """A hand holds the rocker toward an end, or lets it go."""
    def dial(self, counts: SupportsIndex, counts_per_second: float = 100.0, *, at: SupportsIndex | None = None) -> None:
        """A hand turns the dial by a number of counts, four to a cycle of its contacts; negative
        downward.
        """
    def plate(
        self, in_place: bool = True, *, height: str | Length | None = None, at: SupportsIndex | None = None
    ) -> None:
        """A hand lays the touch plate in place, its underside at a height if one is given, or takes it
        away.
        """
    def cutter(self, length: str | Length, *, at: SupportsIndex | None = None) -> None:
        """A hand fits a cutter that stands so far above the carriage."""
    def turn_screw(self, full_steps: float, *, at: SupportsIndex | None = None) -> None:
        """A hand turns the screw by a number of full steps. A motor that is driven holds against it."""
    def inject(self, fault: str, *, at: SupportsIndex | None = None, until: SupportsIndex | None = None) -> None:
        """A fault is there, from a tick or at once, until a tick or for good.

        Its names are those of ``rehearse --fault``, such as ``stall`` or ``broken_wire_low``.

        Raises FileKeyError for a fault that is none.
        """
    def run_until(self, tick: SupportsIndex) -> None:
        """Let everything happen up to and at a tick."""
    def run_until_still(self, most: SupportsIndex) -> bool:
        """Run until the carriage stands and waits for nothing but inputs or requests, for ``most``
        ticks at the longest; whether it came to that.
        """
    def __reduce__(self) -> Never: ...
