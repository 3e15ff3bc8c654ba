"""A carriage polled from Python: what it asks for, what it refuses, and what it says."""

import threading
from collections.abc import Callable
from pathlib import Path

import pytest

import wholestep
from wholestep import Axis, Carriage, Detent, Fault, Inputs, Output, errors, events

AXES = Path(__file__).parents[3] / "examples" / "axes"
LIFT = Axis.load(AXES / "router_lift.toml")
HELD = Inputs(probe=True, enable=True)
FREE = Inputs(probe=True)


class Bench:
    """A carriage on a timer of its own, whose motor loses no steps."""

    def __init__(self, carriage: Carriage, inputs: Inputs = HELD) -> None:
        self.carriage, self.inputs, self.now = carriage, inputs, 0
        self.events: list[events.Event] = []
        self.edges = 0
        self.run()

    def commissioning_task(self) -> str | None:
        return self.carriage.commissioning_task

    def run(self, most: int = 10**9) -> Output:
        until = self.now + most
        while True:
            output = self.carriage.poll(self.now, self.inputs)
            self.events += output.events
            if output.edge:
                self.edges += 1 if output.edge.direction == "forward" else -1
            if output.poll_again_at is None or output.poll_again_at > until:
                # With nothing due, time may pass up to the end of a short wait.
                self.now = until if most < 10**9 else self.now
                return output
            self.now = output.poll_again_at

    def set(self, inputs: Inputs) -> None:
        self.inputs = inputs
        self.run(20_000)


def bench(inputs: Inputs = HELD) -> Bench:
    return Bench(Carriage.commissioned(LIFT), inputs)


def proven(inputs: Inputs = HELD) -> Bench:
    lives = bench()
    lives.carriage.jog(Detent.of(LIFT, "0.1 mm"))
    lives.run()
    # Two detents up take up the play of 0.15 mm; a height is stated once the carriage stands.
    lives.set(Inputs(probe=True, enable=True, dial=8))
    lives.run()
    lives.carriage.confirm_position(LIFT.place("10 mm"))
    lives.carriage.brake()
    lives.set(inputs)
    lives.edges = 0
    return lives


def travelling() -> Bench:
    lives = proven()
    lives.carriage.go_to(LIFT.place("30 mm"))
    lives.run(500_000)
    assert lives.carriage.state == "travelling" and lives.carriage.is_moving
    return lives


def faulted() -> Bench:
    lives = proven()
    lives.set(Inputs(probe=True, enable=True, drive_fault=True))
    return lives


def holding() -> Bench:
    lives = bench()
    lives.carriage.hold()
    assert lives.carriage.poll(lives.now, HELD).drive
    return lives


def held_still() -> Bench:
    lives = holding()
    lives.run()
    assert lives.carriage.state == "resting" and lives.edges == 0
    return lives


Request = Callable[[Carriage], None]
CASES: list[tuple[str, Callable[[], Bench], Request, type[errors.WholestepError]]] = [
    ("inputs_unsettled", lambda: Bench.__new__(Bench), lambda c: c.find_datum(), errors.RefusedError),
    ("position_unproven", bench, lambda c: c.go_to(0), errors.RefusedError),
    ("position_unproven", bench, lambda c: c.touch_off(), errors.RefusedError),
    ("enable_not_held", lambda: proven(FREE), lambda c: c.go_to(0), errors.RefusedError),
    ("enable_not_held", lambda: bench(FREE), lambda c: c.find_datum(), errors.RefusedError),
    ("beyond_limit", proven, lambda c: c.go_to(LIFT.highest_step + 1), errors.BeyondLimitError),
    ("beyond_limit", proven, lambda c: c.go_by(-(10**9)), errors.BeyondLimitError),
    ("out_of_range", proven, lambda c: c.go_to_at("12 mm", "1e-15 mm/s"), errors.OutOfRangeError),
    ("busy", travelling, lambda c: c.go_to_at("12 mm", "1 mm/s"), errors.RefusedError),
    ("position_unproven", bench, lambda c: c.go_to_at(0, LIFT.speed / 2), errors.RefusedError),
    ("beyond_limit", proven, lambda c: c.go_to_at(LIFT.highest_step + 1, "1 mm/s"), errors.BeyondLimitError),
    ("out_of_range", proven, lambda c: c.go_by(2**63 - 1), errors.OutOfRangeError),
    ("busy", travelling, lambda c: c.find_datum(), errors.RefusedError),
    ("busy", travelling, lambda c: c.jog(), errors.RefusedError),
    ("drive_off", bench, lambda c: c.confirm_position(0), errors.RefusedError),
    ("drive_settling", holding, lambda c: c.confirm_position(0), errors.RefusedError),
    ("play_not_taken_up", held_still, lambda c: c.confirm_position(0), errors.RefusedError),
    ("busy", travelling, lambda c: c.hold(), errors.RefusedError),
    ("beyond_limit", proven, lambda c: c.touch_off("stop", LIFT.highest_step + 1), errors.BeyondLimitError),
    ("faulted", faulted, lambda c: c.go_to(0), errors.RefusedError),
    ("fault_persists", faulted, lambda c: c.clear_fault(), errors.RefusedError),
    ("not_faulted", bench, lambda c: c.clear_fault(), errors.RefusedError),
    ("out_of_turn", bench, lambda c: c.nudge(), errors.RefusedError),
    ("not_commissioned", lambda: Bench(Carriage(LIFT)), lambda c: c.find_datum(), errors.RefusedError),
    (
        "not_fitted",
        lambda: Bench(Carriage.commissioned(Axis.load(AXES / "saw_fence.toml"))),
        lambda c: c.touch_off("stop", 0),
        errors.RefusedError,
    ),
    (
        "switch_pressed",
        lambda: proven(Inputs(probe=True, enable=True, high_switch=True)),
        lambda c: c.travel_to_end("high"),
        errors.RefusedError,
    ),
]


