//! Step modes: into how many steps the driver divides one full step of the motor.

use core::fmt;
use core::str::FromStr;

use crate::bounds::STEPS_PER_TURN_MAX;
use crate::error::{Error, Result, Value, messages};

/// Into how many steps the driver divides one full step of the motor: 1 (full), 2 (half), 4, … 256,
/// or any other whole number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct StepMode(u32);

impl StepMode {
    /// Full steps.
    pub const FULL: Self = Self(1);
    /// Half steps.
    pub const HALF: Self = Self(2);

    /// The modes that drivers commonly offer: full to 1/256 by powers of two.
    pub const USUAL: [Self; 9] =
        [Self(1), Self(2), Self(4), Self(8), Self(16), Self(32), Self(64), Self(128), Self(256)];

    /// `division` steps to a full step.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for 0 and above 65,536.
    pub fn new(division: u32) -> Result<Self> {
        const MAX: u32 = 1 << 16;
        if division == 0 || division > MAX {
            return Err(messages::STEP_MODE
                .error()
                .given(Value::Integer(division.into()))
                .between(Value::Integer(1), Value::Integer(MAX.into())));
        }
        const { assert!(STEPS_PER_TURN_MAX >= MAX as i128) };
        Ok(Self(division))
    }

    /// Reads `full`, `half`, `1/16` or `16`.
    ///
    /// # Errors
    /// [`ErrorKind::Syntax`](crate::ErrorKind::Syntax) for anything else, [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) as [`new`](Self::new).
    pub fn read(text: &str) -> Result<Self> {
        let trimmed = text.trim();
        let number = trimmed.strip_prefix("1/").unwrap_or(trimmed);
        match trimmed {
            "full" => Ok(Self::FULL),
            "half" => Ok(Self::HALF),
            _ if number.bytes().all(|byte| byte.is_ascii_digit()) && !number.is_empty() => {
                Self::new(number.parse().unwrap_or(u32::MAX))
            }
            _ => Err(messages::STEP_MODE_TEXT
                .error()
                .given(Value::text(text))
                .spelling("`full`, `half`, `1/16` or `16`")),
        }
    }

    /// Returns how many steps make one full step.
    pub const fn division(self) -> u32 {
        self.0
    }
}

impl fmt::Display for StepMode {
    /// `full`, `half`, or `1/16`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            1 => f.write_str("full"),
            2 => f.write_str("half"),
            division => write!(f, "1/{division}"),
        }
    }
}

impl FromStr for StepMode {
    type Err = Error;

    /// As [`StepMode::read`].
    fn from_str(text: &str) -> Result<Self> {
        Self::read(text)
    }
}

#[cfg(feature = "serde")]
impl<'de> serde::Deserialize<'de> for StepMode {
    /// From text, or from the number of steps to a full step.
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> core::result::Result<Self, D::Error> {
        let visitor = crate::measure::text_visitor::TextVisitor {
            subject: "step mode",
            unit: "",
            time: "",
            value: core::marker::PhantomData,
        };
        visitor.read(deserializer)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::error::ErrorKind;
    use std::string::ToString;

    #[test]
    fn every_spelling_is_read_and_printed_again() {
        let cases =
            [("full", 1), ("half", 2), ("1/16", 16), ("16", 16), (" 1/256 ", 256), ("1/1", 1), ("10", 10)];
        for (text, division) in cases {
            let mode = StepMode::read(text).unwrap();
            assert_eq!(mode.division(), division, "{text}");
            assert_eq!(StepMode::read(&mode.to_string()), Ok(mode), "{text}");
        }
    }

    #[test]
    fn other_spellings_are_refused() {
        let cases = [
            ("0", ErrorKind::OutOfRange),
            ("1/0", ErrorKind::OutOfRange),
            ("99999999999", ErrorKind::OutOfRange),
            ("65537", ErrorKind::OutOfRange),
            ("", ErrorKind::Syntax),
            ("1/", ErrorKind::Syntax),
            ("2/3", ErrorKind::Syntax),
            ("-4", ErrorKind::Syntax),
            ("quarter", ErrorKind::Syntax),
        ];
        for (text, kind) in cases {
            assert_eq!(StepMode::read(text).unwrap_err().kind(), kind, "{text}");
        }
    }
}
