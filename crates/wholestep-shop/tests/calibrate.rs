//! Axes held against readings: worked examples, published values, and readings made from a known machine.

use proptest::prelude::*;
use wholestep::axis::AnyAxis;
use wholestep::{ErrorKind, Exact};
use wholestep_files::{AxisFile, Registry};
use wholestep_shop::Calibration;

const LIFT: &str = include_str!("../../../examples/axes/router_lift.toml");

fn lift(changes: &[(&str, &str)]) -> AxisFile {
    let text = changes.iter().fold(LIFT.to_owned(), |text, (old, new)| {
        assert!(text.contains(old), "nothing to replace: {old}");
        text.replacen(old, new, 1)
    });
    AxisFile::from_toml(&text, &Registry::standard()).unwrap()
}

fn held(
    file: &AxisFile,
    csv: &str,
    resolution: &str,
    within: Option<&str>,
) -> wholestep::Result<Calibration> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("readings.csv");
    std::fs::write(&path, csv).unwrap();
    Calibration::of(file, &path, resolution, within)
}

fn near(found: f64, expected: f64, part: f64) -> bool {
    (found - expected).abs() <= part * expected.abs()
}

fn edits(found: &Calibration) -> Vec<(&str, &str, &str)> {
    found.edits.iter().map(|edit| (&*edit.key, &*edit.old, &*edit.new)).collect()
}

/// Worked by hand (recomputed): what is asked for a pitch of 3 mm comes out of one of 1/8 in, and 0.12 mm further on the
/// way down.
#[test]
fn a_pitch_of_an_eighth_of_an_inch_and_its_play() {
    let csv = "asked,read,way\n12,12.70,up\n24,25.40,up\n36,38.10,up\n48,50.80,up\n36,38.22,down\n24,25.52,down\n\
               12,12.82,down\n";
    let found = held(&lift(&[]), csv, "0.01 mm", None).unwrap();
    assert_eq!((found.scale.exact.as_str(), found.zero.value, found.readings), ("127/120", 0.0, 7));
    assert!(found.scale.is_wrong && !found.zero.is_wrong && !found.is_true());
    assert!(near(found.play.as_ref().unwrap().value, 0.12, 1e-12));
    let begins = "The scale is wrong: it goes 1.05833 times as far as it is asked to, as by pitch 3.175 mm (1/8 in), not \
                  3 mm. Play 0.12 mm, between up and down.";
    assert_eq!(found.verdict, begins);
    assert_eq!(
        edits(&found),
        [("mechanism.pitch", "3 mm", "3.175 mm"), ("motion.backlash", "0.15 mm", "0.27 mm")]
    );
    let mended = found.write_into(&lift(&[])).unwrap();
    assert!(mended.text().contains("pitch = \"3.175 mm\"") && mended.text().contains("; was \"3\""));
    // What it would be asked for then, it would go: 12.7 mm for 12.7.
    let again =
        csv.replace("12,", "12.7,").replace("24,", "25.4,").replace("36,", "38.1,").replace("48,", "50.8,");
    let again = held(
        &mended,
        &again.replace("38.22", "38.10").replace("25.52", "25.40").replace("12.82", "12.70"),
        "0.01 mm",
        None,
    );
    assert!(again.unwrap().is_true());
}

/// Worked by hand (recomputed): a constant error is the zero's, a proportional one the scale's.
#[test]
fn a_constant_error_is_zero_and_a_proportional_one_is_scale() {
    let zero = held(&lift(&[]), "asked,read\n50,50.15\n100,100.15\n200,200.15\n", "0.01 mm", None).unwrap();
    assert_eq!((zero.scale.exact.as_str(), zero.scale.is_wrong, zero.zero.is_wrong), ("1", false, true));
    assert!(near(zero.zero.value, 0.15, 1e-12));
    assert!(zero.verdict.contains("The zero is off by 0.15 mm: one test cut corrects that, and that only"));
    assert_eq!(edits(&zero), [("datum.switch_at", "-42 mm", "-41.85 mm")]);
    let scale = held(&lift(&[]), "asked,read\n50,50.05\n100,100.10\n200,200.20\n", "0.01 mm", None).unwrap();
    assert_eq!(
        (scale.scale.exact.as_str(), scale.scale.is_wrong, scale.zero.is_wrong),
        ("1001/1000", true, false)
    );
    assert_eq!(edits(&scale), [("mechanism.pitch", "3 mm", "3.003 mm")]);
    assert!(scale.verdict.contains("no single figure in common use explains it"), "{}", scale.verdict);
    let allowed = scale.scale.allowed.unwrap();
    // 150.15 ± 0.01 over 150, exactly.
    assert_eq!(allowed, ["7507/7500", "1877/1875"]);
}

