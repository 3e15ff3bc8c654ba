"""The exceptions of ``wholestep``: one for each kind of error, all a :class:`WholestepError`.

Each also derives from the built-in exception that is natural for it, and its text is the same as
in Rust and on the command line.

>>> import wholestep
>>> try:
...     wholestep.Length("18.25")
... except ValueError as error:
...     print(error.kind, error.offset)
...     print(error)
missing_unit 5
length “18.25”, at character 6: write it like 23/32 in or 18.25 mm; give a length in mm, cm, m, µm, in, ft, yd or thou
"""

from __future__ import annotations

import errno
from fractions import Fraction
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from ._native import Angle, Length


class WholestepError(Exception):
    """Why something was refused: what was given, what is allowed and a way forward.

    >>> import wholestep
    >>> screw = wholestep.Linear.lead_screw_by_lead(wholestep.DriveTrain("1.8 deg", "1/16"), "8 mm")
    >>> axis = wholestep.Axis(screw, low="0 in", high="36 in", speed="1 in/s", acceleration="3 in/s²")
    >>> try:
    ...     axis.place("37 in")
    ... except wholestep.WholestepError as error:
    ...     print(error.kind, error.excess)
    beyond_limit 25.4 mm
    """

    kind: str = ""
    """The kind of error, the same word in Rust and in ``--json``."""
    subject: str = ""
    """What the error is about."""
    given: Length | Angle | Fraction | int | str | None = None
    """What was given, if it was quoted."""
    excess: Length | Angle | Fraction | int | str | None = None
    """By how much a limit was exceeded, if one was."""
    offset: int | None = None
    """Where in the given text the trouble begins, in bytes from its start."""
    file: str | None = None
    """The file it stands in."""
    line: int | None = None
    """The line it stands on, counted from 1."""
    key: str | None = None
    """The key it stands at."""
    refusal: str | None = None
    """The name of the refusal, such as ``enable_not_held``, where a carriage refused a request."""


class NotationError(WholestepError, ValueError):
    """The text is not a number or a measure."""

    kind = "syntax"


class MissingUnitError(WholestepError, ValueError):
    """A number stands without a unit if none was declared."""

    kind = "missing_unit"


class UnitError(WholestepError, ValueError):
    """The unit is not known, is ambiguous, or measures something else."""

    kind = "unit"


class InexactNumberError(WholestepError, TypeError, ValueError):
    """A binary float, or an unquoted decimal in a file; neither is exact."""

    kind = "inexact_number"


class ZeroDenominatorError(WholestepError, ZeroDivisionError, ValueError):
    """A denominator of zero."""

    kind = "division_by_zero"


class OutOfRangeError(WholestepError, ValueError):
    """A value outside the range the library states for it."""

    kind = "out_of_range"


class ExactOverflowError(WholestepError, OverflowError):
    """Exact arithmetic that does not fit its integers."""

    kind = "overflow"


class BeyondLimitError(WholestepError, ValueError):
    """A target past a soft limit, or past the span of the mechanism."""

    kind = "beyond_limit"


class UndecidedError(WholestepError, ArithmeticError):
    """The nearest step could not be decided at the finest width, and the caller was strict."""

    kind = "undecided"


class MechanismError(WholestepError, ValueError):
    """A mechanism that contradicts itself."""

    kind = "mechanism"


class PlanError(WholestepError, ValueError):
    """A speed, acceleration or timing that the plan cannot keep."""

    kind = "plan"


class FileError(WholestepError, OSError):
    """A file that could not be read or written.

    One that the operating system refused has its ``errno`` and ``filename``.
    """

    kind = "file"

    def __str__(self) -> str:
        return str(self.args[0]) if self.args else ""

    def __reduce__(self) -> tuple[type[FileError], tuple[object, ...], dict[str, object]]:
        return type(self), self.args, {**vars(self), "errno": self.errno, "filename": self.filename}


class MissingFileError(FileError, FileNotFoundError):
    """A file that is not there."""


class ForbiddenFileError(FileError, PermissionError):
    """A file that the operating system does not let this program read or write."""


class FolderAsFileError(FileError, IsADirectoryError):
    """A folder where a file is wanted."""


def of_file(number: int, filename: str | None, text: str) -> FileError:
    """The exception for a file that the operating system refused with an error number."""
    error = _BY_ERRNO.get(number, FileError)(text)
    error.errno, error.filename = number, filename
    return error


_BY_ERRNO: Final[dict[int, type[FileError]]] = {
    errno.ENOENT: MissingFileError,
    errno.EACCES: ForbiddenFileError,
    errno.EPERM: ForbiddenFileError,
    errno.EISDIR: FolderAsFileError,
}


class FileKeyError(WholestepError, LookupError):
    """A key in a file that is unknown, missing, or of the wrong type."""

    kind = "key"


class UnknownKindError(WholestepError, LookupError):
    """A kind of mechanism that is not registered."""

    kind = "unknown_kind"


class RefusedError(WholestepError, RuntimeError):
    """Something asked that the present state does not allow."""

    kind = "refused"


class JobError(WholestepError, ValueError):
    """A job that cannot be done as written."""

    kind = "job"


class OtherAxisError(WholestepError, ValueError):
    """A placement of another machine's axis."""

    kind = "other_axis"


class ArgumentTypeError(WholestepError, TypeError):
    """A value of a type that is not taken there."""

    kind = "argument_type"


class DefectError(WholestepError, RuntimeError):
    """A defect of the library itself; please report it."""

    kind = "defect"


BY_KIND: Final[dict[str, type[WholestepError]]] = {
    error.kind: error
    for error in (
        NotationError,
        MissingUnitError,
        UnitError,
        InexactNumberError,
        ZeroDenominatorError,
        OutOfRangeError,
        ExactOverflowError,
        BeyondLimitError,
        UndecidedError,
        MechanismError,
        PlanError,
        FileError,
        FileKeyError,
        UnknownKindError,
        RefusedError,
        JobError,
        OtherAxisError,
        ArgumentTypeError,
        DefectError,
    )
}
"""The exception for each kind of error."""
