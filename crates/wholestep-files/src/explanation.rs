//! Which figure of an axis file explains a travel that is not the expected one.

use core::str::FromStr;

use super::axis_file::AxisFile;
use super::section::Section;
use crate::messages;
use wholestep::error::{Error, ErrorKind, Result, Value};
use wholestep::exact::Exact;
use wholestep::measure::{Angle, AngleUnit, Length, LengthUnit, Measure, Unit};
use wholestep::mechanism::{StepMode, Thread};

/// A measured travel held against the one that the axis file says.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct TravelCheck {
    /// Measured over expected.
    pub ratio: Exact,
    /// Whether the machine travels as the file says, to within the tolerance.
    pub agrees: bool,
    /// The single figures that would explain a travel that does not agree; empty if none does.
    pub explanations: Vec<Explanation>,
}

/// A figure of an axis file, and another that the machine may have instead.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Explanation {
    /// The key in the file.
    pub key: &'static str,
    /// What the file says.
    pub says: String,
    /// What would fit the measured travel.
    pub fits: String,
}

impl AxisFile {
    /// Compares a travel that a person measured with the one that the file says, both as numbers of the
    /// same unit, and names what would explain a difference: a single figure of the file that is another
    /// one in common use.
    ///
    /// They agree to within `tolerance`, a fraction of either: 1/50 suits a travel measured with a rule.
    /// Several figures may explain a travel, and the person knows which of them the machine has; none does
    /// if two figures are wrong, or one is uncommon. Of each key the figure nearest to the measured
    /// travel is named. A kind whose steps are not all alike has only the figures of its motor and gears.
    ///
    /// ```
    /// # use wholestep::Exact;
    /// # use wholestep_files::AxisFile;
    /// let lift = AxisFile::open("../../examples/axes/router_lift.toml")?;
    /// let check = lift.check_travel(Exact::integer(10), Exact::integer(20), Exact::new(1, 50)?)?;
    /// assert!(!check.agrees && check.ratio == Exact::integer(2));
    /// let told: Vec<_> =
    ///     check.explanations.iter().map(|one| format!("{}: {}, not {}", one.key, one.fits, one.says)).collect();
    /// assert_eq!(told, ["step_mode: 1/4, not 1/8", "starts: 2, not 1", "pitch: 6 mm, not 3 mm"]);
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`ErrorKind::DivisionByZero`] for an expected travel of 0, [`ErrorKind::OutOfRange`] for a travel
    /// below 0 or a tolerance outside 0 to 1, [`ErrorKind::Overflow`] for numbers of too many digits.
    pub fn check_travel(&self, expected: Exact, measured: Exact, tolerance: Exact) -> Result<TravelCheck> {
        for (subject, travel) in [("expected travel", expected), ("measured travel", measured)] {
            if travel < Exact::ZERO {
                return Err(Error::new(ErrorKind::OutOfRange, subject)
                    .given(Value::Exact(travel))
                    .at_least(Value::Integer(0))
                    .remedy("give how far it went; which way is told by confirming the direction"));
            }
        }
        if tolerance < Exact::ZERO || tolerance > Exact::ONE {
            return Err(messages::TOLERANCE
                .error()
                .given(Value::Exact(tolerance))
                .between(Value::Integer(0), Value::Integer(1)));
        }
        let mut search = Search { ratio: measured.checked_div(expected)?, tolerance, found: Vec::new() };
        let agrees = search.off_by(Exact::ONE)?.is_some();
        if !agrees {
            search.file(self)?;
        }
        Ok(TravelCheck { ratio: search.ratio, agrees, explanations: search.found })
    }
}

/// How the travel depends on a figure.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Travels {
    With,
    Against,
}
use Travels::{Against, With};

struct Search {
    ratio: Exact,
    tolerance: Exact,
    found: Vec<Explanation>,
}

impl Search {
    fn file(&mut self, file: &AxisFile) -> Result<()> {
        let document = file.document()?;
        let mut root = document.root();
        root.declare_unit()?;
        self.driver(file)?;
        if let Some(mut mechanism) = root.optional_section("mechanism")? {
            self.mechanism(file.kind(), &mut mechanism)?;
        }
        self.teeth(file)?;
        self.motor(file)?;
        self.unit(root.length_unit())
    }

    fn driver(&mut self, file: &AxisFile) -> Result<()> {
        let division = |mode: StepMode| Exact::integer(mode.division().into());
        let says = file.drive_train().step_mode();
        let modes = STEP_MODES.iter().map(|&division| StepMode::new(division)).collect::<Result<Vec<_>>>()?;
        self.nearest("step_mode", says, Against, modes, division)
    }

