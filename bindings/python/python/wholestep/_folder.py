"""The cut lists of a folder of jobs, worked out side by side."""

from __future__ import annotations

import os
from collections.abc import Callable
from concurrent.futures import Executor
from os import PathLike
from pathlib import Path

from ._cut_list import CutList, CutSheet
from ._spread import spread
from .errors import WholestepError


def cut_folder(
    folder: str | PathLike[str],
    *,
    executor: Executor | None = None,
    progress: Callable[[int, int], object] | None = None,
) -> dict[Path, CutSheet | WholestepError]:
    """Work out the cut list of every job file in a folder; return the sheet of each, or why there is none.

    The files are those whose names end in ``.toml``, in the order of their names. ``executor`` and
    ``progress`` are those of ``Study.run``. Raises ``OSError`` for a folder that cannot be read, and
    ``WorkerDied`` if a worker ended without an answer.

    >>> import wholestep
    >>> from concurrent.futures import ThreadPoolExecutor
    >>> with ThreadPoolExecutor(2) as threads:
    ...     sheets = wholestep.cut_folder("examples/jobs", executor=threads)
    >>> {file.name: sheet.totals.stock_pieces for file, sheet in sheets.items() if isinstance(sheet, wholestep.CutSheet)}
    {'bench_slats.toml': 13, 'drawer_boxes.toml': 5, 'tool_tray.toml': 2}
    """
    names = sorted(name for name in os.listdir(folder) if name.endswith(".toml"))
    files = [Path(os.path.abspath(folder)) / name for name in names]
    sheets: dict[Path, CutSheet | WholestepError] = {}
    for done, (file, sheet) in enumerate(spread(_cut, [(file,) for file in files], executor), 1):
        sheets[file] = sheet
        if progress is not None:
            progress(done, len(files))
    return {file: sheets[file] for file in files}


def _cut(file: Path) -> tuple[Path, CutSheet | WholestepError]:
    """Work out one cut list, in a worker."""
    try:
        return file, CutList.load(file).cuts()
    except WholestepError as error:
        return file, error
