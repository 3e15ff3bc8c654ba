//! Reading and writing the designation of a thread.

use core::fmt;

use super::{Hand, Size, Thread, ThreadForm, sizes};
use crate::error::{Error, Result, Value, messages};
use crate::exact::Exact;
use crate::measure::{LengthUnit, Unit};

/// Words after an inch size. The longer stand before the shorter that begin alike.
const INCH_FORMS: [(&str, ThreadForm); 6] = [
    ("UNC", ThreadForm::UnifiedCoarse),
    ("UNF", ThreadForm::UnifiedFine),
    ("UNEF", ThreadForm::UnifiedExtraFine),
    ("UNS", ThreadForm::UnifiedSpecial),
    ("UN", ThreadForm::Unified),
    ("Acme", ThreadForm::Acme),
];

pub(super) fn read(text: &str) -> Result<Thread> {
    let mut scan = Scan { text, at: 0 };
    scan.skip_spaces();
    let thread = if scan.take("Tr") {
        metric(&mut scan, ThreadForm::Trapezoidal)
    } else if scan.take("M") {
        metric(&mut scan, ThreadForm::Metric)
    } else {
        inch(&mut scan)
    }?;
    let hand = scan.hand();
    scan.skip_spaces();
    if scan.rest().is_empty() {
        return Ok(Thread { hand, ..thread });
    }
    Err(scan.refuse(if scan.rest().contains("start") {
        "write the lead, and the pitch after it, as in Tr8x8(P2) or M16xPh3P1.5"
    } else {
        "leave out what follows, such as a tolerance class; LH makes a left-hand thread"
    }))
}

/// `8`, `8x1`, `8x8(P2)`, `8x8P2` or `16xPh3P1.5`, after `M` or `Tr`.
fn metric(scan: &mut Scan<'_>, form: ThreadForm) -> Result<Thread> {
    let size = Size::Millimetres(scan.number("write the diameter in millimetres, as in M8 or Tr12x3")?);
    if !(scan.take("x") || scan.take("×")) {
        return listed(scan, form, size);
    }
    let has_lead = scan.take("Ph");
    let lead = scan.number("write the pitch in millimetres, as in M8x1 or Tr12x3")?;
    let bracket = scan.take("(");
    if !scan.take("P") {
        return if bracket || has_lead {
            Err(scan.refuse("write the pitch after the lead, as in Tr8x8(P2) or M16xPh3P1.5"))
        } else {
            Thread::checked(form, size, lead, 1, Hand::Right)
        };
    }
    let pitch = scan.number("write the pitch after the lead, as in Tr8x8(P2)")?;
    if bracket && !scan.take(")") {
        return Err(scan.refuse("close the bracket, as in Tr8x8(P2)"));
    }
    Thread::checked(form, size, pitch, starts(lead, pitch)?, Hand::Right)
}

fn starts(lead: Exact, pitch: Exact) -> Result<u32> {
    let starts = lead.checked_div(pitch)?;
    let whole = starts.is_integer().then(|| u32::try_from(starts.numerator()).ok()).flatten();
    whole.ok_or_else(|| messages::LEAD_OF_THREAD.error().given(LengthUnit::Millimetre.quoted(lead)))
}

/// `1/2-10 Acme`, `3/8 UNC`, `#10-24 UNC` or `1/2-10 Acme, 2 starts`.
fn inch(scan: &mut Scan<'_>) -> Result<Thread> {
    const SIZE: &str = "write it like Tr12x3, M8, 1/2-10 Acme or 3/8-16 UNC";
    let size = if scan.take("#") {
        let number = scan.number(SIZE)?;
        let whole = u32::try_from(number.numerator()).ok().filter(|_| number.is_integer());
        Size::Numbered(whole.ok_or_else(|| scan.refuse(SIZE))?)
    } else {
        Size::Inches(scan.mixed(SIZE)?)
    };
    for mark in ["\"", "″", "”"] {
        scan.take(mark);
    }
    let threads = if scan.take("-") {
        Some(scan.mixed("write the threads per inch, as in 1/2-10 Acme")?)
    } else {
        None
    };
    let form = INCH_FORMS.into_iter().find(|(word, _)| scan.take(word)).map(|(_, form)| form);
    let form = form.ok_or_else(|| scan.refuse("name its form: Acme, UNC, UNF, UNEF, UN or UNS"))?;
    let single = match threads {
        None => listed(scan, form, size)?,
        Some(threads) => {
            let pitch = LengthUnit::Inch.in_base().checked_div(threads)?;
            agrees(scan, form, size, pitch)?;
            Thread::checked(form, size, pitch, 1, Hand::Right)?
        }
    };
    Thread::checked(form, size, single.pitch, scan.starts()?.unwrap_or(1), Hand::Right)
}

