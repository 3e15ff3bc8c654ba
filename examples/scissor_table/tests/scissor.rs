//! The third party's own tests: by wholestep's conformance suite, by hand, and from an axis file.

use scissor_table::{Scissor, ScissorTable, registry};
use wholestep::mechanism::{Drive, StepMode};
use wholestep::spec::AxisFile;
use wholestep::{ErrorKind, Length, Mechanism, Rounding, Width};
use wholestep_twin::Conformance;

const FILE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/axis.toml");

fn table(spread: &str) -> wholestep::Result<Scissor> {
    let drive = Drive::new("1.8 deg".parse()?, StepMode::new(4)?)?.geared(15, 60)?;
    let table =
        ScissorTable { arm: "650 mm".parse()?, stages: 2, spread: spread.parse()?, lead: "5 mm".parse()? };
    Scissor::new(&table, drive)
}

#[test]
fn the_walkthrough_for_developers_is_this_code() {
    let read =
        |name: &str| std::fs::read_to_string(format!("{}/{name}", env!("CARGO_MANIFEST_DIR"))).unwrap();
    let (page, tests) = (read("../../DEVELOPERS.md"), read("tests/scissor.rs"));
    assert!(page.contains(&format!("```rust\n{}```", read("src/lib.rs"))));
    let start = tests.find("#[test]\nfn it_keeps").unwrap();
    let end = start + tests[start..].find("\n}\n").unwrap() + 3;
    assert!(page.contains(&format!("```rust\n{}```", &tests[start..end])));
}

#[test]
fn it_keeps_what_a_mechanism_promises() {
    let report = Conformance::new().samples(60).check(&table("630 mm").unwrap()).unwrap();
    assert!(report.placements > 600, "{report:?}");
}

#[test]
fn heights_of_whole_triangles_are_exact() {
    // 16-63-65, 33-56-65, 39-52-65, 25-60-65 and 52-39-65, ten times; 640 steps draw 1 mm.
    for (spread, height) in [(630, 320), (560, 660), (520, 780), (600, 500), (390, 1040), (160, 1260)] {
        let step = (630 - spread) * 640;
        let position = table("630 mm").unwrap().stands_at(step, Width::FINEST).unwrap();
        let height: Length = format!("{height} mm").parse().unwrap();
        assert!(position.is_exact() && position.low() == height, "{position:?}");
        let located = table("630 mm").unwrap().locate(height, Rounding::Nearest).unwrap();
        assert!(located.decided && located.step == step);
    }
}

#[test]
fn an_axis_file_names_it() {
    let file = AxisFile::load(FILE, &registry().unwrap()).unwrap();
    let placed =
        file.axis().as_length().unwrap().place("780 mm".parse().unwrap(), Rounding::Nearest).unwrap();
    assert_eq!(placed.step(), (630 - 520) * 640);
    assert!(placed.decided() && placed.residual().is_exact());
}

#[test]
fn its_parameters_have_the_errors_of_a_built_in_kind() {
    let text = std::fs::read_to_string(FILE).unwrap();
    for (old, new, kind, message) in [
        (
            "arm = \"650\"",
            "arm = 650",
            ErrorKind::MissingUnit,
            "`mechanism.arm`: length “650”: write it in quotes",
        ),
        ("stages = 2", "storeys = 2", ErrorKind::Key, "`mechanism.storeys`: unknown key"),
        (
            "spread = \"630\"",
            "spread = \"660\"",
            ErrorKind::OutOfRange,
            "`mechanism.spread`: spread of the feet",
        ),
    ] {
        let error = AxisFile::from_toml(&text.replace(old, new), &registry().unwrap()).unwrap_err();
        assert_eq!(error.kind(), kind);
        assert!(error.to_string().contains(message), "{error}");
    }
}
