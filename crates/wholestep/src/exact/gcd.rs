//! The greatest common divisor, also of constants.

use super::U256;

/// Returns the greatest common divisor of two magnitudes; of 0 and a number, that number.
///
/// By the binary method of Stein (1967; memory), which needs no division. num-integer's is not const.
pub(super) const fn gcd(a: u128, b: u128) -> u128 {
    if (a | b) >> 64 == 0 {
        return short(a, b);
    }
    if a == 0 || b == 0 {
        return a | b;
    }
    let twos = (a | b).trailing_zeros();
    let (mut a, mut b) = (a >> a.trailing_zeros(), b);
    while b != 0 {
        b >>= b.trailing_zeros();
        if a > b {
            (a, b) = (b, a);
        }
        b -= a;
        // What has become short goes on short.
        if (a | b) >> 64 == 0 {
            return short(a, b) << twos;
        }
    }
    a << twos
}

/// The same of numbers of 256 bits.
pub(crate) const fn gcd_256(a: U256, b: U256) -> U256 {
    if a.high | b.high == 0 {
        return U256::new(gcd(a.low, b.low));
    }
    if a.is_zero() || b.is_zero() {
        return a.or(b);
    }
    let twos = a.or(b).trailing_zeros();
    let (mut a, mut b) = (a.shr(a.trailing_zeros()), b);
    while !b.is_zero() {
        b = b.shr(b.trailing_zeros());
        if a.exceeds(b) {
            (a, b) = (b, a);
        }
        b = b.overflowing_sub(a).0;
        // What has become short goes on short.
        if a.high | b.high == 0 {
            return U256::new(gcd(a.low, b.low)).shl(twos);
        }
    }
    a.shl(twos)
}

/// The same of numbers that fit 64 bits, in which it takes half as long.
#[expect(clippy::cast_possible_truncation, reason = "the caller has checked that both fit")]
const fn short(a: u128, b: u128) -> u128 {
    let (a, b) = (a as u64, b as u64);
    if a == 0 || b == 0 {
        return (a | b) as u128;
    }
    let twos = (a | b).trailing_zeros();
    let (mut a, mut b) = (a >> a.trailing_zeros(), b);
    while b != 0 {
        b >>= b.trailing_zeros();
        if a > b {
            (a, b) = (b, a);
        }
        b -= a;
    }
    (a << twos) as u128
}

#[cfg(test)]
mod tests {
    use super::{U256, gcd, gcd_256};
    use num_bigint::BigUint;
    use num_integer::Integer;
    use proptest::prelude::*;

    #[test]
    fn gcd_of_zero_is_the_other_number() {
        for (a, b, common) in
            [(0, 0, 0), (0, 6, 6), (6, 0, 6), (0, 1 << 100, 1 << 100), (1 << 100, 0, 1 << 100)]
        {
            assert_eq!(gcd(a, b), common);
        }
    }

    proptest! {
        #[test]
        fn gcd_of_long_numbers_is_that_of_num_integer(
            parts in any::<[u128; 4]>(),
            shifts in any::<[u8; 2]>(),
            common in any::<u128>(),
        ) {
            let number = |at: usize| {
                U256 { high: parts[at], low: parts[at + 1] }.shr(shifts[at / 2].into())
            };
            let big = |number: U256| -> BigUint { (BigUint::from(number.high) << 128_u32) + number.low };
            let (a, b, times) = (number(0), number(2), U256::new(common));
            let short = |number: U256| U256::new(number.high).wrapping_mul(times);
            for (a, b) in [(a, b), (short(a), short(b)), (a, U256::ZERO), (U256::ZERO, b), (a, times)] {
                prop_assert_eq!(big(gcd_256(a, b)), big(a).gcd(&big(b)));
            }
        }

        #[test]
        fn gcd_is_that_of_num_integer(a in any::<u128>(), b in any::<u128>(), less in 0_u32..128, common in 1_u128..1 << 60) {
            for (a, b) in [(a, b), (a >> less, b), (a >> less, b >> less)] {
                prop_assert_eq!(gcd(a, b), a.gcd(&b));
                let (a, b) = ((a >> 64) * common, (b >> 64) * common);
                prop_assert_eq!(gcd(a, b), a.gcd(&b));
            }
        }
    }
}
