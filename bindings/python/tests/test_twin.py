"""A carriage on a twin: the datum, touching off, faults, Ctrl-C, threads and chance."""

import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from interrupted import seconds_to_end

import wholestep
from wholestep import Axis, Twin, errors, events

LIFT = Axis.load(Path(__file__).parents[3] / "examples" / "axes" / "router_lift.toml")
MINUTE = 60_000_000


def still(twin: Twin) -> None:
    assert twin.run_until_still(2 * MINUTE)


def ready(seed: int = 1) -> Twin:
    twin = Twin.commissioned(LIFT, seed=seed)
    twin.press("enable")
    still(twin)
    return twin


def with_datum(seed: int = 1) -> Twin:
    twin = ready(seed)
    twin.carriage.find_datum()
    still(twin)
    return twin


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_datum_is_found(seed: int) -> None:
    twin = with_datum(seed)
    assert twin.carriage.is_proven and twin.carriage.state == "resting" and twin.lost_steps == 0
    found = [event for _, event in twin.events if isinstance(event, events.DatumFound)]
    assert len(found) == 1 and found[0].off_by is None
    # Believed and true position agree to within scatter and backlash.
    believed = LIFT.at_step(twin.carriage.step).position.low.value_in("mm")
    assert abs(float(believed) - twin.ground_truth.carriage_position * 1e3) < 0.2


def test_steps_lost_in_a_stall_are_found_by_the_next_datum() -> None:
    twin = with_datum()
    twin.inject("stall", at=twin.now + 300_000, until=twin.now + 1_300_000)
    twin.carriage.go_to(LIFT.place("-20 mm"))
    still(twin)
    lost = twin.lost_steps
    assert lost != 0 and twin.ground_truth.slips > 0 and twin.carriage.is_proven
    twin.carriage.find_datum()
    still(twin)
    found = [event for _, event in twin.events if isinstance(event, events.DatumFound)][-1]
    assert found.off_by is not None and abs(found.off_by - lost) <= 64


def test_a_broken_wire_is_a_named_fault() -> None:
    twin = with_datum()
    twin.inject("broken_wire_low")
    twin.run_until(twin.now + 1_000_000)
    twin.carriage.find_datum()
    still(twin)
    fault = twin.carriage.fault
    assert fault is not None and (fault.name, fault.end) == ("never_released", "low")


def test_touching_off_proves_the_position() -> None:
    twin = ready()
    twin.plate(height="12.7 mm")
    twin.cutter("0 mm")
    gauge = LIFT.place("12.7 mm").step
    twin.carriage.touch_off("stop", gauge)
    still(twin)
    touched = [event for _, event in twin.events if isinstance(event, events.Touched)]
    if twin.carriage.fault is None:
        assert touched == [events.Touched(gauge, None)] and twin.carriage.is_proven
        believed = LIFT.at_step(twin.carriage.step).position.low.value_in("mm")
        assert abs(float(believed) - twin.ground_truth.carriage_position * 1e3) < 0.2
    else:
        pytest.fail(str(twin.carriage.fault))


def test_a_probe_that_touches_already_is_a_fault() -> None:
    twin = ready()
    twin.press("probe")
    twin.run_until(twin.now + 100_000)
    twin.carriage.touch_off("stop", 0)
    still(twin)
    fault = twin.carriage.fault
    assert fault is not None and fault.name == "probe_closed" and not twin.carriage.is_proven


def test_the_rocker_runs_and_brakes_without_losing_steps() -> None:
    twin = with_datum()
    twin.carriage.jog()
    twin.run_until(twin.now + 1_000)
    step = twin.carriage.step
    twin.rocker("high")
    twin.run_until(twin.now + 1_000_000)
    assert twin.carriage.is_moving
    twin.rocker(None)
    still(twin)
    assert twin.carriage.step > step and twin.lost_steps == 0 and twin.ground_truth.slips == 0


def test_a_power_cut_starts_nothing_and_proves_nothing() -> None:
    twin = with_datum()
    twin.carriage.go_to(LIFT.place("20 mm"))
    twin.inject("power_cut", at=twin.now + 500_000, until=twin.now + 900_000)
    twin.run_until(twin.now + 600_000)
    assert not twin.powered
    twin.run_until(twin.now + MINUTE)
    assert twin.powered and not twin.carriage.is_proven and not twin.carriage.is_moving
    with pytest.raises(errors.RefusedError) as raised:
        twin.carriage.go_to(0)
    assert raised.value.refusal == "position_unproven"


def life(seed: int) -> tuple[list[tuple[int, events.Event]], int, float]:
    twin = with_datum(seed)
    twin.carriage.travel_to_end("high")
    still(twin)
    return twin.events, twin.polls, twin.ground_truth.carriage_position


def test_a_seed_decides_the_life() -> None:
    assert life(4) == life(4)
    assert life(4) != life(5)


def test_a_name_that_no_fault_has() -> None:
    with pytest.raises(errors.FileKeyError, match="broken_wire_low"):
        ready().inject("gremlin")


def test_the_carriage_of_a_twin_is_polled_by_it() -> None:
    with pytest.raises(TypeError, match="by its twin"):
        ready().carriage.poll(0, wholestep.Inputs())


