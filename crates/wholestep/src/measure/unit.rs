//! Units, and how many millimetres or degrees each is.

use core::fmt;

use super::parse;
use crate::error::{Error, Quoted, QuotedUnit, Result, Value};
use crate::exact::Exact;

/// What the units of one measure have in common.
pub trait Unit: Copy + PartialEq + fmt::Debug + fmt::Display + 'static {
    /// The unit in which the measure is held: the millimetre, the degree.
    const BASE: Self;
    /// Every unit, in the order in which they are documented.
    const ALL: &'static [Self];

    /// How many base units one of this unit is.
    fn in_base(self) -> Exact;

    /// The symbol written behind a number.
    fn symbol(self) -> &'static str;

    /// The ways the unit is written, its symbol first. Capitals and small letters are not told
    /// apart.
    fn spellings(self) -> &'static [&'static str];

    /// The smaller units that may follow it within one measure, the way inches follow feet.
    fn parts(self) -> &'static [Self];

    /// Every unit in a sentence, as an error lists them.
    const LISTED: &'static str;

    /// Quotes a measure of `base` base units in this unit, for an error.
    fn quoted(self, base: Exact) -> Value {
        self.quoted_rate(base, 0)
    }

    /// Quotes a rate of `base` base units per second to the power `order` in this unit, for an error.
    fn quoted_rate(self, base: Exact, order: u32) -> Value {
        Value::Measure(Quoted { base, unit: self.to_quoted(), order })
    }

    /// The unit as an error quotes it.
    fn to_quoted(self) -> QuotedUnit {
        QuotedUnit { symbol: self.symbol(), in_base: self.in_base(), base_symbol: Self::BASE.symbol() }
    }

    /// Reads a unit by any of its spellings, white space around it ignored.
    ///
    /// # Errors
    /// [`ErrorKind::Unit`](crate::ErrorKind::Unit) when it is unknown, ambiguous or measures
    /// something else.
    ///
    /// ```
    /// use wholestep::{LengthUnit, measure::Unit};
    /// assert_eq!(LengthUnit::read("inches")?, LengthUnit::Inch);
    /// assert!(LengthUnit::read("mil").is_err());
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    fn read(text: &str) -> Result<Self> {
        parse::unit(text)
    }
}

impl Error {
    /// Shows its measures of the sort of `unit` in it, for a person who did not write them in the unit of
    /// the axis.
    ///
    /// ```
    /// use wholestep::{Error, ErrorKind, Exact, Length, LengthUnit, Measure};
    /// let gauge = Length::new(Exact::new(-127, 20)?, LengthUnit::Millimetre)?;
    /// let error = Error::new(ErrorKind::OutOfRange, "gauge").given(gauge.quoted(LengthUnit::Millimetre));
    /// assert_eq!(error.told_in(LengthUnit::Inch).to_string(), "gauge -0.25 in");
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    #[must_use]
    pub fn told_in<U: Unit>(self, unit: U) -> Self {
        self.quoted_in(unit.to_quoted())
    }
}

macro_rules! units {
    ($(#[$meta:meta])* $name:ident, $listed:literal, base $base:ident {
        $($(#[$doc:meta])* $unit:ident $n:literal / $d:literal, [$symbol:literal $(, $spelling:literal)*] $($part:ident)*;)*
    }) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        #[non_exhaustive]
        pub enum $name { $($(#[$doc])* $unit,)* }

        impl Unit for $name {
            const BASE: Self = Self::$base;
            const ALL: &'static [Self] = &[$(Self::$unit,)*];
            const LISTED: &'static str = $listed;

            fn in_base(self) -> Exact {
                match self { $(Self::$unit => const { Exact::reduced($n, $d) },)* }
            }

            fn symbol(self) -> &'static str {
                match self { $(Self::$unit => $symbol,)* }
            }

            fn spellings(self) -> &'static [&'static str] {
                match self { $(Self::$unit => &[$symbol $(, $spelling)*],)* }
            }

            fn parts(self) -> &'static [Self] {
                match self { $(Self::$unit => &[$(Self::$part),*],)* }
            }
        }

        impl fmt::Display for $name {
            /// The unit's symbol.
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(self.symbol())
            }
        }

        impl core::str::FromStr for $name {
            type Err = Error;

            /// As [`Unit::read`].
            fn from_str(text: &str) -> Result<Self> {
                Self::read(text)
            }
        }
    };
}

units! {
    /// A unit of length. 1 in = 25.4 mm exactly (1959 yard and pound agreement; second-hand, recomputed).
    LengthUnit, "give a length in mm, cm, m, µm, in, ft, yd or thou", base Millimetre {
        /// mm
        Millimetre 1 / 1, ["mm", "millimetre", "millimetres", "millimeter", "millimeters"];
        /// cm
        Centimetre 10 / 1, ["cm", "centimetre", "centimetres", "centimeter", "centimeters"];
        /// m
        Metre 1_000 / 1, ["m", "metre", "metres", "meter", "meters"];
        /// µm
        Micrometre 1 / 1_000,
            ["µm", "μm", "um", "micrometre", "micrometres", "micrometer", "micrometers", "micron", "microns"];
        /// in
        Inch 127 / 5, ["in", "in.", "inch", "inches", "\"", "″", "”", "''", "′′", "’’"];
        /// ft, twelve inches
        Foot 1_524 / 5, ["ft", "ft.", "foot", "feet", "'", "′", "’"] Inch;
        /// yd, three feet
        Yard 4_572 / 5, ["yd", "yd.", "yard", "yards"];
        /// thou, a thousandth of an inch
        Thou 127 / 5_000, ["thou", "thous"];
    }
}

units! {
    /// A unit of plane angle.
    AngleUnit, "give an angle in deg, arcmin, arcsec or turn", base Degree {
        /// deg
        Degree 1 / 1, ["deg", "degree", "degrees", "°", "º", "˚"] ArcMinute ArcSecond;
        /// arcmin, a sixtieth of a degree
        ArcMinute 1 / 60, ["arcmin", "arcminute", "arcminutes", "'", "′", "’"] ArcSecond;
        /// arcsec, a sixtieth of an arc minute
        ArcSecond 1 / 3_600, ["arcsec", "arcsecond", "arcseconds", "\"", "″", "”", "''", "′′", "’’"];
        /// turn, 360 degrees
        Turn 360 / 1, ["turn", "turns", "rev", "revs"];
    }
}
