//! Whatever a file tells, an effort is refused by name or comes out finite, in order, and the harder for friction.
#![allow(clippy::float_arithmetic, reason = "estimates of physics")]

mod lift;

use proptest::prelude::*;
use wholestep::exact;
use wholestep_files::{AxisFile, Registry};
use wholestep_shop::effort::{Effort, Span};

/// The lift with these lines in place of its figures.
fn told(machine: &str) -> Result<Effort, wholestep::Error> {
    let (before, _) = lift::LIFT.split_once("[machine]").unwrap();
    let file = AxisFile::from_toml(&format!("{before}[machine]\n{machine}"), &Registry::standard())?;
    Effort::new(&file, exact!(1 / 2))
}

fn is_in_order(span: Span) -> bool {
    span.low.is_finite() && span.high.is_finite() && span.low <= span.high
}

/// A number of any size that a file can hold, and ranges of two.
fn any_figure() -> impl Strategy<Value = String> {
    let number = prop_oneof![
        (0_u32..2_000_000, 0_u32..6).prop_map(|(digits, places)| {
            let (whole, part) = (digits / 10_u32.pow(places), digits % 10_u32.pow(places));
            if places == 0 {
                whole.to_string()
            } else {
                format!("{whole}.{part:0width$}", width = places as usize)
            }
        }),
        Just("0".to_owned()),
        Just("-1".to_owned()),
        Just("99999999999999999999".to_owned()),
        Just("NaN".to_owned()),
    ];
    prop_oneof![number.clone(), (number.clone(), number).prop_map(|(low, high)| format!("{low} to {high}"))]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_figures_are_refused_by_name_or_come_out_in_order(
        mass in any_figure(),
        friction in any_figure(),
        guides in any_figure(),
        holding in any_figure(),
        rate in any_figure(),
        preload in any_figure(),
        toward in prop_oneof![Just("low"), Just("high")],
    ) {
        let machine = format!(
            "upright = true\nload_mass = \"{mass} kg\"\nscrew_friction = \"{friction}\"\nguide_friction = \"{guides} N\"\n\
             holding_torque = \"{holding} N·m\"\n[springs]\ncount = 2\nrate = \"{rate} N/mm\"\n\
             preload = \"{preload} N\"\ntoward = \"{toward}\"\n"
        );
        match told(&machine) {
            Err(error) => {
                let key = error.key().unwrap();
                prop_assert!(key.starts_with("machine") || key.starts_with("springs"), "{error}");
            }
            Ok(effort) => {
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
            told(&format!(
                "upright = true\nload_mass = \"{mass} kg\"\nscrew_friction = \"0.{friction:02}\"\n\
                 guide_friction = \"{guides} N\"\n[springs]\ncount = {springs}\nrate = \"0.3 N/mm\"\n\
                 preload = \"25 N\"\ntoward = \"low\"\n"
            ))
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