    fn motor(&mut self, file: &AxisFile) -> Result<()> {
        let shown = |angle: Angle| angle.to_text(AngleUnit::Degree).to_string();
        let says = file.drive_train().step_angle();
        self.nearest_shown("step_angle", says, With, read(STEP_ANGLES)?, Angle::base, shown)
    }

    /// Driver and driven teeth taken for each other.
    fn teeth(&mut self, file: &AxisFile) -> Result<()> {
        let geared = file.drive_train().turns_per_motor_turn();
        if geared != Exact::ONE
            && self.off_by(Exact::ONE.checked_div(geared.checked_mul(geared)?)?)?.is_some()
        {
            let (driven, driver) = (geared.denominator(), geared.numerator());
            self.found.push(Explanation {
                key: "driver_teeth and driven_teeth",
                says: format!("{driver} to {driven}"),
                fits: format!("{driven} to {driver}"),
            });
        }
        Ok(())
    }

    fn mechanism(&mut self, kind: &str, section: &mut Section<'_>) -> Result<()> {
        let tooth_pitches: &[_] = if kind == "belt" { BELT_PITCHES } else { RACK_PITCHES };
        match kind {
            "lead_screw" => {
                if let Some(says) = section.optional::<Thread>("thread")? {
                    self.thread(says, section.length_unit().unwrap_or(LengthUnit::Millimetre))?;
                }
                self.count("starts", section, 1..=12)?;
                self.length("pitch", section, PITCHES)?;
                self.length("lead", section, LEADS)?;
                if let Some(says) = section.optional::<Exact>("threads_per_inch")? {
                    self.nearest("threads_per_inch", says, Against, read(THREADS_PER_INCH)?, |threads| {
                        threads
                    })?;
                }
            }
            "belt" | "rack" => {
                self.count("pulley_teeth", section, 8..=120)?;
                self.count("pinion_teeth", section, 8..=120)?;
                self.length("tooth_pitch", section, tooth_pitches)?;
                self.length("module", section, MODULES)?;
            }
            _ => {}
        }
        Ok(())
    }

    /// Another lead than that of the thread that the file names.
    fn thread(&mut self, says: Thread, unit: LengthUnit) -> Result<()> {
        let leads = read::<Length>(LEADS)?.into_iter().chain(read(PITCHES)?);
        let mut best: Option<(Exact, Length)> = None;
        for lead in leads {
            let off = self.off_by(lead.base().checked_div(says.lead()?.base())?)?;
            if let Some(off) = off.filter(|off| best.is_none_or(|(least, _)| *off < least)) {
                best = Some((off, lead));
            }
        }
        if let Some((_, lead)) = best.filter(|(_, lead)| says.lead() != Ok(*lead)) {
            self.found.push(Explanation {
                key: "thread",
                says: says.to_string(),
                fits: format!("a lead of {}", lead.to_text(unit)),
            });
        }
        Ok(())
    }

    /// Inches taken for millimetres, or the reverse.
    fn unit(&mut self, declared: Option<LengthUnit>) -> Result<()> {
        let (says, fits, travels) = match declared {
            Some(LengthUnit::Millimetre) => ("mm", "in", LengthUnit::Inch.in_base()),
            Some(LengthUnit::Inch) => ("in", "mm", Exact::ONE.checked_div(LengthUnit::Inch.in_base())?),
            _ => return Ok(()),
        };
        if self.off_by(travels)?.is_some() {
            self.found.push(Explanation { key: "unit", says: says.into(), fits: fits.into() });
        }
        Ok(())
    }

    fn count(
        &mut self,
        key: &'static str,
        section: &mut Section<'_>,
        usual: core::ops::RangeInclusive<u32>,
    ) -> Result<()> {
        match section.optional::<u32>(key)? {
            Some(says) => self.nearest(key, says, With, usual, |count| Exact::integer(count.into())),
            None => Ok(()),
        }
    }

    fn length(&mut self, key: &'static str, section: &mut Section<'_>, usual: &[&str]) -> Result<()> {
        let Some(says) = section.optional::<Length>(key)? else { return Ok(()) };
        let unit = section.length_unit().unwrap_or(LengthUnit::Millimetre);
        let shown = |length: Length| length.to_text(unit).to_string();
        self.nearest_shown(key, says, With, read(usual)?, Length::base, shown)
    }

