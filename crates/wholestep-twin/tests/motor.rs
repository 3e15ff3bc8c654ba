//! The motor's own curves against published figures and identities.
#![allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss,
    reason = "test arithmetic on small whole numbers; exact zeros are meant"
)]

use wholestep_twin::{MachineParameters, TorqueCurve, Winding};

/// Incremental torque of one microstep, % of holding: 100·sin(90°/n). Micromo (Faulhaber),
/// "Microstepping: Myths and Realities", Table 1 (read, recomputed).
#[test]
fn one_microstep_pulls_with_the_published_part_of_the_holding_torque() {
    let motor = MachineParameters::router_lift().motor;
    let table = [
        (1, 100.0),
        (2, 70.71),
        (4, 38.27),
        (8, 19.51),
        (16, 9.80),
        (32, 4.91),
        (64, 2.45),
        (128, 1.23),
        (256, 0.61),
    ];
    for (steps, percent) in table {
        let pull = 100.0 * motor.pull(1.0 / f64::from(steps), 0.0) / motor.torque.holding();
        assert!((pull - percent).abs() <= 0.005, "{steps} microsteps: {pull}");
    }
}

/// Identity: rise time t = 2LI/V and speed V/(2LI·steps a turn). 12 V, 10 mA, 10 mH and 1,000 steps
/// give 16.667 µs and 60 rev/s (recomputed).
#[test]
fn winding_rises_in_the_time_of_its_inductance() {
    let winding = Winding::new(0.010, 0.0, 12.0, 0.010).unwrap();
    assert!((winding.rise_time() - 50e-6 / 3.0).abs() < 1e-15);
    assert!((winding.corner_speed(1000) / core::f64::consts::TAU - 60.0).abs() < 1e-9);
}

#[test]
fn resistance_lengthens_the_rise_as_the_exponential_law_says() {
    let (inductance, resistance, supply, current) = (3e-3, 1.2, 24.0, 2.8);
    let winding = Winding::new(inductance, resistance, supply, current).unwrap();
    // The current `rise_time` after −I, by the law of the winding, must be +I.
    let steady = supply / resistance;
    let after = steady + (-current - steady) * (-winding.rise_time() * resistance / inductance).exp();
    assert!((after - current).abs() < 1e-12);
    let ideal = Winding::new(inductance, 0.0, supply, current).unwrap();
    assert!(winding.rise_time() > ideal.rise_time());
    let nearly = Winding::new(inductance, 1e-6, supply, current).unwrap();
    assert!((nearly.rise_time() / ideal.rise_time() - 1.0).abs() < 1e-9);
}

#[test]
fn a_supply_that_cannot_reach_the_current_is_refused() {
    let refused = Winding::new(3e-3, 10.0, 24.0, 2.4).unwrap_err().to_string();
    assert_eq!(refused, "supply: current times resistance must be less than the supply voltage");
}

#[test]
fn torque_falls_with_speed() {
    let table = TorqueCurve::Table(vec![(0.0, 1.0), (10.0, 0.8), (30.0, 0.2)]);
    let linear = TorqueCurve::Linear { holding: 1.0, corner: 10.0, zero: 30.0 };
    let inverse = TorqueCurve::Inverse { holding: 1.0, corner: 10.0 };
    for (curve, speed, torque) in [
        (&table, 0.0, 1.0),
        (&table, 5.0, 0.9),
        (&table, -20.0, 0.5),
        (&table, 30.0, 0.2),
        (&table, 30.1, 0.0),
        (&linear, 10.0, 1.0),
        (&linear, 25.0, 0.25),
        (&linear, 31.0, 0.0),
        (&inverse, 10.0, 1.0),
        (&inverse, 40.0, 0.25),
    ] {
        assert!((curve.at(speed) - torque).abs() < 1e-12, "{curve:?} at {speed}");
    }
}
