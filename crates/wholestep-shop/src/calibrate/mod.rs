//! Is it true: an axis held against what a gauge read.

mod accuracy;
mod allowed;
mod edits;
mod fit;
mod next;
mod readings;
mod words;

pub use accuracy::Accuracy;
pub use edits::Edit;
pub use next::Next;
pub use readings::{Reading, Way, reference};

use std::path::Path;

use serde::Serialize;
use wholestep::axis::AnyAxis;
use wholestep::{Axis, Exact, Measure, Mechanism, Result};
use wholestep_files::{AxisFile, Explanation};

use crate::messages;
use fit::{Line, float, small};

/// What readings of a gauge tell of an axis. Lengths are in the axis's unit, angles too.
///
/// A reading lies at zero + scale × what was asked, and by the play further where the axis came down. A constant
/// error is one of the zero, a proportional one of the scale, and what differs between up and down is play; one test
/// cut corrects a zero only.
///
/// ```
/// # let folder = tempfile::tempdir()?;
/// # let readings = folder.path().join("readings.csv");
/// # std::fs::write(&readings, "asked,read,way\n10,10.58,up\n20,21.17,up\n30,31.75,up\n40,42.33,up\n")?;
/// use wholestep_files::AxisFile;
/// use wholestep_shop::Calibration;
/// // asked,read,way
/// // 10,10.58,up …
/// let lift = AxisFile::open("../../examples/axes/router_lift.toml")?;
/// let told = Calibration::of(&lift, &readings, "0.01 mm", None)?;
/// assert!(told.scale.is_wrong && !told.zero.is_wrong);
/// assert_eq!(told.explanations[0].fits, "3.175 mm");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Calibration {
    /// The name of the axis.
    pub axis: String,
    /// The unit of every figure.
    pub unit: String,
    /// How many readings there were.
    pub readings: usize,
    /// What they come to, in words.
    pub verdict: String,
    /// How far the axis goes for each unit that it is asked to.
    pub scale: Scale,
    /// What is read beyond what was asked, at 0.
    pub zero: Figure,
    /// What is read further where the axis came down; `None` if it was read from one way alone.
    pub play: Option<Figure>,
    /// The standard uncertainty of one reading: what readings scatter about the line, or what the gauge's resolution
    /// leaves, whichever is more.
    pub reading_uncertainty: f64,
    /// The single figures of the axis file that would explain the scale.
    #[serde(serialize_with = "explained")]
    pub explanations: Vec<Explanation>,
    /// Readings that stand out: without any one of them all others fit the resolution of the gauge.
    pub outliers: Vec<Outlier>,
    /// How well positions repeat, if each was read more than once.
    pub accuracy: Option<Accuracy>,
    /// By how much a move over the whole travel may be off as calibrated, 95 times of a hundred.
    pub over_the_travel: f64,
    /// How many more readings would bring that within what was asked for.
    pub more_readings: u64,
    /// A round of readings to take next, as often as that needs.
    pub next: Vec<Next>,
    /// What would be written in the axis file.
    pub edits: Vec<Edit>,
    /// What the file cannot be mended for, and what to do.
    pub advice: Vec<String>,
}

/// The scale of an axis: 1 if it goes as far as it is asked to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Scale {
    /// As the readings fit best; exact as a fraction if that is short.
    pub value: f64,
    /// The same, exactly.
    pub exact: String,
    /// Its standard uncertainty.
    pub uncertainty: f64,
    /// Every scale that the readings allow with the gauge's resolution, exactly: the lowest and the highest; `None` if
    /// they allow none.
    pub allowed: Option<[String; 2]>,
    /// Whether 1 is not among those allowed, or further off than two uncertainties where none is.
    pub is_wrong: bool,
}

/// A figure with its standard uncertainty.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Figure {
    /// As the readings fit best.
    pub value: f64,
    /// Its standard uncertainty.
    pub uncertainty: f64,
    /// Whether it is further from 0 than two uncertainties.
    pub is_wrong: bool,
}

/// A reading that stands out.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Outlier {
    /// Its line in the file of readings.
    pub line: usize,
    /// What the gauge read.
    pub read: f64,
    /// By how much that is off the line.
    pub off: f64,
}

impl Calibration {
    /// Holds the axis of `file` against the readings in the CSV file at `path`. `resolution` is the smallest difference
    /// that the gauge shows, such as `0.01 mm`; `within` what a move over the whole travel may be off, and the resolution
    /// if left out.
    ///
    /// # Errors
    /// What is wrong with the readings, with file, line and column: no column, two units, none or one reading, all of
    /// them alike or at one place. [`ErrorKind::OutOfRange`](wholestep::ErrorKind::OutOfRange) for a resolution or a
    /// tolerance that is not above 0.
    pub fn of(
        file: &AxisFile,
        path: impl AsRef<Path>,
        resolution: &str,
        within: Option<&str>,
    ) -> Result<Self> {
        match file.axis() {
            AnyAxis::Length(axis) => held_against(file, axis, path.as_ref(), resolution, within),
            AnyAxis::Angle(axis) => held_against(file, axis, path.as_ref(), resolution, within),
        }
    }

    /// Tells whether the axis goes where it is asked to, as far as the readings tell.
    pub fn is_true(&self) -> bool {
        !self.scale.is_wrong && !self.zero.is_wrong && self.outliers.is_empty()
    }
}

