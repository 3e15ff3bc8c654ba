"""Exact positioning for stepper-driven shop axes.

Every position a stepper can hold is a whole number of steps, and the remainder is known exactly.

>>> import wholestep
>>> screw = wholestep.Linear.lead_screw_by_threads_per_inch(wholestep.DriveTrain("1.8 deg", "1/16"), 8)
>>> stop = wholestep.Axis(screw, low="3/4 in", high="36 in", speed="1 in/s", acceleration="3 in/s²")
>>> placed = stop.place("18-1/4 in")
>>> placed.step, placed.remainder.low
(467200, Length('0 mm'))
>>> plan = stop.plan(placed, "12 in", timer_hz=1_000_000)
>>> plan.steps, plan.edges()[0]
(-160000, 3608)
"""

from . import calibration, effort, errors, events
from ._cut_list import (
    Cut,
    CutList,
    CutSheet,
    MarkedPiece,
    Marks,
    Part,
    Setting,
    Stock,
    StockPiece,
    StopMove,
    Totals,
    Unplaced,
)
from ._native import (
    Acceleration,
    Angle,
    Axis,
    Carriage,
    Conformance,
    DepthOfCut,
    Detent,
    DriveTrain,
    Enclosure,
    Fault,
    GridFit,
    Inputs,
    Jerk,
    Leg,
    Length,
    Linear,
    Output,
    Placement,
    Plan,
    Quadrature,
    Repeatability,
    ScrewTilt,
    Speed,
    StepEdge,
    SwingArm,
    Thread,
    TiltedBlade,
    TravelCheck,
    GroundTruth,
    Twin,
    __version__,
    check_conformance,
    register,
)
from ._folder import cut_folder
from ._protocols import Mechanism
from ._rehearsal import Rehearsed, RehearsedMove, rehearse
from ._spread import WorkerDied
from ._study import Spread, Study, Summary, Trial
from .calibration import Calibration
from .effort import Effort
from .errors import WholestepError

__all__ = [
    "Acceleration",
    "Angle",
    "Axis",
    "Calibration",
    "Carriage",
    "Conformance",
    "Cut",
    "CutList",
    "CutSheet",
    "DepthOfCut",
    "Detent",
    "DriveTrain",
    "Effort",
    "Enclosure",
    "Fault",
    "GridFit",
    "Inputs",
    "Jerk",
    "Leg",
    "Length",
    "Linear",
    "MarkedPiece",
    "Marks",
    "Mechanism",
    "Output",
    "Part",
    "Placement",
    "Plan",
    "Quadrature",
    "Rehearsed",
    "RehearsedMove",
    "Repeatability",
    "ScrewTilt",
    "Setting",
    "Speed",
    "Spread",
    "StepEdge",
    "Stock",
    "StockPiece",
    "StopMove",
    "Study",
    "Summary",
    "SwingArm",
    "Thread",
    "TiltedBlade",
    "TravelCheck",
    "Totals",
    "Trial",
    "GroundTruth",
    "Twin",
    "Unplaced",
    "WholestepError",
    "WorkerDied",
    "__version__",
    "calibration",
    "check_conformance",
    "cut_folder",
    "effort",
    "errors",
    "events",
    "register",
    "rehearse",
]
