"""The suite that any mechanism must pass, asked from Python."""

from fractions import Fraction

import pytest

import wholestep
from wholestep import Length


class Slide:
    """A twentieth of a millimetre a step."""

    def span(self) -> tuple[int, int]:
        return 0, 2_000

    def position_at(self, step: int, width: Fraction) -> Length | tuple[Length, Length]:
        return Length(step, "mm") / 20


class TurnsBack(Slide):
    def position_at(self, step: int, width: Fraction) -> Length:
        return Length(min(step, 2_400 - step), "mm") / 20


class Narrows(Slide):
    """Its finer bounds lie outside its coarser ones."""

    def position_at(self, step: int, width: Fraction) -> tuple[Length, Length]:
        shift = Fraction(1, 50) if width < Fraction(1, 10**9) else Fraction(0)
        at = Length(Fraction(step, 20) + shift, "mm")
        return at, at


class Breaks(Slide):
    def position_at(self, step: int, width: Fraction) -> Length:
        if step > 1_000:
            raise OSError("the scale does not answer")
        return Length(step, "mm") / 20


def test_a_good_mechanism_passes_and_says_how_much_was_checked() -> None:
    report = wholestep.check_conformance(Slide(), samples=20)
    assert report.steps >= 20 and report.placements > 100 and report.open == 0
    assert report == wholestep.check_conformance(Slide(), samples=20)


@pytest.mark.parametrize("mechanism", [TurnsBack(), Narrows()])
def test_a_broken_promise_is_named_with_its_step(mechanism: Slide) -> None:
    with pytest.raises(wholestep.WholestepError, match=r"step \d+") as caught:
        wholestep.check_conformance(mechanism, samples=20)
    assert caught.value.kind == "mechanism"


def test_an_exception_comes_out_unchanged() -> None:
    with pytest.raises(OSError, match="the scale does not answer"):
        wholestep.check_conformance(Breaks(), samples=20)
