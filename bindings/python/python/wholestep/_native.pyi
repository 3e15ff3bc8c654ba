from collections.abc import Sequence

__all__ = ["__version__", "command"]

__version__: str

def command(arguments: Sequence[str]) -> int: ...
