//! Figures of a machine with their units, each a number or a range: `"12 kg"`, `"0.10 to 0.20"`, `"8 to 12 N"`.

use std::borrow::Cow;
use std::marker::PhantomData;

use super::given::{FromToml, Given};
use super::location::Units;
use super::suggest::listed;
use crate::messages;
use wholestep::error::{Error, ErrorKind, Result, Value};
use wholestep::exact;
use wholestep::exact::{Enclosure, Exact};

/// What a figure measures.
pub(super) trait Quantity {
    /// What it is called.
    const NOUN: &'static str;
    /// How one is written.
    const EXAMPLE: &'static str;
    /// Each unit: its spellings, the first of which a message shows, and how many of the first unit it is.
    const UNITS: &'static [(&'static [&'static str], Exact)];
    /// The most, in the first unit.
    const MOST: i64;
    /// Whether there may be none of it.
    const MAY_BE_ZERO: bool = false;
    /// Whether there may be less than none.
    const MAY_BE_NEGATIVE: bool = false;
}

/// A figure as a file gives it: its bounds in the first unit of its quantity, and the unit it was written in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Figure<Q> {
    pub(super) bounds: Enclosure<Exact>,
    pub(super) unit: &'static str,
    quantity: PhantomData<Q>,
}

macro_rules! quantities {
    ($($name:ident $noun:literal, $example:literal, most $most:literal $(, zero $zero:literal)? $(, negative $negative:literal)?:
        $([$($spelling:literal),+] = $size:expr),+;)*) => { $(
        #[derive(Clone, Copy, Debug)]
        pub(super) enum $name {}

        impl Quantity for $name {
            const NOUN: &'static str = $noun;
            const EXAMPLE: &'static str = $example;
            const UNITS: &'static [(&'static [&'static str], Exact)] = &[$((&[$($spelling),+], $size)),+];
            const MOST: i64 = $most;
            $(const MAY_BE_ZERO: bool = $zero;)?
            $(const MAY_BE_NEGATIVE: bool = $negative;)?
        }
    )* };
}

// 1 lbf = 4.4482216152605 N and 1 lb = 0.45359237 kg (1959 international yard and pound agreement,
// second-hand); 1 kgf = 9.80665 N (3rd CGPM, 1901, memory). The inch is 25.4 mm.
quantities! {
    Mass "mass", "12 kg", most 10_000:
        ["kg"] = Exact::ONE, ["g"] = exact!(1 / 1_000), ["lb"] = exact!(45_359_237 / 100_000_000);
    Force "force", "10 N", most 100_000, zero true:
        ["N"] = Exact::ONE, ["kgf"] = exact!(980_665 / 100_000),
        ["lbf"] = exact!(44_482_216_152_605 / 10_000_000_000_000);
    SpringRate "spring rate", "0.3 N/mm", most 1_000_000, zero true:
        ["N/mm"] = Exact::ONE, ["N/m"] = exact!(1 / 1_000),
        ["lbf/in"] = exact!(8_896_443_230_521 / 50_800_000_000_000);
    Torque "torque", "0.9 N·m", most 10_000:
        ["N·m", "Nm", "N m"] = Exact::ONE, ["N·cm", "Ncm", "N cm"] = exact!(1 / 100),
        ["kgf·cm", "kgf cm"] = exact!(980_665 / 10_000_000),
        ["ozf·in", "ozf in", "oz·in", "oz-in", "oz in"] = exact!(1_129_848_290_276_167 / 160_000_000_000_000_000),
        ["lbf·in", "lbf in"] = exact!(1_129_848_290_276_167 / 10_000_000_000_000_000);
    Turning "speed of the motor", "300 rev/min", most 1_000_000, zero true: ["rev/min", "rpm"] = Exact::ONE;
    Inertia "inertia", "300 g·cm²", most 10_000_000:
        ["g·cm²", "g cm²", "gcm²", "g·cm2"] = Exact::ONE, ["kg·m²", "kg m²", "kg·m2"] = Exact::integer(10_000_000);
    Friction "friction", "0.10 to 0.20", most 1: [""] = Exact::ONE;
    Efficiency "efficiency", "0.35", most 1: [""] = Exact::ONE;
    Voltage "voltage", "24 V", most 1_000: ["V"] = Exact::ONE;
    Current "current", "2.8 A", most 100: ["A"] = Exact::ONE, ["mA"] = exact!(1 / 1_000);
    Inductance "inductance", "3.2 mH", most 10_000: ["mH"] = Exact::ONE, ["H"] = Exact::integer(1_000);
    Scatter "scatter", "5 µm", most 5_000, zero true:
        ["µm", "um", "μm"] = Exact::ONE, ["mm"] = Exact::integer(1_000), ["thou"] = exact!(127 / 5),
        ["in"] = Exact::integer(25_400);
    Part "part", "0.05 %", most 10, negative true: ["%"] = Exact::ONE;
    Resistance "resistance", "0.9 ohm", most 10_000, zero true: ["ohm", "Ω", "Ohm"] = Exact::ONE;
}

impl<Q: Quantity> Figure<Q> {
    /// Reads a number with its unit, or a range of two.
    fn read(text: &str) -> Result<Self> {
        let refuse = |kind| Error::new(kind, Q::NOUN).given(Value::text(text));
        let [from, to] = match text.split_once(" to ") {
            Some((from, to)) => [from, to],
            None => [text, text],
        };
        let (high, unit, size) =
            written::<Q>(to).ok_or_else(|| refuse(ErrorKind::Syntax).spelling(Q::EXAMPLE))?;
        let low = match (Exact::read(from.trim()), written::<Q>(from)) {
            (Ok(bare), None) => bare,
            (_, Some((low, same, _))) if same == unit => low,
            (_, Some(_)) => return Err(messages::TWO_UNITS.error().given(Value::text(text))),
            _ => return Err(refuse(ErrorKind::Syntax).spelling(Q::EXAMPLE)),
        };
        if low > high {
            return Err(messages::RANGE_UPSIDE_DOWN.error().given(Value::text(text)));
        }
        let too_low = if Q::MAY_BE_ZERO { low.signum() < 0 } else { low.signum() <= 0 };
        if too_low && !Q::MAY_BE_NEGATIVE {
            let least = if Q::MAY_BE_ZERO { "give 0 or more" } else { "give a number above 0" };
            return Err(refuse(ErrorKind::OutOfRange).remedy(least));
        }
        let bounds = Enclosure::new(low.checked_mul(size)?, high.checked_mul(size)?)?;
        if bounds.high().max(bounds.low().abs()) > Exact::integer(Q::MOST) {
            let quoted = |most: i128| match Q::UNITS[0].0[0] {
                "" => Value::Integer(most),
                unit => Value::Count(most, unit),
            };
            let (refused, most) = (refuse(ErrorKind::OutOfRange), i128::from(Q::MOST));
            return Err(if Q::MAY_BE_NEGATIVE {
                refused.between(quoted(-most), quoted(most))
            } else {
                refused.at_most(quoted(most))
            });
        }
        Ok(Self { bounds, unit, quantity: PhantomData })
    }
}

/// The number that is written, the unit behind it by its first spelling, and the size of that.
fn written<Q: Quantity>(text: &str) -> Option<(Exact, &'static str, Exact)> {
    let read = |spelling: &str| Exact::read(text.trim().strip_suffix(spelling)?.trim()).ok();
    Q::UNITS.iter().find_map(|(spellings, size)| {
        let number = spellings.iter().find_map(|spelling| read(spelling))?;
        Some((number, spellings[0], *size))
    })
}

impl<Q: Quantity> FromToml for Figure<Q> {
    fn value() -> Cow<'static, str> {
        let units: Vec<&str> = Q::UNITS.iter().map(|(spellings, _)| spellings[0]).collect();
        match units.as_slice() {
            [""] => format!("number in quotes, or a range, such as `\"{}\"`", Q::EXAMPLE),
            units => format!(
                "{} in {}, or a range, such as `\"{}\"`",
                Q::NOUN,
                listed(units.iter().copied()),
                Q::EXAMPLE
            ),
        }
        .into()
    }

    fn example(_: Units) -> String {
        format!("\"{}\"", Q::EXAMPLE)
    }

    fn from_toml(given: &Given<'_>) -> Result<Self> {
        Self::read(given.text::<Self>()?).map_err(|error| given.blame(error))
    }
}

