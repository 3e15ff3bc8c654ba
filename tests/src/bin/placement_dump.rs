//! Answers, line by line, what `oracle/placement_oracle.py` asks about curved mechanisms.
//!
//! A line that names a kind makes it the mechanism asked from then on; its words are rationals `p/q`
//! in millimetres and degrees, after the four of the drive (step angle, division, driver and driven
//! teeth). The answer is `span FIRST LAST` or `error KIND`. Then
//!
//! - `place TARGET nearest|below|above` answers `STEP decided|open` or `error KIND`;
//! - `at STEP` answers the bounds at the finest width;
//! - `sizes FIRST LAST` answers the finest and the coarsest travel of a step between.

use std::io::{self, BufRead, BufWriter, Write};

use wholestep::axis::AnyMechanism;
use wholestep::mechanism::{
    Arm, ArmScrew, DriveTrain, ScrewMotion, ScrewTilt, Sector, StepMode, SwingArm, TiltScrew,
};
use wholestep::{Angle, Error, ErrorKind, Exact, Length, Measure, Mechanism, Result, Rounding, Width};

fn main() -> io::Result<()> {
    let mut output = BufWriter::new(io::stdout().lock());
    let mut mechanism = None;
    for line in io::stdin().lock().lines() {
        let line = line?;
        let mut words = line.split_whitespace();
        let name = words.next().unwrap_or_default();
        let words: Vec<&str> = words.collect();
        let answer = match name {
            "place" | "at" | "sizes" => match &mechanism {
                Some(AnyMechanism::Length(mechanism)) => ask(mechanism, name, &words),
                Some(AnyMechanism::Angle(mechanism)) => ask(mechanism, name, &words),
                None => Err(Error::new(ErrorKind::Refused, "no mechanism")),
            },
            kind => made(kind, &words).map(|made| {
                let span = match &made {
                    AnyMechanism::Length(mechanism) => mechanism.span(),
                    AnyMechanism::Angle(mechanism) => mechanism.span(),
                };
                mechanism = Some(made);
                format!("span {} {}", span.start(), span.end())
            }),
        };
        match answer {
            Ok(answer) => writeln!(output, "{answer}")?,
            Err(error) => {
                if name != "place" && name != "at" && name != "sizes" {
                    mechanism = None;
                }
                writeln!(output, "error {}", error.kind().name())?;
            }
        }
    }
    output.flush()
}

fn ask<M: Mechanism>(mechanism: &M, name: &str, words: &[&str]) -> Result<String> {
    let step = |index: usize| -> Result<i64> {
        Ok(exact(words, index)?.round(Rounding::Nearest).try_into().unwrap_or(i64::MAX))
    };
    if name == "place" {
        let rule = Rounding::ALL.into_iter().find(|rule| words.get(1) == Some(&rule.name()));
        let located = mechanism.locate(M::Measure::from_base(exact(words, 0)?)?, rule.ok_or_else(unread)?)?;
        return Ok(format!("{} {}", located.step, if located.is_decided { "is_decided" } else { "open" }));
    }
    let (low, high) = if name == "at" {
        let position = mechanism.position_at(step(0)?, Width::FINEST)?;
        (position.low(), position.high())
    } else {
        let sizes = mechanism.step_sizes(step(0)?..=step(1)?)?;
        if !sizes.certified {
            return Err(Error::new(ErrorKind::Mechanism, "sizes that are not certified"));
        }
        (sizes.finest, sizes.coarsest)
    };
    Ok(format!("{} {}", low.base(), high.base()))
}

fn made(kind: &str, words: &[&str]) -> Result<AnyMechanism> {
    let whole = |index: usize| -> Result<u32> {
        u32::try_from(exact(words, index)?.round(Rounding::Nearest)).map_err(|_| unread())
    };
    let length = |index: usize| -> Result<Length> { Length::from_base(exact(words, index)?) };
    let angle = |index: usize| -> Result<Angle> { Angle::from_base(exact(words, index)?) };
    let motion = |index: usize| match words.get(index) {
        Some(&"lengthening") => Ok(ScrewMotion::Lengthening),
        Some(&"shortening") => Ok(ScrewMotion::Shortening),
        _ => Err(unread()),
    };
    let drive = DriveTrain::new(angle(0)?, StepMode::new(whole(1)?)?)?.geared(whole(2)?, whole(3)?)?;
    let arm = || -> Result<Arm> {
        Ok(Arm { length: length(4)?, pivot_depth: length(5)?, blade_diameter: length(6)? })
    };
    match kind {
        "swing_arm_by_screw" => {
            let screw = ArmScrew {
                nut_along: length(7)?,
                nut_across: length(8)?,
                anchor_ahead: length(9)?,
                anchor_above: length(10)?,
                screw_length: length(11)?,
                lead: length(12)?,
                raised_by: motion(13)?,
            };
            SwingArm::by_screw(drive, arm()?, screw).map(AnyMechanism::length)
        }
        "swing_arm_by_sector" => {
            let sector = Sector { worm_starts: whole(7)?, sector_teeth: whole(8)?, arm_angle: angle(9)? };
            SwingArm::by_sector(drive, arm()?, sector).map(AnyMechanism::length)
        }
        "screw_tilt" => {
            let screw = TiltScrew {
                nut_distance: length(4)?,
                anchor_distance: length(5)?,
                screw_length: length(6)?,
                lead: length(7)?,
                tilted_by: motion(8)?,
                low_stop: angle(9)?,
                high_stop: angle(10)?,
            };
            ScrewTilt::new(drive, screw).map(AnyMechanism::angle)
        }
        _ => Err(unread()),
    }
}

/// The word as a rational, which may have more digits than people write.
fn exact(words: &[&str], index: usize) -> Result<Exact> {
    let word = words.get(index).ok_or_else(unread)?;
    let (numerator, denominator) = word.split_once('/').unwrap_or((word, "1"));
    let whole = |part: &str| -> Result<i128> { part.parse().map_err(|_| unread()) };
    Ok(Exact::new(whole(numerator)?, whole(denominator)?)?)
}

fn unread() -> Error {
    Error::new(ErrorKind::Syntax, "question")
}
