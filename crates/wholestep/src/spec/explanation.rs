//! Which figure of an axis file explains a travel that is not the expected one.

use alloc::format;
use alloc::string::{String, ToString};
use alloc::vec::Vec;

use super::axis_file::AxisFile;
use super::section::Section;
use crate::error::Result;
use crate::exact::Exact;
use crate::measure::{Angle, AngleUnit, Length, LengthUnit, Measure, Unit};
use crate::mechanism::StepMode;

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
    /// Which single figures of the file, if they were others in common use, explain that the axis
    /// travels `ratio` times as far as the file says, to within `tolerance`, a fraction of it.
    ///
    /// More than one may, and the person knows which of them the machine has; none where two figures
    /// are wrong, or one is uncommon. Of a key the nearest figure is told. Only kinds whose steps
    /// travel alike have figures to explain it with beside the drive's.
    ///
    /// ```
    /// # use wholestep::Exact;
    /// # use wholestep::spec::{AxisFile, Registry};
    /// let lift = AxisFile::load("../../examples/axes/router_lift.toml", &Registry::standard())?;
    /// let twice = lift.explain(Exact::integer(2), Exact::new(1, 50)?)?;
    /// let told: Vec<_> = twice.iter().map(|one| format!("{}: {}, not {}", one.key, one.fits, one.says)).collect();
    /// assert_eq!(told, ["step_mode: 1/4, not 1/8", "starts: 2, not 1", "pitch: 6 mm, not 3 mm"]);
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    ///
    /// # Errors
    /// As exact arithmetic, for figures of too many digits.
    pub fn explain(&self, ratio: Exact, tolerance: Exact) -> Result<Vec<Explanation>> {
        let document = self.document()?;
        let mut root = document.root();
        root.declare_unit()?;
        let mut search = Search { ratio, tolerance, found: Vec::new() };
        search.driver(self)?;
        if let Some(mut mechanism) = root.optional_section("mechanism")? {
            search.mechanism(self.kind(), &mut mechanism)?;
        }
        search.teeth(self)?;
        search.motor(self)?;
        search.unit(root.length_unit())?;
        Ok(search.found)
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
    fn driver(&mut self, file: &AxisFile) -> Result<()> {
        let division = |mode: StepMode| Exact::integer(mode.division().into());
        let says = file.drive().step_mode();
        let modes = STEP_MODES.iter().map(|&division| StepMode::new(division)).collect::<Result<Vec<_>>>()?;
        self.nearest("step_mode", says, Against, modes, division)
    }

    fn motor(&mut self, file: &AxisFile) -> Result<()> {
        let angles = STEP_ANGLES.iter().map(|&(n, d)| Angle::from_base(Exact::new(n, d)?));
        let angles = angles.collect::<Result<Vec<_>>>()?;
        let shown = |angle: Angle| angle.exact_in(AngleUnit::Degree).to_string();
        let says = file.drive().step_angle();
        self.nearest_shown("step_angle", says, With, angles, Angle::base, shown)
    }

    /// Driver and driven teeth taken for each other.
    fn teeth(&mut self, file: &AxisFile) -> Result<()> {
        let geared = file.drive().turns_per_motor_turn();
        if geared != Exact::ONE && self.off_by(Exact::ONE.div(geared.mul(geared)?)?)?.is_some() {
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
                self.count("starts", section, 1..=12)?;
                self.length("pitch", section, PITCHES)?;
                self.length("lead", section, LEADS)?;
                if let Some(says) = section.optional::<Exact>("threads_per_inch")? {
                    let threads = THREADS_PER_INCH.iter().map(|&(n, d)| Exact::new(n, d));
                    let threads = threads.collect::<Result<Vec<_>>>()?;
                    self.nearest("threads_per_inch", says, Against, threads, |threads| threads)?;
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

    /// Inches taken for millimetres, or the reverse.
    fn unit(&mut self, declared: Option<LengthUnit>) -> Result<()> {
        let (says, fits, travels) = match declared {
            Some(LengthUnit::Millimetre) => ("mm", "in", LengthUnit::Inch.in_base()),
            Some(LengthUnit::Inch) => ("in", "mm", Exact::ONE.div(LengthUnit::Inch.in_base())?),
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

    fn length(&mut self, key: &'static str, section: &mut Section<'_>, usual: &[Usual]) -> Result<()> {
        let Some(says) = section.optional::<Length>(key)? else { return Ok(()) };
        let usual = usual.iter().map(|&(n, d, unit)| Length::new(Exact::new(n, d)?, unit));
        let usual = usual.collect::<Result<Vec<_>>>()?;
        let unit = section.length_unit().unwrap_or(LengthUnit::Millimetre);
        let shown = |length: Length| length.exact_in(unit).to_string();
        self.nearest_shown(key, says, With, usual, Length::base, shown)
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
            let off = self.off_by(size(to).div(size(from))?)?;
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
        let off = self.ratio.div(travels)?.sub(Exact::ONE)?.abs();
        Ok(Some(off).filter(|off| *off <= self.tolerance))
    }
}

/// A length as it is named: numerator, denominator and unit.
type Usual = (i128, i128, LengthUnit);
use LengthUnit::{Inch as IN, Millimetre as MM};

// Figures in common use, from memory where no standard is named; none of them decides anything but
// which explanation a person is offered.
const STEP_MODES: &[u32] = &[1, 2, 4, 5, 8, 10, 16, 20, 25, 32, 40, 50, 64, 100, 125, 128, 200, 256];
const STEP_ANGLES: &[(i128, i128)] = &[(9, 5), (9, 10), (18, 25), (6, 5)];
/// Trapezoidal threads (pitches as in ISO 2904).
const PITCHES: &[Usual] = &[
    (1, 1, MM),
    (3, 2, MM),
    (2, 1, MM),
    (3, 1, MM),
    (4, 1, MM),
    (5, 1, MM),
    (6, 1, MM),
    (7, 1, MM),
    (8, 1, MM),
    (9, 1, MM),
    (10, 1, MM),
    (12, 1, MM),
    (1, 16, IN),
    (1, 12, IN),
    (1, 10, IN),
    (1, 8, IN),
    (1, 6, IN),
    (1, 5, IN),
    (1, 4, IN),
];
const LEADS: &[Usual] = &[
    (1, 1, MM),
    (3, 2, MM),
    (2, 1, MM),
    (5, 2, MM),
    (3, 1, MM),
    (4, 1, MM),
    (5, 1, MM),
    (6, 1, MM),
    (8, 1, MM),
    (10, 1, MM),
    (12, 1, MM),
    (16, 1, MM),
    (20, 1, MM),
    (25, 1, MM),
    (32, 1, MM),
    (40, 1, MM),
    (50, 1, MM),
    (1, 10, IN),
    (1, 8, IN),
    (1, 5, IN),
    (1, 4, IN),
    (1, 2, IN),
    (1, 1, IN),
];
/// General-purpose Acme threads (ASME B1.5).
const THREADS_PER_INCH: &[(i128, i128)] =
    &[(16, 1), (14, 1), (12, 1), (10, 1), (8, 1), (6, 1), (5, 1), (4, 1), (3, 1), (5, 2), (2, 1)];
const BELT_PITCHES: &[Usual] = &[
    (2, 1, MM),
    (5, 2, MM),
    (3, 1, MM),
    (5, 1, MM),
    (8, 1, MM),
    (10, 1, MM),
    (14, 1, MM),
    (20, 1, MM),
    (2, 25, IN),
    (1, 5, IN),
    (3, 8, IN),
    (1, 2, IN),
];
const RACK_PITCHES: &[Usual] = &[(2, 1, MM), (5, 2, MM), (3, 1, MM), (4, 1, MM), (5, 1, MM), (10, 1, MM)];
/// Modules of gear teeth (ISO 54).
const MODULES: &[Usual] = &[
    (1, 2, MM),
    (4, 5, MM),
    (1, 1, MM),
    (5, 4, MM),
    (3, 2, MM),
    (2, 1, MM),
    (5, 2, MM),
    (3, 1, MM),
    (4, 1, MM),
    (5, 1, MM),
];
