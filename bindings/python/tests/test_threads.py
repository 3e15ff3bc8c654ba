"""Screw threads by their designations: the shared cases, and what a value does."""

import copy
import pickle
import tomllib
from typing import Any

import pytest
from machine import VECTORS

import wholestep
from wholestep import DriveTrain, Length, Linear, Thread

CASES = tomllib.loads((VECTORS / "threads.toml").read_text(encoding="utf-8"))["case"]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["text"])
def test_shared_vectors_of_threads(case: dict[str, Any]) -> None:
    if "error" in case:
        with pytest.raises(wholestep.WholestepError) as caught:
            Thread(case["text"])
        assert (caught.value.kind, str(caught.value)) == (case["error"], case["message"])
        return
    thread = Thread(case["text"])
    assert (thread.pitch, thread.lead) == (Length(case["pitch"]), Length(case["lead"]))
    assert (thread.starts, thread.hand) == (case["starts"], case.get("hand", "right"))
    assert thread.standard == case.get("standard")
    assert str(thread) == case["written"]
    for again in (eval(repr(thread)), copy.copy(thread), pickle.loads(pickle.dumps(thread)), Thread(str(thread))):
        assert again == thread and hash(again) == hash(thread)


def test_a_screw_takes_a_thread_or_its_designation() -> None:
    drive = DriveTrain("1.8 deg", "1/16")
    screw = Linear.lead_screw_by_thread(drive, "Tr8x8(P2)")
    assert screw == Linear.lead_screw_by_thread(drive, Thread("Tr8x8(P2)"))
    assert screw == Linear.lead_screw_by_pitch(drive, "2 mm", 4)
    assert Thread("#10 UNC").diameter == Length("0.19 in") and Thread("M8") != "M8x1.25"
    with pytest.raises(TypeError):
        Linear.lead_screw_by_thread(drive, 8)  # type: ignore[arg-type]
