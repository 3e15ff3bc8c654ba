//! The nearest floating-point number, for bounds on what is simulated or estimated.

use wholestep::Exact;

#[expect(clippy::cast_precision_loss, reason = "a bound on what is not exact")]
pub(crate) fn float(value: Exact) -> f64 {
    value.numerator() as f64 / value.denominator() as f64
}
