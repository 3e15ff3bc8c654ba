"""What a factory of mechanisms takes, and the factories that installed packages offer."""

import inspect
import typing
from collections.abc import Callable
from importlib import metadata

GROUP = "wholestep.mechanisms"


def parameters(factory: Callable[..., object]) -> list[tuple[str, str, bool]]:
    """The name, the annotation's name and whether it is required, of every parameter."""
    annotated = factory.__init__ if inspect.isclass(factory) else factory
    hints = typing.get_type_hints(annotated)
    return [
        (name, _named(hints.get(name)), parameter.default is parameter.empty)
        for name, parameter in inspect.signature(factory).parameters.items()
    ]


def _named(hint: object) -> str:
    chosen = [argument for argument in typing.get_args(hint) if argument is not type(None)] or [hint]
    return getattr(chosen[0], "__name__", "") if len(chosen) == 1 else ""


def entry_points() -> list[tuple[str, list[metadata.EntryPoint], list[str]]]:
    """The kinds that installed packages offer and these packages, by name; none is loaded yet."""
    offers: dict[str, list[metadata.EntryPoint]] = {}
    for entry in metadata.entry_points(group=GROUP):
        offers.setdefault(entry.name, []).append(entry)
    return [
        (kind, entries, sorted(entry.dist.name if entry.dist else entry.module for entry in entries))
        for kind, entries in sorted(offers.items())
    ]
