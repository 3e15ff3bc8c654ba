//! Plans the moves it reads and prints what came out, for an oracle to check.
//!
//! A line in: timer rate, steps, speed, acceleration, deceleration, start speed and
//! jerk (`-` for none) as fractions `n/d`, then `*` for all edges or edge numbers
//! separated by commas. A line out: the shape, its durations, duration in all, the
//! tick and exact position a third of the way, and `edge:tick` pairs.

use std::error::Error;
use std::fmt::Write as _;
use std::io::{BufRead, Write as _, stdin, stdout};

use num_rational::Ratio;
use wholestep::plan::{Profile, Shape, StepLimits, StepRates};

fn main() -> Result<(), Box<dyn Error>> {
    let mut out = stdout().lock();
    for line in stdin().lock().lines() {
        let line = line?;
        let answer = answer(&line).map_err(|error| format!("{line}: {error}"))?;
        writeln!(out, "{answer}")?;
    }
    Ok(())
}

fn answer(line: &str) -> Result<String, Box<dyn Error>> {
    let fields: Vec<&str> = line.split_whitespace().collect();
    let [timer, steps, speed, acceleration, deceleration, start, jerk, wanted] = fields[..] else {
        return Err("eight fields expected".into());
    };
    let rates = StepRates {
        speed: fraction(speed)?,
        acceleration: fraction(acceleration)?,
        deceleration: fraction(deceleration)?,
        start_speed: fraction(start)?,
        jerk: if jerk == "-" { None } else { Some(fraction(jerk)?) },
    };
    let profile = StepLimits::new(rates, timer.parse()?)?.profile(steps.parse()?)?;
    let mut answer = shape(&profile)?;
    let third = profile.ticks() / 3;
    let position = profile.steps_at(Ratio::from(i128::from(third)));
    let position = position.map_or("-".into(), |position| position.to_string());
    write!(answer, " {} {third} {position}", profile.ticks())?;
    if wanted == "*" {
        for (edge, tick) in (1_u64..).zip(profile.edges()) {
            write!(answer, " {edge}:{tick}")?;
        }
    } else {
        for edge in wanted.split(',') {
            write!(answer, " {edge}:{}", profile.edge(edge.parse()?)?)?;
        }
    }
    Ok(answer)
}

fn fraction(text: &str) -> Result<Ratio<u64>, Box<dyn Error>> {
    text.parse().map_err(|_| format!("not a fraction: {text}").into())
}

fn shape(profile: &Profile) -> Result<String, Box<dyn Error>> {
    Ok(match profile.shape() {
        Shape::Constant { ticks } => format!("constant {ticks}"),
        Shape::Trapezoid { start, accelerate, cruise, decelerate } => {
            format!("trapezoid {}/{},{accelerate},{cruise},{decelerate}", start.numerator, start.denominator)
        }
        Shape::JerkLimited { ramp, hold, cruise } => {
            format!("jerk-limited {ramp},{hold},{cruise}")
        }
        shape => return Err(format!("unexpected shape {shape:?}").into()),
    })
}
