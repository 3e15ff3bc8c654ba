"""What the placements of `benches/place.rs` cost in pure Python, in microseconds.

    pip install mpmath
    python benches/peers/place.py

Drives of one travel a step by `fractions`, those with π by mpmath, and the curved kinds by bisection over mpmath at 30 digits, which is what a
careful script would do. Positions from mpmath carry no bounds, so these answers are not proven.
"""

import time
from fractions import Fraction as F
from itertools import cycle, islice

from mpmath import acos, atan2, mp, mpf, nint, pi, sin, sqrt

mp.dps = 30
TURNS = F(9, 5) / 360 / 8 * F(16, 48)


def screw(step, side=sqrt(mpf(120) ** 2 + 160**2), turned=atan2(-160, 120)):
    s = 150 + step * mpf(4) * TURNS.numerator / TURNS.denominator
    return 150 * sin(turned + acos((8100 + side**2 - s * s) / (180 * side))) - 10


def sector(step):
    return 150 * sin(step * mpf(3) * TURNS.numerator / TURNS.denominator * pi / 180) - 10


def tilt(step, rest=acos((180**2 + 240**2 - mpf(200) ** 2) / (2 * 180 * 240))):
    s = 200 + step * mpf(4) * TURNS.numerator / TURNS.denominator
    return (acos((180**2 + 240**2 - s * s) / (2 * 180 * 240)) - rest) * 180 / pi


def scissor(step):
    x = 630 - step * mpf(5) * TURNS.numerator / TURNS.denominator
    return 2 * sqrt(650**2 - x * x)


def uniform(travel):
    return lambda target: round(target / travel)


def times_pi(travel):
    travel = mpf(travel.numerator) / travel.denominator * pi
    return lambda target: int(nint(target / travel))


def bisected(position, low, high):
    def place(target):
        lower, upper = low, high
        while upper - lower > 1:
            middle = (lower + upper) // 2
            if position(middle) < target:
                lower = middle
            else:
                upper = middle
        return lower if 2 * target < position(lower) + position(upper) else upper
    return place


def measure(name, place, targets, seconds=2.0):
    done, targets, start = 0, cycle(targets), time.perf_counter()
    while time.perf_counter() - start < seconds:
        for target in islice(targets, 10):
            place(target)
        done += 10
    print(f"{name:<24} {(time.perf_counter() - start) / done * 1e6:10.1f} µs")


def main():
    def targets(low, high):
        return [F(low) + F(n * (high - low), 1000) + F(1, 7000) for n in range(1000)]

    def real(low, high):
        return [mpf(t.numerator) / t.denominator for t in targets(low, high)]

    for name, travel in [
        ("lead_screw", 4 * TURNS),
        ("belt", 40 * TURNS),
        ("rack_by_tooth_pitch", 100 * TURNS),
        ("measured", F("39.87") * TURNS),
        ("rotary", 9 * TURNS),
    ]:
        measure(name, uniform(travel), targets(-40, 60))
    measure("drum", times_pi(31 * TURNS), real(-40, 60))
    measure("rack_by_module", times_pi(20 * TURNS), real(-40, 60))
    measure("swing_arm_by_screw", bisected(screw, -10_000, 90_000), real(-5, 75))
    measure("swing_arm_by_sector", bisected(sector, -40_000, 136_000), real(-5, 75))
    measure("scissor_table", bisected(scissor, 0, 500_000), real(350, 1100))
    measure("screw_tilt", bisected(tilt, -4_000, 170_000), real(0, 45))


if __name__ == "__main__":
    main()
