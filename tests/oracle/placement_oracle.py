"""Check placements on curved mechanisms against mpmath at 60 digits, sharing no code.

    cargo build --release -p wholestep-tests --bin placement_dump
    pip install mpmath
    python tests/oracle/placement_oracle.py target/release/placement_dump [--cases N] [--seed N]

For every kind it makes random mechanisms and asks N placements by each of the three roundings:
targets anywhere, targets within 1e-3 to 1e-17 of a tie or of a step, targets nearer to one than any
width can tell, and exact ties and steps built on purpose from triangles with rational sines. The
truth is found the other way round: from the target by arc sine, angles and the law of cosines to the
screw's length and the step, then compared with the positions of the steps beside it.

A placement fails if it is decided and wrong, or left open although it is further than 3e-18 from
what it could be confused with. Bounds of positions and of the travel of a step are checked on the
way. Ends with 1 if anything failed.
"""

import argparse
import random
import subprocess
import sys
from collections import Counter
from fractions import Fraction as F
from math import isqrt

from mpmath import acos, asin, atan2, cos, floor, mp, mpf, pi, sin, sqrt

mp.dps = 60
SAME = mpf(10) ** -45
OPEN = 3 * mpf(10) ** -18
ROUNDINGS = ("nearest", "below", "above")
LIMIT = F(2) ** 64


def real(value):
    return mpf(value.numerator) / value.denominator


def radians(degrees):
    return degrees * pi / 180


class SwingByScrew:
    name = "swing_arm_by_screw"

    def __init__(self, drive, arm, depth, diameter, u, v, x, y, length, lead, motion):
        self.words = [*drive, arm, depth, diameter, u, v, x, y, length, lead, motion]
        self.sign = 1 if motion == "lengthening" else -1
        self.rising = self.sign > 0
        self.arm, self.offset = real(arm), real(diameter / 2 - depth)
        self.a, self.b = sqrt(real(u * u + v * v)), sqrt(real(x * x + y * y))
        self.turned = atan2(real(y), real(x)) - atan2(real(v), real(u))
        self.length, self.travel = real(length), real(lead * turns(drive))

    def position_at(self, step):
        s = self.length + step * self.travel
        corner = acos((self.a**2 + self.b**2 - s * s) / (2 * self.a * self.b))
        return self.arm * sin(self.turned + self.sign * corner) + self.offset

    def step_of(self, target):
        elevation = asin((target - self.offset) / self.arm)
        corner = self.sign * (elevation - self.turned)
        corner -= 2 * pi * floor(corner / (2 * pi))
        s = sqrt(self.a**2 + self.b**2 - 2 * self.a * self.b * cos(corner))
        return (s - self.length) / self.travel


class SwingBySector:
    name = "swing_arm_by_sector"
    rising = True

    def __init__(self, drive, arm, depth, diameter, starts, teeth, angle):
        self.words = [*drive, arm, depth, diameter, starts, teeth, angle]
        self.arm, self.offset = real(arm), real(diameter / 2 - depth)
        self.angle, self.travel = real(angle), real(turns(drive) * 360 * F(starts) / teeth)

    def position_at(self, step):
        return self.arm * sin(radians(self.angle + step * self.travel)) + self.offset

    def step_of(self, target):
        elevation = asin((target - self.offset) / self.arm) * 180 / pi
        return (elevation - self.angle) / self.travel


class Tilt:
    name = "screw_tilt"

    def __init__(self, drive, nut, anchor, length, lead, motion, low, high):
        self.words = [*drive, nut, anchor, length, lead, motion, low, high]
        self.sign = 1 if motion == "lengthening" else -1
        self.rising = self.sign > 0
        self.a, self.b, self.length = real(nut), real(anchor), real(length)
        self.travel = real(lead * turns(drive))
        self.rest = self.corner(self.length)

    def corner(self, s):
        return acos((self.a**2 + self.b**2 - s * s) / (2 * self.a * self.b))

    def position_at(self, step):
        s = self.length + step * self.travel
        return self.sign * (self.corner(s) - self.rest) * 180 / pi

    def step_of(self, target):
        corner = self.rest + self.sign * radians(target)
        s = sqrt(self.a**2 + self.b**2 - 2 * self.a * self.b * cos(corner))
        return (s - self.length) / self.travel


def turns(drive):
    step_angle, division, driver, driven = drive
    return F(step_angle) / 360 / division * F(driver) / driven


# Random mechanisms.

