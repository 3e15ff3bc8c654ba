"""Blades on swing arms, trunnions tilted by a screw, and the depth of cut of a tilted blade."""

import pickle

import pytest

from machine import BLADE, REPOSITORY, by_screw, by_sector, tilt

import wholestep
from wholestep import Axis, Enclosure, Length, TiltedBlade

MADE = [by_screw(), by_sector(), tilt()]


@pytest.mark.parametrize("mechanism", [*MADE, BLADE.at_tilt(by_sector(), "22.5 deg")])
def test_each_keeps_what_a_mechanism_promises(mechanism: wholestep.Mechanism) -> None:
    assert wholestep.check_conformance(mechanism, samples=12).placements > 100


@pytest.mark.parametrize("mechanism", [*MADE, BLADE])
def test_each_is_written_out_and_pickled_as_it_was_made(mechanism: object) -> None:
    assert pickle.loads(pickle.dumps(mechanism)) == mechanism
    assert eval(repr(mechanism), vars(wholestep)) == mechanism


def test_a_file_places_as_the_mechanism_does() -> None:
    file = Axis.load(REPOSITORY / "examples/axes/blade_tilt.toml")
    same = Axis(tilt(), low="0 deg", high="45 deg", speed="3 deg/s", acceleration="10 deg/s²")
    assert [file.place(at).step for at in ("0 deg", "22.5 deg", "45 deg")] == [
        same.place(at).step for at in ("0 deg", "22.5 deg", "45 deg")
    ]


def test_a_blade_placed_at_a_depth_cuts_as_deep() -> None:
    height = Axis(by_sector(), low="0 mm", high="80 mm", speed="5 mm/s", acceleration="10 mm/s²")
    leaning = Axis(
        BLADE.at_tilt(by_sector(), "45 deg"), low="0 mm", high="50 mm", speed="5 mm/s", acceleration="10 mm/s²"
    )
    placed = leaning.place("20 mm", "above")
    position = height.at_step(placed.step).position
    assert isinstance(position.low, Length) and isinstance(position.high, Length)
    depth = BLADE.depth_of_cut(Enclosure(position.low, position.high), "45 deg")
    assert isinstance(depth.low, Length) and Length("20 mm") <= depth.low < Length("20.05 mm")
    assert BLADE.fence_correction("0 deg", "18 mm").is_exact
    assert f"{BLADE.kerf_at_table('60 deg').middle:.3 mm}" == "5.600 mm"


@pytest.mark.parametrize(
    ("make", "text"),
    [
        (lambda: by_screw(lead="0 mm"), "lead"),
        (lambda: by_screw(lead="4 deg"), "length"),
        (lambda: by_screw(lead=4.0), "binary float"),
        (lambda: by_screw(raised_by="up"), "lengthening or shortening"),
        (lambda: by_screw(screw_length="20 mm"), "screw length"),
        (lambda: by_sector(sector_teeth=0), "teeth"),
        (lambda: by_sector(sector_teeth=-1), "teeth"),
        (lambda: by_sector(arm_angle="90 deg"), "arm angle"),
        (lambda: tilt(low_stop="47 deg"), "low stop"),
        (lambda: tilt(nut_distance="11 m"), "nut distance"),
        (lambda: TiltedBlade("0 mm", "1 mm", "1 mm", "1 mm", "1 mm"), "blade diameter"),
        (lambda: BLADE.depth_of_cut("10 mm", "89 deg"), "tilt"),
        (lambda: BLADE.at_tilt(tilt(), "1 deg"), "mechanism that turns"),
        (lambda: by_sector().position_at(10**9, 1), "step"),
        (lambda: by_sector().position_at(0, 0), "width"),
    ],
)
def test_what_is_wrong_is_named(make: object, text: str) -> None:
    with pytest.raises((wholestep.WholestepError, TypeError), match=text):
        make()  # type: ignore[operator]