/// NIST Statistical Reference Datasets, Norris (linear, 36 observations), as published (second-hand).
#[test]
fn the_line_through_norris() {
    const NORRIS: &str = "0.2 0.1 337.4 338.8 118.2 118.1 884.6 888.0 10.1 9.2 226.5 228.1 666.3 668.5 996.3 998.5 448.6 \
        449.1 777.0 778.9 558.2 559.2 0.4 0.3 0.6 0.1 775.5 778.1 666.9 668.8 338.0 339.3 447.5 448.9 11.6 10.8 556.0 \
        557.7 228.1 228.3 995.8 998.0 887.6 888.8 120.2 119.6 0.3 0.3 0.3 0.6 556.8 557.6 339.1 339.3 887.2 888.0 999.0 \
        998.5 779.0 778.9 11.1 10.2 118.3 117.6 229.2 228.9 669.1 668.4 448.9 449.2 0.5 0.2";
    let figures: Vec<&str> = NORRIS.split_whitespace().collect();
    assert_eq!(figures.len(), 72);
    let rows: Vec<String> = figures.chunks(2).map(|pair| pair.join(",")).collect();
    let found = held(&lift(&[]), &format!("asked,read\n{}", rows.join("\n")), "0.1 mm", None).unwrap();
    assert!(near(found.scale.value, 1.002_116_818_020_45, 1e-12), "{}", found.scale.value);
    assert!(near(found.zero.value, -0.262_323_073_774_029, 1e-12), "{}", found.zero.value);
    assert!(near(found.reading_uncertainty, 0.884_796_396_144_373, 1e-12), "{}", found.reading_uncertainty);
    // Their standard deviations (memory).
    assert!(near(found.scale.uncertainty, 0.429_796_848_199_937e-3, 1e-12), "{}", found.scale.uncertainty);
    assert!(near(found.zero.uncertainty, 0.232_818_234_301_152, 1e-12), "{}", found.zero.uncertainty);
}

/// A gauge that shows steps of r leaves r/√12 (GUM, JCGM 100:2008, 4.3.7, second-hand), even if readings agree.
#[test]
fn the_resolution_of_the_gauge_is_the_least_uncertainty() {
    let csv = "asked,read\n0,0\n10,10\n20,20\n30,30\n";
    for (resolution, least) in [
        ("0.01 mm", 0.01 / 12_f64.sqrt()),
        ("0.1 mm", 0.1 / 12_f64.sqrt()),
        ("1 thou", 0.0254 / 12_f64.sqrt()),
    ] {
        let found = held(&lift(&[]), csv, resolution, None).unwrap();
        assert!(near(found.reading_uncertainty, least, 1e-12), "{resolution}");
        // u/√Σ(x − x̄)², 500 mm² here.
        assert!(near(found.scale.uncertainty, least / 500_f64.sqrt(), 1e-12), "{resolution}");
        assert!(
            found.is_true()
                && found
                    .verdict
                    .starts_with("The scale is right as far as these readings tell. So is the zero.")
        );
    }
}

/// By the formulas of ISO 230-2 (memory), with our own numbers, worked out by hand.
#[test]
fn repeated_readings_tell_how_positions_repeat() {
    let csv = "asked,read,way\n10,10.01,up\n10,10.03,up\n40,40.00,up\n40,40.00,up\n10,10.06,down\n10,10.06,down\n\
               40,40.05,down\n40,40.07,down\n";
    let accuracy = held(&lift(&[]), csv, "0.01 mm", None).unwrap().accuracy.unwrap();
    // s of 0.01 and 0.03 is 0.0141421…; four of them; B is 0.06 − 0.02 at 10, and 0.06 − 0 at 40.
    let s = 0.02 / 2_f64.sqrt();
    assert!(near(accuracy.repeatability, 4.0 * s, 1e-9) && near(accuracy.reversal.unwrap(), 0.06, 1e-9));
    assert!(near(accuracy.repeatability_both.unwrap(), 2.0 * s + 0.06, 1e-9), "{accuracy:?}");
    // From 0.02 − 2s up at 10 to 0.06 + 2s down at 40.
    assert!(near(accuracy.accuracy, 0.04 + 4.0 * s, 1e-9) && accuracy.positions == 2, "{accuracy:?}");
    let once = "asked,read,way\n10,10,up\n20,20,up\n30,30,up\n30,30.1,down\n";
    assert_eq!(held(&lift(&[]), once, "0.01 mm", None).unwrap().accuracy, None);
}