@pytest.mark.parametrize(("name", "made", "ask", "error"), CASES)
def test_refusals(
    name: str, made: Callable[[], Bench], ask: Request, error: type[errors.WholestepError]
) -> None:
    carriage = Carriage.commissioned(LIFT) if name == "inputs_unsettled" else made().carriage
    before = repr(carriage)
    with pytest.raises(error) as raised:
        ask(carriage)
    assert raised.value.refusal == name
    assert repr(carriage) == before


def test_a_refusal_says_the_same_as_in_rust() -> None:
    with pytest.raises(errors.RefusedError) as raised:
        travelling().carriage.find_datum()
    assert str(raised.value) == (
        "the carriage is travelling: brake first, or wait until it stops"
    )


def test_travel_ends_on_its_step_and_braking_stops_it() -> None:
    lives = proven()
    start = lives.carriage.step
    lives.carriage.go_to(LIFT.place("12.7 mm"))
    assert lives.carriage.target == LIFT.place("12.7 mm").step
    lives.run()
    assert lives.carriage.step == LIFT.place("12.7 mm").step == start + lives.edges
    assert lives.events[-1] == events.Stopped(lives.carriage.step, "arrived")
    lives = travelling()
    lives.carriage.brake()
    assert lives.carriage.state == "braking"
    lives.run()
    assert lives.events[-1] == events.Stopped(lives.carriage.step, "braked")
    assert lives.carriage.step < LIFT.place("30 mm").step


def test_letting_the_enable_go_stops_it() -> None:
    lives = travelling()
    lives.set(FREE)
    lives.run()
    assert lives.events[-1] == events.Stopped(lives.carriage.step, "enable_released")
    assert lives.carriage.state == "resting" and lives.carriage.is_proven


def test_a_fault_is_typed_and_reads_as_in_rust() -> None:
    lives = faulted()
    fault = lives.carriage.fault
    assert fault is not None and (fault.name, fault.end, fault.input) == ("drive", None, None)
    assert str(fault) == f"the drive reports a fault: {fault.check}"
    assert events.Faulted(fault) in lives.events
    assert events.Unproven("released") in lives.events or events.Unproven("contradicted") in lives.events
    lives.set(HELD)
    lives.carriage.clear_fault()
    lives.run()
    assert lives.carriage.fault is None and lives.events[-1] == events.Cleared()
    lives.set(Inputs(probe=True, enable=True, low_switch=True, high_switch=True))
    both = lives.carriage.fault
    assert isinstance(both, Fault) and both.name == "both_pressed" and both != fault


def test_time_that_runs_backwards_is_a_fault() -> None:
    lives = travelling()
    lives.carriage.poll(0, lives.inputs)
    fault = lives.carriage.fault
    assert fault is not None and fault.name == "time_backwards"
    assert not lives.carriage.is_proven


def test_commissioning_asks_in_its_order() -> None:
    lives = Bench(Carriage(LIFT), FREE)
    assert lives.commissioning_task() == "change_low_switch"
    lives.set(Inputs(probe=True, low_switch=True))
    lives.set(FREE)
    assert lives.commissioning_task() == "change_high_switch"
    assert events.Seen("low_switch") in lives.events
    lives.set(Inputs(probe=True, low_switch=True))
    assert events.OtherInput("low_switch") in lives.events
    assert lives.carriage.state == "commissioning" and lives.edges == 0


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: Carriage.commissioned(LIFT).poll(-1, HELD),
        lambda: Carriage.commissioned(LIFT).poll(2**64, HELD),
        lambda: Inputs(dial=2**32),
        lambda: Inputs(dial=-1),
    ],
)
def test_numbers_outside_their_range(wrong: Callable[[], object]) -> None:
    with pytest.raises(errors.OutOfRangeError, match=" is allowed"):
        wrong()


def test_words_and_values_that_are_none() -> None:
    with pytest.raises(errors.NotationError, match="low or high"):
        bench().carriage.travel_to_end("top")  # type: ignore[arg-type]
    with pytest.raises(errors.NotationError, match="stop or signal"):
        bench().carriage.touch_off("go", 0)  # type: ignore[arg-type]
    with pytest.raises(TypeError):
        bench().carriage.go_to(12.7)  # type: ignore[arg-type]
    with pytest.raises(errors.OutOfRangeError):
        Detent(0)
    with pytest.raises(errors.InexactNumberError):
        Detent(0.5)  # type: ignore[arg-type]


def test_an_axis_without_a_file_says_nothing_of_what_is_fitted() -> None:
    screw = wholestep.Linear.lead_screw_by_lead(wholestep.DriveTrain("1.8 deg", "1/16"), "8 mm")
    axis = Axis(screw, low="0 mm", high="600 mm", speed="40 mm/s", acceleration="200 mm/s²")
    with pytest.raises(errors.FileKeyError, match="load the axis from a file"):
        Carriage(axis)


def test_many_threads_may_poll_and_ask() -> None:
    carriage = Carriage.commissioned(LIFT)

    def poll() -> None:
        for _ in range(2_000):
            carriage.poll(0, HELD)
            carriage.brake()

    threads = [threading.Thread(target=poll) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert carriage.fault is None