fn held_against<M: Mechanism>(
    file: &AxisFile,
    axis: &Axis<M>,
    path: &Path,
    resolution: &str,
    within: Option<&str>,
) -> Result<Calibration> {
    let unit = axis.unit();
    let resolution = above_zero::<M::Measure>(resolution, unit, "resolution")?;
    let within = within.map_or(Ok(resolution), |within| above_zero::<M::Measure>(within, unit, "within"))?;
    let readings = readings::load::<M::Measure>(path, Some(unit))?;
    let line = Line::of(&readings);
    let allowed = allowed::allowed(&readings, resolution);
    // A gauge that shows whole steps of its resolution is off by up to half of it, evenly: a half over √3 (GUM,
    // JCGM 100:2008, 4.3.7 and F.2.2.1, second-hand).
    let by_gauge = float(&fit::big(resolution)) / 12_f64.sqrt();
    let each = line.deviation().max(by_gauge);
    let base = float(&fit::big(M::Measure::new(Exact::ONE, unit)?.base()));
    let figure = |fitted: &fit::Fitted| {
        let (value, uncertainty) = (float(&fitted.exact) / base, fitted.uncertainty(each) / base);
        Figure { value, uncertainty, is_wrong: value.abs() > 2.0 * uncertainty }
    };
    let scale = scale(&line, allowed.as_ref(), each);
    let travel = axis.config().high.base().checked_sub(axis.config().low.base())?;
    let travel = float(&fit::big(travel));
    let over_the_travel = 2.0 * scale.uncertainty * travel;
    let more_readings = next::more(readings.len(), over_the_travel, float(&fit::big(within)));
    let mut found = Calibration {
        axis: file.name().into(),
        unit: unit.to_string(),
        readings: readings.len(),
        verdict: String::new(),
        zero: figure(&line.zero),
        play: line.play.as_ref().map(figure),
        reading_uncertainty: each / base,
        explanations: explanations(file, &line, allowed.as_ref(), &scale)?,
        outliers: outliers(&readings, resolution, &line, base),
        accuracy: Accuracy::of(&readings).map(|accuracy| accuracy.in_unit(base)),
        over_the_travel: over_the_travel / base,
        more_readings,
        next: next::round(axis, more_readings, line.play.is_some())?,
        edits: Vec::new(),
        advice: Vec::new(),
        scale,
    };
    edits::propose(&mut found, file, axis, &line)?;
    found.verdict = words::verdict(&found);
    Ok(found)
}

fn scale(
    line: &Line,
    allowed: Option<&(num_rational::BigRational, num_rational::BigRational)>,
    each: f64,
) -> Scale {
    let one = num_rational::BigRational::from_integer(1.into());
    let (value, uncertainty) = (float(&line.scale.exact), line.scale.uncertainty(each));
    Scale {
        value,
        exact: line.scale.exact.to_string(),
        uncertainty,
        allowed: allowed.map(|(low, high)| [low.to_string(), high.to_string()]),
        is_wrong: match allowed {
            Some((low, high)) => one < *low || *high < one,
            None => (value - 1.0).abs() > 2.0 * uncertainty,
        },
    }
}

/// The figures of the file that would explain the scale, as near as the readings know it.
fn explanations(
    file: &AxisFile,
    line: &Line,
    allowed: Option<&(num_rational::BigRational, num_rational::BigRational)>,
    scale: &Scale,
) -> Result<Vec<Explanation>> {
    let Some(ratio) = small(&line.scale.exact).filter(|ratio| scale.is_wrong && *ratio > Exact::ZERO) else {
        return Ok(Vec::new());
    };
    let part = match allowed {
        Some((low, high)) => (scale.value - float(low)).max(float(high) - scale.value),
        None => 2.0 * scale.uncertainty,
    };
    // Millionths, and no finer: what is common lies further apart.
    #[expect(clippy::cast_possible_truncation, reason = "from 1 to 100,000")]
    let millionths = (part / scale.value * 1e6).ceil().clamp(1.0, 1e5) as i128;
    let tolerance = Exact::new(millionths, 1_000_000)?;
    Ok(file.check_travel(Exact::ONE, ratio, tolerance)?.explanations)
}

fn outliers(readings: &[Reading], resolution: Exact, line: &Line, base: f64) -> Vec<Outlier> {
    let told = |index: usize| {
        let reading = &readings[index];
        let (read, off) = (float(&fit::big(reading.read)), float(&line.off(reading)));
        Outlier { line: reading.line, read: read / base, off: off / base }
    };
    allowed::outliers(readings, resolution).into_iter().map(told).collect()
}

fn above_zero<M: Measure>(text: &str, unit: M::Unit, parameter: &'static str) -> Result<Exact> {
    let given = M::read(text, None).map_err(|error| error.about(parameter))?;
    if given <= M::ZERO {
        let error =
            if parameter == "within" { messages::WITHIN.error() } else { messages::RESOLUTION.error() };
        return Err(error.given(given.quoted(unit)));
    }
    Ok(given.base())
}

fn explained<S: serde::Serializer>(
    explanations: &[Explanation],
    serializer: S,
) -> core::result::Result<S::Ok, S::Error> {
    #[derive(Serialize)]
    struct Told<'a> {
        key: &'a str,
        says: &'a str,
        fits: &'a str,
    }
    serializer.collect_seq(explanations.iter().map(|one| Told {
        key: one.key,
        says: &one.says,
        fits: &one.fits,
    }))
}