#[test]
fn a_reading_that_stands_out_is_named_and_scatter_is_told() {
    let csv = "asked,read\n0,0\n10,10\n20,20.5\n30,30\n40,40\n";
    let found = held(&lift(&[]), csv, "0.01 mm", None).unwrap();
    assert_eq!(found.outliers.iter().map(|one| (one.line, one.read)).collect::<Vec<_>>(), [(4, 20.5)]);
    assert!(
        found.scale.allowed.is_none()
            && found.verdict.contains("Line 4 stands out: 20.5 mm is off by 0.4; read it again")
    );
    let rough =
        held(&lift(&[]), "asked,read\n0,0.1\n10,9.8\n20,20.2\n30,29.9\n40,40.2\n", "0.01 mm", None).unwrap();
    assert!(
        rough.outliers.is_empty() && rough.verdict.contains("which is more than the gauge shows"),
        "{}",
        rough.verdict
    );
}

#[test]
fn more_readings_are_asked_for_as_the_root_of_their_number() {
    let csv = "asked,read,way\n0,0,up\n50,50,up\n50,50.1,down\n0,0.1,down\n";
    let found = held(&lift(&[]), csv, "0.01 mm", None).unwrap();
    let times = found.over_the_travel / 0.01;
    let more = f64::from(u32::try_from(found.more_readings).unwrap());
    assert!(times > 1.0 && near(more, (4.0 * (times * times - 1.0)).ceil(), 1e-12));
    let asked: Vec<&str> = found.next.iter().map(|next| next.asked.as_str()).collect();
    assert_eq!(asked, ["-35 mm", "55 mm", "55 mm", "-35 mm"]);
    let enough = held(&lift(&[]), csv, "0.01 mm", Some("0.1 mm")).unwrap();
    assert!(enough.more_readings == 0 && enough.next.is_empty());
    // Without a way down the play is not known, however good the scale.
    let up = held(&lift(&[]), "asked,read\n0,0\n25,25\n50,50\n", "0.01 mm", Some("1 mm")).unwrap();
    assert!(up.play.is_none() && up.more_readings == 0 && up.next.len() == 4);
    assert!(up.verdict.ends_with("The play is not known: read on the way down too."));
}

#[test]
fn what_cannot_be_written_is_advised() {
    let free = lift(&[("approach = \"from_below\"", "# approach"), ("backlash = \"0.15\"", "# backlash")]);
    let csv = "asked,read,way\n0,0,up\n50,50,up\n50,50.1,down\n0,0.1,down\n";
    let found = held(&free, csv, "0.01 mm", None).unwrap();
    assert!(
        found.edits.is_empty() && found.advice[0].starts_with("write backlash = \"0.1 mm\" in [motion]"),
        "{found:?}"
    );
    // A pitch of 6 mm, two starts or a step mode of 1/4: the person knows which.
    let twice = held(&lift(&[]), "asked,read\n0,0\n10,20\n20,40\n", "0.01 mm", None).unwrap();
    assert!(twice.explanations.len() > 1 && twice.edits.is_empty());
    assert!(twice.advice[0].starts_with("several figures would explain the scale"));
    let arm = AxisFile::open("../../examples/axes/blade_height.toml").unwrap();
    let found = held(&arm, "asked,read\n0,0\n10,10.2\n20,20.4\n30,30.6\n", "0.01 mm", None).unwrap();
    assert!(
        found.advice.iter().any(|advice| advice.starts_with("the steps of this axis are unequal")),
        "{found:?}"
    );
}

#[derive(serde::Deserialize)]
struct Vectors {
    case: Vec<Case>,
}

#[derive(serde::Deserialize)]
struct Case {
    csv: String,
    resolution: String,
    within: Option<String>,
    kind: String,
    begins: String,
}

