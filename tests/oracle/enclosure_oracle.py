"""Check certified intervals against ball arithmetic (python-flint's arb, 600 bits).

    cargo build --release -p wholestep-tests --bin enclosure_dump
    pip install python-flint
    python tests/oracle/enclosure_oracle.py target/release/enclosure_dump [--cases N] [--seed N]

For every function it asks for N random points and N random intervals, with arguments of every
size, at and beside the places where a function turns, stops or has a pole. An answer fails if the
truth is certainly outside it, if bounds within a width are further apart than the width, or if it
was refused without cause. The widest answers are reported. Ends with 1 if anything failed.
"""

import argparse
import random
import subprocess
import sys
from collections import Counter, defaultdict

from flint import arb, ctx, fmpq

ctx.prec = 600
LIMIT = fmpq(2**31)
# A bound this near the limit may be refused although the truth is inside it.
NEAR_LIMIT = LIMIT - fmpq(1, 2**20)
FINEST = fmpq(1, 10**18)
UNIT = fmpq(1, 2**96)
QUARTER = {"radians": arb.pi() / 2, "degrees": arb(90)}


def to_degrees(function):
    return lambda x: function(x) * 180 / arb.pi()


ONE = {
    "identity": arb,
    "square": lambda x: arb(x) ** 2,
    "sqrt": lambda x: arb(x).sqrt(),
    "sqrt_of_ratio": lambda x: arb(x).sqrt(),
    "to_radians": lambda x: arb(x) * arb.pi() / 180,
    "to_degrees": lambda x: arb(x) * 180 / arb.pi(),
    "sin_degrees": lambda x: arb.sin_pi_fmpq(x / 180),
    "cos_degrees": lambda x: arb.cos_pi_fmpq(x / 180),
    "tan_degrees": lambda x: arb.sin_pi_fmpq(x / 180) / arb.cos_pi_fmpq(x / 180),
    "asin_degrees": to_degrees(lambda x: arb(x).asin()),
    "acos_degrees": to_degrees(lambda x: arb(x).acos()),
    "atan_degrees": to_degrees(lambda x: arb(x).atan()),
    "asin_degrees_of_ratio": to_degrees(lambda x: arb(x).asin()),
    "acos_degrees_of_ratio": to_degrees(lambda x: arb(x).acos()),
}
TWO = {
    "plus": lambda a, b: a + b,
    "minus": lambda a, b: a - b,
    "times": lambda a, b: a * b,
    "over": lambda a, b: a / b,
}
RATIO_ONLY = {name for name in ONE if name.endswith("of_ratio")}
WAVES = {"sin_degrees", "cos_degrees"}
# Answers at 10,000 or less are promised to 1e-18 (half of it before rounding outward), except where
# a function magnifies without limit the width of an argument that is itself a rounded rational.
MAGNIFYING = {"sqrt", "asin_degrees", "acos_degrees"}


def fraction(rng):
    """A rational from 0 to 1 whose denominator is of a size and make that people write."""
    denominator = rng.choice([
        2 ** rng.randint(0, 12), 10 ** rng.randint(0, 20), 2**96, 3 ** rng.randint(1, 30),
        rng.randint(1, 1000), rng.randint(1, 2**60), 2 ** rng.randint(20, 90),
    ])
    return fmpq(rng.randint(0, denominator), denominator)


def tiny(rng):
    return rng.choice([
        fmpq(1, 10 ** rng.randint(1, 30)), fmpq(1, 2 ** rng.randint(1, 110)), fmpq(0),
        fraction(rng) * fmpq(1, 10 ** rng.randint(1, 15)),
    ])


def signed(rng, value):
    return -value if rng.random() < 0.5 else value


def anywhere(rng):
    size = rng.choice([1, 10, 1000, 10**4, 10**6, 2**31, 2**rng.randint(1, 33)])
    return signed(rng, rng.choice([
        fraction(rng) * size, tiny(rng), fmpq(rng.randint(0, size)) + tiny(rng),
    ]))


