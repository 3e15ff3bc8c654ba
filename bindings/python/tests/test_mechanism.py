"""Mechanisms that are Python objects: good, slow, failing and lying ones."""

import math
import os
import pickle
import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import pytest

import wholestep
from wholestep import Angle, Enclosure, Length, errors

PARTS = 10**12


class Toggle:
    """A carriage at √(L² − x²), pushed by a nut a hundredth of a millimetre a step; it falls."""

    def __init__(self) -> None:
        self.calls = 0

    def span(self) -> tuple[int, int]:
        return 0, 9_000

    def position_at(self, step: int, width: Fraction) -> tuple[Length, Length]:
        self.calls += 1
        scale = 2 * width.denominator
        square = 100**2 - Fraction(step, 100) ** 2
        root = math.isqrt(int(square * scale**2))
        return Length(Fraction(root, scale), "mm"), Length(Fraction(root + 1, scale), "mm")


def axis(mechanism: object) -> wholestep.Axis:
    return wholestep.Axis(
        mechanism,  # type: ignore[arg-type]
        low="50 mm", high="99 mm", speed="10 mm/s", acceleration="50 mm/s²",
    )


def test_any_object_with_the_two_methods_is_a_mechanism() -> None:
    toggle = Toggle()
    assert isinstance(toggle, wholestep.Mechanism)
    placed = axis(toggle).place("80 mm")
    # √(100² − 60²) = 80, so 60 mm along: an exact tie with nothing, step 6,000.
    assert placed.step == 6_000 and "80 mm" in placed.position
    assert not placed.position.is_exact
    assert not axis(toggle).is_rising


def test_brute_force_finds_the_same_steps() -> None:
    placing = axis(Toggle())
    for tenths in range(501, 990, 7):
        target = Fraction(tenths, 10)
        nearest = min(range(9_001), key=lambda step: abs(math.sqrt(100**2 - (step / 100) ** 2) - float(target)))
        assert placing.place(Length(target, "mm")).step == nearest


def test_it_is_asked_only_as_often_as_bisection_needs() -> None:
    toggle = Toggle()
    placing = axis(toggle)
    toggle.calls = 0
    placing.place("77.7 mm")
    # Both ends, one for each halving of 9,000 steps, both neighbours, and the position itself.
    assert toggle.calls <= 2 + math.ceil(math.log2(9_000)) + 2 + 1
    placing.plan("77.7 mm", "60 mm", timer_hz=1_000_000)
    start, to = placing.at_step(6_000), placing.at_step(6_100)
    toggle.calls = 0
    placing.plan(start, to, timer_hz=1_000_000)
    assert toggle.calls == 0, "the sizes of its steps are remembered"


class Sold(Exception):
    pass


class Failing(Toggle):
    def __init__(self, failure: BaseException, after: int) -> None:
        super().__init__()
        self.failure, self.after = failure, after

    def position_at(self, step: int, width: Fraction) -> tuple[Length, Length]:
        if self.calls >= self.after:
            raise self.failure
        return super().position_at(step, width)


@pytest.mark.parametrize("failure", [Sold("out"), KeyboardInterrupt(), SystemExit(3)], ids=repr)
@pytest.mark.parametrize("after", [0, 1, 5, 14, 40])
def test_an_exception_comes_out_unchanged(failure: BaseException, after: int) -> None:
    with pytest.raises(type(failure)) as caught:
        placing = axis(Failing(failure, after))
        for _ in range(100):
            placing.place("77 mm")
    assert caught.value is failure
    assert any(entry.name == "position_at" for entry in caught.traceback)


def test_an_exception_leaves_nothing_behind() -> None:
    mechanism = Failing(Sold(), 10**9)
    placing = axis(mechanism)
    mechanism.after = mechanism.calls + 5
    with pytest.raises(Sold):
        placing.place("77 mm")
    mechanism.after = 10**9
    assert placing.place("80 mm").step == 6_000


class Lying(Toggle):
    def __init__(self, answer: object) -> None:
        super().__init__()
        self.answer = answer

    def position_at(self, step: int, width: Fraction) -> tuple[Length, Length]:
        if step == 4_500:
            return self.answer  # type: ignore[return-value]
        return super().position_at(step, width)


@pytest.mark.parametrize(
    ("answer", "text"),
    [
        ((Length("90 mm"), Length("89 mm")), "lower bound first"),
        (89, "return a Length or an Angle"),
        (89.3, "return a Length or an Angle"),
        (None, "return a Length or an Angle"),
        ("89 mm", "return a Length or an Angle"),
        (Angle("89 deg"), "return a Length or an Angle"),
        ((Length("80 mm"), Length("90 mm")), "no further apart"),
        (Enclosure("80 mm", "90 mm"), "no further apart"),
        ((Length("80 mm"), Angle("90 deg")), "return a Length or an Angle"),
        ((Length("80 mm"), Length("80 mm"), Length("80 mm")), "return a Length or an Angle"),
    ],
    ids=repr,
)
def test_a_wrong_answer_is_refused_by_name_and_step(answer: object, text: str) -> None:
    with pytest.raises(errors.MechanismError, match=text) as caught:
        axis(Lying(answer)).place("80 mm")
    assert "“Lying”" in str(caught.value) and "step 4500" in str(caught.value)