def measured(rng, low, high):
    """A length as people measure it: decimals, or fractions of an inch."""
    value = F(rng.randint(low * 1000, high * 1000), 1000)
    return rng.choice([
        F(round(value)), F(round(value * 10), 10), value, F(round(value * 640 / 254), 640) * F(254, 10),
    ])


def drive(rng):
    driven = rng.choice([1, 20, 40, 60, 72])
    return [rng.choice([F(9, 5), F(9, 10)]), rng.choice([1, 2, 8, 10, 16, 256]), rng.choice([1, 20, 16]),
            driven]


def lead(rng):
    return rng.choice([F(4), F(3), F(8), F(127, 50), F(254, 160), F(254, 10) / 13])


def swing_by_screw(rng):
    v = rng.choice([F(0), measured(rng, -20, 20)])
    return SwingByScrew(
        drive(rng), measured(rng, 100, 250), measured(rng, 80, 200), measured(rng, 160, 320),
        measured(rng, 50, 200), v, measured(rng, -50, 200), measured(rng, -250, 250),
        measured(rng, 60, 320), lead(rng), rng.choice(["lengthening", "shortening"]))


def swing_by_sector(rng):
    return SwingBySector(
        drive(rng), measured(rng, 100, 250), measured(rng, 80, 200), measured(rng, 160, 320),
        rng.choice([1, 2]), rng.randint(60, 240), F(rng.randint(-400, 400), 10))


def tilt(rng):
    low = F(rng.choice([0, 0, -1, -2]))
    return Tilt(drive(rng), measured(rng, 80, 250), measured(rng, 80, 300), measured(rng, 60, 350),
                lead(rng), rng.choice(["lengthening", "shortening"]), low, F(rng.choice([45, 46, 30])))


# Mechanisms with exact ties, from triangles whose sines are rational.

PYTHAGOREAN = [(3, 4, 5), (5, 12, 13), (8, 15, 17), (7, 24, 25), (20, 21, 29)]
# Half the screw's length where two sides of 65 make a triangle of rational area.
HALVES = [16, 25, 33, 39, 52, 56, 60]


# A drive that turns a quarter a step, so that four times a travel is a lead.
QUARTER_TURNS = [F(90), 1, 1, 1]


def exact_swing_by_screw(rng):
    scale = F(rng.randint(1, 60), rng.randint(10, 30))
    index = rng.randint(0, len(HALVES) - 2)
    low, high = HALVES[index], HALVES[index + 1]

    def turned():
        p, q, r = rng.choice(PYTHAGOREAN)
        p, q = rng.choice([(p, q), (q, p)])
        return 65 * scale * rng.choice([-1, 1]) * F(p, r), 65 * scale * rng.choice([-1, 1]) * F(q, r)

    (u, v), (x, y) = turned(), turned()
    start = rng.choice([0, 1])
    length = 2 * scale * (low if start == 0 else high)
    made = SwingByScrew(QUARTER_TURNS, measured(rng, 100, 250), measured(rng, 80, 200),
                        measured(rng, 160, 320), u, v, x, y, length, 8 * scale * (high - low),
                        rng.choice(["lengthening", "shortening"]))
    first = -start
    ends = [rational(made, step) for step in (first, first + 1)]
    return made, first, ends


def rational(made, step):
    """The position, if it is known to be rational: it is recovered from its digits and checked."""
    position = made.position_at(step)
    value = position
    # Continued fraction: the last convergent before a huge term.
    p, q = (1, 0), (0, 1)
    for _ in range(60):
        whole = int(floor(value))
        p, q = (whole * p[0] + p[1], p[0]), (whole * q[0] + q[1], q[0])
        if abs(position - mpf(p[0]) / q[0]) < SAME:
            return F(p[0], q[0])
        value = 1 / (value - whole)
    return None


def exact_swing_by_sector(rng):
    # A quarter turn of this worm is 30 degrees of its sector.
    made = SwingBySector(QUARTER_TURNS, measured(rng, 100, 250), measured(rng, 80, 200),
                         measured(rng, 160, 320), 1, 3, F(rng.choice([-30, 0])))
    return made, 0, [rational(made, 0), rational(made, 1)]


def tilts_with_rational_triangles():
    """Sides a and b with two lengths of the screw between whose corners lie 60 or 90 degrees."""
    found = []
    for a in range(5, 41):
        for b in range(a, 41):
            corners = {}
            whole = 4 * a * a * b * b
            for s in range(b - a + 1, a + b):
                n = a * a + b * b - s * s
                corners[s] = (n, whole - n * n)
            for s, (n, rest) in corners.items():
                for t, (m, other) in corners.items():
                    if t <= s or rest * other != isqrt(rest * other) ** 2:
                        continue
                    turned = n * m + isqrt(rest * other)
                    for degrees, twice in ((60, 1), (90, 0)):
                        if 2 * turned == twice * whole:
                            found.append((a, b, s, t, degrees))
    return found