def angle_in_degrees(rng):
    turns = rng.choice([10, 70_000])
    special = fmpq(rng.choice([15, 30, 45, 60, 90]) * rng.randint(-turns, turns))
    return rng.choice([
        anywhere(rng), special, special + signed(rng, tiny(rng)),
        signed(rng, fraction(rng) * rng.choice([90, 360, 10**6])),
    ])


def angle_in_radians(rng):
    quarters = signed(rng, fmpq(rng.randint(0, rng.choice([4, 1000, 10**9]))))
    bits = rng.choice([20, 60, 96, 100])
    mark = fmpq((QUARTER["radians"] * arb(quarters) * 2**bits).floor().unique_fmpz(), 2**bits)
    return rng.choice([
        anywhere(rng), mark, mark + signed(rng, tiny(rng)),
        signed(rng, fraction(rng) * rng.choice([1, 7, 10**4])),
    ])


def sine_value(rng):
    return signed(rng, rng.choice([
        fraction(rng), tiny(rng), 1 - tiny(rng), 1 + tiny(rng), fmpq(1, 2), fmpq(1, 2) + tiny(rng),
        fmpq(0), fmpq(1), anywhere(rng), fmpq(rng.randint(0, 64), 64) + tiny(rng),
    ]))


def argument(name, rng):
    while True:
        if name == "to_degrees":
            value = angle_in_radians(rng)
        elif name.startswith(("sin_", "cos_", "tan_", "to_")):
            value = angle_in_degrees(rng)
        elif name.startswith(("asin", "acos")):
            value = sine_value(rng)
        elif name.startswith("atan"):
            value = rng.choice([anywhere, sine_value])(rng)
        else:
            value = anywhere(rng)
            if name.startswith("sqrt") and rng.random() < 0.9:
                value = abs(value)
            if name.startswith("sqrt") and rng.random() < 0.3:
                value = value * value
        if max(abs(value.p), value.q) < 2**126:
            return value


def width_asked(rng):
    """A width, by its decimals; 19 of them are more than there are."""
    return rng.choice([18, 18, 19, rng.randint(0, 18), rng.randint(0, 18)])


def spread(rng, low):
    high = low + rng.choice([tiny(rng), fraction(rng), fraction(rng) * 400, fmpq(0)])
    return (low, high) if max(abs(high.p), high.q) < 2**126 else (low, low)


def parse(word):
    numerator, _, denominator = word.partition("/")
    return fmpq(int(numerator), int(denominator or 1))


def inside(rng, low, high, count):
    yield low
    yield high
    if low != high:
        for _ in range(count):
            yield low + (high - low) * fmpq(rng.randint(0, 1000), 1000)


def marks(low, high, quarter):
    """The whole numbers of quarter turns certainly between two angles, four of them at most."""
    first = int((arb(low) / quarter).ceil().lower().floor().unique_fmpz())
    found = []
    for k in range(first - 1, first + 8):
        if arb(low) <= k * quarter and k * quarter <= arb(high):
            found.append(k)
    return found[:4]