/// The thread of a designation without a pitch, which the list of its form has to give.
///
/// Never a trapezoidal one: most sizes have several pitches, and what is sold as Tr8 is not what is
/// listed.
fn listed(scan: &Scan<'_>, form: ThreadForm, size: Size) -> Result<Thread> {
    let list = sizes::list(form, size).filter(|_| form != ThreadForm::Trapezoidal);
    match list.and_then(|list| list.pitch_of(size)) {
        Some(pitch) => Thread::checked(form, size, pitch, 1, Hand::Right),
        None => Err(near(scan.refuse(STATE_PITCH), STATE_PITCH, form, size)),
    }
}

const STATE_PITCH: &str = "state its pitch, as in Tr12x3, M8x1 or 1/2-10 Acme";

/// Refuses other threads per inch with the name UNC than UNC has.
fn agrees(scan: &Scan<'_>, form: ThreadForm, size: Size, pitch: Exact) -> Result<()> {
    const SPECIAL: &str = "if its threads per inch are right, write UNS for UNC; a numbered size has its mark, as in #10-24 UNC";
    let list = sizes::list(form, size).filter(|_| form == ThreadForm::UnifiedCoarse);
    if list.is_none_or(|list| list.pitch_of(size) == Some(pitch)) {
        return Ok(());
    }
    let error = messages::SPECIAL_THREAD.error().given(Value::text(scan.text)).remedy(SPECIAL);
    Err(near(error, SPECIAL, form, size))
}

/// The error with the listed threads of this size, or of the sizes next to it.
#[cfg(feature = "alloc")]
fn near(error: Error, remedy: &str, form: ThreadForm, size: Size) -> Error {
    use alloc::string::{String, ToString};
    use alloc::vec::Vec;

    let Some(list) = sizes::list(form, size) else { return error };
    let rows = || list.sizes().map(|row| (row, row.0.diameter(), size.diameter()));
    let of_size = rows().filter(|(_, row, own)| row == own);
    let below = rows().filter(|(_, row, own)| matches!((row, own), (Ok(row), Ok(own)) if row < own)).last();
    let above = rows().find(|(_, row, own)| matches!((row, own), (Ok(row), Ok(own)) if row > own));
    let name = |(row, ..): ((Size, Exact), _, _)| {
        Thread { form, size: row.0, pitch: row.1, starts: 1, hand: Hand::Right }.to_string()
    };
    let mut names: Vec<String> = of_size.map(name).collect();
    if names.is_empty() {
        names = below.into_iter().chain(above).map(name).collect();
    }
    error.advice(alloc::format!("{remedy}; {} has {}", list.standard, names.join(", ")))
}

#[cfg(not(feature = "alloc"))]
fn near(error: Error, _: &str, _: ThreadForm, _: Size) -> Error {
    error
}

pub(super) fn write(thread: &Thread, f: &mut fmt::Formatter<'_>) -> fmt::Result {
    let Thread { form, size, pitch, starts, hand } = *thread;
    match size {
        Size::Millimetres(diameter) => {
            let letters = if form == ThreadForm::Trapezoidal { "Tr" } else { "M" };
            f.write_str(letters)?;
            write_decimal(diameter, f)?;
            f.write_str("x")?;
            let lead = pitch.checked_mul(Exact::integer(starts.into())).map_err(|_| fmt::Error)?;
            let trapezoidal = form == ThreadForm::Trapezoidal;
            if starts > 1 {
                f.write_str(if trapezoidal { "" } else { "Ph" })?;
                write_decimal(lead, f)?;
                f.write_str(if trapezoidal { "(P" } else { "P" })?;
            }
            write_decimal(pitch, f)?;
            f.write_str(if starts > 1 && trapezoidal { ")" } else { "" })?;
            return f.write_str(match hand {
                Hand::Right => "",
                Hand::Left if trapezoidal => "LH",
                Hand::Left => "-LH",
            });
        }
        Size::Inches(diameter) => write_mixed(diameter, f)?,
        Size::Numbered(number) => write!(f, "#{number}")?,
    }
    let threads = LengthUnit::Inch.in_base().checked_div(pitch).map_err(|_| fmt::Error)?;
    let word = INCH_FORMS.iter().find(|(_, named)| *named == form).map_or("", |(word, _)| word);
    f.write_str("-")?;
    write_mixed(threads, f)?;
    write!(f, " {word}")?;
    if starts > 1 {
        write!(f, ", {starts} starts")?;
    }
    f.write_str(if hand == Hand::Left { " LH" } else { "" })
}

/// As millimetres are written: `1.25`. They were read from a decimal, so that the digits end.
fn write_decimal(value: Exact, f: &mut fmt::Formatter<'_>) -> fmt::Result {
    let (mut rest, denominator) = (value.numerator(), value.denominator());
    write!(f, "{}", rest / denominator)?;
    let mut point = ".";
    for _ in 0..18 {
        rest = rest % denominator * 10;
        if rest == 0 {
            break;
        }
        write!(f, "{point}{}", rest / denominator)?;
        point = "";
    }
    Ok(())
}