    fn nearest<T: Copy + ToString>(
        &mut self,
        key: &'static str,
        says: T,
        travels: Travels,
        usual: impl IntoIterator<Item = T>,
        size: impl Fn(T) -> Exact,
    ) -> Result<()> {
        self.nearest_shown(key, says, travels, usual, size, |figure| figure.to_string())
    }

    /// Notes the figure of `usual` that comes nearest to the measured travel, if one does.
    fn nearest_shown<T: Copy>(
        &mut self,
        key: &'static str,
        says: T,
        travels: Travels,
        usual: impl IntoIterator<Item = T>,
        size: impl Fn(T) -> Exact,
        shown: impl Fn(T) -> String,
    ) -> Result<()> {
        let mut best: Option<(Exact, T)> = None;
        for figure in usual {
            let (from, to) = match travels {
                With => (says, figure),
                Against => (figure, says),
            };
            let off = self.off_by(size(to).checked_div(size(from))?)?;
            if let Some(off) = off.filter(|off| best.is_none_or(|(least, _)| *off < least)) {
                best = Some((off, figure));
            }
        }
        if let Some((_, fits)) = best.filter(|(_, fits)| size(*fits) != size(says)) {
            self.found.push(Explanation { key, says: shown(says), fits: shown(fits) });
        }
        Ok(())
    }

    /// By which part the measured travel differs from one of `travels` times the expected; `None`
    /// where by more than the tolerance.
    fn off_by(&self, travels: Exact) -> Result<Option<Exact>> {
        let off = self.ratio.checked_div(travels)?.checked_sub(Exact::ONE)?.abs();
        Ok(Some(off).filter(|off| *off <= self.tolerance))
    }
}

/// Figures as people name them.
fn read<T: FromStr<Err = Error>>(figures: &[&str]) -> Result<Vec<T>> {
    figures.iter().map(|figure| figure.parse()).collect()
}

// Figures in common use (memory), and no standard's list; none of them decides anything but which
// explanation a person is offered.
const STEP_MODES: &[u32] = &[1, 2, 4, 5, 8, 10, 16, 20, 25, 32, 40, 50, 64, 100, 125, 128, 200, 256];
const STEP_ANGLES: &[&str] = &["1.8 deg", "0.9 deg", "0.72 deg", "1.2 deg"];
const PITCHES: &[&str] = &[
    "1 mm", "1.5 mm", "2 mm", "3 mm", "4 mm", "5 mm", "6 mm", "7 mm", "8 mm", "9 mm", "10 mm", "12 mm",
    "1/16 in", "1/12 in", "1/10 in", "1/8 in", "1/6 in", "1/5 in", "1/4 in",
];
const LEADS: &[&str] = &[
    "1 mm", "1.5 mm", "2 mm", "2.5 mm", "3 mm", "4 mm", "5 mm", "6 mm", "8 mm", "10 mm", "12 mm", "16 mm",
    "20 mm", "25 mm", "32 mm", "40 mm", "50 mm", "1/10 in", "1/8 in", "1/5 in", "1/4 in", "1/2 in", "1 in",
];
const THREADS_PER_INCH: &[&str] = &["16", "14", "12", "10", "8", "6", "5", "4", "3", "5/2", "2"];
const BELT_PITCHES: &[&str] = &[
    "2 mm", "2.5 mm", "3 mm", "5 mm", "8 mm", "10 mm", "14 mm", "20 mm", "2/25 in", "1/5 in", "3/8 in",
    "1/2 in",
];
const RACK_PITCHES: &[&str] = &["2 mm", "2.5 mm", "3 mm", "4 mm", "5 mm", "10 mm"];
const MODULES: &[&str] =
    &["0.5 mm", "0.8 mm", "1 mm", "1.25 mm", "1.5 mm", "2 mm", "2.5 mm", "3 mm", "4 mm", "5 mm"];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_figure_in_common_use_reads() {
        for lengths in [PITCHES, LEADS, BELT_PITCHES, RACK_PITCHES, MODULES] {
            assert!(read::<Length>(lengths).unwrap().iter().all(|length| length.base() > Exact::ZERO));
        }
        assert_eq!(read::<Exact>(THREADS_PER_INCH).unwrap()[9], Exact::new(5, 2).unwrap());
        assert_eq!(read::<Angle>(STEP_ANGLES).unwrap()[0].base(), Exact::new(9, 5).unwrap());
    }
}