class Report:
    def __init__(self):
        self.failures = []
        self.cases = Counter()
        self.refused = defaultdict(Counter)
        self.widest = {}
        self.widest_handed_out = {}

    def fail(self, question, answer, why):
        self.failures.append(f"{why}\n    asked    {question}\n    answered {answer}")

    def check(self, name, question, answer, decimals, truths, justified, promise):
        """`truths` are values that must be inside, `justified` the refusals that are right."""
        self.cases[name] += 1
        width = fmpq(1, 10**decimals)
        words = answer.split()
        if words[0] == "error":
            self.refused[name][words[1]] += 1
            if words[1] not in justified:
                self.fail(question, answer, f"{name}: refused without cause")
            return
        if "must" in justified:
            self.fail(question, answer, f"{name}: answered what must be refused")
            return
        low, high = parse(words[0]), parse(words[1])
        if low > high or UNIT.q % low.q or UNIT.q % high.q:
            self.fail(question, answer, f"{name}: bounds crossed or off the grid")
        pairs = [(low, high)]
        if words[2] == "-":
            self.refused[name][words[3]] += 1
            right = {"TooWide": high - low > width / 2, "WidthDecimals(19)": width < FINEST}
            if not right.get(words[3], False):
                self.fail(question, answer, f"{name}: width refused without cause")
        else:
            out_low, out_high = parse(words[2]), parse(words[3])
            if out_low > low or out_high < high or out_high - out_low > width or width < FINEST:
                self.fail(question, answer, f"{name}: handed out bounds wrong for {width}")
            pairs.append((out_low, out_high))
        for truth in truths:
            for below, above in pairs:
                if arb(below) > truth or truth > arb(above):
                    self.fail(question, answer, f"{name}: the truth {truth} is outside")
        if promise and max(abs(low), abs(high)) <= 10**4:
            apart = high - low
            if apart > self.widest.get(name, (fmpq(-1), ""))[0]:
                self.widest[name] = (apart, question)
            if apart > FINEST / 2 and name not in MAGNIFYING:
                self.fail(question, answer, f"{name}: wider than promised")


def justified_for_one(name, low, high):
    """The refusals that are right, with `must` among them where an answer would be wrong."""
    right = set()
    largest = max(abs(low), abs(high))
    if name not in RATIO_ONLY and largest >= NEAR_LIMIT:
        right.add("Overflow")
        if largest >= LIMIT:
            right.add("must")
            return right
    if name.startswith("sqrt") and low < 0:
        right |= {"Domain", "must"}
    if name == "sqrt_of_ratio" and low >= LIMIT * LIMIT - 1:
        right.add("Overflow")
    if name == "square" and largest * largest >= NEAR_LIMIT:
        right.add("Overflow")
    if name == "to_degrees" and largest > 37_000_000:
        right.add("Overflow")
    if name.startswith(("asin", "acos")) and largest > 1:
        right |= {"Domain", "must"}
    if name.startswith("tan"):
        quarter = QUARTER["degrees" if "degrees" in name else "radians"]
        # Beyond 2^31 the pole is nearer than 5e-10 (3e-8 degrees): either refusal is right there.
        first, last = arb(low) / quarter, arb(high) / quarter
        for k in range(int((first - 1).floor().lower().floor().unique_fmpz()),
                       int((first + 3).ceil().upper().ceil().unique_fmpz()) + 1):
            if k % 2 and first - k < arb("2.98e-10") and k - last < arb("2.98e-10"):
                right |= {"DivisionByZero", "Overflow"}
                at_an_end = "degrees" in name and 90 * k in (low, high)
                if at_an_end or (first < k and k < last):
                    right.add("must")
    return right


def ask(binary, questions):
    run = subprocess.run([binary], input="\n".join(questions) + "\n", text=True, check=True,
                         capture_output=True)
    answers = run.stdout.splitlines()
    if len(answers) != len(questions):
        raise SystemExit(f"{len(questions)} questions, {len(answers)} answers")
    return answers


def run_one(binary, name, cases, rng, report):
    asked = []
    for point in [True] * cases + [False] * (0 if name in RATIO_ONLY else cases):
        low = argument(name, rng)
        asked.append(((low, low) if point else spread(rng, low), width_asked(rng)))
    questions = [f"{name} {width} {low} {high}" for (low, high), width in asked]
    for ((low, high), width), question, answer in zip(asked, questions, ask(binary, questions)):
        justified = justified_for_one(name, low, high)
        truths = []
        if not answer.startswith("error") and "must" not in justified:
            truths = [ONE[name](x) for x in inside(rng, low, high, 3)]
            if name in WAVES and low != high:
                quarter = "degrees" if "degrees" in name else "radians"
                phase = 1 if name.startswith("cos") else 0
                truths += [arb((0, 1, 0, -1)[(k + phase) % 4])
                           for k in marks(low, high, QUARTER[quarter])]
            if name == "square" and low < 0 < high:
                truths.append(arb(0))
        if low == high and name.startswith("tan") and not answer.startswith("error"):
            promise = abs(truths[0]) <= 10**4 if truths else False
        else:
            promise = low == high
        report.check(name, question, answer, width, truths, justified, promise)


