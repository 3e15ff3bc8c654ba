//! Division of whole numbers of several digits, out of line.
//!
//! A compiler for 32 bits expands every 128-bit division where it stands, some 800 bytes each, and each takes
//! thousands of instructions. Here the digits have half the machine's width, so that its own division
//! gives one.

/// Defines `divide` for digits of one width.
macro_rules! division {
    ($digit:ty, $double:ty) => {
        /// A digit.
        pub(super) type Digit = $digit;
        pub(super) const BITS: u32 = <$digit>::BITS;

        /// How many digits there are up to the first that is not zero; the least comes first.
        const fn length<const N: usize>(digits: &[Digit; N]) -> usize {
            let mut length = N;
            while length > 0 && digits[length - 1] == 0 {
                length -= 1;
            }
            length
        }

        /// Shifts left by less than a digit; returns what leaves the top.
        const fn shift_left<const N: usize>(digits: &mut [Digit; N], bits: u32) -> Digit {
            let (mut at, mut carry) = (0, 0);
            while at < N {
                let wide = (digits[at] as $double) << bits | carry as $double;
                digits[at] = wide as Digit;
                carry = (wide >> BITS) as Digit;
                at += 1;
            }
            carry
        }

        /// Shifts right by less than a digit.
        const fn shift_right<const N: usize>(digits: &mut [Digit; N], bits: u32) {
            let (mut at, mut carry) = (N, 0);
            while at > 0 {
                at -= 1;
                let wide = ((digits[at] as $double) << BITS) >> bits;
                digits[at] = (wide >> BITS) as Digit | carry;
                carry = wide as Digit;
            }
        }

        /// Takes `times` the divisor of `length` digits from `rest` at `at`, of which `above` is the
        /// digit on top; whether that was too much.
        const fn take<const N: usize>(
            rest: &mut [Digit; N],
            at: usize,
            divisor: &[Digit; N],
            length: usize,
            times: Digit,
            above: Digit,
        ) -> bool {
            let (mut index, mut carry, mut borrow) = (0, 0, false);
            while index < length {
                let product = times as $double * divisor[index] as $double + carry as $double;
                carry = (product >> BITS) as Digit;
                let (less, first) = rest[at + index].overflowing_sub(product as Digit);
                let (less, second) = less.overflowing_sub(borrow as Digit);
                rest[at + index] = less;
                borrow = first | second;
                index += 1;
            }
            (above as $double) < carry as $double + borrow as $double
        }

        /// Adds the divisor back to `rest` at `at`.
        const fn give_back<const N: usize>(
            rest: &mut [Digit; N],
            at: usize,
            divisor: &[Digit; N],
            length: usize,
        ) {
            let (mut index, mut carry) = (0, 0);
            while index < length {
                let sum = rest[at + index] as $double + divisor[index] as $double + carry;
                rest[at + index] = sum as Digit;
                carry = sum >> BITS;
                index += 1;
            }
        }

        /// One digit of the quotient, at most two too large: from the top three digits of what is left and
        /// the top two of the divisor, at most one too large.
        const fn guess(above: Digit, [next, third]: [Digit; 2], [first, second]: [Digit; 2]) -> Digit {
            let top = (above as $double) << BITS | next as $double;
            let (mut guess, mut left) = if above >= first {
                (Digit::MAX, top - Digit::MAX as $double * first as $double)
            } else {
                let guess = (top / first as $double) as Digit;
                (guess, top - guess as $double * first as $double)
            };
            while left >> BITS == 0 && guess as $double * second as $double > left << BITS | third as $double
            {
                guess -= 1;
                left += first as $double;
            }
            guess
        }

        /// Quotient and remainder; all zeros and the dividend for a divisor of zero (Knuth, The Art of
        /// Computer Programming, vol. 2, 4.3.1, algorithm D; memory).
        #[inline(never)]
        pub(super) const fn divide<const N: usize>(
            dividend: [Digit; N],
            divisor: [Digit; N],
        ) -> ([Digit; N], [Digit; N]) {
            let (mut rest, mut divisor, mut quotient) = (dividend, divisor, [0; N]);
            let (mut at, length) = (self::length(&rest), self::length(&divisor));
            if length == 0 || at < length {
                return (quotient, rest);
            }
            let spare = divisor[length - 1].leading_zeros();
            shift_left(&mut divisor, spare);
            let out = shift_left(&mut rest, spare);
            // The digit above the window of `length` digits at `at`; no window reaches past the top.
            let mut above = if at == N { out } else { 0 };
            if at < N && rest[at] != 0 {
                above = rest[at];
                rest[at] = 0;
            }
            at -= length;
            let second = if length > 1 { divisor[length - 2] } else { 0 };
            loop {
                let next = rest[at + length - 1];
                let third = if length > 1 { rest[at + length - 2] } else { 0 };
                let mut digit = guess(above, [next, third], [divisor[length - 1], second]);
                if take(&mut rest, at, &divisor, length, digit, above) {
                    digit -= 1;
                    give_back(&mut rest, at, &divisor, length);
                }
                quotient[at] = digit;
                if at == 0 {
                    break;
                }
                above = rest[at + length - 1];
                rest[at + length - 1] = 0;
                at -= 1;
            }
            shift_right(&mut rest, spare);
            (quotient, rest)
        }
    };
}

