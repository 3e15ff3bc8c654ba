//! Tooth counts in a file: one, or one for each pair of a train.

use alloc::vec::Vec;
use core::fmt;

use serde::de::{Deserialize, Deserializer, SeqAccess, Visitor};

/// Tooth counts: a whole number, or a list of them.
pub(super) struct Teeth(Vec<u32>);

impl Teeth {
    pub(super) fn into_counts(self) -> Vec<u32> {
        self.0
    }
}

impl<'de> Deserialize<'de> for Teeth {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(Counts)
    }
}

struct Counts;

impl<'de> Visitor<'de> for Counts {
    type Value = Teeth;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a whole number of teeth, or a list of them such as [20, 15]")
    }

    fn visit_i64<E: serde::de::Error>(self, count: i64) -> Result<Teeth, E> {
        let out_of_range = |_| E::invalid_value(serde::de::Unexpected::Signed(count), &self);
        u32::try_from(count).map(|count| Teeth([count].into())).map_err(out_of_range)
    }

    fn visit_seq<S: SeqAccess<'de>>(self, mut list: S) -> Result<Teeth, S::Error> {
        let mut counts = Vec::new();
        while let Some(count) = list.next_element()? {
            counts.push(count);
        }
        Ok(Teeth(counts))
    }
}