def test_a_mechanism_that_turns_back_is_refused() -> None:
    with pytest.raises(errors.MechanismError, match="turns back at step 4500"):
        axis(Lying(Length("300 mm"))).place("80 mm")


@pytest.mark.parametrize("span", [(5, 5), (5, 1), (0, 2**41), ("a", "b"), 7, (0,), (0, 1, 2), (0, 2**70)], ids=repr)
def test_a_wrong_span_is_refused(span: object) -> None:
    class Wrong(Toggle):
        def span(self) -> tuple[int, int]:
            return span  # type: ignore[return-value]

    with pytest.raises(errors.MechanismError, match="span of"):
        axis(Wrong())


@pytest.mark.parametrize("mechanism", [object(), 5, None, "screw", Length("1 mm")], ids=type)
def test_what_is_no_mechanism_is_refused(mechanism: object) -> None:
    with pytest.raises(errors.MechanismError, match="give it the method span"):
        axis(mechanism)


def test_it_pickles_if_the_object_does() -> None:
    placing = axis(Toggle())
    again = pickle.loads(pickle.dumps(placing))
    assert again.place("71 mm") == placing.place("71 mm")

    class Local(Toggle):
        pass

    with pytest.raises((AttributeError, pickle.PicklingError)):
        pickle.dumps(axis(Local()))


def test_proven_step_sizes_are_asked_for() -> None:
    class Told(Toggle):
        def step_sizes(self, first: int, last: int) -> tuple[Length, Length]:
            assert (first, last) == (1411, 8660)
            return Length("0.001 mm"), Length("0.02 mm")

    plan = axis(Told()).plan("80 mm", "60 mm", timer_hz=1_000_000)
    # 10 mm/s at 0.02 mm a step are 500 steps a second.
    assert plan.legs[0].peak_speed <= Fraction(500, 1_000_000)

    class Wrong(Toggle):
        def step_sizes(self, first: int, last: int) -> tuple[Length, Length]:
            return Length("2 mm"), Length("1 mm")

    with pytest.raises(errors.MechanismError, match="finest and the coarsest"):
        axis(Wrong()).plan("80 mm", "60 mm", timer_hz=1_000_000)


class Hoist:
    """A rope over a movable pulley: the carriage travels half of what the drum winds."""

    def __init__(
        self, drive: wholestep.DriveTrain, rope_per_turn: Length, falls: int = 2, label: str | None = None
    ) -> None:
        self.travel = rope_per_turn * drive.turns_per_step / falls
        self.label = label

    def span(self) -> tuple[int, int]:
        return 0, 100_000

    def position_at(self, step: int, width: Fraction) -> Length:
        return self.travel * step


HOIST = """
version = 1
name = "Lumber hoist"
kind = "{kind}"
unit = "mm"
[motor]
step_angle = "1.8 deg"
step_mode = "1/8"
driver_teeth = [20, 7]
driven_teeth = [60, 9]
[mechanism]
{mechanism}
[limits]
low = "0"
high = "90"
[motion]
speed = "4"
acceleration = "10"
[pulse]
timer_hz = 1000000
direction_setup = "10 us"
pulse_high = "5 us"
pulse_low = "5 us"
"""


@pytest.fixture(autouse=True)
def _hoist_is_registered() -> None:
    wholestep.register("hoist", Hoist)


def hoist(mechanism: str, kind: str = "hoist") -> wholestep.Axis:
    return wholestep.Axis.from_toml(HOIST.format(kind=kind, mechanism=mechanism))


def test_a_registered_kind_is_used_from_a_file() -> None:
    travel = Fraction(160) / 1_600 * Fraction(20, 60) * Fraction(7, 9)
    assert hoist('rope_per_turn = "160"').at_step(1).position.low.value_in("mm") == travel / 2
    assert hoist('rope_per_turn = "160"\nfalls = 4').at_step(1).position.low.value_in("mm") == travel / 4
    assert pickle.loads(pickle.dumps(hoist('rope_per_turn = "160"'))).kind == "hoist"


