"""What planning the jerk-limited moves of `benches/plan.rs` costs with the package `ruckig`, in
nanoseconds, run beside `cargo xtask bench`.

    pip install ruckig
    python benches/peers/plan.py

Its trajectory is a double-precision one without step edges; the cost includes the call from Python.
"""

import time
from statistics import median

from ruckig import InputParameter, Ruckig, Trajectory


def cost(steps: float, repeats: int = 15, calls: int = 5_000) -> float:
    ruckig, trajectory, wanted = Ruckig(1), Trajectory(1), InputParameter(1)
    wanted.current_position, wanted.target_position = [0.0], [steps]
    wanted.max_velocity, wanted.max_acceleration, wanted.max_jerk = [20_000.0], [100_000.0], [1_000_000.0]
    taken = []
    for _ in range(repeats):
        start = time.perf_counter_ns()
        for _ in range(calls):
            ruckig.calculate(wanted, trajectory)
        taken.append((time.perf_counter_ns() - start) / calls)
    return median(taken)


for name, steps in [("full speed", 10_000.0), ("short", 1_000.0)]:
    print(f"{name}: {cost(steps):.0f} ns a plan")
