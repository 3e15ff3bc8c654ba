"""Exact positioning for stepper-driven shop axes.

Every position a stepper can hold is a whole number of steps, and the remainder is known exactly.

>>> import wholestep
>>> wholestep.__version__
'0.1.0'
"""

from ._native import __version__

__all__ = ["__version__"]