@pytest.mark.parametrize(
    ("mechanism", "kind", "text"),
    [
        ("", "key", "rope_per_turn"),
        ("rope_per_turn = 160.5", "inexact_number", '"160.5 mm"'),
        ('rope_per_turn = "160"\nfals = 4', "key", "write `falls`"),
        ('rope_per_turn = "160"\nfalls = "4"', "key", "falls = 1"),
        ('rope_per_turn = "160 deg"', "unit", "length"),
    ],
)
def test_its_keys_are_checked_as_those_of_built_in_kinds(mechanism: str, kind: str, text: str) -> None:
    with pytest.raises(wholestep.WholestepError) as caught:
        hoist(mechanism)
    assert caught.value.kind == kind and text in str(caught.value) and caught.value.line


def test_all_missing_keys_are_told_at_once() -> None:
    def windlass(drive: wholestep.DriveTrain, rope_per_turn: Length, falls: int) -> Hoist:
        raise AssertionError

    wholestep.register("windlass", windlass)
    with pytest.raises(
        wholestep.WholestepError,
        match=r'missing: write them like rope_per_turn = "10 mm", falls = 1 under \[mechanism\]',
    ):
        hoist("", kind="windlass")


def test_a_kind_is_registered_once() -> None:
    for kind in ("hoist", "lead_screw"):
        with pytest.raises(errors.RefusedError, match="already registered"):
            wholestep.register(kind, Hoist)
    with pytest.raises(TypeError):
        wholestep.register("thing", 5)  # type: ignore[arg-type]


def test_a_kind_is_registered_again_where_that_is_asked_for() -> None:
    class Half(Hoist):
        def position_at(self, step: int, width: Fraction) -> Length:
            return super().position_at(step, width) / 2

    rope = 'rope_per_turn = "160"'
    before = hoist(rope).at_step(100).target
    wholestep.register("hoist", Half, replace=True)
    assert before == 2 * hoist(rope).at_step(100).target
    with pytest.raises(TypeError):
        wholestep.register("hoist", 5, replace=True)  # type: ignore[arg-type]
    assert before == 2 * hoist(rope).at_step(100).target
    wholestep.register("a_kind_not_registered_before", Hoist, replace=True)
    with pytest.raises(errors.RefusedError, match="already registered"):
        wholestep.register("lead_screw", Hoist, replace=True)


def test_a_kind_that_two_packages_offer_is_refused_where_a_file_names_it(tmp_path: Path) -> None:
    for package, kind in [("alder", "tongs"), ("birch", "tongs"), ("birch", "belt"), ("cedar", "hoist")]:
        info = tmp_path / f"{package}-1.dist-info"
        info.mkdir(exist_ok=True)
        info.joinpath("METADATA").write_text(f"Metadata-Version: 2.1\nName: {package}\nVersion: 1\n")
        with info.joinpath("entry_points.txt").open("a") as entries:
            entries.write(f"[wholestep.mechanisms]\n{kind} = {package}:made\n")
    tmp_path.joinpath("cedar.py").write_text(
        "import wholestep\n"
        "def made(drive: wholestep.DriveTrain, rope_per_turn: wholestep.Length):\n"
        "    return wholestep.Linear.measured(drive, rope_per_turn)\n"
    )
    program = (
        "import sys, wholestep\n"
        "for text in sys.argv[1:]:\n"
        "    try: print(wholestep.Axis.from_toml(text).kind)\n"
        "    except wholestep.errors.RefusedError as refused: print(refused, '@', refused.line)\n"
    )
    texts = [HOIST.format(kind=kind, mechanism=mechanism) for kind, mechanism in [
        ("hoist", 'rope_per_turn = "160"'),
        ("measured", 'travel_per_turn = "160"'),
        ("tongs", ""),
        ("belt", 'tooth_pitch = "2"\npulley_teeth = 20'),
    ]]
    told = subprocess.run(
        [sys.executable, "-c", program, *texts],
        capture_output=True, text=True, env={**os.environ, "PYTHONPATH": str(tmp_path)},
    )
    assert told.stderr == ""
    fine, built_in, two, clash = told.stdout.splitlines()
    assert (fine, built_in) == ("hoist", "measured")
    assert "“tongs”" in two and two.count("alder, birch") == 1
    assert "“belt”" in clash and "wholestep itself, birch" in clash


def test_an_unknown_kind_lists_those_known() -> None:
    with pytest.raises(LookupError, match="hoist") as caught:
        hoist("", kind="hoits")
    assert isinstance(caught.value, errors.UnknownKindError)


def test_an_exception_of_a_factory_comes_out_unchanged() -> None:
    failure = Sold("no rope")

    def sold_out(drive: wholestep.DriveTrain) -> Hoist:
        raise failure

    wholestep.register("sold_out", sold_out)
    with pytest.raises(Sold) as caught:
        hoist("", kind="sold_out")
    assert caught.value is failure


@pytest.mark.parametrize("kind", ["", " ", "two words", "a\n"])
def test_a_kind_needs_a_word_for_its_name(kind: str) -> None:
    with pytest.raises(errors.NotationError, match="name of a kind of mechanism .*: give one word"):
        wholestep.register(kind, Hoist)
