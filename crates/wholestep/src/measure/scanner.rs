//! Reading numbers the way people write them.

use core::str::FromStr;

use crate::bounds::{DIGITS_MAX, EXPONENT_MAX};
use crate::error::{Error, ErrorKind, Result, Value, messages};
use crate::exact::Exact;

const NUMBER_EXAMPLE: &str = "3/8, 1-3/8 or 0.125";
const WHOLE_PARTS: &str = "make a fraction of two whole numbers, without a sign or a point";

impl Exact {
    /// Reads a number without a unit.
    ///
    /// | written | read as |
    /// |---|---|
    /// | `42`, `+42`, `-2`, `−2` (U+2212) | whole numbers; the sign touches the number |
    /// | `0.125`, `.125`, `1.25e-3` | decimals; an exponent is −18 to 18 |
    /// | `3/8`, `23⁄32` (U+2044), `⅜` | fractions |
    /// | `1-3/8`, `1 3/8`, `1⅜`, `1-⅜` | mixed numbers, the fraction less than 1; the sign counts for all of it |
    ///
    /// A number has at most 30 digits in each part, leading and trailing zeros not counted. White
    /// space around it is ignored.
    ///
    /// # Errors
    /// [`ErrorKind::Syntax`], [`ErrorKind::Unit`], [`ErrorKind::DivisionByZero`] or
    /// [`ErrorKind::OutOfRange`], each with the place in the text.
    ///
    /// ```
    /// use wholestep::Exact;
    /// assert_eq!(Exact::read("1-3/8")?, Exact::new(11, 8)?);
    /// assert_eq!(Exact::read("-0.125")?, Exact::new(-1, 8)?);
    /// let error = Exact::read("1,5").unwrap_err();
    /// assert_eq!(
    ///     error.to_string(),
    ///     "number “1,5”, at character 2: write it like 3/8, 1-3/8 or 0.125; \
    ///      write decimals behind a point, and thousands without a mark between them"
    /// );
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    pub fn read(text: &str) -> Result<Self> {
        let mut cursor = Cursor::new(text, "number", NUMBER_EXAMPLE);
        let negative = cursor.sign();
        let number = cursor.number()?.value;
        cursor.skip_spaces();
        let end = cursor.at();
        if !cursor.unit_word().is_empty() {
            return Err(cursor.error_at(end, ErrorKind::Unit, "leave the unit out; this is a plain number"));
        }
        cursor.end()?;
        Ok(if negative { -number } else { number })
    }
}

impl FromStr for Exact {
    type Err = Error;

    /// As [`Exact::read`].
    fn from_str(text: &str) -> Result<Self> {
        Self::read(text)
    }
}

/// An unsigned number as it was written.
pub(crate) struct Number {
    pub(crate) value: Exact,
    /// Whether it was written as a whole number: digits alone.
    pub(crate) whole: bool,
}

/// A place in the text that is being read.
pub(crate) struct Cursor<'t> {
    /// All of the text; what is read of it ends before the white space at its end.
    text: &'t str,
    end: usize,
    at: usize,
    subject: &'static str,
    example: &'static str,
}

impl<'t> Cursor<'t> {
    /// Begins at the first place that is not white space.
    pub(crate) fn new(text: &'t str, subject: &'static str, example: &'static str) -> Self {
        let end = text.trim_end().len();
        let at = end - text[..end].trim_start().len();
        Self { text, end, at, subject, example }
    }

    /// The place, in bytes from the start.
    pub(crate) const fn at(&self) -> usize {
        self.at
    }

    pub(crate) fn is_at_end(&self) -> bool {
        self.at == self.end
    }

