from collections.abc import Sequence
from os import PathLike

__all__ = ["__version__", "command"]

__version__: str

def command(arguments: Sequence[str | PathLike[str]]) -> int: ...
