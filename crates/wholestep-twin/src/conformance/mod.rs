//! What any mechanism must keep to, checked from outside.
//!
//! For the tests of whoever writes a mechanism: everything that the axis, the search and the plans
//! rely on is asked of it, at both ends of its span, at steps spread over it and at their
//! neighbours. A mechanism that passes may still be wrong between the samples, and a wrong formula
//! passes as well as a right one: check some positions against a gauge or a second calculation too.

mod brute_force;
mod failure;
mod samples;

use rand_pcg::Pcg64;
use rand_pcg::rand_core::{Rng as _, SeedableRng as _};
use wholestep::bounds::STEP_MAX;
use wholestep::mechanism::{Located, Trend};
use wholestep::{Enclosure, ErrorKind, Exact, Measure, Mechanism, Rounding};

use brute_force::Right;
pub use failure::Failure;
use samples::{Sample, shown};

/// The checks that any mechanism must pass.
///
/// ```
/// use wholestep::mechanism::{Arm, DriveTrain, Sector, StepMode, SwingArm};
/// use wholestep_twin::Conformance;
///
/// let motor = DriveTrain::new("1.8 deg".parse()?, StepMode::new(8)?)?;
/// let arm = Arm {
///     length: "150 mm".parse()?,
///     pivot_depth: "135 mm".parse()?,
///     blade_diameter: "250 mm".parse()?,
/// };
/// let sector = Sector { worm_starts: 1, sector_teeth: 120, arm_angle: "-20 deg".parse()? };
/// let report = Conformance::new().samples(50).check(&SwingArm::by_sector(motor, arm, sector)?)?;
/// // About one in six is put on a bound or a tie on purpose, where no width can tell.
/// assert!(report.placements > 500 && report.open * 5 < report.placements);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Conformance {
    samples: u32,
    seed: u64,
}

/// How much was checked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Report {
    /// Steps whose positions were asked at every width.
    pub steps: usize,
    /// Placements compared with a search through every step about the target.
    pub placements: usize,
    /// Those of them that the finest width left open, as it had to.
    pub open: usize,
}

impl Default for Conformance {
    fn default() -> Self {
        Self::new()
    }
}

impl Conformance {
    /// Makes the suite with a hundred samples, always the same.
    pub const fn new() -> Self {
        Self { samples: 100, seed: 1 }
    }

    /// Looks at `count` steps spread over the span, and at as many neighbours.
    #[must_use]
    pub const fn samples(self, count: u32) -> Self {
        Self { samples: count, ..self }
    }

    /// Looks at other steps for another seed.
    #[must_use]
    pub const fn seed(self, seed: u64) -> Self {
        Self { seed, ..self }
    }

    /// Checks `mechanism`.
    ///
    /// # Errors
    /// The first [`Failure`], which names the step and the promise.
    pub fn check<M: Mechanism + ?Sized>(&self, mechanism: &M) -> Result<Report, Failure> {
        let (first, last) = span(mechanism)?;
        let mut dice = Pcg64::seed_from_u64(self.seed);
        let steps = samples::steps(first, last, self.samples, || dice.next_u64());
        let samples: Vec<Sample<M::Measure>> =
            steps.iter().map(|step| Sample::of(mechanism, *step)).collect::<Result<_, _>>()?;
        let rising = monotone(&samples)?;
        trend(mechanism, rising)?;
        uniform(mechanism, &samples)?;
        step_sizes(mechanism, &samples)?;
        let mut report = Report { steps: samples.len(), ..Report::default() };
        ends(mechanism, &samples, rising)?;
        for sample in &samples {
            placements(mechanism, sample.step, rising, &mut report)?;
        }
        Ok(report)
    }
}

fn span<M: Mechanism + ?Sized>(mechanism: &M) -> Result<(i64, i64), Failure> {
    let (first, last) = mechanism.span().into_inner();
    if first >= last || first < -STEP_MAX || last > STEP_MAX {
        return Err(Failure::new(
            "a span has two steps or more, within 2^40 of step 0",
            format!("the span is {first} to {last}"),
        ));
    }
    if mechanism.span() != (first..=last) {
        return Err(Failure::new("a span stays the same", format!("the span was {first} to {last}")));
    }
    Ok((first, last))
}

