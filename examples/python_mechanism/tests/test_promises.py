from wholestep import Axis, DriveTrain, Length, check_conformance
from wholestep_toggle import Toggle


def test_it_keeps_what_a_mechanism_promises() -> None:
    toggle = Toggle(DriveTrain("1.8 deg", "1/8"), Length("4 mm"), Length("100 mm"), Length("40 mm"))
    assert check_conformance(toggle, samples=30).placements > 300


def test_an_axis_file_names_it() -> None:
    # By the triangle 60-80-100, the feet 120 mm apart; 400 steps spread them 1 mm.
    assert Axis.load("press_table.toml").place("80 mm").step == (120 - 40) * 400
