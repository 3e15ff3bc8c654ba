//! How much flash and RAM an image takes, by the section headers of its ELF file.

/// RAM begins here on every Cortex-M (ARMv7-M and ARMv6-M reference manuals, the memory map; memory).
const RAM: u32 = 0x2000_0000;

/// `SHF_ALLOC` and `SHT_NOBITS` (System V ABI, sections; memory).
const OCCUPIES_MEMORY: u32 = 2;
const NO_BITS: u32 = 8;

/// Bytes.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Weight {
    pub(super) flash: u64,
    /// Statics alone, without the stack.
    pub(super) ram: u64,
}

/// Weighs a 32-bit little-endian image; nothing for any other file.
pub(super) fn weigh(image: &[u8]) -> Option<Weight> {
    if !image.starts_with(b"\x7fELF\x01\x01") {
        return None;
    }
    let word = |at: usize| Some(u32::from_le_bytes(image.get(at..at + 4)?.try_into().ok()?));
    let half = |at: usize| Some(usize::from(u16::from_le_bytes(image.get(at..at + 2)?.try_into().ok()?)));
    let (first, size, count) = (usize::try_from(word(0x20)?).ok()?, half(0x2e)?, half(0x30)?);
    let mut weight = Weight { flash: 0, ram: 0 };
    for header in (0..count).map(|number| first + number * size) {
        let (kind, flags, address, bytes) =
            (word(header + 4)?, word(header + 8)?, word(header + 12)?, word(header + 20)?);
        if flags & OCCUPIES_MEMORY == 0 {
            continue;
        }
        // Statics with a value at the start lie in RAM, and their values in flash.
        if kind != NO_BITS {
            weight.flash += u64::from(bytes);
        }
        if address >= RAM {
            weight.ram += u64::from(bytes);
        }
    }
    Some(weight)
}

#[cfg(test)]
mod tests {
    use super::{NO_BITS, OCCUPIES_MEMORY, Weight, weigh};

    #[test]
    fn sections_are_weighed_where_they_lie() {
        let mut image = b"\x7fELF\x01\x01".to_vec();
        image.resize(0x34, 0);
        image[0x20] = 0x34;
        image[0x2e] = 40;
        image[0x30] = 4;
        for (kind, flags, address, bytes) in [
            (1_u32, OCCUPIES_MEMORY, 0_u32, 1_000_u32),
            (1, OCCUPIES_MEMORY, 0x2000_0000, 20),
            (NO_BITS, OCCUPIES_MEMORY, 0x2000_0014, 300),
            (1, 0, 0, 70_000),
        ] {
            for word in [0, kind, flags, address, 0, bytes, 0, 0, 0, 0] {
                image.extend(word.to_le_bytes());
            }
        }
        assert_eq!(weigh(&image), Some(Weight { flash: 1_020, ram: 320 }));
        assert_eq!(weigh(&image[..100]), None);
        assert_eq!(weigh(b"\x7fELF\x02\x01"), None);
    }
}