/// Digits for a machine of 64 bits.
#[cfg(any(test, target_pointer_width = "64"))]
#[expect(clippy::cast_possible_truncation, reason = "halves are what is asked for")]
#[allow(clippy::cast_lossless, reason = "From is not const")]
mod long {
    division!(u64, u128);

    pub(super) const fn digits(high: u128, low: u128) -> [u64; 4] {
        [low as u64, (low >> 64) as u64, high as u64, (high >> 64) as u64]
    }

    pub(super) const fn number([first, second, third, fourth]: [u64; 4]) -> (u128, u128) {
        ((fourth as u128) << 64 | third as u128, (second as u128) << 64 | first as u128)
    }
}

/// Digits for a machine of 32 bits, or fewer.
#[cfg(any(test, not(target_pointer_width = "64")))]
#[expect(clippy::cast_possible_truncation, reason = "halves are what is asked for")]
#[allow(clippy::cast_lossless, reason = "From is not const")]
mod short {
    division!(u16, u32);

    pub(super) const fn digits<const N: usize>(high: u128, low: u128) -> [u16; N] {
        let bytes = [low.to_le_bytes(), high.to_le_bytes()];
        let (mut digits, mut at) = ([0; N], 0);
        while at < N {
            let half = &bytes[at / 8];
            digits[at] = u16::from_le_bytes([half[2 * (at % 8)], half[2 * (at % 8) + 1]]);
            at += 1;
        }
        digits
    }

    pub(super) const fn number<const N: usize>(digits: [u16; N]) -> (u128, u128) {
        let (mut bytes, mut at) = ([[0; 16]; 2], 0);
        while at < N {
            let [low, high] = digits[at].to_le_bytes();
            bytes[at / 8][2 * (at % 8)] = low;
            bytes[at / 8][2 * (at % 8) + 1] = high;
            at += 1;
        }
        let [low, high] = bytes;
        (u128::from_le_bytes(high), u128::from_le_bytes(low))
    }
}

#[cfg(target_pointer_width = "64")]
use long as chosen;
#[cfg(not(target_pointer_width = "64"))]
use short as chosen;

/// Quotient and remainder of two numbers `(high, low)`, each high·2^128 + low; zero and the dividend for a
/// divisor of zero.
pub(super) const fn divide_256(dividend: (u128, u128), divisor: (u128, u128)) -> [(u128, u128); 2] {
    let (dividend, divisor) = (chosen::digits(dividend.0, dividend.1), chosen::digits(divisor.0, divisor.1));
    let (quotient, rest) = chosen::divide::<{ 256 / chosen::BITS as usize }>(dividend, divisor);
    [chosen::number(quotient), chosen::number(rest)]
}

/// Quotient and remainder; zero and the dividend for a divisor of zero.
///
/// A machine of 64 bits does it quickly enough by itself.
#[cfg_attr(target_pointer_width = "64", inline)]
#[cfg_attr(not(target_pointer_width = "64"), inline(never))]
pub(crate) const fn divide_128(dividend: u128, divisor: u128) -> (u128, u128) {
    #[cfg(target_pointer_width = "64")]
    return match dividend.checked_div(divisor) {
        Some(quotient) => (quotient, dividend - quotient * divisor),
        None => (0, dividend),
    };
    #[cfg(not(target_pointer_width = "64"))]
    {
        // Most numbers are short, and most common divisors are one.
        if divisor == 1 {
            return (dividend, 0);
        }
        if (dividend | divisor) >> 64 == 0 && divisor != 0 {
            let (dividend, divisor) = (dividend as u64, divisor as u64);
            return ((dividend / divisor) as u128, (dividend % divisor) as u128);
        }
        let (quotient, rest) = short::divide::<8>(short::digits(0, dividend), short::digits(0, divisor));
        (short::number(quotient).1, short::number(rest).1)
    }
}

/// The quotient, rounded towards zero; zero for a divisor of zero.
#[inline]
pub(crate) const fn divide_towards_zero(dividend: i128, divisor: i128) -> i128 {
    let whole = divide_128(dividend.unsigned_abs(), divisor.unsigned_abs()).0.cast_signed();
    if (dividend < 0) == (divisor < 0) { whole } else { whole.wrapping_neg() }
}