/// Every sample stands clear of the one before it, all on the same side.
fn monotone<Q: Measure>(samples: &[Sample<Q>]) -> Result<bool, Failure> {
    let (first, last) = (samples[0], samples[samples.len() - 1]);
    let rising = first.position.high() < last.position.low();
    for pair in samples.windows(2) {
        let [before, after] = [pair[0], pair[1]];
        let (lower, upper) = if rising { (before, after) } else { (after, before) };
        if lower.position.high() >= upper.position.low() {
            return Err(Failure::at(
                "the position only rises, or only falls, over the whole span",
                after.step,
                format!(
                    "it stands at {}, step {} at {} and step {} at {}",
                    shown(&after.position),
                    before.step,
                    shown(&before.position),
                    last.step,
                    shown(&last.position)
                ),
            ));
        }
    }
    Ok(rising)
}

fn trend<M: Mechanism + ?Sized>(mechanism: &M, rising: bool) -> Result<(), Failure> {
    let (stated, really) = match mechanism.trend() {
        Ok(Trend::Rising) if rising => return Ok(()),
        Ok(Trend::Falling) if !rising => return Ok(()),
        Ok(Trend::Rising) => ("rising".into(), "fall"),
        Ok(Trend::Falling) => ("falling".into(), "rise"),
        Err(error) => (format!("“{error}”"), if rising { "rise" } else { "fall" }),
    };
    Err(Failure::new(
        "the trend is that of the positions",
        format!("the trend is given as {stated}, the positions {really}"),
    ))
}

fn uniform<M: Mechanism + ?Sized>(mechanism: &M, samples: &[Sample<M::Measure>]) -> Result<(), Failure> {
    let Some(travel) = mechanism.uniform_travel() else { return Ok(()) };
    let wrong = |sample: &&Sample<M::Measure>| {
        let there = travel
            .checked_mul(Exact::integer(sample.step))
            .map_err(Into::into)
            .and_then(M::Measure::from_base);
        there.map(Enclosure::exact) != Ok(sample.position)
    };
    match samples.iter().find(wrong) {
        None => Ok(()),
        Some(sample) => Err(Failure::at(
            "with a uniform travel, step n stands at n times it",
            sample.step,
            format!("it stands at {}, the travel is {travel}", shown(&sample.position)),
        )),
    }
}

fn step_sizes<M: Mechanism + ?Sized>(mechanism: &M, samples: &[Sample<M::Measure>]) -> Result<(), Failure> {
    let (first, last) = (samples[0].step, samples[samples.len() - 1].step);
    let sizes = mechanism.step_sizes(first..=last).map_err(|error| Failure::error(first, &error))?;
    for pair in samples.windows(2).filter(|pair| pair[1].step == pair[0].step + 1) {
        let step = pair[0].step;
        let travel = mechanism.travel_at(step).map_err(|error| Failure::error(step, &error))?;
        if sizes.certified && (travel.high() < sizes.finest || travel.low() > sizes.coarsest) {
            return Err(Failure::at(
                "certified step sizes hold every step",
                step,
                format!("it travels {}, not {} to {}", shown(&travel), sizes.finest, sizes.coarsest),
            ));
        }
    }
    Ok(())
}

