//! Measures with serde: written as their exact text in the base unit, and read from text alone.

use core::marker::PhantomData;

use serde::de::{Deserialize, Deserializer};
use serde::ser::{Serialize, Serializer};

use super::quantity::{Angle, Length, Measure};
use super::rate::Rate;
use super::unit::Unit;
use crate::measure::text_visitor::TextVisitor;

macro_rules! as_text {
    ($($measure:ty),*) => { $(
        impl Serialize for $measure {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de> Deserialize<'de> for $measure {
            /// From text with its unit; a bare number is refused.
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let unit = <$measure as Measure>::Unit::BASE.symbol();
                let visitor = TextVisitor { subject: Self::NAME, unit, time: "", value: PhantomData };
                visitor.read(deserializer)
            }
        }
    )* };
}

as_text!(Length, Angle);

impl<M: Measure, const ORDER: u32> Serialize for Rate<M, ORDER> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de, M: Measure, const ORDER: u32> Deserialize<'de> for Rate<M, ORDER> {
    /// From text with its unit; a bare number is refused.
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let (unit, time) = (M::Unit::BASE.symbol(), Self::PER_TIME);
        let visitor = TextVisitor { subject: Self::NAME, unit, time, value: PhantomData };
        visitor.read(deserializer)
    }
}