/// As inches are written: `5/8`, `1-1/4`, `13`.
fn write_mixed(value: Exact, f: &mut fmt::Formatter<'_>) -> fmt::Result {
    let (numerator, denominator) = (value.numerator(), value.denominator());
    let (whole, part) = (numerator / denominator, numerator % denominator);
    match (whole, part) {
        (whole, 0) => write!(f, "{whole}"),
        (0, part) => write!(f, "{part}/{denominator}"),
        (whole, part) => write!(f, "{whole}-{part}/{denominator}"),
    }
}

/// A place in a designation.
#[derive(Clone, Copy)]
struct Scan<'t> {
    text: &'t str,
    at: usize,
}

impl<'t> Scan<'t> {
    fn rest(&self) -> &'t str {
        self.text.get(self.at..).unwrap_or_default()
    }

    fn skip_spaces(&mut self) {
        self.at = self.text.len() - self.rest().trim_start().len();
    }

    /// Takes `word` after any spaces, with large or small letters; `false` if something else stands
    /// there.
    fn take(&mut self, word: &str) -> bool {
        let mut scan = *self;
        scan.skip_spaces();
        let found = scan.rest().get(..word.len()).is_some_and(|found| found.eq_ignore_ascii_case(word));
        if found {
            self.at = scan.at + word.len();
        }
        found
    }

    /// A whole number or a decimal, with a point or a comma, above 0.
    fn number(&mut self, otherwise: &'static str) -> Result<Exact> {
        self.skip_spaces();
        let start = *self;
        let whole = self.digits();
        let mut scan = *self;
        let part = if scan.take_next(&['.', ',']) { scan.digits() } else { "" };
        if !part.is_empty() {
            *self = scan;
        }
        // Eighteen digits fit.
        if whole.is_empty() || whole.len() + part.len() > 18 {
            return Err(start.refuse(otherwise));
        }
        let digits = |text: &str| text.bytes().fold(0_i128, |sum, digit| 10 * sum + i128::from(digit - b'0'));
        let scale = part.bytes().fold(1_i128, |scale, _| 10 * scale);
        let number = Exact::new(digits(whole) * scale + digits(part), scale)?;
        if number.signum() == 0 {
            return Err(start.refuse("give a number above 0"));
        }
        Ok(number)
    }

    /// A number, or a fraction.
    fn fraction(&mut self, otherwise: &'static str) -> Result<Exact> {
        let number = self.number(otherwise)?;
        if self.take("/") { Ok(number.checked_div(self.number(otherwise)?)?) } else { Ok(number) }
    }

    /// A number, a fraction, or a whole number with a fraction after a hyphen or a space.
    fn mixed(&mut self, otherwise: &'static str) -> Result<Exact> {
        let first = self.fraction(otherwise)?;
        let mut scan = *self;
        scan.take("-");
        match scan.fraction(otherwise) {
            Ok(part) if first.is_integer() && !part.is_integer() && part < Exact::ONE => {
                *self = scan;
                Ok(first.checked_add(part)?)
            }
            _ => Ok(first),
        }
    }

    /// `, 2 starts` or `2-start`.
    fn starts(&mut self) -> Result<Option<u32>> {
        let mut scan = *self;
        scan.take(",");
        scan.skip_spaces();
        if !scan.rest().starts_with(|next: char| next.is_ascii_digit()) {
            return Ok(None);
        }
        let number = scan.number("")?;
        scan.take("-");
        if !(scan.take("starts") || scan.take("start")) {
            return Ok(None);
        }
        let starts = u32::try_from(number.numerator()).ok().filter(|_| number.is_integer());
        let starts = starts.ok_or_else(|| self.refuse("give a whole number of starts"))?;
        *self = scan;
        Ok(Some(starts))
    }

    /// `LH`, or `RH` or nothing.
    fn hand(&mut self) -> Hand {
        let mut scan = *self;
        scan.take("-");
        let hand = if scan.take("LH") {
            Hand::Left
        } else if scan.take("RH") {
            Hand::Right
        } else {
            return Hand::Right;
        };
        *self = scan;
        hand
    }

    fn digits(&mut self) -> &'t str {
        let rest = self.rest();
        let end = rest.find(|next: char| !next.is_ascii_digit()).unwrap_or(rest.len());
        self.at += end;
        rest.get(..end).unwrap_or_default()
    }

    fn take_next(&mut self, any: &[char]) -> bool {
        let found = self.rest().starts_with(any);
        self.at += usize::from(found);
        found
    }

    fn refuse(&self, remedy: &'static str) -> Error {
        messages::THREAD_TEXT.error().in_text(self.text, self.at).remedy(remedy)
    }
}