    fn rest(&self) -> &'t str {
        &self.text[self.at..self.end]
    }

    pub(crate) fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    /// Steps over the next character if it is wanted.
    pub(crate) fn take(&mut self, wanted: impl Fn(char) -> bool) -> bool {
        let next = self.peek().filter(|next| wanted(*next));
        self.at += next.map_or(0, char::len_utf8);
        next.is_some()
    }

    /// Steps over as many wanted characters as follow.
    pub(crate) fn run(&mut self, wanted: impl Fn(char) -> bool) -> &'t str {
        let rest = self.rest();
        let length = rest.find(|next| !wanted(next)).unwrap_or(rest.len());
        self.at += length;
        &rest[..length]
    }

    pub(crate) fn skip_spaces(&mut self) {
        // A tab or a line break parts cells and lines, and with them numbers.
        self.run(|next| next.is_whitespace() && !next.is_control());
    }

    /// An error at `at`, quoting the text and showing how it is written.
    pub(crate) fn error_at(&self, at: usize, kind: ErrorKind, remedy: &'static str) -> Error {
        let refused = match kind {
            ErrorKind::MissingUnit => &messages::MISSING_UNIT,
            ErrorKind::Unit => &messages::UNIT,
            ErrorKind::DivisionByZero => &messages::TEXT_DIVISION_BY_ZERO,
            ErrorKind::OutOfRange => &messages::TEXT_OUT_OF_RANGE,
            _ => &messages::SYNTAX,
        };
        refused.error().of(self.subject).in_text(self.text, at).spelling(self.example).remedy(remedy)
    }

    /// An error at the present place.
    pub(crate) fn error(&self, kind: ErrorKind, remedy: &'static str) -> Error {
        self.error_at(self.at, kind, remedy)
    }

    /// A value at `at` that is larger or finer than the numbers hold.
    pub(crate) fn out_of_range(&self, at: usize) -> Error {
        self.error_at(
            at,
            ErrorKind::OutOfRange,
            "give a number with fewer places; this one is larger or finer than the range holds",
        )
    }

    /// Refuses whatever is left.
    pub(crate) fn end(&self) -> Result<()> {
        let remedy = match self.peek() {
            None => return Ok(()),
            Some('.') => "write one point at most",
            Some(',' | '_') => "write decimals behind a point, and thousands without a mark between them",
            Some('+' | '-' | '−') => "write the sign once, right before the number",
            Some('/') => "write one fraction, made of two whole numbers",
            Some(next) if starts_number(next) => {
                "write digits without gaps, and a mixed number with its fraction"
            }
            Some(_) => "take out this character",
        };
        Err(self.error(ErrorKind::Syntax, remedy))
    }

    /// Steps over a sign; whether it was a minus.
    pub(crate) fn sign(&mut self) -> bool {
        !self.take(|next| next == '+') && self.take(|next| matches!(next, '-' | '−'))
    }

    /// Steps over a unit: a word, a degree sign, or primes and what people type for them.
    pub(crate) fn unit_word(&mut self) -> &'t str {
        const MARKS: [char; 6] = ['\'', '"', '′', '″', '’', '”'];
        let start = self.at;
        if self.take(|next| matches!(next, '°' | '˚')) {
            return &self.text[start..self.at];
        }
        if self.peek().is_some_and(char::is_alphabetic) {
            return self.run(|next| next.is_alphabetic() || next == '.');
        }
        self.run(|next| MARKS.contains(&next))
    }

    /// Whether a number begins here.
    pub(crate) fn is_at_number(&self) -> bool {
        self.peek().is_some_and(starts_number)
    }

    /// Reads an unsigned number.
    pub(crate) fn number(&mut self) -> Result<Number> {
        let start = self.at;
        if !self.is_at_number() {
            return Err(self.error(ErrorKind::Syntax, "write a number here"));
        }
        if let Some(value) = self.fraction_sign() {
            return Ok(Number { value, whole: false });
        }
        let Number { value, whole } = self.decimal()?;
        if !whole {
            let mark = self.at;
            let joined = self.take(is_hyphen) && self.is_at_number();
            self.at = mark;
            if joined || self.peek().is_some_and(|next| is_slash(next) || fraction_of(next).is_some()) {
                return Err(self.error(ErrorKind::Syntax, WHOLE_PARTS));
            }
            return Ok(Number { value, whole });
        }
        if self.take(is_slash) {
            return Ok(Number { value: self.over(value, start)?, whole: false });
        }
        let Some((fraction, at)) = self.mixed_part()? else { return Ok(Number { value, whole }) };
        if fraction >= Exact::ONE {
            return Err(self.error_at(
                at,
                ErrorKind::OutOfRange,
                "make the fraction behind a whole number less than 1",
            ));
        }
        let value = value.checked_add(fraction).map_err(|_| self.out_of_range(start))?;
        Ok(Number { value, whole: false })
    }

    /// Reads the fraction of a mixed number and where it begins, or stays in place where none
    /// follows.
    fn mixed_part(&mut self) -> Result<Option<(Exact, usize)>> {
        let mark = self.at;
        let joined = self.take(is_hyphen);
        if !joined {
            self.skip_spaces();
        }
        let start = self.at;
        if let Some(value) = self.fraction_sign() {
            return Ok(Some((value, start)));
        }
        let digits = self.run(is_digit);
        if !digits.is_empty() && self.take(is_slash) {
            let numerator = self.scaled(digits, "", 0, start)?;
            return Ok(Some((self.over(numerator, start)?, start)));
        }
        if !joined {
            self.at = mark;
            return Ok(None);
        }
        let remedy =
            if self.peek() == Some('.') { WHOLE_PARTS } else { "write a fraction behind the hyphen" };
        Err(self.error(ErrorKind::Syntax, remedy))
    }

    /// Reads a denominator behind the slash.
    fn over(&mut self, numerator: Exact, start: usize) -> Result<Exact> {
        let at = self.at;
        let digits = self.run(is_digit);
        if digits.is_empty() || self.peek() == Some('.') {
            return Err(self.error(ErrorKind::Syntax, WHOLE_PARTS));
        }
        let denominator = self.scaled(digits, "", 0, at)?;
        if denominator == Exact::ZERO {
            return Err(self.error_at(at, ErrorKind::DivisionByZero, "write a denominator other than 0"));
        }
        numerator.checked_div(denominator).map_err(|_| self.out_of_range(start))
    }

    fn fraction_sign(&mut self) -> Option<Exact> {
        let sign = self.peek()?;
        let (numerator, denominator) = fraction_of(sign)?;
        self.at += sign.len_utf8();
        Some(Exact::reduced(numerator, denominator))
    }

    fn decimal(&mut self) -> Result<Number> {
        let start = self.at;
        let whole = self.run(is_digit);
        let point = self.take(|next| next == '.');
        let part = if point { self.run(is_digit) } else { "" };
        if point && part.is_empty() {
            return Err(self.error(ErrorKind::Syntax, "write digits behind the point"));
        }
        let exponent = self.exponent()?;
        let value = self.scaled(whole, part, exponent.unwrap_or(0), start)?;
        Ok(Number { value, whole: !point && exponent.is_none() })
    }

    fn exponent(&mut self) -> Result<Option<i64>> {
        let mark = self.at;
        if !self.take(|next| matches!(next, 'e' | 'E')) {
            return Ok(None);
        }
        let at = self.at;
        let negative = self.sign();
        let digits = self.run(is_digit);
        if digits.is_empty() {
            self.at = mark;
            return Ok(None);
        }
        match digits.parse::<i64>() {
            Ok(exponent) if exponent <= EXPONENT_MAX => Ok(Some(if negative { -exponent } else { exponent })),
            _ => Err(messages::EXPONENT
                .error()
                .of(self.subject)
                .in_text(self.text, at)
                .between(Value::Integer((-EXPONENT_MAX).into()), Value::Integer(EXPONENT_MAX.into()))),
        }
    }

    /// The number of the digits `whole` and, behind the point, `part`, times ten to `exponent`.
    fn scaled(&self, whole: &str, part: &str, exponent: i64, at: usize) -> Result<Exact> {
        let mut mantissa: i128 = 0;
        // Zeros count only once a digit follows them, so that those at either end are free.
        let (mut digits, mut zeros) = (0, 0);
        for digit in whole.bytes().chain(part.bytes()).map(|byte| i128::from(byte - b'0')) {
            if digit == 0 {
                zeros += usize::from(mantissa != 0);
                continue;
            }
            digits += zeros + 1;
            if digits > DIGITS_MAX as usize {
                return Err(messages::DIGITS
                    .error()
                    .of(self.subject)
                    .in_text(self.text, at)
                    .at_most(Value::Count(DIGITS_MAX.into(), "digits")));
            }
            for _ in 0..=zeros {
                mantissa *= 10;
            }
            mantissa += digit;
            zeros = 0;
        }
        if mantissa == 0 {
            return Ok(Exact::ZERO);
        }
        let places = |count: usize| i64::try_from(count).ok();
        let power = || places(zeros)?.checked_sub(places(part.len())?)?.checked_add(exponent);
        let scaled = || {
            let power = power()?;
            let scale = 10_i128.checked_pow(u32::try_from(power.unsigned_abs()).ok()?)?;
            if power < 0 {
                Exact::new(mantissa, scale).ok()
            } else {
                Exact::new(mantissa.checked_mul(scale)?, 1).ok()
            }
        };
        scaled().ok_or_else(|| self.out_of_range(at))
    }
}

const fn is_digit(next: char) -> bool {
    next.is_ascii_digit()
}

/// The hyphen of a mixed number, as keyboards and typesetters have it.
pub(crate) const fn is_hyphen(next: char) -> bool {
    matches!(next, '-' | '\u{2010}' | '\u{2011}' | '\u{2013}')
}

/// A solidus, the fraction slash, or the division slash.
const fn is_slash(next: char) -> bool {
    matches!(next, '/' | '\u{2044}' | '\u{2215}')
}

fn starts_number(next: char) -> bool {
    is_digit(next) || next == '.' || fraction_of(next).is_some()
}

/// The fractions that have a character of their own.
const fn fraction_of(sign: char) -> Option<(i128, i128)> {
    Some(match sign {
        '½' => (1, 2),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅐' => (1, 7),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        '⅑' => (1, 9),
        '⅒' => (1, 10),
        _ => return None,
    })
}
