//! Efforts against published and worked examples, computed and not fed.
#![allow(clippy::float_arithmetic, reason = "estimates of physics")]

mod lift;

use lift::lift;
use wholestep::carriage::End;
use wholestep::exact;
use wholestep_files::{AxisFile, Registry};
use wholestep_shop::effort::{Effort, Holding, Lifts, Span, read_margin};

const SPRINGS: &str = "[springs]\ncount = 2\nrate = \"0.30 N/mm\"\npreload = \"25 N\"\ntoward = \"low\"\n";

/// What is written in place of what.
type Changes<'a> = [(&'a str, &'a str)];

fn effort(changes: &Changes<'_>) -> Effort {
    Effort::new(&lift(changes), exact!(1 / 2)).unwrap()
}

fn near(span: Span, low: f64, high: f64, off: f64) {
    assert!((span.low - low).abs() <= off && (span.high - high).abs() <= off, "{span:?}: {low} to {high}");
}

/// Identity, recomputed: 4.6 kg × 9.80665 m/s², two springs of 25 N + 0.30 N/mm × 50 mm, ways of 10 N, on a
/// Tr12x3 with friction 0.10 to 0.20, by the formula of Shigley, *Mechanical Engineering Design*, 9th ed., Eq. 8-5
/// (read).
#[test]
fn springs_out_take_off_what_the_worked_example_says() {
    let cases: [(&Changes<'_>, f64, f64, f64); 3] = [
        (&[], 135.1, 0.139, 0.215),
        (&[("count = 2", "count = 1")], 95.1, 0.098, 0.152),
        (&[(SPRINGS, "")], 55.1, 0.057, 0.088),
    ];
    for (changes, force, low, high) in cases {
        let effort = effort(changes);
        near(effort.raising.force.unwrap(), force, force, 0.05);
        near(effort.raising.torque, low, high, 5e-4);
        let position = if changes.len() == 1 && changes[0].0 == SPRINGS { None } else { Some(50.0) };
        assert_eq!(effort.raising.position, position);
        // The thread holds only above a friction of 0.0878, and 0.10 is too near to promise anything.
        let unpowered = effort.unpowered;
        assert!((unpowered.friction_that_holds.unwrap() - 0.0878).abs() < 5e-5);
        assert_eq!((unpowered.holding, unpowered.toward), (Holding::NotCertain, Some(End::Low)));
    }
    let least = effort(&[]).load.unwrap()[0];
    near(least.force.unwrap(), 95.1, 95.1, 0.05);
    assert_eq!(least.position, Some(0.0));
}

#[test]
fn the_verdict_says_what_to_do_and_warns() {
    let effort = effort(&[]);
    assert_eq!(
        effort.verdict,
        "Lifts, 2.0 times what it needs at the top. Stays put: not certain, keep the power on. Best change: one \
         spring out, \u{2212}30 %. A spring is compressed, and the load can drop: prop it first."
    );
    assert_eq!(effort.shares[0].of, "the friction of the screw");
    assert_eq!(effort.shares[1].of, "the springs");
    let total: f64 = effort.shares.iter().map(|share| share.torque).sum();
    assert!((total - effort.raising.torque.high).abs() < 1e-12);
    let out = effort.changes.iter().find(|change| change.what == "one spring out").unwrap();
    assert!(out.caution.unwrap().contains("prop the load"));
    near(out.torque, 0.098, 0.152, 5e-4);
    assert!((out.part + 0.296).abs() < 5e-4);
    assert!(effort.contradictions[0].contains("self_holding"));
    assert!(effort.assumed.is_empty() && effort.not_known.len() >= 6);
}

/// Identity: 0.32 kgf at 60 mm is 0.188 N·m.
#[test]
fn a_crank_is_compared_with_the_figures_or_stands_for_them() {
    let crank = "toward = \"low\"\n[effort]\ncrank_pull = \"0.32 kgf\"\ncrank_arm = \"60\"\n";
    let both = effort(&[("toward = \"low\"\n", crank)]);
    near(both.compared[0].measured, 0.188, 0.188, 5e-4);
    assert!(both.compared[0].agrees);
    // Without the friction of the screw the crank tells it: the torque at the motor is that at the crank.
    let by_crank = effort(&[("screw_friction = \"0.10 to 0.20\"\n", ""), ("toward = \"low\"\n", crank)]);
    near(by_crank.raising.torque, 0.18829, 0.18829, 1e-5);
    assert!(by_crank.assumed.is_empty(), "{:?}", by_crank.assumed);
    // Nothing but the crank: what the load would do by itself is not known.
    let alone = effort(&[
        ("load_mass = \"4.6 kg\"\n", ""),
        ("screw_friction = \"0.10 to 0.20\"\n", ""),
        (SPRINGS, &crank["toward = \"low\"\n".len()..]),
    ]);
    near(alone.raising.torque, 0.18829, 0.18829, 1e-5);
    assert_eq!((alone.unpowered.holding, alone.lowering, alone.load), (Holding::NotKnown, None, None));
    assert_eq!(alone.lifts, Lifts::WithMargin);
}

#[test]
fn pushes_on_a_scale_stand_for_mass_and_springs() {
    let by_scale = effort(&[
        ("load_mass = \"4.6 kg\"\n", ""),
        ("guide_friction = \"10 N\"\n", ""),
        (
            SPRINGS,
            "[effort]\npush_low = \"105.11 N\"\npush_high = \"135.11 N\"\nsink_low = \"85.11 N\"\nsink_high = \"115.11 N\"\n",
        ),
    ]);
    let by_figures = effort(&[]);
    near(by_scale.raising.torque, by_figures.raising.torque.low, by_figures.raising.torque.high, 1e-5);
    let (scale, figures) = (by_scale.lowering.unwrap(), by_figures.lowering.unwrap());
    near(scale.torque, figures.torque.low, figures.torque.high, 1e-5);
    assert_eq!(by_scale.unpowered.holding, by_figures.unpowered.holding);
    // A mass beside the pushes is compared with them.
    let both = effort(&[(
        "toward = \"low\"\n",
        "toward = \"low\"\n[effort]\npush_low = \"150 N\"\npush_high = \"135 N\"\n",
    )]);
    assert_eq!(both.compared.iter().map(|one| one.agrees).collect::<Vec<_>>(), [false, true]);
    assert!(both.contradictions.iter().any(|told| told.contains("push at the low end, N: measured 150")));
}

/// Shigley, *Mechanical Engineering Design*, Ex. 8-1 (second-hand, recomputed): square thread, 32 mm, pitch 4 mm, two
/// starts, friction 0.08, a collar of 40 mm, 6.4 kN: 26.18 N·m to raise, 9.77 N·m to lower; identity: the thread
/// alone would run down by itself.
#[test]
fn the_published_power_screw_comes_out_as_printed() {
    let press = |collar: &str| {
        let collar =
            format!("screw_diameter = \"32\"\nthread_form = \"square\"\nscrew_friction = \"0.08\"\n{collar}");
        effort(&[
            ("thread = \"Tr12x3\"", "pitch = \"4\"\nstarts = 2"),
            ("load_mass = \"4.6 kg\"\n", ""),
            ("guide_friction = \"10 N\"\n", "guide_friction = \"0 N\"\n"),
            ("screw_friction = \"0.10 to 0.20\"\n", &collar),
            (SPRINGS, "[effort]\npush_low = \"6400 N\"\npush_high = \"6400 N\"\n"),
        ])
    };
    let whole = press("collar_friction = \"0.08\"\ncollar_diameter = \"40\"\n");
    near(whole.raising.torque, 26.17695, 26.17695, 5e-6);
    near(whole.lowering.unwrap().torque, 9.77443, 9.77443, 5e-6);
    assert_eq!(whole.lifts, Lifts::No);
    let thread = press("");
    near(thread.lowering.unwrap().torque, -0.46557, -0.46557, 5e-6);
    assert_eq!(thread.unpowered.holding, Holding::Moves);
}

/// Micromo (Faulhaber), "Microstepping: Myths and Realities", Table 1 (read, recomputed).
#[test]
fn a_microstep_pulls_with_the_published_part_of_the_holding_torque() {
    for (steps, percent) in [
        (1, 100.0),
        (2, 70.71),
        (4, 38.27),
        (8, 19.51),
        (16, 9.80),
        (32, 4.91),
        (64, 2.45),
        (128, 1.23),
        (256, 0.61),
    ] {
        let mode = format!("step_mode = \"1/{steps}\"");
        let lag = effort(&[("step_mode = \"1/16\"", &mode)]).motor.unwrap().lag.unwrap();
        assert!((lag.microstep_torque - percent).abs() <= 0.005, "{steps}: {lag:?}");
        // The rotor lags by the arc of the sine: 0.215 of 0.45 N·m is 28.6° of the 90° of a full step (identity).
        let part = lag.microsteps.high / f64::from(steps);
        assert!((part - 0.3178).abs() < 1e-4, "{part}");
    }
}

/// Identity: rise time t = 2LI/V, and full torque up to V/(2LI·steps a turn). 12 V, 10 mA, 10 mH and 1,000 steps a
/// turn give 16.667 µs and 60 rev/s (recomputed).
#[test]
fn a_winding_keeps_its_torque_as_long_as_its_current_rises_in_time() {
    let effort = effort(&[
        ("step_angle = \"1.8 deg\"", "step_angle = \"0.36 deg\""),
        ("step_mode = \"1/16\"", "step_mode = \"1/1\""),
        (
            "full_torque_to = \"300 rev/min\"\nno_torque_at = \"1500 rev/min\"\n",
            "supply = \"12 V\"\ncurrent = \"10 mA\"\ninductance = \"10 mH\"\n",
        ),
        ("0.45 N·m", "1 N·m"),
        ("speed = \"6\"", "speed = \"300\""),
        ("acceleration = \"40\"", "acceleration = \"4000\""),
    ]);
    let (mut kept, mut fallen) = (0, 0);
    for point in &effort.curve {
        let expected = 3600.0 / point.turns_a_minute.max(3600.0);
        near(point.available, expected, expected, 1e-9);
        if point.turns_a_minute <= 3600.0 { kept += 1 } else { fallen += 1 }
    }
    assert!(kept > 20 && fallen > 20, "{kept} {fallen}");
    let volts = effort.changes.iter().find(|change| change.what == "24 V in place of 12").unwrap();
    assert!(volts.greatest_speed.unwrap().low > 1.5 * effort.motor.unwrap().greatest_speed.unwrap().low);
}

#[test]
fn springs_that_carry_the_weight_change_the_flank() {
    let carried = effort(&[("toward = \"low\"", "toward = \"high\"")]);
    // 45.11 N of weight against 80 N at the bottom, and 50 N at the top: always pressed up.
    assert_eq!(carried.flank_change, None);
    assert_eq!(carried.unpowered.toward, Some(End::High));
    let balanced = effort(&[("toward = \"low\"", "toward = \"high\""), ("4.6 kg", "6.0 kg")]);
    // 58.84 N = 50 N + 0.6 N/mm × (50 mm − x) at x = 35.27 mm.
    near(balanced.flank_change.unwrap(), 35.27, 35.27, 0.01);
    let ranged = effort(&[("toward = \"low\"", "toward = \"high\""), ("4.6 kg", "5.8 to 6.0 kg")]);
    near(ranged.flank_change.unwrap(), 35.27, 38.54, 0.01);
}

#[test]
fn a_rehearsed_belt_turns_its_motor_back() {
    let text = lift_text_on_a_belt();
    let file = AxisFile::from_toml(&text, &Registry::standard()).unwrap();
    let effort = Effort::new(&file, exact!(1 / 2)).unwrap();
    assert_eq!(effort.unpowered.holding, Holding::Moves);
    // 40 mm of belt a turn, 0.9: lowering gives back K·(2 − 1/0.9) a newton, K = 40 mm/2π.
    let k = 0.040 / std::f64::consts::TAU;
    let lowered = effort.lowering.unwrap().torque;
    let (load, guides) = (4.6 * 9.806_65, 10.0);
    near(lowered, -k * (2.0 - 1.0 / 0.9) * (load - guides), -k * (2.0 - 1.0 / 0.9) * (load - guides), 1e-9);
    // It lands as free fall would have it, less friction and with the inertia of the motor: v² = 2·F·h/m.
    let inertia = 60e-7 + 4.6 * k * k;
    let landing = (2.0 * -lowered.low / k * 0.050 / inertia).sqrt() * k * 1e3;
    assert!((effort.unpowered.arrives_at.unwrap() - landing).abs() < 1e-6);
    assert!(effort.verdict.contains("Does not stay put without power: prop the load"));
}

fn lift_text_on_a_belt() -> String {
    lift::LIFT
        .replace("\"lead_screw\"", "\"belt\"")
        .replace("thread = \"Tr12x3\"", "tooth_pitch = \"2\"\npulley_teeth = 20")
        .replace("screw_friction = \"0.10 to 0.20\"", "efficiency = \"0.9\"")
        .replace(SPRINGS, "")
}

#[test]
fn what_is_asked_for_decides_the_verdict() {
    for (holding, lifts) in [
        ("0.45 N·m", Lifts::WithMargin),
        ("0.40 N·m", Lifts::Barely),
        ("0.18 N·m", Lifts::NotCertain),
        ("0.12 N·m", Lifts::No),
    ] {
        let effort = effort(&[("0.45 N·m", holding)]);
        assert_eq!(effort.lifts, lifts, "{holding}: {}", effort.verdict);
    }
    let weak = effort(&[
        ("holding_torque = \"0.45 N·m\"\n", ""),
        ("full_torque_to = \"300 rev/min\"\n", ""),
        ("no_torque_at = \"1500 rev/min\"\n", ""),
    ]);
    assert_eq!(weak.lifts, Lifts::NotKnown);
    assert!(weak.verdict.starts_with("Needs 0.139 to 0.215 N·m to lift at the top; the file tells of no motor, which must hold 0.431 N·m."), "{}", weak.verdict);
    near(weak.must_have.holding, 2.0 * 0.13926, 2.0 * 0.21544, 1e-4);
}

/// What it offers, it lifts with the margin; and no faster does.
#[test]
fn offered_rates_keep_the_margin() {
    let first = effort(&[]);
    let (offered, margin) = (first.offered.unwrap(), exact!(1 / 2));
    let again = lift(&[])
        .with("motion.speed", &format!("{}", offered.speed))
        .and_then(|file| file.with("motion.acceleration", &format!("{}", offered.acceleration)))
        .unwrap();
    let kept = Effort::new(&again, margin).unwrap();
    assert_eq!(kept.lifts, Lifts::WithMargin);
    let greatest = kept.motor.unwrap().greatest_speed.unwrap().low;
    assert!(greatest >= offered.speed);
    let over = lift(&[]).with("motion.speed", &format!("{}", (greatest * 1.01 * 1e3).round() / 1e3)).unwrap();
    let over = over.with("motion.acceleration", &format!("{}", offered.acceleration)).unwrap();
    assert_eq!(Effort::new(&over, margin).unwrap().lifts, Lifts::Barely);
}

#[test]
fn a_range_holds_every_figure_within_it() {
    let whole = effort(&[("4.6 kg", "4.2 to 5.0 kg"), ("10 N", "4 to 16 N"), ("0.45 N·m", "0.4 to 0.5 N·m")]);
    for mass in ["4.2", "4.6", "5.0"] {
        for guides in ["4 N", "16 N"] {
            for friction in ["0.10", "0.15", "0.20"] {
                for holding in ["0.4", "0.5"] {
                    let one = effort(&[
                        ("4.6 kg", &format!("{mass} kg")),
                        ("10 N", guides),
                        ("0.10 to 0.20", friction),
                        ("0.45 N·m", &format!("{holding} N·m")),
                    ]);
                    within(one.raising.torque, whole.raising.torque);
                    within(one.lowering.unwrap().torque, whole.lowering.unwrap().torque);
                    within(one.inertia, whole.inertia);
                    let (one, whole) = (one.motor.unwrap(), whole.motor.as_ref().unwrap());
                    within(one.times.unwrap(), whole.times.unwrap());
                    within(one.greatest_speed.unwrap(), whole.greatest_speed.unwrap());
                    within(one.greatest_acceleration.unwrap(), whole.greatest_acceleration.unwrap());
                }
            }
        }
    }
}

#[test]
fn a_range_of_pushes_holds_every_push_within_it() {
    let by_scale = |push: &str, sink: &str| {
        let section = format!(
            "[effort]\npush_low = \"110 N\"\npush_high = \"{push} N\"\nsink_low = \"85 N\"\nsink_high = \"{sink} N\"\n"
        );
        effort(&[("load_mass = \"4.6 kg\"\n", ""), ("guide_friction = \"10 N\"\n", ""), (SPRINGS, &section)])
    };
    let whole = by_scale("130 to 140", "100 to 120");
    for push in ["130", "140"] {
        for sink in ["100", "120"] {
            let one = by_scale(push, sink);
            within(one.raising.torque, whole.raising.torque);
            let ([_, one], [_, whole]) = (one.load.unwrap(), whole.load.unwrap());
            within(one.force.unwrap(), whole.force.unwrap());
        }
    }
    let (easy, hard) = (by_scale("130", "120").lowering.unwrap(), by_scale("140", "100").lowering.unwrap());
    let lowering = whole.lowering.unwrap().force.unwrap();
    within(easy.force.unwrap(), lowering);
    within(hard.force.unwrap(), lowering);
}

fn within(one: Span, whole: Span) {
    let slack = 1e-9 * (whole.low.abs() + whole.high.abs());
    assert!(whole.low - slack <= one.low && one.high <= whole.high + slack, "{one:?} not within {whole:?}");
}

#[test]
fn every_kind_of_axis_has_an_effort_or_says_what_to_measure() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/axes");
    let mut told = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let file = AxisFile::open(&path).unwrap();
        match Effort::new(&file, exact!(1 / 2)) {
            Ok(effort) => told.push((file.kind().to_owned(), effort.verdict)),
            Err(error) => assert!(
                error.key().is_some_and(|key| key.starts_with("machine.")) && error.line().is_some(),
                "{error}"
            ),
        }
    }
    assert!(told.len() >= 3, "{told:?}");
    // A curved one: the travel of a step, and the torque with it, differ along the way.
    let blade = std::fs::read_to_string(format!("{folder}/blade_height.toml")).unwrap();
    let blade =
        format!("{blade}\n[machine]\nload_mass = \"7 kg\"\nupright = true\nholding_torque = \"1.2 N·m\"\n");
    let effort =
        Effort::new(&AxisFile::from_toml(&blade, &Registry::standard()).unwrap(), exact!(1 / 2)).unwrap();
    assert!(effort.raising.position.is_some() && effort.lifts != Lifts::NotKnown, "{}", effort.verdict);
    assert!(effort.assumed.iter().any(|assumed| assumed.contains("efficiency 0.2 to 0.4")));
}

#[test]
fn a_margin_is_read_as_people_write_it() {
    for text in ["50%", "50 %", "1/2", "0.5"] {
        assert_eq!(read_margin(text).unwrap(), exact!(1 / 2));
    }
    for (text, told) in [
        ("half", "margin of torque “half”: write it like 50% or 1/2"),
        ("95%", "margin of torque 19/20: 0 to 9/10 is allowed; give the part to spare, such as 50% or 1/2"),
        ("-1/2", "margin of torque -1/2: 0 to 9/10 is allowed; give the part to spare, such as 50% or 1/2"),
    ] {
        assert_eq!(read_margin(text).unwrap_err().to_string(), told);
    }
}
