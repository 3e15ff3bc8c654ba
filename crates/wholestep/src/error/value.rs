//! What an error quotes: words, numbers, and measures in a unit.

use core::fmt;

use super::excerpt::Excerpt;
use crate::exact::Exact;
use crate::exact::format::write_exact;

/// A value quoted in an error.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Value {
    /// A few words of text, as given.
    Text(Excerpt),
    /// A word of our own.
    Word(&'static str),
    /// A whole number.
    Integer(i128),
    /// A whole number of things, named in the plural.
    Count(i128, &'static str),
    /// A number without a unit.
    Exact(Exact),
    /// A measure, or a rate of one.
    Measure(Quoted),
    /// Which machine something belongs to, in hexadecimal.
    Fingerprint(u64),
}

impl Value {
    /// Quotes `text`, shortened if it is long.
    pub fn text(text: &str) -> Self {
        Self::Text(Excerpt::of(text))
    }

    /// Shows the same value in `unit`, if it is a measure of the same sort.
    pub(super) fn told_in(self, unit: QuotedUnit) -> Self {
        match self {
            Self::Measure(quoted) if quoted.unit.base_symbol == unit.base_symbol => {
                Self::Measure(Quoted { unit, ..quoted })
            }
            other => other,
        }
    }
}

impl fmt::Display for Value {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Text(text) => write!(f, "“{text}”"),
            Self::Word(word) => f.write_str(word),
            Self::Integer(value) => write!(f, "{value}"),
            Self::Count(value, things) => write!(f, "{value} {things}"),
            Self::Exact(value) => write!(f, "{value}"),
            Self::Measure(quoted) => quoted.fmt(f),
            Self::Fingerprint(bits) => write!(f, "{bits:016x}"),
        }
    }
}

/// A measure, or a rate of one, as an error quotes it: exact in its base unit, shown in a unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Quoted {
    /// The value in base units (millimetres, degrees), per second to the power `order`.
    pub base: Exact,
    /// The unit in which it is shown.
    pub unit: QuotedUnit,
    /// The power of a second that it is divided by: 0 for a measure, 1 for a speed.
    pub order: u32,
}

/// The unit in which a measure is quoted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct QuotedUnit {
    /// The symbol written behind the number.
    pub symbol: &'static str,
    /// How many base units one of it is.
    pub in_base: Exact,
    /// The symbol of the base unit: `mm` or `deg`.
    pub base_symbol: &'static str,
}

impl fmt::Display for Quoted {
    /// The exact decimal if it is short, otherwise the exact fraction: an error never rounds.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // A value that does not fit in this unit does in its base unit, in which it is held.
        let in_unit = self.base.checked_div(self.unit.in_base);
        let (value, symbol) =
            in_unit.map_or((self.base, self.unit.base_symbol), |value| (value, self.unit.symbol));
        write_exact(f, value)?;
        write!(f, " {symbol}{}", per_time(self.order))
    }
}

/// What is written behind the unit of a rate.
pub(crate) const fn per_time(order: u32) -> &'static str {
    match order {
        0 => "",
        1 => "/s",
        2 => "/s²",
        _ => "/s³",
    }
}
