//! Answers, line by line, what `oracle/enclosure_oracle.py` asks about certified intervals.
//!
//! A question is a function, a width and rationals `p/q`, parted by spaces. The rationals are the
//! low and high bound of one interval or of two, or the sides and the angle of a triangle. The
//! answer is the low and high bound in full, then the same within the width, or `-` and the reason
//! where there is none; or `error` and the reason.

use num_rational::Ratio;
use std::io::{self, BufRead, BufWriter, Write};
use wholestep::exact::{ArithmeticError, Interval};

type Rational = Ratio<i128>;

fn main() -> io::Result<()> {
    let mut output = BufWriter::new(io::stdout().lock());
    for line in io::stdin().lock().lines() {
        let line = line?;
        let mut words = line.split_whitespace();
        let name = words.next().unwrap_or_default();
        let numbers: Option<Vec<Rational>> = words.map(|word| word.parse().ok()).collect();
        match numbers.as_deref() {
            Some([width, rest @ ..]) => answer(&mut output, name, *width, rest)?,
            _ => writeln!(output, "unread {line}")?,
        }
    }
    output.flush()
}

fn answer(output: &mut impl Write, name: &str, width: Rational, numbers: &[Rational]) -> io::Result<()> {
    let Some(result) = evaluated(name, numbers) else {
        return writeln!(output, "unread {name}");
    };
    match result {
        Ok(interval) => {
            let (low, high) = interval.bounds();
            write!(output, "{low} {high} ")?;
            match interval.bounds_within(width) {
                Ok((low, high)) => writeln!(output, "{low} {high}"),
                Err(error) => writeln!(output, "- {error:?}"),
            }
        }
        Err(error) => writeln!(output, "error {error:?}"),
    }
}

fn evaluated(name: &str, numbers: &[Rational]) -> Option<Result<Interval, ArithmeticError>> {
    Some(match *numbers {
        [] => (name == "pi").then(|| Ok(Interval::pi()))?,
        [low, high] => match name {
            "sqrt_of_ratio" => Interval::sqrt_of_ratio(low),
            "asin_degrees_of_ratio" => Interval::asin_degrees_of_ratio(low),
            "acos_degrees_of_ratio" => Interval::acos_degrees_of_ratio(low),
            _ => match Interval::spanning(low, high) {
                Ok(interval) => of_one(name, interval)?,
                Err(error) => Err(error),
            },
        },
        [a, b, angle] => (name == "third_side").then(|| third_side(a, b, angle))?,
        [a, b, c, d] => match (Interval::spanning(a, b), Interval::spanning(c, d)) {
            (Ok(first), Ok(second)) => of_two(name, first, second)?,
            (Err(error), _) | (_, Err(error)) => Err(error),
        },
        _ => return None,
    })
}

fn of_one(name: &str, interval: Interval) -> Option<Result<Interval, ArithmeticError>> {
    Some(match name {
        "identity" => Ok(interval),
        "square" => interval.square(),
        "sqrt" => interval.sqrt(),
        "to_radians" => Ok(interval.to_radians()),
        "to_degrees" => interval.to_degrees(),
        "sin_degrees" => Ok(interval.sin_degrees()),
        "cos_degrees" => Ok(interval.cos_degrees()),
        "tan_degrees" => interval.tan_degrees(),
        "asin_degrees" => interval.asin_degrees(),
        "acos_degrees" => interval.acos_degrees(),
        "atan_degrees" => Ok(interval.atan_degrees()),
        _ => return None,
    })
}

fn of_two(name: &str, a: Interval, b: Interval) -> Option<Result<Interval, ArithmeticError>> {
    Some(match name {
        "plus" => a.plus(b),
        "minus" => a.minus(b),
        "times" => a.times(b),
        "over" => a.over(b),
        _ => return None,
    })
}

/// The third side of a triangle: √(a² + b² - 2·a·b·cos(angle in degrees)).
fn third_side(a: Rational, b: Rational, angle: Rational) -> Result<Interval, ArithmeticError> {
    let (a, b) = (Interval::from_ratio(a)?, Interval::from_ratio(b)?);
    let across = a.times(b)?.times(Interval::from_ratio(angle)?.cos_degrees())?;
    a.square()?.plus(b.square()?)?.minus(across)?.minus(across)?.sqrt()
}