def long_running() -> Twin:
    """A contact that never settles keeps it at work for hours."""
    twin = with_datum()
    twin.inject("bounce_storm_low")
    twin.inject("bounce_storm_probe")
    return twin


def test_ctrl_c_stops_it_soon_and_it_may_run_on() -> None:
    twin = long_running()
    assert seconds_to_end(lambda: twin.run_until(10**15), after=0.3) < 0.2
    now = twin.now
    twin.run_until(now + 1_000)
    assert twin.now == now + 1_000


def test_ctrl_c_stops_it_while_nothing_is_polled() -> None:
    twin = ready()
    twin.inject("power_cut")
    twin.inject("bounce_storm_low")
    assert seconds_to_end(lambda: twin.run_until(10**15), after=0.2) < 0.3


def test_other_threads_run_meanwhile_and_may_ask() -> None:
    twin = long_running()
    raised: list[BaseException] = []
    over = threading.Event()

    def run() -> None:
        try:
            while not over.is_set():
                twin.run_until(twin.now + MINUTE)
        except BaseException as error:  # noqa: BLE001
            raised.append(error)

    thread = threading.Thread(target=run)
    thread.start()
    counted, began = 0, time.monotonic()
    while time.monotonic() - began < 0.3:
        counted += 1
    twin.carriage.brake_and_release()
    assert twin.now > 0
    over.set()
    thread.join(timeout=30)
    assert not thread.is_alive() and not raised
    # Held back by the GIL it would have counted next to nothing.
    assert counted > 10_000


def change(twin: Twin, asked: str) -> None:
    """Does by hand what commissioning asks for, both ways."""
    which = asked.removeprefix("change_")
    second = twin.timer_hz
    if which == "dial":
        twin.dial(8)
        twin.dial(-8, at=twin.now + second)
    elif which == "rocker":
        twin.rocker("high")
        twin.rocker("low", at=twin.now + second)
        twin.rocker(None, at=twin.now + 2 * second)
    else:
        twin.press(which)  # type: ignore[arg-type]
        twin.press(which, False, at=twin.now + second)  # type: ignore[arg-type]
    twin.run_until(twin.now + 3 * second)
    still(twin)


@pytest.mark.parametrize(("measured", "agrees"), [(10, True), (5, False)])
def test_a_new_machine_is_commissioned_from_python(measured: int, agrees: bool) -> None:
    twin = Twin(LIFT, seed=2)
    still(twin)
    asked: list[str] = []
    while (now_asked := twin.carriage.commissioning_task) is not None and len(asked) < 12:
        asked.append(now_asked)
        if now_asked.startswith("change_"):
            change(twin, now_asked)
            continue
        twin.press("enable")
        twin.run_until(twin.now + twin.timer_hz)
        if now_asked == "nudge":
            twin.carriage.nudge()
        elif now_asked == "confirm_direction":
            twin.carriage.confirm_direction(True)
        elif now_asked == "measure_travel":
            twin.carriage.measure_travel()
        elif now_asked == "report_travel":
            check = LIFT.check_travel(10, measured)
            twin.carriage.report_travel(check.agrees)
            if not check.agrees:
                break
        else:
            assert now_asked == "find_datum"
            twin.carriage.find_datum()
        still(twin)
    inputs = ["low_switch", "high_switch", "probe", "enable", "dial", "rocker"]
    motions = ["nudge", "confirm_direction", "measure_travel", "report_travel"]
    assert asked[:10] == [f"change_{which}" for which in inputs] + motions
    assert twin.carriage.is_proven == agrees
    assert twin.carriage.commissioning_task == (None if agrees else "measure_travel")
    seen = [event for _, event in twin.events if isinstance(event, events.Seen)]
    assert seen == [events.Seen(which) for which in inputs]  # type: ignore[arg-type]


@pytest.mark.parametrize(("refused", "words"), [
    (lambda twin: twin.turn_screw(float("nan")), "turn of the screw is NaN full steps"),
    (lambda twin: twin.turn_screw(float("inf")), "turn of the screw is inf full steps"),
    (lambda twin: twin.dial(400, -5.0), "speed of the dial is -5 counts/s; allowed is 0.001"),
    (lambda twin: twin.dial(400, 0.0), "speed of the dial is 0 counts/s"),
    (lambda twin: twin.dial(400, float("nan")), "speed of the dial is NaN counts/s"),
    (lambda twin: twin.dial(400, at=999), "tick 999: at least 1000 is allowed"),
    (lambda twin: twin.press("enable", at=0), "tick 0: at least 1000 is allowed"),
    (lambda twin: twin.turn_screw(1.0, at=999), "tick 999"),
    (lambda twin: twin.inject("stall", at=999), "tick 999"),
    (lambda twin: twin.inject("stall", at=2000, until=1500), "ends before it begins"),
    (lambda twin: twin.inject("stall", until=999), "ends before it begins"),
])
def test_what_no_hand_and_no_clock_can_do_is_refused(refused: Callable[[Twin], object], words: str) -> None:
    twin = Twin.commissioned(LIFT, seed=1)
    twin.run_until(1000)
    before = twin.ground_truth
    with pytest.raises(errors.OutOfRangeError) as caught:
        refused(twin)
    assert words in str(caught.value)
    assert twin.ground_truth == before
