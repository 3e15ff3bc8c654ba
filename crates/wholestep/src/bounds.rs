//! Every range of the library, stated once: the checks, the error texts and the random values of
//! the tests all read them here.

/// Largest magnitude of the numerator and the denominator of an [`Exact`](crate::Exact): 2^126.
pub const EXACT_PART_MAX: i128 = 1 << 126;

/// Largest denominator of a [`Length`](crate::Length) in millimetres, of an
/// [`Angle`](crate::Angle) in degrees, and of their rates: 2^64.
pub const MEASURE_DENOMINATOR_MAX: i128 = 1 << 64;

/// Largest magnitude of a [`Length`](crate::Length): ten kilometres, in millimetres.
pub const LENGTH_MAX_MILLIMETRES: i128 = 10_000_000;

/// Largest magnitude of an [`Angle`](crate::Angle): a million degrees.
pub const ANGLE_MAX_DEGREES: i128 = 1_000_000;

/// Largest magnitude of a speed, an acceleration or a jerk, in millimetres or degrees and seconds.
pub const RATE_MAX: i128 = 1_000_000_000_000;

/// Longest [`Time`](crate::measure::Time), in seconds: an hour.
pub const TIME_MAX_SECONDS: i64 = 3_600;

/// Largest magnitude of a step number: 2^40, about 1.1 million million.
pub const STEP_MAX: i64 = 1 << 40;

/// Most decimal digits a number may be written with, leading and trailing zeros not counted.
pub const DIGITS_MAX: u32 = 30;

/// Largest exponent of ten, either way, that a number may be written with.
pub const EXPONENT_MAX: i64 = 18;

/// Most decimals a number is printed with.
pub const DECIMALS_MAX: u8 = 18;

/// Largest denominator a measure is printed with as the nearest fraction: 2^20.
pub const FRACTION_DENOMINATOR_MAX: u32 = 1 << 20;

/// The fractions of a millimetre or degree to which a position that is not exact is rounded where it
/// becomes a measure to go on with, such as a zero or a target: 1e-12.
pub const RECKONED_PARTS: i128 = 1_000_000_000_000;

/// Finest width an enclosure can be asked for, in decimals of the unit: 1e-18.
pub const WIDTH_DECIMALS_MAX: u8 = 18;

/// Most teeth of a gear or pulley, and the largest tooth count of a ratio.
pub const TEETH_MAX: i128 = 10_000;

/// Most steps a motor may make in one turn, step mode included: 1,048,576.
pub const STEPS_PER_TURN_MAX: i128 = 1 << 20;

/// Slowest and fastest timer a plan can be made for, in ticks per second.
pub const TIMER_HZ: core::ops::RangeInclusive<u64> = 1..=1_000_000_000;

/// Shortest and longest part of a linkage (an arm, the distance between two pivots), in
/// millimetres: one millimetre to ten metres.
pub const LINKAGE_MILLIMETRES: core::ops::RangeInclusive<i64> = 1..=10_000;

/// How near its dead centres a linkage is used, in degrees: 5. Nearer, the motion of a step tends to
/// nothing or to no limit, and past them it turns back.
pub const DEAD_CENTRE_DEGREES: i64 = 5;
