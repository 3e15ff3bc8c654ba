//! Answers, line by line, what `oracle/enclosure_oracle.py` asks about certified intervals.
//!
//! A question is a function, the decimals of a width and rationals `p/q`, parted by spaces. The rationals are the
//! low and high bound of one interval or of two, or the sides and the angle of a triangle. The
//! answer is the low and high bound in full, then the same within the width, or `-` and the reason
//! where there is none; or `error` and the reason.

use std::io::{self, BufRead, BufWriter, Write};
use wholestep::exact::Interval;
use wholestep::{Exact, Width};

fn main() -> io::Result<()> {
    let mut output = BufWriter::new(io::stdout().lock());
    for line in io::stdin().lock().lines() {
        let line = line?;
        let mut words = line.split_whitespace();
        let name = words.next().unwrap_or_default();
        let decimals = words.next().and_then(|word| word.parse().ok());
        let numbers: Option<Vec<Exact>> = words.map(number).collect();
        match (decimals, numbers) {
            (Some(decimals), Some(numbers)) => answer(&mut output, name, decimals, &numbers)?,
            _ => writeln!(output, "unread {line}")?,
        }
    }
    output.flush()
}

fn answer(output: &mut impl Write, name: &str, decimals: u8, numbers: &[Exact]) -> io::Result<()> {
    let Some(interval) = evaluated(name, numbers) else {
        return writeln!(output, "unread {name}");
    };
    match interval.bounds() {
        Ok((low, high)) => {
            write!(output, "{} {} ", fraction(low), fraction(high))?;
            match Width::decimals(decimals).and_then(|width| interval.within(width)) {
                Ok(bounds) => writeln!(output, "{} {}", fraction(bounds.low()), fraction(bounds.high())),
                Err(error) => writeln!(output, "- {error:?}"),
            }
        }
        Err(error) => writeln!(output, "error {error:?}"),
    }
}

/// The number written `p/q` or `p`.
fn number(word: &str) -> Option<Exact> {
    let (numerator, denominator) = word.split_once('/').unwrap_or((word, "1"));
    Exact::new(numerator.parse().ok()?, denominator.parse().ok()?).ok()
}

fn fraction(value: Exact) -> String {
    format!("{}/{}", value.numerator(), value.denominator())
}

fn evaluated(name: &str, numbers: &[Exact]) -> Option<Interval> {
    Some(match *numbers {
        [] => (name == "pi").then(Interval::pi)?,
        [low, high] => match name {
            "sqrt_of_ratio" => Interval::sqrt_of(low),
            "asin_degrees_of_ratio" => Interval::asin_degrees_of(low),
            "acos_degrees_of_ratio" => Interval::acos_degrees_of(low),
            _ => of_one(name, Interval::spanning(low, high))?,
        },
        [a, b, angle] => (name == "third_side").then(|| third_side(a, b, angle))?,
        [a, b, c, d] => of_two(name, Interval::spanning(a, b), Interval::spanning(c, d))?,
        _ => return None,
    })
}

fn of_one(name: &str, interval: Interval) -> Option<Interval> {
    Some(match name {
        "identity" => interval,
        "square" => interval.square(),
        "sqrt" => interval.sqrt(),
        "to_radians" => interval.to_radians(),
        "to_degrees" => interval.to_degrees(),
        "sin_degrees" => interval.sin_degrees(),
        "cos_degrees" => interval.cos_degrees(),
        "tan_degrees" => interval.tan_degrees(),
        "asin_degrees" => interval.asin_degrees(),
        "acos_degrees" => interval.acos_degrees(),
        "atan_degrees" => interval.atan_degrees(),
        _ => return None,
    })
}

fn of_two(name: &str, a: Interval, b: Interval) -> Option<Interval> {
    Some(match name {
        "plus" => a + b,
        "minus" => a - b,
        "times" => a * b,
        "over" => a / b,
        _ => return None,
    })
}

/// The third side of a triangle: √(a² + b² - 2·a·b·cos(angle in degrees)).
fn third_side(a: Exact, b: Exact, angle: Exact) -> Interval {
    let (a, b) = (Interval::of(a), Interval::of(b));
    let across = a * b * Interval::of(angle).cos_degrees();
    (a.square() + b.square() - across - across).sqrt()
}
