//! Whatever a file tells, an effort is refused by name or comes out finite, in order, and the harder for friction.
#![allow(clippy::float_arithmetic, reason = "estimates of physics")]

mod lift;

use std::sync::atomic::AtomicU32;
use std::sync::atomic::Ordering::Relaxed;

use lift::{LIFT, lift};
use proptest::prelude::*;
use wholestep::exact;
use wholestep_files::{AxisFile, Registry};
use wholestep_shop::effort::{Effort, Span};

/// The lift with these lines in place of its figures.
fn told(machine: &str) -> Result<Effort, wholestep::Error> {
    let (before, _) = LIFT.split_once("[machine]").unwrap();
    let file = AxisFile::from_toml(&format!("{before}[machine]\n{machine}"), &Registry::standard())?;
    Effort::new(&file, exact!(1 / 2))
}

fn is_in_order(span: Span) -> bool {
    span.low.is_finite() && span.high.is_finite() && span.low <= span.high
}

/// A number up to so many thousandths, or a range of two; now and then one that no machine has.
fn any_figure(thousandths: u32) -> impl Strategy<Value = String> {
    let told = |number: u32| format!("{}.{:03}", number / 1_000, number % 1_000);
    let odd = ["0", "-1", "99999999999999999999", "NaN", "2 to 1"].map(|odd| Just(odd.to_owned()));
    prop_oneof![
        20 => (1..thousandths).prop_map(told),
        20 => (1..thousandths, 1..thousandths)
            .prop_map(move |(one, other)| format!("{} to {}", told(one.min(other)), told(one.max(other)))),
        1 => proptest::strategy::Union::new(odd),
    ]
}

static REFUSED: AtomicU32 = AtomicU32::new(0);
static WORKED_OUT: AtomicU32 = AtomicU32::new(0);

#[test]
fn any_figures_are_refused_by_name_or_come_out_in_order() {
    any_figures();
    let (refused, worked_out) = (REFUSED.load(Relaxed), WORKED_OUT.load(Relaxed));
    assert!(refused > 10 && worked_out > 100, "{refused} refused, {worked_out} worked out");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    fn any_figures(
        mass in any_figure(60_000),
        friction in any_figure(900),
        guides in any_figure(200_000),
        holding in any_figure(3_000),
        rate in any_figure(5_000),
        preload in any_figure(300_000),
        toward in prop_oneof![Just("low"), Just("high")],
    ) {
        let machine = format!(
            "upright = true\nload_mass = \"{mass} kg\"\nscrew_friction = \"{friction}\"\nguide_friction = \"{guides} N\"\n\
             holding_torque = \"{holding} N·m\"\n[springs]\ncount = 2\nrate = \"{rate} N/mm\"\n\
             preload = \"{preload} N\"\ntoward = \"{toward}\"\n"
        );
        match told(&machine) {
            Err(error) => {
                REFUSED.fetch_add(1, Relaxed);
                let key = error.key().unwrap();
                prop_assert!(key.starts_with("machine") || key.starts_with("springs"), "{error}");
            }
            Ok(effort) => {
                WORKED_OUT.fetch_add(1, Relaxed);
                let spots = [effort.raising].into_iter().chain(effort.lowering).chain(effort.load.into_iter().flatten());
                for spot in spots {
                    prop_assert!(is_in_order(spot.torque), "{spot:?}");
                    prop_assert!(spot.force.is_none_or(is_in_order), "{spot:?}");
                }
                prop_assert!(is_in_order(effort.inertia) && is_in_order(effort.must_have.holding));
                prop_assert!(effort.changes.iter().all(|change| is_in_order(change.torque)), "{:?}", effort.changes);
                prop_assert!(!effort.verdict.contains("NaN") && !effort.verdict.contains("inf"), "{}", effort.verdict);
            }
        }
    }

    #[test]
    fn more_friction_load_or_springs_never_make_it_easier(
        mass in 1_u32..40,
        friction in 1_u32..40,
        guides in 0_u32..60,
        springs in 1_u32..4,
    ) {
        let torque = |mass: u32, friction: u32, guides: u32, springs: u32| {
            let file = lift(&[
                ("4.6 kg", &format!("{mass} kg")),
                ("0.10 to 0.20", &format!("0.{friction:02}")),
                ("10 N", &format!("{guides} N")),
                ("count = 2", &format!("count = {springs}")),
            ]);
            Effort::new(&file, exact!(1 / 2))
            .unwrap()
            .raising
            .torque
            .high
        };
        let today = torque(mass, friction, guides, springs);
        for harder in [
            torque(mass + 1, friction, guides, springs),
            torque(mass, friction + 1, guides, springs),
            torque(mass, friction, guides + 1, springs),
            torque(mass, friction, guides, springs + 1),
        ] {
            prop_assert!(harder > today, "{harder} against {today}");
        }
    }
}
