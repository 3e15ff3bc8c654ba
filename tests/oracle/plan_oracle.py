"""An oracle for plans in plain integers and fractions; it shares no code with the core.

It draws random limits from a seed, has `plan_dump` plan them, and then checks
 * that speed, acceleration, deceleration and jerk never exceed the given rates,
 * that the move takes no less than the continuous optimum, computed from the given
   rates alone, and at most 2 ticks more (4 if jerk-limited),
 * that every edge falls on the tick of the definition: the ideal time at which the
   position passes k - 1/2, rounded half up,
 * and the exact position a third of the way.

    python3 plan_oracle.py PLAN_DUMP [--count N] [--seed S]
"""

import argparse
import random
import subprocess
import sys
from fractions import Fraction
from math import isqrt, lcm

TIMERS = (1_000_000, 16_000_000, 250_000_000)
FINE = 1 << 80  # roots are bracketed to this fraction of a tick


def root(x: Fraction, degree: int) -> tuple[Fraction, Fraction]:
    """Bounds on the square or cube root, a 2^-80 apart or exact."""
    scaled = x.numerator * FINE**degree // x.denominator
    if degree == 2:
        low = isqrt(scaled)
    else:
        low, high = 0, 1 << (scaled.bit_length() // 3 + 1)
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (middle, high) if middle**3 <= scaled else (low, middle)
    return Fraction(low, FINE), Fraction(low + 1, FINE)


def ugly(rng: random.Random, low: float, high: float) -> Fraction:
    """A rate between two bounds: round, a decimal, or with a large prime below."""
    value = min(low * (high / low) ** rng.random(), 1e19)
    kind = rng.randrange(4) if value < 1e12 else 0  # parts of a fraction have 64 bits
    if kind == 0:
        return Fraction(max(1, round(value)))
    if kind == 1:
        return Fraction(max(1, round(value * 1000)), 1000)
    if kind == 2:
        # Millimetres a second on a screw of 16 threads an inch, 3200 steps a turn.
        return Fraction(max(1, round(value * 127 / 256000 * 60)), 60) * Fraction(256000, 127)
    below = rng.choice((3, 7, 381, 997, 65537, 1_000_003))
    return Fraction(max(1, round(value * below)), below)


class Case:
    def __init__(self, rng: random.Random, number: int) -> None:
        self.timer = TIMERS[number % 3]
        self.jerky = number // 3 % 2 == 1
        f = self.timer
        self.v = min(ugly(rng, 0.2, f / 20), Fraction(f))
        # Steps to full speed, from a fraction to many; then the length beside it.
        ramp = 10 ** rng.uniform(-0.5, 3)
        self.a = ugly(rng, float(self.v) ** 2 / ramp, float(self.v) ** 2 / ramp * 1.5)
        self.d = self.a if rng.random() < 0.5 else ugly(rng, float(self.a) / 9, float(self.a) * 9)
        self.v0 = Fraction(0)
        self.j = None
        if self.jerky:
            usual = float(min(self.a, self.d)) ** 2 / float(self.v)
            self.j = ugly(rng, usual / 30, usual * 30)
        elif rng.random() < 0.4:
            self.v0 = ugly(rng, float(self.v) / 1000, float(self.v) * 1.1)
        self.steps = max(1, round(ramp * 10 ** rng.uniform(-1.5, 0.7)))
        self.wanted = "*"
        if number % 50 == 49:
            # A move far too long to check every edge.
            most = min(2**40, int(self.v / f * 2**60))  # a duration below 2^60 ticks
            self.steps = rng.randrange(1, 2 + most >> rng.randrange(26))
            near = sorted(
                {1, self.steps}
                | {rng.randrange(1, self.steps + 1) for _ in range(12)}
                | {rng.randrange(1, min(self.steps, 10_000) + 1) for _ in range(12)}
                | {self.steps + 1 - rng.randrange(1, min(self.steps, 10_000) + 1) for _ in range(12)}
            )
            self.wanted = ",".join(map(str, near))

    def line(self) -> str:
        def text(x: Fraction | None) -> str:
            return "-" if x is None else f"{x.numerator}/{x.denominator}"

        rates = (self.v, self.a, self.d, self.v0, self.j)
        return f"{self.timer} {self.steps} {' '.join(map(text, rates))} {self.wanted}"

    def optimum(self) -> tuple[Fraction, Fraction]:
        """Bounds on the continuous optimum, in ticks, from the given rates alone."""
        n, v, v0 = Fraction(self.steps), self.v, self.v0
        if self.j is None:
            if v0 >= v:
                return (n / v * self.timer,) * 2
            inverse = 1 / self.a + 1 / self.d
            if n >= (v * v - v0 * v0) * inverse / 2:
                t = n / v + (v - v0) ** 2 / (2 * v) * inverse
                return (t * self.timer,) * 2
            low, high = root((v0 * v0 + 2 * n / inverse) * self.timer**2, 2)
            return tuple((x - v0 * self.timer) * inverse for x in (low, high))
        a, j, f = min(self.a, self.d), self.j, self.timer
        # Duration of the rise to full speed, if that is reached.
        if v * j >= a * a:
            rise = v / a + a / j
            rise = (rise * f,) * 2
        else:
            rise = tuple(2 * x for x in root(v / j * f * f, 2))
        if n * f >= v * rise[1]:
            return tuple(n / v * f + x for x in rise)
        if v * j >= a * a and n >= 2 * a * (a / j) ** 2:
            # n = a y (y + x) with x = a/j; the move takes 2 (x + y).
            x = a / j
            low, high = root((x * x + 4 * n / a) * f * f, 2)
            return tuple(2 * (x * f + (y - x * f) / 2) for y in (low, high))
        return tuple(4 * x for x in root(n / (2 * j) * Fraction(f) ** 3, 3))


def phases(case: Case, shape: str, durations: str) -> list[tuple[int, Fraction, Fraction, Fraction]]:
    """(ticks, speed, acceleration, jerk) at the start of each phase, a tick."""
    n, f = Fraction(case.steps), case.timer
    if shape == "constant":
        ticks = int(durations)
        return [(ticks, n / ticks, Fraction(0), Fraction(0))]
    if shape == "trapezoid":
        start, *rest = durations.split(",")
        start = Fraction(start)
        assert start * f <= case.v0, "starts faster than it may"
        up, cruise, down = map(int, rest)
        # Area under the speed: (v0+v)/2 up + v cruise + (v+v0)/2 down = n.
        v = (n - start * Fraction(up + down, 2)) / (Fraction(up + down, 2) + cruise)
        return [
            (up, start, (v - start) / up, Fraction(0)),
            (cruise, v, Fraction(0), Fraction(0)),
            (down, v, (start - v) / down, Fraction(0)),
        ]
    ramp, hold, cruise = map(int, durations.split(","))
    lengths = (ramp, hold, ramp, cruise, ramp, hold, ramp)
    signs = (1, 0, -1, 0, -1, 0, 1)
    # Integrate with a jerk of one, then scale so that the whole is n.
    s = v = a = Fraction(0)
    unit = []
    for ticks, sign in zip(lengths, signs):
        unit.append((ticks, v, a, Fraction(sign)))
        s += v * ticks + a * ticks**2 / 2 + Fraction(sign * ticks**3, 6)
        v += a * ticks + Fraction(sign * ticks**2, 2)
        a += sign * ticks
    assert v == 0 and a == 0
    return [(ticks, v * n / s, a * n / s, j * n / s) for ticks, v, a, j in unit]


class Path:
    """Position as integers: (c0 + c1 h + c2 h² + c3 h³) / below, h in half ticks of a phase."""

    def __init__(self, parts: list[tuple[int, Fraction, Fraction, Fraction]], steps: int) -> None:
        self.parts = []
        self.steps = steps
        begin, s = 0, Fraction(0)
        for ticks, v, a, j in parts:
            if ticks == 0:
                continue
            terms = (s, v / 2, a / 8, j / 48)
            below = lcm(*(t.denominator for t in terms))
            whole = tuple(t.numerator * (below // t.denominator) for t in terms)
            self.parts.append((2 * begin, 2 * (begin + ticks), whole, below))
            s += v * ticks + a * ticks**2 / 2 + j * ticks**3 / 6
            begin += ticks
        assert s == steps, "does not end on its step"

    def at(self, half_ticks: int) -> tuple[int, int]:
        if half_ticks <= 0:
            return 0, 1
        for begin, end, (c0, c1, c2, c3), below in self.parts:
            if half_ticks <= end:
                h = half_ticks - begin
                return c0 + h * (c1 + h * (c2 + h * c3)), below
        return self.steps, 1

    def is_edge(self, k: int, tick: int) -> bool:
        above, below = self.at(2 * tick - 1)
        if 2 * above > (2 * k - 1) * below:
            return False
        above, below = self.at(2 * tick + 1)
        return 2 * above > (2 * k - 1) * below


def check(case: Case, answer: str) -> tuple[int, Fraction, list[str]]:
    """Edges checked, ticks above the optimum, and what is wrong."""
    shape, durations, ticks, third, position, *edges = answer.split()
    ticks, f = int(ticks), case.timer
    parts = phases(case, shape, durations)
    wrong = []
    if sum(part[0] for part in parts) != ticks:
        wrong.append("durations do not add up")

    up, down = (min(case.a, case.d),) * 2 if case.jerky else (case.a, case.d)
    for length, v, a, j in parts:
        speeds = (v, v + a * length + j * length**2 / 2)
        if any(x < 0 or x * f > case.v for x in speeds):
            wrong.append("speed exceeded")
        for x in (a, a + j * length):
            if x * f * f > up or -x * f * f > down:
                wrong.append("acceleration exceeded")
        if case.j is not None and abs(j) * f**3 > case.j:
            wrong.append("jerk exceeded")

    low, high = case.optimum()
    if ticks < low:
        wrong.append("faster than the optimum")
    if ticks - (4 if case.jerky else 2) > high:
        wrong.append(f"{float(ticks - low):.3f} ticks above the optimum")

    path = Path(parts, case.steps)
    if position != "-":
        above, below = path.at(2 * int(third))
        if Fraction(above, below) != Fraction(position):
            wrong.append("position a third of the way")
    numbers = []
    for edge in edges:
        k, _, tick = edge.partition(":")
        numbers.append(int(k))
        if not path.is_edge(int(k), int(tick)):
            wrong.append(f"edge {k} at {tick}")
    expected = range(1, case.steps + 1) if case.wanted == "*" else map(int, case.wanted.split(","))
    if numbers != list(expected):
        wrong.append("edges missing")
    return len(edges), ticks - low, wrong


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("plan_dump", help="the built plan_dump program")
    parser.add_argument("--count", type=int, default=2_000)
    parser.add_argument("--seed", type=int, default=1)
    arguments = parser.parse_args()
    rng = random.Random(arguments.seed)
    edges = bad = plans = 0
    worst = {False: Fraction(0), True: Fraction(0)}
    shapes: dict[str, int] = {}
    for start in range(0, arguments.count, 1000):
        cases = [Case(rng, number) for number in range(start, min(start + 1000, arguments.count))]
        done = subprocess.run(
            [arguments.plan_dump],
            input="".join(case.line() + "\n" for case in cases),
            capture_output=True,
            text=True,
        )
        if done.returncode != 0:
            print(done.stderr, file=sys.stderr)
            return 1
        answers = done.stdout.splitlines()
        assert len(answers) == len(cases), "an answer a case"
        for case, answer in zip(cases, answers):
            count, over, wrong = check(case, answer)
            edges += count
            plans += 1
            worst[case.jerky] = max(worst[case.jerky], over)
            shape = answer.split()[0]
            shapes[shape] = shapes.get(shape, 0) + 1
            if wrong:
                bad += 1
                print(f"{case.line()}\n  {answer[:100]}\n  {'; '.join(wrong[:5])}", file=sys.stderr)
    print(
        f"{plans} plans ({', '.join(f'{n} {shape}' for shape, n in sorted(shapes.items()))}), "
        f"{edges} edges, {bad} plans wrong; above the optimum by at most "
        f"{float(worst[False]):.4f} ticks (trapezoid), {float(worst[True]):.4f} (jerk-limited)"
    )
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
