//! Screw threads by the designation that their makers and standards write.

mod designation;
mod sizes;

use core::fmt;
use core::str::FromStr;

use crate::error::{Error, Result, Value, messages};
use crate::exact::Exact;
use crate::measure::{Length, LengthUnit, Measure, Unit};

/// The most starts a thread may have.
pub(super) const STARTS_MAX: u32 = 100;

/// A screw thread, read from its designation.
///
/// | designation | read as |
/// |---|---|
/// | `M8` | metric, of the coarse pitch of its size |
/// | `M8x1`, `M16xPh3P1.5` | metric by its pitch; with several starts by its lead and pitch |
/// | `Tr12x3`, `Tr8x8(P2)` | trapezoidal by its pitch; with several starts by its lead and pitch |
/// | `3/8-16 UNC`, `#10-24 UNC`, `3/8 UNC` | inch by its threads per inch; UNC may leave them out |
/// | `1/4-28 UNF`, `UNEF`, `UN`, `UNS` | inch by its threads per inch |
/// | `1/2-10 Acme`, `1/2 Acme`, `1/2-10 Acme, 2 starts` | Acme; `1/2 Acme` has the preferred pitch of its size |
///
/// `LH` at the end makes a left-hand thread. A pitch that is stated is taken as stated, whether a
/// standard lists it or not: `Tr8x2` and `1/2-8 Acme` are sold although neither is listed, and
/// [`standard`](Self::standard) tells them apart. Two things are refused: `UNC` with other threads per
/// inch than UNC has, because the two contradict each other; and a pitch of more than half the
/// diameter, which is a lead: `Tr8x8` is written `Tr8x8(P2)`.
///
/// ```
/// use wholestep::Length;
/// use wholestep::mechanism::{Hand, Thread};
/// let thread: Thread = "Tr60x18(P9)LH".parse()?;
/// assert_eq!((thread.pitch(), thread.lead()?), ("9 mm".parse()?, "18 mm".parse()?));
/// assert_eq!((thread.starts(), thread.hand()), (2, Hand::Left));
/// assert_eq!("M8".parse::<Thread>()?.to_string(), "M8x1.25");
/// assert_eq!("1/2 Acme".parse::<Thread>()?.pitch(), "1/10 in".parse::<Length>()?);
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Thread {
    form: ThreadForm,
    size: Size,
    /// In millimetres.
    pitch: Exact,
    starts: u32,
    hand: Hand,
}

/// The form of a thread: its profile and series, as its designation names them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum ThreadForm {
    /// ISO metric, `M`.
    Metric,
    /// ISO metric trapezoidal, `Tr`.
    Trapezoidal,
    /// Unified coarse, `UNC`.
    UnifiedCoarse,
    /// Unified fine, `UNF`.
    UnifiedFine,
    /// Unified extra fine, `UNEF`.
    UnifiedExtraFine,
    /// Unified of constant pitch, `UN`.
    Unified,
    /// Unified special, `UNS`.
    UnifiedSpecial,
    /// General purpose Acme.
    Acme,
}

/// To which side a thread is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Hand {
    /// Turned clockwise, it goes away from whoever turns it.
    Right,
    /// Turned clockwise, it comes towards whoever turns it; `LH` in a designation.
    Left,
}

impl Hand {
    /// `right` or `left`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::Left => "left",
        }
    }
}

/// The nominal diameter, as the designation names it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Size {
    Millimetres(Exact),
    Inches(Exact),
    /// `#0` is 0.060 in, and each number 0.013 in more.
    Numbered(u32),
}

impl Size {
    /// In millimetres.
    fn diameter(self) -> Result<Exact> {
        let inches = match self {
            Self::Millimetres(diameter) => return Ok(diameter),
            Self::Inches(diameter) => diameter,
            Self::Numbered(number) => Exact::new(60 + 13 * i128::from(number), 1000)?,
        };
        Ok(inches.checked_mul(LengthUnit::Inch.in_base())?)
    }
}

