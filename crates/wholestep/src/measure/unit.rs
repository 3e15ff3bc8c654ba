//! Units, and how many millimetres or degrees each is.

use core::fmt;

use crate::exact::Exact;

/// What the units of one measure have in common.
pub trait Unit: Copy + PartialEq + fmt::Debug + 'static {
    /// The unit in which the measure is held: the millimetre, the degree.
    const BASE: Self;
    /// Every unit, in the order in which they are documented.
    const ALL: &'static [Self];

    /// How many base units one of this unit is.
    fn in_base(self) -> Exact;

    /// The symbol written behind a number.
    fn symbol(self) -> &'static str;
}

macro_rules! units {
    ($(#[$meta:meta])* $name:ident, base $base:ident { $($(#[$doc:meta])* $unit:ident $symbol:literal $n:literal / $d:literal,)* }) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        #[non_exhaustive]
        pub enum $name { $($(#[$doc])* $unit,)* }

        impl Unit for $name {
            const BASE: Self = Self::$base;
            const ALL: &'static [Self] = &[$(Self::$unit,)*];

            fn in_base(self) -> Exact {
                match self { $(Self::$unit => const { Exact::reduced($n, $d) },)* }
            }

            fn symbol(self) -> &'static str {
                match self { $(Self::$unit => $symbol,)* }
            }
        }
    };
}

units! {
    /// A unit of length. 1 in = 25.4 mm exactly (the 1959 yard and pound agreement).
    LengthUnit, base Millimetre {
        /// mm
        Millimetre "mm" 1 / 1,
        /// cm
        Centimetre "cm" 10 / 1,
        /// m
        Metre "m" 1_000 / 1,
        /// µm
        Micrometre "µm" 1 / 1_000,
        /// in
        Inch "in" 127 / 5,
        /// ft, twelve inches
        Foot "ft" 1_524 / 5,
        /// yd, three feet
        Yard "yd" 4_572 / 5,
        /// thou, a thousandth of an inch
        Thou "thou" 127 / 5_000,
    }
}

units! {
    /// A unit of plane angle.
    AngleUnit, base Degree {
        /// deg
        Degree "deg" 1 / 1,
        /// arcmin, a sixtieth of a degree
        ArcMinute "arcmin" 1 / 60,
        /// arcsec, a sixtieth of an arc minute
        ArcSecond "arcsec" 1 / 3_600,
        /// turn, 360 degrees
        Turn "turn" 360 / 1,
    }
}

/// Writes `value`, held in base units, in `unit` per second to the power `order`.
///
/// The exact decimal where it is short, otherwise the exact fraction: an error never rounds.
pub(crate) fn write_quantity<U: Unit>(
    f: &mut fmt::Formatter<'_>,
    value: Exact,
    unit: &U,
    order: u32,
) -> fmt::Result {
    match value.div(unit.in_base()) {
        Ok(value) => {
            write_exact(f, value)?;
            write!(f, " {}", unit.symbol())?;
        }
        // The value does not fit in this unit; in its own it is already there.
        Err(_) => write!(f, "{value} {}", U::BASE.symbol())?,
    }
    f.write_str(match order {
        0 => "",
        1 => "/s",
        2 => "/s²",
        _ => "/s³",
    })
}

/// Writes the exact decimal where it has at most twelve places, otherwise the fraction.
pub(crate) fn write_exact(f: &mut impl fmt::Write, value: Exact) -> fmt::Result {
    let (numerator, denominator) = (value.numerator(), value.denominator());
    let mut scale: i128 = 1;
    for places in 0..=12 {
        if scale % denominator == 0 {
            let Some(scaled) = numerator.checked_mul(scale / denominator) else { break };
            let sign = if scaled < 0 { "-" } else { "" };
            let (whole, part) =
                (scaled.unsigned_abs() / scale.unsigned_abs(), scaled.unsigned_abs() % scale.unsigned_abs());
            return if places == 0 {
                write!(f, "{sign}{whole}")
            } else {
                write!(f, "{sign}{whole}.{part:0places$}")
            };
        }
        scale *= 10;
    }
    write!(f, "{value}")
}