RATIONAL_TILTS = tilts_with_rational_triangles()


def exact_tilt(rng):
    a, b, s, t, degrees = rng.choice(RATIONAL_TILTS)
    scale = F(rng.randint(20, 90), rng.randint(3, 12))
    if rng.random() < 0.5:
        a, b = b, a
    if rng.random() < 0.5:
        motion, length, ends = "lengthening", s, (0, 1)
    else:
        motion, length, ends = "shortening", t, (-1, 0)
    made = Tilt(QUARTER_TURNS, a * scale, b * scale, length * scale, 4 * (t - s) * scale, motion, F(0),
                F(degrees))
    return made, ends[0], [F(0), F(degrees)] if motion == "lengthening" else [F(degrees), F(0)]


KINDS = {
    "swing_arm_by_screw": (swing_by_screw, exact_swing_by_screw),
    "swing_arm_by_sector": (swing_by_sector, exact_swing_by_sector),
    "screw_tilt": (tilt, exact_tilt),
}


def ask(binary, lines):
    run = subprocess.run([binary], input="\n".join(lines) + "\n", text=True, check=True,
                         capture_output=True)
    answers = run.stdout.splitlines()
    if len(answers) != len(lines):
        raise SystemExit(f"{len(lines)} questions, {len(answers)} answers")
    return answers


def make_line(made):
    return " ".join([made.name, *map(str, made.words)])


def near(value, digits):
    """A rational within 10^-digits of a real number, on a grid that a measure can hold."""
    grid = 10**digits
    return F(int(floor(value * grid)), grid)


def target(rng, made, first, last):
    low = made.position_at(first if made.rising else last)
    high = made.position_at(last if made.rising else first)
    anywhere = low + (high - low) * rng.random()
    step = rng.randint(first, last - 1)
    here, there = made.position_at(step), made.position_at(step + 1)
    mark = rng.choice([here, there, (here + there) / 2, (here + there) / 2])
    kind = rng.random()
    if kind < 0.3:
        return near(anywhere, rng.choice([1, 2, 3, 6, 12]))
    if kind < 0.4:
        return near(anywhere * 640 / mpf("25.4"), 0) / 640 * F(254, 10)
    aside = mpf(10) ** -rng.randint(3, 17) * rng.choice([-1, 1])
    if kind < 0.85:
        return near(mark + aside, 18)
    return near(mark, rng.choice([18, 19]))


def judged(made, first, last, asked, rounding):
    """The right steps: one, and whether another cannot be told from it by bounds of 1e-18."""
    wanted = real(asked)
    below = min(max(int(floor(made.step_of(wanted))), first), last)
    above = below + 1
    # The inverse may miss by a step where the target is on one; the positions decide.
    steps = [n for n in range(below - 1, above + 2) if first <= n <= last]
    positions = {n: made.position_at(n) - wanted for n in steps}
    beside = [abs(offset) for offset in positions.values()]
    if rounding == "nearest":
        smallest = min(beside)
        equal = [n for n in steps if abs(positions[n]) - smallest < SAME]
        right = equal[0] if len(equal) == 1 else next(n for n in equal if n % 2 == 0)
        others = [abs(positions[n]) - smallest for n in steps if n != right]
        return right, min(others, default=mpf(1)) / 2 < OPEN
    if rounding == "below":
        able = [n for n in steps if positions[n] < SAME]
    else:
        able = [n for n in steps if positions[n] > -SAME]
    right = min(able, key=lambda n: abs(positions[n])) if able else None
    return right, min(beside) < OPEN