impl Thread {
    /// Reads a designation; letters may be large or small, and spaces may stand between its parts.
    ///
    /// # Errors
    /// [`ErrorKind::Syntax`](crate::ErrorKind::Syntax) for what is no designation, or leaves out a pitch that no table gives;
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) for threads per inch that UNC does not have, a diameter above 1 m, a pitch
    /// of more than half the diameter, a lead that is no whole number of pitches, or more than 100 starts.
    pub fn read(text: &str) -> Result<Self> {
        designation::read(text)
    }

    /// Returns the form of the thread.
    pub const fn form(&self) -> ThreadForm {
        self.form
    }

    /// Returns the nominal diameter.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) if it is no length the library holds.
    pub fn diameter(&self) -> Result<Length> {
        Length::from_base(self.size.diameter()?)
    }

    /// From one ridge to the next, along the screw.
    pub fn pitch(&self) -> Length {
        // A thread is only made with a pitch of at most half its diameter, which is a length.
        Length::from_base(self.pitch).unwrap_or(Length::ZERO)
    }

    /// Returns how many ridges run side by side.
    pub const fn starts(&self) -> u32 {
        self.starts
    }

    /// Returns the travel of one turn: pitch × starts.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](crate::ErrorKind::OutOfRange) if it is no length the library holds.
    pub fn lead(&self) -> Result<Length> {
        Length::from_base(self.pitch.checked_mul(Exact::integer(self.starts.into()))?)
    }

    /// To which side it is cut.
    ///
    /// The hand does not turn an axis round. Which way a carriage goes depends as well on the wiring
    /// and on the end at which the motor sits, so it is tried, and `direction` of the axis sets it.
    pub const fn hand(&self) -> Hand {
        self.hand
    }

    /// Returns the standard whose list of sizes holds this diameter and pitch; `None` if no list here does.
    ///
    /// Lists: the coarse pitches of ISO 261, ISO 2904 to 60 mm, the UNC of ASME B1.1 and the preferred
    /// sizes of ASME B1.5. They were not copied from the standards themselves, but from where these are
    /// quoted (second-hand) and from what is commonly known of them (memory).
    ///
    /// ```
    /// # use wholestep::mechanism::Thread;
    /// assert_eq!("Tr12x3".parse::<Thread>()?.standard(), Some("ISO 2904"));
    /// assert_eq!("Tr8x2".parse::<Thread>()?.standard(), None);
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    pub fn standard(&self) -> Option<&'static str> {
        let list = sizes::list(self.form, self.size)?;
        let listed = list.sizes().any(|(size, pitch)| size == self.size && pitch == self.pitch);
        listed.then_some(list.standard)
    }

    /// A thread whose parts go together.
    fn checked(form: ThreadForm, size: Size, pitch: Exact, starts: u32, hand: Hand) -> Result<Self> {
        const DIAMETER_MAX: Exact = Exact::integer(1_000);
        let diameter = size.diameter()?;
        if diameter > DIAMETER_MAX {
            return Err(messages::DIAMETER_OF_THREAD
                .error()
                .given(size.unit().quoted(diameter))
                .at_most(size.unit().quoted(DIAMETER_MAX)));
        }
        if pitch.signum() <= 0 || pitch.checked_mul(Exact::integer(2))? > diameter {
            return Err(messages::PITCH_OF_THREAD
                .error()
                .given(size.unit().quoted(pitch))
                .at_most(size.unit().quoted(diameter.checked_div(Exact::integer(2))?)));
        }
        starts_in_range(starts)?;
        Ok(Self { form, size, pitch, starts, hand })
    }
}

impl Size {
    const fn unit(self) -> LengthUnit {
        match self {
            Self::Millimetres(_) => LengthUnit::Millimetre,
            Self::Inches(_) | Self::Numbered(_) => LengthUnit::Inch,
        }
    }
}

/// Refuses a number of starts that no thread has.
pub(super) fn starts_in_range(starts: u32) -> Result<Exact> {
    if !(1..=STARTS_MAX).contains(&starts) {
        return Err(messages::STARTS_OF_THREAD
            .error()
            .given(Value::Integer(starts.into()))
            .between(Value::Integer(1), Value::Integer(STARTS_MAX.into())));
    }
    Ok(Exact::integer(starts.into()))
}

impl fmt::Display for Thread {
    /// The designation with its pitch, which reads back as the same thread.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        designation::write(self, f)
    }
}

impl FromStr for Thread {
    type Err = Error;

    /// As [`Thread::read`].
    fn from_str(text: &str) -> Result<Self> {
        Self::read(text)
    }
}

#[cfg(feature = "serde")]
impl<'de> serde::Deserialize<'de> for Thread {
    /// From its designation.
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> core::result::Result<Self, D::Error> {
        let visitor = crate::measure::text_visitor::TextVisitor {
            subject: "thread",
            unit: "",
            time: "",
            value: core::marker::PhantomData,
        };
        visitor.read(deserializer)
    }
}
