"""Speeds, accelerations and jerks as values."""

import copy
import pickle
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from machine import AXES

import wholestep
from wholestep import Acceleration, Axis, Jerk, Length, Speed, errors

Rate = Speed | Acceleration | Jerk
CLASSES: dict[str, type[Speed] | type[Acceleration] | type[Jerk]] = {
    "speed": Speed, "acceleration": Acceleration, "jerk": Jerk,
}


@pytest.mark.parametrize(("made", "text"), [
    (lambda: Speed("300 mm/min"), "5 mm/s"),
    (lambda: Speed(Fraction(1, 3), "in/s"), "8-7/15 mm/s"),
    (lambda: Speed("1/3", "in/s"), "8-7/15 mm/s"),
    (lambda: Speed(Decimal("0.5"), "rev/min"), "3 deg/s"),
    (lambda: Speed(Speed("1 in/s")), "25.4 mm/s"),
    (lambda: Acceleration("4 in/s²"), "101.6 mm/s²"),
    (lambda: Acceleration(2, "deg/s^2"), "2 deg/s²"),
    (lambda: Jerk("1 m/s³"), "1000 mm/s³"),
    (lambda: sum([Speed("1 mm/s"), Speed("1 in/s")]), "26.4 mm/s"),
    (lambda: Speed("3 mm/s") - Speed("1 mm/s"), "2 mm/s"),
    (lambda: 2 * Speed("3 mm/s") * Fraction(1, 3) / 4, "0.5 mm/s"),
])
def test_a_rate_is_exact(made: Callable[[], Rate], text: str) -> None:
    rate = made()
    assert str(rate) == text
    assert rate == type(rate)(text) and hash(rate) == hash(type(rate)(text))
    for again in (eval(repr(rate), vars(wholestep)), pickle.loads(pickle.dumps(rate)), copy.deepcopy(rate)):
        assert again == rate and type(again) is type(rate)


def test_rates_are_told_in_units_and_compared() -> None:
    feed = Speed("300 mm/min")
    assert feed.value_in("mm/s") == 5 and feed.value_in("mm/min") == 300
    assert (feed.to_text("cm/s"), feed.decimal_in("in/s", 3)) == ("0.5 cm/s", "≈ 0.197 in/s")
    assert f"{feed}" == "5 mm/s" and f"{feed:.1 in/s}" == "≈ 0.2 in/s" and f"{feed:1/8 in/s}".startswith("≈ 1/4 in/s")
    assert feed / Speed("2 mm/s") == Fraction(5, 2)
    assert Speed("1 mm/s") < feed <= Speed("5 mm/s") and bool(feed) and not Speed("0 mm/s")
    assert Speed("1 deg/s") != Speed("1 mm/s") and Speed("1 mm/s") != Acceleration("1 mm/s²")