class Report:
    def __init__(self):
        self.cases, self.open, self.exact, self.failures = Counter(), Counter(), Counter(), []

    def check(self, made, first, last, asked, rounding, answer, must_be_decided=False):
        self.cases[made.name] += 1
        right, confusable = judged(made, first, last, asked, rounding)
        words = answer.split()
        if words[0] == "error":
            if right is not None or words[1] != "beyond_limit":
                self.fail(made, f"place {asked} {rounding}", answer, f"refused, right is {right}")
            return
        step, decided = int(words[0]), words[1] == "is_decided"
        if decided and step != right:
            self.fail(made, f"place {asked} {rounding}", answer, f"wrong, right is {right}")
        if not decided:
            self.open[made.name] += 1
            if not confusable or must_be_decided:
                self.fail(made, f"place {asked} {rounding}", answer, "left open without cause")
            elif right is not None and abs(step - right) > 1:
                self.fail(made, f"place {asked} {rounding}", answer, f"open and wrong, right is {right}")
        if must_be_decided:
            self.exact[made.name] += 1

    def check_position(self, made, step, answer):
        low, high = map(F, answer.split())
        truth = made.position_at(step)
        # Where the bounds are one, the truth is known here only to the digits computed.
        slack = SAME if low == high else 0
        if real(low) - slack > truth or truth > real(high) + slack or high - low > F(1, 10**18):
            self.fail(made, f"at {step}", answer, f"the truth {truth} is outside, or bounds too wide")

    def check_sizes(self, made, first, last, answer):
        finest, coarsest = map(F, answer.split())
        for step in {first, last - 1, (first + last) // 2, first + (last - first) // 3}:
            size = abs(made.position_at(step + 1) - made.position_at(step))
            if not real(finest) <= size <= real(coarsest):
                self.fail(made, f"sizes {first} {last}", answer, f"step {step} travels {size}")

    def fail(self, made, question, answer, why):
        self.failures.append(f"{why}\n    {make_line(made)}\n    asked {question}\n    answered {answer}")


def made_ones(binary, generate, count, rng):
    """Mechanisms that can be, with their spans."""
    found = []
    while len(found) < count:
        candidates = [generate(rng) for _ in range(4 * count)]
        answers = ask(binary, [make_line(made) for made in candidates])
        for made, answer in zip(candidates, answers):
            words = answer.split()
            if words[0] == "span" and len(found) < count:
                found.append((made, int(words[1]), int(words[2])))
    return found


def random_placements(binary, name, cases, rng, report):
    each = 40
    mechanisms = made_ones(binary, KINDS[name][0], max(1, cases // each), rng)
    lines, checks = [], []

    def note(line, check):
        lines.append(line)
        checks.append(check)

    for made, first, last in mechanisms:
        note(make_line(made), None)
        for _ in range(each):
            asked = target(rng, made, first, last)
            if asked.denominator > LIMIT:
                continue
            for rounding in ROUNDINGS:
                note(f"place {asked} {rounding}",
                    lambda answer, m=made, f=first, l=last, t=asked, r=rounding: report.check(m, f, l, t, r, answer))
        for step in [first, last, rng.randint(first, last), rng.randint(first, last)]:
            note(f"at {step}", lambda answer, m=made, s=step: report.check_position(m, s, answer))
        low = rng.randint(first, last - 1)
        high = rng.choice([last, rng.randint(low + 1, last)])
        note(f"sizes {low} {high}",
            lambda answer, m=made, a=low, b=high: report.check_sizes(m, a, b, answer))
    for line, check, answer in zip(lines, checks, ask(binary, lines)):
        if check:
            check(answer)


def exact_placements(binary, name, cases, rng, report):
    while report.exact[name] < cases:
        lines, checks, made_now = [], [], [KINDS[name][1](rng) for _ in range(cases)]
        spans = ask(binary, [make_line(made) for made, _, _ in made_now])
        for (made, step, ends), span in zip(made_now, spans):
            words = span.split()
            if words[0] != "span" or None in ends:
                continue
            first, last = int(words[1]), int(words[2])
            if not first <= step < last:
                continue
            lines.append(make_line(made))
            checks.append(None)
            tie = (ends[0] + ends[1]) / 2
            for asked in [ends[0], ends[1], tie]:
                if asked.denominator > LIMIT:
                    continue
                for rounding in ROUNDINGS:
                    lines.append(f"place {asked} {rounding}")
                    checks.append((made, first, last, asked, rounding))
        for check, answer in zip(checks, ask(binary, lines)):
            if check:
                report.check(*check, answer, must_be_decided=True)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("binary")
    parser.add_argument("--cases", type=int, default=20_000, help="targets for each kind")
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    rng, report = random.Random(options.seed), Report()
    for name in KINDS:
        random_placements(options.binary, name, options.cases, rng, report)
        exact_placements(options.binary, name, max(30, options.cases // 20), rng, report)
        print(f"{name}: {report.cases[name]} placements, {report.exact[name]} of them exact ties and "
              f"steps, {report.open[name]} left open")
    for failure in report.failures[:20]:
        print(failure)
    print(f"{len(report.failures)} failed")
    return 1 if report.failures else 0


if __name__ == "__main__":
    sys.exit(main())
