"""A belt stop held against a gauge, up and down its rail: is it the zero, the scale or the play?

CAUTION: take readings with the blade at rest and the saw unplugged; the axis moves by itself. The makers' manuals
and the rules where you work come first.
"""

from pathlib import Path

from wholestep import Calibration

here = Path(__file__).parent
told = Calibration.of(
    here / "axes" / "belt_stop.toml",
    here / "readings" / "belt_stop.csv",
    resolution="0.01 mm",
    within="0.1 mm",
)
print(told.verdict)
print("scale", told.scale.exact)
for edit in told.edits:  # written into the file, with the old values noted, if asked with write=True
    print(f"{edit.key}: {edit.old} -> {edit.new}")
