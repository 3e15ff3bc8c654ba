//! The three things that need 256 bits: a product, a quotient and a square root.

/// The lower half of a `u128`.
const HALF: u128 = (1 << 64) - 1;

/// A whole number from 0 to 2^256 - 1: `high`·2^128 + `low`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Wide {
    pub(super) high: u128,
    pub(super) low: u128,
}

impl Wide {
    /// The whole part of self / 2^`bits` and whether nothing was cut off, for 0 < `bits` < 128;
    /// `None` if the whole part needs more than 128 bits.
    pub(super) const fn shifted_right(self, bits: u32) -> Option<(u128, bool)> {
        if self.high >> bits != 0 {
            return None;
        }
        let whole = (self.high << (128 - bits)) | (self.low >> bits);
        Some((whole, self.low << (128 - bits) == 0))
    }

    /// self·2^`bits`, for `bits` < 128; what passes 2^256 is lost.
    const fn shifted_left(self, bits: u32) -> Self {
        if bits == 0 {
            return self;
        }
        Self { high: (self.high << bits) | (self.low >> (128 - bits)), low: self.low << bits }
    }

    const fn exceeds(self, other: Self) -> bool {
        self.high > other.high || (self.high == other.high && self.low > other.low)
    }
}

/// a·b, in four products of halves.
pub(super) const fn product(a: u128, b: u128) -> Wide {
    let (a_high, a_low) = (a >> 64, a & HALF);
    let (b_high, b_low) = (b >> 64, b & HALF);
    // No sum here can pass 2^128: (2^64 - 1)² + 2·(2^64 - 1) = 2^128 - 1.
    let bottom = a_low * b_low;
    let first = a_high * b_low + (bottom >> 64);
    let second = a_low * b_high + (first & HALF);
    Wide { high: a_high * b_high + (first >> 64) + (second >> 64), low: (second << 64) | (bottom & HALF) }
}

/// Quotient and remainder of `dividend` / `divisor`; `None` if the quotient needs more than
/// 128 bits, and so also for a divisor of zero.
pub(super) const fn quotient(dividend: Wide, divisor: u128) -> Option<(u128, u128)> {
    if dividend.high >= divisor {
        return None;
    }
    let bits = divisor.leading_zeros();
    let divisor = divisor << bits;
    let dividend = dividend.shifted_left(bits);
    let (first, rest) = digit(dividend.high, dividend.low >> 64, divisor);
    let (second, rest) = digit(rest, dividend.low & HALF, divisor);
    Some(((first << 64) | second, rest >> bits))
}

/// One digit, base 2^64, of a long division, and what remains: (`rest`·2^64 + `next`) / `divisor`,
/// where `rest` < `divisor` and the divisor's top bit is set (Knuth, The Art of Computer
/// Programming, vol. 2, 4.3.1, algorithm D; the divisor has two digits, so the test is exact).
const fn digit(rest: u128, next: u128, divisor: u128) -> (u128, u128) {
    let (high, low) = (divisor >> 64, divisor & HALF);
    let mut guess = rest / high;
    let mut left = rest - guess * high;
    while guess > HALF || guess * low > ((left << 64) | next) {
        guess -= 1;
        left += high;
        if left > HALF {
            break;
        }
    }
    // The true remainder is below 2^128, so arithmetic modulo 2^128 gives it.
    let remainder = ((rest << 64) | next).wrapping_sub(guess.wrapping_mul(divisor));
    (guess, remainder)
}

/// The whole part of the square root of `square`, and whether the root is exactly that.
///
/// The upper half's root gives the upper half of the digits and one division the rest, at most
/// one too many (Zimmermann, Karatsuba Square Root, INRIA RR-3805, 1999).
pub(super) const fn root(square: Wide) -> (u128, bool) {
    if square.high == 0 {
        let root = square.low.isqrt();
        return (root, root * root == square.low);
    }
    let bits = square.high.leading_zeros() & !1;
    let scaled = square.shifted_left(bits);
    let upper = scaled.high.isqrt();
    // upper ≥ 2^63, rest ≤ 2·upper, so rest·2^63 + 2^63 stays below 2^128.
    let rest = scaled.high - upper * upper;
    let mut lower = ((rest << 63) | (scaled.low >> 65)) / upper;
    if lower > HALF {
        lower = HALF;
    }
    let mut root = (upper << 64) | lower;
    if product(root, root).exceeds(scaled) {
        root -= 1;
    }
    let root = root >> (bits / 2);
    let back = product(root, root);
    (root, back.high == square.high && back.low == square.low)
}

#[cfg(test)]
mod tests {
    use super::{Wide, product, quotient, root};
    use proptest::prelude::*;

    const TOP: u128 = u128::MAX;

    /// self + addend, where that stays below 2^256.
    fn sum(wide: Wide, addend: u128) -> Wide {
        let (low, carry) = wide.low.overflowing_add(addend);
        Wide { high: wide.high + u128::from(carry), low }
    }

    /// Numbers of every length, with long runs of ones and zeros.
    fn ragged() -> impl Strategy<Value = u128> {
        (any::<u128>(), any::<u128>(), 0_u32..128, 0_u32..128, 0_u8..4).prop_map(|(a, b, s, t, kind)| {
            match kind {
                0 => a >> s,
                1 => TOP << s >> t,
                2 => (TOP >> s) ^ (b >> t),
                _ => (TOP >> s).wrapping_add(b >> 120),
            }
        })
    }

    #[test]
    fn extremes() {
        assert_eq!(product(TOP, TOP), Wide { high: TOP - 1, low: 1 });
        assert_eq!(quotient(Wide { high: 0, low: 7 }, 0), None);
        assert_eq!(quotient(Wide { high: 7, low: 0 }, 7), None);
        assert_eq!(quotient(Wide { high: TOP - 1, low: TOP }, TOP), Some((TOP, TOP - 1)));
        assert_eq!(root(Wide { high: 0, low: 0 }), (0, true));
        assert_eq!(root(Wide { high: TOP, low: TOP }), (TOP, false));
        assert_eq!(root(Wide { high: TOP - 1, low: 1 }), (TOP, true));
        assert_eq!(root(Wide { high: TOP - 1, low: 0 }), (TOP - 1, false));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(20_000))]

        #[test]
        fn a_product_divides_back(a in ragged(), b in ragged(), c in ragged()) {
            prop_assume!(b != 0);
            let remainder = c % b;
            let dividend = sum(product(a, b), remainder);
            prop_assert_eq!(quotient(dividend, b), Some((a, remainder)));
        }

        #[test]
        fn a_root_is_the_whole_part(high in ragged(), low in ragged(), a in ragged()) {
            let square = Wide { high, low };
            let (whole, exact) = root(square);
            let below = product(whole, whole);
            prop_assert!(!below.exceeds(square));
            prop_assert_eq!(exact, below == square);
            if let Some(next) = whole.checked_add(1) {
                prop_assert!(product(next, next).exceeds(square));
            }
            let square = product(a, a);
            prop_assert_eq!(root(square), (a, true));
            if square.low != 0 {
                let less = Wide { high: square.high, low: square.low - 1 };
                prop_assert_eq!(root(less), (a - 1, a == 1));
            }
        }

        #[test]
        fn a_shift_agrees_with_a_division(a in ragged(), b in ragged(), bits in 1_u32..128) {
            let wide = product(a, b);
            let divided = quotient(wide, 1 << bits).map(|(whole, rest)| (whole, rest == 0));
            prop_assert_eq!(wide.shifted_right(bits), divided);
        }
    }
}