/// A point of a motor's torque curve, as its maker draws it.
#[derive(Clone, Copy, Debug)]
pub(super) struct CurvePoint {
    pub(super) torque: Figure<Torque>,
    pub(super) speed: Figure<Turning>,
}

impl FromToml for CurvePoint {
    fn value() -> Cow<'static, str> {
        "torque at a speed of the motor, such as `\"0.5 N·m at 300 rev/min\"`".into()
    }

    fn example(_: Units) -> String {
        "\"0.5 N·m at 300 rev/min\"".into()
    }

    fn from_toml(given: &Given<'_>) -> Result<Self> {
        let text = given.text::<Self>()?;
        let read = || {
            let (torque, speed) = text.split_once(" at ").ok_or_else(|| {
                messages::CURVE_POINT.error().given(Value::text(text)).spelling("0.5 N·m at 300 rev/min")
            })?;
            Ok(Self { torque: Figure::read(torque)?, speed: Figure::read(speed)? })
        };
        read().map_err(|error: Error| given.blame(error))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told<Q: Quantity>(text: &str) -> String {
        match Figure::<Q>::read(text) {
            Ok(Figure { bounds, .. }) if bounds.is_exact() => bounds.low().to_string(),
            Ok(Figure { bounds, .. }) => format!("{} to {}", bounds.low(), bounds.high()),
            Err(error) => error.to_string(),
        }
    }

    #[test]
    fn figures_are_read_exactly_in_the_units_of_labels_and_scales() {
        for (read, told) in [
            (told::<Mass>("10 lb"), "45359237/10000000"),
            (told::<Force>("0.32 kgf"), "196133/62500"),
            (told::<Force>("8 to 12 N"), "8 to 12"),
            (told::<Force>("8 N to 12 N"), "8 to 12"),
            (told::<Friction>("0.10 to 0.20"), "1/10 to 1/5"),
            (told::<Torque>("130 N·cm"), "13/10"),
            (told::<Inertia>("0.00003 kg·m²"), "300"),
            (told::<SpringRate>("0 N/mm"), "0"),
        ] {
            assert_eq!(read, told);
        }
    }
}
