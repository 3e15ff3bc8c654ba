//! The greatest common divisor, also of constants.

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
    use super::gcd;
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
        fn gcd_is_that_of_num_integer(a in any::<u128>(), b in any::<u128>(), less in 0_u32..128, common in 1_u128..1 << 60) {
            for (a, b) in [(a, b), (a >> less, b), (a >> less, b >> less)] {
                prop_assert_eq!(gcd(a, b), a.gcd(&b));
                let (a, b) = ((a >> 64) * common, (b >> 64) * common);
                prop_assert_eq!(gcd(a, b), a.gcd(&b));
            }
        }
    }
}