def run_two(binary, name, cases, rng, report):
    asked = []
    for point in [True] * cases + [False] * cases:
        a, b = argument(name, rng), argument(name, rng)
        if rng.random() < 0.5:
            a, b = a / 2**16, b / 2**16
        if max(abs(a.p), a.q, abs(b.p), b.q) >= 2**126:
            a, b = fmpq(1, 3), fmpq(-2, 7)
        asked.append(((a, a) if point else spread(rng, a), (b, b) if point else spread(rng, b),
                      width_asked(rng)))
    questions = [f"{name} {w} {a} {b} {c} {d}" for (a, b), (c, d), w in asked]
    for ((a, b), (c, d), width), question, answer in zip(asked, questions, ask(binary, questions)):
        justified = set()
        if max(abs(a), abs(b), abs(c), abs(d)) >= NEAR_LIMIT:
            justified.add("Overflow")
            if max(abs(a), abs(b), abs(c), abs(d)) >= LIMIT:
                justified.add("must")
        if name == "over" and c <= UNIT and d >= -UNIT:
            justified |= {"DivisionByZero", "Overflow"}
            if c <= 0 <= d:
                justified.add("must")
        truths = []
        if not (name == "over" and c <= 0 <= d):
            exact = [TWO[name](x, y) for x in (a, b) for y in (c, d)]
            exact += [TWO[name](x, y) for x, y in zip(inside(rng, a, b, 2), inside(rng, c, d, 2))]
            if max(abs(value) for value in exact) >= NEAR_LIMIT:
                justified.add("Overflow")
            elif name == "over" and max(abs(c), abs(d)) < fmpq(1, 2**40):
                justified.add("Overflow")
            truths = [arb(value) for value in exact]
        # A quotient magnifies a rounded divisor's width by the divisor's square.
        promise = a == b and c == d and (name != "over" or abs(c) > fmpq(1, 1000))
        promise = promise and max(abs(a), abs(c)) <= 10**4
        report.check(name, question, answer, width, truths, justified, promise)


def run_triangles(binary, cases, rng, report):
    asked = []
    for _ in range(2 * cases):
        a, b = (1 + fraction(rng) * 9999 for _ in range(2))
        angle = 1 + fraction(rng) * 178
        asked.append((a, b, angle, width_asked(rng)))
    questions = [f"third_side {w} {a} {b} {angle}" for a, b, angle, w in asked]
    for (a, b, angle, width), question, answer in zip(asked, questions, ask(binary, questions)):
        truth = (arb(a * a + b * b) - 2 * arb(a * b) * arb.cos_pi_fmpq(angle / 180)).sqrt()
        report.check("third_side", question, answer, width, [truth], set(), True)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("binary")
    parser.add_argument("--cases", type=int, default=10_000)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    rng, report = random.Random(options.seed), Report()
    report.check("pi", "pi", ask(options.binary, ["pi 18"])[0], 18,
                 [arb.pi()], set(), True)
    for name in ONE:
        run_one(options.binary, name, options.cases * (2 if name in RATIO_ONLY else 1), rng, report)
    for name in TWO:
        run_two(options.binary, name, options.cases, rng, report)
    run_triangles(options.binary, options.cases, rng, report)
    print(f"{'function':24}{'cases':>8}  widest at a point  refused")
    for name, count in report.cases.items():
        widest = float(arb(report.widest[name][0])) if name in report.widest else float("nan")
        print(f"{name:24}{count:8}  {widest:17.2e}  {dict(report.refused[name])}")
    for failure in report.failures[:20]:
        print("FAILED", failure)
    print(f"{sum(report.cases.values())} cases, {len(report.failures)} failed, seed {options.seed}")
    sys.exit(1 if report.failures else 0)


if __name__ == "__main__":
    main()