/// The quotient, rounded down, and what is left, from 0 to below the divisor, which is positive.
#[inline]
pub(crate) const fn divide_down(dividend: i128, divisor: i128) -> (i128, i128) {
    let (whole, rest) = divide_128(dividend.unsigned_abs(), divisor.unsigned_abs());
    let (whole, rest) = (whole.cast_signed(), rest.cast_signed());
    match (dividend < 0, rest) {
        (false, _) => (whole, rest),
        (true, 0) => (whole.wrapping_neg(), 0),
        (true, _) => (!whole, divisor - rest),
    }
}

#[cfg(test)]
mod tests {
    use super::{divide_128, divide_256, divide_down, divide_towards_zero, long, short};
    use alloc::vec::Vec;
    use num_bigint::BigUint;
    use proptest::prelude::*;

    fn big((high, low): (u128, u128)) -> BigUint {
        (BigUint::from(high) << 128) + low
    }

    /// Numbers of every length, with runs of ones and zeros, on which a guessed digit is often too large.
    fn ragged() -> impl Strategy<Value = (u128, u128)> {
        let half = || (any::<u128>(), 0_u32..128, 0_u32..128, 0_u8..4);
        let shape = |(number, s, t, kind): (u128, u32, u32, u8)| match kind {
            0 => number >> s,
            1 => u128::MAX << s >> t,
            2 => (u128::MAX >> s) ^ (number >> t),
            _ => (1 << s) - (number >> 120),
        };
        let shape = move |part: (u128, u32, u32, u8)| {
            if part.3 == 3 && part.1 < 9 { part.0 } else { shape(part) }
        };
        (half(), half(), any::<bool>())
            .prop_map(move |(high, low, is_short)| (if is_short { 0 } else { shape(high) }, shape(low)))
    }

    fn agrees(dividend: (u128, u128), divisor: (u128, u128)) -> Result<(), TestCaseError> {
        let (quotient, rest) = (big(dividend) / big(divisor), big(dividend) % big(divisor));
        let split = |(quotient, rest)| [long::number(quotient), long::number(rest)];
        let by_long =
            split(long::divide(long::digits(dividend.0, dividend.1), long::digits(divisor.0, divisor.1)));
        let (halves, left) =
            short::divide::<16>(short::digits(dividend.0, dividend.1), short::digits(divisor.0, divisor.1));
        let by_short = [short::number(halves), short::number(left)];
        for found in [divide_256(dividend, divisor), by_long, by_short] {
            prop_assert_eq!(found.map(big), [quotient.clone(), rest.clone()]);
        }
        Ok(())
    }

    #[test]
    fn nothing_is_divided_by_zero() {
        assert_eq!(divide_256((3, 4), (0, 0)), [(0, 0), (3, 4)]);
        assert_eq!(divide_128(4, 0), (0, 4));
    }

    #[test]
    fn edges_of_every_digit_divide() -> Result<(), TestCaseError> {
        let mut numbers = Vec::new();
        for bits in (0..=256_u32).step_by(16) {
            for off in -1..=1 {
                let power: (u128, u128) = match bits {
                    0..128 => (0, 1 << bits),
                    128..256 => (1 << (bits - 128), 0),
                    _ => (0, 0),
                };
                let low = power.1.wrapping_add_signed(off);
                let carry = i128::from(off > 0 && low == 0) - i128::from(off < 0 && power.1 == 0);
                numbers.push((power.0.wrapping_add_signed(carry), low));
            }
        }
        for &dividend in &numbers {
            for &divisor in numbers.iter().filter(|&&number| number != (0, 0)) {
                agrees(dividend, divisor)?;
            }
        }
        Ok(())
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(50_000))]

        #[test]
        fn quotients_are_those_of_num_bigint(dividend in ragged(), divisor in ragged()) {
            prop_assume!(divisor != (0, 0));
            agrees(dividend, divisor)?;
        }

        #[test]
        fn signs_are_those_of_rust(dividend in any::<i128>(), divisor in any::<i128>(), bits in 0_u32..127) {
            prop_assume!(divisor >> bits != 0 && dividend != i128::MIN);
            let divisor = divisor >> bits;
            prop_assert_eq!(divide_towards_zero(dividend, divisor), dividend / divisor);
            if divisor > 0 {
                let floor = (dividend.div_euclid(divisor), dividend.rem_euclid(divisor));
                prop_assert_eq!(divide_down(dividend, divisor), floor);
            }
        }

        #[test]
        fn halves_divide_by_themselves((_, dividend) in ragged(), (_, divisor) in ragged()) {
            prop_assume!(divisor != 0);
            prop_assert_eq!(divide_128(dividend, divisor), (dividend / divisor, dividend % divisor));
            let (quotient, rest) = short::divide::<8>(short::digits(0, dividend), short::digits(0, divisor));
            let found = (short::number(quotient).1, short::number(rest).1);
            prop_assert_eq!(found, (dividend / divisor, dividend % divisor));
        }
    }
}
