"""A job on many lifts of one kind, each drawn from what the axis file leaves open: on how many would it fit?

CAUTION: a study knows of no cutter. Make the first real run with the cutter at rest, hands clear and the
emergency stop in reach; the makers' manuals and the rules where you work come first.
"""

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from wholestep import Study

rails = Study(Path(__file__).parent / "jobs" / "grooved_rails.toml", within="0.01 mm", seed=5)
print("drawn:", ", ".join(rails.drawn))
with ThreadPoolExecutor() as threads:  # or a pool of processes, or a cluster
    rails.run(200, executor=threads)
for stop, spread in zip(rails.stops, rails.summary().stops, strict=True):
    assert spread is not None
    print(f"{stop}: {spread.lowest:+.4f} to {spread.highest:+.4f} mm off")
print(rails)