#[test]
fn readings_that_tell_nothing_are_refused() {
    let text = std::fs::read_to_string("../../tests/vectors/readings_errors.toml").unwrap();
    let vectors: Vectors = toml::from_str(&text).unwrap();
    assert!(vectors.case.len() >= 20);
    for case in &vectors.case {
        let error = held(&lift(&[]), &case.csv, &case.resolution, case.within.as_deref()).unwrap_err();
        let told = error.to_string();
        assert_eq!(error.kind().name(), case.kind, "{told}");
        let told = told.split("readings.csv: ").last().unwrap();
        assert!(told.starts_with(&case.begins), "{told}\nis not\n{}", case.begins);
    }
    let many = format!("asked,read\n{}", "1,1\n2,2\n".repeat(251));
    let error = held(&lift(&[]), &many, "0.01 mm", None).unwrap_err();
    assert!(error.to_string().contains("number of readings 502: at most 500 is allowed"), "{error}");
    let missing = Calibration::of(&lift(&[]), "nowhere/readings.csv", "0.01 mm", None).unwrap_err();
    assert_eq!(missing.kind(), ErrorKind::File);
}

#[test]
fn an_axis_that_turns_is_held_against_a_protractor() {
    let table = AxisFile::open("../../examples/axes/tilting_table.toml").unwrap();
    let csv = "asked,read (deg)\n0,0\n15,15.1\n30,30.2\n45,45.3\n";
    let found = held(&table, csv, "0.1 deg", None).unwrap();
    assert!(found.scale.exact == "151/150" && found.unit == "deg" && found.scale.is_wrong);
}

proptest! {
    /// A machine of known scale, zero and play, read to the resolution of the gauge: the truth is always among what is
    /// allowed.
    #[test]
    fn the_truth_is_allowed(
        thousandths in 900_i64..1_100, zero in -300_i64..300, play in 0_i32..50,
        places in prop::collection::btree_set(-30_i64..50, 3..9),
    ) {
        let hundredth = |value: i64, over: i64| -> String {
            // To the nearest hundredth, in integers.
            let rounded = (2 * value + over).div_euclid(2 * over);
            format!("{}{}.{:02}", if rounded < 0 { "-" } else { "" }, rounded.abs() / 100, rounded.abs() % 100)
        };
        let mut rows = vec!["asked,read,way".to_owned()];
        for place in &places {
            let up = 100 * place * thousandths + 1_000 * zero;
            rows.push(format!("{place},{},up", hundredth(up, 1_000)));
            rows.push(format!("{place},{},down", hundredth(up + 1_000 * i64::from(play), 1_000)));
        }
        let found = held(&lift(&[]), &rows.join("\n"), "0.01 mm", None).unwrap();
        let truth = Exact::new(thousandths.into(), 1_000).unwrap();
        let [low, high] = found.scale.allowed.clone().expect("every reading is within half of the resolution");
        let read = |text: &str| text.parse::<Exact>().unwrap();
        prop_assert!(read(&low) <= truth && truth <= read(&high), "{low} {truth} {high}");
        prop_assert!(found.outliers.is_empty());
        prop_assert!((found.play.unwrap().value - f64::from(play) / 100.0).abs() <= 0.01 + 1e-9);
        prop_assert_eq!(found.scale.is_wrong, Exact::ONE < read(&low) || read(&high) < Exact::ONE);
    }
}

/// What is written makes the axis go as the readings say.
#[test]
fn an_axis_that_was_mended_goes_as_it_was_read() {
    for (name, key) in [("router_lift", "pitch"), ("belt_stop", "tooth_pitch"), ("saw_fence", "module")] {
        let file = AxisFile::open(format!("../../examples/axes/{name}.toml")).unwrap();
        let found = held(&file, "asked,read\n10,10.013\n20,20.026\n30,30.039\n", "0.001 mm", None).unwrap();
        assert_eq!(found.edits[0].key, format!("mechanism.{key}"), "{found:?}");
        let mended = found.write_into(&file).unwrap();
        let travel = |file: &AxisFile| match file.axis() {
            AnyAxis::Length(axis) => wholestep::Mechanism::uniform_travel(axis.mechanism()),
            AnyAxis::Angle(_) => None,
        };
        if let (Some(before), Some(after)) = (travel(&file), travel(&mended)) {
            let times = after.checked_div(before).unwrap();
            let off = times.checked_sub(Exact::new(10_013, 10_000).unwrap()).unwrap().abs();
            assert!(off < Exact::new(1, 100_000).unwrap(), "{name}: {times}");
        } else {
            assert_eq!(name, "saw_fence");
        }
    }
}
