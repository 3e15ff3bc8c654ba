//! The nearest floating-point number, for estimates: nothing exact is decided by it.

use wholestep::Exact;

#[expect(clippy::cast_precision_loss, clippy::float_arithmetic, reason = "estimates")]
pub(crate) fn float(value: Exact) -> f64 {
    value.numerator() as f64 / value.denominator() as f64
}
