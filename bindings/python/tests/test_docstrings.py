"""Every public name says what it is, and the examples in its docstring give what they show."""

import doctest
import inspect
from collections.abc import Iterator
from pathlib import Path

import pytest
import stub_docstrings

import wholestep
import wholestep.__main__
from wholestep import _native


def documented(owner: object, path: str) -> Iterator[tuple[str, object]]:
    """The owner, and the public members a class defines itself; native ones are found too."""
    yield path, owner
    if inspect.isclass(owner):
        for name, member in vars(owner).items():
            member = getattr(member, "__func__", member)
            # A plain value, such as a default, has no docstring, and its class tells of a field.
            told = callable(member) or inspect.isgetsetdescriptor(member)
            if not name.startswith("_") and told:
                yield from documented(member, f"{path}.{name}")


def everything() -> dict[str, object]:
    found: dict[str, object] = {"wholestep": wholestep, "wholestep.__main__": wholestep.__main__}
    for module in (wholestep, _native, wholestep.effort, wholestep.errors, wholestep.events):
        found[module.__name__] = module
        for name, member in vars(module).items():
            if inspect.isroutine(member) or inspect.isclass(member):
                if not name.startswith("_") and member.__module__.startswith("wholestep"):
                    found.update(documented(member, f"wholestep.{name}"))
    return found


EVERYTHING = everything()


def examples(path: str) -> doctest.DocTest:
    text = inspect.getdoc(EVERYTHING[path]) or ""
    return doctest.DocTestParser().get_doctest(text, {"wholestep": wholestep}, path, None, None)


@pytest.mark.parametrize("path", sorted(EVERYTHING))
def test_has_a_docstring(path: str) -> None:
    assert (inspect.getdoc(EVERYTHING[path]) or "").strip(), f"{path} has no docstring"


@pytest.mark.parametrize("path", [path for path in sorted(EVERYTHING) if examples(path).examples])
def test_docstring_examples(path: str, monkeypatch: pytest.MonkeyPatch) -> None:
    # They name files as a reader at the root of the repository would.
    monkeypatch.chdir(Path(__file__).parents[3])
    report: list[str] = []
    results = doctest.DocTestRunner(optionflags=doctest.REPORT_NDIFF).run(examples(path), out=report.append)
    assert results.attempted > 0
    assert results.failed == 0, "".join(report)


def test_examples_were_found() -> None:
    assert examples("wholestep").examples


def test_the_stub_carries_the_docstrings_of_the_module() -> None:
    stub = stub_docstrings.STUB.read_text(encoding="utf-8")
    assert stub_docstrings.carried(stub) == stub, "write them: python tests/stub_docstrings.py --write"
