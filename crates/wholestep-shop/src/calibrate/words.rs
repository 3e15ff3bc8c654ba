//! What readings come to, as a person says it.

use super::{Calibration, Figure};
use wholestep::{Length, LengthUnit, Measure as _};
use wholestep_files::Explanation;

pub(super) fn verdict(found: &Calibration) -> String {
    let mut sentences = vec![scale(found)];
    let unit = &found.unit;
    if found.zero.is_wrong {
        let off = figure(found.zero.value);
        sentences.push(format!("The zero is off by {off} {unit}: one test cut corrects that, and that only"));
    } else if !found.scale.is_wrong {
        sentences.push("So is the zero".into());
    }
    sentences.push(match &found.play {
        None => "The play is not known: read on the way down too".into(),
        Some(play) if play.is_wrong => {
            format!("Play {} {unit}, between up and down", figure(play.value.abs()))
        }
        Some(play) => format!("No play to be seen beyond {} {unit}", figure(2.0 * play.uncertainty)),
    });
    for one in &found.outliers {
        let (line, read, off) = (one.line, figure(one.read), figure(one.off));
        sentences.push(format!("Line {line} stands out: {read} {unit} is off by {off}; read it again"));
    }
    if found.scale.allowed.is_none() && found.outliers.is_empty() {
        let scatter = figure(found.reading_uncertainty);
        sentences.push(format!("Readings scatter by {scatter} {unit}, which is more than the gauge shows"));
    }
    sentences.join(". ") + "."
}

fn scale(found: &Calibration) -> String {
    if !found.scale.is_wrong {
        return "The scale is right as far as these readings tell".into();
    }
    let times = format!(
        "The scale is wrong: it goes {} times as far as it is asked to",
        digits(found.scale.value, 6)
    );
    let told =
        |one: &Explanation| format!("{} {}{}, not {}", one.key, one.fits, in_inches(&one.fits), one.says);
    match &found.explanations[..] {
        [] => format!("{times}, and no single figure in common use explains it"),
        [only] => format!("{times}, as by {}", told(only)),
        several => format!("{times}, as by {}", several.iter().map(told).collect::<Vec<_>>().join("; or ")),
    }
}

/// ` (1/8 in)` behind millimetres that are a plain fraction of an inch, and of a millimetre none.
fn in_inches(fits: &str) -> String {
    let Ok(length) = fits.parse::<Length>() else { return String::new() };
    let plain =
        |unit: LengthUnit, most: i128| length.value_in(unit).is_ok_and(|value| value.denominator() <= most);
    if fits.ends_with("mm") && plain(LengthUnit::Inch, 32) && !plain(LengthUnit::Millimetre, 4) {
        length
            .fraction_in(LengthUnit::Inch, 32)
            .map_or_else(|_| String::new(), |fraction| format!(" ({fraction})"))
    } else {
        String::new()
    }
}

/// To three digits.
pub(super) fn figure(value: f64) -> String {
    digits(value, 3)
}

/// To so many digits, without zeros at the end.
fn digits(value: f64, digits: i32) -> String {
    if value == 0.0 || !value.is_finite() {
        return "0".into();
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a number of decimals, 0 to 12"
    )]
    let decimals = (f64::from(digits - 1) - value.abs().log10().floor()).clamp(0.0, 12.0) as usize;
    let text = format!("{value:.decimals$}");
    let text = if decimals > 0 { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    text.replace('-', "\u{2212}")
}

impl Figure {
    /// Returns the figure with two standard uncertainties, which hold it 95 times of a hundred.
    pub fn with_uncertainty(&self) -> String {
        format!("{} ± {}", figure(self.value), figure(2.0 * self.uncertainty))
    }
}
