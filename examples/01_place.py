"""A dimension on a drawing becomes a step, its exact remainder, and a timed move."""

from pathlib import Path

import wholestep

stop = wholestep.Axis.load(Path(__file__).parent / "axes" / "stop_block.toml")
for text in ("23-5/8 in", "1/3 ft", "300 mm"):
    placed = stop.place(text)
    position, remainder = (bounds.low.to_text("in") for bounds in (placed.position, placed.remainder))
    print(f"{text}: step {placed.step} at {position}, remainder {remainder}")

plan = stop.plan("12 in", "23-5/8 in", arrived="from_above")
edges = plan.edges()
print(f"{plan.steps} steps in {plan.ticks} ticks; the first edge falls on tick {edges[0]}, the last on {edges[-1]}")

try:
    stop.place("37 in")
except wholestep.WholestepError as error:
    print(error)
