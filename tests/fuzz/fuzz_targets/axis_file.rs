//! No text panics as an axis file, and what is read can be placed on.
#![no_main]

use libfuzzer_sys::fuzz_target;
use wholestep::axis::AnyAxis;
use wholestep_files::{AxisFile, Registry};
use wholestep::{Axis, Measure, Mechanism, Rounding};

fn place<M: Mechanism>(axis: &Axis<M>) {
    let settings = axis.config();
    let (low, high) = (settings.low, settings.high);
    let middle = low.checked_add(high).and_then(|sum| sum.checked_mul(wholestep::Exact::new(1, 2)?));
    for target in [Ok(low), Ok(high), middle].into_iter().flatten() {
        let Ok(placed) = axis.place(target, Rounding::Nearest) else { continue };
        assert!(axis.allows(placed.step()));
        let again = axis.at_step(placed.step()).expect("a step that was placed on");
        assert!(again.position().low() <= placed.position().high());
        assert!(placed.position().low() <= again.position().high());
    }
}

fuzz_target!(|text: &str| {
    match AxisFile::from_toml(text, &Registry::standard()) {
        Ok(file) => match file.axis() {
            AnyAxis::Length(axis) => place(axis),
            AnyAxis::Angle(axis) => place(axis),
        },
        Err(error) => assert!(!error.to_string().is_empty()),
    }
});