/// Beyond the ends: the nearest step is the end, and the rule that would go further is refused.
fn ends<M: Mechanism + ?Sized>(
    mechanism: &M,
    samples: &[Sample<M::Measure>],
    rising: bool,
) -> Result<(), Failure> {
    let (first, last) = (samples[0], samples[samples.len() - 1]);
    let (lowest, highest) = if rising { (first, last) } else { (last, first) };
    let beyond = [
        (lowest, lowest.position.low().base().checked_sub(Exact::ONE), Rounding::Below, Rounding::Above),
        (highest, highest.position.high().base().checked_add(Exact::ONE), Rounding::Above, Rounding::Below),
    ];
    for (end, target, outward, inward) in beyond {
        let Ok(target) = target.map_err(Into::into).and_then(M::Measure::from_base) else { continue };
        for rounding in [Rounding::Nearest, inward] {
            let located = mechanism.locate(target, rounding).map(|located| located.step);
            if located != Ok(end.step) {
                return Err(Failure::at(
                    "a target beyond the span goes to its end",
                    end.step,
                    format!("{target} by {} gives {}", rounding.name(), outcome(located)),
                ));
            }
        }
        let refused = mechanism.locate(target, outward);
        if !refused.as_ref().is_err_and(|error| error.kind() == ErrorKind::BeyondLimit) {
            return Err(Failure::at(
                "a target that no step of the span can reach is refused as beyond a limit",
                end.step,
                format!("{target} by {} gives {}", outward.name(), outcome(refused.map(|found| found.step))),
            ));
        }
    }
    Ok(())
}

fn outcome(step: wholestep::Result<i64>) -> String {
    step.map_or_else(|error| format!("“{error}”"), |step| format!("step {step}"))
}

/// How many steps either side of a sample are looked at for the right answer.
const ABOUT: i64 = 3;

/// Targets on a step, between it and the next and about the tie between them, by every rounding.
fn placements<M: Mechanism + ?Sized>(
    mechanism: &M,
    step: i64,
    rising: bool,
    report: &mut Report,
) -> Result<(), Failure> {
    let (first, last) = mechanism.span().into_inner();
    let about = step.saturating_sub(ABOUT).max(first)..=step.saturating_add(ABOUT).min(last);
    let mut steps: Vec<Sample<M::Measure>> =
        about.map(|step| Sample::of(mechanism, step)).collect::<Result<_, _>>()?;
    if !rising {
        steps.reverse();
    }
    let here = steps.iter().position(|sample| sample.step == step).unwrap_or(0);
    let low = steps[here].position.low().base();
    let high = steps[(here + 1).min(steps.len() - 1)].position.low().base();
    for target in targets(low, high) {
        let Ok(target) = M::Measure::from_base(target) else { continue };
        if target <= steps[0].position.low() || target >= steps[steps.len() - 1].position.high() {
            continue;
        }
        for rounding in Rounding::ALL {
            let Some(right) = brute_force::locate(&steps, target, rounding) else { continue };
            let found = mechanism.locate(target, rounding).map_err(|error| Failure::error(step, &error))?;
            report.placements += 1;
            report.open += usize::from(!found.is_decided);
            if !right.allows(found) {
                return Err(Failure::at(
                    "a placement is the right step, and decided where the bounds can tell",
                    step,
                    format!(
                        "{target} by {} gives {}, the steps about it {}",
                        rounding.name(),
                        said(found),
                        expected(right)
                    ),
                ));
            }
        }
    }
    Ok(())
}

/// What a mechanism answered, as a person reads it.
fn said(found: Located) -> String {
    format!("step {}{}", found.step, if found.is_decided { "" } else { ", undecided" })
}

/// What the steps about a target say, as a person reads it.
fn expected(right: Right) -> String {
    match right {
        Right::Step(step) => format!("step {step}"),
        Right::Open([one, other]) if one == other => format!("step {one}, undecided"),
        Right::Open([one, other]) => format!("step {one} or step {other}"),
    }
}

/// On the lower step, between the two, at their middle and a hair to either side of it.
fn targets(low: Exact, high: Exact) -> Vec<Exact> {
    let between =
        |part: i128, of: i128| high.checked_sub(low)?.checked_mul(Exact::new(part, of)?)?.checked_add(low);
    // A power of two, so that a bound moved by it still fits a measure.
    let hair = Exact::new(1, 1 << 40);
    let middle = between(1, 2);
    let beside = |sign: i64| middle?.checked_add(hair?.checked_mul(Exact::integer(sign))?);
    [Ok(low), between(1, 4), middle, between(3, 4), beside(-1), beside(1)]
        .into_iter()
        .filter_map(Result::ok)
        .collect()
}