@pytest.mark.parametrize(("refused", "raised", "words"), [
    (lambda: Speed("5 mm"), errors.UnitError, "“5 mm”"),
    (lambda: Speed("5"), errors.MissingUnitError, "“5”"),
    (lambda: Speed(5), errors.MissingUnitError, "5"),
    (lambda: Speed(5, "mm"), errors.UnitError, "unit “mm”: write it like mm/s or deg/s"),
    (lambda: Speed(5, ""), errors.UnitError, "unit “”"),
    (lambda: Speed(5, "mm/s²"), errors.UnitError, "unit “mm/s²”"),
    (lambda: Speed("30 deg/s²"), errors.UnitError, "“30 deg/s²”, at character 9"),
    (lambda: Speed("5 furlong/s"), errors.UnitError, "“5 furlong/s”"),
    (lambda: Speed(0.5, "mm/s"), errors.InexactNumberError, 'write it exactly: "0.5 mm/s"'),  # type: ignore[arg-type]
    (lambda: Speed(float("nan"), "mm/s"), errors.InexactNumberError, "nan"),  # type: ignore[arg-type]
    (lambda: Speed("nan"), errors.NotationError, "“nan”"),
    (lambda: Speed(""), errors.NotationError, "“”"),
    (lambda: Speed("-1 mm/s"), errors.OutOfRangeError, "-1 mm/s"),
    (lambda: Speed("1e15 mm/s"), errors.OutOfRangeError, "“1e15 mm/s”"),
    (lambda: Speed("1 mm/s") - Speed("2 mm/s"), errors.OutOfRangeError, "-1 mm/s"),
    (lambda: Speed("1 mm/s") + Speed("2 deg/s"), errors.UnitError, "2 deg/s"),
    (lambda: Speed("1 mm/s") < Speed("2 deg/s"), errors.UnitError, "2 deg/s"),
    (lambda: Speed("1 mm/s") / 0, ZeroDivisionError, ""),
    (lambda: Speed("1 mm/s").value_in("deg/s"), errors.UnitError, "deg/s"),
    (lambda: Speed("1 mm/s").to_text("mm/min"), errors.UnitError, "“mm/min”"),
    (lambda: Speed("1 mm/s").decimal_in("mm/s", 19), errors.OutOfRangeError, "19"),
    (lambda: Speed(Length("1 mm")), TypeError, "give text with its unit"),  # type: ignore[arg-type]
    (lambda: Speed("1 mm/s") + Acceleration("1 mm/s²"), TypeError, ""),  # type: ignore[operator]
    (lambda: Axis.load(AXES / "router_lift.toml").plan("1 mm", "2 mm", speed=5), TypeError, "speed"),  # type: ignore[arg-type]
    (lambda: Axis.load(AXES / "router_lift.toml").plan("1 mm", "2 mm", speed=Acceleration("5 mm/s²")),  # type: ignore[arg-type]
     errors.UnitError, "5 mm/s²"),
    (lambda: Axis.load(AXES / "router_lift.toml").plan("1 mm", "2 mm", speed=Speed("1 deg/s")), errors.UnitError, "1 deg/s"),
])
def test_a_rate_that_is_none_is_refused(refused: Callable[[], Any], raised: type[Exception], words: str) -> None:
    with pytest.raises(raised) as caught:
        refused()
    assert words in str(caught.value)


def test_an_axis_gives_and_takes_rates() -> None:
    lift = Axis.load(AXES / "router_lift.toml")
    made = Axis(
        wholestep.Linear.lead_screw_by_lead(wholestep.DriveTrain("1.8 deg", "1/8"), "4 mm"), low="0 mm", high="60 mm",
        speed=lift.speed, acceleration=lift.acceleration, deceleration=lift.deceleration / 2, start_speed=lift.speed / 8,
    )
    assert (made.speed, made.acceleration) == (lift.speed, lift.acceleration)
    assert (made.deceleration, made.start_speed, made.jerk) == (lift.acceleration / 2, lift.speed / 8, None)
    slow = made.plan("1 mm", "20 mm", timer_hz=1_000_000, speed=made.speed / 4)
    assert slow == made.plan("1 mm", "20 mm", timer_hz=1_000_000, speed=str(made.speed / 4))
    assert pickle.loads(pickle.dumps(made)) == made


def test_a_slow_move_is_asked_of_a_carriage() -> None:
    lift = Axis.load(AXES / "router_lift.toml")

    def seconds(speed: Speed | None) -> float:
        twin = wholestep.Twin.commissioned(lift, seed=1)
        twin.press("enable")
        assert twin.run_until_still(10**9)
        twin.carriage.find_datum()
        assert twin.run_until_still(10**12)
        began = twin.now
        if speed is None:
            twin.carriage.go_to("10 mm")
        else:
            twin.carriage.go_to_at("10 mm", speed)
        assert twin.run_until_still(10**12) and twin.carriage.step == lift.place("10 mm").step
        return (twin.now - began) / (lift.timer_hz or 1)

    assert seconds(lift.speed) == seconds(None) < seconds(lift.speed / 4)


@pytest.mark.parametrize(("speed", "raised"), [
    ("0 mm/s", errors.PlanError),
    ("9 m/s", errors.PlanError),
    ("1 deg/s", errors.UnitError),
    ("1 mm", errors.UnitError),
    ("", errors.NotationError),
    (Acceleration("1 mm/s²"), errors.UnitError),
    ("5", errors.MissingUnitError),
    (1, TypeError),
    (float("nan"), TypeError),
    (None, TypeError),
])
def test_a_speed_that_no_move_has_is_refused(speed: Any, raised: type[Exception]) -> None:
    carriage = wholestep.Carriage.commissioned(Axis.load(AXES / "router_lift.toml"))
    with pytest.raises(raised):
        carriage.go_to_at("10 mm", speed)
